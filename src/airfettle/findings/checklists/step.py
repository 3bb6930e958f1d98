"""One step of a first start, and words that several steps share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airfettle.findings.checklists.fault_readings import fault_readings
from airfettle.findings.checklists.faults import short_title
from airfettle.findings.checklists.this_plant import ThisPlant, TrainSeen
from airfettle.findings.checklists.words import NOT_TOLD, bare
from airfettle.studies.commissioning import Expected

LOCK = "Locked off and without pressure"
ALONE = "The drive alone: power on it, motor leads off its terminals"
POWER = "First power, outlet open: no pressure"
PRESSURE = "First pressure"
RUNNING = "Running at pressure"
STOPS = "What stops it"
NIGHT = "Standing"
GROUPS = (LOCK, ALONE, POWER, PRESSURE, RUNNING, STOPS, NIGHT)
"""Parts of the list, in order; power comes with the second."""
LICENSED = "whoever is licensed"
"""Measures what is live, as codes want it."""


@dataclass(frozen=True)
class Step:
    """One step.

    Attributes
    ----------
    group : str
        One of GROUPS.
    do, expect : str
        What to do and with what, and what this plant shows where all is well, with the limit where there is one.
    fail : str
        What it means otherwise, and what to do then.
    fault : str
        Name of the symptom to go on with; empty for none.
    readings : tuple of Expected
        Predicted readings behind ``expect``; those that a plant file can take come back as [[reading]].
    """

    group: str
    do: str
    expect: str
    fail: str
    fault: str = ""
    readings: tuple[Expected, ...] = ()

    @property
    def otherwise(self) -> str:
        """What to do where it is not so, with the symptom to go on with."""
        return self.fail + (f" See '{short_title(self.fault)}'." if self.fault else "")


def three_leads(this: ThisPlant, train: TrainSeen) -> bool:
    """Return whether a motor has three phases."""
    return int(np.max(this.case.reach.numbers.trains[train.place].power.motor.phases)) == 3


def most_rpm(this: ThisPlant, train: TrainSeen) -> str:
    """Return the pump's highest speed in words, where it is told."""
    pump = train.pump
    return f"; never above {bare(pump.shown('maximum_speed'))}" if pump.told("maximum_speed") else ""


def relief_setting(this: ThisPlant) -> str:
    """Return what the receiver's relief valve is set to."""
    found = fault_readings(this, trains=this.trains)["relief"]
    return "the relief valve's setting" if found == NOT_TOLD else f"{found} (relief valve)"


def some(found: Expected | None) -> tuple[Expected, ...]:
    """Return a reading as the only one of a tuple; an empty one where there is none."""
    return () if found is None else (found,)
