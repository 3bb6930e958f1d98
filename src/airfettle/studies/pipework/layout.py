"""How a network hangs together: a tree from where the air comes in, and the loops that are left over."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import UnsuitableNumbers

Array = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Layout:
    """A network's nodes and pipes without sizes.

    Attributes
    ----------
    nodes : int
        How many. [-]
    start, end : ndarray of int
        Node at each end of a pipe; a flow from start to end counts as positive. [-]
    sources : ndarray of int
        Nodes whose pressure is given. [-]
    chords : ndarray of int
        Pipe left over from the tree for each loop, -1 for each source after the first. [-]
    arrays : tuple of ndarray
        The same for the compiled loops: nodes from the first source on, each one's parent, pipe to it and that pipe's
        direction, whether a node is a source, whether a pipe is in a loop or leads to one, pipe closing each loop, its
        two ends, pipes in or leading to loops, each loop's pipes with their direction, all pipes' starts and ends,
        source of each loop, the loops each of those pipes is in with its direction, and the nodes behind them. [-]
    """

    nodes: int
    start: Whole
    end: Whole
    sources: Whole
    chords: Whole
    arrays: tuple[NDArray[np.int64], ...]

    @property
    def loops(self) -> int:
        """Number of loops, further sources counted. [-]"""
        return len(self.chords)


def layout_of(nodes: int, *, start: Whole, end: Whole, sources: Whole, weight: Array) -> Layout:
    """Return the tree of least weight and its loops.

    Parameters
    ----------
    nodes : int
        How many. [-]
    start, end : ndarray of int
        Ends of each pipe. [-]
    sources : ndarray of int
        Nodes whose pressure is given, at least one. [-]
    weight : ndarray
        Resistance of each pipe; where they make a loop the greatest is left out of the tree. [-]

    Returns
    -------
    Layout
        [-]

    Raises
    ------
    UnsuitableNumbers
        Some node is joined to no source's pipes, or a pipe ends where it begins.
    """
    if np.any(start == end):
        raise UnsuitableNumbers(read=f"pipe {int(np.argmax(start == end))} ends where it begins", wanted="two nodes")
    chosen = _least_tree(nodes, start, end, weight)
    order, parent, above, sign = _ordered(nodes, start, end, int(sources[0]), chosen)
    if len(order) < nodes:
        raise UnsuitableNumbers(read=f"{nodes - len(order)} nodes that no pipe joins to the source",
                                wanted="one network")  # fmt: skip
    chords = np.concatenate([np.flatnonzero(~chosen), np.full(len(sources) - 1, -1)]).astype(np.int64)
    extra = np.concatenate([np.zeros(int(np.sum(~chosen))), np.arange(1, len(sources))]).astype(np.int64)
    paths = [_round(c, int(sources[s]), start, end, parent, above, sign) for c, s in zip(chords, extra, strict=True)]
    first = np.concatenate([[0], np.cumsum([len(p) for p in paths])]).astype(np.int64)
    along = np.array([k for p in paths for k, _ in p], dtype=np.int64)
    signs = np.array([s for p in paths for _, s in p], dtype=np.int64)
    looped = np.unique(along)
    ends = np.array([
        (start[c], end[c]) if c >= 0 else (sources[s], sources[0]) for c, s in zip(chords, extra, strict=True)
    ], dtype=np.int64).reshape(-1, 2)  # fmt: skip
    loop_of = np.repeat(np.arange(len(paths)), np.diff(first)).astype(np.int64)
    by_pipe = np.argsort(along, kind="stable")
    in_loop, is_source = np.zeros(len(start), np.int64), np.zeros(nodes, np.int64)
    in_loop[looped], is_source[sources] = 1, 1
    on_the_way = in_loop.astype(np.bool_)
    for n in order[:0:-1]:  # pipes that lead to a loop are passed on the way there
        if on_the_way[above[n]] and parent[n] != order[0]:
            on_the_way[above[parent[n]]] = True
    outward = np.array([n for n in order[1:] if on_the_way[above[n]]], dtype=np.int64)
    looped = np.flatnonzero(on_the_way)
    member_first = np.searchsorted(along[by_pipe], np.append(looped, len(start))).astype(np.int64)
    arrays = (
        order, parent, above, sign, is_source, on_the_way, chords, ends, looped, first, along, signs, start, end, extra,
        member_first, loop_of[by_pipe], signs[by_pipe], outward,
    )  # fmt: skip
    return Layout(nodes, start, end, sources, chords, tuple(np.ascontiguousarray(a, dtype=np.int64) for a in arrays))


def _least_tree(nodes: int, start: Whole, end: Whole, weight: Array) -> NDArray[np.bool_]:
    """Kruskal: pipes by rising resistance, each that joins two parts."""
    group = np.arange(nodes)

    def root(n: int) -> int:
        while group[n] != n:
            group[n] = group[group[n]]
            n = int(group[n])
        return n

    chosen = np.zeros(len(start), dtype=np.bool_)
    for k in np.argsort(weight, kind="stable"):
        a, b = root(int(start[k])), root(int(end[k]))
        if a != b:
            group[a] = b
            chosen[k] = True
    return chosen


def _ordered(
    nodes: int, start: Whole, end: Whole, root: int, chosen: NDArray[np.bool_]
) -> tuple[Whole, Whole, Whole, Whole]:
    """Nodes outward from the root, each one's parent, pipe from there, and that pipe's direction."""
    beside: list[list[int]] = [[] for _ in range(nodes)]
    for kept in np.flatnonzero(chosen):
        beside[int(start[kept])].append(int(kept))
        beside[int(end[kept])].append(int(kept))
    parent, above, sign = np.full(nodes, -1), np.full(nodes, -1), np.zeros(nodes, np.int64)
    order, seen = [root], {root}
    for here in order:  # grows on the way
        for k in beside[here]:
            other = int(end[k]) if int(start[k]) == here else int(start[k])
            if other not in seen:
                seen.add(other)
                order.append(other)
                parent[other], above[other], sign[other] = here, k, 1 if int(start[k]) == here else -1
    return np.array(order, dtype=np.int64), parent.astype(np.int64), above.astype(np.int64), sign


def _round(
    chord: int, source: int, start: Whole, end: Whole, parent: Whole, above: Whole, sign: Whole
) -> list[tuple[int, int]]:
    """Pipes round a loop with their direction in it; for a further source, from the first one to it."""
    if chord < 0:
        return [(k, s) for k, s in _up(source, parent, above, sign)]
    down, up = _up(int(start[chord]), parent, above, sign), _up(int(end[chord]), parent, above, sign)
    while down and up and down[-1] == up[-1]:
        down.pop()
        up.pop()
    return [(int(chord), 1), *down, *((k, -s) for k, s in up)]


def _up(node: int, parent: Whole, above: Whole, sign: Whole) -> list[tuple[int, int]]:
    """Pipes from a node to the root, each with its direction counted from the root."""
    found = []
    while parent[node] >= 0:
        found.append((int(above[node]), int(sign[node])))
        node = int(parent[node])
    return found
