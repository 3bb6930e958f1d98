"""The node form: for networks of more loops than Newton's method round them is good for. Decision 16.

Pressures at the nodes and flows in the pipes are stepped together: each step is one symmetric sparse system in the
squares of the pressures, after which mass is kept exactly.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import UnsuitableNumbers
from airfettle.studies.compiled import jit
from airfettle.studies.pipework.kernel import LEAST_SQUARE, PRECISION, SWEEPS, all_pipes, all_tools, pulled
from airfettle.studies.pipework.laws import CAP, SLOPE
from airfettle.studies.pipework.layout import Layout

Array = NDArray[np.float64]
MOST_LOOPS = 24
"""Loops up to which the loop form is used. [-]"""
STEPS, STEP_PRECISION = 100, 1e-10
"""Most steps, and the largest change of a flow or square over the whole after which they end. [-]"""


def solve_nodes(
    layout: Layout, *, fit: Array, given: dict[str, Any], row: int, sources: Array, on: Array
) -> tuple[Array, Array, Array, Array, int]:
    """Return the squares of node pressures, flows, inlet pressures and what tools take, for one row and demand.

    Parameters
    ----------
    layout : Layout
        How it hangs together. [-]
    fit : ndarray
        See ``laws.friction_fits``. [-]
    given : dict
        See ``network.laws_of``. [SI]
    row : int
        Which row. [-]
    sources : ndarray
        Absolute pressures, shape (sources,). [Pa]
    on : ndarray
        1 where a tool runs, shape (outlets,). [-]

    Returns
    -------
    tuple
        [Pa2] [kg/s] [Pa] [kg/s], and the sweeps taken [-].

    Notes
    -----
    Todini and Pilati's gradient method: q = q0 + (dP - phi)/phi', and mass at every node, give A D^-1 A^T P = b.

    References
    ----------
    [todini-pilati]
    """
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import splu

    law, outlet, hose = given["laws"][row], given["outlets"][row], given["hoses"][row]
    at, leak, line = given["at_node"], given["leaks"][row], float(given["line"][row])
    start, end, fixed = layout.start, layout.end, layout.sources
    free = np.setdiff1d(np.arange(layout.nodes), fixed)
    place = np.full(layout.nodes, -1)
    place[free] = np.arange(len(free))
    pipes, slopes = jit(all_pipes), np.empty(len(start))
    fall, spread = np.empty(len(start)), np.zeros(len(start))
    draw = np.where(on > 0.0, np.minimum(outlet[:, CAP], outlet[:, SLOPE] * sources[0]), 0.0)
    pull, before, stride = np.zeros(len(on)), np.zeros(len(on)), 1.0
    inlet, flow = np.zeros(len(on)), np.full(len(start), 1e-4)
    square = np.full(layout.nodes, float(sources[0]) ** 2)
    for sweep in range(1, SWEEPS + 1):
        demand = leak * sources[0]
        np.add.at(demand, at, draw)
        total = float(demand.sum())
        first = sources[0] - line * total**2 / sources[0]
        square[fixed] = np.square(np.concatenate([[max(first, 1.0)], sources[1:]]))
        for _ in range(STEPS):
            pipes(flow, law, spread, fit, fall, slopes)
            weight = 1.0 / slopes
            offset = flow - fall * weight
            right = -demand.copy()
            np.add.at(right, end, offset)
            np.add.at(right, start, -offset)
            rows, columns, values = [], [], []
            for a, b in ((start, end), (end, start)):
                inside = (place[a] >= 0) & (place[b] >= 0)
                rows += [place[a][inside]]
                columns += [place[b][inside]]
                values += [-weight[inside]]
                own = place[a] >= 0
                rows += [place[a][own]]
                columns += [place[a][own]]
                values += [weight[own]]
                known = own & (place[b] < 0)
                np.add.at(right, a[known], weight[known] * square[b[known]])
            matrix = coo_matrix(
                (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(len(free),) * 2
            )
            before = square.copy()
            square[free] = splu(matrix.tocsc()).solve(right[free])
            new = offset + weight * (square[start] - square[end])
            moved = float(np.max(np.abs(new - flow)))
            flow = new
            safe = np.maximum(square, LEAST_SQUARE)
            spread = np.abs(np.log(safe[start] / safe[end]))
            settled = float(np.max(np.abs(square - before))) <= STEP_PRECISION * float(square[fixed[0]])
            if settled and moved <= STEP_PRECISION * max(total, 1e-12):
                break
        else:
            raise UnsuitableNumbers(read="a network whose flows do not settle", wanted="pipes of some length and bore")
        moved = jit(all_tools)(square, at, outlet, hose, fit, on, float(square[fixed[0]]), inlet, draw, pull)
        if moved <= PRECISION * max(total, 1e-12):
            return np.maximum(square, LEAST_SQUARE), flow, inlet, draw, sweep
        stride = float(jit(pulled)(draw, pull, before, stride, sweep))
    return np.maximum(square, LEAST_SQUARE), flow, inlet, draw, SWEEPS + 1
