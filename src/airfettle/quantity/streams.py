"""Chance, one reproducible stream for each path of the plant.

A path such as ``pump.first_stage.bore`` always draws the same numbers, whatever other parts the
plant has, so that a new part or a variant leaves every other row unchanged.
"""

from __future__ import annotations

from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

from airfettle.quantity.span import Span


def stratified_stream(path: str, *, rows: int, seed: int) -> NDArray[np.float64]:
    """Return shares in (0, 1), one in each of ``rows`` equal strata, in an order of the path's own.

    Parameters
    ----------
    path : str
        The part's path and field; it seeds the stream. [text]
    rows : int
        How many. [-]
    seed : int
        The draw's seed. [-]

    Returns
    -------
    ndarray
        Shape (rows,). Across paths this is a Latin hypercube. [-]
    """
    digest = sha256(f"{seed}:{path}".encode()).digest()
    chance = np.random.Generator(np.random.PCG64(int.from_bytes(digest[:16], "little")))
    return (chance.permutation(rows) + chance.random(rows)) / rows


def drawn(
    span: Span, *, path: str, rows: int, seed: int, shares: NDArray[np.float64] | None = None
) -> NDArray[np.float64]:
    """Return a span's rows, shape (rows,) or (1,) where it is exact; row 0 is its likely value. [SI]

    Shares, shape (rows,), stand in for the path's own stream; not a number takes the likely value.
    """
    if span.form == "exact" or span.low == span.high:
        return np.array([span.likely])
    if shares is not None:
        return np.where(np.isnan(shares), span.likely, span.quantile(np.nan_to_num(shares, nan=0.5)))
    values = span.quantile(stratified_stream(path, rows=rows, seed=seed))
    values[0] = span.likely
    return values
