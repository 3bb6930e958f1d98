"""The example plant that ships with the program."""

from __future__ import annotations

from importlib import resources
from pathlib import Path


def demo_file() -> Path:
    """Return the path of the example plant, a canoe works."""
    return Path(str(resources.files(__package__).joinpath("canoe_works.toml")))
