"""Rules about belt, sheaves and guard."""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import UnsuitableNumbers
from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.on_train import (
    fastest_pump_speed,
    hertz_at,
    numbers_of,
    of_each,
    state_of,
    three,
    where,
)
from airfettle.findings.rule import Group, rule
from airfettle.parts.belt import belt_length, wrap_angle
from airfettle.parts.belt_rating import (
    arc_factor,
    belt_margin,
    belts_needed,
    length_factor,
    power_per_belt,
    rated_power,
    ratio_factor,
    service_factor,
)
from airfettle.parts.sheave import (
    datum_diameter,
    minimum_motor_sheave,
    pitch_diameter,
    rim_speed_limit,
    rim_speed_margin,
)
from airfettle.studies.completion.pumping import GROOVES

Array = NDArray[np.float64]
GROUP: Group = "pump and drive train"
LEAST_WRAP = 120.0
"""Arc on the motor sheave below which a V-belt slips sooner than it carries. [deg]  Source: practice."""
HOURS = 5.0
"""Hours of running in a day that the belts are judged for; more asks for more belts. [h]  Source: practice."""
CONVENTIONAL = ("A", "AX", "B", "BX", "Z", "unknown")
"""Sections for which the smallest motor sheave is tabulated; narrow ones have their own."""
RATED = ("A", "AX", "B", "BX", "3V")
"""Sections whose power rating is known."""
NEMA_HERTZ = 55.0
"""Plate frequency from which a motor is taken to have a NEMA frame. [Hz]"""


def _diameters(part: Part) -> tuple[Array, Array] | None:
    """Motor sheave and flywheel as told, or None unless both are. [m]"""
    motor, wheel = part.rows("motor_sheave"), part.rows("pump_sheave")
    return None if motor is None or wheel is None else (motor, wheel)


def _pitch(part: Part, diameter: Array) -> Array:
    if part.fact("diameters") == "pitch":
        return diameter
    return pitch_diameter(outside_diameter=diameter, groove=GROOVES.get(part.fact("section"), "B"))


def _datum(part: Part, diameter: Array) -> Array:
    if part.fact("diameters") == "pitch":
        return diameter
    return datum_diameter(outside_diameter=diameter, groove=GROOVES.get(part.fact("section"), "B"))


def _wrap(part: Part) -> Array | None:
    """Arc of the belt on the smaller sheave, or None where diameters or distance are not told. [rad]"""
    both, distance = _diameters(part), part.rows("centre_distance")
    if both is None or distance is None:
        return None
    small, large = (np.minimum(*both), np.maximum(*both))
    return wrap_angle(small_diameter=small, large_diameter=large, centre_distance=distance)


@rule(
    "motor_sheave_too_small", signal="caution", group=GROUP, title="A motor sheave too small for the motor",
    why="The smaller the sheave, the harder the belt pulls for the same torque: it bends the shaft, eats the bearing "
        "on that side, and the belt cracks.",
    threshold="It holds where the pitch diameter of the motor sheave is below the least that NEMA MG 1 14.42 gives for "
              "conventional V-belts and the motor's plate power, in half of the draw. It is a notice where the belt's "
              "section is not told and for motors of 50 Hz, whose frames are not NEMA's; narrow belts are left out.",
    do="Fit a larger motor sheave and, for the same pump speed, a larger flywheel; or a motor with a larger frame.",
    sources=("nema-mg1-14-42", "nema-mg1-14-42-memory"),
)  # fmt: skip
@of_each("belt")
def motor_sheave_too_small(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a belt drive."""
    sheave, owner = part.rows("motor_sheave"), case.part("motor", train=part.train)
    if sheave is None or owner is None or not owner.told("power") or part.fact("section") not in CONVENTIONAL:
        return None
    motor = numbers_of(case, part).power.motor
    synchronous = 2.0 * three(motor.frequency) / three(motor.poles)
    try:
        least = minimum_motor_sheave(motor_power=three(motor.power), synchronous_speed=synchronous)
    except UnsuitableNumbers:  # larger or slower than the table's motors
        return None
    pitch = _pitch(part, sheave)
    american = float(np.max(motor.frequency)) > NEMA_HERTZ

    def says(at: At) -> str:
        return (
            f"The motor sheave, {part.shown('motor_sheave')}, has a pitch diameter of "
            f"{at.show(three(pitch), kind='length')}; a motor of {owner.shown('power')} wants "
            f"{at.show(three(least), kind='length')} or more."
        )

    return case.likely(
        pitch < least, says=says, parts=(part.path,), rests_on=(part.at("motor_sheave"), owner.at("power")),
        signal="caution" if american and part.fact("section") != "unknown" else "notice",
    )  # fmt: skip


@rule(
    "belt_wraps_too_little", signal="caution", group=GROUP, title="A belt that lies on too little of the motor sheave",
    why="Where a large flywheel stands close to a small sheave, the belt touches little of the sheave and slips, heats "
        "and glazes, however tight it is.",
    threshold="It holds where the belt lies on less than 120 degrees of the smaller sheave in half of the draw.",
    do="Move the motor away from the pump, or fit a larger motor sheave.",
    sources=("belt-factor-tables", "practice"),
)  # fmt: skip
@of_each("belt")
def belt_wraps_too_little(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a belt drive whose sheaves are told."""
    if _diameters(part) is None:
        return None
    wrap = _wrap(part)
    if wrap is None:
        return Verdict(
            "not told", "The distance between the shafts is not told, so nothing is known of the belt's wrap.",
            (part.path,), decided_by=(part.at("centre_distance"),),
            do=f"Measure from shaft to shaft with a tape, locked off, and write down centre_distance under "
               f"[{part.path}].",
        )  # fmt: skip

    def says(at: At) -> str:
        degrees = at.show(three(np.degrees(wrap)), kind="number")
        between = part.shown("centre_distance")
        return f"The belt lies on {degrees} degrees of the smaller sheave, with {between} between the shafts."

    return case.likely(
        np.degrees(wrap) < LEAST_WRAP, says=says, parts=(part.path,), rests_on=(part.at("centre_distance"),)
    )


@rule(
    "too_few_belts", signal="caution", group=GROUP, title="Too few belts for the power",
    why="An overloaded belt slips and heats at the top of the pressure band, stretches, turns over and breaks.",
    threshold="It holds where the power at the motor's shaft, times the service factor of a piston pump run up to 5 "
              "hours a day, is above what the belts carry at any point that the settings reach, in half of the draw. "
              "Sections without an open rating, and drives whose sheaves, distance or number of belts are not told, "
              "are not judged; for 3V, whose rating is from memory, it is a notice.",
    do="Fit the number of belts it needs, as a matched set with sheaves for it, or a notched or larger section.",
    sources=("rma-ip-20", "rma-ip-20-ratio", "rma-ip-22", "rma-service-factor", "belt-factor-tables",
             "belt-catalogue-factors"),
)  # fmt: skip
@of_each("belt")
def too_few_belts(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a belt drive that is told in full."""
    both, section, count = _diameters(part), part.fact("section"), part.fact("count")
    wrap, state, numbers = _wrap(part), state_of(case, part), numbers_of(case, part)
    if both is None or wrap is None or count is None or section not in RATED:
        return None
    datum = [_datum(part, diameter) for diameter in both]
    distance = part.rows("centre_distance")
    assert distance is not None  # there is a wrap
    length = belt_length(small_diameter=np.minimum(*datum), large_diameter=np.maximum(*datum), centre_distance=distance)
    each = power_per_belt(
        rated_power=rated_power(
            small_pitch=_pitch(part, both[0]), small_speed=three(state.motor_speed),
            ratio_factor=ratio_factor(speed_ratio=three(numbers.pump.ratio), section=section), section=section,
        ),
        arc_factor=arc_factor(wrap_angle=wrap), length_factor=length_factor(belt_length=length, section=section),
    )  # fmt: skip
    power = np.asarray(three(state.motor_torque) * 2.0 * pi * three(state.motor_speed))
    hard = int(np.max(numbers.power.motor.phases)) == 1
    factor = service_factor(hours_per_day=HOURS, high_torque_motor=hard)
    margin = belt_margin(power=power, service_factor=factor, power_per_belt=each, belts=count)
    needed = np.max(np.median(belts_needed(power=power, service_factor=factor, power_per_belt=each), axis=0))

    def says(at: At) -> str:
        return (
            f"{where(at, state)} the belt carries {at.show(power, kind='power')}; one {section} belt here is good for "
            f"{at.show(three(each) / factor, kind='power')}, and there "
            f"{'is 1' if count == 1 else f'are {count}'}: it needs {needed:.0f}."
        )

    return case.likely(
        margin < 0.0, how_far=-margin, says=says, parts=(part.path,),
        rests_on=(part.at("motor_sheave"), part.at("centre_distance")),
        signal="notice" if section == "3V" else "caution",
    )  # fmt: skip


@rule(
    "rim_speed", signal="warning", group=GROUP, title="A sheave or flywheel whose rim runs too fast",
    why="A cast-iron rim that runs too fast flies apart, and no belt guard holds it.",
    threshold="It holds where the rim of flywheel or motor sheave runs faster than 33 m/s (6500 ft/min), the limit of "
              "cast iron, at any frequency that the settings reach, in half of the draw.",
    do="Lower the highest frequency, or fit sheaves whose maker allows the speed in writing.",
    sources=("belt-factor-tables",),
)  # fmt: skip
@of_each("belt")
def rim_speed(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a belt drive with a sheave that is told."""
    state, sheave = state_of(case, part), part.rows("motor_sheave")
    margins = [case.margins[part.train].get("rim_speed")]
    if sheave is not None:
        margins.append(rim_speed_margin(outside_diameter=sheave, speed=state.motor_speed))
    known = [three(margin) for margin in margins if margin is not None]
    if not known:
        return None
    margin = known[0] if len(known) == 1 else np.minimum(*known)

    def says(at: At) -> str:
        speed = at.show((1.0 - margin) * rim_speed_limit(), kind="linear_speed")
        limit = case.show(np.full(1, rim_speed_limit()), kind="linear_speed")
        return f"At {hertz_at(at, state)} a rim runs at {speed}; cast iron stands {limit}."

    told = tuple(part.at(name) for name in ("pump_sheave", "motor_sheave") if part.rows(name) is not None)
    return case.likely(margin < 0.0, how_far=-margin, says=says, parts=(part.path,), rests_on=told)


@rule(
    "pump_speed_not_measured", signal="notice", group=GROUP, title="A pump speed that rests on a tape",
    why="Whether the belt runs at the rim of its grooves or below moves the pump's speed by 5 to 10 %, and more where "
        "nobody knows the sheaves.",
    threshold="It holds where neither a tachometer's ratio or pump speed nor pitch diameters are told, only the "
              "outside of both sheaves.",
    do="Before running it at the highest frequency, read a tachometer on motor and pump through the guard, and write "
       "down ratio under the belt.",
    sources=("machinerys-belts",),
)  # fmt: skip
@of_each("belt")
def pump_speed_not_measured(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a belt drive."""
    read = any(reading.what == "pump_speed" and _is_of(case, part, reading.part) for reading in case.plant.reading)
    both, entry = _diameters(part), part.at("ratio")
    if part.told("ratio") or read or (both is not None and part.fact("diameters") == "pitch"):
        return Verdict("clear", "", (part.path,))
    if both is None:
        words = "Neither the ratio nor both sheaves are told: the pump's speed is assumed from its class."
        return Verdict("not told", words, (part.path,), decided_by=(part.at("speed_share"),))
    state, fast = state_of(case, part), fastest_pump_speed(case, part)
    at = At(case, fast.shape[1] - 1, 0)
    words = (
        f"By the outside of its sheaves, {part.shown('motor_sheave')} and {part.shown('pump_sheave')}, the pump turns "
        f"{at.show(three(state.pump_speed), kind='rotational_speed')} at {hertz_at(at, state)}, and up to "
        f"{at.show(fast, kind='rotational_speed')} where the belt runs at the rim."
    )
    return Verdict("holds", words, (part.path,), decided_by=(entry, part.at("pitch_doubt")))


def _is_of(case: Case, part: Part, train: str) -> bool:
    return not train or len(case.trains()) == 1 or part.path.split(".")[1:2] == [train]


@rule(
    "belt_guard_missing", signal="warning", group=GROUP, title="A belt that a hand can reach",
    why="A belt takes a sleeve or a finger into the sheave faster than a hand is drawn back, and the plant starts on "
        "its own.",
    threshold="It holds where belt, sheaves or flywheel can be reached.",
    do="Lock the plant off and build a guard round belt, sheaves and flywheel: mesh on a frame, bolted on, so that air "
       "passes and hands do not.",
    sources=("osha-1910-219",),
)  # fmt: skip
@of_each("belt")
def belt_guard_missing(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a belt drive."""
    return case.asked(part, "guard", bad=("no",), says="The belt is not guarded.")


@rule(
    "guard_stops_the_air", signal="caution", group=GROUP, title="A guard that keeps the flywheel's air from the pump",
    why="The flywheel is the pump's fan: behind closed sheet the cylinders run hot, the oil burns and the valves coke.",
    threshold="It holds where the guard does not let the flywheel's air through to the cylinders.",
    do="Exchange closed sheet before the flywheel's blades for mesh that no finger passes.",
)  # fmt: skip
@of_each("belt")
def guard_stops_the_air(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a belt drive with a guard."""
    if part.fact("guard") != "yes":
        return None
    says = "The guard keeps the flywheel's air from the cylinders."
    return case.asked(part, "guard_lets_air_through", bad=("no",), says=says)
