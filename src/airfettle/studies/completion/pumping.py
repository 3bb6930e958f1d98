"""Belt and pump as numbers; a pump known only by its plate is solved backwards, row by row."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle import tables
from airfettle.air.constants import STANDARD_PRESSURE
from airfettle.air.cylinder import bore_for_swept_volume, swept_volume
from airfettle.parts.sheave import riding_diameter
from airfettle.plant.belt import Belt
from airfettle.plant.pump import Pump, Stage
from airfettle.quantity.kinds import LBF_PER_IN2
from airfettle.studies.completion.power import PowerNumbers

Array = NDArray[np.float64]

GROOVES = {"A": "A", "AX": "A", "B": "B", "BX": "B", "Z": "Z", "SPZ": "SPZ", "SPA": "SPA", "SPB": "SPB", "3V": "3V"}
"""Belt section -> groove it runs in; a section that is not told is taken as B, the wider uncertainty."""

FLYWHEEL_DIAMETER, FLYWHEEL_VOLUME = 0.40, 0.8e-3
"""A flywheel nobody measured, for a pump of a swept volume; others as the cube root. [m] [m3]  Source: practice."""
ROD_RATIO = 0.25
"""Crank radius over rod length where nobody measures it. [-]  Source: practice."""
PISTON_MASS_FACTOR = 800.0
"""Reciprocating mass of a cylinder over bore cubed, where not told. [kg/m3]  Source: practice."""

PHASES: dict[str, tuple[float, ...]] = {
    "one cylinder": (0.0,), "parallel, cranks opposed": (0.0, np.pi), "parallel, cranks together": (0.0, 0.0),
    "V": (0.0, np.pi / 2), "W": (0.0, np.pi / 3, -np.pi / 3),
}  # fmt: skip
"""Layout -> crank angle at which each cylinder stands at the top. [rad]"""


@dataclass(frozen=True)
class Cylinders:
    """The cylinders of one stage: number, bore, stroke, reciprocating mass of each. [-] [m] [m] [kg]"""

    count: int
    bore: Array
    stroke: Array
    mass: Array


@dataclass(frozen=True)
class PumpNumbers:
    """Belt and pump, shape (draw, 1, 1) unless a plain number. [SI]

    Attributes
    ----------
    stages : int
        1 or 2.
    ratio, creep, belt_efficiency : ndarray
        Motor turns for one pump turn without creep, creep, efficiency. [-]
    displacement, second_displacement : ndarray
        Swept in one turn by each stage; the second is 0 for one stage. [m3]
    displacement_from : str
        What the displacement rests on, in words.
    rated_speed, maximum_speed : ndarray
        [1/s]
    cylinders : tuple of Cylinders
        One for each stage.
    phases : tuple of float
        Crank angles of all cylinders, first stage first. [rad]
    flywheel_inertia : ndarray
        [kg m2]
    wall_conductance : ndarray or None
        From head and cylinders to the room at rated speed; None while it is being found. [W/K]
    part : Pump
        The other entries as drawn.
    """

    stages: int
    ratio: Array
    creep: Array
    belt_efficiency: Array
    displacement: Array
    second_displacement: Array
    displacement_from: str
    rated_speed: Array
    maximum_speed: Array
    cylinders: tuple[Cylinders, ...]
    phases: tuple[float, ...]
    flywheel_inertia: Array
    wall_conductance: Array | None
    part: Pump[Array]


def belt_ratio(belt: Belt[Array], *, pump: Pump[Array], power: PowerNumbers) -> tuple[Array, Array, Array]:
    """Return ratio, creep and efficiency of the belt; a pump on the motor's shaft has 1, 0 and 1. [-]"""
    if belt.absent:
        return np.ones(1), np.zeros(1), np.ones(1)
    if belt.ratio is not None:
        ratio = belt.ratio
    elif belt.motor_sheave is not None and belt.pump_sheave is not None:
        ratio = _running(belt, belt.pump_sheave) / _running(belt, belt.motor_sheave)
    else:
        ratio = power.motor.rated_speed / (belt.speed_share * pump.maximum_speed)
    return np.asarray(ratio), belt.creep, belt.efficiency


def _running(belt: Belt[Array], diameter: Array) -> Array:
    if belt.diameters == "pitch":
        return diameter
    groove = GROOVES.get(belt.section, "B")
    return np.asarray(riding_diameter(outside_diameter=diameter, groove=groove, share=belt.pitch_doubt))


def rated_speed(pump: Pump[Array]) -> Array:
    """Return the speed of the pump's rated figures: as told, as its delivery statement says, or its highest. [1/s]"""
    if pump.rated_speed is not None:
        return pump.rated_speed
    stated = [r.speed for r in pump.rated if r.speed is not None]
    return stated[0] if stated else pump.maximum_speed


def stroke_of(stage: Stage[Array], *, first: Stage[Array] | None = None) -> Array | None:
    """Return a stage's stroke: its own, the first's (one crank), or from its bore; None where none is told. [m]"""
    if stage.stroke is not None:
        return stage.stroke
    if first is not None and (found := stroke_of(first)) is not None:
        return found
    return None if stage.bore is None else np.asarray(stage.stroke_over_bore * stage.bore)


def swept(stage: Stage[Array] | None, *, first: Stage[Array] | None, cylinders: int) -> Array | None:
    """Return the volume swept by a stage's cylinders in one turn, or None where no bore is told. [m3]"""
    if stage is None or stage.bore is None:
        return None
    stroke = stroke_of(stage, first=first)
    return None if stroke is None else swept_volume(stage.bore, stroke=stroke, cylinders=stage.cylinders or cylinders)


def told_displacement(pump: Pump[Array]) -> tuple[Array, str] | None:
    """Return the displacement that bore and stroke, or the plate, give directly; None where neither is told."""
    default = 1 if pump.stages == 2 else 2
    by_tape = swept(pump.first_stage, first=None, cylinders=default)
    if by_tape is not None:
        return by_tape, "bore and stroke"
    if pump.displacement is not None:
        return pump.displacement, "displacement as told"
    if pump.displacement_flow is not None:
        return pump.displacement_flow / rated_speed(pump), "piston displacement on the plate"
    return None


def displacement_from_motor(pump: Pump[Array], *, power: PowerNumbers, cut_out: Array, speed: Array) -> Array:
    """Return a displacement that the motor could turn, where nothing but the motor is known. [m3]

    Notes
    -----
    V = share x 0.95 P / (N w), N the pump's speed at the motor's rated one, w the work for each litre swept at the
    cut-out pressure.
    """
    table = tables.load("pump_work_per_litre")
    rows = table.numbers("stages") == pump.stages
    pressures = table.numbers("pressure")[rows] * LBF_PER_IN2
    work = np.interp(cut_out - STANDARD_PRESSURE, pressures, table.numbers("work")[rows]) * 1e3
    return np.asarray(pump.displacement_share * 0.95 * power.motor.power / (speed * work))


def second_displacement(pump: Pump[Array], first: Array) -> Array:
    """Return the volume swept by the second stage: bore by tape, or by the usual ratio; 0 for one stage. [m3]"""
    if pump.stages == 1:
        return np.zeros(1)
    by_tape = swept(pump.second_stage, first=pump.first_stage, cylinders=1)
    return by_tape if by_tape is not None else first / pump.stage_ratio


def cylinders(pump: Pump[Array], *, first: Array, second: Array) -> tuple[Cylinders, ...]:
    """Return the cylinders of each stage with bore and stroke that sweep the displacement."""
    one = pump.layout == "one cylinder"
    count = (pump.first_stage.cylinders if pump.first_stage else None) or (1 if one or pump.stages == 2 else 2)
    found = [_stage_cylinders(pump, pump.first_stage, first, count, None)]
    if pump.stages == 2:
        count = (pump.second_stage.cylinders if pump.second_stage else None) or 1
        found.append(_stage_cylinders(pump, pump.second_stage, second, count, found[0].stroke))
    return tuple(found)


def _stage_cylinders(
    pump: Pump[Array], stage: Stage[Array] | None, volume: Array, count: int, stroke: Array | None
) -> Cylinders:
    assert stage is not None  # the draw puts a section for each stage
    stroke = stage.stroke if stage.stroke is not None else stroke
    ratio = stage.stroke_over_bore
    if stroke is None:
        bore = np.asarray(bore_for_swept_volume(volume / count, stroke_over_bore=ratio))
        stroke = np.asarray(ratio * bore)
    else:
        bore = np.sqrt(4.0 * volume / (np.pi * stroke * count))
    mass = pump.reciprocating_mass if pump.reciprocating_mass is not None else PISTON_MASS_FACTOR * bore**3
    return Cylinders(count, bore, stroke, mass)


def crank_phases(pump: Pump[Array], stages: tuple[Cylinders, ...]) -> tuple[float, ...]:
    """Return a crank angle for every cylinder: by the layout, else spread evenly over the turn. [rad]"""
    count = sum(stage.count for stage in stages)
    angles = PHASES.get(pump.layout, ())
    if len(angles) == count:
        return angles
    return tuple(2.0 * np.pi * i / count for i in range(count))


def flywheel(belt: Belt[Array], *, pump: Pump[Array], displacement: Array) -> Array:
    """Return the flywheel's inertia: as told, or from its diameter to the fifth. [kg m2]"""
    if pump.flywheel_inertia is not None:
        return pump.flywheel_inertia
    diameter = belt.pump_sheave
    if diameter is None:
        diameter = FLYWHEEL_DIAMETER * np.cbrt(displacement / FLYWHEEL_VOLUME)
    return np.asarray(pump.flywheel_factor * diameter**5)
