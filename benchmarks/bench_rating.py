"""How long a rating takes, and how much is gained by computing the whole draw at once.

Seconds are reported; the ratios against peers in the same run are what is judged.
"""

import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from airfettle.plant.whole import OwnersPlant
from airfettle.store.plant_file import read_plant
from airfettle.studies.draw import draw
from airfettle.studies.rating import rate

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples/canoe_works.toml"
PRESSURE = [1.03e6]


@pytest.fixture(scope="module")
def canoe():
    return draw(read_plant(EXAMPLE))


def fastest(function, times=5):
    """Least seconds of a few runs."""
    found = []
    for _ in range(times):
        began = time.perf_counter()
        function()
        found.append(time.perf_counter() - began)
    return min(found)


def test_rating_of_25_speeds(benchmark, canoe):
    speeds = np.linspace(30, 60, 25).tolist()
    benchmark(lambda: rate(canoe, frequencies=speeds, gauge_pressures=PRESSURE))


def test_rating_of_25_speeds_of_a_single_stage_pump(benchmark):
    single = draw(OwnersPlant.model_validate({"drive": {}, "pump": {"stages": 1}, "cooler": {}, "separator": {}}))
    speeds = np.linspace(25, 50, 25).tolist()
    benchmark(lambda: rate(single, frequencies=speeds, gauge_pressures=PRESSURE))


def test_rating_of_one_speed(benchmark, canoe):
    benchmark(lambda: rate(canoe, frequencies=[60.0], gauge_pressures=PRESSURE))


def test_drawing_a_plant(benchmark):
    plant = read_plant(EXAMPLE)
    benchmark(lambda: draw(plant))


def test_reading_a_plant_file(benchmark):
    benchmark(lambda: read_plant(EXAMPLE))


def test_whole_draw_against_small_draws(canoe):
    """1024 rows at once against 128 draws of 8 rows, the least a draw can have."""
    plant = read_plant(EXAMPLE)
    small = draw(plant, rows=8)
    speeds = np.linspace(30, 60, 25).tolist()
    together = fastest(lambda: rate(canoe, frequencies=speeds, gauge_pressures=PRESSURE))
    apart = 128 * fastest(lambda: rate(small, frequencies=speeds, gauge_pressures=PRESSURE))
    print(f"\nrating 1024 x 25: {together:.3f} s at once, {apart:.2f} s in draws of 8: ratio {apart / together:.1f}")
    assert apart / together > 5


@pytest.mark.parametrize("arguments", [["--help"], ["demo"], ["rate", str(EXAMPLE), "--json"]], ids=lambda a: a[0])
def test_cold_process(arguments):
    """A cold process against a bare Python that imports numpy alone."""

    def run(*command):
        subprocess.run([sys.executable, *command], cwd=ROOT, check=True, capture_output=True)

    ours = fastest(lambda: run("-m", "airfettle", *arguments))
    peer = fastest(lambda: run("-c", "import numpy"))
    print(
        f"\nairfettle {arguments[0]}: {ours:.2f} s cold, python importing numpy {peer:.2f} s: ratio {ours / peer:.1f}"
    )
