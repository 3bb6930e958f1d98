"""Symbols of IEC 60617 and ISO 1219-1 as small data: shapes, terminals, and where each stands in its standard."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

Point = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Symbol:
    """One symbol, drawn by this project to its standard's description.

    Attributes
    ----------
    name, label : str
        Its key, and the trade's words for it.
    standard, number : str
        Key of the standard in the bibliography, and the number there; empty where the standard has none.
    how : str
        How the number is known: read, second-hand or memory.
    box : Box
        All of its ink lies inside: left, top, right, bottom round its origin. [px]
    terminals : dict
        Name -> where a line may join it. [px]
    marks : tuple of dict
        ``d`` a path, with ``fill`` true, ``width`` or ``dash``; or ``text`` at ``x``, ``y`` of a ``size``.
    note : str
        What to know of it.
    """

    name: str
    label: str
    standard: str
    number: str
    how: str
    box: Box
    terminals: dict[str, Point]
    marks: tuple[dict[str, Any], ...]
    note: str = ""

    def svg(self, *, missing: bool = False) -> str:
        """Return its shapes as SVG elements in the colour of what stands around them."""
        return "".join(_mark(mark, missing) for mark in self.marks)


def _mark(mark: dict[str, Any], missing: bool) -> str:
    if "text" in mark:
        return (
            f'<text x="{mark["x"]:g}" y="{mark["y"]:g}" font-size="{mark.get("size", 11):g}" text-anchor="middle" '
            f'fill="currentColor">{mark["text"]}</text>'
        )
    fill = "currentColor" if mark.get("fill") else "none"
    dash = "3 2.5" if missing else mark.get("dash", "")
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{mark["d"]}" fill="{fill}" stroke="currentColor" stroke-width="{mark.get("width", 1.6):g}"{dashes}/>'
    )


@cache
def all_symbols() -> dict[str, Symbol]:
    """Return every symbol by name, in the order of their files."""
    found: dict[str, Symbol] = {}
    for entry in sorted(resources.files(__name__).iterdir(), key=lambda item: item.name):
        if not entry.name.endswith(".toml"):
            continue
        for name, fields in tomllib.loads(entry.read_text(encoding="utf-8")).items():
            if name in found:
                raise KeyError(f"{entry.name}: {name} stands twice")
            found[name] = _read(name, fields)
    return found


def symbol_named(name: str) -> Symbol:
    """Return one symbol; an unknown name is a mistake in the program, hence a plain ``KeyError``."""
    return all_symbols()[name]


def _read(name: str, fields: dict[str, Any]) -> Symbol:
    left, top, right, bottom = (float(v) for v in fields["box"])
    return Symbol(
        name=name, label=fields["label"], standard=fields["standard"], number=fields.get("number", ""),
        how=fields.get("how", "memory"), box=(left, top, right, bottom),
        terminals={key: (float(x), float(y)) for key, (x, y) in fields.get("terminals", {}).items()},
        marks=tuple(fields["marks"]), note=fields.get("note", ""),
    )  # fmt: skip
