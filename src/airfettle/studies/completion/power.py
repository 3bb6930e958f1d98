"""Supply, drive and motor as numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import EntriesDisagree
from airfettle.parts.conductor import areas, resistances
from airfettle.parts.drive import output_current_limit, power_factor_span
from airfettle.parts.motor import MotorConstants, motor_from_plate
from airfettle.parts.motor_class import (
    breakdown_torque_ratio,
    full_load_efficiency,
    rotor_inertia,
    table_current,
)
from airfettle.parts.supply import supply_kind
from airfettle.plant.drive import Drive
from airfettle.plant.motor import Motor
from airfettle.plant.supply import Supply
from airfettle.plant.whole import Train

Array = NDArray[np.float64]

SUPPLY_ROWS = {
    "single-phase 120/240": "split-phase", "single-phase 230": "single-230", "208 wye": "wye-208",
    "240 high-leg delta": "high-leg-240", "240 corner-grounded delta": "corner-240", "400/230 wye": "wye-400",
    "480/277 wye": "wye-480", "generator, single-phase": "split-phase", "generator, three-phase": "generator",
    "rotary converter": "rotary-converter", "static converter": "static-converter",
}  # fmt: skip
"""The plant file's words for a supply -> its row in the table of supplies."""

MOST_SLIP = 0.10
"""Full-load slip beyond which a plate's speed belongs to other poles or another frequency. [-]  Source: practice."""
SINGLE_PHASE_LOSSES = 1.5
"""Losses of a single-phase motor over a three-phase one's of its size. [-]  Source: practice."""
NO_POWER_TOLD = 3_700.0
"""Motor power where neither motor nor drive says one. [W]  Source: practice (the 5 hp class)."""


@dataclass(frozen=True)
class PowerNumbers:
    """What feeds and turns the pump, shape (draw, 1, 1) unless a plain number. [SI]

    Attributes
    ----------
    direct : bool
        The motor hangs straight on the line.
    phases : int
        Of the supply.
    line_root : float
        sqrt(3) on three phases, 1 on a single phase. [-]
    supply_voltage, supply_frequency : ndarray
        Between live wires, wander included; mains frequency. [V] [Hz]
    wire_resistance, lead_resistance : ndarray
        Of one wire from panel to drive, and from drive to motor; 0 where not told. [ohm]
    drive_efficiency, drive_voltage_drop, drive_power_factor : ndarray
        [-]
    output_limit : ndarray or None
        Amps the drive may put out as fed; None where neither amps nor power are told. [A]
    motor : MotorConstants
        From plate and tables.
    rotor_inertia, winding_rise, cooling_floor : ndarray
        [kg m2] [K] [-]
    taken : tuple of str
        What was taken for granted because neither told nor drawn, in words.
    self_fanned : bool
        Cooled by its own fan; a motor made for a drive cools at any speed.
    """

    direct: bool
    phases: int
    line_root: float
    supply_voltage: Array
    supply_frequency: Array
    wire_resistance: Array
    lead_resistance: Array
    drive_efficiency: Array
    drive_voltage_drop: Array
    drive_power_factor: Array
    output_limit: Array | None
    motor: MotorConstants
    rotor_inertia: Array
    winding_rise: Array
    cooling_floor: Array
    self_fanned: bool
    taken: tuple[str, ...]


def power_numbers(train: Train[Array], *, mains: float) -> PowerNumbers:
    """Return supply, drive and motor of a train as numbers.

    Parameters
    ----------
    train : Train
        Drawn. [SI]
    mains : float
        Mains frequency where nothing tells it: 60 for owners who write US units, else 50. [Hz]
    """
    supply, drive, motor, lead = train.supply, train.drive, train.motor, train.motor_lead
    assert supply is not None  # the draw puts these four there
    assert drive is not None
    assert motor is not None
    assert lead is not None
    direct = drive.absent
    nominal, phases, frequency = _supply(supply, motor, mains)
    constants = _motor(motor, drive, nominal, frequency, direct)
    return PowerNumbers(
        direct=direct, phases=phases, line_root=float(np.sqrt(3.0)) if phases == 3 else 1.0,
        supply_voltage=nominal * supply.tolerance, supply_frequency=frequency,
        wire_resistance=_resistance(supply.wire, supply.wire_length),
        lead_resistance=_resistance(lead.wire, lead.wire_length),
        drive_efficiency=np.ones(1) if direct else drive.efficiency,
        drive_voltage_drop=np.zeros(1) if direct else drive.voltage_drop,
        drive_power_factor=np.ones(1) if direct else _power_factor(drive, phases),
        output_limit=None if direct else _output_limit(drive, phases, constants),
        motor=constants, rotor_inertia=_rotor(motor, constants), winding_rise=motor.winding_rise,
        cooling_floor=motor.cooling_floor, self_fanned=motor.inverter_duty != "yes",
        taken=_taken(train, phases, nominal, constants),
    )  # fmt: skip


def _taken(train: Train[Array], phases: int, volts: Array, motor: MotorConstants) -> tuple[str, ...]:
    """What stands behind the numbers though nobody told it, in words."""
    supply, own = train.supply, train.motor
    assert supply is not None
    assert own is not None
    found = []
    if supply.kind is None:
        likely = float(np.ravel(volts)[0])
        found.append(f"a supply of {'three phases' if phases == 3 else 'a single phase'} at {likely:.0f} V")
    if own.power is None:
        found.append(f"a motor of {float(np.ravel(motor.power)[0]) / 1e3:.1f} kW")
    if own.frequency is None:
        found.append(f"a motor for {float(np.ravel(motor.frequency)[0]):g} Hz")
    if own.poles is None and own.speed is None:
        found.append(f"a motor of {int(float(np.ravel(motor.poles)[0]))} poles")
    return tuple(found)


def supply_phases(supply: Supply[Array], motor: Motor[Array]) -> int:
    """Return the phases of a supply; where its kind is not told, those of its motor."""
    return int(supply_kind(SUPPLY_ROWS[supply.kind]).phases) if supply.kind else motor.phases


def _supply(supply: Supply[Array], motor: Motor[Array], mains: float) -> tuple[Array, int, Array]:
    """Volts, phases and frequency: as told, by the kind of supply, or as the motor's plate asks."""
    volts = np.array(230.0 if mains == 60.0 else 400.0) if motor.voltage is None else motor.voltage
    frequency = mains if motor.frequency is None else float(np.ravel(motor.frequency)[0])
    if supply.kind:
        offered = supply_kind(SUPPLY_ROWS[supply.kind])
        volts = np.array(offered.voltage)
        frequency = mains if "generator" in supply.kind else offered.frequency
    return (
        supply.voltage if supply.voltage is not None else volts,
        supply_phases(supply, motor),
        supply.frequency if supply.frequency is not None else np.array(frequency),
    )


def _motor(motor: Motor[Array], drive: Drive[Array], volts: Array, mains: Array, direct: bool) -> MotorConstants:
    power = motor.power
    if power is None:
        power = np.array(NO_POWER_TOLD) if direct or drive.rated_power is None else drive.rated_power
    frequency = _plate_frequency(motor, mains)
    poles, speed = _poles_and_speed(motor, frequency)
    efficiency = motor.efficiency
    if efficiency is None:
        enclosure = "open" if motor.enclosure == "open" else "enclosed"
        nominal = full_load_efficiency(power, poles=poles, enclosure=enclosure)
        more = SINGLE_PHASE_LOSSES if motor.phases == 1 else 1.0
        efficiency = 1.0 / (1.0 + (1.0 / nominal - 1.0) * motor.efficiency_doubt * more)
    breakdown = motor.breakdown_ratio
    if breakdown is None:
        breakdown = breakdown_torque_ratio(power, poles=poles) * motor.breakdown_doubt
    return motor_from_plate(
        power=power, voltage=volts if motor.voltage is None else motor.voltage, frequency=frequency,
        rated_speed=speed, poles=poles, efficiency=efficiency, power_factor=motor.power_factor,
        breakdown_ratio=breakdown, no_load_share=motor.no_load_share, phases=motor.phases,
    )  # fmt: skip


def _plate_frequency(motor: Motor[Array], mains: Array) -> Array:
    """Plate frequency as told; else the mains', unless only the other of 50 and 60 Hz fits the plate's speed. [Hz]"""
    if motor.frequency is not None:
        return motor.frequency
    if motor.speed is None or _poles(motor, float(np.ravel(mains)[0])):
        return mains
    other = 110.0 - float(np.ravel(mains)[0])
    return np.array(other) if _poles(motor, other) else mains


def _poles(motor: Motor[Array], frequency: float) -> int:
    """Poles as told, or those whose synchronous speed lies closest above the plate's speed; 0 where none fits."""
    assert motor.speed is not None
    speed = float(np.ravel(motor.speed)[0])
    for poles in (motor.poles,) if motor.poles else (8, 6, 4, 2):
        synchronous = 2.0 * frequency / poles
        if (1.0 - MOST_SLIP) * synchronous <= speed <= 1.002 * synchronous:
            return poles
    return 0


def _poles_and_speed(motor: Motor[Array], frequency: Array) -> tuple[float, Array]:
    """Poles and full-load speed: from the plate's speed, or from poles and slip; a synchronous speed told is no
    full-load speed and only gives the poles.
    """
    hertz = float(np.ravel(frequency)[0])
    if motor.speed is None:
        poles = float(motor.poles or 4)
        return poles, 2.0 * frequency / poles * (1.0 - motor.slip)
    found = _poles(motor, hertz)
    if not found:
        rpm = float(np.ravel(motor.speed)[0]) * 60.0
        raise EntriesDisagree(
            read=f"a motor of {rpm:.0f} rpm on {hertz:g} Hz" + (f" with {motor.poles} poles" if motor.poles else ""),
            where="motor.speed", wanted=f"a full-load speed up to {MOST_SLIP:.0%} below "
            + ", ".join(f"{120.0 * hertz / p:.0f}" for p in (2, 4, 6, 8)) + " rpm, and the plate's frequency",
        )  # fmt: skip
    poles = float(found)
    if float(np.ravel(motor.speed)[0]) > 0.998 * 2.0 * hertz / poles:
        return poles, 2.0 * frequency / poles * (1.0 - motor.slip)
    return poles, motor.speed


def _rotor(motor: Motor[Array], constants: MotorConstants) -> Array:
    if motor.rotor_inertia is not None:
        return motor.rotor_inertia
    return rotor_inertia(constants.power, poles=constants.poles)


def _resistance(wire: Array | None, length: Array) -> Array:
    """Resistance of one wire, warm, from the code's table of stranded copper. [ohm]"""
    if wire is None:
        return np.zeros(1)
    sizes = areas("nec-75")
    per_metre = np.interp(wire, sizes, resistances("nec-75") * sizes) / wire
    return np.asarray(per_metre * length)


def _power_factor(drive: Drive[Array], phases: int) -> Array:
    """True power factor as told, or at its place in the usual range; unknown reactor, the range of both. [-]"""
    if drive.true_power_factor is not None:
        return drive.true_power_factor
    fitted = [True, False] if drive.reactor == "unknown" else [drive.reactor == "yes"]
    spans = [power_factor_span(phases=phases, reactor=reactor) for reactor in fitted]
    low, high = min(s.low for s in spans), max(s.high for s in spans)
    return np.asarray(low + (high - low) * drive.power_factor_place)


def _output_limit(drive: Drive[Array], phases: int, motor: MotorConstants) -> Array | None:
    """Amps the drive may put out, fed as it is; a drive known only by its power by the code's table."""
    rated = drive.rated_output_current
    if rated is None and drive.rated_power is not None:
        rated = table_current(drive.rated_power, voltage=motor.voltage, phases=3)
    allowed = drive.single_phase_output_current
    if rated is None or drive.input_phases == 1:
        return allowed if rated is None and phases == 1 else rated
    share = drive.single_phase_share if allowed is None else 1.0
    return output_current_limit(rated, input_phases=phases, single_phase_share=share, single_phase_current=allowed)
