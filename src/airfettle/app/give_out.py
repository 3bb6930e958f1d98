"""Write parts of the build sheet into a file, in the form that its name asks for."""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from airfettle.drawings.stacked import Drawn, stacked
from airfettle.errors import BadRequest, FileTrouble
from airfettle.report.blocks import Leaf, Picture
from airfettle.report.blocks.comma_separated import leaf_as_csv
from airfettle.report.blocks.data import leaf_as_data
from airfettle.report.blocks.markdown import leaf_as_markdown
from airfettle.report.typeset import Cover, Paper, typeset
from airfettle.store.plant_file import write_whole

FORMS = (".pdf", ".svg", ".png", ".csv", ".md", ".json")
"""Ends of file names that a part can be written to."""
PAPERS: dict[str, Paper] = {"letter": "Letter", "a4": "A4"}
"""Sizes of paper by what is asked for."""


def output_place(path: str, *, forms: Sequence[str] = FORMS) -> Path:
    """Return where a part may be written, before anything is worked out for it.

    Raises
    ------
    BadRequest
        The end of its name is none that can be written.
    FileTrouble
        Nothing may be written there.
    """
    file = Path(path)
    if file.suffix.lower() not in forms:
        raise BadRequest(read=f"-o {path}", where="--output", wanted=f"a file name that ends in {', '.join(forms)}")
    folder = file.resolve().parent
    if not folder.is_dir() or not os.access(folder, os.W_OK):
        why = "may not be written to" if folder.is_dir() else "is not there"
        raise FileTrouble(read=f"{path}, whose folder {why}", where="--output", wanted="a place that may be written to")
    return file


def paper_of(asked: str, *, units: Literal["US", "SI"]) -> Paper:
    """Return the paper asked for; Letter where units are US and A4 elsewhere, where none is.

    Raises
    ------
    BadRequest
        No such paper.
    """
    if not asked:
        return "Letter" if units == "US" else "A4"
    if asked.strip().lower() not in PAPERS:
        raise BadRequest(read=repr(asked), where="--paper", wanted="Letter or A4")
    return PAPERS[asked.strip().lower()]


def write_leaf(leaf: Leaf, file: Path, *, cover: Cover, paper: Paper) -> Path:
    """Write one part; as SVG its drawings alone where it has any.

    Raises
    ------
    BadRequest
        A CSV of a part without tables.
    FileTrouble
        The file cannot be written.
    """
    form = file.suffix.lower()
    drawings: list[Drawn] = [(b.svg, b.width, b.height) for b in leaf.blocks if isinstance(b, Picture)]
    if form == ".svg" and drawings:
        write_whole(file, stacked(drawings, title=leaf.title)[0])
    elif form == ".md":
        write_whole(file, leaf_as_markdown(leaf))
    elif form == ".json":
        write_whole(file, json.dumps(leaf_as_data(leaf), indent=1, ensure_ascii=False) + "\n")
    elif form == ".csv":
        text = leaf_as_csv(leaf)
        if not text:
            raise BadRequest(read=f"{leaf.name} as CSV", where="--output", wanted="a part that has tables")
        write_whole(file, text)
    else:
        kind: Literal["pdf", "svg", "png"] = "pdf" if form == ".pdf" else "png" if form == ".png" else "svg"
        write_whole(file, typeset([leaf], cover=cover, paper=paper, form=kind, whole=False))
    return file


def write_sheet(leaves: Sequence[Leaf], file: Path, *, cover: Cover, paper: Paper) -> Path:
    """Write all parts as one PDF.

    Raises
    ------
    FileTrouble
        The file cannot be written.
    """
    write_whole(file, typeset(leaves, cover=cover, paper=paper))
    return file
