"""The parts list with its cost as a part of the build sheet, and the plant against ready-made units."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airfettle.findings.finding import SIGNALS
from airfettle.findings.parts_list import PartRow, PartsList
from airfettle.findings.parts_needed import PartNeeded
from airfettle.findings.register import RULES
from airfettle.quantity import Units
from airfettle.report.blocks import Block, Column, Heading, Leaf, Signed, Table, Words
from airfettle.report.parts_offers import offer_blocks, shortest
from airfettle.report.parts_words import BASIS, NOT_TOLD, headline, price_of, sums
from airfettle.studies.choosing.against import Comparison
from airfettle.studies.draw import Draw

WITH_ABOVE = "with the above"
"""Price of a thing that the price of its section stands for."""


def parts_leaf(parts: PartsList, *, draw: Draw, comparison: Comparison | None = None) -> Leaf:
    """Return the parts list, what is missing of it, its sums, and ready-made units beside it.

    Parameters
    ----------
    parts : PartsList
        What the plant takes.
    draw : Draw
        The plant. [SI]
    comparison : Comparison or None
        Ready-made units beside it; None leaves them out.
    """
    about = draw.plant.about
    blocks: list[Block] = [Words(headline(parts, currency=about.currency), strong=True)]
    blocks += [*(shortest(comparison) if comparison is not None else ()), *_urgent(parts)]
    blocks += [_takes(parts, units=about.units, currency=about.currency), *_costs(parts, draw), *_sums(parts, draw)]
    blocks += _missing(parts)
    blocks += list(offer_blocks(comparison)) if comparison is not None else []
    keys = ["practice", "physics"]
    keys += ["nec"] if any(need.rule == "no_disconnect_in_sight" for need in parts.needed) else []
    keys += ["iso-1217", "iso-1217-tolerance", "doe-air-tip-1"] if comparison is not None and comparison.offers else []
    return Leaf("parts", "Parts and cost", tuple(blocks), tuple(keys))


def _urgent(parts: PartsList) -> Iterator[Signed]:
    """What is missing behind a danger or warning comes before anything that is nice to have."""
    for signal in SIGNALS[:2]:
        named = [need.part for need in parts.missing if need.signal == signal]
        if named:
            yield Signed(
                signal, f"Before anything else it needs: {'; '.join(dict.fromkeys(named))}. See below what for."
            )


def _takes(parts: PartsList, *, units: Units, currency: str) -> Table:
    rows = tuple(_row(row, units=units, currency=currency) for row in parts.rows)
    columns = (Column("Part", 1.5), Column("What it is", 3.0), Column("How many", 0.9, "right"), Column("State", 0.8),
               Column("Condition", 0.8), Column("Source", 1.1), Column("Price", 1.1, "right"))  # fmt: skip
    return Table(columns, rows, caption="What it takes, in the order that power and air meet it", name="parts")


def _row(row: PartRow, *, units: Units, currency: str) -> tuple[str, ...]:
    if not row.first:
        price = NOT_TOLD if row.drawn else WITH_ABOVE
    else:
        price = price_of(row.item, units=units)
        price = price if price == NOT_TOLD else f"{price} {currency}".strip()
    what = row.thing.what or ("" if row.told else NOT_TOLD)
    return (row.thing.part, what, row.thing.quantity, row.state, row.condition, row.source, price)


def _costs(parts: PartsList, draw: Draw) -> Iterator[Table]:
    if not parts.costs:
        return
    about = draw.plant.about
    rows = tuple(
        (row.name, row.kind, {"own": "paid", "to buy": "to pay"}.get(row.state, NOT_TOLD),
         f"{price_of(row.item, units=about.units)} {about.currency if row.item.told else ''}".strip())
        for row in parts.costs
    )  # fmt: skip
    columns = (Column("Other cost", 3.0), Column("Sort", 1.0), Column("State", 1.0), Column("Price", 1.2, "right"))
    yield Table(columns, rows, caption="Work and what else is paid for", name="other costs")


def _sums(parts: PartsList, draw: Draw) -> Iterator[Block]:
    if not parts.bill.priced:
        yield Words('Write price = ... under a part, and have = "own" or "to buy", to have it added up.')
        return
    currency = draw.plant.about.currency
    named = (("Spent: what is owned or paid", parts.spent),
             ("Still to spend: what is to buy or to pay", parts.to_spend),
             ("Not told whether spent", parts.open), ("All together", parts.bill.total()))  # fmt: skip
    rows = [(words, sums(amount, currency=currency)) for words, amount in named if amount is not None]
    open_lines = [item.path for item in parts.bill.items if item.price is None]
    if open_lines:
        rows.append((f"No price told, {len(open_lines)}: {_some(open_lines)}", "open"))
    if parts.missing:
        rows.append((f"Asked for by findings, {len(parts.missing)}: see below", "open"))
    columns = (Column("Sum", 3.0), Column("Comes to", 1.5, "right"))
    last = len([1 for _, amount in named if amount is not None]) - 1
    yield Table(columns, tuple(rows), caption="What it comes to", strong=(last,), name="sums")
    yield Words(BASIS)


MOST_NAMED = 12
"""Parts named one by one in a sum that is open. [-]"""


def _some(paths: Sequence[str]) -> str:
    shown = ", ".join(path.replace("_", " ") for path in paths[:MOST_NAMED])
    return shown if len(paths) <= MOST_NAMED else f"{shown} and {len(paths) - MOST_NAMED} more"


def _missing(parts: PartsList) -> Iterator[Block]:
    for needs, caption, name in (
        (parts.missing, "Still missing, and which finding asks for it", "missing"),
        (parts.to_look_at, "Look first: it may be there, though the file does not say so", "look first"),
    ):
        if needs:
            yield Heading(caption)
            yield _needs(needs, name)


def _needs(needs: Sequence[PartNeeded], name: str) -> Table:
    columns = (Column("Word", 0.8), Column("Part", 1.7), Column("What this plant asks of it", 3.2), Column("For", 1.0),
               Column("Asked for by", 2.0))  # fmt: skip
    rows = tuple(
        (need.signal.upper(), need.part, need.rating, need.about.replace("_", " "),
         f"{RULES[need.rule].title} ({need.rule}){f'; {need.tag} on the corrected drawing' if need.tag else ''}")
        for need in needs
    )  # fmt: skip
    return Table(columns, rows, name=name)
