"""The shop's pipe seen from above: places to scale, and where everything that hangs on them goes on the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin

import numpy as np

from airfettle.drawings.pipes.marks import ahead_of, pipe_width
from airfettle.drawings.space import Box, Point, Space, crosses
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.shop import ShopRun

NEAR = 8.0
"""Places nearer than this on the sheet are drawn as one point. [px]"""
APART = 9.0
"""Between two pipes that join the same places. [px]"""
AHEAD = tuple(k * pi / 4 for k in (3, 1, 2, 0, 4, 6, 5, 7))
"""Directions that a drop may go. [rad]"""


@dataclass(frozen=True)
class Stretch:
    """One pipe of a run as it is drawn.

    Attributes
    ----------
    line : int
        Which of the network's. [-]
    start, end : tuple of float
        On the sheet, moved aside where another joins the same places. [px]
    """

    line: int
    start: Point
    end: Point

    @property
    def long(self) -> float:
        """How long it is drawn. [px]"""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


@dataclass(frozen=True)
class Tick:
    """A drop, or a receiver's stub.

    Attributes
    ----------
    at, tip : tuple of float
        Where it leaves the pipe and where it ends. [px]
    ahead : tuple of float
        Its direction. [-]
    """

    at: Point
    tip: Point
    ahead: Point

    @property
    def angle(self) -> float:
        """Its direction on the sheet, down counted as positive. [rad]"""
        return atan2(self.ahead[1], self.ahead[0])


@dataclass(frozen=True)
class Map:
    """Where everything of a plan stands.

    Attributes
    ----------
    points : tuple of tuple of float
        On the sheet. [px]
    point : tuple of int
        Point of each place. [-]
    stretches : tuple of Stretch
        Pipes of runs that go from one point to another.
    risers : tuple of int
        Pipes of runs whose ends are one point. [-]
    drops, receivers : tuple of Tick
        Of every drop; of every source.
    scale : float
        Of the drawing. [px/m]
    space : Space
        What is taken.
    """

    points: tuple[Point, ...]
    point: tuple[int, ...]
    stretches: tuple[Stretch, ...]
    risers: tuple[int, ...]
    drops: tuple[Tick, ...]
    receivers: tuple[Tick, ...]
    scale: float
    space: Space


def has_positions(network: Network) -> bool:
    """Return whether every place has a position, along and across."""
    places = len(network.nodes) - len(network.drops)
    return bool(np.all(np.isfinite(network.positions[:places, :2])))


def map_of(run: ShopRun, *, area: Box, margin: Point, tick: float, tallest: float) -> Map:
    """Return the plan of a shop.

    Parameters
    ----------
    run : ShopRun
        What is drawn. [SI]
    area : tuple of float
        Its room: left, top, right; its bottom follows. [px]
    margin : tuple of float
        Room for labels beside and above the pipe. [px]
    tick : float
        Length of a drop. [px]
    tallest : float
        Most height of the pipe itself. [px]
    """
    network = run.network
    places = len(network.nodes) - len(network.drops)
    at = network.positions[:places, :2]
    low, size = at.min(axis=0), np.ptp(at, axis=0)
    room = (area[2] - area[0] - 2.0 * margin[0], tallest)
    scale = min((room[i] / size[i] for i in (0, 1) if size[i] > 1e-6), default=20.0)
    left = 0.5 * (area[0] + area[2]) - 0.5 * scale * size[0]
    bottom = area[1] + margin[1] + scale * size[1]
    spots = [(float(left + scale * (x - low[0])), float(bottom - scale * (y - low[1]))) for x, y in at]
    points: list[Point] = []
    point = []
    for spot in spots:
        found = next((n for n, p in enumerate(points) if hypot(p[0] - spot[0], p[1] - spot[1]) < NEAR), len(points))
        if found == len(points):
            points.append(spot)
        point.append(found)
    space = Space((area[0], area[1], area[2], float(bottom + margin[1])))
    stretches, risers = _stretches(run, points, point)
    for each in stretches:
        edge = 6.0 if run.lines[each.line].on_worst_way else 3.0
        space.lines.append((each.start, each.end, 0.5 * pipe_width(network.bore[each.line]) + edge))
    finder = _Ticks(points, stretches, space)
    receivers = tuple(finder.tick(points[point[n]], tick + 8.0, 26.0) for n in network.sources)
    homes = [point[network.lines[k].start] for k in _drop_lines(network)]
    drops = tuple(finder.tick(points[home], tick, 12.0) for home in homes)
    return Map(tuple(points), tuple(point), stretches, risers, drops, receivers, float(scale), space)


def _drop_lines(network: Network) -> list[int]:
    """Pipe of each drop, in their order."""
    first = len(network.nodes) - len(network.drops)
    by_node = {line.end: k for k, line in enumerate(network.lines) if not line.run}
    return [by_node[first + n] for n in range(len(network.drops))]


def _stretches(run: ShopRun, points: list[Point], point: list[int]) -> tuple[tuple[Stretch, ...], tuple[int, ...]]:
    together: dict[tuple[int, int], list[int]] = {}
    risers = []
    for k, line in enumerate(run.network.lines):
        if line.run:
            a, b = point[line.start], point[line.end]
            if a == b:
                risers.append(k)
            else:
                together.setdefault((min(a, b), max(a, b)), []).append(k)
    found = []
    for (first, last), lines in together.items():
        u, v = ahead_of(points[first], points[last])
        for n, k in enumerate(lines):
            aside = (n - 0.5 * (len(lines) - 1)) * APART
            ends = [points[point[node]] for node in (run.network.lines[k].start, run.network.lines[k].end)]
            begin, finish = ((x - aside * v, y + aside * u) for x, y in ends)
            found.append(Stretch(k, begin, finish))
    return tuple(sorted(found, key=lambda s: s.line)), tuple(risers)


class _Ticks:
    """Directions for drops: away from pipes and from drops already there, outward rather than inward."""

    def __init__(self, points: list[Point], stretches: tuple[Stretch, ...], space: Space) -> None:
        self.stretches, self.space = stretches, space
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        self.middle = (0.5 * (min(xs) + max(xs)), 0.5 * (min(ys) + max(ys)))
        self.extent = max(max(xs) - min(xs), max(ys) - min(ys), 1.0)

    def tick(self, at: Point, long: float, beyond: float) -> Tick:
        """Return the best of the directions, taken now."""
        best = max(((self._worth(at, angle, long + beyond), -n) for n, angle in enumerate(AHEAD)))
        angle = AHEAD[-best[1]]
        ahead = (cos(angle), -sin(angle))
        tip = (at[0] + long * ahead[0], at[1] + long * ahead[1])
        end = (tip[0] + beyond * ahead[0], tip[1] + beyond * ahead[1])
        self.space.lines.append((at, end, 3.0))
        return Tick(at, tip, ahead)

    def _worth(self, at: Point, angle: float, reach: float) -> float:
        u, v = cos(angle), -sin(angle)
        end = (at[0] + reach * u, at[1] + reach * v)
        apart, along = pi, 0.0
        for a, b, _ in self.space.lines:
            for here, other in ((a, b), (b, a)):
                if hypot(here[0] - at[0], here[1] - at[1]) < 0.5 * APART + 1.0 + NEAR:
                    way = ahead_of(here, other)
                    between = abs(atan2(u * way[1] - v * way[0], u * way[0] + v * way[1]))
                    apart, along = min(apart, between), max(along, between)
        worth = min(apart, pi / 2) - (0.3 if along > 3.0 else 0.0)  # not as if it were the pipe going on
        out = ((at[0] - self.middle[0]) * u + (at[1] - self.middle[1]) * v) / self.extent
        worth += 0.8 * out + (0.1 if abs(abs(u) - abs(v)) > 0.5 else 0.0)
        tip = (end[0] - 7.0, end[1] - 7.0, end[0] + 7.0, end[1] + 7.0)
        hit = sum(crosses((a, b), tip) for a, b, _ in self.space.lines)
        return worth - 1.5 * hit
