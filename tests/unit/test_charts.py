"""Charts of a day: true to the run's numbers, titled by them, drawn without a warning on paper and as blueprint."""

import json
import re
from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest
import vl_convert
from day_plants import SHOP

from airfettle.app.day import day_file
from airfettle.drawings.charts import day_chart, hours_chart, resize_charts, themed, told, water_chart
from airfettle.drawings.charts.hours import by_hour
from airfettle.drawings.charts.resize import resize_title
from airfettle.drawings.charts.style import BLUEPRINT, DESK, PAPER, PHONE, apart, balanced, shortened, wrapped
from airfettle.errors import BadRequest
from airfettle.studies.bands import Band
from airfettle.studies.day.machine import HOUR_STARTS, TOOL_ON, TRACE
from airfettle.studies.day.resize import CurvePoint, Resized, band_of

PSI = 6894.757293168361
TIGHT = SHOP.split("[shop_pipe]")[0].replace("14 W/K", "60 W/K")
"""Without a leak, so that it rests at night; with a cooler that cools, so that water falls out at each station."""
ODD = 'blast <b>cabinet</b> & "co" {x} #1'
HUNGRY = f"""
[control]
cut_in = "120 psi"
cut_out = "150 psi"
full = "60 Hz"
[[use]]
name = '{ODD}'
air = "24 cfm at 90 psi"
pressure = "88 psi"
when = "daily 08:00-16:00"
on = "10 min"
off = "25 min"
[[use]]
name = "sanders"
count = 2
air = "6 cfm at 90 psi"
pressure = "80 psi"
when = "daily 07:30-16:00"
on = "4 min"
off = "9 min"
"""
CALM = """
[control]
cut_in = "8 bar"
cut_out = "10 bar"
[[use]]
name = "blow gun"
air = "100 L/min ANR at 4 bar"
when = "daily 09:00-15:00"
on = "2 min"
off = "20 min"
"""


@pytest.fixture(scope="module")
def hungry(tmp_path_factory):
    file = tmp_path_factory.mktemp("hungry") / "shop.toml"
    file.write_text(TIGHT + HUNGRY, encoding="utf-8")
    return day_file(file, paths=8)


@pytest.fixture(scope="module")
def calm(tmp_path_factory):
    file = tmp_path_factory.mktemp("calm") / "shop.toml"
    file.write_text(TIGHT.replace('"US"', '"SI"') + CALM, encoding="utf-8")
    return day_file(file, paths=4)


@pytest.fixture(scope="module")
def idle(tmp_path_factory):
    file = tmp_path_factory.mktemp("idle") / "shop.toml"
    file.write_text(TIGHT + CALM, encoding="utf-8")
    return day_file(file, paths=1)


def band(low, likely=None, high=None):
    likely = low if likely is None else likely
    return Band(low, likely, likely if high is None else high, likely)


def point(value, enough, *, own=False, longest=None, starts=5.0, spread=0.0):
    longest = (600.0 if enough < 1.0 else 0.0) if longest is None else longest
    return CurvePoint(value, own, {
        "enough_share": band(max(enough - spread, 0.0), enough, min(enough + spread, 1.0)),
        "longest_shortage": band(longest), "starts_worst": band(starts / 3600.0),
    })  # fmt: skip


def resized(receiver, speed):
    """From enough shares of sizes 0.1, 0.2... m3 and speeds 30, 40... Hz; the plant's own are marked by a tuple."""
    curves = [
        tuple(
            point(step * (i + 1), share[0] if isinstance(share, tuple) else share, own=isinstance(share, tuple))
            for i, share in enumerate(shares)
        )
        for shares, step in ((receiver, 0.1), (speed, 20.0))
    ]
    return Resized(*curves, length=2 * 604_800.0, paths=8)


EITHER = resized([0.5, (0.9,), 1.0, 1.0], [0.5, (0.9,), 1.0])


def title(spec):
    return " ".join(spec["title"]["text"])


def words(spec):
    """Everything that is written in a chart, in one line."""
    found = []

    def walk(node):
        if isinstance(node, dict):
            for key, value in node.items():
                if key in ("text", "subtitle") and isinstance(value, str | list):
                    found.append(value if isinstance(value, str) else " ".join(map(str, value)))
                elif key == "text" and isinstance(value, dict) and "value" in value:
                    found.append(value["value"] if isinstance(value["value"], str) else " ".join(value["value"]))
                walk(value)
        elif isinstance(node, list):
            for value in node:
                walk(value)

    walk(spec)
    return " | ".join(found)


def panel(spec, begins):
    return next(p for p in spec["vconcat"] if " ".join(p.get("title", {}).get("text", [])).startswith(begins))


def rows_with(spec, *fields):
    """Rows of the first layer whose rows have these fields and no others."""
    return next(
        layer["data"]["values"] for layer in spec["layer"]
        if layer["data"]["values"] and set(layer["data"]["values"][0]) == set(fields)
    )  # fmt: skip


def every(hungry, calm, idle, width):
    return {
        "day": day_chart(hungry, width=width, limits={"winding": 428.15, "head": 440.0}),
        "calm day": day_chart(calm, width=width), "one chance": day_chart(idle, width=width, temperatures=False),
        "water": water_chart(hungry, width=width), "calm water": water_chart(calm, width=width),
        "hours": hours_chart(hungry, width=width, start_limit=6.0), "calm hours": hours_chart(calm, width=width),
        "resize": resize_charts(EITHER, units="US", width=width, name=ODD),
        "resize, one speed": resize_charts(replace(EITHER, speed=()), units="SI", width=width),
    }  # fmt: skip


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("width", [DESK, PHONE])
def test_every_chart_is_drawn_without_a_warning_and_fits(hungry, calm, idle, width, dark, capfd):
    for name, spec in every(hungry, calm, idle, width).items():
        svg = vl_convert.vegalite_to_svg(themed(spec, dark=dark), show_warnings=True)
        said = capfd.readouterr()
        assert (said.out + said.err) == "", f"{name}: {said.out}{said.err}"
        assert float(re.search(r'width="([0-9.]+)"', svg)[1]) <= width + 6, name
        sizes = [float(size) for size in re.findall(r'font-size="([0-9.]+)px"', svg)]
        assert sizes, name
        assert min(sizes) >= 12.0, name


def test_a_wrong_specification_would_be_told(calm, capfd):
    spec = water_chart(calm)
    spec["vconcat"][0]["layer"][0]["encoding"]["nothing"] = {"field": "x"}
    vl_convert.vegalite_to_svg(spec, show_warnings=True)
    assert "nothing" in "".join(capfd.readouterr())


def test_charts_carry_their_own_data_and_few_of_it(hungry, calm, idle):
    for name, spec in every(hungry, calm, idle, DESK).items():
        text = json.dumps(spec, allow_nan=False)
        assert len(text) < 300_000, name
        assert "url" not in text, name
        assert spec["$schema"].endswith("/vega-lite/v5.json"), name


def test_colours_stand_in_the_theme_alone(hungry, calm, idle):
    for name, spec in every(hungry, calm, idle, DESK).items():
        assert spec["background"] == PAPER.paper
        dark = themed(spec, dark=True)
        assert dark["background"] == BLUEPRINT.paper
        assert themed(dark) == spec, name
        bare = {key: value for key, value in spec.items() if key not in ("config", "background")}
        assert not re.search(r"#[0-9a-f]{6}", json.dumps(bare)), name
        styles = set(re.findall(r'"style": "(\w+)"', json.dumps(bare)))
        assert styles <= set(spec["config"]["style"]), name


def test_names_with_markup_are_inert(hungry):
    for spec in (day_chart(hungry), resize_charts(EITHER, name=ODD)):
        svg = vl_convert.vegalite_to_svg(spec)
        assert "<b>" not in svg
        assert "&lt;b&gt;" in svg
        assert "{x}" in svg


def test_the_script_read_again_agrees_with_the_kernel(hungry):
    """Pressure lies under what running tools need just where the kernel booked a shortage."""
    path = told.traced_of(hungry)
    assert path.shortages
    short = need_seen = 0
    for begin, end, level in path.need:
        inside = (path.hours > begin + 1e-3) & (path.hours < end - 1e-3)
        for hour, pressure in zip(path.hours[inside], path.pressure[inside], strict=True):
            booked = any(a - 1e-6 <= hour <= b + 1e-6 for a, b in path.shortages)
            if abs(pressure - level) > 200.0:
                assert (pressure < level) == booked, (hour, pressure, level)
                need_seen += 1
                short += booked
    assert short > 20
    assert need_seen > short
    for bars, ran in zip(path.tools, hungry.traced.books.of_tool[:, TOOL_ON], strict=True):
        assert 3600.0 * sum(b.level * (b.end - b.begin) for b in bars) == pytest.approx(ran, rel=1e-6)


def test_pumps_read_from_the_trace(hungry):
    path = told.traced_of(hungry)
    loaded = 3600.0 * sum(b.end - b.begin for b in path.pumps[0])
    assert loaded == pytest.approx(float(hungry.traced.books.of_train[0, :2].sum()), rel=0.02)


def test_pressure_drawn_is_the_pressure_run(hungry, calm):
    for run, factor in ((hungry, PSI), (calm, 1e5)):
        path = told.traced_of(run)
        spec = panel(day_chart(run), "receiver pressure")
        drawn = rows_with(spec, "t", "p")
        assert len(drawn) <= 1600
        inside = (path.hours >= path.shown[0]) & (path.hours <= path.shown[1])
        for op in (min, max):
            assert op(row["p"] for row in drawn) == pytest.approx(op(path.pressure[inside].tolist()) / factor, abs=1e-3)
        assert max(row["p"] for row in drawn) == pytest.approx(path.cut_out / factor, rel=1e-3)
        for row in drawn[:: max(len(drawn) // 40, 1)]:
            place = np.argmin(np.abs(path.hours - row["t"]))
            assert row["p"] == pytest.approx(path.pressure[place] / factor, rel=0.02)
        levels = {layer["data"]["values"][0]["y"] for layer in spec["layer"] if layer["mark"]["style"] == "setting"}
        assert sorted(levels) == pytest.approx([path.cut_in / factor, path.cut_out / factor])


def test_shortages_drawn_are_those_booked(hungry, calm):
    path = told.traced_of(hungry)
    spec = panel(day_chart(hungry), "receiver pressure")
    drawn = [(row["t"], row["e"]) for row in rows_with(spec, "t", "e", "y", "z")]
    booked = (hungry.traced.books.shortages[:, :2] - hungry.traced.start) / 3600.0
    np.testing.assert_allclose(drawn, booked, atol=1e-4)
    gaps = rows_with(spec, "t", "p", "n", "s")
    assert all(row["p"] <= row["n"] for row in gaps)
    begin, end = max(path.shortages, key=lambda pair: pair[1] - pair[0])
    assert f"short from {told.clock(begin)}, {told.span_text((end - begin) * 3600.0)}" in words(spec)
    assert "short" not in words(panel(day_chart(calm), "receiver pressure"))


def test_speed_drawn_as_steps(hungry):
    rows = rows_with(panel(day_chart(hungry), "drive frequency"), "t", "f")
    assert {row["f"] for row in rows} == {0.0, 60.0}
    time = sum((b["t"] - a["t"]) * b["f"] for a, b in pairwise(rows))
    path = told.traced_of(hungry)
    inside = (path.hours > path.shown[0]) & (path.hours <= path.shown[1])
    steps = np.diff(np.concatenate([[path.shown[0]], path.hours[inside]]))
    assert time == pytest.approx(float(np.sum(steps * path.frequency[inside])), rel=0.01)


def test_temperatures_with_limits_and_without(hungry):
    spec = panel(day_chart(hungry, limits={"winding": 428.15}), "head with cylinders")
    assert "highest for the winding: 311 °F" in words(spec)
    hottest = float(hungry.traced.books.trace[:, TRACE.index("winding")].max())
    assert f"winding to {(hottest - 459.67 * 5 / 9) * 1.8:.0f} °F" in words(spec)
    assert "highest" not in words(day_chart(hungry))
    assert not any("head" in str(p.get("title")) for p in day_chart(hungry, temperatures=False)["vconcat"])


def test_clock_shows_whole_hours_in_which_something_runs(hungry, calm):
    path = told.traced_of(hungry)
    assert path.shown[0] == 7.0
    assert path.shown[1] in (16.0, 17.0)
    spec = day_chart(hungry)
    axes = [p["encoding"]["x"] for p in spec["vconcat"]]
    assert all(x["scale"]["domain"] == list(path.shown) for x in axes)
    assert [x["axis"]["labels"] for x in axes] == [False] * (len(axes) - 1) + [True]
    assert "nothing runs before 07:00" in axes[-1]["axis"]["title"]
    assert all(float(v).is_integer() for v in axes[0]["axis"]["values"])


def test_first_thing_said_is_the_answer(hungry, calm):
    said = title(day_chart(hungry))
    tools = hungry.tally.of_tool
    enough = 1.0 - tools[:, :, 1].sum() / tools[:, :, 0].sum()
    assert said.startswith(f"Enough pressure {told.share_text(enough)} of tool time; ")
    assert ODD in said
    assert title(day_chart(calm)) == "Enough pressure for every tool, all the time, in 4 chances"
    assert "On this day nothing is short" in words(day_chart(calm))
    assert f"{len(hungry.traced.books.shortages)} shortages" in words(day_chart(hungry))
    assert "seed 1" in words(day_chart(hungry))


@pytest.mark.parametrize(
    ("shares", "said"),
    [
        ((0.8, 0.2), "cabinet causes the rest"),
        ((0.6, 0.4), "cabinet causes most of the rest"),
        ((0.4, 0.35, 0.25), "when it is not, cabinet and sander draw most of the air"),
        ((0.2,), "cabinet causes the rest"),
    ],
)
def test_causes_are_named_by_their_share(shares, said):
    totals = np.zeros((2, 40))
    totals[1] = 1.0
    names = ("cabinet", "sander", "gun")
    tools = [
        SimpleNamespace(name=n, shortage_share=np.array([9.9 - s, s])) for n, s in zip(names, shares, strict=False)
    ]
    assert told.causes(SimpleNamespace(tools=tools, tally=SimpleNamespace(totals=totals))) == said


def test_shares_are_never_rounded_to_all_or_none():
    said = [told.share_text(x) for x in (1.0, 0.99999, 0.9994, 0.9713, 0.4, 0.001, 1e-6, 0.0)]
    assert said == ["100 %", "over 99.9 %", "over 99.9 %", "97.1 %", "40 %", "0.1 %", "under 0.1 %", "0 %"]
    assert told.share_range(0.5, 0.75) == "50 to 75 %"
    assert told.share_range(1.0, 1.0) == "100 %"


def test_no_day_traced(hungry):
    with pytest.raises(BadRequest, match="step by step"):
        day_chart(replace(hungry, traced=None))


def test_water_drawn_is_the_water_run(hungry):
    spec = water_chart(hungry)
    rows = {row["station"]: row for row in spec["vconcat"][0]["layer"][0]["data"]["values"]}
    for name in ("water_separator", "water_receiver", "water_sent"):
        found = band_of(getattr(hungry.answers, name))
        for end in ("low", "likely", "high"):
            assert rows[name][end] == pytest.approx(getattr(found, end) * 86_400.0)
    fills = band_of(hungry.answers.receiver_fills / 3600.0)
    hours = int(re.search(r"must open after ([0-9]+) running hours at the latest", title(spec))[1])
    assert hours <= fills.low < 1.1 * hours + 1
    assert "separator, before the receiver:" in words(spec)
    assert words(spec).count("its drain must open after") == 2


def test_hours_drawn_are_those_run(hungry):
    starts, loaded, short = by_hour(hungry)
    np.testing.assert_allclose(starts.sum(axis=1), hungry.answers.starts)
    assert loaded.max() <= 1.0
    np.testing.assert_allclose(loaded.sum(axis=1) * 3600.0, hungry.answers.loaded_time, rtol=0.01)
    np.testing.assert_allclose(60.0 * short.sum(axis=1), hungry.tally.totals[:, 14], rtol=1e-6)
    rows = panel(hours_chart(hungry), "starts")["layer"][0]["data"]["values"]
    for row in rows:
        hour = int(row["m"])
        of = hungry.tally.of_hour[:, hour, HOUR_STARTS]
        assert (row["mean"], row["high"]) == pytest.approx((of.mean(), np.percentile(of, 95)), abs=1e-3)


def test_start_limit_is_drawn_only_where_it_is_told(hungry):
    worst = hungry.answers.starts_worst.max() * 3600.0
    under, over = hours_chart(hungry, start_limit=worst - 1.5), hours_chart(hungry, start_limit=worst + 1.0)
    assert f"Up to {worst:.0f} starts within one hour: more than the" in title(under)
    assert f"At most {worst:.0f} starts within one hour: within the" in title(over)
    assert "the motor's limit" in words(under)
    none = hours_chart(hungry)
    assert "limit" not in words(none)
    assert title(none).startswith("Busiest from ")


@pytest.mark.parametrize(
    ("receiver", "speed", "said"),
    [
        ([0.5, (0.9,), 1.0, 1.0], [0.5, (0.9,), 1.0], "Either ends the shortage: a receiver of 300 L, or 60 Hz"),
        ([0.5, (0.9,), 1.0, 1.0], [0.5, (0.9,), 0.95],
         "A receiver of 300 L ends the shortage; more speed alone only shortens it (60 Hz)"),
        ([0.5, (0.9,), 1.0, 1.0], [0.5, (0.9,)],
         "A receiver of 300 L ends the shortage; the pump already runs at its highest speed"),
        ([0.5, (0.9,), 1.0], [], "A receiver of 300 L ends the shortage; the pump has one speed"),
        ([0.5, (0.9,), 0.95], [(0.9,), 1.0],
         "A bigger receiver shortens the shortage; only a faster pump ends it: 40 Hz"),
        ([0.5, (0.9,), 0.9], [(0.9,), 1.0], "A bigger receiver hardly helps; only a faster pump ends it: 40 Hz"),
        ([(0.5,), 0.6], [(0.5,), 0.8],
         "Neither a bigger receiver nor more speed ends the shortage (up to 50 % of tool time): a receiver of 200 L "
         "leaves up to 40 %, 40 Hz leaves up to 20 %"),
        ([(0.5,), 0.6], [0.4, (0.5,)],
         "A bigger receiver does not end the shortage (up to 50 % of tool time): a receiver of 200 L leaves "
         "up to 40 %; the pump already runs at its highest speed"),
        ([0.5, 1.0, (1.0,)], [(1.0,)],
         "As it is, no tool runs short; a receiver of 200 L would still do, with more starts"),
        ([1.0, 0.5, (1.0,)], [(1.0,)], "As it is, no tool runs short; a smaller receiver would not do"),
        ([(0.9,), 1.0, 0.9], [(0.9,), 1.0],
         "A bigger receiver shortens the shortage; only a faster pump ends it: 40 Hz"),
    ],
)  # fmt: skip
def test_title_of_other_sizes_follows_the_numbers(receiver, speed, said):
    assert resize_title(resized(receiver, speed), units="SI") == said


def test_an_end_is_only_one_in_nearly_all_chances():
    for bigger in (point(0.2, 1.0, spread=0.05), point(0.2, 1.0, longest=60.0)):
        curve = (point(0.1, 0.9, own=True), bigger)
        assert "does not end" in resize_title(Resized(curve, (), 1.0, 8), units="SI")


def test_other_sizes_drawn_are_those_run():
    spec = resize_charts(EITHER, units="US")
    shortage, longest, starts = (row["hconcat"][0] for row in spec["vconcat"][:3])
    values = shortage["data"]["values"]
    assert [v["x"] for v in values] == pytest.approx([26.417, 52.834, 79.252, 105.669], abs=1e-3)
    assert [v["likely"] for v in values] == pytest.approx([50.0, 10.0, 0.0, 0.0])
    assert [v["likely"] for v in longest["data"]["values"]] == [10.0, 10.0, 0.0, 0.0]
    assert [v["likely"] for v in starts["data"]["values"]] == pytest.approx([5.0] * 4)
    assert "as it is, 52.8 gal" in words(spec)
    assert "as it is, 40 Hz" in words(spec)
    assert "as it is, 200 L" in words(resize_charts(EITHER, units="SI"))


def test_points_that_are_no_numbers_are_left_out_and_told():
    broken = replace(EITHER, receiver=(point(0.05, float("nan")), *EITHER.receiver))
    spec = resize_charts(broken, units="SI")
    json.dumps(spec, allow_nan=False)
    assert "Left out: 1 point without" in words(spec)
    assert "Left out" not in words(resize_charts(EITHER, units="SI"))


def test_phone_stacks_what_the_desk_sets_side_by_side():
    assert "hconcat" in json.dumps(resize_charts(EITHER, width=DESK))
    assert "hconcat" not in json.dumps(resize_charts(EITHER, width=PHONE))


def test_thinned_keeps_ends_and_peaks():
    hours = np.linspace(0.0, 24.0, 20_001)
    values = np.sin(40.0 * hours)
    values[7_777], values[13_131] = 9.0, -9.0
    x, y = told.thinned(hours, values, most=800)
    assert len(x) <= 800
    assert (x[0], x[-1], y.max(), y.min()) == (0.0, 24.0, 9.0, -9.0)
    assert np.all(np.diff(x) > 0.0)
    same = told.thinned(hours[:100], values[:100], most=800)
    assert len(same[0]) == 100


def test_labels_kept_apart():
    moved = apart([50.0, 52.0, 51.0, 180.0], least=30.0, top=10.0, bottom=190.0)
    order = sorted(moved)
    assert min(b - a for a, b in pairwise(order)) >= 29.9
    assert moved[0] < moved[2] < moved[1] < moved[3]
    assert min(moved) >= 10.0
    assert max(moved) <= 190.0
    assert apart([20.0, 90.0], least=30.0, top=0.0, bottom=100.0) == [20.0, 90.0]


def test_text_that_fits():
    text = "a receiver of 120 gal ends the shortage; more speed alone only shortens it"
    for lines in (wrapped(text, 200, 12), balanced(text, 200, 12)):
        assert " ".join(lines) == text
        assert max(map(len, lines)) <= 200 / (12 * 0.55)
    assert len(balanced(text, 200, 12)) == len(wrapped(text, 200, 12))
    assert shortened("long-board sander", 60) == "long-boa…"
    assert shortened("sander", 60) == "sander"
    assert max(map(len, wrapped("x" * 90, 200, 12))) <= 30
