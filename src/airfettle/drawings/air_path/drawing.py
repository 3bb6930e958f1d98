"""The drawing of a plant's air path, as SVG text: the answer, the path with its stations, the notes, a title block."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.drawings.air_path.column import Column
from airfettle.drawings.air_path.items import Plan
from airfettle.drawings.air_path.notes import draw_notes, notes_of
from airfettle.drawings.air_path.rows import Rows
from airfettle.drawings.air_path.words import READING, verdict_words
from airfettle.drawings.sheet import SMALL, TITLE, Sheet
from airfettle.drawings.space import STEP, balanced, folded
from airfettle.drawings.title_block import draw_title_block
from airfettle.findings.finding import Finding
from airfettle.studies.stations import StationsAt

DESK, PHONE = 1100, 390
"""Widths the drawing is made for. [px]"""
NARROWEST, WIDE = 320, 600
"""Least width it is drawn for, and the width from which the air goes from left to right. [px]"""


def air_path_drawing(
    stations: StationsAt,
    findings: Sequence[Finding] = (),
    *,
    width: int = DESK,
    alone: bool = True,
    carry_font: bool = False,
) -> tuple[str, float, float]:
    """Return the drawing of a plant's air path, and its size.

    Parameters
    ----------
    stations : StationsAt
        The air at every station. [SI]
    findings : sequence of Finding
        What was found about the plant, worst first; those on the air path are numbered and said.
    width : int
        Of the sheet; on a narrow one the air goes from top to bottom. [px]
    alone : bool
        It is a sheet of its own, with notes and title block. Otherwise it goes on a page that has its own, and only the
        numbers of the notes stand on it, see ``numbered_findings``.
    carry_font : bool
        Put the letters into it as well, for a file that is opened anywhere.

    Returns
    -------
    tuple of (str, float, float)
        One SVG document that needs nothing else, the same bytes for the same plant [text]; its width and height. [px]
    """
    width = max(int(width), NARROWEST)
    sheet, edge = Sheet(float(width)), 28.0 if width >= WIDE else 12.0
    left, room = edge, width - 2.0 * edge
    plan = Plan(stations, tuple(findings))
    found = notes_of(plan, findings)
    y = _head(sheet, plan, verdict_words(found.findings), left, edge, room)
    path = (Rows if width >= WIDE else Column)(sheet, plan, found, left=left, room=room)
    y = path.draw(y + 6.0)
    if alone:
        y = draw_notes(sheet, found, left=left, top=y + 8.0, room=room)
        y = _paragraph(sheet, READING, left, y, room)
        y = draw_title_block(sheet, plan.words.title(), left=left, top=y + 12.0, room=room)
    inner = 0.35 * edge
    sheet.box((inner, inner, width - inner, y + edge - inner), width=1.0)
    height = y + edge
    about = f"{plan.words.headline()}. {plan.words.water()} {verdict_words(found.findings)}"
    svg = sheet.svg(height, title=f"Air path of {stations.draw.plant.about.name}", about=about, carry_font=carry_font)
    return svg, float(width), height


def numbered_findings(stations: StationsAt, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return the findings whose numbers stand on the drawing, in order from 1."""
    return notes_of(Plan(stations, tuple(findings)), findings).findings


def _head(sheet: Sheet, plan: Plan, verdict: str, left: float, top: float, room: float) -> float:
    """Write the answer; return where it ends."""
    y, size = top, TITLE if room >= WIDE else 15.0
    for line in balanced(plan.words.headline(), room, size, bold=True):
        y += STEP * size
        sheet.text(left, y, line, size=size, bold=True)
    if verdict:
        y += 4.0
        for line in folded(verdict, room, SMALL + 1.0, bold=True):
            y += STEP * (SMALL + 1.0)
            sheet.text(left, y, line, size=SMALL + 1.0, bold=True, ink="red")
    for text in (plan.words.water(), plan.words.doubt()):
        y = _paragraph(sheet, text, left, y + 2.0, room) if text else y
    return y


def _paragraph(sheet: Sheet, text: str, left: float, top: float, room: float) -> float:
    y = top
    for line in folded(text, room, SMALL):
        y += STEP * SMALL
        sheet.text(left, y, line, size=SMALL, ink="pale")
    return y + 4.0
