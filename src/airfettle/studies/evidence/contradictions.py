"""Statements that cannot all be right: which of them fight, and which is likelier wrong."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import AirfettleError
from airfettle.plant.whole import walk
from airfettle.quantity import Span
from airfettle.quantity.normal import log_sum
from airfettle.studies.draw import draw
from airfettle.studies.evidence.conditioning import Belief, Pool, agreement, pooled
from airfettle.studies.evidence.predicted import predictions
from airfettle.studies.evidence.statements import CHANCE_WRONG, EITHER_SIDE, FLAT_AMOUNT, Statement

Array = NDArray[np.float64]

CONTRADICTS = 0.5
"""Probability of being wrong from which a statement is said to contradict. [-]"""
SUSPECTS = 3
"""Entries looked at for each statement that contradicts. [-]"""
BEARS = 0.02
"""Change of what is predicted, for a tenth of an entry, from which the entry is a suspect. [-]"""
FEW_ROWS = 8
"""Rows drawn where only row 0 is looked at. [-]"""
TRIED = 1 << 11
"""Rows in which a suspect entry is tried. [-]"""


@dataclass(frozen=True)
class Suspect:
    """Something told that may be wrong: its path, how it reads, and how likely it is the wrong one. [-]"""

    path: str
    words: str
    probability: float


@dataclass(frozen=True)
class Contradiction:
    """Statements and entries that cannot all be right.

    Attributes
    ----------
    statement : Statement
        The one that the rest of the plant disagrees with.
    expected : tuple of float
        P5, P50, P95 of what the rest says instead. [SI]
    doubt : float
        Probability that it is wrong altogether. [-]
    suspects : tuple of Suspect
        Likeliest wrong first, the statement itself among them.
    """

    statement: Statement
    expected: tuple[float, float, float]
    doubt: float
    suspects: tuple[Suspect, ...]

    @property
    def blamed(self) -> Suspect:
        """The likelier wrong one."""
        return self.suspects[0]


def contradictions(pool: Pool, belief: Belief) -> tuple[Contradiction, ...]:
    """Return every statement that contradicts the rest, with those it fights.

    Parameters
    ----------
    pool : Pool
        The plant's pool. [SI]
    belief : Belief
        What came of it.

    Notes
    -----
    Each suspect is one way to explain what was said: this statement flat, another flat, or an entry drawn over half
    to one and a half times its value. Their probabilities are in proportion to how well all else then agrees.
    """
    places = [place for place, heard in enumerate(belief.heard) if heard.doubt > CONTRADICTS]
    moves = _moves(pool) if places else {}
    trials: dict[str, Pool | None] = {}
    found = []
    for place in places:
        heard = belief.heard[place]
        suspects = _suspects(pool, place, moves=moves, trials=trials)
        found.append(Contradiction(heard.statement, _expected(pool, place), heard.doubt, suspects))
    return tuple(found)


def _expected(pool: Pool, place: int) -> tuple[float, float, float]:
    """What all else says to a statement. [SI]"""
    others = np.delete(agreement(pool.predicted, pool.said), place, axis=0).sum(axis=0)
    weights = np.exp(others - log_sum(others))
    order = np.argsort(pool.predicted[place])
    share = np.cumsum(weights[order])
    ends = [float(pool.predicted[place][order][min(np.searchsorted(share, q), order.size - 1)])
            for q in (0.05, 0.5, 0.95)]  # fmt: skip
    return ends[0], ends[1], ends[2]


def _suspects(
    pool: Pool, place: int, *, moves: dict[str, tuple[Span, Array]], trials: dict[str, Pool | None]
) -> tuple[Suspect, ...]:
    """Every way to explain a contradiction, likeliest first."""
    said = pool.said
    tried = [
        (s.path, s.label, _log_chance(s) + _log_mean(pool.predicted, said, right=place, wrong=other))
        for other, s in enumerate(said)
    ]
    bearing = sorted(moves, key=lambda path: -moves[path][1][place])[:SUSPECTS]
    for path in bearing:
        span, moved = moves[path]
        if moved[place] <= BEARS:
            continue
        if path not in trials:
            trials[path] = _tried(pool, path, span)
        trial = trials[path]
        if trial is not None:
            chance = CHANCE_WRONG[span.known]
            odds = float(np.log(chance / (1.0 - chance)))
            tried.append((path, span.text, odds + _log_mean(trial.predicted, said, right=place, wrong=None)))
    total = log_sum(np.array([log for *_, log in tried]))
    found = [Suspect(path, words, float(np.exp(log - total))) for path, words, log in tried]
    return tuple(sorted(found, key=lambda suspect: -suspect.probability))


def _tried(pool: Pool, path: str, span: Span) -> Pool | None:
    """The plant with one entry drawn as if it were wrong; None where over such a range the plant cannot be."""
    try:
        return pooled(pool.plant, pool.said, rows=TRIED, seed=pool.seed + 1, instead={path: _widened(span)})
    except AirfettleError:
        return None


def _log_chance(s: Statement) -> float:
    return float(np.log(s.chance_wrong * s.flat_density))


def _log_mean(predicted: Array, said: tuple[Statement, ...], *, right: int, wrong: int | None) -> float:
    """Logarithm of how well all statements agree on average, one of them taken as right and one as wrong."""
    agreed = agreement(predicted, said)
    s = said[right]
    z = (s.value - predicted[right]) / s.deviation
    agreed[right] = np.log((1.0 - s.chance_wrong) / (s.deviation * np.sqrt(2.0 * np.pi))) - 0.5 * z * z
    if wrong is not None:
        agreed[wrong] = 0.0
    return float(log_sum(agreed.sum(axis=0)) - np.log(predicted.shape[1]))


def _moves(pool: Pool) -> dict[str, tuple[Span, Array]]:
    """How far each statement's prediction moves, share of itself, when an entry that was told is a tenth larger."""
    base = predictions(draw(pool.plant, rows=FEW_ROWS, seed=pool.seed, instead=pool.instead), pool.said)[:, 0]
    found = {}
    for path, span in _told(pool).items():
        tenth = replace(span, form="exact", likely=span.likely * 1.1 if span.likely else 0.1)
        try:
            drawn = draw(pool.plant, rows=FEW_ROWS, seed=pool.seed, instead={path: tenth})
            changed = predictions(drawn, pool.said)[:, 0]
        except AirfettleError:
            continue
        found[path] = (span, np.abs(changed - base) / np.maximum(np.abs(base), 1e-12))
    return found


def _told(pool: Pool) -> dict[str, Span]:
    """Entries told that are neither statements nor conditions of one, by path."""
    statements = {s.path for s in pool.said}
    return {
        path: value
        for path, _, _, _, value in walk(pool.plant)
        if isinstance(value, Span)
        and path not in statements
        and not path.startswith("reading")
        and ".rated" not in path
    }


def _widened(span: Span) -> Span:
    """What an entry might be when it is wrong: flat over half to one and a half times its value."""
    half = FLAT_AMOUNT.get(span.kind, EITHER_SIDE * abs(span.likely))
    return replace(span, form="flat", low=span.likely - half, high=span.likely + half)
