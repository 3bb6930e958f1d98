"""What the air is used for: tools and jobs, when they run, and who runs them."""

from __future__ import annotations

import re
from typing import Any, Generic, Literal

from pydantic import field_validator, model_validator

from airfettle.errors import AirfettleError, EntriesDisagree, MissingEntry
from airfettle.parts.tool import ToolKind, kinds, tool_of
from airfettle.plant.part import Part, Q, choice, for_loader, quantity
from airfettle.quantity import Span
from airfettle.quantity.clock import Hours, read_hours

AirQuality = Literal["blast cabinet", "general tools", "spray finishing", "plasma or laser assist", "unknown"]
"""Uses of the air by purity, those of ``parts.air_quality.uses()``."""

ALL_THROUGH = ("on", "off")
"""Entries of which both or neither are told; without them a use runs all through its hours."""

_AT = re.compile(r"(?P<air>.*\S)\s+at\s+(?P<at>\S.*?)(?P<by>\s+by\s+[a-z ]+)?", re.IGNORECASE | re.DOTALL)


class Use(Part[Q], Generic[Q]):
    """One tool or job that takes air, or several that are alike."""

    title = "what the air is used for: a tool or a job"
    tool: ToolKind = choice("kind of tool", default="unknown")
    air: Q | None = quantity(
        "reference_flow",
        "air it takes while it runs",
        by="tool",
        default={kind: tool_of(kind).air_text for kind in kinds()},
        unless=("nozzle",),
        low=1e-6,
        say="its pressure may stand behind it: '9..13 cfm at 90 psi'",
        example_us="9..13 cfm at 90 psi",
        example_si="250..370 L/min ANR at 6 bar",
        measure="the tool's sheet; a figure of a few cfm for a tool used in bursts is often a mean with its pauses",
        source="tool-air-tables",
    )
    at: Q = quantity(
        "pressure",
        "pressure at its inlet that this air is for",
        by="tool",
        default={kind: tool_of(kind).pressure_text for kind in kinds()},
        low=0.1e5,
        high=4e6,
        say="where a regulator stands before the tool, what it is set to",
        example_us="90 psi",
        example_si="6 bar",
        measure="a gauge at the tool's inlet, tool running; the tool's sheet",
        source="tool-air-tables",
    )
    pressure: Q | None = quantity(
        "pressure",
        "lowest pressure at its inlet with which it still works well",
        role="limit",
        low=0.0,
        high=4e6,
        example_us="80 psi",
        example_si="5.5 bar",
        measure="turn the regulator down while somebody works with it, until they say it is too weak",
    )
    enough_share: Q = quantity(
        "fraction",
        "that lowest pressure over the pressure its air is for, where it is not told",
        default="0.89..1.0",
        low=0.1,
        high=1.0,
        unless=("pressure",),
    )
    nozzle: Q | None = quantity(
        "length",
        "bore of its open nozzle, in place of its air",
        low=1e-4,
        high=0.03,
        example_us="1/8 in",
        example_si="3 mm",
        measure="a drill's plain end that just goes in, air locked off",
    )
    discharge_coefficient: Q | None = quantity(
        "fraction",
        "air of that nozzle over that of an ideal one",
        by="tool",
        default={"pressure blast nozzle": "0.75..0.85", "": "0.61..0.97"},
        low=0.1,
        high=1.0,
        source="blast-nozzle-table",
    )
    regulated: Literal["yes", "no"] = choice(
        "does a regulator hold its pressure; without one its air rises with the pressure", default="yes"
    )
    lost_on_the_way: Q | None = quantity(
        "pressure_difference",
        "pressure lost from receiver to tool while it runs: pipe, coupler, hose; not where drops tell it",
        default="2..8 psi",
        example_us="5 psi",
        example_si="0.4 bar",
        measure="a gauge at the tool's inlet, tool running, against the receiver's",
    )
    count: int = choice("how many there are of it", default=1, ge=1, le=50)
    when: str = choice(
        "hours of the week in which it may run",
        default="Mon-Fri 08:00-16:30",
        say="such as 'Mon-Fri 08:00-12:00 12:30-16:30, Sat 09:00-12:00', 'daily 22:00-06:00' or 'always'",
    )
    on: Q | None = quantity(
        "time",
        "how long one run is, on average",
        low=1.0,
        example_us="40 s",
        example_si="40 s",
        measure="a stopwatch over ten runs; without this and off it runs all through its hours",
    )
    off: Q | None = quantity(
        "time",
        "how long after a run until it is wanted again, on average",
        low=0.0,
        example_us="3 min",
        example_si="3 min",
        measure="count its runs in an hour of work, and take the time they run off the hour",
    )
    spread: Literal["fixed", "exponential", "log-normal"] = choice(
        "how single runs and pauses scatter round their average", default="log-normal"
    )
    variation: Q | None = quantity(
        "fraction",
        "scatter of single runs and pauses over their average, for log-normal",
        default="0.3..0.8",
        low=0.0,
        high=5.0,
    )
    people: tuple[str, ...] = choice(
        "who may use it; each person runs one tool at a time",
        default=(),
        say="names in the order in which they are asked; with nobody named, anybody named in another use may",
    )
    attended: Literal["yes", "no"] = choice("does somebody have to be at it while it runs", default="yes")
    needs: AirQuality = choice(
        "what its air has to be good enough for; unknown takes what its kind of tool needs", default="unknown"
    )
    hangs: bool = choice("whether it hangs on a drop of the shop's pipe; follows from the drops", default=False)

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry; nothing of what is not there or follows from elsewhere."""
        if name == "discharge_coefficient" and not self.is_told("nozzle"):
            return None
        if name == "lost_on_the_way" and self.hangs:
            return None
        if name == "variation" and (self.spread != "log-normal" or not self.is_told("on")):
            return None
        return super().assumed_text(name)

    @property
    def called(self) -> str:
        """Its name, or its kind where it has none."""
        return self.name or self.tool

    @property
    def hours(self) -> Hours:
        """The hours in which it may run."""
        return read_hours(self.when)

    @property
    def air_quality(self) -> str:
        """What its air has to be good enough for, by what is told or by its kind; ``unknown`` where neither says."""
        return tool_of(self.tool).air_quality if self.needs == "unknown" else self.needs

    @property
    def open_nozzle(self) -> bool:
        """Whether it blows through an open bore, told or of that kind."""
        return self.is_told("nozzle") or tool_of(self.tool).open_nozzle

    @model_validator(mode="before")
    @classmethod
    def _split(cls, data: Any) -> Any:
        """Take '9..13 cfm at 90 psi' apart into air and at, each with how it is known."""
        if not isinstance(data, dict):
            return data
        told = data.get("air")
        text = told.get("is") if isinstance(told, dict) else told
        found = _AT.fullmatch(text.strip()) if isinstance(text, str) else None
        if not found:
            return data
        if data.get("at", "unknown") not in ("unknown", "?"):
            raise for_loader(
                EntriesDisagree(
                    read=f"air = {text!r} and also at = {data['at']!r}",
                    wanted="the pressure once, behind the air or in a line of its own",
                ),
                "at",
            )
        by = found["by"] or ""
        parts = {"air": found["air"] + by, "at": found["at"] + by}
        if isinstance(told, dict):
            return data | {key: {**told, "is": part} for key, part in parts.items()}
        return data | parts

    @field_validator("when", mode="after")
    @classmethod
    def _readable(cls, when: str) -> str:
        try:
            read_hours(when)
        except AirfettleError as error:
            raise for_loader(error) from error
        return when

    @model_validator(mode="after")
    def _check(self) -> Use[Q]:
        told = [name for name in ALL_THROUGH if self.is_told(name)]
        if len(told) == 1:
            missing = next(name for name in ALL_THROUGH if name not in told)
            problem: AirfettleError = MissingEntry(
                read=f"{told[0]} without {missing}", wanted="both on and off, or neither where it runs all through"
            )
            raise for_loader(problem, told[0])
        if self.is_told("nozzle") and self.is_told("air"):
            problem = EntriesDisagree(
                read="air and also nozzle", wanted="one of them: the air follows from the bore and its pressure"
            )
            raise for_loader(problem, "nozzle")
        needed, full = self.pressure, self.at
        if isinstance(needed, Span) and isinstance(full, Span) and needed.kind == full.kind and needed.low > full.high:
            problem = EntriesDisagree(
                read=f"pressure = {needed.text!r} above at = {full.text!r}",
                wanted="a pressure with which it still works well, not above the one its air is for",
            )
            raise for_loader(problem, "pressure")
        return self
