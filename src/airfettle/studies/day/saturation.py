"""Saturation humidity as a small polynomial that compiled code can read."""

from __future__ import annotations

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from airfettle.air.constants import ZERO_CELSIUS
from airfettle.air.moist import saturated_vapour_pressure

Array = NDArray[np.float64]

RANGES = ((243.15, ZERO_CELSIUS), (ZERO_CELSIUS, 373.15))
"""Temperatures over ice and over water; outside them the nearest end counts. [K]"""
PRESSURES = (1.1e5, 1.7e6)
"""Absolute pressures of the fit. [Pa]"""
DEGREE, PRESSURE_DEGREE = 9, 3
"""Degrees in temperature and pressure; humidity is then right to 3e-4, the grain of the enhancement tables. [-]"""


def saturation_fit() -> Array:
    """Return the fit of the logarithm of the vapour pressure in saturated air.

    Returns
    -------
    ndarray
        Shape (2, DEGREE + 1, PRESSURE_DEGREE + 1): over ice and over water; powers of temperature and of pressure, both
        moved to -1..1 over RANGES and PRESSURES. [ln Pa]
    """
    nodes_t, nodes_p = chebyshev.chebpts1(DEGREE + 1), chebyshev.chebpts1(PRESSURE_DEGREE + 1)
    pressure = _spread(nodes_p, PRESSURES)
    found = []
    for ends in RANGES:
        temperature = _spread(nodes_t, ends)
        values = np.log(saturated_vapour_pressure(temperature[:, None], pressure=pressure[None, :]))
        found.append(powers(DEGREE + 1) @ values @ powers(PRESSURE_DEGREE + 1).T)
    return np.array(found)


def powers(count: int) -> Array:
    """Return the matrix from values at Chebyshev nodes to coefficients of powers, lowest first.

    Parameters
    ----------
    count : int
        Number of nodes and of coefficients. [-]

    Returns
    -------
    ndarray
        Shape (count, count). [-]
    """
    nodes = chebyshev.chebpts1(count)
    to_series = np.linalg.inv(chebyshev.chebvander(nodes, count - 1))
    columns = [np.pad(p, (0, count - len(p))) for p in (chebyshev.cheb2poly(row) for row in np.eye(count))]
    return np.asarray(np.stack(columns, axis=1) @ to_series)


def _spread(nodes: Array, ends: tuple[float, float]) -> Array:
    return np.asarray(0.5 * (ends[0] + ends[1]) + 0.5 * (ends[1] - ends[0]) * nodes)
