"""Receiver: air stored, how long it lasts, pump-up and cycle times, starts, two receivers joined."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import STANDARD_PRESSURE

LONGEST = 1e9
"""Stands for "never" where a run or a rest would not end. [s]"""


@dataclass(frozen=True)
class Cycle:
    """Running between cut-in and cut-out.

    Attributes
    ----------
    run_time, off_time : ndarray
        From cut-in to cut-out and back; 1e9 where it never gets there. [s]
    starts : ndarray
        Starts in each second; times 3600 for starts per hour. [1/s]
    duty : ndarray
        Share of time the pump runs. [-]
    """

    run_time: NDArray[np.float64]
    off_time: NDArray[np.float64]
    starts: NDArray[np.float64]
    duty: NDArray[np.float64]


def pump_up_time(
    *,
    receiver_volume: ArrayLike,
    pressure_start: ArrayLike,
    pressure_end: ArrayLike,
    free_air_delivery: ArrayLike,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the time to raise a closed receiver from one pressure to another.

    Parameters
    ----------
    receiver_volume : array_like
        Water volume of the receiver. [m3]
    pressure_start, pressure_end : array_like
        Absolute pressures. [Pa]
    free_air_delivery : array_like
        Intake volume flow into the receiver, less what is drawn meanwhile. [m3/s]
    pressure_intake : array_like
        Absolute pressure of the intake. [Pa]

    Returns
    -------
    ndarray
        Time; 1e9 where nothing is left to pump up with. [s]

    Notes
    -----
    t = V (p2 - p1)/(p0 Q).  Valid: receiver air back at intake temperature; a hot tank gets there sooner, so this
    reads long for a real pump-up.

    References
    ----------
    [receiver-handbook] pump-up formula; [physics]
    """
    stored = stored_free_air(
        receiver_volume=receiver_volume,
        pressure_high=pressure_end,
        pressure_low=pressure_start,
        pressure_intake=pressure_intake,
    )
    return _time_for(stored, np.asarray(free_air_delivery, dtype=np.float64))


def _time_for(stored: NDArray[np.float64], flow: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return stored air over flow, at most LONGEST and at least nothing."""
    out: NDArray[np.float64] = np.clip(stored / np.maximum(flow, np.maximum(stored, 1e-12) / LONGEST), 0, LONGEST)
    return out


def stored_free_air(
    *,
    receiver_volume: ArrayLike,
    pressure_high: ArrayLike,
    pressure_low: ArrayLike,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the free air a receiver holds between two pressures.

    Parameters
    ----------
    receiver_volume : array_like
        Water volume. [m3]
    pressure_high, pressure_low : array_like
        Absolute or gauge, both the same. [Pa]
    pressure_intake : array_like
        Absolute pressure of the free air. [Pa]

    Returns
    -------
    ndarray
        Volume as intake air. [m3]

    Notes
    -----
    V (p1 - p2)/p0.  Valid: slow draw at intake temperature; a fast draw cools the tank and yields up to 29 % less.

    References
    ----------
    [physics] ideal gas at constant temperature; [receiver-handbook]
    """
    band = np.asarray(pressure_high, dtype=np.float64) - np.asarray(pressure_low, dtype=np.float64)
    return np.asarray(receiver_volume, dtype=np.float64) * band / np.asarray(pressure_intake, dtype=np.float64)


def draw_down_time(
    *,
    receiver_volume: ArrayLike,
    pressure_high: ArrayLike,
    pressure_low: ArrayLike,
    demand: ArrayLike,
    free_air_delivery: ArrayLike = 0.0,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return how long a receiver carries a demand before its pressure falls to a limit.

    Parameters
    ----------
    receiver_volume : array_like
        Water volume. [m3]
    pressure_high, pressure_low : array_like
        Absolute or gauge, both the same. [Pa]
    demand, free_air_delivery : array_like
        Drawn and delivered meanwhile, as intake volume. [m3/s]
    pressure_intake : array_like
        Absolute pressure of the free air. [Pa]

    Returns
    -------
    ndarray
        Time; 1e9 where the pump keeps up. [s]

    Notes
    -----
    V (p1 - p2)/(C p0).  Valid: as `stored_free_air`.

    References
    ----------
    [receiver-handbook] draw-down formula
    """
    stored = stored_free_air(
        receiver_volume=receiver_volume,
        pressure_high=pressure_high,
        pressure_low=pressure_low,
        pressure_intake=pressure_intake,
    )
    net = np.asarray(demand, dtype=np.float64) - np.asarray(free_air_delivery, dtype=np.float64)
    return _time_for(stored, net)


def volume_for_draw(
    *,
    duration: ArrayLike,
    demand: ArrayLike,
    free_air_delivery: ArrayLike = 0.0,
    pressure_high: ArrayLike,
    pressure_low: ArrayLike,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the receiver volume that carries a demand for a time.

    Parameters
    ----------
    duration : array_like
        How long. [s]
    demand, free_air_delivery : array_like
        Drawn and delivered meanwhile, as intake volume. [m3/s]
    pressure_high, pressure_low : array_like
        Absolute or gauge, both the same; high above low. [Pa]
    pressure_intake : array_like
        Absolute pressure of the free air. [Pa]

    Returns
    -------
    ndarray
        Water volume, zero where the pump keeps up. [m3]

    Notes
    -----
    V = p0 t (Qr - Qc)/(pmax - pmin).  Valid: as `stored_free_air`.

    References
    ----------
    [esposito-13-7]
    """
    net = np.asarray(demand, dtype=np.float64) - np.asarray(free_air_delivery, dtype=np.float64)
    return volume_for_store(
        stored=np.asarray(duration, dtype=np.float64) * np.maximum(net, 0),
        allowable_drop=np.asarray(pressure_high, dtype=np.float64) - np.asarray(pressure_low, dtype=np.float64),
        pressure_intake=pressure_intake,
    )


def volume_for_store(
    *,
    stored: ArrayLike,
    allowable_drop: ArrayLike,
    pipe_equivalent: ArrayLike = 0.0,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the receiver volume that stores an amount of free air.

    Parameters
    ----------
    stored : array_like
        Free air wanted. [m3]
    allowable_drop : array_like
        Pressure difference, above zero. [Pa]
    pipe_equivalent : array_like
        Part of it that the pipes hold already. [m3]
    pressure_intake : array_like
        Absolute pressure of the free air. [Pa]

    Returns
    -------
    ndarray
        Water volume. [m3]

    Notes
    -----
    (stored - pipe) p0/drop.

    References
    ----------
    [mil-hdbk-1028-6a] Table 2
    """
    wanted = np.asarray(stored, dtype=np.float64) - np.asarray(pipe_equivalent, dtype=np.float64)
    return wanted * np.asarray(pressure_intake, dtype=np.float64) / np.asarray(allowable_drop, dtype=np.float64)


def running_cycle(
    *,
    receiver_volume: ArrayLike,
    pressure_cut_in: ArrayLike,
    pressure_cut_out: ArrayLike,
    free_air_delivery: ArrayLike,
    demand: ArrayLike,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> Cycle:
    """Return run and rest times and starts of a pump on a pressure switch at a steady demand.

    Parameters
    ----------
    receiver_volume : array_like
        Water volume. [m3]
    pressure_cut_in, pressure_cut_out : array_like
        Absolute or gauge, both the same; cut-out above cut-in. [Pa]
    free_air_delivery, demand : array_like
        As intake volume; delivery above zero. [m3/s]
    pressure_intake : array_like
        Absolute pressure of the free air. [Pa]

    Returns
    -------
    Cycle
        Times [s], starts [1/s], duty [-].

    Notes
    -----
    run V'/(Q - D), rest V'/D, starts D (Q - D)/(Q V'), V' the stored free air.  Valid: a tank at room temperature;
    on a small receiver compression heat makes the starts a quarter wrong, so use the day model there.

    References
    ----------
    [physics] mass balance at constant temperature
    """
    stored = stored_free_air(
        receiver_volume=receiver_volume,
        pressure_high=pressure_cut_out,
        pressure_low=pressure_cut_in,
        pressure_intake=pressure_intake,
    )
    Q, D = np.asarray(free_air_delivery, dtype=np.float64), np.asarray(demand, dtype=np.float64)
    starts = np.maximum(D * (Q - D), 0) / (Q * stored)
    return Cycle(_time_for(stored, Q - D), _time_for(stored, D), starts, np.clip(D / Q, 0, 1))


def worst_starts(
    *,
    receiver_volume: ArrayLike,
    pressure_cut_in: ArrayLike,
    pressure_cut_out: ArrayLike,
    free_air_delivery: ArrayLike,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the most starts any steady demand can ask for: at half the delivery.

    Parameters
    ----------
    receiver_volume : array_like
        Water volume. [m3]
    pressure_cut_in, pressure_cut_out : array_like
        Absolute or gauge, both the same; cut-out above cut-in. [Pa]
    free_air_delivery : array_like
        As intake volume. [m3/s]
    pressure_intake : array_like
        Absolute pressure of the free air. [Pa]

    Returns
    -------
    ndarray
        Starts in each second. [1/s]

    Notes
    -----
    Q/(4 V').  Valid: as `running_cycle`.

    References
    ----------
    [physics] maximum of D (Q - D)/(Q V') over D
    """
    stored = stored_free_air(
        receiver_volume=receiver_volume,
        pressure_high=pressure_cut_out,
        pressure_low=pressure_cut_in,
        pressure_intake=pressure_intake,
    )
    return np.asarray(free_air_delivery, dtype=np.float64) / (4 * stored)


def joined_pressure(
    *, volume_first: ArrayLike, volume_second: ArrayLike, pressure_first: ArrayLike, pressure_second: ArrayLike
) -> NDArray[np.float64]:
    """Return the pressure of two receivers once a valve between them is opened; joined, their volumes add.

    Parameters
    ----------
    volume_first, volume_second : array_like
        Water volumes. [m3]
    pressure_first, pressure_second : array_like
        Absolute or gauge, both the same. [Pa]

    Returns
    -------
    ndarray
        Common pressure, on the scale given. [Pa]

    Notes
    -----
    (p1 V1 + p2 V2)/(V1 + V2).  Valid: both back at one temperature; the one that fills is hot at first.

    References
    ----------
    [physics] mass balance at constant temperature
    """
    V1, V2 = np.asarray(volume_first, dtype=np.float64), np.asarray(volume_second, dtype=np.float64)
    p1, p2 = np.asarray(pressure_first, dtype=np.float64), np.asarray(pressure_second, dtype=np.float64)
    return (p1 * V1 + p2 * V2) / (V1 + V2)
