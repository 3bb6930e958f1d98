"""Every point that a plant's settings can bring it to: its lowest, quiet and highest frequency, cut-in and cut-out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.completion.whole import PlantNumbers, complete
from airfettle.studies.draw import Draw
from airfettle.studies.instant.state import Instant
from airfettle.studies.instant.whole import instant
from airfettle.studies.rating import default_frequencies

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Reach:
    """A plant at every point its settings can bring it to.

    Attributes
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant, drawn and with its gaps filled. [SI]
    state : Instant
        Axes (draw, speed, pressure): frequencies as below, cut-in and cut-out. [SI]
    frequencies : tuple of float
        [Hz]
    gauges : tuple of float
        Cut-in and cut-out at likely values, gauge. [Pa]
    """

    draw: Draw
    numbers: PlantNumbers
    state: Instant
    frequencies: tuple[float, ...]
    gauges: tuple[float, ...]


def reachable_frequencies(draw: Draw, numbers: PlantNumbers) -> tuple[float, ...]:
    """Return the frequencies that decide: those used, and the lowest and highest the drive is set to. [Hz]

    The base frequency of the motor is among them where it lies between, as torque falls on both its sides.
    """
    used = list(default_frequencies(draw, numbers))
    if all(train.power.direct for train in numbers.trains):
        return tuple(used)
    for train in draw.plant.trains:
        if train.drive is not None and not train.drive.absent:
            ends = (train.drive.minimum_frequency, train.drive.maximum_frequency)
            used += [float(np.ravel(end)[0]) for end in ends if end is not None]
    if min(used) < numbers.base_frequency < max(used):
        used.append(numbers.base_frequency)
    return tuple(sorted({round(f, 6) for f in used if f >= LEAST}))


LEAST = 1.0
"""Frequency below which nothing turns to speak of. [Hz]"""


def reach(draw: Draw) -> Reach:
    """Return a drawn plant at every point its settings can bring it to.

    Each row is taken at its own cut-in and cut-out.

    Raises
    ------
    AirfettleError
        Entries contradict each other so far that nothing can be computed.
    """
    numbers = complete(draw)
    chosen = reachable_frequencies(draw, numbers)
    ends = [np.asarray(p).reshape(-1, 1, 1) for p in (numbers.cut_in, numbers.cut_out)]
    rows = max(end.shape[0] for end in ends)
    pressure = np.concatenate([np.broadcast_to(end, (rows, 1, 1)) for end in ends], axis=2)
    state = instant(numbers, frequency=np.array(chosen)[None, :, None], receiver_pressure=pressure)
    barometer = float(draw.barometer[0, 0, 0])
    return Reach(draw, numbers, state, chosen, tuple(float(end[0, 0, 0]) - barometer for end in ends))
