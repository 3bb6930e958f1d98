"""Tools and nozzles: the air they take while they run, by kind, by bore or by stroke."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.air.constants import R_DRY_AIR, STANDARD_PRESSURE
from airfettle.air.nozzle import nozzle_mass_flow
from airfettle.errors import UnknownTableEntry
from airfettle.quantity.kinds import CFM, DRY_AIR_SCFM, INCH, LBF_PER_IN2

Array = NDArray[np.float64]

ToolKind = Literal[
    "sander", "polisher", "die grinder", "angle grinder", "drill", "saw", "impact wrench", "ratchet wrench",
    "nailer or stapler", "air hammer", "needle scaler", "HVLP spray gun", "spray gun", "airbrush",
    "blow gun", "pressure blast nozzle", "siphon blast gun", "glass bead blaster", "tyre inflator", "diaphragm pump",
    "vacuum ejector", "clamp or vice", "automatic machine", "unknown",
]  # fmt: skip
"""Kinds of tool, those of the table ``tool_air``."""

SHOP_TEMPERATURE = 293.15
"""Temperature of the air at a tool where nothing else is said. [K]  Source: iso-8778."""

CFM_OF_TABLES = DRY_AIR_SCFM * CFM
"""What a cubic foot a minute of a tool's table is taken for. [kg/s]  Source: practice."""


@dataclass(frozen=True)
class Tool:
    """What is known of a kind of tool.

    Attributes
    ----------
    kind : str
        One of kinds(). [text]
    air : tuple of float
        Least and most air while it runs, as mass of dry air. [kg/s]
    pressure : float
        Gauge pressure at its inlet that the air is for. [Pa]
    runs : tuple of float
        Least and most share of the time that such a tool in use is commonly running. [-]
    open_nozzle : bool
        It blows through an open bore, so that its air follows the pressure.
    air_quality : str
        The use of the air by purity, or ``unknown``. [text]
    source, sure : str
        Key of the source of the row, and how sure it is. [text]
    """

    kind: str
    air: tuple[float, float]
    pressure: float
    runs: tuple[float, float]
    open_nozzle: bool
    air_quality: str
    source: str
    sure: str

    @property
    def air_text(self) -> str:
        """The air as it would stand in a plant file. [text]"""
        low, high = (f"{flow / CFM_OF_TABLES:.4g}" for flow in self.air)
        return f"{low}..{high} cfm"

    @property
    def pressure_text(self) -> str:
        """The pressure as it would stand in a plant file. [text]"""
        return f"{self.pressure / LBF_PER_IN2:.4g} psi"


def kinds() -> tuple[str, ...]:
    """Return the kinds of tool that tool_of knows, ``unknown`` last.

    Returns
    -------
    tuple of str
        Kinds of tool. [text]

    References
    ----------
    [practice]
    """
    return tables.load("tool_air").words("kind")


def tool_of(tool: str) -> Tool:
    """Return what is known of a kind of tool.

    Parameters
    ----------
    tool : str
        One of kinds(). [text]

    Returns
    -------
    Tool
        Air while it runs, its pressure, how much it runs. [SI]

    Raises
    ------
    UnknownTableEntry
        The kind is not in the table.

    Notes
    -----
    Valid: tools of common size.  The spread is that of makes and sizes; a tool's own sheet or plate is always better.

    References
    ----------
    [tool-air-tables]; [cagi-handbook-4] table 4.4
    """
    table = tables.load("tool_air")
    if tool not in kinds():
        raise UnknownTableEntry(read=tool, where=table.title, wanted=f"one of: {', '.join(kinds())}")
    row = kinds().index(tool)

    def number(column: str) -> float:
        return float(table.numbers(column)[row])

    return Tool(
        tool,
        air=(number("air, least") * CFM_OF_TABLES, number("air, most") * CFM_OF_TABLES),
        pressure=number("pressure") * LBF_PER_IN2,
        runs=(number("runs, least") / 100.0, number("runs, most") / 100.0),
        open_nozzle=table.words("open nozzle")[row] == "yes",
        air_quality=table.words("air quality")[row],
        source=table.words("source")[row],
        sure=table.words("sure")[row],
    )


def nozzle_air(
    bore: ArrayLike,
    *,
    pressure: ArrayLike,
    discharge_coefficient: ArrayLike = 1.0,
    temperature: ArrayLike = SHOP_TEMPERATURE,
    atmosphere: ArrayLike = STANDARD_PRESSURE,
) -> Array:
    """Return the air that an open nozzle takes.

    Parameters
    ----------
    bore : array_like
        Diameter of its narrowest place. [m]
    pressure : array_like
        Absolute pressure at its inlet, while it blows. [Pa]
    discharge_coefficient : array_like
        Flow over that of an ideal nozzle. [-]
    temperature : array_like
        Temperature at its inlet. [K]
    atmosphere : array_like
        Absolute pressure it blows into. [Pa]

    Returns
    -------
    ndarray
        Mass flow of dry air. [kg/s]

    Notes
    -----
    Ideal nozzle times a coefficient.  Valid: air alone, an inlet wide against the bore.  Of a nozzle through which
    abrasive goes it reads high with the coefficient of the bare nozzle: 0.75 to 0.85 fits what was measured while
    blasting.

    References
    ----------
    [physics]; [blast-nozzle-table]
    """
    area = 0.25 * np.pi * np.square(np.asarray(bore, dtype=np.float64))
    return nozzle_mass_flow(
        area,
        pressure=pressure,
        temperature=temperature,
        downstream_pressure=atmosphere,
        discharge_coefficient=discharge_coefficient,
    )


def printed_blast_air(bore: ArrayLike, *, gauge_pressure: ArrayLike) -> Array:
    """Return the air that a pressure blast nozzle takes while blasting, by the printed table.

    Parameters
    ----------
    bore : array_like
        Diameter of the nozzle. [m]
    gauge_pressure : array_like
        Gauge pressure at the nozzle. [Pa]

    Returns
    -------
    ndarray
        Mass flow of dry air. [kg/s]

    Notes
    -----
    Between rows the flow for an area, between columns the flow, is a straight line.  Valid: 1/8 to 3/8 in and 50 to
    125 psi (3.4 to 8.6 bar); outside, the nearest row and the nearest column's flow for a unit of absolute pressure.

    References
    ----------
    [blast-nozzle-table]
    """
    table = tables.load("tool_blast_nozzles")
    names = [name for name in table.columns if name.endswith(" psi")]
    pressures = np.array([float(name.partition(" ")[0]) for name in names]) * LBF_PER_IN2
    bores = table.numbers("bore") * INCH
    width, gauge = np.broadcast_arrays(np.asarray(bore, dtype=np.float64), np.asarray(gauge_pressure, dtype=np.float64))
    square = np.square(np.clip(width, bores[0], bores[-1]))
    inside = np.clip(gauge, pressures[0], pressures[-1])
    by_area = [table.numbers(name) * CFM_OF_TABLES / np.square(bores) for name in names]
    columns = np.stack([np.interp(square, np.square(bores), flows) for flows in by_area])
    place = np.clip(np.searchsorted(pressures, inside) - 1, 0, len(names) - 2)
    along = (inside - pressures[place]) / (pressures[place + 1] - pressures[place])
    low, high = (np.take_along_axis(columns, (place + step)[None], axis=0)[0] for step in (0, 1))
    outside = (gauge + STANDARD_PRESSURE) / (inside + STANDARD_PRESSURE)
    return np.asarray((low + along * (high - low)) * np.square(width) * outside)


def load_factor_air(air: ArrayLike, *, count: ArrayLike, load: ArrayLike) -> Array:
    """Return the mean air of several like tools by the method of the load factor.

    Parameters
    ----------
    air : array_like
        Air that one takes while it runs at full work. [kg/s]
    count : array_like
        How many there are. [-]
    load : array_like
        Load factor: share of the time it runs, times its work over full work. [-]

    Returns
    -------
    ndarray
        Mean mass flow of dry air. [kg/s]

    Notes
    -----
    A B C / 100, B in per cent.  Valid: a mean over hours.  It says nothing of how many run at once, so what the pump
    can give and what the receiver must hold cannot be judged by it.

    References
    ----------
    [cagi-handbook-4] table 4.4
    """
    return np.asarray(np.asarray(air, dtype=np.float64) * np.asarray(count) * np.asarray(load))


def cylinder_air(
    bore: ArrayLike,
    *,
    stroke: ArrayLike,
    rod: ArrayLike = 0.0,
    pressure: ArrayLike,
    return_pressure: ArrayLike | None = None,
    dead_volume: ArrayLike = 0.0,
    temperature: ArrayLike = SHOP_TEMPERATURE,
    atmosphere: ArrayLike = STANDARD_PRESSURE,
) -> Array:
    """Return the air that a cylinder of a clamp, vice or machine takes for one stroke out and back.

    Parameters
    ----------
    bore, stroke, rod : array_like
        Diameter of the piston, its travel, and diameter of its rod. [m]
    pressure : array_like
        Absolute pressure that pushes it out. [Pa]
    return_pressure : array_like, optional
        Absolute pressure that pushes it back; as much as out if left out, the atmosphere where a spring does. [Pa]
    dead_volume : array_like
        Volume of hose and ports that is filled and let out on each side. [m3]
    temperature : array_like
        Temperature of the air. [K]
    atmosphere : array_like
        Absolute pressure that each side falls to. [Pa]

    Returns
    -------
    ndarray
        Mass of dry air for one stroke out and back. [kg]

    Notes
    -----
    Each side is filled from atmosphere in its dead volume, and from nothing in what the piston sweeps:
    ((V + V_d) p - V_d p_a) / (R T); a spring's side takes none.  Valid: slow strokes, no leak; a quick stroke is let
    out before it has filled, and this then reads high.

    References
    ----------
    [physics]
    """
    p, back = np.asarray(pressure, dtype=np.float64), pressure if return_pressure is None else return_pressure
    dead, outside = np.asarray(dead_volume, dtype=np.float64), np.asarray(atmosphere, dtype=np.float64)
    travel = 0.25 * np.pi * np.asarray(stroke, dtype=np.float64)
    out, home = travel * np.square(bore), travel * (np.square(bore) - np.square(rod))
    filled_out = (out + dead) * p - dead * outside
    filled_home = (home + dead) * np.asarray(back, dtype=np.float64) - dead * outside
    by_air = np.asarray(back) > outside
    return np.asarray((filled_out + np.where(by_air, filled_home, 0.0)) / (R_DRY_AIR * np.asarray(temperature)))
