"""Conductors: sizes, ampacity, resistance, voltage drop, and the smallest that will do."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownChoice

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

KILOFOOT = 304.8
"""A thousand feet. [m]"""
SYSTEMS = {
    "nec-60": ("nec_310_16", "60 degC", "nec_310_15_b_1", "60 degC"),
    "nec-60-before-2011": ("nec_310_16", "60 degC before 2011", "nec_310_15_b_1", "60 degC"),
    "nec-75": ("nec_310_16", "75 degC", "nec_310_15_b_1", "75 degC"),
    "iec-b2": ("iec_60364_5_52_copper_pvc", "B2 {} loaded", "iec_60364_5_52_ambient_pvc", "factor"),
    "iec-c": ("iec_60364_5_52_copper_pvc", "C {} loaded", "iec_60364_5_52_ambient_pvc", "factor"),
}
"""Ways to rate a copper conductor: ampacity table and column, ambient table and column. IEC method B2 is a cable in
conduit on a wall, C a cable fixed straight to it. [text]"""
CONTINUOUS_FACTOR = 1.25
"""Conductor ampacity over the current it is chosen by. [-]  Source: nec 430.22(A), 430.122."""
SAME_SIZE = 1.005
"""A wire within this of a listed size is that size. [-]  Source: practice."""


@dataclass(frozen=True)
class Conductor:
    """The smallest conductor that carries a current.

    Attributes
    ----------
    index : ndarray of int
        Row in ``size_names``. [-]
    area : ndarray
        Of copper. [m2]
    ampacity : ndarray
        At the ambient temperature. [A]
    resistance : ndarray
        For each metre, one way, hot. [ohm/m]
    margin : ndarray
        Ampacity less the current asked for; below 0 where the largest size is too small. [A]
    """

    index: Indices
    area: Floats
    ampacity: Floats
    resistance: Floats
    margin: Floats


def size_names(system: str) -> tuple[str, ...]:
    """Return the names of the sizes, from small to large.

    Parameters
    ----------
    system : str
        One of ``SYSTEMS``. [text]

    Returns
    -------
    tuple of str
        AWG, or mm2. [text]

    Raises
    ------
    UnknownChoice
        The system is not one of them.

    References
    ----------
    [nec] table 310.16; [iec-60364-5-52]
    """
    table = tables.load(_system(system)[0])
    return table.words("size") if system.startswith("nec") else tuple(f"{a:g}" for a in table.numbers("area"))


def areas(system: str) -> Floats:
    """Return the copper areas of the sizes.

    Parameters
    ----------
    system : str
        One of ``SYSTEMS``. [text]

    Returns
    -------
    ndarray
        Area, from small to large. [m2]

    Raises
    ------
    UnknownChoice
        The system is not one of them.

    References
    ----------
    [nec] chapter 9 table 8; [iec-60364-5-52]
    """
    name = "nec_ch_9_8" if _system(system)[0] == "nec_310_16" else "iec_60364_5_52_copper_pvc"
    return tables.load(name).numbers("area") * 1e-6


def ampacities(system: str, *, loaded: int = 3) -> Floats:
    """Return the ampacity of every size at 30 degC.

    Parameters
    ----------
    system : str
        One of ``SYSTEMS``. [text]
    loaded : int
        Conductors that carry current, 2 or 3; the NEC table does not ask. [-]

    Returns
    -------
    ndarray
        Ampacity, from small to large. [A]

    Raises
    ------
    UnknownChoice
        The system is not one of them.

    References
    ----------
    [nec] table 310.16; [iec-60364-5-52] tables B.52.2 and B.52.4
    """
    table, column, _, _ = _system(system)
    return tables.load(table).numbers(column.format(2 if loaded == 2 else 3))


def ambient_factor(ambient: ArrayLike, *, system: str) -> Floats:
    """Return the correction of ampacity for the air around the conductor.

    Parameters
    ----------
    ambient : array_like
        Air. [K]
    system : str
        One of ``SYSTEMS``. [text]

    Returns
    -------
    ndarray
        Factor, in the steps of the table; 0 above its end. [-]

    Raises
    ------
    UnknownChoice
        The system is not one of them.

    References
    ----------
    [nec] table 310.15(B)(1); [iec-60364-5-52] table B.52.14
    """
    _, _, name, column = _system(system)
    table = tables.load(name)
    steps, factors = table.numbers("ambient up to") + 273.15, np.append(table.numbers(column), 0.0)
    return factors[np.searchsorted(steps + 1e-6, np.asarray(ambient, dtype=np.float64))]


def resistances(system: str, *, temperature: ArrayLike = 348.15, strand: str = "stranded") -> Floats:
    """Return the resistance of every size.

    Parameters
    ----------
    system : str
        One of ``SYSTEMS``. [text]
    temperature : array_like
        Of the copper, one number. [K]
    strand : str
        stranded or solid; solid exists to 8 AWG and is filled with stranded above. [text]

    Returns
    -------
    ndarray
        For each metre, from small to large. [ohm/m]

    Raises
    ------
    UnknownChoice
        The system is not one of them.

    Notes
    -----
    NEC: R75 (1 + 0.00323 (t - 75)); IEC: R20 (1 + 0.00393 (t - 20)), t in degC.  Valid: direct current; to 50 mm2 the
    alternating one is less than 2 % higher.

    References
    ----------
    [nec] chapter 9 table 8; [iec-60228] table 2
    """
    degrees = np.asarray(temperature, dtype=np.float64) - 273.15
    if _system(system)[0] == "nec_310_16":
        table = tables.load("nec_ch_9_8")
        listed = table.numbers(strand)
        kilofeet = np.where(np.isfinite(listed), listed, table.numbers("stranded"))
        return kilofeet / KILOFOOT * (1.0 + 0.00323 * (degrees - 75.0))
    return tables.load("iec_60228_class_2").numbers("resistance") * 1e-3 * (1.0 + 0.00393 * (degrees - 20.0))


def required_ampacity(current: ArrayLike, *, factor: ArrayLike = CONTINUOUS_FACTOR) -> Floats:
    """Return the ampacity the conductors of one motor or drive must have.

    Parameters
    ----------
    current : array_like
        The drive's rated input current on the supply side, the table's full-load current on the motor side. [A]
    factor : array_like
        1.25 by the NEC; 1 by IEC, where the device's rating rules. [-]

    Returns
    -------
    ndarray
        Ampacity. [A]

    References
    ----------
    [nec] 430.22(A), 430.122(A) and (B)
    """
    return np.asarray(current, dtype=np.float64) * np.asarray(factor, dtype=np.float64)


def smallest_conductor(
    required: ArrayLike,
    *,
    system: str = "nec-75",
    loaded: int = 3,
    ambient: ArrayLike = 303.15,
    resistance_limit: ArrayLike = np.inf,
    temperature: ArrayLike = 348.15,
) -> Conductor:
    """Return the smallest copper conductor that carries a current and keeps a voltage drop.

    Parameters
    ----------
    required : array_like
        Ampacity needed. [A]
    system : str
        One of ``SYSTEMS``. [text]
    loaded : int
        Conductors that carry current, 2 or 3; only IEC asks. [-]
    ambient : array_like
        Air around the conductor. [K]
    resistance_limit : array_like
        Most resistance for each metre, from the drop wanted. [ohm/m]
    temperature : array_like
        Of the copper for its resistance, one number. [K]

    Returns
    -------
    Conductor
        Size [-], area [m2], ampacity [A], resistance [ohm/m], margin [A].

    Raises
    ------
    UnknownChoice
        The system is not one of them.

    Notes
    -----
    Valid: 14 to 4/0 AWG or 1.5 to 50 mm2, three loaded conductors, not bundled.  Terminals set the column: 60 degC to
    100 A unless marked for 75.

    References
    ----------
    [nec] table 310.16, 110.14(C); [iec-60364-5-52]
    """
    needed, limit = np.asarray(required, dtype=np.float64), np.asarray(resistance_limit, dtype=np.float64)
    factor = ambient_factor(ambient, system=system)
    rated, ohms = ampacities(system, loaded=loaded), resistances(system, temperature=temperature)
    by_current = np.searchsorted(rated * (1.0 + 1e-9), needed / np.maximum(factor, 1e-9))
    by_drop = np.searchsorted(-ohms * (1.0 + 1e-9), -limit)
    row = np.minimum(np.maximum(by_current, by_drop), rated.size - 1)
    ampacity = rated[row] * factor
    return Conductor(
        index=np.asarray(row, dtype=np.intp), area=areas(system)[row], ampacity=ampacity, resistance=ohms[row],
        margin=ampacity - needed,
    )  # fmt: skip


def installed_ampacity(area: ArrayLike, *, system: str = "nec-75", loaded: int = 3, factor: ArrayLike = 1.0) -> Floats:
    """Return what a copper conductor that is there may carry.

    Parameters
    ----------
    area : array_like
        Of its copper. [m2]
    system : str
        One of ``SYSTEMS``. [text]
    loaded : int
        Conductors that carry current, 2 or 3; only IEC asks. [-]
    factor : array_like
        For the air around it, from ``ambient_factor``; a cold room adds nothing. [-]

    Returns
    -------
    ndarray
        Ampacity. [A]

    Raises
    ------
    UnknownChoice
        The system is not one of them.

    Notes
    -----
    The next smaller listed size counts, one within 0.5 % of a listed size being that size; below the smallest in
    proportion to the area.  Valid: as for ``smallest_conductor``.

    References
    ----------
    [nec] table 310.16; [iec-60364-5-52]; [practice] below the smallest size
    """
    listed, amps = areas(system), ampacities(system, loaded=loaded)
    there = np.asarray(area, dtype=np.float64) * SAME_SIZE
    row = np.maximum(np.searchsorted(listed, there, side="right") - 1, 0)
    small = np.minimum(there / listed[0], 1.0)
    return np.asarray(amps[row] * small * np.minimum(np.asarray(factor, dtype=np.float64), 1.0))


def voltage_drop(
    current: ArrayLike,
    *,
    resistance: ArrayLike,
    length: ArrayLike,
    phases: ArrayLike,
    power_factor: ArrayLike = 1.0,
    reactance: ArrayLike = 0.0,
) -> Floats:
    """Return the voltage lost along the conductors, between live legs.

    Parameters
    ----------
    current : array_like
        In each conductor. [A]
    resistance : array_like
        For each metre of one conductor. [ohm/m]
    length : array_like
        One way. [m]
    phases : array_like
        1 or 3. [-]
    power_factor : array_like
        1 gives the whole resistive drop, the safe side. [-]
    reactance : array_like
        For each metre of one conductor. [ohm/m]

    Returns
    -------
    ndarray
        Drop. [V]

    Notes
    -----
    2 I L (R cos + X sin) on one phase, sqrt(3) I L (R cos + X sin) on three.

    References
    ----------
    [physics]
    """
    ways = np.where(np.asarray(phases, dtype=np.float64) > 2.0, np.sqrt(3.0), 2.0)
    cosine = np.clip(np.asarray(power_factor, dtype=np.float64), 0.0, 1.0)
    ohms = np.asarray(resistance, dtype=np.float64) * cosine
    ohms = ohms + np.asarray(reactance, dtype=np.float64) * np.sqrt(1.0 - cosine**2)
    return ways * np.asarray(current, dtype=np.float64) * np.asarray(length, dtype=np.float64) * ohms


def resistance_for_drop(drop: ArrayLike, *, current: ArrayLike, length: ArrayLike, phases: ArrayLike) -> Floats:
    """Return the most resistance that keeps a voltage drop.

    Parameters
    ----------
    drop : array_like
        Allowed, between live legs. [V]
    current : array_like
        In each conductor. [A]
    length : array_like
        One way. [m]
    phases : array_like
        1 or 3. [-]

    Returns
    -------
    ndarray
        For each metre of one conductor, at power factor 1. [ohm/m]

    References
    ----------
    [physics]
    """
    each = voltage_drop(current, resistance=1.0, length=length, phases=phases)
    return np.asarray(drop, dtype=np.float64) / np.maximum(each, 1e-9)


def _system(system: str) -> tuple[str, str, str, str]:
    if system not in SYSTEMS:
        raise UnknownChoice(read=system, where="conductor system", wanted=f"one of: {', '.join(SYSTEMS)}")
    return SYSTEMS[system]
