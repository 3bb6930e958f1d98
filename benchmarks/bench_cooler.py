"""How long the cooler takes for 25,600 points: 1024 draws by 5 speeds by 5 pressures, and all independent."""

import numpy as np
import pytest

from airfettle.parts.cooler import cool_moist_air


def plant(*, flow, line, hot, water, room, size, rate):
    chance = np.random.default_rng(8)
    return {
        "dry_air_flow": chance.uniform(0.003, 0.012, flow), "pressure": chance.uniform(2e5, 1.3e6, line),
        "inlet_temperature": chance.uniform(360.0, 470.0, hot),
        "inlet_humidity_ratio": chance.uniform(0.004, 0.025, water),
        "coolant_temperature": chance.uniform(283.0, 313.0, room), "conductance": chance.uniform(15.0, 90.0, size),
        "coolant_capacity_rate": chance.uniform(80.0, 300.0, rate),
    }  # fmt: skip


draw, speed, whole, flat = (1024, 1, 1), (1024, 5, 1), (1024, 5, 5), (25_600,)
PLANTS = {
    "a plant": plant(flow=speed, line=(1024, 1, 5), hot=whole, water=draw, room=draw, size=speed, rate=draw),
    "all independent": plant(flow=flat, line=flat, hot=flat, water=flat, room=flat, size=flat, rate=flat),
}


@pytest.mark.parametrize("name", PLANTS)
def test_cooler(benchmark, name):
    state = benchmark(cool_moist_air, **PLANTS[name])
    assert state.heat.size == 25_600
