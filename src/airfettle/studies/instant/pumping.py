"""The pump inside the plant: its inlet, its walls, and one or two stages at a speed and a pressure."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_DRY_AIR, CP_VAPOUR
from airfettle.air.pump_state import PumpState
from airfettle.air.stage import HIGHEST_LEAK
from airfettle.parts.pump import single_stage, two_stage
from airfettle.parts.pump_surroundings import heating_factor, intake_pressure
from airfettle.studies.completion.pumping import PumpNumbers

Array = NDArray[np.float64]

WALL_SPEED_EXPONENT = 0.6
"""How the walls' conductance follows speed, the flywheel being the fan. [-]  Source: practice."""
RATED_RATIO = {1: 8.0, 2: 3.2}
"""Pressure ratio of a stage at which the leakage is stated, by number of stages. [-]  Source: practice."""
FILLING = {1: 0.65, 2: 0.72}
"""Volumetric efficiency at which the walls' share of the work is stated, by number of stages. [-]  Source: practice."""
FILM_SPEED_EXPONENT = 0.7
"""How the film between air and walls follows speed. [-]  Source: practice (turbulent film)."""
PASSING = 0.30
"""Heat the air would hold at wall temperature over the work, where that share is stated. [-]  Source: practice."""
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
    """What a pump's pass needs of the one before.

    Attributes
    ----------
    wall, between : ndarray
        Temperature of the walls, and of the air between the stages. [K]
    wall_share : ndarray
        Share of the work that leaves through the walls. [-]
    between_pressure : ndarray or None
        Absolute. [Pa]
    """

    wall: Array
    between: Array
    wall_share: Array
    between_pressure: Array | None = None


def first_warmth(numbers: PumpNumbers, *, breath: Breath) -> Warmth:
    """Return where the passes start."""
    room = breath.room_temperature
    return Warmth(room + FIRST_WALL_RISE, room + FIRST_BETWEEN_RISE, numbers.part.wall_heat_share)


def wall_heat_share(numbers: PumpNumbers, *, speed: Array, volumetric_efficiency: Array, stray: Array) -> Array:
    """Return the share of the compression work that leaves through the walls. [-]

    Notes
    -----
    The air leaves part of the way from where work alone would bring it to the temperature of the walls:
    1 - q = a + (1 - a) E + b, E = (1 - q0/0.7)^n, n = (N/N0)^(0.7 - 1) eta_0/eta_v, a = 0.3 eta_v/eta_0 the heat it
    would hold at wall temperature and b what the blow-by carries. With q held at q0 a pump that hardly delivers
    would read hundreds of degrees too hot.
    Valid: q = q0 near rated speed and the volumetric efficiency eta_0.
    """
    filling = np.maximum(volumetric_efficiency, 0.02) / FILLING[numbers.stages]
    slowness = np.maximum(speed / numbers.rated_speed, 1e-3) ** (FILM_SPEED_EXPONENT - 1.0)
    kept = np.maximum(1.0 - numbers.part.wall_heat_share / (1.0 - PASSING), 0.05) ** (slowness / filling)
    passing = np.minimum(PASSING * filling, 0.9)
    return np.asarray((1.0 - passing) * (1.0 - kept) - stray)


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
        "friction_pressure_speed": part.friction_pressure_speed,
        "wall_heat_share": warmth.wall_share,
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
    UA = UA_0 (N/N0)^0.6, UA_0 found so that at rated speed and cut-out the walls stand in their place between the
    air drawn in and the air delivered.
    """
    assert numbers.wall_conductance is not None
    ratio = np.maximum(speed / numbers.rated_speed, 1e-3)
    return np.asarray(numbers.wall_conductance * ratio**WALL_SPEED_EXPONENT)


def warmth_after(state: PumpState, *, numbers: PumpNumbers, speed: Array, breath: Breath, before: Warmth) -> Warmth:
    """Return the warmth at which the walls would settle, and what the next pass needs of this one.

    The walls' heat is taken at the volumetric efficiency just found, one pass ahead, which halves the passes.
    """
    capacity, work = CP_DRY_AIR + CP_VAPOUR * breath.humidity_ratio, np.maximum(state.indicated_power, 1e-3)
    warmed = numbers.part.intake_heating_share * (before.wall - breath.temperature)
    stray = state.blow_by_dry_air * capacity * warmed / work
    share = wall_heat_share(numbers, speed=speed, volumetric_efficiency=state.volumetric_efficiency, stray=stray)
    heat = state.heat_to_walls + (share - before.wall_share) * work + state.friction_power
    if numbers.wall_conductance is None:
        place = numbers.part.wall_place
        wall = breath.temperature + place * (state.discharge_temperature - breath.temperature)
    else:
        wall = breath.room_temperature + heat / wall_conductance(numbers, speed=speed)
    if numbers.stages == 1:
        return Warmth(wall, breath.room_temperature, share)
    return Warmth(wall, state.interstage_temperature, share, state.interstage_pressure)


def idling(state: PumpState, *, numbers: PumpNumbers) -> PumpState:
    """Return the pump with its unloader open: a share of the power, no air through it, all of the heat to the walls."""
    share, none = numbers.part.unloaded_share, np.zeros((1, 1, 1))
    work = state.indicated_power * share
    return replace(
        state, intake_dry_air=none, delivered_dry_air=none, blow_by_dry_air=none, blow_by_vapour=none,
        free_air_delivery=none, first_work=state.first_work * share, second_work=state.second_work * share,
        indicated_power=work, friction_power=state.friction_power * share, shaft_power=state.shaft_power * share,
        mean_torque=state.mean_torque * share, interstage_condensate=none, interstage_dry_air=none, heat_to_walls=work,
        heat_to_intercooler=none, blow_by_enthalpy=none,
    )  # fmt: skip


def last_stage_stray(
    state: PumpState, *, numbers: PumpNumbers, speed: Array, discharge_pressure: Array, warmth: Warmth
) -> Array:
    """Return the heat that the blow-by of the last stage carries off: what leaks there is as warm as the cylinder. [W]

    Notes
    -----
    L = L0/x (p_d/p_s)/3.2 of the charge leaks in the second stage, as in ``air.stage``.
    """
    if numbers.stages == 1:
        return state.blow_by_enthalpy
    part, T = numbers.part, state.interstage_temperature
    ratio = discharge_pressure / (state.interstage_pressure * (1.0 - part.intercooler_loss))
    leakage = part.leakage * numbers.rated_speed / speed
    leak = np.minimum(leakage * ratio / RATED_RATIO[2], HIGHEST_LEAK)
    blown = state.delivered_dry_air * leak * part.blow_by_share / (1.0 - leak)
    heating = heating_factor(warmth.wall, intake_temperature=warmth.between, exchange_share=part.intake_heating_share)
    capacity = CP_DRY_AIR + CP_VAPOUR * state.interstage_humidity_ratio
    return np.asarray(blown * capacity * (heating - 1.0) * T)
