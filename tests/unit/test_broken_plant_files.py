"""Broken plant files: each gives one error that says the file, the line, the key, what was read and what to write."""

import pytest

from airfettle import errors
from airfettle.errors import (
    AirfettleError,
    AmbiguousUnit,
    BackwardRange,
    EntriesDisagree,
    FileTrouble,
    MissingEntry,
    MissingUnit,
    NotAPlantFile,
    OutOfBounds,
    UnknownChoice,
    UnknownKey,
    UnreadableHours,
    UnreadableQuantity,
    WrongShape,
    WrongUnit,
)
from airfettle.store.plant_file import read_plant

# text, error, place after the file's name, words in `read`, words in `wanted`, words in `instead`
KEYS = [
    ('[pmup]\nstages = 2\n', UnknownKey, "line 1, pmup", "pmup", "motor", "pump"),
    ('[pump]\nrated_sped = "850 rpm"\n',
     UnknownKey, "line 2, pump.rated_sped", "rated_sped", "rated_speed", "rated_speed"),
    ('[pump]\nRated_Speed = "850 rpm"\n',
     UnknownKey, "line 2, pump.Rated_Speed", "Rated_Speed", "leakage", "rated_speed"),
    ('[pump]\n\nfirst_stage = { bor = "4 in" }\n', UnknownKey, "line 3, pump.first_stage.bor", "bor", "stroke", "bore"),
    ('[pump.first_stage]\nstrok = "3 in"\n', UnknownKey, "line 2, pump.first_stage.strok", "strok", "bore", "stroke"),
    ('[pump]\nbore = "4 in"\n', UnknownKey, "line 2, pump.bore", "bore", "first_stage", "[pump.first_stage]"),
    ('# top\ncut_in = "7 bar"\n', UnknownKey, "line 2, cut_in", "cut_in", "control", "[control]"),
    ('[site]\nx = 1\n', UnknownKey, "line 2, site.x", "x", "altitude", "airfettle new"),
    ('[[train]]\nname = "a"\n[train.pmup]\n', UnknownKey, "line 3, train.1.pmup", "pmup", "motor", "pump"),
    ('[[job]]\nname = "sanding"\n', UnknownKey, "line 1, job", "job", "receiver", ""),
    ('[receiver.main]\nvolume = "60 gal"\n', UnknownKey, "line 1, receiver.1.main", "main", "volume", ""),
    ('a.b.c.d = 1\n', UnknownKey, "line 1, a", "a", "pump", ""),
    ('"" = 5\n', UnknownKey, "line 1, ''", "''", "pump", ""),
    ('"a\\nb" = 5\n', UnknownKey, "line 1, 'a\\nb'", "'a\\nb'", "pump", ""),
    ('[pump]\nrated = [{ ar = "18 cfm", at = "100 psi" }]\n',
     UnknownKey, "line 2, pump.rated.1.ar", "ar", "speed", "air"),
]  # fmt: skip
HOURS = [
    ('[[use]]\nname = "sander"\nwhen = "sometimes"\n',
     UnreadableHours, "line 3, use.1.when", "'sometimes'", "days and hours", "'sometimes' is no day"),
    ('[control]\nhours = "Mon-Fri 25:00-26:00"\n',
     UnreadableHours, "line 2, control.hours", "25:00-26:00", "days and hours", "hours go from 00:00"),
    ('[control]\nquiet_hours = "Mon 12:00-12:00"\n',
     UnreadableHours, "line 2, control.quiet_hours", "12:00-12:00", "days and hours", ""),
]  # fmt: skip
SHAPES = [
    ('pump = "big"\n',
     WrongShape, "line 1, pump", "pump = 'big'", '[pump], with lines of key = "value", or pump = "none"', ""),
    ('pump = 5\n', WrongShape, "line 1, pump", "pump = 5", "a section, [pump]", ""),
    ('motor = true\n', WrongShape, "line 1, motor", "motor = true", "a section, [motor]", ""),
    ('[[pump]]\n', WrongShape, "line 1, pump", "pump = [{}]", "a section, [pump]", ""),
    ('site = "none"\n', WrongShape, "line 1, site", "site = 'none'", "a section, [site]", ""),
    ('cooler = "None"\n', WrongShape, "line 1, cooler", "cooler = 'None'", 'cooler = "none"', ""),
    ('receiver = 5\n', WrongShape, "line 1, receiver", "receiver = 5", "several, [[receiver]]", ""),
    ('filter = [1]\n', WrongShape, "line 1, filter.1", "filter = 1", "a section, [filter]", ""),
    ('[pump]\nfirst_stage = "4 in"\n', WrongShape, "line 2, pump.first_stage", "'4 in'", "[pump.first_stage]", ""),
    ('[pump]\nrated = "18 cfm at 100 psi"\n', WrongShape, "line 2, pump.rated", "18 cfm at", "[[pump.rated]]", ""),
    ('[pump]\nrated = { air = "18 cfm", at = "100 psi" }\n',
     WrongShape, "line 2, pump.rated", "'air'", "rated = [{ ... }]", ""),
    ('[pump]\nrated = ["18 cfm"]\n', WrongShape, "line 2, pump.rated.1", "18 cfm", "[[pump.rated]]", ""),
    ('[motor]\npower = true\n', WrongShape, "line 2, motor.power", "true", "a power as text, such as '7.5 hp'", ""),
    ('[motor]\npower = ["5 hp"]\n', WrongShape, "line 2, motor.power", "['5 hp']", "a power as text", ""),
    ('[motor]\npower = {}\n', WrongShape, "line 2, motor.power", "no is", "{ is = '...'", ""),
    ('[motor.power]\nvalue = "5 hp"\n', WrongShape, "line 1, motor.power", "'value'", "{ is = '...'", ""),
    ('[motor]\npower = { is = "5 hp", knwn = "measured" }\n',
     WrongShape, "line 2, motor.power", "'knwn'", "known = '...'", ""),
    ('[motor]\npower = { is = { is = "5 hp" } }\n', WrongShape, "line 2, motor.power", "{'is'", "a power as text", ""),
    ('[motor]\npower = { is = "5 hp", by = ["a"] }\n',
     WrongShape, "line 2, motor.power", "by = ['a']", "by as text", ""),
    ('[motor]\nframe = 184\n', WrongShape, "line 2, motor.frame", "frame = 184", "text in quotes", ""),
    ('[motor]\nname = true\n', WrongShape, "line 2, motor.name", "name = true", "not true or false", ""),
    ('[motor]\nphases = true\n', WrongShape, "line 2, motor.phases", "phases = true", "not true or false", ""),
    ('[motor]\nabsent = "maybe"\n', WrongShape, "line 2, motor.absent", "'maybe'", "true or false, without quotes", ""),
    ('[belt]\ncount = 2.5\n', WrongShape, "line 2, belt.count", "count = 2.5", "a whole number", ""),
    ('[belt]\ncount = "two"\n', WrongShape, "line 2, belt.count", "'two'", "a whole number, without quotes", ""),
    ('[plant]\ncertainty = "sure"\n', WrongShape, "line 2, plant.certainty", "'sure'", "a number, without quotes", ""),
    ('[plant]\nname = ["a"]\n', WrongShape, "line 2, plant.name", "['a']", "text in quotes", ""),
    ('[plant]\nair_path = "receiver"\n',
     WrongShape, "line 2, plant.air_path", "'receiver'", 'air_path = ["...", "..."]', ""),
    ('[plant]\nair_path = [1]\n', WrongShape, "line 2, plant.air_path.1", "air_path = 1", "text in quotes", ""),
]  # fmt: skip
QUANTITIES = [
    ('[motor]\npower = 5\n', MissingUnit, "line 2, motor.power", "5", "with its unit, in quotes", "'5 kW'"),
    ('[belt]\nmotor_sheave = 4.5\n',
     MissingUnit, "line 2, belt.motor_sheave", "4.5", "in quotes", "'4.5 in' or '4.5 mm'"),
    ('[motor]\npower = "5"\n', MissingUnit, "line 2, motor.power", "'5'", "one of: W, kW, hp", ""),
    ('[motor]\npower = { is = 5 }\n', MissingUnit, "line 2, motor.power", "5", "in quotes", "'5 kW'"),
    ('[motor]\npower = "5 kg"\n', WrongUnit, "line 2, motor.power", "'5 kg'", "one of: W, kW, hp", "a unit of a mass"),
    ('[motor]\npower = "5 mhp"\n', WrongUnit, "line 2, motor.power", "'5 mhp'", "one of: W, kW, hp", "'hp'"),
    ('[drive]\nmaximum_frequency = "50 rpm"\n',
     WrongUnit, "line 2, drive.maximum_frequency", "50 rpm", "Hz", "speed of rotation"),
    ('[pump]\nprice = "12 EUR"\n', WrongUnit, "line 2, pump.price", "12 EUR", "without a unit", ""),
    ('[pump]\nrated = [\n  { air = "20 scfm", at = "4 bar" },\n]\n',
     AmbiguousUnit, "line 2, pump.rated.1.air", "20 scfm", "at the intake", ""),
    ('[separator]\nlowest_flow = "400 NL/min"\n',
     AmbiguousUnit, "line 2, separator.lowest_flow", "NL/min", "Nm3/h", ""),
    ('[motor]\npower = "1,5 kW"\n',
     UnreadableQuantity, "line 2, motor.power", "1,5 kW", "a point for decimals", "'1.5 kW' or '15 kW'"),
    ('[motor]\npower = 2026-03-02\n', UnreadableQuantity, "line 2, motor.power", "2026-03-02", "such as '12 kW'", ""),
    ('[motor]\npower = ""\n', UnreadableQuantity, "line 2, motor.power", "''", "such as '12 kW'", ""),
    ('[motor]\npower = "5 hp by hearsay"\n', UnreadableQuantity, "line 2, motor.power", "by hearsay", "plate", ""),
    ('[motor]\npower = "6..5 hp"\n', BackwardRange, "line 2, motor.power", "6..5 hp", "lower number first", ""),
    ('[motor]\npower = "-5 hp"\n', OutOfBounds, "line 2, motor.power", "-5 hp", "at least 0 hp", ""),
    ('[motor]\npower = "1 W"\n', OutOfBounds, "line 2, motor.power", "1 W", "between 50 W and 200000 W", ""),
    ('[motor]\npower = inf\n', OutOfBounds, "line 2, motor.power", "inf", "such as '7.5 hp'", ""),
    ('[belt]\nratio = nan\n', OutOfBounds, "line 2, belt.ratio", "nan", "such as '3.4'", ""),
    ('[belt]\nratio = 1e40\n', OutOfBounds, "line 2, belt.ratio", "1e+40", "such as '3.4'", ""),
    ('[belt]\nratio = 0x' + "f" * 5000 + "\n",
     OutOfBounds, "line 2, belt.ratio", "thousands of digits", "such as '3.4'", ""),
    ('[pump.first_stage]\nbore = "0.1 in"\n',
     OutOfBounds, "line 2, pump.first_stage.bore", "0.1 in", "0.393701 in and 23.622 in", ""),
    ('[motor]\nefficiency = 89.5\n',
     OutOfBounds, "line 2, motor.efficiency", "89.5", "between 0.4 and 0.99", "'89.5 %'"),
    ('[site]\nhumidity = "50..150 %"\n',
     OutOfBounds, "line 2, site.humidity", "50..150 %", "between 0 % and 100 %", ""),
    ('[pump.first_stage]\nclearance = "6..40 % likely 8"\n',
     OutOfBounds, "line 2, pump.first_stage.clearance", "6..40", "30 %", ""),
    ('[pump]\nprice = -5\n', OutOfBounds, "line 2, pump.price", "-5", "at least 0", ""),
]  # fmt: skip
CHOICES = [
    ('[motor]\nphases = 2\n', UnknownChoice, "line 2, motor.phases", "phases = 2", "1 or 3", ""),
    ('[motor]\nphases = "3"\n', UnknownChoice, "line 2, motor.phases", "'3'", "1 or 3", "3"),
    ('[motor]\npoles = 5\n', UnknownChoice, "line 2, motor.poles", "5", "2, 4, 6 or 8", ""),
    ('[motor]\nenclosure = "Open"\n', UnknownChoice, "line 2, motor.enclosure", "'Open'", "'enclosed'", "open"),
    ('[motor]\nenclosure = ["open"]\n', UnknownChoice, "line 2, motor.enclosure", "['open']", "'open'", ""),
    ('[pump]\nlubrication = "spalsh"\n', UnknownChoice, "line 2, pump.lubrication", "spalsh", "'pressure'", "splash"),
    ('[supply]\nkind = "three-phase"\n',
     UnknownChoice, "line 2, supply.kind", "three-phase", "'208 wye'", "three-phase"),
    ('[plant]\nunits = "metric"\n', UnknownChoice, "line 2, plant.units", "metric", "'US' or 'SI'", ""),
    ('[motor]\nknown = "heard"\n', UnknownChoice, "line 2, motor.known", "heard", "'told'", ""),
    ('[motor]\npower = { is = "5 hp", known = "sure" }\n',
     UnknownChoice, "line 2, motor.power", "'sure'", "nameplate", ""),
    ('[plant]\nair_path = ["reciever"]\n[receiver]\n',
     UnknownChoice, "line 2, plant.air_path", "'reciever'", "receiver", "receiver"),
    ('[plant]\nair_path = ["dryer"]\n', UnknownChoice, "line 2, plant.air_path", "'dryer'", "none yet", ""),
    ('dryer = "none"\n[plant]\nair_path = ["dryer"]\n[receiver]\n',
     UnknownChoice, "line 3, plant.air_path", "dryer", "receiver", ""),
    ('[belt]\ncount = 0\n', OutOfBounds, "line 2, belt.count", "count = 0", "greater than or equal to 1", ""),
    ('[belt]\ncount = ' + "9" * 4000 + "\n", OutOfBounds, "line 2, belt.count", "count = 9999", "equal to 20", ""),
    ('[plant]\ncertainty = 95\n', OutOfBounds, "line 2, plant.certainty", "95", "equal to 0.999", ""),
    ('[plant]\ncertainty = 0.4\n', OutOfBounds, "line 2, plant.certainty", "0.4", "equal to 0.5", ""),
    ('[plant]\ncertainty = nan\n', OutOfBounds, "line 2, plant.certainty", "nan", "a number", ""),
]  # fmt: skip
TOGETHER = [
    ('[site]\n[pump]\n[[train]]\nname = "a"\n',
     EntriesDisagree, "line 2, pump", "[[train]] and also [pump]", "under [[train]]", ""),
    ('[[train]]\n[[train]]\nname = "b"\n',
     EntriesDisagree, "line 1, train.1.name", "without a name", "name of its own", "name ="),
    ('[[filter]]\nname = "a"\n[[filter]]\nname = "a"\n',
     EntriesDisagree, "line 4, filter.2.name", "'a'", "name of its own", ""),
    ('[[receiver]]\nname = "a"\n\n[[receiver]]\n',
     EntriesDisagree, "line 4, receiver.2.name", "without a name", "of its own", ""),
    ('[control]\ncut_out = "8 bar"\ncut_in = "10 bar"\n',
     EntriesDisagree, "line 3, control.cut_in", "'10 bar'", "below cut_out", ""),
    ('[[train]]\nname = "a"\n[train.drive]\nminimum_frequency = "60 Hz"\nmaximum_frequency = "30 Hz"\n',
     EntriesDisagree, "line 4, train.1.drive.minimum_frequency", "'60 Hz'", "below maximum_frequency", ""),
    ('[plant]\nair_path = ["receiver", "receiver"]\n[receiver]\n',
     EntriesDisagree, "line 2, plant.air_path", "twice", "once", ""),
    ('[pump]\nrated = [{ air = "18 cfm" }]\n',
     MissingEntry, "line 2, pump.rated.1.at", "without at", "at = '100 psi'", ""),
    ('[[pump.rated]]\nat = "100 psi"\n', MissingEntry, "line 1, pump.rated.1.air", "without air", "air = '18 cfm'", ""),
    ('[pump]\nrated = [{ air = "unknown", at = "7 bar" }]\n',
     MissingEntry, "line 2, pump.rated.1.air", "without air", "air =", ""),
    ('[[reading]]\nvalue = "5 A"\n', MissingEntry, "line 1, reading.1.what", "without what", 'what = "..."', ""),
    ('[[reading]]\nwhat = "x"\n', MissingEntry, "line 1, reading.1.value", "without value", 'value = "..."', ""),
]  # fmt: skip
NOT_TOML = [
    ('[pump]\nrated_speed = "850 rpm"\n# twice\nrated_speed = "900 rpm"\n',
     "line 4", 'rated_speed = "900 rpm"', "each key once", ""),
    ('[pump]\n[site]\n[pump]\n', "line 3", "[pump]", "each [section] once", "[[section]]"),
    ('[pump]\nfirst_stage.bore = "4 in"\n[pump.first_stage]\n',
     "line 3", "[pump.first_stage]", "each [section] once", ""),
    ('pump = {}\npump.name = "x"\n', "line 2", 'pump.name = "x"', "in one way", ""),
    ('[motor]\npower = 5 hp\n', "line 2", "power = 5 hp", "one entry on each line", "in quotes"),
    ('[motor]\npower = five\n', "line 2", "power = five", "a value in quotes", "in quotes"),
    ('[motor]\npower =\n', "line 2", "power =", "a value in quotes", "in quotes"),
    ('[motor]\npower = "5 hp\nspeed = "1750 rpm"\n',
     "line 2", 'power = "5 hp', "between its quotes", "the quote it began with"),
    ('[motor]\npower "5 hp"\n', "line 2", 'power "5 hp"', 'key = "value"', "put = between"),
    ('The motor has 5 hp\n', "line 1", "The motor has 5 hp", 'key = "value"', "#"),
    ('[motor\npower = "5 hp"\n', "line 1", "[motor", "the closing ]", ""),
    ('[[filter]\n', "line 1", "[[filter]", "the closing ]", "[[section]]"),
    ('[pump]\nfirst_stage = { bore = "4 in"\n', "line 2", "first_stage = {", "the closing }", ""),
    ('[pump]\nnote = "C:\\pumps"\n', "line 2", "pumps", "no \\ in quoted text", "single quotes"),
    ('[pump]\nnote = """abc\n', "line 2", "abc", "closing quote", ""),
    ('= 5\n', "line 1", "= 5", 'key = "value"', ""),
    ('[belt]\nratio = ' + "9" * 5000 + "\n", "line 2", "ratio = 999", "a number that can be", "in quotes"),
    ('[pump]\nnote = { a = 1, a = 2 }\n', "line 2", "a = 2", "each key once", ""),
]  # fmt: skip

PLACED = KEYS + HOURS + SHAPES + QUANTITIES + CHOICES + TOGETHER
PYTHON_WORDS = (
    "Input should",
    "NoneType",
    "dict",
    "tuple",
    "pydantic",
    "Traceback",
    "namespace",
    "validation",
    "invalid",
)
"""What a workshop owner should never have to read."""


@pytest.fixture
def file(tmp_path):
    return tmp_path / "plant.toml"


def broken(file, content):
    """Read a broken file, check that it keeps its bytes, and return what was said."""
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    before = file.read_bytes()
    with pytest.raises(AirfettleError) as caught:
        read_plant(file)
    assert file.read_bytes() == before
    said = str(caught.value)
    assert str(file) in said
    assert caught.value.read
    assert caught.value.wanted
    assert not any(word in said for word in PYTHON_WORDS), said
    return caught.value


def _id(case):
    return case[0][:40]


@pytest.mark.parametrize(("text", "error", "place", "read", "wanted", "instead"), PLACED, ids=map(_id, PLACED))
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_a_broken_entry(file, text, error, place, read, wanted, instead, ends):
    said = broken(file, text.replace("\n", ends))
    assert type(said) is error
    assert said.where == f"{file}, {place}"
    assert read in said.read
    assert wanted in said.wanted
    assert instead in said.instead


@pytest.mark.parametrize(("text", "place", "read", "wanted", "instead"), NOT_TOML, ids=map(_id, NOT_TOML))
def test_not_a_plant_file(file, text, place, read, wanted, instead):
    said = broken(file, text)
    assert type(said) is NotAPlantFile
    assert said.where == f"{file}, {place}"
    assert read.replace("\\", "\\\\") in said.read
    assert wanted in said.wanted
    assert instead in said.instead


BEFORE = """[{section}]
note = '''
[pump]
rated_speed = 5
'''
# [[train]]
price = 3 # [pump]
source = "[motor] \\" # no remark"
"""
"""What looks like sections and entries, and is texts and remarks."""


@pytest.mark.parametrize("case", [case for case in PLACED if case[0].startswith("[")], ids=_id)
def test_lines_are_counted_through_all_that_may_stand_before(file, case):
    text, _, place, *_ = case
    before = BEFORE.format(section="check_valve" if "train" in text else "intake")
    number, _, key = place.removeprefix("line ").partition(", ")
    said = broken(file, before + text)
    assert said.where == f"{file}, line {int(number) + before.count(chr(10))}, {key}"


def test_the_first_thing_wrong_is_told_and_the_rest_counted(file):
    said = broken(file, "[site]\naltitude = 5\n[pump]\nstages = 3\n[motor]\npower = 7\npoles = 5\n[belt]\ncount = 0\n")
    assert said.where == f"{file}, line 2, site.altitude"
    assert "; then 3 more to put right further on" in said.instead


def test_the_first_in_the_order_of_the_section_not_of_the_program(file):
    said = broken(file, '[motor]\npower_factor = "0.8 V"\npower = "5 bananas"\n')
    assert said.where == f"{file}, line 2, motor.power_factor"


def test_line_ends_of_other_sorts_do_not_count(file):
    said = broken(file, "# a\u2028b\u0085c" + '\n[motor]\npower = "5"\n')
    assert said.where == f"{file}, line 3, motor.power"


# the file itself


def test_a_missing_file(file):
    with pytest.raises(FileTrouble, match="No such file") as caught:
        read_plant(file)
    assert str(file) in caught.value.read
    assert "airfettle new" in caught.value.instead


def test_a_folder(tmp_path):
    with pytest.raises(FileTrouble, match="is a folder") as caught:
        read_plant(tmp_path)
    assert str(tmp_path) in caught.value.read


@pytest.mark.parametrize("name", ["", ".", "a\0b", "x" * 5000, "/dev/null", "/dev/zero", "nowhere/at/all.toml"])
def test_names_of_no_file(name):
    with pytest.raises(FileTrouble) as caught:
        read_plant(name)
    assert caught.value.wanted.startswith("a plant file")


def test_a_link_to_nowhere_and_to_itself(tmp_path):
    for name, target in (("lost", "nowhere"), ("round", "round")):
        (tmp_path / name).symlink_to(tmp_path / target)
        with pytest.raises(FileTrouble):
            read_plant(tmp_path / name)


@pytest.mark.parametrize(
    "content",
    [
        'name = "Café"'.encode("latin-1"), "[pump]\n".encode("utf-16"), b"\xff\xfe[\x00", b"\x89PNG\r\n\x1a\n\x00\x00",
        b"[pump]\n\xc3\x28", bytes(range(256)),
    ],
)  # fmt: skip
def test_not_text(file, content):
    said = broken(file, content)
    assert type(said) is NotAPlantFile
    assert "UTF-8" in said.wanted


@pytest.mark.parametrize(
    "content", [b"\x00", b"[pump]\n\x00", b"\x1b[0m", b"[pump]\rstages = 1", b"PK\x03\x04", b"<x/>"]
)
def test_text_that_is_no_toml(file, content):
    assert type(broken(file, content)) is NotAPlantFile


@pytest.mark.parametrize(
    "text",
    ["[a]\nx = " + "[" * 600 + "]" * 600 + "\n", ".".join("a" * 3000) + " = 1\n",
     "x = " + "{a=" * 300 + "1" + "}" * 300,
     "[" * 5000, "[" + ".".join("a" * 300) + "]\n"],
)  # fmt: skip
def test_endless_nesting(file, text):
    assert isinstance(broken(file, text), NotAPlantFile)


def test_a_file_of_a_million_and_one_bytes(file):
    said = broken(file, b"#" * 1_000_001)
    assert type(said) is FileTrouble
    assert "1000000 bytes" in said.wanted


@pytest.mark.parametrize("size", [10_000, 100_000])
def test_endless_values_are_not_repeated_in_the_message(file, size):
    for text in (f'[pump]\nrated_speed = "{"9" * size}"\n', f'[pump]\nlubrication = "{"x" * size}"\n',
                 f'{"k" * size} = 1\n',
                 f"[pump]\nrated_speed = [{'1,' * size}]\n", f'[motor]\npower = {{ {"k" * size} = 1 }}\n'):  # fmt: skip
        assert len(str(broken(file, text))) < 1_000


def test_there_are_enough_kinds_of_broken_files_here():
    """Most sorts of error that a plant file can give are in the tables above."""
    seen = {case[1] for case in PLACED} | {NotAPlantFile, FileTrouble}
    every = {e for e in vars(errors).values() if isinstance(e, type) and issubclass(e, AirfettleError)}
    assert every - seen == {AirfettleError, errors.BadRequest, errors.UnknownTableEntry, errors.UnsuitableNumbers}
    assert len(PLACED) + len(NOT_TOML) >= 100
