"""What filters and dryer behind the receiver did with the air that was drawn, flow by flow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.plant.treatment import Dryer
from airfettle.studies.day.machine import ON_TIME
from airfettle.studies.day.many import Tally
from airfettle.studies.day.prepared import Prepared
from airfettle.studies.instant.path import stream_after_receiver

Array = NDArray[np.float64]

LEAST_TIME = 1e-9
"""Time under which a flow did not happen. [s]"""


@dataclass(frozen=True)
class LineUse:
    """Water, dryer and energy behind the receiver, each of shape (paths,).

    Attributes
    ----------
    caught, sent : ndarray
        Water caught, beads included, and sent on with the air. [kg]
    overloaded, most_load : ndarray or None
        Share of the flowing time in which the dryer is overloaded, and its greatest load. [-]
    beads_last : ndarray or None
        Time of days like these until beads are spent. [s]
    energy : ndarray
        What the dryer takes. [J]
    """

    caught: Array
    sent: Array
    overloaded: Array | None
    most_load: Array | None
    beads_last: Array | None
    energy: Array


def line_use(prepared: Prepared, tally: Tally) -> LineUse:
    """Return what the parts behind the receiver did over a tally's days.

    Notes
    -----
    The air drawn is kept by its flow, with the mean temperature, humidity and pressure it had at each; the parts are
    then asked what they do at those points, as in the instant.
    """
    rows = tally.rows(prepared.draw.rows)
    time, air, vapour, warm, pressed = (tally.at_flow[:, :, i] for i in range(5))
    flows = (time > LEAST_TIME) & (air > 0.0)
    safe = np.where(flows, air, 1.0)
    points = [np.where(flows, v, other) for v, other in (
        (air / np.maximum(time, LEAST_TIME), 1e-9), (warm / safe, 293.15), (vapour / safe, 1e-3), (pressed / safe, 8e5),
    )]  # fmt: skip
    at_rows = [_by_row(v, rows, prepared.draw.rows) for v in points]
    stream = stream_after_receiver(
        prepared.numbers, dry_air=at_rows[0], temperature=at_rows[1], humidity_ratio=at_rows[2], pressure=at_rows[3]
    )
    back = [_by_path(v, rows, at_rows[0].shape) for v in (
        stream.treatment_water + stream.held_water + stream.purge_water,
        stream.dry_air * stream.humidity_ratio + stream.liquid,
    )]  # fmt: skip
    caught, sent = (np.sum(np.where(flows, v, 0.0) * time, axis=1) for v in back)
    dryer = next((s.part for s in prepared.numbers.after if isinstance(s.part, Dryer)), None)
    energy = np.zeros(len(rows))
    for station in (*prepared.numbers.before, *prepared.numbers.after):
        if isinstance(station.part, Dryer) and station.part.power is not None:
            energy = tally.totals[:, ON_TIME] * _by_path(station.part.power, rows, (prepared.draw.rows, 1, 1))[:, 0]
    if dryer is None or stream.dryer_load is None:
        return LineUse(caught, sent, None, None, None, energy)
    load = np.where(flows, _by_path(stream.dryer_load, rows, at_rows[0].shape), 0.0)
    flowing = np.maximum(np.sum(np.where(flows, time, 0.0), axis=1), LEAST_TIME)
    overloaded = np.sum(np.where(load > 1.0, time, 0.0), axis=1) / flowing
    beads = _beads(stream.bead_life, flows, time, rows, tally, at_rows[0])
    return LineUse(caught, sent, overloaded, load.max(axis=1), beads,
                   energy)  # fmt: skip


def _beads(
    life: Array | None, flows: NDArray[np.bool_], time: Array, rows: NDArray[np.int64], tally: Tally, like: Array
) -> Array | None:
    """Time by the clock until beads are spent: each flow takes its share of their life. [s]"""
    if life is None:
        return None
    spent = np.sum(np.where(flows, time / np.maximum(_by_path(life, rows, like.shape), 1.0), 0.0), axis=1)
    return np.asarray(tally.length / np.maximum(spent, 1e-9))


def _by_row(values: Array, rows: NDArray[np.int64], count: int) -> Array:
    """Put paths' values on the rows they ran, axes (draw, 1, flow); of several on one row the last."""
    found = np.tile(values[:1], (count, 1))
    found[rows] = values
    return found[:, None, :]


def _by_path(values: Array, rows: NDArray[np.int64], shape: tuple[int, ...]) -> Array:
    """Return values of (draw, 1, flow) for each path: (path, flow)."""
    whole = np.broadcast_to(values, shape)
    return np.asarray(whole[rows][:, 0, :])
