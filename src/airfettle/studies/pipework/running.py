"""Which tools run together, and how often."""

from __future__ import annotations

from dataclasses import dataclass
from math import comb

import numpy as np
from numpy.typing import NDArray

from airfettle.quantity.clock import WEEK
from airfettle.studies.day.demand import UseNumbers
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.solve import solve

Array = NDArray[np.float64]

MOST_ALL, SAMPLES, ORDERS = 12, 4096, 4
"""Places for tools up to which every set of them is looked at, sets drawn where there are more, and orders in which
people take on a set that is more than they can do. [-]"""
Opened = dict[tuple[bool, ...], float]
"""Which uses are in their hours -> share of the time at work."""


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
    In its hours a tool is wanted on/(on + off) of the time, independent of the others, at likely values of runs and
    pauses; one that is named on several drops at each of them equally often. Of what is wanted, as much runs as there
    are people for, in any order of who comes first.
    """
    stream = np.random.Generator(np.random.PCG64(seed))
    outlets, opened = len(network.outlets), _opened(network)
    every = outlets <= MOST_ALL
    wanted, chance = _all_sets(network, opened) if every else _some_sets(network, opened, stream)
    on, shares = [], []
    for set_, share in zip(wanted, chance, strict=True):
        places = np.flatnonzero(set_)
        orders = 1 if not every or _possible(network, set_) else ORDERS
        for _ in range(orders):
            on.append(_fitting(network, stream.permutation(places)))
            shares.append(share / orders)
    found, place = np.unique(np.array(on), axis=0, return_inverse=True)
    total = np.bincount(np.ravel(place), weights=np.array(shares), minlength=len(found))
    fullest = _fullest(network, worst_first(network), seed)
    return Together(found, total.astype(np.float64), _open_share(network), every, fullest)


def _all_sets(network: Network, opened: Opened) -> tuple[Array, Array]:
    """Return every set that may be wanted, and its chance."""
    outlets = len(network.outlets)
    on = ((np.arange(1 << outlets)[:, None] >> np.arange(outlets)) & 1).astype(np.float64)
    use_of = np.array([outlet.use for outlet in network.outlets])
    counts = np.stack([on[:, use_of == u].sum(axis=1) for u in range(len(network.uses))], axis=1).astype(int)
    chance = np.zeros(len(on))
    for pattern, weight in opened.items():
        each = np.full(len(on), weight)
        for u, use in enumerate(network.uses):
            duty, places = (_duty(use) if pattern[u] else 0.0), int(np.sum(use_of == u))
            of_count = np.array([
                comb(use.count, k) * duty**k * (1.0 - duty) ** (use.count - k) / comb(places, k) if k <= use.count
                else 0.0 for k in range(places + 1)
            ])  # fmt: skip
            each = each * of_count[counts[:, u]]
        chance += each
    return on[chance > 0.0], chance[chance > 0.0]


def _some_sets(network: Network, opened: Opened, stream: np.random.Generator) -> tuple[Array, Array]:
    """Return sets that are wanted, drawn by chance."""
    patterns = list(opened)
    of = stream.choice(len(patterns), size=SAMPLES, p=np.array(list(opened.values())))
    use_of = np.array([outlet.use for outlet in network.outlets])
    on = np.zeros((SAMPLES, len(use_of)))
    for u, use in enumerate(network.uses):
        places = np.flatnonzero(use_of == u)
        open_now = np.array([pattern[u] for pattern in patterns])[of]
        many = stream.binomial(use.count, np.where(open_now, _duty(use), 0.0))
        ranks = np.argsort(stream.random((SAMPLES, len(places))), axis=1)
        on[:, places] = ranks < many[:, None]
    return on, np.full(SAMPLES, 1.0 / SAMPLES)


def _duty(use: UseNumbers) -> float:
    """Share of its hours in which one of a tool is wanted, at likely values. [-]"""
    return 1.0 if use.on is None or use.off is None else float(use.on[0] / (use.on[0] + use.off[0]))


def fullest_set(network: Network) -> Array:
    """Return all tools that can run at once, those kept that are worst off, shape (outlets,). [-]"""
    return _fitting(network, worst_first(network))


def only_fullest(network: Network, *, seed: int = 1) -> Together:
    """Return the sets to which no tool can be added, without how often any set runs. [-]"""
    fullest = _fullest(network, worst_first(network), seed)
    return Together(fullest, np.zeros(len(fullest)), _open_share(network), False, fullest)


def _open_share(network: Network) -> float:
    return sum(network.patterns.values()) / WEEK


def _opened(network: Network) -> Opened:
    """Return which uses may run together by their hours, and how much of the time at work each such pattern takes."""
    whole = sum(network.patterns.values())
    return {pattern: time / whole for pattern, time in network.patterns.items()}


class _Crew:
    """People and tools that are free; jobs are taken on one by one, people changing jobs where that helps."""

    def __init__(self, network: Network) -> None:
        everybody = tuple(dict.fromkeys(name for use in network.uses for name in use.people))
        self.use_of = [outlet.use for outlet in network.outlets]
        self.asked = [(use.people or everybody) if use.attended else () for use in network.uses]
        self.left = [use.count for use in network.uses]
        self.at: dict[str, int] = {}
        self.hours = list(network.patterns)

    def takes(self, outlet: int) -> bool:
        """Take a place on if its hours meet the others', and there is one more of its tool and somebody for it."""
        use = self.use_of[outlet]
        hours = [pattern for pattern in self.hours if pattern[use]]
        if not hours or self.left[use] == 0 or (self.asked[use] and not self._somebody(outlet, set())):
            return False
        self.left[use] -= 1
        self.hours = hours
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
