"""The demand of a shop against the theory of renewals and of queues for a few people; order, hours and chance."""

from math import comb, factorial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airfettle.quantity.clock import WEEK, read_hours
from airfettle.studies import compiled
from airfettle.studies.day import demand
from airfettle.studies.day.demand import UseNumbers, script_for

DAY = 86_400.0
SIGMAS = 5.0
"""How many standard errors a result may be from theory; each is worked out from the sample or from theory."""


def use(
    name, on=None, off=None, *, count=1, when="always", spread="exponential", variation=0.5, people=(), attended=True
):
    one = np.ones(1)
    return UseNumbers(
        name=name, path=f"use.{name}", flow=0.005 * one, law="regulated", conductance=7e-9 * one,
        full_pressure=7.2e5 * one, needed_pressure=6.5e5 * one, lost_on_the_way=3e4 * one, count=count,
        hours=read_hours(when), on=None if on is None else on * one, off=None if off is None else off * one,
        spread=spread, variation=variation * one, people=tuple(people), attended=attended,
    )  # fmt: skip


def script(*uses, start=0.0, length=WEEK, seed=1, path=0):
    return script_for(uses, row=0, start=start, length=length, seed=seed, path=path)


def events(found):
    return list(zip(found.times.tolist(), found.use.tolist(), found.on.tolist(), strict=True))


def runs_of(found, place=0):
    """Beginning and end of every run of a use of which there is one."""
    mine = found.use == place
    assert np.array_equal(found.on[mine], np.resize([1, -1], mine.sum()))
    return found.times[mine][0::2], found.times[mine][1::2]


def running(found, *places):
    """How many of some uses run after each event."""
    return np.cumsum(np.where(np.isin(found.use, places), found.on, 0))


# --- renewals --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("spread", "variation", "scatter"),
    [("fixed", 0.5, 0.0), ("exponential", 0.5, 1.0), ("log-normal", 0.5, 0.5), ("log-normal", 1.5, 1.5)],
)
def test_share_of_time_running_with_nobody_to_wait_for(spread, variation, scatter):
    """on/(on + off); the time run in a long time t has variance t (s_on^2 off^2 + s_off^2 on^2)/(on + off)^3."""
    on, off, length = 40.0, 200.0, 52 * WEEK
    found = script(use("drill", on, off, spread=spread, variation=variation), length=length)
    cycle = on + off
    variance = length * 2 * (scatter * on * off) ** 2 / cycle**3
    edges = 2 * cycle  # the first pause, and what is cut off at the end
    assert abs(found.running[0] - length * on / cycle) < SIGMAS * np.sqrt(variance) + edges
    begins, ends = runs_of(found)
    assert found.running[0] == pytest.approx(np.sum(ends - begins))
    assert found.wants[0] == found.runs[0] == len(begins)
    assert found.waiting[0] == 0


@pytest.mark.parametrize("which", ["runs", "pauses"])
def test_lengths_have_the_mean_and_scatter_they_should(which):
    mean = {"runs": 30.0, "pauses": 90.0}[which]
    for spread, variation in (("fixed", 0.5), ("exponential", 0.5), ("log-normal", 0.3), ("log-normal", 0.8)):
        begins, ends = runs_of(script(use("gun", 30.0, 90.0, spread=spread, variation=variation), length=40 * WEEK))
        lengths = ((ends - begins) if which == "runs" else (begins[1:] - ends[:-1]))[:-1]
        n = len(lengths)
        assert n > 150_000
        if spread == "fixed":
            assert lengths == pytest.approx(np.full(n, mean))
            continue
        cv = 1.0 if spread == "exponential" else variation
        assert abs(lengths.mean() - mean) < SIGMAS * cv * mean / np.sqrt(n)
        if spread == "exponential":  # standard error of the coefficient of variation: 1/sqrt(n)
            assert abs(lengths.std() / lengths.mean() - 1.0) < SIGMAS / np.sqrt(n)
            assert abs(np.mean(lengths > 2 * mean) - np.exp(-2)) < SIGMAS * np.sqrt(np.exp(-2) * (1 - np.exp(-2)) / n)
        else:  # of normal logarithms the standard deviation has the standard error s/sqrt(2 n)
            width = np.sqrt(np.log1p(cv * cv))
            assert abs(np.log(lengths).std() - width) < SIGMAS * width / np.sqrt(2 * n)
            assert abs(np.log(lengths).mean() - (np.log(mean) - width**2 / 2)) < SIGMAS * width / np.sqrt(n)


def test_runs_and_pauses_have_no_hand_in_each_other():
    begins, ends = runs_of(script(use("gun", 30.0, 90.0), length=40 * WEEK))
    lengths, pauses = (ends - begins)[:-1], begins[1:] - ends[:-1]
    n = len(lengths)
    pairs = ((lengths, pauses), (lengths[1:], pauses[:-1]), (lengths[:-1], lengths[1:]), (pauses[:-1], pauses[1:]))
    for a, b in pairs:
        assert abs(np.corrcoef(a, b)[0, 1]) < SIGMAS / np.sqrt(n)


def test_copies_and_uses_run_each_by_its_own_chance():
    """Without people to wait for, n like tools run as n independent ones: binomial."""
    found = [script(use("a", 60.0, 120.0, count=3), length=4 * WEEK, path=path) for path in range(30)]
    shares = np.array([shares_of_time(f, 3) for f in found])
    wanted = [comb(3, k) * (1 / 3) ** k * (2 / 3) ** (3 - k) for k in range(4)]
    near(shares, wanted)


# --- a few people, many tools ----------------------------------------------------------------------------------------


def shares_of_time(found, most):
    """Share of the time in which 0, 1, ... tools run."""
    edges = np.concatenate([[found.start], found.times, [found.start + found.length]])
    level = np.concatenate([[0], np.cumsum(found.on)])
    return np.bincount(level, weights=np.diff(edges), minlength=most + 1) / found.length


def near(samples, wanted):
    """Means of independent samples are within their own standard errors of what is wanted."""
    error = samples.std(axis=0, ddof=1) / np.sqrt(len(samples))
    assert np.all(np.abs(samples.mean(axis=0) - wanted) < SIGMAS * error)


def birth_and_death(tools, people, on, off):
    """Probabilities of 0, 1, ... tools wanted: of n like tools, each wanted again after a mean off, c people."""
    rho = on / off
    weights = [
        comb(tools, i) * rho**i * (1.0 if i <= people else factorial(i) / factorial(people) / people ** (i - people))
        for i in range(tools + 1)
    ]
    return np.array(weights) / sum(weights)


@pytest.mark.parametrize(
    ("tools", "people", "on", "off"), [(5, 2, 60.0, 120.0), (4, 1, 50.0, 150.0), (6, 3, 80.0, 60.0)]
)
def test_a_few_people_and_many_like_tools(tools, people, on, off):
    """The machine-repair queue M/M/c//N: how many run, how long a tool waits, how often it is wanted."""
    names = [f"person {i}" for i in range(people)]
    found = [
        script(use("tool", on, off, count=tools, people=names), length=4 * WEEK, seed=3, path=p) for p in range(40)
    ]
    p = birth_and_death(tools, people, on, off)
    i = np.arange(tools + 1)
    at_work = np.minimum(i, people)
    wanted_rate = np.sum(p * (tools - i)) / off
    near(np.array([shares_of_time(f, people) for f in found]), np.bincount(at_work, weights=p))
    near(np.array([f.wants[0] / f.length for f in found]), wanted_rate)
    near(np.array([f.waiting[0] / f.length for f in found]), np.sum(p * (i - at_work)))
    near(np.array([f.waiting[0] / f.wants[0] for f in found]), np.sum(p * (i - at_work)) / wanted_rate)
    assert max(f.on.cumsum().max() for f in found) == people


def test_the_same_tools_as_uses_of_their_own():
    """Five uses of one tool each are as five tools of one use; who may use them is told on one of them only."""
    uses = [use(f"tool {k}", 60.0, 120.0, people=("Ann", "Bo") if k == 3 else ()) for k in range(5)]
    found = [script(*uses, length=4 * WEEK, path=path) for path in range(40)]
    p = birth_and_death(5, 2, 60.0, 120.0)
    near(np.array([shares_of_time(f, 2) for f in found]), np.bincount(np.minimum(np.arange(6), 2), weights=p))
    waits = np.array([f.waiting / f.wants for f in found])
    assert np.ptp(waits.mean(axis=0)) < SIGMAS * np.sqrt(2) * np.max(waits.std(axis=0, ddof=1)) / np.sqrt(40)


PEOPLE = ("Ann", "Bo", "Cy")
some_uses = st.lists(
    st.builds(
        lambda on, off, count, people, attended, spread, when: (on, off, count, tuple(people), attended, spread, when),
        st.floats(20, 2000), st.floats(0, 2000), st.integers(1, 3), st.lists(st.sampled_from(PEOPLE), unique=True),
        st.booleans(), st.sampled_from(["fixed", "exponential", "log-normal"]),
        st.sampled_from(["always", "Mon-Fri 08:00-12:00 12:30-16:30", "daily 22:00-06:00", "Sat 09:00-09:20"]),
    ),
    min_size=1, max_size=4,
)  # fmt: skip


def as_uses(told):
    return [
        use(f"use {k}", on if k != 2 else None, off if k != 2 else None, count=count, people=people, attended=attended,
            spread=spread, when=when)
        for k, (on, off, count, people, attended, spread, when) in enumerate(told)
    ]  # fmt: skip


@settings(max_examples=60)
@given(some_uses, st.floats(0, 2 * WEEK), st.floats(1.0, 3 * DAY), st.integers(0, 5))
def test_what_holds_for_any_shop(told, start, length, path):
    uses = as_uses(told)
    found = script(*uses, start=start, length=length, path=path)
    assert np.all(np.diff(found.times) >= 0)
    everybody = {name for u in uses for name in u.people}
    for k, u in enumerate(uses):
        mine = found.use == k
        assert found.on[mine].sum() == 0
        level = np.cumsum(found.on[mine])
        assert np.all((level >= 0) & (level <= u.count))
        assert found.runs[k] == np.sum(found.on[mine] == 1) <= found.wants[k]
        assert found.running[k] == pytest.approx(-np.sum(found.times[mine] * found.on[mine]), abs=1e-3)
        windows = u.hours.opened(start, length=length)
        assert found.wanted[k] <= u.count * np.sum(windows[:, 1] - windows[:, 0]) + 1e-3
        when = found.times[mine]
        assert np.all(np.any((when[:, None] >= windows[:, 0]) & (when[:, None] <= windows[:, 1]), axis=1))
        if not u.attended or not everybody:
            assert found.waiting[k] == 0
    for group in ({"Ann"}, {"Bo", "Cy"}, {"Ann", "Cy"}, everybody):
        theirs = [k for k, u in enumerate(uses) if u.attended and everybody and set(u.people or everybody) <= group]
        if theirs and len(found.times):
            assert running(found, *theirs).max() <= len(group)


# --- order -----------------------------------------------------------------------------------------------------------


def test_two_tools_and_one_person_worked_by_hand():
    """Both are wanted at once; the first in the file runs, the other waits 10 s, and they keep apart from then on."""
    found = script(
        use("a", 10.0, 20.0, spread="fixed", people=["Ann"]), use("b", 10.0, 20.0, spread="fixed"), length=60.0
    )
    assert events(found) == [
        (0, 0, 1), (10, 0, -1), (10, 1, 1), (20, 1, -1), (30, 0, 1), (40, 0, -1), (40, 1, 1), (50, 1, -1),
    ]  # fmt: skip
    assert found.waiting.tolist() == [0.0, 10.0]
    assert found.running.tolist() == [20.0, 20.0]
    assert found.wanted.tolist() == [20.0, 30.0]


def test_who_has_waited_longest_comes_first_if_somebody_may():
    """Ann alone welds, Bo alone drills. The saw, for anybody, has waited longest when Bo is free at 50 s."""
    found = script(
        use("weld", 100.0, 1000.0, spread="fixed", people=["Ann"]), use("drill", 50.0, 25.0, spread="fixed",
        people=["Bo"]), use("saw", 30.0, 1000.0, spread="fixed"), length=200.0,
    )  # fmt: skip
    assert events(found) == [
        (0, 0, 1), (0, 1, 1), (50, 1, -1), (50, 2, 1), (80, 2, -1), (80, 1, 1), (100, 0, -1), (130, 1, -1),
        (155, 1, 1), (200, 1, -1),
    ]  # fmt: skip
    assert found.waiting.tolist() == [0.0, 5.0, 50.0]


def test_people_are_asked_in_the_order_of_the_list():
    """The press asks Bo first, which leaves Ann for the weld that only she may do."""
    press, weld = use("press", 100.0, 1e4, spread="fixed", people=["Bo", "Ann"]), use("weld", 50.0, 1e4, spread="fixed",
                                                                                   people=["Ann"])  # fmt: skip
    assert script(press, weld, length=200.0).waiting.tolist() == [0.0, 0.0]
    asked_ann = use("press", 100.0, 1e4, spread="fixed", people=["Ann", "Bo"])
    assert script(asked_ann, weld, length=200.0).waiting.tolist() == [0.0, 100.0]


def test_what_runs_by_itself_waits_for_nobody_and_takes_nobody():
    press = use("press", people=["Ann"])
    found = script(press, use("dryer", attended=False), use("lathe"), length=1000.0)
    assert events(found) == [(0, 0, 1), (0, 1, 1), (1000, 0, -1), (1000, 1, -1)]
    assert found.waiting.tolist() == [0.0, 0.0, 1000.0]
    assert found.wants.tolist() == [1, 1, 1]
    assert found.runs.tolist() == [1, 1, 0]


# --- hours -----------------------------------------------------------------------------------------------------------


def test_runs_are_cut_off_and_wants_dropped_when_the_hours_end():
    hour = "Mon 08:00-09:00, Tue 08:00-09:00"
    found = script(
        use("a", 2000.0, 1000.0, when=hour, spread="fixed", people=["Ann"]), use("b", 2000.0, 1000.0, when=hour,
        spread="fixed"), length=2 * DAY,
    )  # fmt: skip
    monday = [(0, 0, 1), (2000, 0, -1), (2000, 1, 1), (3600, 1, -1)]
    assert events(found) == [(8 * 3600 + day + t, u, o) for day in (0, DAY) for t, u, o in monday]
    assert found.waiting.tolist() == [2 * 600.0, 2 * 2000.0]  # a, wanted again at 3000, is dropped at 3600
    assert found.wants.tolist() == [4, 2]


def test_the_first_run_of_scattered_work_waits_for_a_pause():
    for spread, at_opening in (("fixed", True), ("exponential", False), ("log-normal", False)):
        begins, _ = runs_of(script(use("a", 30.0, 60.0, when="Mon 08:00-16:00", spread=spread)))
        assert (begins[0] == 8 * 3600) == at_opening


def test_a_window_over_the_end_of_the_week_does_not_close_there():
    for when in ("always", "Sun 22:00-06:00"):
        found = script(use("a", when=when), start=6 * DAY + 23 * 3600, length=2 * 3600.0)
        assert events(found) == [(6 * DAY + 23 * 3600, 0, 1), (WEEK + 3600, 0, -1)]


def test_a_shop_that_is_shut_wants_nothing():
    found = script(use("a", 30.0, 60.0, when="Mon 08:00-16:00"), start=DAY, length=3 * DAY)
    assert len(found.times) == 0
    assert found.wanted.tolist() == [0.0]
    assert len(script().times) == 0


# --- chance ----------------------------------------------------------------------------------------------------------

SHOP = (
    use("sander", 60.0, 120.0, when="Mon-Fri 08:00-16:30", people=["Ann", "Bo"], count=2, spread="log-normal"),
    use("drill", 20.0, 200.0, when="Mon-Fri 08:00-16:30"),
    use("pump", 30.0, 300.0, attended=False),
)


def same(one, other):
    return events(one) == events(other)


def test_the_same_path_is_the_same_luck_and_others_are_others():
    assert same(script(*SHOP), script(*SHOP))
    for other in (script(*SHOP, path=1), script(*SHOP, seed=2)):
        assert not same(script(*SHOP), other)


def test_another_use_leaves_the_chance_of_the_rest_alone():
    alone = script(SHOP[2])
    among = script(use("fan", 5.0, 50.0, attended=False), *SHOP)
    mine = among.use == 3
    assert np.array_equal(among.times[mine], alone.times)
    more = script(use("pump", 30.0, 300.0, attended=False, count=2))
    assert set(alone.times.tolist()) <= set(more.times.tolist())  # one more copy leaves the first alone


def test_a_longer_time_begins_the_same():
    for days in (1, 3, 7):
        short, long = script(*SHOP, length=days * DAY - 43_000.0), script(*SHOP, length=14 * DAY)
        end = short.length
        assert [e for e in events(short) if e[0] < end] == [e for e in events(long) if e[0] < end]
        assert sum(e[0] < end for e in events(short)) > 100


def test_too_few_runs_drawn_are_drawn_on_and_give_the_same(monkeypatch):
    wanted = script(*SHOP)
    asked = []
    monkeypatch.setattr(
        demand, "_enough", lambda u, windows, row: asked.append(u.name) or (1 if u.on is not None else 0)
    )
    assert same(script(*SHOP), wanted)
    assert asked


def test_compiled_and_plain_give_the_same(monkeypatch):
    wanted = script(*SHOP, use("always on"), length=2 * DAY)
    monkeypatch.setattr(demand, "jit", lambda function: function)
    found = script(*SHOP, use("always on"), length=2 * DAY)
    assert same(found, wanted)
    assert np.array_equal(found.waiting, wanted.waiting)
    assert np.array_equal(found.running, wanted.running)
    assert (found.use.dtype, found.on.dtype) == (wanted.use.dtype, wanted.on.dtype) == (np.int32, np.int8)


def test_a_function_is_compiled_once():
    assert compiled.jit(demand.queue_events) is compiled.jit(demand.queue_events)
    assert compiled.jit(demand.queue_events) is not demand.queue_events
