"""The parts list: what a plant takes, what findings ask for, and how it is told."""

import json
from pathlib import Path

import numpy as np
import pytest

from airfettle.app.judge import judge_file
from airfettle.findings.case import Case
from airfettle.findings.drawn_circuits import drawn_circuits
from airfettle.findings.judge import judge
from airfettle.findings.parts_list import parts_list
from airfettle.findings.parts_needed import NEEDS
from airfettle.findings.register import RULES
from airfettle.plant.whole import OwnersPlant
from airfettle.report.blocks import Signed, Table, Words
from airfettle.report.blocks.comma_separated import leaf_as_csv
from airfettle.report.blocks.markdown import leaf_as_markdown
from airfettle.report.parts_json import parts_json
from airfettle.report.parts_leaf import parts_leaf
from airfettle.report.parts_words import share_text
from airfettle.studies.choosing.against import against_ready_made
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach
from airfettle.studies.wiring.sizes import wire_sizes

ROOT = Path(__file__).parents[2]
ROWS = 32
PLANTS = sorted([*(ROOT / "examples").glob("*.toml"), *(ROOT / "tests/plants").glob("*.toml"),
                 *(ROOT / "tests/plants/well_built").glob("*.toml")])  # fmt: skip
MISTAKES = ROOT / "tests/plants/mistakes"


def listed(data, *, rows=8):
    told = OwnersPlant.model_validate(data)
    there = reach(draw(told, rows=rows))
    return parts_list(told, reach=there, findings=judge(there)), there


def of_file(file, *, rows=ROWS):
    judged = judge_file(file, rows=rows)
    found = parts_list(judged.loaded.told, reach=judged.reach, findings=judged.findings)
    return judged, found


def leaf_of(data, **more):
    found, there = listed(data, **more)
    told = OwnersPlant.model_validate(data)
    comparison = against_ready_made(told, draw=there.draw, numbers=there.numbers)
    return parts_leaf(found, draw=there.draw, comparison=comparison)


def names(found):
    return [row.thing.part for row in found.rows]


def row(found, part):
    return next(row for row in found.rows if row.thing.part == part)


def needed(found, rule):
    return next(need for need in found.needed if need.rule == rule)


def table(leaf, name):
    return next(block for block in leaf.blocks if isinstance(block, Table) and block.name == name)


# What it takes.


def test_every_need_is_of_a_rule_there_is():
    assert set(NEEDS) <= set(RULES)


def test_nothing_told_still_lists_what_every_plant_has():
    found, _ = listed({})
    from_the_file = [row.thing.part for row in found.rows if not row.drawn]
    assert from_the_file == ["breaker and wires from the panel", "variable-frequency drive", "motor lead", "motor",
                             "pump head", "receiver", "pressure switch"]  # fmt: skip
    assert all("assumed: nobody told of it" in row.thing.what for row in found.rows if not row.drawn)
    assert found.spent is found.to_spend is found.open is None
    assert "relief valve for the receiver" in [need.part for need in found.to_look_at]


def test_parts_stand_in_the_order_that_power_and_air_meet_them():
    _, found = of_file(ROOT / "examples/canoe_works.toml")
    order = ["breaker", "variable-frequency drive", "motor lead", "motor", "motor sheave", "pump head", "hot line",
             "aftercooler", "water separator", "check valve", "receiver", "pressure switch", "filter", "pipe",
             "hose"]  # fmt: skip
    places = [names(found).index(part) for part in order]
    assert places == sorted(places)
    relief = [r.thing.what.partition(",")[0] for r in found.rows if r.thing.part == "relief valve"]
    assert relief == ["between the stages", "on the pump's outlet", "on the receiver"]


def test_the_canoe_works_parts_have_their_sizes():
    _, found = of_file(ROOT / "examples/canoe_works.toml")
    assert row(found, "breaker").thing.what.startswith("60 A")
    wire = row(found, "supply wire").thing
    assert (wire.what, wire.quantity) == ("6 AWG copper", "35 ft of run")
    assert row(found, "belts").thing.quantity == "2"
    # pi/2 (7.4 + 16.25) + 2 x 26 + (16.25 - 7.4)^2 / (4 x 26) = 89.9 in
    assert "about 90 in" in row(found, "belts").thing.what
    # from the places: 7.5 + 24 + 24 + 28 ft of main (with falls a little more), and three drops of 4 to 8 ft
    pipe = row(found, "pipe").thing
    assert pipe.what == "copper L lead-free 3/4 in"
    assert 83.5 + 3 * 4 < float(pipe.quantity.removesuffix(" ft")) < 84.5 + 3 * 8
    assert row(found, "hose").thing.what == "3/8 in, 25 ft"
    assert row(found, "coupler with plug").thing.quantity == "3"


def test_state_condition_and_source_are_those_told():
    found, _ = listed({"pump": {"have": "to buy", "condition": "worn", "source": "a dairy", "price": "50..90"}})
    pump = row(found, "pump head")
    assert (pump.state, pump.condition, pump.source) == ("to buy", "worn", "a dairy")
    assert pump.item.told.text == "50..90"
    assert 50 <= found.to_spend.min() <= found.to_spend.max() <= 90
    assert found.spent is None


def test_absent_parts_are_not_listed():
    found, _ = listed({"drive": "none", "cooler": "none", "dryer": "none", "belt": "none", "filter": "none"})
    assert not {"variable-frequency drive", "aftercooler", "dryer", "belts", "filter"} & set(names(found))


def test_tools_stand_on_the_list_only_with_a_price():
    use = {"name": "drill", "tool": "drill"}
    assert "tool or job" not in names(listed({"use": use})[0])
    assert row(listed({"use": use | {"price": 40}})[0], "tool or job").item.price == pytest.approx(40)


def test_other_costs_are_told_with_their_state():
    found, _ = listed({"other_cost": [{"name": "permit", "kind": "permit", "price": 80, "paid": "yes"},
                                      {"name": "work", "kind": "labour", "price": 500, "paid": "no"}]})  # fmt: skip
    assert [(cost.name, cost.state) for cost in found.costs] == [("permit", "own"), ("work", "to buy")]
    assert found.spent == pytest.approx(80)
    assert found.to_spend == pytest.approx(500)


@pytest.mark.parametrize("file", PLANTS, ids=lambda file: file.stem)
def test_every_plant_has_a_list(file):
    judged, found = of_file(file)
    assert names(found)
    first = [r.path for r in found.rows if r.first and r.told]
    assert sorted(first) == sorted(item.path for item in found.bill.items if item.kind == "part")
    leaf = parts_leaf(found, draw=judged.reach.draw)
    assert all(len(r) == len(block.columns) for block in leaf.blocks if isinstance(block, Table) for r in block.rows)


# What findings ask for.

CASES = {
    "no_relief_valve": ("relief_missing", "stamped, set at or below the plate's"),
    "no_guard": ("belt_guard_missing", "mesh on a frame"),
    "no_separator": ("no_separator", "for "),
    "no_interstage_relief": ("interstage_relief", "the one the pump's maker gives"),
    "power_contacts_on_a_signal": ("power_contacts_on_a_signal", "coil"),
    "wire_by_motor_amps": ("supply_wire", "8 AWG copper at 75 °C or thicker, for 42.5 A"),
    "no_earth": ("protective_earth", "4 mm² copper at least"),
    "transducer_alone": ("transducer_alone", "below the relief valve"),
    "fan_on_the_drive": ("cooler_fan_on_the_drive", "line side"),
    "old_relief_valve_new_pump": ("relief_capacity", "passing at least"),
    "separator_too_small": ("separator_flooded", "for "),
    "switch_too_small": ("pressure_switch_overloaded", "for a motor of"),
}


@pytest.mark.parametrize(("mistake", "rule", "rating"), [(m, *v) for m, v in CASES.items()], ids=CASES)
def test_a_mistake_asks_for_its_part(mistake, rule, rating):
    _, found = of_file(MISTAKES / f"{mistake}.toml", rows=128)
    need = needed(found, rule)
    assert need.sure
    assert rating in need.rating


@pytest.mark.parametrize("file", sorted((ROOT / "tests/plants/well_built").glob("*.toml")), ids=lambda file: file.stem)
def test_a_well_built_plant_is_asked_for_nothing_grave(file):
    _, found = of_file(file, rows=128)
    assert not [need for need in found.needed if need.signal != "notice"]


def test_relief_capacity_asked_for_is_what_the_pump_sweeps():
    """Displacement times the fastest speed times the air's density, as the rule on relief valves has it."""
    data = {
        "plant": {"units": "SI"}, "site": {"room_temperature": "20 degC +/- 0 K", "humidity": "0 % +/- 0 %",
                                           "barometer": "101325 Pa +/- 0 Pa"},
        "pump": {"displacement": "1.0 L +/- 0 L"}, "belt": {"ratio": "3.0 +/- 0"}, "drive": "none",
        "motor": {"power": "4 kW", "speed": "1450 rpm +/- 0 rpm"}, "supply": {"kind": "400/230 wye"},
        "relief_valve": {"protects": "pump discharge"},
    }  # fmt: skip
    found, _ = listed(data, rows=64)
    flow = float(needed(found, "relief_missing").rating.rpartition("at least ")[2].partition(" L/min")[0])
    # 1 L x (1500 rpm / 3) at most = 500 L/min at 20 degC and 1.013 bar, as air at 1 bar, 65 %: 1.2041 / 1.1705
    assert 470 * 1.02 < flow < 500 * 1.05


def test_a_fact_not_told_is_to_be_looked_at_and_one_that_holds_is_missing():
    unknown, _ = listed({"motor": {"power": "4 kW"}})
    told, _ = listed({"motor": {"power": "4 kW", "disconnect": "no"}})
    there, _ = listed({"motor": {"power": "4 kW", "disconnect": "yes"}})
    assert not needed(unknown, "no_disconnect_in_sight").sure
    assert needed(told, "no_disconnect_in_sight").sure
    assert "no_disconnect_in_sight" not in [need.rule for need in there.needed]
    assert "lockable disconnect" in names(there)


def test_disconnect_is_rated_for_the_motor():
    found, _ = listed({"plant": {"units": "US"}, "motor": {"power": "7.5 hp by plate", "voltage": "230 V", "disconnect":
                       "no"}})  # fmt: skip
    # NEC table 430.250: 22 A at 230 V; 115 % of it is 25.3 A
    assert needed(found, "no_disconnect_in_sight").rating == "lockable off, at least 25.3 A and 7.5 hp"


def test_wires_are_sized_by_the_code_of_the_owners_units():
    """By hand: 40 A input x 1.25 = 50 A, 8 AWG carries 50 A at 75 °C; a 50 A breaker asks 10 AWG of earth."""
    data = {"plant": {"units": "US"}, "site": {"room_temperature": "68 °F"},
            "drive": {"rated_input_current": "40 A by plate"},
            "supply": {"wire": "14 AWG by stamp", "breaker": "50 A by plate", "protective_earth": "no",
                       "kind": "single-phase 120/240"}}  # fmt: skip
    found, _ = listed(data, rows=64)
    assert needed(found, "supply_wire").rating == "8 AWG copper at 75 °C or thicker, for 50 A"
    assert needed(found, "protective_earth").rating.startswith("10 AWG copper at least")


def test_a_valve_above_the_plate_is_not_asked_for():
    """Cut-out too near the plate: the valve stays at the plate, and the cut-out has to come down."""
    data = {"receiver": {"plate_pressure": "8 bar by plate"}, "control": {"cut_out": "8 bar by gauge"},
            "relief_valve": {"protects": "pump discharge"}}  # fmt: skip
    found, _ = listed(data, rows=64)
    rating = needed(found, "relief_missing").rating
    assert "at or below the plate's 8 bar" in rating
    assert "the cut-out lowered" in rating
    assert "to stay shut" not in rating


def test_two_trains_ask_for_their_parts_each():
    train = {"motor": {"power": "3 kW", "disconnect": "no"}}
    found, there = listed({"train": [{"name": "a"} | train, {"name": "b"} | train]})
    about = [need.about for need in found.needed if need.rule == "no_disconnect_in_sight"]
    assert about == ["train.a.motor", "train.b.motor"]
    assert len(list(Case(there).trains())) == 2


# As a part of the sheet.


def test_no_prices_is_said_and_the_list_stays_useful():
    leaf = leaf_of({"pump": {"stages": 2}})
    assert leaf.blocks[0] == Words(leaf.blocks[0].text, strong=True)
    assert leaf.blocks[0].text.startswith("No prices are told")
    assert table(leaf, "parts").rows
    assert not [block for block in leaf.blocks if isinstance(block, Table) and block.name == "sums"]


def test_what_is_missing_behind_a_danger_comes_before_the_list():
    leaf = leaf_of({"receiver": {"plate_pressure": "11 bar by plate"}, "relief_valve": {"protects": "pump discharge"}})
    signed = [n for n, block in enumerate(leaf.blocks) if isinstance(block, Signed)]
    assert leaf.blocks[signed[0]].signal == "danger"
    assert "relief valve for the receiver" in leaf.blocks[signed[0]].text
    assert signed[0] < leaf.blocks.index(table(leaf, "parts"))


def test_sums_are_of_what_is_told_and_the_rest_is_called_open():
    leaf = leaf_of({"plant": {"currency": "EUR"}, "pump": {"price": 300, "have": "own"},
                    "motor": {"price": 100, "have": "to buy"}, "cooler": {}})  # fmt: skip
    rows = dict(table(leaf, "sums").rows)
    assert rows["Spent: what is owned or paid"] == "300 EUR"
    assert rows["Still to spend: what is to buy or to pay"] == "100 EUR"
    assert rows["All together"] == "400 EUR"
    assert any(words.startswith("No price told, 1: cooler") for words in rows)


def test_units_are_told_against_the_plant():
    unit = {"name": "unit A", "price": 900, "air": "300 L/min at 8 bar", "power": "2.2 kW"}
    leaf = leaf_of({"plant": {"units": "SI", "currency": "EUR"}, "site": {"energy_price": "0.3 /kWh"},
                    "pump": {"price": 300}, "ready_made": unit})  # fmt: skip
    assert [r[0] for r in table(leaf, "price and air").rows] == ["this plant", "unit A"]
    assert table(leaf, "price and air").columns[-1].title == "Price for each 100 L/min"
    assert "not said to be air delivered" in table(leaf, "left out").rows[0][2]
    assert "What its price includes is not told" in table(leaf, "left out").rows[0][2]
    assert len(table(leaf, "over the years").rows[0]) == 6


def test_many_uses_and_hostile_names_are_plain_text():
    bad = ["<script>x</script>", "#set page(width: 1pt)", "| a | b |", "=1+1", "אבג ١٢٣", "\U0001f600"]
    uses = [{"name": f"{bad[n % 6]} {n}", "tool": "drill"} for n in range(200)]
    costs = [{"name": f"{text} {n}", "price": 10} for n, text in enumerate(bad)]
    units = [{"name": text, "price": 10, "air": "100 L/min"} for text in bad]
    data = {"plant": {"currency": "<b>"}, "use": uses, "other_cost": costs, "ready_made": units,
            "pump": {"source": "=cmd()", "price": 5}}  # fmt: skip
    leaf = leaf_of(data)
    assert [r[0] for r in table(leaf, "left out").rows] == bad
    assert "<script>" not in leaf_as_markdown(leaf)
    assert "'=cmd()" in leaf_as_csv(leaf)
    assert json.dumps(leaf_as_markdown(leaf))


@pytest.mark.parametrize(
    ("share", "words"), [(1.0, "100%"), (0.9999, "99%"), (0.0, "0%"), (0.001, "1%"), (0.42, "42%")]
)
def test_all_or_none_is_said_only_of_all_or_none(share, words):
    assert share_text(share) == words


# As JSON.


def test_json_says_the_same_as_the_leaf():
    judged, found = of_file(ROOT / "examples/canoe_works.toml")
    told, there = judged.loaded.told, judged.reach
    comparison = against_ready_made(told, draw=there.draw, numbers=there.numbers)
    data = json.loads(json.dumps(parts_json(found, draw=there.draw, comparison=comparison)))
    leaf = parts_leaf(found, draw=there.draw, comparison=comparison)
    assert data["says"] == leaf.blocks[0].text
    assert [part["part"] for part in data["parts"]] == [r[0] for r in table(leaf, "parts").rows]
    assert data["sums"]["all"]["likely"] == pytest.approx(np.median(found.bill.total()))
    assert [unit["name"] for unit in data["against"]["units"]] == [o.unit.name for o in comparison.offers]
    unit = data["against"]["units"][0]
    assert unit["totals"]["10"]["likely"] > unit["totals"]["0"]["likely"] == unit["price_with_what_it_needs"]["likely"]


def test_json_without_units_has_none():
    found, there = listed({})
    assert parts_json(found, draw=there.draw)["against"] is None


# What the wiring drawings show.


def test_a_starter_is_among_the_parts_though_no_section_stands_for_it():
    _, found = of_file(ROOT / "examples/glass_studio.toml")
    drawn = {row.thing.part: row for row in found.rows if row.drawn}
    assert {"contactor", "overload relay"} <= set(drawn)
    assert all("on the wiring drawing" in row.thing.what and row.item is None for row in drawn.values())


def test_what_a_corrected_drawing_adds_has_its_tag_on_the_list():
    _, found = of_file(ROOT / "examples/canoe_works.toml")
    relay = needed(found, "power_contacts_on_a_signal")
    assert relay.tag == "K5"
    added = {need.tag for need in found.needed if need.tag}
    judged, _ = of_file(ROOT / "examples/canoe_works.toml")
    sizes = wire_sizes(judged.reach.draw, judged.reach.numbers, state=judged.reach.state)
    drawings = drawn_circuits(judged.reach, findings=judged.findings, sizes=sizes)
    there = {d.tag.partition(":")[0] for c in drawings if not c.corrected for d in c.devices if d.state != "missing"}
    new = {d.tag.partition(":")[0] for c in drawings if c.corrected for d in c.devices if d.finding}
    assert added == {tag for tag in new - there if tag[0] not in "XUWMR"}
