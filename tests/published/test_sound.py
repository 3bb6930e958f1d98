"""Sound levels and exposure limits."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.parts import sound

SOURCE = "cfr-1910-95"
SURE = "A"

OSHA = ((80, 32), (85, 16), (90, 8), (92, 6.1), (95, 4), (97, 3.0), (100, 2), (105, 1), (110, 0.5), (115, 0.25))
ROUNDED = "printed to one decimal; the table's own formula gives 3.03 h"


@pytest.mark.parametrize(("level", "hours"), OSHA)
def test_osha_durations(published, level, hours):
    computed = sound.allowed_time(level, rule="OSHA") / 3600
    reason = ROUNDED if level == 97 else ""
    published("S01", printed=hours, computed=computed, unit="h", rel=0.01, sure="A*", disagrees=reason)


@pytest.mark.parametrize(("level", "hours"), [(81, 27.9), (82, 24.3), (83, 21.1), (84, 18.4), (86, 13.9)])
def test_osha_formula(published, level, hours):
    computed = sound.allowed_time(level, rule="OSHA") / 3600
    published("S02", printed=hours, computed=computed, unit="h", abs=0.1)


@pytest.mark.parametrize(("percent", "level"), [(50, 85.0), (131, 92.0), (100, 90.0)])
def test_average_level(published, percent, level):
    computed = sound.average_level(percent / 100, rule="OSHA")
    published("S04", printed=level, computed=computed, unit="dBA", abs=0.1, sure="A*")
    printed_form = 16.61 * np.log10(percent / 100) + 90
    published("S04", printed=printed_form, computed=computed, unit="dBA", abs=0.1, sure="A*")


@pytest.mark.parametrize(("level", "hours"), [(82, 16), (85, 8), (88, 4), (91, 2), (94, 1), (100, 0.25)])
def test_niosh_durations(published, level, hours):
    computed = sound.allowed_time(level, rule="NIOSH") / 3600
    published("S06", printed=hours, computed=computed, unit="h", rel=0.01, sure="A*", source="niosh-rel")


@pytest.mark.parametrize(("level", "hours"), [(87, 8), (90, 4), (93, 2), (100, 0.4)])
def test_canadian_example(published, level, hours):
    computed = sound.allowed_time(level, rule="Canada federal") / 3600
    reason = "printed to one decimal; halving every 3 dB gives 0.397 h" if level == 100 else ""
    published("S07", printed=hours, computed=computed, unit="h", rel=1e-9, source="njc-noise", disagrees=reason)


@pytest.mark.parametrize(
    ("levels", "total"), [([90, 90], 93.01), ([90, 87], 91.76), ([90, 80], 90.41), ([85] * 4, 91.02)]
)
def test_sums(published, levels, total):
    computed = sound.sum_of_levels(levels)
    published("S08", printed=total, computed=computed, unit="dB", abs=0.02, sure="C", source="acoustics-text")


@pytest.mark.parametrize(("distance", "change"), [(4, -12.0), (2, -6.0)])
def test_distance(published, distance, change):
    computed = sound.level_at_distance(level=0, distance_known=1, distance=distance)
    published("S09", printed=change, computed=computed, unit="dB", abs=0.1, sure="A*", source="acoustics-text")


@pytest.mark.parametrize(("directivity", "level"), [(2, 82.5), (1, 79.5)])
def test_power_level(published, directivity, level):
    computed = sound.pressure_level(power_level=100, distance=3, directivity=directivity)
    published("S10", printed=level, computed=computed, unit="dB", abs=0.1, sure="C", source="acoustics-text")


@pytest.mark.parametrize(("exponent", "change"), [(20, -6.0), (30, -9.0), (50, -15.1)])
def test_half_speed(published, exponent, change):
    computed = sound.level_change(speed=7.5, rated_speed=15, exponent=exponent)
    published("S11", printed=change, computed=computed, unit="dB", abs=0.1, sure="CP", source="practice")


def test_action_level(published):
    computed = sound.noise_dose([85], times=[8 * 3600], rule="OSHA")
    published("S12", printed=50, computed=computed * 100, unit="%", rel=1e-12)
    action = float(tables.load("sound_limits").numbers("action dose")[0])
    computed = sound.average_level(action / 100, rule="OSHA")
    published("S12", printed=85, computed=computed, unit="dBA", rel=1e-12)
