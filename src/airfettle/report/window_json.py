"""Speed windows as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airfettle.report.findings_json import head
from airfettle.studies.draw import Draw
from airfettle.studies.speed_window import End, LimitRange, SpeedWindow

SCHEMA = "airfettle.window.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""


def window_json(windows: Sequence[SpeedWindow], *, draw: Draw) -> dict[str, Any]:
    """Return speed windows as plain dicts, lists, numbers and text."""
    return head(draw, schema=SCHEMA) | {"windows": [_window(window) for window in windows]}


def _window(window: SpeedWindow) -> dict[str, Any]:
    return {
        "train": window.train, "certainty": window.certainty, "direct": window.direct,
        "lowest": _end(window.lowest), "highest": _end(window.highest),
        "looked_hz": list(window.looked), "set_to_hz": list(window.used),
        "limits": [_range(r) for r in window.ranges],
    }  # fmt: skip


def _end(end: End | None) -> dict[str, Any] | None:
    if end is None:
        return None
    speed = end.pump_speed
    return {
        "frequency_hz": end.frequency, "binding": end.binding.name if end.binding else None,
        "pump_speed_rev_s": {"low": speed.low, "likely": speed.likely, "high": speed.high},
        "all_hold_share": end.together,
    }  # fmt: skip


def _range(r: LimitRange) -> dict[str, Any]:
    return {
        "id": r.limit.name, "label": r.limit.label, "lowest_hz": r.lowest, "highest_hz": r.highest,
        "holds_share": r.holds_share, "nowhere": r.nowhere, "cure": r.limit.cure, "note": r.limit.note,
        "equation": r.limit.equation, "entries": list(r.limit.entries), "sources": list(r.limit.sources),
    }  # fmt: skip
