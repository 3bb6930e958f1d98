"""The whole plant as numbers: site, trains and air path."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR
from airfettle.air.moist import humidity_ratio, saturation_humidity_ratio
from airfettle.plant.cooler import Cooler
from airfettle.plant.part import Part
from airfettle.plant.whole import Train
from airfettle.studies.completion.backwards import pump_numbers
from airfettle.studies.completion.power import PowerNumbers, power_numbers
from airfettle.studies.completion.pumping import PumpNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.instant.pumping import Breath

Array = NDArray[np.float64]

FULL_FILLING = 0.70
"""Share of the displacement taken as full delivery when drops are scaled. [-]  Source: practice."""


@dataclass(frozen=True)
class Station:
    """One part on the air path after the coolers: its name, its section, and the part as drawn."""

    name: str
    section: str
    part: Part[Array]


@dataclass(frozen=True)
class TrainNumbers:
    """One train as numbers, shape (draw, 1, 1). [SI]

    Attributes
    ----------
    name : str
        Empty in a plant with one train.
    own_supply : bool
        It has wires of its own from the panel; otherwise it shares the plant's.
    power, pump : PowerNumbers, PumpNumbers
        What turns it, and what is turned.
    breath : Breath
        The air it draws.
    cooler : Cooler or None
        As drawn; None where there is none.
    cooler_conductance : ndarray
        At full delivery, fan on. [W/K]
    full_flow : ndarray
        Dry air at full delivery, for scaling drops. [kg/s]
    """

    name: str
    own_supply: bool
    power: PowerNumbers
    pump: PumpNumbers
    breath: Breath
    cooler: Cooler[Array] | None
    cooler_conductance: Array
    full_flow: Array


@dataclass(frozen=True)
class PlantNumbers:
    """The plant as numbers, shape (draw, 1, 1) or (1, 1, 1). [SI]

    Attributes
    ----------
    trains : tuple of TrainNumbers
        At least one.
    before, receivers, after : tuple of Station
        The air path up to the first receiver, from it to the last with what stands between, and past that.
    barometer, room_temperature, humidity_ratio : ndarray
        Of the site. [Pa] [K] [kg/kg]
    energy_price : ndarray or None
        [money/J]
    cut_in, cut_out : ndarray
        Receiver pressures, absolute. [Pa]
    full_flow : ndarray
        Dry air at full delivery of all trains. [kg/s]
    base_frequency, mains : float
        Of the first train's motor at likely values, and of the supply. [Hz]
    taken : tuple of str
        What was taken for granted because neither told nor drawn, in words.
    """

    trains: tuple[TrainNumbers, ...]
    before: tuple[Station, ...]
    receivers: tuple[Station, ...]
    after: tuple[Station, ...]
    barometer: Array
    room_temperature: Array
    humidity_ratio: Array
    energy_price: Array | None
    cut_in: Array
    cut_out: Array
    full_flow: Array
    base_frequency: float
    mains: float
    taken: tuple[str, ...]


def complete(draw: Draw) -> PlantNumbers:
    """Return a drawn plant with its gaps filled.

    Parameters
    ----------
    draw : Draw
        As drawn. [SI]

    Returns
    -------
    PlantNumbers
        [SI]

    Raises
    ------
    AirfettleError
        Entries contradict each other so far that nothing can be computed.
    """
    plant = draw.plant
    site, control = plant.site, plant.control
    assert site is not None
    assert control is not None
    barometer = draw.barometer
    water = humidity_ratio(site.humidity, temperature=site.room_temperature, pressure=barometer)
    mains = 60.0 if plant.about.units == "US" else 50.0
    density = barometer / (R_DRY_AIR * site.room_temperature)
    trains = tuple(_train(t, control.cut_out, mains, density, draw, water) for t in plant.trains)
    before, receivers, after = _stations(draw)
    return PlantNumbers(
        trains=trains, before=before, receivers=receivers, after=after, barometer=barometer,
        room_temperature=site.room_temperature, humidity_ratio=np.asarray(water), energy_price=site.energy_price,
        cut_in=control.cut_in, cut_out=control.cut_out,
        full_flow=np.asarray(sum(train.full_flow for train in trains)),
        base_frequency=float(np.ravel(trains[0].power.motor.frequency)[0]),
        mains=float(np.ravel(trains[0].power.supply_frequency)[0]), taken=_taken(trains),
    )  # fmt: skip


def _pump_taken(pump: PumpNumbers) -> tuple[str, ...]:
    words = (f"the pump's size from {pump.displacement_from}",)
    if pump.part.rated_speed is not None or any(stated.speed is not None for stated in pump.part.rated):
        return words
    rpm = 60.0 * float(np.ravel(pump.rated_speed)[0])
    return (*words, f"its highest speed, about {rpm:.0f} rpm, as the speed its losses are stated for")


def _taken(trains: tuple[TrainNumbers, ...]) -> tuple[str, ...]:
    """Each train's taken words, behind its name where there are several, and what its pump's size rests on."""
    return tuple(
        f"{train.name}: {words}" if len(trains) > 1 else words
        for train in trains
        for words in (*train.power.taken, *_pump_taken(train.pump))
    )


def _train(train: Train[Array], cut_out: Array, mains: float, density: Array, draw: Draw, water: Array) -> TrainNumbers:
    assert train.intake is not None
    power = power_numbers(train, mains=mains)
    site = draw.plant.site
    assert site is not None
    no_filter = train.intake.absent
    drop = np.zeros(1) if no_filter else train.intake.drop
    rise = np.zeros(1) if no_filter else train.intake.temperature_rise
    intake = site.room_temperature + rise
    drawn = np.minimum(water, saturation_humidity_ratio(intake, pressure=draw.barometer))
    breath = Breath(draw.barometer, intake, site.room_temperature, drawn, drop)
    pump = pump_numbers(train, power=power, cut_out=cut_out, breath=breath)
    cooler = train.cooler if train.cooler is not None and not train.cooler.absent else None
    full = np.asarray(FULL_FILLING * pump.displacement * pump.rated_speed * density)
    own = draw.plant.supply is not train.supply
    return TrainNumbers(train.name, own, power, pump, breath, cooler, _conductance(cooler, full), full)


def _conductance(cooler: Cooler[Array] | None, full_flow: Array) -> Array:
    """Conductance of the cooler at full delivery: as told or by its kind, or from its transfer units. [W/K]"""
    if cooler is None:
        return np.zeros(1)
    if cooler.conductance is not None:
        return cooler.conductance
    assert cooler.transfer_units is not None
    return np.asarray(cooler.transfer_units * full_flow * CP_DRY_AIR)


def _stations(draw: Draw) -> tuple[tuple[Station, ...], tuple[Station, ...], tuple[Station, ...]]:
    path = [Station(name, name.partition(".")[0], draw.plant.station(name)) for name in draw.plant.air_path()]
    at = [i for i, station in enumerate(path) if station.section == "receiver"]
    first, last = (at[0], at[-1]) if at else (len(path), len(path))
    return tuple(path[:first]), tuple(path[first : last + 1]), tuple(path[last + 1 :])
