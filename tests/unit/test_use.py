"""Uses in the plant file: what is read, what is assumed, and what becomes of it in the draw."""

from typing import get_args

import numpy as np
import pytest

from airfettle.errors import EntriesDisagree, MissingEntry, OutOfBounds, UnknownChoice, UnreadableHours, WrongShape
from airfettle.parts import air_quality, tool
from airfettle.plant.use import AirQuality, Use
from airfettle.plant.whole import OwnersPlant, walk
from airfettle.store.plant_file import read_plant
from airfettle.store.starter import starter
from airfettle.studies.day.demand import use_numbers
from airfettle.studies.draw import draw

PSI = 6894.757293168361


def drawn(*uses, site=None, rows=8):
    return draw(
        OwnersPlant.model_validate({"use": list(uses), "site": site or {"barometer": "95..95 kPaa"}}), rows=rows
    )


def numbers(**told):
    (found,) = use_numbers(drawn(told))
    return found


def error_of(tmp_path, text):
    file = tmp_path / "shop.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(Exception) as caught:
        read_plant(file)
    return caught.value


def test_words_are_those_of_the_tables():
    assert get_args(AirQuality) == (*air_quality.uses(), "unknown")
    for kind in tool.kinds():
        assert Use(tool=kind).air_quality == tool.tool_of(kind).air_quality
    assert Use(tool="sander", needs="spray finishing").air_quality == "spray finishing"


def test_air_with_its_pressure_behind_it():
    use = OwnersPlant.model_validate({"use": {"air": "9..13 cfm at 80..90 psi by maker"}}).use[0]
    assert (use.air.text, use.at.text) == ("9..13 cfm by maker", "80..90 psi by maker")
    assert (use.air.known, use.at.known) == ("maker", "maker")
    long = OwnersPlant.model_validate({"use": {"air": {"is": "300 L/min ANR at 6 bar", "known": "measured"}}}).use[0]
    assert (long.air.known, long.at.known) == ("measured", "measured")
    assert long.at.likely == pytest.approx(6e5)
    apart = OwnersPlant.model_validate({"use": {"air": "9..13 cfm", "at": "90 psi"}}).use[0]
    assert apart.air == OwnersPlant.model_validate({"use": {"air": "9..13 cfm at 90 psi", "at": "?"}}).use[0].air


@pytest.mark.parametrize(
    ("lines", "error", "where", "said"),
    [
        ('air = "9 cfm at 90 psi"\nat = "80 psi"', EntriesDisagree, "use.1.at", "once"),
        ('air = "9 cfm at 90 cfm"', None, "use.1.at", "cfm"),
        ('air = "9 cfm"\nnozzle = "3 mm"', EntriesDisagree, "use.1.nozzle", "one of them"),
        ('on = "30 s"', MissingEntry, "use.1.on", "both on and off"),
        ('off = "30 s"', MissingEntry, "use.1.off", "both on and off"),
        ('when = "Mon-Fri 8 to 5"', UnreadableHours, "use.1.when", "24-hour clock"),
        ("when = 8", WrongShape, "use.1.when", "text in quotes"),
        ('tool = "sandr"', UnknownChoice, "use.1.tool", "sander"),
        ("attended = true", WrongShape, "use.1.attended", "not true or false"),
        ("count = 0", OutOfBounds, "use.1.count", "count"),
        ('people = "Ann"', WrongShape, "use.1.people", 'people = ["...", "..."]'),
        ('needs = "breathing"', UnknownChoice, "use.1.needs", "general tools"),
        ('nozzle = "2 ft"', OutOfBounds, "use.1.nozzle", "bore"),
        ('at = "80 psi"\npressure = "95..100 psi"', EntriesDisagree, "use.1.pressure", "still works well"),
    ],
)
def test_what_is_wrong_is_said_where_it_stands(tmp_path, lines, error, where, said):
    found = error_of(tmp_path, f"[[use]]\n{lines}\n")
    assert error is None or type(found) is error
    assert where in found.where
    assert "line " in found.where
    assert said in str(found)


def test_several_need_names_of_their_own(tmp_path):
    assert isinstance(error_of(tmp_path, '[[use]]\ntool = "drill"\n[[use]]\nname = "a"\n'), EntriesDisagree)
    assert isinstance(error_of(tmp_path, '[[use]]\nname = "a"\n[[use]]\nname = "a"\n'), EntriesDisagree)


def test_paths_in_the_draw():
    spans = drawn({"name": "sander", "tool": "sander"}, {"name": "gun", "nozzle": "3 mm"}).spans
    assert spans["use.sander.air"].text == "8..16 cfm"
    assert spans["use.sander.at"].text == "90 psi"
    assert "use.sander.discharge_coefficient" not in spans
    assert "use.sander.variation" not in spans
    assert "use.gun.air" not in spans
    assert spans["use.gun.discharge_coefficient"].text == "0.61..0.97"
    assert "use.at" in drawn({}).spans
    known = {path for path, *_ in walk(OwnersPlant.model_validate({"use": {"name": "x"}}))}
    assert "use.air" not in known
    assert "use.x.air" in known


def test_another_use_leaves_the_rows_of_the_first_alone():
    one = use_numbers(drawn({"name": "a", "tool": "drill"}))[0]
    two = use_numbers(drawn({"name": "b", "tool": "sander"}, {"name": "a", "tool": "drill"}))[1]
    assert np.array_equal(one.flow, two.flow)
    assert np.array_equal(one.lost_on_the_way, two.lost_on_the_way)
    assert np.ptp(one.flow) > 0


def test_scatter_is_assumed_only_where_it_means_something():
    assert numbers(on="40 s", off="80 s").variation[0] == pytest.approx(0.55)
    assert np.all(numbers(on="40 s", off="80 s", spread="exponential").variation == 0)
    assert np.all(numbers().variation == 0)
    assert numbers().on is None


def test_a_regulated_tool_as_numbers():
    found = numbers(air="10..10 scfm at 6..6 bar", lost_on_the_way="0.4..0.4 bar", count=3, people=["Ann", "Bo", "Ann"])
    assert found.law == "regulated"
    assert found.flow == pytest.approx(np.full(8, 10 * tool.CFM_OF_TABLES))
    assert found.full_pressure == pytest.approx(np.full(8, 6e5 + 95e3))
    assert found.needed_pressure[0] == pytest.approx(0.945 * 6e5 + 95e3)
    assert np.all((found.needed_pressure >= 0.89 * 6e5 + 95e3) & (found.needed_pressure <= found.full_pressure))
    assert found.lost_on_the_way == pytest.approx(np.full(8, 4e4))
    assert (found.count, found.people, found.attended) == (3, ("Ann", "Bo"), True)
    told = numbers(air="10 scfm at 6 bar", pressure="5..5 bar", attended="no")
    assert told.needed_pressure == pytest.approx(np.full(8, 5e5 + 95e3))
    assert not told.attended


def test_an_open_nozzle_as_numbers():
    """Choked above 0.9 bar, so that its air is in proportion to absolute pressure, whatever it was stated at."""
    told = {"nozzle": "3..3 mm", "discharge_coefficient": "0.8..0.8", "regulated": "no"}
    six, three = numbers(at="6..6 bar", **told), numbers(at="3..3 bar", **told)
    assert six.law == three.law == "choked"
    assert six.flow == pytest.approx(
        np.full(8, tool.nozzle_air(3e-3, pressure=6.95e5, discharge_coefficient=0.8, atmosphere=95e3))
    )
    assert six.conductance == pytest.approx(three.conductance, rel=1e-12)
    assert six.flow / six.full_pressure == pytest.approx(six.conductance)
    assert numbers(nozzle="3 mm").law == "regulated"


def test_uses_that_are_not_there_are_left_out():
    assert use_numbers(drawn()) == ()
    plant = OwnersPlant.model_validate({"use": "none"})
    assert plant.use[0].absent
    assert use_numbers(draw(plant, rows=8)) == ()
    first, second = use_numbers(drawn({"name": "a"}, {"name": "b", "absent": True}, {"name": "c"}))
    assert (first.path, second.path) == ("use.a", "use.c")


@pytest.mark.parametrize("units", ["US", "SI"])
def test_the_starter_has_a_use_that_can_be_woken(units, tmp_path):
    text = starter(units, every_key=True)
    asleep = text[text.index("# [[use]]") :].splitlines()
    awake = [line.removeprefix("# ") for line in asleep if line.startswith("# ") and (" = " in line or "[[" in line)]
    assert len(awake) == 1 + len(set(Use.model_fields) - {"absent", "source", "condition", "price", "mass", "note",
                                                          "known", "hangs", "have"})  # fmt: skip
    file = tmp_path / "shop.toml"
    file.write_text("\n".join(awake), encoding="utf-8")
    assert read_plant(file).use[0].when == "Mon-Fri 08:00-16:30"
