"""The one typeface of drawings, sheet and page: DejaVu Sans Condensed, shipped unchanged with its licence.

Widths of its letters and the cuts that an SVG carries are made from it by ``docs/make_font.py``.
"""

from __future__ import annotations

import json
from functools import cache
from importlib import resources
from pathlib import Path

FAMILY = "'DejaVu Sans Condensed','DejaVu Sans',sans-serif"
"""As a style sheet names it; the face is the condensed one of its family. [text]"""


@cache
def letter_widths(bold: bool) -> dict[str, float]:
    """Return the advance of every sign of a weight over its size. [-]"""
    runs = json.loads(_read("widths.json"))["bold" if bold else "regular"]
    return {chr(first + n): wide / 1000.0 for first, several in runs for n, wide in enumerate(several)}


@cache
def carried_faces() -> str:
    """Return the style rules with which an SVG carries its own letters, so that it looks alike where it is opened."""
    faces = json.loads(_read("carried.json"))
    return "".join(
        f"@font-face{{font-family:'DejaVu Sans Condensed';font-weight:{weight};"
        f"src:url(data:font/woff2;base64,{faces[name]}) format('woff2')}}"
        for name, weight in (("regular", 400), ("bold", 700))
    )


def folder() -> Path:
    """Return where the font files are."""
    return Path(str(resources.files(__package__)))


def _read(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")
