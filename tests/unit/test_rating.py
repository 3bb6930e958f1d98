"""A rating: which points it takes, how trains are joined, bands, notices, and what it refuses."""

import numpy as np
import pytest

from airfettle.errors import BadRequest
from airfettle.plant.whole import OwnersPlant
from airfettle.studies.bands import bands
from airfettle.studies.draw import draw
from airfettle.studies.instant.state import TrainState
from airfettle.studies.instant.whole import instant
from airfettle.studies.meaning import meanings
from airfettle.studies.rating import answer_meanings, rate

CONTROL = {"cut_in": "7..7 bar", "cut_out": "9..9 bar"}
TWO = {
    "control": CONTROL,
    "site": {"energy_price": "0.2..0.3 /kWh"},
    "train": [
        {"name": "main", "pump": {"displacement": "0.7..0.8 L"}, "cooler": {"kind": "vehicle oil cooler"}},
        {"name": "spare", "drive": "none", "pump": {"displacement": "0.4..0.5 L"}},
    ],
}


def rated(data, *, rows=64, **asked):
    return rate(draw(OwnersPlant.model_validate(data), rows=rows), **asked)


def points_of(rating):
    return [(point.frequency, pytest.approx(point.receiver_gauge, abs=1e-2)) for point in rating.points]


# --- which points ----------------------------------------------------------------------------------------------------


def test_a_plant_is_rated_at_low_quiet_and_full_speed_against_cut_in_and_cut_out():
    found = rated({"control": CONTROL})
    assert points_of(found) == [(25.0, 7e5), (25.0, 9e5), (35.0, 7e5), (35.0, 9e5), (50.0, 7e5), (50.0, 9e5)]


def test_full_speed_at_cut_out_stands_last():
    last = rated({"control": CONTROL | {"full": "55 Hz", "low": "20 Hz", "quiet": "40 Hz"}}).points[-1]
    assert last.frequency == 55.0
    assert last.receiver_gauge == pytest.approx(9e5, abs=1e-2)
    assert last.receiver_pressure == pytest.approx(last.receiver_gauge + 101_325.0, rel=0.03)


@pytest.mark.parametrize(
    ("control", "drive", "expected"),
    [
        ({}, {}, [30, 42, 60]),
        ({"full": "66 Hz"}, {}, [33, 46.2, 66]),
        ({"low": "24 Hz", "quiet": "40 Hz", "full": "60 Hz"}, {}, [24, 40, 60]),
        ({}, {"minimum_frequency": "20 Hz", "maximum_frequency": "50 Hz"}, [20, 35, 50]),
        ({"low": "45 Hz"}, {}, [45, 60]),  # quiet is not below low
        ({"full": "48 Hz"}, {"maximum_frequency": "60 Hz"}, [24, 33.6, 48]),
    ],
)
def test_frequencies_are_as_told_or_shares_of_full(control, drive, expected):
    found = rated({"plant": {"units": "US"}, "control": CONTROL | control, "drive": drive}, rows=8)
    assert sorted({point.frequency for point in found.points}) == pytest.approx(expected)


def test_frequencies_and_pressures_may_be_asked_for():
    found = rated({"control": CONTROL}, frequencies=[50.0, 30.0], gauge_pressures=[8e5, 4e5, 6e5])
    assert points_of(found) == [(f, p) for f in (50.0, 30.0) for p in (8e5, 4e5, 6e5)]


def test_many_frequencies_come_out_as_if_asked_for_one_by_one():
    """They are computed some at a time."""
    hertz = list(np.linspace(20.0, 60.0, 41))
    together = rated({"control": CONTROL}, rows=8, frequencies=hertz, gauge_pressures=[8e5])
    assert [point.frequency for point in together.points] == hertz
    for i in (0, 20, 40):
        alone = rated({"control": CONTROL}, rows=8, frequencies=[hertz[i]], gauge_pressures=[8e5]).points[0]
        for name in ("delivered_air", "electrical_power", "discharge_temperature", "sound_level"):
            assert together.points[i].answers[name].likely == pytest.approx(alone.answers[name].likely, rel=1e-5), name


@pytest.mark.parametrize(("units", "mains"), [("US", 60.0), ("SI", 50.0)])
@pytest.mark.parametrize("asked", [None, [20.0, 30.0, 45.0]])
def test_a_plant_on_the_line_has_one_speed_whatever_is_asked(units, mains, asked):
    found = rated({"plant": {"units": units}, "control": CONTROL, "drive": "none"}, frequencies=asked)
    assert points_of(found) == [(mains, 7e5), (mains, 9e5)]


def test_equal_pressures_are_rated_once():
    assert len(rated({"control": {"cut_in": "8..8 bar", "cut_out": "8..8 bar"}}, frequencies=[50.0]).points) == 1


def test_progress_ends_at_all_points():
    seen = []
    rated({"control": CONTROL}, rows=8, frequencies=list(np.linspace(20, 60, 41)), progress=lambda *at: seen.append(at))
    assert seen[-1] == (82, 82)
    assert [done for done, _ in seen] == sorted({done for done, _ in seen})


# --- refusals --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("hertz", [0.0, -10.0, 0.5, 401.0, float("inf"), float("nan")])
def test_a_frequency_no_plant_runs_at_is_refused(hertz):
    with pytest.raises(BadRequest, match="1 to 400 Hz"):
        rated({}, rows=8, frequencies=[30.0, hertz])


@pytest.mark.parametrize("gauge", [-1.0, 1.1e7, float("inf"), float("nan")])
def test_a_pressure_no_plant_has_is_refused(gauge):
    with pytest.raises(BadRequest, match="0 to 100 bar"):
        rated({}, rows=8, gauge_pressures=[gauge])


# --- bands -----------------------------------------------------------------------------------------------------------


def test_bands_are_percentiles_over_the_rows_and_row_0():
    found = rated({"control": CONTROL}, rows=128, frequencies=[40.0], gauge_pressures=[8e5])
    state = instant(found.numbers, frequency=np.full((1, 1, 1), 40.0), receiver_pressure=found.draw.barometer + 8e5)
    rows = state.trains[0].delivered_air[:, 0, 0]
    band = found.points[0].answers["delivered_air"]
    assert (band.low, band.likely, band.high) == pytest.approx(tuple(np.percentile(rows, [5, 50, 95])), rel=1e-12)
    assert band.at_likely == rows[0]


def test_bands_of_columns_agree_with_a_plain_percentile():
    rows = np.random.default_rng(1).normal(size=(64, 5))
    for column, band in zip(rows.T, bands(rows), strict=True):
        assert (band.low, band.likely, band.high) == pytest.approx(tuple(np.percentile(column, [5, 50, 95])), rel=1e-12)
        assert band.at_likely == column[0]


def test_bands_may_leave_rows_out_and_a_column_without_any_is_taken_whole():
    rows = np.arange(24.0).reshape(8, 3)
    only = np.ones((8, 3), dtype=bool)
    only[4:, 0], only[:, 2] = False, False
    some, whole, none = bands(rows, only=only)
    assert some.high < whole.high - 6.0
    assert (some.low, some.likely, some.high) == pytest.approx(tuple(np.percentile(rows[:4, 0], [5, 50, 95])))
    assert (none.low, none.high) == pytest.approx(tuple(np.percentile(rows[:, 2], [5, 95])))
    assert none.at_likely == rows[0, 2]


def test_one_row_is_a_band_without_width():
    (band,) = bands(np.array([[3.0]]))
    assert (band.low, band.likely, band.high, band.at_likely) == (3.0, 3.0, 3.0, 3.0)


def test_knowing_more_narrows_the_band():
    vague = rated({"control": CONTROL}, rows=256, frequencies=[50.0], gauge_pressures=[8e5])
    told = {"pump": {"displacement": "0.75..0.77 L", "leakage": "4..5 %"}, "belt": {"ratio": "1.7..1.71"},
            "motor": {"power": "4 kW by plate"}}  # fmt: skip
    sure = rated({"control": CONTROL} | told, rows=256, frequencies=[50.0], gauge_pressures=[8e5])
    widths = [b.high - b.low for b in (r.points[0].answers["delivered_air"] for r in (vague, sure))]
    assert widths[1] < 0.75 * widths[0]


# --- answers ---------------------------------------------------------------------------------------------------------


def test_answers_stand_in_the_order_of_their_meanings():
    names = list(rated({"control": CONTROL}, rows=8).points[0].answers)
    assert names == [name for name in answer_meanings() if name in names]


def test_what_a_plant_cannot_have_is_not_answered():
    bare = rated({"control": CONTROL, "drive": "none"}, rows=8).points[0].answers
    for name in ("interstage_pressure", "drive_output_share", "cooler_still_temperature", "dryer_load", "running_cost",
                 "tool_pressure"):  # fmt: skip
        assert name not in bare
    full = {
        "control": CONTROL, "pump": {"stages": 2}, "drive": {"rated_output_current": "16 A"}, "dryer": {},
        "cooler": {"kind": "vehicle condenser"}, "site": {"energy_price": "0.2 /kWh"},
    }  # fmt: skip
    for kind, missing in (
        ("refrigerated", {"purge_air", "beads_spent"}), ("desiccant, heatless", {"beads_spent"}),
        ("membrane", {"beads_spent"}), ("bead cartridge", {"purge_air"}),
    ):  # fmt: skip
        found = rated(full | {"dryer": {"kind": kind}}, rows=8).points[0].answers
        assert set(found) == set(answer_meanings()) - missing - {"tool_pressure"}  # that needs the pipe told


# --- several trains --------------------------------------------------------------------------------------------------


def rows_of_two():
    found = rated(TWO, rows=64, frequencies=[40.0], gauge_pressures=[8e5])
    state = instant(found.numbers, frequency=np.full((1, 1, 1), 40.0), receiver_pressure=found.draw.barometer + 8e5)
    return found, state.trains


@pytest.mark.parametrize(
    "name", [name for name, meaning in meanings(TrainState).items() if meaning.is_answer and meaning.total]
)
def test_totals_are_sums_row_by_row(name):
    found, trains = rows_of_two()
    total = np.broadcast_to(sum(getattr(train, name) for train in trains), (64, 1, 1))[:, 0, 0]
    assert found.points[0].answers[name].likely == pytest.approx(np.median(total), rel=1e-12)
    assert found.points[0].answers[name].at_likely == pytest.approx(total[0], rel=1e-12)


@pytest.mark.parametrize("name", ["discharge_temperature", "motor_torque_share", "wall_temperature", "motor_speed"])
def test_what_does_not_add_is_the_highest_of_the_trains(name):
    found, trains = rows_of_two()
    highest = np.max(np.broadcast_arrays(*(getattr(train, name) for train in trains)), axis=0)[:, 0, 0]
    assert found.points[0].answers[name].at_likely == pytest.approx(highest[0], rel=1e-12)


def test_quotients_are_taken_again_from_the_sums():
    at_likely = {name: band.at_likely for name, band in rows_of_two()[0].points[0].answers.items()}
    assert at_likely["specific_power"] == pytest.approx(at_likely["electrical_power"] / at_likely["delivered_air"])
    _, trains = rows_of_two()
    swept = sum(float((t.displacement * t.pump_speed)[0, 0, 0]) for t in trains)
    assert at_likely["volumetric_efficiency"] == pytest.approx(at_likely["delivered_air"] / swept)


def test_sound_adds_as_energy():
    found, trains = rows_of_two()
    levels = [float(train.sound_level[0, 0, 0]) for train in trains]
    assert found.points[0].answers["sound_level"].at_likely == pytest.approx(
        10.0 * np.log10(sum(10.0 ** (level / 10.0) for level in levels)), rel=1e-9
    )


def test_each_train_is_also_rated_by_itself():
    found, trains = rows_of_two()
    own = found.points[0].trains
    assert list(own) == ["main", "spare"]
    for train, answers in zip(trains, own.values(), strict=True):
        assert answers["delivered_air"].at_likely == pytest.approx(float(train.delivered_air[0, 0, 0]), rel=1e-12)
    assert "cooler_still_temperature" in own["main"]
    assert "cooler_still_temperature" not in own["spare"]


def test_a_lone_train_is_not_told_twice():
    assert rated({"control": CONTROL}, rows=8).points[0].trains == {}


def test_a_train_on_the_line_keeps_its_speed_while_the_other_follows_the_drive():
    found = rated(TWO, rows=8, frequencies=[25.0, 50.0], gauge_pressures=[8e5])
    slow, fast = (point.trains for point in found.points)
    assert slow["spare"]["motor_speed"].at_likely == pytest.approx(fast["spare"]["motor_speed"].at_likely, rel=1e-6)
    assert slow["main"]["motor_speed"].at_likely < 0.6 * fast["main"]["motor_speed"].at_likely


# --- notices ---------------------------------------------------------------------------------------------------------

OVERLOADED = {"control": CONTROL, "motor": {"power": "0.5 kW by plate"}, "pump": {"displacement": "0.8..0.8 L"},
              "belt": {"ratio": "1.7..1.7"}}  # fmt: skip


def test_a_motor_that_stalls_in_every_row_is_told_of_and_nothing_is_nan():
    point = rated(OVERLOADED, frequencies=[50.0], gauge_pressures=[9e5]).points[0]
    assert any("cannot hold" in words and "100%" in words for words in point.notices["motor_current"])
    assert point.runs_share == 0.0
    assert all(np.isfinite([b.low, b.likely, b.high, b.at_likely]).all() for b in point.answers.values())


def test_where_some_rows_stall_the_bands_are_of_the_others():
    some = OVERLOADED | {"motor": {"power": "0.6..2.2 kW"}}
    found = rated(some, rows=256, frequencies=[50.0], gauge_pressures=[9e5])
    point = found.points[0]
    assert 0.05 < point.runs_share < 0.95
    assert any(f"{1 - point.runs_share:.0%}" in words for words in point.notices["delivered_air"])
    state = instant(found.numbers, frequency=np.full((1, 1, 1), 50.0), receiver_pressure=found.draw.barometer + 9e5)
    runs = state.trains[0].pull_out_share[:, 0, 0] <= 1.0
    speeds = np.broadcast_to(state.trains[0].motor_speed, (256, 1, 1))[runs, 0, 0]
    assert point.answers["motor_speed"].low == pytest.approx(np.percentile(speeds, 5), rel=1e-9)


def test_a_strong_motor_in_its_range_has_no_notices():
    fine = OVERLOADED | {"motor": {"power": "5.5 kW by plate"}}
    point = rated(fine, frequencies=[30.0], gauge_pressures=[8e5]).points[0]
    assert point.runs_share == 1.0
    assert point.notices == {}


def test_speeds_beyond_the_pumps_range_are_told_of():
    plant = {"control": CONTROL, "belt": {"ratio": "1.7..1.7"}, "pump": {"rated_speed": "850..850 rpm"}}
    slow, plain, fast = rated(plant, frequencies=[10.0, 45.0, 80.0], gauge_pressures=[6e5]).points
    assert any("0.4 to 1.3" in words for words in slow.notices["delivered_air"])
    assert any("0.4 to 1.3" in words for words in fast.notices["delivered_air"])
    assert not any("0.4 to 1.3" in words for words in plain.notices.get("delivered_air", ()))


def test_a_nearly_empty_receiver_is_told_of():
    point = rated({"control": CONTROL}, frequencies=[50.0], gauge_pressures=[0.5e5]).points[0]
    assert any("below 2" in words for words in point.notices["discharge_temperature"])
