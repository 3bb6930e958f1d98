"""How the plant is controlled, and the speeds it is run at."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Model, Part, Q, choice, quantity


class Control(Part[Q], Generic[Q]):
    """Pressure switch or transducer, and preset speeds."""

    title = "the pressure switch (or transducer) and the speeds"
    kind: Literal["pressure switch", "transducer", "unknown"] = choice("what tells the plant to run", default="unknown")
    cut_in: Q = quantity(
        "pressure",
        "receiver pressure at which it starts",
        default="6.2..8.6 bar",
        low=0.0,
        high=4e6,
        example_us="120 psi",
        example_si="7.5 bar",
        measure="the receiver's gauge as the pump starts",
    )
    cut_out: Q = quantity(
        "pressure",
        "receiver pressure at which it stops",
        default="8.3..10.3 bar",
        low=0.0,
        high=4e6,
        example_us="150 psi",
        example_si="9.5 bar",
        measure="the receiver's gauge as the pump stops",
    )
    low: Q | None = quantity(
        "frequency", "lowest frequency used", low=1.0, high=400.0, example_us="30 Hz", example_si="25 Hz"
    )
    quiet: Q | None = quantity(
        "frequency", "frequency for quiet running", low=1.0, high=400.0, example_us="40 Hz", example_si="35 Hz"
    )
    full: Q | None = quantity(
        "frequency", "frequency for full delivery", low=1.0, high=400.0, example_us="60 Hz", example_si="50 Hz"
    )


class Reading(Model[Q], Generic[Q]):
    """Something read off the running plant: an answer, its value and its conditions."""

    title = "a reading taken on the running plant"
    what: str = choice("which answer was read", default=..., say="an answer id, such as pump_speed")
    value: str = choice("what was read, with its unit", default=...)
    part: str = choice("the train, where there are several", default="")
    frequency: Q | None = quantity("frequency", "frequency at the time", example_us="60 Hz", example_si="50 Hz")
    receiver_pressure: Q | None = quantity(
        "pressure", "receiver pressure at the time", example_us="125 psi", example_si="8 bar"
    )
    by: str = choice("the instrument", default="")
    on: str = choice("the date", default="")
    note: str = choice("anything worth keeping", default="")
