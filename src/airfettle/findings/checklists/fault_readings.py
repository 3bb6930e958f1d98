"""The readings of a plant that is well, in words, by the names under which the faults ask for them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from airfettle.findings.checklists.this_plant import ThisPlant, TrainSeen
from airfettle.findings.checklists.words import NOT_TOLD, bare, between, force, one, reading
from airfettle.studies.bands import Band
from airfettle.studies.commissioning import belt_setting
from airfettle.studies.limits.numbers import HOTTEST

Each = Callable[[Callable[[TrainSeen], str]], str]
"""Words for every train concerned, from words for one."""


def fault_readings(this: ThisPlant, *, trains: Sequence[TrainSeen]) -> dict[str, str]:
    """Return every reading by name, of the trains concerned."""

    def each(words: Callable[[TrainSeen], str]) -> str:
        return this.each(words, only=trains)

    found = _electrical(this, each) | _turning(this, each) | _air(this, each)
    return found | _pressures(this) | _tank(this, each) | _belt(this, each)


def _electrical(this: ThisPlant, each: Each) -> dict[str, str]:
    units = this.units

    def rated(t: TrainSeen) -> str:
        return current_text(this, t)

    def starts(t: TrainSeen) -> str:
        rate = t.trial.starts
        return "" if rate is None else between(rate, kind="start_rate", units=units).removesuffix(" /h")

    return {
        "amps": each(lambda t: this.shown("motor_current", train=t.name)),
        "amps_open": each(lambda t: this.shown("motor_current", train=t.name, end="open")),
        "amps_plate": each(rated),
        "supply_amps": this.shown("supply_current"),
        "start_amps": each(
            lambda t: "" if t.trial.start_current is None
            else f"up to {one(t.trial.start_current.high, kind='current', units=units)}"
        ).replace(NOT_TOLD, "five to seven times the plate's amps"),
        "drive_limit": each(lambda t: drive_limit(this, t)),
        "volts": volts_text(this),
        "drop": lost_volts(this),
        "breaker": _breaker(this),
        "starts": each(starts),
        "rest": each(lambda t: "" if t.trial.least_rest is None else f"{t.trial.least_rest:.0f}"),
        "insulation": insulation_text(this),
    }  # fmt: skip


def _turning(this: ThisPlant, each: Each) -> dict[str, str]:
    return {
        "pump_rpm": each(lambda t: this.shown("pump_speed", train=t.name)),
        "motor_rpm": each(lambda t: this.shown("motor_speed", train=t.name)),
        "pump_rpm_low": each(lambda t: "" if t.direct else this.shown("pump_speed", train=t.name, low=True)),
        "hertz": f"{this.full:g} Hz",
        "hertz_low": f"{this.low:g} Hz",
        "closing": each(lambda t: t.pump.shown("unloader_closing_speed")),
        "sound": this.shown("sound_level"),
        "sound_low": this.shown("sound_level", low=True),
    }


def _air(this: ThisPlant, each: Each) -> dict[str, str]:
    return {
        "air": this.shown("delivered_air"),
        "air_each": each(lambda t: this.shown("delivered_air", train=t.name)),
        "discharge": each(lambda t: this.shown("discharge_temperature", train=t.name)),
        "discharge_limit": each(lambda t: discharge_limit(this, t)),
        "cooler_out": each(lambda t: this.shown("cooler_outlet_temperature", train=t.name) if t.cooler else ""),
        "approach": each(lambda t: this.shown("cooler_approach", train=t.name) if t.cooler else ""),
        "still": each(lambda t: this.shown("cooler_still_temperature", train=t.name) if t.cooler else ""),
        "wall": each(lambda t: this.shown("wall_temperature", train=t.name)),
        "interstage": each(
            lambda t: this.shown("interstage_pressure", train=t.name) if t.pump.fact("stages") == 2 else ""
        ),
        "water": this.shown("water_caught"),
        "tank_water": this.shown("receiver_water"),
        "dew": this.shown("line_dew_point"),
        "line": this.shown("line_pressure"),
        "far_in": this.shown("tool_pressure", end="cut-in"),
    }


def _pressures(this: ThisPlant) -> dict[str, str]:
    valves = [p for p in this.case.parts("relief_valve") if p.fact("protects") in ("receiver", "unknown")]
    told = [bare(p.shown("set_pressure")) for p in valves if p.told("set_pressure")]
    plates = [bare(p.shown("plate_pressure")) for p in this.receivers if p.told("plate_pressure")]
    return {
        "cut_in": setting(this, "cut_in"), "cut_out": setting(this, "cut_out"),
        "relief": " and ".join(told) or NOT_TOLD, "plate": " and ".join(plates) or NOT_TOLD,
    }  # fmt: skip


def _tank(this: ThisPlant, each: Each) -> dict[str, str]:
    tank, units = this.trials.tank, this.units
    names = ("pump_up", "pump_up_band", "settled", "most_fall")
    if tank is None:
        found = dict.fromkeys(names, NOT_TOLD)
    else:
        some = (tank.from_empty, tank.from_cut_in, tank.settled, tank.most_fall)
        found = {name: reading(each, units=units) for name, each in zip(names, some, strict=True)}
        found["most_fall"] = one(tank.most_fall.band.low, kind="pressure_difference", units=units)
    return found | {"bleed": each(lambda t: bleed_text(this, t))}


def _belt(this: ThisPlant, each: Each) -> dict[str, str]:
    numbers = this.case.reach.numbers
    found = {t.name: belt_setting(t.belt.model, train=numbers.trains[t.place]) for t in this.trains if t.belt}

    def deflection(t: TrainSeen) -> str:
        told = found.get(t.name)
        return NOT_TOLD if told is None else one(told.deflection.likely, kind="length", units=this.units)

    def pressed(t: TrainSeen) -> str:
        told = found.get(t.name)
        if told is None:
            return NOT_TOLD
        if told.used is not None and told.new is not None:
            return f"{force(told.used, told.new, units=this.units)} (used belt, new belt)"
        if told.needed is None:
            return NOT_TOLD
        low = told.needed.likely
        return f"{force(1.5 * low, 2.0 * low, units=this.units)}; it slips below {force(low, low, units=this.units)}"

    loose = "1/64 of the span" if this.units == "US" else "16 mm for each metre of span"
    return {
        "deflection": each(lambda t: deflection(t) if t.belt else "").replace(NOT_TOLD, loose),
        "force": each(lambda t: pressed(t) if t.belt else "").replace(NOT_TOLD, "the force its maker's table has"),
    }


def setting(this: ThisPlant, name: str) -> str:
    """Return a pressure setting of the control: as told, or what is assumed, in parentheses."""
    control = this.case.part("control")
    assert control is not None
    text = bare(control.shown(name))
    return text if control.told(name) else f"({text}, assumed)"


def current_text(this: ThisPlant, train: TrainSeen) -> str:
    """Return the motor's full-load amps: by its plate, else as its power makes likely."""
    if train.motor.told("current"):
        return bare(train.motor.shown("current"))
    return f"{between(train.trial.rated_current, kind='current', units=this.units)} (plate not told)"


def drive_limit(this: ThisPlant, train: TrainSeen) -> str:
    """Return the amps that a drive may give, fed as it is; nothing for a motor on the line."""
    limit = this.case.reach.numbers.trains[train.place].power.output_limit
    if train.direct:
        return ""
    return NOT_TOLD if limit is None else one(float(np.percentile(limit, 5.0)), kind="current", units=this.units)


def discharge_limit(this: ThisPlant, train: TrainSeen) -> str:
    """Return the discharge temperature not to be passed: as told, else by the number of stages."""
    if train.pump.told("discharge_limit"):
        return bare(train.pump.shown("discharge_limit"))
    return one(HOTTEST[train.pump.fact("stages")], kind="temperature", units=this.units)


def insulation_text(this: ThisPlant) -> str:
    """Return the least insulation resistance of the windings."""
    new = f"{this.trains[0].trial.insulation / 1e6:g} megohm at 40 °C"
    old = this.each(lambda t: f"{t.trial.old_insulation / 1e6:.2g} megohm")
    return f"{new} (a winding from before about 1970: {old})"


def bleed_text(this: ThisPlant, train: TrainSeen) -> str:
    """Return how long the head takes to empty at a stop."""
    return reading(train.trial.bleed, units=this.units)


def volts_text(this: ThisPlant) -> str:
    """Return the volts that the supply should have."""
    found = dict.fromkeys(_volts(this, t) for t in this.trains)
    return "; ".join(found)


def _volts(this: ThisPlant, train: TrainSeen) -> str:
    volts = np.ravel(this.case.reach.numbers.trains[train.place].power.supply_voltage)
    low, middle, high = (float(v) for v in np.percentile(volts, [5.0, 50.0, 95.0]))
    return between(Band(low, middle, high, middle), kind="voltage", units=this.units)


def lost_volts(this: ThisPlant) -> str:
    """Return the share of the volts that supply wires lose at full speed, where size and length are told."""
    supply = this.case.part("supply")
    told = supply is not None and supply.told("wire")
    return this.shown("voltage_drop_share") if told else NOT_TOLD


def _breaker(this: ThisPlant) -> str:
    supply = this.case.part("supply")
    return bare(supply.shown("breaker")) if supply is not None and supply.told("breaker") else NOT_TOLD
