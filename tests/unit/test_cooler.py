"""Coolers and exchangers at their edges: nothing flows, nothing cools, the room is the hotter, air is dry or soaked."""

import numpy as np
import pytest

from airfettle.air import exchanger, moist
from airfettle.air.condensing import condensing_outlet, dew_temperature, saturation_ratio
from airfettle.parts import cooler

PLANT = {
    "dry_air_flow": 0.008, "pressure": 9e5, "inlet_temperature": 420.0, "inlet_humidity_ratio": 0.015,
    "coolant_temperature": 300.0, "conductance": 30.0, "coolant_capacity_rate": 166.0,
}  # fmt: skip


def cooled(**changes):
    return cooler.cool_moist_air(**PLANT | changes)


def test_without_flow_the_outlet_is_the_room():
    state = cooled(dry_air_flow=0.0)
    assert state.outlet_temperature == pytest.approx(300.0)
    assert state.heat == 0.0
    assert state.condensate == 0.0
    assert state.outlet_humidity_ratio == pytest.approx(moist.saturation_humidity_ratio(300.0, pressure=9e5))


@pytest.mark.parametrize("nothing", [{"conductance": 0.0}, {"coolant_capacity_rate": 0.0}])
@pytest.mark.parametrize("flow", [0.0, 0.008])
def test_without_surface_or_fan_the_air_passes_unchanged(nothing, flow):
    state = cooled(**nothing, dry_air_flow=flow)
    assert state.ua_star == 0.0
    assert state.outlet_temperature == pytest.approx(420.0)
    assert state.condensate == 0.0
    assert state.heat == pytest.approx(0.0, abs=1e-9)


def test_a_hotter_room_warms_the_air_and_sheds_no_water():
    state = cooled(inlet_temperature=310.0, coolant_temperature=330.0, inlet_humidity_ratio=0.004)
    assert 310.0 < state.outlet_temperature < 330.0
    assert state.heat < 0.0
    assert state.condensate == 0.0
    assert state.coolant_outlet_temperature < 330.0


def test_room_as_hot_as_the_inlet():
    state = cooled(inlet_temperature=300.0)
    assert state.outlet_temperature == pytest.approx(300.0)
    assert state.outlet_humidity_ratio == pytest.approx(moist.saturation_humidity_ratio(300.0, pressure=9e5))


def test_air_that_enters_saturated_cools_along_saturation():
    held = float(moist.saturation_humidity_ratio(320.0, pressure=9e5))
    state = cooled(inlet_temperature=320.0, inlet_humidity_ratio=held)
    assert state.outlet_humidity_ratio == pytest.approx(
        moist.saturation_humidity_ratio(state.outlet_temperature, pressure=9e5)
    )
    assert state.condensate > 0.0


def test_liquid_that_enters_leaves_as_liquid_with_its_heat():
    held = float(moist.saturation_humidity_ratio(320.0, pressure=9e5))
    clean = cooled(inlet_temperature=320.0, inlet_humidity_ratio=held)
    soaked = cooled(inlet_temperature=320.0, inlet_humidity_ratio=held + 0.01)
    assert soaked.outlet_temperature == pytest.approx(clean.outlet_temperature, abs=1e-6)
    assert soaked.condensate - clean.condensate == pytest.approx(0.008 * 0.01, rel=1e-6)
    extra = 0.008 * 0.01 * 4186.0 * (320.0 - clean.outlet_temperature)
    assert soaked.heat - clean.heat == pytest.approx(extra, rel=1e-5)


def test_without_cooling_the_liquid_that_enters_is_still_counted():
    state = cooled(inlet_temperature=320.0, inlet_humidity_ratio=0.05, conductance=0.0)
    held = float(moist.saturation_humidity_ratio(320.0, pressure=9e5))
    assert state.condensate == pytest.approx(0.008 * (0.05 - held))
    assert state.heat == pytest.approx(0.0, abs=1e-9)


def test_dry_air_and_endless_fan_air():
    state = cooled(inlet_humidity_ratio=0.0, coolant_capacity_rate=np.inf)
    assert state.ua_star == 30.0
    assert state.outlet_temperature == pytest.approx(300.0 + 120.0 * np.exp(-30.0 / (0.008 * 1005.0)))
    assert state.coolant_outlet_temperature == 300.0


def test_shapes_broadcast():
    draw, speed, line = np.ones((4, 1, 1)), np.ones((1, 3, 1)), np.ones((1, 1, 2))
    state = cooled(dry_air_flow=0.008 * speed, pressure=9e5 * line, coolant_temperature=300.0 * draw)
    assert state.outlet_temperature.shape == (4, 3, 2)
    assert {np.shape(value) for value in vars(state).values()} == {(4, 3, 2)}


def test_more_water_leaves_with_the_real_enhancement_factor():
    ideal, real = cooled(enhancement=1.0), cooled()
    assert real.dew_in < ideal.dew_in
    assert real.condensate < ideal.condensate


def test_latent_heat_leaves_the_air_warmer_than_the_dry_formula():
    left = 120.0 * np.exp(-cooled().ua_star / (0.008 * (1005.0 + 1860.0 * 0.015)))
    assert cooled().outlet_temperature > 300.0 + left + 1.0


def test_constant_factor_below_freezing_joins_at_the_triple_point():
    assert saturation_ratio(265.0, pressure=9e5, enhancement=1.0) == pytest.approx(2.119e-4, rel=2e-3)
    assert dew_temperature(0.0, pressure=9e5) < 200.0
    warm = condensing_outlet(
        290.0, coolant_temperature=255.0, pressure=9e5, duty=np.linspace(0.0, 5e3, 400), enhancement=1.0
    )
    steps = np.diff(warm)
    assert warm[0] == 290.0
    assert np.all(steps < 0.0)
    assert np.max(np.abs(np.diff(steps))) < 0.02


def test_fan_off_keeps_its_share():
    given = {"rated_conductance": 30.0, "air_flow_ratio": 1.0}
    assert cooler.conductance_at(**given, fan_flow_ratio=0.0, still_share=0.15) == pytest.approx(4.5)
    assert cooler.conductance_at(**given, fan_flow_ratio=0.0, still_share=0.0) == 0.0
    assert cooler.conductance_at(rated_conductance=30.0, air_flow_ratio=0.0, fan_flow_ratio=0.0, still_share=0.0) == 0.0
    assert cooler.coolant_capacity_at(rated_capacity_rate=166.0, fan_flow_ratio=0.0, still_share=0.1) == pytest.approx(
        16.6
    )
    assert cooler.fan_capacity_rate(0.15, pressure=101_325.0, temperature=300.0) == pytest.approx(177.7, rel=1e-3)


def test_series_resistances_by_hand():
    computed = cooler.conductance_at(
        rated_conductance=30.0, air_flow_ratio=0.5, fan_flow_ratio=1.0, air_exponent=1.0, inside_share=0.5
    )
    assert computed == pytest.approx(30.0 / (0.5 / 0.5 + 0.5))


def test_pressure_drop_scales_with_flow_and_density():
    known = {"rated_temperature": 350.0, "rated_pressure": 9e5}
    drop = cooler.cooler_pressure_drop(5e3, flow_ratio=2.0, temperature=350.0, pressure=4.5e5, exponent=2.0, **known)
    assert drop == pytest.approx(5e3 * 4.0 * 2.0)


def test_fan_that_is_never_done_gets_one_day():
    given = {
        "start_temperature": 350.0, "coolant_temperature": 300.0, "wanted_approach": 5.0, "metal_heat_capacity": 3e3,
        "trapped_volume": 1e-3, "trapped_pressure": 1e5, "coolant_capacity_rate": 166.0,
    }  # fmt: skip
    assert cooler.fan_run_on_time(**given, conductance=0.0) == pytest.approx(cooler.LONGEST_RUN_ON)
    assert 100.0 < cooler.fan_run_on_time(**given, conductance=30.0) < 500.0
    assert cooler.fan_run_on_time(**given | {"start_temperature": 290.0}, conductance=0.0) == 0.0


def test_effectiveness_out_of_reach_gives_the_most_transfer_units():
    most = exchanger.MOST_TRANSFER_UNITS
    assert exchanger.transfer_units_parallel(0.9, capacity_ratio=1.0) == most
    assert exchanger.transfer_units_counterflow(1.0, capacity_ratio=0.5) == most
    assert exchanger.transfer_units_crossflow_smaller_mixed(0.9, capacity_ratio=1.0) == most
    assert exchanger.transfer_units_crossflow_larger_mixed(0.9, capacity_ratio=1.0) == most
    assert exchanger.transfer_units_crossflow_unmixed(1.0, capacity_ratio=0.5) == most


def test_nothing_exchanged_without_surface():
    assert exchanger.effectiveness_crossflow_unmixed(0.0, capacity_ratio=0.5) == 0.0
    assert exchanger.effectiveness_crossflow_unmixed(np.zeros(0), capacity_ratio=0.5).shape == (0,)
