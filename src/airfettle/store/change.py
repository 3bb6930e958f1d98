"""Changes to a plant file's text that leave every comment, the order and all other bytes as they are."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import tomlkit
import tomlkit.exceptions
from tomlkit.items import InlineTable

from airfettle.errors import BadRequest, UnknownKey
from airfettle.plant.part import shortened
from airfettle.plant.whole import SEVERAL
from airfettle.store.locate import Place, end_of


def changed_text(text: str, changes: Mapping[str, Any], *, base: Mapping[str, Any], where: str) -> str:
    """Return a plant file's text with entries changed.

    Parameters
    ----------
    text : str
        The plant file.
    changes : mapping
        Path of an entry -> its new text; None takes it out.
    base : mapping
        What the file is based on; a part that only stands there gets a section of its name here.
    where : str
        The file, for the error.

    Raises
    ------
    UnknownKey
        A path leads nowhere.
    BadRequest
        A change cannot be made and leave the rest of the file as it is.
    """
    windows = "\r\n" in text and text.count("\r\n") == text.count("\n")
    if windows:
        text = text.replace("\r\n", "\n")
    for entry, value in changes.items():
        if value is not None:
            text = _with_named_part(text, entry, base)
        text = _changed(text, entry, value, where)
    return text.replace("\n", "\r\n") if windows else text


def _with_named_part(text: str, entry: str, base: Mapping[str, Any]) -> str:
    """Give the file a section for a part that so far only stands in what it is based on."""
    key, _, rest = entry.partition(".")
    mine, others = (
        [
            part["name"]
            for part in (parts if isinstance(parts, list) else [parts])
            if isinstance(part, dict) and isinstance(part.get("name"), str)
        ]
        for parts in (tomllib.loads(text).get(key, []), base.get(key, []))
    )
    name = next((other for other in others if other and rest.startswith(f"{other}.")), None)
    if key not in SEVERAL or name is None or name in mine:
        return text
    lines = ["", f"[[{key}]]", f"name = {tomlkit.item(name).as_string()}"]
    behind = end_of(text, (key,), whole=True)
    new = _put_behind(text, behind if behind is not None else text.rstrip("\n").count("\n") + 1, lines)
    try:
        tomllib.loads(new)
    except tomllib.TOMLDecodeError:  # the file writes its parts in another way
        return text
    return new


def _changed(text: str, entry: str, value: Any, where: str) -> str:
    data = tomllib.loads(text)
    place = _resolved(data, entry, where)
    wanted = _with(data, place, value)
    if wanted == data:
        return text
    for way in _ways(data, place, value):
        try:
            new = way(text, place, value)
            if tomllib.loads(new) == wanted:
                return new
        except (ValueError, TypeError, LookupError, AttributeError, tomlkit.exceptions.TOMLKitError):
            continue  # the next way, or the error below
    raise BadRequest(
        read=f"{entry} = {shortened(value)}", where=where,
        wanted="text, a number or a section that can be put there; or change this one by hand",
    )  # fmt: skip


def _ways(data: Any, place: Place, value: Any) -> Iterator[Callable[[str, Place, Any], str]]:
    """Yield the ways a change may be made, the one that disturbs the file least first."""
    old = _at(data, place)
    if value is not None and old is None:
        yield from _new_ways(place, value)
    if value is not None and isinstance(old, (dict, list)):
        yield _section_replaced
    yield _value_set


def _new_ways(place: Place, value: Any) -> tuple[Callable[[str, Place, Any], str], ...]:
    """Return the ways to write a new entry: a whole part as a section, all else as a line."""
    return (_new_section, _new_line) if isinstance(value, dict) and len(place) == 1 else (_new_line, _new_section)


def _resolved(data: Any, entry: str, where: str) -> Place:
    """Turn an entry's path, in which one of several goes by its name or number, into keys and numbers from 0."""
    here, rest = data, entry
    place: Place = ()
    while rest:
        if isinstance(here, list):
            number, rest = _which(here, rest, entry, where)
            key: str | int = number
        elif isinstance(here, dict) or here is None:
            own = here.get("name", "1") if here and place and place[-1] in SEVERAL else None
            if isinstance(own, str) and own and rest.startswith(f"{own}."):
                rest = rest[len(own) + 1 :]
            key, _, rest = rest.partition(".")
            if not key:
                raise UnknownKey(read=repr(entry), where=where, wanted="the path of an entry, such as pump.rated_speed")
        else:
            raise UnknownKey(
                read=entry,
                where=where,
                wanted=f"{_text(place)} as a section, which in this file is {shortened(here)}",
            )
        place = (*place, key)
        here = _at(here, (key,))
    if not place:
        raise UnknownKey(read=repr(entry), where=where, wanted="the path of an entry, such as pump.rated_speed")
    return place


def _which(items: list[Any], rest: str, entry: str, where: str) -> tuple[int, str]:
    names = [item.get("name") if isinstance(item, dict) else None for item in items]
    for number, name in enumerate(names):
        if isinstance(name, str) and name and (rest == name or rest.startswith(f"{name}.")):
            return number, rest[len(name) + 1 :]
    first, _, others = rest.partition(".")
    if first.isdecimal() and 1 <= int(first) <= len(items):
        return int(first) - 1, others
    if len(items) == 1:
        return 0, rest
    known = ", ".join(name or str(number + 1) for number, name in enumerate(names))
    raise UnknownKey(read=entry, where=where, wanted=f"one of these in place of {first!r}: {known}")


def _at(data: Any, place: Place) -> Any:
    for key in place:
        if isinstance(data, dict):
            data = data.get(str(key))
        elif isinstance(data, list) and isinstance(key, int) and key < len(data):
            data = data[key]
        else:
            return None
    return data


def _with(data: Any, place: Place, value: Any) -> Any:
    """Return the file's contents as they should be after the change."""
    new = copy.deepcopy(data)
    *sections, last = place
    here = new
    for key in sections:
        if isinstance(here, dict) and key not in here:
            if value is None:
                return new
            here[key] = {}
        here = here[key]
    if value is not None:
        here[last] = value
    elif isinstance(here, list):
        here.pop(int(last))
        if not here:
            return _with(data, place[:-1], None)
    else:
        here.pop(last, None)
    return new


def _new_line(text: str, place: Place, value: Any) -> str:
    """Put a new entry behind the last of its section, before the comments of the next one."""
    line = f"{_key(place[-1])} = {_written(value)}"
    if len(place) == 1:
        return _root_line(text, line)
    return _put_behind(text, end_of(text, place[:-1]), [line])


def _root_line(text: str, line: str) -> str:
    """Put an entry before the first header, behind what stands there and behind the file's own heading."""
    last = end_of(text, ())
    if last:
        return _put_behind(text, last, [line])
    lines = text.split("\n")
    heading = next((n for n, one in enumerate(lines) if not one.startswith("#")), 0)
    return "\n".join([*lines[:heading], line, *lines[heading:]])


def _new_section(text: str, place: Place, value: Any) -> str:
    """Put a new section behind the one it belongs to, or at the end of the file."""
    name = ".".join(_key(key) for key in place[:-1] if isinstance(key, str))
    lines = ["", f"[{name}]", f"{_key(place[-1])} = {_written(value)}"]
    if isinstance(value, dict):
        lines = ["", *tomlkit.dumps(_nested(place, value)).strip("\n").split("\n")]
    for length in range(len(place) - 2, 0, -1):
        if (last := end_of(text, place[:length], whole=True)) is not None:
            return _put_behind(text, last, lines)
    if not text.strip():
        return text + "\n".join(lines[1:]) + "\n"
    return text + ("" if text.endswith("\n") else "\n") + "\n".join(lines) + "\n"


def _nested(place: Place, value: Any) -> dict[str, Any]:
    for key in reversed(place):
        value = {key: value} if isinstance(key, str) else value
    return dict(value)


def _section_replaced(text: str, place: Place, value: Any) -> str:
    """Take a section out and put what replaces it as a new entry."""
    without = _value_set(text, place, None)
    for way in _new_ways(place, value):
        try:
            new = way(without, place, value)
            if _at(tomllib.loads(new), place) == value:
                return new
        except (ValueError, TypeError, LookupError):
            continue
    raise ValueError(place)


def _put_behind(text: str, line: int | None, new: list[str]) -> str:
    if line is None:
        raise LookupError("no such section")
    lines = text.split("\n")
    return "\n".join([*lines[:line], *new, *lines[line:]])


def _value_set(text: str, place: Place, value: Any) -> str:
    """Set or take out a value where it stands."""
    document = tomlkit.parse(text)
    *sections, last = place
    here: Any = document
    for key in sections:
        if isinstance(here, dict) and key not in here:
            here[key] = tomlkit.table()
        here = here[key]
    if value is not None:
        here[last] = _inline(value) if isinstance(value, dict) else value
    else:
        del here[last]
        if isinstance(last, int) and not here:
            return _value_set(text, place[:-1], None)
    return tomlkit.dumps(document)


def _written(value: Any) -> str:
    return str(tomlkit.item(_inline(value) if isinstance(value, dict) else value).as_string())


def _inline(value: dict[str, Any]) -> InlineTable:
    table = tomlkit.inline_table()
    table.update({key: _inline(inner) if isinstance(inner, dict) else inner for key, inner in value.items()})
    return table


def _key(key: str | int) -> str:
    return tomlkit.key(str(key)).as_string()


def _text(place: Place) -> str:
    return ".".join(key if isinstance(key, str) else str(key + 1) for key in place)
