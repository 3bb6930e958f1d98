"""Quick couplers: what air they let through, by what an owner can tell of them."""

from __future__ import annotations

from dataclasses import dataclass

from airfettle import tables
from airfettle.errors import UnknownChoice

_CONDUCTANCE_UNIT = 1e-8
"""A dm3/(s bar). [m3/(s Pa)]"""


@dataclass(frozen=True)
class Coupler:
    """What a kind of coupler, its plug in it, lets through.

    Attributes
    ----------
    kind : str
        One of coupler_kinds(). [text]
    conductance : tuple of float
        Least and most sonic conductance C by ISO 6358; infinite where there is no coupler. [m3/(s Pa)]
    critical_ratio : tuple of float
        Least and most critical pressure ratio b. [-]
    better : str
        Kind that lets more through, the next one up; empty where there is none. [text]
    """

    kind: str
    conductance: tuple[float, float]
    critical_ratio: tuple[float, float]
    better: str

    @property
    def conductance_text(self) -> str:
        """The conductance as it would stand in a plant file; empty where there is no coupler. [text]"""
        if self.kind == "none":
            return ""
        low, high = (f"{c / _CONDUCTANCE_UNIT:.4g}" for c in self.conductance)
        return f"{low}..{high} dm3/(s bar)"

    @property
    def critical_ratio_text(self) -> str:
        """The critical ratio as it would stand in a plant file; empty where there is no coupler. [text]"""
        if self.kind == "none":
            return ""
        low, high = (f"{b:.4g}" for b in self.critical_ratio)
        return f"{low}..{high}"


def coupler_kinds() -> tuple[str, ...]:
    """Return the kinds of coupler, the narrowest first and ``none`` last.

    Returns
    -------
    tuple of str
        Kinds for coupler_of. [text]

    References
    ----------
    [coupler-practice]
    """
    return tables.load("coupler_kinds").words("kind")


def coupler_of(kind: str) -> Coupler:
    """Return what a kind of coupler lets through.

    Parameters
    ----------
    kind : str
        One of coupler_kinds(). [text]

    Returns
    -------
    Coupler
        Sonic conductance and critical ratio. [SI]

    Raises
    ------
    UnknownChoice
        The kind is not in the table.

    Notes
    -----
    Valid: body and plug together, both of the kind.  The span is that of makes; a worn or a mixed pair may let less
    through than its least.

    References
    ----------
    [coupler-practice]; the form: [iso-6358]
    """
    table, known = tables.load("coupler_kinds"), coupler_kinds()
    if kind not in known:
        raise UnknownChoice(read=kind, where="coupler", wanted=f"one of: {', '.join(known)}")
    row = known.index(kind)
    if kind == "none":
        return Coupler(kind, (float("inf"), float("inf")), (0.5, 0.5), "")

    def span(column: str, unit: float) -> tuple[float, float]:
        least, most = (float(table.numbers(f"{column}, {end}")[row]) for end in ("least", "most"))
        return least * unit, most * unit

    return Coupler(
        kind, span("conductance", _CONDUCTANCE_UNIT), span("critical ratio", 1.0), table.words("better")[row]
    )
