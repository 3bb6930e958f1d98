"""Wires, protective device, earth, overload setting and disconnect of every train, by the code its owner wires by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.overcurrent import FUSE_ROOM
from airfettle.quantity import Units
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.instant.state import Instant
from airfettle.studies.reach import reach
from airfettle.studies.wiring.amps import Chosen, amps_text, motor_amps, nominal_voltage, supply_amps, told_span
from airfettle.studies.wiring.code import Code, code_of
from airfettle.studies.wiring.guards import (
    disconnect,
    earth_iec,
    earth_nec,
    overload,
    protection_iec,
    protection_nec,
)
from airfettle.studies.wiring.leakage import leaks_much
from airfettle.studies.wiring.runs import Place, run_of
from airfettle.studies.wiring.sized import Earth, Protection, Run, TrainWires
from airfettle.studies.wiring.supply_notes import supply_notes
from airfettle.studies.wiring.wired import Wired, WireWords, trains_of

Array = NDArray[np.float64]

CONVERTERS = ("rotary converter", "static converter")
"""Kinds of supply whose wires from the panel feed a converter."""
HOT_END = 95.0
"""Share of the draw below the room's hottest air, in per cent. [-]"""


def wire_sizes(draw: Draw, numbers: PlantNumbers, *, state: Instant | None = None) -> tuple[TrainWires, ...]:
    """Return wires, devices and switches of every train.

    Parameters
    ----------
    draw : Draw
        The plant as drawn. [SI]
    numbers : PlantNumbers
        The same with its gaps filled. [SI]
    state : Instant, optional
        At every point its settings reach; computed here where it is not given. [SI]

    Returns
    -------
    tuple of TrainWires
        One of each train; by the NEC, copper at 75 degC, for owners who write US units, else by IEC 60364, copper in
        PVC in conduit on a wall. [SI]

    Notes
    -----
    Valid: to 4/0 AWG or 50 mm2, not bundled with other loaded wires, mains cable not buried; whoever is licensed for
    the place decides.

    References
    ----------
    [nec]; [nec-drives-memory]; [nec-455]; [iec-60364-5-52]; [iec-60364-5-54]; [iec-60364-4-43]
    """
    there = reach(draw).state if state is None else state
    trains = trains_of(draw)
    groups: dict[str, list[Wired]] = {}
    for wired in trains:
        groups.setdefault(wired.path("supply"), []).append(wired)
    found = [one for group in groups.values() for one in _Group(tuple(group), draw, numbers, there).sized()]
    return tuple(sorted(found, key=lambda one: one.place))


def wire_words(sizes: Sequence[TrainWires]) -> tuple[WireWords, ...]:
    """Return the sizes in the words that a circuit writes beside wires and devices.

    Parameters
    ----------
    sizes : sequence of TrainWires
        As ``wire_sizes`` returns them. [SI]

    Returns
    -------
    tuple of WireWords
        One of each train. [text]
    """
    return tuple(
        WireWords(
            one.supply.words, one.motor.words, ", ".join(word for word in (one.earth.words, one.earth.more) if word),
            one.device.words,
        )
        for one in sizes
    )  # fmt: skip


def marked_by_sizes(
    draw: Draw, sizes: Sequence[TrainWires], *, held: Mapping[str, tuple[str, ...]]
) -> dict[str, tuple[str, ...]]:
    """Return which rules hold for wires and devices on a drawing, so that it marks what the table of sizes marks.

    Parameters
    ----------
    draw : Draw
        The plant as drawn. [SI]
    sizes : sequence of TrainWires
        As ``wire_sizes`` returns them. [SI]
    held : dict
        Rule of a finding that holds -> paths of the parts it concerns. [text]

    Returns
    -------
    dict
        The same, wires that are too small among them; without a device that only is too large for such a wire, and
        has the rating that is to be fitted. [text]
    """
    found = {rule: list(paths) for rule, paths in held.items()}
    for wired, one in zip(trains_of(draw), sizes, strict=True):
        for section, run, rule in (("supply", one.supply, "supply_wire"), ("motor_lead", one.motor, "motor_lead_wire")):
            if run.there is not None and run.there.state == "too small":
                found.setdefault(rule, []).append(wired.path(section))
        small, rating = one.supply.there, one.device.there
        if small is not None and small.state == "too small" and rating is not None and one.device.state == "ok":
            devices = found.get("breaker_too_large", [])
            found["breaker_too_large"] = [path for path in devices if path != wired.path("supply")]
    return {rule: tuple(dict.fromkeys(paths)) for rule, paths in found.items() if paths}


@dataclass(frozen=True)
class _Group:
    """Trains on one supply."""

    group: tuple[Wired, ...]
    draw: Draw
    numbers: PlantNumbers
    state: Instant

    @property
    def code(self) -> Code:
        return code_of(self.group[0].units)

    @property
    def ahead(self) -> bool:
        """Whether the wires from the panel feed a converter."""
        return self.group[0].fact("supply", "kind") in CONVERTERS

    @property
    def ambient(self) -> float:
        """Hottest air of the room. [K]"""
        return float(np.percentile(np.ravel(self.numbers.room_temperature), HOT_END))

    def sized(self) -> list[TrainWires]:
        chosen = [
            supply_amps(wired, self.numbers.trains[wired.place].power, state=self.state.trains[wired.place])
            for wired in self.group
        ]
        supply, device = self._supply(chosen)
        return [self._train(wired, one, supply, device) for wired, one in zip(self.group, chosen, strict=True)]

    def _supply(self, chosen: list[Chosen]) -> tuple[Run, Protection]:
        """Wires from the panel, and the device ahead of them: by the NEC apart, by IEC the wires by the device."""
        place, units = self._place(self.group[0], "supply"), self.group[0].units
        if self.code.name == "NEC":
            sources = self._sources()
            run = run_of(place, chosen, code=self.code, units=units, ahead=self.ahead, sources=sources)
            powers = [self.numbers.trains[wired.place].power for wired in self.group]
            return run, protection_nec(self.group, powers, needed=run.needed, ahead=self.ahead)
        bare = run_of(place, chosen, code=self.code, units=units, ahead=self.ahead)
        first = protection_iec(self.group, current=bare.current)
        capacity = self._capacity(first)
        run = run_of(place, chosen, code=self.code, units=units, ahead=self.ahead, device=capacity,
                     sources=("iec-60364-4-43",))  # fmt: skip
        run = replace(run, why=self._named_device(first, units))
        kept = run.there.ampacity if run.there is not None and run.there.state == "ok" else run.ampacity
        return run, protection_iec(self.group, current=bare.current, capacity=kept)

    @staticmethod
    def _named_device(device: Protection, units: Units) -> str:
        """What wires behind a device are chosen for, in words."""
        return f"{amps_text(device.rating, units=units)} {device.kind}"

    @staticmethod
    def _capacity(device: Protection) -> float:
        """Capacity that wires behind a device need. [A]"""
        return device.rating * (1.0 if device.kind == "breaker" else FUSE_ROOM)

    def _sources(self) -> tuple[str, ...]:
        several = ("nec-drives-memory",) if len(self.group) > 1 else ()
        return (*several, *(("nec-455",) if self.ahead else ()))

    def _train(self, wired: Wired, chosen: Chosen, supply: Run, device: Protection) -> TrainWires:
        power, code = self.numbers.trains[wired.place].power, self.code
        guarded = self._capacity(device) if code.name == "IEC" and not wired.on_drive else 0.0
        own = run_of(self._place(wired, "motor_lead"), [motor_amps(wired, power)], code=code, units=wired.units,
                     device=guarded)  # fmt: skip
        if guarded:
            own = replace(own, why=self._named_device(device, wired.units))
        several = len(self.group) > 1 or self.ahead
        branch = self._branch(wired, chosen, device) if several else None
        leaks = {one.place: leaks_much(one, self.numbers.trains[one.place].power) for one in self.group}
        earths = (self._earth(supply, device, any(leaks.values())), self._earth(own, device, leaks[wired.place]))
        return TrainWires(
            place=wired.place, name=wired.name, on_drive=wired.on_drive, code=code.name,
            shared=tuple(one.place for one in self.group), supply=supply, branch=branch, motor=own, device=device,
            earth=earths[0], motor_earth=earths[1], overload=overload(wired, power),
            disconnect=disconnect(wired, power, chosen=chosen), notes=supply_notes(wired, power),
        )  # fmt: skip

    def _branch(self, wired: Wired, chosen: Chosen, device: Protection) -> Run:
        """Wires of one train from where the trains part, or from the converter."""
        guarded = self._capacity(device) if self.code.name == "IEC" and not self.ahead else 0.0
        place = replace(self._place(wired, "supply"), wire=None, told="", phases=self._phases(wired, behind=True),
                        where=f"{'from the converter ' if self.ahead else ''}to the "
                        f"{'drive' if wired.on_drive else 'starter'}{self._named(wired)}")  # fmt: skip
        return run_of(place, [chosen], code=self.code, units=wired.units, device=guarded)

    def _earth(self, run: Run, device: Protection, leaks: bool) -> Earth:
        if self.code.name == "NEC":
            return earth_nec(run, device, code=self.code)
        return earth_iec(run, code=self.code, leaks=leaks)

    def _phases(self, wired: Wired, *, behind: bool = False) -> int:
        """Phases of a train's supply; ahead of a converter a single one. [-]"""
        if self.ahead and not behind:
            return 1
        return max(self.numbers.trains[one.place].power.phases if not behind else len(wired.feed) for one in self.group)

    def _named(self, wired: Wired) -> str:
        return f" of {wired.name}" if wired.name and len(self.group) > 1 else ""

    def _place(self, wired: Wired, section: str) -> Place:
        """What a run of a train is like."""
        power, part = self.numbers.trains[wired.place].power, wired.parts.get(section)
        end = "drive" if wired.on_drive else "starter"
        if section == "supply":
            ends = "converter" if self.ahead else "where the trains part" if len(self.group) > 1 else end
            where, phases = f"from the panel to the {ends}".replace("the where", "where"), self._phases(wired)
            volts = nominal_voltage(self.draw.plant.trains[wired.place], power)
        else:
            where, volts = f"from the {end} to the motor{self._named(wired)}", power.motor.voltage
            phases = 1 if wired.fact("motor", "phases", 3) == 1 else 3
        told = told_span(wired, section, "wire")
        length = np.zeros(1) if part is None or part.wire_length is None else part.wire_length
        return Place(
            where, phases, length, float(np.ravel(volts)[0]), self.ambient,
            None if told is None or part is None else part.wire, wired.told(section, "wire"),
        )  # fmt: skip
