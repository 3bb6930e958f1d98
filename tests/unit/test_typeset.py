"""The sheet set in type: valid, searchable, the same bytes every time, letters embedded, nothing read as markup."""

import os
import re
import shutil
import subprocess
import sys
from functools import cache

import pytest

from airfettle.drawings.sheet import Sheet
from airfettle.errors import BadRequest
from airfettle.report.blocks import Checks, Column, Heading, Leaf, Picture, Signed, Table, Words
from airfettle.report.typeset import Cover, typeset

HOSTILE = '#panic("no") *b* $x$ @y <z> `c` \\ // /* ] } [ {'
ODD = "\u05e1\u05d3\u05e0\u05d4 \u0645\u0639\u0645\u0644 \u00e9\u0178\u0416\u03a9 \U0001f600 \u65e5\u672c"


def drawn():
    sheet = Sheet(300.0)
    sheet.box((10.0, 10.0, 290.0, 90.0))
    sheet.text(20.0, 50.0, f"receiver {HOSTILE[:12]}")
    return Picture(sheet.svg(100.0, title="t", about="a"), "A drawing", 300.0, 100.0, turned=True)


def leaves():
    table = Table((Column("What", 2.0), Column("Set to"), Column("Parameter", blank=True)),
                  tuple((f"setting {n} {HOSTILE}", f"{n} Hz", "") for n in range(70)), caption="Settings")  # fmt: skip
    signed = [Signed(word, f"{word} words {HOSTILE}") for word in ("danger", "warning", "caution", "notice")]
    first = Leaf(
        "one", f"First part {ODD}", (*signed, Words("strong", strong=True), Heading("Section"), table), ("nec",)
    )
    second = Leaf("two", "Second part", (Checks((("do it", "5 A", "why"), ("look", "", "")), numbered=True), drawn()),
                  ("practice", "nec"))  # fmt: skip
    return first, second


def printed(**more):
    cover = Cover(f"Works {HOSTILE}", "Build sheet", (("Shown", "60 Hz"),), "B", "2026-03-02")
    return typeset(leaves(), cover=cover, **({"paper": "Letter"} | more))


def tool(name):
    """Path of a program from Debian's packages; in CI it has to be there."""
    found = shutil.which(name)
    if found is None:
        assert not os.environ.get("CI"), f"{name} is missing"
        pytest.skip(f"{name} is not installed")
    return found


@cache
def written(folder, paper="Letter"):
    file = folder / f"{paper}.pdf"
    file.write_bytes(printed(paper=paper))
    return file


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("sheet")


@cache
def words_of(file):
    return subprocess.run([tool("pdftotext"), "-layout", file, "-"], capture_output=True, check=True, text=True).stdout


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_a_pdf_validator_finds_nothing(folder, paper):
    done = subprocess.run(
        [tool("qpdf"), "--check", written(folder, paper)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "No syntax or stream encoding errors found" in done.stdout


def test_the_text_can_be_searched_and_hostile_words_stand_as_they_are(folder):
    said = " ".join(words_of(written(folder)).split())
    for words in (
        "setting 69",
        "DANGER",
        "NOTICE",
        "page 1 of",
        '#panic("no")',
        "<z>",
        "Second part",
        "receiver #panic",
        "Contents",
        "Sources of the numbers",
        "National Electrical Code",
        "Rev. B",
        "2026-03-02",
    ):
        assert words in said, words


def test_every_letter_is_embedded(folder):
    listed = subprocess.run([tool("pdffonts"), written(folder)], capture_output=True, check=True, text=True).stdout
    fonts = listed.splitlines()[2:]
    assert fonts
    assert all("DejaVuSansCondensed" in font and re.search(r"yes yes yes", font) for font in fonts)


def test_page_numbers_run_through_and_contents_agree(folder):
    pages = words_of(written(folder)).split("\f")[:-1]
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page
    second = next(n for n, page in enumerate(pages, start=1) if re.search(r"^\s*Second part\s*$", page, re.MULTILINE))
    assert re.search(rf"Second part[.\s\u2060]+{second}\b", pages[0])


@pytest.mark.parametrize(("paper", "size"), [("Letter", "612 x 792"), ("A4", "595.276 x 841.89")])
def test_the_paper_is_the_one_asked_for(folder, paper, size):
    listed = subprocess.run(
        [tool("pdfinfo"), written(folder, paper)], capture_output=True, check=True, text=True
    ).stdout
    assert f"Page size:       {size}" in listed


def test_the_same_bytes_in_another_process(folder):
    code = (
        "import sys; sys.path.insert(0, 'tests/unit'); import test_typeset as t; sys.stdout.buffer.write(t.printed())"
    )
    again = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout
    assert again == written(folder).read_bytes()


@pytest.mark.parametrize(("form", "start"), [("png", b"\x89PNG"), ("svg", b"<svg"), ("pdf", b"%PDF-")])
def test_one_part_alone_in_every_form(form, start):
    assert printed(form=form, whole=False).startswith(start)


def test_nothing_at_all_is_a_sheet_too():
    assert typeset((), cover=Cover("", "Build sheet"), paper="A4").startswith(b"%PDF-")


def test_a_form_that_is_none_is_told_before_anything_is_worked_out():
    from airfettle.app.give_out import output_place, paper_of

    with pytest.raises(BadRequest, match=r"ends in \.pdf"):
        output_place("plan.docx")
    with pytest.raises(BadRequest, match="Letter or A4"):
        paper_of("foolscap", units="US")
    assert (paper_of("", units="US"), paper_of("", units="SI"), paper_of("a4", units="US")) == ("Letter", "A4", "A4")
