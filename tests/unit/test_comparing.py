"""What one change does: entries, answers row by row, limits, findings."""

import json

import pytest
from plant_cases import plant_of

from airfettle.cli import run
from airfettle.findings.differences import Side, compare
from airfettle.findings.judge import judge
from airfettle.report.differences_json import differences_json
from airfettle.report.differences_table import differences_headline
from airfettle.studies.draw import draw
from airfettle.studies.reach import reach

PLANT = """
plant = { name = "Kite shed", units = "SI" }
drive = { rated_output_current = "12 A by plate", maximum_frequency = "50 Hz", minimum_frequency = "30 Hz" }
belt = { motor_sheave = "125 mm by tape", pump_sheave = "350 mm by tape" }
receiver = { plate_pressure = "11 bar by plate", altered = "no" }
control = { cut_in = "7 bar by gauge", cut_out = "9 bar by gauge" }
[motor]
known = "nameplate"
power = "4 kW"
voltage = "400 V"
frequency = "50 Hz"
speed = "1440 rpm"
[pump]
displacement = "0.8 L by maker"
maximum_speed = "650 rpm by plate"
minimum_speed = "300 rpm by plate"
"""


def side(text, name="plant"):
    plant = plant_of(text)
    there = reach(draw(plant, rows=256))
    return Side(name, plant, there, judge(there))


@pytest.fixture(scope="module")
def larger_sheave():
    return compare(side(PLANT), side(PLANT.replace("125 mm", "170 mm")))


def test_the_same_plant_twice_is_no_change():
    found = compare(side(PLANT), side(PLANT))
    assert (found.entries, found.answers, found.limits, found.findings) == ((), (), (), ())
    assert "Nothing told otherwise" in differences_headline(found)


def test_entries_are_told_with_their_texts(larger_sheave):
    (change,) = larger_sheave.entries
    assert (change.path, change.before, change.after) == ("belt.motor_sheave", "125 mm by tape", "170 mm by tape")


def test_answers_move_by_the_change_alone(larger_sheave):
    moved = {(c.name, c.running): c for c in larger_sheave.answers}
    speed = moved["pump_speed", "full"]
    assert speed.beyond
    assert speed.after.likely / speed.before.likely == pytest.approx(170 / 125, rel=0.02)
    assert speed.shift.high - speed.shift.low < speed.before.high - speed.before.low + 0.5
    assert "water_caught" in {name for name, _ in moved} or "delivered_air" in {name for name, _ in moved}
    assert ("receiver_pressure", "full") not in moved


def test_a_limit_that_breaks_is_told_and_one_that_heals(larger_sheave):
    broke = {c.limit.name for c in larger_sheave.limits if c.broke}
    assert "pump_overspeed" in broke
    back = compare(larger_sheave.after, larger_sheave.before)
    assert {c.limit.name for c in back.limits if c.healed} == broke


def test_a_new_danger_comes_first(larger_sheave):
    first = larger_sheave.findings[0]
    assert first.worse
    assert first.after.rule == "pump_overspeed"
    assert first.after.signal == "danger"
    assert "pump_overspeed" in differences_headline(larger_sheave)


def test_answers_to_questions_and_parts_count_as_entries():
    found = compare(
        side(PLANT),
        side(PLANT.replace('altered = "no"', 'altered = "by someone else"') + '[cooler]\nfan = "own supply"\n'),
    )
    paths = {c.path: (c.before, c.after) for c in found.entries}
    assert paths["receiver.altered"] == ("no", "by someone else")
    assert paths["cooler.fan"] == ("not told", "own supply")
    assert found.findings[0].after.rule == "receiver_altered"


def test_json_is_plain(larger_sheave):
    data = differences_json(larger_sheave)
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    assert data["entries"][0]["path"] == "belt.motor_sheave"


def test_one_file_is_compared_with_what_it_is_based_on(tmp_path, capsys):
    (tmp_path / "a.toml").write_text(PLANT, encoding="utf-8")
    (tmp_path / "b.toml").write_text(
        '[plant]\nname = "B"\nbased_on = "a.toml"\n[belt]\nmotor_sheave = "110 mm"\n', encoding="utf-8"
    )
    code = run(["compare", str(tmp_path / "b.toml"), "--rows", "64", "--json"])
    data = json.loads(capsys.readouterr().out)
    assert code in (0, 1)
    assert [e["path"] for e in data["entries"]] == ["belt.motor_sheave"]
    assert run(["compare", str(tmp_path / "a.toml"), "--rows", "64"]) == 2
    assert "based_on" in capsys.readouterr().err
    assert run(["compare", str(tmp_path / "a.toml"), str(tmp_path / "b.toml"), "--rows", "64"]) == code
    assert capsys.readouterr().out.startswith("1 entry changed")
