"""Sizes of pipe in the terminal: what to buy, run by run, what each tool gains, whom no pipe can help."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from airfettle.quantity import shown_unit
from airfettle.report.day_table import emphasised
from airfettle.report.pipes_rows import distance, spread
from airfettle.report.pipes_table import MOST_TOOLS, fitted
from airfettle.report.pipes_words import place_name, share, supply_words
from airfettle.report.sizes_words import (
    SizesTold,
    do_words,
    fast_words,
    maker_words,
    part_name,
    search_words,
    sizes_headline,
    smaller_words,
    to_buy,
    weight_words,
)
from airfettle.report.words import CAUTION


def sizes_table(told: SizesTold, *, width: int = 100) -> RenderableType:
    """Return sizes of pipe for a rich console of a width."""
    parts: list[RenderableType] = [Text(sizes_headline(told), style="bold")]
    parts += [Text(supply_words(told.run, told.run.draw.plant.about.units)), "", _parts(told, width)]
    fast = fast_words(told)
    parts += [Text(fast, style="dim")] if fast else []
    parts += [
        "",
        *_tools(told, width),
        *_rest(told),
        Text(_basis(told), style="dim"),
        "",
        Text(CAUTION, style="italic"),
    ]
    return Group(*parts)


def _parts(told: SizesTold, width: int) -> RenderableType:
    buy = to_buy(told.found)
    lines = []
    for g, part in enumerate(told.found.parts):
        speed = emphasised(spread(told.fastest[g], kind="linear_speed", units=told.units, bare=True))
        if told.fast(g):
            speed.append("*")
        lines.append([
            Text(part_name(part)), Text(distance(part.length, told.units)), Text(part.now.text), Text(part.found.text),
            speed,
        ])  # fmt: skip
    bold = [g for g, part in enumerate(told.found.parts) if part in buy]
    unit = shown_unit("linear_speed", told.units)
    return fitted(
        ["run", "length", "now", "enough with", f"fastest air then, {unit}"], lines, width=width, bold=bold
    )  # fmt: skip


def _tools(told: SizesTold, width: int) -> Iterator[RenderableType]:
    """Each tool's share of the draw with enough, before and after; those worst off first."""
    found, places = told.found, told.run.places
    order = sorted(range(len(places)), key=lambda j: (j not in found.beyond_pipe, found.before[j]))
    lines = [
        [Text(place_name(places[j])), Text(share(found.before[j])), Text(share(found.after[j])),
         Text("no" if j in found.beyond_pipe else "yes")] for j in order[:MOST_TOOLS]
    ]  # fmt: skip
    yield fitted(["tool", "enough now, of the draw", "with these sizes", "pipe can do it"], lines, width=width)
    rest = order[MOST_TOOLS:]
    if rest:
        good = sum(found.after[j] >= found.certainty for j in rest)
        words = "all have enough then" if good == len(rest) else f"{good} have enough then"
        yield Text(f"{len(rest)} more tools: {words}; --json tells each.")
    yield ""


def _rest(told: SizesTold) -> Iterator[RenderableType]:
    """What to do for tools no pipe can help, what it weighs, and how far it was searched."""
    for one in told.beyond:
        yield Text(do_words(told, one))
    more = len(told.found.beyond_pipe) - len(told.beyond)
    if more > 0:
        yield Text(f"{more} more tools that no pipe can help: airfettle pipes FILE --running NAME looks at one.")
    for words in (smaller_words(told), maker_words(told), *weight_words(told), search_words(told)):
        if words:
            yield Text(words)
    yield ""


def _basis(told: SizesTold) -> str:
    found = told.found
    return (
        f"Every set of tools to which none can be added, receiver at cut-in; enough in {share(found.certainty)} of the "
        f"first {told.found.rows} of {told.run.draw.rows} plants that fit the file; seed "
        f"{told.run.draw.seed}. Coupler, hose and fittings stay as they are told."
    )
