"""What one change would help: each tried on the network, and ranked by what it gives the tool worst off."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.coupler import coupler_kinds, coupler_of
from airfettle.parts.fittings import turbulent_friction
from airfettle.parts.pipe_stock import Stock, larger
from airfettle.quantity import Units, read_span
from airfettle.quantity.kinds import INCH
from airfettle.studies.pipework.network import STEEL_ROUGHNESS, Line, Network
from airfettle.studies.pipework.shop import ShopRun
from airfettle.studies.pipework.solve import solve

Array = NDArray[np.float64]

ROWS = 256
"""Rows on which changes are tried. [-]"""
HOSE_BORES = {
    "US": {"1/4 in": 0.25 * INCH, "5/16 in": 0.3125 * INCH, "3/8 in": 0.375 * INCH, "1/2 in": 0.5 * INCH,
           "3/4 in": 0.75 * INCH, "1 in": INCH},
    "SI": {"6 mm": 0.006, "8 mm": 0.008, "10 mm": 0.010, "13 mm": 0.013, "19 mm": 0.019, "25 mm": 0.025},
}  # fmt: skip
"""Bores hoses are made in. [m]  Source: practice."""
RING_TEES = 150.0
"""Fittings of a pipe that closes a ring, over its bore: two tees to the side and an elbow. [-]  Source: crane."""
LEAST_GAIN = 100.0
"""Gain from which a change is worth a line. [Pa]"""


@dataclass(frozen=True)
class Change:
    """One change that was tried.

    Attributes
    ----------
    name : str
        What to do. [text]
    sort : str
        ``run``, ``drop``, ``ring``, ``coupler``, ``hose``, ``regulator`` or ``treatment``.
    gain : ndarray
        What the tool worst off gains, shape (rows,). [Pa]
    enough : float
        Share of the draw in which it then has enough. [-]
    every : float
        Share of the draw in which every running tool then has enough. [-]
    pipe : float
        Pipe that has to be put in new. [m]
    """

    name: str
    sort: str
    gain: Array = field(repr=False)
    enough: float
    every: float
    pipe: float = 0.0


@dataclass(frozen=True)
class Tried:
    """Changes by falling gain, and how things stand without any.

    Attributes
    ----------
    changes : tuple of Change
        The most helpful first.
    enough, every : float
        As they stand, see Change. [-]
    """

    changes: tuple[Change, ...]
    enough: float
    every: float


def tried(run: ShopRun) -> Tried:
    """Return single changes to a shop's pipe by what they give the tool worst off.

    Parameters
    ----------
    run : ShopRun
        The pipe worked out. [SI]

    Returns
    -------
    Tried
        [SI]
    """
    network = run.network.first(ROWS)
    receiver = run.receiver_pressure[: network.rows]
    before = _inlets(network, run.on, receiver)
    needed, running = network.needed_pressure, run.on > 0.0
    found = []
    for name, sort, other, pipe in _others(network, run):
        after = _inlets(other, run.on, receiver)
        enough = after >= needed
        found.append(Change(
            name, sort, after[:, run.worst] - before[:, run.worst], float(np.mean(enough[:, run.worst])),
            float(np.mean(np.all(enough[:, running], axis=1))), pipe,
        ))  # fmt: skip
    kept = [change for change in _best_ring(found) if float(np.median(change.gain)) >= LEAST_GAIN]
    now = before >= needed
    return Tried(
        tuple(sorted(kept, key=lambda change: -float(np.median(change.gain)))), float(np.mean(now[:, run.worst])),
        float(np.mean(np.all(now[:, running], axis=1))),
    )  # fmt: skip


def _inlets(network: Network, on: Array, receiver: Array) -> Array:
    return solve(network, on=on[None, :], receiver_pressure=receiver, whole=False).inlet[:, 0]


def _best_ring(found: list[Change]) -> list[Change]:
    """Keep the one pipe closing a ring that gives most for its length, and none that gives nothing."""
    rings = [change for change in found if change.sort == "ring"]
    if not rings:
        return found
    best = max(rings, key=lambda change: float(np.median(change.gain)) / (change.pipe + 1.0))
    return [change for change in found if change.sort != "ring" or change is best]


def _others(network: Network, run: ShopRun) -> list[tuple[str, str, Network, float]]:
    """Every network that differs by one change: what it is, its sort, itself, and new pipe. [m]"""
    found = []
    j = run.worst
    outlet = network.outlets[j]
    on_the_way = [k for k, line in enumerate(run.lines) if line.on_worst_way]
    for name in dict.fromkeys(network.lines[k].run for k in on_the_way if network.lines[k].run):
        pieces = {
            k: up for k, line in enumerate(network.lines)
            if line.run == name and not line.stock.refused and (up := larger(line.stock))
        }  # fmt: skip
        if pieces:
            to = next(iter(pieces.values()))
            length = float(sum(network.length[0, k] for k in pieces))
            found.append((f"run {name} in {to.text}", "run", network.with_stock(pieces), length))
    found += [
        (f"drop {network.lines[k].name} in {up.text}", "drop", network.with_stock({k: up}), float(network.length[0, k]))
        for k in on_the_way
        if not network.lines[k].run and not network.lines[k].stock.refused and (up := larger(network.lines[k].stock))
    ]  # fmt: skip
    found += [(*each, 0.0) for each in _ends(network, j, network.drops[outlet.drop], run.draw.plant.about.units)]
    if np.any(network.line > 0.0):
        found.append(("filters and dryer behind the receiver of twice the flow", "treatment",
                      replace(network, line=0.25 * network.line), 0.0))  # fmt: skip
    filtered = [k for k in on_the_way if np.any(network.extra[:, k] > 0.0)]
    for k in filtered:
        extra = network.extra.copy()
        extra[:, k] *= 0.25
        line = network.lines[k]
        where = f"run {line.run}" if line.run else f"drop {line.name}"
        found.append((f"a filter of twice the flow in {where}", "treatment", replace(network, extra=extra), 0.0))
    if any(network.lines[k].run for k in filtered):
        return found  # a pipe that closes a ring would lead air round the filter
    return found + _rings(network, outlet.drop)


def _ends(network: Network, j: int, drop: str, units: Units) -> list[tuple[str, str, Network]]:
    """Changes to what stands between the end of a drop and a tool."""
    found = []
    better = _better_coupler(float(np.median(network.conductance[:, j])))
    if better is not None and np.any(network.conductance[:, j] > 0.0):
        kind, factor = better
        new = network.conductance.copy()
        new[:, j] *= factor
        found.append((f"a {kind} coupler at {drop}", "coupler", replace(network, conductance=new)))
    length, bore = network.hose_length[:, j], network.hose_bore[:, j]
    if np.any(length > 0.0):
        half = network.hose_length.copy()
        half[:, j] = 0.5 * length
        found.append((f"half the hose at {drop}", "hose", replace(network, hose_length=half)))
        made = HOSE_BORES[units].items()
        name, wider = next(((name, each) for name, each in made if each > 1.1 * float(np.median(bore))), ("", 0.0))
        if name:
            bores = network.hose_bore.copy()
            bores[:, j] = np.maximum(wider, bore)
            found.append((f"a hose of {name} bore at {drop}", "hose", replace(network, hose_bore=bores)))
    if np.median(network.set_pressure[:, j] - network.needed_pressure[:, j]) < 0.0:  # set lower than the tool needs
        free = network.set_pressure.copy()
        free[:, j] = np.inf
        found.append((f"the regulator at {drop} opened", "regulator", replace(network, set_pressure=free)))
    return found


def _better_coupler(conductance: float) -> tuple[str, float] | None:
    """Return the next kind of coupler up and how much more it passes."""
    for kind in coupler_kinds():
        if kind == "none":
            continue
        span = read_span(coupler_of(kind).conductance_text, kind="flow_coefficient")
        middle = 0.0 if span is None else span.likely
        if middle > 1.15 * conductance:
            return kind, middle / conductance
    return None


def _rings(network: Network, drop: int) -> list[tuple[str, str, Network, float]]:
    """Pipes that would join a dead end to another place, where positions tell how far that is."""
    runs = [line for line in network.lines if line.run]
    places = {n for line in runs for n in (line.start, line.end)}
    beside: dict[int, set[int]] = {n: set() for n in places}
    for line in runs:
        beside[line.start].add(line.end)
        beside[line.end].add(line.start)
    at_drop = next(line.start for line in network.lines if not line.run and line.name == network.drops[drop])
    dead = {n for n in places if len(beside[n]) == 1 and n not in network.sources} | {at_drop}
    stock = next(line.stock for line in runs if at_drop in (line.start, line.end))
    if stock.refused:
        return []
    found = []
    for one in sorted(dead):
        for other in sorted(places - beside[one] - {one}):
            apart = np.nan_to_num(network.positions[other] - network.positions[one], nan=np.nan)
            flat = np.abs(apart[:2])
            length = float(np.sum(flat) + abs(np.nan_to_num(apart[2])))
            if np.isfinite(length) and length > 0.1:
                name = f"{length:.3g} m of {stock.text} from {network.nodes[one]} to {network.nodes[other]}"
                found.append((name, "ring", _with_line(network, one, other, length, stock), length))
    return found


def _with_line(network: Network, start: int, end: int, length: float, stock: Stock) -> Network:
    line = Line("new", "new", start, end, stock)
    rows = network.rows
    loss = float(turbulent_friction(np.array([stock.bore]), roughness=STEEL_ROUGHNESS)[0]) * RING_TEES
    return replace(
        network, lines=(*network.lines, line), length=np.column_stack([network.length, np.full(rows, length)]),
        extra=np.column_stack([network.extra, np.zeros(rows)]), loss=np.append(network.loss, loss),
        bore=np.append(network.bore, stock.bore), roughness=np.append(network.roughness, stock.roughness),
    )  # fmt: skip
