"""Separators, dryers, filters and purity classes: balances, order and limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airfettle.air.moist import saturation_humidity_ratio
from airfettle.parts import air_quality as quality
from airfettle.parts import dryer, filters, separator

shares = st.floats(0.0, 1.0)
WINDOW = {"least_flow": 1e-3, "most_flow": 5e-3}


@given(st.floats(0.0, 1e-3), st.floats(0.0, 0.05), shares, shares, st.floats(0.0, 10.0))
def test_separator_loses_no_water(liquid, flow, inside, still, fall):
    state = separator.separate(
        liquid, flow=flow, **WINDOW, efficiency_inside=inside, still_share=still, fall_above=fall
    )
    assert state.water_caught + state.carry_over == pytest.approx(liquid, rel=1e-12)
    assert 0.0 <= state.water_caught <= liquid
    assert state.efficiency <= inside + 1e-15


@given(st.floats(1e-3, 5e-3), shares)
def test_separator_holds_its_efficiency_inside_the_window(flow, inside):
    state = separator.separate(1e-4, flow=flow, **WINDOW, efficiency_inside=inside)
    assert state.efficiency == pytest.approx(inside)
    assert state.window_margin >= 0.0


@given(st.floats(0.0, 0.99), st.floats(0.0, 1.0))
def test_separator_falls_away_on_both_sides(slower, faster):
    below = separator.separator_efficiency(np.array([slower, 1.0]) * 1e-3, **WINDOW)
    above = separator.separator_efficiency(np.array([1.0 + faster, 1.1 + faster]) * 5e-3, **WINDOW)
    assert below[0] < below[1]
    assert above[0] > above[1]


@pytest.mark.parametrize("edge", [1e-3, 5e-3])
def test_separator_has_neither_step_nor_corner_at_the_ends(edge):
    flows = edge * (1.0 + np.array([-1e-5, 0.0, 1e-5]))
    efficiency = separator.separator_efficiency(flows, **WINDOW)
    assert np.ptp(efficiency) < 1e-8


@given(
    st.floats(1e-4, 0.05), st.floats(275.0, 330.0), st.floats(3e5, 1.2e6), st.floats(0.01, 1.5), st.floats(0.0, 1e-4)
)
def test_dryer_loses_no_water(flow, inlet, line, humidity, liquid):
    water = humidity * float(saturation_humidity_ratio(inlet, pressure=line))
    state = dryer.refrigerate(
        flow, inlet_temperature=inlet, inlet_humidity_ratio=water, pressure=line, room_temperature=303.0,
        rated_flow=0.01, inlet_liquid=liquid,
    )  # fmt: skip
    arrives, leaves = flow * water + liquid, flow * state.outlet_humidity_ratio + state.condensate
    assert leaves == pytest.approx(arrives, rel=1e-12)
    assert state.condensate >= 0.0
    assert state.purge_dry_air == 0.0
    assert state.dew_point <= inlet + 1e-9
    for value in vars(state).values():
        assert np.all(np.isfinite(value))


@given(st.floats(1e-4, 0.04), st.floats(1.0, 3.0), st.floats(0.0, 20.0))
def test_overload_and_heat_never_dry_better(flow, more, hotter):
    base = {"inlet_temperature": 310.0, "pressure": 8e5, "room_temperature": 305.0, "rated_flow": 0.01}
    base["inlet_humidity_ratio"] = float(saturation_humidity_ratio(310.0, pressure=8e5))
    here = dryer.refrigerate(flow, **base)
    assert dryer.refrigerate(flow * more, **base).dew_point >= here.dew_point - 1e-9
    room = dryer.refrigerate(flow, **base | {"room_temperature": 305.0 + hotter})
    assert room.dew_point >= here.dew_point - 1e-9
    assert room.capacity <= here.capacity


@given(st.floats(240.0, 420.0), st.floats(0.5e5, 4e6))
def test_factors_fall_with_heat_and_rise_with_pressure(temperature, pressure):
    for factor in (dryer.inlet_temperature_factor, dryer.room_temperature_factor):
        assert 0.0 < factor(temperature + 1.0) <= factor(temperature) <= 1.16
    assert 0.0 < dryer.pressure_factor(pressure) <= dryer.pressure_factor(pressure + 1e4) <= 1.13


@given(st.floats(1e-4, 0.05), st.floats(0.0, 1e-4), st.floats(0.0, 1e-6), shares, shares, shares)
def test_filter_loses_nothing(flow, liquid, oil, wet, water_share, oil_share):
    given_ = {
        "rated_flow": 0.01, "temperature": 300.0, "pressure": 7e5, "liquid": liquid, "oil": oil, "dry_drop": 7e3,
        "wet_drop": 2e4, "liquid_removal": water_share, "oil_removal": oil_share,
    }  # fmt: skip
    state = filters.filter_air(flow, **given_, wetness=wet)
    assert state.liquid_caught + state.liquid_passed == pytest.approx(liquid, rel=1e-12)
    assert 0.0 <= state.oil_passed <= oil
    double = filters.filter_air(2.0 * flow, **given_, wetness=wet)
    assert double.pressure_drop == pytest.approx(4.0 * state.pressure_drop)
    assert double.flow_share == pytest.approx(2.0 * state.flow_share)
    assert filters.filter_air(flow, **given_, wetness=1.0).pressure_drop >= state.pressure_drop - 1e-9


@given(st.floats(1e5, 2e6), st.floats(1.0, 3.0))
def test_filter_carries_less_at_lower_pressure(pressure, times):
    low = filters.filter_capacity(0.01, pressure=pressure)
    assert filters.filter_capacity(0.01, pressure=times * pressure) == pytest.approx(times * low)


@given(st.floats(200.0, 330.0), st.floats(0.0, 10.0), st.floats(0.0, 0.02), st.floats(0.0, 0.01))
def test_dirtier_never_has_a_better_class(dew, warmer, liquid, more):
    assert quality.water_class(dew + warmer) >= quality.water_class(dew)
    assert quality.water_class(dew, liquid=liquid + more) >= quality.water_class(dew, liquid=liquid)
    assert quality.oil_class(liquid + more) >= quality.oil_class(liquid)
