"""Would a bigger receiver help, or only a bigger pump? Shortage against receiver size, and against full speed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import BadRequest
from airfettle.studies.bands import Band, bands
from airfettle.studies.day.answers import day_answers
from airfettle.studies.day.machine import PRESSURE
from airfettle.studies.day.many import run_many
from airfettle.studies.day.prepared import WEEK, Prepared, prepare_plant, with_volume
from airfettle.studies.draw import Draw

Array = NDArray[np.float64]

SIZES = (0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0)
"""Receiver sizes tried, over its own. [-]"""
SPEEDS = 6
"""Full speeds tried, from the lowest used to the highest allowed. [-]"""
KEPT = ("enough_share", "longest_shortage", "starts_worst", "starts_mean", "energy_year", "shortest_off")
"""Answers kept at every point of a curve."""


@dataclass(frozen=True)
class CurvePoint:
    """One size or speed.

    Attributes
    ----------
    value : float
        Volume at likely values [m3], or full frequency [Hz].
    own : bool
        The plant as it is.
    answers : dict
        Answer id of ``DayAnswers`` -> its band. [SI]
    """

    value: float
    own: bool
    answers: dict[str, Band]


@dataclass(frozen=True)
class Resized:
    """Shortage against receiver size and against full speed, all by the same chances.

    Attributes
    ----------
    receiver, speed : tuple of CurvePoint
        In rising order; no speeds where the motor hangs on the line.
    length : float
        Time that each point was run for. [s]
    paths : int
        Chances at each point, each on a row of its own.
    """

    receiver: tuple[CurvePoint, ...]
    speed: tuple[CurvePoint, ...]
    length: float
    paths: int


def resize(
    draw: Draw,
    *,
    seed: int = 1,
    paths: int = 32,
    weeks: int = 2,
    progress: Callable[[int, int], None] | None = None,
) -> Resized:
    """Return what another receiver, or another full speed, would do.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    seed, paths, weeks : int
        Of the chance; paths and weeks at every point.
    progress : callable or None
        Called with (points done, points in all).

    Raises
    ------
    BadRequest
        The plant tells no uses.
    """
    own = prepare_plant(draw)
    if not own.uses:
        raise BadRequest(
            read="a plant without [[use]]", wanted="at least one [[use]]: without a tool nothing runs short"
        )
    speeds = speeds_to_try(own)
    many, done = len(SIZES) + len(speeds), 0
    volume = float(own.rows["volume"][0])
    receiver, speed = [], []
    for share in SIZES:
        receiver.append(_point(with_volume(own, share), share * volume, share == 1.0, seed, paths, weeks))
        done += 1
        if progress:
            progress(done, many)
    for frequency in speeds:
        other = own if frequency == own.full else prepare_plant(draw, full=frequency)
        speed.append(_point(other, frequency, frequency == own.full, seed, paths, weeks))
        done += 1
        if progress:
            progress(done, many)
    return Resized(tuple(receiver), tuple(speed), weeks * WEEK, paths)


def speeds_to_try(prepared: Prepared) -> tuple[float, ...]:
    """Return full speeds from the lowest used to the highest the drive is set to, the own one among them. [Hz]"""
    if all(train.power.direct for train in prepared.numbers.trains):
        return ()
    drive = prepared.draw.plant.trains[0].drive
    ends = [prepared.quiet, prepared.full]
    told = (drive.minimum_frequency, drive.maximum_frequency) if drive is not None else ()
    ends += [float(np.ravel(end)[0]) for end in told if end is not None]
    tried = {round(float(f), 1) for f in np.linspace(min(ends), max(ends), SPEEDS)}
    tried = {f for f in tried if abs(f - prepared.full) > 1.0} | {prepared.full}
    lowest = prepared.ranges[0][0] if prepared.scheme == PRESSURE else 0.0
    return tuple(sorted(f for f in tried if f > lowest))


def _point(plant: Prepared, value: float, own: bool, seed: int, paths: int, weeks: int) -> CurvePoint:
    tally = run_many(plant, paths=range(paths), seed=seed, start=0.0, length=weeks * WEEK)
    answers = day_answers(plant, tally)
    return CurvePoint(value, own, {name: band_of(getattr(answers, name)) for name in KEPT
                                   if getattr(answers, name) is not None})  # fmt: skip


def band_of(values: Array | Sequence[float]) -> Band:
    """Return the band of an answer over paths. [SI]"""
    return bands(np.asarray(values, dtype=np.float64)[:, None])[0]
