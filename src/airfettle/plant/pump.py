"""The pump head."""

from __future__ import annotations

from typing import Any, Generic, Literal

from pydantic import model_validator

from airfettle.plant.part import Model, Part, Q, YesNo, choice, fact, quantity


class Stage(Model[Q], Generic[Q]):
    """The cylinders of one stage."""

    title = "the cylinders of one stage"
    cylinders: int | None = choice("number of cylinders", ge=1, le=12)
    bore: Q | None = quantity(
        "length",
        "bore",
        example_us="4.6 in by tape",
        example_si="105 mm",
        low=0.01,
        high=0.6,
        measure="head off, tape or caliper across the cylinder",
    )
    stroke: Q | None = quantity(
        "length",
        "stroke",
        example_us="3.0 in by tape",
        example_si="80 mm",
        low=0.01,
        high=0.6,
        measure="head off, turn by hand, top to bottom of the piston",
    )
    stroke_over_bore: Q = quantity(
        "number",
        "stroke over bore, where no stroke is told",
        default="0.65..0.90",
        low=0.2,
        high=3.0,
        unless=("stroke",),
    )
    clearance: Q = quantity(
        "fraction", "volume left at the top, share of what is swept", default="4..8 % likely 6", low=0.0, high=0.3
    )


class Delivery(Model[Q], Generic[Q]):
    """One statement of delivered air, with its conditions."""

    title = "a statement of delivered air"
    air: Q = quantity(
        "intake_flow",
        "air delivered, as volume at the intake",
        role="reading",
        required=True,
        example_us="18 cfm",
        example_si="500 L/min",
    )
    at: Q = quantity(
        "pressure", "discharge pressure of the statement", required=True, example_us="100 psi", example_si="8 bar"
    )
    speed: Q | None = quantity(
        "rotational_speed", "pump speed of the statement", example_us="850 rpm", example_si="850 rpm"
    )


class Pump(Part[Q], Generic[Q]):
    """A reciprocating pump head of one or two stages."""

    title = "the pump head"
    size_class: Literal["large two-stage", "belt twin", "small belt", "direct"] = choice(
        "what sort of pump it is", default="belt twin"
    )
    stages: Literal[1, 2] = choice("stages", default=1)
    layout: Literal["one cylinder", "parallel, cranks opposed", "parallel, cranks together", "V", "W", "unknown"] = (
        choice("how the cylinders stand", default="unknown")
    )
    first_stage: Stage[Q] | None = choice("the (low-pressure) cylinders")
    second_stage: Stage[Q] | None = choice("the high-pressure cylinders of a two-stage pump")
    displacement: Q | None = quantity(
        "swept_volume",
        "volume swept in one turn by the low-pressure cylinders",
        example_us="50 in3",
        example_si="0.8 L",
    )
    displacement_flow: Q | None = quantity(
        "intake_flow",
        "piston displacement on the plate, at the rated speed",
        example_us="27 cfm",
        example_si="750 L/min",
    )
    stage_ratio: Q = quantity(
        "fraction", "low-pressure over high-pressure swept volume", default="2.6..3.6", low=1.2, high=8.0
    )
    displacement_share: Q = quantity(
        "fraction",
        "size against the largest its motor could turn, where nothing else is told",
        default="0.75..1.0",
        low=0.1,
        high=2.0,
        source="airfettle-equations",
        unless=("displacement", "displacement_flow", "rated"),
    )
    rated: tuple[Delivery[Q], ...] = choice("what plate or maker say it delivers", default=())
    maximum_speed: Q = quantity(
        "rotational_speed",
        "highest speed allowed",
        role="limit",
        by="size_class",
        example_us="850..950 rpm",
        example_si="900 rpm",
        measure="the plate or the maker's sheet; a seller's memory is worth writing down",
        default={
            "large two-stage": "600..1000 rpm",
            "belt twin": "900..1250 rpm",
            "small belt": "1000..1500 rpm",
            "direct": "1400..3500 rpm",
            "": "900..1250 rpm",
        },
    )
    minimum_speed: Q | None = quantity(
        "rotational_speed",
        "lowest speed allowed",
        role="limit",
        example_us="450 rpm",
        example_si="450 rpm",
        measure="the maker's sheet: splash oiling needs it",
    )
    lowest_share: Q = quantity(
        "fraction",
        "lowest speed over the highest, where no lowest is told",
        default="0.40..0.60",
        low=0.0,
        high=1.0,
        unless=("minimum_speed",),
    )
    lowest_anyhow: Q = quantity(
        "rotational_speed",
        "lowest speed of any such pump, where no lowest is told",
        default="350..500 rpm",
        unless=("minimum_speed",),
    )
    rated_speed: Q | None = quantity(
        "rotational_speed", "speed its rated figures are for", example_us="850 rpm", example_si="850 rpm"
    )
    lubrication: Literal["splash", "pressure", "oil-free", "unknown"] = choice("how it is oiled", default="unknown")
    leakage: Q = quantity(
        "fraction",
        "share of the air that leaks back or past the rings at rated speed and pressure",
        by="condition",
        low=0.0,
        high=0.8,
        default={"new": "2..5 %", "used": "3..10 %", "worn": "8..35 %", "unknown": "3..12 %"},
    )
    leakage_when_new: Q = quantity(
        "fraction",
        "leakage of such a pump when new, for which plates and makers state delivery",
        default="2..5 %",
        low=0.0,
        high=0.5,
    )
    blow_by_share: Q = quantity(
        "fraction", "share of that leakage which passes the rings and is lost", default="0.3..0.8", low=0.0, high=1.0
    )
    compression_exponent: Q = quantity(
        "number", "exponent of compression", default="1.25..1.35", low=1.0, high=1.67, source="airfettle-equations"
    )
    expansion_exponent: Q = quantity(
        "number", "exponent of re-expansion", default="1.15..1.25", low=1.0, high=1.67, source="airfettle-equations"
    )
    suction_loss: Q = quantity(
        "fraction",
        "suction valve loss at rated speed, share of pressure",
        default="2..5 %",
        low=0.0,
        high=0.3,
        source="airfettle-equations",
    )
    discharge_loss: Q = quantity(
        "fraction",
        "discharge valve loss at rated speed, share of pressure",
        default="3..7 %",
        low=0.0,
        high=0.3,
        source="airfettle-equations",
    )
    friction_pressure: Q = quantity(
        "pressure_difference",
        "friction as a pressure on the pistons, standing part",
        default="0.15..0.35 bar",
        source="airfettle-equations",
    )
    friction_pressure_speed: Q = quantity(
        "pressure_difference",
        "friction as a pressure, part that grows with speed",
        default="0.05..0.15 bar",
        source="airfettle-equations",
    )
    wall_heat_share: Q = quantity(
        "fraction",
        "share of the compression work that leaves through the walls",
        default="0.25..0.50",
        low=0.0,
        high=0.9,
        source="airfettle-equations",
    )
    wall_place: Q = quantity(
        "fraction",
        "how far head and cylinders stand between the air drawn in and the air delivered, warm, at rated speed",
        default="0.35..0.75",
        low=0.02,
        high=1.0,
    )
    intake_heating_share: Q = quantity(
        "fraction",
        "how far the walls warm the air on its way in",
        default="0.08..0.25",
        low=0.0,
        high=0.9,
        source="airfettle-equations",
    )
    intercooler_effectiveness: Q = quantity(
        "fraction", "intercooler effectiveness", default="0.55..0.85", low=0.0, high=1.0
    )
    intercooler_loss: Q = quantity(
        "fraction", "pressure lost between stages, share", default="1..4 %", low=0.0, high=0.3
    )
    flywheel_inertia: Q | None = quantity("inertia", "flywheel inertia", example_us="12 lb ft2", example_si="0.5 kg m2")
    flywheel_factor: Q = quantity(
        "number",
        "flywheel inertia over diameter to the fifth, where nothing else is told [kg/m3]",
        default="20..50",
        low=1.0,
        high=500.0,
        unless=("flywheel_inertia",),
    )
    reciprocating_mass: Q | None = quantity(
        "mass", "mass going up and down in each cylinder", example_us="1 lb", example_si="0.45 kg"
    )
    wall_heat_capacity: Q | None = quantity(
        "heat_capacity",
        "heat that head and cylinders hold for each degree",
        example_us="15 kJ/K",
        example_si="15 kJ/K",
        in_time=True,
    )
    wall_heat_factor: Q = quantity(
        "number",
        "that heat for a litre swept in one turn, where nothing else is told [kJ/(K L)]",
        default="8..20",
        low=0.5,
        high=200.0,
        unless=("wall_heat_capacity",),
        in_time=True,
    )
    crankcase_place: Q = quantity(
        "fraction",
        "how far crankcase and oil stand between room and cylinder walls, warm",
        default="0.4..0.7",
        low=0.0,
        high=1.0,
        in_time=True,
    )
    crankcase_lag: Q = quantity(
        "time",
        "time in which crankcase and oil follow the walls",
        default="20..60 min",
        low=10.0,
        high=36_000.0,
        in_time=True,
    )
    longest_duty: Q | None = quantity(
        "fraction",
        "largest share of an hour it may run",
        role="limit",
        low=0.01,
        high=1.0,
        example_us="70 % by maker",
        example_si="70 % by maker",
        measure="the maker's sheet: duty",
        in_time=True,
    )
    unloaded_share: Q = quantity(
        "fraction", "power when running unloaded, share of loaded", default="10..30 %", low=0.0, high=1.0
    )
    sound_level: Q = quantity(
        "sound_level",
        "sound at 1 m at rated speed",
        default="78..90 dBA",
        example_us="84 dBA by sound meter",
        example_si="84 dBA by sound meter",
        measure="a phone's sound meter at 1 m, away from walls",
    )
    sound_exponent: Q = quantity(
        "number", "how sound falls with speed: k in k log10(N2/N1)", default="20..50", low=0.0, high=100.0
    )
    discharge_limit: Q | None = quantity(
        "temperature", "highest discharge temperature allowed", role="limit", example_us="400 °F", example_si="200 °C"
    )
    unloader: Literal[
        "none", "valve on the pressure switch", "solenoid valve", "opens by speed (centrifugal)", "unknown"
    ] = fact(
        "What lets the air out of the head when the pump stops, so that it starts without pressure?",
        look="listen from a safe place for a hiss as it stops: at the pressure switch, at a small electric valve, or "
        "at the end of the crankshaft",
        grave=True,
    )
    unloader_closing_speed: Q | None = quantity(
        "rotational_speed",
        "pump speed above which an unloader that works by speed is shut",
        role="limit",
        example_us="400 rpm by maker",
        example_si="400 rpm by maker",
        measure="raise the speed slowly from rest, and read a tachometer through the guard where the hiss ends",
    )
    vents_after_fault: YesNo = fact(
        "Does the head also vent when the drive stops on a fault or by its stop key?",
        look="let someone press the drive's stop key below cut-out, and listen for the hiss",
    )
    turns_right: YesNo = fact(
        "Does the pump turn the way of its arrow, the flywheel's blades blowing over the cylinders?",
        look="with the guard on, as it runs down; a strip of paper held outside the guard shows which way the air goes",
    )
    reverse_disabled: YesNo = fact(
        "Is turning backwards disabled in the drive's settings?",
        look="in the drive's list of settings; its manual says which one forbids reverse",
    )

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry; the size needs nothing where the cylinders are measured."""
        if name == "displacement_share" and _measured(self.first_stage):
            return None
        if name == "stage_ratio" and (self.stages == 1 or _measured(self.second_stage)):
            return None
        if name == "leakage_when_new" and not self.rated:
            return None
        if name.startswith("intercooler") and self.stages == 1:
            return None
        return super().assumed_text(name)

    @model_validator(mode="before")
    @classmethod
    def _count_stages(cls, data: Any) -> Any:
        if isinstance(data, dict) and "second_stage" in data and "stages" not in data:
            return {"size_class": "large two-stage", **data, "stages": 2}
        if isinstance(data, dict) and data.get("stages") == 2:
            return {"size_class": "large two-stage", **data}
        return data


def _measured(stage: Stage[Any] | None) -> bool:
    return stage is not None and stage.bore is not None
