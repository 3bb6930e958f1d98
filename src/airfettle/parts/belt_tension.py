"""What a V-belt pulls: strand tensions, load on the shafts, the force that sets it, its life."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownTableEntry

INCH = 0.0254
"""One inch. [m]"""

POUND_FORCE = 4.4482216152605
"""One pound-force. [N]"""

KILO_FOOT_PER_MINUTE = 5.08
"""A thousand feet per minute. [m/s]"""

EFFECTIVE_FRICTION = 0.5123
"""Friction of a V-belt with the wedging of its groove in it. [-]  Source: belt-friction-page."""


@dataclass(frozen=True)
class BeltTensions:
    """Pull in one belt.

    Attributes
    ----------
    centrifugal : ndarray
        Pull from the belt's own mass on the arc. [N]
    difference : ndarray
        Tight less slack: what turns the sheave. [N]
    tight, slack : ndarray
        Largest and smallest pull while running. [N]
    initial : ndarray
        Pull in both strands at rest that just avoids slip. [N]
    """

    centrifugal: NDArray[np.float64]
    difference: NDArray[np.float64]
    tight: NDArray[np.float64]
    slack: NDArray[np.float64]
    initial: NDArray[np.float64]


def _row(section: str) -> dict[str, float]:
    table = tables.load("belt_tension")
    names = table.words("section")
    plain = {"AX": "A", "BX": "B"}.get(section, section)
    if plain not in names:
        raise UnknownTableEntry(read=section, where=table.title, wanted=f"one of: {', '.join(names)}")
    return {name: float(table.numbers(name)[names.index(plain)]) for name in ("Kb", "Kc", "K", "b")}


def belt_mass(*, section: str) -> float:
    """Return the mass of a belt for each length, as its centrifugal parameter implies it.

    Parameters
    ----------
    section : str
        "A", "AX", "B", "BX", "C", "D" or "3V". [text]

    Returns
    -------
    float
        Mass of one belt for each length. [kg/m]

    Raises
    ------
    UnknownTableEntry
        The section is not in the table.

    Notes
    -----
    Fc = Kc (V/1000 ft/min)^2 = m V^2.  Valid: notched belts taken as plain ones, which is slightly high.

    References
    ----------
    [shigley-17] Table 17-16
    """
    return _row(section)["Kc"] * POUND_FORCE / KILO_FOOT_PER_MINUTE**2


def groove_friction(*, friction: ArrayLike, groove_angle: ArrayLike) -> NDArray[np.float64]:
    """Return the effective friction of a belt wedged in its groove.

    Parameters
    ----------
    friction : array_like
        Of rubber on the flank. [-]
    groove_angle : array_like
        Full angle between the flanks. [rad]

    Returns
    -------
    ndarray
        Effective friction. [-]

    Notes
    -----
    mu/sin(angle/2).

    References
    ----------
    [physics] force balance in the groove; [belt-friction-page]
    """
    half = np.asarray(groove_angle, dtype=np.float64) / 2
    out: NDArray[np.float64] = np.asarray(friction, dtype=np.float64) / np.sin(half)
    return out


def tension_ratio(*, wrap_angle: ArrayLike, friction: ArrayLike = EFFECTIVE_FRICTION) -> NDArray[np.float64]:
    """Return the largest ratio of tight to slack pull, centrifugal pull taken off both, before the belt slips.

    Parameters
    ----------
    wrap_angle : array_like
        Arc of contact on the smaller sheave. [rad]
    friction : array_like
        Effective friction in the groove. [-]

    Returns
    -------
    ndarray
        Ratio. [-]

    Notes
    -----
    exp(mu theta).

    References
    ----------
    [physics] belt friction; [belt-friction-page]
    """
    out: NDArray[np.float64] = np.exp(np.asarray(friction, dtype=np.float64) * np.asarray(wrap_angle, dtype=np.float64))
    return out


def belt_tensions(
    *,
    torque: ArrayLike,
    pitch_diameter: ArrayLike,
    speed: ArrayLike,
    belts: ArrayLike,
    mass_per_length: ArrayLike,
    tension_ratio: ArrayLike,
) -> BeltTensions:
    """Return the pull in each strand of each belt at the edge of slip.

    Parameters
    ----------
    torque : array_like
        Torque of the smaller sheave, service factor included. [N m]
    pitch_diameter : array_like
        Of the smaller sheave. [m]
    speed : array_like
        Of the smaller sheave. [rev/s]
    belts : array_like
        Belts that share the torque. [-]
    mass_per_length : array_like
        Of one belt, see `belt_mass`. [kg/m]
    tension_ratio : array_like
        See `tension_ratio`; above one. [-]

    Returns
    -------
    BeltTensions
        Pull in one belt. [N]

    Notes
    -----
    Fc = m V^2; dF = 2 T/(N d); F1 = Fc + dF e/(e - 1); F2 = F1 - dF; Fi = (F1 + F2)/2 - Fc.  Valid: equal belts;
    a piston pump's peaks of torque are covered by the service factor only.

    References
    ----------
    [shigley-17] eq. 17-18 to 17-27
    """
    d = np.asarray(pitch_diameter, dtype=np.float64)
    e = np.asarray(tension_ratio, dtype=np.float64)
    rim = np.pi * d * np.asarray(speed, dtype=np.float64)
    centrifugal = np.asarray(mass_per_length, dtype=np.float64) * rim**2
    difference = 2 * np.asarray(torque, dtype=np.float64) / (np.asarray(belts, dtype=np.float64) * d)
    tight = centrifugal + difference * e / (e - 1)
    slack = tight - difference
    return BeltTensions(centrifugal, difference, tight, slack, (tight + slack) / 2 - centrifugal)


def shaft_load(*, tight: ArrayLike, slack: ArrayLike, wrap_angle: ArrayLike, belts: ArrayLike) -> NDArray[np.float64]:
    """Return the side pull on a shaft from the strands of its belts.

    Parameters
    ----------
    tight, slack : array_like
        Pull in the two strands of one belt, centrifugal pull taken off; both the same at rest. [N]
    wrap_angle : array_like
        Arc of contact on this shaft's sheave. [rad]
    belts : array_like
        Number of belts. [-]

    Returns
    -------
    ndarray
        Resultant force. [N]

    Notes
    -----
    N sqrt(F1^2 + F2^2 - 2 F1 F2 cos theta).

    References
    ----------
    [physics] sum of two vectors
    """
    F1, F2 = np.asarray(tight, dtype=np.float64), np.asarray(slack, dtype=np.float64)
    square = F1**2 + F2**2 - 2 * F1 * F2 * np.cos(np.asarray(wrap_angle, dtype=np.float64))
    out: NDArray[np.float64] = np.asarray(belts, dtype=np.float64) * np.sqrt(np.maximum(square, 0))
    return out


def overhung_load(*, torque: ArrayLike, pitch_diameter: ArrayLike, factor: ArrayLike = 1.5) -> NDArray[np.float64]:
    """Return the side load on a shaft by the catalogue rule, before belts are chosen.

    Parameters
    ----------
    torque : array_like
        Torque of the shaft. [N m]
    pitch_diameter : array_like
        Of its sheave. [m]
    factor : array_like
        1.5 for V-belts. [-]

    Returns
    -------
    ndarray
        Overhung load. [N]

    Notes
    -----
    2 T K/D.  Valid: belts no tighter than they need; an overtight belt loads the shaft more.

    References
    ----------
    [belt-catalogue-factors] overhung load
    """
    pull = 2 * np.asarray(torque, dtype=np.float64) / np.asarray(pitch_diameter, dtype=np.float64)
    return pull * np.asarray(factor, dtype=np.float64)


def deflection_force(
    *,
    initial: ArrayLike,
    span_length: ArrayLike,
    belt_length: ArrayLike,
    elastic_force: ArrayLike = 0.0,
    deflection: ArrayLike = 1 / 64,
) -> NDArray[np.float64]:
    """Return the force at mid-span that shows a belt's tension.

    Parameters
    ----------
    initial : array_like
        Wanted pull in a strand at rest. [N]
    span_length : array_like
        Free length of the strand. [m]
    belt_length : array_like
        Length of the belt. [m]
    elastic_force : array_like
        Pull for a stretch of 100 %, zero if unknown. [N]
    deflection : array_like
        Sag at mid-span over span length. [-]

    Returns
    -------
    ndarray
        Force on one belt. [N]

    Notes
    -----
    4 q (F + E 2 q^2 t/L), q the deflection, t the span: at q = 1/64 the first term is F/16.  Valid: slender belt;
    bending stiffness left out, so a short thick belt needs more.

    References
    ----------
    [physics] string pressed at its middle; [narrow-groove-guide] prints forces for the same deflection
    """
    q = np.asarray(deflection, dtype=np.float64)
    share = np.asarray(span_length, dtype=np.float64) / np.asarray(belt_length, dtype=np.float64)
    stretched = np.asarray(elastic_force, dtype=np.float64) * 2 * q**2 * share
    return 4 * q * (np.asarray(initial, dtype=np.float64) + stretched)


def belt_life(
    *,
    tight: ArrayLike,
    small_pitch: ArrayLike,
    large_pitch: ArrayLike,
    belt_length: ArrayLike,
    belt_speed: ArrayLike,
    section: str,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the passes and the time a belt lasts by its pull and its bending.

    Parameters
    ----------
    tight : array_like
        Largest pull while running. [N]
    small_pitch, large_pitch : array_like
        Pitch diameters of the sheaves. [m]
    belt_length : array_like
        Pitch length. [m]
    belt_speed : array_like
        Speed of the belt. [m/s]
    section : str
        "A", "B", "C", "D" or "3V". [text]

    Returns
    -------
    tuple of ndarray
        Passes over both sheaves [-] and time [s]; the time of a belt at rest counts its speed as 1 mm/s.

    Raises
    ------
    UnknownTableEntry
        The section is not in the table.

    Notes
    -----
    T1 = F1 + Kb/d, T2 = F1 + Kb/D, Np = 1/[(K/T1)^-b + (K/T2)^-b], t = Np L/V.  Valid: 1e8 to 1e9 passes; beyond,
    the source only claims "more than 1e9".

    References
    ----------
    [shigley-17] eq. 17-27 and 17-28, Table 17-17
    """
    row = _row(section)
    strain = row["Kb"] * POUND_FORCE * INCH
    F1 = np.asarray(tight, dtype=np.float64)
    peaks = (F1 + strain / np.asarray(x, dtype=np.float64) for x in (small_pitch, large_pitch))
    wear = sum(((peak / (row["K"] * POUND_FORCE)) ** row["b"] for peak in peaks), start=np.float64(0.0))
    passes: NDArray[np.float64] = np.asarray(1 / wear, dtype=np.float64)
    speed = np.maximum(np.asarray(belt_speed, dtype=np.float64), 1e-3)
    return passes, passes * np.asarray(belt_length, dtype=np.float64) / speed
