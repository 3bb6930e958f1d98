"""Belt, motor sheave and flywheel."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.plant.part import Part, Q, YesNo, choice, fact, quantity


class Belt(Part[Q], Generic[Q]):
    """The belt drive; a pump coupled straight to its motor has ``belt = "none"``."""

    title = "belt, motor sheave and pump flywheel"
    section: Literal["A", "B", "AX", "BX", "Z", "SPZ", "SPA", "SPB", "3V", "unknown"] = choice(
        "belt section, printed on the belt", default="unknown"
    )
    count: int | None = choice("number of belts", ge=1, le=20)
    motor_sheave: Q | None = quantity(
        "length",
        "diameter of the motor sheave",
        example_us="4.75 in by tape",
        example_si="125 mm",
        low=0.02,
        high=1.0,
        measure="tape or caliper over the outside of the rims",
    )
    pump_sheave: Q | None = quantity(
        "length",
        "diameter of the pump's flywheel",
        example_us="16.25 in by tape",
        example_si="400 mm",
        low=0.05,
        high=2.0,
        measure="tape across the outside of the rim",
    )
    diameters: Literal["outside", "pitch"] = choice("how the diameters were taken", default="outside")
    pitch_doubt: Q = quantity(
        "fraction",
        "where in the groove the belt runs: 0 at its datum line, 1 at the outside",
        default="0..1",
        low=0.0,
        high=1.0,
        source="machinerys-belts",
        measure="a tachometer on motor and pump settles it",
        unless=("ratio",),
    )
    ratio: Q | None = quantity(
        "fraction",
        "motor turns for one pump turn, where known",
        example_us="3.4",
        example_si="3.2",
        low=0.2,
        high=20.0,
        measure="a tachometer on both shafts",
    )
    speed_share: Q = quantity(
        "fraction",
        "pump speed at base frequency over its maximum, where no pair of diameters is known",
        default="0.75..1.0",
        low=0.05,
        high=2.0,
    )
    creep: Q = quantity("fraction", "belt creep", default="0.5..2 %", low=0.0, high=0.2)
    efficiency: Q = quantity("fraction", "belt efficiency", default="0.93..0.97", low=0.5, high=1.0)
    centre_distance: Q | None = quantity(
        "length", "distance between shafts", example_us="24 in", example_si="600 mm", low=0.05, high=5.0
    )
    belt_length: str = choice("length marking on the belt", default="")
    guard: YesNo = fact(
        "Is the belt guarded, so that no hand or sleeve can reach belt, sheaves or flywheel?",
        look="from every side, the wall's side and the flywheel's spokes included; with the plant off",
    )
    guard_lets_air_through: YesNo = fact(
        "Does the guard let the flywheel's air through to the cylinders?",
        look="mesh or slots before the flywheel's blades, not closed sheet or board",
    )
    wheel_may_change: YesNo = fact(
        "May the pump's flywheel be changed for another?",
        look="yours to decide: the wheel is also the pump's fan and evens out its torque",
    )

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry; both sheaves, or the ratio, leave nothing to assume of the speed."""
        both = self.is_told("motor_sheave") and self.is_told("pump_sheave")
        if name == "speed_share" and (both or self.is_told("ratio")):
            return None
        if name == "pitch_doubt" and (not both or self.diameters == "pitch"):
            return None
        return super().assumed_text(name)
