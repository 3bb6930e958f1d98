"""In which order candidates are offered."""

from __future__ import annotations

from math import floor

from airfettle.studies.sheaves.result import Candidate, Check

STEP = 0.05
"""Shares of base frequency within which two sheaves fall equally near. [-]  Source: practice."""
AT_BASE = 1.005
"""Share of base frequency up to which a sheave counts as at it, not above. [-]"""


def order(candidate: Candidate, *, certainty: float) -> tuple[float, ...]:
    """Return what candidates are sorted by, least first.

    Notes
    -----
    What passes; of what does not, the fewest limits missed, then the least missed.  Then the wanted speed at or below
    base frequency before above it, and nearer before further, in steps of 5 %: nearer from below asks for less motor
    torque.  Then fewer belts, the smaller change from the present sheave, and the larger margin of motor torque.
    """
    failing = candidate.fails(certainty)
    worst = min((check.share for check in failing), default=1.0)
    torque = next((check.low for check in candidate.checks if check.name == "motor_torque"), 0.0)
    return (
        float(not candidate.passes),
        float(len(failing)),
        -float(round(10.0 * worst)),
        *nearness(candidate.place),
        float(candidate.belts),
        round(candidate.change, 6),
        -torque,
    )


def nearness(place: float) -> tuple[float, float]:
    """Return whether a share of base frequency lies above it, and how many steps away. [-]"""
    if place <= AT_BASE:
        return 0.0, float(floor((AT_BASE - place) / STEP))
    return 1.0, float(floor((place - AT_BASE) / STEP))


def nearest_limit_first(checks: list[Check], certainty: float) -> tuple[Check, ...]:
    """Return checks, those missed first by the share of the draw that keeps them, then the others by their margin."""
    return tuple(sorted(checks, key=lambda c: (c.share >= certainty, min(c.share, certainty), c.low)))
