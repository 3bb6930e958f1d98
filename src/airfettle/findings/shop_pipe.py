"""Rules about the pipe round the shop: what it is made of, what it leaks, and what its air is used for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.air_quality import all_dry_air
from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.finding import LIKELY, Signal
from airfettle.findings.pipe_parts import OfStock, stocks_of
from airfettle.findings.rule import rule
from airfettle.parts.pipe_stock import Stock, rated_pressure, read_pipe
from airfettle.parts.pipe_stock.material import JOINTS
from airfettle.quantity import KINDS
from airfettle.studies.pipework.leak import LEAK_LEAST, LEAK_SHARE, pipe_leak
from airfettle.studies.pipework.lies import line_pressure

Array = NDArray[np.float64]

UNLISTED = ("PEX", "other plastic")
"""Plastic that is for air only where its maker says so."""
PLASTIC = (*UNLISTED, "listed plastic for air")
REFUSED = "PVC or CPVC"
"""Plastic that no compressed air may be in."""
BLOW_GUN_MOST = 30.0 * KINDS["pressure"].units["psi"][0]
"""Gauge pressure that a blow gun may reach with its tip closed. [Pa]  Source: 29 CFR 1910.242(b)."""


@rule(
    "pvc_pipe", signal="danger", group="pressure boundary", title="Compressed air in PVC or CPVC",
    why="PVC goes brittle with age, oil and cold, and under air it bursts into sharp pieces thrown across the shop; "
        "its printed pressure is for water.",
    threshold="any of the pipe is PVC or CPVC",
    do="Let the pressure off and replace all of it, with steel, copper, aluminium shop pipe or plastic listed for air.",
    sources=("osha-plastic-pipe", "asme-b31-plastic"),
)  # fmt: skip
def pvc_pipe(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe; a run or drop of it decides, whatever is told of the whole."""
    for part in case.parts("shop_pipe"):
        under = case.show(_gauge(case, case.reach.numbers.cut_out), kind="pressure")
        stocks = stocks_of(part)
        refused = [some for some in stocks if some.stock.refused]
        if refused:
            paths = tuple(path for some in refused for path in some.paths)
            says = f"PVC or CPVC: {'; '.join(some.words for some in refused)}. It stands under up to {under} of air."
            yield Verdict("holds", says, (part.path, *paths), decided_by=tuple(f"{path}.pipe" for path in paths))
        elif stocks and part.fact("material") == "unknown":
            yield Verdict("clear", "", (part.path,))
        else:
            yield case.asked(part, "material", bad=(REFUSED,), says=f"The shop's pipe is PVC or CPVC, and stands "
                             f"under up to {under} of air.")  # fmt: skip


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
        unlisted = [some for some in stocks_of(part) if some.stock.family in UNLISTED]
        if unlisted or part.fact("material") in UNLISTED:
            what = "; ".join(some.words for some in unlisted) or part.fact("material")
            paths = tuple(path for some in unlisted for path in some.paths)
            more = f"Not told: whether {what} is listed by its maker for compressed air." if unlisted else ""
            yield case.asked(part, "listed_for_air", bad=("no",), parts=(part.path, *paths), unknown=more,
                             says=f"The pipe ({what}) is not listed for compressed air.")  # fmt: skip


@rule(
    "pipe_rating", signal="warning", group="pressure boundary", title="A pipe beyond its rating",
    why="The pipe stands under all that the relief valve holds back, and plastic holds less the warmer it is; a "
        "regulator is no relief valve.",
    threshold="the relief valve's setting or the cut-out above the pipe's pressure rating, or the air in it above the "
              "temperature of that rating, in half of the draw; for plastic both ratings are asked. Where runs and "
              "drops are told, each stock pipe with its usual joints is also held to what it is rated for at the "
              "warmer of room and air; copper of which nobody told the joints to that of soft solder, as a notice",
    do="Lower cut-out and relief setting below the rating, cool the air, or replace the pipe.",
    sources=("asme-b31-plastic", "practice"),
)  # fmt: skip
def pipe_rating(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe where a rating is told or ought to be, and for each stock with one."""
    for part in case.parts("shop_pipe"):
        actual = {"pressure_rating": _highest(case), "temperature_rating": case.reach.state.path.line_temperature}
        told = {name: rows for name in actual if (rows := part.rows(name)) is not None}
        found = _beyond_rating(case, part, actual, told)
        missing = [name for name in actual if name not in told]
        if found.state == "clear" and missing and _own_rating_wanted(part):
            yield Verdict("not told", f"Not told for the plastic pipe: {' and '.join(missing)}.", (part.path,),
                          do="Read the print along the pipe and its maker's sheet for air.",
                          decided_by=tuple(part.at(name) for name in missing))  # fmt: skip
        elif told:
            yield found
        warm = np.asarray(np.maximum(actual["temperature_rating"], case.reach.numbers.room_temperature))
        for some in stocks_of(part):
            if some.stock.rating_known:
                yield _beyond_stock_rating(case, some, actual["pressure_rating"], warm)


def _own_rating_wanted(part: Part) -> bool:
    """Return whether a rating has to be told: for plastic of which no table gives one."""
    stocks = stocks_of(part)
    if not stocks:
        return part.fact("material") in PLASTIC
    return any(some.stock.family in PLASTIC and not some.stock.rating_known for some in stocks)


def _beyond_stock_rating(case: Case, some: OfStock, pressure: Array, temperature: Array) -> Verdict:
    """Verdict on one stock; copper of which nobody told the joints is held to the weakest, as a notice to look."""
    under, rated = _gauge(case, pressure), rated_pressure(some.stock, temperature=temperature)
    brazed = _brazed(some.stock)
    counts = "" if brazed is None else " with soft-soldered joints, the weakest there are,"

    def says(at: At) -> str:
        warm, most = at.show(temperature, kind="temperature"), at.rows(rated)
        holds = f"is rated {case.show(most, kind='pressure')}" if np.median(most) > 0.0 else "has no rating"
        return f"{some.words}{counts} {holds} at {warm}; it can come under {case.show(under, kind='pressure')}."

    found = case.likely(under > rated, parts=some.paths, how_far=under - rated, says=says)
    if found.state == "clear":
        return found
    if brazed is not None:
        beyond = np.mean(under > rated_pressure(brazed, temperature=temperature), axis=0)
        signal: Signal | None = None if np.max(beyond) >= LIKELY else "notice"
        found = replace(found, signal=signal, do=f"Look at its joints: a silvery ring is soft solder, a yellow one is "
                        f"brazed. Write them down with the pipe, as '{brazed.text}'; if they are soft solder, lower "
                        "cut-out and relief setting, cool the air, or have them brazed.")  # fmt: skip
    return found if found.decided_by else replace(found, decided_by=tuple(f"{path}.pipe" for path in some.paths))


def _brazed(stock: Stock) -> Stock | None:
    """Return the same copper tube with brazed joints, or None where its joints are told or it is no copper."""
    if stock.family != "copper" or stock.material.endswith(JOINTS):
        return None
    return read_pipe(f"{stock.material} brazed {stock.size}")


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
    "leaks", signal="caution", group="air quality and piping", title="Leaks",
    why="A leak draws air day and night: it costs more than most tools, starts the pump for nothing and wears it.",
    threshold="leaks above 10 % of full delivery and above 0.5 scfm (14 L/min), in half of the draw",
    do="With the pump off, listen and go over every joint, hose and coupler with soapy water; shut the main at night.",
    sources=("doe-sourcebook", "practice"),
)  # fmt: skip
def leaks(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe where a leak is told."""
    for part in case.parts("shop_pipe"):
        told = ("leak",) if part.told("leak") else tuple(f"leak_test.{name}" for name in ("start", "end", "time"))
        if part.told(told[0]):
            leak = pipe_leak(case.reach.draw, case.reach.numbers)
            full = all_dry_air(case)[:, -1:, -1:]
            taken = part.shown("leak") if len(told) == 1 else case.show(leak, kind="reference_flow")
            yield case.likely(
                (leak > LEAK_SHARE * full) & (leak > LEAK_LEAST), parts=(part.path,),
                rests_on=tuple(part.at(name) for name in told),
                says=f"Leaks take {taken} of the {case.show(full, kind='reference_flow')} delivered at full speed.",
            )  # fmt: skip


def _gauge(case: Case, pressure: Array) -> Array:
    return np.asarray(pressure - case.reach.draw.barometer)


def _highest(case: Case) -> Array:
    """Pressure the pipe can come under: the cut-out, or the lowest relief setting on the receiver above it. [Pa]"""
    return line_pressure(case.reach.draw)
