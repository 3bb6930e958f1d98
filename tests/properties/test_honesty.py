"""Are the bands honest?  Random true plants, simulated readings, and whether the truth lies inside."""

import re
from pathlib import Path

import numpy as np
import pytest
from honesty import ANSWERS, coverage, trials
from properties.plants_at_random import owners_plant, seeded

PLANTS, TRUTHS = 30, 10
"""Plant files, and true plants behind each: 300 in all."""


@pytest.fixture(scope="module")
def seen():
    """What is seen of all true plants."""
    return all_seen()


def all_seen():
    """What is seen of all true plants behind all plant files."""
    return [s for n in single_plants(PLANTS) for s in trials(n, plant_numbered(n), truths=TRUTHS, seed=1)]


def plant_numbered(number):
    """A random plant, without the readings its file may have."""
    return owners_plant({key: value for key, value in seeded(number).items() if key != "reading"})


def single_plants(count):
    """Numbers of random plants with one train."""
    numbers = [n for n in range(10 * count) if "train" not in seeded(n)]
    return numbers[:count]


@pytest.mark.parametrize("after", [False, True], ids=["before", "after"])
def test_truth_lies_inside_nine_bands_of_ten(seen, after):
    assert 0.85 <= coverage(seen, after=after) <= 0.95


@pytest.mark.parametrize("answer", ANSWERS)
def test_no_single_answer_is_far_off(seen, answer):
    some = [s for s in seen if s.answer == answer]
    assert coverage(some, after=True) >= 0.82


def widths(seen):
    """Width of each band after over before, with what it belongs to."""
    return [((s.after[1] - s.after[0]) / (s.before[1] - s.before[0]), s) for s in seen if s.before[1] > s.before[0]]


def test_readings_narrow_what_they_bear_on(seen):
    own = [width for width, s in widths(seen) if s.answer in s.read]
    assert len(own) > 100
    assert np.mean(own) < 0.5


def test_readings_narrow_all_answers_on_average_over_plants(seen):
    """By the geometric mean: a motor near stalling, whose amps grow without bound, would outweigh a hundred others."""
    assert np.exp(np.mean(np.log([width for width, _ in widths(seen)]))) < 0.8


def test_a_band_widens_only_where_the_plant_is_not_the_usual_one(seen):
    """A reading that moves a band into the tail, where few rows were, may widen it: the truth lay outside it before."""
    for width, s in widths(seen):
        if width > 1.02 and s.answer in s.read:
            assert not s.before[0] <= s.truth <= s.before[1]


def test_the_page_says_what_is_measured(seen):
    page = (Path(__file__).parents[2] / "docs/honesty.md").read_text(encoding="utf-8")
    told = [float(share) / 100.0 for share in re.search(r"\| all \| ([\d.]+)% \| ([\d.]+)% ", page).groups()]
    now = [coverage(seen, after=after) for after in (False, True)]
    assert told == pytest.approx(now, abs=0.02), "run: make evidence"
