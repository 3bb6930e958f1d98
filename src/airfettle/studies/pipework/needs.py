"""Receiver pressures that give tools what they need, for every set of tools that runs: the network read backwards."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.compiled import jit
from airfettle.studies.pipework.kernel import solve_all
from airfettle.studies.pipework.laws import SLOPE, before_outlet, friction_fits
from airfettle.studies.pipework.network import Network, laws_of

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

STEADY = 1e30
"""Flow over pressure of a tool that is taken to draw its full flow at any pressure. [kg/(s Pa)]"""
HEAD = 1.3
"""Absolute receiver pressure at which falls are worked out, over that of cut-out. [-]"""
NEVER = 1e9
"""Receiver pressure that stands for one that cannot be reached, as past a regulator set too low. [Pa]"""


@dataclass(frozen=True)
class Needs:
    """Receiver pressures for sets of running tools.

    Attributes
    ----------
    full, needed : ndarray
        Absolute receiver pressure at which each use draws its full flow, and with which it works well, shape (sets,
        uses); of several of a use the one worst off counts. [Pa]
    """

    full: Array
    needed: Array


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
    All running tools draw their full flow; the fall of the pressure's square to each place is then the same at any
    receiver pressure, but for what speeding up takes, which is that at 1.3 times cut-out; leaks are those of mid-band.
    Valid: where some tool falls short, others draw a little less and need a little less than this.
    """
    given = laws_of(network)
    on = _places(network, order, counts)
    outlets = given["outlets"].copy()
    flow = network.full_flow[0]
    outlets[0, :, SLOPE], outlets[0, :, 4] = STEADY, flow
    sets, many = on.shape
    nodes, pipes = network.layout.nodes, len(network.lines)
    squares, flows = np.zeros((1, sets, nodes)), np.zeros((1, sets, pipes))
    inlets, draws, sweeps = np.zeros((1, sets, many)), np.zeros((1, sets, many)), np.zeros((1, sets), dtype=np.int64)
    fit = friction_fits(np.asarray(given["roughs"]))
    source = np.array([[HEAD * float(network.cut_out[0])]])
    leaks = given["leaks"] * (0.5 * (network.cut_in + network.cut_out) / source[:, 0])[:, None]
    jit(solve_all)(
        network.layout.arrays, fit, given["laws"], outlets, given["hoses"], given["at_node"], source, np.zeros(1),
        leaks, np.ascontiguousarray(on), squares, flows, inlets, draws, sweeps,
    )  # fmt: skip
    falls = float(source[0, 0]) ** 2 - squares[0][:, given["at_node"]]
    total = on @ flow
    found = []
    for wanted in (network.full_pressure[0], network.needed_pressure[0]):
        ends = np.array([
            before_outlet(float(flow[j]), float(wanted[j]), given["outlets"][0], given["hoses"][0], j, fit)
            for j in range(many)
        ])  # fmt: skip
        head = np.sqrt(np.minimum(ends, NEVER) ** 2 + falls)
        first = 0.5 * (head + np.sqrt(head**2 + 4.0 * float(network.line[0]) * total[:, None] ** 2))
        found.append(_of_uses(network, np.where(on > 0.0, np.minimum(first, NEVER), 0.0)))
    return Needs(*found)


def _places(network: Network, order: Whole, counts: Whole) -> Array:
    """Which places run where so many of each use do, shape (sets, outlets). [-]"""
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
