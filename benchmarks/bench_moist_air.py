"""How fast moist air is, against an independent library that finds one dew point at a time.

Run: ``pytest benchmarks/bench_moist_air.py --benchmark-enable -o python_files='bench_*.py' -s``
"""

import time

import numpy as np
import pytest
from CoolProp.CoolProp import HAPropsSI

from airfettle.air import moist

POINTS = 25_000


@pytest.fixture(scope="module")
def air():
    """Pressures, temperatures and humidity ratios over the range of a plant, ice and water mixed."""
    chance = np.random.default_rng(20260101)
    p = chance.uniform(1e5, 14e5, POINTS)
    T = chance.uniform(253.15, 333.15, POINTS)
    return p, T, moist.saturation_humidity_ratio(T, pressure=p)


def best(function, *, repeats):
    """Least time of some runs. [s]"""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


def test_dew_point(benchmark, air):
    p, _, W = air
    benchmark(moist.dew_point, W, pressure=p)
    each = best(lambda: moist.dew_point(W, pressure=p), repeats=20) / POINTS
    some = range(0, POINTS, POINTS // 200)

    def one_by_one():
        for i in some:
            HAPropsSI("D", "T", 350.0, "P", p[i], "W", W[i])

    other = best(one_by_one, repeats=3) / len(some)
    print(f"\ndew point: {each * 1e9:.0f} ns a point; library {other * 1e6:.0f} us a point; {other / each:.0f} times")
    benchmark.extra_info["times as fast"] = other / each
    assert other / each > 500


def test_dew_point_of_wet_air(benchmark, air):
    p, T, _ = air
    wet = moist.saturation_humidity_ratio(np.maximum(T, 275.0), pressure=p)
    benchmark(moist.dew_point, wet, pressure=p)


def test_saturation_pressure(benchmark, air):
    benchmark(moist.saturation_pressure, air[1])


def test_saturation_humidity_ratio(benchmark, air):
    benchmark(moist.saturation_humidity_ratio, air[1], pressure=air[0])


def test_saturation_humidity_ratio_at_one_pressure(benchmark, air):
    benchmark(moist.saturation_humidity_ratio, air[1], pressure=9e5)


def test_saturation_humidity_ratio_of_warm_air(benchmark, air):
    benchmark(moist.saturation_humidity_ratio, np.maximum(air[1], 275.0), pressure=air[0])


def test_enhancement_factor(benchmark, air):
    benchmark(moist.enhancement_factor, air[1], pressure=air[0])


def test_saturation_temperature(benchmark, air):
    vapour = moist.vapour_pressure(air[2], pressure=air[0])
    benchmark(moist.saturation_temperature, vapour)
