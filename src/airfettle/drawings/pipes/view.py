"""The plan drawn: every text where there is room for it, labels beside their drops or in a numbered list."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from airfettle.drawings.pipes.ground import FARTHEST, REACHES, Ground
from airfettle.drawings.pipes.labels import BALLOON, SMALL_BALLOON, Label, draw_label, label_of, list_width
from airfettle.drawings.pipes.map import Stretch, map_of
from airfettle.drawings.pipes.marks import ahead_of, balloon, pipe_width
from airfettle.drawings.pipes.scale import draw_scale
from airfettle.drawings.pipes.words import (
    direction,
    distance,
    is_fast,
    line_of_drop,
    pairs,
    size_words,
    speed_words,
    units_of,
    worst_drop,
)
from airfettle.drawings.sheet import Sheet
from airfettle.drawings.space import ABOVE, BELOW, LEADER, STEP, Box, Point, cut, text_width
from airfettle.studies.pipework.shop import ShopRun

LABEL = 180.0
"""Most width of a label beside its drop. [px]"""
NAME = 100.0
"""Most width of a place's name. [px]"""

Numbered = list[tuple[int, Label]]


def draw_plan(sheet: Sheet, run: ShopRun, *, left: float, top: float, room: float) -> tuple[Numbered, list[str], float]:
    """Draw the plan; return labels for the list below, notes, and where it ends. [px]"""
    wide = room >= 600.0
    begun = len(sheet.marks)
    for direct, margin in ((True, (236.0, 110.0)), (False, (64.0, 62.0) if wide else (52.0, 58.0))):
        if direct and not wide:
            continue
        del sheet.marks[begun:]
        plan = map_of(run, area=(left, top, left + room, 0.0), margin=margin, tick=24.0 if wide else 13.0,
                      tallest=0.5 * room if wide else 1.1 * room)  # fmt: skip
        view = _View(sheet, run, plan, wide)
        view.pipes()
        view.receivers()
        view.drops()
        view.drains()
        view.sizes()
        if direct and view.labels():
            numbered: Numbered = []
            break
        if not direct:
            numbered = view.numbers(list_width(room))
    view.places(risers=True)
    view.speeds()
    view.places(risers=False)
    bottom = draw_scale(sheet, plan.scale, units=units_of(run), left=left, top=plan.space.area[3] + 4.0,
                        room=room)  # fmt: skip
    return numbered, view.notes, bottom


class _View(Ground):
    """A plan with its words; ``notes`` grows with what found no room."""

    def sizes(self) -> None:
        """Write size and material along each run once, or into the notes."""
        by_run: dict[tuple[str, str], list[Stretch]] = {}
        for each in self.plan.stretches:
            line = self.run.lines[each.line]
            by_run.setdefault((line.run, line.pipe), []).append(each)
        left_over = []
        for (run, _), stretches in by_run.items():
            words = size_words(self.run, stretches[0].line)
            for each in sorted(stretches, key=lambda s: -s.long):
                if self._along(each, words, ink="pale"):
                    break
            else:
                left_over.append(f"run {run}: {words}")
        if left_over:
            self.notes.append("Sizes: " + "; ".join(left_over) + ".")

    def _along(self, each: Stretch, words: str, *, ink: str, bold: bool = False) -> bool:
        """Write along a pipe, where there is room."""
        size = self.size
        wide, half = text_width(words, size, bold=bold), 0.5 * pipe_width(self.run.network.bore[each.line]) + 6.5
        u, v = ahead_of(each.start, each.end)
        upright = abs(u) < 0.2
        for share in (0.5, 0.3, 0.7, 0.2, 0.8):
            x, y = (a + share * (b - a) for a, b in zip(each.start, each.end, strict=True))
            for box in _alongside((x, y), wide, (ABOVE + BELOW) * size, half, upright=upright, level=abs(v) < 0.2):
                if self.plan.space.free(box):
                    self.plan.space.take(box)
                    if upright:
                        self.sheet.text(
                            box[0] + ABOVE * size, box[3], words, size=size, ink=ink, bold=bold, upright=True
                        )
                    else:
                        self.sheet.text(box[0], box[1] + ABOVE * size, words, size=size, ink=ink, bold=bold)
                    return True
        return False

    def labels(self) -> bool:
        """Write every label beside its drop, the worst first; False where one finds no room, and none is written."""
        placed = []
        for n in self._order():
            label, tick = label_of(self.run, n, width=LABEL, size=self.size), self.plan.drops[n]
            found = self.plan.space.beside(
                self.end_of(tick), (label.wide, label.high), ahead=tick.angle, reaches=REACHES
            )
            if found is None:
                return False
            placed.append((label, *found))
        for label, box, end in placed:
            self._leader(self.end_of(self.plan.drops[label.drop]), end)
            draw_label(self.sheet, label, box, at=self.plan.drops[label.drop].tip[0])
        return True

    def numbers(self, room: float) -> Numbered:
        """Number the drops, and return their labels for a list; with the place where no number finds room."""
        network, alone = self.run.network, set(range(len(self.run.network.drops)))
        radius = BALLOON if self.wide else SMALL_BALLOON
        for n in self._order():
            tick = self.plan.drops[n]
            found = None
            for over_lines in (False, True):
                found = found or self.plan.space.beside(
                    self.end_of(tick), (2.0 * radius,) * 2, ahead=tick.angle, reaches=FARTHEST, over_lines=over_lines
                )
            if found is not None:
                alone.discard(n)
                box, end = found
                self._leader(self.end_of(tick), end)
                middle = (0.5 * (box[0] + box[2]), 0.5 * (box[1] + box[3]))
                balloon(self.sheet, middle, n + 1, radius=radius, strong=n == worst_drop(self.run))
        homes = [network.nodes[network.lines[line_of_drop(self.run, n)].start] for n in range(len(network.drops))]
        return [(n + 1, label_of(self.run, n, width=room, size=self.size, place=home if n in alone else ""))
                for n, home in enumerate(homes)]  # fmt: skip

    def _order(self) -> list[int]:
        """Drops, that of the tool worst off first."""
        worst = worst_drop(self.run)
        return sorted(range(len(self.run.network.drops)), key=lambda n: (n != worst, n))

    def _leader(self, tip: Point, end: Point) -> None:
        if abs(tip[0] - end[0]) + abs(tip[1] - end[1]) > LEADER:
            self.sheet.line(tip, end, width=0.8)

    def speeds(self) -> None:
        """Write how fast the air is where it is fast, and along the worst way; what finds no room goes into notes."""
        fastest: dict[str, tuple[float, Stretch, bool]] = {}
        for each in sorted(self.plan.stretches, key=lambda s: -float(np.median(self.run.lines[s.line].speed))):
            line = self.run.lines[each.line]
            fast = is_fast(line)
            if not direction(line) or not (fast or (line.on_worst_way and worst_drop(self.run) >= 0)):
                continue
            words = speed_words(line, self.units)
            written = self._along(each, words, ink="ink", bold=fast)
            if fast and line.run not in fastest:
                fastest[line.run] = (float(np.median(line.speed)), each, written)
        missing = [f"run {run}: {speed_words(self.run.lines[each.line], self.units)}"
                   for run, (_, each, written) in fastest.items() if not written]  # fmt: skip
        if missing:
            self.notes.append("Fastest air: " + "; ".join(missing) + ".")

    def places(self, *, risers: bool) -> None:
        """Write names of places, and heights where they change, where there is room; risers always, if as a note."""
        network, sources, lost = self.run.network, set(self.run.network.sources), []
        for n, at in enumerate(self.plan.points):
            nodes = [node for node, point in enumerate(self.plan.point) if point == n]
            names = [cut(network.nodes[node], NAME, self.size) for node in nodes if node not in sources][:2]
            height = self._height(nodes)
            lines = [text for text in (", ".join(names), height) if text]
            if not lines or height.startswith("riser") != risers:
                continue
            wide = max(text_width(line, self.size) for line in lines) + 4.0
            high = STEP * self.size * len(lines) + 1.0
            found = self.plan.space.beside(at, (wide, high), ahead=-0.75 * np.pi, reaches=(9.0, 12.0, 15.0))
            if found is not None:
                self.lines(lines, found[0], at, ink="pale")
            elif risers:
                lost.append(f"{lines[0]}: {height}" if names else height)
        if lost:
            self.notes.append("Heights: " + "; ".join(lost) + ".")

    def _height(self, nodes: list[int]) -> str:
        heights = self.run.network.positions[:, 2]
        here = sorted({round(float(heights[n]), 2) for n in nodes if np.isfinite(heights[n])})
        if len(here) > 1:
            return f"riser, {distance(here[0], self.units)} to {distance(here[-1], self.units)} up"
        beside = {n for a, b in pairs(self.run) for n in (a, b) if a in nodes or b in nodes}
        if here and any(abs(heights[n] - here[0]) > 0.05 for n in beside):
            return f"{distance(here[0], self.units)} up"
        return ""


def _alongside(
    at: Point, wide: float, high: float, half: float, *, upright: bool, level: bool
) -> Iterator[Box]:  # fmt: skip
    """Yield the room of words on either side of a pipe; beside it where it goes aslant."""
    x, y = at
    if upright:
        yield x - half - high, y - 0.5 * wide, x - half, y + 0.5 * wide
        yield x + half, y - 0.5 * wide, x + half + high, y + 0.5 * wide
    elif level:
        yield x - 0.5 * wide, y - half - high, x + 0.5 * wide, y - half
        yield x - 0.5 * wide, y + half, x + 0.5 * wide, y + half + high
    else:
        for shift in (half, half + 8.0, half + 16.0):
            for side in (1.0, -1.0):
                left = x + shift if side > 0 else x - shift - wide
                for up in (1.0, -1.0):
                    top = y + up * 6.0 - 0.5 * high
                    yield left, top, left + wide, top + high
