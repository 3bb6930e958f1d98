"""Rules about dryers of desiccant, beads and membrane: what stands around them, and what they can carry."""

import pytest
from air_plants import SI, US
from plant_cases import findings_of
from told_plants import changed

NO_FILTERS = US[: US.index("[[filter]]")]
MIST = '[[filter]]\nname = "mist"\npurpose = "coalescing"\n'
DUST = '[[filter]]\nname = "dust"\npurpose = "particles"\n'
ODD = '[[filter]]\nname = "odd"\n'
REGENERATIVE = ("desiccant, heatless", "desiccant, heated purge", "desiccant, blower purge")
GOOD = ["separator", "receiver", "filter.mist", "dryer", "filter.dust"]


def plant(kind, *path, filters=MIST + DUST, base=NO_FILTERS, **more):
    text = changed(base, dryer__kind=kind, **({"dryer__rated_dew_point": None} | more))
    order = ", ".join(f'"{name}"' for name in path)
    return text.replace('units = "US"', f'units = "US", air_path = [{order}]') + filters


def order(kind, *path, **more):
    found = [f for f in findings_of(plant(kind, *path, **more), "treatment_order") if f.parts == ("dryer",)]
    assert len(found) == 1
    return found[0].state, found[0].signal


@pytest.mark.parametrize("kind", [*REGENERATIVE, "bead cartridge", "membrane"])
def test_between_its_filters_a_dryer_is_in_order(kind):
    assert order(kind, *GOOD) == ("clear", "warning")


@pytest.mark.parametrize("kind", [*REGENERATIVE, "membrane"])
def test_desiccant_or_membrane_without_a_coalescing_filter_before_it(kind):
    path = ["separator", "receiver", "dryer", "filter.dust"]
    assert order(kind, *path, filters=DUST) == ("holds", "warning")


def test_a_cartridge_without_a_coalescing_filter():
    path = ["separator", "receiver", "dryer", "filter.dust"]
    assert order("bead cartridge", *path, filters=DUST) == ("holds", "caution")
    assert order("bead cartridge", *path, filters=DUST, pump__lubrication="oil-free") == ("holds", "notice")


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        *((kind, ("holds", "warning")) for kind in REGENERATIVE),
        ("bead cartridge", ("holds", "notice")),
        ("membrane", ("clear", "warning")),
    ],
)
def test_without_a_filter_for_dust_behind_it(kind, expected):
    assert order(kind, "separator", "receiver", "filter.mist", "dryer", filters=MIST) == expected


@pytest.mark.parametrize("kind", [*REGENERATIVE, "bead cartridge", "membrane"])
def test_before_the_bulk_water_is_out(kind):
    assert order(kind, "filter.mist", "dryer", "filter.dust", "receiver") == ("holds", "warning")


def test_more_than_a_mist_of_liquid_reaches_it():
    """A separator stands before it, but catches little."""
    path = ["separator", "filter.dust", "filter.mist", "dryer", "receiver"]
    wet = {"site__humidity": "85..95 %", "site__room_temperature": "85..95 degF"}
    after = {"filters": MIST.replace("coalescing", "carbon") + DUST}
    told = plant("bead cartridge", *path, separator__efficiency="5..6 %", **after, **wet)
    found = next(f for f in findings_of(told, "treatment_order") if f.parts == ("dryer",))
    assert (found.state, found.signal) == ("holds", "warning")
    assert "Liquid water" in found.says
    assert order("bead cartridge", *path, separator__efficiency="98..99 %", **after, **wet) == ("holds", "caution")


def test_a_filter_of_which_nothing_is_told_may_be_the_one():
    path = ["separator", "receiver", "filter.odd", "dryer", "filter.dust"]
    assert order("desiccant, heatless", *path, filters=ODD + DUST) == ("not told", "notice")
    path = ["separator", "receiver", "filter.mist", "dryer", "filter.odd"]
    assert order("desiccant, heatless", *path, filters=MIST + ODD) == ("not told", "notice")


def test_a_dryer_of_beads_takes_no_bulk_water_out_for_the_filter_behind_it():
    found = findings_of(plant("membrane", "dryer", "filter.mist", "receiver", filters=MIST), "treatment_order")
    assert {f.parts[0]: f.state for f in found} == {"dryer": "holds", "filter.mist": "holds"}
    found = findings_of(plant("refrigerated", "dryer", "filter.mist", "receiver", filters=MIST), "treatment_order")
    assert {f.parts[0]: f.state for f in found} == {"filter.mist": "clear"}


def load(kind, rule="dryer_overloaded", **lines):
    return [(f.state, f.signal) for f in findings_of(plant(kind, *GOOD, **lines), rule)]


@pytest.mark.parametrize("kind", [*REGENERATIVE, "membrane"])
def test_a_dryer_too_small(kind):
    assert load(kind, dryer__rated_flow="6 scfm by plate") == [("holds", "warning")]
    assert load(kind, dryer__rated_flow="6 scfm") == [("holds", "notice")]
    assert load(kind) == [("clear", "warning")]
    assert load(kind, dryer__rated_flow=None) == [("not told", "notice")]


def test_a_heatless_dryer_starved_of_purge():
    """At a low load a little purge will do; near its rating a twentieth will not."""
    assert load("desiccant, heatless", dryer__purge_share="2 %", dryer__rated_flow="20 scfm by plate") == [
        ("holds", "warning")
    ]
    assert load("desiccant, heated purge", dryer__purge_share="2 %", dryer__rated_flow="20 scfm by plate") == [
        ("clear", "warning")
    ]


@pytest.mark.parametrize(
    ("mass", "expected"),
    [("0.7 lb by scale", ("holds", "caution")), ("60 lb by scale", ("clear", "caution")),
     ("1..10 lb", ("may hold", "notice"))],
)  # fmt: skip
def test_beads_soon_spent(mass, expected):
    assert sorted(load("bead cartridge", dryer__bead_mass=mass)) == sorted([expected, ("clear", "warning")])
    assert load("bead cartridge", dryer__bead_mass=mass, dryer__rated_flow=None) == [expected]


def test_beads_say_how_long_they_last():
    told = plant("bead cartridge", *GOOD, dryer__bead_mass="0.7 lb by scale")
    found = next(f for f in findings_of(told, "dryer_overloaded") if f.state == "holds")
    assert "hours of running" in found.says
    assert "dryer.bead_mass" in found.decided_by


@pytest.mark.parametrize("kind", [*REGENERATIVE, "membrane"])
def test_air_too_hot(kind):
    assert load(kind, "dryer_inlet_hot", dryer__rated_inlet_temperature="60 degF by plate") == [("holds", "warning")]
    assert load(kind, "dryer_inlet_hot") == [("clear", "warning")]


def test_a_cartridge_has_no_rated_inlet_temperature_unless_told():
    assert load("bead cartridge", "dryer_inlet_hot", dryer__rated_inlet_temperature=None) == []


def test_a_dryer_before_the_receiver_is_not_told_of_bursts():
    text = changed(SI, dryer__kind="desiccant, heatless")
    assert [f.state for f in findings_of(text, "dryer_after_receiver")] == ["clear"]
