"""The motor, mostly from its nameplate."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, YesNo, choice, fact, quantity


class Motor(Part[Q], Generic[Q]):
    """An induction motor with a nameplate that may have gaps."""

    title = "the motor, from its nameplate"
    power: Q | None = quantity(
        "power",
        "power on the plate",
        example_us="7.5 hp",
        example_si="5.5 kW",
        low=50.0,
        high=2e5,
        measure="the plate; without one, frame size and shaft diameter",
    )
    phases: Literal[1, 3] = choice("phases", default=3)
    voltage: Q | None = quantity(
        "voltage",
        "volts of the connection used",
        low=90.0,
        high=1_000.0,
        example_us="230 V",
        example_si="400 V",
        measure="the plate, and which way the leads are joined",
    )
    frequency: Q | None = quantity("frequency", "frequency on the plate", example_us="60 Hz", example_si="50 Hz")
    speed: Q | None = quantity(
        "rotational_speed", "full-load speed on the plate", example_us="1745 rpm", example_si="1450 rpm"
    )
    poles: Literal[2, 4, 6, 8] | None = choice("number of poles; found from the speed where it is told")
    slip: Q = quantity(
        "fraction", "full-load slip, where no full-load speed is told", default="1.5..4.5 %", low=0.002, high=0.15
    )
    current: Q | None = quantity(
        "current",
        "full-load amps on the plate, at the volts used",
        role="reading",
        example_us="19.5 A",
        example_si="11 A",
    )
    efficiency: Q | None = quantity(
        "fraction", "full-load efficiency", low=0.4, high=0.99, example_us="89.5 %", example_si="88 %"
    )
    efficiency_doubt: Q = quantity(
        "fraction",
        "its losses against a premium motor's in the table",
        by="condition",
        low=0.5,
        high=4.0,
        default={"new": "0.9..1.3", "used": "0.9..1.8", "worn": "1.0..2.0", "unknown": "0.9..1.8", "": "0.9..1.8"},
        unless=("efficiency",),
    )
    power_factor: Q = quantity(
        "fraction",
        "full-load power factor",
        default="0.75..0.87",
        low=0.3,
        high=1.0,
        example_us="0.82",
        example_si="0.83",
    )
    service_factor: Q = quantity("fraction", "service factor", default="1.0", low=1.0, high=1.5)
    breakdown_ratio: Q | None = quantity("fraction", "pull-out torque over full-load torque", low=1.2, high=5.0)
    breakdown_doubt: Q = quantity(
        "fraction",
        "pull-out torque against the table's",
        default="0.9..1.3",
        low=0.5,
        high=2.0,
        unless=("breakdown_ratio",),
    )
    no_load_share: Q = quantity(
        "fraction", "no-load amps over full-load amps", default="0.30..0.55", low=0.1, high=0.95
    )
    enclosure: Literal["open", "enclosed", "unknown"] = choice(
        "open (drip proof) or enclosed (fan cooled)", default="unknown"
    )
    inverter_duty: YesNo = choice("made for running on a drive", default="unknown")
    insulation_class: Literal["A", "B", "F", "H", "unknown"] = choice("insulation class", default="unknown")
    winding_rise: Q = quantity(
        "temperature_difference", "winding rise at full load", default="60..90 K", low=10.0, high=200.0
    )
    winding_lag: Q = quantity(
        "time",
        "time in which its windings follow the load, turning",
        default="15..45 min",
        low=10.0,
        high=36_000.0,
        in_time=True,
    )
    cooling_floor: Q = quantity(
        "fraction",
        "share of base speed down to which its own fan cools full torque",
        default="0.4..0.7",
        low=0.0,
        high=1.0,
    )
    frame: str = choice("frame size on the plate", default="")
    rotor_inertia: Q | None = quantity("inertia", "rotor inertia", example_us="0.4 lb ft2", example_si="0.02 kg m2")
    overload_set: Literal["plate amps", "above plate amps", "none", "unknown"] = fact(
        "What is the motor's overload protection set to?",
        look="the motor amps among the drive's settings, or the dial of the overload relay, against the motor's plate",
    )
    disconnect: YesNo = fact(
        "Is there a switch within sight of the motor that can be locked off?",
        look="stand at the motor: a switch you can see from there and hang a padlock on",
    )
