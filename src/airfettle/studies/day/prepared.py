"""A drawn plant made ready to run: fits, slow numbers, settings and tools of every row."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import STANDARD_PRESSURE
from airfettle.air.moist import dew_point
from airfettle.air.nozzle import nozzle_mass_flow
from airfettle.errors import BadRequest
from airfettle.plant.control import Control
from airfettle.plant.receiver import Receiver
from airfettle.plant.separator import Separator
from airfettle.plant.treatment import Dryer
from airfettle.quantity.clock import Hours, read_hours
from airfettle.studies.completion.whole import PlantNumbers, TrainNumbers, complete
from airfettle.studies.day.demand import UseNumbers, script_for, use_numbers
from airfettle.studies.day.fits import HIGHEST_PRESSURE, Fits, fit
from airfettle.studies.day.machine import (
    MOST_TOOLS,
    MOST_TRAINS,
    PRESET,
    PRESSURE,
    STEPS,
    Machine,
    Settings,
    Tools,
)
from airfettle.studies.day.saturation import saturation_fit
from airfettle.studies.day.steps import GAS_STEPS, NO_LAG, REFERENCE, STANDING, STANDING_WINDING
from airfettle.studies.draw import Draw
from airfettle.studies.instant.drying import dryer_purge
from airfettle.studies.instant.path import SURFACE, line_drop, receiver_conductance
from airfettle.studies.instant.whole import instant
from airfettle.studies.pipework.from_plant import has_network, network_of
from airfettle.studies.pipework.leak import pipe_leak
from airfettle.studies.pipework.needs import receiver_needs
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.running import worst_first
from airfettle.studies.rating import default_frequencies

Array = NDArray[np.float64]

STEEL = 480.0
"""Specific heat of steel. [J/(kg K)]"""
DAY, WEEK, YEAR = 86_400.0, 604_800.0, 365 * 86_400.0
FOLLOW_BELOW, FULL_BELOW = 0.4e5, 0.3e5
"""How far below cut-in the pumps after the first start, and full speed begins, where nobody tells it. [Pa]
Source: practice."""

GAS_ERROR = 4e-5
"""Error of the receiver's air that one step may leave: 0.1 Pa. [K]"""
DRAIN_STATED, DRAIN_COEFFICIENT = 8e5, 0.6
"""Where a drain's choked flow is worked out [Pa], and its discharge coefficient [-].  Source: practice."""


@dataclass(frozen=True)
class Prepared:
    """A plant ready to run.

    Attributes
    ----------
    draw, numbers : Draw, PlantNumbers
        The plant, drawn and with its gaps filled. [SI]
    fits : Fits
        Of every row. [SI]
    uses : tuple of UseNumbers
        What draws air. [SI]
    ranges : tuple of pairs
        Frequencies, see ``fits.fit``. [Hz]
    scheme : int
        PRESET, STEPS or PRESSURE.
    full, quiet : float
        Frequency of full and of quiet running. [Hz]
    rows : dict
        Slow numbers and settings by name, shape (draw,) or (draw, train). [SI]
    hours, quiet_hours : Hours or None
        When it is switched on, and must be quiet; None for always, and never.
    network, order : Network or None, ndarray of int or None
        The shop's pipe where it is told, and the places for tools on it, the worst off first. [SI]
    """

    draw: Draw
    numbers: PlantNumbers
    fits: Fits
    uses: tuple[UseNumbers, ...]
    ranges: tuple[tuple[float, float], ...]
    scheme: int
    full: float
    quiet: float
    rows: dict[str, Array]
    hours: Hours | None
    quiet_hours: Hours | None
    network: Network | None = None
    order: NDArray[np.int64] | None = None

    def one(self, row: int) -> OneRow:
        """Return one row by itself: all that a run needs, and little enough to send to another machine. [SI]"""
        r = {name: values[row] for name, values in self.rows.items()}
        uses = tuple(_use_of(use, row) for use in self.uses)
        return OneRow(
            row, self._machine(row, r), self._settings(r), uses, float(r["line_drop"]), float(r["steady"]),
            float(r["purge_share"]), self.hours, self.quiet_hours,
            None if self.network is None else self.network.only(row), self.order,
        )  # fmt: skip

    def _machine(self, row: int, r: dict[str, Array]) -> Machine:
        fits = self.fits
        names = set(Machine._fields) - {
            "coefficients", "pressure_ends", "wall_ends", "frequency_ends", "saturation", "trains", "parts",
            "frequency_nodes", "dries",
        }  # fmt: skip
        return Machine(
            trains=len(self.numbers.trains), parts=len(self.ranges), frequency_nodes=fits.coefficients.shape[-2],
            coefficients=np.ascontiguousarray(fits.coefficients[row]), pressure_ends=fits.pressure_ends[row],
            wall_ends=np.ascontiguousarray(fits.wall_ends[row]), frequency_ends=fits.frequency_ends,
            saturation=saturation_fit(), dries=int(any(s.section == "dryer" for s in self.numbers.before)),
            **{name: _plain(r[name]) for name in names},
        )  # fmt: skip

    def _settings(self, r: dict[str, Array]) -> Settings:
        names = set(Settings._fields) - {"scheme", "full", "quiet", "lowest", "highest", "highest_quiet", "gain"}
        quiet_part = len(self.ranges) - 1 if self.scheme != PRESSURE else 0
        span = self.ranges[-1][1] - self.ranges[0][0]
        return Settings(
            scheme=self.scheme, full=0, quiet=quiet_part, lowest=self.ranges[0][0], highest=self.ranges[-1][1],
            highest_quiet=self.quiet, gain=span / float(r["pressure_band"]),
            **{name: _plain(r[name]) for name in names},
        )  # fmt: skip


def _use_of(use: UseNumbers, row: int) -> UseNumbers:
    """One row of a use by itself."""
    some: dict[str, Any] = {
        name: np.asarray(getattr(use, name))[row : row + 1] for name in BY_ROW if getattr(use, name) is not None
    }
    return replace(use, **some)


BY_ROW = (
    "flow", "conductance", "full_pressure", "needed_pressure", "lost_on_the_way", "on", "off", "variation",
)  # fmt: skip
"""What of a use differs from row to row."""


@dataclass(frozen=True)
class OneRow:
    """One row of a plant, ready to run by itself.

    Attributes
    ----------
    row : int
        Which row of the draw.
    machine, settings : named tuples
        [SI]
    uses : tuple of UseNumbers
        Of this row alone. [SI]
    line_drop, steady, purge_share : float
        See ``machine.Tools``; air spent by a dryer for each unit drawn. [Pa2 s2/kg2] [kg/(s Pa)] [-]
    hours, quiet_hours : Hours or None
        [s]
    network, order : Network or None, ndarray of int or None
        As in ``Prepared``, of this row alone. [SI]
    """

    row: int
    machine: Machine
    settings: Settings
    uses: tuple[UseNumbers, ...]
    line_drop: float
    steady: float
    purge_share: float
    hours: Hours | None
    quiet_hours: Hours | None
    network: Network | None = None
    order: NDArray[np.int64] | None = None

    def tools(self, *, start: float, length: float, seed: int, path: int) -> Tools:
        """Return what draws air in a stretch of time, by one chance. [SI]"""
        script = script_for(self.uses, row=0, start=start, length=length, seed=seed, path=path)
        times, codes, on = [script.times], [script.use.astype(np.int64)], [script.on.astype(np.int64)]
        for code, hours in ((len(self.uses), self.hours), (len(self.uses) + 1, self.quiet_hours)):
            if hours is not None:
                opened = hours.opened(start, length=length)
                times.append(opened.ravel())
                codes.append(np.full(opened.size, code, np.int64))
                on.append(np.tile(np.array([1, -1], np.int64), len(opened)))
            elif code == len(self.uses):
                times.append(np.array([start]))
                codes.append(np.array([code], np.int64))
                on.append(np.array([1], np.int64))
        every = np.concatenate(times)
        order = np.argsort(every, kind="stable")
        return self._tools(every[order], np.concatenate(codes)[order], np.concatenate(on)[order], start, length)

    def _tools(
        self, times: Array, codes: NDArray[np.int64], on: NDArray[np.int64], start: float, length: float
    ) -> Tools:
        more = 1.0 + self.purge_share
        fields = np.array([
            [
                more * use.flow[0] if use.law == "regulated" else 0.0,
                more * use.conductance[0] * use.full_pressure[0]
                / (use.full_pressure[0] + use.lost_on_the_way[0]) if use.law != "regulated" else 0.0,
                use.full_pressure[0] + use.lost_on_the_way[0],
                use.needed_pressure[0] + use.lost_on_the_way[0],
            ]
            for use in self.uses
        ]).reshape(-1, 4)  # fmt: skip
        counts = np.array([use.count for use in self.uses], dtype=np.float64)
        regulated, choked, full_at, needs = (np.ascontiguousarray(column) for column in fields.T)
        which, sets = _sets(codes, on, [use.count for use in self.uses])
        full_of = needs_of = np.zeros((1, len(self.uses)))
        if self.network is not None and self.order is not None:
            alone = np.eye(len(self.uses), dtype=np.int64)
            found = receiver_needs(self.network, order=self.order, counts=np.concatenate([sets, alone]))
            full_of, needs_of = found.full[: len(sets)], found.needed[: len(sets)]
            regulated = np.where(found.held, more * found.flow, 0.0)
            choked = np.where(found.held, 0.0, more * found.flow / np.diagonal(found.full[len(sets) :]))
        top = float(np.max(self.settings.cut_out))
        most = float(np.sum(counts * (regulated + choked * top))) + self.steady * top
        return Tools(
            many=len(self.uses), regulated=regulated, choked=choked, full_at=full_at, needs=needs,
            piped=int(self.network is not None), line_drop=self.line_drop, steady=self.steady, most=most, times=times,
            codes=codes, on=on, which=which, full_of=np.ascontiguousarray(full_of),
            needs_of=np.ascontiguousarray(needs_of), begin=start, end=start + length,
        )  # fmt: skip


def _sets(
    codes: NDArray[np.int64], on: NDArray[np.int64], counts: list[int]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the set of tools that runs after each line of a script, by its place, and how many of each use are in it.

    A set is kept as one whole number, in which each use has as many values as it has copies, and one more.
    """
    if not counts:
        return np.zeros(len(codes), dtype=np.int64), np.zeros((1, 0), dtype=np.int64)
    bases = np.concatenate([[1.0], np.cumprod([count + 1.0 for count in counts])])
    if bases[-1] >= 2.0**62:  # too many to number: each line a set of its own
        steps = np.zeros((len(codes), len(counts)), dtype=np.int64)
        tools = codes < len(counts)
        steps[np.flatnonzero(tools), codes[tools]] = on[tools]
        every = np.concatenate([np.zeros((1, len(counts)), np.int64), np.cumsum(steps, axis=0)])
        unique, place = np.unique(every, axis=0, return_inverse=True)
        return np.ravel(place)[1:].astype(np.int64), unique
    weights = np.append(bases[:-1].astype(np.int64), [0, 0])
    sums = np.concatenate([[0], np.cumsum(weights[codes] * on)]).astype(np.int64)
    unique, place = np.unique(sums, return_inverse=True)
    sets = np.stack([unique // int(b) % (count + 1) for b, count in zip(bases, counts, strict=False)], axis=1)
    return np.ravel(place)[1:].astype(np.int64), sets.astype(np.int64)


def _plain(value: Any) -> Any:
    return float(value) if np.ndim(value) == 0 else np.ascontiguousarray(value, dtype=np.float64)


def prepare_plant(
    draw: Draw, *, full: float | None = None, volume_share: float = 1.0, before: Prepared | None = None
) -> Prepared:
    """Return a drawn plant made ready to run.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    full : float or None
        Another frequency for full speed. [Hz]
    volume_share : float
        Receiver volume over its own. [-]
    before : Prepared or None
        The same draw with another receiver, whose fits are kept.

    Returns
    -------
    Prepared
        [SI]

    Raises
    ------
    AirfettleError
        Entries contradict each other so far that nothing can be computed, or there is no receiver.
    """
    numbers = complete(draw)
    control = draw.plant.control
    assert control is not None
    receivers = [s.part for s in numbers.receivers if isinstance(s.part, Receiver)]
    if not receivers:
        raise BadRequest(read="a plant without a receiver", wanted="a [receiver] with its volume: a day is run on it")
    if len(numbers.trains) > MOST_TRAINS:
        raise BadRequest(read=f"{len(numbers.trains)} trains", wanted=f"at most {MOST_TRAINS} for a day of running")
    uses = use_numbers(draw)
    if len(uses) > MOST_TOOLS:
        raise BadRequest(read=f"{len(uses)} uses", wanted=f"at most {MOST_TOOLS}; write like ones as one with a count")
    frequencies = default_frequencies(draw, numbers)
    top = full if full is not None else frequencies[-1]
    quiet = min(
        float(np.ravel(control.quiet)[0]) if control.quiet is not None else frequencies[len(frequencies) // 2], top
    )
    scheme = _scheme(control, numbers)
    ranges = _ranges(scheme, low=min(frequencies[0], top), quiet=quiet, full=top, base=numbers.base_frequency)
    network, order = _pipe(draw, numbers, before)
    rows = _rows(draw, numbers, control, receivers, volume_share, 0.0 if network is None else network.volume)
    fits = before.fits if before is not None else fit(
        numbers, ranges=ranges, highest=np.max(rows["cut_out"], axis=1), rows=draw.rows
    )  # fmt: skip
    return Prepared(
        draw, numbers, fits, uses, ranges, scheme, top, quiet, rows,
        None if control.hours == "always" else read_hours(control.hours, where="control.hours"),
        None if control.quiet_hours == "never" else read_hours(control.quiet_hours, where="control.quiet_hours"),
        network, order,
    )  # fmt: skip


def _pipe(
    draw: Draw, numbers: PlantNumbers, before: Prepared | None
) -> tuple[Network | None, NDArray[np.int64] | None]:
    """Return the shop's pipe, where it is told, and its places for tools by what is left over their needs."""
    if not has_network(draw.plant):
        return None, None
    if before is not None:
        return before.network, before.order
    network = network_of(draw, numbers)
    return network, worst_first(network)


def with_volume(prepared: Prepared, share: float) -> Prepared:
    """Return the same plant with a receiver of another size: volume, surface by its two thirds, steel with it."""
    surface = share ** (2.0 / 3.0)
    rows = dict(prepared.rows)
    rows["volume"] = rows["volume"] * share
    rows["wall_capacity"] = rows["wall_capacity"] * share
    rows["film"], rows["room_conductance"] = rows["film"] * surface, rows["room_conductance"] * surface
    return replace(prepared, rows=rows)


def _scheme(control: Control[Array], numbers: PlantNumbers) -> int:
    if all(train.power.direct for train in numbers.trains):
        return PRESET
    return {"steps": STEPS, "pressure": PRESSURE}.get(control.speed_by, PRESET)


def _ranges(scheme: int, *, low: float, quiet: float, full: float, base: float) -> tuple[tuple[float, float], ...]:
    """Presets full and quiet, or the ranges of a frequency that follows the pressure, parted at base frequency. [Hz]"""
    if scheme != PRESSURE:
        return ((full, full), (quiet, quiet)) if quiet != full else ((full, full),)
    lowest = min(low, 0.999 * full)
    if lowest < 0.98 * base < 0.98 * full:
        return ((lowest, base), (base, full))
    return ((lowest, full),)


def _rows(
    draw: Draw,
    numbers: PlantNumbers,
    control: Control[Array],
    receivers: list[Receiver[Array]],
    share: float,
    line_volume: Array | float,
) -> dict[str, Array]:
    """Slow numbers and settings of every row, shape (draw,) or (draw, train). [SI]"""

    def row(value: Any) -> Array:
        return np.array(np.broadcast_to(np.ravel(np.asarray(value, dtype=np.float64)), (draw.rows,)))

    def each(values: list[Any]) -> Array:
        return np.stack([row(v) for v in values], axis=1)

    found = _receiver(receivers, row, share) | _control(control, len(numbers.trains), row, each)
    found |= _leaks(draw, numbers, row, line_volume) | _drain(receivers, row)
    bowls = [s.part.bowl_volume for s in numbers.before if isinstance(s.part, Separator)]
    found["bowl_room"] = 1e3 * row(bowls[0]) if bowls else row(0.0)
    found["water_room"] = np.asarray(sum(1e3 * row(r.volume) * row(r.water_share) for r in receivers))
    trains, drawn = numbers.trains, draw.plant.trains
    pumps = [t.pump.part for t in trains]
    lines = [t.hot_line for t in drawn]
    found |= {
        "gas_steps": _gas_steps(numbers, row),
        "room": row(numbers.room_temperature),
        "barometer": row(numbers.barometer),
        "humidity": row(trains[0].breath.humidity_ratio),
        "warmest_dew": row(dew_point(trains[0].breath.humidity_ratio, pressure=HIGHEST_PRESSURE * numbers.cut_out)),
        "pump_capacity": each([_pump_capacity(t) for t in trains]),
        "still_conductance": each([STANDING * np.asarray(t.pump.wall_conductance) for t in trains]),
        "crankcase_place": each([p.crankcase_place for p in pumps]),
        "crankcase_lag": each([p.crankcase_lag for p in pumps]),
        "cooler_lag": np.stack([_cooler_lag(t, row) for t in trains], axis=1),
        "fan_run_on": each([_or_none(t.cooler.fan_run_on if t.cooler else None) for t in trains]),
        "fan_power": each([t.cooler.fan_power if t.cooler and t.cooler.fan != "none" else 0.0 for t in trains]),
        "line_volume": each([h.volume if h is not None and not h.absent else 0.0 for h in lines]),
        "winding_lag": np.stack([_winding(t.motor.winding_lag, row) for t in drawn if t.motor is not None], axis=1),
    }
    return found


def _gas_steps(numbers: PlantNumbers, row: Any) -> Array:
    """Longest step that keeps what a step of fifth order leaves out, z^6/600 of the air's rise, under GAS_ERROR. [-]"""
    state = instant(
        numbers, frequency=np.full((1, 1, 1), numbers.base_frequency),
        receiver_pressure=np.asarray(numbers.cut_out).reshape(-1, 1, 1),
    )  # fmt: skip
    rise = np.maximum.reduce([row(t.cooler_outlet_temperature - t.room_temperature) for t in state.trains])
    return np.asarray(np.minimum((600.0 * GAS_ERROR / np.maximum(np.abs(rise), 1.0)) ** (1.0 / 6.0), GAS_STEPS))


def _or_none(value: Array | None) -> Array:
    return np.zeros(1) if value is None else value


def _receiver(receivers: list[Receiver[Array]], row: Any, share: float) -> dict[str, Array]:
    volume = sum(row(r.volume) for r in receivers) * share
    surface = sum(SURFACE * row(r.volume) ** (2.0 / 3.0) for r in receivers)
    steel = sum(row(r.mass) if r.mass is not None else row(r.steel_for_volume) * 1e3 * row(r.volume) for r in receivers)
    return {
        "volume": np.asarray(volume), "film": np.asarray(row(receivers[0].inside_film) * surface),
        "room_conductance": np.asarray(sum(row(receiver_conductance(r)) for r in receivers)),
        "wall_capacity": np.asarray(STEEL * steel),
    }  # fmt: skip


def _control(control: Control[Array], trains: int, row: Any, each: Any) -> dict[str, Array]:
    cut_in, cut_out = row(control.cut_in), row(control.cut_out)
    cut_in = np.minimum(cut_in, cut_out - 1e3)
    follow_in = row(control.follow_cut_in) if control.follow_cut_in is not None else cut_in - FOLLOW_BELOW
    follow_out = row(control.follow_cut_out) if control.follow_cut_out is not None else cut_out
    middle = 0.5 * (cut_in + cut_out)
    return {
        "cut_in": each([cut_in, *[follow_in] * (trains - 1)]),
        "cut_out": each([cut_out, *[np.maximum(follow_out, follow_in + 1e3)] * (trains - 1)]),
        "full_below": row(control.full_below) if control.full_below is not None else cut_in - FULL_BELOW,
        "held": np.clip(row(control.held_pressure), cut_in + 500.0, cut_out - 500.0)
        if control.held_pressure is not None else middle,
        "pressure_band": row(0.5e5 if control.pressure_band is None else control.pressure_band),
        "reset": row(30.0 if control.reset_time is None else control.reset_time),
        "idle_time": row(_or_none(control.idle_time)), "minimum_off": row(_or_none(control.minimum_off)),
        "most_starts": row(_or_none(control.most_starts)),
    }  # fmt: skip


def _leaks(draw: Draw, numbers: PlantNumbers, row: Any, line_volume: Array | float) -> dict[str, Array]:
    """Leaks as a hole, purge of a dryer behind the receiver, and the drop of what stands there."""
    cut_out, leak = row(numbers.cut_out), row(pipe_leak(draw, numbers, line_volume=line_volume))
    steady, share = leak / (0.5 * (row(numbers.cut_in) + cut_out)), row(0.0)
    for station in (*numbers.receivers, *numbers.after):
        if isinstance(station.part, Dryer):
            purge = dryer_purge(station.part, plant=numbers)
            if purge.flows == "always":
                steady = steady + row(purge.conductance)
            elif purge.flows != "never":
                share = row(np.asarray(purge.conductance / purge.full_load))
    flow = 0.5 * numbers.full_flow
    drop = line_drop(numbers, flow=flow, pressure=numbers.cut_out)
    return {"steady": steady, "purge_share": share, "line_drop": row(drop * numbers.cut_out / flow**2)}


def _drain(receivers: list[Receiver[Array]], row: Any) -> dict[str, Array]:
    timed = [r for r in receivers if r.drain_every is not None]
    if not timed:
        return {"drain_every": row(0.0), "drain_air": row(0.0)}
    part = timed[0]
    area = 0.25 * np.pi * row(part.drain_bore) ** 2
    flow = nozzle_mass_flow(
        area, pressure=DRAIN_STATED, temperature=REFERENCE, downstream_pressure=STANDARD_PRESSURE,
        discharge_coefficient=DRAIN_COEFFICIENT,
    )  # fmt: skip
    return {"drain_every": row(part.drain_every), "drain_air": np.asarray(flow / DRAIN_STATED * row(part.drain_open))}


def _pump_capacity(train: TrainNumbers) -> Array:
    part = train.pump.part
    if part.wall_heat_capacity is not None:
        return part.wall_heat_capacity
    return np.asarray(part.wall_heat_factor * 1e6 * train.pump.displacement)


def _cooler_lag(train: TrainNumbers, row: Any) -> Array:
    """Lag of the cooler's metal, fan running and still, shape (draw, 2). [s]"""
    if train.cooler is None:
        return np.stack([row(NO_LAG), row(NO_LAG)], axis=1)
    turning = row(train.cooler.heat_capacity) / np.maximum(row(train.cooler_conductance), 1e-3)
    return np.stack([turning, turning / np.maximum(row(train.cooler.fan_off_share), 0.01)], axis=1)


def _winding(lag: Array, row: Any) -> Array:
    return np.stack([row(lag), STANDING_WINDING * row(lag)], axis=1)
