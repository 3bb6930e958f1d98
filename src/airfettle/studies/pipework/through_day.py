"""Pressure at the tools along a day that was run."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.pipework.needs import places_running
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.solve import solve

Array = NDArray[np.float64]
Whole = NDArray[np.int64]


def inlets_through(network: Network, *, order: Whole, counts: Whole, receiver_pressure: Array) -> Array:
    """Return the pressure at the inlet of each use's tools through a stretch of time.

    Parameters
    ----------
    network : Network
        One row of it. [SI]
    order : ndarray of int
        Places for tools, the worst off first: of several for one use these are taken first. [-]
    counts : ndarray of int
        How many of each use run, shape (moments, uses). [-]
    receiver_pressure : ndarray
        Absolute, shape (moments,). [Pa]

    Returns
    -------
    ndarray
        Absolute, the lowest of a use's running tools, nan where none runs, shape (moments, uses). [Pa]
    """
    found = np.full(counts.shape, np.nan)
    use_of = np.array([outlet.use for outlet in network.outlets])
    sets, which = np.unique(counts, axis=0, return_inverse=True)
    for number, (some, on) in enumerate(zip(sets, places_running(network, order, sets), strict=True)):
        at = np.flatnonzero(np.ravel(which) == number)
        if not some.any():
            continue
        many = network.repeated(len(at))
        inlet = solve(many, on=on[None, :], receiver_pressure=receiver_pressure[at], whole=False).inlet[:, 0]
        for use in np.flatnonzero(some):
            found[at, use] = inlet[:, (use_of == use) & (on > 0.0)].min(axis=1)
    return found
