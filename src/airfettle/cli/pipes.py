"""The pipe round the shop: pressure at every tool, what is to blame, and sizes that work."""

from __future__ import annotations

import sys
from typing import Annotated

from cyclopts import App, Parameter

from airfettle.cli.judging import Flag, show, warned

USAGE = "Usage: airfettle pipes FILE [OPTIONS]\n       airfettle pipes size FILE [OPTIONS]"

app = App(name="pipes", usage=USAGE, help_format="plaintext")


@app.default
def pipes(
    file: str, *, running: Annotated[tuple[str, ...], Parameter(negative="")] = (), pressure: str = "", svg: str = "",
    rows: int = 1024, seed: int = 1, json: Flag = False,
) -> int:  # fmt: skip
    """Say what pressure each tool in the shop gets, which part of the way is to blame, and what one change would give.

    Parameters
    ----------
    file
        The plant file; its [shop_pipe] tells runs and drops, its [[use]] sections the tools.
    running
        A tool that runs, by its name or its drop, such as --running sander; all that can at once where none is given.
    pressure
        Receiver pressure, such as --pressure "100 psi"; cut-in where none is given.
    svg
        Also draw the pipe into this file, such as --svg pipe.svg: a plan where places have positions.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead of tables.
    """
    from airfettle.app.pipes import pipes_file, plan_place, write_pipe_plan
    from airfettle.report.pipes_json import pipes_json
    from airfettle.report.pipes_table import pipes_table

    if svg:
        plan_place(svg)
    told, judged = pipes_file(file, running=running, pressure=pressure, rows=rows, seed=seed)
    if svg:
        sys.stderr.write(f"Wrote {write_pipe_plan(told.run, svg)}.\n")
    show(json, data=lambda: pipes_json(told), table=lambda width: pipes_table(told, width=width))
    return warned(judged, quiet=json)


@app.command
def size(
    file: str, *, certainty: str = "", material: str = "", rows: int = 1024, seed: int = 1, json: Flag = False
) -> int:
    """Say the lightest stock sizes of pipe with which every tool has enough, and which tools no pipe can help.

    Parameters
    ----------
    file
        The plant file.
    certainty
        Share of the draw in which each tool must have enough, such as --certainty 95%; the plant's own where it is not
        given.
    material
        Another pipe than what is there, such as --material "copper L".
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    json
        Print JSON instead of tables.
    """
    from airfettle.app.pipes import sizes_file
    from airfettle.report.pipes_json import sizes_json
    from airfettle.report.sizes_table import sizes_table

    told, judged = sizes_file(file, certainty=certainty, material=material, rows=rows, seed=seed)
    show(json, data=lambda: sizes_json(told), table=lambda width: sizes_table(told, width=width))
    return warned(judged, quiet=json)
