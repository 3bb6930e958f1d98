"""What the parts of a plant cost: each price as drawn, and their sums row by row."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.plant.part import Part
from airfettle.plant.ready_made import OtherCost
from airfettle.plant.use import Use
from airfettle.plant.whole import OwnersPlant, walk_sections
from airfettle.quantity import Span
from airfettle.studies.draw import Draw

Array = NDArray[np.float64]

HAVE = {"yes": "own", "no": "to buy", "unknown": "unknown"}
"""Whether a cost is paid, in the words of a part's ``have``. [text]"""


@dataclass(frozen=True, eq=False)
class Item:
    """One part that the owner's file tells, or one other cost, with its price.

    Attributes
    ----------
    path, section : str
        Its path in the plant, and the section that it is of, trains left out. [text]
    have : str
        ``own``, ``to buy`` or ``unknown``.
    told : Span or None
        The price as the owner wrote it. [money]
    price : ndarray or None
        As drawn, shape (rows,). [money]
    kind : str
        ``part``, or the sort of another cost. [text]
    either_way : bool
        An other cost that would come with a ready-made unit too.
    """

    path: str
    section: str
    have: str
    told: Span | None
    price: Array | None
    kind: str = "part"
    either_way: bool = False


@dataclass(frozen=True)
class Bill:
    """What a plant costs, part by part.

    Attributes
    ----------
    items : tuple of Item
        In the order of the plant file, other costs last.
    rows : int
        Of the draw. [-]
    """

    items: tuple[Item, ...]
    rows: int

    def total(self, *, have: Collection[str] = ("own", "to buy", "unknown")) -> Array | None:
        """Return the sum of the prices told of what one has, row by row; None where none is told. [money]"""
        return summed((item for item in self.items if item.have in have), rows=self.rows)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Paths of what has no price."""
        return tuple(item.path for item in self.items if item.price is None)

    @property
    def priced(self) -> bool:
        """Whether any price is told."""
        return any(item.price is not None for item in self.items)


def bill_of(told: OwnersPlant, *, draw: Draw) -> Bill:
    """Return what the parts of a plant cost, and the other costs.

    Parameters
    ----------
    told : OwnersPlant
        As the owner's file has it; what is only assumed has no price. [spans]
    draw : Draw
        The same plant drawn. [SI]

    Returns
    -------
    Bill
        Tools and jobs that use the air are left out where they tell no price. [money]

    Notes
    -----
    Prices add up row by row, so that the spread of a sum is that of independent prices, not the sum of all highest.
    """
    drawn = dict(walk_sections(draw.plant))
    found = []
    for path, part in walk_sections(told):
        section = section_of(path)
        if isinstance(part, OtherCost):
            have, kind, either_way = HAVE[part.paid], str(part.kind), part.either_way == "yes"
        elif isinstance(part, Part) and not part.absent and not _inside_pipe(part, path):
            have, kind, either_way = part.have, "part", False
        else:
            continue
        if isinstance(part, Use) and part.price is None:
            continue
        there = drawn.get(path)
        price = None if part.price is None or there is None else getattr(there, "price", None)
        rows = None if price is None else np.broadcast_to(np.ravel(price), (draw.rows,))
        found.append(Item(path, section, have, part.price, rows, kind, either_way))
    return Bill(tuple(found), draw.rows)


def _inside_pipe(part: Part[Span], path: str) -> bool:
    """Runs and drops stand for themselves only where they tell a price; else they are part of the shop's pipe."""
    return path.startswith("shop_pipe.") and part.price is None


def section_of(path: str) -> str:
    """Return the section that a path is of, trains and names left out. [text]"""
    first, _, rest = path.partition(".")
    return rest.rpartition(".")[2] or first if first == "train" else first


def summed(items: Iterable[Item], *, rows: int) -> Array | None:
    """Return the sum of the prices told, row by row; None where none is told. [money]"""
    prices = [item.price for item in items if item.price is not None]
    return None if not prices else np.sum([np.broadcast_to(p, (rows,)) for p in prices], axis=0)
