"""Rules about the shop's pipe and what its air is used for: each fires, stays silent, and asks."""

import pytest
from air_plants import SI, US
from plant_cases import findings_of
from told_plants import changed

from airfettle.findings.shop_pipe import BLOW_GUN_MOST, LEAK_LEAST
from airfettle.quantity import read_span


def one(rule, plant=US, **lines):
    """What a rule says of a told plant with lines changed."""
    found = findings_of(changed(plant, **lines), rule)
    assert len(found) == 1
    return found[0]


def state(rule, plant=US, **lines):
    found = one(rule, plant, **lines)
    return found.state, found.signal


def silent(rule, plant=US, **lines):
    return findings_of(changed(plant, **lines), rule) == []


# What it is made of.


@pytest.mark.parametrize(
    ("material", "expected"),
    [
        ("PVC or CPVC", ("holds", "danger")),
        ("steel", ("clear", "danger")),
        ("listed plastic for air", ("clear", "danger")),
        (None, ("not told", "warning")),
    ],
)
def test_pvc_pipe(material, expected):
    assert state("pvc_pipe", shop_pipe__material=material) == expected


def test_a_danger_says_what_to_do_and_the_pressure_in_the_owners_units():
    found = one("pvc_pipe", shop_pipe__material="PVC or CPVC")
    assert found.do.startswith("Do not energise or pressurise it")
    assert "up to 140 " in found.says
    assert "psi" in found.says
    assert "osha-plastic-pipe" in found.sources


def test_a_pipe_that_nobody_told_of_is_asked_for():
    found = findings_of('plant.name = "A shed"', "pvc_pipe", rows=64)
    assert [(f.state, f.signal, f.parts) for f in found] == [("not told", "warning", ("shop_pipe",))]
    assert findings_of('shop_pipe = "none"', "pvc_pipe", rows=64) == []


@pytest.mark.parametrize(
    ("material", "listed", "expected"),
    [
        ("PEX", "no", ("holds", "warning")),
        ("other plastic", "no", ("holds", "warning")),
        ("PEX", "yes", ("clear", "warning")),
        ("PEX", None, ("not told", "notice")),
    ],
)
def test_plastic_that_is_not_for_air(material, listed, expected):
    assert state("pipe_not_for_air", shop_pipe__material=material, shop_pipe__listed_for_air=listed) == expected


def test_metal_and_listed_plastic_are_not_asked_for_a_listing():
    for material in ("copper", "steel", "listed plastic for air"):
        assert silent("pipe_not_for_air", shop_pipe__material=material)


@pytest.mark.parametrize(
    ("pressure", "temperature", "expected"),
    [
        ("150 psi by maker", "150 degF by maker", ("holds", "warning")),  # below the relief valve's 175 psi
        ("150 psi", "150 degF by maker", ("holds", "notice")),
        ("130 psi by maker", None, ("holds", "warning")),
        ("300 psi by maker", "40 degF by maker", ("holds", "warning")),
        ("176 psi +/- 5 psi by maker", "150 degF by maker", ("may hold", "notice")),
        ("300 psi by maker", "150 degF by maker", ("clear", "warning")),
    ],
)
def test_a_pipe_beyond_its_rating(pressure, temperature, expected):
    told = {"shop_pipe__pressure_rating": pressure, "shop_pipe__temperature_rating": temperature}
    assert state("pipe_rating", **told) == expected


def test_a_plastic_pipe_is_asked_for_both_ratings_and_a_metal_one_for_none():
    nothing = {"shop_pipe__pressure_rating": None, "shop_pipe__temperature_rating": None}
    assert silent("pipe_rating", **nothing)
    assert state("pipe_rating", SI, **nothing) == ("not told", "notice")
    found = one("pipe_rating", SI, shop_pipe__temperature_rating=None)
    assert (found.state, found.decided_by) == ("not told", ("shop_pipe.temperature_rating",))
    low = {"shop_pipe__temperature_rating": None, "shop_pipe__pressure_rating": "6 bar by maker"}
    assert state("pipe_rating", SI, **low) == ("holds", "warning")


def test_the_relief_valve_that_opens_first_decides_and_one_between_the_stages_does_not():
    one_valve = 'relief_valve = { set_pressure = "175 psi by plate", capacity = "65 scfm by plate" }\n'
    assert one_valve in US
    weak = changed(US.replace(one_valve, ""), shop_pipe__pressure_rating="150 psi by maker")
    valve = '[[relief_valve]]\nname = "{}"\nset_pressure = "{} psi by plate"\nprotects = "{}"\n'
    first = weak + valve.format("a", 175, "receiver") + valve.format("b", 145, "receiver")
    assert [f.state for f in findings_of(first, "pipe_rating")] == ["clear"]
    between = weak + valve.format("a", 175, "receiver") + valve.format("b", 70, "interstage")
    assert [f.state for f in findings_of(between, "pipe_rating")] == ["holds"]
    assert [f.state for f in findings_of(weak, "pipe_rating")] == ["clear"]  # only the cut-out is known


# What its air is used for.


@pytest.mark.parametrize(
    ("nozzle", "expected"),
    [
        ("open nozzle", ("holds", "warning")),
        ("open nozzle, regulated low", ("clear", "warning")),
        ("safety nozzle", ("clear", "warning")),
        ("none", ("clear", "warning")),
        (None, ("not told", "notice")),
    ],
)
def test_blow_guns(nozzle, expected):
    assert state("blow_gun", shop_pipe__blow_gun=nozzle) == expected


def test_an_open_nozzle_on_a_line_below_30_psi():
    low = {"control__cut_in": "15 psi by gauge", "shop_pipe__blow_gun": "open nozzle"}
    assert state("blow_gun", control__cut_out="25 psi by gauge", **low) == ("clear", "warning")
    assert state("blow_gun", control__cut_out="30.2 psi by gauge", **low)[0] == "holds"
    assert read_span("30 psi", kind="pressure").likely == pytest.approx(BLOW_GUN_MOST)


@pytest.mark.parametrize(
    ("use", "proof", "lubrication", "expected"),
    [
        ("breathing", "no", "splash", ("holds", "danger")),
        ("breathing", "no", "oil-free", ("holds", "danger")),
        ("breathing", None, "splash", ("not told", "warning")),
        ("breathing", "yes", "splash", ("holds", "warning")),
        ("breathing", "yes", None, ("holds", "warning")),
        ("breathing", "yes", "oil-free", ("holds", "notice")),
        ("paint or finishing", None, "splash", ("clear", "danger")),
        (None, None, "splash", ("not told", "warning")),
    ],
)
def test_breathing_air(use, proof, lubrication, expected):
    told = {"shop_pipe__finest_use": use, "shop_pipe__breathing_proof": proof, "pump__lubrication": lubrication}
    assert state("breathing_air", **told) == expected


def test_breathing_air_is_never_certified_and_an_oiled_pump_is_named():
    oiled = one("breathing_air", shop_pipe__finest_use="breathing", shop_pipe__breathing_proof="no")
    assert "carbon monoxide" in oiled.says
    assert "This program certifies no breathing air." in oiled.do
    free = one("breathing_air", shop_pipe__finest_use="breathing", shop_pipe__breathing_proof="yes",
               pump__lubrication="oil-free")  # fmt: skip
    assert "oil-free" not in free.says
    assert "nothing here certifies it" in free.says


# Water in it, how it lies, and leaks.


@pytest.mark.parametrize(
    ("use", "coldest", "expected"),
    [
        ("paint or finishing", "40 degF by thermometer", ("holds", "caution")),
        ("blasting", "40 degF by thermometer", ("holds", "caution")),
        ("breathing", "40 degF by thermometer", ("holds", "caution")),
        ("food or glass blowing", "40 degF by thermometer", ("holds", "caution")),
        ("tools only", "40 degF by thermometer", ("holds", "notice")),
        (None, "40 degF by thermometer", ("holds", "notice")),
        ("tools only", "20 degF by thermometer", ("holds", "caution")),  # it freezes
        ("paint or finishing", "54..65 degF", ("may hold", "notice")),
        ("paint or finishing", "65 degF by thermometer", ("clear", "caution")),
        ("paint or finishing", None, ("not told", "notice")),
    ],
)
def test_water_that_falls_out_in_the_pipe(use, coldest, expected):
    assert state("water_in_pipe", shop_pipe__finest_use=use, shop_pipe__coldest=coldest) == expected


def test_the_dew_point_is_ten_degrees_below_the_coldest_place():
    """A dryer that holds 38 degF asks for 56 degF and more."""
    assert state("water_in_pipe", shop_pipe__coldest="54 degF by thermometer")[0] == "holds"
    assert state("water_in_pipe", shop_pipe__coldest="62 degF by thermometer")[0] == "clear"


def test_without_a_dryer_a_pipe_colder_than_the_room_is_wet():
    plant = SI.replace('"separator", "dryer", "receiver"', '"separator", "receiver"')
    start = plant.index("[dryer]")
    plant = plant[:start] + plant[plant.index("\n[", start) + 1 :]
    assert [(f.state, f.signal) for f in findings_of(plant, "water_in_pipe")] == [("holds", "caution")]


@pytest.mark.parametrize(
    ("rule", "entry", "bad", "good"),
    [
        ("branch_from_below", "branches", "from the bottom", "from the top"),
        ("pipe_not_drained", "falls_to_drains", "no", "yes"),
    ],
)
def test_how_the_pipe_lies(rule, entry, bad, good):
    entry = f"shop_pipe__{entry}"
    assert state(rule, **{entry: bad}) == ("holds", "caution")
    assert state(rule, **{entry: good}) == ("clear", "caution")
    assert state(rule, **{entry: None}) == ("not told", "notice")
    assert silent(rule, shop_pipe__material="hose only")


@pytest.mark.parametrize(
    ("leak", "expected"),
    [
        ("4 scfm", ("holds", "caution")),
        ("1..2.2 scfm", ("may hold", "notice")),
        ("1 scfm", ("clear", "caution")),
    ],
)
def test_leaks_over_a_tenth_of_what_is_delivered(leak, expected):
    assert state("leaks", shop_pipe__leak=leak) == expected


def test_small_leaks_and_leaks_that_nobody_told_are_let_be():
    assert silent("leaks", shop_pipe__leak=None)
    assert read_span("0.5 scfm", kind="reference_flow").likely == pytest.approx(LEAK_LEAST)
    tiny = (
        'drive = "none"\npump.size_class = "direct"\npump.displacement_flow = "2 cfm by plate"\nshop_pipe.leak = "{}"\n'
    )
    assert [f.state for f in findings_of(tiny.format("0.4 scfm"), "leaks")] == ["clear"]
    assert [f.state for f in findings_of(tiny.format("0.8 scfm"), "leaks")] == ["holds"]
