"""Membrane dryers: vapour goes through the wall of hollow fibres and off with a sweep of dried air."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.air import moist
from airfettle.air.constants import STANDARD_PRESSURE

Array = NDArray[np.float64]

LEAST_FLOW = 1e-15
"""Air flow that stands in for none under a fraction. [kg/s]"""
MOST_UNITS = 50.0
"""Largest exponent of the drying law. [-]"""


@dataclass(frozen=True)
class MembraneState:
    """What a membrane dryer does to the air.

    Attributes
    ----------
    load_share : ndarray
        Actual volume that flows over that of the rating; over 1 it is overloaded. [-]
    dew_point : ndarray
        Pressure dew point (frost point) of the air that leaves. [K]
    outlet_humidity_ratio : ndarray
        Vapour over dry air that leaves, in the line and in the purge. [-]
    outlet_liquid : ndarray
        Liquid that went through. [kg/s]
    water_taken : ndarray
        Water that passes the membrane and leaves with the purge, besides what the purge itself held. [kg/s]
    """

    load_share: Array
    dew_point: Array
    outlet_humidity_ratio: Array
    outlet_liquid: Array
    water_taken: Array


def membrane_purge_share(dew_point_depression: ArrayLike, *, place: ArrayLike = 0.5) -> Array:
    """Return the purge of a membrane dryer by how far it lowers the dew point.

    Parameters
    ----------
    dew_point_depression : array_like
        Dew point in less dew point out, at its rating. [K]
    place : array_like
        Where in the span of such dryers: 0 the least, 1 the most. [-]

    Returns
    -------
    ndarray
        Purge over the rated flow. [-]

    Notes
    -----
    Straight between the rows of the table, held beyond its ends.  Valid: 20 to 75 K, 7 bar gauge; the plate goes
    before it.

    References
    ----------
    [practice] from memory
    """
    table, drier = tables.load("membrane_purge"), _floats(dew_point_depression)
    least, most = (np.interp(drier, table.numbers("depression"), table.numbers(end)) for end in ("least", "most"))
    return np.asarray(least + (most - least) * _floats(place))


def pass_membrane(
    dry_air_flow: ArrayLike,
    *,
    inlet_temperature: ArrayLike,
    inlet_humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    dew_point_depression: ArrayLike,
    rated_flow: ArrayLike,
    rated_inlet_temperature: ArrayLike,
    rated_pressure: ArrayLike,
    full_purge: ArrayLike,
    liquid: ArrayLike = 0.0,
    sweep_pressure: ArrayLike = STANDARD_PRESSURE,
) -> MembraneState:
    """Return what a membrane dryer leaves in the air.

    Parameters
    ----------
    dry_air_flow : array_like
        Mass flow of dry air that enters, what is spent as purge included. [kg/s]
    inlet_temperature : array_like
        Temperature of the air that enters, and of the air that leaves. [K]
    inlet_humidity_ratio : array_like
        Vapour over dry air that enters. [-]
    pressure : array_like
        Absolute line pressure. [Pa]
    dew_point_depression : array_like
        Dew point in less pressure dew point out, at its rating. [K]
    rated_flow, rated_inlet_temperature, rated_pressure : array_like
        Dry air, inlet temperature (saturated) and absolute pressure of the rating. [kg/s] [K] [Pa]
    full_purge : array_like
        Dry air that the purge passes here. [kg/s]
    liquid : array_like
        Liquid water that enters with the air. [kg/s]
    sweep_pressure : array_like
        Absolute pressure of the sweep side. [Pa]

    Returns
    -------
    MembraneState
        Load, dew point and water; units in the class. [text]

    Notes
    -----
    W = W_i exp(-N r), N = ln(W_i/W) of the rating, r = rated flow x p/p_rated over the flow (residence); but no
    more than the purge can carry off, m_p p / (m p_sweep) of the vapour.  Liquid passes and evaporates into the
    dried air as far as it can.  Valid: clean, unoiled fibres, 5 to 50 degC; permeance taken as constant.  Reads
    wet with liquid (part of it would pass the wall), and dry at a small fraction of the rated flow, where the
    sweep side ends the drying.

    References
    ----------
    [physics] permeation in proportion to partial pressure; balance of water on the sweep side
    """
    air, line, vapour = _floats(dry_air_flow), _floats(pressure), _floats(inlet_humidity_ratio)
    flow, drops = np.maximum(air, LEAST_FLOW), _floats(liquid)
    residence = _floats(rated_flow) * line / (_floats(rated_pressure) * flow)
    hot = _floats(rated_inlet_temperature)
    units = np.log(
        moist.saturation_humidity_ratio(hot, pressure=rated_pressure)
        / moist.saturation_humidity_ratio(hot - _floats(dew_point_depression), pressure=rated_pressure)
    )
    passing = np.exp(-np.clip(units * residence, 0.0, MOST_UNITS))
    carried = _floats(full_purge) / flow * line / _floats(sweep_pressure)
    dried = vapour * np.maximum(passing, 1.0 - np.minimum(carried, 1.0))
    most = np.maximum(moist.saturation_humidity_ratio(inlet_temperature, pressure=line), dried)
    left = np.minimum(dried + drops / flow, most)
    return MembraneState(
        load_share=np.asarray(air * _floats(rated_pressure) / (_floats(rated_flow) * line)),
        dew_point=moist.dew_point(left, pressure=line),
        outlet_humidity_ratio=left,
        outlet_liquid=np.asarray(np.maximum(drops - air * (left - dried), 0.0)),
        water_taken=air * (vapour - dried),
    )


def _floats(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
