"""Rank what may be measured by how far it would narrow an answer, or settle whether something holds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.quantity.tolerance import INSTRUMENTS
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.evidence.statements import PUMP_UP_TIME
from airfettle.studies.instant.state import Instant, PathState, TrainState
from airfettle.studies.meaning import meanings
from airfettle.studies.shares import explained, spread_entries
from airfettle.studies.unknowns.shop_measurements import IN_THE_FILE, LOOK, ON_THE_RUN, ShopMeasurement

Array = NDArray[np.float64]

WORTH = 0.02
"""Share of an answer's spread, squared, that a measurement must take away to be told. [-]"""
PLATE_ERROR = 0.005
"""What a plate leaves open, one standard deviation, share of its value. [-]  Source: practice."""
SETTLED_ERROR = 0.02
"""Error of a pump-up whose settled pressure is read, one standard deviation. [-]  Source: practice: volume of the
receiver and gauge."""


@dataclass(frozen=True)
class Worth:
    """One measurement and what it would settle.

    Attributes
    ----------
    measurement : ShopMeasurement
        How it is done.
    path : str
        Entry of the plant file, or the answer that is read.
    train : str
        Of which train; empty in a plant with one.
    settles : float
        Share of the answer's variance it would take away, on average; for something that holds or not, of p(1 - p). [-]
    narrowed : float
        Width of the answer's band left, share. [-]
    expected : tuple of float
        P5 and P95 of what the reading should show. [SI]
    kind : str
        Kind of what is read.
    """

    measurement: ShopMeasurement
    path: str
    train: str
    settles: float
    narrowed: float
    expected: tuple[float, float]
    kind: str


@dataclass(frozen=True)
class Candidate:
    """Something that may be measured: what each row of the draw would show, and the instrument's error. [SI]"""

    measurement: ShopMeasurement
    path: str
    train: str
    kind: str
    rows: Array
    error: float


def worth_measuring(target: Array, *, candidates: tuple[Candidate, ...], seed: int = 1) -> tuple[Worth, ...]:
    """Return measurements that would narrow a target, the most telling first.

    Parameters
    ----------
    target : ndarray
        An answer's rows, or rows of 0 and 1, shape (draw,). [SI]
    candidates : tuple of Candidate
        What may be measured.
    seed : int
        Of the instruments' errors. [-]

    Notes
    -----
    Share of variance explained by rank bins of the simulated reading, instrument error included.  Valid: one reading
    at a time; what two together would settle is not seen.
    """
    chance = np.random.default_rng(seed)
    found = []
    for candidate in candidates:
        read = candidate.rows + candidate.error * chance.standard_normal(candidate.rows.size)
        share = explained(target, by=read)
        low, high = np.percentile(candidate.rows, [5.0, 95.0]).tolist()
        found.append(Worth(
            candidate.measurement, candidate.path, candidate.train, share, float(np.sqrt(1.0 - share)), (low, high),
            candidate.kind,
        ))  # fmt: skip
    return tuple(sorted(found, key=lambda worth: (-round(worth.settles, 2), worth.measurement.minutes)))


def candidates(draw: Draw, numbers: PlantNumbers, state: Instant) -> tuple[Candidate, ...]:
    """Return everything that may be measured on a plant running at one point.

    Parameters
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant, drawn and with its gaps filled. [SI]
    state : Instant
        The plant at the point where readings would be taken, one speed and one pressure. [SI]
    """
    return (*_readings(draw, numbers, state), *_entries(draw))


def _readings(draw: Draw, numbers: PlantNumbers, state: Instant) -> Iterator[Candidate]:
    every = meanings(TrainState) | meanings(PathState)
    for measurement in ON_THE_RUN:
        if measurement.what == PUMP_UP_TIME:
            yield _pump_up(draw, numbers, state, measurement)
            continue
        meaning = every[measurement.what]
        owners = list(zip(numbers.trains, state.trains, strict=True))
        if measurement.what in meanings(PathState):
            owners = [(numbers.trains[0], state.path)]  # type: ignore[list-item]
        for train, holder in owners:
            value = getattr(holder, measurement.what)
            rows = None if value is None else np.ravel(value)
            if rows is not None and rows.size == draw.rows:
                name = train.name if measurement.what in meanings(TrainState) else ""
                yield Candidate(measurement, measurement.what, name, meaning.kind, rows,
                                _error(measurement.instrument, meaning.kind, float(np.median(rows))))  # fmt: skip


def _pump_up(draw: Draw, numbers: PlantNumbers, state: Instant, measurement: ShopMeasurement) -> Candidate:
    """Time to pump the receivers up from empty to the likely cut-out: their volume over what is delivered."""
    volume = sum(r.volume for r in draw.plant.receiver if not r.absent)
    flow = np.asarray(sum(np.maximum(t.delivered_air, 1e-9) for t in state.trains))
    barometer = float(draw.barometer[0, 0, 0])
    filled = (float(np.ravel(numbers.cut_out)[0]) - barometer) / barometer
    rows = np.broadcast_to(np.ravel(volume * filled / flow), (draw.rows,))
    return Candidate(measurement, PUMP_UP_TIME, "", "time", np.asarray(rows), SETTLED_ERROR * float(np.median(rows)))


def _entries(draw: Draw) -> Iterator[Candidate]:
    by_what = {m.what: m for m in IN_THE_FILE}
    for path, rows in spread_entries(draw).items():
        train, what = _below_train(path)
        section = what.partition(".")[0]
        generic = f"{section}.{what.rpartition('.')[2]}" if what.count(".") > 1 and section != "pump" else what
        measurement = by_what.get(what) or by_what.get(generic)
        span = draw.spans[path]
        if measurement is not None:
            yield Candidate(measurement, path, train, span.kind, rows,
                            _error(measurement.instrument, span.kind, float(np.median(rows))))  # fmt: skip


def _below_train(path: str) -> tuple[str, str]:
    """Name of the train and the entry below it."""
    if not path.startswith("train."):
        return "", path
    _, name, rest = path.split(".", 2)
    return name, rest


def _error(instrument: str, kind: str, value: float) -> float:
    """One standard deviation of an instrument's reading. [SI]"""
    error = INSTRUMENTS.get(instrument, {}).get(kind)
    if error is None or instrument == LOOK:
        return PLATE_ERROR * abs(value)
    return 0.5 * max(error.share * abs(value), error.amount)
