"""Margins of a plant at the points of an instant."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.instant.state import Instant
from airfettle.studies.limits.declared import LIMITS, Limit
from airfettle.studies.limits.numbers import limit_numbers
from airfettle.studies.meaning import evaluated, names_in

Array = NDArray[np.float64]


def margins(draw: Draw, numbers: PlantNumbers, state: Instant, *, place: int = 0) -> dict[str, Array]:
    """Return every margin of a train that applies to it.

    Parameters
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant, drawn and with its gaps filled. [SI]
    state : Instant
        The points, axes (draw, speed, pressure). [SI]
    place : int
        Which train. [-]

    Returns
    -------
    dict
        Limit -> margin, axes (draw, speed, pressure): a share of the limit, negative beyond it. [-]
    """
    known = scope(draw, numbers, state, place=place)
    return {
        limit.name: np.asarray(evaluated(limit.equation, {name: known[name] for name in names_in(limit.equation)}))
        for limit in LIMITS
        if applies(limit, known)
    }


def scope(draw: Draw, numbers: PlantNumbers, state: Instant, *, place: int = 0) -> dict[str, Array]:
    """Return the numbers a train's margins are made of, by name, without what is not there."""
    dry_air = np.asarray(sum(train.delivered_dry_air for train in state.trains))
    parts = (state.path, state.trains[place], limit_numbers(draw, numbers, place=place, dry_air=dry_air))
    return {f.name: found for part in parts for f in fields(part) if (found := getattr(part, f.name)) is not None}


def applies(limit: Limit, known: dict[str, Array]) -> bool:
    """Return whether all that a limit needs is there."""
    return all(name in known for name in names_in(limit.equation))
