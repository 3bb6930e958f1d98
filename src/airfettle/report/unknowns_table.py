"""What to measure next, in the terminal: the reading that settles the most, how to take it, and what else."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from airfettle.findings.unknowns import Narrowing, Unknowns
from airfettle.quantity import Units, in_unit, shown_unit, toleranced
from airfettle.report.words import CAUTION
from airfettle.studies.unknowns.ranking import Worth

SHOWN = 5
"""Measurements shown for an answer. [-]"""
ENTRIES, LEAST_SHARE = 5, 0.02
"""Entries named as the source of the spread, and the share from which they are. [-]"""


def unknowns_table(unknowns: Unknowns, *, units: Units, most: int = SHOWN, caution: bool = True) -> RenderableType:
    """Return what to measure next for a rich console."""
    parts: list[RenderableType] = [Text(unknowns_headline(unknowns, units=units), style="bold"), ""]
    for number, worth in enumerate(unknowns.answer.ranked[:most], start=1):
        parts += [*_measurement(number, worth, unknowns.answer, units), ""]
    parts += _entries(unknowns.answer)
    for finding, ranked in unknowns.undecided[:most]:
        parts += ["", Text.assemble((f"{finding.name} ", "bold"), _undecided(finding.probability, ranked))]
    if unknowns.questions:
        paths = ", ".join(path for f in unknowns.questions for path in f.decided_by[:1])
        parts += ["", Text.assemble(("Look first: ", "bold"), f"questions that may hide a danger: {paths}.")]
    if caution:
        parts += ["", Text(CAUTION, style="italic")]
    return Group(*parts)


def unknowns_headline(unknowns: Unknowns, *, units: Units) -> str:
    """Return the first thing said: the one measurement that settles the most, and what it does to the answer."""
    answer = unknowns.answer
    now = _band(answer, units)
    where = f"at {answer.frequency:g} Hz"
    if not answer.ranked:
        return f"{_upper(answer.meaning.label)} {where}: {now}; no one reading narrows it by much."
    best = answer.ranked[0]
    return (
        f"{_upper(answer.meaning.label)} {where}: {now}. Best next: {best.path} by {best.measurement.instrument}, "
        f"{_left(best)}."
    )


def _upper(words: str) -> str:
    return words[0].upper() + words[1:]


def _band(answer: Narrowing, units: Units) -> str:
    band = answer.band
    return toleranced(band.low, band.likely, band.high, kind=answer.meaning.kind, units=units)


def _left(worth: Worth) -> str:
    return f"which leaves {worth.narrowed:.0%} of that spread"


def _measurement(number: int, worth: Worth, answer: Narrowing, units: Units) -> Iterator[RenderableType]:
    m = worth.measurement
    whose = f" ({worth.train})" if worth.train else ""
    unit = shown_unit(worth.kind, units)
    low, high = (in_unit(value, kind=worth.kind, unit=unit) for value in worth.expected)
    left = (answer.band.high - answer.band.low) * worth.narrowed
    middle = answer.band.likely
    after = toleranced(middle - left / 2, middle, middle + left / 2, kind=answer.meaning.kind, units=units)
    yield Text.assemble(
        (f"{number:>2} ", "bold"), (f"{worth.path}{whose}", "bold"),
        f"  by {m.instrument}, about {m.minutes:.0f} min; leaves {worth.narrowed:.0%} of the spread, about {after}",
    )  # fmt: skip
    yield Padding(Text(m.how), (0, 0, 0, 3))
    if m.mind:
        yield Padding(Text.assemble(("Mind: ", "bold"), m.mind), (0, 0, 0, 3))
    expected = f"Expect {low:.4g} to {high:.4g} {unit}".rstrip(" -")
    write = f'[[reading]] what = "{worth.path}"' if m.is_answer else worth.path
    yield Padding(Text(f"{expected}. Write it down as {write}.", style="dim"), (0, 0, 0, 3))


def _entries(answer: Narrowing) -> Iterator[RenderableType]:
    top = [(p, s) for p, s in list(answer.entries.items())[:ENTRIES] if s >= LEAST_SHARE]
    if top:
        yield Text.assemble(("Its spread comes from: ", "bold"), ", ".join(f"{p} {s:.0%}" for p, s in top) + ".")


def _undecided(probability: float | None, ranked: tuple[Worth, ...]) -> str:
    words = f"holds in {probability or 0.0:.0%} of the draw; "
    if not ranked:
        return words + "no one reading settles it."
    best = ", ".join(f"{w.path} by {w.measurement.instrument} ({w.settles:.0%} of the doubt)" for w in ranked)
    return f"{words}settled most by {best}."
