"""Many paths: the same on this machine and on a cluster, and none lost to an interruption."""

import day_plants
import numpy as np
import pytest
from distributed import Client, LocalCluster
from joblib import parallel_config

from airfettle.studies.day.many import KEPT, run_many
from airfettle.studies.day.prepared import DAY

LENGTH = 6 * 3600.0


@pytest.fixture(scope="module")
def plant():
    return day_plants.prepared("full speed")


def tallied(plant, paths, **more):
    return run_many(plant, paths=paths, seed=3, start=0.0, length=LENGTH, **more)


def test_a_cluster_gives_the_same(plant):
    here = tallied(plant, range(6))
    with (
        LocalCluster(n_workers=1, threads_per_worker=2, processes=False, dashboard_address=None) as cluster,
        Client(cluster),
        parallel_config(backend="dask"),
    ):
        there = tallied(plant, range(6))
    for name in (*KEPT, "paths"):
        np.testing.assert_array_equal(getattr(here, name), getattr(there, name))


def test_a_path_is_the_same_alone_and_among_others(plant):
    some, alone = tallied(plant, range(5)), tallied(plant, [3])
    for name in KEPT:
        np.testing.assert_array_equal(getattr(some, name)[3], getattr(alone, name)[0])


def test_an_interruption_keeps_what_is_finished(plant):
    def stop(done, _):
        if done == 9:
            raise KeyboardInterrupt

    kept = []
    tally = tallied(plant, range(40), progress=stop, finished=kept.append)
    assert len(tally.paths) == 9
    assert tally.wanted == 40
    assert [p for t in kept for p in t.paths] == tally.paths.tolist()
    whole = tally.joined(tallied(plant, range(9, 12)))
    np.testing.assert_array_equal(whole.totals, tallied(plant, range(12)).totals)


def test_an_interruption_before_the_first_path_is_passed_on(plant):
    def stop(*_):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_many(plant, paths=_Stopping(), seed=3, start=0.0, length=DAY)
    assert len(tallied(plant, range(2), progress=stop).paths) == 1


class _Stopping(list):
    """Paths that break off as they are asked for."""

    def __len__(self):
        return 2

    def __iter__(self):
        raise KeyboardInterrupt
