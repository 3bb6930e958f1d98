"""Rules about supply, drive and motor fitting each other: phases, volts, hertz, and what the winding bears."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.answered import worst
from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.finding import LIKELY
from airfettle.findings.on_train import numbers_of, of_each, state_of, three
from airfettle.findings.rule import Group, rule
from airfettle.parts.conductor import voltage_drop
from airfettle.parts.drive import bus_voltage
from airfettle.parts.drive_start import insulation_peak, terminal_peak
from airfettle.parts.motor_limits import FREQUENCY_VARIATION, VOLTAGE_VARIATION
from airfettle.parts.supply import unbalance
from airfettle.quantity import plain

Array = NDArray[np.float64]
GROUP: Group = "electrical and control"
OVER_FLUX = 1.10
"""Volts for each hertz over the plate's from which a motor on the line is over-fluxed. [-]  Source: nema-mg1 12.44."""
OTHER_JOINT = 1.5
"""The same on a drive, where only leads joined for the lower volts reach it. [-]  Source: practice."""
UNDER_FLUX = 0.91
"""Supply volts over plate volts below which a motor lacks flux; 208 V on 230 V is 0.904. [-]  Source: practice."""
HIGH_SUPPLY = 440.0
"""Supply from which reflected peaks can pass what a general motor's winding holds. [V]  Source: practice."""
STATIC_SHARE = 0.67
"""Share of its plate torque that a motor can give on a static converter. [-]  Source: practice."""
SMALL_DROP = 0.03
"""Share of the volts lost in the supply wires from which it is spoken of. [-]  Source: nec 210.19 note."""
UNEVEN = 0.01
"""Unbalance of three voltages from which a motor runs hotter. [-]  Source: nema-mg1 12.45."""
LEGS = ("volts_1_2", "volts_2_3", "volts_3_1")
"""Entries of the three voltages."""


@rule(
    "single_phase_motor_on_a_drive", signal="danger", group=GROUP, title="A single-phase motor on a drive",
    why="Its capacitors and its start switch burn on the drive's pulses, and it has no turning field at low hertz.",
    threshold="It holds where the motor is told to be for one phase and its train has a drive.",
    do="Fit a three-phase motor, or take the drive away and start the motor from the line.",
)  # fmt: skip
@of_each("motor")
def single_phase_motor_on_a_drive(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor with a drive."""
    if case.direct(part.train):
        return None
    if part.fact("phases") != 1:
        return Verdict("clear", "", (part.path,))
    return Verdict("holds", "The motor is a single-phase one, and a drive feeds it.", (part.path,),
                   decided_by=(part.at("phases"),))  # fmt: skip


@rule(
    "three_phase_motor_on_one_phase", signal="warning", group=GROUP,
    title="A three-phase motor straight on a single-phase supply",
    why="It hums, does not start, draws its locked-rotor amps and burns unless its overload trips.",
    threshold="It holds where a three-phase motor has no drive and the supply is told to be single-phase.",
    do="If it is a single-phase motor, write phases = 1 under [motor]. Else put a drive or a rotary converter "
       "between, or fit a single-phase motor.",
)  # fmt: skip
@of_each("motor")
def three_phase_motor_on_one_phase(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor on the line."""
    power = numbers_of(case, part).power
    if not power.direct:
        return None
    if part.fact("phases") != 3 or power.phases != 1:
        return Verdict("clear", "", (part.path,))
    return Verdict("holds", "A motor taken as three-phase hangs straight on a single-phase supply.", (part.path,),
                   decided_by=(part.at("phases"),))  # fmt: skip


@rule(
    "static_converter", signal="warning", group=GROUP, title="A static converter ahead of a drive or a loaded motor",
    why="A static converter only starts a motor and then leaves it on one phase: the motor carries about two thirds "
        "of its plate, and a drive behind it sees a lost phase.",
    threshold="It holds where a static converter feeds a drive, or a motor that in half of the draw must give over 67 "
              "% of its plate torque at some point its settings reach.",
    do="Feed the drive straight from the single phase, derated for it; or fit a rotary converter, or lower the load.",
)  # fmt: skip
@of_each("motor")
def static_converter(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor behind a static converter."""
    supply = case.part("supply", train=part.train)
    if supply is None or supply.fact("kind") != "static converter":
        return None
    if not case.direct(part.train):
        return Verdict("holds", "A static converter feeds the drive.", (supply.path,), decided_by=(supply.at("kind"),))
    share = _torque_share(case, part)

    def says(at: At) -> str:
        much, most = at.show(share, kind="fraction"), plain(STATIC_SHARE, kind="fraction", units=case.units)
        return f"The motor must give {much} of its plate torque; on a static converter it can give {most}."

    return case.likely(share > STATIC_SHARE, how_far=share, says=says, parts=(part.path,))


@rule(
    "motor_joined_for_lower_volts", signal="danger", group=GROUP, title="A motor joined for too low volts",
    why="Over-fluxed, a motor draws several times its amps, cooks its winding and can burn before a breaker acts.",
    threshold="It holds where the supply's volts for each hertz are, on the line, over 110 % of the motor's plate, "
              "or, on a drive, over 150 %, counted with the highest hertz it is run at.",
    do="Join the motor's leads for the volts there are, as the plate or its terminal cover shows; on a drive, also "
       "set the motor's plate volts and hertz.",
    sources=("nema-mg1", "practice"),
)  # fmt: skip
@of_each("motor")
def motor_joined_for_lower_volts(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor whose volts are told."""
    if not _volts_told(case, part):
        return None
    hertz = _hertz_share(case, part)
    flux = _volts_share(case, part) / (hertz if case.direct(part.train) else np.maximum(hertz, 1.0))
    most = OVER_FLUX if case.direct(part.train) else OTHER_JOINT
    return case.likely(flux > most, says=_fed_with(case, part), parts=(part.path,), rests_on=(part.at("voltage"),))


@rule(
    "motor_short_of_volts", signal="warning", group=GROUP, title="A motor that does not get its plate volts",
    why="Short of volts a motor loses flux: it draws more amps for the same torque and pulls out sooner, and a drive "
        "cannot give what it has not got: a 400 V star motor on a 230 V drive keeps a third of its pull-out torque.",
    threshold="It holds where the supply is over 9 % below the motor's plate volts, counted on a drive up to the "
              "highest hertz it is run at; 208 V on a 230 V motor is 10 % below.",
    do="Join the motor for the volts there are, fit one wound for them (200 V on 208 V), or keep a drive below the "
       "hertz at which its volts run out.",
    sources=("nema-mg1", "practice"),
)  # fmt: skip
@of_each("motor")
def motor_short_of_volts(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor, or ask for its volts and the kind of supply."""
    if not _volts_told(case, part):
        return Verdict(
            "not told", "Not told: the motor's volts as its leads are joined, or the kind of supply.", (part.path,),
            do=f"Read the plate and the joints: voltage under [{part.path}]; kind under [supply].",
            decided_by=(part.at("voltage"),),
        )  # fmt: skip
    share, base = _volts_share(case, part), numbers_of(case, part).power.motor.frequency
    more = "" if case.direct(part.train) else (
        f" On the drive its torque falls from about {case.show(base * share, kind='frequency')} on.")  # fmt: skip
    return case.likely(
        _short(case, part), says=_fed_with(case, part) + more, parts=(part.path,), rests_on=(part.at("voltage"),)
    )


@rule(
    "low_volts", signal="warning", group=GROUP, title="Low volts at the drive or starter",
    why="Volts lost on the way make a motor on the line draw more amps and pull out sooner; a drive stops on "
        "undervoltage, mostly at the start, with the head still under pressure.",
    threshold="It holds where the volts at the drive or starter, wander of the supply and loss in the wires taken "
              "off, fall in half of the draw below 90 % of the motor's plate, or below the lowest input of the drive "
              "where that is told. Where the supply itself is too low for the motor, motor_short_of_volts says so.",
    do="Use thicker or shorter wires, move the plant nearer to the panel, or ask the utility about the volts.",
    sources=("nema-mg1", "practice"),
)  # fmt: skip
@of_each("motor")
def low_volts(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor whose volts, or whose drive's lowest volts, are told."""
    drive = case.part("drive", train=part.train)
    there = three(state_of(case, part).terminal_voltage)

    def below(least: Array, *, rests_on: str, words: str) -> Verdict:
        def says(at: At) -> str:
            volts, asked = at.show(there, kind="voltage"), case.show(least, kind="voltage")
            return f"{volts} at the drive or starter; {words} {asked}."

        return case.likely(there < least, how_far=-there, says=says, parts=(part.path,), rests_on=(rests_on,))

    lowest = drive.rows("lowest_input_voltage") if drive else None
    trip = plate = None
    if drive is not None and lowest is not None:
        trip = below(lowest, rests_on=drive.at("lowest_input_voltage"), words="the drive's lowest input is")
    volts = part.rows("voltage")
    if volts is not None and _volts_told(case, part) and float(np.mean(_short(case, part))) < LIKELY:
        share = 1.0 - VOLTAGE_VARIATION
        words = f"{plain(share, kind='fraction', units=case.units)} of the motor's plate is"
        plate = below(share * volts, rests_on=part.at("voltage"), words=words)
    return worst(trip, plate)


@rule(
    "volts_lost_in_the_wires", signal="notice", group=GROUP, title="Volts lost in the supply wires",
    why="It is wasted as heat in the wires, and every start is softer for it.",
    threshold="It holds where more than 3 % of the supply's volts is lost between panel and drive or starter at some "
              "point the settings reach; only where the size of the wires is told.",
    do="Nothing needs doing; where the run is renewed, take the next thicker wire.",
    sources=("nec",),
)  # fmt: skip
@of_each("supply")
def volts_lost_in_the_wires(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a supply whose wire is told."""
    if part.rows("wire") is None:
        return None
    places = feeds(case, part)
    power = case.reach.numbers.trains[places[0]].power
    amps = three(np.asarray(sum(case.reach.state.trains[place].supply_current for place in places)))
    lost = voltage_drop(amps, resistance=power.wire_resistance, length=1.0, phases=power.phases) / power.supply_voltage

    def says(at: At) -> str:
        return f"{at.show(lost, kind='fraction')} of the volts is lost in {part.shown('wire_length')} of {size}."

    size = part.shown("wire")
    return case.likely(lost > SMALL_DROP, how_far=lost, says=says, parts=(part.path,))


@rule(
    "legs_unbalanced", signal="caution", group=GROUP, title="Three legs that do not stand even",
    why="A motor heats with the square of the unbalance, and a drive draws far more from the high leg than from the "
        "low one.",
    threshold="It holds where three voltages are told and one is more than 1 % from their mean. The same meter reads "
              "all three, so that its own error does not count.",
    do="Let a licensed person find the uneven load or the loose joint; set a rotary converter's capacitors at full "
       "load.",
    sources=("nema-mg1",),
)  # fmt: skip
@of_each("supply")
def legs_unbalanced(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a supply of which three voltages are told."""
    spans = [case.span(part.at(name)) for name in LEGS]
    first, second, third = (np.nan if span is None else span.likely for span in spans)
    share = float(unbalance(first, second=second, third=third))
    if np.isnan(share):
        return None
    legs = ", ".join(part.shown(name) for name in LEGS)
    decided = tuple(part.at(name) for name in LEGS)
    if share <= UNEVEN:
        return Verdict("clear", "", (part.path,), decided_by=decided)
    off = case.show(np.array(round(share, 3)), kind="fraction")
    return Verdict("holds", f"{legs}: one of them is {off} from the mean.", (part.path,), decided_by=decided)


@rule(
    "mains_frequency", signal="warning", group=GROUP, title="A motor on mains of another frequency",
    why="On the line the mains sets the speed: a 50 Hz motor on 60 Hz turns the pump a fifth faster and asks for a "
        "fifth more power; a 60 Hz motor on 50 Hz at the same volts is over-fluxed and runs hot.",
    threshold="It holds where a motor on the line has a plate frequency more than 5 % away from the mains.",
    do="Change the motor sheave for the pump's speed, check volts for each hertz against the plate, or fit a drive.",
    sources=("nema-mg1",),
)  # fmt: skip
@of_each("motor")
def mains_frequency(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor on the line whose frequency is told."""
    if not case.direct(part.train) or not part.told("frequency"):
        return None
    share, mains = _hertz_share(case, part), numbers_of(case, part).power.supply_frequency
    flux = _volts_share(case, part) / share
    return case.likely(
        np.abs(share - 1.0) > FREQUENCY_VARIATION, parts=(part.path,), rests_on=(part.at("frequency"),),
        says=f"A motor for {part.shown('frequency')} on mains of {case.show(mains, kind='frequency')}: it turns the "
        f"pump at {case.show(share, kind='fraction')} of its plate speed, with {case.show(flux, kind='fraction')} of "
        "its flux.",
    )  # fmt: skip


@rule(
    "winding_peaks", signal="caution", group=GROUP, title="Voltage peaks at the motor on 480 V",
    why="Steep pulses are thrown back at the end of the lead and nearly double; an old or general winding breaks down "
        "between its first turns after months.",
    threshold="It holds on supplies of 440 V and more where, in half of the draw, the peak at the motor passes 1000 "
              "V, or 3.1 times the plate volts of a motor made for a drive; the length of the lead decides it.",
    do="Shorten the lead, fit an output reactor or filter at the drive, or a motor made for running on a drive.",
    sources=("nema-mg1-memory", "practice"),
)  # fmt: skip
@of_each("motor")
def winding_peaks(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor on a drive at 440 V and more."""
    lead, power = case.part("motor_lead", train=part.train), numbers_of(case, part).power
    length = lead.rows("wire_length") if lead else None
    if power.direct or lead is None or length is None or float(np.mean(_nominal(case, part))) < HIGH_SUPPLY:
        return None
    duty = part.fact("inverter_duty")
    peak = terminal_peak(bus_voltage(power.supply_voltage), lead_length=length)
    held = insulation_peak(power.motor.voltage, inverter_duty=duty == "yes")
    words = f"Peaks of {case.show(peak, kind='voltage')} at the end of {lead.shown('wire_length')} of lead; the "
    words += f"winding is made for {case.show(held, kind='voltage')}, an old one for less."
    found = case.likely(peak > held, says=words, parts=(part.path, lead.path),
                        rests_on=(lead.at("wire_length"),))  # fmt: skip
    if duty != "unknown" or found.state == "clear":
        return found
    return case.asked(part, "inverter_duty", bad=(), says="", parts=(part.path, lead.path),
                      unknown=f"{words} Not told: is it made for running on a drive?")  # fmt: skip


@rule(
    "service_factor_on_a_drive", signal="notice", group=GROUP, title="The service factor counted on a drive",
    why="A plate's service factor holds on clean mains; a drive's pulses already use up that reserve.",
    threshold="It holds where the motor, on a drive, must give more than its plate torque, but not more than its "
              "service factor would allow.",
    do="Count the motor at its plate power: a smaller motor sheave, a lower cut-out, or the next larger motor.",
    sources=("nema-mg1-memory",),
)  # fmt: skip
@of_each("motor")
def service_factor_on_a_drive(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor on a drive whose service factor is told."""
    factor = part.rows("service_factor")
    if case.direct(part.train) or factor is None or not part.told("service_factor"):
        return None
    share = _torque_share(case, part)

    def says(at: At) -> str:
        within = f"within its service factor of {part.shown('service_factor')}; on a drive that is 1.0"
        return f"The motor must give {at.show(share, kind='fraction')} of its plate torque, {within}."

    counted = (share > 1.0) & (share <= factor)
    return case.likely(counted, how_far=share, says=says, parts=(part.path,))


def feeds(case: Case, part: Part) -> tuple[int, ...]:
    """Return the places of the trains that a supply feeds."""
    return tuple(place for place in case.trains() if case.plant.trains[place].supply is part.model)


def _torque_share(case: Case, part: Part) -> Array:
    """Torque at a motor over its plate's. [-]"""
    state = state_of(case, part)
    return three(state.motor_torque / state.rated_motor_torque)


def _volts_told(case: Case, part: Part) -> bool:
    """Whether a motor's volts and something of its supply's are told."""
    supply = case.part("supply", train=part.train)
    known = supply is not None and (supply.fact("kind") is not None or supply.told("voltage"))
    return known and part.told("voltage")


def _nominal(case: Case, part: Part) -> Array:
    """Volts of a part's supply without their wander. [V]"""
    supply = case.part("supply", train=part.train)
    tolerance = supply.rows("tolerance") if supply else None
    volts = numbers_of(case, part).power.supply_voltage
    return three(volts if tolerance is None else volts / tolerance)


def _volts_share(case: Case, part: Part) -> Array:
    """Volts of the supply over a motor's plate volts. [-]"""
    return np.asarray(_nominal(case, part) / numbers_of(case, part).power.motor.voltage)


def _hertz_share(case: Case, part: Part) -> Array:
    """Mains over a motor's plate frequency; on a drive, the highest hertz it is run at over it. [-]"""
    power = numbers_of(case, part).power
    top = power.supply_frequency if power.direct else np.array(case.reach.frequencies[-1])
    return three(top / power.motor.frequency)


def _short(case: Case, part: Part) -> NDArray[np.bool_]:
    """Where the supply is too low for a motor at the highest hertz it is run at."""
    return np.asarray(_volts_share(case, part) < UNDER_FLUX * np.minimum(_hertz_share(case, part), 1.0))


def _fed_with(case: Case, part: Part) -> str:
    volts = case.show(_nominal(case, part), kind="voltage")
    return f"The motor is joined for {part.shown('voltage')}; the supply is {volts}."
