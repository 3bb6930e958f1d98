"""A used receiver: go, no go or not yet, what is still to be looked at, and the tank's own numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from airfettle import tables
from airfettle.findings.case import Part
from airfettle.findings.checklists.fault_readings import setting
from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.findings.checklists.words import bare, one
from airfettle.findings.finding import Finding
from airfettle.findings.pressure_boundary import BEST_STRENGTH, USUAL_STRENGTH
from airfettle.findings.relief_valves import valves
from airfettle.findings.vessel_law import law_of
from airfettle.parts.vessel import brode_energy, isentropic_energy, pressure_for_wall, required_wall_outside
from airfettle.plant.part import fact_of
from airfettle.quantity import Units
from airfettle.studies.commissioning.trials import WATER_TEST, water_test_pressure

Array = NDArray[np.float64]
Verdict = Literal["GO", "NO GO", "NOT YET"]
Mark = Literal["ok", "FAILS", "look"]

OF_TANK = (
    "receiver_plate", "receiver_altered", "receiver_rust", "receiver_feet", "gas_proof_test", "wall_not_measured",
    "thin_wall", "receiver_drain", "receiver_gauge",
)  # fmt: skip
"""Rules about the tank itself."""
OF_VALVE = ("relief_missing", "relief_setting", "relief_capacity", "valve_before_relief", "relief_tampered")
"""Rules about what protects it."""
ASKED = {"valve_before_relief": "Can a valve shut it off from its relief valve?",
         "relief_tampered": "Relief valve plugged, tied, painted shut or reset?"}  # fmt: skip
"""Rules about valves whose facts are answers to a question, and the question."""
LOOKED_AT = {
    "plate_readable": "receiver_plate", "altered": "receiver_altered", "rust_inside": "receiver_rust",
    "made_for_it": "receiver_feet", "proof_test": "gas_proof_test", "gauge": "receiver_gauge",
    "drain_at_lowest": "receiver_drain",
}  # fmt: skip
"""Questions about a tank, and the rule that judges each."""
FROM_TABLE = {
    "spring-loaded relief valve": "relief_missing",
    "relief limits the pressure to the plate plus 10 %": "relief_setting",
    "no valve between receiver and relief": "valve_before_relief",
}
"""Facts of the table of what a receiver must have -> rule that judges them; others are questions about the tank."""


@dataclass(frozen=True)
class Item:
    """One thing about a tank.

    Attributes
    ----------
    mark : str
        As it stands: ``ok``, ``FAILS`` or ``look``.
    what, told, do : str
        What it is, what was told of it, and what to do.
    gates : bool
        No pressure before it has been looked at.
    """

    mark: Mark
    what: str
    told: str
    do: str
    gates: bool = True


@dataclass(frozen=True)
class SeenReceiver:
    """One receiver on its list.

    Attributes
    ----------
    name : str
        What it is called.
    new : bool
        It is told to be new.
    verdict : str
        GO, NO GO or NOT YET.
    reasons : tuple of str
        Why not, worst first.
    items : tuple of Item
        Everything looked at or to be looked at.
    numbers : tuple of tuple of str
        What, value, and what it rests on.
    """

    name: str
    new: bool
    verdict: Verdict
    reasons: tuple[str, ...]
    items: tuple[Item, ...]
    numbers: tuple[tuple[str, str, str], ...]


def used_receivers(this: ThisPlant) -> tuple[SeenReceiver, ...]:
    """Return every receiver on its list."""
    return tuple(_seen(this, part) for part in this.receivers)


def _seen(this: ThisPlant, part: Part) -> SeenReceiver:
    found = tuple(_found(this, part))
    items = (*_questions(this, part), *_protection(this, part))
    new = part.fact("condition") == "new"
    fails = [f for f in found if f.state == "holds" and f.signal in ("danger", "warning") and f.rule not in LATER]
    reasons = tuple(dict.fromkeys(f.says for f in (*fails, *(f for f in found if f not in fails))))
    verdict: Verdict = "GO"
    if fails:
        verdict, reasons = "NO GO", tuple(f.says for f in fails)
    elif found or any(item.mark == "look" and item.gates for item in items):
        verdict = "NOT YET"
        reasons = reasons or tuple(item.what for item in items if item.mark == "look" and item.gates)
    return SeenReceiver(_name(part), new, verdict, reasons, items, tuple(_numbers(this, part, condemned=bool(fails))))


LATER = ("wall_not_measured", "receiver_gauge", "receiver_drain")
"""What holds a tank up until it is done, and condemns nothing."""


def _name(part: Part) -> str:
    return part.path.partition(".")[2] or "receiver"


def _found(this: ThisPlant, part: Part) -> Iterator[Finding]:
    """What was found about the tank, and about the valves that protect it, worst first."""
    own = {part.path} | {valve.path for valve in valves(this.case, "receiver")}
    for finding in this.findings:
        tank = finding.rule in OF_TANK and part.path in finding.parts
        if finding.state != "clear" and (tank or (finding.rule in OF_VALVE and own & set(finding.parts))):
            yield finding


def _questions(this: ThisPlant, part: Part) -> Iterator[Item]:
    fields = type(part.model).model_fields
    for name, rule in LOOKED_AT.items():
        asked = fact_of(fields[name])
        if asked is None:
            continue
        finding, answer = this.found(rule, part=part.path), str(part.fact(name))
        decides = finding is not None and (part.at(name) in finding.decided_by or answer != "unknown")
        if decides and finding is not None and finding.state == "holds":
            yield Item("FAILS", asked.question, answer, finding.do)
        elif answer == "unknown":
            yield Item("look", asked.question, "not told", _look(asked.look))
        else:
            yield Item("ok", asked.question, answer, "")
    yield from _plate(this, part)
    yield from _wall(this, part)


def _look(look: str) -> str:
    return look[:1].upper() + look[1:] + "." if look else "Look."


def _plate(this: ThisPlant, part: Part) -> Iterator[Item]:
    if not part.told("plate_pressure"):
        yield Item("look", "Plate pressure, at or above relief valve and cut-out", "not told",
                   "Read the plate, under paint too; none, or not readable: do not use it.")  # fmt: skip
        return
    finding = this.found("receiver_plate", part=part.path)
    bad = finding is not None and finding.state == "holds"
    yield Item("FAILS" if bad else "ok", f"Plate pressure over cut-out {setting(this, 'cut_out')}",
               bare(part.shown("plate_pressure")), finding.do if bad and finding else "")  # fmt: skip


def _wall(this: ThisPlant, part: Part) -> Iterator[Item]:
    if part.fact("condition") == "new":
        return
    for rule, what in (("wall_not_measured", "Wall measured with ultrasound, bottom and round the drain first"),
                       ("thin_wall", "Thinnest wall against the formula for the shell")):  # fmt: skip
        finding = this.found(rule, part=part.path)
        told = bare(part.shown("wall_thickness")) if part.told("wall_thickness") else "not told"
        if finding is None and told != "not told":
            yield Item("ok", what, told, "")
        elif finding is not None:
            holds = finding.state == "holds" and rule == "thin_wall"
            yield Item("FAILS" if holds else "look", what, told, finding.do)


def _protection(this: ThisPlant, part: Part) -> Iterator[Item]:
    """The facts of the table that concern what protects the tank; it knows no question about burial."""
    own = {part.path} | {valve.path for valve in valves(this.case, "receiver")}
    there = valves(this.case, "receiver")
    shown = ", ".join(f"set {bare(v.shown('set_pressure'))}, passes {bare(v.shown('capacity'))}" for v in there)
    rules = FROM_TABLE | {"it passes what the pump sweeps": "relief_capacity",
                          "untouched": "relief_tampered"}  # fmt: skip
    for what, rule in rules.items():
        finding = next((f for f in this.findings if f.rule == rule and f.state != "clear" and own & set(f.parts)), None)
        title = ASKED.get(rule, what[0].upper() + what[1:])
        if finding is None and there and rule in BY_PLATE and not _plate_known(part):
            yield Item("look", title, f"{shown}; cannot be judged without the tank's plate", "Read the plate first.")
        elif finding is None:
            yield (
                Item("ok", title, _valve(there, rule, shown), "")
                if there
                else Item("look", title, "not told", "Look on the receiver.")
            )
        else:
            holds = finding.state == "holds" and finding.signal in ("danger", "warning")
            yield Item("FAILS" if holds else "look", title, shown or "not told", finding.do)
    if "not buried" in tables.load("vessel_checklist").words("fact"):
        yield Item(
            "look", "Is it in the open, not buried, all sides to be seen?", "not asked", "See for yourself.", False
        )


FOOT_POUND = 1.3558179483
"""Work of a pound-force over a foot. [J]  Source: physics."""


def _energy(joules: float, units: Units) -> str:
    return f"{joules / FOOT_POUND / 1e3:,.0f} thousand ft lbf" if units == "US" else f"{joules / 1e3:.0f} kJ"


BY_PLATE = ("relief_setting", "relief_near_cut_out")
"""Rules that say nothing where the tank's own pressure is not known."""


def _plate_known(part: Part) -> bool:
    return part.told("plate_pressure") and part.fact("plate_readable") != "no"


def _valve(there: list[Part], rule: str, shown: str) -> str:
    """What was told of the valves, in the words of the question."""
    asked = {"valve_before_relief": "valve_before", "relief_tampered": "tampered"}.get(rule)
    return ", ".join(str(valve.fact(asked)) for valve in there) if asked else shown


def _numbers(this: ThisPlant, part: Part, *, condemned: bool) -> Iterator[tuple[str, str, str]]:
    units, room = this.units, this.case.reach.draw.barometer
    volume, plate = part.rows("volume"), part.rows("plate_pressure")
    cut_out = this.case.reach.numbers.cut_out
    assert volume is not None
    highest, at = (cut_out, "at cut-out") if plate is None else (plate, "at its plate pressure")
    gauge = np.maximum(highest - room, 1.0)
    holds = bare(part.shown("volume"))
    yield "Volume", holds if part.told("volume") else f"({holds}, assumed)", "its plate"
    if part.fact("plate_readable") == "no":
        yield "Plate pressure", "none: the plate cannot be read", "no figure told counts without it"
        plate = None
    else:
        yield "Plate pressure", bare(part.shown("plate_pressure")) if plate is not None else "not told", "its plate"
    yield "Cut-out", setting(this, "cut_out"), "the control"
    yield from _walls(this, part, gauge, at)
    if plate is not None and not condemned:
        for code, factor in WATER_TEST.items():
            if _concerns(this, code):
                pressed = float(np.median(water_test_pressure(plate - room, code=code)))
                yield (f"Test with water, {code}", one(pressed, kind="pressure", units=units),
                       f"{factor:g} times its plate; by whoever is licensed, with water, never with air")  # fmt: skip
    for name, law in (("isentropic", isentropic_energy), ("Brode", brode_energy)):
        energy = float(np.median(law(volume=volume, pressure=highest, pressure_room=room)))
        yield f"Energy it holds {at}", f"{_energy(energy, units)}, {name}", "what a burst sets free"
    finding = this.found("inspection_law", part=part.path)
    yield "Inspection", finding.says if finding else "not known here: ask the authority", "the law of the place"


def _concerns(this: ThisPlant, code: str) -> bool:
    """Whether a code's test may be the tank's: the place's own, or any where the place is not told."""
    site = this.plant.site
    law = law_of(site.place if site is not None else "")
    return not law or code.startswith("EU") == (law in ("EU", "UK"))


def _walls(this: ThisPlant, part: Part, gauge: Array, at: str) -> Iterator[tuple[str, str, str]]:
    diameter, wall = part.rows("diameter"), part.rows("wall_thickness")
    if diameter is not None:
        for steel, strength in (("plain steel, seam not checked", USUAL_STRENGTH),
                                ("strong steel, seam checked", BEST_STRENGTH)):  # fmt: skip
            needed = required_wall_outside(
                gauge_pressure=np.minimum(gauge, 0.38 * strength), outside_radius=diameter / 2,
                allowable_stress=strength, joint_efficiency=1.0,
            )  # fmt: skip
            yield (f"Shell needed {at}, {steel}", one(float(np.median(needed)), kind="length", units=this.units),
                   "formula for a shell: information, never an approval")  # fmt: skip
    if wall is not None:
        yield "Thinnest wall found", bare(part.shown("wall_thickness")), "as told"
        if diameter is not None:
            holds = pressure_for_wall(thickness=wall, inside_radius=diameter / 2 - wall,
                                      allowable_stress=USUAL_STRENGTH, joint_efficiency=1.0)  # fmt: skip
            yield ("The formula asks for that wall at", one(float(np.median(holds)), kind="pressure", units=this.units),
                   "plain steel, seam not checked; the plate rules where it says less")  # fmt: skip
