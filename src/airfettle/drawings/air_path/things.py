"""One thing on the air's line of a wide sheet: its symbol, its words, what stands on it, and the fall of its water."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.drawings.air_path.items import Fixture
from airfettle.drawings.air_path.measure import FRAME, GAP, LINE, REACH, VESSEL, Cell, Sized, edge, lettered, per_row
from airfettle.drawings.air_path.notes import PITCH, RADIUS, Notes, balloon, is_grave
from airfettle.drawings.sheet import SMALL, Sheet, shortest
from airfettle.drawings.space import Point, balanced

AIR = 3.0
"""Thickness of the air's line. [px]"""
MOTOR, FAN = 64.0, 54.0
"""From the air's line up to the middle of a motor and of a fan. [px]"""
STOPS = "shut_off_valve"
"""Symbol of a fixture that stands in the air's line itself. [text]"""


class Things:
    """Draws things, each at its place on the line, with the numbers of the notes on it."""

    def __init__(self, sheet: Sheet, notes: Notes) -> None:
        self.sheet, self.notes = sheet, notes

    def draw(self, t: Sized, middle: float, air: float, *, at: float) -> float:
        """Draw a thing and the air's line up to it from where that has come; return where it goes on. [px]"""
        item, sheet = t.item, self.sheet
        if item.symbol == "hot_line":
            self._names(t, middle, air)
            return at
        if item.symbol == "vessel":
            return self._receiver(t, middle, air, at)
        ink = "red" if item.missing else "ink"
        data = {"part": item.path}
        terminals = sheet.symbol(item.symbol, (middle, air), missing=item.missing, ink=ink, data=data)
        sheet.line((at - 0.5, air), terminals["out" if item.missing else "in"], width=AIR)
        if item.assumed:
            sheet.box((middle - FRAME, air - FRAME, middle + FRAME, air + FRAME), width=1.2, dash="1.5 3", ink="pale")
        self._turning(t, middle, air)
        self._names(t, middle, air)
        return terminals["out"][0]

    def tools(self, t: Sized, air: float, *, at: float, left: float) -> float:
        """Write the list of tools at the end of the line; return where the line ends. [px]"""
        sheet, end = self.sheet, left + 12.0
        half = 0.5 * len(t.words) * LINE
        sheet.line((at, air), (end, air), width=AIR)
        sheet.line((end, air - half), (end, air + half), width=AIR)
        y = air - half
        for n, line in enumerate(t.words):
            y += LINE
            sheet.text(end + 12.0, y - 0.28 * SMALL, line, size=SMALL, ink="ink" if n else "pale")
        many = per_row(t.wide - 30.0)
        for n, number in enumerate(t.numbers):
            row, column = divmod(n, many)
            self._balloon(number, (end + 12.0 + RADIUS + column * PITCH, y + 4.0 + (row + 0.5) * PITCH))
        return end

    def _receiver(self, t: Sized, middle: float, air: float, at: float) -> float:
        half = 0.5 * (t.wide - 24.0)
        self.sheet.line((at, air), (middle - half, air), width=AIR)
        lying(self.sheet, (middle, air), half, dotted=t.item.assumed)
        lines = [*((line, True) for line in t.names), *((line, False) for line in t.words)]
        self._words(lines, middle, air - 0.5 * len(lines) * LINE)
        many = per_row(half - 54.0)
        sides = [t.numbers[n : n + many] for n in range(0, len(t.numbers), many)]
        for n, some in enumerate(sides):
            row, side = divmod(n, 2)
            y = air + VESSEL + 8.0 + (row + 0.5) * PITCH
            x = middle + (1.0 if side else -1.0) * (44.0 + 0.5 * many * PITCH)
            if row == 0:
                self.sheet.line((x, air + VESSEL), (x, y - RADIUS), width=0.8)
            self.balloons(some, x, y)
        return middle + half

    def _turning(self, t: Sized, middle: float, air: float) -> None:
        """Draw a motor with its link, or a fan, above."""
        if t.item.motor:
            x, y = self.sheet.symbol("electric_motor", (middle, air - MOTOR))["shaft"]
            for shift in (-3.0, 3.0):
                self.sheet.line((x + shift, y), (x + shift, air - REACH), width=1.2)
            for n, line in enumerate(t.item.motor):
                self.sheet.text(middle + 21.0, air - MOTOR + n * LINE, line, size=SMALL, ink="pale")
        if t.item.fan:
            self.sheet.symbol("cooling_fan", (middle, air - FAN))
            self.sheet.line((middle, air - FAN + 14.0), (middle, air - REACH), width=1.0, dash="2 2")
            for n, line in enumerate(reversed(balanced(t.item.fan, t.wide - 8.0, SMALL))):
                self.sheet.text(middle, air - FAN - 20.0 - n * LINE, line, size=SMALL, ink="pale", anchor="middle")

    def _names(self, t: Sized, middle: float, air: float) -> None:
        """Write name and words, with the numbers of notes between them and the symbol."""
        lines = [*((line, True) for line in t.names), *((line, False) for line in t.words)]
        many = per_row(t.wide - 8.0)
        step = -1.0 if t.named_above else 1.0
        y = air + step * (edge(t.item) + GAP)
        if t.numbers:
            self.sheet.line((middle, air + step * edge(t.item)), (middle, y), width=0.8)
        for n in range(0, len(t.numbers), many):
            self.balloons(t.numbers[n : n + many], middle, y + step * 0.5 * PITCH)
            y += step * PITCH
        self._words(lines, middle, y - len(lines) * LINE if t.named_above else y, missing=t.item.missing)

    def _words(self, lines: Sequence[tuple[str, bool]], middle: float, y: float, *, missing: bool = False) -> None:
        for line, bold in lines:
            y += LINE
            ink = ("red" if missing else "ink") if bold else "pale"
            self.sheet.text(middle, y - 0.28 * SMALL, line, size=SMALL, bold=bold, anchor="middle", ink=ink)

    def balloons(self, numbers: Sequence[int], middle: float, y: float) -> None:
        """Draw numbers of notes side by side."""
        x = middle - 0.5 * (len(numbers) - 1) * PITCH
        for n, number in enumerate(numbers):
            self._balloon(number, (x + n * PITCH, y))

    def _balloon(self, number: int, at: Point) -> None:
        balloon(self.sheet, at, number, grave=is_grave(self.notes.findings[number - 1]))

    def fixtures(self, t: Sized, middle: float, air: float) -> Point | None:
        """Draw what stands on a thing; return where a switch stands that starts the pump."""
        x = middle - 0.5 * sum(cell.wide for cell in t.cells)
        base = edge(t.item)
        switch: Point | None = None
        for cell in t.cells:
            at = x + cell.middle
            if cell.fixture.symbol == STOPS:
                self._stop(cell, at, air)
            else:
                place = self._standing(cell, at, air - base)
                switch = place if cell.fixture.key == "control" else switch
            x += cell.wide
        return switch

    def _stop(self, cell: Cell, at: float, air: float) -> None:
        """Draw a valve in the line itself, its words and numbers above it."""
        ink = "red" if cell.numbers else "ink"
        self.sheet.symbol(STOPS, (at, air), ink=ink, data={"part": _part(cell.fixture)})
        for n, line in enumerate(reversed(cell.words)):
            self.sheet.text(at, air - 14.0 - n * LINE, line, size=SMALL, anchor="middle", bold=True, ink=ink)
        y = air - 18.0 - len(cell.words) * LINE
        for n in range(0, len(cell.numbers), 2):
            self.balloons(cell.numbers[n : n + 2], at, y - 0.5 * PITCH)
            y -= PITCH

    def _standing(self, cell: Cell, at: float, foot: float) -> Point:
        """Draw a fixture on its stem; return its middle."""
        sheet, fixture = self.sheet, cell.fixture
        ink, data = "red" if fixture.missing else "ink", {"part": _part(fixture)}
        stem = foot - 10.0 - (20.0 if fixture.blocked else 0.0)
        sheet.line((at, foot), (at, stem), width=1.4, ink=ink, dash="3 2.5" if fixture.missing else "")
        if fixture.blocked:
            sheet.symbol("shut_off_valve_down", (at, foot - 16.0), ink="red", data=data)
        sheet.symbol(fixture.symbol, (at, stem - 16.0), missing=fixture.missing, ink=ink, data=data)
        for n, line in enumerate(reversed(cell.words)):
            first = n == len(cell.words) - 1
            sheet.text(at, stem - 43.0 - n * LINE, line, size=SMALL, anchor="middle", bold=first, ink=ink)
        columns = (len(cell.numbers) + 1) // 2
        for n, number in enumerate(cell.numbers):
            row, column = divmod(n, columns)
            self._balloon(number, (at + 22.0 + RADIUS + column * PITCH, stem - 24.0 + row * PITCH))
        return at, stem - 16.0

    def drain(self, t: Sized, middle: float, air: float, *, floor: float) -> bool:
        """Draw a drain and the fall of its water; return whether any falls."""
        item = t.item
        foot = air + (VESSEL if item.symbol == "vessel" else REACH)
        if item.drain is None:
            if item.falls:
                foot = air + edge(item) + GAP + lettered(t) if not t.named_above and item.symbol != "vessel" else foot
                self.sheet.line((middle, foot), (middle, floor), width=1.0, dash="2 3")
            return item.falls
        missing = item.drain.missing
        ink = "red" if missing else "ink"
        self.sheet.symbol(item.drain.symbol, (middle, foot), missing=missing, ink=ink, data={"part": item.path})
        for n, number in enumerate(t.drain_numbers):
            row, side = divmod(n, 2)
            self._balloon(number, (middle + (-17.0 if side else 17.0), foot + 30.0 + row * PITCH))
        if not missing:
            self.sheet.line((middle, foot + 20.0), (middle, floor), width=1.2)
        return not missing


def _part(fixture: Fixture) -> str:
    return fixture.key.partition("#")[0]


def lying(sheet: Sheet, at: Point, half: float, *, dotted: bool = False) -> None:
    """Draw a receiver of a length: a vessel with round ends, lying."""
    x, y, r = at[0], at[1], VESSEL
    a, b, top, bottom = (shortest(v) for v in (x - half + r, x + half - r, y - r, y + r))
    way = f"M{a} {top} H{b} A{r:g} {r:g} 0 0 1 {b} {bottom} H{a} A{r:g} {r:g} 0 0 1 {a} {top} Z"
    sheet.path(way, width=2.0, fill="paper", dash="1.5 3" if dotted else "", data={"symbol": "air_receiver"})
