"""From spans to rows: streams that stay put, likely values in row 0, gauge pressures, and what was assumed."""

import numpy as np
import pytest

from airfettle.errors import BadRequest
from airfettle.plant.whole import OwnersPlant, walk
from airfettle.studies.draw import ROWS, draw

TOLD = {
    "plant": {"units": "US"},
    "site": {"altitude": "500..900 ft"},
    "control": {"cut_in": "110..120 psi", "cut_out": "145 psi by gauge"},
    "motor": {"power": "5 hp by plate", "speed": "1745 rpm by plate"},
    "pump": {"leakage": "3..9 %", "rated": [{"air": "15 cfm", "at": "100 psi"}]},
    "cooler": {"kind": "vehicle oil cooler"},
}


def drawn(data, **more):
    return draw(OwnersPlant.model_validate(data), **({"rows": 64} | more))


def quantities(drawn_plant):
    """Path -> rows of every quantity that is there."""
    return {path: value for path, _, _, _, value in walk(drawn_plant.plant) if value is not None}


def without(data, section, key):
    return data | {section: {name: value for name, value in data[section].items() if name != key}}


# --- streams ---------------------------------------------------------------------------------------------------------


def test_the_same_seed_gives_the_same_rows_and_another_seed_others():
    one, again, other = quantities(drawn(TOLD)), quantities(drawn(TOLD)), quantities(drawn(TOLD, seed=2))
    assert one.keys() == again.keys() == other.keys()
    moved = 0
    for path, rows in one.items():
        assert np.array_equal(rows, again[path]), path
        if rows.shape[0] > 1:
            assert not np.array_equal(rows, other[path]), path
            moved += 1
    assert moved > 30


@pytest.mark.parametrize(
    "more",
    [
        {"dryer": {}, "filter": [{"purpose": "coalescing"}]},
        {"separator": {"efficiency": "90 %"}},
        {"receiver": [{"name": "wet"}, {"name": "dry"}]},
        {"belt": {"ratio": "2.0..2.2"}},
        {"motor": {"power": "7.5 hp by plate"}},
    ],
    ids=lambda more: " ".join(more),
)
def test_another_part_or_entry_leaves_every_other_row_unchanged(more):
    before, after = quantities(drawn(TOLD)), quantities(drawn(TOLD | more))
    changed = tuple(more)
    kept = [path for path in before if path in after and not path.startswith(changed)]
    assert len(kept) > 30
    for path in kept:
        assert np.array_equal(before[path], after[path]), path


def test_telling_an_entry_narrower_keeps_each_rows_place_in_it():
    wide = drawn(TOLD).plant.pump.leakage[:, 0, 0]
    narrow = drawn(TOLD | {"pump": {"leakage": "5..6 %"}}).plant.pump.leakage[:, 0, 0]
    assert np.array_equal(np.argsort(wide[1:]), np.argsort(narrow[1:]))


def test_each_stratum_has_one_row():
    rows = drawn(TOLD).plant.pump.leakage[:, 0, 0]
    strata = np.floor((rows - 0.03) / 0.06 * 64).astype(int)
    assert len(set(strata[1:])) == 63  # row 0 stands at the likely value instead


def test_paths_do_not_share_a_stream():
    first = drawn(TOLD | {"drive": {"efficiency": "0.9..1.0"}, "belt": {"efficiency": "0.9..1.0"}}).plant
    assert not np.array_equal(first.drive.efficiency, first.belt.efficiency)


def test_two_trains_draw_apart_and_keep_their_rows_by_name():
    one = {"name": "a", "pump": {"leakage": "3..9 %"}}
    two = {"name": "b", "pump": {"leakage": "3..9 %"}}
    first, swapped = drawn({"train": [one, two]}).plant, drawn({"train": [two, one]}).plant
    assert not np.array_equal(first.train[0].pump.leakage, first.train[1].pump.leakage)
    assert np.array_equal(first.train[0].pump.leakage, swapped.train[1].pump.leakage)


# --- rows ------------------------------------------------------------------------------------------------------------


def test_row_0_is_the_likely_value_of_everything():
    found = drawn(TOLD)
    rows = quantities(found)
    barometer = float(found.barometer[0, 0, 0])
    for path, span in found.spans.items():
        likely = span.likely + barometer if span.kind == "pressure" else span.likely
        assert rows[path][0, 0, 0] == pytest.approx(likely, rel=1e-15), path


def test_every_row_lies_in_its_span():
    found = drawn(TOLD)
    for path, rows in quantities(found).items():
        span = found.spans.get(path)
        if span is not None and span.form == "flat" and span.kind != "pressure":
            assert rows.min() >= span.low, path
            assert rows.max() <= span.high, path


@pytest.mark.parametrize("rows", [8, 1024, 1 << 17])
def test_a_power_of_two_is_drawn(rows):
    assert drawn({}, rows=rows).rows == rows


@pytest.mark.parametrize("rows", [0, 1, 4, 12, 1000, -8, 1 << 18])
def test_another_number_of_rows_is_refused(rows):
    with pytest.raises(BadRequest, match="power of two") as caught:
        drawn({}, rows=rows)
    assert str(rows) in caught.value.read


def test_an_empty_file_is_a_plant_of_1024_rows():
    found = draw(OwnersPlant.model_validate({}))
    assert found.rows == ROWS == 1024
    assert found.plant.pump.leakage.shape == (1024, 1, 1)


def test_exact_entries_have_one_row():
    assert drawn(TOLD | {"site": {"altitude": "200..200 m"}}).plant.site.altitude.shape == (1, 1, 1)


# --- pressures -------------------------------------------------------------------------------------------------------


def test_gauge_becomes_absolute_with_the_sites_barometer_row_by_row():
    found = drawn(TOLD | {"control": {"cut_in": "120..120 psi", "cut_out": "10..10 bar"}})
    barometer = found.barometer[:, 0, 0]
    assert np.ptp(barometer) > 1_000.0  # altitude and weather are not known
    assert found.plant.control.cut_out[:, 0, 0] == pytest.approx(10e5 + barometer, rel=1e-15)
    assert found.plant.control.cut_in[:, 0, 0] == pytest.approx(120 * 6894.757293168361 + barometer, rel=1e-12)


def test_a_pressure_written_as_absolute_needs_no_barometer():
    found = drawn({"control": {"cut_out": "9..9 bara"}})
    assert found.plant.control.cut_out.shape == (1, 1, 1)
    assert found.plant.control.cut_out[0, 0, 0] == 9e5


def test_a_pressure_difference_stays_as_it_is():
    found = drawn({"cooler": {"drop": "0.1..0.1 bar"}})
    assert found.plant.cooler.drop[0, 0, 0] == pytest.approx(1e4)


def test_a_barometer_as_read_stands_before_altitude_and_weather():
    found = drawn({"site": {"barometer": "29.0..29.0 inHg"}})
    assert found.barometer[:, 0, 0] == pytest.approx([29.0 * 3_386.389])
    assert "site.altitude" not in found.spans
    assert "site.weather" not in found.spans


def test_the_barometer_falls_with_height():
    low = drawn({"site": {"altitude": "0..0 m"}})
    high = drawn({"site": {"altitude": "1500..1500 m"}})
    assert high.barometer / low.barometer == pytest.approx(np.full((64, 1, 1), 84_556.0 / 101_325.0), rel=1e-4)


# --- not told, unknown, none ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("said", ["unknown", "Unknown", "?"])
def test_unknown_is_the_same_as_not_told(said):
    told = drawn(TOLD | {"pump": TOLD["pump"] | {"suction_loss": said}})
    plain = drawn(TOLD)
    assert "pump.suction_loss" in told.assumed
    assert told.assumed == plain.assumed
    assert np.array_equal(told.plant.pump.suction_loss, plain.plant.pump.suction_loss)


def test_none_is_a_part_that_is_not_there():
    found = drawn({"drive": "none", "belt": "none", "cooler": "none", "receiver": "none"})
    for section in ("drive", "belt", "cooler"):
        part = getattr(found.plant, section)
        assert part.absent
        assert all(value is None for _, _, value in part.entries()), section
    assert found.plant.receiver[0].absent
    assert not [path for path in found.spans if path.startswith(("drive.", "belt.", "cooler.", "receiver."))]


def test_what_every_plant_has_is_assumed_and_the_rest_is_left_out():
    plant = drawn({}).plant
    for section in ("site", "control", "supply", "drive", "motor_lead", "motor", "belt", "intake", "pump"):
        assert getattr(plant, section) is not None, section
    assert len(plant.receiver) == 1
    for section in ("cooler", "separator", "check_valve", "dryer"):
        assert getattr(plant, section) is None, section
    assert plant.filter == ()


def test_a_train_gets_its_own_parts_but_shares_a_supply_that_stands_at_the_top():
    found = drawn({"supply": {"kind": "208 wye"}, "train": [{"name": "a"}, {"name": "b"}]})
    assert found.plant.pump is None
    for train in found.plant.trains:
        assert train.pump is not None
        assert train.motor is not None
        assert train.supply.kind == "208 wye"
    assert any(path.startswith("train.a.pump.") for path in found.spans)


def test_a_second_stage_is_put_where_there_are_two():
    one, two = drawn({"pump": {"stages": 1}}).plant.pump, drawn({"pump": {"stages": 2}}).plant.pump
    assert one.second_stage is None
    assert two.second_stage.clearance.shape == (64, 1, 1)


# --- assumed ---------------------------------------------------------------------------------------------------------


def test_assumed_lists_what_nobody_told():
    found = drawn(TOLD)
    told = {"site.altitude", "control.cut_in", "control.cut_out", "motor.power", "motor.speed", "pump.leakage",
            "pump.rated.air", "pump.rated.at"}  # fmt: skip
    assert not told & set(found.assumed)
    assert told <= set(found.spans)
    assert set(found.assumed) == {path for path, span in found.spans.items() if span.known == "assumed"}
    assert len(found.assumed) == len(set(found.assumed))


def test_telling_takes_an_entry_off_the_list_and_leaves_the_rest():
    before = drawn(TOLD)
    after = drawn(TOLD | {"pump": TOLD["pump"] | {"suction_loss": "3 %"}})
    assert set(before.assumed) - set(after.assumed) == {"pump.suction_loss"}
    assert set(after.assumed) <= set(before.assumed)


@pytest.mark.parametrize(
    ("section", "told", "not_needed"),
    [
        ("belt", {"ratio": "2"}, "belt.speed_share"),
        ("belt", {"motor_sheave": "180 mm", "pump_sheave": "400 mm"}, "belt.speed_share"),
        ("pump", {"displacement": "0.8 L"}, "pump.displacement_share"),
        ("pump", {"displacement_flow": "600 L/min"}, "pump.displacement_share"),
        ("pump", {"rated": [{"air": "400 L/min", "at": "8 bar"}]}, "pump.displacement_share"),
        ("pump", {"first_stage": {"bore": "90 mm", "stroke": "70 mm"}}, "pump.displacement_share"),
        ("pump", {"stages": 1}, "pump.intercooler_effectiveness"),
        ("pump", {"stages": 1}, "pump.stage_ratio"),
        ("pump", {"flywheel_inertia": "0.5 kg m2"}, "pump.flywheel_factor"),
        ("motor", {"efficiency": "88 %"}, "motor.efficiency_doubt"),
        ("motor", {"breakdown_ratio": "2.6"}, "motor.breakdown_doubt"),
        ("drive", {"true_power_factor": "0.7"}, "drive.power_factor_place"),
        ("drive", {"single_phase_output_current": "12 A"}, "drive.single_phase_share"),
    ],
)
def test_what_another_entry_settles_is_not_assumed(section, told, not_needed):
    found = drawn({section: told})
    assert not_needed not in found.assumed
    assert not_needed not in found.spans


def test_one_sheave_alone_leaves_the_speed_to_be_assumed():
    assert "belt.speed_share" in drawn({"belt": {"motor_sheave": "180 mm"}}).assumed


def test_what_is_assumed_follows_the_class_that_is_told():
    small = drawn({"pump": {"size_class": "small belt"}}).spans["pump.maximum_speed"]
    large = drawn({"pump": {"size_class": "large two-stage"}}).spans["pump.maximum_speed"]
    assert small.low > large.low
    worn = drawn({"pump": {"condition": "worn"}}).spans["pump.leakage"]
    new = drawn({"pump": {"condition": "new"}}).spans["pump.leakage"]
    assert worn.high > new.high


def test_efficiencies_told_with_a_tolerance_never_pass_1():
    found = drawn({"drive": {"efficiency": "97 %"}, "separator": {"efficiency": "1"}, "belt": {"efficiency": "0.98"}})
    for part in (found.plant.drive, found.plant.separator, found.plant.belt):
        assert part.efficiency.max() <= 1.0
        assert np.ptp(part.efficiency) > 0.0
