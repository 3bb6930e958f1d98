"""Earth leakage of a drive, its filter and its motor lead, and what a ground-fault device stands of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownChoice

Floats = NDArray[np.float64]

LEAD_CAPACITANCE = {"yes": (0.3e-9, 0.5e-9, 0.9e-9), "no": (0.05e-9, 0.15e-9, 0.4e-9)}
"""All wires of a motor lead to its shield or earth wire, for each metre, shielded or not: low, likely, high. [F/m]
Source: practice; shielded cable of 0.1 to 0.3 nF for each wire and metre."""
WINDING_CAPACITANCE = (1e-9, 3e-9, 8e-9)
"""Winding of a motor of 1 to 20 kW to its frame: low, likely, high. [F]  Source: practice."""
COMMON_SHARE = (0.15, 0.30, 0.45)
"""Voltage of all three outputs together at the carrier, root mean square, over the bus: low, likely, high; 0.45 is the
square wave of an output at rest. [-]  Source: physics for the high end, practice for the others."""
MISMATCH = (0.05, 0.10, 0.30)
"""Volts that unlike legs, unlike capacitors and the bus's third harmonic leave over on a balanced supply, over a leg's:
low, likely, high. [-]  Source: practice."""
RETURN_SHARE = {"yes": (0.05, 0.15, 0.40), "no": (0.30, 0.60, 1.00)}
"""Share of the carrier current that returns through the supply, with a filter to earth and without: low, likely, high.
[-]  Source: practice."""
REINFORCED_FROM = 3.5e-3
"""Leakage from which the earth wire is 10 mm2 of copper or doubled. [A]  Source: iec-61800-5-1."""


@dataclass(frozen=True)
class GroundFaultDevice:
    """What a ground-fault device stands.

    Attributes
    ----------
    holds_to, trips_at : float
        Leakage below which it may not trip, and from which it must. [A]
    budget : float
        Most that should leak in service. [A]
    """

    holds_to: float
    trips_at: float
    budget: float


DEVICES = {
    "4-6 mA": GroundFaultDevice(4e-3, 6e-3, 4e-3),
    "30 mA type A or AC": GroundFaultDevice(15e-3, 30e-3, 9e-3),
    "30 mA type B": GroundFaultDevice(15e-3, 30e-3, 9e-3),
    "100 mA or more": GroundFaultDevice(50e-3, 100e-3, 30e-3),
}
"""The plant file's words for a device -> what it stands. [A]  Source: ul-943 for the first; iec-61008 for half its
rating and iec-60364-5-53 531.3.2 for 30 % of it."""


def ground_fault_device(kind: str) -> GroundFaultDevice:
    """Return what a ground-fault device stands.

    Parameters
    ----------
    kind : str
        A key of ``DEVICES``. [text]

    Returns
    -------
    GroundFaultDevice
        Holds to, trips at, budget. [A]

    Raises
    ------
    UnknownChoice
        The device is none of them.

    Notes
    -----
    Valid: leakage at mains frequency.  What a device sees of kilohertz is its maker's: type B sees less of them.

    References
    ----------
    [ul-943]; [iec-61008]; [iec-60364-5-53]
    """
    if kind not in DEVICES:
        raise UnknownChoice(read=kind, where="ground-fault device", wanted=f"one of: {', '.join(DEVICES)}")
    return DEVICES[kind]


def filter_capacitance(power: ArrayLike, *, connected: bool) -> tuple[Floats, Floats, Floats]:
    """Return the capacitors from each leg to earth in a drive.

    Parameters
    ----------
    power : array_like
        Rated motor power of the drive. [W]
    connected : bool
        Its filter to earth is connected. [-]

    Returns
    -------
    tuple of ndarray
        Low, likely and high, for each leg. [F]

    Notes
    -----
    Valid: drives to 22 kW with a built-in filter; a separate one says its leakage on its label.

    References
    ----------
    [practice]
    """
    table = tables.load("drive_filter_capacitance")
    listed = table.numbers("power up to") * 1e3
    row = np.minimum(np.searchsorted(listed * (1.0 + 1e-9), np.asarray(power, dtype=np.float64)), listed.size - 1)
    word = "filter" if connected else "no filter"
    low, likely, high = (np.asarray(table.numbers(f"{word} {end}")[row] * 1e-9) for end in ("low", "likely", "high"))
    return low, likely, high


def capacitive_current(capacitance: ArrayLike, *, voltage: ArrayLike, frequency: ArrayLike) -> Floats:
    """Return the current through a capacitance.

    Parameters
    ----------
    capacitance : array_like
        To earth. [F]
    voltage : array_like
        Across it, root mean square. [V]
    frequency : array_like
        Of that voltage. [Hz]

    Returns
    -------
    ndarray
        Current, root mean square. [A]

    Notes
    -----
    2 pi f C U.

    References
    ----------
    [physics]
    """
    volts, hertz = np.asarray(voltage, dtype=np.float64), np.asarray(frequency, dtype=np.float64)
    return 2.0 * np.pi * hertz * np.asarray(capacitance, dtype=np.float64) * volts


def filter_leakage(
    capacitance: ArrayLike,
    *,
    frequency: ArrayLike,
    sum_to_earth: ArrayLike,
    voltage_to_earth: ArrayLike,
    mismatch: ArrayLike = MISMATCH[1],
) -> Floats:
    """Return what a drive's filter leaks to earth at mains frequency.

    Parameters
    ----------
    capacitance : array_like
        From each leg to earth. [F]
    frequency : array_like
        Of the mains. [Hz]
    sum_to_earth : array_like
        Live legs' voltages to earth added as phasors. [V]
    voltage_to_earth : array_like
        Of one leg. [V]
    mismatch : array_like
        Volts left over though the legs balance, over that of a leg. [-]

    Returns
    -------
    ndarray
        Leakage in service. [A]

    Notes
    -----
    2 pi f C sqrt(sum^2 + (m U)^2).  Valid: all legs live; with a fuse blown or at switching on it is higher.

    References
    ----------
    [physics]; [practice] for the mismatch
    """
    left = np.hypot(sum_to_earth, np.asarray(mismatch, np.float64) * np.asarray(voltage_to_earth, np.float64))
    return capacitive_current(capacitance, voltage=left, frequency=frequency)


def carrier_leakage(
    bus_voltage: ArrayLike,
    *,
    lead_length: ArrayLike,
    carrier: ArrayLike,
    lead_capacitance: ArrayLike,
    winding_capacitance: ArrayLike = WINDING_CAPACITANCE[1],
    common_share: ArrayLike = COMMON_SHARE[1],
    return_share: ArrayLike = RETURN_SHARE["yes"][1],
) -> Floats:
    """Return what motor lead and winding send to earth at the drive's carrier, as far as the supply sees it.

    Parameters
    ----------
    bus_voltage : array_like
        Direct voltage of the drive's bus. [V]
    lead_length : array_like
        Between drive and motor. [m]
    carrier : array_like
        Carrier frequency. [Hz]
    lead_capacitance : array_like
        All wires to shield or earth wire, for each metre. [F/m]
    winding_capacitance : array_like
        Winding to frame. [F]
    common_share : array_like
        Voltage of all three outputs together, root mean square, over the bus. [-]
    return_share : array_like
        Share that returns through the supply; the rest goes back through the filter. [-]

    Returns
    -------
    ndarray
        Leakage. [A]

    Notes
    -----
    2 pi f (C' l + Cw) k U s, the carrier's first harmonic alone.  Valid: leads to 50 m; an order of size, no more.

    References
    ----------
    [physics]; [practice] for the capacitances and shares
    """
    lead = np.asarray(lead_capacitance, dtype=np.float64) * np.asarray(lead_length, dtype=np.float64)
    volts = np.asarray(common_share, dtype=np.float64) * np.asarray(bus_voltage, dtype=np.float64)
    both = lead + np.asarray(winding_capacitance, dtype=np.float64)
    through = capacitive_current(both, voltage=volts, frequency=carrier)
    return np.asarray(return_share, dtype=np.float64) * through


def residual_type(*, on_drive: bool, phases: int, to_neutral: bool = False) -> str:
    """Return the type of residual-current device that still sees a fault.

    Parameters
    ----------
    on_drive : bool
        A drive stands behind it. [-]
    phases : int
        That feed the drive, 1 or 3. [-]
    to_neutral : bool
        One of two live wires is a neutral, which is near earth. [-]

    Returns
    -------
    str
        A, F or B. [text]

    Notes
    -----
    A rectifier between live wires that all stand away from earth, of three phases or of two legs, can feed smooth
    direct current into a fault, which blinds all but type B; one between a live wire and neutral mixes frequencies,
    which type F sees.  The drive's manual may ask for more.

    References
    ----------
    [iec-60364-5-53] 531.3.3
    """
    if not on_drive:
        return "A"
    return "F" if phases == 1 and to_neutral else "B"
