"""What to know of a supply when wiring from it, in words for a drawing."""

from __future__ import annotations

import numpy as np

from airfettle.parts.supply import high_leg_voltage, supply_kind
from airfettle.quantity import plain
from airfettle.studies.completion.power import SUPPLY_ROWS, PowerNumbers
from airfettle.studies.wiring.amps import nominal_voltage, told_span
from airfettle.studies.wiring.wired import Wired

SHORT_OF_VOLTS = 0.91
"""Supply volts over plate volts below which a motor is told to lack volts; 208 V on 230 V is 0.904. [-]
Source: practice."""

NEAR_NOMINAL = 0.06
"""Distance within which volts that were read are called by the supply's name. [-]  Source: ansi-c84-1."""


def supply_notes(wired: Wired, power: PowerNumbers) -> tuple[str, ...]:
    """Return what to know of a train's supply.

    Parameters
    ----------
    wired : Wired
        The train. [SI]
    power : PowerNumbers
        The same as numbers. [SI]

    Returns
    -------
    tuple of str
        Short sentences; none for an ordinary supply. [text]

    References
    ----------
    [nec] 110.15, 408.3(E); [nec-drives-memory] 240.85; [nec-455]; [practice]
    """
    kind, volts = (
        wired.fact("supply", "kind"),
        float(np.ravel(nominal_voltage(wired.draw.plant.trains[wired.place], power))[0]),
    )
    found: list[str] = list(_BY_KIND.get(str(kind), ()))
    if kind == "240 high-leg delta":
        found += _high_leg(wired, volts)
    if kind in ("single-phase 120/240", "single-phase 230") and wired.on_drive:
        both = "both live wires" if kind == "single-phase 120/240" else "line and neutral"
        found.append(f"The drive's whole input amps flow in {both}.")
    return (*found, *_volts(wired, power, volts))


def _high_leg(wired: Wired, volts: float) -> list[str]:
    """Which legs of a high-leg delta may feed what."""
    high, half, between = (
        plain(round(value), kind="voltage", units=wired.units)
        for value in (float(high_leg_voltage(volts)), volts / 2.0, volts)
    )
    found = [
        f"L2 is the high leg, orange: {high} to neutral. Nothing from it to neutral.",
        f"{half} to neutral: only from L1 or L3. {between}, single phase: L1 and L3.",
        "A breaker on the high leg is marked 240 V, not 120/240 V.",
    ]  # fmt: skip
    if len(wired.feed) == 2:
        found.append(f"The {'drive' if wired.on_drive else 'motor'} is fed from L1 and L3.")
    return found


_GENERATOR = "Its plate's amps are the most there is: a breaker for them belongs on the generator."
_AHEAD = "Ahead of the converter: wires for 125 % of its input amps by its plate, and no larger device than that."
_BY_KIND: dict[str, tuple[str, ...]] = {
    "208 wye": ("208 V between legs, 120 V from a leg to neutral.",),
    "240 corner-grounded delta": (
        "One leg stands at earth: never a fuse in that one alone; a switch or breaker opens all three.",
        "Breakers are marked 240 V, not 120/240 V; the drive must be made for an earthed leg.",
    ),
    "480/277 wye": ("277 V from a leg to earth: breakers marked 480Y/277 V will do on this supply, not on a delta.",),
    "rotary converter": (
        _AHEAD,
        "L3 is made by the converter: nothing on a single phase from it.",
    ),
    "static converter": (
        _AHEAD,
        "L3 is made by the converter: nothing on a single phase from it, and never a drive behind it.",
    ),
    "generator, single-phase": (_GENERATOR,),
    "generator, three-phase": (_GENERATOR,),
}  # fmt: skip


def _volts(wired: Wired, power: PowerNumbers, volts: float) -> list[str]:
    """A motor joined for other volts than the supply's, where both are told."""
    plate = told_span(wired, "motor", "voltage")
    known = wired.fact("supply", "kind", None) is not None or told_span(wired, "supply", "voltage") is not None
    if plate is None or not known:
        return []
    kind = wired.fact("supply", "kind", None)
    nominal = supply_kind(SUPPLY_ROWS[kind]).voltage if kind else volts
    share = volts / plate.likely
    volts = nominal if abs(volts / nominal - 1.0) < NEAR_NOMINAL else volts
    if share >= SHORT_OF_VOLTS:
        return []
    joined, there = (plain(value, kind="voltage", units=wired.units) for value in (plate.likely, volts))
    words = f"The motor is joined for {joined}, the supply gives {there}: join or buy it for {there}"
    if wired.on_drive:
        hertz = float(np.ravel(power.motor.frequency)[0]) * share
        return [f"{words}, or stay below {plain(hertz, kind='frequency', units=wired.units)}."]
    return [f"{words}; as it is it draws more amps and pulls out sooner."]
