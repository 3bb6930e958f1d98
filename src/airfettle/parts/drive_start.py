"""A drive starting and stopping a load, its box and its motor lead."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

NEVER = 1e9
"""Stands for a time without end. [s]"""
WAVE_SPEED = 1.5e8
"""Speed of a voltage step in a motor lead. [m/s]  Source: practice."""
RISE_TIMES = (0.5e-7, 1e-7, 2e-7)
"""Rise time of a drive's output step: low, likely, high. [s]  Source: practice."""
ANY_LENGTH = 1e9
"""Stands for a length without end. [m]"""


def break_away_torque(
    current_limit: ArrayLike,
    *,
    rated_current: ArrayLike,
    no_load_current: ArrayLike,
    rated_torque: ArrayLike,
    breakdown_torque: ArrayLike,
    field_share: ArrayLike = 0.90,
) -> Floats:
    """Return the torque a motor on a drive gives at a low frequency, held by the current limit.

    Parameters
    ----------
    current_limit : array_like
        The drive's short-time output current. [A]
    rated_current, no_load_current : array_like
        Of the motor; the second is its magnetising current. [A]
    rated_torque, breakdown_torque : array_like
        Of the motor at rated flux. [N m]
    field_share : array_like
        Flux held at the start over rated flux: about 0.95 with vector control, 0.75 to 0.9 with a volts-per-hertz
        pattern and boost. [-]

    Returns
    -------
    ndarray
        Torque at the shaft. [N m]

    Notes
    -----
    T = Tn phi sqrt((I^2 - (phi I0)^2)/(In^2 - I0^2)), at most phi^2 times breakdown.
    Valid: 1 to 6 Hz, current limit to 2 times rated; it reads a little high as the rotor's own lag is left out.

    References
    ----------
    [physics]; [practice] for the flux held
    """
    field = np.asarray(field_share, dtype=np.float64)
    idle, rated = np.asarray(no_load_current, dtype=np.float64), np.asarray(rated_current, dtype=np.float64)
    spare = np.maximum(np.asarray(current_limit, dtype=np.float64) ** 2 - (field * idle) ** 2, 0.0)
    active = np.sqrt(spare / np.maximum(rated**2 - idle**2, 1e-12))
    held = np.asarray(rated_torque, dtype=np.float64) * field * active
    return np.minimum(held, field**2 * np.asarray(breakdown_torque, dtype=np.float64))


def ramp_time(
    *, inertia: ArrayLike, speed_start: ArrayLike, speed_end: ArrayLike, torque: ArrayLike, load_torque: ArrayLike
) -> Floats:
    """Return the shortest ramp from one speed to a higher one.

    Parameters
    ----------
    inertia : array_like
        All that turns, on the motor's shaft. [kg m2]
    speed_start, speed_end : array_like
        Of the motor. [1/s]
    torque : array_like
        The motor's, mean over the ramp, within the current limit. [N m]
    load_torque : array_like
        Mean over the ramp, on the motor's shaft. [N m]

    Returns
    -------
    ndarray
        Time; ``NEVER`` where the load holds the motor. [s]

    References
    ----------
    [physics]
    """
    swing = np.asarray(speed_end, dtype=np.float64) - np.asarray(speed_start, dtype=np.float64)
    spare = np.asarray(torque, dtype=np.float64) - np.asarray(load_torque, dtype=np.float64)
    return _time_to_turn(inertia, swing, spare)


def coast_time(*, inertia: ArrayLike, speed: ArrayLike, load_torque: ArrayLike) -> Floats:
    """Return the time in which the load stops the shaft after the drive lets go.

    Parameters
    ----------
    inertia : array_like
        All that turns, on the motor's shaft. [kg m2]
    speed : array_like
        At the moment of letting go. [1/s]
    load_torque : array_like
        Mean over the stop, on the motor's shaft. [N m]

    Returns
    -------
    ndarray
        Time; a stopping ramp shorter than it feeds energy back into the drive's bus. [s]

    References
    ----------
    [physics]
    """
    return _time_to_turn(inertia, np.asarray(speed, dtype=np.float64), np.asarray(load_torque, dtype=np.float64))


def box_temperature(heat: ArrayLike, *, ambient: ArrayLike, area: ArrayLike, conductance: ArrayLike = 5.5) -> Floats:
    """Return the air temperature in a closed box around a drive.

    Parameters
    ----------
    heat : array_like
        Given off inside, averaged over an hour. [W]
    ambient : array_like
        Room. [K]
    area : array_like
        Of the free faces of the box. [m2]
    conductance : array_like
        Painted sheet steel with air on both sides, 4.5 to 6. [W/(m2 K)]

    Returns
    -------
    ndarray
        Temperature once settled. [K]

    Notes
    -----
    Ta + q/(k A).  Valid: closed box, no fan through it; it reads high where the heat sink stands outside.

    References
    ----------
    [physics]; [practice] for the conductance
    """
    through = np.asarray(conductance, dtype=np.float64) * np.asarray(area, dtype=np.float64)
    return np.asarray(ambient, dtype=np.float64) + np.asarray(heat, dtype=np.float64) / through


def terminal_peak(
    bus_voltage: ArrayLike, *, lead_length: ArrayLike, rise_time: ArrayLike = 1e-7, reflection: ArrayLike = 0.90
) -> Floats:
    """Return the peak between the motor's terminals at the end of a lead.

    Parameters
    ----------
    bus_voltage : array_like
        Direct voltage of the drive's bus. [V]
    lead_length : array_like
        One way. [m]
    rise_time : array_like
        Of the drive's output step, 50 to 200 ns. [s]
    reflection : array_like
        Share thrown back by a small motor. [-]

    Returns
    -------
    ndarray
        Peak voltage. [V]

    Notes
    -----
    V = Vdc (1 + rho min(1, 2 l/(v t))), v = 1.5e8 m/s: nearly twice the bus from l = v t/2 on.
    Valid: no filter or reactor at the output; pulses closer than the ringing dies can pass it.

    References
    ----------
    [physics]; [practice] for speed and share
    """
    rise = np.asarray(rise_time, dtype=np.float64)
    reach = np.minimum(2.0 * np.asarray(lead_length, dtype=np.float64) / (WAVE_SPEED * rise), 1.0)
    return np.asarray(bus_voltage, dtype=np.float64) * (1.0 + np.asarray(reflection, dtype=np.float64) * reach)


def full_reflection_length(rise_time: ArrayLike = 1e-7) -> Floats:
    """Return the length of lead from which a drive's steps are thrown back in full.

    Parameters
    ----------
    rise_time : array_like
        Of the drive's output step, ``RISE_TIMES``. [s]

    Returns
    -------
    ndarray
        Length, one way. [m]

    Notes
    -----
    v t/2, v = 1.5e8 m/s: there and back while the step still rises.

    References
    ----------
    [physics]; [practice] for the speed
    """
    return 0.5 * WAVE_SPEED * np.asarray(rise_time, dtype=np.float64)


def longest_lead(
    bus_voltage: ArrayLike, *, peak: ArrayLike, rise_time: ArrayLike = 1e-7, reflection: ArrayLike = 0.90
) -> Floats:
    """Return the longest lead at whose end a peak is not passed.

    Parameters
    ----------
    bus_voltage : array_like
        Direct voltage of the drive's bus. [V]
    peak : array_like
        Most that the winding is made for, from ``insulation_peak``. [V]
    rise_time : array_like
        Of the drive's output step. [s]
    reflection : array_like
        Share thrown back by a small motor. [-]

    Returns
    -------
    ndarray
        Length; ``ANY_LENGTH`` where even a full reflection stays below, 0 where the bus itself is above. [m]

    Notes
    -----
    ``terminal_peak`` solved for the length.  Valid: as there.

    References
    ----------
    [physics]; [practice] for speed and share
    """
    spare = np.asarray(peak, dtype=np.float64) / np.asarray(bus_voltage, dtype=np.float64) - 1.0
    share = spare / np.asarray(reflection, dtype=np.float64)
    within = np.clip(share, 0.0, 1.0) * full_reflection_length(rise_time)
    return np.where(share >= 1.0, ANY_LENGTH, within)


def insulation_peak(voltage: ArrayLike, *, inverter_duty: ArrayLike) -> Floats:
    """Return the peak a winding's insulation is made for.

    Parameters
    ----------
    voltage : array_like
        Plate voltage. [V]
    inverter_duty : array_like
        True where the plate says so. [-]

    Returns
    -------
    ndarray
        Peak between terminals: 3.1 times plate volts, or 1000 V for a general motor. [V]

    Notes
    -----
    Valid: motors to 600 V; an old or dirty winding holds less.

    References
    ----------
    [nema-mg1-memory] parts 30 and 31
    """
    volts = np.asarray(voltage, dtype=np.float64)
    return np.where(np.asarray(inverter_duty, dtype=bool), 3.1 * volts, 1000.0 + 0.0 * volts)


def _time_to_turn(inertia: ArrayLike, swing: Floats, spare: Floats) -> Floats:
    work = np.asarray(inertia, dtype=np.float64) * (2.0 * np.pi * np.maximum(swing, 0.0))
    return np.where(spare > 0.0, np.minimum(work / np.maximum(spare, 1e-9), NEVER), NEVER)
