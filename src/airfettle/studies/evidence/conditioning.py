"""Draw again in the light of what was said: a pool weighed by its statements, and equal rows taken from it.

Where too few rows of the pool agree with what was said, as after several good readings, the statements are let in by
degrees and the rows move in between, each move leaving the belief as it is; what no statement bears on moves freely.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import Span
from airfettle.quantity.normal import log_sum, normal_quantile, normal_share
from airfettle.quantity.streams import stratified_stream
from airfettle.studies.draw import ROWS, Draw, draw
from airfettle.studies.evidence.predicted import predictions
from airfettle.studies.evidence.statements import Statement, statements

Array = NDArray[np.float64]

POOL, CHEAP_POOL = 1 << 13, 1 << 15
"""Rows of the pool: where statements need a running plant, and where they are about plates alone. [-]"""
FEW = 400.0
"""Effective rows below which rows have to move. [-]"""
MOVES, LAST_MOVES = 3, 6
"""Moves at each degree, and at the last. [-]"""
WISHED = 0.3
"""Share of moves that should be taken. [-]"""
BOUND = 0.9
"""Spread left of an entry, share, below which the statements bear on it. [-]"""
SHIFTED = 0.15
"""Shift of an entry's mean, in standard deviations, from which row 0 follows it. [-]"""
EDGE = 1e-6
"""Shares are kept this far from 0 and 1. [-]"""


@dataclass(frozen=True)
class Heard:
    """One statement after all of them have been weighed.

    Attributes
    ----------
    statement : Statement
        What was said.
    before, after : tuple of float
        P5, P50 and P95 of what the plant says to it, without and with all statements. [SI]
    doubt : float
        Probability that it is wrong altogether: the share of the flat belief. [-]
    """

    statement: Statement
    before: tuple[float, float, float]
    after: tuple[float, float, float]
    doubt: float


@dataclass(frozen=True)
class Belief:
    """A plant drawn in the light of all that was said of it.

    Attributes
    ----------
    draw : Draw
        Rows of equal weight. [SI]
    heard : tuple of Heard
        Every statement.
    effective : float
        Rows of the pool that agree with what was said, or of the draw that differ after moves; the draw's rows where
        nothing was said. [-]
    moved : bool
        The pool held too few rows, and they were moved.
    """

    draw: Draw
    heard: tuple[Heard, ...] = ()
    effective: float = 0.0
    moved: bool = False

    @property
    def poor(self) -> bool:
        """Too few rows differ for the ends of the bands to be trusted."""
        return self.effective < FEW and self.draw.rows > FEW


@dataclass(frozen=True)
class Pool:
    """Rows of a plant and what they say to every statement.

    Attributes
    ----------
    plant : OwnersPlant
        The plant. [spans]
    said : tuple of Statement
        What was said.
    seed : int
        Of the draw. [-]
    shares : dict
        Path -> shape (pool,). [-]
    predicted : ndarray
        Shape (statements, pool). [SI]
    instead : mapping
        Path -> span drawn in place of what is told.
    """

    plant: OwnersPlant
    said: tuple[Statement, ...]
    seed: int
    shares: dict[str, Array]
    predicted: Array
    instead: Mapping[str, Span] = field(default_factory=dict)


def believe(plant: OwnersPlant, *, rows: int = ROWS, seed: int = 1) -> Belief:
    """Draw a plant in the light of all that is said of it.

    Parameters
    ----------
    plant : OwnersPlant
        As read from the owner's file. [spans]
    rows : int
        Of the draw, a power of two. [-]
    seed : int
        Of all streams. [-]

    Returns
    -------
    Belief
        The plain draw where nothing is said. [SI]

    Raises
    ------
    AirfettleError
        Entries contradict each other so far that nothing can be computed.
    """
    said = statements(plant)
    if not said:
        return Belief(draw(plant, rows=rows, seed=seed), effective=float(rows))
    return conditioned(pooled(plant, said, rows=pool_rows(said, rows=rows), seed=seed), rows=rows)


def pool_rows(said: Sequence[Statement], *, rows: int) -> int:
    """Return how many rows to weigh for statements, at least those of the draw. [-]"""
    return max(CHEAP_POOL if all(s.sort == "plate amps" for s in said) else POOL, rows)


def pooled(
    plant: OwnersPlant, said: Sequence[Statement], *, rows: int, seed: int, instead: Mapping[str, Span] | None = None
) -> Pool:
    """Return a pool of a plant with what its rows say to every statement. [SI]"""
    given, only = instead or {}, _bearing(plant, said)
    drawn = draw(plant, rows=rows, seed=seed, instead=given, only=only)
    shares = {
        path: np.clip(stratified_stream(path, rows=rows, seed=seed), EDGE, 1.0 - EDGE)
        for path, span in drawn.spans_at_rest.items()
        if span.form != "exact" and span.low != span.high and (not only or path.startswith(only))
    }
    for path, values in shares.items():
        values[0] = _share_of(drawn.spans[path])
    return Pool(plant, tuple(said), seed, shares, predictions(drawn, said), given)


def _bearing(plant: OwnersPlant, said: Sequence[Statement]) -> tuple[str, ...]:
    """Beginnings of the paths that may bear on what is said, where it is about plates alone; empty for all.

    What no statement bears on keeps its own stream, and its rows stay as they are without any statement.
    """
    if not said or any(s.sort != "plate amps" for s in said):
        return ()
    names = [f"train.{t.name or i + 1}." for i, t in enumerate(plant.trains)] if plant.train else [""]
    own = [f"{names[s.train]}{section}." for s in said for section in ("supply", "drive", "motor")]
    return tuple(dict.fromkeys([*own, "supply."]))


def _share_of(span: Span) -> float:
    """Share below a span's likely value, by halving. [-]"""
    low, high = 0.0, 1.0
    for _ in range(30):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if span.quantile(np.array([middle]))[0] < span.likely else (low, middle)
    return min(max(0.5 * (low + high), EDGE), 1.0 - EDGE)


def agreement(predicted: Array, said: Sequence[Statement]) -> Array:
    """Return how well rows agree with each statement: the logarithm of the mixture likelihood.

    Parameters
    ----------
    predicted : ndarray
        Shape (statements, rows). [SI]
    said : sequence of Statement
        What was said.

    Returns
    -------
    ndarray
        Shape (statements, rows). [-]

    Notes
    -----
    ln((1 - e) N(y; f, s) + e U): with probability e it is about something else, flat around its value.
    """
    found = np.empty_like(predicted)
    for row, s in zip(range(len(said)), said, strict=True):
        z = (s.value - predicted[row]) / s.deviation
        near = np.log((1.0 - s.chance_wrong) / (s.deviation * np.sqrt(2.0 * np.pi))) - 0.5 * z * z
        found[row] = np.logaddexp(near, np.log(s.chance_wrong * s.flat_density))
    return found


def doubts(agreed: Array, said: Sequence[Statement], *, weights: Array) -> Array:
    """Return the probability that each statement is wrong altogether, given all of them; weights sum to 1. [-]"""
    flat = np.array([[np.log(s.chance_wrong * s.flat_density)] for s in said])
    return np.asarray(np.exp(np.minimum(flat - agreed, 0.0)) @ weights)


def conditioned(pool: Pool, *, rows: int) -> Belief:
    """Return rows of equal weight from a pool, in the light of its statements. [SI]"""
    agreed = agreement(pool.predicted, pool.said)
    log_weight = agreed.sum(axis=0)
    weights = np.exp(log_weight - log_sum(log_weight))
    effective = float(1.0 / np.sum(weights**2))
    chance = np.random.default_rng([pool.seed, rows, len(pool.said)])
    if effective >= min(FEW, 0.75 * rows):
        chosen = _resampled(weights, rows=rows, chance=chance)
        particles = _Particles({p: u[chosen] for p, u in pool.shares.items()}, pool.predicted[:, chosen])
        doubt = doubts(agreed, pool.said, weights=weights)
    else:
        particles = _moved(pool, log_weight, rows=rows, chance=chance)
        equal = np.full(rows, 1.0 / rows)
        doubt = doubts(agreement(particles.predicted, pool.said), pool.said, weights=equal)
        effective = float(len(np.unique(particles.predicted.sum(axis=0))))
    heard = tuple(
        Heard(s, _band(pool.predicted[i]), _band(particles.predicted[i]), float(doubt[i]))
        for i, s in enumerate(pool.said)
    )
    final = draw(pool.plant, rows=rows, seed=pool.seed, shares=_with_row_0(particles.shares, pool),
                 instead=pool.instead)  # fmt: skip
    return Belief(final, heard, effective, particles.moved)


def _band(rows: Array) -> tuple[float, float, float]:
    low, likely, high = np.percentile(rows, [5.0, 50.0, 95.0]).tolist()
    return low, likely, high


def _resampled(weights: Array, *, rows: int, chance: np.random.Generator) -> NDArray[np.intp]:
    """Rows by systematic resampling, in random order. [-]"""
    marks = (np.arange(rows) + chance.random()) / rows
    ends = np.cumsum(weights)
    ends[-1] = 1.0 + 1e-12
    return chance.permutation(np.searchsorted(ends, marks))


@dataclass
class _Particles:
    shares: dict[str, Array]
    predicted: Array
    moved: bool = False
    step: float = 0.4


def _moved(pool: Pool, log_weight: Array, *, rows: int, chance: np.random.Generator) -> _Particles:
    """Let the statements in by degrees; rows move at each. [-]"""
    degree = _degree(log_weight, left=1.0, wanted=0.5 * rows)
    weights = np.exp(degree * log_weight - log_sum(degree * log_weight))
    chosen = _resampled(weights, rows=rows, chance=chance)
    particles = _Particles({p: u[chosen] for p, u in pool.shares.items()}, pool.predicted[:, chosen], True)
    while True:
        last = degree >= 1.0
        for _ in range(LAST_MOVES if last else MOVES):
            _move(particles, pool, degree=degree, chance=chance)
        if last:
            return particles
        log_now = agreement(particles.predicted, pool.said).sum(axis=0)
        more = _degree(log_now, left=1.0 - degree, wanted=0.5 * rows)
        weights = np.exp(more * log_now - log_sum(more * log_now))
        chosen = _resampled(weights, rows=rows, chance=chance)
        particles.shares = {p: u[chosen] for p, u in particles.shares.items()}
        particles.predicted = particles.predicted[:, chosen]
        degree = min(degree + more, 1.0)


def _degree(log_weight: Array, *, left: float, wanted: float) -> float:
    """Largest power of the weights, up to what is left, that keeps enough effective rows, by halving."""
    low, high = 0.0, left
    if _effective(left * log_weight) >= wanted:
        return left
    for _ in range(20):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _effective(middle * log_weight) >= wanted else (low, middle)
    return max(low, 1e-4 * left)


def _effective(log_weight: Array) -> float:
    return float(np.exp(2.0 * log_sum(log_weight) - log_sum(2.0 * log_weight)))


def _move(particles: _Particles, pool: Pool, *, degree: float, chance: np.random.Generator) -> None:
    """Propose new rows and take those that agree well enough; a proposal alone leaves the entries' own spreads."""
    rows = particles.predicted.shape[1]
    proposed = {}
    for path, shares in particles.shares.items():
        z = normal_quantile(shares)
        step = particles.step if np.std(z) < BOUND or abs(np.mean(z)) > SHIFTED else 1.0
        fresh = chance.standard_normal(rows)
        proposed[path] = np.clip(normal_share(np.sqrt(1.0 - step**2) * z + step * fresh), EDGE, 1.0 - EDGE)
    drawn = draw(pool.plant, rows=rows, seed=pool.seed, shares=proposed, instead=pool.instead)
    said = predictions(drawn, pool.said)
    gain = (agreement(said, pool.said) - agreement(particles.predicted, pool.said)).sum(axis=0)
    taken = np.log(chance.random(rows)) < degree * gain
    particles.shares = {p: np.where(taken, proposed[p], u) for p, u in particles.shares.items()}
    particles.predicted = np.where(taken, said, particles.predicted)
    particles.step = float(np.clip(particles.step * np.exp(np.mean(taken) - WISHED), 0.05, 1.0))


def _with_row_0(shares: dict[str, Array], pool: Pool) -> dict[str, Array]:
    """Make row 0 one coherent plant: entries stay at their likely values unless what was said has moved them."""
    found = {}
    for path, rows in shares.items():
        z, u = normal_quantile(rows), rows.copy()
        moved = abs(np.mean(z)) > SHIFTED or np.std(z) < BOUND
        u[0] = normal_share(np.array([np.mean(z)]))[0] if moved else np.nan
        found[path] = u
    return found
