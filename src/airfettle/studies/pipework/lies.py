"""How the pipe lies: low points, water in it, how it grows with warmth, how often it is held, how long it takes to
empty.
"""  # fmt: skip

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.air.moist import dew_point
from airfettle.parts.check_valve import bleed_time
from airfettle.parts.pipe_stock import support_spacing
from airfettle.plant.lines import ShopPipe
from airfettle.plant.part import Q
from airfettle.plant.pipework import Drop
from airfettle.studies.draw import Draw
from airfettle.studies.instant.whole import instant
from airfettle.studies.meaning import answer, value
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.shop import ShopRun
from airfettle.studies.rating import default_frequencies

Array = NDArray[np.float64]
_PIPES = ("airfettle-pipes",)

COCK, COCK_COEFFICIENT, EMPTY = 0.006, 0.7, 5_000.0
"""Bore [m] and coefficient [-] of the cock that a run is emptied through, and gauge pressure that counts as empty [Pa].
Source: practice."""
LEVEL = 1e-3
"""Difference in height that counts as level. [m]"""


@dataclass(frozen=True)
class LowPoint:
    """A place from which water cannot run on.

    Attributes
    ----------
    place : str
        [text]
    drained : bool
        It has a drain, or a drop from below that ends in one, or is the receiver itself.
    level : bool
        The pipe lies level there rather than lower.
    """

    place: str
    drained: bool
    level: bool


@dataclass(frozen=True)
class RunLies:
    """One run, each number of shape (rows,). [SI]"""

    name: str
    pipe: str
    pieces: int
    supports: int
    coldest_told: bool
    length: Array = value("length", "length", "L")
    spacing: Array = value("most between two supports", "length", "s")
    volume: Array = answer("what it holds", "volume", "V", sources=("physics",), solved="area times length")
    grows: Array = answer("grows from the coldest to the warmest day", "length", "dL", sources=("physics",),
                          equation="length * expansion_rate * warming")  # fmt: skip
    expansion_rate: Array = value("growth for a degree", "number", "alpha")
    warming: Array = value("warmest air in it less coldest round it", "temperature_difference", "dT")
    empties: Array = answer("emptied through an open 6 mm cock in", "time", "t_e", sources=("airfettle-pipes",),
                            solved="choked flow, then ISO 6358's ellipse", note="from cut-out")  # fmt: skip
    coldest: Array = value("coldest round it", "temperature", "T_c")
    dew_point: Array = value("dew point of the air in it, full speed", "temperature", "T_d")
    dew_distance: Array = answer("coldest place over the dew point", "temperature_difference", "T_c - T_d",
                                 sources=_PIPES, equation="coldest - dew_point",
                                 note="below nothing water falls out in it")  # fmt: skip


def line_pressure(draw: Draw) -> Array:
    """Return the pressure the pipe can come under: cut-out, or the lowest relief setting on the receiver above it.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]

    Returns
    -------
    ndarray
        Absolute, axes (draw, 1, 1). [Pa]
    """
    control = draw.plant.control
    assert control is not None
    settings = [
        valve.set_pressure for valve in draw.plant.relief_valve
        if not valve.absent and valve.protects in ("receiver", "unknown") and valve.set_pressure is not None
    ]  # fmt: skip
    lowest = control.cut_out
    for place, setting in enumerate(settings):
        lowest = setting if place == 0 else np.asarray(np.minimum(lowest, setting))
    return np.asarray(np.maximum(control.cut_out, lowest))


def low_points(pipe: ShopPipe[Array], network: Network) -> tuple[LowPoint, ...] | None:
    """Return the places from which water cannot run on, or None where no heights are told.

    Notes
    -----
    From a place water runs to any neighbour that is lower, or that its run is told to fall to.  Places that none lower
    than themselves adjoin keep it; so does level pipe.
    """
    heights = network.positions[:, 2]
    ways: dict[int, list[int]] = {}
    falls_to = {run.name: run.falls_to for run in pipe.runs if run.falls_to}
    for line in (line for line in network.lines if line.run):
        ways.setdefault(line.start, []).append(line.end)
        ways.setdefault(line.end, []).append(line.start)
    if not falls_to and any(np.isnan(heights[n]) for n in ways):
        return None
    downhill = _towards(network, falls_to)
    drained = {network.nodes.index(name) for name in pipe.drains if name in network.nodes}
    drained |= {network.nodes.index(drop.at) for drop in pipe.drops if drains_main(pipe, drop)}
    found = []
    for n, beside in ways.items():
        known = [m for m in beside if not (np.isnan(heights[m]) or np.isnan(heights[n]))]
        lower = [m for m in known if heights[m] < heights[n] - LEVEL]
        if lower or n in downhill or n in network.sources:
            continue
        level = any(abs(heights[m] - heights[n]) <= LEVEL for m in known)
        found.append(LowPoint(network.nodes[n], n in drained, level))
    return tuple(found)


def drains_main(pipe: ShopPipe[Q], drop: Drop[Q]) -> bool:
    """Return whether a drop lets the main's water out: it ends in a drain, and leaves the main from below."""
    leaves = drop.leaves if drop.leaves != "unknown" else pipe.branches
    return drop.drain == "yes" and leaves == "from the bottom" and not drop.absent


def _towards(network: Network, falls_to: dict[str, str]) -> set[int]:
    """Places from which a run is told to fall on to another."""
    found = set()
    for name, end in falls_to.items():
        lines = [line for line in network.lines if line.run == name]
        places = [lines[0].start, *(line.end for line in lines)]
        found |= {n for n in places if network.nodes[n] != end}
    return found


def run_lies(run: ShopRun) -> tuple[RunLies, ...]:
    """Return how every run of a shop's pipe lies. [SI]"""
    network, pipe = run.network, run.draw.plant.shop_pipe
    assert pipe is not None
    damp, warm = line_air(run)
    found = []
    for one in (r for r in pipe.runs if not r.absent):
        ks = [k for k, line in enumerate(network.lines) if line.run == one.name]
        stock = one.stock
        length = network.length[:, ks].sum(axis=1)
        told = one.coldest if one.coldest is not None else pipe.coldest
        coldest = network.temperature if told is None else _rows(told, network.rows)
        spacing = support_spacing(stock)
        volume = 0.25 * np.pi * stock.bore**2 * length
        found.append(RunLies(
            name=one.name, pipe=stock.text, pieces=len(ks), supports=int(np.ceil(float(length[0]) / spacing)),
            coldest_told=told is not None,
            length=length, spacing=np.full(network.rows, spacing), volume=volume,
            grows=length * stock.expansion * (warm - coldest), expansion_rate=np.full(network.rows, stock.expansion),
            warming=warm - coldest, coldest=coldest, dew_point=damp, dew_distance=coldest - damp,
            empties=bleed_time(
                volume=volume, pressure_start=network.cut_out, pressure_end=network.barometer + EMPTY, bore=COCK,
                discharge_coefficient=COCK_COEFFICIENT, temperature=network.temperature,
                pressure_barometer=network.barometer,
            ),
        ))  # fmt: skip
    return tuple(found)


def line_air(run: ShopRun) -> tuple[Array, Array]:
    """Return dew point and temperature of the air behind the last part, full speed at cut-out. [K]"""
    full = default_frequencies(run.draw, run.numbers)[-1]
    state = instant(run.numbers, frequency=np.full((1, 1, 1), full), receiver_pressure=np.asarray(run.numbers.cut_out))
    ratio = _rows(state.path.line_humidity_ratio, run.network.rows)
    damp = dew_point(ratio, pressure=run.network.cut_out)
    return np.asarray(damp), _rows(state.path.line_temperature, run.network.rows)


def _rows(values: Array, rows: int) -> Array:
    return np.asarray(np.broadcast_to(np.ravel(values), (rows,)))
