"""What stands before the pump."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, choice, fact, quantity


class Intake(Part[Q], Generic[Q]):
    """The intake filter and where it draws from."""

    title = "the intake filter"
    drop: Q = quantity(
        "pressure_difference",
        "pressure lost in the filter at rated speed",
        default="0.5..2.5 kPa",
        example_us="0.2 psi",
        example_si="10 mbar",
        high=5e4,
    )
    temperature_rise: Q = quantity(
        "temperature_difference",
        "intake air over room air",
        default="0..5 K",
        example_us="5 °F",
        example_si="3 K",
        low=-40.0,
        high=60.0,
        measure="thermometers at the filter and in the room, plant warm",
    )
    place: Literal["indoors", "outdoors", "unknown"] = choice("where it draws air", default="unknown")
    near: Literal["clean air", "heavy dust", "exhaust or smoke", "paint or solvent vapour", "unknown"] = fact(
        "What is in the air near the intake filter?",
        look="stand at the filter while the shop works: sanding, engines, heaters, spraying or open thinners nearby",
        grave=True,
    )
