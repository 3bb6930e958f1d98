"""The wiring as a part of the build sheet: drawings as it is and as it should be, terminals, what every stop does."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.drawings.wiring import DESK, wiring_sheets
from airfettle.report.blocks import Block, Column, Leaf, Picture, Signed, Table
from airfettle.report.terminals_leaf import CHARGED, SOURCES, stop_blocks, terminal_blocks
from airfettle.studies.draw import Draw
from airfettle.studies.wiring.circuit import Circuit, Sort

PRINTED, TALLEST = 900.0, 1160.0
"""Width of a drawing that is printed upright, and most height of a control drawing. [px]"""
SIZED = ("nec", "iec-60364-5-52", "iec-60364-4-43", "iec-60364-5-54")
"""What sizes of wires rest on, besides what their own lines say."""
TITLES: dict[Sort, str] = {"power": "Power wiring", "control": "Control wiring"}


def wiring_leaf(
    sort: Sort, circuits: Sequence[Circuit], *, draw: Draw, printed: bool, sizes: Sequence[Block] = ()
) -> Leaf | None:
    """Return one sort of wiring, drawings first; None where the plant has none.

    Parameters
    ----------
    sort : str
        power or control.
    circuits : sequence of Circuit
        Of the plant, all of them.
    draw : Draw
        The plant. [SI]
    printed : bool
        Drawn for pages of paper, several to a circuit where it needs them.
    sizes : sequence of Block
        Sizes of wires and devices, see ``wire_size_blocks``; told with the power wiring.
    """
    mine = tuple(circuit for circuit in circuits if circuit.sort == sort)
    if not mine:
        return None
    blocks: list[Block] = [Signed("warning", CHARGED)]
    for circuit in mine:
        blocks += _pictures(circuit, draw, printed)
        blocks += [_remarks(circuit)] if circuit.remarks else []
    blocks += stop_blocks(tuple(circuits)) if sort == "control" else []
    keys = (*SOURCES, *(SIZED if sizes else ()))
    return Leaf(sort, TITLES[sort], (*blocks, *sizes, *terminal_blocks(mine)), ("iec-60617", "iec-61082", *keys))


def _remarks(circuit: Circuit) -> Table:
    """Remarks by the numbers that stand on the drawing."""
    columns = (Column("No", 0.3, "right"), Column("Word", 0.9), Column("What is so", 3.4), Column("Do", 3.0))
    rows = tuple((str(n), r.signal.upper(), r.says, r.do) for n, r in enumerate(circuit.remarks, start=1))
    strong = tuple(n for n, r in enumerate(circuit.remarks) if r.signal in ("danger", "warning"))
    title = f"{circuit.train}: {circuit.title}" if circuit.train else circuit.title
    return Table(columns, rows, caption=f"Remarks: {title}", strong=strong, name=f"remarks {circuit.sort}")


def _pictures(circuit: Circuit, draw: Draw, printed: bool) -> list[Picture]:
    width, tallest = (PRINTED, TALLEST) if printed else (float(DESK), float("inf"))
    sheets = wiring_sheets(circuit, draw=draw, width=width, tallest=tallest, alone=not printed, carry_font=not printed)
    return [Picture(svg, f"{circuit.train} {circuit.title}".strip(), wide, high) for svg, wide, high in sheets]
