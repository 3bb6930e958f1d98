"""What the pipe leaks: as told, or from how far the pressure fell with everything shut."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import R_DRY_AIR
from airfettle.plant.lines import ShopPipe
from airfettle.plant.receiver import Receiver
from airfettle.quantity import KINDS
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw

Array = NDArray[np.float64]

LEAK_SHARE, LEAK_LEAST = 0.10, 0.5 * KINDS["reference_flow"].units["scfm"][0]
"""Share of full delivery [-], and flow [kg/s], that leaks have to pass both to be too much.  Source: practice."""
NO_LEAK = np.zeros((1, 1, 1))
"""Leak of a pipe of which none is told. [kg/s]"""


def pipe_leak(draw: Draw, numbers: PlantNumbers, *, line_volume: Array | float = 0.0) -> Array:
    """Return what the pipe leaks at the middle of the control's band.

    Parameters
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant. [SI]
    line_volume : array_like
        Volume of the pipe, which empties with the receiver. [m3]

    Returns
    -------
    ndarray
        0 where nothing is told of it. [kg/s]

    Notes
    -----
    Told, or from a test: V / (R T t) ln(p1/p2) times the pressure.  Valid: leaks choked all the way, that is above 1.9
    times the atmosphere, and air as warm at the end as at the beginning.
    """
    pipe = draw.plant.shop_pipe
    if pipe is None or pipe.absent:
        return NO_LEAK
    if pipe.leak is not None:
        return pipe.leak
    rate = leak_rate(pipe, numbers, line_volume=line_volume)
    return NO_LEAK if rate is None else np.asarray(rate * 0.5 * (numbers.cut_in + numbers.cut_out))


def leak_rate(pipe: ShopPipe[Array], numbers: PlantNumbers, *, line_volume: Array | float = 0.0) -> Array | None:
    """Return the leak over absolute pressure that a test implies, or None without one. [kg/(s Pa)]"""
    test = pipe.leak_test
    if test is None:
        return None
    receivers = [s.part for s in numbers.receivers if isinstance(s.part, Receiver)]
    volume = sum((r.volume for r in receivers), np.zeros((1, 1, 1))) + np.reshape(line_volume, (-1, 1, 1))
    fall = np.log(np.maximum(test.start / test.end, 1.0))
    return np.asarray(volume / (R_DRY_AIR * numbers.room_temperature * test.time) * fall)
