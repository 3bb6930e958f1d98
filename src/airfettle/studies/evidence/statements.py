"""Statements about derived numbers: motor amps by plate, stated deliveries, readings on the running plant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from airfettle.plant.control import Reading
from airfettle.plant.pump import Pump
from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import Known, Span, read_span
from airfettle.studies.instant.state import PathState, TrainState
from airfettle.studies.meaning import Meaning, meanings

Array = NDArray[np.float64]

PUMP_UP_TIME = "pump_up_time"
"""The one reading that is no answer of an instant: seconds from one receiver pressure to another."""

CHANCE_WRONG: dict[Known, float] = {
    "measured": 0.02, "nameplate": 0.05, "maker": 0.05, "told": 0.3, "guess": 0.3, "assumed": 0.3,
}  # fmt: skip
"""Chance that a statement is about something else altogether, by how it is known. [-]  Source: practice."""
EITHER_SIDE = 0.5
"""Half width of the flat belief about a wrong statement, share of its value. [-]  Source: practice."""
FLAT_AMOUNT = {"temperature": 60.0, "temperature_difference": 30.0, "sound_level": 20.0, "pressure_difference": 5e4}
"""The same as an amount, for kinds without a natural zero. [K] [K] [dB] [Pa]  Source: practice."""

MODEL_DOUBT: dict[str, float] = {
    "current": 0.02, "power": 0.01, "intake_flow": 0.01, "time": 0.02, "specific_power": 0.01, "fraction": 0.01,
    "torque": 0.01,
}  # fmt: skip
"""How far the equations themselves may be off, one standard deviation, share of the value. [-]  Source: practice."""
MODEL_AMOUNT = {"temperature": 1.5, "temperature_difference": 1.0, "sound_level": 0.5, "pressure": 1_500.0}
"""The same as an amount. [K] [K] [dB] [Pa]  Source: practice."""

HOT_DOUBT = 0.06
"""Doubt of a pump-up from rest whose settled pressure was not read: the tank is hotter or colder. [-]  Source:
airfettle-equations (d)."""

Sort = Literal["plate amps", "stated delivery", "reading", "pump-up"]


@dataclass(frozen=True)
class Statement:
    """Something said about a derived number.

    Attributes
    ----------
    path : str
        Its place in the plant: ``motor.current``, ``pump.rated.2``, ``reading.1``.
    sort : str
        How it is predicted.
    label : str
        What was said, in words.
    span : Span
        The value with its tolerance. [SI]
    train : int
        Which train it is about. [-]
    place : int
        Which statement of its list. [-]
    what : str
        Answer id, for readings.
    conditions : tuple
        What it was read at; readings with the same share an instant.
    more_doubt : float
        Doubt of the way it is predicted, one standard deviation, share of the value. [-]
    """

    path: str
    sort: Sort
    label: str
    span: Span
    train: int = 0
    place: int = 0
    what: str = ""
    conditions: tuple[Any, ...] = ()
    more_doubt: float = 0.0

    @property
    def value(self) -> float:
        """Value stated; the middle of a range. [SI]"""
        return self.span.likely if self.span.form != "flat" else 0.5 * (self.span.low + self.span.high)

    @property
    def deviation(self) -> float:
        """One standard deviation of the statement and of the equations it is compared with. [SI]"""
        wide = self.span.high - self.span.low
        own = wide / np.sqrt(12.0) if self.span.form == "flat" else wide / 4.0
        model = MODEL_AMOUNT.get(self.span.kind, MODEL_DOUBT.get(self.span.kind, 0.003) * abs(self.value))
        return float(np.sqrt(max(own, 1e-4 * abs(self.value)) ** 2 + model**2 + (self.more_doubt * self.value) ** 2))

    @property
    def chance_wrong(self) -> float:
        """Chance, before anything else is known, that it is wrong altogether. [-]"""
        return CHANCE_WRONG[self.span.known]

    @property
    def flat_density(self) -> float:
        """Density of the flat belief about a wrong statement. [1/SI]"""
        half = FLAT_AMOUNT.get(self.span.kind, EITHER_SIDE * abs(self.value))
        return 1.0 / (2.0 * max(half, 3.0 * self.deviation))


def reading_meanings() -> dict[str, Meaning]:
    """Return what may be read on a running plant, by id: every answer, and the time of a pump-up."""
    every = meanings(TrainState) | meanings(PathState)
    found = {name: m for name, m in every.items() if m.is_answer}
    return found | {PUMP_UP_TIME: Meaning("time of a pump-up", "time", "t")}


def statements(plant: OwnersPlant) -> tuple[Statement, ...]:
    """Return every statement of a plant that is not what a number is already solved from.

    A stated delivery that the pump's size is solved from says nothing further; one beside measured cylinders does.
    """
    return (*_of_trains(plant), *(_reading(plant, r, i) for i, r in enumerate(plant.reading)))


def _of_trains(plant: OwnersPlant) -> Iterator[Statement]:
    for place, train in enumerate(plant.trains):
        own = f"train.{train.name or place + 1}." if plant.train else ""
        motor, pump = train.motor, train.pump
        if motor is not None and motor.current is not None:
            yield Statement(f"{own}motor.current", "plate amps", "amps on the motor's plate", motor.current, place)
        if pump is not None and not pump.absent:
            for i, stated in enumerate(pump.rated):
                if i or sized_otherwise(pump):
                    path = f"{own}pump.rated" + (f".{i + 1}" if len(pump.rated) > 1 else "")
                    label = f"delivery of {stated.air.text} at {stated.at.text}"
                    yield Statement(path, "stated delivery", label, stated.air, place, i)


def sized_otherwise(pump: Pump[Any]) -> bool:
    """Return whether bore and stroke, or a displacement, give the pump's size without its stated delivery."""
    measured = pump.first_stage is not None and pump.first_stage.bore is not None
    return measured or pump.displacement is not None or pump.displacement_flow is not None


def _reading(plant: OwnersPlant, reading: Reading[Span], place: int) -> Statement:
    meaning = reading_meanings()[reading.what]
    path = "reading" + (f".{place + 1}" if len(plant.reading) > 1 else "")
    span = read_span(reading.value, kind=meaning.kind, where=path, known="measured", by=reading.by)
    assert span is not None
    names = [train.name for train in plant.trains]
    pump_up = reading.what == PUMP_UP_TIME
    told = (reading.frequency, reading.receiver_pressure)
    return Statement(
        path, "pump-up" if pump_up else "reading", f"{meaning.label} {reading.value}", span,
        train=names.index(reading.part) if reading.part else 0, place=place, what=reading.what,
        conditions=tuple((t.text, t.likely, t.high - t.low) if t else None for t in told),
        more_doubt=HOT_DOUBT if pump_up and reading.settled_pressure is None else 0.0,
    )  # fmt: skip
