"""Belts and sheaves: edges, messages, shapes."""

import numpy as np
import pytest

from airfettle.errors import UnknownTableEntry, UnsuitableNumbers
from airfettle.parts import belt, belt_rating, belt_tension, sheave

INCH, HP, LBF = 0.0254, 745.6998715822702, 4.4482216152605
AXES = np.ones((5, 1, 1)), np.linspace(0, 40, 4)[:, None], np.linspace(2e5, 1e6, 3)


def test_standard_grooves_count_the_rim_as_pitch():
    assert sheave.pitch_diameter(outside_diameter=0.1, groove="A") == pytest.approx(0.1)
    assert sheave.datum_diameter(outside_diameter=5 * INCH, groove="A") == pytest.approx(4.75 * INCH)
    assert sheave.datum_diameter(outside_diameter=5 * INCH, groove="B") == pytest.approx(4.65 * INCH)
    assert sheave.datum_diameter(outside_diameter=5 * INCH, groove="3V") == pytest.approx(5 * INCH)


def test_combination_groove_has_two_offsets():
    small, large = sheave.datum_diameter(outside_diameter=np.array([5.0, 12.0]) * INCH, groove="A in A/B") / INCH
    assert small == pytest.approx(5 - 0.634)
    assert large == pytest.approx(12 - 0.602)
    assert sheave.pitch_diameter(outside_diameter=5 * INCH, groove="A in A/B") == pytest.approx(4.63 * INCH)


def test_datum_for_the_ratio_reads_low():
    by_datum = belt.speed_ratio(
        motor_pitch=sheave.datum_diameter(outside_diameter=4.25 * INCH, groove="A"),
        pump_pitch=sheave.datum_diameter(outside_diameter=14 * INCH, groove="A"),
    )
    by_pitch = belt.speed_ratio(motor_pitch=4.25 * INCH, pump_pitch=14 * INCH)
    assert 0.92 < by_datum / by_pitch < 0.97


def test_unknown_groove_says_what_there_is():
    with pytest.raises(UnknownTableEntry, match="A in A/B"):
        sheave.datum_diameter(outside_diameter=0.1, groove="Q")


def test_too_short_a_belt_gives_touching_sheaves():
    centres = belt.centre_distance(belt_length=0.3, small_diameter=0.1, large_diameter=0.4)
    assert centres == pytest.approx(0.25)
    assert np.isfinite(belt.wrap_angle(small_diameter=0.1, large_diameter=0.4, centre_distance=centres))


def test_equal_sheaves():
    assert belt.wrap_angle(small_diameter=0.2, large_diameter=0.2, centre_distance=1) == pytest.approx(np.pi)
    length = belt.belt_length(small_diameter=0.2, large_diameter=0.2, centre_distance=1)
    assert belt.centre_distance(belt_length=length, small_diameter=0.2, large_diameter=0.2) == pytest.approx(1)


def test_rating_at_standstill_is_nothing():
    watts = belt_rating.rated_power(small_pitch=0.1, small_speed=0.0, section="A")
    assert watts == pytest.approx(0, abs=1e-6)


def test_rating_falls_below_zero_at_wild_speed():
    power = belt_rating.rated_power(small_pitch=0.3, small_speed=200.0, section="A")
    assert power < 0
    count = belt_rating.belts_needed(power=3000, service_factor=1.2, power_per_belt=power)
    margin = belt_rating.belt_margin(power=3000, service_factor=1.2, power_per_belt=power, belts=2)
    assert np.isfinite(count)
    assert margin < -1


@pytest.mark.parametrize("section", ["SPA", "Z", "Q"])
def test_sections_without_a_rating(section):
    with pytest.raises(UnknownTableEntry, match="AX"):
        belt_rating.rated_power(small_pitch=0.1, small_speed=25, section=section)
    with pytest.raises(UnknownTableEntry, match="AX"):
        belt_rating.length_factor(belt_length=1.0, section=section)


def test_hours_between_bands_take_the_harder():
    hours = np.array([0.5, 5, 6, 10, 12, 24, 30])
    factor = belt_rating.service_factor(hours_per_day=hours)
    np.testing.assert_allclose(factor, [1.2, 1.2, 1.3, 1.3, 1.4, 1.4, 1.4])


def test_service_factor_takes_a_draw_of_motors():
    factor = belt_rating.service_factor(hours_per_day=4, high_torque_motor=np.array([True, False]))
    np.testing.assert_allclose(factor, [1.4, 1.2])


def test_arc_factor_goes_on_below_its_table():
    factor = belt_rating.arc_factor(wrap_angle=np.radians([180, 120, 100, 90]))
    assert factor[0] == pytest.approx(1.0)
    assert factor[1] == pytest.approx(0.82)
    assert 0.65 < factor[3] < factor[2] < 0.82


def test_printed_length_factors_win_over_memory():
    assert belt_rating.length_factor(belt_length=91.3 * INCH, section="A") == pytest.approx(1.06)
    assert belt_rating.length_factor(belt_length=91.3 * INCH, section="AX") == pytest.approx(1.06)


def test_drive_power_is_more_than_the_pump_takes():
    assert belt.drive_power(pump_power=3000, efficiency=0.95) == pytest.approx(3157.9, abs=0.1)


def test_unknown_belt_kind():
    with pytest.raises(UnknownTableEntry, match="toothed"):
        belt.efficiency_band(kind="rope")


def test_stock_lists_rise():
    for section in ("A", "BX", "C", "SPA"):
        assert np.all(np.diff(belt.stock_lengths(section=section)) > 0)
    for series in ("A inch", "B inch", "ISO"):
        sizes = sheave.stock_sheaves(series=series)
        assert np.all(np.diff(sizes) > 0)
        assert 0.05 < sizes[0] < sizes[-1] < 0.6
    with pytest.raises(UnknownTableEntry, match="ISO"):
        sheave.stock_sheaves(series="JIS")
    with pytest.raises(UnknownTableEntry, match="A, B, C"):
        belt.stock_lengths(section="Q")


@pytest.mark.parametrize(("hp", "rpm"), [(40, 1800), (5, 600), (15, 900)])
def test_motors_outside_the_sheave_table(hp, rpm):
    with pytest.raises(UnsuitableNumbers, match="hp"):
        sheave.minimum_motor_sheave(motor_power=hp * HP, synchronous_speed=rpm / 60)


def test_fifty_hertz_takes_the_slower_column():
    fifty, sixty = sheave.minimum_motor_sheave(motor_power=5 * HP, synchronous_speed=np.array([1500, 1200]) / 60)
    assert fifty == sixty


def test_three_kilowatt_motor_counts_as_its_next_row():
    size = sheave.minimum_motor_sheave(motor_power=4000.0, synchronous_speed=30.0)
    assert size == pytest.approx(3.0 * INCH)


def test_unknown_rim_material():
    with pytest.raises(UnknownTableEntry, match="cast iron"):
        sheave.rim_speed_limit(material="oak")


def test_belt_mass_is_that_of_rubber():
    # A belt section of 13 x 8 mm at about 1.2 g/cm3, corners off.
    assert belt_tension.belt_mass(section="A") == pytest.approx(0.10, abs=0.02)
    assert belt_tension.belt_mass(section="AX") == belt_tension.belt_mass(section="A")
    with pytest.raises(UnknownTableEntry, match="3V"):
        belt_tension.belt_mass(section="SPA")


def test_deflection_force_is_of_the_size_installers_are_told():
    # B belt, 5.8-8.6 in sheave, up to 2500 rev/min: 6.3 lbf used, 9.4 lbf new; full load of one belt is about 4.9 hp.
    torque = 4.9 * HP / (2 * np.pi * 1750 / 60)
    pull = belt_tension.belt_tensions(
        torque=torque,
        pitch_diameter=7.4 * INCH,
        speed=1750 / 60,
        belts=1,
        mass_per_length=belt_tension.belt_mass(section="B"),
        tension_ratio=belt_tension.tension_ratio(wrap_angle=3.057),
    )
    force = belt_tension.deflection_force(
        initial=pull.initial, span_length=42.4 * INCH, belt_length=113.8 * INCH, elastic_force=0
    )
    assert 1.5 < force / LBF < 9.4


def test_tensions_at_rest():
    pull = belt_tension.belt_tensions(
        torque=20, pitch_diameter=0.1, speed=0, belts=2, mass_per_length=0.1, tension_ratio=5
    )
    assert pull.centrifugal == 0
    assert belt_tension.shaft_load(tight=pull.initial, slack=pull.initial, wrap_angle=np.pi, belts=2) == pytest.approx(
        4 * pull.initial
    )


def test_everything_broadcasts():
    draw, speed, pressure = AXES
    shape = (5, 4, 3)
    pitch = 0.1 * draw
    rated = belt_rating.rated_power(small_pitch=pitch, small_speed=speed, ratio_factor=1.1, section="B")
    each = belt_rating.power_per_belt(rated_power=rated, arc_factor=0.9 * draw)
    margin = belt_rating.belt_margin(power=pressure / 300, service_factor=1.2, power_per_belt=each, belts=2)
    pull = belt_tension.belt_tensions(
        torque=pressure / 1e4,
        pitch_diameter=pitch,
        speed=speed,
        belts=2,
        mass_per_length=0.1,
        tension_ratio=5,
    )
    _, life = belt_tension.belt_life(
        tight=pull.tight,
        small_pitch=pitch,
        large_pitch=0.35,
        belt_length=2,
        belt_speed=sheave.rim_speed(diameter=pitch, speed=speed),
        section="A",
    )
    rim = sheave.rim_speed_margin(outside_diameter=pitch, speed=speed)
    assert margin.shape == pull.tight.shape == life.shape == shape
    assert rim.shape == (5, 4, 1)
    for array in (margin, pull.slack, life, rim):
        assert array.dtype == np.float64
        assert np.all(np.isfinite(array))
