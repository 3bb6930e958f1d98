"""Where an entry of a plant file stands, so that a message can name its line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Sequence

_TABLE = re.compile(r"\s*\[(?P<name>[^\[\]]+)\]\s*(?:#.*)?")
_ITEM = re.compile(r"\s*\[\[(?P<name>[^\[\]]+)\]\]\s*(?:#.*)?")
_PART = r"(?:[A-Za-z0-9_-]+|\"(?:\\.|[^\"\\])*\"|'[^']*')"
_KEY = re.compile(rf"\s*(?P<key>{_PART}(?:\s*\.\s*{_PART})*)\s*=")
_PIECE = re.compile(r'"""|\'\'\'|"(?:\\.|[^"\\])*"|\'[^\']*\'|#|[\[\]{}]')

Place = tuple[str | int, ...]


def line_of(text: str, place: Sequence[str | int]) -> int | None:
    """Return the line (from 1) of the deepest part of a place that the text names, or None.

    Parameters
    ----------
    text : str
        The plant file.
    place : sequence
        Keys, and numbers for one of several, as pydantic gives them.
    """
    wanted = tuple(place)
    found: dict[Place, int] = {}
    for line, _, here in _lines(text):
        for length in range(1, len(here) + 1):  # [pump.first_stage] names the pump too
            found.setdefault(here[:length], line)
    for length in range(len(wanted), 0, -1):
        part = wanted[:length]
        for candidate in (part, tuple(k for k in part if k != 0)):
            if candidate in found:
                return found[candidate]
    return None


def end_of(text: str, section: Place, *, whole: bool = False) -> int | None:
    """Return the last line (from 1) of a section that has a header of its own, comments behind it left out.

    Parameters
    ----------
    text : str
        The plant file.
    section : tuple
        Keys, and numbers for one of several; ``()`` is what stands before the first header.
    whole : bool
        With the sections inside it.
    """
    found = None
    for line, table, _ in _lines(text):
        if table == section or (whole and table[: len(section)] == section):
            found = line
    return found


def _lines(text: str) -> Iterator[tuple[int, Place, Place]]:
    """Yield (number, section it is in, place it names) of every line that is not blank or a comment."""
    table: Place = ()
    here: Place = ()
    counts: dict[Place, int] = {}
    inside = _Inside()
    for number, line in enumerate(text.split("\n"), start=1):
        line = line.rstrip("\r")
        if inside.a_value():
            inside.read(line)
        elif item := _ITEM.fullmatch(line):
            keys = _within(_keys(item["name"]), counts)
            counts[keys] = counts.get(keys, -1) + 1
            table = here = (*keys, counts[keys])
        elif header := _TABLE.fullmatch(line):
            table = here = _within(_keys(header["name"]), counts)
        elif entry := _KEY.match(line):
            here = (*table, *_keys(entry["key"]))
            inside.read(line[entry.end() :])
        else:
            continue
        yield number, table, here


class _Inside:
    """Whether the next line goes on with a value: a list, or a text of several lines."""

    def __init__(self) -> None:
        self.depth = 0
        self.quotes = ""

    def a_value(self) -> bool:
        return self.depth > 0 or bool(self.quotes)

    def read(self, line: str) -> None:
        place = 0
        while place < len(line):
            if self.quotes:
                end = line.find(self.quotes, place)
                if end < 0:
                    return
                place, self.quotes = end + 3, ""
                continue
            piece = _PIECE.search(line, place)
            if piece is None or piece[0] == "#":
                return
            place = piece.end()
            if piece[0] in ('"""', "'''"):
                self.quotes = piece[0]
            elif piece[0] in "[{":
                self.depth += 1
            elif piece[0] in "]}":
                self.depth = max(self.depth - 1, 0)


def _within(keys: Place, counts: dict[Place, int]) -> Place:
    """Put the number of the latest item after each key that names one of several."""
    here: Place = ()
    for key in keys[:-1]:
        here = (*here, key)
        if here in counts:
            here = (*here, counts[here])
    return (*here, keys[-1])


def _keys(name: str) -> Place:
    return tuple(_plain(part) for part in re.findall(_PART, name)) or ("",)


def _plain(key: str) -> str:
    """Return a key without its quotes."""
    if key.startswith('"') and "\\" in key:
        try:
            return next(iter(tomllib.loads(f"{key} = 0")))
        except tomllib.TOMLDecodeError:
            return key
    return key.strip("\"'")
