"""The tables of a part of the build sheet as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
import io
import re

from airfettle.report.blocks.kinds import Checks, Leaf, Table

_NUMBER = re.compile(r"[-+]?\d[\d.,]*(\s[^=+\-@|!()]*)?")


def leaf_as_csv(leaf: Leaf) -> str:
    """Return the tables and lists of a part, one below the other, an empty line between two.

    A cell that a spreadsheet would take for a formula gets an apostrophe before it.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for n, (head, rows) in enumerate(_tables(leaf)):
        if n:
            writer.writerow([])
        writer.writerows([[_inert(cell) for cell in row] for row in (head, *rows)])
    return out.getvalue()


def _tables(leaf: Leaf) -> list[tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]]:
    found: list[tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]] = []
    for block in leaf.blocks:
        if isinstance(block, Table):
            found.append((tuple(column.title for column in block.columns), block.rows))
        elif isinstance(block, Checks):
            found.append((("done", "what", "expect", "why"), tuple(("", *item) for item in block.items)))
    return found


def _inert(cell: str) -> str:
    text = " ".join(cell.split())
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") and not _NUMBER.fullmatch(text) else text
