"""How much room each thing on the air path takes on a wide sheet."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from airfettle.drawings.air_path.items import Fixture, Item
from airfettle.drawings.air_path.notes import PITCH, Notes
from airfettle.drawings.air_path.words import Words
from airfettle.drawings.sheet import SMALL
from airfettle.drawings.space import STEP, balanced, cut, text_width
from airfettle.drawings.symbols import symbol_named
from airfettle.studies.stations import KINDS_SHOWN, StationAt

REACH = 24.0
"""From a symbol's middle to its edge. [px]"""
FRAME, GAP = 30.0, 8.0
"""From the middle of a symbol to its dotted frame, and from there to words. [px]"""
STEM, FIXTURE = 16.0, 42.0
"""Length of a fixture's stem, and height of its symbol. [px]"""
NARROWEST, MOST_NAME = 92.0, 150.0
"""Least width of a thing, and most width of its name. [px]"""
VESSEL, LEAST_VESSEL = 29.0, 150.0
"""Half height and least length of a receiver. [px]"""
LINE = STEP * SMALL
"""From one line of words to the next. [px]"""
MOST_LINES = 3
"""Lines of a name. [-]"""
TURNING = 66.0
"""Room above a symbol for motor or fan. [px]"""


@dataclass(frozen=True)
class Cell:
    """A fixture with its words, and the room it takes; its symbol stands ``middle`` from its left. [px]"""

    fixture: Fixture
    words: tuple[str, ...]
    numbers: tuple[int, ...]
    wide: float
    middle: float
    high: float


@dataclass(frozen=True)
class Sized:
    """A thing with its words broken into lines, and the room it takes.

    Attributes
    ----------
    item : Item
        The thing.
    names, words : tuple of str
        Lines of its name, bold, and of what is known of it.
    numbers : tuple of int
        Notes on itself.
    cells : tuple of Cell
        What stands on it, left to right.
    wide, up, down : float
        Across; above and below the air's line. [px]
    """

    item: Item
    names: tuple[str, ...]
    words: tuple[str, ...]
    numbers: tuple[int, ...]
    drain_numbers: tuple[int, ...]
    cells: tuple[Cell, ...]
    wide: float
    up: float
    down: float

    @property
    def named_above(self) -> bool:
        """Whether its name stands above it, as its water falls below."""
        return drips(self.item)


def drips(item: Item) -> bool:
    """Return whether water falls from an item that is not a receiver, so that its name stands above."""
    return item.symbol != "vessel" and (item.drain is not None or item.falls) and not item.above


def edge(item: Item) -> float:
    """Return how far a thing reaches above and below the air's line. [px]"""
    if item.symbol in ("hot_line", "tools"):
        return 0.0
    if item.symbol == "vessel":
        return VESSEL
    if item.assumed:
        return FRAME
    box = symbol_named(item.symbol).box
    return max(-box[1], box[3])


def cell_width(words: Words, stations: tuple[StationAt, ...]) -> float:
    """Return the width of the table's columns: of their widest value. [px]"""
    widest = max(text_width(words.cell(s, q), SMALL, bold=q == "caught") for s in stations for q in KINDS_SHOWN)
    return max(widest + 12.0, NARROWEST)


def per_row(room: float) -> int:
    """Return how many numbers stand side by side in a room. [-]"""
    return max(int(room // PITCH), 1)


def sized(item: Item, notes: Notes, *, column: float, widest: float) -> Sized:
    """Return a thing with its room; ``column`` is the table's, ``widest`` what there is at most. [px]"""
    beside = item.symbol in ("vessel", "hot_line")
    cells = tuple(_cell(fixture, notes, centred=not beside) for fixture in item.above)
    on_top = sum(cell.wide for cell in cells)
    if item.symbol == "tools":
        return _tools(item, notes, widest)
    numbers, drains = notes.of(item.key), notes.of(item.drain.key) if item.drain is not None else ()
    if item.symbol == "vessel":
        wide = max(on_top + 44.0, LEAST_VESSEL, column)
        names = tuple(cut(line, wide - 40.0, SMALL * 1.06) for line in (item.name,))
        words = tuple(cut(line, wide - 48.0, SMALL) for line in item.words)
        below = max(ceil(len(numbers) / (2 * per_row(0.5 * wide - 54.0))) * PITCH, _drain_depth(drains))
        return Sized(item, names, words, numbers, drains, cells, wide + 24.0, VESSEL + _cells_high(cells),
                     VESSEL + 6.0 + below)  # fmt: skip
    least = column if item.station is not None else NARROWEST
    wide = max(least, on_top + 8.0, min(text_width(item.name, SMALL, bold=True) / 2.0 + 16.0, MOST_NAME))
    names = _lines(item.name, wide - 10.0, bold=True)
    words = tuple(line for text in item.words for line in _lines(text, wide - 10.0))[:MOST_LINES]
    lettered = (len(names) + len(words)) * LINE + ceil(len(numbers) / per_row(wide - 8.0)) * PITCH + 2.0
    clear = edge(item) + GAP
    up = clear + (TURNING if item.motor or item.fan else 0.0) + (LINE if item.fan else 0.0)
    up = max(up, _cells_high(cells) + edge(item))
    down = clear
    if drips(item):
        up, down = max(up, clear + lettered), REACH + _drain_depth(drains) + (20.0 if item.drain is not None else 0.0)
    else:
        down += lettered
    return Sized(item, names, words, numbers, drains, cells, wide, up, down)


def _tools(item: Item, notes: Notes, widest: float) -> Sized:
    """The list of tools, its lines above and below the air's line."""
    room = min(widest, 280.0)
    lines = tuple(cut(line, room - 30.0, SMALL) for line in item.words)
    numbers = notes.of(item.key)
    wide = max(text_width(line, SMALL) for line in lines) + 34.0
    rows = ceil(len(numbers) / per_row(wide - 30.0))
    half = 0.5 * (len(lines) * LINE) + 4.0
    return Sized(item, (), lines, numbers, (), (), max(wide, 80.0), half, half + rows * PITCH)


def _cell(fixture: Fixture, notes: Notes, *, centred: bool) -> Cell:
    numbers = notes.of(fixture.key)
    words = tuple(line for text in fixture.words for line in _lines(text, 104.0))
    half = 0.5 * max((text_width(line, SMALL) for line in words), default=0.0) + 4.0
    beside = 22.0 + ceil(len(numbers) / 2) * PITCH if numbers else 22.0
    left, right = max(half, 19.0), max(half, beside)
    if centred:
        left = right = max(left, right)
    high = STEM + FIXTURE + len(words) * LINE + (20.0 if fixture.blocked else 0.0)
    if fixture.symbol == "shut_off_valve":  # in the line itself, its numbers above its words
        left = right = max(half, 23.0)
        high = 20.0 + len(words) * LINE + ceil(len(numbers) / 2) * PITCH
    return Cell(fixture, words, numbers, left + right, left, high + 2.0)


def _cells_high(cells: tuple[Cell, ...]) -> float:
    return max((cell.high for cell in cells), default=0.0)


def lettered(t: Sized) -> float:
    """Return the height of a thing's words and the numbers of its notes. [px]"""
    return (len(t.names) + len(t.words)) * LINE + ceil(len(t.numbers) / per_row(t.wide - 8.0)) * PITCH


def _drain_depth(numbers: tuple[int, ...]) -> float:
    """Room below a drain for its notes, two side by side, and for its fall. [px]"""
    return 24.0 + ceil(len(numbers) / 2) * PITCH


def _lines(text: str, room: float, *, bold: bool = False) -> tuple[str, ...]:
    if not text:
        return ()
    lines = balanced(text, room, SMALL, bold=bold)
    if len(lines) > MOST_LINES:
        lines = [*lines[: MOST_LINES - 1], cut(" ".join(lines[MOST_LINES - 1 :]) + "…", room - 8.0, SMALL)]
    return tuple(lines)
