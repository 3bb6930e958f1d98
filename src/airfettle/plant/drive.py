"""The variable-frequency drive."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, YesNo, choice, fact, quantity


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
    largest_breaker: Q | None = quantity(
        "current",
        "largest breaker or fuse its maker allows ahead of it",
        role="limit",
        example_us="60 A",
        example_si="25 A",
        measure="the maker's manual: table of fuses and breakers",
    )
    leakage_current: Q | None = quantity(
        "current",
        "earth leakage in service, by its maker",
        low=0.0,
        high=1.0,
        example_us="12 mA",
        example_si="12 mA",
        measure="the maker's manual or the label of its filter; a leakage clamp around the live wires together",
    )
    lowest_input_voltage: Q | None = quantity(
        "voltage",
        "lowest input volts it runs on",
        role="limit",
        low=50.0,
        high=1_000.0,
        example_us="170 V",
        example_si="325 V",
        measure="the maker's manual: input range, or its undervoltage trip",
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
    on_output: Literal[
        "only the motor", "also a fan, relay or supply", "several motors", "several motors with an overload each",
        "capacitors", "neutral or earth on the star point", "unknown",
    ] = fact(
        "What is wired to the drive's output (the motor terminals)?",
        look="supply locked off and capacitors discharged, follow every wire that leaves the motor terminals of the "
        "drive; the motor's own earth wire does not count",
        grave=True,
    )  # fmt: skip
    output_switch: Literal[
        "none", "isolator with early-break contact", "isolator alone", "opens in normal stopping", "unknown"
    ] = fact(
        "What can open the wires between drive and motor?",
        look="follow them from the drive to the motor: a switch, a contactor, the pressure switch; an early-break "
        "contact is a thin pair of wires from the isolator back to the drive",
        grave=True,
    )
    bypass: Literal["none", "interlocked", "not interlocked", "unknown"] = fact(
        "Can the mains be switched onto the motor wires past the drive (a bypass or changeover)?",
        look="two contactors or a changeover switch beside the drive; interlocked: the two can never be in at once",
        grave=True,
    )
    started_by: Literal["its run input", "switching its supply", "unknown"] = fact(
        "How is the drive started and stopped day by day?",
        look="watch a start: where its display is dark before each one, its supply is being switched",
    )
    stop_mode: Literal["coast", "ramp", "unknown"] = fact(
        "How does the drive stop the motor: does it let it coast, or ramp it down?", look="the drive's stop setting"
    )
    lost_speed: Literal["stops", "runs on", "preset speeds only", "unknown"] = fact(
        "What does the drive do when its speed signal is lost?",
        look="its setting for loss of the speed signal; preset speeds need no signal",
    )
    place: Literal[
        "clean and open", "box with vents", "box without vents", "dust", "spray or vapour", "unknown"
    ] = fact(
        "Where does the drive stand?",
        look="a drive sealed against dust counts as clean and open; a spray area reaches as far as the mist does",
        grave=True,
    )  # fmt: skip
    stored: Literal["no", "over a year, re-formed", "over a year", "unknown"] = fact(
        "Did the drive lie without power for over a year before it came here?",
        look="ask the seller; re-formed is where its capacitors were brought up slowly as its manual tells",
    )
    filter_connected: YesNo = fact(
        "Is the drive's filter to earth still connected?",
        look="the manual shows the screw or jumper; only with the supply locked off and the capacitors discharged",
    )
