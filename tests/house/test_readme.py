"""The README shows the program's true output, and its picture is the one the program draws."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def demo_output():
    done = subprocess.run(
        [sys.executable, "-m", "airfettle", "demo"], cwd=ROOT, capture_output=True, text=True, check=True,
        env={"COLUMNS": "100", "PATH": "", "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip
    return "\n".join(line.rstrip() for line in done.stdout.splitlines())


def test_the_output_shown_is_the_true_one():
    shown = re.search(r"<!-- output of: airfettle demo -->\n```text\n(.*?)\n```\n<!-- end", README, re.DOTALL)
    assert shown, "README has lost its example"
    assert shown[1] == demo_output(), "run docs/make_readme.py"


def test_the_picture_is_the_one_the_program_draws(tmp_path):
    file = tmp_path / "chart.svg"
    subprocess.run(
        [sys.executable, "-m", "airfettle", "rate", "examples/canoe_works.toml", "--chart", str(file)],
        cwd=ROOT, capture_output=True, check=True,
    )  # fmt: skip
    drawn = re.findall(r">([^<>]+)</text>", file.read_text(encoding="utf-8"))
    kept = re.findall(r">([^<>]+)</text>", (ROOT / "docs/img/canoe_works.svg").read_text(encoding="utf-8"))
    assert drawn == kept, "run docs/make_readme.py"


def test_files_named_in_the_readme_are_there():
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        if not target.startswith("http"):
            assert (ROOT / target).exists(), target
