"""An explanation in the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from airfettle.findings.why import Why
from airfettle.quantity import Units
from airfettle.report.why_text import why_lines
from airfettle.report.words import CAUTION

STYLES = {"answer": "bold", "number": "", "equation": "dim", "entry": "italic", "plain": "", "source": "dim"}


def why_table(why: Why, *, units: Units) -> RenderableType:
    """Return an explanation for a rich console."""
    parts: list[RenderableType] = []
    for line in why_lines(why, units=units):
        words = f"source {line.words}" if line.sort == "source" else line.words
        parts.append(Padding(Text(words, style=STYLES[line.sort]), (0, 0, 0, 2 * line.depth)))
    return Group(*parts, "", Text(CAUTION, style="italic"))
