"""V-belt drive: speed ratio, length and wrap, efficiency, the lengths that are sold."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownTableEntry

INCH = 0.0254
"""One inch. [m]"""

NOTCHED = {"AX": "A", "BX": "B"}
"""Notched sections that share lengths with a plain one. [text]"""


def speed_ratio(*, motor_pitch: ArrayLike, pump_pitch: ArrayLike, creep: ArrayLike = 0.0) -> NDArray[np.float64]:
    """Return pump speed over motor speed.

    Parameters
    ----------
    motor_pitch, pump_pitch : array_like
        Pitch diameters of the motor sheave and of the pump's flywheel. [m]
    creep : array_like
        Share of speed the belt loses by stretching over the sheaves. [-]

    Returns
    -------
    ndarray
        Pump speed over motor speed. [-]

    Notes
    -----
    n_pump/n_motor = (d_motor/d_pump)(1 - creep).  Valid: no slip; a slack belt turns the pump slower.

    References
    ----------
    [physics] equal rim speed of the pitch lines
    """
    driven = np.asarray(motor_pitch, dtype=np.float64) / np.asarray(pump_pitch, dtype=np.float64)
    return driven * (1 - np.asarray(creep, dtype=np.float64))


def pump_speed(
    *, motor_speed: ArrayLike, motor_pitch: ArrayLike, pump_pitch: ArrayLike, creep: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Return the pump's speed from the motor's.

    Parameters
    ----------
    motor_speed : array_like
        Motor shaft. [rev/s]
    motor_pitch, pump_pitch : array_like
        Pitch diameters of the motor sheave and of the pump's flywheel. [m]
    creep : array_like
        Share of speed the belt loses by stretching over the sheaves. [-]

    Returns
    -------
    ndarray
        Pump shaft. [rev/s]

    References
    ----------
    [physics] equal rim speed of the pitch lines
    """
    ratio = speed_ratio(motor_pitch=motor_pitch, pump_pitch=pump_pitch, creep=creep)
    return np.asarray(motor_speed, dtype=np.float64) * ratio


def motor_pitch_for(
    *, pump_speed: ArrayLike, motor_speed: ArrayLike, pump_pitch: ArrayLike, creep: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Return the motor sheave's pitch diameter that gives a wanted pump speed.

    Parameters
    ----------
    pump_speed, motor_speed : array_like
        Shaft speeds; the motor's above zero. [rev/s]
    pump_pitch : array_like
        Pitch diameter of the pump's flywheel. [m]
    creep : array_like
        Share of speed the belt loses by stretching over the sheaves. [-]

    Returns
    -------
    ndarray
        Pitch diameter. [m]

    References
    ----------
    [physics] equal rim speed of the pitch lines
    """
    ratio = np.asarray(pump_speed, dtype=np.float64) / np.asarray(motor_speed, dtype=np.float64)
    return ratio * np.asarray(pump_pitch, dtype=np.float64) / (1 - np.asarray(creep, dtype=np.float64))


def belt_length(
    *, small_diameter: ArrayLike, large_diameter: ArrayLike, centre_distance: ArrayLike
) -> NDArray[np.float64]:
    """Return the length of an open belt around two sheaves.

    Parameters
    ----------
    small_diameter, large_diameter : array_like
        Datum diameters for the datum length, pitch diameters for the pitch length. [m]
    centre_distance : array_like
        Between the shafts. [m]

    Returns
    -------
    ndarray
        Length. [m]

    Notes
    -----
    L = 2 C cos a + pi (D + d)/2 + a (D - d), sin a = (D - d)/(2 C).  Valid: taut, no idler; sheaves that would
    touch are taken as they are.

    References
    ----------
    [physics] geometry of two circles
    """
    d, D = np.asarray(small_diameter, dtype=np.float64), np.asarray(large_diameter, dtype=np.float64)
    C = np.asarray(centre_distance, dtype=np.float64)
    a = np.arcsin(np.clip((D - d) / (2 * C), -1, 1))
    out: NDArray[np.float64] = 2 * C * np.cos(a) + np.pi / 2 * (D + d) + a * (D - d)
    return out


def centre_distance(
    *, belt_length: ArrayLike, small_diameter: ArrayLike, large_diameter: ArrayLike
) -> NDArray[np.float64]:
    """Return the distance between the shafts that a belt of known length asks for.

    Parameters
    ----------
    belt_length : array_like
        Datum length with datum diameters, or pitch length with pitch diameters. [m]
    small_diameter, large_diameter : array_like
        Diameters of the two sheaves. [m]

    Returns
    -------
    ndarray
        Distance; where the belt is too short to go round, that of two sheaves that touch. [m]

    Notes
    -----
    Starts from C = (K + sqrt(K^2 - 32 (D - d)^2))/16, K = 4 L - 2 pi (D + d), and takes four Newton steps
    on the exact length.  Valid: as `belt_length`.

    References
    ----------
    [belt-factor-tables] centre distance formula; [physics] Newton's method
    """
    length = np.asarray(belt_length, dtype=np.float64)
    d, D = np.asarray(small_diameter, dtype=np.float64), np.asarray(large_diameter, dtype=np.float64)
    touching = np.maximum((D + d) / 2, np.abs(D - d) * 0.5000001)
    K = 4 * length - 2 * np.pi * (D + d)
    C = np.maximum((K + np.sqrt(np.maximum(K**2 - 32 * (D - d) ** 2, 0))) / 16, touching)
    for _ in range(4):
        cosine = np.sqrt(np.maximum(1 - ((D - d) / (2 * C)) ** 2, 1e-12))
        bend = np.arcsin(np.clip((D - d) / (2 * C), -1, 1))
        now = 2 * C * cosine + np.pi / 2 * (D + d) + bend * (D - d)
        C = np.maximum(C - (now - length) / (2 * cosine), touching)
    return C


def wrap_angle(
    *, small_diameter: ArrayLike, large_diameter: ArrayLike, centre_distance: ArrayLike
) -> NDArray[np.float64]:
    """Return the arc over which the belt lies on the smaller sheave.

    Parameters
    ----------
    small_diameter, large_diameter : array_like
        Datum or pitch diameters. [m]
    centre_distance : array_like
        Between the shafts. [m]

    Returns
    -------
    ndarray
        Arc of contact on the smaller sheave. [rad]

    Notes
    -----
    pi - 2 asin((D - d)/(2 C)).  Valid: no idler.

    References
    ----------
    [physics] geometry of two circles; [belt-factor-tables] prints it as a table
    """
    d, D = np.asarray(small_diameter, dtype=np.float64), np.asarray(large_diameter, dtype=np.float64)
    C = np.asarray(centre_distance, dtype=np.float64)
    out: NDArray[np.float64] = np.pi - 2 * np.arcsin(np.clip((D - d) / (2 * C), -1, 1))
    return out


def span_length(
    *, small_diameter: ArrayLike, large_diameter: ArrayLike, centre_distance: ArrayLike
) -> NDArray[np.float64]:
    """Return the free length of belt between the sheaves, where it is pressed to set its tension.

    Parameters
    ----------
    small_diameter, large_diameter : array_like
        Datum or pitch diameters. [m]
    centre_distance : array_like
        Between the shafts. [m]

    Returns
    -------
    ndarray
        Length of one straight strand. [m]

    References
    ----------
    [physics] geometry of two circles
    """
    d, D = np.asarray(small_diameter, dtype=np.float64), np.asarray(large_diameter, dtype=np.float64)
    C = np.asarray(centre_distance, dtype=np.float64)
    out: NDArray[np.float64] = np.sqrt(np.maximum(C**2 - ((D - d) / 2) ** 2, 0))
    return out


def drive_power(*, pump_power: ArrayLike, efficiency: ArrayLike) -> NDArray[np.float64]:
    """Return the power the motor's shaft gives to the belt.

    Parameters
    ----------
    pump_power : array_like
        Power at the pump's shaft. [W]
    efficiency : array_like
        Of the belt, above zero; see `efficiency_band`. [-]

    Returns
    -------
    ndarray
        Power at the motor's shaft; what is lost warms the belt. [W]

    References
    ----------
    [physics] definition of efficiency
    """
    return np.asarray(pump_power, dtype=np.float64) / np.asarray(efficiency, dtype=np.float64)


def efficiency_band(*, kind: str = "V", neglected: bool = False) -> tuple[float, float]:
    """Return the printed band of a belt's efficiency.

    Parameters
    ----------
    kind : str
        "V", "notched V" or "toothed". [text]
    neglected : bool
        Whether the belt is slack, worn or out of line. [yes or no]

    Returns
    -------
    tuple of float
        Low and high end. [-]

    Raises
    ------
    UnknownTableEntry
        The kind is not in the table.

    References
    ----------
    [doe-motor-tip]
    """
    table = tables.load("belt_efficiency")
    names = table.words("kind")
    if kind not in names:
        raise UnknownTableEntry(read=kind, where=table.title, wanted=f"one of: {', '.join(names)}")
    row = names.index(kind)
    lost = float(table.numbers("lost when neglected")[row]) if neglected else 0.0
    low, high = (float(table.numbers(column)[row]) - lost for column in ("low", "high"))
    return low / 100, high / 100


def stock_lengths(*, section: str) -> NDArray[np.float64]:
    """Return the datum lengths in which belts of a section are sold.

    Parameters
    ----------
    section : str
        "A", "AX", "B", "BX", "C", or for the ISO list "Z", "SPZ", "SPA", "SPB". [text]

    Returns
    -------
    ndarray
        Datum lengths, rising, shape (sizes,). [m]

    Raises
    ------
    UnknownTableEntry
        No list is known for the section.

    References
    ----------
    [machinerys-belts] Table 8; [iso-belts] for the ISO list
    """
    if section in {"Z", "SPZ", "SPA", "SPB"}:
        return tables.load("belt_iso_lengths").numbers("length") * 1e-3
    lengths = tables.load("belt_datum_lengths").numbers(NOTCHED.get(section, section))
    return lengths[~np.isnan(lengths)] * INCH
