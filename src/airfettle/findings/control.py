"""Rules about control: what starts and stops the plant, what it does after a fault, and what locks it off."""

from __future__ import annotations

import numpy as np

from airfettle.findings.answered import answered, marked, worst
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.on_train import of_each
from airfettle.findings.rule import Group, rule

GROUP: Group = "electrical and control"
NO_FREQUENCY = 1.0
"""Lowest frequency at or below which a drive's setting is as good as none. [Hz]"""


@rule(
    "starts_by_itself", signal="notice", group=GROUP, title="A plant that starts without warning",
    why="It starts when the pressure falls, whoever stands at the belt: a leak or an opened tap is enough.",
    threshold="It holds for every plant that a pressure switch or a transducer starts.",
    do="Switch it off, lock it off and let the pressure out before a hand goes near belt, pump or wires.",
    sources=("osha-1910-147",),
)  # fmt: skip
@of_each("control")
def starts_by_itself(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the control."""
    kind, cut_in = part.fact("kind"), part.shown("cut_in")
    by = "A pressure switch or transducer" if kind == "unknown" else f"A {kind}"
    return Verdict("holds", f"{by} starts it at {cut_in}, without warning.", (part.path,),
                   decided_by=(part.at("kind"),))  # fmt: skip


@rule(
    "restarts_by_itself", signal="warning", group=GROUP, title="A plant that starts again by itself",
    why="Whoever went to see why it stopped has a hand in it when it starts. A restart straight after a stop also "
        "meets a head that has not yet let its pressure out.",
    threshold="It holds where a fault that resets itself, the release of the emergency stop or the return of the "
              "power starts the plant; the return of the power alone is a caution where no drive is set to it.",
    do="Set the drive to no restart after power loss and no automatic reset of faults; wire start and emergency stop "
       "so that a press on start is needed after each.",
    sources=("iec-60204-1", "osha-1910-147", "practice"),
)  # fmt: skip
@of_each("control")
def restarts_by_itself(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the control."""
    return answered(case, part, "restarts_by_itself", {
        "power coming back": "It starts again by itself when the power comes back.",
        "a fault that resets itself": "It starts again by itself when a fault resets itself.",
        "release of the emergency stop": "Releasing the emergency stop starts it.",
        "several of these": "It starts again by itself after several kinds of stop.",
    }, milder={"power coming back": "caution"} if _all_direct(case) else {})  # fmt: skip


@rule(
    "no_emergency_stop", signal="warning", group=GROUP, title="No emergency stop",
    why="Someone caught in belt or hose has seconds, and nobody finds a breaker in them.",
    threshold="It holds where no emergency stop that stays in is in reach of the pump.",
    do="Fit a red mushroom button that latches, in reach of the pump, which takes the run command away and needs a "
       "new start after its release.",
    sources=("iec-60204-1", "practice"),
)  # fmt: skip
@of_each("control")
def no_emergency_stop(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the control."""
    return case.asked(part, "emergency_stop", bad=("no",), says="No emergency stop that stays in stands by the pump.")


@rule(
    "no_disconnect_in_sight", signal="warning", group=GROUP, title="No switch in sight of the motor to lock it off",
    why="Work on belt or motor is only safe with the supply locked off by the one who does it, seen from where he "
        "works.",
    threshold="It holds where no switch that can be locked off stands within sight of the motor.",
    do="Have a lockable disconnect fitted in sight of the motor, ahead of the drive; behind a drive only with an "
       "early-break contact.",
    sources=("nec", "iec-60204-1"),
)  # fmt: skip
@of_each("motor")
def no_disconnect_in_sight(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor."""
    return case.asked(part, "disconnect", bad=("no",), says="No switch in sight of the motor can be locked off.")


@rule(
    "motor_overload_setting", signal="warning", group=GROUP, title="Overload protection not set to the motor",
    why="Left at a larger drive's own amps, or missing, it lets the motor cook for as long as the pump asks for it; "
        "burning windings fill a shop with smoke.",
    threshold="It holds where the overload protection is set above the motor's plate amps, or there is none.",
    do="Set the drive's motor amps, or the overload relay, to the amps on the motor's plate at the volts used.",
    sources=("nec", "iec-60204-1"),
)  # fmt: skip
@of_each("motor")
def motor_overload_setting(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor."""
    plate = f"the plate says {part.shown('current')}" if part.told("current") else "its plate amps are not told"
    return answered(case, part, "overload_set", {
        "above plate amps": f"The overload protection is set above the motor's plate amps; {plate}.",
        "none": f"Nothing protects the motor from overload; {plate}.",
    })  # fmt: skip


@rule(
    "drive_input_switched", signal="warning", group=GROUP, title="A drive started and stopped by its supply",
    why="Every start charges the bus capacitors through a small resistor made for a few starts a day; it burns out, "
        "and the drive with it. The drive must also be set to start as power comes, so that an outage starts the pump.",
    threshold="It holds where the drive is started and stopped day by day by switching its supply.",
    do="Leave the drive on its supply while the shop is open, and start and stop it by its run input.",
)  # fmt: skip
@of_each("drive")
def drive_input_switched(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a drive."""
    return case.asked(part, "started_by", bad=("switching its supply",),
                      says="The drive is started and stopped by switching its supply.")  # fmt: skip


@rule(
    "minimum_frequency_not_set", signal="warning", group=GROUP, title="No lowest frequency set on the drive",
    why="Turned or told to nothing, the pump creeps: no oil is splashed, no fan cools, the unloader hangs, and a "
        "motor that seems to stand can start.",
    threshold="It holds where the drive's lowest frequency is set to 1 Hz or less.",
    do="Set the drive's lowest frequency to the lowest at which pump and motor may run; the speed window gives it.",
)  # fmt: skip
@of_each("drive")
def minimum_frequency_not_set(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a drive, or ask for its setting."""
    lowest = part.rows("minimum_frequency")
    if lowest is None:
        return Verdict(
            "not told", "Not told: the lowest frequency that the drive is set to.", (part.path,),
            do=f"Read it among the drive's settings and write down minimum_frequency under [{part.path}].",
            decided_by=(part.at("minimum_frequency"),),
        )  # fmt: skip
    words = f"The drive's lowest frequency is set to {part.shown('minimum_frequency')}."
    return case.likely(lowest <= NO_FREQUENCY, says=words, parts=(part.path,),
                       decided_by=(part.at("minimum_frequency"),))  # fmt: skip


@rule(
    "lost_speed_signal", signal="warning", group=GROUP, title="A lost speed signal that does not stop the drive",
    why="A broken wire or dial then leaves the pump at a speed nobody chose, mostly the highest or the lowest.",
    threshold="It holds where the drive runs on when its speed signal is lost.",
    do="Set the drive to stop on loss of its speed signal, and use a signal that shows a broken wire (4-20 mA).",
)  # fmt: skip
@of_each("drive")
def lost_speed_signal(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a drive."""
    return case.asked(part, "lost_speed", bad=("runs on",), says="The drive runs on when its speed signal is lost.")


@rule(
    "ramp_stop", signal="caution", group=GROUP, title="A drive that ramps the pump down",
    why="The pump stops itself sooner than a ramp: the drive then trips on the flywheel's energy, or drives a slow "
        "pump through the pressure with its unloader not yet open.",
    threshold="It holds where the drive is set to ramp the motor down in normal stopping.",
    do="Set the drive to coast to a stop.",
)  # fmt: skip
@of_each("drive")
def ramp_stop(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a drive."""
    return case.asked(part, "stop_mode", bad=("ramp",), says="The drive ramps the motor down to stop it.")


@rule(
    "power_contacts_on_a_signal", signal="caution", group=GROUP, title="Power contacts on a drive's signal input",
    why="Contacts made for a motor need its amps to burn their skin away; a few milliamps at 24 V soon no longer get "
        "through, and the plant does not start, or does not stop.",
    threshold="It holds where a pressure switch's power contacts feed a drive's low-voltage input.",
    do="Use a switch with gold-plated contacts, or let the old one pull a small relay whose signal contacts feed the "
       "input.",
)  # fmt: skip
@of_each("control")
def power_contacts_on_a_signal(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a control that starts a drive."""
    if part.fact("kind") == "transducer" or _all_direct(case):
        return None
    return case.asked(part, "contacts", bad=("drive input by power contacts",),
                      says="The pressure switch's power contacts feed the drive's low-voltage input.")  # fmt: skip


@rule(
    "pressure_switch_overloaded", signal="danger", group=GROUP, title="A motor too large for its pressure switch",
    why="Its contacts weld together, the pump no longer stops, and only the relief valve is left; or they burn in a "
        "box next to oil and air.",
    threshold="It holds where the pressure switch switches a motor itself, and the motor's power or plate amps are "
              "above what the switch's plate allows.",
    do="Let the pressure switch pull a contactor with an overload relay, chosen for the motor.",
    sources=("practice",),
)  # fmt: skip
@of_each("control")
def pressure_switch_overloaded(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a control that switches motors on the line."""
    places = [place for place in case.trains() if case.direct(place)]
    if part.fact("kind") == "transducer" or not places:
        return None
    if part.fact("contacts") != "motor":
        return case.asked(part, "contacts", bad=(), says="")
    found = [_over_switch(case, part, place, *pair) for place in places
             for pair in (("power", "switch_power"), ("current", "switch_current"))]  # fmt: skip
    return worst(*found) or Verdict(
        "not told", "The pressure switch switches the motor. Not told: the motor its plate allows.", (part.path,),
        do=f"Supply locked off, read under its cover; write down switch_power or switch_current under [{part.path}].",
        decided_by=(part.at("switch_power"), part.at("switch_current")),
    )  # fmt: skip


def _over_switch(case: Case, part: Part, place: int, entry: str, limit: str) -> Verdict | None:
    """Verdict on one figure of the switch's plate, or None where it is not told."""
    most, motor = marked(part, limit), case.part("motor", train=place)
    if most is None or motor is None:
        return None
    numbers = case.reach.numbers.trains[place].power.motor
    told = marked(motor, entry)
    asked = (numbers.power if entry == "power" else numbers.rated_current) if told is None else told
    shown = motor.shown(entry) if told is not None else case.show(asked, kind=entry)
    return case.likely(
        np.asarray(asked) > most, parts=(part.path, motor.path), rests_on=(part.at(limit),),
        says=f"The pressure switch switches a motor of {shown}; its plate allows {part.shown(limit)}.",
    )  # fmt: skip


def _all_direct(case: Case) -> bool:
    return all(case.direct(place) for place in case.trains())
