"""Energy and money: what the plant draws, what an hour, a year and a cubic metre of air cost."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import KAPPA, STANDARD_PRESSURE

JOULE_PER_KWH = 3.6e6
"""One kilowatt hour. [J]"""


def electrical_power(
    *,
    shaft_power: ArrayLike,
    belt_efficiency: ArrayLike = 1.0,
    motor_efficiency: ArrayLike = 1.0,
    drive_efficiency: ArrayLike = 1.0,
) -> NDArray[np.float64]:
    """Return what the supply gives for a power at the pump's shaft.

    Parameters
    ----------
    shaft_power : array_like
        At the pump. [W]
    belt_efficiency, motor_efficiency, drive_efficiency : array_like
        Above zero; 1 for a part that is not there. [-]

    Returns
    -------
    ndarray
        Power from the supply. [W]

    References
    ----------
    [physics] chain of efficiencies
    """
    chain = np.asarray(belt_efficiency, dtype=np.float64) * np.asarray(motor_efficiency, dtype=np.float64)
    return np.asarray(shaft_power, dtype=np.float64) / (chain * np.asarray(drive_efficiency, dtype=np.float64))


def running_cost(
    *,
    shaft_power: ArrayLike,
    time: ArrayLike,
    price: ArrayLike,
    time_share: ArrayLike = 1.0,
    load_share: ArrayLike = 1.0,
    motor_efficiency: ArrayLike = 1.0,
) -> NDArray[np.float64]:
    """Return what running costs in one mode, loaded or unloaded.

    Parameters
    ----------
    shaft_power : array_like
        At full load. [W]
    time : array_like
        Time the plant is on. [s]
    price : array_like
        Of energy; a price for each kWh over 3.6e6. [money/J]
    time_share : array_like
        Share of the time in this mode. [-]
    load_share : array_like
        Shaft power in this mode over that at full load. [-]
    motor_efficiency : array_like
        In this mode, belt and drive included where there are any. [-]

    Returns
    -------
    ndarray
        Cost, in the money of the price. [money]

    Notes
    -----
    P t c (share of time)(share of load)/eta; the modes of a plant add up.  Valid: energy only, no demand charge.

    References
    ----------
    [doe-air-tip-1]
    """
    energy = energy_used(
        power=electrical_power(
            shaft_power=np.asarray(shaft_power, dtype=np.float64) * np.asarray(load_share, dtype=np.float64),
            motor_efficiency=motor_efficiency,
        ),
        time=np.asarray(time, dtype=np.float64) * np.asarray(time_share, dtype=np.float64),
    )
    return energy * np.asarray(price, dtype=np.float64)


def energy_used(*, power: ArrayLike, time: ArrayLike) -> NDArray[np.float64]:
    """Return the energy a power takes over a time, a year of running hours for example.

    Parameters
    ----------
    power : array_like
        From the supply. [W]
    time : array_like
        How long. [s]

    Returns
    -------
    ndarray
        Energy. [J]

    References
    ----------
    [physics] definition
    """
    return np.asarray(power, dtype=np.float64) * np.asarray(time, dtype=np.float64)


def cost_per_hour(*, power: ArrayLike, price: ArrayLike) -> NDArray[np.float64]:
    """Return what an hour of running costs.

    Parameters
    ----------
    power : array_like
        From the supply. [W]
    price : array_like
        Of energy. [money/J]

    Returns
    -------
    ndarray
        Cost of an hour. [money/h]

    References
    ----------
    [physics] definition
    """
    return energy_used(power=power, time=3600.0) * np.asarray(price, dtype=np.float64)


def specific_power(*, power: ArrayLike, free_air_delivery: ArrayLike) -> NDArray[np.float64]:
    """Return the energy each volume of free air takes.

    Parameters
    ----------
    power : array_like
        At the shaft or from the supply: say which. [W]
    free_air_delivery : array_like
        Intake volume flow; below 1 mL/s it is taken as that. [m3/s]

    Returns
    -------
    ndarray
        Energy for each volume of free air. [J/m3]

    References
    ----------
    [physics] definition
    """
    flow = np.maximum(np.asarray(free_air_delivery, dtype=np.float64), 1e-6)
    return np.asarray(power, dtype=np.float64) / flow


def least_specific_power(*, pressure: ArrayLike, pressure_intake: ArrayLike = STANDARD_PRESSURE) -> NDArray[np.float64]:
    """Return the isothermal work on each volume of free air, which no pump can undercut.

    Parameters
    ----------
    pressure, pressure_intake : array_like
        Absolute pressures. [Pa]

    Returns
    -------
    ndarray
        Energy for each volume of free air. [J/m3]

    Notes
    -----
    p0 ln(p/p0).

    References
    ----------
    [physics] isothermal compression of an ideal gas
    """
    p0 = np.asarray(pressure_intake, dtype=np.float64)
    out: NDArray[np.float64] = p0 * np.log(np.asarray(pressure, dtype=np.float64) / p0)
    return out


def cost_of_air(*, specific_power: ArrayLike, price: ArrayLike) -> NDArray[np.float64]:
    """Return the energy cost of each volume of free air.

    Parameters
    ----------
    specific_power : array_like
        From the supply. [J/m3]
    price : array_like
        Of energy. [money/J]

    Returns
    -------
    ndarray
        Cost. [money/m3]

    References
    ----------
    [physics] definition
    """
    return np.asarray(specific_power, dtype=np.float64) * np.asarray(price, dtype=np.float64)


def pressure_saving(
    *,
    pressure: ArrayLike,
    pressure_other: ArrayLike,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
    exponent: ArrayLike = (KAPPA - 1) / KAPPA,
) -> NDArray[np.float64]:
    """Return the change of power that another discharge pressure brings.

    Parameters
    ----------
    pressure, pressure_other, pressure_intake : array_like
        Absolute pressures: now, wanted, intake; now above intake. [Pa]
    exponent : array_like
        (n - 1)/n of the compression. [-]

    Returns
    -------
    ndarray
        Share of power added, negative where saved. [-]

    Notes
    -----
    [(p'/p0)^x - 1]/[(p/p0)^x - 1] - 1.  Valid: one stage; two stages change by an eighth less.

    References
    ----------
    [physics] isentropic work; [pressure-energy-rule] says 1 % for 2 psi near 100 psig
    """
    p0, x = np.asarray(pressure_intake, dtype=np.float64), np.asarray(exponent, dtype=np.float64)
    now = (np.asarray(pressure, dtype=np.float64) / p0) ** x - 1
    other = (np.asarray(pressure_other, dtype=np.float64) / p0) ** x - 1
    out: NDArray[np.float64] = other / now - 1
    return out


def overall_efficiency(*, useful_power: ArrayLike, electrical_power: ArrayLike) -> NDArray[np.float64]:
    """Return the share of the supply's power that comes out at an air tool's shaft.

    Parameters
    ----------
    useful_power : array_like
        At the tool's shaft. [W]
    electrical_power : array_like
        From the supply. [W]

    Returns
    -------
    ndarray
        Share. [-]

    References
    ----------
    [physics] definition; [doe-air-tip-1] 10 to 15 %
    """
    return np.asarray(useful_power, dtype=np.float64) / np.asarray(electrical_power, dtype=np.float64)


def leak_share(*, leak_flow: ArrayLike, free_air_delivery: ArrayLike) -> NDArray[np.float64]:
    """Return the share of the full delivery that leaks away.

    Parameters
    ----------
    leak_flow, free_air_delivery : array_like
        As intake volume; delivery above zero. [m3/s]

    Returns
    -------
    ndarray
        Share. [-]

    References
    ----------
    [doe-air-tip-3] 20 to 30 % typical, 5 to 10 % as target
    """
    return np.asarray(leak_flow, dtype=np.float64) / np.asarray(free_air_delivery, dtype=np.float64)
