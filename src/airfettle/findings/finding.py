"""What a finding is."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Signal = Literal["danger", "warning", "caution", "notice"]
"""ANSI Z535.6: will or could kill or injure; may injure; may injure slightly or damage; good to know."""
State = Literal["holds", "may hold", "not told", "clear"]

SIGNALS: tuple[Signal, ...] = ("danger", "warning", "caution", "notice")
"""Worst first."""
LIKELY, SELDOM = 0.5, 0.01
"""Share of the draw from which a finding holds, and below which it is clear. [-]"""


@dataclass(frozen=True)
class Point:
    """Where it is worst: frequency and receiver pressure, gauge, at likely values. [Hz] [Pa]"""

    frequency: float
    receiver_gauge: float


@dataclass(frozen=True)
class Finding:
    """One thing found about a plant.

    Attributes
    ----------
    rule : str
        Id in plain trade words; several findings of one rule differ in their parts.
    signal, rule_signal : str
        Signal word as things are known, and the one it would have if it were certain.
    state : str
        ``holds``, ``may hold``, ``not told`` or ``clear``.
    probability : float or None
        Share of the draw in which it holds at the worst point; None for what is a matter of fact. [-]
    says, do, why : str
        What is wrong with this plant's numbers, what to do, and why it matters.
    parts : tuple of str
        Paths of the parts concerned.
    worst_point : Point or None
        None where it does not depend on speed and pressure.
    decided_by : tuple of str
        Paths of the entries that decide it, strongest first.
    sources : tuple of str
        Keys of the bibliography.
    rows : ndarray of bool or None
        Where in the draw it holds, at the worst point, shape (draw,).
    among : str
        What the probability is a share of: the draw, or weeks the plant was run through. [text]
    """

    rule: str
    signal: Signal
    rule_signal: Signal
    state: State
    probability: float | None
    says: str
    do: str
    why: str
    parts: tuple[str, ...]
    worst_point: Point | None
    decided_by: tuple[str, ...]
    sources: tuple[str, ...]
    rows: NDArray[np.bool_] | None = field(default=None, repr=False, compare=False)
    among: str = "the draw"

    @property
    def name(self) -> str:
        """Id of this finding: the rule, and the part where there may be several."""
        return f"{self.rule}:{self.parts[0]}" if self.parts else self.rule
