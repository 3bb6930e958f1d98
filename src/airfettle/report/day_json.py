"""A day, or years, as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airfettle.quantity import Units
from airfettle.quantity.clock import DAYS, clock_text
from airfettle.report.day_rows import Row, answer_rows, row_json, tool_rows, train_rows
from airfettle.report.day_words import headline, is_off, left_out, longest_shortage, tools_of
from airfettle.report.findings_json import head
from airfettle.report.service_rows import ServiceRow, service_rows
from airfettle.studies.day.days import Days
from airfettle.studies.day.prepared import DAY, WEEK

DAY_SCHEMA = "airfettle.day.1"
YEAR_SCHEMA = "airfettle.year.1"
"""Name and version of each form; a key is never taken away or given another meaning within a version."""


def day_json(run: Days) -> dict[str, Any]:
    """Return a day as plain dicts, lists, numbers and text."""
    return head(run.prepared.draw, schema=DAY_SCHEMA) | {
        "day": DAYS[int(run.tally.start % WEEK // DAY)],
        **_run(run, year=False),
        "traced": _traced(run),
        "left_out": list(left_out(run)),
    }


def year_json(run: Days) -> dict[str, Any]:
    """Return years as plain dicts, lists, numbers and text."""
    return head(run.prepared.draw, schema=YEAR_SCHEMA) | {
        **_run(run, year=True),
        "service": [_service(row) for row in service_rows(run)],
        "left_out": list(left_out(run, year=True)),
    }


def _run(run: Days, *, year: bool) -> dict[str, Any]:
    tally, units = run.tally, run.prepared.draw.plant.about.units
    return {
        "says": headline(run, year=year),
        "start_s": tally.start, "length_s": tally.length, "switched_off": is_off(run),
        "paths": {"asked": tally.wanted, "done": len(tally.paths), "seed": run.seed},
        "answers": _rows(answer_rows(run, year=year), units),
        "tools": _named(tool_rows(run), units),
        "trains": _named(train_rows(run), units),
        "longest_shortage": _longest(run),
    }  # fmt: skip


def _rows(rows: dict[str, Row], units: Units) -> list[dict[str, Any]]:
    return [row_json(row, units=units) for row in rows.values()]


def _named(named: Sequence[tuple[str, dict[str, Row]]], units: Units) -> list[dict[str, Any]]:
    return [{"name": name, "answers": _rows(rows, units)} for name, rows in named]


def _longest(run: Days) -> dict[str, Any] | None:
    worst = longest_shortage(run)
    if worst is None:
        return None
    return {
        "length_s": worst.length, "begin_s": worst.begin, "clock": clock_text(worst.begin), "tools": list(worst.tools),
        "paths": worst.paths,
    }  # fmt: skip


def _traced(run: Days) -> dict[str, Any] | None:
    if run.traced is None:
        return None
    return {
        "path": run.traced.path, "row": run.traced.row,
        "shortages": [
            {"begin_s": begin, "end_s": end, "tools": list(tools_of(run, int(bits)))}
            for begin, end, bits in run.traced.books.shortages.tolist()
        ],
    }  # fmt: skip


def _service(row: ServiceRow) -> dict[str, Any]:
    return {
        "item": row.item.name, "do": row.item.do, "pump": row.pump, "low_s": row.due.low, "likely_s": row.due.likely,
        "high_s": row.due.high, "by": row.by, "running_interval_s": row.running, "starts_interval": row.starts,
        "calendar_interval_s": row.calendar,
    }  # fmt: skip
