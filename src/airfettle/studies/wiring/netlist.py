"""The circuits of one train as one: devices, which wires join them, and what is closed and live in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from airfettle.studies.wiring.circuit import Circuit, Device, Pin
from airfettle.studies.wiring.wired import APART

COILS = ("coil", "off_delay_coil")
"""Symbols of the coils of relays and contactors."""
LOADS = (*COILS, "solenoid_valve", "fan_motor", "lamp", "horn")
"""Symbols of devices that take current between their two terminals."""
BY_PRESSURE = ("pressure_break", "pressure_contacts_2", "pressure_contacts_3")
"""Symbols of contacts that open as the pressure rises."""
NEVER = (*LOADS, "box", "shield", "motor_3ph", "motor_1ph", "capacitor_3", "transducer_2wire")
"""Symbols of devices that join none of their terminals."""
FUSES = ("fuse_1", "fuse_2", "fuse_3")
MANUAL = ("push_make",)
"""Symbols of contacts that are open unless somebody presses."""
SWITCHED = ("contactor_2", "contactor_3")
"""Symbols of poles that a coil closes."""


@dataclass(frozen=True)
class Cause:
    """What stops a train: pressure, a fault, no power, contacts opened by hand, a lost signal; or nothing.

    ``late`` asks for the time when relays that open late have opened; ``past_drive`` for a changeover that stands past
    the drive.
    """

    pressure_reached: bool = False
    fault: bool = False
    dead: bool = False
    opened: tuple[str, ...] = ()
    signal_lost: bool = False
    late: bool = False
    past_drive: bool = False


@dataclass(frozen=True)
class Running:
    """A train at rest or running: what is live.

    Attributes
    ----------
    coils : frozenset of str
        Tags of the loads that are live.
    drive : bool
        The drive runs.
    motor : bool
        The motor turns.
    closed : tuple of str
        Tags of closed contacts and live coils, in the circuits' order.
    """

    coils: frozenset[str] = frozenset()
    drive: bool = False
    motor: bool = False
    closed: tuple[str, ...] = ()

    def live(self, tag: str) -> bool:
        """Return whether a load is live."""
        return tag in self.coils


@dataclass(frozen=True)
class Wires:
    """The devices and nets of one train, of all its circuits together.

    Attributes
    ----------
    devices : dict
        (circuit's place, tag) -> device.
    net_of : dict
        (circuit's place, pin) -> wire number.
    outside : dict
        See Circuit.
    place : int
        Which train, from 0.
    """

    devices: Mapping[tuple[int, str], Device]
    net_of: Mapping[tuple[int, Pin], str]
    outside: Mapping[str, str]
    place: int

    def tag(self, letter: str, number: int) -> str:
        """Return the tag of a device of this train."""
        return f"{letter}{number + 10 * self.place}"

    def has(self, letter: str, number: int) -> bool:
        """Return whether this train has a device that is there, or a contact of it."""
        tag = self.tag(letter, number)
        return any(name.partition(":")[0] == tag and device.state != "missing"
                   for (_, name), device in self.devices.items())  # fmt: skip

    def has_coil(self, tag: str) -> bool:
        """Return whether a relay's or contactor's coil stands in these circuits."""
        return any(name == tag and device.symbol in COILS for (_, name), device in self.devices.items())

    def terminals(self, tag: str) -> tuple[str, ...]:
        """Return the terminals of a device; none where there is no such device."""
        return next((device.terminals for (_, name), device in self.devices.items() if name == tag), ())

    @cached_property
    def on_drive(self) -> bool:
        """Whether a drive turns the motor."""
        return self.has("U", 1)

    def nets(self, tag: str, *, at: int | None = None) -> dict[str, str]:
        """Return terminal -> wire number of every joined terminal of a device, as one circuit or any shows it."""
        return {pin[1]: net for (place, pin), net in self.net_of.items() if pin[0] == tag and at in (None, place)}


def wires_of(circuits: tuple[Circuit, ...]) -> Wires:
    """Return the circuits of one train as one; wires of one number are one wire.

    Parameters
    ----------
    circuits : tuple of Circuit
        Power and control. [text]

    Returns
    -------
    Wires
        [text]
    """
    control = next((circuit for circuit in circuits if circuit.sort == "control"), circuits[0])
    place = max(0, min((int(net.number) for net in control.nets if net.number.isdigit()), default=1)) // APART
    devices = dict[tuple[int, str], Device]()
    net_of, outside = dict[tuple[int, Pin], str](), dict[str, str]()
    for at, circuit in enumerate(circuits):
        devices |= {(at, device.tag): device for device in circuit.devices}
        net_of |= {
            (at, pin): net.number for net in circuit.nets for pin in net.pins if net.sort not in ("earth", "shield")
        }
        outside |= dict(circuit.outside)
    return Wires(devices, net_of, outside, place)
