"""What one change does, in the terminal: the gravest first, then entries, limits and answers."""

from __future__ import annotations

from collections.abc import Iterator

from rich import box
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from airfettle.findings.differences import AnswerChange, Comparison, EntryChange, FindingChange, LimitChange
from airfettle.findings.finding import Finding
from airfettle.quantity import Units, shown_unit, toleranced
from airfettle.report.findings_table import STYLES
from airfettle.report.words import CAUTION

FIRST = ("delivered_air", "motor_torque_share", "supply_current", "discharge_temperature")
"""Answers that the headline looks for."""


DIFFERENCES = {"temperature": "temperature_difference"}
"""Kind of a difference, where it is another."""


def differences_table(found: Comparison) -> RenderableType:
    """Return a comparison for a rich console; numbers in the units of the plant after the change."""
    units = found.after.told.about.units
    parts: list[RenderableType] = [Text(differences_headline(found), style="bold"),
                                   Text(f"before: {found.before.name}; after: {found.after.name}"), ""]  # fmt: skip
    parts += [_finding(change) for change in found.findings]
    if found.findings:
        parts.append("")
    parts += [*_entries(found.entries, "told otherwise"), *_entries(found.assumed, "therefore assumed otherwise"),
              *_limits(found.limits), *_answers(found.answers, units)]  # fmt: skip
    return Group(*parts, Text(CAUTION, style="italic"))


def differences_headline(found: Comparison) -> str:
    """Return the first thing said: how much changed, what delivery does, and the gravest news."""
    count = len(found.entries)
    words = [f"{count} {'entry' if count == 1 else 'entries'} changed" if count else "Nothing told otherwise"]
    if count or found.answers:
        words += _moved(found)
    worse = [c for c in found.findings if c.worse and c.after is not None]
    if worse and worse[0].after is not None:
        first = worse[0].after
        words.append(
            f"new {first.signal}: {first.rule}" if worse[0].before is None else f"{first.rule} is now a {first.signal}"
        )
    broke = [c.limit.label for c in found.limits if c.broke]
    if broke:
        words.append(f"now broken: {', '.join(broke)}")
    return ". ".join([words[0], *(word if "_" in word.partition(" ")[0] else _upper(word) for word in words[1:])]) + "."


def _moved(found: Comparison) -> list[str]:
    """What delivery does, or that it stays; and what else moved beyond its spread."""
    units = found.after.told.about.units
    full = {c.name: c for c in found.answers if c.running == "full"}
    best = next((full[name] for name in FIRST if name in full), None)
    if best is not None:
        return [
            f"{best.meaning.label}: {_band(best, units, after=False)} before, {_band(best, units, after=True)} after"
        ]
    if not found.answers:
        return ["no answer moves for sure"]
    beyond = dict.fromkeys(c.meaning.label for c in found.answers if c.beyond)
    words = ["delivery, torque, amps and heat at full speed do not move for sure"]
    return [*words, f"beyond its spread moves: {', '.join(beyond)}"] if beyond else words


def _upper(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}"


def _band(change: AnswerChange, units: Units, *, after: bool) -> str:
    band = change.after if after else change.before
    return toleranced(band.low, band.likely, band.high, kind=change.meaning.kind, units=units)


def _finding(change: FindingChange) -> Text:
    now = change.after or change.before
    assert now is not None
    if change.after is None:
        head, says = ("gone ", "dim"), f"was {_state(change.before)}"
    elif change.before is None:
        head, says = ("new  ", "bold"), f"{_state(change.after)}: {change.after.says}"
    else:
        head, says = ("now  ", "bold"), f"{_state(change.after)}, was {_state(change.before)}: {change.after.says}"
    return Text.assemble(head, (f" {now.signal.upper()} ", STYLES[now.signal]), (f" {now.name}  ", "bold"), says)


def _state(finding: Finding | None) -> str:
    return "" if finding is None else f"{finding.signal}, {finding.state}"


def _plain_table(*heads: str) -> Table:
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0), show_edge=False, header_style="bold")
    for head in heads:
        table.add_column(head)
    return table


def _entries(changes: tuple[EntryChange, ...], head: str) -> Iterator[RenderableType]:
    if changes:
        table = _plain_table(head, "before", "after")
        for change in changes:
            table.add_row(change.path, change.before, change.after)
        yield from (table, "")


def _limits(changes: tuple[LimitChange, ...]) -> Iterator[RenderableType]:
    if changes:
        table = _plain_table("limit", "beyond it, before", "after", "")
        for change in changes:
            name = f"{change.train}: {change.limit.label}" if change.train else change.limit.label
            word = "broke" if change.broke else "healed" if change.healed else ""
            table.add_row(name, _share(change.before), _share(change.after), word)
        yield from (table, "")


def _share(share: float | None) -> str:
    return "does not apply" if share is None else f"{share:.0%} of the draw"


def _answers(changes: tuple[AnswerChange, ...], units: Units) -> Iterator[RenderableType]:
    """Answers that moved; in bold and with a star those that moved beyond their spread."""
    for running, words in (("full", "at full speed and cut-out"), ("low", "at the lowest speed and cut-out")):
        some = [c for c in changes if c.running == running]
        large, small = [c for c in some if not c.small], [c.meaning.label for c in some if c.small]
        if large:
            table = _plain_table(words, "before", "after", "change")
            for column in table.columns[1:]:
                column.no_wrap = True
            for change in large:
                table.add_row(*_row(change, units))
            yield from (table, "")
        if small:
            yield Text(f"{_upper(words)} also, but by little of their spread: {', '.join(small)}.")
            yield ""
    if any(change.beyond for change in changes):
        yield from (Text("* beyond the spread it had before."), "")


def _row(change: AnswerChange, units: Units) -> tuple[RenderableType, ...]:
    """Label with its unit, and the numbers without; a difference keeps its unit where that is another."""
    unit, shift = shown_unit(change.meaning.kind, units), _shift(change, units)
    bare = [text.removesuffix(unit).strip() for text in (_band(change, units, after=False),
                                                         _band(change, units, after=True), shift)]  # fmt: skip
    label = f"{change.meaning.label}, {unit}" if unit.strip("-") else change.meaning.label
    return label, bare[0], Text(bare[1], style="bold" if change.beyond else ""), bare[2] + "*" * change.beyond


def _shift(change: AnswerChange, units: Units) -> str:
    """The change row by row, with its sign."""
    kind, shift = DIFFERENCES.get(change.meaning.kind, change.meaning.kind), change.shift
    words = toleranced(shift.low, shift.likely, shift.high, kind=kind, units=units)
    return words if shift.likely < 0 else f"+{words}"
