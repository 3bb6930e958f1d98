"""Write a plant file to fill in."""

from __future__ import annotations

from pathlib import Path

from airfettle.errors import FileTrouble
from airfettle.quantity import Units
from airfettle.store.plant_file import write_whole
from airfettle.store.starter import starter


def new_file(path: str | Path, *, units: Units, every_key: bool = False) -> Path:
    """Write a commented starter; a file that is there already is never touched.

    Raises
    ------
    FileTrouble
        The file exists, or its place may not be written to.
    """
    file = Path(path)
    if file.exists():
        raise FileTrouble(read=f"{file} is there already", wanted="a name that is not taken yet")
    name = file.stem.replace("_", " ").replace("-", " ").strip() or "My air plant"
    write_whole(file, starter(units, name=name[0].upper() + name[1:], every_key=every_key))
    return file
