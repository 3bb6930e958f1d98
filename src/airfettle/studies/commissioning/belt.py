"""How tight a belt is set: how far it is pressed down at mid-span, and with what force."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle import tables
from airfettle.errors import UnknownTableEntry
from airfettle.parts.belt import belt_length, wrap_angle
from airfettle.parts.belt_rating import service_factor
from airfettle.parts.belt_tension import POUND_FORCE, belt_mass, belt_tensions, deflection_force, tension_ratio
from airfettle.parts.sheave import INCH
from airfettle.plant.belt import Belt
from airfettle.studies.bands import Band, bands
from airfettle.studies.completion.whole import TrainNumbers

Array = NDArray[np.float64]

PRESSED = 1.0 / 64.0
"""How far a belt is pressed at mid-span, over the span. [-]  Source: narrow-groove-guide."""
HOURS = 8.0
"""Hours a day for which the service factor is taken. [h]  Source: practice."""
TABLE_SECTIONS = {"A": "A", "AX": "A", "B": "B", "BX": "B"}
"""Sections for which forces are printed, notched ones as plain."""
CALCULATED_AS = {"SPA": "A", "SPB": "B"}
"""Sections taken for another where only their mass counts."""


@dataclass(frozen=True)
class BeltSetting:
    """How a belt is set.

    Attributes
    ----------
    span : Band
        Free length between the sheaves. [m]
    deflection : Band
        How far to press it at its middle. [m]
    needed : Band or None
        Force at which a belt just carries the motor's torque without slip; None where its mass is not known. [N]
    new, used : float or None
        Printed forces for these sheaves and this speed; None where none is printed. [N]
    """

    span: Band
    deflection: Band
    needed: Band | None
    new: float | None
    used: float | None


def belt_setting(belt: Belt[Array] | None, *, train: TrainNumbers) -> BeltSetting | None:
    """Return how a belt is set; None where there is none, or sheaves or the distance between shafts are not told.

    Parameters
    ----------
    belt : Belt or None
        As drawn. [SI]
    train : TrainNumbers
        What it joins. [SI]

    Notes
    -----
    span = sqrt(C^2 - ((D - d)/2)^2).  Valid: the wedge of the groove by its usual friction; a piston pump's peaks are
    in the service factor.

    References
    ----------
    [narrow-groove-guide] table 5; [shigley-17]; [rma-service-factor]
    """
    if belt is None or belt.absent or belt.centre_distance is None:
        return None
    if belt.motor_sheave is None or belt.pump_sheave is None:
        return None
    small, large = np.minimum(belt.motor_sheave, belt.pump_sheave), np.maximum(belt.motor_sheave, belt.pump_sheave)
    between = np.maximum(belt.centre_distance, 0.51 * (small + large))
    span = np.sqrt(between**2 - (0.5 * (large - small)) ** 2)
    motor_speed = float(np.median(train.power.motor.rated_speed))
    printed = _printed(belt, float(np.median(small)), motor_speed if _motor_is_small(belt) else 0.0)
    return BeltSetting(
        _band(span), _band(PRESSED * span), _needed(belt, train, small, large, between, span), printed[0], printed[1]
    )


def _motor_is_small(belt: Belt[Array]) -> bool:
    assert belt.motor_sheave is not None
    assert belt.pump_sheave is not None
    return float(np.median(belt.motor_sheave)) <= float(np.median(belt.pump_sheave))


def _needed(
    belt: Belt[Array], train: TrainNumbers, small: Array, large: Array, between: Array, span: Array
) -> Band | None:
    """Force at which a belt just carries the motor's rated torque times the service factor."""
    section, motor = CALCULATED_AS.get(belt.section, belt.section), train.power.motor
    try:
        mass = belt_mass(section=section)
    except UnknownTableEntry:
        return None
    hard = int(np.max(motor.phases)) == 1
    factor = service_factor(hours_per_day=HOURS, high_torque_motor=hard)
    torque = motor.rated_torque * factor * (1.0 if _motor_is_small(belt) else small / large)
    wrap = wrap_angle(small_diameter=small, large_diameter=large, centre_distance=between)
    tensions = belt_tensions(
        torque=torque, pitch_diameter=small, speed=motor.rated_speed, belts=belt.count or 1, mass_per_length=mass,
        tension_ratio=tension_ratio(wrap_angle=wrap),
    )  # fmt: skip
    length = belt_length(small_diameter=small, large_diameter=large, centre_distance=between)
    return _band(deflection_force(initial=tensions.initial, span_length=span, belt_length=length))


def _printed(belt: Belt[Array], small: float, speed: float) -> tuple[float | None, float | None]:
    """Forces printed for a section, the smaller sheave and its speed: new belt, used belt. [N]"""
    section = TABLE_SECTIONS.get(belt.section)
    if section is None or not speed:
        return None, None
    table = tables.load("belt_deflection")
    inches, rpm = small / INCH, 60.0 * speed
    lows, highs, speeds = (table.numbers(name) for name in ("diameter from", "diameter to", "speed to"))
    rows = [
        place for place, word in enumerate(table.words("section"))
        if word == section and lows[place] - 0.2 <= inches <= highs[place] + 0.2 and rpm <= speeds[place]
    ]  # fmt: skip
    if not rows:
        return None, None
    new, used = (float(table.numbers(name)[rows[0]]) * POUND_FORCE for name in ("new belt", "used belt"))
    return new, used


def _band(values: Array) -> Band:
    return bands(np.asarray(values, dtype=np.float64).reshape(-1, 1))[0]
