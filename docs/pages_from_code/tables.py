"""reference/tables.md: every published table the program carries."""

from airfettle import tables
from pages_from_code.words import SURE, code, sentence, source_link, table

HEAD = """# Published tables

Each is a file of its own in `src/airfettle/tables/data/`, as printed, with its source, edition and place. A new edition
is a new file, never a silent change. Below: what each holds, where it stands in print, and how sure it is.
"""


def page():
    """Return the page."""
    legend = table(["how sure", "meaning"], SURE.items())
    return "\n\n".join([HEAD.strip(), legend, *(_one(tables.load(name)) for name in tables.names())])


def _one(entry):
    columns = list(entry.columns.values())
    units = ", ".join(f"{column.name} {code(column.unit)}" for column in columns)
    rows = len(columns[0].values)
    edition = f", edition {entry.edition}" if entry.edition != "-" else ""
    lines = [
        f"## {entry.name}", "",
        f"{sentence(entry.title)}", "",
        f"- source: {source_link(entry.source)}{edition}; {entry.where}",
        f"- how sure: {entry.sure}, {SURE[entry.sure]}",
        f"- {rows} rows; columns: {units}",
    ]  # fmt: skip
    if entry.note:
        lines.append(f"- note: {sentence(entry.note)}")
    return "\n".join(lines)
