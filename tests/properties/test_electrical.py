"""Drive, supply and conductors: scaling, order and round trips on fresh numbers."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airfettle.parts import conductor, drive, drive_start, motor_class, overcurrent, supply

SYSTEMS = sorted(conductor.SYSTEMS)
amps = st.floats(0.5, 180.0)
positive = st.floats(0.1, 1e4)


@given(positive, st.floats(100.0, 500.0), st.floats(0.4, 1.0))
def test_input_current_is_divided_by_root_three_on_three_phases_only(power, volts, factor):
    one, three = (drive.input_current(power, voltage=volts, phases=n, true_power_factor=factor) for n in (1, 3))
    np.testing.assert_allclose(one * volts * factor, power, rtol=1e-12)
    np.testing.assert_allclose(one / three, np.sqrt(3), rtol=1e-12)


@given(st.floats(0.0, 1.3), st.floats(500.0, 40e3), st.floats(0.94, 0.985))
def test_drive_heat_is_input_less_output(load, rated, efficiency):
    output = load * rated
    heat = drive.losses(output, rated_power=rated, rated_efficiency=efficiency)
    found = drive.efficiency(output, rated_power=rated, rated_efficiency=efficiency)
    np.testing.assert_allclose(found * (output + heat), output, rtol=1e-12, atol=1e-12)
    assert heat > 0
    assert found < 1
    full = drive.efficiency(rated, rated_power=rated, rated_efficiency=efficiency)
    np.testing.assert_allclose(full, efficiency, rtol=1e-12)


@given(st.floats(0.0, 600.0), st.floats(-0.2, 1.2), st.floats(1.0, 400.0))
def test_a_drive_never_gives_more_volts_than_it_gets(volts, drop, hertz):
    there = drive.output_voltage(volts, drop_share=drop)
    assert 0 <= there <= volts
    assert drive.pattern_voltage(hertz, base_voltage=230.0, base_frequency=60.0, available=there) <= there


@given(
    st.floats(1.0, 100.0), st.floats(0.0, 1.5), st.floats(0.0, 5000.0), st.floats(270.0, 330.0), st.floats(2e3, 16e3)
)
def test_deratings_never_add_current(rated, share, altitude, ambient, carrier):
    left = drive.derating(altitude=altitude, ambient=ambient, carrier=carrier)
    assert 0 < left <= 1
    one = drive.output_current_limit(rated, input_phases=1, single_phase_share=share, derating=left)
    three = drive.output_current_limit(rated, input_phases=3, single_phase_share=share, derating=left)
    assert one <= three <= rated
    maker = drive.output_current_limit(rated, input_phases=1, single_phase_current=0.7 * rated)
    np.testing.assert_allclose(maker, 0.7 * rated, rtol=1e-12)


@given(st.floats(0.0, 60.0), st.floats(0.5, 1.0))
def test_break_away_torque_grows_with_current_and_stops_at_breakdown(current, field):
    more = {"rated_current": 13.0, "no_load_current": 5.2, "rated_torque": 20.4, "breakdown_torque": 45.9}
    now = drive_start.break_away_torque(current, field_share=field, **more)
    assert now <= drive_start.break_away_torque(current + 1.0, field_share=field, **more) <= 45.9 + 1e-9
    rated = drive_start.break_away_torque(13.0, field_share=1.0, **more)
    np.testing.assert_allclose(rated, 20.4, rtol=1e-12)


@given(st.floats(0.01, 5.0), st.floats(1.0, 30.0), st.floats(1.0, 50.0), st.floats(0.0, 0.9))
def test_ramp_stores_the_energy_it_is_given(inertia, speed, torque, share):
    load = share * torque
    time = drive_start.ramp_time(inertia=inertia, speed_start=0.0, speed_end=speed, torque=torque, load_torque=load)
    mean_power = (torque - load) * 2 * np.pi * speed / 2
    np.testing.assert_allclose(mean_power * time, 0.5 * inertia * (2 * np.pi * speed) ** 2, rtol=1e-9)
    two = [
        drive_start.ramp_time(inertia=inertia, speed_start=a, speed_end=b, torque=torque, load_torque=load)
        for a, b in ((0.0, speed / 3), (speed / 3, speed))
    ]
    np.testing.assert_allclose(sum(two), time, rtol=1e-9)
    stop = drive_start.coast_time(inertia=inertia, speed=speed, load_torque=torque)
    start = drive_start.ramp_time(inertia=inertia, speed_start=0.0, speed_end=speed, torque=torque, load_torque=0.0)
    np.testing.assert_allclose(stop, start, rtol=1e-12)


@given(st.floats(100.0, 800.0), st.floats(0.0, 200.0), st.floats(3e-8, 1e-6))
def test_reflection_grows_with_the_lead_and_stays_below_twice_the_bus(bus, length, rise):
    peak = drive_start.terminal_peak(bus, lead_length=length, rise_time=rise)
    assert bus <= peak <= 2 * bus
    assert peak <= drive_start.terminal_peak(bus, lead_length=1.1 * length, rise_time=rise)


@given(st.sampled_from(SYSTEMS), amps, st.floats(263.15, 323.0), st.sampled_from([2, 3]))
def test_the_smallest_conductor_is_enough_and_the_next_smaller_is_not(system, required, ambient, loaded):
    chosen = conductor.smallest_conductor(required, system=system, ambient=ambient, loaded=loaded)
    rated = conductor.ampacities(system, loaded=loaded) * conductor.ambient_factor(ambient, system=system)
    assert chosen.ampacity == rated[chosen.index]
    if rated[-1] >= required * (1 + 1e-9):
        assert chosen.margin >= -1e-6 * required
    else:
        assert chosen.margin < 1e-6 * required
    if chosen.index > 0:
        assert rated[chosen.index - 1] < required
    np.testing.assert_allclose(chosen.ampacity - chosen.margin, required, rtol=1e-9)


@given(st.sampled_from(SYSTEMS), amps, st.floats(1.0, 60.0), st.sampled_from([1, 3]), st.floats(2.0, 12.0))
def test_a_conductor_chosen_for_a_drop_keeps_it(system, current, length, phases, drop):
    limit = conductor.resistance_for_drop(drop, current=current, length=length, phases=phases)
    chosen = conductor.smallest_conductor(current, system=system, resistance_limit=limit)
    lost = conductor.voltage_drop(current, resistance=chosen.resistance, length=length, phases=phases)
    last = len(conductor.size_names(system)) - 1
    assert lost <= drop * (1 + 1e-6) or chosen.index == last
    plain = conductor.smallest_conductor(current, system=system)
    assert chosen.index >= plain.index


@given(amps, st.floats(1e-4, 0.02), st.floats(0.0, 100.0), st.sampled_from([1, 3]), st.floats(0.0, 5.0))
def test_voltage_drop_is_linear(current, ohms, length, phases, factor):
    def drop(**changed):
        return conductor.voltage_drop(
            changed.get("current", current), resistance=changed.get("ohms", ohms),
            length=changed.get("length", length), phases=phases,
        )  # fmt: skip

    for changed in ({"current": factor * current}, {"ohms": factor * ohms}, {"length": factor * length}):
        np.testing.assert_allclose(drop(**changed), factor * drop(), rtol=1e-12, atol=1e-15)
    one, three = (conductor.voltage_drop(current, resistance=ohms, length=length, phases=n) for n in (1, 3))
    np.testing.assert_allclose(one * np.sqrt(3), 2 * three, rtol=1e-12, atol=1e-15)


@given(st.floats(0.0, 700.0), st.floats(0.0, 60.0))
def test_voltage_left_is_what_was_not_lost(volts, drop):
    left = supply.voltage_at_load(volts, drop=drop)
    assert left == max(volts - drop, 0.0)


@given(st.floats(1.0, 390.0), st.sampled_from(["nec", "iec"]))
def test_standard_ratings_bracket_a_current(current, series):
    up, down = (f(current, series=series) for f in (overcurrent.standard_rating_up, overcurrent.standard_rating_down))
    ends = overcurrent.standard_rating_up(0.0, series=series), overcurrent.standard_rating_up(1e9, series=series)
    if ends[0] <= current <= ends[1]:
        assert down <= current * (1 + 1e-8)
        assert up >= current * (1 - 1e-8)
    assert (
        overcurrent.standard_rating_up(up, series=series) == up == overcurrent.standard_rating_down(up, series=series)
    )


@given(st.floats(1e-6, 2e-4))
def test_metric_earth_conductor(area):
    earth = overcurrent.earth_area_metric(area)
    assert min(area, 16e-6) * (1 - 1e-9) <= earth <= area
    if area > 36e-6:
        assert earth == 0.5 * area


@given(st.floats(0.2, 60.0), st.sampled_from([200.0, 208.0, 230.0, 240.0, 460.0, 480.0]))
def test_table_current_never_falls_with_power(horsepower, volts):
    for phases in (1, 3):
        if phases == 1 and volts > 300:
            continue
        small, large = (
            motor_class.table_current(hp * 745.7, voltage=volts, phases=phases) for hp in (horsepower, 1.2 * horsepower)
        )
        assert small <= large
    np.testing.assert_array_equal(
        motor_class.table_current(745.7 * horsepower, voltage=240.0),
        motor_class.table_current(745.7 * horsepower, voltage=230.0),
    )


@given(st.floats(100.0, 500.0), st.floats(-0.1, 0.1), st.floats(-0.1, 0.1))
def test_unbalance_is_a_share_and_does_not_mind_the_order(volts, first, second):
    legs = [volts, volts * (1 + first), volts * (1 + second)]
    found = [supply.unbalance(legs[i], second=legs[j], third=legs[k]) for i, j, k in ((0, 1, 2), (2, 0, 1), (1, 2, 0))]
    np.testing.assert_allclose(found, found[0], rtol=1e-9, atol=1e-12)
    scaled = supply.unbalance(2 * legs[0], second=2 * legs[1], third=2 * legs[2])
    np.testing.assert_allclose(scaled, found[0], rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize(("system", "conductor_limit"), [("nec-60", 60), ("nec-75", 75), ("iec-c", 70), ("iec-b2", 70)])
def test_ambient_steps_follow_the_heat_balance(system, conductor_limit):
    """sqrt((Tc - Ta)/(Tc - 30)) at the upper end of each step, from physics, not from the table."""
    for ambient in (10, 15, 20, 25, 30, 35, 40, 45, 50, 55):
        physics = np.sqrt((conductor_limit - ambient) / (conductor_limit - 30))
        assert conductor.ambient_factor(ambient + 273.15, system=system) == pytest.approx(physics, abs=0.0101)


@pytest.mark.parametrize("system", SYSTEMS)
def test_resistance_times_area_is_copper(system):
    at_20 = conductor.resistances(system, temperature=293.15) * conductor.areas(system)
    assert np.all((at_20 > 1.70e-8) & (at_20 < 1.95e-8))
