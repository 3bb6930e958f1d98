"""A plant's wiring with what was found marked on it: one way for the drawings and for the parts list."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.findings.finding import Finding
from airfettle.studies.reach import Reach
from airfettle.studies.wiring.circuit import Circuit
from airfettle.studies.wiring.circuits import circuits
from airfettle.studies.wiring.sized import TrainWires
from airfettle.studies.wiring.sizes import marked_by_sizes, wire_words


def drawn_circuits(reach: Reach, *, findings: Sequence[Finding], sizes: Sequence[TrainWires]) -> tuple[Circuit, ...]:
    """Return the circuits of a plant, as it is and as it should be.

    Parameters
    ----------
    reach : Reach
        The plant at every point its settings can bring it to. [SI]
    findings : sequence of Finding
        What was found about it; those that hold are marked.
    sizes : sequence of TrainWires
        Sizes of its wires and devices. [SI]
    """
    held: dict[str, tuple[str, ...]] = {}
    for found in findings:
        if found.state == "holds":
            held[found.rule] = (*held.get(found.rule, ()), *found.parts)
    marks = marked_by_sizes(reach.draw, sizes, held=held)
    return circuits(reach.draw, held=marks, wires=wire_words(sizes))
