"""Rules about the way from pump to receiver: each fires, stays silent, and asks where nothing is told."""

import pytest
from plant_cases import findings_of, states_of
from pressure_plants import SI, US, spoilt

HOLDS, DANGER_NOT_TOLD, NOT_TOLD = ("holds", "danger"), ("not told", "warning"), ("not told", "notice")
COPPER = 'material = "copper, brazed or flared"'
BRAID = 'material = "PTFE hose with steel braid"'
ON_PUMP = US[US.index('[[relief_valve]]\nname = "pump"') :]
NO_PUMP_RELIEF = US.replace(ON_PUMP, "")


def states(rule, text, *changes, rows=32):
    return states_of(spoilt(text, *changes), rule, rows=rows)


def of(rule, part, text, *changes, rows=32):
    """The finding of a rule on one part."""
    (found,) = [f for f in findings_of(spoilt(text, *changes), rule, rows=rows) if f.parts[0] == part]
    return found


def state(rule, part, text, *changes, rows=32):
    found = of(rule, part, text, *changes, rows=rows)
    return found.state, found.signal


# Of what it is made.


@pytest.mark.parametrize("soft", ["copper, soft soldered", "rubber hose", "nylon", "PEX", "PVC"])
def test_what_cannot_stand_the_heat(soft):
    assert states("hot_line_material", US, (COPPER, f'material = "{soft}"')) == [HOLDS]
    assert soft in of("hot_line_material", "hot_line", US, (COPPER, f'material = "{soft}"')).says


@pytest.mark.parametrize("sound", ["steel", "stainless steel", "aluminium", "PTFE hose with steel braid"])
def test_what_can(sound):
    assert states("hot_line_material", US, (COPPER, f'material = "{sound}"')) == [("clear", "danger")]


def test_material_not_told_asks_for_it_and_for_no_rating():
    assert states("hot_line_material", US, (COPPER, "")) == [DANGER_NOT_TOLD]
    for rule in ("part_pressure_rating", "part_temperature_rating"):
        found = findings_of(spoilt(US, (COPPER, "")), rule, rows=8)
        assert "hot_line" not in {f.parts[0] for f in found}


def test_rigid_line():
    assert states("hot_line_rigid", US) == [("clear", "caution")]
    assert states("hot_line_rigid", US, ('flexible_piece = "yes"', 'flexible_piece = "no"')) == [("holds", "caution")]
    assert states("hot_line_rigid", US, ('flexible_piece = "yes"', "")) == [NOT_TOLD]
    assert states("hot_line_rigid", SI) == []  # a hose


def test_stop_valve_with_no_relief_before_it():
    shut = ('stop_valve = "no"', 'stop_valve = "yes"')
    assert states("stop_valve_before_receiver", NO_PUMP_RELIEF) == [("clear", "danger")]
    assert states("stop_valve_before_receiver", NO_PUMP_RELIEF, shut) == [HOLDS]
    assert states("stop_valve_before_receiver", NO_PUMP_RELIEF, ('stop_valve = "no"', "")) == [DANGER_NOT_TOLD]
    assert states("stop_valve_before_receiver", US, shut) == [("clear", "danger")]
    doubtful = ('protects = "pump discharge"', 'protects = "unknown"')
    assert states("stop_valve_before_receiver", US, shut, doubtful) == [DANGER_NOT_TOLD]


# What it is rated for.

RATED = 'pressure_rating = "250 psi by maker"'


def cooler_rated(pressure):
    return (RATED, f'pressure_rating = "{pressure}"')


def test_cooler_below_the_relief_valve_on_the_pumps_outlet():
    assert state("part_pressure_rating", "cooler", US) == ("clear", "danger")
    low = of("part_pressure_rating", "cooler", US, cooler_rated("165 psi by maker"))
    assert (low.state, low.signal, low.parts[1]) == (*HOLDS, "relief_valve.pump")
    assert "175 psi by plate" in low.says


def test_cooler_below_the_relief_valve_on_the_receiver_where_there_is_no_other():
    fine = cooler_rated("165 psi by maker")
    assert state("part_pressure_rating", "cooler", NO_PUMP_RELIEF, fine) == ("clear", "danger")
    low = of("part_pressure_rating", "cooler", NO_PUMP_RELIEF, cooler_rated("140 psi by maker"))
    assert (low.state, low.signal, low.parts[1]) == (*HOLDS, "relief_valve.receiver")


def test_cooler_below_the_cut_out():
    low = of("part_pressure_rating", "cooler", US.partition("[[relief")[0], cooler_rated("100 psi by maker"))
    assert (low.state, low.signal) == HOLDS
    assert "cut-out" in low.says


def test_a_rating_by_hearsay_is_to_be_found_out_first():
    low = of("part_pressure_rating", "cooler", US, cooler_rated("150 psi"))
    assert (low.state, low.signal) == ("holds", "notice")
    assert "cooler.pressure_rating" in low.do


def test_a_rating_half_known_may_be_too_low():
    assert state("part_pressure_rating", "cooler", US, cooler_rated("172..190 psi"), rows=256) == ("may hold", "notice")


def test_a_rating_equal_to_the_setting_is_in_order():
    assert state("part_pressure_rating", "cooler", US, cooler_rated("175 psi by maker")) == ("clear", "danger")


@pytest.mark.parametrize(
    ("text", "line", "part"),
    [
        (US, RATED, "cooler"),
        (US, 'pressure_rating = "250 psi by plate"', "separator"),
        (SI, 'pressure_rating = "70 bar by plate"', "hot_line"),
    ],
)
def test_a_rating_not_told_is_asked_for(text, line, part):
    assert state("part_pressure_rating", part, text, (line, "")) == DANGER_NOT_TOLD


def test_separator_and_hose_are_judged_too():
    low = ('pressure_rating = "250 psi by plate"', 'pressure_rating = "150 psi by plate"')
    assert state("part_pressure_rating", "separator", US, low) == HOLDS
    hose = ('pressure_rating = "70 bar by plate"', 'pressure_rating = "8.5 bar by plate"')
    assert state("part_pressure_rating", "hot_line", SI, hose) == HOLDS


def test_a_metal_line_is_asked_for_no_rating():
    assert {f.parts[0] for f in findings_of(US, "part_pressure_rating", rows=8)} == {"cooler", "separator"}


def test_cooler_and_hose_below_the_heat():
    hot = 'temperature_rating = "450 °F by maker"'
    assert state("part_temperature_rating", "cooler", US) == ("clear", "danger")
    found = of("part_temperature_rating", "cooler", US, (hot, 'temperature_rating = "200 °F by maker"'))
    assert (found.state, found.signal) == HOLDS
    assert "200 °F by maker" in found.says
    assert state("part_temperature_rating", "cooler", US, (hot, 'temperature_rating = "200 °F"')) == ("holds", "notice")
    assert state("part_temperature_rating", "cooler", US, (hot, "")) == DANGER_NOT_TOLD
    hose = 'temperature_rating = "300 °C by maker"'
    assert state("part_temperature_rating", "hot_line", SI, (hose, 'temperature_rating = "120 °C by plate"')) == HOLDS
    assert state("part_temperature_rating", "hot_line", SI, (hose, "")) == DANGER_NOT_TOLD


def test_cooler_that_may_get_air_too_hot():
    near = ('temperature_rating = "300 °C by plate"', 'temperature_rating = "205 °C by plate"')
    assert state("part_temperature_rating", "cooler", SI, near, rows=256) == ("may hold", "notice")


# How hot the air leaves.

LIMIT = 'discharge_limit = "260 °C by maker"'
HIGH = ('cut_out = "6.5 bar by gauge"', 'cut_out = "8 bar by gauge"')
VERY_HIGH = ('cut_out = "6.5 bar by gauge"', 'cut_out = "10 bar by gauge"')
FURNACE = ('room_temperature = "15..25 °C"', 'room_temperature = "45..55 °C"')


def test_one_stage_is_a_caution_above_177_degrees():
    assert states("discharge_temperature", SI, HIGH, rows=256) == [("holds", "caution")]
    assert states("discharge_temperature", SI, HIGH, (LIMIT, ""), rows=256) == [("holds", "caution")]
    low = (('cut_out = "6.5 bar by gauge"', 'cut_out = "2 bar by gauge"'),
           ('cut_in = "5 bar by gauge"', 'cut_in = "1 bar by gauge"'))  # fmt: skip
    assert [found[0] for found in states("discharge_temperature", SI, *low, rows=256)] == ["clear"]


def test_one_stage_is_a_warning_above_205_degrees_where_no_limit_is_told():
    assert states("discharge_temperature", SI, VERY_HIGH, FURNACE, (LIMIT, ""), rows=256) == [("holds", "warning")]


def test_a_limit_by_the_maker_takes_the_place_of_the_general_one():
    roomy = (LIMIT, 'discharge_limit = "330 °C by maker"')
    assert states("discharge_temperature", SI, VERY_HIGH, FURNACE, roomy, rows=256) == [("holds", "caution")]
    tight = (LIMIT, 'discharge_limit = "150 °C by maker"')
    assert states("discharge_temperature", SI, tight, rows=256) == [("holds", "warning")]


def test_a_limit_by_hearsay_does_not():
    roomy = (LIMIT, 'discharge_limit = { is = "330 °C", known = "told" }')
    assert states("discharge_temperature", SI, VERY_HIGH, FURNACE, roomy, rows=256) == [("holds", "warning")]
    tight = (LIMIT, 'discharge_limit = { is = "110..130 °C", known = "told" }')
    assert states("discharge_temperature", SI, tight, rows=256) == [("holds", "notice")]


def test_two_stages_are_a_warning_above_177_degrees():
    assert states("discharge_temperature", US, rows=256) == [("clear", "warning")]
    high = ('cut_out = "125 psi by gauge"', 'cut_out = "400 psi by gauge"')
    assert states("discharge_temperature", US, high, rows=256) == [("holds", "warning")]
    some = ('cut_out = "125 psi by gauge"', 'cut_out = "200 psi by gauge"')
    assert states("discharge_temperature", US, some, rows=256) == [("may hold", "notice")]
