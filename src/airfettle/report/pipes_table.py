"""The shop's pipe in the terminal: the answer, the tools, the way to the worst, what helps, runs, how it lies."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np
from rich.console import Group, RenderableType
from rich.text import Text

from airfettle.quantity import shown_unit
from airfettle.report.day_table import NOTHING, column_widths, emphasised, table_of
from airfettle.report.pipes_rows import (
    PipesTold,
    RunSummary,
    distance,
    place_rows,
    shown_kind,
    spread,
    step_rows,
    summaries,
    text_of,
)
from airfettle.report.pipes_words import (
    basis,
    change_name,
    danger_words,
    enough_of,
    fast_words,
    headline,
    left_over,
    low_point_words,
    place_name,
    share,
    supply_words,
    then_enough,
    volume_words,
)
from airfettle.report.words import CAUTION

MOST_TOOLS, MOST_CHANGES, MOST_LINES, MOST_FINDINGS = 12, 8, 12, 6
"""Lines of each table; the rest is counted, and stands in the JSON. [-]"""


def pipes_table(told: PipesTold, *, width: int = 100) -> RenderableType:
    """Return a shop's pipe for a rich console of a width."""
    parts: list[RenderableType] = [Text(words, style="bold") for words in danger_words(told)]
    parts += [Text(headline(told), style="bold"), Text(supply_words(told.run, told.units)), ""]
    parts += [*_tools(told, width), *_way(told, width), *_changes(told, width), *_lines(told, width)]
    parts += [*_lies(told, width), *_found(told), Text(basis(told), style="dim"), "", Text(CAUTION, style="italic")]
    return Group(*parts)


def fitted(
    heads: Sequence[str], lines: Sequence[Sequence[Text]], *, width: int, bold: Collection[int] = ()
) -> RenderableType:  # fmt: skip
    """Return a table, or on a terminal too narrow for one a block for each of its lines."""
    columns = [[head, *(line[place].plain for line in lines)] for place, head in enumerate(heads)]
    inside = width - len(heads) + 1  # less the gaps between the columns
    if sum(column_widths(columns, width=inside)) + len(heads) <= inside:
        return table_of(heads, lines, width=inside, bold=bold)
    blocks: list[RenderableType] = []
    for line in lines:
        blocks.append(Text(line[0].plain, style="bold"))
        blocks += [Text.assemble(f"  {head}: ", cell) for head, cell in zip(heads[1:], line[1:], strict=True)]
    return Group(*blocks)


def _unit(told: PipesTold, name: str, kind: str) -> str:
    unit = shown_unit(shown_kind(name, kind), told.units)
    return f", {unit}" if unit.strip("-") else ""


def _tools(told: PipesTold, width: int) -> Iterator[RenderableType]:
    """The tools, the running ones first, the worst off on top."""
    places = told.run.places
    order = sorted(range(len(places)), key=lambda j: (not places[j].runs, left_over(places[j])))
    shown = order[:MOST_TOOLS]
    heads = {
        "gauge": "at its inlet", "needed": "needs", "alone": "when alone", "enough_share": "of its time with enough"
    }  # fmt: skip
    kinds = {"gauge": "pressure", "needed": "pressure", "alone": "pressure", "enough_share": "fraction"}
    lines = []
    for j in shown:
        rows = place_rows(told, j)
        cells = {
            name: emphasised(text_of(rows[name], units=told.units, bare=True)) if name in rows else Text(NOTHING)
            for name in heads
        }
        if not places[j].runs:
            cells["gauge"] = Text("stands")
        lines.append([Text(place_name(places[j])), *cells.values()])
    columns = [f"{head}{_unit(told, name, kinds[name])}" for name, head in heads.items()]
    yield fitted(["tool", *columns], lines, width=width)
    rest = order[MOST_TOOLS:]
    if rest:
        good = sum(enough_of(places[j]) >= told.run.draw.plant.about.certainty for j in rest)
        words = "all have enough" if good == len(rest) else f"{good} have enough, {len(rest) - good} may be short"
        yield Text(f"{len(rest)} more tools: {words}; --json tells each.")
    yield ""


def _way(told: PipesTold, width: int) -> Iterator[RenderableType]:
    """The way to the tool worst off, part by part."""
    run, units = told.run, told.units
    if not run.way:
        return
    typical = [float(np.median(step.lost)) for step in run.way]
    lines = []
    for step in run.way:
        rows = step_rows(told, step)
        lines.append([Text(step.name), *(emphasised(text_of(row, units=units, bare=True)) for row in rows.values())])
    whole = spread(run.answers.total_drop, kind="pressure_difference", units=units, bare=True)
    lines.append([Text("all of it"), emphasised(whole), Text(NOTHING)])
    heads = [f"way to {place_name(run.places[run.worst])}", f"loses{_unit(told, '', 'pressure_difference')}",
             "of all that is lost, %"]  # fmt: skip
    yield fitted(heads, lines, width=width, bold=[int(np.argmax(typical))])
    yield ""


def _changes(told: PipesTold, width: int) -> Iterator[RenderableType]:
    """What one change gives the tool worst off."""
    tried, units = told.tried, told.units
    if not tried.changes:
        yield Text("No single change gives the tool worst off anything worth a line.")
        yield ""
        return
    worst = told.run.places[told.run.worst]
    lines = [[Text("as it is"), Text(NOTHING), Text(share(tried.enough)), Text(share(tried.every)), Text(NOTHING)]]
    for change in tried.changes[:MOST_CHANGES]:
        gain = spread(change.gain, kind="pressure_difference", units=units, bare=True)
        lines.append([
            Text(change_name(change, units)), emphasised(gain), *(Text(words) for words in then_enough(change)),
            Text(distance(change.pipe, units) if change.pipe > 0.0 else NOTHING),
        ])  # fmt: skip
    yield fitted(
        ["one change", f"gives {worst.name}{_unit(told, '', 'pressure_difference')}", "it then has enough in",
         "all have enough in", "new pipe"], lines, width=width,
    )  # fmt: skip
    more = len(tried.changes) - MOST_CHANGES
    if more > 0:
        yield Text(f"{more} more changes that give less: --json tells them.")
    yield ""


def _lines(told: PipesTold, width: int) -> Iterator[RenderableType]:
    """Runs, then drops: those first that lose most."""
    every = sorted(summaries(told), key=lambda s: (not s.is_run, -float(np.median(s.lost))))
    shown = [s for s in every if s.is_run or np.median(s.flow) > 0.0][:MOST_LINES]
    kinds = {"air": "reference_flow", "speed": "linear_speed", "loses": "pressure_difference"}
    heads = ["run or drop", "length", *(f"{head}{_unit(told, '', kind)}" for head, kind in kinds.items())]
    paid = any(s.power is not None for s in shown)
    heads += [f"costs in a year{_unit(told, '', 'energy')}"] if paid else []
    yield fitted(heads, [_line(told, s, paid=paid) for s in shown], width=width)
    if len(every) > len(shown):
        yield Text(f"{len(every) - len(shown)} more, of less loss or without air now: --json tells them.")
    if any(s.is_fast for s in shown):
        yield Text(fast_words(told), style="dim")
    yield ""


def _line(told: PipesTold, one: RunSummary, *, paid: bool) -> list[Text]:
    units = told.units
    cells = [Text(f"{'run' if one.is_run else 'drop'} {one.name}, {one.pipe}"),
             Text(distance(float(np.median(one.length)), units))]  # fmt: skip
    for values, kind in ((one.flow, "reference_flow"), (one.speed, "linear_speed"), (one.lost, "pressure_difference")):
        cells.append(emphasised(spread(values, kind=kind, units=units, bare=True)))
    if one.is_fast:
        cells[3].append("*")
    if paid:
        opened = told.run.answers.open_time
        energy = None if one.power is None or opened is None else one.power * opened
        cells.append(Text(NOTHING) if energy is None else
                     emphasised(spread(energy, kind="energy", units=units, bare=True)))  # fmt: skip
    return cells


def _lies(told: PipesTold, width: int) -> Iterator[RenderableType]:
    """How the pipe lies, what it holds and what it leaks."""
    units = told.units
    names = {"volume": "holds", "grows": "grows with warmth", "empties": "empties in", "dew_distance": "over dew point"}
    kinds = {"volume": "volume", "grows": "length", "empties": "time", "dew_distance": "temperature_difference"}
    lines = []
    for lies in told.lies[:MOST_LINES]:
        cells = [emphasised(spread(getattr(lies, name), kind=kinds[name], units=units, bare=True)) for name in names]
        apart = distance(float(np.median(lies.spacing)), units)
        lines.append([Text(f"run {lies.name}"), *cells, Text(f"{lies.supports}, {apart} apart")])
    heads = [f"{head}{_unit(told, '', kinds[name])}" for name, head in names.items()]
    yield fitted(["how it lies", *heads, "supports"], lines, width=width)
    wet = [lies.name for lies in told.lies if lies.coldest_told and np.mean(lies.dew_distance < 0.0) >= 0.5]
    if wet:
        yield Text(f"Water falls out in {', '.join(f'run {name}' for name in wet[:MOST_LINES])}: its coldest place is "
                   "below the dew point.")  # fmt: skip
    yield from (Text(words) for words in (*low_point_words(told), *volume_words(told)))
    yield ""


def _found(told: PipesTold) -> Iterator[RenderableType]:
    """What was found about the pipe, worst first."""
    holds = [f for f in told.findings if f.state in ("holds", "may hold")]
    asked = sum(f.state == "not told" for f in told.findings)
    if not holds and not asked:
        return
    yield Text("Found about the pipe; airfettle findings FILE says what to do:", style="bold")
    for finding in holds[:MOST_FINDINGS]:
        may = f" (in {share(finding.probability or 0.0)} of the draw)" if finding.state == "may hold" else ""
        yield Text.assemble((f"  {finding.signal.upper()} ", "bold"), f"{finding.rule}{may}: {finding.says}")
    if len(holds) > MOST_FINDINGS:
        yield Text(f"  {len(holds) - MOST_FINDINGS} more.")
    if asked:
        yield Text(f"  {asked} question{'s' * (asked > 1)} about it not answered.")
    yield ""
