"""What a wiring drawing is drawn with: wires by their nets, dots where they join, devices with their words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from airfettle.drawings.pipes.marks import balloon
from airfettle.drawings.sheet import Sheet
from airfettle.drawings.space import STEP, Box, Point, folded, grown, text_width
from airfettle.drawings.symbols import symbol_named
from airfettle.studies.wiring.circuit import Circuit, Device, Net, Pin

WORDS, MARK = 12.0, 11.0
"""Sizes of the words beside devices, and of terminal marks and wire numbers. [px]"""
DASH = {"there": "", "missing": "4 3", "wrong": "9 3"}
"""Lines of wires by their state."""
KIND = {"earth": "12 3 2 3", "shield": "2 3"}
"""Lines of wires by what they are, where that differs from a plain line."""
STATES = {"there": "", "missing": "MISSING", "wrong": "WRONG"}
"""Words over a device by its state."""
FRAME = 3.0
"""From a device to the frame round it. [px]"""
ROUND = 8.0
"""Radius of a remark's number. [px]"""


@dataclass
class Pen:
    """A wiring drawing as it grows.

    Attributes
    ----------
    sheet : Sheet
        Drawn on.
    circuit : Circuit
        What is drawn.
    at : dict
        Pin -> where it is. [px]
    numbered : set of str
        Nets whose number is written.
    pieces : list
        Straight pieces of wire drawn: of which net, from where to where. [px]
    given : set of int
        Numbers of remarks that stand on the drawing.
    worded : set of (str, str)
        Words on the state of wires, with the finding, that stand on the drawing.
    rooms : list of Box
        Room of devices and of numbers of remarks drawn. [px]
    """

    sheet: Sheet
    circuit: Circuit
    at: dict[Pin, Point] = field(default_factory=dict)
    numbered: set[str] = field(default_factory=set)
    pieces: list[tuple[str, Point, Point]] = field(default_factory=list)
    given: set[int] = field(default_factory=set)
    worded: set[tuple[str, str]] = field(default_factory=set)
    rooms: list[Box] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.nets: dict[Pin, Net] = {pin: net for net in self.circuit.nets for pin in net.pins}
        self.about: dict[str, list[int]] = {}
        for number, remark in enumerate(self.circuit.remarks, start=1):
            for name in remark.about:
                self.about.setdefault(name, []).append(number)

    def wire(self, net: Net, *points: Point) -> None:
        """Draw a piece of wire; points that lie on each other are one."""
        way = [point for n, point in enumerate(points) if n == 0 or point != points[n - 1]]
        if len(way) < 2:
            return
        new = self.circuit.corrected and net.finding
        wrong = net.state == "wrong"
        width = 2.6 if wrong or new else 1.0 if net.sort in ("control", "signal") else 1.6
        dash = DASH[net.state] or KIND.get(net.sort, "")
        self.sheet.line(*way, ink="red" if wrong or new else "ink", width=width, dash=dash, data={"net": net.number})
        self.pieces += [(net.number, *piece) for piece in pairwise(way)]

    def dot(self, net: Net, at: Point) -> None:
        """Mark that wires join at a point."""
        self.sheet.circle(at, 2.6, width=0.8, fill="ink", data={"dot": net.number})

    def number(self, net: Net, at: Point, *, again: bool = False) -> None:
        """Write a net's number beside a wire, once; a rail's in every row of columns."""
        if again or net.number not in self.numbered:
            self.numbered.add(net.number)
            self.sheet.text(at[0] + 4.0, at[1], net.number, size=MARK, ink="pale")

    def device(self, device: Device, at: Point) -> None:
        """Place a device's symbol, and mark where its terminals are."""
        data = {"tag": device.tag, "terminals": ",".join(device.terminals)}
        places = self.sheet.symbol(
            device.symbol, at, ink=self.ink(device), missing=device.state == "missing", data=data
        )  # fmt: skip
        for name, place in zip(device.terminals, places.values(), strict=True):
            self.at[(device.tag, name)] = place
        left, top, right, bottom = symbol_named(device.symbol).box
        room = (at[0] + left, at[1] + top, at[0] + right, at[1] + bottom)
        self.rooms.append(room)
        heights = [place[1] for place in places.values()]
        self.framed(device, (room[0], room[1] + (6.0 if room[1] in heights else 0.0),
                             room[2], room[3] - (6.0 if room[3] in heights else 0.0)))  # fmt: skip

    def framed(self, device: Device, room: Box) -> None:
        """Frame what is wrong, or new in a corrected drawing, so that it shows in black and white."""
        if device.state == "wrong" or self.new(device):
            dash = "6 3" if device.state == "wrong" else ""
            self.sheet.box(grown(room, FRAME), ink="red", width=1.2, dash=dash)

    def mark(self, device: Device, terminal: str, *, above: bool) -> None:
        """Write a terminal's name beside its wire."""
        if (device.tag, terminal) in self.nets:
            x, y = self.at[(device.tag, terminal)]
            self.sheet.text(x + 4.0, y - 3.0 if above else y + 11.0, terminal, size=MARK)

    def new(self, device: Device) -> bool:
        """Whether a corrected drawing adds or changes a device."""
        return self.circuit.corrected and bool(device.finding)

    def ink(self, device: Device) -> str:
        """Return the ink of a device."""
        return "red" if device.state != "there" or self.new(device) else "ink"

    def lines(self, device: Device, room: float) -> list[tuple[str, bool]]:
        """Return what stands beside a device, line by line, and whether it is bold."""
        state = STATES[device.state] or ("NEW" if self.new(device) else "")
        tag = device.tag.split(":")[0]
        first = f"{tag} {state}".strip()
        return [(first, True)] + [(line, False) for text in device.words for line in folded(text, room, WORDS)]

    def words(self, device: Device, at: Point, *, room: float, to_left: bool) -> None:
        """Write what a device is beside it, with the numbers of its remarks before or over its tag."""
        lines, numbers = self.lines(device, room), self.about.get(device.tag, ())
        over = 1 if numbers and not to_left else 0
        y = at[1] - 0.5 * STEP * WORDS * (len(lines) - over)
        first = y + 0.5 * STEP * WORDS
        for text, bold in lines:
            y += STEP * WORDS
            self.sheet.text(at[0], y - 3.0, text, size=WORDS, bold=bold, anchor="end" if to_left else "start",
                            ink=self.ink(device) if bold else "ink")  # fmt: skip
        if to_left:
            wide = text_width(lines[0][0], WORDS, bold=True) + ROUND + 5.0
            self.balloons(numbers, (at[0] - wide, first), to_left=True)
        else:
            self.balloons(numbers, (at[0] + ROUND, first - STEP * WORDS - 1.0), to_left=False)

    def balloons(self, numbers: Iterable[int], at: Point, *, to_left: bool) -> None:
        """Draw the numbers of remarks in a row that begins at a point."""
        for n, number in enumerate(numbers):
            step = 2.0 * ROUND + 3.0
            grave = self.circuit.remarks[number - 1].signal in ("danger", "warning")
            place = (at[0] - n * step if to_left else at[0] + n * step, at[1])
            balloon(self.sheet, place, number, radius=ROUND, strong=grave, size=MARK)
            self.given.add(number)
            self.rooms.append((place[0] - ROUND, place[1] - ROUND, place[0] + ROUND, place[1] + ROUND))

    def room_of(self, device: Device, room: float) -> float:
        """Return how high the words of a device are. [px]"""
        return STEP * WORDS * (len(self.lines(device, room)) + (device.tag in self.about)) + 2.0
