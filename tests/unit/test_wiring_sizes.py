"""Wires, devices and switches of a train: what they rest on, what is there, words, and plants that tell little."""

import pytest
from electric_plants import ON_THE_LINE, ONE_PHASE, THREE_PHASE
from told_plants import changed
from wired_sizes import peaks_of, sizes_of, there

from airfettle.studies.wiring.circuits import circuits
from airfettle.studies.wiring.sizes import marked_by_sizes, wire_sizes, wire_words


def one(plant, **lines):
    (found,) = sizes_of(changed(plant, **lines))
    return found


def test_words_for_a_drive_on_one_phase():
    found = one(ONE_PHASE)
    assert (found.code, found.on_drive, found.shared, found.branch) == ("NEC", True, (0,), None)
    assert found.supply.words == "8 AWG Cu, 75 °C (125 % of 34 A)"
    assert found.supply.reason == (
        "42.5 A: 125 % of 34 A, the drive's input amps by its plate; 6 AWG where a terminal or the cable is marked "
        "for 60 °C"
    )
    assert found.motor.words == "14 AWG Cu, 75 °C (125 % of 15.2 A)"
    assert found.device.words == "45 A breaker"
    assert found.overload.words == "set to 12.8 A"
    assert found.disconnect.words == "at least 39.1 A and 5 hp"
    assert (found.supply.phases, found.supply.loaded, found.motor.loaded) == (1, 2, 3)
    (words,) = wire_words([found])
    assert (words.supply, words.motor) == (found.supply.words, found.motor.words)
    assert words.protection == "45 A breaker"


def test_words_in_metric():
    found = one(THREE_PHASE)
    assert found.code == "IEC"
    assert found.supply.words == "1.5 mm² Cu (13 A breaker)"
    assert found.motor.words == "1.5 mm² Cu (for 8.2 A)"
    assert found.device.words == "13 A breaker, curve C"
    assert (found.device.lowest, found.device.highest) == (13.0, 20.0)  # 2.5 mm2 that are there carry 20 A
    assert found.disconnect.words == "at least 11 A, AC-23"
    assert "10 mm²" in found.earth.more
    assert found.supply.at_60 == ""


def test_a_motor_on_the_line():
    found = one(ON_THE_LINE)
    assert not found.on_drive
    assert found.supply.needed == found.motor.needed == pytest.approx(21.875)  # 17.5 A by the 200 V column
    assert found.device.rating == found.device.highest == 45.0
    assert found.overload.most == pytest.approx(1.15 * 15)
    assert one(ON_THE_LINE, motor__service_factor="1.15 by plate").overload.most == pytest.approx(1.25 * 15)
    assert one(ONE_PHASE, motor__service_factor="1.15 by plate").overload.most == pytest.approx(12.8)  # on a drive
    assert one(ON_THE_LINE).notes[0].startswith("208 V between legs")


def test_input_amps_that_are_not_told_are_computed_and_said_so():
    found = one(ONE_PHASE, drive__rated_input_current=None)
    assert not found.supply.sure
    assert "computed" in found.supply.by
    assert 15.0 < found.supply.current < 34.0
    remembered = one(ONE_PHASE, drive__rated_input_current="34 A")
    assert not remembered.supply.sure
    assert remembered.supply.current >= 34.0


def test_a_drive_that_draws_more_than_its_plate_is_wired_for_that():
    found = one(ONE_PHASE, drive__rated_input_current="12 A by plate")
    assert found.supply.current > 12.0
    assert "above its own" in found.supply.by


def test_a_slow_motor_is_taken_at_its_plate_where_that_is_more():
    slow = {"motor__speed": "1150 rpm by plate", "motor__current": "19 A by plate"}
    assert one(ON_THE_LINE, **slow).motor.current == pytest.approx(19.0, rel=0.01)
    quick = {"motor__current": "19 A by plate"}
    assert one(ON_THE_LINE, **quick).motor.current == pytest.approx(17.5)


@pytest.mark.parametrize(
    ("wire", "state"),
    [("6 AWG by stamp", "ok"), ("8 AWG by stamp", "ok"), ("10 AWG by stamp", "too small"), (None, None)],
)
def test_the_wire_that_is_there(wire, state):
    found = one(ONE_PHASE, supply__wire=wire).supply
    assert (found.there.state if found.there else None) == state


def test_a_wire_that_a_hot_room_makes_too_small():
    hot = changed(ONE_PHASE, supply__wire="8 AWG by stamp").replace("60..80 degF", "60..113 degF")
    (found,) = sizes_of(hot)
    assert found.supply.there.state == "close"  # 50 A at 30 degC, 41 A at 45
    assert found.supply.size == "6 AWG"


@pytest.mark.parametrize(
    ("breaker", "state"),
    [
        ("45 A by plate", "ok"), ("40 A by plate", "too small"), ("60 A by plate", "large"),
        ("80 A by plate", "too large"), ("46 A", "ok"),
    ],
)  # fmt: skip
def test_the_breaker_that_is_there(breaker, state):
    """45 A is the most for 15.2 A that ask for 42.5; up to 70 A is what the finding bears with on one phase."""
    found = one(ONE_PHASE, supply__breaker=breaker, drive__largest_breaker=None).device
    assert found.state == state


def test_a_maker_who_allows_less_than_the_load_asks_for():
    found = one(ONE_PHASE, drive__largest_breaker="40 A by maker").device
    assert (found.fits, found.rating, found.highest) == (False, 40.0, 40.0)
    assert found.reason.startswith("45 A to carry the load, but at most 40 A allowed")
    metric = one(THREE_PHASE, drive__largest_breaker="10 A by maker").device
    assert (metric.fits, metric.rating) == (False, 10.0)


def test_an_earth_wire_grows_with_live_wires_but_not_past_them():
    assert one(ONE_PHASE, supply__wire="8 AWG by stamp", supply__breaker="45 A by plate").earth.size == "10 AWG"
    assert one(ONE_PHASE, supply__breaker="45 A by plate").earth.size == "8 AWG"  # 6 AWG where 8 would do
    assert one(ONE_PHASE).motor_earth.size == "12 AWG"  # 10 AWG by the table, the lead is 12


def test_a_long_run_asks_for_thicker_wires():
    found = one(ONE_PHASE, supply__wire_length="250 ft by tape").supply
    assert found.size == "8 AWG"
    assert found.drop_share[1] > 0.05
    assert found.thicker == "4 AWG"  # 34 A over 500 ft there and back at 7.2 V: 0.424 ohm/kft, and 6 AWG has 0.491
    assert one(ONE_PHASE).supply.thicker == ""


def test_beyond_the_list():
    found = one(ONE_PHASE, drive__rated_input_current="400 A by plate").supply
    assert found.size == ""
    assert found.words.startswith("beyond the sizes")


def test_trains_share_a_supply_and_have_branches():
    data = {
        "plant": {"units": "SI"}, "supply": {"kind": "400/230 wye"},
        "train": [
            {"name": "east", "drive": {"rated_input_current": "14 A by plate"}, "pump": {}},
            {"name": "west", "drive": "none", "motor": {"power": "4 kW by plate", "current": "8.2 A by plate"},
             "pump": {}, "supply": {"kind": "single-phase 230"}},
        ],
    }  # fmt: skip
    east, west = sizes_of(data)
    assert (east.shared, west.shared) == ((0,), (1,))
    assert east.branch is None
    del data["train"][1]["supply"]
    east, west = sizes_of(data)
    assert east.shared == west.shared == (0, 1)
    assert east.supply == west.supply
    assert east.supply.current == pytest.approx(14 + 8.2)
    assert west.branch.current == pytest.approx(8.2)
    assert east.device.curve == "D"  # one of them starts on the line
    assert west.motor.needed == east.device.rating  # nothing else guards its wires


def test_a_converter_is_fed_by_two_wires():
    found = one(ONE_PHASE, supply__kind="rotary converter")
    assert found.supply.where == "from the panel to the converter"
    assert found.supply.needed == pytest.approx(2.5 * 34)
    assert (found.supply.loaded, found.branch.loaded) == (2, 3)
    assert found.device.cap is None  # the drive's marking is about the device ahead of the drive


def test_notes_of_a_high_leg():
    found = one(ONE_PHASE, supply__kind="240 high-leg delta")
    notes = " ".join(found.notes)
    assert "208 V to neutral" in notes
    assert "120 V to neutral: only from L1 or L3" in notes
    (single,) = sizes_of(changed(ONE_PHASE, supply__kind="240 high-leg delta").replace(
        "input_phases = 3", "input_phases = 1"))  # fmt: skip
    assert "fed from L1 and L3" in single.notes[-1]


def test_notes_of_a_motor_short_of_volts():
    lines = {"supply__kind": "208 wye", "supply__voltage": "209 V by multimeter"}
    (note,) = [text for text in one(ONE_PHASE, **lines).notes if "joined" in text]
    assert note.startswith("The motor is joined for 230 V, the supply gives 208 V")
    assert note.endswith("or stay below 54.52 Hz.")
    star = one(THREE_PHASE, supply__kind="single-phase 230", supply__voltage=None)
    assert any("joined for 400 V, the supply gives 230 V" in text for text in star.notes)


def test_plants_that_tell_nothing():
    for units in ("US", "SI"):
        (found,) = sizes_of({"plant": {"units": units}})
        assert found.supply.size
        assert not found.supply.sure
        assert found.overload.words.startswith("set to the motor's plate amps, some")


def test_the_state_is_computed_where_it_is_not_given():
    found = there(ONE_PHASE, rows=8)
    assert wire_sizes(found.draw, found.numbers) == wire_sizes(found.draw, found.numbers, state=found.state)


# Peaks.


def test_peaks_of_a_general_motor_on_480_volts():
    lines = {
        "supply__kind": "480/277 wye", "supply__voltage": "480 V by multimeter", "motor__voltage": "460 V by plate",
        "motor__inverter_duty": "no",
    }  # fmt: skip
    (short,) = peaks_of(changed(ONE_PHASE, **lines))
    assert short.state == "short enough"
    assert short.longest == pytest.approx(3.9, rel=0.05)
    (long,) = peaks_of(changed(ONE_PHASE, **lines, motor_lead__wire_length="40 ft by tape"))
    assert long.state == "too long"
    assert long.words.startswith("Peaks of 1300 V at the motor, above the 1000 V a general winding")
    assert long.full_from == pytest.approx((3.75, 7.5, 15.0))
    (made,) = peaks_of(changed(ONE_PHASE, **lines | {"motor__inverter_duty": "yes"}))
    assert (made.state, made.longest) == ("any length", None)


def test_no_peaks_on_the_line():
    assert peaks_of(ON_THE_LINE) == (None,)


def test_a_drawing_marks_what_the_table_of_sizes_marks():
    found = there(changed(ONE_PHASE, **{"supply__wire": "12 AWG by stamp", "supply__breaker": "45 A by plate"}))
    sizes = wire_sizes(found.draw, found.numbers, state=found.state)
    assert sizes[0].supply.there.state == "too small"
    assert sizes[0].device.state == "ok"
    both = marked_by_sizes(found.draw, sizes, held={"breaker_too_large": ("supply",)})
    assert both == {"supply_wire": ("supply",)}  # the wire is what has to change; the breaker is the one to fit
    power, right = (c for c in circuits(found.draw, held=both, wires=wire_words(sizes)) if c.sort == "power")
    assert {net.state for net in power.nets if net.number in ("L1", "L2")} == {"wrong"}
    assert power.device("F1").state == "there"
    assert {net.finding for net in right.nets if net.number in ("L1", "L2")} == {"supply_wire"}
    assert right.device("F1").finding == ""


def test_a_wire_that_carries_enough_marks_nothing():
    found = there(ONE_PHASE)
    sizes = wire_sizes(found.draw, found.numbers, state=found.state)
    assert marked_by_sizes(found.draw, sizes, held={}) == {}
