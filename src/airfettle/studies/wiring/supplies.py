"""What each kind of supply brings: its wires by name, which of them a load takes, and which feed the control."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SupplyShape:
    """The wires of a supply.

    Attributes
    ----------
    terminals : tuple of str
        All that it brings, neutral and earth included. [text]
    three, two : tuple of str
        Live wires of a three-phase load, empty on a single phase; wires of a single-phase load. [text]
    control : tuple of str
        The two wires that coils, valve and fan are fed from. [text]
    words : tuple of str
        What stands beside the supply on a drawing. [text]
    converter : str
        The converter that makes the third wire; empty for none. [text]
    transformer : bool
        Its volts are too high for a control circuit, which has a transformer of its own.
    """

    terminals: tuple[str, ...]
    three: tuple[str, ...]
    two: tuple[str, ...]
    control: tuple[str, str]
    words: tuple[str, ...] = ()
    converter: str = ""
    transformer: bool = False

    def wires(self, phases: int) -> tuple[str, ...]:
        """Return the wires that a load of one or three phases takes; three phases take two where there is no third."""
        return self.three if phases == 3 and self.three else self.two


LINES = ("L1", "L2", "L3")
WITH_NEUTRAL = (*LINES, "N", "PE")
ONE_PHASE_US = SupplyShape(("L1", "L2", "N", "PE"), (), ("L1", "L2"), ("L1", "L2"))
ONE_PHASE_SI = SupplyShape(("L", "N", "PE"), (), ("L", "N"), ("L", "N"))
STAR = SupplyShape(WITH_NEUTRAL, LINES, ("L1", "N"), ("L1", "N"))
SHAPES = {
    "single-phase 120/240": ONE_PHASE_US,
    "single-phase 230": ONE_PHASE_SI,
    "208 wye": SupplyShape(WITH_NEUTRAL, LINES, ("L1", "L2"), ("L1", "L2")),
    "240 high-leg delta": SupplyShape(
        WITH_NEUTRAL, LINES, ("L1", "L3"), ("L1", "L3"),
        words=("L2 is the high leg, marked orange: 208 V to N", "nothing from L2 to N; coils and fan on L1 and L3"),
    ),
    "240 corner-grounded delta": SupplyShape(
        (*LINES, "PE"), LINES, ("L1", "L3"), ("L1", "L3"), words=("L2 stands at earth; coils and fan on L1 and L3",)
    ),
    "400/230 wye": STAR,
    "480/277 wye": SupplyShape(WITH_NEUTRAL, LINES, ("L1", "L2"), ("L1", "L2"), transformer=True),
    "generator, single-phase": ONE_PHASE_US,
    "rotary converter": SupplyShape(
        ("L1", "L2", "PE"), LINES, ("L1", "L2"), ("L1", "L2"), converter="rotary converter",
        words=("L3 is made by the converter: nothing of the control on it",),
    ),
    "static converter": SupplyShape(
        ("L1", "L2", "PE"), LINES, ("L1", "L2"), ("L1", "L2"), converter="static converter",
        words=("L3 is made by the converter: nothing of the control on it",),
    ),
}  # fmt: skip
"""Kind of supply -> its wires.  The high leg is the middle one by the marking asked for in the United States.
Source: nec 110.15, 408.3(E); the rest practice."""


def supply_shape(kind: str | None, *, phases: int, us: bool) -> SupplyShape:
    """Return the wires of a supply.

    Parameters
    ----------
    kind : str or None
        As in the plant file; None where it is not told. [text]
    phases : int
        Of a supply whose kind is not told. [-]
    us : bool
        The owner writes US units, which tells the mains of a generator or of a supply whose kind is not told.

    Returns
    -------
    SupplyShape
        [text]
    """
    if kind in SHAPES:
        return SHAPES[kind]
    if kind == "generator, three-phase" or phases == 3:
        return SHAPES["208 wye"] if us else STAR
    return ONE_PHASE_US if us else ONE_PHASE_SI
