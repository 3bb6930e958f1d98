"""A cylinder with clearance: its cycle, what it takes in, its size and piston speed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

NEAR_ISOTHERMAL = 1.0001
"""An exponent below this is read as this, since the work of a cycle divides by n - 1. [-]"""


@dataclass(frozen=True)
class Cycle:
    """One turn of a cylinder with clearance, for unit suction pressure and unit swept volume.

    Attributes
    ----------
    ratio : ndarray
        Ratio of cylinder pressures reached; less than asked for where clearance cannot reach it. [-]
    admitted : ndarray
        Volume of fresh charge over swept volume, at suction pressure. [-]
    work : ndarray
        Work of one turn over (suction pressure x swept volume). [-]
    temperature_ratio : ndarray
        End of compression over start of compression, ratio^((n_c - 1)/n_c). [-]
    """

    ratio: NDArray[np.float64]
    admitted: NDArray[np.float64]
    work: NDArray[np.float64]
    temperature_ratio: NDArray[np.float64]


def highest_ratio(clearance: ArrayLike, *, expansion_exponent: ArrayLike) -> NDArray[np.float64]:
    """Return the pressure ratio at which a cylinder only breathes its own clearance air.

    Parameters
    ----------
    clearance : array_like
        Clearance volume over swept volume. [-]
    expansion_exponent : array_like
        Exponent of the re-expansion. [-]

    Returns
    -------
    ndarray
        Ratio of absolute cylinder pressures. [-]

    Notes
    -----
    r = ((1 + c)/c)^n.  Valid: c > 0; a clearance under 1e-9 is read as that.

    References
    ----------
    [physics] delivery of the clearance cycle set to zero
    """
    c = np.maximum(np.asarray(clearance, dtype=np.float64), 1e-9)
    out: NDArray[np.float64] = ((1.0 + c) / c) ** np.asarray(expansion_exponent, dtype=np.float64)
    return out


def clearance_cycle(
    pressure_ratio: ArrayLike,
    *,
    clearance: ArrayLike,
    compression_exponent: ArrayLike,
    expansion_exponent: ArrayLike,
) -> Cycle:
    """Return the cycle of one cylinder: compression, delivery, re-expansion of the clearance air, suction.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute cylinder pressures, delivery over suction, at least 1 and at most ``highest_ratio``; the
        caller keeps it there. [-]
    clearance : array_like
        Clearance volume over swept volume. [-]
    compression_exponent, expansion_exponent : array_like
        Polytropic exponents of compression and of re-expansion. [-]

    Returns
    -------
    Cycle
        Admitted volume and work for unit suction pressure and unit swept volume. [-]

    Notes
    -----
    Vad/Vd = 1 + c - c r^(1/ne);
    W/(p1 Vd) = nc/(nc-1) (1+c) (r^((nc-1)/nc) - 1) - ne/(ne-1) c (r - r^(1/ne)).
    Valid: r 2 to 13, dry gas within 3 %; pulsation and valve flutter are left out and cost delivery.
    Near no delivery with n_e above n_c the two terms would give work back; it is then read as 0.

    References
    ----------
    [airfettle-equations] (a)
    """
    r = np.asarray(pressure_ratio, dtype=np.float64)
    c = np.asarray(clearance, dtype=np.float64)
    nc = np.maximum(np.asarray(compression_exponent, dtype=np.float64), NEAR_ISOTHERMAL)
    ne = np.maximum(np.asarray(expansion_exponent, dtype=np.float64), NEAR_ISOTHERMAL)
    log = np.log(r)
    heated = np.exp(log * ((nc - 1.0) / nc))
    expanded = np.exp(log / ne)
    work = (nc / (nc - 1.0) * (1.0 + c)) * (heated - 1.0) - (ne / (ne - 1.0) * c) * (r - expanded)
    admitted = (1.0 + c) - c * expanded
    return Cycle(r, np.maximum(admitted, 0.0), np.maximum(work, 0.0), heated)


def clearance_efficiency(
    pressure_ratio: ArrayLike,
    *,
    clearance: ArrayLike,
    exponent: ArrayLike,
    filling: ArrayLike = 1.0,
    leakage: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Return the volumetric efficiency that clearance leaves, on suction conditions.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute pressures, delivery over suction. [-]
    clearance : array_like
        Clearance volume over swept volume. [-]
    exponent : array_like
        Exponent of the re-expansion. [-]
    filling : array_like
        1 for the bare relation; the handbook form takes 0.97. [-]
    leakage : array_like
        Share lost past rings and valves; the handbook form takes 0.03 with oil, 0.07 without. [-]

    Returns
    -------
    ndarray
        Volume taken in over swept volume, never below 0. [-]

    Notes
    -----
    e = f - c (r^(1/n) - 1) - L.  Valid: steady suction pressure, no heating; reads high for a small hot pump.

    References
    ----------
    [mechanical-handbook] reciprocating compressors
    """
    r = np.asarray(pressure_ratio, dtype=np.float64)
    loss = np.asarray(clearance) * (r ** (1.0 / np.asarray(exponent)) - 1.0)
    out: NDArray[np.float64] = np.maximum(np.asarray(filling) - loss - np.asarray(leakage), 0.0)
    return out


def swept_volume(bore: ArrayLike, *, stroke: ArrayLike, cylinders: ArrayLike = 1) -> NDArray[np.float64]:
    """Return the volume swept in one turn by all cylinders of one stage.

    Parameters
    ----------
    bore, stroke : array_like
        Of one cylinder. [m]
    cylinders : array_like
        Cylinders of this stage; one working face each counts once, a double-acting cylinder twice. [-]

    Returns
    -------
    ndarray
        Volume per revolution. [m3]

    Notes
    -----
    V = (pi/4) B^2 S z.  Valid: exact for single acting; a piston rod takes its share from a second face.

    References
    ----------
    [physics] geometry
    """
    area = np.pi / 4.0 * np.asarray(bore, dtype=np.float64) ** 2
    out: NDArray[np.float64] = area * np.asarray(stroke) * np.asarray(cylinders)
    return out


def bore_for_swept_volume(volume: ArrayLike, *, stroke_over_bore: ArrayLike) -> NDArray[np.float64]:
    """Return the bore of a cylinder of known swept volume and proportions.

    Parameters
    ----------
    volume : array_like
        Swept by one cylinder in one turn. [m3]
    stroke_over_bore : array_like
        Stroke over bore. [-]

    Returns
    -------
    ndarray
        Bore. [m]

    Notes
    -----
    B = (4 V/(pi k))^(1/3).  Valid: exact.

    References
    ----------
    [physics] geometry
    """
    out: NDArray[np.float64] = np.cbrt(4.0 * np.asarray(volume) / (np.pi * np.asarray(stroke_over_bore)))
    return out


def piston_speed(stroke: ArrayLike, *, speed: ArrayLike) -> NDArray[np.float64]:
    """Return the mean speed of the piston.

    Parameters
    ----------
    stroke : array_like
        Stroke. [m]
    speed : array_like
        Crankshaft speed. [1/s]

    Returns
    -------
    ndarray
        Mean speed. [m/s]

    Notes
    -----
    v = 2 S N.  Valid: exact; the greatest speed in the stroke is about 1.6 times this.

    References
    ----------
    [physics] geometry
    """
    out: NDArray[np.float64] = 2.0 * np.asarray(stroke, dtype=np.float64) * np.asarray(speed)
    return out
