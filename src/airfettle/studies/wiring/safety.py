"""The safety chain of a control circuit, and the relay that must be started again after it opened."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Beside, Column, Pin, State, Step
from airfettle.studies.wiring.joints import Joints
from airfettle.studies.wiring.wired import Wired

ALONE: tuple[State, str] = ("missing", "transducer_alone")


def safety_chain(joints: Joints, wired: Wired) -> tuple[Step, ...]:
    """Put in the contacts that stop the plant, in a row; what nobody told of is not drawn.

    Parameters
    ----------
    joints : Joints
        The circuit.
    wired : Wired
        The train.

    Returns
    -------
    tuple of Step
        Emergency stop, high-pressure switch, thermostat, oil switch, early-break contact.
    """
    steps: list[Step] = []
    control, part = wired.parts.get("control"), wired.path("control")
    if wired.fact("control", "emergency_stop") != "unknown":
        state, rule = wired.seen("control", "emergency_stop", {"no": ("missing", "no_emergency_stop")})
        steps.append(joints.contact(wired.tag("S", 0), "emergency_stop", "21", "22", "emergency stop", "stays in",
                                    part=part, state=state, finding=rule))  # fmt: skip
    stop = wired.fact("control", "independent_pressure_stop")
    if stop == "yes" or (stop == "no" and wired.transducer):
        state, rule = wired.seen("control", "independent_pressure_stop", {"no": ALONE})
        steps.append(joints.contact(wired.tag("B", 2), "pressure_break", "21", "22", "high-pressure switch",
                                    "independent, above cut-out", part=part, state=state, finding=rule))  # fmt: skip
    if control is not None and control.head_thermostat == "yes":
        steps.append(joints.contact(wired.tag("B", 3), "thermostat_break", "21", "22", "thermostat", "on the head",
                                    part=part))  # fmt: skip
    if control is not None and control.oil_switch == "yes":
        steps.append(joints.contact(wired.tag("B", 4), "level_make", "13", "14", "oil switch", "closed with oil",
                                    part=part))  # fmt: skip
    return (*steps, *_early_break(joints, wired))


def _early_break(joints: Joints, wired: Wired) -> tuple[Step, ...]:
    answer = wired.fact("drive", "output_switch")
    if not str(answer).startswith("isolator"):
        return ()
    bad: tuple[State, str] = ("missing", "motor_wires_opened")
    state, rule = wired.seen("drive", "output_switch", {"isolator alone": bad})
    return (joints.contact(f"{wired.tag('Q', 3)}:13", "make_contact", "13", "14", "early-break contact",
                           "of the isolator", part=wired.path("drive"), state=state, finding=rule),)  # fmt: skip


def start_relay(joints: Joints, wired: Wired, *, top: Pin, bottom: Pin, chain: tuple[Step, ...]) -> Column:
    """Put in a relay that holds itself behind the safety chain, and falls out for good when that opens.

    Parameters
    ----------
    joints : Joints
        The circuit.
    wired : Wired
        The train.
    top, bottom : Pin
        What it stands between.
    chain : tuple of Step
        The safety chain.

    Returns
    -------
    Column
        Chain, stop, start with the holding contact beside it, coil.
    """
    rule, part, tag = wired.changes.get("control.restarts_by_itself", ""), wired.path("control"), wired.tag("K", 0)
    stop = joints.contact(wired.tag("S", 1), "push_break", "21", "22", "stop", part=part, finding=rule)
    start = joints.contact(wired.tag("S", 2), "push_make", "13", "14", "start", part=part, finding=rule)
    hold = joints.contact(f"{tag}:13", "make_contact", "13", "14", "holds itself", part=part, finding=rule)
    coil = joints.contact(tag, "coil", "A1", "A2", "start relay", "falls out for good", part=part, finding=rule)
    return joints.column(top, *chain, stop, Beside(((start,), (hold,))), coil, bottom=bottom)


def started(joints: Joints, wired: Wired) -> Step:
    """Put in the contact of the start relay that lets the plant run."""
    rule = wired.changes.get("control.restarts_by_itself", "")
    return joints.contact(f"{wired.tag('K', 0)}:23", "make_contact", "23", "24", "start relay",
                          part=wired.path("control"), finding=rule)  # fmt: skip
