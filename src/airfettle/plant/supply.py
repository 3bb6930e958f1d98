"""The electrical supply and the wires to and from the drive."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, YesNo, choice, fact, quantity

SupplyKind = Literal[
    "single-phase 120/240", "single-phase 230", "208 wye", "240 high-leg delta", "240 corner-grounded delta",
    "400/230 wye", "480/277 wye", "generator, single-phase", "generator, three-phase", "rotary converter",
    "static converter",
]  # fmt: skip

BY_METER = "a licensed person with a meter, plant running"
"""How volts are found out."""


class Supply(Part[Q], Generic[Q]):
    """What comes in from the street, the panel's protective device, and the wires from the panel."""

    title = "the electrical supply, up to the drive or starter"
    kind: SupplyKind | None = choice("kind of supply")
    voltage: Q | None = quantity(
        "voltage",
        "volts between the live wires",
        low=90.0,
        high=1_000.0,
        example_us="240 V",
        example_si="400 V",
        measure=BY_METER,
    )
    tolerance: Q = quantity(
        "fraction",
        "how far the volts wander from the stated value",
        default="0.95..1.05",
        low=0.5,
        high=1.5,
        source="practice",
    )
    frequency: Q | None = quantity("frequency", "mains frequency", example_us="60 Hz", example_si="50 Hz")
    breaker: Q | None = quantity(
        "current", "rating of the breaker or fuses", role="limit", example_us="50 A", example_si="32 A"
    )
    breaker_kind: Literal["breaker", "time-delay fuses", "fast fuses"] = choice(
        "what protects the run", default="breaker"
    )
    wire: Q | None = quantity(
        "wire_size",
        "size of each live wire",
        example_us="8 AWG by stamp",
        example_si="6 mm2 by stamp",
        measure="the print along its jacket; 'by stamp' says that you read it there",
    )
    wire_length: Q = quantity(
        "length", "length of the run, one way", default="5..30 m", example_us="40 ft", example_si="15 m"
    )
    volts_1_2: Q | None = quantity(
        "voltage", "volts between legs 1 and 2, plant running", low=50.0, high=1_000.0, measure=BY_METER
    )
    volts_2_3: Q | None = quantity(
        "voltage", "volts between legs 2 and 3, plant running", low=50.0, high=1_000.0, measure=BY_METER
    )
    volts_3_1: Q | None = quantity(
        "voltage", "volts between legs 3 and 1, plant running", low=50.0, high=1_000.0, measure=BY_METER
    )
    protective_earth: YesNo = fact(
        "Does an earth wire run unbroken from the panel to the drive or starter and on to the motor's frame?",
        look="supply locked off: a green, green and yellow or bare wire under a screw at each of them",
        grave=True,
    )
    ground_fault: Literal[
        "none", "4-6 mA", "30 mA type A or AC", "30 mA type B", "100 mA or more", "unknown"
    ] = fact(
        "Which ground-fault (residual current) device is ahead of the plant?",
        look="the print on the breaker or receptacle: a test button, the milliamps, the type letter",
    )  # fmt: skip
    high_leg_load: YesNo = fact(
        "Is anything wired between the high leg and neutral (a relay, a lamp, a control transformer)?",
        look="the high leg is marked orange; ask the licensed person who wired it",
    )


class MotorLead(Part[Q], Generic[Q]):
    """The wires between drive and motor."""

    title = "the wires between drive (or starter) and motor"
    wire: Q | None = quantity(
        "wire_size",
        "size of each wire",
        example_us="12 AWG by stamp",
        example_si="2.5 mm2 by stamp",
        measure="the print along its jacket; 'by stamp' says that you read it there",
    )
    wire_length: Q = quantity("length", "length", default="1..5 m", example_us="8 ft", example_si="2 m")
    shielded: Literal["yes", "no", "unknown"] = choice("is it a shielded motor cable", default="unknown")
