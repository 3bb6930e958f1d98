"""Sheaves and flywheel: which of their diameters counts, speed ratio, rim speed, smallest and stock sizes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownTableEntry, UnsuitableNumbers

INCH = 0.0254
"""One inch. [m]"""

HORSEPOWER = 745.6998715822702
"""550 foot pounds-force per second. [W]"""

FOOT_PER_MINUTE = 0.00508
"""One foot per minute. [m/s]"""

PLATE_TOLERANCE = 1.01
"""A motor this share above a row of the smallest-sheave table still belongs to that row. [-]"""

_GROOVES = {
    "sheave_grooves": INCH,
    "sheave_grooves_narrow": INCH,
    "sheave_grooves_iso": 1e-3,
}


def _groove(groove: str) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return upper datum limits, outside less datum and outside less pitch of a groove's rows, in m."""
    for name, unit in _GROOVES.items():
        table = tables.load(name)
        rows = [row for row, word in enumerate(table.words("groove")) if word == groove]
        if rows:
            limit, datum, pitch = (
                table.numbers(column)[rows] * unit
                for column in ("datum through", "outside less datum", "outside less pitch")
            )
            return np.where(np.isnan(limit), np.inf, limit), datum, pitch
    raise UnknownTableEntry(read=groove, where="grooves", wanted=f"one of: {', '.join(groove_names())}")


def groove_names() -> tuple[str, ...]:
    """Return the grooves whose diameters are known.

    Returns
    -------
    tuple of str
        Names, a combination groove as "A in A/B". [text]

    References
    ----------
    [machinerys-belts] Table 9; [narrow-groove-guide] Table 2; [iso-belts]
    """
    words = (word for name in _GROOVES for word in tables.load(name).words("groove"))
    return tuple(dict.fromkeys(words))


def groove_offset(*, top_width: ArrayLike, datum_width: ArrayLike, groove_angle: ArrayLike) -> NDArray[np.float64]:
    """Return outside less datum diameter of a straight-sided groove from its widths.

    Parameters
    ----------
    top_width, datum_width : array_like
        Width of the groove at the rim and at the datum line. [m]
    groove_angle : array_like
        Full angle between the flanks. [rad]

    Returns
    -------
    ndarray
        Outside less datum diameter. [m]

    Notes
    -----
    2 h = (b_top - b_datum)/tan(angle/2).  Valid: flanks straight to a sharp rim; a worn groove reads high.

    References
    ----------
    [physics] geometry of the groove
    """
    slack = np.asarray(top_width, dtype=np.float64) - np.asarray(datum_width, dtype=np.float64)
    out: NDArray[np.float64] = slack / np.tan(np.asarray(groove_angle, dtype=np.float64) / 2)
    return out


def datum_diameter(*, outside_diameter: ArrayLike, groove: str) -> NDArray[np.float64]:
    """Return the datum diameter, which names a sheave and sets the belt's length.

    Parameters
    ----------
    outside_diameter : array_like
        Over the rim, by tape or caliper. [m]
    groove : str
        One of `groove_names`. [text]

    Returns
    -------
    ndarray
        Datum diameter. [m]

    Raises
    ------
    UnknownTableEntry
        The groove is not in the tables.

    Notes
    -----
    Valid: standard grooves; a deep groove's rim stands further out, so that this reads high.

    References
    ----------
    [machinerys-belts] Table 9; [narrow-groove-guide] Table 2; [iso-belts]
    """
    outside = np.asarray(outside_diameter, dtype=np.float64)
    limits, offsets, _ = _groove(groove)
    datum: NDArray[np.float64] = outside - offsets[-1]
    for limit, offset in zip(limits[-2::-1], offsets[-2::-1], strict=True):
        datum = np.where(outside - offset <= limit, outside - offset, datum)
    return datum


def outside_diameter(*, datum_diameter: ArrayLike, groove: str) -> NDArray[np.float64]:
    """Return the diameter over the rim of a sheave named by its datum diameter.

    Parameters
    ----------
    datum_diameter : array_like
        Datum diameter. [m]
    groove : str
        One of `groove_names`. [text]

    Returns
    -------
    ndarray
        Outside diameter. [m]

    Raises
    ------
    UnknownTableEntry
        The groove is not in the tables.

    References
    ----------
    [machinerys-belts] Table 9; [narrow-groove-guide] Table 2; [iso-belts]
    """
    datum = np.asarray(datum_diameter, dtype=np.float64)
    limits, offsets, _ = _groove(groove)
    return datum + offsets[np.searchsorted(limits[:-1], datum, side="left")]


def pitch_diameter(*, outside_diameter: ArrayLike, groove: str) -> NDArray[np.float64]:
    """Return the pitch diameter, which sets the speed ratio.

    Parameters
    ----------
    outside_diameter : array_like
        Over the rim. [m]
    groove : str
        One of `groove_names`. [text]

    Returns
    -------
    ndarray
        Pitch diameter. [m]

    Raises
    ------
    UnknownTableEntry
        The groove is not in the tables.

    Notes
    -----
    Valid: a belt that rides level with the rim; a worn belt rides deeper and this reads high.

    References
    ----------
    [machinerys-belts] Table 9, column 2 a_p; [narrow-groove-guide] Table 2; [iso-belts]
    """
    out: NDArray[np.float64] = np.asarray(outside_diameter, dtype=np.float64) - _groove(groove)[2][0]
    return out


def riding_diameter(*, outside_diameter: ArrayLike, groove: str, share: ArrayLike) -> NDArray[np.float64]:
    """Return a diameter between datum and outside: the span of the ratio until a tachometer settles it.

    Parameters
    ----------
    outside_diameter : array_like
        Over the rim. [m]
    groove : str
        One of `groove_names`. [text]
    share : array_like
        0 at the datum, 1 at the rim; take the same share for both sheaves of a drive. [-]

    Returns
    -------
    ndarray
        Diameter at which the belt's cord is taken to ride. [m]

    Raises
    ------
    UnknownTableEntry
        The groove is not in the tables.

    Notes
    -----
    The small motor sheave gains more from a larger share than the flywheel: share 1 is the fastest pump.

    References
    ----------
    [machinerys-belts] Table 9; [physics]
    """
    outside = np.asarray(outside_diameter, dtype=np.float64)
    datum = datum_diameter(outside_diameter=outside, groove=groove)
    return datum + np.asarray(share, dtype=np.float64) * (outside - datum)


def rim_speed(*, diameter: ArrayLike, speed: ArrayLike) -> NDArray[np.float64]:
    """Return the speed of a sheave's rim, or of the belt when given the pitch diameter.

    Parameters
    ----------
    diameter : array_like
        Outside diameter for the rim, pitch diameter for the belt. [m]
    speed : array_like
        Shaft speed. [rev/s]

    Returns
    -------
    ndarray
        Speed. [m/s]

    References
    ----------
    [physics] pi d n
    """
    return np.pi * np.asarray(diameter, dtype=np.float64) * np.asarray(speed, dtype=np.float64)


def rim_speed_limit(*, material: str = "cast iron") -> float:
    """Return the highest rim speed of a sheave or flywheel.

    Parameters
    ----------
    material : str
        "cast iron", "ductile iron" or "steel". [text]

    Returns
    -------
    float
        Rim speed. [m/s]

    Raises
    ------
    UnknownTableEntry
        The material is not in the table.

    References
    ----------
    [belt-factor-tables] rim speed limits
    """
    table = tables.load("sheave_rim_speed")
    names = table.words("material")
    if material not in names:
        raise UnknownTableEntry(read=material, where=table.title, wanted=f"one of: {', '.join(names)}")
    return float(table.numbers("rim speed")[names.index(material)]) * FOOT_PER_MINUTE


def rim_speed_margin(
    *, outside_diameter: ArrayLike, speed: ArrayLike, material: str = "cast iron"
) -> NDArray[np.float64]:
    """Return how far a rim stays below its highest speed, negative above it.

    Parameters
    ----------
    outside_diameter : array_like
        Over the rim. [m]
    speed : array_like
        Shaft speed. [rev/s]
    material : str
        "cast iron", "ductile iron" or "steel". [text]

    Returns
    -------
    ndarray
        Share of the limit that is left. [-]

    Raises
    ------
    UnknownTableEntry
        The material is not in the table.

    References
    ----------
    [belt-factor-tables] rim speed limits
    """
    return 1 - rim_speed(diameter=outside_diameter, speed=speed) / rim_speed_limit(material=material)


def minimum_motor_sheave(*, motor_power: ArrayLike, synchronous_speed: ArrayLike) -> NDArray[np.float64]:
    """Return the smallest pitch diameter a motor's shaft and bearing stand.

    Parameters
    ----------
    motor_power : array_like
        Power on the plate. [W]
    synchronous_speed : array_like
        Field speed at the plate's frequency, 15 rev/s or more; between two columns the slower one holds. [rev/s]

    Returns
    -------
    ndarray
        Pitch diameter, conventional V-belts. [m]

    Raises
    ------
    UnsuitableNumbers
        The motor is larger or slower than the table's rows.

    Notes
    -----
    Valid: NEMA frames of general-purpose motors; an older, larger frame of the same power stands a smaller sheave.
    Rows up to 10 hp at 1800 and 15 hp at 3600 rev/min come from a secondary copy, all others from memory.

    References
    ----------
    [nema-mg1-14-42] 1800 and 3600 rev/min; [nema-mg1-14-42-memory] other rows
    """
    power, speed, diameter = (
        np.concatenate([tables.load(name).numbers(c) for name in ("sheave_minimum", "sheave_minimum_memory")])
        for c in ("power", "speed", "pitch diameter")
    )
    hp, rpm = np.broadcast_arrays(
        np.asarray(motor_power, dtype=np.float64) / HORSEPOWER,
        np.asarray(synchronous_speed, dtype=np.float64) * 60,
    )
    out = np.full(hp.shape, np.nan)
    for column in np.unique(speed):
        rows = np.flatnonzero(speed == column)
        rows = rows[np.argsort(power[rows], kind="stable")]
        least = np.searchsorted(power[rows] * PLATE_TOLERANCE, hp, side="left")
        found = np.append(diameter[rows], np.nan)[least] * INCH
        out = np.where(rpm * PLATE_TOLERANCE >= column, found, out)
    if np.any(np.isnan(out)):
        raise UnsuitableNumbers(
            read=f"up to {np.max(hp):.3g} hp, from {np.min(rpm):.4g} rev/min",
            wanted="900 rev/min or more, and at most 10 hp at 900, 20 at 1200, 30 at 1800, 25 at 3600 rev/min",
        )
    return out


def stock_sheaves(*, series: str) -> NDArray[np.float64]:
    """Return the datum diameters a bearing house has on the shelf.

    Parameters
    ----------
    series : str
        "A inch", "B inch" or "ISO". [text]

    Returns
    -------
    ndarray
        Datum diameters, rising, shape (sizes,). [m]

    Raises
    ------
    UnknownTableEntry
        There is no such series.

    References
    ----------
    [practice] stock lists; [iso-belts] preferred diameters
    """
    table = tables.load("sheave_stock")
    unit = {"in": INCH, "mm": 1e-3}[table.columns[series].unit] if series in table.columns else 1.0
    return table.numbers(series) * unit
