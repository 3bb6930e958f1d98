"""Rules about plates, stated deliveries and readings that cannot all be right."""

from __future__ import annotations

from collections.abc import Iterator

from airfettle.findings.case import Case, Verdict
from airfettle.findings.rule import rule
from airfettle.quantity import toleranced
from airfettle.studies.evidence.contradictions import Contradiction

CAUSES = {
    "pump_speed": "a slipping belt, another sheave than written down, another frequency than thought",
    "motor_speed": "another motor or frequency than written down, an overloaded motor",
    "delivered_air": "leaking valves or rings, an air leak, a receiver of another volume",
    "pump_up_time": "leaking valves or rings, an air leak, water standing in the receiver, the receiver's volume",
    "motor_current": "the clamp meter behind a drive (true-rms?), a wrong connection, a tight pump",
    "supply_current": "the clamp meter behind a drive (true-rms?), a wrong connection, other loads on the wire",
    "electrical_power": "other loads on the meter, a slipping belt",
    "discharge_temperature": "leaking valves, a fouled head, the probe not in touch with the pipe",
    "cooler_outlet_temperature": "a fouled or back-blowing cooler, the probe not in touch with the pipe",
    "interstage_pressure": "high: leaking second-stage valves; low: leaking first-stage valves",
    "sound_level": "a loose guard, a dry bearing, walls close by",
}
"""What usually lies behind a reading that nothing else explains.  Source: practice."""


@rule(
    "statements_contradict", signal="notice", group="the owner's numbers",
    title="Plates, statements or readings that cannot all be right",
    why="When two things said of one plant cannot both be so, every number that rests on them is in doubt, and the "
    "wrong one may be the one that a part was chosen by.",
    threshold="A statement is, more likely than not, about something else altogether, given all others and their "
    "errors.",
    do="Check first what is likelier wrong; then take the reading again.",
    sources=("physics",),
)  # fmt: skip
def statements_contradict(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every statement that the rest of the plant disagrees with, or one that none does."""
    for found in case.contradictions:
        yield _verdict(case, found)
    if not case.contradictions and case.belief is not None and case.belief.heard:
        yield Verdict("clear", f"{len(case.belief.heard)} statements agree.")


def _verdict(case: Case, found: Contradiction) -> Verdict:
    said, blamed = found.statement, found.blamed
    low, likely, high = found.expected
    expected = toleranced(low, likely, high, kind=said.span.kind, units=case.units)
    where = "itself" if blamed.path == said.path else f"{blamed.path} ({blamed.words})"
    others = [f"{s.path} {s.probability:.0%}" for s in found.suspects[1:3] if s.probability >= 0.05]
    words = (
        f"{said.path}: {said.label} ({said.span.text}); all else says {expected}. Likelier wrong is {where}, "
        f"{blamed.probability:.0%}" + (f"; else {', '.join(others)}." if others else ".")
    )
    causes = CAUSES.get(said.what, "")
    do = f"Check {blamed.path} first." + (f" Usual causes: {causes}." if causes else "")
    paths = tuple(s.path for s in found.suspects)
    return Verdict("holds", words, parts=(said.path,), do=do, probability=found.doubt, decided_by=paths)


@rule(
    "readings_hard_to_match", signal="notice", group="the owner's numbers",
    title="Few plants agree with all that was read",
    why="Where hardly any plant that could be agrees with all statements, the ends of the bands rest on few rows.",
    threshold="Fewer than 400 rows that differ agree with what was said.",
    do="Look at the statements for one that is wrong, widen what was told too narrowly, or ask for more rows.",
    sources=("physics",),
)  # fmt: skip
def readings_hard_to_match(case: Case) -> Iterator[Verdict]:
    """Yield whether too few rows are left."""
    belief = case.belief
    if belief is None or not belief.heard:
        return
    words = f"{belief.effective:.0f} of {belief.draw.rows} rows differ."
    yield Verdict("holds" if belief.poor else "clear", words)
