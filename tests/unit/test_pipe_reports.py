"""What is said of the shop's pipe: words that fit the numbers, and nothing cut off."""

from dataclasses import replace

import numpy as np
import pytest
from plant_cases import plant_of
from rich.cells import cell_len
from rich.console import Console

from airfettle.parts.pipe_stock import read_pipe
from airfettle.report.pipes_json import pipes_json, sizes_json
from airfettle.report.pipes_rows import PipesTold, distance, likely, place_rows, rows_of, step_rows, summaries
from airfettle.report.pipes_table import pipes_table
from airfettle.report.pipes_words import (
    all_enough,
    change_name,
    enough_of,
    headline,
    help_words,
    low_point_words,
    place_name,
    share,
)
from airfettle.report.sizes_table import sizes_table
from airfettle.report.sizes_words import (
    Beyond,
    SizesTold,
    could_be_smaller,
    do_words,
    search_words,
    sizes_headline,
    to_buy,
    weight_words,
)
from airfettle.studies.draw import draw
from airfettle.studies.pipework.answers import LineAnswers
from airfettle.studies.pipework.changes import Change, Tried, tried
from airfettle.studies.pipework.lies import LowPoint, low_points, run_lies
from airfettle.studies.pipework.shop import shop_run
from airfettle.studies.pipework.sizes import Sized, SizedPart

PSI = 6894.757
SHOP = """
[plant]
name = "Kite shed"
units = "US"
currency = "USD"
[site]
energy_price = "0.20 /kWh"
[control]
cut_in = "100 psi"
cut_out = "130 psi"
[receiver]
volume = "60 gal by plate"
[[use]]
name = "seam sander"
tool = "sander"
air = "9..13 cfm at 90 psi"
on = "2 min"
off = "4 min"
[[use]]
name = "sizing gun"
tool = "spray gun"
air = "8..12 cfm at 40 psi"
on = "5 min"
off = "10 min"
[shop_pipe]
pipe = "copper L 3/4 in"
hose = "3/8 in, 25 ft"
places = { receiver = "0, 0, 3 ft", A = "0, 0, 10 ft", B = "30, 0, 10 ft", C = "30, 20, 10 ft", D = "0, 20, 9 ft" }
runs = ["receiver, A", { name = "ring", way = "A, B, C, D, A", pipe = "copper L 1/2 in" }]
drops = [{ name = "long table", at = "B", tool = "seam sander" }, { name = "booth", at = "C", tool = "sizing gun" }]
"""
ROWS = 32
WIDTHS = (30, 45, 60, 80, 120)


def long_shop(benches=14):
    """A shop with many drops and three people."""
    uses = "".join(
        f'\n[[use]]\nname = "bench {i}"\ntool = "sander"\nair = "9..13 cfm at 90 psi"\non = "2 min"\noff = "4 min"\n'
        'people = ["Ida", "Kaj", "Mo"]\n' for i in range(benches)
    )  # fmt: skip
    way = "receiver, 10 ft, " + ", 12 ft, ".join(f"P{i}" for i in range(benches))
    drops = ", ".join(f'{{ at = "P{i}", tool = "bench {i}" }}' for i in range(benches))
    head = SHOP.partition("[[use]]")[0]
    return f'{head}[shop_pipe]\npipe = "copper L 3/4 in"\nruns = ["{way}"]\ndrops = [{drops}]\n{uses}'


def told_of(text, **asked):
    found = shop_run(draw(plant_of(text), rows=ROWS), **asked)
    pipe = found.draw.plant.shop_pipe
    return PipesTold(
        found, tried(found), run_lies(found), low_points(pipe, found.network), (), tuple(asked.get("running", ())),
        "gauge" not in asked,
    )  # fmt: skip


@pytest.fixture(scope="module")
def told():
    return told_of(SHOP)


@pytest.fixture(scope="module")
def hall():
    return told_of(long_shop())


def text_of(table, width=100):
    console = Console(width=width, highlight=False)
    with console.capture() as out:
        console.print(table)
    return out.get()


def with_margins(told, *psi, worst=0, every=0.0, changes=None):
    """The same shop with each tool so far over its need, in psi, at every row or row by row."""
    places = tuple(
        replace(place, margin=(m := np.broadcast_to(np.asarray(given, float) * PSI, (ROWS,))), gauge=place.needed + m)
        for place, given in zip(told.run.places, psi, strict=True)
    )
    run = replace(told.run, places=places, worst=worst)
    some = told.tried.changes if changes is None else changes
    return replace(told, run=run, tried=Tried(some, every, every))


def change(name, gain, enough, *, sort="hose", pipe=0.0):
    return Change(name, sort, np.full(ROWS, gain * PSI), enough, enough, pipe)


# The first thing said.


def test_enough_for_all(told):
    words = headline(with_margins(told, 12.0, 60.0))
    assert words.startswith(
        "All 2 tools that can run at once have enough, receiver at cut-in (100 psi): seam sander at"
    )
    assert "seam sander at long table is worst off" in words
    assert "of the draw" not in words


def test_enough_in_most_of_the_draw_says_how_much(told):
    margins = np.where(np.arange(ROWS) == 0, -1.0, 12.0)
    assert "have enough in 96.8 % of the draw, receiver" in headline(with_margins(told, margins, 60.0))


def test_one_that_may_be_short_is_no_starved_one(told):
    margins = np.where(np.arange(ROWS) < 8, -1.0, 12.0)
    words = headline(with_margins(told, margins, 60.0))
    assert words.startswith("seam sander at long table may be short: most likely ")
    assert "but too little in 25 % of the draw" in words
    assert "Starved" not in words


def test_starved_says_by_how_much_and_who_else(told):
    words = headline(with_margins(told, -6.0, -2.0))
    assert words.startswith("Starved: seam sander at long table gets ")
    assert "short by 6" in words
    assert "too little in 100 % of the draw" in words
    assert "sizing gun at booth is short too, or may be." in words
    assert "most on the way is lost in its" in words


def test_what_cures_it_is_the_change_with_least_new_pipe(told):
    changes = (
        change("run ring in copper L 3/4 in", 9.0, 1.0, sort="run", pipe=30.0), change("a wider hose", 8.0, 0.97),
        change("half the hose", 2.0, 0.2),
    )  # fmt: skip
    assert help_words(with_margins(told, -6.0, 9.0, changes=changes)).startswith("One change cures it: a wider hose (")
    words = help_words(with_margins(told, -6.0, 9.0, changes=changes[2:]))
    assert words.startswith("No single change cures it; most helps half the hose (2")
    assert "airfettle pipes size" in words
    assert help_words(with_margins(told, -6.0, 9.0, changes=())).startswith("No single change gives anything")


def test_tools_asked_for_are_named():
    words = headline(told_of(SHOP, running=["sizing gun"], gauge=80.0 * PSI))
    assert words.startswith("With sizing gun running, it has enough, receiver at 80 psi: it has ")


def test_a_shop_of_one_tool():
    text = SHOP.replace(', { name = "booth", at = "C", tool = "sizing gun" }', "")
    text = text.partition('[[use]]\nname = "sizing gun"')[0] + text[text.index("[shop_pipe]") :]
    words = headline(told_of(text))
    assert words.startswith("The one tool that can run has enough")


def test_nothing_running_is_said(told):
    places = tuple(replace(place, runs=False) for place in told.run.places)
    assert headline(replace(told, run=replace(told.run, places=places))).startswith("No tool runs")


@pytest.mark.parametrize(
    ("value", "words"),
    [(1.0, "100 %"), (0.9999, "99.9 %"), (0.96, "96 %"), (0.8, "80 %"), (0.0004, "under 0.1 %"), (0.0, "0 %")],
)
def test_a_share_is_never_said_better_than_it_is(value, words):
    assert share(value) == words


# Numbers.


def test_shares_of_enough(told):
    short = with_margins(told, np.where(np.arange(ROWS) < 8, -1.0, 1.0), np.where(np.arange(ROWS) >= 24, -1.0, 1.0))
    assert [enough_of(place) for place in short.run.places] == [0.75, 0.75]
    assert all_enough(short.run) == 0.5  # never both short


def test_one_that_stands_is_judged_by_the_times_it_runs(told):
    place = told.run.places[0]
    stands = replace(place, runs=False, margin=place.margin + 50.0 * PSI, lowest=place.needed - PSI)
    assert enough_of(stands) == 0.0
    assert enough_of(replace(stands, lowest=None, alone=place.needed + PSI)) == 1.0


def test_the_way_is_shared_out_whole(told):
    whole = sum(step_rows(told, step)["share"].band.at_likely for step in told.run.way)
    assert whole == pytest.approx(1.0, abs=1e-6)


def line(name, start, end, flow, *, run="ring", speed=3.0):
    row = np.ones(ROWS)
    return LineAnswers(
        name=name, run=run, pipe="copper L 1/2 in", start="a", end="b", on_worst_way=False, length=5.0 * row,
        bore=0.0138 * row, flow=flow * row, gauge_start=start * row, gauge_end=end * row, lost=abs(start - end) * row,
        speed=speed * row, loss_power=2.0 * row,
    )  # fmt: skip


def test_pieces_of_a_ring_are_taken_together(told):
    lines = (
        line("A to B", 6.0e5, 5.8e5, 0.01), line("B to C", 5.8e5, 5.7e5, 0.004, speed=7.0),
        line("C to A", 5.7e5, 6.0e5, -0.02), line("booth", 5.8e5, 5.7e5, 0.006, run="", speed=7.0),
    )  # fmt: skip
    ring, booth = summaries(replace(told, run=replace(told.run, lines=lines)))
    assert (ring.name, booth.name) == ("ring", "booth")
    assert float(ring.lost[0]) == pytest.approx(0.3e5)  # highest less lowest, not the sum round the ring
    assert float(ring.length[0]) == 15.0
    assert float(ring.flow[0]) == 0.02
    assert float(ring.power[0]) == 6.0
    assert ring.is_fast  # over 6 m/s
    assert not booth.is_fast  # under 9 m/s


def test_a_tool_that_never_runs_has_no_share_of_time(told):
    sets = replace(told.run.sets, on=told.run.sets.on * np.array([0.0, 1.0]))
    never = replace(told, run=replace(told.run, sets=sets))
    assert not {"enough_share", "lowest"} & set(place_rows(never, 0))
    assert {"enough_share", "lowest"} <= set(place_rows(never, 1))


def test_numbers_that_are_not_there_are_left_out(told):
    answers = replace(told.run.answers, leak=None, flow=np.full(ROWS, np.inf))
    assert not {"leak", "flow", "line_area_length"} & set(rows_of(answers))


def test_lengths_of_pipe_in_the_owners_units(told):
    assert (distance(30.48, "US"), distance(30.48, "SI"), distance(1.5, "US")) == ("100 ft", "30 m", "4.9 ft")
    ring = change("17.4 m of copper L 1/2 in from C to receiver", 1.0, 1.0, sort="ring", pipe=17.3736)
    assert change_name(ring, "US") == "57 ft of copper L 1/2 in from C to receiver"
    assert change_name(change("half the hose at B", 1.0, 1.0), "US") == "half the hose at B"


def test_a_likely_value_too_small_for_its_spread_is_not_zero():
    values = np.array([0.01, 0.4, 20.0]) * PSI
    assert likely(values, kind="pressure_difference", units="US") == "0.4 psi"


def test_a_drop_is_named_once(told):
    place = told.run.places[0]
    assert place_name(place) == "seam sander at long table"
    assert place_name(replace(place, name="seam sander at long table")) == "seam sander at long table"


# How it lies.


@pytest.mark.parametrize(
    ("points", "words"),
    [
        (None, "no heights are told"), ((), "each has a drain"), ((LowPoint("B", True, False),), "each has a drain"),
        ((LowPoint("B", False, False),), "Low points without a drain: B. Water stands there: fit a drain."),
        ((LowPoint("B", False, True), LowPoint("C", False, True)), "Level pipe without a drain: B and C."),
    ],
)  # fmt: skip
def test_low_points_in_words(points, words, told):
    assert words in " ".join(low_point_words(replace(told, low_points=points)))


# Tables.


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_cut_off(width, told, hall):
    for one in (told, hall, with_margins(told, -6.0, 9.0)):
        words = text_of(pipes_table(one, width=width), width)
        assert max(map(cell_len, words.splitlines())) <= width
        assert "…" not in words
        tokens = set(words.replace("*", "").split())
        worst = one.run.places[one.run.worst]
        for values in (worst.gauge, worst.alone):
            assert likely(values, kind="pressure", units="US").split()[0] in tokens, "a number broken in two"


def test_a_long_shop_shows_the_worst_twelve(hall):
    words = " ".join(text_of(pipes_table(hall), 100).split())
    assert "2 more tools: " in words
    assert "--json tells each" in words
    running = [place.name for place in hall.run.places if place.runs]
    assert all(f"{name} " in words for name in running)
    assert len(pipes_json(hall)["tools"]) == 14


def test_the_first_lines_are_those_that_run(hall):
    words = text_of(pipes_table(hall), 120)
    first = words.partition("tool ")[2].splitlines()[2:5]
    assert not any("stands" in line for line in first)
    assert words.count("stands") >= 9


def test_what_it_costs_is_said_in_money_where_a_price_is_told(told):
    assert " USD; running at a pressure lower" in " ".join(text_of(pipes_table(told)).split())
    free = told_of(SHOP.replace('energy_price = "0.20 /kWh"', ""))
    assert "USD" not in text_of(pipes_table(free))


# Sizes.

THIN, WIDE = read_pipe("copper L 1/2 in"), read_pipe("copper L 1 in")


def sizes_of(told, now, found, *, before=(0.1, 1.0), after=(0.99, 1.0), beyond=(), cures=(), fast=2.0, **more):
    parts = (SizedPart("ring", 30.48, now, found), SizedPart("all drops", 3.6, WIDE, WIDE))
    given = {
        "one_size": WIDE, "metal": 40.0, "metal_now": 20.0, "metal_one": 44.0, "certainty": 0.95, "before": before,
        "after": after, "beyond_pipe": beyond, "every": True, "rows": 64, "tried": 9,
    }  # fmt: skip
    sized = Sized(parts=parts, **given | more)
    helped = tuple(Beyond(j, 0.1, tuple(cures)) for j in beyond)
    return SizesTold(told.run, sized, (np.full(ROWS, fast), np.full(ROWS, 2.0)), helped)


def test_what_to_buy_comes_first(told):
    words = sizes_headline(sizes_of(told, THIN, WIDE))
    assert words == (
        "Buy copper L 1 in for run ring (100 ft) in place of what is there; the rest may stay as it is: every tool "
        "then has enough in 99 % of the draw or more."
    )


def test_nothing_to_buy(told):
    one = sizes_of(told, WIDE, THIN, before=(0.99, 1.0))
    assert sizes_headline(one).startswith("No wider pipe is needed for pressure")
    assert to_buy(one.found) == []
    assert [part.name for part in could_be_smaller(one.found)] == ["ring"]


def test_whom_no_pipe_can_help(told):
    hose = change("a hose of 1/2 in bore at long table", 8.0, 0.98)
    one = sizes_of(told, WIDE, WIDE, beyond=(0,), cures=[change("half the hose", 2.0, 0.5), hose], after=(0.1, 1.0))
    words = sizes_headline(one)
    assert words.startswith("Pipe is not to blame: no size gives seam sander at long table enough.")
    assert "a hose of 1/2 in bore at long table (enough in 98 % of the draw)" in words
    both = sizes_headline(sizes_of(told, THIN, WIDE, beyond=(0,), cures=[hose], after=(0.1, 0.98)))
    assert "every tool that pipe can help then has enough in 98 % of the draw or more." in both
    assert "No pipe helps seam sander at long table." in both


def test_where_nothing_does_it_alone_the_pressure_is_named_with_its_limits(told):
    for cures in ([], [change("half the hose", 2.0, 0.5)]):
        one = sizes_of(told, WIDE, WIDE, beyond=(0,), cures=cures, after=(0.1, 1.0))
        words = do_words(one, one.beyond[0])
        assert "as far as pump, receiver plate and relief valve allow" in words


def test_a_search_that_found_too_little_says_so(told):
    one = sizes_of(told, THIN, WIDE, after=(0.7, 1.0), every=False, tried=3000)
    assert "even so every tool has enough in only 70 % of the draw" in sizes_headline(one)
    assert "cut short after 3000" in search_words(one)


def test_weight_and_the_one_size(told):
    words = " ".join(weight_words(sizes_of(told, THIN, WIDE)))
    assert "88.18 lb in these sizes, 44.09 lb as it is" in words
    assert "copper L 1 in, 97 lb" in words
    none = sizes_of(told, THIN, WIDE, one_size=None, metal_one=np.nan)
    assert "No one size for all" in " ".join(weight_words(none))
    assert sizes_json(none)["mass_one_size_kg"] is None


@pytest.mark.parametrize("width", WIDTHS)
def test_tables_of_sizes_fit(width, told, hall):
    for one in (sizes_of(told, THIN, WIDE), sizes_of(told, THIN, WIDE, fast=12.0)):
        words = text_of(sizes_table(one, width=width), width)
        assert max(map(cell_len, words.splitlines())) <= width
        assert ("Quiet" in words) == (one.fast(0))


def test_fast_air_names_a_size_that_is_slow_enough(told):
    one = sizes_of(told, THIN, WIDE, fast=12.0)
    wide = one.slow_enough(0)
    assert 12.0 * (WIDE.bore / wide.bore) ** 2 <= 6.0
    assert wide.bore > WIDE.bore
    assert sizes_of(told, THIN, WIDE).slow_enough(0) == WIDE
    assert sizes_of(told, THIN, WIDE, fast=1e4).slow_enough(0) is None
