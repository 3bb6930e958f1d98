"""Dew points of moist air: at a pressure, over supercooled water, and let down to the atmosphere."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import STANDARD_PRESSURE
from airfettle.air.enhancement import freezing_vapour_pressure, rough_enhancement
from airfettle.air.humidity import saturation_humidity_ratio, vapour_pressure_over
from airfettle.air.humidity import vapour_pressure as vapour_pressure_of
from airfettle.air.saturation import Phase, by_phase, first_guess, log_pressure_slope

_LEAST_VAPOUR_PRESSURE = 2e-3


def dew_point(humidity_ratio: ArrayLike, *, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the dew point; below freezing the frost point, over ice.

    Parameters
    ----------
    humidity_ratio : array_like
        Mass of water over mass of dry air. [-]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    The inverse of `saturation_humidity_ratio`, to 0.1 mK.  Valid: 193 to 473 K, to 2 MPa.  Drier air
    than 2 mPa of vapour gives the 175 K of 2 mPa.

    References
    ----------
    [ashrae-f-2017] ch. 1; [airfettle-enhancement]
    """
    p = np.asarray(pressure, dtype=np.float64)
    return dew_point_of(vapour_pressure_of(humidity_ratio, pressure=p), pressure=p)


def dew_point_of(vapour_pressure: ArrayLike, *, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the dew point (below freezing the frost point) from the partial pressure of water vapour.

    Parameters
    ----------
    vapour_pressure : array_like
        Partial pressure, absolute. [Pa]
    pressure : array_like
        Absolute pressure of the moist air. [Pa]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    f(T, p) p_ws(T) = p_v, by Newton's method.  Valid: as `dew_point`.

    References
    ----------
    [ashrae-f-2017] ch. 1; [airfettle-enhancement]
    """
    p_v, p = np.asarray(vapour_pressure, dtype=np.float64), np.asarray(pressure, dtype=np.float64)
    p_v = np.maximum(p_v, _LEAST_VAPOUR_PRESSURE)
    return by_phase(p_v < freezing_vapour_pressure(p), over=_temperature_of, values=(p_v, p))


def supercooled_dew_point(humidity_ratio: ArrayLike, *, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the dew point over liquid water, below freezing over supercooled water.

    Parameters
    ----------
    humidity_ratio : array_like
        Mass of water over mass of dry air. [-]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    Lies 2 to 4 K below the frost point and is what many charts print.  Valid: 228 to 473 K, to 2 MPa.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 6, continued below 0 degC; [airfettle-enhancement]
    """
    p = np.asarray(pressure, dtype=np.float64)
    p_v = np.maximum(vapour_pressure_of(humidity_ratio, pressure=p), _LEAST_VAPOUR_PRESSURE)
    return _temperature_of(p_v, p, phase="water")


def atmospheric_dew_point(
    pressure_dew_point: ArrayLike, *, pressure: ArrayLike, atmosphere: ArrayLike = STANDARD_PRESSURE
) -> NDArray[np.float64]:
    """Return the dew point (or frost point) that air of a given pressure dew point has once let down.

    Parameters
    ----------
    pressure_dew_point : array_like
        Dew or frost point at line pressure. [K]
    pressure : array_like
        Line pressure, absolute. [Pa]
    atmosphere : array_like
        Pressure let down to, absolute. [Pa]

    Returns
    -------
    ndarray
        Dew or frost point at the lower pressure. [K]

    Notes
    -----
    The humidity ratio stays.  Valid: as `dew_point`.

    References
    ----------
    [physics]; [airfettle-enhancement]
    """
    W = saturation_humidity_ratio(pressure_dew_point, pressure=pressure)
    return dew_point(W, pressure=atmosphere)


def pressure_dew_point(
    atmospheric_dew_point: ArrayLike, *, pressure: ArrayLike, atmosphere: ArrayLike = STANDARD_PRESSURE
) -> NDArray[np.float64]:
    """Return the dew point (or frost point) at line pressure of air whose dew point was found let down.

    Parameters
    ----------
    atmospheric_dew_point : array_like
        Dew or frost point at the lower pressure. [K]
    pressure : array_like
        Line pressure, absolute. [Pa]
    atmosphere : array_like
        Pressure the dew point was found at, absolute. [Pa]

    Returns
    -------
    ndarray
        Dew or frost point at line pressure. [K]

    Notes
    -----
    The humidity ratio stays.  Valid: as `dew_point`.

    References
    ----------
    [physics]; [airfettle-enhancement]
    """
    W = saturation_humidity_ratio(atmospheric_dew_point, pressure=atmosphere)
    return dew_point(W, pressure=pressure)


def _temperature_of(p_v: NDArray[np.float64], p: NDArray[np.float64], *, phase: Phase) -> NDArray[np.float64]:
    """Newton's method on the logarithm of vapour pressure against 1/T.

    The slope of f is small and left out: each step leaves at most 5 % of the miss, so that a last step below 1 mK
    leaves less than 0.05 mK.
    """
    T = first_guess(p_v, phase=phase)
    extra = (1.0 - p_v / p) * rough_enhancement(T, pressure=p, phase=phase)
    T = T - extra * (1.0 - 0.5 * extra) / log_pressure_slope(T, phase=phase)
    for _ in range(8):
        miss = p_v / vapour_pressure_over(T, pressure=p, phase=phase) - 1.0
        change = miss * (1.0 - 0.5 * miss) / log_pressure_slope(T, phase=phase)
        T = T / (1.0 - change / T)
        if np.all(np.abs(change) < 1e-3):
            break
    return T
