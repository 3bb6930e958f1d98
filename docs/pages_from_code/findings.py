"""findings/: a page for every rule, and their index."""

from airfettle.findings.register import RULES
from airfettle.findings.rule import Rule
from airfettle.sources import all_sources
from pages_from_code.words import code, sentence, source_link, table

HEAD = """# Findings

What `airfettle findings FILE` looks for. Each has a signal word, as ANSI Z535.6 uses them:

| signal word | meaning |
|---|---|
| DANGER | will kill or injure badly if it is not put right: do not energise or pressurise |
| WARNING | could kill or injure badly |
| CAUTION | could injure slightly, or break something |
| NOTICE | good to know; or something graver that is not known for sure: measure it |

and a state: it **holds** (in at least half of the draw, or as a matter of fact), it **may hold** (in 1 to 50 % of
the draw, told with the entry that decides it), it is **not told** (a question nobody answered), or it is **clear**.

A danger or a warning is only said where the limit it rests on is known by a plate, a maker or a measurement, or where
it is a matter of fact; else it is a notice that says what to find out first. A question that may hide a danger and is
not answered is itself a warning. No option silences any of them. Local codes and licensed people decide; a plant
without findings is not thereby safe.
"""

GROUPS = ("pressure boundary", "pump and drive train", "electrical and control", "air quality and piping",
          "the owner's numbers")  # fmt: skip


def index():
    """Return the index."""
    parts = [HEAD.strip()]
    for group in GROUPS:
        rows = [[f"[{code(r.name)}]({r.name}.md)", r.signal.upper(), r.title] for r in of_group(group)]
        parts += [f"## {sentence(group).rstrip('.')}", table(["finding", "at worst", "what"], rows)]
    names = "\n".join(rule.name for group in GROUPS for rule in of_group(group))
    return "\n\n".join([*parts, f"```{{toctree}}\n:hidden:\n\n{names}\n```"])


def of_group(group):
    """Return the rules of a group, gravest first."""
    order = ("danger", "warning", "caution", "notice")
    return sorted((r for r in RULES.values() if r.group == group), key=lambda r: (order.index(r.signal), r.name))


def page(rule: Rule):
    """Return the page of a rule."""
    lines = [
        f"# {rule.title}", "",
        f"Finding {code(rule.name)}, at worst **{rule.signal.upper()}**; [{rule.group}](index.md).", "",
        "## When it holds", "", sentence(rule.threshold), "",
        "## Why it matters", "", sentence(rule.why), "",
        "## What puts it right", "", sentence(rule.do), "",
        "## Sources", "",
        *(f"- {source_link(key)}: {sentence(all_sources()[key].title)}" for key in rule.sources),
    ]  # fmt: skip
    if rule.signal in ("danger", "warning"):
        lines += ["", "> Local codes and licensed people decide what may be built, wired and run."]
    return "\n".join(lines)


def pages():
    """Return every page, by name."""
    return {"findings/index.md": index} | {
        f"findings/{name}.md": (lambda rule=rule: page(rule)) for name, rule in RULES.items()
    }
