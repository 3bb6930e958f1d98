"""One size of pipe or hose, and those next to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airfettle import tables
from airfettle.parts.pipe_stock.material import entry, material_row, sizes
from airfettle.quantity.kinds import FOOT, INCH

BARE_WALL = 1.0 / 9.0
"""Wall over bore of a pipe of which only the bore is told, as of plastic pipe of SDR 11. [-]  Source: practice."""

LENGTHS = {"in": INCH, "mm": 1e-3, "ft": FOOT, "m": 1.0}
"""Units of length of the tables. [m]"""


@dataclass(frozen=True)
class Stock:
    """One size of pipe or hose.

    Attributes
    ----------
    material : str
        One of materials(). [text]
    family : str
        What a plant file calls it as the material of the shop's pipe. [text]
    size : str
        As the trade writes it: '3/4 in', '22 x 1', '20.4 mm bore'. [text]
    outside, wall, bore : float
        Outside diameter, wall as named, and bore. [m]
    roughness : float
        Of its inside, new. [m]
    expansion : float
        Growth with warmth, as a share of its length for each kelvin; 0 for hose, which gives. [1/K]
    mass_per_length : float
        Mass of a metre. [kg/m]
    needs_listing : bool
        It is only for air where its maker says so.
    refused : bool
        It is not for compressed air: it bursts into flying pieces.
    rating_known : bool
        A rated pressure is on record; otherwise its maker has to say.
    weakness : int
        The larger, the sooner it fails where it is warm or knocked. [-]
    """

    material: str
    family: str
    size: str
    outside: float
    wall: float
    bore: float
    roughness: float
    expansion: float
    mass_per_length: float
    needs_listing: bool
    refused: bool
    rating_known: bool
    weakness: int

    @property
    def text(self) -> str:
        """The name that read_pipe reads back. [text]"""
        return f"{self.material} {self.size}"


def stock_in_row(material: str, *, row: int) -> Stock:
    """Return the pipe that stands in a row of its material's table.

    Parameters
    ----------
    material : str
        One of materials() that has a table. [text]
    row : int
        Row, the smallest size first. [-]

    Returns
    -------
    Stock
        The pipe. [SI]

    References
    ----------
    [asme-b36-10]; [astm-b88]; [en-1057]; [en-10312]; [astm-f876]; aluminium and hose: [practice]
    """
    table = tables.load(entry(material, column="table"))

    def length(column: str) -> float:
        return float(table.numbers(column)[row]) * LENGTHS[table.columns[column].unit]

    return _of(material, table.words("size")[row], length("outside"), length("wall"), length("bore"))


def bare_stock(material: str, *, bore: float, size: str) -> Stock:
    """Return a pipe of which only the bore is told.

    Parameters
    ----------
    material : str
        One of materials(). [text]
    bore : float
        Its bore. [m]
    size : str
        The bore as it was written. [text]

    Returns
    -------
    Stock
        The pipe, with the wall of plastic pipe of SDR 11. [SI]

    References
    ----------
    [practice]
    """
    return _of(material, size, bore * (1.0 + 2.0 * BARE_WALL), bore * BARE_WALL, bore)


def larger(stock: Stock) -> Stock | None:
    """Return the next larger size of the same pipe.

    Parameters
    ----------
    stock : Stock
        A pipe. [SI]

    Returns
    -------
    Stock or None
        The pipe, or none where no larger one is made. [SI]

    References
    ----------
    [practice]
    """
    return _beside(stock, 1)


def smaller(stock: Stock) -> Stock | None:
    """Return the next smaller size of the same pipe.

    Parameters
    ----------
    stock : Stock
        A pipe. [SI]

    Returns
    -------
    Stock or None
        The pipe, or none where no smaller one is made. [SI]

    References
    ----------
    [practice]
    """
    return _beside(stock, -1)


def _of(material: str, size: str, outside: float, wall: float, bore: float) -> Stock:
    table, row = tables.load("pipe_materials"), material_row(material)

    def number(column: str) -> float:
        return float(table.numbers(column)[row])

    section = 0.25 * np.pi * (outside**2 - bore**2)
    return Stock(
        material, family=table.words("family")[row], size=size, outside=outside, wall=wall, bore=bore,
        roughness=number("roughness") * 1e-3, expansion=number("expansion") * 1e-6,
        mass_per_length=float(section) * number("density"), needs_listing=table.words("needs listing")[row] == "yes",
        refused=table.words("refused")[row] == "yes", rating_known=bool(table.words("rating")[row]),
        weakness=int(number("weakness")),
    )  # fmt: skip


def _beside(stock: Stock, step: int) -> Stock | None:
    """The next size up or down; a hose in inches stays in inches."""
    made = sizes(stock.material)
    if stock.size not in made:
        return None
    unit = stock.size.rpartition(" ")[2] if stock.material == "hose" else ""
    alike = [row for row, size in enumerate(made) if size.endswith(unit)]
    place = alike.index(made.index(stock.size)) + step
    return stock_in_row(stock.material, row=alike[place]) if 0 <= place < len(alike) else None
