"""Water vapour in air: saturation under pressure, vapour pressure, humidity ratio, relative humidity.

Saturated air under pressure holds f times the vapour pressure of pure water; f, the enhancement factor, adds
2.5 to 3 % at the pressures of a workshop plant.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import MASS_RATIO
from airfettle.air.enhancement import enhancement_over, freezing_temperature
from airfettle.air.saturation import Phase, by_phase, ice_saturation_pressure, water_saturation_pressure

LARGEST_VAPOUR_SHARE = 0.99
"""Vapour counts as at most this share of the pressure, so that W stays finite where water would boil. [-]"""

_PURE = {"ice": ice_saturation_pressure, "water": water_saturation_pressure}


def enhancement_factor(temperature: ArrayLike, *, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the enhancement factor f of saturated air, over ice below the freezing temperature and over water above.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Vapour pressure in saturated air over saturation pressure of pure water. [-]

    Notes
    -----
    Valid: 193 to 473 K, to 2 MPa; within 4e-5 of the virial solution.  Beyond the ends the value at the end
    holds.  Where the saturation pressure reaches the pressure f is 1.

    References
    ----------
    [airfettle-enhancement]; [ashrae-rp-1485]
    """
    T, p = _both(temperature, pressure)
    frozen = freezing_temperature(p) > T
    return by_phase(frozen, over=_enhancement, values=(T, p))


def saturated_vapour_pressure(temperature: ArrayLike, *, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the partial pressure of water vapour in saturated air, f p_ws; not capped.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Partial pressure, absolute; above the pressure itself where water would boil. [Pa]

    Notes
    -----
    Valid: 193 to 473 K, to 2 MPa.

    References
    ----------
    [ashrae-f-2017] ch. 1; [airfettle-enhancement]
    """
    T, p = _both(temperature, pressure)
    frozen = freezing_temperature(p) > T
    return by_phase(frozen, over=_vapour, values=(T, p))


def saturation_humidity_ratio(temperature: ArrayLike, *, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the humidity ratio of saturated air, with the enhancement factor.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Mass of water over mass of dry air. [-]

    Notes
    -----
    Valid: 193 to 473 K, to 2 MPa.  Near and beyond boiling the vapour counts as `LARGEST_VAPOUR_SHARE` of the
    pressure: W is then 61.6, finite and more than any air holds, so that nothing condenses.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 21; [airfettle-enhancement]
    """
    p = np.asarray(pressure, dtype=np.float64)
    return humidity_ratio_of(saturated_vapour_pressure(temperature, pressure=p), pressure=p)


def vapour_pressure(humidity_ratio: ArrayLike, *, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the partial pressure of water vapour.

    Parameters
    ----------
    humidity_ratio : array_like
        Mass of water over mass of dry air. [-]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Partial pressure, absolute. [Pa]

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 20
    """
    W, p = _both(humidity_ratio, pressure)
    return W * p / (MASS_RATIO + W)


def humidity_ratio_of(vapour_pressure: ArrayLike, *, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the humidity ratio from the partial pressure of water vapour.

    Parameters
    ----------
    vapour_pressure : array_like
        Partial pressure, absolute; counts as at most `LARGEST_VAPOUR_SHARE` of the pressure. [Pa]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Mass of water over mass of dry air. [-]

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 20
    """
    p_v, p = _both(vapour_pressure, pressure)
    p_v = np.minimum(p_v, LARGEST_VAPOUR_SHARE * p)
    return MASS_RATIO * p_v / (p - p_v)


def humidity_ratio(relative_humidity: ArrayLike, *, temperature: ArrayLike, pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the humidity ratio from relative humidity, with the enhancement factor.

    Parameters
    ----------
    relative_humidity : array_like
        Vapour pressure over that of saturated air at the same temperature and pressure. [-]
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Mass of water over mass of dry air. [-]

    Notes
    -----
    Below freezing the humidity is relative to ice; a weather report's is relative to supercooled water and means
    more water than this gives.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 12 and 20; [airfettle-enhancement]
    """
    p = np.asarray(pressure, dtype=np.float64)
    share = np.asarray(relative_humidity, dtype=np.float64)
    return humidity_ratio_of(share * saturated_vapour_pressure(temperature, pressure=p), pressure=p)


def relative_humidity_of(
    humidity_ratio: ArrayLike, *, temperature: ArrayLike, pressure: ArrayLike
) -> NDArray[np.float64]:
    """Return the relative humidity; above 1 where the air cannot hold that much vapour.

    Parameters
    ----------
    humidity_ratio : array_like
        Mass of water over mass of dry air. [-]
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Vapour pressure over that of saturated air at the same temperature and pressure. [-]

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 12; [airfettle-enhancement]
    """
    p = np.asarray(pressure, dtype=np.float64)
    return vapour_pressure(humidity_ratio, pressure=p) / saturated_vapour_pressure(temperature, pressure=p)


def vapour_pressure_over(temperature: ArrayLike, *, pressure: ArrayLike, phase: Phase) -> NDArray[np.float64]:
    """Return the partial pressure of water vapour in air saturated over ice, or over water, whatever is stable.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure. [Pa]
    phase : str
        What the vapour is in balance with, "ice" or "water". [text]

    Returns
    -------
    ndarray
        Partial pressure, absolute. [Pa]

    Notes
    -----
    Valid: as `enhancement_over`.

    References
    ----------
    [ashrae-f-2017] ch. 1; [airfettle-enhancement]
    """
    T, p = _both(temperature, pressure)
    pure = _PURE[phase](T)
    return pure * enhancement_over(T, pressure=p, saturation_pressure=pure, phase=phase)


def _both(first: ArrayLike, second: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)


def _enhancement(T: NDArray[np.float64], p: NDArray[np.float64], *, phase: Phase) -> NDArray[np.float64]:
    return enhancement_over(T, pressure=p, saturation_pressure=_PURE[phase](T), phase=phase)


def _vapour(T: NDArray[np.float64], p: NDArray[np.float64], *, phase: Phase) -> NDArray[np.float64]:
    return vapour_pressure_over(T, pressure=p, phase=phase)
