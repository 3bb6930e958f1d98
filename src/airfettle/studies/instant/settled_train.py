"""Everything that follows for a train once its passes have settled."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.air.atmosphere import altitude_of
from airfettle.air.constants import CP_DRY_AIR, CP_LIQUID, CP_VAPOUR, R_DRY_AIR, ZERO_CELSIUS
from airfettle.air.moist import vapour_pressure
from airfettle.parts.conductor import voltage_drop
from airfettle.parts.motor import MotorState
from airfettle.parts.motor_limits import (
    altitude_share,
    fan_cooled_torque_share,
    fan_cooling_share,
    winding_temperature,
)
from airfettle.parts.sound import level_change
from airfettle.studies.completion.power import PowerNumbers
from airfettle.studies.completion.whole import PlantNumbers, TrainNumbers
from airfettle.studies.instant.cooling import cooled, enthalpy_gained
from airfettle.studies.instant.pumping import wall_conductance
from airfettle.studies.instant.state import TrainState
from airfettle.studies.instant.train import Pass, Point
from airfettle.studies.instant.turning import fluctuation_at, turning_inertia

Array = NDArray[np.float64]


def train_state(plant: PlantNumbers, *, train: TrainNumbers, point: Point, last: Pass) -> TrainState:
    """Return a train's state from its last pass; each field's meaning stands in TrainState. [SI]"""
    pump, motor, power, numbers, breath = last.pump, last.motor, train.power, train.pump, train.breath
    assert pump is not None
    assert motor is not None
    assert last.cooler_drop is not None
    assert last.terminal_voltage is not None
    assert last.wall_share is not None
    assert last.last_stage_power is not None
    assert last.last_stage_stray is not None
    speed = motor.speed / numbers.ratio * (1.0 - numbers.creep)
    delivered, blown = pump.delivered_dry_air, pump.blow_by_dry_air
    vapour = vapour_pressure(breath.humidity_ratio, pressure=breath.barometer)
    free_air = delivered * R_DRY_AIR * breath.temperature / (breath.barometer - vapour)
    air = cooled(train, point=point, last=last)
    electrical = motor.input_power / power.drive_efficiency
    turning = fluctuation_at(train, pump=pump, speed=speed)
    two = numbers.stages == 2
    fanned = _cooling_share(power, motor=motor)
    may_give = motor.available_torque_share * altitude_share(altitude_of(breath.barometer)) * fanned
    conductance = wall_conductance(numbers, speed=speed)
    settled = breath.room_temperature + (pump.heat_to_walls + pump.friction_power) / conductance
    amps = last.supply_current + point.other_amps
    lost = voltage_drop(amps, resistance=power.wire_resistance, length=1.0, phases=power.phases)
    outlet = enthalpy_gained(
        delivered, before=(breath.temperature, breath.humidity_ratio),
        after=(pump.discharge_temperature, pump.delivered_humidity_ratio),
    )  # fmt: skip
    interstage_liquid = pump.interstage_condensate * CP_LIQUID * (pump.interstage_temperature - ZERO_CELSIUS)
    return TrainState(
        frequency=point.frequency, receiver_pressure=point.receiver_pressure, barometer=breath.barometer,
        room_temperature=breath.room_temperature, intake_temperature=breath.temperature,
        intake_humidity_ratio=breath.humidity_ratio, intake_vapour_pressure=vapour,
        intake_pressure=_intake(breath.barometer, breath.filter_drop, speed / numbers.rated_speed),
        intake_drop=breath.barometer - _intake(breath.barometer, breath.filter_drop, speed / numbers.rated_speed),
        displacement=numbers.displacement, belt_ratio=numbers.ratio, belt_creep=numbers.creep,
        belt_efficiency=numbers.belt_efficiency, rated_pump_speed=numbers.rated_speed,
        maximum_pump_speed=numbers.maximum_speed,
        pump_speed=speed,
        motor_speed=motor.speed, delivered_dry_air=delivered, intake_dry_air=delivered + blown,
        blow_by_dry_air=blown, delivered_air=free_air, volumetric_efficiency=free_air / (numbers.displacement * speed),
        discharge_pressure=point.receiver_pressure + last.cooler_drop + point.path_drop - breath.barometer,
        cooler_drop=last.cooler_drop, path_drop=point.path_drop,
        interstage_pressure=pump.interstage_pressure - breath.barometer if two else None,
        interstage_absolute_pressure=pump.interstage_pressure if two else None,
        last_stage_temperature=pump.interstage_temperature if two else breath.temperature,
        last_stage_power=last.last_stage_power, last_stage_stray=last.last_stage_stray,
        last_stage_capacity=CP_DRY_AIR + pump.delivered_humidity_ratio * CP_VAPOUR,
        last_stage_humidity_ratio=pump.delivered_humidity_ratio, wall_heat_share=last.wall_share,
        discharge_temperature=pump.discharge_temperature, indicated_power=pump.indicated_power,
        friction_power=pump.friction_power, shaft_power=pump.shaft_power,
        pump_torque=pump.shaft_power / (2.0 * np.pi * speed),
        motor_torque=pump.shaft_power / (numbers.belt_efficiency * 2.0 * np.pi * motor.speed),
        rated_motor_torque=power.motor.rated_torque, available_torque_share=may_give,
        cooling_torque_share=fanned,
        motor_torque_share=pump.shaft_power / (numbers.belt_efficiency * 2.0 * np.pi * motor.speed)
        / (power.motor.rated_torque * may_give),
        pull_out_share=motor.pull_out_share, motor_current=motor.current, motor_input_power=motor.input_power,
        drive_output_limit=power.output_limit,
        drive_output_share=None if power.output_limit is None else motor.current / power.output_limit,
        drive_efficiency=power.drive_efficiency, electrical_power=electrical, line_root=np.array(power.line_root),
        terminal_voltage=last.terminal_voltage,
        supply_power_factor=motor.power_factor if power.direct else power.drive_power_factor,
        supply_current=last.supply_current, voltage_drop_share=lost / power.supply_voltage,
        specific_power=electrical / np.maximum(free_air, 1e-9),
        wall_temperature=point.wall if point.wall is not None else settled, wall_heat=pump.heat_to_walls,
        wall_conductance=conductance,
        winding_temperature=winding_temperature(
            motor.losses, rated_losses=power.motor.rated_losses, ambient=breath.room_temperature,
            rated_rise=power.winding_rise, cooling_share=fan_cooling_share(motor.speed / power.motor.rated_speed),
        ),
        intercooler_heat=pump.heat_to_intercooler, intercooler_water=pump.interstage_condensate,
        interstage_dry_air=pump.interstage_dry_air,
        pump_outlet_humidity_ratio=pump.delivered_humidity_ratio,
        stray_enthalpy=pump.blow_by_enthalpy + interstage_liquid, outlet_enthalpy=outlet,
        cooler_outlet_temperature=air.temperature,
        cooler_approach=None if train.cooler is None else air.temperature - breath.room_temperature,

        cooler_outlet_humidity_ratio=air.humidity_ratio, cooler_liquid=air.liquid,
        cooler_heat=air.heat, cooler_still_temperature=air.still_temperature,
        sound_rated=numbers.part.sound_level, sound_exponent=numbers.part.sound_exponent,
        sound_level=numbers.part.sound_level + level_change(
            speed=speed, rated_speed=numbers.rated_speed, exponent=numbers.part.sound_exponent
        ),
        turning_inertia=turning_inertia(train), excess_energy=turning.excess_energy,
        speed_fluctuation=turning.speed_fluctuation,
        running_cost=None if plant.energy_price is None else electrical * plant.energy_price,
        energy_price=plant.energy_price,
    )  # fmt: skip


def _cooling_share(power: PowerNumbers, *, motor: MotorState) -> Array:
    """Share of its torque that a motor may give for long with its own fan at this speed. [-]"""
    if not power.self_fanned:
        return np.ones((1, 1, 1))
    turning = motor.speed / power.motor.rated_speed
    return np.asarray(fan_cooled_torque_share(turning, full_torque_down_to=power.cooling_floor))


def _intake(barometer: Array, drop: Array, ratio: Array) -> Array:
    return np.asarray(np.maximum(barometer - drop * ratio**2, 0.5 * barometer))
