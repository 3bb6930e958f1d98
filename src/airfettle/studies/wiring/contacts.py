"""Which contacts of a train are closed, by what operates them."""

from __future__ import annotations

from airfettle.studies.wiring.circuit import Device
from airfettle.studies.wiring.netlist import BY_PRESSURE, MANUAL, NEVER, SWITCHED, Cause, Running, Wires


def conducts(
    wires: Wires, device: Device, *, cause: Cause, now: Running, held: frozenset[str], pressed: bool
) -> bool:  # fmt: skip
    """Return whether a device joins its upper and lower terminals.

    Parameters
    ----------
    wires : Wires
        The train.
    device : Device
        One of its devices; a missing one is a plain wire.
    cause : Cause
        What stops the train.
    now : Running
        What is live.
    held : frozenset of str
        Coils that were live before the cause, whose late contacts are still closed.
    pressed : bool
        Somebody presses start.
    """
    base, symbol = device.tag.partition(":")[0], device.symbol
    if symbol in NEVER:
        return False
    if device.state == "missing":
        return True
    if _opened(wires, base, cause) and not _main_poles_stay(wires, device):
        return False
    if symbol in MANUAL:
        return pressed
    if symbol in BY_PRESSURE and base != wires.tag("B", 2):
        return not cause.pressure_reached
    if symbol in SWITCHED:
        return base in now.coils if wires.has_coil(base) else base != wires.tag("K", 2)
    if symbol == "break_contact":
        return base not in now.coils
    if symbol == "off_delay_make":
        return base in now.coils or (base in held and not cause.late)
    if symbol == "selector_make":
        if base == wires.tag("S", 4):  # the changeover: one contact is closed past the drive, the others on it
            return cause.past_drive == (device.tag == f"{base}:23")
        return True
    return _made(wires, device, cause, now) if symbol == "make_contact" else True


def _opened(wires: Wires, base: str, cause: Cause) -> bool:
    return any(base == wires.tag(name[0], int(name[1:])) for name in cause.opened)


def _main_poles_stay(wires: Wires, device: Device) -> bool:
    """An overload relay's poles stay closed where it has a contact in a coil's circuit: that one opens."""
    poles = device.symbol in ("overload_2", "overload_3")
    return poles and any(name == f"{device.tag}:95" for _, name in wires.devices)


def _made(wires: Wires, device: Device, cause: Cause, now: Running) -> bool:
    """Whether a make contact is closed: a drive's relay, a controller's, an isolator's, or that of a coil."""
    base, _, own = device.tag.partition(":")
    if own == "RUN":
        return now.drive
    if own == "FAULT":
        return cause.fault
    if base in (wires.tag("A", 1), wires.tag("B", 6)):
        return not cause.pressure_reached and not cause.signal_lost
    return base == wires.tag("Q", 3) or base in now.coils
