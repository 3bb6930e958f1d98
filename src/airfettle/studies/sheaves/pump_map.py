"""The pump by its own speed: torque and power at cut-in and cut-out, row by row, whatever turns it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from airfettle.studies.completion.whole import PlantNumbers, TrainNumbers
from airfettle.studies.instant.whole import instant

Array = NDArray[np.float64]

NARROW, WIDE = 2, 7
"""Speeds rated where the wanted speed is set by the hertz, and where every sheave has its own. [-]"""
SETTLED = 1e-5
"""Relative change between passes at which the rated speeds are settled. [-]"""


@dataclass(frozen=True)
class PumpMap:
    """A pump over its speed, at cut-in and cut-out; rows first.

    Attributes
    ----------
    lowest, highest : float
        Speeds between which it was rated; beyond them the torque of the nearer end is taken. [1/s]
    torque : ndarray
        Chebyshev coefficients of the pump's mean torque, shape (order, draw, 1, 2). [N m]
    excess : ndarray
        The same of the energy the flywheel takes up in a turn. [J]
    power, supply_current, motor_current : ndarray
        At the highest of those speeds and the heavier pressure, shape (draw, 1, 1): shaft power, and the currents it
        asks for, near to those of any sheave. [W] [A] [A]
    other_current : ndarray
        Of other trains in the same supply wires. [A]
    """

    lowest: float
    highest: float
    torque: Array
    excess: Array
    power: Array
    supply_current: Array
    motor_current: Array
    other_current: Array

    def torques(self, speed: Array) -> tuple[Array, Array]:
        """Return the pump's torque at a speed, shape (draw, sheave, 1): the lighter pressure, and the heavier. [N m]"""
        place = self._place(speed)
        ends = [_value(self.torque[..., i : i + 1], place) for i in range(self.torque.shape[-1])]
        return np.minimum(*ends), np.maximum(*ends)

    def excess_energy(self, speed: Array) -> Array:
        """Return the energy the flywheel takes up in a turn, at the worse of both pressures. [J]"""
        place = self._place(speed)
        ends = [_value(self.excess[..., i : i + 1], place) for i in range(self.excess.shape[-1])]
        return np.maximum(*ends)

    def _place(self, speed: Array) -> Array:
        middle, half = 0.5 * (self.highest + self.lowest), 0.5 * (self.highest - self.lowest)
        return np.asarray(np.clip((speed - middle) / half, -1.0, 1.0))


def pump_map(numbers: PlantNumbers, *, place: int, lowest: float, highest: float, speeds: int = NARROW) -> PumpMap:
    """Return a train's pump over its speed.

    Parameters
    ----------
    numbers : PlantNumbers
        The plant, its gaps filled. [SI]
    place : int
        Which train. [-]
    lowest, highest : float
        Pump speeds. [1/s]
    speeds : int
        How many are rated between them. [-]

    Notes
    -----
    The whole plant is taken at one instant, this train's motor turned without slip and the belt so that its base
    frequency is the highest speed: what the pump asks for depends on its speed and pressure alone.
    """
    train = numbers.trains[place]
    base = numbers.base_frequency
    nodes = chebyshev.chebpts1(speeds)
    speed = 0.5 * (highest + lowest) + 0.5 * (highest - lowest) * nodes
    free = _without_slip(train, base=base, highest=highest)
    trains = (*numbers.trains[:place], free, *numbers.trains[place + 1 :])
    state = instant(
        replace(numbers, trains=trains), frequency=(base * speed / highest)[None, :, None],
        receiver_pressure=_pressures(numbers), close_enough=SETTLED,
    )  # fmt: skip
    own = state.trains[place]
    top = (slice(None), slice(-1, None), slice(None))
    power = own.shaft_power[top]
    heavier = np.argmax(power, axis=2, keepdims=True)
    shape = np.broadcast_shapes(power.shape, own.supply_current[top].shape)

    def at_top(value: Array) -> Array:
        full = np.broadcast_to(np.broadcast_to(value, (*value.shape[:1], speeds, 2))[top], shape)
        return np.asarray(np.take_along_axis(full, np.broadcast_to(heavier, (*shape[:2], 1)), axis=2))

    others = [
        at_top(t.supply_current)
        for i, t in enumerate(state.trains)
        if i != place and not train.own_supply and not numbers.trains[i].own_supply
    ]
    return PumpMap(
        lowest, highest, _coefficients(own.pump_torque, nodes), _coefficients(own.excess_energy, nodes),
        at_top(own.shaft_power), at_top(own.supply_current), at_top(own.motor_current),
        np.asarray(sum(others, np.zeros((1, 1, 1)))),
    )  # fmt: skip


def _without_slip(train: TrainNumbers, *, base: float, highest: float) -> TrainNumbers:
    motor = train.power.motor
    ratio = 2.0 * base / motor.poles / highest
    return replace(
        train,
        power=replace(train.power, direct=False, motor=replace(motor, breakdown_drop=np.zeros(1))),
        pump=replace(train.pump, ratio=np.asarray(ratio), creep=np.zeros(1)),
    )


def _pressures(numbers: PlantNumbers) -> Array:
    """Each row's own cut-in and cut-out, absolute. [Pa]"""
    ends = [np.asarray(p).reshape(-1, 1, 1) for p in (numbers.cut_in, numbers.cut_out)]
    rows = max(end.shape[0] for end in ends)
    return np.concatenate([np.broadcast_to(end, (rows, 1, 1)) for end in ends], axis=2)


def _coefficients(values: Array, nodes: Array) -> Array:
    """Coefficients of the polynomial through values at Chebyshev's nodes, shape (order, draw, 1, pressure)."""
    order = nodes.size
    whole = np.broadcast_to(values, (values.shape[0], order, 2))
    solve = chebyshev.chebvander(nodes, order - 1).T * (2.0 / order)
    solve[0] *= 0.5
    return np.asarray(np.einsum("ks,dsp->kdp", solve, whole)[:, :, None, :])


def _value(coefficients: Array, place: Array) -> Array:
    """Chebyshev series by Clenshaw's rule, place from -1 to 1."""
    twice = 2.0 * place
    later = np.zeros((1, 1, 1))
    last = np.broadcast_to(coefficients[-1], coefficients[-1].shape)
    for term in coefficients[-2:0:-1]:
        later, last = last, term + twice * last - later
    return np.asarray(coefficients[0] + place * last - later)
