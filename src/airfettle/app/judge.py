"""Judge a plant file: what may hurt, what does not fit, what nobody told."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from airfettle.app.load import Loaded, believed
from airfettle.errors import EntriesDisagree
from airfettle.findings.finding import Finding
from airfettle.findings.judge import judge
from airfettle.store.plant_file import placed_in
from airfettle.studies.draw import ROWS
from airfettle.studies.reach import Reach, reach


@dataclass(frozen=True)
class Judged:
    """A plant with what was found about it.

    Attributes
    ----------
    loaded : Loaded
        As told and as drawn.
    reach : Reach
        At every point its settings can bring it to. [SI]
    findings : tuple of Finding
        Worst first.
    """

    loaded: Loaded
    reach: Reach
    findings: tuple[Finding, ...]

    def danger(self, *, strict: bool = False) -> bool:
        """Return whether a danger holds; strictly, whether one may hold or its fact is not told."""
        told = [f for f in self.findings if f.state != "clear" and f.rule_signal == "danger"]
        return any(strict or (f.signal == "danger" and f.state == "holds") for f in told)


def judge_loaded(loaded: Loaded, *, clear: bool = False) -> Judged:
    """Judge a plant that was read and drawn."""
    try:
        there = reach(loaded.draw)
    except EntriesDisagree as error:
        raise placed_in(loaded.path, error) from error
    found = judge(there, belief=loaded.belief, contradictions=loaded.contradictions, clear=clear)
    return Judged(loaded, there, found)


def judge_file(path: str | Path, *, rows: int = ROWS, seed: int = 1, clear: bool = False) -> Judged:
    """Read, draw and judge a plant.

    Parameters
    ----------
    path : path
        The plant file.
    rows, seed : int
        Of the draw.
    clear : bool
        Also tell what was looked at and is in order.

    Raises
    ------
    AirfettleError
        One clear error.
    """
    return judge_loaded(believed(path, rows=rows, seed=seed), clear=clear)
