"""How long pandapipes takes for the stored ring mains, as one line of JSON; run by a Python that has pandapipes.

Its own tolerances, which are looser than this project's, and as fast as it goes: numba where it is installed, the net
built beforehand, the check for parts of the net without a source left out. Without pandapipes it says so and ends well.
"""

import json
import sys
import time
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

DATA = Path(__file__).parents[1] / "tests/published/data"
RINGS = ("ring main of 60 drops", "ring main of 1000 drops")
WARM_UPS, RUNS = 2, 7


def best(function):
    """Least time of some runs. [s]"""
    times = []
    for _ in range(WARM_UPS + RUNS):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times[WARM_UPS:])


def installed(package):
    try:
        return version(package)
    except PackageNotFoundError:
        return None


def timed():
    import make_pipe_networks as networks

    stored = json.loads(networks.FILE.read_text(encoding="utf-8"))
    nets = {net["name"]: net for net in stored["nets"]}
    options = {"friction_model": "colebrook", "mode": "hydraulics", "max_iter_hyd": 100, "check_connectivity": False}
    options["ambient_temperature"] = networks.TEMPERATURE
    seconds = {}
    for name in RINGS:
        net = networks.built(nets[name])
        seconds[name] = best(lambda net=net: networks.pandapipes.pipeflow(net, **options))
        assert net.converged, name
    return {"pandapipes": version("pandapipes"), "numba": installed("numba"), "runs": RUNS, "seconds": seconds}


def main():
    sys.path.insert(0, str(DATA))
    try:
        import pandapipes  # noqa: F401
    except ImportError as error:
        print(json.dumps({"pandapipes": None, "said": f"pandapipes does not load here, so nothing was timed: {error}"}))
        return
    print(json.dumps(timed()))


if __name__ == "__main__":
    main()
