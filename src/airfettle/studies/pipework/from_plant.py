"""From a drawn plant to the network of its pipe: lengths, fittings, filters, drops and the places for tools."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import MissingEntry
from airfettle.parts.fittings import fittings_length, read_fittings, turbulent_friction
from airfettle.parts.pipe_stock import read_pipe
from airfettle.plant.lines import ShopPipe
from airfettle.plant.part import Q
from airfettle.plant.pipework import Drop, Run, read_position
from airfettle.plant.treatment import Filter
from airfettle.plant.whole import Plant
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.day.demand import use_numbers
from airfettle.studies.draw import Draw
from airfettle.studies.instant.path import FILTER_PRESSURE, line_drop
from airfettle.studies.pipework.leak import pipe_leak
from airfettle.studies.pipework.network import STEEL_ROUGHNESS, Line, Network, Outlet

Array = NDArray[np.float64]

TEE_SIDE, TEE_STRAIGHT, ENTRANCE = "tee side", "tee straight", 0.5
"""Fittings counted at places, and loss where the pipe leaves the receiver. [-]  Source: crane."""
CORNER = 0.94
"""Cosine of the angle from which a bend of the way counts as an elbow, 20 degrees. [-]"""


def has_network(plant: Plant[Q]) -> bool:
    """Return whether a plant tells runs and drops of its pipe, and tools that hang there."""
    pipe = plant.shop_pipe
    return pipe is not None and pipe.piped and any(drop.tools for drop in pipe.drops)


def network_of(draw: Draw, numbers: PlantNumbers) -> Network:
    """Return the network of a drawn plant.

    Parameters
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant. [SI]

    Returns
    -------
    Network
        [SI]

    Raises
    ------
    MissingEntry
        The plant tells no runs, no drops, or no tools on them.
    """
    pipe = draw.plant.shop_pipe
    if pipe is None or not has_network(draw.plant):
        raise MissingEntry(
            read="a plant without runs and drops of its pipe, or without tools on them", where="shop_pipe",
            wanted="under [shop_pipe] runs, such as runs = ['receiver, 20 ft, A'], and drops, such as drops = [{ at = "
            "'A', tool = 'sander' }]; and the tools under [[use]]",
        )  # fmt: skip
    rows = draw.rows
    places = list(dict.fromkeys(
        name for run in pipe.runs if not run.absent for piece in run.pieces for name in (piece.start, piece.end)
    ))  # fmt: skip
    there = [drop for drop in pipe.drops if not drop.absent]
    nodes = (*places, *(drop.name for drop in there))
    at = {name: n for n, name in enumerate(places)}
    positions = np.full((len(nodes), 3), np.nan)
    for name, text in pipe.places.items():
        if name in at:
            positions[at[name]] = read_position(text)
    built = _Built(draw, numbers, at, positions)
    for run in (r for r in pipe.runs if not r.absent):
        built.run(run)
    for n, drop in enumerate(there):
        built.drop(drop, len(places) + n, pipe)
    built.tees()
    uses = use_numbers(draw)
    outlets = _outlets(draw, there, len(places))
    full = 0.5 * numbers.full_flow

    def row(value: Any) -> Array:
        return np.ascontiguousarray(np.broadcast_to(np.ravel(value), (rows,)))

    line = row(line_drop(numbers, flow=full, pressure=numbers.cut_out) * numbers.cut_out / full**2)
    stocks = [each.stock for each in built.lines]
    length, bore = np.stack([row(each) for each in built.length], axis=1), np.array([s.bore for s in stocks])
    holds = np.sum(0.25 * np.pi * bore**2 * length, axis=1)
    return Network(
        nodes=nodes, positions=positions, lines=tuple(built.lines), outlets=outlets,
        drops=tuple(drop.name for drop in there), uses=uses, sources=tuple(at[name] for name in pipe.air_from),
        length=length,
        extra=np.stack([row(each) for each in built.extra], axis=1), loss=built.loss(),
        bore=bore, roughness=np.array([s.roughness for s in stocks]),
        **_ends(there, outlets, row), temperature=row(numbers.room_temperature), line=line,
        barometer=row(numbers.barometer), cut_in=row(numbers.cut_in), cut_out=row(numbers.cut_out),
        leak=row(pipe_leak(draw, numbers, line_volume=holds)) / (0.5 * row(numbers.cut_in + numbers.cut_out)),
    )  # fmt: skip


class _Built:
    """Pipes as they are put together: what each is, how long, what stands in it."""

    def __init__(self, draw: Draw, numbers: PlantNumbers, at: dict[str, int], positions: Array) -> None:
        self.draw, self.numbers, self.at, self.positions = draw, numbers, at, positions
        self.lines: list[Line] = []
        self.length: list[Array] = []
        self.extra: list[Array] = []
        self.lengths_over_bore: list[float] = []
        self.heads: list[float] = []
        self.inside: set[tuple[int, int]] = set()  # (pipe, node) where its run goes on

    def run(self, run: Run[Array]) -> None:
        """Add a run's pieces."""
        ways = [(self.at[piece.start], self.at[piece.end]) for piece in run.pieces]
        corners = self._corners(run)
        told = run.fittings.strip()
        lengths = [self._length(piece.length, way) for piece, way in zip(run.pieces, ways, strict=True)]
        whole = sum(float(length.flat[0]) for length in lengths)
        counted = read_fittings(told) if told else {}
        for n, (piece, way, length) in enumerate(zip(run.pieces, ways, lengths, strict=True)):
            share = float(length.flat[0]) / whole
            fittings = share * fittings_length(counted) if told else corners[n] * fittings_length({"elbow": 1})
            words = told if told else (f"{corners[n]} elbow{'s' if corners[n] > 1 else ''}" if corners[n] else "")
            here = len(self.lines)
            self._add(Line(piece.name, run.name, *way, run.stock, words), length, fittings,
                      share * self._filters(run.through))  # fmt: skip
            if n:
                self.inside.add((here, way[0]))
            if n < len(ways) - 1:
                self.inside.add((here, way[1]))
        if len(ways) > 1 and ways[0][0] == ways[-1][1]:
            first, last = len(self.lines) - len(ways), len(self.lines) - 1
            self.inside |= {(first, ways[0][0]), (last, ways[0][0])}

    def drop(self, drop: Drop[Array], node: int, pipe: ShopPipe[Array]) -> None:
        """Add a drop's pipe."""
        start = self.at[drop.at]
        own = drop.pipe or pipe.pipe
        stock = read_pipe(own) if own else next(line.stock for line in self.lines if start in (line.start, line.end))
        fittings = fittings_length(read_fittings(drop.fittings)) + fittings_length({TEE_SIDE: 1})
        self._add(Line(drop.name, "", start, node, stock, drop.fittings), np.maximum(drop.down, 1e-3), fittings,
                  self._filters(drop.through))  # fmt: skip

    def tees(self) -> None:
        """Add the tees at places where more than two pipes meet, and the entrance at the receiver."""
        for node in range(len(self.at)):
            meet = [k for k, line in enumerate(self.lines) if node in (line.start, line.end)]
            ends = [k for k in meet if self.lines[k].run]
            sides = len(meet) - 2
            for k in ends:  # where only two run ends meet, the main goes on through the drops' tees
                if sides > 0 and ((k, node) in self.inside or len(ends) == 2):
                    self.lengths_over_bore[k] += 0.5 * sides * fittings_length({TEE_STRAIGHT: 1})
                elif sides > 0:
                    self.lengths_over_bore[k] += fittings_length({TEE_SIDE: 1})
        pipe = self.draw.plant.shop_pipe
        assert pipe is not None
        for name in pipe.air_from:
            for k, line in enumerate(self.lines):
                if self.at[name] in (line.start, line.end):
                    self.heads[k] += ENTRANCE

    def loss(self) -> Array:
        """Losses of every pipe in velocity heads. [-]"""
        bores = np.array([line.stock.bore for line in self.lines])
        factor = turbulent_friction(bores, roughness=STEEL_ROUGHNESS)
        return np.asarray(np.array(self.lengths_over_bore) * factor + np.array(self.heads))

    def _add(self, line: Line, length: Array, fittings: float, extra: Array) -> None:
        self.lines.append(line)
        self.length.append(np.ravel(length))
        self.extra.append(np.ravel(extra))
        self.lengths_over_bore.append(fittings)
        self.heads.append(0.0)

    def _length(self, told: Array | None, way: tuple[int, int]) -> Array:
        if told is not None:
            return np.asarray(told)
        apart = np.nan_to_num(self.positions[way[1]] - self.positions[way[0]])
        return np.array([np.sqrt(np.sum(apart**2))])

    def _corners(self, run: Run[Array]) -> list[int]:
        """Elbows of each piece where nobody counted them: at corners of the way, or one where that cannot be seen."""
        found, before = [], None
        for piece in run.pieces:
            ends = self.positions[[self.at[piece.start], self.at[piece.end]]]
            if np.any(np.isnan(ends[:, :2])):
                found.append(1)
                before = None
                continue
            ahead = np.nan_to_num(ends[1] - ends[0])
            size = float(np.sqrt(np.sum(ahead**2)))
            ahead = ahead / size if size else ahead
            found.append(int(before is not None and float(np.sum(before * ahead)) < CORNER))
            before = ahead
        return found

    def _filters(self, names: tuple[str, ...]) -> Array:
        """What filters add to the fall of the pressure's square: 2 p dp at their rated point over flow squared."""
        total = np.zeros(1)
        for part in self.draw.plant.filter:
            if part.name in names and not part.absent:
                total = total + self._filter(part)
        return np.asarray(total)

    def _filter(self, part: Filter[Array]) -> Array:
        rated = part.rated_flow if part.rated_flow is not None else self.numbers.full_flow
        return np.ravel(2.0 * part.drop * FILTER_PRESSURE / rated**2)


def _outlets(draw: Draw, drops: list[Drop[Array]], places: int) -> tuple[Outlet, ...]:
    """Places for every tool: one for each of it, or for each drop it is named on if those are more."""
    found = []
    for place, use in enumerate(use for use in draw.plant.use if not use.absent):
        named = [n for n, drop in enumerate(drops) if use.called in drop.tools]
        many = max(use.count, len(named))
        for copy in range(many):
            drop = named[copy % len(named)]
            name = use.called
            if len(named) > 1:
                name += f" at {drops[drop].name}"
            if many > len(named):
                name += f" {copy // len(named) + 1}"
            found.append(Outlet(name, place, drop, places + drop))
    return tuple(found)


def _ends(drops: list[Drop[Array]], outlets: tuple[Outlet, ...], row: Any) -> dict[str, Array]:
    """What stands between the end of a drop and each tool."""
    found: dict[str, list[Array]] = {name: [] for name in (
        "conductance", "critical_ratio", "hose_length", "hose_bore", "set_pressure")}  # fmt: skip
    for outlet in outlets:
        drop = drops[outlet.drop]
        hose = drop.hose_length is not None and drop.hose_bore is not None and drop.hose != "none"
        found["conductance"].append(row(0.0 if drop.conductance is None else drop.conductance))
        found["critical_ratio"].append(row(0.3 if drop.critical_ratio is None else drop.critical_ratio))
        found["hose_length"].append(row(drop.hose_length if hose else 0.0))
        found["hose_bore"].append(row(drop.hose_bore if hose else 0.01))
        found["set_pressure"].append(row(np.inf if drop.regulator is None else drop.regulator))
    return {name: np.stack(columns, axis=1) for name, columns in found.items()}
