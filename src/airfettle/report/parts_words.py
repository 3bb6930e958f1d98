"""What is said of a plant's parts and cost before any table, and money as words."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.parts_list import PartsList
from airfettle.quantity import Units, in_unit, plain, shown_unit, span_text, toleranced
from airfettle.studies.choosing.against import Comparison, Offer
from airfettle.studies.choosing.bill import Item

Array = NDArray[np.float64]

NOT_TOLD = "not told"
BASIS = (
    "Prices are added up row by row over the draw, so that a sum with its spread is that of prices that do not move "
    "together. Wherever no price is told, nothing is added: a sum is of the prices told, and the rest is open."
)
"""How money is added up."""
TOTALS = (
    "Today's prices: no interest, no repairs, nothing for anybody's own hours. Each machine makes the air that this "
    "plant makes in a year, at its own full-load power. What a unit needs beside it is taken at this plant's prices."
)
"""What totals count, and what they do not."""


def sums(amount: Array | None, *, currency: str = "") -> str:
    """Return a sum with its spread, in the plant's currency."""
    if amount is None:
        return NOT_TOLD
    low, likely, high = (float(v) for v in np.percentile(amount, [5.0, 50.0, 95.0]))
    exact = high - low <= 1e-9 * max(likely, 1.0)
    text = plain(likely, kind="money", units="US") if exact else toleranced(low, likely, high, kind="money", units="US")
    return f"{text} {currency}".strip()


def price_of(item: Item | None, *, units: Units) -> str:
    """Return a price as the owner wrote it."""
    return NOT_TOLD if item is None or item.told is None else span_text(item.told, units=units)


def spread(values: Array | None, *, kind: str, units: Units) -> str:
    """Return rows as likely value and tolerance in the owner's units."""
    if values is None:
        return NOT_TOLD
    low, likely, high = (float(v) for v in np.percentile(values, [5.0, 50.0, 95.0]))
    return toleranced(low, likely, high, kind=kind, units=units)


def air_measure(units: Units) -> tuple[float, str]:
    """Return the air that money is told for: as volume flow at the intake, and in words. [m3/s]"""
    return (in_flow(1.0, units), "cfm") if units == "US" else (in_flow(100.0, units), "100 L/min")


def in_flow(number: float, units: Units) -> float:
    """Return a flow in the owner's unit as SI. [m3/s]"""
    return number / in_unit(1.0, kind="intake_flow", unit=shown_unit("intake_flow", units))


def for_air(amount: Array | None, *, units: Units, currency: str = "") -> str:
    """Return money for each cfm, or for each 100 L/min."""
    return sums(None if amount is None else amount * air_measure(units)[0], currency=currency)


def totals_words(comparison: Comparison) -> str:
    """Return what totals count, what they leave out, and what the year of work rests on."""
    left = sum(item.price is None for item in comparison.bill.items)
    lines = f" of this plant, {_number(left, 'line')}," if left else ""
    open_lines = f" What has no price{lines} or is still missing counts nothing: this plant is dearer than shown."
    return f"{TOTALS}{open_lines} The year: {comparison.year.basis}."


def share_text(share: float) -> str:
    """Return a share of the draw in whole percents, never all or none of it unless it is."""
    if share in (0.0, 1.0):
        return f"{share:.0%}"
    return f"{min(max(round(100.0 * share), 1), 99)} %".replace(" %", "%")


def headline(parts: PartsList, *, currency: str) -> str:
    """Return the first thing said: what it comes to, and what has no price yet."""
    counted = sum(item.price is None for item in parts.bill.items)
    asked = len(parts.missing)
    more = f" Findings ask for {_number(asked, 'part')} more." if asked else ""
    if not parts.bill.priced:
        return f"No prices are told: this is what the plant takes.{more}"
    words = f"What has a price comes to {sums(parts.bill.total(), currency=currency)}: {_split(parts, currency)}."
    if counted:
        words += f" {_number(counted, 'line').capitalize()} {'has' if counted == 1 else 'have'} no price yet."
    return words + more


def _split(parts: PartsList, currency: str) -> str:
    named = (("spent", parts.spent), ("still to spend", parts.to_spend), ("not told whether spent", parts.open))
    found = [(words, amount) for words, amount in named if amount is not None]
    if len(found) == 1:
        return f"all of it {found[0][0]}"
    return ", ".join(f"{sums(amount, currency=currency)} {words}" for words, amount in found)


def _number(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def offer_headline(offer: Offer, comparison: Comparison) -> str:
    """Return what is said first of a unit: money for the air, and the total after the longest time."""
    about = comparison.draw.plant.about
    units, currency = about.units, about.currency
    if offer.air is None:
        return f"{offer.unit.name}: its air is not told, so that nothing can be compared."
    air = spread(offer.air, kind="intake_flow", units=units)
    words = f"{offer.unit.name} delivers {air}, this plant {spread(offer.beside.air, kind='intake_flow', units=units)}"
    if offer.per_air is not None and offer.plant_per_air is not None:
        its, own = (for_air(p, units=units, currency=currency) for p in (offer.per_air, offer.plant_per_air))
        words += f"; {its} against {own} for each {air_measure(units)[1]}"
    words += "."
    if offer.cheaper:
        years = max(offer.cheaper)
        when = f"After {years} years this plant" if years else "Without energy this plant"
        words += f" {when} has cost less in {share_text(offer.cheaper[years])} of the draw."
    return words


def offer_remarks(offer: Offer, comparison: Comparison) -> Iterator[str]:
    """Yield what to know of a unit before its figures are believed."""
    units, unit = comparison.draw.plant.about.units, offer.unit
    if unit.figure_kind != "delivered" and offer.air is not None:
        share = spread(offer.share, kind="fraction", units=units)
        what = "what its pistons sweep" if unit.figure_kind == "displacement" else "not said to be air delivered"
        yield f"Its figure is {what}: {share} of it is counted. Ask in writing for air delivered at a pressure."
    if offer.gauge is None and offer.air is not None:
        yield "No pressure stands behind its air: such a figure is mostly displacement."
    elif offer.gauge is not None:
        yield from _pressures(offer, comparison)
    if offer.too_good:
        yield "More air than its power can compress even without losses: one of the two figures is wrong."
    if offer.other_phases:
        yield "Built for three phases, and the supply has one: it needs a drive or converter that its price leaves out."
    if offer.over_duty is not None and offer.over_duty >= 0.01:
        limit = "its maker's limit" if unit.longest_duty is not None else "all the time there is"
        yield f"It would run longer than {limit} in {share_text(offer.over_duty)} of the draw."
    if not unit.includes:
        yield "What its price includes is not told: all below is counted as left out."
    if offer.energy is None and offer.air is not None:
        yield "Its power is not told: its energy is left open, and the totals hold no energy of it."
    if offer.parts_share is not None:
        share = spread(offer.parts_share, kind="fraction", units=units)
        yield (f"The parts it would take the place of come to {share} of its price, for the same air; bought apart and "
               "used, a third to two thirds is common practice.")  # fmt: skip


def _pressures(offer: Offer, comparison: Comparison) -> Iterator[str]:
    units, stops = comparison.draw.plant.about.units, comparison.running.gauge
    assert offer.gauge is not None
    shown, own = (plain(gauge, kind="pressure", units=units) for gauge in (offer.gauge, stops))
    if offer.gauge > 1.02 * stops:
        yield f"Its figure is for {shown}; this plant stops at {own} and is shown there."
    elif offer.gauge < 0.95 * stops:
        yield f"Its figure is for {shown}: against this plant's {own} it delivers less, and may not get there."
