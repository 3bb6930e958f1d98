"""The pump and what surrounds it: single answers, edges."""

import numpy as np
import pytest

from airfettle.air import compression, cylinder
from airfettle.parts import pump
from airfettle.parts import pump_surroundings as around

PUMP = {
    "speed": 15.0, "rated_speed": 15.0, "displacement": 0.6e-3, "clearance": 0.05, "compression_exponent": 1.3,
    "expansion_exponent": 1.2, "suction_loss": 0.03, "discharge_loss": 0.05, "leakage": 0.03, "heating": 1.05,
    "friction_pressure": 25e3, "friction_pressure_speed": 10e3, "wall_heat_share": 0.35, "intake_pressure": 101_325.0,
    "intake_temperature": 298.15, "intake_humidity_ratio": 0.0, "discharge_pressure": 963_325.0,
}  # fmt: skip
TWO = PUMP | {
    "displacement": 0.65e-3, "second_displacement": 0.195e-3, "second_clearance": 0.06, "second_heating": 1.04,
    "intercooler_effectiveness": 0.75, "intercooler_loss": 0.02, "coolant_temperature": 298.15,
    "discharge_pressure": 1_307_925.0,
}  # fmt: skip


def test_ten_kelvin_more_at_the_intake_cost_three_percent_of_mass():
    warm = pump.single_stage(**PUMP | {"intake_temperature": 308.15})
    share = warm.delivered_dry_air / pump.single_stage(**PUMP).delivered_dry_air
    assert share - 1.0 == pytest.approx(-0.0325, abs=0.0005)
    assert warm.free_air_delivery == pytest.approx(pump.single_stage(**PUMP).free_air_delivery, rel=1e-12)


def test_a_filter_drop_costs_more_mass_than_its_share():
    """Intake pressure falls 2 %, and with it the ratio rises: clearance takes the rest."""
    inlet = around.intake_pressure(101_325.0, filter_drop=2026.5, speed_ratio=1.0)
    assert inlet == pytest.approx(0.98 * 101_325.0)
    share = pump.single_stage(**PUMP | {"intake_pressure": inlet}).delivered_dry_air
    share /= pump.single_stage(**PUMP).delivered_dry_air
    assert 0.95 < share < 0.98


def test_filter_drop_grows_with_the_square_of_speed_and_stays_sane():
    assert around.intake_pressure(1e5, filter_drop=2000.0, speed_ratio=0.5) == pytest.approx(1e5 - 500.0)
    assert around.intake_pressure(1e5, filter_drop=9e4, speed_ratio=1.0) == pytest.approx(5e4)


def test_delivery_for_each_turn_sags_at_both_ends_of_speed():
    speeds = np.linspace(3.0, 24.0, 50)
    s = pump.single_stage(**PUMP | {"speed": speeds, "leakage": 0.06, "suction_loss": 0.06})
    best = int(np.argmax(s.volumetric_efficiency))
    assert 5 < best < 44
    assert np.all(np.diff(s.volumetric_efficiency[: best + 1]) > 0)
    assert np.all(np.diff(s.volumetric_efficiency[best:]) < 0)


def test_leak_with_pressure_ratio():
    """At the ratio the leak is given for it changes nothing; above, it costs more."""
    reference = 963_325.0 / 101_325.0
    fixed, scaled = pump.single_stage(**PUMP), pump.single_stage(**PUMP, leakage_ratio=reference)
    assert scaled.delivered_dry_air == pytest.approx(fixed.delivered_dry_air, rel=1e-12)
    higher = {"discharge_pressure": 1.3e6}
    assert (
        pump.single_stage(**PUMP | higher, leakage_ratio=reference).delivered_dry_air
        < pump.single_stage(**PUMP | higher).delivered_dry_air
    )


def test_blow_by_is_lost_and_valve_leak_is_not():
    kept, lost = (pump.single_stage(**PUMP | {"leakage": 0.2, "blow_by_share": b}) for b in (0.0, 1.0))
    assert kept.blow_by_dry_air == 0.0
    assert lost.delivered_dry_air == pytest.approx(kept.delivered_dry_air, rel=1e-12)
    assert lost.blow_by_dry_air == pytest.approx(0.25 * lost.delivered_dry_air, rel=1e-12)
    assert lost.discharge_temperature < kept.discharge_temperature  # the leaking valve keeps its heat in


def test_intercooler_given_the_energy_balance_is_cooler():
    by_work, by_energy = (pump.two_stage(**TWO, intercooler_feed=feed) for feed in ("work", "energy"))
    assert by_energy.first_discharge_temperature < by_energy.first_work_temperature
    assert by_energy.interstage_temperature < by_work.interstage_temperature
    assert by_energy.interstage_pressure < by_work.interstage_pressure


def test_water_drops_between_the_stages_in_a_damp_room():
    damp = pump.two_stage(**TWO | {"intake_humidity_ratio": 0.025, "intercooler_effectiveness": 0.9})
    assert damp.interstage_condensate > 0.0
    assert damp.interstage_humidity_ratio < 0.025
    assert damp.delivered_humidity_ratio == damp.interstage_humidity_ratio


def test_an_empty_receiver_is_blown_through():
    """The second stage does no work; pressures rise smoothly into two-stage running."""
    pressures = np.linspace(101_325.0, 1.3e6, 400)
    s = pump.two_stage(**TWO | {"discharge_pressure": pressures})
    assert s.second_work[0] == pytest.approx(0.0, abs=1e-9)
    assert np.all(np.diff(s.interstage_pressure) > 0)
    assert np.all(np.diff(s.delivered_dry_air) <= 1e-15)
    assert np.max(np.abs(np.diff(s.shaft_power))) < 30.0


def test_a_single_stage_pump_has_nothing_between():
    s = pump.single_stage(**PUMP)
    for name in ("second_work", "interstage_pressure", "interstage_condensate", "heat_to_intercooler"):
        assert getattr(s, name) == 0.0


def test_discharge_temperature_stays_bounded_when_almost_nothing_is_delivered():
    s = pump.single_stage(**PUMP | {"clearance": np.array([0.05, 0.17, 0.18, 0.30])})
    assert np.all(s.discharge_temperature < 900.0)
    assert s.delivered_dry_air[-1] == 0.0
    assert s.heat_to_walls[-1] == pytest.approx(s.indicated_power[-1], rel=1e-12)


def test_displacement_from_an_owners_words():
    """Delivers 18 cfm at 100 psi and 850 rpm."""
    reading = 18 * 0.3048**3 / 60
    at = {"speed": 850 / 60, "rated_speed": 850 / 60, "discharge_pressure": 101_325.0 + 100 * 6894.757}
    trial = pump.single_stage(**PUMP | at)
    found = around.displacement_from_delivery(
        reading, trial_delivery=trial.free_air_delivery, trial_displacement=0.6e-3
    )
    assert pump.single_stage(**PUMP | at | {"displacement": found}).free_air_delivery == pytest.approx(
        reading, rel=1e-12
    )


def test_displacement_of_a_row_that_delivers_nothing_is_large_and_finite():
    found = around.displacement_from_delivery(0.01, trial_delivery=np.array([0.0, 0.005]), trial_displacement=1e-3)
    assert np.all(np.isfinite(found))
    assert found[0] > 1e3 * found[1]


def test_walls_and_charge():
    """400 W through 5 W/K is 80 K at rated speed, and more at half."""
    wall = around.wall_temperature(
        400.0, conductance=5.0, speed_ratio=np.array([1.0, 0.5, 0.0]), speed_exponent=0.6, room_temperature=293.15
    )
    assert wall[0] == pytest.approx(373.15)
    assert wall[1] == pytest.approx(293.15 + 80.0 * 2**0.6)
    assert np.isfinite(wall[2])
    h = around.heating_factor(373.15, intake_temperature=293.15, exchange_share=0.2)
    assert h == pytest.approx(1.0 + 0.2 * 80.0 / 293.15)


def test_unloaded_power():
    assert around.unloaded_power(3000.0, share=0.2) == pytest.approx(600.0)


def test_highest_ratio_admits_nothing():
    r = cylinder.highest_ratio(0.06, expansion_exponent=1.2)
    for ratio, admits in ((0.99 * r, True), (r, False)):
        cycle = cylinder.clearance_cycle(ratio, clearance=0.06, compression_exponent=1.3, expansion_exponent=1.2)
        assert (cycle.admitted > 1e-9) == admits


def test_piston_speed_and_bore_go_back():
    assert cylinder.piston_speed(0.06, speed=15.0) == pytest.approx(1.8)
    volume = cylinder.swept_volume(0.08, stroke=0.06)
    assert cylinder.bore_for_swept_volume(volume, stroke_over_bore=0.75) == pytest.approx(0.08)


def test_free_air_counts_the_vapour():
    """A hundredth of water by mass takes 1.6 % of the volume."""
    dry, damp = (
        compression.moist_air_volume(0.01, humidity_ratio=W, temperature=293.15, pressure=101_325.0)
        for W in (0.0, 0.01)
    )
    assert damp / dry - 1.0 == pytest.approx(0.01 / 0.62198)
