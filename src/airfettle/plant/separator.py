"""The water separator after the cooler."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, choice, fact, quantity

Bowl = Literal["metal", "plastic with guard", "bare plastic", "unknown"]
"""What the bowl of a separator or filter is made of."""


class Separator(Part[Q], Generic[Q]):
    """A water separator with its drain."""

    title = "the water separator after the cooler"
    efficiency: Q = quantity(
        "fraction", "share of the liquid it catches inside its flow window", default="0.80..0.98", low=0.0, high=1.0
    )
    lowest_flow: Q | None = quantity(
        "reference_flow", "least air it separates well", example_us="5 scfm", example_si="150 L/min ANR"
    )
    highest_flow: Q | None = quantity(
        "reference_flow", "most air it separates well", example_us="50 scfm", example_si="1400 L/min ANR"
    )
    drop: Q = quantity("pressure_difference", "pressure lost at full delivery", default="0.5..2 psi")
    bowl_volume: Q = quantity(
        "volume",
        "water its bowl holds before the air picks it up again",
        default="0.05..0.3 L",
        low=1e-6,
        high=1.0,
        example_us="3 in3",
        example_si="0.1 L",
        in_time=True,
    )
    drain: Literal["automatic", "by hand", "none", "unknown"] = choice("its drain", default="unknown")
    pressure_rating: Q | None = quantity(
        "pressure", "pressure it is rated for", role="limit", example_us="175 psi", example_si="12 bar"
    )
    bowl: Bowl = fact(
        "What is its bowl made of?", look="look from the outside; a guard is a metal cage around a clear bowl"
    )
