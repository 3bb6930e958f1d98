"""Receiver pressures that give tools what they need, for every set of tools that runs: the network read backwards."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.compiled import jit
from airfettle.studies.pipework.kernel import solve_all
from airfettle.studies.pipework.laws import CAP, OUTSIDE, SET, SLOPE, before_outlet, friction_fits, taken
from airfettle.studies.pipework.network import Network, laws_of

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

STEADY = 1e30
"""Flow over pressure of a tool that is taken to draw its full flow at any pressure. [kg/(s Pa)]"""
HEAD = 1.3
"""Absolute receiver pressure at which falls are worked out, over that of cut-out. [-]"""
REACHED = 1e7
"""Pressure from which none is worked out closer. [Pa]"""
NEVER = 1e9
"""Receiver pressure that stands for one that cannot be reached, as past a regulator set too low. [Pa]"""


@dataclass(frozen=True)
class Needs:
    """Receiver pressures for sets of running tools.

    Attributes
    ----------
    full, needed : ndarray
        Absolute receiver pressure at which each use draws all it ever does, and with which it works well, shape (sets,
        uses); of several of a use the one worst off counts. [Pa]
    flow : ndarray
        The most one of each use draws, mean of its places: less than its full flow where a regulator at the drop is
        set too low for that, shape (uses,). [kg/s]
    held : ndarray of bool
        Whether each use draws no more than that at any pressure, shape (uses,).
    """

    full: Array
    needed: Array
    flow: Array
    held: NDArray[np.bool_]


def receiver_needs(network: Network, *, order: Whole, counts: Whole) -> Needs:
    """Return the receiver pressures that sets of tools need.

    Parameters
    ----------
    network : Network
        One row of it. [SI]
    order : ndarray of int
        Places for tools, the worst off first: of several for one use these are taken first. [-]
    counts : ndarray of int
        How many of each use run, shape (sets, uses). [-]

    Returns
    -------
    Needs
        [SI]

    Notes
    -----
    All running tools draw their full flow, or what the regulator at their drop leaves them; the fall of the pressure's
    square to each place is then the same at any receiver pressure, but for what speeding up takes. That is worked out
    at 1.3 times cut-out first, then at what this gives the tool worst off of each set; leaks are those of mid-band.
    Valid: where some tool falls short, others draw a little less and need
    a little less than this.
    """
    given = laws_of(network)
    on = places_running(network, order, counts)
    outlet, hose = given["outlets"][0], given["hoses"][0]
    fit = friction_fits(np.asarray(given["roughs"]))
    most, full_ends = _most(network, outlet, hose, fit)
    outlets = given["outlets"].copy()
    outlets[0, :, SLOPE], outlets[0, :, CAP], outlets[0, :, OUTSIDE] = STEADY, most, 0.0
    many = on.shape[1]
    given["outlets"] = outlets

    def falls_at(pressure: float, some: Array) -> Array:
        return _falls(network, given, fit, some, at=pressure)

    falls = falls_at(HEAD * float(network.cut_out[0]), on)
    total = on @ most
    needed_ends = np.array([
        before_outlet(float(most[j]), float(network.needed_pressure[0, j]), outlet, hose, j, fit) for j in range(many)
    ])  # fmt: skip
    found = []
    for ends in (full_ends, needed_ends):
        head = np.sqrt(np.minimum(ends, NEVER) ** 2 + falls)
        head = np.sqrt(np.minimum(ends, NEVER) ** 2 + _closer(on, head=head, falls=falls, falls_at=falls_at))
        first = 0.5 * (head + np.sqrt(head**2 + 4.0 * float(network.line[0]) * total[:, None] ** 2))
        found.append(_of_uses(network, np.where(on > 0.0, np.minimum(first, NEVER), 0.0)))
    use = np.array([o.use for o in network.outlets])
    mean = np.array([most[use == u].mean() for u in range(len(network.uses))])
    held = np.isfinite(outlet[:, CAP]) | np.isfinite(outlet[:, SET])
    return Needs(found[0], found[1], mean, np.array([bool(held[use == u].all()) for u in range(len(network.uses))]))


def _falls(network: Network, given: dict[str, Any], fit: Array, on: Array, *, at: float) -> Array:
    """Fall of the pressure's square from where the pipe begins, at a pressure there, to each place. [Pa2]"""
    sets, many = on.shape
    nodes, pipes = network.layout.nodes, len(network.lines)
    squares, flows = np.zeros((1, sets, nodes)), np.zeros((1, sets, pipes))
    inlets, draws, sweeps = np.zeros((1, sets, many)), np.zeros((1, sets, many)), np.zeros((1, sets), dtype=np.int64)
    source = np.array([[at]])
    leaks = given["leaks"] * (0.5 * (network.cut_in + network.cut_out) / source[:, 0])[:, None]
    jit(solve_all)(
        network.layout.arrays, fit, given["laws"], given["outlets"], given["hoses"], given["at_node"], source,
        np.zeros(1), leaks, np.ascontiguousarray(on), squares, flows, inlets, draws, sweeps,
    )  # fmt: skip
    return np.asarray(at**2 - squares[0][:, given["at_node"]])


def _closer(on: Array, *, head: Array, falls: Array, falls_at: Callable[[float, Array], Array]) -> Array:
    """Falls with what speeding up takes at the pressure of the tool worst off of each set, where that is one. [Pa2]"""
    worst = np.where(on > 0.0, head, 0.0).max(axis=1)
    found = falls.copy()
    for place, at in enumerate(worst):
        if 0.0 < at < REACHED:
            found[place] = falls_at(float(at), on[place : place + 1])[0]
    return found


def _most(network: Network, outlet: Array, hose: Array, fit: Array) -> tuple[Array, Array]:
    """What each place draws at most, and the pressure at the end of its drop from which it does. [kg/s] [Pa]"""
    flow, ends = network.full_flow[0].copy(), np.zeros(len(network.outlets))
    for j in range(len(flow)):
        ends[j] = before_outlet(float(flow[j]), float(network.full_pressure[0, j]), outlet, hose, j, fit)
        setting = float(outlet[j, SET])
        if np.isfinite(setting) and (not np.isfinite(ends[j]) or not np.isfinite(outlet[j, CAP])):
            flow[j], _ = taken(setting, outlet, hose, j, fit, 0.0)
            ends[j] = setting
    return flow, ends


def places_running(network: Network, order: Whole, counts: Whole) -> Array:
    """Return which places run where so many of each use do, shape (sets, outlets). [-]"""
    on = np.zeros((len(counts), len(network.outlets)))
    for use in range(counts.shape[1]):
        own = [j for j in order if network.outlets[j].use == use]
        for rank, j in enumerate(own):
            on[:, j] = counts[:, use] > rank
    return on


def _of_uses(network: Network, values: Array) -> Array:
    """Highest of the places of each use, shape (sets, uses)."""
    use = np.array([o.use for o in network.outlets])
    return np.stack([values[:, use == u].max(axis=1) for u in range(len(network.uses))], axis=1)
