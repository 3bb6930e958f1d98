"""The table of stations below a row of the air path."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.drawings.air_path.notes import RADIUS
from airfettle.drawings.air_path.words import HEADS, NONE, Words
from airfettle.drawings.sheet import SMALL, Sheet
from airfettle.studies.stations import StationAt

ROW = 19.0
"""From one row of the table to the next. [px]"""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
"""Letters of stations, in order; after the last they are doubled. [text]"""


def letter(place: int) -> str:
    """Return the letter of a station by its place, A for the first."""
    again, rest = divmod(place, len(LETTERS))
    return LETTERS[rest] * (again + 1)


def draw_table(
    sheet: Sheet, words: Words, stations: Sequence[tuple[float, StationAt, str]], *, left: float, top: float,
    column: float,
) -> float:  # fmt: skip
    """Write the values at stations under their letters, each where it stands; return where the table ends. [px]"""
    right = max(x for x, _, _ in stations) + 0.5 * column
    y = top + RADIUS
    sheet.line((left, y), (right, y), width=1.4)
    for x, _, name in stations:
        sheet.circle((x, y), RADIUS, fill="paper", width=1.4)
        sheet.text(x, y + 0.36 * SMALL, name, size=SMALL, anchor="middle", bold=True)
    y += RADIUS + 2.0
    for quantity, head in HEADS.items():
        cells = [words.cell(station, quantity) for _, station, _ in stations]
        if set(cells) == {NONE}:
            continue
        y += ROW
        sheet.text(left, y - 5.0, f"{head}, {words.unit(quantity)}", size=SMALL, ink="pale")
        for (x, _, _), cell in zip(stations, cells, strict=True):
            sheet.text(x, y - 5.0, cell, size=SMALL, anchor="middle", bold=quantity == "caught" and cell != NONE)
        sheet.line((left, y), (right, y), width=0.8, ink="rule")
    return y
