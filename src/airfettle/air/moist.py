"""Moist air: saturation under pressure, humidity ratio, dew points, density and enthalpy.

Humidity ratio W is mass of water over mass of dry air. Saturated air under pressure holds f times the vapour
pressure of pure water; f, the enhancement factor, adds 2.5 to 3 % at the pressures of a workshop plant.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import (
    CP_DRY_AIR,
    CP_VAPOUR,
    LATENT_HEAT,
    MASS_RATIO,
    R_DRY_AIR,
    STANDARD_PRESSURE,
    ZERO_CELSIUS,
)
from airfettle.air.enhancement import (
    enhancement_over,
    freezing_temperature,
    freezing_vapour_pressure,
    rough_enhancement,
)
from airfettle.air.saturation import (
    Phase,
    by_phase,
    first_guess,
    ice_saturation_pressure,
    log_pressure_slope,
    saturation_pressure,
    saturation_temperature,
    water_saturation_pressure,
)

__all__ = [
    "LARGEST_VAPOUR_SHARE",
    "atmospheric_dew_point",
    "density",
    "dew_point",
    "dew_point_of",
    "enhancement_factor",
    "enthalpy",
    "humidity_ratio",
    "humidity_ratio_of",
    "pressure_dew_point",
    "relative_humidity_of",
    "saturated_vapour_pressure",
    "saturation_humidity_ratio",
    "saturation_pressure",
    "saturation_temperature",
    "supercooled_dew_point",
    "vapour_pressure",
]

LARGEST_VAPOUR_SHARE = 0.99
"""Vapour counts as at most this share of the pressure, so that W stays finite where water would boil. [-]"""

_LEAST_VAPOUR_PRESSURE = 2e-3
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
    return by_phase(frozen, over=_saturated, values=(T, p))


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
    return dew_point_of(vapour_pressure(humidity_ratio, pressure=p), pressure=p)


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
    p_v, p = _both(vapour_pressure, pressure)
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
    p_v = np.maximum(vapour_pressure(humidity_ratio, pressure=p), _LEAST_VAPOUR_PRESSURE)
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


def enthalpy(temperature: ArrayLike, *, humidity_ratio: ArrayLike) -> NDArray[np.float64]:
    """Return the enthalpy of moist air, from dry air and liquid water at 0 degC.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    humidity_ratio : array_like
        Mass of water vapour over mass of dry air. [-]

    Returns
    -------
    ndarray
        Enthalpy for each kilogram of dry air. [J/kg]

    Notes
    -----
    cp_a t + W (h_fg + cp_v t), t in degC.  Valid: all water as vapour, ideal gas, within 0.3 kJ/kg at 1 atm; reads
    2 kJ/kg high at 9 bar and 20 degC, 3 at 14 bar, since real air under pressure holds that much less.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 30, with the constants of [airfettle-equations]
    """
    t = np.asarray(temperature, dtype=np.float64) - ZERO_CELSIUS
    return CP_DRY_AIR * t + np.asarray(humidity_ratio, dtype=np.float64) * (LATENT_HEAT + CP_VAPOUR * t)


def density(temperature: ArrayLike, *, pressure: ArrayLike, humidity_ratio: ArrayLike) -> NDArray[np.float64]:
    """Return the density of moist air, water vapour included.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure. [Pa]
    humidity_ratio : array_like
        Mass of water vapour over mass of dry air. [-]

    Returns
    -------
    ndarray
        Mass of moist air over its volume. [kg/m3]

    Notes
    -----
    p (1 + W) / (R T (1 + W / 0.62198)).  Valid: ideal gas; within 0.1 % at 1 atm; reads 0.3 % low at 9 bar
    and 20 degC, 1.2 % low at 14 bar and -20 degC.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 26 and 27
    """
    T, p = _both(temperature, pressure)
    W = np.asarray(humidity_ratio, dtype=np.float64)
    return p * (1.0 + W) / (R_DRY_AIR * T * (1.0 + W / MASS_RATIO))


def _both(first: ArrayLike, second: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)


def _enhancement(T: NDArray[np.float64], p: NDArray[np.float64], *, phase: Phase) -> NDArray[np.float64]:
    return enhancement_over(T, pressure=p, saturation_pressure=_PURE[phase](T), phase=phase)


def _saturated(T: NDArray[np.float64], p: NDArray[np.float64], *, phase: Phase) -> NDArray[np.float64]:
    pure = _PURE[phase](T)
    return pure * enhancement_over(T, pressure=p, saturation_pressure=pure, phase=phase)


def _temperature_of(p_v: NDArray[np.float64], p: NDArray[np.float64], *, phase: Phase) -> NDArray[np.float64]:
    """Newton's method on the logarithm of vapour pressure against 1/T.

    The slope of f is small and left out: each step leaves at most 5 % of the miss, so that a last step below 1 mK
    leaves less than 0.05 mK.
    """
    T = first_guess(p_v, phase=phase)
    extra = (1.0 - p_v / p) * rough_enhancement(T, pressure=p, phase=phase)
    T = T - extra * (1.0 - 0.5 * extra) / log_pressure_slope(T, phase=phase)
    for _ in range(8):
        miss = p_v / _saturated(T, p, phase=phase) - 1.0
        change = miss * (1.0 - 0.5 * miss) / log_pressure_slope(T, phase=phase)
        T = T / (1.0 - change / T)
        if np.all(np.abs(change) < 1e-3):
            break
    return T
