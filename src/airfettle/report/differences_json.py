"""What one change does, as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from airfettle.findings.differences import Comparison, Side
from airfettle.report.findings_json import findings_list, head
from airfettle.studies.bands import Band

SCHEMA = "airfettle.compare.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""


def differences_json(found: Comparison) -> dict[str, Any]:
    """Return a comparison as plain dicts, lists, numbers and text; the head is of the plant after the change."""
    return head(found.after.reach.draw, schema=SCHEMA) | {
        "before": _side(found.before),
        "after": _side(found.after),
        "entries": [asdict(change) for change in found.entries],
        "assumed": [asdict(change) for change in found.assumed],
        "answers": [
            {"id": c.name, "label": c.meaning.label, "kind": c.meaning.kind, "running": c.running,
             "before": _band(c.before), "after": _band(c.after), "shift": _band(c.shift), "beyond_its_spread": c.beyond}
            for c in found.answers
        ],
        "limits": [
            {"id": c.limit.name, "label": c.limit.label, "train": c.train, "before": c.before, "after": c.after,
             "broke": c.broke, "healed": c.healed}
            for c in found.limits
        ],
        "findings": [
            {"before": next(iter(findings_list([c.before])), None) if c.before else None,
             "after": next(iter(findings_list([c.after])), None) if c.after else None, "worse": c.worse}
            for c in found.findings
        ],
    }  # fmt: skip


def _side(side: Side) -> dict[str, Any]:
    return {
        "name": side.name, "frequencies_hz": list(side.reach.frequencies),
        "receiver_pressures_gauge_pa": list(side.reach.gauges),
    }  # fmt: skip


def _band(band: Band) -> dict[str, float]:
    return {"low": band.low, "likely": band.likely, "high": band.high}
