"""Care of one plant: what is due after how long, and the water to expect, by season."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.parts.service import ServiceItem, service_items
from airfettle.studies.bands import Band, bands
from airfettle.studies.care import parts_needing_care

Array = NDArray[np.float64]

SHARED = (
    "relief valve, lift", "relief valve, renew", "receiver's drain, open", "receiver, outside", "receiver, inside",
    "safety checks", "separator", "filter element", "pump-up and leak test",
)  # fmt: skip
"""Items that several pumps have in common."""
SEASONS = (("cold, dry days", 0.0, 0.25), ("most days", 0.25, 0.75), ("warm, damp days", 0.75, 1.0))
"""Season -> between which shares of the rows, by the water in the air drawn in.  Source: practice."""


@dataclass(frozen=True)
class CareItem:
    """One thing to see to, and of which pump; empty for all in common, and in a plant with one."""

    item: ServiceItem
    pump: str


@dataclass(frozen=True)
class Condensate:
    """Water of one season, in an hour at full speed.

    Attributes
    ----------
    season : str
        In words.
    before, receiver, after : Band
        Caught before the receiver, gathering in it, and caught behind it. [kg/s]
    """

    season: str
    before: Band
    receiver: Band
    after: Band


def care_items(this: ThisPlant) -> tuple[CareItem, ...]:
    """Return what a plant needs, the most often due first."""
    found: list[CareItem] = []
    seen: set[str] = set()
    several = len(this.trains) > 1
    for train in this.trains:
        for item in service_items(
            str(train.pump.fact("lubrication")),
            fitted=parts_needing_care(this.case.reach.draw, this.case.reach.numbers, place=train.place),
        ):
            if item.name in seen:
                continue
            if item.name in SHARED:
                seen.add(item.name)
            found.append(CareItem(item, "" if item.name in SHARED or not several else train.name))
    return tuple(sorted(found, key=lambda care: min(care.item.calendar, 8.0 * care.item.running)))


def condensate(this: ThisPlant) -> tuple[Condensate, ...]:
    """Return the water to expect in each season, in an hour at full speed.

    Notes
    -----
    The draw's own rows, parted by the water in the air drawn in: the site's spans of temperature and humidity are the
    year.  Valid: rows of a season are the same plants as those of another.
    """
    reach = this.case.reach
    place = reach.frequencies.index(min(reach.frequencies, key=lambda f: abs(f - this.full)))
    path, rows = reach.state.path, reach.draw.rows

    def at_full(values: Array) -> Array:
        whole = np.broadcast_to(values, (rows, max(values.shape[1], 1), values.shape[2]))
        return np.asarray(whole[:, min(place, whole.shape[1] - 1)].mean(axis=1))

    damp = np.broadcast_to(np.ravel(reach.numbers.humidity_ratio), (rows,))
    order = np.argsort(damp, kind="stable")
    waters = [at_full(w) for w in (path.water_caught, path.receiver_water, path.treatment_water)]
    found = []
    for season, first, last in SEASONS:
        some = order[int(first * rows) : int(last * rows)]
        found.append(Condensate(season, *(bands(w[some].reshape(-1, 1))[0] for w in waters)))
    return tuple(found)
