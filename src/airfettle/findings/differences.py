"""What one change does: entries, answers, limits and findings of two plants set side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.finding import SIGNALS, Finding
from airfettle.plant.part import Model, entry_of
from airfettle.plant.whole import OwnersPlant, walk_sections
from airfettle.quantity import Span
from airfettle.studies.bands import Band, bands
from airfettle.studies.joining import together, train_answers
from airfettle.studies.limits.declared import Limit, limit_named
from airfettle.studies.limits.margins import margins
from airfettle.studies.meaning import Meaning, meanings
from airfettle.studies.rating import answer_meanings
from airfettle.studies.reach import Reach

Array = NDArray[np.float64]

NOT_TOLD = "not told"
BROKEN, SOUND = 0.5, 0.05
"""Share of the draw beyond a limit from which it counts as broken, and up to which as kept. [-]"""
LEAST_CHANGE = 1e-6
"""Relative change below which nothing has moved. [-]"""
LEFT_OUT = {"name", "note", "based_on", "units", "currency", "source", "price", "mass"}
"""Entries that move nothing."""


@dataclass(frozen=True)
class Side:
    """One of two plants: as told, at every point it can reach, and what was found."""

    name: str
    told: OwnersPlant
    reach: Reach
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class EntryChange:
    """An entry told otherwise, as text; ``not told`` where it is not."""

    path: str
    before: str
    after: str


@dataclass(frozen=True)
class AnswerChange:
    """An answer at one way of running the plant, before and after.

    Attributes
    ----------
    name, meaning : str, Meaning
        Which.
    running : str
        ``full`` or ``low``: highest and lowest frequency each plant is set to, at its cut-out.
    before, after, shift : Band
        Bands, and that of the difference row by row. [SI]
    beyond : bool
        The new likely value lies outside the old band.
    """

    name: str
    meaning: Meaning
    running: str
    before: Band
    after: Band
    shift: Band
    beyond: bool


@dataclass(frozen=True)
class LimitChange:
    """A limit with the share of the draw beyond it at the worst point, before and after. [-]

    A limit that does not apply to a plant has None.
    """

    limit: Limit
    train: str
    before: float | None
    after: float | None

    @property
    def broke(self) -> bool:
        """It is broken now and was not."""
        return (self.after or 0.0) >= BROKEN > (self.before or 0.0)

    @property
    def healed(self) -> bool:
        """It was broken and is kept now."""
        return (self.before or 0.0) >= BROKEN > (self.after or 0.0)


@dataclass(frozen=True)
class FindingChange:
    """A finding before and after; None where there is none."""

    before: Finding | None
    after: Finding | None

    @property
    def worse(self) -> bool:
        """It is new, or said louder."""
        return _loudness(self.after) < _loudness(self.before)


@dataclass(frozen=True)
class Comparison:
    """What the change from one plant to another does.

    Attributes
    ----------
    before, after : Side
        The plants.
    entries : tuple of EntryChange
        What is told otherwise.
    answers : tuple of AnswerChange
        Answers that moved for sure: the difference row by row does not contain zero.
    limits : tuple of LimitChange
        Limits that broke, healed, or whose share beyond changed by over a twentieth of the draw.
    findings : tuple of FindingChange
        Findings that came, went, or changed, the new and worse ones first.
    """

    before: Side
    after: Side
    entries: tuple[EntryChange, ...]
    answers: tuple[AnswerChange, ...]
    limits: tuple[LimitChange, ...]
    findings: tuple[FindingChange, ...]


def compare(before: Side, after: Side) -> Comparison:
    """Return what the change from one plant to another does.

    Notes
    -----
    Entries told alike draw the same rows in both plants, so that the difference row by row is the change's own.
    """
    return Comparison(
        before, after, tuple(_entries(before.told, after.told)), tuple(_answers(before.reach, after.reach)),
        tuple(_limits(before.reach, after.reach)), tuple(_findings(before.findings, after.findings)),
    )  # fmt: skip


def _entries(before: OwnersPlant, after: OwnersPlant) -> Iterator[EntryChange]:
    old, new = dict(_told(before)), dict(_told(after))
    for path in dict.fromkeys([*old, *new]):
        was, now = old.get(path, NOT_TOLD), new.get(path, NOT_TOLD)
        if was != now:
            yield EntryChange(path, was, now)


def _told(plant: OwnersPlant) -> Iterator[tuple[str, str]]:
    """Every entry and answer to a question that the owner wrote, with its text."""
    for section, model in walk_sections(plant):
        for name, info in type(model).model_fields.items():
            value = getattr(model, name)
            if name in LEFT_OUT or isinstance(value, Model) or (isinstance(value, tuple) and _of_models(value)):
                continue
            if entry_of(info):
                if isinstance(value, Span):
                    yield f"{section}.{name}", value.text or f"{value.likely:g}"
            elif value not in (info.default, None):
                yield f"{section}.{name}", str(value)


def _of_models(value: tuple[object, ...]) -> bool:
    return any(isinstance(item, Model) for item in value)


def _answers(before: Reach, after: Reach) -> Iterator[AnswerChange]:
    every = answer_meanings()
    for running, place in (("full", -1), ("low", 0)):
        old, new = _at(before, place), _at(after, place)
        for name in every:
            if name in old and name in new and old[name].shape == new[name].shape:
                change = _answer(name, every[name], running, old[name], new[name])
                if change is not None:
                    yield change


def _at(reach: Reach, place: int) -> dict[str, Array]:
    """Answers at the lowest or highest frequency and the cut-out, shape (draw,)."""
    state = reach.state
    points = (len(reach.frequencies), len(reach.gauges))
    shape = (reach.draw.rows, *points)
    found = together(state, trains=[train_answers(train, shape) for train in state.trains], shape=shape)
    column = (place % points[0]) * points[1] + points[1] - 1
    for name, meaning in meanings(state.path).items():
        value = getattr(state.path, name)
        if meaning.is_answer and value is not None:
            found[name] = np.broadcast_to(value, (value.shape[0], *points)).reshape(value.shape[0], -1)
    return {n: np.broadcast_to(v[:, column], (reach.draw.rows,)) for n, v in found.items()}


def _answer(name: str, meaning: Meaning, running: str, old: Array, new: Array) -> AnswerChange | None:
    before, after, shift = bands(np.stack([old, new, new - old], axis=1))
    small = LEAST_CHANGE * max(abs(before.likely), 1e-12)
    if not (shift.low > small or shift.high < -small):
        return None
    beyond = not before.low - small <= after.likely <= before.high + small
    return AnswerChange(name, meaning, running, before, after, shift, beyond)


def _limits(before: Reach, after: Reach) -> Iterator[LimitChange]:
    for place, train in enumerate(after.draw.plant.trains):
        old, new = _beyond(before, place), _beyond(after, place)
        for name in dict.fromkeys([*old, *new]):
            was, now = old.get(name), new.get(name)
            change = LimitChange(limit_named(name), train.name, was, now)
            if change.broke or change.healed or abs((now or 0.0) - (was or 0.0)) > SOUND:
                yield change


def _beyond(reach: Reach, place: int) -> dict[str, float]:
    """Share of the draw beyond each limit at its worst reachable point. [-]"""
    if place >= len(reach.state.trains):
        return {}
    every = margins(reach.draw, reach.numbers, reach.state, place=place)
    return {name: float(np.max(np.mean(margin < 0.0, axis=0))) for name, margin in every.items()}


def _findings(before: tuple[Finding, ...], after: tuple[Finding, ...]) -> Iterator[FindingChange]:
    old, new = ({f.name: f for f in findings if f.state != "clear"} for findings in (before, after))
    changes = [
        FindingChange(old.get(name), new.get(name))
        for name in dict.fromkeys([*new, *old])
        if _said(old.get(name)) != _said(new.get(name))
    ]
    yield from sorted(changes, key=lambda c: (not c.worse, min(_loudness(c.after), _loudness(c.before))))


def _said(finding: Finding | None) -> tuple[str, str] | None:
    return None if finding is None else (finding.signal, finding.state)


def _loudness(finding: Finding | None) -> int:
    """Place among the signal words; none at all comes last."""
    return len(SIGNALS) if finding is None else SIGNALS.index(finding.signal)
