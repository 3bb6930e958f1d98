"""The power circuit of a motor straight on the line: contactor, overload relay, or the pressure switch itself."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Pin, State
from airfettle.studies.wiring.output import fan, motor
from airfettle.studies.wiring.run import Run, poles
from airfettle.studies.wiring.wired import WITH_A_RUN_ON, WITH_THE_PUMP, Wired, started_by
from airfettle.studies.wiring.wires import motor_wire, motor_wire_state

SETTING: dict[str, tuple[State, str]] = {
    "none": ("missing", "motor_overload_setting"), "above plate amps": ("wrong", "motor_overload_setting"),
}  # fmt: skip


def starter_power(run: Run, wired: Wired) -> list[Pin]:
    """Put in starter and motor of a train on the line.

    Parameters
    ----------
    run : Run
        Wires that feed it.
    wired : Wired
        The train.

    Returns
    -------
    list of Pin
        Terminals to earth.
    """
    joints, count = run.joints, len(run.names)
    if stop_in_the_motor_wires(wired):
        _emergency_switch(run, wired)
    if not wired.switch_breaks_motor:
        state, rule = wired.seen("control", "contacts", {})
        run.through(joints.put(wired.tag("K", 1), f"contactor_{count}", poles(count), "contactor",
                               part=wired.path("motor"), state=state, finding=rule))  # fmt: skip
    elif wired.latched:
        rule = wired.changes.get("control.restarts_by_itself", "")
        run.through(joints.put(wired.tag("K", 0), f"contactor_{count}", poles(count), "magnetic switch",
                               "falls out with the power, is pressed in again", part=wired.path("control"),
                               finding=rule))  # fmt: skip
    _overload(run, wired)
    if wired.switch_breaks_motor:
        _pressure_contacts(run, wired)
    lead = run.of(run.names)
    lead.wire, lead.sort = motor_wire(wired), "motor"
    found = motor_wire_state(wired)
    lead.state, lead.finding = found["state"], found["finding"]
    tag = motor(lead, wired, name="motor")
    if wired.fact("cooler", "fan") == "drive output":
        fan(joints, wired, *(run.at[name] for name in run.names[:2]), rule="fan_stops_with_motor")
    if wired.switch_breaks_motor:
        _on_the_motor_wires(run, wired)
    return [(tag, "PE")]


def stop_in_the_motor_wires(wired: Wired) -> bool:
    """Return whether the emergency stop can only stand in the motor's wires, there being no coil to drop."""
    asked = wired.fact("control", "emergency_stop") != "unknown"
    return not wired.on_drive and wired.switch_breaks_motor and not wired.latched and asked


def _on_the_motor_wires(run: Run, wired: Wired) -> None:
    """What goes with the motor where no coil tells that it runs: the valve, the fan or its run-on relay."""
    joints, part = run.joints, wired.path("cooler")
    tags = []
    if wired.fact("pump", "unloader") == "solenoid valve":
        tags.append(joints.put(wired.tag("Y", 1), "solenoid_valve", ("A1", "A2"), "unloader valve",
                               "open without power", part=wired.path("pump"),
                               finding=wired.changes.get("pump.unloader", "")))  # fmt: skip
    if wired.fact("cooler", "fan") == "own supply" and started_by(wired) == WITH_A_RUN_ON:
        tags.append(joints.put(wired.tag("K", 7), "off_delay_coil", ("A1", "A2"), "run-on relay", part=part))
    if wired.fact("cooler", "fan") == "own supply" and started_by(wired) == WITH_THE_PUMP:
        tags.append(joints.put(wired.tag("M", 2), "fan_motor", ("1", "2"), "cooler fan", part=part))
    for tag in tags:
        for name, terminal in zip(run.names, joints.devices[tag].terminals, strict=False):
            joints.join(run.at[name], (tag, terminal), sort="motor")


def _emergency_switch(run: Run, wired: Wired) -> None:
    state, rule = wired.seen("control", "emergency_stop", {"no": ("missing", "no_emergency_stop")})
    count = len(run.names)
    run.through(run.joints.put(wired.tag("S", 0), f"disconnect_{count}", poles(count), "emergency switch",
                               "red on yellow, in reach of the pump", part=wired.path("control"), state=state,
                               finding=rule))  # fmt: skip


def _overload(run: Run, wired: Wired) -> None:
    state, rule = wired.seen("motor", "overload_set", SETTING)
    count, told = len(run.names), wired.fact("motor", "overload_set")
    setting = {"above plate amps": "set above the motor's plate amps", "unknown": "its setting is not told",
               "none": "none today"}.get(told, "set to the motor's plate amps")  # fmt: skip
    own = wired.switch_breaks_motor and not wired.latched
    run.through(run.joints.put(
        wired.tag("F", 3), f"overload_{count}", poles(count), "overload protection" if own else "overload relay",
        setting, "in the motor, or a switch of its own" if own else "", part=wired.path("motor"), state=state,
        finding=rule,
    ))  # fmt: skip


def _pressure_contacts(run: Run, wired: Wired) -> None:
    """The pressure switch, and the independent one, in the motor's own wires."""
    count, part = len(run.names), wired.path("control")
    if not wired.latched and wired.fact("control", "independent_pressure_stop") == "yes":
        run.through(run.joints.put(wired.tag("B", 2), f"pressure_contacts_{count}", poles(count),
                                   "high-pressure switch", "independent", part=part))  # fmt: skip
    wrong = wired.holds("pressure_switch_overloaded", "control")
    run.through(run.joints.put(
        wired.tag("B", 1), f"pressure_contacts_{count}", poles(count), "pressure switch", *settings(wired), part=part,
        state="wrong" if wrong else "there", finding="pressure_switch_overloaded" if wrong else "",
    ))  # fmt: skip


def settings(wired: Wired) -> tuple[str, ...]:
    """Return what the pressure switch is set to, in words; those after the first pump have their own."""
    follows = wired.place and wired.told("control", "follow_cut_in")
    low, high = ("follow_cut_in", "follow_cut_out") if follows else ("cut_in", "cut_out")
    start, stop = wired.told("control", low), wired.told("control", high)
    return tuple(word for word in (start and f"on at {start}", stop and f"off at {stop}") if word)
