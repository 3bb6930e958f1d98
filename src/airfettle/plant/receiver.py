"""The receiver, its relief valve and its check valve."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, YesNo, choice, fact, quantity


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
    inside_film: Q = quantity(
        "number",
        "heat its inside takes from the air for a square metre and a degree [W/(m2 K)]",
        default="6..20",
        low=0.1,
        high=1e3,
        source="airfettle-equations",
        in_time=True,
    )
    steel_for_volume: Q = quantity(
        "number",
        "steel of shell and heads for a litre of volume [kg/L]",
        default="0.18..0.35",
        low=0.02,
        high=5.0,
        unless=("mass",),
        in_time=True,
    )
    water_share: Q = quantity(
        "fraction",
        "share of its volume that water may fill before its drain must open",
        default="0.5..2 %",
        low=1e-4,
        high=0.5,
        in_time=True,
    )
    drain_every: Q | None = quantity(
        "time",
        "drain by a timer: time from one opening to the next",
        low=5.0,
        high=604_800.0,
        example_us="20 min",
        example_si="20 min",
        in_time=True,
    )
    drain_open: Q = quantity(
        "time",
        "drain by a timer: how long it stays open",
        default="2..5 s",
        low=0.0,
        high=600.0,
        example_us="3 s",
        example_si="3 s",
        in_time=True,
    )
    drain_bore: Q = quantity(
        "length",
        "drain by a timer: bore of its hole",
        default="2..5 mm",
        low=1e-4,
        high=0.05,
        example_us="1/8 in",
        example_si="3 mm",
        in_time=True,
    )
    drain: Literal["automatic", "by hand", "none", "unknown"] = choice("its drain", default="unknown")
    wall_thickness: Q | None = quantity(
        "length", "thinnest wall found", example_us="0.18 in by ultrasound", example_si="4.5 mm by ultrasound"
    )
    diameter: Q | None = quantity(
        "length",
        "outside diameter of the shell",
        low=0.05,
        high=3.0,
        example_us="24 in by tape",
        example_si="450 mm by tape",
        measure="a tape round the shell, over 3.14",
    )
    drain_height: Q | None = quantity(
        "length",
        "how high its drain's inlet stands above the lowest point inside",
        high=3.0,
        example_us="0 in",
        example_si="0 mm",
        measure="a rule held upright beside the shell, from its lowest point to the middle of the port",
    )
    plate_readable: YesNo = fact(
        "Has the receiver a plate that can be read?",
        look="search shell and heads, under paint and behind the saddle too; a lamp and a mirror help",
        grave=True,
    )
    altered: Literal["no", "by an authorised repairer", "by someone else", "unknown"] = fact(
        "Has anything been welded, brazed, glued, patched or drilled on shell or heads since they were made, feet, "
        "brackets and ports included?",
        look="look for beads unlike the maker's, brackets, filler under paint; ask who did it, and for a repairer's "
        "stamp",
        grave=True,
    )
    proof_test: Literal["no", "with water", "with air or gas", "unknown"] = fact(
        "Was it pressure-tested in the shop, or is it to be, and with what?",
        look="ask whoever set it up; an inspector's own test with water counts as water",
        grave=True,
    )
    rust_inside: YesNo = fact(
        "Are there pits, scale or heavy rust inside?",
        look="with the plant locked off and the pressure let out, look through the largest port with a lamp or a probe "
        "camera; flakes of rust in the drain water are a sign",
        grave=True,
    )
    made_for_it: YesNo = fact(
        "Did its maker make feet or saddle for the way it stands or lies now, with what stands on top of it?",
        look="compare the maker's drawing or another tank of the kind: legs of an upright tank do not carry one that "
        "lies",
        grave=True,
    )
    drain_at_lowest: YesNo = fact(
        "Does its drain reach the lowest point of the tank as it stands now?",
        look="lay a level along the shell: a drain at the low end does, or one with a tube inside to the bottom",
    )
    gauge: YesNo = fact(
        "Is there a pressure gauge on the receiver that reads right and goes to zero when it is empty?",
        look="look on the receiver itself, before any regulator",
    )

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry; a drain's hole and time only where a timer opens it."""
        if name in ("drain_open", "drain_bore") and not self.is_told("drain_every"):
            return None
        return super().assumed_text(name)


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
        low=1e-4,
        example_us="60 scfm by plate",
        example_si="1700 L/min ANR by plate",
    )
    protects: Literal["receiver", "pump discharge", "interstage", "unknown"] = choice(
        "what it protects", default="receiver"
    )
    valve_before: YesNo = fact(
        "Can any valve or cock shut it off from what it protects?",
        look="follow the pipe from the relief valve to the vessel; it should screw straight into it",
        grave=True,
    )
    tampered: YesNo = fact(
        "Is it plugged, tied down, painted shut, or has its setting or seal been touched?",
        look="look at its outlet, its lever and the seal on its cap, from the side; never touch it or lean over it",
        grave=True,
    )
