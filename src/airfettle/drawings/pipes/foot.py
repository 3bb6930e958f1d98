"""What stands below the shop's pipe on its sheet: what is lost on the way to the worst tool, and the title block."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airfettle.drawings.pipes.words import greatest, likely, spread, title_words, units_of, worst_of
from airfettle.drawings.sheet import SMALL, TEXT, Sheet
from airfettle.drawings.space import STEP, folded, text_width
from airfettle.drawings.title_block import draw_title_block
from airfettle.studies.pipework.shop import ShopRun

BAR = 12.0
"""Height of a bar. [px]"""
DESK_ROOM = 700.0
"""Room from which names stand beside their bars. [px]"""
NAME, VALUE = 0.42, 165.0
"""Share of the room that names take beside the bars [-], and room of the values [px]."""


def draw_way(sheet: Sheet, run: ShopRun, *, left: float, top: float, room: float) -> float:
    """Draw what each part of the way loses, as steps down from the receiver; return where it ends. [px]"""
    worst, units = worst_of(run), units_of(run)
    whole = float(np.median(run.answers.total_drop))
    if worst is None or whole <= 1.0:
        return top
    lost = spread(run.answers.total_drop, kind="pressure_difference", units=units)
    y = top + 8.0
    for line in folded(f"Lost on the way to {worst.name}: {lost}", room, TEXT, bold=True):
        y += STEP * TEXT
        sheet.text(left, y, line, size=TEXT, bold=True)
    y += 6.0
    beside = room >= DESK_ROOM
    names = NAME * room if beside else room
    bars = left + (names + 12.0 if beside else 0.0)
    scale = (left + room - VALUE - bars) / max(sum(float(np.median(s.lost)) for s in run.way), 1.0)
    before = bars
    for step in run.way:
        size = max(scale * float(np.median(step.lost)), 0.0)
        lines = folded(step.name, names, SMALL)
        for line in lines:
            y += STEP * SMALL
            sheet.text(left, y, line, size=SMALL)
        y += 0.0 if beside else BAR + 6.0
        foot = y + 2.0 if beside else y
        most = step is greatest(run)
        sheet.box((before, foot - BAR, before + max(size, 0.5), foot), width=1.2, ink="red" if most else "ink",
                  fill="red" if most else "paper")  # fmt: skip
        words = spread(step.lost, kind="pressure_difference", units=units)
        if text_width(words, SMALL, bold=most) > VALUE - 8.0:
            words = likely(step.lost, kind="pressure_difference", units=units)
        sheet.text(before + size + 6.0, foot - 2.0, words, size=SMALL, bold=most, ink="red" if most else "ink")
        before += size
        y += 5.0
    return y + 6.0


def draw_notes(sheet: Sheet, notes: Sequence[str], *, left: float, top: float, room: float) -> float:
    """Write how the drawing is read, and what found no room on it; return where it ends. [px]"""
    y = top + 4.0
    for note in notes:
        for line in folded(note, room, SMALL):
            y += STEP * SMALL
            sheet.text(left, y, line, size=SMALL, ink="pale")
    return y + 14.0


def draw_block(sheet: Sheet, run: ShopRun, *, plan: bool, left: float, top: float, room: float) -> float:
    """Draw the title block, ruled; return where it ends. [px]"""
    return draw_title_block(sheet, title_words(run, plan=plan), left=left, top=top, room=room)
