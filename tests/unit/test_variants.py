"""A plant based on another: what it says is laid over the other's, and errors stand in the file that has them."""

import pytest

from airfettle.errors import (
    AirfettleError,
    EntriesDisagree,
    FileTrouble,
    MissingUnit,
    NotAPlantFile,
    UnknownKey,
    WrongShape,
    WrongUnit,
)
from airfettle.plant.whole import walk
from airfettle.store.plant_file import change_plant, read_plant

BASE = """# base
[plant]
name = "Loom shed"
units = "US"

[pump]
condition = "used"
rated_speed = "850 rpm"
first_stage = { cylinders = 2, bore = "3.5 in", stroke = "3 in" }

[cooler]
kind = "finned pipe"
conductance = "6 W/K"

[[filter]]
name = "water"
purpose = "coalescing"
drop = "2 psi"

[[filter]]
name = "fine"
purpose = "particles"
drop = "1 psi"
"""


@pytest.fixture
def plants(tmp_path):
    """Write a base and a variant of it; return the variant's path."""

    def write(variant, base=BASE):
        (tmp_path / "base.toml").write_text(base, encoding="utf-8")
        file = tmp_path / "variant.toml"
        file.write_text('[plant]\nbased_on = "base.toml"\n' + variant, encoding="utf-8")
        return file

    return write


def texts(plant):
    return {path: value.text for path, _, _, _, value in walk(plant) if value is not None}


def test_a_variant_that_says_nothing_is_its_base(plants):
    file = plants("")
    assert texts(read_plant(file)) == texts(read_plant(file.with_name("base.toml")))
    assert read_plant(file).about.name == "Loom shed"


def test_entries_are_laid_over_key_by_key(plants):
    file = plants('name = "Quiet"\n[pump]\nrated_speed = "700 rpm"\n[pump.first_stage]\nbore = "4 in"\n')
    plant = read_plant(file)
    assert (plant.about.name, plant.about.units, plant.pump.condition) == ("Quiet", "US", "used")
    base = texts(read_plant(file.with_name("base.toml")))
    assert texts(plant) == base | {"pump.rated_speed": "700 rpm", "pump.first_stage.bore": "4 in"}
    assert plant.pump.first_stage.cylinders == 2


def test_an_entry_can_be_made_unknown_and_a_part_absent(plants):
    plant = read_plant(plants('[pump]\nrated_speed = "unknown"\n').with_name("variant.toml"))
    assert plant.pump.rated_speed is None
    file = plants("")
    file.write_text('cooler = "none"\n' + file.read_text(), encoding="utf-8")
    assert read_plant(file).cooler.absent


def test_named_parts_are_laid_over_by_their_name_and_new_ones_follow(plants):
    plant = read_plant(plants('[[filter]]\nname = "fine"\ndrop = "3 psi"\n[[filter]]\nname = "carbon"\n'))
    assert [f.name for f in plant.filter] == ["water", "fine", "carbon"]
    assert [f.drop.text if f.drop else None for f in plant.filter] == ["2 psi", "3 psi", None]
    assert [f.purpose for f in plant.filter] == ["coalescing", "particles", "unknown"]


def test_a_single_section_lays_over_the_part_of_its_name(plants):
    plant = read_plant(plants('[filter]\nname = "fine"\ndrop = "3 psi"\n'))
    assert [(f.name, f.drop.text) for f in plant.filter] == [("water", "2 psi"), ("fine", "3 psi")]


@pytest.mark.parametrize("header", ["[receiver]", "[[receiver]]"])
@pytest.mark.parametrize("base_header", ["[receiver]", "[[receiver]]"])
def test_one_receiver_however_it_is_written(plants, header, base_header):
    base = f'{base_header}\nname = "main"\nvolume = "60 gal"\n'
    plant = read_plant(plants(f'{header}\nname = "main"\nplate_pressure = "150 psi"\n', base))
    assert [(r.volume.text, r.plate_pressure.text) for r in plant.receiver] == [("60 gal", "150 psi")]


def test_lists_without_names_are_replaced(plants):
    base = '[pump]\nrated = [{ air = "18 cfm", at = "100 psi" }, { air = "20 cfm", at = "40 psi" }]\n'
    plant = read_plant(plants('[pump]\nrated = [{ air = "16 cfm", at = "90 psi" }]\n', base))
    assert [r.air.text for r in plant.pump.rated] == ["16 cfm"]


def test_a_chain_of_variants(tmp_path):
    (tmp_path / "deep").mkdir()
    (tmp_path / "a.toml").write_text('[pump]\nrated_speed = "800 rpm"\nmaximum_speed = "900 rpm"\nleakage = "4 %"\n')
    (tmp_path / "deep/b.toml").write_text('[plant]\nbased_on = "../a.toml"\n[pump]\nmaximum_speed = "950 rpm"\n')
    (tmp_path / "c.toml").write_text('[plant]\nbased_on = "deep/b.toml"\n[pump]\nleakage = "6 %"\n')
    assert texts(read_plant(tmp_path / "c.toml")) == {
        "pump.rated_speed": "800 rpm", "pump.maximum_speed": "950 rpm", "pump.leakage": "6 %",
    }  # fmt: skip


def test_a_changed_base_changes_its_variant(plants):
    file = plants('[pump]\ncondition = "worn"\n')
    change_plant(file.with_name("base.toml"), {"pump.rated_speed": "870 rpm"})
    assert read_plant(file).pump.rated_speed.text == "870 rpm"


def test_changing_a_variant_leaves_its_base(plants):
    file = plants("")
    change_plant(file, {"pump.first_stage.bore": "3.6 in"})
    assert file.with_name("base.toml").read_text(encoding="utf-8") == BASE
    assert texts(read_plant(file))["pump.first_stage.bore"] == "3.6 in"
    assert texts(read_plant(file))["pump.first_stage.stroke"] == "3 in"


def test_a_part_that_only_the_base_has_gets_a_section_of_its_name(plants):
    file = plants('[[filter]]\nname = "fine"\n\n# the end\n[site]\n')
    change_plant(file, {"filter.water.drop": "3 psi"})
    assert [(f.name, f.drop.text) for f in read_plant(file).filter] == [("water", "3 psi"), ("fine", "1 psi")]
    assert file.read_text(encoding="utf-8") == (
        '[plant]\nbased_on = "base.toml"\n[[filter]]\nname = "fine"\n\n[[filter]]\nname = "water"\ndrop = "3 psi"\n'
        "\n# the end\n[site]\n"
    )


@pytest.mark.parametrize("variant", ["", '[[train]]\nname = "b"\n[train.pump]\n[site]\n', "[site]"])
def test_a_train_that_only_the_base_has(plants, variant):
    base = '[[train]]\nname = "a"\n[train.pump]\nleakage = "3 %"\n[[train]]\nname = "b"\n'
    file = plants(variant, base)
    change_plant(
        file, {"train.a.pump.rated_speed": "850 rpm", "train.a.motor.power": "5 hp", "train.b.pump.leakage": "4 %"}
    )
    assert texts(read_plant(file)) == {
        "train.a.pump.leakage": "3 %", "train.a.pump.rated_speed": "850 rpm", "train.a.motor.power": "5 hp",
        "train.b.pump.leakage": "4 %",
    }  # fmt: skip
    assert file.with_name("base.toml").read_text(encoding="utf-8") == base


# errors stand where they are


def line_in(file, start):
    lines = file.read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines, 1) if line.startswith(start))


def test_an_error_in_the_base_is_placed_in_the_base(plants):
    file = plants('[pump]\ncondition = "worn"\n', BASE.replace('"6 W/K"', '"6 bananas"'))
    with pytest.raises(WrongUnit) as caught:
        read_plant(file)
    base = file.with_name("base.toml")
    assert caught.value.where == f"{base}, line {line_in(base, 'conductance')}, cooler.conductance"


def test_an_error_in_the_variant_is_placed_in_the_variant(plants):
    file = plants('\n# quieter\n[cooler]\nconductance = "7"\n')
    with pytest.raises(MissingUnit) as caught:
        read_plant(file)
    assert caught.value.where == f"{file}, line 6, cooler.conductance"


def test_a_good_entry_over_a_bad_one_heals_it(plants):
    file = plants('[cooler]\nconductance = "7 W/K"\n', BASE.replace('"6 W/K"', '"6 bananas"'))
    assert read_plant(file).cooler.conductance.text == "7 W/K"


def test_an_error_in_a_named_part_is_found_by_its_name(plants):
    """The second filter of the plant is the first of the variant's file."""
    file = plants('[[filter]]\nname = "fine"\nnote = "new"\ndrop = "3 V"\n')
    with pytest.raises(WrongUnit) as caught:
        read_plant(file)
    assert caught.value.where == f"{file}, line 6, filter.2.drop"


def test_an_error_in_a_named_part_of_the_base_is_found_there(plants):
    file = plants('[[filter]]\nname = "fine"\nnote = "new"\n', BASE.replace('"1 psi"', '"1 V"'))
    with pytest.raises(WrongUnit) as caught:
        read_plant(file)
    base = file.with_name("base.toml")
    line = line_in(base, 'drop = "1 V"')
    assert caught.value.where == f"{base}, line {line}, filter.2.drop"


def test_an_unknown_key_of_the_base(plants):
    file = plants("", BASE + "[pmup]\n")
    with pytest.raises(UnknownKey) as caught:
        read_plant(file)
    assert caught.value.where.startswith(f"{file.with_name('base.toml')}, line {len(BASE.splitlines()) + 1}, ")


def test_a_base_that_is_not_toml(plants):
    file = plants("", "[plant]\nname = Loom shed\n")
    with pytest.raises(NotAPlantFile) as caught:
        read_plant(file)
    assert caught.value.where == f"{file.with_name('base.toml')}, line 2"


def test_a_missing_base_is_said_where_it_is_named(plants):
    file = plants("")
    file.with_name("base.toml").unlink()
    with pytest.raises(FileTrouble, match="No such file") as caught:
        read_plant(file)
    assert caught.value.where == f"{file}, line 2, plant.based_on"
    assert "base.toml" in caught.value.read


@pytest.mark.parametrize("name", [".", "..", "x" * 5000, "a\\u0000b", "/dev/zero", "/dev/null/x", "\\ud7ff"])
def test_a_base_that_is_no_file(tmp_path, name):
    file = tmp_path / "variant.toml"
    file.write_text(f'[plant]\nbased_on = "{name}"\n')
    with pytest.raises(FileTrouble) as caught:
        read_plant(file)
    assert caught.value.where == f"{file}, line 2, plant.based_on"


@pytest.mark.parametrize("value", ["5", "true", '["base.toml"]', "2026-01-01"])
def test_a_base_is_named_in_text(tmp_path, value):
    file = tmp_path / "variant.toml"
    file.write_text(f"[plant]\nbased_on = {value}\n")
    with pytest.raises((WrongShape, FileTrouble)) as caught:
        read_plant(file)
    assert caught.value.where == f"{file}, line 2, plant.based_on"


def test_a_file_based_on_itself(tmp_path):
    file = tmp_path / "a.toml"
    file.write_text('[plant]\nbased_on = "a.toml"\n')
    with pytest.raises(EntriesDisagree, match="not, in the end, based on this one") as caught:
        read_plant(file)
    assert caught.value.where == f"{file}, line 2, plant.based_on"


def test_a_circle_of_files(tmp_path):
    for name, other in (("a", "b"), ("b", "c"), ("c", "./a")):
        (tmp_path / f"{name}.toml").write_text(f'[plant]\nname = "{name}"\nbased_on = "{other}.toml"\n')
    with pytest.raises(EntriesDisagree) as caught:
        read_plant(tmp_path / "a.toml")
    assert caught.value.where == f"{tmp_path / 'c.toml'}, line 3, plant.based_on"


def test_a_chain_too_long(tmp_path):
    for number in range(30):
        (tmp_path / f"{number}.toml").write_text(f'[plant]\nbased_on = "{number + 1}.toml"\n')
    with pytest.raises(AirfettleError):
        read_plant(tmp_path / "0.toml")


def test_names_given_twice_are_still_refused(plants):
    file = plants('[[filter]]\nname = "fine"\n[[filter]]\nname = "fine"\n')
    with pytest.raises(EntriesDisagree, match="name of its own") as caught:
        read_plant(file)
    assert caught.value.where == f"{file}, line 6, filter.2.name"


@pytest.mark.parametrize("name", ["[]", "{}", "5", "[1, 2]", "true"])
def test_names_that_are_no_text(plants, name):
    with pytest.raises(AirfettleError) as caught:
        read_plant(plants(f'[[filter]]\nname = "fine"\n[[filter]]\nname = {name}\n'))
    assert "filter.2.name" in caught.value.where
