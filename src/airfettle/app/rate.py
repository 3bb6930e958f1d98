"""Rate a plant file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from airfettle.app.load import Loaded, believed
from airfettle.errors import BadRequest, EntriesDisagree
from airfettle.quantity import read_span
from airfettle.store.plant_file import placed_in
from airfettle.studies.draw import ROWS
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
    check_request(hertz, pressures)
    return rate_loaded(believed(path, rows=rows, seed=seed), hertz=hertz, pressures=pressures, progress=progress)


def rate_loaded(
    loaded: Loaded,
    *,
    hertz: Sequence[str] = (),
    pressures: Sequence[str] = (),
    progress: Callable[[int, int], None] | None = None,
) -> Rating:
    """Rate a plant that was read and drawn; see ``rate_file``."""
    frequencies, gauges = check_request(hertz, pressures)
    try:
        return rate(loaded.draw, frequencies=frequencies, gauge_pressures=gauges, progress=progress)
    except EntriesDisagree as error:
        raise placed_in(loaded.path, error) from error


def check_request(hertz: Sequence[str], pressures: Sequence[str]) -> tuple[list[float] | None, list[float] | None]:
    """Return frequencies and gauge pressures asked for, or None for the plant's own. [Hz] [Pa]"""
    return [frequency_of(text) for text in hertz] or None, [gauge_of(text) for text in pressures] or None


def frequency_of(text: str) -> float:
    """Return a frequency as it was asked for; a bare number is hertz. [Hz]"""
    bare = text.strip().replace(".", "", 1).isdigit()
    span = read_span(f"{text} Hz" if bare else text, kind="frequency", where="--hz")
    if span is None:
        raise BadRequest(read=repr(text), where="--hz", wanted="a frequency, such as 45")
    return span.likely


def gauge_of(text: str) -> float:
    """Return a receiver pressure as it was asked for, gauge. [Pa]"""
    span = read_span(text, kind="pressure", where="--pressure")
    if span is None or span.kind != "pressure":
        raise BadRequest(read=repr(text), where="--pressure", wanted="a gauge pressure, such as '125 psi' or '8 bar'")
    return span.likely
