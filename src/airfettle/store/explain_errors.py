"""Turns what the models found wrong into the project's own errors, each with its place in the file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from airfettle.errors import (
    AirfettleError,
    MissingEntry,
    NotAPlantFile,
    OutOfBounds,
    UnknownChoice,
    UnknownKey,
    WrongShape,
)
from airfettle.plant.part import Model, Part, entry_of, shortened
from airfettle.plant.whole import SEVERAL, Plant

Place = tuple[str | int, ...]


def explained(error: ValidationError) -> Iterator[tuple[AirfettleError, Place]]:
    """Yield (error, place in the file) for everything a validation found."""
    for detail in error.errors():
        place: Place = detail["loc"]
        context = detail.get("ctx", {})
        if detail["type"] == "airfettle":
            yield context["error"], (*place, *context["entry"])
        else:
            yield _translated(detail, place), place


PLAIN = {
    "string_type": "text in quotes",
    "int_type": "a whole number, without quotes", "int_parsing": "a whole number, without quotes",
    "int_from_float": "a whole number", "int_parsing_size": "a smaller number",
    "float_type": "a number, without quotes", "float_parsing": "a number, without quotes",
    "finite_number": "a number that can be",
    "bool_type": "true or false, without quotes", "bool_parsing": "true or false, without quotes",
}  # fmt: skip
"""What the models found wrong -> what would be right, in plain words."""


def _translated(detail: ErrorDetails, place: Place) -> AirfettleError:
    kind, value = detail["type"], detail["input"]
    key = next((k for k in reversed(place) if isinstance(k, str)), "the file")
    read = f"{key} = {shortened(value)}"
    if kind == "extra_forbidden":
        return _unknown_key(place)
    if kind in ("literal_error", "enum"):
        return _unknown_choice(read, value, str(detail.get("ctx", {}).get("expected", detail["msg"])))
    if kind.startswith(("greater_than", "less_than")):
        return OutOfBounds(read=read, wanted=detail["msg"].replace("Input should be", f"{key}, a number"))
    if kind == "missing":
        return MissingEntry(read=f"a section without {key}", wanted=f'a line {key} = "..."')
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return WrongShape(read=read, wanted=_section_wanted(place))
    if kind in ("tuple_type", "list_type"):
        return WrongShape(read=read, wanted=_several_wanted(place))
    return WrongShape(read=read, wanted=PLAIN.get(kind, detail["msg"].replace("Input should be ", "")))


def _unknown_choice(read: str, value: Any, expected: str) -> UnknownChoice:
    """Say the choices, and the nearest of them."""
    words = re.findall(r"'([^']*)'", expected) or re.findall(r"\d+", expected)
    near = get_close_matches(str(value).strip().lower(), [word.lower() for word in words], n=1, cutoff=0.65)
    instead = next((word for word in words if near and word.lower() == near[0]), "")
    return UnknownChoice(read=read, wanted=f"one of: {expected}", instead=instead)


def _several_wanted(place: Place) -> str:
    """Say how several are written: sections, or a list."""
    name = ".".join(k for k in place if isinstance(k, str))
    if _model_at(place) is None:
        return f'a list, {place[-1]} = ["...", "..."]'
    if place[-1] in SEVERAL:
        return f"a section, [{name}], or several, [[{name}]]"
    return f"a list, {place[-1]} = [{{ ... }}], or sections [[{name}]]"


def _section_wanted(place: Place) -> str:
    name = ".".join(p for p in place if isinstance(p, str))
    header = f"[[{name}]]" if isinstance(place[-1], int) and place[-2] not in SEVERAL else f"[{name}]"
    wanted = f'a section, {header}, with lines of key = "value"'
    model = _model_at(place)
    if model is not None and "absent" in model.model_fields:
        wanted += f', or {name} = "none" where there is none'
    return wanted


def _unknown_key(place: Place) -> UnknownKey:
    model, key = _model_at(place[:-1]), str(place[-1])
    keys = [name for name in model.model_fields if name != "absent"] if model else []
    others = [k for k in keys if model and (entry_of(model.model_fields[k]) or k not in ("note", "source", "known"))]
    near = get_close_matches(key.lower(), keys, n=1)
    here = ".".join(k for k in place[:-1] if isinstance(k, str))
    homes = list(_homes(model, key, here)) or list(_homes(Plant, key, ""))
    if homes and not (near and near[0] == key.lower()):
        instead = f"{key} belongs in " + " or ".join(f"[{home}]" for home in homes[:3])
    else:
        instead = near[0] if near else "'airfettle new' writes a file with every key"
    return UnknownKey(
        read=key if key and key.isprintable() and len(key) <= 60 else shortened(key),
        wanted="one of: " + ", ".join(others),
        instead=instead,
    )


def _homes(model: type[Model[Any]] | None, key: str, here: str) -> Iterator[str]:
    """Yield the sections inside a section that have a key of this name, but for keys that all parts have."""
    for name, info in (model.model_fields if model else {}).items():
        inner = _model_in(info.annotation)
        if inner is None or name == "train":
            continue
        path = f"{here}.{name}" if here else name
        if key in inner.model_fields and key not in Part.model_fields:
            yield path
        yield from _homes(inner, key, path)


def _model_at(place: Place) -> type[Model[Any]] | None:
    """Follow the models' annotations to the section a place names."""
    model: type[Model[Any]] | None = Plant
    for key in place:
        if isinstance(key, int):
            continue
        if model is None or key not in model.model_fields:
            return None
        model = _model_in(model.model_fields[key].annotation)
    return model


def _model_in(annotation: Any) -> type[Model[Any]] | None:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        if found := _model_in(inner):
            return found
    return None


TOML_TROUBLE = (
    ("Cannot overwrite a value", "each key once in its section", "take one of the two lines away"),
    (
        "Cannot declare",
        "each [section] once",
        "put the lines of both under one [section]; several parts are [[section]]",
    ),
    (
        "Cannot mutate immutable namespace",
        "each [section] written in one way",
        "put the line into the { } of the section",
    ),
    ("Cannot redefine namespace", "each [section] written in one way", "either [[section]] or [section]"),
    ("Expected newline or end of document", "one entry on each line", 'put all of a quantity in quotes: "850 rpm"'),
    ("Invalid value", "a value in quotes", 'put all of a quantity in quotes, as in speed = "850 rpm"'),
    ("Expected '='", 'a line of key = "value"', "put = between key and value, or # before a remark"),
    ("Invalid initial character for a key", 'a line of key = "value", or a [section]', "put # before a remark"),
    ("Unterminated", "the closing quote", "end the text with the quote it began with"),
    ("Illegal character", "text of one line between its quotes", "end the text with the quote it began with"),
    ("Unescaped", "no \\ in quoted text", "single quotes leave \\ alone: 'like \\ this'"),
    ("Unclosed array", "the closing ]", "end the list with ]"),
    ("Expected ']", "the closing ]", "end the [section] with ], and [[section]] with ]]"),
    ("Unclosed inline table", "the closing }", "end the section with }"),
    ("Duplicate inline table key", "each key once in its section", "take one of the two away"),
    ("Invalid date", "a date as 2026-03-02, or text in quotes", "put it in quotes"),
    ("Exceeds the limit", "a number that can be", "put all of a quantity in quotes"),
)
"""Part of the TOML reader's words -> what is wanted, and what to try."""


def not_toml(message: str, text: str, file: str) -> NotAPlantFile:
    """Say in the owner's words why a file is not TOML, at its line."""
    lines = text.split("\n")
    found = re.search(r"\(at line (\d+), column \d+\)", message)
    number = int(found[1]) if found else len(text.rstrip("\n").split("\n")) if "end of document" in message else 0
    if endless := re.search(r"[0-9_]{4000}", text) if "Exceeds the limit" in message else None:
        number = text.count("\n", 0, endless.start()) + 1
    line = lines[number - 1].strip() if 0 < number <= len(lines) else ""
    read = shortened(line) if line else "an empty line"
    known = next((advice for words, *advice in TOML_TROUBLE if words in message), None)
    if known is None:
        read += " (" + re.sub(r"\s*\(at .*\)$", "", message) + ")"
    wanted, instead = known or ('lines of key = "value" under [section] lines', 'quantities in quotes: "850 rpm"')
    where = f"{file}, line {number}" if number else file
    return NotAPlantFile(read=read, wanted=wanted, instead=instead, where=where)
