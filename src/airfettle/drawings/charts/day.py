"""A day, step by step: receiver pressure, what is short, speed, pumps, tools and warmth, on one clock."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from airfettle.drawings.charts import told
from airfettle.drawings.charts.style import (
    DESK,
    LETTER,
    TEXT,
    Spec,
    apart,
    clock_axis,
    inner,
    mark,
    narrow,
    number_text,
    panel_title,
    sheet,
    shortened,
    text_at,
    with_clock,
)
from airfettle.drawings.charts.told import Bar, DayRun, Traced
from airfettle.errors import BadRequest
from airfettle.quantity import Units, in_unit, shown_unit
from airfettle.studies.bands import HIGH, LOW
from airfettle.studies.day.machine import TOOL_ON, TOOL_SHORT
from airfettle.studies.day.steps import FILLING, IDLING

RIGHT = 70
"""Room for the names of lines at the right. [px]"""
POINTS = 1600
"""Most points of a line: some four for each pixel of a phone. [-]"""
PRESSURE_HEIGHT, SPEED_HEIGHT, WARMTH_HEIGHT, LANE, BAR = 190, 64, 110, 34, 13
STANDS = 0.02
"""Frequency under which a pump stands. [Hz]"""


@dataclass(frozen=True)
class Lane:
    """One lane: a name that may be cut, words that are not, and rows of bars. [text] [h]"""

    name: str
    words: str
    rows: list[list[Bar]]
    states: bool = False


def day_chart(
    run: DayRun, *, width: int = DESK, temperatures: bool = True, limits: Mapping[str, float] | None = None
) -> Spec:
    """Return the chart of the traced day.

    Parameters
    ----------
    run : DaysRun
        With one path traced. [SI]
    width : int
        Of the whole chart. [px]
    temperatures : bool
        Draw head and motor winding too.
    limits : mapping or None
        Highest temperature of ``head`` and of ``winding``, where somebody told it. [K]

    Raises
    ------
    BadRequest
        No path was traced.
    """
    path = told.traced_of(run)
    if path is None:
        raise BadRequest(read="a run with no day traced", wanted="a day that was run step by step")
    name, units = told.about(run)
    room = inner(width, right=RIGHT)
    panels = [_pressure(path, units, room)]
    if not all(train.power.direct for train in run.prepared.numbers.trains):
        panels.append(_speed(run, path, room))
    if len(path.pumps) > 1 or told.idles(path) or len(panels) == 1:
        panels.append(_pumps(run, path, room))
    if path.tools:
        panels.append(_tools(run, path, room))
    if temperatures:
        panels.append(_warmth(path, units, room, limits or {}))
    panels[-1] = with_clock(panels[-1], _clock_title(run, path, width))
    return sheet(panels, title=told.headline(run), subtitle=_subtitle(run, path, name), width=width)


def _clock_title(run: DayRun, path: Traced, width: int) -> str:
    begin, end = path.shown
    day = f"clock, {told.day_name(run)}"
    if narrow(width) or end - begin >= run.traced.length / told.HOUR - 0.1:  # type: ignore[union-attr]
        return day
    return f"{day}; nothing runs before {told.clock(begin)} and after {told.clock(end)}"


def _subtitle(run: DayRun, path: Traced, name: str) -> list[str]:
    """Day, seed and plant; what this one day holds, and the spread over all."""
    lines = [f"{name}, {told.day_name(run)}, seed {run.seed}, the plant at likely values."]
    if not path.tools:
        return lines
    longest = max((b - a for a, b in path.shortages), default=0.0)
    if path.shortages:
        count = len(path.shortages)
        times = "one shortage," if count == 1 else f"{count} shortages, the longest"
        here = f"On this day {times} {told.span_text(longest * told.HOUR)}"
    else:
        here = "On this day nothing is short"
    tools = run.tally.of_tool
    on, short = tools[:, :, TOOL_ON].sum(axis=1), tools[:, :, TOOL_SHORT].sum(axis=1)
    enough = 1.0 - short / np.maximum(on, 1e-9)
    if len(enough) < 2:
        return [*lines, f"{here}."]
    low, high = np.percentile(enough, [LOW, HIGH]).tolist()
    spread = "the same" if low == high == 1.0 else f"enough pressure {told.share_range(low, high)} of tool time"
    return [*lines, f"{here}; in {told.chances(run)} of use and plant: {spread}."]


def _x(path: Traced, room: int, field: str = "t") -> Spec:
    begin, end = path.shown
    return {"field": field, "type": "quantitative", **clock_axis(begin, end, width=room)}


def _panel(path: Traced, room: int, height: float, title: str, layers: list[Spec]) -> Spec:
    """Layers on the clock axis; each places itself in the upright."""
    return {
        "width": room, "height": height, "title": panel_title(title, room + RIGHT),
        "encoding": {"x": _x(path, room)}, "layer": layers,
    }  # fmt: skip


def _pressure(path: Traced, units: Units, room: int) -> Spec:
    """Pressure between its rules, what running tools need, and the shortages filled in between."""
    unit = shown_unit("pressure", units)

    def there(value: float) -> float:
        return in_unit(value, kind="pressure", unit=unit)

    begin, end = path.shown
    inside = (path.hours >= begin) & (path.hours <= end)
    shown = path.pressure[inside] if inside.any() else path.pressure
    levels = [float(shown.min()), float(shown.max()), path.cut_in, path.cut_out]
    levels += [max(level for _, _, level in path.need)] if path.need else []
    low, high = there(min(levels)), there(max(levels))
    domain = [max(low - 0.08 * (high - low), there(-1e5)), high + 0.06 * (high - low)]
    y: Spec = {"type": "quantitative", "scale": {"domain": domain, "nice": False, "zero": False},
               "axis": {"title": None, "tickCount": 5}}  # fmt: skip
    hours, values = told.thinned(path.hours[inside], shown, most=POINTS)
    line = [{"t": round(float(t), 4), "p": round(there(float(p)), 3)} for t, p in zip(hours, values, strict=True)]
    layers: list[Spec] = [
        {"data": {"values": [{"t": a, "e": b, "y": domain[0], "z": domain[1]} for a, b in _rounded(path.shortages)]},
         "mark": mark("rect", "short_time"),
         "encoding": {"x2": {"field": "e"}, "y": y | {"field": "y"}, "y2": {"field": "z"}}},
        {"data": {"values": _gaps(path, there)}, "mark": mark("area", "short"),
         "encoding": {"y": y | {"field": "p"}, "y2": {"field": "n"}, "detail": {"field": "s", "type": "nominal"}}},
        *(_rule(there(level), y, path, "setting") for level in (path.cut_in, path.cut_out)),
        {"data": {"values": _needs(path, there, room, domain[0])}, "mark": mark("rule", "needed"),
         "encoding": {"x2": {"field": "e"}, "y": y | {"field": "y"}}},
        {"data": {"values": line}, "mark": mark("line", "thin"), "encoding": {"y": y | {"field": "p"}}},
    ]  # fmt: skip
    names = [("cut-out", path.cut_out), ("cut-in", path.cut_in)]
    if path.need:
        names.append(("tools need", max(level for _, _, level in path.need)))
    layers += _names([(name, number_text(there(level), unit), there(level)) for name, level in names], domain, room)
    layers += _short_words(path, room)
    return _panel(path, room, PRESSURE_HEIGHT, f"receiver pressure, {unit}", layers)


def _rounded(pairs: Any) -> list[tuple[float, float]]:
    return [(round(a, 4), round(b, 4)) for a, b in pairs]


def _rule(level: float, y: Spec, path: Traced, style: str) -> Spec:
    begin, end = path.shown
    return {"data": {"values": [{"t": begin, "e": end, "y": level}]}, "mark": mark("rule", style),
            "encoding": {"x2": {"field": "e"}, "y": y | {"field": "y"}}}  # fmt: skip


def _needs(path: Traced, there: Any, room: int, lowest: float) -> list[Spec]:
    """What running tools need; where it changes within a pixel, the highest of it."""
    step = (path.shown[1] - path.shown[0]) / room
    found: list[tuple[float, float, float]] = []
    for begin, end, level in path.need:
        if found and begin - found[-1][1] < step and (found[-1][2] == level or end - found[-1][0] < step):
            found[-1] = (found[-1][0], end, max(level, found[-1][2]))
        else:
            found.append((begin, end, level))
    return [{"t": round(a, 4), "e": round(b, 4), "y": round(there(level), 3)} for a, b, level in found
            if there(level) >= lowest]  # fmt: skip


def _gaps(path: Traced, there: Any) -> list[Spec]:
    """Between pressure and need, within each shortage."""
    rows: list[Spec] = []
    begins = [a for a, _, _ in path.need]
    number = 0
    for begin, end in path.shortages:
        for a, b, level in path.need[max(bisect_right(begins, begin) - 1, 0) : bisect_right(begins, end)]:
            first, last = max(a, begin), min(b, end)
            if last <= first:
                continue
            edges = np.concatenate([[first], path.hours[(path.hours > first) & (path.hours < last)], [last]])
            hours, pressures = told.thinned(edges, np.interp(edges, path.hours, path.pressure), most=60)
            rows += [
                {"t": round(t, 4), "p": round(there(min(p, level)), 3), "n": round(there(level), 3), "s": number}
                for t, p in zip(hours.tolist(), pressures.tolist(), strict=True)
            ]
            number += 1
    return rows


def _short_words(path: Traced, room: int) -> list[Spec]:
    """The longest shortage in words, at the foot of the panel."""
    if not path.shortages:
        return []
    begin, end = max(path.shortages, key=lambda pair: pair[1] - pair[0])
    words = f"short from {told.clock(begin)}, {told.span_text((end - begin) * told.HOUR)}"
    at = (0.5 * (begin + end) - path.shown[0]) / (path.shown[1] - path.shown[0]) * room
    half = 3.8 * len(words)
    where = min(max(at, half), room - half)
    return [
        text_at(words, x=where, y=PRESSURE_HEIGHT - 10, style=style, align="center", baseline="middle")
        for style in ("halo", "redline")
    ]


def _names(lines: list[tuple[str, str, float]], domain: list[float], room: int) -> list[Spec]:
    """Names of the lines at the right of the panel, none upon another."""
    low, high = domain
    own = [PRESSURE_HEIGHT * (high - level) / (high - low) for _, _, level in lines]
    moved = apart(own, least=30.0, top=8.0, bottom=PRESSURE_HEIGHT - 16.0)
    return [
        text_at([name, value], x=room + 6, y=at, align="left", baseline="middle", lineHeight=14)
        for (name, value, _), at in zip(lines, moved, strict=True)
    ]


def _speed(run: DayRun, path: Traced, room: int) -> Spec:
    """Frequency as steps; a step's frequency stands at its end."""
    hours, frequency = _steps(path)
    shown = (hours >= path.shown[0] - 1e-9) & (hours <= path.shown[1] + 1e-9)
    hours, frequency = told.thinned(hours[shown], frequency[shown], most=POINTS)
    rows = [{"t": round(float(t), 4), "f": round(float(f), 2)} for t, f in zip(hours, frequency, strict=True)]
    top = max(float(path.frequency.max()), run.prepared.full)
    y: Spec = {"field": "f", "type": "quantitative", "scale": {"domain": [0, 1.08 * top], "nice": False},
               "axis": {"title": None, "tickCount": 4}}  # fmt: skip
    used = sorted({round(f, 1) for f in path.frequency.tolist() if f > STANDS})
    words = [f"{used[0]:g} Hz"] if len(used) == 1 else [f"{used[0]:g} to", f"{used[-1]:g} Hz"] if used else ["stands"]
    layers = [
        {"data": {"values": rows}, "mark": mark("area", "band", interpolate="step-before"),
         "encoding": {"y": y, "y2": {"datum": 0}}},
        {"data": {"values": rows}, "mark": mark("line", "thin", interpolate="step-before"), "encoding": {"y": y}},
        text_at(words, x=room + 6, y=14, align="left", baseline="middle", lineHeight=14),
    ]  # fmt: skip
    return _panel(path, room, SPEED_HEIGHT, "drive frequency, Hz (0: it stands)", layers)


def _steps(path: Traced) -> tuple[Any, Any]:
    """The ends of stretches of one frequency."""
    changes = np.flatnonzero(np.abs(np.diff(path.frequency)) > STANDS)
    kept = np.unique(np.concatenate([[0], changes, [len(path.frequency) - 1]]))
    hours, frequency = path.hours[kept], path.frequency[kept]
    begin, end = path.shown
    inside = (hours > begin) & (hours < end)
    first = float(path.frequency[np.searchsorted(path.hours, begin).clip(0, len(path.hours) - 1)])
    last = float(path.frequency[np.searchsorted(path.hours, end).clip(0, len(path.hours) - 1)])
    return (np.concatenate([[begin], hours[inside], [end]]), np.concatenate([[first], frequency[inside], [last]]))


def _lanes(path: Traced, room: int, lanes: list[Lane], title: str) -> Spec:
    """Lanes with a name above each; a lane holds bars one upon another."""
    pixel = (path.shown[1] - path.shown[0]) / room
    found: dict[str, list[Spec]] = {"solid": [], "soft": []}
    words = []
    for place, lane in enumerate(lanes):
        top = place * LANE + LANE - BAR - 3
        thick = BAR / max(len(lane.rows), 1)
        between = 0.6 if len(lane.rows) > 1 else 0.0
        for i, row in enumerate(lane.rows):
            for bar in told.merged(row, gap=0.5 * pixel):
                pale = lane.states and bar.level in (FILLING, IDLING)
                found["soft" if pale else "solid"].append({
                    "t": round(bar.begin, 4), "e": round(max(bar.end, bar.begin + 0.7 * pixel), 4),
                    "y": round(top + i * thick, 2), "z": round(top + (i + 1) * thick - between, 2),
                })  # fmt: skip
        name = shortened(lane.name, room + RIGHT - len(lane.words) * TEXT * LETTER)
        words.append(text_at(name + lane.words, x=0, y=top - 4, align="left", baseline="bottom"))
    height = LANE * len(lanes)
    y: Spec = {"type": "quantitative", "scale": {"domain": [height, 0], "nice": False, "zero": False}, "axis": None}
    layers = [
        {"data": {"values": rows}, "mark": mark("rect", style),
         "encoding": {"x2": {"field": "e"}, "y": y | {"field": "y"}, "y2": {"field": "z"}}}
        for style, rows in found.items()
    ]  # fmt: skip
    return _panel(path, room, height, title, [*layers, *words])


def _pumps(run: DayRun, path: Traced, room: int) -> Spec:
    lanes: list[Lane] = []
    trains = run.prepared.draw.plant.trains
    for place, bars in enumerate(path.pumps):
        name = trains[place].name or ("pump" if len(path.pumps) == 1 else f"pump {place + 1}")
        loaded = sum(b.end - b.begin for b in bars if b.level != IDLING)
        idle = sum(b.end - b.begin for b in bars if b.level == IDLING)
        words = f": ran loaded {told.span_text(loaded * told.HOUR)}" if bars else ": did not run"
        words += f", idling {told.span_text(idle * told.HOUR)}" if idle else ""
        lanes.append(Lane(name, words, [list(bars)], states=True))
    title = "pump" if len(path.pumps) == 1 else "pumps"
    return _lanes(path, room, lanes, f"{title} (pale: idling, unloader open)" if told.idles(path) else title)


def _tools(run: DayRun, path: Traced, room: int) -> Spec:
    lanes: list[Lane] = []
    books = run.traced.books.of_tool if run.traced is not None else np.zeros((0, 2))
    for place, (use, bars) in enumerate(zip(run.prepared.uses, path.tools, strict=True)):
        ran, short = float(books[place, TOOL_ON]), float(books[place, TOOL_SHORT])
        words = f" ({use.count})" if use.count > 1 else ""
        words += f": ran {told.span_text(ran)}" if ran else ": did not run"
        words += f", short {told.span_text(short)}" if short else ""
        lanes.append(Lane(use.name, words, [told.at_least(bars, level) for level in range(use.count, 0, -1)]))
    return _lanes(path, room, lanes, "tools, while they run")


def _warmth(path: Traced, units: Units, room: int, limits: Mapping[str, float]) -> Spec:
    """Head with cylinders and motor winding of the first pump, and their limits where they are told."""
    unit = shown_unit("temperature", units)

    def there(value: float) -> float:
        return in_unit(value, kind="temperature", unit=unit)

    lines = (("head", "likely", path.head), ("winding", "second", path.winding))
    every = [there(float(v)) for _, _, values in lines for v in (values.min(), values.max())]
    every += [there(value) for value in limits.values()]
    pad = 0.08 * max(max(every) - min(every), 1.0)
    domain = [min(every) - pad, max(every) + pad]
    y: Spec = {"type": "quantitative", "scale": {"domain": domain, "nice": False, "zero": False},
               "axis": {"title": None, "tickCount": 4}}  # fmt: skip
    inside = (path.hours >= path.shown[0]) & (path.hours <= path.shown[1])
    layers: list[Spec] = []
    names: list[tuple[list[str], float]] = []
    for name, style, values in lines:
        hours, kept = told.thinned(path.hours[inside], values[inside], most=POINTS // 4)
        rows = [{"t": round(float(t), 4), "k": round(there(float(k)), 1)} for t, k in zip(hours, kept, strict=True)]
        layers.append({"data": {"values": rows}, "mark": mark("line", style), "encoding": {"y": y | {"field": "k"}}})
        highest = float(values.max())
        names.append(([name, f"to {there(highest):.0f} {unit}"], there(highest)))
    for name, value in limits.items():
        layers.append(_rule(there(value), y, path, "limit"))
        at = WARMTH_HEIGHT * (domain[1] - there(value)) / (domain[1] - domain[0])
        words = f"highest for the {name}: {there(value):.0f} {unit}"
        layers += [
            text_at(words, x=4, y=at + (11 if at < 22 else -9), style=style, align="left", baseline="middle")
            for style in ("halo", "redline")
        ]
    own = [WARMTH_HEIGHT * (domain[1] - at) / (domain[1] - domain[0]) for _, at in names]
    moved = apart(own, least=30.0, top=8.0, bottom=WARMTH_HEIGHT - 22.0)
    layers += [
        text_at(words, x=room + 6, y=at, align="left", baseline="middle", lineHeight=14)
        for (words, _), at in zip(names, moved, strict=True)
    ]
    of = " of the first pump" if len(path.pumps) > 1 else ""
    return _panel(path, room, WARMTH_HEIGHT, f"head with cylinders, and (dashed) motor winding{of}, {unit}", layers)
