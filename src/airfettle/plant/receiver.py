"""The receiver, its relief valve and its check valve."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, choice, quantity


class CheckValve(Part[Q], Generic[Q]):
    """The check valve that keeps the receiver's air from the pump."""

    title = "the check valve"
    drop: Q = quantity(
        "pressure_difference",
        "pressure lost at full delivery",
        default="0.05..0.30 bar",
        example_us="2 psi",
        example_si="0.1 bar",
    )
    place: Literal["at the receiver", "before the cooler", "unknown"] = choice("where it stands", default="unknown")


class Receiver(Part[Q], Generic[Q]):
    """A pressure vessel that stores air."""

    title = "the receiver"
    volume: Q = quantity("volume", "volume on the plate", default="50..300 L", example_us="80 gal", example_si="270 L")
    plate_pressure: Q | None = quantity(
        "pressure",
        "highest pressure allowed by its plate",
        role="limit",
        example_us="200 psi by plate",
        example_si="11 bar by plate",
        measure="the plate welded to the shell; no plate, no pressure",
    )
    turned: Literal["no", "upright to lying", "lying to upright", "unknown"] = choice(
        "has it been turned from how it was built", default="unknown"
    )
    room_conductance: Q | None = quantity("conductance", "heat it gives to the room for each degree")
    surface_film: Q = quantity(
        "number",
        "heat its surface gives to still air for a square metre and a degree [W/(m2 K)]",
        default="4..9",
        low=0.5,
        high=100.0,
        unless=("room_conductance",),
    )
    drain: Literal["automatic", "by hand", "none", "unknown"] = choice("its drain", default="unknown")
    wall_thickness: Q | None = quantity(
        "length", "thinnest wall found", example_us="0.18 in by ultrasound", example_si="4.5 mm by ultrasound"
    )


class ReliefValve(Part[Q], Generic[Q]):
    """A relief valve."""

    title = "the relief valve on the receiver"
    set_pressure: Q | None = quantity(
        "pressure",
        "pressure stamped on it",
        role="limit",
        example_us="175 psi by plate",
        example_si="11 bar by plate",
        measure="the tag on the valve",
    )
    capacity: Q | None = quantity(
        "reference_flow",
        "flow stamped on it",
        role="limit",
        example_us="60 scfm by plate",
        example_si="1700 L/min ANR by plate",
    )
    protects: Literal["receiver", "pump discharge", "interstage", "unknown"] = choice(
        "what it protects", default="receiver"
    )
