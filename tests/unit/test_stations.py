"""Stations of the air path: the same numbers as the rating has, in the plant's own order, and what is guessed."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from airfettle.plant.whole import OwnersPlant
from airfettle.store.plant_file import read_plant
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.rating import rate
from airfettle.studies.stations import ALL_TRAINS, KINDS_SHOWN, stations

ROOT = Path(__file__).parents[2]
FILES = ("examples/canoe_works.toml", "examples/cycle_frames.toml", "examples/glass_studio.toml",
         "tests/plants/kite_shed.toml", "tests/plants/sail_loft.toml")  # fmt: skip
POINTS = ((None, None), (40.0, 8.0e5))


@cache
def drawn(file, rows=64):
    return draw(read_plant(ROOT / file), rows=rows)


@cache
def at(file, frequency=None, gauge=None, rows=64):
    plant = drawn(file, rows)
    return stations(plant, complete(plant), frequency=frequency, gauge=gauge)


def of(found, section, train=None):
    return next(s for s in found.every if s.section == section and (train is None or s.train == train))


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("point", POINTS)
def test_stations_agree_with_the_rating(file, point):
    found = at(file, *point)
    rated = rate(found.draw, frequencies=(found.frequency,), gauge_pressures=(found.gauge,)).points[-1]
    answers = rated.answers
    if len(found.trains) == 1:
        pairs = [("discharge_temperature", "pump", "temperature"), ("discharge_pressure", "pump", "gauge")]
        if any(s.section == "cooler" for s in found.every):
            pairs.append(("cooler_outlet_temperature", "cooler", "temperature"))
        if any(s.section == "between" for s in found.every):
            pairs.append(("interstage_pressure", "between", "gauge"))
    else:
        pairs = []
    pairs += [("receiver_temperature", "receiver", "temperature"), ("receiver_dew_point", "receiver", "dew_point"),
              ("receiver_water", "receiver", "caught"), ("line_dew_point", "shop_pipe", "dew_point"),
              ("line_pressure", "shop_pipe", "gauge")]  # fmt: skip
    for name, section, quantity in pairs:
        band = found.band(getattr(of(found, section), quantity))
        want = answers[name]
        for end in ("low", "likely", "high", "at_likely"):
            assert getattr(band, end) == pytest.approx(getattr(want, end), rel=1e-9, abs=1e-12), (name, end)
    before = sum(s.caught for s in found.every if s.section in ("between", "separator"))
    assert found.band(np.asarray(before)).likely == pytest.approx(answers["water_caught"].likely, rel=1e-9, abs=1e-15)
    assert float(np.mean(found.runs)) == rated.runs_share


def test_tool_worst_off_is_the_ratings():
    found = at("examples/canoe_works.toml")
    rated = rate(found.draw, frequencies=(60.0,), gauge_pressures=(found.gauge,)).points[-1]
    worst = found.tools[0]
    assert found.band(worst.gauge).likely == pytest.approx(rated.answers["tool_pressure"].likely, rel=1e-9)
    assert np.median(worst.gauge - worst.needed) == min(np.median(t.gauge - t.needed) for t in found.tools)
    assert at("examples/cycle_frames.toml").tools == ()


def test_order_is_the_plants_own():
    found = at("examples/glass_studio.toml")
    assert [s.path for s in found.common] == ["separator", "check_valve", "receiver", "filter.coarse", "dryer",
                                              "filter.fine", "shop_pipe"]  # fmt: skip
    assert [s.section for s in found.trains[0]] == ["intake", "pump", "cooler"]
    assert all(s.train == ALL_TRAINS for s in found.common)
    turned = {"plant": {"air_path": ["receiver", "check_valve"]}, "receiver": {}, "check_valve": {}}
    plant = draw(OwnersPlant.model_validate(turned), rows=8)
    assert [s.section for s in stations(plant, complete(plant)).common] == ["receiver", "check_valve", "shop_pipe"]


def test_several_trains_come_together():
    found = at("tests/plants/sail_loft.toml")
    assert [s.path for s in found.trains[0]] == [f"train.winter.{p}" for p in ("intake", "pump", "pump", "cooler")]
    assert [s.path for s in found.trains[1]] == ["train.old one.intake", "train.old one.pump"]
    joined = found.common[0]
    assert joined.section == "joined"
    ends = [chain[-1] for chain in found.trains]
    np.testing.assert_allclose(joined.dry_air, sum(end.dry_air for end in ends))
    np.testing.assert_allclose(joined.vapour + joined.liquid, sum(e.vapour + e.liquid for e in ends), rtol=1e-9)
    assert np.all(joined.temperature <= np.maximum(ends[0].temperature, ends[1].temperature) + 1e-9)
    assert np.all(joined.temperature >= np.minimum(ends[0].temperature, ends[1].temperature) - 1e-9)


def test_full_speed_and_cut_out_unless_asked():
    found = at("examples/canoe_works.toml")
    assert (found.frequency, found.gauge) == (60.0, pytest.approx(150 * 6894.757, rel=1e-6))
    assert np.ptp(of(found, "receiver").gauge) == pytest.approx(0.0, abs=1e-6)
    slow = at("examples/canoe_works.toml", 40.0, 8.0e5)
    assert slow.gauge == 8.0e5
    assert np.median(of(slow, "intake").dry_air) < np.median(of(found, "intake").dry_air)


def test_motors_on_the_line_have_their_mains():
    assert at("examples/glass_studio.toml", 20.0).frequency == 50.0


def test_what_nobody_told_is_guessed_and_what_is_told_is_not():
    shed = at("tests/plants/kite_shed.toml", rows=1024)
    assert {"temperature", "dew_point", "vapour"} <= of(shed, "pump").guessed
    canoe = at("examples/canoe_works.toml", rows=1024)
    assert not of(canoe, "receiver").guessed
    assert all(s.guessed <= set(KINDS_SHOWN) for s in (*shed.every, *canoe.every))
    assert not any(s.guessed for s in at("tests/plants/kite_shed.toml", rows=8).every)  # too few rows to say


def test_told_parts():
    assert "motor" in at("tests/plants/kite_shed.toml").told
    assert not {"pump", "receiver", "intake"} & at("tests/plants/kite_shed.toml").told
    assert {"pump", "receiver", "check_valve", "separator"} <= at("examples/canoe_works.toml").told
    fact_alone = draw(OwnersPlant.model_validate({"hot_line": {"stop_valve": "no"}}), rows=8)
    assert "hot_line" in stations(fact_alone, complete(fact_alone)).told


def test_a_shop_without_pipe_ends_at_its_last_part():
    plant = draw(OwnersPlant.model_validate({"shop_pipe": "none"}), rows=8)
    assert [s.section for s in stations(plant, complete(plant)).common] == ["receiver"]
