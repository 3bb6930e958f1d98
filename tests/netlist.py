"""What a wiring drawing says, read from its SVG by what it shows alone: which terminals its lines join.

Lines are joined where they share an end, or where a dot lies on both; lines that cross are not.  A terminal is joined
to a line that ends at it.  What a line is called in the SVG counts for nothing here.
"""

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from itertools import combinations

from letters import text_room

from airfettle.drawings.symbols import symbol_named

SVG = "{http://www.w3.org/2000/svg}"
NEAR = 0.25
"""Points nearer than this are one: coordinates are written to a tenth. [px]"""
APART = 3.0
"""Wires of two nets beside each other that are nearer than this read as one. [px]"""
NUMBER = r"(-?\d+(?:\.\d+)?)"
RECTANGLE = rf"M{NUMBER} {NUMBER} H{NUMBER} V{NUMBER} H"


@dataclass(frozen=True)
class Wire:
    """One line drawn, with the net it was drawn for."""

    points: tuple
    net: str

    @property
    def ends(self):
        return self.points[0], self.points[-1]

    @property
    def pieces(self):
        return list(zip(self.points[:-1], self.points[1:], strict=True))


@dataclass(frozen=True)
class Placed:
    """A device drawn: where its box is, and its terminals."""

    tag: str
    symbol: str
    box: tuple
    pins: dict
    missing: bool


@dataclass
class Drawn:
    """A drawing read back.

    Attributes
    ----------
    wires : list of Wire
    dots : list of point
    devices : list of Placed
        Those with symbols, then those that are boxes of terminals.
    words : list of (text, box)
    rounds : list of (number, box)
        Numbers of remarks in their circles.
    frames : list of straight pieces
        Edges of boxes and frames.
    size : (width, height)
    """

    wires: list
    dots: list
    devices: list
    words: list
    rounds: list
    frames: list
    size: tuple


def read(svg):
    """Read a wiring drawing."""
    root = ET.fromstring(svg)
    wires, dots, rounds, frames = [], [], [], []
    for path in root.iter(SVG + "path"):
        if path.get("data-net") is not None:
            wires.append(Wire(_points(path.get("d")), path.get("data-net")))
        elif path.get("data-dot") is not None:
            dots.append(_middle(path.get("d"))[:2])
        elif path.get("data-pin") is None and re.match(rf"M{NUMBER} {NUMBER} a", path.get("d")) and path.get("class"):
            x, y, r = _middle(path.get("d"))
            rounds.append((x - r, y - r, x + r, y + r))
        elif path.get("class") and (found := re.match(RECTANGLE, path.get("d"))):
            a, b, c, d = map(float, found.groups())
            frames += [((a, b), (c, b)), ((a, d), (c, d)), ((a, b), (a, d)), ((c, b), (c, d))]
    devices = [_symbol(use) for use in root.iter(SVG + "use")]
    devices += [_box(group) for group in root.iter(SVG + "g") if group.get("data-tag") is not None]
    words = [(mark.text, text_room(mark)) for mark in root.iter(SVG + "text") if mark.get("class")]
    inside = [word for word in words if any(_within(word[1], room) for room in rounds)]
    words = [word for word in words if word not in inside]
    numbers = [(next((text for text, box in inside if _within(box, room)), None), room) for room in rounds]
    return Drawn(wires, dots, devices, words, numbers, frames, (float(root.get("width")), float(root.get("height"))))


def _within(box, room):
    return room[0] <= box[0] and box[2] <= room[2] and room[1] <= box[1] + 2.0 and box[3] <= room[3] + 2.0


def _points(way):
    """Corners of a path of straight lines; anything but M, L, H and V is no wire."""
    found = []
    for letter, numbers in re.findall(r"([A-Za-z])([^A-Za-z]*)", way):
        values = [float(value) for value in re.findall(NUMBER, numbers)]
        if letter in "ML":
            assert len(values) == 2, way
            found.append((values[0], values[1]))
        elif letter == "H":
            found.append((values[0], found[-1][1]))
        elif letter == "V":
            found.append((found[-1][0], values[0]))
        else:
            raise AssertionError(f"a wire that is not straight: {way}")
    assert way.startswith("M"), way
    assert len(found) > 1, way
    return tuple(found)


def _middle(way):
    """Middle and radius of a circle."""
    x, y, r = map(float, re.match(rf"M{NUMBER} {NUMBER} a{NUMBER}", way).groups())
    return x + r, y, r


def _symbol(use):
    drawn = symbol_named(use.get("data-symbol"))
    x, y = float(use.get("x")), float(use.get("y"))
    names = use.get("data-terminals").split(",")
    at = zip(names, drawn.terminals.values(), strict=True)
    a, b, c, d = drawn.box
    pins = {name: (x + px, y + py) for name, (px, py) in at}
    missing = use.get("href").endswith("-missing")
    return Placed(use.get("data-tag"), drawn.name, (x + a, y + b, x + c, y + d), pins, missing)


def _box(group):
    """A box of terminals: its first path is its outline."""
    paths = list(group.iter(SVG + "path"))
    a, b, c, d = map(float, re.match(RECTANGLE, paths[0].get("d")).groups())
    pins = {path.get("data-pin"): _middle(path.get("d"))[:2] for path in paths if path.get("data-pin") is not None}
    return Placed(group.get("data-tag"), "box", (a, b, c, d), pins, bool(paths[0].get("stroke-dasharray")))


def same(one, other):
    return abs(one[0] - other[0]) < NEAR and abs(one[1] - other[1]) < NEAR


def lies_on(point, wire):
    """Whether a point lies on a line, ends counted."""
    return any(_on(point, *piece) for piece in wire.pieces)


def _on(point, a, b):
    x, y = point
    if not (
        min(a[0], b[0]) - NEAR < x < max(a[0], b[0]) + NEAR and min(a[1], b[1]) - NEAR < y < max(a[1], b[1]) + NEAR
    ):
        return False
    length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    return abs((b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])) < NEAR * max(length, 1.0)


def groups(drawn):
    """Lines that are joined, as lists of lines."""
    parent = list(range(len(drawn.wires)))

    def root(n):
        while parent[n] != n:
            n = parent[n]
        return n

    for (n, one), (m, other) in combinations(enumerate(drawn.wires), 2):
        if any(same(a, b) for a in one.ends for b in other.ends):
            parent[root(n)] = root(m)
    for dot in drawn.dots:
        on = [n for n, wire in enumerate(drawn.wires) if lies_on(dot, wire)]
        for n in on[1:]:
            parent[root(n)] = root(on[0])
    found = {}
    for n, wire in enumerate(drawn.wires):
        found.setdefault(root(n), []).append(wire)
    return list(found.values())


def netlist(*sheets):
    """Nets of one circuit drawn on one sheet or several: a set of sets of pins.

    A terminal that is drawn in several places, as a rail's in every row of columns, is one terminal.
    """
    nets = []
    for drawn in sheets:
        for wires in groups(drawn):
            ends = [end for wire in wires for end in wire.ends]
            nets.append({(device.tag, name) for device in drawn.devices for name, at in device.pins.items()
                         if any(same(at, end) for end in ends)})  # fmt: skip
    merged = []
    for net in nets:
        touching = [other for other in merged if other & net]
        merged = [other for other in merged if not other & net] + [set().union(net, *touching)]
    return {frozenset(net) for net in merged}


def loose_ends(drawn):
    """Ends of lines at which nothing is: no terminal, no other line's end, no dot."""
    pins = [at for device in drawn.devices for at in device.pins.values()]
    found = []
    for n, wire in enumerate(drawn.wires):
        others = [end for m, other in enumerate(drawn.wires) if m != n for end in other.ends]
        found += [
            (wire.net, end) for end in wire.ends if not any(same(end, at) for at in [*pins, *drawn.dots, *others])
        ]
    return found


def misread(drawn):
    """Places where a reader could take two nets for one, or miss that three lines of one net meet."""
    found = [(wire.net, wire.points) for wire in drawn.wires for a, b in wire.pieces if a[0] != b[0] and a[1] != b[1]]
    for one, other in combinations(drawn.wires, 2):
        if one.net != other.net:
            found += [("beside", one.net, other.net, p, q) for p in one.pieces for q in other.pieces if _beside(p, q)]
        for wire, end in ((one, end) for end in other.ends if lies_on(end, one)):
            if one.net != other.net or not (any(same(end, e) for e in wire.ends) or _dotted(drawn, end)):
                found.append(("meets", one.net, other.net, end))
    return found + [("no dot", net, at) for net, at in _undotted(drawn)]


def _dotted(drawn, at):
    return any(same(at, dot) for dot in drawn.dots)


def _undotted(drawn):
    """Ends at which three or more lines meet without a dot."""
    for wire in drawn.wires:
        for end in wire.ends:
            arms = sum(sum(same(end, e) for e in other.ends) or 2 * lies_on(end, other) for other in drawn.wires)
            if arms > 2 and not _dotted(drawn, end):
                yield wire.net, end


def _beside(p, q):
    """Whether two straight pieces run along each other for more than a point, nearer than can be told apart."""
    for along, across in ((0, 1), (1, 0)):
        level = p[0][across] == p[1][across] and q[0][across] == q[1][across]
        if level and abs(p[0][across] - q[0][across]) < APART:
            low = max(min(p[0][along], p[1][along]), min(q[0][along], q[1][along]))
            high = min(max(p[0][along], p[1][along]), max(q[0][along], q[1][along]))
            if high - low > NEAR:
                return True
    return False


def through(piece, box, by=0.3):
    """Whether a straight piece of wire passes through the inside of a box."""
    (x0, y0), (x1, y1) = piece
    a, b, c, d = box[0] + by, box[1] + by, box[2] - by, box[3] - by
    return max(x0, x1) > a and min(x0, x1) < c and max(y0, y1) > b and min(y0, y1) < d


def wires_through_devices(drawn):
    """Wires inside a device's box that do not lead straight from a terminal of it out of the box."""
    found = []
    for device in drawn.devices:
        if device.symbol == "shield":
            continue
        found += [(wire.net, piece, device.tag) for wire in drawn.wires for piece in wire.pieces
                  if through(piece, device.box) and not _leaves(piece, device)]  # fmt: skip
    return found


def _leaves(piece, device):
    """Whether a piece of wire goes from a terminal that stands inside the box straight out, past no other terminal."""
    own = [at for at in device.pins.values() if any(same(at, end) for end in piece)]
    return len(own) == 1 and not any(_on(at, *piece) for at in device.pins.values() if not same(at, own[0]))


def lines_through_words(drawn):
    """Texts and numbers of remarks that lie on a wire, or on an edge of a box or frame."""
    lines = [(wire.net, piece) for wire in drawn.wires for piece in wire.pieces]
    lines += [("frame", piece) for piece in drawn.frames]
    found = []
    for text, (a, b, c, d) in [*drawn.words, *drawn.rounds]:
        found += [(text, name, piece) for name, piece in lines if through(piece, (a, b + 0.6, c, d - 1.0))]
    return found


def touching(drawn):
    """Pairs of texts, numbers of remarks and devices that lie on each other, and what leaves the sheet."""
    words = [(f"text {text}", box) for text, box in drawn.words]
    rounds = [(f"remark {number}", box) for number, box in drawn.rounds]
    devices = [(f"device {device.tag}", device.box) for device in drawn.devices if device.symbol != "shield"]
    inside = {(name, tag.tag) for name, box in words for tag in drawn.devices if tag.symbol == "box"
              and _holds(tag.box, box)}  # fmt: skip
    wide, high = drawn.size
    found = [(name, "leaves the sheet", box) for name, box in [*words, *rounds, *devices]
             if box[0] < 0.0 or box[1] < 0.0 or box[2] > wide or box[3] > high]  # fmt: skip
    for (one, a), (other, b) in combinations([*words, *rounds, *devices], 2):
        if _overlap(a, b) and (one, other.removeprefix("device ")) not in inside:
            found.append((one, other, a, b))
    return found


def _holds(room, box):
    return room[0] < box[0] and box[2] < room[2] and room[1] < box[1] and box[3] < room[3]


def _overlap(a, b, by=0.35):
    return a[0] < b[2] - by and b[0] < a[2] - by and a[1] < b[3] - by and b[1] < a[3] - by
