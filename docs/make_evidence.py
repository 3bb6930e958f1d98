"""Writes docs/evidence.md from the rows that the checks against printed values leave behind: make evidence."""

import json
import re
import sys
from math import floor, isfinite, log10
from pathlib import Path

DOCS = Path(__file__).parent
sys.path.insert(0, str(DOCS))

from pages_from_code.words import SURE, cell, generated_by, sentence, source_link, table  # noqa: E402

from airfettle.sources import all_sources  # noqa: E402

LEAST, MOST, PRINTED_MOST = 4, 7, 9
"""Significant digits of a computed value: as many as the printed one has, within the first two; a printed value of more
than the third was itself computed, as by a library run beside the program, and gets the fewest. [-]"""
NOISE = 1e-6
"""A relative difference below this is the machine's rounding, and reads 0. [-]"""

HEAD = """# Evidence

Printed values from standards, handbooks, textbooks and worked examples, beside what the program computes for the same
inputs. What physics and print disagree on stands first. No tolerance was widened to make a row agree; a row that
disagrees is a check in itself, and fails when the disagreement goes away.

Whether the bands hold the truth as often as they say stands on [its own page](honesty.md).

How to make this page again: `make evidence`. It runs `tests/published` and writes every row here.
"""


def read(path):
    """Return the rows of a file of JSON lines."""
    return [json.loads(line) for line in Path(path).read_text(encoding="utf-8").splitlines() if line.strip()]


def page(rows):
    """Return the page for the rows, whatever order they came in."""
    ordered = sorted(rows, key=_place)
    against = [row for row in ordered if not _agrees(row)]
    parts = [HEAD.strip(), _counts(ordered), "## Where print and program disagree"]
    parts += [_disagreements(against) if against else "Nowhere.", "## Every row, by source", _how_to_read()]
    for key in sorted({row["source"] for row in ordered}):
        parts += _source(key, [row for row in ordered if row["source"] == key])
    return generated_by("make_evidence.py") + "\n\n" + "\n\n".join(parts) + "\n"


def _place(row):
    printed = row["printed"] if isinstance(row["printed"], list) else [row["printed"]]
    natural = [int(part) if part.isdigit() else part for part in re.split(r"(\d+)", row["row"])]
    return row["source"], natural, row["test"], row["unit"], [float(p) for p in printed], row["computed"]


def _agrees(row):
    return row["verdict"] == "agrees"


def _counts(rows):
    counts = []
    for sure, words in SURE.items():
        mine = [row for row in rows if row["sure"] == sure]
        counts.append([sure, words, len(mine), sum(map(_agrees, mine)), sum(not _agrees(r) for r in mine)])
    agree = sum(map(_agrees, rows))
    sources = len({row["source"] for row in rows})
    said = f"**{len(rows)} values from {sources} sources: {agree} agree within their tolerance, "
    said += f"{len(rows) - agree} do not.**"
    heads = ["how sure", "the printed value is", "rows", "agree", "disagree"]
    return f"{said}\n\n{table(heads, counts)}"


def _disagreements(rows):
    """Each reason once, with the rows it is given for, in the order of the first."""
    by_reason = {}
    for row in rows:
        by_reason.setdefault(row["verdict"].removeprefix("disagrees").removeprefix(":").strip(), []).append(row)
    heads = ["row", "source", "printed", "computed", "difference", "tolerance", "how sure"]
    parts = []
    for reason, mine in by_reason.items():
        lines = [[r["row"], source_link(r["source"], up=""), *_numbers(r), r["sure"]] for r in mine]
        parts += [f"**{sentence(reason or 'No reason given')}**", table(heads, lines)]
    return "\n\n".join(parts)


def _how_to_read():
    return (
        "The difference is computed less printed: in per cent of the printed value where the tolerance is a share of\n"
        "it, else in the row's own unit. `band`: anything between the two printed ends agrees. `equal`: no difference\n"
        "is allowed, as for rows of a table."
    )


def _source(key, rows):
    known = all_sources().get(key)
    title = f"{known.title}{', ' + known.edition if known and known.edition else ''}." if known else ""
    agree = sum(map(_agrees, rows))
    about = f"{title} {source_link(key, up='')}: {agree} of {len(rows)} rows agree."
    lines = [[row["row"], *_numbers(row), row["sure"], cell(row["verdict"].partition(":")[0])] for row in rows]
    return [f"### {key}", about.strip(), table(
        ["row", "printed", "computed", "difference", "tolerance", "how sure", "verdict"], lines)]  # fmt: skip


def _numbers(row):
    """Printed with its unit, computed, difference and tolerance, as text that no machine's rounding changes."""
    printed, computed, unit = row["printed"], row["computed"], row["unit"]
    shown_unit = "" if unit == "-" else f" {unit}"
    if isinstance(printed, list):
        ends = " to ".join(significant(end, LEAST) for end in printed)
        return f"{ends}{shown_unit}", significant(computed, LEAST), "inside" if _agrees(row) else "outside", "band"
    digits = digits_of(printed)
    share = row["tolerance"].endswith("%") and " " not in row["tolerance"]
    shown = significant(printed, digits)
    places = min(digits, MOST)
    same = f"{float(computed):.{places - 1}e}" == f"{float(printed):.{places - 1}e}"
    computed_shown = shown if same else significant(computed, places, keep=True)
    difference = _difference(float(printed), computed, share)
    return f"{shown}{shown_unit}", computed_shown, difference, _tolerance(row["tolerance"])


def digits_of(printed):
    """Significant digits to show of a printed value."""
    text = repr(printed).lstrip("-0.").partition("e")[0].replace(".", "")
    return LEAST if len(text) > PRINTED_MOST else max(LEAST, len(text))


def significant(number, digits, keep=False):
    """Return a number to so many significant digits; without zeros behind the point unless they are to be kept."""
    number = float(number)
    if not isfinite(number) or number == 0.0:
        return "0" if number == 0.0 else str(number)
    size = floor(log10(abs(number)))
    if size >= 9 or size < -4:
        return f"{number:.{digits - 1}e}"
    rounded = round(number, digits - 1 - size)
    text = f"{rounded:.{max(digits - 1 - size, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text and not keep else text


def _difference(printed, computed, share):
    gap = computed - printed
    if abs(gap) <= NOISE * max(abs(printed), abs(computed), 1e-300) or abs(gap) < 1e-12:
        return "0"
    if share and printed:
        return f"{'+' if gap / abs(printed) > 0 else ''}{significant(100.0 * gap / abs(printed), 2)} %"
    return f"{'+' if gap > 0 else ''}{significant(gap, 2)}"


def _tolerance(text):
    if text.endswith("%") and " " not in text:
        share = float(text[:-1])
        return f"{share:g} %" if share else "equal"
    number, _, unit = text.partition(" ")
    if float(number) == 0.0:
        return "equal"
    return f"{number} {'' if unit == '-' else unit}".strip()


def main():
    """Write the page from the file named on the command line."""
    if len(sys.argv) != 2:
        sys.exit("docs/make_evidence.py FILE, where FILE was made by: pytest tests/published --evidence FILE")
    (DOCS / "evidence.md").write_text(page(read(sys.argv[1])), encoding="utf-8", newline="\n")
    print("docs/evidence.md written")


if __name__ == "__main__":
    main()
