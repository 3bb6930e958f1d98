"""The first part of the build sheet: what may hurt on this plant, before anything else is read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airfettle.findings.finding import Finding
from airfettle.report.blocks import Block, Checks, Column, Heading, Leaf, Signed, Table, Words
from airfettle.report.words import CAUTION, summary

STANDING = (
    "Before a hand goes into any of it: stop it, lock the supply off and keep the key, let the pressure out of "
    "receiver, head and pipe, wait until the drive's capacitors are empty as its manual says, try to start it, and let "
    "hot parts cool.",
    "Never stand in front of a relief valve, a drain or a pipe end that may let go, and never lean over the receiver.",
    "A receiver whose plate cannot be read, that was welded on or that shows rust inside is not put under pressure "
    "until an inspector has passed it; air or gas never serves to test it, water does.",
    "Whoever may lawfully do so works on mains, drive and receiver; local codes decide, not this sheet.",
)
"""Said on every sheet.  Source: practice; the rules are those of lockout and of pressure vessels."""


def cautions_leaf(findings: Sequence[Finding]) -> Leaf:
    """Return the cautions of a plant: standing ones, dangers and warnings that hold, and questions behind dangers."""
    blocks: list[Block] = [Signed("danger", CAUTION), *(Words(text) for text in STANDING)]
    blocks += [Heading("What was found on this plant"), Words(summary(findings), strong=True)]
    grave = [f for f in findings if f.signal in ("danger", "warning") and f.state == "holds"]
    blocks += [Signed(f.signal, f"{f.says} {f.do}") for f in grave]
    blocks += _questions(findings)
    blocks += _others(findings)
    keys = dict.fromkeys(key for f in findings if f.state != "clear" for key in f.sources)
    return Leaf("cautions", "Read this first", tuple(blocks), tuple(keys))


def _questions(findings: Sequence[Finding]) -> Iterator[Block]:
    asked = [f for f in findings if f.state == "not told" and f.rule_signal == "danger"]
    if asked:
        yield Heading("Look at these before it is energised or pressurised: each may hide a danger")
        yield Checks(tuple((f.says.removeprefix("Not told: "), "", _where(f)) for f in asked))


def _where(finding: Finding) -> str:
    return f"In the file: {finding.decided_by[0]}." if finding.decided_by else ""


def _others(findings: Sequence[Finding]) -> Iterator[Block]:
    rest = [f for f in findings if f.signal in ("caution", "notice") and f.state in ("holds", "may hold")]
    if rest:
        yield Heading("Also to know")
        columns = (Column("Word", 0.7), Column("What was found", 3.0), Column("What to do", 3.0))
        rows = tuple((f.signal.upper() + ("" if f.state == "holds" else ", may be so"), f.says, f.do) for f in rest)
        yield Table(columns, rows, name="also to know")
