"""A part of the build sheet as data, for JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from airfettle.report.blocks.kinds import Leaf, Picture


def leaf_as_data(leaf: Leaf) -> dict[str, Any]:
    """Return a part as JSON has it, block by block; a drawing by its title."""
    blocks = []
    for block in leaf.blocks:
        fields = asdict(block)
        if isinstance(block, Picture):
            del fields["svg"]
        blocks.append({"block": type(block).__name__.lower()} | fields)
    return {"part": leaf.name, "title": leaf.title, "blocks": blocks, "sources": list(leaf.sources)}
