"""How slow and how fast a plant may run: where every limit holds at the certainty wanted, and which limit ends it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.bands import Band, bands
from airfettle.studies.completion.whole import PlantNumbers, complete
from airfettle.studies.draw import Draw
from airfettle.studies.instant.state import Instant
from airfettle.studies.instant.whole import instant
from airfettle.studies.limits.declared import LIMITS, Limit, limit_named
from airfettle.studies.limits.margins import margins
from airfettle.studies.rating import default_frequencies

Array = NDArray[np.float64]

LOOK_DOWN, LOOK_UP = 0.15, 1.5
"""Frequencies looked at, over the motor's base frequency. [-]"""
NODES = 17
"""Frequencies looked at first. [-]"""
CLOSE, ASIDE = 0.25, 0.06
"""Frequencies closer than this have a straight line between them; and how far either side of an expected end the last
ones are looked at. [Hz]"""
ROUNDS = 4
"""Times it is looked closer at most. [-]"""
FINE, FIRST = 1e-5, 3e-4
"""Relative change at which passes stop here, and at the first look: finer, an end moves by under 0.001 Hz. [-]"""


@dataclass(frozen=True)
class LimitRange:
    """Frequencies between which one limit holds at the certainty wanted.

    Attributes
    ----------
    limit : Limit
        Which.
    lowest, highest : float or None
        [Hz]  None where it holds as far as was looked, and both where it holds nowhere.
    holds_share : float
        Share of the draw in which it holds where it holds best. [-]
    nowhere : bool
        There is no speed at which it holds at the certainty wanted.
    """

    limit: Limit
    lowest: float | None
    highest: float | None
    holds_share: float
    nowhere: bool


@dataclass(frozen=True)
class End:
    """One end of the window.

    Attributes
    ----------
    frequency : float
        [Hz]
    binding : Limit or None
        What ends it; None where nothing does as far as was looked.
    pump_speed : Band
        There. [1/s]
    together : float
        Share of the draw in which all limits hold there at once. [-]
    """

    frequency: float
    binding: Limit | None
    pump_speed: Band
    together: float


@dataclass(frozen=True)
class SpeedWindow:
    """How slow and how fast one train may run.

    Attributes
    ----------
    train : str
        Its name; empty in a plant with one.
    certainty : float
        Share of the draw in which each limit must hold. [-]
    direct : bool
        The motor hangs on the line: its one frequency is looked at.
    lowest, highest : End or None
        None where no speed meets all limits that some speed meets.
    looked : tuple of float
        Lowest and highest frequency looked at. [Hz]
    ranges : tuple of LimitRange
        Every limit that applies.
    used : tuple of float
        Frequencies the plant is set to. [Hz]
    """

    train: str
    certainty: float
    direct: bool
    lowest: End | None
    highest: End | None
    looked: tuple[float, float]
    ranges: tuple[LimitRange, ...]
    used: tuple[float, ...]

    @property
    def nowhere(self) -> tuple[LimitRange, ...]:
        """Limits that no speed meets at the certainty wanted: speed does not cure them."""
        return tuple(r for r in self.ranges if r.nowhere)


def speed_windows(draw: Draw, *, certainty: float | None = None) -> tuple[SpeedWindow, ...]:
    """Return the speed window of every train.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    certainty : float or None
        Share of the draw in which each limit must hold at cut-in and at cut-out; None takes the plant's. [-]

    Returns
    -------
    tuple of SpeedWindow
        Where several speeds apart would do, the window around full frequency, else the widest. A limit that no speed
        meets is told apart and does not end the window: slowing does not cure it.

    Raises
    ------
    AirfettleError
        Entries contradict each other so far that nothing can be computed.
    """
    numbers = complete(draw)
    wanted = draw.plant.about.certainty if certainty is None else certainty
    used = default_frequencies(draw, numbers)
    first = _first_look(numbers, used)
    seen = _Seen(draw, numbers, first, wanted)
    found = [
        _window(seen, place, used) if not train.power.direct else _fixed(seen, place, used)
        for place, train in enumerate(numbers.trains)
    ]
    return tuple(found)


def _first_look(numbers: PlantNumbers, used: Sequence[float]) -> Array:
    """Frequencies looked at first: evenly spread by ratio, with base frequency and those in use among them. [Hz]"""
    if all(train.power.direct for train in numbers.trains):
        return np.array([numbers.mains])
    base = numbers.base_frequency
    spread = np.linspace(LOOK_DOWN * base, max(LOOK_UP * base, 1.1 * max(used)), NODES)
    return np.unique(np.concatenate([spread, [base], used]))


class _Seen:
    """Worst margin over cut-in and cut-out, by train and limit, shape (draw, frequency), at frequencies looked at."""

    def __init__(self, draw: Draw, numbers: PlantNumbers, frequencies: Array, certainty: float) -> None:
        self.draw, self.numbers, self.certainty = draw, numbers, certainty
        self.allowed = int((1.0 - certainty) * draw.rows + 1e-9)
        self.frequencies = np.zeros(0)
        self.margins: list[dict[str, Array]] = [{} for _ in numbers.trains]
        self.speeds: list[Array] = [np.zeros((draw.rows, 0)) for _ in numbers.trains]
        self.look(frequencies, close_enough=FIRST)

    def look(self, frequencies: Array, *, close_enough: float = FINE) -> None:
        """Look at more frequencies. [Hz]"""
        new = np.setdiff1d(frequencies, self.frequencies)
        if not new.size:
            return
        state = at_both_ends(self.draw, self.numbers, new, close_enough=close_enough)
        order = np.argsort(np.concatenate([self.frequencies, new]))
        self.frequencies = np.concatenate([self.frequencies, new])[order]
        for place, train in enumerate(state.trains):
            for name, margin in margins(self.draw, self.numbers, state, place=place).items():
                worst = self._wide(margin.min(axis=2), new.size)
                before = self.margins[place].get(name, np.zeros((self.draw.rows, 0)))
                self.margins[place][name] = np.concatenate([before, worst], axis=1)[:, order]
            speed = self._wide(train.pump_speed[:, :, -1], new.size)
            self.speeds[place] = np.concatenate([self.speeds[place], speed], axis=1)[:, order]

    def _wide(self, values: Array, points: int) -> Array:
        return np.array(np.broadcast_to(values, (self.draw.rows, points)))

    def sureness(self, place: int, name: str) -> Array:
        """Margin that is met in just the share of the draw that is wanted, at each frequency: not negative where it
        holds. [-]
        """
        margin = self.margins[place][name]
        return np.asarray(np.partition(margin, self.allowed, axis=0)[self.allowed])


def at_both_ends(draw: Draw, numbers: PlantNumbers, frequencies: Array, *, close_enough: float = FINE) -> Instant:
    """Return a plant at frequencies, each row at its own cut-in and cut-out. [SI]"""
    ends = [np.broadcast_to(np.asarray(p).reshape(-1, 1, 1), (draw.rows, 1, 1))
            for p in (numbers.cut_in, numbers.cut_out)]  # fmt: skip
    return instant(
        numbers, frequency=np.asarray(frequencies)[None, :, None], receiver_pressure=np.concatenate(ends, axis=2),
        close_enough=close_enough,
    )  # fmt: skip


def _window(seen: _Seen, place: int, used: Sequence[float]) -> SpeedWindow:
    """Find every end roughly, look closely there, and read them off."""
    names = [limit.name for limit in LIMITS if limit.ends and limit.name in seen.margins[place]]
    for _ in range(ROUNDS):
        closer: set[float] = set()
        for name in names:
            closer |= _looking_closer(seen.frequencies, seen.sureness(place, name))
        seen.look(np.array(sorted(closer)))
    full = max(used)
    ranges = [_range(seen, place, name, near=full) for name in names]
    curable = [r.limit.name for r in ranges if not r.nowhere]
    weakest = np.min([seen.sureness(place, name) for name in curable], axis=0) if curable else np.ones(1)
    span = _interval(seen.frequencies, weakest, near=full)
    low, high = (None, None) if span is None else (
        _end(seen, place, span[0], curable, outwards=-1), _end(seen, place, span[1], curable, outwards=1)
    )  # fmt: skip
    return SpeedWindow(
        train=seen.numbers.trains[place].name, certainty=seen.certainty, direct=False, lowest=low, highest=high,
        looked=(float(seen.frequencies[0]), float(seen.frequencies[-1])), ranges=tuple(ranges), used=tuple(used),
    )  # fmt: skip


def _looking_closer(frequencies: Array, sure: Array) -> set[float]:
    """Frequencies to look at next: where an end is expected, and once near, either side of it. [Hz]"""
    found: set[float] = set()
    for end in _crossings(frequencies, sure):
        above = min(int(np.searchsorted(frequencies, end, side="right")), frequencies.size - 1)
        if frequencies[above] - frequencies[above - 1] > CLOSE:
            near = np.min(np.abs(frequencies - end)) < CLOSE
            found |= {round(end + aside, 3) for aside in ((-ASIDE, ASIDE) if near else (0.0,))}
    return {f for f in found if frequencies[0] < f < frequencies[-1]}


def _fixed(seen: _Seen, place: int, used: Sequence[float]) -> SpeedWindow:
    """A motor on the line has one speed: which limits hold there."""
    mains = float(seen.numbers.mains)
    column = int(np.argmin(np.abs(seen.frequencies - mains)))
    ranges = []
    for limit in LIMITS:
        if limit.name in seen.margins[place]:
            share = float(np.mean(seen.margins[place][limit.name][:, column] >= 0.0))
            ranges.append(LimitRange(limit, None, None, share, share < seen.certainty))
    end = _end(seen, place, mains, [r.limit.name for r in ranges], outwards=0)
    return SpeedWindow(seen.numbers.trains[place].name, seen.certainty, True, end, end, (mains, mains), tuple(ranges),
                       (mains,))  # fmt: skip


def _crossings(frequencies: Array, sure: Array) -> list[float]:
    """Frequencies at which a curve through the points crosses zero, straight between close ones. [Hz]"""
    found = []
    for i in np.flatnonzero((sure[:-1] >= 0.0) != (sure[1:] >= 0.0)):
        apart = frequencies[i + 1] - frequencies[i]
        low, high = float(frequencies[i]), float(frequencies[i + 1])
        if apart > CLOSE and 0 < i < sure.size - 2:
            around = slice(i - 1, i + 3)
            fine = np.linspace(low, high, 65)
            curve = _through(fine, frequencies[around], sure[around])
            j = int(np.argmax((curve[:-1] >= 0.0) != (curve[1:] >= 0.0)))
            found.append(float(fine[j] + (fine[1] - fine[0]) * curve[j] / (curve[j] - curve[j + 1])))
        else:
            found.append(low + apart * float(sure[i] / (sure[i] - sure[i + 1])))
    return found


def _through(at: Array, x: Array, y: Array) -> Array:
    """Values of the cubic through four points. [-]"""
    total = np.zeros_like(at)
    for i in range(x.size):
        others = np.delete(x, i)
        total += y[i] * np.prod((at[:, None] - others) / (x[i] - others), axis=1)
    return total


def _interval(frequencies: Array, sure: Array, *, near: float) -> tuple[float, float] | None:
    """Interval in which a line through the points is not negative: around ``near``, else the widest. [Hz]"""
    marks = _crossings(frequencies, sure)
    edges = [float(frequencies[0]), *marks, float(frequencies[-1])]
    starts_good = bool(sure[0] >= 0.0)
    good = [(a, b) for i, (a, b) in enumerate(pairwise(edges)) if (i % 2 == 0) == starts_good]
    if not good:
        return None
    around = [(a, b) for a, b in good if a <= near <= b]
    return around[0] if around else max(good, key=lambda ab: ab[1] - ab[0])


def _range(seen: _Seen, place: int, name: str, *, near: float) -> LimitRange:
    sure = seen.sureness(place, name)
    best = float(np.max(np.mean(seen.margins[place][name] >= 0.0, axis=0)))
    span = _interval(seen.frequencies, sure, near=near)
    if span is None:
        return LimitRange(limit_named(name), None, None, best, True)
    lowest, highest = seen.frequencies[0], seen.frequencies[-1]
    return LimitRange(
        limit_named(name), None if span[0] <= lowest else span[0], None if span[1] >= highest else span[1], best, False
    )  # fmt: skip


def _end(seen: _Seen, place: int, frequency: float, names: Sequence[str], *, outwards: int) -> End:
    """One end: the limit that breaks just beyond it, pump speed there, and how often all hold at once."""
    column = int(np.argmin(np.abs(seen.frequencies - frequency)))
    at_edge = column in (0, seen.frequencies.size - 1) and abs(seen.frequencies[column] - frequency) < 1e-9
    binding = None
    if outwards and not at_edge:
        beyond = int(np.searchsorted(seen.frequencies, frequency + 1e-9, side="right" if outwards > 0 else "left"))
        beyond = min(beyond if outwards > 0 else beyond - 1, seen.frequencies.size - 1)
        binding = limit_named(min(names, key=lambda name: seen.sureness(place, name)[beyond]))
    all_hold = np.all([seen.margins[place][name][:, column] >= 0.0 for name in names], axis=0)
    speed = bands(seen.speeds[place][:, column : column + 1])[0]
    return End(frequency, binding, speed, float(np.mean(all_hold)))
