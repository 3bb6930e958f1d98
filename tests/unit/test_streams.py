"""Chance: a path's numbers belong to the path alone."""

import json
import subprocess
import sys
from itertools import combinations

import numpy as np
import pytest
from scipy import stats

from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import drawn, exactly, read_span, stratified_stream
from airfettle.studies.draw import draw

ROWS = 1024
PATHS = ["pump.first_stage.bore", "pump.first_stage.stroke", "pump.leakage", "motor.current", "site.altitude",
         "receiver.volume", "receiver.1.volume",
         "receiver.2.volume", "train.1.pump.bore", "train.2.pump.bore"]  # fmt: skip


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("rows", [8, 64, 1024])
def test_one_in_each_stratum(path, rows):
    shares = stratified_stream(path, rows=rows, seed=1)
    assert shares.shape == (rows,)
    assert np.array_equal(np.sort(np.floor(shares * rows)), np.arange(rows))
    assert shares.min() > 0.0
    assert shares.max() < 1.0


def test_uniform_inside_the_strata():
    within = np.concatenate([stratified_stream(path, rows=ROWS, seed=1) * ROWS % 1.0 for path in PATHS])
    assert stats.kstest(within, "uniform").pvalue > 1e-3


def test_the_same_path_and_seed_are_the_same_numbers():
    for path in PATHS:
        assert np.array_equal(stratified_stream(path, rows=64, seed=7), stratified_stream(path, rows=64, seed=7))
    assert not np.array_equal(
        stratified_stream(PATHS[0], rows=64, seed=7), stratified_stream(PATHS[0], rows=64, seed=8)
    )


def test_numbers_do_not_depend_on_the_session():
    code = "from airfettle.quantity import stratified_stream as s; print(s('pump.leakage', rows=8, seed=1).tolist())"
    ran = [
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2")
    ]
    assert ran[0] == ran[1]
    assert json.loads(ran[0]) == stratified_stream("pump.leakage", rows=8, seed=1).tolist()


def test_different_paths_are_uncorrelated():
    streams = [stratified_stream(path, rows=ROWS, seed=1) for path in PATHS]
    found = [stats.spearmanr(one, other).statistic for one, other in combinations(streams, 2)]
    assert max(map(abs, found)) < 4.0 / np.sqrt(ROWS)
    assert np.std(found) == pytest.approx(1.0 / np.sqrt(ROWS), rel=0.4)


@pytest.mark.parametrize("text", ["14..18 cfm", "14..18 cfm likely 15", "16 cfm +/- 2", "16 cfm +2/-1", "16 cfm"])
def test_row_0_is_the_likely_value_and_the_rest_the_streams(text):
    span = read_span(text, kind="intake_flow")
    rows = drawn(span, path="pump.rated.air", rows=64, seed=3)
    assert rows.shape == (64,)
    assert rows[0] == span.likely
    assert np.array_equal(rows[1:], span.quantile(stratified_stream("pump.rated.air", rows=64, seed=3))[1:])


def test_an_exact_value_is_one_row():
    assert drawn(exactly(2.0, kind="length"), path="x", rows=64, seed=1).tolist() == [2.0]


def test_a_stratified_mean_is_closer_than_chance():
    span = read_span("0..1", kind="fraction")
    means = [drawn(span, path=path, rows=256, seed=1)[1:].mean() for path in PATHS]
    assert np.std(means) < 0.1 / np.sqrt(12 * 256)


# the same through the draw of a whole plant

SMALL = {"pump": {"first_stage": {"bore": "4 in by tape", "stroke": "3 in by tape"}}, "receiver": {"volume": "60 gal"}}
LARGER = SMALL | {
    "cooler": {"kind": "finned pipe", "conductance": "8 W/K"},
    "filter": [{"name": "fine", "purpose": "particles"}],
    "separator": {"drop": "1 psi"},
}


@pytest.fixture(scope="module")
def two_draws():
    return [draw(OwnersPlant.model_validate(data), rows=64, seed=5) for data in (SMALL, LARGER)]


def _numbers(part):
    return {
        f"{name}.{inner}": array
        for name in ("site", "control", "drive", "motor", "belt", "pump")
        for inner, array in vars(getattr(part, name)).items()
        if isinstance(array, np.ndarray)
    }


def test_a_new_part_leaves_all_other_rows_unchanged(two_draws):
    small, larger = (_numbers(d.plant) for d in two_draws)
    assert len(small) > 30
    assert small.keys() == larger.keys()
    for name, array in small.items():
        assert np.array_equal(array, larger[name]), name
    assert set(two_draws[1].spans) - set(two_draws[0].spans)


def test_a_changed_entry_leaves_all_other_rows_unchanged(two_draws):
    changed = draw(OwnersPlant.model_validate(SMALL | {"motor": {"efficiency": "0.80..0.84"}}), rows=64, seed=5)
    before, after = _numbers(two_draws[0].plant), _numbers(changed.plant)
    assert all(np.array_equal(before[name], after[name]) for name in before if name in after)
    assert not np.array_equal(before.get("motor.efficiency"), after["motor.efficiency"])


def test_another_seed_changes_every_spread_number(two_draws):
    other = _numbers(draw(OwnersPlant.model_validate(SMALL), rows=64, seed=6).plant)
    mine = _numbers(two_draws[0].plant)
    assert all(not np.array_equal(mine[name], other[name]) for name in mine if mine[name].shape[0] > 1)


def test_row_0_of_a_draw_is_one_coherent_plant_at_likely_values(two_draws):
    for one in two_draws:
        bore = one.plant.pump.first_stage.bore
        assert bore[0, 0, 0] == one.spans["pump.first_stage.bore"].likely
        cut_out = one.plant.control.cut_out
        assert cut_out[0, 0, 0] == pytest.approx(one.spans["control.cut_out"].likely + one.barometer[0, 0, 0])


def test_told_values_keep_inside_what_the_entry_can_be():
    told = {"motor": {"efficiency": "0.97", "power_factor": "0.95"}, "intake": {"drop": "0.1 psi by gauge"}}
    plant = draw(OwnersPlant.model_validate(told), rows=1024, seed=1).plant
    assert plant.motor.efficiency.max() <= 0.99
    assert plant.motor.power_factor.max() <= 1.0
    assert plant.intake.drop.min() >= 0.0
    assert np.mean(plant.motor.efficiency >= 0.99 - 1e-9) < 0.01
