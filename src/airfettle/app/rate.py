"""Rate a plant file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from airfettle.app.readings import check_readings
from airfettle.errors import BadRequest, EntriesDisagree
from airfettle.quantity import read_span
from airfettle.store.plant_file import placed_in, read_plant
from airfettle.studies.draw import ROWS, draw
from airfettle.studies.rating import Rating, rate


def rate_file(
    path: str | Path,
    *,
    hertz: Sequence[str] = (),
    pressures: Sequence[str] = (),
    rows: int = ROWS,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Rating:
    """Read, draw and rate a plant.

    Parameters
    ----------
    path : path
        The plant file.
    hertz, pressures : sequence of str
        Frequencies (a bare number is hertz) and receiver pressures with their unit; empty for the plant's own.
    rows, seed : int
        Of the draw.
    progress : callable or None
        Called with (points done, points in all).

    Raises
    ------
    AirfettleError
        One clear error.
    """
    plant = read_plant(path)
    check_readings(plant, path=path)
    frequencies = [_frequency(text) for text in hertz] or None
    gauges = [_gauge(text) for text in pressures] or None
    drawn = draw(plant, rows=rows, seed=seed)
    try:
        return rate(drawn, frequencies=frequencies, gauge_pressures=gauges, progress=progress)
    except EntriesDisagree as error:
        raise placed_in(path, error) from error


def _frequency(text: str) -> float:
    bare = text.strip().replace(".", "", 1).isdigit()
    span = read_span(f"{text} Hz" if bare else text, kind="frequency", where="--hz")
    if span is None:
        raise BadRequest(read=repr(text), where="--hz", wanted="a frequency, such as 45")
    return span.likely


def _gauge(text: str) -> float:
    span = read_span(text, kind="pressure", where="--pressure")
    if span is None or span.kind != "pressure":
        raise BadRequest(read=repr(text), where="--pressure", wanted="a gauge pressure, such as '125 psi' or '8 bar'")
    return span.likely
