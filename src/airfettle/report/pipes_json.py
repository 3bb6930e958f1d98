"""The shop's pipe, and sizes for it, as JSON: SI numbers, every key documented in the reference."""

from __future__ import annotations

from math import isfinite
from typing import Any

import numpy as np

from airfettle.report.day_rows import Row
from airfettle.report.findings_json import findings_list, head
from airfettle.report.pipes_rows import PipesTold, gain_row, place_rows, row_json, rows_of, shop_rows, step_rows
from airfettle.report.pipes_words import change_name, enough_of, headline, rows_of_shares
from airfettle.report.sizes_words import Beyond, SizesTold, do_words, sizes_headline
from airfettle.studies.pipework.changes import Change
from airfettle.studies.pipework.sizes import SizedPart

PIPES_SCHEMA = "airfettle.pipes.1"
SIZES_SCHEMA = "airfettle.pipe_sizes.1"
"""Name and version of each form; a key is never taken away or given another meaning within a version."""


def pipes_json(told: PipesTold) -> dict[str, Any]:
    """Return a shop's pipe as plain dicts, lists, numbers and text."""
    run, units = told.run, told.units
    worst = run.places[run.worst]

    def listed(rows: dict[str, Row]) -> list[dict[str, Any]]:
        return [row_json(row, units=units) for row in rows.values()]

    return head(run.draw, schema=PIPES_SCHEMA) | {
        "says": headline(told),
        "running": {
            "asked": list(told.asked), "at_cut_in": told.at_cut_in, "sets": len(run.sets.on),
            "every_set": run.sets.every, "rows_of_shares": rows_of_shares(run), "settled": run.solved.settled,
        },
        "answers": listed(shop_rows(told)),
        "tools": [
            {"name": place.name, "drop": place.drop, "runs": place.runs, "enough_in": enough_of(place),
             "answers": listed(place_rows(told, j))} for j, place in enumerate(run.places)
        ],
        "way": {
            "tool": worst.name, "drop": worst.drop,
            "parts": [
                {"name": step.name, "sort": step.sort, "answers": listed(step_rows(told, step))} for step in run.way
            ],
        },
        "changes": {
            "enough_in": told.tried.enough, "all_enough_in": told.tried.every,
            "tried": [_change(change, told) for change in told.tried.changes],
        },
        "lines": [
            {"name": line.name, "run": line.run, "pipe": line.pipe, "start": line.start, "end": line.end,
             "fittings": line.fittings, "on_worst_way": line.on_worst_way, "answers": listed(rows_of(line))}
            for line in run.lines
        ],
        "low_points": None if told.low_points is None else [
            {"place": point.place, "drained": point.drained, "level": point.level} for point in told.low_points
        ],
        "lies": [
            {"name": lies.name, "pipe": lies.pipe, "pieces": lies.pieces, "supports": lies.supports,
             "answers": listed(rows_of(lies))} for lies in told.lies
        ],
        "findings": findings_list(told.findings),
    }  # fmt: skip


def _change(change: Change, told: PipesTold) -> dict[str, Any]:
    return {
        "name": change_name(change, told.units), "sort": change.sort, "new_pipe_m": change.pipe,
        "answers": [row_json(gain_row(change.gain), units=told.units)], "enough_in": change.enough,
        "all_enough_in": change.every,
    }  # fmt: skip


def sizes_json(told: SizesTold) -> dict[str, Any]:
    """Return sizes of pipe as plain dicts, lists, numbers and text."""
    found = told.found
    return head(told.run.draw, schema=SIZES_SCHEMA) | {
        "says": sizes_headline(told), "certainty": found.certainty,
        "parts": [_part(part, told, g) for g, part in enumerate(found.parts)],
        "one_size": None if found.one_size is None else found.one_size.text,
        "mass_kg": found.metal, "mass_now_kg": found.metal_now,
        "mass_one_size_kg": found.metal_one if isfinite(found.metal_one) else None,
        "tools": [
            {"name": place.name, "drop": place.drop, "enough_before": found.before[j], "enough_after": found.after[j],
             "pipe_can_help": j not in found.beyond_pipe} for j, place in enumerate(told.run.places)
        ],
        "beyond_pipe": [_beyond(one, told) for one in told.beyond],
        "every_set_of_sizes": found.every, "tried": found.tried,
    }  # fmt: skip


def _part(part: SizedPart, told: SizesTold, g: int) -> dict[str, Any]:
    low, middle, high = (float(v) for v in np.percentile(told.fastest[g], (5.0, 50.0, 95.0)))
    slow = told.slow_enough(g)
    return {
        "name": part.name, "length_m": part.length, "now": part.now.text, "bore_now_m": part.now.bore,
        "enough_with": part.found.text, "bore_m": part.found.bore,
        "fastest_air_m_s": {"low": low, "likely": middle, "high": high, "fast": told.fast(g)},
        "wide_enough_for_slow_air": slow.text if slow is not None else None,
    }  # fmt: skip


def _beyond(one: Beyond, told: SizesTold) -> dict[str, Any]:
    place = told.run.places[one.place]
    return {
        "tool": place.name, "drop": place.drop, "do": do_words(told, one),
        "changes": [
            {"name": change_name(c, told.units), "sort": c.sort, "enough_in": c.enough} for c in one.cures
        ],
    }  # fmt: skip
