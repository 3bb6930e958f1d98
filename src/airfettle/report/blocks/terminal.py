"""A part of the build sheet in the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich import box
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

from airfettle.report.blocks.kinds import Block, Checks, Heading, Leaf, Picture, Signed, Table, Words
from airfettle.report.words import CAUTION

JUSTIFY = {"left": "left", "right": "right", "middle": "center"}
STYLES = {"danger": "bold red", "warning": "bold red", "caution": "bold yellow", "notice": "bold"}
"""Style of each signal word; the word itself carries the meaning."""


def leaf_in_terminal(leaf: Leaf, *, width: int, caution: bool = True) -> RenderableType:
    """Return a part for a rich console of a width; its drawings are told by their titles."""
    parts: list[RenderableType] = [Text(leaf.title, style="bold")]
    if caution:
        parts.append(Text(CAUTION, style="italic"))
    for block in leaf.blocks:
        parts += ["", *_block(block, leaf, width)]
    return Group(*parts, "")


def _block(block: Block, leaf: Leaf, width: int) -> Iterator[RenderableType]:
    if isinstance(block, Heading):
        yield Text(block.text, style="bold underline" if block.level == 2 else "bold")
    elif isinstance(block, Words):
        yield Text(block.text, style="bold" if block.strong else "")
    elif isinstance(block, Signed):
        yield Text.assemble((f"{block.signal.upper()} ", STYLES[block.signal]), block.text)
    elif isinstance(block, Table):
        yield from _table(block, width)
    elif isinstance(block, Checks):
        yield from _checks(block)
    elif isinstance(block, Picture):
        yield Text(f"Drawing: {block.title}. To draw it, name a file: -o {leaf.name}.svg (or .png, .pdf).", style="dim")


def _table(table: Table, width: int) -> Iterator[RenderableType]:
    if table.caption:
        yield Text(table.caption, style="bold")
    shown = [n for n, column in enumerate(table.columns) if not column.blank]
    rich = RichTable(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0), show_edge=False, header_style="bold")
    for n in shown:
        column = table.columns[n]
        rich.add_column(Text(column.title), justify=JUSTIFY[column.align], ratio=None)  # type: ignore[arg-type]
    for place, row in enumerate(table.rows):
        rich.add_row(*(Text(row[n], style="bold" if place in table.strong else "") for n in shown))
    yield rich


def _checks(checks: Checks) -> Iterator[RenderableType]:
    for number, (what, expected, why) in enumerate(checks.items, start=1):
        mark = f"{number:>2} [ ] " if checks.numbered else "[ ] "
        more = "".join(f"\n{text}" for text in (expected and f"expect: {expected}", why) if text)
        yield Padding(Text.assemble((mark, "bold"), what, (more, "dim")), (0, 0, 0, 1))
