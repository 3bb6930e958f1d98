"""Sound: edges, messages, shapes."""

import numpy as np
import pytest

from airfettle.errors import UnknownTableEntry
from airfettle.parts import sound


def test_standstill_has_a_finite_level():
    change = sound.level_change(speed=np.array([0.0, 15.0]), rated_speed=15, exponent=30)
    np.testing.assert_allclose(change, [-90, 0])


def test_silence_sums_to_a_finite_level():
    assert np.isfinite(sound.sum_of_levels([-np.inf, -np.inf]))
    assert sound.sum_of_levels([80, -np.inf]) == pytest.approx(80)


def test_no_dose_has_a_finite_average():
    assert np.isfinite(sound.average_level(0.0, rule="OSHA"))


def test_unknown_rule_says_what_there_is():
    with pytest.raises(UnknownTableEntry, match="NIOSH"):
        sound.allowed_time(90, rule="none")


def test_a_day_along_its_axis():
    levels = np.array([[85.0, 95.0], [90.0, 60.0]])
    dose = sound.noise_dose(levels, times=np.array([4, 2]) * 3600, rule="OSHA")
    np.testing.assert_allclose(dose, [0.25 + 0.5, 0.5 + 2 / 512], rtol=1e-12)
    across = sound.sum_of_levels(levels, axis=0)
    assert across.shape == (2,)


def test_corner_is_louder_than_floor():
    floor, corner = sound.pressure_level(power_level=95, distance=2, directivity=np.array([2.0, 8.0]))
    assert corner - floor == pytest.approx(6.02, abs=0.01)
