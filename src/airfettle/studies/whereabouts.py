"""One point of a plant, and its numbers there by name: of each train with its limits, and of the air path."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.instant.state import Instant
from airfettle.studies.instant.whole import instant
from airfettle.studies.limits.margins import scope
from airfettle.studies.notices import stalled
from airfettle.studies.pipework.at_tools import tool_pressure

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Whereabouts:
    """One point.

    Attributes
    ----------
    frequencies : tuple of float
        Computed together. [Hz]
    speed : int
        Which of them.
    gauge : float
        Receiver pressure at likely values, gauge. [Pa]
    end : int or None
        0 takes each row at its own cut-in, 1 at its own cut-out; None all rows at ``gauge``.
    """

    frequencies: tuple[float, ...]
    speed: int
    gauge: float
    end: int | None = None

    @property
    def frequency(self) -> float:
        """The frequency. [Hz]"""
        return self.frequencies[self.speed]


@dataclass(frozen=True)
class There:
    """A plant's numbers at one point, each with its rows, shape (draw,) or (1,). [SI]

    Attributes
    ----------
    trains : tuple of dict
        By name: of the train itself, of the air path, and of the train's limits.
    path : dict
        By name: of the air path alone.
    runs : ndarray of bool
        Rows in which every motor holds the point.
    """

    trains: tuple[dict[str, Array], ...]
    path: dict[str, Array]
    runs: NDArray[np.bool_]


def there(draw: Draw, *, numbers: PlantNumbers, at: Whereabouts) -> There:
    """Return a plant's numbers at a point. [SI]"""
    pressure = draw.barometer + at.gauge
    if at.end is not None:
        pressure = np.asarray((numbers.cut_in, numbers.cut_out)[at.end]).reshape(-1, 1, 1)
    state = instant(numbers, frequency=np.array(at.frequencies)[None, :, None], receiver_pressure=pressure)
    at_tool = tool_pressure(draw, numbers, receiver_pressure=pressure)
    state = replace(state, path=replace(state.path, tool_pressure=at_tool))
    trains = []
    for place in range(len(state.trains)):
        known = scope(draw, numbers, state, place=place) | _there_of(state.trains[place])
        trains.append({name: rows_at(value, at.speed) for name, value in known.items()})
    path = {name: rows_at(value, at.speed) for name, value in _there_of(state.path).items()}
    return There(tuple(trains), path, _runs(state, draw.rows, at.speed))


def _there_of(part: Any) -> dict[str, Array]:
    found = {f.name: getattr(part, f.name) for f in fields(part)}
    return {name: value for name, value in found.items() if value is not None}


def rows_at(value: NDArray[Any], speed: int) -> NDArray[Any]:
    """Return the rows of an array with axes (draw, speed, pressure), or fewer, at one speed and the one pressure."""
    found = np.asarray(value)
    return np.ravel(found[:, min(speed, found.shape[1] - 1)] if found.ndim == 3 else found)


def _runs(state: Instant, rows: int, speed: int) -> NDArray[np.bool_]:
    held = [np.broadcast_to(~rows_at(stalled(train), speed).astype(bool), (rows,)) for train in state.trains]
    return np.asarray(np.all(held, axis=0))
