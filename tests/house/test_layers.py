"""The import contracts hold: one direction of travel, and parts never import each other."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_import_contracts_are_kept():
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-logo"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout
    assert "0 broken" in done.stdout
