"""Draw a rating."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from airfettle.drawings.charts import day_chart, resize_charts
from airfettle.drawings.speed_chart import speed_chart
from airfettle.drawings.svg import chart_svg
from airfettle.errors import BadRequest
from airfettle.store.plant_file import write_whole
from airfettle.studies.day.days import Days
from airfettle.studies.day.resize import Resized
from airfettle.studies.draw import Draw
from airfettle.studies.rating import Rating, rate

SPEEDS = 13
"""Frequencies along the chart. [-]"""


def chart_place(path: str | Path, *, option: str = "--chart") -> Path:
    """Return where a chart may be written.

    Raises
    ------
    BadRequest
        The file's name does not end in .svg.
    """
    file = Path(path)
    if file.suffix.lower() != ".svg":
        raise BadRequest(read=f"{option} {path}", wanted="a file name that ends in .svg")
    return file


def write_day_chart(run: Days, path: str | Path) -> Path:
    """Write the traced day as SVG: pressure, speed, tools as lanes, warmth.

    Raises
    ------
    BadRequest
        The file's name does not end in .svg.
    FileTrouble
        The file cannot be written.
    """
    file = chart_place(path)
    write_whole(file, chart_svg(day_chart(run)))
    return file


def write_resize_chart(resized: Resized, path: str | Path, *, draw: Draw) -> Path:
    """Write shortage and starts against receiver size and full speed, as SVG.

    Raises
    ------
    BadRequest
        The file's name does not end in .svg.
    FileTrouble
        The file cannot be written.
    """
    file, about = chart_place(path), draw.plant.about
    write_whole(file, chart_svg(resize_charts(resized, units=about.units, name=about.name)))
    return file


def write_speed_chart(rating: Rating, path: str | Path) -> Path:
    """Write delivery, amps and sound against frequency, from the rating's lowest to its highest, as SVG.

    Raises
    ------
    BadRequest
        The plant has one speed, or the file's name does not end in .svg.
    FileTrouble
        The file cannot be written.
    """
    file = chart_place(path)
    ends = sorted({p.frequency for p in rating.points})
    if len(ends) < 2:
        raise BadRequest(read="a chart against speed", wanted="a plant or --hz with more than one frequency")
    pressure = max(p.receiver_gauge for p in rating.points)
    along = rate(rating.draw, frequencies=np.linspace(ends[0], ends[-1], SPEEDS).tolist(), gauge_pressures=[pressure])
    write_whole(file, chart_svg(speed_chart(along, title=rating.draw.plant.about.name)))
    return file
