"""Findings on the air path as numbered notes, worst first, and the numbers in circles on what they concern."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from airfettle.drawings.air_path.items import WATER, Plan
from airfettle.drawings.sheet import SMALL, Sheet
from airfettle.drawings.space import STEP, Point, folded, text_width
from airfettle.findings.finding import Finding, Signal

ON_A_FIXTURE = {
    "relief_missing": "#relief", "pump_side_relief": "#outlet relief", "interstage_relief": "#interstage relief",
    "receiver_gauge": "#gauge", "no_drain": "#drain", "receiver_drain": "#drain", "drain_by_hand": "#drain",
    "drain_forgotten": "#drain", "no_separator": "#separator", "no_cooler": "#cooler",
    "stop_valve_before_receiver": "#stop valve",
}  # fmt: skip
"""Rules about something that stands on a part, or is lacking on it: where their number goes, if it is drawn."""
ON_THE_WATER = ("condensate", "freezing")
"""Rules about drained water. [text]"""
OF_THE_SWITCH = ("transducer_alone",)
"""Rules about the pressure switch that concern the air; the others belong to the wiring. [text]"""
ELSEWHERE = ("statements_contradict", "displacement_told_twice", "delivery_over_displacement", "filling_out_of_range")
"""Rules about what was written down, not about a part. [text]"""
RADIUS, PITCH = 9.5, 22.0
"""Radius of a number's circle, and from one to the next. [px]"""
COLUMN = 470.0
"""Least width of a column of notes. [px]"""


@dataclass(frozen=True)
class Notes:
    """What is said beside the drawing.

    Attributes
    ----------
    findings : tuple of Finding
        In the order of their numbers, from 1.
    numbers : dict
        Key of a thing drawn -> numbers of the notes that concern it.
    asked : int
        Questions about these parts that nobody answered and that hide no danger: counted, not listed. [-]
    """

    findings: tuple[Finding, ...]
    numbers: dict[str, tuple[int, ...]] = field(default_factory=dict)
    asked: int = 0

    def of(self, key: str) -> tuple[int, ...]:
        """Return the numbers on one thing."""
        return self.numbers.get(key, ())


def notes_of(plan: Plan, findings: Iterable[Finding]) -> Notes:
    """Return the findings that concern what is drawn, numbered in their order, worst first."""
    keys = set(plan.keys())
    shown: list[Finding] = []
    numbers: dict[str, list[int]] = {}
    asked = 0
    for finding in findings:
        targets = _targets(finding, keys) if finding.state != "clear" else []
        if not targets:
            continue
        if finding.state == "not told" and finding.signal not in ("danger", "warning"):
            asked += 1
            continue
        shown.append(finding)
        for key in targets:
            numbers.setdefault(key, []).append(len(shown))
    return Notes(tuple(shown), {key: tuple(found) for key, found in numbers.items()}, asked)


def _targets(finding: Finding, keys: set[str]) -> list[str]:
    """Keys of the things a finding is about, those that are drawn."""
    if finding.rule in ELSEWHERE:
        return []
    if finding.rule in ON_THE_WATER:
        return [WATER]
    found = [key for part in finding.parts if (key := _drawn(finding.rule, part, keys))]
    return list(dict.fromkeys(found))


def _drawn(rule: str, part: str, keys: set[str]) -> str:
    """The thing drawn for a part: what stands on it where the rule is about that, itself, or what it is a part of."""
    if part == "control":
        return part if rule in OF_THE_SWITCH and part in keys else ""
    beside = f"{part}{ON_A_FIXTURE.get(rule, '#')}"
    if beside in keys:
        return beside
    while part not in keys and "." in part:
        part = "use" if part.startswith("use.") else part.rpartition(".")[0]
    return part if part in keys else ""


def balloon(sheet: Sheet, at: Point, number: int, *, grave: bool) -> None:
    """Draw a note's number in a circle, with a second ring where it is a danger or warning."""
    sheet.circle(at, RADIUS, width=2.4 if grave else 1.2, fill="paper", ink="red" if grave else "ink",
                 data={"note": str(number)})  # fmt: skip
    sheet.text(at[0], at[1] + 0.36 * SMALL, str(number), size=SMALL, anchor="middle", bold=grave,
               ink="red" if grave else "ink")  # fmt: skip


def is_grave(finding: Finding) -> bool:
    """Return whether a finding is a danger or a warning, holding or not told."""
    return finding.signal in ("danger", "warning")


def draw_notes(sheet: Sheet, notes: Notes, *, left: float, top: float, room: float) -> float:
    """Write the notes in columns; return where they end. [px]"""
    if not notes.findings and not notes.asked:
        return top
    many = max(int(room // COLUMN), 1) if len(notes.findings) > 1 else 1
    column = (room - 28.0 * (many - 1)) / many
    blocks = [_block(number, finding, column) for number, finding in enumerate(notes.findings, start=1)]
    place, y, lowest, used = 0, top, top, 0.0
    whole = sum(block.high for block in blocks)
    for block in blocks:
        if place < many - 1 and used and used + 0.5 * block.high > whole * (place + 1) / many:
            place, y = place + 1, top
        _draw(sheet, block, left + place * (column + 28.0), y)
        y, used = y + block.high, used + block.high
        lowest = max(lowest, y)
    if notes.asked:
        asked = f"{notes.asked} more question{'s' if notes.asked > 1 else ''} about these parts: nobody answered yet."
        for line in folded(asked, room, SMALL):
            lowest += STEP * SMALL
            sheet.text(left, lowest, line, size=SMALL, ink="pale")
    return lowest + 12.0


@dataclass(frozen=True)
class _Block:
    number: int
    finding: Finding
    word: str
    says: Sequence[str]
    do: Sequence[str]
    high: float


def _block(number: int, finding: Finding, width: float) -> _Block:
    room = width - 2.0 * RADIUS - 10.0
    doubt = {"may hold": ", may be so", "not told": ", not told"}.get(finding.state, "")
    says, do = folded(finding.says, room, SMALL), folded(finding.do, room, SMALL, bold=True)
    high = 26.0 + (len(says) + len(do)) * STEP * SMALL + 14.0
    return _Block(number, finding, finding.signal.upper() + doubt.upper(), says, do, high)


def _draw(sheet: Sheet, block: _Block, x: float, y: float) -> None:
    balloon(sheet, (x + RADIUS + 1.0, y + 10.0), block.number, grave=is_grave(block.finding))
    start = x + 2.0 * RADIUS + 10.0
    signal_word(sheet, block.finding.signal, block.word, (start, y))
    at = y + 24.0
    for lines, bold in ((block.says, False), (block.do, True)):
        for line in lines:
            at += STEP * SMALL
            sheet.text(start, at - 0.2 * SMALL, line, size=SMALL, bold=bold)


def signal_word(sheet: Sheet, signal: Signal, words: str, at: Point) -> None:
    """Write a signal word in its box: danger filled, warning in two frames, caution in one, a notice underlined."""
    x, y = at
    wide = text_width(words, SMALL, bold=True) + 16.0
    box = (x, y, x + wide, y + 20.0)
    if signal == "danger":
        sheet.box(box, ink="red", fill="red", width=1.6)
    elif signal == "warning":
        sheet.box(box, ink="red", width=1.6)
        sheet.box((x + 3.0, y + 3.0, x + wide - 3.0, y + 17.0), ink="red", width=0.8)
    elif signal == "caution":
        sheet.box(box, ink="ink", width=1.6)
    else:
        sheet.line((x, y + 19.0), (x + wide, y + 19.0), width=1.0)
    ink = {"danger": "paper", "warning": "red"}.get(signal, "ink")
    sheet.text(x + 8.0, y + 14.2, words, size=SMALL, bold=True, ink=ink)
