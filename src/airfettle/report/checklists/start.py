"""The first start as a printed list: what must not be done first, then steps with a blank beside what is expected."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from airfettle.findings.checklists.first_start import first_start
from airfettle.findings.checklists.step import LOCK, Step
from airfettle.findings.checklists.this_plant import ThisPlant, point_words
from airfettle.report.blocks import Block, Checks, Column, Heading, Leaf, Signed, Table, Words

SOURCES = (
    "osha-1910-147-d", "ieee-43", "narrow-groove-guide", "nema-mg10", "asme-viii-1-ug-136", "drive-storage-notes",
    "airfettle-equations", "practice",
)  # fmt: skip
TWO = (
    "Two people: one reads, one stands at the stop. Guards on, ears and eyes protected. Local codes and licensed "
    "people decide what is done live and who does it."
)
BANDS = "Expect: nine of ten plants like this one lie between the two ends. Outside: stop at that step, not after it."
STOPPED = (
    "The steps with power and pressure are left out while this holds. Cure it, write it down in the plant file, "
    "and ask for this list again."
)


def start_leaf(this: ThisPlant) -> Leaf:
    """Return the first start of a plant."""
    steps = first_start(this)
    blocks: list[Block] = [*_stopped(this), Signed("warning", TWO), *_asked(this), Words(BANDS)]
    number = 1
    for group, some in groupby(steps, key=lambda step: step.group):
        these = tuple(some)
        blocks += [Heading(group), _table(group, these, number)]
        number += len(these)
    if this.stopped:
        blocks.append(Words(STOPPED, strong=True))
    blocks += _readings(this, steps)
    return Leaf("start", "First start, step by step", tuple(blocks), SOURCES)


def _stopped(this: ThisPlant) -> Iterator[Block]:
    """Say first that it must not be started, where a danger holds."""
    if this.stopped:
        yield Words("Do not energise or pressurise until this is cured:", strong=True)
        for finding in this.stopped:
            yield Signed(finding.signal, f"{finding.says} {finding.do}")


def _asked(this: ThisPlant) -> Iterator[Block]:
    if this.asked:
        yield Heading("Answer these first: each may hide a danger. An answer that is bad: do not start")
        yield Checks(tuple((f.says.removeprefix("Not told: "), "", f.do) for f in this.asked))


def _table(group: str, steps: Sequence[Step], first: int) -> Table:
    blank = "Done" if group == LOCK else "Read"
    columns = (
        Column("", 0.4, "right"), Column("Do", 3.4), Column("Expect", 2.4), Column(blank, 1.0, blank=True),
        Column("If not", 2.4),
    )  # fmt: skip
    rows = tuple((str(n), step.do, step.expect, "", step.otherwise) for n, step in enumerate(steps, start=first))
    return Table(columns, rows, name=group.lower())


def _readings(this: ThisPlant, steps: Sequence[Step]) -> Iterator[Block]:
    """Yield how the readings go back into the plant file."""
    rows = []
    for number, step in enumerate(steps, start=1):
        for found in step.readings:
            if found.readable:
                hertz, gauge = point_words(found, units=this.units)
                pumped = found.name == "pump_up_time"
                rows.append((str(number), found.name, "" if pumped else found.train, hertz,
                             f"from_pressure 0, to_pressure {gauge}" if pumped else gauge, ""))  # fmt: skip
    if rows:
        yield Heading("Back into the plant file")
        yield Words("Each of these is a [[reading]]: what, value, by, frequency, receiver_pressure. Then everything is "
                    "computed again from the plant as it is.")  # fmt: skip
        columns = (Column("Step", 0.5, "right"), Column("what", 2.0), Column("part", 1.0), Column("frequency", 1.0),
                   Column("receiver_pressure", 2.0), Column("value", 1.2, blank=True))  # fmt: skip
        yield Table(columns, tuple(rows), name="readings")
