"""A plant against ready-made units: price, air, energy and sound on one footing, and totals after some years."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.energy import least_specific_power
from airfettle.plant.ready_made import ReadyMade
from airfettle.plant.whole import OwnersPlant
from airfettle.studies.choosing.bill import Bill, Item, bill_of, summed
from airfettle.studies.choosing.delivery import Running, running_at
from airfettle.studies.choosing.left_out import Needed, kept_beside, quote_leaves_out
from airfettle.studies.choosing.year import WorkingYear, working_year
from airfettle.studies.completion.whole import PlantNumbers, complete
from airfettle.studies.day.days import Days
from airfettle.studies.draw import Draw

Array = NDArray[np.float64]

YEARS = (1, 5, 10)
"""Years after which totals are told. [-]"""


@dataclass(frozen=True)
class Offer:
    """One ready-made unit beside this plant; arrays of shape (rows,), None where nothing is told to work it out from.

    Attributes
    ----------
    unit : ReadyMade
        As quoted, drawn. [SI]
    price : ndarray or None
        Its own. [money]
    air : ndarray or None
        Air it delivers, as volume at the intake: the maker's figure times the share of it that is delivered. [m3/s]
    share : ndarray
        That share. [-]
    gauge : float or None
        Pressure that its figure is for, gauge, at likely values; None where not told. [Pa]
    beside : Running
        This plant at that pressure, or at cut-out where it goes no higher or none is told. [SI]
    per_air, plant_per_air : ndarray or None
        Price for each volume a second, of it with what it needs beside it, and of this plant. [money s/m3]
    power, specific_power : ndarray or None
        From the supply at full load, and for the air it delivers. [W] [J/m3]
    time_share : ndarray or None
        Time it would run, of the time switched on, to make the air this plant makes; above 1 it cannot. [-]
    energy : ndarray or None
        Electricity in a year, for that air or for all the air it can make. [J]
    sound : ndarray or None
        At 1 m. [dB]
    left_out : tuple of Needed
        What its quote does not name.
    kept : tuple of Item
        What of this plant would stay in use beside it.
    parts_share : ndarray or None
        Price of the parts of this plant that it would take the place of, over its own price, each for the air it
        delivers. [-]
    first : ndarray or None
        Its price with what is kept of this plant. [money]
    totals : dict
        Years -> first cost with energy; empty where the price or, but for none, the energy is open. [money]
    cheaper : dict
        Years -> share of the draw in which this plant has cost less by then. [-]
    from_here : float or None
        The same after the longest time, with what is spent already left out. [-]
    other_phases, too_good : bool
        It is built for other phases than the supply has; it states more air than its power can compress, more likely
        than not.
    """

    unit: ReadyMade[Any]
    price: Array | None
    air: Array | None
    share: Array
    gauge: float | None
    beside: Running
    per_air: Array | None
    plant_per_air: Array | None
    power: Array | None
    specific_power: Array | None
    time_share: Array | None
    energy: Array | None
    sound: Array | None
    left_out: tuple[Needed, ...]
    kept: tuple[Item, ...]
    parts_share: Array | None
    first: Array | None
    totals: dict[int, Array]
    cheaper: dict[int, float]
    from_here: float | None
    other_phases: bool
    too_good: bool

    @property
    def over_duty(self) -> float | None:
        """Share of the draw in which it would run longer than its maker lets it, or than there is time. [-]"""
        if self.time_share is None:
            return None
        limit = self.unit.longest_duty
        most = 1.0 if limit is None else np.ravel(limit)
        return float(np.mean(self.time_share > np.minimum(most, 1.0)))


@dataclass(frozen=True)
class Comparison:
    """A plant and the ready-made units it is weighed against; arrays of shape (rows,).

    Attributes
    ----------
    draw : Draw
        The plant. [SI]
    bill : Bill
        What it costs. [money]
    running : Running
        What it does at full speed and cut-out. [SI]
    year : WorkingYear
        A year of its work. [SI]
    price : ndarray or None
        All prices told of it. [money]
    energy_price : ndarray or None
        [money/J]
    totals : dict
        Years -> price with energy; with 0 for the price alone. [money]
    offers : tuple of Offer
        In the order of the plant file.
    """

    draw: Draw
    bill: Bill
    running: Running
    year: WorkingYear
    price: Array | None
    energy_price: Array | None
    totals: dict[int, Array]
    offers: tuple[Offer, ...]


def against_ready_made(
    told: OwnersPlant,
    *,
    draw: Draw,
    numbers: PlantNumbers | None = None,
    days: Days | None = None,
    years: tuple[int, ...] = YEARS,
    seed: int = 1,
) -> Comparison:
    """Return this plant against the ready-made units its owner considers.

    Parameters
    ----------
    told : OwnersPlant
        As the owner's file has it. [spans]
    draw : Draw
        The same plant drawn. [SI]
    numbers : PlantNumbers or None
        With its gaps filled; None fills them. [SI]
    days : Days or None
        The plant run through whole weeks; None runs some where uses are told. [SI]
    years : tuple of int
        After how many years totals are wanted. [-]
    seed : int
        Of the chance. [-]

    Returns
    -------
    Comparison
        [SI]

    Notes
    -----
    Both make the air this plant makes in a year, each at its full-load power for it; a unit that cannot runs all the
    time it is switched on.  Prices are today's: no interest, no repairs, nothing for one's own time.
    """
    numbers = complete(draw) if numbers is None else numbers
    stops = float(np.ravel(numbers.cut_out)[0] - np.ravel(draw.barometer)[0])
    units = draw.plant.ready_made
    stated = [_gauge(unit, draw) for unit in units]
    gauges = (stops, *(stops if g is None else min(g, stops) for g in stated))
    running, *beside = running_at(draw, numbers=numbers, gauges=gauges)
    bill = bill_of(told, draw=draw)
    year = working_year(told, draw=draw, running=running, days=days, seed=seed)
    price = numbers.energy_price
    paid = None if price is None else np.broadcast_to(np.ravel(price), (draw.rows,))
    whole = bill.total()
    base = Comparison(draw, bill, running, year, whole, paid, _totals(whole, year.energy, paid, years), ())
    offers = tuple(
        _offer(unit, told=told, base=base, beside=one, gauge=g, years=years, phases=numbers.trains[0].power.phases)
        for unit, one, g in zip(units, beside, stated, strict=True)
    )
    return replace(base, offers=offers)


def _gauge(unit: ReadyMade[Array], draw: Draw) -> float | None:
    return None if unit.at is None else float(np.ravel(unit.at)[0] - np.ravel(draw.barometer)[0])


def _rows(values: Array | None, draw: Draw) -> Array | None:
    return None if values is None else np.asarray(np.broadcast_to(np.ravel(values), (draw.rows,)))


def _totals(first: Array | None, energy: Array | None, price: Array | None, years: tuple[int, ...]) -> dict[int, Array]:
    """First cost, and with energy after some years; without a price of energy the first cost alone. [money]"""
    if first is None:
        return {}
    found = {0: first}
    if energy is not None and price is not None:
        found |= {n: first + n * energy * price for n in years}
    return found


def _offer(
    unit: ReadyMade[Array], *, told: OwnersPlant, base: Comparison, beside: Running, gauge: float | None,
    years: tuple[int, ...], phases: int,
) -> Offer:  # fmt: skip
    draw, year = base.draw, base.year
    share, stated, price = (_rows(v, draw) for v in (unit.delivered_share, unit.air, unit.price))
    assert share is not None
    air = None if stated is None else stated * share
    power = None if unit.power is None else _rows(unit.power * unit.input_share, draw)
    other = unit.phases == 3 and phases == 1
    left_out = quote_leaves_out(unit, told=told)
    kept = kept_beside(unit, left_out=left_out, bill=base.bill, needs_drive=other)
    beside_it = summed(kept, rows=draw.rows)
    first = None if price is None else price + (0.0 if beside_it is None else beside_it)
    time = None if air is None else year.air / np.maximum(air, 1e-9)
    energy = None if time is None or power is None else np.minimum(time, year.on_time) * power
    totals = _totals(first, energy, base.energy_price, years)
    its_own = None if price is None or air is None else price / air
    return Offer(
        unit, price, air, share, gauge, beside, per_air=None if first is None or air is None else first / air,
        plant_per_air=None if base.price is None else base.price / np.maximum(beside.air, 1e-9), power=power,
        specific_power=None if power is None or air is None else power / air,
        time_share=None if time is None else time / np.maximum(year.on_time, 1.0), energy=energy,
        sound=_rows(unit.sound_level, draw), left_out=left_out, kept=kept,
        parts_share=_parts_share(base, kept, its_own, beside), first=first, totals=totals,
        cheaper=dict(_cheaper(base.totals, totals)), from_here=_from_here(base, kept, totals), other_phases=other,
        too_good=_too_good(stated, power, gauge, draw),
    )  # fmt: skip


def _parts_share(base: Comparison, kept: tuple[Item, ...], per_air: Array | None, beside: Running) -> Array | None:
    """Price of the parts a unit would take the place of over its own, each for its air; work and permits left out."""
    own = [item for item in base.bill.items if item.kind in ("part", "material") and item not in kept]
    parts = summed(own, rows=base.draw.rows)
    return None if parts is None or per_air is None else parts / np.maximum(beside.air, 1e-9) / per_air


def _cheaper(build: dict[int, Array], bought: dict[int, Array]) -> Iterator[tuple[int, float]]:
    for years in bought:
        if years in build:
            yield years, float(np.mean(build[years] < bought[years]))


def _from_here(base: Comparison, kept: tuple[Item, ...], totals: dict[int, Array]) -> float | None:
    """Share of the draw in which going on costs less than buying, what is spent already left out on both sides."""
    if not totals or base.price is None:
        return None
    last = max(totals)
    spent, kept_spent = base.bill.total(have=("own",)), summed(
        (item for item in kept if item.have == "own"), rows=base.draw.rows)  # fmt: skip
    if spent is None or last not in base.totals:
        return None
    on = base.totals[last] - spent
    other = totals[last] - (0.0 if kept_spent is None else kept_spent)
    return float(np.mean(on < other))


def _too_good(stated: Array | None, power: Array | None, gauge: float | None, draw: Draw) -> bool:
    """Whether the air stated takes more than the power told even in isothermal compression, more likely than not."""
    if stated is None or power is None or gauge is None:
        return False
    outside = np.ravel(draw.barometer)
    least = stated * least_specific_power(pressure=outside + gauge, pressure_intake=outside)
    return float(np.mean(least > power)) >= 0.5
