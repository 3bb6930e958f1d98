"""A shop's pipe as a tree from the receivers on, and the pipes left over that close loops."""

from __future__ import annotations

from dataclasses import dataclass, field

from airfettle.studies.pipework.shop import ShopRun


@dataclass
class Bar:
    """A place as it is drawn.

    Attributes
    ----------
    node, lane : int
        Which place; how many branches lead to it. [-]
    above : int
        Pipe it comes by, -1 for a receiver. [-]
    top, bottom : float
        Of the bar. [px]
    exits : dict
        Height at which each pipe and drop leaves it, by pipe. [px]
    """

    node: int
    lane: int
    above: int
    top: float = 0.0
    bottom: float = 0.0
    exits: dict[int, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Tree:
    """Places in the order of the sheet, the pipes that continue downward from them, and pipes that close loops."""

    order: tuple[int, ...]
    bars: dict[int, Bar]
    chords: tuple[int, ...]


def tree_of(run: ShopRun) -> Tree:
    """Return the places from the receivers on, each way as long as it goes; what is left over closes loops."""
    network = run.network
    pipes = [k for k, line in enumerate(network.lines) if line.run]
    bars: dict[int, Bar] = {}
    children: dict[int, list[int]] = {}
    used: set[int] = set()
    for source in network.sources:
        if source in bars:
            continue
        bars[source] = Bar(source, 0, -1)
        stack = [source]
        while stack:  # go on along the same run as long as there is a new place ahead, then back to the last branch
            node = stack[-1]
            open_ = [
                k for k in pipes if k not in used and node in ends_of(run, k) and other_end(run, k, node) not in bars
            ]
            if not open_:
                stack.pop()
                continue
            came = bars[node].above
            k = min(open_, key=lambda k: (came < 0 or network.lines[k].run != network.lines[came].run, k))
            used.add(k)
            other = other_end(run, k, node)
            bars[other] = Bar(other, 0, k)
            children.setdefault(node, []).append(other)
            stack.append(other)
    order: list[int] = []
    for source in network.sources:
        if bars[source].above < 0:
            _downward(source, children, bars, order)
    return Tree(tuple(order), bars, tuple(k for k in pipes if k not in used))


def _downward(source: int, children: dict[int, list[int]], bars: dict[int, Bar], order: list[int]) -> None:
    """Put places in order: side branches straight below where they leave, the longest way last in its own lane."""
    many: dict[int, int] = {}
    found, stack = [], [source]
    while stack:
        node = stack.pop()
        found.append(node)
        stack += children.get(node, [])
    for node in reversed(found):
        many[node] = 1 + sum(many[c] for c in children.get(node, []))
    stack = [source]
    while stack:
        node = stack.pop()
        order.append(node)
        below = sorted(children.get(node, []), key=lambda c: (many[c], c))
        for n, child in enumerate(below):
            bars[child].lane = bars[node].lane + (n < len(below) - 1)
        stack += reversed(below)


def ends_of(run: ShopRun, k: int) -> tuple[int, int]:
    """Return the places a pipe joins. [-]"""
    return run.network.lines[k].start, run.network.lines[k].end


def other_end(run: ShopRun, k: int, node: int) -> int:
    """Return the place at the other end of a pipe. [-]"""
    start, end = ends_of(run, k)
    return end if start == node else start


def columns_of(run: ShopRun, tree: Tree) -> dict[int, int]:
    """Return a column for each pipe that closes a loop, so that no two lie on one another. [-]"""
    spot = {node: n for n, node in enumerate(tree.order)}
    spans = {k: sorted(spot[node] for node in ends_of(run, k)) for k in tree.chords}
    taken: list[list[list[int]]] = []
    found = {}
    for k in sorted(tree.chords, key=lambda k: spans[k][1] - spans[k][0]):
        low, high = spans[k]
        free = (n for n, column in enumerate(taken) if all(high < a or low > b for a, b in column))
        found[k] = next(free, len(taken))
        if found[k] == len(taken):
            taken.append([])
        taken[found[k]].append(spans[k])
    return found
