"""Ready-made units beside the plant, as tables of the parts list."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from airfettle.quantity import plain
from airfettle.report.blocks import Block, Column, Heading, Table, Words
from airfettle.report.parts_words import (
    NOT_TOLD,
    air_measure,
    for_air,
    offer_headline,
    offer_remarks,
    share_text,
    spread,
    sums,
    totals_words,
)
from airfettle.studies.choosing.against import Comparison, Offer

MOST_SAID = 6
"""Units of which the first sentence is told one by one; of more the tables tell. [-]"""
HERE = "this plant"


def offer_blocks(comparison: Comparison) -> Iterator[Block]:
    """Yield the plant against its ready-made units; nothing where none is told."""
    if not comparison.offers:
        return
    yield Heading("Against ready-made units")
    for offer in comparison.offers[:MOST_SAID]:
        yield Words(offer_headline(offer, comparison), strong=True)
    yield _price_and_air(comparison)
    yield _energy_and_sound(comparison)
    yield from _totals(comparison)
    yield _left_out(comparison)
    yield Words(totals_words(comparison))


def shortest(comparison: Comparison) -> Iterator[Words]:
    """Yield the answer in one sentence, to stand before all tables; nothing where nothing can be compared."""
    compared = [offer for offer in comparison.offers if offer.cheaper]
    if compared:
        shares = [offer.cheaper[max(offer.cheaper)] for offer in compared]
        years = max(max(offer.cheaper) for offer in compared)
        when = f"after {years} years of energy" if years else "at first"
        ends = dict.fromkeys(share_text(share) for share in (min(shares), max(shares)))
        units = "the ready-made unit" if len(compared) == 1 else f"each of the {len(compared)} ready-made units"
        yield Words(f"Against {units}: {when} this plant has cost less in {' to '.join(ends)} of the draw.")


def _price_and_air(comparison: Comparison) -> Table:
    about, running = comparison.draw.plant.about, comparison.running
    units = about.units
    own = None if comparison.price is None else comparison.price / np.maximum(running.air, 1e-9)
    price = sums(comparison.price)
    rows = [(HERE, price, price, spread(running.air, kind="intake_flow", units=units), _at(running.gauge, comparison),
             for_air(own, units=units))]  # fmt: skip
    rows += [
        (offer.unit.name, sums(offer.price), sums(offer.first),
         spread(offer.air, kind="intake_flow", units=units), _at(offer.gauge, comparison),
         for_air(offer.per_air, units=units))
        for offer in comparison.offers
    ]  # fmt: skip
    columns = (Column("Unit", 1.4), Column("Price", 1.1, "right"), Column("With what it needs beside it", 1.3, "right"),
               Column("Air delivered", 1.2, "right"), Column("Against", 0.8, "right"),
               Column(f"Price for each {air_measure(units)[1]}", 1.3, "right"))  # fmt: skip
    return Table(columns, tuple(rows), caption=_money("Price and air", comparison), name="price and air")


def _money(caption: str, comparison: Comparison) -> str:
    currency = comparison.draw.plant.about.currency
    return f"{caption}; money in {currency}" if currency else caption


def _at(gauge: float | None, comparison: Comparison) -> str:
    return NOT_TOLD if gauge is None else plain(gauge, kind="pressure", units=comparison.draw.plant.about.units)


def _energy_and_sound(comparison: Comparison) -> Table:
    about, year, running = comparison.draw.plant.about, comparison.year, comparison.running
    units = about.units
    rows = []
    time = year.air / np.maximum(running.air * year.on_time, 1e-9)
    own = (running.power, running.power / np.maximum(running.air, 1e-9), time, year.energy, running.sound)
    for name, (power, specific, share, energy, sound) in (
        (HERE, own),
        *((o.unit.name, (o.power, o.specific_power, o.time_share, o.energy, o.sound)) for o in comparison.offers),
    ):
        paid = comparison.energy_price
        cost = None if energy is None or paid is None else energy * paid
        rows.append((
            name, spread(power, kind="power", units=units), spread(specific, kind="specific_power", units=units),
            spread(share, kind="fraction", units=units), spread(energy, kind="energy", units=units),
            sums(cost), spread(sound, kind="sound_level", units=units),
        ))  # fmt: skip
    columns = (
        Column("Unit", 1.4), Column("Takes at full load", 1.1, "right"), Column("For the air", 1.4, "right"),
        Column("Makes air, of the time switched on", 1.1, "right"), Column("Electricity in a year", 1.2, "right"),
        Column("Costs in a year", 1.1, "right"), Column("Sound at 1 m", 1.0, "right"),
    )  # fmt: skip
    return Table(columns, tuple(rows), caption=_money("Energy and sound", comparison), name="energy and sound")


def _totals(comparison: Comparison) -> Iterator[Table]:
    """Totals after some years; none where the plant has no price and no unit has one."""
    years = sorted({n for totals in (comparison.totals, *(o.totals for o in comparison.offers)) for n in totals})
    if not years:
        return
    named = tuple("at first" if n == 0 else f"{n} year{'s' if n > 1 else ''}" for n in years)
    rows = [(HERE, *(sums(comparison.totals.get(n)) for n in years), "")]
    rows += [
        (o.unit.name, *(sums(o.totals.get(n)) for n in years), _cheaper(o))
        for o in comparison.offers
    ]  # fmt: skip
    columns = (Column("Unit", 1.4), *(Column(n[:1].upper() + n[1:], 1.1, "right") for n in named),
               Column("This plant costs less in", 1.6))  # fmt: skip
    yield Table(columns, tuple(rows), caption=_money("With energy, over the years", comparison), name="over the years")


def _cheaper(offer: Offer) -> str:
    """Share of the draw in which the plant has cost less, at first and after the longest time, and from here on."""
    if not offer.cheaper:
        return NOT_TOLD
    ends = sorted({min(offer.cheaper), max(offer.cheaper)})
    words = [f"{share_text(offer.cheaper[n])} of the draw {'at first' if n == 0 else f'after {n} years'}" for n in ends]
    if offer.from_here is not None:
        words.append(f"{share_text(offer.from_here)} with what is spent left out")
    return ", ".join(words)


def _left_out(comparison: Comparison) -> Table:
    rows = tuple(
        (offer.unit.name, "; ".join(need.says for need in offer.left_out) or "nothing that is missed here",
         " ".join(offer_remarks(offer, comparison)))
        for offer in comparison.offers
    )  # fmt: skip
    columns = (Column("Unit", 1.2), Column("Not named in its price", 3.0), Column("To know", 3.0))
    return Table(columns, rows, caption="What each quote leaves out", name="left out")
