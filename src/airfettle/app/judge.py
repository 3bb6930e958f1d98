"""Judge a plant file: what may hurt, what does not fit, what nobody told."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from airfettle.app.load import Loaded, believed
from airfettle.errors import BadRequest, EntriesDisagree
from airfettle.findings.finding import Finding
from airfettle.findings.judge import judge
from airfettle.store.plant_file import placed_in
from airfettle.studies.day.answers import day_answers, tool_answers
from airfettle.studies.day.days import Days
from airfettle.studies.day.many import run_many
from airfettle.studies.day.prepared import WEEK, prepare_plant
from airfettle.studies.draw import ROWS, first_rows
from airfettle.studies.reach import Reach, reach

WEEKS = 32
"""Weeks a plant is run for to be judged, each on a row of its own. [-]"""


@dataclass(frozen=True)
class Judged:
    """A plant with what was found about it.

    Attributes
    ----------
    loaded : Loaded
        As told and as drawn.
    reach : Reach
        At every point its settings can bring it to. [SI]
    findings : tuple of Finding
        Worst first.
    """

    loaded: Loaded
    reach: Reach
    findings: tuple[Finding, ...]

    def danger(self, *, strict: bool = False) -> bool:
        """Return whether a danger holds; strictly, whether one may hold or its fact is not told."""
        told = [f for f in self.findings if f.state != "clear" and f.rule_signal == "danger"]
        return any(strict or (f.signal == "danger" and f.state == "holds") for f in told)


def judge_loaded(loaded: Loaded, *, clear: bool = False, through_days: bool = False, seed: int = 1) -> Judged:
    """Judge a plant that was read and drawn, and through its days where it tells uses and that is asked for."""
    try:
        there = reach(loaded.draw)
        days = some_weeks(loaded, seed=seed) if through_days and loaded.told.use else None
    except EntriesDisagree as error:
        raise placed_in(loaded.path, error) from error
    found = judge(there, belief=loaded.belief, contradictions=loaded.contradictions, days=days, clear=clear)
    return Judged(loaded, there, found)


def some_weeks(loaded: Loaded, *, weeks: int = WEEKS, seed: int = 1) -> Days | None:
    """Run a plant that was read through a week, by some chances; None where there is nothing to run.

    Nothing that hurts is judged by it: what only time shows are cautions.
    """
    try:
        prepared = prepare_plant(first_rows(loaded.draw, rows=weeks))
    except BadRequest:  # no receiver, or more uses than a day can hold: said where a day is asked for
        return None
    tally = run_many(prepared, paths=range(weeks), seed=seed, start=0.0, length=WEEK)
    return Days(prepared, tally, day_answers(prepared, tally), tool_answers(prepared, tally), None, seed)


def judge_file(
    path: str | Path, *, rows: int = ROWS, seed: int = 1, clear: bool = False, through_days: bool = False
) -> Judged:
    """Read, draw and judge a plant.

    Parameters
    ----------
    path : path
        The plant file.
    rows, seed : int
        Of the draw.
    clear : bool
        Also tell what was looked at and is in order.
    through_days : bool
        Also run it through its days, where it tells uses.

    Raises
    ------
    AirfettleError
        One clear error.
    """
    return judge_loaded(believed(path, rows=rows, seed=seed), clear=clear, through_days=through_days, seed=seed)
