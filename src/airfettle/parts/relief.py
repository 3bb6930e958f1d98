"""Relief valve: what it passes, what it must pass, and what its setting must respect."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.air.constants import KAPPA, R_DRY_AIR, STANDARD_PRESSURE

PSI = 6894.757293168361
"""One pound-force per square inch. [Pa]"""

GALLON = 0.003785411784
"""One US gallon. [m3]"""

STAMPED_SHARE = 0.9
"""Stamped capacity over measured capacity. [-]  Source: asme-viii-1-ug-131, from memory."""

CHOKED = (2 / (KAPPA + 1)) ** (KAPPA / (KAPPA - 1))
"""Pressure ratio below which a nozzle is choked. [-]"""


def rise_limit(*, plate_pressure: ArrayLike, several_devices: bool = False) -> NDArray[np.float64]:
    """Return how far the pressure may rise above the plate while the valve blows.

    Parameters
    ----------
    plate_pressure : array_like
        Gauge pressure on the vessel's plate. [Pa]
    several_devices : bool
        Whether more than one valve shares the duty. [yes or no]

    Returns
    -------
    ndarray
        Rise above the plate pressure. [Pa]

    Notes
    -----
    The greater of 10 % and 3 psi with one valve, of 16 % and 4 psi with several.

    References
    ----------
    [asme-viii-1-ug-125] UG-125(c)
    """
    table = tables.load("vessel_rise_limits")
    row = table.words("devices").index("several" if several_devices else "one")
    share, step = (float(table.numbers(column)[row]) for column in ("share", "step"))
    out: NDArray[np.float64] = np.maximum(np.asarray(plate_pressure, dtype=np.float64) * share / 100, step * PSI)
    return out


def relieving_pressure(
    *, set_pressure: ArrayLike, pressure_barometer: ArrayLike = STANDARD_PRESSURE
) -> NDArray[np.float64]:
    """Return the absolute pressure at which a valve gives its stamped capacity.

    Parameters
    ----------
    set_pressure : array_like
        Gauge pressure stamped on the valve. [Pa]
    pressure_barometer : array_like
        Absolute pressure of the room. [Pa]

    Returns
    -------
    ndarray
        Absolute pressure. [Pa]

    Notes
    -----
    Set pressure plus the greater of 10 % and 3 psi.

    References
    ----------
    [asme-viii-1-ug-125]; [asme-viii-1-ug-131] capacity at that pressure
    """
    gauge = np.asarray(set_pressure, dtype=np.float64)
    return gauge + rise_limit(plate_pressure=gauge) + np.asarray(pressure_barometer, dtype=np.float64)


def nozzle_flow(
    *,
    bore: ArrayLike,
    discharge_coefficient: ArrayLike,
    pressure: ArrayLike,
    temperature: ArrayLike,
    pressure_barometer: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the flow of air through an open relief valve, unloader or bleed into the room.

    Parameters
    ----------
    bore : array_like
        Diameter of the narrowest place. [m]
    discharge_coefficient : array_like
        Flow over that of an ideal nozzle. [-]
    pressure : array_like
        Absolute pressure before it. [Pa]
    temperature : array_like
        Before it. [K]
    pressure_barometer : array_like
        Absolute pressure of the room. [Pa]

    Returns
    -------
    ndarray
        Mass flow. [kg/s]

    Notes
    -----
    Cd A p sqrt(2 k/((k - 1) R T) (r^(2/k) - r^((k+1)/k))), r the pressure ratio, not below the choked 0.528.
    Valid: ideal gas; real air to 15 bar passes within 1 % of it.

    References
    ----------
    [physics] isentropic nozzle
    """
    p = np.asarray(pressure, dtype=np.float64)
    r = np.clip(np.asarray(pressure_barometer, dtype=np.float64) / p, CHOKED, 1)
    area = np.pi / 4 * np.asarray(bore, dtype=np.float64) ** 2
    factor = 2 * KAPPA / ((KAPPA - 1) * R_DRY_AIR * np.asarray(temperature, dtype=np.float64))
    shape = np.maximum(r ** (2 / KAPPA) - r ** ((KAPPA + 1) / KAPPA), 0)
    out: NDArray[np.float64] = np.asarray(discharge_coefficient, dtype=np.float64) * area * p * np.sqrt(factor * shape)
    return out


def valve_capacity(
    *,
    bore: ArrayLike,
    discharge_coefficient: ArrayLike,
    set_pressure: ArrayLike,
    temperature: ArrayLike = 288.71,
    pressure_barometer: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the capacity a valve of known bore can be counted on for.

    Parameters
    ----------
    bore : array_like
        Diameter of the flow path. [m]
    discharge_coefficient : array_like
        Measured, before the tenth that the code takes off. [-]
    set_pressure : array_like
        Gauge. [Pa]
    temperature : array_like
        Of the air before the valve; 60 degF as on a stamp unless given. [K]
    pressure_barometer : array_like
        Absolute pressure of the room. [Pa]

    Returns
    -------
    ndarray
        Mass flow. [kg/s]

    Notes
    -----
    0.9 times `nozzle_flow` at `relieving_pressure`.  Valid: full lift; a worn or gummed valve passes less.

    References
    ----------
    [asme-viii-1-ug-131]
    """
    relieving = relieving_pressure(set_pressure=set_pressure, pressure_barometer=pressure_barometer)
    return STAMPED_SHARE * nozzle_flow(
        bore=bore,
        discharge_coefficient=discharge_coefficient,
        pressure=relieving,
        temperature=temperature,
        pressure_barometer=pressure_barometer,
    )


def capacity_at(
    *,
    stamped_flow: ArrayLike,
    stamped_set: ArrayLike,
    set_pressure: ArrayLike,
    pressure_barometer: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return a stamped capacity carried over to another setting of the same valve.

    Parameters
    ----------
    stamped_flow : array_like
        Capacity on the stamp, in any unit of mass or standard volume flow. [kg/s]
    stamped_set, set_pressure : array_like
        Gauge pressures: on the stamp, and wanted. [Pa]
    pressure_barometer : array_like
        Absolute pressure of the room. [Pa]

    Returns
    -------
    ndarray
        Capacity in the unit given. [kg/s]

    Notes
    -----
    Proportional to the absolute relieving pressure.  Valid: choked flow, so settings above 1 bar; lower reads high.

    References
    ----------
    [asme-viii-1-ug-131]; [physics] choked flow
    """
    now = relieving_pressure(set_pressure=set_pressure, pressure_barometer=pressure_barometer)
    then = relieving_pressure(set_pressure=stamped_set, pressure_barometer=pressure_barometer)
    return np.asarray(stamped_flow, dtype=np.float64) * now / then


def required_capacity(
    *,
    displacement: ArrayLike,
    highest_speed: ArrayLike,
    pressure_intake: ArrayLike = STANDARD_PRESSURE,
    temperature_intake: ArrayLike = 288.15,
) -> NDArray[np.float64]:
    """Return the flow the valve must pass: all of the pump's displacement at the highest speed any setting reaches.

    Parameters
    ----------
    displacement : array_like
        Of the first stage, for each revolution. [m3]
    highest_speed : array_like
        Of the pump. [rev/s]
    pressure_intake : array_like
        Absolute. [Pa]
    temperature_intake : array_like
        Coldest intake, where the air is densest. [K]

    Returns
    -------
    ndarray
        Mass flow. [kg/s]

    Notes
    -----
    V n p/(R T).  Valid: on the safe side by the volumetric efficiency.

    References
    ----------
    [osha-1910-169] capacity of at least the full delivery
    """
    swept = np.asarray(displacement, dtype=np.float64) * np.asarray(highest_speed, dtype=np.float64)
    gas = R_DRY_AIR * np.asarray(temperature_intake, dtype=np.float64)
    return swept * np.asarray(pressure_intake, dtype=np.float64) / gas


def capacity_margin(*, capacity: ArrayLike, required: ArrayLike) -> NDArray[np.float64]:
    """Return how far the valve's capacity exceeds what it must pass, negative where it does not.

    Parameters
    ----------
    capacity, required : array_like
        Mass flows; required above zero. [kg/s]

    Returns
    -------
    ndarray
        Share of the required flow. [-]

    References
    ----------
    [osha-1910-169]
    """
    return np.asarray(capacity, dtype=np.float64) / np.asarray(required, dtype=np.float64) - 1


def plate_margin(*, plate_pressure: ArrayLike, set_pressure: ArrayLike) -> NDArray[np.float64]:
    """Return how far the valve's setting stays below the plate, negative above it.

    Parameters
    ----------
    plate_pressure, set_pressure : array_like
        Gauge pressures: on the vessel's plate and of the valve. [Pa]

    Returns
    -------
    ndarray
        Pressure difference. [Pa]

    References
    ----------
    [asme-viii-1-ug-125]; [osha-1910-169] set at or below the plate
    """
    return np.asarray(plate_pressure, dtype=np.float64) - np.asarray(set_pressure, dtype=np.float64)


def cut_out_margin(
    *, set_pressure: ArrayLike, cut_out: ArrayLike, blow_down_share: ArrayLike = 0.10
) -> NDArray[np.float64]:
    """Return how far the setting stays above the pressure switch, negative where the valve would weep.

    Parameters
    ----------
    set_pressure, cut_out : array_like
        Gauge pressures: of the valve and of the switch's upper limit. [Pa]
    blow_down_share : array_like
        Gap the valve needs to shut tight, as share of its setting. [-]

    Returns
    -------
    ndarray
        Pressure difference. [Pa]

    References
    ----------
    [practice] a tenth between cut-out and setting
    """
    seat = np.asarray(set_pressure, dtype=np.float64) * (1 - np.asarray(blow_down_share, dtype=np.float64))
    return seat - np.asarray(cut_out, dtype=np.float64)


def rise_margin(
    *,
    plate_pressure: ArrayLike,
    highest_pressure: ArrayLike,
    several_devices: bool = False,
) -> NDArray[np.float64]:
    """Return how far the pressure while blowing stays below what the plate allows, negative above it.

    Parameters
    ----------
    plate_pressure, highest_pressure : array_like
        Gauge pressures: on the plate, and with the pump running against the open valve. [Pa]
    several_devices : bool
        Whether more than one valve shares the duty. [yes or no]

    Returns
    -------
    ndarray
        Pressure difference. [Pa]

    References
    ----------
    [asme-viii-1-ug-125] UG-125(c); [osha-1910-169]
    """
    plate = np.asarray(plate_pressure, dtype=np.float64)
    limit = plate + rise_limit(plate_pressure=plate, several_devices=several_devices)
    return limit - np.asarray(highest_pressure, dtype=np.float64)


def highest_pressure(
    *,
    set_pressure: ArrayLike,
    capacity: ArrayLike,
    delivered: ArrayLike,
    pressure_barometer: ArrayLike = STANDARD_PRESSURE,
) -> NDArray[np.float64]:
    """Return the gauge pressure at which the open valve passes all the pump delivers.

    Parameters
    ----------
    set_pressure : array_like
        Gauge. [Pa]
    capacity : array_like
        At the relieving pressure, above zero. [kg/s]
    delivered : array_like
        By the pump at that pressure. [kg/s]
    pressure_barometer : array_like
        Absolute pressure of the room. [Pa]

    Returns
    -------
    ndarray
        Gauge pressure, not below the setting. [Pa]

    Notes
    -----
    Flow of the open valve is proportional to absolute pressure.  Valid: full lift; a valve that opens in proportion
    holds a little higher.

    References
    ----------
    [physics] choked flow
    """
    gauge, room = np.asarray(set_pressure, dtype=np.float64), np.asarray(pressure_barometer, dtype=np.float64)
    full = relieving_pressure(set_pressure=gauge, pressure_barometer=room)
    share = np.asarray(delivered, dtype=np.float64) / np.asarray(capacity, dtype=np.float64)
    out: NDArray[np.float64] = np.maximum(full * share - room, gauge)
    return out


def reset_limit(*, stamped_set: ArrayLike) -> NDArray[np.float64]:
    """Return the highest pressure a valve's spring may be reset to.

    Parameters
    ----------
    stamped_set : array_like
        Gauge pressure stamped on the valve. [Pa]

    Returns
    -------
    ndarray
        Gauge pressure. [Pa]

    Notes
    -----
    10 % above the stamp up to 250 psig, 5 % above that.

    References
    ----------
    [california-465]
    """
    stamped = np.asarray(stamped_set, dtype=np.float64)
    out: NDArray[np.float64] = stamped * np.where(stamped <= 250 * PSI * (1 + 1e-9), 1.10, 1.05)
    return out


def valves_required(*, volume: ArrayLike) -> NDArray[np.float64]:
    """Return how many relief valves a receiver must have.

    Parameters
    ----------
    volume : array_like
        Water volume. [m3]

    Returns
    -------
    ndarray
        One, or two above 2000 gallons. [-]

    References
    ----------
    [california-465]
    """
    return np.where(np.asarray(volume, dtype=np.float64) > 2000 * GALLON * (1 + 1e-9), 2.0, 1.0)
