"""Rules about the pipe round the shop: what it is made of, how it lies, what it leaks, and what its air is used for."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import ZERO_CELSIUS
from airfettle.findings.air_quality import all_dry_air
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.finding import LIKELY, Signal
from airfettle.findings.rule import rule
from airfettle.parts.dryer import DEW_POINT_DISTANCE
from airfettle.quantity import KINDS

Array = NDArray[np.float64]

UNLISTED = ("PEX", "other plastic")
"""Plastic that is for air only where its maker says so."""
PLASTIC = (*UNLISTED, "listed plastic for air")
BLOW_GUN_MOST = 30.0 * KINDS["pressure"].units["psi"][0]
"""Gauge pressure that a blow gun may reach with its tip closed. [Pa]  Source: 29 CFR 1910.242(b)."""
LEAK_SHARE, LEAK_LEAST = 0.10, 0.5 * KINDS["reference_flow"].units["scfm"][0]
"""Share of full delivery, and flow, that leaks have to pass both. [-] [kg/s]  Source: practice."""
FINE_USES = ("paint or finishing", "blasting", "breathing", "food or glass blowing")
"""Uses that a drop of water spoils."""


@rule(
    "pvc_pipe", signal="danger", group="pressure boundary", title="Compressed air in PVC or CPVC",
    why="PVC goes brittle with age, oil and cold, and under air it bursts into sharp pieces thrown across the shop; "
        "its printed pressure is for water.",
    threshold="any of the pipe is PVC or CPVC",
    do="Let the pressure off and replace all of it, with steel, copper, aluminium shop pipe or plastic listed for air.",
    sources=("osha-plastic-pipe", "asme-b31-plastic"),
)  # fmt: skip
def pvc_pipe(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe."""
    for part in case.parts("shop_pipe"):
        cut_out = _gauge(case, case.reach.numbers.cut_out)
        yield case.asked(part, "material", bad=("PVC or CPVC",), says=f"The shop's pipe is PVC or CPVC, and stands "
                         f"under up to {case.show(cut_out, kind='pressure')} of air.")  # fmt: skip


@rule(
    "pipe_not_for_air", signal="warning", group="pressure boundary", title="Plastic pipe that is not made for air",
    why="A pressure printed for water says nothing of compressed air, whose stored energy tears a crack open, nor of "
        "pump oil.",
    threshold="plastic pipe that its maker does not list for compressed air",
    do="Replace it with pipe that its maker lists for compressed air, or with metal.",
    sources=("osha-plastic-pipe",),
)  # fmt: skip
def pipe_not_for_air(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe where it is plastic that may or may not be for air."""
    for part in case.parts("shop_pipe"):
        if part.fact("material") in UNLISTED:
            yield case.asked(part, "listed_for_air", bad=("no",),
                             says=f"The pipe ({part.fact('material')}) is not listed for compressed air.")  # fmt: skip


@rule(
    "pipe_rating", signal="warning", group="pressure boundary", title="A pipe beyond its rating",
    why="The pipe stands under all that the relief valve holds back, and plastic holds less the warmer it is; a "
        "regulator is no relief valve.",
    threshold="the relief valve's setting or the cut-out above the pipe's pressure rating, or the air in it above the "
              "temperature of that rating, in half of the draw; for plastic both ratings are asked",
    do="Lower cut-out and relief setting below the rating, cool the air, or replace the pipe.",
    sources=("asme-b31-plastic", "practice"),
)  # fmt: skip
def pipe_rating(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe where a rating is told or ought to be."""
    for part in case.parts("shop_pipe"):
        actual = {"pressure_rating": _highest(case), "temperature_rating": case.reach.state.path.line_temperature}
        told = {name: rows for name in actual if (rows := part.rows(name)) is not None}
        found = _beyond_rating(case, part, actual, told)
        missing = [name for name in actual if name not in told]
        if found.state == "clear" and missing and part.fact("material") in PLASTIC:
            yield Verdict("not told", f"Not told for the plastic pipe: {' and '.join(missing)}.", (part.path,),
                          do="Read the print along the pipe and its maker's sheet for air.",
                          decided_by=tuple(part.at(name) for name in missing))  # fmt: skip
        elif told:
            yield found


def _beyond_rating(case: Case, part: Part, actual: dict[str, Array], told: dict[str, Array]) -> Verdict:
    breach = np.zeros((1, 1, 1), dtype=bool)
    for name, rows in told.items():
        breach = np.asarray(breach | (actual[name] > rows))
    under = case.show(_gauge(case, actual["pressure_rating"]), kind="pressure")
    return case.likely(
        breach, parts=(part.path,), rests_on=tuple(part.at(name) for name in told),
        says=lambda at: f"Rated {part.shown('pressure_rating')} up to {part.shown('temperature_rating')}; it can come "
        f"under {under}, with air of {at.show(actual['temperature_rating'], kind='temperature')}.",
    )  # fmt: skip


@rule(
    "blow_gun", signal="warning", group="pressure boundary", title="A blow gun that can push air into the body",
    why="An open nozzle pressed on skin puts full pressure behind it: air under the skin or in an eye maims and kills.",
    threshold="an open nozzle on air that can pass 30 psi (2.1 bar) with the tip closed",
    do="Fit nozzles that let the air out sideways when the tip is closed, or a regulator set below 30 psi; add a chip "
       "screen and eye protection, and never blow at a person.",
    sources=("osha-1910-242",),
)  # fmt: skip
def blow_gun(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the blow guns on the shop's pipe."""
    for part in case.parts("shop_pipe"):
        gauge = _gauge(case, case.reach.numbers.cut_out)
        if part.fact("blow_gun") == "open nozzle":
            yield case.likely(gauge > BLOW_GUN_MOST, parts=(part.path,),
                              says=f"Open nozzles on a line of up to {case.show(gauge, kind='pressure')}.")  # fmt: skip
        else:
            yield case.asked(part, "blow_gun", bad=(), says="")


@rule(
    "breathing_air", signal="danger", group="pressure boundary", title="Shop air for breathing",
    why="A hot pump makes carbon monoxide from its oil and draws in whatever stands near its intake; it has no smell, "
        "and whoever breathes it falls without a warning.",
    threshold="somebody breathes the air, without an alarm for carbon monoxide or high temperature and a Grade D test; "
              "a warning with both behind an oiled pump, a notice behind an oil-free one",
    do="Do not breathe it. Use a pump and filters made and certified for breathing air, with couplings that fit "
       "nothing else. This program certifies no breathing air.",
    sources=("osha-1910-134",),
)  # fmt: skip
def breathing_air(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe."""
    oiled = any(pump.fact("lubrication") != "oil-free" for pump in case.parts("pump"))
    oil = " The pump is not told to be oil-free: its oil can become carbon monoxide." if oiled else ""
    for part in case.parts("shop_pipe"):
        if part.fact("finest_use") != "breathing":
            yield case.asked(part, "finest_use", bad=(), says="")
        elif part.fact("breathing_proof") == "yes":
            yield Verdict("holds", f"Somebody breathes this air.{oil} Alarm and test are told, and have to be kept up; "
                          "nothing here certifies it.", (part.path,), signal="warning" if oiled else "notice",
                          do="Test the alarm and the air as often as the law and the filters' maker say.",
                          decided_by=(part.at("finest_use"), part.at("breathing_proof")))  # fmt: skip
        else:
            yield case.asked(
                part, "breathing_proof", bad=("no",),
                says=f"Somebody breathes this air, without alarm and Grade D test.{oil}",
                unknown=f"Somebody breathes this air.{oil} Not told: whether there is an alarm and a Grade D test.",
            )  # fmt: skip


@rule(
    "water_in_pipe", signal="caution", group="air quality and piping", title="Water falling out in the pipe",
    why="Where the pipe is colder than the dew point of the air, water falls out in it and goes to the tools; below "
        "freezing it blocks the pipe.",
    threshold="the dew point in the line less than 10 K (18 °F) below the coldest place of the pipe, in half of the "
              "draw; a caution for paint, blasting, breathing, food, glass blowing or frost, a notice for tools only",
    do="Fit a dryer where there is none, or lead the pipe through warmer places and drain its low points.",
    sources=("iso-8573-1", "practice"),
)  # fmt: skip
def water_in_pipe(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe."""
    for part in case.parts("shop_pipe"):
        coldest, dew_point = part.rows("coldest"), case.reach.state.path.line_dew_point
        if coldest is not None:
            yield _cold_pipe(case, part, coldest, dew_point)
            continue
        yield Verdict("not told", "Not told: the coldest place the pipe runs through. The dew point in the line is "
                      f"{case.show(dew_point[:, -1:, -1:], kind='temperature')} at full speed.", (part.path,),
                      do="Hang a thermometer beside the pipe there and write down coldest.",
                      decided_by=(part.at("coldest"),))  # fmt: skip


def _cold_pipe(case: Case, part: Part, coldest: Array, dew_point: Array) -> Verdict:
    frost = float(np.mean(coldest < ZERO_CELSIUS)) >= LIKELY
    signal: Signal = "caution" if frost or part.fact("finest_use") in FINE_USES else "notice"
    return case.likely(
        dew_point > coldest - DEW_POINT_DISTANCE, parts=(part.path,), signal=signal,
        says=lambda at: f"Dew point in the line {at.show(dew_point, kind='temperature')}, coldest place "
        f"{part.shown('coldest')}.",
    )  # fmt: skip


@rule(
    "branch_from_below", signal="caution", group="air quality and piping", title="Branches that leave from below",
    why="Water and dirt run along the bottom of the main; a branch from below takes all of it to one tool.",
    threshold="branches leave the main pipe from its bottom",
    do="Take branches from the top, up and over, and end each drop in a leg with a drain.",
)  # fmt: skip
def branch_from_below(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe, unless it is all hose."""
    for part in case.parts("shop_pipe"):
        if part.fact("material") != "hose only":
            yield case.asked(part, "branches", bad=("from the bottom",), says="Branches leave the main from below.")


@rule(
    "pipe_not_drained", signal="caution", group="air quality and piping", title="A pipe that holds its water",
    why="Water that cannot run to a drain lies in the pipe, rusts it and goes to the tools in gulps.",
    threshold="the pipe does not fall towards drains, or has a low point without one",
    do="Let the main fall 1 to 2 % towards a drain, and fit a drain leg at every low point.",
)  # fmt: skip
def pipe_not_drained(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe, unless it is all hose."""
    for part in case.parts("shop_pipe"):
        if part.fact("material") != "hose only":
            yield case.asked(part, "falls_to_drains", bad=("no",),
                             says="The pipe does not fall towards drains, or has a low point without one.")  # fmt: skip


@rule(
    "leaks", signal="caution", group="air quality and piping", title="Leaks",
    why="A leak draws air day and night: it costs more than most tools, starts the pump for nothing and wears it.",
    threshold="leaks above 10 % of full delivery and above 0.5 scfm (14 L/min), in half of the draw",
    do="With the pump off, listen and go over every joint, hose and coupler with soapy water; shut the main at night.",
    sources=("doe-sourcebook", "practice"),
)  # fmt: skip
def leaks(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe where a leak is told."""
    for part in case.parts("shop_pipe"):
        leak = part.rows("leak")
        if leak is not None:
            full = all_dry_air(case)[:, -1:, -1:]
            yield case.likely(
                (leak > LEAK_SHARE * full) & (leak > LEAK_LEAST), parts=(part.path,), rests_on=(part.at("leak"),),
                says=f"Leaks take {part.shown('leak')} of the {case.show(full, kind='reference_flow')} delivered at "
                "full speed.",
            )  # fmt: skip


def _gauge(case: Case, pressure: Array) -> Array:
    return np.asarray(pressure - case.reach.draw.barometer)


def _highest(case: Case) -> Array:
    """Pressure the pipe can come under: the cut-out, or the lowest relief setting on the receiver above it. [Pa]"""
    valves = [v for v in case.parts("relief_valve") if v.fact("protects") in ("receiver", "unknown")]
    settings = [rows for v in valves if (rows := v.rows("set_pressure")) is not None]
    cut_out = case.reach.numbers.cut_out
    if not settings:
        return cut_out
    lowest = settings[0]
    for setting in settings[1:]:
        lowest = np.asarray(np.minimum(lowest, setting))
    return np.asarray(np.maximum(cut_out, lowest))
