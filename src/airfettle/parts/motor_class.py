"""What a motor's plate leaves out: tables and spans by power and number of poles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownChoice

Floats = NDArray[np.float64]

HORSEPOWER = 745.7
"""One horsepower. [W]"""
POUND_FOOT_SQUARED = 0.0421401101
"""One lb ft2. [kg m2]"""

EFFICIENCY_TABLES = {
    "premium": ("nema_efficiency_premium", HORSEPOWER),
    "1997": ("nema_efficiency_1997", HORSEPOWER),
    "IE1": ("iec_efficiency_50_hz", 1000.0),
    "IE2": ("iec_efficiency_50_hz", 1000.0),
    "IE3": ("iec_efficiency_50_hz", 1000.0),
}
VOLTAGE_COLUMNS = {3: (200.0, 208.0, 230.0, 460.0, 575.0), 1: (115.0, 200.0, 208.0, 230.0)}


@dataclass(frozen=True)
class Typical:
    """A span for what is not known.

    Attributes
    ----------
    low, likely, high : ndarray
        In the unit of the function that gives it. [-]
    """

    low: Floats
    likely: Floats
    high: Floats


@dataclass(frozen=True)
class StartsAllowed:
    """How often a motor may be started straight on the line.

    Attributes
    ----------
    rate : ndarray
        Starts in a unit of time, from a light load. [1/s]
    inertia_rate : ndarray
        Starts times load inertia in a unit of time. [kg m2/s]
    rest : ndarray
        Least time between starts. [s]
    """

    rate: Floats
    inertia_rate: Floats
    rest: Floats


def full_load_efficiency(
    power: ArrayLike, *, poles: ArrayLike = 4, standard: str = "premium", enclosure: str = "enclosed"
) -> Floats:
    """Return the nominal full-load efficiency of a three-phase motor.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]
    poles : array_like
        2, 4 or 6; more count as 6. [-]
    standard : str
        premium or 1997 (60 Hz); IE1, IE2 or IE3 (50 Hz). [text]
    enclosure : str
        enclosed or open; the IEC classes know no difference. [text]

    Returns
    -------
    ndarray
        Efficiency. [-]

    Raises
    ------
    UnknownChoice
        The standard or the enclosure is not one of those named.

    Notes
    -----
    Straight between ratings over the logarithm of power, held at the ends.  Valid: 0.75 to 37 kW (IEC to 22 kW);
    nominal: one motor may lose a fifth more.  Motors older than 1997 are 2 to 5 points worse.

    References
    ----------
    [cfr-431-25]; [nema-mg1] tables 12-11 and 12-12; [iec-60034-30-1]
    """
    if standard not in EFFICIENCY_TABLES:
        raise UnknownChoice(read=standard, where="efficiency", wanted=f"one of: {', '.join(EFFICIENCY_TABLES)}")
    if enclosure not in ("enclosed", "open"):
        raise UnknownChoice(read=enclosure, where="motor enclosure", wanted="enclosed or open")
    name, unit = EFFICIENCY_TABLES[standard]
    start = standard if standard.startswith("IE") else enclosure
    return _by_poles(name, start + " {} pole", power, poles, unit) / 100.0


def locked_rotor_torque_ratio(power: ArrayLike, *, poles: ArrayLike = 4) -> Floats:
    """Return the torque of a motor at rest on full voltage, over its rated torque.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]
    poles : array_like
        2, 4 or 6; more count as 6. [-]

    Returns
    -------
    ndarray
        Ratio, the smallest that design A or B may have. [-]

    Notes
    -----
    Valid: 1 to 50 hp, 60 Hz; real motors give more.

    References
    ----------
    [nema-mg1] 12.38
    """
    return _by_poles("nema_torques", "locked {} pole", power, poles, HORSEPOWER) / 100.0


def breakdown_torque_ratio(power: ArrayLike, *, poles: ArrayLike = 4) -> Floats:
    """Return the largest torque of a motor over its rated torque.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]
    poles : array_like
        2, 4 or 6; more count as 6. [-]

    Returns
    -------
    ndarray
        Ratio, the smallest that design A or B may have. [-]

    Notes
    -----
    Valid: 1 to 50 hp, 60 Hz; real motors give more.

    References
    ----------
    [nema-mg1] 12.39
    """
    return _by_poles("nema_torques", "breakdown {} pole", power, poles, HORSEPOWER) / 100.0


def locked_rotor_current(power: ArrayLike, *, voltage: ArrayLike) -> Floats:
    """Return the current of a three-phase motor at rest on full voltage.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]
    voltage : array_like
        Line voltage on the plate. [V]

    Returns
    -------
    ndarray
        Line current, the largest that design B may have. [A]

    Notes
    -----
    The 230 V figure times 230/V.  Valid: 0.5 to 50 hp, 60 Hz.

    References
    ----------
    [nema-mg1] 12.35
    """
    at_230 = _between("nema_locked_rotor_current", "230 V", power, HORSEPOWER)
    return at_230 * 230.0 / np.asarray(voltage, dtype=np.float64)


def locked_rotor_current_by_letter(letter: str, *, power: ArrayLike, voltage: ArrayLike, phases: int = 3) -> Typical:
    """Return the locked-rotor current that a plate's code letter stands for.

    Parameters
    ----------
    letter : str
        Code letter, B to N. [text]
    power : array_like
        Rated shaft power. [W]
    voltage : array_like
        Line voltage on the plate. [V]
    phases : int
        1 or 3. [-]

    Returns
    -------
    Typical
        Low, middle and high line current. [A]

    Raises
    ------
    UnknownChoice
        The letter is not in the table.

    References
    ----------
    [nec] table 430.7(B)
    """
    table = tables.load("nec_430_7_b")
    letters = table.words("letter")
    if letter not in letters:
        raise UnknownChoice(read=letter, where="code letter", wanted=f"one of: {', '.join(letters)}")
    row = letters.index(letter)
    root = np.sqrt(3.0) if phases == 3 else 1.0
    each = 1000.0 * np.asarray(power, dtype=np.float64) / HORSEPOWER / (root * np.asarray(voltage, dtype=np.float64))
    low, high = table.numbers("low")[row] * each, table.numbers("high")[row] * each
    return Typical(low=low, likely=0.5 * (low + high), high=high)


def table_current(power: ArrayLike, *, voltage: ArrayLike, phases: int = 3) -> Floats:
    """Return the full-load current that conductors and their protection are chosen by, not the plate's.

    Parameters
    ----------
    power : array_like
        Rated shaft power; between ratings the next larger one counts. [W]
    voltage : array_like
        Motor or system voltage; 220 to 240 V reads the 230 V column, and so on. [V]
    phases : int
        1 or 3. [-]

    Returns
    -------
    ndarray
        Line current; above the table in proportion to power. [A]

    Notes
    -----
    Valid: system voltages of the USA; 200 and 208 V have their own columns.  380 to 415 V motors are not in it.

    References
    ----------
    [nec] tables 430.250 and 430.248, 430.6(A)
    """
    table = tables.load("nec_430_250" if phases == 3 else "nec_430_248")
    columns = np.array(VOLTAGE_COLUMNS[3 if phases == 3 else 1])
    volts = np.asarray(voltage, dtype=np.float64)
    nearest = np.argmin(np.abs(np.log(columns / np.maximum(volts, 1.0)[..., None])), axis=-1)
    horsepower = np.asarray(power, dtype=np.float64) / HORSEPOWER
    listed = table.numbers("power")
    row = np.minimum(np.searchsorted(listed * (1.0 + 1e-9), horsepower), listed.size - 1)
    amps = np.stack([table.numbers(f"{column:.0f} V") for column in columns])
    return np.asarray(amps[nearest, row] * np.maximum(horsepower / listed[-1], 1.0), dtype=np.float64)


def allowable_starts(power: ArrayLike, *, poles: ArrayLike = 4) -> StartsAllowed:
    """Return how often a motor may be started straight on the line.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]
    poles : array_like
        2, 4 or 6; more count as 6. [-]

    Returns
    -------
    StartsAllowed
        Rate [1/s], rate times load inertia [kg m2/s], rest [s].

    Notes
    -----
    Valid: design A and B, a load torque that rises at most as the square of speed: a pump started unloaded.  On a drive
    it does not apply.

    References
    ----------
    [nema-mg10] table 2-3
    """
    return StartsAllowed(
        rate=_by_poles("nema_starts", "A {} pole", power, poles, HORSEPOWER) / 3600.0,
        inertia_rate=_by_poles("nema_starts", "B {} pole", power, poles, HORSEPOWER) * POUND_FOOT_SQUARED / 3600.0,
        rest=_by_poles("nema_starts", "C {} pole", power, poles, HORSEPOWER),
    )


def start_rate_limit(allowed: StartsAllowed, *, load_inertia: ArrayLike) -> Floats:
    """Return the starts a motor may make with its load.

    Parameters
    ----------
    allowed : StartsAllowed
        From ``allowable_starts``. [-]
    load_inertia : array_like
        Of the load, on the motor's shaft. [kg m2]

    Returns
    -------
    ndarray
        The lesser of A and B over inertia. [1/s]

    References
    ----------
    [nema-mg10] table 2-3
    """
    load = np.maximum(np.asarray(load_inertia, dtype=np.float64), 1e-9)
    return np.minimum(allowed.rate, allowed.inertia_rate / load)


def typical_slip(power: ArrayLike) -> Typical:
    """Return the full-load slip of a motor whose plate speed is not known.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]

    Returns
    -------
    Typical
        Slip. [-]

    Notes
    -----
    From typical full-load speeds of 4-pole 60 Hz motors.  Valid: 1 to 25 hp; smaller ones slip more.

    References
    ----------
    [practice]
    """
    table = tables.load("nema_typical_speed")
    listed = table.numbers("power up to") * (1.0 + 1e-9)
    row = np.minimum(np.searchsorted(listed, np.asarray(power, dtype=np.float64) / HORSEPOWER), listed.size - 1)
    low, high = 1.0 - table.numbers("high")[row] / 1800.0, 1.0 - table.numbers("low")[row] / 1800.0
    return Typical(low=low, likely=0.5 * (low + high), high=high)


def typical_power_factor(power: ArrayLike) -> Typical:
    """Return the full-load power factor of a three-phase motor whose plate does not give it.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]

    Returns
    -------
    Typical
        Power factor. [-]

    Notes
    -----
    Likely 0.79 at 1 kW, 0.035 more for each doubling, within 0.76 and 0.86; 0.04 to either side.
    Valid: 4 pole, 0.75 to 20 kW; 2-pole motors are better, 6-pole ones worse.

    References
    ----------
    [motor-memory]
    """
    kilowatts = np.maximum(np.asarray(power, dtype=np.float64), 1.0) / 1000.0
    likely = np.clip(0.79 + 0.035 * np.log2(kilowatts), 0.76, 0.86)
    return Typical(low=likely - 0.04, likely=likely, high=np.minimum(likely + 0.04, 0.90))


def rotor_inertia(power: ArrayLike, *, poles: ArrayLike = 4) -> Floats:
    """Return the inertia of a motor's rotor.

    Parameters
    ----------
    power : array_like
        Rated shaft power. [W]
    poles : array_like
        Number of poles. [-]

    Returns
    -------
    ndarray
        Inertia. [kg m2]

    Notes
    -----
    J = 0.0026 (P/kW)^1.4 (poles/4).  Valid: 0.75 to 20 kW within a factor of 1.6.

    References
    ----------
    [motor-memory]
    """
    size = np.maximum(np.asarray(power, dtype=np.float64), 0.0) / 1000.0
    return 0.0026 * size**1.4 * (np.asarray(poles, dtype=np.float64) / 4.0)


def _between(name: str, column: str, power: ArrayLike, unit: float) -> Floats:
    """Read a column at a power: straight over log power, held at the ends, missing cells skipped."""
    table = tables.load(name)
    listed, values = table.numbers("power"), table.numbers(column)
    there = np.isfinite(values)
    wanted = np.log(np.maximum(np.asarray(power, dtype=np.float64) / unit, 1e-9))
    return np.asarray(np.interp(wanted, np.log(listed[there]), values[there]), dtype=np.float64)


def _by_poles(name: str, column: str, power: ArrayLike, poles: ArrayLike, unit: float) -> Floats:
    two, four, six = (_between(name, column.format(number), power, unit) for number in (2, 4, 6))
    count = np.asarray(poles, dtype=np.float64)
    return np.where(count < 3.0, two, np.where(count < 5.0, four, six))
