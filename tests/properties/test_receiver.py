"""Receivers, vessels, relief and bleed: balances, limits and independent solutions."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from airfettle.air.drop import pressure_drop
from airfettle.parts import check_valve, energy, receiver, receiver_cooling, receiver_trial, relief, vessel

R, CP = 287.055, 1005.0
volumes = st.floats(0.02, 2.0)
flows = st.floats(0.001, 0.05)
pressures = st.floats(2e5, 1.4e6)


@given(volumes, st.floats(1e-4, 0.05), pressures, pressures)
def test_trial_undoes_pump_up(volume, flow, one, other):
    low, high = min(one, other), max(one, other) + 1e3
    tank = {"receiver_volume": volume, "pressure_start": low, "pressure_end": high}
    time = receiver.pump_up_time(**tank, free_air_delivery=flow)
    back = receiver_trial.pump_up_delivery(**tank, duration=time)
    assert back == pytest.approx(flow, rel=1e-9)


@given(volumes, st.floats(1e-3, 0.05), st.floats(0.02, 0.98))
def test_no_demand_starts_more_often_than_half(volume, delivery, share):
    tank = {"receiver_volume": volume, "pressure_cut_in": 6e5, "pressure_cut_out": 8e5, "free_air_delivery": delivery}
    cycle = receiver.running_cycle(**tank, demand=share * delivery)
    assert cycle.starts <= receiver.worst_starts(**tank) * (1 + 1e-12)
    assert cycle.starts * (cycle.run_time + cycle.off_time) == pytest.approx(1, rel=1e-9)
    assert cycle.run_time / (cycle.run_time + cycle.off_time) == pytest.approx(share, rel=1e-9)


@given(st.floats(1e-3, 0.05), st.floats(0, 600), pressures)
def test_volume_for_a_draw_lasts_that_long(demand, duration, high):
    case = {"demand": demand, "pressure_high": high + 1e5, "pressure_low": high}
    volume = receiver.volume_for_draw(duration=duration, **case)
    assert receiver.draw_down_time(receiver_volume=volume, **case) == pytest.approx(duration, rel=1e-9, abs=1e-9)


tanks = st.fixed_dictionaries(
    {
        "receiver_volume": st.floats(0.05, 1.0),
        "mass_flow": st.floats(0.002, 0.03),
        "inlet_temperature": st.floats(300, 440),
        "room_temperature": st.floats(270, 310),
        "inside_conductance": st.floats(0, 80),
        "outside_conductance": st.floats(0, 40),
        "wall_heat_capacity": st.floats(5e3, 1e5),
        "pressure_start": st.floats(9e4, 7e5),
    }
)


@settings(max_examples=30)
@given(tanks, st.floats(1.05, 8))
def test_pump_up_agrees_with_a_general_solver(tank, ratio):
    end = tank["pressure_start"] * ratio
    found = receiver_trial.hot_pump_up(**tank, pressure_end=end)
    V, flow, p1 = tank["receiver_volume"], tank["mass_flow"], tank["pressure_start"]
    Tin, Ta, Cw = tank["inlet_temperature"], tank["room_temperature"], tank["wall_heat_capacity"]
    hA, UA = tank["inside_conductance"], tank["outside_conductance"]
    cv = CP - R

    def slope(t, y):
        m, Tg, Tw = y
        heat = hA * (Tg - Tw)
        return [flow, (flow * (CP * Tin - cv * Tg) - heat) / (m * cv), (heat - UA * (Tw - Ta)) / Cw]

    def full(t, y):
        return y[0] * R * y[1] / V - end

    full.terminal = True
    start = [p1 * V / (R * Ta), Ta, Ta]
    longest = 2 * V * end / (R * 270 * flow)
    exact = solve_ivp(slope, (0, longest), start, events=full, rtol=1e-9, atol=1e-9, method="LSODA")
    assert found.duration == pytest.approx(exact.t_events[0][0], rel=1e-5)
    assert found.gas_temperature == pytest.approx(exact.y_events[0][0][1], rel=1e-5)
    assert found.wall_temperature == pytest.approx(exact.y_events[0][0][2], rel=1e-5)


@given(tanks)
def test_pump_up_without_heat_loss_keeps_its_energy(tank):
    sealed = {**tank, "inside_conductance": 0.0}
    end = 1e6
    hot = receiver_trial.hot_pump_up(**sealed, pressure_end=end)
    fed = tank["mass_flow"] * hot.duration * CP * tank["inlet_temperature"]
    gained = (end - tank["pressure_start"]) * tank["receiver_volume"] * (CP - R) / R
    assert gained == pytest.approx(fed, rel=1e-9)
    limit = CP / (CP - R) * tank["inlet_temperature"] / tank["room_temperature"]
    assert hot.over_read + 1 == pytest.approx(limit, rel=1e-9)


@settings(max_examples=20)
@given(tanks)
def test_pump_up_held_at_room_temperature_reads_true(tank):
    carried = tank["mass_flow"] * CP
    cold = {**tank, "inside_conductance": 1000 * carried, "outside_conductance": 1e6, "wall_heat_capacity": 1e9}
    hot = receiver_trial.hot_pump_up(**cold, pressure_end=tank["pressure_start"] * 3)
    assert abs(hot.over_read) < 2e-3


@given(volumes, st.floats(30, 900), st.floats(250, 320), st.floats(0, 3e3))
def test_settled_reading_finds_the_flow(volume, duration, room, vapour):
    flow = 0.01
    found = receiver_trial.settled_delivery(
        receiver_volume=volume,
        duration=duration,
        pressure_start=101325,
        temperature_start=room,
        pressure_settled=101325 + flow * duration * R * room / volume,
        temperature_settled=room,
        pressure_intake=101325,
        temperature_intake=room,
        vapour_pressure_intake=vapour,
    )
    assert found.mass_flow == pytest.approx(flow, rel=1e-9)
    assert found.free_air_delivery * (101325 - vapour) == pytest.approx(flow * R * room, rel=1e-9)


@given(st.floats(0, 0.05), st.floats(290, 420), st.floats(270, 310), st.floats(0, 100))
def test_receiver_lies_between_inlet_and_room(flow, inlet, room, conductance):
    T = receiver_cooling.outlet_temperature(
        mass_flow=flow, inlet_temperature=inlet, room_temperature=room, conductance=conductance
    )
    assert min(inlet, room) - 1e-9 <= T <= max(inlet, room) + 1e-9
    assert flow * CP * (inlet - T) == pytest.approx(conductance * (T - room), rel=1e-6, abs=1e-5)


@given(flows, st.floats(0, 0.05), st.floats(275, 340), pressures)
def test_condensate_never_exceeds_the_water_fed(flow, ratio, temperature, pressure):
    case = {"mass_flow": flow, "humidity_ratio_in": ratio, "pressure": pressure}
    water = receiver_cooling.condensate(temperature=temperature, **case)
    assert 0 <= water <= flow * ratio
    assert receiver_cooling.condensate(temperature=temperature - 5, **case) >= water


@given(st.floats(0.1, 1.0), st.floats(1e5, 2e6), st.floats(5e7, 1.4e8))
def test_wall_formulas_agree_and_turn_back(radius, pressure, strength):
    steel = {"allowable_stress": strength, "joint_efficiency": 0.7}
    wall = vessel.required_wall(gauge_pressure=pressure, inside_radius=radius, **steel)
    outside = vessel.required_wall_outside(gauge_pressure=pressure, outside_radius=radius + wall, **steel)
    assert outside == pytest.approx(wall, rel=1e-9)
    assert vessel.pressure_for_wall(thickness=wall, inside_radius=radius, **steel) == pytest.approx(pressure, rel=1e-9)


@given(volumes, pressures)
def test_brode_names_more_energy(volume, pressure):
    tank = {"volume": volume, "pressure": pressure}
    assert 0 < vessel.isentropic_energy(**tank) < vessel.brode_energy(**tank)
    work, _ = quad(lambda v: pressure * (volume / v) ** 1.4, volume, volume * (pressure / 101325) ** (1 / 1.4))
    assert vessel.isentropic_energy(**tank) == pytest.approx(work, rel=1e-6)


@given(st.floats(0.2, 1.2), st.floats(0.3, 3), st.floats(0, 1))
def test_trapped_water_fills_the_tank_from_both_sides(diameter, length, share):
    tank = {"inside_diameter": diameter, "shell_length": length, "head_depth": diameter / 4}
    whole = np.pi / 4 * diameter**2 * length + np.pi / 12 * diameter**3
    below = vessel.trapped_water(depth=share * diameter, **tank)
    above = vessel.trapped_water(depth=(1 - share) * diameter, **tank)
    assert below >= 0
    assert below + above == pytest.approx(whole, rel=1e-9)
    assert vessel.trapped_water(depth=diameter, **tank) == pytest.approx(whole, rel=1e-9)


@given(volumes, volumes, pressures, pressures)
def test_joined_receivers_keep_their_air(V1, V2, p1, p2):
    p = receiver.joined_pressure(volume_first=V1, volume_second=V2, pressure_first=p1, pressure_second=p2)
    assert p * (V1 + V2) == pytest.approx(p1 * V1 + p2 * V2, rel=1e-12)


@settings(max_examples=30)
@given(st.floats(1e-4, 1e-2), st.floats(1.05e5, 1.4e6), st.floats(0.01, 0.9), st.floats(0.5e-3, 4e-3))
def test_bleed_agrees_with_quadrature(volume, start, share, bore):
    room, T = 101325.0, 298.15
    end = room + 200 + share * max(start - room - 200, 0)
    case = {"bore": bore, "discharge_coefficient": 0.7, "temperature": T}
    found = check_valve.bleed_time(volume=volume, pressure_start=start, pressure_end=end, **case)

    def pace(p):
        return volume / (R * T * relief.nozzle_flow(pressure=p, **case))

    choke = min(max(room / relief.CHOKED, end), start)
    exact = quad(pace, end, choke, epsrel=1e-10)[0] + quad(pace, choke, start, epsrel=1e-10)[0]
    assert found == pytest.approx(exact, rel=1e-6)


@given(st.floats(2e5, 1.7e6), st.floats(2e5, 1.7e6))
def test_capacity_scales_as_the_nozzle_does(stamp, other):
    valve = {"bore": 0.008, "discharge_coefficient": 0.85}
    stamped, wanted = (relief.valve_capacity(set_pressure=p, **valve) for p in (stamp, other))
    carried = relief.capacity_at(stamped_flow=stamped, stamped_set=stamp, set_pressure=other)
    assert carried == pytest.approx(wanted, rel=1e-9)


@given(st.floats(1e-4, 0.05), st.floats(280, 350), pressures, st.floats(0.1, 3))
def test_drop_scales_with_flow_and_density(flow, temperature, pressure, factor):
    rated = {"rated_drop": 2e4, "rated_flow_dry_kg_s": 0.01, "rated_temperature": 300, "rated_pressure": 8e5}
    one = pressure_drop(mass_flow=flow, temperature=temperature, pressure=pressure, **rated)
    two = pressure_drop(mass_flow=factor * flow, temperature=temperature, pressure=pressure, **rated)
    half = pressure_drop(mass_flow=flow, temperature=temperature, pressure=2 * pressure, **rated)
    assert two == pytest.approx(factor**2 * one, rel=1e-9)
    assert half == pytest.approx(one / 2, rel=1e-9)
    assert pressure_drop(mass_flow=0.01, temperature=300, pressure=8e5, **rated) == pytest.approx(2e4)


@given(st.floats(0.001, 0.05), st.floats(280, 350), pressures, st.floats(0.005, 0.05))
def test_loss_coefficient_is_one_point_of_the_same_law(flow, temperature, pressure, bore):
    at = {"mass_flow": flow, "temperature": temperature, "pressure": pressure}
    lost = check_valve.drop_from_loss(**at, bore=bore, loss_coefficient=2.5)
    twice = check_valve.valve_drop(
        **{**at, "mass_flow": 2 * flow},
        rated_drop=lost,
        rated_flow_dry_kg_s=flow,
        rated_temperature=temperature,
        rated_pressure=pressure,
    )
    assert twice == pytest.approx(4 * lost, rel=1e-9)


@given(pressures, pressures)
def test_pressure_saving_has_its_sign(now, wanted):
    saved = energy.pressure_saving(pressure=now, pressure_other=wanted)
    assert np.sign(saved) == np.sign(wanted - now) or abs(wanted - now) < 1e-3


@given(pressures, st.floats(0.3, 1.0), st.floats(1e-4, 0.05))
def test_no_pump_undercuts_isothermal_work(pressure, efficiency, flow):
    least = energy.least_specific_power(pressure=pressure)
    spent = energy.specific_power(power=least * flow / efficiency, free_air_delivery=flow)
    assert spent >= least * (1 - 1e-12)
