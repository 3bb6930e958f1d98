"""Candidates: pairs at their points with their margins, said as numbers over the draw."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.plant.belt import Belt
from airfettle.studies.bands import Band, bands
from airfettle.studies.completion.whole import PlantNumbers, TrainNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.limits.numbers import LimitNumbers, limit_numbers
from airfettle.studies.sheaves.belts import Belts, belts
from airfettle.studies.sheaves.checks import BELTS, belts_asked, label_of, margins_of
from airfettle.studies.sheaves.pairs import Pairs, motor_there, wheel_there
from airfettle.studies.sheaves.points import Points, hertz_for, points
from airfettle.studies.sheaves.pump_map import PumpMap
from airfettle.studies.sheaves.ranking import nearest_limit_first
from airfettle.studies.sheaves.result import Candidate, Check
from airfettle.studies.sheaves.wanted import below_certainty

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Tried:
    """Pairs of one belt section to be judged: plant, certainty, wanted speed, numbers of belts, which of the motor
    sheaves is the present one, other wheels on the pump, and the pump over its speed. [SI]
    """

    draw: Draw
    numbers: PlantNumbers
    place: int
    certainty: float
    wanted: float
    section: str
    belts: range
    pairs: Pairs
    present: tuple[bool, ...]
    wheels: Array | None
    pump: PumpMap

    @property
    def belt(self) -> Belt[Array]:
        """The belt as drawn."""
        belt = self.draw.plant.trains[self.place].belt
        assert belt is not None
        return belt

    @property
    def train(self) -> TrainNumbers:
        """What turns the pump, and the pump."""
        return self.numbers.trains[self.place]

    @property
    def rows(self) -> int:
        """Rows of the draw."""
        return self.draw.rows

    def flat(self, value: Array) -> Array:
        """Return a value as (draw, pair)."""
        return np.broadcast_to(value, (self.rows, len(self.present), 1))[:, :, 0]


@dataclass(frozen=True)
class _Judged:
    """A margin over the pairs: share kept, margin kept in the certainty, at likely values, and rows where kept. [-]"""

    share: Array
    low: Array
    likely: Array
    kept: NDArray[np.bool_]


def candidates_of(tried: Tried) -> list[Candidate]:
    """Return a candidate for every pair and number of belts, in no order."""
    at = points(tried.train, pairs=tried.pairs, pump=tried.pump, wanted=tried.wanted)
    on = belts(tried.belt, section=tried.section, pairs=tried.pairs, points=at)
    limits = limit_numbers(tried.draw, tried.numbers, place=tried.place, dry_air=np.zeros(1))
    factor = _inertia_factor(tried)
    drive = tried.draw.plant.trains[tried.place].drive
    assert drive is not None
    margins = margins_of(
        tried.train, drive, limits=limits, pairs=tried.pairs, points=at, belts=on, pump=tried.pump,
        inertia_factor=None if tried.wheels is None else factor,
    )  # fmt: skip
    common = {name: _judged(tried, margin) for name, margin in margins.items()}
    all_kept = np.logical_and.reduce([judged.kept for judged in common.values()])
    asked = belts_asked(tried.train, points=at, belts=on)
    by_count, needed = _by_count(tried, asked)
    shared = _shared(tried, at=at, on=on, factor=factor, ranges=_hertz_ranges(tried, at, limits), needed=needed)
    found = []
    for i, own in enumerate(shared):
        checks = [_check(name, judged, i) for name, judged in common.items()]
        for count, judged in by_count.items():
            every = checks if judged is None else [*checks, _check(BELTS.name, judged, i)]
            kept = all_kept[i] if judged is None else all_kept[i] & judged.kept[i]
            found.append(Candidate(
                belts=count, checks=nearest_limit_first(every, tried.certainty),
                passes=all(check.share >= tried.certainty for check in every),
                all_share=np.count_nonzero(kept) / tried.rows, **own,
            ))  # fmt: skip
    return found


def _judged(tried: Tried, margin: Array) -> _Judged:
    """Judge a margin over the axes it has; what does not differ between rows or pairs is not spread out before."""
    margin = np.broadcast_to(margin, np.broadcast_shapes(margin.shape, (1, 1, 1)))
    rows = np.array(margin[:, :, 0].T, order="C")
    kept, count = rows > 0.0, len(tried.present)
    share, likely = np.count_nonzero(kept, axis=1) / rows.shape[1], rows[:, 0].copy()
    place = below_certainty(rows.shape[1], tried.certainty)
    rows.partition(place, axis=1)
    share, low, likely = (np.broadcast_to(each, (count,)) for each in (share, rows[:, place], likely))
    return _Judged(share, low, likely, np.broadcast_to(kept, (count, tried.rows)))


def _by_count(tried: Tried, asked: Array | None) -> tuple[dict[int, _Judged | None], list[int | None]]:
    """Judge each number of belts, and count those needed in the certainty; None where no rating is known. [-]"""
    if asked is None:
        return dict.fromkeys(tried.belts), [None] * len(tried.present)
    rows = np.ascontiguousarray(tried.flat(asked).T)
    place = tried.rows - 1 - below_certainty(tried.rows, tried.certainty)
    most = np.partition(rows, place, axis=1)[:, place]
    judged: dict[int, _Judged | None] = {}
    for n in tried.belts:
        kept = rows < n
        judged[n] = _Judged(np.count_nonzero(kept, axis=1) / tried.rows, 1.0 - most / n, 1.0 - rows[:, 0] / n, kept)
    return judged, [max(int(np.ceil(each)), 1) for each in most]


def _check(name: str, judged: _Judged, i: int) -> Check:
    return Check(name, label_of(name), float(judged.share[i]), float(judged.low[i]), float(judged.likely[i]))


def _shared(
    tried: Tried, *, at: Points, on: Belts, factor: Array, ranges: list[tuple[float, float] | None],
    needed: list[int | None],
) -> list[dict[str, Any]]:  # fmt: skip
    """What candidates of one pair share whatever their belts."""
    pair, count = tried.pairs, len(tried.present)
    hertz, speed, base, ratio, share = (
        bands(tried.flat(value)) for value in (at.frequency, at.pump_speed, at.base_speed, pair.ratio, at.torque_share)
    )
    wrap: list[Band | None] = list(bands(tried.flat(on.wrap))) if on.wrap is not None else [None] * count
    places = _places(tried, at, hertz)
    likely = {name: tried.flat(getattr(pair, name))[0] for name in ("motor_datum", "motor_outside", "motor_pitch")}
    change = _changes(tried, likely["motor_outside"])
    inertia = np.broadcast_to(factor, (tried.rows, count, 1))[0, :, 0]
    return [
        {
            "section": tried.section, "datum": float(likely["motor_datum"][i]),
            "outside": float(likely["motor_outside"][i]), "pitch": float(likely["motor_pitch"][i]),
            "present": tried.present[i], "wheel": None if tried.wheels is None else float(tried.wheels[i]),
            "hertz": hertz[i], "pump_speed": speed[i], "base_speed": base[i], "ratio": ratio[i],
            "torque_share": share[i], "hertz_range": ranges[i], "belts_needed": needed[i], "wrap": wrap[i],
            "belt_length": _at(on.length, i), "stock_length": _at(on.nearest, i), "belt_name": on.names[i],
            "shift": _at(on.shift, i), "inertia_factor": float(inertia[i]), "place": places[i],
            "change": float(change[i]),
        }
        for i in range(count)
    ]  # fmt: skip


def _at(values: Array | None, i: int) -> float | None:
    return None if values is None else float(values[i])


def _hertz_ranges(tried: Tried, at: Points, limits: LimitNumbers) -> list[tuple[float, float] | None]:
    """Hertz between the pump's lowest and highest speed, each kept in the certainty. [Hz]"""
    if tried.train.power.direct:
        return [None] * len(tried.present)
    pump, pair = tried.train.pump, tried.pairs
    through = 1.0 - pump.creep
    slow = hertz_for(tried.train, points=at, motor_speed=limits.lowest_pump_speed * pair.ratio / through, light=False)
    fast = hertz_for(tried.train, points=at, motor_speed=pump.maximum_speed * pair.fastest_ratio / through, light=True)
    place = below_certainty(tried.rows, tried.certainty)
    low = np.partition(tried.flat(slow), tried.rows - 1 - place, axis=0)[tried.rows - 1 - place]
    high = np.partition(tried.flat(fast), place, axis=0)[place]
    return [(float(a), float(b)) for a, b in zip(low, high, strict=True)]


def _places(tried: Tried, at: Points, hertz: list[Band]) -> list[float]:
    """Hertz over base frequency; on the line, the pump's fastest speed over the wanted. [-]"""
    if not tried.train.power.direct:
        base = float(np.ravel(tried.train.power.motor.frequency)[0])
        return [band.likely / base for band in hertz]
    fastest = at.light_speed * tried.pairs.ratio / tried.pairs.fastest_ratio
    return [float(share) for share in np.median(tried.flat(fastest), axis=0) / tried.wanted]


def _changes(tried: Tried, outside: Array) -> Array:
    """How far each motor sheave is from the present one. [-]"""
    there = motor_there(tried.belt, section=tried.section)
    return np.zeros_like(outside) if there is None else np.abs(outside / float(there[0, 0, 0]) - 1.0)


def _inertia_factor(tried: Tried) -> Array:
    """Inertia of another wheel over that of the one there: alike in shape, by diameter to the fifth. [-]"""
    if tried.wheels is None:
        return np.ones((1, 1, 1))
    there = wheel_there(tried.belt, section=tried.section)
    return np.asarray((tried.pairs.wheel_outside / there) ** 5)
