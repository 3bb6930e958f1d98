"""One train at one instant: the coupled unknowns by passes, then everything that follows from them.

The unknowns hang on each other: the pump's speed on the motor's slip, slip on torque, torque on
discharge pressure, that on the drop of the parts, the drop on the flow, the flow on speed and on
the warmth of the walls, warmth on power. Each pass takes all of them from the pass before; the
couplings are weak (each pass leaves a few per cent of the error), so that few are needed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airfettle.air.pump_state import PumpState
from airfettle.parts.conductor import voltage_drop
from airfettle.parts.drive import input_current, output_voltage
from airfettle.parts.motor import MotorState, running
from airfettle.studies.completion.whole import TrainNumbers
from airfettle.studies.instant.drops import drop_at
from airfettle.studies.instant.pumping import (
    Warmth,
    first_warmth,
    idling,
    last_stage_stray,
    pump_at,
    warmth_after,
)

Array = NDArray[np.float64]

LEAST_SPEED_SHARE = 0.01
"""Speed of a stalled motor over its synchronous speed, so that torque and flow stay finite. [-]"""


@dataclass(frozen=True)
class Point:
    """Where the train is looked at: frequency, receiver pressure (absolute), pressure the air meets past its
    cooler, cut-out pressure for scaling drops, whether the pump compresses, walls held at a
    warmth, and amps that other trains draw through the same supply wires. [SI]
    """

    frequency: Array
    receiver_pressure: Array
    path_drop: Array
    cut_out: Array
    loaded: bool
    wall: Array | None
    other_amps: Array


@dataclass(frozen=True)
class Pass:
    """What one pass leaves for the next. [SI]"""

    motor_speed: Array
    flow: Array
    supply_current: Array
    motor_current: Array
    warmth: Warmth
    pump: PumpState | None = None
    motor: MotorState | None = None
    cooler_drop: Array | None = None
    terminal_voltage: Array | None = None
    wall_share: Array | None = None
    last_stage_power: Array | None = None
    last_stage_stray: Array | None = None

    def change_from(self, before: Pass) -> float:
        """Return the largest relative change of an unknown between two passes. [-]"""
        pairs = (
            (self.motor_speed, before.motor_speed), (self.flow, before.flow),
            (self.warmth.wall, before.warmth.wall), (self.warmth.between, before.warmth.between),
            (self.supply_current, before.supply_current),
            (1.0 - self.warmth.wall_share, 1.0 - before.warmth.wall_share),
        )  # fmt: skip
        return max(float(np.max(np.abs(new - old) / np.maximum(np.abs(new), 1e-9))) for new, old in pairs)


def first_pass(train: TrainNumbers, *, frequency: Array) -> Pass:
    """Return where the passes start: rated slip, full flow, rated current."""
    motor = train.power.motor
    speed = 2.0 * frequency / motor.poles * (1.0 - motor.rated_slip)
    turning = speed / train.pump.ratio / train.pump.rated_speed
    return Pass(
        speed,
        train.full_flow * turning,
        motor.rated_current,
        motor.rated_current,
        first_warmth(train.pump, breath=train.breath),
    )


def next_pass(train: TrainNumbers, *, point: Point, before: Pass) -> Pass:
    """Return the next pass from the one before."""
    numbers = train.pump
    speed = before.motor_speed / numbers.ratio * (1.0 - numbers.creep)
    drop = cooler_drop(train, point=point, flow=before.flow)
    warmth = before.warmth if point.wall is None else replace(before.warmth, wall=point.wall)
    discharge = point.receiver_pressure + drop + point.path_drop
    pump = pump_at(numbers, speed=speed, discharge_pressure=discharge, breath=train.breath, warmth=warmth)
    if not point.loaded:
        pump = idling(pump, numbers=numbers)
    torque = pump.shaft_power / (numbers.belt_efficiency * 2.0 * np.pi * before.motor_speed)
    volts, available = voltages(train, before=before, other_amps=point.other_amps)
    motor = running(
        train.power.motor, torque=torque, frequency=point.frequency, voltage_available=available,
        direct=train.power.direct, leakage_by_flux=True,
    )  # fmt: skip
    least = LEAST_SPEED_SHARE * 2.0 * point.frequency / train.power.motor.poles
    motor = replace(motor, speed=np.maximum(motor.speed, least))
    settled = warmth_after(pump, numbers=numbers, speed=speed, breath=train.breath, before=warmth)
    if point.wall is not None:
        settled = replace(settled, wall=point.wall)
    return Pass(
        motor.speed, pump.delivered_dry_air, supply_current(train, motor=motor, terminal_voltage=volts),
        motor.current, settled, pump, motor, drop, volts,
        warmth.wall_share, (pump.second_work if numbers.stages == 2
                                                               else pump.first_work) * speed,
        last_stage_stray(pump, numbers=numbers, speed=speed, discharge_pressure=discharge, warmth=warmth),
    )  # fmt: skip


def cooler_drop(train: TrainNumbers, *, point: Point, flow: Array) -> Array:
    """Return the pressure lost in the cooler: its drop at full delivery and cut-out, by flow and density. [Pa]"""
    if train.cooler is None:
        return np.zeros((1, 1, 1))
    return drop_at(
        train.cooler.drop, flow=flow, rated_flow=train.full_flow, pressure=point.receiver_pressure,
        rated_pressure=point.cut_out,
    )  # fmt: skip


def voltages(train: TrainNumbers, *, before: Pass, other_amps: Array) -> tuple[Array, Array]:
    """Return volts at the drive's or starter's terminals, and the most there is at the motor. [V]"""
    power = train.power
    amps = before.supply_current + other_amps
    lost = voltage_drop(amps, resistance=power.wire_resistance, length=1.0, phases=power.phases)
    terminal = np.maximum(power.supply_voltage - lost, 0.5 * power.supply_voltage)
    there = terminal if power.direct else output_voltage(terminal, drop_share=power.drive_voltage_drop)
    in_lead = voltage_drop(
        before.motor_current, resistance=power.lead_resistance, length=1.0, phases=power.motor.phases
    )
    return terminal, np.asarray(np.maximum(there - in_lead, 0.5 * there))


def supply_current(train: TrainNumbers, *, motor: MotorState, terminal_voltage: Array) -> Array:
    """Return the current in each live wire of the supply. [A]"""
    power = train.power
    factor = motor.power_factor if power.direct else power.drive_power_factor
    return input_current(
        motor.input_power / power.drive_efficiency, voltage=terminal_voltage, phases=power.phases,
        true_power_factor=factor,
    )  # fmt: skip
