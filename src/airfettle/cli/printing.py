"""What is drawn and printed: drawings, settings, the card, parts and cost, checklists, and the sheet of all of it."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import App, Parameter

from airfettle.cli.judging import Flag, show, warned

if TYPE_CHECKING:
    from airfettle.app.build_sheet import Workings

USAGE = "Usage: airfettle draw air|pipe|power|control FILE [OPTIONS]"
Output = Annotated[str, Parameter(name=("--output", "-o"))]

draw = App(name="draw", usage=USAGE, help="Draw the air path, the pipe, the power wiring or the control wiring.",
           help_format="plaintext")  # fmt: skip


@Parameter(name="*")
@dataclass(frozen=True)
class Printed:
    """How a part is worked out and given out; the same for every part.

    Parameters
    ----------
    output
        File to write it into, by its end as PDF, SVG, PNG, CSV, Markdown or JSON; without one it is shown here.
    paper
        Letter or A4, for a PDF; by the plant's units where none is given.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead.
    """

    output: Output = ""
    paper: str = ""
    rows: int = 1024
    seed: int = 1
    json: Flag = False


AS_IT_IS = Printed()
"""Nothing asked for: shown in the terminal."""


@draw.command
def air(file: str, *, hz: str = "", pressure: str = "", printed: Printed = AS_IT_IS) -> int:
    """Draw the air path from intake to tools, with pressure, temperature, dew point and water at each station.

    Parameters
    ----------
    file
        The plant file.
    hz
        Drive frequency shown; full frequency where none is given.
    pressure
        Receiver pressure shown, such as --pressure "125 psi"; cut-out where none is given.
    printed
        How it is given out.
    """
    return _part(file, ("air",), printed, hz=hz, pressure=pressure)


@draw.command
def pipe(file: str, *, printed: Printed = AS_IT_IS) -> int:
    """Draw the pipe round the shop: a plan where places have positions, a line diagram elsewhere.

    Parameters
    ----------
    file
        The plant file.
    printed
        How it is given out.
    """
    return _part(file, ("pipe",), printed)


@draw.command
def power(file: str, *, printed: Printed = AS_IT_IS) -> int:
    """Draw the power wiring, from supply to motor, as it is and where that is wrong as it should be.

    Parameters
    ----------
    file
        The plant file.
    printed
        How it is given out.
    """
    return _part(file, ("power",), printed)


@draw.command
def control(file: str, *, printed: Printed = AS_IT_IS) -> int:
    """Draw the control wiring, as it is and where that is wrong as it should be, with its terminals.

    Parameters
    ----------
    file
        The plant file.
    printed
        How it is given out.
    """
    return _part(file, ("control",), printed)


def settings(file: str, *, printed: Printed = AS_IT_IS) -> int:
    """Say what to set in the drive, or on starter and pressure switch, and why, with a blank for parameter numbers.

    Parameters
    ----------
    file
        The plant file.
    printed
        How it is given out.
    """
    return _part(file, ("settings",), printed)


def card(file: str, *, printed: Printed = AS_IT_IS) -> int:
    """Make the card to stick beside the speed knob: hertz, pump rpm, air, amps, sound, and the safe window.

    Parameters
    ----------
    file
        The plant file.
    printed
        How it is given out.
    """
    return _part(file, ("card",), printed)


def parts(file: str, *, printed: Printed = AS_IT_IS) -> int:
    """List the parts with what they cost, those still missing, and the plant against ready-made units.

    Parameters
    ----------
    file
        The plant file; its [[ready_made]] sections are the units it is held against.
    printed
        How it is given out.
    """
    return _part(file, ("parts",), printed)


def checklist(file: str, *, only: str = "", printed: Printed = AS_IT_IS) -> int:
    """Make the lists to work from: used receiver, first start, care, and faults by symptom, with this plant's readings.

    Parameters
    ----------
    file
        The plant file.
    only
        One of them: receiver, start, care or faults; all four where none is given.
    printed
        How it is given out.
    """
    from airfettle.app.build_sheet import checklist_names

    return _part(file, checklist_names(only), printed)


def sheet(file: str, *, output: Output = "", paper: str = "", rows: int = 1024, seed: int = 1) -> int:
    """Print the build sheet: cautions, numbers, drawings, settings, card, parts, checklists and sources in one PDF.

    Parameters
    ----------
    file
        The plant file.
    output
        The PDF; beside where you stand, named after the plant file, where none is given.
    paper
        Letter or A4; by the plant's units where none is given.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    """
    from airfettle.app.build_sheet import sheet_of, workings_of
    from airfettle.app.give_out import output_place, paper_of, write_sheet

    place = output_place(output or f"{Path(file).stem}_sheet.pdf", forms=(".pdf",))
    size = paper_of(paper, units="US")
    workings = workings_of(file, rows=rows, seed=seed)
    if not paper:
        size = paper_of("", units=workings.units)
    written = write_sheet(sheet_of(workings), place, cover=workings.cover("Build sheet"), paper=size)
    sys.stderr.write(f"Wrote {written}.\n")
    return warned(workings.judged, quiet=False)


def _part(file: str, names: tuple[str, ...], printed: Printed, *, hz: str = "", pressure: str = "") -> int:
    """Work out parts of the sheet and write them, or show them here."""
    from airfettle.app.build_sheet import leaf_named, workings_of
    from airfettle.app.give_out import output_place, paper_of, write_leaf
    from airfettle.report.blocks.data import leaf_as_data
    from airfettle.report.blocks.terminal import leaf_in_terminal

    place = output_place(printed.output) if printed.output else None
    paper_of(printed.paper, units="US")
    workings: Workings = workings_of(
        file, hertz=hz, pressure=pressure, rows=printed.rows, seed=printed.seed,
        printed=place is not None and place.suffix.lower() == ".pdf",
    )  # fmt: skip
    leaf = leaf_named(workings, names)
    if place is not None:
        paper = paper_of(printed.paper, units=workings.units)
        sys.stderr.write(f"Wrote {write_leaf(leaf, place, cover=workings.cover(leaf.title), paper=paper)}.\n")
    if place is None or printed.json:
        show(printed.json, data=lambda: leaf_as_data(leaf), table=lambda width: leaf_in_terminal(leaf, width=width))
    return warned(workings.judged, quiet=printed.json)
