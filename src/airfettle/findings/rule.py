"""Rules: a function each, with what a page about it says; ``@rule`` puts it in the register."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from airfettle.findings.case import Case, Verdict
from airfettle.findings.finding import Signal

Group = Literal["pressure boundary", "pump and drive train", "electrical and control", "air quality and piping",
                "the owner's numbers"]  # fmt: skip
Judge = Callable[[Case], Iterator[Verdict]]


@dataclass(frozen=True)
class Rule:
    """One rule: its id, its worst signal word, and what its page says.

    Attributes
    ----------
    name : str
        Id, in plain trade words.
    signal : str
        Signal word when it holds; a verdict may lower it.
    group, title, why, threshold, do : str
        Where it stands, what it is about, why it matters, from when it holds, what puts it right.
    sources : tuple of str
        Keys of the bibliography.
    judge : callable
        Yields a verdict for every part that the rule looks at.
    """

    name: str
    signal: Signal
    group: Group
    title: str
    why: str
    threshold: str
    do: str
    sources: tuple[str, ...]
    judge: Judge


RULES: dict[str, Rule] = {}
"""Every rule, by id, in the order of its group."""


def rule(
    name: str, *, signal: Signal, group: Group, title: str, why: str, threshold: str, do: str,
    sources: tuple[str, ...] = ("practice",),
) -> Callable[[Judge], Judge]:  # fmt: skip
    """Register a rule; the function below it yields its verdicts."""

    def register(judge: Judge) -> Judge:
        if name in RULES:
            raise TypeError(f"two rules named {name}")
        RULES[name] = Rule(name, signal, group, title, why, threshold, do, sources, judge)
        return judge

    return register
