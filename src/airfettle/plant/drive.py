"""The variable-frequency drive."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, YesNo, choice, quantity


class Drive(Part[Q], Generic[Q]):
    """A variable-frequency drive; a plant started straight from the line has ``drive = "none"``."""

    title = "the variable-frequency drive"
    rated_output_current: Q | None = quantity(
        "current",
        "output amps on the plate",
        role="limit",
        example_us="32 A",
        example_si="14 A",
        measure="the plate on its side: the output line",
    )
    rated_power: Q | None = quantity("power", "motor power on the plate", example_us="10 hp", example_si="5.5 kW")
    single_phase_output_current: Q | None = quantity(
        "current",
        "output amps that the maker allows on single-phase input",
        role="limit",
        example_us="16 A",
        example_si="7 A",
        measure="the maker's manual: single-phase rating or derating",
    )
    single_phase_share: Q = quantity(
        "fraction",
        "share of its output amps on single-phase input where the maker says nothing",
        default="0.35..0.65 likely 0.5",
        low=0.1,
        high=1.0,
        unless=("single_phase_output_current",),
    )
    rated_input_current: Q | None = quantity(
        "current", "input amps on the plate", role="limit", example_us="40 A", example_si="16 A"
    )
    input_phases: Literal[1, 3] | None = choice("phases it is built to be fed with")
    efficiency: Q = quantity("fraction", "efficiency", default="0.95..0.98", low=0.5, high=1.0)
    reactor: YesNo = choice("is there a line reactor or bus choke", default="unknown")
    true_power_factor: Q | None = quantity(
        "fraction", "true power factor it draws at", low=0.3, high=1.0, example_us="0.7", example_si="0.7"
    )
    power_factor_place: Q = quantity(
        "fraction",
        "where in its usual range the true power factor lies: 0 lowest, 1 highest",
        default="0..1",
        low=0.0,
        high=1.0,
        measure="a power meter ahead of the drive",
        unless=("true_power_factor",),
    )
    overload: Q = quantity(
        "fraction", "overload it can hold for a minute, share of output amps", default="1.10..1.50", low=1.0, high=2.5
    )
    duty: Literal["heavy", "normal", "unknown"] = choice(
        "rating used: heavy (constant torque) or normal", default="unknown"
    )
    voltage_drop: Q = quantity(
        "fraction", "output volts lost in the drive, share of input", default="0.01..0.05", low=0.0, high=0.3
    )
    maximum_frequency: Q | None = quantity(
        "frequency", "highest frequency it is set to", low=0.0, high=400.0, example_us="60 Hz", example_si="50 Hz"
    )
    minimum_frequency: Q | None = quantity(
        "frequency", "lowest frequency it is set to", low=0.0, high=400.0, example_us="30 Hz", example_si="25 Hz"
    )
