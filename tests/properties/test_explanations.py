"""Explanations re-evaluate: the shown equation with the shown numbers gives the shown answer, in random plants."""

import numpy as np
import pytest
from properties.plants_at_random import owners_plant, seeded

from airfettle.errors import BadRequest
from airfettle.findings.register import RULES
from airfettle.findings.why import BEHIND
from airfettle.studies.bearing import Bearing
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.limits.declared import LIMITS
from airfettle.studies.limits.margins import margins
from airfettle.studies.meaning import evaluated, names_in
from airfettle.studies.reach import reach
from airfettle.studies.reasons import ASKED, explainable, reasons
from airfettle.studies.redrawn import entry_rows, with_rows
from airfettle.studies.whereabouts import Whereabouts
from airfettle.studies.whereabouts import there as point

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
    explanation = reasons(there, asked="electrical_power", train=there.draw.plant.trains[0].name, deep=True)
    names = {step.name for step in explanation.steps}
    for step in explanation.steps:
        assert set(step.meaning.uses) <= names
        if not step.filled and step.name not in ASKED:
            low, high = step.band.low, step.band.high
            fixed = high - low <= 1e-9 * max(abs(high), 1e-9)
            assert step.entries or step.choices or step.meaning.solved or fixed, step.name


def test_a_limit_is_explained_where_its_margin_is_least(there):
    """As its margin there, row by row at each row's own cut-in or cut-out; of several trains, of the worst."""
    places = range(len(there.state.trains))
    every = [margins(there.draw, there.numbers, there.state, place=place) for place in places]
    for name in {name for each in every for name in each}:
        told = reasons(there, asked=name).steps[0]
        likely = [np.median(each[name], axis=0) for each in every if name in each]
        assert told.meaning.label.startswith("margin to")
        lowest = min(float(np.min(each)) for each in likely)
        row_0 = [float(np.broadcast_to(each[name], (256, *likely[0].shape))[0][np.unravel_index(np.argmin(m), m.shape)])
                 for each, m in zip((e for e in every if name in e), likely, strict=True)
                 if np.min(m) == pytest.approx(lowest)]  # fmt: skip
        assert any(told.value == pytest.approx(value, rel=1e-6, abs=1e-9) for value in row_0), name


def test_entries_named_for_a_number_move_it(there):
    """The likeliest plant with one of them a thousandth larger has another number."""
    told = 0
    for asked in ("delivered_air", "motor_torque_share", "receiver_dew_point", "supply_current"):
        explanation = reasons(there, asked=asked, train=there.draw.plant.trains[0].name, deep=True)
        at = Whereabouts((explanation.frequency,), 0, explanation.gauge)
        for step in explanation.steps:
            for entry in step.entries:
                if entry.share is not None or step.name in ASKED:
                    continue
                rows = entry_rows(there.draw)[entry.path][:1] * 1.001
                moved = with_rows(there.draw, {entry.path: rows})
                here, other = (number_in(d, at, step.name, asked) for d in (there.draw, moved))
                assert here != other, (step.name, entry.path)
                told += 1
    assert told > 5


def number_in(draw, at, name, asked):
    found = point(draw, numbers=complete(draw), at=at)
    return (found.path if asked == "receiver_dew_point" else found.trains[0])[name][0]


def test_nothing_that_moves_a_number_much_is_left_out(there):
    """Of the entries that bear on a number, the strongest is named, unless five others make up its spread."""
    explanation = reasons(there, asked="pump_speed", train=there.draw.plant.trains[0].name, deep=True)
    bearing = Bearing(there.draw, at=Whereabouts((explanation.frequency,), 0, explanation.gauge))
    for step in explanation.steps:
        moves = bearing.moves(step.name, place=0)
        if step.filled or step.name in ASKED or not moves:
            continue
        strongest = max(moves, key=lambda path: abs(moves[path]))
        assert step.entries
        assert strongest in {e.path for e in step.entries} or abs(moves[strongest]) < 0.1 or len(step.entries) >= 5


def test_what_stands_behind_a_rule_is_there():
    limits = {limit.name for limit in LIMITS}
    assert set(BEHIND) <= set(RULES), set(BEHIND) - set(RULES)
    assert set(BEHIND.values()) <= limits | set(explainable())
    assert all(names_in(limit.equation) for limit in LIMITS)
