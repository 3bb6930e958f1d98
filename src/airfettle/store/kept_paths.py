"""Finished paths of a long run, kept in a file so that an interruption loses none of them."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from airfettle.errors import BadRequest
from airfettle.store.plant_file import read_plant
from airfettle.studies.day.many import KEPT, Tally


@dataclass
class KeptPaths:
    """A file of finished paths.

    Attributes
    ----------
    file : path
        Where they are kept, as numpy's archive.
    plant : Path
        The plant file; its text and those it is based on, the seed, the rows and the length say whether kept paths fit.
    seed, rows : int
        Of the run.
    length : float
        Of each path. [s]
    """

    file: str | Path
    plant: Path
    seed: int
    rows: int
    length: float
    _tally: Tally | None = None

    def mark(self) -> str:
        """Return a digest of all that the paths depend on: the plant with what it is based on, the run, the program."""
        told = read_plant(self.plant).model_dump_json(fallback=repr)
        return hashlib.sha256(
            f"{told}|{self.seed}|{self.rows}|{self.length}|{version('airfettle')}".encode()
        ).hexdigest()

    def load(self, *, wanted: int) -> Tally | None:
        """Return what is kept, up to a number of paths, or None where there is nothing yet.

        Raises
        ------
        BadRequest
            The file is not of this run.
        """
        path = Path(self.file)
        if not path.exists():
            return None
        try:
            with np.load(path, allow_pickle=False) as archive:
                mark = str(archive["mark"])
                fields = {name: archive[name] for name in (*KEPT, "paths")}
        except (OSError, ValueError, KeyError, EOFError, BadZipFile) as error:
            raise BadRequest(
                read=f"{path.name}, which holds no kept years", where="--keep",
                wanted="the file an earlier run wrote, or a name that is not there yet",
            ) from error  # fmt: skip
        if mark != self.mark():
            raise BadRequest(
                read=f"{path.name}, kept for another plant, seed or number of rows", where="--keep",
                wanted="the same plant file, --seed and --paths as then, or another name",
            )  # fmt: skip
        self._tally = Tally(start=0.0, length=self.length, wanted=wanted, **fields)
        return self._tally.asked(wanted)

    def add(self, more: Tally) -> None:
        """Keep more finished paths: written beside the file, then put in its place."""
        self._tally = more if self._tally is None else self._tally.joined(more)
        path = Path(self.file)
        beside = path.with_name(f".{path.name}.new")
        try:
            with beside.open("wb") as out:
                np.savez(out, mark=np.array(self.mark()), **{n: getattr(self._tally, n) for n in (*KEPT, "paths")})
            beside.replace(path)
        finally:
            beside.unlink(missing_ok=True)
