"""Faults by what is seen or heard, as a printed list."""

from __future__ import annotations

from airfettle.findings.checklists.faults import Symptom, fault_tree
from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.report.blocks import Block, Column, Heading, Leaf, Signed, Table, Words

SOURCES = ("osha-1910-147-d", "ieee-43", "narrow-groove-guide", "nema-mg10", "airfettle-equations", "practice")
FIRST = (
    "Stop, lock off, let the pressure out, try a start: before anything is opened. What is measured live is measured "
    "by whoever is licensed. A fault is never cured by a larger fuse, a higher setting or a tied valve."
)
HOW = (
    "Find what you see or hear. Make it safe, then test from the top: the first reading that is not as expected names "
    "the cause. The readings are this plant's own, full speed where nothing else is said."
)
UNTOLD = "(not told yet): write it into the plant file, and this list shows it."


def faults_leaf(this: ThisPlant) -> Leaf:
    """Return the faults that a plant can have."""
    tree = fault_tree(this)
    blocks: list[Block] = [Signed("danger", FIRST)]
    blocks += [Signed("danger", f"Holds now: {finding.says} {finding.do}") for finding in this.dangers]
    blocks += [Words(HOW), Words(UNTOLD)]
    blocks.append(Table((Column("What you see or hear", 3.0), Column("Tests", 0.6, "right")),
                        tuple((s.title, str(len(s.tests))) for s in tree), name="symptoms"))  # fmt: skip
    for symptom in tree:
        blocks += _symptom(symptom)
    return Leaf("faults", "Faults, by what is seen or heard", tuple(blocks), SOURCES)


def _symptom(symptom: Symptom) -> list[Block]:
    columns = (
        Column("", 0.3, "right"), Column("Test", 2.6), Column("Expect", 2.2), Column("If not, the cause", 2.2),
        Column("Remedy", 2.2),
    )  # fmt: skip
    rows = tuple((str(n), t.do, t.expect, t.cause, t.remedy) for n, t in enumerate(symptom.tests, start=1))
    return [Heading(symptom.title, level=3), Words(f"First: {symptom.safe}"), Table(columns, rows, name=symptom.name)]
