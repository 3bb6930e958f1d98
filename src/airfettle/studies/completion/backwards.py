"""The pump as numbers, its displacement solved backwards from a delivery statement where nothing else tells it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import R_DRY_AIR, STANDARD_PRESSURE
from airfettle.air.moist import humidity_ratio, vapour_pressure
from airfettle.parts.pump_surroundings import displacement_from_delivery
from airfettle.plant.pump import Delivery, Pump
from airfettle.plant.whole import Train
from airfettle.studies.completion.power import PowerNumbers
from airfettle.studies.completion.pumping import (
    PumpNumbers,
    belt_ratio,
    crank_phases,
    cylinders,
    displacement_from_motor,
    flywheel,
    rated_speed,
    second_displacement,
    told_displacement,
)
from airfettle.studies.instant.pumping import Breath, Warmth, first_warmth, pump_at, warmth_after

Array = NDArray[np.float64]
TRIAL = 1e-3
"""Displacement tried first. [m3]"""
STANDARD_TEMPERATURE = 293.15
"""Of the air a maker's delivery is stated for. [K]  Source: iso-1217."""
WALL_TURNS = 7
"""Passes in which the walls' place settles; what is left moves the conductance by less than 0.1 %. [-]"""
TURNS = 8
"""Times the displacement is corrected; delivery is proportional to it but for the walls' warmth. [-]"""


def pump_numbers(train: Train[Array], *, power: PowerNumbers, cut_out: Array, breath: Breath) -> PumpNumbers:
    """Return belt and pump of a train as numbers. [SI]

    The displacement comes from bore and stroke; else from the displacement told; else from the
    first delivery statement, solved backwards row by row with every other half-known number; else
    from what its motor could turn.
    """
    pump, belt = train.pump, train.belt
    assert pump is not None
    assert belt is not None
    told = told_displacement(pump)
    if told is None and pump.rated:
        told = _from_statement(train, power, pump.rated[0], breath, cut_out), "its stated delivery, solved backwards"
    if told is None:
        ratio, creep, _ = belt_ratio(belt, pump=pump, power=power)
        speed = power.motor.rated_speed / ratio * (1.0 - creep)
        told = displacement_from_motor(pump, power=power, cut_out=cut_out, speed=speed), "what its motor could turn"
    numbers = _numbers(train, pump, power, *told)
    return replace(numbers, wall_conductance=_wall_conductance(numbers, cut_out=cut_out, breath=breath))


def _wall_conductance(numbers: PumpNumbers, *, cut_out: Array, breath: Breath) -> Array:
    """Conductance that leaves the walls where they stand, warm, at rated speed and cut-out pressure. [W/K]"""
    conductance, warmth = np.zeros((1, 1, 1)), first_warmth(numbers, breath=breath)
    for _ in range(WALL_TURNS):
        conductance, warmth = _standing_walls(numbers, cut_out=cut_out, breath=breath, warmth=warmth)
    return conductance


def _standing_walls(numbers: PumpNumbers, *, cut_out: Array, breath: Breath, warmth: Warmth) -> tuple[Array, Warmth]:
    """One pass towards that conductance, and the warmth the next one needs. [W/K]"""
    state = pump_at(numbers, speed=numbers.rated_speed, discharge_pressure=cut_out, breath=breath, warmth=warmth)
    after = warmth_after(state, numbers=numbers, speed=numbers.rated_speed, breath=breath, before=warmth)
    heat = state.heat_to_walls + state.friction_power
    return np.asarray(heat / np.maximum(after.wall - breath.room_temperature, 5.0)), after


def _numbers(train: Train[Array], pump: Pump[Array], power: PowerNumbers, volume: Array, rests_on: str) -> PumpNumbers:
    belt = train.belt
    assert belt is not None
    ratio, creep, efficiency = belt_ratio(belt, pump=pump, power=power)
    second = second_displacement(pump, volume)
    stages = cylinders(pump, first=volume, second=second)
    return PumpNumbers(
        stages=pump.stages, ratio=ratio, creep=creep, belt_efficiency=efficiency, displacement=volume,
        second_displacement=second, displacement_from=rests_on, rated_speed=rated_speed(pump),
        maximum_speed=pump.maximum_speed, cylinders=stages, phases=crank_phases(pump, stages),
        flywheel_inertia=flywheel(belt, pump=pump, displacement=volume), wall_conductance=None, part=pump,
    )  # fmt: skip


def _from_statement(
    train: Train[Array], power: PowerNumbers, statement: Delivery[Array], breath: Breath, cut_out: Array
) -> Array:
    """Displacement at which the pump delivers what is stated, at the statement's pressure and speed. [m3]

    A plate or a maker speaks of a new pump at standard air; only what was measured speaks of this pump, here.
    Its walls lose heat as they do in the plant.
    """
    pump, at, cut_out, breath = _conditions(train, statement, breath, cut_out)
    volume, standing, warmth = np.full((1, 1, 1), TRIAL), None, None
    for _ in range(TURNS):
        numbers = _numbers(train, pump, power, volume, "a trial")
        delivered, standing, warmth = _delivered(numbers, statement.speed, at, breath, cut_out, standing, warmth)
        volume = displacement_from_delivery(statement.air, trial_delivery=delivered, trial_displacement=volume)
    return volume


def stated_delivery(
    train: Train[Array], *, numbers: PumpNumbers, power: PowerNumbers, place: int, breath: Breath, cut_out: Array
) -> Array:
    """Return what the pump as known would deliver under the conditions of one of its delivery statements.

    Parameters
    ----------
    train : Train
        Drawn. [SI]
    numbers, power : PumpNumbers, PowerNumbers
        The pump and its motor as numbers. [SI]
    place : int
        Which statement. [-]
    breath : Breath
        The air it draws in this plant; a plate's or maker's statement is taken at standard air. [SI]
    cut_out : ndarray
        Absolute. [Pa]

    Returns
    -------
    ndarray
        Volume at the intake. [m3/s]
    """
    assert train.pump is not None
    statement = train.pump.rated[place]
    pump, at, cut_out, breath = _conditions(train, statement, breath, cut_out)
    new, standing, warmth = _numbers(train, pump, power, numbers.displacement, "known"), None, None
    delivered = np.zeros((1, 1, 1))
    for _ in range(STATED_TURNS):
        delivered, standing, warmth = _delivered(new, statement.speed, at, breath, cut_out, standing, warmth)
    return delivered


STATED_TURNS = 5
"""Passes after which a stated delivery has settled to about 1e-4 of itself. [-]"""


def _conditions(
    train: Train[Array], statement: Delivery[Array], breath: Breath, cut_out: Array
) -> tuple[Pump[Array], Array, Array, Breath]:
    """Pump, discharge pressure, cut-out and air that a statement speaks of."""
    pump, at = train.pump, statement.at
    assert pump is not None
    if statement.known == "measured":
        return pump, at, cut_out, breath
    at, cut_out = (p - breath.barometer + STANDARD_PRESSURE for p in (at, cut_out))
    if pump.leakage_when_new is not None:
        pump = pump.model_copy(update={"leakage": pump.leakage_when_new})
    return pump, at, cut_out, _standard_breath(breath)


def _delivered(
    numbers: PumpNumbers, speed: Array | None, at: Array, breath: Breath, cut_out: Array,
    standing: Warmth | None, warmth: Warmth | None,
) -> tuple[Array, Warmth, Warmth]:  # fmt: skip
    """One pass: delivery at the intake, and the warmth that the next pass needs. [m3/s]"""
    standing = standing or first_warmth(numbers, breath=breath)
    conductance, standing = _standing_walls(numbers, cut_out=cut_out, breath=breath, warmth=standing)
    numbers = replace(numbers, wall_conductance=conductance)
    speed = numbers.rated_speed if speed is None else speed
    warmth = warmth or first_warmth(numbers, breath=breath)
    state = pump_at(numbers, speed=speed, discharge_pressure=at, breath=breath, warmth=warmth)
    after = warmth_after(state, numbers=numbers, speed=speed, breath=breath, before=warmth)
    dry = breath.barometer - vapour_pressure(breath.humidity_ratio, pressure=breath.barometer)
    return np.asarray(state.delivered_dry_air * R_DRY_AIR * breath.temperature / dry), standing, after


def _standard_breath(breath: Breath) -> Breath:
    """The air of a maker's statement: sea level, 20 degC, 50 % humidity."""
    temperature = np.full((1, 1, 1), STANDARD_TEMPERATURE)
    pressure = np.full((1, 1, 1), STANDARD_PRESSURE)
    water = humidity_ratio(0.5, temperature=temperature, pressure=pressure)
    return Breath(pressure, temperature, temperature, np.asarray(water), breath.filter_drop)
