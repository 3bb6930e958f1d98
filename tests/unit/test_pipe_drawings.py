"""The drawing of the shop's pipe: words apart and on the sheet, hostile names inert, the answer first."""

import re
import xml.etree.ElementTree as ET
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from letters import text_room

from airfettle.drawings.charts.style import BLUEPRINT, PAPER
from airfettle.drawings.pipes.map import has_positions, map_of
from airfettle.drawings.pipes.plan import DESK, NARROWEST, PHONE, pipe_drawing
from airfettle.drawings.pipes.scale import nice_length
from airfettle.drawings.pipes.tree import tree_of
from airfettle.drawings.pipes.words import (
    CAUTION,
    direction,
    drop_words,
    headline,
    is_short,
    likely,
    line_of_drop,
    low_points,
    may_be_short,
    spread,
    units_of,
    worst_drop,
)
from airfettle.drawings.space import Space, balanced, cleaned, crosses, cut, folded, overlap, text_width
from airfettle.plant.whole import OwnersPlant
from airfettle.studies.draw import draw
from airfettle.studies.pipework.shop import ShopRun, shop_run

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = 'pane <script>alert(1)</script> & "co" \u05d0\u05d1\u202e \U0001fa81 \u3042 xx'
"""60 characters with markup, another direction, a picture and an override of direction."""
HEAD = {"plant": {"name": "Canoe works", "units": "US"}, "control": {"cut_in": "100 psi", "cut_out": "130 psi"}}
PIPE = {"pipe": "copper L 3/4 in", "hose": "3/8 in, 25 ft", "coupler": "1/4 in common"}


def use(name, air="10 cfm at 90 psi", **more):
    return {"name": name, "tool": "sander", "air": air, "on": "2 min", "off": "4 min", **more}


def ring(drops, *, placed=True, prefix="", side=30.0, air="10 cfm at 90 psi", pipe="copper L 1/2 in"):
    """A receiver, a riser, and a square ring with drops all along it."""
    names = [f"{prefix}P{n}" for n in range(drops)]
    places = {"receiver": "0, 0, 3 ft", "A": "0, 0, 10 ft"}
    for n, name in enumerate(names):
        edge, along = divmod(4.0 * (n + 1) / (drops + 1), 1.0)
        x, y = [(along, 0.0), (1.0, along), (1.0 - along, 1.0), (0.0, 1.0 - along)][int(edge)]
        places[name] = f"{side * x:.2f}, {side * y:.2f}, 10 ft"
    between = ", " if placed else ", 9 ft, "
    shop = {
        "runs": [between.join(("receiver", "A")), {"way": between.join(("A", *names, "A")), "pipe": pipe}],
        "drops": [{"at": name, "tool": f"{prefix}bench {n}"} for n, name in enumerate(names)],
    }
    return HEAD | {
        "use": [use(f"{prefix}bench {n}", air) for n in range(drops)],
        "shop_pipe": PIPE | shop | ({"places": places} if placed else {}),
    }


def two_loops(*, placed=True):
    """Two loops, a branch into the yard that lies lower, a drain, a tool on several drops, one that is off."""
    feet = {
        "receiver": (0, 5, 3), "A": (0, 5, 10), "B": (0, 25, 10), "C": (30, 25, 10), "D": (30, 5, 10),
        "E": (60, 25, 10), "F": (60, 5, 10), "G": (75, 5, 10), "H": (75, -12, 4),
    }  # fmt: skip
    ways = ("receiver A", "A B C D A", "C E F D", "F G H")
    between = ", " if placed else ", 15 ft, "
    shop = {
        "drains": ["F"],
        "runs": [{"way": between.join(way.split()), "pipe": "copper L 1/2 in"} for way in ways],
        "drops": [
            {"at": "B", "tool": "long-board sander", "name": "hull bench"},
            {"at": "E", "tools": ["long-board sander", "blow gun"], "name": "trim bench", "drain": "yes"},
            {"at": "H", "tool": "die grinder", "name": "yard", "coupler": "none"},
            {"at": "G", "tools": ["blow gun"], "name": "sweep"},
        ],
    }
    places = {name: ", ".join(map(str, at)) + " ft" for name, at in feet.items()}
    uses = [
        use("long-board sander", count=2),
        use("blow gun", "20 cfm at 90 psi"),
        use("die grinder", "25 cfm at 90 psi"),
    ]
    return HEAD | {"use": uses, "shop_pipe": PIPE | shop | ({"places": places} if placed else {})}


def two_sources():
    shop = {
        "air_from": ["tank 1", "tank 2"],
        "places": {"tank 1": "0, 0, 1 m", "tank 2": "20, 8, 1 m", "B": "8, 0, 3 m", "C": "8, 8, 3 m"},
        "runs": ["tank 1, B, C, tank 2"],
        "drops": [{"at": "B", "tool": "sander"}, {"at": "C", "tool": "gun"}],
    }
    plant = {"name": "Glass studio", "units": "SI"}
    return HEAD | {"plant": plant, "use": [use("sander"), use("gun")], "shop_pipe": PIPE | shop}


MANY = {"air": "3 cfm at 90 psi", "pipe": "steel 40 1 in"}
PLANTS = {
    "one": lambda: ring(1),
    "one, no positions": lambda: ring(1, placed=False),
    "ring of 8": lambda: ring(8),
    "ring of 8, no positions": lambda: ring(8, placed=False),
    "ring of 60": lambda: ring(60, side=90.0, **MANY),
    "ring of 60, no positions": lambda: ring(60, placed=False, **MANY),
    "two loops": two_loops,
    "two loops, no positions": lambda: two_loops(placed=False),
    "two sources": two_sources,
    "hostile": lambda: ring(3, prefix=HOSTILE),
    "hostile, no positions": lambda: ring(3, placed=False, prefix=HOSTILE),
}
EVERY = pytest.mark.parametrize("name", PLANTS)
WIDTHS = pytest.mark.parametrize("width", [DESK, PHONE, 700])


@cache
def run_of(name, running=None) -> ShopRun:
    plant = OwnersPlant.model_validate(PLANTS[name]())
    return shop_run(draw(plant, rows=64), running=running, shares=False)


@cache
def picture(name, width=DESK, running=None):
    return pipe_drawing(run_of(name, running), width=width)


def texts(svg):
    """Every text with its room, by the widths of the typeface that ships. [px]"""
    marks = list(ET.fromstring(svg).iter(SVG + "text"))
    assert all((mark.get("transform") or "rotate(-90 ").startswith("rotate(-90 ") for mark in marks)
    return [(mark.text, text_room(mark), float(mark.get("font-size"))) for mark in marks]


def said(svg):
    return " ".join(" ".join(text for text, _, _ in texts(svg)).split())


@EVERY
@WIDTHS
def test_words_stand_apart_and_on_the_sheet(name, width):
    svg = picture(name, width)
    height = float(re.search(r'height="([\d.]+)"', svg)[1])
    placed = texts(svg)
    assert len(placed) > 10
    for text, box, _ in placed:
        assert min(box[:2]) >= 0.0, text
        assert box[2] <= width, text
        assert box[3] <= height, text
    for (one, a, _), (other, b, _) in combinations(placed, 2):
        assert not overlap(a, b), (one, other)


@EVERY
def test_type_on_a_phone_is_large_enough(name):
    assert min(size for _, _, size in texts(picture(name, PHONE))) >= 11.0


@EVERY
@WIDTHS
def test_every_running_tool_and_its_pressure_are_said(name, width):
    run = run_of(name)
    words = said(picture(name, width)).replace(" ", "")
    names = [use.name for use in run.network.uses]
    running = [(p, names[o.use]) for p, o in zip(run.places, run.network.outlets, strict=True) if p.runs]
    assert running
    for place, tool in running:
        pressure = spread(place.gauge, kind="pressure", units=units_of(run))
        assert f"{cleaned(tool)}{pressure}".replace(" ", "") in words.replace("at" + cleaned(place.drop), "")


@EVERY
def test_the_same_bytes_twice(name):
    assert picture(name) == pipe_drawing(run_of(name))
    assert picture(name) == pipe_drawing(shop_run(run_of(name).draw, shares=False))


@EVERY
@WIDTHS
def test_names_are_inert_and_all_of_it_stands_alone(name, width):
    svg = picture(name, width)
    root = ET.fromstring(svg)
    assert {mark.tag.removeprefix(SVG) for mark in root.iter()} == {
        "svg",
        "title",
        "desc",
        "style",
        "rect",
        "path",
        "text",
    }
    given = {key for mark in root.iter() for key in mark.attrib}
    assert not any(key.startswith("on") or "href" in key for key in given)
    assert "url(" not in svg
    assert "@import" not in svg
    assert "\u202e" not in svg


def test_hostile_names_are_all_there():
    assert "<script>alert(1)</script>" in said(picture("hostile")).replace(" ", "")
    assert len(HOSTILE) in range(45, 61)


@EVERY
def test_title_description_and_both_sheets(name):
    svg = picture(name)
    root = ET.fromstring(svg)
    assert [mark.tag.removeprefix(SVG) for mark in root][:3] == ["title", "desc", "style"]
    assert run_of(name).draw.plant.about.name in root[0].text
    assert cleaned(headline(run_of(name))) in root[1].text
    rules = root[2].text
    for ink in ("paper", "ink", "pale", "rule", "red"):
        assert rules.count(f"--{ink}:{getattr(PAPER, ink)}") == 2  # on screen, and always in print
        assert rules.count(f"--{ink}:{getattr(BLUEPRINT, ink)}") == 1
        assert f"var(--{ink})" in rules
    assert rules.index("prefers-color-scheme:dark") < rules.index(BLUEPRINT.paper) < rules.index("@media print")


@EVERY
def test_title_block_says_what_is_shown_and_the_caution(name):
    run = run_of(name)
    words = said(picture(name))
    assert CAUTION in words
    assert f"{len(run.draw.assumed_at_rest)} of {len(run.draw.spans_at_rest)} entries are assumed" in words
    assert ("above, to scale; " in words) == has_positions(run.network)
    assert ("not to scale; " in words) == (not has_positions(run.network))


@EVERY
@WIDTHS
def test_worst_tool_is_framed_and_the_greatest_loss_stands_out(name, width):
    svg = picture(name, width)
    assert svg.count('class="s-red f-paper" fill="#fbf8ef" stroke="#b3261e" stroke-width="1.8"') == 1
    assert svg.count('class="s-red f-red" fill="#b3261e" stroke="#b3261e" stroke-width="1.2"') == 1
    assert svg.count("most lost in") == 1


def test_a_tool_that_is_short_says_so_first():
    run = run_of("two loops")
    worst = run.places[run.worst]
    assert is_short(worst)
    lacking = likely(-worst.margin, kind="pressure_difference", units="US")
    assert headline(run).startswith(f"{worst.name} is short by {lacking}")
    assert ("short", f"short by {lacking}") in [(w.style, w.text) for w in drop_words(run, worst_drop(run))]
    assert said(picture("two loops")).startswith(headline(run).split(".")[0])


def test_a_tool_with_enough_is_not_called_short():
    run = run_of("one")
    assert not is_short(run.places[0])
    assert not may_be_short(run.places[0])
    assert headline(run).startswith("Every tool that runs has what it needs; bench 0 has least to spare")
    assert "short" not in said(picture("one"))


@pytest.mark.parametrize("name", ["two loops", "two loops, no positions", "ring of 8"])
@WIDTHS
def test_nothing_runs(name, width):
    svg = picture(name, width, running=())
    words = said(svg)
    assert words.startswith("No tool runs")
    assert "no tool running" in words
    assert "Lost on the way" not in words
    assert "ft/min" not in words
    assert 'stroke-width="1.8" fill' not in svg
    for use_ in run_of(name, ()).network.uses:
        assert f"({use_.name})off" in words.replace(" ", "").replace(use_.name.replace(" ", ""), use_.name)


def test_tools_that_do_not_run_are_in_parentheses_and_dashed():
    run = run_of("two loops", ("die grinder",))
    styles = [w for n in range(4) for w in drop_words(run, n)]
    assert sum(w.style == "off" and w.text.startswith("(") for w in styles) == sum(not p.runs for p in run.places) > 0
    assert 'stroke-dasharray="4 3"' in picture("two loops", DESK, ("die grinder",))
    assert 'stroke-dasharray="4 3"' not in picture("one")


def test_arrows_only_where_air_flows():
    run = run_of("two loops")
    assert any(direction(line) == 1 for line in run.lines)
    assert all(direction(line) == 0 for line in run_of("two loops", ()).lines)
    filled = 'class="s-paper f-ink"'
    assert picture("two loops").count(filled) >= sum(bool(direction(li)) for li in run.lines if li.run) - 1  # a riser
    assert filled not in picture("two loops", DESK, ())


def test_low_points_and_drains():
    run = run_of("two loops")
    assert [run.network.nodes[n] for n in low_points(run)] == ["H"]
    words = said(picture("two loops"))
    assert "a low point without a drain" in words
    assert "Square on its corner: a drain." in words
    assert 'stroke-dasharray="2.5 2"' in picture("two loops")
    assert "low point" not in said(picture("ring of 8"))
    assert "drain" not in said(picture("ring of 8"))


def test_plan_is_to_scale_and_north_is_up():
    run = run_of("two loops")
    plan = map_of(run, area=(0.0, 0.0, 1000.0, 0.0), margin=(100.0, 80.0), tick=20.0, tallest=500.0)
    at = {name: plan.points[plan.point[n]] for n, name in enumerate(run.network.nodes[: len(plan.point)])}
    assert at["receiver"] == at["A"]
    assert len(plan.risers) == 1
    foot = 0.3048 * plan.scale
    assert at["D"][0] - at["A"][0] == pytest.approx(30 * foot)
    assert at["A"][1] - at["B"][1] == pytest.approx(20 * foot)
    assert at["G"][0] - at["A"][0] == pytest.approx(800.0)
    assert "riser, 3 ft to 10 ft up" in said(picture("two loops"))
    assert "4 ft up" in said(picture("two loops"))


def test_scale_bar_is_as_long_as_it_says():
    svg = picture("ring of 8")
    long = float(re.search(r"([\d.]+) ft, seen from above", said(svg))[1])
    left, right = map(
        float, re.search(r'd="M([\d.]+) [\d.]+ H([\d.]+) V[\d.]+ H[\d.]+ Z" class="s-ink f-paper"', svg).groups()
    )
    run = run_of("ring of 8")
    plan = map_of(
        run, area=(28.0, 0.0, DESK - 28.0, 0.0), margin=(236.0, 110.0), tick=24.0, tallest=0.5 * (DESK - 56.0)
    )
    assert right - left == pytest.approx(long * 0.3048 * plan.scale, abs=0.2)


@pytest.mark.parametrize(("most", "nice"), [(1.0, 1.0), (1.99, 1.0), (4.9, 2.0), (73.0, 50.0), (0.3, 0.2)])
def test_nice_lengths(most, nice):
    assert nice_length(most) == pytest.approx(nice)


@EVERY
def test_tree_holds_every_place_once_and_loops_are_what_is_left(name):
    run = run_of(name)
    tree = tree_of(run)
    places = len(run.network.nodes) - len(run.network.drops)
    assert sorted(tree.order) == list(range(places))
    pipes = sum(bool(line.run) for line in run.network.lines)
    roots = sum(bar.above < 0 for bar in tree.bars.values())
    assert len(tree.chords) == pipes - (places - roots)


def test_some_positions_are_not_enough_for_a_plan():
    told = ring(8, placed=False)
    told["shop_pipe"]["places"] = {"receiver": "0, 0, 3 ft", "A": "0, 0, 10 ft"}
    run = shop_run(draw(OwnersPlant.model_validate(told), rows=16), shares=False)
    assert not has_positions(run.network)
    assert "line diagram, not to scale" in said(pipe_drawing(run))


def test_drops_of_the_drawing_are_those_of_the_network():
    run = run_of("two loops")
    assert [run.lines[line_of_drop(run, n)].name for n in range(4)] == list(run.network.drops)


def test_a_very_narrow_sheet_gets_the_least_width():
    assert f'width="{NARROWEST}"' in pipe_drawing(run_of("one"), width=40)


def test_two_pipes_between_the_same_places_lie_side_by_side():
    told = ring(1)
    told["shop_pipe"]["runs"] = ["receiver, A, P0", {"way": "A, P0", "name": "second"}]
    run = shop_run(draw(OwnersPlant.model_validate(told), rows=16), shares=False)
    plan = map_of(run, area=(0.0, 0.0, 1000.0, 0.0), margin=(100.0, 80.0), tick=20.0, tallest=500.0)
    (a, b) = plan.stretches
    assert abs(a.start[0] - b.start[0]) + abs(a.start[1] - b.start[1]) > 8.0


@pytest.mark.parametrize("text", ["a b c", "x" * 90, HOSTILE, "", "one twothreefourfivesix seven eight"])
@pytest.mark.parametrize("width", [40.0, 100.0, 400.0])
def test_folded_lines_fit_and_lose_nothing(text, width):
    for fold in (folded, balanced):
        lines = fold(text, width, 12.0)
        assert all(text_width(line, 12.0) <= width for line in lines)
        assert "".join(lines).replace(" ", "") == cleaned(text).replace(" ", "")
    assert len(balanced(text, width, 12.0)) == len(folded(text, width, 12.0))


def test_cut_and_cleaned():
    assert cut("short", 100.0, 12.0) == "short"
    assert cut("a name that is too long", 60.0, 12.0).endswith("…")
    assert text_width(cut("a name that is too long", 60.0, 12.0), 12.0) <= 60.0
    assert cleaned("a\x00b\n c\u202ed\ud800\ufffe") == "a b cd"


def test_space_refuses_what_touches():
    space = Space((0.0, 0.0, 100.0, 100.0))
    space.take((10.0, 10.0, 30.0, 30.0))
    space.lines.append(((50.0, 0.0), (50.0, 100.0), 2.0))
    assert space.free((31.0, 10.0, 45.0, 30.0))
    assert not space.free((29.0, 10.0, 45.0, 30.0))
    assert not space.free((40.0, 40.0, 49.0, 50.0))
    assert space.free((40.0, 40.0, 49.0, 50.0), over_lines=True)
    assert not space.free((90.0, 90.0, 101.0, 99.0))
    assert crosses(((0.0, 0.0), (100.0, 100.0)), (40.0, 45.0, 60.0, 55.0))
    assert not crosses(((0.0, 0.0), (100.0, 100.0)), (60.0, 10.0, 80.0, 40.0))
    found = space.beside((80.0, 50.0), (10.0, 10.0), ahead=0.0, reaches=(5.0,))
    assert found is not None
    assert found[0] == (85.0, 45.0, 95.0, 55.0)
    assert space.beside((80.0, 50.0), (200.0, 10.0), ahead=0.0, reaches=(5.0, 50.0)) is None


def test_likely_numbers_never_vanish():
    wide = np.array([1.0, 300.0, 9000.0])
    assert likely(wide, kind="pressure_difference", units="US") != "0 psi"
    assert likely(np.full(4, 6894.757293168361), kind="pressure_difference", units="US") == "1.000 psi"
