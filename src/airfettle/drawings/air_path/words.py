"""What the drawing of the air path says, in words and numbers."""

from __future__ import annotations

from typing import Any

import numpy as np

from airfettle.drawings.space import cleaned
from airfettle.findings.finding import Finding
from airfettle.quantity import Units, in_unit, plain, shown_unit, span_text, toleranced
from airfettle.studies.stations import KINDS_SHOWN, Array, Quantity, StationAt, StationsAt

CAUTION = (
    "Air under pressure can kill. This drawing only computes; local codes and licensed people decide what may be "
    "built and run."
)
"""Said on every sheet."""
READING = (
    "Bold line: air. Thin dashed line: signal. Dashed symbol: there is none, or nobody told. Dotted frame and name in "
    "parentheses: a part nobody told of. Values are the most likely, with nine of ten rows of the draw between their "
    "limits; in parentheses where all that makes them doubtful is assumed. Dew points are at the pressure there."
)
"""How the drawing is read."""
HEADS: dict[Quantity, str] = {
    "gauge": "pressure", "temperature": "temperature", "dew_point": "dew point", "vapour": "vapour passing",
    "liquid": "drops passing", "caught": "water dropped",
}  # fmt: skip
"""Heads of the station table."""
NONE = "–"
"""Where there is no water. [text]"""
NOTHING = 0.05e-3 / 3600.0
"""Water flow under which none is spoken of, a twentieth of a gram an hour. [kg/s]"""
MOST_TOOLS = 8
"""Tools listed one by one. [-]"""
ALWAYS_HOLD = 0.995
"""Share of the draw in which the motors hold, from which it is taken as all of it. [-]"""


def cooler_name(part: Any) -> str:
    """Return what a cooler is called."""
    return "aftercooler" if part.kind in ("unknown", "bought aftercooler") else f"aftercooler ({part.kind})"


def filter_name(part: Any) -> str:
    """Return what a filter is called: its purpose, and its own name where that says more."""
    name = {"particles": "particle filter", "coalescing": "coalescing filter", "carbon": "carbon filter",
            "regulator": "regulator"}.get(part.purpose, "filter")  # fmt: skip
    return name if not part.name or cleaned(part.name) in name else f"{name} {part.name}"


class Words:
    """Words and numbers of one plant's stations, in its owner's units."""

    def __init__(self, at: StationsAt) -> None:
        self.at, self.plant = at, at.draw.plant
        self.units: Units = at.draw.plant.about.units
        self._cells: dict[tuple[int, str], str] = {}

    def toleranced(self, values: Array, kind: str) -> str:
        """Return an array of rows as a toleranced dimension with its unit."""
        band = self.at.band(values)
        return toleranced(band.low, band.likely, band.high, kind=kind, units=self.units)

    def likely(self, values: Array, kind: str) -> str:
        """Return the likely value of an array of rows alone, with its unit."""
        number, unit = self.toleranced(values, kind).split(" ")[0], shown_unit(kind, self.units)
        value = in_unit(self.at.band(values).likely, kind=kind, unit=unit)
        return f"{number if float(number) or not value else f'{value:.1g}'} {unit}"

    def unit(self, quantity: Quantity) -> str:
        """Return the unit that a quantity of a station is shown in."""
        return shown_unit(KINDS_SHOWN[quantity], self.units)

    def cell(self, station: StationAt, quantity: Quantity) -> str:
        """Return a value of a station without its unit; a dash where there is no water."""
        key = (id(station), quantity)
        if key not in self._cells:
            self._cells[key] = self._cell(station, quantity)
        return self._cells[key]

    def told(self, station: StationAt, quantity: Quantity) -> str:
        """Return a value of a station with its unit."""
        cell, unit = self.cell(station, quantity), self.unit(quantity)
        return f"{cell[:-1]} {unit})" if cell.endswith(")") else f"{cell} {unit}"

    def _cell(self, station: StationAt, quantity: Quantity) -> str:
        values, kind = getattr(station, quantity), KINDS_SHOWN[quantity]
        if kind == "water_flow" and self.at.band(values).high < NOTHING:
            return NONE
        words = self.toleranced(values, kind).removesuffix(f" {self.unit(quantity)}")
        return f"({words})" if quantity in station.guessed else words

    def drops(self, station: StationAt) -> bool:
        """Return whether water worth speaking of falls out of the air at a station."""
        return self.cell(station, "caught") != NONE

    def entry(self, path: str, *, missing: str = "") -> str:
        """Return an entry as the owner reads it, without how it is known; in parentheses where it is assumed."""
        span = self.at.draw.spans.get(path)
        if span is None:
            return missing
        words = span_text(span, units=self.units).split(" by ")[0]
        return f"({words})" if span.known == "assumed" else words

    def pump(self, place: int) -> tuple[str, ...]:
        """Return how fast a pump turns."""
        return (self.toleranced(self.at.state.trains[place].pump_speed, "rotational_speed"),)

    def motor(self, place: int) -> tuple[str, ...]:
        """Return a motor's power and the hertz it is shown at."""
        several = f"train.{self.plant.trains[place].name or place + 1}." if self.plant.train else ""
        power = self.entry(f"{several}motor.power")
        hertz = float(np.ravel(self.at.state.trains[place].frequency)[0])
        return tuple(word for word in (power, f"{hertz:.4g} Hz") if word)

    def cooler(self, path: str, part: Any) -> tuple[str, ...]:
        """Return what is known of a cooler's size."""
        return tuple(filter(None, (self.entry(f"{path}.conductance"),)))

    def receiver(self, path: str, part: Any) -> tuple[str, ...]:
        """Return volume and plate pressure of a receiver."""
        plate = self.entry(f"{path}.plate_pressure")
        return self.entry(f"{path}.volume"), f"plate {plate}" if plate else "plate not told"

    def drain(self, part: Any) -> tuple[str, ...]:
        """Return how a drain opens."""
        return ({"automatic": "drain automatic", "by hand": "drain by hand", "none": "no drain"}.get(
            part.drain, "drain not told"),)  # fmt: skip

    def switch(self) -> tuple[str, ...]:
        """Return where the plant starts and stops, and what the signal does."""
        cut_in, cut_out = self.entry("control.cut_in"), self.entry("control.cut_out")
        unit = " " + cut_out.rpartition(" ")[2]
        starts = "starts the pumps" if len(self.plant.trains) > 1 else "starts the pump"
        if cut_in.startswith("(") and cut_out.startswith("("):
            cut_in, cut_out = cut_in[:-1], cut_out[1:]
            unit = unit[:-1]
        return f"{cut_in.removesuffix(unit)} to {cut_out}", starts

    def pipe(self) -> tuple[str, ...]:
        """Return what the shop's pipe is made of."""
        pipe = self.plant.shop_pipe
        return () if pipe is None or pipe.weakest == "unknown" else (pipe.weakest,)

    def tools(self) -> tuple[str, ...]:
        """Return the tools, with the pressure each gets where the pipe is told; the one worst off first."""
        if self.at.tools:
            lines = [f"{tool.name}: {self.toleranced(tool.gauge, 'pressure')}{self._short(tool.gauge - tool.needed)}"
                     for tool in self.at.tools]  # fmt: skip
            head = "all running that can, receiver as shown:"
        else:
            lines = [use.called for use in self.plant.use if not use.absent]
            head = "tools, their pressure not worked out:" if lines else "tools: none told"
        counted = dict.fromkeys(lines)
        told = [f"{lines.count(line)} × {line}" if lines.count(line) > 1 else line for line in counted]
        rest = len(told) - MOST_TOOLS
        return (head, *told[:MOST_TOOLS], *((f"and {rest} more",) if rest > 0 else ()))

    def _short(self, spare: Array) -> str:
        return ", short" if self.at.band(spare).likely < 0.0 else ""

    def headline(self) -> str:
        """Return what the plant delivers at this point."""
        if not np.any(self.at.runs):
            return f"No motor holds {self.where()}: this point cannot be run"
        delivered = np.asarray(sum(self.at.rows(t.delivered_air) for t in self.at.state.trains))
        return f"Delivers {self.toleranced(delivered, 'intake_flow')} at {self.where()}"

    def where(self) -> str:
        """Return the point shown: speed and receiver pressure."""
        gauge = plain(self.at.gauge, kind="pressure", units=self.units)
        return f"{self.at.frequency:.4g} Hz and {gauge}"

    def water(self) -> str:
        """Return where the water goes that is drawn in."""
        path = self.at.state.path
        ways = (
            (path.water_caught, "caught before the receiver"), (path.receiver_water, "gathers in the receiver"),
            (path.treatment_water, "caught behind it"), (path.held_water, "kept by the dryer's beads"),
            (path.purge_water, "gone with the dryer's purge air"), (path.blow_by_water, "gone past the rings"),
            (path.carried_liquid, "sent on as drops"), (path.carried_vapour, "sent on as vapour"),
        )  # fmt: skip
        told = [f"{self.likely(values, 'water_flow').split(' ')[0]} {words}" for values, words in ways
                if self.at.band(values).likely >= NOTHING]  # fmt: skip
        return f"Of {self.likely(path.intake_water, 'water_flow')} of water drawn in: {', '.join(told)}."

    def caught(self) -> str:
        """Return all water that drops out on the way, whether or not a drain lets it out."""
        total = sum(self.at.rows(station.caught) for station in self.at.every)
        return f"water dropped: {self.toleranced(np.asarray(total), 'water_flow')} in all"

    def doubt(self) -> str:
        """Return what to know where motors do not hold the point in all of the draw; empty where they do."""
        share = float(np.mean(self.at.runs))
        if share >= ALWAYS_HOLD or share == 0.0:
            return ""
        return f"A motor cannot hold this point in {1.0 - share:.0%} of the draw; the numbers are of the rest."

    def title(self) -> list[tuple[str, str]]:
        """Return the entries of the title block: what each is, and what it says."""
        draw, about = self.at.draw, self.plant.about
        assumed, entries = len(draw.assumed_at_rest), len(draw.spans_at_rest)
        state = ", ".join(filter(None, (about.date, about.revision and f"revision {about.revision}")))
        return [
            ("plant", cleaned(about.name) or "no name yet"),
            ("sheet", "air path, not to scale"),
            ("shown at", f"{self.where()} in the receiver"),
            ("how sure", f"{assumed} of {entries} entries are assumed, nobody told; {draw.rows} rows of the draw"),
            *([("state", state)] if state else []),
            ("mind", CAUTION),
        ]  # fmt: skip


def verdict_words(findings: tuple[Finding, ...]) -> str:
    """Return the gravest of what was found on the air path, in one line; empty where nothing grave was."""
    dangers = sum(f.signal == "danger" and f.state == "holds" for f in findings)
    warnings = sum(f.signal == "warning" and f.state == "holds" for f in findings)
    asked = sum(f.signal in ("danger", "warning") and f.state != "holds" for f in findings)
    told = [f"{n} {word}{'s' if n > 1 else ''}" for n, word in ((dangers, "danger"), (warnings, "warning")) if n]
    said = f"{' and '.join(told)} on the air path" if told else ""
    if asked:
        what = f"{asked} grave question{'s' if asked > 1 else ''} without an answer"
        said = f"{said}, {what}" if said else what[:1].upper() + what[1:]
    if dangers:
        return f"Do not pressurise it: {said}."
    return f"{said}: see the notes." if said else ""
