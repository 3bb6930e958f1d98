"""The runs and drops of a shop's pipe as rules look at them, by the stock pipe they are made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airfettle.findings.case import Part
from airfettle.parts.pipe_stock import Stock, read_pipe

HOSE = "hose only"
"""Family of a pipe that is all hose. [text]"""
NAMED = 6
"""Names told one by one. [-]"""


@dataclass(frozen=True)
class OfStock:
    """Everything in a shop's pipe that is made of one stock pipe.

    Attributes
    ----------
    stock : Stock
        What it is made of.
    lines : tuple of Part
        Runs and drops.
    """

    stock: Stock
    lines: tuple[Part, ...]

    @property
    def paths(self) -> tuple[str, ...]:
        """Paths of the runs and drops."""
        return tuple(line.path for line in self.lines)

    @property
    def words(self) -> str:
        """The stock and where it lies. [text]"""
        return f"{self.stock.text} ({listed([called(line) for line in self.lines])})"


def runs_of(pipe: Part) -> tuple[Part, ...]:
    """Return the runs that a shop's pipe tells."""
    return _of(pipe, "runs")


def drops_of(pipe: Part) -> tuple[Part, ...]:
    """Return the drops that a shop's pipe tells."""
    return _of(pipe, "drops")


def _of(pipe: Part, key: str) -> tuple[Part, ...]:
    told = getattr(pipe.model, key)
    return tuple(Part(f"{pipe.path}.{key}.{line.name}", line, pipe.case) for line in told if not line.absent)


def stocks_of(pipe: Part) -> tuple[OfStock, ...]:
    """Return what runs and drops of a shop's pipe are made of, each stock once, in the order of the file."""
    found: dict[str, tuple[Stock, list[Part]]] = {}
    for line in (*runs_of(pipe), *drops_of(pipe)):
        if line.fact("pipe"):
            stock = read_pipe(line.fact("pipe"))
            found.setdefault(stock.text, (stock, []))[1].append(line)
    return tuple(OfStock(stock, tuple(lines)) for stock, lines in found.values())


def all_hose(pipe: Part) -> bool:
    """Return whether a shop's pipe is nothing but hose, by its runs and drops or, without them, as told."""
    made_of = stocks_of(pipe)
    if made_of:
        return all(some.stock.family == HOSE for some in made_of)
    return bool(pipe.fact("material") == HOSE)


def called(line: Part) -> str:
    """Return a run or drop in words. [text]"""
    return f"{'run' if '.runs.' in line.path else 'drop'} {line.fact('name')}"


def listed(names: Sequence[str]) -> str:
    """Return names one after the other, the last of many counted. [text]"""
    if len(names) > NAMED + 1:
        names = [*names[:NAMED], f"{len(names) - NAMED} more"]
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))
