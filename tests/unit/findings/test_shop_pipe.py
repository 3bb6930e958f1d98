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


# The same where the pipe is told run by run.

RUNS = {
    "shop_pipe__pipe": "copper L 1 in",
    "shop_pipe__runs": '["receiver, 8 ft, A, 30 ft, B, 20 ft, C"]',
    "shop_pipe__drops": '[{ at = "B", name = "bench", drain = "yes" }, { at = "C", name = "booth", drain = "yes" }]',
}


def run_of(way, **more):
    """Lines of a pipe with one run of its own."""
    told = "".join(f', {name} = "{value}"' for name, value in more.items())
    return f'[{{ way = "{way}", name = "main"{told} }}]'


def test_pvc_in_one_drop_is_a_danger_whatever_is_told_of_the_whole():
    drops = '[{ at = "B", name = "bench", pipe = "PVC 21 mm bore" }]'
    told = RUNS | {"shop_pipe__drops": drops}
    for material in ("copper", "steel", None):
        found = one("pvc_pipe", shop_pipe__material=material, **told)
        assert (found.state, found.signal) == ("holds", "danger")
        assert "drop bench" in found.says
        assert "140 " in found.says
        assert found.parts == ("shop_pipe", "shop_pipe.drops.bench")
        assert found.do.startswith("Do not energise or pressurise it")


def test_stock_pipe_answers_what_the_pipe_is_made_of():
    assert state("pvc_pipe", shop_pipe__material=None, **RUNS) == ("clear", "danger")
    assert state("pvc_pipe", shop_pipe__material="PVC or CPVC", **RUNS) == ("holds", "danger")


def test_a_run_of_plastic_is_asked_whether_it_is_for_air():
    pex = RUNS | {"shop_pipe__drops": '[{ at = "B", name = "bench", pipe = "PEX 3/4 in" }]'}
    expected = {"no": ("holds", "warning"), "yes": ("clear", "warning"), None: ("not told", "notice")}
    for listed, said in expected.items():
        found = one("pipe_not_for_air", shop_pipe__listed_for_air=listed, **pex)
        assert (found.state, found.signal) == said
        assert ("PEX 3/4 in (drop bench)" in found.says) == (listed != "yes")
    assert silent("pipe_not_for_air", **RUNS)


def ratings(**lines):
    """What pipe_rating says, by its first part."""
    return {f.parts[0]: f for f in findings_of(changed(US, **lines), "pipe_rating")}


def test_every_stock_is_held_to_its_own_rating_beside_the_one_told():
    mixed = RUNS | {"shop_pipe__drops": '[{ at = "B", name = "bench", pipe = "PEX 3/4 in" }]'}
    main, bench = "shop_pipe.runs.receiver to C", "shop_pipe.drops.bench"
    found = ratings(**mixed)
    assert {path: f.state for path, f in found.items()} == {"shop_pipe": "clear", main: "clear", bench: "holds"}
    assert found[bench].signal == "warning"
    assert "PEX 3/4 in (drop bench) is rated 1" in found[bench].says
    assert "it can come under 175" in found[bench].says
    assert found[bench].decided_by == (f"{bench}.pipe",)
    untold = mixed | {"shop_pipe__pressure_rating": None, "shop_pipe__temperature_rating": None}
    assert set(ratings(**untold)) == {main, bench}


def test_copper_of_untold_joints_is_a_notice_to_look_and_told_ones_are_held_to_their_own():
    weak = {"cut_out": "170 psi by gauge", "cut_in": "140 psi by gauge"}
    lines = {f"control__{name}": value for name, value in weak.items()}
    hot = changed(US, **RUNS, **lines).replace('room_temperature = "60..80 degF"', 'room_temperature = "135..145 degF"')

    def said(joints):
        text = hot.replace('pipe = "copper L 1 in"', f'pipe = "copper L {joints} 1 in"')
        return next(f for f in findings_of(text, "pipe_rating") if f.parts[0] == "shop_pipe.runs.receiver to C")

    untold = said("")
    assert (untold.state, untold.signal, untold.rule_signal) == ("holds", "notice", "notice")
    assert "soft-soldered joints" in untold.says
    assert "'copper L brazed 1 in'" in untold.do
    for joints in ("brazed", "lead-free"):
        assert said(joints).state == "clear"
    hot = hot.replace('set_pressure = "175 psi by plate"', 'set_pressure = "600 psi by plate"')
    assert (said("").state, said("").signal) == ("holds", "warning")  # beyond any joint


def test_pvc_and_pipe_of_no_known_rating_are_not_held_to_one():
    told = {"shop_pipe__pressure_rating": None, "shop_pipe__temperature_rating": None}
    pvc = RUNS | told | {"shop_pipe__pipe": "PVC 21 mm bore"}
    assert ratings(**pvc) == {}
    plastic = RUNS | told | {"shop_pipe__pipe": "listed plastic 21 mm bore"}
    assert {path: (f.state, f.signal) for path, f in ratings(**plastic).items()} == {
        "shop_pipe": ("not told", "notice")
    }


def test_a_cold_run_is_judged_by_its_own_coldest_place():
    cold = RUNS | {"shop_pipe__runs": run_of("receiver, 8 ft, A, 30 ft, B, 20 ft, C", coldest="20 degF by thermometer")}
    found = {f.parts[0]: f for f in findings_of(changed(US, shop_pipe__coldest="70 degF by thermometer", **cold),
                                                "water_in_pipe")}  # fmt: skip
    assert {path: (f.state, f.signal) for path, f in found.items()} == {
        "shop_pipe.runs.main": ("holds", "caution"), "shop_pipe": ("clear", "caution"),
    }  # fmt: skip
    assert "coldest place of run main 20 degF" in found["shop_pipe.runs.main"].says
    warm = RUNS | {"shop_pipe__runs": run_of("receiver, 8 ft, A, 30 ft, B, 20 ft, C", coldest="70 degF by thermometer")}
    assert state("water_in_pipe", shop_pipe__coldest=None, **warm) == ("clear", "caution")
    assert state("water_in_pipe", shop_pipe__coldest=None, **RUNS) == ("not told", "notice")


@pytest.mark.parametrize(
    ("leaves", "branches", "expected"),
    [
        ("from the bottom", "from the top", ("holds", "caution")),
        ("from the side", "from the bottom", ("clear", "caution")),
        ("from the top", None, ("clear", "caution")),
        ("unknown", "from the bottom", ("holds", "caution")),
        ("unknown", "from the top", ("clear", "caution")),
        ("unknown", None, ("not told", "notice")),
    ],
)
def test_how_a_drop_leaves_the_main(leaves, branches, expected):
    told = RUNS | {"shop_pipe__drops": f'[{{ at = "B", name = "bench", leaves = "{leaves}" }}]'}
    found = one("branch_from_below", shop_pipe__branches=branches, **told)
    assert (found.state, found.signal) == expected
    assert ("bench" in found.says) == (found.state == "holds")


def lies(heights, *, runs='["receiver, A, B, C"]', drains="[]", drain="yes", **lines):
    """What is said of main and drops of a pipe with heights of receiver, A, B and C in feet, and one drop at A."""
    names = ("receiver", "A", "B", "C")
    places = ", ".join(
        f'{name} = "{10 * n}, 0, {z} ft"' for n, (name, z) in enumerate(zip(names, heights, strict=True))
    )
    told = {"runs": runs, "drains": drains, "places": f"{{ {places} }}", "pipe": "copper L 1 in",
            "drops": f'[{{ at = "A", name = "bench", drain = "{drain}" }}]'}  # fmt: skip
    lines = {"falls_to_drains": None} | lines
    found = findings_of(changed(US, **{f"shop_pipe__{name}": value for name, value in (told | lines).items()}),
                        "pipe_not_drained")  # fmt: skip
    assert {f.parts[0] for f in found} == {"shop_pipe", "shop_pipe.drops.bench"}
    return sorted(found, key=lambda f: f.parts)


@pytest.mark.parametrize(
    ("heights", "lines", "wet"),
    [
        ((2, 9, 8.8, 8.5), {}, "C"),  # falls on to its end
        ((2, 9, 8.8, 8.5), {"drains": '["C"]'}, ""),
        ((2, 9, 8.5, 9), {}, "B"),  # a sag
        ((2, 9, 8.5, 9), {"drains": '["B"]'}, ""),
        ((2, 8, 8.5, 9), {}, ""),  # all of it back to the receiver
        ((2, 9, 9, 9), {}, "B and C"),  # level pipe does not fall
        ((2, 9, 9, 9), {"runs": run_of("receiver, A, B, C", falls_to="C"), "drains": '["C"]'}, ""),
        ((2, 9, 9, 9), {"runs": run_of("receiver, A, B, C", falls_to="C")}, "C"),
        ((2, 9, 9, 9), {"runs": run_of("receiver, A, B, C", falls_to="receiver")}, ""),
        ((2, 9, 9, 9), {"falls_to_drains": "yes"}, ""),  # who looked knows better than heights to the foot
        ((2, 9, 8.5, 9), {"falls_to_drains": "yes"}, "B"),  # but a sag is a sag
        ((10, 9, 9.5, 9.8), {"drain": "no"}, "A"),
        ((10, 9, 9.5, 9.8), {}, "A"),  # the drop's leg drains the drop; it leaves the main from the top
        ((10, 9, 9.5, 9.8), {"branches": "from the bottom"}, ""),  # from below it drains the main too
    ],
)
def test_low_points_by_heights(heights, lines, wet):
    main = lies(heights, **lines)[0]
    assert (main.state, main.signal) == (("holds" if wet else "clear"), "caution")
    assert main.says.startswith(f"Water stays at {wet}:" if wet else "")


def test_a_ring_that_falls_to_where_it_begins_has_one_low_point():
    ring = '["receiver, A", { way = "A, B, C, A", name = "ring", falls_to = "A" }]'
    assert lies((12, 9, 9, 9), runs=ring, drain="no")[0].says.startswith("Water stays at A:")
    assert lies((2, 9, 9, 9), runs=ring)[0].state == "clear"
    other = ring.replace('falls_to = "A"', 'falls_to = "B"')
    assert lies((2, 9, 9, 9), runs=other)[0].says.startswith("Water stays at B:")


def test_without_heights_the_question_stays():
    for told, expected in (("no", ("holds", "caution")), ("yes", ("clear", "caution")), (None, ("not told", "notice"))):
        found = findings_of(changed(US, **RUNS | {"shop_pipe__falls_to_drains": told}), "pipe_not_drained")
        assert [(f.state, f.signal) for f in found] == [expected, ("clear", "caution")]
    assert lies((2, 8, 8.5, 9), falls_to_drains="no")[0].state == "holds"


@pytest.mark.parametrize(
    ("drain", "expected"),
    [("yes", ("clear", "caution")), ("no", ("holds", "caution")), ("unknown", ("not told", "notice"))],
)
def test_drops_end_in_a_leg_with_a_drain(drain, expected):
    legs = lies((2, 8, 8.5, 9), drain=drain)[1]
    assert (legs.state, legs.signal) == expected
    assert legs.decided_by == (() if drain == "yes" else ("shop_pipe.drops.bench.drain",))


def test_drops_without_a_leg_are_told_together_with_those_nobody_looked_at():
    ends = (("A", "bench", "no"), ("B", "booth", "unknown"), ("C", "jig", "yes"))
    told = (f'{{ at = "{at}", name = "{name}", drain = "{drain}" }}' for at, name, drain in ends)
    drops = f"[{', '.join(told)}]"
    legs, main = findings_of(changed(US, **RUNS | {"shop_pipe__drops": drops}), "pipe_not_drained")
    assert (main.state, legs.state) == ("clear", "holds")
    assert legs.parts == ("shop_pipe.drops.bench", "shop_pipe.drops.booth")
    assert legs.says.endswith("bench. Not told of booth.")


def test_a_network_of_hose_is_asked_neither_for_falls_nor_for_branches():
    hose = RUNS | {"shop_pipe__pipe": "hose 1/2 in", "shop_pipe__branches": None, "shop_pipe__falls_to_drains": None}
    for rule in ("pipe_not_drained", "branch_from_below"):
        assert silent(rule, **hose)
