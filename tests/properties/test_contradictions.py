"""A planted contradiction is named, and blamed on what is really wrong more often than not."""

import numpy as np
import pytest
from honesty import told_in_full
from told_plants import SI, US

from airfettle.studies.evidence.conditioning import conditioned, pooled
from airfettle.studies.evidence.contradictions import contradictions

FAULTS = {
    "US": (
        US.replace('ratio = { is = "2.42 +/- 0.02", by = "tachometer" }', ""),
        (
            ("pump_speed", 1.3), ("pump_speed", 0.7), ("motor.current", 1.5), ("pump.rated", 1.6),
            ("electrical_power", 0.6), ("electrical_power", 1.6), ("motor_current", 1.6),
            ("discharge_temperature", 70.0), ("belt.motor_sheave", 1.3), ("belt.pump_sheave", 0.75),
        ),
    ),
    "SI": (
        SI.replace('ratio = { is = "2.6 +/- 0.02", by = "tachometer" }', ""),
        (
            ("pump_speed", 1.3), ("motor.current", 0.65), ("pump.rated", 0.6), ("electrical_power", 1.6),
            ("motor_current", 0.6), ("discharge_temperature", 80.0), ("belt.motor_sheave", 0.75),
        ),
    ),
}  # fmt: skip
"""Plants told in full but for the belt's ratio; what may be wrong, and by how much (a factor, or kelvin)."""
TRIALS = 20
"""Planted faults for each plant."""


@pytest.fixture(scope="module")
def planted():
    """Every planted fault and what came of it."""
    return planted_faults()


def planted_faults():
    """For each planted fault: what is wrong, what was named, and what was blamed first."""
    found = []
    for name, (text, faults) in FAULTS.items():
        chance = np.random.default_rng(len(name) + TRIALS)
        for row in range(1, TRIALS + 1):
            owners, heard, wrong = told_in_full(text, row, chance=chance, faults=faults)
            pool = pooled(owners, heard, rows=2048, seed=1)
            named = contradictions(pool, conditioned(pool, rows=256))
            found.append((wrong, [c.statement.path for c in named], [c.blamed.path for c in named]))
    return found


def test_nearly_every_contradiction_is_named(planted):
    assert np.mean([bool(named) for _, named, _ in planted]) >= 0.95, planted


def test_the_wrong_one_is_blamed_more_often_than_not(planted):
    assert np.mean([wrong in blamed for wrong, _, blamed in planted]) > 0.6, planted


def test_without_a_fault_nothing_is_named():
    quiet = []
    for name, (text, _) in FAULTS.items():
        chance = np.random.default_rng(len(name))
        for row in range(1, 9):
            owners, heard, _ = told_in_full(text, row, chance=chance, faults=(("motor.current", 1.0),))
            pool = pooled(owners, heard, rows=2048, seed=1)
            quiet.append(not contradictions(pool, conditioned(pool, rows=256)))
    assert np.mean(quiet) >= 0.9
