"""Rules about pump, starting, motor and belt: each fires, stays silent, and asks where nothing is told."""

import numpy as np
import pytest
from plant_cases import findings_of, plant_of
from told_plants import SI, US, changed

from airfettle.findings import belt_drive, drive_train, motor_load, starting
from airfettle.findings.case import Case
from airfettle.findings.judge import judge
from airfettle.findings.register import RULES
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach

MODULES = {module.__name__ for module in (belt_drive, drive_train, motor_load, starting)}
MINE = {name for name, rule in RULES.items() if rule.judge.__module__ in MODULES}
BY_SPEED = "opens by speed (centrifugal)"


def one(rule, plant=US, **lines):
    """What a rule says of a told plant with lines changed."""
    found = findings_of(changed(plant, **lines), rule)
    assert len(found) == 1
    return found[0]


def state(rule, plant=US, **lines):
    found = one(rule, plant, **lines)
    return found.state, found.signal


@pytest.mark.parametrize("plant", [US, SI])
def test_a_good_plant_hears_nothing_above_a_notice(plant):
    found = [f for f in judge(reach(draw(plant_of(plant)))) if f.rule in MINE]
    assert [(f.rule, f.signal) for f in found if f.signal != "notice"] == []
    assert {f.rule for f in found} <= {"pump_too_cold"}  # the one number here that nobody can tell


def test_a_plant_on_the_line_hears_nothing_of_drives():
    found = {f.rule for f in judge(reach(draw(plant_of(SI), rows=64)), clear=True)}
    drives = {"reverse_not_disabled", "unloader_shut_after_fault", "motor_fan_too_slow"}
    assert not found & drives
    assert "too_many_starts" in found


def test_a_pump_on_the_motors_shaft_hears_nothing_of_belts():
    plant = 'belt = "none"\nmotor.power = "1.5 kW by plate"\npump.size_class = "direct"\n'
    found = {f.rule for f in judge(reach(draw(plant_of(plant), rows=64)), clear=True)}
    assert not {name for name in found & MINE if RULES[name].judge.__module__ == belt_drive.__name__}


def test_every_train_is_looked_at():
    own = 'motor.power = "3 kW by plate"\npump.maximum_speed = "{} rpm by plate"\nbelt.ratio = "2.0"\n'
    plant = '[[train]]\nname = "old"\n' + own.format(900) + '[[train]]\nname = "new"\n' + own.format(400)
    found = {f.parts[0]: (f.state, f.signal) for f in findings_of(plant, "pump_overspeed")}
    assert found == {"train.old.pump": ("clear", "danger"), "train.new.pump": ("holds", "danger")}


# Speeds of the pump.


@pytest.mark.parametrize(
    ("told", "ratio", "expected"),
    [
        ("700 rpm by plate", None, ("holds", "danger")),  # it turns at 723 rpm
        ("700 rpm", None, ("holds", "notice")),  # a told number: 630 to 770
        ("600 rpm", None, ("holds", "warning")),  # above even 660
        ("730 +/- 20 rpm by maker", None, ("may hold", "notice")),
        (None, "1.6", ("holds", "warning")),  # 1080 rpm, above all of 600 to 1000
        (None, "2.0", ("holds", "notice")),  # 870 rpm, inside it
        ("900 rpm by plate", None, ("clear", "danger")),
    ],
)
def test_overspeed_is_as_loud_as_the_highest_speed_is_known(told, ratio, expected):
    more = {"belt__ratio": ratio} if ratio else {}
    assert state("pump_overspeed", pump__maximum_speed=told, **more) == expected


def test_overspeed_is_judged_with_the_belt_at_the_rim_of_its_grooves():
    tape = {"belt__ratio": None, "belt__motor_sheave": "6.75 in by caliper"}
    assert state("pump_overspeed", pump__maximum_speed="722 rpm by plate", **tape)[0] == "holds"
    words = one("pump_speed_not_measured", **tape).says
    turns = [int(part.split()[0]) for part in (words.partition("turns ")[2], words.partition("up to ")[2])]
    assert turns[0] < 722 < turns[1]


def test_overspeed_names_a_frequency_that_is_slow_enough():
    do = one("pump_overspeed", pump__maximum_speed="700 rpm by plate").do
    hertz = do.partition("highest frequency to ")[2].split()[0]
    assert do.startswith("Do not energise")
    limits = {"drive__maximum_frequency": f"{hertz} Hz", "control__full": f"{hertz} Hz"}
    assert state("pump_overspeed", pump__maximum_speed="700 rpm by plate", **limits) == ("clear", "danger")


def test_floor_by_maker_by_memory_and_by_class():
    assert state("pump_below_floor", pump__minimum_speed="520 rpm by maker") == ("holds", "warning")
    assert state("pump_below_floor", pump__minimum_speed="520 rpm") == ("holds", "notice")
    assert state("pump_below_floor", pump__minimum_speed=None) == ("may hold", "notice")
    assert state("pump_below_floor") == ("clear", "warning")
    assert state("pump_below_floor", SI, pump__minimum_speed="600 rpm by maker") == ("holds", "warning")


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ({"pump__minimum_speed": "520 rpm by maker"}, "its lowest speed as told (520 rpm by maker)"),
        ({"pump__lowest_share": "0.9"}, "its usual share of the highest speed, 0.9 of 900 rpm by plate"),
        ({"pump__lowest_share": "0.1", "pump__lowest_anyhow": "500 rpm"}, "what splash oiling needs, 500 rpm"),
        (
            {"pump__lowest_share": "0.1", "pump__lowest_anyhow": "500 rpm", "pump__lubrication": "oil-free"},
            "what any such pump needs, 500 rpm",
        ),
    ],
)
def test_floor_says_which_limit_is_the_largest(lines, words):
    lines = {"pump__minimum_speed": None} | lines
    assert one("pump_below_floor", **lines).says.endswith(f"set by {words}.")


def test_floor_names_a_frequency_that_is_fast_enough():
    do = one("pump_below_floor", pump__minimum_speed="520 rpm by maker").do
    hertz = do.partition("lowest frequency to ")[2].split()[0]
    limits = {"drive__minimum_frequency": f"{hertz} Hz", "control__low": f"{hertz} Hz"}
    assert state("pump_below_floor", pump__minimum_speed="520 rpm by maker", **limits)[0] == "clear"


def test_piston_speed():
    fast = {"pump__maximum_speed": "2000 rpm by plate"}
    assert state("piston_speed", belt__ratio="0.9", **fast) == ("holds", "warning")
    assert state("piston_speed", belt__ratio="1.2", **fast) == ("holds", "caution")
    assert state("piston_speed", belt__ratio="1.4", **fast) == ("may hold", "notice")
    assert state("piston_speed")[0] == "clear"
    unknown = {"pump__first_stage": None, "pump__second_stage": None, "pump__stages": 2}
    assert state("piston_speed", belt__ratio="0.9", **fast, **unknown) == ("holds", "notice")
    told = '{ cylinders = 1, bore = "4.6 in", stroke = "3.5 in" }'  # from memory: no more than a caution
    assert state("piston_speed", belt__ratio="0.9", pump__first_stage=told, **fast) == ("holds", "caution")


def test_flywheel():
    wheel = "pump__flywheel_inertia"
    assert state("flywheel_too_light", **{wheel: "2 lb ft2 by maker"}) == ("holds", "warning")
    assert state("flywheel_too_light", **{wheel: "12 lb ft2 by maker"}) == ("holds", "caution")
    assert state("flywheel_too_light", **{wheel: "2 lb ft2"}) == ("holds", "caution")
    assert state("flywheel_too_light", **{wheel: "13 lb ft2 by maker"}) == ("may hold", "notice")
    assert state("flywheel_too_light")[0] == "clear"
    assert state("flywheel_too_light", **{wheel: None}) == ("holds", "notice")
    assert one("flywheel_too_light", **{wheel: "2 lb ft2 by maker"}).worst_point.frequency == 40.0


def test_cold_pump():
    assert state("pump_too_cold", SI, pump__wall_place="0.05") == ("holds", "caution")
    assert state("pump_too_cold", SI, pump__wall_place="0.2") == ("may hold", "notice")
    assert state("pump_too_cold", SI)[0] == "clear"
    assert findings_of(changed(SI, pump__wall_place="0.05", pump__lubrication="oil-free"), "pump_too_cold") == []


@pytest.mark.parametrize(
    ("rule", "entry", "bad", "signal"),
    [
        ("turning_direction", "pump__turns_right", "no", "caution"),
        ("reverse_not_disabled", "pump__reverse_disabled", "no", "caution"),
        ("unloader_shut_after_fault", "pump__vents_after_fault", "no", "caution"),
        ("belt_guard_missing", "belt__guard", "no", "warning"),
        ("guard_stops_the_air", "belt__guard_lets_air_through", "no", "caution"),
        ("starts_sign", "control__starts_sign", "no", "caution"),
    ],
)
def test_what_a_look_settles(rule, entry, bad, signal):
    assert state(rule, **{entry: bad}) == ("holds", signal)
    assert state(rule) == ("clear", signal)
    found = one(rule, **{entry: "unknown"})
    assert (found.state, found.signal) == ("not told", "notice")
    assert entry.partition("__")[2] in found.do


def test_no_guard_no_question_about_its_air():
    assert findings_of(changed(US, belt__guard="no"), "guard_stops_the_air") == []


# Starting.


def test_start_against_pressure_on_a_drive():
    small = {"drive__rated_output_current": "20 A by plate"}
    assert state("loaded_start", pump__unloader="none", **small) == ("holds", "warning")
    assert state("loaded_start", pump__unloader="none") == ("may hold", "notice")
    strong = {"drive__rated_output_current": "60 A by plate", "motor__breakdown_ratio": "3.5"}
    assert state("loaded_start", pump__unloader="none", **strong)[0] == "clear"
    assert state("loaded_start", pump__unloader="unknown", **small) == ("not told", "notice")
    assert state("loaded_start", pump__unloader="solenoid valve", **small)[0] == "clear"
    assert state("loaded_start", pump__unloader="none", drive__rated_output_current="20 A") == ("holds", "notice")
    untold = {"drive__rated_output_current": None}
    assert state("loaded_start", pump__unloader="none", **untold) == ("not told", "notice")


def test_start_against_pressure_on_the_line():
    assert state("loaded_start", SI, pump__unloader="none", motor__power="2.2 kW by plate") == ("holds", "warning")
    assert state("loaded_start", SI, pump__unloader="none")[0] == "clear"
    single = {"motor__phases": 1, "motor__power": "2.2 kW by plate"}
    assert findings_of(changed(SI, pump__unloader="none", **single), "loaded_start") == []


def test_start_torque_lies_between_its_mean_and_the_piston_force_on_the_crank():
    plant = changed(SI, control__cut_in="7.5 bar", pump__unloader="none")
    case = Case(reach(draw(plant_of(plant), rows=8)))
    pump = next(case.parts("pump"))
    asked = starting.start_torque(case, pump)
    state = case.reach.state.trains[0]
    force = (case.reach.numbers.cut_in - case.reach.draw.barometer) * np.pi / 4 * 0.09**2
    cylinder = force * 0.065 / 2 / (2.6 * 0.93)  # one piston, square to its crank
    friction = (state.friction_power / (2 * np.pi * state.motor_speed))[:, :1, :1] / 0.93
    assert (asked > 1.2 * state.motor_torque[:, :1, :1]).all()
    assert (asked < 1.15 * cylinder + friction).all()


def test_unloader_by_speed():
    by_speed = {"pump__unloader": BY_SPEED}
    closing = "pump__unloader_closing_speed"
    assert state("unloader_open_at_low_speed", **by_speed, **{closing: "520 rpm by maker"}) == ("holds", "warning")
    assert state("unloader_open_at_low_speed", **by_speed, **{closing: "520 rpm"}) == ("holds", "notice")
    assert state("unloader_open_at_low_speed", **by_speed, **{closing: "350 rpm by maker"})[0] == "clear"
    assert state("unloader_open_at_low_speed", **by_speed) == ("not told", "notice")
    assert findings_of(US, "unloader_open_at_low_speed") == []
    assert findings_of(changed(US, **by_speed), "unloader_shut_after_fault") == []


@pytest.mark.parametrize(
    ("unloader", "stop", "expected"),
    [
        ("none", "no", ("holds", "danger")),
        ("none", "unknown", ("not told", "warning")),
        ("none", "yes", ("clear", "danger")),
        ("solenoid valve", "no", ("holds", "warning")),
        ("solenoid valve", "unknown", ("not told", "notice")),
        ("unknown", "no", ("holds", "warning")),
        ("unknown", "unknown", ("not told", "warning")),
    ],
)
def test_transducer_alone(unloader, stop, expected):
    lines = {"pump__unloader": unloader, "control__independent_pressure_stop": stop}
    assert state("transducer_alone", control__kind="transducer", **lines) == expected


def test_transducer_alone_asks_what_controls_the_plant():
    unknown = {"control__kind": "unknown"}
    found = one("transducer_alone", control__independent_pressure_stop="no", **unknown)
    assert (found.state, found.signal) == ("not told", "warning")
    assert "control" in found.do
    assert findings_of(changed(US, **unknown), "transducer_alone") == []  # a second stop is told
    assert findings_of(US, "transducer_alone") == []


def test_starts_in_an_hour():
    small = SI.replace('volume = "900 L by plate"', 'volume = "120 L by plate"')
    assert state("too_many_starts", small) == ("holds", "caution")
    assert state("too_many_starts", SI)[0] == "clear"
    untold = SI.replace('volume = "900 L by plate", ', "")  # 50 to 300 L are assumed
    assert state("too_many_starts", untold, control__cut_in="7.8 bar by gauge") == ("holds", "notice")
    assert findings_of(US, "too_many_starts") == []
    assert findings_of(changed(small, motor__phases=1), "too_many_starts") == []


def test_starts_decided_by_a_flywheel_nobody_weighed_are_a_notice():
    middle = SI.replace('volume = "900 L by plate"', 'volume = "330 L by plate"')
    heavy = {"pump__flywheel_factor": "400", "pump__flywheel_inertia": None}
    assert state("too_many_starts", middle)[0] == "clear"
    told = one("too_many_starts", middle, pump__flywheel_inertia="2.5 kg m2 by maker")
    assert (told.state, told.signal) == ("holds", "caution")
    assert state("too_many_starts", middle, **heavy) == ("holds", "notice")


# Motor.


def test_overloaded_motor():
    assert state("motor_overloaded", motor__power="3 hp by plate") == ("holds", "warning")
    assert state("motor_overloaded", motor__power="3 hp") == ("holds", "notice")
    assert state("motor_overloaded", motor__power="5 hp by plate") == ("may hold", "notice")
    assert state("motor_overloaded") == ("clear", "warning")
    found = one("motor_overloaded", motor__power="3 hp by plate")
    assert "Lower hertz will not help" in found.says
    assert found.worst_point.receiver_gauge == pytest.approx(140 * 6894.76, rel=0.01)


def test_torque_above_base_frequency_has_its_own_words():
    found = one("motor_overloaded", drive__maximum_frequency="110 Hz")
    assert (found.state, found.signal) == ("holds", "warning")
    assert "Above base frequency its torque falls" in found.says
    assert "will not help" not in found.says + found.do
    assert found.worst_point.frequency == 110.0


def test_service_factor_counts_on_the_line_only():
    tight = {"motor__power": "1.75 kW by plate"}
    assert state("motor_overloaded", SI, **tight) == ("holds", "warning")
    assert state("motor_overloaded", SI, motor__service_factor="1.4", **tight)[0] == "clear"
    assert "hertz" not in one("motor_overloaded", SI, **tight).says
    on_drive = {"motor__power": "3 hp by plate", "motor__service_factor": "1.5"}
    assert state("motor_overloaded", **on_drive) == ("holds", "warning")


def test_fan_of_a_slow_motor():
    slow = {"drive__minimum_frequency": "12 Hz", "motor__power": "5 hp by plate", "motor__current": None}
    assert state("motor_fan_too_slow", **slow) == ("holds", "warning")
    assert state("motor_fan_too_slow") == ("clear", "warning")
    assert state("motor_fan_too_slow", **slow, motor__inverter_duty="unknown") == ("holds", "notice")
    assert "inverter_duty" in one("motor_fan_too_slow", **slow, motor__inverter_duty="unknown").do
    assert findings_of(changed(US, **slow, motor__inverter_duty="yes"), "motor_fan_too_slow") == []
    assert state("motor_fan_too_slow", drive__minimum_frequency="12 Hz") == ("may hold", "notice")


def test_stalling_motor():
    assert state("motor_pulls_out", drive__maximum_frequency="150 Hz") == ("holds", "warning")
    assert state("motor_pulls_out") == ("clear", "warning")
    assert state("motor_pulls_out", drive__maximum_frequency="150 Hz", motor__power="7.5 hp") == ("holds", "notice")


# Belt.


def test_smallest_motor_sheave():
    assert state("motor_sheave_too_small", belt__motor_sheave="2.5 in by caliper") == ("holds", "caution")
    assert state("motor_sheave_too_small", belt__motor_sheave="3.0 in") == ("holds", "caution")
    assert state("motor_sheave_too_small", belt__motor_sheave="3.2 in")[0] == "may hold"
    assert state("motor_sheave_too_small") == ("clear", "caution")
    small = {"belt__motor_sheave": "2.5 in by caliper"}
    assert state("motor_sheave_too_small", belt__section="unknown", **small) == ("holds", "notice")
    assert state("motor_sheave_too_small", SI, belt__motor_sheave="70 mm by caliper") == ("holds", "notice")
    for silent in ({"belt__section": "3V"}, {"motor__power": None}, {"motor__power": "60 hp by plate"}):
        assert findings_of(changed(US, **(small | silent)), "motor_sheave_too_small") == []


def test_wrap():
    close = {"belt__centre_distance": "11 in by tape", "belt__motor_sheave": "4 in by tape"}
    assert state("belt_wraps_too_little", **close) == ("holds", "caution")
    assert "112" in one("belt_wraps_too_little", **close).says
    assert state("belt_wraps_too_little", belt__centre_distance="12.3 in", belt__motor_sheave="4 in")[0] == "may hold"
    assert state("belt_wraps_too_little") == ("clear", "caution")
    assert state("belt_wraps_too_little", belt__centre_distance=None) == ("not told", "notice")
    assert findings_of(changed(US, belt__motor_sheave=None), "belt_wraps_too_little") == []


def test_number_of_belts():
    thin = {"belt__motor_sheave": "4 in by tape", "belt__count": 1}
    found = one("too_few_belts", **thin)
    assert (found.state, found.signal) == ("holds", "caution")
    assert found.says.endswith("it needs 2.")
    assert state("too_few_belts", **(thin | {"belt__count": 3})) == ("clear", "caution")
    assert state("too_few_belts", **thin, belt__section="3V")[1] == "notice"
    for silent in ({"belt__section": "SPA"}, {"belt__count": None}, {"belt__centre_distance": None}):
        assert findings_of(changed(US, **(thin | silent)), "too_few_belts") == []


def test_rim_speed():
    assert state("rim_speed", belt__pump_sheave="40 in by tape") == ("holds", "warning")
    assert state("rim_speed", belt__motor_sheave="20 in by tape", belt__pump_sheave=None) == ("holds", "warning")
    assert state("rim_speed", belt__pump_sheave="40 in") == ("holds", "notice")
    assert state("rim_speed", belt__pump_sheave="33.5 in")[0] == "may hold"
    assert state("rim_speed") == ("clear", "warning")
    assert findings_of(changed(US, belt__motor_sheave=None, belt__pump_sheave=None), "rim_speed") == []


def test_a_tape_is_not_a_tachometer():
    assert state("pump_speed_not_measured", belt__ratio=None) == ("holds", "notice")
    assert state("pump_speed_not_measured") == ("clear", "notice")
    assert state("pump_speed_not_measured", belt__ratio=None, belt__diameters="pitch")[0] == "clear"
    assert state("pump_speed_not_measured", belt__ratio=None, belt__pump_sheave=None) == ("not told", "notice")
    read = '\n[[reading]]\nwhat = "pump_speed"\nvalue = "720 rpm"\nby = "tachometer"\n'
    assert state("pump_speed_not_measured", changed(US, belt__ratio=None) + read)[0] == "clear"
