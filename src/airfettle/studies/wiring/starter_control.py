"""The coil circuit of a motor straight on the line: safety chain, pressure switch, overload contact, coil, valve."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Beside, Column, Panel, Pin, Step
from airfettle.studies.wiring.drive_inputs import spare
from airfettle.studies.wiring.joints import Joints
from airfettle.studies.wiring.line_fed import Way, fan_ways
from airfettle.studies.wiring.safety import safety_chain, start_relay, started
from airfettle.studies.wiring.starter import settings
from airfettle.studies.wiring.wired import Wired


def coil_columns(joints: Joints, wired: Wired, *, top: Pin, bottom: Pin) -> tuple[Column, ...]:
    """Return the columns of a starter's coil; none where the pressure switch alone switches the motor.

    Parameters
    ----------
    joints : Joints
        The circuit.
    wired : Wired
        The train.
    top, bottom : Pin
        The rails.

    Returns
    -------
    tuple of Column
        [text]
    """
    if wired.switch_breaks_motor and not wired.latched:
        return ()
    chain = (*safety_chain(joints, wired), _overload(joints, wired))
    if wired.switch_breaks_motor:
        return (start_relay(joints, wired, top=top, bottom=bottom, chain=chain),)
    coil: Way = (joints.contact(wired.tag("K", 1), "coil", "A1", "A2", "contactor", part=wired.path("motor")),)
    beside: list[Way] = [coil]
    if wired.fact("pump", "unloader") == "solenoid valve":
        rule = wired.changes.get("pump.unloader", "")
        beside.append((joints.contact(wired.tag("Y", 1), "solenoid_valve", "A1", "A2", "unloader valve",
                                      "open without power", part=wired.path("pump"), finding=rule),))  # fmt: skip
    beside += fan_ways(joints, wired)
    loads = coil if len(beside) == 1 else (Beside(tuple(beside)),)
    rest: Way = (_pressure(joints, wired), *loads)
    if not wired.latched:
        return (joints.column(top, *chain, *rest, bottom=bottom),)
    relay = start_relay(joints, wired, top=top, bottom=bottom, chain=chain)
    return relay, joints.column(top, started(joints, wired), *rest, bottom=bottom)


def _pressure(joints: Joints, wired: Wired) -> Step:
    """Contact that asks for air: the pressure switch's, or that of the transducer's controller."""
    part, rule = wired.path("control"), wired.changes.get("control.contacts", "")
    if wired.transducer:
        return joints.contact(f"{wired.tag('A', 1)}:13", "make_contact", "13", "14", "pressure controller",
                              *settings(wired), part=part, finding=rule)  # fmt: skip
    return joints.contact(wired.tag("B", 1), "pressure_break", "11", "12", "pressure switch", *settings(wired),
                          spare(wired), part=part, finding=rule)  # fmt: skip


def _overload(joints: Joints, wired: Wired) -> Step:
    missing = wired.fact("motor", "overload_set") == "none"
    rule = wired.changes.get("motor.overload_set", "motor_overload_setting" if missing else "")
    return joints.contact(f"{wired.tag('F', 3)}:95", "overload_break", "95", "96", "overload relay",
                          part=wired.path("motor"), state="missing" if missing else "there", finding=rule)  # fmt: skip


def transducer_panel(joints: Joints, wired: Wired) -> Panel | None:
    """Return a transducer and the controller that reads it; None for a plant with a pressure switch.

    Parameters
    ----------
    joints : Joints
        The circuit.
    wired : Wired
        The train.

    Returns
    -------
    Panel or None
        [text]
    """
    if not wired.transducer or wired.switch_breaks_motor:
        return None
    part, tag = wired.path("control"), wired.tag("A", 1)
    above, below = f"{tag}:out", f"{tag}:in"
    joints.put(above, "box", ("+",), "pressure controller", part=part)
    joints.put(below, "box", ("AI",), "pressure controller", part=part)
    step = joints.contact(wired.tag("B", 6), "transducer_2wire", "+", "-", "pressure transducer", "4-20 mA, shielded",
                          part=part)  # fmt: skip
    column = joints.column((above, "+"), step, bottom=(below, "AI"))
    return Panel("fed by the pressure controller", (above,), (below,), (column,))
