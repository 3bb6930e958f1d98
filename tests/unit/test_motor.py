"""Motor: odd plates, stalled points, direct running, and what class tables say."""

import numpy as np
import pytest

from airfettle.errors import UnknownChoice
from airfettle.parts import motor, motor_class, motor_limits

PLATE = {
    "power": 5 * 745.7, "voltage": 230.0, "frequency": 60.0, "rated_speed": 1745 / 60, "poles": 4, "efficiency": 0.875,
    "power_factor": 0.82, "breakdown_ratio": 2.25,
}  # fmt: skip


def run(share=1.0, hertz=60.0, volts=230.0, plate=PLATE, **more):
    constants = motor.motor_from_plate(**plate)
    torque = share * constants.rated_torque
    return motor.running(constants, torque=torque, frequency=hertz, voltage_available=volts, **more)


def test_a_plate_at_synchronous_speed_says_so():
    constants = motor.motor_from_plate(**{**PLATE, "rated_speed": 30.0})
    assert constants.slip_residual == 0
    assert constants.rated_slip == 0.001


def test_a_plate_with_no_room_for_its_losses_says_so():
    constants = motor.motor_from_plate(**{**PLATE, "efficiency": 0.95})
    assert constants.plate_residual < 0
    assert constants.winding_resistance > 0
    assert motor.motor_from_plate(**PLATE).plate_residual > 0.5


def test_amps_on_the_plate_against_the_identity():
    constants = motor.motor_from_plate(**PLATE)
    assert motor.current_residual(constants, plate_current=15.2) == pytest.approx(0.1653, abs=1e-4)


def test_a_motor_that_stalls_gives_finite_numbers_and_a_share_over_one():
    state = run(3.0)
    assert state.pull_out_share > 1
    assert state.torque_share == pytest.approx(3.0)
    assert state.torque_held < 3.0 * motor.motor_from_plate(**PLATE).rated_torque
    assert state.slip == pytest.approx(0.126366, abs=1e-5)
    assert 0 < state.current < 6.01 * 13.05


def test_no_voltage_and_no_frequency_are_finite():
    for state in (run(1.0, 0.0), run(1.0, 60.0, 0.0)):
        assert state.pull_out_share > 1
        assert all(np.isfinite(value) for value in vars(state).values())


def test_idle_takes_the_magnetising_current_and_a_little():
    state = run(0.0)
    assert state.efficiency == 0
    assert state.current == pytest.approx(0.40 * 13.0444, rel=0.01)
    assert state.power_factor < 0.15


def test_a_drive_keeps_flux_and_the_line_does_not():
    assert run(1.0, 30.0, 230.0).flux == pytest.approx(1.0)
    assert run(1.0, 30.0, 230.0, direct=True).flux == pytest.approx(2.0)


def test_a_60_hz_motor_on_50_hz_at_full_voltage_saturates():
    normal, swapped = run(0.8, 50.0), run(0.8, 50.0, direct=True)
    assert swapped.flux == pytest.approx(1.2)
    assert swapped.core_loss == pytest.approx(1.44 * normal.core_loss)
    assert swapped.current > normal.current


def test_a_star_motor_on_too_few_volts_loses_flux_and_two_thirds_of_pull_out():
    plate = {**PLATE, "voltage": float(motor_limits.connection_voltage(230.0, connection="star"))}
    starved, fed = run(0.5, 60.0, 230.0, plate), run(0.5, 60.0, 398.4, plate)
    assert starved.flux == pytest.approx(0.577, abs=1e-3)
    assert starved.breakdown_torque / fed.breakdown_torque == pytest.approx(1 / 3, abs=1e-3)


def test_low_line_voltage_raises_amps_and_slip():
    low, plate = run(1.0, 60.0, 208.0, direct=True), run(1.0, 60.0, 230.0, direct=True)
    assert low.current > plate.current
    assert low.slip > plate.slip


@pytest.mark.parametrize(("connection", "volts"), [("delta", 230.0), ("star", 398.37), ("series", 460.0)])
def test_connections(connection, volts):
    assert motor_limits.connection_voltage(230.0, connection=connection) == pytest.approx(volts, abs=0.01)


def test_unknown_words_are_refused():
    with pytest.raises(UnknownChoice, match="delta, star, parallel, series"):
        motor_limits.connection_voltage(230.0, connection="zigzag")
    with pytest.raises(UnknownChoice, match="premium"):
        motor_class.full_load_efficiency(4e3, standard="IE9")
    with pytest.raises(UnknownChoice, match="enclosed or open"):
        motor_class.full_load_efficiency(4e3, enclosure="sealed")
    with pytest.raises(UnknownChoice, match="code letter"):
        motor_class.locked_rotor_current_by_letter("Z", power=4e3, voltage=230.0)


def test_between_two_ratings_the_next_larger_counts_for_wiring():
    assert motor_class.table_current(4 * 745.7, voltage=230.0) == 15.2
    assert motor_class.table_current(100 * 745.7, voltage=230.0) == pytest.approx(2 * 130.0)


def test_missing_cells_are_skipped():
    assert motor_class.full_load_efficiency(745.7, poles=2, standard="1997", enclosure="open") == pytest.approx(0.825)


def test_metric_classes_rise():
    classes = [motor_class.full_load_efficiency(4e3, standard=name) for name in ("IE1", "IE2", "IE3")]
    assert classes == sorted(classes)
    assert classes[2] == pytest.approx(0.886)


def test_blower_cooled_motors_keep_full_torque_at_rest():
    assert motor_limits.fan_cooled_torque_share(0.0, full_torque_down_to=0.0) == 1.0
    assert motor_limits.fan_cooled_torque_share(0.0) == pytest.approx(0.40)
    assert motor_limits.fan_cooled_torque_share(0.25) == pytest.approx(0.70)


@pytest.mark.parametrize(("metres", "share"), [(0, 1), (1000, 1), (1500, 0.97), (3000, 0.88)])
def test_thin_air(metres, share):
    assert motor_limits.altitude_share(metres) == pytest.approx(share)


def test_winding_temperature():
    hot = motor_limits.winding_temperature(600.0, rated_losses=500.0, ambient=313.15)
    assert hot == pytest.approx(313.15 + 96.0)
    slow = motor_limits.winding_temperature(500.0, rated_losses=500.0, ambient=313.15, cooling_share=0.5)
    assert slow == pytest.approx(313.15 + 160.0)


def test_a_start_that_never_ends():
    held = motor_limits.run_up_time(inertia=0.1, speed=29.0, motor_torque=10.0, load_torque=10.0)
    assert held == 1e9
    free = motor_limits.run_up_time(inertia=0.1, speed=29.0, motor_torque=30.0, load_torque=10.0)
    assert free == pytest.approx(0.1 * 2 * np.pi * 29 / 20)


def test_rotor_of_a_five_horsepower_motor():
    assert 0.012 < motor_class.rotor_inertia(5 * 745.7) < 0.022


def test_power_factor_span():
    span = motor_class.typical_power_factor(np.array([750.0, 4000.0, 18e3]))
    assert np.all(span.low < span.likely)
    assert np.all(span.likely < span.high)
    assert np.all(np.diff(span.likely) >= 0)
