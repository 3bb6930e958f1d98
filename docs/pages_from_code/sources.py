"""sources.md: the bibliography."""

from airfettle import tables
from airfettle.sources import all_sources
from pages_from_code.words import SEEN, code, sentence, table

HEAD = """# Sources

What equations, tables and defaults rest on, and how each was seen. Most works were seen as others quote them, not in
the original: this page says so for each, so that a reader who has the book can check.
"""


def page():
    """Return the page."""
    every = all_sources()
    counted = [[words, sum(s.how == how for s in every.values())] for how, words in SEEN.items()]
    counts = table(["how it was seen", "works"], counted)
    used = {}
    for name in tables.names():
        used.setdefault(tables.load(name).source, []).append(name)
    return "\n\n".join([HEAD.strip(), counts, *(_one(s, used.get(key, [])) for key, s in every.items())])


def _one(source, names):
    lines = [f"## {source.key}", "", sentence(source.title), ""]
    if source.edition:
        lines.append(f"- edition: {source.edition}")
    lines.append(f"- seen: {SEEN[source.how]}")
    if source.note:
        lines.append(f"- {sentence(source.note)}")
    if names:
        lines.append("- tables: " + ", ".join(f"[{code(n)}](reference/tables.md#{n})" for n in names))
    return "\n".join(lines)
