"""Rules about water in the shop's pipe: where it falls out, where it stays, and who gets it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import ZERO_CELSIUS
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.finding import LIKELY, Signal
from airfettle.findings.pipe_parts import all_hose, called, drops_of, listed, runs_of
from airfettle.findings.rule import rule
from airfettle.parts.dryer import DEW_POINT_DISTANCE
from airfettle.plant.pipework import read_position

Array = NDArray[np.float64]

FINE_USES = ("paint or finishing", "blasting", "breathing", "food or glass blowing")
"""Uses that a drop of water spoils."""
BELOW = "from the bottom"
"""Where a branch takes the main's water with it. [text]"""


@rule(
    "water_in_pipe", signal="caution", group="air quality and piping", title="Water falling out in the pipe",
    why="Where the pipe is colder than the dew point of the air, water falls out in it and goes to the tools; below "
        "freezing it blocks the pipe.",
    threshold="the dew point in the line less than 10 K (18 °F) below the coldest place of the pipe, or of a run that "
              "tells its own, in half of the draw; a caution for paint, blasting, breathing, food, glass blowing or "
              "frost, a notice for tools only",
    do="Fit a dryer where there is none, or lead the pipe through warmer places and drain its low points.",
    sources=("iso-8573-1", "practice"),
)  # fmt: skip
def water_in_pipe(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe, and for each run that tells how cold it is round it."""
    dew_point = case.reach.state.path.line_dew_point
    for part in case.parts("shop_pipe"):
        runs = runs_of(part)
        told = [run for run in runs if run.rows("coldest") is not None]
        for run in told:
            yield _cold_pipe(case, run, dew_point, part.fact("finest_use"), f"coldest place of {called(run)}")
        if part.rows("coldest") is not None:
            yield _cold_pipe(case, part, dew_point, part.fact("finest_use"), "coldest place")
        elif not told or len(told) < len(runs):
            yield Verdict("not told", "Not told: the coldest place the pipe runs through. The dew point in the line is "
                          f"{case.show(dew_point[:, -1:, -1:], kind='temperature')} at full speed.", (part.path,),
                          do="Hang a thermometer beside the pipe there and write down coldest.",
                          decided_by=(part.at("coldest"),))  # fmt: skip


def _cold_pipe(case: Case, part: Part, dew_point: Array, use: str, place: str) -> Verdict:
    coldest = part.rows("coldest")
    assert coldest is not None
    frost = float(np.mean(coldest < ZERO_CELSIUS)) >= LIKELY
    signal: Signal = "caution" if frost or use in FINE_USES else "notice"
    return case.likely(
        dew_point > coldest - DEW_POINT_DISTANCE, parts=(part.path,), signal=signal,
        says=lambda at: f"Dew point in the line {at.show(dew_point, kind='temperature')}, {place} "
        f"{part.shown('coldest')}.",
    )  # fmt: skip


@rule(
    "branch_from_below", signal="caution", group="air quality and piping", title="Branches that leave from below",
    why="Water and dirt run along the bottom of the main; a branch from below takes all of it to one tool.",
    threshold="branches leave the main pipe from its bottom",
    do="Take branches from the top, up and over, and end each drop in a leg with a drain.",
)  # fmt: skip
def branch_from_below(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe, unless it is all hose; a drop's own answer counts before the shop's."""
    for part in case.parts("shop_pipe"):
        if all_hose(part):
            continue
        drops = drops_of(part)
        open_ones = [drop for drop in drops if drop.fact("leaves") == "unknown"]
        below = [drop for drop in drops if drop.fact("leaves") == BELOW]
        if open_ones and part.fact("branches") == BELOW:
            below += open_ones
        if below:
            names = listed([drop.fact("name") for drop in below])
            decided = [drop.at("leaves") if drop not in open_ones else part.at("branches") for drop in below]
            yield Verdict("holds", f"Drops that leave the main from below: {names}.",
                          (part.path, *(drop.path for drop in below)),
                          decided_by=tuple(dict.fromkeys(decided)))  # fmt: skip
        elif drops and not open_ones:
            yield Verdict("clear", "", (part.path,))
        else:
            yield case.asked(part, "branches", bad=(BELOW,), says="Branches leave the main from below.")


@rule(
    "pipe_not_drained", signal="caution", group="air quality and piping", title="A pipe that holds its water",
    why="Water that cannot run to a drain lies in the pipe, rusts it and goes to the tools in gulps.",
    threshold="the pipe does not fall towards drains, or has a low point without one: a place from which no pipe falls "
              "on, by the heights of places or by what runs fall to, level pipe not falling, without a drain told "
              "there; or a drop does not end in a leg with a drain",
    do="Let the main fall 1 to 2 % towards a drain, and fit a drain leg at every low point and at the end of every "
       "drop.",
)  # fmt: skip
def pipe_not_drained(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the shop's pipe, unless it is all hose, and one for its drops."""
    for part in case.parts("shop_pipe"):
        if not all_hose(part):
            yield _main(case, part)
            if drops_of(part):
                yield _legs(part)


def _main(case: Case, part: Part) -> Verdict:
    low, sure = low_points(part)
    kept = drained(part)
    wet = [place for place in low if place not in kept]
    if wet:
        return Verdict(
            "holds", f"Water stays at {listed(wet)}: no pipe falls on from there, and no drain is told.", (part.path,),
            do="Fit a drain leg there, or let the pipe fall on to a drain, 1 to 2 %. Write a drain that is there under "
            "drains, and a fall that the heights do not show as falls_to of its run.",
        )  # fmt: skip
    if sure and part.fact("falls_to_drains") != "no":
        return Verdict("clear", "", (part.path,))
    return case.asked(part, "falls_to_drains", bad=("no",),
                      says="The pipe does not fall towards drains, or has a low point without one.")  # fmt: skip


def _legs(part: Part) -> Verdict:
    """Verdict on the lower ends of all drops."""
    drops = drops_of(part)
    without, unknown = ([drop for drop in drops if drop.fact("drain") == answer] for answer in ("no", "unknown"))
    names = {answer: listed([drop.fact("name") for drop in some]) for answer, some in
             (("no", without), ("unknown", unknown))}  # fmt: skip
    paths = tuple(drop.path for drop in (*without, *unknown))
    decided = tuple(drop.at("drain") for drop in (*without, *unknown))
    if without:
        more = f" Not told of {names['unknown']}." if unknown else ""
        says = f"Drops without a leg with a drain below the outlet: {names['no']}.{more}"
        return Verdict("holds", says, paths, decided_by=decided,
                       do="Let each go on down below where its air is taken off, to a cock, and open it every "
                       "week.")  # fmt: skip
    if unknown:
        return Verdict("not told", f"Not told: whether drops end in a leg with a drain: {names['unknown']}.", paths,
                       do="Look at the bottom end of each, and write down drain of each drop.",
                       decided_by=decided)  # fmt: skip
    return Verdict("clear", "", tuple(drop.path for drop in drops))


def _from_below(part: Part, drop: Part) -> bool:
    """Whether a drop leaves the main from below, or nobody told: from the top none of its water goes there."""
    leaves = drop.fact("leaves") if drop.fact("leaves") != "unknown" else part.fact("branches")
    return leaves in ("from the bottom", "unknown")


def drained(part: Part) -> frozenset[str]:
    """Return the places of a shop's pipe that have a drain, or may have one in a drop nobody has looked at."""
    legs = {drop.fact("at") for drop in drops_of(part) if drop.fact("drain") != "no" and _from_below(part, drop)}
    return frozenset({*part.fact("drains"), *part.fact("air_from"), *legs})


def low_points(part: Part) -> tuple[tuple[str, ...], bool]:
    """Return the places from which no pipe falls on, and whether that is known of every place.

    Parameters
    ----------
    part : Part
        The shop's pipe.
    """
    places: dict[str, None] = {}
    on: set[str] = set()
    doubtful: set[str] = set()
    for run in runs_of(part):
        for start, end, lower in _falls(part, run):
            places |= {start: None, end: None}
            if lower is None:
                doubtful |= {start, end}
            elif lower:
                on.add(start if lower == end else end)
    low = tuple(place for place in places if place not in on and place not in doubtful)
    return low, bool(places) and doubtful <= on


def _falls(part: Part, run: Part) -> Iterator[tuple[str, str, str | None]]:
    """Yield the ends of each piece of a run, and its lower one; empty where it lies level, None where nobody knows."""
    pieces = run.fact("pieces")
    way = [pieces[0].start, *(piece.end for piece in pieces)]
    towards = way.index(run.fact("falls_to")) if run.fact("falls_to") in way else None
    ring = way[0] == way[-1] and towards == 0
    for n, piece in enumerate(pieces):
        here, there = (_height(part, place) for place in (piece.start, piece.end))
        lower: str | None = None
        if here > there or here < there:
            lower = piece.start if here < there else piece.end
        elif towards is not None:
            lower = piece.end if n < towards or (ring and n) else piece.start
        elif here == there and part.fact("falls_to_drains") != "yes":  # told heights are too coarse to deny a fall
            lower = ""
        yield piece.start, piece.end, lower


def _height(part: Part, place: str) -> float:
    """Height of a place, nan where nobody told. [m]"""
    told = part.fact("places").get(place)
    return float("nan") if told is None else read_position(told)[2]
