"""The air path as a part of the build sheet: its drawing, its stations as a table, its numbered notes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from airfettle.drawings.air_path.drawing import air_path_drawing, numbered_findings
from airfettle.drawings.air_path.words import READING
from airfettle.findings.finding import Finding
from airfettle.quantity import Units, shown_unit, toleranced
from airfettle.report.blocks import Block, Column, Leaf, Picture, Table, Words
from airfettle.studies.stations import StationAt, StationsAt

Array = NDArray[np.float64]
WIDTHS, PAGE = (800, 900, 1000, 1100), (521.0, 690.0)
"""Widths tried where it is printed, and room of a page, upright [px]: that which comes out largest is taken."""
COLUMNS: tuple[tuple[str, str, Callable[[StationAt], Array]], ...] = (
    ("pressure", "pressure", lambda at: at.gauge),
    ("temperature", "temperature", lambda at: at.temperature),
    ("dew point", "temperature", lambda at: at.dew_point),
    ("vapour passing", "water_flow", lambda at: at.vapour),
    ("drops passing", "water_flow", lambda at: at.liquid),
    ("water dropped", "water_flow", lambda at: at.caught),
)
"""Columns of the table of stations: title, kind of quantity, where the number is."""


def air_leaf(stations: StationsAt, findings: Sequence[Finding], *, printed: bool) -> Leaf:
    """Return the air path as a part.

    Parameters
    ----------
    stations : StationsAt
        The air at every station. [SI]
    findings : sequence of Finding
        What was found about the plant, worst first.
    printed : bool
        Drawn for paper, its notes set beside it as a table.
    """
    svg, width, height = (
        _largest(stations, findings) if printed else air_path_drawing(stations, findings, carry_font=True)
    )
    blocks: list[Block] = [Picture(svg, "Air path, from intake to tools", width, height)]
    if printed:
        blocks.append(Words(READING))
    notes = numbered_findings(stations, findings)
    if notes:
        blocks.append(_notes(notes))
    blocks.append(_table(stations))
    keys = dict.fromkeys(("iso-1219-1", "physics", *(key for found in notes for key in found.sources)))
    return Leaf("air", "Air path", tuple(blocks), tuple(keys))


def _largest(stations: StationsAt, findings: Sequence[Finding]) -> tuple[str, float, float]:
    """Return the drawing at the width at which its letters come out largest on a page."""
    drawn = [air_path_drawing(stations, findings, width=width, alone=False) for width in WIDTHS]
    return max(drawn, key=lambda each: min(PAGE[0] / each[1], PAGE[1] / each[2]))


def _notes(notes: Sequence[Finding]) -> Table:
    columns = (Column("No", 0.3, "right"), Column("Word", 0.9), Column("What was found", 3.0), Column("Do", 3.0))
    doubt = {"may hold": ", may be so", "not told": ", not told"}
    rows = tuple(
        (str(n), found.signal.upper() + doubt.get(found.state, ""), found.says, found.do)
        for n, found in enumerate(notes, start=1)
    )
    strong = tuple(n for n, found in enumerate(notes) if found.signal in ("danger", "warning"))
    return Table(columns, rows, caption="Notes to the drawing", strong=strong, name="notes")


def _table(stations: StationsAt) -> Table:
    units = stations.draw.plant.about.units
    heads = [Column("Behind", 1.6)]
    heads += [Column(f"{title}, {shown_unit(kind, units)}", 1.2, "right") for title, kind, _ in COLUMNS]
    ways = [*stations.trains, stations.common]
    rows = tuple(
        (_name(at, several=len(stations.trains) > 1), *(_shown(values(at), stations, kind, units)
                                                       for _, kind, values in COLUMNS))
        for way in ways for at in way
    )  # fmt: skip
    return Table(tuple(heads), rows, caption=_caption(stations, units), name="stations")


def _caption(stations: StationsAt, units: Units) -> str:
    gauge = toleranced(*(stations.gauge,) * 3, kind="pressure", units=units)
    return f"The air behind each part, at {stations.frequency:g} Hz and {gauge} in the receiver"


def _name(at: StationAt, *, several: bool) -> str:
    section = at.section.replace("_", " ")
    own = at.path.rpartition(".")[2].replace("_", " ")
    return section if own == section or (not several and not own) else f"{section} ({own})" if own else section


def _shown(values: Array, stations: StationsAt, kind: str, units: Units) -> str:
    band = stations.band(values)
    if not isfinite(band.likely):
        return "-"
    return (
        toleranced(band.low, band.likely, band.high, kind=kind, units=units)
        .removesuffix(shown_unit(kind, units))
        .strip()
    )
