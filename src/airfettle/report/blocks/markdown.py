"""A part of the build sheet as Markdown, to paste; every word of the plant file stands there as plain text."""

from __future__ import annotations

import re
from collections.abc import Iterator

from airfettle.report.blocks.kinds import Block, Checks, Heading, Leaf, Picture, Signed, Table, Words
from airfettle.report.words import CAUTION

RULE = {"left": ":--", "right": "--:", "middle": ":-:"}
_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~^$!&])")


def leaf_as_markdown(leaf: Leaf) -> str:
    """Return a part as Markdown, its drawings by their titles."""
    parts = [f"# {plain_words(leaf.title)}", f"*{plain_words(CAUTION)}*"]
    for block in leaf.blocks:
        parts += _block(block)
    return "\n\n".join(parts) + "\n"


def plain_words(text: str) -> str:
    """Return a text on one line in which nothing is taken for markup."""
    line = " ".join(text.split())
    line = _MARKUP.sub(r"\\\1", line)
    return re.sub(r"^([-+>]|\d+[.)])(?=\s)", r"\\\1", line)


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Heading):
        yield f"{'#' * block.level} {plain_words(block.text)}"
    elif isinstance(block, Words):
        words = plain_words(block.text)
        yield f"**{words}**" if block.strong else words
    elif isinstance(block, Signed):
        yield f"> **{block.signal.upper()}** {plain_words(block.text)}"
    elif isinstance(block, Table):
        yield from _table(block)
    elif isinstance(block, Checks):
        yield "\n".join(_check(*item) for item in block.items)
    elif isinstance(block, Picture):
        yield f"*Drawing: {plain_words(block.title)}*"


def _table(table: Table) -> Iterator[str]:
    if table.caption:
        yield f"**{plain_words(table.caption)}**"
    heads = "| " + " | ".join(plain_words(column.title) for column in table.columns) + " |"
    rules = "| " + " | ".join(RULE[column.align] for column in table.columns) + " |"
    rows = ["| " + " | ".join(_cell(cell, place in table.strong) for cell in row) + " |"
            for place, row in enumerate(table.rows)]  # fmt: skip
    yield "\n".join([heads, rules, *rows])


def _cell(text: str, strong: bool) -> str:
    words = plain_words(text)
    return f"**{words}**" if strong and words else words


def _check(what: str, expected: str, why: str) -> str:
    more = "".join(
        f" {words}" for words in (expected and f"Expect: {plain_words(expected)}.", plain_words(why)) if words
    )
    return f"- [ ] {plain_words(what)}{more}"
