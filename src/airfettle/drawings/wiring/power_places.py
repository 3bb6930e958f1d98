"""Where the devices of a power circuit stand: in rows from the supply down, side branches to the right."""

from __future__ import annotations

from dataclasses import dataclass, field

from airfettle.drawings.symbols import symbol_named
from airfettle.studies.wiring.circuit import Circuit, Device, Pin

POLE = 40.0
"""Between the poles of a device. [px]"""
MOTOR = 10
"""Weight of a motor against that of any other device, when it is chosen which branch goes straight on. [-]"""
BESIDE = ("earth", "shield")
"""Sorts of nets that run beside the others and do not order the devices."""
Side = str
"""Which way a terminal's wire leaves: up, down or right."""


@dataclass
class Places:
    """Rows and columns of the devices of a power circuit, and which way each terminal's wire leaves.

    Attributes
    ----------
    row, column : dict
        By tag. [-]
    offset : dict
        Pin -> place across from its device's origin, in symbols as they have it. [px]
    side : dict
        Pin -> up, down or right.
    """

    row: dict[str, int] = field(default_factory=dict)
    column: dict[str, int] = field(default_factory=dict)
    offset: dict[Pin, float] = field(default_factory=dict)
    side: dict[Pin, Side] = field(default_factory=dict)

    def devices_at(self, row: int) -> list[str]:
        """Return the tags of a row, left to right."""
        return sorted((tag for tag, at in self.row.items() if at == row), key=lambda tag: self.column[tag])

    @property
    def rows(self) -> int:
        """How many rows there are. [-]"""
        return max(self.row.values(), default=-1) + 1


def places_of(circuit: Circuit) -> Places:
    """Return where the devices of a power circuit stand; what lies round wires, a shield, stands in no row."""
    devices = [device for device in circuit.devices if device.symbol not in ("shield", "earth")]
    before = _before(circuit, devices)
    places = Places(row=_rows(devices, before))
    places.column = _columns(devices, before, places.row)
    beside = {pin for net in circuit.nets if net.sort in BESIDE for pin in net.pins}
    for device in devices:
        _sides(device, circuit, places, beside)
    return places


def _before(circuit: Circuit, devices: list[Device]) -> dict[str, list[str]]:
    """Device -> devices its wires come from, first those nearest to the supply."""
    order = {device.tag: n for n, device in enumerate(devices)}
    found: dict[str, list[str]] = {device.tag: [] for device in devices}
    for net in circuit.nets:
        if net.sort in BESIDE:
            continue
        pins = sorted((pin for pin in net.pins if pin[0] in order), key=lambda pin: order[pin[0]])
        givers = [pin for pin in pins if _gives(circuit.device(pin[0]), pin[1])] or pins[:1]
        for giver in givers:
            for taker in pins:
                later = order[taker[0]] > order[giver[0]]
                if later and taker not in givers and giver[0] not in found[taker[0]]:
                    found[taker[0]].append(giver[0])
    return found


def _gives(device: Device, terminal: str) -> bool:
    """Whether a terminal is a lower one of a symbol with poles."""
    if device.symbol == "box":
        return False
    places = list(symbol_named(device.symbol).terminals.values())
    return places[device.terminals.index(terminal)][1] > 0.0 and device.symbol[-2:] in ("_1", "_2", "_3", "_4")


def _rows(devices: list[Device], before: dict[str, list[str]]) -> dict[str, int]:
    """Rows: each device below all it is fed from; one that feeds others, as near to them as may be."""
    row: dict[str, int] = {}
    for device in devices:
        row[device.tag] = 1 + max((row[tag] for tag in before[device.tag]), default=-1)
    after: dict[str, list[str]] = {device.tag: [] for device in devices}
    for tag, givers in before.items():
        for giver in givers:
            after[giver].append(tag)
    for device in reversed(devices):
        if before[device.tag] and after[device.tag]:
            row[device.tag] = max(row[device.tag], min(row[tag] for tag in after[device.tag]) - 1)
    return row


def _columns(devices: list[Device], before: dict[str, list[str]], row: dict[str, int]) -> dict[str, int]:
    """Columns: the branch to the motor, or with most devices, goes straight on; others stand to its right."""
    weight: dict[str, int] = {}
    for device in reversed(devices):
        own = MOTOR if device.symbol.startswith("motor") else 1
        weight[device.tag] = own + sum(
            weight.get(tag, 0) for tag, givers in before.items() if givers[:1] == [device.tag]
        )
    column: dict[str, int] = {}
    taken: set[tuple[int, int]] = set()
    order = sorted(devices, key=lambda d: (row[d.tag], -weight[d.tag]))
    for device in order:
        own = column.get(before[device.tag][0], 0) if before[device.tag] else 0
        while (own, row[device.tag]) in taken:
            own += 1
        giver = before[device.tag][0] if before[device.tag] else ""
        start = row.get(giver, row[device.tag] - 1) + 1
        column[device.tag] = own
        taken |= {(own, at) for at in range(start, row[device.tag] + 1)}
    return column


def _sides(device: Device, circuit: Circuit, places: Places, beside: set[Pin]) -> None:
    """Say where each terminal of a device stands and which way its wire leaves."""
    if device.symbol != "box":
        drawn = symbol_named(device.symbol)
        for name, (x, y) in zip(device.terminals, drawn.terminals.values(), strict=True):
            pin = (device.tag, name)
            places.offset[pin] = x
            at_right = pin in beside and x == drawn.box[2]
            places.side[pin] = "right" if at_right else "down" if y > 0.0 else "up"
        return
    nets = {pin: net for net in circuit.nets for pin in net.pins}
    count = {"up": 0, "down": 0}
    for name in device.terminals:
        pin = (device.tag, name)
        if pin in beside or name == "PE":
            places.side[pin] = "right"
            continue
        others = [tag for tag, _ in nets[pin].pins if tag in places.row and tag != device.tag] if pin in nets else []
        lower = any(places.row[tag] > places.row[device.tag] for tag in others)
        upper = any(places.row[tag] < places.row[device.tag] for tag in others)
        side = "down" if lower and not upper else "up"
        if not others:
            side = "down" if device.terminals.index(name) >= 4 or places.row[device.tag] == 0 else "up"
        places.side[pin] = side
        places.offset[pin] = POLE * count[side]
        count[side] += 1
