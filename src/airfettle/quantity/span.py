"""A half-known number: its form, its ends, and how it is known."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from statistics import NormalDist
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from airfettle.quantity.kinds import KINDS

Form = Literal["exact", "flat", "normal", "triangular", "two_halves"]
Known = Literal["measured", "nameplate", "maker", "told", "guess", "assumed"]
CUT = 3.0
"""Normal forms are cut at this many standard deviations. [-]"""


@dataclass(frozen=True)
class Span:
    """One input as the owner knows it; numbers in SI.

    Attributes
    ----------
    kind : str
        A key of ``KINDS``; pressure keeps whether it was written gauge or absolute.
    form : str
        ``exact``; ``flat`` between low and high; ``normal`` about likely with low and high two
        standard deviations away, cut at three; ``triangular``; ``two_halves`` (a half normal on
        each side of likely, equally probable).
    low, likely, high : float
        Ends and most likely value. [SI unit of the kind]
    unit, text : str
        As written.
    known, by, on, note : str
        How it is known, by what, when (ISO date), and the owner's note.
    floor, ceiling : float
        What this entry can be at all, where that is narrower than its kind. [SI unit of the kind]
    """

    kind: str
    form: Form
    low: float
    likely: float
    high: float
    unit: str = ""
    text: str = ""
    known: Known = "told"
    by: str = ""
    on: str = ""
    note: str = ""
    floor: float = float("-inf")
    ceiling: float = float("inf")

    def quantile(self, share: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the value below which a share of the belief lies; shape of share. [SI]

        Notes
        -----
        The tail of a normal form beyond what can be is left out, and its share spread over what remains.
        """
        if self.form == "exact":
            return np.full(share.shape, self.likely)
        kind = KINDS[self.kind]
        least, most = max(kind.low, self.floor), min(kind.high, self.ceiling)
        if self.form == "flat":
            values = self.low + (self.high - self.low) * share
        elif self.form == "triangular":
            values = _triangular(share, self.low, self.likely, self.high)
        else:
            below, above = (self.likely - self.low) / 2, (self.high - self.likely) / 2
            first, last = (_normal_share(_deviations(end - self.likely, below, above)) for end in (least, most))
            z = _normal_quantile(first + (last - first) * share)
            values = self.likely + np.where(z < 0, below, above) * z
        return np.clip(values, least, most)

    def known_as(self, known: Known, *, by: str = "", on: str = "", note: str = "") -> Span:
        """Return the same numbers with another provenance."""
        return replace(self, known=known, by=by or self.by, on=on or self.on, note=note or self.note)


def exactly(value: float, *, kind: str, known: Known = "assumed") -> Span:
    """Return a span with no spread. [SI]"""
    return Span(kind, "exact", value, value, value, known=known)


def _triangular(share: NDArray[np.float64], low: float, mode: float, high: float) -> NDArray[np.float64]:
    width = high - low
    if width <= 0:
        return np.full(share.shape, mode)
    left = (mode - low) / width
    rising = low + np.sqrt(share * width * (mode - low))
    falling = high - np.sqrt((1 - share) * width * (high - mode))
    return np.where(share < left, rising, falling)


def _deviations(distance: float, below: float, above: float) -> float:
    """Return a distance from the likely value in standard deviations of its own side."""
    side = below if distance < 0 else above
    return distance / side if side > 0 else CUT * (-1 if distance < 0 else 1)


@cache
def _normal_table() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Quantiles of the standard normal between its cuts, dense enough to interpolate to 1e-6."""
    nodes = np.linspace(-CUT, CUT, 6001)
    normal = NormalDist()
    shares = np.array([normal.cdf(z) for z in nodes])
    return (shares - shares[0]) / (shares[-1] - shares[0]), nodes


def _normal_quantile(share: NDArray[np.float64]) -> NDArray[np.float64]:
    shares, nodes = _normal_table()
    return np.interp(share, shares, nodes)


def _normal_share(z: float) -> float:
    shares, nodes = _normal_table()
    return float(np.interp(z, nodes, shares))
