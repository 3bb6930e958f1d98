"""The scale of a plan, as a ruled bar."""

from __future__ import annotations

from math import floor, log10

from airfettle.drawings.sheet import SMALL, Sheet
from airfettle.quantity import Units, in_unit

FOOT = 0.3048


def nice_length(most: float) -> float:
    """Return the largest of 1, 2, 5, 10 ... that is not above a number."""
    power = 10.0 ** floor(log10(most))
    return next(step * power for step in (5.0, 2.0, 1.0) if step * power <= most * (1.0 + 1e-9))


def draw_scale(sheet: Sheet, scale: float, *, units: Units, left: float, top: float, room: float) -> float:
    """Draw a bar of a round length in the owner's units, in two halves; return where it ends. [px]"""
    unit = "ft" if units == "US" else "m"
    most = in_unit(min(0.28 * room, 220.0) / scale, kind="altitude", unit=unit)
    long = nice_length(most)
    wide = long * scale * (FOOT if unit == "ft" else 1.0)
    y = top + 10.0
    sheet.box((left, y, left + wide, y + 5.0), width=1.0, fill="paper")
    sheet.box((left, y, left + 0.5 * wide, y + 5.0), width=1.0, fill="ink")
    sheet.text(left + wide + 8.0, y + 7.0, f"{long:g} {unit}, seen from above", size=SMALL)
    return y + 14.0
