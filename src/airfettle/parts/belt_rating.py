"""The power one V-belt carries, and how many belts a drive needs."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownTableEntry

INCH = 0.0254
"""One inch. [m]"""

HORSEPOWER = 745.6998715822702
"""550 foot pounds-force per second. [W]"""

NOTCHED = {"AX": "A", "BX": "B"}
"""Notched sections that share length factors with a plain one. [text]"""

DATUM_OVER_DESIGNATION = {"A": 1.3, "B": 1.8, "C": 2.9, "3V": 0.0}
"""Datum length less the number in a belt's name. [in]"""

LEAST_CAPACITY = 1.0
"""Floor under one belt's power, so that the count stays finite where the rating has fallen away. [W]"""


def arc_factor(*, wrap_angle: ArrayLike) -> NDArray[np.float64]:
    """Return the share of its rating that a belt keeps on an arc shorter than half a turn.

    Parameters
    ----------
    wrap_angle : array_like
        Arc of contact on the smaller sheave. [rad]

    Returns
    -------
    ndarray
        Factor. [-]

    Notes
    -----
    The printed table from 180 down to 120 deg; below it continues with the slope of
    0.143543 + 0.007468 x - 0.000015052 x^2, x in degrees.  Valid: above 90 deg; less arc reads high.

    References
    ----------
    [belt-factor-tables] factor G; [shigley-17] Table 17-13, footnote
    """
    table = tables.load("belt_arc_factor")
    printed = ~np.isnan(table.numbers("factor"))
    arc, factor = table.numbers("arc")[printed][::-1], table.numbers("factor")[printed][::-1]
    x = np.degrees(np.asarray(wrap_angle, dtype=np.float64))
    short = np.clip(x, 0, arc[0])
    fall = 0.007468 * (arc[0] - short) - 0.000015052 * (arc[0] ** 2 - short**2)
    out: NDArray[np.float64] = np.interp(x, arc, factor) - fall
    return out


@cache
def _length_factors(section: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return datum lengths in m and length factors of a section, printed rows and rows from memory together."""
    plain = NOTCHED.get(section, section)
    rows: dict[float, float] = {}
    for name in ("belt_length_factor_memory", "belt_length_factor"):
        table = tables.load(name)
        if plain in table.columns:
            pairs = zip(table.numbers("designation"), table.numbers(plain), strict=True)
            rows.update({float(size): float(factor) for size, factor in pairs if not np.isnan(factor)})
    if not rows:
        raise UnknownTableEntry(read=section, where="belt length factors", wanted="A, AX, B, BX, C or 3V")
    sizes = sorted(rows)
    datum = (np.array(sizes) + DATUM_OVER_DESIGNATION[plain]) * INCH
    return datum, np.array([rows[size] for size in sizes])


def length_factor(*, belt_length: ArrayLike, section: str) -> NDArray[np.float64]:
    """Return how a belt's length, which sets how often it is bent, changes its rating.

    Parameters
    ----------
    belt_length : array_like
        Datum length; effective length for 3V. [m]
    section : str
        "A", "AX", "B", "BX", "C" or "3V". [text]

    Returns
    -------
    ndarray
        Factor; beyond the table's ends, that of the end. [-]

    Raises
    ------
    UnknownTableEntry
        No factors are known for the section.

    Notes
    -----
    Valid: printed rows A 26-48 and 90-112, B 35-48 and 90-112; between and beyond from memory, section C and 3V
    wholly.  Errs high below the shortest row.

    References
    ----------
    [belt-catalogue-factors]; [belt-length-memory]; [rma-ip-22]
    """
    lengths, factors = _length_factors(section)
    return np.interp(np.asarray(belt_length, dtype=np.float64), lengths, factors)


def ratio_factor(*, speed_ratio: ArrayLike, section: str = "A") -> NDArray[np.float64]:
    """Return the factor KSR that credits a belt for bending less on the larger sheave.

    Parameters
    ----------
    speed_ratio : array_like
        Faster over slower shaft; a ratio under one is turned over. [-]
    section : str
        Only 3V has a table of its own. [text]

    Returns
    -------
    ndarray
        KSR. [-]

    Notes
    -----
    Steps, as the tables print it.  Valid: for either direction of the ratio; all rows but the last from memory.

    References
    ----------
    [rma-ip-20-ratio]; [rma-ip-22]
    """
    table = tables.load("belt_ratio_factor_narrow" if section == "3V" else "belt_ratio_factor")
    ratio = np.asarray(speed_ratio, dtype=np.float64)
    ratio = np.maximum(ratio, 1 / np.maximum(ratio, 1e-9))
    row = np.searchsorted(table.numbers("ratio"), ratio * (1 + 1e-12), side="right") - 1
    out: NDArray[np.float64] = table.numbers("factor")[np.maximum(row, 0)]
    return out


def rated_power(
    *, small_pitch: ArrayLike, small_speed: ArrayLike, ratio_factor: ArrayLike = 1.0, section: str
) -> NDArray[np.float64]:
    """Return the power one belt carries on a half-turn arc at the section's reference length.

    Parameters
    ----------
    small_pitch : array_like
        Pitch diameter of the smaller sheave. [m]
    small_speed : array_like
        Speed of the smaller sheave. [rev/s]
    ratio_factor : array_like
        KSR, see `ratio_factor`. [-]
    section : str
        "A", "AX", "B", "BX", "C" or "3V". [text]

    Returns
    -------
    ndarray
        Power; falls below zero where the belt is too fast or the sheave too small. [W]

    Raises
    ------
    UnknownTableEntry
        No rating is known for the section.

    Notes
    -----
    hp = d r [K1 - K2/d - K3 (d r)^2 - K4 log10(d r)] + K2 r (1 - 1/KSR), d in inches, r in thousands of rev/min.
    Valid: sheaves of the section's least diameter and up, rim speed under 33 m/s; modern belts carry more.
    3V coefficients are from memory.

    References
    ----------
    [rma-ip-20] power rating formulas; [rma-ip-22] for 3V
    """
    for name in ("belt_rating", "belt_rating_narrow"):
        table = tables.load(name)
        if section in table.words("section"):
            row = table.words("section").index(section)
            break
    else:
        raise UnknownTableEntry(read=section, where="belt power rating", wanted="A, AX, B, BX, C or 3V")
    K1, K2, K3, K4 = (float(table.numbers(column)[row]) for column in ("K1", "K2", "K3", "K4"))
    d = np.asarray(small_pitch, dtype=np.float64) / INCH
    r = np.asarray(small_speed, dtype=np.float64) * 60 / 1000
    dr = np.maximum(d * r, 1e-12)
    base = dr * (K1 - K3 * dr**2 - K4 * np.log10(dr)) - K2 * r
    gain = K2 * r * (1 - 1 / np.asarray(ratio_factor, dtype=np.float64))
    return (base + gain) * HORSEPOWER


def power_per_belt(
    *, rated_power: ArrayLike, arc_factor: ArrayLike = 1.0, length_factor: ArrayLike = 1.0
) -> NDArray[np.float64]:
    """Return the power one belt carries in this drive.

    Parameters
    ----------
    rated_power : array_like
        See `rated_power`. [W]
    arc_factor, length_factor : array_like
        See the functions of those names. [-]

    Returns
    -------
    ndarray
        Power. [W]

    References
    ----------
    [rma-ip-20] rating times factors
    """
    share = np.asarray(arc_factor, dtype=np.float64) * np.asarray(length_factor, dtype=np.float64)
    return np.asarray(rated_power, dtype=np.float64) * share


def service_factor(*, hours_per_day: ArrayLike, high_torque_motor: ArrayLike = False) -> NDArray[np.float64]:
    """Return the factor on the power a belt drive for a piston pump is sized for.

    Parameters
    ----------
    hours_per_day : array_like
        Hours of running in a day. [h]
    high_torque_motor : array_like
        Whether the motor is single-phase or of high torque. [yes or no]

    Returns
    -------
    ndarray
        Factor. [-]

    Notes
    -----
    Valid: piston machines; hours between two printed bands take the harder one.

    References
    ----------
    [rma-service-factor] piston compressors
    """
    table = tables.load("belt_service_factor")
    band = np.searchsorted(table.numbers("hours to"), np.asarray(hours_per_day, dtype=np.float64), side="left")
    band = np.minimum(band, len(table.numbers("hours to")) - 1)
    normal = table.numbers("normal torque motor")[band]
    hard = table.numbers("high torque or single-phase motor")[band]
    out: NDArray[np.float64] = np.where(np.asarray(high_torque_motor, dtype=bool), hard, normal)
    return out


def belts_needed(*, power: ArrayLike, service_factor: ArrayLike, power_per_belt: ArrayLike) -> NDArray[np.float64]:
    """Return how many belts the drive needs.

    Parameters
    ----------
    power : array_like
        Power the drive carries. [W]
    service_factor : array_like
        See `service_factor`. [-]
    power_per_belt : array_like
        See `power_per_belt`; taken as at least 1 W. [W]

    Returns
    -------
    ndarray
        Whole number of belts, at least one. [-]

    References
    ----------
    [rma-ip-20] design power over power for each belt
    """
    design = np.asarray(power, dtype=np.float64) * np.asarray(service_factor, dtype=np.float64)
    each = np.maximum(np.asarray(power_per_belt, dtype=np.float64), LEAST_CAPACITY)
    out: NDArray[np.float64] = np.maximum(np.ceil(design / each * (1 - 1e-12)), 1)
    return out


def belt_margin(
    *, power: ArrayLike, service_factor: ArrayLike, power_per_belt: ArrayLike, belts: ArrayLike
) -> NDArray[np.float64]:
    """Return how far the belts stay above the power they are sized for, negative below it.

    Parameters
    ----------
    power : array_like
        Power the drive carries. [W]
    service_factor : array_like
        See `service_factor`. [-]
    power_per_belt : array_like
        See `power_per_belt`. [W]
    belts : array_like
        Belts fitted. [-]

    Returns
    -------
    ndarray
        Share of the belts' power that is left. [-]

    Notes
    -----
    1 - P f/(N P_belt), each belt taken to carry at least 1 W, so that the margin stays finite.

    References
    ----------
    [rma-ip-20] design power over power for each belt
    """
    design = np.asarray(power, dtype=np.float64) * np.asarray(service_factor, dtype=np.float64)
    each = np.maximum(np.asarray(power_per_belt, dtype=np.float64), LEAST_CAPACITY)
    out: NDArray[np.float64] = 1 - design / (each * np.asarray(belts, dtype=np.float64))
    return out
