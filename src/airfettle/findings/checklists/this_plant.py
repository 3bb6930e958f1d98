"""One plant as its checklists see it: the parts it has, its predicted readings in words, and what was found."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from airfettle.findings.case import Case, Part
from airfettle.findings.checklists.words import NOT_TOLD, reading
from airfettle.findings.finding import Finding
from airfettle.studies.commissioning import Commissioning, Expected, TrainTrial, commissioning
from airfettle.studies.completion.power import SUPPLY_ROWS
from airfettle.studies.pipework.from_plant import has_network
from airfettle.studies.rating import Rating

CANNOT_RUN = ("three_phase_motor_on_one_phase", "single_phase_motor_on_a_drive", "static_converter")
"""Rules by which a motor does not run as it is wired, whatever their signal word."""
BY_SPEED = "opens by speed (centrifugal)"


@dataclass(frozen=True)
class TrainSeen:
    """One train: its place, its parts, and its own trials.

    Attributes
    ----------
    place : int
        [-]
    name : str
        Empty in a plant with one.
    drive, belt, pump, motor, cooler : Part or None
        None where it has none.
    trial : TrainTrial
        See there. [SI]
    """

    place: int
    name: str
    drive: Part | None
    belt: Part | None
    pump: Part
    motor: Part
    cooler: Part | None
    trial: TrainTrial

    @property
    def direct(self) -> bool:
        """Its motor hangs straight on the line."""
        return self.trial.direct

    @property
    def of(self) -> str:
        """Words before what is said of one of several: ``winter: ``."""
        return f"{self.name}: " if self.name else ""


class ThisPlant:
    """A plant with all that its checklists are made of.

    Attributes
    ----------
    case : Case
        Its parts and facts.
    trials : Commissioning
        Its predicted readings. [SI]
    findings : tuple of Finding
        What was found about it.
    """

    def __init__(self, case: Case, *, rating: Rating, findings: Sequence[Finding]) -> None:
        self.case, self.rating, self.findings = case, rating, tuple(findings)
        self.plant, self.units = case.plant, case.units

    @cached_property
    def trials(self) -> Commissioning:
        """Predicted readings; worked out when a list first asks."""
        return commissioning(self.rating)

    @cached_property
    def trains(self) -> tuple[TrainSeen, ...]:
        """Every train."""
        return tuple(self._train(place) for place in self.case.trains())

    def _train(self, place: int) -> TrainSeen:
        part = {name: self.case.part(name, train=place) for name in ("drive", "belt", "pump", "motor", "cooler")}
        pump, motor = part["pump"], part["motor"]
        assert pump is not None
        assert motor is not None
        trial = self.trials.trains[place]
        return TrainSeen(place, trial.name, part["drive"], part["belt"], pump, motor, part["cooler"], trial)

    @cached_property
    def dangers(self) -> tuple[Finding, ...]:
        """Dangers that hold."""
        return tuple(f for f in self.findings if f.signal == "danger" and f.state == "holds")

    @cached_property
    def stopped(self) -> tuple[Finding, ...]:
        """Why it must not be started as it is: dangers that hold, and a motor that cannot run as it is wired."""
        return tuple(f for f in self.findings if f.state == "holds" and (f.signal == "danger" or f.rule in CANNOT_RUN))

    @cached_property
    def asked(self) -> tuple[Finding, ...]:
        """Questions nobody answered, each of which may hide a danger."""
        return tuple(f for f in self.findings if f.state == "not told" and f.rule_signal == "danger")

    def found(self, rule: str, *, part: str = "") -> Finding | None:
        """Return what a rule found about a part, the worst of it; None where it is in order."""
        of_rule = (f for f in self.findings if f.rule == rule and f.state != "clear")
        return next((f for f in of_rule if not part or part in f.parts), None)

    def shown(self, name: str, *, train: str = "", low: bool = False, end: str = "cut-out") -> str:
        """Return an answer's band in words, see ``Commissioning.at``."""
        return reading(self.trials.at(name, train=train, low=low, end=end), units=self.units)

    def each(self, words: Callable[[TrainSeen], str], *, only: Sequence[TrainSeen] | None = None) -> str:
        """Return words for every train, or some, behind its name where they differ; NOT_TOLD where none has any."""
        trains = self.trains if only is None else only
        found = [(train, text) for train in trains if (text := words(train))]
        texts = {text for _, text in found}
        if not found or texts == {NOT_TOLD}:
            return NOT_TOLD
        if len(texts) == 1 and len(found) == len(self.trains):
            return texts.pop()
        return "; ".join(f"{train.of}{text}" for train, text in found)

    @property
    def full(self) -> float:
        """Full frequency. [Hz]"""
        return self.rating.points[-1].frequency

    @property
    def low(self) -> float:
        """Lowest frequency used. [Hz]"""
        return self.rating.points[0].frequency

    def told(self, part: Part) -> bool:
        """Return whether the owner told anything of a part."""
        draw = self.case.reach.draw
        entries = any(path.startswith(f"{part.path}.") and path not in draw.assumed for path in draw.spans)
        fields = type(part.model).model_fields
        answers = any(getattr(part.model, name) != info.default for name, info in fields.items()
                      if isinstance(getattr(part.model, name), str) and name != "known")  # fmt: skip
        return entries or answers

    @cached_property
    def receivers(self) -> tuple[Part, ...]:
        """Receivers, told or assumed."""
        return tuple(self.case.parts("receiver"))

    @cached_property
    def has(self) -> frozenset[str]:
        """What the plant has, or may have where nobody told, in the words that faults ask for."""
        return frozenset(word for word, there in self._words() if there)

    def _words(self) -> Iterator[tuple[str, bool]]:
        yield from self._of_trains()
        plant, control = self.plant, self.case.part("control")
        assert control is not None
        kind = control.fact("kind")
        yield "pressure switch", kind != "transducer"
        yield "transducer", kind != "pressure switch"
        yield "independent stop", control.fact("independent_pressure_stop") == "yes"
        yield "emergency stop", control.fact("emergency_stop") != "no"
        yield "receiver", bool(self.receivers)
        yield "check valve", plant.check_valve is None or not plant.check_valve.absent
        yield "relief valve", not plant.relief_valve or any(not r.absent for r in plant.relief_valve)
        yield "separator", plant.separator is not None and not plant.separator.absent
        yield "dryer", plant.dryer is not None and not plant.dryer.absent
        yield "filter", any(not f.absent for f in plant.filter)
        yield "pipe", plant.shop_pipe is not None and not plant.shop_pipe.absent
        yield "pipe told", has_network(plant)
        yield "several pumps", len(self.trains) > 1
        supplies = list(self.case.parts("supply"))
        kinds = [SUPPLY_ROWS.get(s.fact("kind") or "", "") for s in supplies]
        yield "generator", any(s.fact("kind") and "generator" in s.fact("kind") for s in supplies)
        yield "converter", any("converter" in kind for kind in kinds)
        yield "one phase", any(t.power.phases == 1 for t in self.case.reach.numbers.trains)
        yield "ground-fault device", any(s.fact("ground_fault") != "none" for s in supplies)
        site = plant.site
        yield "frost", site is not None and site.frost in ("yes", "yes, but heated", "unknown")

    def _of_trains(self) -> Iterator[tuple[str, bool]]:
        trains = self.trains
        yield "drive", any(not t.direct for t in trains)
        yield "on the line", any(t.direct for t in trains)
        unloaders = {t.pump.fact("unloader") for t in trains}
        yield "unloader", unloaders != {"none"}
        yield "switch's unloader", bool(unloaders & {"valve on the pressure switch", "unknown"})
        yield "solenoid unloader", bool(unloaders & {"solenoid valve", "unknown"})
        yield "speed unloader", BY_SPEED in unloaders
        yield "unloader missing", "none" in unloaders
        yield "belt", any(t.belt is not None for t in trains)
        yield "two-stage", any(t.pump.fact("stages") == 2 for t in trains)
        yield "oiled", any(t.pump.fact("lubrication") != "oil-free" for t in trains)
        yield "cooler", any(t.cooler is not None for t in trains)
        fans = {t.cooler.fact("fan") for t in trains if t.cooler is not None}
        yield "cooler fan", bool(fans - {"none", "pump flywheel"})
        phases = {int(np.max(self.case.reach.numbers.trains[t.place].power.motor.phases)) for t in trains}
        yield "one-phase motor", 1 in phases
        yield "three-phase motor", 3 in phases


def point_words(found: Expected, *, units: str) -> tuple[str, str]:
    """Return where a reading is taken, as a plant file writes it: frequency, and receiver pressure."""
    hertz = "" if found.frequency is None else f"{found.frequency:g} Hz"
    if found.receiver_gauge is None:
        return hertz, ""
    unit, per = ("psi", 6894.757293168361) if units == "US" else ("bar", 1e5)
    return hertz, f"{found.receiver_gauge / per:.{0 if units == 'US' else 1}f} {unit}"
