"""Rules about the shop's pipe as a network: each fires, stays silent, and asks where something was not told."""

import re

import numpy as np
import pytest
from air_plants import US
from plant_cases import at_its_points, findings_of
from told_plants import changed

from airfettle.findings.case import Case
from airfettle.findings.pipe_parts import listed
from airfettle.findings.pipework import BRANCH, GROWTH, HEADER, STRAIGHT, steady

USES = """
[[use]]
name = "sander"
tool = "sander"
air = "10..12 cfm at 90 psi by maker"
pressure = "{needs} by maker"
on = "2 min"
off = "4 min"

[[use]]
name = "blow gun"
tool = "blow gun"
air = "9..11 cfm at 80 psi by maker"
pressure = "70 psi by maker"
on = "{blows}"
off = "5 min"

[[use]]
name = "vacuum jig"
tool = "vacuum ejector"
air = "4 cfm at 70 psi by maker"
pressure = "60 psi by maker"
attended = "no"
"""
RING = (
    '["receiver, A", { way = "A, B, C, D, A", name = "ring", fittings = "4 elbows" }]',
    '{ receiver = "0, 0, 2 ft", A = "0, 0, 9 ft", B = "30, 0, 9 ft", C = "30, 20, 9 ft", D = "0, 20, 9 ft" }',
)
LINE = ('["receiver, 10 ft, A, 60 ft, B, 20 ft, C"]', "{}")
DROPS = (
    '[{{ at = "B", tool = "sander", coupler = "{coupler}", drain = "yes" }}, '
    '{{ at = "C", tool = "blow gun", name = "far bench", coupler = "3/8 in", drain = "yes" }}, '
    '{{ at = "A", tool = "vacuum jig", name = "jig", coupler = "none", hose = "none", drain = "yes" }}]'
)


def piped(pipe="copper L 1 in", *, way=LINE, hose="1/2 in, 15 ft", coupler="3/8 in", drops=DROPS, needs="80 psi",
          blows="3 s", **lines):  # fmt: skip
    """A plant told in full with its pipe as a network."""
    told = {"pipe": pipe, "hose": hose, "runs": way[0], "places": way[1], "drops": drops.format(coupler=coupler)}
    return changed(
        US + USES.format(needs=needs, blows=blows),
        **{f"shop_pipe__{name}": value for name, value in told.items()},
        **lines,
    )


def one(rule, text):
    found = findings_of(text, rule)
    assert len(found) == 1
    return found[0]


def state(rule, text):
    found = one(rule, text)
    return found.state, found.signal


# Pressure at the tools.


def test_a_tool_at_the_end_of_wide_pipe_has_enough():
    assert state("tool_short_of_pressure", piped()) == ("clear", "caution")


def test_a_tool_short_of_pressure_is_named_with_its_drop_and_what_loses_most():
    found = one("tool_short_of_pressure", piped(coupler="1/4 in common", hose="1/4 in, 75 ft", needs="88 psi"))
    assert (found.state, found.signal) == ("holds", "caution")
    assert "sander" in found.says
    assert "needs 88" in found.says
    assert "most is lost in its hose" in found.says
    assert re.search(r"Even alone it gets only 8\d ", found.says)
    assert found.parts[:2] == ("shop_pipe", "shop_pipe.drops.sander")


def test_a_tool_that_may_be_short_is_a_notice_with_what_decides_it():
    found = one("tool_short_of_pressure", piped(coupler="1/4 in common", needs="90..110 psi"))
    assert (found.state, found.signal) == ("may hold", "notice")
    assert "use.sander.pressure" in found.decided_by
    assert "lone it gets" not in found.says


def test_a_tool_that_only_the_others_starve_has_enough_alone():
    thin = piped("copper L 1/4 in", needs="88 psi",
                 way=('["receiver, 10 ft, A, 60 ft, B, 20 ft, C"]', "{}"))  # fmt: skip
    found = one("tool_short_of_pressure", thin)
    assert found.state == "holds"
    assert re.search(r"run receiver to C .*\. Alone it gets \d", found.says)


def test_several_tools_that_are_short_are_told_together_the_worst_first():
    thin = DROPS.replace('coupler = "3/8 in"', 'hose = "3/16 in, 60 ft"')
    found = one(
        "tool_short_of_pressure", piped(drops=thin, hose="1/4 in, 75 ft", coupler="1/4 in common", needs="88 psi")
    )
    assert found.state == "holds"
    assert "Also short: " in found.says
    assert {"shop_pipe.drops.sander", "shop_pipe.drops.far bench"} <= set(found.parts)


def test_bursts_count_for_pressure_but_not_for_drop_and_speed():
    burst = piped(drops=DROPS.replace('coupler = "3/8 in"', 'hose = "3/16 in, 60 ft"'))
    found = one("tool_short_of_pressure", burst)
    assert (found.state, found.parts) == ("holds", ("shop_pipe", "shop_pipe.drops.far bench"))
    assert "blow gun (drop far bench) gets " in found.says
    assert "blow gun" not in one("pipe_drop", burst).says


@pytest.mark.parametrize("rule", ["tool_short_of_pressure", "pipe_drop", "pipe_speed", "pipe_expands"])
def test_a_plant_without_runs_and_drops_is_not_asked(rule):
    assert findings_of(US, rule) == []
    assert Case(at_its_points(US, 256)).pipes is None


def test_one_pair_of_hands_runs_one_tool_at_a_time_and_each_is_judged():
    alone = piped(coupler="1/4 in common", hose="1/4 in, 75 ft", needs="88 psi").replace(
        'name = "sander"\ntool', 'name = "sander"\npeople = ["joiner"]\ntool'
    )
    found = one("tool_short_of_pressure", alone)
    assert found.state == "holds"
    assert "sander" in found.says


# What is lost on the way.


def test_a_tenth_lost_on_the_way():
    assert state("pipe_drop", piped()) == ("clear", "caution")
    found = one("pipe_drop", piped(coupler="1/4 in common", hose="1/4 in, 40 ft"))
    assert (found.state, found.signal) == ("holds", "caution")
    assert "on the way to sander" in found.says
    assert "in coupler and hose" in found.says
    assert "cac-drop" in found.sources


def test_what_is_lost_is_told_by_its_parts_and_they_add_up():
    found = one("pipe_drop", piped("copper L 1/4 in", way=('["receiver, 10 ft, A, 150 ft, B, 20 ft, C"]', "{}")))
    assert found.state == "holds"
    assert "in pipe and " in found.says
    parts = re.findall(r"(\d[\d.]*) [^ ]+ psi in ", found.says)
    whole = float(re.search(r"psi, (\d[\d.]*) ", found.says)[1])
    assert sum(float(part) for part in parts) == pytest.approx(whole, rel=0.1)


def test_a_regulator_at_the_drop_is_no_loss():
    low = DROPS.replace('tool = "sander",', 'tool = "sander", regulator = "60 psi by gauge",')
    assert low != DROPS
    assert state("pipe_drop", piped(drops=low, needs="50 psi")) == ("clear", "caution")


def test_a_burst_is_not_judged_by_the_tenth_but_the_same_tool_run_for_minutes_is():
    drops = '[{{ at = "C", tools = ["sander", "blow gun", "vacuum jig"], coupler = "{coupler}" }}]'
    texts = [
        piped(drops=drops, hose="1/4 in, 40 ft", coupler="1/4 in high flow", blows=blows) for blows in ("3 s", "1 min")
    ]
    assert "blow gun" not in one("pipe_drop", texts[0]).says
    assert "blow gun" in one("pipe_drop", texts[1]).says


def test_a_tool_counts_that_runs_long_and_often_enough():
    def counted(text):
        return list(steady(Case(at_its_points(text, 256)).pipes))

    assert counted(piped()) == [1.0, 0.0, 1.0]
    assert counted(piped(blows="10 s")) == [1.0, 0.0, 1.0]  # 3 % of its time
    assert counted(piped(blows="1 min")) == [1.0, 1.0, 1.0]


# Speed.


def test_fast_air_names_the_run_its_pipe_and_a_size_that_would_do():
    assert state("pipe_speed", piped()) == ("clear", "caution")
    found = one("pipe_speed", piped("copper L 3/8 in"))
    assert (found.state, found.signal) == ("holds", "caution")
    assert "Run receiver to C (copper L 3/8 in, receiver to A): " in found.says
    assert "where 20 ft/s is the most; copper L " in found.says
    assert "in would do." in found.says
    assert "shop_pipe.runs.receiver to C" in found.parts


def test_the_size_named_is_wide_enough():
    text = piped("copper L 3/8 in")
    wide = one("pipe_speed", text).says.partition("the most; ")[2].partition(" would do")[0]
    assert one("pipe_speed", piped(wide)).state != "holds"


def test_a_drop_may_be_faster_than_a_run():
    assert HEADER < BRANCH
    narrow = piped(drops=DROPS.replace('tool = "sander",', 'tool = "sander", pipe = "copper L 1/4 in",'))
    found = one("pipe_speed", narrow)
    assert found.state == "holds"
    assert "Drop sander (copper L 1/4 in): " in found.says
    assert "30 ft/s is the most" in found.says
    assert "shop_pipe.drops.sander" in found.parts


# Warm pipe.


def test_a_long_straight_run_grows():
    cold = "20 degF by thermometer"
    long = ('[{ way = "A, 100 ft, B, 80 ft, C", name = "wall", fittings = "none" }, "receiver, 5 ft, A"]', "{}")
    found = one("pipe_expands", piped(way=long, shop_pipe__coldest=cold))
    assert (found.state, found.signal) == ("holds", "notice")
    assert found.says.startswith("Run wall (copper L 1 in), 1")
    assert " ft without an elbow, grows by " in found.says
    assert found.parts == ("shop_pipe.runs.wall",)
    assert state("pipe_expands", piped(way=long, shop_pipe__coldest="70 degF by thermometer"))[0] == "clear"


def test_growth_is_length_times_expansion_times_warming():
    way = '[{{ way = "A, {:.2f} ft, B, 1 ft, C", name = "wall", fittings = "none" }}, "receiver, 5 ft, A"]'

    def said(length):
        text = piped(way=(way.format(length - 1.0), "{}"), shop_pipe__coldest="20 degF by thermometer")
        return Case(at_its_points(text, 256)), one("pipe_expands", text)

    case, _ = said(100.0)
    state, room = case.reach.state.path, case.reach.numbers.room_temperature
    warm = np.percentile(np.maximum(state.line_temperature, room).max(axis=(1, 2)), 95.0)
    cold = float(np.median(case.part("shop_pipe").rows("coldest")))
    most = GROWTH / (16.8e-6 * (warm - cold)) / 0.3048  # copper
    assert most * 0.3048 > STRAIGHT
    assert said(0.85 * most)[1].state == "clear"
    assert said(1.15 * most)[1].state == "holds"


def test_a_run_with_an_elbow_a_short_one_and_a_ring_have_room_to_grow():
    cold = "0 degF by thermometer"
    for way in (RING, ('["receiver, 40 ft, A, 1 ft, B, 1 ft, C"]', "{}")):
        assert findings_of(piped(way=way, shop_pipe__coldest=cold), "pipe_expands") == []
    bent = ('[{ way = "receiver, 120 ft, A, 10 ft, B, 10 ft, C", fittings = "1 elbow" }]', "{}")
    assert findings_of(piped(way=bent, shop_pipe__coldest=cold), "pipe_expands") == []


# Words.


def test_many_names_are_counted():
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert listed([str(n) for n in range(10)]) == "0, 1, 2, 3, 4, 5 and 4 more"
