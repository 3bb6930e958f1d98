"""The kernel against an eighth-order method restarted at every event, on a day that runs by the clock.

The bounds are those a day's answers need; the reference itself is good to some thousandths of a pascal.
"""

from functools import cache

import day_plants
import day_reference
import numpy as np
import pytest
from day_reference import OUTPUTS, Physics, outputs, reference

from airfettle.studies.day.machine import (
    ENERGY,
    FILL_TIME,
    IDLE,
    LOADED,
    SHORT_TIME,
    STARTS,
    WATER_CARRIED,
    WATER_CAUGHT,
    WATER_CONDENSED,
)

LENGTH = 6 * 3600.0
"""Stretch of time that is run. [s]"""
LEAST_STARTS = 25
PLANTS = ("full speed", "no cooler", "steps", "by pressure")
PRESSURE_BOUND = {"full speed": 10.0, "no cooler": 10.0, "steps": 10.0, "by pressure": 50.0}
"""Root of the mean square of the difference in pressure, at the ends of the kernel's steps. [Pa]"""
WATER_BOUND, ENERGY_BOUND, TIME_BOUND = 1e-3, 1e-4, 1e-4
GRID_BOUND = {"cooler_outlet": 1e-6}
"""Share, or logarithm, by which the reference's grids may miss the instant: 1e-8, but for what breaks its slope where
water begins to fall out in the cooler."""

both = pytest.mark.parametrize("which", PLANTS)


@cache
def grids(which):
    return Physics(day_plants.prepared(which))


@cache
def second_way(which):
    return reference(day_plants.prepared(which).one(0), grids(which), length=LENGTH)


@cache
def kernel(which):
    return day_plants.ran(which, length=LENGTH, trace=True).books


def near(computed, wanted, bound):
    assert wanted > 0.0
    assert abs(computed / wanted - 1.0) < bound, f"{computed} against {wanted}: {computed / wanted - 1.0:.1e}"


# --- the reference by itself -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("loaded", [True, False])
@both
def test_grids_of_the_reference_against_the_instant(which, loaded):
    chance, found = np.random.default_rng(5), grids(which)
    worst = np.zeros(len(OUTPUTS))
    for _ in range(12):
        part = int(chance.integers(len(found.ranges)))
        frequency, wall, pressure = (chance.uniform(*e) for e in (found.ranges[part], found.walls, found.pressures))
        direct = outputs(
            day_plants.prepared(which).numbers, frequency=[frequency], pressure=[pressure], wall=wall, loaded=loaded
        )[0, 0]
        logarithm = np.array([name.startswith("log") for name in OUTPUTS])
        scale = np.where(logarithm | (direct == 0.0), 1.0, np.abs(direct))
        worst = np.maximum(worst, np.abs(found(loaded, part, frequency, wall, pressure) - direct) / scale)
    for name, error in zip(OUTPUTS, worst, strict=True):
        assert error < GRID_BOUND.get(name, 1e-8), f"{name}: {error:.1e}"


def test_the_reference_does_not_hang_on_its_own_tolerance(monkeypatch):
    which, hour = "full speed", 3600.0
    one = day_plants.prepared(which).one(0)
    fine = reference(one, grids(which), length=hour)
    monkeypatch.setattr(day_reference, "TOLERANCE", 1e-8)
    monkeypatch.setattr(day_reference, "LONGEST", 12.0)
    coarse = reference(one, grids(which), length=hour)
    assert coarse.starts == pytest.approx(fine.starts, abs=1e-4)
    times = np.linspace(1.0, hour, 500)
    assert np.sqrt(np.mean((coarse.at(times)[:, 0] - fine.at(times)[:, 0]) ** 2)) < 0.1


@both
def test_books_of_the_reference_close(which):
    found, machine = second_way(which), day_plants.prepared(which).one(0).machine
    begin, end = found.at([0.0])[0], found.final
    mass = day_reference.M
    assert end[mass] - begin[mass] == pytest.approx(found.total("air_in") - found.total("air_out"), abs=1e-6)
    water = found.total("carried") + found.total("condensed") - found.drained_water
    assert end[day_reference.LIQUID] == pytest.approx(water, abs=1e-8)
    assert end[day_reference.P] > machine.barometer


# --- the kernel against it -------------------------------------------------------------------------------------------


@both
def test_starts(which):
    starts = second_way(which).starts
    assert len(starts) >= LEAST_STARTS
    assert kernel(which).of_train[0, STARTS] == len(starts)


@both
def test_pressure(which):
    trace = kernel(which).trace
    away = trace[:, 1] - second_way(which).at(trace[:, 0])[:, day_reference.P]
    assert np.sqrt(np.mean(away**2)) < PRESSURE_BOUND[which]


@pytest.mark.parametrize("book", ["caught", "carried", "condensed"])
@both
def test_water(which, book):
    place = {"caught": WATER_CAUGHT, "carried": WATER_CARRIED, "condensed": WATER_CONDENSED}[book]
    if which == "no cooler" and book != "condensed":  # too warm for liquid before the receiver
        assert kernel(which).totals[place] == second_way(which).total(book) == 0.0
    else:
        near(kernel(which).totals[place], second_way(which).total(book), WATER_BOUND)


@both
def test_energy(which):
    near(kernel(which).totals[ENERGY], second_way(which).total("energy"), ENERGY_BOUND)


@both
def test_time_loaded_and_filling(which):
    row = kernel(which).of_train[0]
    near(row[LOADED], second_way(which).loaded, TIME_BOUND)
    near(row[FILL_TIME], second_way(which).filling, 1e-2)
    assert row[IDLE] == pytest.approx(second_way(which).idle, rel=TIME_BOUND)


@both
def test_time_short_of_pressure(which):
    assert kernel(which).totals[SHORT_TIME] == pytest.approx(second_way(which).short, rel=2e-3, abs=0.1)


@both
def test_walls_crankcase_and_windings(which):
    trace = kernel(which).trace
    states = second_way(which).at(trace[:, 0])
    for column, place in ((4, day_reference.PUMP), (12, day_reference.CRANKCASE), (13, day_reference.WINDING)):
        assert np.max(np.abs(trace[:, column] - states[:, place])) < 0.1
