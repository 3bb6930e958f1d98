"""A sheave search as JSON: SI numbers, every key the name of a field of its result."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from airfettle.report.findings_json import head
from airfettle.studies.bands import Band
from airfettle.studies.sheaves.result import Candidate, SheaveSearch, TrainSheaves

SCHEMA = "airfettle.sheaves.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""

UNITS = {
    "datum": "m", "outside": "m", "pitch": "m", "wheel": "m", "hertz": "Hz", "pump_speed": "1/s", "base_speed": "1/s",
    "hertz_range": "Hz", "wrap": "rad", "belt_length": "m", "stock_length": "m", "shift": "m",
}  # fmt: skip
"""Unit of every number of a candidate; what is not here is a pure number."""


def sheaves_json(search: SheaveSearch) -> dict[str, Any]:
    """Return a sheave search as plain dicts, lists, numbers and text."""
    return head(search.draw, schema=SCHEMA) | {
        "certainty": search.certainty,
        "units": UNITS,
        "trains": [_train(search, train) for train in search.trains],
        "assumed": list(search.draw.assumed_at_rest),
    }  # fmt: skip


def _train(search: SheaveSearch, train: TrainSheaves) -> dict[str, Any]:
    best = train.best()
    return {
        "name": train.name,
        "wanted_speed_per_s": train.wanted_speed,
        "wanted_from": train.wanted_from,
        "direct": train.direct,
        "base_frequency_hz": train.base_frequency,
        "highest_set_hz": train.highest_set,
        "section_told": train.section_told,
        "why_not": train.why_not,
        "notes": list(train.notes),
        "not_judged": train.far,
        "best": None if best is None else train.candidates.index(best),
        "candidates": [_candidate(search, each) for each in train.candidates],
        "wheels": [_candidate(search, each) for each in train.wheels],
    }


def _candidate(search: SheaveSearch, candidate: Candidate) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name in Candidate.__dataclass_fields__:
        value = getattr(candidate, name)
        found[name] = _band(value) if isinstance(value, Band) else value
    found["hertz_range"] = list(candidate.hertz_range) if candidate.hertz_range else None
    found["checks"] = [asdict(check) for check in candidate.checks]
    found["fails"] = [check.name for check in candidate.fails(search.certainty)]
    return found


def _band(band: Band) -> dict[str, float]:
    return asdict(band)
