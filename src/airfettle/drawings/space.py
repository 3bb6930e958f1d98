"""Room on a sheet: how wide a text is, where lines break, and which places are still free for it."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from math import cos, hypot, pi, sin

from airfettle.drawings.font import letter_widths

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom. [px]"""

LETTER, WIDE = 0.6, 1.15
"""Widths over its size of a letter that the typeface lacks, and of a picture or ideograph that it lacks. [-]"""
STEP = 1.3
"""From one line to the next, over the size. [-]"""
ABOVE, BELOW = 0.8, 0.25
"""Room of letters over and under the line they stand on, over the size. [-]"""
CARRIED_TO = 0x3000
"""Sign from which ideographs and pictures stand, which other typefaces draw. [-]"""
TURNS = 16
"""Directions in which a place for a label is tried. [-]"""
_DROPPED = {*map(chr, range(0x202A, 0x202F)), *map(chr, range(0x2066, 0x206A)), "\u200e", "\u200f", "\ufffe", "\uffff"}


def cleaned(text: str) -> str:
    """Return a text on one line, without signs that cannot stand in a drawing or would turn what follows them."""
    kept = (" " if unicodedata.category(c) == "Cc" else c for c in text)
    return " ".join("".join(c for c in kept if c not in _DROPPED and unicodedata.category(c) != "Cs").split())


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return about how wide a text is. [px]"""
    return size * sum(_letter(c, bold) for c in text)


def _letter(sign: str, bold: bool) -> float:
    known = letter_widths(bold).get(sign)
    if known is not None and ord(sign) < CARRIED_TO:
        return known
    if unicodedata.category(sign) in ("Mn", "Me"):
        return 0.0
    if unicodedata.east_asian_width(sign) in "WF" or ord(sign) > CARRIED_TO:
        return WIDE
    return LETTER if known is None else max(known, LETTER)


def folded(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Return a text as lines no wider than a width; words too long for it are broken."""
    lines, line = [], ""
    for word in cleaned(text).split(" "):
        longer = f"{line} {word}".strip()
        if text_width(longer, size, bold=bold) <= width:
            line = longer
            continue
        lines += [line] if line else []
        line = ""
        for sign in word:
            if line and text_width(line + sign, size, bold=bold) > width:
                lines.append(line)
                line = ""
            line += sign
    return [*lines, line] if line or not lines else lines


def balanced(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Return a text as as many lines as it needs, all about as long."""
    lines = folded(text, width, size, bold=bold)
    while width > 4.0 * size and len(found := folded(text, width, size, bold=bold)) <= len(lines):
        lines, width = found, width - size * LETTER
    return lines


def cut(text: str, width: float, size: float) -> str:
    """Return a text on one line no wider than a width, with an ellipsis where something was cut."""
    text = cleaned(text)
    if text_width(text, size) <= width:
        return text
    while text and text_width(text + "…", size) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def text_box(x: float, y: float, text: str, size: float, *, anchor: str = "start", bold: bool = False) -> Box:
    """Return the room of a text that stands on a line at a height. [px]"""
    wide = text_width(text, size, bold=bold)
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * wide
    return left, y - ABOVE * size, left + wide, y + BELOW * size


def grown(box: Box, by: float) -> Box:
    """Return a box larger on all sides."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def overlap(a: Box, b: Box) -> bool:
    """Return whether two boxes share more than an edge."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def crosses(line: tuple[Point, Point], box: Box) -> bool:
    """Return whether a straight line passes through a box."""
    (x0, y0), (x1, y1) = line
    enter, leave = 0.0, 1.0
    for start, step, low, high in ((x0, x1 - x0, box[0], box[2]), (y0, y1 - y0, box[1], box[3])):
        if abs(step) < 1e-9:
            if not low < start < high:
                return False
            continue
        first, last = sorted(((low - start) / step, (high - start) / step))
        enter, leave = max(enter, first), min(leave, last)
    return enter < leave


@dataclass
class Space:
    """What stands on a part of the sheet already.

    Attributes
    ----------
    area : tuple of float
        Beyond which nothing goes. [px]
    boxes, lines : list
        Taken. [px]
    """

    area: Box
    boxes: list[Box] = field(default_factory=list)
    lines: list[tuple[Point, Point, float]] = field(default_factory=list)

    def free(self, box: Box, *, over_lines: bool = False) -> bool:
        """Return whether a box lies inside and touches nothing."""
        area = self.area
        if box[0] < area[0] or box[1] < area[1] or box[2] > area[2] or box[3] > area[3]:
            return False
        if any(overlap(box, other) for other in self.boxes):
            return False
        return over_lines or not any(crosses((a, b), grown(box, half)) for a, b, half in self.lines)

    def clear(self, at: Point, end: Point, *, over_lines: bool = False) -> bool:
        """Return whether a leader line from a point passes no box and no line, some of both ends left out."""
        a, b = _towards(at, end, 12.0), _towards(end, at, 1.0)
        if any(crosses((a, b), box) for box in self.boxes):
            return False
        return over_lines or not any(_meet((a, b), (c, d)) for c, d, _ in self.lines)

    def take(self, box: Box) -> Box:
        """Mark a box as taken."""
        self.boxes.append(box)
        return box

    def first_free(self, boxes: Iterable[Box]) -> Box | None:
        """Return the first of some boxes that is free, taken now."""
        for box in boxes:
            if self.free(box):
                return self.take(box)
        return None

    def beside(
        self, at: Point, size: Point, *, ahead: float, reaches: Iterable[float], over_lines: bool = False
    ) -> tuple[Box, Point] | None:
        """Return a free place for a label beside a point, taken now, and where its leader line ends.

        Parameters
        ----------
        at : tuple of float
            The point. [px]
        size : tuple of float
            Width and height of the label. [px]
        ahead : float
            Direction that is tried first. [rad]
        reaches : iterable of float
            Distances from point to label, tried in order. [px]
        over_lines : bool
            Its leader line may cross pipes.
        """
        for reach in reaches:
            for box, end in _round(at, size, ahead, reach):
                led = reach <= LEADER or self.clear(at, end, over_lines=over_lines)
                if led and self.free(grown(box, 1.0)):
                    self.take(box)
                    if reach > LEADER:
                        self.lines.append((at, end, 1.0))
                    return box, end
        return None


LEADER = 16.0
"""Distance from which a label has a leader line. [px]"""


def _round(at: Point, size: Point, ahead: float, reach: float) -> Iterator[tuple[Box, Point]]:
    """Yield boxes round a point, from straight ahead to behind, with the point of each that is nearest to it."""
    wide, high = size
    for turn in range(TURNS):
        angle = ahead + (turn + 1) // 2 * (2 * pi / TURNS) * (1 if turn % 2 else -1)
        across, down = cos(angle), sin(angle)
        x, y = at[0] + reach * across, at[1] + reach * down
        left = x if across > 0.35 else x - wide if across < -0.35 else x - wide / 2
        top = y if down > 0.35 else y - high if down < -0.35 else y - high / 2
        box = (left, top, left + wide, top + high)
        yield box, (min(max(at[0], box[0]), box[2]), min(max(at[1], box[1]), box[3]))


def _meet(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Return whether two straight lines cross."""
    (a, b), (c, d) = one, other
    return _side(a, b, c) * _side(a, b, d) < 0.0 and _side(c, d, a) * _side(c, d, b) < 0.0


def _side(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _towards(a: Point, b: Point, by: float) -> Point:
    """Return a point moved towards another."""
    far = hypot(b[0] - a[0], b[1] - a[1])
    share = min(by / far, 1.0) if far else 0.0
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
