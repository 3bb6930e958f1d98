"""Rules about what holds the pressure."""

from __future__ import annotations

from collections.abc import Iterator

from airfettle.findings.case import Case, Verdict
from airfettle.findings.rule import rule


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
        if plate is None:
            yield Verdict("not told", "No plate pressure is told for the receiver.", (part.path,),
                          do="Read the plate welded to the shell and write down plate_pressure.",
                          decided_by=(part.at("plate_pressure"),))  # fmt: skip
            continue
        cut_out = case.reach.numbers.cut_out
        above = cut_out > plate
        words = f"cut-out {case.show(cut_out - case.reach.draw.barometer, kind='pressure')}"
        yield case.likely(
            above, says=f"Plate pressure {part.shown('plate_pressure')}, {words}.", parts=(part.path,),
            rests_on=(part.at("plate_pressure"),),
        )  # fmt: skip
