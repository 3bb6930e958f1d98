"""Writes docs/symbols.md and its pictures, every symbol of the drawings, from the symbols' own data."""

import sys
import tomllib
from importlib import resources
from pathlib import Path

DOCS = Path(__file__).parent
sys.path.insert(0, str(DOCS))

from pages_from_code.words import generated_by  # noqa: E402

from airfettle.drawings import symbols  # noqa: E402
from airfettle.drawings.sheet import SMALL, Sheet  # noqa: E402
from airfettle.drawings.space import STEP, balanced  # noqa: E402
from airfettle.drawings.symbols import all_symbols  # noqa: E402
from airfettle.sources import all_sources  # noqa: E402

GROUPS = {
    "power": "Power circuits",
    "control": "Control circuits",
    "air": "Air path",
}
"""File of symbols -> heading."""
WIDE, COLUMNS = 1040.0, 5
"""Width of a picture, and symbols beside each other. [px]"""
EDGE = 16.0
"""Margin. [px]"""
HEAD = """# Symbols on the drawings

Every symbol that a drawing can carry, as it is drawn. They are this project's own drawings to the descriptions in
their standards. **Numbers are from memory, unconfirmed**: compare before you rely on one. A small ring marks where a
wire or a pipe joins; rings are not part of the symbol.

- A part that is lacking, and should be there, is drawn with dashes; in wiring the word MISSING stands over it.
- Wiring is drawn without power and without pressure: a contact stands as it does with the plant switched off and empty.
- On the air path flow goes from left to right; a symbol for a line that runs down the sheet is the same one, turned."""


def main():
    """Write the page and its pictures, those that are not as they ought to be."""
    for name, text in rendered().items():
        file = DOCS / name
        file.parent.mkdir(parents=True, exist_ok=True)
        if not file.exists() or file.read_text(encoding="utf-8") != text:
            file.write_text(text, encoding="utf-8", newline="\n")
            print(f"docs/{name} written")


def rendered():
    """Return the page and its pictures as they ought to stand in docs, by name."""
    parts, found = [generated_by("make_symbols.py"), HEAD], {}
    for group, heading in GROUPS.items():
        several = [all_symbols()[name] for name in names_of(group)]
        picture = f"img/symbols/{group}.svg"
        found[picture] = drawn(several, heading)
        parts += [f"## {heading}", f"![Every symbol of {heading.lower()}, with its name and number]({picture})"]
        parts += [_standards(several), _table(several)]
    found["symbols.md"] = "\n\n".join(parts) + "\n"
    return found


def names_of(group):
    """Return the symbols of a file, in its order."""
    file = resources.files(symbols) / f"{group}.toml"
    return list(tomllib.loads(file.read_text(encoding="utf-8")))


def drawn(several, heading):
    """Return symbols side by side, each with its terminals, name and number, as SVG."""
    sheet = Sheet(WIDE)
    across = (WIDE - 2.0 * EDGE) / COLUMNS
    y = EDGE
    for start in range(0, len(several), COLUMNS):
        row = several[start : start + COLUMNS]
        up, down = max(-each.box[1] for each in row), max(each.box[3] for each in row)
        middle, foot = y + up + 8.0, y + up + down + 16.0
        ends = [_cell(sheet, each, left=EDGE + n * across, across=across, middle=middle, foot=foot)
                for n, each in enumerate(row)]  # fmt: skip
        y = max(ends) + 22.0
    return sheet.svg(y, title=heading, about=", ".join(each.label for each in several), carry_font=True)


def _cell(sheet, symbol, *, left, across, middle, foot):
    centre = left + 0.5 * across
    at = (centre - 0.5 * (symbol.box[0] + symbol.box[2]), middle)
    for place in sheet.symbol(symbol.name, at).values():
        sheet.circle(place, 2.4, ink="pale", width=0.9, fill="paper")
    y = foot
    for words, ink in ((symbol.label, "ink"), (symbol.number, "pale")):
        for line in balanced(words, across - 14.0, SMALL) if words else ():
            y += STEP * SMALL
            sheet.text(centre, y, line, size=SMALL, anchor="middle", ink=ink)
    return y


def _standards(several):
    named = dict.fromkeys(symbol.standard for symbol in several)
    return "\n".join(f"`{key}`: {all_sources()[key].title}, {all_sources()[key].edition}." for key in named)


def _table(several):
    rows = ["| Name | What it is | Standard | Number | How known | Joined at | Note |", "|---|---|---|---|---|---|---|"]
    rows += [
        f"| `{each.name}` | {each.label} | `{each.standard}` | {each.number or 'left open'} | {each.how} | "
        f"{', '.join(each.terminals)} | {each.note} |"
        for each in several
    ]
    return "\n".join(rows)


if __name__ == "__main__":
    main()
