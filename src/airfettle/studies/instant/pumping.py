"""The pump inside the plant: its inlet, its walls, and one or two stages at a speed and a pressure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.pump_state import PumpState
from airfettle.parts.pump import single_stage, two_stage
from airfettle.parts.pump_surroundings import heating_factor, intake_pressure
from airfettle.studies.completion.pumping import PumpNumbers

Array = NDArray[np.float64]

WALL_SPEED_EXPONENT = 0.6
"""How the walls' conductance follows speed, the flywheel being the fan. [-]  Source: practice."""
WALL_SIZE_EXPONENT = 2.0 / 3.0
"""How it follows swept volume: as surface. [-]  Source: physics."""
LITRE = 1e-3
RATED_RATIO = {1: 8.0, 2: 3.2}
"""Pressure ratio of a stage at which the leakage is stated, by number of stages. [-]  Source: practice."""
FIRST_WALL_RISE = 80.0
"""Where the wall temperature starts. [K]"""
FIRST_BETWEEN_RISE = 25.0
"""Where the interstage temperature starts. [K]"""


@dataclass(frozen=True)
class Breath:
    """The air a pump draws: barometer, its own and the room's temperature, water, filter drop at rated speed. [SI]"""

    barometer: Array
    temperature: Array
    room_temperature: Array
    humidity_ratio: Array
    filter_drop: Array


@dataclass(frozen=True)
class Warmth:
    """What a pump's pass needs of the one before: walls, temperature and pressure between the stages. [SI]"""

    wall: Array
    between: Array
    between_pressure: Array | None = None


def first_warmth(breath: Breath) -> Warmth:
    """Return where the passes start."""
    return Warmth(breath.room_temperature + FIRST_WALL_RISE, breath.room_temperature + FIRST_BETWEEN_RISE)


def pump_at(
    numbers: PumpNumbers, *, speed: Array, discharge_pressure: Array, breath: Breath, warmth: Warmth
) -> PumpState:
    """Return the pump's state at a speed and a discharge pressure, its walls as warm as given. [SI]"""
    part = numbers.part
    inlet = intake_pressure(breath.barometer, filter_drop=breath.filter_drop, speed_ratio=speed / numbers.rated_speed)
    common: dict[str, Any] = {
        "speed": speed, "rated_speed": numbers.rated_speed, "displacement": numbers.displacement,
        "clearance": _clearance(numbers, 0), "compression_exponent": part.compression_exponent,
        "expansion_exponent": part.expansion_exponent, "suction_loss": part.suction_loss,
        "discharge_loss": part.discharge_loss, "leakage": part.leakage, "blow_by_share": part.blow_by_share,
        "leakage_ratio": RATED_RATIO[numbers.stages], "friction_pressure": part.friction_pressure,
        "friction_pressure_speed": part.friction_pressure_speed, "wall_heat_share": part.wall_heat_share,
        "intake_pressure": inlet, "intake_temperature": breath.temperature,
        "intake_humidity_ratio": breath.humidity_ratio, "discharge_pressure": discharge_pressure,
        "heating": heating_factor(
            warmth.wall, intake_temperature=breath.temperature, exchange_share=part.intake_heating_share
        ),
    }  # fmt: skip
    if numbers.stages == 1:
        return single_stage(**common)
    return two_stage(
        **common, second_displacement=numbers.second_displacement, second_clearance=_clearance(numbers, 1),
        second_heating=heating_factor(
            warmth.wall, intake_temperature=warmth.between, exchange_share=part.intake_heating_share
        ),
        intercooler_effectiveness=part.intercooler_effectiveness, intercooler_loss=part.intercooler_loss,
        coolant_temperature=breath.room_temperature, interstage_guess=warmth.between_pressure,
    )  # fmt: skip


def _clearance(numbers: PumpNumbers, stage: int) -> Array:
    """Clearance of a stage; the draw has put a section for each stage."""
    part = numbers.part
    found = part.second_stage if stage else part.first_stage
    assert found is not None
    return found.clearance


def wall_conductance(numbers: PumpNumbers, *, speed: Array) -> Array:
    """Return the conductance from head and cylinders to the room. [W/K]

    Notes
    -----
    UA = u (V / 1 L)^(2/3) (N/N0)^0.6, V the swept volume of all stages.
    """
    size = ((numbers.displacement + numbers.second_displacement) / LITRE) ** WALL_SIZE_EXPONENT
    ratio = np.maximum(speed / numbers.rated_speed, 1e-3)
    return np.asarray(numbers.part.wall_conductance * size * ratio**WALL_SPEED_EXPONENT)


def warmth_after(state: PumpState, *, numbers: PumpNumbers, speed: Array, breath: Breath) -> Warmth:
    """Return the warmth at which the walls would settle, and what lies between the stages now."""
    heat = state.heat_to_walls + state.friction_power
    wall = breath.room_temperature + heat / wall_conductance(numbers, speed=speed)
    if numbers.stages == 1:
        return Warmth(wall, breath.room_temperature)
    return Warmth(wall, state.interstage_temperature, state.interstage_pressure)
