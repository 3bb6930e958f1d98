"""One train as its settings see it: what was told of it and how, its numbers, its window and its state at both ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.quantity import in_unit, shown_unit, toleranced
from airfettle.studies.completion.whole import PlantNumbers, TrainNumbers
from airfettle.studies.instant.state import TrainState
from airfettle.studies.settings.setting import State
from airfettle.studies.speed_card import SpeedCard
from airfettle.studies.speed_window import SpeedWindow
from airfettle.studies.wiring.wired import Wired

Array = NDArray[np.float64]
THREE_DIGITS = 1000.0
"""Number from which it is shown whole. [-]"""


@dataclass(frozen=True)
class OneTrain:
    """One train of a plant for its settings.

    Attributes
    ----------
    wired : Wired
        Its parts and facts, as the wiring drawings see them.
    plant, numbers : PlantNumbers, TrainNumbers
        The whole plant, and this train. [SI]
    window, card : SpeedWindow, SpeedCard
        How slow and fast it may run, and what it gives there. [SI]
    state : TrainState
        Axes (draw, frequency, pressure): slowest and fastest set, at each row's cut-in and cut-out. [SI]
    """

    wired: Wired
    plant: PlantNumbers
    numbers: TrainNumbers
    window: SpeedWindow
    card: SpeedCard
    state: TrainState

    @property
    def name(self) -> str:
        """Its name; empty in a plant with one."""
        return self.window.train

    @property
    def slowest(self) -> float:
        """Lowest frequency it is set to. [Hz]"""
        return min(speed.frequency for speed in self.card.speeds)

    @property
    def fastest(self) -> float:
        """Highest frequency it is set to. [Hz]"""
        return max(speed.frequency for speed in self.card.speeds)

    @property
    def base_frequency(self) -> float:
        """Of the motor's plate. [Hz]"""
        return self.likely(self.numbers.power.motor.frequency)

    def fact(self, section: str, name: str, default: Any = "unknown") -> Any:
        """Return an answer or choice."""
        return self.wired.fact(section, name, default)

    def told(self, section: str, name: str) -> bool:
        """Return whether the owner told a quantity."""
        return bool(self.wired.told(section, name))

    def given(self, section: str, name: str) -> float | None:
        """Return the likely value of a quantity the owner told; None where nobody did. [SI]"""
        path = f"{self.wired.path(section)}.{name}"
        return self.wired.draw.spans[path].likely if self.told(section, name) else None

    def known(self, *entries: str) -> State:
        """Return how sure what rests on entries is; a guess counts as assumed."""
        spans, assumed = self.wired.draw.spans, self.wired.draw.assumed
        for entry in entries:
            section, _, name = entry.partition(".")
            path = f"{self.wired.path(section)}.{name}"
            if path not in spans or path in assumed or spans[path].known in ("guess", "assumed"):
                return "assumed"
        return "sure"

    def rows(self, values: Any) -> Array:
        """Return numbers of a draw as one of each row, at the highest frequency and pressure. [SI]"""
        found = np.asarray(values, dtype=np.float64)
        return np.broadcast_to(found[:, -1, -1] if found.ndim == 3 else found.ravel(), (self.wired.draw.rows,))

    def likely(self, values: Any) -> float:
        """Return the middle of numbers of a draw. [SI]"""
        return float(np.median(self.rows(values)))

    def at_most(self, values: Any) -> float:
        """Return what 95 of 100 rows stay under. [SI]"""
        return float(np.percentile(self.rows(values), 95.0))

    def at_least(self, values: Any) -> float:
        """Return what 95 of 100 rows stay over. [SI]"""
        return float(np.percentile(self.rows(values), 5.0))

    def say(self, value: float, kind: str) -> str:
        """Return a number in the owner's units: whole revolutions, three digits of anything else. [SI]"""
        unit = shown_unit(kind, self.wired.units)
        number = in_unit(value, kind=kind, unit=unit)
        number = round(number) if kind == "rotational_speed" or abs(number) >= THREE_DIGITS else float(f"{number:.3g}")
        return f"{number:g} {unit}".replace(" -", "")

    def spread(self, values: Any, kind: str) -> str:
        """Return numbers of a draw as a toleranced one in the owner's units; gauge for the kind ``pressure``. [SI]"""
        found = self.rows(values)
        low, middle, high = (float(np.percentile(found, percent)) for percent in (5.0, 50.0, 95.0))
        return toleranced(low, middle, high, kind=kind, units=self.wired.units)
