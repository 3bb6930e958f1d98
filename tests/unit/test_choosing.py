"""The plant against ready-made units: prices, air, energy and what a quote leaves out."""

import numpy as np
import pytest

from airfettle.errors import AirfettleError
from airfettle.parts import energy
from airfettle.plant.whole import OwnersPlant
from airfettle.store.plant_file import read_plant
from airfettle.studies.choosing.against import against_ready_made
from airfettle.studies.choosing.bill import bill_of
from airfettle.studies.day.prepared import WEEK, YEAR
from airfettle.studies.draw import draw

ROWS = 64
CFM = 0.3048**3 / 60
PSI = 6894.757293168361

PLANT = {
    "plant": {"name": "rope walk", "units": "US", "currency": "USD"},
    "site": {"energy_price": "0.15 +/- 0 /kWh"},
    "control": {"cut_in": "100 psi by gauge", "cut_out": "125 psi by gauge", "hours": "Mon-Fri 08:00-18:00"},
    "supply": {"kind": "single-phase 120/240", "price": 200},
    "drive": {"price": "100..200", "have": "own"},
    "motor": {"power": "5 hp", "price": 150, "have": "own"},
    "belt": {"ratio": "2.4"},
    "pump": {"stages": 2, "displacement": "50 in3", "price": "200..300", "have": "to buy"},
    "receiver": {"price": 250},
    "shop_pipe": {"price": 300},
    "other_cost": [
        {"name": "electrician", "price": 400, "kind": "labour", "either_way": "yes", "paid": "no"},
        {"name": "mounts", "price": 50, "paid": "yes"},
        {"name": "permit", "price": 80, "kind": "permit"},
    ],
}
UNIT = {
    "name": "unit", "price": 2000, "air": "12 cfm", "at": "100 psi by gauge", "figure_kind": "delivered",
    "delivered_share": "1.0 by maker", "known": "maker", "power": "3 kW", "power_kind": "electrical",
    "input_share": "1.0 by maker", "includes": ["receiver", "starter", "delivery"],
}  # fmt: skip


def compared(*units, rows=ROWS, **sections):
    told = OwnersPlant.model_validate(PLANT | {"ready_made": list(units)} | sections)
    return against_ready_made(told, draw=draw(told, rows=rows))


def exact(**more):
    """A unit of which nothing has a spread."""
    return UNIT | {"air": "12 cfm +/- 0 cfm", "input_share": "1.0 +/- 0", "delivered_share": "1.0 +/- 0",
                   "power": "3 kW +/- 0 kW"} | more  # fmt: skip


# What is read.


def test_air_and_its_pressure_are_taken_apart():
    unit = OwnersPlant.model_validate({"ready_made": {"air": "16 cfm at 125 psi by maker"}}).ready_made[0]
    assert unit.air.likely == pytest.approx(16 * CFM)
    assert unit.at.likely == pytest.approx(125 * PSI)
    assert unit.air.known == unit.at.known == "maker"


def test_a_pressure_told_twice_is_refused(tmp_path):
    file = tmp_path / "p.toml"
    file.write_text('[ready_made]\nair = "16 cfm at 125 psi"\nat = "90 psi"\n', encoding="utf-8")
    with pytest.raises(AirfettleError, match="the pressure once"):
        read_plant(file)


@pytest.mark.parametrize(
    ("text", "si"), [("16 scfm", 16 * CFM), ("450 L/min ANR", 7.5e-3), ("450 L/min (ANR) at 8 bar", 7.5e-3)]
)
def test_reference_air_counts_as_that_volume_at_the_intake(text, si):
    unit = OwnersPlant.model_validate({"ready_made": {"air": text}}).ready_made[0]
    assert unit.air.likely == pytest.approx(si)


@pytest.mark.parametrize(
    ("kind", "stages", "low", "high"),
    [("displacement", 1, 0.58, 0.72), ("displacement", 2, 0.70, 0.82), ("displacement", None, 0.58, 0.82),
     ("unknown", None, 0.58, 1.0), ("delivered", 1, 0.93, 1.07)],
)  # fmt: skip
def test_what_of_a_figure_is_counted_goes_by_its_kind(kind, stages, low, high):
    more = {"stages": stages} if stages else {}
    unit = {key: value for key, value in UNIT.items() if key != "delivered_share"} | {"figure_kind": kind} | more
    offer = compared(unit, rows=1024).offers[0]
    assert low <= offer.share.min() < low + 0.01
    assert high - 0.01 < offer.share.max() <= high


def test_an_unknown_word_of_what_it_includes_is_refused(tmp_path):
    file = tmp_path / "p.toml"
    file.write_text('[ready_made]\nincludes = ["reciever"]\n', encoding="utf-8")
    with pytest.raises(AirfettleError, match="receiver"):
        read_plant(file)


# Prices.


def test_prices_add_up_row_by_row():
    told = OwnersPlant.model_validate(PLANT)
    drawn = draw(told, rows=ROWS)
    bill = bill_of(told, draw=drawn)
    spread = drawn.plant.drive.price.ravel() + drawn.plant.pump.price.ravel()
    assert bill.total() == pytest.approx(200 + 150 + 250 + 300 + 400 + 50 + 80 + spread)
    assert bill.total(have=("own",)) == pytest.approx(150 + 50 + drawn.plant.drive.price.ravel())
    assert bill.total(have=("to buy",)) == pytest.approx(400 + drawn.plant.pump.price.ravel())
    assert bill.unpriced == ("control", "belt")


def test_the_spread_of_a_sum_is_less_than_all_highest_together():
    parts = {f"receiver {n}": {"name": f"receiver {n}", "price": "100..200"} for n in range(6)}
    told = OwnersPlant.model_validate({"receiver": list(parts.values())})
    total = bill_of(told, draw=draw(told, rows=1024)).total()
    assert 600 < total.min() < total.max() < 1200
    assert np.percentile(total, 95) - np.percentile(total, 5) < 0.6 * 600


def test_no_prices_give_no_totals_and_no_error():
    told = OwnersPlant.model_validate({"ready_made": {"name": "a"}})
    found = against_ready_made(told, draw=draw(told, rows=8))
    assert found.price is None
    assert found.totals == {}
    offer = found.offers[0]
    assert (offer.air, offer.first, offer.energy, offer.per_air, offer.over_duty) == (None,) * 5
    assert offer.cheaper == {}


def test_price_for_the_air_is_price_over_air_both_ways():
    found = compared(exact(includes=["receiver", "wiring", "pipe"]))
    offer = found.offers[0]
    assert offer.first == pytest.approx(2000 + 400)  # the electrician comes either way
    assert offer.per_air == pytest.approx(2400 / (12 * CFM))
    assert offer.plant_per_air == pytest.approx(found.price / offer.beside.air)


def test_parts_it_takes_the_place_of_leave_out_work_and_permits():
    found = compared(exact(includes=["receiver", "wiring", "pipe"]))
    offer, plant = found.offers[0], found.draw.plant
    parts = 200 + 150 + 250 + 300 + 50 + plant.drive.price.ravel() + plant.pump.price.ravel()
    assert offer.parts_share == pytest.approx(parts / offer.beside.air / (2000 / (12 * CFM)))


# Air and energy.


def test_the_plant_is_shown_at_the_units_pressure_and_never_above_its_own():
    low, high = compared(exact(at="60 psi by plate"), exact(name="b", at="175 psi by plate")).offers
    assert low.beside.gauge == pytest.approx(60 * PSI)
    assert high.beside.gauge == pytest.approx(125 * PSI, rel=1e-6)
    assert np.all(low.beside.air > high.beside.air)


def test_hours_told_and_no_uses_give_a_year_by_hours():
    found = compared(exact())
    year, running = found.year, found.running
    assert not year.by_days
    assert year.on_time == pytest.approx(50 / 168 * YEAR)
    loaded = year.air / (running.air * year.on_time)
    assert 0.2 <= loaded.min() < loaded.max() <= 0.6
    assert year.energy == pytest.approx(loaded * year.on_time * running.power)


def test_a_unit_makes_the_same_air_at_its_own_power():
    found = compared(exact())
    offer, year = found.offers[0], found.year
    time = year.air / (12 * CFM)
    assert offer.time_share == pytest.approx(time / year.on_time)
    assert offer.energy == pytest.approx(np.minimum(time, year.on_time) * 3000)
    price = 0.15 / energy.JOULE_PER_KWH
    assert offer.totals[5] - offer.totals[0] == pytest.approx(5 * offer.energy * price)
    assert found.totals[10] - found.totals[0] == pytest.approx(10 * year.energy * price)


def test_a_unit_that_is_too_small_runs_all_the_time_and_is_said_to():
    found = compared(exact(air="1 cfm"))
    offer = found.offers[0]
    assert offer.over_duty == 1.0
    assert offer.energy == pytest.approx(found.year.on_time * 3000)


def test_the_makers_duty_counts():
    assert compared(exact(longest_duty="1 % by maker")).offers[0].over_duty == 1.0
    assert compared(exact(longest_duty="100 % by maker")).offers[0].over_duty == 0.0


def test_uses_told_are_run_through_their_weeks():
    use = {"name": "sander", "tool": "sander", "air": "8 cfm at 90 psi", "on": "2 min", "off": "4 min"}
    found = compared(exact(), use=use)
    assert found.year.by_days
    # a third of 42.5 hours a week at 8 scfm, with what the leaks and the regulator add
    least = 52 * 42.5 * 3600 / 3 * 8 * CFM * 0.7
    assert least < np.median(found.year.air) < 4 * least
    assert found.year.on_time == pytest.approx(50 * 3600 * YEAR / WEEK, rel=1e-6)


def test_more_air_than_its_power_can_compress():
    assert compared(exact(air="40 cfm")).offers[0].too_good
    assert not compared(exact()).offers[0].too_good


# What is cheaper.


def test_a_dear_unit_never_costs_less_and_a_cheap_one_does():
    whole = ["receiver", "starter", "delivery", "wiring", "pipe", "pressure switch"]
    dear, cheap = compared(exact(price=90_000), exact(name="b", price=1, power="500 W", includes=whole)).offers
    assert set(dear.cheaper.values()) == {1.0}
    assert set(cheap.cheaper.values()) == {0.0}


def test_what_is_spent_does_not_count_from_here():
    """All parts owned: from here the plant costs its energy alone, and a unit its price as well."""
    owned = {
        name: PLANT[name] | {"have": "own"} for name in ("supply", "drive", "motor", "pump", "receiver", "shop_pipe")
    }
    offer = compared(exact(price=100, power="2 kW +/- 0 kW"), other_cost=[], **owned).offers[0]
    assert offer.cheaper[0] == 0.0
    assert offer.from_here is not None
    later = compared(exact(price=100_000), other_cost=[], **owned).offers[0]
    assert later.from_here == 1.0


# What the quote leaves out.


def words(offer):
    return [need.word for need in offer.left_out]


def test_what_is_included_is_not_left_out():
    bare, full = compared(exact(includes=[]), exact(name="b")).offers
    assert {"receiver", "starter", "delivery", "wiring", "pipe"} <= set(words(bare))
    assert not {"receiver", "starter", "delivery"} & set(words(full))
    assert "dryer" not in words(bare)  # this plant has none either


def test_a_drive_in_the_price_is_a_starter():
    assert "starter" not in words(compared(exact(includes=["drive"])).offers[0])


def test_a_dryer_here_is_missed_there():
    offer = compared(exact(), dryer={"price": 500}).offers[0]
    assert "dryer" in words(offer)
    assert "dryer" in [item.path for item in offer.kept]


def test_what_stays_in_use_is_added_to_its_price():
    offer = compared(exact(includes=["receiver"])).offers[0]
    assert {item.path for item in offer.kept} >= {"supply", "shop_pipe", "other_cost.electrician", "control"}
    assert offer.first == pytest.approx(2000 + 200 + 300 + 400)


def test_three_phases_on_one_keep_the_drive():
    one, three = compared(exact(phases=1), exact(name="b", phases=3)).offers
    assert not one.other_phases
    assert three.other_phases
    assert "drive" in [item.path for item in three.kept]
    assert "drive" not in [item.path for item in one.kept]


def test_trains_of_their_own_are_priced_each():
    train = {"motor": {"power": "3 hp", "price": 100}, "pump": {"price": 200}}
    told = OwnersPlant.model_validate({"train": [{"name": "a"} | train, {"name": "b"} | train]})
    bill = bill_of(told, draw=draw(told, rows=8))
    assert bill.total() == pytest.approx(600)
    assert {item.section for item in bill.items} == {"motor", "pump"}


def test_many_units_with_odd_names():
    names = ["<b>unit</b>", "# {x}", "قطعة", "a.b", *(f"unit {n}" for n in range(60))]
    found = compared(*(exact(name=name) for name in names), rows=8)
    assert [offer.unit.name for offer in found.offers] == names
