"""The pipe in the plant file: a ring in few lines, and one clear error for everything that does not hang together."""

import numpy as np
import pytest

from airfettle.errors import (
    EntriesDisagree,
    MissingEntry,
    MissingUnit,
    OutOfBounds,
    UnknownChoice,
    UnreadableQuantity,
    WrongShape,
)
from airfettle.plant.pipework import read_position
from airfettle.store.plant_file import read_plant
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.pipework.from_plant import has_network, network_of

TOOLS = '[[use]]\nname = "sander"\ntool = "sander"\non = "2 min"\noff = "4 min"\n'
PIPE = '[shop_pipe]\npipe = "copper L 3/4 in"\n'
RUNS = 'runs = ["receiver, 12 ft, A, 20..22 ft, B"]'
DROPS = 'drops = [{ at = "B", tool = "sander" }]'
EIGHT = """\
[shop_pipe]
pipe = "steel 40 3/4 in"
hose = "3/8 in, 25 ft"
runs = ["receiver, 8 ft, A", "A, B, C, D, E, F, G, H, A"]
drops = [
  { at = "A", tool = "a" },
  { at = "B", tool = "b" },
  { at = "C", tool = "c" },
  { at = "D", tool = "d" },
  { at = "E", tool = "e" },
  { at = "F", tool = "f" },
  { at = "G", tool = "g" },
  { at = "H", tool = "h" },
]
[shop_pipe.places]
A = "0, 0, 9 ft"
B = "20, 0, 9 ft"
C = "40, 0, 9 ft"
D = "40, 20, 9 ft"
E = "40, 40, 9 ft"
F = "20, 40, 9 ft"
G = "0, 40, 9 ft"
H = "0, 20, 9 ft"
"""


def plant(tmp_path, *lines, tools=TOOLS, pipe=PIPE):
    file = tmp_path / "shop.toml"
    file.write_text(tools + pipe + "\n".join(lines) + "\n", encoding="utf-8")
    return read_plant(file)


def network(tmp_path, *lines, rows=8, **more):
    drawn = draw(plant(tmp_path, *lines, **more), rows=rows)
    return network_of(drawn, complete(drawn))


def test_a_ring_with_eight_drops_is_short_to_type(tmp_path):
    assert len(EIGHT.splitlines()) <= 25
    tools = "".join(f'[[use]]\nname = "{name}"\ntool = "sander"\n' for name in "abcdefgh")
    found = network(tmp_path, EIGHT, tools=tools, pipe="")
    assert found.layout.loops == 1
    assert len(found.outlets) == 8
    assert found.drops == tuple("abcdefgh")
    ring = [k for k, line in enumerate(found.lines) if line.run == "A to A"]
    np.testing.assert_allclose(found.length[0, ring], 20 * 0.3048)
    assert [bool(found.lines[k].fittings) for k in ring] == [False, False, True, False, True, False, True, False]


def test_lengths_in_a_way_are_drawn_as_ranges(tmp_path):
    found = network(tmp_path, RUNS, DROPS, rows=256)
    assert found.nodes == ("receiver", "A", "B", "sander")
    assert 20 * 0.3048 <= found.length[:, 1].min() < found.length[:, 1].max() <= 22 * 0.3048
    assert has_network(plant(tmp_path, RUNS, DROPS))
    assert not has_network(plant(tmp_path))


def test_what_the_shop_says_for_all_is_handed_down(tmp_path):
    more = 'coupler = "3/8 in"\nhose = "1/2 in, 30 ft"'
    two = 'drops = [{ at = "A", tool = "sander" }, { name = "spare", at = "B", coupler = "7.2 mm", hose = "none" }]'
    pipe = plant(tmp_path, more, RUNS, two).shop_pipe
    assert [(d.name, d.coupler, d.hose) for d in pipe.drops] == [
        ("sander", "3/8 in", "yes"),
        ("spare", "7.2 mm", "none"),
    ]
    assert pipe.drops[0].hose_length.likely == pytest.approx(30 * 0.3048)
    assert pipe.runs[0].pipe == "copper L 3/4 in"
    own = plant(tmp_path, RUNS, 'drops = [{ at = "B", tool = "sander", pipe = "copper L 1/2 in" }]').shop_pipe
    assert own.drops[0].pipe == "copper L 1/2 in"


def test_tees_follow_from_what_meets(tmp_path):
    """A run that goes on past a drop loses a tee straight through; the drop one to the side."""
    alone = network(tmp_path, 'runs = ["receiver, 12 ft, A, 20 ft, B"]', DROPS)
    branched = network(tmp_path, 'runs = ["receiver, 12 ft, A, 20 ft, B"]',
                       'drops = [{ at = "B", tool = "sander" }, { at = "A", name = "spare" }]')  # fmt: skip
    more = (branched.loss[:2] - alone.loss[:2]) * branched.bore[:2]
    assert more[0] > 0.0
    assert more[0] == pytest.approx(more[1])
    side = network(tmp_path, 'runs = ["receiver, 12 ft, A, 20 ft, B", "A, 5 ft, C"]', DROPS)
    assert side.loss[2] > branched.loss[1] - alone.loss[1]


def test_fittings_that_are_counted_stand_in_place_of_assumed_ones(tmp_path):
    way = 'runs = [{{ way = "receiver, 12 ft, A, 24 ft, B", fittings = "{}" }}]'
    none, six = (network(tmp_path, way.format(text), DROPS) for text in ("none", "6 elbows"))
    added = six.loss[:2] - none.loss[:2]
    assert added[0] > 0.0
    assert added[1] == pytest.approx(2.0 * added[0])


def test_a_filter_in_the_pipe_leaves_the_air_path(tmp_path):
    filters = '[[filter]]\nname = "booth"\npurpose = "coalescing"\n[[filter]]\nname = "main"\n'
    through = 'drops = [{ at = "B", tool = "sander", through = ["booth"] }]'
    found = plant(tmp_path, RUNS, through, tools=TOOLS + filters)
    assert found.stations() == ("filter.main",)
    drawn = draw(found, rows=8)
    net = network_of(drawn, complete(drawn))
    assert np.all(net.extra[:, -1] > 0.0)
    assert np.all(net.extra[:, :-1] == 0.0)


def test_a_tool_named_on_more_drops_than_there_are_of_it_has_a_place_at_each(tmp_path):
    both = 'drops = [{ name = "one", at = "A", tool = "sander" }, { name = "two", at = "B", tool = "sander" }]'
    found = network(tmp_path, RUNS, both)
    assert [o.name for o in found.outlets] == ["sander at one", "sander at two"]
    many = network(tmp_path, RUNS, DROPS, tools=TOOLS.replace('tool = "sander"', 'tool = "sander"\ncount = 3'))
    assert [o.name for o in many.outlets] == ["sander 1", "sander 2", "sander 3"]


def test_its_loss_on_the_way_follows_from_the_pipe(tmp_path):
    assert "use.sander.lost_on_the_way" not in draw(plant(tmp_path, RUNS, DROPS), rows=8).spans
    with pytest.raises(EntriesDisagree, match="take this entry out"):
        plant(tmp_path, RUNS, DROPS, tools=TOOLS + 'lost_on_the_way = "5 psi"\n')


PLACES = 'places = { receiver = "0, 0, 3 ft", A = "0, 0, 3 ft", B = "4, 0, 3 ft" }'
WRONG = [
    ("a drop where no pipe is", (RUNS, 'drops = [{ at = "Z", tool = "sander" }]'), UnknownChoice, "drops.1.at",
     "no pipe"),
    ("a run apart", ('runs = ["receiver, 12 ft, A", "C, 10 ft, B"]', DROPS), EntriesDisagree, "runs.2",
     "joined to nothing"),
    ("a loop without pipe", ('runs = ["receiver, 9 ft, A, 3 ft, A, 4 ft, B"]', DROPS), EntriesDisagree, "runs.1",
     "straight back"),
    ("no length", ('runs = ["receiver, 0 ft, A, 3 ft, B"]', DROPS), OutOfBounds, "length", "0 ft"),
    ("one point", ('runs = ["receiver, A, B"]', DROPS, PLACES), EntriesDisagree, "runs.1", "same point"),
    ("no position", ('runs = ["receiver, A, Q"]', DROPS, PLACES.replace('A = "0, 0', 'A = "0, 1')), MissingEntry,
     "runs.1",
     "neither"),
    ("a size not made", ('runs = [{ way = "receiver, 9 ft, B", pipe = "copper L 7/16 in" }]', DROPS), UnknownChoice,
     "runs.1.pipe", "3/4 in"),
    ("a material not known", ('runs = [{ way = "receiver, 9 ft, B", pipe = "bronze 3/4 in" }]', DROPS), UnknownChoice,
     "runs.1.pipe", "copper L"),
    ("a tool on no drop", (RUNS, 'drops = [{ at = "B" }]'), EntriesDisagree, "use", "on no drop"),
    ("a tool that is not there", (RUNS, 'drops = [{ at = "B", tools = ["sandr", "sander"] }]'), UnknownChoice,
     "drops.1.tools", "sandr"),
    ("a length without unit", ('runs = ["receiver, 12, A, 20 ft, B"]', DROPS), MissingUnit, "runs.1.way", "12"),
    ("a position", (RUNS, DROPS, 'places = { B = "12 by 30" }'), UnreadableQuantity, "places.B", "along"),
    ("a hose", (RUNS, 'drops = [{ at = "B", tool = "sander", hose = "long" }]'), UnreadableQuantity, "drops.1.hose",
     "bore"),
    ("a hose told twice", (RUNS, 'drops = [{ at = "B", tool = "sander", hose = "3/8 in, 25 ft", '
                                  'hose_bore = "1/4 in" }]'),
     EntriesDisagree, "drops.1.hose_bore", "once"),
    ("fittings", ('runs = [{ way = "receiver, 9 ft, B", fittings = "4 elbos" }]', DROPS), UnknownChoice,
     "runs.1.fittings",
     "elbow"),
    ("two runs of one name", ('runs = ["receiver, 12 ft, B", "receiver, 3 ft, B"]', DROPS), EntriesDisagree,
     "runs.1.name",
     "name of its own"),
    ("an unknown length", ('runs = ["receiver, unknown, B"]', DROPS), MissingEntry, "runs.1.way", "widest range"),
    ("no runs", ("", DROPS), MissingEntry, "drops", "drops without runs"),
    ("no air", ('runs = ["tank, 12 ft, B"]', DROPS), UnknownChoice, "runs", "receiver"),
    ("a filter that is not there", (RUNS, 'drops = [{ at = "B", tool = "sander", through = ["booth"] }]'),
     UnknownChoice,
     "drops.1.through", "booth"),
    ("a drain nowhere", (RUNS, DROPS, 'drains = ["Q"]'), UnknownChoice, "drains", "Q"),
    ("an empty way", ('runs = ["receiver, , B"]', DROPS), WrongShape, "runs.1.way", "two commas"),
    ("one place", ('runs = ["receiver"]', DROPS), WrongShape, "runs.1.way", "two places"),
    ("a piece twice", ('runs = ["receiver, 3 ft, B, 4 ft, receiver, 3 ft, B"]', DROPS), EntriesDisagree, "runs.1.way",
     "twice"),
    ("a drop in the air", (RUNS, 'drops = [{ tool = "sander" }]'), MissingEntry, "drops.1.at", "without at"),
    ("no pipe told", ('runs = [{ way = "receiver, 9 ft, B" }]', DROPS), MissingEntry, "runs.1.pipe", "copper L"),
    ("leak and test", (RUNS, DROPS, 'leak = "1 scfm"', 'leak_test = { start = "8 bar", end = "7 bar", time = "9 h" }'),
     EntriesDisagree, "leak_test", "one of them"),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "error", "where", "says"), [w[1:] for w in WRONG], ids=[w[0] for w in WRONG])
def test_one_clear_error(tmp_path, lines, error, where, says):
    pipe = "[shop_pipe]\n" if where == "runs.1.pipe" and error is MissingEntry else PIPE
    with pytest.raises(error) as told:
        plant(tmp_path, *lines, pipe=pipe)
    assert where in told.value.where
    assert "line " in told.value.where
    assert says in str(told.value)


@pytest.mark.parametrize(("text", "wanted"), [
    ("12, 30, 9 ft", (3.6576, 9.144, 2.7432)), ("4 m, 9 m", (4.0, 9.0, None)), ("-2, 0, 3 m", (-2.0, 0.0, 3.0)),
    ("1-1/2, 2, 8 ft", (0.4572, 0.6096, 2.4384)),
])  # fmt: skip
def test_positions(text, wanted):
    found = read_position(text)
    for got, want in zip(found, wanted, strict=True):
        assert np.isnan(got) if want is None else got == pytest.approx(want)


@pytest.mark.parametrize("text", ["1, 2, 3, 4 m", "5 m", "a, b m", "1, 2", "1 m, 2 s"])
def test_positions_that_cannot_be_read(text):
    with pytest.raises(UnreadableQuantity, match="corner of the shop"):
        read_position(text)


def test_the_weakest_pipe_is_named(tmp_path):
    own = 'runs = ["receiver, 9 ft, A", { way = "A, 9 ft, B", pipe = "PEX 3/4 in" }]'
    assert plant(tmp_path, own, DROPS).shop_pipe.weakest == "PEX"
    assert plant(tmp_path, RUNS, DROPS).shop_pipe.weakest == "copper"
    assert plant(tmp_path, RUNS, DROPS, 'material = "steel"').shop_pipe.weakest == "steel"


def test_pipe_that_cannot_be_read_is_told_once(tmp_path):
    with pytest.raises(UnknownChoice) as told:
        plant(tmp_path, RUNS, DROPS, pipe='[shop_pipe]\npipe = "copper L 7/16 in"\n')
    assert "more to put right" not in str(told.value) or "1 more" in str(told.value)


def test_a_place_nearly_right_is_offered(tmp_path):
    with pytest.raises(UnknownChoice) as told:
        plant(tmp_path, 'runs = ["receiver, 9 ft, bench wall"]', 'drops = [{ at = "Bench wall", tool = "sander" }]')
    assert told.value.instead == "bench wall"
