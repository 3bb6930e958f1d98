"""Dryers: what a refrigerated dryer can carry where it stands, and the dew point it leaves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.air import moist
from airfettle.air.constants import STANDARD_PRESSURE

Array = NDArray[np.float64]

RATED_TEMPERATURE = (100.0 + 459.67) / 1.8
"""Inlet and room of the standard rating, 100 degF. [K]"""

RATED_PRESSURE = 100.0 * 6894.757293168 + STANDARD_PRESSURE
"""Absolute line pressure of the standard rating, 100 psi gauge. [Pa]"""

RATED_DEW_POINT = (39.0 + 459.67) / 1.8
"""Pressure dew point at the standard rating, the middle of 38 to 40 degF. [K]"""

DEW_POINT_DISTANCE = 10.0
"""How far the dew point should lie under the coldest pipe. [K]"""


@dataclass(frozen=True)
class DryerState:
    """What a dryer does to the air.

    Attributes
    ----------
    capacity : ndarray
        Dry air it can carry here at its rated dew point. [kg/s]
    load_share : ndarray
        Flow over that capacity; over 1 it is overloaded. [-]
    dew_point : ndarray
        Pressure dew point of the air that leaves. [K]
    outlet_temperature : ndarray
        Temperature of the air that leaves. [K]
    outlet_humidity_ratio : ndarray
        Vapour over dry air that leaves. [-]
    condensate : ndarray
        Liquid drained: condensed here, and the liquid that came in. [kg/s]
    pressure_drop : ndarray
        Loss of pressure. [Pa]
    purge_dry_air : ndarray
        Dry air spent to regenerate; 0 for a refrigerated dryer. [kg/s]
    """

    capacity: Array
    load_share: Array
    dew_point: Array
    outlet_temperature: Array
    outlet_humidity_ratio: Array
    condensate: Array
    pressure_drop: Array
    purge_dry_air: Array


def inlet_temperature_factor(
    inlet_temperature: ArrayLike,
    *,
    table: Literal["dryer_inlet_temperature", "dryer_inlet_matrix"] = "dryer_inlet_temperature",
) -> Array:
    """Return the share of its rating that a refrigerated dryer carries at an inlet temperature.

    Parameters
    ----------
    inlet_temperature : array_like
        Temperature of the air that enters. [K]
    table : {"dryer_inlet_temperature", "dryer_inlet_matrix"}
        Which of two makers' tables to read; the first is the stricter. [text]

    Returns
    -------
    ndarray
        Factor on the rated flow. [-]

    Notes
    -----
    Straight between printed points, falling by the last printed proportion beyond the hot end, held at the
    cool end: never more than the best printed factor.  Valid: 90 to 130 degF (80 to 160 for the matrix).

    References
    ----------
    [dryer-manual] correction factors
    [dryer-sizing-table] the 100 psi gauge row
    """
    fahrenheit = _floats(inlet_temperature) * 1.8 - 459.67
    return _factor(fahrenheit, table=table, column="inlet temperature")


def pressure_factor(pressure: ArrayLike) -> Array:
    """Return the share of its rating that a refrigerated dryer carries at a line pressure.

    Parameters
    ----------
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Factor on the rated flow. [-]

    Notes
    -----
    As inlet_temperature_factor; gauge pressure is counted from the standard atmosphere.
    Valid: 60 to 140 psi gauge; held above, falling by the last printed proportion below.

    References
    ----------
    [dryer-manual] correction factors
    """
    gauge = (_floats(pressure) - STANDARD_PRESSURE) / 6894.757293168
    return _factor(gauge, table="dryer_pressure", column="pressure")


def room_temperature_factor(room_temperature: ArrayLike) -> Array:
    """Return the share of its rating that an air-cooled refrigerated dryer carries in a room.

    Parameters
    ----------
    room_temperature : array_like
        Temperature of the room. [K]

    Returns
    -------
    ndarray
        Factor on the rated flow. [-]

    Notes
    -----
    As inlet_temperature_factor.  Valid: 80 to 110 degF; a maker's own table goes before it.

    References
    ----------
    [practice] about 6 % for 10 degF
    """
    fahrenheit = _floats(room_temperature) * 1.8 - 459.67
    return _factor(fahrenheit, table="dryer_room_temperature", column="room temperature")


def refrigerate(
    dry_air_flow: ArrayLike,
    *,
    inlet_temperature: ArrayLike,
    room_temperature: ArrayLike,
    inlet_humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    rated_flow: ArrayLike,
    inlet_liquid: ArrayLike = 0.0,
    rated_dew_point: ArrayLike = RATED_DEW_POINT,
    overload_rise: ArrayLike = 20.0,
    reheat_approach: ArrayLike = 8.0,
    rated_drop: ArrayLike = 24_000.0,
) -> DryerState:
    """Return what a refrigerated dryer leaves in the air, at its place in the plant.

    Parameters
    ----------
    dry_air_flow : array_like
        Mass flow of dry air through it. [kg/s]
    inlet_temperature, room_temperature : array_like
        Temperature of the air that enters, and of the room. [K]
    inlet_humidity_ratio : array_like
        Vapour over dry air that enters. [-]
    pressure : array_like
        Absolute line pressure. [Pa]
    rated_flow : array_like
        Dry air it is rated for, 100 psi gauge, inlet and room 100 degF. [kg/s]
    inlet_liquid : array_like
        Liquid water that enters with the air. [kg/s]
    rated_dew_point : array_like
        Pressure dew point at the rating. [K]
    overload_rise : array_like
        Rise of the dew point for each whole rating of overload. [K]
    reheat_approach : array_like
        How far the leaving air stays below the entering air. [K]
    rated_drop : array_like
        Loss of pressure at the rating. [Pa]

    Returns
    -------
    DryerState
        Capacity, load, dew point, water and drop; units in the class. [text]

    Notes
    -----
    capacity = rated x inlet factor x pressure factor x room factor.  The cold end holds the rated dew point
    up to a load of 1 and then rises in a straight line, never past the inlet temperature; that line is this
    project's assumption.  Its drain takes all liquid; vapour out = min(in, saturation at the cold end).
    Valid: running and in order; liquid in beyond a film is heat the factors do not count (it reads dry).

    References
    ----------
    [practice] multiplied factors; 2 to 5 psi lost at the rating
    """
    air, inlet = _floats(dry_air_flow), _floats(inlet_temperature)
    vapour, line = _floats(inlet_humidity_ratio), _floats(pressure)
    rated = _floats(rated_flow)
    factor = inlet_temperature_factor(inlet) * pressure_factor(line) * room_temperature_factor(room_temperature)
    load = air / (rated * factor)
    cold = np.minimum(_floats(rated_dew_point) + _floats(overload_rise) * np.maximum(load - 1.0, 0.0), inlet)
    left = np.minimum(vapour, moist.saturation_humidity_ratio(cold, pressure=line))
    hotter, denser = inlet / RATED_TEMPERATURE, line / RATED_PRESSURE
    return DryerState(
        capacity=rated * factor,
        load_share=load,
        dew_point=np.minimum(cold, moist.dew_point(left, pressure=line)),
        outlet_temperature=np.maximum(inlet - _floats(reheat_approach), cold),
        outlet_humidity_ratio=left,
        condensate=air * (vapour - left) + _floats(inlet_liquid),
        pressure_drop=_floats(rated_drop) * (air / rated) ** 2 * hotter / denser,
        purge_dry_air=np.zeros_like(load),
    )


def least_purge_share(pressure: ArrayLike, *, purge_pressure: ArrayLike = STANDARD_PRESSURE) -> Array:
    """Return the least share of its flow that a heatless desiccant dryer must spend to dry its other bed.

    Parameters
    ----------
    pressure : array_like
        Absolute pressure of drying. [Pa]
    purge_pressure : array_like
        Absolute pressure of the bed that is purged. [Pa]

    Returns
    -------
    ndarray
        Share of the dried flow. [-]

    Notes
    -----
    p_purge/p: equal actual volumes through both beds.  Valid: a floor; real dryers take a quarter more.

    References
    ----------
    [purge-article] ratio of absolute pressures
    """
    return _floats(purge_pressure) / _floats(pressure)


def dew_point_margin(
    dew_point: ArrayLike, *, coldest_pipe: ArrayLike, distance: ArrayLike = DEW_POINT_DISTANCE
) -> Array:
    """Return how much more than the wanted distance the coldest pipe lies above the dew point.

    Parameters
    ----------
    dew_point : array_like
        Pressure dew point. [K]
    coldest_pipe : array_like
        Temperature of the coldest pipe it goes through. [K]
    distance : array_like
        Wanted distance. [K]

    Returns
    -------
    ndarray
        Margin, negative where water may form. [K]

    Notes
    -----
    t_pipe - t_dew - distance.  Valid: dew point and pipe at the same pressure; lower pressure is drier.

    References
    ----------
    [practice] 18 to 20 degF
    """
    return _floats(coldest_pipe) - _floats(dew_point) - _floats(distance)


def _factor(at: Array, *, table: str, column: str) -> Array:
    """Straight between printed points; beyond the poor end by the last printed proportion, else held."""
    printed = tables.load(table)
    points, factors = printed.numbers(column), printed.numbers("factor")
    poor, next_to_it = (0, 1) if factors[0] < factors[-1] else (-1, -2)
    rate = np.log(factors[poor] / factors[next_to_it]) / (points[poor] - points[next_to_it])
    beyond = np.where(poor == 0, np.minimum(at - points[0], 0.0), np.maximum(at - points[-1], 0.0))
    return np.asarray(np.interp(at, points, factors) * np.exp(np.clip(rate * beyond, -50.0, 0.0)))


def _floats(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
