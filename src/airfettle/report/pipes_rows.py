"""The shop's pipe as rows with their bands: what table and JSON both say."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.finding import Finding
from airfettle.quantity import KINDS, Units, in_unit, shown_unit, toleranced
from airfettle.report.day_rows import Row
from airfettle.studies.bands import Band, bands
from airfettle.studies.meaning import meanings
from airfettle.studies.pipework.answers import LineAnswers, Step
from airfettle.studies.pipework.changes import Tried
from airfettle.studies.pipework.lies import LowPoint, RunLies
from airfettle.studies.pipework.shop import ShopRun

Array = NDArray[np.float64]

RUN_SPEED, DROP_SPEED = 6.0, 9.0
"""Fastest air of common practice in a run and in a drop. [m/s]  Source: pipe-speeds."""
IN_FEET = ("length", "spacing")
"""Lengths told by the foot or metre, not by the inch or millimetre. [text]"""
TWICE = ("line_area_length", "expansion_rate")
"""Numbers that are in the rows already, or say nothing to a shop. [text]"""
SHARES = ("enough_share", "lowest")
"""Answers that say nothing of a tool that never runs. [text]"""


@dataclass(frozen=True)
class PipesTold:
    """A shop's pipe with all that is said of it.

    Attributes
    ----------
    run : ShopRun
        The pipe worked out. [SI]
    tried : Tried
        What one change would give. [SI]
    lies : tuple of RunLies
        How each run lies. [SI]
    low_points : tuple of LowPoint or None
        Places from which water cannot run on; None where no heights are told.
    findings : tuple of Finding
        What was found about the pipe, worst first.
    asked : tuple of str
        Tools asked for by name; empty where all run that can at once. [text]
    at_cut_in : bool
        The receiver stands at cut-in, not at a pressure asked for.
    """

    run: ShopRun
    tried: Tried
    lies: tuple[RunLies, ...]
    low_points: tuple[LowPoint, ...] | None
    findings: tuple[Finding, ...]
    asked: tuple[str, ...] = ()
    at_cut_in: bool = True

    @property
    def units(self) -> Units:
        """Units of the plant's owner. [text]"""
        return self.run.draw.plant.about.units

    @property
    def currency(self) -> str:
        """Currency of the plant's owner. [text]"""
        return self.run.draw.plant.about.currency


@dataclass(frozen=True)
class RunSummary:
    """One run with its pieces together, or one drop.

    Attributes
    ----------
    name, pipe : str
        [text]
    is_run : bool
        A run, not a drop.
    length, flow, speed, lost : ndarray
        Length; most air and fastest air in any of its pieces; highest pressure along it less the lowest, shape
        (rows,). [m] [kg/s] [m/s] [Pa]
    power : ndarray or None
        Electricity that its loss costs, mean while the shop is at work. [W]
    on_worst_way : bool
        It is part of the way to the tool worst off.
    """

    name: str
    pipe: str
    is_run: bool
    length: Array
    flow: Array
    speed: Array
    lost: Array
    power: Array | None
    on_worst_way: bool

    @property
    def is_fast(self) -> bool:
        """Whether its air is most likely faster than common practice has it."""
        return float(np.median(self.speed)) > (RUN_SPEED if self.is_run else DROP_SPEED)


def band(values: Array) -> Band:
    """Return P5, P50 and P95 of an array of rows. [SI]"""
    return bands(np.asarray(values, dtype=np.float64)[:, None])[0]


def rows_of(result: Any, *, leave: Collection[str] = TWICE) -> dict[str, Row]:
    """Return the numbers of a result that there are, by id. [SI]"""
    found = {}
    for name, meaning in meanings(result).items():
        values = getattr(result, name)
        if name in leave or values is None or not np.isfinite(values).all():
            continue
        found[name] = Row(name, meaning.label, meaning.kind, meaning.note, band(values), len(values))
    return found


def shop_rows(told: PipesTold) -> dict[str, Row]:
    """Return what the pipe comes to as a whole. [SI]"""
    return rows_of(told.run.answers)


def place_rows(told: PipesTold, place: int) -> dict[str, Row]:
    """Return the numbers of one tool, by its place, without shares of time where it never runs. [SI]"""
    sets = told.run.sets
    never = float(sets.chance @ sets.on[:, place]) <= 0.0
    return rows_of(told.run.places[place], leave=SHARES if never else ())


def step_rows(told: PipesTold, step: Step) -> dict[str, Row]:
    """Return what one part of the way loses, and its share of all that is lost. [SI]"""
    whole = np.maximum(told.run.answers.total_drop, 1.0)
    return {
        "lost": _row("lost", "lost in it", "pressure_difference", step.lost),
        "share": _row("share", "of all that is lost on the way", "fraction", step.lost / whole),
    }


def gain_row(gain: Array) -> Row:
    """Return what the tool worst off gains by a change. [SI]"""
    return _row("gain", "gain of the tool worst off", "pressure_difference", gain)


def _row(name: str, label: str, kind: str, values: Array) -> Row:
    return Row(name, label, kind, "", band(values), len(values))


def summaries(told: PipesTold) -> tuple[RunSummary, ...]:
    """Return runs with their pieces together, then drops. [SI]"""
    grouped: dict[tuple[bool, str], list[LineAnswers]] = {}
    for line in told.run.lines:
        grouped.setdefault((bool(line.run), line.run or line.name), []).append(line)
    found = []
    for (is_run, name), lines in sorted(grouped.items(), key=lambda item: not item[0][0]):
        ends = np.stack([end for line in lines for end in (line.gauge_start, line.gauge_end)])
        powers = [line.loss_power for line in lines if line.loss_power is not None]
        found.append(RunSummary(
            name=name, pipe=", ".join(dict.fromkeys(line.pipe for line in lines)), is_run=is_run,
            length=np.sum([line.length for line in lines], axis=0),
            flow=np.max([np.abs(line.flow) for line in lines], axis=0),
            speed=np.max([line.speed for line in lines], axis=0), lost=ends.max(axis=0) - ends.min(axis=0),
            power=np.sum(powers, axis=0) if powers else None, on_worst_way=any(line.on_worst_way for line in lines),
        ))  # fmt: skip
    return tuple(found)


def text_of(row: Row, *, units: Units, currency: str = "", bare: bool = False) -> str:
    """Return a row with its spread in the owner's units, bare without the unit."""
    kind = shown_kind(row.name, row.kind)
    text = toleranced(row.band.low, row.band.likely, row.band.high, kind=kind, units=units)
    if row.kind == "money":
        return f"{text} {currency}".strip()
    return text.removesuffix(shown_unit(kind, units)).strip() if bare else text


def spread(values: Array, *, kind: str, units: Units, bare: bool = False) -> str:
    """Return an array of rows as likely value and tolerance in the owner's units, bare without the unit."""
    return text_of(_row("", "", kind, values), units=units, bare=bare)


def likely(values: Array, *, kind: str, units: Units) -> str:
    """Return the likely value alone, to the digits its spread deserves."""
    unit, number = shown_unit(kind, units), spread(values, kind=kind, units=units, bare=True).split()[0]
    value = in_unit(float(np.median(values)), kind=kind, unit=unit)
    return f"{number if float(number) or abs(value) < 1e-9 else f'{value:.1g}'} {unit}"


def distance(metres: float, units: Units) -> str:
    """Return a length of pipe in feet or metres."""
    unit = "ft" if units == "US" else "m"
    number = in_unit(metres, kind="length", unit=unit)
    return f"{number:.{0 if number >= 10.0 else 1}f} {unit}"


def shown_kind(name: str, kind: str) -> str:
    """Return the kind whose unit a number is shown in: lengths of pipe by the foot or metre."""
    return "altitude" if name in IN_FEET and kind == "length" else kind


def row_json(row: Row, *, units: Units) -> dict[str, Any]:
    """Return a row as a plain dict. [SI]"""
    return {
        "id": row.name, "label": row.label, "kind": row.kind, "unit": KINDS[row.kind].si, "low": row.band.low,
        "likely": row.band.likely, "high": row.band.high, "shown": text_of(row, units=units), "note": row.note,
    }  # fmt: skip
