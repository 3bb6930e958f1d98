"""Around the pump: its inlet, its hot walls, running unloaded, and its size from what it is said to deliver."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray


def displacement_from_delivery(
    free_air_delivery: ArrayLike, *, trial_delivery: ArrayLike, trial_displacement: ArrayLike
) -> NDArray[np.float64]:
    """Return the displacement of a pump known only by what it is said to deliver.

    Parameters
    ----------
    free_air_delivery : array_like
        The reading: free air delivered at one speed and pressure. [m3/s]
    trial_delivery : array_like
        Free air the model delivers at the reading's own speed, pressure and intake with a trial displacement. [m3/s]
    trial_displacement : array_like
        That displacement; with two stages the first one, the second in fixed proportion. [m3]

    Returns
    -------
    ndarray
        Displacement for each turn. [m3]

    Notes
    -----
    V = V_trial Q/Q_trial, exact: at given pressures every flow is proportional to displacement, the interstage
    pressure depending only on the proportion of the two.  Valid: where the trial delivers at all; a row that does
    not gives a very large displacement, never a division by zero.

    References
    ----------
    [physics] proportionality of the model
    """
    trial = np.asarray(trial_displacement, dtype=np.float64)
    per_volume = np.asarray(trial_delivery, dtype=np.float64) / np.maximum(trial, 1e-12)
    return np.asarray(free_air_delivery, dtype=np.float64) / np.maximum(per_volume, 1e-6)


def intake_pressure(
    ambient_pressure: ArrayLike, *, filter_drop: ArrayLike, speed_ratio: ArrayLike
) -> NDArray[np.float64]:
    """Return the pressure at the pump's inlet, behind the filter.

    Parameters
    ----------
    ambient_pressure : array_like
        Absolute pressure of the room. [Pa]
    filter_drop : array_like
        Pressure difference over the filter at rated speed. [Pa]
    speed_ratio : array_like
        Speed over rated speed. [-]

    Returns
    -------
    ndarray
        Absolute pressure. [Pa]

    Notes
    -----
    p = p_a - dp x^2, never below half of p_a.  Valid: turbulent filter and silencer; a dry paper element is nearer
    proportional to speed, and drops more than this below rated speed.

    References
    ----------
    [practice]
    """
    ambient = np.asarray(ambient_pressure, dtype=np.float64)
    drop = np.asarray(filter_drop, dtype=np.float64) * np.asarray(speed_ratio, dtype=np.float64) ** 2
    return np.maximum(ambient - drop, 0.5 * ambient)


def unloaded_power(loaded_power: ArrayLike, *, share: ArrayLike) -> NDArray[np.float64]:
    """Return the shaft power of a pump that turns with its valves held open.

    Parameters
    ----------
    loaded_power : array_like
        Shaft power at the same speed, loaded. [W]
    share : array_like
        Unloaded over loaded power, usually 0.10 to 0.30. [-]

    Returns
    -------
    ndarray
        Shaft power. [W]

    Notes
    -----
    Valid: suction valves held open or the head vented, near rated pressure; at low pressure friction alone is more.

    References
    ----------
    [practice]
    """
    out: NDArray[np.float64] = np.asarray(loaded_power, dtype=np.float64) * np.asarray(share)
    return out


def wall_temperature(
    heat: ArrayLike,
    *,
    conductance: ArrayLike,
    speed_ratio: ArrayLike,
    speed_exponent: ArrayLike,
    room_temperature: ArrayLike,
) -> NDArray[np.float64]:
    """Return the settled temperature of head and cylinder walls.

    Parameters
    ----------
    heat : array_like
        Heat the walls take, averaged over running and standing. [W]
    conductance : array_like
        From walls to room at rated speed, the flywheel blowing. [W/K]
    speed_ratio : array_like
        Speed over rated speed. [-]
    speed_exponent : array_like
        How conductance grows with speed, usually 0.5 to 0.8. [-]
    room_temperature : array_like
        Of the air around the pump. [K]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    T_w = T_room + q/(UA x^m).  Valid: x above 0.2; below it the conductance is read as at 0.2, where still air and
    radiation take over.

    References
    ----------
    [airfettle-equations] (a); the exponent: [practice]
    """
    x = np.maximum(np.asarray(speed_ratio, dtype=np.float64), 0.2)
    out: NDArray[np.float64] = np.asarray(room_temperature) + np.asarray(heat) / (
        np.asarray(conductance) * x ** np.asarray(speed_exponent)
    )
    return out


def heating_factor(
    wall_temperature: ArrayLike, *, intake_temperature: ArrayLike, exchange_share: ArrayLike
) -> NDArray[np.float64]:
    """Return how much the charge is warmed on its way into the cylinder.

    Parameters
    ----------
    wall_temperature : array_like
        Of head and cylinder. [K]
    intake_temperature : array_like
        At the stage's inlet. [K]
    exchange_share : array_like
        Warming of the charge over the greatest the walls could give. [-]

    Returns
    -------
    ndarray
        Absolute temperature of the charge over that at the inlet. [-]

    Notes
    -----
    h = 1 + e (T_w - T_s)/T_s.  Valid: e 0.1 to 0.4.

    References
    ----------
    [airfettle-equations] (a), heating factor h; its law: [physics]
    """
    inlet = np.asarray(intake_temperature, dtype=np.float64)
    return 1.0 + np.asarray(exchange_share) * (np.asarray(wall_temperature) - inlet) / inlet
