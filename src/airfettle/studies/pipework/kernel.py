"""The loop form: flows of a whole network for many rows and demands, compiled. Decision 16 states the equations.

The network is a tree from where the air comes in, and one loop for each pipe that is left over (and for each further
source). Flows of the tree follow from the demand, flows round the loops from Newton's method on the falls round them.
"""

from __future__ import annotations

from math import sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.compiled import inlined
from airfettle.studies.pipework.laws import CAP, SET, SETTLED, SLOPE, SQUARE, pipe, spread_of, taken

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

PRECISION, LOOPS_PRECISION = 1e-11, 1e-9
"""Of tools' flows and pressures from sweep to sweep, and of falls round loops, over their size. [-]"""
SWEEPS, STEPS = 100, 60
"""Most sweeps and steps of Newton's method. [-]"""
LEAST_SHARE = 0.1
"""Share of a tool's flow that is left at least from one sweep to the next. [-]"""
NEARER = 0.02
"""How near a tool's next flow is found, over how far off it was. [-]"""
LEAST_SQUARE = 1.0
"""Square of a pressure below which a pipe counts as empty; what is asked of it may take it below nothing. [Pa2]"""


def solve_all(
    tree: Any, fit: Array, laws: Array, outlets: Array, hoses: Array, at_node: Whole, sources: Array, line: Array,
    leaks: Array, on: Array, squares: Array, flows: Array, inlets: Array, draws: Array, sweeps: Whole,
) -> None:  # fmt: skip
    """Fill in the pressures and flows of every row and demand.

    Parameters
    ----------
    tree : tuple of ndarray
        See ``layout.Layout.arrays``. [-]
    fit : ndarray
        Friction, see ``laws.friction_fits``. [-]
    laws, outlets, hoses : ndarray
        Columns of ``laws`` for each row: (rows, pipes, 6), (rows, outlets, 6), (rows, outlets, 6). [SI]
    at_node : ndarray of int
        Node at which an outlet hangs. [-]
    sources : ndarray
        Absolute pressures of the sources, shape (rows, sources). [Pa]
    line : ndarray
        Drop before the first source times pressure over the square of all flow, shape (rows,). [Pa2 s2/kg2]
    leaks : ndarray
        Flow out of nodes over the first source's pressure, shape (rows, nodes). [kg/(s Pa)]
    on : ndarray
        How many run at an outlet, 0 or 1, shape (demands, outlets). [-]
    squares, flows : ndarray
        Filled in: squares of node pressures, shape (rows, demands, nodes), and flows of pipes, (rows, demands,
        pipes); of length 0 along the second axis to leave them out. [Pa2] [kg/s]
    inlets, draws : ndarray
        Filled in: pressure at each tool's inlet, running or not, and what it takes, (rows, demands, outlets). [Pa]
    sweeps : ndarray of int
        Most sweeps for each case, 0 for the usual number; filled in with those taken, (rows, demands). [-]
    """
    nodes, pipes, many = leaks.shape[1], laws.shape[1], on.shape[1]
    loops = tree[7].shape[0]
    square, demand, carry = np.zeros(nodes), np.zeros(nodes), np.zeros(nodes)
    flow, fall, steep, spread = np.zeros(pipes), np.zeros(pipes), np.zeros(pipes), np.zeros(pipes)
    round_flow, residual, jacobian = np.zeros(loops), np.zeros(loops), np.zeros((loops, loops))
    keep = squares.shape[1] > 0
    for row in range(laws.shape[0]):
        law, outlet, hose = laws[row], outlets[row], hoses[row]
        for case in range(on.shape[0]):
            there, draw = inlets[row, case], draws[row, case]
            most = sweeps[row, case] if sweeps[row, case] > 0 else SWEEPS
            sweeps[row, case] = solve_one(
                tree, law, outlet, hose, at_node, sources[row], line[row], leaks[row], on[case], square, demand, carry,
                flow, fall, steep, spread, fit, round_flow, residual, jacobian, there, draw, most,
            )  # fmt: skip
            for j in range(many):
                if on[case, j] == 0.0:
                    there[j] = min(sqrt(max(square[at_node[j]], 0.0)), outlet[j, SET])
            if keep:
                for n in range(nodes):
                    squares[row, case, n] = max(square[n], LEAST_SQUARE)
                for k in range(pipes):
                    flows[row, case, k] = flow[k]


def solve_one(
    tree: Any, law: Array, outlet: Array, hose: Array, at_node: Whole, source: Array, line: float, leak: Array,
    on: Array, square: Array, demand: Array, carry: Array, flow: Array, fall: Array, steep: Array, spread: Array,
    fit: Array, round_flow: Array, residual: Array, jacobian: Array, there: Array, draw: Array, most: int,
) -> int:  # fmt: skip
    """Solve one demand of one row; the rest is working space that keeps the last solution. Return the sweeps taken."""
    order, parent, above, sign, in_loop = tree[0], tree[1], tree[2], tree[3], tree[5]
    root, many = order[0], on.shape[0]
    for j in range(many):
        draw[j] = 0.0
        if on[j] > 0.0:
            draw[j] = min(outlet[j, CAP], outlet[j, SLOPE] * source[0])
    pull, before, stride = np.zeros(many), np.zeros(many), 1.0
    for sweep in range(1, most + 1):
        total = 0.0
        for n in range(demand.shape[0]):
            demand[n] = leak[n] * source[0]
            total += demand[n]
        for j in range(many):
            demand[at_node[j]] += draw[j]
            total += draw[j]
        first = source[0] - line * total * total / source[0]
        square[root] = first * first if first > 0.0 else LEAST_SQUARE
        round_loops(tree, law, source, demand, carry, flow, fall, steep, spread, fit, square, round_flow, residual,
                    jacobian)  # fmt: skip
        for i in range(1, order.shape[0]):
            n = order[i]
            k = above[n]
            if in_loop[k] == 0:
                square[n] = behind(flow[k], square[parent[n]], sign[n], law, k, fit)
            else:
                square[n] = square[parent[n]] - sign[n] * fall[k]
        moved = all_tools(square, at_node, outlet, hose, fit, on, square[root], there, draw, pull)
        if moved <= PRECISION * total:
            return sweep
        stride = pulled(draw, pull, before, stride, sweep)
    return most + 1


def all_tools(
    square: Array, at_node: Whole, outlet: Array, hose: Array, fit: Array, on: Array, head: float, there: Array,
    draw: Array, pull: Array,
) -> float:  # fmt: skip
    """Fill in where the running tools' flows go at these pressures; return the most that any of them was off.

    A tool that falls short takes less the lower its pressure, which lifts it again: its next flow is the one it would
    take if the fall on its way went with the square of it.
    """
    moved = 0.0
    for j in range(on.shape[0]):
        pull[j] = 0.0
        if on[j] == 0.0:
            continue
        at, new = square[at_node[j]], 0.0
        there[j] = 0.0
        if at > LEAST_SQUARE:
            new, there[j] = taken(sqrt(at), outlet, hose, j, fit, draw[j])
        off = abs(new - draw[j])
        moved = max(moved, off)
        if off > 0.0:
            way = (head - at) / max(draw[j] * draw[j], 1e-300)
            pull[j] = shared(head, way, outlet, hose, j, fit, new, NEARER * off) - draw[j]
    return moved


def pulled(draw: Array, pull: Array, before: Array, stride: float, sweep: int) -> float:
    """Move tools' flows by their pulls; return the stride, which follows Aitken's rule sweep by sweep. [-]"""
    if sweep > 1:
        along, size = 0.0, 0.0
        for j in range(draw.shape[0]):
            change = pull[j] - before[j]
            along += before[j] * change
            size += change * change
        if size > 0.0:
            stride = min(max(-stride * along / size, 0.3), 6.0)
    for j in range(draw.shape[0]):
        before[j] = pull[j]
        draw[j] = max(draw[j] + stride * pull[j], LEAST_SHARE * draw[j])
    return stride


def shared(head: float, way: float, outlet: Array, hose: Array, k: int, fit: Array, guess: float, near: float) -> float:
    """Return about what a tool takes behind a way whose fall goes with the square of the flow, by secants."""
    low, high = 0.0, min(outlet[k, CAP], outlet[k, SLOPE] * min(sqrt(head), outlet[k, SET]))
    if way > 0.0:
        high = min(high, sqrt(head / way))
    at, below, above, side = guess, high, -high, 0
    for _ in range(60):
        if not low < at < high:
            at = 0.5 * (low + high)
        left = head - way * at * at
        new = 0.0
        if left > LEAST_SQUARE:
            new, _ = taken(sqrt(left), outlet, hose, k, fit, at)
        off = new - at
        if abs(off) <= near or high - low <= 1e-14 * high:
            break
        if off > 0.0:
            low, below = at, off
            if side > 0:
                above *= 0.5
            side = 1
        else:
            high, above = at, off
            if side < 0:
                below *= 0.5
            side = -1
        at = (low * above - high * below) / (above - below)
    return at


def all_pipes(flow: Array, law: Array, spread: Array, fit: Array, fall: Array, steep: Array) -> None:
    """Fill in the falls of all pipes and their slopes."""
    for k in range(flow.shape[0]):
        fall[k], steep[k] = pipe(flow[k], law, k, spread[k], fit)


@inlined
def behind(flow: float, before: float, sign: int, law: Array, k: int, fit: Array) -> float:
    """Return the square of the pressure at the far end of a pipe outside all loops. [Pa2]"""
    if flow == 0.0:
        return before
    rubbed, _ = pipe(flow, law, k, 0.0, fit)
    speeding, spread, now = law[k, SQUARE] * flow * abs(flow), 0.0, before
    for _ in range(40):
        now = before - sign * (rubbed + speeding * spread)
        after = spread_of(before, now)
        if abs(after - spread) <= SETTLED:
            break
        spread = after
    return now


def round_loops(
    tree: Any, law: Array, source: Array, demand: Array, carry: Array, flow: Array, fall: Array, steep: Array,
    spread: Array, fit: Array, square: Array, round_flow: Array, residual: Array, jacobian: Array,
) -> None:  # fmt: skip
    """Find the flow round every loop with which the falls along it cancel, by Newton's method.

    Friction and speeding up are taken one step further at each turn, so that all of it settles together.
    """
    tree_flows(tree, demand, carry, flow, round_flow)
    loops = round_flow.shape[0]
    if loops == 0:
        return
    step = np.empty(loops)
    size = falls(tree, law, source, flow, fall, steep, spread, fit, square, residual)
    for _ in range(STEPS):
        if size <= LOOPS_PRECISION:
            return
        slopes(tree, steep, jacobian)
        if loops == 1:
            residual[0] /= jacobian[0, 0]
        else:
            cholesky(jacobian, residual)
        share = 1.0
        for k in range(loops):
            step[k] = residual[k]
            round_flow[k] -= step[k]
        for halving in range(12):
            tree_flows(tree, demand, carry, flow, round_flow)
            after = falls(tree, law, source, flow, fall, steep, spread, fit, square, residual)
            if after < 2.0 * size or after <= LOOPS_PRECISION or halving == 11:
                size = after
                break
            share *= 0.5
            for k in range(loops):
                round_flow[k] += share * step[k]


def tree_flows(tree: Any, demand: Array, carry: Array, flow: Array, round_flow: Array) -> None:
    """Fill in all flows from the demand at the nodes and the flows round the loops."""
    order, parent, above, sign, chords, ends = tree[0], tree[1], tree[2], tree[3], tree[6], tree[7]
    for n in range(demand.shape[0]):
        carry[n] = demand[n]
    for c in range(round_flow.shape[0]):
        k = chords[c]
        carry[ends[c, 0]] += round_flow[c]
        if k >= 0:
            carry[ends[c, 1]] -= round_flow[c]
            flow[k] = round_flow[c]
    for i in range(order.shape[0] - 1, 0, -1):
        n = order[i]
        flow[above[n]] = sign[n] * carry[n]
        carry[parent[n]] += carry[n]


def falls(
    tree: Any, law: Array, source: Array, flow: Array, fall: Array, steep: Array, spread: Array, fit: Array,
    square: Array, residual: Array,
) -> float:  # fmt: skip
    """Fill in what is left of the falls round each loop; return the largest of it over the falls themselves. [-]"""
    looped, first, along, signs, chords, sources = tree[8], tree[9], tree[10], tree[11], tree[6], tree[14]
    outward, parent, above, sign, starts, ends = tree[18], tree[1], tree[2], tree[3], tree[12], tree[13]
    for i in range(looped.shape[0]):
        k = looped[i]
        fall[k], steep[k] = pipe(flow[k], law, k, spread[k], fit)
    for i in range(outward.shape[0]):  # pressures of the nodes on loops, for what speeding up takes
        n = outward[i]
        k = above[n]
        before = square[parent[n]]
        square[n] = before - sign[n] * fall[k]
        spread[k] = spread_of(before, square[n])
    worst = 0.0
    for c in range(residual.shape[0]):
        left, size = 0.0, 1e-300
        for i in range(first[c], first[c + 1]):
            part = signs[i] * fall[along[i]]
            left += part
            size += abs(part)
        if chords[c] < 0:  # another source: the fall from the first to it has to be the difference of both
            other = source[sources[c]]
            gap = square[tree[0][0]] - other * other
            left -= gap
            size += abs(gap)
        else:
            spread[chords[c]] = spread_of(square[starts[chords[c]]], square[ends[chords[c]]])
        residual[c] = left
        worst = max(worst, abs(left) / size)
    return worst


def slopes(tree: Any, steep: Array, jacobian: Array) -> None:
    """Fill in how the falls round the loops change with the flows round them. [Pa2 s/kg]"""
    looped, member_first, member, member_sign = tree[8], tree[15], tree[16], tree[17]
    loops = jacobian.shape[0]
    for a in range(loops):
        for b in range(loops):
            jacobian[a, b] = 0.0
    for i in range(looped.shape[0]):
        slope = steep[looped[i]]
        for a in range(member_first[i], member_first[i + 1]):
            for b in range(member_first[i], member_first[i + 1]):
                jacobian[member[a], member[b]] += slope * member_sign[a] * member_sign[b]


def cholesky(matrix: Array, right: Array) -> None:
    """Solve a symmetric positive system in place."""
    size = right.shape[0]
    for j in range(size):
        for k in range(j):
            matrix[j, j] -= matrix[j, k] * matrix[j, k]
        matrix[j, j] = sqrt(matrix[j, j])
        for i in range(j + 1, size):
            for k in range(j):
                matrix[i, j] -= matrix[i, k] * matrix[j, k]
            matrix[i, j] /= matrix[j, j]
    for i in range(size):
        for k in range(i):
            right[i] -= matrix[i, k] * right[k]
        right[i] /= matrix[i, i]
    for i in range(size - 1, -1, -1):
        for k in range(i + 1, size):
            right[i] -= matrix[k, i] * right[k]
        right[i] /= matrix[i, i]
