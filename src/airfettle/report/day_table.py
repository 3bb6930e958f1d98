"""A day in the terminal: the answer first, a picture, every number with its spread, the tools, what is left out."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from rich import box
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from airfettle.quantity import Units, shown_unit
from airfettle.report.day_plot import day_plot
from airfettle.report.day_rows import Row, answer_rows, shown, tool_rows, train_rows
from airfettle.report.day_words import (
    cut_in_and_out,
    headline,
    how_it_runs,
    left_out,
    rows_by_group,
    weekday,
    what_to_write,
)
from airfettle.report.words import CAUTION
from airfettle.studies.day.days import Days
from airfettle.studies.day.prepared import DAY

GROUPS: dict[str, tuple[str, ...]] = {
    "air": ("enough_share", "longest_shortage", "lowest_pressure", "lost_share"),
    "starts and running": ("starts_year", "starts_mean", "starts_worst", "running_year", "running_time", "loaded_share",
                           "idle_share", "quiet_share", "shortest_off", "shortest_run"),
    "electricity": ("energy_day", "cost_day", "energy_year", "cost_year"),
    "water": ("water_year", "water_between", "water_separator", "water_receiver", "water_after", "water_sent",
              "receiver_fills", "separator_fills", "dryer_overloaded", "dryer_most", "beads_last"),
    "heat": ("hottest_air", "hottest_wall", "hottest_winding", "hottest_cooler", "warmest_crankcase", "cold_share"),
    "sound": ("sound_osha", "sound_niosh"),
}  # fmt: skip
"""Answers in the order they are read, under the words a practitioner would look for."""
TOOL_HEADS = {
    "on_time": "runs in a day", "enough_share": "enough pressure, of that time", "air_share": "of all air drawn",
    "shortage_share": "of the air drawn in shortages",
}  # fmt: skip
TRAIN_HEADS = {
    "running": "runs", "loaded": "of it loaded", "starts": "starts", "starts_worst": "most starts within an hour",
    "energy": "electricity of motor and drive",
}  # fmt: skip
"""Heads of the columns, by answer."""
UNIT_SAID = {"start_rate": ""}
"""Units of kinds whose column's head says them."""
FIRST = 12
"""Width up to which a first column is not broken. [characters]"""
NOTHING = "-"
"""Shown where there is nothing to say."""


def day_table(run: Days, *, width: int = 100) -> RenderableType:
    """Return a day for a rich console of a width."""
    units = run.prepared.draw.plant.about.units
    parts: list[RenderableType] = [Text(headline(run), style="bold"), ""]
    if not run.prepared.uses:
        parts += [Text(what_to_write(units)), ""]
    parts += [Text(CAUTION, style="italic"), "", *_picture(run, width), answers_table(run, width=width), ""]
    parts += [*trains_table(run, width=width), *tools_table(run, width=width), *notes(run), title_block(run)]
    return Group(*parts)


def _picture(run: Days, width: int) -> Iterator[RenderableType]:
    """The traced day as a picture."""
    if run.traced is not None and len(run.traced.books.trace):
        yield day_plot(run, width=width)
        yield ""


def answers_table(run: Days, *, width: int, year: bool = False) -> Table:
    """Return every answer with its spread, in groups."""
    about = run.prepared.draw.plant.about
    groups = rows_by_group(answer_rows(run, year=year), GROUPS)
    table = plain_table()
    table.add_column("")
    paths = len(run.tally.paths)
    of_all = (
        f"likely, and 9 of 10 {'years' if year else 'chances'}" if paths > 1 else f"one {'year' if year else 'day'}"
    )
    table.add_column(of_all)
    for group, rows in groups.items():
        table.add_row(Text(group, style="bold"), "")
        for row in rows:
            table.add_row(
                Padding(_label(row, paths, year), (0, 0, 0, 2)),
                emphasised(shown(row, units=about.units, currency=about.currency)), end_section=row is rows[-1],
            )  # fmt: skip
    return table


def _label(row: Row, paths: int, year: bool) -> str:
    """The label, and over how many paths where some say nothing."""
    return row.label if row.paths == paths else f"{row.label} ({row.paths} of {paths} {'years' if year else 'chances'})"


def plain_table() -> Table:
    """Return a table without a frame."""
    return Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0), show_edge=False, header_style="bold")


def emphasised(text: str) -> Text:
    """Return a number with its likely value in bold."""
    number, _, spread = text.partition(" ")
    return Text.assemble((number, "bold"), f" {spread}" if spread else "")


def tools_table(run: Days, *, width: int, year: bool = False) -> Iterator[RenderableType]:
    """Yield what each tool had, where there are any."""
    tools, units = tool_rows(run), run.prepared.draw.plant.about.units
    if not any("enough_share" in rows for _, rows in tools):
        return
    yield _by_name("tool", tools, _heads_of(tools, TOOL_HEADS), units=units, width=width)
    never = [name for name, rows in tools if "enough_share" not in rows]
    if never:
        yield Text(f"{NOTHING} does not run {'in the year' if year else f'on a {weekday(run)}'}.", style="dim")
    yield ""


def trains_table(run: Days, *, width: int) -> Iterator[RenderableType]:
    """Yield what each pump did, where there are several."""
    trains, units = train_rows(run), run.prepared.draw.plant.about.units
    if len(trains) > 1:
        yield _by_name("pump", trains, TRAIN_HEADS, units=units, width=width)
        yield ""


def _heads_of(named: tuple[tuple[str, dict[str, Row]], ...], heads: dict[str, str]) -> dict[str, str]:
    return {name: head for name, head in heads.items() if any(name in rows for _, rows in named)}


def _by_name(
    first: str, named: tuple[tuple[str, dict[str, Row]], ...], heads: dict[str, str], *, units: Units, width: int
) -> Table:  # fmt: skip
    kinds = {name: row.kind for _, rows in named for name, row in rows.items()}
    unit = {name: UNIT_SAID.get(kinds[name], shown_unit(kinds[name], units)) for name in heads}
    columns = [f"{head}, {unit[name]}" if unit[name].strip("-") else head for name, head in heads.items()]
    lines = [
        [Text(name), *(_without_unit(rows[n], units) if n in rows else Text(NOTHING) for n in heads)]
        for name, rows in named
    ]
    return table_of([first, *columns], lines, width=width)


def table_of(
    heads: Sequence[str], lines: Sequence[Sequence[Text]], *, width: int, bold: Collection[int] = ()
) -> Table:  # fmt: skip
    """Return a table for a width, whose columns are never narrower than their longest word."""
    table = plain_table()
    columns = [[head, *(line[place].plain for line in lines)] for place, head in enumerate(heads)]
    for head, wide in zip(heads, column_widths(columns, width=width), strict=True):
        table.add_column(head, width=wide, overflow="fold")
    for place, line in enumerate(lines):
        table.add_row(*line, style="bold" if place in bold else None)
    return table


def column_widths(columns: Sequence[Sequence[str]], *, width: int) -> list[int]:
    """Return widths of columns of texts: each at least its longest word, the rest by their wishes."""
    least = [max(len(word) for text in texts for word in text.split()) for texts in columns]
    wished = [max(len(part) for text in texts for part in text.split("\n")) for texts in columns]
    least[0] = max(least[0], min(wished[0], FIRST))
    spare = width - sum(least) - len(columns)
    more = [max(w - n, 0) for w, n in zip(wished, least, strict=True)]
    share = min(max(spare, 0) / max(sum(more), 1), 1.0)
    return [n + int(m * share) for n, m in zip(least, more, strict=True)]


def _without_unit(row: Row, units: Units) -> Text:
    return emphasised(shown(row, units=units).removesuffix(shown_unit(row.kind, units)).strip())


def notes(run: Days, *, year: bool = False) -> Iterator[RenderableType]:
    """Yield what is left out, and what was assumed."""
    yield Text("Left out:", style="bold")
    for words in left_out(run, year=year):
        yield Padding(Text(words), (0, 0, 0, 2))
    draw = run.prepared.draw
    if draw.assumed:
        counted = f"{len(draw.assumed)} of {len(draw.spans)} entries"
        yield Text.assemble(
            (f"Assumed, because nobody told: {counted}", "bold"),
            ", which widens the answers. airfettle rate FILE --assumed lists them.",
        )
    yield ""


def title_block(run: Days, *, year: bool = False) -> Table:
    """Return what was run, and how the numbers are to be read."""
    draw, paths = run.prepared.draw, len(run.tally.paths)
    own = f"on {paths} plants of the draw" if paths <= draw.rows else f"on {draw.rows} plants of the draw in turn"
    what = "years" if year else "chances"
    days = round(run.tally.length / DAY)
    block = Table(box=box.SQUARE, show_header=False, expand=False)
    block.add_row("plant", Text(draw.plant.about.name, style="bold"))
    block.add_row("run", f"{days} days from Monday 00:00" if year else f"{weekday(run)}, 24 h from 00:00")
    block.add_row("control", f"{how_it_runs(run)}; {cut_in_and_out(run)} by gauge")
    if paths > 1:
        block.add_row("spread", f"middle of {paths} {what}, {own}, and 9 of 10 of them (P50, P5 to P95)")
    else:
        block.add_row("spread", f"one {'year' if year else 'chance'}, of the plant at likely values")
    block.add_row("seed", str(run.seed))
    return block
