"""A circuit as a drawing and a terminal list need it: devices with terminals, nets that join them, and their order.

A net is the truth of what is joined; ``Column`` only says how the devices follow each other on paper, so that a
drawing can be read back and held against the nets.

A missing device stands in its place with nets on both sides of it, as though it were there.  In a corrected circuit
all is there; a device or net that names a finding is new or changed because of it.

Symbols of devices, and their terminals in order:

- power, n poles as (1, 2, 3, 4 ...), upper and lower of each pole in turn: breaker_2, breaker_3, fuse_1, fuse_2,
  fuse_3, disconnect_2, disconnect_3, isolator_3, contactor_2, contactor_3, overload_2, overload_3, reactor_2,
  reactor_3, residual_device_2, residual_device_3, residual_device_4, pressure_contacts_2, pressure_contacts_3 (a
  pressure switch that opens a motor's wires itself);
- power, others: motor_3ph (U, V, W, PE), motor_1ph (U1, U2, PE), fan_motor (1, 2), capacitor_3 (1, 2, 3), shield (PE),
  earth (PE), box (any);
- control, upper and lower: make_contact, break_contact, pressure_make, pressure_break, emergency_stop, push_make,
  push_break, selector_make, thermostat_break, level_make, overload_break, off_delay_make, coil, off_delay_coil,
  solenoid_valve, lamp, horn, fuse_1, fan_motor, transducer_2wire, terminal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Pin = tuple[str, str]
"""A device's tag and one of its terminals: ("Q1", "2")."""
State = Literal["there", "missing", "wrong"]
"""There as it should be; not there though it should be; there and wrong."""
Sort = Literal["power", "control"]


@dataclass(frozen=True)
class Device:
    """One device, or the part of one that a drawing shows in one place (a relay's coil, one of its contacts).

    Attributes
    ----------
    tag : str
        What it is called on the drawing, unique there; parts of one device share what stands before the colon, as in
        K1 for a coil and K1:13 for its contact.
    symbol : str
        Name of its symbol in ``drawings.symbols``; a box of terminals, such as a drive's control terminals, is "box".
    terminals : tuple of str
        Its terminals as they are marked, in the order of its symbol's: for symbols of several poles pole by pole, upper
        then lower (1, 2, 3, 4, 5, 6).
    words : tuple of str
        Lines that stand beside it, the first its plain name.
    part : str
        Path of the plant's part it belongs to; empty for none.
    state : str
        See State.
    finding : str
        Rule of the finding that says so; empty for none.
    """

    tag: str
    symbol: str
    terminals: tuple[str, ...]
    words: tuple[str, ...] = ()
    part: str = ""
    state: State = "there"
    finding: str = ""


@dataclass(frozen=True)
class Net:
    """Terminals that are joined by wire.

    Attributes
    ----------
    number : str
        Wire number, unique in its circuit.
    pins : tuple of Pin
        What it joins, two or more.
    wire : str
        Size and kind of its wires, as text; empty where any control wire will do.
    sort : str
        What flows: line, motor, earth, shield, control or signal.
    state, finding : str
        As for a device.
    """

    number: str
    pins: tuple[Pin, ...]
    wire: str = ""
    sort: Literal["line", "motor", "earth", "shield", "control", "signal"] = "control"
    state: State = "there"
    finding: str = ""


@dataclass(frozen=True)
class Step:
    """One device in a column, entered by one terminal and left by another."""

    tag: str
    top: str
    bottom: str


@dataclass(frozen=True)
class Beside:
    """Ways beside each other that part above and meet again below; each a chain of steps, all of at least one."""

    ways: tuple[tuple[Step | Beside, ...], ...]


@dataclass(frozen=True)
class Column:
    """Devices one below the other, from a pin above to a pin below; rails and boxes of terminals are devices as well.

    Attributes
    ----------
    top, bottom : Pin
        Where it begins and ends: a terminal of a rail or box that reaches across several columns.
    chain : tuple of Step or Beside
        Between them, top to bottom; may be empty, a plain wire.
    """

    top: Pin
    chain: tuple[Step | Beside, ...]
    bottom: Pin


@dataclass(frozen=True)
class Panel:
    """Columns that stand side by side between the same rails: what the drive's own 24 V feeds, what the line feeds.

    Attributes
    ----------
    title : str
        What it is.
    above, below : tuple of str
        Tags of the rails or boxes along its upper and its lower edge.
    columns : tuple of Column
        Left to right.
    """

    title: str
    above: tuple[str, ...]
    below: tuple[str, ...]
    columns: tuple[Column, ...]


@dataclass(frozen=True)
class Remark:
    """A numbered remark on a drawing: what is wrong and what to do, or what to know.

    Attributes
    ----------
    signal : str
        danger, warning, caution or notice.
    says, do : str
        In plain words.
    about : tuple of str
        Tags of devices and numbers of nets that it concerns; empty for the whole drawing.
    finding : str
        Rule of the finding; empty for none.
    """

    signal: Literal["danger", "warning", "caution", "notice"]
    says: str
    do: str = ""
    about: tuple[str, ...] = ()
    finding: str = ""


@dataclass(frozen=True)
class Circuit:
    """One wiring drawing's content.

    Attributes
    ----------
    sort : str
        power or control.
    title : str
        What it shows.
    train : str
        Name of the train; empty where it shows all.
    corrected : bool
        It shows how it should be, not how it is.
    devices : tuple of Device
        All of them, rails and boxes included.
    nets : tuple of Net
        All of them; every terminal of every device that is joined to anything stands in exactly one.
    panels : tuple of Panel
        How it is laid out; power circuits leave it empty and are laid out by the order of ``devices`` along nets.
    remarks : tuple of Remark
        Worst first.
    outside : tuple of (str, str)
        What no wire shows and yet decides what a stop does, question and answer: ``unloader``, ``restarts``,
        ``lost signal``; see ``stops``.
    """

    sort: Sort
    title: str
    train: str
    corrected: bool
    devices: tuple[Device, ...]
    nets: tuple[Net, ...]
    panels: tuple[Panel, ...] = ()
    remarks: tuple[Remark, ...] = ()
    outside: tuple[tuple[str, str], ...] = ()

    def device(self, tag: str) -> Device:
        """Return the device of a tag; an unknown one is a mistake in the program, hence a plain ``KeyError``."""
        for device in self.devices:
            if device.tag == tag:
                return device
        raise KeyError(tag)
