"""Rules about what its days ask of a pump and its motor: starts, rests, running times, warmth.

They speak only where the plant tells its uses and was run through days; what they judge are shares of paths.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.finding import LIKELY
from airfettle.findings.on_train import numbers_of, of_each
from airfettle.findings.rule import Group, rule
from airfettle.parts.check_valve import bleed_time
from airfettle.parts.motor_class import allowable_starts, start_rate_limit
from airfettle.studies.day import machine as m
from airfettle.studies.day.answers import working_days
from airfettle.studies.day.days import Days
from airfettle.studies.day.prepared import DAY
from airfettle.studies.unloading import BLEED, VENTED

Array = NDArray[np.float64]
GROUP: Group = "pump and drive train"

HOUR = 3600.0
LONGEST_DUTY = 0.75
"""Share of an hour that a pump may run where its maker's duty is not told. [-]  Source: practice."""
MOSTLY_COLD, WARM_OIL = 0.5, 323.15
"""Share of its running time with cold walls [-], and warmth of the crankcase that boils water out of the oil in time
[K].  Source: practice."""
LONG_IDLING = 0.30
"""Idling over running time. [-]  Source: practice."""
FREEZING = 273.15
"""[K]"""


def of_paths(days: Days, values: ArrayLike) -> Array:
    """Return numbers of the days' draw for each path, shape (paths,). [SI]"""
    rows = days.tally.rows(days.prepared.draw.rows)
    flat = np.ravel(np.asarray(values, dtype=np.float64))
    return np.asarray(np.broadcast_to(flat, (days.prepared.draw.rows,))[rows])


def row_of(days: Days, name: str, part: Part) -> Array:
    """Return a slow number of a part's train for each path, shape (paths,). [SI]"""
    values = days.prepared.rows[name]
    return of_paths(days, values[:, part.train] if values.ndim > 1 else values)


@rule(
    "starts_too_often", signal="caution", group=GROUP, title="More starts in its busiest hour than the motor stands",
    why="Each start straight on the line heats the rotor as minutes of running do; too many an hour cook the windings "
        "and wear the contacts. The limit is one for fixed frequency; a start on a drive takes no more amps than "
        "running.",
    threshold="It holds, for three-phase motors straight on the line only, where the starts in the busiest hour of the "
              "week are more than NEMA MG 10 allows for the motor with its flywheel, in half of the weeks run. It is a "
              "notice where only a flywheel nobody has weighed decides it.",
    do="Widen the pressure band, add receiver volume, or let the motor run on unloaded between demands. Ask airfettle "
       "resize how far a larger receiver helps.",
    sources=("nema-mg10", "airfettle-day"),
)  # fmt: skip
@of_each("pump")
def starts_too_often(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump whose three-phase motor is started straight on the line."""
    numbers, days = numbers_of(case, part), case.days
    if days is None or not numbers.power.direct or int(np.max(numbers.power.motor.phases)) == 1:
        return None
    own = days.prepared.numbers.trains[part.train]
    motor, pump = own.power.motor, own.pump
    allowed = allowable_starts(of_paths(days, motor.power), poles=of_paths(days, motor.poles))
    load = of_paths(days, pump.flywheel_inertia) / of_paths(days, pump.ratio) ** 2
    most = HOUR * start_rate_limit(allowed, load_inertia=load)
    starts = days.tally.of_train[:, part.train, m.WORST_STARTS]
    bare = float(np.mean(starts > HOUR * allowed.rate)) >= LIKELY
    return case.over_days(
        starts > most, parts=(part.path,), rests_on=() if bare else (part.at("flywheel_inertia"),),
        signal="caution" if bare or part.told("flywheel_inertia") else "notice",
        says=f"In the busiest hour of a week it starts {case.band(starts, kind='number')} times; its motor stands "
        f"{case.band(most, kind='number')} starts an hour.",
    )  # fmt: skip


@rule(
    "restarts_before_vented", signal="caution", group=GROUP, title="A start before the head has emptied itself",
    why="The unloader needs its time to let out the air between pump and check valve. A start before that is against "
        "pressure: the drive trips, or the motor stands and draws many times its amps.",
    threshold="It holds, for a pump with an unloader, where the shortest stop of the week, idling before it counted "
              "in, is shorter than the line's air takes to bleed from cut-out to 0.2 bar (3 psi) through a hole of "
              "1.6 mm (1/16 in), in half of the weeks run. A least time between stop and start (minimum_off) that is "
              "longer settles it.",
    do="Set the control to wait between a stop and the next start for longer than the line takes to empty, widen the "
       "pressure band, or fit a larger receiver or unloader valve.",
    sources=("airfettle-day", "practice"),
)  # fmt: skip
@of_each("pump")
def restarts_before_vented(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump with an unloader."""
    days = case.days
    if days is None or part.fact("unloader") in ("none", "unknown"):
        return None
    rests = days.tally.of_train[:, part.train, m.SHORTEST_OFF]
    room, rested = row_of(days, "barometer", part), rests > 0.0
    open_for = rests + row_of(days, "idle_time", part)
    bleeds = bleed_time(
        volume=row_of(days, "line_volume", part), pressure_start=row_of(days, "cut_out", part),
        pressure_end=room + VENTED, bore=BLEED, temperature=row_of(days, "room", part), pressure_barometer=room,
    )  # fmt: skip
    shown = case.band(open_for[rested] if np.any(rested) else open_for, kind="time")
    return case.over_days(
        rested & (open_for < bleeds), parts=(part.path,),
        decided_by=(case.entry_path("hot_line.volume", train=part.train),),
        says=f"From cut-out to the next start it has {shown} at the least in a week; the air between pump and check "
        f"valve takes {case.band(bleeds, kind='time')} to bleed.",
    )  # fmt: skip


@rule(
    "runs_too_long", signal="caution", group=GROUP, title="A pump that runs more of an hour than it stands",
    why="Valves, rings and oil of a small pump are made to cool down in its pauses; without them oil burns to carbon "
        "on the valves, and they leak.",
    threshold="It holds where the pump runs loaded for a larger share of the busiest hour of its working days than its "
              "maker allows, in half of the weeks run. Where that is not told, it is a notice over 75 %, save for "
              "pumps oiled under pressure.",
    do="Mend leaks and spread the work over the day; ask airfettle resize about its speed, or fit a larger pump. Write "
       "down the maker's duty as longest_duty.",
    sources=("airfettle-day", "practice"),
)  # fmt: skip
@of_each("pump")
def runs_too_long(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump."""
    days = case.days
    told = part.rows("longest_duty") is not None
    if days is None or (not told and part.fact("lubrication") == "pressure"):
        return None
    share, hour = busiest_hour(days, part.train)
    duty = days.prepared.numbers.trains[part.train].pump.part.longest_duty
    limit = of_paths(days, LONGEST_DUTY if duty is None else duty)
    allowed = f"its maker allows {part.shown('longest_duty')}" if told else (
        f"its duty is not told, and more than {100 * LONGEST_DUTY:.0f} % is much for such a pump"
    )  # fmt: skip
    return case.over_days(
        share > limit, parts=(part.path,), rests_on=(part.at("longest_duty"),) if told else (),
        signal="caution" if told else "notice", decided_by=(part.at("longest_duty"),),
        says=f"In its busiest hour, mostly from {hour}:00, it runs {case.band(share, kind='fraction')} of the time; "
        f"{allowed}.",
    )  # fmt: skip


def busiest_hour(days: Days, train: int) -> tuple[Array, int]:
    """Return a train's loaded share of the busiest hour of day, mean of the working days, and mostly which hour.

    Notes
    -----
    The books keep the hours of all trains together: each gets its share of all loaded time. What every hour of the
    week has (leaks, at night) is taken off the days on which nobody works.
    """
    tally = days.tally
    loaded, whole = tally.of_hour[:, :, m.HOUR_LOADED], tally.length / DAY
    own = tally.of_train[:, :, m.LOADED]
    part = own[:, train] / np.maximum(own.sum(axis=1), 1.0)
    worked = working_days(days.prepared, tally)
    idle = loaded.min(axis=1, keepdims=True) / whole * (whole - worked)
    by_hour = np.minimum((loaded - idle) / (worked * HOUR) * part[:, None], 1.0)
    return np.asarray(by_hour.max(axis=1)), int(np.argmax(by_hour.mean(axis=0)))


@rule(
    "pump_stays_cold", signal="caution", group=GROUP, title="A pump that does not run long enough to get warm",
    why="Until its walls are warm, water falls out of the pressed air in the cylinders and gets past the rings into "
        "the oil; a crankcase that stays cool never gives it off again, and the oil turns to milk.",
    threshold="It holds where for more than half of its running time the walls stand less than 10 K above the dew "
              "point of the pressed air, and the crankcase never gets to 50 °C (122 °F), in half of the weeks run. "
              "Pumps that run without oil are left out.",
    do="Let it run longer at a time: a wider pressure band, or tools used together. Set its quiet speed higher, draw "
       "drier air, drain water from the crankcase where it has a plug, and change the oil when it looks milky.",
    sources=("airfettle-day", "practice"),
)  # fmt: skip
@of_each("pump")
def pump_stays_cold(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump that is oiled."""
    days = case.days
    if days is None or part.fact("lubrication") == "oil-free":
        return None
    of_train = days.tally.of_train[:, part.train]
    loaded, oil = of_train[:, m.LOADED], of_train[:, m.WARMEST_CRANKCASE]
    cold = of_train[:, m.COLD_TIME] / np.maximum(loaded, 1.0)
    return case.over_days(
        (loaded > 0.0) & (cold > MOSTLY_COLD) & (oil < WARM_OIL), parts=(part.path,),
        says=f"Its walls are cold enough for water in {case.band(cold, kind='fraction')} of its running time, "
        f"and its crankcase gets no warmer than {case.band(oil, kind='temperature')} in a week.",
    )  # fmt: skip


@rule(
    "idles_too_long", signal="caution", group="electrical and control", title="A pump that idles for much of its time",
    why="Idling with the unloader open takes power, wears the pump and cools its oil with nothing to show for it.",
    threshold="It holds where the pumps idle for more than 30 % of the time they run, in half of the weeks run.",
    do="Shorten the idle time, or allow more starts an hour where the motor is on a drive or stands them; a larger "
       "receiver makes stops longer.",
    sources=("airfettle-day", "practice"),
)  # fmt: skip
@of_each("control")
def idles_too_long(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a control that lets pumps idle."""
    idles = None if case.days is None else case.days.answers.idle_share
    if case.days is None or idles is None:
        return None
    asked = [name for name in ("idle_time", "most_starts") if part.rows(name) is not None]
    return case.over_days(
        idles > LONG_IDLING, parts=(part.path,), decided_by=tuple(part.at(name) for name in asked),
        says=f"{case.band(idles, kind='fraction')} of the running time is idling, "
        f"{case.band(case.days.answers.idle_time, kind='hours')} in a day.",
    )  # fmt: skip


@rule(
    "winding_hot_in_use", signal="warning", group=GROUP, title="Motor windings hotter than their insulation stands",
    why="Every 10 K over its class takes half of an insulation's life; a winding that burns through fills the shop "
        "with smoke.",
    threshold="It holds where the hottest mean temperature of the windings in the week is above the limit of their "
              "insulation class (A 105, B 130, F 155, H 180 °C) less what its hottest spot is above the mean (5 to 15 "
              "K), in half of the weeks run. An unknown class counts as B, and is then a notice.",
    do="Blow the dust out of the motor with the plant locked off, and give it air that is not another machine's warm "
       "air; lower the cut-out pressure or give the pump a smaller motor sheave; have a switch in the winding stop it.",
    sources=("winding-classes", "airfettle-day"),
)  # fmt: skip
@of_each("motor")
def winding_hot_in_use(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor."""
    days = case.days
    if days is None:
        return None
    told = part.fact("insulation_class")
    limit = winding_limit("B" if told == "unknown" else told)
    hottest = days.tally.of_train[:, part.train, m.HOTTEST_WINDING]
    class_is = "its insulation class is not told; with class B" if told == "unknown" else f"with class {told}"
    return case.over_days(
        hottest > limit, parts=(part.path,), rests_on=(part.at("power"),),
        signal="notice" if told == "unknown" else "warning", decided_by=(part.at("winding_rise"), part.at("power")),
        says=f"Its windings get to {case.band(hottest, kind='temperature')} in a week; {class_is} they stand "
        f"{case.show(np.array(limit), kind='temperature')}, the mean of them.",
    )  # fmt: skip


def winding_limit(insulation_class: str) -> float:
    """Return the hottest mean temperature of windings of an insulation class. [K]"""
    table = tables.load("winding_classes")
    row = table.words("class").index(insulation_class)
    return float(table.numbers("limit")[row] - table.numbers("allowance")[row]) + FREEZING
