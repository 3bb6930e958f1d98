"""Receiver in steady running: how warm it is, how fast it settles, the water it catches."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR
from airfettle.air.moist import saturation_humidity_ratio

CV_DRY_AIR = CP_DRY_AIR - R_DRY_AIR
"""Specific heat of dry air at constant volume. [J/(kg K)]"""


def outlet_temperature(
    *, mass_flow: ArrayLike, inlet_temperature: ArrayLike, room_temperature: ArrayLike, conductance: ArrayLike
) -> NDArray[np.float64]:
    """Return the temperature of the air in and out of a receiver in steady running.

    Parameters
    ----------
    mass_flow : array_like
        Through the receiver. [kg/s]
    inlet_temperature, room_temperature : array_like
        Of the air that enters and of the room. [K]
    conductance : array_like
        From the air inside to the room. [W/K]

    Returns
    -------
    ndarray
        Temperature; the room's where nothing flows. [K]

    Notes
    -----
    (m cp T_in + UA T_room)/(m cp + UA).  Valid: well-mixed tank, steady for three time constants; heat of condensing
    water left out, so it reads low with a wet inlet.

    References
    ----------
    [physics] heat balance of a mixed tank
    """
    carried = np.maximum(np.asarray(mass_flow, dtype=np.float64), 0) * CP_DRY_AIR
    lost = np.maximum(np.asarray(conductance, dtype=np.float64), 1e-9)
    hot, room = np.asarray(inlet_temperature, dtype=np.float64), np.asarray(room_temperature, dtype=np.float64)
    return room + (hot - room) * carried / (carried + lost)


def time_constant(
    *,
    receiver_volume: ArrayLike,
    pressure: ArrayLike,
    temperature: ArrayLike,
    wall_heat_capacity: ArrayLike,
    conductance: ArrayLike,
    mass_flow: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Return the time in which a receiver goes 63 % of the way to its steady temperature.

    Parameters
    ----------
    receiver_volume : array_like
        Water volume. [m3]
    pressure : array_like
        Absolute pressure inside. [Pa]
    temperature : array_like
        Of the air inside. [K]
    wall_heat_capacity : array_like
        Mass of steel times its specific heat. [J/K]
    conductance : array_like
        From the wall to the room, above zero. [W/K]
    mass_flow : array_like
        Through the receiver, zero when it stands. [kg/s]

    Returns
    -------
    ndarray
        Time. [s]

    Notes
    -----
    (m cv + C_w)/(UA + m_dot cp).  Valid: wall and air at one temperature, which needs some minutes after a change.

    References
    ----------
    [physics] lumped heat balance
    """
    p, T = np.asarray(pressure, dtype=np.float64), np.asarray(temperature, dtype=np.float64)
    held = p * np.asarray(receiver_volume, dtype=np.float64) / (R_DRY_AIR * T) * CV_DRY_AIR
    lost = np.asarray(conductance, dtype=np.float64) + np.asarray(mass_flow, dtype=np.float64) * CP_DRY_AIR
    return (held + np.asarray(wall_heat_capacity, dtype=np.float64)) / lost


def condensate(
    *, mass_flow: ArrayLike, humidity_ratio_in: ArrayLike, temperature: ArrayLike, pressure: ArrayLike
) -> NDArray[np.float64]:
    """Return the water that falls out of the air in the receiver.

    Parameters
    ----------
    mass_flow : array_like
        Dry air through the receiver. [kg/s]
    humidity_ratio_in : array_like
        Vapour over dry air at the inlet, liquid already caught. [-]
    temperature : array_like
        Of the receiver, its coldest lasting value. [K]
    pressure : array_like
        Absolute pressure inside. [Pa]

    Returns
    -------
    ndarray
        Liquid water. [kg/s]

    Notes
    -----
    m (W_in - W_sat(T, p)), never below zero.  Valid: air that stays long enough to reach the receiver's temperature;
    reads high for a hot receiver in a burst.

    References
    ----------
    [physics] water balance
    """
    kept = saturation_humidity_ratio(temperature, pressure=pressure)
    excess = np.maximum(np.asarray(humidity_ratio_in, dtype=np.float64) - kept, 0)
    return np.asarray(mass_flow, dtype=np.float64) * excess
