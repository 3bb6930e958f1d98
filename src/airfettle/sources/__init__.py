"""The bibliography: what each equation, table and default rests on, and how it was seen.

The entries stand in ``*.toml`` files beside this one, grouped by subject. How a source was seen is
one of five words: ``read`` (a copy of the work was read), ``second-hand`` (seen as quoted elsewhere),
``memory`` (from memory, unconfirmed), ``practice`` (common practice in the trade, no source to name),
``own`` (this project's own calculation).
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal, get_args

How = Literal["read", "second-hand", "memory", "practice", "own"]


@dataclass(frozen=True)
class Source:
    """One work, and how it was seen.

    Attributes
    ----------
    key : str
        How docstrings, tables and results name it.
    title, edition : str
        As printed; the edition includes the year where one is known.
    how : str
        One of the five words in the module's description.
    note : str
        What it is used for, and any doubt about it.
    """

    key: str
    title: str
    edition: str
    how: How
    note: str = ""


@cache
def all_sources() -> dict[str, Source]:
    """Return the whole bibliography, by key, in alphabetical order."""
    found: dict[str, Source] = {}
    for entry in sorted(resources.files(__name__).iterdir(), key=lambda item: item.name):
        if not entry.name.endswith(".toml"):
            continue
        for key, fields in tomllib.loads(entry.read_text(encoding="utf-8")).items():
            if key in found or fields["how"] not in get_args(How):
                raise KeyError(f"{entry.name}: {key} stands twice or says an unknown 'how'")
            found[key] = Source(key=key, **fields)
    return dict(sorted(found.items()))


def source(key: str) -> Source:
    """Return one source; an unknown key is a mistake in the program, hence a plain ``KeyError``."""
    return all_sources()[key]
