"""The pipe round the shop on the command line, end to end."""

import json
import re
from pathlib import Path

import pytest
from rich.cells import cell_len

from airfettle.cli import run
from airfettle.cli.judging import BAD_INPUT, DANGER, OK

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/reference/pipes_json.md").read_text(encoding="utf-8")
FINE = re.search(r"```toml\n(.*?)```", (ROOT / "docs/howto/pipe_the_shop.md").read_text(encoding="utf-8"), re.DOTALL)[1]
THIN = """
[plant]
name = "Cycle frames"
units = "SI"
[control]
cut_in = "7 bar by gauge"
cut_out = "9 bar by gauge"
[receiver]
volume = "270 L by plate"
[[use]]
name = "finger sander"
tool = "sander"
air = "250..370 L/min ANR at 6 bar"
on = "3 min"
off = "4 min"
count = 2
[[use]]
name = "spray gun"
tool = "spray gun"
air = "200..300 L/min ANR at 4 bar"
on = "5 min"
off = "10 min"
[shop_pipe]
pipe = "copper EN 12 x 1"
hose = "10 mm, 8 m"
coupler = "1/4 in high flow"
runs = [{ name = "main", way = "receiver, 12 m, A, 15 m, B, 20 m, C" }]
drops = [
  { name = "jig", at = "B", tool = "finger sander", drain = "yes" },
  { name = "end", at = "C", tools = ["finger sander", "spray gun"] },
]
"""
BEYOND = FINE.replace('tool = "belt grinder", drain', 'tool = "belt grinder", hose = "3/16 in, 50 ft", drain')
HEAD = {"schema", "program", "plant", "draw"}
NUMBER = re.compile(r"answers\[\]\.(\w+)$")
WIDTHS = (60, 80, 120)


@pytest.fixture(scope="module")
def plant(tmp_path_factory):
    """Files of small plants, by name."""
    folder = tmp_path_factory.mktemp("pipes")
    dangerous = FINE.replace(
        'volume = "80 gal by plate"', 'volume = "80 gal by plate"\nplate_pressure = "100 psi by plate"'
    )
    files = {
        "fine": FINE, "thin": THIN, "beyond": BEYOND, "dangerous": dangerous,
        "no pipe": THIN.partition("[shop_pipe]")[0], "no runs": THIN.partition("runs = ")[0],
        "pvc": THIN.replace("copper EN 12 x 1", "PVC 1/2 in"),
    }  # fmt: skip
    for name, text in files.items():
        (folder / f"{name.replace(' ', '_')}.toml").write_text(text, encoding="utf-8")
    return {name: str(folder / f"{name.replace(' ', '_')}.toml") for name in files}


def said(capsys, *arguments, code=OK):
    """What a command prints, as it stands."""
    assert run([*map(str, arguments), "--rows", "256"]) == code
    return capsys.readouterr().out


def on_one_line(text):
    return " ".join(text.split())


def printed(capsys, *arguments):
    """What a command prints as JSON."""
    return json.loads(said(capsys, *arguments, "--json"))


def refused(capsys, *arguments):
    """The one message of a command that cannot do it."""
    assert run([*map(str, arguments)]) == BAD_INPUT
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


# The report.


def test_a_fine_shop_is_said_to_have_enough(capsys, plant, monkeypatch):
    monkeypatch.setenv("COLUMNS", "160")
    words = on_one_line(said(capsys, "pipes", plant["fine"]))
    enough = r"All 2 tools that can run at once have enough(| in 99.\d % of the draw), receiver at cut-in \(100 psi\): "
    assert re.match(enough, words)
    assert re.search(r"is worst off, [\d.]+ psi where 85 is needed; most on the way is lost in ", words)
    for part in (
        "belt grinder at grinding bench", "frosting cabinet at blast room", "of its time with enough", "its hose",
        "one change", "new pipe", "costs in a year", "USD", "each has a drain", "It leaks", "can kill",
    ):  # fmt: skip
        assert part in words


def test_a_starved_tool_is_said_first_with_what_is_to_blame_and_what_helps(capsys, plant):
    words = on_one_line(said(capsys, "pipes", plant["thin"]))
    first = words.partition(" tool at its inlet")[0]
    assert first.startswith("Starved: finger sander at end gets ")
    assert re.search(r"gets 5\.\d bar where 5\.[67] is needed, short by 0\.[56] bar, too little in 9\d", first)
    assert "most on the way is lost in run main (copper EN 12 x 1)" in first
    assert "One change cures it: run main in copper EN 15 x 1" in first
    assert "no heights are told" in words
    assert "What it leaks is not told" in words


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ["fine", "thin", "beyond"])
@pytest.mark.parametrize("command", [["pipes"], ["pipes", "size"]])
def test_no_line_is_longer_than_the_terminal(width, name, command, capsys, plant, monkeypatch):
    monkeypatch.setenv("COLUMNS", str(width))
    words = said(capsys, *command, plant[name])
    assert max(map(cell_len, words.splitlines())) <= width
    assert "…" not in words
    assert words.count("can kill") == 1


def test_a_tool_asked_for_runs_alone_and_gets_more(capsys, plant):
    alone = printed(capsys, "pipes", plant["thin"], "--running", "jig")
    both = printed(capsys, "pipes", plant["thin"])
    assert [tool["name"] for tool in alone["tools"] if tool["runs"]] == ["finger sander at jig"]
    assert alone["running"]["asked"] == ["jig"]
    assert alone["says"].startswith("With finger sander at jig running, it has enough")
    assert value(alone["tools"][0], "gauge") > value(both["tools"][0], "gauge")
    assert value(alone["tools"][0], "gauge") == pytest.approx(value(both["tools"][0], "alone"), rel=1e-6)


def value(part, name):
    return next(answer["likely"] for answer in part["answers"] if answer["id"] == name)


def test_a_receiver_pressure_asked_for_is_taken(capsys, plant):
    data = printed(capsys, "pipes", plant["thin"], "--pressure", "8.5 bar")
    assert value(data, "receiver_gauge") == pytest.approx(8.5e5)
    assert not data["running"]["at_cut_in"]
    assert "receiver at 8.5 bar" in data["says"]
    assert "at cut-in (" not in data["says"]


def test_the_way_adds_up_to_all_that_is_lost(capsys, plant):
    data = printed(capsys, "pipes", plant["thin"])
    lost = sum(value(part, "lost") for part in data["way"]["parts"])
    assert lost == pytest.approx(value(data, "total_drop"), rel=0.03)  # middles of bands
    assert sum(value(part, "share") for part in data["way"]["parts"]) == pytest.approx(1.0, abs=0.03)
    assert [part["sort"] for part in data["way"]["parts"]] == ["run", "drop", "coupler", "hose"]


def test_table_and_json_say_the_same(capsys, plant, monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")
    for name in ("fine", "thin"):
        words, data = on_one_line(said(capsys, "pipes", plant[name])), printed(capsys, "pipes", plant[name])
        assert words.startswith(data["says"])
        for tool in data["tools"]:
            gauge = next(a["shown"] for a in tool["answers"] if a["id"] == "gauge").rpartition(" ")[0]
            assert gauge in words
        for change in data["changes"]["tried"]:
            assert change["name"] in words


def test_same_seed_same_answer_other_seed_another(capsys, plant):
    first, again, other = (printed(capsys, "pipes", plant["thin"], "--seed", seed) for seed in (1, 1, 2))
    assert first == again
    assert first["answers"] != other["answers"]


def test_a_drawing_is_written(capsys, plant, tmp_path):
    file = tmp_path / "pipe.svg"
    assert run(["pipes", plant["fine"], "--rows", "64", "--svg", str(file)]) == OK
    assert f"Wrote {file}." in capsys.readouterr().err
    drawn = file.read_text(encoding="utf-8")
    assert drawn.startswith("<svg")
    assert "grinding bench" in drawn
    assert {each.name for each in tmp_path.iterdir()} == {"pipe.svg"}


def test_a_danger_is_said_and_ends_with_1(capsys, plant):
    for command in (["pipes"], ["pipes", "size"]):
        assert run([*command, plant["dangerous"], "--rows", "64"]) == DANGER
        assert "DANGER:" in capsys.readouterr().err


# Sizes.


def test_pipe_that_is_too_thin_is_named_with_the_size_to_buy(capsys, plant):
    words = on_one_line(said(capsys, "pipes", "size", plant["thin"]))
    assert words.startswith(
        "Buy copper EN 15 x 1 for run main (47 m) in place of what is there; the rest may stay as it is: "
    )
    data = printed(capsys, "pipes", "size", plant["thin"])
    assert words.startswith(data["says"])
    main = next(part for part in data["parts"] if part["name"] == "main")
    assert main["bore_m"] > main["bore_now_m"]
    assert data["mass_kg"] > data["mass_now_kg"]
    ends = [tool for tool in data["tools"] if tool["name"] == "finger sander at end"]
    assert ends[0]["enough_before"] < 0.5
    assert all(tool["enough_after"] >= data["certainty"] for tool in data["tools"])
    assert "Weight of all pipe" in words
    assert "All sets of sizes were weighed up" in words


def test_a_tool_that_no_pipe_can_help_is_told_what_does(capsys, plant):
    words = on_one_line(said(capsys, "pipes", "size", plant["beyond"]))
    assert words.startswith("Pipe is not to blame: no size gives belt grinder at grinding bench enough.")
    data = printed(capsys, "pipes", "size", plant["beyond"])
    assert [tool["pipe_can_help"] for tool in data["tools"]] == [False, True]
    assert "hose" in data["beyond_pipe"][0]["do"]
    assert data["beyond_pipe"][0]["do"] in words
    assert {change["sort"] for change in data["beyond_pipe"][0]["changes"]} <= {
        "coupler",
        "hose",
        "regulator",
        "treatment",
    }


def test_another_material_and_certainty_can_be_asked_for(capsys, plant):
    data = printed(capsys, "pipes", "size", plant["thin"], "--material", "steel 40", "--certainty", "99%")
    assert data["certainty"] == pytest.approx(0.99)
    assert all(part["enough_with"].startswith("steel 40 ") for part in data["parts"])
    assert data["says"].startswith("Buy steel 40 ")
    assert "the rest may stay" not in data["says"]
    assert printed(capsys, "pipes", "size", plant["thin"], "--certainty", "0.99")["certainty"] == pytest.approx(0.99)


def test_a_size_whose_air_is_too_fast_says_which_is_quiet(capsys, plant):
    data = printed(capsys, "pipes", "size", plant["thin"])
    main = next(part for part in data["parts"] if part["name"] == "main")
    assert main["fastest_air_m_s"]["likely"] > 6.0
    assert main["fastest_air_m_s"]["fast"]
    assert f"Quiet and dry: {main['wide_enough_for_slow_air']} for run main" in on_one_line(
        said(capsys, "pipes", "size", plant["thin"])
    )


# JSON.


def documented(command):
    section = PAGE.partition(f"\n## {command}\n")[2].partition("\n## ")[0]
    return set(re.findall(r"^\| `([^`]+)` \|", section, re.MULTILINE))


def key_paths(found, path=""):
    if isinstance(found, list):
        for item in found:
            yield from key_paths(item, f"{path}[]")
    elif isinstance(found, dict):
        for key, inner in found.items():
            here = f"{path}.{key}" if path else key
            same = NUMBER.search(here)
            yield f"answers[].{same[1]}" if same else here
            if here != "findings":
                yield from key_paths(inner, here)


@pytest.mark.parametrize(("command", "names"), [("pipes", ["fine"]), ("pipes size", ["fine", "beyond"])])
def test_every_key_is_documented_and_every_documented_key_is_there(command, names, capsys, plant):
    found = set()
    for name in names:
        data = printed(capsys, *command.split(), plant[name])
        found |= {path for path in key_paths(data) if path.partition(".")[0] not in HEAD}
    assert data["schema"] == {"pipes": "airfettle.pipes.1", "pipes size": "airfettle.pipe_sizes.1"}[command]
    assert not sorted(found - documented(command))
    assert not sorted(documented(command) - found), "documented, but not in the JSON"


def test_the_example_on_the_page_is_true(capsys, plant):
    example = json.loads(re.search(r"```json\n(.*?)```", PAGE, re.DOTALL)[1])
    assert run(["pipes", plant["fine"], "--json"]) == OK
    data = json.loads(capsys.readouterr().out)
    tool = next(tool for tool in data["tools"] if tool["name"] == example["name"])
    told = example["answers"].pop()
    own = tool["answers"][0]
    assert set(example) == set(tool)
    assert {k: v for k, v in example.items() if k != "answers"} == {k: v for k, v in tool.items() if k != "answers"}
    assert set(told) == set(own)
    for key in told:
        assert told[key] == (pytest.approx(own[key], rel=1e-3) if isinstance(own[key], float) else own[key])


# What cannot be done.


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["pipes", "no pipe"], "a plant without runs and drops of its pipe"),
        (["pipes", "no runs"], "a plant without runs and drops of its pipe"),
        (["pipes", "size", "no pipe"], "a plant without runs and drops of its pipe"),
        (["pipes", "thin", "--running", "lathe"], "wanted: one of: finger sander, spray gun"),
        (["pipes", "thin", "--pressure", "7"], "--pressure"), (["pipes", "thin", "--pressure", "0 bar"], "above that"),
        (["pipes", "thin", "--svg", "pipe.png"], "ends in .svg"),
        (["pipes", "size", "thin", "--material", "gold"], "--material"),
        (["pipes", "size", "thin", "--material", "PVC"], "for compressed air"),
        (["pipes", "size", "thin", "--material", "other plastic"], "whose sizes are not known"),
        (["pipes", "size", "thin", "--certainty", "20%"], "0.5 to 0.999"),
        (["pipes", "size", "thin", "--certainty", "quite"], "--certainty"),
        (["pipes", "size", "thin", "--certainty", "unknown"], "--certainty"),
        (["pipes", "size", "pvc"], "for compressed air"),
        (["pipes"], "FILE"), (["pipes", "thin", "--thick"], "--thick"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_one_message(arguments, words, capsys, plant):
    assert words.lower() in refused(capsys, *(plant.get(each, each) for each in arguments)).lower()


def test_help_shows_both_forms(capsys):
    run(["pipes", "--help"])
    words = on_one_line(capsys.readouterr().out)
    for part in ("airfettle pipes FILE", "airfettle pipes size FILE", "--running", "--svg"):
        assert part in words
    run(["--help"])
    assert "pipes" in capsys.readouterr().out
