"""How slow and how fast a plant may run."""

from __future__ import annotations

from airfettle.app.load import Loaded
from airfettle.errors import BadRequest, EntriesDisagree
from airfettle.store.plant_file import placed_in
from airfettle.studies.speed_window import SpeedWindow, speed_windows


def windows_of(loaded: Loaded, *, certainty: float | None = None) -> tuple[SpeedWindow, ...]:
    """Return the speed window of every train of a plant.

    Parameters
    ----------
    loaded : Loaded
        The plant.
    certainty : float or None
        Share of the draw in which each limit must hold; None takes the plant's. [-]

    Raises
    ------
    BadRequest
        A certainty that is none.
    """
    check_certainty(certainty)
    try:
        return speed_windows(loaded.draw, certainty=certainty)
    except EntriesDisagree as error:
        raise placed_in(loaded.path, error) from error


def check_certainty(certainty: float | None) -> None:
    """Refuse a certainty that is none.

    Raises
    ------
    BadRequest
        Outside 0.5 to 0.999.
    """
    if certainty is not None and not 0.5 <= certainty <= 0.999:
        raise BadRequest(read=f"{certainty:g}", where="--certainty", wanted="a share from 0.5 to 0.999, such as 0.95")
