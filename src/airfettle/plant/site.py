"""Where the plant stands, and the air it breathes."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Model, Q, choice, fact, quantity


class Site(Model[Q], Generic[Q]):
    """The shop: height, weather, room."""

    title = "the shop: height above the sea, room, weather"
    place: str = choice("country or state, for the rules that apply", default="")
    altitude: Q = quantity(
        "altitude",
        "height above the sea",
        default="0..300 m",
        example_us="600 ft",
        example_si="180 m",
        measure="a map or a phone",
        unless=("barometer",),
    )
    barometer: Q | None = quantity(
        "absolute_pressure",
        "air pressure as read on the spot, not reduced to sea level",
        example_us="29.4 inHg",
        example_si="995 hPa",
        measure="a phone with a pressure sensor",
    )
    weather: Q = quantity(
        "fraction",
        "air pressure against the standard for the height, day by day",
        default="0.985..1.015",
        low=0.9,
        high=1.1,
        unless=("barometer",),
    )
    room_temperature: Q = quantity(
        "temperature",
        "temperature in the room",
        default="15..30 degC",
        example_us="60..85 °F",
        example_si="15..28 °C",
        measure="a thermometer beside the pump, plant running",
    )
    humidity: Q = quantity(
        "fraction",
        "relative humidity of the room",
        default="40..75 %",
        example_us="40..70 %",
        example_si="40..70 %",
        low=0.0,
        high=1.0,
        measure="a hygrometer",
    )
    energy_price: Q | None = quantity(
        "energy_price",
        "price of electricity",
        say="in the plant's currency",
        example_us="0.15 /kWh",
        example_si="0.28 /kWh",
    )
    nearest_place: Q = quantity(
        "length",
        "distance from the pump to the nearest place where somebody works",
        default="2..6 m",
        low=0.3,
        high=500.0,
        example_us="12 ft by tape",
        example_si="4 m by tape",
        measure="a tape from the pump to where an ear usually is",
        in_time=True,
    )
    frost: Literal["no", "yes", "yes, but heated", "unknown"] = fact(
        "Can it freeze where drains, relief valves or pipes are?",
        look="think of outside walls, lean-tos, lofts and yards they stand in or run through, on the coldest night",
    )
    condensate: Literal["collected or cleaned", "sewer by permission", "ground or storm drain", "unknown"] = fact(
        "Where does the water from the drains go? It carries oil.", look="follow the hose of each drain to its end"
    )
