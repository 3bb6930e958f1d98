"""Run a plant file through a day, through years, and with other sizes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path as FilePath

from airfettle.app.load import Loaded, believed
from airfettle.errors import BadRequest, EntriesDisagree
from airfettle.quantity.clock import DAYS
from airfettle.store.kept_paths import KeptPaths
from airfettle.store.plant_file import placed_in
from airfettle.studies.day.answers import day_answers, tool_answers
from airfettle.studies.day.days import Days
from airfettle.studies.day.many import Tally, run_many
from airfettle.studies.day.prepared import DAY, YEAR, Prepared, prepare_plant
from airfettle.studies.day.resize import Resized, resize
from airfettle.studies.day.run import Path, run_path

DAY_PATHS, YEAR_PATHS = 64, 32
"""Chances that a day and a year are run for, where nothing else is asked. [-]"""
FEWEST_ROWS = 8
"""Fewest rows of a draw. [-]"""


@dataclass(frozen=True)
class DaysRun(Days):
    """A plant file that was run; reports and charts need no more of it than ``Days``.

    Attributes
    ----------
    loaded : Loaded
        As told and as drawn.
    """

    loaded: Loaded


def day_file(
    path: str | FilePath, *, on: str = "", paths: int = DAY_PATHS, seed: int = 1, rows: int | None = None
) -> DaysRun:
    """Run a plant file through one day of the week, by many chances, one of them step by step.

    Parameters
    ----------
    path : path
        The plant file.
    on : str
        Day of the week, such as Tue; the one with most tool hours where it is not given.
    paths, seed : int
        Of the chance.
    rows : int or None
        Of the draw; as many as paths where it is not given.

    Raises
    ------
    AirfettleError
        One clear error.
    """
    loaded, prepared = _prepared(path, paths=paths, seed=seed, rows=rows)
    start = day_of(on, prepared) * DAY
    tally = run_many(prepared, paths=range(paths), seed=seed, start=start, length=DAY)
    traced = run_path(prepared.one(0), path=0, seed=seed, start=start, length=DAY, trace=True)
    return _run(loaded, prepared, tally, traced, seed)


def year_file(
    path: str | FilePath,
    *,
    paths: int = YEAR_PATHS,
    seed: int = 1,
    rows: int | None = None,
    keep: str | FilePath | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> DaysRun:
    """Run a plant file through years, each by a chance of its own on a row of its own.

    Parameters
    ----------
    path : path
        The plant file.
    paths, seed : int
        Years, and the seed of their chance.
    rows : int or None
        Of the draw; as many as paths where it is not given.
    keep : path or None
        File in which finished years are kept; those already there are not run again.
    progress : callable or None
        Called with (years done, years in all).

    Raises
    ------
    AirfettleError
        One clear error.
    KeyboardInterrupt
        Stopped before the first year was done.
    """
    loaded, prepared = _prepared(path, paths=paths, seed=seed, rows=rows)
    kept = KeptPaths(keep, plant=FilePath(path), seed=seed, rows=prepared.draw.rows, length=YEAR) if keep else None
    before = kept.load(wanted=paths) if kept else None
    there = set(before.paths.tolist()) if before is not None else set()
    missing = [number for number in range(paths) if number not in there]
    if not missing:
        assert before is not None
        return _run(loaded, prepared, before, None, seed)

    def report(done: int, _: int) -> None:
        if progress:
            progress(done + len(there), paths)

    tally = run_many(
        prepared, paths=missing, seed=seed, start=0.0, length=YEAR, progress=report,
        finished=kept.add if kept else None,
    )  # fmt: skip
    whole = tally if before is None else before.joined(tally)
    return _run(loaded, prepared, whole.asked(paths), None, seed)


def resize_file(
    path: str | FilePath,
    *,
    paths: int = YEAR_PATHS,
    weeks: int = 2,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[Loaded, Resized]:
    """Run a plant file with other receivers and other full speeds.

    Raises
    ------
    AirfettleError
        One clear error.
    """
    _check(paths)
    loaded = believed(path, rows=rows_for(paths), seed=seed)
    try:
        return loaded, resize(loaded.draw, seed=seed, paths=paths, weeks=weeks, progress=progress)
    except EntriesDisagree as error:
        raise placed_in(path, error) from error


def rows_for(paths: int) -> int:
    """Return rows of a draw that give each path one of its own, as far as a draw goes."""
    rows = FEWEST_ROWS
    while rows < min(paths, 1024):
        rows *= 2
    return rows


def day_of(on: str, prepared: Prepared) -> int:
    """Return the place in the week of a day asked for, or of the one with most tool hours.

    Raises
    ------
    BadRequest
        No day of the week.
    """
    if on:
        found = [i for i, day in enumerate(DAYS) if on.strip().lower()[:3] == day.lower()[:3]]
        if len(found) != 1:
            raise BadRequest(read=repr(on), where="--on", wanted=f"a day of the week: {', '.join(DAYS)}")
        return found[0]
    hours = [
        sum(float(w[1] - w[0]) * use.count for use in prepared.uses for w in use.hours.opened(i * DAY, length=DAY))
        for i in range(len(DAYS))
    ]
    return hours.index(max(hours))


def _check(paths: int) -> None:
    if not 1 <= paths <= 100_000:
        raise BadRequest(read=f"{paths} paths", where="--paths", wanted="1 to 100000")


def _prepared(path: str | FilePath, *, paths: int, seed: int, rows: int | None) -> tuple[Loaded, Prepared]:
    _check(paths)
    loaded = believed(path, rows=rows or rows_for(paths), seed=seed)
    try:
        return loaded, prepare_plant(loaded.draw)
    except EntriesDisagree as error:
        raise placed_in(path, error) from error


def _run(loaded: Loaded, prepared: Prepared, tally: Tally, traced: Path | None, seed: int) -> DaysRun:
    answers, tools = day_answers(prepared, tally), tool_answers(prepared, tally)
    return DaysRun(prepared, tally, answers, tools, traced, seed, loaded)
