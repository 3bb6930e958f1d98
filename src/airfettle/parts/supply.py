"""What feeds the plant: supply kinds met in workshops, and the voltage that is left at the load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownChoice

Floats = NDArray[np.float64]

HIGH_LEG: float = 0.75**0.5
"""Height of a triangle over its side: high leg to neutral over leg to leg. [-]"""
SUMS_TO_EARTH = {
    "split-phase": 0.0, "single-230": 1.0, "wye-208": 0.0, "wye-480": 0.0, "wye-400": 0.0, "generator": 0.0,
    "high-leg-240": HIGH_LEG, "rotary-converter": HIGH_LEG, "static-converter": HIGH_LEG, "corner-240": 3.0**0.5,
}  # fmt: skip
"""Kind of supply -> live legs' voltages to earth added as phasors, over that between legs: 0 where they balance.
[-]  Source: physics."""


@dataclass(frozen=True)
class SupplyKind:
    """One kind of supply.

    Attributes
    ----------
    kind, label, caveat : str
        Its key, its name, and what to mind. [text]
    phases : int
        1 or 3. [-]
    voltage, voltage_to_earth : float
        Nominal between live legs, and the largest of a leg to earth. [V]
    frequency : float
        Nominal. [Hz]
    below, above : float
        Tolerance of the voltage. [-]
    motor_power_share : float
        Share of a three-phase motor's plate power it can carry straight on the line. [-]
    """

    kind: str
    label: str
    phases: int
    voltage: float
    voltage_to_earth: float
    frequency: float
    below: float
    above: float
    motor_power_share: float
    caveat: str


def supply_kinds() -> tuple[str, ...]:
    """Return the keys of all kinds of supply.

    Returns
    -------
    tuple of str
        Keys for ``supply_kind``. [text]

    References
    ----------
    [practice]
    """
    return tables.load("supply_kinds").words("kind")


def supply_kind(kind: str) -> SupplyKind:
    """Return what a kind of supply offers.

    Parameters
    ----------
    kind : str
        One of ``supply_kinds()``. [text]

    Returns
    -------
    SupplyKind
        Phases [-], voltages [V], frequency [Hz], tolerance [-], caveat [text].

    Raises
    ------
    UnknownChoice
        The kind is not in the table.

    Notes
    -----
    Valid: nominal values; a generator or converter is what its plate says.

    References
    ----------
    [practice]; [ansi-c84-1]; [iec-60038]
    """
    table, known = tables.load("supply_kinds"), supply_kinds()
    if kind not in known:
        raise UnknownChoice(read=kind, where="supply", wanted=f"one of: {', '.join(known)}")
    row = known.index(kind)

    def number(column: str) -> float:
        return float(table.numbers(column)[row])

    return SupplyKind(
        kind=kind, label=table.words("label")[row], phases=int(number("phases")), voltage=number("voltage"),
        voltage_to_earth=number("voltage to earth"), frequency=number("frequency"), below=number("below") / 100.0,
        above=number("above") / 100.0, motor_power_share=number("motor power share"),
        caveat=table.words("caveat")[row],
    )  # fmt: skip


def voltage_at_load(voltage: ArrayLike, *, drop: ArrayLike) -> Floats:
    """Return the voltage left at the end of the conductors.

    Parameters
    ----------
    voltage : array_like
        At the panel, between live legs. [V]
    drop : array_like
        Along the conductors, between the same legs. [V]

    Returns
    -------
    ndarray
        Voltage, not below 0. [V]

    Notes
    -----
    The drop is taken straight off in size.  Valid: drops below a tenth; it reads slightly low at a low power factor.

    References
    ----------
    [physics]
    """
    return np.maximum(np.asarray(voltage, dtype=np.float64) - np.asarray(drop, dtype=np.float64), 0.0)


def high_leg_voltage(voltage: ArrayLike) -> Floats:
    """Return the voltage from the high leg of a centre-tapped delta to neutral.

    Parameters
    ----------
    voltage : array_like
        Between legs. [V]

    Returns
    -------
    ndarray
        Voltage to neutral. [V]

    References
    ----------
    [physics]
    """
    return HIGH_LEG * np.asarray(voltage, dtype=np.float64)


def sum_to_earth(kind: str, *, voltage: ArrayLike) -> Floats:
    """Return the live legs' voltages to earth, added as phasors.

    Parameters
    ----------
    kind : str
        One of ``supply_kinds()``. [text]
    voltage : array_like
        Between legs, or between line and neutral. [V]

    Returns
    -------
    ndarray
        Size of the sum: what like capacitors from each leg to earth leave over. [V]

    Raises
    ------
    UnknownChoice
        The kind is not in the table.

    Notes
    -----
    0 on a star and on two legs either side of neutral, the line's voltage on one leg, sqrt(3)/2 and sqrt(3) times it
    on a delta with its centre tap and with its corner at earth.  Valid: voltages and capacitors alike.

    References
    ----------
    [physics]
    """
    if kind not in SUMS_TO_EARTH:
        raise UnknownChoice(read=kind, where="supply", wanted=f"one of: {', '.join(SUMS_TO_EARTH)}")
    return np.asarray(SUMS_TO_EARTH[kind] * np.asarray(voltage, dtype=np.float64), dtype=np.float64)


def unbalance(first: ArrayLike, *, second: ArrayLike, third: ArrayLike) -> Floats:
    """Return the voltage unbalance of three legs.

    Parameters
    ----------
    first, second, third : array_like
        The three voltages between legs. [V]

    Returns
    -------
    ndarray
        Largest departure from the mean over the mean. [-]

    Notes
    -----
    Valid: magnitudes only.  A motor's rise in temperature goes as twice its square in per cent.

    References
    ----------
    [nema-mg1] 12.45
    """
    legs = np.stack(np.broadcast_arrays(*(np.asarray(leg, dtype=np.float64) for leg in (first, second, third))))
    mean = legs.mean(axis=0)
    return np.asarray(np.abs(legs - mean).max(axis=0) / np.maximum(mean, 1e-9), dtype=np.float64)


def generator_voltage_share(
    starting_power: ArrayLike, *, generator_power: ArrayLike, transient_reactance: ArrayLike = 0.25
) -> Floats:
    """Return the voltage left on a generator at the moment of a direct start.

    Parameters
    ----------
    starting_power : array_like
        Apparent power of the motor at rest, at full voltage. [V A]
    generator_power : array_like
        Rated apparent power of the generator. [V A]
    transient_reactance : array_like
        On the generator's rating, 0.2 to 0.3. [-]

    Returns
    -------
    ndarray
        Voltage over that before the start. [-]

    Notes
    -----
    1/(1 + x' Sstart/Sgen).  Valid: the first tenth of a second, before the regulator acts.

    References
    ----------
    [physics]; [practice] for the reactance
    """
    ratio = np.asarray(starting_power, dtype=np.float64) / np.asarray(generator_power, dtype=np.float64)
    return 1.0 / (1.0 + np.asarray(transient_reactance, dtype=np.float64) * ratio)
