"""What one change does: entries, answers, limits and findings of two plants set side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.finding import SIGNALS, Finding
from airfettle.plant.part import Model, entry_of
from airfettle.plant.whole import OwnersPlant, walk_sections
from airfettle.quantity import Span, span_text
from airfettle.studies.bands import Band, bands
from airfettle.studies.joining import plant_answers
from airfettle.studies.limits.declared import Limit, limit_named
from airfettle.studies.limits.margins import margins
from airfettle.studies.meaning import Meaning
from airfettle.studies.rating import answer_meanings, default_frequencies
from airfettle.studies.reach import Reach
from airfettle.studies.redrawn import alike

Array = NDArray[np.float64]

NOT_TOLD = "not told"
BROKEN, SOUND = 0.5, 0.05
"""Share of the draw beyond a limit from which it counts as broken, and up to which as kept. [-]"""
LEAST_CHANGE = 1e-6
"""Relative change below which nothing has moved. [-]"""
SMALL = 0.1
"""Shift over the old band below which it is only named. [-]"""
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
    """An entry told otherwise, as text: ``not told`` where it is not, with what is assumed instead in parentheses."""

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
        ``full`` or ``low``: highest and lowest frequency that each plant is used at, at its cut-out.
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

    @property
    def small(self) -> bool:
        """It moved for sure, but by hardly anything of the spread it has anyhow."""
        return abs(self.shift.likely) < SMALL * (self.before.high - self.before.low) and not self.beyond


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
        """It was broken and is kept now, or no longer applies."""
        return (self.before or 0.0) >= BROKEN and (self.after or 0.0) < SOUND


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
    entries, assumed : tuple of EntryChange
        What is told otherwise, and what is therefore assumed otherwise where nobody tells it.
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
    assumed: tuple[EntryChange, ...]
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
        before, after, tuple(_entries(before, after)), tuple(_assumed(before, after)),
        tuple(_answers(before.reach, after.reach)), tuple(_limits(before.reach, after.reach)),
        tuple(_findings(before.findings, after.findings)),
    )  # fmt: skip


def _entries(before: Side, after: Side) -> Iterator[EntryChange]:
    old, new = dict(_told(before.told)), dict(_told(after.told))
    none = [section for each in (old, new) for section, said in each.items() if said == NONE]
    for path in dict.fromkeys([*old, *new]):
        was, now = old.get(path), new.get(path)
        if path in none and was != now:
            texts = ("none" if said == NONE else "there" if _inside(path, told) else NOT_TOLD
                     for said, told in ((was, old), (now, new)))  # fmt: skip
            yield EntryChange(path, *texts)
        elif was != now and not any(path.startswith(f"{section}.") for section in none if new.get(section) == NONE):
            same = was is not None and now is not None and was.text == now.text
            texts = (_written(said, side, path, same=same) for said, side in ((was, before), (now, after)))
            yield EntryChange(path, *texts)


@dataclass(frozen=True)
class _Said:
    """What the owner wrote: the text, and for a quantity how it is known."""

    text: str
    known: str = ""


NONE = _Said("none")
"""A part that the owner wrote is not there."""


def _inside(section: str, told: dict[str, _Said]) -> bool:
    return any(path.startswith(f"{section}.") for path in told)


def _written(said: _Said | None, side: Side, path: str, *, same: bool) -> str:
    """As told, with how it is known where that alone differs; or as assumed."""
    if said is not None:
        return f"{said.text} ({said.known})" if same else said.text
    draw = side.reach.draw
    return f"{NOT_TOLD} {_shown(side, path)}" if path in draw.assumed else NOT_TOLD


def _shown(side: Side, path: str) -> str:
    return f"({span_text(side.reach.draw.spans[path], units=side.told.about.units)})"


def _assumed(before: Side, after: Side) -> Iterator[EntryChange]:
    """What both plants assume, each otherwise: defaults that hang on a choice that was changed."""
    old, new = before.reach.draw, after.reach.draw
    for path in old.assumed:
        if path in new.assumed and not alike(old.spans[path], new.spans[path]):
            yield EntryChange(path, _shown(before, path), _shown(after, path))


def _told(plant: OwnersPlant) -> Iterator[tuple[str, _Said]]:
    """Every entry and answer to a question that the owner wrote."""
    for section, model in walk_sections(plant):
        if getattr(model, "absent", False):
            yield section, NONE
            continue
        for name, info in type(model).model_fields.items():
            value = getattr(model, name)
            if name in LEFT_OUT or isinstance(value, Model) or (isinstance(value, tuple) and _of_models(value)):
                continue
            if entry_of(info):
                if isinstance(value, Span):
                    known = ", ".join(part for part in (value.known, value.by, value.on) if part)
                    yield f"{section}.{name}", _Said(value.text or f"{value.likely:g}", known)
            elif value not in (info.default, None):
                yield f"{section}.{name}", _Said(str(value))


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
    """Answers at the lowest or highest frequency that is used, and the cut-out, shape (draw,)."""
    state, used = reach.state, default_frequencies(reach.draw, reach.numbers)[place]
    points = (len(reach.frequencies), len(reach.gauges))
    shape = (reach.draw.rows, *points)
    found = plant_answers(state, shape)
    speed = min(range(points[0]), key=lambda i: abs(reach.frequencies[i] - used))
    column = speed * points[1] + points[1] - 1
    return {n: np.broadcast_to(v[:, column], (reach.draw.rows,)) for n, v in found.items()}


def _answer(name: str, meaning: Meaning, running: str, old: Array, new: Array) -> AnswerChange | None:
    before, after, shift = bands(np.stack([old, new, new - old], axis=1))
    small = LEAST_CHANGE * max(abs(before.likely), 1e-12)
    if not (shift.low > small or shift.high < -small):
        return None
    beyond = not before.low - small <= after.likely <= before.high + small
    return AnswerChange(name, meaning, running, before, after, shift, beyond)


def _limits(before: Reach, after: Reach) -> Iterator[LimitChange]:
    """Limits train by train, matched by name; one of the whole plant, such as the dryer's, is told once."""
    olds, news = _trains(before), _trains(after)
    for train in dict.fromkeys([*olds, *news]):
        old, new = olds.get(train, {}), news.get(train, {})
        for name in dict.fromkeys([*old, *new]):
            limit, was, now = limit_named(name), old.get(name), new.get(name)
            if whole_plant(limit) and train not in (next(iter(olds)), next(iter(news))):
                continue
            change = LimitChange(limit, "" if whole_plant(limit) else train, was, now)
            if change.broke or change.healed or abs((now or 0.0) - (was or 0.0)) > SOUND:
                yield change


def whole_plant(limit: Limit) -> bool:
    """Return whether a limit is the same for every train: of the air path behind them."""
    return not limit.entries or limit.entries[0].partition(".")[0] in ("dryer", "separator")


def _trains(reach: Reach) -> dict[str, dict[str, float]]:
    """Share of the draw beyond each limit at its worst reachable point, by train. [-]"""
    found = {}
    for place, train in enumerate(reach.draw.plant.trains):
        every = margins(reach.draw, reach.numbers, reach.state, place=place)
        found[train.name] = {name: float(np.max(np.mean(margin < 0.0, axis=0))) for name, margin in every.items()}
    return found


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
