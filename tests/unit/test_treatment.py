"""Separators, dryers, filters and purity classes at their edges, and what they say when asked wrong."""

import numpy as np
import pytest

from airfettle.air.moist import density, saturation_humidity_ratio
from airfettle.errors import UnknownTableEntry
from airfettle.parts import air_quality as quality
from airfettle.parts import dryer, filters, separator


def test_actual_flow_is_mass_over_density():
    flow = separator.actual_flow(0.01, temperature=310.0, pressure=9e5, humidity_ratio=0.004)
    assert flow == pytest.approx(0.01 * 1.004 / density(310.0, pressure=9e5, humidity_ratio=0.004))


def test_still_air_drops_its_share_by_weight():
    kept = separator.separator_efficiency(0.0, least_flow=1e-3, most_flow=5e-3, efficiency_inside=0.9, still_share=0.5)
    assert kept == pytest.approx(0.45)


def test_far_over_the_window_nothing_is_caught():
    state = separator.separate(1e-4, flow=1.0, least_flow=1e-3, most_flow=5e-3)
    assert state.water_caught == pytest.approx(0.0, abs=1e-20)
    assert state.window_margin < 0.0


def test_separator_drop_at_its_rating():
    state = separator.separate(0.0, flow=5e-3, least_flow=1e-3, most_flow=5e-3, drop_at_most_flow=7e3)
    assert state.pressure_drop == pytest.approx(7e3)


LINE = {"inlet_temperature": 305.0, "pressure": 8e5, "room_temperature": 300.0, "rated_flow": 0.01}


def test_dryer_at_rest():
    state = dryer.refrigerate(0.0, **LINE, inlet_humidity_ratio=0.004)
    assert state.load_share == 0.0
    assert state.condensate == 0.0
    assert state.pressure_drop == 0.0
    assert state.dew_point == pytest.approx(dryer.RATED_DEW_POINT, abs=1e-5)


def test_overloaded_dryer_lets_the_dew_point_rise_in_a_straight_line():
    wet = {"inlet_humidity_ratio": float(saturation_humidity_ratio(305.0, pressure=8e5))}
    capacity = float(dryer.refrigerate(0.01, **LINE, **wet).capacity)
    state = dryer.refrigerate(1.5 * capacity, **LINE, **wet, overload_rise=20.0)
    assert state.load_share == pytest.approx(1.5)
    assert state.dew_point == pytest.approx(dryer.RATED_DEW_POINT + 10.0, abs=1e-4)


def test_far_overloaded_dryer_does_nothing():
    wet = float(saturation_humidity_ratio(305.0, pressure=8e5))
    state = dryer.refrigerate(1.0, **LINE, inlet_humidity_ratio=wet)
    assert state.outlet_humidity_ratio == pytest.approx(wet)
    assert state.outlet_temperature == 305.0


def test_dry_air_passes_a_dryer_unchanged():
    state = dryer.refrigerate(0.01, **LINE, inlet_humidity_ratio=1e-5)
    assert state.condensate == 0.0
    assert state.dew_point < 250.0


def test_factors_are_not_credited_beyond_the_table_and_fall_past_its_poor_end():
    hot = (np.array([130.0, 150.0]) + 459.67) / 1.8
    assert dryer.inlet_temperature_factor(250.0) == pytest.approx(1.16)
    first, beyond = dryer.inlet_temperature_factor(hot)
    assert beyond == pytest.approx(first * (0.61 / 0.68) ** (20.0 / 8.0))
    assert dryer.pressure_factor(3e6) == pytest.approx(1.13)
    assert dryer.pressure_factor(101_325.0) < 0.79


def test_filter_capacity_keeps_the_face_velocity():
    assert filters.filter_capacity(0.02, pressure=4e5) == pytest.approx(0.01)


def test_content_without_flow_is_nothing():
    assert quality.content_at_reference(1e-6, dry_air_flow=0.0) == 0.0


def test_classes_keep_their_shape():
    assert quality.particle_class(np.zeros((3, 1)), middle=0.0, large=np.zeros(2)).shape == (3, 2)
    assert list(quality.oil_class([0.0, 5e-7, 1.0])) == [1, 3, quality.CLASS_X]


def test_vapour_over_class_six_without_liquid_is_class_seven():
    assert quality.water_class(290.0) == 7


def test_margin_by_class():
    assert quality.class_margin(6, allowed=4) == -2
    assert quality.class_margin(quality.CLASS_X, allowed=quality.NOT_SAID) > 0


def test_unknown_use_names_the_known_ones():
    with pytest.raises(UnknownTableEntry, match="spray finishing"):
        quality.need_of("brewing")
    assert quality.need_of("spray finishing").water == (4, 4)
