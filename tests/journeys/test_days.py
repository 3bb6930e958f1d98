"""Days, years and other sizes on the command line, end to end."""

import csv
import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import day_plants
import numpy as np
import pytest

from airfettle.app.day import day_file
from airfettle.cli import run
from airfettle.cli.days import INTERRUPTED
from airfettle.cli.judging import BAD_INPUT, OK
from airfettle.studies.day.machine import ENERGY

ROOT = Path(__file__).parents[2]
CANOE = str(ROOT / "examples/canoe_works.toml")
PAGE = (ROOT / "docs/reference/day_json.md").read_text(encoding="utf-8")
SAME_FORM = {
    "tools[].answers[]": "answers[]",
    "trains[].answers[]": "answers[]",
    "speed[].answers[]": "receiver[].answers[]",
}
HEAD = {"schema", "program", "plant", "draw"}


@pytest.fixture(scope="module")
def plant(tmp_path_factory):
    """Files of small plants, by name."""
    folder = tmp_path_factory.mktemp("plants")
    files = {
        "shop": day_plants.TEXTS["full speed"],
        "two": day_plants.TEXTS["lead and follow"],
        "no tools": day_plants.SHOP + day_plants.PRESET,
    }
    files["no receiver"] = 'receiver = "none"\n' + day_plants.TEXTS["full speed"].replace(
        '[receiver]\nvolume = "80 gal by plate"\n', ""
    )
    for name, text in files.items():
        (folder / f"{name.replace(' ', '_')}.toml").write_text(text, encoding="utf-8")
    return {name: str(folder / f"{name.replace(' ', '_')}.toml") for name in files}


def printed(capsys, *arguments):
    """What a command prints as JSON."""
    assert run([*map(str, arguments), "--json"]) == OK
    return json.loads(capsys.readouterr().out)


def said(capsys, *arguments):
    """What a command prints, on one line."""
    assert run([*map(str, arguments)]) == OK
    return " ".join(capsys.readouterr().out.split())


def refused(capsys, *arguments):
    """The one message of a command that cannot do it."""
    assert run([*map(str, arguments)]) == BAD_INPUT
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


# A day.


def test_a_day_says_the_answer_first(capsys):
    words = said(capsys, "day", CANOE, "--paths", 8)
    assert re.match(r"Enough pressure .* (of tool time|all the time)", words)
    for part in ("can kill", "electricity", "long-board sander", "Left out:", "Canoe works", "Friday"):
        assert part in words


def test_same_seed_same_day_other_seed_another(capsys, plant):
    first, again, other = (printed(capsys, "day", plant["shop"], "--paths", 2, "--seed", s) for s in (1, 1, 2))
    assert first == again
    assert first["answers"] != other["answers"]


def test_the_day_asked_for_is_run(capsys):
    monday, friday = (printed(capsys, "day", CANOE, "--on", day, "--paths", 4) for day in ("mon", "Friday"))
    assert (monday["day"], monday["start_s"]) == ("Mon", 0.0)
    assert (friday["day"], friday["start_s"]) == ("Fri", 4 * 86_400.0)
    ran = {t["name"]: t["answers"][0]["likely"] for t in monday["tools"]}
    assert ran["spray gun"] == 0.0  # Fridays only
    assert ran["long-board sander"] > 0.0
    assert {t["name"]: t["answers"][0]["likely"] for t in friday["tools"]}["spray gun"] > 0.0
    assert printed(capsys, "day", CANOE, "--paths", 4)["day"] == "Fri"  # most tool hours


def test_table_and_json_of_a_day_say_the_same(capsys, plant, monkeypatch):
    monkeypatch.setenv("COLUMNS", "120")
    words = said(capsys, "day", plant["two"], "--paths", 4)
    data = printed(capsys, "day", plant["two"], "--paths", 4)
    assert words.startswith(data["says"])
    for answer in data["answers"]:
        assert f"{answer['label']} {answer['shown']}" in words


def test_without_tools_it_still_runs_and_says_what_to_write(capsys, plant):
    words = said(capsys, "day", plant["no tools"], "--paths", 2)
    assert words.startswith("No tool is told")
    assert "[[use]]" in words


# The trace.


def test_a_trace_ends_with_the_day_and_sums_to_its_energy(capsys, plant, tmp_path):
    file = tmp_path / "trace.csv"
    assert run(["day", plant["shop"], "--paths", "2", "--trace", str(file)]) == OK
    assert str(file) in capsys.readouterr().err
    with file.open(encoding="utf-8", newline="") as told:
        rows = list(csv.DictReader(told))
    traced = day_file(plant["shop"], paths=2).traced
    seconds = np.array([float(row["time from 00:00 s"]) for row in rows])
    power = np.array([float(row["electricity of the pumps kW"]) for row in rows])
    assert seconds[-1] == pytest.approx(traced.length)
    assert rows[-1]["clock"].endswith("00:00:00")
    energy = np.sum(np.diff(np.concatenate([[0.0], seconds])) * power) * 1e3
    assert energy == pytest.approx(traced.books.totals[ENERGY], rel=0.02)
    assert {row["sander running"] for row in rows} == {"0", "1"}
    assert {row["pump"] for row in rows} <= {"off", "running", "filling its line"}
    assert all(40.0 < float(row["receiver pressure by gauge psi"]) < 131.0 for row in rows)


def test_a_trace_is_written_anew_and_nothing_else_is_touched(capsys, plant, tmp_path):
    file, other = tmp_path / "trace.csv", tmp_path / "notes.csv"
    other.write_text("date,hours\n", encoding="utf-8")
    for seed in ("1", "2"):
        assert run(["day", plant["shop"], "--paths", "1", "--seed", seed, "--trace", str(file)]) == OK
    capsys.readouterr()
    assert "no trace" in refused(capsys, "day", plant["shop"], "--paths", "1", "--trace", other)
    assert other.read_text(encoding="utf-8") == "date,hours\n"
    assert {each.name for each in tmp_path.iterdir()} == {"trace.csv", "notes.csv"}


# Years.


def test_a_year_tells_money_water_and_care(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "120")
    words = said(capsys, "year", CANOE, "--paths", 2)
    for part in ("electricity in a year", "USD", "condensate in a year", "oil, splash", "common practice, no source"):
        assert part.lower() in words.lower()
    data = printed(capsys, "year", CANOE, "--paths", 2)
    for answer in data["answers"]:
        assert answer["label"] in words
        if answer["kind"] != "money":
            assert f"{answer['label']} {answer['shown']}" in words


def test_kept_years_are_there_at_once_and_are_the_same(capsys, plant, tmp_path, monkeypatch):
    file = tmp_path / "years.npz"
    first = printed(capsys, "year", plant["shop"], "--paths", 2, "--keep", file)
    alone = printed(capsys, "year", plant["shop"], "--paths", 2)
    monkeypatch.setattr("airfettle.app.day.run_many", None)  # nothing is run again
    assert printed(capsys, "year", plant["shop"], "--paths", 2, "--keep", file) == first == alone


def test_years_kept_for_another_plant_are_refused(capsys, plant, tmp_path):
    file = tmp_path / "years.npz"
    assert run(["year", plant["shop"], "--paths", "1", "--keep", str(file)]) == OK
    before = file.read_bytes()
    capsys.readouterr()
    for arguments in ([plant["two"]], [plant["shop"], "--seed", "2"]):
        assert "kept for another plant, seed" in refused(capsys, "year", *arguments, "--paths", "1", "--keep", file)
    assert file.read_bytes() == before


@pytest.mark.parametrize("content", [b"", b"hello", b"PK\x03\x04 half an archive"])
def test_a_file_that_holds_no_years_is_refused_and_left_alone(content, capsys, plant, tmp_path):
    file = tmp_path / "years.npz"
    file.write_bytes(content)
    assert "holds no kept years" in refused(capsys, "year", plant["shop"], "--paths", "1", "--keep", file)
    assert file.read_bytes() == content


def started(*arguments, folder):
    """A command in a process of its own, which can be interrupted."""
    return subprocess.Popen(
        [sys.executable, "-m", "airfettle", *map(str, arguments)], cwd=folder, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, text=True, env={**os.environ, "COLUMNS": "100"},
    )  # fmt: skip


def interrupted(process, *, when):
    """Wait for something, press Ctrl-C once, and return what was printed."""
    until = time.monotonic() + 240.0
    while not when() and process.poll() is None and time.monotonic() < until:
        time.sleep(0.05)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=120.0)
    assert process.returncode == INTERRUPTED, err
    assert "Traceback" not in err
    return " ".join(out.split()), err


def test_ctrl_c_shows_what_is_finished_and_the_same_command_goes_on(tmp_path):
    file = tmp_path / "years.npz"
    command = ("year", CANOE, "--paths", 64, "--keep", file)
    out, _ = interrupted(started(*command, folder=tmp_path), when=file.exists)
    done = int(re.match(r"Stopped after (\d+) of 64 years; what follows is of these", out)[1])
    assert done >= 8
    assert "Run the same command again to go on." in out
    with np.load(file) as kept:
        assert kept["paths"].tolist() == list(range(done))
    assert {each.name for each in tmp_path.iterdir()} == {"years.npz"}
    size = file.stat().st_size
    again = started(*command, "--json", folder=tmp_path)
    out, err = interrupted(again, when=lambda: file.stat().st_size > size)
    paths = json.loads(out)["paths"]
    assert paths["asked"] == 64
    assert paths["done"] > done
    assert "Stopped after" in err


@pytest.fixture
def ctrl_c(monkeypatch):
    """Ctrl-C before the first year of this run is finished."""

    def pressed(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("airfettle.app.day.run_many", pressed)


def test_ctrl_c_before_the_first_year_says_so(capsys, plant, tmp_path, ctrl_c):
    assert run(["year", plant["shop"], "--paths", "4"]) == INTERRUPTED
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("Stopped before the first year was finished. With --keep years.npz")
    assert run(["year", plant["shop"], "--paths", "4", "--keep", str(tmp_path / "years.npz")]) == INTERRUPTED
    assert "Run the same command again to go on." in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_ctrl_c_again_shows_what_was_kept_before(capsys, plant, tmp_path, request):
    command = ["year", plant["shop"], "--keep", str(tmp_path / "years.npz")]
    assert run([*command, "--paths", "1"]) == OK
    capsys.readouterr()
    request.getfixturevalue("ctrl_c")
    assert run([*command, "--paths", "4"]) == INTERRUPTED
    assert capsys.readouterr().out.startswith("Stopped after 1 of 4 years; what follows is of this one.")


# Other sizes.


def test_other_sizes_answer_first_and_mark_the_own(capsys):
    words = said(capsys, "resize", CANOE, "--paths", 2, "--weeks", 1)
    assert re.match(r"(A bigger receiver|Neither a bigger receiver)", words)
    assert words.count("as it is") == 2
    data = printed(capsys, "resize", CANOE, "--paths", 2, "--weeks", 1)
    assert words.startswith(data["says"])
    assert [p["own"] for p in data["receiver"]].count(True) == 1
    assert [p["own"] for p in data["speed"]].count(True) == 1
    volumes = [p["volume_m3"] for p in data["receiver"]]
    assert volumes == sorted(volumes)


# JSON.


def documented(command):
    section = PAGE.partition(f"\n## {command}\n")[2].partition("\n## ")[0]
    return set(re.findall(r"^\| `([^`]+)` \|", section, re.MULTILINE)) | set(
        re.findall(r"^\| `([^`]+)` \|", PAGE.partition("\n## What both have\n")[2].partition("\n## ")[0], re.MULTILINE)
        if command != "resize"
        else ()
    )


def key_paths(value, path=""):
    if isinstance(value, list):
        for item in value:
            yield from key_paths(item, f"{path}[]")
    elif isinstance(value, dict):
        for key, inner in value.items():
            here = f"{path}.{key}" if path else key
            for one, other in SAME_FORM.items():
                here = here.replace(f"{one}.", f"{other}.") if here.startswith(f"{one}.") else here
            yield here
            yield from key_paths(inner, here)


@pytest.mark.parametrize("command", ["day", "year", "resize"])
def test_every_key_is_documented_and_every_documented_key_is_there(command, capsys, plant):
    data = printed(capsys, command, plant["two"], "--paths", 2)
    assert data["schema"] == f"airfettle.{command}.1"
    found = {path for path in key_paths(data) if path.partition(".")[0] not in HEAD}
    assert not sorted(found - documented(command))
    assert not sorted(documented(command) - found), "documented, but not in the JSON"


# What cannot be done.


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["day", "shop", "--on", "someday"], "a day of the week"), (["day", "shop", "--paths", "0"], "1 to 100000"),
        (["day", "no receiver"], "a plant without a receiver"), (["year", "shop", "--paths", "0"], "1 to 100000"),
        (["year", "no receiver"], "a plant without a receiver"),
        (["resize", "no receiver"], "a plant without a receiver"),
        (["resize", "no tools"], "[[use]]"), (["resize", "shop", "--weeks", "0"], "1 to 52"),
        (["day", "shop", "--trace", "no such folder/trace.csv"], "folder"),
        (["day", "shop", "--trace", "."], "--trace"),
        (["year", "shop", "--keep", "no such folder/years.npz"], "folder"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_one_message(arguments, words, capsys, plant):
    command, name, *rest = arguments
    assert words in refused(capsys, command, plant[name], *rest)


@pytest.mark.parametrize("command", ["day", "year", "resize"])
def test_a_danger_is_said_and_ends_with_1(command, capsys, tmp_path):
    file = tmp_path / "plant.toml"
    danger = day_plants.TEXTS["full speed"].replace(
        'volume = "80 gal by plate"', 'volume = "80 gal by plate"\nplate_pressure = "100 psi by plate"'
    )
    file.write_text(danger, encoding="utf-8")
    assert run([command, str(file), "--paths", "1"]) == 1
    assert "DANGER" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["day", "resize"])
def test_a_chart_is_written(command, tmp_path, capsys):
    file = tmp_path / f"{command}.svg"
    more = ["--paths", "2", "--weeks", "1"] if command == "resize" else ["--paths", "2"]
    assert run([command, str(CANOE), *more, "--chart", str(file)]) in (0, 1)
    assert file.read_text(encoding="utf-8").startswith("<svg")
    assert f"Wrote {file}" in capsys.readouterr().err
    assert run([command, str(CANOE), "--chart", str(tmp_path / "chart.pdf")]) == 2
    assert ".svg" in capsys.readouterr().err
