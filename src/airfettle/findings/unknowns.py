"""What to measure next: for an answer, and for every finding that may or may not hold."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import BadRequest, UnknownChoice
from airfettle.findings.finding import Finding
from airfettle.plant.whole import OwnersPlant
from airfettle.studies.bands import Band, bands
from airfettle.studies.instant.whole import instant
from airfettle.studies.joining import plant_answers
from airfettle.studies.meaning import Meaning
from airfettle.studies.rating import answer_meanings
from airfettle.studies.reach import Reach
from airfettle.studies.shares import first_order_shares, spread_entries
from airfettle.studies.unknowns.ranking import WORTH, Candidate, Worth, candidates, worth_measuring

Array = NDArray[np.float64]

STANDARD_ANSWER = "delivered_air"
"""Answer asked about where none is named."""
UNDECIDED = 5
"""Findings that are undecided and told, the most doubtful first. [-]"""


@dataclass(frozen=True)
class Narrowing:
    """What would narrow one answer.

    Attributes
    ----------
    name, meaning : str, Meaning
        The answer.
    frequency, gauge : float
        Where it is looked at: full frequency, likely cut-out, gauge. [Hz] [Pa]
    band : Band
        As it is known now. [SI]
    ranked : tuple of Worth
        Measurements, the most telling first.
    entries : dict
        Path -> share of the answer's variance that the entry alone explains, largest first. [-]
    """

    name: str
    meaning: Meaning
    frequency: float
    gauge: float
    band: Band
    ranked: tuple[Worth, ...]
    entries: dict[str, float]


@dataclass(frozen=True)
class Unknowns:
    """What to measure next.

    Attributes
    ----------
    answer : Narrowing
        For the answer asked about.
    undecided : tuple
        Findings that may hold, each with the measurements that would settle it.
    questions : tuple of Finding
        Facts not told that may hide a danger: look first.
    """

    answer: Narrowing
    undecided: tuple[tuple[Finding, tuple[Worth, ...]], ...]
    questions: tuple[Finding, ...]


def unknowns_of(
    reach: Reach,
    *,
    told: OwnersPlant,
    findings: tuple[Finding, ...],
    answer: str = STANDARD_ANSWER,
    frequency: float | None = None,
) -> Unknowns:
    """Return what to measure next on a plant.

    Parameters
    ----------
    reach : Reach
        The plant at every point its settings can bring it to. [SI]
    told : OwnersPlant
        As the owner wrote it. [spans]
    findings : tuple of Finding
        What was found about it.
    answer : str
        Answer id to narrow.
    frequency : float or None
        Where readings would be taken; None takes the highest that the plant is set to. [Hz]

    Raises
    ------
    AirfettleError
        An answer that is none, or that this plant does not have.
    """
    _check(answer)
    draw, numbers = reach.draw, reach.numbers
    hertz = reach.frequencies[-1] if frequency is None else frequency
    state = instant(
        numbers, frequency=np.full((1, 1, 1), hertz), receiver_pressure=np.asarray(numbers.cut_out).reshape(-1, 1, 1)
    )
    values = plant_answers(state, (draw.rows, 1, 1))
    if answer not in values:
        raise BadRequest(read=answer, where="--for", wanted="an answer that this plant has")
    rows = np.array(np.broadcast_to(np.ravel(values[answer]), (draw.rows,)))
    may = _not_read_yet(candidates(draw, numbers, state), told)
    narrowing = Narrowing(
        answer, answer_meanings()[answer], hertz, reach.gauges[-1], bands(rows[:, None])[0],
        _worth(worth_measuring(rows, candidates=tuple(c for c in may if c.path != answer))),
        first_order_shares(rows, entries=spread_entries(draw)),
    )  # fmt: skip
    return Unknowns(narrowing, _undecided(findings, rows=draw.rows, may=may), tuple(
        f for f in findings if f.state == "not told" and f.rule_signal == "danger"
    ))  # fmt: skip


def _check(answer: str) -> None:
    every = answer_meanings()
    if answer not in every:
        near = get_close_matches(answer, every, n=1)
        raise UnknownChoice(
            read=repr(answer),
            where="--for",
            wanted="an answer id: " + ", ".join(every),
            instead=near[0] if near else "",
        )


def _not_read_yet(may: tuple[Candidate, ...], told: OwnersPlant) -> tuple[Candidate, ...]:
    """Leave out what was read already."""
    done = {(reading.what, reading.part) for reading in told.reading}
    return tuple(c for c in may if (c.path, c.train) not in done)


def _worth(ranked: tuple[Worth, ...]) -> tuple[Worth, ...]:
    return tuple(worth for worth in ranked if worth.settles >= WORTH)


def _undecided(
    findings: tuple[Finding, ...], *, rows: int, may: tuple[Candidate, ...]
) -> tuple[tuple[Finding, tuple[Worth, ...]], ...]:
    """Findings that may or may not hold, the most doubtful and gravest first, with what would settle each."""
    open_ones = [
        f for f in findings
        if f.probability is not None and f.rows is not None and f.rows.size == rows and 0.01 <= f.probability <= 0.99
    ]  # fmt: skip
    order = ("danger", "warning", "caution", "notice")
    open_ones.sort(key=lambda f: (order.index(f.rule_signal), abs((f.probability or 0.0) - 0.5)))
    return tuple(
        (f, _worth(worth_measuring(f.rows.astype(np.float64), candidates=may))[:3])
        for f in open_ones[:UNDECIDED]
        if f.rows is not None
    )
