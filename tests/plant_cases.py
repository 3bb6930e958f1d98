"""Small plants for the tests of rules: a plant told in full, changed line by line."""

import tomllib

from airfettle.findings.judge import judge
from airfettle.plant.whole import Plant
from airfettle.quantity import Span
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach


def plant_of(text):
    """A plant from TOML text."""
    return Plant[Span].model_validate(tomllib.loads(text))


def findings_of(text, rule, *, rows=256):
    """What one rule says of a plant given as TOML text, what is in order included."""
    return [f for f in judge(reach(draw(plant_of(text), rows=rows)), clear=True) if f.rule == rule]


def states_of(text, rule, *, rows=256):
    """The states and signal words that one rule gives a plant."""
    return [(f.state, f.signal) for f in findings_of(text, rule, rows=rows)]
