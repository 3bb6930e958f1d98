"""What the limits of one train compare against: as told, or by class where nothing is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import R_DRY_AIR
from airfettle.parts.conductor import ampacities, areas
from airfettle.parts.sheave import riding_diameter, rim_speed_limit
from airfettle.plant.receiver import ReliefValve
from airfettle.plant.whole import Train
from airfettle.studies.completion.pumping import GROOVES
from airfettle.studies.completion.whole import PlantNumbers, TrainNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.meaning import value

Array = NDArray[np.float64]

PISTON_SPEED = 4.0
"""Mean piston speed that a workshop pump is built for at most. [m/s]  Source: practice."""
HOTTEST = {1: 478.15, 2: 450.15}
"""Discharge temperature to stay below where no limit is told, by stages: 205 and 177 degC. [K]  Source: practice."""
MOST_FLUCTUATION = 0.20
"""Speed fluctuation within a turn beyond which the flywheel is too light. [-]  Source: practice."""


@dataclass(frozen=True)
class LimitNumbers:
    """Limits of one train and of the path behind it; None where nothing is told and nothing is assumed. [SI]"""

    fastest_ratio: Array = value("motor turns for one pump turn, the belt where the pump turns fastest", "number",
                                 "i_min")  # fmt: skip
    lowest_pump_speed: Array = value("the pump's lowest speed, as told or assumed", "rotational_speed", "N_min")
    stroke: Array = value("stroke of the first stage", "length", "s")
    piston_speed_limit: Array = value("mean piston speed allowed", "linear_speed", "u_max", sources=("practice",))
    flywheel_diameter: Array | None = value("outside diameter of the flywheel", "length", "d_w")
    rim_speed_limit: Array = value("rim speed allowed, cast iron", "linear_speed", "u_r", sources=("practice",))
    discharge_limit: Array | None = value("hottest air allowed at the pump's outlet, as told", "temperature", "T_max")
    fluctuation_limit: Array = value("speed fluctuation allowed", "fraction", "C_max", sources=("practice",))
    drive_input_limit: Array | None = value("input amps on the drive's plate", "current", "I_in")
    breaker_rating: Array | None = value("rating of the breaker or fuses", "current", "I_b")
    wire_ampacity: Array | None = value("amps the supply wires may carry", "current", "I_z", sources=("nec",))
    relief_capacity: Array | None = value("dry air the relief valves pass", "mass_flow", "m_v")
    swept_density: Array = value("density of the coldest air drawn in", "number", "rho")
    separator_lowest: Array | None = value("least air the separator separates well", "mass_flow", "m_lo")
    separator_highest: Array | None = value("most air the separator separates well", "mass_flow", "m_hi")
    plant_dry_air: Array = value("dry air of all trains", "mass_flow", "m")


def limit_numbers(draw: Draw, numbers: PlantNumbers, *, place: int, dry_air: Array) -> LimitNumbers:
    """Return the limits of one train.

    Parameters
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant, drawn and with its gaps filled. [SI]
    place : int
        Which train. [-]
    dry_air : ndarray
        Delivered by all trains together. [kg/s]
    """
    train, filled = draw.plant.trains[place], numbers.trains[place]
    pump, drive, supply, separator = filled.pump.part, train.drive, train.supply, draw.plant.separator
    assert drive is not None
    assert supply is not None
    there = separator is not None and not separator.absent
    return LimitNumbers(
        fastest_ratio=_fastest_ratio(train, filled), lowest_pump_speed=_lowest(pump),
        stroke=filled.pump.cylinders[0].stroke, piston_speed_limit=np.array(PISTON_SPEED),
        flywheel_diameter=None if train.belt is None or train.belt.absent else train.belt.pump_sheave,
        rim_speed_limit=np.array(rim_speed_limit()),
        discharge_limit=pump.discharge_limit,
        fluctuation_limit=np.array(MOST_FLUCTUATION),
        drive_input_limit=None if drive.absent else drive.rated_input_current,
        breaker_rating=supply.breaker, wire_ampacity=_ampacity(supply.wire, us=draw.plant.about.units == "US"),
        relief_capacity=_relief(draw), swept_density=_density(draw),
        separator_lowest=separator.lowest_flow if there and separator is not None else None,
        separator_highest=separator.highest_flow if there and separator is not None else None,
        plant_dry_air=dry_air,
    )  # fmt: skip


def _fastest_ratio(train: Train[Array], filled: TrainNumbers) -> Array:
    """Ratio with the belt where the pump turns fastest: diameters by tape leave it open until a tachometer reads."""
    belt = train.belt
    measured = belt is not None and not belt.absent and belt.motor_sheave is not None and belt.pump_sheave is not None
    if belt is None or not measured or belt.ratio is not None or belt.diameters == "pitch":
        return filled.pump.ratio
    groove = GROOVES.get(belt.section, "B")
    ratios = []
    for share in (0.0, 1.0):
        wheel, motor = (
            riding_diameter(outside_diameter=d, groove=groove, share=share)
            for d in (belt.pump_sheave, belt.motor_sheave)
            if d is not None
        )
        ratios.append(np.asarray(wheel / motor))
    return np.asarray(np.minimum(*ratios))


def _lowest(pump: Any) -> Array:
    """Lowest speed of a pump: as told, or the larger of a share of its highest and what any such pump needs. [1/s]"""
    if pump.minimum_speed is not None:
        return np.asarray(pump.minimum_speed)
    return np.asarray(np.maximum(pump.lowest_share * pump.maximum_speed, pump.lowest_anyhow))


def _ampacity(wire: Array | None, *, us: bool) -> Array | None:
    """Amps a supply wire may carry at 30 degC, by the code of the owner's units. [A]"""
    if wire is None:
        return None
    system = "nec-75" if us else "iec-b2"
    return np.asarray(np.interp(wire, areas(system), ampacities(system)))


def _relief(draw: Draw) -> Array | None:
    """Capacity of all relief valves that protect the receiver, where every one of them is told. [kg/s]"""
    valves = [v for v in draw.plant.relief_valve if not v.absent and _on_receiver(v)]
    told = [v.capacity for v in valves if v.capacity is not None]
    return np.asarray(sum(told)) if told and len(told) == len(valves) else None


def _on_receiver(valve: ReliefValve[Array]) -> bool:
    return valve.protects in ("receiver", "unknown")


def _density(draw: Draw) -> Array:
    """Density of the air drawn in, dry, on the coldest day the site entry allows. [kg/m3]"""
    site = draw.plant.site
    assert site is not None
    coldest = np.min(site.room_temperature)
    return np.asarray(draw.barometer / (R_DRY_AIR * coldest))
