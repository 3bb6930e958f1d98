"""The card by the knob: its numbers are the plant's, its words stand apart and on the card, whatever the plant."""

import re
import xml.etree.ElementTree as ET
from functools import cache
from itertools import combinations

import pytest
from letters import text_room
from properties.plants_at_random import owners_plant, seeded
from sheet_plants import FILES, ODD, ROOT

from airfettle.app.load import believed
from airfettle.drawings.space import overlap
from airfettle.drawings.speed_card import FOOT_TOP, CardHead, answer, larger_side, limit_words, speed_card
from airfettle.quantity import in_unit
from airfettle.report.blocks import Picture, Table
from airfettle.report.card_leaf import card_leaf
from airfettle.studies.draw import draw
from airfettle.studies.rating import rate
from airfettle.studies.speed_card import MOST_MARKS, ends_inwards, speed_cards
from airfettle.studies.speed_window import speed_windows

SVG = "{http://www.w3.org/2000/svg}"
CANOE = ROOT / "examples/canoe_works.toml"
ROWS = 8
"""Enough to lay a card out; its numbers are tested on their own."""


@cache
def carded(path, rows=ROWS):
    """A plant from a file, its windows and its cards."""
    drawn = believed(path, rows=rows).draw
    windows = speed_windows(drawn)
    return drawn, windows, speed_cards(drawn, windows=windows)


@pytest.fixture
def plant(tmp_path):
    """Write a plant and return its file."""

    def written(text):
        file = tmp_path / "plant.toml"
        file.write_text(text, encoding="utf-8")
        return file

    return written


def drawings(drawn, cards):
    about = drawn.plant.about
    return [speed_card(card, CardHead(about.name, about.units, about.date, about.revision)) for card in cards]


def check_room(svg, width, height):
    """Words stand on the card and never on each other."""
    root = ET.fromstring(svg)
    marks = [(mark, text_room(mark)) for mark in root.iter(f"{SVG}text")]
    assert len(marks) > 10
    for mark, box in marks:
        assert box[0] >= 6.0, mark.text
        assert box[2] <= width - 6.0, mark.text
        assert box[1] >= 6.0, mark.text
        assert box[3] <= height - 4.0, mark.text
        assert not box[1] < FOOT_TOP < box[3], mark.text
    for (one, a), (other, b) in combinations(marks, 2):
        assert not overlap(a, b), f"{one.text!r} lies on {other.text!r}"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_words_apart_and_on_the_card(file):
    drawn, _, cards = carded(file)
    assert len(cards) == len(drawn.plant.trains)
    for svg, width, height in drawings(drawn, cards):
        check_room(svg, width, height)


@pytest.mark.parametrize("name", ODD)
def test_odd_plants(name, plant):
    drawn, _, cards = carded(plant(ODD[name]()))
    for svg, width, height in drawings(drawn, cards):
        check_room(svg, width, height)
        assert "<script" not in svg
        assert "‮" not in svg


@pytest.mark.parametrize("seed", [14, 97, 134, 185, *range(0, 200, 20)])
def test_random_plants(seed):
    """The first four have motors that stall or are too small; in the last of them rpm once lay on rpm."""
    drawn = draw(owners_plant(seeded(seed)), rows=ROWS)
    for svg, width, height in drawings(drawn, speed_cards(drawn, windows=speed_windows(drawn))):
        check_room(svg, width, height)


def test_numbers_are_the_ratings():
    drawn, _, (card,) = carded(CANOE, 256)
    alone = rate(drawn, frequencies=[60.0], gauge_pressures=[card.gauge]).points[0]
    full = next(point for point in card.points if point.names == ("full",))
    assert full.frequency == 60.0
    for name in ("pump_speed", "delivered_air", "motor_current", "supply_current", "sound_level"):
        mine, other = getattr(full, name), alone.answers[name]
        assert (mine.low, mine.likely, mine.high) == pytest.approx((other.low, other.likely, other.high), rel=1e-3)


def test_marks_from_the_lowest_to_the_highest_usable():
    _, (window,), (card,) = carded(CANOE, 256)
    hertz = [point.frequency for point in card.points]
    assert hertz == sorted(set(hertz))
    assert hertz[0] == card.lowest
    assert hertz[-1] == card.highest
    assert len(hertz) <= MOST_MARKS + 1
    low, high = ends_inwards(window)
    assert window.lowest.frequency <= low < window.lowest.frequency + 0.1 + 1e-6
    assert window.highest.frequency - 0.1 - 1e-6 < high <= window.highest.frequency
    air = [point.delivered_air.likely for point in card.points]
    assert air == sorted(air)


def test_speeds_are_moved_into_the_window():
    """The canoe works tells 30 Hz, which is under its pump's lowest speed."""
    _, _, (card,) = carded(CANOE, 256)
    low = next(speed for speed in card.speeds if speed.name == "low")
    assert low.asked == 30.0
    assert low.frequency == card.lowest
    assert all(card.lowest <= speed.frequency <= card.highest for speed in card.speeds)


def test_what_rests_on_nothing_told_stands_in_parentheses(plant):
    _, _, (card,) = carded(plant(ODD["three facts"]()))
    assert card.low_assumed
    assert f"between ({card.lowest:g}) and" in answer(card, "SI")
    assert "(assumed)" in limit_words(card)[0]
    _, _, (told,) = carded(CANOE, 256)
    assert not told.low_assumed
    assert "(" not in answer(told, "US")


def test_without_a_window_nothing_is_called_safe():
    drawn, _, cards = carded(ROOT / "tests/plants/mistakes/separator_too_small.toml")
    (svg, _, _) = drawings(drawn, cards)[0]
    assert cards[0].lowest is None
    assert answer(cards[0], "SI").startswith("No safe speed")
    assert not re.search(r">safe \(?\d", svg)
    assert len(limit_words(cards[0])) == 2


def test_what_no_speed_cures_comes_before_the_window():
    drawn, _, cards = carded(ROOT / "examples/cycle_frames.toml", 256)
    (svg, _, _) = drawings(drawn, cards)[0]
    assert answer(cards[0], "US").startswith("Settle one limit first")
    assert not re.search(r">safe \(?\d", svg)
    assert "No speed cures this: amps the drive may put out." in svg


def test_on_the_line_there_is_one_speed():
    drawn, _, cards = carded(ROOT / "examples/glass_studio.toml")
    (card,) = cards
    assert card.direct
    assert [point.frequency for point in card.points] == [50.0]
    assert card.speeds == ()
    (svg, _, _) = drawings(drawn, cards)[0]
    rpm = in_unit(card.points[0].pump_speed.likely, kind="rotational_speed", unit="rpm")
    assert f"One speed: 50 Hz, pump {rpm:.0f} rpm" in svg


def test_two_trains_have_a_card_each():
    drawn, _, cards = carded(ROOT / "tests/plants/sail_loft.toml")
    assert [(card.train, card.direct) for card in cards] == [("winter", False), ("old one", True)]
    both = rate(drawn, frequencies=[50.0], gauge_pressures=[cards[0].gauge]).points[0]
    full = next(point for point in cards[0].points if "full" in point.names)
    assert full.delivered_air.likely == pytest.approx(both.trains["winter"]["delivered_air"].likely, rel=1e-3)
    assert full.delivered_air.likely < both.answers["delivered_air"].likely


def test_leaf_has_drawing_and_the_same_numbers():
    drawn, _, cards = carded(CANOE)
    leaf = card_leaf(cards, draw=drawn)
    picture = next(block for block in leaf.blocks if isinstance(block, Picture))
    table = next(block for block in leaf.blocks if isinstance(block, Table) and block.name == "speeds")
    assert picture.svg == drawings(drawn, cards)[0][0]
    assert [row[0] for row in table.rows] == [f"{point.frequency:g}" for point in cards[0].points]
    assert all(len(row) == len(table.columns) for row in table.rows)


def test_another_width_keeps_the_shape():
    _, _, cards = carded(CANOE)
    svg, width, height = speed_card(cards[0], CardHead("x", "US"), width=450.0)
    assert (width, height) == (450.0, 300.0)
    assert 'width="450" height="300" viewBox="0 0 900 600"' in svg


@pytest.mark.parametrize(("spread", "short"), [("+130/-140", "±140"), ("+2/-1", "±2"), ("±3", "±3"), ("", "")])
def test_larger_side_is_kept(spread, short):
    assert larger_side(spread) == short


def test_a_plant_that_must_not_run_has_a_card_that_says_so_first():
    drawn, _, cards = carded(CANOE)
    leaf = card_leaf(cards, draw=drawn, stopped=("The tank was welded.", "No earth."))
    assert [(block.signal, block.text) for block in leaf.blocks[:2]] == [
        ("danger", "Do not run it yet. The tank was welded."), ("danger", "Do not run it yet. No earth."),
    ]  # fmt: skip
    (picture,) = (block for block in leaf.blocks if isinstance(block, Picture))
    words = [mark.text for mark in ET.fromstring(picture.svg).iter(SVG + "text")]
    assert words[0] == "Do not run it yet"
    assert "DANGER: The tank was welded." in words
    assert not any(word.startswith("Run it between") for word in words)
    check_room(picture.svg, picture.width, picture.height)
