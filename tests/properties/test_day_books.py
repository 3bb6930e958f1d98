"""A day's books: air, water and heat close, times and counts fit each other, and the control keeps its word."""

from functools import cache
from pathlib import Path

import day_plants
import numpy as np
import pytest
from day_plants import PRESET, PRESSURE, SHOP, STEPS, TEXTS, USES

from airfettle.air.constants import R_DRY_AIR
from airfettle.store.plant_file import read_plant
from airfettle.studies.day.machine import (
    AIR_IN,
    AIR_OUT,
    BEGIN_ENERGY,
    BEGIN_VAPOUR,
    DRAINED_AIR,
    END_ENERGY,
    END_VAPOUR,
    ENERGY,
    HEAT_IN,
    HEAT_OUT,
    HOUR_AIR,
    HOUR_ENERGY,
    HOUR_LOADED,
    HOUR_SHORT,
    HOUR_STARTS,
    IDLE,
    LOADED,
    LONGEST_SHORT,
    LOWEST_PRESSURE,
    MOST_WATER,
    ON_TIME,
    ROOM_HEAT,
    SHORT_TIME,
    SHORTAGES,
    SHORTEST_OFF,
    STARTS,
    TOOL_AIR,
    TOOL_ON,
    TOOL_SHORT,
    TOOL_STARTS,
    TRAIN_ENERGY,
    TRAIN_FLOW,
    VAPOUR_IN,
    VAPOUR_OUT,
    VENTED_AIR,
    WATER_BETWEEN,
    WATER_CARRIED,
    WATER_CAUGHT,
    WATER_CONDENSED,
    WORST_STARTS,
)
from airfettle.studies.day.many import run_many
from airfettle.studies.day.prepared import YEAR, prepare_plant
from airfettle.studies.day.run import run_path
from airfettle.studies.draw import draw

DAY, HOUR = 86_400.0, 3600.0
PLANTS = tuple(TEXTS)
CLOSES = 1e-6
TIME, PRESSURE_COLUMN, GAS, FREQUENCY, RUNNING, LIQUID = 0, 1, 2, 5, 6, 11

every = pytest.mark.parametrize("which", PLANTS)


@cache
def day(which):
    """A whole day of a plant, written down step by step."""
    return day_plants.ran(which, length=DAY, trace=True)


def states_of(trace, train):
    """What a train did in each step: 0 off, 1 filling, 2 running, 3 idling."""
    return (trace[:, RUNNING].astype(int) // 4**train) % 4


def of_the_script(tools):
    """Time that each tool was on, and how often it went on, by the script. [s] [-]"""
    seconds, counts = np.zeros(tools.many), np.zeros(tools.many)
    for i in range(tools.many):
        mine = tools.codes == i
        seconds[i] = np.sum(-tools.on[mine] * np.clip(tools.times[mine], tools.begin, tools.end))
        seconds[i] += tools.end * np.sum(tools.on[mine])
        counts[i] = np.sum(tools.on[mine] > 0)
    return seconds, counts


# --- balances --------------------------------------------------------------------------------------------------------


@every
def test_heat_of_the_receiver_closes(which):
    totals = day(which).books.totals
    kept = totals[END_ENERGY] - totals[BEGIN_ENERGY]
    assert totals[HEAT_IN] > 1e5
    assert abs(kept - (totals[HEAT_IN] - totals[HEAT_OUT] - totals[ROOM_HEAT])) < CLOSES * totals[HEAT_IN]


@every
def test_air_closes(which):
    one, books = day_plants.prepared(which).one(0), day_plants.ran(which, length=DAY - 100.0, trace=True).books
    machine, totals, last = one.machine, books.totals, books.trace[-1]  # a drain at the end would come after it
    begin = np.mean([one.settings.cut_in[0], one.settings.cut_out[0]]) / machine.room
    kept = machine.volume / R_DRY_AIR * (last[PRESSURE_COLUMN] / last[GAS] - begin)
    went = totals[AIR_IN] - totals[AIR_OUT] - totals[DRAINED_AIR]
    assert totals[AIR_IN] > 50.0 * machine.volume
    assert abs(kept - went) < CLOSES * totals[AIR_IN]
    assert np.sum(books.of_train[:, TRAIN_FLOW]) == pytest.approx(totals[AIR_IN], rel=1e-9)
    assert (totals[DRAINED_AIR] > 0.0) == (one.settings.drain_every > 0.0)
    assert totals[VENTED_AIR] > 0.0


@every
def test_water_closes(which):
    books, machine = day(which).books, day_plants.prepared(which).one(0).machine
    totals = books.totals
    kept = totals[END_VAPOUR] - totals[BEGIN_VAPOUR]
    assert abs(kept - (totals[VAPOUR_IN] - totals[VAPOUR_OUT] - totals[WATER_CONDENSED])) < CLOSES * totals[VAPOUR_IN]
    assert totals[WATER_BETWEEN] == 0.0  # warm enough between the stages: what is delivered was all drawn in
    behind = totals[VAPOUR_IN] + totals[WATER_CAUGHT] + totals[WATER_CARRIED]
    assert behind == pytest.approx(machine.humidity * totals[AIR_IN], rel=CLOSES)
    gathered = totals[WATER_CARRIED] + totals[WATER_CONDENSED]
    if day_plants.prepared(which).one(0).settings.drain_every > 0.0:
        assert totals[MOST_WATER] < 0.1 * gathered
    else:
        assert books.trace[-1, LIQUID] == pytest.approx(gathered, rel=CLOSES)
        assert totals[MOST_WATER] == pytest.approx(gathered, rel=CLOSES)


@every
def test_vapour_that_leaves_is_that_of_the_air_that_leaves(which):
    """Vapour out is booked as what the balance leaves; by flow it is the sum of air times humidity."""
    books = day(which).books
    by_flow = np.sum(books.at_flow[:, 2])
    by_flow += books.totals[DRAINED_AIR] * by_flow / books.totals[AIR_OUT]
    assert by_flow == pytest.approx(books.totals[VAPOUR_OUT], rel=2e-3)


@every
def test_nothing_negative_and_all_finite(which):
    books = day(which).books
    for name in ("of_train", "of_tool", "of_hour", "at_speed", "at_flow", "trace"):
        values = getattr(books, name)
        assert np.all(np.isfinite(values)), name
        assert np.all(values >= 0.0), name
    assert np.all(books.trace[:, GAS] > 200.0)
    assert books.totals[LOWEST_PRESSURE] == np.min(books.trace[:, PRESSURE_COLUMN])


# --- times and counts ------------------------------------------------------------------------------------------------


@every
def test_times_and_hours_add_up(which):
    books = day(which).books
    totals, train, hours = books.totals, books.of_train, books.of_hour
    assert np.all(train[:, LOADED] + train[:, IDLE] <= totals[ON_TIME] * (1.0 + 1e-9))
    assert totals[ON_TIME] <= DAY * (1.0 + 1e-9)
    assert np.sum(hours[:, HOUR_STARTS]) == np.sum(train[:, STARTS]) > 0.0
    assert np.sum(hours[:, HOUR_LOADED]) == pytest.approx(np.sum(train[:, LOADED]), rel=1e-9)
    assert np.sum(hours[:, HOUR_ENERGY]) == pytest.approx(totals[ENERGY], rel=1e-9)
    assert np.sum(train[:, TRAIN_ENERGY]) == pytest.approx(totals[ENERGY], rel=1e-3)  # two rules over one step
    assert np.sum(hours[:, HOUR_AIR]) == pytest.approx(totals[AIR_OUT], rel=1e-9)
    assert np.sum(books.at_speed) == pytest.approx(np.sum(train[:, LOADED]), rel=1e-9)
    assert np.sum(hours[:, HOUR_SHORT]) == pytest.approx(totals[SHORT_TIME], rel=1e-6, abs=1e-3)
    assert np.max(train[:, LOADED] / np.maximum(train[:, STARTS], 1.0)) > 1.0


@every
def test_shortages(which):
    books = day(which).books
    totals, gaps = books.totals, books.shortages
    assert totals[LONGEST_SHORT] <= totals[SHORT_TIME] <= DAY
    assert len(gaps) == totals[SHORTAGES]
    assert np.all(gaps[:, 1] > gaps[:, 0])
    assert np.all(gaps[1:, 0] >= gaps[:-1, 1])
    assert np.sum(gaps[:, 1] - gaps[:, 0]) == pytest.approx(totals[SHORT_TIME], abs=1e-6)
    assert np.max(gaps[:, 1] - gaps[:, 0], initial=0.0) == pytest.approx(totals[LONGEST_SHORT], abs=1e-6)
    assert np.all(books.of_tool[:, TOOL_SHORT] <= totals[SHORT_TIME] + 1e-6)
    assert np.sum(books.of_tool[:, TOOL_SHORT]) >= totals[SHORT_TIME] - 1e-6


def test_some_plant_here_is_short_of_pressure():
    assert sum(day(which).books.totals[SHORT_TIME] > 60.0 for which in PLANTS) >= 3


@every
def test_tools_run_as_the_script_says(which):
    path = day(which)
    seconds, counts = of_the_script(path.tools)
    found = path.books.of_tool[: path.tools.many]
    assert found[:, TOOL_ON] == pytest.approx(seconds, rel=1e-9)
    assert np.array_equal(found[:, TOOL_STARTS], counts)
    assert np.all(found[:, TOOL_SHORT] <= found[:, TOOL_ON] + 1e-6)
    most = np.where(path.tools.choked > 0.0, np.inf, path.tools.regulated)
    assert np.all(found[:, TOOL_AIR] <= most * seconds * (1.0 + 1e-9))


@every
def test_tools_and_leaks_take_what_leaves(which):
    """Leaks by their law, c p sqrt(293.15 K/T), less below the choked range, over the steps' ends."""
    path = day(which)
    trace = path.books.trace
    leaking = path.tools.steady * trace[:, PRESSURE_COLUMN] * np.sqrt(293.15 / trace[:, GAS])
    ratio = day_plants.prepared(which).one(0).machine.barometer / trace[:, PRESSURE_COLUMN]
    leaking *= np.sqrt(1.0 - (np.clip(ratio - 0.528, 0.0, 0.472) / 0.472) ** 2)
    leaks = np.trapezoid(leaking, trace[:, TIME])
    total = np.sum(path.books.of_tool[:, TOOL_AIR]) + leaks
    assert total == pytest.approx(path.books.totals[AIR_OUT], rel=2e-3)


# --- the same run ----------------------------------------------------------------------------------------------------


@every
def test_compiled_and_plain_give_the_same(which):
    compiled, plain = (
        day_plants.ran(which, length=0.75 * HOUR, trace=True, compiled=how).books for how in (True, False)
    )
    assert compiled.of_train[0, STARTS] >= 1.0
    assert len(compiled.trace) == len(plain.trace)
    for name in ("totals", "of_train", "of_tool", "of_hour", "at_speed", "at_flow", "trace", "shortages"):
        np.testing.assert_allclose(getattr(compiled, name), getattr(plain, name), rtol=1e-7, atol=1e-9, err_msg=name)


@pytest.mark.parametrize("which", ["by chance", "lead and follow"])
def test_a_path_is_the_same_alone_and_among_others(which):
    prepared, length = day_plants.prepared(which), 3.0 * HOUR
    numbers = [11, 2, 5, 3, 8]
    together = run_many(prepared, paths=numbers, seed=7, start=0.0, length=length)
    assert sorted(together.paths) == sorted(numbers)
    for number in numbers:
        (place,) = np.flatnonzero(together.paths == number)
        alone = run_many(prepared, paths=[number], seed=7, start=0.0, length=length)
        for name in ("totals", "of_train", "of_tool", "of_hour", "at_speed", "at_flow"):
            assert np.array_equal(getattr(together, name)[place], getattr(alone, name)[0]), name


def test_chance_differs_from_path_to_path():
    starts = {tuple(day_plants.ran("by chance", length=8 * HOUR, path=p).books.totals) for p in range(4)}
    assert len(starts) == 4


@every
def test_a_longer_stretch_begins_alike(which):
    short, long = (day_plants.ran(which, length=hours * HOUR, trace=True).books.trace for hours in (2.0, 5.0))
    common = int(np.sum(short[:, TIME] < 2.0 * HOUR - 1.0))
    assert common > 100
    assert np.array_equal(short[:common], long[:common])


# --- what the control promises ---------------------------------------------------------------------------------------


@every
def test_least_time_off(which):
    least, row = day_plants.prepared(which).one(0).settings.minimum_off, day(which).books.of_train[0]
    assert row[SHORTEST_OFF] > 0.0
    assert row[SHORTEST_OFF] >= least - 1e-6


@cache
def busy(most, volume):
    text = SHOP.replace("80 gal by plate", volume) + PRESET + USES
    limit = f'most_starts = "{most}"\n' if most else ""
    return day_plants.made(text.replace("[control]\n", "[control]\n" + limit, 1))


@pytest.mark.parametrize("most", [4, 7, 12])
def test_starts_of_an_hour_stay_within_their_limit(most):
    """The same plant without a limit starts far more often."""
    free, held = (day_plants.run(busy(m, "12 gal by plate"), length=DAY).books.of_train[0] for m in (0, most))
    assert free[WORST_STARTS] > 1.5 * 12
    assert held[WORST_STARTS] <= most
    assert held[STARTS] >= 24 * most * 0.5
    assert held[IDLE] > free[IDLE] == 0.0


QUIET = '[control]\nquiet_hours = "daily 02:00-03:30"\n'
QUIET_PLANTS = {"preset": PRESET, "steps": STEPS, "pressure": PRESSURE}


@cache
def with_quiet_hours(which):
    plant = day_plants.made(SHOP + QUIET_PLANTS[which].replace("[control]\n", QUIET, 1) + USES)
    return plant, day_plants.run(plant, length=6 * HOUR, trace=True).books.trace


@pytest.mark.parametrize("which", QUIET_PLANTS)
def test_quiet_hours_run_quiet(which):
    plant, trace = with_quiet_hours(which)
    inside = (trace[:, TIME] > 2.0 * HOUR + 1e-6) & (trace[:, TIME] < 3.5 * HOUR + 1e-6)
    turning = trace[:, RUNNING] > 0.0
    quiet = plant.quiet
    assert np.sum(inside & turning) > 20
    assert np.max(trace[inside & turning, FREQUENCY]) <= quiet + 1e-5
    assert np.max(trace[~inside & turning, FREQUENCY]) > quiet + 5.0


@pytest.mark.parametrize("which", ["lead and follow", "by chance"])
def test_switched_off_it_does_not_start(which):
    trace, hours = day(which).books.trace, day(which).books.of_hour
    opened, closed = {"lead and follow": (1200.0, 23 * HOUR), "by chance": (900.0, 20 * HOUR)}[which]
    inside = (trace[:, TIME] > opened + 1e-6) & (trace[:, TIME] < closed + 1e-6)
    assert np.all(trace[~inside, RUNNING] == 0.0)
    assert np.any(trace[inside, RUNNING] > 0.0)
    assert np.all(hours[int(closed // HOUR) :, HOUR_STARTS] == 0.0)
    assert day(which).books.totals[ON_TIME] == pytest.approx(closed - opened, abs=1e-6)
    assert np.min(trace[~inside, PRESSURE_COLUMN]) < np.min(day_plants.prepared(which).one(0).settings.cut_in)


def test_the_second_pump_follows():
    """It starts at its own lower pressure, while the first runs, and stops before it or with it."""
    trace, settings = day("lead and follow").books.trace, day_plants.prepared("lead and follow").one(0).settings
    first, second = states_of(trace, 0), states_of(trace, 1)
    begins = np.flatnonzero((second[1:] == 1) & (second[:-1] == 0)) + 1
    assert len(begins) == day("lead and follow").books.of_train[1, STARTS] > 3
    assert np.all(np.isin(first[begins], (1, 2)))
    assert np.all(trace[begins - 1, PRESSURE_COLUMN] <= settings.cut_in[1] + 1.0)
    loaded = np.isin(second, (1, 2))
    assert np.max(trace[loaded, PRESSURE_COLUMN]) <= settings.cut_out[1] + 1.0


@every
def test_pressure_stays_between_what_the_control_asks_for(which):
    trace, settings = day(which).books.trace, day_plants.prepared(which).one(0).settings
    assert np.max(trace[:, PRESSURE_COLUMN]) <= np.max(settings.cut_out) + 1.0
    loaded = np.isin(states_of(trace, 0), (1, 2))
    assert np.all(trace[~loaded & (states_of(trace, 0) == 3), PRESSURE_COLUMN] >= settings.cut_in[0] - 1.0)


@pytest.mark.parametrize("path", [1, 2, 3])
def test_a_year_under_speed_control_comes_to_its_end(path, tmp_path):
    """At an edge of its branches a control may be sent to and fro at one moment; time must go on."""
    text = (Path(__file__).parents[2] / "examples/canoe_works.toml").read_text(encoding="utf-8")
    file = tmp_path / "canoe_works.toml"
    file.write_text(text.replace("[control]", '[control]\nspeed_by = "pressure"'), encoding="utf-8")
    plant = prepare_plant(draw(read_plant(file), rows=8))
    totals = run_path(plant.one(0), path=path, seed=1, length=YEAR).books.totals
    assert np.all(np.isfinite(totals))
    assert 2_000.0 < totals[ENERGY] / 3.6e6 < 8_000.0
