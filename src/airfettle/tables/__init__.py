"""Published tables: each in its own file, with source, edition, place and units for every column.

A table file looks like this::

    title = "Full-load current, three-phase motors"
    source = "nec"                  # key in the bibliography
    edition = "2008"
    where = "Table 430.250"
    sure = "A"                      # A seen, B secondary copies only, M memory, CP common practice, C own
    note = ""

    [column.power]
    unit = "hp"
    rising = true                   # values must rise from row to row
    values = [0.5, 0.75, 1.0]

    [column."230 V"]
    unit = "A"
    values = [2.2, 3.2, 4.2]

A missing cell is ``nan``. Text columns carry ``unit = "text"``.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import UnknownTableEntry


@dataclass(frozen=True)
class Column:
    """One column: its unit as printed, its values, and whether they rise from row to row."""

    name: str
    unit: str
    values: NDArray[np.float64] | tuple[str, ...]
    rising: bool = False


@dataclass(frozen=True)
class Table:
    """A published table as printed; conversions to SI belong to whoever uses it."""

    name: str
    title: str
    source: str
    edition: str
    where: str
    sure: str
    note: str
    columns: dict[str, Column]

    def numbers(self, column: str) -> NDArray[np.float64]:
        """Return a column of numbers in the unit it was printed in, shape (rows,).

        Raises
        ------
        UnknownTableEntry
            The table has no such column of numbers.
        """
        found = self.columns.get(column)
        if found is None or isinstance(found.values, tuple):
            wanted = ", ".join(name for name, c in self.columns.items() if not isinstance(c.values, tuple))
            raise UnknownTableEntry(read=column, where=self.title, wanted=f"one of: {wanted}")
        return found.values

    def words(self, column: str) -> tuple[str, ...]:
        """Return a text column, one string for each row.

        Raises
        ------
        UnknownTableEntry
            The table has no such text column.
        """
        found = self.columns.get(column)
        if found is None or not isinstance(found.values, tuple):
            wanted = ", ".join(name for name, c in self.columns.items() if isinstance(c.values, tuple))
            raise UnknownTableEntry(read=column, where=self.title, wanted=f"one of: {wanted}")
        return found.values


def names() -> tuple[str, ...]:
    """Return the names of all tables, in alphabetical order."""
    files = resources.files(__name__).joinpath("data").iterdir()
    return tuple(sorted(f.name.removesuffix(".toml") for f in files if f.name.endswith(".toml")))


@cache
def load(name: str) -> Table:
    """Return one table by the name of its file, without its ending.

    Raises
    ------
    UnknownTableEntry
        No table has that name.
    """
    file = resources.files(__name__).joinpath("data", f"{name}.toml")
    if not file.is_file():
        raise UnknownTableEntry(read=name, where="tables", wanted=f"one of: {', '.join(names())}")
    data = tomllib.loads(file.read_text(encoding="utf-8"))
    columns = {key: _column(key, fields) for key, fields in data.pop("column").items()}
    return Table(name=name, columns=columns, **{"note": "", **data})


def _column(name: str, fields: dict[str, object]) -> Column:
    values = fields["values"]
    assert isinstance(values, list)
    if fields["unit"] == "text":
        return Column(name, "text", tuple(str(v) for v in values))
    numbers = np.array(values, dtype=np.float64)
    numbers.flags.writeable = False
    return Column(name, str(fields["unit"]), numbers, bool(fields.get("rising", False)))
