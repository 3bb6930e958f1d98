"""What to measure next is tested by doing it: the first reading narrows an answer more than the last."""

from dataclasses import replace

import honesty
import numpy as np
import pytest
from properties.plants_at_random import owners_plant, seeded

from airfettle.plant.control import Reading
from airfettle.quantity import Span
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.evidence.conditioning import conditioned, pooled
from airfettle.studies.evidence.predicted import predictions
from airfettle.studies.instant.whole import instant
from airfettle.studies.shares import explained, first_order_shares, spread_entries
from airfettle.studies.unknowns.ranking import candidates, worth_measuring

PLANTS, TRUTHS = 12, 2


def ranked_readings(plant, answer):
    """Readings on the running plant, most telling first, with what each is said to settle."""
    drawn = draw(plant, rows=1024)
    numbers = complete(drawn)
    state = instant(numbers, frequency=np.full((1, 1, 1), numbers.base_frequency),
                    receiver_pressure=np.asarray(numbers.cut_out).reshape(-1, 1, 1))  # fmt: skip
    target = np.broadcast_to(np.ravel(getattr(state.trains[0], answer)), (1024,))
    may = tuple(c for c in candidates(drawn, numbers, state) if c.path in honesty.READINGS)
    return [w.path for w in worth_measuring(np.array(target), candidates=may)]


def left_after(plant, what, answer):
    """Width of an answer's band after a simulated reading over before it, geometric mean over a few true plants."""
    reading = Reading[Span](what=what, value="", by=honesty.READINGS[what])
    plant = plant.model_copy(update={"reading": (reading,)})
    said = [honesty.reading_of(0, what)]
    pool = pooled(plant, said, rows=2048, seed=1)
    before = np.percentile(honesty.answers_of(draw(plant, rows=1024))[answer], [5, 95])
    true = predictions(draw(plant, rows=256, seed=honesty.OTHER_SEED), said)[0]
    chance = np.random.default_rng(5)
    ratios = []
    for row in chance.integers(1, 256, size=TRUTHS).tolist():
        heard = (honesty.shown_by(said[0], true[row], chance=chance),)
        after = np.percentile(
            honesty.answers_of(conditioned(replace(pool, said=heard), rows=256).draw)[answer], [5, 95]
        )
        ratios.append((after[1] - after[0]) / max(before[1] - before[0], 1e-12))
    return float(np.exp(np.mean(np.log(ratios))))


@pytest.mark.parametrize("answer", ["delivered_air", "motor_torque_share"])
def test_first_narrows_more_than_last(answer):
    numbers = [n for n in range(200) if "train" not in seeded(n)][:PLANTS]
    first, last = [], []
    for number in numbers:
        plant = owners_plant({key: value for key, value in seeded(number).items() if key != "reading"})
        ranked = ranked_readings(plant, answer)
        if len(ranked) >= 3:
            first.append(left_after(plant, ranked[0], answer))
            last.append(left_after(plant, ranked[-1], answer))
    assert len(first) >= 8
    assert np.mean(first) < 0.85 * np.mean(last)


def test_shares_of_a_sum_are_its_parts():
    chance = np.random.default_rng(3)
    a, b, c = (chance.random(1024) for _ in range(3))
    shares = first_order_shares(3.0 * a + b, entries={"b": b, "c": c, "a": a})
    assert list(shares)[:2] == ["a", "b"]
    assert shares["a"] == pytest.approx(0.9, abs=0.05)
    assert shares["b"] == pytest.approx(0.1, abs=0.06)
    assert shares["c"] < 0.05


def test_chance_alone_explains_nothing():
    chance = np.random.default_rng(4)
    found = [explained(chance.random(1024), by=chance.random(1024)) for _ in range(50)]
    assert np.mean(found) < 0.01


def test_only_drawn_entries_count():
    drawn = draw(owners_plant(seeded(1)), rows=64)
    assert set(spread_entries(drawn)) <= set(drawn.spans)
