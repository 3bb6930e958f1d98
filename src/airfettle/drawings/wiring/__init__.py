"""Wiring drawn from circuits: power from the supply down to the motor, control in columns between rails."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from airfettle.drawings.sheet import SMALL, TITLE, Sheet
from airfettle.drawings.space import STEP, balanced, cleaned, folded
from airfettle.drawings.title_block import draw_title_block
from airfettle.drawings.wiring.control_view import RAIL, columns_wide, draw_panel, panels_of
from airfettle.drawings.wiring.pen import Pen
from airfettle.drawings.wiring.power_view import PowerView
from airfettle.drawings.wiring.remarks_view import draw_remarks
from airfettle.studies.draw import Draw
from airfettle.studies.wiring.circuit import Circuit, Panel

CAUTION = (
    "Mains voltage can kill, and so can a drive's capacitors after it is off. This drawing only shows; local codes and "
    "a licensed electrician decide what may be wired and run."
)
"""Said on every sheet."""
EDGE = 28.0
"""Margin. [px]"""
NOTES = 200.0
"""Least room of the remarks beside a drawing. [px]"""
BLOCK = 150.0
"""Room of a title block. [px]"""
NARROWEST = 480.0
"""Least width of a drawing that does not stand alone. [px]"""
DESK = 1100
"""Width made for. [px]"""
DOTS = "A dot joins wires; wires that cross without one do not."
REST = "Drawn without power and without pressure."
MARKED = "MISSING, drawn dashed: not there. WRONG, framed with dashes or drawn heavy: there, and has to change."
NEW = "NEW, framed or drawn heavy: new or changed against the plant as it is."
HOW = {
    (False, "power"): f"{MARKED} {DOTS}",
    (False, "control"): f"{REST} {MARKED} {DOTS}",
    (True, "power"): f"{NEW} {DOTS}",
    (True, "control"): f"{REST} {NEW} {DOTS}",
}
"""How a drawing is read."""
UNTOLD = "Not told"
"""First words of a remark on what nobody told."""


def wiring_drawing(
    circuit: Circuit, *, draw: Draw, width: float = DESK, carry_font: bool = False
) -> tuple[str, float, float]:
    """Return a circuit drawn on one sheet.

    Parameters
    ----------
    circuit : Circuit
        What is drawn.
    draw : Draw
        Its plant, for the title block.
    width : float
        Least width of the sheet. [px]
    carry_font : bool
        Put the letters into it as well, for a file that is opened anywhere.

    Returns
    -------
    tuple
        SVG text, width and height. [px]
    """
    return wiring_sheets(circuit, draw=draw, width=width, tallest=inf, carry_font=carry_font)[0]


def wiring_sheets(
    circuit: Circuit, *, draw: Draw, width: float, tallest: float, alone: bool = True, carry_font: bool = False
) -> tuple[tuple[str, float, float], ...]:
    """Return a circuit drawn on as many sheets as it needs, none much taller than a height; see ``wiring_drawing``.

    A power circuit always stands on one sheet. What does not stand alone goes on pages that have title block and
    remarks of their own: only the numbers of the remarks stand on it, and a power circuit is as wide as it needs.
    """
    if circuit.sort == "power":
        return (_power(circuit, draw, width, alone, carry_font),)
    pages = _pages(circuit, width, tallest, alone)
    return tuple(
        _control(circuit, draw, width, carry_font, rows=rows, page=(n, len(pages)), alone=alone)
        for n, rows in enumerate(pages, 1)
    )


def _power(
    circuit: Circuit, draw: Draw, width: float, alone: bool, carry_font: bool
) -> tuple[str, float, float]:  # fmt: skip
    trial = PowerView(Pen(Sheet(width), circuit), left=EDGE, top=0.0)
    right = trial.plan.edge + 18.0
    beside = width - right - EDGE >= NOTES
    width = max(width if alone else NARROWEST, right + EDGE)
    sheet = Sheet(width)
    top = _head(sheet, circuit, width)
    foot = PowerView(Pen(sheet, circuit), left=EDGE, top=top).draw()[3] + 30.0
    return _finished(sheet, circuit, draw, foot=foot, top=top, right=right if beside else None, carry_font=carry_font,
                     alone=alone)  # fmt: skip


Rows = list[tuple[str, Panel]]
"""Rows of columns with the title of the panel that each begins; empty where it goes on."""


def _rows(circuit: Circuit, width: float) -> Rows:
    return [("" if n else panel.title, row) for panel in circuit.panels
            for n, row in enumerate(panels_of(panel, width - 2.0 * EDGE))]  # fmt: skip


def _pages(circuit: Circuit, width: float, tallest: float, alone: bool) -> list[Rows]:
    """Rows of a control circuit by the sheet they stand on; the last one has the remarks, alone if need be."""
    pages: list[Rows] = [[]]
    begin = y = _head(Sheet(width), circuit, width)
    for row in _rows(circuit, width):
        high = _draw_rows(Pen(Sheet(width), circuit), [row], top=0.0)
        if pages[-1] and y + high > tallest:
            pages.append([])
            y = begin
        pages[-1].append(row)
        y += high
    if not alone:
        return pages
    end = draw_remarks(Sheet(width), circuit.remarks, left=EDGE, top=y + 8.0, room=width - 2.0 * EDGE) + BLOCK
    return [*pages, []] if end > tallest and circuit.remarks and pages[-1] else pages


def _draw_rows(pen: Pen, rows: Rows, *, top: float) -> float:
    y = top
    for title, row in rows:
        y += STEP * SMALL
        if title:
            pen.sheet.text(EDGE, y, title[:1].upper() + title[1:], size=SMALL, bold=True)
        y = draw_panel(pen, row, left=EDGE, top=y + 20.0)
    return y


def _control(
    circuit: Circuit,
    draw: Draw,
    width: float,
    carry_font: bool,
    *,
    rows: Rows,
    page: tuple[int, int],
    alone: bool,
) -> tuple[str, float, float]:
    widest = max((columns_wide(row) + RAIL for _, row in rows), default=0.0)
    sheet = Sheet(width)
    top = _head(sheet, circuit, width)
    y = _draw_rows(Pen(sheet, circuit), rows, top=top)
    right = EDGE + widest + EDGE if rows and width - widest - 3.0 * EDGE >= NOTES else None
    return _finished(sheet, circuit, draw, foot=y, top=top, right=right, carry_font=carry_font, page=page,
                     alone=alone)  # fmt: skip


def _head(sheet: Sheet, circuit: Circuit, width: float) -> float:
    """Write the first line and how the drawing is read; return where they end. [px]"""
    y = EDGE
    for line in balanced(headline(circuit), width - 2.0 * EDGE, TITLE, bold=True):
        y += STEP * TITLE
        sheet.text(EDGE, y, line, size=TITLE, bold=True)
    y += 4.0
    for line in folded(HOW[(circuit.corrected, circuit.sort)], width - 2.0 * EDGE, SMALL):
        y += STEP * SMALL
        sheet.text(EDGE, y, line, size=SMALL, ink="pale")
    return y + 16.0


def headline(circuit: Circuit) -> str:
    """Return the first thing to know of a circuit."""
    name = f"{cleaned(circuit.train)}: " if circuit.train else ""
    grave = [remark for remark in circuit.remarks if remark.signal in ("danger", "warning") and remark.finding]
    if circuit.corrected:
        return f"{name}{circuit.title}"
    states = [*(device.state for device in circuit.devices), *(net.state for net in circuit.nets)]
    marked = sum(state != "there" for state in states)
    if not grave and marked:
        return f"{name}{circuit.title}: {marked} thing{'s' * (marked > 1)} to put right, see the remarks"
    if not grave:
        untold = sum(remark.says.startswith(UNTOLD) for remark in circuit.remarks)
        rest = f" in what is told; {untold} thing{'s' * (untold > 1)} not told" if untold else " here"
        return f"{name}{circuit.title}: nothing wrong found{rest}"
    first = grave[0].says.rstrip(".")
    more = f", and {len(grave) - 1} more" if len(grave) > 1 else ""
    return f"{name}{circuit.title}: {first[:1].lower()}{first[1:]}{more}"


def _finished(
    sheet: Sheet,
    circuit: Circuit,
    draw: Draw,
    *,
    foot: float,
    top: float,
    right: float | None,
    carry_font: bool,
    page: tuple[int, int] = (1, 1),
    alone: bool = True,
) -> tuple[str, float, float]:
    room = sheet.width - 2.0 * EDGE
    if alone and page[0] == page[1]:  # remarks stand on the last sheet, beside the drawing where there is room
        left, begin = (EDGE, foot + 8.0) if right is None else (right, top)
        foot = max(foot, draw_remarks(sheet, circuit.remarks, left=left, top=begin, room=sheet.width - EDGE - left))
    y = foot
    if alone:
        y = draw_title_block(sheet, title_words(circuit, draw, page), left=EDGE, top=foot + 10.0, room=room)
    inner = 0.35 * EDGE
    sheet.box((inner, inner, sheet.width - inner, y + EDGE - inner), width=1.0)
    about = ". ".join([headline(circuit), *(f"{remark.signal}: {remark.says}" for remark in circuit.remarks)])
    svg = sheet.svg(y + EDGE, title=f"{circuit.title} of {draw.plant.about.name}", about=about, carry_font=carry_font)
    return svg, sheet.width, y + EDGE


def title_words(circuit: Circuit, draw: Draw, page: tuple[int, int] = (1, 1)) -> Sequence[tuple[str, str]]:
    """Return the entries of the title block."""
    about = draw.plant.about
    state = " ".join(filter(None, (about.revision and f"revision {cleaned(about.revision)}", cleaned(about.date))))
    shown = f"{circuit.title}, not to scale; {len(circuit.devices)} devices, {len(circuit.nets)} wires by number"
    if page[1] > 1:
        shown = f"{shown}; sheet {page[0]} of {page[1]}"
    entries = [("plant", cleaned(about.name) or "no name yet"), ("shown", shown), ("state", state), ("mind", CAUTION)]
    return [entry for entry in entries if entry[1]]
