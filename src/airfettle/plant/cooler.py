"""The aftercooler between pump and receiver."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, choice, fact, quantity


class Cooler(Part[Q], Generic[Q]):
    """An air-cooled aftercooler; ``cooler = "none"`` where there is none."""

    title = "the aftercooler between pump and receiver"
    kind: Literal["vehicle oil cooler", "vehicle condenser", "bought aftercooler", "finned pipe", "unknown"] = choice(
        "what it was made for", default="unknown"
    )
    conductance: Q | None = quantity(
        "conductance",
        "heat passed for each degree, fan on",
        by="kind",
        example_us="30 W/K",
        example_si="30 W/K",
        measure="thermometers on both ends and in the room, plant warm; the program does the rest",
        default={
            "vehicle oil cooler": "15..45 W/K",
            "vehicle condenser": "40..90 W/K",
            "finned pipe": "3..12 W/K",
            "unknown": "10..60 W/K",
        },
    )
    transfer_units: Q | None = quantity(
        "number",
        "heat passed for each degree over the air's heat capacity, at full delivery: 3 cools to 5 % of the way",
        by="kind",
        default={"bought aftercooler": "2.4..4.0"},
        unless=("conductance",),
        low=0.05,
        high=20.0,
    )
    fan_flow: Q = quantity(
        "fan_flow",
        "air the fan moves through it",
        default="300..900 m3/h",
        example_us="600 cfm",
        example_si="1000 m3/h",
    )
    fan: Literal["own supply", "drive output", "pump flywheel", "none", "unknown"] = choice(
        "what turns its fan", default="unknown"
    )
    fan_started_by: Literal[
        "the plant's supply", "the running pump", "the running pump, with a run-on", "a switch of its own", "unknown"
    ] = fact(
        "What starts and stops the cooler's fan?",
        look="watch it from a safe place as the pump stops: it stops too, runs on for a while, or runs all day",
    )
    fan_power: Q = quantity("power", "power the fan takes", default="20..120 W", example_us="80 W", example_si="80 W")
    fan_off_share: Q = quantity(
        "fraction", "share of its conductance left with the fan still", default="5..20 %", low=0.0, high=1.0
    )
    drop: Q = quantity(
        "pressure_difference",
        "pressure lost at full delivery",
        default="0.03..0.20 bar",
        example_us="1 psi",
        example_si="0.07 bar",
    )
    pressure_rating: Q | None = quantity(
        "pressure", "pressure it is rated for", role="limit", example_us="150 psi", example_si="10 bar"
    )
    temperature_rating: Q | None = quantity(
        "temperature", "temperature it is rated for", role="limit", example_us="250 °F", example_si="120 °C"
    )
    heat_capacity: Q = quantity("heat_capacity", "heat its metal holds", default="1..5 kJ/K")
    fan_run_on: Q | None = quantity(
        "time",
        "how long its fan runs on after the pump stops",
        low=0.0,
        high=86_400.0,
        example_us="3 min",
        example_si="3 min",
        in_time=True,
    )
    water_runs: Literal["to a separator or drain", "to the receiver", "back to the pump", "unknown"] = fact(
        "Where does water that gathers in the cooler run?",
        look="with the plant off, cold and without pressure, see which way the pipes at both ends of the cooler fall",
    )
