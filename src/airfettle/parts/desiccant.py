"""Desiccant dryers: two beds that regenerate each other, and cartridges of beads that are spent and changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.air import moist
from airfettle.air.constants import CP_DRY_AIR, CP_VAPOUR, R_DRY_AIR, STANDARD_PRESSURE

Array = NDArray[np.float64]
Regeneration = Literal["heatless", "externally heated", "blower purge"]
Beads = Literal["silica gel", "molecular sieve"]

HEAT_OF_ADSORPTION = 2.8e6
"""Heat set free by water vapour on silica gel or alumina, latent heat included. [J/kg]  Source: practice."""
LEAST_RATE = 1e-12
"""Water flow below which beads are taken to last without end. [kg/s]"""
LEAST_FLOW = 1e-15
"""Air flow that stands in for none under a fraction. [kg/s]"""


@dataclass(frozen=True)
class DesiccantState:
    """What a desiccant dryer does to the air.

    Attributes
    ----------
    capacity : ndarray
        Dry air it can carry here at its rated dew point, with this water in it. [kg/s]
    load_share : ndarray
        Flow over that capacity; over 1 it is overloaded. [-]
    dew_point : ndarray
        Pressure dew point (frost point) of the air that leaves. [K]
    outlet_temperature : ndarray
        Temperature of the air that leaves. [K]
    outlet_humidity_ratio : ndarray
        Vapour over dry air that leaves, in the line and in the purge. [-]
    water_taken : ndarray
        Water that the beads take out of the air, liquid that came in with it included. [kg/s]
    """

    capacity: Array
    load_share: Array
    dew_point: Array
    outlet_temperature: Array
    outlet_humidity_ratio: Array
    water_taken: Array


def purge_conductance(rated_flow: ArrayLike, *, purge_share: ArrayLike, rated_pressure: ArrayLike) -> Array:
    """Return the purge of a dryer as an orifice: dry air for each pascal before it.

    Parameters
    ----------
    rated_flow : array_like
        Dry air the dryer is rated for. [kg/s]
    purge_share : array_like
        Purge over that flow, at the rated pressure, mean over the cycle. [-]
    rated_pressure : array_like
        Absolute pressure of the rating. [Pa]

    Returns
    -------
    ndarray
        Mass flow of dry air over absolute pressure. [kg/(s Pa)]

    Notes
    -----
    m_p = k p: a choked hole, set once.  It goes by the rating, not by the air that is used.  Valid: above about
    2 bar absolute; reads up to a quarter high below, where the hole is no longer choked; temperature left out.

    References
    ----------
    [practice] purge orifice and needle valve; [physics] choked flow
    """
    return _floats(rated_flow) * _floats(purge_share) / _floats(rated_pressure)


def warming_share(regeneration: Literal["heatless", "externally heated", "blower purge", "cartridge"]) -> float:
    """Return the share of the heat of adsorption that goes on with the dried air.

    Parameters
    ----------
    regeneration : str
        How the beads are regenerated; "cartridge" where they are not. [text]

    Returns
    -------
    float
        Mean over a cycle. [-]

    Notes
    -----
    From a table of rough values; 0.2 to 0.5 for heatless.  Valid: a few kelvin either way at workshop pressures.

    References
    ----------
    [practice] from memory; [desiccant-article] the heat matters little
    """
    table = tables.load("desiccant_warming")
    return float(table.numbers("share")[table.words("kind").index(regeneration)])


def regenerate(
    dry_air_flow: ArrayLike,
    *,
    regeneration: Regeneration,
    inlet_temperature: ArrayLike,
    inlet_humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    rated_flow: ArrayLike,
    rated_dew_point: ArrayLike,
    rated_inlet_temperature: ArrayLike,
    rated_pressure: ArrayLike,
    full_purge: ArrayLike,
    liquid: ArrayLike = 0.0,
    purge_pressure: ArrayLike = STANDARD_PRESSURE,
) -> DesiccantState:
    """Return what a dryer of two desiccant beds leaves in the air, once it has settled.

    Parameters
    ----------
    dry_air_flow : array_like
        Mass flow of dry air that enters, what is spent as purge included. [kg/s]
    regeneration : str
        How the beds are regenerated. [text]
    inlet_temperature : array_like
        Temperature of the air that enters. [K]
    inlet_humidity_ratio : array_like
        Vapour over dry air that enters. [-]
    pressure : array_like
        Absolute line pressure. [Pa]
    rated_flow, rated_dew_point, rated_inlet_temperature, rated_pressure : array_like
        Dry air, pressure dew point, inlet temperature (saturated) and absolute pressure of the rating.
        [kg/s] [K] [K] [Pa]
    full_purge : array_like
        Dry air that the purge passes while it is open, mean over the cycle. [kg/s]
    liquid : array_like
        Liquid water that enters with the air. [kg/s]
    purge_pressure : array_like
        Absolute pressure of the bed that is purged. [Pa]

    Returns
    -------
    DesiccantState
        Capacity, load, dew point, temperature and water; units in the class. [text]

    Notes
    -----
    load = the largest of: water that enters over that of the rating; actual volume over that of the rating
    (contact time); and, heatless, water over what its purge can carry off saturated at inlet temperature.
    Up to a load of 1 the rated dew point is held; beyond, what the beds cannot take passes:
    W = W_d + (W_i - W_d) (1 - 1/load).  Valid: settled, beads dry, clean and unoiled.  Below a load of 1 it
    reads wet (a lightly loaded dryer dries better than its plate); just above 1 it reads wet for the first
    hours, while the beds fill; above 45 degC or with oiled beads it reads dry.

    References
    ----------
    [desiccant-article] less water in, lower dew point; [purge-article] purge by pressures; [practice] contact time
    """
    air, inlet, line = _floats(dry_air_flow), _floats(inlet_temperature), _floats(pressure)
    vapour, rated, drops = _floats(inlet_humidity_ratio), _floats(rated_flow), _floats(liquid)
    water = air * vapour + drops
    rated_water = rated * moist.saturation_humidity_ratio(rated_inlet_temperature, pressure=rated_pressure)
    load = np.maximum(water / rated_water, _volume_share(air, inlet, line, rated, rated_inlet_temperature,
                                                         rated_pressure))  # fmt: skip
    if regeneration == "heatless":
        carried = _floats(full_purge) * moist.saturation_humidity_ratio(inlet, pressure=purge_pressure)
        load = np.maximum(load, water / np.maximum(carried, LEAST_FLOW))
    return _left(air, inlet, line, vapour, drops, rated_dew_point, load, warming_share(regeneration), rated)


def bead_uptake(relative_humidity: ArrayLike, *, beads: Beads, grade: ArrayLike = 0.5) -> Array:
    """Return the water that desiccant beads hold once they are in balance with the air.

    Parameters
    ----------
    relative_humidity : array_like
        Of the air, at the temperature of the beads. [-]
    beads : str
        What they are made of. [text]
    grade : array_like
        How much they hold among their sort: 0 the least, 1 the most. [-]

    Returns
    -------
    ndarray
        Water over dry beads, by mass. [-]

    Notes
    -----
    Straight between the points of the table.  Valid: 10 to 40 degC; hotter beads hold less at the same relative
    humidity and it reads high; old, oily or wetted beads hold much less.

    References
    ----------
    [bead-isotherms] the two columns of each sort
    """
    table = tables.load("desiccant_isotherm")
    points = table.numbers("relative humidity") / 100.0
    humidity = np.clip(_floats(relative_humidity), 0.0, 1.0)
    least, most = (np.interp(humidity, points, table.numbers(f"{beads}, {end}")) for end in ("least", "most"))
    return np.asarray(least + (most - least) * np.clip(_floats(grade), 0.0, 1.0))


def fresh_beads(
    dry_air_flow: ArrayLike,
    *,
    inlet_temperature: ArrayLike,
    inlet_humidity_ratio: ArrayLike,
    pressure: ArrayLike,
    rated_flow: ArrayLike,
    rated_dew_point: ArrayLike,
    rated_pressure: ArrayLike,
    liquid: ArrayLike = 0.0,
) -> DesiccantState:
    """Return what a cartridge of beads leaves in the air while its beads are fresh.

    Parameters
    ----------
    dry_air_flow : array_like
        Mass flow of dry air through it. [kg/s]
    inlet_temperature : array_like
        Temperature of the air that enters. [K]
    inlet_humidity_ratio : array_like
        Vapour over dry air that enters. [-]
    pressure : array_like
        Absolute line pressure. [Pa]
    rated_flow, rated_dew_point, rated_pressure : array_like
        Dry air it is rated for, pressure dew point with fresh beads, absolute pressure of the rating.
        [kg/s] [K] [Pa]
    liquid : array_like
        Liquid water that enters with the air; it is held too, and cracks the beads. [kg/s]

    Returns
    -------
    DesiccantState
        Capacity, load, dew point, temperature and water; units in the class. [text]

    Notes
    -----
    load = actual volume over that of the rating at 20 degC (contact time); the overload law of `regenerate`.
    Valid: fresh beads; see `bead_life`.  From about two thirds of that life on the air gets damper: it reads dry.

    References
    ----------
    [practice] contact time; the law of what passes is this project's assumption
    """
    air, inlet, line = _floats(dry_air_flow), _floats(inlet_temperature), _floats(pressure)
    rated = _floats(rated_flow)
    load = _volume_share(air, inlet, line, rated, 293.15, rated_pressure)
    vapour, drops = _floats(inlet_humidity_ratio), _floats(liquid)
    return _left(air, inlet, line, vapour, drops, rated_dew_point, load, warming_share("cartridge"), rated)


def bead_life(water_taken: ArrayLike, *, bead_mass: ArrayLike, uptake: ArrayLike, usable_share: ArrayLike) -> Array:
    """Return how long beads last at one rate of water.

    Parameters
    ----------
    water_taken : array_like
        Water they take out of the air. [kg/s]
    bead_mass : array_like
        Mass of the dry beads. [kg]
    uptake : array_like
        Water they hold in balance with the air that enters, over their dry mass. [-]
    usable_share : array_like
        Share of that which is taken before the air gets damp. [-]

    Returns
    -------
    ndarray
        Running time from dry beads. [s]

    Notes
    -----
    t = m x u / w.  Valid: beads dried right through before; air passed on by overload or bypass is not counted.

    References
    ----------
    [physics] balance of water
    """
    held = _floats(bead_mass) * _floats(uptake) * _floats(usable_share)
    return np.asarray(held / np.maximum(_floats(water_taken), LEAST_RATE))


def _volume_share(air: Array, inlet: Array, line: Array, rated: Array, hot: ArrayLike, rated_line: ArrayLike) -> Array:
    """Actual volume that flows over that of the rating. [-]"""
    here = air * R_DRY_AIR * inlet / line
    return np.asarray(here / (rated * R_DRY_AIR * _floats(hot) / _floats(rated_line)))


def _left(
    air: Array, inlet: Array, line: Array, vapour: Array, drops: Array, dew_point: ArrayLike, load: Array,
    warming: float, rated: Array,
) -> DesiccantState:  # fmt: skip
    """Split the water by the load, and warm the air by part of the heat of adsorption."""
    dry = np.minimum(vapour, moist.saturation_humidity_ratio(dew_point, pressure=line))
    left = dry + (vapour - dry) * np.maximum(1.0 - 1.0 / np.maximum(load, 1.0), 0.0)
    rise = warming * HEAT_OF_ADSORPTION * (vapour - left) / (CP_DRY_AIR + left * CP_VAPOUR)
    return DesiccantState(
        capacity=np.asarray(np.where(load > 0.0, air / np.maximum(load, LEAST_FLOW), rated)),
        load_share=load,
        dew_point=moist.dew_point(left, pressure=line),
        outlet_temperature=inlet + rise,
        outlet_humidity_ratio=left,
        water_taken=air * (vapour - left) + drops,
    )  # fmt: skip


def _floats(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
