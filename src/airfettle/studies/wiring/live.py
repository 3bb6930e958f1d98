"""Which coils and motors are live in a train's circuits, contacts and relays followed until nothing changes."""

from __future__ import annotations

from airfettle.studies.wiring.contacts import conducts
from airfettle.studies.wiring.netlist import FUSES, LOADS, Cause, Running, Wires
from airfettle.studies.wiring.volts import Volts

MOST_ROUNDS = 40
"""Rounds after which a circuit that does not come to rest is left as it is. [-]"""


def settled(wires: Wires, cause: Cause, *, before: Running | None = None, pressed: bool = False) -> Running:
    """Return what is live once nothing changes any more.

    Parameters
    ----------
    wires : Wires
        The train.
    cause : Cause
        What stops it.
    before : Running, optional
        What was live before.
    pressed : bool
        Somebody presses start, and lets go again.

    Returns
    -------
    Running
        [text]
    """
    now = before or Running()
    if pressed:
        now = _rounds(wires, cause, now, pressed=True)
    return _rounds(wires, cause, now, pressed=False)


def _rounds(wires: Wires, cause: Cause, now: Running, *, pressed: bool) -> Running:
    held = now.coils
    for _ in range(MOST_ROUNDS):
        new = _next(wires, cause, now, held=held, pressed=pressed)
        if new == now:
            break
        now = new
    return now


def _next(wires: Wires, cause: Cause, now: Running, *, held: frozenset[str], pressed: bool) -> Running:
    conducting = {
        key: conducts(wires, device, cause=cause, now=now, held=held, pressed=pressed)
        for key, device in wires.devices.items()
    }
    volts = Volts(wires, conducting)
    if not cause.dead:
        volts.feed()
    drive_live = wires.on_drive and volts.apart(wires.tag("U", 1), into=True) > 1
    if drive_live:
        volts.feed_inputs(now.drive)
    loads = ((at, device) for (at, _), device in wires.devices.items() if device.symbol in LOADS)
    coils = frozenset(device.tag for at, device in loads if device.state != "missing" and volts.across(device, at=at))
    drive = drive_live and not cause.fault and _asked_to_run(wires, volts, cause)
    closed = [device.tag for key, device in wires.devices.items() if device.tag in coils or (
        conducting[key] and device.state != "missing" and device.symbol not in FUSES)]  # fmt: skip
    return Running(coils, drive, _turns(wires, volts), tuple(dict.fromkeys(closed)))


def _asked_to_run(wires: Wires, volts: Volts, cause: Cause) -> bool:
    """Whether the drive's inputs, and the transducer it reads, ask it to run."""
    inputs = wires.nets(f"{wires.tag('U', 1)}:in")
    wired = all("24V" in volts.at(inputs[name]) for name in ("EN", "RUN") if name in inputs)
    by_transducer = wires.has("S", 3)
    satisfied = cause.pressure_reached and by_transducer
    lost = cause.signal_lost and wires.outside.get("lost signal") == "stops"
    return wired and not satisfied and not lost


def _turns(wires: Wires, volts: Volts) -> bool:
    """Whether the motor's terminals stand at as many voltages as it has live terminals."""
    motor = wires.tag("M", 1)
    live = [name for name in wires.terminals(motor) if name != "PE"]
    return bool(live) and volts.apart(motor) >= len(live)
