"""Sizes of wires and earth that a plant asks for, in words for its parts list."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import Case
from airfettle.findings.on_train import three
from airfettle.findings.volts import feeds
from airfettle.parts.conductor import CONTINUOUS_FACTOR, ambient_factor, size_names, smallest_conductor
from airfettle.parts.motor_class import table_current
from airfettle.parts.overcurrent import earth_area_metric, earth_conductor_row, earth_conductor_sizes
from airfettle.quantity import plain

Array = NDArray[np.float64]


def most(values: Array) -> float:
    """Return the highest value at any point that the settings reach, in nearly all of the draw. [SI]"""
    return float(np.percentile(np.max(three(values), axis=(1, 2)), 95.0))


def motor_amps(case: Case, train: int) -> float:
    """Return the amps that a motor's wires and switches are chosen by: the code's table, in SI units its plate. [A]"""
    motor = case.reach.numbers.trains[train].power.motor
    phases = 3 if float(np.max(motor.phases)) > 2.0 else 1
    if case.units == "SI":
        return most(np.asarray(motor.rated_current))
    return most(np.asarray(table_current(motor.power, voltage=motor.voltage, phases=phases)))


def supply_amps(case: Case, train: int) -> float:
    """Return the amps that a train's supply wires are chosen by: the drive's input by plate, else those drawn. [A]"""
    drive = case.part("drive", train=train)
    if drive is None:
        return motor_amps(case, train)
    told = case.span(drive.at("rated_input_current"))
    return most(case.reach.state.trains[train].supply_current) if told is None else told.likely


def supply_wire_words(case: Case, train: int) -> str:
    """Return the smallest supply wire, for all trains it feeds."""
    part = case.part("supply", train=train)
    fed = feeds(case, part) if part is not None else (train,)
    loaded = 3 if case.reach.numbers.trains[train].power.phases == 3 else 2
    return _wire(case, [supply_amps(case, place) for place in fed or (train,)], loaded=loaded)


def motor_lead_words(case: Case, train: int) -> str:
    """Return the smallest motor lead."""
    shield = "" if case.direct(train) else ", shielded"
    return f"{_wire(case, [motor_amps(case, train)], loaded=3)}{shield}"


def _wire(case: Case, amps: list[float], *, loaded: int) -> str:
    """Smallest listed copper wire: 125 % of the largest and the rest by the NEC, the sum by IEC, in the room's heat."""
    us = case.units == "US"
    system = "nec-75" if us else "iec-b2"
    needed = sum(amps) + ((CONTINUOUS_FACTOR - 1.0) * max(amps) if us else 0.0)
    site = case.part("site")
    room = site.rows("room_temperature") if site is not None else None
    warm = 1.0 if room is None else min(float(np.percentile(ambient_factor(room, system=system), 5.0)), 1.0)
    found = smallest_conductor(needed / warm, system=system, loaded=loaded)
    if float(found.margin) < 0.0:
        return f"for {plain(needed, kind='current', units=case.units)}: beyond the sizes listed here"
    size = size_names(system)[int(found.index)]
    unit, terms = ("AWG", " at 75 °C") if us else ("mm2", "")
    return f"{size} {unit} copper{terms} or thicker, for {plain(needed, kind='current', units=case.units)}"


def earth_words(case: Case, train: int) -> str:
    """Return the smallest earth wire, by the breaker's rating or by the live wires."""
    part, how = case.part("supply", train=train), "with the live wires, its own screw at drive and motor frame"
    breaker, wire = (case.span(part.at(name)) if part is not None else None for name in ("breaker", "wire"))
    if case.units == "US" and breaker is not None:
        size = earth_conductor_sizes()[int(earth_conductor_row(breaker.likely))]
        return f"{size} AWG copper at least, {how}"
    if case.units == "SI" and wire is not None:
        area = float(earth_area_metric(wire.likely))
        return f"{plain(area, kind='wire_size', units='SI')} copper at least, {how}"
    return how
