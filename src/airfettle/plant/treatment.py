"""Dryer and filters after the receiver."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, choice, fact, quantity
from airfettle.plant.separator import Bowl


class Dryer(Part[Q], Generic[Q]):
    """A refrigerated dryer."""

    title = "the dryer"
    kind: Literal["refrigerated"] = choice("kind of dryer", default="refrigerated")
    rated_flow: Q | None = quantity(
        "reference_flow",
        "flow it is rated for",
        role="limit",
        example_us="25 scfm by plate",
        example_si="700 L/min ANR by plate",
    )
    rated_dew_point: Q = quantity(
        "temperature", "pressure dew point it holds", default="2..5 degC", example_us="38 °F", example_si="3 °C"
    )
    rated_inlet_temperature: Q = quantity("temperature", "inlet temperature of its rating", default="35..38 degC")
    rated_room_temperature: Q = quantity("temperature", "room temperature of its rating", default="25..38 degC")
    rated_pressure: Q = quantity("pressure", "pressure of its rating", default="6.9..7.0 bar")
    drop: Q = quantity("pressure_difference", "pressure lost at rated flow", default="2..5 psi")
    power: Q = quantity("power", "power it takes", default="150..500 W")


class Filter(Part[Q], Generic[Q]):
    """One filter."""

    title = "a filter"
    purpose: Literal["particles", "coalescing", "carbon", "regulator", "unknown"] = choice(
        "what it takes out", default="unknown"
    )
    rated_flow: Q | None = quantity(
        "reference_flow", "flow it is rated for", role="limit", example_us="35 scfm", example_si="1000 L/min ANR"
    )
    drop: Q = quantity(
        "pressure_difference",
        "pressure lost at rated flow, as it runs",
        by="purpose",
        default={
            "particles": "0.5..2 psi",
            "coalescing": "1..3 psi",
            "carbon": "0.5..2 psi",
            "regulator": "3..8 psi",
            "unknown": "0.5..3 psi",
        },
    )
    bowl: Bowl = fact(
        "What is its bowl made of?", look="look from the outside; a guard is a metal cage around a clear bowl"
    )
