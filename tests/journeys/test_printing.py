"""Drawings, lists and the build sheet on the command line, end to end, for examples and odd plants."""

import csv
import io
import json
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from functools import cache

import pytest
from sheet_plants import FILES, ODD, ROOT

from airfettle.cli import run
from airfettle.cli.judging import BAD_INPUT, DANGER, OK

CANOE = str(ROOT / "examples/canoe_works.toml")
PARTS = {
    "air": ("draw", "air"), "pipe": ("draw", "pipe"), "power": ("draw", "power"), "control": ("draw", "control"),
    "settings": ("settings",), "card": ("card",), "parts": ("parts",), "checklist": ("checklist",),
}  # fmt: skip
DRAWN = ("air", "pipe", "power", "control", "card")
ROWS = ("--rows", "64")
STARTS = {"pdf": b"%PDF-", "png": b"\x89PNG", "svg": b"<svg", "md": b"# ", "json": b"{"}


@cache
def odd(name, folder):
    file = folder / f"{re.sub('[^a-z0-9]+', '_', name)}.toml"
    file.write_text(ODD[name](), encoding="utf-8")
    return str(file)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("printed")


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("form", STARTS)
def test_every_part_in_every_form(part, form, tmp_path, capsys):
    file = tmp_path / f"{part}.{form}"
    assert run([*PARTS[part], CANOE, "-o", str(file), *ROWS]) in (OK, DANGER)
    assert file.read_bytes().startswith(STARTS[form])
    assert f"Wrote {file}." in capsys.readouterr().err
    assert [each.name for each in tmp_path.iterdir()] == [file.name]


@pytest.mark.parametrize("part", PARTS)
def test_every_part_has_tables_for_a_spreadsheet(part, tmp_path):
    file = tmp_path / "x.csv"
    assert run([*PARTS[part], CANOE, "-o", str(file), *ROWS]) in (OK, DANGER)
    rows = list(csv.reader(io.StringIO(file.read_bytes().decode("utf-8"))))
    assert len(rows) > 3
    assert len(rows[0]) >= 3


@pytest.mark.parametrize("part", PARTS)
def test_shown_in_the_terminal_and_as_json(part, capsys):
    run([*PARTS[part], CANOE, *ROWS])
    shown = capsys.readouterr().out
    assert "licensed people decide" in " ".join(shown.split())
    run([*PARTS[part], CANOE, "--json", *ROWS])
    data = json.loads(capsys.readouterr().out)
    assert data["blocks"]
    assert data["part"] == part
    for block in data["blocks"]:
        if block["block"] == "table":
            assert all(len(row) == len(block["columns"]) for row in block["rows"])


@pytest.mark.parametrize("name", ODD)
def test_the_sheet_of_odd_plants(name, folder, capsys):
    file = folder / f"{re.sub('[^a-z0-9]+', '_', name)}.pdf"
    assert run(["sheet", odd(name, folder), "-o", str(file), *ROWS]) in (OK, DANGER)
    if qpdf := shutil.which("qpdf"):
        assert subprocess.run([qpdf, "--check", file], capture_output=True, check=False).returncode == 0
    if reader := shutil.which("pdftotext"):
        said = subprocess.run([reader, "-layout", file, "-"], capture_output=True, check=True, text=True).stdout
        for words in ("Read this first", "What it does", "Power wiring", "First start", "Sources of the numbers"):
            assert words in said, words
        if name == "hostile":
            assert '</text><script>alert(1)</script> #panic("x")' in " ".join(said.split())


@pytest.mark.parametrize("name", ["hostile", "long"])
@pytest.mark.parametrize("part", DRAWN)
def test_hostile_names_are_drawn_as_text(name, part, folder, tmp_path):
    file = tmp_path / "x.svg"
    assert run([*PARTS[part], odd(name, folder), "-o", str(file), *ROWS]) in (OK, DANGER)
    root = ET.fromstring(file.read_bytes())
    kinds = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert kinds <= {"svg", "title", "desc", "style", "defs", "g", "use", "rect", "path", "text"}
    assert not any(key.startswith("on") or ("href" in key and not value.startswith("#"))
                   for element in root.iter() for key, value in element.attrib.items())  # fmt: skip


@pytest.mark.parametrize("part", ["air", "power", "control"])
@pytest.mark.parametrize("form", ["md", "csv", "json"])
def test_dangers_are_said_in_every_form(part, form, tmp_path):
    file, plant = tmp_path / f"x.{form}", str(ROOT / "examples/cycle_frames.toml")
    run([*PARTS[part], plant, "-o", str(file), *ROWS])
    svg = tmp_path / "x.svg"
    run([*PARTS[part], plant, "-o", str(svg), *ROWS])
    drawn = {word for word in ("DANGER", "WARNING") if f">{word}" in svg.read_text(encoding="utf-8")}
    said = file.read_text(encoding="utf-8")
    assert drawn
    assert all(word in said for word in drawn)


def test_the_same_sheet_twice_is_the_same_bytes(tmp_path):
    for name in ("a.pdf", "b.pdf"):
        run(["sheet", CANOE, "-o", str(tmp_path / name), *ROWS])
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_a_plant_without_a_drive_has_settings_for_its_starter(folder, capsys):
    run(["settings", odd("no drive, single-phase", folder), *ROWS])
    shown = capsys.readouterr().out.lower()
    assert "overload" in shown
    assert "carrier" not in shown


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["sheet", CANOE, "-o", "x.docx"], "ends in .pdf"),
        (["draw", "air", CANOE, "-o", "x.gif"], "ends in .pdf, .svg"),
        (["settings", CANOE, "--paper", "foolscap", "-o", "x.pdf"], "Letter or A4"),
        (["checklist", CANOE, "--only", "strat"], "start"),
        (["draw", "pipe", str(ROOT / "tests/plants/kite_shed.toml")], "[shop_pipe]"),
        (["draw", "air", CANOE, "--hz", "fast"], "--hz"),
        (["sheet", "nowhere.toml"], "nowhere.toml"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_in_one_message(arguments, said, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run(arguments) == BAD_INPUT
    assert said in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_file_that_cannot_be_written_says_so(tmp_path, capsys):
    assert run(["settings", CANOE, "-o", str(tmp_path / "no" / "x.pdf"), *ROWS]) == BAD_INPUT
    assert "may be written to" in capsys.readouterr().err


@pytest.mark.parametrize("file", [f for f in FILES if "examples" in f.parts], ids=lambda f: f.stem)
def test_the_sheet_of_every_example(file, tmp_path):
    assert run(["sheet", str(file), "-o", str(tmp_path / "x.pdf"), *ROWS]) in (OK, DANGER)
    assert (tmp_path / "x.pdf").read_bytes().startswith(b"%PDF-")
