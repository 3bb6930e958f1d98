"""What the drawing of a shop's pipe says: at every drop, along the pipes, in its first line and its title block."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.drawings.space import cleaned
from airfettle.plant.pipework import Drop
from airfettle.quantity import Units, in_unit, shown_unit, toleranced
from airfettle.studies.pipework.answers import LineAnswers, PlaceAnswers, Step
from airfettle.studies.pipework.lies import drains_main
from airfettle.studies.pipework.shop import ShopRun

Array = NDArray[np.float64]

RUN_SPEED, DROP_SPEED = 6.0, 9.0
"""Fastest air of common practice in a run and in a drop. [m/s]"""
STILL = 1e-7
"""Flow below which nothing is said to flow. [kg/s]"""
CAUTION = (
    "Air under pressure can kill. This drawing only computes; local codes and licensed people decide what may be "
    "piped and run."
)
"""Said on every sheet."""
READING = (
    "The thicker a pipe, the wider its bore; arrows go with the air. The pipe between two thin lines is the way to the "
    "tool worst off. A dashed drop: none of its tools runs."
)
"""How the drawing is read."""
MOST_NAMED = 6
"""Tools named one by one in the title block. [-]"""


@dataclass(frozen=True)
class Words:
    """One line of a label: ``name``, ``value``, ``short``, ``cause`` or ``off`` by what it says."""

    text: str
    style: str


def units_of(run: ShopRun) -> Units:
    """Return the units of the plant's owner."""
    return run.draw.plant.about.units


def spread(values: Array, *, kind: str, units: Units) -> str:
    """Return likely value and tolerance of an array of rows: median, P5 and P95."""
    low, likely, high = (float(v) for v in np.percentile(values, (5.0, 50.0, 95.0)))
    return toleranced(low, likely, high, kind=kind, units=units)


def likely(values: Array, *, kind: str, units: Units) -> str:
    """Return the likely value alone, to the digits its spread deserves, or to one where they leave nothing of it."""
    unit = shown_unit(kind, units)
    number = spread(values, kind=kind, units=units).split()[0]
    value = in_unit(float(np.median(values)), kind=kind, unit=unit)
    return f"{number if float(number) or abs(value) < 1e-9 else f'{value:.1g}'} {unit}"


def distance(metres: float, units: Units) -> str:
    """Return a height or length in feet or metres."""
    number = in_unit(metres, kind="altitude", unit="ft" if units == "US" else "m")
    return f"{number:.0f} ft" if units == "US" else f"{number:.1f} m"


def running(run: ShopRun) -> list[PlaceAnswers]:
    """Return the tools that run."""
    return [place for place in run.places if place.runs]


def worst_of(run: ShopRun) -> PlaceAnswers | None:
    """Return the tool worst off, where any runs."""
    return run.places[run.worst] if run.places[run.worst].runs else None


def worst_drop(run: ShopRun) -> int:
    """Return the drop of the tool worst off, -1 where none runs."""
    return run.network.outlets[run.worst].drop if run.places[run.worst].runs else -1


def is_short(place: PlaceAnswers) -> bool:
    """Return whether a tool most likely has less pressure than it needs."""
    return place.runs and float(np.median(place.margin)) < 0.0


def may_be_short(place: PlaceAnswers) -> bool:
    """Return whether a tool has too little in more than one of 20 rows, though not most likely."""
    return place.runs and not is_short(place) and float(np.percentile(place.margin, 5.0)) < 0.0


def drop_words(run: ShopRun, drop: int) -> list[Words]:
    """Return the label of a drop: its name, and each tool with the pressure at its inlet."""
    units, name = units_of(run), run.network.drops[drop]
    there = [p for p, o in zip(run.places, run.network.outlets, strict=True) if o.drop == drop]
    names = [place.name.replace(f" at {name}", "", 1) for place in there]
    lines = [] if names == [name] else [Words(name, "name")]
    for place, tool in zip(there, names, strict=True):
        if not place.runs:
            lines.append(Words(f"({tool}) off", "off"))
            continue
        lines.append(Words(tool, "name" if names == [name] else "tool"))
        lines.append(Words(spread(place.gauge, kind="pressure", units=units), "value"))
        if is_short(place):
            lacking = likely(-place.margin, kind="pressure_difference", units=units)
            lines.append(Words(f"short by {lacking}", "short"))
        elif may_be_short(place):
            needed = likely(place.needed, kind="pressure", units=units)
            lines.append(Words(f"may be short of {needed}", "short"))
        if place is worst_of(run) and (step := greatest(run)) is not None:
            lost = likely(step.lost, kind="pressure_difference", units=units)
            lines.append(Words(f"most lost in {step.name}: {lost}", "cause"))
    line = run.lines[line_of_drop(run, drop)]
    if is_fast(line):
        lines.append(Words(f"air in the drop: {speed_words(line, units)}", "short"))
    return lines if there else [*lines, Words("no tool here", "off")]


def drop_is_off(run: ShopRun, drop: int) -> bool:
    """Return whether no tool runs at a drop."""
    return not any(p.runs for p, o in zip(run.places, run.network.outlets, strict=True) if o.drop == drop)


def line_of_drop(run: ShopRun, drop: int) -> int:
    """Return the pipe of a drop."""
    node = len(run.network.nodes) - len(run.network.drops) + drop
    return next(k for k, line in enumerate(run.network.lines) if not line.run and line.end == node)


def greatest(run: ShopRun) -> Step | None:
    """Return the part of the way that takes most, where anything is lost."""
    parts = [step for step in run.way if step.sort != "regulator"]  # what a regulator takes is wanted
    steps = sorted(parts, key=lambda step: -float(np.median(step.lost)))
    return steps[0] if steps and float(np.median(steps[0].lost)) > 1.0 else None


def size_words(run: ShopRun, line: int) -> str:
    """Return size and material of a pipe: 3/4 in copper L."""
    stock = run.network.lines[line].stock
    return f"{stock.size} {stock.material}"


def speed_words(line: LineAnswers, units: Units) -> str:
    """Return how fast the air in a pipe is, and whether that is fast."""
    speed = likely(line.speed, kind="linear_speed", units=units)
    return f"{speed}, fast" if is_fast(line) else speed


def is_fast(line: LineAnswers) -> bool:
    """Return whether air is faster in a pipe than common practice has it."""
    return float(np.median(line.speed)) > (RUN_SPEED if line.run else DROP_SPEED)


def direction(line: LineAnswers) -> int:
    """Return which way the air goes: 1 from start to end, -1 back, 0 not at all, 2 either way over the rows."""
    low, middle, high = (float(v) for v in np.percentile(line.flow, (5.0, 50.0, 95.0)))
    if max(abs(low), abs(middle), abs(high)) < STILL:
        return 0
    return 2 if low < -STILL and high > STILL else 1 if middle > 0.0 else -1


def pairs(run: ShopRun) -> list[tuple[int, int]]:
    """Return the two places of every pipe of a run. [-]"""
    return [(line.start, line.end) for line in run.network.lines if line.run]


def low_points(run: ShopRun) -> tuple[int, ...]:
    """Return the places that lie lower than every place beside them, receivers left out."""
    heights, found = run.network.positions[:, 2], []
    for node in range(len(run.network.nodes) - len(run.network.drops)):
        beside = [b if a == node else a for a, b in pairs(run) if node in (a, b)]
        if node not in run.network.sources and beside and all(heights[node] < heights[n] - 0.01 for n in beside):
            found.append(node)
    return tuple(found)


def drops_of(run: ShopRun) -> list[Drop[Array]]:
    """Return the drops as the plant tells them, in the network's order."""
    pipe = run.draw.plant.shop_pipe
    return [] if pipe is None else [drop for drop in pipe.drops if not drop.absent]


def drains_of(run: ShopRun) -> set[str]:
    """Return the names of places that have a drain."""
    pipe = run.draw.plant.shop_pipe
    return set() if pipe is None else {*pipe.drains, *(drop.at for drop in pipe.drops if drains_main(pipe, drop))}


def drain_notes(run: ShopRun) -> list[str]:
    """Return what the drain symbols of this drawing mean."""
    has, names = drains_of(run), run.network.nodes
    notes = []
    if any(names[node] not in has for node in low_points(run)):
        notes.append("Dashed square on its corner: a low point without a drain. Water stands there; fit a drain.")
    if has or any(drop.drain == "yes" for drop in drops_of(run)):
        notes.append("Square on its corner: a drain.")
    return notes


def headline(run: ShopRun) -> str:
    """Return the first thing to know: who is worst off, and what takes most of the pressure."""
    worst, units = worst_of(run), units_of(run)
    if worst is None:
        return f"No tool runs: {receiver_words(run)} at the receiver, and nothing flows to the drops"
    step, short = greatest(run), sum(is_short(p) for p in run.places)
    sign = -1.0 if is_short(worst) else 1.0
    left = likely(sign * worst.margin, kind="pressure_difference", units=units)
    if is_short(worst):
        said = f"{worst.name} is short by {left}"
        said += f", and {short - 1} more {'is' if short == 2 else 'are'} short" if short > 1 else ""
    elif may_be_short(worst):
        said = f"{worst.name} may be short: {left} to spare most likely, none in bad cases"
    else:
        said = f"Every tool that runs has what it needs; {worst.name} has least to spare, {left}"
    if step is None:
        return said
    lost = likely(step.lost, kind="pressure_difference", units=units)
    whole = likely(run.answers.total_drop, kind="pressure_difference", units=units)
    return f"{said}. {step.name[:1].upper()}{step.name[1:]} takes most: {lost} of the {whole} lost on the way"


def receiver_words(run: ShopRun) -> str:
    """Return the pressure at the receiver."""
    return spread(run.answers.receiver_gauge, kind="pressure", units=units_of(run))


def title_words(run: ShopRun, *, plan: bool) -> list[tuple[str, str]]:
    """Return the entries of the title block: what each is, and what it says."""
    on, draw = running(run), run.draw
    if not on:
        shown = "no tool running"
    elif len(on) <= MOST_NAMED:
        shown = "running: " + ", ".join(place.name for place in on)
    else:
        shown = f"{len(on)} of {len(run.places)} tools running"
    assumed, entries = len(draw.assumed_at_rest), len(draw.spans_at_rest)
    view = "plan seen from above, to scale" if plan else "line diagram, not to scale"
    return [
        ("plant", cleaned(draw.plant.about.name) or "no name yet"),
        ("shown", f"{view}; {shown}; receiver at {receiver_words(run)}"),
        ("how sure", f"{assumed} of {entries} entries are assumed, nobody told; values are most likely ones, with "
         f"{SHARE} of {draw.rows} rows of the draw between their limits"),
        ("mind", CAUTION),
    ]  # fmt: skip


SHARE = "9 of 10"
"""Share of rows between P5 and P95. [text]"""
