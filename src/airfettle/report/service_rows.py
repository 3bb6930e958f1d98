"""Care that a plant needs, each item with when it is due at the use it was run with."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.service import NEVER, OILED, ServiceItem, service_due, service_items
from airfettle.studies.bands import Band
from airfettle.studies.care import parts_needing_care
from airfettle.studies.day import machine as m
from airfettle.studies.day.days import Days
from airfettle.studies.day.resize import band_of

DAY, HOUR, YEAR = 86_400.0, 3600.0, 365.0 * 86_400.0
"""[s]"""
SHARED = (
    "relief valve, lift", "relief valve, renew", "receiver's drain, open", "receiver, outside", "receiver, inside",
    "safety checks", "separator", "filter element", "pump-up and leak test",
)  # fmt: skip
"""Items that several pumps have in common."""


@dataclass(frozen=True)
class ServiceRow:
    """One item of one pump, or of all.

    Attributes
    ----------
    item : ServiceItem
        What is due. [SI]
    pump : str
        Of which pump; empty for what they have in common, and in a plant with one.
    due : Band
        Time by the calendar until it is due, after it has been seen to. [s]
    by : str
        What makes it due in most paths: ``running``, ``starts`` or ``calendar``.
    running, starts, calendar : float or None
        Its intervals; None where it has none of that sort. [s] [-] [s]
    """

    item: ServiceItem
    pump: str
    due: Band
    by: str
    running: float | None
    starts: float | None
    calendar: float | None


def service_rows(run: Days) -> tuple[ServiceRow, ...]:
    """Return the items a plant needs, the soonest due first."""
    plant, told = run.prepared.draw.plant, run.tally.of_train
    several, found, shared = len(plant.trains) > 1, [], set()
    for place, train in enumerate(plant.trains):
        assert train.pump is not None
        share = (told[:, place, m.LOADED] + told[:, place, m.IDLE]) / run.tally.length
        rate = told[:, place, m.STARTS] / run.tally.length
        for item in service_items(
            train.pump.lubrication, fitted=parts_needing_care(run.prepared.draw, run.prepared.numbers, place=place)
        ):
            if item.name in shared:
                continue
            if item.name in SHARED:
                shared.add(item.name)
            found.append(_row(item, "" if item.name in SHARED or not several else train.name, share, rate))
    return tuple(sorted(found, key=lambda row: row.due.likely))


def taken_for_granted(run: Days) -> str:
    """Return what is taken of pumps whose lubrication nobody told; empty where all did."""
    unknown = [t for t in run.prepared.draw.plant.trains if t.pump is not None and t.pump.lubrication == "unknown"]
    return f"How the pump is oiled is not told (pump.lubrication): taken as {OILED[0]}." if unknown else ""


def interval_text(row: ServiceRow) -> str:
    """Return an item's intervals as a shop says them: ``500 h or 6 months``."""
    words = []
    if row.running is not None:
        words.append(f"{row.running / HOUR:.0f} h")
    if row.starts is not None:
        words.append(f"{row.starts:,.0f} starts".replace(",", " "))
    if row.calendar is not None:
        words.append(calendar_text(row.calendar))
    return " or ".join(words)


def due_text(row: ServiceRow) -> str:
    """Return when an item is due, and why then."""
    if row.by == "calendar":
        return calendar_text(row.due.likely)
    low, likely, high = (calendar_text(t) for t in (row.due.low, row.due.likely, row.due.high))
    spread = "" if low == high else f" ({low} to {high})"
    return f"{likely}{spread} by {'running' if row.by == 'running' else 'starts'}"


def calendar_text(time: float) -> str:
    """Return a time by the calendar: days, weeks, months or years."""
    days = time / DAY
    for most, length, one in ((20.5, 1.0, "day"), (59.0, 7.0, "week"), (710.0, 365.0 / 12.0, "month")):
        if days < most:
            count = max(round(days / length), 1)
            return f"{count} {one}{'s' * (count > 1)}"
    years = f"{days / 365.0:.1f}".removesuffix(".0")
    return f"{years} years"


def _row(item: ServiceItem, pump: str, share: NDArray[np.float64], rate: NDArray[np.float64]) -> ServiceRow:
    due = service_due(item, running_share=share, start_rate=rate)
    ways = {"running": due.by_running, "starts": due.by_starts, "calendar": due.by_calendar}
    first = {name: int(np.sum(times <= due.first)) for name, times in ways.items()}
    by = max(first, key=lambda name: first[name])
    running, starts, calendar = (v if v < NEVER else None for v in (item.running, item.starts, item.calendar))
    return ServiceRow(item, pump, band_of(due.first), by, running, starts, calendar)
