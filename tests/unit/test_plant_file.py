"""A plant file is read whole, and changed so that all the owner wrote beside the change stays as it was."""

import os
import tomllib
from pathlib import Path

import pytest

from airfettle.errors import (
    AirfettleError,
    BackwardRange,
    BadRequest,
    EntriesDisagree,
    FileTrouble,
    NotAPlantFile,
    UnknownKey,
)
from airfettle.plant.whole import walk
from airfettle.quantity import in_unit
from airfettle.store import plant_file
from airfettle.store.plant_file import change_plant, read_plant, write_whole

PLANTS = Path(__file__).parents[1] / "plants"
INCH = 0.0254


@pytest.fixture
def written(tmp_path):
    """Write a plant file and return its path."""

    def write(text, name="plant.toml"):
        file = tmp_path / name
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
        return file

    return write


@pytest.fixture
def puppets(written):
    return written((PLANTS / "puppet_workshop.toml").read_bytes())


def told(plant):
    return {path: value for path, _, _, _, value in walk(plant) if value is not None}


# reading


def test_a_long_file_reads_whole():
    file = PLANTS / "puppet_workshop.toml"
    assert len(file.read_text(encoding="utf-8").splitlines()) > 60
    plant = read_plant(file)
    spans = told(plant)
    assert len(spans) > 40
    assert (plant.about.name, plant.about.units, plant.about.certainty) == ("Puppet workshop", "US", 0.9)
    assert plant.pump.first_stage.cylinders == 2
    assert plant.pump.first_stage.stroke.likely == pytest.approx(2.75 * INCH)
    assert plant.pump.rated[0].air.known == "maker"
    assert plant.pump.rated[1].air.known == "told"
    assert [r.name for r in plant.receiver] == ["shed", "bench"]
    assert plant.air_path()[2] == "receiver.shed"
    assert plant.station("receiver.bench").volume.unit == "gal"
    assert plant.reading[0].on == "2026-02-03"
    assert spans["control.cut_out"].kind == "pressure"
    assert spans["site.barometer"].kind == "absolute_pressure"
    assert all(span.text for span in spans.values())


@pytest.mark.parametrize("file", sorted(PLANTS.glob("*.toml")), ids=lambda file: file.stem)
def test_every_example_reads(file):
    assert told(read_plant(file)) or file.stem == "kite_shed"


def test_an_empty_file_is_a_plant_of_which_nothing_is_told(written):
    plant = read_plant(written(""))
    assert told(plant) == {}
    assert plant.about.name == "Unnamed plant"
    assert plant.stations() == ()
    assert plant.trains[0].pump is None


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n", "[pump]\n", "# no end of line"])
def test_nearly_empty_files_are_fine(written, text):
    assert told(read_plant(written(text))) == {}


def test_absent_is_not_left_out_and_not_unknown(written):
    absent = read_plant(written('cooler = "none"\ndrive = "none"\nreceiver = "none"\n'))
    left_out = read_plant(written("[pump]\n"))
    unknown = read_plant(written('[cooler]\nconductance = "unknown"\nfan = "none"\n'))
    assert absent.cooler.absent
    assert absent.drive.absent
    assert absent.receiver[0].absent
    assert absent.stations() == ()
    assert left_out.cooler is None
    assert not unknown.cooler.absent
    assert unknown.cooler.conductance is None
    assert unknown.cooler.fan == "none"
    assert unknown.cooler.assumed_text("conductance") == "10..60 W/K"


def test_absent_may_be_written_in_the_section(written):
    assert read_plant(written('[cooler]\nabsent = true\nnote = "sold it"\n')).cooler.absent


def test_one_or_several_sections(written):
    one = read_plant(written('[receiver]\nvolume = "60 gal"\n'))
    several = read_plant(written('[[receiver]]\nvolume = "60 gal"\n'))
    assert told(one) == told(several)
    assert list(told(one)) == ["receiver.volume"]
    two = read_plant(written('[[receiver]]\nname="a"\nvolume = "60 gal"\n[[receiver]]\nname="b"\nvolume = "20 gal"\n'))
    assert list(told(two)) == ["receiver.a.volume", "receiver.b.volume"]


def test_trains_have_paths_by_name_and_share_the_supply():
    plant = read_plant(PLANTS / "sail_loft.toml")
    assert [t.name for t in plant.trains] == ["winter", "old one"]
    assert all(t.supply.kind == "400/230 wye" for t in plant.trains)
    assert "train.old one.pump.displacement" in told(plant)
    assert plant.trains[1].drive.absent


def test_long_form(written):
    text = """[pump]
first_stage = { bore = { is = "4.6 in", known = "measured", by = "tape", on = 2026-03-02, note = "head off" } }
rated_speed = { is = "850 rpm", by = "plate" }
flywheel_inertia = { is = "12 lb ft2" }
displacement = { is = "unknown", note = "worn off" }
maximum_speed = { is = "850..900 rpm", known = "guess" }
"""
    pump = read_plant(written(text)).pump
    bore = pump.first_stage.bore
    assert (bore.known, bore.by, bore.on, bore.note) == ("measured", "tape", "2026-03-02", "head off")
    assert bore.high - bore.likely == pytest.approx(1e-3)  # a tape's own tolerance
    assert (pump.rated_speed.known, pump.rated_speed.by) == ("nameplate", "plate")
    assert pump.flywheel_inertia.known == "told"
    assert pump.displacement is None
    assert (pump.maximum_speed.known, pump.maximum_speed.form) == ("guess", "flat")


def test_a_section_says_how_its_entries_are_known_unless_they_say(written):
    text = """[motor]
known = "nameplate"
power = "5 hp"
efficiency = "0.85 by guess"
current = { is = "14 A", known = "measured" }
"""
    motor = read_plant(written(text)).motor
    assert (motor.power.known, motor.efficiency.known, motor.current.known) == ("nameplate", "guess", "measured")
    assert motor.power.form == "exact"


def test_bare_numbers_stand_for_quantities_that_have_no_unit(written):
    plant = read_plant(written("[belt]\nratio = 3.2\n[pump]\nprice = 350\ncompression_exponent = 1.3\n"))
    assert plant.belt.ratio.likely == 3.2
    assert plant.pump.price.likely == 350.0
    assert plant.pump.compression_exponent.likely == 1.3


def test_tails_keep_inside_what_the_entry_can_be(written):
    motor = read_plant(written('[motor]\nefficiency = "0.95"\n')).motor
    assert (motor.efficiency.floor, motor.efficiency.ceiling) == (0.4, 0.99)


@pytest.mark.parametrize("name", [".toml", "näme mit ümlaut.toml", "with space.toml", "no_ending"])
def test_any_file_name_will_do(written, name):
    assert read_plant(written('[plant]\nname = "x"\n', name)).about.name == "x"


def test_windows_line_ends_and_a_byte_order_mark_read_the_same(written):
    text = (PLANTS / "puppet_workshop.toml").read_bytes()
    plain = told(read_plant(PLANTS / "puppet_workshop.toml"))
    assert told(read_plant(written(text.replace(b"\n", b"\r\n")))) == plain
    assert told(read_plant(written(b"\xef\xbb\xbf" + text))) == plain


# changing


def changed_lines(before, after):
    old, new = before.split(b"\n"), after.split(b"\n")
    return [line for line in new if line not in old], [line for line in old if line not in new]


def test_a_change_touches_its_own_line_only(puppets):
    before = puppets.read_bytes()
    change_plant(puppets, {"motor.current": "12.9 A by clamp meter"})
    new, gone = changed_lines(before, puppets.read_bytes())
    assert new == [b'current = "12.9 A by clamp meter"']
    assert gone == [b'current = "13.4 A by plate"']
    assert puppets.read_bytes() == before.replace(gone[0], new[0])


def test_a_remark_behind_the_value_stays(puppets):
    before = puppets.read_bytes()
    change_plant(puppets, {"pump.maximum_speed": "900 rpm", "drive.single_phase_output_current": "14 A"})
    after = puppets.read_bytes().decode()
    assert 'maximum_speed = "900 rpm"     # seller\'s memory' in after
    assert 'single_phase_output_current = "14 A"   # the manual is lost' in after
    assert len(after.splitlines()) == len(before.splitlines())


CHANGES = [
    ("pump.first_stage.bore", "3.6 in by caliper"), ("pump.rated.1.air", "14.5 cfm"), ("pump.rated.2.speed", "400 rpm"),
    ("filter.water.drop", "3 psi"), ("filter.2.drop", "1 psi"), ("receiver.bench.plate_pressure", "150 psi by plate"),
    ("reading.value", "660 rpm"), ("relief_valve.capacity", "70 scfm"), ("plant.certainty", 0.95),
    ("plant.name", 'A "B" \\ C'),
    ("belt.count", 3), ("site.energy_price", "0.15 /kWh"), ("intake.drop", "0.2 psi"), ("motor_lead.wire", "10 AWG"),
    ("pump.second_stage.bore", "2 in"), ("separator.lowest_flow", "5 scfm"), ("check_valve.drop", "2 psi"),
    ("site.barometer", "28.5 inHg by barometer"), ("control.quiet", "45 Hz"), ("cooler.name", "the old one"),
    ("plant.air_path", ["receiver.shed", "receiver.bench"]), ("motor.power", {"is": "5 hp", "known": "nameplate"}),
    ("control.note", "two\nlines"),
]  # fmt: skip


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize(("entry", "value"), CHANGES, ids=[entry for entry, _ in CHANGES])
def test_any_entry_may_be_changed_or_added(puppets, entry, value, ends):
    puppets.write_bytes(puppets.read_bytes().replace(b"\n", ends.encode()))
    before = puppets.read_bytes().decode()
    change_plant(puppets, {entry: value})
    after = puppets.read_bytes().decode()
    comments = [line.partition("#")[2].strip() for line in before.splitlines() if "#" in line]
    assert [line.partition("#")[2].strip() for line in after.splitlines() if "#" in line] == comments
    assert after.count("\n") == after.count(ends)
    _, gone = changed_lines(before.encode(), after.encode())
    assert len(gone) <= 1
    kept = [line for line in before.splitlines() if line.encode() not in {g.rstrip(b"\r") for g in gone}]
    position = iter(after.splitlines())
    assert all(line in position for line in kept), "the order changed"
    assert _differences(tomllib.loads(before), tomllib.loads(after)) == 1


def _differences(old, new):
    """How many values differ between two files' contents."""
    if isinstance(old, dict) and isinstance(new, dict):
        return sum(_differences(old.get(k), new.get(k)) for k in old | new)
    if old is None and isinstance(new, dict) and "is" not in new:
        return sum(_differences(None, value) for value in new.values())
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        return sum(_differences(a, b) for a, b in zip(old, new, strict=True))
    return int(old != new)


def test_a_new_entry_stands_in_its_section_and_not_behind_the_next_ones_remark(puppets):
    change_plant(puppets, {"control.quiet": "45 Hz"})
    lines = puppets.read_text(encoding="utf-8").splitlines()
    place = lines.index('quiet = "45 Hz"')
    assert lines[place - 1] == 'full = "60 Hz"'
    assert lines[place + 1 : place + 4] == ["", "# the panel is in the next room", "[supply]"]


def test_what_is_taken_out_is_not_told(puppets):
    change_plant(puppets, {"motor.efficiency": None, "belt.guard": None, "motor.poles": None})
    text = puppets.read_text(encoding="utf-8")
    assert "guard" not in text
    assert read_plant(puppets).motor.efficiency is None


def test_a_part_may_be_made_absent_and_come_back(puppets):
    change_plant(puppets, {"cooler": "none"})
    assert read_plant(puppets).cooler.absent
    change_plant(puppets, {"cooler": {"kind": "finned pipe"}})
    plant = read_plant(puppets)
    assert (plant.cooler.absent, plant.cooler.kind) == (False, "finned pipe")
    change_plant(puppets, {"cooler": None})
    assert read_plant(puppets).cooler is None


def test_one_of_several_may_be_taken_out(puppets):
    change_plant(puppets, {"filter.water": None, "plant.air_path": None})
    assert [f.name for f in read_plant(puppets).filter] == ["fine"]


def test_single_named_sections_go_by_their_name_too(written):
    file = written('[receiver]\nname = "main"\nvolume = "60 gal"\n')
    paths = list(told(read_plant(file)))
    assert paths == ["receiver.main.volume"]
    change_plant(file, {paths[0]: "80 gal"})
    assert file.read_text() == '[receiver]\nname = "main"\nvolume = "80 gal"\n'


@pytest.mark.parametrize("name", ["0.01 micron", "a.b", "drop"])
def test_names_with_points_in_them(written, name):
    file = written(f'[[filter]]\nname = "x"\n[[filter]]\nname = "{name}"\ndrop = "1 psi"\n')
    change_plant(file, {f"filter.{name}.drop": "2 psi"})
    assert read_plant(file).filter[1].drop.text == "2 psi"


def test_every_path_of_a_plant_can_be_written_to(puppets):
    """The ids under which a plant's entries are known elsewhere all lead to their place in the file."""
    for path, span in told(read_plant(puppets)).items():
        change_plant(puppets, {path: {"is": span.text, "note": "seen"}})
    assert all(span.note == "seen" for span in told(read_plant(puppets)).values())


def test_trains_of_a_file_can_be_changed(written):
    file = written((PLANTS / "sail_loft.toml").read_bytes())
    before = file.read_bytes()
    change_plant(file, {"train.old one.pump.rated_speed": "1400 rpm", "train.winter.belt.section": "A",
                        "train.winter.cooler.drop": "0.1 bar"})  # fmt: skip
    plant = read_plant(file)
    assert plant.train[1].pump.rated_speed.text == "1400 rpm"
    assert plant.train[0].belt.section == "A"
    assert plant.train[1].belt.absent
    assert changed_lines(before, file.read_bytes())[1] == []


@pytest.mark.parametrize(
    ("text", "entry", "value"),
    [
        ('pump.rated_speed = "850 rpm"\n', "pump.maximum_speed", "900 rpm"),
        ('pump = { rated_speed = "850 rpm" }\n', "pump.maximum_speed", "900 rpm"),
        ('[pump]\nrated_speed = "850 rpm"\n[site]\n[pump.first_stage]\nbore = "4 in"\n', "pump.leakage", "5 %"),
        ('[pump.first_stage]\ncylinders = 1\n', "pump.maximum_speed", "900 rpm"),
        ('[pump.first_stage]\ncylinders = 1\n', "pump.first_stage.bore", "4 in"),
        ('[pump]\nfirst_stage.cylinders = 1\n', "pump.first_stage.bore", "4 in"),
        ("", "pump.first_stage.bore", "4 in"),
        ('motor.power = "2 kW"  # plate\n', "motor.power", {"is": "2.2 kW", "by": "plate"}),
        ("# shed\n[site]\n", "pump.first_stage", {"bore": {"is": "4 in", "by": "tape"}, "cylinders": 2}),
        ("# only a remark", "pump.first_stage.bore", "4 in"),
        ('[pump]\nnote = """\n[site]\n# not a remark\n"""\n', "pump.maximum_speed", "900 rpm"),
        ("[pump]", "pump.maximum_speed", "900 rpm"),
        ('[plant]\nname = "x"', "cooler", "none"),
        ('# title\n\n[plant]\nname = "x"', "cooler", "none"),
    ],
)  # fmt: skip
def test_however_the_file_is_laid_out(written, text, entry, value):
    file = written(text)
    change_plant(file, {entry: value})
    wanted = tomllib.loads(text)
    here = wanted
    *sections, key = entry.split(".")
    for name in sections:
        here = here.setdefault(name, {})
    here[key] = value
    assert tomllib.loads(file.read_text()) == wanted
    for line in text.splitlines():
        if line.startswith("#"):
            assert line in file.read_text().splitlines()


def test_a_byte_order_mark_and_windows_line_ends_stay(written):
    file = written(b'\xef\xbb\xbf# caf\xc3\xa9\r\n[pump]\r\nrated_speed = "850 rpm"  # here\r\n')
    change_plant(file, {"pump.rated_speed": "860 rpm", "pump.maximum_speed": "900 rpm"})
    assert file.read_bytes() == (
        b'\xef\xbb\xbf# caf\xc3\xa9\r\n[pump]\r\nrated_speed = "860 rpm"  # here\r\nmaximum_speed = "900 rpm"\r\n'
    )


@pytest.mark.parametrize(
    ("changes", "error", "words"),
    [
        ({"pump.first_stage.bore": "4.6 psi"}, AirfettleError, "pump.first_stage.bore"),
        ({"pump.maximum_speed": "900..800 rpm"}, BackwardRange, "pump.maximum_speed"),
        ({"pump.bores": "4 in"}, UnknownKey, "bores"),
        ({"pmup.bore": "4 in"}, UnknownKey, "pmup"),
        ({"filter.coarse.drop": "4 psi"}, UnknownKey, "water, fine"),
        ({"filter.7.drop": "4 psi"}, UnknownKey, "water, fine"),
        ({"pump.maximum_speed.x": "4 psi"}, UnknownKey, "pump.maximum_speed"),
        ({"": "4 psi"}, UnknownKey, "path of an entry"),
        ({"pump.": "4 psi"}, AirfettleError, "pump"),
        ({".": "4 psi"}, UnknownKey, "path of an entry"),
        ({"pump.rated_speed": object()}, BadRequest, "pump.rated_speed"),
        ({"pump.rated_speed": float("nan")}, AirfettleError, "pump.rated_speed"),
        ({"pump.rated_speed": 850}, AirfettleError, "850 rpm"),
        ({"motor.current": "12 A", "motor.power": "5 bananas"}, AirfettleError, "motor.power"),
        ({"plant.based_on": "nowhere.toml"}, FileTrouble, "nowhere.toml"),
        ({"plant.based_on": "plant.toml"}, EntriesDisagree, "based on this one"),
    ],
)
def test_a_bad_change_is_refused_and_leaves_every_byte(puppets, changes, error, words):
    before, beside = puppets.read_bytes(), sorted(puppets.parent.iterdir())
    with pytest.raises(error) as caught:
        change_plant(puppets, changes)
    assert words in str(caught.value)
    assert str(puppets) in str(caught.value)
    assert puppets.read_bytes() == before
    assert sorted(puppets.parent.iterdir()) == beside


def test_a_bad_change_names_its_line(puppets):
    with pytest.raises(AirfettleError) as caught:
        change_plant(puppets, {"motor.current": "12 V"})
    line = next(n for n, text in enumerate(puppets.read_text().splitlines(), 1) if text.startswith("current"))
    assert caught.value.where == f"{puppets}, line {line}, motor.current"


@pytest.mark.parametrize("name", ["replace", "fsync"])
def test_a_failing_disk_leaves_the_old_file(puppets, monkeypatch, name):
    before, beside = puppets.read_bytes(), sorted(puppets.parent.iterdir())

    def fails(*_, **__):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, name, fails)
    with pytest.raises(FileTrouble, match="No space left"):
        change_plant(puppets, {"motor.current": "12 A"})
    assert puppets.read_bytes() == before
    assert sorted(puppets.parent.iterdir()) == beside


def test_an_interrupted_write_leaves_the_old_file(puppets, monkeypatch):
    before, beside = puppets.read_bytes(), sorted(puppets.parent.iterdir())

    def stops(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", stops)
    with pytest.raises(KeyboardInterrupt):
        change_plant(puppets, {"motor.current": "12 A"})
    assert puppets.read_bytes() == before
    assert sorted(puppets.parent.iterdir()) == beside


def test_the_file_is_never_half_written(puppets, monkeypatch):
    """At the moment of replacing, the old file is whole and the new one is whole beside it."""
    seen = []
    replace = os.replace

    def watched(source, target):
        seen.append((Path(source).read_bytes(), Path(target).read_bytes()))
        replace(source, target)

    monkeypatch.setattr(os, "replace", watched)
    before = puppets.read_bytes()
    change_plant(puppets, {"motor.current": "12 A"})
    assert seen == [(puppets.read_bytes(), before)]


def test_permissions_and_links_stay(puppets):
    puppets.chmod(0o640)
    link = puppets.with_name("link.toml")
    link.symlink_to(puppets.name)
    change_plant(link, {"motor.current": "12 A"})
    assert link.is_symlink()
    assert puppets.stat().st_mode & 0o777 == 0o640
    assert read_plant(puppets).motor.current.text == "12 A"


def test_no_change_at_all_keeps_the_bytes(puppets):
    before = puppets.read_bytes()
    change_plant(puppets, {})
    change_plant(puppets, {"motor.current": "13.4 A by plate", "motor.poles": None})
    assert puppets.read_bytes() == before


def test_a_file_that_is_no_plant_is_not_changed(written):
    file = written("[pump\n")
    with pytest.raises(NotAPlantFile):
        change_plant(file, {"motor.current": "12 A"})
    assert file.read_text() == "[pump\n"
    with pytest.raises(FileTrouble):
        change_plant(file.with_name("missing.toml"), {"motor.current": "12 A"})
    assert not file.with_name("missing.toml").exists()


def test_writing_where_nothing_can_be_written(tmp_path):
    for file in (tmp_path / "no folder" / "x.toml", tmp_path, Path("\0")):
        with pytest.raises(FileTrouble):
            write_whole(file, "text")
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(FileTrouble):
        write_whole(tmp_path / "x.toml", "\udcff")
    assert list(tmp_path.iterdir()) == []


def test_the_largest_file(written, monkeypatch):
    monkeypatch.setattr(plant_file, "LARGEST", 100)
    assert read_plant(written("#" * 100))
    with pytest.raises(FileTrouble, match="100 bytes"):
        read_plant(written("#" * 101))


def test_values_are_the_same_after_the_file_is_written_again(puppets):
    before = told(read_plant(puppets))
    change_plant(puppets, {"plant.certainty": 0.95})
    assert told(read_plant(puppets)) == before
    assert in_unit(before["receiver.shed.volume"].likely, kind="volume", unit="gal") == pytest.approx(60)
