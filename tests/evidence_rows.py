"""One row of evidence: what was printed, what the program computes, and how sure the printed value is."""

import json
from pathlib import Path

SURE = {
    "A": "seen in a copy of the source",
    "A*": "inputs seen, result recomputed independently",
    "B": "secondary copies only",
    "C": "calculated from the named formula or library, not a publication",
    "M": "from memory, unverified",
    "CP": "common practice, no source",
}


class Recorder:
    """Checks a printed value and keeps the row; the test module names SOURCE and SURE for its rows."""

    def __init__(self, test, module, path):
        self.test, self.module, self.path = test, module, path

    def __call__(self, row, *, printed, computed, unit, rel=None, abs=None, sure=None, source=None, disagrees=""):
        """Check that computed is within rel (share of printed) or abs (same unit) of printed.

        ``disagrees`` says why a printed value is known to differ: the test then fails if it stops
        differing, so that a disagreement stays visible and a healed one is noticed.
        """
        assert (rel is None) != (abs is None), "give one of rel and abs"
        limit = rel * _magnitude(printed) if rel is not None else abs
        limit += 1e-12 * _magnitude(printed)
        inside = _magnitude(computed - printed) <= limit
        self._keep(row, printed, computed, unit, f"{rel:.4%}" if rel is not None else f"{abs:g} {unit}", sure, source,
                   "disagrees: " + disagrees if disagrees else "agrees")  # fmt: skip
        if disagrees:
            assert not inside, f"{row} now agrees: take its 'disagrees' away"
        else:
            assert inside, f"{row}: printed {printed:g} {unit}, computed {computed:g}, allowed +/- {limit:g}"

    def band(self, row, *, low, high, computed, unit, sure=None, source=None):
        """Check that computed lies within a printed band."""
        self._keep(row, [low, high], computed, unit, "band", sure, source, "agrees")
        assert low <= computed <= high, f"{row}: printed {low:g}..{high:g} {unit}, computed {computed:g}"

    def _keep(self, row, printed, computed, unit, tolerance, sure, source, verdict):
        sure = sure or self.module.SURE
        assert sure in SURE, sure
        if self.path:
            entry = {
                "row": row, "printed": printed, "computed": float(computed), "unit": unit, "tolerance": tolerance,
                "sure": sure, "source": source or self.module.SOURCE, "verdict": verdict, "test": self.test,
            }  # fmt: skip
            with Path(self.path).open("a", encoding="utf-8") as out:
                out.write(json.dumps(entry) + "\n")


_magnitude = abs
