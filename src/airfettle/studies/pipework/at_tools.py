"""Pressure at the tools, for studies that ask for it in passing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.pipework.from_plant import has_network, network_of
from airfettle.studies.pipework.running import fullest_set
from airfettle.studies.pipework.solve import solve

Array = NDArray[np.float64]


def tool_pressure(draw: Draw, numbers: PlantNumbers, *, receiver_pressure: Array) -> Array | None:
    """Return the gauge pressure at the inlet of the tool worst off, or None where the shop's pipe is not told.

    Parameters
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant. [SI]
    receiver_pressure : ndarray
        Absolute, axes (draw, speed, pressure). [Pa]

    Returns
    -------
    ndarray or None
        All that can run at once running; axes (draw, 1, pressure). [Pa]
    """
    if not has_network(draw.plant):
        return None
    network = network_of(draw, numbers)
    on = fullest_set(network)
    pressures = np.broadcast_to(receiver_pressure, (network.rows, 1, receiver_pressure.shape[2]))
    found = []
    for place in range(pressures.shape[2]):
        inlet = solve(network, on=on[None, :], receiver_pressure=pressures[:, 0, place], whole=False).inlet[:, 0]
        worst = np.argmin(np.median(inlet - network.needed_pressure, axis=0) + np.where(on > 0.0, 0.0, np.inf))
        found.append(inlet[:, worst] - network.barometer)
    return np.stack(found, axis=1)[:, None, :]
