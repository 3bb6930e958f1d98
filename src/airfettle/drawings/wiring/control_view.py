"""A control circuit drawn: rails above and below, one column for each way from the one to the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airfettle.drawings.space import STEP, Point, folded
from airfettle.drawings.wiring.pen import WORDS, Pen
from airfettle.studies.wiring.circuit import Beside, Column, Device, Net, Panel, Step

HALF = 30.0
"""From a symbol's middle to its terminals. [px]"""
GAP = 48.0
"""Between two devices of a column: a terminal's mark, the wire's number, the next mark. [px]"""
LEFT, RIGHT = 46.0, 108.0
"""Room of a symbol to its left, and of its words to its right. [px]"""
PITCH = LEFT + RIGHT
"""From one column to the next. [px]"""
RAIL = 120.0
"""Room of a rail's name at its left end. [px]"""
NARROW = 18.0
"""Of it, from the name's box to the first column. [px]"""
TRACK = 16.0
"""Between wires beside each other. [px]"""


@dataclass(frozen=True)
class Placed:
    """A column of a panel with where it stands."""

    column: Column
    x: float


def columns_wide(panel: Panel) -> float:
    """Return the room that the columns of a panel take side by side. [px]"""
    return sum(PITCH * _wide(column.chain) for column in panel.columns)


def panels_of(panel: Panel, room: float) -> list[Panel]:
    """Return a panel as one row of columns, or several where they do not fit a room."""
    rows: list[list[Column]] = [[]]
    used = 0.0
    for column in panel.columns:
        wide = PITCH * _wide(column.chain)
        if rows[-1] and used + wide > room - RAIL:
            rows.append([])
            used = 0.0
        rows[-1].append(column)
        used += wide
    return [Panel(panel.title, panel.above, panel.below, tuple(row)) for row in rows]


def draw_panel(pen: Pen, panel: Panel, *, left: float, top: float) -> float:
    """Draw a panel; return where it ends. [px]"""
    placed, x = [], left + RAIL + LEFT
    for column in panel.columns:
        placed.append(Placed(column, x))
        x += PITCH * _wide(column.chain)
    y = top + 28.0 + TRACK * max(_tracks(placed, upper=True), 1)
    high = max((_high(pen, column.chain) for column in panel.columns), default=0.0)
    foot = y + high + TRACK * max(_tracks(placed, upper=False), 1)
    starts = _edge(pen, placed, upper=True, y=top + 10.0, left=left)
    ends = _edge(pen, placed, upper=False, y=foot + 26.0, left=left)
    for each in placed:
        _column(pen, each, y, start=(each.x, starts[each.x]), end=(each.x, ends[each.x]))
    return foot + 84.0


def _wide(chain: Sequence[Step | Beside]) -> int:
    """How many columns stand beside each other in a chain. [-]"""
    return max((sum(_wide(way) for way in step.ways) for step in chain if isinstance(step, Beside)), default=1)


def _high(pen: Pen, chain: Sequence[Step | Beside]) -> float:
    high = GAP
    for step in chain:
        if isinstance(step, Beside):
            high += 2.0 * TRACK + max(_high(pen, way) for way in step.ways)
        else:
            high += _slot(pen, pen.circuit.device(step.tag)) + GAP
    return high


def _slot(pen: Pen, device: Device) -> float:
    """Height of one device in a column, its words counted. [px]"""
    return max(2.0 * HALF, pen.room_of(device, RIGHT - 24.0) + 4.0)


def _tracks(placed: Sequence[Placed], *, upper: bool) -> int:
    """How many terminals of a box are joined to more than one column."""
    ends = [each.column.top if upper else each.column.bottom for each in placed]
    return sum(ends.count(end) > 1 for end in dict.fromkeys(ends))


def _edge(pen: Pen, placed: Sequence[Placed], *, upper: bool, y: float, left: float) -> dict[float, float]:
    """Draw what the columns begin or end at, a rail or a box; return the height of each column's end. [px]"""
    heights: dict[float, float] = {}
    ends = [each.column.top if upper else each.column.bottom for each in placed]
    for tag in dict.fromkeys(tag for tag, _ in ends):
        device = pen.circuit.device(tag)
        mine = [each for each, end in zip(placed, ends, strict=True) if end[0] == tag]
        drawn = _rail if len(device.terminals) == 1 else _box
        heights |= drawn(pen, device, mine, upper=upper, y=y, left=left)
    return heights


def _rail(
    pen: Pen, device: Device, mine: Sequence[Placed], *, upper: bool, y: float, left: float
) -> dict[float, float]:
    """Draw a rail: a small box with its name at the left, a line along all its columns."""
    pin = (device.tag, device.terminals[0])
    net, level = pen.nets[pin], y + (14.0 if upper else -14.0)
    lines = _lines(device, RAIL - NARROW)
    half = 0.5 * STEP * WORDS * len(lines) + 6.0
    up, down = (18.0, 2.0 * half - 18.0) if upper else (2.0 * half - 18.0, 18.0)
    end = left + RAIL - NARROW
    _named(pen, device, (left, level - up, end, level + down), {pin: (end, level)})
    pen.number(net, (end + 2.0, level - 4.0), again=True)
    xs = [each.x for each in mine]
    pen.wire(net, (end, level), (xs[-1], level))
    for x in xs[:-1]:
        pen.dot(net, (x, level))
    return dict.fromkeys(xs, level)


def _box(pen: Pen, device: Device, mine: Sequence[Placed], *, upper: bool, y: float, left: float) -> dict[float, float]:
    """Draw a box along the edge with its terminals, and tracks where several columns meet at one."""
    edge, sign = y + (6.0 if upper else -6.0), 1.0 if upper else -1.0
    first: dict[tuple[str, str], list[float]] = {}
    for each in mine:
        first.setdefault(each.column.top if upper else each.column.bottom, []).append(each.x)
    high = STEP * WORDS * len(_lines(device, RAIL - NARROW)) + 14.0
    box = (left, edge - high if upper else edge, mine[-1].x + 30.0, edge if upper else edge + high)
    _named(pen, device, box, {pin: (xs[0], edge) for pin, xs in first.items()})
    track, heights = 0, {}
    for pin, xs in first.items():
        if len(xs) == 1:
            heights[xs[0]] = edge
            continue
        track += 1
        net, level = pen.nets[pin], edge + sign * (TRACK * track + 4.0)
        pen.wire(net, (xs[0], edge), (xs[0], level))
        pen.wire(net, (xs[0], level), (xs[-1], level))
        for x in xs[:-1]:
            pen.dot(net, (x, level))
        heights |= dict.fromkeys(xs, level)
    return heights


def _named(
    pen: Pen, device: Device, box: tuple[float, float, float, float], pins: dict[tuple[str, str], Point]
) -> None:
    """Draw a box with its words and terminals."""
    with pen.sheet.group(tag=device.tag):
        pen.sheet.box(box, width=1.6, ink=pen.ink(device), dash="4 3" if device.state == "missing" else "")
        pen.framed(device, box)
        for pin, at in pins.items():
            pen.at[pin] = at
            pen.sheet.circle(at, 2.2, width=1.2, fill="paper", data={"pin": pin[1]})
    lines = _lines(device, RAIL - NARROW)
    y = 0.5 * (box[1] + box[3]) - 0.5 * STEP * WORDS * len(lines) - 3.0
    for n, line in enumerate(lines):
        y += STEP * WORDS
        pen.sheet.text(box[0] + 6.0, y, line, size=WORDS, bold=n == 0)
    numbers = pen.about.get(device.tag, ())
    pen.balloons(numbers, (box[0] + 10.0, box[1] - 13.0), to_left=False)
    for (_, name), (x, y) in pins.items():
        if len(device.terminals) > 1:
            inside = y + 13.0 if y < 0.5 * (box[1] + box[3]) else y - 5.0
            pen.sheet.text(x, inside, name, size=WORDS, anchor="middle", bold=True)


def _lines(device: Device, room: float) -> list[str]:
    """Return the words of a rail or box, its tag first."""
    tag = device.tag.split(":")[0]
    return [tag, *(text for words in device.words for text in folded(words, room - 12.0, WORDS))]


def _column(pen: Pen, each: Placed, top: float, *, start: Point, end: Point) -> None:
    """Draw a column from its rail above to its rail below."""
    above, below = pen.nets[each.column.top], pen.nets[each.column.bottom]
    last = _chain(pen, each.column.chain, x=each.x, start=start, y=top, net=above)
    pen.wire(below, last, end)
    pen.number(below, (each.x, end[1] - 8.0))


def _chain(pen: Pen, chain: Sequence[Step | Beside], *, x: float, start: Point, y: float, net: Net) -> Point:
    """Draw devices one below the other from a wire's end; return where the last one ends."""
    for step in chain:
        if isinstance(step, Beside):
            start = _beside(pen, step, x=x, start=start, y=y, net=net)
            y = start[1]
        else:
            device = pen.circuit.device(step.tag)
            slot = _slot(pen, device)
            middle = y + GAP + 0.5 * slot
            pen.device(device, (x, middle))
            upper, lower = pen.at[(step.tag, step.top)], pen.at[(step.tag, step.bottom)]
            pen.wire(net, start, upper)
            pen.number(net, (x, upper[1] - 18.0))
            pen.mark(device, step.top, above=True)
            pen.mark(device, step.bottom, above=False)
            wide = 44.0 if device.symbol == "solenoid_valve" else 24.0
            pen.words(device, (x + wide, middle), room=RIGHT - wide, to_left=False)
            start, y = lower, middle + 0.5 * slot
        net = _below(pen, step)
    return start


def _below(pen: Pen, step: Step | Beside) -> Net:
    """The net below a step."""
    while isinstance(step, Beside):
        step = step.ways[0][-1]
    return pen.nets[(step.tag, step.bottom)]


def _beside(pen: Pen, step: Beside, *, x: float, start: Point, y: float, net: Net) -> Point:
    """Draw ways beside each other; return where they meet below."""
    split = y + GAP - TRACK
    pen.wire(net, start, (x, split))
    xs, at = [], x
    for way in step.ways:
        xs.append(at)
        at += PITCH * _wide(way)
    high = max(_high(pen, way) for way in step.ways)
    meet, low = split + high + TRACK, _below(pen, step)
    pen.wire(net, (x, split), (xs[-1], split))
    pen.wire(low, (x, meet), (xs[-1], meet))
    for place, (way, across) in enumerate(zip(step.ways, xs, strict=True)):
        last = _chain(pen, way, x=across, start=(across, split), y=split - TRACK, net=net)
        pen.wire(low, last, (across, meet))
        if place < len(xs) - 1:
            pen.dot(net, (across, split))
            pen.dot(low, (across, meet))
    return x, meet
