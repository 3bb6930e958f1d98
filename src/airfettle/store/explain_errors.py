"""Turns what the models found wrong into the project's own errors, each with its place in the file."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from airfettle.errors import AirfettleError, MissingEntry, OutOfBounds, UnknownChoice, UnknownKey, WrongShape
from airfettle.plant.part import Model, entry_of
from airfettle.plant.whole import Plant

Place = tuple[str | int, ...]


def explained(error: ValidationError, data: dict[str, Any]) -> Iterator[tuple[AirfettleError, Place]]:
    """Yield (error, place in the file) for everything a validation found."""
    for detail in error.errors():
        place: Place = detail["loc"]
        context = detail.get("ctx", {})
        if detail["type"] == "airfettle":
            yield context["error"], (*place, context["entry"])
        else:
            yield _translated(detail, place), place


def _translated(detail: ErrorDetails, place: Place) -> AirfettleError:
    key = str(place[-1]) if place else "the file"
    read = f"{key} = {_short(detail['input'])}"
    if detail["type"] == "extra_forbidden":
        return _unknown_key(place)
    if detail["type"] in ("literal_error", "enum"):
        return UnknownChoice(read=read, wanted=str(detail.get("ctx", {}).get("expected", detail["msg"])))
    if detail["type"].startswith(("greater_than", "less_than")):
        return OutOfBounds(read=read, wanted=detail["msg"].replace("Input should be", "a number"))
    if detail["type"] == "missing":
        return MissingEntry(read=f"a section without {key}", wanted=f"a line {key} = ...")
    if detail["type"] in ("model_type", "model_attributes_type", "dict_type"):
        return WrongShape(read=read, wanted=_section_wanted(place))
    if detail["type"] in ("tuple_type", "list_type"):
        return WrongShape(read=read, wanted=f"a section, [{key}], or several, [[{key}]]")
    return WrongShape(read=read, wanted=detail["msg"].replace("Input should be ", ""))


def _section_wanted(place: Place) -> str:
    name = ".".join(p for p in place if isinstance(p, str))
    wanted = f'a section, [{name}], with lines of key = "value"'
    model = _model_at(place)
    if model is not None and "absent" in model.model_fields:
        wanted += f', or {name} = "none" where there is none'
    return wanted


def _unknown_key(place: Place) -> UnknownKey:
    model = _model_at(place[:-1])
    keys = [name for name in model.model_fields if name != "absent"] if model else []
    near = get_close_matches(str(place[-1]), keys, n=1)
    others = [k for k in keys if model and (entry_of(model.model_fields[k]) or k not in ("note", "source", "known"))]
    return UnknownKey(
        read=str(place[-1]),
        wanted="one of: " + ", ".join(others),
        instead=f"{near[0]}" if near else "'airfettle new' writes a file with every key",
    )


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


def _may_be_none(place: Place) -> bool:
    model = _model_at(place)
    return model is not None and "absent" in model.model_fields


def _model_in(annotation: Any) -> type[Model[Any]] | None:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        if found := _model_in(inner):
            return found
    return None


def _short(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."
