"""The list of a used receiver, or several: verdict first, then what to look at, then the tank's numbers."""

from __future__ import annotations

from collections.abc import Iterator

from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.findings.checklists.used_receiver import Item, SeenReceiver, used_receivers
from airfettle.report.blocks import Block, Checks, Column, Heading, Leaf, Signed, Table, Words

SOURCES = (
    "osha-1910-169", "asme-viii-1-ug-27", "asme-viii-1-ug-99-tests", "directive-2014-29", "stored-energy",
    "nbic-repairs", "vessel-law", "practice",
)  # fmt: skip
INSPECTOR = (
    "An inspector of pressure vessels decides, not this list. Nobody welds, drills or patches the tank, and nobody "
    "tests it with air."
)
NOT_THERE = "This plant has no receiver."


def receiver_leaf(this: ThisPlant) -> Leaf:
    """Return the list of every receiver of a plant."""
    blocks: list[Block] = [Signed("danger", INSPECTOR)]
    seen = used_receivers(this)
    if not seen:
        blocks.append(Words(NOT_THERE, strong=True))
    for one in seen:
        blocks += _receiver(one, several=len(seen) > 1)
    return Leaf("receiver", "Used receiver: go or no go", tuple(blocks), SOURCES)


def _receiver(seen: SeenReceiver, *, several: bool) -> Iterator[Block]:
    if several:
        yield Heading(f"Receiver: {seen.name}")
    yield from _verdict(seen)
    left = [item for item in seen.items if item.mark == "look"]
    if left:
        yield Heading("Still to be looked at", level=3)
        yield Checks(tuple((item.what, "", item.do) for item in left))
    known = [item for item in seen.items if item.mark != "look"]
    if seen.new:
        known = [item for item in known if item.mark == "FAILS"]
    if known:
        yield _known(known, seen)
    columns = (Column("Of this tank", 2.2), Column("", 2.0), Column("From", 2.6))
    yield Table(columns, seen.numbers, caption="Its numbers", name=f"{seen.name} numbers")
    yield Heading("Signed", level=3)
    yield Table((Column("Looked at by", 2.0), Column("Name", 2.0, blank=True), Column("Date", 1.2, blank=True),
                 Column("Tank's number on its plate", 2.0, blank=True)),
                (("whoever bought it", "", "", ""), ("inspector, where the law asks", "", "", "")),
                name=f"{seen.name} signed")  # fmt: skip


def _verdict(seen: SeenReceiver) -> Iterator[Block]:
    new = " It is new: the short list." if seen.new else ""
    if seen.verdict == "NO GO":
        yield Words("NO GO: do not put pressure in it.", strong=True)
        for reason in seen.reasons:
            yield Signed("danger", reason)
    elif seen.verdict == "NOT YET":
        yield Words(f"NOT YET: no pressure in it until everything below has been looked at.{new}", strong=True)
        yield from (Signed("warning", reason) for reason in seen.reasons[:3])
    else:
        yield Words(f"GO, as far as told.{new} Look again where it was told long ago.", strong=True)


def _known(items: list[Item], seen: SeenReceiver) -> Table:
    strong = tuple(n for n, item in enumerate(items) if item.mark == "FAILS")
    columns: tuple[Column, ...] = (Column("", 0.7), Column("What", 3.4), Column("As told", 1.8))
    rows: tuple[tuple[str, ...], ...] = tuple((item.mark, item.what, item.told) for item in items)
    if strong:
        columns = (*columns, Column("What to do", 2.8))
        rows = tuple((item.mark, item.what, item.told, item.do) for item in items)
    return Table(columns, rows, caption="As told", strong=strong, name=f"{seen.name} told")
