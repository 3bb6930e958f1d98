"""Which half-known entries an answer's spread comes from: first-order shares from the draw itself, by rank bins."""

from __future__ import annotations

from dataclasses import dataclass

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
    return shares_by(target, ranks=Ranks.of(entries))


@dataclass(frozen=True)
class Ranks:
    """Entries with the order of their rows, so that several targets are asked without sorting again.

    Attributes
    ----------
    paths : tuple of str
        Entries.
    order : ndarray
        Shape (entries, draw): rows from the lowest to the highest. [-]
    """

    paths: tuple[str, ...]
    order: NDArray[np.intp]

    @classmethod
    def of(cls, entries: dict[str, Array]) -> Ranks:
        """Sort entries. [SI]"""
        rows = np.stack(list(entries.values())) if entries else np.zeros((0, 0))
        return cls(tuple(entries), np.argsort(rows, axis=1, kind="stable"))


def shares_by(target: Array, *, ranks: Ranks) -> dict[str, float]:
    """Return the share of a target's variance that each sorted entry alone explains, largest first. [-]"""
    total, bins = float(np.var(target)), target.size // ROWS_IN_A_BIN
    if total <= 0.0 or bins < 4:
        return dict.fromkeys(ranks.paths, 0.0)
    ordered = target[ranks.order[:, : bins * ROWS_IN_A_BIN]].reshape(-1, bins, ROWS_IN_A_BIN)
    within = np.mean(np.var(ordered, axis=2, ddof=1), axis=1)
    found = np.clip(1.0 - within / total, 0.0, 1.0).tolist()
    return dict(sorted(zip(ranks.paths, found, strict=True), key=lambda pair: -pair[1]))


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
