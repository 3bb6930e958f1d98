"""What the plant as drawn says to every statement: one row of numbers each, under the statement's own conditions."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import R_DRY_AIR
from airfettle.studies.completion.backwards import stated_delivery
from airfettle.studies.completion.power import power_numbers
from airfettle.studies.completion.whole import PlantNumbers, complete
from airfettle.studies.draw import Draw
from airfettle.studies.evidence.statements import Statement
from airfettle.studies.instant.state import Instant, TrainState
from airfettle.studies.instant.whole import instant
from airfettle.studies.meaning import meanings

Array = NDArray[np.float64]

NEAR = 1e-4
"""Relative change at which passes stop here: far finer than any reading. [-]"""
HOT_OVER_READ = 1.12
"""Air that a pump-up from rest seems to store over what it stores, tank still hot. [-]  Source: airfettle-equations
(d): 3 to 25 % by its warmth."""


def predictions(draw: Draw, said: Sequence[Statement]) -> Array:
    """Return what a drawn plant says to each statement.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    said : sequence of Statement
        What was said about it.

    Returns
    -------
    ndarray
        Shape (statements, draw). [SI]
    """
    found: list[Array] = []
    numbers = None if all(s.sort == "plate amps" for s in said) else complete(draw)
    instants: dict[tuple[object, ...], Instant] = {}
    for s in said:
        if s.sort == "plate amps":
            value = _plate_amps(draw, s)
        elif s.sort == "stated delivery":
            value = _stated(draw, numbers, s)
        elif s.sort == "pump-up":
            value = _pump_up_time(draw, numbers, s)
        else:
            if s.conditions not in instants:
                instants[s.conditions] = _at(draw, numbers, s)
            value = read_off(instants[s.conditions], what=s.what, train=s.train)
            if s.span.kind == "absolute_pressure":
                value = value + draw.barometer
        found.append(np.broadcast_to(np.ravel(value), (draw.rows,)))
    return np.stack(found) if found else np.zeros((0, draw.rows))


def read_off(state: Instant, *, what: str, train: int) -> Array:
    """Return an answer of an instant with one point: of a train, or of the whole where it is a sum or of the path."""
    meaning = meanings(TrainState).get(what)
    if meaning is None:
        return np.asarray(getattr(state.path, what))
    return np.asarray(getattr(state.trains[train], what))


def _plate_amps(draw: Draw, s: Statement) -> Array:
    mains = 60.0 if draw.plant.about.units == "US" else 50.0
    return power_numbers(draw.plant.trains[s.train], mains=mains).motor.rated_current


def _stated(draw: Draw, numbers: PlantNumbers | None, s: Statement) -> Array:
    assert numbers is not None
    train = numbers.trains[s.train]
    return stated_delivery(
        draw.plant.trains[s.train], numbers=train.pump, power=train.power, place=s.place, breath=train.breath,
        cut_out=numbers.cut_out,
    )  # fmt: skip


def _at(draw: Draw, numbers: PlantNumbers | None, s: Statement) -> Instant:
    """The plant under the conditions of a reading: as told, else at full frequency midway between the pressures."""
    assert numbers is not None
    reading = draw.plant.reading[s.place]
    pressure = reading.receiver_pressure
    if pressure is None:
        pressure = 0.5 * (numbers.cut_in + numbers.cut_out)
    return instant(
        numbers, frequency=_frequency(draw, numbers, s), receiver_pressure=np.asarray(pressure).reshape(-1, 1, 1),
        close_enough=NEAR,
    )  # fmt: skip


def _frequency(draw: Draw, numbers: PlantNumbers, s: Statement) -> Array:
    told = draw.plant.reading[s.place].frequency
    if told is None:
        control, drive = draw.plant.control, draw.plant.trains[s.train].drive
        full = [control.full if control else None, drive.maximum_frequency if drive else None]
        told = next((f for f in full if f is not None), np.array(numbers.base_frequency))
    return np.asarray(told).reshape(-1, 1, 1)


def _pump_up_time(draw: Draw, numbers: PlantNumbers | None, s: Statement) -> Array:
    """Time from one pressure to another, from the dry air delivered at both ends and between, by Simpson's rule. [s]

    With the pressure after settling told, the air stored is known; a tank still hot holds less than its gauge says.
    """
    assert numbers is not None
    reading = draw.plant.reading[s.place]
    start, end = reading.from_pressure, reading.to_pressure
    assert start is not None
    assert end is not None
    rows = max(np.size(start), np.size(end))
    ends = [np.broadcast_to(np.asarray(p).reshape(-1, 1, 1), (rows, 1, 1)) for p in (start, 0.5 * (start + end), end)]
    pressure = np.maximum(np.concatenate(ends, axis=2), 1.05 * draw.barometer)
    state = instant(
        numbers, frequency=_frequency(draw, numbers, s), receiver_pressure=pressure, close_enough=NEAR
    )  # fmt: skip
    slowness = 1.0 / np.asarray(sum(np.maximum(t.delivered_dry_air, 1e-9) for t in state.trains))
    mean = (slowness[:, :, 0] + 4.0 * slowness[:, :, 1] + slowness[:, :, 2]) / 6.0
    settled, hot = reading.settled_pressure, 1.0
    if settled is None:
        settled, hot = end, HOT_OVER_READ
    volume = sum(r.volume for r in draw.plant.receiver if not r.absent)
    gained = volume * np.asarray(settled - start).reshape(-1, 1, 1) / (R_DRY_AIR * numbers.room_temperature) / hot
    return np.asarray(gained[:, :, 0] * mean)
