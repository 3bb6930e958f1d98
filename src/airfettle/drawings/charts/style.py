"""How charts look: paper and blueprint, marks by name, titles that fit their width.

A mark says only what it is (``"style": "likely"``); its line, fill and colour stand here, once for paper and once for
blueprint, so that one specification serves both. Line style and direct labels carry the meaning, colour only helps.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Any

Spec = dict[str, Any]

SCHEMA = "https://vega.github.io/schema/vega-lite/v5.json"
DESK, PHONE = 640, 340
"""Widths charts are made for. [px]"""
NARROW = 480
"""Below this a chart is laid out for a phone. [px]"""
TEXT, PANEL_TITLE, TITLE = 12, 13, 17
"""Sizes of type; nothing is smaller than the first. [px]"""
LETTER = 0.55
"""Mean width of a letter over its size, of a wide sans-serif face. [-]"""
LEFT = 44
"""Room for the numbers of an upright axis. [px]"""


@dataclass(frozen=True)
class Palette:
    """Colours of a sheet: paper, ink, pale ink, ruled lines, and the redline."""

    paper: str
    ink: str
    pale: str
    rule: str
    red: str


PAPER = Palette(paper="#fbf8ef", ink="#1d2a33", pale="#5a6670", rule="#d8d2c2", red="#b3261e")
BLUEPRINT = Palette(paper="#12304e", ink="#eef4fa", pale="#b3c6d8", rule="#335577", red="#ff9d87")


def themed(spec: Spec, dark: bool = False) -> Spec:
    """Return a chart on paper, or as a blueprint; whatever sheet it was on before."""
    colours = BLUEPRINT if dark else PAPER
    return {"$schema": SCHEMA, **spec, "background": colours.paper, "config": _config(colours)}


def sheet(panels: list[Spec], *, title: str, subtitle: list[str], width: int, note: list[str] | None = None) -> Spec:
    """Return panels one below the other under a title that says the answer, on paper.

    Parameters
    ----------
    panels : list of dict
        Each as wide as ``inner`` says.
    title : str
        The answer. [text]
    subtitle, note : list of str
        What is shown, above the panels; what to mind when reading it, below them. [text]
    width : int
        Of the whole chart. [px]
    """
    room = width - 2 * _edge(width)
    below = [line for text in note or [] for line in wrapped(text, room, TEXT)]
    return themed({
        "padding": _edge(width),
        "title": {
            "text": balanced(title, room, TITLE),
            "subtitle": [line for text in subtitle for line in wrapped(text, room, TEXT)],
            "anchor": "start", "frame": "bounds", "offset": 14,
        },
        "vconcat": [*panels, *([_note(below, width)] if below else [])],
        "spacing": 16,
    })  # fmt: skip


def inner(width: int, *, right: int = 0) -> int:
    """Return the width of a panel's own area, with room for the axis and for labels at its right. [px]"""
    return width - 2 * _edge(width) - LEFT - right


def narrow(width: int) -> bool:
    """Return whether a chart is laid out for a phone."""
    return width < NARROW


def panel_title(text: str, width: int) -> Spec:
    """Return the title of one panel of a width: what it shows, and its unit; it begins over the numbers of the axis."""
    lines = wrapped(text, width + LEFT, PANEL_TITLE)
    return {"text": lines, "anchor": "start", "frame": "group", "dx": -LEFT, "fontSize": PANEL_TITLE, "offset": 8,
            "style": "panel"}  # fmt: skip


def wrapped(text: str, width: float, size: float) -> list[str]:
    """Return a text as lines that fit a width, by a mean width of letters."""
    most = max(12, int(width / (size * LETTER)))
    lines: list[str] = []
    line = ""
    for word in text.split():
        while len(word) > most:
            lines += [line] if line else []
            line, word = "", word
            lines.append(word[: most - 1] + "-")
            word = word[most - 1 :]
        if line and len(line) + 1 + len(word) > most:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line] if line else lines or [""]


def balanced(text: str, width: float, size: float) -> list[str]:
    """Return a text as as many lines as it needs, all about as long."""
    lines = wrapped(text, width, size)
    while width > 4.0 * size and len(found := wrapped(text, width, size)) <= len(lines):
        lines, width = found, width - size * LETTER
    return lines


def shortened(text: str, width: float, size: float = TEXT) -> str:
    """Return a text cut to a width, with an ellipsis where something was cut."""
    most = max(4, int(width / (size * LETTER)))
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def mark(kind: str, style: str, **more: Any) -> Spec:
    """Return a mark of a kind in one of the named styles."""
    return {"type": kind, "style": style, **more}


def text_at(text: str | list[str], *, x: Any, y: Any, style: str = "words", **more: Any) -> Spec:
    """Return a layer with one text at a place: numbers are pixels of the panel."""
    place = {name: {"value": at} if isinstance(at, int | float) else at for name, at in (("x", x), ("y", y))}
    return {
        "data": {"values": [{}]},
        "mark": mark("text", style, **more),
        "encoding": {**place, "text": {"value": text}},
    }


def apart(places: list[float], *, least: float, top: float, bottom: float) -> list[float]:
    """Return heights moved so that none is nearer than ``least`` to the next, as near to their own as that allows.

    Parameters
    ----------
    places : list of float
        Heights, in any order. [px]
    least : float
        Between two. [px]
    top, bottom : float
        Between which they stay, as far as there is room. [px]
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    moved = [min(max(places[i], top), bottom) for i in order]
    for _ in range(50):
        for i in range(len(moved) - 1):
            lack = least - (moved[i + 1] - moved[i])
            if lack > 0.0:
                moved[i], moved[i + 1] = moved[i] - lack / 2, moved[i + 1] + lack / 2
        moved = [min(max(at, top), bottom) for at in moved]
    back = [0.0] * len(places)
    for i, at in zip(order, moved, strict=True):
        back[i] = round(at, 1)
    return back


def clock_axis(begin: float, end: float, *, width: float) -> Spec:
    """Return the clock along the bottom, in hours from midnight, with as many marks as there is room for."""
    most = max(2, int(width / 50))
    step = next((s for s in (1, 2, 3, 4, 6, 12, 24) if (end - begin) / s <= most), ceil((end - begin) / most))
    first = ceil(begin / step - 1e-9) * step
    ticks = list(range(first, int(end) + 1, step))
    return {
        "scale": {"domain": [begin, end], "nice": False, "zero": False},
        "axis": {
            "values": ticks, "title": None, "grid": True, "labels": False, "labelOverlap": False,
            "labelExpr": "(datum.value % 24 < 10 ? '0' : '') + (datum.value % 24) + ':00'",
        },
    }  # fmt: skip


def with_clock(panel: Spec, title: str) -> Spec:
    """Return a panel with the hours written along its clock; of several panels the lowest has them."""
    x = panel["encoding"]["x"]
    axis = x["axis"] | {"labels": True, "title": title}
    return {**panel, "encoding": {**panel["encoding"], "x": {**x, "axis": axis}}}


def number_text(value: float, unit: str) -> str:
    """Return a number to three digits, with its unit."""
    text = f"{value:.0f}" if abs(value) >= 100.0 else f"{value:.3g}"
    return f"{text} {unit}".strip()


def _edge(width: int) -> int:
    return 8 if narrow(width) else 16


def _note(lines: list[str], width: int) -> Spec:
    return {
        "width": inner(width), "height": 15 * len(lines), "data": {"values": [{}]}, "view": {"stroke": None},
        "mark": mark("text", "note", align="left", baseline="top", lineHeight=15),
        "encoding": {"x": {"value": -LEFT}, "y": {"value": 0}, "text": {"value": lines}},
    }  # fmt: skip


def _config(c: Palette) -> Spec:
    line = {"color": c.ink, "filled": False, "strokeJoin": "round"}
    area = {"color": c.ink, "filled": True, "strokeWidth": 0}
    words = {"color": c.ink, "fontSize": TEXT}
    return {
        "font": "sans-serif",
        "view": {"stroke": None},
        "title": {"color": c.ink, "subtitleColor": c.ink, "fontSize": TITLE, "subtitleFontSize": TEXT,
                  "fontWeight": "bold", "lineHeight": 21, "subtitleLineHeight": 16, "subtitlePadding": 6},
        "axis": {"labelColor": c.ink, "titleColor": c.ink, "gridColor": c.rule, "gridOpacity": 0.6,
                 "domainColor": c.ink, "tickColor": c.ink, "labelFontSize": TEXT, "titleFontSize": TEXT,
                 "titleFontWeight": "normal", "labelFlush": False},
        "style": {
            "panel": {"fill": c.ink, "fontSize": PANEL_TITLE, "fontWeight": "bold", "lineHeight": 17},
            "likely": line | {"strokeWidth": 2.0}, "thin": line | {"strokeWidth": 1.2},
            "second": line | {"strokeWidth": 1.6, "strokeDash": [7, 3]},
            "edge": line | {"strokeWidth": 0.8, "strokeDash": [2, 2]},
            "middle": line | {"strokeWidth": 4.0},
            "setting": line | {"strokeWidth": 1.0, "strokeDash": [8, 3, 2, 3]},
            "needed": line | {"strokeWidth": 2.5},
            "limit": line | {"color": c.red, "strokeWidth": 1.6, "strokeDash": [10, 4]},
            "own_line": line | {"strokeWidth": 1.0, "strokeDash": [1, 3]},
            "band": area | {"opacity": 0.16}, "soft": area | {"opacity": 0.3}, "solid": area,
            "short": area | {"color": c.red}, "short_time": area | {"color": c.red, "opacity": 0.18},
            "dot": area | {"opacity": 1.0},
            "own": line | {"fill": c.paper, "strokeWidth": 2.0, "opacity": 1.0},
            "words": words, "strong": words | {"fontWeight": "bold"}, "note": words | {"color": c.pale},
            "redline": words | {"color": c.red, "fontWeight": "bold"},
            "halo": words | {"color": c.paper, "stroke": c.paper, "strokeWidth": 5, "strokeJoin": "round",
                             "fontWeight": "bold"},
        },
    }  # fmt: skip
