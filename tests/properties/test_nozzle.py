"""Holes and couplers: what must hold for any of them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airfettle.air import nozzle

pressures = st.floats(2e5, 1.5e6)
temperatures = st.floats(250.0, 400.0)
ratios = st.floats(0.0, 1.2)
areas = st.floats(1e-8, 1e-4)


def flow(area, p, T, ratio, **more):
    return nozzle.nozzle_mass_flow(area, pressure=p, temperature=T, downstream_pressure=ratio * p, **more)


@given(areas, pressures, temperatures, ratios, st.floats(0.1, 10.0))
def test_flow_scales(area, p, T, ratio, factor):
    once = flow(area, p, T, ratio)
    assert flow(factor * area, p, T, ratio) == pytest.approx(factor * once, rel=1e-9)
    assert flow(area, p, T * factor, ratio) == pytest.approx(once / np.sqrt(factor), rel=1e-9)
    assert flow(area, p, T, ratio, discharge_coefficient=0.61) == pytest.approx(0.61 * once, rel=1e-12)


@given(areas, pressures, temperatures, st.floats(0.0, 0.5282))
def test_choked_flow_does_not_know_the_back_pressure(area, p, T, ratio):
    assert flow(area, p, T, ratio) == pytest.approx(flow(area, p, T, 0.0), rel=1e-9)
    assert flow(area, 2 * p, T, 0.5 * ratio) == pytest.approx(2 * flow(area, p, T, ratio), rel=1e-9)


@given(areas, pressures, temperatures, st.floats(0.53, 0.9999), st.floats(1e-3, 0.4))
def test_more_back_pressure_is_less_flow(area, p, T, ratio, more):
    assert flow(area, p, T, ratio + more) < flow(area, p, T, ratio)
    assert flow(area, p, T, 1.0 + more) == 0.0


@given(areas, pressures, temperatures)
def test_flow_is_smooth_where_it_chokes(area, p, T):
    critical = nozzle.critical_pressure_ratio()
    choked, near = flow(area, p, T, critical), flow(area, p, T, critical + 1e-5)
    assert near == pytest.approx(choked, rel=1e-8)


@given(st.floats(1.05, 1.67))
def test_critical_ratio_is_where_the_flow_peaks(k):
    critical = nozzle.critical_pressure_ratio(k)
    r = critical + np.linspace(-0.05, 0.05, 2001)
    assert r[np.argmax(r ** (2 / k) - r ** ((k + 1) / k))] == pytest.approx(critical, abs=1e-4)


@given(areas, pressures, temperatures)
def test_conductance_says_the_same_as_its_nozzle(area, p, T):
    conductance = nozzle.nozzle_conductance(area)
    mass = nozzle.conductance_mass_flow(
        conductance, pressure=p, downstream_pressure=0.0, temperature=T, critical_ratio=0.528
    )
    assert mass == pytest.approx(flow(area, p, T, 0.0), rel=1e-12)


@given(pressures, st.floats(0.0, 0.6), st.floats(0.0, 1.0), st.floats(1e-4, 0.5))
def test_coupler_flow_falls_with_back_pressure(p, b, ratio, more):
    def mass(r):
        return nozzle.conductance_mass_flow(
            1e-8, pressure=p, downstream_pressure=r * p, temperature=293.15, critical_ratio=b
        )

    assert mass(ratio + more) <= mass(ratio)
    if b < ratio < 1.0:
        assert mass(ratio + more) < mass(ratio)
    assert mass(1.0) == 0.0
    assert mass(1.0 + more) == 0.0


@given(pressures, st.floats(0.0, 0.6), st.floats(0.99, 0.9995))
def test_laminar_piece_joins_the_curve(p, b, laminar):
    def mass(r):
        return nozzle.conductance_mass_flow(
            1e-8, pressure=p, downstream_pressure=r * p, temperature=293.15, critical_ratio=b, laminar_from=laminar
        )

    assert mass(laminar - 1e-9) == pytest.approx(mass(laminar + 1e-9), rel=1e-5)
    inside = 1.0 - 0.5 * (1.0 - laminar)
    assert mass(inside) == pytest.approx(0.5 * mass(laminar), rel=1e-6)


@given(st.floats(1e-4, 0.02), pressures, temperatures, st.floats(250.0, 320.0))
def test_free_air_is_the_mass(diameter, p, T, free):
    volume = nozzle.orifice_leak(
        diameter, pressure=p, temperature=T, discharge_coefficient=0.8, atmosphere=1e5, free_air_temperature=free
    )
    mass = flow(np.pi / 4 * diameter**2, p, T, 1e5 / p, discharge_coefficient=0.8)
    assert volume * 1e5 / (287.055 * free) == pytest.approx(mass, rel=1e-12)
    assert nozzle.free_air_of_mass(mass, free_air_temperature=free, free_air_pressure=1e5) == pytest.approx(volume)


@given(st.floats(0.05, 2.0), st.floats(4e5, 1.2e6), st.floats(1e-9, 1e-7))
def test_decay_finds_the_leak_that_made_it(volume, start, conductance):
    """A choked leak of known size empties a receiver exponentially; its bleed-down finds the leak again."""
    rate = conductance * 1.185 * 287.055 * 293.15 / volume
    time = 0.3 / rate
    found = nozzle.decay_leak(
        volume, pressure_start=start, pressure_end=start * np.exp(-0.3), time=time, atmosphere=1e5
    )
    mass = nozzle.conductance_mass_flow(
        conductance, pressure=start, downstream_pressure=0.0, temperature=293.15, critical_ratio=0.5
    )
    free = nozzle.free_air_of_mass(mass, free_air_temperature=293.15, free_air_pressure=1e5)
    assert found == pytest.approx(free, rel=1e-9)


@given(st.floats(0.01, 20.0), st.floats(0.05, 0.55))
def test_flow_coefficients(cv, b):
    of_cv = nozzle.conductance_of_cv(cv, critical_ratio=b)
    assert of_cv == pytest.approx(nozzle.conductance_of_kv(0.865 * cv, critical_ratio=b), rel=1e-12)
    assert nozzle.conductance_of_cv(2 * cv, critical_ratio=b) == pytest.approx(2 * of_cv, rel=1e-12)
    small_drop = nozzle.conductance_mass_flow(
        of_cv, pressure=7e5, downstream_pressure=0.99 * 7e5, temperature=293.15, critical_ratio=b
    )
    density = 7e5 / (287.055 * 293.15)
    as_liquid = 0.865 * cv / 3600 * np.sqrt(0.01 * 7e5 / 1e5 * 1000.0 / density) * density
    assert small_drop == pytest.approx(as_liquid, rel=0.01)
