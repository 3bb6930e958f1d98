"""Several trains as one plant: sums, the highest, quotients of sums, and sound that adds as energy."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.sound import sum_of_levels
from airfettle.studies.instant.state import Instant, PathState, TrainState
from airfettle.studies.meaning import meanings
from airfettle.studies.notices import flat

Array = NDArray[np.float64]


def train_answers(train: TrainState, shape: tuple[int, int, int]) -> dict[str, Array]:
    """Return a train's answers that are there, each as (draw, point), pressure running fastest."""
    found = {}
    for name, meaning in meanings(train).items():
        value = getattr(train, name)
        if meaning.is_answer and value is not None:
            found[name] = flat(value, shape)
    return found


def plant_answers(state: Instant, shape: tuple[int, int, int]) -> dict[str, Array]:
    """Return every answer of a plant as one, trains together and the air path, each as (draw, point)."""
    return together(state, trains=[train_answers(t, shape) for t in state.trains], shape=shape) | path_answers(
        state.path, shape
    )


def path_answers(path: PathState, shape: tuple[int, int, int]) -> dict[str, Array]:
    """Return the answers of the air path that are there, each as (draw, point), pressure running fastest."""
    return {
        name: flat(getattr(path, name), shape)
        for name, meaning in meanings(path).items()
        if meaning.is_answer and getattr(path, name) is not None
    }


def together(state: Instant, *, trains: list[dict[str, Array]], shape: tuple[int, int, int]) -> dict[str, Array]:
    """Return the answers of all trains as one plant; answers of one train alone are passed on."""
    if len(trains) == 1:
        return trains[0]
    every, joined = meanings(TrainState), {}
    for name in {name: None for answers in trains for name in answers}:
        values = np.broadcast_arrays(*(answers[name] for answers in trains if name in answers))
        joined[name] = np.asarray(np.sum(values, axis=0) if every[name].total else np.max(values, axis=0))
    swept = sum(flat(t.displacement * t.pump_speed, shape) for t in state.trains)
    joined["volumetric_efficiency"] = joined["delivered_air"] / swept
    joined["specific_power"] = joined["electrical_power"] / np.maximum(joined["delivered_air"], 1e-9)
    levels = np.broadcast_arrays(*(answers["sound_level"] for answers in trains))
    joined["sound_level"] = sum_of_levels(np.stack(levels), axis=0)
    return joined
