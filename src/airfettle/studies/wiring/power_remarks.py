"""What is said beside a power circuit besides its findings."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Circuit, Remark
from airfettle.studies.wiring.remarks import Signal, remark, to_know
from airfettle.studies.wiring.wired import Wired

UNEVEN: dict[str, Signal] = {
    "240 corner-grounded delta": "warning", "240 high-leg delta": "caution", "rotary converter": "caution",
}  # fmt: skip
PLACES: dict[str, tuple[Signal, str]] = {
    "spray or vapour": ("danger", "The drive stands where spray or solvent vapour can reach it."),
    "dust": ("caution", "The drive stands in dust."),
    "box without vents": ("caution", "The drive stands in a box without vents."),
}


def power_remarks(group: tuple[Wired, ...], circuit: Circuit) -> tuple[list[Remark], dict[str, Signal]]:
    """Return remarks on a power circuit, and signal words of findings that are milder here than they can be.

    Parameters
    ----------
    group : tuple of Wired
        The trains it shows.
    circuit : Circuit
        The circuit, without remarks.

    Returns
    -------
    (list of Remark, dict)
        [text]
    """
    more = _of_supply(group[0], circuit)
    for wired in group:
        more += _of_drive(wired, circuit) if wired.on_drive else _of_starter(wired)
    louder: dict[str, Signal] = {}
    if group[0].fact("drive", "output_switch") == "isolator alone":
        louder["motor_wires_opened"] = "caution"
    return more, louder


def _of_supply(wired: Wired, circuit: Circuit) -> list[Remark]:
    found, supply = [], wired.tag("X", 0)
    if wired.fact("supply", "kind") is None:
        found.append(to_know("Not told: the kind of supply; drawn as the motor asks.", supply))
    if wired.fact("supply", "protective_earth") == "unknown":
        found.append(to_know("Not told: whether an unbroken earth wire joins panel, drive or starter, and motor frame.",
                             "PE", do="Look, supply locked off; without it nothing may be switched on."))  # fmt: skip
    if wired.shape.converter:
        found.append(to_know("Never feed coils, valve or fan from the wire that the converter makes.",
                             wired.tag("G", 1)))  # fmt: skip
        if not any(device.tag == wired.tag("Q", 2) for device in circuit.devices):
            found.append(to_know("Not told: a disconnect ahead of the converter; none is drawn.", wired.tag("G", 1),
                                 do="Where there is none, have one fitted that can be locked off."))  # fmt: skip
    if any(device.symbol.startswith("fuse") and device.tag == wired.tag("F", 1) for device in circuit.devices):
        found.append(to_know("One blown fuse leaves the motor or drive on one phase: all are changed together.",
                             wired.tag("F", 1)))  # fmt: skip
    return found


def _of_drive(wired: Wired, circuit: Circuit) -> list[Remark]:
    drive, part = wired.tag("U", 1), "drive"
    nets = tuple(net.number for net in circuit.nets if net.sort == "motor" and net.state == "there" and any(
        pin[0] == drive for pin in net.pins))  # fmt: skip
    found = [Remark("warning", "The drive's capacitors stay charged after it is switched off.",
                    "Lock off, wait the minutes that its cover says, and measure before a hand goes in.", (drive,)),
             to_know("Nothing else on these wires: only the motor.", *nets)]  # fmt: skip
    if len(wired.feed) == 2 and wired.fact(part, "input_phases") != 1:
        found.append(to_know("Fed with a single phase the drive takes two of its three input terminals; count only the "
                             "amps that its maker allows so.", drive))  # fmt: skip
    place, kind = wired.fact(part, "place"), wired.fact("supply", "kind")
    if place in PLACES:
        signal, says = PLACES[place]
        found.append(remark("drive_in_a_bad_place", drive, signal=signal, says=says))
    if kind in UNEVEN and wired.fact(part, "filter_connected") == "yes":
        found.append(remark("drive_filter_to_earth", drive, signal=UNEVEN[kind]))
    if not wired.corrected and wired.fact("motor", "overload_set") in ("none", "above plate amps"):
        found.append(remark("motor_overload_setting", drive))
    for name, words in (("on_output", "what else hangs on the drive's output"),
                        ("output_switch", "what can open the wires between drive and motor"),
                        ("bypass", "whether the mains can be switched past the drive")):  # fmt: skip
        shown = name == "output_switch" and wired.switch_breaks_motor
        if wired.fact(part, name) == "unknown" and not shown:
            found.append(to_know(f"Not told: {words}; drawn as though nothing did.", drive))
    return [*found, *_not_told(wired)]


def _of_starter(wired: Wired) -> list[Remark]:
    found = _not_told(wired)
    if wired.fact("control", "contacts") == "unknown":
        found.append(to_know("Not told: what the pressure switch's contacts switch; drawn as though they pulled a "
                             "contactor.", wired.tag("K", 1)))  # fmt: skip
    return found


def _not_told(wired: Wired) -> list[Remark]:
    if wired.fact("motor", "disconnect") != "unknown":
        return []
    return [to_know("Not told: a switch in sight of the motor that can be locked off; none is drawn.",
                    do="Where there is none, have one fitted ahead of drive and starter.")]  # fmt: skip
