"""What is said of days, years and other sizes: words that fit the numbers, and nothing cut off."""

from dataclasses import replace
from types import SimpleNamespace

import day_plants
import numpy as np
import pytest
from rich.console import Console

from airfettle.report.day_json import day_json, year_json
from airfettle.report.day_rows import answer_rows, not_computed, tool_rows, train_rows
from airfettle.report.day_table import GROUPS, column_widths, day_table
from airfettle.report.day_trace import BEGINS, day_trace, is_trace, tools_running
from airfettle.report.day_words import headline, left_out, longest_shortage, named
from airfettle.report.resize_json import resize_json
from airfettle.report.resize_table import resize_table
from airfettle.report.resize_words import Speeds, computed, resize_headline, speeds_of
from airfettle.report.service_rows import ServiceRow, calendar_text, due_text, service_rows
from airfettle.report.year_table import year_table
from airfettle.studies.bands import Band
from airfettle.studies.day import machine as m
from airfettle.studies.day.answers import DayAnswers, day_answers, tool_answers
from airfettle.studies.day.days import Days
from airfettle.studies.day.many import run_many
from airfettle.studies.day.prepared import DAY
from airfettle.studies.day.resize import CurvePoint, Resized
from airfettle.studies.day.run import run_path
from airfettle.studies.meaning import meanings

PATHS, SEED = 4, 1
WIDTHS = (60, 80, 120)


def ran(prepared, *, start=0.0, length=DAY, traced=True):
    """Days of a plant, as a command has them."""
    tally = run_many(prepared, paths=range(PATHS), seed=SEED, start=start, length=length)
    path = run_path(prepared.one(0), path=0, seed=SEED, start=start, length=length, trace=True) if traced else None
    return Days(prepared, tally, day_answers(prepared, tally), tool_answers(prepared, tally), path, SEED)


@pytest.fixture(scope="module")
def day():
    return ran(day_plants.prepared("full speed"))


@pytest.fixture(scope="module")
def two():
    return ran(day_plants.prepared("lead and follow"))


@pytest.fixture(scope="module")
def without_tools():
    return ran(day_plants.made(day_plants.SHOP + day_plants.PRESET))


@pytest.fixture(scope="module")
def closed():
    """A plant that is off on Sundays, and has no leak."""
    shop = day_plants.SHOP.replace('leak = "0.4 scfm"', 'leak = "0 scfm"')
    hours = day_plants.PRESET + 'hours = "Mon-Sat 07:00-18:00"\n'
    uses = day_plants.USES.replace("daily", "Mon-Sat")
    return ran(day_plants.made(shop + hours + uses), start=6 * DAY)


def text_of(table, width):
    console = Console(width=width, highlight=False)
    with console.capture() as out:
        console.print(table)
    return out.get()


def with_books(run, **columns):
    """The same run with other sums in its books: totals and tools by their names."""
    totals, tools = run.tally.totals.copy(), run.tally.of_tool.copy()
    for name, values in columns.items():
        if name.upper() in ("TOOL_SHORT", "TOOL_ON"):
            tools[:, :, getattr(m, name.upper())] = values
        else:
            totals[:, getattr(m, name.upper())] = values
    tally = replace(run.tally, totals=totals, of_tool=tools)
    return replace(run, tally=tally, answers=day_answers(run.prepared, tally), tools=tool_answers(run.prepared, tally))


# The first thing said.


def test_enough_all_the_time(day):
    fine = with_books(day, tool_short=0.0, longest_short=0.0)
    assert headline(fine) == "Enough pressure all the time that tools run, in each of 4 chances of a Monday."
    assert longest_shortage(fine) is None


def test_a_shortage_with_when_how_long_and_which_tools(day):
    hour = 3600.0
    short = with_books(
        day, tool_on=[10 * hour, 0.0, 0.0], tool_short=[[0.4 * hour, 0, 0], [0.8 * hour, 0, 0], [0, 0, 0], [0, 0, 0]],
        longest_short=[240.0, 540.0, 0.0, 0.0], longest_at=[9 * hour, 10 * hour + 32 * 60, 0.0, 0.0],
        longest_tools=[1.0, 5.0, 0.0, 0.0],
    )  # fmt: skip
    assert headline(short) == (
        "Enough pressure 97 % of tool time; longest shortage of all chances 9 min at 10:32, sander and cabinet "
        "running. Some tool is short in 2 of 4 chances of a Monday."
    )
    assert "at Mon 10:32" in headline(short, year=True)


def test_a_share_is_never_said_to_be_all_where_something_is_missing(day):
    short = with_books(day, tool_on=[36_000.0, 0, 0], tool_short=[1.0, 0, 0], longest_short=1.0, longest_tools=1.0)
    assert "over 99.9 % of tool time; longest shortage of all chances 1 s" in headline(short)


def test_without_tools_it_says_so_first_and_what_to_write(without_tools):
    words = text_of(day_table(without_tools), 80)
    assert words.startswith("No tool is told")
    assert "[[use]]" in words
    assert "Leaks and drains alone start the pump" in " ".join(words.split())
    assert "enough_share" not in answer_rows(without_tools)


def test_switched_off_all_day_it_says_so_and_says_nothing_of_what_did_not_run(closed):
    assert headline(closed) == "The plant is switched off all Sunday (control.hours), and no tool runs."
    rows = answer_rows(closed)
    assert not {"hottest_air", "starts_mean", "shortest_off", "receiver_fills", "enough_share"} & set(rows)
    assert rows["energy_day"].band.likely == 0.0
    assert "runs in a day" not in text_of(day_table(closed), 80)


def test_names_in_a_sentence():
    assert named(["sander"]) == "sander"
    assert named(["sander", "stapler", "cabinet"]) == "sander, stapler and cabinet"


# Rows.


def test_rows_are_the_answers_there_are(day):
    rows = answer_rows(day)
    there = {
        n for n, meaning in meanings(DayAnswers).items() if meaning.is_answer and getattr(day.answers, n) is not None
    }
    # no quiet hours, nothing behind the receiver
    assert there - set(rows) <= {"quiet_share", "water_after", "energy_year", "cost_year", "receiver_fills"}
    assert rows["energy_day"].band.likely == pytest.approx(np.median(day.answers.energy_day))
    low, high = np.percentile(day.answers.energy_day, [5, 95])
    assert (rows["energy_day"].band.low, rows["energy_day"].band.high) == pytest.approx((low, high))


def test_every_answer_has_a_group():
    grouped = {name for names in GROUPS.values() for name in names}
    assert {name for name, meaning in meanings(DayAnswers).items() if meaning.is_answer} <= grouped


def test_paths_that_say_nothing_are_counted_out(day):
    pumped = day.tally.of_train.copy()
    pumped[0, :, m.SHORTEST_OFF] = 0.0
    tally = replace(day.tally, of_train=pumped)
    row = answer_rows(replace(day, tally=tally, answers=day_answers(day.prepared, tally)))["shortest_off"]
    assert row.paths == PATHS - 1
    assert row.band.low > 0.0


def test_a_tool_that_never_ran_has_no_share(day):
    never = with_books(day, tool_on=[[36_000.0, 36_000.0, 0.0]] * PATHS)
    rows = dict(tool_rows(never))
    assert set(rows["cabinet"]) == {"on_time"}
    assert "enough_share" in rows["sander"]
    assert "- does not run on a Monday." in text_of(day_table(never), 80)


def test_each_pump_is_told_apart_where_there_are_several(day, two):
    assert [name for name, _ in train_rows(two)] == ["lead", "follow"]
    assert "runs, h" in text_of(day_table(two), 120)
    lead, follow = (rows["running"].band.likely for _, rows in train_rows(two))
    assert lead + follow == pytest.approx(np.median(two.answers.running_time), rel=0.05)
    assert "runs, h" not in text_of(day_table(day), 120)


def test_a_path_whose_numbers_broke_down_is_found(day):
    assert not_computed(day) == 0
    assert not_computed(with_books(day, end_energy=[1.0, np.nan, 1.0, 1.0])) == 1


# Tables.


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_cut_off(width, day, two):
    for run in (day, two):
        for table in (day_table(run, width=width), year_table(run, width=width)):
            words = text_of(table, width)
            assert "…" not in words
            assert max(map(len, words.splitlines())) <= width
            for word in ("intercooler", "receiver's", "allows", "Left", "shortages,", "drawn,"):
                assert word in words


@pytest.mark.parametrize("run", ["day", "two"])
def test_the_caution_and_what_is_left_out_stand_in_it(run, request):
    run = request.getfixturevalue(run)
    words = " ".join(text_of(day_table(run), 100).split())
    assert "can kill" in words
    for left in left_out(run):
        assert left in words


def test_table_and_json_say_the_same_numbers(day, two):
    for run in (day, two):
        words = " ".join(text_of(day_table(run, width=120), 120).split())
        data = day_json(run)
        assert words.startswith(data["says"])
        for answer in data["answers"]:
            assert f"{answer['label']} {answer['shown']}" in words


def test_columns_are_as_wide_as_their_words():
    texts = [["tool", "long-board sander"], ["electricity in a year, kWh", "15700 +1000/-400"]]
    assert column_widths(texts, width=30) == [13, 14]
    assert column_widths(texts, width=200) == [17, 26]


# Years.


def test_a_year_has_sums_and_care(day):
    rows = answer_rows(day, year=True)
    days = day.tally.length / DAY
    assert rows["running_year"].band.likely == pytest.approx(np.median(day.answers.running_time) * days)
    assert rows["starts_year"].band.likely == np.median(day.answers.starts)
    assert "energy_day" not in rows
    data = year_json(day)
    assert {row["item"] for row in data["service"]} == {row.item.name for row in service_rows(day)}
    soonest = [row["likely_s"] for row in data["service"]]
    assert soonest == sorted(soonest)


def test_care_follows_the_running(day):
    share = np.median((day.tally.of_train[:, 0, m.LOADED] + day.tally.of_train[:, 0, m.IDLE]) / day.tally.length)
    oil = next(row for row in service_rows(day) if row.item.name == "oil, splash")
    assert oil.by == "running"
    assert oil.due.likely == pytest.approx(500 * 3600.0 / share, rel=1e-3)
    assert "taken as splash" in " ".join(text_of(year_table(day), 80).split())


def test_what_pumps_have_in_common_is_looked_at_once(two):
    names = [(row.item.name, row.pump) for row in service_rows(two)]
    assert names.count(("safety checks", "")) == 1
    assert {pump for name, pump in names if name == "fins and fan"} == {"lead", "follow"}
    assert ("contacts", "follow") in names  # on the line; the lead hangs on a drive
    assert ("contacts", "lead") not in names
    assert ("belt", "follow") not in names


@pytest.mark.parametrize(
    ("days", "words"),
    [(1, "1 day"), (15, "15 days"), (30, "4 weeks"), (182, "6 months"), (730, "2 years"), (803, "2.2 years")],
)
def test_time_by_the_calendar(days, words):
    assert calendar_text(days * DAY) == words


def test_care_that_is_due_by_running_says_so():
    item = SimpleNamespace(name="belt", do="look")
    row = ServiceRow(item, "", Band(60 * DAY, 91 * DAY, 120 * DAY, 91 * DAY), "running", 500 * 3600.0, None, None)
    assert due_text(row) == "3 months (2 months to 4 months) by running"
    assert due_text(replace(row, by="calendar")) == "3 months"


def test_stopped_years_say_how_far_it_came(day):
    some = replace(day, tally=replace(day.tally, wanted=32))
    first = " ".join(text_of(year_table(some, go_on="Run the same command again to go on."), 100).split())
    assert first.startswith(
        "Stopped after 4 of 32 years; what follows is of these 4. Run the same command again to go on."
    )


# The trace.


def test_a_trace_has_the_clock_the_states_and_the_tools(two):
    lines = day_trace(two).splitlines()
    head = lines[0].split(",")
    assert is_trace(lines[0])
    assert head[2] == "receiver pressure by gauge bar"
    assert {"pump lead", "pump follow", "sander running", "cabinet running", "crankcase of lead °C"} <= set(head)
    assert len(lines) - 1 == len(two.traced.books.trace)
    states = {line.split(",")[head.index("pump lead")] for line in lines[1:]}
    assert states == {"off", "filling its line", "running", "idling, unloader open"} or '"idling' in "".join(states)
    assert BEGINS.startswith("clock,time")


def test_tools_of_a_trace_run_as_long_as_in_the_books(day, two):
    for run in (day, two):
        time = run.traced.books.trace[:, 0]
        steps = np.diff(np.concatenate([[run.traced.start], time]))
        told = steps @ tools_running(run.traced)
        assert told == pytest.approx(run.traced.books.of_tool[:, m.TOOL_ON], rel=1e-6)


# Other sizes.


def point(value, share, *, own=False, starts=12.0):
    energy = 5000 * 3.6e6
    answers = {
        "enough_share": Band(share, min(share + 0.01, 1.0), 1.0, 1.0),
        "longest_shortage": Band(0.0, 60.0 * (1.0 - share), 300.0, 0.0),
        "starts_worst": Band((starts - 1) / 3600, starts / 3600, (starts + 1) / 3600, starts / 3600),
        "energy_year": Band(0.9 * energy, energy, 1.1 * energy, energy),
    }
    return CurvePoint(value, own, answers)


GALLON = 3.785411784e-3


def sizes(*shares, own=1, speeds=()):
    receiver = [point(40 * GALLON * (i + 1), s, own=i == own, starts=20.0 / (i + 1)) for i, s in enumerate(shares)]
    speed = [point(hertz, s, own=at_own) for hertz, s, at_own in speeds]
    return Resized(tuple(receiver), tuple(speed), 2 * 604_800.0, 32)


WINDOW = Speeds(30.0, 65.0)


@pytest.mark.parametrize(
    ("found", "says"),
    [
        (sizes(1.0, 1.0, 1.0, 1.0), "Neither a bigger receiver nor more air is needed: with 80 gal"),
        (sizes(0.9, 0.95, 0.9995), "A bigger receiver cures it: 120 gal keeps enough pressure for 99.9 %"),
        (sizes(0.6, 0.7, 0.72), "A bigger receiver does not cure it: 120 gal keeps enough pressure for 72 %"),
        (sizes(0.6, 0.7, 0.9), "A bigger receiver helps, but does not cure it: 120 gal"),
    ],
)
def test_does_a_bigger_receiver_cure_it(found, says):
    assert resize_headline(found, units="US", speeds=WINDOW).startswith(says)


@pytest.mark.parametrize(
    ("speeds", "says"),
    [
        ([(50.0, 0.7, True), (60.0, 0.9995, False), (70.0, 1.0, False)], "More air does: at 60 Hz instead of 50 Hz"),
        (
            [(50.0, 0.7, True), (60.0, 0.9, False), (70.0, 1.0, False)],
            "More air is needed, and 60 Hz, within every limit",
        ),
        ([(60.0, 0.7, True), (70.0, 1.0, False)], "faster than now it may not turn"),
        ([(40.0, 0.5, False), (50.0, 0.7, True)], "50 Hz is the highest its drive is set to"),
        ([(70.0, 0.7, True), (80.0, 1.0, False)], "is past a limit already"),
        ([], "another motor sheave"),
    ],
)
def test_more_air_is_only_offered_inside_the_window(speeds, says):
    words = resize_headline(sizes(0.6, 0.7, 0.72, speeds=speeds), units="US", speeds=WINDOW)
    assert says in words
    assert "70 Hz does" not in words
    assert "80 Hz" not in words
    assert "at 70 Hz" not in words


def test_the_plants_own_size_and_speeds_past_the_window_are_marked(day):
    found = sizes(0.6, 0.7, 0.72, speeds=[(50.0, 0.7, True), (70.0, 1.0, False)])
    words = text_of(resize_table(found, draw=day.prepared.draw, speeds=WINDOW, width=80), 80)
    assert words.count("as it is") == 2
    assert "70 Hz *" in words
    assert "50 Hz *" not in words
    assert "Never set it there" in words


@pytest.mark.parametrize("width", WIDTHS)
def test_sizes_are_never_cut_off(width, day):
    found = sizes(0.6, 0.7, 0.72, speeds=[(50.0, 0.7, True), (70.0, 1.0, False)])
    words = text_of(resize_table(found, draw=day.prepared.draw, speeds=WINDOW, width=width), width)
    assert "…" not in words
    for word in ("electricity", "shortage,", "70 Hz *", "as it is"):
        assert word in words


def test_sizes_whose_numbers_broke_down_are_left_out_and_said_so(day):
    found = sizes(0.9, 0.95, 0.96)
    broken = point(20 * GALLON, 1.0)
    nan = Band(1.0, 1.0, float("nan"), 1.0)
    broken = replace(broken, answers=broken.answers | {"energy_year": nan})
    kept, gone = computed(replace(found, receiver=(broken, *found.receiver)))
    assert gone == 1
    assert len(kept.receiver) == 3
    words = text_of(resize_table(kept, draw=day.prepared.draw, speeds=WINDOW, width=80, gone=gone), 80)
    assert "left out" in words
    data = resize_json(kept, draw=day.prepared.draw, speeds=WINDOW, gone=gone)
    assert data["not_computed"] == 1


def test_a_plant_without_a_window_has_no_speed_to_offer():
    assert not speeds_of([]).allows(50.0)
    assert not Speeds(None, None).allows(50.0)
