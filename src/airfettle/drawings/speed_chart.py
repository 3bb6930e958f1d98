"""Delivery and amps against drive frequency, as a Vega-Lite specification with no data but its own."""

from __future__ import annotations

from typing import Any

from airfettle.quantity import Units, in_unit, plain, shown_unit
from airfettle.studies.rating import Rating, answer_meanings

PAPER, INK, PALE, RULE = "#fbf8ef", "#1d2a33", "#1d2a33", "#c9c3b4"
WIDTH, HEIGHT = 560, 190
PANELS = (
    ("delivered_air", "air delivered"),
    ("supply_current", "amps from the supply"),
    ("sound_level", "sound at 1 m"),
)


def speed_chart(rating: Rating, *, title: str) -> dict[str, Any]:
    """Return the chart of a rating along its frequencies at its highest pressure, bands shaded, likely drawn."""
    units = rating.draw.plant.about.units
    gauge = max(p.receiver_gauge for p in rating.points)
    rows = [_row(rating, point, units) for point in rating.points if point.receiver_gauge == gauge]
    pressure = plain(gauge, kind="pressure", units=units)
    return {
        "$schema": "https://vega.github.io/schema/vega-lite/v5.json",
        "background": PAPER,
        "padding": 16,
        "title": {"text": title, "subtitle": [f"receiver at {pressure}; shaded: 9 of 10 rows of the draw (P5 to P95)"],
                  "anchor": "start", "color": INK, "subtitleColor": INK, "fontSize": 17, "subtitleFontSize": 12,
                  "offset": 14},
        "data": {"values": rows},
        "vconcat": [_panel(name, label, units, last=name == PANELS[-1][0]) for name, label in PANELS],
        "spacing": 18,
        "config": {
            "font": "sans-serif",
            "axis": {"labelColor": INK, "titleColor": INK, "gridColor": RULE, "gridOpacity": 0.5, "domainColor": INK,
                     "tickColor": INK, "labelFontSize": 12, "titleFontSize": 12, "titleFontWeight": "normal"},
            "view": {"stroke": None},
        },
    }  # fmt: skip


def _row(rating: Rating, point: Any, units: Units) -> dict[str, float]:
    row: dict[str, float] = {"hz": point.frequency}
    for name in (*(n for n, _ in PANELS), "pump_speed"):
        band = point.answers[name]
        kind = answer_meanings()[name].kind
        unit = shown_unit(kind, units)
        for end in ("low", "likely", "high"):
            row[f"{name}_{end}"] = round(in_unit(getattr(band, end), kind=kind, unit=unit), 4)
    return row


def _panel(name: str, label: str, units: Units, *, last: bool) -> dict[str, Any]:
    unit = shown_unit(answer_meanings()[name].kind, units)
    x = {"field": "hz", "type": "quantitative", "scale": {"nice": False, "zero": False},
         "axis": {"title": "drive frequency, Hz" if last else None, "tickCount": 8}}  # fmt: skip
    y = {"type": "quantitative", "scale": {"zero": name != "sound_level"}, "axis": {"title": None, "tickCount": 5}}
    band = {"mark": {"type": "area", "opacity": 0.16, "color": PALE},
            "encoding": {"x": x, "y": y | {"field": f"{name}_low"}, "y2": {"field": f"{name}_high"}}}  # fmt: skip
    edges = [
        {"mark": {"type": "line", "strokeWidth": 0.8, "color": INK, "strokeDash": [2, 2]},
         "encoding": {"x": x, "y": y | {"field": f"{name}_{end}"}}}
        for end in ("low", "high")
    ]  # fmt: skip
    likely = {"mark": {"type": "line", "strokeWidth": 2.2, "color": INK},
              "encoding": {"x": x, "y": y | {"field": f"{name}_likely"}}}  # fmt: skip
    return {
        "width": WIDTH, "height": HEIGHT,
        "title": {"text": f"{label}, {unit}", "anchor": "start", "fontSize": 13, "color": INK, "fontWeight": "bold",
                  "offset": 6},
        "layer": [band, *edges, likely, *_labels(name, x, y)],
    }  # fmt: skip


def _labels(name: str, x: dict[str, Any], y: dict[str, Any]) -> list[dict[str, Any]]:
    """Write the likely number at both ends of the line, where the eye looks."""
    labels = []
    for end, align, dx in (("min", "left", 6), ("max", "right", -6)):
        labels.append({
            "transform": [
                {"joinaggregate": [{"op": end, "field": "hz", "as": "end"}]},
                {"filter": "datum.hz == datum.end"},
            ],
            "mark": {"type": "text", "align": align, "dx": dx, "dy": -14, "fontSize": 13, "fontWeight": "bold",
                     "color": INK},
            "encoding": {"x": x, "y": y | {"field": f"{name}_likely"},
                         "text": {"field": f"{name}_likely", "type": "quantitative", "format": ".3~g"}},
        })  # fmt: skip
    return labels
