"""Sizes of wires and switches that a plant asks for, and the devices its wiring drawings show, for its parts list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import Case
from airfettle.findings.drawn_circuits import drawn_circuits
from airfettle.findings.finding import Finding
from airfettle.findings.on_train import three
from airfettle.quantity import plain
from airfettle.studies.wiring.circuit import Circuit, Device
from airfettle.studies.wiring.sized import Run, TrainWires
from airfettle.studies.wiring.sizes import wire_sizes

Array = NDArray[np.float64]

NO_PARTS = ("X", "U", "W", "M", "R")
"""Letters of tags that stand for terminals, or for what the list has by its own name."""
LISTED = ("Q1", "S0", "B1", "B2", "B6", "Y1", "F1", "F9", "G1", "A1")
"""Tags, without the train's tens, of what the list has from the plant file itself."""
CONTACTS = {"make_contact": "make", "off_delay_make": "late make", "break_contact": "break"}
"""Symbols that are a contact of something else -> what one is called."""
MORE_WORDS = {"push_make": "button", "push_break": "button", "selector_make": "selector switch"}
"""What a symbol's words leave out of a thing's name."""


def most(values: Array) -> float:
    """Return the highest value at any point that the settings reach, in nearly all of the draw. [SI]"""
    return float(np.percentile(np.max(three(values), axis=(1, 2)), 95.0))


def sizes_of(case: Case, train: int) -> TrainWires:
    """Return wires, devices and switches of a train, as its drawing has them. [SI]"""
    reach = case.reach
    return next(one for one in wire_sizes(reach.draw, reach.numbers, state=reach.state) if one.place == train)


def disconnect_words(case: Case, train: int) -> str:
    """Return the switch that is locked off, as the drawing's sizes have it."""
    return f"lockable off, {sizes_of(case, train).disconnect.words}"


def motor_amps(case: Case, train: int) -> float:
    """Return the amps that a motor's wires and switches are chosen by: the code's table, in SI units its plate. [A]"""
    return sizes_of(case, train).motor.current


def supply_wire_words(case: Case, train: int) -> str:
    """Return the smallest supply wire, for all trains it feeds."""
    return _wire(case, sizes_of(case, train).supply)


def motor_lead_words(case: Case, train: int) -> str:
    """Return the smallest motor lead."""
    shield = "" if case.direct(train) else ", shielded"
    return f"{_wire(case, sizes_of(case, train).motor)}{shield}"


def _wire(case: Case, run: Run) -> str:
    """Smallest listed copper wire of a run."""
    needed = plain(run.needed, kind="current", units=case.units)
    if not run.size:
        return f"for {needed}: beyond the sizes listed here"
    return f"{run.size} copper{' at 75 °C' if case.units == 'US' else ''} or thicker, for {needed}"


def earth_words(case: Case, train: int) -> str:
    """Return the smallest earth wire, by the breaker's rating or by the live wires."""
    earth = sizes_of(case, train).earth
    more = f", {earth.more}" if earth.more else ""
    return f"{earth.size} copper at least{more}, with the live wires, its own screw at drive and motor frame"


@dataclass(frozen=True)
class Drawn:
    """One device of a wiring drawing, all that it shows of it taken together.

    Attributes
    ----------
    tag : str
        What the drawing calls it.
    part, what : str
        Its name; what else the drawing says of it, and its contacts.
    rule, about : str
        Finding that it answers, empty for none; path of the part it belongs to.
    """

    tag: str
    part: str
    what: str
    rule: str
    about: str

    @property
    def kind(self) -> str:
        """Its tag without the train's tens, "K5"."""
        return f"{self.tag[0]}{int(self.tag[1:]) % 10}"


def drawings(case: Case, *, findings: Sequence[Finding]) -> tuple[Circuit, ...]:
    """Return the wiring drawings of a plant, as it is and as it should be."""
    reach = case.reach
    sizes = wire_sizes(reach.draw, reach.numbers, state=reach.state)
    return drawn_circuits(reach, findings=findings, sizes=sizes)


def drawn_there(drawn: Sequence[Circuit]) -> Iterator[Drawn]:
    """Yield the devices that a plant's drawings show as it is, and that the plant file has no part for."""
    for tag, devices in _by_tag(circuit for circuit in drawn if not circuit.corrected).items():
        found = _one(tag, devices)
        if all(device.state != "missing" for device in devices) and found.kind not in LISTED:
            yield found


def drawn_new(drawn: Sequence[Circuit]) -> Iterator[Drawn]:
    """Yield the devices that the drawings add to put a plant right, each with the finding that asks for it."""
    there = {
        tag for tag, devices in _by_tag(circuit for circuit in drawn if not circuit.corrected).items()
        if all(device.state != "missing" for device in devices)
    }  # fmt: skip
    for tag, devices in _by_tag(circuit for circuit in drawn if circuit.corrected).items():
        found = _one(tag, devices)
        if found.rule and tag not in there:
            yield found


def _by_tag(drawn: Iterator[Circuit] | Sequence[Circuit]) -> Mapping[str, list[Device]]:
    found: dict[str, list[Device]] = {}
    for circuit in drawn:
        for device in circuit.devices:
            tag = device.tag.partition(":")[0]
            if tag[0] not in NO_PARTS and tag[1:].isdigit():
                found.setdefault(tag, []).append(device)
    return found


def _one(tag: str, devices: Sequence[Device]) -> Drawn:
    """All that the drawings show of one device: named by what is no mere contact of it."""
    main = next((device for device in devices if device.symbol not in CONTACTS), devices[0])
    name, *more = [word for word in main.words if word] or [main.symbol.replace("_", " ")]
    if main.symbol == "selector_make":
        name, more = MORE_WORDS[main.symbol], [device.words[0] for device in devices if device.words]
    elif main.symbol in MORE_WORDS:
        name = f"{name} {MORE_WORDS[main.symbol]}"
    counts = {word: sum(device.symbol == symbol for device in devices) for symbol, word in CONTACTS.items()}
    more += [f"{count} {word} contact{'s' if count > 1 else ''}" for word, count in counts.items() if count]
    rule = next((device.finding for device in devices if device.finding), "")
    return Drawn(tag, name, ", ".join(dict.fromkeys(more)), rule, main.part or "control")
