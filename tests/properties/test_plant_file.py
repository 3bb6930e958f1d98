"""Whatever a file holds, it is a plant or one error, and it keeps its bytes; every change is whole or not at all."""

import random
import string
import tempfile
import tomllib
from pathlib import Path

import pytest
import tomlkit
from hypothesis import example, given, settings
from hypothesis import strategies as st

from airfettle.errors import AirfettleError
from airfettle.plant.whole import OwnersPlant, walk
from airfettle.store.locate import line_of
from airfettle.store.plant_file import change_plant, read_plant

PLANTS = Path(__file__).parents[1] / "plants"
GOOD = {file.name: file.read_bytes() for file in sorted(PLANTS.glob("*.toml"))}
LINES = {name: content.decode().splitlines(keepends=True) for name, content in GOOD.items()}
JUNK = [
    "5", "-1", "1e400", "nan", "inf", "true", "2026-03-02", "12:30:00", "[]", "{}", '""', '"none"', '"unknown"',
    '"?"', '"5"', '"5 psi"', '"1,5 bar"', '"16 scfm"', '"400 NL/min"', '"9..3 rpm"', '"-4 in"', '"4-5/8 in"',
    '"1e999 m"', '["a", "b"]', "[5]", '{ is = "5 hp" }', '{ is = 5 }', "{ is = [] }",
    '{ is = "850 rpm", known = "sure" }', "[[]]", "[{}]", '[{ air = "5 cfm" }]', '"""a\nb"""', "'x", "five", "0x1F",
    "1_000", '"\\u0000"', '"\\ud7ff"', "{ a = { b = { c = 1 } } }", '"base.toml"', '"."',
]  # fmt: skip
KEYS = [
    "bore", "name", "is", "known", "pump", "train", "receiver", "rated", "air_path", "based_on", "absent", "units",
    '"a b"', "first_stage.bore", "", "é",
]  # fmt: skip


@pytest.fixture(scope="module")
def folder():
    with tempfile.TemporaryDirectory() as name:
        for file, content in GOOD.items():
            (Path(name) / file).write_bytes(content)
        yield Path(name)


def a_plant_or_one_error(folder, content):
    """Read a file of this content; return what became of it."""
    file = folder / "plant under test.toml"
    file.write_bytes(content)
    beside = sorted(folder.iterdir())
    try:
        outcome = read_plant(file)
    except AirfettleError as error:
        outcome = error
    assert file.read_bytes() == content
    assert sorted(folder.iterdir()) == beside
    if isinstance(outcome, AirfettleError):
        assert outcome.read
        assert outcome.wanted
        assert str(folder) in str(outcome)
        assert len(str(outcome)) < 3_000
    else:
        assert isinstance(outcome, OwnersPlant)
        assert all(value is None or value.low <= value.likely <= value.high for *_, value in walk(outcome))
    return outcome


def mangled(chance, name):
    """A good file after a few accidents."""
    lines = list(LINES[name])
    for _ in range(chance.randint(1, 3)):
        if lines:
            chance.choice([_lost, _twice, _swapped, _value, _key, _letters, _header, _cut, _moved])(chance, lines)
    return "".join(lines)


def _lost(chance, lines):
    lines.pop(chance.randrange(len(lines)))


def _twice(chance, lines):
    lines.insert(chance.randrange(len(lines)), chance.choice(lines))


def _swapped(chance, lines):
    one, other = (chance.randrange(len(lines)) for _ in range(2))
    lines[one], lines[other] = lines[other], lines[one]


def _value(chance, lines):
    entries = [n for n, line in enumerate(lines) if "=" in line]
    if entries:
        place = chance.choice(entries)
        lines[place] = f"{lines[place].partition('=')[0]}= {chance.choice(JUNK)}\n"


def _key(chance, lines):
    entries = [n for n, line in enumerate(lines) if "=" in line]
    if entries:
        place = chance.choice(entries)
        lines[place] = f"{chance.choice(KEYS)} ={lines[place].partition('=')[2]}"


def _letters(chance, lines):
    place = chance.randrange(len(lines))
    text = list(lines[place])
    for _ in range(chance.randint(1, 3)):
        if text:
            where = chance.randrange(len(text))
            text[where] = chance.choice(
                [chance.choice(string.printable), "", text[where] * 2, "é", "\u2028", "\x00", "–"]
            )
    lines[place] = "".join(text)


def _header(chance, lines):
    headers = [n for n, line in enumerate(lines) if line.startswith("[")]
    if headers:
        section = chance.choice(["pump", "train", "filter", "site", "x", "train.pump", "pump.rated", "plant"])
        lines[chance.choice(headers)] = chance.choice([f"[{section}]\n", f"[[{section}]]\n"])


def _cut(chance, lines):
    del lines[chance.randrange(len(lines)) :]


def _moved(chance, lines):
    start = chance.randrange(len(lines))
    end = min(len(lines), start + chance.randint(1, 6))
    block = lines[start:end]
    del lines[start:end]
    place = chance.randint(0, len(lines))
    lines[place:place] = block


@settings(max_examples=150)
@given(st.text(max_size=300))
@example("\ufeff\ufeff")
@example("a.b.c = 1\n[a.b]")
@example("receiver = ['none', 'none']")
@example("[[filter]]\nname = []\n")
@example("[plant]\nbased_on = '\\u0000'\n")
def test_any_text(folder, text):
    a_plant_or_one_error(folder, text.encode("utf-8", "surrogatepass"))


@settings(max_examples=150)
@given(st.binary(max_size=200))
def test_any_bytes(folder, content):
    a_plant_or_one_error(folder, content)


@settings(max_examples=250)
@given(st.randoms(use_true_random=False), st.sampled_from(sorted(GOOD)))
def test_a_good_file_after_accidents(folder, chance, name):
    a_plant_or_one_error(folder, mangled(chance, name).encode())


toml_scalars = st.one_of(
    st.text(max_size=12), st.integers(), st.booleans(), st.floats(), st.dates(), st.times(), st.sampled_from(
        ["none", "unknown", "850 rpm", "4 in by tape", "7 bar", "18 cfm", "5..6 V"])
)  # fmt: skip
section_names = st.sampled_from(
    [*OwnersPlant.model_fields, "first_stage", "rated", "bore", "air", "is", "known", "name"]
)
toml_values = st.recursive(
    toml_scalars,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(section_names, inner, max_size=3)),
    max_leaves=8,
)


@settings(max_examples=150)
@given(st.dictionaries(section_names, toml_values, max_size=4))
def test_any_toml_of_the_plants_own_keys(folder, data):
    a_plant_or_one_error(folder, tomlkit.dumps(data).encode("utf-8", "surrogatepass"))


@settings(max_examples=100)
@given(st.randoms(use_true_random=False), st.sampled_from(sorted(GOOD)))
def test_a_variant_after_accidents_on_both_sides(folder, chance, name):
    (folder / "base.toml").write_text(mangled(chance, name) if chance.random() < 0.5 else "".join(LINES[name]))
    own = mangled(chance, name).replace("[plant]\n", "")
    try:
        a_plant_or_one_error(folder, f'[plant]\nbased_on = "base.toml"\n{own}'.encode())
    finally:
        (folder / "base.toml").unlink()


@settings(max_examples=150)
@given(st.randoms(use_true_random=False), st.sampled_from(sorted(GOOD)))
def test_an_error_names_a_line_that_has_its_key(folder, chance, name):
    """One bad value in an otherwise good file: the error names the very line it stands in."""
    lines = list(LINES[name])
    entries = [
        n for n, line in enumerate(lines) if line[:1].isalpha() and line.rstrip().endswith('"') and '= "' in line
    ]
    place = chance.choice(entries)
    lines[place] = f"{lines[place].partition('=')[0]}= [[5]]\n"
    said = a_plant_or_one_error(folder, "".join(lines).encode())
    assert isinstance(said, AirfettleError)
    key = lines[place].partition("=")[0].strip().rpartition(".")[2]
    if key != "based_on" and key != "name":  # a part's name is its place
        assert f", line {place + 1}, " in said.where
        assert said.where.endswith(key) or key in said.where


@settings(max_examples=80)
@given(st.randoms(use_true_random=False), st.sampled_from(sorted(GOOD)))
def test_a_change_is_whole_or_not_at_all(folder, chance, name):
    file = folder / "changed.toml"
    before = GOOD[name]
    file.write_bytes(before)
    paths = [path for path, *_ in walk(read_plant(file))] + [
        "cooler",
        "pump.first_stage.bore",
        "filter.new.drop",
        "x.y",
        "",
    ]
    changes = {
        chance.choice(paths): chance.choice(
            [None, "unknown", "850 rpm", "4 in", "5 psi", "none", 5, [], {}, {"is": "7 bar"}]
        )
        for _ in range(chance.randint(1, 3))
    }
    try:
        change_plant(file, changes)
    except AirfettleError:
        assert file.read_bytes() == before
    else:
        read_plant(file)
        if all(isinstance(value, str) and value != "none" for value in changes.values()):
            assert _remarks(before) <= _remarks(file.read_bytes())
    finally:
        file.unlink()
    assert not list(folder.glob(".changed*"))


def _remarks(content):
    return {line.strip() for line in content.decode().splitlines() if line.lstrip().startswith("#")}


@settings(max_examples=60)
@given(st.randoms(use_true_random=False), st.sampled_from(sorted(GOOD)))
def test_every_leaf_of_a_file_is_found_at_a_line_that_names_it(chance, name):
    text = GOOD[name].decode()
    leaves = list(_leaves(tomllib.loads(text)))
    place = chance.choice(leaves)
    line = line_of(text, place)
    assert line is not None
    named = [key for key in place if isinstance(key, str)]
    assert any(key in text.split("\n")[line - 1] for key in named)


def _leaves(data, place=()):
    if isinstance(data, dict):
        for key, value in data.items():
            yield from _leaves(value, (*place, key))
    elif isinstance(data, list):
        for number, value in enumerate(data):
            yield from _leaves(value, (*place, number))
    else:
        yield place


def test_the_accidents_do_break_files_and_do_not_break_all(folder):
    """The generator is of use only if it gives both plants and errors of many sorts."""
    outcomes = [
        type(a_plant_or_one_error(folder, mangled(random.Random(seed), "puppet_workshop.toml").encode())).__name__
        for seed in range(100)
    ]
    errors = [name for name in outcomes if not name.startswith("Plant")]
    assert 10 < len(errors) < 95
    assert len(set(errors)) >= 5
