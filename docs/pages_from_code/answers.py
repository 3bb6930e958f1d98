"""reference/answers.md: every answer, and the numbers in between that its equation names."""

from airfettle.quantity import KINDS
from airfettle.report.rating_table import GROUPS
from airfettle.studies.instant.state import PathState, TrainState
from airfettle.studies.meaning import CONSTANTS, FUNCTIONS, meanings
from airfettle.studies.rating import answer_meanings
from pages_from_code.words import code, kind_link, sentence, source_link

HEAD = """# Answers

What `airfettle rate` says, in the order of its table. The id is the name in the [JSON](rating_json.md), in readings
(`what = "pump_speed"`) and in Python. Each answer is a band over the draw: the middle, and what 9 of 10 plants that fit
the file lie between.

An equation is written in the names of this page; it holds for every single row of the draw, not for the middles of the
bands. What no closed equation gives is solved, and the page says from what. Inside the program everything is SI, and
pressures in equations are absolute unless the name says otherwise.
"""

JOINED = {
    "volumetric_efficiency": "all their air over all they sweep",
    "specific_power": "all their power over all their air",
    "sound_level": "their levels together",
}
"""How an answer that is neither a sum nor the highest is made for several trains."""

BETWEEN = """## Numbers in between

They stand in the equations above, and are not shown on their own.
"""


def page():
    """Return the page."""
    every = answer_meanings()
    groups = {title: [n for n in names if n in every] for title, names in GROUPS.items()}
    rest = [n for n in every if not any(n in names for names in groups.values())]
    if rest:
        groups["others"] = rest
    parts = [HEAD]
    for title, names in groups.items():
        parts += [f"## {sentence(title).rstrip('.')}", *(_answer(n, every[n]) for n in names)]
    return "\n\n".join(part.strip() for part in [*parts, BETWEEN, _between(), _constants()])


def _answer(name, meaning):
    kind = KINDS[meaning.kind]
    lines = [
        f"### {name}", "",
        f"{sentence(meaning.label)} {_several(name, meaning)}".strip(), "",
        f"- kind: {kind_link(meaning.kind)}; SI unit {code(kind.si)}; shown in {_shown(kind)}",
    ]  # fmt: skip
    if meaning.symbol:
        lines.append(f"- symbol: {code(meaning.symbol)}")
    lines += _how(meaning)
    lines.append("- rests on: " + ", ".join(source_link(key) for key in meaning.sources))
    if meaning.note:
        lines.append(f"- note: {meaning.note}")
    return "\n".join(lines)


def _several(name, meaning):
    if name in meanings(PathState):
        return ""
    if name in JOINED:
        return f"With several trains: {JOINED[name]}."
    return "With several trains: their sum." if meaning.total else "With several trains: the highest of them."


def _shown(kind):
    units = [u for u in dict.fromkeys((kind.us, kind.metric)) if u]
    return " (US) or ".join(code(u) for u in units) + (" (SI)" if len(units) > 1 else "") if units else "a bare number"


def _how(meaning):
    lines = []
    if meaning.equation:
        lines.append(f"- equation: {code(' '.join(meaning.equation.split()))}")
    if meaning.solved:
        lines.append(f"- solved: {meaning.solved}")
    return lines


def _between():
    lines = []
    every = meanings(TrainState) | meanings(PathState)
    for name, meaning in every.items():
        if meaning.is_answer:
            continue
        words = f"- {code(name)}, {code(meaning.symbol)}: {meaning.label}, in {code(KINDS[meaning.kind].si)}"
        if meaning.equation:
            words += f"; {code(' '.join(meaning.equation.split()))}"
        if meaning.solved:
            words += f"; solved: {meaning.solved}"
        lines.append(words + (f"; {meaning.note}" if meaning.note else ""))
    return "\n".join(lines)


_CONSTANT_WORDS = {
    "pi": "circumference over diameter, -", "R_DRY_AIR": "gas constant of dry air, J/(kg K)",
    "CP_DRY_AIR": "heat capacity of dry air, J/(kg K)", "CP_VAPOUR": "heat capacity of water vapour, J/(kg K)",
}  # fmt: skip


def _constants():
    lines = ["## Constants and functions in equations", ""]
    lines += [f"- {code(n)} = {v:.8g} ({_CONSTANT_WORDS.get(n, 'SI')})" for n, v in CONSTANTS.items()]
    moist = ("dew_point", "saturation_humidity_ratio", "vapour_pressure")
    plain = ", ".join(code(name) for name in FUNCTIONS if name not in moist)
    lines.append(f"- {plain}: as in any book")
    lines += [f"- {code(name)}: of moist air, from `airfettle.air.moist`" for name in moist if name in FUNCTIONS]
    return "\n".join(lines)
