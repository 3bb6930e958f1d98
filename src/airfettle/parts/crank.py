"""The crank: torque around one turn, what the flywheel has to carry, and breaking away from rest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

_LEAST_SPEED = 1e-6
_LEAST_TORQUE = 1e-9
_BLOCK = 16384


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
    """Torque around one turn, gas and inertia apart.

    The last axis is the crank angle: equal steps first, then the angle at which each cylinder's delivery valve opens,
    where the torque has its corner.

    Attributes
    ----------
    angle : ndarray
        Crank angles after the first cylinder's top dead centre. [rad]
    gas_torque : ndarray
        Torque the gas asks of the crank. [N m]
    inertia_torque : ndarray
        Torque of the reciprocating masses over the square of angular speed. [kg m2]
    gas_energy : ndarray
        Work taken by the gas less the mean torque's share, up to a constant. [J]
    inertia_energy : ndarray
        Energy in the reciprocating masses over the square of angular speed. [kg m2]
    mean_torque : ndarray
        Mean over the turn, by the gas alone; no angle axis. [N m]
    """

    angle: NDArray[np.float64]
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
    corners: bool = True,
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
    corners : bool
        Whether the corners, where delivery valves open, are added to the steps. [-]

    Returns
    -------
    TorqueShape
        Torques [N m] and energies [J]; the inertia's over the square of angular speed [kg m2].

    Notes
    -----
    Down stroke p = max(p2 (V3/V)^ne, p1), up stroke p = min(p1 (V1/V)^nc, p2); T = -(p - p_cc) dV/dt and
    m w^2 x' x''.  The energies are integrated in closed form and the corners are among the angles, so that few
    steps do: with 90, excess energy and extreme torques of usual pumps are within 0.5 % of those with 7200.
    Valid: rigid valves, even speed.

    References
    ----------
    [airfettle-equations] (e)
    """
    S, rod = np.asarray(stroke, dtype=np.float64), np.asarray(rod_length, dtype=np.float64)
    k = 0.5 * S / rod
    mass = (np.asarray(reciprocating_mass, dtype=np.float64) * S * S)[..., None]
    gases = [_Gas.of(one, compression_exponent, expansion_exponent, crankcase_pressure) for one in cylinders]
    total: NDArray[np.float64] = sum((gas.turn_work() for gas in gases), np.zeros(()))
    mean = total / (2.0 * np.pi)
    steps = 2.0 * np.pi * np.arange(angles) / angles
    angle, torque, push, work, stored = _around(gases, steps, k, mass, mean)
    if corners:
        opening = [np.mod(gas.opening(k) + gas.phase, 2.0 * np.pi) for gas in gases]
        at_corners = _around(gases, _joined(opening), k, mass, mean)
        pairs = zip((angle, torque, push, work, stored), at_corners, strict=True)
        angle, torque, push, work, stored = (_joined(pair) for pair in pairs)
    return TorqueShape(angle, torque, push, work, stored, mean)


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
    square = w * w
    most, least = _extremes(shape.gas_energy, shape.inertia_energy, square)
    highest, lowest = _extremes(shape.gas_torque, shape.inertia_torque, square)
    excess = most - least
    rubbing = np.asarray(friction_torque, dtype=np.float64)
    mean = np.maximum(shape.mean_torque + rubbing, _LEAST_TORQUE)
    return Fluctuation(
        excess_energy=excess,
        speed_fluctuation=excess / (np.asarray(inertia, dtype=np.float64) * np.maximum(square, _LEAST_SPEED)),
        peak_over_mean=(highest + rubbing) / mean,
        least_over_mean=(lowest + rubbing) / mean,
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
    return np.maximum(peak, 0.0) + np.asarray(friction_torque, dtype=np.float64)


def _extremes(
    gas: NDArray[np.float64], inertia: NDArray[np.float64], square: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return greatest and least of gas + w^2 inertia over the angles, some rows at a time to stay in the cache."""
    shape = np.broadcast_shapes(gas.shape[:-1], inertia.shape[:-1], square.shape)
    if not shape:
        swing = gas + square * inertia
        return np.asarray(np.max(swing)), np.asarray(np.min(swing))
    gas, inertia = (np.broadcast_to(a, shape + a.shape[-1:]) for a in (gas, inertia))
    square = np.broadcast_to(square, shape)[..., None]
    most, least = np.empty(shape), np.empty(shape)
    rows = max(1, _BLOCK * shape[0] // max(1, most.size * gas.shape[-1]))
    for start in range(0, shape[0], rows):
        part = slice(start, start + rows)
        swing = square[part] * inertia[part]
        swing += gas[part]
        np.max(swing, axis=-1, out=most[part])
        np.min(swing, axis=-1, out=least[part])
    return most, least


def _joined(arrays: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
    """Return the arrays joined along their last axis, the others broadcast together."""
    shape = np.broadcast_shapes(*(a.shape[:-1] for a in arrays))
    return np.concatenate([np.broadcast_to(a, shape + a.shape[-1:]) for a in arrays], axis=-1)


def _around(
    gases: Sequence[_Gas],
    theta: NDArray[np.float64],
    k: NDArray[np.float64],
    mass: NDArray[np.float64],
    mean: NDArray[np.float64],
) -> tuple[NDArray[np.float64], ...]:
    """Return angle, gas and inertia torque, gas and inertia energy of all cylinders at some angles."""
    torque, work, push, stored = (np.zeros(theta.shape[-1:]) for _ in range(4))
    for gas in gases:
        own = np.mod(theta - gas.phase, 2.0 * np.pi)
        slider = slider_crank(own, rod_ratio=k)
        own_torque, own_work = gas.around(own, slider)
        torque = torque + own_torque
        work = work + own_work - np.where(theta < gas.phase, gas.turn_work()[..., None], 0.0)
        push = push + slider.velocity * slider.acceleration
        stored = stored + slider.velocity**2
    return theta, torque, mass * push, work - mean[..., None] * theta, 0.5 * mass * stored


@dataclass(frozen=True)
class _Gas:
    """One cylinder; every array ends in an axis for the angle, volumes are over swept volume."""

    swept: NDArray[np.float64]
    clearance: NDArray[np.float64]
    p1: NDArray[np.float64]
    p2: NDArray[np.float64]
    nc: NDArray[np.float64]
    ne: NDArray[np.float64]
    crankcase: NDArray[np.float64]
    phase: float

    @classmethod
    def of(cls, cylinder: Cylinder, nc: ArrayLike, ne: ArrayLike, crankcase: ArrayLike) -> _Gas:
        given = (cylinder.swept_volume, cylinder.clearance, cylinder.suction_pressure, cylinder.discharge_pressure)
        swept, clearance, p1, p2, n, m, case = (
            np.asarray(value, dtype=np.float64)[..., None] for value in (*given, nc, ne, crankcase)
        )
        clearance = np.maximum(clearance, 1e-6)
        highest = p1 * ((1.0 + clearance) / clearance) ** m
        p2 = np.minimum(np.maximum(p2, p1), highest)
        n, m = np.maximum(n, 1.0001), np.maximum(m, 1.0001)
        return cls(swept, clearance, p1, p2, n, m, case, cylinder.phase % (2.0 * np.pi))

    def closing(self) -> NDArray[np.float64]:
        """Return the volume at which the clearance air is back at suction pressure."""
        return self.clearance * (self.p2 / self.p1) ** (1.0 / self.ne)

    def delivering(self) -> NDArray[np.float64]:
        """Return the volume at which the delivery valve opens."""
        return (1.0 + self.clearance) * (self.p2 / self.p1) ** (-1.0 / self.nc)

    def opening(self, rod_ratio: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the angle after top dead centre at which the delivery valve opens, by the law of cosines."""
        travel = np.clip(self.delivering() - self.clearance, 0.0, 1.0)
        rod = 0.5 / np.maximum(rod_ratio, 1e-6)[..., None]
        pin = rod + 0.5 - travel
        cos = (0.25 + (0.5 - travel) * (pin + rod)) / pin
        return 2.0 * np.pi - np.arccos(np.clip(cos, -1.0, 1.0))

    def bottom_work(self) -> NDArray[np.float64]:
        """Return the work from top to bottom dead centre, for unit swept volume."""
        c, end = self.clearance, self.closing()
        gained = (self.p2 * c - self.p1 * end) / (self.ne - 1.0) + self.p1 * (1.0 + c - end)
        return self.crankcase - gained

    def turn_work(self) -> NDArray[np.float64]:
        """Return the work of a whole turn; no angle axis."""
        end, full = self.delivering(), 1.0 + self.clearance
        given = (self.p2 * end - self.p1 * full) / (self.nc - 1.0) + self.p2 * (end - self.clearance)
        total: NDArray[np.float64] = (self.swept * (self.bottom_work() + given - self.crankcase))[..., 0]
        return total

    def around(self, angle: NDArray[np.float64], slider: Slider) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return torque, and work since the cylinder's own top dead centre, at each of its own angles."""
        down = angle < np.pi
        n = np.where(down, self.ne, self.nc)
        base = np.where(down, self.clearance, 1.0 + self.clearance)  # where the polytropic line starts
        start, after = np.where(down, self.p2, self.p1), np.where(down, self.p1, self.p2)
        volume = self.clearance + slider.travel
        on_line = np.where(down, np.minimum(volume, self.closing()), np.maximum(volume, self.delivering()))
        pressure = start * np.exp(n * np.log(base / on_line))
        gained = (start * base - pressure * on_line) / (n - 1.0) + after * (volume - on_line)
        work = np.where(down, 0.0, self.bottom_work()) - gained + self.crankcase * (volume - base)
        return self.swept * (self.crankcase - pressure) * slider.velocity, self.swept * work
