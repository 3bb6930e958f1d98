"""One train as its wiring sees it: its parts and facts, as they are or should be, and the tags of its devices."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from airfettle.plant.whole import TRAIN_SECTIONS, Train
from airfettle.quantity import Units, span_text
from airfettle.studies.draw import Draw
from airfettle.studies.wiring.circuit import State
from airfettle.studies.wiring.supplies import SupplyShape, supply_shape

POWER_CONTACTS, SIGNAL_CONTACTS = "drive input by power contacts", "drive input by signal contacts"
WITH_A_RUN_ON, WITH_THE_PUMP = "the running pump, with a run-on", "the running pump"
APART = 200
"""Wire numbers from one train to the next. [-]"""


@dataclass(frozen=True)
class WireWords:
    """What a train's wires and protective device must be, in words; empty for what is not computed.

    Attributes
    ----------
    supply, motor, earth : str
        Live wires from the panel, wires to the motor, earth wire. [text]
    protection : str
        Breaker or fuses. [text]
    """

    supply: str = ""
    motor: str = ""
    earth: str = ""
    protection: str = ""


@dataclass(frozen=True)
class Wired:
    """One train of a plant for its wiring.

    Attributes
    ----------
    draw : Draw
        The plant as drawn, for what is told of it. [SI]
    place, name : int, str
        Which train it is, from 0, and its name.
    parts : dict
        Section -> its model as drawn; sections that are absent are left out.
    all_on_drives : bool
        Every train of the plant has a drive.
    phases : int
        Of a supply whose kind is not told: the most that a motor on it has. [-]
    held : dict
        Rule of a finding that holds -> paths of the parts it concerns.
    changes : dict
        "section.entry" -> rule of the finding for which it was set right; empty for the plant as it is.
    words : WireWords
        Sizes computed for this train.
    interposed, latched : bool
        A small relay stands between pressure switch and drive; a start is needed after each stop that is not the
        pressure switch's.
    """

    draw: Draw
    place: int
    name: str
    parts: Mapping[str, Any]
    all_on_drives: bool
    phases: int
    held: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    changes: Mapping[str, str] = field(default_factory=dict)
    words: WireWords = WireWords()
    interposed: bool = False
    latched: bool = False

    @property
    def units(self) -> Units:
        """Units the owner writes."""
        return self.draw.plant.about.units

    @property
    def corrected(self) -> bool:
        """Whether it is shown as it should be."""
        return bool(self.changes)

    @property
    def on_drive(self) -> bool:
        """Whether a drive turns its motor."""
        return "drive" in self.parts

    def fact(self, section: str, name: str, default: Any = "unknown") -> Any:
        """Return an answer or choice; the default where the train has no such part."""
        part = self.parts.get(section)
        return default if part is None else getattr(part, name)

    def path(self, section: str) -> str:
        """Return the path of a part in the plant file; empty where the train has none."""
        if section not in self.parts:
            return ""
        plant = self.draw.plant
        if section not in TRAIN_SECTIONS or not plant.train:
            return section
        if section == "supply" and plant.train[self.place].supply is None:
            return section
        return f"train.{self.name or self.place + 1}.{section}"

    def told(self, section: str, name: str) -> str:
        """Return what the owner told of a quantity, in his words without how he knows it; empty where nothing."""
        path = f"{self.path(section)}.{name}"
        span = self.draw.spans.get(path)
        if span is None or path in self.draw.assumed:
            return ""
        return span_text(span, units=self.units).partition(" by ")[0]

    def holds(self, rule: str, section: str) -> bool:
        """Return whether a finding is known to hold of a part; a correction that answers it ends it."""
        return rule not in self.changes.values() and self.path(section) in self.held.get(rule, ())

    def seen(self, section: str, name: str, bad: Mapping[str, tuple[State, str]]) -> tuple[State, str]:
        """Return state and finding of what hangs on a fact.

        Parameters
        ----------
        section, name : str
            The fact. [text]
        bad : dict
            Answer -> state and rule.
        """
        if rule := self.changes.get(f"{section}.{name}"):
            return "there", rule
        return bad.get(self.fact(section, name), ("there", ""))

    def tag(self, letter: str, number: int) -> str:
        """Return the tag of a device; ten numbers to a train."""
        return f"{letter}{number + 10 * self.place}"

    def number(self, count: int) -> int:
        """Return a wire number of this train. [-]"""
        return count + APART * self.place

    @property
    def shape(self) -> SupplyShape:
        """Wires of its supply."""
        return supply_shape(self.fact("supply", "kind"), phases=self.phases, us=self.units == "US")

    @property
    def feed(self) -> tuple[str, ...]:
        """Wires of the supply that feed it."""
        asked = self.fact("drive", "input_phases") if self.on_drive else self.parts["motor"].phases
        return self.shape.wires(1 if asked == 1 else 3)

    @property
    def switch_breaks_motor(self) -> bool:
        """Whether the pressure switch's contacts stand in the motor's own wires."""
        if self.fact("control", "contacts") != "motor":
            return False
        return self.all_on_drives or not self.on_drive

    @property
    def transducer(self) -> bool:
        """Whether a transducer tells it to run."""
        return bool(self.fact("control", "kind") == "transducer")


def trains_of(
    draw: Draw, *, held: Mapping[str, tuple[str, ...]] | None = None, wires: Sequence[WireWords] | None = None
) -> tuple[Wired, ...]:  # fmt: skip
    """Return the trains of a drawn plant for their wiring, as they are.

    Parameters
    ----------
    draw : Draw
        As drawn. [SI]
    held : dict, optional
        Rule of a finding that holds -> paths of the parts it concerns.
    wires : sequence, optional
        Sizes computed, one of each train.

    Returns
    -------
    tuple of Wired
        [SI]
    """
    plant = draw.plant
    all_on_drives = all(_there(train, "drive") for train in plant.trains)
    return tuple(
        Wired(draw, place, train.name, _parts(draw, train), all_on_drives, _phases(draw, place), held or {},
              words=wires[place] if wires else WireWords(), latched=_latched(draw, train))
        for place, train in enumerate(plant.trains)
    )  # fmt: skip


def _phases(draw: Draw, place: int) -> int:
    """Phases that the motors on a train's supply ask for; a supply of its own feeds this train alone."""
    plant = draw.plant
    shares = bool(plant.train) and plant.train[place].supply is None
    fed = [train for train in plant.train if train.supply is None] if shares else [plant.trains[place]]
    return max(train.motor.phases for train in fed if train.motor is not None)


def _there(train: Train[Any], section: str) -> bool:
    part = getattr(train, section)
    return part is not None and not part.absent


def _parts(draw: Draw, train: Train[Any]) -> dict[str, Any]:
    parts = {section: getattr(train, section) for section in TRAIN_SECTIONS if _there(train, section)}
    if draw.plant.control is not None:
        parts["control"] = draw.plant.control
    return parts


def _latched(draw: Draw, train: Train[Any]) -> bool:
    """A plant on the line that nothing but pressure starts has a switch that falls out and must be pressed in again."""
    control = draw.plant.control
    return control is not None and control.restarts_by_itself == "nothing" and not _there(train, "drive")


def started_by(wired: Wired) -> str:
    """Return what starts the fan; on a corrected drawing one that nobody told of runs on."""
    told = str(wired.fact("cooler", "fan_started_by"))
    if told == "unknown" and (wired.corrected or wired.told("cooler", "fan_run_on")):
        return WITH_A_RUN_ON
    return told
