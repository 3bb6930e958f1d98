"""A number with its spread, as a toleranced dimension and to the digits the spread deserves."""

from __future__ import annotations

from math import floor, isfinite, log10
from typing import Literal

from airfettle.quantity.kinds import KINDS
from airfettle.quantity.span import Span

Units = Literal["US", "SI"]


def shown_unit(kind: str, units: Units) -> str:
    """Return the unit a kind is shown in to this owner. [text]"""
    entry = KINDS[kind]
    return entry.us if units == "US" else entry.metric


def in_unit(value: float, *, kind: str, unit: str) -> float:
    """Return an SI value in a unit of its kind."""
    factor, offset = KINDS[kind].units[unit]
    return (value - offset) / factor


def toleranced(low: float, likely: float, high: float, *, kind: str, units: Units) -> str:
    """Return ``16.2 +1.1/-0.9 cfm``, or ``16.2 ±1.0 cfm`` where both sides are alike, from SI numbers."""
    unit = shown_unit(kind, units)
    a, m, b = (in_unit(v, kind=kind, unit=unit) for v in (low, likely, high))
    places = min(_places(m, max(b - m, m - a)), FINEST.get(kind, 3))
    number = _rounded(m, places)
    above, below = _rounded(b - m, places), _rounded(m - a, places)
    if float(above) or float(below):
        number += f" ±{above}" if above == below else f" +{above}/-{below}"
    return _with_unit(number, unit)


def plain(value: float, *, kind: str, units: Units) -> str:
    """Return ``16.2 cfm`` from an SI number, to four significant digits, without zeros behind the point."""
    unit = shown_unit(kind, units)
    number = in_unit(value, kind=kind, unit=unit)
    text = _rounded(number, _places(number, 0.0))
    return _with_unit(text.rstrip("0").rstrip(".") if "." in text else text, unit)


def span_text(span: Span, *, units: Units) -> str:
    """Return a span as the owner wrote it, or as limits in the owner's units where nobody wrote it."""
    unit = shown_unit(span.kind, units)
    if span.text and (span.known != "assumed" or span.unit == unit):
        return span.text
    if span.form == "exact":
        return plain(span.likely, kind=span.kind, units=units)
    low, likely, high = (in_unit(v, kind=span.kind, unit=unit) for v in (span.low, span.likely, span.high))
    places = 1 - floor(log10(high - low)) if high > low else _places(likely, 0.0)
    text = _with_unit(f"{_rounded(low, places)}..{_rounded(high, places)}", unit)
    return f"{text} likely {_rounded(likely, places)}" if span.form == "triangular" else text


def _with_unit(number: str, unit: str) -> str:
    return f"{number} {unit}" if unit.strip("-") else number


DIGITS = 4
"""Most significant digits a number is shown to. [-]"""
FINEST = {"temperature": 1, "temperature_difference": 1, "sound_level": 1, "fraction": 1, "pressure": 2, "current": 1}
"""Most decimals of a kind, whatever the spread: finer than a shop can read; others 3. [-]"""


def _places(value: float, spread: float) -> int:
    """Decimal places: two digits of a spread that starts with 1 or 2, one digit of a larger one; DIGITS at most."""
    most = DIGITS - 1 - floor(log10(abs(value))) if value and isfinite(value) else 0
    if spread > 1e-9 * max(abs(value), 1e-12):
        exponent = floor(log10(spread))
        wanted = -exponent + (1 if spread / 10**exponent < 3 else 0)
        return min(wanted, most) if value else wanted
    return most


def _rounded(value: float, places: int) -> str:
    text = f"{round(value, places):.{max(places, 0)}f}"
    if "." in text and places > 6:
        text = text.rstrip("0").rstrip(".")
    return text.removeprefix("-") if not float(text) else text
