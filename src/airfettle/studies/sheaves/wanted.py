"""The pump speed a sheave is searched for, and what the search has to say beside its numbers."""

from __future__ import annotations

from math import floor, isfinite

import numpy as np

from airfettle.errors import BadRequest
from airfettle.plant.whole import Train
from airfettle.studies.completion.whole import TrainNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.sheaves.belts import RATED_AS
from airfettle.studies.sheaves.checks import belt_service_factor, least_pitch
from airfettle.studies.sheaves.pairs import Array

BELOW = 1e-3
"""Share by which the wanted speed stays under what the highest speed allows. [-]"""
MOST = 100.0
"""Highest pump speed that may be asked for. [1/s]"""


def wanted_speed(train: TrainNumbers, *, asked: float | None, certainty: float) -> tuple[float, str]:
    """Return the pump speed to search for, and where it is from.

    Parameters
    ----------
    train : TrainNumbers
        What turns the pump, and the pump. [SI]
    asked : float or None
        As asked for; None takes the pump's rated speed where one is told, but no more than its highest speed
        allows, and else that. [1/s]
    certainty : float
        Share of the draw in which the highest speed allows it. [-]

    Raises
    ------
    BadRequest
        No pump turns at the speed asked for.
    """
    if asked is not None:
        if not isfinite(asked) or not 0.0 < asked <= MOST:
            raise BadRequest(read=f"{60.0 * asked:g} rpm", where="wanted speed", wanted="a pump speed up to 6000 rpm")
        return asked, "as asked for"
    highest = np.sort(np.ravel(train.pump.maximum_speed))
    lowest = (1.0 - BELOW) * float(highest[below_certainty(highest.size, certainty)])
    allowed = floor(60.0 * lowest) / 60.0
    part = train.pump.part
    told = part.rated_speed is not None or any(stated.speed is not None for stated in part.rated)
    rated = float(np.ravel(train.pump.rated_speed)[0])
    if told and rated <= allowed:
        return rated, "the pump's rated speed"
    return allowed, f"the most that its highest speed allows in {100.0 * certainty:g} % of the draw"


def below_certainty(rows: int, certainty: float) -> int:
    """Return the place in sorted rows that leaves at least a certainty of them at or above it."""
    return max(rows - int(np.ceil(certainty * rows - 1e-9)), 0)


def certainty_of(draw: Draw, asked: float | None) -> float:
    """Return the certainty asked for, or the plant's. [-]

    Raises
    ------
    BadRequest
        It is no such share.
    """
    if asked is None:
        return draw.plant.about.certainty
    if not 0.5 <= asked <= 0.999:
        raise BadRequest(read=f"a certainty of {asked:g}", where="certainty", wanted="a share from 0.5 to 0.999")
    return asked


def why_not(train: Train[Array]) -> str:
    """Return why no sheave can be searched for, and what to do, or nothing."""
    belt = train.belt
    if belt is None or belt.absent:
        return "The pump stands on the motor's shaft: there is no sheave to choose."
    if belt.pump_sheave is None:
        return "The pump's flywheel is not told: measure it first, with a tape across the outside of its rim."
    return ""


def notes_of(
    plain: Train[Array], train: TrainNumbers, *, sections: tuple[str, ...], ratio_read: bool
) -> tuple[str, ...]:
    """Return what the search took for granted, and what to know before buying."""
    belt = plain.belt
    assert belt is not None
    found = []
    if belt.section == "unknown":
        found.append(f"The belt section is not told, so that {_listed(sections)} were tried: read it off the belt "
                     "before you buy.")  # fmt: skip
    if belt.diameters == "outside" and not ratio_read and sections != ("3V",):
        known = "so that the speed is no surer than shown" if train.power.direct else (
            "so that the pump may turn a few per cent slower than wanted")  # fmt: skip
        found.append(f"Where in its groove the belt rides is not known, {known}: read the pump with a tachometer.")
    if belt.count is not None:
        found.append(
            f"The wheel is taken to have grooves for {belt.count} belt{'s' * (belt.count > 1)}, as fitted now."
        )
    unrated = [s for s in sections if s not in RATED_AS]
    if unrated:
        found.append(f"No power rating is known here for {_listed(tuple(unrated))} belts: ask their maker how many.")
    else:
        factor = float(np.ravel(belt_service_factor(train))[0])
        found.append(f"Belts are sized for {factor:g} times the power they carry: a piston pump, up to 10 hours a day.")
    found += [
        f"{narrow} belts are judged by the rating of {RATED_AS[narrow]} belts, which carry less."
        for narrow in sections
        if narrow in ("SPA", "SPB")
    ]
    if belt.centre_distance is None:
        found.append("The distance between the shafts is not told: arc and length of the belt are not judged, and its "
                     "rating is that of shafts one wheel apart.")  # fmt: skip
    if least_pitch(train) is None:
        found.append("The table of smallest sheaves does not reach this motor: ask its maker what its shaft stands.")
    return tuple(found)


def _listed(names: tuple[str, ...]) -> str:
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else names[0]
