"""Receivers, vessels, relief valves and check valves: edges, messages, shapes."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.errors import UnknownTableEntry, UnsuitableNumbers
from airfettle.parts import check_valve, energy, receiver, receiver_cooling, receiver_trial, relief, vessel

PSI, GAL = 6894.757293168361, 0.003785411784
TANK = {"receiver_volume": 0.3, "pressure_cut_in": 7e5, "pressure_cut_out": 9e5, "free_air_delivery": 0.008}


def test_demand_over_delivery_never_stops():
    cycle = receiver.running_cycle(**TANK, demand=np.array([0.0, 0.004, 0.008, 0.02]))
    np.testing.assert_allclose(cycle.duty, [0, 0.5, 1, 1])
    assert cycle.starts[0] == cycle.starts[2] == cycle.starts[3] == 0
    assert cycle.off_time[0] == cycle.run_time[2] == cycle.run_time[3] == receiver.LONGEST
    assert np.all(np.isfinite(cycle.run_time))


def test_pump_up_without_air_takes_for_ever():
    time = receiver.pump_up_time(
        receiver_volume=0.3, pressure_start=1e5, pressure_end=9e5, free_air_delivery=np.array([0.0, -0.01, 0.01])
    )
    assert list(time[:2]) == [receiver.LONGEST] * 2
    assert 200 < time[2] < 300


def test_nothing_to_pump_takes_no_time():
    time = receiver.pump_up_time(
        receiver_volume=0.3, pressure_start=9e5, pressure_end=np.array([9e5, 5e5]), free_air_delivery=0.0
    )
    np.testing.assert_array_equal(time, [0, 0])


def test_pump_that_keeps_up_needs_no_store():
    volume = receiver.volume_for_draw(
        duration=60, demand=0.005, free_air_delivery=0.008, pressure_high=9e5, pressure_low=7e5
    )
    assert volume == 0
    lasts = receiver.draw_down_time(
        receiver_volume=0.3, demand=0.005, free_air_delivery=0.008, pressure_high=9e5, pressure_low=7e5
    )
    assert lasts == receiver.LONGEST


@pytest.mark.parametrize(("flow", "end"), [(0.0, 9e5), (0.01, 1e5)])
def test_pump_up_needs_flow_and_rise(flow, end):
    with pytest.raises(UnsuitableNumbers, match="above zero"):
        receiver_trial.hot_pump_up(
            receiver_volume=0.3,
            mass_flow=flow,
            inlet_temperature=380,
            room_temperature=293,
            inside_conductance=30,
            outside_conductance=20,
            wall_heat_capacity=4e4,
            pressure_start=1.5e5,
            pressure_end=end,
        )


def test_pump_up_stays_sane_when_heat_runs_faster_than_air():
    hot = receiver_trial.hot_pump_up(
        receiver_volume=0.3,
        mass_flow=np.array([1e-4, 1e-2]),
        inlet_temperature=400,
        room_temperature=293,
        inside_conductance=np.array([[5.0], [500.0]]),
        outside_conductance=20,
        wall_heat_capacity=4e4,
        pressure_start=1e5,
        pressure_end=9e5,
    )
    assert hot.duration.shape == (2, 2)
    assert np.all(hot.over_read > 0)
    assert np.all(hot.over_read < 1.4 * 400 / 293 - 1)
    assert hot.over_read[1, 0] < hot.over_read[0, 1]


def test_still_receiver_is_at_room_temperature():
    T = receiver_cooling.outlet_temperature(
        mass_flow=0, inlet_temperature=400, room_temperature=293, conductance=np.array([0.0, 20.0])
    )
    np.testing.assert_allclose(T, 293)


def test_time_constant_of_a_workshop_tank():
    case = {"receiver_volume": 0.3, "pressure": 9.6e5, "temperature": 300, "wall_heat_capacity": 36000}
    still = receiver_cooling.time_constant(**case, conductance=20.58)
    running = receiver_cooling.time_constant(**case, conductance=20.58, mass_flow=0.009)
    assert 30 * 60 < still < 40 * 60
    assert running < still


def test_cold_receiver_catches_water():
    flow = 0.009
    water = receiver_cooling.condensate(
        mass_flow=flow, humidity_ratio_in=0.012, temperature=np.array([275.0, 300.0, 350.0]), pressure=9e5
    )
    assert water[0] > water[1] > 0
    assert water[2] == 0
    assert water[1] * 3600 * 1000 == pytest.approx(flow * (0.012 - 0.0025) * 3.6e6, rel=0.05)


def test_thick_vessels_are_refused():
    for wall in (vessel.required_wall, vessel.required_wall_outside, vessel.required_head):
        where = {vessel.required_head: "inside_diameter", vessel.required_wall: "inside_radius"}
        with pytest.raises(UnsuitableNumbers, match="thin-walled"):
            wall(
                gauge_pressure=1e8,
                allowable_stress=1e8,
                joint_efficiency=0.7,
                **{where.get(wall, "outside_radius"): 0.3},
            )


def test_classes_of_pressure_times_volume():
    table = tables.load("vessel_classes")
    rows = vessel.pressure_volume_class(
        volume=np.array([0.002, 0.005, 0.05, 0.3, 0.5, 2.0]), gauge_pressure=10e5, place="EU"
    )
    np.testing.assert_array_equal(rows, [0, 0, 2, 2, 3, 4])
    assert table.words("meaning")[rows[3]] == "simple vessel, middle category"
    assert vessel.pressure_volume_class(volume=0.3, gauge_pressure=10e5, place="UK in service") == 6
    assert vessel.pressure_volume_class(volume=0.02, gauge_pressure=10e5, place="UK in service") == 5
    with pytest.raises(UnknownTableEntry, match="EU"):
        vessel.pressure_volume_class(volume=0.3, gauge_pressure=10e5, place="Atlantis")


def test_class_limits_belong_to_the_lower_class():
    rows = vessel.pressure_volume_class(volume=0.05, gauge_pressure=np.array([1e5, 4e5]), place="EU")
    np.testing.assert_array_equal(rows, [0, 1])


def test_drain_turned_half_way_up():
    depth = vessel.drain_height(inside_diameter=0.5, angle=np.radians([0, 90, 180]))
    np.testing.assert_allclose(depth, [0, 0.25, 0.5], atol=1e-12)
    water = vessel.trapped_water(inside_diameter=0.5, shell_length=1.2, depth=depth)
    np.testing.assert_allclose(water, np.pi / 4 * 0.25 * 1.2 * np.array([0, 0.5, 1]), atol=1e-12)


def test_relief_margins_have_their_sign():
    assert relief.plate_margin(plate_pressure=200 * PSI, set_pressure=np.array([175, 225]) * PSI).tolist() == [
        pytest.approx(25 * PSI),
        pytest.approx(-25 * PSI),
    ]
    assert relief.cut_out_margin(set_pressure=150 * PSI, cut_out=125 * PSI) > 0
    assert relief.cut_out_margin(set_pressure=130 * PSI, cut_out=125 * PSI) < 0
    assert relief.capacity_margin(capacity=0.01, required=0.02) == pytest.approx(-0.5)


def test_relief_of_a_quarter_inch_valve():
    # The code's own form in its own units: W = C K A P sqrt(M/T), C = 356 for air (from memory), lb/h.
    flow = relief.valve_capacity(bore=0.00635, discharge_coefficient=0.85, set_pressure=125 * PSI)
    area, absolute, rankine = np.pi / 4 * 0.25**2, 125 * 1.1 + 14.696, 519.67
    pounds = 356 * 0.9 * 0.85 * area * absolute * (28.97 / rankine) ** 0.5
    assert flow == pytest.approx(pounds * 0.45359237 / 3600, rel=2e-3)


def test_relief_must_pass_what_the_pump_sweeps():
    need = relief.required_capacity(displacement=0.79e-3, highest_speed=1050 / 60)
    assert need == pytest.approx(0.79e-3 * 17.5 * 1.225, rel=1e-3)


def test_overloaded_valve_breaks_the_rise_limit():
    held = relief.highest_pressure(set_pressure=150 * PSI, capacity=0.01, delivered=np.array([0.002, 0.01, 0.013]))
    margin = relief.rise_margin(plate_pressure=150 * PSI, highest_pressure=held)
    assert margin[0] > margin[1] > -1e-6
    assert margin[2] < 0
    assert held[0] == 150 * PSI


def test_unchoked_nozzle_stops_at_the_rooms_pressure():
    flow = relief.nozzle_flow(
        bore=1e-3, discharge_coefficient=1, pressure=np.array([1e5, 101325, 1.2e5, 5e5]), temperature=293
    )
    assert flow[0] == flow[1] == 0
    assert flow[3] > flow[2] > 0


def test_bleed_of_an_empty_line():
    case = {"volume": 1e-3, "bore": 1.6e-3}
    time = check_valve.bleed_time(**case, pressure_start=np.array([9e4, 101325, 1.1e5]), pressure_end=1.1e5)
    np.testing.assert_allclose(time, 0, atol=1e-12)
    assert check_valve.vented_air(volume=1e-3, pressure_start=9e4) == 0


def test_bleed_to_the_rooms_pressure_is_finite():
    time = check_valve.bleed_time(volume=1e-3, bore=1.6e-3, pressure_start=9e5, pressure_end=101325)
    assert 7.5 < time < 15


def test_restart_waits_for_the_later_of_bleed_and_coast():
    least = check_valve.shortest_restart(bleed_time=7.5, switch_delay=0.5, coast_time=np.array([4.0, 12.0]))
    np.testing.assert_allclose(least, [8, 12])
    np.testing.assert_allclose(check_valve.restart_margin(off_time=10, shortest_restart=least), [2, -2])


def test_check_valve_lets_nothing_back():
    drop = check_valve.valve_drop(
        mass_flow=np.array([-0.01, 0.0, 1e-5, 0.02]),
        temperature=300,
        pressure=9e5,
        rated_drop=1e4,
        rated_flow_dry_kg_s=0.01,
        rated_temperature=300,
        rated_pressure=9e5,
        cracking_drop=2e3,
    )
    np.testing.assert_allclose(drop, [0, 0, 2e3, 4e4])


def test_bleed_broadcasts():
    time = check_valve.bleed_time(
        volume=np.full((4, 1, 1), 1e-3),
        bore=np.array([1e-3, 1.6e-3])[:, None],
        pressure_start=np.array([4e5, 8e5, 9e5]),
        pressure_end=1.2e5,
    )
    assert time.shape == (4, 2, 3)
    assert np.all(np.isfinite(time))


def test_cost_of_an_hour_and_of_air():
    drawn = energy.electrical_power(
        shaft_power=3000, belt_efficiency=0.95, motor_efficiency=0.87, drive_efficiency=0.97
    )
    assert drawn == pytest.approx(3742, abs=1)
    price = 0.15 / energy.JOULE_PER_KWH
    assert energy.cost_per_hour(power=drawn, price=price) == pytest.approx(0.561, abs=0.001)
    work = energy.specific_power(power=drawn, free_air_delivery=np.array([0.0, 0.0075]))
    assert np.all(np.isfinite(work))
    assert energy.cost_of_air(specific_power=work[1], price=price) == pytest.approx(0.0208, abs=0.0002)
    assert energy.leak_share(leak_flow=0.001, free_air_delivery=0.008) == pytest.approx(0.125)
