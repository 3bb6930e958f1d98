"""The crank: torque around one turn, what the flywheel has to carry, and breaking away from rest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

_LEAST_SPEED = 1e-6
_LEAST_TORQUE = 1e-9


@dataclass(frozen=True)
class Cylinder:
    """One cylinder on the crank.

    Attributes
    ----------
    swept_volume : array_like
        Of this cylinder alone. [m3]
    clearance : array_like
        Clearance volume over swept volume. [-]
    suction_pressure, discharge_pressure : array_like
        Absolute pressures inside it, during suction and delivery. [Pa]
    phase : float
        Crank angle by which its top dead centre comes after the first cylinder's. [rad]
    """

    swept_volume: ArrayLike
    clearance: ArrayLike
    suction_pressure: ArrayLike
    discharge_pressure: ArrayLike
    phase: float


@dataclass(frozen=True)
class TorqueShape:
    """Torque around one turn, gas and inertia apart; the last axis of the shapes is the crank angle.

    Attributes
    ----------
    gas_torque : ndarray
        Torque the gas asks of the crank. [N m]
    inertia_torque : ndarray
        Torque of the reciprocating masses over the square of angular speed. [kg m2]
    gas_energy : ndarray
        Work taken by the gas since the start of the turn, less the mean torque's share. [J]
    inertia_energy : ndarray
        Energy in the reciprocating masses over the square of angular speed. [kg m2]
    mean_torque : ndarray
        Mean over the turn, by the gas alone; no angle axis. [N m]
    """

    gas_torque: NDArray[np.float64]
    inertia_torque: NDArray[np.float64]
    gas_energy: NDArray[np.float64]
    inertia_energy: NDArray[np.float64]
    mean_torque: NDArray[np.float64]


@dataclass(frozen=True)
class Fluctuation:
    """How unevenly a crank turns.

    Attributes
    ----------
    excess_energy : ndarray
        Greatest less least of the energy the flywheel lends in a turn. [J]
    speed_fluctuation : ndarray
        Greatest less least speed over mean speed. [-]
    peak_over_mean, least_over_mean : ndarray
        Torque of the crank, extremes over mean. [-]
    """

    excess_energy: NDArray[np.float64]
    speed_fluctuation: NDArray[np.float64]
    peak_over_mean: NDArray[np.float64]
    least_over_mean: NDArray[np.float64]


@dataclass(frozen=True)
class Slider:
    """A slider-crank of unit stroke, at some angles after top dead centre; the last axis is the angle.

    Attributes
    ----------
    travel : ndarray
        Distance from top dead centre over stroke. [-]
    velocity : ndarray
        Its derivative with angle. [-]
    acceleration : ndarray
        Its second derivative with angle. [-]
    """

    travel: NDArray[np.float64]
    velocity: NDArray[np.float64]
    acceleration: NDArray[np.float64]


def slider_crank(angle: ArrayLike, *, rod_ratio: ArrayLike) -> Slider:
    """Return the motion of a piston on crank and rod.

    Parameters
    ----------
    angle : array_like
        Crank angles after top dead centre, one axis. [rad]
    rod_ratio : array_like
        Crank radius over rod length, l = r/L; gains the angle axis at its end. [-]

    Returns
    -------
    Slider
        Travel and its derivatives with angle, for unit stroke. [-]

    Notes
    -----
    s = sqrt(1 - l^2 sin^2); x/r = 1 - cos + (1 - s)/l; x'/r = sin (1 + l cos/s);
    x''/r = cos + l cos 2t/s + (l^3 sin^2 2t/4)/s^3.  Valid: pin in line with the crank, l under 0.5.

    References
    ----------
    [airfettle-equations] (e)
    """
    t = np.asarray(angle, dtype=np.float64)
    k = np.asarray(rod_ratio, dtype=np.float64)[..., None]
    sin, cos = np.sin(t), np.cos(t)
    s = np.sqrt(1.0 - (k * sin) ** 2)
    # (1 - s)/k, written so that an endless rod (k = 0) gives 0
    travel = (1.0 - cos) + k * sin * sin / (1.0 + s)
    velocity = sin * (1.0 + k * cos / s)
    acceleration = cos + k * np.cos(2.0 * t) / s + (0.25 * k**3) * np.sin(2.0 * t) ** 2 / s**3
    return Slider(0.5 * travel, 0.5 * velocity, 0.5 * acceleration)


def phases(bank_angles: Sequence[float], *, pin_angles: Sequence[float]) -> tuple[float, ...]:
    """Return by how much each cylinder reaches top dead centre after the first one.

    Parameters
    ----------
    bank_angles : sequence of float
        Each cylinder's axis, in the sense of rotation. [rad]
    pin_angles : sequence of float
        Each cylinder's crank pin, in the sense of rotation. [rad]

    Returns
    -------
    tuple of float
        Phases, 0 to 2 pi. [rad]

    Notes
    -----
    A parallel twin with opposed pins: 0 and pi.  A V-twin on one pin: 0 and the angle of the V.

    References
    ----------
    [physics] geometry
    """
    lags = [bank - pin for bank, pin in zip(bank_angles, pin_angles, strict=True)]
    return tuple((lag - lags[0]) % (2.0 * np.pi) for lag in lags)


LAYOUTS: dict[str, tuple[float, ...]] = {
    "single": (0.0,),
    "parallel twin": phases((0.0, 0.0), pin_angles=(0.0, np.pi)),
    "parallel twin in step": (0.0, 0.0),
    "V-twin": phases((0.0, np.pi / 2), pin_angles=(0.0, 0.0)),
    "W-three": phases((-np.pi / 3, 0.0, np.pi / 3), pin_angles=(0.0, 0.0, 0.0)),
    "inline three": phases((0.0, 0.0, 0.0), pin_angles=(0.0, 2 * np.pi / 3, 4 * np.pi / 3)),
    "V-four": phases((0.0, np.pi / 2, 0.0, np.pi / 2), pin_angles=(0.0, 0.0, np.pi, np.pi)),
}
"""Phases of common pumps, in the order of their cylinders. [rad]"""


def torque_shape(
    cylinders: Sequence[Cylinder],
    *,
    stroke: ArrayLike,
    rod_length: ArrayLike,
    reciprocating_mass: ArrayLike,
    compression_exponent: ArrayLike,
    expansion_exponent: ArrayLike,
    crankcase_pressure: ArrayLike,
    angles: int = 90,
) -> TorqueShape:
    """Return the torque of all cylinders around one turn, gas and inertia apart.

    Parameters
    ----------
    cylinders : sequence of Cylinder
        Each with its own size, pressures and phase. [-]
    stroke, rod_length : array_like
        Of the crank and of the rod between its centres. [m]
    reciprocating_mass : array_like
        Piston, pin and the rod's upper part, for each cylinder. [kg]
    compression_exponent, expansion_exponent : array_like
        Polytropic exponents. [-]
    crankcase_pressure : array_like
        Absolute pressure under the pistons. [Pa]
    angles : int
        Number of equal steps in a turn. [-]

    Returns
    -------
    TorqueShape
        Torques [N m] and energies [J]; the inertia's over the square of angular speed [kg m2].

    Notes
    -----
    Down stroke p = max(p2 (V3/V)^ne, p1), up stroke p = min(p1 (V1/V)^nc, p2); T = -(p - p_cc) dV/dt and
    m w^2 x' x''.  The energies are integrated in closed form, so that few angles lose only the exact place of a peak:
    with 90, excess energy within 0.1 % and peak torque within 1 % of 7200.  Valid: rigid valves, even speed.

    References
    ----------
    [airfettle-equations] (e)
    """
    theta = 2.0 * np.pi * np.arange(angles) / angles
    S, rod = np.asarray(stroke, dtype=np.float64), np.asarray(rod_length, dtype=np.float64)
    k = 0.5 * S / rod
    mass = (np.asarray(reciprocating_mass) * S * S)[..., None]
    torque: NDArray[np.float64] = np.zeros(angles)
    work, inertia_torque, inertia_energy = torque, torque, torque
    total: NDArray[np.float64] = np.zeros(())
    for cylinder in cylinders:
        own = np.mod(theta - cylinder.phase, 2.0 * np.pi)
        gas = _Gas.of(cylinder, compression_exponent, expansion_exponent, crankcase_pressure)
        slider = slider_crank(own, rod_ratio=k)
        own_torque, own_work, turn = gas.around(own, slider)
        torque, work, total = torque + own_torque, work + own_work, total + turn
        inertia_torque = inertia_torque + mass * slider.velocity * slider.acceleration
        inertia_energy = inertia_energy + 0.5 * mass * slider.velocity**2
    mean = total / (2.0 * np.pi)
    return TorqueShape(
        gas_torque=torque,
        inertia_torque=inertia_torque,
        gas_energy=work - mean[..., None] * theta,
        inertia_energy=inertia_energy,
        mean_torque=mean,
    )


def fluctuation(
    shape: TorqueShape, *, speed: ArrayLike, inertia: ArrayLike, friction_torque: ArrayLike = 0.0
) -> Fluctuation:
    """Return how far torque and speed swing around a turn.

    Parameters
    ----------
    shape : TorqueShape
        Torque around the turn. [-]
    speed : array_like
        Mean crankshaft speed. [1/s]
    inertia : array_like
        Flywheel and what turns with it, referred to the crankshaft. [kg m2]
    friction_torque : array_like
        Steady torque of friction, added to the mean and to the extremes. [N m]

    Returns
    -------
    Fluctuation
        Energy [J] and shares [-].

    Notes
    -----
    E = E_gas + w^2 E_inertia; dE = max E - min E; C_s = dE/(I w^2).  Valid: C_s under 0.2, since the torque is taken
    at even speed; a stiff belt adds the rotor's inertia, a slack one does not.  At standstill C_s is only kept finite.

    References
    ----------
    [airfettle-equations] (e)
    """
    w = 2.0 * np.pi * np.asarray(speed, dtype=np.float64)
    square = (w * w)[..., None]
    energy = shape.gas_energy + square * shape.inertia_energy
    excess = np.max(energy, axis=-1) - np.min(energy, axis=-1)
    torque = shape.gas_torque + square * shape.inertia_torque
    rubbing = np.asarray(friction_torque, dtype=np.float64)
    mean = np.maximum(shape.mean_torque + rubbing, _LEAST_TORQUE)
    return Fluctuation(
        excess_energy=excess,
        speed_fluctuation=excess / (np.asarray(inertia) * np.maximum(w * w, _LEAST_SPEED)),
        peak_over_mean=(np.max(torque, axis=-1) + rubbing) / mean,
        least_over_mean=(np.min(torque, axis=-1) + rubbing) / mean,
    )


def break_away_torque(shape: TorqueShape, *, friction_torque: ArrayLike) -> NDArray[np.float64]:
    """Return the torque that turns a standing pump through its first turn from the worst place.

    Parameters
    ----------
    shape : TorqueShape
        Of cylinders between their standing pressures: intake and receiver (or interstage) for a loaded head, intake
        on both sides for an unloaded one. [-]
    friction_torque : array_like
        Of static friction, cold oil included. [N m]

    Returns
    -------
    ndarray
        Torque. [N m]

    Notes
    -----
    max over the turn of the gas torque, plus friction.  Valid: delivery valves tight.  With a leaking one a cylinder
    can stand full of receiver air and ask more than this.

    References
    ----------
    [airfettle-equations] (e)
    """
    peak: NDArray[np.float64] = np.max(shape.gas_torque, axis=-1)
    return np.maximum(peak, 0.0) + np.asarray(friction_torque)


def speed_fluctuation_inertia(
    excess_energy: ArrayLike, *, speed: ArrayLike, speed_fluctuation: ArrayLike
) -> NDArray[np.float64]:
    """Return the flywheel inertia that holds the speed within a wanted fluctuation.

    Parameters
    ----------
    excess_energy : array_like
        Greatest less least of the energy lent in a turn. [J]
    speed : array_like
        Mean crankshaft speed. [1/s]
    speed_fluctuation : array_like
        Greatest less least speed over mean speed. [-]

    Returns
    -------
    ndarray
        Moment of inertia at the crankshaft. [kg m2]

    Notes
    -----
    I = dE/(C_s w^2).  Valid: as ``fluctuation``.

    References
    ----------
    [airfettle-equations] (e)
    """
    w = 2.0 * np.pi * np.asarray(speed, dtype=np.float64)
    return np.asarray(excess_energy) / (np.asarray(speed_fluctuation) * w * w)


@dataclass(frozen=True)
class _Gas:
    """One cylinder's pressures and volumes; every array ends in an axis for the angle."""

    swept: NDArray[np.float64]
    clearance: NDArray[np.float64]
    p1: NDArray[np.float64]
    p2: NDArray[np.float64]
    nc: NDArray[np.float64]
    ne: NDArray[np.float64]
    crankcase: NDArray[np.float64]

    @classmethod
    def of(cls, cylinder: Cylinder, nc: ArrayLike, ne: ArrayLike, crankcase: ArrayLike) -> _Gas:
        swept, clearance, p1, p2, n, m, case = (
            np.asarray(value, dtype=np.float64)[..., None]
            for value in (
                cylinder.swept_volume,
                cylinder.clearance,
                cylinder.suction_pressure,
                cylinder.discharge_pressure,
                nc,
                ne,
                crankcase,
            )
        )
        clearance = np.maximum(clearance, 1e-6)
        highest = p1 * ((1.0 + clearance) / clearance) ** m
        return cls(swept, clearance, p1, np.minimum(np.maximum(p2, p1), highest), n, m, case)

    def around(
        self, angle: NDArray[np.float64], slider: Slider
    ) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """Return torque and work since the turn's start at each angle, and the work of a whole turn."""
        volume = self.clearance + slider.travel
        full = 1.0 + self.clearance
        down = angle < np.pi
        pressure, work = np.empty(self._shape(volume)), np.empty(self._shape(volume))
        pressure[..., down], work[..., down] = self._sucking(volume[..., down])
        bottom = self._sucking(full)[1]
        up_pressure, pressing = self._pressing(volume[..., ~down])
        pressure[..., ~down], work[..., ~down] = up_pressure, bottom + pressing
        turn = (bottom + self._pressing(self.clearance)[1])[..., 0] * self.swept[..., 0]
        torque = -self.swept * (pressure - self.crankcase) * slider.velocity
        work = self.swept * work
        # angles before this cylinder's first top dead centre belong to its turn before
        start = work[..., :1]
        early = np.arange(angle.size) < np.argmin(angle)
        return torque, np.where(early, work, work + turn[..., None]) - start, turn

    def _shape(self, volume: NDArray[np.float64]) -> tuple[int, ...]:
        return np.broadcast_shapes(volume.shape, self.p1.shape, self.p2.shape, self.nc.shape, self.ne.shape)

    def _sucking(self, volume: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return pressure, and work since top dead centre for unit swept volume, on the way down."""
        c, p1, p2, m = self.clearance, self.p1, self.p2, np.maximum(self.ne, 1.0001)
        end = c * np.exp(np.log(p2 / p1) / m)
        expanding = np.minimum(volume, end)
        p = p2 * np.exp(m * np.log(c / expanding))
        gained = (p2 * c - p * expanding) / (m - 1.0) + p1 * (volume - expanding)
        return p, self.crankcase * (volume - c) - gained

    def _pressing(self, volume: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return pressure, and work since bottom dead centre for unit swept volume, on the way up."""
        full, p1, p2, n = 1.0 + self.clearance, self.p1, self.p2, np.maximum(self.nc, 1.0001)
        end = full * np.exp(-np.log(p2 / p1) / n)
        compressing = np.maximum(volume, end)
        p = p1 * np.exp(n * np.log(full / compressing))
        given = (p * compressing - p1 * full) / (n - 1.0) + p2 * (compressing - volume)
        return p, given - self.crankcase * (full - volume)
