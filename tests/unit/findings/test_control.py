"""Rules about control: each fires, stays silent, and asks where nothing is told."""

import pytest
from electric_plants import ON_THE_LINE, ONE_PHASE, THREE_PHASE
from plant_cases import findings_of, states_of
from told_plants import changed

from airfettle.findings.register import RULES


def one(rule, plant, **lines):
    """What a rule says of a plant with lines changed."""
    found = findings_of(changed(plant, **lines), rule)
    assert len(found) == 1
    return found[0]


def state(rule, plant, **lines):
    found = one(rule, plant, **lines)
    return found.state, found.signal


FACTS = [
    ("restarts_by_itself", ONE_PHASE, "control__restarts_by_itself", "power coming back", "warning"),
    ("restarts_by_itself", ONE_PHASE, "control__restarts_by_itself", "a fault that resets itself", "warning"),
    ("restarts_by_itself", ON_THE_LINE, "control__restarts_by_itself", "release of the emergency stop", "warning"),
    ("restarts_by_itself", ON_THE_LINE, "control__restarts_by_itself", "several of these", "warning"),
    ("restarts_by_itself", ON_THE_LINE, "control__restarts_by_itself", "power coming back", "caution"),
    ("no_emergency_stop", ON_THE_LINE, "control__emergency_stop", "no", "warning"),
    ("no_disconnect_in_sight", THREE_PHASE, "motor__disconnect", "no", "warning"),
    ("motor_overload_setting", ONE_PHASE, "motor__overload_set", "above plate amps", "warning"),
    ("motor_overload_setting", ON_THE_LINE, "motor__overload_set", "none", "warning"),
    ("drive_input_switched", ONE_PHASE, "drive__started_by", "switching its supply", "warning"),
    ("lost_speed_signal", THREE_PHASE, "drive__lost_speed", "runs on", "warning"),
    ("ramp_stop", THREE_PHASE, "drive__stop_mode", "ramp", "caution"),
    ("power_contacts_on_a_signal", ONE_PHASE, "control__contacts", "drive input by power contacts", "caution"),
]
"""Rule, a good plant, the entry, a bad answer, and the signal word of that answer."""


@pytest.mark.parametrize(("rule", "plant", "entry", "answer", "signal"), FACTS)
def test_a_bad_answer_fires(rule, plant, entry, answer, signal):
    assert state(rule, plant, **{entry: answer}) == ("holds", signal)
    assert [found for found, _ in states_of(plant, rule)] == ["clear"]


@pytest.mark.parametrize(("rule", "plant", "entry"), [(rule, plant, entry) for rule, plant, entry, _, _ in FACTS[3:]])
def test_no_answer_is_asked_for(rule, plant, entry):
    found = one(rule, plant, **{entry: None})
    assert (found.state, found.signal) == ("not told", "notice")
    assert entry.partition("__")[2] in found.do


@pytest.mark.parametrize(
    ("kind", "words"),
    [("pressure switch", "A pressure switch starts"), ("transducer", "A transducer starts"), (None, "or transducer")],
)
def test_every_plant_starts_without_warning(kind, words):
    found = one("starts_by_itself", ON_THE_LINE, control__kind=kind)
    assert (found.state, found.signal) == ("holds", "notice")
    assert words in found.says
    assert "100 psi" in found.says
    assert "lock it off" in found.do


@pytest.mark.parametrize(
    ("lowest", "expected"),
    [
        ("0 Hz", ("holds", "warning")),
        ("1 Hz by plate", ("holds", "warning")),
        ("20 Hz", ("clear", "warning")),
        ("0..5 Hz", ("may hold", "notice")),
        (None, ("not told", "notice")),
    ],
)
def test_minimum_frequency(lowest, expected):
    assert state("minimum_frequency_not_set", ONE_PHASE, drive__minimum_frequency=lowest) == expected


def test_power_contacts_are_of_no_concern_without_a_switch_or_a_drive():
    power = {"control__contacts": "drive input by power contacts"}
    assert findings_of(changed(THREE_PHASE, **power), "power_contacts_on_a_signal") == []  # a transducer
    assert findings_of(changed(ON_THE_LINE, **power), "power_contacts_on_a_signal") == []


# The pressure switch and its motor.

DIRECT = {"control__contacts": "motor"}


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ({}, ("clear", "danger")),
        ({"control__switch_power": "3 hp by plate"}, ("holds", "danger")),
        ({"control__switch_power": "3 hp"}, ("holds", "notice")),
        ({"control__switch_power": "4.5..5.5 hp"}, ("may hold", "notice")),
        ({"control__switch_current": "12 A by plate"}, ("holds", "danger")),  # its power would do
        ({"control__switch_current": "15 A by plate"}, ("clear", "danger")),
        ({"control__switch_power": None}, ("not told", "warning")),
        ({"control__switch_power": None, "control__switch_current": "20 A by plate"}, ("clear", "danger")),
        ({"control__contacts": None}, ("not told", "warning")),
        ({"control__contacts": "contactor coil", "control__switch_power": "1 hp by plate"}, ("clear", "danger")),
    ],
)
def test_a_pressure_switch_and_its_motor(lines, expected):
    assert state("pressure_switch_overloaded", ON_THE_LINE, **(DIRECT | lines)) == expected


def test_a_motor_without_a_plate_is_held_against_the_switch_as_computed():
    lines = DIRECT | {"control__switch_power": None, "control__switch_current": "6 A by plate", "motor__current": None}
    assert state("pressure_switch_overloaded", ON_THE_LINE, **lines) == ("holds", "danger")


def test_the_switchs_plate_is_of_no_concern_to_a_drive_or_a_transducer():
    assert findings_of(changed(ONE_PHASE, **DIRECT), "pressure_switch_overloaded") == []
    transducer = DIRECT | {"control__kind": "transducer"}
    assert findings_of(changed(ON_THE_LINE, **transducer), "pressure_switch_overloaded") == []


def test_all_rules_here_are_of_this_group():
    named = {rule for rule, *_ in FACTS} | {"starts_by_itself", "minimum_frequency_not_set"}
    assert {RULES[name].group for name in named} == {"electrical and control"}
