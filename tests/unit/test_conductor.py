"""Conductors and devices: sizes by name, ends of tables, and a whole circuit."""

import numpy as np
import pytest

from airfettle.errors import UnknownChoice
from airfettle.parts import conductor, overcurrent


def name(system, chosen):
    return conductor.size_names(system)[int(chosen.index)]


def test_a_five_horsepower_motor_circuit():
    required = conductor.required_ampacity(15.2)
    chosen = conductor.smallest_conductor(required, system="nec-75")
    assert name("nec-75", chosen) == "14"
    assert chosen.margin == pytest.approx(1.0)
    assert chosen.area == pytest.approx(2.08e-6, rel=0.01)
    assert overcurrent.device_maximum(15.2, device="inverse-time breaker") == 40.0
    assert overcurrent.earth_conductor_sizes()[int(overcurrent.earth_conductor_row(40.0))] == "10"


def test_the_edition_matters_at_60_degrees():
    assert name("nec-60", conductor.smallest_conductor(20.0, system="nec-60")) == "12"
    old = conductor.smallest_conductor(20.0, system="nec-60-before-2011")
    assert name("nec-60-before-2011", old) == "14"


def test_a_metric_circuit():
    assert name("iec-b2", conductor.smallest_conductor(21.0, system="iec-b2")) == "4"
    assert name("iec-c", conductor.smallest_conductor(21.0, system="iec-c")) == "2.5"
    assert name("iec-c", conductor.smallest_conductor(26.0, system="iec-c", loaded=2)) == "2.5"
    rating, margin = overcurrent.device_for_load_metric(15.0, ampacity=20.0)
    assert (rating, margin) == (16.0, 4.0)
    assert overcurrent.earth_area_metric(25e-6) == 16e-6


def test_too_much_current_gives_the_largest_and_a_negative_margin():
    chosen = conductor.smallest_conductor(500.0, system="nec-75")
    assert name("nec-75", chosen) == "4/0"
    assert chosen.margin == pytest.approx(230.0 - 500.0)


def test_air_beyond_the_table_carries_nothing():
    chosen = conductor.smallest_conductor(10.0, system="nec-60", ambient=345.0)
    assert chosen.ampacity == 0
    assert chosen.margin == -10.0


def test_a_long_run_asks_for_more_copper():
    limit = conductor.resistance_for_drop(0.03 * 230.0, current=28.0, length=60.0, phases=1)
    chosen = conductor.smallest_conductor(35.0, system="nec-75", resistance_limit=limit)
    assert name("nec-75", chosen) == "6"
    assert name("nec-75", conductor.smallest_conductor(35.0, system="nec-75")) == "10"


def test_many_at_once():
    chosen = conductor.smallest_conductor(np.array([[12.0], [30.0]]), ambient=np.array([300.0, 315.0]))
    assert chosen.index.shape == (2, 2)
    assert np.all(np.diff(chosen.index, axis=0) > 0)


def test_solid_above_its_range_is_stranded():
    solid, stranded = (conductor.resistances("nec-75", strand=kind) for kind in ("solid", "stranded"))
    assert np.all(solid[:4] < stranded[:4])
    assert np.all(solid[4:] == stranded[4:])


def test_cold_copper_resists_less():
    warm, cold = (conductor.resistances("nec-75", temperature=t) for t in (348.15, 293.15))
    assert cold / warm == pytest.approx(0.822 * np.ones(13), abs=1e-3)


def test_low_power_factor_and_reactance():
    full = conductor.voltage_drop(10.0, resistance=0.01, length=10.0, phases=1)
    half = conductor.voltage_drop(10.0, resistance=0.01, length=10.0, phases=1, power_factor=0.8, reactance=0.01)
    assert full == pytest.approx(2.0)
    assert half == pytest.approx(2.0 * (0.8 + 0.6))


def test_unknown_words_are_refused():
    with pytest.raises(UnknownChoice, match="nec-75"):
        conductor.smallest_conductor(10.0, system="bs")
    with pytest.raises(UnknownChoice, match="dual-element fuse"):
        overcurrent.device_maximum(10.0, device="nail")
    with pytest.raises(UnknownChoice, match="nec or iec"):
        overcurrent.standard_rating_up(10.0, series="din")


def test_small_conductors_and_the_rest():
    assert overcurrent.small_conductor_limit("12") == 20.0
    assert overcurrent.small_conductor_limit("8") == float("inf")


def test_ratings_between():
    assert overcurrent.standard_rating_up(49.0) == 50.0
    assert overcurrent.standard_rating_down(49.0) == 45.0
    assert overcurrent.standard_rating_up(9e3) == 400.0
    assert overcurrent.standard_rating_down(1.0) == 15.0
