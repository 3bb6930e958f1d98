"""Receiver as a pressure vessel: wall, stored energy, class in law, and water that a drain cannot reach."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.air.constants import KAPPA, STANDARD_PRESSURE
from airfettle.errors import UnknownTableEntry, UnsuitableNumbers

BAR_LITRE = 100.0
"""One bar times one litre. [J]"""


def _strength(
    allowable_stress: ArrayLike, joint_efficiency: ArrayLike, gauge: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return stress times joint efficiency, refused where the thin-wall formulas end."""
    SE = np.asarray(allowable_stress, dtype=np.float64) * np.asarray(joint_efficiency, dtype=np.float64)
    if np.any(gauge > 0.385 * SE):
        raise UnsuitableNumbers(
            read="a pressure above 0.385 of stress times joint efficiency", wanted="a thin-walled vessel"
        )
    return SE


def required_wall(
    *,
    gauge_pressure: ArrayLike,
    inside_radius: ArrayLike,
    allowable_stress: ArrayLike,
    joint_efficiency: ArrayLike,
) -> NDArray[np.float64]:
    """Return the shell thickness a pressure asks for, from the inside radius: information, never an approval.

    Parameters
    ----------
    gauge_pressure : array_like
        Gauge pressure on the plate. [Pa]
    inside_radius : array_like
        Half the inside diameter. [m]
    allowable_stress : array_like
        Of the plate at its temperature. [Pa]
    joint_efficiency : array_like
        Of the long seam; 0.70 where it was not X-rayed. [-]

    Returns
    -------
    ndarray
        Thickness without corrosion allowance. [m]

    Raises
    ------
    UnsuitableNumbers
        Pressure above 0.385 S E, where the formula ends.

    Notes
    -----
    P R/(S E - 0.6 P).  Valid: long-seam stress of a thin cylinder; pits, cracks, nozzles and dents are not in it.

    References
    ----------
    [asme-viii-1-ug-27] UG-27(c)(1)
    """
    P = np.asarray(gauge_pressure, dtype=np.float64)
    SE = _strength(allowable_stress, joint_efficiency, P)
    return P * np.asarray(inside_radius, dtype=np.float64) / (SE - 0.6 * P)


def required_wall_outside(
    *,
    gauge_pressure: ArrayLike,
    outside_radius: ArrayLike,
    allowable_stress: ArrayLike,
    joint_efficiency: ArrayLike,
) -> NDArray[np.float64]:
    """Return the shell thickness a pressure asks for, from the outside radius that a tape can measure.

    Parameters
    ----------
    gauge_pressure : array_like
        Gauge pressure on the plate. [Pa]
    outside_radius : array_like
        Girth over 2 pi. [m]
    allowable_stress : array_like
        Of the plate at its temperature. [Pa]
    joint_efficiency : array_like
        Of the long seam. [-]

    Returns
    -------
    ndarray
        Thickness without corrosion allowance. [m]

    Raises
    ------
    UnsuitableNumbers
        Pressure above 0.385 S E, where the formula ends.

    Notes
    -----
    P Ro/(S E + 0.4 P).  Valid: as `required_wall`, with which it agrees for Ro = R + t.

    References
    ----------
    [asme-viii-1-ug-27] Appendix 1-1
    """
    P = np.asarray(gauge_pressure, dtype=np.float64)
    SE = _strength(allowable_stress, joint_efficiency, P)
    return P * np.asarray(outside_radius, dtype=np.float64) / (SE + 0.4 * P)


def required_head(
    *,
    gauge_pressure: ArrayLike,
    inside_diameter: ArrayLike,
    allowable_stress: ArrayLike,
    joint_efficiency: ArrayLike,
) -> NDArray[np.float64]:
    """Return the thickness a pressure asks of a 2:1 ellipsoidal head.

    Parameters
    ----------
    gauge_pressure : array_like
        Gauge pressure on the plate, on the hollow side. [Pa]
    inside_diameter : array_like
        Of the head's skirt. [m]
    allowable_stress : array_like
        Of the head at its temperature. [Pa]
    joint_efficiency : array_like
        Of any seam in the head. [-]

    Returns
    -------
    ndarray
        Thickness without corrosion allowance. [m]

    Raises
    ------
    UnsuitableNumbers
        Pressure above 0.385 S E.

    Notes
    -----
    P D/(2 S E - 0.2 P).  Valid: 2:1 ellipsoidal; a flatter dished head needs more.

    References
    ----------
    [asme-viii-1-ug-27] UG-32(d)
    """
    P = np.asarray(gauge_pressure, dtype=np.float64)
    SE = _strength(allowable_stress, joint_efficiency, P)
    return P * np.asarray(inside_diameter, dtype=np.float64) / (2 * SE - 0.2 * P)


def pressure_for_wall(
    *,
    thickness: ArrayLike,
    inside_radius: ArrayLike,
    allowable_stress: ArrayLike,
    joint_efficiency: ArrayLike,
) -> NDArray[np.float64]:
    """Return the gauge pressure at which a measured shell is just as thick as the formula asks.

    Parameters
    ----------
    thickness : array_like
        Thinnest reading, less what will still corrode. [m]
    inside_radius : array_like
        Half the inside diameter. [m]
    allowable_stress : array_like
        Of the plate at its temperature. [Pa]
    joint_efficiency : array_like
        Of the long seam. [-]

    Returns
    -------
    ndarray
        Gauge pressure; the plate still rules where it says less. [Pa]

    Notes
    -----
    S E t/(R + 0.6 t).  Valid: as `required_wall`.

    References
    ----------
    [asme-viii-1-ug-27] UG-27(c)(1) solved for P
    """
    SE = np.asarray(allowable_stress, dtype=np.float64) * np.asarray(joint_efficiency, dtype=np.float64)
    t = np.asarray(thickness, dtype=np.float64)
    return SE * t / (np.asarray(inside_radius, dtype=np.float64) + 0.6 * t)


def isentropic_energy(
    *, volume: ArrayLike, pressure: ArrayLike, pressure_room: ArrayLike = STANDARD_PRESSURE
) -> NDArray[np.float64]:
    """Return the energy a burst sets free, by isentropic expansion.

    Parameters
    ----------
    volume : array_like
        Water volume. [m3]
    pressure, pressure_room : array_like
        Absolute pressures. [Pa]

    Returns
    -------
    ndarray
        Energy; say "isentropic" beside it. [J]

    Notes
    -----
    p V/(k - 1) [1 - (p0/p)^((k-1)/k)].  Valid: ideal gas; `brode_energy` names a higher figure for the same tank.

    References
    ----------
    [stored-energy] isentropic form
    """
    p, p0 = np.asarray(pressure, dtype=np.float64), np.asarray(pressure_room, dtype=np.float64)
    kept = (p0 / p) ** ((KAPPA - 1) / KAPPA)
    out: NDArray[np.float64] = p * np.asarray(volume, dtype=np.float64) / (KAPPA - 1) * (1 - kept)
    return out


def brode_energy(
    *, volume: ArrayLike, pressure: ArrayLike, pressure_room: ArrayLike = STANDARD_PRESSURE
) -> NDArray[np.float64]:
    """Return the energy of a burst by the constant-volume formula.

    Parameters
    ----------
    volume : array_like
        Water volume. [m3]
    pressure, pressure_room : array_like
        Absolute pressures. [Pa]

    Returns
    -------
    ndarray
        Energy; say "Brode" beside it. [J]

    Notes
    -----
    (p - p0) V/(k - 1).  Valid: heat needed to raise the gas at constant volume, above what an expansion gives.

    References
    ----------
    [stored-energy] constant-volume form
    """
    rise = np.asarray(pressure, dtype=np.float64) - np.asarray(pressure_room, dtype=np.float64)
    return rise * np.asarray(volume, dtype=np.float64) / (KAPPA - 1)


def pressure_volume_class(*, volume: ArrayLike, gauge_pressure: ArrayLike, place: str) -> NDArray[np.int64]:
    """Return the row of the class table a receiver falls in.

    Parameters
    ----------
    volume : array_like
        Water volume. [m3]
    gauge_pressure : array_like
        Highest gauge pressure. [Pa]
    place : str
        "EU" or "UK in service". [text]

    Returns
    -------
    ndarray of int
        Row of `vessel_classes`, whose column "meaning" says it in words. [-]

    Raises
    ------
    UnknownTableEntry
        No classes are known for the place.

    Notes
    -----
    Valid: air, steel, above 0.5 bar gauge; other limits of pressure and volume apart from their product exist.

    References
    ----------
    [vessel-law]
    """
    table = tables.load("vessel_classes")
    rows = np.flatnonzero(np.array(table.words("place")) == place)
    if not rows.size:
        wanted = ", ".join(dict.fromkeys(table.words("place")))
        raise UnknownTableEntry(read=place, where=table.title, wanted=f"one of: {wanted}")
    product = np.asarray(volume, dtype=np.float64) * np.asarray(gauge_pressure, dtype=np.float64) / BAR_LITRE
    above = np.searchsorted(table.numbers("product from")[rows], product, side="left") - 1
    out: NDArray[np.int64] = rows[np.maximum(above, 0)]
    return out


def drain_height(*, inside_diameter: ArrayLike, angle: ArrayLike) -> NDArray[np.float64]:
    """Return how far a drain port stands above the lowest point after a lying tank was turned.

    Parameters
    ----------
    inside_diameter : array_like
        Of the shell. [m]
    angle : array_like
        Between the port and straight down. [rad]

    Returns
    -------
    ndarray
        Height of the water that stays below the port. [m]

    Notes
    -----
    D/2 (1 - cos angle).  Valid: level tank; a slope away from the port leaves more.

    References
    ----------
    [physics] geometry of a circle
    """
    r = np.asarray(inside_diameter, dtype=np.float64) / 2
    out: NDArray[np.float64] = r * (1 - np.cos(np.asarray(angle, dtype=np.float64)))
    return out


def trapped_water(
    *,
    inside_diameter: ArrayLike,
    shell_length: ArrayLike,
    depth: ArrayLike,
    head_depth: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Return the volume of water that lies in a horizontal receiver.

    Parameters
    ----------
    inside_diameter : array_like
        Of the shell. [m]
    shell_length : array_like
        Straight part between the heads. [m]
    depth : array_like
        Height of the water above the lowest point. [m]
    head_depth : array_like
        Of each ellipsoidal head, a quarter of the diameter for 2:1; zero for flat ends. [m]

    Returns
    -------
    ndarray
        Volume. [m3]

    Notes
    -----
    D^2/4 [2 asin(sqrt x) - 2 (1 - 2 x) sqrt(x (1 - x))] L + pi/3 D^2 e x^2 (3 - 2 x), x = h/D, e the head's depth, both
    heads together.  Valid: level tank.

    References
    ----------
    [physics] geometry of cylinder and ellipsoid
    """
    D = np.asarray(inside_diameter, dtype=np.float64)
    x = np.clip(np.asarray(depth, dtype=np.float64) / D, 0, 1)
    segment = D**2 / 4 * (2 * np.arcsin(np.sqrt(x)) - 2 * (1 - 2 * x) * np.sqrt(x * (1 - x)))
    heads = np.pi / 3 * D**2 * np.asarray(head_depth, dtype=np.float64) * x**2 * (3 - 2 * x)
    out: NDArray[np.float64] = segment * np.asarray(shell_length, dtype=np.float64) + heads
    return out
