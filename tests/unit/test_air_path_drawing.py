"""The drawing of the air path: what the plant has and no more, room for everything, notes on what they concern."""

import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest
from drawn_air_paths import SVG, balloons, check_room, symbols, texts, vessels

from airfettle.drawings.air_path.drawing import DESK, NARROWEST, PHONE, air_path_drawing
from airfettle.drawings.air_path.words import CAUTION, verdict_words
from airfettle.drawings.charts.style import BLUEPRINT, PAPER
from airfettle.drawings.symbols import all_symbols
from airfettle.findings.judge import judge
from airfettle.plant.whole import OwnersPlant
from airfettle.sources import all_sources
from airfettle.store.plant_file import read_plant
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach
from airfettle.studies.stations import stations

ROOT = Path(__file__).parents[2]
FILES = sorted(str(path.relative_to(ROOT)) for folder in ("examples", "tests/plants")
               for path in (ROOT / folder).rglob("*.toml"))  # fmt: skip
EVERY = pytest.mark.parametrize("file", FILES)
CANOE = "examples/canoe_works.toml"
HOSTILE = 'pane <script>alert(1)</script> & "co" \u05d0\u05d1\u202e \U0001fa81 \u3042 xx'
TURNED = {name: name.removesuffix("_down") for name in all_symbols()}


def worked_out(told, rows=16):
    drawn = draw(told, rows=rows)
    there = reach(drawn)
    return stations(drawn, there.numbers), judge(there)


@cache
def of_file(file):
    return worked_out(read_plant(ROOT / file))


def of(**told):
    return worked_out(OwnersPlant.model_validate(told))


def picture(found, width=DESK):
    return air_path_drawing(*found, width=width)[0]


def said(svg):
    return " ".join(text for text, _ in texts(ET.fromstring(svg)))


def drawn(found, width=DESK, *, missing=False):
    """Symbols by name, those that are there or those that are lacking."""
    placed = symbols(ET.fromstring(picture(found, width)))
    return [TURNED[name] for name, lacking, _, _ in placed if lacking == missing]


@EVERY
def test_room_for_everything(file):
    for width in (DESK, 700, PHONE):
        svg, wide, high = air_path_drawing(*of_file(file), width=width)
        assert f'width="{wide:g}"' in svg
        check_room(svg, wide, high)


def expected(plant):
    """How often each symbol may stand on a plant's drawing, and has to."""
    there = plant.trains
    parts = [getattr(plant, key) for key in ("separator", "check_valve", "dryer")]
    separator, check_valve, dryer = (part is not None and not part.absent for part in parts)
    filters = [f for f in plant.filter if not f.absent and f.name not in plant.in_the_pipe()]
    intakes = [t.intake for t in there if t.intake is None or not t.intake.absent]
    intercoolers = sum(t.pump is not None and t.pump.stages == 2 for t in there)
    coolers = sum(t.cooler is not None and not t.cooler.absent for t in there)
    reliefs = [v for v in plant.relief_valve if not v.absent]
    receivers = [r for r in plant.receiver if not r.absent]
    drains = [r.drain for r in receivers] + ([plant.separator.drain] if separator else [])
    return {
        "air_compressor": len(there) + intercoolers,
        "air_cooler": coolers + intercoolers,
        "water_separator": int(separator),
        "check_valve": int(check_valve),
        "air_dryer": int(dryer),
        "coalescing_filter": sum(f.purpose == "coalescing" for f in filters),
        "filter_regulator": sum(f.purpose == "regulator" for f in filters),
        "air_filter": len(intakes) + sum(f.purpose not in ("coalescing", "regulator") for f in filters),
        "drain_automatic": drains.count("automatic"),
        "drain_by_hand": drains.count("by hand"),
        "pressure_gauge": sum(r.gauge == "yes" for r in receivers),
        "relief": len(reliefs),
    }


@EVERY
@pytest.mark.parametrize("width", [DESK, PHONE])
def test_what_is_drawn_is_what_the_plant_has(file, width):
    found = of_file(file)
    plant = found[0].draw.plant
    want, have = expected(plant), drawn(found, width)
    own_interstage = sum(
        t.hot_line is not None and t.hot_line.interstage_relief == "yes" and t.pump.stages == 2 for t in plant.trains
    )
    lying = have.count("relief_valve")
    interstage_told = sum(v.protects == "interstage" for v in plant.relief_valve)
    unshown = 0 if any(t.pump.stages == 2 for t in plant.trains) else interstage_told
    assert want["relief"] - unshown <= lying <= want["relief"] + own_interstage
    for name, count in want.items():
        if name != "relief":
            assert have.count(name) == count, name
    assert len(vessels(ET.fromstring(picture(found, width)))) == sum(not r.absent for r in plant.receiver)


@EVERY
def test_every_note_is_on_something_drawn(file):
    found = of_file(file)
    for width in (DESK, PHONE):
        root = ET.fromstring(picture(found, width))
        numbers = [int(number) for number, _ in balloons(root)]
        heads = len(set(numbers))
        assert sorted(set(numbers)) == list(range(1, heads + 1))
        assert all(numbers.count(n) >= 2 for n in set(numbers))  # once beside its words, and once on the drawing


@EVERY
def test_dangers_that_hold_come_first_and_in_words(file):
    found = of_file(file)
    svg = picture(found)
    holds = [f for f in found[1] if f.signal == "danger" and f.state == "holds"]
    words = said(svg)
    heads = re.findall(r"\b(DANGER|WARNING|CAUTION|NOTICE)(?:, MAY BE SO|, NOT TOLD)?\b", words)
    order = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    assert [order.index(head) for head in heads] == sorted(order.index(head) for head in heads)
    air = [f for f in holds if any(p.split(".")[0] in ("receiver", "relief_valve", "cooler", "hot_line", "shop_pipe")
                                   for p in f.parts)]  # fmt: skip
    assert ("Do not pressurise it" in words) >= bool(air)
    for finding in air:
        assert " ".join(finding.says.split()) in words
    assert CAUTION in words


@pytest.mark.parametrize("file", FILES[::12])
def test_the_same_bytes_twice(file):
    found = of_file(file)
    assert picture(found) == picture(worked_out(read_plant(ROOT / file)))


@pytest.mark.parametrize(
    ("rule_file", "symbol"),
    [
        ("no_relief_valve", "relief_valve"), ("pump_side_not_relieved", "relief_valve"),
        ("no_interstage_relief", "relief_valve"), ("no_separator", "water_separator"),
        ("separator_without_drain", "drain_any"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("width", [DESK, PHONE])
def test_what_is_lacking_is_dashed_and_numbered(rule_file, symbol, width):
    assert symbol in drawn(of_file(f"tests/plants/mistakes/{rule_file}.toml"), width, missing=True)
    assert symbol not in drawn(of_file("tests/plants/well_built/fiddle_maker.toml"), width, missing=True)


def test_nothing_is_dashed_unless_a_finding_says_so():
    at, _ = of_file("tests/plants/kite_shed.toml")
    assert drawn((at, ()), missing=True) == []
    assert drawn((at, of_file("tests/plants/kite_shed.toml")[1]), missing=True)


def test_a_stop_valve_and_a_valve_under_a_relief_valve_are_drawn():
    for file in ("stop_valve_in_the_line", "stop_valve_under_relief"):
        assert "shut_off_valve" in drawn(of_file(f"tests/plants/mistakes/{file}.toml"))
    assert "shut_off_valve" not in drawn(of_file(CANOE))


def test_values_are_toleranced_and_in_the_owners_units():
    words = said(picture(of_file(CANOE)))
    assert "pressure, psi" in words
    assert "temperature, °F" in words
    assert re.search(r"\d+ \+\d+/-\d+", words)
    assert "pressure, bar" in said(picture(of_file("examples/glass_studio.toml")))


def test_the_answer_comes_first_and_says_where_the_water_goes():
    svg = picture(of_file(CANOE))
    first = texts(ET.fromstring(svg))[0][0]
    assert re.fullmatch(r"Delivers [\d.]+ .*cfm at 60 Hz and 150 psi", first)
    assert "of water drawn in:" in said(svg)
    assert "gathers in the receiver" in said(svg)


def test_assumed_parts_are_framed_in_dots_and_in_parentheses():
    svg = picture(of_file("tests/plants/kite_shed.toml"))
    assert 'stroke-dasharray="1.5 3"' in svg
    assert "(receiver)" in said(svg)
    assert "(receiver)" not in said(picture(of_file(CANOE)))


def test_air_is_bold_and_signals_are_thin_and_dashed():
    small = of(receiver={"volume": "20 gal", "gauge": "yes"}, control={"kind": "pressure switch"}, cooler="none",
               hot_line={"material": "steel"}, shop_pipe="none")  # fmt: skip
    svg = air_path_drawing(small[0], (), width=1600)[0]
    assert 'stroke-width="3"' in svg
    signal = re.search(r'<path d="[^"]+"[^>]*data-line="signal"', svg)
    assert signal is not None
    assert 'stroke-width="1" stroke-dasharray="5 3"' in signal[0]


def test_check_valve_told_before_the_cooler_is_drawn_there():
    found = of(cooler={}, check_valve={"place": "before the cooler"}, receiver={})
    order = [TURNED[name] for name, _, _, _ in symbols(ET.fromstring(picture(found)))]
    assert order.index("check_valve") < order.index("air_cooler")
    usual = of(cooler={}, check_valve={"place": "at the receiver"}, receiver={})
    order = [TURNED[name] for name, _, _, _ in symbols(ET.fromstring(picture(usual)))]
    assert order.index("check_valve") > order.index("air_cooler")


@pytest.mark.parametrize("width", [DESK, 700, PHONE])
def test_hostile_names_are_inert(width):
    found = of(
        plant={"name": HOSTILE, "date": HOSTILE, "revision": HOSTILE}, receiver={"name": HOSTILE * 3},
        relief_valve=[{"name": HOSTILE, "set_pressure": "150 psi"}, {"name": "x" * 300}],
        filter=[{"name": HOSTILE, "purpose": "coalescing"}, {"name": "y" * 300}],
        use=[{"name": HOSTILE, "tool": "sander"}, {"name": "z" * 400, "tool": "sander"}],
        train=[{"name": HOSTILE}, {"name": "w" * 200}],
    )  # fmt: skip
    svg, wide, high = air_path_drawing(*found, width=width)
    check_room(svg, wide, high)
    root = ET.fromstring(svg)
    assert {mark.tag.removeprefix(SVG) for mark in root.iter()} == {
        "svg", "title", "desc", "style", "defs", "g", "use", "rect", "path", "text"}  # fmt: skip
    given = {key for mark in root.iter() for key in mark.attrib}
    assert not any(key.startswith("on") for key in given)
    assert all(mark.get("href", "#").startswith("#sym-") for mark in root.iter(SVG + "use"))
    assert "\u202e" not in svg
    assert "alert(1)" in said(svg)


@pytest.mark.parametrize("width", [DESK, PHONE])
@pytest.mark.parametrize("many", [0, 1, 200])
def test_no_tools_and_very_many(many, width):
    found = of(use=[{"name": f"bench {n}", "tool": "sander"} for n in range(many)], receiver={})
    svg, wide, high = air_path_drawing(*found, width=width)
    check_room(svg, wide, high)
    words = said(svg)
    assert ("tools: none told" in words) == (many == 0)
    assert ("and 192 more" in words) == (many == 200)


def test_fields_for_touching_title_and_both_sheets():
    svg = picture(of_file(CANOE))
    root = ET.fromstring(svg)
    assert [mark.tag.removeprefix(SVG) for mark in root][:3] == ["title", "desc", "style"]
    assert "Canoe works" in root[0].text
    parts = {group.get("data-part") for group in root.iter(SVG + "g")}
    assert {"pump", "cooler", "receiver", "separator", "shop_pipe"} <= parts
    for ink in ("paper", "ink", "pale", "rule", "red"):
        assert f"--{ink}:{getattr(PAPER, ink)}" in root[2].text
        assert f"--{ink}:{getattr(BLUEPRINT, ink)}" in root[2].text


def test_type_is_large_enough_on_a_phone():
    sizes = [float(mark.get("font-size")) for mark in ET.fromstring(picture(of_file(CANOE), PHONE)).iter(SVG + "text")
             if mark.get("class")]  # fmt: skip
    assert min(sizes) >= 12.0
    assert f'width="{NARROWEST}"' in picture(of_file(CANOE), 10)


def test_a_point_no_motor_holds_says_so():
    at, findings = of(motor={"power": "1 hp by plate"}, pump={"displacement": "120 in3"},
                      control={"cut_out": "150 psi by gauge"})  # fmt: skip
    if at.runs.any():
        pytest.fail("this plant was meant to stall in every row")
    assert said(picture((at, findings))).startswith("No motor holds")


def test_verdict_words():
    assert verdict_words(()) == ""
    grave = [f for f in of_file("examples/cycle_frames.toml")[1] if f.signal == "danger" and f.state == "holds"]
    assert verdict_words(tuple(grave)).startswith(f"Do not pressurise it: {len(grave)} dangers")
    assert verdict_words(tuple(grave[:1])) == "Do not pressurise it: 1 danger on the air path."


def test_symbols_are_whole():
    air = {name: s for name, s in all_symbols().items() if s.standard == "iso-1219-1"}
    assert len(air) >= 25
    assert "iso-1219-1" in all_sources()
    for symbol in air.values():
        left, top, right, bottom = symbol.box
        assert all(left <= x <= right and top <= y <= bottom for x, y in symbol.terminals.values()), symbol.name
        assert symbol.terminals, symbol.name
        assert symbol.how == "memory"
        assert symbol.number == ""
