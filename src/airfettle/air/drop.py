"""Pressure drop of a part that is known by one rated point: check valve, cooler, separator, filter."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray


def pressure_drop(
    *,
    mass_flow: ArrayLike,
    temperature: ArrayLike,
    pressure: ArrayLike,
    rated_drop: ArrayLike,
    rated_flow_dry_kg_s: ArrayLike,
    rated_temperature: ArrayLike,
    rated_pressure: ArrayLike,
) -> NDArray[np.float64]:
    """Return the pressure drop of a part at another flow and density than the ones it was rated at.

    Parameters
    ----------
    mass_flow : array_like
        Mass flow of dry air. [kg/s]
    temperature : array_like
        Temperature at the part's inlet. [K]
    pressure : array_like
        Absolute pressure at the part's inlet. [Pa]
    rated_drop : array_like
        Drop at the rated point. [Pa]
    rated_flow_dry_kg_s : array_like
        Mass flow of dry air at the rated point, above zero. [kg/s]
    rated_temperature : array_like
        Temperature at the rated point. [K]
    rated_pressure : array_like
        Absolute pressure at the rated point. [Pa]

    Returns
    -------
    ndarray
        Drop. [Pa]

    Notes
    -----
    dp = dp_r (m/m_r)^2 (T/p)/(T_r/p_r).  Valid: turbulent flow and a drop under a tenth of the absolute pressure;
    reads low at small flow, where laminar loss falls only with the first power, and low for larger drops.

    References
    ----------
    [physics] loss coefficient constant, dp proportional to m^2 over density
    """
    share = np.asarray(mass_flow, dtype=np.float64) / np.asarray(rated_flow_dry_kg_s, dtype=np.float64)
    hotter = np.asarray(temperature, dtype=np.float64) / np.asarray(rated_temperature, dtype=np.float64)
    denser = np.asarray(pressure, dtype=np.float64) / np.asarray(rated_pressure, dtype=np.float64)
    return np.asarray(rated_drop, dtype=np.float64) * share**2 * hotter / denser
