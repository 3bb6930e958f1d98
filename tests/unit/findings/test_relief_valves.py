"""Rules about relief valves: each fires, stays silent, and asks where nothing is told."""

import numpy as np
import pytest
from plant_cases import findings_of, plant_of, states_of
from pressure_plants import SI, US, spoilt

from airfettle.findings.case import Case
from airfettle.findings.relief_valves import swept_share
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach

HOLDS, DANGER_NOT_TOLD = ("holds", "danger"), ("not told", "warning")
RECEIVER, PUMP = (text.strip() for text in US.partition("[[relief_valve]]")[2].split("[[relief_valve]]"))
BARE = US.partition("[[relief_valve]]")[0]
"""The plant without its relief valves, and each of them."""


def plant(*reliefs, text=BARE):
    """The US plant with relief valves of its own."""
    return text + "".join(f"[[relief_valve]]\n{relief}\n" for relief in reliefs)


def of(rule, text, part, *, rows=32):
    """State and signal word that a rule gives one part."""
    (found,) = [f for f in findings_of(text, rule, rows=rows) if f.parts[0] == part]
    return found.state, found.signal


def states(rule, text, *, rows=32):
    return states_of(text, rule, rows=rows)


# Is there one?


def test_no_relief_valve_on_the_receiver():
    assert states("relief_missing", plant(RECEIVER)) == [("clear", "danger")]
    assert states("relief_missing", 'relief_valve = "none"\n' + BARE) == [HOLDS]
    assert states("relief_missing", plant(PUMP)) == [HOLDS]  # those listed protect something else
    assert states("relief_missing", BARE) == [DANGER_NOT_TOLD]
    assert states("relief_missing", plant(spoilt(RECEIVER, ('"receiver"\nvalve', '"unknown"\nvalve')))) == [
        DANGER_NOT_TOLD]  # fmt: skip


# What is it set to?


def set_to(pressure, relief=RECEIVER):
    return spoilt(relief, (relief.partition("set_pressure = ")[2].partition("\n")[0], pressure))


def test_set_above_the_plate():
    assert states("relief_setting", US) == [("clear", "danger")]
    assert states("relief_setting", plant(set_to('"210 psi by plate"'))) == [HOLDS]
    assert states("relief_setting", plant(set_to('"unknown"'))) == [DANGER_NOT_TOLD]
    assert states("relief_setting", plant(set_to('"210 psi"'))) == [("holds", "notice")]  # first look at the tag
    assert states("relief_setting", plant(set_to('"198 psi"')), rows=256) == [("may hold", "notice")]


def test_set_at_the_plate_whatever_the_unit():
    assert states("relief_setting", plant(set_to('"200 psi by plate"'))) == [("clear", "danger")]
    bar = BARE.replace('plate_pressure = "200 psi by plate"', 'plate_pressure = "13.8 bar by plate"')
    assert states("relief_setting", plant(set_to('"200 psi by plate"'), text=bar)) == [("clear", "danger")]


def test_a_second_valve_may_stand_a_little_above_the_plate():
    second = spoilt(RECEIVER, ('name = "receiver"', 'name = "second"'))
    for setting, expected in (("208 psi", ("clear", "danger")), ("215 psi", HOLDS)):
        text = plant(RECEIVER, set_to(f'"{setting} by plate"', second))
        assert of("relief_setting", text, "relief_valve.receiver") == ("clear", "danger")
        assert of("relief_setting", text, "relief_valve.second") == expected


def test_two_receivers_are_judged_by_the_weaker():
    more = BARE.replace("[receiver]", '[[receiver]]\nname = "big"', 1)
    more += '[[receiver]]\nname = "old"\nvolume = "20 gal"\nplate_pressure = "125 psi by plate"\n'
    (found,) = findings_of(plant(RECEIVER, text=more), "relief_setting", rows=32)
    assert (found.state, found.signal) == HOLDS
    assert found.parts == ("relief_valve.receiver", "receiver.old")


# What does it pass?


def passes(flow, relief=RECEIVER):
    return spoilt(relief, ('capacity = "60 scfm by plate"', f"capacity = {flow}" if flow else ""))


def test_capacity_against_what_the_pump_sweeps():
    assert states("relief_capacity", plant(RECEIVER)) == [("clear", "danger")]
    assert states("relief_capacity", plant(passes('"10 scfm by plate"'))) == [HOLDS]
    assert states("relief_capacity", plant(passes(None))) == [DANGER_NOT_TOLD]
    assert states("relief_capacity", plant(passes('"10 scfm"'))) == [("holds", "notice")]
    assert states("relief_capacity", plant(passes('"14..18 scfm"')), rows=256) == [("may hold", "notice")]


def test_capacity_says_what_is_swept_at_the_highest_frequency():
    (found,) = findings_of(plant(passes('"10 scfm by plate"')), "relief_capacity", rows=32)
    assert found.worst_point.frequency == 60.0
    swept = 4.0**2 * np.pi / 4 * 3.0 / 1728 * 1750 / 2.5  # cubic feet a minute of the first stage
    words = found.says.partition("sweeps ")[2]
    np.testing.assert_allclose(float(words.split()[0]), swept, rtol=0.07)  # colder, damp air, creep and slip
    assert "10 scfm by plate" in words


def test_a_drive_set_higher_outgrows_the_valve():
    small = plant(passes('"20 scfm by plate"'))
    assert states("relief_capacity", small) == [("clear", "danger")]
    fast = small.replace('maximum_frequency = "60 Hz"', 'maximum_frequency = "90 Hz"')
    assert states("relief_capacity", fast) == [HOLDS]


def test_two_valves_share_and_one_not_told_leaves_it_open():
    second = spoilt(RECEIVER, ('name = "receiver"', 'name = "second"'))
    half = passes('"10 scfm by plate"')
    assert states("relief_capacity", plant(half, passes('"10 scfm by plate"', second))) == [("clear", "danger")]
    assert states("relief_capacity", plant(half, passes(None, second))) == [DANGER_NOT_TOLD]
    assert states("relief_capacity", plant(RECEIVER, passes(None, second))) == [("clear", "danger")]


def test_the_valve_on_the_pumps_outlet_is_judged_by_itself():
    text = plant(RECEIVER, passes('"10 scfm by plate"', PUMP))
    assert of("relief_capacity", text, "relief_valve.receiver") == ("clear", "danger")
    assert of("relief_capacity", text, "relief_valve.pump") == HOLDS


# Several pumps.

TWO = """
[[train]]
name = "left"
[train.drive]
maximum_frequency = "60 Hz"
[train.belt]
ratio = "2.5 by tachometer"
[train.motor]
power = "5 hp by plate"
speed = "1750 rpm by plate"
frequency = "60 Hz"
[train.pump]
stages = 2
first_stage = { cylinders = 1, bore = "4 in by tape", stroke = "3 in by tape" }
[[train]]
name = "right"
[train.drive]
maximum_frequency = "60 Hz"
[train.belt]
ratio = "2.5 by tachometer"
[train.motor]
power = "5 hp by plate"
speed = "1750 rpm by plate"
frequency = "60 Hz"
[train.pump]
first_stage = { cylinders = 2, bore = "3 in by tape", stroke = "3 in by tape" }
[separator]
pressure_rating = "250 psi by plate"
[check_valve]
place = "at the receiver"
"""


def named(name, protects="pump discharge", capacity="60 scfm"):
    return f'name = "{name}"\nset_pressure = "150 psi by plate"\ncapacity = "{capacity} by plate"\n' + (
        f'protects = "{protects}"')  # fmt: skip


def test_capacity_of_two_pumps_together():
    text = plant(named("r", "receiver", "20 scfm"), text=TWO)
    assert states("relief_capacity", text) == [HOLDS]
    assert "2 pumps together" in findings_of(text, "relief_capacity", rows=32)[0].says
    assert states("relief_capacity", plant(named("r", "receiver", "60 scfm"), text=TWO)) == [("clear", "danger")]


def test_share_of_two_pumps_adds_up():
    case = Case(reach(draw(plant_of(TWO), rows=8)))
    one, two = (swept_share(case, train=train, capacity=np.array(0.01)) for train in (0, 1))
    np.testing.assert_allclose(one[0] / two[0], 4.0**2 / (2 * 3.0**2), rtol=0.01)  # slip differs a little


def test_pump_side_valves_are_matched_by_the_trains_name():
    parts = {"left": "train.left.pump", "right": "train.right.pump"}
    text = plant(named("left"), text=TWO)
    assert of("pump_side_relief", text, parts["left"]) == ("clear", "danger")
    assert of("pump_side_relief", text, parts["right"]) == HOLDS
    unnamed = plant(named("some"), text=TWO)
    assert {of("pump_side_relief", unnamed, part) for part in parts.values()} == {DANGER_NOT_TOLD}
    both = plant(named("some"), named("other"), text=TWO)
    assert {of("pump_side_relief", both, part) for part in parts.values()} == {("clear", "danger")}
    assert [f.parts for f in findings_of(text, "relief_capacity", rows=32)] == [("relief_valve.left",)]
    assert findings_of(both, "relief_capacity", rows=32) == []  # whose is whose is not told


def test_interstage_is_asked_of_the_two_stage_pump_only():
    (found,) = findings_of(TWO, "interstage_relief", rows=32)
    assert (found.state, found.signal, found.parts) == (*DANGER_NOT_TOLD, ("train.left.pump",))


# Shut off, touched, too close.


@pytest.mark.parametrize(("rule", "fact"), [("valve_before_relief", "valve_before"), ("relief_tampered", "tampered")])
def test_a_valve_that_cannot_blow(rule, fact):
    line = f'{fact} = "no"'
    assert states(rule, US) == [("clear", "danger")] * 2
    bad = plant(spoilt(RECEIVER, (line, f'{fact} = "yes"')), spoilt(PUMP, (line, "")))
    assert of(rule, bad, "relief_valve.receiver") == HOLDS
    assert of(rule, bad, "relief_valve.pump") == DANGER_NOT_TOLD
    words = {f.parts[0]: f.says for f in findings_of(bad, rule, rows=32)}
    assert "on the receiver" in words["relief_valve.receiver"]
    assert "on the pump's outlet" in words["relief_valve.pump"]


def test_setting_close_to_the_cut_out():
    assert states("relief_near_cut_out", plant(RECEIVER)) == [("clear", "caution")]
    assert states("relief_near_cut_out", plant(set_to('"132 psi by plate"'))) == [("holds", "caution")]
    assert states("relief_near_cut_out", plant(set_to('"141 psi by plate"')), rows=256) == [("may hold", "notice")]
    assert states("relief_near_cut_out", plant(set_to('"unknown"'))) == []  # relief_setting asks


# Between the stages.


def test_two_stages_with_nothing_between_them():
    own = 'interstage_relief = "yes"'
    assert states("interstage_relief", US) == [("clear", "danger")]
    assert states("interstage_relief", spoilt(US, (own, 'interstage_relief = "no"'))) == [HOLDS]
    assert states("interstage_relief", spoilt(US, (own, ""))) == [DANGER_NOT_TOLD]
    other = 'name = "between"\nset_pressure = "60 psi"\nprotects = "interstage"'
    assert states("interstage_relief", plant(RECEIVER, other, text=spoilt(BARE, (own, "")))) == [("clear", "danger")]
    assert states("interstage_relief", SI) == []  # one stage


# Before the check valve.

COOLER = US[US.index("[cooler]") : US.index("[separator]")]
SEPARATOR = US[US.index("[separator]") : US.index("[check_valve]")]
PIPE = spoilt(plant(RECEIVER), (COOLER, ""), (SEPARATOR, ""))
"""Nothing but pipe before the check valve."""
CHECK = '[check_valve]\nplace = "at the receiver"\n'


def test_nothing_relieves_the_pumps_side():
    assert states("pump_side_relief", US) == [("clear", "danger")]
    assert states("pump_side_relief", plant(RECEIVER)) == [HOLDS]
    words = findings_of(plant(RECEIVER), "pump_side_relief", rows=8)[0].says
    assert "the cooler and the separator stand before the check valve" in words


def test_plain_pipe_is_a_warning():
    assert states("pump_side_relief", PIPE) == [("holds", "warning")]
    before = spoilt(plant(RECEIVER), ('place = "at the receiver"', 'place = "before the cooler"'))
    assert states("pump_side_relief", before) == [("holds", "warning")]


def test_place_of_the_check_valve_not_told():
    unknown = spoilt(plant(RECEIVER), ('place = "at the receiver"', ""))
    assert states("pump_side_relief", unknown) == [DANGER_NOT_TOLD]
    assert states("pump_side_relief", spoilt(PIPE, ('place = "at the receiver"', ""))) == [("holds", "warning")]
    ordered = spoilt(unknown, ('units = "US"', 'units = "US"\nair_path = ["separator", "check_valve", "receiver"]'))
    assert states("pump_side_relief", ordered) == [HOLDS]  # the air path tells it


def test_no_check_valve_told_or_none():
    assert states("pump_side_relief", spoilt(plant(RECEIVER), (CHECK, ""))) == [DANGER_NOT_TOLD]
    assert states("pump_side_relief", spoilt(PIPE, (CHECK, ""))) == [("not told", "notice")]
    none = 'check_valve = "none"\n'
    assert states("pump_side_relief", none + spoilt(PIPE, (CHECK, ""))) == [("clear", "danger")]  # one space
    assert states("pump_side_relief", none + spoilt(plant(RECEIVER), (CHECK, ""))) == [HOLDS]  # a cooler can clog


def test_a_filter_before_the_check_valve_counts():
    path = ('units = "US"', 'units = "US"\nair_path = ["filter.first", "check_valve", "receiver"]')
    text = spoilt(PIPE, path) + '[[filter]]\nname = "first"\n'
    assert states("pump_side_relief", text) == [HOLDS]
    assert "the first filter stands" in findings_of(text, "pump_side_relief", rows=8)[0].says
