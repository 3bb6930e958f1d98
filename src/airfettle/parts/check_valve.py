"""Check valve and unloader bleed: pressure drop, what each stop vents, and the shortest restart."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import KAPPA, R_DRY_AIR, STANDARD_PRESSURE
from airfettle.air.drop import pressure_drop

CHOKED = (2 / (KAPPA + 1)) ** (KAPPA / (KAPPA - 1))
"""Pressure ratio below which a nozzle is choked. [-]"""

NODES = 24
"""Gauss points of the unchoked part of a bleed. [-]"""


def valve_drop(
    *,
    mass_flow: ArrayLike,
    temperature: ArrayLike,
    pressure: ArrayLike,
    rated_drop: ArrayLike,
    rated_flow_dry_kg_s: ArrayLike,
    rated_temperature: ArrayLike,
    rated_pressure: ArrayLike,
    cracking_drop: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Return the pressure a check valve costs.

    Parameters
    ----------
    mass_flow : array_like
        Dry air; none flows back. [kg/s]
    temperature : array_like
        At the valve's inlet. [K]
    pressure : array_like
        Absolute, at the valve's inlet. [Pa]
    rated_drop : array_like
        Drop at the rated point. [Pa]
    rated_flow_dry_kg_s : array_like
        Dry air at the rated point, above zero. [kg/s]
    rated_temperature : array_like
        At the rated point. [K]
    rated_pressure : array_like
        Absolute, at the rated point. [Pa]
    cracking_drop : array_like
        Pressure difference that just lifts the disc against its spring. [Pa]

    Returns
    -------
    ndarray
        Drop, the cracking drop at least wherever air flows. [Pa]

    Notes
    -----
    Quadratic with flow, scaled with density.  Valid: disc fully open; at small flow it chatters near the cracking drop.

    References
    ----------
    [physics] see `airfettle.air.drop`
    """
    flow = np.maximum(np.asarray(mass_flow, dtype=np.float64), 0)
    lost = pressure_drop(
        mass_flow=flow,
        temperature=temperature,
        pressure=pressure,
        rated_drop=rated_drop,
        rated_flow_dry_kg_s=rated_flow_dry_kg_s,
        rated_temperature=rated_temperature,
        rated_pressure=rated_pressure,
    )
    out: NDArray[np.float64] = np.where(flow > 0, np.maximum(lost, np.asarray(cracking_drop, dtype=np.float64)), 0.0)
    return out


def drop_from_loss(
    *,
    mass_flow: ArrayLike,
    temperature: ArrayLike,
    pressure: ArrayLike,
    bore: ArrayLike,
    loss_coefficient: ArrayLike,
) -> NDArray[np.float64]:
    """Return the pressure a check valve costs when only its size and kind are known.

    Parameters
    ----------
    mass_flow : array_like
        Dry air. [kg/s]
    temperature : array_like
        At the inlet. [K]
    pressure : array_like
        Absolute, at the inlet. [Pa]
    bore : array_like
        Inside diameter the coefficient refers to. [m]
    loss_coefficient : array_like
        K, in velocity heads. [-]

    Returns
    -------
    ndarray
        Drop. [Pa]

    Notes
    -----
    K rho v^2/2.  Valid: drop under a tenth of the absolute pressure; larger drops read low.

    References
    ----------
    [physics] definition of the loss coefficient
    """
    m = np.asarray(mass_flow, dtype=np.float64)
    area = np.pi / 4 * np.asarray(bore, dtype=np.float64) ** 2
    gas = R_DRY_AIR * np.asarray(temperature, dtype=np.float64)
    density = np.asarray(pressure, dtype=np.float64) / gas
    return np.asarray(loss_coefficient, dtype=np.float64) * (m / area) ** 2 / (2 * density)


def bleed_time(
    *,
    volume: ArrayLike,
    pressure_start: ArrayLike,
    pressure_end: ArrayLike,
    bore: ArrayLike,
    discharge_coefficient: ArrayLike = 0.7,
    temperature: ArrayLike = 298.15,
    pressure_barometer: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return how long the unloader takes to empty what stands between pump and check valve.

    Parameters
    ----------
    volume : array_like
        Between pump and check valve: head, hot line, and the cooler where it stands before the valve. [m3]
    pressure_start, pressure_end : array_like
        Absolute; the end is taken as at least 100 Pa above the room. [Pa]
    bore : array_like
        Diameter of the bleed, above zero. [m]
    discharge_coefficient : array_like
        Flow over that of an ideal nozzle. [-]
    temperature : array_like
        Of the air, taken as constant. [K]
    pressure_barometer : array_like
        Absolute pressure of the room. [Pa]

    Returns
    -------
    ndarray
        Time, zero where it starts at the end pressure or below. [s]

    Notes
    -----
    dp/dt = -R T m_dot(p)/V; the choked part in closed form, the rest by Gauss points in sqrt(p - p0).  Valid: walls
    hold the air's temperature; without their heat a full bleed is a sixth shorter.

    References
    ----------
    [physics] isentropic nozzle, constant temperature
    """
    room = np.asarray(pressure_barometer, dtype=np.float64)
    start = np.asarray(pressure_start, dtype=np.float64)
    end = np.minimum(np.maximum(np.asarray(pressure_end, dtype=np.float64), room + 100), np.maximum(start, room + 100))
    start = np.maximum(start, end)
    gas = R_DRY_AIR * np.asarray(temperature, dtype=np.float64)
    area = np.pi / 4 * np.asarray(bore, dtype=np.float64) ** 2
    rate = np.asarray(discharge_coefficient, dtype=np.float64) * area * np.sqrt(gas)
    choked_shape = np.sqrt(KAPPA * (2 / (KAPPA + 1)) ** ((KAPPA + 1) / (KAPPA - 1)))
    choked = np.log(start / np.clip(room / CHOKED, end, start)) / choked_shape
    slow = _unchoked(end, np.clip(room / CHOKED, end, start), room)
    out: NDArray[np.float64] = np.asarray(volume, dtype=np.float64) / rate * (choked + slow)
    return out


def _unchoked(low: NDArray[np.float64], high: NDArray[np.float64], room: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the integral of dp/(p psi(p)) from high to low, psi the nozzle's shape."""
    node, weight = np.polynomial.legendre.leggauss(NODES)
    u0, u1 = np.sqrt(low - room)[..., np.newaxis], np.sqrt(high - room)[..., np.newaxis]
    u = u0 + (u1 - u0) * (node + 1) / 2
    p = room[..., np.newaxis] + u**2
    r = np.maximum(room[..., np.newaxis] / p, CHOKED)
    shape = np.sqrt(2 * KAPPA / (KAPPA - 1) * (r ** (2 / KAPPA) - r ** ((KAPPA + 1) / KAPPA)))
    out: NDArray[np.float64] = np.sum(2 * u / (p * shape) * weight, axis=-1) * (u1 - u0)[..., 0] / 2
    return out


def vented_air(
    *,
    volume: ArrayLike,
    pressure_start: ArrayLike,
    pressure_end: ArrayLike = STANDARD_PRESSURE,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the free air each stop throws away through the unloader.

    Parameters
    ----------
    volume : array_like
        Between pump and check valve. [m3]
    pressure_start, pressure_end : array_like
        Absolute; left long enough, the end is the room's pressure. [Pa]
    pressure_intake : array_like
        Absolute pressure of the free air. [Pa]

    Returns
    -------
    ndarray
        Volume as intake air. [m3]

    Notes
    -----
    V (p1 - p2)/p0.  Valid: air at intake temperature; hot air between pump and cooler loses less.

    References
    ----------
    [physics] ideal gas
    """
    fall = np.asarray(pressure_start, dtype=np.float64) - np.asarray(pressure_end, dtype=np.float64)
    lost = np.asarray(volume, dtype=np.float64) * np.maximum(fall, 0)
    return lost / np.asarray(pressure_intake, dtype=np.float64)


def shortest_restart(
    *, bleed_time: ArrayLike, switch_delay: ArrayLike = 0.0, coast_time: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Return the least time from stop command to start for a start against an empty line.

    Parameters
    ----------
    bleed_time : array_like
        See `bleed_time`. [s]
    switch_delay : array_like
        From stop command to the unloader opening. [s]
    coast_time : array_like
        From stop command to standstill. [s]

    Returns
    -------
    ndarray
        Time. [s]

    Notes
    -----
    The later of standstill, and of delay plus bleeding.  Valid: a bleed that is clear; a gummed one needs longer.

    References
    ----------
    [practice] start unloaded
    """
    empty = np.asarray(switch_delay, dtype=np.float64) + np.asarray(bleed_time, dtype=np.float64)
    out: NDArray[np.float64] = np.maximum(empty, np.asarray(coast_time, dtype=np.float64))
    return out


def restart_margin(*, off_time: ArrayLike, shortest_restart: ArrayLike) -> NDArray[np.float64]:
    """Return how much longer the pump rests than it must, negative where it starts loaded.

    Parameters
    ----------
    off_time, shortest_restart : array_like
        Rest between runs, and the least that empties the line. [s]

    Returns
    -------
    ndarray
        Time. [s]

    References
    ----------
    [practice] start unloaded
    """
    return np.asarray(off_time, dtype=np.float64) - np.asarray(shortest_restart, dtype=np.float64)
