"""Pipe networks: against pandapipes in the same run, and how many sets of tools a second."""

import importlib.util
import json
import os
import subprocess
import time
from pathlib import Path

import numpy as np
import pytest
from pipe_nets import all_on, ring, tool

from airfettle.studies.compiled import jit
from airfettle.studies.pipework import kernel
from airfettle.studies.pipework.solve import solve

HERE = Path(__file__).parent
TESTS = HERE.parent / "tests" / "published"
RINGS = {"ring main of 60 drops": 200.0, "ring main of 1000 drops": 10.0}


def stored():
    """The comparison's module, for the nets it builds."""
    spec = importlib.util.spec_from_file_location("stored_networks", TESTS / "test_pipe_networks.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def best(function, rounds=7):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.fixture(scope="module")
def peer():
    """What pandapipes took for each ring, in an environment of its own. [s]"""
    python = os.environ.get("PANDAPIPES_PYTHON", str(HERE.parent / ".peer/bin/python"))
    if not Path(python).exists():
        pytest.skip(f"no pandapipes at {python}: no ratio is judged")
    ran = subprocess.run([python, HERE / "pandapipes_peer.py"], capture_output=True, text=True, timeout=600)
    told = json.loads(ran.stdout.strip().splitlines()[-1])
    if told.get("pandapipes") is None:
        pytest.skip(f"no pandapipes: {told.get('said')}")
    return told


@pytest.mark.parametrize("name", RINGS)
def test_against_pandapipes(peer, name):
    module = stored()
    net = module.NETS[name]
    lay, fit, given = module.network_of(net)
    many, cases = given["outlets"].shape[1], 200 if "60" in name else 10
    stream = np.random.default_rng(1)
    # Every case with other flows, as far apart as other tools would make them, so that none begins at its solution.
    shape = (cases, 1, many)
    outlets = np.repeat(given["outlets"], cases, axis=0)
    outlets[:, :, 4] *= stream.uniform(0.7, 1.3, (cases, many))
    arrays = {key: np.repeat(given[key], cases, axis=0) for key in ("laws", "hoses", "line", "leaks")}
    sources = np.repeat(np.array([net["sources"]["pressure"]]), cases, axis=0)
    squares, flows = np.zeros((cases, 1, lay.nodes)), np.zeros((cases, 1, len(lay.start)))
    inlets, draws, sweeps = np.zeros(shape), np.zeros(shape), np.zeros((cases, 1), np.int64)

    def run():
        jit(kernel.solve_all)(
            lay.arrays, fit, arrays["laws"], outlets, arrays["hoses"], given["at_node"], sources, arrays["line"],
            arrays["leaks"], np.ones((1, many)), squares, flows, inlets, draws, sweeps,
        )  # fmt: skip

    run()
    ours = best(run) / cases
    theirs = seconds_of(peer, name)
    times = f"{theirs * 1e3:.1f} ms against {ours * 1e6:.0f} us"
    print(f"\n{name}: {theirs / ours:.0f} times as fast as pandapipes, {times}")
    assert theirs / ours > RINGS[name]


def seconds_of(told, name):
    """Find a ring's time in what the peer said. [s]"""
    for key, value in told.items():
        if key == name:
            return float(value)
        if isinstance(value, dict) and name in value:
            found = value[name]
            return float(found["seconds"] if isinstance(found, dict) else found)
    raise KeyError(name)


def test_sets_of_tools_a_second(benchmark):
    """60 drops on a ring, half of the tools running by chance, couplers and hoses included; one core."""
    network = ring(60, bore=0.05, apart=3.0, use=tool(0.0015, count=60))
    stream = np.random.default_rng(2)
    on = (stream.random((5000, 60)) < 0.5).astype(float)
    receiver = np.array([9e5])
    solve(network, on=all_on(network), receiver_pressure=receiver, whole=False)
    benchmark.pedantic(lambda: solve(network, on=on, receiver_pressure=receiver, whole=False), rounds=5)
    print(f"\n60 drops: {5000 / benchmark.stats['min']:.0f} sets of tools a second on one core")
