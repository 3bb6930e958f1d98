"""The water separator: what share of the liquid it throws out, and what it lets through."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import MASS_RATIO, R_DRY_AIR

Array = NDArray[np.float64]


@dataclass(frozen=True)
class SeparatorState:
    """What a separator does with the liquid that reaches it.

    Attributes
    ----------
    actual_flow : ndarray
        Volume flow of the moist air at its own pressure and temperature. [m3/s]
    efficiency : ndarray
        Share of the liquid caught. [-]
    water_caught, carry_over : ndarray
        Liquid caught and liquid passed on. [kg/s]
    window_margin : ndarray
        Distance inside the flow window, as a share of the nearer end; negative outside. [-]
    pressure_drop : ndarray
        Loss of pressure. [Pa]
    """

    actual_flow: Array
    efficiency: Array
    water_caught: Array
    carry_over: Array
    window_margin: Array
    pressure_drop: Array


def actual_flow(
    dry_air_flow: ArrayLike, *, temperature: ArrayLike, pressure: ArrayLike, humidity_ratio: ArrayLike = 0.0
) -> Array:
    """Return the volume that a flow of air really fills at its pressure and temperature.

    Parameters
    ----------
    dry_air_flow : array_like
        Mass flow of dry air. [kg/s]
    temperature : array_like
        Temperature of the air. [K]
    pressure : array_like
        Absolute pressure. [Pa]
    humidity_ratio : array_like
        Mass of vapour over mass of dry air. [-]

    Returns
    -------
    ndarray
        Actual volume flow. [m3/s]

    Notes
    -----
    q = m R T (1 + W/0.62198)/p.  Valid: ideal gas; within 1 % below 15 bar.

    References
    ----------
    [physics]
    """
    moles = 1.0 + _floats(humidity_ratio) / MASS_RATIO
    specific_volume = R_DRY_AIR * _floats(temperature) / _floats(pressure)
    return _floats(dry_air_flow) * specific_volume * moles


def separator_efficiency(
    flow: ArrayLike,
    *,
    least_flow: ArrayLike,
    most_flow: ArrayLike,
    efficiency_inside: ArrayLike = 0.90,
    still_share: ArrayLike = 0.5,
    fall_above: ArrayLike = 1.0,
) -> Array:
    """Return the share of the liquid that a separator catches at a flow.

    Parameters
    ----------
    flow : array_like
        Actual volume flow, at line pressure and temperature. [m3/s]
    least_flow, most_flow : array_like
        Ends of the flow window, actual volume. [m3/s]
    efficiency_inside : array_like
        Share caught inside the window. [-]
    still_share : array_like
        Share of that which still runs to the bowl by weight alone as the flow goes to nothing. [-]
    fall_above : array_like
        How fast the catch falls above the window, where the swirl tears liquid off the wall again. [-]

    Returns
    -------
    ndarray
        Share of the liquid caught. [-]

    Notes
    -----
    Inside: e0.  Below, x = q/q_least: e0 (s + (1 - s)(1 - (1 - x)^2)).  Above, y = q/q_most - 1:
    e0 exp(-k y^2).  Both leave the window without a step or a corner; their form is an assumption.
    Valid: the window is the maker's or measured; how far outside it the catch falls is a guess, so a plant
    that lives outside should be weighed (collected water over an hour).

    References
    ----------
    [practice] 0.80 to 0.98 inside the window; the fall outside is this project's assumption
    """
    q = _floats(flow)
    slack = np.clip(1.0 - q / _floats(least_flow), 0.0, 1.0)
    excess = np.clip(q / _floats(most_flow) - 1.0, 0.0, 1e6)
    still = _floats(still_share)
    below = still + (1.0 - still) * (1.0 - slack**2)
    return _floats(efficiency_inside) * below * np.exp(-np.minimum(_floats(fall_above) * excess**2, 700.0))


def separate(
    liquid: ArrayLike,
    *,
    flow: ArrayLike,
    least_flow: ArrayLike,
    most_flow: ArrayLike,
    efficiency_inside: ArrayLike = 0.90,
    still_share: ArrayLike = 0.5,
    fall_above: ArrayLike = 1.0,
    drop_at_most_flow: ArrayLike = 7000.0,
    density_ratio: ArrayLike = 1.0,
) -> SeparatorState:
    """Return what a separator catches, passes on and costs in pressure.

    Parameters
    ----------
    liquid : array_like
        Liquid water that reaches it. [kg/s]
    flow : array_like
        Actual volume flow, at line pressure and temperature. [m3/s]
    least_flow, most_flow : array_like
        Ends of the flow window, actual volume. [m3/s]
    efficiency_inside : array_like
        Share caught inside the window. [-]
    still_share : array_like
        Share of that which still runs to the bowl by weight alone as the flow goes to nothing. [-]
    fall_above : array_like
        How fast the catch falls above the window. [-]
    drop_at_most_flow : array_like
        Pressure lost at the upper end of the window. [Pa]
    density_ratio : array_like
        Density of the air over its density at that rated drop. [-]

    Returns
    -------
    SeparatorState
        Efficiency, liquid caught and passed, drop; units in the class. [text]

    Notes
    -----
    caught = e liquid; passed = liquid - caught; drop grows as density times flow squared.
    Valid: as separator_efficiency.

    References
    ----------
    [practice] 0.5 to 2 psi lost; see separator_efficiency
    """
    q, liquid_in = _floats(flow), _floats(liquid)
    least, most = _floats(least_flow), _floats(most_flow)
    efficiency = separator_efficiency(
        q, least_flow=least, most_flow=most, efficiency_inside=efficiency_inside, still_share=still_share,
        fall_above=fall_above,
    )  # fmt: skip
    caught = liquid_in * efficiency
    return SeparatorState(
        actual_flow=q,
        efficiency=efficiency,
        water_caught=caught,
        carry_over=liquid_in - caught,
        window_margin=np.minimum(q / least - 1.0, 1.0 - q / most),
        pressure_drop=_floats(drop_at_most_flow) * _floats(density_ratio) * (q / most) ** 2,
    )


def _floats(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
