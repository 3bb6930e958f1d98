"""reference/quantities.md: how a number may be written, and what a bare one is taken to mean."""

from dataclasses import replace
from pathlib import Path
from typing import get_args

from airfettle.plant.part import entry_of
from airfettle.quantity import KINDS, Known, in_unit, read_span, span_text
from airfettle.quantity.kinds import AWG
from airfettle.quantity.reader import ABOUT
from airfettle.quantity.tolerance import INSTRUMENTS, WORDS_FOR_KNOWN, bare_error
from pages_from_code.plant_file import sections
from pages_from_code.words import between, code, sentence, table

TEMPLATE = Path(__file__).with_name("quantities_head.md")

FORMS = (
    ("16 cfm", "intake_flow", "a bare value: how it is known sets how far it may be off"),
    ("780..860 rpm", "rotational_speed", "anywhere between, all alike"),
    ("780-860 rpm", "rotational_speed", "the same"),
    ("7 to 8 bar", "pressure", "the same"),
    ("800..900 rpm likely 850", "rotational_speed", "between, most likely at 850"),
    ("7.1 +/- 0.2 in", "length", "two standard deviations either way; ± may be written too"),
    ("16 cfm +/- 10 %", "intake_flow", "the same, as a share"),
    ("16 cfm +2/-1", "intake_flow", "more doubt upwards than downwards"),
    ("about 3 kW", "power", f"{ABOUT:.0%} either way"),
    ("4-5/8 in", "length", "inches and a fraction; 4 5/8 in and 5/8 in too"),
    ("4.6 in by tape", "length", "read with an instrument, here a tape"),
    ("1745 rpm by plate", "rotational_speed", "from the nameplate"),
    ("900 rpm by seller", "rotational_speed", "told by somebody"),
)
"""Text, kind, and what it means."""

FAR = 1e5
"""An end of this size in its metric unit and more is not set by nature."""

KNOWN = tuple(known for known in get_args(Known) if known != "assumed")


def page():
    """Return the page."""
    head = TEMPLATE.read_text(encoding="utf-8")
    for mark, text in {
        "FORMS": _forms(), "INSTRUMENTS": _instruments(), "BY_KNOWN": _by_known(), "WORDS": _words(),
        "KINDS": "\n\n".join(_kind(kind) for kind in KINDS.values()), "AWG": _gauges(),
    }.items():  # fmt: skip
        head = head.replace(f"{{{{{mark}}}}}", text)
    return head


def _forms():
    rows = []
    for text, kind, meaning in FORMS:
        span = read_span(text, kind=kind)
        read_as = span_text(replace(span, text=""), units="US")
        rows.append([code(f'"{text}"'), meaning, read_as])
    return table(["written", "meaning", "read as"], rows)


def _error(kind, *, known="measured", by=""):
    """Return (share, amount) of the tolerance of a bare value, found by asking for it."""
    amount = bare_error(0.0, kind=kind, known=known, by=by)
    far = 1e12
    share = bare_error(far, kind=kind, known=known, by=by) / far
    return (share if share > 1e-9 else 0.0), amount


def _tolerance(kind, **how):
    share, amount = _error(kind, **how)
    entry = KINDS[kind]
    parts = []
    if share:
        parts.append(f"{100 * share:.3g} %")
    if amount:
        unit = {"pressure": "kPa", "absolute_pressure": "kPa", "pressure_difference": "kPa",
                "temperature": "K", "temperature_difference": "K", "volume": "L"}.get(kind, entry.metric)  # fmt: skip
        factor = entry.units[unit][0]
        parts.append(f"{amount / factor:.3g} {unit}".replace(" %", " points of %"))
    return ", at least ".join(parts) if parts else "exact"


def _instruments():
    rows = [
        [code(f"by {name}"), "; ".join(f"{KINDS[kind].label}: {_tolerance(kind, by=name)}" for kind in kinds)]
        for name, kinds in INSTRUMENTS.items()
    ]
    return table(["written", "two standard deviations"], rows)


def kinds_in_plants():
    """Kinds of quantity that some key of the plant file is of, in the order of the kinds."""
    found = {entry.kind for _, model in sections() for info in model.model_fields.values() if (entry := entry_of(info))}
    return [name for name in KINDS if name in found]


def _by_known():
    rows = {}
    for kind in kinds_in_plants():
        row = tuple(_tolerance(kind, known=known) for known in KNOWN)
        rows.setdefault(row, []).append(KINDS[kind].label)
    usual = max(rows, key=lambda row: len(rows[row]))
    ordered = [usual, *(row for row in rows if row != usual)]
    return table(["kind", *KNOWN], [["; ".join(rows[row]), *row] for row in ordered])


def _words():
    meant = {}
    for word, known in WORDS_FOR_KNOWN.items():
        meant.setdefault(known, []).append(code(f"by {word}"))
    return "\n".join(f"- {known}: {', '.join(words)}" for known, words in meant.items())


def _kind(kind):
    units = [code(name) for name in kind.units if name]
    bare = "a bare number" if "" in kind.units else ""
    lines = [f"### {kind.name}", "", f"{sentence(kind.label)} Units: {', '.join([*units, *([bare] if bare else [])])}."]
    shown = [u for u in dict.fromkeys((kind.us, kind.metric)) if u]
    rest = [f"SI: {code(kind.si)}"]
    if shown:
        rest.append("shown in " + " (US) or ".join(code(u) for u in shown) + (" (SI)" if len(shown) > 1 else ""))
    bounds = between(*(None if _far(end, kind) else end for end in (kind.low, kind.high)), kind.name)
    if bounds:
        rest.append(f"can be: {bounds}")
    lines.append("; ".join(rest) + ".")
    flavours = [code(unit) for unit in kind.flavours]
    if flavours:
        lines.append(f"Read as {KINDS[next(iter(kind.flavours.values()))].label}: {', '.join(flavours)}.")
    lines += [f"Refused: {code(unit)}: {why}." for unit, why in kind.refused.items()]
    return "\n".join(lines)


def _far(end, kind):
    """Whether an end is only there to keep nonsense out."""
    return abs(end) == float("inf") or abs(in_unit(end, kind=kind.name, unit=kind.metric)) >= FAR


def _gauges():
    return table(["gauge", "copper"], [[code(f"{g} AWG"), f"{area * 1e6:.2f} mm2"] for g, area in AWG.items()])
