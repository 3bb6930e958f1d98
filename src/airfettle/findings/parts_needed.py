"""Parts that findings ask for, each with the rating this plant needs of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, log10

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_DRY_AIR
from airfettle.findings.case import Case
from airfettle.findings.finding import Finding, Signal
from airfettle.findings.on_train import three
from airfettle.findings.parts_wires import (
    Drawn,
    disconnect_words,
    drawings,
    drawn_new,
    earth_words,
    most,
    motor_amps,
    motor_lead_words,
    supply_wire_words,
)
from airfettle.findings.parts_words import bare
from airfettle.findings.relief_valves import swept_share
from airfettle.quantity import in_unit, plain, shown_unit

Array = NDArray[np.float64]

ABOVE_CUT_OUT = 1.1
"""Setting of a relief valve over cut-out that leaves it shut, gauge. [-]  Source: practice."""
APPROACH = 10.0
"""How near to the room's air a cooler ought to bring the air. [K]  Source: practice."""
VAPOUR_HEAT = 2.4e6
"""Heat that water gives up as it falls out at 40 degC. [J/kg]  Source: iapws-r7-97, rounded."""
COLDER = 10.0
"""How far the dew point ought to lie below the coldest pipe. [K]  Source: practice."""


@dataclass(frozen=True)
class PartNeeded:
    """One part that a finding asks for.

    Attributes
    ----------
    part, rating : str
        Its name, and what this plant asks of it; what the finding says where no rating is known.
    rule, about : str
        The finding, and the path of the part that it is about.
    signal : str
        Its signal word as things are known.
    sure : bool
        The finding holds; otherwise whether the part is there is not told.
    tag : str
        What the corrected wiring drawing calls it; empty where it draws no such thing.
    """

    part: str
    rating: str
    rule: str
    about: str
    signal: Signal
    sure: bool
    tag: str = ""


@dataclass(frozen=True)
class Need:
    """What a rule asks for: a part, and the rating as a function of the plant and the train that it is about.

    Attributes
    ----------
    part : str
        Its name in the trade.
    rating : callable or str
        Words, or what makes them.
    asked : bool
        A fact that is not told may also mean that the part is missing; otherwise only a finding that holds asks.
    """

    part: str
    rating: Callable[[Case, int], str] | str = ""
    asked: bool = False


def parts_needed(case: Case, *, findings: Sequence[Finding]) -> tuple[PartNeeded, ...]:
    """Return the parts that findings ask for, the worst finding first.

    Parameters
    ----------
    case : Case
        The plant at every point its settings reach. [SI]
    findings : sequence of Finding
        As judged, worst first.

    Returns
    -------
    tuple of PartNeeded
        Each part once for each part of the plant that it is for; then what the corrected wiring drawings add.
    """
    found: dict[tuple[str, str], PartNeeded] = {}
    for finding in findings:
        need = NEEDS.get(finding.rule)
        if need is None or not (finding.state == "holds" or (finding.state == "not told" and need.asked)):
            continue
        about = finding.parts[0] if finding.parts else ""
        rating = need.rating if isinstance(need.rating, str) else need.rating(case, _train(case, about))
        sure, rating = finding.state == "holds", rating or finding.says
        new = PartNeeded(need.part, rating, finding.rule, about, finding.signal, sure)
        old = found.setdefault((need.part, about), new)
        if sure and not old.sure:
            found[need.part, about] = new
    needs = list(found.values())
    for drawn in drawn_new(drawings(case, findings=findings)):
        _add_drawn(needs, drawn, findings)
    place = {(finding.rule, finding.state == "holds"): n for n, finding in reversed(list(enumerate(findings)))}
    return tuple(sorted(needs, key=lambda need: place.get((need.rule, need.sure), len(findings))))


SAME = {
    "Q1": ("no_disconnect_in_sight",), "S0": ("no_emergency_stop",), "B2": ("transducer_alone",),
    "K1": ("pressure_switch_overloaded",), "F3": ("pressure_switch_overloaded",),
    "K5": ("power_contacts_on_a_signal",), "K7": ("cooler_fan_on_the_drive", "fan_stops_with_motor"),
    "G1": ("three_phase_motor_on_one_phase",), "Y1": ("loaded_start", "unloader_shut_after_fault"),
}  # fmt: skip
"""Device of the drawings -> rules whose part in ``NEEDS`` is that very device."""


def _add_drawn(needs: list[PartNeeded], drawn: Drawn, findings: Sequence[Finding]) -> None:
    """Add a device of the corrected drawings, or its tag to the part that is asked for already."""
    same = [n for n, need in enumerate(needs)
            if need.rule == drawn.rule and drawn.rule in SAME.get(drawn.kind, ())
            and _same_train(need.about, drawn.about)]  # fmt: skip
    if same:
        old = needs[same[0]]
        needs[same[0]] = replace(old, tag=", ".join(tag for tag in (old.tag, drawn.tag) if tag))
        return
    asking = [finding for finding in findings if finding.rule == drawn.rule]
    asking.sort(key=lambda finding: (drawn.about not in finding.parts, finding.state != "holds"))
    if asking:
        sure = asking[0].state == "holds"
        signal: Signal = asking[0].signal if sure else "notice"
        needs.append(PartNeeded(drawn.part, drawn.what, drawn.rule, drawn.about, signal, sure, drawn.tag))


def _same_train(one: str, other: str) -> bool:
    """Return whether two paths are of one train, or either is of none."""
    trains = [path.rpartition(".")[0] if path.startswith("train.") else "" for path in (one, other)]
    return "" in trains or trains[0] == trains[1]


def _train(case: Case, path: str) -> int:
    """Return the place of the train that a path is of, the first where it is of none."""
    named = (n for n, train in enumerate(case.plant.trains) if path.startswith(f"train.{train.name or n + 1}."))
    return next(named, 0)


def _swept(case: Case, trains: Sequence[int]) -> str:
    one = np.ones((1, 1, 1))
    share = np.asarray(sum(swept_share(case, train=train, capacity=one) for train in trains))
    return f"passing at least {_at_least(case, most(share), kind='reference_flow')}"


def _at_least(case: Case, value: float, *, kind: str, digits: int = 2) -> str:
    """Return a number rounded up, as one looks for a part that is good for it. [SI]"""
    unit = shown_unit(kind, case.units)
    number = in_unit(value, kind=kind, unit=unit)
    step = 10.0 ** (floor(log10(number)) + 1 - digits) if number > 0.0 else 1.0
    return f"{ceil(number / step - 1e-9) * step:.{digits + 2}g} {unit}"


def _pressure(case: Case, value: float) -> str:
    return _at_least(case, value, kind="pressure", digits=3)


def _cut_out(case: Case) -> float:
    return most(case.reach.numbers.cut_out - case.reach.draw.barometer)


def _hottest(case: Case, train: int) -> str:
    air = case.reach.state.trains[train].discharge_temperature
    return f"good for air of {_at_least(case, most(air), kind='temperature')}"


def _strongest(case: Case, train: int) -> str:
    """Pressure that parts ahead of the check valve have to stand: the setting of what relieves them."""
    outlet = _settings(case, "pump discharge")
    return f"rated above the relief valve's {outlet}" if outlet else _rated(case, train)


def _rated(case: Case, train: int) -> str:
    """Pressure that parts behind the check valve have to stand."""
    setting = _settings(case, "receiver")
    if setting:
        return f"rated above the relief valve's {setting}"
    return f"rated above the relief valve's setting, and {_pressure(case, ABOVE_CUT_OUT * _cut_out(case))} at least"


def _settings(case: Case, protects: str) -> str:
    """Settings told of the relief valves of a sort, as told."""
    found = [bare(part, "set_pressure") for part in case.parts("relief_valve")
             if part.fact("protects") == protects and part.told("set_pressure")]  # fmt: skip
    return " and ".join(dict.fromkeys(found))


def _hot(case: Case, train: int) -> str:
    return f"{_hottest(case, train)}, {_strongest(case, train)}"


def _vessel(case: Case, train: int) -> str:
    setting = _settings(case, "receiver")
    valve = f", at or above the relief valve's {setting}" if setting else ""
    return f"plate pressure above the cut-out of {_pressure(case, _cut_out(case))}{valve}"


def _receiver_relief(case: Case, train: int) -> str:
    plates = [bare(part, "plate_pressure") for part in case.parts("receiver") if part.told("plate_pressure")]
    plate = " and ".join(dict.fromkeys(plates)) or "pressure, which is not told"
    shut, room = ABOVE_CUT_OUT * _cut_out(case), case.reach.draw.barometer
    told = [rows for part in case.parts("receiver") if (rows := part.rows("plate_pressure")) is not None]
    if any(float(np.median(rows - room)) < shut for rows in told):
        least = "the cut-out lowered to a tenth below it"
    else:
        least = f"above {_pressure(case, shut)} to stay shut at cut-out"
    return f"stamped, set at or below the plate's {plate}, {least}, {_swept(case, case.trains())}"


def _outlet_relief(case: Case, train: int) -> str:
    return f"stamped, {_hottest(case, train)}, set below what stands there is rated for, {_swept(case, [train])}"


def _relief(case: Case, train: int) -> str:
    return f"stamped; {_swept(case, case.trains())} where it stands on the receiver"


def _interstage(case: Case, train: int) -> str:
    between = case.reach.state.trains[train].interstage_pressure
    above = "" if between is None else f", above the {_pressure(case, most(between))} that stand there"
    return f"the one the pump's maker gives{above}"


def _contactor(case: Case, train: int) -> str:
    return f"for a motor of {_at_least(case, motor_amps(case, train), kind='current')}, with an overload relay"


def _drive(case: Case, train: int) -> str:
    motor = case.part("motor", train=train)
    amps = bare(motor, "current") if motor is not None and motor.told("current") else _at_least(
        case, most(case.reach.state.trains[train].motor_current), kind="current"
    )  # fmt: skip
    one = case.reach.numbers.trains[train].power.phases == 1
    fed = "on single-phase input, by its maker or twice that by its plate" if one else "at heavy duty"
    return f"at least {amps} out {fed}"


def _window(case: Case, train: int) -> str:
    """Least and most air that all pumps send, for what works between two flows."""
    air = three(np.asarray(sum(three(t.delivered_dry_air) for t in case.reach.state.trains)))
    least = float(np.percentile(np.min(air, axis=(1, 2)), 5.0))
    ends = (plain(value, kind="reference_flow", units=case.units) for value in (least, most(air)))
    return f"for {' to '.join(ends)}, {_strongest(case, train)}"


def _cooler(case: Case, train: int) -> str:
    state = case.reach.state.trains[train]
    over = np.maximum(state.discharge_temperature - state.room_temperature - APPROACH, 0.0)
    heat = state.delivered_dry_air * (CP_DRY_AIR * over + VAPOUR_HEAT * state.pump_outlet_humidity_ratio)
    duty = _at_least(case, most(np.asarray(heat)), kind="power")
    return f"for up to {duty} of heat, fan with a supply of its own, {_hot(case, train)}"


def _dryer(case: Case, train: int) -> str:
    air = np.asarray(sum(three(t.delivered_dry_air) for t in case.reach.state.trains))
    words = f"for {_at_least(case, most(air), kind='reference_flow')} at its own inlet and room temperature"
    pipe = case.part("shop_pipe")
    coldest = pipe.rows("coldest") if pipe is not None else None
    if coldest is None:
        return words
    least = plain(float(np.percentile(coldest, 5.0)) - COLDER, kind="temperature", units=case.units)
    return f"{words}, dew point of {least} or lower"


def _gauge(case: Case, train: int) -> str:
    return f"on the receiver, scale to about {_at_least(case, 2.0 * _cut_out(case), kind='pressure')}"


def _second_switch(case: Case, train: int) -> str:
    return f"opens a little above {_pressure(case, _cut_out(case))}, below the relief valve; has to be set anew by hand"


STAMPED = "relief valve for the receiver"
OWN_FEED = "fed from the line side through a small fuse of its own, running on some minutes after the pump"
NEEDS: dict[str, Need] = {
    "relief_missing": Need(STAMPED, _receiver_relief, asked=True),
    "relief_setting": Need(STAMPED, _receiver_relief),
    "relief_capacity": Need("relief valve of more capacity", _relief),
    "relief_tampered": Need("relief valve, new and sealed", _relief),
    "interstage_relief": Need("relief valve between the stages", _interstage, asked=True),
    "pump_side_relief": Need("relief valve at the pump's outlet", _outlet_relief, asked=True),
    "receiver_plate": Need("receiver with a plate that can be read", _vessel),
    "receiver_altered": Need("receiver with a plate that can be read", _vessel),
    "receiver_rust": Need("receiver, unless an inspector passes this one", _vessel),
    "wall_not_measured": Need("ultrasound reading of the receiver's wall", "along the bottom and round the drain"),
    "receiver_drain": Need("drain that reaches the lowest point", "through a port that is there; never weld or drill"),
    "receiver_feet": Need("saddle for the receiver", "fits its round, clamped without welding"),
    "receiver_gauge": Need("pressure gauge", _gauge, asked=True),
    "part_pressure_rating": Need("part rated for the pressure", _hot),
    "part_temperature_rating": Need("part rated for the heat", _hot),
    "hot_line_material": Need("hot line of steel, brazed copper or braided PTFE hose", _hot),
    "hot_line_rigid": Need("braided hose or free bend in the hot line", _hot, asked=True),
    "transducer_alone": Need("second pressure switch", _second_switch, asked=True),
    "loaded_start": Need("unloader valve", "opens without power, empties the head at every stop"),
    "unloader_shut_after_fault": Need(
        "unloader solenoid valve", "opens without power, on the drive's running relay", asked=True),
    "unloader_open_at_low_speed": Need("unloader solenoid valve", "opens without power, on the drive's running relay"),
    "flywheel_too_light": Need("heavier flywheel, where the lowest speed cannot be raised"),
    "belt_guard_missing": Need("belt guard", "mesh on a frame, bolted on, over belt, sheaves and flywheel", asked=True),
    "guard_stops_the_air": Need("mesh for the guard before the flywheel", "no finger passes it", asked=True),
    "too_few_belts": Need("more belts, or a larger section", "a matched set, with sheaves for it"),
    "motor_sheave_too_small": Need("larger motor sheave", "with a flywheel for the same pump speed"),
    "no_disconnect_in_sight": Need("disconnect in sight of the motor", disconnect_words, asked=True),
    "no_emergency_stop": Need("emergency stop", "red mushroom button that latches, in reach of the pump", asked=True),
    "starts_sign": Need("sign: may start without warning", "on the guard and by the receiver", asked=True),
    "power_contacts_on_a_signal": Need("small relay with gold-plated contacts", "coil for the pressure switch's volts"),
    "pressure_switch_overloaded": Need("contactor", _contactor),
    "supply_wire": Need("thicker supply wire", supply_wire_words),
    "motor_lead_wire": Need("thicker motor lead", motor_lead_words),
    "breaker_too_large": Need("breaker or fuses of the size that wires and drive allow"),
    "breaker_trips": Need("breaker or fuses of the next size, where wires and drive allow it"),
    "protective_earth": Need("earth wire", earth_words, asked=True),
    "ground_fault_device": Need(
        "ground-fault device that the drive's maker allows (type B), or a circuit that needs none"
    ),
    "drive_amps": Need("drive with more amps", _drive),
    "single_phase_input": Need("drive with more amps", _drive),
    "drive_input_amps": Need("line reactor or bus choke", "for the drive's input amps"),
    "single_phase_motor_on_a_drive": Need("three-phase motor", "for the drive's volts"),
    "three_phase_motor_on_one_phase": Need("drive or rotary converter", _drive),
    "static_converter": Need("drive derated for one phase, or a rotary converter", _drive),
    "mains_on_the_output": Need("changeover that can never join both", "interlocked by mechanism and by wiring"),
    "drive_in_a_bad_place": Need("enclosure for the drive", "sealed for the place, or with a filtered fan"),
    "winding_peaks": Need("output reactor or filter for the drive", "for the motor's amps"),
    "unshielded_motor_lead": Need("shielded motor cable", "shield clamped all round at both ends"),
    "fan_stops_with_motor": Need("relay with run-on for the cooler's fan", OWN_FEED),
    "cooler_fan_on_the_drive": Need("relay with run-on for the cooler's fan", OWN_FEED),
    "no_cooler": Need("aftercooler", _cooler),
    "cooler_outlet_hot": Need("larger aftercooler", _cooler),
    "dryer_inlet_hot": Need("larger aftercooler", _cooler),
    "no_separator": Need("water separator with a drain", _window),
    "separator_starved": Need("water separator for this flow", _window),
    "separator_flooded": Need("water separator for this flow", _window),
    "no_drain": Need("drain, best automatic", _rated, asked=True),
    "drain_by_hand": Need("automatic drain", _rated),
    "drain_forgotten": Need("automatic drain", _rated),
    "plastic_bowl": Need("metal bowl or guard", "for the filter or separator named"),
    "freezing": Need("heating for drains and relief valves", "or a place that does not freeze"),
    "condensate": Need("drum or oil-water separator", "for the water from the drains"),
    "intake_air": Need("intake pipe and filter in clean air", "wide, and outside"),
    "water_in_pipe": Need("dryer", _dryer),
    "dryer_overloaded": Need("larger dryer", _dryer),
    "pvc_pipe": Need("pipe of metal or listed for air", _rated),
    "pipe_not_for_air": Need("pipe of metal or listed for air", _rated),
    "pipe_rating": Need("pipe rated for the pressure and heat", _rated),
    "blow_gun": Need("safety nozzles for the blow guns", "side holes let the air out when the tip is closed"),
    "pipe_not_drained": Need("drain legs", "at every low point and at the end of every drop"),
}  # fmt: skip
"""What each rule asks for.  Rules that settings, repair or care answer ask for no part."""
