"""The parts list of a plant: what it takes, what of it is there, what is still missing, and what that comes to."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import Case, Part
from airfettle.findings.finding import Finding
from airfettle.findings.parts_needed import PartNeeded, parts_needed
from airfettle.findings.parts_wires import drawings, drawn_there
from airfettle.findings.parts_words import Thing, things_of
from airfettle.plant.ready_made import OtherCost
from airfettle.plant.whole import OwnersPlant, walk_sections
from airfettle.studies.choosing.bill import Bill, Item, bill_of
from airfettle.studies.reach import Reach

Array = NDArray[np.float64]
State = Literal["own", "to buy", "not told"]

ORDER = (
    "supply", "drive", "motor_lead", "motor", "belt", "intake", "pump", "hot_line", "cooler", "separator",
    "check_valve", "receiver", "control", "dryer", "filter", "shop_pipe", "use",
)  # fmt: skip
"""Sections in the order that power and air meet them; relief valves stand behind what they protect."""
RELIEF_BEHIND = {"pump": ("interstage", "pump discharge"), "receiver": ("receiver", "unknown")}
ALWAYS = {"supply": "breaker and wires from the panel", "drive": "variable-frequency drive", "motor_lead": "motor lead",
          "motor": "motor", "pump": "pump head", "receiver": "receiver", "control": "pressure switch"}  # fmt: skip
"""What every plant has, or its drawings take it to have; told nothing of, it stands on the list as that."""
ASSUMED = "assumed: nobody told of it"
STATES: dict[str, State] = {"own": "own", "to buy": "to buy", "unknown": "not told"}


@dataclass(frozen=True)
class PartRow:
    """One line of the list.

    Attributes
    ----------
    path : str
        Of the part in the plant file.
    thing : Thing
        What it is.
    state : str
        ``own``, ``to buy`` or ``not told``.
    condition, source : str
        As told; empty where not.
    item : Item or None
        Its price; None where the price stands with the first thing of its section.
    first : bool
        The first thing of its section, which carries the price of all.
    told : bool
        The plant file has a section for it.
    drawn : bool
        Only the wiring drawing shows it, so that no section's price stands for it.
    """

    path: str
    thing: Thing
    state: State
    condition: str
    source: str
    item: Item | None
    first: bool
    told: bool = True
    drawn: bool = False


@dataclass(frozen=True)
class CostRow:
    """One cost that is no part of the plant: its name, sort, state and price."""

    name: str
    kind: str
    state: State
    item: Item


@dataclass(frozen=True)
class PartsList:
    """What a plant takes.

    Attributes
    ----------
    rows : tuple of PartRow
        In the order that power and air meet them.
    costs : tuple of CostRow
        Other costs, in the order of the file.
    needed : tuple of PartNeeded
        What findings ask for, and may be in no line above.
    bill : Bill
        Prices. [money]
    spent, to_spend, open : ndarray or None
        Prices told of what is owned or paid, of what is to buy, and of what nobody told either of, added up row by
        row; None where none is told. [money]
    """

    rows: tuple[PartRow, ...]
    costs: tuple[CostRow, ...]
    needed: tuple[PartNeeded, ...]
    bill: Bill

    @property
    def spent(self) -> Array | None:
        """Prices told of what is owned or paid, added row by row. [money]"""
        return self.bill.total(have=("own",))

    @property
    def to_spend(self) -> Array | None:
        """Prices told of what is still to buy or to pay. [money]"""
        return self.bill.total(have=("to buy",))

    @property
    def open(self) -> Array | None:
        """Prices told of what nobody said whether it is there. [money]"""
        return self.bill.total(have=("unknown",))

    @property
    def missing(self) -> tuple[PartNeeded, ...]:
        """What findings that hold ask for: none of it has a price yet."""
        return tuple(need for need in self.needed if need.sure)

    @property
    def to_look_at(self) -> tuple[PartNeeded, ...]:
        """What may be there already, though nobody told."""
        return tuple(need for need in self.needed if not need.sure)


def parts_list(told: OwnersPlant, *, reach: Reach, findings: Sequence[Finding]) -> PartsList:
    """Return the parts list of a plant.

    Parameters
    ----------
    told : OwnersPlant
        As the owner's file has it. [spans]
    reach : Reach
        The same plant at every point its settings reach. [SI]
    findings : sequence of Finding
        What was found about it, worst first.

    Returns
    -------
    PartsList
        Sections that are only assumed are left out, but for those that every plant has.
    """
    case, bill = Case(reach), bill_of(told, draw=reach.draw)
    items = {item.path: item for item in bill.items}
    costs = tuple(
        CostRow(part.name or str(part.kind), str(part.kind), STATES[items[path].have], items[path])
        for path, part in walk_sections(told) if isinstance(part, OtherCost)
    )  # fmt: skip
    rows = [row for part in _in_order(case) for row in _rows(case, part, items)]
    behind = max((n + 1 for n, row in enumerate(rows) if row.path == "control"), default=len(rows))
    rows[behind:behind] = _drawn(case, findings)
    return PartsList(tuple(rows), costs, parts_needed(case, findings=findings), bill)


def _in_order(case: Case) -> Iterator[Part]:
    """Yield the parts in the order that power and air meet them; one train's after the other's."""
    for section in ORDER:
        yield from case.parts(section)
        for protected in RELIEF_BEHIND.get(section, ()):
            yield from (part for part in case.parts("relief_valve") if part.fact("protects") == protected)
        if section == "shop_pipe":
            yield from (_inside(case, path, part) for path, part in walk_sections(case.plant)
                        if path.startswith(("shop_pipe.runs", "shop_pipe.drops")))  # fmt: skip


def _inside(case: Case, path: str, part: Any) -> Part:
    return Part(path, part, case)


def _rows(case: Case, part: Part, items: dict[str, Item]) -> Iterator[PartRow]:
    """Yield the lines of a section that is told; runs, drops and tools only where they tell a price of their own."""
    item = items.get(part.path)
    section = part.path.rpartition(".")[2] if part.path.startswith("train.") else part.path
    if item is None:
        if section in ALWAYS:
            yield PartRow(part.path, Thing(ALWAYS[section], ASSUMED), "not told", "", "", None, first=True,
                          told=False)  # fmt: skip
        return
    condition = "" if part.fact("condition") == "unknown" else str(part.fact("condition"))
    for place, thing in enumerate(things_of(case, part)):
        first = place == 0
        yield PartRow(part.path, thing, STATES[item.have], condition if first else "",
                      str(part.fact("source")) if first else "", item if first else None, first)  # fmt: skip


def _drawn(case: Case, findings: Sequence[Finding]) -> Iterator[PartRow]:
    """Yield what the wiring drawing shows of a plant as it is and no section stands for: contactors, fuses, lamps."""
    for found in drawn_there(drawings(case, findings=findings)):
        what = ", ".join(word for word in (found.what, f"{found.tag} on the wiring drawing") if word)
        yield PartRow(
            found.about, Thing(found.part, what), "not told", "", "", None, first=False, told=False, drawn=True
        )


def counted(rows: Collection[PartRow]) -> int:
    """Return how many told sections have no price of their own. [-]"""
    return sum(row.first and row.told and (row.item is None or row.item.price is None) for row in rows)
