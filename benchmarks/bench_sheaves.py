"""How long a search for a motor sheave takes, and how much is gained by rating the pump once for all of them.

Seconds are reported; the ratio against rating the plant anew for every sheave is what is judged.
"""

import time
from pathlib import Path

import numpy as np
import pytest

from airfettle.store.plant_file import read_plant
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.instant.whole import instant
from airfettle.studies.sheaves.search import rated_pump, searched, sheaves, task

ROOT = Path(__file__).parents[1]
EXAMPLES = ("canoe_works", "glass_studio", "cycle_frames")


def prepared(name):
    drawn = draw(read_plant(ROOT / "examples" / f"{name}.toml"))
    given = task(drawn, complete(drawn), place=0, asked=None, certainty=0.95)
    return given, rated_pump(given)


def fastest(function, times=5):
    """Least seconds of a few runs."""
    found = []
    for _ in range(times):
        began = time.perf_counter()
        function()
        found.append(time.perf_counter() - began)
    return min(found)


@pytest.mark.parametrize("name", EXAMPLES)
def test_search_with_the_pump_rated(benchmark, name):
    given, pump = prepared(name)
    benchmark(lambda: searched(given, pump))


@pytest.mark.parametrize("name", EXAMPLES)
def test_rating_the_pump(benchmark, name):
    given, _ = prepared(name)
    benchmark(lambda: rated_pump(given))


def test_whole_search(benchmark):
    drawn = draw(read_plant(ROOT / "examples/canoe_works.toml"))
    benchmark(lambda: sheaves(drawn))


@pytest.mark.parametrize("name", EXAMPLES)
def test_search_against_rating_the_plant_for_every_sheave(name):
    given, _ = prepared(name)
    numbers = given.numbers
    count = sum(pair.ratio.shape[1] for pair in given.pairs.values())
    ends = [np.broadcast_to(p, (given.draw.rows, 1, 1)) for p in (numbers.cut_in, numbers.cut_out)]
    pressure = np.concatenate(ends, axis=2)

    def one_by_one():
        again = complete(given.draw)
        instant(again, frequency=np.full((1, 1, 1), numbers.base_frequency), receiver_pressure=pressure)

    once = fastest(lambda: searched(given, rated_pump(given)))
    apart = count * fastest(one_by_one)
    print(f"\n{name}: {count} sheaves in {once:.3f} s, one by one {apart:.2f} s: ratio {apart / once:.1f}")
    assert apart / once > 3
