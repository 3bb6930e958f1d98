"""Where an entry of a plant file stands, so that a message can name its line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

_TABLE = re.compile(r"^\s*\[(?P<name>[^\[\]]+)\]\s*(?:#.*)?$")
_ITEM = re.compile(r"^\s*\[\[(?P<name>[^\[\]]+)\]\]\s*(?:#.*)?$")
_KEY = re.compile(r"^\s*(?P<key>[A-Za-z0-9_\"'.\- ]+?)\s*=")

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
    for line, here in _entries(text):
        found.setdefault(here, line)
    for length in range(len(wanted), 0, -1):
        part = wanted[:length]
        for candidate in (part, tuple(k for k in part if k != 0)):
            if candidate in found:
                return found[candidate]
    return None


def _entries(text: str) -> Iterator[tuple[int, Place]]:
    table: Place = ()
    counts: dict[Place, int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if item := _ITEM.match(line):
            keys = _within(_keys(item["name"]), counts)
            counts[keys] = counts.get(keys, -1) + 1
            table = (*keys, counts[keys])
            yield number, table
        elif header := _TABLE.match(line):
            table = _within(_keys(header["name"]), counts)
            yield number, table
        elif entry := _KEY.match(line):
            yield number, (*table, *_keys(entry["key"]))


def _within(keys: Place, counts: dict[Place, int]) -> Place:
    """Put the number of the latest item after each key that names one of several."""
    here: Place = ()
    for key in keys[:-1]:
        here = (*here, key)
        if here in counts:
            here = (*here, counts[here])
    return (*here, keys[-1])


def _keys(name: str) -> Place:
    return tuple(part.strip().strip("\"'") for part in name.split("."))
