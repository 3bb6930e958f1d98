"""Commands that run a plant: day, year, resize."""

from __future__ import annotations

import os
import sys
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

from airfettle.cli.judging import Flag, show, warned
from airfettle.errors import BadRequest, FileTrouble

if TYPE_CHECKING:
    from airfettle.app.day import DaysRun

INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells have it."""
MOST_WEEKS = 52


def day(
    file: str, *, on: str = "", paths: int = 64, seed: int = 1, trace: str = "", chart: str = "", json: Flag = False
) -> int:  # fmt: skip
    """Run a plant through a day of its tools: is the pressure enough, and what does the day take.

    Parameters
    ----------
    file
        The plant file; its [[use]] sections tell of the tools.
    on
        Day of the week, such as --on Fri; the day with most tool hours where none is given.
    paths
        Chances of that day to run, each on a plant of its own out of all that your entries allow.
    seed
        Seed of the chance; the same seed gives the same numbers.
    trace
        Also write every step of one chance, of the plant at likely values, into this CSV file. A trace that is there
        is written anew; any other file is left alone.
    chart
        Also draw that one chance into this file, such as --chart day.svg.
    json
        Print JSON instead of the report.
    """
    from airfettle.app.chart import chart_place, write_day_chart
    from airfettle.app.day import day_file
    from airfettle.app.judge import judge_file
    from airfettle.report.day_json import day_json
    from airfettle.report.day_table import day_table

    place = _trace_place(trace)
    if chart:
        chart_place(chart)
    run = _computed(day_file(file, on=on, paths=paths, seed=seed), file)
    judged = judge_file(file)
    if place is not None:
        _write_trace(run, place)
    if chart:
        sys.stderr.write(f"Wrote {write_day_chart(run, chart)}.\n")
    show(json, data=lambda: day_json(run), table=lambda width: day_table(run, width=width))
    return warned(judged, quiet=json)


def year(file: str, *, paths: int = 32, seed: int = 1, keep: str = "", json: Flag = False) -> int:
    """Run a plant through whole years: electricity, money, starts, hours, water, and what care is due when.

    Ctrl-C stops it and shows the years that are finished.

    Parameters
    ----------
    file
        The plant file; its [[use]] sections tell of the tools.
    paths
        Years to run, each on a plant of its own out of all that your entries allow.
    seed
        Seed of the chance; the same seed gives the same numbers.
    keep
        File for finished years, such as --keep years.npz; the same command goes on from there, and is done at once
        where all of them are in it.
    json
        Print JSON instead of the report.
    """
    place = _keep_place(keep)
    try:
        from airfettle.app.day import year_file
        from airfettle.cli.progress import progress_bar

        with progress_bar("years") as tick:
            run = _computed(year_file(file, paths=paths, seed=seed, keep=place, progress=tick), file)
    except KeyboardInterrupt:
        return _stopped_early(file, paths=paths, seed=seed, place=place, as_json=json)
    except OSError as error:
        raise FileTrouble(
            read=f"{keep} ({error.strerror or error})", wanted="a place that may be written to"
        ) from error
    return _show_year(run, file, place=place, as_json=json)


def _show_year(run: DaysRun, file: str, *, place: Path | None, as_json: bool) -> int:
    from airfettle.app.judge import judge_file
    from airfettle.report.day_json import year_json
    from airfettle.report.year_table import stopped, year_table

    judged = judge_file(file)
    short = len(run.tally.paths) < run.tally.wanted
    go_on = _go_on(place)
    show(as_json, data=lambda: year_json(run), table=lambda width: year_table(run, width=width, go_on=go_on))
    code = warned(judged, quiet=as_json)
    if short and as_json:
        sys.stderr.write(f"{stopped(run)} {go_on}\n")
    return INTERRUPTED if short else code


def _stopped_early(file: str, *, paths: int, seed: int, place: Path | None, as_json: bool) -> int:
    """Show the years that an earlier run kept, where this one was stopped before it finished one of its own."""
    from dataclasses import replace

    from airfettle.app.day import rows_for, year_file
    from airfettle.store.kept_paths import KeptPaths
    from airfettle.studies.day.prepared import YEAR

    rows = rows_for(paths)
    there = None
    if place is not None and place.exists():
        there = KeptPaths(place, plant=Path(file), seed=seed, rows=rows, length=YEAR).load(wanted=paths)
    if there is None or not len(there.paths):
        sys.stderr.write(f"Stopped before the first year was finished. {_go_on(place)}\n")
        return INTERRUPTED
    run = year_file(file, paths=len(there.paths), seed=seed, rows=rows, keep=place)
    return _show_year(replace(run, tally=replace(run.tally, wanted=paths)), file, place=place, as_json=as_json)


def _go_on(place: Path | None) -> str:
    if place is not None:
        return "Run the same command again to go on."
    return "With --keep years.npz finished years are kept, and the same command goes on from there."


def resize(
    file: str, *, paths: int = 32, weeks: int = 2, seed: int = 1, chart: str = "", json: Flag = False
) -> int:  # fmt: skip
    """Say whether a bigger receiver would cure a shortage of air, or only more air.

    Parameters
    ----------
    file
        The plant file; its [[use]] sections tell of the tools.
    paths
        Chances to run with every size and speed, each on a plant of its own out of all that your entries allow.
    weeks
        Weeks that each chance lasts.
    seed
        Seed of the chance; the same seed gives the same numbers.
    chart
        Also draw both curves into this file, such as --chart sizes.svg.
    json
        Print JSON instead of the tables.
    """
    from airfettle.app.chart import chart_place, write_resize_chart
    from airfettle.app.day import resize_file
    from airfettle.app.judge import judge_file
    from airfettle.app.window import windows_of
    from airfettle.cli.progress import progress_bar
    from airfettle.report.resize_json import resize_json
    from airfettle.report.resize_table import resize_table
    from airfettle.report.resize_words import computed, speeds_of

    if chart:
        chart_place(chart)
    if not 1 <= weeks <= MOST_WEEKS:
        raise BadRequest(read=f"{weeks} weeks", where="--weeks", wanted=f"1 to {MOST_WEEKS}")
    with progress_bar("sizes and speeds") as tick:
        loaded, tried = resize_file(file, paths=paths, weeks=weeks, seed=seed, progress=tick)
    found, gone = computed(tried)
    if not any(point.own for point in found.receiver):
        raise BadRequest(
            read="a plant whose receiver is emptied too fast to be followed", where=file,
            wanted="uses, leaks and a receiver that fit each other: look at their air, and at the receiver's volume",
        )  # fmt: skip
    if chart:
        sys.stderr.write(f"Wrote {write_resize_chart(found, chart, draw=loaded.draw)}.\n")
    judged = judge_file(file)
    speeds = speeds_of(windows_of(judged.loaded))
    show(
        json,
        data=lambda: resize_json(found, draw=loaded.draw, speeds=speeds, gone=gone),
        table=lambda width: resize_table(found, draw=loaded.draw, speeds=speeds, width=width, gone=gone),
    )
    return warned(judged, quiet=json)


def _computed(run: DaysRun, file: str) -> DaysRun:
    """Return a run all of whose numbers are numbers.

    Raises
    ------
    BadRequest
        Some are not: a receiver that is emptied within seconds.
    """
    from airfettle.report.day_rows import not_computed

    broken = not_computed(run)
    if broken:
        raise BadRequest(
            read=f"a receiver that empties too fast to be followed, in {broken} of {len(run.tally.paths)} chances",
            where=file,
            wanted="uses, leaks and a receiver that fit each other: look at their air, and at the receiver's volume",
        )
    return run


def _trace_place(trace: str) -> Path | None:
    """Return where a trace may be written, before anything is run for it.

    Raises
    ------
    FileTrouble
        Something else stands there, or nothing may be written there.
    """
    if not trace:
        return None
    from airfettle.report.day_trace import BEGINS, is_trace

    place = Path(trace)
    if place.exists():
        try:
            with place.open("rb") as there:
                first = there.read(len(BEGINS)).decode("utf-8", errors="replace")
        except OSError as error:
            raise FileTrouble(read=f"{trace} ({error.strerror})", where="--trace", wanted="a file") from error
        if not is_trace(first):
            raise FileTrouble(
                read=f"{trace}, which is there already and is no trace", where="--trace",
                wanted="the name of a new file, or of a trace written before",
            )  # fmt: skip
    _may_write(place, trace, "--trace")
    return place


def _keep_place(keep: str) -> Path | None:
    """Return where years are kept, before anything is run for it.

    Raises
    ------
    AirfettleError
        What stands there holds no years, or nothing may be written there.
    """
    if not keep:
        return None
    place = Path(keep)
    if place.exists() and not zipfile.is_zipfile(place):
        raise BadRequest(
            read=f"{place.name}, which holds no kept years", where="--keep",
            wanted="the file an earlier run wrote, or a name that is not there yet",
        )  # fmt: skip
    _may_write(place, keep, "--keep")
    return place


def _may_write(place: Path, told: str, option: str) -> None:
    folder = place.resolve().parent
    if not folder.is_dir() or not os.access(folder, os.W_OK):
        why = "may not be written to" if folder.is_dir() else "is not there"
        raise FileTrouble(read=f"{told}, whose folder {why}", where=option, wanted="a place that may be written to")


def _write_trace(run: DaysRun, place: Path) -> None:
    from airfettle.report.day_trace import day_trace
    from airfettle.store.plant_file import write_whole

    text = day_trace(run)
    write_whole(place, text)
    sys.stderr.write(f"Wrote {place}: {text.count(chr(10)) - 1} steps.\n")
