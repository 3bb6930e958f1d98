"""Sizes of wires and devices of a plant as tables: what to fit, what it rests on, what is there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airfettle.quantity import Units, plain
from airfettle.report.blocks import Block, Column, Heading, Table, Words
from airfettle.studies.wiring.leakage import LeakageBudget
from airfettle.studies.wiring.reflection import LeadPeaks
from airfettle.studies.wiring.sized import Run, TrainWires

COLUMNS = (Column("What", 1.6), Column("At least", 1.7), Column("Rests on", 3.0), Column("There today", 1.7))
CODES = {"NEC": "by the NEC, copper at 75 °C", "IEC": "by IEC 60364, copper in PVC, in conduit on a wall"}
STATES = {"ok": "enough", "close": "enough but for the hottest days", "too small": "TOO SMALL", "large": "large",
          "too large": "TOO LARGE"}  # fmt: skip


def wire_size_blocks(
    sizes: Sequence[TrainWires], *, leakage: Sequence[LeakageBudget], peaks: Sequence[LeadPeaks | None], units: Units
) -> list[Block]:
    """Return sizes of wires and devices train by train, leakage to earth by supply, peaks at the motor by lead."""
    blocks: list[Block] = [Heading("Sizes of wires and devices")]
    for one in sizes:
        rows = list(_rows(one, units))
        strong = tuple(n for n, row in enumerate(rows) if "TOO " in row[3])
        title = f"{one.name}, {CODES[one.code]}" if one.name else f"Smallest sizes {CODES[one.code]}"
        blocks.append(Table(COLUMNS, tuple(rows), caption=title, strong=strong, name=f"sizes {one.name}".strip()))
        blocks += [Words(note) for note in one.notes]
    blocks += [Words(f"Leakage to earth: {budget.words}") for budget in leakage if budget.words]
    blocks += [Words(f"Peaks at the motor: {peak.words}") for peak in peaks if peak is not None and peak.words]
    return blocks


def _rows(one: TrainWires, units: Units) -> Iterator[tuple[str, str, str, str]]:
    for run in (one.supply, one.branch, one.motor):
        if run is not None:
            yield (f"wires {run.where}", _size(run), run.reason, _there(run))
    device, rating = one.device, one.device.there
    there = "not told" if rating is None else plain(rating, kind="current", units=units)
    state = f", {STATES[device.state]}" if device.state else ""
    yield ("breaker or fuses at the panel", device.words, device.reason, there + state)
    yield ("earth wire from the panel", one.earth.words, one.earth.more, "")
    if one.motor_earth != one.earth:
        yield ("earth wire to the motor", one.motor_earth.words, one.motor_earth.more, "")
    yield ("motor overload protection", one.overload.words, one.overload.why, "")
    yield ("disconnect that locks", one.disconnect.words, one.disconnect.why, "")


def _size(run: Run) -> str:
    if not run.size:
        return "larger than the sizes listed"
    thicker = f"; {run.thicker} to lose no more than 3 % of the volts" if run.thicker else ""
    return f"{run.size} Cu{thicker}"


def _there(run: Run) -> str:
    if run.there is None:
        return "not told"
    share = 100.0 * run.there.drop_share[1]
    return f"{run.there.told}, {STATES[run.there.state]}; loses {share:.2g} % of the volts"
