"""The search for a motor sheave: what it tries, wanted speed, order, messages, table and JSON."""

import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from rich.console import Console

from airfettle.errors import BadRequest
from airfettle.parts.sheave import INCH, pitch_diameter
from airfettle.plant.whole import OwnersPlant
from airfettle.report.sheaves_json import SCHEMA, UNITS, sheaves_json
from airfettle.report.sheaves_table import SHORT, sheave_name, sheaves_table
from airfettle.store.plant_file import read_plant
from airfettle.studies.draw import draw
from airfettle.studies.limits.declared import LIMITS
from airfettle.studies.reach import reach
from airfettle.studies.sheaves.belts import sold_belts
from airfettle.studies.sheaves.checks import BELTS, SHEAVE_LIMITS, label_of
from airfettle.studies.sheaves.pairs import stock
from airfettle.studies.sheaves.ranking import nearest_limit_first, nearness, order
from airfettle.studies.sheaves.result import Candidate, Check
from airfettle.studies.sheaves.search import sheaves

ROOT = Path(__file__).parents[2]
MOTOR = {"known": "nameplate", "power": "5 hp", "voltage": "230 V", "frequency": "60 Hz", "speed": "1745 rpm"}
BELT = {"section": "A", "motor_sheave": "5.5 in by tape", "pump_sheave": "14 in by tape", "centre_distance": "22 in"}
PUMP = {"first_stage": {"cylinders": 2, "bore": "3.5 in by tape", "stroke": "2.75 in by tape"},
        "maximum_speed": "900 rpm by maker", "rated_speed": "800 rpm by maker"}  # fmt: skip
PLANT = {"plant": {"units": "US"}, "drive": {"rated_output_current": "32 A by plate", "input_phases": 1},
         "control": {"cut_in": "100 psi", "cut_out": "125 psi"},
         "motor": MOTOR, "belt": BELT, "pump": PUMP}  # fmt: skip


def plant(**changes):
    data = {key: dict(value) for key, value in PLANT.items()}
    for section, entries in changes.items():
        data[section] = data.get(section, {}) | entries if isinstance(entries, dict) else entries
    return OwnersPlant.model_validate(data)


def search(*, rows=64, wanted_speed=None, certainty=None, **changes):
    return sheaves(draw(plant(**changes), rows=rows), wanted_speed=wanted_speed, certainty=certainty)


def only(**changes):
    (train,) = search(**changes).trains
    return train


def shown(found, width=80):
    console = Console(width=width, force_terminal=False, color_system=None)
    with console.capture() as capture:
        console.print(sheaves_table(found), highlight=False)
    return capture.get()


def words(text):
    return re.sub(r"\s+", " ", text)


# --- what is tried ---------------------------------------------------------------------------------------------------


def test_every_stock_sheave_near_enough_is_tried_with_every_number_of_belts():
    train = only()
    sizes = {round(c.outside, 6) for c in train.candidates if not c.present}
    assert sizes <= {round(float(s), 6) for s in stock("A")}
    assert len(sizes) + train.far == stock("A").size
    for size in sizes:
        assert sorted(c.belts for c in train.candidates if round(c.outside, 6) == size and not c.present) == [
            1,
            2,
            3,
            4,
        ]


def test_grooves_that_are_there_bound_the_belts():
    assert {c.belts for c in only(belt={"count": 2}).candidates} == {1, 2}


def test_the_present_sheave_is_among_them_with_its_own_spread():
    present = [c for c in only().candidates if c.present]
    assert [round(c.outside / INCH, 3) for c in present] == [5.5] * 4
    assert all(c.change == 0.0 for c in present)
    assert present[0].hertz.high - present[0].hertz.low > 0.0


def test_a_sheave_that_is_not_told_is_not_among_them():
    belt = {key: value for key, value in BELT.items() if key != "motor_sheave"}
    data = PLANT | {"belt": belt}
    (train,) = sheaves(draw(OwnersPlant.model_validate(data), rows=16)).trains
    assert train.candidates
    assert not any(c.present for c in train.candidates)
    assert {c.change for c in train.candidates} == {0.0}


def test_three_sections_are_tried_where_none_is_told():
    train = only(belt={"section": "unknown"})
    assert not train.section_told
    assert set(train.sections()) == {"A", "B", "3V"}
    assert any("read it off the belt" in note for note in train.notes)
    found = search(belt={"section": "unknown"})
    for section in ("A", "B", "3V"):
        assert f"If the belt is of section {section}: buy" in words(shown(found))


def test_another_train_is_searched_by_itself():
    one = {"motor": MOTOR, "belt": BELT, "pump": PUMP, "drive": PLANT["drive"]}
    two = one | {"name": "two", "drive": "none", "pump": PUMP | {"rated_speed": "700 rpm by maker"}}
    data = {"plant": {"units": "US"}, "control": PLANT["control"], "train": [one | {"name": "one"}, two]}
    found = sheaves(draw(OwnersPlant.model_validate(data), rows=16))
    assert [(t.name, t.direct, round(60 * t.wanted_speed)) for t in found.trains] == [
        ("one", False, 800), ("two", True, 700)]  # fmt: skip
    assert words(shown(found)).startswith("one: ")


def test_a_reach_gives_the_same_as_its_draw():
    drawn = draw(plant(), rows=16)
    assert sheaves(reach(drawn)).trains == sheaves(drawn).trains


# --- why nothing is tried --------------------------------------------------------------------------------------------


def test_the_wheel_must_be_measured_first():
    belt = {"belt": {"section": "A", "motor_sheave": "5 in"}}
    found = sheaves(draw(OwnersPlant.model_validate(PLANT | belt), rows=16))
    assert "measure it first" in found.trains[0].why_not
    assert not found.trains[0].candidates
    assert words(shown(found)).startswith("The pump's flywheel is not told: measure it first")
    json.dumps(sheaves_json(found), allow_nan=False)


def test_a_pump_on_the_motors_shaft_has_no_sheave():
    found = search(belt="none")
    assert words(shown(found)).startswith("The pump stands on the motor's shaft")


# --- wanted speed and certainty --------------------------------------------------------------------------------------


def rpm(train):
    return round(60.0 * train.wanted_speed, 1)


def test_wanted_speed_is_the_rated_one():
    train = only()
    assert rpm(train) == 800.0
    assert train.wanted_from == "the pump's rated speed"


def test_wanted_speed_may_stand_beside_a_delivery():
    pump = PUMP | {"rated_speed": "unknown", "rated": [{"air": "15 cfm", "at": "100 psi", "speed": "780 rpm"}]}
    assert rpm(only(pump=pump)) == 780.0


@pytest.mark.parametrize("rated", ["unknown", "900 rpm by maker", "1100 rpm by maker"])
def test_wanted_speed_is_no_more_than_the_highest_allows(rated):
    """Highest 850..950 rpm: in 95 % of the draw it is above about 855."""
    train = only(pump={"rated_speed": rated, "maximum_speed": "850..950 rpm"}, rows=256)
    assert 851.0 <= rpm(train) <= 855.0
    assert "in 95 % of the draw" in train.wanted_from
    assert train.best() is not None
    assert all({c.name: c.share for c in each.checks}["pump_overspeed"] >= 0.95 for each in train.candidates)


def test_wanted_speed_may_be_asked_for():
    train = only(wanted_speed=12.0)
    assert train.wanted_speed == 12.0
    assert train.wanted_from == "as asked for"


@pytest.mark.parametrize("speed", [0.0, -5.0, float("nan"), float("inf"), 1e4])
def test_a_speed_no_pump_turns_at_is_refused(speed):
    with pytest.raises(BadRequest, match="6000 rpm"):
        search(wanted_speed=speed)


def test_too_fast_a_wanted_speed_fails_everywhere():
    train = only(wanted_speed=1000.0 / 60.0)
    assert train.candidates
    assert train.best() is None
    for candidate in train.candidates:
        assert "pump_overspeed" in [c.name for c in candidate.fails(0.95)]


@pytest.mark.parametrize("certainty", [0.3, 0.9999, 1.5])
def test_a_certainty_out_of_bounds_is_refused(certainty):
    with pytest.raises(BadRequest, match=r"0\.5 to 0\.999"):
        search(certainty=certainty)


def test_certainty_is_the_plants_unless_asked_for():
    assert search(plant={"certainty": 0.8}).certainty == 0.8
    assert search(plant={"certainty": 0.8}, certainty=0.9).certainty == 0.9


def test_more_certainty_lets_fewer_sheaves_pass():
    def passing(certainty):
        train = only(certainty=certainty, wanted_speed=14.0, rows=256, pump={"maximum_speed": "about 900 rpm"})
        return {(c.outside, c.belts, c.present) for c in train.candidates if c.passes}

    half, sure = passing(0.5), passing(0.999)
    assert sure < half


# --- numbers ---------------------------------------------------------------------------------------------------------


def test_pitch_diameters_leave_no_doubt_of_the_speed():
    train = only(belt={"diameters": "pitch", "motor_sheave": "5.5 in by caliper", "pump_sheave": "14 in by caliper"})
    candidate = next(c for c in train.candidates if not c.present)
    assert candidate.ratio.likely == pytest.approx(14 * INCH / candidate.pitch, rel=1e-3)
    assert candidate.pitch == pytest.approx(float(pitch_diameter(outside_diameter=candidate.outside, groove="A")))
    assert candidate.pump_speed.high == pytest.approx(train.wanted_speed, rel=2e-3)
    assert candidate.pump_speed.low == pytest.approx(train.wanted_speed, rel=4e-3)


def test_diameters_by_tape_keep_the_pump_below_the_wanted_speed():
    train = only()
    held = [c for c in train.candidates if "pull_out" not in [check.name for check in c.fails(1.0)]]
    assert len(held) > 0.8 * len(train.candidates)
    assert all(c.pump_speed.high <= train.wanted_speed * 1.0001 for c in held)
    assert any(c.pump_speed.low < 0.985 * train.wanted_speed for c in held)


def test_a_larger_sheave_needs_fewer_hertz_and_more_motor_torque_below_base():
    found = sorted((c for c in only().candidates if c.belts == 1 and not c.present), key=lambda c: c.outside)
    hertz = [c.hertz.likely for c in found]
    torque = [c.torque_share.likely for c in found if c.hertz.likely < 55.0]
    assert hertz == sorted(hertz, reverse=True)
    assert len(torque) > 3
    assert torque == sorted(torque)


def test_on_the_line_the_mains_fix_the_speed():
    train = only(drive="none", supply={"kind": "240 high-leg delta", "breaker": "30 A", "wire": "10 AWG"})
    assert train.direct
    for candidate in train.candidates:
        assert candidate.hertz.likely == pytest.approx(60.0)
        assert candidate.hertz_range is None
        names = {c.name for c in candidate.checks}
        assert {"breaker", "supply_wire", "pump_floor"} <= names
        assert "highest_hertz" not in names
    best = train.best()
    assert best.place <= 1.005
    assert best.place > 0.9
    assert "on the line" in words(shown(search(drive="none")))


def test_nothing_but_the_sheave_differs_by_belts():
    """More belts leave more to spare, and change nothing else."""
    four = [c for c in only().candidates if c.present]
    spare = {c.belts: next(k.low for k in c.checks if k.name == "belts") for c in four}
    assert [spare[n] for n in (1, 2, 3, 4)] == sorted(spare.values())
    assert {(c.hertz, c.belts_needed, c.belt_name) for c in four} == {(four[0].hertz, four[0].belts_needed,
                                                                       four[0].belt_name)}  # fmt: skip
    assert all((c.belts >= c.belts_needed) == all(k.share >= 0.95 for k in c.checks if k.name == "belts") for c in four)


def test_shafts_too_near_leave_too_little_arc():
    train = only(belt={"centre_distance": "10.2 in by tape"})
    small = min((c for c in train.candidates if not c.present), key=lambda c: c.outside)
    assert np.degrees(small.wrap.likely) < 120.0
    assert "wrap" in [check.name for check in small.fails(0.95)]


def test_without_the_distance_between_shafts_arc_and_length_are_not_judged():
    belt = {key: value for key, value in BELT.items() if key != "centre_distance"}
    found = sheaves(draw(OwnersPlant.model_validate(PLANT | {"belt": belt}), rows=16))
    train = found.trains[0]
    assert all(c.wrap is None and c.belt_length is None and c.stock_length is None for c in train.candidates)
    assert any("distance between the shafts is not told" in note for note in train.notes)
    assert "Belt length" not in shown(found)


def test_the_nearest_belt_is_one_that_is_sold():
    lengths, names = sold_belts("A")
    for candidate in only().candidates:
        assert candidate.belt_name in names
        assert candidate.stock_length == lengths[names.index(candidate.belt_name)]
        assert abs(candidate.stock_length - candidate.belt_length) == min(abs(lengths - candidate.belt_length))
        assert np.sign(candidate.shift) == np.sign(candidate.stock_length - candidate.belt_length)


@pytest.mark.parametrize(
    ("section", "name", "metres"),
    [("B", "B90", 91.8 * INCH), ("AX", "AX60", 61.3 * INCH), ("3V", "3V670", 67.0 * INCH), ("SPA", "SPA 1800", 1.8)],
)
def test_belts_are_called_as_on_the_shelf(section, name, metres):
    lengths, names = sold_belts(section)
    assert lengths[names.index(name)] == pytest.approx(metres)


def test_sections_without_a_rating_say_so_and_are_not_judged_by_it():
    found = search(belt={"section": "SPZ"})
    train = found.trains[0]
    assert all(c.belts_needed is None for c in train.candidates)
    assert all("belts" not in {check.name for check in c.checks} for c in train.candidates)
    assert any("ask their maker how many" in note for note in train.notes)
    assert "belt" not in shown(found).splitlines()[0]


def test_narrow_belts_say_by_what_they_are_judged():
    assert any("SPA belts are judged by the rating of A belts" in note for note in only(belt={"section": "SPA"}).notes)


def test_a_motor_beyond_the_table_of_smallest_sheaves_is_left_to_its_maker():
    train = only(motor={"power": "50 hp"})
    assert all("least_sheave" not in {check.name for check in c.checks} for c in train.candidates)
    assert any("ask its maker what its shaft stands" in note for note in train.notes)


def test_a_sheave_below_the_motors_smallest_fails():
    """A 5 hp motor of 1800 rpm stands 3.0 in of pitch; only a small wheel makes such a sheave near enough."""
    train = only(belt={"pump_sheave": "6 in by tape"}, wanted_speed=12.0)
    small = [c for c in train.candidates if c.pitch < 2.9 * INCH]
    assert all("least_sheave" in [k.name for k in c.fails(0.95)] for c in small)
    assert all("least_sheave" not in [k.name for k in c.fails(0.95)] for c in train.candidates if c.pitch > 3.1 * INCH)


def test_a_single_phase_motor_asks_for_harder_belts():
    line = {"drive": "none", "motor": {"phases": 1}}
    assert any("1.5 times the power" in note for note in only(**line).notes)
    assert any("1.3 times the power" in note for note in only().notes)


def test_the_drives_highest_hertz_bounds_the_search():
    """Where only that setting stands against the present sheave, it is said."""
    found = search(drive={"maximum_frequency": "50 Hz"})
    assert all(c.hertz.likely < 50.0 for c in found.trains[0].candidates if c.passes)
    present = next(c for c in found.trains[0].candidates if c.present)
    assert [check.name for check in present.fails(0.95)] == ["highest_hertz"]
    assert "Only the drive's highest hertz stands against the sheave that is there" in words(shown(found))
    assert "Only the drive's highest hertz" not in words(shown(search()))


def test_a_drive_set_too_high_for_the_new_sheave_is_a_danger():
    """A larger sheave turns the pump past its highest speed at hertz that were right for the one before."""
    text = words(shown(search(drive={"maximum_frequency": "75 Hz"})))
    assert "DANGER: the drive is set to 75 Hz" in text
    assert "set the drive down before the pump runs" in text
    assert "the drive is set to" not in words(shown(search(drive={"maximum_frequency": "62 Hz"})))
    assert "the drive is set to" not in words(shown(search()))


# --- another wheel ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("answer", ["no", "unknown"])
def test_the_wheel_stays_unless_the_owner_lets_it_go(answer):
    found = search(belt={"wheel_may_change": answer})
    assert found.trains[0].wheels == ()
    assert "fan" not in shown(found)


def test_another_wheel_says_what_a_wheel_is():
    found = search(belt={"wheel_may_change": "yes"})
    train = found.trains[0]
    assert {(c.outside, c.present) for c in train.wheels} <= {(c.outside, c.present) for c in train.candidates}
    assert len({(c.outside, c.present) for c in train.wheels}) == 2
    for candidate in train.wheels:
        assert candidate.wheel >= 1.5 * candidate.outside
        assert candidate.inertia_factor == pytest.approx((candidate.wheel / (14 * INCH)) ** 5, rel=1e-6)
        assert "flywheel" in {check.name for check in candidate.checks}
    assert all(c.wheel is None and c.inertia_factor == 1.0 for c in train.candidates)
    text = words(shown(found))
    assert "DANGER: the flywheel is the pump's fan" in text


# --- order -----------------------------------------------------------------------------------------------------------


def one(*, place=0.9, belts=1, change=0.1, share=1.0, low=0.2, failing=0):
    """A candidate of which only what the order looks at matters."""
    checks = [Check("motor_torque", "", 1.0, low, low), Check("belts", "", share, low, low)]
    checks += [Check(f"other {i}", "", 0.1, -0.5, -0.5) for i in range(failing)]
    base = next(c for c in only(rows=8).candidates)
    passes = all(check.share >= 0.95 for check in checks)
    return replace(base, place=place, belts=belts, change=change, checks=tuple(checks), passes=passes)


def test_order_of_candidates():
    best_first = [
        one(place=0.98, belts=1, change=0.0),
        one(place=0.98, belts=1, change=0.1, low=0.3),
        one(place=0.98, belts=1, change=0.1, low=0.2),
        one(place=0.98, belts=2, change=0.0),
        one(place=0.90, belts=1, change=0.0),
        one(place=1.03, belts=1, change=0.0),
        one(place=1.20, belts=1, change=0.0),
        one(place=0.98, share=0.9),
        one(place=0.98, share=0.5),
        one(place=0.98, failing=1),
        one(place=0.98, failing=2),
    ]
    keys = [order(candidate, certainty=0.95) for candidate in best_first]
    assert keys == sorted(keys)
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize(
    ("place", "expected"),
    [(1.0, (0, 0)), (1.005, (0, 0)), (0.96, (0, 0)), (0.95, (0, 1)), (0.5, (0, 10)), (1.01, (1, 0)), (1.06, (1, 1))],
)
def test_nearness_goes_in_steps_of_5_per_cent(place, expected):
    assert nearness(place) == expected


def test_what_is_missed_stands_before_what_is_near():
    checks = [Check("a", "", 1.0, 0.1, 0.1), Check("b", "", 0.94, -0.01, 0.3), Check("c", "", 0.2, -0.001, 0.0),
              Check("d", "", 1.0, 0.001, 0.1)]  # fmt: skip
    assert [c.name for c in nearest_limit_first(checks, 0.95)] == ["c", "b", "d", "a"]


def test_the_sheave_that_is_there_is_kept_where_it_does():
    """Within one step of the nearest, what is there comes before what would have to be bought."""
    train = only()
    best = train.best()
    stocked = [c for c in train.candidates if c.passes and nearness(c.place) == nearness(best.place)]
    present = [c for c in stocked if c.present]
    assert not present or best.present


# --- table and JSON --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["canoe_works", "glass_studio", "cycle_frames"])
@pytest.mark.parametrize("width", [80, 120])
def test_table_fits_and_says_the_answer_first(name, width):
    found = sheaves(draw(read_plant(ROOT / "examples" / f"{name}.toml"), rows=64))
    text = shown(found, width)
    assert max(len(line) for line in text.splitlines()) <= width
    assert text.startswith(("Buy a", "Keep the sheave", "If the belt is of section", "No sheave"))
    assert "can kill" in text
    assert "each limit is kept in 95 % of the draw" in words(text)


def test_table_names_sheave_belts_speed_and_hertz():
    best = only().best()
    first = words(shown(search())).partition(" Pressure, mains")[0]
    assert ("Keep the sheave that is there" in first) == best.present
    assert f"with {best.belts} belt" in first
    assert "800 rpm at most at" in first
    assert f"{best.hertz.likely:.0f}"[:2] in first


def test_table_says_what_binds_where_nothing_passes():
    found = search(wanted_speed=1000.0 / 60.0)
    text = words(shown(found))
    assert text.startswith("No sheave keeps every limit in 95 % of the draw at 1000 rpm. What binds the best")
    assert "the pump's highest speed, kept in 0 %" in text


def test_sheaves_are_named_as_they_are_sold():
    base = next(c for c in only(rows=8).candidates)
    assert sheave_name(replace(base, section="B", datum=6.4 * INCH)) == "6.4 in"
    assert sheave_name(replace(base, section="3V", outside=5.6 * INCH)) == "5.60 in"
    assert sheave_name(replace(base, section="SPA", datum=0.18)) == "180 mm"


def test_every_limit_has_words_for_table_and_headline():
    names = {limit.name for limit in (*SHEAVE_LIMITS, BELTS)} | set(SHORT)
    assert names <= set(SHORT)
    assert set(SHORT) <= {limit.name for limit in (*LIMITS, *SHEAVE_LIMITS, BELTS)}
    assert all(label_of(name) for name in SHORT)


def test_json_is_complete_and_plain():
    found = search(belt={"wheel_may_change": "yes"}, rows=16)
    data = json.loads(json.dumps(sheaves_json(found), allow_nan=False))
    assert data["schema"] == SCHEMA == "airfettle.sheaves.1"
    train = data["trains"][0]
    assert set(UNITS) <= set(Candidate.__dataclass_fields__)
    for candidate in (*train["candidates"], *train["wheels"]):
        assert set(candidate) == {*Candidate.__dataclass_fields__, "fails"}
        assert candidate["passes"] == (not candidate["fails"])
        assert candidate["hertz"]["low"] <= candidate["hertz"]["likely"] <= candidate["hertz"]["high"]
    assert train["candidates"][train["best"]]["passes"]
    assert train["wanted_speed_per_s"] == pytest.approx(800.0 / 60.0)


def test_json_says_where_nothing_passes():
    data = sheaves_json(search(wanted_speed=1000.0 / 60.0, rows=16))
    assert data["trains"][0]["best"] is None
