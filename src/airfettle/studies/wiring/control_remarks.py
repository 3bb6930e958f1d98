"""What is said beside a control circuit besides its findings."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Circuit, Remark
from airfettle.studies.wiring.drive_inputs import presets, reads_a_signal, second_contact
from airfettle.studies.wiring.remarks import Signal, remark, to_know
from airfettle.studies.wiring.wired import Wired, started_by

ON_SWITCH = "valve on the pressure switch"


def control_remarks(wired: Wired, circuit: Circuit) -> tuple[list[Remark], dict[str, Signal]]:
    """Return remarks on a control circuit, and signal words of findings that are milder here than they can be.

    Parameters
    ----------
    wired : Wired
        The train.
    circuit : Circuit
        The circuit, without remarks.

    Returns
    -------
    (list of Remark, dict)
        [text]
    """
    louder: dict[str, Signal] = {}
    if wired.fact("drive", "output_switch") == "isolator alone":
        louder["motor_wires_opened"] = "caution"
    if wired.fact("pump", "unloader") != "none":
        louder["transducer_alone"] = "warning"
    more = [*_unloader(wired, circuit), *_stops(wired), *_restarts(wired), *_fan(wired, circuit)]
    more += [*_guards(wired, circuit), *_bypass(wired, circuit), *_advised(wired, circuit)]
    return more + (_signals(wired, circuit) if wired.on_drive else []), louder


def _unloader(wired: Wired, circuit: Circuit) -> list[Remark]:
    kind, vents = wired.fact("pump", "unloader"), wired.fact("pump", "vents_after_fault")
    about = wired.tag(*(("B", 1) if kind == ON_SWITCH else ("Y", 1)))
    tags = (about,) if about in _tags(circuit) else ()
    if kind == "unknown":
        return [to_know("Not told: what empties the head at a stop; nothing is drawn.",
                        do="Listen from a safe place for the hiss as it stops.")]  # fmt: skip
    if kind == "none":
        return [remark("loaded_start", signal=None if wired.holds("loaded_start", "pump") else "notice")]
    if kind == ON_SWITCH:
        says = "The unloader is the valve on the pressure switch: it opens at cut-out only."
        if wired.on_drive and vents == "no":
            return [remark("unloader_shut_after_fault", *tags, says=f"{says} After a fault the head stays full.")]
        return [to_know(f"{says} After any other stop the head stays full.", *tags)]
    if kind == "solenoid valve" and wired.on_drive and vents == "unknown":
        return [to_know("Not told: whether the head also vents after a fault; drawn as though the drive's relay fed "
                        "the valve.", *tags)]  # fmt: skip
    return []


def _stops(wired: Wired) -> list[Remark]:
    found = []
    if wired.fact("control", "emergency_stop") == "unknown":
        found.append(to_know("Not told: an emergency stop by the pump; none is drawn."))
    if wired.on_drive and wired.fact("drive", "stop_mode") == "ramp":
        found.append(remark("ramp_stop", wired.tag("U", 1) + ":in"))
    if wired.on_drive and wired.fact("control", "contacts") == "unknown" and not wired.transducer:
        found.append(to_know("Not told: what the pressure switch's contacts switch; drawn as a dry contact on the "
                             "run input. It carries no motor current, and one contact is enough.",
                             wired.tag("B", 1)))  # fmt: skip
    return found


def _restarts(wired: Wired) -> list[Remark]:
    told = wired.fact("control", "restarts_by_itself")
    if told == "unknown":
        return [to_know("Not told: what starts it again by itself after an outage, a fault or an emergency stop.")]
    if told == "nothing":
        return []
    milder: Signal | None = "caution" if told == "power coming back" and not wired.on_drive else None
    return [remark("restarts_by_itself", signal=milder)]


def _fan(wired: Wired, circuit: Circuit) -> list[Remark]:
    found, fan = [], wired.tag("M", 2)
    if wired.fact("cooler", "fan") == "own supply" and started_by(wired) == "unknown":
        found.append(to_know("Not told: what starts and stops the cooler's fan; drawn as running with the plant's "
                             "supply.", fan))  # fmt: skip
    if fan in _tags(circuit):
        found.append(to_know("Earth the fan's frame: a green or green-yellow wire from it to PE, which is not drawn.",
                             fan))  # fmt: skip
    return found


def _guards(wired: Wired, circuit: Circuit) -> list[Remark]:
    """What the emergency stop must act on, and a high-pressure switch that is not there."""
    found, stop = [], wired.tag("S", 0)
    there = {device.tag for device in circuit.devices if device.state != "missing"}
    if wired.on_drive and stop in there:
        # IEC 60204-1, 9.2.5.4 and NFPA 79, from memory: an emergency stop takes the power away by hardware.
        found.append(Remark(
            "warning", "A plain enable input is no emergency stop by itself: it is read by the drive's program.",
            "Use an input that is a safe torque off (STO), or let the emergency stop drop a contactor or safety relay "
            "ahead of the drive (IEC 60204-1, NFPA 79).", (stop, wired.tag("U", 1) + ":in"),
        ))  # fmt: skip
    told = wired.fact("control", "independent_pressure_stop")
    if told == "unknown":
        found.append(
            to_know(
                "Not told: a high-pressure switch of its own, above cut-out; none is drawn.",
                do="Where there is none, fit one that stops the motor; the relief valve alone is left.",
            )
        )
    elif told == "no" and not wired.transducer:
        found.append(
            to_know(
                "No high-pressure switch of its own stops the motor, should the pressure switch stick; "
                "the relief valve alone is left.",
                do="Best fit one, a little above cut-out.",
            )
        )
    return found


def _bypass(wired: Wired, circuit: Circuit) -> list[Remark]:
    """How to turn a changeover, and what nobody told of a bypass."""
    told, there = wired.fact("drive", "bypass"), _tags(circuit)
    if told == "not interlocked":
        return [to_know(f"Not drawn: what pulls {wired.tag('K', 2)} in past the drive, nobody told.",
                        do="Take it that no stop drawn here stops the motor past the drive.")]  # fmt: skip
    choose = wired.tag("S", 4) + ":13"
    if told != "interlocked" or choose not in there:
        return []
    found = [Remark("warning", f"{wired.tag('K', 3)} must not open the wires of a running drive.",
                    "Turn the selector only with the motor standing.", (choose, wired.tag("K", 3)))]  # fmt: skip
    if not wired.corrected:
        found.append(to_know("Not told: how drive and bypass are changed over; drawn as though nothing had to be "
                             "started again past the drive.", choose,
                             do="See that a contact of the selector stops the drive first, and that past the drive it "
                             "starts by its start button only."))  # fmt: skip
    return found


def _advised(wired: Wired, circuit: Circuit) -> list[Remark]:
    """What a corrected drawing has that no finding asks for."""
    there = _tags(circuit)
    found = []
    if wired.corrected and wired.tag("K", 7) in there and wired.fact("cooler", "fan_started_by") == "unknown":
        found.append(to_know("Advised besides: a relay that opens late keeps the fan going after the pump stops.",
                             wired.tag("K", 7)))  # fmt: skip
    if wired.tag("H", 1) in there:
        found.append(to_know("Advised besides: a lamp shows a fault of the drive from across the shop.",
                             wired.tag("H", 1)))  # fmt: skip
    if wired.tag("K", 0) in there:
        found.append(to_know("A plain relay is drawn. Whether the emergency stop needs a safety relay, the code of the "
                             "place and a look at the danger decide.", wired.tag("K", 0)))  # fmt: skip
    return found


def _tags(circuit: Circuit) -> frozenset[str]:
    return frozenset(device.tag for device in circuit.devices)


def _slowest(wired: Wired, name: str) -> str:
    """What it does with no speed input closed; a speed under the pump's floor is not held out as the one to set."""
    slowest, slows = wired.told("control", name), "so that a broken wire slows it"
    if not wired.holds("pump_below_floor", "pump"):
        return f"With no speed input closed it runs at {slowest}, {slows}."
    if wired.corrected:
        return f"With no speed input closed it runs at its lowest speed, as the drive's settings sheet has it, {slows}."
    return (f"With no speed input closed it runs at {slowest} today, {slows}; the pump must not run so slowly: the "
            "drive's settings sheet raises it.")  # fmt: skip


def _signals(wired: Wired, circuit: Circuit) -> list[Remark]:
    found, inputs = [], wired.tag("U", 1) + ":in"
    lost = wired.fact("drive", "lost_speed")
    if lost == "runs on":
        found.append(remark("lost_speed_signal", *((wired.tag("B", 6),) if reads_a_signal(wired) else (inputs,))))
    elif reads_a_signal(wired):
        found.append(to_know("Set the drive to stop where the signal falls below 4 mA: a wire is broken then.",
                             wired.tag("B", 6)))  # fmt: skip
    several = presets(wired)
    if len(several) > 1:
        found.append(to_know(_slowest(wired, several[0]), inputs))
    if second_contact(wired) and wired.fact("control", "switch_poles") == "one":
        found.append(to_know("The valve is drawn on a second contact, but the switch is told to have one.",
                             f"{wired.tag('B', 1)}:21"))  # fmt: skip
    if any(step.tag == inputs for step in circuit.devices):
        found.append(to_know("Inputs of a drive take dry contacts only: never bring mains to them.", inputs))
    return found
