"""Belts and sheaves: round trips, limits and directions that must hold for any drive."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airfettle.parts import belt, belt_rating, belt_tension, sheave

diameters = st.floats(0.05, 0.20)
wheels = st.floats(0.20, 0.60)
centres = st.floats(0.45, 1.5)
GROOVES = sheave.groove_names()


@given(diameters, wheels, centres)
def test_centre_distance_undoes_belt_length(d, D, C):
    length = belt.belt_length(small_diameter=d, large_diameter=D, centre_distance=C)
    back = belt.centre_distance(belt_length=length, small_diameter=d, large_diameter=D)
    assert back == pytest.approx(C, rel=1e-9)


@given(diameters, wheels, centres)
def test_belt_length_is_arcs_and_spans(d, D, C):
    wrap = belt.wrap_angle(small_diameter=d, large_diameter=D, centre_distance=C)
    span = belt.span_length(small_diameter=d, large_diameter=D, centre_distance=C)
    pieces = 2 * span + wrap * d / 2 + (2 * np.pi - wrap) * D / 2
    assert belt.belt_length(small_diameter=d, large_diameter=D, centre_distance=C) == pytest.approx(pieces, rel=1e-12)


@given(st.sampled_from(GROOVES), st.floats(0.06, 0.6))
def test_outside_diameter_undoes_datum(groove, outside):
    datum = sheave.datum_diameter(outside_diameter=outside, groove=groove)
    assert sheave.outside_diameter(datum_diameter=datum, groove=groove) == pytest.approx(outside, rel=1e-12)


@given(st.sampled_from(GROOVES), st.floats(0.06, 0.6))
def test_datum_lies_inside_the_rim(groove, outside):
    datum = sheave.datum_diameter(outside_diameter=outside, groove=groove)
    middle = sheave.riding_diameter(outside_diameter=outside, groove=groove, share=0.5)
    assert datum <= middle <= outside
    assert sheave.riding_diameter(outside_diameter=outside, groove=groove, share=1) == pytest.approx(outside)


@given(st.floats(0.08, 0.15), st.floats(0.3, 0.5), st.floats(0, 1))
def test_the_rim_gives_the_fastest_pump(motor, pump, share):
    def ratio(s):
        a, b = (sheave.riding_diameter(outside_diameter=x, groove="B", share=s) for x in (motor, pump))
        return belt.speed_ratio(motor_pitch=a, pump_pitch=b)

    assert ratio(0) <= ratio(share) <= ratio(1)


@given(st.floats(5, 60), diameters, wheels, st.floats(0, 0.03))
def test_motor_sheave_undoes_pump_speed(motor_speed, motor, pump, creep):
    speed = belt.pump_speed(motor_speed=motor_speed, motor_pitch=motor, pump_pitch=pump, creep=creep)
    back = belt.motor_pitch_for(pump_speed=speed, motor_speed=motor_speed, pump_pitch=pump, creep=creep)
    assert back == pytest.approx(motor, rel=1e-12)


@given(st.floats(0.1, np.pi), st.floats(0.1, np.pi))
def test_more_arc_never_carries_less(one, other):
    low, high = sorted((one, other))
    assert belt_rating.arc_factor(wrap_angle=low) <= belt_rating.arc_factor(wrap_angle=high) + 1e-12


@given(st.sampled_from(["A", "AX", "B", "BX", "C", "3V"]), st.floats(0.5, 5), st.floats(0.5, 5))
def test_longer_belts_never_carry_less(section, one, other):
    low, high = sorted((one, other))
    short, long = (belt_rating.length_factor(belt_length=x, section=section) for x in (low, high))
    assert short <= long


@given(st.floats(1, 8), st.floats(1, 8))
def test_larger_ratios_never_carry_less(one, other):
    low, high = sorted((one, other))
    assert belt_rating.ratio_factor(speed_ratio=low) <= belt_rating.ratio_factor(speed_ratio=high)
    assert belt_rating.ratio_factor(speed_ratio=1 / high) >= belt_rating.ratio_factor(speed_ratio=low)


@given(st.floats(0.076, 0.15), st.floats(1, 30), st.sampled_from(["A", "AX", "3V"]))
def test_larger_sheaves_carry_more(pitch, speed, section):
    small, large = (
        belt_rating.rated_power(small_pitch=x, small_speed=speed, section=section) for x in (pitch, pitch * 1.05)
    )
    assert large > small


@given(st.floats(100, 20000), st.floats(1, 1.6), st.floats(200, 5000))
def test_the_belts_needed_are_just_enough(power, factor, each):
    case = {"power": power, "service_factor": factor, "power_per_belt": each}
    count = belt_rating.belts_needed(**case)
    assert belt_rating.belt_margin(**case, belts=count) >= -1e-9
    if count > 1:
        assert belt_rating.belt_margin(**case, belts=count - 1) < 0


tension_cases = st.fixed_dictionaries(
    {
        "torque": st.floats(1, 200),
        "pitch_diameter": st.floats(0.06, 0.3),
        "speed": st.floats(0, 60),
        "belts": st.integers(1, 4),
        "mass_per_length": st.floats(0.05, 0.5),
        "tension_ratio": st.floats(1.5, 8),
    }
)


@given(tension_cases)
def test_tensions_balance(case):
    pull = belt_tension.belt_tensions(**case)
    turned = case["belts"] * (pull.tight - pull.slack) * case["pitch_diameter"] / 2
    assert turned == pytest.approx(case["torque"], rel=1e-9)
    ratio = (pull.tight - pull.centrifugal) / (pull.slack - pull.centrifugal)
    assert ratio == pytest.approx(case["tension_ratio"], rel=1e-6)
    assert pull.initial + pull.centrifugal == pytest.approx((pull.tight + pull.slack) / 2, rel=1e-9)


@given(st.floats(10, 500), st.floats(10, 500), st.floats(1.5, np.pi))
def test_shaft_load_lies_between_its_limits(tight, slack, wrap):
    load = belt_tension.shaft_load(tight=tight, slack=slack, wrap_angle=wrap, belts=1)
    assert abs(tight - slack) - 1e-9 <= load <= tight + slack + 1e-9


@given(st.floats(50, 500), st.floats(0.2, 1))
def test_deflection_at_a_sixty_fourth_is_a_sixteenth(initial, span):
    force = belt_tension.deflection_force(initial=initial, span_length=span, belt_length=3 * span)
    assert force == pytest.approx(initial / 16, rel=1e-12)


@given(st.floats(200, 600), st.floats(0.1, 0.2), st.floats(0.2, 0.5))
def test_tighter_and_smaller_wears_faster(tight, d, D):
    rest = {"large_pitch": D, "belt_length": 2.0, "belt_speed": 15.0, "section": "B"}
    passes, time = belt_tension.belt_life(tight=tight, small_pitch=d, **rest)
    assert belt_tension.belt_life(tight=tight * 1.1, small_pitch=d, **rest)[0] < passes
    assert belt_tension.belt_life(tight=tight, small_pitch=d * 0.9, **rest)[1] < time
