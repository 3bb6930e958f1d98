"""Writes the pages of the reference from the program itself: make reference, or python docs/make_reference.py."""

import sys
from pathlib import Path

DOCS = Path(__file__).parent
sys.path.insert(0, str(DOCS))

from pages_from_code import (  # noqa: E402
    answers,
    commands,
    day_answers,
    findings,
    messages,
    pipe_answers,
    plant_file,
    quantities,
    sources,
    tables,
)
from pages_from_code.words import generated_by  # noqa: E402

PAGES = {
    "reference/commands.md": commands.page,
    "reference/plant_file.md": plant_file.page,
    "reference/answers.md": answers.page,
    "reference/day_answers.md": day_answers.page,
    "reference/pipe_answers.md": pipe_answers.page,
    "reference/quantities.md": quantities.page,
    "reference/tables.md": tables.page,
    "reference/messages.md": messages.page,
    "sources.md": sources.page,
    **findings.pages(),
}
"""Page -> the function that writes it."""


def rendered(name):
    """Return a page as it ought to stand in docs."""
    return f"{generated_by('make_reference.py')}\n\n{PAGES[name]().strip()}\n"


def main():
    """Write every page that is not as it ought to be, and take away those of rules that are gone."""
    for file in (DOCS / "findings").glob("*.md"):
        if f"findings/{file.name}" not in PAGES:
            file.unlink()
    for name in PAGES:
        text, file = rendered(name), DOCS / name
        file.parent.mkdir(exist_ok=True)
        if not file.exists() or file.read_text(encoding="utf-8") != text:
            file.write_text(text, encoding="utf-8", newline="\n")
            print(f"docs/{name} written")


if __name__ == "__main__":
    main()
