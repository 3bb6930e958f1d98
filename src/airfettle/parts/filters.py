"""Line filters: the pressure they cost dry and wet, how much flow they carry, the liquid and oil they hold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class FilterState:
    """What one filter does to the air.

    Attributes
    ----------
    pressure_drop : ndarray
        Loss of pressure. [Pa]
    flow_share : ndarray
        Flow over the flow it may carry at this pressure and temperature. [-]
    liquid_caught, liquid_passed : ndarray
        Liquid water held and passed on. [kg/s]
    oil_passed : ndarray
        Oil, liquid and aerosol, passed on. [kg/s]
    """

    pressure_drop: Array
    flow_share: Array
    liquid_caught: Array
    liquid_passed: Array
    oil_passed: Array


def filter_drop(
    rated_drop: ArrayLike,
    *,
    flow_ratio: ArrayLike,
    temperature: ArrayLike,
    rated_temperature: ArrayLike = 293.15,
    pressure: ArrayLike,
    rated_pressure: ArrayLike = 800_000.0,
) -> Array:
    """Return the pressure that a filter loses at a flow, scaled from its rating.

    Parameters
    ----------
    rated_drop : array_like
        Drop at the rated flow, pressure and temperature, in the state (dry or wet) that is asked for. [Pa]
    flow_ratio : array_like
        Mass flow of air over the rated mass flow. [-]
    temperature, rated_temperature : array_like
        Temperature of the air, now and at the rating. [K]
    pressure, rated_pressure : array_like
        Absolute pressure, now and at the rating. [Pa]

    Returns
    -------
    ndarray
        Loss of pressure. [Pa]

    Notes
    -----
    dp = dp_r (m/m_r)^2 (T/T_r)(p_r/p).  Valid: turbulent element and ports; a fine element alone goes nearer
    to the first power of flow, so the form reads low at small flow and high above the rating.

    References
    ----------
    [practice] flow squared over density
    """
    hotter = _floats(temperature) / _floats(rated_temperature)
    denser = _floats(pressure) / _floats(rated_pressure)
    return _floats(rated_drop) * _floats(flow_ratio) ** 2 * hotter / denser


def filter_capacity(
    rated_flow: ArrayLike,
    *,
    pressure: ArrayLike,
    rated_pressure: ArrayLike = 800_000.0,
    temperature: ArrayLike = 293.15,
    rated_temperature: ArrayLike = 293.15,
) -> Array:
    """Return the flow a filter may carry: its element wants no more than its rated face velocity.

    The pressure to ask at is the lowest the line sees, where the same mass fills the most volume.

    Parameters
    ----------
    rated_flow : array_like
        Mass flow of dry air at the rating. [kg/s]
    pressure, rated_pressure : array_like
        Absolute pressure, lowest in use and at the rating. [Pa]
    temperature, rated_temperature : array_like
        Temperature of the air, now and at the rating. [K]

    Returns
    -------
    ndarray
        Mass flow of dry air it may carry. [kg/s]

    Notes
    -----
    m = m_r (p/p_r)(T_r/T): equal actual volume.  Valid: makers' tables lie between this and the root of the
    pressure ratio, so it reads low, on the safe side, below the rated pressure and high above it.

    References
    ----------
    [practice] rated flow at the lowest pressure
    """
    denser = _floats(pressure) / _floats(rated_pressure)
    cooler = _floats(rated_temperature) / _floats(temperature)
    return _floats(rated_flow) * denser * cooler


def filter_air(
    dry_air_flow: ArrayLike,
    *,
    rated_flow: ArrayLike,
    temperature: ArrayLike,
    rated_temperature: ArrayLike = 293.15,
    pressure: ArrayLike,
    rated_pressure: ArrayLike = 800_000.0,
    liquid: ArrayLike,
    oil: ArrayLike,
    dry_drop: ArrayLike,
    wet_drop: ArrayLike,
    wetness: ArrayLike,
    liquid_removal: ArrayLike,
    oil_removal: ArrayLike,
) -> FilterState:
    """Return the drop of a filter and what it holds back.

    Parameters
    ----------
    dry_air_flow, rated_flow : array_like
        Mass flow of dry air, now and at the rating. [kg/s]
    temperature, rated_temperature : array_like
        Temperature of the air, now and at the rating. [K]
    pressure, rated_pressure : array_like
        Absolute pressure, now and at the rating. [Pa]
    liquid : array_like
        Liquid water that reaches it. [kg/s]
    oil : array_like
        Oil that reaches it as liquid and aerosol. [kg/s]
    dry_drop, wet_drop : array_like
        Drop at the rated flow with a clean dry element, and with one wet through. [Pa]
    wetness : array_like
        0 for a dry element, 1 for one wet through. [-]
    liquid_removal, oil_removal : array_like
        Share of the liquid water, and of the oil, that stays in the filter. [-]

    Returns
    -------
    FilterState
        Drop, share of capacity, liquid and oil; units in the class. [text]

    Notes
    -----
    The rated drop is dry + wetness (wet - dry), scaled by filter_drop; vapour passes untouched.
    Valid: up to the rated face velocity; above it a coalescer sheds liquid and the shares read high.

    References
    ----------
    [practice] 0.5 to 2 psi clean, 1 to 3 psi for a wet coalescer
    """
    air, arriving = _floats(dry_air_flow), _floats(liquid)
    dry = _floats(dry_drop)
    caught = arriving * _floats(liquid_removal)
    capacity = filter_capacity(
        rated_flow, pressure=pressure, temperature=temperature, rated_pressure=rated_pressure,
        rated_temperature=rated_temperature,
    )  # fmt: skip
    element = dry + _floats(wetness) * (_floats(wet_drop) - dry)
    return FilterState(
        pressure_drop=filter_drop(
            element, flow_ratio=air / _floats(rated_flow), temperature=temperature,
            pressure=pressure, rated_temperature=rated_temperature, rated_pressure=rated_pressure,
        ),
        flow_share=air / capacity,
        liquid_caught=caught,
        liquid_passed=arriving - caught,
        oil_passed=_floats(oil) * (1.0 - _floats(oil_removal)),
    )  # fmt: skip


def _floats(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
