"""Work out the shop's pipe of a plant file, and the sizes that keep every tool at its pressure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from airfettle.app.chart import chart_place
from airfettle.app.judge import Judged, judge_loaded
from airfettle.app.load import Loaded, believed
from airfettle.app.rate import gauge_of
from airfettle.drawings.pipes.plan import pipe_drawing
from airfettle.errors import AirfettleError, BadRequest, EntriesDisagree, MissingEntry
from airfettle.findings.finding import Finding
from airfettle.parts.pipe_stock import sizes
from airfettle.quantity import read_span
from airfettle.report.pipes_rows import PipesTold
from airfettle.report.sizes_words import Beyond, SizesTold
from airfettle.store.plant_file import placed_in, write_whole
from airfettle.studies.draw import ROWS
from airfettle.studies.pipework.changes import tried
from airfettle.studies.pipework.lies import low_points, run_lies
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.shop import ShopRun, shop_run, speed_in
from airfettle.studies.pipework.sizes import Sized, sized
from airfettle.studies.pipework.solve import solve

Array = NDArray[np.float64]

PIPE = "shop_pipe"
"""Path that findings about the pipe begin with. [text]"""
SPEED_ROWS = 256
"""Rows on which the speed in new pipe is looked at. [-]"""
MOST_BEYOND = 8
"""Tools that no pipe can help for which changes are tried. [-]"""
ENDS = ("coupler", "hose", "regulator", "treatment")
"""Sorts of changes that are no pipe. [text]"""


def pipes_file(
    path: str | Path, *, running: Sequence[str] = (), pressure: str = "", rows: int = ROWS, seed: int = 1
) -> tuple[PipesTold, Judged]:
    """Work out the shop's pipe of a plant file, and judge the plant.

    Parameters
    ----------
    path : path
        The plant file.
    running : sequence of str
        Tools that run, by name, by drop, or both; empty for all that can at once.
    pressure : str
        Receiver pressure with its unit; empty for cut-in.
    rows, seed : int
        Of the draw.

    Raises
    ------
    AirfettleError
        One clear error: no pipe is told, or a tool asked for is not there.
    """
    gauge = _gauge(pressure)
    loaded = believed(path, rows=rows, seed=seed)
    run = _worked_out(loaded, running=tuple(running) or None, gauge=gauge)
    judged = judge_loaded(loaded, seed=seed)
    pipe = loaded.draw.plant.shop_pipe
    assert pipe is not None
    told = PipesTold(
        run, tried(run), run_lies(run), low_points(pipe, run.network), _of_the_pipe(judged), tuple(running),
        gauge is None,
    )  # fmt: skip
    return told, judged


def sizes_file(
    path: str | Path, *, certainty: str = "", material: str = "", rows: int = ROWS, seed: int = 1
) -> tuple[SizesTold, Judged]:
    """Find the lightest sizes of pipe with which every tool of a plant file has enough, and judge the plant.

    Parameters
    ----------
    path : path
        The plant file.
    certainty : str
        Share of the draw in which each tool has to have enough, such as '95%'; empty for the plant's.
    material : str
        Another material than what is there, such as 'copper L'.
    rows, seed : int
        Of the draw.

    Raises
    ------
    AirfettleError
        One clear error.
    """
    wanted = share_of(certainty) if certainty else None
    if material:
        _check_material(material)
    loaded = believed(path, rows=rows, seed=seed)
    run = _worked_out(loaded, shares=False)
    found = sized(run, certainty=wanted, material=material)
    new = _with_sizes(run.network, found)
    told = SizesTold(run, found, _fastest(run, found, new), _beyond(run, found, new), bool(material))
    return told, judge_loaded(loaded, seed=seed)


def write_pipe_plan(run: ShopRun, path: str | Path) -> Path:
    """Write the drawing of a shop's pipe as SVG.

    Raises
    ------
    BadRequest
        The file's name does not end in .svg.
    FileTrouble
        The file cannot be written.
    """
    file = plan_place(path)
    write_whole(file, pipe_drawing(run, carry_font=True))
    return file


def plan_place(path: str | Path) -> Path:
    """Return where a drawing may be written.

    Raises
    ------
    BadRequest
        The file's name does not end in .svg.
    """
    return chart_place(path, option="--svg")


def share_of(text: str) -> float:
    """Return a share of the draw as it was asked for. [-]

    Raises
    ------
    AirfettleError
        It is no share.
    """
    span = read_span(text, kind="fraction", where="--certainty")
    if span is None:
        raise BadRequest(read=repr(text), where="--certainty", wanted="a share of the draw, such as 95%")
    return round(span.likely, 9)


def _gauge(pressure: str) -> float | None:
    if not pressure:
        return None
    gauge = gauge_of(pressure)
    if gauge <= 0.0:
        raise BadRequest(read=repr(pressure), where="--pressure", wanted="a pressure above that of the air outside")
    return gauge


def _check_material(material: str) -> None:
    """Refuse what is no pipe, or is made in no sizes that are known."""
    try:
        made = sizes(material)
    except AirfettleError as error:
        raise error.placed("--material") from error
    if not made:
        raise BadRequest(
            read=f"{material}, whose sizes are not known", where="--material",
            wanted="a pipe that is made in known sizes, such as 'copper L' or 'steel 40'",
        )  # fmt: skip


def _worked_out(
    loaded: Loaded, *, running: tuple[str, ...] | None = None, gauge: float | None = None, shares: bool = True
) -> ShopRun:
    try:
        return shop_run(loaded.draw, running=running, gauge=gauge, shares=shares)
    except (EntriesDisagree, MissingEntry) as error:
        raise placed_in(loaded.path, error) from error


def _with_sizes(network: Network, found: Sized) -> Network:
    return network.with_stock({k: part.found for part in found.parts for k in part.lines})


def _fastest(run: ShopRun, found: Sized, new: Network) -> tuple[Array, ...]:
    """Fastest air in each part with its new size, over all sets of tools to which none can be added. [m/s]"""
    few = new.first(SPEED_ROWS)
    solved = solve(few, on=run.sets.fullest, receiver_pressure=run.receiver_pressure[: few.rows])
    speed = np.max([speed_in(few, solved, case) for case in range(len(run.sets.fullest))], axis=0)
    return tuple(speed[:, list(part.lines)].max(axis=1) for part in found.parts)


def _beyond(run: ShopRun, found: Sized, new: Network) -> tuple[Beyond, ...]:
    """What else would help tools that no pipe can help, with the sizes found."""
    told = []
    for j in found.beyond_pipe[:MOST_BEYOND]:
        full = run.sets.fullest[run.sets.fullest[:, j] > 0.0]
        on = full[0] if len(full) else np.eye(len(run.places))[j]
        changes = tried(replace(run, network=new, worst=j, on=on))
        told.append(Beyond(j, changes.enough, tuple(c for c in changes.changes if c.sort in ENDS)))
    return tuple(told)


def _of_the_pipe(judged: Judged) -> tuple[Finding, ...]:
    return tuple(f for f in judged.findings if any(part.split(".")[0] == PIPE for part in f.parts))
