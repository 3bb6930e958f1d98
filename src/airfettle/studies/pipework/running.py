"""Which tools run together, and how often."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from airfettle.quantity.clock import WEEK
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.solve import solve

Array = NDArray[np.float64]

MOST_ALL, SAMPLES = 12, 4096
"""Places for tools up to which every set of them is looked at, and sets drawn where there are more. [-]"""


@dataclass(frozen=True)
class Together:
    """Sets of tools that run at once.

    Attributes
    ----------
    on : ndarray
        1 where a tool runs, shape (sets, outlets). [-]
    chance : ndarray
        Share of the time in which the shop is at work that each set takes, shape (sets,). [-]
    open_share : float
        Share of all time in which some tool may run. [-]
    every : bool
        Every set is there; otherwise they were drawn by chance.
    fullest : ndarray
        Sets to which no further tool can be added, shape (some, outlets). [-]
    """

    on: Array
    chance: Array
    open_share: float
    every: bool
    fullest: Array


def worst_first(network: Network) -> NDArray[np.int64]:
    """Return the places for tools in the order of what is left over the pressure each needs, alone, at cut-in."""
    one = network.only(0)
    found = solve(one, on=np.eye(len(network.outlets)), receiver_pressure=one.cut_in, whole=False)
    left = np.diagonal(found.inlet[0]) - one.needed_pressure[0]
    return np.argsort(left, kind="stable").astype(np.int64)


def limited(network: Network, wanted: Array, order: NDArray[np.int64]) -> Array:
    """Return a set with no more of each tool than there are, those kept that are worst off. [-]"""
    on, left = np.zeros(len(network.outlets)), [use.count for use in network.uses]
    for j in order:
        use = network.outlets[j].use
        if wanted[j] > 0.0 and left[use] > 0:
            on[j], left[use] = 1.0, left[use] - 1
    return on


def together(network: Network, *, seed: int = 1) -> Together:
    """Return the sets of tools that run at once, and how often each does.

    Parameters
    ----------
    network : Network
        [SI]
    seed : int
        Where sets are drawn by chance. [-]

    Returns
    -------
    Together
        [-]

    Notes
    -----
    In its hours a tool runs on/(on + off) of the time, independent of the others, as far as there are people: sets that
    would need more people than there are, or more of a tool, are left out and the rest made whole again. Likely values
    of runs and pauses. A tool named on several drops is at each of them equally often.
    """
    order = worst_first(network)
    shares, weights = _shares(network)
    outlets = len(network.outlets)
    if outlets <= MOST_ALL:
        on = ((np.arange(1 << outlets)[:, None] >> np.arange(outlets)) & 1).astype(np.float64)
        on = on[[_possible(network, each) for each in on]]
        chance = np.zeros(len(on))
        for share, weight in zip(shares, weights, strict=True):
            chances = np.prod(np.where(on > 0.0, share, 1.0 - share), axis=1)
            chance += weight * chances / max(float(chances.sum()), 1e-300)
    else:
        stream = np.random.Generator(np.random.PCG64(seed))
        of = stream.choice(len(shares), size=SAMPLES, p=weights)
        on = (stream.random((SAMPLES, outlets)) < shares[of]).astype(np.float64)
        on = np.array([_fitting(network, stream.permutation(np.flatnonzero(each))) for each in on])
        on, many = np.unique(on, axis=0, return_counts=True)
        chance = many / SAMPLES
    return Together(on, chance, _open_share(network), outlets <= MOST_ALL, _fullest(network, order, seed))


def fullest_set(network: Network) -> Array:
    """Return all tools that can run at once, those kept that are worst off, shape (outlets,). [-]"""
    return _fitting(network, worst_first(network))


def only_fullest(network: Network, *, seed: int = 1) -> Together:
    """Return the sets to which no tool can be added, without how often any set runs. [-]"""
    fullest = _fullest(network, worst_first(network), seed)
    return Together(fullest, np.zeros(len(fullest)), _open_share(network), False, fullest)


def _open_share(network: Network) -> float:
    edges = _edges(network)
    opened = [any(use.hours.open_at(0.5 * (a + b)) for use in network.uses) for a, b in pairwise(edges)]
    return float(np.sum(np.diff(edges)[opened]) / WEEK)


def _edges(network: Network) -> Array:
    """Moments of the week at which some tool's hours begin or end. [s]"""
    found = {0.0, WEEK}
    for use in network.uses:
        for begin, end in use.hours.opened(0.0, length=WEEK):
            found |= {float(begin), float(end)}
    return np.array(sorted(found))


def _shares(network: Network) -> tuple[Array, Array]:
    """Return how much of the time each tool would run, in each stretch of the week that differs, and its weight. [-]"""
    edges = _edges(network)
    kinds: dict[tuple[bool, ...], float] = {}
    for a, b in pairwise(edges):
        opened = tuple(use.hours.open_at(0.5 * (a + b)) for use in network.uses)
        if any(opened):
            kinds[opened] = kinds.get(opened, 0.0) + float(b - a)
    if not kinds:
        return np.zeros((1, len(network.outlets))), np.ones(1)
    rows = []
    places = [sum(o.use == u for o in network.outlets) for u in range(len(network.uses))]
    for opened in kinds:
        row = []
        for outlet in network.outlets:
            use = network.uses[outlet.use]
            duty = 1.0 if use.on is None or use.off is None else float(use.on[0] / (use.on[0] + use.off[0]))
            row.append(duty * min(1.0, use.count / places[outlet.use]) if opened[outlet.use] else 0.0)
        rows.append(row)
    weights = np.array(list(kinds.values()))
    return np.array(rows), weights / weights.sum()


class _Crew:
    """People and tools that are free; jobs are taken on one by one, people changing jobs where that helps."""

    def __init__(self, network: Network) -> None:
        everybody = tuple(dict.fromkeys(name for use in network.uses for name in use.people))
        self.use_of = [outlet.use for outlet in network.outlets]
        self.asked = [(use.people or everybody) if use.attended else () for use in network.uses]
        self.left = [use.count for use in network.uses]
        self.at: dict[str, int] = {}

    def takes(self, outlet: int) -> bool:
        """Take a place on if there is one more of its tool and somebody for it."""
        use = self.use_of[outlet]
        if self.left[use] == 0 or (self.asked[use] and not self._somebody(outlet, set())):
            return False
        self.left[use] -= 1
        return True

    def _somebody(self, outlet: int, seen: set[str]) -> bool:
        for name in self.asked[self.use_of[outlet]]:
            if name not in seen:
                seen.add(name)
                if name not in self.at or self._somebody(self.at[name], seen):
                    self.at[name] = outlet
                    return True
        return False


def _possible(network: Network, on: Array) -> bool:
    """Return whether there are enough of each tool, and people to run them."""
    crew = _Crew(network)
    return all(crew.takes(int(j)) for j in np.flatnonzero(on))


def _fitting(network: Network, order: NDArray[np.int64]) -> Array:
    """Return as many places of a list as can run at once, the first ones first, shape (outlets,). [-]"""
    crew, kept = _Crew(network), np.zeros(len(network.outlets))
    for j in order:
        kept[j] = 1.0 if crew.takes(int(j)) else 0.0
    return kept


def _fullest(network: Network, order: NDArray[np.int64], seed: int) -> Array:
    """Return sets to which no tool can be added: from the worst off on, and a few in other orders. [-]"""
    stream = np.random.Generator(np.random.PCG64(seed))
    orders = [order, *(stream.permutation(len(order)) for _ in range(31))]
    found = np.array([_fitting(network, each) for each in orders])
    _, first = np.unique(found, axis=0, return_index=True)
    return found[np.sort(first)]
