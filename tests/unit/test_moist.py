"""Moist air: edges, shapes, and the tables of the enhancement factor against the script that makes them."""

import importlib.util
import tomllib
from pathlib import Path

import numpy as np
import pytest

from airfettle import tables
from airfettle.air import atmosphere, enhancement, moist, saturation

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def script():
    spec = importlib.util.spec_from_file_location("enhancement_table", ROOT / "tools" / "enhancement_table.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def made_again(script):
    return {name: tomllib.loads(text) for name, text in script.tables().items()}


def values_on_a_grid(columns, coefficient):
    """The polynomial a table holds, over its range, so that noise in the fit of single coefficients does not count."""
    x, y = np.meshgrid(np.linspace(-0.8, 2.0, 41), np.linspace(0.05, 2.0, 31))
    powers = zip(columns.get("power of temperature", np.zeros(99)), columns["power of pressure"], strict=False)
    return sum(c * x**i * y**j for (i, j), c in zip(powers, columns[coefficient], strict=True))


@pytest.mark.parametrize(
    ("name", "coefficient"),
    [
        ("enhancement_ice", "coefficient"),
        ("enhancement_water", "coefficient"),
        ("enhancement_freezing", "temperature"),
        ("enhancement_freezing", "vapour pressure"),
    ],
)
def test_tables_are_what_the_script_makes(made_again, name, coefficient):
    kept = {key: column.values for key, column in tables.load(name).columns.items()}
    again = {key: column["values"] for key, column in made_again[name]["column"].items()}
    old, new = values_on_a_grid(kept, coefficient), values_on_a_grid(again, coefficient)
    assert new == pytest.approx(old, rel=1e-9, abs=1e-9)
    assert made_again[name]["title"] == tables.load(name).title


@pytest.mark.parametrize(
    ("phase", "low", "high"), [("ice", -80.0, 0.0), ("water", -45.0, 100.0), ("water", 100.0, 200.0)]
)
def test_tables_follow_the_virial_equations(script, phase, low, high):
    T = 273.15 + np.linspace(low, high, 37)[:, None]
    pure = script.PURE[phase](T)
    p = np.maximum(np.geomspace(5e4, 2e6, 29), 1.001 * pure)
    solved = np.exp(script.log_enhancement(T, p, phase))
    kept = enhancement.enhancement_over(T, pressure=p, saturation_pressure=pure, phase=phase)
    assert np.max(np.abs(kept - solved)) < 4e-5


def test_solution_of_the_virial_equations_is_a_solution(script):
    """Chemical potential of the water is the same on both sides at the solution, and not beside it."""
    T, p = 313.15, 9e5
    pure = script.PURE["water"](T)
    f = np.exp(script.log_enhancement(T, p, "water"))
    gas = [np.log(f * k * pure) + script.fugacity_coefficient(T, p, f * k * pure / p) for k in (1.0, 1.001)]
    volume, squeeze = script.condensed(T, "water")
    at_rest = np.log(pure) + script.fugacity_coefficient(T, pure, 1.0)
    pressed = volume * ((1 + squeeze * pure) * (p - pure) - 0.5 * squeeze * (p**2 - pure**2)) / (script.R * T)
    liquid = at_rest + pressed + np.log(1 - (1 - f * pure / p) * p / script.henry(T))
    assert gas[0] == pytest.approx(liquid, abs=1e-9)
    assert gas[1] != pytest.approx(liquid, abs=1e-5)


def test_water_under_one_atmosphere_freezes_at_zero():
    assert enhancement.freezing_temperature(101_325.0) == pytest.approx(273.15, abs=1e-3)


def test_both_saturation_curves_meet_at_the_triple_point():
    ice = saturation.ice_saturation_pressure(saturation.TRIPLE_TEMPERATURE)
    assert ice == pytest.approx(saturation.water_saturation_pressure(saturation.TRIPLE_TEMPERATURE), rel=1e-7)
    assert ice == pytest.approx(saturation.TRIPLE_PRESSURE, rel=1e-6)


def test_hot_delivery_air_never_condenses():
    W = moist.saturation_humidity_ratio([453.15, 473.15, 523.15], pressure=8e5)
    assert np.all(np.isfinite(W))
    assert np.all(W > 60.0)


def test_boiling_is_where_the_air_is_driven_out():
    p = saturation.water_saturation_pressure(393.15)
    assert moist.enhancement_factor(393.15, pressure=p) == 1.0
    assert moist.enhancement_factor(393.15, pressure=0.5 * p) == 1.0
    assert moist.enhancement_factor(393.15, pressure=1.5 * p) > 1.0


def test_dew_point_of_dry_air_and_of_steam():
    dry, steam = moist.dew_point([0.0, 1e9], pressure=1e5)
    assert 170.0 < dry < 180.0
    assert steam == pytest.approx(saturation.saturation_temperature(1e5), abs=1e-3)


def test_vapour_at_the_pressure_itself_stays_finite():
    assert moist.humidity_ratio_of([99e3, 1e5, 2e5], pressure=1e5) == pytest.approx(61.576, rel=1e-4)


def test_far_outside_the_table_the_end_holds():
    cold = moist.enhancement_factor([150.0, 193.0], pressure=8e5)
    assert cold[0] == pytest.approx(cold[1], rel=1e-3)
    high = moist.enhancement_factor(300.0, pressure=[2e6, 5e6])
    assert high[1] == pytest.approx(high[0], rel=1e-2)


@pytest.mark.parametrize("n", [3, 8192, 8193, 20000])
def test_blocks_give_what_single_numbers_give(n):
    T = np.linspace(240.0, 330.0, n)
    p = np.linspace(1.4e6, 1e5, n)
    W = moist.saturation_humidity_ratio(T, pressure=p)
    for i in (0, n // 3, n // 2, n - 1):
        assert W[i] == pytest.approx(moist.saturation_humidity_ratio(T[i], pressure=p[i]), rel=1e-12)
    assert moist.dew_point(W, pressure=p) == pytest.approx(T, abs=1e-4)


def test_shapes_broadcast():
    T, p = np.linspace(260.0, 320.0, 7)[:, None], np.array([1e5, 5e5, 1e6])
    W = moist.saturation_humidity_ratio(T, pressure=p)
    assert W.shape == (7, 3)
    assert moist.dew_point(W, pressure=p) == pytest.approx(np.broadcast_to(T, (7, 3)), abs=1e-4)
    assert np.shape(moist.saturation_humidity_ratio(300.0, pressure=8e5)) == ()
    assert moist.saturation_humidity_ratio([], pressure=8e5).shape == (0,)


def test_arguments_are_left_alone():
    T, p = np.array([260.0, 300.0]), np.array([1e5, 8e5])
    moist.dew_point(moist.saturation_humidity_ratio(T, pressure=p), pressure=p)
    moist.enhancement_factor(T, pressure=p)
    moist.saturation_pressure(T)
    assert T.tolist() == [260.0, 300.0]
    assert p.tolist() == [1e5, 8e5]


def test_enthalpy_counts_from_zero():
    assert moist.enthalpy(273.15, humidity_ratio=0.0) == 0.0
    assert moist.enthalpy(273.15, humidity_ratio=0.01) == pytest.approx(25_010.0)


def test_altitude_stops_at_its_ends():
    assert np.all(np.isfinite(atmosphere.barometric_pressure([-1e5, 1e6])))
    assert atmosphere.altitude_of([0.0, 1e9]).tolist() == [11_000.0, -2_000.0]
