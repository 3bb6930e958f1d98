"""What the kernel knows of pump, motor and cooler: the instant at a few nodes, as polynomials.

Only smooth quantities are fitted; minimum and maximum are taken by the kernel, after the fit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from airfettle.air.moist import saturation_humidity_ratio
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.day.machine import FREQUENCIES, OUTPUTS, PRESSURES, WALLS
from airfettle.studies.day.saturation import powers
from airfettle.studies.instant.path import Stream, stream_before_receiver
from airfettle.studies.instant.state import Instant, Slow, TrainState
from airfettle.studies.instant.whole import instant

Array = NDArray[np.float64]

PRESSURE_NODES, FREQUENCY_NODES, WALL_NODES = PRESSURES, FREQUENCIES, WALLS
"""Nodes of a fit over receiver pressure, frequency and warmth of the walls. [-]"""
LOWEST_PRESSURE, PARTED_AT = 1.2, 4.0
"""Lowest receiver pressure fitted, and where the two ranges meet, over the barometer. [-]"""
HIGHEST_PRESSURE = 1.03
"""Highest receiver pressure fitted over the highest cut-out. [-]"""
COLDEST, HOTTEST = 8.0, 8.0
"""How far the fit of the walls reaches below the room, and above where they settle at full load. [K]"""
NO_FLOW, NO_LIMIT = 1e-30, 1e6
"""Flow of a pump that idles, and humidity that limits nothing. [kg/s] [-]"""
PROBE = 1e-6
"""Liquid sent through the parts before the receiver, to see what share they catch. [kg/s]"""


@dataclass(frozen=True)
class Fits:
    """Fits of a drawn plant.

    Attributes
    ----------
    coefficients : ndarray
        Shape (draw, mode, train, pressure range, frequency range, output, wall power, frequency power, pressure power).
    pressure_ends, wall_ends, frequency_ends : ndarray
        Ends of the ranges: (draw, 3) [Pa], (draw, train, 2) [K], (frequency range, 2) [Hz].
    modes : tuple of tuple of int
        Trains that run in each mode: every set of loaded ones, then each alone with its unloader open.
    """

    coefficients: Array
    pressure_ends: Array
    wall_ends: Array
    frequency_ends: Array
    modes: tuple[tuple[int, ...], ...]


def modes_of(trains: int) -> tuple[tuple[int, ...], ...]:
    """Return the trains that run in each mode: loaded sets in binary order, then each one idling."""
    loaded = [tuple(k for k in range(trains) if code >> k & 1) for code in range(1, 1 << trains)]
    return (*loaded, *((k,) for k in range(trains)))


def fit(plant: PlantNumbers, *, ranges: tuple[tuple[float, float], ...], highest: Array, rows: int) -> Fits:
    """Return the fits of a plant.

    Parameters
    ----------
    plant : PlantNumbers
        A drawn plant with its gaps filled. [SI]
    ranges : tuple of pairs
        Ranges of frequency; a pair of equal ends is a preset, of one node. [Hz]
    highest : ndarray
        Highest pressure at which a pump is stopped, absolute, shape (draw,). [Pa]
    rows : int
        Rows of the draw. [-]

    Returns
    -------
    Fits
        [SI]
    """
    barometer = _column(plant.barometer, rows)
    top = HIGHEST_PRESSURE * highest
    ends = np.stack([LOWEST_PRESSURE * barometer, np.minimum(PARTED_AT * barometer, 0.6 * top), top], axis=1)
    walls = _wall_ends(plant, top=top, frequency=max(high for _, high in ranges), rows=rows)
    trains, modes = len(plant.trains), modes_of(len(plant.trains))
    nodes = FREQUENCY_NODES if any(high > low for low, high in ranges) else 1
    shape = (rows, len(modes), trains, 2, len(ranges), len(OUTPUTS), WALL_NODES, nodes, PRESSURE_NODES)
    found = np.zeros(shape)
    for place, members in enumerate(modes):
        some = replace(plant, trains=tuple(plant.trains[k] for k in members))
        loaded = place < len(modes) - trains
        values = _at_nodes(some, ends, walls[:, list(members)], ranges, loaded, rows)
        for part, (columns, count) in enumerate(_columns(ranges)):
            for zone in range(2):
                there = values[..., columns, zone * PRESSURE_NODES : (zone + 1) * PRESSURE_NODES]
                for k, each in zip(members, _powers_of(there), strict=True):
                    found[:, place, k, zone, part, :, :, :count, :] = each
    return Fits(found, ends, walls, np.array(ranges), modes)


def _columns(ranges: tuple[tuple[float, float], ...]) -> list[tuple[slice, int]]:
    """Where the nodes of each range of frequency stand among all of them, and how many they are."""
    found, at = [], 0
    for low, high in ranges:
        count = FREQUENCY_NODES if high > low else 1
        found.append((slice(at, at + count), count))
        at += count
    return found


def _column(values: Array, rows: int) -> Array:
    return np.broadcast_to(np.ravel(values), (rows,)).copy()


def _wall_ends(plant: PlantNumbers, *, top: Array, frequency: float, rows: int) -> Array:
    """Coldest and hottest walls of each train: below the room, and above where they settle at the top. [K]"""
    state = instant(plant, frequency=np.full((1, 1, 1), frequency), receiver_pressure=top[:, None, None])
    hot = [_column(train.wall_temperature, rows) + HOTTEST for train in state.trains]
    cold = _column(plant.room_temperature, rows) - COLDEST
    return np.stack([np.stack([np.minimum(cold, h - 20.0), h], axis=1) for h in hot], axis=1)


def _at_nodes(
    plant: PlantNumbers, ends: Array, walls: Array, ranges: tuple[tuple[float, float], ...], loaded: bool, rows: int
) -> Array:
    """Outputs at all nodes at once, shape (train, draw, output, wall, frequency, pressure of both ranges). [SI]"""
    pressure = np.concatenate([_nodes(ends[:, zone : zone + 2], PRESSURE_NODES) for zone in range(2)], axis=1)
    nodes = [_nodes(np.array([pair]), FREQUENCY_NODES if pair[1] > pair[0] else 1).ravel() for pair in ranges]
    frequency = np.concatenate(nodes)
    shape = (rows, frequency.size, pressure.shape[1])
    found = []
    for at in chebyshev.chebpts1(WALL_NODES):
        warm = tuple(
            (0.5 * (w[:, 0] + w[:, 1]) + 0.5 * (w[:, 1] - w[:, 0]) * at)[:, None, None]
            for w in np.moveaxis(walls, 1, 0)
        )
        state = instant(
            plant, frequency=frequency[None, :, None], receiver_pressure=pressure[:, None, :], slow=Slow(warm),
            loaded=loaded,
        )  # fmt: skip
        found.append(_outputs(plant, state, shape=shape, loaded=loaded))
    return np.stack(found, axis=3)


def _nodes(ends: Array, count: int) -> Array:
    low, high = ends[:, :1], ends[:, 1:]
    return np.asarray(0.5 * (low + high) + 0.5 * (high - low) * chebyshev.chebpts1(count))


def _outputs(plant: PlantNumbers, state: Instant, *, shape: tuple[int, int, int], loaded: bool) -> Array:
    """Outputs of every train of an instant, shape (train, draw, output, frequency, pressure). [SI]"""
    path = _before(plant, state) if loaded else None
    return np.stack([_of_train(plant, t, path, shape=shape, loaded=loaded) for t in state.trains])


def _of_train(
    plant: PlantNumbers, t: TrainState, path: _Before | None, *, shape: tuple[int, int, int], loaded: bool
) -> Array:
    flow = t.delivered_dry_air * path.kept_share if path is not None else np.full((1, 1, 1), NO_FLOW)
    between = t.interstage_dry_air if loaded else np.full((1, 1, 1), NO_FLOW)
    limit = np.full((1, 1, 1), NO_LIMIT)
    if t.interstage_absolute_pressure is not None:
        limit = saturation_humidity_ratio(t.last_stage_temperature, pressure=t.interstage_absolute_pressure)
    outputs = {
        "log_flow": np.log(np.maximum(flow, NO_FLOW)),
        "cooler_outlet": t.cooler_outlet_temperature if path is None else path.temperature,
        "wall_heat": t.wall_heat + t.friction_power,
        "electrical_power": t.electrical_power,
        "log_wall_conductance": np.log(t.wall_conductance),
        "discharge_temperature": t.discharge_temperature,
        "winding_temperature": t.winding_temperature,
        "log_interstage_flow": np.log(np.maximum(between, NO_FLOW)),
        "log_interstage_saturation": np.log(limit),
        "drop_to_receiver": t.path_drop,
        "caught_share": np.zeros((1, 1, 1)) if path is None else path.caught_share,
        "pump_speed": t.pump_speed,
        "log_dried_humidity": np.full((1, 1, 1), np.log(NO_LIMIT)) if path is None else np.log(path.dried),
    }
    return np.stack([np.broadcast_to(outputs[name], shape) for name in OUTPUTS], axis=1)


@dataclass(frozen=True)
class _Before:
    """Air as it comes to the receiver: share not spent as purge, temperature, share of liquid caught on the way,
    humidity a dryer leaves.
    """

    kept_share: Array
    temperature: Array
    caught_share: Array
    dried: Array


def _before(plant: PlantNumbers, state: Instant) -> _Before:
    """What the parts between coolers and receiver do."""
    start, end = stream_before_receiver(plant, trains=state.trains, receiver_pressure=state.trains[0].receiver_pressure)
    wet: Stream = replace(start, liquid=np.full((1, 1, 1), PROBE))
    _, probe = stream_before_receiver(plant, trains=state.trains, receiver_pressure=start.receiver_pressure, start=wet)
    caught = np.asarray(1.0 - probe.liquid / PROBE)
    dries = any(station.section == "dryer" for station in plant.before)
    dried = end.humidity_ratio if dries else np.full((1, 1, 1), NO_LIMIT)
    kept = end.dry_air / np.maximum(start.dry_air, NO_FLOW)
    return _Before(kept, end.temperature, caught, dried)


def _powers_of(values: Array) -> Array:
    """Coefficients of powers, from values at nodes; the last three axes are wall, frequency and pressure."""
    for axis in (-3, -2, -1):
        matrix = powers(values.shape[axis])
        values = np.moveaxis(np.moveaxis(values, axis, -1) @ matrix.T, -1, axis)
    return values
