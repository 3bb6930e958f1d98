"""Parts of the sheet given out: the same words everywhere, and nothing of the plant file read as markup."""

import csv
import io
import re

import pytest
from rich.console import Console

from airfettle.report.blocks import Checks, Column, Heading, Leaf, Picture, Signed, Table, Words
from airfettle.report.blocks.comma_separated import leaf_as_csv
from airfettle.report.blocks.data import leaf_as_data
from airfettle.report.blocks.markdown import leaf_as_markdown, plain_words
from airfettle.report.blocks.terminal import leaf_in_terminal

HOSTILE = "[red]x[/red] <script>alert(1)</script> **b** | `c` #panic() $y$ \u05d0\u05d1 \U0001fa81"
LEAF = Leaf(
    "settings", "Settings of <b>",
    (
        Signed("danger", "Do not touch it."), Words("Read this first", strong=True), Heading("Limits"),
        Table((Column("What", 2.0), Column("Set to", align="right"), Column("Number", blank=True)),
              (("highest hertz", "60 Hz", ""), (HOSTILE, "=1+1", "")), caption="In trade words", strong=(0,)),
        Checks((("Turn it by hand", "turns free", "a rag may be in it"), ("Look", "", "")), numbered=True),
        Picture('<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"/>', "A drawing", 10.0, 10.0),
    ),
    ("nec",),
)  # fmt: skip


def in_terminal(width=100):
    console = Console(width=width, file=io.StringIO(), highlight=False)
    console.print(leaf_in_terminal(LEAF, width=width))
    return console.file.getvalue()


def test_every_word_reaches_the_terminal_and_no_markup_is_read():
    said = " ".join(in_terminal(200).split())
    for words in ("DANGER Do not touch it.", "Read this first", "60 Hz", "turns free", "Drawing: A drawing"):
        assert words in said
    assert "[red]x[/red]" in said
    assert "Number" not in said  # a blank to write into by hand


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_of_the_terminal_is_wider_than_it(width):
    assert max(map(len, in_terminal(width).splitlines())) <= width


def test_markdown_has_a_row_for_every_row_and_reads_no_markup():
    text = leaf_as_markdown(LEAF)
    table = [line for line in text.splitlines() if line.startswith("|")]
    assert len(table) == 4
    assert all(len(re.findall(r"(?<!\\)\|", line)) == 4 for line in table)
    assert r"\<script\>" in text
    assert r"\*\*b\*\*" in text
    assert "- [ ] Turn it by hand Expect: turns free. a rag may be in it" in text
    assert "> **DANGER** Do not touch it." in text


@pytest.mark.parametrize(
    ("text", "wanted"),
    [("- x", r"\- x"), ("1. x", r"\1. x"), ("+ x", r"\+ x"), ("a\n# b", r"a \# b"), ("-3 °C", "-3 °C")],
)
def test_words_at_the_start_of_a_line_begin_no_list(text, wanted):
    assert plain_words(text) == wanted


def test_csv_reads_back_and_holds_no_formula():
    rows = list(csv.reader(io.StringIO(leaf_as_csv(LEAF))))
    assert rows[0] == ["What", "Set to", "Number"]
    assert rows[1] == ["highest hertz", "60 Hz", ""]
    assert rows[2][1] == "'=1+1"
    assert rows[4] == ["done", "what", "expect", "why"]


@pytest.mark.parametrize(
    ("cell", "wanted"),
    [("-3.5 °F", "-3.5 °F"), ("+1", "+1"), ("-1+cmd|' /C calc'!A0", "'-1+cmd|' /C calc'!A0"), ("@SUM(A1)", "'@SUM(A1)"),
     ("-1 +cmd|' /C calc'!A0", "'-1 +cmd|' /C calc'!A0"), ("=A1", "'=A1"),
     ("16.2 +1.1/-0.9 cfm", "16.2 +1.1/-0.9 cfm")],
)  # fmt: skip
def test_a_cell_is_a_number_or_text(cell, wanted):
    leaf = Leaf("x", "x", (Table((Column("a"),), ((cell,),)),))
    assert list(csv.reader(io.StringIO(leaf_as_csv(leaf))))[1] == [wanted]


def test_data_has_every_block_but_not_the_drawing_itself():
    data = leaf_as_data(LEAF)
    assert [block["block"] for block in data["blocks"]] == ["signed", "words", "heading", "table", "checks", "picture"]
    assert "svg" not in data["blocks"][-1]
    assert data["sources"] == ["nec"]
