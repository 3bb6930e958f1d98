"""Writes docs/honesty.md: how often the truth lies inside the bands, and planted contradictions: make evidence."""

import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
sys.path[:0] = [str(DOCS), str(ROOT / "tests")]

import honesty  # noqa: E402
from pages_from_code.words import generated_by, table  # noqa: E402
from properties import test_contradictions as planted_tests  # noqa: E402
from properties import test_honesty as honest_tests  # noqa: E402

HEAD = """# Honesty of the bands

A band is honest when the truth lies inside it as often as it says. So: plants are made up at random, half told and
half unknown; behind each file ten true plants are drawn with another seed; what an instrument would show of them, its
error included, is given to the program as a reading; and it is counted how often the truth lies between P5 and P95,
which ought to be nine times in ten. The equations are the same on both sides: this shows that drawing and weighing are
honest, not that the equations are right; for those see [evidence](evidence.md).
"""

PLANTED = """## Planted contradictions

Plants told in full with consistent plates and readings, and one thing made wrong: a reading off by a third, plate amps
by a half, a stated delivery by more than a half, a sheave by a quarter.
"""


def main():
    """Write the page."""
    seen = honest_tests.all_seen()
    rows = [["all", *(f"{honesty.coverage(seen, after=after):.1%}" for after in (False, True)), "",
             f"{honest_tests.PLANTS * honest_tests.TRUTHS}"]]  # fmt: skip
    for answer in honesty.ANSWERS:
        some = [s for s in seen if s.answer == answer]
        own = [w for w, s in honest_tests.widths(some) if answer in s.read]
        rows.append([f"`{answer}`", *(f"{honesty.coverage(some, after=after):.1%}" for after in (False, True)),
                     f"{np.mean(own):.0%}" if own else "not read", f"{len(some)}"])  # fmt: skip
    heads = ["answer", "inside, before", "inside, after readings", "band left where it was read itself", "true plants"]
    found = planted_tests.planted_faults()
    named = np.mean([bool(names) for _, names, _ in found])
    blamed = np.mean([wrong in blame for wrong, _, blame in found])
    counts = table(["planted", "named", "blamed on what is wrong"], [[len(found), f"{named:.0%}", f"{blamed:.0%}"]])
    page = "\n\n".join([generated_by("make_honesty.py"), HEAD.strip(), table(heads, rows), PLANTED.strip(), counts])
    (DOCS / "honesty.md").write_text(page + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
