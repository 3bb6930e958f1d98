"""What rules about one train look at: its state at every point, its numbers, and words they share."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import wraps

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.rule import Judge
from airfettle.quantity import plain
from airfettle.studies.completion.whole import TrainNumbers
from airfettle.studies.instant.state import TrainState

Array = NDArray[np.float64]
SURE_SHARE = 0.995
"""Share of the draw that a setting named in the words keeps clear. [-]"""


def of_each(section: str) -> Callable[[Callable[[Case, Part], Verdict | None]], Judge]:
    """Make a rule's judge of a function that looks at one part of a section; None says nothing of it."""

    def every(one: Callable[[Case, Part], Verdict | None]) -> Judge:
        @wraps(one)
        def judge(case: Case) -> Iterator[Verdict]:
            found = (one(case, part) for part in case.parts(section))
            yield from (verdict for verdict in found if verdict is not None)

        return judge

    return every


def state_of(case: Case, part: Part) -> TrainState:
    """Return the state of a part's train at every reachable point. [SI]"""
    return case.reach.state.trains[part.train]


def numbers_of(case: Case, part: Part) -> TrainNumbers:
    """Return the numbers of a part's train. [SI]"""
    return case.reach.numbers.trains[part.train]


def three(values: Array) -> Array:
    """Return numbers of a draw with the axes (draw, speed, pressure)."""
    found = np.asarray(values, dtype=np.float64)
    return found.reshape(found.shape + (1,) * (3 - found.ndim))


def first_that_holds(*verdicts: Verdict | None) -> Verdict | None:
    """Return the first verdict that holds, else the last: thresholds of one rule, the hardest first."""
    return next((verdict for verdict in verdicts if verdict is not None and verdict.state == "holds"), verdicts[-1])


def where(at: At, state: TrainState) -> str:
    """Return frequency and receiver pressure of a point in words."""
    return f"At {hertz_at(at, state)} and {at.show(three(state.receiver_pressure - state.barometer), kind='pressure')}"


def hertz_at(at: At, state: TrainState) -> str:
    """Return the frequency of a point in words."""
    return plain(float(np.median(at.rows(three(state.frequency)))), kind="frequency", units=at.case.units)


def belted(case: Case, part: Part) -> bool:
    """Return whether a belt lies between a part's motor and its pump."""
    return case.part("belt", train=part.train) is not None


def fastest_pump_speed(case: Case, part: Part) -> Array:
    """Return the pump's speed with the belt where it turns the pump fastest. [1/s]"""
    share = 1.0 - case.margins[part.train]["pump_overspeed"]
    return np.asarray(share * three(numbers_of(case, part).pump.maximum_speed))


def frequency_for(speed: Array, *, state: TrainState, at_least: bool) -> float:
    """Return the frequency that brings the pump to a speed in nearly all of the draw. [Hz]

    Parameters
    ----------
    speed : ndarray
        Wanted over what the pump has at the state's first (``at_least``) or last frequency. [-]
    state : TrainState
        [SI]
    at_least : bool
        True for a lowest frequency, False for a highest.
    """
    place = 0 if at_least else -1
    hertz = three(state.frequency)[:, place, :] * speed[:, place, :]
    return float(np.quantile(hertz, SURE_SHARE if at_least else 1.0 - SURE_SHARE))
