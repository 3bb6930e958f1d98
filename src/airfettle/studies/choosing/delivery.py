"""What the plant delivers and takes at full speed against the pressures that ready-made units are stated for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.instant.whole import instant
from airfettle.studies.joining import plant_answers
from airfettle.studies.rating import default_frequencies

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Running:
    """The plant at full speed against one receiver pressure, each of shape (rows,).

    Attributes
    ----------
    gauge : float
        Receiver pressure at likely values, gauge. [Pa]
    air : ndarray
        Delivered, as volume at the intake. [m3/s]
    power : ndarray
        From the supply. [W]
    sound : ndarray
        At 1 m. [dB]
    density : ndarray
        Dry air in that volume. [kg/m3]
    """

    gauge: float
    air: Array
    power: Array
    sound: Array
    density: Array


def running_at(draw: Draw, *, numbers: PlantNumbers, gauges: tuple[float, ...]) -> tuple[Running, ...]:
    """Return the plant at full speed against some receiver pressures.

    Parameters
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant. [SI]
    gauges : tuple of float
        Receiver pressures, gauge. [Pa]

    Returns
    -------
    tuple of Running
        In the order of the pressures. [SI]
    """
    full = default_frequencies(draw, numbers)[-1]
    pressure = draw.barometer + np.array(gauges)[None, None, :]
    state = instant(numbers, frequency=np.array([full])[None, :, None], receiver_pressure=pressure)
    shape = (draw.rows, 1, len(gauges))
    answers = plant_answers(state, shape)
    dry = np.sum([np.broadcast_to(t.delivered_dry_air, shape)[:, 0, :] for t in state.trains], axis=0)

    def column(name: str, place: int) -> Array:
        return np.asarray(np.broadcast_to(answers[name], (draw.rows, len(gauges)))[:, place])

    return tuple(
        Running(gauge, column("delivered_air", n), column("electrical_power", n), column("sound_level", n),
                dry[:, n] / np.maximum(column("delivered_air", n), 1e-12))
        for n, gauge in enumerate(gauges)
    )  # fmt: skip
