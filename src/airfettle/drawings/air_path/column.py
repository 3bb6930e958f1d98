"""The air path on a narrow sheet: from top to bottom, each thing with its words and values at its right."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.drawings.air_path.items import WATER, Chain, Fixture, Item, Plan
from airfettle.drawings.air_path.measure import LINE, per_row
from airfettle.drawings.air_path.notes import PITCH, RADIUS, Notes, balloon, is_grave
from airfettle.drawings.air_path.words import NONE
from airfettle.drawings.sheet import SMALL, Sheet, shortest
from airfettle.drawings.space import Point, cut, folded

AIR = 3.0
"""Thickness of the air's line. [px]"""
SPINE, TEXT_AT = 44.0, 84.0
"""From the left edge to the air's line, and to the words. [px]"""
LANE = 5.0
"""From the left edge to the line of trains that join further down. [px]"""
REACH, HALF_VESSEL = 24.0, 28.0
"""From the air's line to the edge of a symbol and of a receiver. [px]"""
BESIDE = 27.0
"""From the middle of a fixture to its words. [px]"""


class Column:
    """The path down the sheet as it is drawn."""

    def __init__(self, sheet: Sheet, plan: Plan, notes: Notes, *, left: float, room: float) -> None:
        self.sheet, self.plan, self.notes, self.words = sheet, plan, notes, plan.words
        self.left, self.right, self.air = left, left + room, left + SPINE
        self.x = left + TEXT_AT

    def draw(self, top: float) -> float:
        """Draw all chains; return where they end. [px]"""
        y, ends, last = top, list[float](), self.plan.chains[-1]
        for chain in self.plan.chains:
            if chain.name:
                y += LINE + 4.0
                name = cut(f"train {chain.name}", 0.9 * (self.right - self.x), SMALL)
                self.sheet.text(self.x, y, name, size=SMALL, bold=True)
            y = self._join(ends, y) if chain is last and ends else self._open(y)
            y = self._chain(chain, y)
            if chain is not last:
                ends.append(y)
                y += 10.0
        return self._water(y + 4.0)

    def _open(self, y: float) -> float:
        """Draw where air comes in."""
        x = self.air
        way = f"M{shortest(x - 7)} {shortest(y + 6)} H{shortest(x + 7)} L{shortest(x)} {shortest(y + 20)} Z"
        self.sheet.path(way, width=1.4, fill="paper")
        return y + 20.0

    def _join(self, ends: Sequence[float], y: float) -> float:
        """Lead the trains above into one line."""
        if len(ends) == 1:
            return ends[0]
        lane, x = self.left + LANE, self.air
        for end in ends[:-1]:
            self.sheet.line((x, end), (x, end + 6.0), (lane, end + 6.0), width=AIR)
        self.sheet.line((lane, ends[0] + 6.0), (lane, y + 12.0), (x, y + 12.0), width=AIR)
        self.sheet.line((x, ends[-1]), (x, y + 14.0), width=AIR)
        self.sheet.circle((x, y + 12.0), 4.0, fill="ink")
        return y + 14.0

    def _chain(self, chain: Chain, y: float) -> float:
        for item in chain.items:
            with self.sheet.group(part=item.path.partition("#")[0], thing=item.symbol):
                y = self._item(item, y)
        return y

    def _item(self, item: Item, top: float) -> float:
        """Draw one thing with its words; return where it ends."""
        sheet, room = self.sheet, self.right - self.x
        y = top + 8.0
        if item.name and item.symbol != "tools":
            y = self._lines(folded(item.name, room, SMALL + 1.0, bold=True), y, bold=True, size=SMALL + 1.0,
                            ink="red" if item.missing else "ink")  # fmt: skip
        motor = (f"motor {', '.join(item.motor)}",) if item.motor else ()
        for n, text in enumerate((*item.words, *motor, *filter(None, (item.fan,)))):
            strong = item.symbol == "tools" and n > 0
            y = self._lines(folded(text, room, SMALL), y, ink="ink" if strong else "pale")
        y = self._numbers(self.notes.of(item.key), self.x, y)
        if item.station is not None:
            for text, bold in self._values(item):
                y = self._lines(folded(text, room, SMALL, bold=bold), y, bold=bold)
        beside = item.symbol in ("vessel", "hot_line", "tools")
        start = y + 4.0 if beside else max(y + 4.0, top + 66.0)
        for fixture in item.above:
            start = self._fixture(item, fixture, start)
        if item.drain is not None:
            start = self._drain(item, item.drain, start)
        least = 34.0 if beside else 76.0
        bottom = max(start, y, top + least) + 8.0
        self._symbol(item, top, bottom)
        if item.symbol != "tools":
            sheet.line((self.x, bottom), (self.right, bottom), width=0.8, ink="rule")
        return bottom

    def _values(self, item: Item) -> list[tuple[str, bool]]:
        """The air behind it, in lines."""
        station, words = item.station, self.words
        assert station is not None
        told = {name: words.told(station, name) for name in ("gauge", "temperature", "dew_point")}
        lines = [(f"{told['gauge']},  {told['temperature']}", False), (f"dew point {told['dew_point']}", False)]
        lines += [(f"passing: {words.told(station, 'vapour')} of vapour", False)]
        if words.cell(station, "liquid") != NONE:
            lines.append((f"and {words.told(station, 'liquid')} of drops", False))
        if words.drops(station):
            lines.append((f"water dropped: {words.told(station, 'caught')}", True))
        return lines

    def _symbol(self, item: Item, top: float, bottom: float) -> None:
        sheet, x = self.sheet, self.air
        if item.symbol == "tools":
            sheet.line((x, top), (x, 0.5 * (top + bottom)), width=AIR)
            sheet.line((x - 16.0, 0.5 * (top + bottom)), (x + 16.0, 0.5 * (top + bottom)), width=AIR)
            return
        if item.symbol == "hot_line":
            sheet.line((x, top), (x, bottom), width=AIR)
            return
        if item.symbol == "vessel":
            sheet.line((x, top), (x, top + 6.0), width=AIR)
            _upright(sheet, x, top + 6.0, bottom - 6.0, dotted=item.assumed)
            sheet.line((x, bottom - 6.0), (x, bottom), width=AIR)
            return
        at = (x, top + 38.0)
        ends = sheet.symbol(f"{item.symbol}_down", at, missing=item.missing, ink="red" if item.missing else "ink",
                            data={"part": item.path})  # fmt: skip
        if item.assumed:
            sheet.box((x - 30.0, at[1] - 30.0, x + 30.0, at[1] + 30.0), width=1.2, dash="1.5 3", ink="pale")
        sheet.line((x, top), ends["out"] if item.missing else ends["in"], width=AIR)
        sheet.line(ends["out"], (x, bottom), width=AIR)

    def _fixture(self, item: Item, fixture: Fixture, top: float) -> float:
        """Draw what stands on a thing, with its words beside it; return where it ends."""
        sheet, ink = self.sheet, "red" if fixture.missing else "ink"
        edge = self.air + (HALF_VESSEL if item.symbol == "vessel" else 0.0)
        shift = 24.0 if fixture.blocked else 0.0  # room for the valve that stands before it
        at = (self.x + 15.0 + shift, top + 24.0)
        numbers = self.notes.of(fixture.key)
        data = {"part": fixture.key.partition("#")[0]}
        if fixture.symbol == "shut_off_valve":
            at = (self.air, top + 20.0)
            sheet.symbol("shut_off_valve_down", at, ink="red" if numbers else "ink", data=data)
        else:
            foot = at[1] + 16.0
            dash = "3 2.5" if fixture.missing else ""
            sheet.line((edge, foot), (at[0], foot), width=1.4, ink=ink, dash=dash)
            if fixture.blocked:
                sheet.symbol("shut_off_valve", (at[0] - 32.0, foot), ink="red",
                             data=data)  # fmt: skip
            sheet.symbol(fixture.symbol, at, missing=fixture.missing, ink=ink, data=data)
        x = self.x + 15.0 + BESIDE + shift
        y = top + 4.0
        for n, text in enumerate(fixture.words):
            y = self._lines(folded(text, self.right - x, SMALL, bold=n == 0), y, x=x, bold=n == 0, ink=ink)
        y = self._numbers(numbers, x, y + 2.0)
        return max(y, top + 44.0) + 2.0

    def _drain(self, item: Item, drain: Fixture, top: float) -> float:
        """Draw a drain with the fall of its water; return where it ends."""
        sheet, ink = self.sheet, "red" if drain.missing else "ink"
        edge = self.air + (HALF_VESSEL if item.symbol == "vessel" else 0.0)
        at = (self.x + 15.0, top + 6.0)
        sheet.line((edge, at[1]), at, width=1.4, ink=ink, dash="3 2.5" if drain.missing else "")
        sheet.symbol(drain.symbol, at, missing=drain.missing, ink=ink, data={"part": item.path})
        if not drain.missing:
            x, y = at[0], at[1] + 30.0
            sheet.line((x, y - 10.0), (x, y - 4.0), width=1.2)
            way = f"M{shortest(x - 4)} {shortest(y - 6)} H{shortest(x + 4)} L{shortest(x)} {shortest(y + 2)} Z"
            sheet.path(way, fill="ink", width=0.8)
        words = {"drain_automatic": "drain, automatic", "drain_by_hand": "drain, opened by hand"}.get(
            drain.symbol, "no drain, or none told")  # fmt: skip
        x = self.x + 15.0 + BESIDE
        y = self._lines([words], top + 6.0, x=x, ink=ink)
        y = self._numbers(self.notes.of(drain.key), x, y + 2.0)
        return max(y, top + 42.0) + 2.0

    def _water(self, y: float) -> float:
        """Say how much water is caught in all, with the notes on where it goes."""
        numbers = self.notes.of(WATER)
        y = self._lines(folded(self.words.caught(), self.right - self.left, SMALL, bold=True), y + 4.0, x=self.left,
                        bold=True)  # fmt: skip
        return self._numbers(numbers, self.left, y + 2.0)

    def _lines(
        self, lines: Sequence[str], y: float, *, x: float = 0.0, bold: bool = False, ink: str = "ink",
        size: float = SMALL,
    ) -> float:  # fmt: skip
        for line in lines:
            y += LINE * size / SMALL
            self.sheet.text(x or self.x, y - 0.28 * size, line, size=size, bold=bold, ink=ink)
        return y

    def _numbers(self, numbers: Sequence[int], x: float, y: float) -> float:
        many = per_row(self.right - x)
        for n, number in enumerate(numbers):
            row, column = divmod(n, many)
            at: Point = (x + RADIUS + 1.0 + column * PITCH, y + 2.0 + (row + 0.5) * PITCH)
            balloon(self.sheet, at, number, grave=is_grave(self.notes.findings[number - 1]))
        return y + -(-len(numbers) // many) * PITCH + (4.0 if numbers else 0.0)


def _upright(sheet: Sheet, x: float, top: float, bottom: float, *, dotted: bool) -> None:
    """Draw a receiver down the sheet, as long as what stands on it."""
    r = HALF_VESSEL
    a, b, left, right = (shortest(v) for v in (top + r, max(bottom - r, top + r), x - r, x + r))
    way = f"M{left} {a} A{r:g} {r:g} 0 0 1 {right} {a} V{b} A{r:g} {r:g} 0 0 1 {left} {b} Z"
    sheet.path(way, width=2.0, fill="paper", dash="1.5 3" if dotted else "", data={"symbol": "air_receiver"})
