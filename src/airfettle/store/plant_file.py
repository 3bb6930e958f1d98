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

from pydantic import ValidationError

from airfettle.errors import AirfettleError, EntriesDisagree, FileTrouble, NotAPlantFile
from airfettle.plant.part import shortened
from airfettle.plant.whole import OwnersPlant
from airfettle.store.change import changed_text
from airfettle.store.explain_errors import explained, not_toml
from airfettle.store.locate import line_of

LARGEST = 1_000_000
"""A plant file of more bytes than this is refused. [bytes]"""
DEEPEST = 20
"""Sections inside sections. [-]"""
BOM = "\ufeff"
"""What some editors put before a text; it is kept."""


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
    return _plant_of(_load(Path(path)))


def _plant_of(file: _File) -> OwnersPlant:
    files = _chain(file)
    merged = _laid_over(files)
    try:
        return OwnersPlant.model_validate(merged)
    except ValidationError as error:
        raise _placed(files, error, merged) from error
    except AirfettleError as error:
        raise error.placed(f"{file.path}") from error


def _laid_over(files: list[_File]) -> dict[str, Any]:
    """Return what files say together, the first over those it is based on."""
    merged: dict[str, Any] = {}
    for file in reversed(files):
        merged = _merged(merged, file.data)
    return merged


def _placed(files: list[_File], error: ValidationError, merged: dict[str, Any]) -> AirfettleError:
    """Return the first thing wrong in the order of the file, with its line."""
    found: list[tuple[int, int, AirfettleError, str]] = []
    for problem, place in explained(error):
        seen = [_place_in(file.data, merged, place) for file in files]
        depths = [len(here) for here in seen]
        chosen = depths.index(max(depths))  # the file that says most of it; of equals the one that has the last word
        file, here = files[chosen], (*seen[chosen], *place[max(depths) :])
        line = line_of(file.text, here)
        key = ".".join(_key_text(k) if isinstance(k, str) else f"{k + 1}" for k in place)
        where = ", ".join(part for part in (str(file.path), f"line {line}" if line else "", key) if part)
        found.append((chosen, line or 0, problem, where))
    _, _, first, where = min(found, key=lambda item: item[:2])
    if len(found) == 1:
        return first.placed(where)
    more = f"{len(found) - 1} more to put right further on"
    instead = f"{first.instead}; then {more}" if first.instead else more
    return type(first)(read=first.read, wanted=first.wanted, where=where, instead=instead)


def _key_text(key: str) -> str:
    return key if key and key.isprintable() and len(key) <= 60 else shortened(key)


def _place_in(data: Any, merged: Any, place: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """Return as much of a place in the merged plant as one file says, with that file's own numbers of named parts."""
    here: list[str | int] = []
    for key in place:
        if isinstance(key, int) and not isinstance(merged, list):
            here.append(key)  # one of several, written as a single section
            continue
        own: str | int | None
        if isinstance(key, int):
            own = _own_number(data, merged, key)
        else:
            own = key if isinstance(data, dict) and key in data else None
        if own is None:
            break
        here.append(own)
        data, merged = data if isinstance(own, int) and isinstance(data, dict) else data[own], _inside(merged, key)
    return tuple(here)


def _own_number(data: Any, merged: list[Any], number: int) -> int | None:
    if isinstance(data, dict):
        data = [data]
    if not isinstance(data, list):
        return None
    if _named(data) and _named(merged):
        name = merged[number]["name"]
        return next((place for place, item in enumerate(data) if item["name"] == name), None)
    return number if number < len(data) else None


def _inside(merged: Any, key: str | int) -> Any:
    if isinstance(merged, dict):
        return merged.get(str(key))
    return merged[key] if isinstance(merged, list) and isinstance(key, int) and key < len(merged) else None


def _chain(file: _File) -> list[_File]:
    """Return a file and all that it is based on, nearest first."""
    files = [file]
    while based_on := _based_on(files[-1]):
        line = line_of(files[-1].text, ("plant", "based_on"))
        where = ", ".join(
            part for part in (str(files[-1].path), f"line {line}" if line else "", "plant.based_on") if part
        )
        try:
            parent = files[-1].path.parent / based_on
            again = len(files) > 20 or any(parent.resolve() == other.path.resolve() for other in files)
        except (OSError, ValueError, RuntimeError) as error:
            raise FileTrouble(read=shortened(based_on), where=where, wanted="the name of a plant file") from error
        if again:
            raise EntriesDisagree(
                read=f"based_on = {based_on!r}", where=where,
                wanted="a file that is not, in the end, based on this one",
            )  # fmt: skip
        try:
            files.append(_load(parent))
        except FileTrouble as error:
            raise error.placed(where) from error
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
        if path.exists() and not path.is_file():
            raise FileTrouble(read=f"{path} is a folder" if path.is_dir() else f"{path} is no ordinary file",
                              wanted="a plant file")  # fmt: skip
        if path.exists() and path.stat().st_size > LARGEST:
            raise FileTrouble(read=str(path), wanted=f"a plant file of at most {LARGEST} bytes")
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
    return _parsed(path, read_text(path))


def _parsed(path: Path, text: str) -> _File:
    try:
        data = _without_dates(tomllib.loads(text))
    except RecursionError as error:
        raise NotAPlantFile(
            read="sections inside sections inside sections", where=str(path), wanted="sections at most 20 deep"
        ) from error
    except ValueError as error:  # also a whole number of thousands of digits
        raise not_toml(str(error), text, str(path)) from error
    return _File(path, text, data)


def _without_dates(data: Any, depth: int = 0) -> Any:
    if depth > DEEPEST:
        raise RecursionError
    if isinstance(data, dict):
        return {key: _without_dates(value, depth + 1) for key, value in data.items()}
    if isinstance(data, list):
        return [_without_dates(value, depth + 1) for value in data]
    return data.isoformat() if isinstance(data, (dt.date, dt.time)) else data


def _merged(base: Any, change: Any) -> Any:
    """Lay a variant over what it is based on: key by key, and named items of a list by their name."""
    if isinstance(base, dict) and isinstance(change, dict):
        return base | {key: _merged(base.get(key), value) for key, value in change.items()}
    if isinstance(base, list) and isinstance(change, dict):  # one written as [section] where several may be
        return [_merged(base[0], change)] if len(base) == 1 and isinstance(base[0], dict) else _merged(base, [change])
    if isinstance(base, dict) and isinstance(change, list):
        base = [base]
    if _named(base) and _named(change):
        mine = {item["name"]: item for item in change}
        kept = [_merged(item, mine.pop(item["name"], {})) for item in base]
        return kept + list(mine.values())
    return change


def _named(items: Any) -> bool:
    """Whether a list holds sections with a name of its own each."""
    if not isinstance(items, list) or not items:
        return False
    names = [item.get("name") if isinstance(item, dict) else None for item in items]
    return all(isinstance(name, str) for name in names) and len(set(names)) == len(names)


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
    old = _load(file)
    base = _laid_over(_chain(old)[1:])
    new = _parsed(file, changed_text(old.text, changes, base=base, where=str(file)))
    _plant_of(new)
    write_whole(file, (BOM if _starts_with_bom(file) else "") + new.text)


def _starts_with_bom(file: Path) -> bool:
    with file.open("rb") as opened:
        return opened.read(3) == BOM.encode()


def write_whole(file: Path, content: str | bytes) -> None:
    """Write a file in one step: to a temporary file beside it, then in its place; text as UTF-8.

    Raises
    ------
    FileTrouble
        It cannot be written; what stood there still stands.
    """
    try:
        file = file.resolve()  # a link goes on pointing where it points
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(content.encode("utf-8") if isinstance(content, str) else content)
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


def placed_in(path: str | os.PathLike[str], error: AirfettleError) -> AirfettleError:
    """Return an error that names an entry, such as ``motor.speed``, with the plant file and line it stands in."""
    line = line_of(read_text(Path(path)), error.where.split("."))
    return error.placed(f"{path}, line {line}, {error.where}" if line else f"{path}, {error.where}")
