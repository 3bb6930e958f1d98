"""Care of a plant as a printed list: each month, the rest with dates, and the water to expect."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from airfettle.findings.checklists.care import CareItem, care_items, condensate
from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.findings.checklists.words import between, water
from airfettle.parts.service import DAY, HOUR, NEVER, ServiceItem
from airfettle.report.blocks import Block, Checks, Column, Heading, Leaf, Signed, Table, Words
from airfettle.report.service_rows import calendar_text, due_text, interval_text, service_rows
from airfettle.studies.bands import Band, bands
from airfettle.studies.day import machine as m
from airfettle.studies.day.days import Days

SOURCES = ("practice", "airfettle-day", "osha-1910-147-d", "osha-1910-169")
MONTH = 31.0
"""What is due within this is done on the round of the month. [day]"""
STANDING = (
    "Stop, lock off, let the pressure out before belt, pump, valves or drive are touched. The makers' sheets and the "
    "law for vessels come first; where they ask for less time, theirs counts."
)
BY_HOURS = "Running hours are not known: {why}. Fit an hour meter, write its reading down each month."
NO_USES, NOT_RUN = "no uses are told", "this list was made without running its days"
WEEK_HOURS = "It runs about {hours} a week, {loaded} of them loaded, with about {starts} starts."
WATER = "What is caught carries oil: collect it, never to soil or drain. Far less than this: a drain is stuck."


@dataclass(frozen=True)
class Due:
    """One item with when it is due: name, how, every, next, and the days until then at most."""

    what: str
    do: str
    every: str
    when: str
    days: float


def care_leaf(this: ThisPlant, *, days: Days | None) -> Leaf:
    """Return the care of a plant, by its days where it was run through them, else by hours alone."""
    due = _by_days(days) if days is not None else [_by_hours(care) for care in care_items(this)]
    blocks: list[Block] = [Signed("warning", STANDING)]
    blocks += [Signed("danger", f"Holds now: {finding.says} {finding.do}") for finding in this.dangers]
    blocks.append(Words(_unknown(this) if days is None else _pace(this, days), strong=True))
    often = [d for d in due if d.days <= MONTH]
    if often:
        blocks += [
            Heading("Within each month"),
            Checks(tuple((f"{d.what}: {d.do}", "", _each(d.every)) for d in often)),
        ]
    blocks += [Heading("Month by month"), _meter(this), Heading("Seldom: by hours or date, whichever comes first")]
    blocks.append(_table([d for d in due if d.days > MONTH]))
    blocks += _water(this, days)
    return Leaf("care", "Care, by hours and months", tuple(blocks), SOURCES)


def _by_days(days: Days) -> list[Due]:
    rows = service_rows(days)
    return [
        Due(_titled(row.item.name, row.pump), row.item.do, interval_text(row), due_text(row), row.due.likely / DAY)
        for row in rows
    ]


def _by_hours(care: CareItem) -> Due:
    item = care.item
    words = []
    if item.running < NEVER:
        words.append(f"{item.running / HOUR:.0f} h")
    if item.starts < NEVER:
        words.append(f"{item.starts:,.0f} starts".replace(",", " "))
    if item.calendar < NEVER:
        words.append(calendar_text(item.calendar))
    return Due(_titled(item.name, care.pump), item.do, " or ".join(words), _later(item), item.calendar / DAY)


def _later(item: ServiceItem) -> str:
    return f"{calendar_text(item.calendar)} at the latest" if item.calendar < NEVER else "by the hour meter"


def _unknown(this: ThisPlant) -> str:
    return BY_HOURS.format(why=NOT_RUN if any(not use.absent for use in this.plant.use) else NO_USES)


def _each(every: str) -> str:
    return "Each day." if every == "1 day" else f"Every {every}."


def _titled(name: str, pump: str) -> str:
    title = f"{name[0].upper()}{name[1:]}"
    return f"{pump}: {title}" if pump else title


def _pace(this: ThisPlant, days: Days) -> str:
    """The plant's hours and starts in a week."""
    tally = days.tally
    weeks = tally.length / (7.0 * DAY)
    loaded = tally.of_train[:, :, m.LOADED].sum(axis=1) / weeks
    running = loaded + tally.of_train[:, :, m.IDLE].sum(axis=1) / weeks
    starts = tally.of_train[:, :, m.STARTS].sum(axis=1) / weeks
    text = between(_band(starts), kind="number", units=this.units)
    return WEEK_HOURS.format(hours=_hours(running), loaded=_hours(loaded), starts=text)


def _hours(seconds: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> str:
    band = _band(seconds)
    return f"{band.low / HOUR:.0f} to {band.high / HOUR:.0f} h"


def _band(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Band:
    return bands(np.asarray(values, dtype=np.float64).reshape(-1, 1))[0]


def _meter(this: ThisPlant) -> Table:
    """Readings that tell of wear long before anything breaks, with blanks for six months."""
    months = tuple(Column("", 0.8, blank=True) for _ in range(6))
    rows = [("Date", ""), ("Hour meter", "")]
    rows += [(f"{t.of}Motor amps near cut-out", this.shown("motor_current", train=t.name)) for t in this.trains]
    rows += [(f"{t.of}Air at the outlet, warm", this.shown("discharge_temperature", train=t.name)) for t in this.trains]
    tank = this.trials.tank
    if tank is not None:
        rows.append(("Cut-in to cut-out, main shut", between(tank.from_cut_in.band, kind="time", units=this.units)))
        most = tank.most_fall.band.low
        limit = between(Band(most, most, most, most), kind="pressure_difference", units=this.units)
        rows.append(("Fall in 10 min, all shut, cold", f"below {limit}"))
    blanks = ("",) * len(months)
    return Table((Column("Read", 2.2), Column("Expect", 1.6), *months), tuple((*row, *blanks) for row in rows),
                 name="month by month")  # fmt: skip


def _table(due: Sequence[Due]) -> Table:
    blanks = tuple(Column("Done on", 0.9, blank=True) for _ in range(3))
    columns = (Column("What", 1.6), Column("How", 2.8), Column("Every", 1.2), Column("Next, once done", 1.4), *blanks)
    rows = tuple((d.what, d.do, d.every, d.when, "", "", "") for d in due)
    return Table(columns, rows, name="care")


def _water(this: ThisPlant, days: Days | None) -> Iterator[Block]:
    """Yield the water to expect: in an hour at full speed, and in a week at this plant's pace."""
    loaded = None
    if days is not None:
        hours = days.tally.of_train[:, :, m.LOADED].mean(axis=1) / days.tally.length * 7.0 * DAY / HOUR
        loaded = float(np.median(hours))
    yield Heading("Water to expect")
    rows = []
    for found in condensate(this):
        for where, band in (("before the receiver", found.before), ("in the receiver", found.receiver),
                            ("behind it", found.after)):  # fmt: skip
            if band.high > 0.0:
                rows.append((found.season, where, water(band), _week(band, loaded)))
    title = "In a week" if loaded is None else f"In a week of {loaded:.0f} loaded hours"
    yield Table((Column("Days", 1.4), Column("Where", 1.6), Column("In an hour at full speed", 1.6),
                 Column(title, 1.6)), tuple(rows), name="water")  # fmt: skip
    yield Words(WATER)


def _week(band: Band, hours: float | None) -> str:
    if hours is None:
        return "times the week's hours"
    return water(Band(*(value * hours for value in (band.low, band.likely, band.high, band.at_likely))))
