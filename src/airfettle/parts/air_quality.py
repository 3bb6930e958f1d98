"""Purity of the air in the classes of ISO 8573-1, and what uses in a workshop ask for.

Classes are whole numbers, the smaller the cleaner; ``CLASS_X`` stands for X (dirtier than the last
class) and ``NOT_SAID`` for the hyphen (nothing said, nothing asked).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.air.constants import R_DRY_AIR, ZERO_CELSIUS
from airfettle.errors import UnknownTableEntry

Array = NDArray[np.float64]
Classes = NDArray[np.int64]

CLASS_X = 10
"""Stands for class X, so that it compares as the dirtiest. [-]"""

NOT_SAID = 99
"""Stands for the hyphen: not said, or not asked. [-]"""

REFERENCE_TEMPERATURE = 293.15
"""Temperature that contents are counted at. [K]"""

REFERENCE_PRESSURE = 100_000.0
"""Absolute pressure that contents are counted at, with dry air. [Pa]"""


@dataclass(frozen=True)
class UseNeed:
    """What a use commonly asks for, strictest and loosest class of each.

    Attributes
    ----------
    use : str
        The use. [text]
    particles, water, oil : tuple of int
        Strictest and loosest class; NOT_SAID where nothing is asked. [-]
    """

    use: str
    particles: tuple[int, int]
    water: tuple[int, int]
    oil: tuple[int, int]


def content_at_reference(flow: ArrayLike, *, dry_air_flow: ArrayLike) -> Array:
    """Return how much of something one cubic metre of air carries, counted at the reference conditions.

    Parameters
    ----------
    flow : array_like
        Liquid water, oil or dust in the air. [kg/s]
    dry_air_flow : array_like
        Mass flow of dry air that carries it. [kg/s]

    Returns
    -------
    ndarray
        Mass in one cubic metre of dry air at 20 degC and 1 bar absolute; 0 without flow. [kg/m3]

    Notes
    -----
    c = m/(m_air R T0/p0).  Valid: ideal gas.

    References
    ----------
    [iso-8573-1] reference conditions
    """
    volume = np.asarray(dry_air_flow, dtype=np.float64) * (R_DRY_AIR * REFERENCE_TEMPERATURE / REFERENCE_PRESSURE)
    carried = np.asarray(flow, dtype=np.float64)
    return np.asarray(np.where(volume > 0.0, carried / np.where(volume > 0.0, volume, 1.0), 0.0))


def particle_class(small: ArrayLike, *, middle: ArrayLike, large: ArrayLike) -> Classes:
    """Return the particle class from counts.

    Parameters
    ----------
    small, middle, large : array_like
        Particles of 0.1 to 0.5, 0.5 to 1 and 1 to 5 micrometre, at reference conditions. [1/m3]

    Returns
    -------
    ndarray of int
        Class 1 to 5; class X beyond. [-]

    Notes
    -----
    The first class none of whose limits is passed.  Valid: no particle over 5 micrometre; with such, by mass.

    References
    ----------
    [iso-8573-1] table 1
    """
    limits = tables.load("iso_8573_particles")
    counts = np.broadcast_arrays(*(np.asarray(c, dtype=np.float64) for c in (small, middle, large)))
    passed = np.zeros((*counts[0].shape, 5), dtype=bool)
    for count, column in zip(counts, ("0.1 to 0.5 um", "0.5 to 1 um", "1 to 5 um"), strict=True):
        most = limits.numbers(column)
        passed |= count[..., np.newaxis] > np.where(np.isnan(most), np.inf, most)
    clean = ~passed
    first = np.argmax(clean, axis=-1) + 1
    return np.asarray(np.where(np.any(clean, axis=-1), first, CLASS_X), dtype=np.int64)


def particle_class_by_mass(content: ArrayLike) -> Classes:
    """Return the particle class from the mass of particles.

    Parameters
    ----------
    content : array_like
        Mass of particles in a cubic metre at reference conditions. [kg/m3]

    Returns
    -------
    ndarray of int
        Class 6 or 7; class X beyond. [-]

    Notes
    -----
    Valid: when counts are not known; mass alone never gives a class cleaner than 6.

    References
    ----------
    [iso-8573-1] table 1
    """
    return _by_most(content, table="iso_8573_particle_mass", column="most", unit=1e-6)


def water_class(pressure_dew_point: ArrayLike, *, liquid: ArrayLike = 0.0) -> Classes:
    """Return the water class from the dew point, or from the liquid where there is any.

    Parameters
    ----------
    pressure_dew_point : array_like
        Dew point at line pressure. [K]
    liquid : array_like
        Liquid water in a cubic metre at reference conditions. [kg/m3]

    Returns
    -------
    ndarray of int
        Class 1 to 6 by dew point; 7 to 9 and X with liquid; 7 without liquid above the dew point of class 6. [-]

    Notes
    -----
    The standard names no class for vapour above +10 degC without liquid; class 7 is the cleanest it keeps.

    References
    ----------
    [iso-8573-1] table 2
    """
    wet = np.asarray(liquid, dtype=np.float64)
    celsius = np.asarray(pressure_dew_point, dtype=np.float64) - ZERO_CELSIUS
    by_liquid = _by_most(wet, table="iso_8573_liquid_water", column="most", unit=1e-3)
    by_vapour = _by_most(celsius, table="iso_8573_water_vapour", column="dew point", unit=1.0)
    return np.asarray(np.where((wet > 0.0) | (by_vapour == CLASS_X), by_liquid, by_vapour), dtype=np.int64)


def oil_class(content: ArrayLike) -> Classes:
    """Return the oil class.

    Parameters
    ----------
    content : array_like
        Oil, liquid, aerosol and vapour, in a cubic metre at reference conditions. [kg/m3]

    Returns
    -------
    ndarray of int
        Class 1 to 4; class X beyond. [-]

    Notes
    -----
    Valid: total oil; a coalescer leaves vapour, so aerosol alone reads clean.

    References
    ----------
    [iso-8573-1] table 3
    """
    return _by_most(content, table="iso_8573_oil", column="most", unit=1e-6)


def designation(particles: int, *, water: int, oil: int) -> str:
    """Return the purity as the standard writes it, particles then water then oil.

    Parameters
    ----------
    particles, water, oil : int
        Classes; CLASS_X for X, NOT_SAID for a hyphen. [-]

    Returns
    -------
    str
        Such as ``ISO 8573-1:2010 [4:4:-]``. [text]

    References
    ----------
    [iso-8573-1] designation
    """
    marks = {CLASS_X: "X", NOT_SAID: "-"}
    written = ":".join(marks.get(int(number), str(int(number))) for number in (particles, water, oil))
    return f"ISO 8573-1:2010 [{written}]"


def uses() -> tuple[str, ...]:
    """Return the uses that need_of knows.

    Returns
    -------
    tuple of str
        Names of uses. [text]

    References
    ----------
    [practice]
    """
    return tables.load("iso_8573_uses").words("use")


def need_of(use: str) -> UseNeed:
    """Return the classes that a use commonly asks for.

    Parameters
    ----------
    use : str
        One of uses(). [text]

    Returns
    -------
    UseNeed
        Strictest and loosest class of each. [-]

    Raises
    ------
    UnknownTableEntry
        The use is not in the table.

    References
    ----------
    [practice]
    """
    table = tables.load("iso_8573_uses")
    if use not in uses():
        raise UnknownTableEntry(read=use, where=table.title, wanted=f"one of: {', '.join(uses())}")
    row = uses().index(use)

    def span(what: str) -> tuple[int, int]:
        ends = [table.numbers(f"{what}, {end}")[row] for end in ("strictest", "loosest")]
        low, high = (NOT_SAID if np.isnan(end) else int(end) for end in ends)
        return low, high

    return UseNeed(use, particles=span("particles"), water=span("water"), oil=span("oil"))


def class_margin(actual: ArrayLike, *, allowed: ArrayLike) -> Classes:
    """Return by how many classes the air is cleaner than what is allowed.

    Parameters
    ----------
    actual, allowed : array_like of int
        Class of the air, and the dirtiest class allowed; NOT_SAID allows everything. [-]

    Returns
    -------
    ndarray of int
        Margin; negative where the air is too dirty. [-]

    References
    ----------
    [physics]
    """
    return np.asarray(np.asarray(allowed, dtype=np.int64) - np.asarray(actual, dtype=np.int64))


def _by_most(value: ArrayLike, *, table: str, column: str, unit: float) -> Classes:
    """Class of the first row whose limit is not passed, class X past the last."""
    limits = tables.load(table)
    most = limits.numbers(column) * unit
    row = np.searchsorted(most + 1e-12 * np.abs(most), np.asarray(value, dtype=np.float64))
    numbers = np.append(limits.numbers("class"), CLASS_X)
    return np.asarray(numbers[row], dtype=np.int64)
