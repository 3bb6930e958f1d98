"""The ``airfettle`` command: a thin door on the use cases of ``app``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated, Literal

from cyclopts import App, CycloptsError, Parameter

from airfettle import __version__
from airfettle.cli.days import day, resize, year
from airfettle.cli.judging import BAD_INPUT, OK, compare, explain, findings, sheaves, show, unknowns, warned, window
from airfettle.cli.pipes import app as pipes
from airfettle.cli.printing import card, checklist, draw, parts, settings, sheet
from airfettle.errors import AirfettleError

if TYPE_CHECKING:
    from airfettle.app.judge import Judged

WORST = 3
"""Findings and measurements that the demo shows in full. [-]"""

app = App(
    name="airfettle",
    help="Works out a workshop air plant built from separately bought parts: air, power, amps, heat, water and "
    "sound at every speed, with honest ranges.\n\nPressure, mains voltage, belts and hot pipes can kill: local codes "
    "and licensed people decide what may be built, wired and run.",
    version=f"airfettle {__version__}",
    help_format="plaintext",
)


@app.command
def demo(*, json: Annotated[bool, Parameter(negative="")] = False) -> int:
    """Judge the example plant that ships with the program, a canoe works: rating, window, findings, what next, a day.

    Parameters
    ----------
    json
        Print the rating as JSON instead.
    """
    from airfettle.app.demo import demo_file

    _rate(str(demo_file()), as_json=json, whole=True)
    if not json:
        _demo_pipes(str(demo_file()))
        _demo_day(str(demo_file()))
    return OK


@app.command
def new(
    file: str, *, units: Literal["US", "SI"] = "US", every_key: Annotated[bool, Parameter(negative="")] = False
) -> int:
    """Write a commented plant file to fill in.

    Parameters
    ----------
    file
        Where to write it, such as my_plant.toml; a file that is there already is left alone.
    units
        Units of the examples, and the ones answers are shown in.
    every_key
        Also the keys that are seldom known, with what is assumed for them.
    """
    from airfettle.app.new import new_file

    written = new_file(file, units=units, every_key=every_key)
    print(f"Wrote {written}. Fill in what you know, then: airfettle rate {written}")  # noqa: T201
    return OK


@app.command
def rate(
    file: str,
    *,
    hz: Annotated[tuple[str, ...], Parameter(negative="")] = (),
    pressure: Annotated[tuple[str, ...], Parameter(negative="")] = (),
    rows: int = 1024,
    seed: int = 1,
    assumed: Annotated[bool, Parameter(negative="")] = False,
    json: Annotated[bool, Parameter(negative="")] = False,
    chart: str = "",
) -> int:
    """Say what a plant delivers, takes and heats at each speed and receiver pressure.

    Parameters
    ----------
    file
        The plant file.
    hz
        Drive frequencies to look at, such as --hz 35 --hz 50; low, quiet and full where none is given.
    pressure
        Receiver pressures to look at, such as --pressure "125 psi"; cut-in and cut-out where none is given.
    rows
        Rows of the draw, a power of two.
    seed
        Seed of the draw; the same seed gives the same numbers.
    assumed
        List everything that was assumed because nobody told.
    json
        Print JSON instead of the table.
    chart
        Also draw delivery and amps against speed into this SVG file.
    """
    return _rate(file, hz=hz, pressure=pressure, rows=rows, seed=seed, assumed=assumed, as_json=json, chart=chart)


def _rate(
    file: str,
    *,
    hz: tuple[str, ...] = (),
    pressure: tuple[str, ...] = (),
    rows: int = 1024,
    seed: int = 1,
    assumed: bool = False,
    as_json: bool = False,
    chart: str = "",
    whole: bool = False,
) -> int:
    from airfettle.app.judge import judge_file
    from airfettle.app.rate import check_request, rate_loaded
    from airfettle.cli.progress import progress_bar

    check_request(hz, pressure)
    judged = judge_file(file, rows=rows, seed=seed)
    with progress_bar("rating") as tick:
        rating = rate_loaded(judged.loaded, hertz=hz, pressures=pressure, progress=tick)
    if chart:
        from airfettle.app.chart import write_speed_chart

        sys.stderr.write(f"Wrote {write_speed_chart(rating, chart)}.\n")
    from airfettle.report.rating_json import rating_json
    from airfettle.report.rating_table import rating_table

    show(
        as_json,
        data=lambda: rating_json(rating, findings=judged.findings),
        table=lambda width: rating_table(
            rating, findings=judged.findings, assumed=assumed, width=width, whole=not whole
        ),
    )
    if whole and not as_json:
        _rest(judged)
    return warned(judged, quiet=as_json)


def _rest(judged: Judged) -> None:
    """Speed window, worst findings and what to measure next, below a rating."""
    from airfettle.app.window import windows_of
    from airfettle.findings.unknowns import unknowns_of
    from airfettle.report.findings_table import findings_table
    from airfettle.report.unknowns_table import unknowns_table
    from airfettle.report.window_table import window_table

    draw, belief = judged.loaded.draw, judged.loaded.belief
    units = draw.plant.about.units
    windows = windows_of(judged.loaded)
    found = unknowns_of(judged.reach, told=judged.loaded.told, findings=judged.findings)
    for table in (
        lambda width: window_table(windows, draw=draw, width=width, caution=False),
        lambda width: findings_table(judged.findings, belief=belief, most=WORST, caution=False),
        lambda width: unknowns_table(found, units=units, most=WORST, caution=False),
    ):
        show(False, data=dict, table=table)


def _demo_pipes(file: str) -> None:
    """What the pipe round the shop leaves for the tool worst off, in a sentence."""
    from rich.console import Group
    from rich.text import Text

    from airfettle.app.pipes import pipes_file
    from airfettle.report.pipes_words import headline

    told, _ = pipes_file(file)
    more = Text("Part by part, and what one change gives: airfettle pipes FILE; sizes: airfettle pipes size FILE.")
    show(False, data=dict, table=lambda width: Group("", Text(headline(told), style="bold"), "", more, ""))


def _demo_day(file: str) -> None:
    """The busiest day of a plant, in a sentence and a picture, below everything else."""
    from rich.console import Group
    from rich.text import Text

    from airfettle.app.day import day_file
    from airfettle.report.day_plot import day_plot
    from airfettle.report.day_words import headline

    run = day_file(file)
    more = Text("In full: airfettle day FILE; through years: airfettle year FILE; other sizes: airfettle resize FILE.")
    show(
        False,
        data=dict,
        table=lambda width: Group(
            Text(headline(run), style="bold"), "", day_plot(run, width=min(width, 100)), "", more
        ),
    )


for _command in (findings, window, sheaves, unknowns, explain, compare, day, year, resize):
    app.command(_command)
app.command(pipes)
app.command(draw)
for _printed in (settings, card, parts, checklist):
    app.command(_printed)
app.command(sheet)


def main() -> None:
    """Run the command and leave with its exit code: 0, 1 where a danger holds, 2 with one message on bad input."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """Run the command with arguments and return its exit code."""
    try:
        result = app(arguments, exit_on_error=False, print_error=False, result_action="return_value")
    except AirfettleError as error:
        sys.stderr.write(f"{error}\n")
        return BAD_INPUT
    except CycloptsError as error:
        sys.stderr.write(f"{' '.join(str(error).split())}\n  try:    airfettle --help\n")
        return BAD_INPUT
    except BrokenPipeError:
        sys.stderr.close()
        return OK
    return result if isinstance(result, int) else OK
