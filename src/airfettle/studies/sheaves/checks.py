"""The margins of each pair at its point: the plant's own limits, and those of sheave and belts."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import UnsuitableNumbers
from airfettle.parts.belt_rating import LEAST_CAPACITY, service_factor
from airfettle.parts.motor_limits import reflected_inertia
from airfettle.parts.sheave import minimum_motor_sheave
from airfettle.plant.drive import Drive
from airfettle.studies.completion.whole import TrainNumbers
from airfettle.studies.limits.declared import Limit, limit_named
from airfettle.studies.limits.margins import applies
from airfettle.studies.limits.numbers import LimitNumbers
from airfettle.studies.meaning import evaluated
from airfettle.studies.sheaves.belts import HOURS, LEAST_WRAP, Belts
from airfettle.studies.sheaves.pairs import Pairs
from airfettle.studies.sheaves.points import Points
from airfettle.studies.sheaves.pump_map import PumpMap

Array = NDArray[np.float64]

HIGHEST_SHARE = 1.5
"""Highest frequency over base frequency where the drive's own is not told. [-]  Source: practice."""

SHEAVE_LIMITS = (
    Limit("highest_hertz", "the drive's highest hertz", "1 - frequency / highest_frequency",
          ("drive.maximum_frequency",)),
    Limit("least_sheave", "smallest sheave the motor's shaft stands", "motor_pitch / least_motor_pitch - 1",
          ("motor.power",), "neither", sources=("nema-mg1-14-42", "nema-mg1-14-42-memory")),
    Limit("wrap", "arc of the belt on the smaller sheave", "wrap / least_wrap - 1", ("belt.centre_distance",),
          "neither"),
    Limit("sheave_rim", "rim speed of the motor sheave", "1 - pi * motor_outside * motor_speed / rim_speed_limit",
          sources=("belt-factor-tables",)),
)  # fmt: skip
"""Limits of a pair beside those of the plant."""
BELTS = Limit("belts", "what the belts carry", "1 - service_factor * power / (belts * power_of_one)", ("belt.count",),
              "neither", sources=("rma-ip-20", "rma-service-factor"))  # fmt: skip
"""The limit that hangs on the number of belts too; see ``belts_asked``."""

FASTEST = ("pump_overspeed", "piston_speed", "rim_speed", "relief_capacity")
"""Limits of the plant judged at the lighter pressure, where the pump turns faster."""
HEAVIEST = ("pump_floor", "motor_torque", "motor_cooling", "pull_out", "drive_output")
"""Limits judged at the heavier pressure."""
ON_THE_LINE = ("breaker", "supply_wire")
"""Limits that a sheave decides where it alone sets the speed."""


def margins_of(
    train: TrainNumbers, drive: Drive[Array], *, limits: LimitNumbers, pairs: Pairs, points: Points, belts: Belts,
    pump: PumpMap, inertia_factor: Array | None = None,
) -> dict[str, Array]:  # fmt: skip
    """Return every margin of each pair but that of the belts' number.

    Parameters
    ----------
    train : TrainNumbers
        What turns the pump, and the pump. [SI]
    drive : Drive
        As drawn. [SI]
    limits : LimitNumbers
        Of the train. [SI]
    pairs, points, belts, pump : Pairs, Points, Belts, PumpMap
        What is tried. [SI]
    inertia_factor : ndarray or None
        Inertia of another wheel over that of the one there, which adds the limit of smoothing; else None. [-]

    Returns
    -------
    dict
        Limit -> margin, shape (draw, pair, 1): a share of the limit, negative beyond it. [-]
    """
    known = _scope(train, drive, limits=limits, pairs=pairs, points=points, belts=belts)
    if inertia_factor is not None:
        known["speed_fluctuation"] = _fluctuation(train, pairs=pairs, points=points, pump=pump, factor=inertia_factor)
    names = (*FASTEST, *HEAVIEST, *(ON_THE_LINE if train.power.direct else ()),
             *(("flywheel",) if inertia_factor is not None else ()))  # fmt: skip
    found = {}
    for limit in (*(limit_named(name) for name in names), *SHEAVE_LIMITS):
        known["pump_speed"] = points.light_speed if limit.name in FASTEST else points.pump_speed
        if applies(limit, known):
            found[limit.name] = evaluated(limit.equation, known)
    return found


@cache
def label_of(name: str) -> str:
    """Return the trade's words for a limit of a pair."""
    own = next((limit for limit in (*SHEAVE_LIMITS, BELTS) if limit.name == name), None)
    return (own or limit_named(name)).label


def belts_asked(train: TrainNumbers, *, points: Points, belts: Belts) -> Array | None:
    """Return the belts asked for, broken numbers too; None where no rating is known for the section. [-]

    Notes
    -----
    P f/P_belt: 1 less that over the belts fitted is the margin of ``parts.belt_rating.belt_margin``.
    """
    if belts.each is None:
        return None
    return points.power * belt_service_factor(train) / np.maximum(belts.each, LEAST_CAPACITY)


def belt_service_factor(train: TrainNumbers) -> Array:
    """Return the factor on the power the belts are sized for. [-]"""
    single = bool(np.all(train.power.motor.phases < 2.0))
    return service_factor(hours_per_day=HOURS, high_torque_motor=single)


def least_pitch(train: TrainNumbers) -> Array | None:
    """Return the smallest pitch diameter the motor's shaft stands, or None where the table does not reach. [m]"""
    motor = train.power.motor
    try:
        return minimum_motor_sheave(motor_power=motor.power, synchronous_speed=2.0 * motor.frequency / motor.poles)
    except UnsuitableNumbers:
        return None


def highest_frequency(drive: Drive[Array], train: TrainNumbers) -> Array | None:
    """Return the highest frequency as set in the drive, or 1.5 times the motor's; None on the line. [Hz]"""
    if train.power.direct:
        return None
    if drive.maximum_frequency is not None:
        return drive.maximum_frequency
    return HIGHEST_SHARE * train.power.motor.frequency


def _scope(
    train: TrainNumbers, drive: Drive[Array], *, limits: LimitNumbers, pairs: Pairs, points: Points, belts: Belts
) -> dict[str, Array]:
    """The numbers a pair's margins are made of, by name, without what is not there."""
    power, pump = train.power, train.pump
    limits = replace(limits, fastest_ratio=pairs.fastest_ratio, flywheel_diameter=pairs.wheel_outside)
    known: dict[str, Any] = {f.name: getattr(limits, f.name) for f in fields(limits)}
    known |= {
        "belt_ratio": pairs.ratio, "maximum_pump_speed": pump.maximum_speed, "displacement": pump.displacement,
        "motor_torque_share": points.torque_share, "cooling_torque_share": points.cooling_share,
        "pull_out_share": points.motor.pull_out_share, "supply_current": points.supply_current,
        "drive_output_share": None if power.output_limit is None else points.motor.current / power.output_limit,
        "frequency": points.frequency, "highest_frequency": highest_frequency(drive, train),
        "motor_pitch": pairs.motor_pitch, "least_motor_pitch": least_pitch(train), "wrap": belts.wrap,
        "least_wrap": np.array(LEAST_WRAP), "motor_outside": pairs.motor_outside, "motor_speed": points.motor_speed,
    }  # fmt: skip
    return {name: value for name, value in known.items() if value is not None}


def _fluctuation(train: TrainNumbers, *, pairs: Pairs, points: Points, pump: PumpMap, factor: Array) -> Array:
    """Speed fluctuation within a turn with another wheel. [-]"""
    rotor = reflected_inertia(train.power.rotor_inertia, speed_ratio=pairs.ratio)
    inertia = train.pump.flywheel_inertia * factor + rotor
    return np.asarray(pump.excess_energy(points.pump_speed) / (inertia * (2.0 * np.pi * points.pump_speed) ** 2))
