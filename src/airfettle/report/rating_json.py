"""A rating as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from airfettle import tables
from airfettle.findings.finding import Finding
from airfettle.quantity import KINDS, span_text, toleranced
from airfettle.report.findings_json import findings_list, head
from airfettle.studies.bands import Band
from airfettle.studies.rating import RatedPoint, Rating, answer_meanings

SCHEMA = "airfettle.rating.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""


def rating_json(rating: Rating, *, findings: Iterable[Finding] = ()) -> dict[str, Any]:
    """Return a rating as plain dicts, lists, numbers and text."""
    return head(rating.draw, schema=SCHEMA) | {
        "site": _site(rating),
        "editions": editions(),
        "points": [_point(point, rating) for point in rating.points],
        "findings": findings_list(findings),
        "assumed": list(rating.draw.assumed_at_rest),
        "taken": list(rating.numbers.taken),
    }  # fmt: skip


def _site(rating: Rating) -> dict[str, Any]:
    draw = rating.draw
    spans = {path.removeprefix("site."): span for path, span in draw.spans.items() if path.startswith("site.")}
    return {
        "barometer_pa": float(draw.barometer[0, 0, 0]),
        "entries": {name: {"low": s.low, "likely": s.likely, "high": s.high, "kind": s.kind, "known": s.known,
                           "shown": span_text(s, units=draw.plant.about.units)} for name, s in spans.items()},
    }  # fmt: skip


def editions() -> dict[str, str]:
    """Return the edition of every published table the program carries, by table."""
    return {name: tables.load(name).edition for name in tables.names() if tables.load(name).edition != "-"}


def _point(point: RatedPoint, rating: Rating) -> dict[str, Any]:
    units = rating.draw.plant.about.units
    found: dict[str, Any] = {
        "frequency_hz": point.frequency,
        "receiver_pressure_pa": point.receiver_pressure,
        "receiver_pressure_gauge_pa": point.receiver_gauge,
        "runs_share": point.runs_share,
        "answers": [_answer(name, band, units, point.notices.get(name, ())) for name, band in point.answers.items()],
    }
    if point.trains:
        found["trains"] = [
            {"name": train, "answers": [_answer(name, band, units, ()) for name, band in answers.items()]}
            for train, answers in point.trains.items()
        ]
    return found


def _answer(name: str, band: Band, units: Any, notices: tuple[str, ...]) -> dict[str, Any]:
    meaning = answer_meanings()[name]
    return {
        "id": name, "label": meaning.label, "kind": meaning.kind, "unit": KINDS[meaning.kind].si,
        "low": band.low, "likely": band.likely, "high": band.high, "at_likely": band.at_likely,
        "shown": toleranced(band.low, band.likely, band.high, kind=meaning.kind, units=units),
        "notices": list(notices),
    }  # fmt: skip
