"""Faults by what is seen or heard: only what a plant can have, with its own readings."""

import re

import pytest
from checklist_plants import CANOES, KITES, ON_THE_LINE, SAILS, SOME, plant, told
from pressure_plants import US

from airfettle.findings.checklists.faults import SAFE, entries, fault_tree, short_title
from airfettle.findings.checklists.first_start import first_start
from airfettle.findings.checklists.words import between


def tree_of(this):
    return {symptom.name: symptom for symptom in fault_tree(this)}


def text_of(tree):
    return " ".join(" ".join((t.do, t.expect, t.cause, t.remedy)) for s in tree.values() for t in s.tests)


@pytest.mark.parametrize("path", SOME)
def test_enough_symptoms_each_with_tests_and_made_safe_first(path):
    tree = tree_of(plant(path))
    assert len(tree) >= 14
    for symptom in tree.values():
        assert symptom.tests
        assert symptom.safe in SAFE.values()
        for test in symptom.tests:
            assert all((test.do, test.expect, test.cause, test.remedy))


@pytest.mark.parametrize("path", SOME)
def test_a_step_points_only_to_faults_this_plant_can_have(path):
    this = plant(path)
    tree = tree_of(this)
    for step in first_start(this):
        assert not step.fault or step.fault in tree, (step.do, step.fault)


def test_every_symptom_that_a_remedy_names_is_there():
    titles = {short_title(name) for name in entries()} | {entry["title"] for entry in entries().values()}
    named = [name for entry in entries().values() for test in entry["tests"]
             for field in ("cause", "remedy") for name in re.findall(r"see '([^']+)'", test[field])]  # fmt: skip
    assert named
    assert not [name for name in named if name not in titles and not any(t.startswith(name) for t in titles)]


def test_no_word_of_an_unloader_where_there_is_none():
    without = tree_of(told(US.replace("maximum_speed = ", 'unloader = "none"\nmaximum_speed = ')))
    loaded = [t.cause for t in without["starts_loaded"].tests]
    assert any("this pump has none" in cause for cause in loaded)
    assert not any("unloader does not open" in cause for cause in loaded)
    with_one = tree_of(told(US.replace("maximum_speed = ", 'unloader = "solenoid valve"\nmaximum_speed = ')))
    assert not any("this pump has none" in t.cause for t in with_one["starts_loaded"].tests)
    assert any("solenoid" in t.do for t in with_one["starts_loaded"].tests)


@pytest.mark.parametrize(
    ("path", "there", "absent"),
    [
        (CANOES, {"drive_trips", "drive_low_volts", "vibrates", "sags"},
         {"overload_trips", "one_pump_idle", "ground_fault_trips"}),
        (ON_THE_LINE, {"overload_trips", "breaker_trips"}, {"drive_trips", "drive_low_volts", "vibrates"}),
        (SAILS, {"one_pump_idle", "overload_trips", "drive_trips"}, set()),
        (KITES, {"does_not_start", "ground_fault_trips", "water"}, {"one_pump_idle"}),
    ],
)  # fmt: skip
def test_only_what_the_plants_parts_can_do(path, there, absent):
    names = set(tree_of(plant(path)))
    assert there <= names
    assert not absent & names


def test_oil_belts_and_receivers_only_where_they_are():
    bare = told("receiver = 'none'\nbelt = 'none'\npump = { lubrication = 'oil-free', size_class = 'direct' }\n"
                "motor = { power = '1 hp', phases = 1 }\n[drive]\nknown = 'told'\n")  # fmt: skip
    names = set(tree_of(bare))
    assert not {"oil_milky", "belt_squeals", "slow_pump_up", "short_cycling", "no_drain"} & names
    assert "starts_loaded" in names
    assert any("start capacitor" in t.do for t in tree_of(bare)["hums"].tests)


def test_readings_are_the_plants_own():
    this = plant(CANOES)
    tree = tree_of(this)
    amps = this.trials.at("motor_current")
    shown = between(amps.band, kind="current", units="US")
    assert any(t.expect == shown for t in tree["drive_trips"].tests)
    hot = this.trials.at("discharge_temperature")
    assert between(hot.band, kind="temperature", units="US") in tree["too_hot"].tests[0].expect
    assert "150 psi" in text_of(tree)
    assert "175 psi" in " ".join(t.expect for t in tree["relief_lifts"].tests)


def test_a_test_of_drives_shows_the_trains_on_drives():
    trips = tree_of(plant(SAILS))["drive_trips"]
    amps = next(t for t in trips.tests if t.do.startswith("Clamp meter"))
    assert "winter" in amps.expect
    assert "old one" not in amps.expect
    overload = next(t for t in tree_of(plant(SAILS))["overload_trips"].tests if t.do.startswith("Clamp meter"))
    assert "old one" in overload.expect
    assert "winter" not in overload.expect


def test_two_stages_have_a_gauge_between_them_and_one_has_not():
    assert "between the stages" in text_of(tree_of(plant(CANOES)))
    assert "between the stages" not in text_of(tree_of(told("pump.stages = 1\n")))


def test_nothing_is_cured_by_more_pressure_or_a_larger_fuse():
    for entry in entries().values():
        for test in entry["tests"]:
            assert not re.search(r"(raise|increase) the (cut-out|setting)|fit a larger (fuse|breaker)", test["remedy"])
    assert any("never a larger breaker" in t["remedy"] for t in entries()["breaker_trips"]["tests"])
    assert any("never turn its spring" in t["remedy"] for t in entries()["relief_lifts"]["tests"])
