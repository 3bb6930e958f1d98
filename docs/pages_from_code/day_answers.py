"""reference/day_answers.md: what a day or a year of running comes to, with equations and what each rests on."""

from airfettle.quantity import KINDS
from airfettle.studies.day.answers import DayAnswers, ToolAnswers
from airfettle.studies.meaning import meanings
from pages_from_code.answers import _how, _shown
from pages_from_code.words import code, kind_link, sentence, source_link

HEAD = """# Answers of a day

What `airfettle day`, `year` and `resize` say. The id is the name in their JSON and in Python. Each answer is a band
over many runs, each with its own luck and its own row of the draw: the middle, and what 9 of 10 runs lie between.

An equation holds for every single run. [Decision 15](../decisions/0015-a-day-of-running.md) states the equations of the
run itself.
"""

BETWEEN = """## Numbers in between

They stand in the equations above, and are not shown on their own.
"""


def page():
    """Return the page."""
    parts = [HEAD, "## The plant", *_answers(DayAnswers), "## Each tool", *_answers(ToolAnswers), BETWEEN]
    return "\n\n".join(part.strip() for part in [*parts, _between(DayAnswers), _between(ToolAnswers)])


def _answers(result):
    return [_answer(name, meaning) for name, meaning in meanings(result).items() if meaning.is_answer]


def _answer(name, meaning):
    kind = KINDS[meaning.kind]
    lines = [
        f"### {name}", "", sentence(meaning.label), "",
        f"- kind: {kind_link(meaning.kind)}; SI unit {code(kind.si)}; shown in {_shown(kind)}",
        f"- symbol: {code(meaning.symbol)}", *_how(meaning),
        "- rests on: " + ", ".join(source_link(key) for key in meaning.sources),
    ]  # fmt: skip
    return "\n".join([*lines, f"- note: {meaning.note}"] if meaning.note else lines)


def _between(result):
    lines = []
    for name, meaning in meanings(result).items():
        if not meaning.is_answer:
            words = f"- {code(name)}, {code(meaning.symbol)}: {meaning.label}, in {code(KINDS[meaning.kind].si)}"
            lines.append(words + (f"; {meaning.note}" if meaning.note else ""))
    return "\n".join(lines)
