"""The JSON of the commands that judge has the keys the reference says, and the tables say the answer first."""

import json
import re
from pathlib import Path

import pytest

from airfettle.cli import run

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/reference/judging_json.md").read_text(encoding="utf-8")
RATING = (ROOT / "docs/reference/rating_json.md").read_text(encoding="utf-8")
EXAMPLES = ("canoe_works", "glass_studio", "cycle_frames")
DYNAMIC = {"units": "units.*"}
SAME_FORM = {
    "windows[].highest": "windows[].lowest", "undecided[].measurements[]": "measurements[]", "after": "before",
    "answers[].after": "answers[].before", "answers[].shift": "answers[].before",
}  # fmt: skip
"""Keys that have the form of others."""


def documented(command):
    """Keys the reference has for a command."""
    section = PAGE.partition(f"\n## {command}\n")[2].partition("\n## ")[0]
    return set(re.findall(r"^\| `([^`]+)` \|", section, re.MULTILINE))


def key_paths(value, path=""):
    """Every key of a JSON value, [] for an item, lists of findings left to their own form."""
    if isinstance(value, list):
        if path not in ("findings", "questions"):
            for item in value:
                yield from key_paths(item, f"{path}[]")
    elif isinstance(value, dict):
        for key, inner in value.items():
            here = DYNAMIC.get(path) or (f"{path}.{key}" if path else key)
            for one, other in SAME_FORM.items():
                here = here.replace(f"{one}.", f"{other}.") if here.startswith(f"{one}.") else here
            yield here
            yield from key_paths(inner, here)


def printed(capsys, command, *arguments):
    """What a command prints as JSON, and its exit code."""
    code = run([command, *arguments, "--json", "--rows", "256"])
    return json.loads(capsys.readouterr().out), code


HEAD = {"schema", "program", "plant", "draw"}


@pytest.mark.parametrize("command", ["findings", "window", "unknowns"])
@pytest.mark.parametrize("plant", EXAMPLES)
def test_every_key_is_documented(command, plant, capsys):
    data, code = printed(capsys, command, str(ROOT / f"examples/{plant}.toml"))
    assert code in (0, 1)
    assert data["schema"] == f"airfettle.{command}.1"
    found = {path for path in key_paths(data) if path.partition(".")[0] not in HEAD}
    assert not sorted(found - documented(command))


@pytest.mark.parametrize("asked", ["delivered_air", "pump_overspeed", "belt_guard_missing"])
def test_every_key_of_an_explanation_is_documented(asked, capsys):
    data, _ = printed(capsys, "explain", str(ROOT / "examples/cycle_frames.toml"), asked)
    found = {path for path in key_paths(data) if path.partition(".")[0] not in HEAD}
    assert not sorted(found - documented("explain"))


def test_every_key_of_a_comparison_is_documented(capsys):
    files = [str(ROOT / f"examples/{name}.toml") for name in ("canoe_works", "cycle_frames")]
    data, _ = printed(capsys, "compare", *files)
    found = {path for path in key_paths(data) if path.partition(".")[0] not in HEAD}
    assert not sorted(found - documented("compare"))
    assert data["answers"]
    assert data["limits"]


def test_findings_have_the_keys_that_were_promised(capsys):
    data, _ = printed(capsys, "findings", str(ROOT / "examples/cycle_frames.toml"))
    promised = {"id", "signal", "state", "probability", "says", "do", "parts", "worst_point", "decided_by", "sources"}
    for finding in data["findings"]:
        assert promised <= set(finding)
        assert set(finding) <= {key.partition(".")[2] for key in re.findall(r"`(findings\[\]\.\w+)`", RATING)}
    rated, _ = printed(capsys, "rate", str(ROOT / "examples/cycle_frames.toml"))
    assert [f["id"] for f in rated["findings"]] == [f["id"] for f in data["findings"]]


@pytest.mark.parametrize(
    ("command", "begins"),
    [("window", "Run it between"), ("unknowns", "Air delivered"), ("findings", ""), ("sheaves", "")],
)
def test_the_answer_is_said_first(command, begins, capsys):
    assert run([command, str(ROOT / "examples/canoe_works.toml"), "--rows", "256"]) in (0, 1)
    first = capsys.readouterr().out.strip().splitlines()[0]
    assert first.startswith(begins)
    assert len(first) > 20


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["window", "--certainty", "2"], "0.5 to 0.999"), (["sheaves", "--speed", "850"], "rpm"),
        (["sheaves", "--speed", "unknown"], "850 rpm"), (["unknowns", "--for", "delivered"], "delivered_air"),
        (["unknowns", "--hz", "fast"], "frequency"), (["unknowns", "--for", "dryer_load"], "this plant has"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_one_message(arguments, words, capsys):
    command, *rest = arguments
    assert run([command, str(ROOT / "examples/canoe_works.toml"), *rest, "--rows", "64"]) == 2
    assert words in capsys.readouterr().err


def test_no_option_hides_a_danger(capsys):
    file = str(ROOT / "examples/cycle_frames.toml")
    assert run(["findings", file, "--rows", "64"]) == 1
    every = capsys.readouterr().out
    assert "DANGER" in every
    assert run(["rate", file, "--rows", "64"]) == 1
    both = capsys.readouterr()
    assert "DANGER" in both.out
    assert "DANGER" in both.err


def test_what_is_in_order_is_no_danger(capsys):
    file = str(ROOT / "examples/glass_studio.toml")
    for arguments in (
        ["findings", file, "--all"],
        ["explain", file, "delivered_air"],
        ["findings", file, "--all", "--json"],
    ):
        assert run([*arguments, "--rows", "64"]) == 0
        assert "DANGER" not in capsys.readouterr().err
