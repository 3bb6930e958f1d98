"""Rules about wires, breakers and earth: what may burn, what trips, and what keeps a frame from being live."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.answered import answered, marked, worst
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.on_train import numbers_of, of_each, state_of, three
from airfettle.findings.rule import Group, rule
from airfettle.findings.volts import feeds
from airfettle.parts.conductor import CONTINUOUS_FACTOR, ambient_factor, installed_ampacity, required_ampacity
from airfettle.parts.motor_class import table_current
from airfettle.parts.overcurrent import (
    earth_conductor_row,
    earth_conductor_sizes,
    largest_device,
    marked_rating,
    standard_rating_up,
)
from airfettle.studies.wiring.amps import table_amps
from airfettle.studies.wiring.guards import DEVICES
from airfettle.studies.wiring.leakage import LeakageBudget, leakage_budgets, milliamps

Array = NDArray[np.float64]
GROUP: Group = "electrical and control"


@rule(
    "supply_wire", signal="danger", group=GROUP, title="Supply wires too small",
    why="Wires that carry more than they may get hot inside walls and boxes, where nobody sees their insulation char. "
        "A drive on one phase draws up to twice its motor's amps, so that the motor's plate misleads.",
    threshold="US units, by the NEC: the wires, copper at 75 °C in the room's air, must carry 125 % of the drive's "
              "rated input amps, or, on the line, of the motor's amps by table. SI units, by IEC 60364: a cable in "
              "conduit must carry the drive's rated input amps or the motor's plate amps. It is a danger where they "
              "do not carry those amps themselves, or 125 % (SI: 100 %) of the amps really drawn, and a warning where "
              "only the quarter in reserve is missing. Cable marked for 60 °C carries less.",
    do="Have the run renewed with wires of the size the drive's input amps ask for, its breaker with them.",
    sources=("nec", "iec-60364-5-52"),
)  # fmt: skip
@of_each("supply")
def supply_wire(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the wires from panel to drive or starter, all trains they feed together."""
    carries = _ampacity(case, part, loaded=3 if _phases(case, part) == 3 else 2)
    if carries is None:
        return _read_wire(part, "the supply wires")
    places = feeds(case, part)
    return _too_small(
        case, part, carries=carries, drawn=[_drawn(case, place) for place in places],
        rated=[_rated(case, place) for place in places],
        more=tuple(path for place in places if (path := _input_rating(case, place))),
    )  # fmt: skip


@rule(
    "motor_lead_wire", signal="danger", group=GROUP, title="Motor lead too small",
    why="A motor lead that carries more than it may gets hot in its conduit, next to oil and belt dust.",
    threshold="US units, by the NEC: the lead, copper at 75 °C in the room's air, must carry 125 % of the motor's "
              "amps by table. SI units, by IEC 60364: a cable in conduit must carry the motor's plate amps. It is a "
              "danger where it does not carry those amps themselves, or 125 % (SI: 100 %) of the amps really drawn, "
              "and a warning where only the quarter in reserve is missing.",
    do="Renew the lead with wires of the size the motor asks for.",
    sources=("nec", "iec-60364-5-52"),
)  # fmt: skip
@of_each("motor_lead")
def motor_lead_wire(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the wires from drive or starter to motor."""
    motor = numbers_of(case, part).power.motor
    carries = _ampacity(case, part, loaded=3 if float(np.max(motor.phases)) > 2.0 else 2)
    if carries is None:
        return _read_wire(part, "the motor lead")
    drawn = np.max(three(state_of(case, part).motor_current), axis=(1, 2), keepdims=True)
    return _too_small(case, part, carries=carries, drawn=[drawn], rated=[_motor_amps(case, part.train)])


@rule(
    "breaker_too_large", signal="danger", group=GROUP, title="A breaker or fuses too large",
    why="It lets a fault burn on: wires, drive and motor get the amps of the whole panel until something melts.",
    threshold="US units, by the NEC for motor circuits: it may be larger than the wires alone would allow, also on "
              "small wires, as the motor's overload protection guards those; but not above 250 % of the motor's amps "
              "by the table of the supply's phases (175 % time-delay fuses, 300 % fast fuses), rounded up to a "
              "standard size. It is a warning above that, and a danger where it also passes what the wires are good "
              "for. SI units, by IEC 60364: a danger where it is above what the wires may carry. Everywhere: a danger "
              "above the largest that the drive's maker allows.",
    do="Have it changed for one that the wires and the drive's manual allow.",
    sources=("nec", "iec-60364-4-43"),
)  # fmt: skip
@of_each("supply")
def breaker_too_large(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the device ahead of the plant."""
    breaker = _breaker(case, part)
    if breaker is None:
        return _read(part, "breaker", "the rating of the breaker or fuses", "Read the figure on its handle or body")
    rests_on, told = (part.at("breaker"),), part.shown("breaker")
    ahead = f"The {part.fact('breaker_kind')} of {told}"
    found: list[Verdict | None] = []
    for place in feeds(case, part):
        drive = case.part("drive", train=place)
        most = marked(drive, "largest_breaker") if drive else None
        if drive is not None and most is not None:
            found.append(case.likely(
                breaker > most, parts=(part.path, drive.path), rests_on=(*rests_on, drive.at("largest_breaker")),
                says=f"{ahead} is above the {drive.shown('largest_breaker')} that the drive's maker allows.",
            ))  # fmt: skip
    carries = _ampacity(case, part, loaded=3 if _phases(case, part) == 3 else 2)
    good = "" if carries is None else f" Wires of {part.shown('wire')} carry {case.show(carries, kind='current')}."
    over_wire = None if carries is None else breaker > carries
    if case.units == "US":
        most = _largest_device(case, part)
        over = breaker > most
        words = f"{ahead} is above the {case.show(most, kind='current')} that the motor's table current allows.{good}"
        if carries is not None:
            over_wire = over & (breaker > standard_rating_up(carries))
        found.append(case.likely(over, says=words, parts=(part.path,), rests_on=rests_on, signal="warning"))
    else:
        words = f"{ahead} is above what its wires may carry.{good}"
    if over_wire is not None:
        rests = (*rests_on, part.at("wire"))
        found.insert(0, case.likely(over_wire, says=words, parts=(part.path,), rests_on=rests))
    return worst(*found)


@rule(
    "breaker_trips", signal="caution", group=GROUP, title="A breaker or fuses that trip under load",
    why="Loaded for hours near its rating a breaker warms up and trips, mostly on the hottest day, and the pump stops "
        "with its head under pressure.",
    threshold="It holds where the breaker or fuses are below 125 % (US units) or 100 % (SI units) of the amps drawn "
              "from the supply at the worst point that the settings reach, in half of the draw.",
    do="Have the next larger one fitted where wires and drive allow it, or lower the amps: a line reactor, lower top "
       "speed, lower cut-out.",
    sources=("nec", "iec-60364-4-43"),
)  # fmt: skip
@of_each("supply")
def breaker_trips(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the device ahead of the plant, where its rating is told."""
    breaker = _breaker(case, part)
    if breaker is None:
        return None
    drawn = np.asarray(sum(_drawn(case, place) for place in feeds(case, part)))
    return case.likely(
        required_ampacity(drawn, factor=_factor(case)) > breaker, parts=(part.path,), rests_on=(part.at("breaker"),),
        says=f"{case.show(drawn, kind='current')} for long through the {part.fact('breaker_kind')} of "
        f"{part.shown('breaker')}.",
    )  # fmt: skip


@rule(
    "protective_earth", signal="danger", group=GROUP, title="No protective earth",
    why="Without an earth wire a fault makes the motor, pump and receiver live, and no breaker sees it: whoever "
        "touches them is the way to earth. A drive leaks to earth all the time, even without a fault.",
    threshold="It holds where no unbroken earth wire runs from the panel to the drive or starter and to the motor's "
              "frame.",
    do="Have an earth wire run with the live wires, under a screw of its own at drive and motor frame. An earth rod "
       "in its stead does not trip a breaker. Never lift it to stop a ground-fault device from tripping.",
    sources=("nec", "iec-60364-4-41", "iec-60364-5-54"),
)  # fmt: skip
@of_each("supply")
def protective_earth(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the earth of what a supply feeds."""
    breaker, size = _breaker(case, part), ""
    if breaker is not None and case.units == "US":
        row = earth_conductor_row(float(np.median(breaker)))
        size = f" For {part.shown('breaker')} it is {earth_conductor_sizes()[int(row)]} AWG copper at least."
    words = f"No unbroken earth wire runs from the panel to drive or starter and motor frame.{size}"
    return case.asked(part, "protective_earth", bad=("no",), says=words)


@rule(
    "ground_fault_device", signal="caution", group=GROUP, title="A ground-fault device that a drive upsets",
    why="A drive leaks to earth through its filter and lead: a device for 4-6 mA trips again and again, and then "
        "someone lifts the earth or takes the device away. A three-phase drive can also feed smooth direct current "
        "into a fault, which blinds a device of type A or AC, so that it protects nobody on that circuit.",
    threshold="It holds where a drive stands behind a 4-6 mA device, or a three-phase drive behind a 30 mA device of "
              "type A or AC; on a single phase the latter is a notice. It is also a notice where the drives' likely "
              "leakage passes 30 % of any other device's rating.",
    do="Feed the drive from a circuit of its own that needs no such device, hard-wired as the code allows; where one "
       "is required, type B, and less leakage: a short lead, a low-leakage filter. Never lift the earth.",
    sources=("ul-943", "nec", "iec-60364-5-53", "iec-61008", "practice"),
)  # fmt: skip
@of_each("supply")
def ground_fault_device(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the ground-fault device ahead of a drive."""
    if all(case.direct(place) for place in feeds(case, part)):
        return None
    budget, three_phase = _leakage(case, part), _phases(case, part) == 3
    leaks = f"it leaks about {milliamps(budget.total)}"
    blind = (
        f"A three-phase drive stands behind a 30 mA device of type A or AC; {leaks}."
        if three_phase
        else (
            f"A drive stands behind a 30 mA device of type A or AC: {leaks}, may trip it, and a fault may pass unseen."
        )
    )
    found = answered(
        case, part, "ground_fault",
        {"4-6 mA": f"A drive stands behind a 4-6 mA ground-fault device; {leaks}.", "30 mA type A or AC": blind},
        milder={} if three_phase else {"30 mA type A or AC": "notice"},
    )  # fmt: skip
    if found.state == "clear" and budget.share is not None and budget.share[1] > 1.0:
        return replace(found, state="holds", signal="notice", says=budget.words)
    return found


def _leakage(case: Case, part: Part) -> LeakageBudget:
    """What the drives on a supply leak."""
    places = feeds(case, part)
    return next(one for one in leakage_budgets(case.reach.draw, case.reach.numbers) if places[0] in one.places)


@rule(
    "high_leg_load", signal="warning", group=GROUP, title="A load from the high leg to neutral",
    why="The high leg of a 240 V delta stands at 208 V to neutral: coils, lamps and control supplies for 120 V burn "
        "on it.",
    threshold="It holds on a 240 V high-leg delta where something is wired between the high leg and neutral.",
    do="Move it to one of the two other legs, and have the high leg marked orange.",
    sources=("nec",),
)  # fmt: skip
@of_each("supply")
def high_leg_load(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a high-leg supply."""
    if part.fact("kind") != "240 high-leg delta":
        return None
    return case.asked(part, "high_leg_load", bad=("yes",),
                      says="Something is wired between the high leg and neutral.")  # fmt: skip


def _too_small(
    case: Case, part: Part, *, carries: Array, drawn: list[Array], rated: list[Array], more: tuple[str, ...] = ()
) -> Verdict | None:
    """Verdict on wires: a danger where they do not carry rated amps or those drawn, a warning where reserve is missing.

    Amps are given train by train.
    """
    has = f"Wires of {part.shown('wire')} carry {case.show(carries, kind='current')} in this room"
    by_wire, by_rating = (part.at("wire"),), (part.at("wire"), *more)

    def short(asked: Array, words: str, rests_on: tuple[str, ...]) -> Verdict:
        says = f"{has}; {words} {case.show(asked, kind='current')}."
        return case.likely(asked > carries, says=says, parts=(part.path,), rests_on=rests_on)

    reserve = short(_together(case, rated), "with a quarter in reserve they must carry", by_rating)
    return worst(
        short(np.asarray(sum(rated)), "the amps they feed are", by_rating),
        short(_together(case, drawn), "for the amps drawn they must carry", by_wire),
        replace(reserve, signal="warning"),
    )


def _read(part: Part, name: str, what: str, look: str) -> Verdict:
    """Ask for a number that is not told; a notice."""
    return Verdict("not told", f"Not told: {what}.", (part.path,), signal="caution", decided_by=(part.at(name),),
                   do=f"{look} and write down {name} under [{part.path}].")  # fmt: skip


def _read_wire(part: Part, what: str) -> Verdict:
    return _read(part, "wire", f"the size of {what}", "Read the print along the jacket, supply locked off,")


def _factor(case: Case) -> float:
    """Ampacity asked for over the amps. [-]"""
    return CONTINUOUS_FACTOR if case.units == "US" else 1.0


def _phases(case: Case, part: Part) -> int:
    return numbers_of(case, part).power.phases


def _ampacity(case: Case, part: Part, *, loaded: int) -> Array | None:
    """Amps that wires may carry in the room's air, by the code of the owner's units, or None. [A]

    Notes
    -----
    The next smaller listed size counts.  A cold room adds nothing.
    """
    wire, site = part.rows("wire"), case.part("site")
    if wire is None:
        return None
    system = "nec-75" if case.units == "US" else "iec-b2"
    room = site.rows("room_temperature") if site else None
    warm = 1.0 if room is None else ambient_factor(room, system=system)
    return installed_ampacity(wire, system=system, loaded=loaded, factor=warm)


def _breaker(case: Case, part: Part) -> Array | None:
    """Rating of the device as printed; told from memory, the standard one next to it. [A]"""
    told = marked(part, "breaker")
    if told is None:
        return None
    return marked_rating(told, series="nec" if case.units == "US" else "iec")


def _drawn(case: Case, place: int) -> Array:
    """Most amps that a train draws from its supply at any point its settings reach. [A]"""
    return np.asarray(np.max(three(case.reach.state.trains[place].supply_current), axis=(1, 2), keepdims=True))


def _table_amps(case: Case, place: int, *, phases: int) -> Array:
    """Amps by the code's table of a motor of this power and its plate's volts; no larger device goes by more. [A]"""
    motor = case.reach.numbers.trains[place].power.motor
    return three(table_current(motor.power, voltage=motor.voltage, phases=phases))


def _motor_amps(case: Case, place: int) -> Array:
    """Amps by which a motor's wires are chosen: the code's table for owners who write US units, else its plate. [A]"""
    motor, power = case.part("motor", train=place), case.reach.numbers.trains[place].power
    if case.units == "US":
        return three(table_amps(case.plant.trains[place], power))
    plate = marked(motor, "current") if motor else None
    return three(power.motor.rated_current) if plate is None else plate


def _rated(case: Case, place: int) -> Array:
    """Amps by which a train's supply wires are chosen: the drive's input by its plate, else the motor's. [A]"""
    drive = case.part("drive", train=place)
    if drive is None:
        return _motor_amps(case, place)
    told = marked(drive, "rated_input_current")
    return _drawn(case, place) if told is None else told


def _input_rating(case: Case, place: int) -> str:
    """Path of the drive's input amps where they are told, or nothing."""
    drive = case.part("drive", train=place)
    return drive.at("rated_input_current") if drive is not None and drive.told("rated_input_current") else ""


def _together(case: Case, each: list[Array]) -> Array:
    """Ampacity that wires need for all trains: by the NEC 125 % of the largest and the others, else their sum. [A]"""
    largest = np.max(np.stack(np.broadcast_arrays(*each)), axis=0)
    return np.asarray(sum(each) + (_factor(case) - 1.0) * largest)


def _largest_device(case: Case, part: Part) -> Array:
    """Largest device by the code for the motors that a supply feeds. [A]

    Notes
    -----
    That of the largest motor, and the table amps of the others; up to four times where the load itself asks for more.
    The table of the supply's phases counts: on one phase a drive draws what a single-phase motor would.
    """
    places = feeds(case, part)
    motors = [_table_amps(case, place, phases=_phases(case, part)) for place in places]
    largest = np.max(np.stack(np.broadcast_arrays(*motors)), axis=0)
    others = np.asarray(sum(motors)) - largest
    asked = _together(case, [_rated(case, place) for place in places])
    return largest_device(largest, others=others, device=DEVICES[part.fact("breaker_kind")], asked=asked)
