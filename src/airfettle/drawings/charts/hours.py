"""The hours of a day: starts, load and short time in each, over all chances."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.drawings.charts import told
from airfettle.drawings.charts.style import DESK, Spec, clock_axis, inner, mark, panel_title, sheet, text_at, with_clock
from airfettle.drawings.charts.told import DayRun
from airfettle.studies.bands import HIGH, LOW
from airfettle.studies.day.machine import HOUR_LOADED, HOUR_SHORT, HOUR_STARTS
from airfettle.studies.day.prepared import DAY

Array = NDArray[np.float64]

HEIGHT = 110
GAP = 0.08
"""Room between bars. [h]"""


def hours_chart(run: DayRun, *, width: int = DESK, start_limit: float | None = None) -> Spec:
    """Return the chart of the day's hours.

    Parameters
    ----------
    run : DaysRun
        Paths that were run. [SI]
    width : int
        Of the whole chart. [px]
    start_limit : float or None
        Starts in an hour that the motor may make, where somebody told it or a table gives it. [1/h]
    """
    name, _ = told.about(run)
    trains = len(run.prepared.numbers.trains)
    starts, loaded, short = by_hour(run)
    panels = [
        (f"starts in each hour{', all pumps together' if trains > 1 else ''}", starts, start_limit),
        (f"loaded, % of the hour{', mean of all pumps' if trains > 1 else ''}", 100.0 * loaded, None),
    ]
    if short.any():
        panels.append(("some tool short of pressure, minutes in each hour", short, None))
    busy = np.flatnonzero(np.any((starts > 0.0) | (loaded > 0.0) | (short > 0.0), axis=0))
    ends = (int(busy[0]), int(busy[-1]) + 1) if len(busy) else (0, 24)
    drawn = [_panel(title, values, limit, ends, inner(width, right=20), trains > 1) for title, values, limit in panels]
    days = round(run.tally.length / DAY)
    what = told.day_name(run) if days <= 1 else f"mean of {days} days"
    drawn[-1] = with_clock(drawn[-1], "clock" if days > 1 else f"clock, {told.day_name(run)}")
    note = ["Bar: mean of all chances. Thin upright: 9 of 10 of them (P5 to P95)."] if len(starts) > 1 else []
    subtitle = f"{name}, {what}, {told.chances(run)}, seed {run.seed}."
    return sheet(drawn, title=_title(run, starts, loaded, start_limit), subtitle=[subtitle], width=width, note=note)


def by_hour(run: DayRun) -> tuple[Array, Array, Array]:
    """Return starts, share of the hour loaded, and minutes with some tool short, each (path, 24), mean of its days.

    Notes
    -----
    A step that runs over the full hour is booked whole in the hour it begins in: some seconds, cut at a full hour here.
    """
    hours, days = run.tally.of_hour, max(run.tally.length / DAY, 1e-9)
    trains = len(run.prepared.numbers.trains)
    return (
        hours[:, :, HOUR_STARTS] / days, np.minimum(hours[:, :, HOUR_LOADED] / (days * told.HOUR * trains), 1.0),
        hours[:, :, HOUR_SHORT] / (days * 60.0),
    )  # fmt: skip


def _panel(title: str, values: Array, limit: float | None, ends: tuple[int, int], room: int, several: bool) -> Spec:
    begin, end = ends
    low, high = np.percentile(values, [LOW, HIGH], axis=0)
    mean = values.mean(axis=0)
    rows = [
        {"t": hour + GAP, "e": hour + 1 - GAP, "m": hour + 0.5, "mean": round(float(mean[hour]), 3),
         "low": round(float(low[hour]), 3), "high": round(float(high[hour]), 3)}
        for hour in range(begin, end)
    ]  # fmt: skip
    top = max(float(high.max()), float(mean.max()), limit or 0.0, 1e-3)
    scale = {"domain": [0, 1.12 * top], "nice": False}
    y: Spec = {"type": "quantitative", "scale": scale, "axis": {"title": None, "tickCount": 4}}
    data = {"values": rows}
    layers: list[Spec] = [
        {"data": data, "mark": mark("rect", "soft"),
         "encoding": {"x2": {"field": "e"}, "y": y | {"field": "mean"}, "y2": {"datum": 0}}},
        {"data": data, "mark": mark("rule", "likely"), "encoding": {"x2": {"field": "e"}, "y": y | {"field": "mean"}}},
        {"data": data, "mark": mark("rule", "thin"),
         "encoding": {"x": {"field": "m", "type": "quantitative"}, "y": y | {"field": "low"}, "y2": {"field": "high"}}},
    ]  # fmt: skip
    if limit is not None:
        layers.append({"data": {"values": [{"t": begin, "e": end, "y": limit}]}, "mark": mark("rule", "limit"),
                       "encoding": {"x2": {"field": "e"}, "y": y | {"field": "y"}}})  # fmt: skip
        at = HEIGHT * (1.0 - limit / (1.12 * top))
        whose = "limit of one motor" if several else "the motor's limit"
        words = f"{whose}, {limit:.3g} an hour"
        layers += [
            text_at(words, x=4, y=at + (12 if at < 24 else -12), style=style, align="left", baseline="middle")
            for style in ("halo", "redline")
        ]
    axis = clock_axis(float(begin), float(end), width=room)
    return {
        "width": room, "height": HEIGHT, "title": panel_title(title, room),
        "encoding": {"x": {"field": "t", "type": "quantitative", **axis}}, "layer": layers,
    }  # fmt: skip


def _title(run: DayRun, starts: Array, loaded: Array, limit: float | None) -> str:
    """Starts against the limit where there is one; the busiest hour otherwise."""
    mean = starts.mean(axis=0)
    if not mean.any():
        return "No pump starts"
    worst = run.answers.starts_worst * told.HOUR
    if limit is not None:
        of = " of one pump" if len(run.prepared.numbers.trains) > 1 else ""
        most = f"{worst.max():.0f} starts{of} within one hour"
        if worst.max() > limit:
            return f"Up to {most}: more than the {limit:.3g} its motor may make"
        return f"At most {most}: within the {limit:.3g} its motor may make"
    hour = int(np.argmax(loaded.mean(axis=0)))
    busiest = f"Busiest from {hour:02d}:00: loaded {told.share_text(float(loaded.mean(axis=0)[hour]))} of the hour"
    return f"{busiest}; most starts within any one hour {worst.max():.0f}"
