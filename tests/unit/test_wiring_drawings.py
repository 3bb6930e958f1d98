"""Wiring drawings: they join what the circuit joins, nothing lies on anything else, and all that is said is on them."""

import re
import xml.etree.ElementTree as ET
from functools import cache
from itertools import pairwise

import netlist
import pytest
from electric_plants import ONE_PHASE
from plant_cases import plant_of
from sheet_plants import FILES, HOSTILE, ODD, ROOT
from told_plants import changed

from airfettle.drawings.wiring import CAUTION, headline, wiring_drawing, wiring_sheets
from airfettle.store.plant_file import read_plant
from airfettle.studies.draw import draw
from airfettle.studies.wiring.circuit import Circuit, Device, Net, Remark
from airfettle.studies.wiring.circuits import circuits
from airfettle.studies.wiring.wired import WireWords, trains_of

WORDS = WireWords(
    supply="10 AWG Cu, 75 °C (125 % of 34 A)", motor="12 AWG Cu, 75 °C (125 % of 24.2 A)",
    earth="8 AWG Cu (for 45 A, thicker as the live wires are)", protection="45 A breaker",
)  # fmt: skip
"""Sizes about as long as computed ones are."""
EVERY = pytest.mark.parametrize("name", [*(str(file.relative_to(ROOT)) for file in FILES), *ODD])
BYPASS = "tests/plants/mistakes/bypass_without_interlock.toml"
CANOE = "examples/canoe_works.toml"
TWO = "tests/plants/sail_loft.toml"
PAGE = {"width": 700, "tallest": 900.0}


@cache
def drawn_plant(name, folder):
    file = ROOT / name
    if name in ODD:
        file = folder / "plant.toml"
        file.write_text(ODD[name](), encoding="utf-8")
    return draw(read_plant(file), rows=8)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("plants")


@cache
def of(name, folder, *, sized=True):
    there = drawn_plant(name, folder)
    return circuits(there, wires=[WORDS] * len(trains_of(there)) if sized else None)


@cache
def readings(name, folder, *, sized=True):
    """Every circuit of a plant, with its drawing read back."""
    there = drawn_plant(name, folder)
    return [(c, netlist.read(wiring_drawing(c, draw=there)[0])) for c in of(name, folder, sized=sized)]


def one(name, folder, sort, *, corrected=False):
    there = drawn_plant(name, folder)
    return there, next(c for c in of(name, folder) if c.sort == sort and c.corrected == corrected)


def nets(circuit):
    return {frozenset(net.pins) for net in circuit.nets}


def check_room(read):
    assert not netlist.loose_ends(read)
    assert not netlist.misread(read)
    assert not netlist.wires_through_devices(read)
    assert not netlist.lines_through_words(read)
    assert not netlist.touching(read)


@EVERY
def test_a_drawing_joins_what_the_circuit_joins_and_nothing_lies_on_anything(name, folder):
    for sized in (True, False):
        for circuit, read in readings(name, folder, sized=sized):
            assert netlist.netlist(read) == nets(circuit)
            check_room(read)


@EVERY
def test_on_narrow_sheets_as_well(name, folder):
    there = drawn_plant(name, folder)
    for circuit in of(name, folder):
        sheets = wiring_sheets(circuit, draw=there, **PAGE)
        read = [netlist.read(svg) for svg, _, _ in sheets]
        assert netlist.netlist(*read) == nets(circuit)
        for (_, wide, high), each in zip(sheets, read, strict=True):
            assert each.size == pytest.approx((wide, high), abs=0.06)
            check_room(each)


@EVERY
def test_everything_the_circuit_says_stands_on_its_drawing(name, folder):
    for circuit, read in readings(name, folder):
        texts = [text for text, _ in read.words]
        whole = " ".join(texts).split()
        assert {device.tag for device in read.devices} == {device.tag for device in circuit.devices}
        assert {net.number for net in circuit.nets} <= set(texts)
        given = [number for number, _ in read.rounds]
        for number, remark in enumerate(circuit.remarks, start=1):
            assert given.count(str(number)) >= (2 if remark.about else 1), remark
            assert remark.signal.upper() in texts
        spoken = [remark.says + " " + remark.do for remark in circuit.remarks] + [CAUTION]
        spoken += [word for device in circuit.devices for word in device.words]
        spoken += [net.wire for net in circuit.nets if circuit.sort == "power"]
        lost = [words for words in spoken if not set(words.split()) <= {*whole, "Do:"}]
        assert not [words for words in lost if len(max(words.split(), key=len)) < 14], "words of usual length are lost"


@EVERY
def test_every_terminal_is_named_beside_it(name, folder):
    for circuit, read in readings(name, folder):
        joined = {pin for net in circuit.nets for pin in net.pins}
        symbols = {device.tag: circuit.device(device.tag) for device in read.devices}
        for device in read.devices:
            told = symbols[device.tag]
            if len(told.terminals) == 1 or device.symbol == "shield":
                continue
            for pin, (x, y) in device.pins.items():
                earth = pin == "PE" and device.symbol != "box"  # its line says what it is
                if (device.tag, pin) in joined and not earth:
                    assert any(text == pin and box[0] - 20.0 < x < box[2] + 20.0 and box[1] - 16.0 < y < box[3] + 16.0
                               for text, box in read.words), (device.tag, pin)  # fmt: skip


@EVERY
def test_what_is_missing_wrong_or_new_says_so_in_words_and_lines(name, folder):
    for circuit, read in readings(name, folder):
        texts = [text for text, _ in read.words]
        at = {device.tag: device for device in read.devices}
        for device in circuit.devices:
            tag = device.tag.split(":")[0]
            assert at[device.tag].missing == (device.state == "missing"), device
            word = {"missing": "MISSING", "wrong": "WRONG"}.get(device.state, "")
            word = word or ("NEW" if circuit.corrected and device.finding else "")
            if word and not (device.symbol == "box" and circuit.sort == "control"):
                assert f"{tag} {word}" in texts, device
                assert word == "MISSING" or framed(read, at[device.tag].box), device
        for net in circuit.nets:
            if net.state != "there":
                assert any(net.state.upper() in text.split() for text in texts), net


def framed(read, box):
    """Whether upright edges of a frame stand close on both sides of a box."""
    upright = [(a[0], *sorted((a[1], b[1]))) for a, b in read.frames if a[0] == b[0]]
    return all(any(abs(x - side) < 4.0 and x != side and top < box[3] and bottom > box[1] for x, top, bottom in upright)
               for side in (box[0], box[2]))  # fmt: skip


def test_the_same_bytes_twice(folder):
    for name in (CANOE, BYPASS, TWO):
        there = drawn_plant(name, folder)
        for circuit in of(name, folder):
            assert wiring_drawing(circuit, draw=there) == wiring_drawing(circuit, draw=there)


@pytest.mark.parametrize("name", ["hostile", "long"])
def test_hostile_names_are_inert_text(name, folder):
    there = drawn_plant(name, folder)
    for circuit in of(name, folder):
        root = ET.fromstring(wiring_drawing(circuit, draw=there)[0])
        tags = {mark.tag.removeprefix(netlist.SVG) for mark in root.iter()}
        assert tags <= {"svg", "title", "desc", "style", "rect", "defs", "g", "path", "text", "use"}
        assert not [key for mark in root.iter() for key in mark.attrib if key.startswith("on")]
        assert all(mark.get("href", "#").startswith("#") for mark in root.iter())


def test_a_hostile_name_is_said_in_the_title_block_as_it_is(folder):
    there, circuit = one("hostile", folder, "power")
    said = " ".join(text for text, _ in netlist.read(wiring_drawing(circuit, draw=there)[0]).words)
    assert "<script>alert(1)</script>" in HOSTILE
    assert "<script>alert(1)</script>" in said.replace("< ", "<")


# What reads the drawings sees what is amiss: each is damaged in one way, and found out.


@pytest.fixture(scope="module")
def whole(folder):
    """A drawing with crossings, dots, several columns and words on wires, its circuit, and its XML."""
    there, circuit = one(BYPASS, folder, "power")
    return circuit, wiring_drawing(circuit, draw=there)[0]


def marks(svg, kind):
    return re.findall(rf'<path [^>]*data-{kind}="[^"]*"[^>]*/>', svg)


def test_every_wire_counts(whole):
    circuit, svg = whole
    for wire in marks(svg, "net"):
        assert netlist.netlist(netlist.read(svg.replace(wire, "", 1))) != nets(circuit), wire


def test_a_dot_where_wires_only_cross_joins_them(whole):
    circuit, svg = whole
    read = netlist.read(svg)
    crossings = [(b[0][0], a[0][1]) for one in read.wires for other in read.wires if one.net != other.net
                 for a in one.pieces for b in other.pieces
                 if a[0][1] == a[1][1] and b[0][0] == b[1][0]
                 and min(a[0][0], a[1][0]) < b[0][0] < max(a[0][0], a[1][0])
                 and min(b[0][1], b[1][1]) < a[0][1] < max(b[0][1], b[1][1])]  # fmt: skip
    assert len(crossings) > 5
    for x, y in crossings:
        dot = f'<path d="M{x - 2.6:g} {y:g} a2.6 2.6 0 1 0 5.2 0 a2.6 2.6 0 1 0 -5.2 0 Z" data-dot="1"/></svg>'
        assert netlist.netlist(netlist.read(svg.replace("</svg>", dot))) != nets(circuit)


def test_a_dot_left_out_is_missed(whole):
    circuit, svg = whole
    dots = marks(svg, "dot")
    assert len(dots) > 4
    for dot in dots:
        read = netlist.read(svg.replace(dot, "", 1))
        assert netlist.netlist(read) != nets(circuit) or netlist.misread(read), dot


def test_a_wire_moved_off_its_terminal_is_missed(whole):
    circuit, svg = whole
    wire = next(mark for mark in marks(svg, "net") if 'data-net="101"' in mark)
    x = re.search(r'd="M([\d.]+)', wire).group(1)
    moved = wire.replace(f"{x} ", f"{float(x) + 6.0:g} ")
    read = netlist.read(svg.replace(wire, moved, 1))
    assert netlist.netlist(read) != nets(circuit)
    assert netlist.loose_ends(read)


def test_a_wire_through_a_device_or_along_another_wire_is_seen(whole):
    _, svg = whole
    read = netlist.read(svg)
    device = next(device for device in read.devices if device.tag == "F2")
    middle = 0.5 * (device.box[1] + device.box[3])
    across = f'<path d="M{device.box[0] - 40:g} {middle:g} L{device.box[2] + 40:g} {middle:g}" data-net="9"/></svg>'
    assert netlist.wires_through_devices(netlist.read(svg.replace("</svg>", across)))
    x, y = next(wire for wire in read.wires if wire.net == "101").ends[0]
    along = f'<path d="M{x + 1:g} {y - 20:g} L{x + 1:g} {y + 20:g}" data-net="9"/></svg>'
    assert netlist.misread(netlist.read(svg.replace("</svg>", along)))


def test_words_on_words_on_wires_and_off_the_sheet_are_seen(whole):
    _, svg = whole
    mark = next(mark for mark in re.findall(r"<text [^>]*>[^<]*</text>", svg) if ">control wire, as" in mark)
    read = netlist.read(svg)
    x, y = next(wire for wire in read.wires if wire.net == "113").ends[0]
    put = {"wire": (x + 30.0, y), "sheet": (read.size[0] + 40.0, 300.0)}
    other = next(box for text, box in read.words if text == "control fuse")
    put["words"] = (other[2], other[3] - 2.0)
    for what, (left, level) in put.items():
        moved = re.sub(r'x="[^"]*" y="[^"]*"', f'x="{left:g}" y="{level:g}"', mark, count=1)
        found = netlist.read(svg.replace(mark, moved, 1))
        seen = netlist.lines_through_words(found) if what == "wire" else netlist.touching(found)
        assert seen, what


# What it says first, and where things stand.


def test_what_is_said_first(folder):
    assert headline(one(BYPASS, folder, "power")[1]).endswith("the bypass can put mains on the drive's output")
    told = draw(plant_of(changed(ONE_PHASE, motor__disconnect="yes")), rows=8)
    assert headline(circuits(told)[0]) == "Power circuit, as it is: nothing wrong found here"


def test_nothing_wrong_found_is_not_said_of_what_nobody_told(folder):
    said = headline(one(TWO, folder, "power")[1])
    untold = sum(remark.says.startswith("Not told") for remark in one(TWO, folder, "power")[1].remarks)
    assert untold > 1
    assert said.endswith(f"nothing wrong found in what is told; {untold} things not told")


def test_the_branch_to_the_motor_goes_straight_on(folder):
    for name in (CANOE, TWO):
        there, circuit = one(name, folder, "power", corrected=name == TWO)
        at = {device.tag: device.pins for device in netlist.read(wiring_drawing(circuit, draw=there)[0]).devices}
        assert at["Q1"]["2"][0] == next(iter(at["M1"].values()))[0], name


def test_current_flows_down_the_sheet(folder):
    """Protection stands over what it protects, and the motor under all that feeds it."""
    there, circuit = one(CANOE, folder, "power")
    at = {device.tag: device.box for device in netlist.read(wiring_drawing(circuit, draw=there)[0]).devices}
    chain = ["X0", "F1", "Q1", "R1", "U1", "M1"]
    assert all(at[upper][3] < at[lower][1] for upper, lower in pairwise(chain))


def test_a_missing_earth_wire_is_told_beside_it(folder):
    there, circuit = one("tests/plants/mistakes/no_earth.toml", folder, "power")
    read = netlist.read(wiring_drawing(circuit, draw=there)[0])
    assert "PE MISSING" in [text for text, _ in read.words]
    assert [number for number, _ in read.rounds].count("1") == 2


def test_wires_of_a_size_that_is_wrong_say_so_once(folder):
    there = drawn_plant("tests/plants/mistakes/wire_by_motor_amps.toml", folder)
    held = {"supply_wire": ("supply",)}
    for circuit in circuits(there, held=held, wires=[WORDS]):
        if circuit.sort == "power":
            read = netlist.read(wiring_drawing(circuit, draw=there)[0])
            check_room(read)
            word = "NEW" if circuit.corrected else "WRONG"
            assert [text for text, _ in read.words].count(word) == 1


def test_rails_are_numbered_on_every_row_of_columns(folder):
    there, circuit = one(BYPASS, folder, "control", corrected=True)
    read = netlist.read(wiring_drawing(circuit, draw=there, width=600)[0])
    rows = sum(device.tag == circuit.panels[0].above[0] for device in read.devices)
    rail = next(net.number for net in circuit.nets if circuit.panels[0].above[0] in dict(net.pins))
    assert rows > 1
    assert [text for text, _ in read.words].count(rail) >= rows


def test_a_circuit_of_almost_nothing_is_drawn():
    devices = (Device("X0", "box", ("L", "N", "PE"), ("supply",)), Device("M1", "motor_1ph", ("U1", "U2", "PE")))
    joined = (Net("L", (("X0", "L"), ("M1", "U1")), sort="line"), Net("N", (("X0", "N"), ("M1", "U2")), sort="line"),
              Net("PE", (("X0", "PE"), ("M1", "PE")), sort="earth"))  # fmt: skip
    remark = Remark("danger", "Nothing protects it.", "Have a breaker fitted.", ("L",), "no_breaker")
    circuit = Circuit("power", "Power circuit", "", corrected=False, devices=devices, nets=joined, remarks=(remark,))
    read = netlist.read(wiring_drawing(circuit, draw=draw(plant_of(ONE_PHASE), rows=8))[0])
    assert netlist.netlist(read) == nets(circuit)
    check_room(read)
    assert "DANGER" in [text for text, _ in read.words]
