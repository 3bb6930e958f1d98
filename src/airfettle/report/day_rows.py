"""Answers of days and years as rows with their bands: what table and JSON both say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.quantity import KINDS, Units, toleranced
from airfettle.studies.bands import Band
from airfettle.studies.day import machine as m
from airfettle.studies.day.days import Days
from airfettle.studies.day.prepared import DAY
from airfettle.studies.day.resize import band_of
from airfettle.studies.meaning import meanings

Array = NDArray[np.float64]

YEAR_ALONE = ("energy_year", "cost_year")
"""Answers that one day of the week says nothing of: the others are not like it."""
DAY_ALONE = ("energy_day", "cost_day", "running_time")
"""Answers that a year's own make needless."""
NEVER = 1e8
"""Times beyond this are as good as never. [s]"""
WHERE_IT_RUNS = (
    "hottest_air", "hottest_cooler", "hottest_winding", "hottest_wall", "warmest_crankcase", "cold_share", "idle_share",
    "quiet_share", "lost_share", "sound_osha", "sound_niosh", "dryer_overloaded", "dryer_most",
)  # fmt: skip
"""Answers that mean nothing of a chance in which no pump ran."""
WHERE_IT_IS_ON = ("starts_mean", "starts_worst", "loaded_share")
"""Answers that mean nothing of a chance in which the plant is never switched on."""
ON_AT_LEAST = 60.0
"""Time switched on from which starts in an hour mean something. [s]"""
ABOVE_ZERO = ("shortest_off", "shortest_run")
"""Answers that are zero where there was nothing to measure."""
NEVER_REACHED = ("receiver_fills", "separator_fills", "beads_last")
"""Answers that are beyond NEVER where there was nothing to measure."""

LABELS = {
    "sound_osha": "sound dose, of all that 29 CFR 1910.95 allows in a day",
    "sound_niosh": "sound dose, of all that NIOSH recommends in a day",
    "dryer_most": "greatest dryer load, of its capacity there",
    "enough_share": "enough pressure, of the time that tools run",
    "running_time": "pumps run",
    "receiver_fills": "pumps may run until the receiver's drain must open",
    "separator_fills": "pumps may run until the separator's drain must open",
    "energy_day": "electricity",
    "cost_day": "cost of electricity",
    "cost_year": "cost of electricity in a year",
}
"""Labels said otherwise here, where the table around them or a percentage needs it."""


@dataclass(frozen=True)
class Row:
    """One answer.

    Attributes
    ----------
    name, label, kind, note : str
        Its id, the trade's words, its kind of quantity, and what to know of it.
    band : Band
        P5, P50 and P95 over the paths that say something of it. [SI]
    paths : int
        How many those are.
    """

    name: str
    label: str
    kind: str
    note: str
    band: Band
    paths: int


def answer_rows(run: Days, *, year: bool = False) -> dict[str, Row]:
    """Return the answers that a run has, by id, in the order of ``DayAnswers``, for a year with sums over it."""
    said = meanings(run.answers)
    left_out = DAY_ALONE if year else YEAR_ALONE
    found: dict[str, Row] = {}
    for name, meaning in said.items():
        values = getattr(run.answers, name)
        if values is None or not meaning.is_answer or name in left_out or not _there(run, name):
            continue
        kept = _telling(run, name, values)
        if len(kept):
            label = LABELS.get(name, meaning.label)
            found[name] = Row(name, label, meaning.kind, meaning.note, band_of(kept), len(kept))
    return found | {row.name: row for row in (_of_the_year(run) if year else ())}


def _there(run: Days, name: str) -> bool:
    """Leave out what a plant cannot have: quiet speed without quiet hours, water caught by nothing."""
    if name == "quiet_share":
        return run.prepared.quiet_hours is not None or run.prepared.scheme != m.PRESET
    return name != "water_after" or bool(run.prepared.numbers.after)


def _telling(run: Days, name: str, values: Array) -> Array:
    """Values of the paths that say something of an answer; none where most paths do not."""
    keep = np.isfinite(values)
    if name in WHERE_IT_RUNS:
        keep &= run.answers.running_time > 0.0
    if name in WHERE_IT_IS_ON:
        keep &= run.answers.on_time > ON_AT_LEAST
    if name in ABOVE_ZERO:
        keep &= values > 0.0
    if name in NEVER_REACHED:
        keep &= values < NEVER
    return values[keep] if 2 * int(keep.sum()) >= len(values) else values[:0]


def _of_the_year(run: Days) -> Iterator[Row]:
    """Sums over a year, which ``DayAnswers`` has by the day or the hour."""
    answers, paths = run.answers, len(run.tally.paths)
    days = run.tally.length / DAY
    litres = sum(
        getattr(answers, name) for name in ("water_between", "water_separator", "water_receiver", "water_after")
    )
    sums = (
        ("starts_year", "starts in a year", "number", "of the pump that starts most", answers.starts),
        ("running_year", "pumps run in a year", "hours", "of all pumps together", answers.running_time * days),
        ("water_year", "condensate in a year", "volume",
         "between the stages, before the receiver, in it and behind it; what tools get is not in it",
         litres * run.tally.length / 1000.0),
    )  # fmt: skip
    for name, label, kind, note, values in sums:
        yield Row(name, label, kind, note, band_of(values), paths)


def not_computed(run: Days) -> int:
    """Return in how many paths the numbers broke down, so that nothing may be said of them."""
    return int(np.sum(~np.isfinite(run.tally.totals).all(axis=1)))


def tool_rows(run: Days) -> tuple[tuple[str, dict[str, Row]], ...]:
    """Return each tool's name and answers; of one that never ran only that."""
    some_short = run.tally.of_tool[:, :, m.TOOL_SHORT].sum(axis=1) > 0.0
    found = []
    for tool in run.tools:
        ran = tool.on_time > 0.0
        rows: dict[str, Row] = {}
        for name, meaning in meanings(tool).items():
            keep = np.ones(len(ran), np.bool_) if name == "on_time" else ran
            if name == "shortage_share":
                keep = some_short
            if keep.any() and (name == "on_time" or ran.any()):
                values = getattr(tool, name)[keep]
                rows[name] = Row(name, meaning.label, meaning.kind, meaning.note, band_of(values), len(values))
        found.append((tool.name, rows))
    return tuple(found)


def train_rows(run: Days) -> tuple[tuple[str, dict[str, Row]], ...]:
    """Return each pump's name and what it did; in a year over all of it, in a day in that day."""
    found = []
    paths = len(run.tally.paths)
    for place, train in enumerate(run.prepared.draw.plant.trains):
        told = run.tally.of_train[:, place, :]
        sums = (
            ("running", "runs", "hours", told[:, m.LOADED] + told[:, m.IDLE]),
            ("loaded", "of it loaded", "hours", told[:, m.LOADED]),
            ("starts", "starts", "number", told[:, m.STARTS]),
            ("starts_worst", "most starts within one hour", "start_rate", told[:, m.WORST_STARTS] / 3600.0),
            ("energy", "electricity of its motor and drive", "energy", told[:, m.TRAIN_ENERGY]),
        )
        rows = {name: Row(name, label, kind, "", band_of(values), paths) for name, label, kind, values in sums}
        found.append((train.name, rows))
    return tuple(found)


def shown(row: Row, *, units: Units, currency: str = "") -> str:
    """Return an answer with its spread in the owner's units."""
    band = row.band
    text = toleranced(band.low, band.likely, band.high, kind=row.kind, units=units)
    return f"{text} {currency}".strip() if row.kind == "money" else text


def row_json(row: Row, *, units: Units) -> dict[str, Any]:
    """Return an answer as a plain dict. [SI]"""
    band = row.band
    return {
        "id": row.name, "label": row.label, "kind": row.kind, "unit": KINDS[row.kind].si, "low": band.low,
        "likely": band.likely, "high": band.high, "paths": row.paths,
        "shown": toleranced(band.low, band.likely, band.high, kind=row.kind, units=units), "note": row.note,
    }  # fmt: skip
