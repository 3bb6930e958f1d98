"""The command line as an owner uses it, from the starter file to the rated plant."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from airfettle.cli import run
from airfettle.cli.judging import DANGER, OK

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
REQUIRED = {
    "pump_speed", "motor_speed", "delivered_air", "volumetric_efficiency", "shaft_power", "motor_torque_share",
    "motor_current", "drive_output_share", "supply_current", "electrical_power", "specific_power",
    "discharge_temperature", "cooler_outlet_temperature", "water_caught", "receiver_dew_point", "sound_level",
    "speed_fluctuation",
}  # fmt: skip


def rated(capsys, *arguments):
    """Run rate --json and return what it printed, parsed."""
    assert run(["rate", *map(str, arguments), "--json"]) in (OK, DANGER)
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda f: f.stem)
def test_examples_are_whole_plants(file, capsys):
    assert len(file.read_text(encoding="utf-8").splitlines()) >= 60
    data = rated(capsys, file)
    assert set(data) == {
        "schema", "program", "plant", "draw", "site", "editions", "points", "findings", "assumed", "taken",
    }  # fmt: skip
    for point in data["points"]:
        assert {"frequency_hz", "receiver_pressure_pa", "runs_share", "answers"} <= set(point)
        for answer in point["answers"]:
            assert set(answer) == {
                "id", "label", "kind", "unit", "low", "likely", "high", "at_likely", "shown", "notices",
            }  # fmt: skip
            assert answer["low"] <= answer["likely"] <= answer["high"]
    ids = {answer["id"] for answer in data["points"][-1]["answers"]}
    direct = file.stem == "glass_studio"
    assert ids >= REQUIRED - ({"drive_output_share"} if direct else set())


def test_default_points_are_speeds_by_pressures_with_full_at_cut_out_last(capsys):
    points = rated(capsys, ROOT / "examples/canoe_works.toml")["points"]
    assert [p["frequency_hz"] for p in points] == [30, 30, 40, 40, 60, 60]
    gauges = [p["receiver_pressure_gauge_pa"] / 6894.757 for p in points]
    assert gauges == pytest.approx([125, 150] * 3, rel=1e-6)
    assert all(p["receiver_pressure_pa"] > p["receiver_pressure_gauge_pa"] + 90_000 for p in points)


def test_hertz_and_pressures_can_be_chosen(capsys):
    data = rated(capsys, ROOT / "examples/canoe_works.toml", "--hz", "45", "--hz", "50 Hz", "--pressure", "8 bar")
    assert [p["frequency_hz"] for p in data["points"]] == [45, 50]
    assert {round(p["receiver_pressure_gauge_pa"]) for p in data["points"]} == {800_000}


def test_a_plant_straight_on_the_line_has_one_speed(capsys):
    points = rated(capsys, ROOT / "examples/glass_studio.toml")["points"]
    assert {p["frequency_hz"] for p in points} == {50}
    assert len(points) == 2


def test_same_seed_same_numbers_other_seed_others(capsys):
    file = ROOT / "examples/canoe_works.toml"
    first, again, other = (rated(capsys, file, "--seed", seed) for seed in ("1", "1", "2"))
    assert first["points"] == again["points"]
    assert first["points"] != other["points"]


@pytest.mark.parametrize("units", ["US", "SI"])
def test_the_starter_rates_before_and_after_a_line_is_filled_in(tmp_path, capsys, units):
    file = tmp_path / "my_plant.toml"
    assert run(["new", str(file), "--units", units]) == 0
    assert str(file) in capsys.readouterr().out
    before = rated(capsys, file)
    text = file.read_text(encoding="utf-8")
    assert 'name = "My plant"' in text
    file.write_text(
        re.sub(r"\nmaximum_speed = \"unknown\"", '\nmaximum_speed = "900 rpm by plate"', text), encoding="utf-8"
    )
    after = rated(capsys, file)
    assert "pump.maximum_speed" in before["assumed"]
    assert "pump.maximum_speed" not in after["assumed"]


def test_new_never_touches_a_file_that_is_there(tmp_path, capsys):
    file = tmp_path / "mine.toml"
    file.write_text("# mine\n", encoding="utf-8")
    assert run(["new", str(file)]) == 2
    assert "there already" in capsys.readouterr().err
    assert file.read_text(encoding="utf-8") == "# mine\n"


def test_demo_shows_the_answer_first_and_the_caution(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "110")
    assert run(["demo"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Delivers ")
    assert "can kill" in out
    assert "air delivered" in out
    assert "Run it between" in out
    assert "Best next" in out
    assert "Do: " in out


def test_everything_assumed_can_be_listed(capsys):
    assert run(["rate", str(ROOT / "examples/cycle_frames.toml"), "--assumed"]) == DANGER
    assert "relative humidity of the room (40..75 %)" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["rate", "nowhere.toml"], "airfettle new"),
        (["rate"], "file"),
        (["rte"], "rate"),
        (["rate", "examples/canoe_works.toml", "--hz", "0"], "1 to 400 Hz"),
        (["rate", "examples/canoe_works.toml", "--hz", "-5"], "frequency"),
        (["rate", "examples/canoe_works.toml", "--hz", "fast"], "frequency"),
        (["rate", "examples/canoe_works.toml", "--pressure", "8"], "unit"),
        (["rate", "examples/canoe_works.toml", "--pressure", "100 psia"], "gauge"),
        (["rate", "examples/canoe_works.toml", "--pressure", "unknown"], "gauge"),
        (["rate", "examples/canoe_works.toml", "--rows", "1000"], "power of two"),
        (["rate", "examples/canoe_works.toml", "--rows", "many"], "rows"),
        (["rate", "examples/canoe_works.toml", "--chart", "x.gif"], ".svg"),
        (["rate", "examples/glass_studio.toml", "--chart", "x.svg"], "more than one frequency"),
        (["new", "no/such/folder/plant.toml"], "written"),
        (["new", "x.toml", "--units", "imperial"], "units"),
    ],
    ids=" ".join,
)
def test_bad_input_leaves_with_2_and_one_message(arguments, words, capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    assert run(arguments) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert words.lower() in captured.err.lower()
    assert "Traceback" not in captured.err
    assert len(captured.err.splitlines()) <= 6


def test_chart_is_svg_that_fetches_nothing(tmp_path, capsys):
    file = tmp_path / "speed.svg"
    assert run(["rate", str(ROOT / "examples/canoe_works.toml"), "--chart", str(file)]) == 0
    text = file.read_text(encoding="utf-8")
    assert text.startswith("<svg")
    assert not re.findall(r"(?:href|src)=\"https?:|url\(https?:", text)
    assert "air delivered, cfm" in text


def test_the_module_runs_as_a_process():
    done = subprocess.run(
        [sys.executable, "-m", "airfettle", "rate", "examples/canoe_works.toml", "--json"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert json.loads(done.stdout)["schema"] == "airfettle.rating.1"
    assert done.stderr == ""
    bad = subprocess.run([sys.executable, "-m", "airfettle", "rate", "x"], cwd=ROOT, capture_output=True, check=False)
    assert bad.returncode == 2
