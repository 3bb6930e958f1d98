"""Drive: words, spans, starting and stopping, box and lead."""

import numpy as np
import pytest

from airfettle.errors import UnknownChoice
from airfettle.parts import drive, drive_start


def test_a_reactor_raises_the_power_factor():
    for phases in (1, 3):
        bare, fitted = (drive.power_factor_span(phases=phases, reactor=has) for has in (False, True))
        assert bare.low < bare.likely < bare.high
        assert fitted.likely > bare.likely


def test_the_makers_single_phase_current_replaces_the_share_but_never_passes_the_rating():
    assert drive.output_current_limit(20.0, input_phases=1, single_phase_current=12.0) == 12.0
    assert drive.output_current_limit(20.0, input_phases=1, single_phase_current=30.0) == 20.0
    assert drive.output_current_limit(20.0, input_phases=3, single_phase_current=12.0) == 20.0


def test_unknown_duty_is_refused():
    with pytest.raises(UnknownChoice, match="heavy or normal"):
        drive.overload_current(10.0, duty="light")


@pytest.mark.parametrize(("changed", "left"), [({"altitude": 2000.0}, 0.90), ({"ambient": 323.15}, 0.75),
                                               ({"carrier": 8e3}, 0.84), ({}, 1.0)])  # fmt: skip
def test_derating(changed, left):
    assert drive.derating(**changed) == pytest.approx(left)


def test_no_load_has_heat_but_no_efficiency():
    assert drive.efficiency(0.0, rated_power=4e3) == 0
    assert drive.losses(0.0, rated_power=4e3) == pytest.approx(0.3 * 4e3 * (1 / 0.965 - 1))


def test_bus():
    assert drive.bus_voltage(240.0) == pytest.approx(339.4, abs=0.05)


def test_a_ramp_against_too_much_load_never_ends():
    time = drive_start.ramp_time(
        inertia=1.0, speed_start=0.0, speed_end=10.0, torque=5.0, load_torque=np.array([4, 5, 6])
    )
    assert time[0] == pytest.approx(2 * np.pi * 10)
    assert np.all(time[1:] == drive_start.NEVER)


def test_no_current_no_torque():
    more = {"rated_current": 13.0, "no_load_current": 5.2, "rated_torque": 20.4, "breakdown_torque": 45.9}
    assert drive_start.break_away_torque(4.0, **more) == 0
    by_hand = 18.36 * (358.35 / 141.96) ** 0.5
    assert drive_start.break_away_torque(1.5 * 13.0, **more) == pytest.approx(by_hand, rel=1e-4)


def test_box_temperature():
    assert drive_start.box_temperature(150.0, ambient=298.15, area=1.0) == pytest.approx(298.15 + 27.27, abs=0.01)


def test_a_long_lead_on_480_v_passes_an_old_winding_and_not_an_inverter_duty_one():
    peak = drive_start.terminal_peak(drive.bus_voltage(480.0), lead_length=30.0)
    assert drive_start.insulation_peak(460.0, inverter_duty=False) < peak
    assert peak < drive_start.insulation_peak(460.0, inverter_duty=True)
    assert drive_start.terminal_peak(drive.bus_voltage(240.0), lead_length=30.0) < 1000.0
