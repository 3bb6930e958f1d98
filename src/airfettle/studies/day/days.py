"""A plant that was run through days, with all that is said of it."""

from __future__ import annotations

from dataclasses import dataclass

from airfettle.studies.day.answers import DayAnswers, ToolAnswers
from airfettle.studies.day.many import Tally
from airfettle.studies.day.prepared import Prepared
from airfettle.studies.day.run import Path


@dataclass(frozen=True)
class Days:
    """A plant that was run; what charts and reports read.

    Attributes
    ----------
    prepared : Prepared
        The plant made ready to run. [SI]
    tally : Tally
        What every path wrote down. [SI]
    answers : DayAnswers
        What it comes to, for every path. [SI]
    tools : tuple of ToolAnswers
        The same for each tool. [SI]
    traced : Path or None
        One path step by step: the plant at likely values. [SI]
    seed : int
        Of the chance.
    """

    prepared: Prepared
    tally: Tally
    answers: DayAnswers
    tools: tuple[ToolAnswers, ...]
    traced: Path | None
    seed: int
