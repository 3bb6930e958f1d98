"""How long judging takes: weighing statements, findings, the speed window, what to measure next.

Goals on a quiet machine: one statement over a pool 0.3 s, findings 0.3 s, what to measure 0.5 s. Judged are ratios in
the same run: weighing must cost less than rating as many rows at two points, and ranking what to measure less than
twice the findings it serves.
"""

import time
from pathlib import Path

import numpy as np
import pytest

from airfettle.app.judge import judge_file
from airfettle.findings.judge import judge
from airfettle.findings.unknowns import unknowns_of
from airfettle.plant.control import Reading
from airfettle.quantity import Span
from airfettle.store.plant_file import read_plant
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.evidence.conditioning import conditioned, pooled
from airfettle.studies.evidence.statements import statements
from airfettle.studies.instant.whole import instant
from airfettle.studies.reach import reach
from airfettle.studies.speed_window import speed_windows

CANOE = Path(__file__).parents[1] / "examples/canoe_works.toml"


@pytest.fixture(scope="module")
def judged():
    """The example plant, warm."""
    return judge_file(CANOE)


def best(function, *, repeats=3):
    """Least time of some runs. [s]"""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.mark.parametrize("rows", [1 << 14, 1 << 17])
def test_plate_amps_over_a_pool(benchmark, rows):
    plant = read_plant(CANOE)
    said = statements(plant)
    benchmark.pedantic(lambda: conditioned(pooled(plant, said, rows=rows, seed=1), rows=1024), rounds=2)


@pytest.mark.parametrize("rows", [1 << 13, 1 << 17])
def test_a_tachometer_reading_over_a_pool(benchmark, rows):
    reading = Reading[Span](what="pump_speed", value="788 rpm", by="tachometer")
    plant = read_plant(CANOE).model_copy(update={"reading": (reading,)})
    said = statements(plant)
    benchmark.pedantic(lambda: conditioned(pooled(plant, said, rows=rows, seed=1), rows=1024), rounds=1)


def test_weighing_costs_less_than_rating_the_pool():
    reading = Reading[Span](what="motor_current", value="15 A", by="clamp meter")
    plant = read_plant(CANOE).model_copy(update={"reading": (reading,)})
    said = tuple(s for s in statements(plant) if s.sort == "reading")
    weighing = best(lambda: pooled(plant, said, rows=1 << 13, seed=1), repeats=2)

    def rated():
        drawn = draw(plant, rows=1 << 13)
        numbers = complete(drawn)
        for hertz in (30.0, 60.0):
            instant(numbers, frequency=np.full((1, 1, 1), hertz), receiver_pressure=drawn.barometer + 9e5)

    rating = best(rated, repeats=2)
    print(f"\nweighing 8192 rows {weighing:.2f} s, rating them at two points {rating:.2f} s")
    assert weighing < rating


def test_findings(benchmark, judged):
    benchmark(lambda: judge(reach(judged.loaded.draw)))


def test_window(benchmark, judged):
    benchmark.pedantic(lambda: speed_windows(judged.loaded.draw), rounds=2)


def test_what_to_measure(benchmark, judged):
    def asked():
        return unknowns_of(judged.reach, told=judged.loaded.told, findings=judged.findings)

    benchmark(asked)
    ranking, finding = best(asked), best(lambda: judge(reach(judged.loaded.draw)))
    print(f"\nwhat to measure {ranking * 1e3:.0f} ms, findings {finding * 1e3:.0f} ms")
    assert ranking < 2.0 * finding
