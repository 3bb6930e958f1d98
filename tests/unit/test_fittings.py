"""Fittings: how they are told, and the pipe they count for."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.errors import UnknownChoice, UnknownTableEntry, UnreadableQuantity
from airfettle.parts.fittings import (
    end_loss,
    fitting_kinds,
    fittings_length,
    fittings_loss,
    read_fittings,
    turbulent_friction,
)

READ = [
    ("4 elbows, 2 tees, 1 ball valve", {"elbow": 4, "tee side": 2, "ball valve": 1}),
    ("none", {}),
    ("None", {}),
    ("", {}),
    ("0 elbows", {}),
    ("elbow", {"elbow": 1}),
    ("an elbow and a ball valve", {"elbow": 1, "ball valve": 1}),
    ("2 Elbows; 1 elbow", {"elbow": 3}),
    ("2x elbows, 3 x unions", {"elbow": 2, "union": 3}),
    ("2 straight tees, 1 tee straight, 3 side tees", {"tee straight": 3, "tee side": 3}),
    ("2 tees straight", {"tee straight": 2}),
    ("3 long radius elbows, 1 street elbow", {"bend": 3, "street elbow": 1}),
    ("2 45 degree elbows, 1 45-degree elbow, 45 elbow", {"45 elbow": 4}),
    ("3 90 degree elbows, 90° elbow", {"elbow": 4}),
    ("90 bend", {"bend": 1}),
    ("45 unions", {"union": 45}),
    ("1 non-return valve, 1 swing check", {"check valve": 2}),
    ("2 bushes, 1 bushing", {"reducer": 3}),
    ("2 sockets", {"coupling": 2}),
]


@pytest.mark.parametrize(("text", "found"), READ)
def test_ways_of_telling_fittings(text, found):
    assert read_fittings(text) == found


@pytest.mark.parametrize("kind", fitting_kinds())
def test_every_kind_reads_in_singular_and_plural(kind):
    for text in (f"1 {kind}", kind.upper()):
        assert read_fittings(text) == {kind: 1}
    plural = f"tees {kind[4:]}" if kind.startswith("tee ") else f"{kind}s"
    assert read_fittings(f"7 {plural}") == {kind: 7}
    assert fittings_length({kind: 2}) == 2.0 * fittings_length({kind: 1}) > 0.0


@pytest.mark.parametrize("text", ["1 cross", "3", "2 45", "4 elbows, 1 thing", "45 x elbows thing", "-2 elbows"])
def test_a_word_that_is_no_fitting(text):
    with pytest.raises(UnknownChoice) as caught:
        read_fittings(text)
    assert "ball valve" in caught.value.wanted


@pytest.mark.parametrize("text", ["45 elbows", "2 tees, 90 elbows", "45 degree bends"])
def test_a_count_that_could_be_an_angle_is_asked_for(text):
    with pytest.raises(UnreadableQuantity, match="count"):
        read_fittings(text)


def test_names_mean_one_kind_each():
    table = tables.load("fitting_lengths")
    named = [name.strip() for names in table.words("also called") for name in names.split(";") if name.strip()]
    assert len(set(named)) == len(named)
    assert not set(named) & set(fitting_kinds())


def test_lengths_add_up_and_a_turn_costs_more_than_straight_through():
    assert fittings_length({"elbow": 4, "ball valve": 1, "tee straight": 1}) == 4 * 30 + 3 + 20
    assert fittings_length({}) == 0.0
    assert fittings_length({"tee side": 1}) > fittings_length({"tee straight": 1})
    assert fittings_length({"bend": 1}) < fittings_length({"elbow": 1}) < fittings_length({"street elbow": 1})
    with pytest.raises(UnknownTableEntry, match="elbow"):
        fittings_length({"cross": 1})


def test_loss_by_hand():
    factor = 0.25 / np.log10(4.5e-5 / 0.02664 / 3.7) ** 2
    assert float(turbulent_friction(0.02664)) == pytest.approx(factor)
    np.testing.assert_allclose(fittings_loss([30.0, 60.0], bore=0.02664), [30 * factor, 60 * factor])
    falling = turbulent_friction([0.01, 0.02, 0.05])
    assert np.all(np.diff(falling) < 0.0)
    assert float(turbulent_friction(0.02, roughness=1.5e-4)) > float(turbulent_friction(0.02))


def test_ends():
    assert (end_loss("sharp entrance"), end_loss("exit")) == (0.5, 1.0)
    assert end_loss("rounded entrance") < end_loss("sharp entrance")
    with pytest.raises(UnknownTableEntry, match="sharp entrance"):
        end_loss("bell")
