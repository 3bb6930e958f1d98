"""The symbols themselves: ink inside their box, wires that meet ink, terminals in order, a number or a word why not."""

import re
import sys
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.svgLib.path import parse_path
from letters import measured

from airfettle.drawings.symbols import all_symbols
from airfettle.sources import all_sources
from airfettle.studies.wiring import circuit

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "docs"))

import make_symbols  # noqa: E402

SYMBOLS = all_symbols()
EVERY = pytest.mark.parametrize("symbol", SYMBOLS.values(), ids=SYMBOLS)
WIRED = [symbol for symbol in SYMBOLS.values() if symbol.standard == "iec-60617"]
ELECTRICAL = pytest.mark.parametrize("symbol", WIRED, ids=lambda symbol: symbol.name)
POLES = [symbol for symbol in WIRED if re.search(r"_[1234]$", symbol.name) and symbol.name != "capacitor_3"]
GRID = 10.0
STEPS = 24
HALF_LINE = 0.8
HANGS = 2.0
"""An automatic drain's triangle hangs this far below the corner that it drains. [px]"""


def points(mark):
    """Points along a mark's lines, close enough to tell what they touch."""
    pen = DecomposingRecordingPen({})
    parse_path(mark["d"], pen)
    found, at, start = [], None, None
    for step, places in pen.value:
        if step == "moveTo":
            at = start = places[0]
            found.append(at)
            continue
        if step in ("closePath", "endPath"):
            places, step = ((start,), "lineTo") if step == "closePath" else ((at,), "lineTo")
        found += [curve((at, *places), n / STEPS) for n in range(STEPS + 1)]
        at = places[-1]
    return found


def curve(places, share):
    """A point on a line or curve through its handles, by parting them again and again."""
    while len(places) > 1:
        places = [(a + share * (c - a), b + share * (d - b))
                  for (a, b), (c, d) in pairwise(places)]  # fmt: skip
    return places[0]


def bounds(mark):
    if "text" in mark:
        wide = measured(mark["text"], mark.get("size", 11))
        size = mark.get("size", 11)
        return mark["x"] - wide / 2, mark["y"] - 0.75 * size, mark["x"] + wide / 2, mark["y"]
    pen = BoundsPen(None)
    parse_path(mark["d"], pen)
    return pen.bounds


@EVERY
def test_the_middle_of_every_line_and_every_letter_lies_in_the_box(symbol):
    left, top, right, bottom = symbol.box
    for mark in symbol.marks:
        a, b, c, d = bounds(mark)
        assert a >= left - 0.05, mark
        assert b >= top - 0.05, mark
        assert c <= right + 0.05, mark
        assert d <= bottom + 0.05, mark


@EVERY
def test_a_line_that_ends_at_a_terminal_meets_ink(symbol):
    ink = [point for mark in symbol.marks if "d" in mark for point in points(mark)]
    for name, (x, y) in symbol.terminals.items():
        gap = min(((x - u) ** 2 + (y - v) ** 2) ** 0.5 for u, v in ink)
        assert gap <= (HALF_LINE if symbol in WIRED else HANGS), (name, gap)


@EVERY
def test_terminals_stand_apart_in_the_box(symbol):
    left, top, right, bottom = symbol.box
    places = list(symbol.terminals.values())
    assert len(set(places)) == len(places)
    assert all(left <= x <= right and top <= y <= bottom for x, y in places)


@ELECTRICAL
def test_terminals_of_wiring_stand_on_the_grid_and_on_an_edge(symbol):
    left, top, right, bottom = symbol.box
    for x, y in symbol.terminals.values():
        assert x % GRID == 0.0
        assert y % GRID == 0.0
        assert x in (left, right) or y in (top, bottom)


@pytest.mark.parametrize("symbol", POLES, ids=lambda symbol: symbol.name)
def test_terminals_are_upper_and_lower_pole_by_pole(symbol):
    poles = int(symbol.name[-1])
    assert list(symbol.terminals) == [str(n + 1) for n in range(2 * poles)]
    for n in range(poles):
        upper, lower = symbol.terminals[str(2 * n + 1)], symbol.terminals[str(2 * n + 2)]
        assert (upper, lower) == ((40.0 * n, -30.0), (40.0 * n, 30.0))


def test_make_contacts_stand_open_and_break_contacts_closed():
    """Without power: the arm of a make contact ends clear of the fixed side, that of a break contact on it."""
    kind = {"make": False, "break": True, "stop": True}
    contacts = [(symbol, kind[word]) for symbol in WIRED for word in kind if word in symbol.name.split("_")]
    contacts += [(SYMBOLS[name], False) for name in ("breaker_1", "contactor_2", "disconnect_3", "isolator_3")]
    assert len(contacts) > 14
    for symbol, closed in contacts:
        fixed, arm = (points(mark) for mark in symbol.marks[:2])
        gap = min(((a - c) ** 2 + (b - d) ** 2) ** 0.5 for a, b in fixed for c, d in arm)
        assert (gap < 1.0) == closed, (symbol.name, gap)


@EVERY
def test_number_and_standard(symbol):
    assert symbol.label
    assert symbol.standard in all_sources()
    assert symbol.how in ("read", "second-hand", "memory")
    if symbol.standard == "iec-60617":
        assert re.match(r"\d\d-\d\d", symbol.number), "a number of the standard"
    elif not symbol.number:
        assert "numbers are left open" in all_sources()[symbol.standard].note


@EVERY
def test_its_shapes_are_plain_svg(symbol):
    for missing in (False, True):
        root = ET.fromstring(f"<g>{symbol.svg(missing=missing)}</g>")
        assert {mark.tag for mark in root} <= {"path", "text"}
        lines = [mark for mark in root if mark.tag == "path" and mark.get("fill") == "none"]
        assert not missing or all(mark.get("stroke-dasharray") for mark in lines)
        assert all("currentColor" in (mark.get("stroke"), mark.get("fill")) for mark in root)


def test_every_symbol_that_circuits_name_is_there():
    words = set(re.findall(r"[a-z]+(?:_[a-z0-9]+)*", circuit.__doc__))
    named = {symbol.name for symbol in WIRED}
    unnamed = named - words - {"breaker_1"}
    assert not unnamed, "symbols that the circuits' description does not know"


def test_the_page_of_symbols_is_as_it_ought_to_be():
    for name, text in make_symbols.rendered().items():
        assert (ROOT / "docs" / name).read_text(encoding="utf-8") == text, "run: python docs/make_symbols.py"


def test_the_page_shows_every_symbol():
    page = make_symbols.rendered()["symbols.md"]
    assert [name for name in SYMBOLS if f"| `{name}` |" not in page] == []
    shown = {use for group in make_symbols.GROUPS for use in
             re.findall(r'data-symbol="(\w+)"', make_symbols.rendered()[f"img/symbols/{group}.svg"])}  # fmt: skip
    assert shown == set(SYMBOLS)
