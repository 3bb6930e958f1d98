"""Compare two plant files, or a variant with the plant it is based on."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from airfettle.app.judge import Judged, judge_file, judge_loaded
from airfettle.app.load import drawn_from
from airfettle.errors import BadRequest
from airfettle.findings.differences import Comparison, Side, compare
from airfettle.store.plant_file import read_plant
from airfettle.studies.draw import ROWS
from airfettle.studies.redrawn import carried_over


def compare_files(
    first: str | Path, second: str | Path | None = None, *, rows: int = ROWS, seed: int = 1
) -> Comparison:
    """Return what the change from one plant file to another does.

    Parameters
    ----------
    first, second : path
        Before and after; with one file, that file against the plant it is based on.
    rows, seed : int
        Of both draws.

    Raises
    ------
    AirfettleError
        One clear error; also where one file is given that is based on nothing.
    """
    if second is None:
        base = read_plant(first).about.based_on
        if not base:
            raise BadRequest(
                read=f"{first} alone", where="compare", wanted="two files, or one that has based_on under [plant]"
            )
        first, second = Path(first).parent / base, first
    before, after = (judge_file(path, rows=rows, seed=seed) for path in (first, second))
    if before.loaded.told.reading and before.loaded.told.reading == after.loaded.told.reading:
        after = _after_the_change(before, after)
    return compare(_side(before), _side(after))


def _after_the_change(before: Judged, after: Judged) -> Judged:
    """Judge the plant after a change by readings that were all taken before it.

    They say how much leaks and rubs, which the change leaves as it is; they say nothing of the part that is new, and
    what it changes does not contradict them.
    """
    loaded, draw = after.loaded, before.loaded.draw
    unread = drawn_from(
        loaded.told.model_copy(update={"reading": ()}), path=loaded.path, rows=draw.rows, seed=draw.seed
    )
    belief = replace(before.loaded.belief, draw=carried_over(unread.draw, from_=draw))
    read = tuple(c for c in before.loaded.contradictions if c.statement.sort in ("reading", "pump-up"))
    return judge_loaded(replace(loaded, belief=belief, contradictions=(*unread.contradictions, *read)))


def _side(judged: Judged) -> Side:
    loaded = judged.loaded
    name = f"{loaded.told.about.name} ({loaded.path.name})"
    return Side(name, loaded.told, judged.reach, judged.findings)
