"""Overcurrent devices ahead of motors and drives, and the earth conductor that goes with them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownChoice

Floats = NDArray[np.float64]

RATINGS = {"nec": "nec_240_6", "iec": "iec_60898_ratings"}
"""Series of standard device ratings. [text]"""
MOST_FOR_STARTING = 4.0
"""Largest breaker over table current where a smaller one would not carry the load. [-]  Source: nec 430.52(C)(1)."""
NEAR = 0.12
"""Distance from a standard rating within which a rating told from memory is taken for it. [-]  Source: practice."""
FUSE_ROOM = 1.6 / 1.45
"""Conductor capacity over the rating of a gG fuse: it melts at 1.6 times its rating within the hour, and the conductor
bears 1.45 times its own. [-]  Source: iec-60269 and iec-60364-4-43 433.1."""


def device_share(device: str, *, energy_efficient: bool = False) -> float:
    """Return the largest rating of a motor's short-circuit device over its table current.

    Parameters
    ----------
    device : str
        non-time-delay fuse, dual-element fuse, instantaneous breaker or inverse-time breaker. [text]
    energy_efficient : bool
        A design B energy-efficient motor; it changes only the instantaneous breaker. [-]

    Returns
    -------
    float
        Share of the full-load current by table. [-]

    Raises
    ------
    UnknownChoice
        The device is none of the four.

    Notes
    -----
    Valid: squirrel-cage motors on the line.  On a drive the drive's own marking rules, capped by this.

    References
    ----------
    [nec] table 430.52
    """
    table = tables.load("nec_430_52")
    known = table.words("device")
    if device not in known:
        raise UnknownChoice(read=device, where="overcurrent device", wanted=f"one of: {', '.join(known)}")
    column = "design B energy efficient" if energy_efficient else "other than design B energy efficient"
    return float(table.numbers(column)[known.index(device)]) / 100.0


def device_maximum(current: ArrayLike, *, device: str, energy_efficient: bool = False) -> Floats:
    """Return the largest standard device a motor may have.

    Parameters
    ----------
    current : array_like
        Full-load current by table. [A]
    device : str
        As for ``device_share``. [text]
    energy_efficient : bool
        As for ``device_share``. [-]

    Returns
    -------
    ndarray
        Rating; the next standard one up where the share falls between two. [A]

    Raises
    ------
    UnknownChoice
        The device is none of the four.

    References
    ----------
    [nec] table 430.52 and 430.52(C)(1), 240.6(A)
    """
    share = device_share(device, energy_efficient=energy_efficient)
    return standard_rating_up(np.asarray(current, dtype=np.float64) * share)


def standard_rating_up(current: ArrayLike, *, series: str = "nec") -> Floats:
    """Return the smallest standard rating not below a current.

    Parameters
    ----------
    current : array_like
        Current. [A]
    series : str
        nec or iec. [text]

    Returns
    -------
    ndarray
        Rating; the largest listed where the current lies above it. [A]

    Raises
    ------
    UnknownChoice
        The series is neither.

    References
    ----------
    [nec] 240.6(A); [iec-60898]
    """
    listed = _ratings(series)
    row = np.searchsorted(listed * (1.0 + 1e-9), np.asarray(current, dtype=np.float64))
    return listed[np.minimum(row, listed.size - 1)]


def standard_rating_down(current: ArrayLike, *, series: str = "nec") -> Floats:
    """Return the largest standard rating not above a current.

    Parameters
    ----------
    current : array_like
        Current, such as the ampacity of a conductor. [A]
    series : str
        nec or iec. [text]

    Returns
    -------
    ndarray
        Rating; the smallest listed where the current lies below it. [A]

    Raises
    ------
    UnknownChoice
        The series is neither.

    References
    ----------
    [nec] 240.6(A); [iec-60898]
    """
    listed = _ratings(series)
    row = np.searchsorted(listed * (1.0 - 1e-9), np.asarray(current, dtype=np.float64), side="right") - 1
    return listed[np.maximum(row, 0)]


def marked_rating(told: ArrayLike, *, series: str = "nec") -> Floats:
    """Return the standard rating that someone who tells one means.

    Parameters
    ----------
    told : array_like
        Rating as told. [A]
    series : str
        nec or iec. [text]

    Returns
    -------
    ndarray
        The nearest standard rating; as told where none is within ``NEAR``. [A]

    Raises
    ------
    UnknownChoice
        The series is neither.

    References
    ----------
    [nec] 240.6(A); [iec-60898]; [practice] for the nearness
    """
    given = np.asarray(told, dtype=np.float64)
    below, above = standard_rating_down(given, series=series), standard_rating_up(given, series=series)
    nearest = np.where(above - given < given - below, above, below)
    return np.asarray(np.where(np.abs(nearest / np.maximum(given, 1e-9) - 1.0) < NEAR, nearest, given))


def largest_device(
    largest: ArrayLike, *, others: ArrayLike, device: str, asked: ArrayLike, energy_efficient: bool = False
) -> Floats:
    """Return the largest device that may stand ahead of one motor or of several.

    Parameters
    ----------
    largest : array_like
        Full-load current by table of the largest motor. [A]
    others : array_like
        Sum of those of the others; 0 for one motor. [A]
    device : str
        As for ``device_share``. [text]
    asked : array_like
        Rating that the load itself asks for, such as 125 % of a drive's input. [A]
    energy_efficient : bool
        As for ``device_share``. [-]

    Returns
    -------
    ndarray
        Rating. [A]

    Raises
    ------
    UnknownChoice
        The device is none of the four.

    Notes
    -----
    The share of table 430.52 rounded up, and the others' currents; up to four times the largest where the load itself
    asks for more.  Valid: as for ``device_share``.

    References
    ----------
    [nec] 430.52(C)(1), 430.62(A)
    """
    amps, more = np.asarray(largest, dtype=np.float64), np.asarray(others, dtype=np.float64)
    by_table = device_maximum(amps, device=device, energy_efficient=energy_efficient) + more
    by_load = np.minimum(standard_rating_up(asked), MOST_FOR_STARTING * amps + more)
    return np.asarray(np.maximum(by_table, by_load))


def small_conductor_limit(size: str) -> float:
    """Return the largest device on a small copper conductor that feeds no motor.

    Parameters
    ----------
    size : str
        AWG. [text]

    Returns
    -------
    float
        Rating; infinite above 10 AWG, where ampacity rules. [A]

    Notes
    -----
    Motor circuits are exempt through 240.4(G).

    References
    ----------
    [nec] 240.4(D)
    """
    table = tables.load("nec_240_4_d")
    sizes = table.words("size")
    return float(table.numbers("device")[sizes.index(size)]) if size in sizes else float("inf")


def earth_conductor_row(device_rating: ArrayLike) -> NDArray[np.intp]:
    """Return the row of the smallest copper earth conductor for a device.

    Parameters
    ----------
    device_rating : array_like
        Rating of the device ahead. [A]

    Returns
    -------
    ndarray of int
        Row in ``earth_conductor_sizes``; the last one above its end. [-]

    Notes
    -----
    Valid: to 400 A.  Where live conductors are made larger for voltage drop, it grows with them.

    References
    ----------
    [nec] table 250.122
    """
    listed = tables.load("nec_250_122").numbers("device")
    row = np.searchsorted(listed * (1.0 + 1e-9), np.asarray(device_rating, dtype=np.float64))
    return np.asarray(np.minimum(row, listed.size - 1), dtype=np.intp)


def earth_conductor_sizes() -> tuple[str, ...]:
    """Return the sizes that ``earth_conductor_row`` counts.

    Returns
    -------
    tuple of str
        AWG. [text]

    References
    ----------
    [nec] table 250.122
    """
    return tables.load("nec_250_122").words("size")


def earth_area_metric(line_area: ArrayLike) -> Floats:
    """Return the smallest area of a copper earth conductor by IEC.

    Parameters
    ----------
    line_area : array_like
        Of the live conductor, copper. [m2]

    Returns
    -------
    ndarray
        The same to 16 mm2, 16 mm2 to 35 mm2, half above. [m2]

    References
    ----------
    [iec-60364-5-54] table 54.2
    """
    area = np.asarray(line_area, dtype=np.float64)
    return np.where(area <= 16e-6 * (1 + 1e-9), area, np.where(area <= 35e-6 * (1 + 1e-9), 16e-6, 0.5 * area))


def device_for_load_metric(current: ArrayLike, *, ampacity: ArrayLike) -> tuple[Floats, Floats]:
    """Return the breaker between a load's current and a conductor's capacity by IEC.

    Parameters
    ----------
    current : array_like
        Of the load. [A]
    ampacity : array_like
        Of the conductor as installed. [A]

    Returns
    -------
    tuple of ndarray
        Rating [A], and ampacity less rating, below 0 where the conductor is too small for it [A].

    Notes
    -----
    Ib <= In <= Iz.  Valid: breakers to IEC 60898; the inrush of a direct start is judged apart.

    References
    ----------
    [iec-60898]; [practice] for the rule
    """
    rating = standard_rating_up(current, series="iec")
    return rating, np.asarray(ampacity, dtype=np.float64) - rating


def _ratings(series: str) -> Floats:
    if series not in RATINGS:
        raise UnknownChoice(read=series, where="device ratings", wanted="nec or iec")
    return tables.load(RATINGS[series]).numbers("rating")
