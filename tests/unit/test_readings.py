"""Readings in the plant file are checked against the answers they claim to read."""

import pytest

from airfettle.app.rate import rate_file
from airfettle.errors import AirfettleError, EntriesDisagree, UnknownChoice, WrongUnit

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
