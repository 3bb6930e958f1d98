"""Where a day's water goes: litres at each station, with its spread, and how long until drains must open."""

from __future__ import annotations

from airfettle.drawings.charts import told
from airfettle.drawings.charts.style import DESK, LETTER, TEXT, Spec, inner, mark, sheet, text_at
from airfettle.drawings.charts.told import DayRun
from airfettle.quantity import in_unit, shown_unit, toleranced
from airfettle.studies.bands import Band
from airfettle.studies.day.prepared import DAY
from airfettle.studies.day.resize import band_of

STATIONS = (
    ("water_between", "intercooler", None, ""),
    ("water_separator", "separator, before the receiver", "separator_fills", "its drain must open after"),
    ("water_receiver", "receiver", "receiver_fills", "its drain must open after"),
    ("water_after", "behind the receiver, filters and dryer", None, ""),
    ("water_sent", "sent on to the tools", None, ""),
)  # fmt: skip
"""Answer, words, answer that says when its drain must open, words for it; in the order of the air."""
LINE, BAND = 15.0, 12.0
BOLD = 1.08
"""Width of bold type over that of plain. [-]"""
NOTHING = 1e-3 / DAY
"""Water under which a station has none: a millilitre in a day. [kg/s]"""
NEVER = 87_600.0
"""Running hours from which a drain need not be spoken of: ten years. [h]"""


def water_chart(run: DayRun, *, width: int = DESK) -> Spec:
    """Return the chart of a day's water.

    Parameters
    ----------
    run : DaysRun
        Paths that were run. [SI]
    width : int
        Of the whole chart. [px]
    """
    name, units = told.about(run)
    unit = shown_unit("daily_water", units)
    room = inner(width, right=12)
    bands = [(s, band_of(getattr(run.answers, s[0]))) for s in STATIONS]
    there = [(s, b) for s, b in bands if b.high >= NOTHING]
    none = [s[1] for s, b in bands if b.high < NOTHING]
    top = max((in_unit(b.high, kind="daily_water", unit=unit) for _, b in there), default=1.0)
    rows: list[Spec] = []
    layers: list[Spec] = []
    foot = 0.0
    for station, band in there:
        value = toleranced(band.low, band.likely, band.high, kind="daily_water", units=units)
        lines = _lines(station[1], value, _drain(run, station), room)
        for i, line in enumerate(lines):
            style = "words" if i else "strong"
            layers.append(text_at(line, x=0, y=foot + LINE * (i + 1), style=style, align="left", baseline="bottom"))
        top = foot + LINE * len(lines) + 5.0
        low, likely, high = (in_unit(v, kind="daily_water", unit=unit) for v in (band.low, band.likely, band.high))
        rows.append({"station": station[0], "low": low, "likely": likely, "high": high,
                     "y": top, "z": top + BAND, "m": top + BAND / 2})  # fmt: skip
        foot = top + BAND + 10.0
    most = max((row["high"] for row in rows), default=1.0)
    height = max(foot, LINE)
    x: Spec = {"type": "quantitative", "scale": {"domain": [0, 1.04 * most], "nice": False},
               "axis": {"title": f"water in a day, {unit}", "tickCount": max(3, room // 90)}}  # fmt: skip
    y: Spec = {"type": "quantitative", "scale": {"domain": [height, 0], "nice": False, "zero": False}, "axis": None}
    data = {"values": rows}
    across = {"x": x | {"field": "low"}, "x2": {"field": "high"}}
    panel: Spec = {
        "width": room, "height": height,
        "layer": [
            {"data": data, "mark": mark("rect", "band"),
             "encoding": {**across, "y": y | {"field": "y"}, "y2": {"field": "z"}}},
            {"data": data, "mark": mark("rule", "likely"),
             "encoding": {**across, "y": y | {"field": "m"}}},
            {"data": data, "mark": mark("rule", "middle"),
             "encoding": {"x": x | {"field": "likely"}, "y": y | {"field": "y"}, "y2": {"field": "z"}}},
            *layers,
        ],
    }  # fmt: skip
    days = round(run.tally.length / DAY)
    kind = told.day_name(run) if days <= 1 else f"mean of {days} days"
    note = [
        f"Bar: 9 of 10 of {told.chances(run)} (P5 to P95), the upright in it their middle; running hours likewise.",
        "Water that lies in the receiver is taken to stay there: none evaporates again.",
    ]
    if none:
        note.append(f"Under 1 mL a day: {'; '.join(none)}.")
    return sheet([panel], title=_title(run), subtitle=[f"{name}, {kind}, seed {run.seed}."], width=width, note=note)


def _lines(name: str, value: str, drain: str, room: int) -> list[str]:
    """Name and amount on one line where there is room, and when the drain must open."""
    whole = f"{name}: {value}"
    first = [whole] if len(whole) * TEXT * LETTER * BOLD <= room else [f"{name}:", value]
    return [*first, drain] if drain else first


def _drain(run: DayRun, station: tuple[str, str, str | None, str]) -> str:
    band = _hours(run, station[2])
    if band is None:
        return ""
    return f"{station[3]} {_hours_text(band.low)} to {_hours_text(band.high)} running hours"


def _hours(run: DayRun, name: str | None) -> Band | None:
    """Running hours until a drain must open. [h]"""
    values = getattr(run.answers, name) if name else None
    if values is None:
        return None
    band = band_of(values / told.HOUR)
    return band if band.low < NEVER else None


def _hours_text(hours: float) -> str:
    """Hours to two digits, rounded down, as an owner would note them."""
    if hours >= NEVER:
        return f"over {NEVER:.0f}"
    if hours < 10.0:
        return f"{int(hours * 10.0) / 10.0:.1f}"
    scale = 10 ** (len(str(int(hours))) - 2)
    return f"{int(hours // scale * scale)}"


def _title(run: DayRun) -> str:
    """The first thing to do, and when at the latest."""
    units = told.about(run)[1]
    receiver = _hours(run, "receiver_fills")
    gathers = band_of(run.answers.water_receiver)
    unit = shown_unit("daily_water", units)
    if receiver is None or gathers.high < NOTHING:
        return "No water gathers in the receiver on days like this"
    amount = in_unit(gathers.likely, kind="daily_water", unit=unit)
    often = f"The receiver's drain must open after {_hours_text(receiver.low)} running hours at the latest"
    return f"{often}: {amount:.2g} {unit} gather in it"
