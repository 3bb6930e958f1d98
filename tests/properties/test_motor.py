"""Balances and shapes of the motor model on fresh plates and loads."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from airfettle.parts import motor, motor_class, motor_limits


@st.composite
def plates(draw, phases=3):
    poles = draw(st.sampled_from([2, 4, 6]))
    frequency = draw(st.sampled_from([50.0, 60.0]))
    slip = draw(st.floats(0.015, 0.045))
    return {
        "power": draw(st.floats(600.0, 20e3)),
        "voltage": draw(st.sampled_from([208.0, 230.0, 400.0, 460.0])),
        "frequency": frequency,
        "rated_speed": 2 * frequency / poles * (1 - slip),
        "poles": poles,
        "efficiency": draw(st.floats(0.78, 0.90)),
        "power_factor": draw(st.floats(0.74, 0.88)),
        "breakdown_ratio": draw(st.floats(1.8, 3.0)),
        "no_load_share": draw(st.floats(0.30, 0.50)),
        "phases": phases,
    }


loads = st.lists(st.floats(0.0, 1.4), min_size=1, max_size=6).map(np.array)
ratios = st.floats(0.34, 1.5)


def run(plate, share, ratio, **more):
    constants = motor.motor_from_plate(**plate)
    more = {"voltage_available": plate["voltage"], **more}
    return constants, motor.running(
        constants, torque=share * constants.rated_torque, frequency=ratio * plate["frequency"], **more
    )


@given(plates(), loads, ratios)
def test_power_in_is_power_out_and_the_five_losses(plate, share, ratio):
    _, state = run(plate, share, ratio)
    parts = state.copper_loss + state.rotor_loss + state.core_loss + state.friction_loss + state.stray_loss
    np.testing.assert_allclose(state.input_power, state.shaft_power + parts, rtol=1e-12)
    assert np.all(np.stack([state.copper_loss, state.rotor_loss + 0 * parts, state.stray_loss + 1e-9]) >= 0)
    np.testing.assert_allclose(state.shaft_power, 2 * np.pi * state.speed * state.torque_held, rtol=1e-12)


@given(plates(), st.floats(0.3, 1.4), ratios)
def test_the_terminals_agree_with_the_power(plate, share, ratio):
    """The current came from the power by iteration: it must give the power back."""
    _, state = run(plate, share, ratio)
    if state.pull_out_share < 0.8:
        taken = np.sqrt(3) * state.voltage * state.current * state.power_factor
        np.testing.assert_allclose(taken, state.input_power, rtol=1e-8)


@given(plates(), st.floats(0.1, 1.2), ratios)
def test_the_rotor_loses_slip_times_gap_power(plate, share, ratio):
    constants, state = run(plate, share, ratio)
    synchronous = 2 * constants.frequency * ratio / constants.poles
    gap = state.shaft_power + state.friction_loss + state.stray_loss + state.rotor_loss
    np.testing.assert_allclose(state.rotor_loss, state.slip * gap, rtol=1e-9)
    np.testing.assert_allclose(state.speed, synchronous * (1 - state.slip), rtol=1e-12)


@given(plates(), ratios)
def test_more_torque_means_more_slip_more_current_more_loss(plate, ratio):
    _, state = run(plate, np.linspace(0.05, 1.4, 12), ratio)
    held = state.pull_out_share < 0.8
    for what in (state.slip, state.current, state.losses, state.pull_out_share):
        assert np.all(np.diff(what[held]) > 0)


@given(plates())
def test_at_the_rated_point_the_plate_comes_back(plate):
    constants, state = run(plate, 1.0, 1.0)
    np.testing.assert_allclose(state.speed, plate["rated_speed"], rtol=1e-10)
    np.testing.assert_allclose(state.shaft_power, plate["power"], rtol=1e-10)
    if constants.plate_residual > 0.05 and 0.3 * constants.rated_current < 0.98 * constants.reactive_current:
        np.testing.assert_allclose(state.efficiency, plate["efficiency"], rtol=1e-9)
        np.testing.assert_allclose(state.current, constants.rated_current, rtol=1e-9)


@given(plates(), st.floats(0.2, 1.2), ratios, st.floats(0.5, 4.0))
def test_volts_and_amps_trade(plate, share, ratio, factor):
    """The same motor wound for another voltage: equal powers, amps inversely."""
    _, state = run(plate, share, ratio)
    _, other = run({**plate, "voltage": plate["voltage"] * factor}, share, ratio)
    np.testing.assert_allclose(other.input_power, state.input_power, rtol=1e-9)
    np.testing.assert_allclose(other.current * factor, state.current, rtol=1e-9)


@given(plates(), plates(phases=1), st.floats(0.3, 1.2))
def test_one_phase_takes_root_three_times_the_amps(plate, single, share):
    _, three = run(plate, share, 1.0)
    _, one = run({**plate, "phases": 1}, share, 1.0, direct=True)
    np.testing.assert_allclose(one.current, np.sqrt(3) * three.current, rtol=1e-9)
    np.testing.assert_allclose(one.input_power, three.input_power, rtol=1e-9)
    constants = motor.motor_from_plate(**single)
    expected = single["power"] / (single["voltage"] * single["efficiency"] * single["power_factor"])
    np.testing.assert_allclose(constants.rated_current, expected, rtol=1e-12)


@given(plates(), ratios, st.floats(0.3, 1.0))
def test_less_voltage_less_pull_out(plate, ratio, less):
    _, full = run(plate, 0.5, ratio)
    _, low = run(plate, 0.5, ratio, voltage_available=less * full.voltage)
    np.testing.assert_allclose(low.breakdown_torque, less**2 * full.breakdown_torque, rtol=1e-9)
    assert low.available_torque_share <= full.available_torque_share + 1e-12
    assert low.pull_out_share >= full.pull_out_share - 1e-12


@given(plates(), st.floats(0.0, 1.0), st.floats(0.2, 0.8))
def test_boost_never_harms_pull_out(plate, boost, ratio):
    _, bare = run(plate, 0.5, ratio)
    _, helped = run(plate, 0.5, ratio, boost=boost)
    assert helped.breakdown_torque >= bare.breakdown_torque * (1 - 1e-12)


@given(
    st.floats(1.0, 1e5), st.floats(10.0, 1000.0), st.floats(5.0, 70.0), st.floats(0.2, 0.999), st.floats(0.1, 1.0),
    st.floats(0.5, 4.0), st.floats(0.0, 1.0), st.floats(0.0, 30.0), st.floats(0.0, 400.0), st.floats(0.0, 2000.0),
    st.booleans(), st.sampled_from([1, 3]),
)  # fmt: skip
def test_nothing_but_finite_numbers(power, volts, speed, eta, pf, ratio, idle, share, hertz, there, direct, phases):
    constants = motor.motor_from_plate(
        power=power, voltage=volts, frequency=60.0, rated_speed=speed, poles=4, efficiency=eta, power_factor=pf,
        breakdown_ratio=ratio, no_load_share=idle, phases=phases,
    )  # fmt: skip
    state = motor.running(
        constants, torque=share * constants.rated_torque, frequency=hertz, voltage_available=there, direct=direct
    )
    for thing in (constants, state):
        for name, value in vars(thing).items():
            assert np.all(np.isfinite(value)), name
    assert state.speed >= 0
    assert state.torque_held <= share * constants.rated_torque * (1 + 1e-12)


@given(plates(), st.integers(1, 4), st.integers(1, 5), st.integers(1, 3))
def test_broadcasting_equals_single_points(plate, draws, speeds, pressures):
    power = plate["power"] * np.linspace(0.9, 1.1, draws)[:, None, None]
    hertz = np.linspace(30.0, 70.0, speeds)[None, :, None]
    torque = np.linspace(0.2, 1.0, pressures)[None, None, :] * plate["power"] / 400.0
    constants = motor.motor_from_plate(**{**plate, "power": power})
    state = motor.running(constants, torque=torque, frequency=hertz, voltage_available=plate["voltage"])
    assert state.current.shape == (draws, speeds, pressures)
    one = motor.running(
        motor.motor_from_plate(**{**plate, "power": power[-1, 0, 0]}), torque=torque[0, 0, -1],
        frequency=hertz[0, -1, 0], voltage_available=plate["voltage"],
    )  # fmt: skip
    np.testing.assert_allclose(state.current[-1, -1, -1], one.current, rtol=1e-12)
    np.testing.assert_allclose(state.speed[-1, -1, -1], one.speed, rtol=1e-12)


@given(st.floats(300.0, 60e3), st.sampled_from([2, 4, 6, 8]))
def test_class_values_are_sane_and_grow_with_power(power, poles):
    for function in (motor_class.full_load_efficiency, motor_class.rotor_inertia):
        assert function(power * 1.3, poles=poles) >= function(power, poles=poles) * 0.995
    efficiency = motor_class.full_load_efficiency(power, poles=poles)
    assert 0.6 < efficiency < 0.97
    assert efficiency >= motor_class.full_load_efficiency(power, poles=poles, standard="1997")
    assert motor_class.breakdown_torque_ratio(power, poles=poles) > motor_class.full_load_efficiency(power)
    rate = motor_class.allowable_starts(power, poles=poles)
    assert motor_class.start_rate_limit(rate, load_inertia=0.0) == rate.rate


@given(st.floats(0.0, 2.0), st.floats(0.0, 0.9), st.floats(0.0, 1.0))
def test_cooling_never_gives_more_at_less_speed(share, knee, rest):
    slower = motor_limits.fan_cooled_torque_share(0.9 * share, full_torque_down_to=knee, at_standstill=rest)
    faster = motor_limits.fan_cooled_torque_share(share, full_torque_down_to=knee, at_standstill=rest)
    assert slower <= faster <= 1.0
    assert motor_limits.fan_cooling_share(0.9 * share) <= motor_limits.fan_cooling_share(share)


@given(st.floats(0.01, 10.0), st.floats(0.1, 8.0))
def test_inertia_there_and_back(inertia, ratio):
    there = motor_limits.reflected_inertia(inertia, speed_ratio=ratio)
    np.testing.assert_allclose(motor_limits.reflected_inertia(there, speed_ratio=1 / ratio), inertia, rtol=1e-12)
    # the same energy on either shaft
    np.testing.assert_allclose(there * 10.0**2, inertia * (10.0 * ratio) ** 2, rtol=1e-12)
