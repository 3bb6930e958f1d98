"""Rules about what the pump asks of its motor: torque, cooling at low speed, pull-out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.on_train import belted, numbers_of, of_each, state_of, three, where
from airfettle.findings.rule import Group, rule

Array = NDArray[np.float64]
GROUP: Group = "pump and drive train"
ABOVE_BASE = 1.001
"""Frequency over the plate's from which a point counts as above base frequency. [-]"""


def torque_share(case: Case, part: Part) -> Array:
    """Return motor torque over what it may give for long at this frequency, its fan's cooling left aside. [-]

    On the line the plate's service factor counts; on a drive it does not.
    """
    share = 1.0 - case.margins[part.train]["motor_torque"]
    motor = case.part("motor", train=part.train)
    factor = motor.rows("service_factor") if motor and case.direct(part.train) else None
    return np.asarray(share if factor is None else share / factor)


def _slow_and_fast(case: Case, part: Part) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Points up to base frequency, and above it, shape (1, speed, 1)."""
    base = float(np.ravel(numbers_of(case, part).power.motor.frequency)[0])
    above = three(state_of(case, part).frequency)[:1] > ABOVE_BASE * base
    return ~above, above


@rule(
    "motor_overloaded", signal="warning", group=GROUP, title="A motor with too much to turn",
    why="Above its rated torque a motor overheats, its protection stops it in the middle of work, and its winding "
        "ages in months. A piston pump asks for the same torque at any speed, and above base frequency a motor has "
        "less to give.",
    threshold="It holds where the torque at the motor is above what it may give for long, at any frequency and "
              "pressure that the settings reach, in half of the draw. On the line the plate's service factor counts; "
              "on a drive it does not.",
    do="Lower the cut-out pressure, or fit a smaller motor sheave: lower hertz will not help.",
    sources=("airfettle-equations", "variable-speed-notes"),
)  # fmt: skip
@of_each("motor")
def motor_overloaded(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor."""
    state, share = state_of(case, part), torque_share(case, part)
    slow, fast = _slow_and_fast(case, part)
    rests_on, direct = (part.at("power"),), case.direct(part.train)

    def gives(at: At) -> str:
        much = f"the motor gives {at.show(share, kind='fraction')} of what it may for long"
        return f"{where(at, state)} {much} (power {part.shown('power')})."

    def says(at: At) -> str:
        return gives(at) + ("" if direct else " Lower hertz will not help: a piston pump asks for the same torque.")

    found = case.likely(
        (share > 1.0) & slow, how_far=share, says=says, parts=(part.path,), rests_on=rests_on,
        do="" if belted(case, part) and not direct else
           f"Lower the cut-out pressure{', or fit a smaller motor sheave' if belted(case, part) else ''}.",
    )  # fmt: skip
    if found.state != "clear" or not np.any(fast):
        return found
    do = "Limit the highest frequency to the motor's plate frequency; a larger motor sheave gives the same speed only "
    do += "where the motor has torque to spare. Lower the cut-out pressure otherwise."
    return case.likely(
        (share > 1.0) & fast, how_far=share, parts=(part.path,),
        says=lambda at: f"{gives(at)} Above base frequency its torque falls.", rests_on=rests_on, do=do,
    )  # fmt: skip


@rule(
    "motor_fan_too_slow", signal="warning", group=GROUP, title="A motor whose own fan turns too slowly",
    why="The fan on a motor's shaft cools full torque only down to about half speed. A pump asks for full torque at "
        "any speed, so a slow motor cooks without drawing more amps, and no overload notices.",
    threshold="It holds, for a motor on a drive that is not made for one, where the torque is above what its own fan "
              "cools at a low frequency that the settings reach, though not above the motor's rated torque, in half of "
              "the draw. It is a notice where it is not told whether the motor is made for a drive.",
    do="Raise the lowest frequency, fit a fan of its own supply to the motor, or run slowly only for short times; a "
       "switch in the winding that stops the drive guards it.",
    sources=("nema-mg1-memory", "practice"),
)  # fmt: skip
@of_each("motor")
def motor_fan_too_slow(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor that cools itself, on a drive."""
    if case.direct(part.train) or not numbers_of(case, part).power.self_fanned:
        return None
    state = state_of(case, part)
    cooled, torque = 1.0 - case.margins[part.train]["motor_cooling"], torque_share(case, part)

    def says(at: At) -> str:
        turns = f"{where(at, state)} the motor gives {at.show(torque, kind='fraction')} of its rated torque"
        return f"{turns}; its own fan cools {at.show(three(state.cooling_torque_share), kind='fraction')} there."

    known = part.fact("inverter_duty") == "no" or part.told("cooling_floor")
    read = f"Read the plate for words such as inverter duty, and write down inverter_duty under [{part.path}]; then "
    read += "raise the lowest frequency or give the motor a fan of its own supply."
    return case.likely(
        (cooled > 1.0) & (torque <= 1.0), how_far=cooled, says=says, parts=(part.path,),
        rests_on=(part.at("power"),), signal="warning" if known else "notice", do="" if known else read,
    )  # fmt: skip


@rule(
    "motor_pulls_out", signal="warning", group=GROUP, title="A motor that may stall",
    why="Beyond its pull-out torque a motor stops within a turn and draws many times its amps. Pull-out falls with the "
        "square of frequency above base frequency, and with low volts.",
    threshold="It holds where the torque at the motor is above its pull-out torque at any frequency and pressure that "
              "the settings reach, in half of the draw.",
    do="Lower the highest frequency or the cut-out pressure, fit a smaller motor sheave, or join the motor for the "
       "volts there are.",
    sources=("airfettle-equations", "nema-mg1"),
)  # fmt: skip
@of_each("motor")
def motor_pulls_out(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor."""
    state = state_of(case, part)

    def says(at: At) -> str:
        share = at.show(three(state.pull_out_share), kind="fraction")
        return f"{where(at, state)} the pump asks for {share} of the torque at which the motor stalls."

    over = three(state.pull_out_share)
    return case.likely(over > 1.0, how_far=over, says=says, parts=(part.path,), rests_on=(part.at("power"),))
