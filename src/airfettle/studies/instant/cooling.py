"""The train's own cooler at one instant, fan running or still."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_LIQUID, ZERO_CELSIUS
from airfettle.air.moist import enthalpy
from airfettle.parts.cooler import (
    CoolerState,
    conductance_at,
    cool_moist_air,
    coolant_capacity_at,
    fan_capacity_rate,
)
from airfettle.plant.cooler import Cooler
from airfettle.studies.completion.whole import TrainNumbers
from airfettle.studies.instant.train import Pass, Point

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Cooled:
    """Air after the cooler: temperature, vapour, liquid and heat given up; temperature with the fan still. [SI]"""

    temperature: Array
    humidity_ratio: Array
    liquid: Array
    heat: Array
    still_temperature: Array | None


def cooled(train: TrainNumbers, *, point: Point, last: Pass) -> Cooled:
    """Return the air behind the train's cooler, or as it left the pump where there is none.

    The heat is counted from the air as the pump books it, all its water vapour: a pump that hardly delivers may send
    air colder than its dew point, whose water the cooler then makes liquid.
    """
    pump = last.pump
    assert pump is not None
    if train.cooler is None:
        return Cooled(
            pump.discharge_temperature, pump.delivered_humidity_ratio, np.zeros((1, 1, 1)), np.zeros((1, 1, 1)), None
        )
    running = _through(train, point, last, _fan_ratio(train.cooler, train, point, last))
    still = _through(train, point, last, np.zeros((1, 1, 1)))
    leaving = (running.outlet_temperature, running.outlet_humidity_ratio)
    gained = enthalpy_gained(
        last.flow, before=(pump.discharge_temperature, pump.delivered_humidity_ratio), after=leaving
    )
    drops = running.condensate * CP_LIQUID * (running.outlet_temperature - ZERO_CELSIUS)
    return Cooled(*leaving, running.condensate, np.asarray(-gained - drops), still.outlet_temperature)


def _through(train: TrainNumbers, point: Point, last: Pass, fan_ratio: Array) -> CoolerState:
    cooler, pump, breath = train.cooler, last.pump, train.breath
    assert cooler is not None
    assert pump is not None
    conductance = conductance_at(
        rated_conductance=train.cooler_conductance, air_flow_ratio=last.flow / train.full_flow,
        fan_flow_ratio=fan_ratio, still_share=cooler.fan_off_share,
    )  # fmt: skip
    rated = fan_capacity_rate(cooler.fan_flow, pressure=breath.barometer, temperature=breath.room_temperature)
    return cool_moist_air(
        dry_air_flow=last.flow, pressure=point.receiver_pressure + point.path_drop,
        inlet_temperature=pump.discharge_temperature, inlet_humidity_ratio=pump.delivered_humidity_ratio,
        coolant_temperature=breath.room_temperature, conductance=conductance,
        coolant_capacity_rate=coolant_capacity_at(rated_capacity_rate=rated, fan_flow_ratio=fan_ratio),
    )  # fmt: skip


def _fan_ratio(cooler: Cooler[Array], train: TrainNumbers, point: Point, last: Pass) -> Array:
    """Flow of the fan over its rating: with the drive's output or the flywheel it follows the speed. [-]"""
    if cooler.fan == "none":
        return np.zeros((1, 1, 1))
    if cooler.fan == "drive output" and not train.power.direct:
        return np.asarray(np.minimum(point.frequency / train.power.motor.frequency, 1.0))
    if cooler.fan == "pump flywheel":
        return np.asarray(last.motor_speed / train.pump.ratio / train.pump.rated_speed)
    return np.ones((1, 1, 1))


def enthalpy_gained(dry_air: Array, *, before: tuple[Array, Array], after: tuple[Array, Array]) -> Array:
    """Return the enthalpy moist air gained between two states (temperature, humidity ratio). [W]"""
    return np.asarray(
        dry_air * (enthalpy(after[0], humidity_ratio=after[1]) - enthalpy(before[0], humidity_ratio=before[1]))
    )
