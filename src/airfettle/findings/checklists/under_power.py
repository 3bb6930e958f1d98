"""Steps of a first start with power: the first turns, and the first pressure."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from airfettle.findings.checklists.fault_readings import (
    bleed_text,
    setting,
    volts_text,
)
from airfettle.findings.checklists.step import (
    LICENSED,
    POWER,
    PRESSURE,
    Step,
    most_rpm,
    relief_setting,
    some,
    three_leads,
)
from airfettle.findings.checklists.this_plant import ThisPlant, TrainSeen
from airfettle.findings.checklists.words import one, reading
from airfettle.studies.commissioning.trials import LIFT_FROM


def first_power(this: ThisPlant) -> Iterator[Step]:
    """Yield the first turns, against no pressure."""
    yield Step(POWER, "Receiver's drain and outlet open, shop's main shut, ears and eyes protected, people told",
               "air can leave", "Do not start.")  # fmt: skip
    yield Step(POWER, f"Volts at the {'drive' if 'drive' in this.has else 'starter'}: {LICENSED} measures",
               volts_text(this), "Outside: not yet.", "drive_low_volts" if "drive" in this.has else "")  # fmt: skip
    if "ground-fault device" in this.has:
        yield Step(POWER, "Ground-fault device: press its test button", "trips at once",
                   "Renew it first.", "ground_fault_trips")  # fmt: skip
    for train in this.trains:
        yield from _first_turn(this, train)


def _first_turn(this: ThisPlant, train: TrainSeen) -> Iterator[Step]:
    of, name, units, trials = train.of, train.name, this.units, this.trials
    low = "" if train.direct else f" at {this.low:g} Hz"
    way = "the way of its arrow, the flywheel blowing over the cylinders" if train.belt else "the way of its arrow"
    yield Step(POWER, f"{of}Bump: start and stop within a second{low}", f"turns {way}",
               "Locked off: swap two of the motor's three leads." if three_leads(this, train) else
               "Locked off: have its leads changed by its plate.")  # fmt: skip
    if train.direct and train.trial.start_current is not None:
        most = one(train.trial.start_current.high, kind="current", units=units)
        yield Step(POWER, f"{of}Start, outlet open: clamp meter that holds the peak", f"up to {most}, over in 2 s",
                   "Longer: loaded or short of volts. Stop.", "hums")  # fmt: skip
    for slow in (True, False):
        if slow and (train.direct or this.low == this.full):
            continue
        found = [trials.at(what, train=name, low=slow, end="open") for what in ("motor_speed", "pump_speed")]
        pair = tuple(e for e in found if e is not None)
        hertz = "" if train.direct else f" at {this.low if slow else this.full:g} Hz"
        where = f"{of}Tachometer on motor and pump{hertz}, outlet open, guard on"
        yield Step(POWER, where, f"motor {reading(found[0], units=units)}, pump {reading(found[1], units=units)}"
                   + most_rpm(this, train), "Another ratio: other sheaves than told, or the belt slips. Do not go "
                   "faster.", "belt_squeals" if train.belt else "", pair)  # fmt: skip
    amps = trials.at("motor_current", train=name, end="open")
    yield Step(POWER, f"{of}Clamp meter on a motor lead{'' if train.direct else f' at {this.full:g} Hz'}, outlet open, "
               "after 5 min", f"{reading(amps, units=units)}; three leads alike within 5 %"
               if three_leads(this, train) else reading(amps, units=units), "More: friction. Stop.",
               "overload_trips" if train.direct else "drive_trips", some(amps))  # fmt: skip


def first_pressure(this: ThisPlant) -> Iterator[Step]:
    """Yield the first filling of the receiver."""
    if not this.receivers:
        return
    tank, units = this.trials.tank, this.units
    cut_in, cut_out = setting(this, "cut_in"), setting(this, "cut_out")
    yield Step(PRESSURE, "Drain shut; let it rise to a quarter of cut-out, stop, look and listen all round with soapy "
               "water", "no hiss, no weep at seams",
               "Let it out, lock off, mend; a seam: never again under pressure.")  # fmt: skip
    yield from _levers(this)
    if tank is not None:
        yield Step(PRESSURE, f"Rested, empty receiver, main and drains shut{_all(this)}: stopwatch from start to "
                   "cut-out at full speed", reading(tank.from_empty, units=units),
                   "Longer: less air. Shorter: water in it, or smaller than told.", "slow_pump_up",
                   (tank.from_empty,))  # fmt: skip
    yield Step(PRESSURE, "Receiver's gauge as it stops by itself", f"{cut_out}, never above {relief_setting(this)}",
               "Goes above: stop it by hand. Switch or transducer has failed.", "relief_lifts")  # fmt: skip
    if tank is not None:
        yield Step(PRESSURE, "Leave it shut 20 min: gauge as it stands still; thermometer on the shell at the stop",
                   f"settles at {reading(tank.settled, units=units)}; shell up to "
                   f"{one(tank.wall.band.high, kind='temperature', units=units)}", "Falls on: a leak.",
                   "hisses_standing" if "check valve" in this.has else "", (tank.settled, tank.wall))  # fmt: skip
        yield Step(PRESSURE, "Open a tap: gauge as it starts again; time from there to the stop, tap shut",
                   f"starts at {cut_in}; {reading(tank.from_cut_in, units=units)}", "Outside: band, leak, or water.",
                   "no_cut_out", (tank.from_cut_in,))  # fmt: skip
    for train in this.trains:
        yield from _unloader(this, train)


def _levers(this: ThisPlant) -> Iterator[Step]:
    room = this.case.reach.draw.barometer
    for valve in this.case.parts("relief_valve"):
        pressed = valve.rows("set_pressure")
        if valve.fact("protects") != "receiver":
            continue
        needed = None if pressed is None else LIFT_FROM * (pressed - room)
        if needed is not None and np.median(needed) > np.median(this.case.reach.numbers.cut_out - room):
            least = one(float(np.median(needed)), kind="pressure", units=this.units)
            yield Step(PRESSURE, f"Relief valve: its lever lifts it above {least} only, over cut-out: leave it alone",
                       "a test report, or a new stamp", "None: have it tested on a bench.", "relief_lifts")  # fmt: skip
            continue
        over = "3/4 of its setting" if needed is None else one(
            float(np.median(needed)), kind="pressure", units=this.units)  # fmt: skip
        yield Step(PRESSURE, f"Relief valve: above {over} pull its ring or lever for a second, only as its maker "
                   "allows, nobody in its jet", "blows hard, shuts tight",
                   "Stuck or leaking: let the pressure out; a new stamped one.", "relief_lifts")  # fmt: skip


def _unloader(this: ThisPlant, train: TrainSeen) -> Iterator[Step]:
    kind = train.pump.fact("unloader")
    if kind == "none":
        return
    yield Step(PRESSURE, f"{train.of}Listen as it stops: time the hiss", f"ends after {bleed_text(this, train)}, then "
               "silent", "No hiss: the next start is loaded. Hiss goes on: the check valve leaks.", "starts_loaded",
               (train.trial.bleed,))  # fmt: skip
    yield Step(PRESSURE, f"{train.of}Start again after the hiss has ended: ear and clamp meter",
               "runs up as at the first turn, no groan", "Groans: stop.", "starts_loaded")  # fmt: skip
    if not train.direct:
        yield Step(PRESSURE, f"{train.of}Stop it by the drive's stop key below cut-out: listen", "the same hiss",
                   "The head stays full after a fault.", "starts_loaded")  # fmt: skip


def _all(this: ThisPlant) -> str:
    return ", all pumps running" if len(this.trains) > 1 else ""
