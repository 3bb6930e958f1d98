"""Findings as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from airfettle import __version__
from airfettle.findings.finding import Finding
from airfettle.studies.draw import Draw
from airfettle.studies.evidence.conditioning import Belief

SCHEMA = "airfettle.findings.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""


def findings_list(findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """Return findings as plain dicts, worst first."""
    return [_finding(f) for f in findings]


def _finding(f: Finding) -> dict[str, Any]:
    point = f.worst_point
    return {
        "id": f.name, "signal": f.signal, "state": f.state, "probability": f.probability, "among": f.among,
        "says": f.says, "do": f.do,
        "parts": list(f.parts),
        "worst_point": None if point is None else {
            "frequency_hz": point.frequency, "receiver_pressure_gauge_pa": point.receiver_gauge,
        },
        "decided_by": list(f.decided_by), "sources": list(f.sources), "rule": f.rule, "could_be": f.rule_signal,
        "why": f.why,
    }  # fmt: skip


def head(draw: Draw, *, schema: str) -> dict[str, Any]:
    """Return what every JSON answer begins with."""
    about = draw.plant.about
    return {
        "schema": schema,
        "program": {"name": "airfettle", "version": __version__},
        "plant": {"name": about.name, "units": about.units, "currency": about.currency,
                  "trains": [train.name for train in draw.plant.trains]},
        "draw": {"rows": draw.rows, "seed": draw.seed},
    }  # fmt: skip


def statements_list(belief: Belief) -> list[dict[str, Any]]:
    """Return what was said of derived numbers, before and after all of it was weighed."""
    return [
        {
            "path": h.statement.path, "label": h.statement.label, "what": h.statement.what,
            "kind": h.statement.span.kind,
            "value": h.statement.value, "deviation": h.statement.deviation, "known": h.statement.span.known,
            "before": dict(zip(("low", "likely", "high"), h.before, strict=True)),
            "after": dict(zip(("low", "likely", "high"), h.after, strict=True)),
            "probability_wrong": h.doubt,
        }
        for h in belief.heard
    ]  # fmt: skip


def findings_json(findings: Iterable[Finding], *, belief: Belief) -> dict[str, Any]:
    """Return findings and the statements behind the draw as plain dicts, lists, numbers and text."""
    return head(belief.draw, schema=SCHEMA) | {
        "findings": findings_list(findings),
        "statements": statements_list(belief),
        "effective_rows": belief.effective,
    }
