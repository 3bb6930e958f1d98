"""The plot of a day in the terminal."""

import io
from dataclasses import replace

import pytest
from day_plants import SHOP
from rich.console import Console

from airfettle.app.day import day_file
from airfettle.drawings.charts import told
from airfettle.report.day_plot import GUTTER, ROWS, day_plot, day_plot_lines

TIGHT = SHOP.split("[shop_pipe]")[0]
"""Without a leak, so that it rests at night."""
HUNGRY = """
[control]
cut_in = "120 psi"
cut_out = "150 psi"
full = "60 Hz"
[[use]]
name = "blast cabinet"
air = "24 cfm at 90 psi"
pressure = "88 psi"
when = "daily 08:00-16:00"
on = "10 min"
off = "25 min"
"""


@pytest.fixture(scope="module")
def hungry(tmp_path_factory):
    file = tmp_path_factory.mktemp("hungry") / "shop.toml"
    file.write_text(TIGHT + HUNGRY, encoding="utf-8")
    return day_file(file, paths=2)


@pytest.fixture(scope="module")
def calm(tmp_path_factory):
    file = tmp_path_factory.mktemp("calm") / "shop.toml"
    file.write_text(TIGHT + HUNGRY.replace("24 cfm", "4 cfm"), encoding="utf-8")
    return day_file(file, paths=2)


def printed(run, *, width, encoding):
    out = io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="")
    Console(file=out, width=width).print(day_plot(run, width=width))
    out.flush()
    return out.buffer.getvalue().decode(encoding).split("\n")


def row(lines, name):
    return next(line for line in lines if line[:GUTTER].strip() == name)


@pytest.mark.parametrize("width", [60, 80, 100, 120])
@pytest.mark.parametrize("plain", [False, True])
def test_fits_its_width(hungry, width, plain):
    lines = day_plot_lines(hungry, width=width, plain=plain)
    assert max(map(len, lines)) <= width
    assert max(map(len, lines)) >= width - 1
    assert all(line.isascii() for line in lines) == plain
    assert sum(line[GUTTER : GUTTER + 1] in "│┤|+" for line in lines if len(line) > GUTTER) >= ROWS + 2


@pytest.mark.parametrize(("asked", "drawn"), [(20, 60), (75, 75), (500, 120)])
def test_width_is_brought_between_ends(hungry, asked, drawn):
    assert day_plot(hungry, width=asked).width == drawn


def test_console_without_utf_gets_ascii(hungry):
    plain, fine = (printed(hungry, width=80, encoding=e) for e in ("ascii", "utf-8"))
    assert all(line.isascii() for line in plain)
    assert any("⠀" < letter <= "⣿" for line in fine for letter in line)
    assert any("*" in line for line in plain)


def test_cut_in_and_cut_out_stand_at_the_axis_in_the_owners_unit(hungry):
    lines = day_plot_lines(hungry, width=80)
    cut_out, cut_in = row(lines, "cut-out 150"), row(lines, "cut-in 120")
    assert lines.index(cut_out) < lines.index(cut_in)
    assert "┤" in cut_out
    assert any(line[:GUTTER].strip().startswith("need ") for line in lines)
    assert lines[0].startswith("Receiver pressure, psi; Mon, seed 1")


def test_rules_are_drawn_where_the_pressure_is_not(calm):
    assert "╌" in row(day_plot_lines(calm, width=80), "cut-out 150")
    assert "-" in row(day_plot_lines(calm, width=80, plain=True), "cut-out 150")[GUTTER:]


def test_letter_stands_where_a_tool_is_short(hungry, calm):
    path = told.traced_of(hungry)
    lines = day_plot_lines(hungry, width=100)
    marks = row(lines, "short")[GUTTER + 1 :].ljust(87)
    begin, end = path.shown
    for column, letter in enumerate(marks):
        a, b = (begin + (end - begin) * (column + i) / 87 for i in (0, 1))
        assert (letter == "S") == any(s < b and e > a for s, e in path.shortages)
    assert "S" in marks
    assert " " in marks.strip()
    longest = max(path.shortages, key=lambda pair: pair[1] - pair[0])
    assert f"from {told.clock(longest[0])}" in " ".join(lines)
    quiet = day_plot_lines(calm, width=100)
    assert not any(line[:GUTTER].strip() == "short" for line in quiet)
    assert "nothing is short on this day" in " ".join(quiet)


def test_speed_is_the_mean_of_each_column(hungry):
    path = told.traced_of(hungry)
    strip = row(day_plot_lines(hungry, width=100), "speed")[GUTTER + 1 :].ljust(87)
    shades = " ▁▂▃▄▅▆▇█"
    share = sum(shades.index(letter) for letter in strip) / 8 / 87
    ran = sum(b.end - b.begin for b in path.pumps[0]) / (path.shown[1] - path.shown[0])
    assert share == pytest.approx(ran, abs=1 / 8)
    assert set(row(day_plot_lines(hungry, width=100, plain=True), "speed")[GUTTER + 1 :]) <= set(" .-=#")


def test_clock_along_the_bottom(hungry):
    lines = day_plot_lines(hungry, width=80)
    clock = next(line for line in lines if "08:00" in line and not line[: GUTTER + 1].strip())
    begin, end = told.traced_of(hungry).shown
    for hour in (10, 12, 14):
        place = clock.index(f"{hour}:00") - GUTTER - 1
        assert place == pytest.approx((hour - begin) / (end - begin) * 67, abs=1)


def test_nothing_traced_draws_nothing(hungry):
    assert day_plot_lines(replace(hungry, traced=None), width=80) == []
