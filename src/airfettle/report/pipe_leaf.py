"""The pipe round the shop as a part of the build sheet: its drawing, the pressure at every tool, the pipe to buy."""

from __future__ import annotations

import re
from collections.abc import Sequence

from airfettle.drawings.pipes.plan import DESK, pipe_drawing
from airfettle.drawings.pipes.words import headline
from airfettle.findings.finding import Finding
from airfettle.report.blocks import Block, Column, Leaf, Picture, Signed, Table, Words
from airfettle.report.pipes_rows import distance, spread
from airfettle.studies.pipework.shop import ShopRun


def pipe_leaf(run: ShopRun, findings: Sequence[Finding] = ()) -> Leaf:
    """Return the pipe's drawing with tables of tools and of pipe; dangers and warnings of the pipe before them."""
    svg = pipe_drawing(run, width=DESK, carry_font=True)
    found = re.search(r'height="([\d.]+)"', svg)
    assert found is not None
    drawn = Picture(svg, headline(run), float(DESK), float(found[1]), turned=True)
    grave = [f for f in findings if f.state == "holds" and f.signal in ("danger", "warning")
             and any(part.partition(".")[0] == "shop_pipe" for part in f.parts)]  # fmt: skip
    signed = [Signed(f.signal, f"{f.says} {f.do}") for f in grave]
    blocks: tuple[Block, ...] = (*signed, Words(f"{headline(run)}.", strong=True), _tools(run), _pipes(run), drawn)
    return Leaf("pipe", "Pipe round the shop", blocks, ("airfettle-pipes", "pipe-speeds", "cac-drop"))


def _tools(run: ShopRun) -> Table:
    """Every tool with the pressure it gets while all run that can at once."""
    units = run.draw.plant.about.units
    rows = []
    for place in run.places:
        gets = spread(place.gauge, kind="pressure", units=units) if place.runs else "off"
        needs, alone = (spread(p, kind="pressure", units=units) for p in (place.needed, place.alone))
        rows.append((place.name, gets, needs, alone))
    columns = (Column("Tool", 2.0), Column("Gets", 1.2), Column("Needs", 1.2), Column("Gets when alone", 1.2))
    return Table(columns, tuple(rows), caption="Pressure at the inlet of each tool", name="tools")


def _pipes(run: ShopRun) -> Table:
    """Every length of pipe."""
    units = run.draw.plant.about.units
    rows = tuple(
        (line.name, line.pipe, distance(float(line.length[0]), units), line.fittings,
         spread(line.speed, kind="linear_speed", units=units))
        for line in run.lines
    )  # fmt: skip
    columns = (Column("Pipe", 2.0), Column("Size and material", 1.6), Column("Length", 0.8, "right"),
               Column("Fittings", 1.6), Column("Air in it", 1.2))  # fmt: skip
    return Table(columns, rows, caption="Lengths of pipe", name="pipe")
