"""How much more water saturated air holds under pressure than the saturation pressure of water explains.

The polynomials come from ``tools/enhancement_table.py``, which solves the virial equations.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.air.saturation import Phase

# The fits end here; beyond them the value at the end is used. [K], [Pa]
_LOWEST: dict[Phase, float] = {"ice": 193.15, "water": 228.15}
_HIGHEST = 473.15
_HIGHEST_PRESSURE = 2e6


def enhancement_over(
    temperature: ArrayLike, *, pressure: ArrayLike, saturation_pressure: ArrayLike, phase: Phase
) -> NDArray[np.float64]:
    """Return the enhancement factor over ice or over water.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure of the moist air. [Pa]
    saturation_pressure : array_like
        Saturation pressure of pure water over the same phase at that temperature. [Pa]
    phase : str
        What the vapour is in balance with, "ice" or "water". [text]

    Returns
    -------
    ndarray
        Vapour pressure in saturated air over that of pure water. [-]

    Notes
    -----
    f = 1 + (1 - p_ws / p) H(T, p).  Valid: ice 193 to 273 K, water 228 to 473 K, to 2 MPa; the fit is within
    4e-5 of the virial solution.  Where p_ws reaches p the air is driven out, and f is 1.

    References
    ----------
    [airfettle-enhancement]; [ashrae-rp-1485]
    """
    T = np.asarray(temperature, dtype=np.float64)
    p = np.asarray(pressure, dtype=np.float64)
    x = (np.minimum(np.maximum(T, _LOWEST[phase]), _HIGHEST) - 273.15) * 0.01
    y = np.minimum(p, _HIGHEST_PRESSURE) * 1e-6
    height: NDArray[np.float64] = 0.0 * x * y  # an array of its own, to work in; a plain number stays one
    for row in reversed(_coefficients(phase)):
        height *= x
        height += _horner(y, row)
    free = np.maximum(1.0 - np.asarray(saturation_pressure, dtype=np.float64) / p, 0.0)
    height *= free
    height += 1.0
    return height


def rough_enhancement(temperature: ArrayLike, *, pressure: ArrayLike, phase: Phase) -> NDArray[np.float64]:
    """Return the enhancement factor less one from the lowest terms of the fit, for a first guess only.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure of the moist air. [Pa]
    phase : str
        What the vapour is in balance with, "ice" or "water". [text]

    Returns
    -------
    ndarray
        f - 1, within 0.01 between -40 and 80 degC to 1.4 MPa. [-]

    References
    ----------
    [airfettle-enhancement]
    """
    x = (np.asarray(temperature, dtype=np.float64) - 273.15) * 0.01
    y = _limited(pressure)
    none, first, second = _coefficients(phase)[:3]
    return (_horner(y, second[:3]) * x + _horner(y, first[:3])) * x + _horner(y, none[:3])


def freezing_temperature(pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the temperature at which water under compressed air freezes: where both saturation curves meet.

    Parameters
    ----------
    pressure : array_like
        Absolute pressure of the moist air. [Pa]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    273.15 K at 1 atm, falling 9.8 mK per bar by pressure and dissolved air.  Valid: to 2 MPa.

    References
    ----------
    [airfettle-enhancement]
    """
    return _horner(_limited(pressure), tuple(_freezing("temperature")))


def freezing_vapour_pressure(pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the vapour pressure in saturated air at its freezing temperature.

    Parameters
    ----------
    pressure : array_like
        Absolute pressure of the moist air. [Pa]

    Returns
    -------
    ndarray
        Partial pressure of water vapour, absolute. [Pa]

    Notes
    -----
    Valid: to 2 MPa.

    References
    ----------
    [airfettle-enhancement]
    """
    return _horner(_limited(pressure), tuple(_freezing("vapour pressure")))


def _limited(pressure: ArrayLike) -> NDArray[np.float64]:
    return np.minimum(np.asarray(pressure, dtype=np.float64), _HIGHEST_PRESSURE) * 1e-6


def _horner(y: NDArray[np.float64], row: tuple[float, ...]) -> NDArray[np.float64]:
    if len(row) == 1:
        return row[0] + 0.0 * y
    value: NDArray[np.float64] = row[-1] * y
    for coefficient in row[-2:0:-1]:
        value += coefficient
        value *= y
    value += row[0]
    return value


@cache
def _coefficients(phase: Phase) -> tuple[tuple[float, ...], ...]:
    """Coefficients by power of temperature, then of pressure."""
    table = tables.load(f"enhancement_{phase}")
    powers = table.numbers("power of temperature").astype(int), table.numbers("power of pressure").astype(int)
    found = np.zeros((powers[0].max() + 1, powers[1].max() + 1))
    found[powers] = table.numbers("coefficient")
    return tuple(tuple(float(v) for v in np.trim_zeros(row, "b")) for row in found)


@cache
def _freezing(column: str) -> tuple[float, ...]:
    return tuple(float(v) for v in tables.load("enhancement_freezing").numbers(column))
