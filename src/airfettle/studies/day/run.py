"""Run one plant through one stretch of time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import BadRequest
from airfettle.studies.compiled import jit
from airfettle.studies.day.loop import DONE, run_days
from airfettle.studies.day.machine import SHORTAGES, TRACE_ROWS, Books, Tools, empty_books, fresh, packed
from airfettle.studies.day.prepared import DAY, OneRow

Array = NDArray[np.float64]

FIRST_TRACE = 4096
"""Lines of a trace to begin with. [-]"""


@dataclass(frozen=True)
class Path:
    """One plant through one stretch of time, by one chance.

    Attributes
    ----------
    row, path : int
        Row of the draw, and which chance.
    start, length : float
        [s from Monday 00:00] [s]
    books : Books
        What was written down; ``trace`` cut to its lines. [SI]
    tools : Tools
        The script and what it drew. [SI]
    """

    row: int
    path: int
    start: float
    length: float
    books: Books
    tools: Tools


def run_path(
    plant: OneRow,
    *,
    path: int,
    seed: int,
    start: float = 0.0,
    length: float = DAY,
    trace: bool = False,
    compiled: bool = True,
) -> Path:
    """Run one row of a plant through one chance of a stretch of time.

    Parameters
    ----------
    plant : OneRow
        One row of a plant, from ``Prepared.one``. [SI]
    path, seed : int
        Which chance of many, and the seed of all of them.
    start, length : float
        From Monday 00:00. [s]
    trace : bool
        Write every step down.
    compiled : bool
        False runs the loop as plain Python, some hundred times slower.

    Returns
    -------
    Path
        [SI]

    Raises
    ------
    BadRequest
        Settings that switch without end.
    """
    machine, settings = plant.machine, plant.settings
    tools = plant.tools(start=start, length=length, seed=seed, path=path)
    loop = jit(run_days) if compiled else run_days
    begin = float(np.mean([settings.cut_in[0], settings.cut_out[0]]))
    lines, gaps = (FIRST_TRACE, 256) if trace else (0, 0)
    while True:
        books = empty_books(trace=lines, shortages=gaps)
        record = packed(books)
        found = loop(
            machine.coefficients, packed(machine), packed(settings), packed(tools), packed(fresh(machine)), record,
            tools.times, tools.codes, tools.on, tools.which, tools.full_of, tools.needs_of, books.shortages,
            books.trace, begin,
        )  # fmt: skip
        if found != DONE:
            raise BadRequest(
                read="control settings that switch on and off at the same moment",
                wanted="cut-in well below cut-out, and thresholds of speed between them",
            )
        books = books._replace(**{name: record[name][0] for name in record.dtype.names or ()})
        wanted, gaps_wanted = int(books.totals[TRACE_ROWS]), int(books.totals[SHORTAGES])
        if not trace or (wanted <= lines and gaps_wanted <= gaps):
            books = books._replace(
                of_train=books.of_train[: machine.trains], of_tool=books.of_tool[: tools.many],
                at_speed=books.at_speed[: machine.trains],
            )  # fmt: skip
            cut = books._replace(trace=books.trace[:wanted], shortages=books.shortages[:gaps_wanted])
            return Path(plant.row, path, start, length, cut, tools)
        lines, gaps = max(lines, wanted), max(gaps, gaps_wanted)
