"""Which entries of the plant file a number comes from: found by moving each of them a little, so that no list lags."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from airfettle.plant.part import Entry
from airfettle.plant.whole import TRAIN_SECTIONS, walk, walk_sections
from airfettle.quantity import Span
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import Draw
from airfettle.studies.redrawn import STEP, nudged
from airfettle.studies.shares import Ranks, shares_by, spread_entries
from airfettle.studies.whereabouts import There, Whereabouts, there

Array = NDArray[np.float64]

NAMED, LEAST = 5, 0.02
"""Entries named for the spread of a number, and the share of it from which one is. [-]"""
ALSO, MOVES = 3, 0.1
"""Others named that it moves with, and how far at least, its change over theirs. [-]"""
SEEN, SURELY = 1e-6, 0.06
"""Change over the entry's from which an entry bears on a number at all; share of the spread beyond what chance gives,
for a number that stands at a stop at likely values and moves only in other rows. [-]"""

SETTINGS: dict[str, tuple[str, ...]] = {
    "frequency": ("control.full", "control.quiet", "control.low", "drive.maximum_frequency",
                  "drive.minimum_frequency", "supply.frequency"),
    "receiver_pressure": ("control.cut_out", "control.cut_in"),
}  # fmt: skip
"""Numbers that say where it is looked at -> the settings that may have chosen it."""
OF_THE_WHOLE_DRAW = {"swept_density": ("site.room_temperature",)}
"""Numbers made from the ends of a spread, which no single row shows."""
CHOICES: dict[str, tuple[str, ...]] = {
    "drive_output_limit": ("drive.input_phases", "supply.kind"), "line_root": ("supply.kind", "motor.phases"),
    "supply_power_factor": ("drive.reactor", "supply.kind"), "available_torque_share": ("motor.inverter_duty",),
    "cooling_torque_share": ("motor.inverter_duty",), "belt_ratio": ("belt.section", "belt.diameters"),
    "displacement": ("pump.first_stage.cylinders",), "cooler_outlet_temperature": ("cooler.kind", "cooler.fan"),
    "excess_energy": ("pump.layout",), "belt_creep": ("belt",), "belt_efficiency": ("belt",),
    "drive_efficiency": ("drive",), "intake_drop": ("intake",), "cooler_drop": ("cooler",),
}  # fmt: skip
"""Number -> choices of the plant file that it hangs on; a section says only that there is none."""


@dataclass(frozen=True)
class EntryStep:
    """One entry of the plant file that a number comes from.

    Attributes
    ----------
    path, label : str
        Where it stands, and the trade's words.
    span : Span
        As told or assumed; ``known`` says which.
    source, assumed_for : str
        Source of the default, and the choice it was taken for; where it is assumed.
    share : float or None
        Share of the number's spread that comes from it; None where the number moves with it, but hardly any of the
        spread is its. [-]
    """

    path: str
    label: str
    span: Span
    source: str
    assumed_for: str
    share: float | None


@dataclass(frozen=True)
class ChoiceStep:
    """One choice of the plant file that a number hangs on, and what it says."""

    path: str
    label: str
    said: str


class Bearing:
    """What bears on the numbers of a plant at one point."""

    def __init__(self, draw: Draw, *, at: Whereabouts) -> None:
        self.draw, self.at = draw, at
        self.ranks = Ranks.of(spread_entries(draw))
        self.about: dict[str, tuple[Entry, str]] = {
            path: (entry, f"{entry.by} {getattr(section, entry.by)}" if entry.by else "")
            for path, section, _, entry, _ in walk(draw.plant)
        }

    @cached_property
    def _moved(self) -> tuple[There, dict[str, int]]:
        """The point again and again, in each row but the first one entry a little larger."""
        rows, places = nudged(self.draw)
        return there(rows, numbers=complete(rows), at=self.at), places

    def moves(self, name: str, *, place: int | None) -> dict[str, float]:
        """Return how far a number moves with each entry that bears on it: its relative change over the entry's. [-]

        Parameters
        ----------
        name : str
            Of the train at a place, or of the air path where that is None.
        place : int or None
            Which train.
        """
        at, places = self._moved
        rows = (at.path if place is None else at.trains[place])[name]
        if rows.size == 1:
            return {}
        change = (rows - rows[0]) / (STEP * (abs(float(rows[0])) or 1.0))
        return {path: float(change[row]) for path, row in places.items() if abs(change[row]) > SEEN}

    def entries(self, name: str, rows: Array, *, place: int | None) -> tuple[EntryStep, ...]:
        """Return the entries that a number's spread comes from, largest first, then others that it moves with."""
        train = place or 0
        if name in SETTINGS:
            return tuple(self._step(path, None) for path in self._settings(name, rows, train))
        moves = self.moves(name, place=place)
        shares = {path: share for path, share in self._shares(rows).items() if path in moves or share > SURELY}
        named = {path: share for path, share in list(shares.items())[:NAMED] if share >= LEAST}
        strongest = sorted(moves, key=lambda path: -abs(moves[path]))
        also = [path for path in strongest if path not in named and abs(moves[path]) >= MOVES]
        also = also[: ALSO if named else NAMED]
        whole = [entry_path(self.draw, entry, place=train) for entry in OF_THE_WHOLE_DRAW.get(name, ())]
        return tuple(
            [self._step(path, share) for path, share in named.items()]
            + [self._step(path, None) for path in dict.fromkeys([*also, *whole]) if path in self.draw.spans]
        )

    def _shares(self, rows: Array) -> dict[str, float]:
        return shares_by(rows, ranks=self.ranks) if rows.size == self.draw.rows else {}

    def _settings(self, name: str, rows: Array, train: int) -> list[str]:
        """Settings whose likely value is where it is looked at; the first of them."""
        value, found = float(rows[0]), []
        for path in (entry_path(self.draw, entry, place=train) for entry in SETTINGS[name]):
            span = self.draw.spans.get(path)
            more = float(self.draw.barometer[0, 0, 0]) if span is not None and span.kind == "pressure" else 0.0
            if span is not None and np.isclose(span.likely + more, value, rtol=1e-6):
                found.append(path)
        return found[:1]

    def _step(self, path: str, share: float | None) -> EntryStep:
        (entry, choice), span = self.about[path], self.draw.spans[path]
        return EntryStep(path, entry.label, span, entry.source, choice if span.known == "assumed" else "", share)

    def choices(self, name: str, *, place: int | None) -> tuple[ChoiceStep, ...]:
        """Return the choices that a number hangs on, those that say something."""
        sections, found = dict(walk_sections(self.draw.plant)), {}
        for choice in CHOICES.get(name, ()):
            path = entry_path(self.draw, choice, place=place or 0)
            section, _, key = path.rpartition(".") if "." in choice else (path, "", "")
            model = sections.get(section)
            if model is not None and getattr(model, "absent", False):
                found[section] = ChoiceStep(section, type(model).title, "none")
            elif model is not None and key and getattr(model, key, None) not in (None, "unknown", ""):
                extra = type(model).model_fields[key].json_schema_extra
                label = str(extra.get("label", "")) if isinstance(extra, dict) else ""
                found[path] = ChoiceStep(path, label, str(getattr(model, key)))
        return tuple(found.values())


def entry_path(draw: Draw, entry: str, *, place: int = 0) -> str:
    """Return the path of an entry given below its train, as the plant file has it."""
    section = entry.partition(".")[0]
    trains = draw.plant.train
    if section not in TRAIN_SECTIONS or not trains:
        return entry
    own = trains[place]
    if section == "supply" and own.supply is None:
        return entry
    name = own.name or (str(place + 1) if len(trains) > 1 else "")
    return f"train.{name}.{entry}" if name else f"train.{entry}"
