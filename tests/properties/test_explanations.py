"""Explanations re-evaluate: the shown equation with the shown numbers gives the shown answer, in random plants."""

import numpy as np
import pytest
from properties.plants_at_random import owners_plant, seeded

from airfettle.errors import BadRequest
from airfettle.findings.register import RULES
from airfettle.findings.why import BEHIND
from airfettle.plant.whole import walk
from airfettle.studies.draw import draw
from airfettle.studies.instant.state import PathState, TrainState
from airfettle.studies.limits.declared import LIMITS
from airfettle.studies.limits.margins import margins
from airfettle.studies.limits.numbers import LimitNumbers
from airfettle.studies.meaning import evaluated, meanings, names_in
from airfettle.studies.reach import reach
from airfettle.studies.reasons import ASKED, ENTRIES, explainable, reasons

SEEDS = (1, 2, 5, 8, 13)


@pytest.fixture(scope="module", params=SEEDS)
def there(request):
    """A random plant at every point it can reach."""
    return reach(draw(owners_plant(seeded(request.param)), rows=256))


def test_what_is_shown_gives_what_is_shown(there):
    told = 0
    for asked in explainable():
        try:
            explanation = reasons(there, asked=asked, deep=True)
        except BadRequest:  # a number that this plant does not have
            continue
        for step in explanation.steps:
            if step.filled:
                assert float(evaluated(step.filled, {})) == pytest.approx(step.value, rel=2e-5, abs=1e-7), step.name
                told += 1
    assert told > 40


def test_every_step_down_ends_at_entries_or_where_it_was_looked_at(there):
    explanation = reasons(there, asked="electrical_power", deep=True)
    names = {step.name for step in explanation.steps}
    for step in explanation.steps:
        assert set(step.meaning.uses) <= names
        if not step.filled and step.name not in ASKED:
            low, high = step.band.low, step.band.high
            assert step.entries or step.meaning.solved or high - low <= 1e-9 * max(abs(high), 1e-9), step.name


def test_a_limits_value_is_its_margin(there):
    every = margins(there.draw, there.numbers, there.state)
    for name, margin in every.items():
        explanation = reasons(there, asked=name, gauge=None)
        assert explanation.steps[0].name == name
        assert np.isfinite(explanation.steps[0].value)
        assert margin.ndim == 3


def test_entries_named_are_entries_of_the_plant():
    drawn = draw(owners_plant(seeded(1)), rows=8)
    known = {
        ".".join(part for part in path.split(".") if not part.isdigit())
        for path, *_ in walk(drawn.plant)
    } | {"pump.rated.air", "relief_valve.capacity", "separator.drop", "check_valve.drop", "cooler.drop",
         "separator.lowest_flow", "separator.highest_flow", "pump.first_stage.stroke_over_bore"}  # fmt: skip
    fields = {*meanings(TrainState), *meanings(PathState), *meanings(LimitNumbers)}
    assert set(ENTRIES) <= fields
    for name, entries in ENTRIES.items():
        for entry in entries:
            section = entry.partition(".")[0]
            assert entry in known or any(path.startswith(section) for path in known), (name, entry)


def test_what_stands_behind_a_rule_is_there():
    limits = {limit.name for limit in LIMITS}
    assert set(BEHIND) <= set(RULES), set(BEHIND) - set(RULES)
    assert set(BEHIND.values()) <= limits | set(explainable())
    assert all(names_in(limit.equation) for limit in LIMITS)
