"""Readings taken on the running plant: what was read must be an answer, and its value of that answer's kind."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from airfettle.errors import UnknownChoice
from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import read_span
from airfettle.studies.rating import answer_meanings


def check_readings(plant: OwnersPlant, *, path: str | Path) -> None:
    """Check every [[reading]] of a plant.

    Raises
    ------
    AirfettleError
        A reading of something the program does not answer, or a value that cannot be read.
    """
    every = answer_meanings()
    for number, reading in enumerate(plant.reading, start=1):
        where = f"{path}, reading {number}"
        if reading.what not in every:
            near = get_close_matches(reading.what, every, n=1)
            raise UnknownChoice(
                read=f"what = {reading.what!r}", where=where, wanted="an answer id: " + ", ".join(every),
                instead=near[0] if near else "",
            )  # fmt: skip
        read_span(
            reading.value, kind=every[reading.what].kind, where=f"{where}, value", known="measured", by=reading.by
        )
