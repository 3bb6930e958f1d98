"""What a dryer of any kind does to the air at its place, and the air it spends to do so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from airfettle.air.moist import relative_humidity_of
from airfettle.parts.desiccant import (
    DesiccantState,
    Regeneration,
    bead_life,
    bead_uptake,
    fresh_beads,
    purge_conductance,
    regenerate,
)
from airfettle.parts.dryer import (
    inlet_temperature_factor,
    pressure_factor,
    refrigerate,
    room_temperature_factor,
)
from airfettle.parts.membrane import pass_membrane
from airfettle.plant.treatment import Dryer
from airfettle.studies.completion.whole import PlantNumbers

Array = NDArray[np.float64]

REGENERATED: dict[str, Regeneration] = {
    "desiccant, heatless": "heatless", "desiccant, heated purge": "externally heated",
    "desiccant, blower purge": "blower purge",
}  # fmt: skip
"""Kind in the plant file -> how its beds are regenerated."""


@dataclass(frozen=True)
class Purge:
    """The air a dryer spends, as a hole that stands before it.

    Attributes
    ----------
    conductance : ndarray
        Dry air for each pascal absolute at the dryer while it flows, mean over the cycle; 0 for a dryer that spends
        none. [kg/(s Pa)]
    flows : str
        "always" while there is pressure, whatever is drawn; "by load" in proportion to the load, up to the whole;
        "while air flows" whole or nothing; "never".
    full_load : ndarray
        Flow of dry air through the dryer for each pascal absolute from which the whole flows "by load", where the air
        is as wet as at its rating. [kg/(s Pa)]
    """

    conductance: Array
    flows: Literal["always", "by load", "while air flows", "never"]
    full_load: Array


@dataclass(frozen=True)
class Dried:
    """What leaves a dryer. [SI]

    Attributes
    ----------
    temperature, humidity_ratio, liquid : ndarray
        Of the air that goes on. [K] [-] [kg/s]
    drained, drained_temperature : ndarray
        Water drained, and its temperature. [kg/s] [K]
    held : ndarray
        Water that beads keep. [kg/s]
    purge_dry_air, purge_water : ndarray
        Dry air spent, and all the water that leaves with it. [kg/s]
    load : ndarray
        Flow over corrected capacity. [-]
    life : ndarray or None
        How long a cartridge's beads last at this rate. [s]
    """

    temperature: Array
    humidity_ratio: Array
    liquid: Array
    drained: Array
    drained_temperature: Array
    held: Array
    purge_dry_air: Array
    purge_water: Array
    load: Array
    life: Array | None = None


@dataclass(frozen=True)
class Entering:
    """The air at a dryer's inlet: dry air, temperature, vapour over dry air, liquid, absolute pressure. [SI]"""

    dry_air: Array
    temperature: Array
    humidity_ratio: Array
    liquid: Array
    pressure: Array


def dryer_purge(part: Dryer[Array], *, plant: PlantNumbers) -> Purge:
    """Return the air that a dryer spends, as a conductance, and when it flows.

    Parameters
    ----------
    part : Dryer
        As drawn. [SI]
    plant : PlantNumbers
        Its plant; where no flow is rated, full delivery stands in. [SI]

    Returns
    -------
    Purge
        Shapes (draw or 1, 1, 1). [SI]

    Notes
    -----
    The purge is taken behind the dryer. With a check valve between dryer and receiver, a dryer before the receiver
    purges only while the pumps deliver; without one the receiver feeds it backwards. Behind the receiver it purges
    day and night unless it is shut off.
    """
    rated = _rated_flow(part, plant)
    full_load = np.asarray(rated / part.rated_pressure)
    if part.purge_share is None or part.kind in ("refrigerated", "bead cartridge"):
        return Purge(np.zeros((1, 1, 1)), "never", full_load)
    conductance = purge_conductance(rated, purge_share=part.purge_share, rated_pressure=part.rated_pressure)
    if part.purge_when == "always":
        return Purge(conductance, "always", full_load)
    return Purge(conductance, "while air flows" if part.kind == "membrane" else "by load", full_load)


def dried(part: Dryer[Array], *, air: Entering, plant: PlantNumbers) -> Dried:
    """Return what leaves a dryer.

    Parameters
    ----------
    part : Dryer
        As drawn. [SI]
    air : Entering
        What comes to it. [SI]
    plant : PlantNumbers
        Its plant. [SI]

    Returns
    -------
    Dried
        [SI]

    Notes
    -----
    No more is purged than comes in: at one instant nothing is taken back from the receiver.
    """
    if part.kind == "refrigerated":
        return _refrigerated(part, air, plant)
    if part.kind == "bead cartridge":
        return _beads(part, air, plant)
    if part.kind == "membrane":
        return _membrane(part, air, plant)
    return _desiccant(part, air, plant)


def _rated_flow(part: Dryer[Array], plant: PlantNumbers) -> Array:
    """Flow it is rated for; where none is told, full delivery. [kg/s]"""
    return part.rated_flow if part.rated_flow is not None else plant.full_flow


def _standard_rating(part: Dryer[Array], plant: PlantNumbers) -> Array:
    """Dryer flow at the conditions its correction factors stand on, from the ones its plate stands on. [kg/s]"""
    assert part.rated_inlet_temperature is not None
    assert part.rated_room_temperature is not None
    easier = (
        inlet_temperature_factor(part.rated_inlet_temperature)
        * pressure_factor(part.rated_pressure)
        * room_temperature_factor(part.rated_room_temperature)
    )
    return np.asarray(_rated_flow(part, plant) / easier)


def _refrigerated(part: Dryer[Array], air: Entering, plant: PlantNumbers) -> Dried:
    none = np.zeros((1, 1, 1))
    found = refrigerate(
        air.dry_air, inlet_temperature=air.temperature, inlet_humidity_ratio=air.humidity_ratio,
        pressure=air.pressure, room_temperature=plant.room_temperature,
        rated_flow=_standard_rating(part, plant), inlet_liquid=air.liquid,
        rated_dew_point=part.rated_dew_point, rated_drop=part.drop,
    )  # fmt: skip
    return Dried(
        temperature=found.outlet_temperature, humidity_ratio=found.outlet_humidity_ratio, liquid=none,
        drained=found.condensate, drained_temperature=np.minimum(found.dew_point, air.temperature), held=none,
        purge_dry_air=none, purge_water=none, load=found.load_share,
    )  # fmt: skip


def _desiccant(part: Dryer[Array], air: Entering, plant: PlantNumbers) -> Dried:
    assert part.rated_inlet_temperature is not None
    purge = dryer_purge(part, plant=plant)
    full = purge.conductance * air.pressure
    found = regenerate(
        air.dry_air, regeneration=REGENERATED[part.kind], inlet_temperature=air.temperature,
        inlet_humidity_ratio=air.humidity_ratio, pressure=air.pressure, rated_flow=_rated_flow(part, plant),
        rated_dew_point=part.rated_dew_point, rated_inlet_temperature=part.rated_inlet_temperature,
        rated_pressure=part.rated_pressure, full_purge=full, liquid=air.liquid, purge_pressure=plant.barometer,
    )  # fmt: skip
    share = np.minimum(found.load_share, 1.0) if purge.flows == "by load" else np.ones((1, 1, 1))
    spent = np.asarray(np.minimum(full * share, air.dry_air))
    return _purging(found.outlet_temperature, found.outlet_humidity_ratio, np.zeros((1, 1, 1)), spent,
                    found.water_taken, found.load_share)  # fmt: skip


def _membrane(part: Dryer[Array], air: Entering, plant: PlantNumbers) -> Dried:
    assert part.rated_inlet_temperature is not None
    full = dryer_purge(part, plant=plant).conductance * air.pressure
    found = pass_membrane(
        air.dry_air, inlet_temperature=air.temperature, inlet_humidity_ratio=air.humidity_ratio,
        pressure=air.pressure, dew_point_depression=part.rated_inlet_temperature - part.rated_dew_point,
        rated_flow=_rated_flow(part, plant), rated_inlet_temperature=part.rated_inlet_temperature,
        rated_pressure=part.rated_pressure, full_purge=full, liquid=air.liquid, sweep_pressure=plant.barometer,
    )  # fmt: skip
    spent = np.asarray(np.minimum(full, air.dry_air))
    return _purging(air.temperature, found.outlet_humidity_ratio, found.outlet_liquid, spent, found.water_taken,
                    found.load_share)  # fmt: skip


def _purging(temperature: Array, ratio: Array, liquid: Array, spent: Array, taken: Array, load: Array) -> Dried:
    """A dryer whose purge carries off what it took; the purge itself is as dry as the air that goes on."""
    none = np.zeros((1, 1, 1))
    return Dried(
        temperature=temperature, humidity_ratio=ratio, liquid=liquid, drained=none, drained_temperature=temperature,
        held=none, purge_dry_air=spent, purge_water=taken + spent * ratio, load=load,
    )  # fmt: skip


def _beads(part: Dryer[Array], air: Entering, plant: PlantNumbers) -> Dried:
    none = np.zeros((1, 1, 1))
    found = fresh_beads(
        air.dry_air, inlet_temperature=air.temperature, inlet_humidity_ratio=air.humidity_ratio,
        pressure=air.pressure, rated_flow=_rated_flow(part, plant), rated_dew_point=part.rated_dew_point,
        rated_pressure=part.rated_pressure, liquid=air.liquid,
    )  # fmt: skip
    return Dried(
        temperature=found.outlet_temperature, humidity_ratio=found.outlet_humidity_ratio, liquid=none, drained=none,
        drained_temperature=air.temperature, held=found.water_taken, purge_dry_air=none, purge_water=none,
        load=found.load_share, life=_life(part, air, found),
    )  # fmt: skip


def _life(part: Dryer[Array], air: Entering, found: DesiccantState) -> Array:
    """How long the beads last, in balance with the air that enters; with liquid in it, that is saturated. [s]"""
    assert part.bead_mass is not None
    assert part.bead_grade is not None
    assert part.usable_share is not None
    humidity = relative_humidity_of(air.humidity_ratio, temperature=air.temperature, pressure=air.pressure)
    wet = np.where(air.liquid > 0.0, 1.0, humidity)
    uptake = bead_uptake(wet, beads=part.beads, grade=part.bead_grade)
    return bead_life(found.water_taken, bead_mass=part.bead_mass, uptake=uptake, usable_share=part.usable_share)
