"""Run many chances of many rows, on all cores or on a cluster, and keep what each wrote down."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.day.machine import Books
from airfettle.studies.day.prepared import OneRow, Prepared
from airfettle.studies.day.run import run_path

Array = NDArray[np.float64]

KEPT = ("totals", "of_train", "of_tool", "of_hour", "at_speed", "at_flow")
"""What is kept of every path: some kilobytes."""


@dataclass(frozen=True)
class Tally:
    """What many paths wrote down, each like ``machine.Books`` with the path in front.

    Attributes
    ----------
    start, length : float
        The stretch of every path. [s]
    paths : ndarray
        Numbers of the paths, shape (paths,).
    totals, of_train, of_tool, of_hour, at_speed, at_flow : ndarray
        [SI]
    wanted : int
        Paths asked for; more than there are where the run was stopped.
    """

    start: float
    length: float
    paths: NDArray[np.int64]
    totals: Array
    of_train: Array
    of_tool: Array
    of_hour: Array
    at_speed: Array
    at_flow: Array
    wanted: int

    def rows(self, count: int) -> NDArray[np.int64]:
        """Return the row of the draw that each path ran, out of a number of rows."""
        return self.paths % count

    def asked(self, wanted: int) -> Tally:
        """Return the paths numbered below how many were asked for."""
        some = self.paths < wanted
        return Tally(self.start, self.length, wanted=wanted, **{n: getattr(self, n)[some] for n in (*KEPT, "paths")})

    def joined(self, more: Tally) -> Tally:
        """Return these paths and more of the same run, in order."""
        order = np.argsort(np.concatenate([self.paths, more.paths]), kind="stable")
        fields = {n: np.concatenate([getattr(self, n), getattr(more, n)])[order] for n in (*KEPT, "paths")}
        return Tally(self.start, self.length, wanted=max(self.wanted, more.wanted), **fields)


def tally_of(books: Sequence[tuple[int, Books]], *, start: float, length: float, wanted: int) -> Tally:
    """Return what some paths wrote down as one. [SI]"""
    numbers = np.array([number for number, _ in books], dtype=np.int64)
    fields: dict[str, Any] = {name: np.stack([getattr(each, name) for _, each in books]) for name in KEPT}
    return Tally(start=start, length=length, paths=numbers, wanted=wanted, **fields)


def run_many(
    prepared: Prepared,
    *,
    paths: Sequence[int],
    seed: int,
    start: float,
    length: float,
    progress: Callable[[int, int], None] | None = None,
    finished: Callable[[Tally], None] | None = None,
) -> Tally:
    """Run many paths, each a chance of its own on a row of its own as far as the rows go.

    Parameters
    ----------
    prepared : Prepared
        The plant. [SI]
    paths : sequence of int
        Numbers of the paths; a path is the same alone and among others.
    seed : int
        Of all chance.
    start, length : float
        [s from Monday 00:00] [s]
    progress : callable or None
        Called with (paths done, paths in all).
    finished : callable or None
        Called with the paths since it was last called, every few paths; what it kept is not lost by an interruption.

    Returns
    -------
    Tally
        Of the paths that finished; an interruption (KeyboardInterrupt) after the first ends the run early. [SI]

    Notes
    -----
    Threads on this machine, because compiled code holds no lock; inside ``joblib.parallel_config(backend=...)``
    whatever is asked for there, a dask cluster for one.
    """
    done: list[tuple[int, Books]] = []
    kept, stream = 0, _in_parallel(prepared, paths, seed=seed, start=start, length=length)
    try:
        for number, books in stream:
            done.append((number, books))
            if progress:
                progress(len(done), len(paths))
            if finished and len(done) - kept >= AT_ONCE:
                some, kept = done[kept:], len(done)
                finished(tally_of(some, start=start, length=length, wanted=len(paths)))
    except KeyboardInterrupt:
        with warnings.catch_warnings():  # paths that were under way are meant to be dropped
            warnings.filterwarnings("ignore", message=".*have been cancelled")
            stream.close()
        if not done:
            raise
    if finished and len(done) > kept:
        finished(tally_of(done[kept:], start=start, length=length, wanted=len(paths)))
    return tally_of(done, start=start, length=length, wanted=len(paths))


AT_ONCE = 8
"""Paths between two calls of ``finished``. [-]"""


def _in_parallel(
    prepared: Prepared, paths: Sequence[int], *, seed: int, start: float, length: float
) -> Generator[tuple[int, Books]]:
    from joblib import Parallel, delayed  # a third of a second, which only a run should pay

    rows = prepared.draw.rows
    jobs = (
        delayed(_one)(prepared.one(number % rows), number, seed=seed, start=start, length=length) for number in paths
    )
    if len(paths) == 1:  # nothing to share out
        yield _one(prepared.one(paths[0] % rows), paths[0], seed=seed, start=start, length=length)
        return
    yield from Parallel(n_jobs=-1, prefer="threads", return_as="generator", pre_dispatch="2*n_jobs")(jobs)


def _one(plant: OneRow, number: int, *, seed: int, start: float, length: float) -> tuple[int, Books]:
    return number, run_path(plant, path=number, seed=seed, start=start, length=length).books
