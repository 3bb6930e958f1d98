"""Finished years in a file: what fits comes back as it was, what does not is refused in words."""

import numpy as np
import pytest

from airfettle.errors import BadRequest
from airfettle.store.kept_paths import KeptPaths
from airfettle.studies.day.machine import empty_books
from airfettle.studies.day.many import KEPT, tally_of

LENGTH = 1e5


@pytest.fixture
def plant(tmp_path):
    file = tmp_path / "plant.toml"
    file.write_text('[plant]\nname = "Oar shop"\n', encoding="utf-8")
    return file


def kept(tmp_path, plant, **other):
    return KeptPaths(
        **({"file": tmp_path / "years.npz", "plant": plant, "seed": 1, "rows": 8, "length": LENGTH} | other)
    )


def years(*numbers):
    """Paths that each hold their own number everywhere."""
    books = []
    for number in numbers:
        book = empty_books()
        for name in KEPT:
            getattr(book, name)[...] = float(number)
        books.append((number, book))
    return tally_of(books, start=0.0, length=LENGTH, wanted=len(numbers))


def test_nothing_is_there_before_the_first(tmp_path, plant):
    assert kept(tmp_path, plant).load(wanted=4) is None


def test_what_was_kept_comes_back_as_it_was(tmp_path, plant):
    kept(tmp_path, plant).add(years(0, 1, 2))
    found = kept(tmp_path, plant).load(wanted=8)
    assert found.paths.tolist() == [0, 1, 2]
    assert found.wanted == 8
    for name in KEPT:
        assert np.all(getattr(found, name).reshape(3, -1) == np.arange(3.0)[:, None])


def test_more_years_are_added_in_order_and_fewer_may_be_asked_for(tmp_path, plant):
    store = kept(tmp_path, plant)
    store.add(years(0, 2))
    store.add(years(1, 3))
    assert kept(tmp_path, plant).load(wanted=9).paths.tolist() == [0, 1, 2, 3]
    few = kept(tmp_path, plant).load(wanted=2)
    assert few.paths.tolist() == [0, 1]
    assert few.totals[:, 0].tolist() == [0.0, 1.0]


def test_a_run_that_goes_on_keeps_what_was_there(tmp_path, plant):
    kept(tmp_path, plant).add(years(0, 1))
    store = kept(tmp_path, plant)
    store.load(wanted=4)
    store.add(years(2, 3))
    assert kept(tmp_path, plant).load(wanted=4).paths.tolist() == [0, 1, 2, 3]


@pytest.mark.parametrize("other", [{"seed": 2}, {"rows": 16}, {"length": 2 * LENGTH}])
def test_another_seed_draw_or_length_is_refused(tmp_path, plant, other):
    kept(tmp_path, plant).add(years(0))
    with pytest.raises(BadRequest, match="kept for another") as refused:
        kept(tmp_path, plant, **other).load(wanted=1)
    assert refused.value.where == "--keep"


def test_another_plant_is_refused(tmp_path, plant):
    kept(tmp_path, plant).add(years(0))
    plant.write_text('[plant]\nname = "Another oar shop"\n', encoding="utf-8")
    with pytest.raises(BadRequest, match="kept for another plant"):
        kept(tmp_path, plant).load(wanted=1)


def test_an_archive_of_something_else_is_refused(tmp_path, plant):
    np.savez(tmp_path / "years.npz", mark=np.array("nothing"))
    with pytest.raises(BadRequest, match="holds no kept years"):
        kept(tmp_path, plant).load(wanted=1)


def test_nothing_is_left_beside_the_file(tmp_path, plant):
    kept(tmp_path, plant).add(years(0))
    assert {file.name for file in tmp_path.iterdir()} == {"plant.toml", "years.npz"}


def test_a_write_that_breaks_off_leaves_the_old_file(tmp_path, plant, monkeypatch):
    kept(tmp_path, plant).add(years(0))

    def half(out, **_):
        out.write(b"half a fi")
        raise OSError("no space left")

    monkeypatch.setattr(np, "savez", half)
    with pytest.raises(OSError, match="no space"):
        kept(tmp_path, plant).add(years(1))
    monkeypatch.undo()
    assert kept(tmp_path, plant).load(wanted=4).paths.tolist() == [0]
