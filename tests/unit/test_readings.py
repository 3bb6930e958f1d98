"""Readings in the plant file are checked against the answers they claim to read."""

import pytest

from airfettle.app.rate import rate_file
from airfettle.errors import AirfettleError, AmbiguousUnit, EntriesDisagree, UnknownChoice, WrongUnit
from airfettle.report.rating_table import headline

READING = '[[reading]]\nwhat = "{what}"\nvalue = "{value}"\nby = "tachometer"\non = 2026-03-02\n'


def rated(tmp_path, text):
    file = tmp_path / "plant.toml"
    file.write_text(text, encoding="utf-8")
    return rate_file(file, rows=8)


def test_a_good_reading_is_kept(tmp_path):
    rating = rated(tmp_path, READING.format(what="pump_speed", value="812 rpm"))
    assert rating.draw.plant.reading[0].what == "pump_speed"
    assert rating.draw.plant.reading[0].on == "2026-03-02"


def test_a_reading_of_nothing_known_names_the_nearest_answer(tmp_path):
    with pytest.raises(UnknownChoice, match="pump_speed") as caught:
        rated(tmp_path, READING.format(what="pump_sped", value="812 rpm"))
    assert caught.value.instead == "pump_speed"
    assert "reading 1" in caught.value.where


def test_a_reading_in_another_kinds_unit_is_refused(tmp_path):
    with pytest.raises(WrongUnit, match="rotation"):
        rated(tmp_path, READING.format(what="pump_speed", value="12 A"))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[control]\ncut_in = "150 psi"\ncut_out = "120 psi"', "cut_in"),
        ('[drive]\nminimum_frequency = "60 Hz"\nmaximum_frequency = "30 Hz"', "minimum_frequency"),
        ('[pump]\nminimum_speed = "900..950 rpm"\nmaximum_speed = "700..800 rpm"', "minimum_speed"),
    ],
)
def test_entries_the_wrong_way_round(tmp_path, text, words):
    with pytest.raises(EntriesDisagree, match=words):
        rated(tmp_path, text)


def test_entries_that_overlap_are_left_to_the_owner(tmp_path):
    assert rated(tmp_path, '[pump]\nminimum_speed = "600..800 rpm"\nmaximum_speed = "700..900 rpm"').points


def test_every_error_is_one_kind(tmp_path):
    with pytest.raises(AirfettleError):
        rated(tmp_path, '[control]\ncut_in = "150 psi"\ncut_out = "120 psi"')


def test_a_point_above_the_plate_says_danger_first(tmp_path):
    rating = rated(
        tmp_path, '[receiver]\nplate_pressure = "8 bar by plate"\n[control]\ncut_in = "7 bar"\ncut_out = "9 bar"'
    )
    below, above = rating.points[0], rating.points[-1]
    assert not any(n.startswith("DANGER") for n in below.notices.get("delivered_air", ()))
    assert above.notices["delivered_air"][0].startswith("DANGER")
    assert str(headline(rating)).startswith("DANGER")


@pytest.mark.parametrize(
    ("entry", "both"),
    [('voltage = "230/400 V"', "'230 V' or '400 V'"), ('current = "14/8 A"', "'14 A' or '8 A'"),
     ('power = "4/5 kW"', "'4 kW' or '5 kW'"), ('speed = "1430/1715 rpm"', "'1430 rpm' or '1715 rpm'")],
)  # fmt: skip
def test_two_values_of_a_plate_are_not_a_fraction(tmp_path, entry, both):
    with pytest.raises(AmbiguousUnit) as caught:
        rated(tmp_path, f"[motor]\n{entry}")
    assert caught.value.instead == both


def test_a_motor_of_half_a_horsepower_is_one(tmp_path):
    assert rated(tmp_path, '[motor]\npower = "1-1/2 hp by plate"').points


def test_a_plate_speed_that_fits_no_poles_is_placed(tmp_path):
    with pytest.raises(EntriesDisagree) as caught:
        rated(tmp_path, '[motor]\nspeed = "143 rpm"')
    assert "line 2" in caught.value.where
