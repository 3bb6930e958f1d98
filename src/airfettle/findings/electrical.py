"""Rules about the drive: what hangs on its output, what feeds it, the amps it gives and takes, and where it stands."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from airfettle.findings.answered import answered, marked, worst
from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.finding import Signal
from airfettle.findings.on_train import numbers_of, of_each, state_of
from airfettle.findings.rule import Group, rule

GROUP: Group = "electrical and control"
UNEVEN: dict[str, Signal | None] = {
    "240 corner-grounded delta": None, "240 high-leg delta": "caution", "rotary converter": "caution",
}  # fmt: skip
"""Supplies with a leg that stands further from earth than a filter may be made for -> signal word, None the rule's."""


@rule(
    "only_the_motor_on_the_drive", signal="danger", group=GROUP, title="More than the motor on a drive's output",
    why="A drive's output is a train of steep pulses of changing volts and hertz. Fans, relays and power supplies "
        "burn on it, capacitors and loads to neutral or earth destroy the drive, and a fire or a live frame can "
        "follow.",
    threshold="It holds where anything but one motor, or motors with an overload each, is wired to the drive's output.",
    do="Take everything but the motor off the drive's output; feed fans, relays and supplies from the line side. "
       "Several motors on one drive need an overload relay each.",
    sources=("nec", "practice"),
)  # fmt: skip
def only_the_motor_on_the_drive(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every drive."""
    for part in case.parts("drive"):
        yield answered(case, part, "on_output", {
            "also a fan, relay or supply": "A fan, relay or power supply hangs on the drive's output with the motor.",
            "several motors": "Several motors share the drive's output without an overload each: the drive sees only "
                              "their sum, and one of them can burn unseen.",
            "capacitors": "Capacitors hang on the drive's output: each pulse short-circuits through them.",
            "neutral or earth on the star point": "Neutral or earth is wired to the star point on the drive's output.",
        })  # fmt: skip


@rule(
    "cooler_fan_on_the_drive", signal="danger", group=GROUP, title="The cooler's fan on the drive's output",
    why="A fan motor made for mains burns on the pulses of a drive, and can take the drive with it; slowed down with "
        "the pump, it also stops cooling just when the head is hottest.",
    threshold="It holds where the cooler's fan is told to hang on the drive's output.",
    do="Feed the fan from the line side through a relay, with a run-on after the pump stops.",
)  # fmt: skip
def cooler_fan_on_the_drive(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler of a train with a drive."""
    for part in case.parts("cooler"):
        if case.part("drive", train=part.train):
            yield case.asked(
                part, "fan", bad=("drive output",), says="The cooler's fan hangs on the drive's output.",
                unknown="Not told: what feeds the cooler's fan.",
            )  # fmt: skip


@rule(
    "motor_wires_opened", signal="danger", group=GROUP, title="A contact in the wires between drive and motor",
    why="Opened under load it draws an arc that destroys drive and contact; closed on a running drive it throws the "
        "motor's inrush at it. The motor can then start when nobody expects it.",
    threshold="It is a danger where a contact in the motor's wires opens in normal stopping, a caution where an "
              "isolator there has no early-break contact that stops the drive first.",
    do="Stop and start the drive by its run input. Keep an isolator only for work on the motor, with an early-break "
       "contact wired into the drive's run or enable circuit.",
    sources=("nec", "iec-60204-1", "practice"),
)  # fmt: skip
def motor_wires_opened(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every drive."""
    switch = case.part("control")
    by_switch = switch is not None and switch.fact("contacts") == "motor"
    all_on_drives = not any(case.direct(place) for place in case.trains())
    for part in case.parts("drive"):
        found = answered(case, part, "output_switch", {
            "opens in normal stopping": "A contact between drive and motor opens in normal stopping.",
            "isolator alone": "The isolator between drive and motor has no early-break contact: opened while the motor "
                              "turns, it draws an arc on the drive.",
        }, milder={"isolator alone": "caution"})  # fmt: skip
        if by_switch and all_on_drives and switch is not None and found.state != "holds":
            words = "The pressure switch's contacts are told to switch the motor, behind a drive."
            found = Verdict("holds", words, (part.path,), decided_by=(switch.at("contacts"),))
        yield found


@rule(
    "mains_on_the_output", signal="danger", group=GROUP, title="Mains that can reach the drive's output",
    why="Mains on the output terminals blows the drive apart at once.",
    threshold="It holds where a bypass or changeover can put mains on the motor's wires while the drive is joined to "
              "them.",
    do="Fit a changeover that can never join both, interlocked by its mechanism and by its wiring; or take it out.",
    sources=("practice",),
)  # fmt: skip
def mains_on_the_output(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every drive."""
    for part in case.parts("drive"):
        yield case.asked(part, "bypass", bad=("not interlocked",),
                         says="A bypass without an interlock can put mains on the drive's output.")  # fmt: skip


@rule(
    "single_phase_input", signal="danger", group=GROUP, title="A three-phase drive on a single phase",
    why="On one phase the rectifier and the bus capacitors of a three-phase drive carry about twice their share; at "
        "its full output amps they overheat and burst.",
    threshold="It holds where a drive built for three phases is fed with one and the motor's amps pass what it may "
              "give there: the maker's single-phase amps, or 35 to 65 % of its plate where the maker says nothing.",
    do="Count only the maker's single-phase output amps (single_phase_output_current under [drive]), or about half of "
       "the plate; fit a drive with twice the motor's amps, and a line reactor.",
    sources=("drive-manual", "practice"),
)  # fmt: skip
@of_each("drive")
def single_phase_input(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a drive fed with one phase."""
    if numbers_of(case, part).power.phases != 1:
        return None
    if part.fact("input_phases") is None:
        return Verdict(
            "not told", "The supply is single-phase. Not told: is the drive built for one phase or for three?",
            (part.path,), decided_by=(part.at("input_phases"),),
            do=f"Read the input line of the drive's plate and write down input_phases under [{part.path}].",
        )  # fmt: skip
    if part.fact("input_phases") == 1:
        return Verdict("clear", "", (part.path,))
    return _overloaded(case, part) or _amps_not_told(part)


@rule(
    "drive_amps", signal="warning", group=GROUP, title="A drive with too few output amps",
    why="A drive is bought by amps, not by horsepower; short of them it trips as the pressure rises, or cooks.",
    threshold="It is a warning where the motor's amps pass what the drive may give for long at some point the "
              "settings reach, a caution where only the motor's plate amps do.",
    do="Fit a drive with at least the motor's plate amps at heavy duty, or a smaller motor sheave; lower hertz does "
       "not lower the amps.",
)  # fmt: skip
@of_each("drive")
def drive_amps(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a drive, but for three-phase drives on one phase."""
    if numbers_of(case, part).power.phases == 1 and part.fact("input_phases") != 1:
        return None
    limit, motor = marked(part, "rated_output_current"), case.part("motor", train=part.train)
    amps = marked(motor, "current") if motor else None
    plate = None
    if limit is not None and amps is not None and motor is not None:
        plate = case.likely(
            amps > limit, parts=(part.path,), signal="caution", rests_on=(part.at("rated_output_current"),),
            says=f"The motor's plate says {motor.shown('current')}, the drive's output "
            f"{part.shown('rated_output_current')}.",
        )  # fmt: skip
    return worst(_overloaded(case, part), plate) or _amps_not_told(part)


@rule(
    "drive_input_amps", signal="warning", group=GROUP, title="A drive that draws more than its input may",
    why="Amps over the plate at the input overheat the rectifier; on a single phase this is what kills it.",
    threshold="It holds where the amps drawn from the supply pass the drive's input amps by its plate.",
    do="Fit a larger drive, or a line reactor or bus choke; it lowers the input amps by a quarter to a third.",
    sources=("drive-manual", "practice"),
)  # fmt: skip
@of_each("drive")
def drive_input_amps(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a drive whose input amps are told."""
    amps, allowed = state_of(case, part).supply_current, part.shown("rated_input_current")

    def says(at: At) -> str:
        return f"It draws {at.show(amps, kind='current')} from the supply; its plate allows {allowed}."

    return case.beyond("drive_input", train=part.train, parts=(part.path,), says=says)


@rule(
    "drive_filter_to_earth", signal="warning", group=GROUP, title="A drive's filter to earth on an uneven supply",
    why="With a leg at earth, or one that stands higher than the others, the filter's capacitors to earth get more "
        "volts than they are made for; they fail, leak to earth and can burn.",
    threshold="It is a warning on a corner-grounded delta, a caution on a high-leg delta or a rotary converter, where "
              "the filter is still connected.",
    do="Check that the drive's maker allows this supply, and open the filter's screw or jumper as the manual shows, "
       "supply locked off and capacitors discharged.",
    sources=("practice",),
)  # fmt: skip
def drive_filter_to_earth(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every drive on a supply that is uneven to earth."""
    for part in case.parts("drive"):
        supply = case.part("supply", train=part.train)
        kind = supply.fact("kind") if supply else None
        if kind in UNEVEN:
            yield case.asked(part, "filter_connected", bad=("yes",), signal=UNEVEN[kind],
                             says=f"The drive's filter to earth is connected on a supply that is {kind}.")  # fmt: skip


@rule(
    "unshielded_motor_lead", signal="notice", group=GROUP, title="An unshielded motor lead",
    why="The lead is an aerial for the drive's pulses: radio noise, and counts and clicks in other controls.",
    threshold="It holds where the wires between drive and motor are not a shielded motor cable.",
    do="Use shielded motor cable, its shield clamped all round at both ends, or metal conduit; keep it from signals.",
)  # fmt: skip
def unshielded_motor_lead(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every motor lead behind a drive."""
    for part in case.parts("motor_lead"):
        if not case.direct(part.train):
            yield case.asked(part, "shielded", bad=("no",), says="The motor lead is not shielded: expect radio noise.",
                             unknown="Not told: is the motor lead a shielded cable?")  # fmt: skip


@rule(
    "drive_in_a_bad_place", signal="danger", group=GROUP, title="A drive in spray, dust or a closed box",
    why="A drive sparks and runs hot inside: in spray or solvent vapour it is a source of fire. Dust that conducts "
        "tracks across its boards, and in a box without vents it trips or dies of its own heat.",
    threshold="It is a danger in a spray or vapour area, a caution in dust or in a box without vents.",
    do="Move the drive into clean air outside the spray area, upright and with room above and below; or use one "
       "sealed for the place, or a box with a filtered fan.",
    sources=("nfpa-33", "practice"),
)  # fmt: skip
def drive_in_a_bad_place(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every drive."""
    for part in case.parts("drive"):
        heat = _heat(case, part)
        yield answered(case, part, "place", {
            "spray or vapour": "The drive stands where spray or solvent vapour can reach it.",
            "dust": "The drive stands in dust.",
            "box without vents": f"The drive stands in a box without vents and gives off {heat} in it.",
        }, milder={"dust": "caution", "box without vents": "caution"})  # fmt: skip


@rule(
    "drive_stored_long", signal="caution", group=GROUP, title="A drive that lay without power for over a year",
    why="The bus capacitors lose their oxide on the shelf; put straight on full volts they can burst.",
    threshold="It holds where the drive lay without power for over a year and its capacitors were not re-formed.",
    do="Before the first full volts, bring the drive up slowly, over hours, as its manual tells for stored drives; "
       "stay behind its cover.",
)  # fmt: skip
def drive_stored_long(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every drive that is not new, or of which storage is told."""
    for part in case.parts("drive"):
        if part.fact("condition") == "new" and part.fact("stored") == "unknown":
            continue
        yield case.asked(part, "stored", bad=("over a year",),
                         says="The drive lay without power for over a year and was not re-formed.")  # fmt: skip


def _overloaded(case: Case, part: Part) -> Verdict | None:
    """Verdict on the drive's output amps at every point, or None where no rating is known at all."""
    state = state_of(case, part)
    limit = state.drive_output_limit
    if limit is None:
        return None
    return case.beyond(
        "drive_output", train=part.train, parts=(part.path,),
        says=lambda at: f"The motor draws {at.show(state.motor_current, kind='current')}; fed as it is, the drive may "
        f"give {case.show(limit, kind='current')} for long.",
    )  # fmt: skip


def _amps_not_told(part: Part) -> Verdict:
    return Verdict(
        "not told", "Not told: the drive's output amps.", (part.path,), decided_by=(part.at("rated_output_current"),),
        do=f"Read the output line of its plate and write down rated_output_current under [{part.path}].",
    )  # fmt: skip


def _heat(case: Case, part: Part) -> str:
    """Heat a drive gives off at its worst point, in the owner's units."""
    state = state_of(case, part)
    lost = state.motor_input_power * (1.0 / state.drive_efficiency - 1.0)
    return case.show(np.max(lost, axis=(1, 2)), kind="power")
