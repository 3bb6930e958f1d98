"""Which motor sheave to buy."""

from __future__ import annotations

from airfettle.app.judge import Judged
from airfettle.app.window import check_certainty
from airfettle.errors import BadRequest, EntriesDisagree
from airfettle.quantity import read_span
from airfettle.store.plant_file import placed_in
from airfettle.studies.sheaves.result import SheaveSearch
from airfettle.studies.sheaves.search import sheaves


def sheaves_of(judged: Judged, *, speed: str = "", certainty: float | None = None) -> SheaveSearch:
    """Return the stock motor sheaves that turn the pump of a plant at the speed wanted, best first.

    Parameters
    ----------
    judged : Judged
        The plant.
    speed : str
        Pump speed wanted, with its unit; empty takes the pump's own.
    certainty : float or None
        Share of the draw in which each limit must hold; None takes the plant's. [-]

    Raises
    ------
    AirfettleError
        A speed or certainty that cannot be used, or a plant of which too little is told.
    """
    check_certainty(certainty)
    wanted = None
    if speed:
        span = read_span(speed, kind="rotational_speed", where="--speed")
        if span is None or span.likely <= 0.0:
            raise BadRequest(read=repr(speed), where="--speed", wanted="a pump speed, such as '850 rpm'")
        wanted = span.likely
    try:
        return sheaves(judged.reach, wanted_speed=wanted, certainty=certainty)
    except EntriesDisagree as error:
        raise placed_in(judged.loaded.path, error) from error
