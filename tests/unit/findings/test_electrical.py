"""Rules about the drive: each fires, stays silent, and asks where nothing is told."""

import pytest
from electric_plants import GOOD, ON_THE_LINE, ONE_PHASE, THREE_PHASE
from plant_cases import findings_of, plant_of, states_of
from told_plants import changed

from airfettle.findings import control, electrical, volts, wires
from airfettle.findings.judge import judge
from airfettle.findings.register import RULES
from airfettle.sources import all_sources
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach

MODULES = {module.__name__ for module in (electrical, volts, wires, control)}
MINE = {name: rule for name, rule in RULES.items() if rule.judge.__module__ in MODULES}
OF_DRIVES = {
    "only_the_motor_on_the_drive", "cooler_fan_on_the_drive", "single_phase_motor_on_a_drive", "motor_wires_opened",
    "mains_on_the_output", "single_phase_input", "drive_amps", "drive_input_amps", "winding_peaks",
    "drive_filter_to_earth", "unshielded_motor_lead", "service_factor_on_a_drive", "drive_in_a_bad_place",
    "drive_stored_long", "ground_fault_device", "drive_input_switched", "minimum_frequency_not_set",
    "lost_speed_signal", "ramp_stop", "power_contacts_on_a_signal",
}  # fmt: skip


def one(rule, plant, **lines):
    """What a rule says of a plant with lines changed."""
    found = findings_of(changed(plant, **lines), rule)
    assert len(found) == 1
    return found[0]


def state(rule, plant, **lines):
    found = one(rule, plant, **lines)
    return found.state, found.signal


# All rules of the group.


@pytest.mark.parametrize("plant", GOOD)
def test_a_good_plant_hears_only_that_it_starts_without_warning(plant):
    found = [f for f in judge(reach(draw(plant_of(plant)))) if f.rule in MINE]
    assert [(f.rule, f.signal) for f in found] == [("starts_by_itself", "notice")]


def test_a_plant_on_the_line_hears_nothing_of_drives():
    found = {f.rule for f in judge(reach(draw(plant_of(ON_THE_LINE), rows=64)), clear=True)}
    assert not found & OF_DRIVES
    assert "pressure_switch_overloaded" in found


def test_rules_of_drives_are_all_there():
    assert set(MINE) >= OF_DRIVES


@pytest.mark.parametrize("rule", MINE.values(), ids=MINE)
def test_pages_stand_alone(rule):
    for text in (rule.why, rule.threshold, rule.do):
        assert text.endswith(".")
        assert "  " not in text
    assert set(rule.sources) <= set(all_sources())


def test_nothing_told_asks_and_asserts_nothing():
    """Of a plant nobody described no danger is spoken, only questions and what holds for every plant."""
    found = [f for f in judge(reach(draw(plant_of(""), rows=256))) if f.rule in MINE]
    assert {f.state for f in found} <= {"not told", "may hold", "holds"}
    assert [f.rule for f in found if f.state == "holds"] == ["starts_by_itself"]
    assert {f.rule for f in found if f.signal == "warning"} == {
        "only_the_motor_on_the_drive", "motor_wires_opened", "mains_on_the_output", "drive_in_a_bad_place",
        "protective_earth",
    }  # fmt: skip
    assert not [f for f in found if f.signal == "danger"]


def test_every_train_is_looked_at():
    own = 'motor.power = "3 kW by plate"\ndrive = {{ on_output = "{}" }}\n'
    plant = '[[train]]\nname = "old"\n' + own.format("capacitors") + '[[train]]\nname = "new"\n'
    plant += own.format("only the motor")
    found = {f.parts[0]: (f.state, f.signal) for f in findings_of(plant, "only_the_motor_on_the_drive", rows=64)}
    assert found == {"train.old.drive": ("holds", "danger"), "train.new.drive": ("clear", "danger")}


# Facts.

FACTS = [
    ("only_the_motor_on_the_drive", ONE_PHASE, "drive__on_output", "also a fan, relay or supply", "danger"),
    ("only_the_motor_on_the_drive", ONE_PHASE, "drive__on_output", "several motors", "danger"),
    ("only_the_motor_on_the_drive", ONE_PHASE, "drive__on_output", "capacitors", "danger"),
    ("only_the_motor_on_the_drive", ONE_PHASE, "drive__on_output", "neutral or earth on the star point", "danger"),
    ("cooler_fan_on_the_drive", ONE_PHASE, "cooler__fan", "drive output", "danger"),
    ("motor_wires_opened", ONE_PHASE, "drive__output_switch", "opens in normal stopping", "danger"),
    ("motor_wires_opened", ONE_PHASE, "drive__output_switch", "isolator alone", "caution"),
    ("mains_on_the_output", ONE_PHASE, "drive__bypass", "not interlocked", "danger"),
    ("drive_in_a_bad_place", ONE_PHASE, "drive__place", "spray or vapour", "danger"),
    ("drive_in_a_bad_place", ONE_PHASE, "drive__place", "dust", "caution"),
    ("drive_in_a_bad_place", ONE_PHASE, "drive__place", "box without vents", "caution"),
    ("drive_stored_long", ONE_PHASE, "drive__stored", "over a year", "caution"),
    ("unshielded_motor_lead", ONE_PHASE, "motor_lead__shielded", "no", "notice"),
]
"""Rule, a good plant, the entry, a bad answer, and the signal word of that answer."""


@pytest.mark.parametrize(("rule", "plant", "entry", "answer", "signal"), FACTS)
def test_a_bad_answer_fires(rule, plant, entry, answer, signal):
    assert state(rule, plant, **{entry: answer}) == ("holds", signal)
    assert states_of(plant, rule) == [("clear", RULES[rule].signal)]


@pytest.mark.parametrize(("rule", "entry"), sorted({(rule, entry) for rule, _, entry, _, _ in FACTS}))
def test_no_answer_is_asked_for(rule, entry):
    found = one(rule, ONE_PHASE, **{entry: None})
    loud = RULES[rule].signal == "danger"
    assert (found.state, found.signal) == ("not told", "warning" if loud else "notice")
    assert entry.partition("__")[2] in found.do


@pytest.mark.parametrize("answer", ["only the motor", "several motors with an overload each"])
def test_motors_with_an_overload_each_may_share_a_drive(answer):
    assert state("only_the_motor_on_the_drive", ONE_PHASE, drive__on_output=answer) == ("clear", "danger")


def test_a_danger_says_not_to_energise_and_who_decides():
    found = one("mains_on_the_output", ONE_PHASE, drive__bypass="not interlocked")
    assert found.do.startswith("Do not energise")
    assert "licensed electrician" in found.do


def test_a_pressure_switch_in_the_motors_wires_is_a_contact_there():
    assert state("motor_wires_opened", ONE_PHASE, control__contacts="motor") == ("holds", "danger")
    assert state("motor_wires_opened", ONE_PHASE, control__contacts="motor", drive__output_switch=None)[0] == "holds"


def test_the_box_hears_how_much_heat_stays_in_it():
    found = one("drive_in_a_bad_place", ONE_PHASE, drive__place="box without vents")
    kilowatts = float(found.says.partition("gives off ")[2].split()[0])
    assert 0.05 < kilowatts < 0.25  # 2 to 5 % of some 3.5 kW


def test_a_new_drive_is_not_asked_how_long_it_lay():
    assert findings_of(changed(ONE_PHASE, drive__condition="new", drive__stored=None), "drive_stored_long") == []
    new_but_old = changed(ONE_PHASE, drive__condition="new", drive__stored="over a year")
    assert states_of(new_but_old, "drive_stored_long") == [("holds", "caution")]


# Amps.


def test_a_three_phase_drive_on_one_phase():
    plate = {"drive__single_phase_output_current": None}
    assert state("single_phase_input", ONE_PHASE) == ("clear", "danger")
    assert state("single_phase_input", ONE_PHASE, **plate, drive__rated_output_current="13 A by plate") == (
        "holds", "danger")  # fmt: skip
    assert state("single_phase_input", ONE_PHASE, **plate, drive__rated_output_current="22 A by plate") == (
        "may hold", "notice")  # fmt: skip
    assert state("single_phase_input", ONE_PHASE, **plate, drive__rated_output_current="13 A") == ("holds", "notice")
    assert state("single_phase_input", ONE_PHASE, drive__single_phase_output_current="7 A by maker") == (
        "holds", "danger")  # fmt: skip
    assert state("single_phase_input", ONE_PHASE, drive__input_phases=None) == ("not told", "warning")
    assert state("single_phase_input", ONE_PHASE, **plate, drive__rated_output_current=None) == ("not told", "warning")


def test_a_drive_built_for_one_phase_is_not_derated():
    built = {"drive__input_phases": 1, "drive__single_phase_output_current": None}
    assert state("single_phase_input", ONE_PHASE, **built, drive__rated_output_current="13 A by plate")[0] == "clear"
    assert state("drive_amps", ONE_PHASE, **built, drive__rated_output_current="13 A by plate")[0] == "clear"
    assert state("drive_amps", ONE_PHASE, **built, drive__rated_output_current="7 A by plate") == ("holds", "warning")
    assert findings_of(THREE_PHASE, "single_phase_input") == []


def test_derating_says_both_amps():
    found = one("single_phase_input", ONE_PHASE, drive__single_phase_output_current="7 A by maker")
    assert "may give 7.0" in found.says
    assert found.worst_point is not None


@pytest.mark.parametrize(
    ("amps", "expected"),
    [
        ("3.5 A by plate", ("holds", "warning")),  # below the 4 A that it draws
        ("4.05 A by plate", ("holds", "caution")),  # just enough for the load, not for the plate's 8.2 A
        ("8.2 A by plate", ("clear", "warning")),
        ("6 A", ("holds", "caution")),
        (None, ("not told", "notice")),
    ],
)
def test_output_amps_of_a_drive(amps, expected):
    found = one("drive_amps", THREE_PHASE, drive__rated_output_current=amps)
    assert (found.state, found.signal) == expected


def test_input_amps_of_a_drive():
    assert state("drive_input_amps", ONE_PHASE) == ("clear", "warning")
    assert state("drive_input_amps", ONE_PHASE, drive__rated_input_current="12 A by plate") == ("holds", "warning")
    assert state("drive_input_amps", ONE_PHASE, drive__rated_input_current="12 A") == ("holds", "notice")
    assert state("drive_input_amps", ONE_PHASE, drive__rated_input_current="16.5 A by plate")[0] == "may hold"
    assert findings_of(changed(ONE_PHASE, drive__rated_input_current=None), "drive_input_amps") == []


@pytest.mark.parametrize(
    ("kind", "signal"),
    [("240 corner-grounded delta", "warning"), ("240 high-leg delta", "caution"), ("rotary converter", "caution")],
)
def test_a_filter_to_earth_on_an_uneven_supply(kind, signal):
    uneven = {"supply__kind": kind}
    assert state("drive_filter_to_earth", ONE_PHASE, **uneven, drive__filter_connected="yes") == ("holds", signal)
    assert state("drive_filter_to_earth", ONE_PHASE, **uneven, drive__filter_connected="no")[0] == "clear"
    assert state("drive_filter_to_earth", ONE_PHASE, **uneven) == ("not told", "notice")
    assert findings_of(changed(ONE_PHASE, drive__filter_connected="yes"), "drive_filter_to_earth") == []
