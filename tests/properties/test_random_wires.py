"""Wires, devices and leakage of random plants: nothing is too small for what it carries, nothing without words."""

import pytest
from properties.plants_at_random import seeded
from wired_sizes import leakage_of, sizes_of

from airfettle.parts.overcurrent import standard_rating_up


@pytest.mark.parametrize("seed", range(60))
def test_wires(seed):
    """What is chosen carries what is asked, the device lies in its range, and nothing is left without words."""
    for found in sizes_of(seeded(seed), rows=8):
        for run in filter(None, (found.supply, found.branch, found.motor)):
            assert not run.size or run.ampacity >= run.needed * (1 - 1e-9)
            assert run.needed >= run.current * (1 - 1e-9)
            assert run.words
            assert run.drop[0] <= run.drop[1] <= run.drop[2]
        assert found.device.rating >= min(found.device.lowest, found.device.highest)
        assert found.device.rating >= found.supply.current * (1 - 1e-9) or not found.device.fits
        assert found.device.fits or found.device.highest < found.device.lowest
        assert found.earth.area <= max(found.supply.area, found.supply.there.area * 1.01 if found.supply.there else 0.0)
        if found.code == "IEC":
            assert found.supply.ampacity >= found.device.lowest or not found.supply.size
        else:
            assert found.device.lowest == standard_rating_up(found.supply.needed)


@pytest.mark.parametrize("seed", range(40))
def test_leakage(seed):
    for found in leakage_of(seeded(seed)):
        assert found.total[0] <= found.total[1] <= found.total[2] < 1.0
        assert found.words
        assert (found.total[2] == 0.0) == (found.words == "No drive, hardly any leakage.")
