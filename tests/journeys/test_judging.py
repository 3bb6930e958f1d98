"""Judging neither cries wolf nor misses: plants told in full and built well, the same with one mistake each, and every
question answered in every way.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import get_args

import pytest

from airfettle.app.judge import judge_file
from airfettle.app.load import believed
from airfettle.cli import run
from airfettle.findings.finding import Finding
from airfettle.findings.judge import judge
from airfettle.findings.register import RULES
from airfettle.plant.part import Model, fact_of
from airfettle.studies.reach import reach

ROOT = Path(__file__).parents[2]
PLANTS = ROOT / "tests/plants"
MISTAKE_FILES = sorted((PLANTS / "mistakes").glob("*.toml"))

WELL_BUILT = {
    "harpsichords": {"dryer_after_receiver", "inspection_law", "starts_by_itself"},
    "harpsichords_ring": {"dryer_after_receiver", "inspection_law", "starts_by_itself"},
    "book_bindery": {"inspection_law", "starts_by_itself", "water_in_pipe"},  # no dryer: the air cools in the pipe
    "boatyard_paint_shed": {"dryer_after_receiver", "inspection_law", "starts_by_itself"},
    "bell_rope_loft": {"inspection_law", "starts_by_itself", "water_in_pipe"},
    "fiddle_maker": {"inspection_law", "no_cooler", "starts_by_itself", "water_in_pipe"},
}
"""Plants told in full, and the notices that each still gets: what good to know there is."""

DANGERS = {
    "bypass_without_interlock": "mains_on_the_output",
    "breaker_too_large": "breaker_too_large",
    "breathing_air": "breathing_air",
    "contactor_behind_the_drive": "motor_wires_opened",
    "cooler_rated_too_low": "part_pressure_rating",
    "drive_by_horsepower": "single_phase_input",
    "drive_in_the_spray": "drive_in_a_bad_place",
    "no_earth": "protective_earth",
    "no_interstage_relief": "interstage_relief",
    "no_plate": "receiver_plate",
    "old_relief_valve_new_pump": "relief_capacity",
    "overspeed_at_75_hz": "pump_overspeed",
    "pump_side_not_relieved": "pump_side_relief",
    "pvc_drop": "pvc_pipe",
    "pvc_pipe": "pvc_pipe",
    "relief_above_plate": "relief_setting",
    "relief_valve_tied": "relief_tampered",
    "rusty_receiver": "receiver_rust",
    "single_phase_motor_on_a_drive": "single_phase_motor_on_a_drive",
    "soft_soldered_hot_line": "hot_line_material",
    "stop_valve_under_relief": "valve_before_relief",
    "strained_feet": "receiver_feet",
    "switch_opens_the_motor": "motor_wires_opened",
    "switch_too_small": "pressure_switch_overloaded",
    "tested_with_air": "gas_proof_test",
    "thin_motor_lead": "motor_lead_wire",
    "vapour_at_the_intake": "intake_air",
    "welded_receiver": "receiver_altered",
    "wire_by_motor_amps": "supply_wire",
}
"""Mistakes that are one danger and nothing else above a notice."""
WARNINGS = {
    "big_sheave_turned_down": "motor_overloaded",
    "carbon_first": "treatment_order",
    "corner_grounded": "drive_filter_to_earth",
    "drains_to_soil": "condensate",
    "drive_input_too_small": "drive_input_amps",
    "drive_too_small": "drive_amps",
    "felted_motor": "winding_hot_in_use",
    "frozen_drains": "freezing",
    "high_leg_load": "high_leg_load",
    "hot_pump": "discharge_temperature",
    "light_flywheel": "flywheel_too_light",
    "listed_plastic_too_warm": "pipe_rating",
    "lost_speed_runs_on": "lost_speed_signal",
    "minimum_hertz_zero": "minimum_frequency_not_set",
    "motor_of_another_country": "mains_frequency",
    "no_guard": "belt_guard_missing",
    "no_unloader": "loaded_start",
    "nobody_measured_the_wall": "wall_not_measured",
    "open_blow_gun": "blow_gun",
    "pex_pipe": "pipe_not_for_air",
    "pex_under_relief": "pipe_rating",
    "pipe_under_relief": "pipe_rating",
    "protection_at_the_drives_amps": "motor_overload_setting",
    "restarts_after_stop": "restarts_by_itself",
    "slow_hot_motor": "motor_fan_too_slow",
    "speed_unloader_on_a_drive": "unloader_open_at_low_speed",
    "static_converter": "static_converter",
    "switched_supply": "drive_input_switched",
    "thin_wall": "thin_wall",
    "three_phase_motor_at_home": "three_phase_motor_on_one_phase",
    "transducer_alone": "transducer_alone",
    "turned_receiver": "receiver_drain",
    "volts_do_not_fit": "motor_short_of_volts",
}
CAUTIONS = {
    "bench_beside_the_pump": "sound_dose",
    "bottle_before_the_check_valve": "restarts_before_vented",
    "breaker_too_small": "breaker_trips",
    "cold_pump": "pump_too_cold",
    "desiccant_for_a_larger_plant": "purge_takes_much",
    "dryer_by_the_pump": "dryer_overloaded_in_bursts",
    "drop_from_below": "branch_from_below",
    "hardly_used": "pump_stays_cold",
    "idles_all_day": "idles_too_long",
    "leaks": "leaks",
    "long_lead_on_480_volts": "winding_peaks",
    "motor_too_close": "belt_wraps_too_little",
    "narrow_riser": "pipe_speed",
    "no_separator": "no_separator",
    "plastic_bowl": "plastic_bowl",
    "power_contacts_on_a_signal": "power_contacts_on_a_signal",
    "pump_for_short_work": "runs_too_long",
    "relief_close_to_cut_out": "relief_near_cut_out",
    "run_through_the_porch": "water_in_pipe",
    "sagging_ring": "pipe_not_drained",
    "sand_blast_wet_air": "water_in_pipe",
    "sensitive_ground_fault": "ground_fault_device",
    "separator_too_large": "separator_starved",
    "separator_too_small": "separator_flooded",
    "separator_without_drain": "no_drain",
    "shelf_drive": "drive_stored_long",
    "thin_hose": "pipe_drop",
    "tool_too_large": "air_runs_short",
    "uneven_legs": "legs_unbalanced",
    "wrong_way_round": "turning_direction",
}
TOGETHER = {
    # both: the cooler's seals, and no separator is told behind the new cooler
    "cooler_too_hot": {"part_temperature_rating": "danger", "no_separator": "caution"},
    "cooler_too_small": {"cooler_outlet_hot": "warning", "cooler_approach": "caution"},
    "dirty_cooler": {"cooler_outlet_hot": "warning", "cooler_approach": "caution"},
    "hot_air_to_the_dryer": {"dryer_inlet_hot": "warning", "cooler_approach": "caution"},
    # too small, it dries less, and chokes the flow
    "dryer_too_small": {"dryer_overloaded": "warning", "water_in_pipe": "caution", "treatment_drop": "caution"},
    # told twice, at the drive and at the fan; and what it does to the cooling
    "fan_on_the_drive": {
        "only_the_motor_on_the_drive": "danger", "cooler_fan_on_the_drive": "danger", "fan_stops_with_motor": "warning",
    },
    # the plate now says half the table amps
    "joined_for_high_volts": {
        "motor_short_of_volts": "warning", "motor_overloaded": "warning", "motor_pulls_out": "warning",
        "breaker_too_large": "warning",
    },
    # in delta the same motor takes 1.73 times the amps
    "joined_for_low_volts": {"motor_joined_for_lower_volts": "danger", "drive_amps": "warning"},
    # so much lost that the sander works worse for it
    "far_on_a_thin_hose": {"tool_short_of_pressure": "caution", "pipe_drop": "caution"},
    "drain_by_hand": {"drain_forgotten": "caution", "drain_by_hand": "notice"},
    # at the worst demand there may be, and at the one there is
    "small_receiver": {"too_many_starts": "caution", "starts_too_often": "caution"},
    "long_thin_wires": {"low_volts": "warning", "volts_lost_in_the_wires": "notice"},
    "counting_on_service_factor": {"motor_overloaded": "warning", "service_factor_on_a_drive": "notice"},
    # the valve that is gone relieved the pump's outlet too
    "no_relief_valve": {"relief_missing": "danger", "pump_side_relief": "warning"},
    "stop_valve_in_the_line": {"stop_valve_before_receiver": "danger", "pump_side_relief": "warning"},
    # a sheave that is too small for the motor turns the pump too slowly, and has too little hold on the belt
    "small_sheave": {"motor_sheave_too_small": "caution", "pump_below_floor": "warning", "too_few_belts": "caution"},
    "turned_too_slowly": {"pump_below_floor": "warning", "flywheel_too_light": "caution"},
    # twice the speed: of pump, pistons, rims, air and amps
    "two_pole_motor": {
        "pump_overspeed": "danger", "motor_lead_wire": "danger", "rim_speed": "warning", "motor_overloaded": "warning",
        "piston_speed": "caution", "cooler_approach": "caution", "too_many_starts": "caution",
    },
}  # fmt: skip
"""Mistakes with consequences that are truly of the same mistake."""
NOTICES = {
    "amps_misread": {"plate_amps_do_not_fit", "statements_contradict"},
    "bore_misread": {"displacement_told_twice"},
    "box_figure": {"delivery_over_displacement", "power_under_isothermal", "statements_contradict"},
    "cooler_without_fan": {"cooler_without_own_fan"},
    "delivery_too_good": {"filling_out_of_range", "statements_contradict"},
    "no_room_to_grow": {"pipe_expands"},
    "pauses_not_timed": {"use_without_pauses"},
    "peak_horsepower": {"peak_horsepower", "statements_contradict"},
    "quiet_mornings_without_a_drive": {"quiet_hours_unmet"},
    "ratio_misread": {"ratio_against_sheaves"},
    "tape_only": {"pump_speed_not_measured"},
    "unshielded_lead": {"unshielded_motor_lead"},
}
"""Mistakes that are no more than a notice."""
IN_TIME = {
    "bench_beside_the_pump", "bottle_before_the_check_valve", "drain_by_hand", "dryer_by_the_pump", "felted_motor",
    "hardly_used", "idles_all_day", "pauses_not_timed", "pump_for_short_work", "quiet_mornings_without_a_drive",
    "small_receiver", "tool_too_large",
}  # fmt: skip
"""Mistakes that only show once the plant is run through its days."""
MISTAKES: dict[str, dict[str, str]] = {
    **{name: {rule: "danger"} for name, rule in DANGERS.items()},
    **{name: {rule: "warning"} for name, rule in WARNINGS.items()},
    **{name: {rule: "caution"} for name, rule in CAUTIONS.items()},
    **TOGETHER,
    **{name: dict.fromkeys(rules, "notice") for name, rules in NOTICES.items()},
}
"""Every file of tests/plants/mistakes, with what it raises: rule -> signal word, all of which hold."""


def well_built(name: str) -> Path:
    return PLANTS / f"well_built/{name}.toml"


def mistake(name: str) -> Path:
    return PLANTS / f"mistakes/{name}.toml"


def louder(findings: tuple[Finding, ...]) -> set[tuple[str, str, str]]:
    """Findings above a notice: rule, signal and state."""
    return {(f.rule, f.signal, f.state) for f in findings if f.signal != "notice"}


# Well built.


def test_every_plant_and_every_mistake_is_listed():
    assert {file.stem for file in (PLANTS / "well_built").glob("*.toml")} == set(WELL_BUILT)
    assert {file.stem for file in MISTAKE_FILES} == set(MISTAKES)


@pytest.mark.parametrize("name", WELL_BUILT)
def test_a_plant_told_in_full_and_well_built_raises_few_notices_and_nothing_louder(name):
    judged = judge_file(well_built(name))
    assert {(f.rule, f.signal, f.state) for f in judged.findings} == {(r, "notice", "holds") for r in WELL_BUILT[name]}
    assert not judged.danger(strict=True)


@pytest.mark.parametrize("name", WELL_BUILT)
def test_a_well_built_plant_run_through_its_days_raises_nothing_more(name):
    judged = judge_file(well_built(name), through_days=True)
    assert judged.loaded.told.use
    assert louder(judged.findings) == set()
    assert {f.rule for f in judged.findings if f.state != "may hold"} == WELL_BUILT[name]


@dataclass(frozen=True)
class Asked:
    """A question of a plant: where its section stands, its name, its answers, the answer given, whether it is grave."""

    place: tuple[str | int, ...]
    name: str
    answers: tuple[str, ...]
    answer: str
    grave: bool

    @property
    def key(self) -> str:
        return f"{self.place[0]}.{self.name}"


def questions(model: Model, place: tuple[str | int, ...] = ()) -> Iterator[Asked]:
    """Every question of a plant."""
    for name, info in type(model).model_fields.items():
        value, fact = getattr(model, name), fact_of(info)
        if fact:
            yield Asked(place, name, get_args(info.annotation), value, fact.grave)
        elif isinstance(value, Model):
            yield from questions(value, (*place, name))
        elif isinstance(value, tuple):
            for at, item in enumerate(value):
                if isinstance(item, Model):
                    yield from questions(item, (*place, name, at))


def answered(model: Model, asked: Asked, answer: str) -> Model:
    """A plant with one question answered anew."""
    return _set(model, (*asked.place, asked.name), answer)


def _set(model: Model, place: tuple[str | int, ...], answer: str) -> Model:
    key, *rest = place
    value = getattr(model, str(key))
    if not rest:
        new = answer
    elif isinstance(value, tuple):
        at = int(rest[0])
        new = (*value[:at], _set(value[at], tuple(rest[1:]), answer), *value[at + 1 :])
    else:
        new = _set(value, tuple(rest), answer)
    return model.model_copy(update={str(key): new})


WITHOUT_A_DRIVE = {"pump.reverse_disabled"}
"""Questions about a drive's settings that stand with another part."""


@pytest.fixture(scope="module")
def reaches():
    """Every well-built plant at its points, few rows."""
    return {name: reach(believed(well_built(name), rows=64).draw) for name in WELL_BUILT}


def test_the_well_built_plants_answer_every_question(reaches):
    for name, there in reaches.items():
        direct = there.draw.plant.trains[0].drive.absent
        spared = WITHOUT_A_DRIVE if direct else set()
        asked = [q for q in questions(there.draw.plant) if not _absent(there.draw.plant, q)]
        assert {q.key for q in asked if q.answer == "unknown"} - spared == set(), name
        assert len(asked) > 35


def _absent(plant: Model, asked: Asked) -> bool:
    part = getattr(plant, str(asked.place[0]))
    return bool(getattr(part, "absent", False))


# Mistakes.


@pytest.mark.parametrize("file", MISTAKE_FILES, ids=lambda file: file.stem)
def test_one_mistake_raises_what_it_is_and_nothing_unrelated(file):
    expected = MISTAKES[file.stem]
    found = judge_file(file, rows=256, through_days=file.stem in IN_TIME).findings
    assert louder(found) == {(rule, signal, "holds") for rule, signal in expected.items() if signal != "notice"}
    holding = {(f.rule, f.signal) for f in found if f.state == "holds"}
    assert set(expected.items()) <= holding
    base = file.read_text(encoding="utf-8").partition('based_on = "../well_built/')[2].partition('.toml"')[0]
    assert holding - set(expected.items()) <= {(rule, "notice") for rule in WELL_BUILT[base]}


def not_told(folder: Path, name: str, section: str, entry: str) -> Path:
    """A mistake with the entry that decides it left open."""
    file = folder / "not_told.toml"
    based_on = f'[plant]\nbased_on = "{mistake(name).as_posix()}"'
    file.write_text(f'{based_on}\n[{section}]\n{entry} = "unknown"\n', encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("name", "section", "entry", "rule"),
    [
        ("welded_receiver", "receiver", "altered", "receiver_altered"),
        ("contactor_behind_the_drive", "drive", "output_switch", "motor_wires_opened"),
        ("vapour_at_the_intake", "intake", "near", "intake_air"),
        ("pvc_pipe", "shop_pipe", "material", "pvc_pipe"),
        ("no_earth", "supply", "protective_earth", "protective_earth"),
        ("soft_soldered_hot_line", "hot_line", "material", "hot_line_material"),
        ("cooler_rated_too_low", "cooler", "pressure_rating", "part_pressure_rating"),
    ],
)
def test_what_would_be_a_danger_is_a_warning_to_look_where_nobody_told(name, section, entry, rule, tmp_path):
    file = not_told(tmp_path, name, section, entry)
    judged = judge_file(file, rows=256)
    assert louder(judged.findings) == {(rule, "warning", "not told")}
    finding = next(f for f in judged.findings if f.rule == rule)
    assert entry in finding.do
    assert finding.rule_signal == "danger"
    assert (judged.danger(), judged.danger(strict=True)) == (False, True)


# Every question answered in every way.


@dataclass(frozen=True)
class Flip:
    """One question of a well-built plant answered anew, and the findings that were not there before."""

    plant: str
    asked: Asked
    answer: str
    new: tuple[Finding, ...]


CONDITIONAL = {
    "control.independent_pressure_stop": "transducer_alone",
    "drive.filter_connected": "corner_grounded",
    "hot_line.interstage_relief": "no_interstage_relief",
    "hot_line.stop_valve": "stop_valve_in_the_line",
    "shop_pipe.breathing_proof": "breathing_air",
    "shop_pipe.listed_for_air": "pex_pipe",
    "supply.high_leg_load": "high_leg_load",
}
"""Questions that only matter in a plant of some sort, with a mistake of that sort."""
FOR_OTHERS = {
    "belt.wheel_may_change", "control.switch_poles", "control.head_thermostat", "control.oil_switch",
    "cooler.fan_started_by",
}  # fmt: skip
"""Questions that other answers than findings hang on: the sheave search, and the wiring as it is drawn."""


@pytest.fixture(scope="module")
def flips(reaches):
    """Every question answered in every other way, one at a time: once with a drive and once without."""
    found, done = [], set()
    for name, there in reaches.items():
        direct = there.draw.plant.trains[0].drive.absent
        before = _named(judge(there))
        for asked in questions(there.draw.plant):
            for answer in asked.answers:
                key = (asked.key, asked.place, answer, direct)
                if answer != asked.answer and key not in done and not _absent(there.draw.plant, asked):
                    done.add(key)
                    found.append(Flip(name, asked, answer, _new(there, asked, answer, before)))
    return found


def _named(findings: tuple[Finding, ...]) -> set[tuple[str, str, str]]:
    return {(f.name, f.signal, f.state) for f in findings}


def _with(there, asked, answer):
    """A plant at its points with one question answered anew; an answer moves no number."""
    return replace(there, draw=replace(there.draw, plant=answered(there.draw.plant, asked, answer)))


def _new(there, asked, answer, before):
    return tuple(f for f in judge(_with(there, asked, answer)) if (f.name, f.signal, f.state) not in before)


def test_an_answer_given_anew_is_judged_as_one_in_the_file(reaches):
    asked = next(q for q in questions(reaches["boatyard_paint_shed"].draw.plant) if q.key == "drive.place")
    new = _new(reaches["boatyard_paint_shed"], asked, "spray or vapour", set())
    assert louder(new) == louder(judge_file(mistake("drive_in_the_spray"), rows=64).findings)


def test_every_question_is_used_by_some_rule(flips):
    speaks = {flip.asked.key for flip in flips if flip.new}
    for key, name in CONDITIONAL.items():
        there = reach(believed(mistake(name), rows=64).draw)
        asked = next(q for q in questions(there.draw.plant) if q.key == key)
        before = _named(judge(there))
        assert any(_named(judge(_with(there, asked, answer))) != before for answer in asked.answers), key
    assert {flip.asked.key for flip in flips} - speaks == set(CONDITIONAL) | FOR_OTHERS


def test_every_rule_fires_by_an_answer_or_by_a_mistake(flips):
    by_answer = {f.rule for flip in flips for f in flip.new if f.state == "holds"}
    by_mistake = {rule for rules in MISTAKES.values() for rule in rules}
    always = {rule for rules in WELL_BUILT.values() for rule in rules}
    assert set(RULES) - by_answer - by_mistake - always == {"readings_hard_to_match"}


def test_few_rows_that_agree_are_said():
    loaded = believed(well_built("fiddle_maker"), rows=1024)
    there = reach(loaded.draw)
    few = replace(loaded.belief, effective=50.0)
    for belief, state in ((loaded.belief, "clear"), (few, "holds")):
        found = [f for f in judge(there, belief=belief, clear=True) if f.rule == "readings_hard_to_match"]
        assert [(f.state, f.signal) for f in found] == [(state, "notice")]


SETTLED = {
    "pump.unloader",  # grave only where a transducer alone stops the plant
    "receiver.made_for_it",  # nobody turned the tank
    "receiver.plate_readable",  # somebody read the plate
}
"""Grave questions that something else settles in every well-built plant."""


def test_a_question_left_open_is_a_warning_only_where_it_is_grave(flips):
    open_ones = [flip for flip in flips if flip.answer == "unknown"]
    assert len(open_ones) > 60
    for flip in open_ones:
        assert {f.state for f in flip.new} <= {"not told"}, flip
        assert louder(flip.new) == {(f.rule, "warning", "not told") for f in flip.new if f.rule_signal == "danger"}
        if louder(flip.new):
            assert flip.asked.grave, f"{flip.asked.key} is not grave, and left open it hides a danger"
    warned = {flip.asked.key for flip in open_ones if louder(flip.new)}
    grave = {flip.asked.key for flip in open_ones if flip.asked.grave}
    assert grave - warned - set(CONDITIONAL) == SETTLED


def test_one_answer_raises_one_thing(flips):
    for flip in flips:
        loud = {f.rule for f in flip.new if f.signal != "notice"}
        if (flip.asked.key, flip.answer) == ("shop_pipe.finest_use", "breathing"):
            loud -= {"water_in_pipe"}  # a mask wants dry air too
        assert len(loud) <= 1, (flip.plant, flip.asked.key, flip.answer, loud)


# Exit codes.


@pytest.mark.parametrize("name", WELL_BUILT)
def test_a_well_built_plant_leaves_with_0_strict_or_not(name, capsys):
    assert run(["findings", str(well_built(name)), "--rows", "64", "--strict"]) == 0
    if name == "boatyard_paint_shed":
        for command in ("findings", "rate", "window"):
            assert run([command, str(well_built(name)), "--rows", "64"]) == 0
    assert capsys.readouterr().err == ""


def test_a_danger_that_nobody_told_of_leaves_with_1_only_where_it_is_strict(tmp_path, capsys):
    file = str(not_told(tmp_path, "welded_receiver", "receiver", "altered"))
    assert run(["findings", file, "--rows", "64"]) == 0
    assert run(["rate", file, "--rows", "64"]) == 0
    assert run(["findings", file, "--rows", "64", "--strict"]) == 1
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("command", [["findings"], ["findings", "--json"], ["rate"], ["rate", "--json"]], ids=" ".join)
@pytest.mark.parametrize("name", ["pvc_pipe", "overspeed_at_75_hz"])
def test_a_danger_leaves_with_1(command, name, capsys):
    assert run([command[0], str(mistake(name)), *command[1:], "--rows", "64"]) == 1
    assert ("DANGER" in capsys.readouterr().err) == (command == ["rate"])


@pytest.mark.parametrize("name", ["no_guard", "leaks", "unshielded_lead"])
def test_less_than_a_danger_leaves_with_0(name, capsys):
    assert run(["findings", str(mistake(name)), "--rows", "64", "--strict"]) == 0
    assert capsys.readouterr().out


@pytest.mark.parametrize("command", ["findings", "rate"])
def test_a_file_that_cannot_be_used_leaves_with_2(command, tmp_path, capsys):
    file = tmp_path / "bad.toml"
    file.write_text('[receiver]\naltered = "perhaps"\n', encoding="utf-8")
    assert run([command, str(file)]) == 2
    assert run([command, str(tmp_path / "nowhere.toml")]) == 2
    assert run([command, str(well_built("fiddle_maker")), "--rows", "100"]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "altered" in captured.err


def test_the_demo_leaves_with_0_and_has_no_danger(capsys):
    assert run(["demo"]) == 0
    captured = capsys.readouterr()
    assert "DANGER" not in captured.out + captured.err
    assert "WARNING" in captured.out


# The examples.


def test_the_careful_examples_have_no_danger_and_something_to_teach():
    canoe, glass = (judge_file(ROOT / f"examples/{name}.toml") for name in ("canoe_works", "glass_studio"))
    # its lowest speed lies under the pump's; the old switch works the drive's input; nobody looked inside the tank
    assert louder(canoe.findings) == {
        ("pump_below_floor", "warning", "holds"), ("power_contacts_on_a_signal", "caution", "holds"),
        ("receiver_rust", "warning", "not told"),
    }  # fmt: skip
    assert 0 < len([f for f in canoe.findings if f.state == "not told"]) <= 6
    assert louder(glass.findings) == {("discharge_temperature", "caution", "holds")}
    assert "not told" not in {f.state for f in glass.findings}


def test_the_example_with_mistakes_on_purpose_has_them_found():
    found = judge_file(ROOT / "examples/cycle_frames.toml").findings
    assert {f.rule for f in found if f.signal == "danger"} == {
        "cooler_fan_on_the_drive", "hot_line_material", "motor_wires_opened", "only_the_motor_on_the_drive",
        "part_pressure_rating", "pvc_pipe", "receiver_altered",
    }  # fmt: skip
    assert len([f for f in found if f.state == "not told" and f.rule_signal == "danger"]) > 10
