"""A train's wiring put right: each thing that a finding says is wrong or missing set to what it should be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from airfettle.studies.wiring.circuit import Sort
from airfettle.studies.wiring.drive_inputs import reads_a_signal
from airfettle.studies.wiring.wired import POWER_CONTACTS, SIGNAL_CONTACTS, WITH_A_RUN_ON, Wired

BOTH: tuple[Sort, ...] = ("power", "control")
SHUT = "unloader_shut_after_fault"


@dataclass(frozen=True)
class Correction:
    """One thing put right.

    Attributes
    ----------
    section, name : str
        The fact that is wrong.
    answers : tuple of str
        Answers that are; None among them where the fact may also be a number.
    good : callable
        What it should be, of the train.
    rule : callable
        Rule of the finding, of the train.
    sorts : tuple of str
        Circuits it shows in.
    where : callable
        Whether it applies to the train at all.
    """

    section: str
    name: str
    answers: tuple[Any, ...]
    good: Callable[[Wired], Any]
    rule: Callable[[Wired], str]
    sorts: tuple[Sort, ...]
    where: Callable[[Wired], bool] = lambda wired: True


def _is(value: Any) -> Callable[[Wired], Any]:
    return lambda wired: value


def _on_drive(wired: Wired) -> bool:
    return wired.on_drive


def _behind_drive(wired: Wired) -> bool:
    return wired.on_drive and wired.switch_breaks_motor


def _switches_its_supply(wired: Wired) -> bool:
    return bool(wired.fact("drive", "started_by") == "switching its supply")


def _reads_a_signal(wired: Wired) -> bool:
    return wired.on_drive and reads_a_signal(wired)


def _feeds_an_input(wired: Wired) -> bool:
    return wired.on_drive and not wired.transducer


def _bare_with_transducer(wired: Wired) -> bool:
    return wired.transducer and wired.fact("control", "independent_pressure_stop") == "no"


def _needs_an_unloader(wired: Wired) -> bool:
    return _bare_with_transducer(wired) or wired.holds("loaded_start", "pump")


def _vents_late(wired: Wired) -> bool:
    """Whether an unloader leaves the head full at a fault: a switch's own valve, or a solenoid told by the switch."""
    told = wired.fact("pump", "unloader") in ("valve on the pressure switch", "solenoid valve")
    return wired.on_drive and told


def _upset(wired: Wired) -> bool:
    told = wired.fact("supply", "ground_fault")
    return wired.on_drive and (told == "4-6 mA" or len(wired.feed) == 3)


def _single_phase(wired: Wired) -> str:
    return "single-phase 120/240" if wired.units == "US" else "single-phase 230"


def _on_one_phase(wired: Wired) -> bool:
    return not wired.on_drive and wired.parts["motor"].phases == 3 and len(wired.feed) == 2


SINGLE = ("single-phase 120/240", "single-phase 230", "generator, single-phase")
RESTARTS = ("power coming back", "a fault that resets itself", "release of the emergency stop", "several of these",
            "unknown")  # fmt: skip
CORRECTIONS = (
    Correction("control", "contacts", ("motor",), _is(SIGNAL_CONTACTS), _is("motor_wires_opened"), BOTH, _behind_drive),
    Correction("control", "contacts", (POWER_CONTACTS,), _is(SIGNAL_CONTACTS), _is("power_contacts_on_a_signal"),
               ("control",), _feeds_an_input),
    Correction("control", "contacts", ("motor",), _is("contactor coil"), _is("pressure_switch_overloaded"), BOTH,
               lambda wired: wired.holds("pressure_switch_overloaded", "control")),
    Correction("drive", "started_by", ("switching its supply",), _is("its run input"), _is("drive_input_switched"),
               BOTH),
    Correction("drive", "on_output",
               ("also a fan, relay or supply", "capacitors", "neutral or earth on the star point"),
               _is("only the motor"), _is("only_the_motor_on_the_drive"), ("power",)),
    Correction("drive", "on_output", ("several motors",), _is("several motors with an overload each"),
               _is("only_the_motor_on_the_drive"), ("power",)),
    Correction("drive", "output_switch", ("opens in normal stopping",), _is("none"), _is("motor_wires_opened"), BOTH),
    Correction("drive", "output_switch", ("isolator alone",), _is("isolator with early-break contact"),
               _is("motor_wires_opened"), BOTH),
    Correction("drive", "bypass", ("not interlocked",), _is("interlocked"), _is("mains_on_the_output"), BOTH),
    Correction("cooler", "fan", ("drive output",), _is("own supply"),
               lambda wired: "cooler_fan_on_the_drive" if wired.on_drive else "fan_stops_with_motor", BOTH),
    Correction("motor", "phases", (1,), _is(3), _is("single_phase_motor_on_a_drive"), ("power",), _on_drive),
    Correction("motor", "disconnect", ("no", "unknown"), _is("yes"), _is("no_disconnect_in_sight"), ("power",)),
    Correction("motor", "overload_set", ("none", "above plate amps"), _is("plate amps"), _is("motor_overload_setting"),
               BOTH, lambda wired: not wired.on_drive),
    Correction("motor_lead", "shielded", ("no",), _is("yes"), _is("unshielded_motor_lead"), ("power",), _on_drive),
    Correction("supply", "kind", ("static converter",), _single_phase, _is("static_converter"), ("power",), _on_drive),
    Correction("supply", "kind", SINGLE, _is("rotary converter"), _is("three_phase_motor_on_one_phase"), ("power",),
               _on_one_phase),
    Correction("supply", "protective_earth", ("no",), _is("yes"), _is("protective_earth"), ("power",)),
    Correction("supply", "high_leg_load", ("yes",), _is("no"), _is("high_leg_load"), ("power",),
               lambda wired: wired.fact("supply", "kind") == "240 high-leg delta"),
    Correction("supply", "ground_fault", ("4-6 mA", "30 mA type A or AC"),
               lambda wired: "none" if wired.fact("supply", "ground_fault") == "4-6 mA" else "30 mA type B",
               _is("ground_fault_device"), ("power",), _upset),
    Correction("pump", "unloader", ("none",), _is("solenoid valve"),
               lambda wired: "transducer_alone" if _bare_with_transducer(wired) else "loaded_start", ("control",),
               _needs_an_unloader),
    Correction("pump", "vents_after_fault", ("no",), _is("yes"), _is(SHUT), ("control",), _vents_late),
    Correction("control", "emergency_stop", ("no", "unknown"), _is("yes"), _is("no_emergency_stop"), ("control",)),
    Correction("control", "independent_pressure_stop", ("no", "unknown"), _is("yes"), _is("transducer_alone"),
               ("control",), lambda wired: wired.transducer),
    Correction("drive", "lost_speed", ("runs on", "unknown"), _is("stops"), _is("lost_speed_signal"), ("control",),
               _reads_a_signal),
    Correction("control", "restarts_by_itself", RESTARTS, _is("nothing"), _is("restarts_by_itself"), ("control",)),
)  # fmt: skip
"""All that a corrected drawing puts right, in order: later ones look at what earlier ones made of the train."""


NUMBERS = (
    ("supply", "wire", "supply_wire"), ("motor_lead", "wire", "motor_lead_wire"),
    ("supply", "breaker", "breaker_too_large"),
)  # fmt: skip
"""Sizes that a finding can say are wrong: section, entry, rule."""


def corrected(wired: Wired) -> tuple[Wired, frozenset[Sort]]:
    """Return a train put right, and the circuits in which something had to be.

    Parameters
    ----------
    wired : Wired
        As it is.

    Returns
    -------
    (Wired, frozenset of str)
        The same train where nothing had to be.
    """
    now, sorts = wired, set[Sort]()
    for correction in CORRECTIONS:
        if now.fact(correction.section, correction.name, None) in correction.answers and correction.where(now):
            now = _set_right(now, correction)
            sorts |= set(correction.sorts)
            if correction.name == "emergency_stop" and _stop_in_power(wired):
                sorts.add("power")
    for section, name, rule in NUMBERS:
        if now.holds(rule, section):
            now = replace(now, changes={**now.changes, f"{section}.{name}": rule})
            sorts.add("power")
    if not sorts:
        return wired, frozenset()
    return replace(now, interposed=_interposed(wired, now), latched=_latched(wired, now)), frozenset(sorts)


def _set_right(wired: Wired, correction: Correction) -> Wired:
    rule = correction.rule(wired)
    update = {correction.name: correction.good(wired)}
    if correction.rule(wired) == SHUT:
        update["unloader"] = "solenoid valve"
    if correction.name == "fan":
        update["fan_started_by"] = WITH_A_RUN_ON
    part = wired.parts[correction.section].model_copy(update=update)
    return replace(wired, parts={**wired.parts, correction.section: part},
                   changes={**wired.changes, f"{correction.section}.{correction.name}": rule})  # fmt: skip


def _interposed(before: Wired, now: Wired) -> bool:
    """Whether the old switch, made for power, now pulls a small relay."""
    switched = _switches_its_supply(before) or before.fact("drive", "output_switch") == "opens in normal stopping"
    return now.on_drive and not now.transducer and ("control.contacts" in now.changes or switched)


def _latched(before: Wired, now: Wired) -> bool:
    """Whether a relay must be started again: so it was, or something started the plant that should not."""
    return before.latched or "control.restarts_by_itself" in now.changes


def _stop_in_power(wired: Wired) -> bool:
    return not wired.on_drive and wired.switch_breaks_motor
