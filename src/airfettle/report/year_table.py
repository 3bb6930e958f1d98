"""Years in the terminal: the answer first, every number with its spread, the tools, what care is due when."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from airfettle.report.day_table import answers_table, notes, table_of, title_block, tools_table, trains_table
from airfettle.report.day_words import headline, what_to_write
from airfettle.report.service_rows import due_text, interval_text, service_rows, taken_for_granted
from airfettle.report.words import CAUTION
from airfettle.studies.day.days import Days


def year_table(run: Days, *, width: int = 100, go_on: str = "") -> RenderableType:
    """Return years for a rich console of a width; with how to go on where they were stopped."""
    parts: list[RenderableType] = []
    if len(run.tally.paths) < run.tally.wanted:
        parts += [Text(f"{stopped(run)} {go_on}".strip(), style="bold"), ""]
    parts += [Text(headline(run, year=True), style="bold"), ""]
    if not run.prepared.uses:
        parts += [Text(what_to_write(run.prepared.draw.plant.about.units)), ""]
    parts += [Text(CAUTION, style="italic"), "", answers_table(run, width=width, year=True), ""]
    parts += [
        *trains_table(run, width=width),
        *tools_table(run, width=width, year=True),
        *_service(run, width),
        *notes(run, year=True),
    ]
    return Group(*parts, title_block(run, year=True))


def stopped(run: Days) -> str:
    """Return how far it came before it was stopped."""
    done = len(run.tally.paths)
    these = "this one" if done == 1 else f"these {done}"
    return f"Stopped after {done} of {run.tally.wanted} years; what follows is of {these}."


def _service(run: Days, width: int) -> Iterator[RenderableType]:
    rows = service_rows(run)
    lines = []
    for row in rows:
        name = f"{row.item.name} ({row.pump})" if row.pump else row.item.name
        care = Text.assemble((name, "bold"), f": {row.item.do}")
        lines.append([care, Text(interval_text(row)), Text(due_text(row))])
    yield table_of(["care", "every", "here after"], lines, width=width)
    words = (
        "By the calendar where nothing else is said; whichever comes first. Common practice, no source: the sheet of "
        "the part's maker comes first, and for vessels the law. Before a hand goes near: switch off, lock out, let the "
        "air out, let it cool."
    )
    yield Text(f"{words} {taken_for_granted(run)}".strip())
    yield ""
