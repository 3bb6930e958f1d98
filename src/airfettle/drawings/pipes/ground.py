"""The ground of a plan: pipes, arrows, drops, receivers and drains, to scale."""

from __future__ import annotations

import numpy as np

from airfettle.drawings.pipes.map import Map, Tick
from airfettle.drawings.pipes.marks import ahead_of, arrow, cased, coupler, drain, pipe_width, receiver
from airfettle.drawings.pipes.words import (
    READING,
    direction,
    drain_notes,
    drains_of,
    drop_is_off,
    drops_of,
    line_of_drop,
    low_points,
    receiver_words,
    units_of,
    worst_drop,
)
from airfettle.drawings.sheet import SMALL, Sheet
from airfettle.drawings.space import ABOVE, STEP, Box, Point, cut, text_width
from airfettle.studies.pipework.shop import ShopRun

REACHES = (6.0, 10.0, 15.0, 20.0, 26.0, 40.0, 58.0, 80.0, 110.0)
"""Distances at which a label is tried. [px]"""
FARTHEST = (*REACHES, 150.0, 200.0)
"""The same for a number, that has to stand somewhere. [px]"""


class Ground:
    """A plan as it is drawn: what stands on it before any drop has its label.

    Attributes
    ----------
    notes : list of str
        How it is read, and what found no room on it. [text]
    """

    def __init__(self, sheet: Sheet, run: ShopRun, plan: Map, wide: bool) -> None:
        self.sheet, self.run, self.plan, self.wide = sheet, run, plan, wide
        self.units = units_of(run)
        self.size = SMALL if wide else 11.0
        self.notes = [READING, *drain_notes(run)]

    def pipes(self) -> None:
        """Draw pipes to scale, the way to the worst tool between two lines, and arrows."""
        lines, bores, space = self.run.lines, self.run.network.bore, self.plan.space
        marked = worst_drop(self.run) >= 0
        for each in self.plan.stretches:
            if marked and lines[each.line].on_worst_way:
                cased(self.sheet, (each.start, each.end), width=pipe_width(bores[each.line]))
        for node, tick in zip(self.run.network.sources, self.plan.receivers, strict=True):
            if marked and self._starts_the_way(node):
                cased(self.sheet, (tick.at, tick.tip), width=pipe_width(max(bores)))
        if marked:
            worst = worst_drop(self.run)
            tick = self.plan.drops[worst]
            cased(self.sheet, (tick.at, tick.tip), width=pipe_width(bores[line_of_drop(self.run, worst)]))
        for each in self.plan.stretches:
            self.sheet.line(each.start, each.end, width=pipe_width(bores[each.line]))
        for each in self.plan.stretches:
            sign = direction(lines[each.line])
            size = min(0.5 * pipe_width(bores[each.line]) + 4.0, 0.3 * each.long)
            if sign and size >= 2.0:
                u, v = ahead_of(each.start, each.end)
                ahead = (-u, -v) if sign < 0 else (u, v)
                at = (0.5 * (each.start[0] + each.end[0]), 0.5 * (each.start[1] + each.end[1]))
                arrow(self.sheet, at, ahead, size=size, both=sign == 2)
                reach = 1.05 * size
                space.take((at[0] - reach, at[1] - reach, at[0] + reach, at[1] + reach))

    def receivers(self) -> None:
        """Draw every receiver with its stub, name and pressure."""
        names = self.run.network.nodes
        for node, tick in zip(self.run.network.sources, self.plan.receivers, strict=True):
            width = pipe_width(max(self.run.network.bore))
            self.sheet.line(tick.at, tick.tip, width=width)
            receiver(self.sheet, tick.tip)
            self.plan.space.take((tick.tip[0] - 24.0, tick.tip[1] - 11.0, tick.tip[0] + 24.0, tick.tip[1] + 11.0))
            lines = [cut(names[node], 150.0 if self.wide else 90.0, self.size), receiver_words(self.run)]
            self.write(lines, tick, 14.0, bold=(0,))

    def _starts_the_way(self, node: int) -> bool:
        point = self.plan.point
        ends = [(line.start, line.end) for line, told in zip(self.run.network.lines, self.run.lines, strict=True)
                if told.on_worst_way]  # fmt: skip
        return any(point[n] == point[node] for pair in ends for n in pair if n < len(point))

    def write(self, lines: list[str], tick: Tick, clear: float, bold: tuple[int, ...] = ()) -> bool:
        """Write some lines beside the end of a tick, where there is room."""
        high = STEP * self.size * len(lines) + 2.0
        wide = max(text_width(line, self.size, bold=True) for line in lines) + 4.0
        found = self.plan.space.beside(
            tick.tip, (wide, high), ahead=tick.angle, reaches=(clear, 20.0, 27.0, 34.0, *REACHES[5:])
        )
        if found is None:
            return False
        self.lines(lines, found[0], tick.tip, bold=bold)
        return True

    def lines(self, lines: list[str], box: Box, at: Point, *, ink: str = "ink", bold: tuple[int, ...] = ()) -> None:
        """Write lines into a box, set towards the point they belong to."""
        towards = at[0] > box[2] - 4.0
        x, y = box[2] - 2.0 if towards else box[0] + 2.0, box[1] + ABOVE * self.size + 2.0
        for n, line in enumerate(lines):
            self.sheet.text(x, y + n * STEP * self.size, line, size=self.size, bold=n in bold, ink=ink,
                            anchor="end" if towards else "start")  # fmt: skip

    def drops(self) -> None:
        """Draw the drops as ticks with couplers at their ends."""
        told = drops_of(self.run)
        for n, tick in enumerate(self.plan.drops):
            off, width = drop_is_off(self.run, n), pipe_width(self.run.network.bore[line_of_drop(self.run, n)])
            ink = "pale" if off else "ink"
            self.sheet.line(
                tick.at, tick.tip, ink=ink, width=1.6 if off else min(width, 4.0), dash="4 3" if off else ""
            )
            small = 5.0 if self.wide else 3.6
            if told[n].coupler == "none":
                self.sheet.circle(tick.tip, 0.7 * small, ink=ink, width=1.6, fill="paper")
            else:
                coupler(self.sheet, tick.tip, tick.ahead, size=small, ink=ink)
            reach = 2.4 * small
            x, y = tick.tip[0] + 0.8 * small * tick.ahead[0], tick.tip[1] + 0.8 * small * tick.ahead[1]
            self.plan.space.take((x - 0.5 * reach, y - 0.5 * reach, x + 0.5 * reach, y + 0.5 * reach))
            if told[n].drain == "yes":
                self._drain(tick.at, ahead=tick.angle, there=True)

    def drains(self) -> None:
        """Draw drains at places, and dashed ones at low points that lack one."""
        network, has, low = self.run.network, drains_of(self.run), low_points(self.run)
        for node in range(len(self.plan.point)):
            there = network.nodes[node] in has
            if there or node in low:
                self._drain(self.plan.points[self.plan.point[node]], ahead=np.pi / 2, there=there)

    def _drain(self, at: Point, *, ahead: float, there: bool) -> None:
        found = self.plan.space.beside(at, (14.0, 19.0), ahead=ahead, reaches=(7.0, 11.0, 16.0, 24.0, 34.0))
        if found is None:
            drain(self.sheet, at, there=there, size=5.0)
            return
        box, end = found
        self.sheet.line(at, end, width=1.2)
        drain(self.sheet, (0.5 * (box[0] + box[2]), box[1] + 7.0), there=there)

    def end_of(self, tick: Tick) -> Point:
        """Return where the coupler of a drop ends. [px]"""
        far = 11.0 if self.wide else 7.0
        return tick.tip[0] + far * tick.ahead[0], tick.tip[1] + far * tick.ahead[1]
