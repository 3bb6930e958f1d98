"""What is said of wires, written beside them where nothing else lies: size and kind, what is missing, remarks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from airfettle.drawings.space import STEP, Box, Point, Space, folded, grown, text_width
from airfettle.drawings.wiring.pen import ROUND, STATES, WORDS, Pen
from airfettle.drawings.wiring.power_places import BESIDE
from airfettle.studies.wiring.circuit import Net

Reach = tuple[float, float]
"""From where to where. [px]"""
MOST_WIRE = 128.0
"""Room of the size and kind of wires. [px]"""
EARTH_ROOMS = (150.0, 110.0, 80.0)
"""Widths tried for the size and kind of earth wires. [px]"""
CLEAR = 2.0
"""Between these words and anything else. [px]"""
UP_OR_DOWN = 4.0
"""By how much a place is tried higher or lower. [px]"""


@dataclass(frozen=True)
class Line:
    """One line of the words on a net's wires."""

    net: Net
    text: str
    strong: bool = False


def taken(pen: Pen, *, right: float) -> Space:
    """Return what stands on a power circuit that is drawn but for words on its wires; free as far as ``right``."""
    height = max((box[3] for box in pen.sheet.boxes), default=0.0) + 200.0
    space = Space((0.0, 0.0, right, height), boxes=[grown(box, CLEAR) for box in pen.sheet.boxes])
    space.boxes += [grown(box, CLEAR) for box in pen.rooms]
    space.lines += [(one, other, CLEAR) for _, one, other in pen.pieces]
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
    lines = [line for net in nets for line in _lines(pen, net)]
    marks = max(len(pen.about.get(net.number, ())) for net in nets) * (2.0 * ROUND + 3.0)
    wide = max(map(_width, lines)) + marks + (5.0 if marks else 0.0)
    box = space.first_free(_places((wide, STEP * WORDS * len(lines)), beside, middle, reach))
    if box is None:
        return False
    _write(pen, lines, box, to_left=box[0] < beside[1])
    pen.worded |= {(_word(pen, net), net.finding) for net in nets}
    return True


def sizes_high(pen: Pen, nets: Sequence[Net]) -> float:
    """Return how high the sizes of nets' wires are, one below the other. [px]"""
    return STEP * WORDS * sum(len(_lines(pen, net)) for net in nets)


def _word(pen: Pen, net: Net) -> str:
    """Return what is to be said of the state of a net."""
    return STATES[net.state] or ("NEW" if pen.circuit.corrected and net.finding else "")


def _lines(pen: Pen, net: Net) -> list[Line]:
    """Return the lines of a net's words: its state, once for each finding, then size and kind."""
    word = _word(pen, net)
    lines = [Line(net, line) for line in folded(net.wire, MOST_WIRE - 2.0 * ROUND - 8.0, WORDS)]
    return [Line(net, word, strong=True), *lines] if word and (word, net.finding) not in pen.worded else lines


def _width(line: Line) -> float:
    return text_width(line.text, WORDS, bold=line.strong)


def write_earths(pen: Pen, space: Space) -> None:
    """Write size and kind of earth wires beside them, in the fewest lines that find room."""
    for net in pen.circuit.nets:
        if net.sort in BESIDE and net.wire:
            for room in EARTH_ROOMS:
                lines = folded(net.wire, room, WORDS)
                size = (max(text_width(line, WORDS) for line in lines), STEP * WORDS * len(lines))
                box = space.first_free(_along(pen, net, size))
                if box is not None:
                    for n, line in enumerate(lines, start=1):
                        pen.sheet.text(box[0], box[1] + n * STEP * WORDS - 3.0, line, size=WORDS, ink="pale")
                    break


def write_states(pen: Pen, space: Space) -> None:
    """Write what is missing, wrong or new of wires, once for each finding, and remarks that stand nowhere yet."""
    for net in pen.circuit.nets:
        word = _word(pen, net)
        word = "" if (word, net.finding) in pen.worded else word
        numbers = [number for number in pen.about.get(net.number, ()) if number not in pen.given]
        if word or numbers:
            pen.worded.add((word, net.finding))
            _state(pen, space, net, f"{net.number} {word}" if word else "", numbers)


def _state(pen: Pen, space: Space, net: Net, words: str, numbers: Sequence[int]) -> None:
    wide = text_width(words, WORDS, bold=True) + (5.0 if words and numbers else 0.0)
    size = (wide + len(numbers) * (2.0 * ROUND + 3.0), STEP * WORDS + 2.0)
    box = space.first_free(_along(pen, net, size))
    if box is None:
        return
    middle = 0.5 * (box[1] + box[3])
    if words:
        pen.sheet.text(box[0], middle + 4.0, words, size=WORDS, bold=True, ink="red")
    pen.balloons(numbers, (box[0] + wide + ROUND, middle), to_left=False)


def _along(pen: Pen, net: Net, size: Point) -> Iterator[Box]:
    """Yield places beside the upright pieces of a net, at their right and left, from the top down."""
    wide, high = size
    for number, one, other in pen.pieces:
        if number == net.number and one[0] == other[0]:
            top, bottom = sorted((one[1], other[1]))
            for step in range(int((bottom - top - high) / UP_OR_DOWN) + 1):
                y = top + UP_OR_DOWN * step
                for left in (one[0] + 6.0, one[0] - 6.0 - wide):
                    yield left, y, left + wide, y + high


def _places(size: Point, beside: Reach, middle: float, reach: Reach) -> Iterator[Box]:
    """Yield places: at the left from the best height up and down, then at the right."""
    wide, high = size
    steps = int((reach[1] - reach[0]) / UP_OR_DOWN) + 1
    heights = [middle + sign * UP_OR_DOWN * n for n in range(steps) for sign in (1.0, -1.0)[: n + 1]]
    for left in (beside[0] - wide, beside[1]):
        for at in heights:
            if reach[0] <= at - 0.5 * high and at + 0.5 * high <= reach[1]:
                yield left, at - 0.5 * high, left + wide, at + 0.5 * high


def _write(pen: Pen, lines: Sequence[Line], box: Box, *, to_left: bool) -> None:
    y, before = box[1], None
    for line in lines:
        y += STEP * WORDS
        x = box[2] if to_left else box[0]
        pen.sheet.text(x, y - 3.0, line.text, size=WORDS, anchor="end" if to_left else "start", bold=line.strong,
                       ink="red" if line.strong else "pale")  # fmt: skip
        if line.net is not before:
            numbers = pen.about.get(line.net.number, ())
            step = _width(line) + ROUND + 5.0
            pen.balloons(numbers, (x - step if to_left else x + step, y - 7.0), to_left=to_left)
        before = line.net
