"""Air through holes: ideal nozzles and orifices, sonic conductance of valves and couplers, leaks by bleed-down."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import KAPPA, R_DRY_AIR, STANDARD_PRESSURE

REFERENCE_TEMPERATURE = 293.15
"""Temperature of the reference air of sonic conductance. [K]  Source: iso-8778."""

REFERENCE_DENSITY = 1.185
"""Density of the reference air of sonic conductance (1 bar, 20 degC, 65 %). [kg/m3]  Source: iso-6358."""

KV_OF_CV = 0.865
"""Flow coefficient in m3/h at 1 bar for one in US gal/min at 1 psi. [-]  Source: physics."""


def critical_pressure_ratio(kappa: ArrayLike = KAPPA) -> NDArray[np.float64]:
    """Return the pressure ratio across an ideal nozzle below which its flow is choked.

    Parameters
    ----------
    kappa : array_like
        Isentropic exponent. [-]

    Returns
    -------
    ndarray
        Absolute downstream over absolute upstream pressure. [-]

    Notes
    -----
    (2 / (k + 1))^(k / (k - 1)).

    References
    ----------
    [physics]
    """
    k = _array(kappa)
    return np.power(2.0 / (k + 1.0), k / (k - 1.0))


def nozzle_mass_flow(
    area: ArrayLike,
    *,
    pressure: ArrayLike,
    temperature: ArrayLike,
    downstream_pressure: ArrayLike,
    discharge_coefficient: ArrayLike = 1.0,
    kappa: ArrayLike = KAPPA,
) -> NDArray[np.float64]:
    """Return the mass flow through a nozzle or orifice, choked or not.

    Parameters
    ----------
    area : array_like
        Area of the throat. [m2]
    pressure : array_like
        Absolute pressure upstream, at rest. [Pa]
    temperature : array_like
        Temperature upstream, at rest. [K]
    downstream_pressure : array_like
        Absolute pressure downstream; at or above the upstream one nothing flows. [Pa]
    discharge_coefficient : array_like
        Flow over that of an ideal nozzle: 0.97 well rounded, 0.61 to 0.65 sharp-edged. [-]
    kappa : array_like
        Isentropic exponent. [-]

    Returns
    -------
    ndarray
        Mass flow. [kg/s]

    Notes
    -----
    Cd A p sqrt(2 k / ((k - 1) R T) (r^(2/k) - r^((k + 1)/k))), r the pressure ratio or, if higher, the critical one.
    Valid: dry air as ideal gas.  The coefficient of a sharp edge rises to 0.8 and more as the flow chokes; with a
    constant one this reads low there.

    References
    ----------
    [physics]; the sharp edge is [practice]
    """
    k = _array(kappa)
    p, T = _array(pressure), _array(temperature)
    ratio = np.clip(_array(downstream_pressure) / p, critical_pressure_ratio(k), 1.0)
    speed = 2.0 * k / (k - 1.0) * (ratio ** (2.0 / k) - ratio ** ((k + 1.0) / k))
    flow = _array(area) * p * np.sqrt(np.maximum(speed, 0.0) / (R_DRY_AIR * T))
    return flow * _array(discharge_coefficient)


def free_air_of_mass(
    mass_flow: ArrayLike, *, free_air_temperature: ArrayLike, free_air_pressure: ArrayLike = STANDARD_PRESSURE
) -> NDArray[np.float64]:
    """Return the volume flow of a mass flow of dry air as free air.

    Parameters
    ----------
    mass_flow : array_like
        Mass flow. [kg/s]
    free_air_temperature : array_like
        Temperature the volume is stated at. [K]
    free_air_pressure : array_like
        Absolute pressure the volume is stated at. [Pa]

    Returns
    -------
    ndarray
        Volume flow of free air. [m3/s]

    Notes
    -----
    Tables state free air at 60, 68 or 70 degF; the choice moves the figure 1 to 2 %.

    References
    ----------
    [physics]
    """
    volume = R_DRY_AIR * _array(free_air_temperature) / _array(free_air_pressure)
    return _array(mass_flow) * volume


def orifice_leak(
    diameter: ArrayLike,
    *,
    pressure: ArrayLike,
    temperature: ArrayLike,
    discharge_coefficient: ArrayLike,
    atmosphere: ArrayLike = STANDARD_PRESSURE,
    free_air_temperature: ArrayLike | None = None,
) -> NDArray[np.float64]:
    """Return the leak through a round hole to the atmosphere, as free air.

    Parameters
    ----------
    diameter : array_like
        Diameter of the hole. [m]
    pressure : array_like
        Absolute pressure inside. [Pa]
    temperature : array_like
        Temperature inside. [K]
    discharge_coefficient : array_like
        Flow over that of an ideal nozzle. [-]
    atmosphere : array_like
        Absolute pressure outside; free air is stated at it too. [Pa]
    free_air_temperature : array_like, optional
        Temperature free air is stated at; that inside if left out. [K]

    Returns
    -------
    ndarray
        Volume flow of free air. [m3/s]

    Notes
    -----
    Valid: as `nozzle_mass_flow`.  Tables of leaks often have the coefficient in them already; do not apply it twice.

    References
    ----------
    [physics]; [orifice-sheet]
    """
    area = 0.25 * np.pi * np.square(_array(diameter))
    mass = nozzle_mass_flow(
        area,
        pressure=pressure,
        temperature=temperature,
        downstream_pressure=atmosphere,
        discharge_coefficient=discharge_coefficient,
    )
    stated = temperature if free_air_temperature is None else free_air_temperature
    return free_air_of_mass(mass, free_air_temperature=stated, free_air_pressure=atmosphere)


def conductance_mass_flow(
    conductance: ArrayLike,
    *,
    pressure: ArrayLike,
    downstream_pressure: ArrayLike,
    temperature: ArrayLike,
    critical_ratio: ArrayLike,
    laminar_from: ArrayLike = 0.999,
) -> NDArray[np.float64]:
    """Return the mass flow through a valve, coupler or hose known by its sonic conductance.

    Parameters
    ----------
    conductance : array_like
        Sonic conductance C, as volume of reference air. [m3/(s Pa)]
    pressure : array_like
        Absolute pressure upstream. [Pa]
    downstream_pressure : array_like
        Absolute pressure downstream; at or above the upstream one nothing flows. [Pa]
    temperature : array_like
        Temperature upstream. [K]
    critical_ratio : array_like
        Critical pressure ratio b of the part. [-]
    laminar_from : array_like
        Pressure ratio above which the flow is proportional to the drop, 0.995 to 0.999. [-]

    Returns
    -------
    ndarray
        Mass flow. [kg/s]

    Notes
    -----
    m = C p rho0 sqrt(T0 / T), below choking times sqrt(1 - ((r - b) / (1 - b))^2); the straight piece near r = 1
    keeps the slope finite.  Valid: the standard's ellipse with exponent 1/2; long hoses have a flatter curve.

    References
    ----------
    [iso-6358]; [iso-8778]
    """
    p, b = _array(pressure), _array(critical_ratio)
    ratio = np.clip(_array(downstream_pressure) / p, 0.0, 1.0)
    laminar = _array(laminar_from)
    curved = np.clip((np.minimum(ratio, laminar) - b) / (1.0 - b), 0.0, 1.0)
    share: NDArray[np.float64] = np.sqrt(1.0 - curved * curved) * np.minimum((1.0 - ratio) / (1.0 - laminar), 1.0)
    density: NDArray[np.float64] = REFERENCE_DENSITY * np.sqrt(REFERENCE_TEMPERATURE / _array(temperature))
    flow: NDArray[np.float64] = _array(conductance) * p * density * share
    return flow


def nozzle_conductance(
    area: ArrayLike, *, discharge_coefficient: ArrayLike = 1.0, kappa: ArrayLike = KAPPA
) -> NDArray[np.float64]:
    """Return the sonic conductance of a nozzle or orifice.

    Parameters
    ----------
    area : array_like
        Area of the throat. [m2]
    discharge_coefficient : array_like
        Flow over that of an ideal nozzle. [-]
    kappa : array_like
        Isentropic exponent. [-]

    Returns
    -------
    ndarray
        Sonic conductance. [m3/(s Pa)]

    References
    ----------
    [physics]; [iso-6358]
    """
    mass = nozzle_mass_flow(
        area,
        pressure=1.0,
        temperature=REFERENCE_TEMPERATURE,
        downstream_pressure=0.0,
        discharge_coefficient=discharge_coefficient,
        kappa=kappa,
    )
    return mass / REFERENCE_DENSITY


def conductance_of_kv(kv: ArrayLike, *, critical_ratio: ArrayLike) -> NDArray[np.float64]:
    """Return the sonic conductance of a part known by its flow coefficient Kv.

    Parameters
    ----------
    kv : array_like
        Flow of water at 1 bar of drop. [m3/h]
    critical_ratio : array_like
        Critical pressure ratio b of the part. [-]

    Returns
    -------
    ndarray
        Sonic conductance. [m3/(s Pa)]

    Notes
    -----
    Equates both laws at a small drop.  Valid: small drops; near choking within about 10 %, only if b is right.

    References
    ----------
    [airfettle-equations] (f)
    """
    b = _array(critical_ratio)
    small: NDArray[np.float64] = np.sqrt(0.005 * (1.0 - b) / (R_DRY_AIR * REFERENCE_TEMPERATURE)) / REFERENCE_DENSITY
    return _array(kv) / 3600.0 * small


def conductance_of_cv(cv: ArrayLike, *, critical_ratio: ArrayLike) -> NDArray[np.float64]:
    """Return the sonic conductance of a part known by its flow coefficient Cv.

    Parameters
    ----------
    cv : array_like
        Flow of water at 1 psi of drop. [US gal/min]
    critical_ratio : array_like
        Critical pressure ratio b of the part. [-]

    Returns
    -------
    ndarray
        Sonic conductance. [m3/(s Pa)]

    Notes
    -----
    Valid: as `conductance_of_kv`.

    References
    ----------
    [airfettle-equations] (f)
    """
    return conductance_of_kv(KV_OF_CV * _array(cv), critical_ratio=critical_ratio)


def bleed_down_leak(
    volume: ArrayLike,
    *,
    pressure_start: ArrayLike,
    pressure_end: ArrayLike,
    time: ArrayLike,
    atmosphere: ArrayLike = STANDARD_PRESSURE,
    correction: ArrayLike = 1.25,
) -> NDArray[np.float64]:
    """Return the leak found by letting the pressure fall to about half, by the rule of the energy guides.

    Parameters
    ----------
    volume : array_like
        Volume of receiver and pipes. [m3]
    pressure_start, pressure_end : array_like
        Pressures, both gauge or both absolute. [Pa]
    time : array_like
        Time between them. [s]
    atmosphere : array_like
        Absolute pressure free air is stated at. [Pa]
    correction : array_like
        Takes the mean pressure of the fall to the normal one. [-]

    Returns
    -------
    ndarray
        Leak at the starting pressure, as free air. [m3/s]

    Notes
    -----
    V (p1 - p2) / (t p_atm) 1.25.  Valid: a fall to half the gauge pressure, where it reads about 5 % low against
    `decay_leak` from 100 psig; steady temperature.

    References
    ----------
    [doe-sourcebook]
    """
    fall = _array(pressure_start) - _array(pressure_end)
    mean = _array(volume) * fall / (_array(time) * _array(atmosphere))
    return mean * _array(correction)


def decay_leak(
    volume: ArrayLike,
    *,
    pressure_start: ArrayLike,
    pressure_end: ArrayLike,
    time: ArrayLike,
    at_pressure: ArrayLike | None = None,
    atmosphere: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the leak found by letting the pressure fall, by the law of choked leaks at steady temperature.

    Parameters
    ----------
    volume : array_like
        Volume of receiver and pipes. [m3]
    pressure_start, pressure_end : array_like
        Absolute pressures. [Pa]
    time : array_like
        Time between them. [s]
    at_pressure : array_like, optional
        Absolute pressure the leak is wanted at; the starting one if left out. [Pa]
    atmosphere : array_like
        Absolute pressure free air is stated at. [Pa]

    Returns
    -------
    ndarray
        Leak as free air at the temperature of the receiver. [m3/s]

    Notes
    -----
    V / t ln(p1 / p2) p / p_atm.  Valid: choked all the way, that is above 1.9 times the atmosphere; ending lower it
    reads low.

    References
    ----------
    [physics]
    """
    start = _array(pressure_start)
    wanted = start if at_pressure is None else _array(at_pressure)
    rate = np.log(start / _array(pressure_end)) / _array(time)
    return _array(volume) * rate * wanted / _array(atmosphere)


def _array(numbers: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(numbers, dtype=np.float64)
