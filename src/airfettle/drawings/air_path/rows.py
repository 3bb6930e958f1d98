"""The air path on a wide sheet: from left to right, folded into rows, each with the table of its stations below."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.drawings.air_path.items import WATER, Chain, Plan
from airfettle.drawings.air_path.measure import LINE, Sized, cell_width, sized
from airfettle.drawings.air_path.notes import PITCH, RADIUS, Notes
from airfettle.drawings.air_path.table import draw_table, letter
from airfettle.drawings.air_path.things import AIR, MOTOR, Things
from airfettle.drawings.sheet import SMALL, Sheet, shortest
from airfettle.drawings.space import Point, cut
from airfettle.studies.stations import StationAt

HEAD = 118.0
"""Room of the table's heads. [px]"""
LANE = 14.0
"""From the rows to the line that leads to the next one. [px]"""
STRETCH = 46.0
"""Most that a thing is spread by to fill its row. [px]"""
ROW_ENDS = 14.0
"""Between two rows. [px]"""


class Rows:
    """The rows as they are drawn."""

    def __init__(self, sheet: Sheet, plan: Plan, notes: Notes, *, left: float, room: float) -> None:
        self.sheet, self.plan, self.notes, self.words = sheet, plan, notes, plan.words
        self.left, self.right, self.begin = left, left + room, left + HEAD - 6.0
        self.things = Things(sheet, notes)
        self.letters = {id(station): letter(n) for n, station in enumerate(plan.at.every)}
        self.column = cell_width(plan.words, plan.at.every)
        self.most = room - HEAD - 0.5 * self.column - 2.0 * LANE
        self.water_told = False

    def draw(self, top: float) -> float:
        """Draw all chains, and lead the ends of all trains into the last; return where they end. [px]"""
        y, ends = top, list[Point]()
        *trains, last = self.plan.chains
        for train in trains:
            end, y = self._chain(train, [], y, first=True)
            ends.append(end)
        return self._chain(last, ends, y, first=not trains)[1]

    def _chain(self, chain: Chain, ends: Sequence[Point], y: float, *, first: bool) -> tuple[Point, float]:
        """Draw a chain from where others end; return where its own line ends, and where the chain ends."""
        things = [sized(item, self.notes, column=self.column, widest=self.most) for item in chain.items]
        if chain.name:
            y += LINE + 2.0
            name = cut(f"train {chain.name}", 0.9 * self.most, SMALL)
            self.sheet.text(self.left, y, name, size=SMALL, bold=True)
        rows = _broken(things, self.most)
        for n, row in enumerate(rows):
            last = chain is self.plan.chains[-1] and n == len(rows) - 1
            end, y = self._row(row, ends, y, first=first and n == 0, last=last)
            ends = [end]
        return ends[0], y

    def _row(
        self, row: Sequence[Sized], ends: Sequence[Point], top: float, *, first: bool, last: bool
    ) -> tuple[Point, float]:
        """Draw one row; return where its line ends, and where the row ends."""
        air = top + (24.0 if ends else 12.0) + max(t.up for t in row)
        floor = air + max(t.down for t in row) + 16.0
        if ends:
            self._lead(ends, top + 4.0, air)
        if first:
            self._intake(air)
        end, stations, drips = self._along(row, air, floor, top + (16.0 if ends else 4.0))
        bottom = floor - 8.0
        if drips or (last and self.notes.of(WATER) and not self.water_told):
            bottom = self._water(drips, floor + 4.0, last=last)
        for x, _ in stations:
            self.sheet.line((x, air), (x, bottom + 12.0), width=1.0, dash="1 3", ink="pale")
            self.sheet.circle((x, air), 3.2, fill="ink")
        if stations:
            named = [(x, station, self.letters[id(station)]) for x, station in stations]
            bottom = draw_table(self.sheet, self.words, named, left=self.left, top=bottom + 12.0, column=self.column)
        return end, bottom + ROW_ENDS

    def _along(
        self, row: Sequence[Sized], air: float, floor: float, over: float
    ) -> tuple[Point, list[tuple[float, StationAt]], list[float]]:
        """Draw the things of a row; return where the line ends, its stations, and where water falls."""
        more = min(max(self.most - sum(t.wide for t in row), 0.0) / len(row), STRETCH)
        x, at = self.left + HEAD, self.begin
        stations, drips = list[tuple[float, StationAt]](), list[float]()
        switch: Point | None = None
        motor: Point | None = None
        for t in row:
            middle = x + 0.5 * (t.wide + more)
            with self.sheet.group(part=t.item.path.partition("#")[0], thing=t.item.symbol):
                if t.item.symbol == "tools":
                    at = self.things.tools(t, air, at=at, left=x)
                else:
                    at = self.things.draw(t, middle, air, at=at)
                switch = self.things.fixtures(t, middle, air) or switch
                motor = (middle, air - MOTOR - 16.0) if t.item.motor else motor
                drips += [middle] if self.things.drain(t, middle, air, floor=floor) else []
            x += t.wide + more
            if t.item.station is not None:
                stations.append((x, t.item.station))
        if row[-1].item.symbol != "tools":
            self.sheet.line((at - 0.5, air), (x, air), width=AIR)
            at = x
        if switch is not None and motor is not None:
            self._signal(switch, motor, over)
        return (at, air), stations, drips

    def _intake(self, air: float) -> None:
        """Draw where air comes in."""
        x = self.begin - 2.0
        a, b, top, low = (shortest(v) for v in (x - 14.0, x, air - 7.0, air + 7.0))
        self.sheet.path(f"M{a} {top} L{b} {shortest(air)} L{a} {low} Z", width=1.4, fill="paper")

    def _lead(self, ends: Sequence[Point], over: float, air: float) -> None:
        """Lead the line from the end of a row, or the lines of all trains, to the beginning of the next."""
        lane = self.right - (LANE if len(self.plan.at.trains) == 1 else 2.0)
        for x, y in ends[1:]:
            self.sheet.line((x, y), (lane, y), width=AIR)
            self.sheet.circle((lane, y), 4.0, fill="ink")
        way = (ends[0], (lane, ends[0][1]), (lane, over), (self.left + 4.0, over), (self.left + 4.0, air))
        self.sheet.line(*way, (self.begin, air), width=AIR)

    def _signal(self, switch: Point, motor: Point, y: float) -> None:
        """Draw the way of the switch's signal to the motor."""
        x = switch[0] - 24.0
        self.sheet.line((switch[0] - 11.0, switch[1]), (x, switch[1]), (x, y), (motor[0], y), motor, width=1.0,
                        dash="5 3", data={"line": "signal"})  # fmt: skip

    def _water(self, drips: Sequence[float], y: float, *, last: bool) -> float:
        """Draw the line that water falls to, once with the notes on where it goes, at last with the sum."""
        sheet, end = self.sheet, self.right - 2.0 * LANE
        if not self.water_told:
            numbers = self.notes.of(WATER)
            self.things.balloons(numbers, self.left + RADIUS + 1.0 + 0.5 * (len(numbers) - 1) * PITCH, y - 20.0)
            self.water_told = True
        if last:
            sheet.text(end, y - 5.0, self.words.caught(), size=SMALL, anchor="end", bold=True)
        for x in drips:
            a, b, top, low = (shortest(v) for v in (x - 4.0, x + 4.0, y - 7.0, y))
            sheet.path(f"M{a} {top} H{b} L{shortest(x)} {low} Z", fill="ink", width=0.8)
        sheet.line((self.left + HEAD, y), (end, y), width=1.4, dash="8 3 2 3", data={"line": "water"})
        sheet.text(self.left, y + 4.0, "water dropped", size=SMALL, ink="pale")
        return y


def _broken(things: Sequence[Sized], room: float) -> list[list[Sized]]:
    """Break a chain into as few rows as it needs, all about as long."""
    rows = _greedy(things, room)
    while room > 200.0 and len(closer := _greedy(things, room - 8.0)) <= len(rows):
        rows, room = closer, room - 8.0
    return rows


def _greedy(things: Sequence[Sized], room: float) -> list[list[Sized]]:
    rows: list[list[Sized]] = [[]]
    for t in things:
        if rows[-1] and sum(o.wide for o in rows[-1]) + t.wide > room:
            rows.append([])
        rows[-1].append(t)
    return rows
