"""Parts of the build sheet set in type: one PDF of all, or PDF, SVG and PNG of one.

The template never holds a word of the plant file: it reads them as data, so that nothing in them is taken for markup.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal

from airfettle.drawings.charts.style import PAPER
from airfettle.drawings.font import folder
from airfettle.drawings.space import cleaned
from airfettle.report.blocks import Block, Checks, Heading, Leaf, Picture, Signed, Table, Words
from airfettle.report.words import CAUTION
from airfettle.sources import source

Paper = Literal["Letter", "A4"]
Form = Literal["pdf", "svg", "png"]

PAPERS: dict[Paper, str] = {"Letter": "us-letter", "A4": "a4"}
"""Sizes of paper, as the typesetter calls them. [text]"""
HOW = {"read": "read", "second-hand": "second-hand", "memory": "from memory"}
"""How a source was seen, in words."""
SHARPNESS = 144.0
"""Dots of a picture for each inch. [1/in]"""


@dataclass(frozen=True)
class Cover:
    """What the sheet's title block says.

    Attributes
    ----------
    plant : str
        Its name.
    title : str
        What the sheet is.
    lines : tuple of (str, str)
        Further lines of the title block: what each is, and what it says.
    revision, date : str
        As the plant file tells them; empty where it does not.
    """

    plant: str
    title: str
    lines: tuple[tuple[str, str], ...] = ()
    revision: str = ""
    date: str = ""


def typeset(leaves: Sequence[Leaf], *, cover: Cover, paper: Paper, form: Form = "pdf", whole: bool = True) -> bytes:
    """Return parts set in type.

    Parameters
    ----------
    leaves : sequence of Leaf
        In the order they are printed.
    cover : Cover
        The title block.
    paper : str
        Letter or A4. [text]
    form : str
        pdf; svg or png, one page as high as what stands on it. [text]
    whole : bool
        With contents and title page, as a build sheet; without, as one part alone.

    Returns
    -------
    bytes
        The same bytes for the same parts.
    """
    import typst

    keys = list(dict.fromkeys(key for leaf in leaves for key in leaf.sources))
    data = {
        "cover": _cover(cover), "caution": CAUTION, "whole": whole, "paper": PAPERS[paper], "paged": form == "pdf",
        "leaves": [_leaf(leaf, keys) for leaf in leaves],
        "sources": [_source(key) for key in keys],
    }  # fmt: skip
    found = typst.compile(
        _template(), font_paths=_faces(), format=form, ppi=SHARPNESS if form == "png" else None,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )  # fmt: skip
    assert isinstance(found, bytes)
    return found


@cache
def _faces() -> Any:
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(folder())])


@cache
def _template() -> bytes:
    return resources.files(__package__).joinpath("sheet.typ").read_bytes()


def _cover(cover: Cover) -> dict[str, Any]:
    lines = [[cleaned(what), cleaned(says)] for what, says in cover.lines]
    return {"plant": cleaned(cover.plant) or "Unnamed plant", "title": cover.title, "lines": lines,
            "revision": cleaned(cover.revision), "date": cleaned(cover.date)}  # fmt: skip


def _leaf(leaf: Leaf, keys: Sequence[str]) -> dict[str, Any]:
    rests_on = sorted({keys.index(key) + 1 for key in leaf.sources})
    return {"name": leaf.name, "title": cleaned(leaf.title), "blocks": [_block(b) for b in leaf.blocks],
            "rests_on": rests_on}  # fmt: skip


def _source(key: str) -> list[str]:
    work = source(key)
    return [work.title, work.edition, HOW.get(work.how, work.how), work.note]


def _block(block: Block) -> dict[str, Any]:
    if isinstance(block, Heading):
        return {"sort": "heading", "text": cleaned(block.text), "level": block.level}
    if isinstance(block, Words):
        return {"sort": "words", "text": cleaned(block.text), "strong": block.strong}
    if isinstance(block, Signed):
        return {"sort": "signed", "signal": block.signal, "text": cleaned(block.text)}
    if isinstance(block, Table):
        return {"sort": "table", "caption": cleaned(block.caption), "strong": list(block.strong),
                "columns": [{"title": c.title, "share": c.share, "align": c.align, "blank": c.blank}
                            for c in block.columns],
                "rows": [[cleaned(cell) for cell in row] for row in block.rows]}  # fmt: skip
    if isinstance(block, Checks):
        items = [[cleaned(text) for text in item] for item in block.items]
        return {"sort": "checks", "numbered": block.numbered, "items": items}
    assert isinstance(block, Picture)
    svg = block.svg.replace(PAPER.paper, "#ffffff")  # printed, the paper itself is the ground
    return {"sort": "picture", "svg": svg, "title": cleaned(block.title), "width": block.width,
            "height": block.height, "turned": block.turned}  # fmt: skip
