"""Sound: level against speed and distance, sums of levels, and how long an ear may stand it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownTableEntry

SLOWEST_SHARE = 1e-3
"""Speeds below this share of the rated one sound like this share. [-]"""

QUIETEST_SHARE = 1e-12
"""Floor under a sum of energies, so that silence has a level. [-]"""


def level_change(*, speed: ArrayLike, rated_speed: ArrayLike, exponent: ArrayLike) -> NDArray[np.float64]:
    """Return how much louder a pump is at another speed.

    Parameters
    ----------
    speed, rated_speed : array_like
        Pump speeds. [rev/s]
    exponent : array_like
        k, 20 to 50 for piston machines. [dB for each tenfold speed]

    Returns
    -------
    ndarray
        Change of level. [dB]

    Notes
    -----
    k log10(N/N0).  Valid: the same load and no loose panel in tune with either speed.

    References
    ----------
    [practice]
    """
    share = np.asarray(speed, dtype=np.float64) / np.asarray(rated_speed, dtype=np.float64)
    out: NDArray[np.float64] = np.asarray(exponent, dtype=np.float64) * np.log10(np.maximum(share, SLOWEST_SHARE))
    return out


def sum_of_levels(levels: ArrayLike, *, axis: int = -1) -> NDArray[np.float64]:
    """Return the level of several sources together.

    Parameters
    ----------
    levels : array_like
        Levels of independent sources along one axis. [dB]
    axis : int
        Which axis is summed. [-]

    Returns
    -------
    ndarray
        Level of all together. [dB]

    Notes
    -----
    10 log10 sum 10^(L/10).  Valid: sources that do not keep in step.

    References
    ----------
    [acoustics-text] sum of energies
    """
    energy = np.sum(10 ** (np.asarray(levels, dtype=np.float64) / 10), axis=axis)
    out: NDArray[np.float64] = 10 * np.log10(np.maximum(energy, QUIETEST_SHARE))
    return out


def level_at_distance(*, level: ArrayLike, distance_known: ArrayLike, distance: ArrayLike) -> NDArray[np.float64]:
    """Return a level at another distance, outdoors.

    Parameters
    ----------
    level : array_like
        At the known distance. [dB]
    distance_known, distance : array_like
        From the source, above zero. [m]

    Returns
    -------
    ndarray
        Level. [dB]

    Notes
    -----
    L - 20 log10(r/r0).  Valid: free field, further off than the machine is large; a room falls less.

    References
    ----------
    [acoustics-text] inverse square
    """
    share = np.asarray(distance, dtype=np.float64) / np.asarray(distance_known, dtype=np.float64)
    out: NDArray[np.float64] = np.asarray(level, dtype=np.float64) - 20 * np.log10(share)
    return out


def pressure_level(
    *,
    power_level: ArrayLike,
    distance: ArrayLike,
    directivity: ArrayLike = 2.0,
    room_constant: ArrayLike = np.inf,
) -> NDArray[np.float64]:
    """Return the sound pressure level of a source of known power.

    Parameters
    ----------
    power_level : array_like
        Sound power level. [dB]
    distance : array_like
        From the source, above zero. [m]
    directivity : array_like
        1 in free space, 2 on a floor, 4 at a wall, 8 in a corner. [-]
    room_constant : array_like
        Surface times absorption over (1 - absorption); infinite outdoors. [m2]

    Returns
    -------
    ndarray
        Sound pressure level. [dB]

    Notes
    -----
    Lw + 10 log10(Q/(4 pi r^2) + 4/R).  Valid: diffuse room, a machine small against the distance.

    References
    ----------
    [acoustics-text] room equation; sphere and hemisphere are its limits
    """
    r = np.asarray(distance, dtype=np.float64)
    direct = np.asarray(directivity, dtype=np.float64) / (4 * np.pi * r**2)
    echo = 4 / np.asarray(room_constant, dtype=np.float64)
    out: NDArray[np.float64] = np.asarray(power_level, dtype=np.float64) + 10 * np.log10(direct + echo)
    return out


def _limit(rule: str) -> tuple[float, float, float]:
    """Return criterion level in dBA, exchange rate in dB and criterion time in s."""
    table = tables.load("sound_limits")
    names = table.words("rule")
    if rule not in names:
        raise UnknownTableEntry(read=rule, where=table.title, wanted=f"one of: {', '.join(names)}")
    row = names.index(rule)
    level, rate, hours = (
        float(table.numbers(column)[row]) for column in ("criterion level", "exchange rate", "criterion time")
    )
    return level, rate, hours * 3600


def allowed_time(level: ArrayLike, *, rule: str) -> NDArray[np.float64]:
    """Return how long an ear may stand a level in a day.

    Parameters
    ----------
    level : array_like
        A-weighted, slow. [dB]
    rule : str
        "OSHA", "NIOSH" or "Canada federal". [text]

    Returns
    -------
    ndarray
        Time. [s]

    Raises
    ------
    UnknownTableEntry
        The rule is not in the table.

    Notes
    -----
    T = T_c/2^((L - L_c)/q).  Valid: steady sound; OSHA allows none above 115 dBA, which is not in the formula.

    References
    ----------
    [cfr-1910-95] Appendix A; [niosh-rel]; [njc-noise]
    """
    criterion, rate, time = _limit(rule)
    out: NDArray[np.float64] = time / 2 ** ((np.asarray(level, dtype=np.float64) - criterion) / rate)
    return out


def noise_dose(levels: ArrayLike, *, times: ArrayLike, rule: str, axis: int = -1) -> NDArray[np.float64]:
    """Return the dose of a day made of several levels, 1 being the limit.

    Parameters
    ----------
    levels : array_like
        A-weighted levels along one axis. [dB]
    times : array_like
        Time at each level. [s]
    rule : str
        "OSHA", "NIOSH" or "Canada federal". [text]
    axis : int
        Which axis is the day. [-]

    Returns
    -------
    ndarray
        Dose; the printed percentage is a hundred times this. [-]

    Raises
    ------
    UnknownTableEntry
        The rule is not in the table.

    References
    ----------
    [cfr-1910-95] Appendix A, D = 100 sum C/T
    """
    shares = np.asarray(times, dtype=np.float64) / allowed_time(levels, rule=rule)
    out: NDArray[np.float64] = np.sum(shares, axis=axis)
    return out


def average_level(dose: ArrayLike, *, rule: str) -> NDArray[np.float64]:
    """Return the steady level of eight hours that gives the same dose.

    Parameters
    ----------
    dose : array_like
        See `noise_dose`. [-]
    rule : str
        "OSHA", "NIOSH" or "Canada federal". [text]

    Returns
    -------
    ndarray
        Time-weighted average level. [dB]

    Raises
    ------
    UnknownTableEntry
        The rule is not in the table.

    Notes
    -----
    L_c + q log2(dose): with OSHA's 5 dB it is 16.61 log10(D/100) + 90.

    References
    ----------
    [cfr-1910-95] Appendix A
    """
    criterion, rate, _ = _limit(rule)
    out: NDArray[np.float64] = criterion + rate * np.log2(
        np.maximum(np.asarray(dose, dtype=np.float64), QUIETEST_SHARE)
    )
    return out
