"""Steps of a first start at working pressure: readings, stops, and standing."""

from __future__ import annotations

from collections.abc import Iterator

from airfettle.findings.checklists.fault_readings import (
    current_text,
    discharge_limit,
    drive_limit,
    setting,
)
from airfettle.findings.checklists.step import (
    LICENSED,
    NIGHT,
    RUNNING,
    STOPS,
    Step,
    most_rpm,
    relief_setting,
    some,
)
from airfettle.findings.checklists.this_plant import ThisPlant, TrainSeen
from airfettle.findings.checklists.words import NOT_TOLD, bare, between, one, reading


def running(this: ThisPlant) -> Iterator[Step]:
    """Yield what is read at working pressure."""
    for train in this.trains:
        yield from _loaded(this, train)
    units, trials = this.units, this.trials
    amps = trials.at("supply_current")
    breaker = _told_limit(this, "supply", "breaker")
    yield Step(RUNNING, f"Clamp meter on the supply, full speed near cut-out, by {LICENSED}",
               f"{reading(amps, units=units)}{f'; breaker {breaker}' if breaker else ''}",
               "More: see what asks for it.", "breaker_trips", some(amps))  # fmt: skip
    sound = trials.at("sound_level")
    yield Step(RUNNING, "Sound meter at 1 m, away from walls, full speed",
               f"{reading(sound, units=units)}; a room adds 3 to 8 dB", "Louder: something is loose or new.",
               "too_loud", some(sound))  # fmt: skip
    water = trials.at("water_caught")
    if water is not None and "separator" in this.has:
        yield Step(RUNNING, "Catch what the separator drains in the first hour, in a jug", reading(water, units=units),
                   "None: float stuck. Much less: cooler warm.", "water", (water,))  # fmt: skip
    if this.receivers:
        tank = trials.at("receiver_water")
        yield Step(RUNNING, "Drain the receiver after that hour, slowly", f"{reading(tank, units=units)}, then air",
                   "Neither water nor air: the drain is plugged.", "no_drain", some(tank))  # fmt: skip
    far = trials.at("tool_pressure", end="cut-in")
    if far is not None:
        yield Step(RUNNING, f"Gauge at the worst tool, all running that can, receiver at {setting(this, 'cut_in')}",
                   reading(far, units=units), "Lower: hose, coupler, filter, pipe.", "sags", (far,))  # fmt: skip


def _loaded(this: ThisPlant, train: TrainSeen) -> Iterator[Step]:
    of, name, units, trials = train.of, train.name, this.units, this.trials
    at = f"near {setting(this, 'cut_out')}{'' if train.direct else f' at {this.full:g} Hz'}"
    low, high = (trials.at("motor_current", train=name, end=end) for end in ("cut-in", "cut-out"))
    limits = f"; plate {current_text(this, train)}"
    if not train.direct and (most := drive_limit(this, train)) != NOT_TOLD:
        limits += f", drive {most}"
    yield Step(RUNNING, f"{of}Clamp meter on a motor lead: at cut-in, then {at}",
               f"{reading(low, units=units)}, rising to {reading(high, units=units)}{limits}",
               "Over the plate: stop; less speed does not cure it.",
               "overload_trips" if train.direct else "drive_trips",
               (*some(low), *some(high)))  # fmt: skip
    speed = trials.at("pump_speed", train=name)
    yield Step(RUNNING, f"{of}Tachometer on the pump {at}", reading(speed, units=units) + most_rpm(this, train),
               "Falls more under load: the belt slips." if train.belt else "Falls more: short of volts.",
               "belt_squeals" if train.belt else "", some(speed))  # fmt: skip
    if train.pump.fact("stages") == 2:
        between_stages = trials.at("interstage_pressure", train=name)
        yield Step(RUNNING, f"{of}Gauge between the stages {at}", reading(between_stages, units=units),
                   "High: second stage's valves. Low: first's.", "relief_lifts" if "relief valve" in this.has
                   else "no_cut_out", some(between_stages))  # fmt: skip
    hot = trials.at("discharge_temperature", train=name)
    yield Step(RUNNING, f"{of}Thermocouple strapped on the outlet pipe, lagged, {at}, after 20 min",
               f"{reading(hot, units=units)}; stop at {discharge_limit(this, train)}", "Hotter: stop, let it cool.",
               "too_hot", some(hot))  # fmt: skip
    if train.cooler is not None:
        out, over = (trials.at(what, train=name) for what in ("cooler_outlet_temperature", "cooler_approach"))
        yield Step(RUNNING, f"{of}Thermometer behind the cooler and in the room, fan on, {at}",
                   f"{reading(out, units=units)}, that is {reading(over, units=units)} over the room",
                   "Warmer: fan, fins, way of the air.", "too_hot", (*some(out), *some(over)))  # fmt: skip
    if not train.direct:
        yield Step(RUNNING, f"{of}Slowly from {this.low:g} to {this.full:g} Hz: feel the frame", "no speed stands out",
                   "Skip that band in the drive.", "vibrates")  # fmt: skip
    if train.trial.starts is not None:
        rate = between(train.trial.starts, kind="start_rate", units=units).removesuffix(" /h")
        yield Step(RUNNING, f"{of}Count the starts in a busy hour",
                   f"no more than {rate} an hour, {train.trial.least_rest:.0f} s between", "More: short cycling.",
                   "short_cycling" if this.receivers else "overload_trips")  # fmt: skip


def stops(this: ThisPlant) -> Iterator[Step]:
    """Yield trials of everything that stops it."""
    if "emergency stop" in this.has:
        yield Step(STOPS, "Running: press the emergency stop; release it; wait a minute",
                   "stops, and stays off until start is pressed",
                   "Starts on release: lock it off until rewired.")  # fmt: skip
    yield Step(STOPS, "Running below cut-out: open the disconnect, close it after a minute, hands clear",
               "stays off until start is pressed, or starts only as its sign says",
               "Set no restart by itself.")  # fmt: skip
    if "independent stop" in this.has:
        yield Step(STOPS, "High-pressure stop: its set point lowered to the running pressure, not by overfilling",
                   f"stops at once; then set it between {setting(this, 'cut_out')} and {relief_setting(this)}",
                   "Does not stop: no running unattended.",
                   "relief_lifts" if "relief valve" in this.has else "")  # fmt: skip
    elif "transducer" in this.has:
        yield Step(STOPS, "High-pressure stop of its own: look for it, a switch besides the transducer",
                   f"there, set between {setting(this, 'cut_out')} and {relief_setting(this)}",
                   "None: behind a transducer that fails low stands only the relief valve.")  # fmt: skip
    if "drive" in this.has:
        yield Step(STOPS, "Pull the speed signal off, where there is one, at the lowest speed", "stops",
                   "Runs on: set loss of signal to stop.", "drive_trips")  # fmt: skip
    if "cooler fan" in this.has:
        yield Step(STOPS, "Look at the cooler's fan after a stop", "runs on, or stops with the pump as meant",
                   "Dead fan: see its own supply.", "too_hot")  # fmt: skip


def standing(this: ThisPlant) -> Iterator[Step]:
    """Yield what is read while it stands."""
    tank, units = this.trials.tank, this.units
    if tank is None:
        return
    most = one(tank.most_fall.band.low, kind="pressure_difference", units=units)
    yield Step(NIGHT, "Cold, all shut, main open: gauge now and after 10 min", f"falls less than {most}",
               "More: leaks over a tenth of the delivery.", "hisses_standing" if "check valve" in this.has else
               "sags", (tank.most_fall,))  # fmt: skip
    if tank.night_fall is not None:
        yield Step(NIGHT, "Overnight (10 h), all shut, main open: gauge at evening and morning, room as warm",
                   f"falls {reading(tank.night_fall, units=units)} by the leak that is told", "More: new leaks.",
                   "sags", (tank.night_fall,))  # fmt: skip
    else:
        yield Step(NIGHT, "Overnight, all shut, main open: gauge at evening and morning",
                   "write it down as leak_test under [shop_pipe]", "Empty by morning: soapy water.",
                   "sags")  # fmt: skip


def _told_limit(this: ThisPlant, section: str, name: str) -> str:
    part = this.case.part(section)
    return bare(part.shown(name)) if part is not None and part.told(name) else ""
