"""The hot line from pump to cooler or receiver, and the pipe round the shop."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, YesNo, fact, quantity


class HotLine(Part[Q], Generic[Q]):
    """Everything between the pump's outlet and the cooler, or the receiver where there is no cooler."""

    title = "the hot line from the pump to the cooler or receiver"
    material: Literal[
        "steel",
        "stainless steel",
        "copper, brazed or flared",
        "copper, soft soldered",
        "aluminium",
        "PTFE hose with steel braid",
        "rubber hose",
        "nylon",
        "PEX",
        "PVC",
        "unknown",
    ] = fact(
        "What is the line from the pump made of, the weakest piece of it?",
        look="with the pump off and cold, read the print on hoses and look at every joint: soft solder is a silvery "
        "ring, brazing a yellow one",
        grave=True,
    )
    flexible_piece: YesNo = fact(
        "Is there a hose, a coil or a long free bend in it that gives when the pump shakes?",
        look="look between the pump's outlet and the first clamp or part that stands still",
    )
    pressure_rating: Q | None = quantity(
        "pressure",
        "pressure that its weakest piece is rated for",
        role="limit",
        example_us="1000 psi by plate",
        example_si="70 bar by plate",
        measure="the print on the hose, or the maker's sheet",
    )
    temperature_rating: Q | None = quantity(
        "temperature",
        "temperature that its weakest piece is rated for",
        role="limit",
        example_us="450 °F by maker",
        example_si="230 °C by maker",
        measure="the print on the hose, or the maker's sheet",
    )
    volume: Q = quantity(
        "volume",
        "what is emptied at each stop: line, and cooler where the check valve stands behind it",
        default="0.3..3 L",
        low=0.0,
        high=1.0,
        example_us="60 in3",
        example_si="1 L",
        in_time=True,
    )
    stop_valve: YesNo = fact(
        "Is there a valve or cock anywhere between the pump and the receiver that a hand can shut?",
        look="follow the whole way, past cooler and water separator; the check valve does not count",
        grave=True,
    )
    interstage_relief: YesNo = fact(
        "Two-stage pump: has it a small relief valve of its own between the stages?",
        look="look on the intercooler or its manifold, between the large and the small cylinder",
        grave=True,
    )


class ShopPipe(Part[Q], Generic[Q]):
    """The pipe from the receiver round the shop, with its drops, hoses and blow guns."""

    title = "the pipe round the shop, with drops, hoses and blow guns"
    material: Literal[
        "steel",
        "copper",
        "stainless",
        "aluminium shop pipe",
        "PEX",
        "listed plastic for air",
        "other plastic",
        "PVC or CPVC",
        "hose only",
        "unknown",
    ] = fact(
        "What is the pipe made of, at its weakest?",
        look="read the print along the pipe; white, grey or cream pipe with glued joints is most likely PVC or CPVC",
        grave=True,
    )
    listed_for_air: YesNo = fact(
        "Is the plastic pipe marked or listed by its maker for compressed air?",
        look="read the print along the pipe, or its maker's sheet; a pressure for water says nothing of air",
    )
    pressure_rating: Q | None = quantity(
        "pressure",
        "pressure its weakest part is rated for",
        role="limit",
        example_us="175 psi by maker",
        example_si="12 bar by maker",
    )
    temperature_rating: Q | None = quantity(
        "temperature",
        "temperature up to which that rating holds",
        role="limit",
        example_us="140 °F by maker",
        example_si="60 °C by maker",
    )
    coldest: Q | None = quantity(
        "temperature",
        "coldest place the pipe runs through, in the coldest season",
        example_us="50 °F",
        example_si="10 °C",
        measure="a thermometer beside the pipe there, on a cold morning",
    )
    leak: Q | None = quantity(
        "reference_flow",
        "air lost to leaks with every tool off",
        example_us="1 scfm",
        example_si="30 L/min ANR",
        measure="all tools shut, pump off: the time the receiver takes to fall by 1 bar (15 psi)",
    )
    finest_use: Literal[
        "tools only", "paint or finishing", "blasting", "breathing", "food or glass blowing", "unknown"
    ] = fact(
        "What is the most demanding use of the air?",
        look="ask everybody, and ask above all whether anybody breathes it, by mask, hood or mouthpiece",
        grave=True,
    )
    breathing_proof: YesNo = fact(
        "Has the breathing air a carbon monoxide or high-temperature alarm, and a Grade D test on paper?",
        look="find the alarm beside the breathing-air filters, and the laboratory's report",
        grave=True,
    )
    blow_gun: Literal["none", "safety nozzle", "open nozzle", "open nozzle, regulated low", "unknown"] = fact(
        "What nozzle do the blow guns have?",
        look="with the air off: a safety nozzle has side holes that let air out when its tip is closed; an open one "
        "has none; regulated low is a regulator of its own below 30 psi (2 bar)",
    )
    branches: Literal["from the top", "from the bottom", "unknown"] = fact(
        "Where do branches leave the main pipe?",
        look="walk along the main: a branch goes up and over, or straight down",
    )
    falls_to_drains: YesNo = fact(
        "Does the pipe fall towards drains, with one at every low point?",
        look="look along the pipe, or lay a spirit level on it",
    )
