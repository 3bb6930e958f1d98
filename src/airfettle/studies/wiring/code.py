"""Which code the wires are chosen by: its tables, its reserve, and how it writes a size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from airfettle.parts.conductor import CONTINUOUS_FACTOR, ambient_factor, areas, size_names
from airfettle.quantity import Units


@dataclass(frozen=True)
class Code:
    """A code for wiring.

    Attributes
    ----------
    name : str
        NEC or IEC.
    system, cooler : str
        Ways to rate a conductor, see ``parts.conductor``; the second for terminals of 60 °C, empty for none.
    reserve : float
        Ampacity over the current, for the largest load. [-]
    series : str
        Standard ratings of devices.
    copper : float
        Temperature of a fully loaded conductor, for its resistance. [K]
    ampacity_source : str
        Key of the source of the ampacities.
    """

    name: Literal["NEC", "IEC"]
    system: str
    cooler: str
    reserve: float
    series: str
    copper: float
    ampacity_source: str

    def size(self, index: int) -> str:
        """Return the name of a size with its unit."""
        return f"{size_names(self.system)[index]} {'AWG' if self.name == 'NEC' else 'mm²'}"

    def at_least(self, area: float) -> int:
        """Return the smallest listed size of an area, the largest where none is. [-]"""
        listed = areas(self.system)
        return min(int(np.searchsorted(listed * (1.0 + 1e-9), area)), listed.size - 1)

    def nearest(self, area: float) -> int:
        """Return the listed size nearest to an area as told. [-]"""
        return int(np.argmin(np.abs(np.log(areas(self.system) / area))))

    def warm(self, ambient: float, *, system: str = "") -> float:
        """Return what a room leaves of an ampacity; a cold one adds nothing. [-]"""
        return min(float(ambient_factor(ambient, system=system or self.system)), 1.0)


NEC = Code("NEC", "nec-75", "nec-60", CONTINUOUS_FACTOR, "nec", 348.15, "nec")
IEC = Code("IEC", "iec-b2", "", 1.0, "iec", 343.15, "iec-60364-5-52")


def code_of(units: Units) -> Code:
    """Return the code that an owner who writes these units wires by."""
    return NEC if units == "US" else IEC
