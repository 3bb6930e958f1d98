"""Settings of drive, starter and pressure switch: from the plant's own numbers, never past its window or its plates."""

import re
import tomllib
from functools import cache

import pytest
from electric_plants import ON_THE_LINE, ONE_PHASE, THREE_PHASE
from properties.plants_at_random import owners_plant, seeded
from sheet_plants import FILES, ODD, ROOT
from told_plants import changed

from airfettle.app.load import believed
from airfettle.plant.whole import Plant
from airfettle.quantity import Span
from airfettle.report.blocks import Signed, Table
from airfettle.report.settings_leaf import number, set_to, settings_leaf, tolerance
from airfettle.sources import all_sources
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.settings import Setting, drive_settings
from airfettle.studies.speed_card import ends_inwards, speed_cards
from airfettle.studies.speed_window import speed_windows
from airfettle.studies.wiring.control import control_circuit
from airfettle.studies.wiring.drive_inputs import speed_input
from airfettle.studies.wiring.wired import trains_of

CANOE = ROOT / "examples/canoe_works.toml"
PSI, BAR = 6894.757, 1e5


@cache
def of_draw(drawn_by, key, rows):
    drawn = drawn_by(key, rows)
    windows, numbers = speed_windows(drawn), complete(drawn)
    cards = speed_cards(drawn, windows=windows, numbers=numbers)
    return drawn, windows, drive_settings(drawn, numbers=numbers, windows=windows, cards=cards)


def _file(path, rows):
    return believed(path, rows=rows).draw


def _text(text, rows):
    return draw(Plant[Span].model_validate(tomllib.loads(text)), rows=rows)


def of_file(path, rows=128):
    return of_draw(_file, path, rows)


def of_text(text, rows=64):
    """Settings by id of a plant of one train."""
    (train,) = of_draw(_text, text, rows)[2]
    return {setting.id: setting for setting in train.settings}


# Every plant.


SOME = [file for n, file in enumerate(FILES) if file.parent.name != "mistakes" or n % 4 == 0]
"""Every good plant, and every fourth of those with a mistake: most of them differ in one entry."""


@pytest.mark.parametrize("file", SOME, ids=lambda file: file.stem)
def test_plants(file):
    drawn, windows, trains = of_file(file, 8)
    assert len(trains) == len(drawn.plant.trains)
    for train, window in zip(trains, windows, strict=True):
        check_train(train, window)
    leaf = settings_leaf(trains, units=drawn.plant.about.units)
    assert isinstance(leaf.blocks[0], Signed)
    assert leaf.blocks[0].signal == "warning"
    for table in (block for block in leaf.blocks if isinstance(block, Table)):
        assert all(len(row) == len(table.columns) for row in table.rows)
    assert set(leaf.sources) <= set(all_sources())


def check_train(train, window):
    names = [setting.id for setting in train.settings]
    assert len(names) == len(set(names))
    for setting in train.settings:
        assert setting.why
        assert setting.value is not None or setting.words, setting.id
        assert not re.search(r"\bnan\b|\binf\b|1e\+", setting.why), setting.why
        if setting.value is not None and setting.state != "measure first":
            assert setting.low is None or setting.value >= setting.low - 1e-9, setting.id
            assert setting.high is None or setting.value <= setting.high + 1e-9, setting.id
    low, high = ends_inwards(window)
    if not train.direct and train.settings and low is not None:
        lowest, highest = train.named("lowest_frequency"), train.named("highest_frequency")
        assert low <= lowest.value <= highest.value <= high
        assert all(lowest.value <= preset.frequency <= highest.value for preset in train.presets)


@pytest.mark.parametrize("name", ODD)
def test_odd_plants(name, tmp_path):
    file = tmp_path / "plant.toml"
    file.write_text(ODD[name](), encoding="utf-8")
    _, windows, trains = of_file(file, 8)
    for train, window in zip(trains, windows, strict=True):
        check_train(train, window)


@pytest.mark.parametrize("seed", range(0, 200, 10))
def test_random_plants(seed):
    drawn = draw(owners_plant(seeded(seed)), rows=8)
    windows, numbers = speed_windows(drawn), complete(drawn)
    cards = speed_cards(drawn, windows=windows, numbers=numbers)
    trains = drive_settings(drawn, numbers=numbers, windows=windows, cards=cards)
    for train, window in zip(trains, windows, strict=True):
        check_train(train, window)


# What protects the motor.


def test_overload_is_plate_amps_not_the_drives():
    found = of_text(ONE_PHASE)["motor_overload"]
    assert found.value == pytest.approx(12.8)
    assert found.high == pytest.approx(12.8)
    assert found.state == "sure"
    assert "no service factor to spend" in found.why


def test_overload_dial_on_the_line_and_the_most_a_code_allows():
    found = of_text(ON_THE_LINE)["motor_overload"]
    assert (found.value, found.high) == pytest.approx((15.0, 1.15 * 15.0))


def test_service_factor_raises_what_a_code_allows_on_the_line():
    text = changed(ON_THE_LINE, **{"motor__service_factor": "1.15 by plate"})
    assert of_text(text)["motor_overload"].high == pytest.approx(1.25 * 15.0)


def test_plate_amps_not_told_are_never_made_up():
    found = of_text(changed(ONE_PHASE, **{"motor__current": None}))["motor_overload"]
    assert found.value is None
    assert found.state == "measure first"
    assert "15.2 A for its size" in found.why  # 5 hp at 230 V in the code's table


def test_single_phase_motor_gets_no_settings():
    text = changed(ONE_PHASE, **{"motor__phases": 1})
    (train,) = of_draw(_text, text, 64)[2]
    assert train.settings == ()
    assert train.presets == ()
    assert "burns it" in train.warnings[0]


# What nobody may silence.


@pytest.mark.parametrize(
    ("id_", "words"),
    [
        ("restart_after_power", "no"), ("fault_reset", "none: 0 tries"), ("stop_mode", "coast"),
        ("reverse", "disabled"), ("lost_speed", "stop"), ("ride_through", "off"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("told", ["power coming back", "several of these", "nothing", "unknown"])
def test_never_starts_unasked_whatever_is_told(id_, words, told):
    text = changed(ONE_PHASE, **{"control__restarts_by_itself": told, "drive__stop_mode": "ramp",
                               "drive__lost_speed": "runs on"})  # fmt: skip
    assert of_text(text)[id_].words == words


def test_what_is_told_wrong_is_said():
    text = changed(ONE_PHASE, **{"control__restarts_by_itself": "power coming back", "drive__stop_mode": "ramp",
                               "drive__lost_speed": "runs on"})  # fmt: skip
    found = of_text(text)
    for id_ in ("restart_after_power", "stop_mode", "lost_speed"):
        assert found[id_].why.startswith("Told: "), id_
        assert "Change it." in found[id_].why
    assert not found["fault_reset"].why.startswith("Told")


def test_lowest_frequency_of_zero_is_raised():
    text = changed(ONE_PHASE, **{"drive__minimum_frequency": "0 Hz", "control__low": "40 Hz"})
    drawn, (window,), (train,) = of_draw(_text, text, 64)
    found = train.named("lowest_frequency")
    assert found.value >= ends_inwards(window)[0] > 10.0
    assert found.why.startswith("Told: 0 Hz, which is too low.")
    assert drawn.plant.drive.minimum_frequency.ravel()[0] == 0.0


# Supply, limits, ramps.


def test_lost_input_phase_by_the_supply():
    assert of_text(ONE_PHASE)["lost_input_phase"].state == "measure first"
    assert of_text(THREE_PHASE)["lost_input_phase"].words == "on: trip"
    text = changed(ONE_PHASE, **{"drive__input_phases": 1})
    assert of_text(text)["lost_input_phase"].words == "as delivered"


def test_current_limit_lies_between_work_and_what_the_drive_gives():
    found = of_text(ONE_PHASE)["current_limit"]
    assert found.low < found.value <= found.high
    assert found.high <= 1.5 * 12.8
    assert found.value <= 16.0 * 1.5


def test_drive_without_amps_is_measured_first():
    gone = {f"drive__{name}": None for name in ("rated_output_current", "single_phase_output_current")}
    found = of_text(changed(ONE_PHASE, **gone))["current_limit"]
    assert found.value is None
    assert found.state == "measure first"


def test_motor_that_is_too_small_gets_no_current_limit():
    found = of_text(
        changed(ONE_PHASE, motor__current="5 A by plate", drive__single_phase_output_current="30 A by maker")
    )
    assert found["current_limit"].value is None
    assert "too small" in found["current_limit"].why


def test_heavier_flywheel_takes_a_longer_ramp():
    light = of_text(changed(ONE_PHASE, **{"pump__flywheel_inertia": "1 kg m2"}))["ramp_up"]
    heavy = of_text(changed(ONE_PHASE, **{"pump__flywheel_inertia": "4 kg m2"}))["ramp_up"]
    assert heavy.low > 2.0 * light.low
    assert heavy.value >= light.value


def test_wait_is_longer_than_the_head_takes_to_empty():
    found = of_text(changed(ONE_PHASE, **{"pump__unloader": "solenoid valve"}))["least_wait"]
    assert found.value >= found.low > 0.0
    assert found.state != "measure first"
    told = of_text(changed(ONE_PHASE, **{"control__minimum_off": "300 s"}))["least_wait"]
    assert told.value == 300.0
    assert told.state == "measure first"  # nothing empties the head


@pytest.mark.parametrize(("length", "low", "high"), [("6 ft by tape", 4e3, 8e3), ("120 ft by tape", 2e3, 4e3)])
def test_carrier_by_the_leads_length(length, low, high):
    found = of_text(changed(ONE_PHASE, **{"motor_lead__wire_length": length}))["carrier"]
    assert (found.value, found.low, found.high) == (low, low, high)
    assert set_to(found, units="US") == f"{low / 1e3:g} kHz"


# Control.


@pytest.mark.parametrize("file", SOME, ids=lambda file: file.stem)
def test_a_presets_inputs_are_those_of_the_wiring_drawing(file):
    drawn, _, trains = of_file(file)
    for train, wired in zip(trains, trains_of(drawn), strict=True):
        control = control_circuit(wired)
        if train.direct or control is None:
            continue
        inputs = {pin[1] for net in control.nets for pin in net.pins if pin[0].endswith(":in")}
        for preset, place in zip(train.presets, range(9), strict=False):
            setting = train.named(f"preset_{place}")
            if setting is None:
                continue
            said = set(re.findall(r"nput (S\d)", setting.why))
            wanted = {speed_input(wired, name) for name in preset.name.split(" and ")} - {None, ""}
            assert said == wanted
            assert said <= inputs
            assert _speeds_drawn(control, said) <= set(preset.name.split(" and "))


def _speeds_drawn(control, inputs):
    """Speeds whose names stand at the selectors that close these inputs on the wiring drawing."""
    tags = {tag for net in control.nets for pin in net.pins if pin[1] in inputs for tag, _ in net.pins}
    drawn = [control.device(tag) for tag in tags if control.device(tag).symbol == "selector_make"]
    return {device.words[0].removesuffix(" speed") for device in drawn}


def test_a_speed_nobody_told_is_called_assumed():
    (file,) = [file for file in FILES if file.stem == "kite_shed"]
    whys = [s.why for train in of_file(file)[2] for s in train.settings if s.id.startswith("preset_")]
    assert whys
    assert not [why for why in whys if "Told" in why]
    assert [why for why in whys if why.startswith("Assumed: ")]


def test_presets_are_the_speeds_told():
    (train,) = of_draw(_text, ONE_PHASE, 64)[2]
    assert [(preset.name, preset.asked) for preset in train.presets] == [("low", 40.0), ("full", 60.0)]
    assert "No preset input closed." in train.named("preset_0").why
    assert "Input S1 closed." in train.named("preset_1").why


def test_pressure_control_has_a_band_and_stops_on_a_lost_signal():
    text = changed(ONE_PHASE, **{"control__kind": "transducer", "control__speed_by": "pressure",
                               "control__held_pressure": "115 psi", "control__pressure_band": "10 psi"})  # fmt: skip
    found = of_text(text)
    assert found["held_pressure"].value == pytest.approx(115 * PSI, rel=1e-5)
    assert found["held_pressure"].low == pytest.approx(100 * PSI, rel=1e-5)
    assert found["held_pressure"].high == pytest.approx(130 * PSI, rel=1e-5)
    swing = found["highest_frequency"].value - found["lowest_frequency"].value
    assert f"{swing / 10:.2g} Hz for each psi" in found["proportional_band"].why
    assert found["lost_speed"].words == "stop, as a fault"
    assert "preset_0" not in found


def test_transducer_without_a_second_switch_asks_for_one():
    found = of_text(changed(ONE_PHASE, **{"control__kind": "transducer", "control__independent_pressure_stop": "no"}))
    assert found["high_stop"].state == "measure first"
    assert "fit one" in found["high_stop"].why


def test_second_switch_stands_between_stop_and_relief():
    valve = '\n[[relief_valve]]\nset_pressure = "150 psi by plate"\nprotects = "receiver"\n'
    text = changed(ONE_PHASE, **{"control__independent_pressure_stop": "yes"}) + valve
    stamped = text.replace('"80 gal by plate" }', '"80 gal by plate", plate_pressure = "200 psi by plate" }', 1)
    assert stamped != text
    found = of_text(stamped)["high_stop"]
    assert 130 * PSI * 0.999 < found.low < found.value < found.high
    assert found.high == pytest.approx(0.95 * 150 * PSI, rel=1e-3)  # it stops before the relief valve opens


def test_without_a_plate_no_pressure_is_named_for_the_second_switch():
    valve = '\n[[relief_valve]]\nset_pressure = "150 psi by plate"\nprotects = "receiver"\n'
    found = of_text(changed(ONE_PHASE, **{"control__independent_pressure_stop": "yes"}) + valve)["high_stop"]
    assert found.value is None
    assert found.state == "measure first"


# No drive, and two trains.


def test_on_the_line_there_is_starter_and_switch_alone():
    found = of_text(ON_THE_LINE)
    assert {"motor_overload", "trip_class", "overload_reset", "cut_in", "cut_out", "least_wait", "starts"} <= set(found)
    assert not {"base_volts", "ramp_up", "carrier", "lowest_frequency", "preset_0"} & set(found)
    assert found["overload_reset"].words == "by hand"
    assert found["cut_out"].value == pytest.approx(130 * PSI, rel=1e-5)


def test_slow_run_up_takes_a_slower_class():
    assert of_text(ON_THE_LINE)["trip_class"].words == "10"
    heavy = changed(ON_THE_LINE, **{"pump__flywheel_inertia": "120 kg m2"})
    assert of_text(heavy)["trip_class"].words == "20"


def test_two_trains_have_a_sheet_each():
    drawn, _, trains = of_file(ROOT / "tests/plants/sail_loft.toml", 8)
    assert [(train.train, train.direct) for train in trains] == [("winter", False), ("old one", True)]
    leaf = settings_leaf(trains, units=drawn.plant.about.units)
    names = [block.name for block in leaf.blocks if isinstance(block, Table)]
    assert len(names) == len(set(names))
    assert {"winter limits", "old one overload relay"} <= set(names)


# How it reads.


def test_leaf_of_the_canoe_works():
    _, _, trains = of_file(CANOE)
    leaf = settings_leaf(trains, units="US")
    rows = {row[0]: row for block in leaf.blocks if isinstance(block, Table) for row in block.rows}
    assert rows["Base volts"][1:3] == ("230 V", "exactly")
    assert rows["Motor power"][1] == "7.5 hp"
    assert rows["Motor overload: plate amps"][1:3] == ("20 A", "no more than 20 A")
    assert rows["Stop"][1:3] == ("coast", "-")
    assert rows["Lost-input-phase detection"][1].startswith("Measure first: ")
    assert rows["Carrier frequency"][1:3] == ("4 kHz", "4 to 8 kHz")
    assert all(row[-1] == "" for name, row in rows.items() if len(row) == 5)
    speeds = next(block for block in leaf.blocks if isinstance(block, Table) and block.name == "presets")
    assert [row[0] for row in speeds.rows] == ["low", "quiet", "full"]


def test_bounds_are_rounded_inwards():
    found = Setting("x", "limits", "x", value=40.0, kind="frequency", low=38.21, high=44.48, why="y")
    assert tolerance(found, units="US") == "38.3 to 44.4 Hz"
    assert number(38.21, found, units="US") == "38.2 Hz"


@pytest.mark.parametrize(
    ("low", "high", "words"), [(None, None, "-"), (3.2, None, "no less than 4 s"), (None, 7.8, "no more than 7 s")]
)
def test_open_bounds(low, high, words):
    found = Setting("x", "limits", "x", value=5.0, kind="time", low=low, high=high, why="y")
    assert tolerance(found, units="SI") == words


def test_assumed_stands_in_parentheses():
    found = Setting("x", "limits", "x", value=8.5 * BAR, kind="pressure", why="y", state="assumed")
    assert set_to(found, units="SI") == "(8.5 bar)"
