"""What pictures of a day read of a run: the traced path as lines, bars and steps, and the words of the answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from airfettle.quantity import Units
from airfettle.quantity.clock import DAYS
from airfettle.studies.day.answers import DayAnswers, ToolAnswers
from airfettle.studies.day.control import at_receiver
from airfettle.studies.day.machine import LONGEST_SHORT, TOOL_ON, TOOL_SHORT, TRACE
from airfettle.studies.day.many import Tally
from airfettle.studies.day.prepared import DAY, Prepared
from airfettle.studies.day.run import Path
from airfettle.studies.day.steps import IDLING, OFF

Array = NDArray[np.float64]

HOUR = 3600.0
"""One hour. [s]"""
STATE_BASE = 4
"""A trace holds the states of all trains as one number to this base. [-]"""
MOST, PARTLY = 0.75, 0.5
"""Share of the air drawn in shortages from which a tool causes them, and most of them. [-]"""


class DayRun(Protocol):
    """A plant that was run through a day, as far as pictures need it; ``app.day.DaysRun`` is one."""

    @property
    def prepared(self) -> Prepared:
        """The plant made ready to run. [SI]"""

    @property
    def tally(self) -> Tally:
        """What every path wrote down. [SI]"""

    @property
    def answers(self) -> DayAnswers:
        """What it comes to. [SI]"""

    @property
    def tools(self) -> tuple[ToolAnswers, ...]:
        """The same for each tool. [SI]"""

    @property
    def traced(self) -> Path | None:
        """One path step by step. [SI]"""

    @property
    def seed(self) -> int:
        """Of the chance."""


@dataclass(frozen=True)
class Bar:
    """A stretch of time; how many of a tool run in it, or which state a pump is in. [h from midnight] [-]"""

    begin: float
    end: float
    level: int


@dataclass(frozen=True)
class Traced:
    """The traced path, in hours from midnight of its first day and pressures by gauge.

    Attributes
    ----------
    hours, pressure : ndarray
        End of each step, and receiver pressure there, gauge. [h] [Pa]
    frequency, head, winding : ndarray
        Of each step; 0 Hz while everything stands. [Hz] [K] [K]
    tools : tuple of tuple of Bar
        Of each use, when how many of it run.
    pumps : tuple of tuple of Bar
        Of each train, when it is filling, running or idling (the state is the level).
    need : tuple of (float, float, float)
        Begin, end, and the receiver pressure that the most demanding running tool needs, gauge. [h] [h] [Pa]
    shortages : tuple of (float, float)
        Begin and end. [h]
    cut_in, cut_out : float
        Of the first train, gauge. [Pa]
    shown : tuple of (float, float)
        Whole hours outside of which nothing runs. [h]
    """

    hours: Array
    pressure: Array
    frequency: Array
    head: Array
    winding: Array
    tools: tuple[tuple[Bar, ...], ...]
    pumps: tuple[tuple[Bar, ...], ...]
    need: tuple[tuple[float, float, float], ...]
    shortages: tuple[tuple[float, float], ...]
    cut_in: float
    cut_out: float
    shown: tuple[float, float]


def traced_of(run: DayRun) -> Traced | None:
    """Return the traced path of a run; None where none was traced, or nothing was written down."""
    path = run.traced
    if path is None or not len(path.books.trace):
        return None
    rows, row = run.prepared.rows, path.row
    barometer = float(rows["barometer"][row])
    midnight = floor(path.start / DAY) * DAY
    trace = {name: path.books.trace[:, i] for i, name in enumerate(TRACE)}
    hours = (trace["time"] - midnight) / HOUR
    first = (path.start - midnight) / HOUR
    last = first + path.length / HOUR
    tools, need = _tool_bars(path, midnight, barometer)
    states = np.rint(trace["running"]).astype(np.int64)
    edges = np.concatenate([[first], hours])
    trains = len(run.prepared.numbers.trains)
    pumps = tuple(_state_bars(edges, states // STATE_BASE**k % STATE_BASE) for k in range(trains))
    shortages = tuple(((float(s[0]) - midnight) / HOUR, (float(s[1]) - midnight) / HOUR) for s in path.books.shortages)
    return Traced(
        hours, trace["pressure"] - barometer, trace["frequency"], trace["pump_wall"], trace["winding"], tools, pumps,
        need, shortages, float(rows["cut_in"][row, 0]) - barometer, float(rows["cut_out"][row, 0]) - barometer,
        _shown([*(b for lane in (*tools, *pumps) for b in lane)], first, last),
    )  # fmt: skip


def _shown(bars: Sequence[Bar], first: float, last: float) -> tuple[float, float]:
    if not bars:
        return first, last
    begin, end = min(b.begin for b in bars), max(b.end for b in bars)
    return max(first, float(floor(begin))), min(last, float(ceil(end)))


def _state_bars(edges: Array, states: NDArray[np.int64]) -> tuple[Bar, ...]:
    """Stretches in which a pump is not off. The state of a step stands at its end."""
    turns = np.flatnonzero(np.diff(states)) + 1
    starts, ends = np.concatenate([[0], turns]), np.concatenate([turns, [len(states)]])
    return tuple(
        Bar(float(edges[a]), float(edges[b]), int(states[a]))
        for a, b in zip(starts, ends, strict=True) if states[a] != OFF and edges[b] > edges[a]
    )  # fmt: skip


def _tool_bars(
    path: Path, midnight: float, barometer: float
) -> tuple[tuple[tuple[Bar, ...], ...], tuple[tuple[float, float, float], ...]]:
    """Read from the script how many of each use run, and what the most demanding of them needs."""
    told = path.tools
    many = told.many
    active = np.zeros(many, np.int64)
    bars: list[list[Bar]] = [[] for _ in range(many)]
    need: list[tuple[float, float, float]] = []
    since = path.start
    since_of = np.full(many, path.start)
    running = 0
    script = zip(told.times, told.codes, told.on, told.which, strict=True)
    for time, code, on, after in [*script, (path.start + path.length, -1, 0, 0)]:
        if time > since:
            level = _needed(path, active, running)
            begin, end = (since - midnight) / HOUR, (time - midnight) / HOUR
            if level is not None:
                if need and need[-1][1] == begin and need[-1][2] == level - barometer:
                    begin = need.pop()[0]
                need.append((begin, end, level - barometer))
            since = time
        for i in range(many) if code < 0 else ([code] if code < many else []):
            if active[i] and time > since_of[i]:
                bars[i].append(Bar((since_of[i] - midnight) / HOUR, (time - midnight) / HOUR, int(active[i])))
            active[i] += on
            since_of[i] = time
        running = int(after)
    return tuple(tuple(lane) for lane in bars), tuple(need)


def _needed(path: Path, active: NDArray[np.int64], running: int) -> float | None:
    """Receiver pressure at which the most demanding of the running tools works well, absolute. [Pa]"""
    if not active.any():
        return None
    t = path.tools
    if t.piped:
        return float(np.max(np.where(active > 0, t.needs_of[running], 0.0)))
    total = float(np.sum(active * (t.regulated[: t.many] + t.choked[: t.many] * t.full_at[: t.many])))
    return at_receiver(float(np.max(np.where(active > 0, t.needs[: t.many], 0.0))), total, t.line_drop)


def thinned(hours: Array, values: Array, *, most: int) -> tuple[Array, Array]:
    """Return a line with fewer points: of each of ``most``/4 equal stretches the first, lowest, highest and last."""
    if len(hours) <= most:
        return hours, values
    edges = np.linspace(hours[0], hours[-1], max(most // 4, 1) + 1)[1:-1]
    keep: set[int] = set()
    for part in np.split(np.arange(len(hours)), np.searchsorted(hours, edges)):
        if len(part):
            low, high = int(np.argmin(values[part])), int(np.argmax(values[part]))
            keep |= {int(part[0]), int(part[low]), int(part[high]), int(part[-1])}
    kept = np.array(sorted(keep))
    return hours[kept], values[kept]


def merged(bars: Iterable[Bar], *, gap: float) -> list[Bar]:
    """Return bars of one lane with those of the same level that lie nearer than a gap made one. [h]"""
    found: list[Bar] = []
    for bar in bars:
        if found and bar.level == found[-1].level and bar.begin - found[-1].end < gap:
            found[-1] = Bar(found[-1].begin, max(bar.end, found[-1].end), bar.level)
        else:
            found.append(bar)
    return found


def at_least(bars: Iterable[Bar], level: int) -> list[Bar]:
    """Return when at least so many run."""
    return merged((Bar(b.begin, b.end, level) for b in bars if b.level >= level), gap=1e-9)


def about(run: DayRun) -> tuple[str, Units]:
    """Return what the plant is called, and its owner's units."""
    found = run.prepared.draw.plant.about
    return found.name, found.units


def idles(path: Traced) -> bool:
    """Return whether some pump idles with its unloader open."""
    return any(bar.level == IDLING for lane in path.pumps for bar in lane)


def day_name(run: DayRun) -> str:
    """Return the day of the week a run begins on, or how many days it is long."""
    days = round(run.tally.length / DAY)
    return DAYS[int(run.tally.start // DAY) % 7] if days <= 1 else f"{days} days"


def chances(run: DayRun) -> str:
    """Return how many paths were run, and how many were asked for where it is fewer."""
    count = len(run.tally.paths)
    words = f"{count} chance" if count == 1 else f"{count} chances"
    return words if count == run.tally.wanted else f"{words} of {run.tally.wanted} asked for"


def headline(run: DayRun) -> str:
    """Return the first thing said: how much of the tools' time the pressure is enough, and what causes the rest."""
    tools = run.tally.of_tool
    on, short = float(tools[:, :, TOOL_ON].sum()), float(tools[:, :, TOOL_SHORT].sum())
    if on <= 0.0:
        return "No tool runs: nothing but leaks draws air"
    if short <= 0.0:
        return f"Enough pressure for every tool, all the time, in {chances(run)}"
    return f"Enough pressure {share_text(1.0 - short / on)} of tool time; {causes(run)}"


def causes(run: DayRun) -> str:
    """Return which tools draw the air while some tool is short."""
    weights = run.tally.totals[:, LONGEST_SHORT] > 0.0
    if not weights.any():
        return "no tool causes the rest"
    shares = [(float(np.mean(t.shortage_share[weights])), t.name) for t in run.tools]
    ranked = sorted(shares, reverse=True)
    first, name = ranked[0]
    if len(ranked) == 1 or first >= MOST:
        return f"{name} causes the rest"
    if first >= PARTLY:
        return f"{name} causes most of the rest"
    return f"when it is not, {name} and {ranked[1][1]} draw most of the air"


def share_text(share: float) -> str:
    """Return a share in percent, never as all or none unless it is."""
    percent = 100.0 * share
    if 0.0 < percent < 0.1:
        return "under 0.1 %"
    if 99.9 < percent < 100.0:
        return "over 99.9 %"
    places = 0 if percent == round(percent) else (1 if percent > 90.0 or percent < 10.0 else 0)
    return f"{percent:.{places}f} %"


def share_range(low: float, high: float) -> str:
    """Return two shares as a range, or as one where they read alike."""
    a, b = share_text(low), share_text(high)
    return a if a == b else f"{a.removesuffix(' %')} to {b}"


def span_text(seconds: float) -> str:
    """Return a length of time as a shop says it: ``40 s``, ``7 min``, ``2.1 h``."""
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    return f"{seconds / 60.0:.0f} min" if seconds < 90.0 * 60.0 else f"{seconds / HOUR:.1f} h"


def clock(hours: float) -> str:
    """Return hours from midnight as the clock shows them."""
    minutes = round(hours * 60.0)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"
