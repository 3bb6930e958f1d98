"""What an induction motor may do for long, and what it needs: cooling, altitude, connection, supply, run-up."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.errors import UnknownChoice

Floats = NDArray[np.float64]

CONNECTIONS = {"delta": 1.0, "star": float(np.sqrt(3.0)), "parallel": 1.0, "series": 2.0}
"""Line voltage of a connection over that of the low-voltage connection of the same windings. [-]"""

FULL_TORQUE_DOWN_TO = {
    "fan-cooled": (0.25, 0.50, 0.60),
    "inverter-duty": (0.05, 0.10, 0.25),
    "blower": (0.0, 0.0, 0.05),
}
"""Lowest share of rated speed at full torque for long: low, likely, high. [-]  Source: practice; nema-mg1-memory."""

VOLTAGE_VARIATION, FREQUENCY_VARIATION, COMBINED_VARIATION = 0.10, 0.05, 0.10
"""Variation from the plate at which a motor still runs. [-]  Source: nema-mg1 12.44."""


def fan_cooled_torque_share(
    speed_share: ArrayLike, *, full_torque_down_to: ArrayLike = 0.50, at_standstill: ArrayLike = 0.40
) -> Floats:
    """Return the torque a motor may give for long at a low speed, over its rated torque.

    Parameters
    ----------
    speed_share : array_like
        Speed over rated speed. [-]
    full_torque_down_to : array_like
        Lowest speed share at full torque; ``FULL_TORQUE_DOWN_TO`` has spans by kind. [-]
    at_standstill : array_like
        Torque share at rest. [-]

    Returns
    -------
    ndarray
        Torque share; it falls in a straight line below the given speed. [-]

    Notes
    -----
    Valid: totally enclosed motors whose fan sits on the shaft; the maker's curve is better.  A drive's harmonics take
    5 to 10 % more and are not in it.

    References
    ----------
    [practice]; [nema-mg1-memory] parts 30 and 31
    """
    share, knee = np.asarray(speed_share, dtype=np.float64), np.asarray(full_torque_down_to, dtype=np.float64)
    rest = np.asarray(at_standstill, dtype=np.float64)
    part = np.clip(share / np.maximum(knee, 1e-9), 0.0, 1.0)
    return np.where(knee <= 0.0, 1.0, rest + (1.0 - rest) * part)


def altitude_share(altitude: ArrayLike) -> Floats:
    """Return the share of rated power left by thin air.

    Parameters
    ----------
    altitude : array_like
        Above sea level. [m]

    Returns
    -------
    ndarray
        Share of rated power. [-]

    Notes
    -----
    1 up to 1000 m, then 3 % less for each 500 m.  Valid: to 4000 m, air at 40 degC; colder air gives it back.

    References
    ----------
    [practice]
    """
    return np.clip(1.0 - 0.03 * np.maximum(np.asarray(altitude, dtype=np.float64) - 1000.0, 0.0) / 500.0, 0.1, 1.0)


def winding_temperature(
    losses: ArrayLike,
    *,
    rated_losses: ArrayLike,
    ambient: ArrayLike,
    rated_rise: ArrayLike = 80.0,
    cooling_share: ArrayLike = 1.0,
) -> Floats:
    """Return the mean winding temperature once it has settled.

    Parameters
    ----------
    losses : array_like
        At the operating point, averaged over the duty. [W]
    rated_losses : array_like
        At rated power. [W]
    ambient : array_like
        Cooling air. [K]
    rated_rise : array_like
        Rise at rated losses: 80 for class B, 105 for class F. [K]
    cooling_share : array_like
        Conductance to the air over that at rated speed. [-]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    T = Ta + rise (losses/rated losses)/cooling.  Valid: losses within 0.3 to 1.5 of rated; the growth of resistance
    with heat is left out, so it reads low when hot.

    References
    ----------
    [physics]
    """
    heat = np.asarray(losses, dtype=np.float64) / np.asarray(rated_losses, dtype=np.float64)
    cooling = np.maximum(np.asarray(cooling_share, dtype=np.float64), 1e-3)
    return np.asarray(ambient, dtype=np.float64) + np.asarray(rated_rise, dtype=np.float64) * heat / cooling


def fan_cooling_share(speed_share: ArrayLike, *, at_standstill: ArrayLike = 0.25) -> Floats:
    """Return the conductance of a self-fanned motor to the air, over that at rated speed.

    Parameters
    ----------
    speed_share : array_like
        Speed over rated speed. [-]
    at_standstill : array_like
        Share left when the fan stands. [-]

    Returns
    -------
    ndarray
        Conductance share, at most 1.2. [-]

    Notes
    -----
    c = c0 + (1 - c0) x^0.7.  Valid: 0 to 1.5 times rated speed; the exponent is remembered, not measured.

    References
    ----------
    [motor-memory]
    """
    share = np.maximum(np.asarray(speed_share, dtype=np.float64), 0.0)
    rest = np.asarray(at_standstill, dtype=np.float64)
    return np.minimum(rest + (1.0 - rest) * share**0.7, 1.2)


def connection_voltage(low_voltage: ArrayLike, *, connection: str) -> Floats:
    """Return the plate voltage of the connection in use.

    Parameters
    ----------
    low_voltage : array_like
        Lower of the two plate voltages (230 of 230/400 or of 230/460). [V]
    connection : str
        delta or star; parallel or series. [text]

    Returns
    -------
    ndarray
        Line voltage at which the motor has its rated flux. [V]

    Raises
    ------
    UnknownChoice
        The connection is none of the four.

    Notes
    -----
    The wrong connection shows as flux: a 400 V star motor on 230 V has 0.58 of its flux and a third of its pull-out.

    References
    ----------
    [physics]
    """
    if connection not in CONNECTIONS:
        raise UnknownChoice(read=connection, where="motor connection", wanted=f"one of: {', '.join(CONNECTIONS)}")
    return np.asarray(low_voltage, dtype=np.float64) * CONNECTIONS[connection]


def supply_variation_margin(*, voltage_share: ArrayLike, frequency_share: ArrayLike) -> Floats:
    """Return how far voltage and frequency stand inside what a motor must bear.

    Parameters
    ----------
    voltage_share : array_like
        Voltage at the motor over plate voltage. [-]
    frequency_share : array_like
        Line frequency over plate frequency. [-]

    Returns
    -------
    ndarray
        Smallest of the three margins; below 0 is outside. [-]

    Notes
    -----
    10 % in voltage, 5 % in frequency, 10 % for their sum in size.  Valid: motors straight on the line.

    References
    ----------
    [nema-mg1] 12.44
    """
    volts = np.abs(np.asarray(voltage_share, dtype=np.float64) - 1.0)
    hertz = np.abs(np.asarray(frequency_share, dtype=np.float64) - 1.0)
    single = np.minimum(VOLTAGE_VARIATION - volts, FREQUENCY_VARIATION - hertz)
    return np.minimum(single, COMBINED_VARIATION - volts - hertz)


def reflected_inertia(inertia: ArrayLike, *, speed_ratio: ArrayLike) -> Floats:
    """Return an inertia as felt on the other shaft of a belt.

    Parameters
    ----------
    inertia : array_like
        On its own shaft. [kg m2]
    speed_ratio : array_like
        Speed of its own shaft over that of the other. [-]

    Returns
    -------
    ndarray
        Inertia on the other shaft. [kg m2]

    References
    ----------
    [physics]
    """
    return np.asarray(inertia, dtype=np.float64) * np.asarray(speed_ratio, dtype=np.float64) ** 2


def run_up_time(*, inertia: ArrayLike, speed: ArrayLike, motor_torque: ArrayLike, load_torque: ArrayLike) -> Floats:
    """Return the time of a direct start from rest.

    Parameters
    ----------
    inertia : array_like
        Rotor and load, on the motor's shaft. [kg m2]
    speed : array_like
        Reached at the end. [1/s]
    motor_torque : array_like
        Mean over the start, already scaled by the square of the voltage share. [N m]
    load_torque : array_like
        Mean over the start, on the motor's shaft. [N m]

    Returns
    -------
    ndarray
        Time; 1e9 where the load holds the motor. [s]

    References
    ----------
    [physics]
    """
    spare = np.asarray(motor_torque, dtype=np.float64) - np.asarray(load_torque, dtype=np.float64)
    swing = np.asarray(inertia, dtype=np.float64) * (2.0 * np.pi * np.asarray(speed, dtype=np.float64))
    return np.where(spare > 0.0, np.minimum(swing / np.maximum(spare, 1e-9), 1e9), 1e9)
