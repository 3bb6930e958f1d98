"""Other receivers and other full speeds as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from typing import Any

from airfettle.quantity import KINDS, Units, toleranced
from airfettle.report.findings_json import head
from airfettle.report.resize_words import Speeds, resize_headline
from airfettle.studies.day.answers import DayAnswers
from airfettle.studies.day.resize import CurvePoint, Resized
from airfettle.studies.draw import Draw
from airfettle.studies.meaning import meanings

SCHEMA = "airfettle.resize.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""


def resize_json(found: Resized, *, draw: Draw, speeds: Speeds, gone: int = 0) -> dict[str, Any]:
    """Return shortage against receiver size and against full speed as plain dicts, lists, numbers and text."""
    units = draw.plant.about.units
    return head(draw, schema=SCHEMA) | {
        "says": resize_headline(found, units=units, speeds=speeds),
        "paths": found.paths, "not_computed": gone, "length_s": found.length,
        "window_hz": [speeds.lowest, speeds.highest],
        "receiver": [{"volume_m3": p.value, "own": bool(p.own), "answers": _answers(p, units)} for p in found.receiver],
        "speed": [
            {"frequency_hz": p.value, "own": bool(p.own), "within_window": speeds.allows(p.value),
             "answers": _answers(p, units)} for p in found.speed
        ],
    }  # fmt: skip


def _answers(point: CurvePoint, units: Units) -> list[dict[str, Any]]:
    said = meanings(DayAnswers)
    return [
        {
            "id": name, "label": said[name].label, "kind": said[name].kind, "unit": KINDS[said[name].kind].si,
            "low": band.low, "likely": band.likely, "high": band.high,
            "shown": toleranced(band.low, band.likely, band.high, kind=said[name].kind, units=units),
        }
        for name, band in point.answers.items()
    ]  # fmt: skip
