"""Readings taken on the running plant: what was read must be an answer, and its value of that answer's kind."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from airfettle.errors import EntriesDisagree, MissingEntry, UnknownChoice
from airfettle.plant.control import Reading
from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import Span, read_span
from airfettle.studies.evidence.statements import PUMP_UP_TIME, reading_meanings
from airfettle.studies.instant.state import TrainState
from airfettle.studies.meaning import meanings

FROM_REST = 0.5e5
"""Gauge pressure up to which a pump-up counts as begun from an empty receiver. [Pa]"""


def check_readings(plant: OwnersPlant, *, path: str | Path) -> None:
    """Check every [[reading]] of a plant.

    Raises
    ------
    AirfettleError
        A reading of something the program does not answer, of which train is not said, or a value that cannot be read.
    """
    every = reading_meanings()
    for number, reading in enumerate(plant.reading, start=1):
        where = f"{path}, reading {number}"
        if reading.what not in every:
            near = get_close_matches(reading.what, every, n=1)
            raise UnknownChoice(
                read=f"what = {reading.what!r}", where=where, wanted="an answer id: " + ", ".join(every),
                instead=near[0] if near else "",
            )  # fmt: skip
        value = read_span(
            reading.value, kind=every[reading.what].kind, where=f"{where}, value", known="measured", by=reading.by
        )
        if value is None:
            raise MissingEntry(read=f"value = {reading.value!r}", where=where, wanted="what was read, with its unit")
        _check_train(plant, reading, where)
        if reading.what == PUMP_UP_TIME:
            _check_pump_up(reading, where)


def _check_train(plant: OwnersPlant, reading: Reading[Span], where: str) -> None:
    """Refuse a reading of one train that does not say of which, and of one that is not there."""
    names = [train.name for train in plant.trains]
    if reading.part and reading.part not in names:
        wanted = f"one of: {', '.join(names)}" if len(names) > 1 else "no part: this plant has one train"
        raise UnknownChoice(read=f"part = {reading.part!r}", where=where, wanted=wanted)
    if len(names) > 1 and not reading.part and reading.what in meanings(TrainState):
        raise MissingEntry(
            read=f"a reading of {reading.what} in a plant of {len(names)} trains", where=where,
            wanted=f"part, one of: {', '.join(names)}",
        )  # fmt: skip


def _check_pump_up(reading: Reading[Span], where: str) -> None:
    """Refuse a timed pump-up that tells too little: a hot receiver shows more air than it holds."""
    start, end = reading.from_pressure, reading.to_pressure
    if start is None or end is None:
        missing = "from_pressure" if start is None else "to_pressure"
        raise MissingEntry(
            read=f"a pump-up without {missing}", where=where, wanted="from_pressure and to_pressure, by gauge"
        )
    if start.likely >= end.likely:
        raise EntriesDisagree(
            read=f"a pump-up from {start.text} to {end.text}", where=where, wanted="from_pressure below to_pressure"
        )
    if reading.settled_pressure is None and start.likely > FROM_REST:
        raise MissingEntry(
            read=f"a pump-up from {start.text} without settled_pressure", where=where,
            wanted="settled_pressure, read when the closed receiver's gauge has stood still: over a narrow band a hot "
            "receiver over-reads by a third to a half; or a pump-up from empty",
        )  # fmt: skip
