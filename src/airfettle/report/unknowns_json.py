"""What to measure next as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from typing import Any

from airfettle.findings.unknowns import Unknowns
from airfettle.report.findings_json import findings_list, head
from airfettle.studies.draw import Draw
from airfettle.studies.unknowns.ranking import Worth

SCHEMA = "airfettle.unknowns.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""


def unknowns_json(unknowns: Unknowns, *, draw: Draw) -> dict[str, Any]:
    """Return what to measure next as plain dicts, lists, numbers and text."""
    answer, band = unknowns.answer, unknowns.answer.band
    return head(draw, schema=SCHEMA) | {
        "answer": {
            "id": answer.name, "label": answer.meaning.label, "kind": answer.meaning.kind,
            "frequency_hz": answer.frequency, "receiver_pressure_gauge_pa": answer.gauge,
            "low": band.low, "likely": band.likely, "high": band.high,
        },
        "measurements": [_worth(worth) for worth in answer.ranked],
        "spread_from": [{"path": path, "share": share} for path, share in answer.entries.items() if share > 0.0],
        "undecided": [
            {"finding": finding.name, "probability": finding.probability,
             "measurements": [_worth(worth) for worth in ranked]}
            for finding, ranked in unknowns.undecided
        ],
        "questions": findings_list(unknowns.questions),
    }  # fmt: skip


def _worth(worth: Worth) -> dict[str, Any]:
    m = worth.measurement
    return {
        "path": worth.path, "train": worth.train, "is_reading": m.is_answer, "instrument": m.instrument,
        "minutes": m.minutes, "how": m.how, "mind": m.mind, "settles": worth.settles, "spread_left": worth.narrowed,
        "expected_low": worth.expected[0], "expected_high": worth.expected[1], "kind": worth.kind,
    }  # fmt: skip
