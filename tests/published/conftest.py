"""Checks against things outside the project, recorded so that docs/evidence can list them all."""

import pytest
from evidence_rows import Recorder


@pytest.fixture
def published(request):
    """Record and check one printed value: see Recorder."""
    return Recorder(request.node.nodeid, request.module, request.config.getoption("--evidence"))
