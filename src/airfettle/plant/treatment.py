"""Dryer and filters after the receiver."""

from __future__ import annotations

from typing import Generic, Literal

from airfettle.parts.membrane import membrane_purge_share
from airfettle.plant.part import Part, Q, choice, fact, quantity
from airfettle.plant.separator import Bowl
from airfettle.quantity import Span

REGENERATIVE = ("desiccant, heatless", "desiccant, heated purge", "desiccant, blower purge")
"""Kinds of dryer with two beds of desiccant."""
MEMBRANE_INLET = 309.65
"""Inlet temperature of a membrane's rating where none is told, the middle of its span. [K]  Source: practice."""


class Dryer(Part[Q], Generic[Q]):
    """A dryer: refrigerated, of desiccant, of membrane, or a cartridge of beads."""

    title = "the dryer"
    kind: Literal[
        "refrigerated",
        "desiccant, heatless",
        "desiccant, heated purge",
        "desiccant, blower purge",
        "bead cartridge",
        "membrane",
    ] = choice("kind of dryer", default="refrigerated")
    rated_flow: Q | None = quantity(
        "reference_flow",
        "flow it is rated for",
        role="limit",
        example_us="25 scfm by plate",
        example_si="700 L/min ANR by plate",
    )
    rated_dew_point: Q = quantity(
        "temperature",
        "pressure dew point it holds, beads fresh",
        by="kind",
        default={
            "refrigerated": "2..5 degC",
            "desiccant, heatless": "-50..-35 degC likely -40",
            "desiccant, heated purge": "-45..-30 degC likely -40",
            "desiccant, blower purge": "-42..-20 degC likely -40",
            "bead cartridge": "-45..-20 degC",
            "membrane": "-5..5 degC",
        },
        example_us="38 °F",
        example_si="3 °C",
    )
    rated_inlet_temperature: Q | None = quantity(
        "temperature",
        "inlet temperature of its rating",
        by="kind",
        default=dict.fromkeys(("refrigerated", *REGENERATIVE, "membrane"), "35..38 degC"),
    )
    rated_room_temperature: Q | None = quantity(
        "temperature", "room temperature of its rating", by="kind", default={"refrigerated": "25..38 degC"}
    )
    rated_pressure: Q = quantity("pressure", "pressure of its rating", default="6.9..7.0 bar")
    drop: Q = quantity(
        "pressure_difference",
        "pressure lost at rated flow",
        by="kind",
        default={
            "refrigerated": "2..5 psi",
            **dict.fromkeys(REGENERATIVE, "3..7 psi"),
            "bead cartridge": "0.5..2 psi",
            "membrane": "2..6 psi",
        },
    )
    power: Q | None = quantity(
        "power",
        "power it takes, mean while it runs",
        by="kind",
        default={
            "refrigerated": "150..500 W",
            "desiccant, heatless": "10..60 W",
            "desiccant, heated purge": "200..1000 W",
            "desiccant, blower purge": "400..2000 W",
        },
    )
    purge_share: Q | None = quantity(
        "fraction",
        "air spent to regenerate it, share of its rated flow at its rated pressure",
        low=0.0,
        high=0.6,
        by="kind",
        example_us="15 % by maker",
        example_si="15 % by maker",
        measure="the maker's sheet; with no tool drawing, the pressure that the receiver loses in a minute tells it",
        default={
            "desiccant, heatless": "15..18 %",
            "desiccant, heated purge": "5..8 %",
            "desiccant, blower purge": "0..3 %",
            "membrane": "11..19 %",
        },
    )
    purge_when: Literal["always", "with demand"] = choice(
        "when purge air is spent", default="always",
        say="always: while there is pressure and it is switched on; with demand: by the load of the beds, or while air "
        "flows",
    )  # fmt: skip
    beads: Literal["silica gel", "molecular sieve"] = choice("what the beads of a cartridge are", default="silica gel")
    bead_mass: Q | None = quantity(
        "mass",
        "mass of the dry beads in a cartridge",
        by="kind",
        default={"bead cartridge": "0.2..2 kg"},
        example_us="1.5 lb by scale",
        example_si="0.7 kg by scale",
        measure="empty the cartridge into a bowl on a scale, dry beads, without pressure on it",
    )
    bead_grade: Q | None = quantity(
        "number",
        "how much its beads hold: 0 the least of their sort, 1 the most",
        low=0.0,
        high=1.0,
        by="kind",
        default={"bead cartridge": "0..1"},
    )
    usable_share: Q | None = quantity(
        "fraction",
        "share of what its beads can hold that they take before the air gets damp",
        low=0.0,
        high=1.0,
        by="kind",
        default={"bead cartridge": "50..85 %"},
    )

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry; a membrane's purge goes by how far it lowers the dew point."""
        if name == "purge_share" and self.kind == "membrane" and isinstance(self.rated_dew_point, Span):
            inlet = self.rated_inlet_temperature
            hot = inlet.likely if isinstance(inlet, Span) else MEMBRANE_INLET
            least, most = (membrane_purge_share(hot - self.rated_dew_point.likely, place=end) for end in (0.0, 1.0))
            return f"{100.0 * float(least):.3g}..{100.0 * float(most):.3g} %"
        return super().assumed_text(name)


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
