"""The crank: energy is the integral of torque, its mean is the cycle's work, and layouts only shift phases."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airfettle.air.cylinder import clearance_cycle
from airfettle.parts import crank

TURN = 2.0 * np.pi


def numbers(low, high):
    return st.floats(low, high, allow_nan=False)


MACHINE = st.fixed_dictionaries(
    {
        "swept_volume": numbers(5e-5, 1e-3),
        "clearance": numbers(0.02, 0.12),
        "suction_pressure": numbers(6e4, 3e5),
        "ratio": numbers(1.0, 12.0),
        "stroke": numbers(0.03, 0.12),
        "rod": numbers(1.6, 3.0),
        "mass": numbers(0.0, 1.5),
        "nc": numbers(1.2, 1.4),
        "ne": numbers(1.1, 1.4),
    }
)
LAYOUT = st.sampled_from(sorted(crank.LAYOUTS))


def shape_of(m, phases, **steps):
    cylinders = [
        crank.Cylinder(m["swept_volume"], m["clearance"], m["suction_pressure"], m["suction_pressure"] * m["ratio"], p)
        for p in phases
    ]
    return crank.torque_shape(
        cylinders,
        stroke=m["stroke"],
        rod_length=m["rod"] * m["stroke"],
        reciprocating_mass=m["mass"],
        compression_exponent=m["nc"],
        expansion_exponent=m["ne"],
        crankcase_pressure=101_325.0,
        **steps,
    )


@given(MACHINE, LAYOUT)
def test_mean_torque_is_the_work_of_the_cycle(m, layout):
    cycle = clearance_cycle(
        m["ratio"], clearance=m["clearance"], compression_exponent=m["nc"], expansion_exponent=m["ne"]
    )
    if cycle.admitted <= 0.0 or cycle.work <= 0.0:
        return  # nothing delivered: the cylinder never reaches the ratio asked
    phases = crank.LAYOUTS[layout]
    work = cycle.work * m["suction_pressure"] * m["swept_volume"] * len(phases)
    assert shape_of(m, phases).mean_torque * TURN == pytest.approx(work, rel=1e-9, abs=1e-9)


@settings(max_examples=25)
@given(MACHINE, LAYOUT)
def test_energy_is_the_integral_of_torque(m, layout):
    """The closed form against the trapezium rule on 20 000 steps."""
    n = 20_000
    s = shape_of(m, crank.LAYOUTS[layout], angles=n, corners=False)
    for torque, energy in ((s.gas_torque - s.mean_torque, s.gas_energy), (s.inertia_torque, s.inertia_energy)):
        summed = np.concatenate([[0.0], np.cumsum(0.5 * (torque[1:] + torque[:-1])) * TURN / n])
        scale = max(np.abs(torque).max(), 1e-9)
        assert np.abs(summed - (energy - energy[0])).max() < 2e-6 * scale * TURN
    assert np.mean(s.inertia_torque) == pytest.approx(0.0, abs=1e-9 * max(np.abs(s.inertia_torque).max(), 1e-9))


@settings(max_examples=25)
@given(MACHINE, LAYOUT, numbers(5.0, 25.0))
def test_ninety_steps_do(m, layout, speed):
    few, many = (shape_of(m, crank.LAYOUTS[layout], angles=n) for n in (90, 7200))
    a, b = (crank.fluctuation(s, speed=speed, inertia=0.5) for s in (few, many))
    one = shape_of(m, (0.0,), angles=7200)  # several cylinders can all but cancel: judge by the size of one
    swing = np.ptp(one.gas_energy) + (TURN * speed) ** 2 * np.ptp(one.inertia_energy)
    assert abs(a.excess_energy - b.excess_energy) <= 0.01 * swing + 1e-9
    size = np.abs(one.gas_torque).max() + (TURN * speed) ** 2 * np.abs(one.inertia_torque).max()
    mean = max(float(many.mean_torque), 1e-9)
    assert abs(a.peak_over_mean - b.peak_over_mean) * mean <= 0.01 * size + 1e-9
    assert abs(a.least_over_mean - b.least_over_mean) * mean <= 0.01 * size + 1e-9


@given(MACHINE, LAYOUT, numbers(0.0, TURN))
def test_turning_all_phases_changes_nothing(m, layout, turn):
    phases = crank.LAYOUTS[layout]
    a, b = (
        crank.fluctuation(shape_of(m, which, angles=2000), speed=12.0, inertia=0.5)
        for which in (phases, [p + turn for p in phases])
    )
    assert a.excess_energy == pytest.approx(b.excess_energy, rel=1e-3, abs=1e-6)


@given(MACHINE, LAYOUT, numbers(0.1, 10.0))
def test_gas_torque_scales_with_volume(m, layout, scale):
    phases = crank.LAYOUTS[layout]
    small, large = shape_of(m, phases), shape_of({**m, "swept_volume": m["swept_volume"] * scale}, phases)
    np.testing.assert_allclose(large.gas_torque, scale * small.gas_torque, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(large.inertia_torque, small.inertia_torque)


@given(MACHINE, LAYOUT, numbers(5.0, 25.0), numbers(1.1, 4.0))
def test_more_flywheel_less_swing(m, layout, speed, more):
    s = shape_of(m, crank.LAYOUTS[layout])
    light, heavy = (crank.fluctuation(s, speed=speed, inertia=i) for i in (0.5, 0.5 * more))
    assert heavy.speed_fluctuation * more == pytest.approx(light.speed_fluctuation, rel=1e-12)
    assert light.least_over_mean <= 1.0 + 1e-9 <= light.peak_over_mean + 2e-9 or s.mean_torque < 1e-6


@given(st.lists(numbers(0.0, TURN), min_size=3, max_size=20), numbers(0.0, 0.45))
def test_slider_derivatives(angles, ratio):
    t, d = np.array(angles), 1e-5
    at, above, under = (crank.slider_crank(a, rod_ratio=ratio) for a in (t, t + d, t - d))
    np.testing.assert_allclose((above.travel - under.travel) / (2 * d), at.velocity, atol=1e-8)
    np.testing.assert_allclose((above.velocity - under.velocity) / (2 * d), at.acceleration, atol=1e-8)
    assert np.all((at.travel >= -1e-15) & (at.travel <= 1.0 + 1e-12))


@given(MACHINE, LAYOUT)
def test_delivery_valves_open_at_their_corner(m, layout):
    """At an added angle its cylinder stands just where compression meets delivery."""
    if m["ratio"] < 1.2:
        return
    phases = crank.LAYOUTS[layout]
    s = shape_of(m, phases)
    for j, phase in enumerate(phases):
        own = np.mod(s.angle[90 + j] - phase, TURN)
        assert np.pi - 1e-9 <= own <= TURN
        travel = crank.slider_crank([own], rod_ratio=0.5 / m["rod"]).travel[0]
        top = min(m["ratio"], ((1 + m["clearance"]) / m["clearance"]) ** m["ne"])
        meets = (1 + m["clearance"]) * top ** (-1 / m["nc"]) - m["clearance"]
        assert travel == pytest.approx(max(meets, 0.0), abs=1e-7)
