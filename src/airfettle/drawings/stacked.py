"""Several drawings on one sheet, one below the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape

from airfettle.drawings.sheet import shortest
from airfettle.drawings.space import cleaned

Drawn = tuple[str, float, float]
"""SVG text, its width and its height [px]."""


def stacked(drawings: Sequence[Drawn], *, title: str) -> Drawn:
    """Return one SVG of several, each as it is, one below the other; a single one unchanged."""
    if len(drawings) == 1:
        return drawings[0]
    width, height = max(wide for _, wide, _ in drawings), sum(high for _, _, high in drawings)
    size = f'width="{shortest(width)}" height="{shortest(height)}" viewBox="0 0 {shortest(width)} {shortest(height)}"'
    parts = [f'<svg xmlns="http://www.w3.org/2000/svg" {size}><title>{escape(cleaned(title))}</title>']
    top = 0.0
    for svg, _, high in drawings:
        parts.append(re.sub(r"<svg ", f'<svg y="{shortest(top)}" ', svg, count=1).rstrip())
        top += high
    return "\n".join([*parts, "</svg>"]) + "\n", width, height
