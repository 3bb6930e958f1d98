"""Saturation of pure water: pressure over ice and over water, and back to temperature."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Phase = Literal["ice", "water"]
"""What the vapour is in balance with."""

TRIPLE_TEMPERATURE = 273.16
"""Triple point of water. [K]"""

TRIPLE_PRESSURE = 611.6570
"""Saturation pressure at the triple point, by both equations below. [Pa]"""

_BLOCK = 8192

# ln p [Pa] = first / T + polynomial in T + last ln T: [ashrae-f-2017] eq. 5 (ice) and 6 (water).
_ASHRAE: dict[Phase, tuple[float, tuple[float, ...], float]] = {
    "ice": (-5.6745359e3, (6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13), 4.1635019),
    "water": (-5.8002206e3, (1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8), 6.5459673),
}

# Magnus form over ice, for a first guess: [wmo-guide-8].
_MAGNUS_ICE = (611.2, 22.46, 272.62)

# [iapws-r7-97] table 34.
_IF97 = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)


def saturation_pressure(temperature: ArrayLike) -> NDArray[np.float64]:
    """Return the saturation pressure of pure water: over ice below the triple point, over water above it.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]

    Returns
    -------
    ndarray
        Absolute pressure. [Pa]

    Notes
    -----
    Valid: 173 to 473 K.  Within 0.03 % of IAPWS-95 over water to 150 degC and 0.04 % over ice to -60 degC;
    reads low above 200 degC.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 5 and 6
    """
    T = np.asarray(temperature, dtype=np.float64)
    return by_phase(T < TRIPLE_TEMPERATURE, over=_pressure_over, values=(T,))


def ice_saturation_pressure(temperature: ArrayLike) -> NDArray[np.float64]:
    """Return the saturation pressure over ice, also above the triple point, where ice would melt.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]

    Returns
    -------
    ndarray
        Absolute pressure. [Pa]

    Notes
    -----
    Valid: 173 to 273.16 K.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 5
    """
    return _pressure_over(np.asarray(temperature, dtype=np.float64), phase="ice")


def water_saturation_pressure(temperature: ArrayLike) -> NDArray[np.float64]:
    """Return the saturation pressure over liquid water, also below the triple point (supercooled).

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]

    Returns
    -------
    ndarray
        Absolute pressure. [Pa]

    Notes
    -----
    Valid: 273.16 to 473 K; continued to 233 K for supercooled water, within 0.1 % of Sonntag's form.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 6; compared with [sonntag]
    """
    return _pressure_over(np.asarray(temperature, dtype=np.float64), phase="water")


def saturation_temperature(pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the temperature at which pure water has the saturation pressure given.

    Parameters
    ----------
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    The inverse of `saturation_pressure`, to a microkelvin.  Valid: 0.002 Pa to 1.5 MPa.

    References
    ----------
    [ashrae-f-2017] ch. 1 eq. 5 and 6
    """
    p = np.asarray(pressure, dtype=np.float64)
    return by_phase(p < TRIPLE_PRESSURE, over=_temperature_over, values=(p,))


def log_pressure_slope(temperature: ArrayLike, *, phase: Phase) -> NDArray[np.float64]:
    """Return the slope of the logarithm of the saturation pressure against temperature.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    phase : str
        What the vapour is in balance with, "ice" or "water". [text]

    Returns
    -------
    ndarray
        d ln p / dT. [1/K]

    References
    ----------
    [ashrae-f-2017] ch. 1, derivative of eq. 5 and 6
    """
    T = np.asarray(temperature, dtype=np.float64)
    first, polynomial, last = _ASHRAE[phase]
    order = len(polynomial) - 1
    slope: NDArray[np.float64] = np.float64(order * polynomial[-1]) * T
    for power in range(order - 1, 1, -1):
        slope = (slope + power * polynomial[power]) * T
    return (last - first / T) / T + (slope + polynomial[1])


def first_guess(vapour_pressure: ArrayLike, *, phase: Phase) -> NDArray[np.float64]:
    """Return a closed-form estimate of the saturation temperature, from which Newton's method starts.

    Parameters
    ----------
    vapour_pressure : array_like
        Absolute pressure of the vapour. [Pa]
    phase : str
        What the vapour is in balance with, "ice" or "water". [text]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    Within 0.3 K over ice from -80 degC, within 0.05 K over water.

    References
    ----------
    [wmo-guide-8] annex 4.B, over ice; [iapws-r7-97] eq. 31, over water
    """
    if phase == "water":
        return if97_saturation_temperature(vapour_pressure)
    base, factor, offset = _MAGNUS_ICE
    logarithm = np.log(np.asarray(vapour_pressure, dtype=np.float64) / base)
    return 273.15 + offset * logarithm / (factor - logarithm)


def if97_saturation_pressure(temperature: ArrayLike) -> NDArray[np.float64]:
    """Return the saturation pressure over water by the industrial formulation, good to the critical point.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]

    Returns
    -------
    ndarray
        Absolute pressure. [Pa]

    Notes
    -----
    Valid: 273.15 to 647.096 K.

    References
    ----------
    [iapws-r7-97] eq. 30
    """
    n = _IF97
    T = np.asarray(temperature, dtype=np.float64)
    v = T + n[8] / (T - n[9])
    a = (v + n[0]) * v + n[1]
    b = (n[2] * v + n[3]) * v + n[4]
    c = (n[5] * v + n[6]) * v + n[7]
    root = 2.0 * c / (np.sqrt(b * b - 4.0 * a * c) - b)
    square = root * root
    return square * square * 1e6


def if97_saturation_temperature(pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the saturation temperature over water by the industrial formulation, in closed form.

    Parameters
    ----------
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    Valid: 611.213 Pa to 22.064 MPa.

    References
    ----------
    [iapws-r7-97] eq. 31
    """
    n = _IF97
    root = np.sqrt(np.sqrt(np.asarray(pressure, dtype=np.float64) * 1e-6))
    e = (root + n[2]) * root + n[5]
    f = (n[0] * root + n[3]) * root + n[6]
    g = (n[1] * root + n[4]) * root + n[7]
    d = -2.0 * g / (f + np.sqrt(f * f - 4.0 * e * g))
    total = n[9] + d
    return 0.5 * (total - np.sqrt(total * total - 4.0 * (n[8] + n[9] * d)))


def by_phase(
    frozen: NDArray[np.bool_], *, over: Callable[..., NDArray[np.float64]], values: tuple[NDArray[np.float64], ...]
) -> NDArray[np.float64]:
    """Return a function's value over ice where frozen and over water elsewhere, computing only what each point needs.

    Parameters
    ----------
    frozen : ndarray
        True where the vapour is in balance with ice; has the shape of the result. [-]
    over : callable
        Function of the values, and of the keyword `phase`. [-]
    values : tuple of ndarray
        Numbers, or arrays that broadcast to the result. [-]

    Returns
    -------
    ndarray
        What `over` gives. [-]

    Notes
    -----
    Long arrays go through in blocks that fit the processor's cache, which is about twice as fast.

    References
    ----------
    [physics]
    """
    if not np.any(frozen):
        return _in_blocks(over, values, np.shape(frozen), "water")
    if np.all(frozen):
        return _in_blocks(over, values, np.shape(frozen), "ice")
    flat = [v if v.ndim == 0 else np.broadcast_to(v, frozen.shape).reshape(-1) for v in values]
    out, mask = np.empty(frozen.size), frozen.reshape(-1)
    phases: tuple[tuple[Phase, NDArray[np.bool_]], ...] = (("ice", mask), ("water", ~mask))
    for phase, where in phases:
        index = np.flatnonzero(where)
        parts = tuple(v if v.ndim == 0 else np.take(v, index) for v in flat)
        out[index] = _in_blocks(over, parts, index.shape, phase)
    return out.reshape(frozen.shape)


def _in_blocks(
    over: Callable[..., NDArray[np.float64]],
    values: tuple[NDArray[np.float64], ...],
    shape: tuple[int, ...],
    phase: Phase,
) -> NDArray[np.float64]:
    size = math.prod(shape)
    if size <= _BLOCK:
        return over(*values, phase=phase)
    flat = [v if v.ndim == 0 else np.broadcast_to(v, shape).reshape(-1) for v in values]
    out = np.empty(size)
    for start in range(0, size, _BLOCK):
        part = slice(start, start + _BLOCK)
        out[part] = over(*(v if v.ndim == 0 else v[part] for v in flat), phase=phase)
    return out.reshape(shape)


def _pressure_over(T: NDArray[np.float64], *, phase: Phase) -> NDArray[np.float64]:
    value = _log_pressure(T, phase)
    return np.exp(value, out=value) if value.ndim else np.exp(value)


def _log_pressure(T: NDArray[np.float64], phase: Phase) -> NDArray[np.float64]:
    first, polynomial, last = _ASHRAE[phase]
    value: NDArray[np.float64] = polynomial[-1] * T
    for coefficient in polynomial[-2:0:-1]:
        value += coefficient
        value *= T
    value += first / T
    value += last * np.log(T)
    value += polynomial[0]
    return value


def _temperature_over(p: NDArray[np.float64], *, phase: Phase) -> NDArray[np.float64]:
    """Newton's method on ln p against 1/T, where the curve is almost straight."""
    log_p, T = np.log(p), first_guess(p, phase=phase)
    for _ in range(2):
        miss = log_p - _log_pressure(T, phase)
        T = T / (1.0 - miss / (T * log_pressure_slope(T, phase=phase)))
    return T
