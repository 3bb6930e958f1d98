"""Why a number or a finding is what it is, as lines: the same for the terminal and for a page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from airfettle.findings.why import Why
from airfettle.quantity import KINDS, Units, in_unit, plain, shown_unit, span_text, toleranced
from airfettle.report.rating_table import KNOWN_WORDS
from airfettle.sources import How, all_sources
from airfettle.studies.bearing import EntryStep
from airfettle.studies.reasons import ASKED, Explanation, Step

SHOWN_DIGITS = 6
"""Significant digits of an equation's value in SI. [-]"""
SEEN: dict[How, str] = {
    "read": "read", "second-hand": "as quoted elsewhere", "memory": "from memory, unconfirmed", "practice": "",
    "own": "",
}  # fmt: skip
"""How a source was seen, in words."""


@dataclass(frozen=True)
class Line:
    """One line: how far it stands in, what sort it is, and its words.

    Sorts: ``answer``, ``number``, ``equation``, ``entry``, ``plain``, ``source``.
    """

    depth: int
    sort: str
    words: str


def why_lines(why: Why, *, units: Units) -> list[Line]:
    """Return the explanation line by line."""
    lines = list(_finding(why, units))
    if why.explanation is not None:
        lines += _explanation(why.explanation, units)
    return lines


def _finding(why: Why, units: Units) -> Iterator[Line]:
    if why.rule is None:
        return
    for finding in why.findings:
        words = f"{finding.signal.upper()} {finding.name}: {finding.state}"
        if finding.probability is not None:
            words += f" in {finding.probability:.0%} of the draw"
        yield Line(0, "answer", words)
        if finding.says:
            yield Line(1, "plain", finding.says)
        if finding.do and finding.state != "clear":
            yield Line(1, "plain", f"Do: {finding.do}")
    yield Line(0, "plain", f"When it holds: {_sentence(why.rule.threshold)}")
    yield Line(0, "plain", f"Why it matters: {why.rule.why}")
    for said in why.decided_by:
        if said.span is None:
            words = said.said
        else:
            words = f"{span_text(said.span, units=units)} ({KNOWN_WORDS[said.span.known]})"
        yield Line(1, "entry", f"{said.path} = {words}  {said.label}")
    yield from _sources(why.rule.sources, 0)


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:] + ("" if words.endswith(".") else ".")


def _explanation(told: Explanation, units: Units) -> Iterator[Line]:
    unit = shown_unit("pressure", units)
    gauge = in_unit(told.gauge, kind="pressure", unit=unit)
    whose = f" of {told.train}" if told.train else ""
    where = f"at {told.frequency:g} Hz against {gauge:.{0 if units == 'US' else 1}f} {unit}"
    first = told.steps[0]
    yield Line(0, "answer", f"{_sentence(first.meaning.label)[:-1]}{whose}, {where}: {_band(first, units)}")
    if told.runs_share < 1.0:
        yield Line(
            0, "plain", f"The motor stalls here in {1.0 - told.runs_share:.0%} of the draw; bands are of the rest."
        )
    yield Line(
        0, "plain", "Below, the numbers of one coherent plant at likely values, with the band over the draw beside it."
    )
    for step in told.steps:
        yield from _step(step, units)
    if told.cut:
        yield Line(0, "plain", "Further down: --deep shows every step.")
    yield from _sources(dict.fromkeys(key for step in told.steps for key in step.meaning.sources), 0)


def _band(step: Step, units: Units) -> str:
    return toleranced(step.band.low, step.band.likely, step.band.high, kind=step.meaning.kind, units=units)


def _step(step: Step, units: Units) -> Iterator[Line]:
    kind = step.meaning.kind
    symbol = f" {step.meaning.symbol}" if step.meaning.symbol else ""
    whose = f" of {step.train}" if step.train else ""
    value = plain(step.value, kind=kind, units=units)
    yield Line(
        step.depth, "number", f"{step.name}{symbol}: {step.meaning.label}{whose} = {value}  [{_band(step, units)}]"
    )
    if step.filled:
        unit = KINDS[kind].si
        yield Line(step.depth + 1, "equation", f"= {step.meaning.equation}")
        yield Line(step.depth + 1, "equation", f"= {step.filled} = {step.value:.{SHOWN_DIGITS}g} {unit}".rstrip(" -"))
    if step.meaning.solved:
        yield Line(step.depth + 1, "plain", f"solved: {step.meaning.solved}")
    if step.meaning.note:
        yield Line(step.depth + 1, "plain", step.meaning.note)
    for choice in step.choices:
        yield Line(step.depth + 1, "entry", f"{choice.path} = {choice.said}  {choice.label}")
    for entry in step.entries:
        yield Line(step.depth + 1, "entry", _entry(entry, units))
    if not (step.filled or step.meaning.solved or step.entries or step.choices):
        words = "as asked" if step.name in ASKED else f"no entry of the file; source {', '.join(step.meaning.sources)}"
        yield Line(step.depth + 1, "plain", words)


def _entry(entry: EntryStep, units: Units) -> str:
    span = entry.span
    shown = span_text(span, units=units)
    share = "moves with: " if entry.share is None else f"{entry.share:.0%} of its spread: "
    if span.known == "assumed":
        chosen = f" for {entry.assumed_for}" if entry.assumed_for else ""
        return f"{share}{entry.path} = ({shown})  {entry.label}; assumed{chosen}, source {entry.source}"
    by = "; ".join(
        part
        for part in (
            f"by {span.by}" if span.by and span.known == "measured" else "",
            f"on {span.on}" if span.on else "",
        )
        if part
    )
    return f"{share}{entry.path} = {shown}  {entry.label}; {KNOWN_WORDS[span.known]}{f', {by}' if by else ''}"


def _sources(keys: object, depth: int) -> Iterator[Line]:
    every = all_sources()
    for key in keys if isinstance(keys, (tuple, dict)) else ():
        work = every[key]
        more = "; ".join(part for part in (work.edition.strip("-"), SEEN[work.how]) if part)
        yield Line(depth, "source", f"{key}: {work.title}{f' ({more})' if more else ''}")
