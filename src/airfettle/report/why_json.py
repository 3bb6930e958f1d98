"""An explanation as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from typing import Any

from airfettle.findings.why import Why
from airfettle.quantity import KINDS
from airfettle.report.findings_json import findings_list, head
from airfettle.report.why_text import why_lines
from airfettle.studies.bearing import EntryStep
from airfettle.studies.draw import Draw
from airfettle.studies.reasons import Explanation, Step

SCHEMA = "airfettle.explain.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""


def why_json(why: Why, *, draw: Draw) -> dict[str, Any]:
    """Return an explanation as plain dicts, lists, numbers and text."""
    told = why.explanation
    return head(draw, schema=SCHEMA) | {
        "asked": why.asked,
        "findings": findings_list(why.findings),
        "rule": None if why.rule is None else {
            "id": why.rule.name, "title": why.rule.title, "threshold": why.rule.threshold, "why": why.rule.why,
            "do": why.rule.do, "sources": list(why.rule.sources),
        },
        "decided_by": [{"path": s.path, "label": s.label, "said": s.said} for s in why.decided_by],
        "number": None if told is None else _explanation(told),
        "text": ["  " * line.depth + line.words for line in why_lines(why, units=draw.plant.about.units)],
    }  # fmt: skip


def _explanation(told: Explanation) -> dict[str, Any]:
    return {
        "id": told.asked, "train": told.train, "frequency_hz": told.frequency,
        "receiver_pressure_gauge_pa": told.gauge, "runs_share": told.runs_share, "cut": told.cut,
        "steps": [_step(step) for step in told.steps],
    }  # fmt: skip


def _step(step: Step) -> dict[str, Any]:
    m = step.meaning
    return {
        "id": step.name, "train": step.train, "label": m.label, "kind": m.kind, "unit": KINDS[m.kind].si,
        "symbol": m.symbol, "depth": step.depth, "at_likely": step.value, "low": step.band.low,
        "likely": step.band.likely, "high": step.band.high, "equation": m.equation, "filled_in": step.filled,
        "solved": m.solved, "note": m.note,
        "sources": list(m.sources), "entries": [_entry(entry) for entry in step.entries],
        "choices": [{"path": c.path, "label": c.label, "said": c.said} for c in step.choices],
    }  # fmt: skip


def _entry(entry: EntryStep) -> dict[str, Any]:
    return {
        "path": entry.path, "label": entry.label, "said": entry.span.text, "known": entry.span.known,
        "by": entry.span.by, "on": entry.span.on, "source": entry.source, "assumed_for": entry.assumed_for,
        "share": entry.share,
    }  # fmt: skip
