"""The cheapest stock sizes that keep every tool at its pressure."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import BadRequest
from airfettle.parts.pipe_stock import Stock, rated_pressure, read_pipe, sizes
from airfettle.studies.pipework.lies import line_air, line_pressure
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.shop import ShopRun
from airfettle.studies.pipework.solve import solve

Array = NDArray[np.float64]

ROWS, LEAST_ROWS, MOST_SOLVED = 256, 64, 200_000
"""Most and least rows on which sizes are tried, and rows times sets times pipes that are solved at each. [-]"""
MOST_SWEEPS = 12
"""Sweeps after which a set of sizes counts as far too thin. [-]"""
MOST_SETS = 12
"""Sets of tools that are tried; the first is the one worst off. [-]"""
MOST_TRIED = 3000
"""Sets of sizes that are tried at most. [-]"""
PIPES_SHARE = 0.03
"""Share of the receiver's gauge pressure that the pipe alone may lose, for tools that no pipe can help. [-]
Source: practice."""
DROPS = "all drops"
"""Name of the group that holds the drops' own pipe. [text]"""


@dataclass(frozen=True)
class SizedPart:
    """A run, or all drops together, with the size found for it.

    Attributes
    ----------
    name : str
        [text]
    length : float
        At likely values. [m]
    now, found : Stock
        What is there, and what would do.
    lines : tuple of int
        Its pipes in the network. [-]
    """

    name: str
    length: float
    now: Stock
    found: Stock
    lines: tuple[int, ...] = ()


@dataclass(frozen=True)
class Sized:
    """Sizes found.

    Attributes
    ----------
    parts : tuple of SizedPart
        Every run, then the drops.
    one_size : Stock or None
        Smallest single size of all runs and drops that does it too.
    metal, metal_now, metal_one : float
        What all pipe weighs with the sizes found, as it is, and with the one size: pipe of one material costs about by
        its weight. [kg]
    certainty : float
        Share of the draw asked for. [-]
    before, after : tuple of float
        Share of the draw in which each tool has enough, now and with the sizes found. [-]
    beyond_pipe : tuple of int
        Tools that have too little even with the largest pipe: coupler, hose or receiver pressure are to blame. [-]
    every : bool
        All sets of sizes were weighed up; otherwise the search was cut short.
    tried, rows : int
        Sets of sizes that were solved, and rows of the draw on which. [-]
    """

    parts: tuple[SizedPart, ...]
    one_size: Stock | None
    metal: float
    metal_now: float
    metal_one: float
    certainty: float
    before: tuple[float, ...]
    after: tuple[float, ...]
    beyond_pipe: tuple[int, ...]
    every: bool
    tried: int
    rows: int


def sized(run: ShopRun, *, certainty: float | None = None, material: str = "") -> Sized:
    """Return the lightest stock sizes with which every tool has enough pressure.

    Parameters
    ----------
    run : ShopRun
        The pipe worked out. [SI]
    certainty : float or None
        Share of the draw in which each tool has to have enough; None takes the plant's. [-]
    material : str
        Another material than what is there, such as 'copper L'. [text]

    Returns
    -------
    Sized
        [SI]

    Raises
    ------
    BadRequest
        A material that is not for compressed air, or of which no size holds the pressure.

    Notes
    -----
    Every set of tools to which none can be added runs at once, with the receiver at cut-in. A larger size never hurts
    the tool worst off, so a size is given up as soon as the largest of all others cannot make up for it.

    References
    ----------
    [airfettle-pipes]; pipe of one material costs about by its weight: [practice]
    """
    wanted = run.draw.plant.about.certainty if certainty is None else certainty
    if not 0.5 <= wanted <= 0.999:
        raise BadRequest(read=f"{wanted:g}", where="--certainty", wanted="a share of the draw from 0.5 to 0.999")
    return _Search(run, wanted, material).result()


class _Search:
    """Goes through sizes, run by run, smallest first."""

    def __init__(self, run: ShopRun, certainty: float, material: str) -> None:
        self.run, self.certainty = run, certainty
        self.fullest = run.sets.fullest[:MOST_SETS]
        rows = ROWS
        while rows > LEAST_ROWS and rows * len(self.fullest) * len(run.network.lines) > MOST_SOLVED:
            rows //= 2
        self.network = run.network.first(rows)
        self.tried = 0
        lines = self.network.lines
        names = dict.fromkeys(line.run for line in lines if line.run)
        self.groups: list[tuple[str, list[int]]] = [
            (name, [k for k, line in enumerate(lines) if line.run == name]) for name in names
        ]
        drops = [k for k, line in enumerate(lines) if not line.run]
        stocks = dict.fromkeys(lines[k].stock.text for k in drops)
        self.groups += [
            (DROPS if len(stocks) == 1 else f"drops in {text}", [k for k in drops if lines[k].stock.text == text])
            for text in stocks
        ]
        _, warm = line_air(run)
        self.stands = (line_pressure(run.draw) - run.draw.barometer, np.maximum(warm, run.network.temperature))
        self.length = [float(np.sum(self.network.length[0, ks])) for _, ks in self.groups]
        self.choices = [self._choices(lines[ks[0]].stock, material) for _, ks in self.groups]
        self.needed = self.network.needed_pressure
        self.receiver = run.receiver_pressure[: self.network.rows]
        largest = self._network([len(c) - 1 for c in self.choices])
        held = self._shares(largest)
        self.beyond = tuple(j for j in range(len(held)) if held[j] < certainty)
        self.best: list[int] | None = None
        self.best_metal = np.inf

    def _choices(self, now: Stock, material: str) -> list[Stock]:
        """Sizes of a material that hold the highest pressure, smallest first."""
        kind = material or now.material
        made = [read_pipe(f"{kind} {size}") for size in sizes(kind)] if sizes(kind) else [now]
        if any(stock.refused for stock in made):
            raise BadRequest(
                read=kind if material else f"{kind} in the pipe that is there", where="--material",
                wanted="a pipe that is for compressed air, such as --material 'copper L'",
            )  # fmt: skip
        under, warm = (float(np.percentile(rows, 95.0)) for rows in self.stands)
        kept = [stock for stock in made if not stock.rating_known
                or float(rated_pressure(stock, temperature=np.array([warm]))[0]) >= under]  # fmt: skip
        if not kept and material:
            raise BadRequest(
                read=f"{kind}, of which no size is rated for {under / 1e5:.3g} bar at {warm - 273.15:.0f} °C",
                where="--material", wanted="a pipe that holds what the relief valve holds back, with the air that warm",
            )  # fmt: skip
        kept = kept or made  # what is there is not rated for it: a finding says so
        return sorted(kept, key=lambda stock: stock.bore)

    def _network(self, picked: list[int]) -> Network:
        """The network with a size for each group."""
        stocks = {k: self.choices[g][picked[g]] for g, (_, ks) in enumerate(self.groups) for k in ks}
        return self.network.with_stock(stocks)

    def _shares(self, network: Network) -> list[float]:
        """Share of the draw in which each tool has enough whenever it runs in one of the fullest sets. [-]"""
        self.tried += 1
        solved = solve(network, on=self.fullest, receiver_pressure=self.receiver, whole=False, most=MOST_SWEEPS)
        fed = (solved.inlet >= self.needed[:, None, :]) & solved.came_to_rest[:, :, None]
        enough = fed | (self.fullest[None] == 0.0)
        return [float(share) for share in np.mean(np.all(enough, axis=1), axis=0)]

    def _holds(self, picked: list[int]) -> bool:
        network = self._network(picked)
        shares = self._shares(network)
        if any(share < self.certainty for j, share in enumerate(shares) if j not in self.beyond):
            return False
        return not self.beyond or self._pipe_is_wide(network)

    def _pipe_is_wide(self, network: Network) -> bool:
        """Whether the pipe takes little on the way to tools that no pipe can help."""
        plain = replace(network, extra=np.zeros_like(network.extra))  # filters in a run are not its pipe's fault
        solved = solve(plain, on=self.fullest, receiver_pressure=self.receiver, most=MOST_SWEEPS)
        first = solved.pressure[:, :, network.sources[0]]
        allowed = PIPES_SHARE * (self.receiver - network.barometer)
        for j in self.beyond:
            lost = first - solved.pressure[:, :, network.outlets[j].node]
            if float(np.mean(np.all(lost <= allowed[:, None], axis=1))) < self.certainty:
                return False
        return True

    def _metal(self, group: int, size: int) -> float:
        return self.length[group] * self.choices[group][size].mass_per_length

    def _go(self, order: list[int], depth: int, picked: list[int], metal: float) -> None:
        """Try the sizes of one group, all later ones at their largest."""
        if depth == len(order):
            self.best, self.best_metal = list(picked), metal
            return
        group = order[depth]
        rest = sum(min(self._metal(g, s) for s in range(len(self.choices[g]))) for g in order[depth + 1 :])
        top = picked[group]
        for size in range(top + 1):
            now = metal + self._metal(group, size)
            if now + rest >= self.best_metal or self.tried >= MOST_TRIED:
                continue
            picked[group] = size
            if size == top or self._holds(picked):
                self._go(order, depth + 1, picked, now)
        picked[group] = top

    def result(self) -> Sized:
        """Return what was found."""
        largest = [len(c) - 1 for c in self.choices]
        order = sorted(range(len(self.groups)), key=lambda g: -self.length[g])
        self._go(order, 0, list(largest), 0.0)
        picked = self.best if self.best is not None else largest
        one = self._one_size()
        parts = tuple(
            SizedPart(name, self.length[g], self.network.lines[ks[0]].stock, self.choices[g][picked[g]], tuple(ks))
            for g, (name, ks) in enumerate(self.groups)
        )
        now = sum(float(np.sum(self.network.length[0, ks])) * self.network.lines[ks[0]].stock.mass_per_length
                  for _, ks in self.groups)  # fmt: skip
        return Sized(
            parts=parts, one_size=None if one is None else self.choices[0][one],
            metal=sum(self._metal(g, picked[g]) for g in range(len(self.groups))), metal_now=now,
            metal_one=np.nan if one is None else sum(self._metal(g, one) for g in range(len(self.groups))),
            certainty=self.certainty, before=tuple(self._shares(self.network)),
            after=tuple(self._shares(self._network(picked))), beyond_pipe=self.beyond, every=self.tried < MOST_TRIED,
            tried=self.tried, rows=self.network.rows,
        )  # fmt: skip

    def _one_size(self) -> int | None:
        """Smallest size that does for all groups of one material."""
        texts = [[stock.text for stock in choices] for choices in self.choices]
        if any(each != texts[0] for each in texts):
            return None
        return next((s for s in range(len(texts[0])) if self._holds([s] * len(self.groups))), None)
