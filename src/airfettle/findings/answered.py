"""Verdicts on questions with several bad answers, and on plates read as they are marked."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.finding import Signal

Array = NDArray[np.float64]

PRINTED = ("nameplate", "maker")
"""How a rating is known that stands in print: a code compares the figure that is printed."""


def answered(
    case: Case, part: Part, name: str, answers: dict[str, str], *, milder: dict[str, Signal] | None = None, **more: Any
) -> Verdict:
    """Return the verdict on a question whose bad answers have words of their own.

    Parameters
    ----------
    case, part : Case, Part
        The plant, and whose question it is.
    name : str
        The entry.
    answers : dict
        Bad answer -> words.
    milder : dict, optional
        Bad answer -> a signal word below the rule's.
    more
        Further fields of the verdict.
    """
    answer = part.fact(name)
    signal = (milder or {}).get(answer)
    if signal:
        more = more | {"signal": signal}
    return case.asked(part, name, bad=tuple(answers), says=answers.get(answer, ""), **more)


def marked(part: Part, name: str) -> Array | None:
    """Return a rating as it is printed, shape (1, 1, 1), where it was read in print; else as drawn. [SI]"""
    span = part.case.span(part.at(name))
    if span is not None and span.known in PRINTED:
        return np.full((1, 1, 1), span.likely)
    return part.rows(name)


def worst(*verdicts: Verdict | None) -> Verdict | None:
    """Return the first verdict that holds, else the first that may hold or is not told, else the first of all."""
    there = [verdict for verdict in verdicts if verdict is not None]
    ranks = {"holds": 0, "may hold": 1, "not told": 2, "clear": 3}
    return min(there, key=lambda verdict: ranks[verdict.state]) if there else None
