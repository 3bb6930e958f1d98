"""Sound: sums, doses and distances."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airfettle.parts import sound

levels = st.floats(30, 120)
RULES = st.sampled_from(["OSHA", "NIOSH", "Canada federal"])


@given(st.lists(levels, min_size=1, max_size=6))
def test_a_sum_lies_above_its_loudest(parts):
    total = sound.sum_of_levels(parts)
    assert max(parts) - 1e-9 <= total <= max(parts) + 10 * np.log10(len(parts)) + 1e-9
    assert sound.sum_of_levels(parts[::-1]) == pytest.approx(total, abs=1e-9)


@given(levels, RULES)
def test_eight_hours_average_to_themselves(level, rule):
    dose = sound.noise_dose([level], times=[8 * 3600], rule=rule)
    assert sound.average_level(dose, rule=rule) == pytest.approx(level, abs=1e-9)


@given(levels, RULES, st.floats(0.1, 0.9))
def test_a_dose_may_be_split(level, rule, share):
    whole = sound.noise_dose([level], times=[3600], rule=rule)
    split = sound.noise_dose([level, level], times=[3600 * share, 3600 * (1 - share)], rule=rule)
    assert split == pytest.approx(whole, rel=1e-9)


@given(levels, st.floats(0.5, 20), st.floats(0.5, 20))
def test_distance_there_and_back(level, near, far):
    there = sound.level_at_distance(level=level, distance_known=near, distance=far)
    assert sound.level_at_distance(level=there, distance_known=far, distance=near) == pytest.approx(level, abs=1e-9)


@given(levels, st.floats(0.5, 20), st.floats(1, 500))
def test_a_room_is_louder_than_the_open(power, distance, constant):
    free = sound.pressure_level(power_level=power, distance=distance)
    assert sound.pressure_level(power_level=power, distance=distance, room_constant=constant) > free


@given(st.floats(0, 30), st.floats(0, 30), st.floats(20, 50))
def test_slower_is_never_louder(one, other, exponent):
    low, high = sorted((one, other))
    quiet, loud = (sound.level_change(speed=n, rated_speed=15, exponent=exponent) for n in (low, high))
    assert quiet <= loud
