"""The shop's pipe of a drawn plant as a network with numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import R_DRY_AIR
from airfettle.air.nozzle import REFERENCE_DENSITY, REFERENCE_TEMPERATURE
from airfettle.air.pipe_flow import viscosity
from airfettle.errors import MissingEntry
from airfettle.parts.fittings import fittings_length, read_fittings, turbulent_friction
from airfettle.parts.pipe_stock import Stock, read_pipe
from airfettle.plant.lines import ShopPipe
from airfettle.plant.part import Q
from airfettle.plant.pipework import Drop, Run, read_position
from airfettle.plant.treatment import Filter
from airfettle.plant.whole import Plant
from airfettle.quantity.clock import WEEK
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.day.demand import UseNumbers, use_numbers
from airfettle.studies.draw import Draw
from airfettle.studies.instant.path import FILTER_PRESSURE, line_drop
from airfettle.studies.pipework.layout import Layout, layout_of
from airfettle.studies.pipework.leak import pipe_leak

Array = NDArray[np.float64]

STEEL_ROUGHNESS = 4.5e-5
"""Roughness of the steel pipe for which fittings' lengths over bore are stated. [m]  Source: crane."""
HOSE_ROUGHNESS, HOSE_ENDS = 1.0e-5, 1.5
"""Roughness of a rubber hose [m], and loss of its two ends in velocity heads [-].  Source: practice."""
TEE_SIDE, TEE_STRAIGHT, ENTRANCE = "tee side", "tee straight", 0.5
"""Fittings counted at places, and loss where the pipe leaves the receiver. [-]  Source: crane."""
CORNER = 0.94
"""Cosine of the angle from which a bend of the way counts as an elbow, 20 degrees. [-]"""


@dataclass(frozen=True)
class Line:
    """One pipe of the network.

    Attributes
    ----------
    name : str
        Its two places, or the drop's name. [text]
    run : str
        Run it belongs to, empty for a drop's own pipe. [text]
    start, end : int
        Nodes. [-]
    stock : Stock
        What it is made of.
    fittings : str
        What was counted, in words. [text]
    """

    name: str
    run: str
    start: int
    end: int
    stock: Stock
    fittings: str = ""


@dataclass(frozen=True)
class Outlet:
    """One place at which one tool can run.

    Attributes
    ----------
    name : str
        The tool's name, with its drop where it has several. [text]
    use, drop, node : int
        Its use among those of the plant, its drop among those of the pipe, and the node at the drop's end. [-]
    """

    name: str
    use: int
    drop: int
    node: int


@dataclass(frozen=True)
class Network:
    """The shop's pipe with numbers; ``rows`` is the draw.

    Attributes
    ----------
    nodes : tuple of str
        Places, then the ends of drops.
    positions : ndarray
        Where places stand, nan where nobody told, shape (nodes, 3). [m]
    lines, outlets, drops : tuple
        Pipes; places for tools; names of the drops.
    uses : tuple of UseNumbers
        What draws air. [SI]
    sources : tuple of int
        Nodes where air comes in from the receiver; they stand at one pressure. [-]
    length, extra : ndarray
        Of each pipe, shape (rows, pipes): length [m], and what filters in it add [Pa2 s2/kg2].
    loss : ndarray
        Fittings of each pipe in velocity heads, shape (pipes,). [-]
    bore, roughness : ndarray
        Of each pipe, shape (pipes,). [m]
    conductance, critical_ratio : ndarray
        Of each outlet's coupler, shape (rows, outlets); 0 where there is none. [m3/(s Pa)] [-]
    hose_length, hose_bore : ndarray
        Of each outlet, shape (rows, outlets); length 0 where there is none. [m]
    set_pressure : ndarray
        Of each outlet's regulator, infinite where there is none, shape (rows, outlets). [Pa]
    temperature, line, barometer, cut_in, cut_out : ndarray
        Of the air in the pipe [K]; drop of filters and dryer behind the receiver times pressure over flow squared
        [Pa2 s2/kg2]; air pressure outside; control; shape (rows,). [Pa]
    leak : ndarray
        Of all the pipe over its pressure, shape (rows,). [kg/(s Pa)]
    """

    nodes: tuple[str, ...]
    positions: Array
    lines: tuple[Line, ...]
    outlets: tuple[Outlet, ...]
    drops: tuple[str, ...]
    uses: tuple[UseNumbers, ...]
    sources: tuple[int, ...]
    length: Array
    extra: Array
    loss: Array
    bore: Array
    roughness: Array
    conductance: Array
    critical_ratio: Array
    hose_length: Array
    hose_bore: Array
    set_pressure: Array
    temperature: Array
    line: Array
    barometer: Array
    cut_in: Array
    cut_out: Array
    leak: Array

    @property
    def rows(self) -> int:
        """Rows of the draw. [-]"""
        return len(self.temperature)

    @cached_property
    def layout(self) -> Layout:
        """How it hangs together, sources joined to the first of them."""
        joined = dict.fromkeys(self.sources, self.sources[0])
        start, end = (
            np.array([joined.get(n, n) for n in ends], dtype=np.int64)
            for ends in ((line.start for line in self.lines), (line.end for line in self.lines))
        )
        kept = np.array([n for n in range(len(self.nodes)) if joined.get(n, n) == n])
        place = np.full(len(self.nodes), -1, dtype=np.int64)
        place[kept] = np.arange(len(kept))
        weight = np.asarray(self.length[0] / self.bore**5)
        return layout_of(
            len(kept), start=place[start], end=place[end], sources=place[[self.sources[0]]], weight=weight
        )  # fmt: skip

    @cached_property
    def solved_node(self) -> NDArray[np.int64]:
        """Place of every node among those of the layout, where sources are one. [-]"""
        first = self.sources[0]
        joined = [first if n in self.sources else n for n in range(len(self.nodes))]
        kept = {n: i for i, n in enumerate(sorted(set(joined)))}
        return np.array([kept[n] for n in joined], dtype=np.int64)

    @cached_property
    def patterns(self) -> dict[tuple[bool, ...], float]:
        """Which uses are in their hours together, and how long in a week; where none is, nothing. [s]"""
        edges = {0.0, WEEK}
        for use in self.uses:
            edges |= {float(moment) for moment in use.hours.opened(0.0, length=WEEK).ravel()}
        found: dict[tuple[bool, ...], float] = {}
        for begin, end in pairwise(sorted(edges)):
            opened = tuple(use.hours.open_at(0.5 * (begin + end)) for use in self.uses)
            if any(opened):
                found[opened] = found.get(opened, 0.0) + end - begin
        return found

    @property
    def full_pressure(self) -> Array:
        """Absolute pressure at its inlet that each outlet's flow is for, shape (rows, outlets). [Pa]"""
        return self._of_outlets("full_pressure")

    @property
    def needed_pressure(self) -> Array:
        """Lowest absolute pressure at its inlet with which each tool works well, shape (rows, outlets). [Pa]"""
        return self._of_outlets("needed_pressure")

    @property
    def full_flow(self) -> Array:
        """What each tool takes at its full pressure, shape (rows, outlets). [kg/s]"""
        return self._of_outlets("flow")

    def _of_outlets(self, name: str) -> Array:
        return np.stack([getattr(self.uses[o.use], name) for o in self.outlets], axis=1)

    @property
    def volume(self) -> Array:
        """What all the pipe holds, shape (rows,). [m3]"""
        return np.asarray(np.sum(0.25 * np.pi * self.bore**2 * self.length, axis=1))

    def first(self, rows: int) -> Network:
        """Return the first rows of it."""
        if rows >= self.rows:
            return self
        fewer = {name: getattr(self, name)[:rows] for name in BY_ROW}
        uses = tuple(
            replace(use, **{name: getattr(use, name)[:rows] for name in USE_BY_ROW if getattr(use, name) is not None})
            for use in self.uses
        )
        return replace(self, uses=uses, **fewer)

    def only(self, row: int) -> Network:
        """Return one row of it by itself."""
        fewer = {name: getattr(self, name)[row : row + 1] for name in BY_ROW}
        uses = tuple(
            replace(use, **{n: getattr(use, n)[row : row + 1] for n in USE_BY_ROW if getattr(use, n) is not None})
            for use in self.uses
        )
        return replace(self, uses=uses, **fewer)

    def with_stock(self, lines: dict[int, Stock]) -> Network:
        """Return it with other pipe in some places."""
        bore, rough, loss = self.bore.copy(), self.roughness.copy(), self.loss.copy()
        new = list(self.lines)
        for k, stock in lines.items():
            factors = turbulent_friction(np.array([stock.bore, bore[k]]), roughness=STEEL_ROUGHNESS)
            loss[k] *= factors[0] / factors[1]
            bore[k], rough[k] = stock.bore, stock.roughness
            new[k] = replace(new[k], stock=stock)
        return replace(self, lines=tuple(new), bore=bore, roughness=rough, loss=loss)


BY_ROW = (
    "length", "extra", "conductance", "critical_ratio", "hose_length", "hose_bore", "set_pressure", "temperature",
    "line", "barometer", "cut_in", "cut_out", "leak",
)  # fmt: skip
USE_BY_ROW = ("flow", "conductance", "full_pressure", "needed_pressure", "lost_on_the_way", "on", "off", "variation")
"""What differs from row to row."""


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


def laws_of(network: Network) -> dict[str, Any]:
    """Return a network as the compiled loops read it.

    Parameters
    ----------
    network : Network
        [SI]

    Returns
    -------
    dict
        ``laws``, ``outlets``, ``hoses``, ``roughs``, ``line``, ``leaks`` and ``at_node``; columns in ``laws``. [SI]
    """
    rows, warm = network.rows, network.temperature
    sticky = viscosity(warm)
    pipe_rough = network.roughness / network.bore
    hose_rough = np.round(HOSE_ROUGHNESS / network.hose_bore, 5)  # few fits for many bores
    roughs, places = np.unique(np.concatenate([pipe_rough, hose_rough.ravel()]), return_inverse=True)
    pipes = len(network.lines)

    def columns(length: Array, bore: Array, grain: Any, loss: Any, extra: Any) -> Array:
        shape = length.shape
        square = 16.0 * R_DRY_AIR * warm[:, None] / (np.pi**2 * bore**4)
        reynolds = 4.0 / (np.pi * bore * sticky[:, None])
        parts = (square, length / bore, grain, loss, extra, reynolds)
        return np.ascontiguousarray(np.stack([np.broadcast_to(p, shape) for p in parts], axis=2), dtype=np.float64)

    hoses = columns(
        network.hose_length, network.hose_bore, places[pipes:].reshape(rows, -1), HOSE_ENDS, 0.0
    )  # fmt: skip
    hoses[network.hose_length <= 0.0] = 0.0
    flow, full = network.full_flow, network.full_pressure
    capped = np.array([network.uses[o.use].law == "regulated" for o in network.outlets])
    choked = network.conductance * REFERENCE_DENSITY * np.sqrt(REFERENCE_TEMPERATURE / warm[:, None])
    outlets = np.stack(
        [choked, network.critical_ratio, network.set_pressure, flow / full, np.where(capped, flow, np.inf),
         np.broadcast_to(network.barometer[:, None], flow.shape)], axis=2,
    )  # fmt: skip
    nodes = network.layout.nodes
    leaks = np.tile((network.leak / nodes)[:, None], (1, nodes))
    return {
        "laws": columns(network.length, network.bore, places[:pipes].astype(np.float64), network.loss, network.extra),
        "outlets": np.ascontiguousarray(outlets), "hoses": hoses, "roughs": roughs, "line": network.line,
        "leaks": leaks, "at_node": network.solved_node[[o.node for o in network.outlets]],
    }  # fmt: skip
