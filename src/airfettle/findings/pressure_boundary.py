"""Rules about the receiver as a vessel that holds the pressure."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.rule import rule
from airfettle.parts.vessel import required_wall_outside, trapped_water

Array = NDArray[np.float64]

USUAL_STRENGTH = 118e6 * 0.70
"""Allowed stress of plain carbon steel times a seam that was not X-rayed. [Pa]  Source: asme-viii-1-ug-27, memory."""
BEST_STRENGTH = 160e6
"""The most that usual codes let steel and seam of a shop receiver carry. [Pa]  Source: asme-viii-1-ug-27, memory."""
LEFT_BELOW_DRAIN = 0.25 * 0.0254
"""Height of water that a drain may leave. [m]  Source: osha-1910-169, the copy of Washington State."""


@rule(
    "receiver_plate", signal="danger", group="pressure boundary", title="A receiver without a plate, or run above it",
    why="The plate is the only proof of what the shell was built to hold; a receiver that lets go throws steel.",
    threshold="no readable plate, or the cut-out pressure above the plate pressure in half of the draw",
    do="Lower the cut-out below the plate pressure; without a readable plate, do not use the receiver.",
    sources=("osha-1910-169",),
)  # fmt: skip
def receiver_plate(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    for part in case.parts("receiver"):
        plate = part.rows("plate_pressure")
        if part.fact("plate_readable") == "no":
            yield Verdict("holds", "The receiver has no plate that can be read.", (part.path,),
                          decided_by=(part.at("plate_readable"),),
                          do="Do not use this receiver: get one with a plate, or an inspector's word in writing.",
                          )  # fmt: skip
        elif plate is None:
            yield Verdict("not told", "No plate pressure is told for the receiver.", (part.path,),
                          do="Read the plate on the shell or a head, under paint too, and write down plate_pressure "
                             f"under [{part.path}]; where there is none, write plate_readable = 'no'.",
                          decided_by=(part.at("plate_pressure"),))  # fmt: skip
        else:
            cut_out = case.reach.numbers.cut_out
            yield case.likely(
                cut_out > plate, says=f"Plate pressure {part.shown('plate_pressure')}, cut-out {gauge(case, cut_out)}.",
                parts=(part.path,), rests_on=(part.at("plate_pressure"),),
            )  # fmt: skip


@rule(
    "receiver_altered", signal="danger", group="pressure boundary", title="A shell that was welded on or patched",
    why="Heat and filler beside a seam make brittle steel that nobody has tested, and glue holds nothing; the plate no "
        "longer counts. Feet, brackets and ports put on later are such welds.",
    threshold="anything welded, brazed, glued, patched or drilled on shell or heads by anyone but an authorised "
              "repairer",
    do="Take the receiver out of use; only an authorised repairer may mend it and stamp it anew.",
    sources=("nbic-repairs", "osha-1910-169"),
)  # fmt: skip
def receiver_altered(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    for part in case.parts("receiver"):
        yield case.asked(part, "altered", bad=("by someone else",),
                         says=f"Shell or heads of the receiver ({part.shown('volume')}) were worked on by someone "
                              "without authority to.")  # fmt: skip


@rule(
    "gas_proof_test", signal="danger", group="pressure boundary", title="A pressure test done with air or gas",
    why="Air squeezed to test pressure holds some hundreds of times the energy of water at that pressure: a shell that "
        "fails a water test weeps, one that fails an air test bursts.",
    threshold="tested in the shop, or to be tested, with air or another gas",
    do="Test with water only, all air bled out, nobody beside it; better, have an inspector do it. After a test with "
       "gas, have the shell looked over before it is used.",
    sources=("asme-viii-1-ug-99",),
)  # fmt: skip
def gas_proof_test(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    for part in case.parts("receiver"):
        yield case.asked(part, "proof_test", bad=("with air or gas",),
                         says=f"The receiver ({part.shown('volume')}) is proof-tested with air or gas.")  # fmt: skip


@rule(
    "receiver_rust", signal="danger", group="pressure boundary", title="Pits or heavy rust inside the receiver",
    why="Receivers fail where water lay: the steel is eaten from inside, in pits that no look from outside shows.",
    threshold="pits, scale or heavy rust inside; asked of every receiver that is not new",
    do="Take the receiver out of use until an inspector has measured its wall with ultrasound.",
)  # fmt: skip
def receiver_rust(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    for part in case.parts("receiver"):
        if part.fact("rust_inside") == "unknown" and part.fact("condition") == "new":
            yield Verdict("clear", "", (part.path,))
        else:
            yield case.asked(part, "rust_inside", bad=("yes",),
                             says=f"The receiver ({part.shown('volume')}) has pits, scale or heavy rust inside."
                             )  # fmt: skip


@rule(
    "wall_not_measured", signal="warning", group="pressure boundary",
    title="A used receiver whose wall nobody measured",
    why="The plate tells what the shell was when new; rust takes steel off it for as long as it is used.",
    threshold="a used or worn receiver without wall_thickness",
    do="Have the wall measured with ultrasound along the bottom and round the drain, and write down wall_thickness.",
    sources=("asme-viii-1-ug-27",),
)  # fmt: skip
def wall_not_measured(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    for part in case.parts("receiver"):
        condition = part.fact("condition")
        here, decided = (part.path,), (part.at("wall_thickness"), part.at("condition"))
        if part.told("wall_thickness") or condition == "new":
            yield Verdict("clear", "", here, decided_by=decided)
        elif condition == "unknown":
            yield Verdict("not told", "Neither the receiver's age nor the thickness of its wall is told.", here,
                          do=f"Write down condition under [{part.path}], and wall_thickness where it is not new.",
                          decided_by=decided)  # fmt: skip
        else:
            yield Verdict("holds", f"The receiver is {condition}, and nobody has measured its wall.", here,
                          decided_by=decided)  # fmt: skip


@rule(
    "thin_wall", signal="warning", group="pressure boundary", title="A measured wall thinner than the formula asks",
    why="The wall carries the pressure. The formula for a shell is information for whoever reads the gauge: it knows "
        "nothing of pits, cracks and heads, and a wall that passes it is not approved by it.",
    threshold="wall_thickness below what the formula asks at the plate pressure (the cut-out where no plate is told) "
              "even of strong steel with a checked seam; a notice where it is below what plain steel with an unchecked "
              "seam would need",
    do="Take the reading to an inspector before the receiver is used.",
    sources=("asme-viii-1-ug-27",),
)  # fmt: skip
def thin_wall(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver whose wall was measured."""
    for part in case.parts("receiver"):
        wall, diameter = part.rows("wall_thickness"), part.rows("diameter")
        if wall is None:
            continue
        if diameter is None:
            yield Verdict("not told", f"The wall is {part.shown('wall_thickness')}, but of what diameter is not told.",
                          (part.path,), do=f"Measure round the shell and write down diameter under [{part.path}].",
                          decided_by=(part.at("diameter"),))  # fmt: skip
            continue
        usual, best = (_needed(case, part, diameter, strength) for strength in (USUAL_STRENGTH, BEST_STRENGTH))
        words = f"The wall is {part.shown('wall_thickness')} at its thinnest; the formula for the shell asks for"
        at = "at the plate pressure" if part.told("plate_pressure") else "at the cut-out"
        thin = case.likely(
            wall < best, parts=(part.path,), rests_on=(part.at("wall_thickness"),),
            says=f"{words} {case.show(best, kind='length')} {at} even of strong steel.",
        )  # fmt: skip
        yield thin if thin.state == "holds" else case.likely(
            wall < usual, parts=(part.path,), rests_on=(part.at("wall_thickness"),), signal="notice",
            says=f"{words} {case.show(usual, kind='length')} {at} of plain steel with an unchecked seam.",
            do="Find the steel, the seam and the least wall on the plate or the maker's sheet, or ask an inspector.",
        )  # fmt: skip


def _needed(case: Case, part: Part, diameter: Array, strength: float) -> Array:
    """Thickness that the formula asks of the shell. [m]"""
    plate = part.rows("plate_pressure")
    pressure = (case.reach.numbers.cut_out if plate is None else plate) - case.reach.draw.barometer
    most = np.minimum(pressure, 0.38 * strength)  # beyond, the formula ends
    return required_wall_outside(
        gauge_pressure=most, outside_radius=diameter / 2, allowable_stress=strength, joint_efficiency=1.0
    )


@rule(
    "receiver_drain", signal="warning", group="pressure boundary", title="Water that the receiver's drain cannot reach",
    why="Water that stays lies on the same steel for years and eats it, takes up room meant for air, and goes out to "
        "the tools in gulps. A tank that was laid down or stood up has its drain where the bottom used to be.",
    threshold="no drain, or one that leaves more than a quarter inch (6 mm) of water; asked of every tank that was "
              "turned or may have been",
    do="Fit a drain at the lowest point through a port that is there, or a tube inside that reaches to it; never weld "
       "or drill the shell for it.",
    sources=("osha-1910-169",),
)  # fmt: skip
def receiver_drain(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    for part in case.parts("receiver"):
        height = part.rows("drain_height")
        if part.fact("drain") == "none":
            yield Verdict("holds", f"The receiver ({part.shown('volume')}) has no drain.", (part.path,),
                          decided_by=(part.at("drain"),))  # fmt: skip
        elif height is not None:
            yield case.likely(
                height > LEFT_BELOW_DRAIN, parts=(part.path,), decided_by=(part.at("drain_height"),),
                says=f"The drain stands {part.shown('drain_height')} above the lowest point{_stays(case, part)}.",
            )  # fmt: skip
        elif part.fact("drain_at_lowest") == "unknown" and part.fact("turned") == "no":
            yield Verdict("clear", "", (part.path,))
        else:
            yield case.asked(
                part, "drain_at_lowest", bad=("no",),
                says="The drain does not reach the receiver's lowest point: water stays in it.",
                unknown=f"Not told whether the receiver's drain reaches its lowest point.{_half(case, part)}",
            )  # fmt: skip


def _stays(case: Case, part: Part) -> str:
    """Words for the water below a drain, where the tank lies and its diameter is told."""
    diameter, height, volume = (part.rows(name) for name in ("diameter", "drain_height", "volume"))
    if part.fact("turned") != "upright to lying" or diameter is None or height is None or volume is None:
        return ", and water to that height stays in it"
    head = diameter / 4
    shell = np.maximum(volume - np.pi / 12 * diameter**3, 0.0) / (np.pi / 4 * diameter**2)
    water = trapped_water(inside_diameter=diameter, shell_length=shell, depth=height, head_depth=head)
    return f": {case.show(np.minimum(water, volume), kind='volume')} of water stay in it"


def _half(case: Case, part: Part) -> str:
    """Words for a drain in the middle of a head that now stands on its side."""
    volume = part.rows("volume")
    if part.fact("turned") != "upright to lying" or volume is None:
        return ""
    left = case.show(volume / 2, kind="volume")
    return f" It was turned upright to lying: a drain in the middle of its old bottom would leave {left} of water."


@rule(
    "receiver_feet", signal="danger", group="pressure boundary", title="Feet that were not made for how the tank lies",
    why="Feet and saddles carry the tank, the pump's shaking and what stands on top into the shell; in another "
        "position, or under a pump they were not made for, they crack it where they are welded on.",
    threshold="a tank that was turned, or may have been, on feet or a saddle not made for how it stands or lies now",
    do="Bed the tank in a saddle that fits its round and clamps it without welding, with the pump on a frame of its "
       "own; have the old feet's welds looked at for cracks.",
)  # fmt: skip
def receiver_feet(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    for part in case.parts("receiver"):
        if part.fact("made_for_it") == "unknown" and part.fact("turned") == "no":
            yield Verdict("clear", "", (part.path,))
            continue
        turned = part.fact("turned")
        how = f", turned {turned}," if turned in ("upright to lying", "lying to upright") else ""
        yield case.asked(part, "made_for_it", bad=("no",),
                         says=f"The receiver{how} stands on feet or a saddle not made for it.")  # fmt: skip


@rule(
    "receiver_gauge", signal="warning", group="pressure boundary", title="A receiver without a gauge to trust",
    why="Without a gauge nobody sees that the pressure switch has failed, or that a tank about to be opened is full.",
    threshold="no gauge on the receiver itself, or one that does not read right",
    do="Fit a gauge on the receiver, its scale about twice the cut-out pressure.",
    sources=("osha-1910-169",),
)  # fmt: skip
def receiver_gauge(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every receiver."""
    for part in case.parts("receiver"):
        yield case.asked(part, "gauge", bad=("no",), says="The receiver has no pressure gauge to trust.")


def gauge(case: Case, pressure: Array) -> str:
    """Return absolute pressures as the owner reads them on a gauge."""
    return case.show(pressure - case.reach.draw.barometer, kind="pressure")


def above(case: Case, values: Array, limit: Array, *, says: Callable[[At], str], **more: Any) -> Verdict:
    """Return the verdict on values above a limit, at the reachable point where they are likely highest.

    Parameters
    ----------
    case : Case
        The plant.
    values : ndarray
        Axes (draw, speed, pressure) over the reachable points.
    limit : ndarray
        In the same unit, a number or axes (draw, 1, 1).
    says : callable
        Words, given that point.
    more
        Further fields of the verdict.
    """
    middle = np.median(values, axis=0)
    speed, pressure = np.unravel_index(int(np.argmax(middle)), middle.shape)
    at = At(case, int(speed), int(pressure))
    found = case.likely(at.rows(values)[:, None, None] > limit, says=says(at), **more)
    return replace(found, point=at.point)
