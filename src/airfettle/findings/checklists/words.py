"""Predicted readings in the words of a shop: a band between two ends, in the owner's units."""

from __future__ import annotations

from math import floor, log10

from airfettle.parts.belt_tension import POUND_FORCE
from airfettle.quantity import in_unit, shown_unit
from airfettle.quantity.shown import Units
from airfettle.studies.bands import Band
from airfettle.studies.commissioning import Expected

LONG, VERY_LONG = 100.0, 5400.0
"""Times beyond these are told in minutes, and in hours. [s]"""
FINEST = {
    "rotational_speed": 0,
    "temperature": 0,
    "sound_level": 0,
    "current": 1,
    "voltage": 0,
    "length": 3,
    "pressure": 1,
}
"""Most decimals worth reading off an instrument; others two. [-]"""
FINEST_BY_UNIT = {("pressure", "psi"): 0, ("length", "mm"): 1}
"""The same where the unit decides. [-]"""
COARSEST = {"rotational_speed": -1, "current": 0, "temperature": 0, "sound_level": 0}
"""Least decimals of a kind: nobody rounds amps to tens. [-]"""
NOT_TOLD = "(not told yet)"
"""Stands where a plant says too little to predict."""


def reading(found: Expected | None, *, units: Units) -> str:
    """Return a predicted reading as ``24.1 to 27.9 A``; NOT_TOLD where there is none."""
    return NOT_TOLD if found is None else between(found.band, kind=found.kind, units=units)


def between(band: Band, *, kind: str, units: Units) -> str:
    """Return nine tenths of a draw as ``24.1 to 27.9 A``, ends in the owner's units. [SI]"""
    if kind == "time":
        return time(band)
    if kind == "water_flow":
        return water(band)
    unit = shown_unit(kind, units)
    finest = FINEST_BY_UNIT.get((kind, unit), FINEST.get(kind, 2))
    ends = (in_unit(end, kind=kind, unit=unit) for end in (band.low, band.high))
    return ends_text(*ends, unit=unit, finest=finest, coarsest=COARSEST.get(kind, -1))


def one(value: float, *, kind: str, units: Units) -> str:
    """Return one number in the owner's units, rounded as ``between`` rounds. [SI]"""
    return between(Band(value, value, value, value), kind=kind, units=units)


def time(band: Band) -> str:
    """Return a time in seconds, minutes or hours, whichever its middle deserves. [s]"""
    for most, length, unit in ((LONG, 1.0, "s"), (VERY_LONG, 60.0, "min"), (float("inf"), 3600.0, "h")):
        if band.likely < most:
            return ends_text(band.low / length, band.high / length, unit=unit, finest=0 if unit == "s" else 1)
    raise ValueError(band)


def water(band: Band) -> str:
    """Return water in an hour, in litres or millilitres. [kg/s]"""
    litres = tuple(3600.0 * end for end in (band.low, band.high))
    if litres[1] < 1.0:
        return ends_text(1e3 * litres[0], 1e3 * litres[1], unit="mL", finest=0)
    return ends_text(*litres, unit="L", finest=2)


def force(low: float, high: float, *, units: Units) -> str:
    """Return a force between two ends. [N]"""
    if units == "US":
        return ends_text(low / POUND_FORCE, high / POUND_FORCE, unit="lbf", finest=1)
    return ends_text(low, high, unit="N", finest=0)


def ends_text(low: float, high: float, *, unit: str, finest: int = 2, coarsest: int = -1) -> str:
    """Return two ends to the digits that what lies between them deserves."""
    wide = high - low
    if wide > 1e-9 * max(abs(high), 1e-12):
        places = 1 - floor(log10(wide))
    else:
        places = 2 - floor(log10(abs(high))) if high else 0
    places = max(min(places, finest), min(coarsest, finest))
    a, b = (f"{round(end, places):.{max(places, 0)}f}" for end in (low, high))
    a, b = ("0" if not float(text) else text for text in (a, b))
    return f"{a if a == b else f'{a} to {b}'} {unit.strip('-')}".strip()


def bare(text: str) -> str:
    """Return what an owner wrote without how it is known: ``150 psi`` of ``150 psi by gauge``."""
    return text.partition(" by ")[0]
