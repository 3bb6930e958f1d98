"""Compare two plant files, or a variant with the plant it is based on."""

from __future__ import annotations

from pathlib import Path

from airfettle.app.judge import Judged, judge_file
from airfettle.errors import BadRequest
from airfettle.findings.differences import Comparison, Side, compare
from airfettle.studies.draw import ROWS


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
    if second is not None:
        return compare(*(_side(judge_file(path, rows=rows, seed=seed)) for path in (first, second)))
    after = judge_file(first, rows=rows, seed=seed)
    base = after.loaded.told.about.based_on
    if not base:
        raise BadRequest(
            read=f"{first} alone", where="compare", wanted="two files, or one that has based_on under [plant]"
        )
    return compare(_side(judge_file(Path(first).parent / base, rows=rows, seed=seed)), _side(after))


def _side(judged: Judged) -> Side:
    loaded = judged.loaded
    name = f"{loaded.told.about.name} ({loaded.path.name})"
    return Side(name, loaded.told, judged.reach, judged.findings)
