"""What one change does: entries, answers row by row, limits, findings."""

import io
import json

import pytest
from plant_cases import plant_of
from rich.console import Console

from airfettle.app.compare import compare_files
from airfettle.cli import run
from airfettle.findings.differences import LimitChange, Side, compare
from airfettle.findings.judge import judge
from airfettle.report.differences_json import differences_json
from airfettle.report.differences_table import differences_headline, differences_table
from airfettle.studies.draw import draw
from airfettle.studies.limits.declared import limit_named
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


def test_how_a_number_is_known_counts_as_told_otherwise():
    measured = 'displacement = { is = "0.8 L", known = "measured", by = "oil fill", on = "2026-03-02" }'
    (change,) = compare(side(PLANT.replace('"0.8 L by maker"', '"0.8 L"')),
                        side(PLANT.replace('displacement = "0.8 L by maker"', measured))).entries  # fmt: skip
    assert (change.path, change.before) == ("pump.displacement", "0.8 L (told)")
    assert change.after == "0.8 L (measured, oil fill, 2026-03-02)"


def test_a_part_taken_out_is_one_change():
    with_cooler = PLANT + '[cooler]\nkind = "vehicle condenser"\nfan = "own supply"\n'
    found = compare(side(with_cooler), side('cooler = "none"\n' + PLANT))
    assert [(c.path, c.before, c.after) for c in found.entries] == [("cooler", "there", "none")]
    back = compare(side('cooler = "none"\n' + PLANT), side(with_cooler))
    assert ("cooler", "none", "there") in [(c.path, c.before, c.after) for c in back.entries]


def test_what_is_assumed_in_place_of_an_entry_is_told():
    (change,) = compare(side(PLANT), side(PLANT + 'leakage = "4 %"\n')).entries
    assert (change.path, change.before, change.after) == ("pump.leakage", "not told (3..12 %)", "4 %")


def test_defaults_that_follow_a_choice_are_told():
    found = compare(side(PLANT), side(PLANT + 'condition = "worn"\n'))
    assert [(c.path, c.before, c.after) for c in found.assumed] == [("pump.leakage", "(3..12 %)", "(8..35 %)")]
    assert "therefore assumed otherwise" in printed(found)


def printed(found):
    console = Console(width=80, record=True, file=io.StringIO())
    console.print(differences_table(found))
    return console.export_text()


def test_the_headline_does_not_say_that_nothing_moves_where_something_does():
    found = compare(side(PLANT), side(PLANT + '[dryer]\nrated_flow = "1200 L/min ANR by plate"\n'))
    assert {c.name for c in found.answers if c.beyond} == {"line_dew_point"}
    words = differences_headline(found)
    assert "no answer moves" not in words.lower()
    assert "Beyond its spread moves: dew point of the air sent out" in words


def test_a_limit_still_broken_in_much_of_the_draw_is_not_healed():
    limit = limit_named("flywheel")
    assert not LimitChange(limit, "", 0.51, 0.39).healed
    assert LimitChange(limit, "", 0.51, 0.01).healed
    assert LimitChange(limit, "", 0.9, None).healed
    assert LimitChange(limit, "", 0.2, 0.6).broke


def test_trains_are_matched_by_name_and_a_dryer_is_told_once():
    train = '[[train]]\nname = "{}"\n[train.pump]\nmaximum_speed = "{} rpm by plate"\n[train.belt]\nratio = "2.0"\n'
    two = train.format("a", 600) + train.format("b", 2000)
    turned = train.format("b", 2000) + train.format("a", 600)
    assert compare(side(two), side(turned)).limits == ()
    gone = compare(side(two), side(train.format("b", 2000)))
    assert [(c.train, c.healed) for c in gone.limits if c.limit.name == "pump_overspeed"] == [("a", True)]
    dried = compare(side(two), side(two + '[dryer]\nrated_flow = "10 L/min ANR by plate"\n'))
    assert [(c.train, c.broke) for c in dried.limits if c.limit.name == "dryer_capacity"] == [("", True)]


READING = """
[[reading]]
what = "pump_speed"
value = "{} rpm"
by = "tachometer"
frequency = "50 Hz"
receiver_pressure = "8 bar"
"""


def test_readings_taken_before_a_change_do_not_contradict_it(tmp_path):
    """A tachometer read 520 rpm on the old sheave; the new one turns the pump as much slower as it is smaller."""
    (tmp_path / "a.toml").write_text(PLANT + READING.format(520), encoding="utf-8")
    (tmp_path / "b.toml").write_text('[plant]\nbased_on = "a.toml"\n[belt]\nmotor_sheave = "112 mm by tape"\n')
    found = compare_files(tmp_path / "b.toml", rows=256)
    assert not [c for c in found.findings if c.after is not None and c.after.rule == "statements_contradict"]
    moved = {c.name: c for c in found.answers if c.running == "full"}
    assert moved["pump_speed"].after.likely == pytest.approx(520 / 60 * 112 / 125, rel=0.01)
    assert moved["delivered_air"].shift.high < 0.0


def test_a_reading_taken_after_a_change_counts_for_the_plant_after_it(tmp_path):
    (tmp_path / "a.toml").write_text(PLANT + READING.format(520), encoding="utf-8")
    (tmp_path / "b.toml").write_text(
        '[plant]\nbased_on = "a.toml"\n[belt]\nmotor_sheave = "112 mm by tape"\n' + READING.format(470)
    )
    moved = {c.name: c for c in compare_files(tmp_path / "b.toml", rows=256).answers if c.running == "full"}
    assert moved["pump_speed"].after.likely == pytest.approx(470 / 60, rel=0.01)


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
