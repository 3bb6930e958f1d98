"""Reads the name of a pipe: material and size, in any order."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import numpy as np

from airfettle import tables
from airfettle.errors import UnknownChoice
from airfettle.parts.pipe_stock.material import entry, material_named, plain, sizes, words_of
from airfettle.parts.pipe_stock.stock import LENGTHS, Stock, bare_stock, stock_in_row

_NUMBER = r"(?<![\d.])(?P<number>[1-9][\s-]+\d+/[1-9]\d*|\d+/[1-9]\d*|\d+(?:\.\d+)?)"
_SIZES = (
    re.compile(r"(?P<wide>\d+(?:\.\d+)?)\s*x\s*(?P<wall>\d+(?:\.\d+)?)(?:\s*mm)?"),
    re.compile(r"dn\s*(?P<dn>\d+)"),
    re.compile(_NUMBER + r"\s*(?P<unit>in\b|mm\b)"),
    re.compile(r"(?<![\d.])(?P<number>(?:[1-9][\s-]+)?\d+/[1-9]\d*)"),
    re.compile(r"(?!(?:(?<=steel )|(?<=galvanised ))(?:40|80)\s*$)" + _NUMBER + r"\s*$"),
)
"""Forms of a size, the surest first: '22 x 1', 'DN 25', '3/4 in', '3/4', '25'; a schedule alone is no size."""


@dataclass(frozen=True)
class _Size:
    """A size as it was read: outside and wall, a nominal number, or a length with its unit ('' where none stands)."""

    wide: float = 0.0
    wall: float = 0.0
    dn: int = 0
    length: float = 0.0
    unit: str = ""

    @property
    def metric(self) -> bool:
        return self.wide > 0.0 or self.unit == "mm"

    def __bool__(self) -> bool:
        return self != _Size()


def read_pipe(text: str) -> Stock:
    """Return the pipe that a text such as 'copper L 3/4 in' names.

    Parameters
    ----------
    text : str
        Material and size in any order: 'steel 40 1-1/4 in', 'copper 22 x 1', 'aluminium 25 mm', 'hose 3/8 in',
        'steel DN 25', 'listed plastic 20.4 mm bore'. [text]

    Returns
    -------
    Stock
        The pipe. [SI]

    Raises
    ------
    UnknownChoice
        There is no such material, or it is not made in that size.

    Notes
    -----
    Steel of which no schedule is told is schedule 40.  Copper in inches has to be told its type, L or M; copper in
    millimetres is told by its wall.

    References
    ----------
    [asme-b36-10]; [astm-b88]; [en-1057]; [en-10312]; [astm-f876]; aluminium and hose: [practice]
    """
    rest, size = _taken_apart(plain(text))
    words = words_of(rest)
    bare = "bore" in words
    material = material_named(tuple(word for word in words if word != "bore"), text=text, metric=size.metric)
    if size.length and not size.unit:
        size = replace(size, unit=_usual_unit(material))
    if bare:
        return _bare(material, size, text)
    for made in (material, "copper EN thin") if material == "copper EN" else (material,):
        row = _row(made, size)
        if row is not None:
            return stock_in_row(made, row=row)
    raise _not_made(text, material, size)


def _taken_apart(text: str) -> tuple[str, _Size]:
    """The text without its size, and the size."""
    for form in _SIZES:
        found = form.search(text)
        if found:
            rest = f"{text[: found.start()]} {text[found.end() :]}"
            got = found.groupdict()
            if "wide" in got:
                return rest, _Size(wide=float(got["wide"]), wall=float(got["wall"]))
            if "dn" in got:
                return rest, _Size(dn=int(got["dn"]))
            unit = got.get("unit") or ("in" if "/" in got["number"] else "")
            return rest, _Size(length=_value(got["number"]), unit=unit)
    return text, _Size()


def _usual_unit(material: str) -> str:
    """The unit of a size that is written without one, empty where it may be either."""
    made = sizes(material)
    if not made or material == "hose":
        return ""
    return "in" if made[0].endswith(" in") else "mm"


def _value(number: str) -> float:
    """The value of '3/4', '1-1/4', '1 1/4' or '0.75'."""
    parts = re.split(r"[\s-]+", number)
    return sum(float(top) / float(bottom or 1) for top, _, bottom in (part.partition("/") for part in parts))


def _row(material: str, size: _Size) -> int | None:
    """The row of a material's table that a size names."""
    name = entry(material, column="table")
    if not name or not size:
        return None
    table = tables.load(name)
    if size.dn:
        also = table.words("also written") if "also written" in table.columns else ()
        return next((row for row, other in enumerate(also) if other == f"DN {size.dn}"), None)
    return next((row for row, made in enumerate(table.words("size")) if _means(made, size)), None)


def _means(made: str, size: _Size) -> bool:
    """Whether a size of a table is the one that was read; '22 mm' is '22 x 1'."""
    if " x " in made:
        outside, wall = (float(part) for part in made.split(" x "))
        if size.wide:
            return (outside, wall) == (size.wide, size.wall)
        return size.unit == "mm" and outside == size.length
    number, _, unit = made.rpartition(" ")
    return unit == size.unit and abs(_value(number) - size.length) < 0.006 * size.length


def _bare(material: str, size: _Size, text: str) -> Stock:
    """A pipe of which the owner wrote the bore."""
    if entry(material, column="table") and entry(material, column="refused") != "yes":
        raise _not_made(text, material, size)
    bore = size.length * LENGTHS.get(size.unit, np.nan)
    if not 2e-3 <= bore <= 0.3:
        raise UnknownChoice(
            read=text, wanted="a bore from 2 to 300 mm (0.1 to 12 in)", instead=f"'{material} 20.4 mm bore'"
        )
    return bare_stock(material, bore=bore, size=f"{size.length:g} {size.unit} bore")


def _not_made(text: str, material: str, size: _Size) -> UnknownChoice:
    """What to say of a size that is not made."""
    made = sizes(material)
    if not made or entry(material, column="refused") == "yes":
        warning = "; it is not for compressed air, it bursts into flying pieces" if made else ""
        return UnknownChoice(
            read=text, wanted=f"{material} with its bore, measured or by its maker{warning}",
            instead=f"'{material} 20.4 mm bore'",
        )  # fmt: skip
    sought = size.wide * 1e-3 or size.dn * 1e-3 or size.length * LENGTHS.get(size.unit, 1e-3)
    nearest = made[len(made) // 2]
    if sought > 0.0:
        nearest = min(made, key=lambda one: abs(float(np.log(_called(one) / sought))))
    wanted = f"{material} in a size it is made in: {', '.join(made)}"
    in_inches = _row("stainless 10S", size) if material == "stainless" else None
    if in_inches is not None:
        material, nearest = "stainless 10S", sizes("stainless 10S")[in_inches]
    return UnknownChoice(read=text, wanted=wanted, instead=f"'{material} {nearest}'")


def _called(size: str) -> float:
    """The length that a size is called by. [m]"""
    if " x " in size:
        return float(size.partition(" x ")[0]) * 1e-3
    number, _, unit = size.rpartition(" ")
    return _value(number) * LENGTHS[unit]
