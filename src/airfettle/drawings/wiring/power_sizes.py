"""Sizes and kinds of wires, written beside those they are of where nothing else lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airfettle.drawings.space import STEP, Box, Point, Space, folded, grown, text_width
from airfettle.drawings.wiring.pen import ROUND, WORDS, Pen
from airfettle.studies.wiring.circuit import Net

Reach = tuple[float, float]
"""From where to where. [px]"""
MOST_WIRE = 116.0
"""Room of the size and kind of wires. [px]"""
CLEAR = 2.0
"""Between these words and anything else. [px]"""
UP_OR_DOWN = 4.0
"""By how much a place is tried higher or lower. [px]"""


def taken(pen: Pen) -> Space:
    """Return what stands on a power circuit that is drawn but for its sizes of wires."""
    height = max((box[3] for box in pen.sheet.boxes), default=0.0) + 200.0
    space = Space((0.0, 0.0, pen.sheet.width, height), boxes=[grown(box, CLEAR) for box in pen.sheet.boxes])
    space.boxes += [grown(box, CLEAR) for box in pen.rooms]
    space.lines += [(one, other, CLEAR) for one, other in pen.pieces]
    return space


def write_sizes(pen: Pen, space: Space, nets: Sequence[Net], *, beside: Reach, middle: float, reach: Reach) -> bool:
    """Write the size and kind of nets' wires, one below the other, each with its numbers of remarks.

    Parameters
    ----------
    pen : Pen
        Draws.
    space : Space
        What is taken; the words take their room in it.
    nets : sequence of Net
        Of which each has a size.
    beside : (float, float)
        Where the words end at the left of the wires, and where they begin at their right. [px]
    middle : float
        Height at which they stand best. [px]
    reach : (float, float)
        Highest and lowest place. [px]

    Returns
    -------
    bool
        Whether there was room.
    """
    lines = [(net, line) for net in nets for line in folded(net.wire, MOST_WIRE - 2.0 * ROUND - 8.0, WORDS)]
    marks = max(len(pen.about.get(net.number, ())) for net in nets) * (2.0 * ROUND + 3.0)
    wide = max(text_width(line, WORDS) for _, line in lines) + marks + (5.0 if marks else 0.0)
    box = space.first_free(_places((wide, STEP * WORDS * len(lines)), beside, middle, reach))
    if box is None:
        return False
    _write(pen, lines, box, to_left=box[0] < beside[1])
    return True


def _places(size: Point, beside: Reach, middle: float, reach: Reach) -> Iterator[Box]:
    """Yield places: at the left from the best height up and down, then at the right."""
    wide, high = size
    steps = int((reach[1] - reach[0]) / UP_OR_DOWN) + 1
    heights = [middle + sign * UP_OR_DOWN * n for n in range(steps) for sign in (1.0, -1.0)[: n + 1]]
    for left in (beside[0] - wide, beside[1]):
        for at in heights:
            if reach[0] <= at - 0.5 * high and at + 0.5 * high <= reach[1]:
                yield left, at - 0.5 * high, left + wide, at + 0.5 * high


def _write(pen: Pen, lines: Sequence[tuple[Net, str]], box: Box, *, to_left: bool) -> None:
    y, before = box[1], None
    for net, line in lines:
        y += STEP * WORDS
        x = box[2] if to_left else box[0]
        pen.sheet.text(x, y - 3.0, line, size=WORDS, anchor="end" if to_left else "start", ink="pale")
        if net is not before:
            numbers = pen.about.get(net.number, ())
            widest = max(text_width(each, WORDS) for of, each in lines if of is net)
            step = widest + ROUND + 5.0
            pen.balloons(numbers, (x - step if to_left else x + step, y - 7.0), to_left=to_left)
        before = net
