"""The owner's plant file: read with every error placed, changed with every comment kept."""

from __future__ import annotations

import datetime as dt
import os
import tempfile
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit
import tomlkit.exceptions
from pydantic import ValidationError
from tomlkit.items import AoT, InlineTable, Table

from airfettle.errors import AirfettleError, EntriesDisagree, FileTrouble, NotAPlantFile, UnknownKey
from airfettle.plant.whole import OwnersPlant
from airfettle.store.explain_errors import explained
from airfettle.store.locate import line_of

LARGEST = 1_000_000
"""A plant file of more bytes than this is refused. [bytes]"""


@dataclass(frozen=True)
class _File:
    path: Path
    text: str
    data: dict[str, Any]


def read_plant(path: str | os.PathLike[str]) -> OwnersPlant:
    """Read a plant file, with the file it is based on where it names one.

    Parameters
    ----------
    path : path
        A TOML file.

    Returns
    -------
    OwnersPlant
        Spans in SI; sections that are not told are None.

    Raises
    ------
    AirfettleError
        One clear error with file, line and key.
    """
    files = _chain(Path(path))
    merged: dict[str, Any] = {}
    for file in reversed(files):
        merged = _merged(merged, file.data)
    try:
        return OwnersPlant.model_validate(merged)
    except ValidationError as error:
        raise _placed(files, error, merged) from error
    except AirfettleError as error:
        raise error.placed(f"{files[0].path}") from error


def _placed(files: list[_File], error: ValidationError, data: dict[str, Any]) -> AirfettleError:
    """Return the first thing wrong in the order of the file, with its line."""
    found = []
    for problem, place in explained(error, data):
        for file in files:
            line = line_of(file.text, place)
            if line is not None and _has(file.data, place):
                break
        else:
            file, line = files[0], line_of(files[0].text, place)
        key = ".".join(str(k) if isinstance(k, str) else f"{k + 1}" for k in place)
        found.append((line or 0, problem, f"{file.path}, line {line}, {key}" if line else f"{file.path}, {key}"))
    found.sort(key=lambda item: item[0])
    _, first, where = found[0]
    more = f"; {len(found) - 1} more like it further on" if len(found) > 1 else ""
    if more:
        return type(first)(
            read=first.read, wanted=first.wanted, where=where, instead=(first.instead + more).lstrip("; ")
        )
    return first.placed(where)


def _has(data: Any, place: tuple[str | int, ...]) -> bool:
    for key in place:
        if (isinstance(data, dict) and key in data) or (isinstance(data, list) and key in range(len(data))):
            data = data[key]  # type: ignore[index]
        elif isinstance(data, dict) and key == 0:
            continue
        else:
            return isinstance(data, str)
    return True


def _chain(path: Path) -> list[_File]:
    files = [_load(path)]
    while based_on := _based_on(files[-1]):
        parent = files[-1].path.parent / based_on
        if len(files) > 20 or any(parent.resolve() == file.path.resolve() for file in files):
            raise EntriesDisagree(
                read=f"based_on = {based_on!r}", where=str(files[-1].path),
                wanted="a file that is not, in the end, based on this one",
            )  # fmt: skip
        files.append(_load(parent))
    return files


def _based_on(file: _File) -> str:
    about = file.data.get("plant")
    found = about.get("based_on") if isinstance(about, dict) else None
    return found if isinstance(found, str) else ""


def read_text(path: Path) -> str:
    """Return a file's text.

    Raises
    ------
    FileTrouble
        It is missing, not a file, too large or may not be read.
    NotAPlantFile
        It is not UTF-8 text.
    """
    try:
        if path.is_file() and path.stat().st_size > LARGEST:
            raise FileTrouble(read=str(path), wanted=f"a plant file of less than {LARGEST} bytes")
        raw = path.read_bytes()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise FileTrouble(read=f"{path} ({why})", wanted="a plant file that exists and may be read",
                          instead="'airfettle new my_plant.toml' writes one to fill in") from error  # fmt: skip
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise NotAPlantFile(read=f"byte {error.start} is not UTF-8 text", where=str(path),
                            wanted="a plain text file saved as UTF-8") from error  # fmt: skip


def _load(path: Path) -> _File:
    text = read_text(path)
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise NotAPlantFile(
            read=str(error) or "sections nested too deep", where=str(path),
            wanted="TOML: [section] lines, and lines of key = \"value\"",
            instead="quote every quantity, as in speed = \"850 rpm\"",
        ) from error  # fmt: skip
    return _File(path, text, _without_dates(data))


def _without_dates(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _without_dates(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_without_dates(value) for value in data]
    return data.isoformat() if isinstance(data, (dt.date, dt.time)) else data


def _merged(base: Any, change: Any) -> Any:
    """Lay a variant over what it is based on: key by key, and named items of a list by their name."""
    if isinstance(base, dict) and isinstance(change, dict):
        return base | {key: _merged(base.get(key), value) for key, value in change.items()}
    if _named(base) and _named(change):
        mine = {item["name"]: item for item in change}
        kept = [_merged(item, mine.pop(item["name"], {})) for item in base]
        return kept + list(mine.values())
    return change


def _named(items: Any) -> bool:
    return isinstance(items, list) and bool(items) and all(isinstance(i, dict) and "name" in i for i in items)


def change_plant(path: str | os.PathLike[str], changes: Mapping[str, Any]) -> None:
    """Change entries of a plant file; comments and order stay, and the file is replaced in one step.

    Parameters
    ----------
    path : path
        The plant file.
    changes : mapping
        Path of an entry, such as ``pump.first_stage.bore`` or ``filter.fine.drop`` -> its new text; None takes it out.

    Raises
    ------
    AirfettleError
        The file, or a change, cannot be used; the file then keeps every byte.
    """
    file = Path(path)
    try:
        document = tomlkit.parse(read_text(file))
    except tomlkit.exceptions.TOMLKitError as error:
        raise NotAPlantFile(read=str(error), where=str(file), wanted="TOML") from error
    for entry, value in changes.items():
        _set(document, entry, value, str(file))
    text = tomlkit.dumps(document)
    _check_before_writing(file, text)
    write_whole(file, text)


def _set(document: Any, entry: str, value: Any, where: str) -> None:
    *sections, key = entry.split(".")
    table = document
    for name in sections:
        table = _step(table, name, entry, where)
    if not isinstance(table, (dict, Table, InlineTable)):
        raise UnknownKey(read=entry, where=where, wanted="the path of an entry in this file")
    if value is None:
        table.pop(key, None)
    else:
        table[key] = value


def _step(table: Any, name: str, entry: str, where: str) -> Any:
    if isinstance(table, (AoT, list)):
        for place, item in enumerate(table):
            if item.get("name") == name or str(place + 1) == name:
                return item
        raise UnknownKey(read=entry, where=where, wanted=f"a part named {name!r}")
    if name not in table:
        table[name] = tomlkit.table()
    found = table[name]
    if isinstance(found, AoT) and len(found) == 1:
        return found[0]
    return found


def _check_before_writing(file: Path, text: str) -> None:
    """Read the changed text as a plant beside the old one, so that a bad change never reaches the disk."""
    handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.", suffix=".toml")
    trial = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as out:
            out.write(text)
        read_plant(trial)
    except AirfettleError as error:
        raise error.placed(error.where.replace(str(trial), str(file))) from error
    finally:
        trial.unlink(missing_ok=True)


def write_whole(file: Path, text: str) -> None:
    """Write a file in one step: to a temporary file beside it, then in its place.

    Raises
    ------
    FileTrouble
        It cannot be written; what stood there still stands.
    """
    try:
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.", suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
                out.write(text)
                out.flush()
                os.fsync(out.fileno())
            Path(name).chmod(file.stat().st_mode if file.exists() else 0o644)
            Path(name).replace(file)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise FileTrouble(read=f"{file} ({why})", wanted="a place that may be written to") from error
