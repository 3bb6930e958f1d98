"""What the air meets after the coolers: separator, check valve, receiver, filters, dryer, in the plant's order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_DRY_AIR, CP_LIQUID, CP_VAPOUR, R_DRY_AIR, ZERO_CELSIUS
from airfettle.air.moist import dew_point, enthalpy, saturation_humidity_ratio
from airfettle.parts.receiver_cooling import outlet_temperature
from airfettle.parts.separator import separator_efficiency
from airfettle.plant.receiver import CheckValve, Receiver
from airfettle.plant.separator import Separator
from airfettle.plant.treatment import Dryer, Filter
from airfettle.studies.completion.whole import PlantNumbers, Station
from airfettle.studies.instant.drops import drop_at
from airfettle.studies.instant.drying import Entering, dried, dryer_purge
from airfettle.studies.instant.state import PathState, TrainState

Array = NDArray[np.float64]

WINDOW_PRESSURE, WINDOW_TEMPERATURE = 8.0e5, 293.15
"""Where a separator's flow window is stated. [Pa] [K]  Source: practice."""
SURFACE = 6.1
"""Surface of a receiver three diameters long over volume to the two thirds. [-]  Source: physics."""
FILTER_PRESSURE = 8.0e5
"""Where a filter's drop is stated. [Pa]  Source: practice."""
FILTER_CATCH = {"coalescing": 0.95, "particles": 0.3, "carbon": 0.0, "regulator": 0.0, "unknown": 0.0}
"""Share of the liquid that a filter catches, by its purpose. [-]  Source: practice."""
SHIFT = 28_800.0
"""Running time that the use of beads is told for, 8 hours. [s]"""
LEAST_FLOW = 1e-15
"""Dry air of a train that delivers none, so that a mixture has a temperature. [kg/s]"""


@dataclass(frozen=True)
class Stream:
    """The air at one station, all trains together: dry air, temperature, vapour, liquid, pressure, and what was
    taken from it on the way (water drained or held, heat towards the surroundings, the enthalpy of that water, and
    air with its water and enthalpy spent as purge). [SI]
    """

    dry_air: Array
    temperature: Array
    humidity_ratio: Array
    liquid: Array
    pressure: Array
    receiver_pressure: Array
    separator_water: Array
    receiver_water: Array
    treatment_water: Array
    receiver_heat: Array
    treatment_heat: Array
    drained_enthalpy: Array
    purge_dry_air: Array
    purge_water: Array
    purge_enthalpy: Array
    held_water: Array
    receiver_temperature: Array | None = None
    receiver_humidity_ratio: Array | None = None
    dryer_load: Array | None = None
    dryer_liquid: Array | None = None
    bead_life: Array | None = None
    purges: bool = False

    def enthalpy(self) -> Array:
        """Return what flows by: moist air and liquid, from dry air and liquid water at 0 degC. [W]"""
        moist = self.dry_air * enthalpy(self.temperature, humidity_ratio=self.humidity_ratio)
        return np.asarray(moist + liquid_enthalpy(self.liquid, temperature=self.temperature))

    def drained(self, water: Array, *, temperature: Array) -> Stream:
        """Return the same with water booked as drained: before the receiver, or behind it."""
        carried = self.drained_enthalpy + liquid_enthalpy(water, temperature=temperature)
        if self.receiver_temperature is None:
            return replace(self, separator_water=self.separator_water + water, drained_enthalpy=carried)
        return replace(self, treatment_water=self.treatment_water + water, drained_enthalpy=carried)


def liquid_enthalpy(water: Array, *, temperature: Array) -> Array:
    """Return what a flow of liquid water carries, from liquid at 0 degC. [W]"""
    return np.asarray(water * CP_LIQUID * (temperature - ZERO_CELSIUS))


def drop_before_receiver(plant: PlantNumbers, *, flow: Array, pressure: Array) -> Array:
    """Return the pressure lost between coolers and receiver. [Pa]"""
    return _drop_of(plant.before, plant, flow, pressure)


def line_drop(plant: PlantNumbers, *, flow: Array, pressure: Array) -> Array:
    """Return the pressure lost behind the receiver, in filters and dryer, at a flow through all of them. [Pa]"""
    return _drop_of((*plant.receivers, *plant.after), plant, flow, pressure)


def _drop_of(stations: tuple[Station, ...], plant: PlantNumbers, flow: Array, pressure: Array) -> Array:
    lost = np.zeros((1, 1, 1))
    for station in stations:
        part = station.part
        if isinstance(part, (Separator, CheckValve)):
            lost = lost + _full_flow_drop(part, flow, pressure, plant)
        elif isinstance(part, (Filter, Dryer)):
            lost = lost + _treatment_drop(part, flow, pressure, plant)
    return lost


def _full_flow_drop(
    part: Separator[Array] | CheckValve[Array], flow: Array, pressure: Array, plant: PlantNumbers
) -> Array:
    """Drop of a part known at full delivery and cut-out. [Pa]"""
    return drop_at(part.drop, flow=flow, rated_flow=plant.full_flow, pressure=pressure, rated_pressure=plant.cut_out)


def _treatment_drop(part: Filter[Array] | Dryer[Array], flow: Array, pressure: Array, plant: PlantNumbers) -> Array:
    """Drop of a filter or dryer; where no flow is rated, full delivery is. [Pa]"""
    rated = part.rated_flow if part.rated_flow is not None else plant.full_flow
    at = part.rated_pressure if isinstance(part, Dryer) else np.array(FILTER_PRESSURE)
    return drop_at(part.drop, flow=flow, rated_flow=rated, pressure=pressure, rated_pressure=at)


def path_state(plant: PlantNumbers, *, trains: tuple[TrainState, ...], receiver_pressure: Array) -> PathState:
    """Return the air path's state from what the trains send into it; meanings stand in PathState. [SI]"""
    along = streams(plant, trains=trains, receiver_pressure=receiver_pressure)
    return _state(plant, trains, receiver_pressure, along[0], along[-1])


def streams(plant: PlantNumbers, *, trains: tuple[TrainState, ...], receiver_pressure: Array) -> tuple[Stream, ...]:
    """Return the air behind the coolers, all trains together, and after each station in turn. [SI]"""
    along = [_mixed(plant, trains, receiver_pressure)]
    for station in (*plant.before, *plant.receivers, *plant.after):
        along.append(_STEPS[station.section](along[-1], station, plant))
    return tuple(along)


def stream_before_receiver(
    plant: PlantNumbers, *, trains: tuple[TrainState, ...], receiver_pressure: Array, start: Stream | None = None
) -> tuple[Stream, Stream]:
    """Return the air behind the coolers, or a stream given instead, and as it comes to the receiver. [SI]"""
    first = _mixed(plant, trains, receiver_pressure) if start is None else start
    stream = first
    for station in plant.before:
        stream = _STEPS[station.section](stream, station, plant)
    return first, stream


def stream_after_receiver(
    plant: PlantNumbers, *, dry_air: Array, temperature: Array, humidity_ratio: Array, pressure: Array
) -> Stream:
    """Return what becomes of air that leaves the receiver, in filters and dryer behind it. [SI]"""
    none = np.zeros((1, 1, 1))
    stream = Stream(
        dry_air=dry_air, temperature=temperature, humidity_ratio=humidity_ratio, liquid=none, pressure=pressure,
        receiver_pressure=pressure, separator_water=none, receiver_water=none, treatment_water=none,
        receiver_heat=none, treatment_heat=none, drained_enthalpy=none, purge_dry_air=none, purge_water=none,
        purge_enthalpy=none, held_water=none, receiver_temperature=temperature, receiver_humidity_ratio=humidity_ratio,
    )  # fmt: skip
    for station in plant.after:
        stream = _STEPS[station.section](stream, station, plant)
    return stream


def _mixed(plant: PlantNumbers, trains: tuple[TrainState, ...], receiver_pressure: Array) -> Stream:
    """All trains' air behind their coolers, mixed; with several, liquid made or taken up in mixing is not counted."""
    flow = np.asarray(sum(t.delivered_dry_air for t in trains))
    none = np.zeros((1, 1, 1))
    if len(trains) == 1:
        temperature, ratio = trains[0].cooler_outlet_temperature, trains[0].cooler_outlet_humidity_ratio
    else:
        temperature, ratio = _mixture(trains)
    return Stream(
        dry_air=flow, temperature=temperature, humidity_ratio=ratio,
        liquid=np.asarray(sum(t.cooler_liquid for t in trains)), pressure=receiver_pressure + trains[0].path_drop,
        receiver_pressure=receiver_pressure, separator_water=none, receiver_water=none, treatment_water=none,
        receiver_heat=none, treatment_heat=none, drained_enthalpy=none, purge_dry_air=none, purge_water=none,
        purge_enthalpy=none, held_water=none,
    )  # fmt: skip


def _mixture(trains: tuple[TrainState, ...]) -> tuple[Array, Array]:
    """Temperature at which the mixture holds what its parts bring, and its humidity ratio; flows of 0 count alike."""
    vapour, capacity, warm = (np.zeros((1, 1, 1)) for _ in range(3))
    dry_air = np.zeros((1, 1, 1))
    for train in trains:
        share = np.maximum(train.delivered_dry_air, LEAST_FLOW)
        water = share * train.cooler_outlet_humidity_ratio
        own = share * CP_DRY_AIR + water * CP_VAPOUR + train.cooler_liquid * CP_LIQUID
        dry_air, vapour, capacity = dry_air + share, vapour + water, capacity + own
        warm = warm + own * train.cooler_outlet_temperature
    return np.asarray(warm / capacity), np.asarray(vapour / dry_air)


def _separator(stream: Stream, station: Station, plant: PlantNumbers) -> Stream:
    part = station.part
    assert isinstance(part, Separator)
    efficiency = part.efficiency
    if part.lowest_flow is not None or part.highest_flow is not None:
        flow = stream.dry_air * R_DRY_AIR * stream.temperature / stream.pressure
        low = part.lowest_flow if part.lowest_flow is not None else 1e-6 * plant.full_flow
        high = part.highest_flow if part.highest_flow is not None else 1e3 * plant.full_flow
        volume = R_DRY_AIR * WINDOW_TEMPERATURE / WINDOW_PRESSURE
        efficiency = separator_efficiency(
            flow, least_flow=low * volume, most_flow=high * volume, efficiency_inside=efficiency
        )
    caught = stream.liquid * efficiency
    drained = stream.drained(caught, temperature=stream.temperature)
    lost = _full_flow_drop(part, stream.dry_air, stream.pressure, plant)
    return replace(drained, pressure=stream.pressure - lost, liquid=stream.liquid - caught)


def _check_valve(stream: Stream, station: Station, plant: PlantNumbers) -> Stream:
    part = station.part
    assert isinstance(part, CheckValve)
    lost = _full_flow_drop(part, stream.dry_air, stream.pressure, plant)
    return replace(stream, pressure=stream.pressure - lost)


def receiver_conductance(part: Receiver[Array]) -> Array:
    """Conductance of a receiver to the room: as told, or its surface of about 6.1 V^(2/3) times its film. [W/K]"""
    if part.room_conductance is not None:
        return part.room_conductance
    return np.asarray(part.surface_film * SURFACE * part.volume ** (2.0 / 3.0))


def _receiver(stream: Stream, station: Station, plant: PlantNumbers) -> Stream:
    """Cool towards the room; what the air cannot hold there, and all liquid, stays in the receiver.

    The receiver pressure is that of the first; a second one stands at what is left past the parts between.
    """
    part = station.part
    assert isinstance(part, Receiver)
    pressure = stream.receiver_pressure if stream.receiver_temperature is None else stream.pressure
    leaving = outlet_temperature(
        mass_flow=stream.dry_air, inlet_temperature=stream.temperature, room_temperature=plant.room_temperature,
        conductance=receiver_conductance(part),
    )  # fmt: skip
    held = np.minimum(stream.humidity_ratio, saturation_humidity_ratio(leaving, pressure=pressure))
    water = stream.liquid + stream.dry_air * (stream.humidity_ratio - held)
    after = replace(stream, temperature=leaving, humidity_ratio=held, liquid=np.zeros((1, 1, 1)), pressure=pressure)
    drained = liquid_enthalpy(water, temperature=leaving)
    heat = stream.enthalpy() - after.enthalpy() - drained
    return replace(
        after, receiver_water=stream.receiver_water + water, receiver_heat=stream.receiver_heat + heat,
        drained_enthalpy=stream.drained_enthalpy + drained, receiver_temperature=leaving, receiver_humidity_ratio=held,
    )  # fmt: skip


def _filter(stream: Stream, station: Station, plant: PlantNumbers) -> Stream:
    part = station.part
    assert isinstance(part, Filter)
    caught = stream.liquid * FILTER_CATCH[part.purpose]
    lost = _treatment_drop(part, stream.dry_air, stream.pressure, plant)
    drained = stream.drained(caught, temperature=stream.temperature)
    return replace(drained, pressure=stream.pressure - lost, liquid=stream.liquid - caught)


def _dryer(stream: Stream, station: Station, plant: PlantNumbers) -> Stream:
    part = station.part
    assert isinstance(part, Dryer)
    found = dried(
        part, plant=plant,
        air=Entering(stream.dry_air, stream.temperature, stream.humidity_ratio, stream.liquid, stream.pressure),
    )  # fmt: skip
    lost = _treatment_drop(part, stream.dry_air, stream.pressure, plant)
    after = replace(
        stream, dry_air=stream.dry_air - found.purge_dry_air, temperature=found.temperature,
        humidity_ratio=found.humidity_ratio, liquid=found.liquid, pressure=stream.pressure - lost,
        purge_dry_air=stream.purge_dry_air + found.purge_dry_air, purge_water=stream.purge_water + found.purge_water,
        held_water=stream.held_water + found.held, dryer_load=found.load, dryer_liquid=stream.liquid,
        bead_life=found.life,
    )  # fmt: skip
    after = after.drained(found.drained, temperature=found.drained_temperature)
    kept = liquid_enthalpy(found.held, temperature=stream.temperature)
    after = replace(after, drained_enthalpy=after.drained_enthalpy + kept)
    heat = stream.enthalpy() - after.enthalpy() - (after.drained_enthalpy - stream.drained_enthalpy)
    if dryer_purge(part, plant=plant).flows == "never":
        return replace(after, treatment_heat=stream.treatment_heat + heat)
    return replace(after, purge_enthalpy=stream.purge_enthalpy + heat, purges=True)


_STEPS: dict[str, Callable[[Stream, Station, PlantNumbers], Stream]] = {
    "separator": _separator, "check_valve": _check_valve, "receiver": _receiver, "filter": _filter, "dryer": _dryer,
}  # fmt: skip


def _state(
    plant: PlantNumbers, trains: tuple[TrainState, ...], pressure: Array, start: Stream, end: Stream
) -> PathState:
    between = np.asarray(sum(t.intercooler_water for t in trains))
    drawn = np.asarray(sum(t.intake_dry_air * t.intake_humidity_ratio for t in trains))
    vapour = end.dry_air * end.humidity_ratio
    behind = np.asarray(sum(t.delivered_dry_air * t.pump_outlet_humidity_ratio for t in trains))
    caught = between + end.separator_water
    receiver_ratio = end.receiver_humidity_ratio if end.receiver_humidity_ratio is not None else end.humidity_ratio
    receiver_temperature = end.receiver_temperature if end.receiver_temperature is not None else end.temperature
    line_pressure = np.asarray(np.maximum(end.pressure, plant.barometer))
    return PathState(
        receiver_pressure=pressure, intake_water=drawn, blow_by_water=drawn - between - behind,
        intercooler_water=between, separator_water=end.separator_water, water_caught=caught,
        caught_share=caught / np.maximum(drawn, 1e-15), receiver_water=end.receiver_water,
        receiver_temperature=receiver_temperature, receiver_humidity_ratio=receiver_ratio,
        receiver_dew_point=dew_point(receiver_ratio, pressure=pressure), receiver_heat=end.receiver_heat,
        treatment_water=end.treatment_water, treatment_heat=end.treatment_heat,
        drained_enthalpy=end.drained_enthalpy, dryer_load=end.dryer_load,
        line_dew_point=dew_point(end.humidity_ratio, pressure=line_pressure),
        line_humidity_ratio=end.humidity_ratio, line_pressure=line_pressure - plant.barometer,
        line_absolute_pressure=line_pressure, barometer=plant.barometer, line_temperature=end.temperature,
        carried_vapour=vapour, carried_liquid=end.liquid,
        sent_enthalpy=end.enthalpy() - np.asarray(sum(
            t.delivered_dry_air * enthalpy(t.intake_temperature, humidity_ratio=t.intake_humidity_ratio) for t in trains
        )),
        line_dry_air=end.dry_air, purge_dry_air=end.purge_dry_air, purge_water=end.purge_water,
        purge_enthalpy=end.purge_enthalpy, held_water=end.held_water, dryer_liquid=end.dryer_liquid,
        purge_air=end.purge_dry_air if end.purges else None, bead_life=end.bead_life,
        beads_spent=None if end.bead_life is None else SHIFT / end.bead_life,
    )  # fmt: skip
