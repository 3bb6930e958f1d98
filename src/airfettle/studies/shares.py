"""Which half-known entries an answer's spread comes from: first-order shares from the draw itself, by rank bins."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.plant.whole import walk
from airfettle.studies.draw import Draw

Array = NDArray[np.float64]
ROWS_IN_A_BIN = 64
"""Rows of one rank bin: few enough to follow a bend, enough for a mean. [-]"""


def spread_entries(draw: Draw) -> dict[str, Array]:
    """Return every entry that has a spread, by path, shape (draw,). [SI]"""
    return {
        path: np.ravel(value)
        for path, _, _, _, value in walk(draw.plant)
        if path in draw.spans and isinstance(value, np.ndarray) and value.size == draw.rows > 1
    }


def first_order_shares(target: Array, *, entries: dict[str, Array]) -> dict[str, float]:
    """Return the share of a target's variance that each entry alone explains, largest first.

    Parameters
    ----------
    target : ndarray
        An answer, a margin, or a thing that is or is not (0 or 1), shape (draw,). [SI]
    entries : dict
        Path -> rows, shape (draw,). [SI]

    Returns
    -------
    dict
        Path -> share, 0 to 1, what chance alone would give taken off. [-]

    Notes
    -----
    Variance of the means over rank bins of the entry, over the variance in all.  Valid: entries independent; what
    only works together with another is left out.
    """
    return dict(sorted(
        ((path, explained(target, by=values)) for path, values in entries.items()), key=lambda pair: -pair[1]
    ))  # fmt: skip


def explained(target: Array, *, by: Array) -> float:
    """Return the share of a target's variance that one row of numbers explains, 0 to 1. [-]"""
    rows = target.size
    total = float(np.var(target))
    if total <= 0.0 or rows < 4 * ROWS_IN_A_BIN:
        return 0.0
    bins = rows // ROWS_IN_A_BIN
    ordered = target[np.argsort(by, kind="stable")][: bins * ROWS_IN_A_BIN].reshape(bins, ROWS_IN_A_BIN)
    within = float(np.mean(np.var(ordered, axis=1, ddof=1)))
    return min(max(1.0 - within / total, 0.0), 1.0)
