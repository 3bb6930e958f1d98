"""What a printed part of the build sheet is made of, whichever way it is given out: terminal, Markdown, CSV, PDF.

A part is a row of blocks; renderers know blocks and nothing of plants, parts know plants and nothing of renderers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from airfettle.findings.finding import Signal

Align = Literal["left", "right", "middle"]


@dataclass(frozen=True)
class Heading:
    """A heading inside a part; ``level`` 2 begins a section, 3 one below it."""

    text: str
    level: Literal[2, 3] = 2


@dataclass(frozen=True)
class Words:
    """A paragraph; ``strong`` for what is to be read first."""

    text: str
    strong: bool = False


@dataclass(frozen=True)
class Signed:
    """A danger, warning, caution or notice with its signal word, drawn as ANSI Z535.6 has it."""

    signal: Signal
    text: str


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    title : str
        Its head.
    share : float
        Its width against the others'. [-]
    align : str
        left, right or middle.
    blank : bool
        Left empty, to be written into by hand: printed as a ruled field, and empty elsewhere.
    """

    title: str
    share: float = 1.0
    align: Align = "left"
    blank: bool = False


@dataclass(frozen=True)
class Table:
    """Rows under columns; cells are plain text, and never markup.

    Attributes
    ----------
    columns : tuple of Column
        Left to right.
    rows : tuple of tuple of str
        Each as long as there are columns.
    caption : str
        What the table shows; empty for none.
    strong : tuple of int
        Rows that matter most, shown bold. [-]
    name : str
        Short name, by which JSON tells tables of a part apart.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    strong: tuple[int, ...] = ()
    name: str = ""


@dataclass(frozen=True)
class Checks:
    """Things to tick off, each a box with words; ``items`` are (what to do or see, what is expected, why)."""

    items: tuple[tuple[str, str, str], ...]
    numbered: bool = False


@dataclass(frozen=True)
class Picture:
    """A drawing.

    Attributes
    ----------
    svg : str
        SVG text that needs nothing else.
    title : str
        What it shows, for those who do not see it, and for the contents.
    width, height : float
        Of the SVG. [px]
    turned : bool
        Printed on a page laid sideways.
    """

    svg: str
    title: str
    width: float
    height: float
    turned: bool = False


Block = Heading | Words | Signed | Table | Checks | Picture


@dataclass(frozen=True)
class Leaf:
    """One part of the build sheet.

    Attributes
    ----------
    name : str
        As commands and files name it: settings, card, parts ...
    title : str
        Its heading.
    blocks : tuple of Block
        Top to bottom, what matters most first.
    sources : tuple of str
        Keys of the bibliography that its numbers rest on.
    """

    name: str
    title: str
    blocks: tuple[Block, ...]
    sources: tuple[str, ...] = ()
