"""Coolers and exchangers: balances, order, limits, and an independent quadrature."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from airfettle.air import exchanger, moist
from airfettle.air.condensing import condensing_outlet
from airfettle.air.constants import CP_DRY_AIR, CP_LIQUID, CP_VAPOUR, LATENT_HEAT, ZERO_CELSIUS
from airfettle.air.enhancement import freezing_temperature
from airfettle.parts import cooler

flows = st.floats(0.0, 0.05)
lines = st.floats(1.0e5, 1.6e6)
inlets = st.floats(280.0, 480.0)
waters = st.floats(0.0, 0.05)
rooms = st.floats(253.0, 323.0)
sizes = st.floats(0.0, 200.0)
rates = st.floats(0.0, 1000.0)
plants = st.fixed_dictionaries(
    {
        "dry_air_flow": flows,
        "pressure": lines,
        "inlet_temperature": inlets,
        "inlet_humidity_ratio": waters,
        "coolant_temperature": rooms,
        "conductance": sizes,
        "coolant_capacity_rate": rates,
    }
)


@given(plants)
@settings(max_examples=300)
def test_water_and_heat_close(plant):
    state = cooler.cool_moist_air(**plant)
    flow, water = plant["dry_air_flow"], plant["inlet_humidity_ratio"]
    out = state.outlet_humidity_ratio
    assert state.condensate >= 0.0
    assert flow * water == pytest.approx(flow * out + state.condensate, rel=1e-12, abs=1e-18)
    t_in, t_out = plant["inlet_temperature"] - ZERO_CELSIUS, state.outlet_temperature - ZERO_CELSIUS
    held = moist.saturation_humidity_ratio(plant["inlet_temperature"], pressure=plant["pressure"])
    vapour = min(water, float(held))
    given_in = CP_DRY_AIR * t_in + vapour * (LATENT_HEAT + CP_VAPOUR * t_in) + (water - vapour) * CP_LIQUID * t_in
    leaves = CP_DRY_AIR * t_out + out * (LATENT_HEAT + CP_VAPOUR * t_out)
    balance = flow * (given_in - leaves) - state.condensate * CP_LIQUID * t_out
    assert state.heat == pytest.approx(balance, rel=1e-9, abs=1e-6)


@given(plants)
@settings(max_examples=300)
def test_outlet_lies_between_and_holds_its_vapour(plant):
    state = cooler.cool_moist_air(**plant)
    ends = sorted((plant["inlet_temperature"], plant["coolant_temperature"]))
    assert ends[0] - 1e-9 <= state.outlet_temperature <= ends[1] + 1e-9
    most = moist.saturation_humidity_ratio(state.outlet_temperature, pressure=plant["pressure"])
    assert state.outlet_humidity_ratio <= most * (1.0 + 1e-6) + 1e-12
    for value in vars(state).values():
        assert np.all(np.isfinite(value))


@given(plants, st.floats(1.0, 4.0))
@settings(max_examples=200)
def test_bigger_cooler_brings_air_nearer_the_room(plant, more):
    smaller = cooler.cool_moist_air(**plant)
    bigger = cooler.cool_moist_air(**plant | {"conductance": plant["conductance"] * more})
    assert abs(bigger.approach) <= abs(smaller.approach) + 1e-6
    assert bigger.outlet_humidity_ratio <= smaller.outlet_humidity_ratio * (1.0 + 1e-7)


@given(plants, st.floats(0.0, 30.0))
@settings(max_examples=200)
def test_hotter_room_never_cools_the_outlet(plant, hotter):
    here = cooler.cool_moist_air(**plant)
    there = cooler.cool_moist_air(**plant | {"coolant_temperature": plant["coolant_temperature"] + hotter})
    assert there.outlet_temperature >= here.outlet_temperature - 1e-6


@given(plants, st.floats(0.0, 1.0))
def test_more_fan_air_brings_air_nearer_the_room(plant, share):
    less = cooler.cool_moist_air(**plant | {"coolant_capacity_rate": plant["coolant_capacity_rate"] * share})
    assert abs(cooler.cool_moist_air(**plant).approach) <= abs(less.approach) + 1e-6


@given(plants)
def test_dry_air_follows_the_dry_formula(plant):
    plant = plant | {"inlet_humidity_ratio": 0.0, "dry_air_flow": plant["dry_air_flow"] + 1e-4}
    state = cooler.cool_moist_air(**plant)
    apart = plant["inlet_temperature"] - plant["coolant_temperature"]
    left = apart * np.exp(-state.ua_star / (plant["dry_air_flow"] * CP_DRY_AIR))
    assert state.outlet_temperature == pytest.approx(plant["coolant_temperature"] + left, abs=1e-9)
    assert state.condensate == 0.0


@given(plants)
def test_dry_cooler_is_crossflow_with_the_air_mixed(plant):
    """Against the effectiveness of the textbooks, whichever side has the smaller capacity rate."""
    plant = plant | {"inlet_humidity_ratio": 0.0, "dry_air_flow": plant["dry_air_flow"] + 1e-3}
    rate, air = plant["coolant_capacity_rate"] + 1.0, plant["dry_air_flow"] * CP_DRY_AIR
    state = cooler.cool_moist_air(**plant | {"coolant_capacity_rate": rate})
    smaller, larger = min(rate, air), max(rate, air)
    mixed = exchanger.effectiveness_crossflow_smaller_mixed
    if rate < air:
        mixed = exchanger.effectiveness_crossflow_larger_mixed
    effectiveness = mixed(plant["conductance"] / smaller, capacity_ratio=smaller / larger)
    heat = effectiveness * smaller * (plant["inlet_temperature"] - plant["coolant_temperature"])
    assert state.heat == pytest.approx(heat, rel=1e-6, abs=1e-6)


def quadrature(plant):
    """Outlet by adaptive quadrature and bracketing of the integral, in pieces at dew point and freezing. [K]"""
    line, room, water = plant["pressure"], plant["coolant_temperature"], plant["inlet_humidity_ratio"]
    hot, flow = plant["inlet_temperature"], plant["dry_air_flow"]
    rate = plant["coolant_capacity_rate"]
    target = rate * (1.0 - np.exp(-plant["conductance"] / rate)) / flow
    dew = min(float(moist.dew_point(water, pressure=line)), hot)

    def integrand(temperature):
        t, ratio = temperature - ZERO_CELSIUS, float(moist.saturation_humidity_ratio(temperature, pressure=line))
        sides = [float(moist.saturation_humidity_ratio(temperature + d, pressure=line)) for d in (1e-3, -1e-3)]
        rise = (sides[0] - sides[1]) / 2e-3
        heat = CP_DRY_AIR + CP_VAPOUR * ratio + rise * (LATENT_HEAT + (CP_VAPOUR - CP_LIQUID) * t)
        return heat / (temperature - room)

    def spent(end):
        dry = (CP_DRY_AIR + CP_VAPOUR * water) * np.log((hot - room) / (max(end, dew) - room))
        total = dry
        if end < dew:
            total += quad(integrand, end, dew, epsrel=1e-9, epsabs=1e-7, limit=200)[0]
        return total - target

    nearest = room + 1e-9 * (hot - room)
    if spent(nearest) < 0.0:  # more duty than takes the air within a millionth of a degree of the room
        return room
    return brentq(spent, nearest, hot, xtol=1e-9)


@given(
    st.fixed_dictionaries(
        {
            "dry_air_flow": st.floats(0.003, 0.03),
            "pressure": st.floats(2e5, 1.4e6),
            "inlet_temperature": st.floats(360.0, 470.0),
            "inlet_humidity_ratio": st.floats(0.004, 0.025),
            "coolant_temperature": st.floats(275.0, 318.0),
            "conductance": st.floats(5.0, 90.0),
            "coolant_capacity_rate": st.floats(50.0, 400.0),
        }
    )
)
@settings(max_examples=25)
def test_outlet_against_quadrature(plant):
    assert cooler.cool_moist_air(**plant).outlet_temperature == pytest.approx(quadrature(plant), abs=1e-6)


@pytest.mark.parametrize("duty", [500.0, 1500.0, 2500.0, 8000.0])
def test_through_freezing_against_quadrature(duty):
    """The heat per kelvin has a step at freezing: quadrature in two pieces, slopes taken from their own side."""
    start, room, line = 300.0, 258.0, 8e5
    freezing = float(freezing_temperature(line))

    def integrand(T, over_water):
        middle = max(T, freezing + 1e-4) if over_water else min(T, freezing - 1e-4)
        sides = [float(moist.saturation_humidity_ratio(middle + d, pressure=line)) for d in (1e-4, -1e-4)]
        ratio, rise = float(moist.saturation_humidity_ratio(T, pressure=line)), (sides[0] - sides[1]) / 2e-4
        heat = LATENT_HEAT + (CP_VAPOUR - CP_LIQUID) * (T - ZERO_CELSIUS)
        return (CP_DRY_AIR + CP_VAPOUR * ratio + rise * heat) / (T - room)

    def spent(end):
        stop = max(end, freezing)
        water = quad(integrand, stop, start, args=(True,), epsrel=1e-9)[0]
        return water + (quad(integrand, end, freezing, args=(False,), epsrel=1e-9)[0] if end < freezing else 0.0)

    wanted = brentq(lambda end: spent(end) - duty, room + 1e-3, start, xtol=1e-9)
    computed = condensing_outlet(start, coolant_temperature=room, pressure=line, duty=duty)
    assert computed == pytest.approx(wanted, abs=1e-6)


def test_rows_do_not_know_each_other():
    chance, count = np.random.default_rng(4), 9000
    plant = {
        "dry_air_flow": chance.uniform(0.0, 0.02, count), "pressure": chance.uniform(1e5, 1.5e6, count),
        "inlet_temperature": chance.uniform(280.0, 470.0, count),
        "inlet_humidity_ratio": chance.uniform(0.0, 0.03, count),
        "coolant_temperature": chance.uniform(255.0, 320.0, count), "conductance": chance.uniform(0.0, 90.0, count),
        "coolant_capacity_rate": chance.uniform(0.0, 300.0, count),
    }  # fmt: skip
    together = cooler.cool_moist_air(**plant)
    for row in (0, 1535, 1536, 8999):
        alone = cooler.cool_moist_air(**{key: values[row] for key, values in plant.items()})
        assert alone.outlet_temperature == pytest.approx(together.outlet_temperature[row], abs=1e-8)
        assert alone.condensate == pytest.approx(together.condensate[row], abs=1e-12)


ARRANGEMENTS = {
    "counterflow": (exchanger.effectiveness_counterflow, exchanger.transfer_units_counterflow),
    "parallel": (exchanger.effectiveness_parallel, exchanger.transfer_units_parallel),
    "smaller mixed": (
        exchanger.effectiveness_crossflow_smaller_mixed,
        exchanger.transfer_units_crossflow_smaller_mixed,
    ),
    "larger mixed": (exchanger.effectiveness_crossflow_larger_mixed, exchanger.transfer_units_crossflow_larger_mixed),
    "unmixed": (exchanger.effectiveness_crossflow_unmixed, exchanger.transfer_units_crossflow_unmixed),
}


@pytest.mark.parametrize("name", ARRANGEMENTS)
@given(ntu=st.floats(1e-3, 4.0), ratio=st.floats(0.0, 1.0))
def test_transfer_units_undo_effectiveness(name, ntu, ratio):
    forward, back = ARRANGEMENTS[name]
    effectiveness = forward(ntu, capacity_ratio=ratio)
    assert back(effectiveness, capacity_ratio=ratio) == pytest.approx(ntu, rel=1e-6)


@pytest.mark.parametrize("name", ARRANGEMENTS)
@given(ntu=st.floats(0.0, 20.0), ratio=st.floats(0.0, 1.0))
def test_no_arrangement_beats_counterflow_or_loses_to_parallel(name, ntu, ratio):
    found = ARRANGEMENTS[name][0](ntu, capacity_ratio=ratio)
    assert found <= exchanger.effectiveness_counterflow(ntu, capacity_ratio=ratio) + 1e-12
    assert found >= exchanger.effectiveness_parallel(ntu, capacity_ratio=ratio) - 1e-12


@given(st.floats(0.0, 2.0), st.floats(0.0, 1.5), st.floats(0.0, 0.6), st.floats(0.05, 0.9))
def test_conductance_grows_with_both_flows(air, fan, still, inside):
    given_ = {"rated_conductance": 30.0, "still_share": still, "inside_share": inside}
    here = cooler.conductance_at(**given_, air_flow_ratio=air, fan_flow_ratio=fan)
    assert cooler.conductance_at(**given_, air_flow_ratio=air + 0.1, fan_flow_ratio=fan) >= here - 1e-12
    assert cooler.conductance_at(**given_, air_flow_ratio=air, fan_flow_ratio=fan + 0.1) >= here - 1e-12
    assert cooler.conductance_at(**given_, air_flow_ratio=1.0, fan_flow_ratio=1.0) == pytest.approx(30.0)
    assert cooler.conductance_at(**given_, air_flow_ratio=1.0, fan_flow_ratio=0.0) == pytest.approx(30.0 * still)


@given(st.floats(1.0, 100.0), st.floats(0.5, 10.0), st.floats(0.5, 8.0))
def test_run_on_time_is_an_exponential(over, approach, mass):
    given_ = {
        "coolant_temperature": 300.0, "metal_heat_capacity": 900.0 * mass, "trapped_volume": 1e-3,
        "trapped_pressure": 9e5, "conductance": 40.0, "coolant_capacity_rate": 166.0,
    }  # fmt: skip
    time = cooler.fan_run_on_time(**given_, start_temperature=300.0 + over, wanted_approach=approach)
    if over <= approach:
        assert time < 1e-9
        return
    air = 9e5 * 1e-3 / (287.055 * (300.0 + over)) * 1005.0
    fade = 166.0 * (1.0 - np.exp(-40.0 / 166.0)) / (900.0 * mass + air)
    assert over * np.exp(-fade * time) == pytest.approx(approach, rel=1e-9)
