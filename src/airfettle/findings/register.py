"""Brings in every group of rules, in the order in which they are told."""

from airfettle.findings import (
    air_quality,
    belt_drive,
    control,
    drive_train,
    electrical,
    hot_line,
    motor_load,
    owners_numbers,
    pipe_water,
    pipework,
    pressure_boundary,
    pumps_in_use,
    relief_valves,
    shop_pipe,
    starting,
    statements,
    through_the_day,
    treatment,
    vessel_law,
    volts,
    wires,
)
from airfettle.findings.rule import RULES

GROUPS = (
    pressure_boundary, relief_valves, hot_line, vessel_law, drive_train, starting, motor_load, belt_drive,
    electrical, volts, wires, control, air_quality, treatment, shop_pipe, pipe_water, pipework, owners_numbers,
    statements, pumps_in_use, through_the_day,
)  # fmt: skip
"""Modules of rules."""

__all__ = ["GROUPS", "RULES"]
