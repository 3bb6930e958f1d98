"""The air at every station of its way, from the intake to the tools: pressure, temperature, dew point and water."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from airfettle.air.moist import dew_point
from airfettle.plant.part import Model, entry_of
from airfettle.plant.whole import walk_sections
from airfettle.studies.bands import Band, bands
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.instant.path import Stream, streams
from airfettle.studies.instant.state import Instant, TrainState
from airfettle.studies.instant.whole import instant
from airfettle.studies.notices import stalled
from airfettle.studies.pipework.from_plant import has_network, network_of
from airfettle.studies.pipework.running import fullest_set
from airfettle.studies.pipework.solve import solve
from airfettle.studies.rating import default_frequencies
from airfettle.studies.shares import Ranks, shares_by, spread_entries

Array = NDArray[np.float64]
Quantity = Literal["gauge", "temperature", "dew_point", "vapour", "liquid", "caught"]

KINDS_SHOWN: dict[Quantity, str] = {
    "gauge": "pressure", "temperature": "temperature", "dew_point": "temperature", "vapour": "water_flow",
    "liquid": "water_flow", "caught": "water_flow",
}  # fmt: skip
"""Quantities of a station and their kinds."""
DECIDES = 0.03
"""Share of a value's variance from which an entry is one of those it rests on. [-]"""
ALL_TRAINS = -1
"""Train of a station that the air of all trains passes. [-]"""


@dataclass(frozen=True)
class StationAt:
    """The air behind one part, each array of shape (rows,).

    Attributes
    ----------
    path, section : str
        The part's path in the plant, and what it is: intake, between, pump, cooler, joined, separator, check_valve,
        receiver, filter, dryer or shop_pipe.
    train : int
        Place of its train, ALL_TRAINS behind them. [-]
    gauge : ndarray
        Pressure over that of the room; the intake's lies below it. [Pa]
    temperature, dew_point : ndarray
        Of the air, and the temperature at which its vapour would fall out at this pressure. [K]
    dry_air, vapour, liquid : ndarray
        What goes on: dry air, water as vapour, water as drops. [kg/s]
    caught, lost : ndarray
        Water taken out here, and water that leaves here with air: past the rings, or as purge. [kg/s]
    guessed : frozenset of str
        Quantities whose doubt comes from entries nobody told, and from no other.
    """

    path: str
    section: str
    train: int
    gauge: Array
    temperature: Array
    dew_point: Array
    dry_air: Array
    vapour: Array
    liquid: Array
    caught: Array
    lost: Array
    guessed: frozenset[str] = frozenset()


@dataclass(frozen=True)
class ToolAt:
    """One tool at one drop of the shop's pipe, while all run that can: gauge pressure at its inlet and least. [Pa]"""

    name: str
    drop: str
    gauge: Array
    needed: Array


@dataclass(frozen=True)
class StationsAt:
    """A plant's air from the intake to the tools at one speed and receiver pressure.

    Attributes
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant. [SI]
    frequency, gauge : float
        Where: frequency at the motors [Hz], receiver pressure over that of the room [Pa].
    state : Instant
        All of the plant at this point. [SI]
    trains : tuple of tuple of StationAt
        Stations of each train, up to where the air leaves it.
    common : tuple of StationAt
        Stations that all air passes, up to the shop's pipe.
    tools : tuple of ToolAt
        Tools that run, the one worst off first; empty where the pipe is not told.
    runs : ndarray of bool
        Rows of the draw in which every motor holds this point.
    told : frozenset of str
        Paths of parts of which the owner told anything at all.
    """

    draw: Draw
    numbers: PlantNumbers
    frequency: float
    gauge: float
    state: Instant
    trains: tuple[tuple[StationAt, ...], ...]
    common: tuple[StationAt, ...]
    tools: tuple[ToolAt, ...]
    runs: NDArray[np.bool_]
    told: frozenset[str] = field(default_factory=frozenset)

    @property
    def every(self) -> tuple[StationAt, ...]:
        """All stations, trains one after the other, then what they share."""
        return tuple(station for chain in (*self.trains, self.common) for station in chain)

    def band(self, values: Array) -> Band:
        """Return the band of an array of rows, over those in which every motor holds. [SI]"""
        return bands(self.rows(values)[:, None], only=self.runs[:, None])[0]

    def rows(self, values: Array) -> Array:
        """Return an answer of this point by rows. [SI]"""
        return np.asarray(np.broadcast_to(np.ravel(values), (self.draw.rows,)))


def stations(
    draw: Draw, numbers: PlantNumbers, *, frequency: float | None = None, gauge: float | None = None
) -> StationsAt:
    """Return a plant's air at every station of its way.

    Parameters
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant, drawn and with its gaps filled. [SI]
    frequency : float or None
        At the motors; None takes full frequency. Motors straight on the line have their mains. [Hz]
    gauge : float or None
        Receiver pressure, gauge; None takes cut-out at likely values. [Pa]

    Returns
    -------
    StationsAt
        [SI]

    Notes
    -----
    The physics is that of ``studies.instant``, read off along the way: what a station shows is what the rating has at
    the same point. A pressure dew point is that of the vapour at the station's own pressure.
    """
    if all(train.power.direct for train in numbers.trains):
        frequency = numbers.mains
    hertz = default_frequencies(draw, numbers)[-1] if frequency is None else frequency
    if gauge is None:
        gauge = round(float(np.ravel(numbers.cut_out)[0] - draw.barometer[0, 0, 0]), 3)
    pressure = draw.barometer + gauge
    state = instant(numbers, frequency=np.full((1, 1, 1), hertz), receiver_pressure=pressure)
    read = _Read(draw)
    trains = tuple(tuple(_train(read, place, train)) for place, train in enumerate(state.trains))
    along = streams(numbers, trains=state.trains, receiver_pressure=pressure)
    common = _common(read, numbers, along, pressure)
    stalls = [np.broadcast_to(np.ravel(stalled(train)), (draw.rows,)) for train in state.trains]
    found = StationsAt(
        draw=draw, numbers=numbers, frequency=float(hertz), gauge=float(gauge), state=state,
        trains=trains, common=common, tools=_tools(draw, numbers, pressure), runs=~np.any(stalls, axis=0),
        told=frozenset(path for path, model in walk_sections(draw.plant) if _told(draw, path, model)),
    )  # fmt: skip
    return _with_guessed(found)


class _Read:
    """Puts arrays of a point into stations, row by row."""

    def __init__(self, draw: Draw) -> None:
        self.draw, self.barometer = draw, np.ravel(draw.barometer)

    def station(
        self, path: str, section: str, *, train: int, pressure: Array, temperature: Array, ratio: Array, dry_air: Array,
        liquid: Array, caught: Array, before: Array | None, vapour: Array | None = None,
    ) -> StationAt:  # fmt: skip
        """Return a station; what is neither caught nor goes on of the water before it is lost with air. [SI]"""
        vapour = dry_air * ratio if vapour is None else vapour
        lost = np.zeros((1, 1, 1)) if before is None else before - vapour - liquid - caught
        arrays = {
            "gauge": pressure - self.draw.barometer, "temperature": temperature,
            "dew_point": dew_point(ratio, pressure=pressure), "dry_air": dry_air, "vapour": vapour, "liquid": liquid,
            "caught": caught, "lost": lost,
        }  # fmt: skip
        rows = {name: np.array(np.broadcast_to(np.ravel(a), (self.draw.rows,))) for name, a in arrays.items()}
        return StationAt(path, section, train, guessed=frozenset(), **rows)

    def path(self, train: int, section: str) -> str:
        """Return the path of a train's part."""
        if not self.draw.plant.train:
            return section
        return f"train.{self.draw.plant.trains[train].name or train + 1}.{section}"


def _train(read: _Read, place: int, train: TrainState) -> list[StationAt]:
    """Stations of one train: intake, between its stages, pump, cooler; each only where it is there."""
    none, last = np.zeros((1, 1, 1)), train.last_stage_humidity_ratio
    found = [read.station(
        read.path(place, "intake"), "intake", train=place, pressure=train.intake_pressure,
        temperature=train.intake_temperature, ratio=train.intake_humidity_ratio, dry_air=train.intake_dry_air,
        liquid=none, caught=none, before=None,
    )]  # fmt: skip
    if train.interstage_absolute_pressure is not None:
        found.append(read.station(
            read.path(place, "pump"), "between", train=place, pressure=train.interstage_absolute_pressure,
            temperature=train.last_stage_temperature, ratio=last, dry_air=train.interstage_dry_air, liquid=none,
            caught=train.intercooler_water, before=_water(found[-1]),
        ))  # fmt: skip
    found.append(read.station(
        read.path(place, "pump"), "pump", train=place, pressure=train.discharge_pressure + train.barometer,
        temperature=train.discharge_temperature, ratio=train.pump_outlet_humidity_ratio,
        dry_air=train.delivered_dry_air, liquid=none, caught=none, before=_water(found[-1]),
    ))  # fmt: skip
    cooler = read.draw.plant.trains[place].cooler
    if cooler is not None and not cooler.absent:
        found.append(read.station(
            read.path(place, "cooler"), "cooler", train=place, pressure=train.receiver_pressure + train.path_drop,
            temperature=train.cooler_outlet_temperature, ratio=train.cooler_outlet_humidity_ratio,
            dry_air=train.delivered_dry_air, liquid=train.cooler_liquid, caught=none, before=_water(found[-1]),
        ))  # fmt: skip
    return found


def _water(station: StationAt) -> Array:
    """All water that goes on from a station, axes (draw, 1, 1). [kg/s]"""
    return np.asarray((station.vapour + station.liquid)[:, None, None])


def _common(read: _Read, numbers: PlantNumbers, along: tuple[Stream, ...], receiver: Array) -> tuple[StationAt, ...]:
    """Stations behind the trains; no pressure ahead of the receiver is under its own, none behind under the room's."""
    found, still_before = [], bool(numbers.receivers)
    if len(numbers.trains) > 1:
        found.append(_behind("plant", "joined", read, along[0], None, receiver))
    parts = (*numbers.before, *numbers.receivers, *numbers.after)
    for part, before, after in zip(parts, along, along[1:], strict=False):
        still_before = still_before and part.section != "receiver"
        least = receiver if still_before else read.draw.barometer
        found.append(_behind(part.name, part.section, read, after, before, least))
    pipe = read.draw.plant.shop_pipe
    if pipe is not None and not pipe.absent:
        found.append(_behind("shop_pipe", "shop_pipe", read, along[-1], along[-1], read.draw.barometer))
    return tuple(found)


def _behind(
    path: str, section: str, read: _Read, stream: Stream, before: Stream | None, least: Array
) -> StationAt:  # fmt: skip
    caught = np.zeros((1, 1, 1)) if before is None else _taken(stream) - _taken(before)
    return read.station(
        path, section, train=ALL_TRAINS, pressure=np.maximum(stream.pressure, least), temperature=stream.temperature,
        ratio=stream.humidity_ratio, dry_air=stream.dry_air, liquid=stream.liquid, caught=caught,
        before=None if before is None else before.dry_air * before.humidity_ratio + before.liquid,
    )  # fmt: skip


def _taken(stream: Stream) -> Array:
    """Water drained or held on the way so far. [kg/s]"""
    return stream.separator_water + stream.receiver_water + stream.treatment_water + stream.held_water


def _tools(draw: Draw, numbers: PlantNumbers, receiver: Array) -> tuple[ToolAt, ...]:
    """Tools with all running that can at once, least pressure over need first; none where no pipe is told."""
    if not has_network(draw.plant):
        return ()
    network = network_of(draw, numbers)
    on = fullest_set(network)
    pressure = np.broadcast_to(receiver[:, 0, 0], (network.rows,))
    inlet = solve(network, on=on[None, :], receiver_pressure=pressure, whole=False).inlet[:, 0]
    spare = np.median(inlet - network.needed_pressure, axis=0)
    order = [int(n) for n in np.argsort(spare, kind="stable") if on[n] > 0.0]
    room = np.broadcast_to(network.barometer, (network.rows,))

    def rows(values: Array) -> Array:
        return np.array(np.broadcast_to(values, (network.rows,))) - room

    return tuple(
        ToolAt(network.uses[network.outlets[n].use].name, network.drops[network.outlets[n].drop], rows(inlet[:, n]),
               rows(np.broadcast_to(network.needed_pressure, inlet.shape)[:, n]))
        for n in order
    )  # fmt: skip


def _told(draw: Draw, path: str, model: Any) -> bool:
    """Whether the owner told anything of a part: a number, or an answer other than what is taken for granted."""
    assumed = set(draw.assumed)
    if any(key.startswith(f"{path}.") and key not in assumed for key in draw.spans):
        return True
    return any(
        getattr(model, name) != info.default for name, info in type(model).model_fields.items()
        if entry_of(info) is None and name not in ("name", "known", "absent") and not _is_part(getattr(model, name))
    )  # fmt: skip


def _is_part(value: Any) -> bool:
    several = value if isinstance(value, tuple) else (value,)
    return any(isinstance(item, Model) for item in several)


def _with_guessed(found: StationsAt) -> StationsAt:
    """Mark values that rest on assumptions alone; with few rows, or no doubt, none is."""
    entries, assumed = spread_entries(found.draw), set(found.draw.assumed)
    ranks = Ranks.of(entries)

    def marked(station: StationAt) -> StationAt:
        guessed = set()
        for name in KINDS_SHOWN:
            behind = [
                path for path, share in shares_by(getattr(station, name), ranks=ranks).items() if share >= DECIDES
            ]
            if behind and assumed.issuperset(behind):
                guessed.add(name)
        return replace(station, guessed=frozenset(guessed))

    return replace(found, trains=tuple(tuple(map(marked, chain)) for chain in found.trains),
                   common=tuple(map(marked, found.common)))  # fmt: skip
