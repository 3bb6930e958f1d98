"""Rules about the receiver: each fires, stays silent, and asks where nothing is told."""

import numpy as np
import pytest
from plant_cases import findings_of, plant_of, states_of
from pressure_plants import SI, US, spoilt

from airfettle.findings import hot_line, pressure_boundary, relief_valves, vessel_law
from airfettle.findings.judge import judge
from airfettle.findings.register import RULES
from airfettle.findings.vessel_law import law_of
from airfettle.parts.vessel import required_wall_outside
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach

MODULES = {module.__name__ for module in (hot_line, pressure_boundary, relief_valves, vessel_law)}
MINE = {name for name, rule in RULES.items() if rule.judge.__module__ in MODULES}
HOLDS, DANGER_NOT_TOLD, NOT_TOLD = ("holds", "danger"), ("not told", "warning"), ("not told", "notice")


def state(rule, text, *changes, rows=32):
    """State and signal word of the only verdict of a rule."""
    (found,) = states_of(spoilt(text, *changes), rule, rows=rows)
    return found


def says(rule, text, *changes, rows=32):
    """Words of the only verdict of a rule."""
    (found,) = findings_of(spoilt(text, *changes), rule, rows=rows)
    return found.says


def clear(rule, text, *changes, rows=32):
    """Whether all a rule says of a plant is that it is in order."""
    found = states_of(spoilt(text, *changes), rule, rows=rows)
    return bool(found) and all(state == "clear" for state, _ in found)


@pytest.mark.parametrize("text", [US, SI], ids=["US", "SI"])
def test_a_good_plant_told_in_full_hears_nothing_above_a_notice(text):
    found = [f for f in judge(reach(draw(plant_of(text), rows=1024))) if f.rule in MINE]
    assert {f.signal for f in found} <= {"notice"}
    assert {f.rule for f in found} <= {"inspection_law", "discharge_temperature"}


def test_every_rule_looks_at_one_of_the_good_plants():
    seen = {f.rule for text in (US, SI) for f in judge(reach(draw(plant_of(text), rows=8)), clear=True)}
    assert seen >= MINE


def test_a_plant_without_any_of_it_hears_only_of_the_pump_and_the_receiver():
    bare = 'relief_valve = "none"\ncheck_valve = "none"\nhot_line = "none"\ncooler = "none"\n'
    found = {f.rule for f in judge(reach(draw(plant_of(bare), rows=32)), clear=True)} & MINE
    receiver = {name for name in MINE if RULES[name].judge.__module__ == pressure_boundary.__name__} - {"thin_wall"}
    assert found == receiver | {"inspection_law", "relief_missing", "pump_side_relief", "discharge_temperature"}


# The plate.


def test_no_plate_is_a_danger():
    plate = ('plate_pressure = "200 psi by plate"', 'plate_readable = "no"')
    assert state("receiver_plate", US, plate) == HOLDS


def test_a_number_by_hearsay_does_not_stand_for_a_plate_that_cannot_be_read():
    told = ('plate_pressure = "200 psi by plate"', 'plate_readable = "no"\nplate_pressure = "200 psi"')
    assert state("receiver_plate", US, told) == HOLDS


@pytest.mark.parametrize("readable", ["", 'plate_readable = "yes"'])
def test_a_plate_nobody_read_is_asked_for(readable):
    assert state("receiver_plate", US, ('plate_pressure = "200 psi by plate"', readable)) == DANGER_NOT_TOLD


def test_cut_out_above_the_plate():
    low = ('plate_pressure = "200 psi by plate"', 'plate_pressure = "110 psi by plate"')
    assert state("receiver_plate", US, low) == HOLDS
    assert "110 psi by plate" in says("receiver_plate", US, low)
    assert "125 " in says("receiver_plate", US, low)


def test_cut_out_above_a_plate_by_hearsay_is_to_be_found_out_first():
    low = ('plate_pressure = "200 psi by plate"', 'plate_pressure = "110 psi"')
    assert state("receiver_plate", US, low) == ("holds", "notice")


def test_cut_out_that_may_lie_above_the_plate():
    near = ('plate_pressure = "200 psi by plate"', 'plate_pressure = "127 psi by plate"')
    assert state("receiver_plate", US, near, rows=256) == ("may hold", "notice")


# Shell, feet, rust, gauge.

FACTS = [
    ("receiver_altered", 'altered = "no"', "altered", "by someone else", "danger"),
    ("gas_proof_test", 'proof_test = "no"', "proof_test", "with air or gas", "danger"),
    ("receiver_rust", 'rust_inside = "no"', "rust_inside", "yes", "danger"),
    ("receiver_gauge", 'gauge = "yes"', "gauge", "no", "warning"),
]


@pytest.mark.parametrize(("rule", "line", "fact", "bad", "signal"), FACTS, ids=[case[0] for case in FACTS])
def test_questions_of_fact(rule, line, fact, bad, signal):
    assert clear(rule, US)
    assert state(rule, US, (line, f'{fact} = "{bad}"')) == ("holds", signal)
    assert state(rule, US, (line, "")) == ("not told", "warning" if signal == "danger" else "notice")


def test_a_danger_that_holds_stops_the_plant_and_defers_to_an_inspector():
    (found,) = findings_of(spoilt(US, ('altered = "no"', 'altered = "by someone else"')), "receiver_altered", rows=8)
    assert found.do.startswith("Do not energise or pressurise it")
    assert "inspector" in found.do
    assert found.decided_by == ("receiver.altered",)


def test_rust_is_not_asked_of_a_new_tank():
    assert clear("receiver_rust", SI)
    assert state("receiver_rust", SI, ('condition = "new"', 'condition = "unknown"')) == DANGER_NOT_TOLD


def test_feet_not_made_for_it():
    assert clear("receiver_feet", US)  # never turned
    assert clear("receiver_feet", SI)  # turned, on feet made for it
    assert state("receiver_feet", US, ('turned = "no"', 'turned = "no"\nmade_for_it = "no"')) == HOLDS
    assert state("receiver_feet", SI, ('made_for_it = "yes"', 'made_for_it = "no"')) == HOLDS
    assert "upright to lying" in says("receiver_feet", SI, ('made_for_it = "yes"', 'made_for_it = "no"'))


@pytest.mark.parametrize("turned", ["upright to lying", "unknown"])
def test_feet_are_asked_for_where_the_tank_may_have_been_turned(turned):
    asked = (('made_for_it = "yes"', ""), ('turned = "upright to lying"', f'turned = "{turned}"'))
    assert state("receiver_feet", SI, *asked) == DANGER_NOT_TOLD


# The wall.


def test_wall_of_a_used_tank_never_measured():
    unmeasured = ('wall_thickness = "0.25 in by ultrasound"', "")
    assert clear("wall_not_measured", US)
    assert clear("wall_not_measured", SI)
    assert state("wall_not_measured", US, unmeasured) == ("holds", "warning")
    assert state("wall_not_measured", US, unmeasured, ('condition = "used"', "")) == NOT_TOLD
    assert states_of(spoilt(US, unmeasured), "thin_wall", rows=8) == []


def test_thin_wall_against_the_formula():
    wall = 'wall_thickness = "0.25 in by ultrasound"'
    assert clear("thin_wall", US)
    assert state("thin_wall", US, (wall, 'wall_thickness = "0.08 in by ultrasound"')) == ("holds", "warning")
    assert state("thin_wall", US, (wall, 'wall_thickness = "0.15 in by ultrasound"')) == ("holds", "notice")
    assert state("thin_wall", US, ('diameter = "24 in by tape"', "")) == NOT_TOLD


def test_thin_wall_says_what_the_formula_asks():
    words = says("thin_wall", US, ('"0.25 in by ultrasound"', '"0.08 in by ultrasound"'))
    asked = required_wall_outside(
        gauge_pressure=200 * 6894.757, outside_radius=12 * 0.0254, allowable_stress=160e6, joint_efficiency=1.0
    )
    assert f"{float(asked) / 0.0254:.3f}" in words
    assert "0.08 in by ultrasound" in words


def test_a_wall_about_as_thick_as_asked_may_be_too_thin():
    needed = float(required_wall_outside(
        gauge_pressure=200 * 6894.757, outside_radius=12 * 0.0254, allowable_stress=118e6, joint_efficiency=0.7
    ))  # fmt: skip
    told = f'wall_thickness = "{needed * 1000 + 0.05:.3f} mm by ultrasound"'
    assert state("thin_wall", US, ('wall_thickness = "0.25 in by ultrasound"', told), rows=256) == (
        "may hold", "notice")  # fmt: skip


def test_a_wall_can_be_judged_at_a_plate_no_shell_has():
    mad = ('plate_pressure = "200 psi by plate"', 'plate_pressure = "10000 psi by plate"')
    assert state("thin_wall", US, mad) == ("holds", "warning")


# The drain.


def test_no_drain_or_one_out_of_reach():
    assert clear("receiver_drain", US)  # never turned
    assert clear("receiver_drain", SI)
    assert state("receiver_drain", US, ('drain = "automatic"', 'drain = "none"')) == ("holds", "warning")
    assert state("receiver_drain", SI, ('drain_at_lowest = "yes"', 'drain_at_lowest = "no"')) == ("holds", "warning")
    assert state("receiver_drain", SI, ('drain_at_lowest = "yes"', "")) == NOT_TOLD
    assert "100.0 L" in says("receiver_drain", SI, ('drain_at_lowest = "yes"', ""), ("200 L by plate", "200 L +/- 0 L"))


def test_water_that_stays_in_a_tank_laid_down():
    half = ('drain_at_lowest = "yes"', 'diameter = "450 mm by tape"\ndrain_height = "225 mm by tape"')
    assert state("receiver_drain", SI, half) == ("holds", "warning")
    words = says("receiver_drain", SI, half)
    litres = float(words.partition(": ")[2].split()[0])
    np.testing.assert_allclose(litres, 100.0, rtol=0.05)  # a drain in the middle leaves half


def test_drain_height_against_a_quarter_inch():
    lies = 'drain_at_lowest = "yes"'
    assert clear("receiver_drain", SI, (lies, 'drain_height = "0 mm by tape"'))
    assert state("receiver_drain", SI, (lies, 'drain_height = "5..8 mm"'), rows=256) == ("holds", "warning")
    assert state("receiver_drain", SI, (lies, 'drain_height = "3..7 mm"'), rows=256) == ("may hold", "notice")
    assert "water to that height" in says("receiver_drain", SI, (lies, 'drain_height = "30 mm"'))


# The law.

LAWS = [
    ("US, Minnesota", "US"), ("U.S.A.", "US"), ("New England, United States", "US"), ("Wales", "UK"),
    ("Northern Ireland", "UK"), ("Ireland", "EU"), ("EU", "EU"), ("Czech Republic", "EU"),
    ("New South Wales, Australia", "Australia"), ("Norway", ""), ("the house in the wood", ""), ("", ""),
]  # fmt: skip


@pytest.mark.parametrize(("place", "law"), LAWS, ids=[place or "not told" for place, _ in LAWS])
def test_whose_law(place, law):
    assert law_of(place) == law


@pytest.mark.parametrize("place", ["US, Maine", "Australia", "UK", "Spain"])
def test_law_is_a_notice_where_the_place_is_told(place):
    assert state("inspection_law", SI, ("Denmark", place)) == ("holds", "notice")


def test_law_is_silent_where_the_place_is_not_told_or_the_tank_is_small():
    assert clear("inspection_law", SI, ('place = "Denmark"', ""))
    small = ('volume = "200 L by plate"', 'volume = "20 L by plate"')
    assert clear("inspection_law", SI, ("Denmark", "UK"), small)  # 220 bar L
    assert state("inspection_law", SI, small) == ("holds", "notice")  # above 50 bar L
    assert clear("inspection_law", SI, ('volume = "200 L by plate"', 'volume = "4 L by plate"'))  # 44 bar L


def test_law_says_pressure_times_volume():
    assert "2200 bar L" in says("inspection_law", SI, ("200 L by plate", "200 L +/- 0 L"))
    assert "written scheme" in says("inspection_law", SI, ("Denmark", "England"))
