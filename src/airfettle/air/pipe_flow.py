"""Air through straight pipe at one temperature: friction, pressure lost, flow, speed."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import R_DRY_AIR

LAMINAR, TURBULENT = 2000.0, 4000.0
"""Reynolds numbers up to which flow is laminar, and from which Colebrook's equation holds. [-]"""
MELTING, STICKY, SUTHERLAND = 273.15, 1.716e-5, 110.4
"""Temperature at which viscosity is stated [K], viscosity there [Pa s], and Sutherland's constant [K]."""
STEPS = 12
"""Newton's steps in Colebrook's equation; five reach the last digits. [-]"""
SPEEDING_STEPS = 8
"""Newton's steps for what speeding up takes; six reach the last digits. [-]"""
HALVINGS = 80
"""Halvings in which a flow is found from its pressures. [-]"""


def viscosity(temperature: ArrayLike) -> NDArray[np.float64]:
    """Return the viscosity of dry air.

    Parameters
    ----------
    temperature : array_like
        [K]

    Returns
    -------
    ndarray
        [Pa s]

    Notes
    -----
    mu0 (T/T0)^1.5 (T0 + S)/(T + S).  Valid: 200 to 600 K within 2 %, 250 to 350 K within
    0.7 %; at 8 bar real air is 0.6 % and at 15 bar up to 1.5 % more viscous than this.

    References
    ----------
    [sutherland]
    """
    warm = _array(temperature)
    return np.asarray(STICKY * (warm / MELTING) ** 1.5 * (MELTING + SUTHERLAND) / (warm + SUTHERLAND))


def friction_factor(reynolds: ArrayLike, *, relative_roughness: ArrayLike) -> NDArray[np.float64]:
    """Return Darcy's friction factor.

    Parameters
    ----------
    reynolds : array_like
        Reynolds number; below 1e-9 it counts as that. [-]
    relative_roughness : array_like
        Roughness of the wall over the bore, under 0.05. [-]

    Returns
    -------
    ndarray
        [-]

    Notes
    -----
    64/Re up to 2000; 1/sqrt(f) = -2 log10(e/(3.7 D) + 2.51/(Re sqrt(f))) from 4000; straight in Re between the two.
    Valid: between 2000 and 4000 real flow goes to and fro, and this only joins the ends.

    References
    ----------
    [colebrook]
    """
    moving, rough = np.maximum(_array(reynolds), 1e-9), _array(relative_roughness)
    turbulent = _colebrook(np.maximum(moving, TURBULENT), rough)
    first = 64.0 / LAMINAR
    between = first + (_colebrook(np.full_like(moving, TURBULENT), rough) - first) * (moving - LAMINAR) / (
        TURBULENT - LAMINAR
    )
    smooth = 64.0 / np.minimum(moving, LAMINAR)
    return np.asarray(np.where(moving <= LAMINAR, smooth, np.where(moving >= TURBULENT, turbulent, between)))


def _colebrook(reynolds: NDArray[np.float64], rough: NDArray[np.float64]) -> NDArray[np.float64]:
    part, ratio, two = rough / 3.7, 2.51 / reynolds, 2.0 / np.log(10.0)
    x = -two * np.log(part + 5.5 * ratio)
    for _ in range(STEPS):
        inner = part + ratio * x
        x = x - (x + two * np.log(inner)) / (1.0 + two * ratio / inner)
    return np.asarray(1.0 / (x * x))


def square_drop(
    mass_flow: ArrayLike,
    *,
    length: ArrayLike,
    bore: ArrayLike,
    roughness: ArrayLike,
    temperature: ArrayLike,
    loss: ArrayLike = 0.0,
    viscosity_of_air: ArrayLike | None = None,
    gas_constant: ArrayLike = R_DRY_AIR,
) -> NDArray[np.float64]:
    """Return the fall of the square of the pressure along a pipe by friction and fittings.

    Parameters
    ----------
    mass_flow : array_like
        Signed. [kg/s]
    length, bore, roughness : array_like
        Of the pipe. [m]
    temperature : array_like
        Of the air, the same all along. [K]
    loss : array_like
        Fittings, in velocity heads. [-]
    viscosity_of_air : array_like or None
        None takes that of dry air at its temperature. [Pa s]
    gas_constant : array_like
        [J/(kg K)]

    Returns
    -------
    ndarray
        p1^2 - p2^2, with the sign of the flow. [Pa2]

    Notes
    -----
    16 R T m|m| (f L/D + K) / (pi^2 D^4).  Valid: without what speeding up takes, 2 ln(p1/p2) more in the
    bracket; ideal gas, which at 8 to 15 bar reads 0.3 to 0.5 % high at 20 degC and 0.6 to 1 % high at -10 degC.

    References
    ----------
    [crane]; [colebrook]
    """
    flow, wide = _array(mass_flow), _array(bore)
    sticky = viscosity(temperature) if viscosity_of_air is None else _array(viscosity_of_air)
    reynolds = 4.0 * np.abs(flow) / (np.pi * wide * sticky)
    factor = friction_factor(reynolds, relative_roughness=_array(roughness) / wide)
    bracket = factor * _array(length) / wide + _array(loss)
    return np.asarray(_square(wide, temperature, gas_constant) * flow * np.abs(flow) * bracket)


def _square(bore: NDArray[np.float64], temperature: ArrayLike, gas_constant: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(16.0 * _array(gas_constant) * _array(temperature) / (np.pi**2 * bore**4))


def outlet_pressure(
    mass_flow: ArrayLike,
    *,
    pressure: ArrayLike,
    length: ArrayLike,
    bore: ArrayLike,
    roughness: ArrayLike,
    temperature: ArrayLike,
    loss: ArrayLike = 0.0,
    viscosity_of_air: ArrayLike | None = None,
    gas_constant: ArrayLike = R_DRY_AIR,
) -> NDArray[np.float64]:
    """Return the pressure at the far end of a pipe.

    Parameters
    ----------
    mass_flow : array_like
        From the near end to the far one, not below zero. [kg/s]
    pressure : array_like
        Absolute, at the near end. [Pa]
    length, bore, roughness : array_like
        Of the pipe. [m]
    temperature : array_like
        [K]
    loss : array_like
        Fittings, in velocity heads. [-]
    viscosity_of_air : array_like or None
        None takes that of dry air at its temperature. [Pa s]
    gas_constant : array_like
        [J/(kg K)]

    Returns
    -------
    ndarray
        Absolute; 0 where the pipe cannot pass so much. [Pa]

    Notes
    -----
    p1^2 - p2^2 = 16 R T m^2 (f L/D + K + 2 ln(p1/p2)) / (pi^2 D^4), solved for y = (p2/G)^2/(R T), G the flow
    over the area: y - ln y is known, and has an answer above 1 or none.  Valid: air at one temperature; up to y = 1,
    Mach 1/sqrt(k), beyond which no isothermal flow goes on.

    References
    ----------
    [crane]; [colebrook]
    """
    flow, first = _array(mass_flow), _array(pressure)
    rubbed = square_drop(
        flow, length=length, bore=bore, roughness=roughness, temperature=temperature, loss=loss,
        viscosity_of_air=viscosity_of_air, gas_constant=gas_constant,
    )  # fmt: skip
    speeding = _square(_array(bore), temperature, gas_constant) * flow * flow
    left = first**2 - rubbed
    counts = speeding > 1e-30 * first**2
    unit = np.where(counts, speeding, first**2)
    beyond = left / unit - np.log(first**2 / unit) - 1.0  # y - ln y - 1
    some = np.maximum(beyond, 0.0)
    y = 1.0 + np.sqrt(2.0 * some) + some  # never too low
    for _ in range(SPEEDING_STEPS):
        y = y - np.where(y > 1.0, (y - 1.0 - np.log(y) - some) * y / np.where(y > 1.0, y - 1.0, 1.0), 0.0)
    behind = np.where(counts, unit * y, np.maximum(left, 0.0))
    too_much = counts & ((beyond < 0.0) | (speeding > first**2))
    return np.asarray(np.where(too_much, 0.0, np.sqrt(behind)))


def pipe_mass_flow(
    pressure: ArrayLike,
    *,
    downstream_pressure: ArrayLike,
    length: ArrayLike,
    bore: ArrayLike,
    roughness: ArrayLike,
    temperature: ArrayLike,
    loss: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Return the flow through a pipe between two pressures.

    Parameters
    ----------
    pressure, downstream_pressure : array_like
        Absolute, at its ends; nothing flows where the second is not the lower. [Pa]
    length, bore, roughness : array_like
        Of the pipe. [m]
    temperature : array_like
        [K]
    loss : array_like
        Fittings, in velocity heads. [-]

    Returns
    -------
    ndarray
        At most what the pipe passes at all. [kg/s]

    Notes
    -----
    ``outlet_pressure`` solved for the flow by halving.

    References
    ----------
    [crane]; [colebrook]
    """
    first, behind, wide = _array(pressure), _array(downstream_pressure), _array(bore)
    top = first / np.sqrt(_square(wide, temperature, R_DRY_AIR))
    low, high = np.zeros(np.broadcast(first, behind, wide, _array(length)).shape), top + np.zeros_like(behind)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        there = outlet_pressure(
            middle, pressure=first, length=length, bore=bore, roughness=roughness, temperature=temperature, loss=loss
        )
        more = there > behind
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return np.asarray(np.where(behind < first, low, 0.0))


def line_velocity(
    mass_flow: ArrayLike, *, pressure: ArrayLike, bore: ArrayLike, temperature: ArrayLike
) -> NDArray[np.float64]:
    """Return the speed of the air in a pipe.

    Parameters
    ----------
    mass_flow : array_like
        [kg/s]
    pressure : array_like
        Absolute, there. [Pa]
    bore : array_like
        [m]
    temperature : array_like
        [K]

    Returns
    -------
    ndarray
        [m/s]

    References
    ----------
    [physics]
    """
    area = 0.25 * np.pi * _array(bore) ** 2
    return np.asarray(_array(mass_flow) * R_DRY_AIR * _array(temperature) / (_array(pressure) * area))


def isothermal_mass_flow(
    pressure: ArrayLike,
    *,
    downstream_pressure: ArrayLike,
    length: ArrayLike,
    bore: ArrayLike,
    friction: ArrayLike,
    density: ArrayLike,
) -> NDArray[np.float64]:
    """Return the flow through a pipe of known friction factor.

    Parameters
    ----------
    pressure, downstream_pressure : array_like
        Absolute, at its ends. [Pa]
    length, bore : array_like
        Of the pipe. [m]
    friction : array_like
        Darcy's factor. [-]
    density : array_like
        At the near end's pressure. [kg/m3]

    Returns
    -------
    ndarray
        [kg/s]

    Notes
    -----
    m^2 = A^2 (rho1/p1) (p1^2 - p2^2) / (f L/D + 2 ln(p1/p2)).

    References
    ----------
    [crane]
    """
    first, behind, wide = _array(pressure), _array(downstream_pressure), _array(bore)
    area = 0.25 * np.pi * wide**2
    bracket = _array(friction) * _array(length) / wide + 2.0 * np.log(first / behind)
    return np.asarray(area * np.sqrt(_array(density) / first * (first**2 - behind**2) / bracket))


def harris_drop(
    free_air: ArrayLike, *, pressure: ArrayLike, length: ArrayLike, bore_power: ArrayLike
) -> NDArray[np.float64]:
    """Return the pressure lost in steel pipe by Harris's formula, in the units it is printed in; for comparison only.

    Parameters
    ----------
    free_air : array_like
        [ft3/min]
    pressure : array_like
        Mean, absolute. [psi]
    length : array_like
        [ft]
    bore_power : array_like
        Inside diameter in inches to the power of 5.31. [in^5.31]

    Returns
    -------
    ndarray
        [psi]

    Notes
    -----
    L Q^2 / (2390 p d^5.31).  Valid: reads 10 to 32 % above Crane's table and Darcy's equation.

    References
    ----------
    [harris]
    """
    flow = _array(free_air)
    return np.asarray(_array(length) * flow**2 / (2390.0 * _array(pressure) * _array(bore_power)))


def _array(values: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(values, dtype=np.float64)
