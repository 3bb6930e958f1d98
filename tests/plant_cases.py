"""Small plants for the tests of rules: a plant told in full, changed line by line."""

import tomllib
from functools import lru_cache

from airfettle.findings.judge import judge
from airfettle.plant.whole import Plant
from airfettle.quantity import Span
from airfettle.studies.day.answers import day_answers, tool_answers
from airfettle.studies.day.days import Days
from airfettle.studies.day.many import run_many
from airfettle.studies.day.prepared import WEEK, prepare_plant
from airfettle.studies.draw import draw, first_rows
from airfettle.studies.reach import reach

PATHS = 8
"""Weeks that a small plant is run for, each on a row of its own."""


def plant_of(text):
    """A plant from TOML text."""
    return Plant[Span].model_validate(tomllib.loads(text))


@lru_cache(maxsize=16)
def at_its_points(text, rows):
    """A plant given as TOML text, drawn, at every point its settings can reach."""
    return reach(draw(plant_of(text), rows=rows))


@lru_cache(maxsize=16)
def weeks_of(text, rows):
    """The same run through some weeks."""
    prepared = prepare_plant(first_rows(at_its_points(text, rows).draw, rows=PATHS))
    tally = run_many(prepared, paths=range(PATHS), seed=1, start=0.0, length=WEEK)
    return Days(prepared, tally, day_answers(prepared, tally), tool_answers(prepared, tally), None, 1)


def findings_of(text, rule, *, rows=256, through_days=False):
    """What one rule says of a plant given as TOML text, what is in order included."""
    days = weeks_of(text, rows) if through_days else None
    return [f for f in judge(at_its_points(text, rows), days=days, clear=True) if f.rule == rule]


def states_of(text, rule, *, rows=256, through_days=False):
    """The states and signal words that one rule gives a plant."""
    return [(f.state, f.signal) for f in findings_of(text, rule, rows=rows, through_days=through_days)]
