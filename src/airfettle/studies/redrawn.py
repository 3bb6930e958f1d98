"""A drawn plant with other rows for some of its entries; what hangs on them in the draw itself follows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.atmosphere import barometric_pressure
from airfettle.plant.part import Model, entry_of
from airfettle.plant.whole import walk
from airfettle.quantity import Span
from airfettle.studies.draw import Draw

Array = NDArray[np.float64]

BAROMETER = "site.barometer"
STEP = 1e-3
"""How far an entry is moved to see what follows, share of it. [-]"""


def entry_rows(draw: Draw) -> dict[str, Array]:
    """Return the rows of every entry that was drawn, by path, shape (draw,) or (1,); a gauge pressure is gauge. [SI]"""
    found = {}
    for path, _, _, _, value in walk(draw.plant):
        if path in draw.spans:
            rows = value - draw.barometer if draw.spans[path].kind == "pressure" else value
            found[path] = np.ravel(rows)
    return found


def with_rows(draw: Draw, rows: Mapping[str, Array]) -> Draw:
    """Return a draw with other rows for some of its entries.

    Parameters
    ----------
    draw : Draw
        [SI]
    rows : mapping
        Path -> shape (rows,) or (1,); pressures as they are written, gauge where gauge. [SI]

    Notes
    -----
    Air pressure follows height and weather where it was not told, and absolute pressures follow it.
    """
    every = entry_rows(draw) | dict(rows)
    count = max(values.size for values in every.values())
    barometer = _barometer(every)

    def value_of(path: str, old: Any) -> Any:
        if path == BAROMETER:
            return barometer
        if old is None or path not in every:
            return old
        values = every[path][:, None, None]
        return values + barometer if draw.spans[path].kind == "pressure" else values

    return replace(draw, plant=_rebuilt(draw.plant, "", value_of), rows=count)


def _barometer(rows: Mapping[str, Array]) -> Array:
    """Air pressure as read, or the standard atmosphere for the height times the weather. [Pa]"""
    told = rows.get(BAROMETER)
    found = barometric_pressure(rows["site.altitude"]) * rows["site.weather"] if told is None else told
    return np.asarray(found)[:, None, None]


def _rebuilt(model: Any, path: str, value_of: Callable[[str, Any], Any]) -> Any:
    """A section with other values for its entries, parts of parts too."""
    values: dict[str, Any] = {}
    for name, info in type(model).model_fields.items():
        value, here = getattr(model, name), f"{path}.{name}" if path else name
        if entry_of(info):
            values[name] = value_of(here, value)
        elif isinstance(value, Model):
            values[name] = _rebuilt(value, here, value_of)
        elif isinstance(value, tuple):
            values[name] = tuple(_item(item, here, place, len(value), value_of) for place, item in enumerate(value))
        else:
            values[name] = value
    return type(model).model_construct(**values)


def _item(item: Any, path: str, place: int, count: int, value_of: Callable[[str, Any], Any]) -> Any:
    if not isinstance(item, Model):
        return item
    own = getattr(item, "name", "") or (str(place + 1) if count > 1 else "")
    return _rebuilt(item, f"{path}.{own}" if own else path, value_of)


def nudged(draw: Draw) -> tuple[Draw, dict[str, int]]:
    """Return the plant at likely values again and again, in each row but the first one entry a thousandth larger.

    Returns
    -------
    draw, places : Draw, dict
        The rows, and path -> the row in which that entry is larger.
    """
    likely = {path: float(values[0]) for path, values in entry_rows(draw).items()}
    places = {path: row for row, path in enumerate(likely, start=1)}
    rows = {}
    for path, value in likely.items():
        rows[path] = np.full(len(likely) + 1, value)
        rows[path][places[path]] += STEP * (value or 1.0)
    return with_rows(draw, rows), places


def alike(one: Span, other: Span) -> bool:
    """Return whether two spans draw the same rows."""
    numbers = ("kind", "form", "low", "likely", "high", "floor", "ceiling")
    return all(getattr(one, name) == getattr(other, name) for name in numbers)


def carried_over(draw: Draw, *, from_: Draw) -> Draw:
    """Return a draw in which what both plants tell alike has the rows it has in the other.

    Parameters
    ----------
    draw, from_ : Draw
        The plant after a change, and the one before it, of as many rows. [SI]

    Notes
    -----
    What readings of the plant before the change said of it stays said; what the change brings in keeps its own rows.
    """
    old = entry_rows(from_)
    same = {path: old[path] for path, span in draw.spans.items() if path in old and alike(span, from_.spans[path])}
    return with_rows(draw, same) if same else draw
