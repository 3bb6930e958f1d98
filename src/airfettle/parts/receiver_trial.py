"""Pump-up trial: delivery from settled readings, and how far a hot tank over-reads it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR, STANDARD_PRESSURE
from airfettle.errors import UnsuitableNumbers

CV_DRY_AIR = CP_DRY_AIR - R_DRY_AIR
"""Specific heat of dry air at constant volume. [J/(kg K)]"""

STEPS = 200
"""Least number of steps from start to end pressure. [-]"""


@dataclass(frozen=True)
class SettledDelivery:
    """What a pump-up trial shows once the tank has settled.

    Attributes
    ----------
    mass_flow : ndarray
        Dry air into the receiver. [kg/s]
    dry_volume_flow : ndarray
        The same as volume of dry air at intake pressure and temperature. [m3/s]
    free_air_delivery : ndarray
        The same as volume of the humid intake air. [m3/s]
    """

    mass_flow: NDArray[np.float64]
    dry_volume_flow: NDArray[np.float64]
    free_air_delivery: NDArray[np.float64]


@dataclass(frozen=True)
class HotPumpUp:
    """A closed receiver pumped up from rest.

    Attributes
    ----------
    duration : ndarray
        Time to the end pressure. [s]
    gas_temperature, wall_temperature : ndarray
        When the end pressure is reached. [K]
    over_read : ndarray
        Apparent delivery over the true one, less one: 0.19 is 19 % too high. [-]
    settled_pressure : ndarray
        Absolute pressure once all is back at room temperature. [Pa]
    """

    duration: NDArray[np.float64]
    gas_temperature: NDArray[np.float64]
    wall_temperature: NDArray[np.float64]
    over_read: NDArray[np.float64]
    settled_pressure: NDArray[np.float64]


class _Tank(NamedTuple):
    volume: NDArray[np.float64]
    mass_flow: NDArray[np.float64]
    inlet: NDArray[np.float64]
    room: NDArray[np.float64]
    inside: NDArray[np.float64]
    outside: NDArray[np.float64]
    wall: NDArray[np.float64]
    start: NDArray[np.float64]
    end: NDArray[np.float64]


def pump_up_delivery(
    *,
    receiver_volume: ArrayLike,
    duration: ArrayLike,
    pressure_start: ArrayLike,
    pressure_end: ArrayLike,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the delivery a pump-up seems to show when nobody waits for the tank to settle.

    Parameters
    ----------
    receiver_volume : array_like
        Water volume. [m3]
    duration : array_like
        Time from start to end pressure, above zero. [s]
    pressure_start, pressure_end : array_like
        Absolute or gauge, both the same. [Pa]
    pressure_intake : array_like
        Absolute pressure of the intake. [Pa]

    Returns
    -------
    ndarray
        Apparent intake volume flow. [m3/s]

    Notes
    -----
    V (p2 - p1)/(p0 t).  Valid: only where the tank stays at intake temperature; a hot tank reads high, see
    `hot_pump_up`.

    References
    ----------
    [receiver-handbook] pump-up constant
    """
    band = np.asarray(pressure_end, dtype=np.float64) - np.asarray(pressure_start, dtype=np.float64)
    stored = np.asarray(receiver_volume, dtype=np.float64) * band / np.asarray(pressure_intake, dtype=np.float64)
    return stored / np.asarray(duration, dtype=np.float64)


def settled_delivery(
    *,
    receiver_volume: ArrayLike,
    duration: ArrayLike,
    pressure_start: ArrayLike,
    temperature_start: ArrayLike,
    pressure_settled: ArrayLike,
    temperature_settled: ArrayLike,
    pressure_intake: ArrayLike,
    temperature_intake: ArrayLike,
    vapour_pressure_intake: ArrayLike = 0.0,
) -> SettledDelivery:
    """Return the delivery from a pump-up trial read again after the closed tank has settled.

    Parameters
    ----------
    receiver_volume : array_like
        Plate volume with cooler and pipe, less standing water. [m3]
    duration : array_like
        Time the pump ran, above zero. [s]
    pressure_start : array_like
        Absolute, before the start. [Pa]
    temperature_start : array_like
        Of the air in the tank before the start. [K]
    pressure_settled : array_like
        Absolute, after the gauge has stopped moving. [Pa]
    temperature_settled : array_like
        Of the air in the tank then. [K]
    pressure_intake : array_like
        Absolute. [Pa]
    temperature_intake : array_like
        Of the intake air. [K]
    vapour_pressure_intake : array_like
        Partial pressure of water in the intake air; zero reads dry. [Pa]

    Returns
    -------
    SettledDelivery
        Mass flow of dry air [kg/s] and volume flows at intake [m3/s].

    Notes
    -----
    Q_dry = V/(t p_i) (p2'/T2' - p1/T1) T_i, FAD = Q_dry/(1 - p_v/p_i).  Valid: no leak, vapour in the tank neglected
    (under 1 %); delivery is that at the mean of start and end pressure.

    References
    ----------
    [airfettle-equations] (d)
    """
    p_i, T_i = np.asarray(pressure_intake, dtype=np.float64), np.asarray(temperature_intake, dtype=np.float64)
    end = np.asarray(pressure_settled, dtype=np.float64) / np.asarray(temperature_settled, dtype=np.float64)
    start = np.asarray(pressure_start, dtype=np.float64) / np.asarray(temperature_start, dtype=np.float64)
    gained = np.asarray(receiver_volume, dtype=np.float64) * (end - start)
    mass_flow = gained / (R_DRY_AIR * np.asarray(duration, dtype=np.float64))
    dry = mass_flow * R_DRY_AIR * T_i / p_i
    return SettledDelivery(mass_flow, dry, dry / (1 - np.asarray(vapour_pressure_intake, dtype=np.float64) / p_i))


def hot_pump_up(
    *,
    receiver_volume: ArrayLike,
    mass_flow: ArrayLike,
    inlet_temperature: ArrayLike,
    room_temperature: ArrayLike,
    inside_conductance: ArrayLike,
    outside_conductance: ArrayLike,
    wall_heat_capacity: ArrayLike,
    pressure_start: ArrayLike,
    pressure_end: ArrayLike,
) -> HotPumpUp:
    """Return how a closed receiver warms while a steady flow pumps it up from rest.

    Parameters
    ----------
    receiver_volume : array_like
        Water volume. [m3]
    mass_flow : array_like
        Dry air into the receiver, above zero. [kg/s]
    inlet_temperature, room_temperature : array_like
        Of the air that enters, and of room, wall and gas at the start. [K]
    inside_conductance, outside_conductance : array_like
        From gas to wall and from wall to room. [W/K]
    wall_heat_capacity : array_like
        Mass of steel times its specific heat. [J/K]
    pressure_start, pressure_end : array_like
        Absolute, end above start. [Pa]

    Returns
    -------
    HotPumpUp
        Time [s], temperatures [K], over-reading [-], settled pressure [Pa].

    Raises
    ------
    UnsuitableNumbers
        No flow, or an end pressure that is not above the start.

    Notes
    -----
    m cv Tg' = m_dot (cp T_in - cv Tg) - hA (Tg - Tw), C_w Tw' = hA (Tg - Tw) - UA (Tw - Ta), solved by classical
    Runge-Kutta steps of equal pressure ratio.  Valid: dry air, flow and inlet temperature steady, tank rested before.
    Limits: 0 for a tank held at room temperature, k T_in/T_a - 1 without any heat loss.  A plant in use starts from
    gas cooled by expansion: not this number.

    References
    ----------
    [airfettle-equations] (d), not settled
    """
    flow = (receiver_volume, mass_flow, inlet_temperature, room_temperature)
    heat = (inside_conductance, outside_conductance, wall_heat_capacity)
    given = (*flow, *heat, pressure_start, pressure_end)
    tank = _Tank(*np.broadcast_arrays(*(np.asarray(x, dtype=np.float64) for x in given)))
    if np.any(tank.mass_flow <= 0) or np.any(tank.end <= tank.start):
        raise UnsuitableNumbers(read="a pump-up without flow or without a rise", wanted="both above zero")
    duration, gas, wall = _integrate(tank)
    gained = tank.mass_flow * duration
    apparent = tank.volume * (tank.end - tank.start) / (R_DRY_AIR * tank.room)
    settled = tank.start + gained * R_DRY_AIR * tank.room / tank.volume
    return HotPumpUp(duration, gas, wall, apparent / gained - 1, settled)


def _integrate(tank: _Tank) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return time, gas and wall temperature at the end pressure, by steps equal in ln p."""
    span = np.log(tank.end / tank.start)
    carried = tank.mass_flow * CP_DRY_AIR
    fill = tank.end * tank.volume * CV_DRY_AIR / (R_DRY_AIR * tank.room)
    to_gas, to_wall = tank.inside / carried, (tank.inside + tank.outside) / tank.wall * fill / carried
    stiffness = span * (1 + to_gas + to_wall)
    steps = int(max(STEPS, np.ceil(2 * np.max(stiffness, initial=0))))
    h = span / steps
    y = np.stack([np.zeros_like(span), tank.room + 0.0, tank.room + 0.0])
    for step in range(steps):
        ln_p = np.log(tank.start) + step * h
        k1 = _slopes(tank, ln_p, y)
        k2 = _slopes(tank, ln_p + h / 2, y + h / 2 * k1)
        k3 = _slopes(tank, ln_p + h / 2, y + h / 2 * k2)
        k4 = _slopes(tank, ln_p + h, y + h * k3)
        y = y + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
    return y[0], y[1], y[2]


def _slopes(tank: _Tank, ln_p: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the slopes of time, gas and wall temperature against ln p."""
    _, gas, wall = y
    energy = np.exp(ln_p) * tank.volume * CV_DRY_AIR / R_DRY_AIR
    to_wall = tank.inside * (gas - wall)
    time = energy / (tank.mass_flow * CP_DRY_AIR * tank.inlet - to_wall)
    warming = tank.mass_flow * (CP_DRY_AIR * tank.inlet - CV_DRY_AIR * gas) - to_wall
    walls = (to_wall - tank.outside * (wall - tank.room)) / tank.wall
    return np.stack([time, warming * gas / energy * time, walls * time])
