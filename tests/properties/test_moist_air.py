"""Moist air: what must hold for any air."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airfettle.air import atmosphere, enhancement, moist, saturation

temperatures = st.floats(195.0, 470.0)
mild = st.floats(213.15, 373.15)
pressures = st.floats(5e4, 2e6)
steps = st.floats(1e-3, 50.0)


@given(st.floats(173.15, 473.15))
def test_saturation_temperature_inverts_saturation_pressure(T):
    assert moist.saturation_temperature(moist.saturation_pressure(T)) == pytest.approx(T, abs=1e-6)


@given(st.floats(180.0, 420.0), steps)
def test_saturation_pressure_rises(T, step):
    assert moist.saturation_pressure(T + step) > moist.saturation_pressure(T)


@given(st.floats(180.0, 460.0), st.sampled_from(["ice", "water"]))
def test_slope_of_saturation_pressure(T, phase):
    pure = saturation.ice_saturation_pressure if phase == "ice" else saturation.water_saturation_pressure
    slope = np.log(pure(T + 0.01) / pure(T - 0.01)) / 0.02
    assert saturation.log_pressure_slope(T, phase=phase) == pytest.approx(slope, rel=1e-6)


@given(st.floats(253.15, 273.1))
def test_ice_holds_its_vapour_tighter_than_supercooled_water(T):
    assert saturation.ice_saturation_pressure(T) < saturation.water_saturation_pressure(T)


@given(st.floats(274.0, 640.0))
def test_steam_formulation_inverts(T):
    p = saturation.if97_saturation_pressure(T)
    assert saturation.if97_saturation_temperature(p) == pytest.approx(T, abs=1e-5)


@given(temperatures, pressures)
def test_dew_point_inverts_saturation(T, p):
    vapour = moist.saturated_vapour_pressure(T, pressure=p)
    if vapour < moist.LARGEST_VAPOUR_SHARE * p:
        W = moist.saturation_humidity_ratio(T, pressure=p)
        assert moist.dew_point(W, pressure=p) == pytest.approx(T, abs=1e-4)


@given(temperatures, pressures)
def test_saturated_air_is_always_a_finite_number(T, p):
    W = moist.saturation_humidity_ratio(T, pressure=p)
    assert 0.0 < W <= 62.0
    assert 1.0 <= moist.enhancement_factor(T, pressure=p) < 1.3


@given(mild, steps, pressures)
def test_warmer_air_holds_no_less(T, step, p):
    cold, warm = moist.saturation_humidity_ratio([T, T + step], pressure=p)
    assert warm > cold or cold == pytest.approx(61.576, rel=1e-4)


@given(st.floats(193.15, 333.15), st.floats(5e4, 1.9e6), st.floats(1.001, 3.0))
def test_compressed_air_holds_less(T, p, ratio):
    loose, tight = moist.saturation_humidity_ratio(T, pressure=[p, min(p * ratio, 2e6)])
    assert tight < loose


@given(st.floats(1e-6, 0.2), pressures, st.floats(1.001, 2.0))
def test_more_water_is_a_higher_dew_point(W, p, more):
    assert moist.dew_point(W * more, pressure=p) > moist.dew_point(W, pressure=p)


@given(st.floats(1e-6, 50.0), pressures)
def test_vapour_pressure_and_humidity_ratio(W, p):
    p_v = moist.vapour_pressure(W, pressure=p)
    assert 0.0 < p_v < p
    assert moist.humidity_ratio_of(p_v, pressure=p) == pytest.approx(W, rel=1e-9)


@given(st.floats(0.01, 1.0), st.floats(233.15, 333.15), pressures)
def test_relative_humidity_there_and_back(humidity, T, p):
    W = moist.humidity_ratio(humidity, temperature=T, pressure=p)
    assert moist.relative_humidity_of(W, temperature=T, pressure=p) == pytest.approx(humidity, rel=1e-9)
    assert moist.dew_point(W, pressure=p) <= T + 1e-4


@given(st.floats(213.15, 333.15), st.floats(1.5e5, 1.6e6))
def test_letting_down_and_back(T, p):
    atmospheric = moist.atmospheric_dew_point(T, pressure=p)
    assert atmospheric < T
    assert moist.pressure_dew_point(atmospheric, pressure=p) == pytest.approx(T, abs=2e-3)


@given(st.floats(1e-5, 3e-3), pressures)
def test_frost_point_lies_above_the_supercooled_dew_point(W, p):
    frost = moist.dew_point(W, pressure=p)
    gap = frost - moist.supercooled_dew_point(W, pressure=p)
    if frost < enhancement.freezing_temperature(p) - 0.01:
        assert 0.0 < gap < 8.0
    elif frost > enhancement.freezing_temperature(p) + 0.01:
        assert gap == pytest.approx(0.0, abs=1e-4)


@given(pressures)
def test_ice_and_water_meet_where_water_freezes(p):
    T = enhancement.freezing_temperature(p)
    below, above = moist.saturated_vapour_pressure([T - 1e-7, T + 1e-7], pressure=p)
    assert below == pytest.approx(above, rel=1e-6)
    assert below == pytest.approx(enhancement.freezing_vapour_pressure(p), rel=2e-5)


@given(st.floats(230.0, 400.0), pressures, st.floats(0.0, 0.05), st.floats(0.1, 5.0))
def test_density_scales_with_pressure(T, p, W, factor):
    once = moist.density(T, pressure=p, humidity_ratio=W)
    assert moist.density(T, pressure=factor * p, humidity_ratio=W) == pytest.approx(factor * once, rel=1e-12)
    assert moist.density(T, pressure=p, humidity_ratio=W + 0.01) < once


@given(st.floats(230.0, 400.0), st.floats(0.0, 0.05))
def test_enthalpy_mixes(T, W):
    """Two airs of one temperature mixed half and half have the mean enthalpy."""
    half = 0.5 * (moist.enthalpy(T, humidity_ratio=0.0) + moist.enthalpy(T, humidity_ratio=W))
    assert moist.enthalpy(T, humidity_ratio=0.5 * W) == pytest.approx(half, rel=1e-9, abs=1e-6)


@given(st.floats(-2000.0, 11000.0), st.floats(1.0, 1000.0))
def test_altitude_there_and_back(h, up):
    p = atmosphere.barometric_pressure(h)
    assert atmosphere.altitude_of(p) == pytest.approx(h, abs=1e-4)
    assert atmosphere.pressure_ratio(h) == pytest.approx(p / 101325.0, rel=1e-12)
    if h + up <= 11000.0:
        assert atmosphere.barometric_pressure(h + up) < p
        assert atmosphere.air_temperature(h + up) < atmosphere.air_temperature(h)


@given(st.integers(1, 40), st.integers(0, 2**32 - 1))
def test_an_array_gives_what_its_numbers_give(n, seed):
    chance = np.random.default_rng(seed)
    T, p = chance.uniform(233.0, 333.0, n), chance.uniform(1e5, 1.4e6, n)
    whole = moist.saturation_humidity_ratio(T, pressure=p)
    assert np.array_equal(moist.dew_point(whole, pressure=p).shape, (n,))
    for i in range(n):
        assert moist.saturation_humidity_ratio(T[i], pressure=p[i]) == pytest.approx(whole[i], rel=1e-12)
