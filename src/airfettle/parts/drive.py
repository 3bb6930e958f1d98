"""Inverter drive: what it gives, what it takes, what it loses, and how it starts a load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.errors import UnknownChoice

Floats = NDArray[np.float64]

CREST: float = 2.0**0.5
"""Crest of a sine over its root mean square. [-]"""
OVERLOAD = {"heavy": (1.50, 1.50), "normal": (1.10, 1.20)}
"""Output current for 60 s over the rated one, low and high. [-]  Source: practice."""
OVERLOAD_TIME = 60.0
"""How long the overload lasts. [s]  Source: practice."""
SINGLE_PHASE_SHARE = (0.35, 0.50, 0.65)
"""Output current on a single-phase supply over the rated one where the maker is silent: low, likely, high. [-]
Source: drive-manual for the middle, practice for the ends."""
POWER_FACTORS = {
    (1, False): (0.55, 0.65, 0.75),
    (1, True): (0.70, 0.78, 0.85),
    (3, False): (0.65, 0.75, 0.85),
    (3, True): (0.85, 0.91, 0.95),
}
"""True power factor at the input by (phases, reactor fitted): low, likely, high. [-]  Source: practice."""
CARRIER = {"long": (2e3, 4e3), "short": (4e3, 8e3)}
"""Carrier frequency to set by length of the motor lead. [Hz]  Source: practice."""


@dataclass(frozen=True)
class PowerFactorSpan:
    """True power factor at a drive's input.

    Attributes
    ----------
    low, likely, high : float
        True power factor, distortion counted. [-]
    """

    low: float
    likely: float
    high: float


def output_voltage(input_voltage: ArrayLike, *, drop_share: ArrayLike = 0.03) -> Floats:
    """Return the highest voltage a drive can give.

    Parameters
    ----------
    input_voltage : array_like
        At the drive's terminals, loaded. [V]
    drop_share : array_like
        Lost in rectifier, bus ripple and switches, 0.02 to 0.06; the high end on a single-phase supply. [-]

    Returns
    -------
    ndarray
        Line voltage at the output, never above the input. [V]

    Notes
    -----
    Valid: plain rectifier input; a drive that doubles 115 V is not in it.

    References
    ----------
    [practice]
    """
    return np.asarray(input_voltage, dtype=np.float64) * np.clip(1.0 - np.asarray(drop_share, np.float64), 0.0, 1.0)


def pattern_voltage(
    frequency: ArrayLike, *, base_voltage: ArrayLike, base_frequency: ArrayLike, available: ArrayLike
) -> Floats:
    """Return the output voltage at a frequency: constant volts per hertz, then all there is.

    Parameters
    ----------
    frequency : array_like
        Of the output. [Hz]
    base_voltage, base_frequency : array_like
        From the motor's plate, as set in the drive. [V] [Hz]
    available : array_like
        From ``output_voltage``. [V]

    Returns
    -------
    ndarray
        Line voltage. [V]

    References
    ----------
    [physics]
    """
    each = np.asarray(base_voltage, dtype=np.float64) / np.asarray(base_frequency, dtype=np.float64)
    return np.minimum(each * np.asarray(frequency, dtype=np.float64), np.asarray(available, dtype=np.float64))


def output_current_limit(
    rated_current: ArrayLike,
    *,
    input_phases: ArrayLike,
    single_phase_share: ArrayLike = SINGLE_PHASE_SHARE[1],
    single_phase_current: ArrayLike | None = None,
    derating: ArrayLike = 1.0,
) -> Floats:
    """Return the current a drive may give for long.

    Parameters
    ----------
    rated_current : array_like
        Output on its full supply. [A]
    input_phases : array_like
        Phases that feed it, 1 or 3. [-]
    single_phase_share : array_like
        Share left on one phase, where the maker prints no figure. [-]
    single_phase_current : array_like, optional
        The maker's output current on one phase; it replaces the share. [A]
    derating : array_like
        Product of altitude, heat and carrier shares. [-]

    Returns
    -------
    ndarray
        Continuous output current. [A]

    Notes
    -----
    Valid: three-phase drives on one phase; a drive built for one phase gives its rated current there (say so with
    single_phase_current).

    References
    ----------
    [drive-manual]; [practice] for the ends of the span
    """
    rated = np.asarray(rated_current, dtype=np.float64)
    shared = rated * np.asarray(single_phase_share, dtype=np.float64)
    on_one = shared if single_phase_current is None else np.asarray(single_phase_current, dtype=np.float64)
    held = np.where(np.asarray(input_phases, dtype=np.float64) < 2.0, np.minimum(on_one, rated), rated)
    return held * np.asarray(derating, dtype=np.float64)


def overload_current(rated_current: ArrayLike, *, duty: str = "normal") -> Floats:
    """Return the current a drive gives for a minute, as a loaded start needs it.

    Parameters
    ----------
    rated_current : array_like
        Continuous output current for that duty. [A]
    duty : str
        heavy (also called constant torque) or normal; the low end of normal is used. [text]

    Returns
    -------
    ndarray
        Current for ``OVERLOAD_TIME``. [A]

    Raises
    ------
    UnknownChoice
        The duty is neither.

    References
    ----------
    [practice]
    """
    if duty not in OVERLOAD:
        raise UnknownChoice(read=duty, where="drive duty", wanted="heavy or normal")
    return np.asarray(rated_current, dtype=np.float64) * OVERLOAD[duty][0]


def derating(
    *, altitude: ArrayLike = 0.0, ambient: ArrayLike = 313.15, carrier: ArrayLike = 4e3, carrier_rated: ArrayLike = 4e3
) -> Floats:
    """Return the share of a drive's output current left by thin or hot air and a high carrier.

    Parameters
    ----------
    altitude : array_like
        Above sea level. [m]
    ambient : array_like
        Air at the drive, in its box. [K]
    carrier : array_like
        Set carrier frequency. [Hz]
    carrier_rated : array_like
        Carrier at which the current is rated. [Hz]

    Returns
    -------
    ndarray
        Product of the three shares. [-]

    Notes
    -----
    1 % for each 100 m over 1000 m; 2.5 % for each K over 40 degC; 4 % for each kHz over the rated carrier.
    Valid: to 3000 m, 55 degC, 12 kHz; the maker's curves are better.

    References
    ----------
    [practice]
    """
    high = np.clip(1.0 - 1e-4 * np.maximum(np.asarray(altitude, dtype=np.float64) - 1000.0, 0.0), 0.1, 1.0)
    hot = np.clip(1.0 - 0.025 * np.maximum(np.asarray(ambient, dtype=np.float64) - 313.15, 0.0), 0.1, 1.0)
    over = np.asarray(carrier, dtype=np.float64) - np.asarray(carrier_rated, dtype=np.float64)
    return high * hot * np.clip(1.0 - 4e-5 * np.maximum(over, 0.0), 0.1, 1.0)


def advised_carrier(lead_length: ArrayLike, *, long_from: float = 15.0) -> tuple[Floats, Floats]:
    """Return the carrier frequency to set for a length of motor lead.

    Parameters
    ----------
    lead_length : array_like
        Between drive and motor. [m]
    long_from : float
        Length from which a lead counts as long. [m]

    Returns
    -------
    tuple of ndarray
        Low and high end. [Hz]

    References
    ----------
    [practice]
    """
    far = np.asarray(lead_length, dtype=np.float64) >= long_from
    (long_low, long_high), (short_low, short_high) = CARRIER["long"], CARRIER["short"]
    return np.where(far, long_low, short_low), np.where(far, long_high, short_high)


def losses(output_power: ArrayLike, *, rated_power: ArrayLike, rated_efficiency: ArrayLike = 0.965) -> Floats:
    """Return the heat a drive gives off while it runs.

    Parameters
    ----------
    output_power : array_like
        Into the motor. [W]
    rated_power : array_like
        Output at rated current and voltage. [W]
    rated_efficiency : array_like
        There, 0.95 to 0.98. [-]

    Returns
    -------
    ndarray
        Heat. [W]

    Notes
    -----
    Rated loss times 0.30 + 0.40 x + 0.30 x^2, x = output over rated power.  Valid: x to 1.3; the split is an assumption
    that keeps 94 % at a quarter load.

    References
    ----------
    [practice]
    """
    rated = np.asarray(rated_power, dtype=np.float64)
    load = np.maximum(np.asarray(output_power, dtype=np.float64), 0.0) / rated
    full = rated * (1.0 / np.asarray(rated_efficiency, dtype=np.float64) - 1.0)
    return full * (0.30 + (0.40 + 0.30 * load) * load)


def efficiency(output_power: ArrayLike, *, rated_power: ArrayLike, rated_efficiency: ArrayLike = 0.965) -> Floats:
    """Return output over input power of a drive.

    Parameters
    ----------
    output_power : array_like
        Into the motor. [W]
    rated_power : array_like
        Output at rated current and voltage. [W]
    rated_efficiency : array_like
        There. [-]

    Returns
    -------
    ndarray
        Efficiency; 0 without load. [-]

    References
    ----------
    [practice]
    """
    output = np.maximum(np.asarray(output_power, dtype=np.float64), 0.0)
    return output / (output + losses(output, rated_power=rated_power, rated_efficiency=rated_efficiency))


def input_current(power: ArrayLike, *, voltage: ArrayLike, phases: ArrayLike, true_power_factor: ArrayLike) -> Floats:
    """Return the current in each live leg that feeds a drive.

    Parameters
    ----------
    power : array_like
        True power into the drive. [W]
    voltage : array_like
        Between the legs that feed it. [V]
    phases : array_like
        1 or 3. [-]
    true_power_factor : array_like
        Power over volt-amperes, distortion counted. [-]

    Returns
    -------
    ndarray
        Root-mean-square current. [A]

    Notes
    -----
    P/(V pf) on one phase, P/(sqrt(3) V pf) on three.

    References
    ----------
    [physics]
    """
    root: Floats = np.where(np.asarray(phases, dtype=np.float64) > 2.0, np.sqrt(3.0), 1.0)
    volts = root * np.asarray(voltage, dtype=np.float64)
    return np.asarray(power, dtype=np.float64) / (volts * np.asarray(true_power_factor, dtype=np.float64))


def power_factor_span(*, phases: int, reactor: bool) -> PowerFactorSpan:
    """Return the true power factor at a drive's input.

    Parameters
    ----------
    phases : int
        1 or 3. [-]
    reactor : bool
        A line or bus reactor is fitted. [-]

    Returns
    -------
    PowerFactorSpan
        Low, likely, high. [-]

    Notes
    -----
    Valid: near full load; it falls with load.

    References
    ----------
    [practice]
    """
    return PowerFactorSpan(*POWER_FACTORS[3 if phases == 3 else 1, reactor])


def bus_voltage(input_voltage: ArrayLike) -> Floats:
    """Return the direct voltage of the bus at light load.

    Parameters
    ----------
    input_voltage : array_like
        Line voltage at the input. [V]

    Returns
    -------
    ndarray
        Crest of the line voltage. [V]

    References
    ----------
    [physics]
    """
    return CREST * np.asarray(input_voltage, dtype=np.float64)


def bus_ripple_frequency(frequency: ArrayLike, *, phases: ArrayLike) -> Floats:
    """Return the frequency at which the rectifier fills the bus.

    Parameters
    ----------
    frequency : array_like
        Of the line. [Hz]
    phases : array_like
        1 or 3. [-]

    Returns
    -------
    ndarray
        Twice the line's on one phase, six times on three. [Hz]

    References
    ----------
    [physics]; [drive-manual]
    """
    pulses = np.where(np.asarray(phases, dtype=np.float64) > 2.0, 6.0, 2.0)
    return pulses * np.asarray(frequency, dtype=np.float64)
