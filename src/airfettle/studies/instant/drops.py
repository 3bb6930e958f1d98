"""Pressure lost in a part, from one known point: by flow squared and by density."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.air.drop import pressure_drop

Array = NDArray[np.float64]


def drop_at(rated_drop: Array, *, flow: Array, rated_flow: Array, pressure: Array, rated_pressure: Array) -> Array:
    """Return a part's drop at another flow and pressure, never more than half of the pressure there is. [Pa]

    The air is taken to be as warm as where the drop is known.
    """
    found = pressure_drop(
        mass_flow=flow, temperature=1.0, pressure=pressure, rated_drop=rated_drop, rated_flow_dry_kg_s=rated_flow,
        rated_temperature=1.0, rated_pressure=rated_pressure,
    )  # fmt: skip
    return np.asarray(np.minimum(found, 0.5 * pressure))
