"""Puts the program's true output and picture into the README, and its first lines into the start page."""

import os
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
COMMAND = [sys.executable, "-m", "airfettle"]


def main():
    """Rewrite the example in README.md and draw its picture."""
    done = subprocess.run(
        [*COMMAND, "demo"], cwd=ROOT, capture_output=True, text=True, check=True, env=os.environ | {"COLUMNS": "100"}
    )
    output = "\n".join(line.rstrip() for line in done.stdout.splitlines())
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    pattern = re.compile(r"(<!-- output of: airfettle demo -->\n```text\n).*?(```\n<!-- end)", re.DOTALL)
    readme.write_text(pattern.sub(lambda m: f"{m[1]}{output}\n{m[2]}", text), encoding="utf-8")
    start = ROOT / "docs" / "start.md"
    page = start.read_text(encoding="utf-8")
    for words in ("Delivers ", "air delivered (volume at the"):
        line = next(line for line in output.splitlines() if line.startswith(words))
        page = re.sub(rf"^{re.escape(words)}.*$", lambda _, line=line: line, page, flags=re.MULTILINE)
    start.write_text(page, encoding="utf-8")
    chart = ["rate", "examples/canoe_works.toml", "--chart", "docs/img/canoe_works.svg"]
    subprocess.run([*COMMAND, *chart], cwd=ROOT, capture_output=True, check=True)


if __name__ == "__main__":
    main()
