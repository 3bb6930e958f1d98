"""What a pipe bears at a temperature, and how far apart it is held up."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.parts.pipe_stock.material import JOINTS, entry
from airfettle.parts.pipe_stock.stock import LENGTHS, Stock
from airfettle.quantity.kinds import FOOT, INCH, LBF_PER_IN2

Array = NDArray[np.float64]

BARE_SUPPORTS = 3.0 * FOOT
"""Spacing of supports of plastic pipe of which only the bore is told. [m]  Source: irc-p2605."""

WALL_TOLERANCE = 0.1
"""Share of its wall by which copper tube may be thinner than named. [-]  Source: astm-b88."""

SMALL_JOINT = 1.2 * INCH
"""Outside diameter between copper tube of 1 and of 1-1/4 in, where the rating of joints steps down. [m]"""

_PRESSURES = {"psi": LBF_PER_IN2, "bar": 1e5}


def tube_pressure(stock: Stock, *, temperature: ArrayLike) -> Array:
    """Return the pressure that copper tube itself may carry where it has been made soft by brazing.

    Parameters
    ----------
    stock : Stock
        Copper tube. [SI]
    temperature : array_like
        Temperature of the tube. [K]

    Returns
    -------
    ndarray
        Gauge pressure; 0 above the highest temperature of the table, and for other pipe. [Pa]

    Notes
    -----
    Types L and M as printed for 100 degF, tube in millimetres by p = 2 S t / (D - 0.8 t) with its thinnest wall t;
    both go with the printed stress S.  Valid: up to 400 degF (204 degC).

    References
    ----------
    [copper-tube-handbook]; [en-1057]; walls: [astm-b88]
    """
    warm = np.asarray(temperature, dtype=np.float64)
    if not stock.material.startswith("copper"):
        return np.zeros_like(warm)
    stress = tables.load("pipe_stress_copper")
    at, allowed = _kelvin(stress.numbers("temperature"), "degF"), stress.numbers("stress") * LBF_PER_IN2
    table = tables.load(entry(stock.material, column="table"))
    if "annealed" in table.columns:
        cool = float(table.numbers("annealed")[table.words("size").index(stock.size)]) * LBF_PER_IN2
    else:
        wall = (1.0 - WALL_TOLERANCE) * stock.wall
        cool = float(2.0 * allowed[0] * wall / (stock.outside - 0.8 * wall))
    return np.asarray(np.interp(warm, at, cool * allowed / allowed[0], right=0.0))


def rated_pressure(stock: Stock, *, temperature: ArrayLike) -> Array:
    """Return the pressure a pipe with its usual joints is rated for.

    Parameters
    ----------
    stock : Stock
        A pipe. [SI]
    temperature : array_like
        Temperature of pipe and air, the warmer of the two. [K]

    Returns
    -------
    ndarray
        Gauge pressure; 0 where there is no rating: above the highest temperature of the table, for PVC, and for
        plastic of which its maker has to say (``rating_known`` tells these apart). [Pa]

    Notes
    -----
    The weaker of tube and joint, a straight line between printed temperatures, constant below the lowest.  Threaded
    steel by class 150 fittings.  Valid: pipe in good order, joints of the kind named; rust, dents and hammering air ask
    for less.

    References
    ----------
    [asme-b16-3]; [copper-tube-handbook]; [asme-b31-9-solder]; [astm-f876]; stainless, aluminium, hose: [practice]
    """
    warm = np.asarray(temperature, dtype=np.float64)
    name = entry(stock.material, column="rating")
    if not name:
        return np.zeros_like(warm)
    table = tables.load(name)
    at = _kelvin(table.numbers("temperature"), table.columns["temperature"].unit)
    column = _rating_column(stock, tuple(table.columns))
    printed = table.numbers(column) * _PRESSURES[table.columns[column].unit]
    if stock.material.startswith("copper"):
        tube = tube_pressure(stock, temperature=at)
        held = ~np.isnan(printed) if "brazed" not in column else np.ones(len(at), dtype=np.bool_)
        printed = np.fmin(printed, tube)
    else:
        held = ~np.isnan(printed)
    return np.asarray(np.interp(warm, at[held], printed[held], right=0.0))


def support_spacing(stock: Stock) -> float:
    """Return the greatest spacing of supports of a level pipe.

    Parameters
    ----------
    stock : Stock
        A pipe. [SI]

    Returns
    -------
    float
        Spacing. [m]

    Notes
    -----
    Valid: straight pipe; tables are for pipe full of water, so air pipe hangs straighter than they ask.  A valve or a
    filter wants a support of its own.

    References
    ----------
    [mss-sp-58]; [irc-p2605]; [din-1988-supports]; aluminium and hose: [practice]
    """
    name = entry(stock.material, column="table")
    if not name or stock.size not in tables.load(name).words("size"):
        return BARE_SUPPORTS
    table = tables.load(name)
    row = table.words("size").index(stock.size)
    return float(table.numbers("supports")[row]) * LENGTHS[table.columns["supports"].unit]


def _rating_column(stock: Stock, columns: tuple[str, ...]) -> str:
    """The column of its table of ratings that holds for a pipe."""
    if stock.material.startswith("copper"):
        joint = next((joint for joint in JOINTS if stock.material.endswith(joint)), "soldered")
        return f"{joint}, to {'1 in' if stock.outside < SMALL_JOINT else '2 in'}"
    kind = stock.material.partition(" ")[0]
    return kind if kind in columns else "rating"


def _kelvin(temperature: Array, unit: str) -> Array:
    return np.asarray((temperature + 459.67) / 1.8 if unit == "degF" else temperature + 273.15)
