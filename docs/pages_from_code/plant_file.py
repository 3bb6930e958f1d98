"""reference/plant_file.md: every section and key of the plant file."""

from pathlib import Path
from typing import Literal, get_args, get_origin

from airfettle.plant.part import Model, Part, entry_of
from airfettle.plant.whole import DEFAULT_AIR_PATH, IN_ORDER, SEVERAL, TRAIN_SECTIONS, Plant
from airfettle.quantity import Known
from airfettle.studies.draw import ALWAYS, ALWAYS_IN_A_TRAIN
from pages_from_code.keys_read import keys_read
from pages_from_code.words import between, code, kind_link, sentence, source_link, table

TEMPLATE = Path(__file__).with_name("plant_file_head.md")
BASE = {"absent", "name", "source", "condition", "have", "price", "mass", "note", "known"}
"""Keys that all parts share; each is described once."""
MADE = {"hangs"}
"""Keys that follow from others and are not for the owner to write."""

MAY_BE_NONE = {
    "drive", "motor_lead", "belt", "intake", "cooler", "separator", "check_valve", "receiver", "relief_valve", "dryer",
    "filter", "use",
}  # fmt: skip
"""Sections a plant can do without; the house tests rate one without each."""

KNOWN_WORDS = {
    "measured": "read with an instrument", "nameplate": "on a plate or stamp",
    "maker": "in the maker's sheet or manual", "told": "somebody said so; the word assumed where you say nothing",
    "guess": "by eye", "assumed": "what the program puts in where nobody told; do not write it yourself",
}  # fmt: skip


def sections():
    """Every section, as (path in the file, model), the plant first and parts of parts behind their part."""
    yield from _inside(Plant, "")


def _inside(model, path):
    for name, info in model.model_fields.items():
        inner = model_in(info.annotation)
        if inner is None or (path and name in TRAIN_SECTIONS and path == "train"):
            continue
        here = f"{path}.{name}" if path else name
        yield here, inner
        yield from _inside(inner, here)


def model_in(annotation):
    """Return the section a field holds, or None."""
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    return next((found for inner in get_args(annotation) if (found := model_in(inner))), None)


def page():
    """Return the page."""
    head = TEMPLATE.read_text(encoding="utf-8")
    known = table(["known", "meaning"], [[code(k), KNOWN_WORDS[k]] for k in get_args(Known)])
    order = "\n".join(f"- {code(f'{s}.{a}')} may not lie above {code(f'{s}.{b}')}" for s, a, b in IN_ORDER)
    assumed = ", ".join(code(name) for name in dict.fromkeys([*ALWAYS, *ALWAYS_IN_A_TRAIN]) if name != "plant")
    left = ", ".join(code(n) for n in (*DEFAULT_AIR_PATH, "cooler", "relief_valve") if n not in ALWAYS)
    for mark, text in {
        "KNOWN": known, "ORDER": order, "ASSUMED_SECTIONS": assumed, "LEFT_OUT": left,
        "SEVERAL": ", ".join(code(f"[[{name}]]") for name in SEVERAL),
        "TRAIN_SECTIONS": ", ".join(code(name) for name in TRAIN_SECTIONS),
        "AIR_PATH": ", ".join(code(name) for name in DEFAULT_AIR_PATH),
        "SECTIONS": ", ".join(f"[{path}](#{path.replace('.', '')})" for path, _ in sections()),
        "BASE_KEYS": "\n".join(_key(n, Part.model_fields[n], Part) for n in Part.model_fields),
    }.items():  # fmt: skip
        head = head.replace(f"{{{{{mark}}}}}", text)
    return "\n\n".join([head.strip(), *(_section(path, model) for path, model in sections())])


def _section(path, model):
    name = path.rpartition(".")[2]
    about = [f"## {path}", "", f"{sentence(model.title)} {_form(path, name, model)}", ""]
    alone = {"name", "price"} if not issubclass(model, Part) else set()
    own = [n for n in model.model_fields if n not in BASE | MADE or n in alone]
    keys = [_key(n, model.model_fields[n], model) for n in own if model_in(model.model_fields[n].annotation) is None]
    within = [n for n in own if model_in(model.model_fields[n].annotation) is not None]
    if within:
        keys += [_inner(path, n, model.model_fields[n]) for n in within]
    if issubclass(model, Part):
        keys.append("- and the [keys that all parts share](#keys-that-all-parts-share)")
    else:
        keys.append("- and [`known`](#how-a-value-is-known)")
    return "\n".join([*about, *keys])


def _form(path, name, model):
    outer = path.rpartition(".")[0]
    if outer:
        return f"Stands inside {code(f'[{outer}]')}."
    written = f"Written {code(f'[{name}]')}"
    if name in SEVERAL:
        written += f", or {code(f'[[{name}]]')} for each of several"
    if issubclass(model, Part) and name in MAY_BE_NONE:
        written += "; " + code(name + ' = "none"') + " where there is none"
    return written + "."


def _inner(path, name, info):
    label = info.json_schema_extra["label"]
    if path == "train":
        return f"- {code(name)}: {label}, as [{name}](#{name})"
    return f"- {code(name)}: {label}, see [{path}.{name}](#{(path + name).replace('.', '')})"


def _key(name, info, model):
    """Return one key as an item of a list."""
    entry = entry_of(info)
    if entry is None:
        return _choice(name, info, model)
    ratio = entry.kind == "fraction" and (entry.high or 0.0) > 1.0
    bounds = f"{entry.low:g} to {entry.high:g}" if ratio else between(entry.low, entry.high, entry.kind)
    kind = "[a ratio](quantities.md#fraction)" if ratio else kind_link(entry.kind)
    role = {"given": "", "limit": ", a limit", "reading": ", a reading"}[entry.role]
    first = f"- **{code(name)}**: {entry.label} ({kind}{role}{', ' + bounds if bounds else ''})."
    rest = [_examples(entry)]
    if entry.say:
        rest.append(sentence(entry.say))
    if entry.measure:
        rest.append(f"Find it out: {entry.measure}.")
    rest.append(_assumed(entry))
    rest.append(_kept(name, model))
    return "\n".join([first, *(f"  {line}" for line in rest if line)])


def _examples(entry):
    found = [code(f'"{text}"') for text in dict.fromkeys((entry.example_us, entry.example_si)) if text]
    return f"Such as {' or '.join(found)}." if found else ""


def _assumed(entry):
    if entry.required:
        return "Must be given."
    if entry.default is None:
        return "Not told: nothing is assumed."
    if isinstance(entry.default, dict):
        each = "; ".join(f"{code(k)} {code(v)}" for k, v in entry.default.items() if k)
        text = f"Not told: assumed by {code(entry.by)}: {each}"
    else:
        text = f"Not told: assumed {code(entry.default)}"
    unless = f"; not where {' or '.join(code(u) for u in entry.unless)} is told" if entry.unless else ""
    return f"{text}{unless} ({source_link(entry.source)})."


def _kept(name, model):
    own = (model.__name__.partition("[")[0], name)
    without = model is Part or own[0] in ("About", "Train", "Reading") or name in BASE
    return "" if without or own in keys_read() else "Kept; no answer rests on it yet."


def _choice(name, info, model):
    label = info.json_schema_extra["label"]
    words = _words(info.annotation)
    text = f"- **{code(name)}**: {label}"
    if words:
        text += ": " + ", ".join(code(w if isinstance(w, int) else f'"{w}"') for w in words)
    text += "."
    say = info.json_schema_extra.get("say")
    rest = [sentence(say)] if say else []
    rest.append(_bounds(info))
    if info.is_required():
        rest.append("Must be given.")
    elif info.default not in (None, "", ()):
        default = info.default if isinstance(info.default, (int, float)) else f'"{info.default}"'
        rest.append(f"Not told: {code(str(default).lower() if isinstance(default, bool) else default)}.")
    rest.append(_kept(name, model))
    return "\n".join([text, *(f"  {line}" for line in rest if line)])


def _bounds(info):
    low = next((m.ge for m in info.metadata if hasattr(m, "ge")), None)
    high = next((m.le for m in info.metadata if hasattr(m, "le")), None)
    if low is None or high is None or "0.5 to" in info.json_schema_extra["label"]:
        return ""
    return f"A number from {low:g} to {high:g}."


def _words(annotation):
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    return next((found for inner in get_args(annotation) if (found := _words(inner))), ())
