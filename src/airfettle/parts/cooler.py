"""The air-cooled cooler after (or between) the stages: outlet, water, heat; fan off, fan failed, fan run-on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air import moist
from airfettle.air.condensing import MOST_DUTY, condensing_outlet, dew_temperature, saturation_ratio
from airfettle.air.constants import CP_DRY_AIR, CP_LIQUID, CP_VAPOUR, R_DRY_AIR, ZERO_CELSIUS

Array = NDArray[np.float64]

CP_ROOM_AIR = 1007.0
"""Specific heat of the room's air, with its usual moisture. [J/(kg K)]"""

LEAST_RATE = 1e-9
"""Coolant's capacity rate below which its own warming is not given. [W/K]"""

LONGEST_RUN_ON = 86_400.0
"""A fan that would never be done is given one day. [s]"""


@dataclass(frozen=True)
class CoolerState:
    """Air that leaves a cooler, and what it left there.

    Attributes
    ----------
    outlet_temperature : ndarray
        Temperature of the air that leaves. [K]
    outlet_humidity_ratio : ndarray
        Vapour over dry air that leaves; the rest is liquid. [-]
    condensate : ndarray
        Water that leaves as liquid. [kg/s]
    heat : ndarray
        Heat given to the coolant; negative where the room warms the air. [W]
    dew_in : ndarray
        Dew point of all water that enters, at the cooler's pressure. [K]
    ua_star : ndarray
        Conductance that counts once the coolant's own warming is taken off, UA*. [W/K]
    coolant_outlet_temperature : ndarray
        Mean temperature of the coolant that leaves. [K]
    approach : ndarray
        Outlet temperature less coolant temperature. [K]
    """

    outlet_temperature: Array
    outlet_humidity_ratio: Array
    condensate: Array
    heat: Array
    dew_in: Array
    ua_star: Array
    coolant_outlet_temperature: Array
    approach: Array


def effective_conductance(conductance: ArrayLike, *, coolant_capacity_rate: ArrayLike) -> Array:
    """Return the conductance that counts when the unmixed coolant warms on its way across.

    Parameters
    ----------
    conductance : array_like
        UA of the cooler. [W/K]
    coolant_capacity_rate : array_like
        Mass flow of the coolant times its specific heat; may be infinite. [W/K]

    Returns
    -------
    ndarray
        UA*. [W/K]

    Notes
    -----
    UA* = C (1 - exp(-UA/C)).  Valid: coolant unmixed, the air mixed across its tubes.

    References
    ----------
    [airfettle-equations] (c)
    """
    given, rate = _floats(conductance), _floats(coolant_capacity_rate)
    endless = rate > 1e12
    safe = np.where(endless, 1.0, np.maximum(rate, 1e-300))
    units = np.minimum(given, 1e3 * safe) / safe
    return np.where(endless, given, np.where(rate > 0.0, -safe * np.expm1(-units), 0.0))


def cool_moist_air(
    *,
    dry_air_flow: ArrayLike,
    pressure: ArrayLike,
    inlet_temperature: ArrayLike,
    coolant_temperature: ArrayLike,
    inlet_humidity_ratio: ArrayLike,
    conductance: ArrayLike,
    coolant_capacity_rate: ArrayLike,
    enhancement: ArrayLike | None = None,
) -> CoolerState:
    """Return the air that leaves a cooler, the water it sheds and the heat it gives up.

    Parameters
    ----------
    dry_air_flow : array_like
        Mass flow of dry air. [kg/s]
    pressure : array_like
        Absolute pressure in the cooler. [Pa]
    inlet_temperature, coolant_temperature : array_like
        Temperature of the air and of the coolant as they enter. [K]
    inlet_humidity_ratio : array_like
        Water over dry air that enters; what it cannot hold as vapour enters as liquid. [-]
    conductance : array_like
        UA at these flows. [W/K]
    coolant_capacity_rate : array_like
        Mass flow of the coolant times its specific heat; may be infinite. [W/K]
    enhancement : array_like, optional
        Constant enhancement factor; left out, the real one. [-]

    Returns
    -------
    CoolerState
        Outlet, water, heat; units in the class. [text]

    Notes
    -----
    Dry: T_out = T_a + (T_in - T_a) exp(-UA*/(m (1005 + 1860 W))); from the dew point down by
    condensing_outlet.  heat = m (H_in - H_out) + m liquid_in 4186 t_in - condensate 4186 t_out, exactly.
    Without flow the outlet is the coolant's temperature.  Liquid is not evaporated again where the coolant is
    the warmer.  Valid: as condensing_outlet; that path leaves out the heat of the liquid as it cools along,
    which the heat counts: up to 1 % of the path.

    References
    ----------
    [airfettle-equations] (c)
    """
    flow, water = _floats(dry_air_flow), _floats(inlet_humidity_ratio)
    hot, coolant = _floats(inlet_temperature), _floats(coolant_temperature)
    line = _floats(pressure)
    ua_star = effective_conductance(conductance, coolant_capacity_rate=coolant_capacity_rate)
    duty = ua_star / np.maximum(flow, ua_star / MOST_DUTY + 1e-300)
    dew = dew_temperature(water, pressure=line, enhancement=enhancement)

    wet_inlet = hot < dew
    start = np.minimum(hot, dew)
    vapour = water
    if wet_inlet.any():
        held = saturation_ratio(start, pressure=line, enhancement=enhancement)
        vapour = np.where(wet_inlet, np.minimum(water, held), water)
    dry_heat = CP_DRY_AIR + CP_VAPOUR * vapour
    outlet = coolant + (hot - coolant) * np.exp(-duty / dry_heat)

    condensing = (start > coolant) & (outlet < start) | (wet_inlet & (hot > coolant))
    left = np.where(condensing, duty - dry_heat * _fall(hot, start, coolant), 0.0)
    outlet = _with_condensing(outlet, condensing, (start, coolant, line, np.maximum(left, 0.0), enhancement))
    most = saturation_ratio(np.minimum(outlet, dew), pressure=line, enhancement=enhancement)
    kept = np.where(condensing, np.minimum(vapour, most), vapour)
    return _state(flow, hot, water, vapour, coolant, outlet, kept, dew, ua_star, coolant_capacity_rate)


def _with_condensing(
    outlet: Array, condensing: NDArray[np.bool_], path: tuple[Array, Array, Array, Array, ArrayLike | None]
) -> Array:
    """Put the end of the condensing path where there is one; the costly path is walked only there."""
    start, coolant, line, left, enhancement = path
    if condensing.all():
        return condensing_outlet(start, coolant_temperature=coolant, pressure=line, duty=left, enhancement=enhancement)
    if not condensing.any():
        return outlet
    at, coolant_at, line_at, left_at = (
        np.broadcast_to(x, outlet.shape)[condensing] for x in (start, coolant, line, left)
    )
    factor = None if enhancement is None else np.broadcast_to(enhancement, outlet.shape)[condensing]
    outlet = outlet.copy()
    outlet[condensing] = condensing_outlet(
        at, coolant_temperature=coolant_at, pressure=line_at, duty=left_at, enhancement=factor
    )
    return outlet


def conductance_at(
    *,
    rated_conductance: ArrayLike,
    air_flow_ratio: ArrayLike,
    fan_flow_ratio: ArrayLike,
    air_exponent: ArrayLike = 0.8,
    fan_exponent: ArrayLike = 0.6,
    inside_share: ArrayLike = 0.4,
    still_share: ArrayLike = 0.15,
) -> Array:
    """Return the conductance of a cooler at other flows than its rating; fan off and failed are a ratio of 0.

    Parameters
    ----------
    rated_conductance : array_like
        UA at the rated flows. [W/K]
    air_flow_ratio : array_like
        Mass flow of compressed air over the rated one. [-]
    fan_flow_ratio : array_like
        Flow of the fan over the rated one; 0 with the fan off or failed. [-]
    air_exponent, fan_exponent : array_like
        Powers of flow that the inside and the outside film follow. [-]
    inside_share : array_like
        Share of the rated resistance that lies inside, under 1. [-]
    still_share : array_like
        Share of UA left at the rated air flow without the fan, by rising warm air. [-]

    Returns
    -------
    ndarray
        UA. [W/K]

    Notes
    -----
    1/UA = (s/x^a + (1 - s)/y)/UA_r, y = k + (1 - k) z^b, k such that x = 1, z = 0 gives the still share.
    Valid: turbulent inside (Reynolds number over about 4000); below, the inside film falls slower and this
    reads low.  The shares are for a plate-fin oil cooler with its fan and are assumptions.

    References
    ----------
    [physics] resistances in series
    [practice] exponents and shares
    """
    inside = _floats(inside_share)
    still = _floats(still_share)
    left = still * (1.0 - inside) / (1.0 - still * inside)
    outer = left + (1.0 - left) * _floats(fan_flow_ratio) ** _floats(fan_exponent)
    inner = _floats(air_flow_ratio) ** _floats(air_exponent)
    resistance = inside * outer + (1.0 - inside) * inner
    return _floats(rated_conductance) * inner * outer / np.maximum(resistance, 1e-300)


def coolant_capacity_at(
    *, rated_capacity_rate: ArrayLike, fan_flow_ratio: ArrayLike, still_share: ArrayLike = 0.05
) -> Array:
    """Return the capacity rate of the room's air through the core; some rises through it without the fan.

    Parameters
    ----------
    rated_capacity_rate : array_like
        Capacity rate with the fan at its rating. [W/K]
    fan_flow_ratio : array_like
        Flow of the fan over the rated one; 0 with the fan off or failed. [-]
    still_share : array_like
        Share that rises through the core without the fan. [-]

    Returns
    -------
    ndarray
        Capacity rate. [W/K]

    Notes
    -----
    C = C_r (k + (1 - k) z).  Valid: the share is an assumption; a core lying flat draws the most.

    References
    ----------
    [practice]
    """
    still = _floats(still_share)
    return _floats(rated_capacity_rate) * (still + (1.0 - still) * _floats(fan_flow_ratio))


def fan_capacity_rate(fan_flow: ArrayLike, *, pressure: ArrayLike, temperature: ArrayLike) -> Array:
    """Return the capacity rate of a fan's air.

    Parameters
    ----------
    fan_flow : array_like
        Volume flow through the core, of room air. [m3/s]
    pressure : array_like
        Absolute pressure of the room. [Pa]
    temperature : array_like
        Temperature of the room. [K]

    Returns
    -------
    ndarray
        Capacity rate. [W/K]

    Notes
    -----
    C = p q/(R T) 1007.  Valid: the flow that really passes the core, half to two thirds of a bare fan's figure.

    References
    ----------
    [airfettle-equations] (c)
    """
    density = _floats(pressure) / (R_DRY_AIR * _floats(temperature))
    return _floats(fan_flow) * density * CP_ROOM_AIR


def cooler_pressure_drop(
    rated_drop: ArrayLike,
    *,
    flow_ratio: ArrayLike,
    temperature: ArrayLike,
    rated_temperature: ArrayLike,
    pressure: ArrayLike,
    rated_pressure: ArrayLike,
    exponent: ArrayLike = 1.8,
) -> Array:
    """Return the pressure that the compressed air loses in the cooler, scaled from one known point.

    Parameters
    ----------
    rated_drop : array_like
        Drop at the known point. [Pa]
    flow_ratio : array_like
        Mass flow of air over that of the known point. [-]
    temperature, rated_temperature : array_like
        Mean temperature in the core, now and at the known point. [K]
    pressure, rated_pressure : array_like
        Absolute pressure, now and at the known point. [Pa]
    exponent : array_like
        Power of flow; 1.8 smooth passages, 2 fittings. [-]

    Returns
    -------
    ndarray
        Loss of pressure. [Pa]

    Notes
    -----
    dp = dp_r x^n (T/T_r)(p_r/p).  Valid: drop under a tenth of the pressure.

    References
    ----------
    [practice]
    """
    hotter = _floats(temperature) / _floats(rated_temperature)
    denser = _floats(pressure) / _floats(rated_pressure)
    return _floats(rated_drop) * _floats(flow_ratio) ** _floats(exponent) * hotter / denser


def fan_run_on_time(
    *,
    start_temperature: ArrayLike,
    coolant_temperature: ArrayLike,
    wanted_approach: ArrayLike,
    metal_heat_capacity: ArrayLike,
    trapped_volume: ArrayLike,
    trapped_pressure: ArrayLike,
    conductance: ArrayLike,
    coolant_capacity_rate: ArrayLike,
) -> Array:
    """Return how long the fan must run after the pump stops, to bring metal and trapped air near the room.

    Parameters
    ----------
    start_temperature : array_like
        Mean temperature of the metal as the pump stops. [K]
    coolant_temperature : array_like
        Temperature of the room. [K]
    wanted_approach : array_like
        How near the room is near enough, over 0. [K]
    metal_heat_capacity : array_like
        Mass of the core times its specific heat. [J/K]
    trapped_volume : array_like
        Air space of the core. [m3]
    trapped_pressure : array_like
        Absolute pressure that stands in it. [Pa]
    conductance : array_like
        From metal to room air, with the fan running. [W/K]
    coolant_capacity_rate : array_like
        Capacity rate of the fan's air. [W/K]

    Returns
    -------
    ndarray
        Time; at most LONGEST_RUN_ON. [s]

    Notes
    -----
    t = (C_metal + C_air)/UA* ln((T_0 - T_a)/approach), C_air = p V/(R T_0) 1005.
    Valid: metal at one temperature with its air, which lags by a second or so; heat of water that still drops
    out in there is left out and makes the true time a little longer.

    References
    ----------
    [physics] lumped heat capacity
    """
    start, coolant = _floats(start_temperature), _floats(coolant_temperature)
    ua_star = effective_conductance(conductance, coolant_capacity_rate=coolant_capacity_rate)
    air = _floats(trapped_pressure) * _floats(trapped_volume) / (R_DRY_AIR * start) * CP_DRY_AIR
    over = np.maximum((start - coolant) / _floats(wanted_approach), 1.0)
    work = (_floats(metal_heat_capacity) + air) * np.log(over)
    return work / np.maximum(ua_star, work / LONGEST_RUN_ON + 1e-300)


def _fall(hot: Array, start: Array, coolant: Array) -> Array:
    """Logarithm of the distance from the coolant, inlet over dew point; 0 where the air enters saturated."""
    falls = (start < hot) & (start > coolant)
    upper, lower = np.where(falls, hot - coolant, 1.0), np.where(falls, start - coolant, 1.0)
    return np.log(upper / lower)


def _state(
    flow: Array,
    hot: Array,
    water: Array,
    vapour: Array,
    coolant: Array,
    outlet: Array,
    kept: Array,
    dew: Array,
    ua_star: Array,
    coolant_capacity_rate: ArrayLike,
) -> CoolerState:
    """Close the balances of water and heat on the outlet found."""
    enthalpy_in = moist.enthalpy(hot, humidity_ratio=vapour) + (water - vapour) * CP_LIQUID * (hot - ZERO_CELSIUS)
    condensate = flow * (water - kept)
    heat = flow * (enthalpy_in - moist.enthalpy(outlet, humidity_ratio=kept))
    heat = heat - condensate * CP_LIQUID * (outlet - ZERO_CELSIUS)
    rate = _floats(coolant_capacity_rate)
    warming = np.where(rate > LEAST_RATE, heat / np.where(rate > LEAST_RATE, rate, 1.0), 0.0)
    shape = heat.shape
    return CoolerState(
        outlet_temperature=np.broadcast_to(outlet, shape),
        outlet_humidity_ratio=np.broadcast_to(kept, shape),
        condensate=condensate,
        heat=heat,
        dew_in=np.broadcast_to(dew, shape),
        ua_star=np.broadcast_to(ua_star, shape),
        coolant_outlet_temperature=coolant + warming,
        approach=np.broadcast_to(outlet - coolant, shape),
    )


def _floats(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
