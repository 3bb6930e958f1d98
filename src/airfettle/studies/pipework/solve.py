"""Pressures and flows of a network, for every row and every set of running tools."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.compiled import jit
from airfettle.studies.pipework.kernel import SWEEPS, solve_all
from airfettle.studies.pipework.laws import SET, friction_fits
from airfettle.studies.pipework.network import Network, laws_of
from airfettle.studies.pipework.nodal import MOST_LOOPS, solve_nodes

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Solved:
    """A network solved; cases are sets of running tools.

    Attributes
    ----------
    inlet : ndarray
        Absolute pressure at each tool's inlet, of one that stands that of its hose, shape (rows, cases, outlets). [Pa]
    draw : ndarray
        What each takes, shape (rows, cases, outlets). [kg/s]
    pressure : ndarray
        Absolute, at the nodes, shape (rows, cases, nodes); of no cases where it was not asked for. [Pa]
    flow : ndarray
        In the pipes, from start to end, shape (rows, cases, pipes); of no cases where it was not asked for. [kg/s]
    came_to_rest : ndarray of bool
        Whether each case did, shape (rows, cases).
    """

    inlet: Array
    draw: Array
    pressure: Array
    flow: Array
    came_to_rest: NDArray[np.bool_]

    @property
    def settled(self) -> bool:
        """Whether every case came to rest."""
        return bool(np.all(self.came_to_rest))


def solve(network: Network, *, on: Array, receiver_pressure: Array, whole: bool = True, most: int = SWEEPS) -> Solved:
    """Return the pressures and flows of a network.

    Parameters
    ----------
    network : Network
        [SI]
    on : ndarray
        1 where a tool runs, shape (cases, outlets). [-]
    receiver_pressure : ndarray
        Absolute, shape (rows,). [Pa]
    whole : bool
        Keep the pressures at all nodes and the flows in all pipes.
    most : int
        Sweeps after which a case is left as it is, not settled. [-]

    Returns
    -------
    Solved
        [SI]

    Notes
    -----
    p1^2 - p2^2 = 16 R T/(pi^2 D^4) m|m| (f L/D + K + 2 ln(p1/p2)); mass kept exactly at every node; falls round every
    loop cancel to 1e-9 of their size.  Valid: air at one temperature, that of the room; its water not counted.

    References
    ----------
    [crane]; [colebrook]; [iso-6358]; [airfettle-pipes]
    """
    given = laws_of(network)
    rows, cases, outlets = network.rows, len(on), len(network.outlets)
    kept = cases if whole else 0
    nodes, pipes = network.layout.nodes, len(network.lines)
    squares, flows = np.zeros((rows, kept, nodes)), np.zeros((rows, kept, pipes))
    inlets, draws = np.zeros((rows, cases, outlets)), np.zeros((rows, cases, outlets))
    sweeps = np.full((rows, cases), most, dtype=np.int64)
    sources = np.ascontiguousarray(np.broadcast_to(receiver_pressure, (rows,))[:, None])
    fit = _fits(tuple(given["roughs"]))
    if network.layout.loops > MOST_LOOPS:
        for row in range(rows):
            for case in range(cases):
                square, flow, inlets[row, case], draws[row, case], sweeps[row, case] = solve_nodes(
                    network.layout, fit=fit, given=given, row=row, sources=sources[row], on=on[case]
                )
                inlets[row, case] = np.where(
                    on[case] > 0.0, inlets[row, case],
                    np.minimum(np.sqrt(square[given["at_node"]]), given["outlets"][row, :, SET]),
                )  # fmt: skip
                if whole:
                    squares[row, case], flows[row, case] = square, flow
        pressure = np.sqrt(squares)[:, :, network.solved_node]
        return Solved(inlets, draws, pressure, flows, sweeps <= most)
    jit(solve_all)(
        network.layout.arrays, fit, given["laws"], given["outlets"], given["hoses"],
        given["at_node"], sources, given["line"], given["leaks"], np.ascontiguousarray(on, dtype=np.float64), squares,
        flows, inlets, draws, sweeps,
    )  # fmt: skip
    pressure = np.sqrt(squares)[:, :, network.solved_node]
    return Solved(inlets, draws, pressure, flows, sweeps <= most)


@cache
def _fits(roughs: tuple[float, ...]) -> Array:
    return friction_fits(np.array(roughs))
