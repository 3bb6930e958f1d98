"""The standard normal distribution both ways, by a table close enough for chance."""

from __future__ import annotations

from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

FARTHEST = 5.0
"""Ends of the table, standard deviations. [-]"""


@cache
def _table() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    nodes = np.linspace(-FARTHEST, FARTHEST, 8001)
    normal = NormalDist()
    return nodes, np.array([normal.cdf(z) for z in nodes])


def normal_share(deviations: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the share of a standard normal below, to 1e-7; shape of deviations. [-]"""
    nodes, shares = _table()
    return np.interp(deviations, nodes, shares)


def normal_quantile(share: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the standard deviations below which a share lies, to 1e-3 in the far tails; shape of share. [-]"""
    nodes, shares = _table()
    return np.interp(share, shares, nodes)


def log_sum(logarithms: NDArray[np.float64]) -> float:
    """Return the logarithm of a sum, of the logarithms of what is summed. [-]"""
    most = float(np.max(logarithms))
    return most + float(np.log(np.sum(np.exp(logarithms - most))))
