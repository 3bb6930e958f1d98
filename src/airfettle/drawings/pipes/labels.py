"""Labels of drops: words as lines of a width, drawn beside the drop or in a numbered list below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airfettle.drawings.pipes.marks import balloon
from airfettle.drawings.pipes.words import Words, drop_is_off, drop_words, is_short, worst_drop
from airfettle.drawings.sheet import Sheet
from airfettle.drawings.space import ABOVE, STEP, Box, Point, balanced, text_width
from airfettle.studies.pipework.shop import ShopRun

INK = {"name": "ink", "tool": "ink", "value": "ink", "short": "red", "cause": "red", "off": "pale"}
"""Ink of each sort of line."""
STRONG = ("name", "short")
"""Sorts of line in bold."""
PAD = 5.0
"""Room round the words of a label. [px]"""
BALLOON, SMALL_BALLOON = 9.5, 8.0
"""Radius of a number's circle, on a desk and on a phone. [px]"""


@dataclass(frozen=True)
class Label:
    """A drop's words, broken into lines.

    Attributes
    ----------
    drop : int
        Which one. [-]
    lines : tuple of Words
        Top to bottom.
    worst, short : bool
        Here is the tool worst off; here is one that is short.
    wide, high : float
        Room it takes, its edge counted. [px]
    size : float
        Of its type. [px]
    """

    drop: int
    lines: tuple[Words, ...]
    worst: bool
    short: bool
    wide: float
    high: float
    size: float


def label_of(run: ShopRun, drop: int, *, width: float, size: float, place: str = "") -> Label:
    """Return the label of a drop, no wider than a width; with the place it hangs at where that is asked for."""
    words = drop_words(run, drop)
    if place:
        words.append(Words(f"at {place}", "off" if drop_is_off(run, drop) else "tool"))
    room = width - 2.0 * PAD
    lines = tuple(
        Words(part, each.style) for each in words for part in balanced(each.text, room, size, bold=each.style in STRONG)
    )
    widest = max(text_width(each.text, size, bold=each.style in STRONG) for each in lines)
    short = any(is_short(p) for p, o in zip(run.places, run.network.outlets, strict=True) if o.drop == drop)
    return Label(drop, lines, drop == worst_drop(run), short, widest + 2.0 * PAD, len(lines) * STEP * size + 2.0 * PAD,
                 size)  # fmt: skip


def draw_label(sheet: Sheet, label: Label, box: Box, *, at: float = 0.0) -> None:
    """Draw a label into its room, set towards where across the sheet its drop stands; the worst one in a frame."""
    if label.worst:
        sheet.box(box, ink="red", width=1.8, fill="paper")
    towards = at > 0.5 * (box[0] + box[2]) + 0.25 * label.wide and not label.worst
    x, y = box[2] - PAD if towards else box[0] + PAD, box[1] + PAD + (STEP - 1.0 + ABOVE) * label.size - 1.0
    for line in label.lines:
        sheet.text(x, y, line.text, size=label.size, ink=INK[line.style], bold=line.style in STRONG,
                   anchor="end" if towards else "start")  # fmt: skip
        y += STEP * label.size


def columns_of(width: float) -> int:
    """Return how many columns a list has on a sheet of a width."""
    return 3 if width >= 900.0 else 2 if width >= 600.0 else 1


def draw_list(sheet: Sheet, numbered: Sequence[tuple[int, Label]], *, left: float, top: float, room: float) -> float:
    """Draw numbered labels one below the other, in columns; return where the list ends. [px]"""
    many = columns_of(room)
    column = room / many
    whole = sum(label.high for _, label in numbered)
    at, y, lowest, used = 0, top, top, 0.0
    for number, label in numbered:
        if at < many - 1 and used > 0.0 and used + 0.5 * label.high > whole * (at + 1) / many:
            at, y = at + 1, top
        x = left + at * column
        middle: Point = (x + BALLOON + 1.0, y + PAD + 0.5 * STEP * label.size)
        balloon(sheet, middle, number, radius=BALLOON, strong=label.worst)
        start = x + 2.0 * BALLOON + 6.0
        draw_label(sheet, label, (start, y, start + label.wide, y + label.high))
        y, used = y + label.high, used + label.high
        lowest = max(lowest, y)
    return lowest


def list_width(room: float) -> float:
    """Return the room of one label in a list. [px]"""
    return room / columns_of(room) - 2.0 * BALLOON - 14.0
