"""The parts list and the plant against ready-made units, as JSON: SI numbers, money in the plant's currency."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.parts_list import PartRow, PartsList
from airfettle.findings.parts_needed import PartNeeded
from airfettle.report.findings_json import head
from airfettle.report.parts_words import headline, offer_headline, offer_remarks
from airfettle.studies.choosing.against import Comparison, Offer
from airfettle.studies.choosing.bill import Item
from airfettle.studies.draw import Draw

PARTS_SCHEMA = "airfettle.parts.1"
"""Name and version of the form; a key is never taken away or given another meaning within a version."""

Array = NDArray[np.float64]


def parts_json(parts: PartsList, *, draw: Draw, comparison: Comparison | None = None) -> dict[str, Any]:
    """Return the parts list as plain dicts, lists, numbers and text."""
    currency = draw.plant.about.currency
    return head(draw, schema=PARTS_SCHEMA) | {
        "says": headline(parts, currency=currency),
        "currency": currency,
        "parts": [_row(row) for row in parts.rows],
        "other_costs": [
            {"name": row.name, "kind": row.kind, "state": row.state, "price": _band(row.item.price)}
            for row in parts.costs
        ],
        "sums": {"spent": _band(parts.spent), "to_spend": _band(parts.to_spend), "not_told": _band(parts.open),
                 "all": _band(parts.bill.total()), "without_price": list(parts.bill.unpriced)},
        "missing": [_need(need) for need in parts.missing],
        "look_first": [_need(need) for need in parts.to_look_at],
        "against": None if comparison is None or not comparison.offers else _comparison(comparison),
    }  # fmt: skip


def _band(values: Array | None) -> dict[str, float] | None:
    if values is None:
        return None
    low, likely, high = (float(v) for v in np.percentile(values, [5.0, 50.0, 95.0]))
    return {"low": low, "likely": likely, "high": high}


def _price(item: Item | None) -> dict[str, float] | None:
    return None if item is None else _band(item.price)


def _row(row: PartRow) -> dict[str, Any]:
    return {
        "path": row.path, "part": row.thing.part, "what": row.thing.what, "quantity": row.thing.quantity,
        "state": row.state, "condition": row.condition, "source": row.source, "told": row.told,
        "priced_with_the_above": not row.first and not row.drawn, "price": _price(row.item),
    }  # fmt: skip


def _need(need: PartNeeded) -> dict[str, Any]:
    return {"part": need.part, "rating": need.rating, "for": need.about, "finding": need.rule, "signal": need.signal,
            "tag": need.tag}  # fmt: skip


def _comparison(comparison: Comparison) -> dict[str, Any]:
    running, year = comparison.running, comparison.year
    return {
        "year": {"basis": year.basis, "on_time_s": _band(year.on_time), "air_m3": _band(year.air),
                 "energy_j": _band(year.energy)},
        "plant": {
            "price": _band(comparison.price), "gauge_pa": running.gauge, "air_m3_s": _band(running.air),
            "power_w": _band(running.power), "sound_db": _band(running.sound), "totals": _totals(comparison.totals),
        },
        "units": [_offer(offer, comparison) for offer in comparison.offers],
    }  # fmt: skip


def _totals(totals: dict[int, Array]) -> dict[str, dict[str, float] | None]:
    return {str(years): _band(amount) for years, amount in totals.items()}


def _offer(offer: Offer, comparison: Comparison) -> dict[str, Any]:
    return {
        "name": offer.unit.name, "says": offer_headline(offer, comparison), "price": _band(offer.price),
        "price_with_what_it_needs": _band(offer.first), "figure_kind": offer.unit.figure_kind,
        "gauge_pa": offer.gauge, "air_m3_s": _band(offer.air), "delivered_share": _band(offer.share),
        "plant_air_m3_s": _band(offer.beside.air), "money_for_air_s_m3": _band(offer.per_air),
        "plant_money_for_air_s_m3": _band(offer.plant_per_air), "parts_share": _band(offer.parts_share),
        "power_w": _band(offer.power), "specific_power_j_m3": _band(offer.specific_power),
        "time_share": _band(offer.time_share), "energy_year_j": _band(offer.energy), "sound_db": _band(offer.sound),
        "totals": _totals(offer.totals),
        "plant_costs_less_share": {str(years): share for years, share in offer.cheaper.items()},
        "plant_costs_less_from_here_share": offer.from_here, "over_duty_share": offer.over_duty,
        "left_out": [need.word for need in offer.left_out], "kept_of_the_plant": [item.path for item in offer.kept],
        "to_know": list(offer_remarks(offer, comparison)),
    }  # fmt: skip
