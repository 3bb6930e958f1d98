"""Peaks at the motor: how far a drive's steps are thrown back by the lead, and the longest lead its winding bears."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from airfettle.parts.drive import bus_voltage
from airfettle.parts.drive_start import (
    ANY_LENGTH,
    RISE_TIMES,
    full_reflection_length,
    insulation_peak,
    longest_lead,
    terminal_peak,
)
from airfettle.quantity import Units, in_unit, plain
from airfettle.studies.completion.power import PowerNumbers
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.wiring.sized import Spread
from airfettle.studies.wiring.wired import Wired, trains_of

State = Literal["any length", "short enough", "too long"]
SOURCES = ("physics", "nema-mg1-memory", "practice")


@dataclass(frozen=True)
class LeadPeaks:
    """Peaks at the end of one motor lead.

    Attributes
    ----------
    place : int
        Which train, from 0.
    full_from : Spread
        Length of lead from which a step is thrown back in full, by the drive's rise time. [m]
    peak, most : Spread
        Peak at the end of this lead, and of any lead. [V]
    held : float
        Peak that the winding is made for. [V]
    longest : float or None
        Longest lead that the winding bears, at the likely rise time; None for any length. [m]
    length : Spread
        The lead that is there. [m]
    state : str
        See State.
    words : str
        For the drawing.
    sources : tuple of str
    """

    place: int
    full_from: Spread
    peak: Spread
    most: Spread
    held: float
    longest: float | None
    length: Spread
    state: State
    words: str
    sources: tuple[str, ...] = SOURCES


def lead_peaks(draw: Draw, numbers: PlantNumbers) -> tuple[LeadPeaks | None, ...]:
    """Return the peaks at every motor on a drive.

    Parameters
    ----------
    draw : Draw
        The plant as drawn. [SI]
    numbers : PlantNumbers
        The same with its gaps filled. [SI]

    Returns
    -------
    tuple of LeadPeaks or None
        One of each train; None for a motor on the line, or without a lead. [SI]

    Notes
    -----
    Valid: no filter or reactor at the drive's output; a winding in good order.  A motor of which nobody told whether it
    is made for a drive is taken for a general one.

    References
    ----------
    [nema-mg1-memory] parts 30 and 31; [practice] for rise times, speed and reflected share
    """
    return tuple(_peaks(wired, numbers.trains[wired.place].power) for wired in trains_of(draw))


def _peaks(wired: Wired, power: PowerNumbers) -> LeadPeaks | None:
    lead = wired.parts.get("motor_lead")
    if not wired.on_drive or lead is None or lead.wire_length is None:
        return None
    bus = bus_voltage(power.supply_voltage)
    duty = wired.fact("motor", "inverter_duty") == "yes"
    held = float(np.ravel(insulation_peak(power.motor.voltage, inverter_duty=duty))[0])
    peak, most = (_spread(terminal_peak(bus, lead_length=length)) for length in (lead.wire_length, ANY_LENGTH))
    bears = float(np.median(longest_lead(bus, peak=held)))
    short, likely, long = (float(full_reflection_length(time)) for time in RISE_TIMES)
    longest = None if bears >= ANY_LENGTH else bears
    state: State = "any length" if longest is None else "too long" if peak[1] > held else "short enough"
    words = _words(state, wired.units, peak=peak[1], most=most[1], held=held, longest=bears, full=short, duty=duty)
    return LeadPeaks(wired.place, (short, likely, long), peak, most, held, longest, _spread(lead.wire_length), state,
                     words)  # fmt: skip


def _words(
    state: State, units: Units, *, peak: float, most: float, held: float, longest: float, full: float, duty: bool
) -> str:
    """What the drawing says of the lead."""
    made = f"the {plain(held, kind='voltage', units=units)} {'this motor' if duty else 'a general winding'} is made for"
    if state == "any length":
        return f"Peaks at the motor stay below {_volts(most, units)} with any length of lead, under {made}."
    bears = f"at most {_far(longest, units)} of lead, or a filter at the drive's output"
    if state == "too long":
        return f"Peaks of {_volts(peak, units)} at the motor, above {made}: {bears}."
    return f"Keep the lead short: {bears}; longer, its peaks reach {_volts(most, units)}, above {made}."


def _volts(value: float, units: Units) -> str:
    """Volts to two digits, as sure as they are."""
    return plain(float(f"{value:.2g}"), kind="voltage", units=units)


def _far(length: float, units: Units) -> str:
    """A length of lead to two digits."""
    unit = "ft" if units == "US" else "m"
    far = in_unit(length, kind="length", unit=unit)
    return f"{float(f'{far:.2g}'):g} {unit}"


def _spread(rows: object) -> Spread:
    low, likely, high = np.percentile(np.ravel(np.asarray(rows, dtype=np.float64)), [5.0, 50.0, 95.0])
    return float(low), float(likely), float(high)
