"""From a Vega-Lite specification to SVG text, with no browser and nothing fetched."""

from __future__ import annotations

from typing import Any


def chart_svg(specification: dict[str, Any]) -> str:
    """Return a chart as SVG text."""
    import vl_convert

    return str(vl_convert.vegalite_to_svg(specification))
