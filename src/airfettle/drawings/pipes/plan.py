"""The drawing of a shop's pipe, as SVG text: a plan to scale where places have positions, a line diagram elsewhere."""

from __future__ import annotations

from airfettle.drawings.pipes.diagram import draw_diagram
from airfettle.drawings.pipes.foot import draw_block, draw_notes, draw_way
from airfettle.drawings.pipes.labels import draw_list
from airfettle.drawings.pipes.map import has_positions
from airfettle.drawings.pipes.view import draw_plan
from airfettle.drawings.pipes.words import headline, running, spread, units_of
from airfettle.drawings.sheet import TITLE, Sheet
from airfettle.drawings.space import STEP, balanced
from airfettle.studies.pipework.shop import ShopRun

DESK, PHONE = 1200, 390
"""Widths the drawing is made for. [px]"""
NARROWEST = 320
"""Least width it is drawn for; narrower ones get this one. [px]"""


def pipe_drawing(run: ShopRun, *, width: int = DESK, carry_font: bool = False) -> str:
    """Return the drawing of a shop's pipe as SVG text.

    Parameters
    ----------
    run : ShopRun
        The pipe worked out. [SI]
    width : int
        Of the sheet; on a narrow one every label stands in a numbered list below. [px]
    carry_font : bool
        Put the letters into it as well, for a file that is opened anywhere.

    Returns
    -------
    str
        One SVG document that needs nothing else: the same bytes for the same run.
    """
    width = max(int(width), NARROWEST)
    sheet = Sheet(float(width))
    edge = 28.0 if width >= 600 else 10.0
    left, room = edge, width - 2.0 * edge
    y = edge
    size = TITLE if width >= 600 else 15.0
    for line in balanced(headline(run), room, size, bold=True):
        y += STEP * size
        sheet.text(left, y, line, size=size, bold=True)
    y += 10.0
    plan = has_positions(run.network)
    numbered, notes, y = (draw_plan if plan else draw_diagram)(sheet, run, left=left, top=y, room=room)
    if numbered:
        y = draw_list(sheet, numbered, left=left, top=y + 6.0, room=room)
    y = draw_way(sheet, run, left=left, top=y, room=room)
    y = draw_notes(sheet, notes, left=left, top=y, room=room)
    y = draw_block(sheet, run, plan=plan, left=left, top=y, room=room)
    inner = 0.35 * edge
    sheet.box((inner, inner, width - inner, y + edge - inner), width=1.0)
    name = run.draw.plant.about.name
    return sheet.svg(y + edge, title=f"Compressed-air pipe of {name}", about=about(run), carry_font=carry_font)


def about(run: ShopRun) -> str:
    """Return the drawing in words, for those who do not see it."""
    units = units_of(run)
    tools = (f"{p.name} at {p.drop}: {spread(p.gauge, kind='pressure', units=units)}" for p in running(run))
    return ". ".join([headline(run), *tools]) + "."
