"""Ask every rule, and say each verdict no louder than what is known allows."""

from __future__ import annotations

from airfettle.findings.case import Case, Verdict
from airfettle.findings.finding import SIGNALS, Finding, Signal
from airfettle.findings.register import RULES
from airfettle.findings.rule import Rule
from airfettle.studies.day.days import Days
from airfettle.studies.evidence.conditioning import Belief
from airfettle.studies.evidence.contradictions import Contradiction
from airfettle.studies.reach import Reach

DEFER = {
    "pressure boundary": "Local codes and an inspector decide.",
    "pump and drive train": "Local codes decide.",
    "electrical and control": "Local codes and a licensed electrician decide.",
    "air quality and piping": "Local codes decide.",
    "the owner's numbers": "",
}
"""Who decides, said with every danger and warning, by group."""
STOP = "Do not energise or pressurise it until this is put right."
"""Said with every danger that holds."""


def judge(
    reach: Reach,
    *,
    belief: Belief | None = None,
    contradictions: tuple[Contradiction, ...] = (),
    days: Days | None = None,
    clear: bool = False,
) -> tuple[Finding, ...]:
    """Return what is found about a plant, worst first.

    Parameters
    ----------
    reach : Reach
        The plant at every point its settings can bring it to. [SI]
    belief : Belief or None
        How it was drawn in the light of what is said of it.
    contradictions : tuple of Contradiction
        Statements that cannot all be right.
    days : Days or None
        The plant run through days, for what only time shows; None leaves that out.
    clear : bool
        Also tell what was looked at and is in order.

    Notes
    -----
    A danger or warning is one where it holds in at least half of the draw and the limit it rests on is known by plate,
    maker or measurement, or where it is a matter of fact; otherwise it is a notice to measure. A fact not told is a
    warning where it may hide a danger, else a notice.
    """
    case = Case(reach, belief=belief, contradictions=contradictions, days=days)
    found = [
        _finding(rule, verdict, case)
        for rule in RULES.values()
        for verdict in rule.judge(case)
        if clear or verdict.state != "clear"
    ]
    return tuple(sorted(found, key=_rank))


def _rank(finding: Finding) -> tuple[int, int, int]:
    states = ("holds", "may hold", "not told", "clear")
    return (
        SIGNALS.index(finding.signal) + (10 if finding.state == "clear" else 0),
        states.index(finding.state),
        SIGNALS.index(finding.rule_signal),
    )


def _finding(rule: Rule, verdict: Verdict, case: Case) -> Finding:
    most = verdict.signal or rule.signal
    signal = _signal(most, verdict, case)
    do = verdict.do or rule.do
    if signal != most and verdict.state != "not told" and verdict.rests_on and not case.sure(verdict.rests_on):
        do = f"First find out: {', '.join(verdict.rests_on)}. {do}"
    if signal in ("danger", "warning"):
        do = " ".join(filter(None, (STOP if (signal, verdict.state) == ("danger", "holds") else "", do,
                                    DEFER[rule.group])))  # fmt: skip
    return Finding(
        rule=rule.name, signal=signal, rule_signal=most, state=verdict.state, probability=verdict.probability,
        says=verdict.says, do=do, why=rule.why, parts=verdict.parts, worst_point=verdict.point,
        decided_by=verdict.decided_by, sources=rule.sources, rows=verdict.rows, among=verdict.among,
    )  # fmt: skip


def _signal(most: Signal, verdict: Verdict, case: Case) -> Signal:
    """Signal word that what is known allows."""
    if verdict.state == "not told":
        return "warning" if most == "danger" else "notice"
    if verdict.state == "may hold":
        return "notice"
    if verdict.probability is None or most in ("caution", "notice"):
        return most
    return most if case.sure(verdict.rests_on) else "notice"
