"""Settings shared by every test."""

import os

from hypothesis import HealthCheck, settings

COMMON = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}
settings.register_profile("fresh", **COMMON)
settings.register_profile("same", derandomize=True, **COMMON)
settings.load_profile("same" if os.environ.get("CI") else "fresh")
"""Fresh inputs at the desk; in CI the same ones each time, so that a change is judged by itself."""


def pytest_addoption(parser):
    parser.addoption("--evidence", default=None, help="append the rows of tests/published to this file")
    parser.addoption("--gold", action="store_true", help="write the gold ratings of tests/regression anew")
