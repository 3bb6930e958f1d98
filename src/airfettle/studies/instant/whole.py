"""The whole plant at one instant."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.instant.path import drop_before_receiver, path_state
from airfettle.studies.instant.settled_train import train_state
from airfettle.studies.instant.state import Instant, Slow
from airfettle.studies.instant.train import Pass, Point, first_pass, next_pass

Array = NDArray[np.float64]

CLOSE_ENOUGH = 5e-7
"""Largest relative change between two passes at which they are settled; each pass leaves about 6 % of it. [-]"""
MOST_PASSES = 25
"""Passes after which the point is taken as it is; a point the motor cannot hold may not settle. [-]"""


def instant(
    plant: PlantNumbers,
    *,
    frequency: Array,
    receiver_pressure: Array,
    slow: Slow | None = None,
    loaded: bool = True,
    close_enough: float = CLOSE_ENOUGH,
) -> Instant:
    """Return what a plant is doing.

    Parameters
    ----------
    plant : PlantNumbers
        A drawn plant with its gaps filled. [SI]
    frequency : ndarray
        At the motors, shape (1, speed, 1); a motor straight on the line takes its mains. [Hz]
    receiver_pressure : ndarray
        Absolute, shape (draw or 1, 1, pressure). [Pa]
    slow : Slow or None
        Wall temperatures held; None closes their heat balance. [K]
    loaded : bool
        False with the unloader open. [-]
    close_enough : float
        Relative change between passes at which all unknowns are settled. [-]

    Returns
    -------
    Instant
        Axes (draw, speed, pressure); finite also where the motor cannot hold the point. [SI]
    """
    at = [np.asarray(t.power.supply_frequency).reshape(-1, 1, 1) if t.power.direct else frequency for t in plant.trains]
    passes = [first_pass(train, frequency=f) for train, f in zip(plant.trains, at, strict=True)]
    count, points = 0, _points(plant, passes, at, receiver_pressure, slow, loaded)
    for count in range(1, MOST_PASSES + 1):  # noqa: B007
        points = _points(plant, passes, at, receiver_pressure, slow, loaded)
        new = [
            next_pass(train, point=point, before=before)
            for train, point, before in zip(plant.trains, points, passes, strict=True)
        ]
        change = max(n.change_from(b) for n, b in zip(new, passes, strict=True))
        passes = new
        if change < close_enough:
            break
    trains = tuple(
        train_state(plant, train=train, point=point, last=last)
        for train, point, last in zip(plant.trains, points, passes, strict=True)
    )
    return Instant(trains, path_state(plant, trains=trains, receiver_pressure=receiver_pressure), count)


def _points(
    plant: PlantNumbers, passes: list[Pass], at: list[Array], pressure: Array, slow: Slow | None, loaded: bool
) -> list[Point]:
    flow = np.asarray(sum(p.flow for p in passes)) if loaded else np.zeros((1, 1, 1))
    lost = drop_before_receiver(plant, flow=flow, pressure=pressure)
    walls = slow.wall if slow is not None else (None,) * len(passes)
    return [
        Point(f, pressure, lost, plant.cut_out, loaded, wall, _other_amps(plant, passes, place))
        for place, (f, wall) in enumerate(zip(at, walls, strict=True))
    ]


def _other_amps(plant: PlantNumbers, passes: list[Pass], place: int) -> Array:
    """Amps of the other trains that share a train's supply wires, added as if in phase. [A]"""
    none = np.zeros((1, 1, 1))
    if plant.trains[place].own_supply:
        return none
    pairs = enumerate(zip(plant.trains, passes, strict=True))
    return np.asarray(sum((p.supply_current for i, (t, p) in pairs if i != place and not t.own_supply), none))
