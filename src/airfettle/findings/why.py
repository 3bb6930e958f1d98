"""Why a number or a finding is what it is."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from airfettle.errors import BadRequest, UnknownChoice
from airfettle.findings.finding import Finding
from airfettle.findings.register import RULES
from airfettle.findings.rule import Rule
from airfettle.plant.part import entry_of, fact_of
from airfettle.plant.whole import walk_sections
from airfettle.quantity import Span
from airfettle.studies.limits.declared import LIMITS
from airfettle.studies.reach import Reach
from airfettle.studies.reasons import Explanation, explainable, reasons

BEHIND: dict[str, str] = {
    "pump_below_floor": "pump_floor", "flywheel_too_light": "flywheel", "motor_overloaded": "motor_torque",
    "motor_fan_too_slow": "motor_cooling", "motor_pulls_out": "pull_out", "single_phase_input": "drive_output",
    "drive_input_amps": "drive_input", "dryer_overloaded": "dryer_capacity",
    "separator_starved": "separator_least", "separator_flooded": "separator_most",
    "discharge_temperature": "discharge_temperature", "part_temperature_rating": "discharge_temperature",
    "cooler_approach": "cooler_approach", "cooler_outlet_hot": "cooler_outlet_temperature",
    "pump_too_cold": "wall_temperature", "drain_by_hand": "receiver_water", "water_in_pipe": "line_dew_point",
    "dryer_inlet_hot": "cooler_outlet_temperature", "treatment_drop": "line_pressure",
}  # fmt: skip
"""Rule -> the limit or the answer that it is made of, where the two have other names."""


@dataclass(frozen=True)
class EntrySaid:
    """An entry that decides a finding, and what it says: a span, or the answer to a question."""

    path: str
    label: str
    said: str
    span: Span | None


@dataclass(frozen=True)
class Why:
    """Why something is as it is.

    Attributes
    ----------
    asked : str
        As it was asked.
    findings : tuple of Finding
        What a rule says of this plant, part by part; empty where a number was asked about.
    rule : Rule or None
        The rule, where one was asked about.
    decided_by : tuple of EntrySaid
        Entries that decide the findings.
    explanation : Explanation or None
        Of the number, or of the limit behind the finding; None where it is a matter of fact.
    """

    asked: str
    findings: tuple[Finding, ...]
    rule: Rule | None
    decided_by: tuple[EntrySaid, ...]
    explanation: Explanation | None


def why(
    reach: Reach, *, findings: tuple[Finding, ...], asked: str, frequency: float | None = None,
    gauge: float | None = None, train: str = "", deep: bool = False,
) -> Why:  # fmt: skip
    """Return why a number, a margin or a finding is what it is.

    Parameters
    ----------
    reach : Reach
        The plant. [SI]
    findings : tuple of Finding
        All that was found, what is clear included.
    asked : str
        Answer id, field of the state, limit, or finding: a rule, or a rule and a part after a colon.
    frequency, gauge : float or None
        Where; None takes a finding's worst point, else full frequency and cut-out. [Hz] [Pa]
    train : str
        Which train, in a plant of several.
    deep : bool
        Every step down to the entries.

    Raises
    ------
    AirfettleError
        Nothing of that name, or nothing that this plant has.
    """
    name = asked.partition(":")[0]
    found = tuple(f for f in findings if asked in (f.rule, f.name))
    if name not in RULES or (not found and asked in explainable()):
        _check(asked)
        told = reasons(reach, asked=asked, frequency=frequency, gauge=gauge, train=train, deep=deep)
        return Why(asked, (), None, (), told)
    if not found:
        raise UnknownChoice(
            read=repr(asked), where="explain", wanted="a finding of this plant; this rule has nothing to look at here"
        )
    return Why(asked, found, RULES[name], _said(reach, found), _behind(reach, found, frequency, gauge, train, deep))


def _check(asked: str) -> None:
    every = (*explainable(), *RULES)
    if asked not in every:
        near = get_close_matches(asked, every, n=1)
        raise UnknownChoice(
            read=repr(asked), where="explain", wanted="an answer id, a limit, or the id of a finding",
            instead=near[0] if near else "",
        )  # fmt: skip


def _behind(
    reach: Reach, found: tuple[Finding, ...], frequency: float | None, gauge: float | None, train: str, deep: bool
) -> Explanation | None:
    """The number behind a finding, at its worst point, where it rests on one that the plant has."""
    rule = found[0].rule
    name = BEHIND.get(rule, rule)
    limits = {limit.name for limit in LIMITS}
    worst = next((f for f in found if f.worst_point is not None), found[0])
    if name not in limits | set(explainable()) or (worst.worst_point is None and name not in (rule, *limits)):
        return None
    part, point = worst.parts[0] if worst.parts else "", worst.worst_point
    own = part.split(".")[1] if part.startswith("train.") else train
    if point is not None and worst.state != "clear":
        frequency = point.frequency if frequency is None else frequency
        gauge = point.receiver_gauge if gauge is None else gauge
    try:
        return reasons(reach, asked=name, frequency=frequency, gauge=gauge, train=own, deep=deep)
    except (BadRequest, UnknownChoice):
        return None


def _said(reach: Reach, found: tuple[Finding, ...]) -> tuple[EntrySaid, ...]:
    """What the deciding entries say, each once."""
    sections = dict(walk_sections(reach.draw.plant))
    told = []
    for path in dict.fromkeys(path for f in found for path in f.decided_by):
        section, _, name = path.rpartition(".")
        model = sections.get(section)
        info = type(model).model_fields.get(name) if model is not None else None
        if info is None:
            continue
        entry, asked = entry_of(info), fact_of(info)
        span = reach.draw.spans.get(path)
        if entry is not None:
            told.append(EntrySaid(path, entry.label, span.text if span else "not told", span))
        else:
            label = asked.question if asked else path
            told.append(EntrySaid(path, label, str(getattr(model, name)), None))
    return tuple(told)
