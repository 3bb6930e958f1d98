"""Remarks of a wiring drawing, worst first: number, signal word in its form, what is so, what to do."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.drawings.pipes.marks import balloon
from airfettle.drawings.sheet import SMALL, Sheet
from airfettle.drawings.space import STEP, folded, text_width
from airfettle.studies.wiring.circuit import Remark


def draw_remarks(sheet: Sheet, remarks: Sequence[Remark], *, left: float, top: float, room: float) -> float:
    """Draw remarks one below the other; return where they end. [px]"""
    y = top
    for number, remark in enumerate(remarks, start=1):
        y = _remark(sheet, number, remark, left=left, top=y, room=room) + 10.0
    return y


def _remark(sheet: Sheet, number: int, remark: Remark, *, left: float, top: float, room: float) -> float:
    grave = remark.signal in ("danger", "warning")
    balloon(sheet, (left + 10.0, top + 10.0), number, radius=9.0, strong=grave, size=10.0)
    word = remark.signal.upper()
    start, wide = left + 26.0, text_width(word, SMALL, bold=True) + 12.0
    sheet.box((start, top + 1.0, start + wide, top + 19.0), width=1.6 if grave else 1.0,
              fill="ink" if remark.signal == "danger" else "paper")  # fmt: skip
    sheet.text(start + 6.0, top + 14.5, word, size=SMALL, bold=True,
               ink="paper" if remark.signal == "danger" else "ink")  # fmt: skip
    y = top + 22.0
    for text, bold in ((remark.says, False), (f"Do: {remark.do}" if remark.do else "", False)):
        for line in folded(text, room - 28.0, SMALL, bold=bold) if text else ():
            y += STEP * SMALL
            sheet.text(start, y - 3.0, line, size=SMALL, bold=bold)
    return y
