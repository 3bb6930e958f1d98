"""What hangs on a drive's output, and what may open or feed those wires besides the drive."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Pin, State
from airfettle.studies.wiring.joints import Joints
from airfettle.studies.wiring.run import Run, poles
from airfettle.studies.wiring.wired import Wired
from airfettle.studies.wiring.wires import motor_wire, motor_wire_state

WRONG: tuple[State, str] = ("wrong", "motor_wires_opened")
ONLY = "only_the_motor_on_the_drive"


def drive_output(run: Run, wired: Wired, *, drive: str, out: tuple[str, ...], before: Run) -> list[Pin]:
    """Put in what hangs on a drive's output.

    Parameters
    ----------
    run, before : Run
        Wires that feed the drive, at the drive and ahead of its reactor.
    wired : Wired
        The train.
    drive : str
        The drive's tag. [text]
    out : tuple of str
        Its output terminals. [text]

    Returns
    -------
    list of Pin
        Terminals to earth.
    """
    joints = run.joints
    lead = Run(joints, {name: (drive, name) for name in out}, motor_wire(wired), "motor", names=out,
               **motor_wire_state(wired))  # fmt: skip
    _opened(lead, wired)
    if wired.fact("drive", "bypass") in ("interlocked", "not interlocked"):
        _bypass(lead, wired, before)
    _isolator(lead, wired)
    earths = [(motor(lead, wired, name="motor"), "PE"), *_others(lead, wired)]
    return [*earths, *_shield(joints, wired)]


def _opened(lead: Run, wired: Wired) -> None:
    """A contact that opens in normal stopping, which is wrong here whatever it is."""
    joints = lead.joints
    if wired.fact("drive", "output_switch") == "opens in normal stopping":
        lead.through(joints.put(wired.tag("K", 4), "contactor_3", poles(3), "contactor", "opens in normal stopping",
                                part=wired.path("drive"), state=WRONG[0], finding=WRONG[1]))  # fmt: skip
    elif wired.switch_breaks_motor:
        lead.through(joints.put(wired.tag("B", 1), "pressure_contacts_3", poles(3), "pressure switch",
                                part=wired.path("control"), state=WRONG[0], finding=WRONG[1]))  # fmt: skip


def _bypass(lead: Run, wired: Wired, before: Run) -> None:
    """A contactor past the drive; interlocked, another one behind the drive, and an overload relay of its own."""
    joints, part = lead.joints, wired.path("drive")
    state, rule = wired.seen("drive", "bypass", {"not interlocked": ("wrong", "mains_on_the_output")})
    count, past = len(before.names), before.of(before.names)
    if wired.fact("drive", "bypass") == "interlocked":
        lead.through(joints.put(wired.tag("K", 3), "contactor_3", poles(3), "contactor", "motor on the drive",
                                part=part, finding=rule))  # fmt: skip
    past.through(joints.put(
        wired.tag("K", 2), f"contactor_{count}", poles(count), "contactor", "motor past the drive",
        "interlocked" if state == "there" else "no interlock", part=part, state=state, finding=rule,
    ))  # fmt: skip
    if wired.fact("drive", "bypass") == "interlocked":
        past.through(joints.put(wired.tag("F", 5), f"overload_{count}", poles(count), "overload relay",
                                "for running past the drive", part=part, finding=rule))  # fmt: skip
    for name, other in zip(past.names, lead.names, strict=False):
        lead.join(other, past.at[name])


def _isolator(lead: Run, wired: Wired) -> None:
    answer = wired.fact("drive", "output_switch")
    if not answer.startswith("isolator"):
        return
    state, rule = wired.seen("drive", "output_switch", {"isolator alone": WRONG})
    early = answer == "isolator with early-break contact"
    lead.through(lead.joints.put(
        wired.tag("Q", 3), "isolator_3", poles(3), "isolator for work on the motor",
        "its early-break contact stops the drive" if early else "no early-break contact",
        part=wired.path("drive"), state=state, finding=rule,
    ))  # fmt: skip


def _shield(joints: Joints, wired: Wired) -> list[Pin]:
    """The lead's shield, clamped to earth at both ends; one nobody told of is not drawn."""
    if wired.fact("motor_lead", "shielded") == "unknown":
        return []
    state, rule = wired.seen("motor_lead", "shielded", {"no": ("missing", "unshielded_motor_lead")})
    tag = joints.put(wired.tag("W", 1), "shield", ("PE",), "shield", "clamped all round at both ends",
                     part=wired.path("motor_lead"), state=state, finding=rule)  # fmt: skip
    return [(tag, "PE")]


def motor(lead: Run, wired: Wired, *, name: str, number: int = 1, state: State = "there", finding: str = "") -> str:
    """Put a motor at the end of a run of wires and return its tag."""
    us, one = wired.units == "US", wired.parts["motor"].phases == 1
    three = ("T1", "T2", "T3", "PE") if us else ("U", "V", "W", "PE")
    terminals = ("U1", "U2", "PE") if one else three
    words = (name, wired.name, *(wired.told("motor", entry) for entry in ("power", "voltage", "current")))
    if state == "there":
        state, finding = _fits(wired)
    tag = lead.joints.put(wired.tag("M", number), "motor_1ph" if one else "motor_3ph", terminals, *words,
                          part=wired.path("motor"), state=state, finding=finding)  # fmt: skip
    lead.to(tag, terminals[:-1])
    return tag


def _fits(wired: Wired) -> tuple[State, str]:
    """Whether the motor is one for what feeds it, and its star point free."""
    if rule := wired.changes.get("motor.phases"):
        return "there", rule
    if wired.on_drive and wired.parts["motor"].phases == 1:
        return "wrong", "single_phase_motor_on_a_drive"
    if not wired.on_drive and wired.parts["motor"].phases == 3 and len(wired.feed) == 2:
        return "wrong", "three_phase_motor_on_one_phase"
    if wired.fact("drive", "on_output") == "neutral or earth on the star point":
        return "wrong", ONLY
    return "there", ""


def _others(lead: Run, wired: Wired) -> list[Pin]:
    """All that hangs on the drive's output besides the motor."""
    joints, answer = lead.joints, wired.fact("drive", "on_output")
    rule, part = wired.changes.get("drive.on_output", ""), wired.path("drive")
    first, second, third = (lead.at[name] for name in lead.names)
    if wired.fact("cooler", "fan") == "drive output":
        fan(joints, wired, first, second, rule="cooler_fan_on_the_drive")
    elif answer == "also a fan, relay or supply":
        load = joints.put(wired.tag("X", 9), "box", ("1", "2"), "fan, relay or supply", part=part, state="wrong",
                          finding=ONLY)  # fmt: skip
        joints.join(first, (load, "1"), sort="motor")
        joints.join(second, (load, "2"), sort="motor")
    if answer == "capacitors":
        tag = joints.put(wired.tag("C", 1), "capacitor_3", ("1", "2", "3"), "capacitors", part=part, state="wrong",
                         finding=ONLY)  # fmt: skip
        for pin, terminal in zip((first, second, third), "123", strict=True):
            joints.join(pin, (tag, terminal), sort="motor")
    if answer not in ("several motors", "several motors with an overload each"):
        return []
    own = lead.of(lead.names)
    if answer.endswith("an overload each"):
        own.through(joints.put(wired.tag("F", 8), "overload_3", poles(3), "overload relay", "one for each motor",
                               part=part, finding=rule))  # fmt: skip
        return [(motor(own, wired, name="another motor", number=3), "PE")]
    return [(motor(own, wired, name="another motor", number=3, state="wrong", finding=ONLY), "PE")]


def fan(joints: Joints, wired: Wired, first: Pin, second: Pin, *, rule: str) -> None:
    """Put the cooler's fan on a motor's wires, where it must not hang."""
    tag = joints.put(wired.tag("M", 2), "fan_motor", ("1", "2"), "cooler fan", part=wired.path("cooler"),
                     state="wrong", finding=rule)  # fmt: skip
    joints.join(first, (tag, "1"), sort="motor")
    joints.join(second, (tag, "2"), sort="motor")
