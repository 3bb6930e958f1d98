"""Read a plant and draw it in the light of all that its file says."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from airfettle.app.readings import check_readings
from airfettle.errors import EntriesDisagree
from airfettle.plant.whole import OwnersPlant
from airfettle.store.plant_file import placed_in, read_plant
from airfettle.studies.draw import ROWS, Draw
from airfettle.studies.evidence.conditioning import Belief, believe, conditioned, pool_rows, pooled
from airfettle.studies.evidence.contradictions import Contradiction, contradictions
from airfettle.studies.evidence.statements import statements


@dataclass(frozen=True)
class Loaded:
    """A plant as told and as drawn.

    Attributes
    ----------
    path : Path
        Its file.
    told : OwnersPlant
        As the owner wrote it. [spans]
    belief : Belief
        The draw in the light of plates, statements and readings. [SI]
    contradictions : tuple of Contradiction
        Statements that cannot all be right.
    """

    path: Path
    told: OwnersPlant
    belief: Belief
    contradictions: tuple[Contradiction, ...]

    @property
    def draw(self) -> Draw:
        """The draw. [SI]"""
        return self.belief.draw


def believed(path: str | Path, *, rows: int = ROWS, seed: int = 1) -> Loaded:
    """Read a plant file and draw it in the light of plates, stated deliveries and readings.

    Parameters
    ----------
    path : path
        The plant file.
    rows, seed : int
        Of the draw.

    Raises
    ------
    AirfettleError
        One clear error.
    """
    told = read_plant(path)
    check_readings(told, path=path)
    return drawn_from(told, path=path, rows=rows, seed=seed)


def drawn_from(told: OwnersPlant, *, path: str | Path, rows: int, seed: int) -> Loaded:
    """Draw a plant that was read, in the light of all that it says."""
    said = statements(told)
    try:
        if not said:
            return Loaded(Path(path), told, believe(told, rows=rows, seed=seed), ())
        pool = pooled(told, said, rows=pool_rows(said, rows=rows), seed=seed)
        belief = conditioned(pool, rows=rows)
        return Loaded(Path(path), told, belief, contradictions(pool, belief))
    except EntriesDisagree as error:
        raise placed_in(path, error) from error
