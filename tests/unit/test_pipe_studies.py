"""Studies of the shop's pipe: who runs with whom, the worst way, changes, sizes, how it lies."""

from dataclasses import replace

import numpy as np
import pytest
from pipe_nets import net, ring, tool
from pydantic import ValidationError

from airfettle.errors import BadRequest, MissingEntry
from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import shown_unit
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.pipework.changes import tried
from airfettle.studies.pipework.from_plant import network_of
from airfettle.studies.pipework.leak import pipe_leak
from airfettle.studies.pipework.lies import low_points, run_lies
from airfettle.studies.pipework.running import fullest_set, together
from airfettle.studies.pipework.shop import shop_run
from airfettle.studies.pipework.sizes import sized
from airfettle.studies.rating import rate

PLACES = {"receiver": "0, 0, 3 ft", "A": "0, 0, 10 ft", "B": "60, 0, 10 ft", "C": "60, 60, 9 ft", "D": "0, 60, 10 ft"}
USES = [
    {"name": "sander", "tool": "sander", "air": "9..13 cfm at 90 psi", "on": "2 min", "off": "4 min"},
    {"name": "sprayer", "tool": "HVLP spray gun", "air": "8..12 cfm at 40 psi", "on": "5 min", "off": "10 min"},
]
DROPS = [{"at": "C", "tool": "sander", "name": "far bench"}, {"at": "B", "tool": "sprayer"}]


def plant(*, runs=("receiver, A, B, C",), drops=DROPS, uses=USES, pipe="copper L 3/4 in", **more):
    told = {"places": PLACES, "runs": list(runs), "drops": drops, "pipe": pipe, "hose": "3/8 in, 25 ft"} | more
    data = {"use": uses, "shop_pipe": told, "control": {"cut_in": "100 psi by gauge", "cut_out": "130 psi by gauge"},
            "plant": {"units": "US"}}  # fmt: skip
    return OwnersPlant.model_validate(data)


def run(*, rows=64, running=None, shares=True, **more):
    return shop_run(draw(plant(**more), rows=rows), running=running, shares=shares)


def test_the_parts_of_the_way_add_up():
    found = run()
    lost = sum(step.lost for step in found.way)
    np.testing.assert_allclose(lost, found.answers.total_drop, rtol=1e-6, atol=1.0)
    assert [step.sort for step in found.way] == ["run", "drop", "coupler", "hose"]
    assert found.places[found.worst].name == "sander"
    assert np.all(found.answers.worst_pressure == found.places[found.worst].gauge)


def test_alone_is_never_worse_than_together():
    found = run()
    for place in found.places:
        assert np.all(place.alone >= place.gauge - 1.0)
        assert np.all(place.lowest <= place.alone[: len(place.lowest)] + 1.0)


def test_what_runs_can_be_asked_for():
    found = run(running=["sprayer"])
    assert [place.runs for place in found.places] == [False, True]
    assert run(running=["far bench"]).on.tolist() == [1.0, 0.0]
    with pytest.raises(BadRequest, match="sprayer"):
        run(running=["lathe"])


def test_a_plant_without_pipe_says_what_to_write():
    bare = OwnersPlant.model_validate({"use": USES})
    with pytest.raises(MissingEntry, match="runs"):
        shop_run(draw(bare, rows=8))


def test_chances_are_of_the_time_the_shop_is_at_work():
    found = run()
    sets = found.sets
    assert sets.every
    assert sets.chance.sum() == pytest.approx(1.0)
    sander = float(sets.chance[sets.on[:, 0] > 0.0].sum())
    assert sander == pytest.approx(2.0 / 6.0)
    assert found.answers.open_time[0] == pytest.approx(sets.open_share * 365 * 86_400.0)


def test_people_limit_what_runs_at_once():
    shared = [use | {"people": ["one pair of hands"]} for use in USES]
    found = run(uses=shared)
    assert not np.any(found.sets.on.sum(axis=1) > 1.0)
    assert found.on.sum() == 1.0
    assert found.sets.chance.sum() == pytest.approx(1.0)


def test_many_places_are_drawn_by_chance():
    uses = tuple(tool(0.001, name=f"t{j}", on=60.0, off=60.0) for j in range(14))
    pipes = [(0, 1, 5.0, 0.027, 2.0)] + [(1, 2 + j, 2.0, 0.016, 3.0) for j in range(14)]
    network = net(pipes, [(2 + j, use) for j, use in enumerate(uses)])
    sets = together(network, seed=3)
    assert not sets.every
    assert sets.chance.sum() == pytest.approx(1.0)
    share = (sets.chance[:, None] * sets.on).sum(axis=0)
    np.testing.assert_allclose(share, 0.5, atol=0.05)
    assert np.array_equal(sets.on, together(network, seed=3).on)
    assert fullest_set(network).sum() == 14.0


def test_no_more_of_a_tool_than_there_are():
    network = ring(4, use=tool(name="t", count=2))
    assert fullest_set(network).sum() == 2.0
    assert together(network).on.sum(axis=1).max() == 2.0


def test_changes_are_ranked_by_what_they_give():
    found = run(pipe="copper L 1/2 in")
    ranked = tried(found)
    gains = [float(np.median(change.gain)) for change in ranked.changes]
    assert gains == sorted(gains, reverse=True)
    sorts = {change.sort for change in ranked.changes}
    assert {"run", "coupler", "hose", "ring"} <= sorts
    assert 0.0 <= ranked.every <= ranked.enough <= 1.0
    for change in ranked.changes:
        assert change.every <= change.enough
        assert (change.pipe > 0.0) == (change.sort in ("run", "drop", "ring"))
    closing = next(change for change in ranked.changes if change.sort == "ring")
    assert "from C" in closing.name or "to C" in closing.name


def test_a_ring_already_closed_is_not_closed_again():
    ranked = tried(run(runs=("receiver, A, B, C, D, A",), drops=[DROPS[0], DROPS[1]]))
    assert all("from A to D" not in change.name for change in ranked.changes if change.sort == "ring")


def test_the_lightest_sizes_hold_and_smaller_ones_do_not():
    found = run(pipe="copper L 3/8 in" if False else "copper L 1/2 in", rows=256)
    result = sized(found, certainty=0.6)
    assert result.every
    for j, share in enumerate(result.after):
        assert share >= 0.6 or j in result.beyond_pipe
    assert result.metal <= result.metal_one
    from airfettle.parts.pipe_stock import smaller
    from airfettle.studies.pipework.solve import solve

    network = found.network
    for part in result.parts:
        less = smaller(part.found)
        if less is None:
            continue
        lines = {
            k: (less if (line.run or "all drops") == part.name else
                next(p.found for p in result.parts if p.name == (line.run or "all drops")))
            for k, line in enumerate(network.lines)
        }  # fmt: skip
        inlet = solve(network.with_stock(lines), on=found.sets.fullest, receiver_pressure=found.receiver_pressure).inlet
        enough = np.all((inlet >= network.needed_pressure[:, None]) | (found.sets.fullest[None] == 0.0), axis=1)
        short = [j for j in range(len(network.outlets)) if enough[:, j].mean() < 0.6 and j not in result.beyond_pipe]
        assert short or result.beyond_pipe, f"{part.name} in {less.text} would do too"


def test_tools_that_no_pipe_can_help_are_named():
    thin = [DROPS[0] | {"hose": "1/4 in, 100 ft"}, DROPS[1]]
    result = sized(run(drops=thin, rows=64))
    assert result.beyond_pipe == (0,)


def test_sizes_ask_for_pipe_that_is_for_air():
    with pytest.raises(BadRequest, match="for compressed air"):
        sized(run(), material="PVC")
    with pytest.raises(BadRequest, match="certainty"):
        sized(run(), certainty=1.5)
    other = sized(run(rows=64), material="steel 80", certainty=0.6)
    assert {part.found.material for part in other.parts} == {"steel 80"}


def low(*, runs, **more):
    drawn = draw(plant(runs=runs, **more), rows=8)
    return low_points(drawn.plant.shop_pipe, network_of(drawn, complete(drawn)))


def test_low_points():
    found = low(runs=("receiver, A, B, C",))
    assert [(point.place, point.drained, point.level) for point in found] == [("C", False, False)]
    assert low(runs=("receiver, A, B, C",), drains=["C"])[0].drained
    with_leg = [DROPS[0] | {"drain": "yes"}, DROPS[1]]
    assert not low(runs=("receiver, A, B, C",), drops=with_leg)[0].drained  # from the top it takes none of the main's
    from_below = [with_leg[0] | {"leaves": "from the bottom"}, DROPS[1]]
    assert low(runs=("receiver, A, B, C",), drops=from_below)[0].drained


def test_level_pipe_keeps_its_water_and_a_fall_that_is_told_counts():
    level = PLACES | {"C": "60, 60, 10 ft"}
    assert [p.level for p in low(runs=("receiver, A, B, C",), places=level)] == [True, True]
    told = low(runs=({"way": "receiver, A, B, C", "falls_to": "C"},), places=level)
    assert [p.place for p in told] == ["C"]
    lengths = ("receiver, 9 ft, A, 9 ft, B, 9 ft, C",)
    assert low(runs=lengths, places={}) is None


def test_how_a_run_lies():
    found = run(runs=({"way": "receiver, A, B, C", "coldest": "20 degF"},))
    (lies,) = run_lies(found)
    assert lies.supports >= 18  # 127 ft of 3/4 in copper, 5 to 7 ft between supports
    np.testing.assert_allclose(lies.grows, lies.length * lies.expansion_rate * lies.warming)
    assert np.all(lies.dew_distance < 0.0)  # no dryer, frost outside
    assert 2.0 < np.median(lies.empties) < 200.0
    np.testing.assert_allclose(found.answers.line_volume, found.network.volume)


def test_a_leak_follows_from_the_night():
    """V/(R T t) ln(p1/p2) times the middle of the band, done by hand."""
    test = {"start": "120 psi by gauge", "end": "95 psi by gauge", "time": "10 h by stopwatch"}
    drawn = draw(plant(leak_test=test), rows=8)
    numbers = complete(drawn)
    part, site = drawn.plant.shop_pipe.leak_test, drawn.plant.site
    volume = drawn.plant.receiver[0].volume
    rate = volume / (287.055 * site.room_temperature * part.time) * np.log(part.start / part.end)
    np.testing.assert_allclose(pipe_leak(drawn, numbers), rate * 0.5 * (numbers.cut_in + numbers.cut_out), rtol=1e-4)
    assert np.all(pipe_leak(draw(plant(), rows=8), numbers) == 0.0)
    assert shop_run(drawn).answers.leak is not None


def test_losses_cost_what_a_lower_pressure_would_save():
    found = run(rows=64)
    answers = found.answers
    parts = sum(np.median(line.loss_power) for line in found.lines)
    assert 0.0 < parts < np.median(answers.loss_power)
    np.testing.assert_allclose(answers.loss_energy, answers.loss_power * answers.open_time)
    assert shown_unit("power", "US") == "kW"


def test_results_do_not_depend_on_the_order_of_the_file():
    one = run(rows=16)
    other = run(rows=16, runs=("B, C", "receiver, A, B"), drops=DROPS[::-1], uses=USES[::-1])
    first = {place.name: place for place in one.places}
    for place in other.places:
        assert np.median(place.gauge) == pytest.approx(np.median(first[place.name].gauge), rel=2e-3)


def test_first_rows_are_those_of_the_whole():
    found = run(rows=64)
    few = found.network.first(8)
    assert few.rows == 8
    np.testing.assert_array_equal(few.length, found.network.length[:8])
    one = found.network.only(5)
    np.testing.assert_array_equal(one.cut_in, found.network.cut_in[5:6])
    assert replace(one).volume == pytest.approx(found.network.volume[5])


def test_a_rating_has_the_pressure_at_the_tool_worst_off():
    drawn = draw(plant(), rows=64)
    found = rate(drawn)
    point = next(p for p in found.points if p.receiver_gauge == min(q.receiver_gauge for q in found.points))
    worst = shop_run(drawn, gauge=point.receiver_gauge, shares=False).answers.worst_pressure
    assert point.answers["tool_pressure"].likely == pytest.approx(np.median(worst), rel=1e-6)
    assert "tool_pressure" not in rate(draw(OwnersPlant.model_validate({"use": USES}), rows=8)).points[0].answers


def test_tools_of_different_hours_never_run_together():
    day, night = USES[0] | {"when": "Mon-Fri 08:00-16:00"}, USES[1] | {"when": "Mon-Fri 22:00-06:00"}
    found = run(uses=[day, night])
    assert found.sets.fullest.sum(axis=1).max() == 1.0
    assert float(found.sets.chance[found.sets.on.sum(axis=1) > 1.0].sum()) == 0.0
    assert found.sets.chance.sum() == pytest.approx(1.0)


def test_more_work_than_people_leaves_nobody_idle():
    """Two tools that run all through and one person: one of them runs at any time."""
    always = [{k: v for k, v in use.items() if k not in ("on", "off")} | {"people": ["one"]} for use in USES]
    found = run(uses=always)
    busy = found.sets.on.sum(axis=1) == 1.0
    assert float(found.sets.chance[busy].sum()) == pytest.approx(1.0)
    assert np.median(found.answers.loss_power) > 0.0


def test_a_tool_on_several_drops_runs_as_often_as_on_one():
    drops = [{"name": place, "at": place, "tools": ["sander", "sprayer"] if place == "C" else ["sander"]}
             for place in ("A", "B", "C")]  # fmt: skip
    found = run(drops=drops)
    places = [j for j, o in enumerate(found.network.outlets) if found.network.uses[o.use].name == "sander"]
    share = (found.sets.chance[:, None] * found.sets.on)[:, places].sum(axis=0)
    np.testing.assert_allclose(share, (2.0 / 6.0) / 3.0, rtol=1e-9)
    assert found.sets.on[:, places].sum(axis=1).max() == 1.0


@pytest.mark.parametrize(("start", "end", "says"), [
    ("120 psi", "0 psi", "above 1 bar"), ("20 psi", "120 psi", "fell"), ("90 psi", "90 psi", "fell"),
])  # fmt: skip
def test_a_leak_test_that_says_nothing_is_refused(start, end, says):
    with pytest.raises(ValidationError) as told:
        plant(leak_test={"start": start, "end": end, "time": "10 h"})
    assert says in str(told.value.errors()[0]["ctx"]["error"])


def test_a_filter_in_a_run_is_a_step_of_its_own_and_can_be_larger():
    filters = [{"name": "line", "purpose": "coalescing", "drop": "6 psi", "rated_flow": "25 scfm"}]
    told = {"use": USES, "filter": filters, "plant": {"units": "US"},
            "shop_pipe": {"places": PLACES, "pipe": "copper L 3/4 in", "hose": "3/8 in, 25 ft", "drops": DROPS,
                          "runs": [{"way": "receiver, A, B, C", "through": ["line"]}]}}  # fmt: skip
    found = shop_run(draw(OwnersPlant.model_validate(told), rows=64))
    steps = {step.name: np.median(step.lost) for step in found.way}
    assert steps["filter in run receiver to C"] > 5.0 * steps["run receiver to C (copper L 3/4 in)"]
    assert sum(steps.values()) == pytest.approx(np.median(found.answers.total_drop), rel=0.05)
    ranked = tried(found).changes
    assert any(change.name == "a filter of twice the flow in run receiver to C" for change in ranked)
    assert all(change.sort != "ring" for change in ranked)


def test_sizes_hold_what_the_relief_valve_holds_back():
    drawn = draw(OwnersPlant.model_validate({
        "use": USES, "plant": {"units": "US"}, "control": {"cut_in": "100 psi", "cut_out": "130 psi"},
        "relief_valve": {"set_pressure": "190 psi", "protects": "receiver"},
        "shop_pipe": {"places": PLACES, "pipe": "copper L brazed 3/4 in", "hose": "3/8 in, 25 ft", "drops": DROPS,
                      "runs": ["receiver, A, B, C"]},
    }), rows=64)  # fmt: skip
    with pytest.raises(BadRequest, match="no size is rated for 13"):
        sized(shop_run(drawn), material="PEX")


def test_drops_of_different_pipe_are_sized_apart():
    drops = [DROPS[0] | {"pipe": "copper L 1 in"}, DROPS[1] | {"pipe": "steel 40 1/2 in"}]
    found = run(drops=drops)
    parts = {part.name: part for part in sized(found, certainty=0.6).parts}
    assert parts["drops in steel 40 1/2 in"].found.material == "steel 40"
    assert parts["drops in copper L 1 in"].now.text == "copper L 1 in"
    weight = sum(float(found.network.length[0, k]) * line.stock.mass_per_length for k, line in
                 enumerate(found.network.lines))  # fmt: skip
    assert sized(found, certainty=0.6).metal_now == pytest.approx(weight)


def test_a_main_told_as_two_runs_loses_no_more_than_as_one():
    one = network_of(d := draw(plant(runs=("receiver, A, B, C",)), rows=8), complete(d))
    two = network_of(d := draw(plant(runs=("receiver, A, B", "B, C")), rows=8), complete(d))
    assert two.loss[:3].sum() <= one.loss[:3].sum() + 1e-9


def test_what_is_not_for_air_is_never_offered_and_a_regulator_is_not_blamed():
    refused = run(pipe="PVC 40 1/2 in")
    assert all("PVC" not in change.name for change in tried(refused).changes)
    fed = run(drops=[DROPS[0], DROPS[1] | {"regulator": "45 psi"}], running=["sprayer"])
    assert all(change.sort != "regulator" for change in tried(fed).changes)
    starved = run(drops=[DROPS[0], DROPS[1] | {"regulator": "20 psi"}], running=["sprayer"])
    assert any(change.sort == "regulator" for change in tried(starved).changes)


def test_what_the_plant_delivers_stands_beside_what_the_tools_take():
    found = run()
    point = rate(found.draw, gauge_pressures=[float(np.median(found.answers.receiver_gauge))]).points[-1]
    density = float(np.median(found.answers.delivered)) / point.answers["delivered_air"].likely
    assert 1.05 < density < 1.30  # kilograms of dry air in a cubic metre drawn in
