"""What a plant does at chosen speeds and receiver pressures, as bands over the draw."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import BadRequest
from airfettle.studies.bands import Band, bands
from airfettle.studies.completion.whole import PlantNumbers, complete
from airfettle.studies.draw import Draw
from airfettle.studies.instant.state import Instant, PathState, TrainState
from airfettle.studies.instant.whole import instant
from airfettle.studies.joining import path_answers, together, train_answers
from airfettle.studies.meaning import Meaning, meanings
from airfettle.studies.notices import flat, notices_at, stalled
from airfettle.studies.pipework.at_tools import tool_pressure

Array = NDArray[np.float64]

LOW_SHARE, QUIET_SHARE = 0.5, 0.7
"""Low and quiet frequency over base frequency where the owner names none. [-]  Source: practice."""
SLOWEST = 1.0
"""Frequency below which nothing turns to speak of. [Hz]"""
SPEEDS_AT_ONCE = 32
"""Speeds computed together; more fill the processor's cache. [-]"""


@dataclass(frozen=True)
class RatedPoint:
    """One speed and receiver pressure.

    Attributes
    ----------
    frequency : float
        [Hz]
    receiver_pressure, receiver_gauge : float
        At likely values of the site, absolute, and gauge. [Pa]
    answers : dict
        Answer id -> its band; in a plant of several trains their sum or the highest of them.
    trains : dict
        Name of a train -> answer id -> band; empty in a plant with one train.
    notices : dict
        Answer id -> what to know when reading it here.
    runs_share : float
        Share of the draw in which every motor holds this point; the bands are of those rows. [-]
    """

    frequency: float
    receiver_pressure: float
    receiver_gauge: float
    answers: dict[str, Band]
    trains: dict[str, dict[str, Band]]
    notices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    runs_share: float = 1.0


@dataclass(frozen=True)
class Rating:
    """A rated plant: its draw, its numbers with gaps filled, and the points asked for."""

    draw: Draw
    numbers: PlantNumbers
    points: tuple[RatedPoint, ...]


def answer_meanings() -> dict[str, Meaning]:
    """Return every answer a rating may give, by id, in order."""
    every = meanings(TrainState) | meanings(PathState)
    return {name: m for name, m in every.items() if m.is_answer}


def default_frequencies(draw: Draw, numbers: PlantNumbers) -> tuple[float, ...]:
    """Return low, quiet and full frequency: as told, or as shares of the motor's base frequency. [Hz]

    A plant whose motors all hang on the line has one.
    """
    if all(train.power.direct for train in numbers.trains):
        return (numbers.mains,)
    return tuple(sorted(set(asked_frequencies(draw, numbers))))


def asked_frequencies(draw: Draw, numbers: PlantNumbers, *, place: int = 0) -> tuple[float, float, float]:
    """Return low, quiet and full frequency of a train on a drive, in this order; see ``default_frequencies``. [Hz]

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    numbers : PlantNumbers
        The same with its gaps filled. [SI]
    place : int
        Of the train, whose own drive and motor count where the owner names no speeds. [-]
    """
    control, drive = draw.plant.control, draw.plant.trains[place].drive
    assert control is not None  # the draw puts it there
    base = float(np.ravel(numbers.trains[place].power.motor.frequency)[0])
    highest = drive.maximum_frequency if drive is not None else None
    lowest = drive.minimum_frequency if drive is not None else None
    full = _first(control.full, highest, base)
    low = _first(control.low, lowest, LOW_SHARE * full)
    if control.low is None and low < SLOWEST:  # a drive set to no lowest frequency at all says nothing of what is used
        low = LOW_SHARE * full
    quiet = _first(control.quiet, None, min(max(QUIET_SHARE * full, low), full))
    return low, quiet, full


def _first(told: Array | None, other: Array | None, default: float) -> float:
    found = told if told is not None else other
    return default if found is None else float(np.ravel(found)[0])


def rate(
    draw: Draw,
    *,
    frequencies: Sequence[float] | None = None,
    gauge_pressures: Sequence[float] | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Rating:
    """Rate a drawn plant.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    frequencies : sequence of float or None
        Frequencies asked for; None takes low, quiet and full. [Hz]
    gauge_pressures : sequence of float or None
        Receiver pressures asked for, gauge; None takes cut-in and cut-out, likely values. [Pa]
    progress : callable or None
        Called with (points done, points in all).

    Returns
    -------
    Rating
        Points ordered by pressure within speed; full speed at cut-out last. [SI]

    Raises
    ------
    BadRequest
        A frequency or pressure that no plant can run at.
    """
    numbers = complete(draw)
    chosen = tuple(default_frequencies(draw, numbers) if frequencies is None else frequencies)
    if all(train.power.direct for train in numbers.trains):
        chosen = (numbers.mains,)
    gauges = _gauges(draw, numbers) if gauge_pressures is None else tuple(gauge_pressures)
    _check(chosen, gauges)
    points: list[RatedPoint] = []
    pressure = draw.barometer + np.array(gauges)[None, None, :]
    for start in range(0, len(chosen), SPEEDS_AT_ONCE):
        some = chosen[start : start + SPEEDS_AT_ONCE]
        state = instant(numbers, frequency=np.array(some)[None, :, None], receiver_pressure=pressure)
        path = replace(state.path, tool_pressure=tool_pressure(draw, numbers, receiver_pressure=pressure))
        points += _points(replace(state, path=path), draw, some, gauges)
        if progress:
            progress(len(points), len(chosen) * len(gauges))
    return Rating(draw, numbers, tuple(points))


def _gauges(draw: Draw, numbers: PlantNumbers) -> tuple[float, ...]:
    barometer = float(draw.barometer[0, 0, 0])
    ends = {round(float(np.ravel(p)[0]) - barometer, 3) for p in (numbers.cut_in, numbers.cut_out)}
    return tuple(sorted(ends))


def _check(frequencies: Sequence[float], gauges: Sequence[float]) -> None:
    for frequency in frequencies:
        if not 1.0 <= frequency <= 400.0:
            raise BadRequest(read=f"{frequency:g} Hz", where="--hz", wanted="a frequency from 1 to 400 Hz")
    for gauge in gauges:
        if not 0.0 <= gauge <= 1e7:
            read = f"{gauge / 1e5:.4g} bar ({gauge / 6894.757:.4g} psi)"
            raise BadRequest(read=read, where="--pressure", wanted="a receiver pressure from 0 to 100 bar gauge")


def _points(state: Instant, draw: Draw, frequencies: Sequence[float], gauges: tuple[float, ...]) -> list[RatedPoint]:
    """One point for each frequency and pressure of an instant."""
    shape = (draw.rows, len(frequencies), len(gauges))
    alone = [train_answers(train, shape) for train in state.trains]
    values = together(state, trains=alone, shape=shape) | path_answers(state.path, shape)
    runs = ~np.any(
        [np.broadcast_to(flat(stalled(t), shape), (draw.rows, shape[1] * shape[2])) for t in state.trains], axis=0
    )
    banded = {name: bands(each, only=runs) for name, each in values.items()}
    separate = [{n: bands(each, only=runs) for n, each in answers.items()} for answers in alone] if alone[1:] else []
    names = tuple(name for name in answer_meanings() if name in banded)
    found = []
    for i, (frequency, gauge) in enumerate((f, g) for f in frequencies for g in gauges):
        trains = {
            train.name: {name: band[i] for name, band in answers.items()}
            for train, answers in zip(draw.plant.trains, separate, strict=False)
        }
        found.append(RatedPoint(
            frequency=frequency, receiver_pressure=gauge + float(draw.barometer[0, 0, 0]), receiver_gauge=gauge,
            answers={name: banded[name][i] for name in names}, trains=trains,
            notices=_with_plate(
                notices_at(state, shape=shape, place=i, names=names), draw, gauge
            ), runs_share=float(np.mean(runs[:, i])),
        ))  # fmt: skip
    return found


def _with_plate(notices: dict[str, tuple[str, ...]], draw: Draw, gauge: float) -> dict[str, tuple[str, ...]]:
    """Say where a point lies above the plate pressure of a receiver: no spread of the draw softens that."""
    pressure = gauge + float(draw.barometer[0, 0, 0])
    plates = [r.plate_pressure for r in draw.plant.receiver if r.plate_pressure is not None]
    if all(pressure <= float(plate[0, 0, 0]) * (1.0 + 1e-9) for plate in plates):
        return notices
    words = "DANGER: this is above the receiver's plate pressure: never run it there"
    return notices | {"delivered_air": (words, *notices.get("delivered_air", ()))}
