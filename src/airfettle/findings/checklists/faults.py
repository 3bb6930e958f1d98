"""Faults by what is seen or heard, with the readings that this plant shows where all is well."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from airfettle.findings.checklists.fault_readings import fault_readings
from airfettle.findings.checklists.this_plant import ThisPlant, TrainSeen

SAFE = {
    "look": "Hands off belt, wires and pump: it may start at any moment. Look and listen only.",
    "stop now": "Stop it at once and lock it off: a motor that hums burns in a minute.",
    "locked": "Stop it, lock the supply off, let the pressure out of head and receiver, try a start; what runs in a "
    "test below runs with guards on and hands away.",
    "drive": "Stop it and lock the supply off; wait for the drive's capacitors as its manual says. What is measured "
    "live is measured by whoever is licensed.",
    "run": "Guards on, hands and sleeves away, ears protected; before anything is opened: stop, lock off, let the "
    "pressure out.",
    "hot": "Do not touch: the outlet burns. Over its limit stop it and let it cool for an hour before it is opened.",
    "relief": "Stand clear of its jet and stop the plant. Let the pressure out by a tap before you go near. Never "
    "shut, weigh down or reset it.",
}
"""How to make a plant safe before the tests of a symptom.  Source: practice; osha-1910-147."""


@dataclass(frozen=True)
class Test:
    """One test of a symptom.

    Attributes
    ----------
    do, expect : str
        What to do, and what this plant shows where all is well.
    cause, remedy : str
        What it is otherwise, and what to do about it.
    """

    do: str
    expect: str
    cause: str
    remedy: str


@dataclass(frozen=True)
class Symptom:
    """What is seen or heard, how to make it safe, and tests, the easiest first."""

    name: str
    title: str
    safe: str
    tests: tuple[Test, ...]


def fault_tree(this: ThisPlant) -> tuple[Symptom, ...]:
    """Return the symptoms that a plant can have, with the tests that its parts allow."""
    readings: dict[tuple[int, ...], dict[str, str]] = {}
    found = []
    for name, entry in entries().items():
        whole = tuple(entry.get("needs", ()))
        if not _there(whole, this.has):
            continue
        tests = []
        for test in entry["tests"]:
            needs = (*whole, *test.get("needs", ()))
            if _there(needs, this.has):
                some = concerned(this, needs)
                places = tuple(train.place for train in some)
                readings[places] = readings.get(places) or fault_readings(this, trains=some)
                tests.append(_test(test, readings[places]))
        if tests:
            found.append(Symptom(name, entry["title"], SAFE[entry["safe"]], tuple(tests)))
    return tuple(found)


def concerned(this: ThisPlant, needs: Iterable[str]) -> tuple[TrainSeen, ...]:
    """Return the trains that a test is about: those that have the part it asks for."""
    asked = [ONLY[word] for word in needs if word in ONLY]
    return tuple(train for train in this.trains if all(test(train) for test in asked)) or this.trains


ONLY: dict[str, Callable[[TrainSeen], bool]] = {
    "drive": lambda train: not train.direct,
    "on the line": lambda train: train.direct,
    "belt": lambda train: train.belt is not None,
    "two-stage": lambda train: train.pump.fact("stages") == 2,
    "cooler": lambda train: train.cooler is not None,
}
"""What some trains of a plant may have and others not."""


@cache
def entries() -> dict[str, Any]:
    """Return the whole tree as it stands in its file."""
    return tomllib.loads(resources.files(__package__).joinpath("faults.toml").read_text(encoding="utf-8"))


def short_title(name: str) -> str:
    """Return what a symptom is called where others point to it."""
    title = str(entries()[name]["title"])
    return title.partition(":")[0].partition(",")[0]


def _there(needs: Iterable[str], has: frozenset[str]) -> bool:
    return all(word[3:] not in has if word.startswith("no ") else word in has for word in needs)


def _test(entry: dict[str, Any], readings: dict[str, str]) -> Test:
    return Test(*(entry[field].format_map(readings) for field in ("do", "expect", "cause", "remedy")))
