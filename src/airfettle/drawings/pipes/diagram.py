"""The shop's pipe as a line diagram, where places have no positions: down the sheet from the receiver, not to scale.

Every way is one line down the sheet, branches go off to the right, and a pipe that closes a loop goes back up at the
left. A place is a short upright bar with its drops to the right, so that any number of them fits any width.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from airfettle.drawings.pipes.labels import PAD, Label, draw_label, label_of
from airfettle.drawings.pipes.marks import arrow, cased, coupler, drain, pipe_width, receiver
from airfettle.drawings.pipes.tree import Bar, Tree, columns_of, ends_of, other_end, tree_of
from airfettle.drawings.pipes.words import (
    READING,
    direction,
    drain_notes,
    drains_of,
    drop_is_off,
    drops_of,
    is_fast,
    likely,
    line_of_drop,
    low_points,
    receiver_words,
    size_words,
    speed_words,
    units_of,
    worst_drop,
)
from airfettle.drawings.sheet import SMALL, Sheet
from airfettle.drawings.space import STEP, folded
from airfettle.studies.pipework.shop import ShopRun

GUTTER = 13.0
"""Between two pipes that close loops. [px]"""
DROP, BEYOND = 26.0, 20.0
"""Length of a drop, and from its end to its label. [px]"""


def draw_diagram(
    sheet: Sheet, run: ShopRun, *, left: float, top: float, room: float
) -> tuple[list[tuple[int, Label]], list[str], float]:
    """Draw the diagram; return nothing for a list, notes, and where it ends. [px]"""
    tree = tree_of(run)
    drawn = _Diagram(sheet, run, tree, left, room)
    bottom = drawn.place(top + 8.0)
    drawn.pipes()
    drawn.places()
    notes = ["Not to scale: tell positions of the places to have a plan. " + READING, *drain_notes(run)]
    return [], notes, bottom + 8.0


class _Diagram:
    """A line diagram as it is drawn: first heights of everything, then pipes, then places and drops."""

    def __init__(self, sheet: Sheet, run: ShopRun, tree: Tree, left: float, room: float) -> None:
        self.sheet, self.run, self.tree = sheet, run, tree
        self.units, self.room, self.left = units_of(run), room, left
        self.size = SMALL if room >= 600.0 else 11.0
        self.columns = columns_of(run, tree)
        gutter = min(GUTTER, 0.2 * room / max(len(set(self.columns.values())), 1))
        self.gutter = gutter
        lanes = max((bar.lane for bar in tree.bars.values()), default=0)
        self.lane = min(30.0, 0.3 * room / max(lanes, 1))
        self.first = left + 30.0 + gutter * len(set(self.columns.values()))
        self.rows: list[tuple[str, int, float, list[str]]] = []
        self.labels: list[tuple[int, float, Label]] = []

    def x(self, node: int) -> float:
        """Return where a place stands across the sheet. [px]"""
        return self.first + self.lane * self.tree.bars[node].lane

    def place(self, top: float) -> float:
        """Give every place, drop and line of words its height; return where it ends. [px]"""
        network, y = self.run.network, top
        step = STEP * self.size
        for node in self.tree.order:
            bar = self.tree.bars[node]
            text = self.x(node) + 16.0
            if bar.above >= 0:
                y = self._words("pipe", bar.above, self._pipe_words(bar.above), text, y + 4.0) + 6.0
            bar.top = bar.bottom = y + 0.5 * step
            if bar.above >= 0:
                parent = self.tree.bars[other_end(self.run, bar.above, node)]
                parent.exits[bar.above] = bar.top
                if parent.lane != bar.lane:
                    parent.bottom = bar.top
            name = [network.nodes[node]]
            if node in network.sources:
                name = [network.nodes[node], receiver_words(self.run)]
                text += 26.0
            y = self._words("place", node, name, text, y)
            for k in (k for k in self.tree.chords if node in ends_of(self.run, k)):
                bar.exits[k] = bar.bottom = bar.top + 9.0 * sum(c in bar.exits for c in self.tree.chords)
                if node == max(ends_of(self.run, k), key=self.tree.order.index):
                    y = self._words("chord", k, self._pipe_words(k, loop=True), text, y)
            y = max(y, bar.bottom + 0.5 * step)
            for n in (n for n in range(len(network.drops)) if network.lines[line_of_drop(self.run, n)].start == node):
                k = line_of_drop(self.run, n)
                x = self.x(node) + DROP + BEYOND
                label = label_of(self.run, n, width=min(self.left + self.room - x, 420.0), size=self.size)
                bar.exits[k] = bar.bottom = y + PAD + 0.5 * step
                self.labels.append((n, y, label))
                y += label.high + 2.0
        return y

    def _words(self, sort: str, which: int, words: list[str], x: float, y: float) -> float:
        lines = [part for each in words for part in folded(each, self.left + self.room - x, self.size, bold=True)]
        self.rows.append((sort, which, y, lines))
        return y + len(lines) * STEP * self.size

    def _pipe_words(self, k: int, *, loop: bool = False) -> list[str]:
        line = self.run.lines[k]
        said = [size_words(self.run, k)]
        if direction(line):
            said.append(speed_words(line, self.units))
            said.append(f"loses {likely(line.lost, kind='pressure_difference', units=self.units)}")
        return [("loop to " + self._upper(k) + ": " if loop else "") + ", ".join(said)]

    def _upper(self, k: int) -> str:
        return self.run.network.nodes[min(ends_of(self.run, k), key=self.tree.order.index)]

    def pipes(self) -> None:
        """Draw pipes, the worst way first, so that its edges lie below everything."""
        ways = {bar.above: self._way(bar) for bar in self.tree.bars.values() if bar.above >= 0}
        ways |= {k: self._loop(k) for k in self.tree.chords}
        marked = worst_drop(self.run) >= 0
        on_way = {k for k, line in enumerate(self.run.lines) if line.on_worst_way and marked}
        for bar in self.tree.bars.values():
            used = [y for k, y in bar.exits.items() if k in on_way]
            if used and max(used) > bar.top:
                x, low = self.x(bar.node), bar.top if bar.above in on_way or bar.above < 0 else min(used)
                cased(self.sheet, ((x, low), (x, max(used) + (0.0 if max(used) < bar.bottom else 6.5))), width=5.0)
        for k, way in ways.items():
            if k in on_way:
                cased(self.sheet, way, width=pipe_width(self.run.network.bore[k]))
        for bar in self.tree.bars.values():
            x = self.x(bar.node)
            self.sheet.line((x, bar.top), (x, bar.bottom), width=5.0)
        for k, way in ways.items():
            width = pipe_width(self.run.network.bore[k])
            if k in self.tree.chords and k not in on_way:
                self.sheet.line(*way, ink="paper", width=width + 5.0)
            self.sheet.line(*way, width=width)
            self._arrow(k, way)

    def _way(self, bar: Bar) -> list[tuple[float, float]]:
        """From the parent to a place: down its lane, or out to the right."""
        parent = self.tree.bars[other_end(self.run, bar.above, bar.node)]
        x = self.x(parent.node)
        if parent.lane == bar.lane:
            return [(x, parent.bottom), (x, bar.top)]
        return [(x, bar.top), (self.x(bar.node), bar.top)]

    def _loop(self, k: int) -> list[tuple[float, float]]:
        """From the lower place out to the left, up, and back in to the upper one."""
        lower, upper = (
            self.tree.bars[n] for n in sorted(ends_of(self.run, k), key=lambda n: -self.tree.order.index(n))
        )
        x = self.first - 22.0 - self.gutter * self.columns[k]
        return [(self.x(lower.node), lower.exits[k]), (x, lower.exits[k]), (x, upper.exits[k]),
                (self.x(upper.node), upper.exits[k])]  # fmt: skip

    def _arrow(self, k: int, way: list[tuple[float, float]]) -> None:
        line = self.run.lines[k]
        sign = direction(line)
        if not sign:
            return
        a, b = max(pairwise(way), key=lambda ends: sum(abs(p - q) for p, q in zip(*ends, strict=True)))
        long = sum(abs(p - q) for p, q in zip(a, b, strict=True))
        size = min(0.5 * pipe_width(self.run.network.bore[k]) + 3.2, 0.3 * long)
        first = self._first_end(k, way)
        forward = sign if first == self.run.network.lines[k].start else -sign
        u, v = ((b[0] - a[0]) / max(long, 1e-9), (b[1] - a[1]) / max(long, 1e-9))
        ahead = (u, v) if forward > 0 else (-u, -v)
        if size >= 2.0:
            arrow(self.sheet, (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])), ahead, size=size, both=sign == 2)

    def _first_end(self, k: int, way: list[tuple[float, float]]) -> int:
        """Return the place a drawn way begins at."""
        if k in self.tree.chords:
            return max(ends_of(self.run, k), key=self.tree.order.index)
        return next(other_end(self.run, k, bar.node) for bar in self.tree.bars.values() if bar.above == k)

    def places(self) -> None:
        """Draw receivers, drops and drains, and all words."""
        network, drains, low = self.run.network, drains_of(self.run), low_points(self.run)
        for node in self.tree.order:
            at = (self.x(node), self.tree.bars[node].top)
            if node in network.sources:
                receiver(self.sheet, (at[0], at[1]))
            else:
                self.sheet.circle(at, 3.5, width=1.6, fill="paper")
        for n, y, label in self.labels:
            self._drop(n, y, label)
        for sort, which, y, lines in self.rows:
            node = which if sort == "place" else self._lower(which)
            x = self.x(node) + 16.0 + (26.0 if sort == "place" and node in network.sources else 0.0)
            fast = sort != "place" and is_fast(self.run.lines[which]) and bool(np.any(self.run.lines[which].flow))
            for i, line in enumerate(lines):
                self.sheet.text(x, y + (i + 0.5) * STEP * self.size + 0.35 * self.size, line, size=self.size,
                                ink="ink" if fast or sort == "place" else "pale", bold=fast)  # fmt: skip
            if sort == "place" and (network.nodes[node] in drains or node in low):
                at = (self.x(node) - 12.0, self.tree.bars[node].top)
                drain(self.sheet, at, there=network.nodes[node] in drains)

    def _lower(self, k: int) -> int:
        return max(ends_of(self.run, k), key=self.tree.order.index)

    def _drop(self, n: int, y: float, label: Label) -> None:
        k = line_of_drop(self.run, n)
        node = self.run.network.lines[k].start
        at = self.tree.bars[node].exits[k]
        a, b = (self.x(node), at), (self.x(node) + DROP, at)
        off, width = drop_is_off(self.run, n), pipe_width(self.run.network.bore[k])
        ink = "pale" if off else "ink"
        if label.worst:
            cased(self.sheet, (a, b), width=width)
        self.sheet.line(a, b, ink=ink, width=1.6 if off else min(width, 4.0), dash="4 3" if off else "")
        told = drops_of(self.run)
        if told[n].coupler == "none":
            self.sheet.circle(b, 3.5, ink=ink, width=1.6, fill="paper")
        else:
            coupler(self.sheet, b, (1.0, 0.0), ink=ink)
        if told[n].drain == "yes":
            drain(self.sheet, (a[0] + 14.0, at + 11.0), size=5.0)
        draw_label(self.sheet, label, (b[0] + BEYOND, y, b[0] + BEYOND + label.wide, y + label.high))
