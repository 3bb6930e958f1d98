"""What a ready-made unit's quote leaves out: parts that a working plant needs whoever made it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from airfettle.plant.ready_made import Included, ReadyMade
from airfettle.plant.whole import OwnersPlant
from airfettle.studies.choosing.bill import Bill, Item


@dataclass(frozen=True)
class Needed:
    """One thing that a working plant needs.

    Attributes
    ----------
    word : str
        As a quote includes it.
    says : str
        In the trade's words.
    sections : tuple of str
        Sections of this plant that would stay in use beside a unit without it.
    only_if_here : bool
        It is missed only where this plant has it too.
    """

    word: Included
    says: str
    sections: tuple[str, ...] = ()
    only_if_here: bool = False


NEEDED = (
    Needed("receiver", "receiver with a plate that can be read", ("receiver", "check_valve")),
    Needed("relief valve", "stamped relief valve", ("relief_valve",)),
    Needed("pressure switch", "pressure switch", ("control",)),
    Needed("starter", "starter with overload protection"),
    Needed("aftercooler", "aftercooler with its fan", ("cooler",), only_if_here=True),
    Needed("water separator", "water separator", ("separator",), only_if_here=True),
    Needed("automatic drain", "automatic drain"),
    Needed("dryer", "dryer", ("dryer",), only_if_here=True),
    Needed("filters", "filters", ("filter",), only_if_here=True),
    Needed("belt guard", "guard over belt and flywheel"),
    Needed("emergency stop", "emergency stop"),
    Needed("disconnect", "lockable disconnect in sight"),
    Needed("wiring", "breaker and wires from the panel", ("supply",)),
    Needed("pipe", "pipe, drops and hoses", ("shop_pipe",)),
    Needed("delivery", "delivery and unloading"),
    Needed("installation", "setting up and first start"),
)  # fmt: skip
"""In the order that air and power meet them.  Source: practice."""
ALSO_BY = {"starter": ("drive",)}
"""What else in a quote stands for a thing."""


def quote_leaves_out(unit: ReadyMade[Any], *, told: OwnersPlant) -> tuple[Needed, ...]:
    """Return what the quote for a unit does not name, of all that a working plant needs."""
    here = set(_sections(told))
    named = set(unit.includes)
    return tuple(
        need for need in NEEDED
        if need.word not in named and not named & set(ALSO_BY.get(need.word, ()))
        and (not need.only_if_here or here & set(need.sections))
    )  # fmt: skip


def kept_beside(
    unit: ReadyMade[Any], *, left_out: tuple[Needed, ...], bill: Bill, needs_drive: bool
) -> tuple[Item, ...]:
    """Return what of this plant would stay in use beside a unit, and other costs that come either way.

    Parameters
    ----------
    unit : ReadyMade
        As quoted.
    left_out : tuple of Needed
        What its quote leaves out.
    bill : Bill
        Of this plant. [money]
    needs_drive : bool
        It needs a drive or converter because it is built for other phases than the supply has.

    Returns
    -------
    tuple of Item
        [money]
    """
    sections = {section for need in left_out for section in need.sections}
    if needs_drive and "drive" not in unit.includes:
        sections.add("drive")
    return tuple(item for item in bill.items if item.section in sections or item.either_way)


def _sections(told: OwnersPlant) -> list[str]:
    found = []
    for need in NEEDED:
        for section in need.sections:
            part = getattr(told, section, None)
            if section == "cooler":
                part = next((t.cooler for t in told.trains if t.cooler is not None), None)
            several = part if isinstance(part, tuple) else (part,)
            if any(one is not None and not getattr(one, "absent", False) for one in several):
                found.append(section)
    return found
