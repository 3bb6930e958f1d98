"""Findings in the terminal: numbered notes, worst first, then what nobody told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from airfettle.findings.finding import Finding, Signal
from airfettle.quantity import Units, in_unit, shown_unit, toleranced
from airfettle.report.words import CAUTION, summary
from airfettle.studies.evidence.conditioning import Belief

STYLES: dict[Signal, str] = {
    "danger": "bold white on red", "warning": "bold black on orange1", "caution": "bold black on yellow",
    "notice": "bold white on blue",
}  # fmt: skip
"""Colours of the signal words.  Source: ANSI Z535.4; the word alone says it in black and white."""
STATES = {"holds": "", "may hold": "may be so", "not told": "not told", "clear": "in order"}


def findings_table(
    findings: Sequence[Finding],
    *,
    belief: Belief,
    everything: bool = False,
    most: int | None = None,
    caution: bool = True,
) -> RenderableType:
    """Return findings for a rich console.

    Parameters
    ----------
    findings : sequence of Finding
        Worst first.
    belief : Belief
        How the plant was drawn.
    everything : bool
        Also each question that hides no danger, and what is in order.
    most : int or None
        How many notes are shown in full.
    caution : bool
        Say the standing caution.
    """
    units = belief.draw.plant.about.units
    told = [f for f in findings if f.state in ("holds", "may hold")]
    asked = [f for f in findings if f.state == "not told"]
    shown = told if most is None else told[:most]
    parts: list[RenderableType] = [Text(summary(findings), style="bold")]
    parts += [Text(CAUTION, style="italic"), ""] if caution else [""]
    for number, finding in enumerate(shown, start=1):
        parts += [*_note(number, finding, units), ""]
    if len(told) > len(shown):
        parts += [Text(f"{len(told) - len(shown)} more, and the questions: airfettle findings FILE."), ""]
    if most is None:
        parts += _asked(asked, everything=everything)
    if everything:
        parts += _in_order([f for f in findings if f.state == "clear"])
    if most is None:
        parts += _statements(belief, units)
    return Group(*parts)


def _note(number: int, finding: Finding, units: Units) -> Iterator[RenderableType]:
    yield Text.assemble(
        (f"{number:>2} ", "bold"), (f" {finding.signal.upper()} ", STYLES[finding.signal]),
        (f" {finding.rule}", "bold"), f"  {_where(finding, units)}",
    )  # fmt: skip
    yield Padding(Text(finding.says), (0, 0, 0, 3))
    yield Padding(Text.assemble(("Do: ", "bold"), finding.do), (0, 0, 0, 3))
    yield Padding(Text.assemble(("Why: ", "bold"), finding.why, style="dim"), (0, 0, 0, 3))
    if finding.state == "may hold" and finding.decided_by:
        yield Padding(Text(f"Decided by: {', '.join(finding.decided_by)}", style="dim"), (0, 0, 0, 3))


def _where(finding: Finding, units: Units) -> str:
    words = [", ".join(finding.parts)]
    point = finding.worst_point
    if point is not None:
        unit = shown_unit("pressure", units)
        gauge = in_unit(point.receiver_gauge, kind="pressure", unit=unit)
        words.append(f"at {point.frequency:g} Hz, {gauge:.{0 if units == 'US' else 1}f} {unit}")
    if finding.probability is not None and finding.probability < 0.995:
        words.append(f"in {finding.probability:.0%} of {finding.among}")
    if finding.signal != finding.rule_signal:
        words.append(f"{STATES[finding.state] or 'limit not known for sure'}, could be a {finding.rule_signal}")
    return "; ".join(word for word in words if word)


def _asked(asked: Sequence[Finding], *, everything: bool) -> Iterator[RenderableType]:
    """Questions to answer in the file, those that may hide a danger first, part by part."""
    grave = [f for f in asked if f.rule_signal == "danger"]
    other = [f for f in asked if f.rule_signal != "danger"]
    for title, some in (("Look, because it may hide a danger, and write it down:", grave),
                        ("Also not told:", other if everything else [])):  # fmt: skip
        if some:
            yield Text(title, style="bold")
            yield from (_question(f) for f in some)
            yield ""
    if other and not everything:
        counts = Counter(f.parts[0] if f.parts else "plant" for f in other)
        words = ", ".join(f"{part} {count}" for part, count in counts.items())
        yield Text(f"Also not told: {words}. With --all each is listed.")
        yield ""


def _question(finding: Finding) -> RenderableType:
    path = finding.decided_by[0] if finding.decided_by else ", ".join(finding.parts)
    return Padding(Text.assemble((path, "bold"), f"  {finding.says.removeprefix('Not told: ')}"), (0, 0, 0, 3))


def _in_order(clear: Sequence[Finding]) -> Iterator[RenderableType]:
    if clear:
        names = dict.fromkeys(f.rule for f in clear)
        yield Text.assemble(("Looked at and in order: ", "bold"), ", ".join(names) + ".")
        yield ""


def _statements(belief: Belief, units: Units) -> Iterator[RenderableType]:
    """What was said of derived numbers: what the plant would say without it, and with everything."""
    for heard in belief.heard:
        kind = heard.statement.span.kind
        before, after = (toleranced(*three, kind=kind, units=units) for three in (heard.before, heard.after))
        doubt = "" if heard.doubt < 0.5 else "; contradicts the rest"
        yield Text(
            f"{heard.statement.path}: {heard.statement.label} ({heard.statement.span.text}); expected {before} "
            f"before, {after} after{doubt}"
        )  # fmt: skip
