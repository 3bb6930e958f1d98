"""What is wired to a drive's inputs: safety chain to enable, pressure switch to run, presets, transducer."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Column, Panel, Pin, State, Step
from airfettle.studies.wiring.joints import Joints
from airfettle.studies.wiring.safety import safety_chain, start_relay, started
from airfettle.studies.wiring.starter import settings
from airfettle.studies.wiring.wired import POWER_CONTACTS, SIGNAL_CONTACTS, Wired

PRESETS = ("low", "quiet", "full")
"""Speeds an owner may tell, slowest first."""


def drive_panel(joints: Joints, wired: Wired) -> Panel:
    """Return what the drive's own 24 V feeds.

    Parameters
    ----------
    joints : Joints
        The circuit.
    wired : Wired
        The train.

    Returns
    -------
    Panel
        [text]
    """
    drive, part = wired.tag("U", 1), wired.path("drive")
    above, below = f"{drive}:24", f"{drive}:in"
    source: Pin = (above, "24V")
    joints.put(above, "box", ("24V",), "drive's own 24 V", part=part)
    joints.put(below, "box", (), "drive's inputs", part=part)
    joints.join(source, sort="control")
    columns = [*_enable(joints, wired, source, below), _run(joints, wired, source, below)]
    columns += _presets(joints, wired, source, below)
    if reads_a_signal(wired):
        columns.append(_transducer(joints, wired, source, below))
    used = dict.fromkeys(column.bottom[1] for column in columns)
    joints.put(below, "box", tuple(used), "drive's inputs", part=part)
    return Panel("fed by the drive's own 24 V", (above,), (below,), tuple(columns))


def _enable(joints: Joints, wired: Wired, source: Pin, below: str) -> list[Column]:
    """Safety chain to the input that lets the motor coast at once when it opens."""
    chain = safety_chain(joints, wired)
    if wired.latched:
        relay = start_relay(joints, wired, top=source, bottom=(below, "0V"), chain=chain)
        last = (started(joints, wired), *_chosen(joints, wired))
        return [relay, joints.column(source, *last, bottom=(below, "EN"))]
    chain = (*chain, *_chosen(joints, wired))
    return [joints.column(source, *chain, bottom=(below, "EN"))] if chain else []


def _chosen(joints: Joints, wired: Wired) -> tuple[Step, ...]:
    """Contacts that take the enable away before the contactor behind the drive opens its wires at a changeover."""
    if not wired.corrected or wired.fact("drive", "bypass") != "interlocked":
        return ()
    part, rule = wired.path("drive"), wired.changes.get("drive.bypass", "")
    return (
        joints.contact(f"{wired.tag('S', 4)}:33", "selector_make", "33", "34", "on the drive", "opens first",
                       part=part, finding=rule),
        joints.contact(f"{wired.tag('K', 3)}:13", "make_contact", "13", "14", "drive to motor", part=part,
                       finding=rule),
    )  # fmt: skip


def _run(joints: Joints, wired: Wired, source: Pin, below: str) -> Column:
    return joints.column(source, *_run_steps(joints, wired), bottom=(below, "RUN"))


def _run_steps(joints: Joints, wired: Wired) -> tuple[Step, ...]:
    """What closes the run input day by day; nothing where it is bridged because something else starts the drive."""
    part = wired.path("control")
    if bridged(wired):
        return ()
    if wired.transducer:
        return (joints.contact(wired.tag("S", 3), "selector_make", "13", "14", "plant on", "the drive starts and stops "
                               "by the transducer", part=part),)  # fmt: skip
    if wired.interposed:
        rule = wired.changes.get("control.contacts", wired.changes.get("drive.started_by", ""))
        return (joints.contact(f"{wired.tag('K', 5)}:13", "make_contact", "13", "14", "small relay",
                               "gold-plated contact", part=part, finding=rule),)  # fmt: skip
    bad: tuple[State, str] = ("wrong", "power_contacts_on_a_signal")
    state, rule = wired.seen("control", "contacts", {POWER_CONTACTS: bad})
    kind = {SIGNAL_CONTACTS: "signal contact", POWER_CONTACTS: "power contact"}.get(
        wired.fact("control", "contacts"), "dry contact")  # fmt: skip
    return (joints.contact(wired.tag("B", 1), "pressure_break", "11", "12", "pressure switch", *settings(wired), kind,
                           spare(wired), part=part, state=state, finding=rule),)  # fmt: skip


def spare(wired: Wired) -> str:
    """Return what becomes of a second contact of the pressure switch."""
    both = wired.fact("control", "switch_poles") == "two" and not second_contact(wired)
    return "its second contact stays free" if both else ""


def second_contact(wired: Wired) -> bool:
    """Return whether the solenoid valve hangs on the pressure switch and not on the drive's running relay."""
    follows = wired.on_drive and wired.fact("pump", "unloader") == "solenoid valve"
    return follows and wired.fact("pump", "vents_after_fault") == "no" and not bridged(wired)


def bridged(wired: Wired) -> bool:
    """Return whether the run input is closed for good, the drive being started by something else."""
    opened = wired.fact("drive", "output_switch") == "opens in normal stopping" or wired.switch_breaks_motor
    return wired.on_drive and (opened or wired.fact("drive", "started_by") == "switching its supply")


def presets(wired: Wired) -> tuple[str, ...]:
    """Return the speeds told of, slowest first; the first needs no input, so that a broken wire slows the pump."""
    if wired.fact("control", "speed_by") == "pressure" or wired.transducer:
        return ()
    return tuple(name for name in PRESETS if wired.told("control", name))


def speed_input(wired: Wired, name: str) -> str | None:
    """Return the input that brings the drive to a speed: S1, S2; empty for none closed, None where none is drawn."""
    told = presets(wired)
    if name not in told:
        return None
    return f"S{told.index(name)}" if told.index(name) else ""


def _presets(joints: Joints, wired: Wired, source: Pin, below: str) -> list[Column]:
    columns, tag = [], wired.tag("S", 5)
    steps = wired.fact("control", "speed_by") == "steps"
    for place, name in enumerate(presets(wired)[1:], start=1):
        into = speed_input(wired, name)
        assert into  # all but the first have one
        words = (f"{name} speed", wired.told("control", name))
        if steps and name == "full":
            below_it = wired.told("control", "full_below")
            step = joints.contact(
                wired.tag("B", 5),
                "pressure_break",
                "11",
                "12",
                "second pressure switch",
                below_it and f"closes below {below_it}",
                *words,
                part=wired.path("control"),
            )
        else:
            step = joints.contact(
                f"{tag}:{place}3", "selector_make", f"{place}3", f"{place}4", *words, part=wired.path("control")
            )
        columns.append(joints.column(source, step, bottom=(below, into)))
    return columns


def reads_a_signal(wired: Wired) -> bool:
    """Return whether a transducer's signal reaches the drive."""
    return wired.transducer or wired.fact("control", "speed_by") == "pressure"


def _transducer(joints: Joints, wired: Wired, source: Pin, below: str) -> Column:
    step = joints.contact(wired.tag("B", 6), "transducer_2wire", "+", "-", "pressure transducer", "4-20 mA, shielded",
                          *(settings(wired) if wired.transducer else ()), part=wired.path("control"))  # fmt: skip
    return joints.column(source, step, bottom=(below, "AI"))
