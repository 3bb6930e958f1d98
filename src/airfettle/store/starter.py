"""The commented starter file, written from the part models so that it never lags behind them."""

from __future__ import annotations

from textwrap import wrap
from typing import Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from airfettle.plant.belt import Belt
from airfettle.plant.control import Control
from airfettle.plant.cooler import Cooler
from airfettle.plant.drive import Drive
from airfettle.plant.intake import Intake
from airfettle.plant.lines import HotLine, ShopPipe
from airfettle.plant.motor import Motor
from airfettle.plant.part import Entry, Fact, Model, entry_of, fact_of
from airfettle.plant.pump import Pump
from airfettle.plant.ready_made import OtherCost, ReadyMade
from airfettle.plant.receiver import CheckValve, Receiver, ReliefValve
from airfettle.plant.separator import Separator
from airfettle.plant.site import Site
from airfettle.plant.supply import MotorLead, Supply
from airfettle.plant.treatment import Dryer, Filter
from airfettle.plant.use import Use
from airfettle.quantity import Units

CAUTION = """\
# Pressure, mains voltage, belts and hot pipes can kill. This file only describes a plant; local
# codes and licensed people decide what may be built, wired and run. Do not pressurise a receiver
# without a readable plate, and do not work on anything that is live or under pressure."""

HOW = """\
# Write what you know, as you know it. Quantities stand in quotes with their unit:
#   "16 cfm"   "780..860 rpm"   "7.1 +/- 0.2 in"   "16 cfm +/- 10 %"   "16 cfm +2/-1"
#   "800..900 rpm likely 850"   "about 3 kW"   "4-5/8 in"   "unknown"
# Say how you know it, if you can: "4.6 in by tape", "1745 rpm by plate", "45 A by clamp meter",
# "900 rpm by maker", "850 rpm by seller". psi, bar and kPa are gauge; psia and bara are absolute.
# Whatever you leave out or call unknown is assumed by class, shown as assumed, and widens the answers.
# Lines that begin with # are asleep: take the # away to use one."""

SECTIONS: tuple[tuple[str, type[Model[Any]], bool], ...] = (
    ("site", Site, True), ("control", Control, True), ("supply", Supply, True), ("drive", Drive, True),
    ("motor_lead", MotorLead, False), ("motor", Motor, True), ("belt", Belt, True), ("intake", Intake, False),
    ("pump", Pump, True), ("hot_line", HotLine, True), ("cooler", Cooler, False), ("separator", Separator, False),
    ("check_valve", CheckValve, False), ("receiver", Receiver, True), ("relief_valve", ReliefValve, False),
    ("dryer", Dryer, False), ("[filter]", Filter, False),
    ("shop_pipe", ShopPipe, True), ("[ready_made]", ReadyMade, False), ("[other_cost]", OtherCost, False),
    ("[use]", Use, False),
)  # fmt: skip
"""Section, its model, and whether it stands awake in the starter."""

_STAGES = {
    "US": (
        '# first_stage = { cylinders = 2, bore = "3.5 in by tape", stroke = "3 in by tape" }',
        '# second_stage = { cylinders = 1, bore = "2.5 in by tape" }',
        '# rated = [{ air = "18 cfm", at = "100 psi", speed = "850 rpm", known = "maker" }]',
    ),
    "SI": (
        '# first_stage = { cylinders = 2, bore = "90 mm by tape", stroke = "75 mm by tape" }',
        '# second_stage = { cylinders = 1, bore = "60 mm by tape" } ',
        '# rated = [{ air = "500 L/min", at = "8 bar", speed = "850 rpm", known = "maker" }]',
    ),
}
_PIPEWORK = {
    "US": (
        '# places = { A = "0, 0, 10 ft", B = "30, 0, 10 ft", C = "30, 20, 10 ft" }',
        '# runs = ["receiver, 8 ft, A", "A, B, C, 50 ft, A"]',
        '# drops = [{ at = "B", tool = "sander", hose = "3/8 in, 25 ft" }]',
        '# leak_test = { start = "120 psi", end = "95 psi", time = "10 h" }',
    ),
    "SI": (
        '# places = { A = "0, 0, 3 m", B = "9, 0, 3 m", C = "9, 6, 3 m" }',
        '# runs = ["receiver, 2.5 m, A", "A, B, C, 15 m, A"]',
        '# drops = [{ at = "B", tool = "sander", hose = "10 mm, 8 m" }]',
        '# leak_test = { start = "8 bar", end = "6.5 bar", time = "10 h" }',
    ),
}
COLUMN = 34
"""Where comments begin. [characters]"""
_LEFT_OUT = {
    "absent",
    "condition",
    "belt_length",
    "frame",
    "known",
    "name",
    "note",
    "source",
    "first_stage",
    "second_stage",
    "rated",
    "price",
    "have",
    "mass",
    "hangs",
    "places",
    "air_from",
    "drains",
    "runs",
    "drops",
    "leak_test",
}


def starter(units: Units, *, name: str = "My air plant", every_key: bool = False) -> str:
    """Return a plant file to fill in, in US or SI units; with every key, also those seldom known."""
    lines = [
        "# A workshop air plant, for airfettle.  Rate it with:  airfettle rate THIS_FILE", "#", CAUTION, "#", HOW, "",
        "[plant]", f'name = "{name}"', f'units = "{units}"              # US or SI: how answers are shown',
        '# currency = ""             # shown behind prices', "",
    ]  # fmt: skip
    for section, model, awake in SECTIONS:
        lines += _section(section, model, awake, units, every_key)
    return "\n".join(lines) + "\n"


def _section(section: str, model: type[Model[Any]], awake: bool, units: Units, every_key: bool) -> list[str]:
    sleep = "" if awake else "# "
    lines = [
        f"{sleep}[{section}]".ljust(COLUMN)
        + f" # {model.title}"
        + (
            ""
            if awake
            else (
                ", asleep: a usual one is assumed" if section in ("motor_lead", "intake") else ", asleep: there is none"
            )
        )
    ]
    if section == "drive":
        lines.append(
            "# absent = true                   # take the # away where the motor is started straight from the line"
        )
    if section == "belt":
        lines.append("# absent = true                   # take the # away where the pump sits on the motor's shaft")
    common: list[str] = []
    rare: list[str] = []
    grave: list[str] = []
    asked_too: list[str] = []
    for name, info in model.model_fields.items():
        if name in _LEFT_OUT:
            continue
        entry, asked = entry_of(info), fact_of(info)
        if asked is not None:
            (grave if asked.grave else asked_too).extend(_fact_lines(name, asked, info, sleep))
        elif entry is None:
            common += _choice_lines(name, info, sleep)
        elif entry.example_us:
            common += _lines(f'{sleep}{name} = "unknown"', _told(entry, units))
        else:
            rare += _lines(f"# {name} = {_assumed(entry)}", entry.label)
    if section in ("[ready_made]", "[other_cost]"):
        common = [*_lines(f'{sleep}price = "unknown"', "what it costs, a number in the plant's currency"), *common]
    if section in ("[use]", "[ready_made]", "[other_cost]"):
        common = [*_lines(f'{sleep}name = ""', "what you call it; each of several needs its own name"), *common]
    if section == "pump":
        common += [
            "# cylinders with the head off, by tape; a second stage only where there is one; what plate or maker claim:"
        ]
        common += _STAGES[units]
    if section == "shop_pipe":
        common += ["# where it runs, and which tool of [[use]] hangs on which drop; a ring ends where it began:"]
        common += [*_PIPEWORK[units], '# drains = ["C"]']
    lines += common
    if grave or (asked_too and every_key):
        lines += ["# go and look, from where nothing can hurt you; unknown is an answer:", *grave]
    if every_key:
        lines += asked_too
    if rare and every_key:
        lines += ["# seldom known; what is assumed without them:", *rare]
    return [*lines, ""]


def _fact_lines(name: str, asked: Fact, info: FieldInfo, sleep: str) -> list[str]:
    words = " | ".join(str(word) for word in _words(info.annotation))
    return _lines(f"{sleep}{name} = {quoted('unknown')}", f"{asked.question} {words}")


def _choice_lines(name: str, info: FieldInfo, sleep: str) -> list[str]:
    words = [str(w) for w in _words(info.annotation)]
    extra = info.json_schema_extra
    label = str(extra.get("label", "")) if isinstance(extra, dict) else ""
    if words:
        label += ": " + " | ".join(words)
    if not words and info.default is None:
        return _lines(f"# {name} = 1", label)
    if words and all(w.isdigit() for w in words):
        return _lines(f"# {name} = {info.default or words[0]}", label)
    if not words and isinstance(info.default, (int, tuple)):
        plain = list(info.default) if isinstance(info.default, tuple) else info.default
        return _lines(f"{sleep}{name} = {plain}", label)
    if isinstance(info.default, tuple):
        return _lines(f"{sleep}{name} = []", label)
    asleep = "# " if info.default is None else sleep
    return _lines(f"{asleep}{name} = {quoted(str(info.default or words[0] if words else info.default))}", label)


def quoted(word: str) -> str:
    """Return a word as TOML text."""
    return '"' + word.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _words(annotation: Any) -> tuple[Any, ...]:
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    return next((found for inner in get_args(annotation) if (found := _words(inner))), ())


def _told(entry: Entry, units: Units) -> str:
    example = entry.example_us if units == "US" else entry.example_si
    text = f'{entry.label}, as in "{example}"'
    return f"{text}; find it: {entry.measure}" if entry.measure else text


def _assumed(entry: Entry) -> str:
    text = entry.default.get("unknown", entry.default.get("", "")) if isinstance(entry.default, dict) else entry.default
    return quoted(text or "unknown")


def _lines(entry: str, comment: str) -> list[str]:
    """Return the entry with its comment, which goes on below where it is long."""
    first, *others = wrap(comment, 120 - COLUMN)
    return [f"{entry.ljust(COLUMN)} # {first}", *(f"{'#'.ljust(COLUMN)} # {other}" for other in others)]
