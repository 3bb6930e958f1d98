"""Speed fluctuation within a turn: the crank's torque against the flywheel, cheap at many speeds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.air.pump_state import PumpState
from airfettle.parts.crank import Cylinder, Fluctuation, fluctuation, torque_shape
from airfettle.parts.motor_limits import reflected_inertia
from airfettle.studies.completion.pumping import ROD_RATIO, PumpNumbers
from airfettle.studies.completion.whole import TrainNumbers

Array = NDArray[np.float64]

ANGLES = 24
"""Steps in a turn, besides the corners; excess energy is then within 2 % of 7200 steps. [-]"""


def turning_inertia(train: TrainNumbers) -> Array:
    """Return flywheel and rotor as felt at the pump's shaft, belt taken as stiff. [kg m2]"""
    rotor = reflected_inertia(train.power.rotor_inertia, speed_ratio=train.pump.ratio)
    return np.asarray(train.pump.flywheel_inertia + rotor)


def fluctuation_at(train: TrainNumbers, *, pump: PumpState, speed: Array) -> Fluctuation:
    """Return the fluctuation of the pump's speed within a turn.

    The gas torque is taken once for each draw and receiver pressure, at the cylinder pressures of the
    highest speed; only the inertia's part follows each speed. Valve losses change those pressures by
    a few per cent from speed to speed.
    """
    numbers, part = train.pump, train.pump.part
    stroke = numbers.cylinders[0].stroke
    shape = torque_shape(
        _cylinders(numbers, pump), stroke=stroke, rod_length=0.5 * stroke / ROD_RATIO,
        reciprocating_mass=numbers.cylinders[0].mass, compression_exponent=part.compression_exponent,
        expansion_exponent=part.expansion_exponent, crankcase_pressure=train.breath.barometer, angles=ANGLES,
    )  # fmt: skip
    return fluctuation(shape, speed=speed, inertia=turning_inertia(train))


def _cylinders(numbers: PumpNumbers, pump: PumpState) -> list[Cylinder]:
    pressures = ((pump.first_suction_pressure, pump.first_discharge_pressure),
                 (pump.second_suction_pressure, pump.second_discharge_pressure))  # fmt: skip
    volumes = (numbers.displacement, numbers.second_displacement)
    stages = (numbers.part.first_stage, numbers.part.second_stage)
    found: list[Cylinder] = []
    for cylinders, volume, stage, (suction, discharge) in zip(
        numbers.cylinders, volumes, stages, pressures, strict=False
    ):
        assert stage is not None
        for _ in range(cylinders.count):
            found.append(Cylinder(
                volume / cylinders.count, stage.clearance, _at_top_speed(suction), _at_top_speed(discharge),
                numbers.phases[len(found)],
            ))  # fmt: skip
    return found


def _at_top_speed(pressure: Array) -> Array:
    """The pressure at the highest speed, keeping the axes (draw, 1, pressure)."""
    return pressure[:, -1:, :] if pressure.ndim == 3 else pressure
