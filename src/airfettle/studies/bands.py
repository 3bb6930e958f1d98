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


def bands(values: NDArray[np.float64], *, only: NDArray[np.bool_] | None = None) -> list[Band]:
    """Return a band for every column of (draw, point), over the rows marked in ``only`` where there are any. [SI]

    Notes
    -----
    Percentiles by linear interpolation between order statistics, as numpy's default; sorting columns laid out
    side by side is several times quicker than asking for percentiles along the draw.
    """
    if values.shape[0] == 1:
        return [Band(v, v, v, v) for v in values[0].tolist()]
    if only is not None and not only.all():
        return [
            _band_of(column[keep] if keep.any() else column, column[0])
            for column, keep in zip(values.T, only.T, strict=True)
        ]
    ordered = np.sort(np.ascontiguousarray(values.T), axis=1)
    ends = [_percentile(ordered, percent).tolist() for percent in (LOW, LIKELY, HIGH)]
    return [Band(*four) for four in zip(*ends, values[0].tolist(), strict=True)]


def _band_of(rows: NDArray[np.float64], at_likely: float) -> Band:
    low, likely, high = np.percentile(rows, [LOW, LIKELY, HIGH]).tolist()
    return Band(low, likely, high, float(at_likely))


def _percentile(ordered: NDArray[np.float64], percent: float) -> NDArray[np.float64]:
    place = percent / 100.0 * (ordered.shape[1] - 1)
    below = int(place)
    above = min(below + 1, ordered.shape[1] - 1)
    return np.asarray(ordered[:, below] + (place - below) * (ordered[:, above] - ordered[:, below]))
