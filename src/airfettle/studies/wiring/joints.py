"""A circuit as it grows: devices, wires that join their terminals, and the columns they stand in."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

from airfettle.studies.wiring.circuit import Beside, Column, Device, Net, Pin, State, Step

NetSort = Literal["line", "motor", "earth", "shield", "control", "signal"]
WORST: dict[State, int] = {"wrong": 0, "missing": 1, "there": 2}


@dataclass
class Wire:
    """What is known of one net before it has its number: see Net."""

    pins: list[Pin]
    number: str = ""
    wire: str = ""
    sort: NetSort | None = None
    state: State = "there"
    finding: str = ""

    def take(self, other: Wire) -> None:
        """Become one with another net, keeping what is worse of both."""
        self.pins += other.pins
        self.number, self.wire = self.number or other.number, self.wire or other.wire
        self.sort = self.sort or other.sort
        if WORST[other.state] < WORST[self.state] or not self.finding:
            self.state, self.finding = min(self.state, other.state, key=WORST.__getitem__), other.finding


@dataclass
class Joints:
    """Devices and nets of one circuit, in the order they are put in."""

    devices: dict[str, Device] = field(default_factory=dict)
    wires: list[Wire] = field(default_factory=list)
    _of: dict[Pin, Wire] = field(default_factory=dict)

    def put(
        self, tag: str, symbol: str, terminals: tuple[str, ...], *words: str, part: str = "", state: State = "there",
        finding: str = "",
    ) -> str:  # fmt: skip
        """Put a device in and return its tag."""
        self.devices[tag] = Device(tag, symbol, terminals, tuple(w for w in words if w), part, state, finding)
        return tag

    def drop(self, *tags: str) -> None:
        """Take devices out again that turned out to have nothing to do, with the wires that hold only them."""
        for tag in tags:
            del self.devices[tag]
        self.wires = [wire for wire in self.wires if not all(pin[0] in tags for pin in wire.pins)]
        self._of = {pin: wire for pin, wire in self._of.items() if wire in self.wires}

    def contact(self, tag: str, symbol: str, top: str, bottom: str, *words: str, part: str = "",
                state: State = "there", finding: str = "") -> Step:  # fmt: skip
        """Put a device of two terminals in and return its step in a column."""
        return Step(self.put(tag, symbol, (top, bottom), *words, part=part, state=state, finding=finding), top, bottom)

    def join(
        self, *pins: Pin, number: str = "", wire: str = "", sort: NetSort | None = None, state: State = "there",
        finding: str = "",
    ) -> None:  # fmt: skip
        """Join terminals by a wire; terminals that are joined already bring their nets with them."""
        found = Wire([], number, wire, sort, state, finding)
        for pin in pins:
            there = self._of.get(pin)
            if there is None:
                found.pins.append(pin)
            elif there is not found:
                self.wires.remove(there)
                there.take(found)
                found = there
                self.wires.append(found)
            for own in found.pins:
                self._of[own] = found
        if found not in self.wires:
            self.wires.append(found)

    def column(self, top: Pin, *chain: Step | Beside, bottom: Pin) -> Column:
        """Join a chain of devices between two pins, and return it as a column."""
        self._chain([top], chain, [bottom])
        return Column(top, chain, bottom)

    def _chain(self, above: list[Pin], chain: tuple[Step | Beside, ...], below: list[Pin]) -> None:
        for item in chain:
            self.join(*above, *_ends(item, upper=True))
            if isinstance(item, Beside):
                for way in item.ways:
                    self._inside(way)
            above = _ends(item, upper=False)
        self.join(*above, *below)

    def _inside(self, way: tuple[Step | Beside, ...]) -> None:
        for first, second in pairwise(way):
            self.join(*_ends(first, upper=False), *_ends(second, upper=True))
        for item in way:
            if isinstance(item, Beside):
                for inner in item.ways:
                    self._inside(inner)

    def nets(self, first: int, *, sort: NetSort) -> tuple[Net, ...]:
        """Return the nets, in the order of their first terminals; those without a number are counted from ``first``."""
        order = {pin: place for place, pin in enumerate(self._of)}
        found, number = [], first
        for wire in sorted(self.wires, key=lambda wire: min(order[pin] for pin in wire.pins)):
            pins = tuple(sorted(set(wire.pins), key=order.__getitem__))
            own = wire.number
            if not own:
                own, number = str(number), number + 1
            found.append(Net(own, pins, wire.wire, wire.sort or sort, wire.state, wire.finding))
        return tuple(found)


def _ends(item: Step | Beside, *, upper: bool) -> list[Pin]:
    """Terminals at the upper or lower end of a step, or of ways beside each other."""
    if isinstance(item, Step):
        return [(item.tag, item.top if upper else item.bottom)]
    return [pin for way in item.ways for pin in _ends(way[0 if upper else -1], upper=upper)]
