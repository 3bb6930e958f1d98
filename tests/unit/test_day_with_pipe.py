"""A day of a plant whose pipe is told: what tools need at the receiver follows from the network."""

import tomllib

import numpy as np
import pytest
from day_plants import PRESET, SHOP, USES

from airfettle.plant.whole import OwnersPlant
from airfettle.report.day_trace import tools_running
from airfettle.studies.day import prepared as ready
from airfettle.studies.day.machine import STARTS, TOOL_ON, TOOL_SHORT
from airfettle.studies.day.prepared import prepare_plant
from airfettle.studies.day.run import run_path
from airfettle.studies.draw import draw
from airfettle.studies.pipework.solve import solve
from airfettle.studies.pipework.through_day import inlets_through

HOURS = 4 * 3600.0
NOTHING_LOST = 'hose = "none"\ncoupler = "none"\npipe = "steel 40 2 in"\n'
ONE_PLACE = """runs = ["receiver, 0.1 ft, wall"]
drops = [{ name = "all", at = "wall", tools = ["sander", "stapler", "cabinet"], down = "0.1 ft", fittings = "none" }]
"""


def plant(*, pipe="", lost=None):
    uses = USES
    for told in ("5 psi", "3 psi", "6 psi"):
        line = f'lost_on_the_way = "{told}"\n'
        uses = uses.replace(line, "" if pipe else line if lost is None else f'lost_on_the_way = "{lost}"\n')
    return OwnersPlant.model_validate(tomllib.loads(SHOP + pipe + PRESET + uses))


def prepared(**told):
    return prepare_plant(draw(plant(**told), rows=8))


def ran(found):
    return run_path(found.one(0), path=0, seed=1, length=HOURS)


def test_pipe_that_loses_nothing_is_as_no_loss_on_the_way():
    piped, plain = ran(prepared(pipe=NOTHING_LOST + ONE_PLACE)), ran(prepared(lost="0 psi"))
    assert piped.tools.piped == 1
    assert plain.tools.piped == 0
    np.testing.assert_array_equal(piped.books.of_train[:, STARTS], plain.books.of_train[:, STARTS])
    np.testing.assert_allclose(piped.books.totals[:3], plain.books.totals[:3], rtol=2e-4)
    np.testing.assert_allclose(piped.books.of_tool[:, TOOL_ON], plain.books.of_tool[:, TOOL_ON])
    np.testing.assert_allclose(piped.books.of_tool[:, TOOL_SHORT], plain.books.of_tool[:, TOOL_SHORT], atol=2.0)


def test_thin_pipe_leaves_tools_short():
    thin = 'hose = "1/4 in, 60 ft"\npipe = "copper L 1/4 in"\n' + ONE_PLACE.replace("0.1 ft, wall", "90 ft, wall")
    short, wide = (ran(prepared(pipe=p)).books.of_tool for p in (thin, NOTHING_LOST + ONE_PLACE))
    assert np.all(short[:, TOOL_SHORT] >= wide[:, TOOL_SHORT])
    assert short[0, TOOL_SHORT] > 0.25 * short[0, TOOL_ON]
    assert wide[0, TOOL_SHORT] < 0.1 * short[0, TOOL_SHORT]


def test_receiver_pressures_of_a_day_are_those_the_network_asks_for():
    """With the receiver at what the most demanding of a set needs, the forward form gives it just that."""
    pipe = 'hose = "3/8 in, 25 ft"\npipe = "copper L 1/2 in"\n' + ONE_PLACE.replace("0.1 ft, wall", "40 ft, wall")
    found = prepared(pipe=pipe)
    path = ran(found)
    network = found.network.only(0)
    assert path.tools.needs_of.shape[1] == 3
    seen = 0
    for row in np.unique(path.tools.which):
        needs = path.tools.needs_of[row]
        use = int(np.argmax(needs))
        if needs[use] == 0.0 or needs[use] < path.tools.full_of[row].max():
            continue  # where others throttle at that pressure they need less
        on = np.array([[float(path.tools.needs_of[row, o.use] > 0.0) for o in network.outlets]])
        solved = solve(network, on=on, receiver_pressure=needs[use : use + 1])
        place = next(j for j, o in enumerate(network.outlets) if o.use == use)
        assert solved.inlet[0, 0, place] == pytest.approx(network.needed_pressure[0, place], rel=2e-3)
        seen += 1
    lone = [r for r in range(len(path.tools.needs_of)) if np.sum(path.tools.needs_of[r] > 0.0) == 1]
    for row in lone:
        use = int(np.argmax(path.tools.needs_of[row]))
        solved = solve(network, on=np.eye(3)[use : use + 1], receiver_pressure=path.tools.full_of[row, use : use + 1])
        assert solved.inlet[0, 0, use] == pytest.approx(network.full_pressure[0, use], rel=2e-3)
        assert solved.draw[0, 0, use] == pytest.approx(network.full_flow[0, use], rel=2e-3)
    assert lone
    assert seen + len(lone) > 0


def test_sets_follow_the_script():
    codes, on = np.array([3, 0, 1, 1, 0, 2, 1]), np.array([1, 1, 1, 1, -1, 1, -1])
    which, sets = ready._sets(codes, on, [1, 2, 1])
    assert sets[which].tolist() == [[0, 0, 0], [1, 0, 0], [1, 1, 0], [1, 2, 0], [0, 2, 0], [0, 2, 1], [0, 1, 1]]
    assert sets[0].tolist() == [0, 0, 0]
    many, lines = ready._sets(codes, on, [1, 2, 10**18])  # too many to number
    assert lines[many].tolist() == sets[which].tolist()
    none, empty = ready._sets(np.array([0]), np.array([1]), [])
    assert (none.tolist(), empty.shape) == ([0], (1, 0))


def test_more_of_a_tool_run_at_the_places_worst_off_first():
    text = (SHOP + 'pipe = "copper L 3/4 in"\nruns = ["receiver, 10 ft, near, 90 ft, far"]\n'
            'drops = [{ name = "near bench", at = "near", tool = "sander" }, { name = "far bench", at = "far", '
            'tool = "sander", hose = "1/4 in, 50 ft" }]\n' + PRESET
            + USES[: USES.index('[[use]]\nname = "stapler"')].replace('lost_on_the_way = "5 psi"\n', ""))  # fmt: skip
    found = prepare_plant(draw(OwnersPlant.model_validate(tomllib.loads(text)), rows=8))
    names = [found.network.outlets[j].name for j in found.order]
    assert names == ["sander at far bench", "sander at near bench"]


def test_a_regulator_at_the_drop_leaves_a_tool_what_it_lets_through():
    """Set below what the tool's air is for it draws less, and the day draws just what the network says."""
    place = ONE_PLACE.replace('down = "0.1 ft"', 'down = "0.1 ft", regulator = "SETTING"')
    pipe = 'hose = "3/8 in, 25 ft"\npipe = "steel 40 1 in"\n' + place
    for setting in ("60 psi", "90 psi", "125 psi"):
        found = prepared(pipe=pipe.replace("SETTING", setting))
        network, tools = found.network.only(0), ran(found).tools
        lone = solve(network, on=np.eye(3), receiver_pressure=network.cut_out).draw[0]
        for use in range(3):
            assert tools.regulated[use] == pytest.approx(lone[use, use], rel=2e-3)
            assert tools.choked[use] == 0.0
        reached = tools.full_of[tools.full_of > 0.0]
        assert np.all(reached < 2e6)


def test_the_pressure_at_each_tool_is_written_along_the_day():
    """At every step of the trace as the network gives it for the receiver's pressure and the tools then running."""
    found = prepared(
        pipe='hose = "3/8 in, 25 ft"\npipe = "copper L 1/2 in"\n' + ONE_PLACE.replace("0.1 ft, wall", "40 ft, wall")
    )
    path = run_path(found.one(0), path=0, seed=1, length=HOURS, trace=True)
    counts, pressure = tools_running(path), path.books.trace[:, 1]
    network = found.network.only(0)
    inlets = inlets_through(network, order=found.order, counts=counts, receiver_pressure=pressure)
    assert np.array_equal(np.isfinite(inlets), counts > 0)
    assert np.all(inlets[counts > 0] < np.broadcast_to(pressure[:, None], counts.shape)[counts > 0])
    for step in range(0, len(pressure), 97):
        on = np.array([[float(counts[step, o.use] > 0) for o in network.outlets]])
        alone = solve(network, on=on, receiver_pressure=pressure[step : step + 1]).inlet[0, 0]
        for j, outlet in enumerate(network.outlets):
            if on[0, j]:
                assert inlets[step, outlet.use] == pytest.approx(alone[j], rel=1e-9)
