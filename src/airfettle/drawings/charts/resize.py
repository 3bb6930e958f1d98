"""Would a bigger receiver help, or only a faster pump? Shortage and starts against both."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from airfettle.drawings.charts import told
from airfettle.drawings.charts.style import (
    DESK,
    LEFT,
    Spec,
    inner,
    mark,
    narrow,
    number_text,
    panel_title,
    sheet,
    text_at,
)
from airfettle.quantity import Units, in_unit, shown_unit
from airfettle.studies.bands import Band
from airfettle.studies.day.resize import CurvePoint, Resized

HEIGHT = 110
HEADROOM = 1.28
"""Upper end of a scale over the highest value: room for a label above the band. [-]"""
ENDED = 0.001
"""Share of tool time short, in 95 of 100 chances, up to which a shortage has ended. [-]"""
UNFELT = 10.0
"""Longest shortage, in 95 of 100 chances, up to which it has ended. [s]"""
FELT = 0.2
"""Share by which a shortage has to fall to be called less. [-]"""
SAME = 0.02
"""Difference of two sizes, over one of them, under which they are one. [-]"""


@dataclass(frozen=True)
class _Panel:
    """What is drawn against a size: its answer, how it is shown, and the words."""

    answer: str
    shown: Callable[[float], float]
    words: str
    falls: bool = False


PANELS = (
    _Panel("enough_share", lambda share: 100.0 * (1.0 - share), "too little pressure, % of tool time", falls=True),
    _Panel("longest_shortage", lambda seconds: seconds / 60.0, "longest shortage, minutes"),
    _Panel("starts_worst", lambda rate: rate * told.HOUR, "most starts within one hour"),
)


def resize_charts(resized: Resized, *, units: Units = "SI", width: int = DESK, name: str = "") -> Spec:
    """Return the chart of a plant with other receivers and other full speeds.

    Parameters
    ----------
    resized : Resized
        Curves of both. [SI]
    units : str
        The owner's. [text]
    width : int
        Of the whole chart. [px]
    name : str
        What the plant is called. [text]
    """
    receiver, speed = _sound(resized.receiver), _sound(resized.speed)
    columns = [(receiver, "volume", "receiver")] + ([(speed, "frequency", "full speed")] if speed else [])
    side = len(columns) == 2 and not narrow(width)
    whole = inner(width, right=10)
    room = (whole - LEFT - 20) // 2 if side else whole
    tops = [
        max((p.shown(_ends(q.answers[p.answer], p)[1]) for c, _, _ in columns for q in c), default=1.0) for p in PANELS
    ]
    drawn = [
        [_panel(panel, points, kind, words, units, room, max(top, 1e-3), last=panel is PANELS[-1] or not side)
         for panel, top in zip(PANELS, tops, strict=True)]
        for points, kind, words in columns
    ]  # fmt: skip
    if side:
        panels: list[Spec] = [{"hconcat": list(pair), "spacing": 20} for pair in zip(*drawn, strict=True)]
    else:
        panels = [panel for column in drawn for panel in column]
    weeks = resized.length / 604_800.0
    length = f"{weeks:g} week" if weeks == 1.0 else f"{weeks:g} weeks"
    many = "one chance" if resized.paths == 1 else f"{resized.paths} chances"
    subtitle = f"{f'{name}: ' if name else ''}{length} of use, by {many}, the same at every point."
    note = ["Line: the middle chance; shaded: 9 of 10 of them (P5 to P95). Ring: the plant as it is."]
    left = len(resized.receiver) + len(resized.speed) - len(receiver) - len(speed)
    if left:
        note.append(f"Left out: {left} {'point' if left == 1 else 'points'} without a usable answer.")
    return sheet(panels, title=resize_title(resized, units=units), subtitle=[subtitle], width=width, note=note)


def _sound(points: Sequence[CurvePoint]) -> tuple[CurvePoint, ...]:
    """Points all of whose answers are numbers."""
    return tuple(p for p in points if all(isfinite(v) for b in p.answers.values() for v in (b.low, b.likely, b.high)))


def _ends(band: Band, panel: _Panel) -> tuple[float, float]:
    """Lower and upper end of what is shown."""
    return (band.high, band.low) if panel.falls else (band.low, band.high)


def _panel(
    panel: _Panel,
    points: Sequence[CurvePoint],
    kind: str,
    words: str,
    units: Units,
    room: int,
    top: float,
    *,
    last: bool,
) -> Spec:
    unit = shown_unit(kind, units)
    rows = []
    for point in points:
        band = point.answers[panel.answer]
        low, high = _ends(band, panel)
        shown = {name: round(panel.shown(v), 4) for name, v in (("low", low), ("likely", band.likely), ("high", high))}
        rows.append({"x": round(in_unit(point.value, kind=kind, unit=unit), 3), **shown, "own": point.own})
    at = [row["x"] for row in rows]
    domain = [0.0 if kind == "volume" else min(at), 1.03 * max(at) if kind == "volume" else max(at)]
    if domain[0] == domain[1]:
        domain = [domain[0] - 1.0, domain[1] + 1.0]
    x: Spec = {"field": "x", "type": "quantitative", "scale": {"domain": domain, "nice": False, "zero": False},
               "axis": {"title": f"{words}, {unit}" if last else None, "tickCount": max(3, room // 60)}}  # fmt: skip
    y: Spec = {"type": "quantitative", "scale": {"domain": [0, HEADROOM * top], "nice": False},
               "axis": {"title": None, "tickCount": 4}}  # fmt: skip
    layers: list[Spec] = [
        {"mark": mark("area", "band"), "encoding": {"y": y | {"field": "low"}, "y2": {"field": "high"}}},
        *({"mark": mark("line", "edge"), "encoding": {"y": y | {"field": end}}} for end in ("low", "high")),
        {"mark": mark("line", "likely"), "encoding": {"y": y | {"field": "likely"}}},
        {"mark": mark("point", "dot", size=26), "encoding": {"y": y | {"field": "likely"}}},
    ]
    own = next((row for row in rows if row["own"]), None)
    if own is not None:
        place = (own["x"] - domain[0]) / (domain[1] - domain[0]) * room
        label = f"as it is, {number_text(own['x'], unit)}"
        right = place > room - 7.0 * len(label)
        layers += [
            {"data": {"values": [own]}, "mark": mark("rule", "own_line"), "encoding": {}},
            {"data": {"values": [own]}, "mark": mark("point", "own", size=90),
             "encoding": {"y": y | {"field": "likely"}}},
            *(text_at(label, x=place + (-8 if right else 8), y=8, style=style, align="right" if right else "left",
                      baseline="middle") for style in ("halo", "words")),
        ]  # fmt: skip
    return {"width": room, "height": HEIGHT, "title": panel_title(panel.words, room), "data": {"values": rows},
            "encoding": {"x": x}, "layer": layers}  # fmt: skip


Effect = Literal["ends", "less", "nothing", "none"]


def resize_title(resized: Resized, *, units: Units) -> str:
    """Return what the curves say: which of receiver and speed ends the shortage, and what the other leaves.

    Notes
    -----
    A shortage has ended where in 95 of 100 chances no more than 0.1 % of tool time is short, and never longer than
    10 s; it is less where its share of tool time or its greatest length falls by a fifth.
    """
    receiver, speed = _sound(resized.receiver), _sound(resized.speed)
    own = next((p for p in (*receiver, *speed) if p.own), None)
    if own is None:
        return "Shortage against receiver size and full speed"
    if _ended(own):
        return _smaller(receiver, units)
    (by_size, size), (by_speed, fast) = _effect(receiver, own), _effect(speed, own)
    big, quick = _text(size, "volume", units), _text(fast, "frequency", units)
    if by_size == "ends" and by_speed == "ends":
        return f"Either ends the shortage: a receiver of {big}, or {quick}"
    if by_size == "ends":
        other = {"less": f"more speed alone only shortens it ({quick})", "nothing": "more speed alone does not"}
        fixed = "the pump already runs at its highest speed" if speed else "the pump has one speed"
        return f"A receiver of {big} ends the shortage; {other.get(by_speed, fixed)}"
    if by_speed == "ends":
        does = "shortens the shortage" if by_size == "less" else "hardly helps"
        return f"A bigger receiver {does}; only a faster pump ends it: {quick}"
    return _neither(by_size, size, by_speed, fast, own, units, speeds=bool(speed))


def _ended(point: CurvePoint) -> bool:
    return 1.0 - point.answers["enough_share"].low <= ENDED and point.answers["longest_shortage"].high <= UNFELT


def _effect(points: Sequence[CurvePoint], own: CurvePoint) -> tuple[Effect, CurvePoint | None]:
    """What going up from the plant's own does, and the point that shows it."""
    here = next((p for p in points if p.own), None)
    above = [p for p in points if here is not None and p.value > here.value * (1.0 + SAME)]
    if not above:
        return "none", None
    for place, point in enumerate(above):
        if all(_ended(p) for p in above[place:]):
            return "ends", point
    best = min(above, key=_short)
    long_own, long_best = (p.answers["longest_shortage"].likely for p in (own, best))
    less = _short(best) < (1.0 - FELT) * _short(own) or (
        _short(best) <= _short(own) and long_best < (1.0 - FELT) * long_own
    )
    return ("less" if less else "nothing"), best


def _short(point: CurvePoint) -> float:
    return 1.0 - point.answers["enough_share"].likely


def _text(point: CurvePoint | None, kind: str, units: Units) -> str:
    if point is None:
        return ""
    unit = shown_unit(kind, units)
    value = in_unit(point.value, kind=kind, unit=unit)
    return f"{value:.0f} {unit}" if value >= 10.0 else f"{value:.2g} {unit}"


def _smaller(receiver: Sequence[CurvePoint], units: Units) -> str:
    """Title of a plant with nothing short: how small its receiver could be."""
    enough: CurvePoint | None = None
    for point in reversed(
        [p for p in receiver if not p.own and p.value < max((q.value for q in receiver if q.own), default=0.0)]
    ):
        if not _ended(point):
            break
        enough = point
    words = "As it is, no tool runs short"
    if enough is None:
        return f"{words}; a smaller receiver would not do"
    return f"{words}; a receiver of {_text(enough, 'volume', units)} would still do, with more starts"


def _neither(
    by_size: Effect, size: CurvePoint | None, by_speed: Effect, fast: CurvePoint | None, own: CurvePoint, units: Units,
    *, speeds: bool,
) -> str:  # fmt: skip
    """Title where nothing tried ends the shortage: what is left of it in 95 of 100 chances."""

    def left(point: CurvePoint) -> str:
        return f"up to {told.share_text(1.0 - point.answers['enough_share'].low)}"

    parts = []
    if size is not None:
        parts.append(f"a receiver of {_text(size, 'volume', units)} leaves {left(size)}")
    if fast is not None:
        parts.append(f"{_text(fast, 'frequency', units)} leaves {left(fast)}")
    who = (
        "Neither a bigger receiver nor more speed ends the shortage"
        if fast is not None
        else "A bigger receiver does not end the shortage"
    )
    words = f"{who} ({left(own)} of tool time): {', '.join(parts)}" if parts else f"Short {left(own)} of tool time"
    if fast is None and speeds:
        words += "; the pump already runs at its highest speed"
    return words
