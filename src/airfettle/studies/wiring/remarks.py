"""What is said beside a wiring drawing: of each finding that it shows, and of what is good to know."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from airfettle.studies.wiring.circuit import Circuit, Device, Net, Remark

Signal = Literal["danger", "warning", "caution", "notice"]
LOUDNESS: dict[Signal, int] = {"danger": 0, "warning": 1, "caution": 2, "notice": 3}


@dataclass(frozen=True)
class Said:
    """Words on one finding as a drawing shows it."""

    signal: Signal
    says: str
    do: str


SAID = {
    "only_the_motor_on_the_drive": Said(
        "danger", "More than one motor hangs on the drive's output.",
        "Take all but the motor off these wires; feed the rest from the line side. Several motors need an overload "
        "relay each."),
    "cooler_fan_on_the_drive": Said(
        "danger", "The cooler's fan hangs on the drive's output: it burns there, and stops while the cooler is hot.",
        "Feed the fan from the line side through a fuse of its own and a relay that runs on after the pump stops."),
    "fan_stops_with_motor": Said(
        "warning", "The cooler's fan hangs on the motor's wires and stops while the cooler is hot.",
        "Feed the fan from the line side through a fuse of its own and a relay that runs on after the pump stops."),
    "motor_wires_opened": Said(
        "danger", "A contact can open the wires between drive and motor while the drive runs.",
        "Stop and start by the drive's run input. An isolator stays only for work on the motor, with an early-break "
        "contact in the enable circuit."),
    "mains_on_the_output": Said(
        "danger", "The bypass can put mains on the drive's output.",
        "Take it out, or have a second contactor behind the drive, both interlocked by mechanism and by wiring."),
    "drive_input_switched": Said(
        "warning", "The drive is started and stopped by switching its supply; its charging resistor burns out.",
        "Leave the drive on its supply and let the pressure switch close its run input."),
    "power_contacts_on_a_signal": Said(
        "caution", "Contacts made for a motor's amps feed a signal input; they soon no longer get through.",
        "Let the pressure switch pull a small relay, whose gold-plated contact closes the run input."),
    "pressure_switch_overloaded": Said(
        "danger", "The motor is too large for the pressure switch's contacts; they can weld together.",
        "Let the pressure switch pull a contactor with an overload relay, chosen for the motor."),
    "single_phase_motor_on_a_drive": Said(
        "danger", "A single-phase motor on a drive burns its capacitors and start switch.",
        "Fit a three-phase motor, or take the drive away."),
    "three_phase_motor_on_one_phase": Said(
        "warning", "A three-phase motor hangs straight on a single phase: it does not start, and burns.",
        "Put a drive or a rotary converter between, or fit a single-phase motor."),
    "static_converter": Said(
        "warning", "A static converter leaves the drive on one phase while it runs.",
        "Feed the drive straight from the single phase, derated for it."),
    "no_emergency_stop": Said(
        "warning", "No emergency stop that stays in stands by the pump.",
        "Fit a red mushroom button that latches, in reach of the pump."),
    "no_disconnect_in_sight": Said(
        "warning", "No switch that can be locked off stands in sight of the motor.",
        "Have a lockable disconnect fitted in sight of the motor, ahead of drive and starter."),
    "motor_overload_setting": Said(
        "warning", "Nothing set to the motor's plate amps protects it from overload.",
        "Set the drive's motor amps or the overload relay to the amps on the motor's plate."),
    "protective_earth": Said(
        "danger", "No unbroken earth wire joins panel, drive or starter, and motor frame.",
        "Have it run with the live wires, under a screw of its own at each. Never lift it."),
    "ground_fault_device": Said(
        "caution", "The ground-fault device is not made for a drive: it trips, or no longer sees a fault.",
        "Feed the drive from a circuit of its own that needs no such device, or through one of type B, as the code "
        "of the place allows. Never lift the earth."),
    "high_leg_load": Said(
        "warning", "Something for 120 V is wired between the high leg and neutral, which stand 208 V apart.",
        "Have it moved to one of the other two legs."),
    "unshielded_motor_lead": Said(
        "notice", "The motor lead has no shield: radio noise, and clicks in other controls.",
        "Use shielded motor cable, its shield clamped all round at both ends."),
    "unloader_shut_after_fault": Said(
        "caution", "After a fault of the drive the head stays full: the next start is against pressure.",
        "Let a solenoid valve that opens without power empty the head whenever the drive does not run."),
    "loaded_start": Said(
        "warning", "Nothing empties the head before a start.",
        "Fit a solenoid valve that opens without power, fed only while the motor runs."),
    "transducer_alone": Said(
        "danger", "Nothing but the transducer stops the plant at too high a pressure.",
        "Fit a pressure switch of its own, a little above cut-out, whose contact stops the drive or drops the "
        "contactor, and an unloader valve."),
    "restarts_by_itself": Said(
        "warning", "It may start by itself after a stop that was not the pressure switch's.",
        "Wire it so that a press on start is needed after an emergency stop, a fault and an outage, and set the drive "
        "to no restart by itself."),
    "lost_speed_signal": Said(
        "warning", "The drive runs on when its speed signal is lost.",
        "Set the drive to stop on loss of the signal; a 4-20 mA signal shows a broken wire."),
    "drive_filter_to_earth": Said(
        "warning", "The drive's filter to earth is connected on a supply that is uneven to earth.",
        "Supply locked off and capacitors discharged, open its screw or jumper as the drive's manual shows."),
    "drive_in_a_bad_place": Said(
        "danger", "The drive stands in spray, dust or a closed box.",
        "Move it into clean air outside the spray area, or into a box made for the place."),
    "breaker_too_large": Said(
        "danger", "The breaker or fuses are too large for what they protect.",
        "Have them changed for what wires, motor and the drive's manual allow."),
    "supply_wire": Said(
        "danger", "The supply wires are too small.", "Have the run renewed in the size that the load asks for."),
    "motor_lead_wire": Said(
        "danger", "The motor lead is too small.", "Have it renewed in the size that the motor asks for."),
    "ramp_stop": Said(
        "caution", "The drive ramps the pump down to stop it.", "Set the drive to coast to a stop."),
}  # fmt: skip
"""Words on the findings that a wiring drawing can show, with their loudest signal word."""


def remark(rule: str, *about: str, signal: Signal | None = None, says: str = "") -> Remark:
    """Return the remark on a finding; ``signal`` and ``says`` in place of the usual ones."""
    said = SAID[rule]
    return Remark(signal or said.signal, says or said.says, said.do, about, rule)


def what_is_new(rule: str, *about: str) -> Remark:
    """Return the remark on something that a corrected drawing changed."""
    return Remark("notice", f"Changed here: {SAID[rule].do}", "", about, rule)


def to_know(says: str, *about: str, do: str = "") -> Remark:
    """Return a notice that no finding stands behind."""
    return Remark("notice", says, do, about)


def in_order(remarks: list[Remark]) -> tuple[Remark, ...]:
    """Return remarks worst first, those alike as they were made, none twice."""
    return tuple(sorted(dict.fromkeys(remarks), key=lambda each: LOUDNESS[each.signal]))


def of_states(things: tuple[Device | Net, ...], *, corrected: bool, louder: dict[str, Signal]) -> list[Remark]:
    """Return a remark for each finding that devices and nets carry.

    Parameters
    ----------
    things : tuple of Device or Net
        In their order.
    corrected : bool
        They are what was put right.
    louder : dict
        Rule -> signal word that holds here in place of the rule's loudest.
    """
    about: dict[str, list[str]] = {}
    for thing in things:
        if thing.finding:
            about.setdefault(thing.finding, []).append(thing.tag if isinstance(thing, Device) else thing.number)
    if corrected:
        return [what_is_new(rule, *tags) for rule, tags in about.items()]
    return [remark(rule, *tags, signal=louder.get(rule)) for rule, tags in about.items()]


def with_remarks(circuit: Circuit, more: list[Remark], *, louder: dict[str, Signal]) -> Circuit:
    """Return a circuit with the remarks on its findings, and others, worst first."""
    own = of_states((*circuit.devices, *circuit.nets), corrected=circuit.corrected, louder=louder)
    return replace(circuit, remarks=in_order([*own, *more]))
