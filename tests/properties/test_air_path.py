"""Random plants: the water's books close along the air path, pressures fall, the drawing has room for everything."""

from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from drawn_air_paths import check_room
from properties.plants_at_random import ROWS, owners_plant, seeded

from airfettle.drawings.air_path.drawing import air_path_drawing
from airfettle.findings.judge import judge
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach
from airfettle.studies.stations import stations

SEEDS = pytest.mark.parametrize("seed", range(200))


@cache
def found(seed):
    drawn = draw(owners_plant(seeded(seed)), rows=ROWS)
    there = reach(drawn)
    return stations(drawn, there.numbers), judge(there)


@SEEDS
def test_water_books_close(seed):
    at, _ = found(seed)
    path = at.state.path
    drawn_in = sum(chain[0].vapour for chain in at.trains)
    last = at.every[-1]
    out = sum(s.caught + s.lost for s in at.every if s.train < 0 or s is not at.trains[s.train][0])
    np.testing.assert_allclose(out + last.vapour + last.liquid, drawn_in, rtol=1e-9, atol=1e-15)
    np.testing.assert_allclose(drawn_in, at.rows(path.intake_water), rtol=1e-12)
    caught = sum(station.caught for station in at.every)
    booked = path.water_caught + path.receiver_water + path.treatment_water + path.held_water
    np.testing.assert_allclose(caught, at.rows(booked), rtol=1e-9, atol=1e-15)
    lost = sum(station.lost for station in at.every)
    np.testing.assert_allclose(lost, at.rows(path.blow_by_water + path.purge_water), rtol=1e-6, atol=1e-12)
    for station in at.every:
        assert np.all(station.caught >= -1e-12)
        assert np.all(station.lost >= -1e-12)
        assert np.all(station.vapour >= 0.0)
        assert np.all(station.liquid >= -1e-15)


@SEEDS
def test_pressure_falls_from_the_pump_on(seed):
    at, _ = found(seed)
    for chain in at.trains:
        behind = [s for s in chain if s.section in ("pump", "cooler")] + list(at.common)
        for one, other in pairwise(behind):
            assert np.all(one.gauge >= other.gauge - 1e-6), (one.path, other.path)
        between = [s for s in chain if s.section == "between"]
        pump = next(s for s in chain if s.section == "pump")
        assert all(np.all(s.gauge < pump.gauge) for s in between)
        assert np.all(chain[0].gauge <= 0.0)


@SEEDS
def test_air_leaving_a_receiver_holds_no_more_than_it_can(seed):
    at, _ = found(seed)
    for station in at.common:
        if station.section == "receiver":
            assert np.all(station.dew_point <= station.temperature + 0.05)


@SEEDS
def test_everything_drawn_has_room(seed):
    at, findings = found(seed)
    for width in (1100, 700, 390):
        svg, wide, high = air_path_drawing(at, findings, width=width)
        assert wide == width
        check_room(svg, wide, high)
