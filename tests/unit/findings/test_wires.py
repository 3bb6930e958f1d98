"""Rules about wires, breakers and earth: each fires, stays silent, and asks where nothing is told."""

import pytest
from electric_plants import GOOD, ON_THE_LINE, ONE_PHASE, THREE_PHASE
from plant_cases import findings_of
from told_plants import changed


def one(rule, plant, **lines):
    """What a rule says of a plant with lines changed."""
    found = findings_of(changed(plant, **lines), rule)
    assert len(found) == 1
    return found[0]


def state(rule, plant, **lines):
    found = one(rule, plant, **lines)
    return found.state, found.signal


# Supply wires. Table 310.16 at 75 degC: 14 AWG 20 A, 12 25, 10 35, 8 50, 6 65.


@pytest.mark.parametrize(
    ("wire", "expected"),
    [
        ("6 AWG by stamp", ("clear", "danger")),  # the drive's 34 A ask for 42.5
        ("8 AWG by stamp", ("clear", "danger")),
        ("10 AWG by stamp", ("holds", "warning")),  # carries the 34 A, but not 42.5
        ("12 AWG by stamp", ("holds", "danger")),
        ("12 AWG", ("holds", "notice")),  # from memory
        ("10 mm2 by stamp", ("clear", "danger")),  # counts as 8 AWG
        (None, ("not told", "notice")),
    ],
)
def test_wires_to_a_drive_by_its_input_amps(wire, expected):
    assert state("supply_wire", ONE_PHASE, supply__wire=wire) == expected


def test_wires_to_a_drive_whose_input_amps_are_not_told_by_the_amps_drawn():
    lines = {"drive__rated_input_current": None}
    assert state("supply_wire", ONE_PHASE, **lines, supply__wire="10 AWG by stamp") == ("clear", "danger")
    found = one("supply_wire", ONE_PHASE, **lines, supply__wire="14 AWG by stamp", drive__reactor="no")
    assert (found.state, found.signal) == ("holds", "danger")  # some 19 A with a quarter in reserve


@pytest.mark.parametrize(
    ("wire", "expected"),
    [
        ("10 AWG by stamp", ("clear", "danger")),  # 16.7 A by table 430.250 at 208 V, 17.5 A at 200 V: 21.9 A
        ("12 AWG by stamp", ("clear", "danger")),
        ("14 AWG by stamp", ("holds", "warning")),
    ],
)
def test_wires_to_a_motor_on_the_line_by_its_table_amps(wire, expected):
    assert state("supply_wire", ON_THE_LINE, supply__wire=wire) == expected
    assert state("motor_lead_wire", ON_THE_LINE, motor_lead__wire=wire) == expected


@pytest.mark.parametrize(
    ("wire", "expected"),
    [("1.5 mm2 by stamp", "clear"), ("1 mm2 by stamp", "holds")],  # 15 A; 10 A, less than the drive's 11
)
def test_metric_wires_carry_the_drives_input_amps(wire, expected):
    assert state("supply_wire", THREE_PHASE, supply__wire=wire) == (expected, "danger")


def test_a_metric_motor_lead_carries_the_plates_amps():
    assert state("motor_lead_wire", THREE_PHASE) == ("clear", "danger")
    found = one("motor_lead_wire", THREE_PHASE, motor_lead__wire="0.75 mm2 by stamp")
    assert (found.state, found.signal) == ("holds", "danger")
    assert "8.2" in found.says
    assert state("motor_lead_wire", THREE_PHASE, motor_lead__wire=None) == ("not told", "notice")


def test_a_hot_room_takes_from_the_wires():
    hot = {"supply__wire": "8 AWG by stamp", "supply__breaker": "45 A by plate"}
    plant = changed(ONE_PHASE, **hot).replace("60..80 degF", "105..113 degF")
    assert [f.state for f in findings_of(plant, "supply_wire")] == ["holds"]  # 50 A times 0.82
    plant = changed(ONE_PHASE, **hot).replace("60..80 degF", "60..97 degF")
    assert [(f.state, f.signal) for f in findings_of(plant, "supply_wire")] == [
        ("clear", "danger")
    ]  # 0.88 at worst: 44 A
    plant = changed(ONE_PHASE, **hot).replace("60..80 degF", "60..108 degF")
    assert [(f.state, f.signal) for f in findings_of(plant, "supply_wire")] == [("may hold", "notice")]


def test_no_motor_lead_says_nothing():
    plant = ONE_PHASE.replace("[motor_lead]", "[motor_lead]\nabsent = true")
    assert findings_of(plant, "motor_lead_wire") == []


SHARED = """
plant.units = "US"
supply = {{ kind = "208 wye", wire = "{wire} by stamp", breaker = "{breaker} A by plate" }}
[[train]]
name = "left"
drive = "none"
motor = {{ power = "5 hp by plate", voltage = "208 V by plate" }}
pump = {{ displacement = "30 in3" }}
[[train]]
name = "right"
drive = "none"
motor = {{ power = "5 hp by plate", voltage = "208 V by plate" }}
pump = {{ displacement = "30 in3" }}
"""
"""Two motors of 16.7 A by table on the same wires."""


@pytest.mark.parametrize(
    ("wire", "expected"), [("8 AWG", "clear"), ("10 AWG", "holds"), ("12 AWG", "holds")]
)  # 37.6 A with a quarter of one motor in reserve
def test_trains_on_the_same_wires_count_together(wire, expected):
    found = findings_of(SHARED.format(wire=wire, breaker=50), "supply_wire")
    assert [(f.parts, f.state) for f in found] == [(("supply",), expected)]


@pytest.mark.parametrize(("breaker", "expected"), [(60, "clear"), (70, "holds")])
def test_a_breaker_for_two_motors(breaker, expected):
    """45 A for the larger motor and 16.7 A for the other: 61.7 A."""
    found = findings_of(SHARED.format(wire="8 AWG", breaker=breaker), "breaker_too_large")
    assert [f.state for f in found] == [expected]


# Breakers.


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ({}, ("clear", "danger")),  # 40 A; 250 % of 17.5 A is 43.8, so 45 A is the most
        ({"supply__breaker": "45 A by plate"}, ("clear", "danger")),
        ({"supply__breaker": "45 A"}, ("may hold", "notice")),  # from memory it may be a 50 A one
        ({"supply__breaker": "30 A"}, ("clear", "notice")),
        ({"supply__breaker": "50 A by plate"}, ("holds", "danger")),  # 10 AWG: 35 A
        ({"supply__breaker": "50 A by plate", "supply__wire": "6 AWG by stamp"}, ("holds", "warning")),
        ({"supply__breaker": "50 A by plate", "supply__wire": None}, ("holds", "warning")),
        ({"supply__breaker": "60 A"}, ("holds", "notice")),
        ({"supply__breaker": None}, ("not told", "notice")),
        ({"supply__breaker": "50 A by plate", "supply__breaker_kind": "time-delay fuses"}, ("holds", "danger")),
        ({"supply__breaker": "35 A by plate", "supply__breaker_kind": "time-delay fuses"}, ("clear", "danger")),
        ({"supply__breaker": "60 A by plate", "supply__breaker_kind": "fast fuses"}, ("clear", "danger")),
    ],
)
def test_a_breaker_for_a_motor_on_the_line(lines, expected):
    """Also on small wires a motor's breaker may be above what they carry: 14 AWG and 40 A are allowed."""
    plant = {"supply__wire": "10 AWG by stamp"} | lines
    if lines.get("supply__breaker") == "60 A by plate":
        plant["supply__wire"] = "12 AWG by stamp"
    assert state("breaker_too_large", ON_THE_LINE, **plant) == expected


def test_a_drive_on_one_phase_may_have_the_breaker_of_a_single_phase_motor():
    """5 hp by table 430.248 is 28 A: 70 A."""
    marking = {"drive__largest_breaker": None}
    assert state("breaker_too_large", ONE_PHASE, **marking, supply__breaker="70 A by plate") == ("clear", "danger")
    assert state("breaker_too_large", ONE_PHASE, **marking, supply__breaker="80 A by plate") == ("holds", "danger")


def test_a_breaker_above_what_the_drives_maker_allows():
    found = one("breaker_too_large", ONE_PHASE, drive__largest_breaker="40 A by maker")
    assert (found.state, found.signal) == ("holds", "danger")
    assert found.parts == ("supply", "drive")
    assert state("breaker_too_large", ONE_PHASE, drive__largest_breaker="40 A") == ("holds", "notice")
    assert state("breaker_too_large", THREE_PHASE, drive__largest_breaker="10 A by maker") == ("holds", "danger")


@pytest.mark.parametrize(
    ("breaker", "expected"),
    [
        ("16 A by plate", ("clear", "danger")),
        ("20 A by plate", ("clear", "danger")),  # 2.5 mm2 in conduit carries 20 A
        ("25 A by plate", ("holds", "danger")),
        ("25 A", ("holds", "notice")),
    ],
)
def test_a_metric_breaker_guards_its_wires(breaker, expected):
    lines = {"drive__largest_breaker": None, "supply__breaker": breaker}
    assert state("breaker_too_large", THREE_PHASE, **lines) == expected


def test_a_metric_breaker_whose_wires_are_not_told_is_left_to_the_question_for_them():
    lines = {"drive__largest_breaker": None, "supply__wire": None}
    assert findings_of(changed(THREE_PHASE, **lines), "breaker_too_large") == []
    assert state("supply_wire", THREE_PHASE, **lines) == ("not told", "notice")


@pytest.mark.parametrize(
    ("plant", "breaker", "expected"),
    [
        (ON_THE_LINE, "10 A by plate", ("holds", "caution")),  # 10.6 A drawn
        (ON_THE_LINE, "12 A by plate", ("holds", "caution")),  # 13.2 A with a quarter in reserve
        (ON_THE_LINE, "20 A by plate", ("clear", "caution")),
        (ON_THE_LINE, "13.5 A by plate", ("may hold", "notice")),
        (THREE_PHASE, "6 A by plate", ("clear", "caution")),  # 2 to 3 A drawn
        (THREE_PHASE, "2 A by plate", ("holds", "caution")),
    ],
)
def test_a_breaker_that_trips(plant, breaker, expected):
    assert state("breaker_trips", plant, supply__breaker=breaker) == expected


def test_a_breaker_not_told_is_not_said_to_trip():
    assert findings_of(changed(ON_THE_LINE, supply__breaker=None), "breaker_trips") == []


# Earth, ground fault, high leg.


@pytest.mark.parametrize("plant", GOOD)
def test_protective_earth(plant):
    assert state("protective_earth", plant, supply__protective_earth="no") == ("holds", "danger")
    assert state("protective_earth", plant, supply__protective_earth=None) == ("not told", "warning")
    assert state("protective_earth", plant) == ("clear", "danger")


@pytest.mark.parametrize(("breaker", "size"), [("20 A", "12 AWG"), ("50 A", "10 AWG"), ("70 A", "8 AWG")])
def test_protective_earth_says_its_size(breaker, size):
    found = one("protective_earth", ONE_PHASE, supply__protective_earth="no", supply__breaker=f"{breaker} by plate")
    assert size in found.says  # table 250.122
    assert "AWG" not in one("protective_earth", THREE_PHASE, supply__protective_earth="no").says


@pytest.mark.parametrize(
    ("plant", "device", "expected"),
    [
        (ONE_PHASE, "4-6 mA", ("holds", "caution")),
        (ONE_PHASE, "30 mA type A or AC", ("holds", "notice")),
        (THREE_PHASE, "30 mA type A or AC", ("holds", "caution")),
        (THREE_PHASE, "30 mA type B", ("clear", "caution")),
        (THREE_PHASE, "100 mA or more", ("clear", "caution")),
        (THREE_PHASE, None, ("not told", "notice")),
    ],
)
def test_ground_fault_device(plant, device, expected):
    assert state("ground_fault_device", plant, supply__ground_fault=device) == expected


def test_high_leg():
    high = {"supply__kind": "240 high-leg delta"}
    assert state("high_leg_load", ON_THE_LINE, **high, supply__high_leg_load="yes") == ("holds", "warning")
    assert state("high_leg_load", ON_THE_LINE, **high, supply__high_leg_load="no") == ("clear", "warning")
    assert state("high_leg_load", ON_THE_LINE, **high) == ("not told", "notice")
    assert findings_of(changed(ON_THE_LINE, supply__high_leg_load="yes"), "high_leg_load") == []
