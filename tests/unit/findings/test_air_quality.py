"""Rules about cooling, drying, filtering and the intake: each fires, stays silent, and asks where nothing is told."""

import pytest
from air_plants import SI, US
from plant_cases import findings_of, plant_of
from told_plants import changed

from airfettle.findings import air_quality, shop_pipe, treatment
from airfettle.findings.judge import judge
from airfettle.findings.register import RULES
from airfettle.sources import all_sources
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach

MODULES = {module.__name__ for module in (air_quality, treatment, shop_pipe)}
MINE = {name for name, rule in RULES.items() if rule.judge.__module__ in MODULES}


def one(rule, plant=US, **lines):
    """What a rule says of a told plant with lines changed."""
    found = findings_of(changed(plant, **lines), rule)
    assert len(found) == 1
    return found[0]


def state(rule, plant=US, **lines):
    found = one(rule, plant, **lines)
    return found.state, found.signal


def section_of(text, section):
    """The lines of one section."""
    start = text.index(f"\n[{section}]\n") + 1
    end = text.find("\n[", start)
    return text[start : end if end > 0 else len(text)]


def left_out(text, section):
    """A plant without a section."""
    return text.replace(section_of(text, section), "")


@pytest.mark.parametrize(("plant", "notices"), [(US, {"dryer_after_receiver"}), (SI, set())])
def test_a_good_plant_hears_nothing_above_a_notice(plant, notices):
    found = [f for f in judge(reach(draw(plant_of(plant)))) if f.rule in MINE]
    assert [(f.rule, f.signal) for f in found if f.signal != "notice"] == []
    assert {f.rule for f in found} == notices


def test_every_rule_looks_at_a_plant_told_in_full():
    us, si = ({f.rule for f in judge(reach(draw(plant_of(p), rows=64)), clear=True)} for p in (US, SI))
    # for plastic pipe, for drains opened by hand, and for dryers that spend air
    spared = {"pipe_not_for_air", "drain_by_hand", "purge_takes_much"}
    assert MINE - us == spared
    assert MINE - si == spared | {"cooler_outlet_hot"}  # the dryer stands behind the cooler


def test_a_plant_without_cooler_separator_dryer_and_pipe_hears_of_none_of_them():
    bare = 'cooler = "none"\nseparator = "none"\ndryer = "none"\nshop_pipe = "none"\nintake = "none"\n'
    found = {f.rule for f in judge(reach(draw(plant_of(bare), rows=64)), clear=True)} & MINE
    assert found == {"no_cooler", "no_drain", "condensate", "freezing"}  # no_drain: of the receiver


def test_sources_are_in_the_bibliography():
    assert all(key in all_sources() for name in MINE for key in RULES[name].sources)


# The cooler.


@pytest.mark.parametrize(
    ("conductance", "expected"),
    [
        ("8 W/K by thermometer", ("holds", "caution")),
        ("8 W/K", ("holds", "caution")),
        ("22..30 W/K", ("may hold", "notice")),
        ("70 W/K by thermometer", ("clear", "caution")),
    ],
)
def test_a_cooler_too_small_for_its_air(conductance, expected):
    assert state("cooler_approach", cooler__conductance=conductance) == expected


@pytest.mark.parametrize(
    ("conductance", "expected"),
    [
        ("8 W/K by thermometer", ("holds", "warning")),
        ("8 W/K", ("holds", "notice")),  # nobody measured what it cools
        ("14..26 W/K", ("may hold", "notice")),
        ("70 W/K by thermometer", ("clear", "warning")),
    ],
)
def test_hot_air_behind_the_cooler(conductance, expected):
    assert state("cooler_outlet_hot", cooler__conductance=conductance) == expected


def test_hot_air_is_said_in_the_owners_units_and_what_decides_it_is_named():
    found = one("cooler_outlet_hot", cooler__conductance="8 W/K")
    assert "°F" in found.says
    assert "°C" not in found.says
    assert found.do.startswith("First find out: cooler.conductance.")


def test_neither_cooler_nor_dryer():
    plant = left_out(left_out(US, "cooler"), "dryer")
    found = findings_of(plant, "no_cooler")[0]
    assert (found.state, found.signal, found.parts) == ("holds", "notice", ("pump",))
    assert [f.state for f in findings_of(left_out(US, "cooler"), "no_cooler")] == ["clear"]


def test_every_train_is_asked_for_its_cooler():
    trains = '[[train]]\nname = "old"\ncooler.fan = "own supply"\n[[train]]\nname = "new"\n'
    found = {f.parts: f.state for f in findings_of(trains, "no_cooler")}
    assert found == {("train.old.pump",): "clear", ("train.new.pump",): "holds"}


@pytest.mark.parametrize(
    ("fan", "expected"), [("drive output", ("holds", "warning")), ("own supply", ("clear", "warning"))]
)
@pytest.mark.parametrize("plant", [US, SI])
def test_a_fan_on_the_motors_wires(plant, fan, expected):
    assert state("fan_stops_with_motor", plant, cooler__fan=fan) == expected


def test_a_fan_of_which_nothing_is_told_is_asked_for_once():
    assert state("fan_stops_with_motor", SI, cooler__fan=None) == ("not told", "notice")
    with_a_drive = changed(US, cooler__fan=None)
    assert findings_of(with_a_drive, "fan_stops_with_motor") == []
    assert [f.state for f in findings_of(with_a_drive, "cooler_fan_on_the_drive")] == ["not told"]


@pytest.mark.parametrize(("fan", "expected"), [("none", "holds"), ("pump flywheel", "holds"), ("own supply", "clear")])
def test_a_cooler_without_a_fan_of_its_own(fan, expected):
    assert state("cooler_without_own_fan", cooler__fan=fan) == (expected, "notice")


def test_the_flywheel_blows_hotter_air_at_low_speed_is_told_by_both_speeds():
    says = one("cooler_without_own_fan", cooler__fan="pump flywheel").says
    assert says.count("°F") == 2


# Water.


@pytest.mark.parametrize(
    ("runs", "expected"),
    [
        ("to the receiver", ("holds", "caution")),
        ("back to the pump", ("holds", "caution")),
        ("to a separator or drain", ("clear", "caution")),
        (None, ("not told", "notice")),
    ],
)
def test_no_separator_behind_the_cooler(runs, expected):
    assert state("no_separator", left_out(US, "separator"), cooler__water_runs=runs) == expected


def test_a_separator_behind_the_cooler_is_enough_and_one_behind_the_receiver_is_not():
    assert state("no_separator", cooler__water_runs=None) == ("clear", "caution")
    late = US.replace('units = "US"', 'units = "US", air_path = ["receiver", "separator"]')
    assert state("no_separator", late, cooler__water_runs="to the receiver") == ("holds", "caution")


@pytest.mark.parametrize(
    ("runs", "expected"),
    [
        ("back to the pump", ("holds", "caution")),
        ("to a separator or drain", ("clear", "caution")),
        (None, ("not told", "notice")),
    ],
)
def test_a_cooler_that_drains_to_the_pump(runs, expected):
    assert state("cooler_drains_to_pump", cooler__water_runs=runs) == expected


def test_where_the_water_runs_is_asked_once():
    plant = changed(left_out(US, "separator"), cooler__water_runs=None)
    assert findings_of(plant, "cooler_drains_to_pump") == []


@pytest.mark.parametrize(
    ("rule", "lines", "expected"),
    [
        ("separator_starved", {"separator__lowest_flow": "14 scfm by maker"}, "holds"),
        ("separator_starved", {"separator__lowest_flow": "5 scfm by maker"}, "clear"),
        ("separator_flooded", {"separator__highest_flow": "12 scfm by maker"}, "holds"),
        ("separator_flooded", {"separator__highest_flow": "60 scfm by maker"}, "clear"),
    ],
)
def test_the_separators_window(rule, lines, expected):
    assert state(rule, **lines) == (expected, "caution")


def test_a_separator_near_the_end_of_its_window_may_be_starved():
    flows = {s: one("separator_starved", separator__lowest_flow=f"{s} scfm by maker").state for s in (9, 10, 11, 12)}
    assert "may hold" in flows.values()


def test_a_window_that_nobody_told_is_not_judged():
    assert findings_of(changed(US, separator__lowest_flow=None), "separator_starved") == []
    assert findings_of(changed(US, separator__highest_flow=None), "separator_flooded") == []


def drains(**lines):
    return {f.parts[0]: (f.state, f.signal) for f in findings_of(changed(US, **lines), "no_drain")}


def test_drains():
    fine = ("clear", "caution")
    assert drains() == {"separator": fine, "receiver": fine}
    assert drains(separator__drain="none")["separator"] == ("holds", "caution")
    assert drains(separator__drain=None)["separator"] == ("not told", "notice")
    assert drains(receiver__drain=None)["receiver"] == ("not told", "notice")
    assert "receiver" not in drains(receiver__drain="none")


def test_a_receiver_without_a_drain_is_a_warning_of_its_own():
    assert state("receiver_drain", receiver__drain="none") == ("holds", "warning")


def test_much_water_for_a_drain_opened_by_hand():
    found = one("drain_by_hand", separator__drain="by hand")
    assert (found.state, found.signal, found.parts) == ("holds", "notice", ("separator",))
    assert "gal in 8 hours" in found.says
    dry = {"site__humidity": "3..5 %"}
    assert state("drain_by_hand", separator__drain="by hand", **dry) == ("clear", "notice")
    assert findings_of(US, "drain_by_hand") == []


# Dryer and filters.


@pytest.mark.parametrize(
    ("rated", "expected"),
    [
        ("8 scfm by plate", ("holds", "warning")),
        ("8 scfm", ("holds", "notice")),
        ("12..18 scfm", ("may hold", "notice")),
        ("35 scfm by plate", ("clear", "warning")),
        (None, ("not told", "notice")),
    ],
)
def test_a_dryer_too_small(rated, expected):
    assert state("dryer_overloaded", dryer__rated_flow=rated) == expected


@pytest.mark.parametrize(
    ("rated", "expected"),
    [
        ("60 degF by plate", ("holds", "warning")),
        ("60 degF", ("holds", "notice")),
        ("75 degF by plate", ("may hold", "notice")),
        ("100 degF by plate", ("clear", "warning")),
    ],
)
def test_air_too_hot_for_the_dryer(rated, expected):
    assert state("dryer_inlet_hot", dryer__rated_inlet_temperature=rated) == expected


def test_a_dryer_before_the_receiver_gets_the_coolers_air():
    small = {"cooler__transfer_units": "0.3 by maker"}
    assert state("dryer_inlet_hot", SI, **small) == ("holds", "warning")
    assert state("dryer_inlet_hot", SI) == ("clear", "warning")
    behind = SI.replace('"dryer", "receiver"', '"receiver", "dryer"')
    own = one("dryer_inlet_hot", behind, **small)
    assert own.state != "holds"  # the receiver cools it


def test_a_dryer_behind_the_receiver_gets_bursts():
    assert state("dryer_after_receiver") == ("holds", "notice")
    assert state("dryer_after_receiver", SI) == ("clear", "notice")
    assert "35 scfm by plate" in one("dryer_after_receiver").says


FILTERS = US[US.index("[[filter]]") :]
NO_FILTERS = US[: US.index("[[filter]]")]


def order(path, *filters, plant=NO_FILTERS):
    """What is said of the filters, by name: purposes by name, along an air path."""
    own = "".join(f'[[filter]]\nname = "{purpose}"\npurpose = "{purpose}"\n' for purpose in filters)
    plant = plant.replace('units = "US"', f'units = "US", air_path = {path!r}'.replace("'", '"'))
    found = findings_of(plant + own, "treatment_order")
    return {f.parts[0].partition(".")[2]: (f.state, f.signal) for f in found}


def test_filters_in_their_order():
    found = order(
        ["separator", "receiver", "filter.particles", "filter.coalescing", "filter.carbon"],
        *("particles", "coalescing", "carbon"),
    )
    assert set(found.values()) == {("clear", "warning")}


def test_a_coalescer_before_the_water_is_out():
    assert order(["filter.coalescing", "separator", "receiver"], "coalescing") == {"coalescing": ("holds", "warning")}
    assert order(["separator", "filter.coalescing", "receiver"], "coalescing") == {"coalescing": ("clear", "warning")}
    hot = left_out(NO_FILTERS, "cooler")
    assert order(["separator", "filter.coalescing", "receiver"], "coalescing", plant=hot) == {
        "coalescing": ("holds", "warning")
    }


def test_a_receiver_takes_water_out_only_where_it_can_be_drained():
    path = ["receiver", "filter.coalescing"]
    assert order(path, "coalescing") == {"coalescing": ("clear", "warning")}
    undrained = changed(NO_FILTERS, receiver__drain="none")
    assert order(path, "coalescing", plant=undrained) == {"coalescing": ("holds", "warning")}


def test_carbon_before_the_coalescer():
    found = order(["separator", "receiver", "filter.carbon", "filter.coalescing"], "carbon", "coalescing")
    assert found == {"carbon": ("holds", "warning"), "coalescing": ("clear", "warning")}


def test_carbon_without_a_coalescer_matters_behind_an_oiled_pump():
    path = ["separator", "receiver", "filter.carbon"]
    assert order(path, "carbon") == {"carbon": ("holds", "caution")}
    dry = changed(NO_FILTERS, pump__lubrication="oil-free")
    assert order(path, "carbon", plant=dry) == {"carbon": ("clear", "warning")}


def test_a_filter_of_which_nothing_is_told():
    assert order(["separator", "receiver", "filter.unknown"], "unknown") == {"unknown": ("not told", "notice")}


@pytest.mark.parametrize(
    ("drop", "expected"),
    [
        ("1 bar by gauge", ("holds", "caution")),
        ("0.25..0.65 bar", ("may hold", "notice")),
        ("0.05 bar by gauge", ("clear", "caution")),
    ],
)
def test_pressure_lost_in_treatment(drop, expected):
    assert state("treatment_drop", SI, filter__drop=drop, filter__rated_flow="250 L/min ANR") == expected


def test_nothing_behind_the_receiver_loses_nothing():
    assert findings_of(left_out(NO_FILTERS, "dryer"), "treatment_drop") == []


def bowls(text):
    return {f.parts[0]: (f.state, f.signal) for f in findings_of(text, "plastic_bowl")}


def test_plastic_bowls():
    assert set(bowls(US).values()) == {("clear", "caution")}
    guarded = changed(US, separator__bowl="plastic with guard")
    assert bowls(guarded)["separator"] == ("holds", "caution")  # near the pump
    assert bowls(changed(SI, filter__bowl="plastic with guard"))["filter"] == ("clear", "caution")
    assert bowls(changed(SI, filter__bowl="bare plastic"))["filter"] == ("holds", "caution")
    assert bowls(changed(SI, filter__bowl=None))["filter"] == ("not told", "notice")
    assert "filter" not in bowls(changed(SI, filter__purpose="regulator", filter__bowl=None))


# Site and intake.


@pytest.mark.parametrize(
    ("near", "expected"),
    [
        ("heavy dust", ("holds", "danger")),
        ("exhaust or smoke", ("holds", "danger")),
        ("paint or solvent vapour", ("holds", "danger")),
        ("clean air", ("clear", "danger")),
        (None, ("not told", "warning")),
    ],
)
def test_bad_air_at_the_intake(near, expected):
    assert state("intake_air", intake__near=near) == expected


@pytest.mark.parametrize(
    ("goes", "lubrication", "expected"),
    [
        ("ground or storm drain", "splash", ("holds", "warning")),
        ("ground or storm drain", "oil-free", ("holds", "notice")),
        ("sewer by permission", "splash", ("clear", "warning")),
        (None, "splash", ("not told", "notice")),
    ],
)
def test_where_the_oily_water_goes(goes, lubrication, expected):
    assert state("condensate", site__condensate=goes, pump__lubrication=lubrication) == expected


@pytest.mark.parametrize(
    ("frost", "room", "expected"),
    [
        ("yes", "60..80 degF", ("holds", "warning")),
        ("no", "60..80 degF", ("clear", "warning")),
        (None, "60..80 degF", ("not told", "notice")),
        ("no", "20..80 degF", ("holds", "warning")),  # the room itself freezes
        (None, "20..80 degF", ("holds", "warning")),
        ("yes, but heated", "20..80 degF", ("clear", "warning")),
    ],
)
def test_drains_that_can_freeze(frost, room, expected):
    assert state("freezing", site__frost=frost, site__room_temperature=room) == expected
