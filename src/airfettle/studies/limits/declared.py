"""The limits themselves: a margin each, as an equation in names of a train's state and of its limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Cure = Literal["slower", "faster", "either", "neither"]


@dataclass(frozen=True)
class Limit:
    """One limit of a train.

    Attributes
    ----------
    name, label : str
        Its id, and the trade's words.
    equation : str
        The margin, a share of the limit, negative beyond it; in names of TrainState, PathState and LimitNumbers.
    entries : tuple of str
        Entries of the plant that set the limit, below their train.
    cure : str
        Whether running slower, faster, either or neither heals it.
    ends : bool
        Bounds the speed window; others only warn.
    sources : tuple of str
        Keys of the bibliography.
    note : str
        What the owner should know of it.
    """

    name: str
    label: str
    equation: str
    entries: tuple[str, ...] = ()
    cure: Cure = "slower"
    ends: bool = True
    sources: tuple[str, ...] = ("practice",)
    note: str = ""


LIMITS = (
    Limit("pump_overspeed", "the pump's highest speed",
          "1 - pump_speed * belt_ratio / fastest_ratio / maximum_pump_speed", ("pump.maximum_speed",),
          note="judged with the belt where it turns the pump fastest, until a tachometer settles it"),
    Limit("piston_speed", "mean piston speed", "1 - 2 * stroke * pump_speed / piston_speed_limit",
          ("pump.first_stage.stroke",)),
    Limit("rim_speed", "rim speed of the flywheel",
          "1 - pi * flywheel_diameter * pump_speed / rim_speed_limit", ("belt.pump_sheave",)),
    Limit("motor_torque", "the motor's torque", "1 - motor_torque_share * cooling_torque_share", ("motor.power",),
          "either", sources=("airfettle-equations",),
          note="a piston pump asks for the same torque at any speed: lower hertz does not cure it"),
    Limit("motor_cooling", "the motor's own fan", "1 - motor_torque_share", ("motor.cooling_floor",), "faster",
          note="slow, its fan no longer cools full torque"),
    Limit("pull_out", "what the motor can hold at all", "1 - pull_out_share", ("motor.breakdown_ratio",), "either",
          sources=("airfettle-equations",)),
    Limit("drive_output", "amps the drive may put out", "1 - drive_output_share",
          ("drive.rated_output_current", "drive.single_phase_output_current"), "either"),
    Limit("drive_input", "input amps of the drive", "1 - supply_current / drive_input_limit",
          ("drive.rated_input_current",)),
    Limit("breaker", "the breaker or fuses", "1 - supply_current / breaker_rating", ("supply.breaker",)),
    Limit("supply_wire", "the supply wires", "1 - supply_current / wire_ampacity", ("supply.wire",), sources=("nec",)),
    Limit("discharge_heat", "heat at the pump's outlet", "(discharge_limit - discharge_temperature) / discharge_limit",
          ("pump.discharge_limit",), "slower"),
    Limit("relief_capacity", "what the relief valve can pass",
          "1 - displacement * pump_speed * belt_ratio / fastest_ratio * swept_density / relief_capacity",
          ("relief_valve.capacity",), sources=("osha-1910-169",)),
    Limit("dryer_capacity", "the dryer's capacity", "1 - dryer_load", ("dryer.rated_flow",), sources=("dryer-manual",)),
    Limit("separator_most", "most air for the separator", "1 - plant_dry_air / separator_highest",
          ("separator.highest_flow",)),
    Limit("pump_floor", "the pump's lowest speed", "pump_speed / lowest_pump_speed - 1", ("pump.minimum_speed",),
          "faster", note="splash oiling, the unloader and the flywheel's fan need it"),
    Limit("flywheel", "flywheel smoothing", "1 - speed_fluctuation / fluctuation_limit", ("pump.flywheel_inertia",),
          "faster", sources=("airfettle-equations",)),
    Limit("separator_least", "least air for the separator", "plant_dry_air / separator_lowest - 1",
          ("separator.lowest_flow",), "faster"),
)  # fmt: skip
"""Every limit of a train."""


def limit_named(name: str) -> Limit:
    """Return a limit by its id."""
    return next(limit for limit in LIMITS if limit.name == name)
