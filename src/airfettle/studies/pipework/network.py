"""The shop's pipe of a drawn plant as a network with numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import R_DRY_AIR
from airfettle.air.nozzle import REFERENCE_DENSITY, REFERENCE_TEMPERATURE
from airfettle.air.pipe_flow import viscosity
from airfettle.parts.fittings import turbulent_friction
from airfettle.parts.pipe_stock import Stock
from airfettle.quantity.clock import WEEK
from airfettle.studies.day.demand import UseNumbers
from airfettle.studies.pipework.layout import Layout, layout_of

Array = NDArray[np.float64]

STEEL_ROUGHNESS = 4.5e-5
"""Roughness of the steel pipe for which fittings' lengths over bore are stated. [m]  Source: crane."""
HOSE_ROUGHNESS, HOSE_ENDS = 1.0e-5, 1.5
"""Roughness of a rubber hose [m], and loss of its two ends in velocity heads [-].  Source: practice."""


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
        return self if rows >= self.rows else self._rows(lambda values: values[:rows])

    def only(self, row: int) -> Network:
        """Return one row of it by itself."""
        return self._rows(lambda values: values[row : row + 1])

    def repeated(self, times: int) -> Network:
        """Return it with its one row so many times."""
        return self._rows(lambda values: np.repeat(values, times, axis=0))

    def _rows(self, pick: Callable[[Array], Array]) -> Network:
        own: dict[str, Any] = {name: pick(getattr(self, name)) for name in BY_ROW}
        uses = []
        for use in self.uses:
            some: dict[str, Any] = {n: pick(getattr(use, n)) for n in USE_BY_ROW if getattr(use, n) is not None}
            uses.append(replace(use, **some))
        return replace(self, uses=tuple(uses), **own)

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
