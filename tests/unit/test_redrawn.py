"""Other rows for some entries of a drawn plant, and what is carried over from one plant to another."""

import numpy as np
import pytest
from properties.plants_at_random import owners_plant, seeded

from airfettle.plant.whole import OwnersPlant, walk
from airfettle.studies.draw import draw
from airfettle.studies.redrawn import STEP, carried_over, entry_rows, nudged, with_rows

TOLD = {
    "site": {"altitude": "900 m", "room_temperature": "10..30 degC"}, "control": {"cut_out": "9..10 bar"},
    "receiver": [{"name": "one", "volume": "100..120 L"}, {"name": "two"}], "belt": {"ratio": "2.0..2.2"},
}  # fmt: skip


def drawn(more=(), rows=64, seed=1):
    return draw(OwnersPlant.model_validate(TOLD | dict(more)), rows=rows, seed=seed)


def values(plant):
    return {path: value for path, _, _, _, value in walk(plant.plant) if value is not None}


@pytest.mark.parametrize("seed", range(6))
def test_the_same_rows_give_the_same_plant(seed):
    before = draw(owners_plant(seeded(seed)), rows=16)
    old, new = values(before), values(with_rows(before, {}))
    assert old.keys() == new.keys()
    for path, value in old.items():
        np.testing.assert_allclose(*np.broadcast_arrays(new[path], value), rtol=1e-12, err_msg=path)


def test_gauge_pressures_follow_the_height():
    before = drawn()
    higher = with_rows(before, {"site.altitude": np.array([1900.0])})
    fall = before.barometer - higher.barometer
    assert np.all(fall > 8e3)
    np.testing.assert_allclose(before.plant.control.cut_out - higher.plant.control.cut_out, fall, rtol=1e-9)
    np.testing.assert_array_equal(entry_rows(higher)["belt.ratio"], entry_rows(before)["belt.ratio"])


def test_a_barometer_that_was_read_stays():
    before = drawn({"site": {"barometer": "950 hPa by barometer"}})
    higher = with_rows(before, {"site.altitude": np.array([1900.0])})
    np.testing.assert_array_equal(higher.barometer, before.barometer)


def test_each_row_has_one_entry_a_little_larger():
    before = drawn()
    after, places = nudged(before)
    old, new = entry_rows(before), entry_rows(after)
    assert after.rows == len(places) + 1
    assert set(places) == set(before.spans)
    for path, row in places.items():
        rows = new[path]
        assert rows[row] == pytest.approx(old[path][0] * (1 + STEP), rel=1e-9, abs=STEP)
        np.testing.assert_allclose(np.delete(rows, row), old[path][0], rtol=1e-9)


def test_what_both_tell_alike_is_carried_over_and_nothing_else():
    before, after = drawn(seed=1), drawn({"belt": {"ratio": "1.9..2.0"}}, seed=2)
    carried = entry_rows(carried_over(after, from_=before))
    old, new = entry_rows(before), entry_rows(after)
    for path in new:
        np.testing.assert_allclose(carried[path], new[path] if path == "belt.ratio" else old[path], rtol=1e-9)
    assert not np.allclose(new["pump.leakage"], old["pump.leakage"])
