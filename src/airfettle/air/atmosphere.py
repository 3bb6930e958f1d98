"""The standard atmosphere: pressure and temperature against altitude."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import STANDARD_PRESSURE

SEA_LEVEL_TEMPERATURE = 288.15
"""Temperature of the standard atmosphere at sea level. [K]  Source: iso-2533."""

_LAPSE = 0.0065
_EXPONENT = 9.80665 / (287.05287 * _LAPSE)
_LOWEST, _HIGHEST = -2000.0, 11_000.0


def barometric_pressure(altitude: ArrayLike) -> NDArray[np.float64]:
    """Return the pressure of the standard atmosphere.

    Parameters
    ----------
    altitude : array_like
        Height above sea level. [m]

    Returns
    -------
    ndarray
        Absolute pressure. [Pa]

    Notes
    -----
    p = 101325 (1 - 0.0065 h / 288.15)^5.2559.  Valid: -2000 to 11000 m; the ends' values beyond.  Weather moves
    the true barometer by +/- 3 %.

    References
    ----------
    [iso-2533]
    """
    return STANDARD_PRESSURE * pressure_ratio(altitude)


def pressure_ratio(altitude: ArrayLike) -> NDArray[np.float64]:
    """Return the pressure of the standard atmosphere as a share of that at sea level.

    Parameters
    ----------
    altitude : array_like
        Height above sea level. [m]

    Returns
    -------
    ndarray
        Pressure over 101325 Pa. [-]

    Notes
    -----
    Valid: -2000 to 11000 m; the ends' values beyond.

    References
    ----------
    [iso-2533]
    """
    return np.power(air_temperature(altitude) / SEA_LEVEL_TEMPERATURE, _EXPONENT)


def air_temperature(altitude: ArrayLike) -> NDArray[np.float64]:
    """Return the temperature of the standard atmosphere, 6.5 K less for each kilometre.

    Parameters
    ----------
    altitude : array_like
        Height above sea level. [m]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    A yearly mean of the middle latitudes, not a design temperature.  Valid: -2000 to 11000 m; the ends' values
    beyond.

    References
    ----------
    [iso-2533]
    """
    h = np.clip(np.asarray(altitude, dtype=np.float64), _LOWEST, _HIGHEST)
    return SEA_LEVEL_TEMPERATURE - _LAPSE * h


def altitude_of(pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the altitude at which the standard atmosphere has the pressure given.

    Parameters
    ----------
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Height above sea level. [m]

    Notes
    -----
    Valid: 22.6 to 127.8 kPa; the ends' heights beyond.

    References
    ----------
    [iso-2533]
    """
    ratio = np.maximum(np.asarray(pressure, dtype=np.float64), 0.0) / STANDARD_PRESSURE
    h = SEA_LEVEL_TEMPERATURE / _LAPSE * (1.0 - np.power(ratio, 1.0 / _EXPONENT))
    return np.clip(h, _LOWEST, _HIGHEST)
