"""A day in the terminal: receiver pressure, where it is short, and speed, over the clock; readable without colour."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from textwrap import wrap

import numpy as np
from numpy.typing import NDArray
from rich.console import Console, ConsoleOptions, RenderResult
from rich.text import Text

from airfettle.drawings.charts import told
from airfettle.drawings.charts.told import DayRun, Traced
from airfettle.quantity import in_unit, shown_unit

Array = NDArray[np.float64]

NARROWEST, WIDEST = 60, 120
"""Widths between which it is drawn. [characters]"""
GUTTER = 12
"""Room for the names at the left. [characters]"""
ROWS = 10
"""Lines of the pressure's plot. [-]"""
DOTS = 4
"""Dots one above the other in a braille letter; it has two columns of them. [-]"""
BRAILLE = 0x2800
BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""Bits of the dots of a braille letter, by column, from the top."""


@dataclass(frozen=True)
class Letters:
    """What is drawn with: parts of the axis, rules, and shades of speed from none to all."""

    upright: str
    tick: str
    corner: str
    floor: str
    rule: str
    needed: str
    speeds: str
    braille: bool


FINE = Letters("│", "┤", "└", "─", "╌", "·", " ▁▂▃▄▅▆▇█", braille=True)
PLAIN = Letters("|", "+", "+", "-", "-", ".", " .-=#", braille=False)
"""For consoles that hold only ASCII."""


@dataclass(frozen=True)
class DayPlot:
    """The plot of a traced day, drawn with what the console's encoding has.

    Attributes
    ----------
    run : DaysRun
        With one path traced. [SI]
    width : int
        [characters]
    """

    run: DayRun
    width: int

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """Draw it."""
        for line in day_plot_lines(self.run, width=self.width, plain=options.ascii_only):
            yield Text(line, no_wrap=True, overflow="crop")


def day_plot(run: DayRun, *, width: int = 100) -> DayPlot:
    """Return the plot of the traced day for a rich console; nothing is drawn where no day was traced.

    Parameters
    ----------
    run : DaysRun
        With one path traced. [SI]
    width : int
        Of the whole plot; brought between 60 and 120. [characters]
    """
    return DayPlot(run, min(max(width, NARROWEST), WIDEST))


def day_plot_lines(run: DayRun, *, width: int, plain: bool = False) -> list[str]:
    """Return the plot as lines of text; ``plain`` keeps to ASCII."""
    path = told.traced_of(run)
    if path is None:
        return []
    letters = PLAIN if plain else FINE
    columns = width - GUTTER - 1
    unit = shown_unit("pressure", told.about(run)[1])
    head = f"Receiver pressure, {unit}; {told.day_name(run)}, seed {run.seed}, the plant at likely values"
    lines = [*wrap(head, width), *_pressure(path, unit, columns, letters)]
    lines.append(f"{'':>{GUTTER}}{letters.corner}{letters.floor * columns}")
    if path.shortages:
        lines.append(f"{'short':>{GUTTER - 1}} {letters.upright}{_short(path, columns)}")
    top = max(float(path.frequency.max()), run.prepared.full)
    lines.append(f"{'speed':>{GUTTER - 1}} {letters.upright}{_speed(path, columns, top, letters)}")
    lines += [_clock(path, columns), *_key(path, top, letters, width)]
    return [_ascii(line.rstrip()) if plain else line.rstrip() for line in lines]


def _ascii(line: str) -> str:
    return line.replace("…", "...").encode("ascii", "replace").decode("ascii")


def _edges(path: Traced, columns: int) -> Array:
    return np.linspace(path.shown[0], path.shown[1], columns + 1)


def _spans(path: Traced, columns: int) -> tuple[Array, Array]:
    """Lowest and highest pressure in each column, ends included. [Pa]"""
    edges = _edges(path, columns)
    at = np.interp(edges, path.hours, path.pressure)
    low, high = np.minimum(at[:-1], at[1:]), np.maximum(at[:-1], at[1:])
    place = np.clip(np.searchsorted(edges, path.hours, side="right") - 1, 0, columns - 1)
    inside = (path.hours >= edges[0]) & (path.hours <= edges[-1])
    np.minimum.at(low, place[inside], path.pressure[inside])
    np.maximum.at(high, place[inside], path.pressure[inside])
    return low, high


def _pressure(path: Traced, unit: str, columns: int, letters: Letters) -> list[str]:
    """The pressure's plot with its axis: cut-out, cut-in and what the tools need by name."""
    wide = 2 * columns if letters.braille else columns
    low, high = _spans(path, wide)
    need = max((level for _, _, level in path.need), default=path.cut_in)
    ends = min(float(low.min()), path.cut_in, need), max(float(high.max()), path.cut_out)
    pad = 0.04 * (ends[1] - ends[0])
    bottom, top = ends[0] - pad, ends[1] + pad
    tall = ROWS * (DOTS if letters.braille else 1)

    def dot(value: float | Array) -> NDArray[np.int64]:
        """From the top. [dots]"""
        return np.clip(np.floor((top - np.asarray(value)) / (top - bottom) * tall), 0, tall - 1).astype(np.int64)

    filled = np.zeros((tall, wide), dtype=bool)
    for column, (first, last) in enumerate(zip(dot(high).tolist(), dot(low).tolist(), strict=True)):
        filled[first : last + 1, column] = True
    names = _names(path, unit, lambda v: int(dot(v)) * ROWS // tall, need)
    ruled = {int(dot(need)) * ROWS // tall: letters.needed} if path.need else {}
    ruled |= {int(dot(level)) * ROWS // tall: letters.rule for level in (path.cut_in, path.cut_out)}
    lines = []
    for row in range(ROWS):
        drawn = "".join(_letter(filled, row, column, letters) for column in range(columns))
        drawn = drawn.replace(" ", ruled.get(row, " "))
        name = names.get(row, "")
        lines.append(f"{name:>{GUTTER - 1}} {letters.tick if name else letters.upright}{drawn}")
    return lines


def _letter(filled: NDArray[np.bool_], row: int, column: int, letters: Letters) -> str:
    if not letters.braille:
        return "*" if filled[row, column] else " "
    bits = sum(
        BITS[side][height]
        for side in (0, 1)
        for height in range(DOTS)
        if filled[row * DOTS + height, 2 * column + side]
    )
    return chr(BRAILLE + bits) if bits else " "


def _names(path: Traced, unit: str, row_of: object, need: float) -> dict[int, str]:
    """Names at the axis; of two on one line the first stays."""
    assert callable(row_of)
    levels = [("cut-out", path.cut_out), ("cut-in", path.cut_in)] + ([("need", need)] if path.need else [])
    levels.append(("", float(path.pressure.min())))
    found: dict[int, str] = {}
    for name, level in levels:
        value = in_unit(level, kind="pressure", unit=unit)
        text = f"{value:.0f}" if abs(value) >= 100.0 else f"{value:.3g}"
        found.setdefault(row_of(level), f"{name} {text}".strip())
    return found


def _short(path: Traced, columns: int) -> str:
    """S wherever some tool is short."""
    edges = _edges(path, columns)
    return "".join(
        "S" if any(a < end and b > begin for a, b in path.shortages) else " " for begin, end in pairwise(edges.tolist())
    )


def _speed(path: Traced, columns: int, top: float, letters: Letters) -> str:
    """Mean frequency in each column, as shades."""
    edges = _edges(path, columns)
    begins = np.concatenate([[min(edges[0], path.hours[0])], path.hours[:-1]])
    whole = np.concatenate([[0.0], np.cumsum(path.frequency * (path.hours - begins))])
    at = np.interp(edges, np.concatenate([begins[:1], path.hours]), whole)
    share = np.clip(np.diff(at) / np.diff(edges) / max(top, 1e-9), 0.0, 1.0)
    most = len(letters.speeds) - 1
    return "".join(letters.speeds[int(np.ceil(s * most - 1e-6))] for s in share)


def _clock(path: Traced, columns: int) -> str:
    """Hours along the bottom, each beginning under its moment."""
    begin, end = path.shown
    line = [" "] * (columns + 6)
    step = next((s for s in (1, 2, 3, 4, 6, 12) if (end - begin) / s * 7 <= columns), 24)
    for hour in range(int(np.ceil(begin / step - 1e-9)) * step, int(end) + 1, step):
        place = min(round((hour - begin) / (end - begin) * columns), columns - 5)
        if all(letter == " " for letter in line[max(place - 1, 0) : place + 5]):
            line[place : place + 5] = told.clock(float(hour))
    return " " * (GUTTER + 1) + "".join(line)


def _key(path: Traced, top: float, letters: Letters, width: int) -> list[str]:
    """What the letters mean, and the longest shortage."""
    words = [
        f"speed: {letters.speeds[-1]} {top:g} Hz all that time, {letters.speeds[len(letters.speeds) // 2]} half of it"
    ]
    if path.shortages:
        begin, end = max(path.shortages, key=lambda pair: pair[1] - pair[0])
        long = told.span_text((end - begin) * told.HOUR)
        words.insert(
            0, f"S: too little pressure for some tool; the longest on this day {long}, from {told.clock(begin)}"
        )
    elif path.tools:
        words.insert(0, "nothing is short on this day")
    together = "; ".join(words)
    return [together] if len(together) <= width else [line for text in words for line in wrap(text, width)]
