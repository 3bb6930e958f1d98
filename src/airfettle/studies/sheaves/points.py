"""Where each pair runs: hertz for the wanted pump speed, or on the line the speed it gives, and what the motor does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.air.atmosphere import altitude_of
from airfettle.parts.motor import MotorConstants, MotorState, running
from airfettle.parts.motor_limits import altitude_share, fan_cooled_torque_share
from airfettle.studies.completion.whole import TrainNumbers
from airfettle.studies.instant.pumping import first_warmth
from airfettle.studies.instant.train import Pass, supply_current, voltages
from airfettle.studies.sheaves.pairs import Pairs
from airfettle.studies.sheaves.pump_map import PumpMap

Array = NDArray[np.float64]

TURNS = 3
"""Times the slip is corrected; each leaves a few per cent of its error. [-]"""


@dataclass(frozen=True)
class Points:
    """Every pair at its point, shape (draw, pair, 1). [SI]

    Attributes
    ----------
    frequency : ndarray
        At which the pump turns at the wanted speed, the belt riding where it turns the pump fastest and the receiver
        at the lighter of cut-in and cut-out; on the line, its own. [Hz]
    motor_speed, pump_speed : ndarray
        Against the heavier pressure, the belt as drawn. [1/s]
    light_speed : ndarray
        Of the pump against the lighter pressure. [1/s]
    base_speed : ndarray
        Of the pump at the motor's base frequency, against the heavier pressure. [1/s]
    fall, light_fall : ndarray
        Synchronous less motor speed at full flux, against the heavier and the lighter pressure. [1/s]
    available : ndarray
        Most volts at the motor. [V]
    power : ndarray
        At the motor's shaft. [W]
    torque_share, cooling_share : ndarray
        Motor torque of what it may give for long, and what its fan's cooling leaves of that. [-]
    motor : MotorState
        [SI]
    supply_current : ndarray
        In each live wire. [A]
    """

    frequency: Array
    motor_speed: Array
    pump_speed: Array
    light_speed: Array
    base_speed: Array
    fall: Array
    light_fall: Array
    available: Array
    power: Array
    torque_share: Array
    cooling_share: Array
    motor: MotorState
    supply_current: Array


def points(train: TrainNumbers, *, pairs: Pairs, pump: PumpMap, wanted: float) -> Points:
    """Return where each pair runs.

    Parameters
    ----------
    train : TrainNumbers
        What turns the pump. [SI]
    pairs : Pairs
        Sheaves and wheels. [m]
    pump : PumpMap
        What is turned. [SI]
    wanted : float
        Pump speed that must not be passed between cut-in and cut-out. [1/s]
    """
    power, numbers = train.power, train.pump
    constants = power.motor
    gear = (1.0 - numbers.creep) / pairs.ratio
    light, heavy, pump_light = _torques(train, pairs, pump, gear, wanted)
    terminal, available = _volts(train, pump, 2.0 * np.pi * heavy * pump_light / gear)
    if power.direct:
        frequency = np.asarray(power.supply_frequency).reshape(-1, 1, 1)
        for _ in range(TURNS):
            speed = 2.0 * frequency / constants.poles - _fall(constants, heavy, frequency, available, direct=True)
            light, heavy = (t * gear / numbers.belt_efficiency for t in pump.torques(speed * gear))
        terminal, available = _volts(train, pump, 2.0 * np.pi * heavy * speed)
    else:
        frequency = _frequency(constants, light, pump_light / gear, available)
    motor = running(
        constants, torque=heavy, frequency=frequency, voltage_available=available, direct=power.direct,
        leakage_by_flux=True,
    )  # fmt: skip
    flux = np.minimum(motor.flux, 1.0) if not power.direct else motor.flux
    synchronous = 2.0 * frequency / constants.poles
    falls = _fall(constants, light, frequency, available, direct=power.direct)
    fall = (synchronous - motor.speed) * flux**2
    base = _base_speed(train, fall, motor.speed, available) * gear
    fanned = _cooling(train, motor)
    may = motor.available_torque_share * altitude_share(altitude_of(train.breath.barometer)) * fanned
    return Points(
        frequency=frequency, motor_speed=motor.speed, pump_speed=motor.speed * gear,
        light_speed=(synchronous - falls) * gear, base_speed=base, fall=fall, light_fall=falls * flux**2,
        available=available,
        power=2.0 * np.pi * heavy * motor.speed, torque_share=heavy / (constants.rated_torque * may),
        cooling_share=fanned, motor=motor,
        supply_current=supply_current(train, motor=motor, terminal_voltage=terminal),
    )  # fmt: skip


def hertz_for(train: TrainNumbers, *, points: Points, motor_speed: Array, light: bool) -> Array:
    """Return the hertz at which a motor turns at a speed, its torque as at the points. [Hz]

    Notes
    -----
    The fall of speed goes with the square of the flux.  Valid: a pump that asks for the same torque at any speed.
    """
    motor, fall = train.power.motor, points.light_fall if light else points.fall
    k = (motor_speed + fall) * 0.5 * motor.poles / motor.frequency
    flux = _flux(motor, k, points.available, direct=False)
    return np.asarray(0.5 * motor.poles * (motor_speed + fall / flux**2))


def _torques(
    train: TrainNumbers, pairs: Pairs, pump: PumpMap, gear: Array, wanted: float
) -> tuple[Array, Array, Array]:
    """Motor torque at the lighter and the heavier pressure, and the pump speed they are taken at. [N m] [1/s]

    With a drive that speed is the wanted one but for where the belt rides; on the line it is a first guess.
    """
    guess = train.power.motor.rated_speed * gear
    speed = guess if train.power.direct else wanted * pairs.fastest_ratio / pairs.ratio
    light, heavy = (t * gear / train.pump.belt_efficiency for t in pump.torques(speed))
    return light, heavy, np.asarray(speed)


def _frequency(motor: MotorConstants, torque: Array, speed: Array, available: Array) -> Array:
    """Frequency at which the motor turns at a speed against a torque. [Hz]"""
    fall: Array = motor.frequency * 2.0 / motor.poles - motor.rated_speed
    frequency = 0.5 * motor.poles * (speed + fall)
    for _ in range(TURNS):
        fall = _fall(motor, torque, frequency, available, direct=False)
        frequency = 0.5 * motor.poles * (speed + fall)
    return np.asarray(frequency)


def _fall(motor: MotorConstants, torque: Array, frequency: Array, available: Array, *, direct: bool) -> Array:
    """Fall of speed from synchronous that a torque asks for. [1/s]

    Notes
    -----
    The speed of ``parts.motor.running`` without its currents: Tem = T + Tfw f/fn + Tst (T/(Tn phi))^2,
    dw = dw_b t/(1 + sqrt(1 - t^2)), t = Tem/(Tb phi^2).
    """
    k = frequency / motor.frequency
    flux = _flux(motor, k, available, direct=direct)
    omega = 2.0 * np.pi * motor.rated_speed
    stray = motor.stray_loss / (omega * motor.rated_torque**2)
    gap = torque * (1.0 + stray * torque / flux**2) + motor.friction_loss / omega * k
    share = np.minimum(gap / (motor.breakdown_torque * flux**2), 1.0)
    return np.asarray(motor.breakdown_drop * share / (1.0 + np.sqrt(1.0 - share**2)))


def _flux(motor: MotorConstants, k: Array, available: Array, *, direct: bool) -> Array:
    held = available if direct else np.minimum(motor.voltage * k, available)
    return np.asarray(held / (motor.voltage * k))


def _base_speed(train: TrainNumbers, fall: Array, speed: Array, available: Array) -> Array:
    """Speed of the motor at its base frequency, or on the line. [1/s]"""
    motor = train.power.motor
    if train.power.direct:
        return speed
    flux = _flux(motor, np.ones(1), available, direct=False)
    return np.asarray(2.0 * motor.frequency / motor.poles - fall / flux**2)


def _volts(train: TrainNumbers, pump: PumpMap, power: Array) -> tuple[Array, Array]:
    """Volts at the terminals, and at most at the motor, at a power of the motor's shaft. [V]

    Amps go with the power, from those at which the pump was rated: a per cent of them moves the volts by a few
    parts in ten thousand.
    """
    share = np.maximum(power * train.pump.belt_efficiency / pump.power, 0.3)
    amps = pump.motor_current if train.power.direct else pump.supply_current
    before = Pass(
        train.power.motor.rated_speed, train.full_flow, amps * share, pump.motor_current * share,
        first_warmth(train.pump, breath=train.breath),
    )  # fmt: skip
    return voltages(train, before=before, other_amps=pump.other_current)


def _cooling(train: TrainNumbers, motor: MotorState) -> Array:
    if not train.power.self_fanned:
        return np.ones((1, 1, 1))
    turning = motor.speed / train.power.motor.rated_speed
    return np.asarray(fan_cooled_torque_share(turning, full_torque_down_to=train.power.cooling_floor))
