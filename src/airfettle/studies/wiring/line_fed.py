"""What the line feeds in a control circuit: relay coils, the unloader's valve, the cooler's fan, the fault lamp."""

from __future__ import annotations

from collections.abc import Callable

from airfettle.studies.wiring.circuit import Beside, Column, Pin, Step
from airfettle.studies.wiring.drive_inputs import second_contact
from airfettle.studies.wiring.joints import Joints
from airfettle.studies.wiring.starter import settings
from airfettle.studies.wiring.wired import WITH_A_RUN_ON, WITH_THE_PUMP, Wired, started_by

Way = tuple[Step | Beside, ...]


def line_columns(joints: Joints, wired: Wired, *, top: Pin, bottom: Pin) -> tuple[Column, ...]:
    """Return the columns that a drive's relays, the pressure switch and the fan need between the rails.

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
    chains: list[Way] = []
    if wired.on_drive:
        chains += _by_pressure_switch(joints, wired)
        chains += _by_running(joints, wired)
        if wired.fact("drive", "bypass") == "interlocked":
            chains += _changeover(joints, wired)
    chains += _fan(joints, wired)
    if wired.on_drive and wired.corrected:
        chains.append(_fault_lamp(joints, wired))
    return tuple(joints.column(top, *chain, bottom=bottom) for chain in chains)


def _by_pressure_switch(joints: Joints, wired: Wired) -> list[Way]:
    """What the pressure switch itself pulls: a small relay, a contactor that should not be there, the valve."""
    chains: list[Way] = []
    part = wired.path("control")
    if wired.interposed:
        rule = wired.changes.get("control.contacts", wired.changes.get("drive.started_by", ""))
        relay = joints.contact(wired.tag("K", 5), "coil", "A1", "A2", "small relay", "gold-plated contacts", part=part,
                               finding=rule)  # fmt: skip
        chains.append((_switch(joints, wired), relay))
    coils = _wrong_coils(joints, wired)
    if coils:
        last: Step | Beside = coils[0] if len(coils) == 1 else Beside(tuple((coil,) for coil in coils))
        if wired.switch_breaks_motor:
            chains.append((last,))
        else:
            chains.append((_controller(joints, wired) if wired.transducer else _switch(joints, wired), last))
    if second_contact(wired):
        second = _controller(joints, wired) if wired.transducer else joints.contact(
            f"{wired.tag('B', 1)}:21", "pressure_break", "21", "22", "pressure switch", "second contact", part=part
        )  # fmt: skip
        chains.append((second, _valve(joints, wired)))
    return chains


def _wrong_coils(joints: Joints, wired: Wired) -> list[Step]:
    """Coils of contactors that should not be there: ahead of the drive, or behind it."""
    found = []
    for number, rule, name, answer in (
        (1, "drive_input_switched", "started_by", "switching its supply"),
        (4, "motor_wires_opened", "output_switch", "opens in normal stopping"),
    ):
        if wired.fact("drive", name) == answer:
            found.append(joints.contact(wired.tag("K", number), "coil", "A1", "A2", "contactor",
                                        part=wired.path("drive"), state="wrong", finding=rule))  # fmt: skip
    return found


def _switch(joints: Joints, wired: Wired) -> Step:
    return joints.contact(wired.tag("B", 1), "pressure_break", "11", "12", "pressure switch", *settings(wired),
                          part=wired.path("control"))  # fmt: skip


def _controller(joints: Joints, wired: Wired) -> Step:
    """The contact of whatever reads the transducer."""
    return joints.contact(f"{wired.tag('B', 6)}:13", "make_contact", "13", "14", "pressure controller",
                          "closed while air is asked for", part=wired.path("control"))  # fmt: skip


def _valve(joints: Joints, wired: Wired) -> Step:
    rule = next((wired.changes[key] for key in ("pump.vents_after_fault", "pump.unloader") if key in wired.changes), "")
    wrong = not rule and second_contact(wired)
    return joints.contact(
        wired.tag("Y", 1), "solenoid_valve", "A1", "A2", "unloader valve", "open without power",
        part=wired.path("pump"), state="wrong" if wrong else "there",
        finding="unloader_shut_after_fault" if wrong else rule,
    )  # fmt: skip


def _by_running(joints: Joints, wired: Wired) -> list[Way]:
    """What the drive's running relay feeds: the valve, which it keeps shut only while the motor runs, and the fan."""
    ways: list[Way] = []
    if wired.fact("pump", "unloader") == "solenoid valve" and not second_contact(wired):
        ways.append((_valve(joints, wired),))
    ways += fan_ways(joints, wired)
    if not ways:
        return []
    relay = joints.contact(f"{wired.tag('U', 1)}:RUN", "make_contact", "13", "14", "drive's relay",
                           "closed while it runs", part=wired.path("drive"))  # fmt: skip
    if wired.fact("drive", "bypass") == "interlocked":
        past = joints.contact(f"{wired.tag('K', 2)}:13", "make_contact", "13", "14", "past the drive",
                              part=wired.path("drive"), finding=wired.changes.get("drive.bypass", ""))  # fmt: skip
        return [(Beside(((relay,), (past,))), *(ways[0] if len(ways) == 1 else (Beside(tuple(ways)),)))]
    return [(relay, *(ways[0] if len(ways) == 1 else (Beside(tuple(ways)),)))]


def fan_ways(joints: Joints, wired: Wired) -> list[Way]:
    """Return what of the fan's control goes with the running pump: its run-on relay, or the fan itself."""
    if wired.fact("cooler", "fan") != "own supply":
        return []
    if started_by(wired) == WITH_THE_PUMP:
        return [(fan_fuse(joints, wired), fan_motor(joints, wired))]
    if started_by(wired) != WITH_A_RUN_ON:
        return []
    rule = wired.changes.get("cooler.fan", "")
    length = wired.told("cooler", "fan_run_on")
    return [(joints.contact(wired.tag("K", 7), "off_delay_coil", "A1", "A2", "run-on relay", length,
                            part=wired.path("cooler"), finding=rule),)]  # fmt: skip


def fan_fuse(joints: Joints, wired: Wired) -> Step:
    """Put in the fan's own fuse."""
    return joints.contact(wired.tag("F", 4), "fuse_1", "1", "2", "fan fuse", part=wired.path("cooler"),
                          finding=wired.changes.get("cooler.fan", ""))  # fmt: skip


def fan_motor(joints: Joints, wired: Wired) -> Step:
    """Put in the cooler's fan."""
    return joints.contact(wired.tag("M", 2), "fan_motor", "1", "2", "cooler fan", wired.told("cooler", "fan_power"),
                          part=wired.path("cooler"), finding=wired.changes.get("cooler.fan", ""))  # fmt: skip


def _fan(joints: Joints, wired: Wired) -> list[Way]:
    """The fan between the rails, with its fuse and what starts it."""
    how = started_by(wired)
    if wired.fact("cooler", "fan") != "own supply" or how == WITH_THE_PUMP:
        return []
    steps: list[Step | Beside] = [fan_fuse(joints, wired)]
    if how == WITH_A_RUN_ON:
        steps.append(joints.contact(f"{wired.tag('K', 7)}:17", "off_delay_make", "17", "18", "run-on relay",
                                    "opens late", part=wired.path("cooler"),
                                    finding=wired.changes.get("cooler.fan", "")))  # fmt: skip
    elif how == "a switch of its own":
        steps.append(joints.contact(wired.tag("S", 6), "selector_make", "13", "14", "fan switch",
                                    part=wired.path("cooler")))  # fmt: skip
    return [(*steps, fan_motor(joints, wired))]


def _fault_lamp(joints: Joints, wired: Wired) -> Way:
    relay = joints.contact(f"{wired.tag('U', 1)}:FAULT", "make_contact", "23", "24", "drive's relay",
                           "closed on a fault", part=wired.path("drive"))  # fmt: skip
    return (relay, joints.contact(wired.tag("H", 1), "lamp", "X1", "X2", "fault lamp", part=wired.path("drive")))


def _changeover(joints: Joints, wired: Wired) -> list[Way]:
    """Drive or bypass: each contactor's coil runs through the other's break contact.

    Put right, the way past the drive has a start relay of its own, which an emergency stop, an outage and a trip drop
    for good: no setting of the drive keeps that motor from starting by itself.
    """
    part, rule = wired.path("drive"), wired.changes.get("drive.bypass", "")
    two, three, choose = wired.tag("K", 2), wired.tag("K", 3), wired.tag("S", 4)

    def put(tag: str, symbol: str, top: str, bottom: str, *words: str) -> Step:
        return joints.contact(tag, symbol, top, bottom, *words, part=part, finding=rule)

    stops = _stops_past_the_drive(wired, put)
    overload = put(f"{wired.tag('F', 5)}:95", "overload_break", "95", "96", "overload relay")
    on_drive: Way = (
        put(f"{choose}:13", "selector_make", "13", "14", "on the drive"),
        put(f"{two}:21", "break_contact", "21", "22", "not past it"), put(three, "coil", "A1", "A2", "drive to motor"),
    )  # fmt: skip
    chosen = put(f"{choose}:23", "selector_make", "23", "24", "past the drive")
    last: Way = (
        put(f"{wired.tag('B', 1)}:31", "pressure_break", "31", "32", "pressure switch", "a contact of its own"),
        put(f"{three}:21", "break_contact", "21", "22", "not on the drive"),
        put(two, "coil", "A1", "A2", "past the drive"),
    )
    if not wired.corrected:
        return [on_drive, (chosen, *stops, overload, *last)]
    relay = wired.tag("K", 6)
    start = put(wired.tag("S", 7), "push_make", "13", "14", "start", "past the drive")
    hold = put(f"{relay}:13", "make_contact", "13", "14", "holds itself")
    latch: Way = (
        chosen, *stops, overload, put(wired.tag("S", 8), "push_break", "21", "22", "stop", "past the drive"),
        Beside(((start,), (hold,))), put(relay, "coil", "A1", "A2", "start relay", "past the drive"),
    )  # fmt: skip
    return [on_drive, latch, (put(f"{relay}:23", "make_contact", "23", "24", "start relay", "past the drive"), *last)]


def _stops_past_the_drive(wired: Wired, put: Callable[..., Step]) -> list[Step]:
    """Contacts of their own, in the way past the drive, of all that stops the motor on it."""
    stops: list[Step] = []
    if wired.fact("control", "emergency_stop") == "yes":
        stops.append(put(f"{wired.tag('S', 0)}:31", "emergency_stop", "31", "32", "emergency stop"))
    if wired.fact("control", "independent_pressure_stop") == "yes":
        stops.append(put(f"{wired.tag('B', 2)}:31", "pressure_break", "31", "32", "high-pressure switch"))
    if not wired.corrected:
        return stops
    if wired.fact("control", "head_thermostat") == "yes":
        stops.append(put(f"{wired.tag('B', 3)}:31", "thermostat_break", "31", "32", "thermostat", "on the head"))
    if wired.fact("control", "oil_switch") == "yes":
        stops.append(put(f"{wired.tag('B', 4)}:23", "level_make", "23", "24", "oil switch", "closed with oil"))
    if wired.fact("drive", "output_switch") == "isolator with early-break contact":
        stops.append(put(f"{wired.tag('Q', 3)}:23", "make_contact", "23", "24", "early-break contact",
                         "of the isolator"))  # fmt: skip
    return stops
