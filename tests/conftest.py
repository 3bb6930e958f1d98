"""Settings shared by every test."""

from hypothesis import HealthCheck, settings

settings.register_profile("airfettle", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("airfettle")


def pytest_addoption(parser):
    parser.addoption("--evidence", default=None, help="append the rows of tests/published to this file")
    parser.addoption("--gold", action="store_true", help="write the gold ratings of tests/regression anew")
