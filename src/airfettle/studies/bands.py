"""Bands over a draw."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

LOW, LIKELY, HIGH = 5.0, 50.0, 95.0
"""Percentiles of a band. [%]"""


@dataclass(frozen=True)
class Band:
    """P5, P50 and P95 over the draw, and row 0, the one coherent plant at likely values. [SI]"""

    low: float
    likely: float
    high: float
    at_likely: float


def bands(values: NDArray[np.float64]) -> list[Band]:
    """Return a band for every column of (draw, point). [SI]"""
    if values.shape[0] == 1:
        return [Band(v, v, v, v) for v in values[0].tolist()]
    low, likely, high = np.percentile(values, [LOW, LIKELY, HIGH], axis=0)
    return [Band(*four) for four in zip(low.tolist(), likely.tolist(), high.tolist(), values[0].tolist(), strict=True)]
