"""Live wires of one run: the smallest that will do, what is lost in it, and how the one that is there compares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.conductor import (
    areas,
    installed_ampacity,
    resistance_for_drop,
    resistances,
    smallest_conductor,
    voltage_drop,
)
from airfettle.quantity import Units
from airfettle.studies.wiring.amps import Chosen, amps_text
from airfettle.studies.wiring.code import Code
from airfettle.studies.wiring.sized import Run, Spread, WireState, WireThere

Array = NDArray[np.float64]

DROP_WANTED = 0.03
"""Share of the volts that a run should not lose. [-]  Source: nec 210.19, a note there."""
AHEAD_OF_A_CONVERTER = 2.0
"""Amps on the two wires ahead of a phase converter over the three-phase amps behind it; with the reserve of a quarter
that is the code's 250 %. [-]  Source: nec-455 455.6(A)(2)."""


@dataclass(frozen=True)
class Place:
    """What a run is like, whatever it carries.

    Attributes
    ----------
    where : str
        From where to where.
    phases : int
        That it carries, 1 or 3. [-]
    length : ndarray
        One way. [m]
    voltage, ambient : float
        Between its live wires; hottest air of the room. [V] [K]
    wire : ndarray or None
        Copper of the wire that is told. [m2]
    told : str
        The same in the owner's words.
    """

    where: str
    phases: int
    length: Array
    voltage: float
    ambient: float
    wire: Array | None
    told: str


def run_of(
    place: Place, each: Sequence[Chosen], *, code: Code, units: Units, ahead: bool = False, device: float = 0.0,
    sources: tuple[str, ...] = (),
) -> Run:  # fmt: skip
    """Return the smallest wires for a run.

    Parameters
    ----------
    place : Place
        The run. [SI]
    each : sequence of Chosen
        Amps of all that it feeds. [A]
    code : Code
        NEC or IEC.
    units : str
        The owner's.
    ahead : bool
        It feeds a phase converter; the amps are those behind it.
    device : float
        Capacity that the device ahead asks for; 0 where the wires need not follow it. [A]
    sources : tuple of str
        Keys that the amps rest on.

    Returns
    -------
    Run
        [SI]

    References
    ----------
    [nec] 430.22(A), 430.122, table 310.16; [nec-drives-memory] 430.24; [nec-455]; [iec-60364-5-52]
    """
    amps = [one.amps * (AHEAD_OF_A_CONVERTER if ahead else 1.0) for one in each]
    needed = max(sum(amps) + (code.reserve - 1.0) * max(amps), device)
    loaded, warm = 3 if place.phases == 3 else 2, code.warm(place.ambient)
    found = smallest_conductor(needed / max(warm, 1e-9), system=code.system, loaded=loaded)
    row, enough = int(found.index), float(found.margin) >= 0.0
    losing = _Losing(place, sum(amps), code)
    drop = losing.drop(float(found.resistance))
    return Run(
        where=place.where, current=sum(amps), needed=needed, by=_by(each), why=_why(each, code, units, ahead, device),
        sure=all(one.sure for one in each), phases=place.phases, loaded=loaded,
        size=code.size(row) if enough else "", area=float(found.area), ampacity=float(found.ampacity) * warm,
        at_60=_at_60(needed, place.ambient, code, row, enough), ambient=place.ambient, factor=warm, drop=drop,
        drop_share=losing.share(drop), thicker=losing.thicker(row) if enough else "",
        there=_there(place, needed, code, loaded, losing), units=units,
        sources=tuple(dict.fromkeys((code.ampacity_source, *sources))),
    )  # fmt: skip


@dataclass(frozen=True)
class _Losing:
    """What a run loses on the way."""

    place: Place
    amps: float
    code: Code

    def drop(self, resistance: float) -> Spread:
        """Return the volts lost. [V]"""
        lost = voltage_drop(self.amps, resistance=resistance, length=self.place.length, phases=self.place.phases)
        low, likely, high = np.percentile(np.ravel(lost), [5.0, 50.0, 95.0])
        return float(low), float(likely), float(high)

    def share(self, drop: Spread) -> Spread:
        """Return volts lost over the supply's. [-]"""
        low, likely, high = (end / self.place.voltage for end in drop)
        return low, likely, high

    def ohms(self) -> Array:
        """Return the resistance of every size, fully loaded. [ohm/m]"""
        return resistances(self.code.system, temperature=self.code.copper)

    def thicker(self, row: int) -> str:
        """Return the size that keeps the drop, where a row of the list does not; else nothing."""
        length = float(np.median(self.place.length))
        most = resistance_for_drop(
            DROP_WANTED * self.place.voltage, current=self.amps, length=length, phases=self.place.phases
        )
        ohms = self.ohms()
        wanted = int(np.searchsorted(-ohms * (1.0 + 1e-9), -float(most)))
        return self.code.size(min(wanted, ohms.size - 1)) if wanted > row else ""


def _there(place: Place, needed: float, code: Code, loaded: int, losing: _Losing) -> WireThere | None:
    """How the wire that is told compares."""
    if place.wire is None:
        return None
    area = float(np.median(place.wire))
    cool = float(installed_ampacity(area, system=code.system, loaded=loaded))
    warm = cool * code.warm(place.ambient)
    state: WireState = "ok" if warm >= needed * (1 - 1e-9) else "close" if cool >= needed * (1 - 1e-9) else "too small"
    listed = areas(code.system)
    drop = losing.drop(float(np.interp(area, listed, losing.ohms() * listed)) / area)
    return WireThere(place.told, area, warm, state, drop, losing.share(drop))


def _at_60(needed: float, ambient: float, code: Code, row: int, enough: bool) -> str:
    """Return the size by the 60 degC column, where it is another."""
    if not code.cooler or not enough:
        return ""
    warm = code.warm(ambient, system=code.cooler)
    found = smallest_conductor(needed / max(warm, 1e-9), system=code.cooler)
    if warm <= 0.0 or float(found.margin) < 0.0:
        return "none listed"
    return code.size(int(found.index)) if int(found.index) != row else ""


def _by(each: Sequence[Chosen]) -> str:
    """Return what the amps are; of several, each once."""
    return ", and ".join(dict.fromkeys(one.by for one in each))


def _why(each: Sequence[Chosen], code: Code, units: Units, ahead: bool, device: float) -> str:
    """Return how the ampacity comes of the amps."""
    amps = sorted((one.amps for one in each), reverse=True)
    shown = [amps_text(value, units=units) for value in amps]
    if code.name == "IEC" and device:
        return f"for {amps_text(device, units=units)}"
    if ahead:
        return f"{100 * AHEAD_OF_A_CONVERTER * code.reserve:.0f} % of {' and '.join(shown)}, ahead of the converter"
    first = f"125 % of {shown[0]}" if code.reserve > 1.0 else f"for {shown[0]}"
    return " and ".join([first, *(f"{value} more" for value in shown[1:])])
