"""The title block of a drawing: what each entry is, and what it says, ruled."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.drawings.sheet import SMALL, TEXT, Sheet
from airfettle.drawings.space import STEP, folded

TAG = 76.0
"""Room of the entries' names. [px]"""
STRONG = "plant"
"""Entry that is written larger."""


def draw_title_block(
    sheet: Sheet, entries: Sequence[tuple[str, str]], *, left: float, top: float, room: float
) -> float:
    """Draw a title block of entries (what it is, what it says); return where it ends. [px]"""
    y = top
    for name, words in entries:
        large = name == STRONG
        size = TEXT if large else SMALL
        lines = folded(words, room - TAG - 16.0, size, bold=large)
        high = len(lines) * STEP * size + 8.0
        sheet.line((left, y), (left + room, y), width=0.8)
        sheet.text(left + 8.0, y + STEP * size, name, size=SMALL, ink="pale")
        for n, line in enumerate(lines):
            sheet.text(left + TAG, y + (n + 1) * STEP * size, line, size=size, bold=large)
        y += high
    sheet.box((left, top, left + room, y), width=1.4)
    sheet.line((left + TAG - 8.0, top), (left + TAG - 8.0, y), width=0.8)
    return y
