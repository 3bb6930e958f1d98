"""A checklist made for one plant, as a part of the build sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

from airfettle.findings.case import Case
from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.findings.finding import Finding
from airfettle.report.blocks import Leaf
from airfettle.report.checklists.care import care_leaf
from airfettle.report.checklists.faults import faults_leaf
from airfettle.report.checklists.receiver import receiver_leaf
from airfettle.report.checklists.start import start_leaf
from airfettle.studies.day.days import Days
from airfettle.studies.rating import Rating
from airfettle.studies.reach import Reach

Kind = Literal["receiver", "start", "care", "faults"]
KINDS: dict[Kind, str] = {
    "receiver": "a used receiver: go or no go",
    "start": "the first start, step by step",
    "care": "care by hours and months",
    "faults": "faults by what is seen or heard",
}
"""Checklists by name, and what each is for."""


def this_plant(reach: Reach, *, rating: Rating, findings: Sequence[Finding]) -> ThisPlant:
    """Return a plant as its checklists see it; one serves all of them, for its trials are worked out once.

    Parameters
    ----------
    reach : Reach
        The plant at every point its settings can bring it to. [SI]
    rating : Rating
        The same plant at its own speeds and pressures. [SI]
    findings : sequence of Finding
        What was found about it.
    """
    return ThisPlant(Case(reach), rating=rating, findings=findings)


def checklist_leaf(kind: Kind, *, this: ThisPlant, days: Days | None = None) -> Leaf:
    """Return a checklist of a plant.

    Parameters
    ----------
    kind : str
        A key of KINDS.
    this : ThisPlant
        See ``this_plant``.
    days : Days or None
        Its days, for when care is due; None goes by hours alone. [SI]
    """
    made: dict[Kind, Callable[[], Leaf]] = {
        "receiver": lambda: receiver_leaf(this),
        "start": lambda: start_leaf(this),
        "care": lambda: care_leaf(this, days=days),
        "faults": lambda: faults_leaf(this),
    }
    return made[kind]()
