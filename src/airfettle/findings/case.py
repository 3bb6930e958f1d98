"""A plant as the rules see it: its parts with their facts, its margins, and every point its settings can reach."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.finding import LIKELY, SELDOM, Point, Signal, State
from airfettle.plant.part import fact_of
from airfettle.plant.whole import TRAIN_SECTIONS
from airfettle.quantity import Span, in_unit, shown_unit, span_text, toleranced
from airfettle.studies.day.days import Days
from airfettle.studies.evidence.conditioning import Belief
from airfettle.studies.evidence.contradictions import Contradiction
from airfettle.studies.limits.declared import limit_named
from airfettle.studies.limits.margins import margins
from airfettle.studies.pipework.from_plant import has_network
from airfettle.studies.pipework.shop import ShopRun, shop_run
from airfettle.studies.reach import Reach
from airfettle.studies.shares import Ranks, shares_by, spread_entries

Array = NDArray[np.float64]
SURE_ENOUGH = ("nameplate", "maker", "measured")
"""How a limit has to be known before a danger or warning is spoken of."""
DECIDES = 0.03
"""Share of the doubt from which an entry is named as deciding it. [-]"""


@dataclass(frozen=True)
class Verdict:
    """What a rule says of one part; ``findings.judge`` makes a finding of it.

    Attributes
    ----------
    state : str
        See Finding.
    says : str
        With this plant's numbers.
    parts : tuple of str
        Paths of the parts concerned.
    do : str
        What to do here; empty takes the rule's.
    signal : str or None
        A lower signal word than the rule's.
    probability : float or None
        [-]
    decided_by, rests_on : tuple of str
        Entries that decide it; entries that must be known by plate, maker or measurement before it is more than a
        notice.
    point : Point or None
        Where it is worst.
    rows : ndarray of bool or None
        Where in the draw it holds, at the worst point, for asking what would settle it.
    among : str
        What the probability is a share of. [text]
    """

    state: State
    says: str
    parts: tuple[str, ...] = ()
    do: str = ""
    signal: Signal | None = None
    probability: float | None = None
    decided_by: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    point: Point | None = None
    rows: NDArray[np.bool_] | None = field(default=None, repr=False, compare=False)
    among: str = "the draw"


@dataclass(frozen=True)
class Part:
    """One part of a plant: its path, its entries and facts as drawn."""

    path: str
    model: Any
    case: Case = field(repr=False)
    train: int = 0

    def fact(self, name: str) -> Any:
        """Return the answer to a question, or a choice."""
        return getattr(self.model, name)

    def rows(self, name: str) -> Array | None:
        """Return an entry as drawn, axes (draw, 1, 1), or None where nothing is told or assumed. [SI]"""
        found: Array | None = getattr(self.model, name)
        return found

    def at(self, name: str) -> str:
        """Return the path of an entry."""
        return f"{self.path}.{name}"

    def told(self, name: str) -> bool:
        """Return whether the owner told an entry that is a quantity."""
        return self.at(name) in self.case.reach.draw.spans and self.at(name) not in self.case.reach.draw.assumed

    def shown(self, name: str) -> str:
        """Return an entry as the owner reads it; "not told" where it is not."""
        span = self.case.reach.draw.spans.get(self.at(name))
        return "not told" if span is None else span_text(span, units=self.case.units)


class Case:
    """A plant at every point its settings can reach, for the rules to look at."""

    def __init__(
        self,
        reach: Reach,
        *,
        belief: Belief | None = None,
        contradictions: tuple[Contradiction, ...] = (),
        days: Days | None = None,
    ) -> None:
        self.reach, self.belief, self.contradictions, self.days = reach, belief, contradictions, days
        self.plant = reach.draw.plant
        self.units = self.plant.about.units

    def parts(self, section: str) -> Iterator[Part]:
        """Yield every part of a section that the plant has, told or assumed; trains' parts train by train."""
        if section in TRAIN_SECTIONS:
            yield from self._of_trains(section)
            return
        found = getattr(self.plant, section)
        several = found if isinstance(found, tuple) else (found,)
        for place, part in enumerate(several):
            if part is not None and not getattr(part, "absent", False):
                own = getattr(part, "name", "") or (str(place + 1) if len(several) > 1 else "")
                yield Part(f"{section}.{own}" if own and isinstance(found, tuple) else section, part, self)

    def _of_trains(self, section: str) -> Iterator[Part]:
        several = bool(self.plant.train)
        for place, train in enumerate(self.plant.trains):
            part = getattr(train, section)
            if part is None or part.absent:
                continue
            name = train.name or str(place + 1)
            shared = section == "supply" and several and part is self.plant.supply
            if shared and place:
                continue
            path = f"train.{name}.{section}" if several and not shared else section
            yield Part(path, part, self, place)

    def part(self, section: str, *, train: int = 0) -> Part | None:
        """Return the part of a section, of a train where trains have their own, or None where there is none."""
        found = [p for p in self.parts(section) if section not in TRAIN_SECTIONS or p.train == train]
        if not found and section == "supply":
            found = list(self.parts(section))
        return found[0] if found else None

    def trains(self) -> range:
        """Return the places of the trains."""
        return range(len(self.plant.trains))

    def direct(self, train: int = 0) -> bool:
        """Return whether a train's motor hangs straight on the line."""
        return self.reach.numbers.trains[train].power.direct

    @cached_property
    def margins(self) -> tuple[dict[str, Array], ...]:
        """Every margin of every train at every reachable point."""
        r = self.reach
        return tuple(margins(r.draw, r.numbers, r.state, place=place) for place in self.trains())

    @cached_property
    def pipes(self) -> ShopRun | None:
        """The shop's pipe at cut-in, all running that can at once; None where no drops with tools are told."""
        return shop_run(self.reach.draw, shares=False) if has_network(self.plant) else None

    # Verdicts.

    def asked(
        self, part: Part, name: str, *, bad: tuple[str, ...], says: str, unknown: str = "", fine: str = "", **more: Any
    ) -> Verdict:
        """Return the verdict on a question of fact.

        Parameters
        ----------
        part : Part
            Whose.
        name : str
            The entry; ``unknown`` is not told, an answer in ``bad`` holds, any other is clear.
        bad : tuple of str
            Answers that hold.
        says, unknown, fine : str
            Words where it holds, where it is not told (the question itself by default), and where it is clear.
        more
            Further fields of the verdict.
        """
        answer = part.fact(name)
        info = type(part.model).model_fields[name]
        question = fact_of(info)
        asked = question.question if question else str(name)
        look = f" {question.look[0].upper()}{question.look[1:]}." if question and question.look else ""
        more = {"decided_by": (part.at(name),), "parts": (part.path,)} | more
        if answer in bad:
            return Verdict("holds", says, **more)
        if answer == "unknown":
            more["do"] = f"Find out and write it down: {name} under [{part.path}].{look}"
            return Verdict("not told", unknown or f"Not told: {asked}", **more)
        return Verdict("clear", fine, **more)

    def likely(
        self,
        breach: NDArray[np.bool_],
        *,
        says: str | Callable[[At], str],
        parts: tuple[str, ...],
        rests_on: tuple[str, ...] = (),
        how_far: Array | None = None,
        **more: Any,
    ) -> Verdict:
        """Return the verdict on something that holds in a share of the draw.

        Parameters
        ----------
        breach : ndarray of bool
            Axes (draw, speed, pressure) over the reachable points, or (draw, 1, 1).
        says : str or callable
            Words; a callable is given the worst point, to show numbers there.
        parts, rests_on : tuple of str
            See Verdict.
        how_far : ndarray or None
            Larger where it is worse, axes as the breach: tells the worst of points where it holds alike. [-]
        more
            Further fields of the verdict.
        """
        there = np.asarray(breach, dtype=bool)
        there = there.reshape(there.shape + (1,) * (3 - there.ndim))
        share = there.mean(axis=0)
        worst = share
        if how_far is not None:
            depth = np.broadcast_to(np.median(how_far, axis=0), share.shape)
            worst = np.where(share >= share.max(), depth, -np.inf)
        place = np.unravel_index(int(np.argmax(worst)), share.shape)
        at = At(self, int(place[0]), int(place[1]))
        probability = float(share[place])
        state = _state(probability)
        point = self._point(at, parts) if share.size > 1 else None
        rows = there[:, place[0], place[1]]
        decided = self._deciding(rows) if state == "may hold" or (state == "holds" and probability < 1.0) else ()
        words = "" if state == "clear" else says(at) if callable(says) else says
        more = {"decided_by": decided or rests_on} | more
        return Verdict(state, words, parts, probability=probability, rests_on=rests_on, point=point, rows=rows,
                       **more)  # fmt: skip

    def over_days(
        self,
        breach: NDArray[np.bool_],
        *,
        says: str,
        parts: tuple[str, ...],
        rests_on: tuple[str, ...] = (),
        **more: Any,
    ) -> Verdict:
        """Return the verdict on something that a share of the days run shows; it has no worst point.

        Parameters
        ----------
        breach : ndarray of bool
            For each path, shape (paths,).
        says : str
            Words, with this plant's numbers over the paths, see ``band``.
        parts, rests_on : tuple of str
            See Verdict.
        more
            Further fields of the verdict.
        """
        probability = float(np.mean(breach))
        state = _state(probability)
        more = {"decided_by": rests_on, "among": "the weeks run"} | more
        return Verdict(state, "" if state == "clear" else says, parts, probability=probability, rests_on=rests_on,
                       **more)  # fmt: skip

    def _point(self, at: At, parts: tuple[str, ...]) -> Point:
        """The worst point; a part of a train on the line runs at its mains, whatever the drives do."""
        for place in self.trains():
            name = self.plant.trains[place].name or str(place + 1)
            if self.direct(place) and self.plant.train and any(part.startswith(f"train.{name}.") for part in parts):
                mains = float(np.ravel(self.reach.numbers.trains[place].power.supply_frequency)[0])
                return Point(mains, at.point.receiver_gauge)
        return at.point

    def beyond(
        self, limit: str, *, train: int, says: str | Callable[[At], str], parts: tuple[str, ...], **more: Any
    ) -> Verdict | None:
        """Return the verdict on a limit of a train, or None where the limit does not apply to it."""
        margin = self.margins[train].get(limit)
        if margin is None:
            return None
        entries = tuple(self.entry_path(entry, train=train) for entry in limit_named(limit).entries)
        rests_on = tuple(entry for entry in entries if entry in self.reach.draw.spans) or entries
        return self.likely(margin < 0.0, says=says, parts=parts, how_far=-margin, **({"rests_on": rests_on} | more))

    def entry_path(self, entry: str, *, train: int = 0) -> str:
        """Return the path of an entry given below its train, as the plant file has it."""
        section = entry.partition(".")[0]
        if section not in TRAIN_SECTIONS or not self.plant.train:
            return entry
        own = self.plant.train[train]
        return entry if section == "supply" and own.supply is None else f"train.{own.name or train + 1}.{entry}"

    def _deciding(self, rows: NDArray[np.bool_]) -> tuple[str, ...]:
        """Paths of the entries that decide a thing, strongest first."""
        if rows.size < self.reach.draw.rows:
            return ()
        shares = shares_by(rows.astype(np.float64), ranks=self._ranks)
        return tuple(path for path, share in list(shares.items())[:3] if share >= DECIDES)

    @cached_property
    def _ranks(self) -> Ranks:
        return Ranks.of(spread_entries(self.reach.draw))

    def span(self, path: str) -> Span | None:
        """Return the span that was drawn for a path, or None."""
        return self.reach.draw.spans.get(path)

    def sure(self, paths: tuple[str, ...]) -> bool:
        """Return whether all entries are known by plate, maker or measurement; whether there are none."""
        return all((span := self.span(path)) is not None and span.known in SURE_ENOUGH for path in paths)

    def show(self, rows: Array, *, kind: str) -> str:
        """Return numbers as a toleranced value in the owner's units; gauge for the kind ``pressure``. [SI]"""
        low, likely, high = np.percentile(np.ravel(rows), [5.0, 50.0, 95.0])
        return toleranced(float(low), float(likely), float(high), kind=kind, units=self.units)

    def band(self, rows: Array, *, kind: str) -> str:
        """Return numbers that lean to one side as ``3.1..12 min``, nine tenths of them, in the owner's units. [SI]"""
        unit = shown_unit(kind, self.units)
        ends = (in_unit(float(end), kind=kind, unit=unit) for end in np.percentile(np.ravel(rows), [5.0, 95.0]))
        low, high = (f"{float(f'{end:.2g}' if abs(end) < 100.0 else f'{end:.3g}'):g}" for end in ends)
        return f"{low if low == high else f'{low}..{high}'} {unit.strip('-')}".strip()


def _state(probability: float) -> State:
    """State of what holds with a probability."""
    return "holds" if probability >= LIKELY else "may hold" if probability >= SELDOM else "clear"


@dataclass(frozen=True)
class At:
    """The worst point of a verdict: places among the reachable frequencies and pressures."""

    case: Case
    speed: int
    pressure: int

    @property
    def point(self) -> Point:
        """Frequency and pressure there, at likely values."""
        reach = self.case.reach
        return Point(reach.frequencies[min(self.speed, len(reach.frequencies) - 1)], reach.gauges[self.pressure])

    def rows(self, values: Array) -> Array:
        """Return the rows of an array with axes (draw, speed, pressure) here."""
        return np.asarray(values[:, min(self.speed, values.shape[1] - 1), min(self.pressure, values.shape[2] - 1)])

    def show(self, values: Array, *, kind: str) -> str:
        """Return the values here as a toleranced number in the owner's units. [SI]"""
        return self.case.show(self.rows(values), kind=kind)
