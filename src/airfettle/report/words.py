"""Words that several reports say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from airfettle.findings.finding import SIGNALS, Finding

CAUTION = (
    "Pressure, mains voltage, belts and hot pipes can kill. These numbers only compute; local codes and licensed "
    "people decide what may be built, wired and run."
)
"""Said with every answer."""

PLURAL = {"danger": "dangers", "warning": "warnings", "caution": "cautions", "notice": "notices"}


def summary(findings: Sequence[Finding]) -> str:
    """Return how many of each there are, in one sentence."""
    told = Counter(f.signal for f in findings if f.state in ("holds", "may hold"))
    asked = [f for f in findings if f.state == "not told"]
    grave = sum(f.rule_signal == "danger" for f in asked)
    counts = [f"{told[s]} {s if told[s] == 1 else PLURAL[s]}" for s in SIGNALS if told[s]]
    words = ", ".join(counts) if counts else "Nothing found"
    if asked:
        words += f"; {len(asked)} questions not answered, {grave} of which may hide a danger"
    return words + "."
