"""The loop over a plant's days: from event to event, in steps that end where something changes."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR
from airfettle.studies.day.branches import excess, turn_branch
from airfettle.studies.day.control import decide, demand, drained, runs
from airfettle.studies.day.machine import (
    BEGIN_ENERGY,
    BEGIN_VAPOUR,
    END_ENERGY,
    END_VAPOUR,
    EVENTS,
    LONGEST_AT,
    LONGEST_SHORT,
    LONGEST_TOOLS,
    LOWEST_PRESSURE,
    PRESSURE,
    SHORT_TIME,
    SHORTAGES,
    STEPS,
    TOOL_STARTS,
    Books,
    Condition,
    Machine,
    Settings,
    Tools,
)
from airfettle.studies.day.slow import prepare, record, settle, warm_up
from airfettle.studies.day.steps import (
    BOOSTED,
    EMPTYING,
    FAR,
    FILLING,
    FIRST_STEP,
    GAS_STEPS,
    IDLING,
    INTEGRAL_HELD,
    KAPPA,
    LONG_STEP,
    LONGEST_AT_REST,
    LONGEST_STEP,
    NEAR,
    OFF,
    QUIET_HOURS,
    RUNNING,
    SAME,
    SETTLED_GAS_STEPS,
    SETTLING,
    SHORT_STEP,
    SWITCHED_ON,
    ZONE,
    crossing,
    end_slope,
    saturated,
    step,
)

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

DONE, STUCK = 0, 1
AT_ONE_MOMENT, NUDGE = 20, 0.01
"""Events at one moment after which time is nudged on [-], and by how much [s]."""


def run_days(
    fits: Array, machines: Any, settings_of: Any, tools_of: Any, conditions: Any, books_of: Any, times: Array,
    codes: Whole, on: Whole, which: Whole, full_of: Array, needs_of: Array, shortages: Array, trace: Array,
    start_pressure: float,
) -> int:  # fmt: skip
    """Run a plant through its script.

    Parameters
    ----------
    fits : ndarray
        Coefficients of one row of a plant. [SI]
    machines, settings_of, tools_of, conditions, books_of : recarray
        One record each, from ``machine.packed``; the last two are changed in place. [SI]
    times, codes, on, which : ndarray
        The script. [s]
    full_of, needs_of : ndarray
        Receiver pressures for sets of tools, see ``Tools``. [Pa]
    shortages, trace : ndarray
        Filled in place, see ``Books``; of no length for none. [SI]
    start_pressure : float
        Of the receiver at the beginning, absolute, its air as warm as the room. [Pa]

    Returns
    -------
    int
        DONE, or STUCK where events follow each other without time passing. [-]
    """
    machine, settings, tools, now, books = machines[0], settings_of[0], tools_of[0], conditions[0], books_of[0]
    t, place, drain = tools.begin, 0, tools.begin + settings.drain_every
    begin(machine, now, books, start_pressure)
    short_since, tools_then, idle_events = -1.0, 0.0, 0
    by_pressure, last_event = False, tools.begin
    while True:
        while place < times.shape[0] and times[place] <= t + 1e-9:
            toggle(codes[place], on[place], tools, now, books)
            place += 1
            by_pressure = False
        if settings.drain_every > 0.0 and t >= drain - 1e-9:
            drained(machine, settings, now, books)
            drain += settings.drain_every
            by_pressure = False
        books.totals[EVENTS] += 1.0
        idle_events = idle_events + 1 if t <= last_event else 0
        last_event = t
        if idle_events > 1000:
            return STUCK
        decide(fits, t, by_pressure, machine, settings, now, books)
        demand(tools, now, full_of, needs_of, which[place - 1] if place > 0 else 0)
        short_since, tools_then = shortage(t, short_since, tools_then, tools, now, books, shortages)
        if t >= tools.end - 1e-9:
            break
        until = next_event(t, times, place, drain, machine, settings, tools, now)
        if idle_events > AT_ONE_MOMENT:
            t, by_pressure = nudged(fits, t, until, machine, settings, tools, now, books), False
            continue
        t, by_pressure = to_event(fits, t, until, machine, settings, tools, now, books, trace)
    for i in range(tools.many):
        now.short[i] = 0
    shortage(t, short_since, tools_then, tools, now, books, shortages)
    end(machine, now, books)
    return DONE


def nudged(
    fits: Array, t: float, until: float, machine: Machine, settings: Settings, tools: Tools, now: Condition,
    books: Books,
) -> float:  # fmt: skip
    """Go on for a moment without looking for crossings, where branches change to and fro at one; return when it is."""
    take = min(NUDGE, until - t)
    prepare(fits, take, machine, settings, now)
    step(now.air, take, machine, settings, now)
    settle(t, take, machine, settings, tools, now, books)
    return t + take


def begin(machine: Machine, now: Condition, books: Books, pressure: float) -> None:
    """Fill the receiver with air as warm as the room, and open the books."""
    air = now.air
    air[0], air[1], air[2] = pressure, pressure * machine.volume / (R_DRY_AIR * machine.room), machine.room
    air[4] = min(machine.humidity, saturated(machine.saturation, machine.room, pressure))
    now.switches[ZONE] = 1 if pressure >= machine.pressure_ends[1] else 0
    books.totals[LOWEST_PRESSURE] = pressure
    books.totals[BEGIN_ENERGY] = machine.volume * pressure / (KAPPA - 1.0) + machine.wall_capacity * air[2]
    books.totals[BEGIN_VAPOUR] = air[1] * air[4]


def end(machine: Machine, now: Condition, books: Books) -> None:
    """Close the books."""
    books.totals[END_ENERGY] = machine.volume * now.air[0] / (KAPPA - 1.0) + machine.wall_capacity * now.air[2]
    books.totals[END_VAPOUR] = now.air[1] * now.air[4]


def toggle(code: int, on: int, tools: Tools, now: Condition, books: Books) -> None:
    """Switch a tool, the plant, or the quiet hours."""
    if code < tools.many:
        now.active[code] += on
        if on > 0:
            books.of_tool[code, TOOL_STARTS] += 1.0
    elif code == tools.many:
        now.switches[SWITCHED_ON] = 1 if on > 0 else 0
    else:
        now.switches[QUIET_HOURS] = 1 if on > 0 else 0


def shortage(
    t: float, since: float, tools_then: float, tools: Tools, now: Condition, books: Books, shortages: Array
) -> tuple[float, float]:
    """Follow a time in which some tool has too little pressure; return since when, and the tools that ran, as bits."""
    short, running = False, 0.0
    for i in range(tools.many):
        if now.active[i] > 0:
            running += 2.0**i
        if now.short[i] == 1:
            short = True
    if short:
        return (t, running) if since < 0.0 else (since, joined(tools_then, running))
    if since >= 0.0 and t > since:
        totals = books.totals
        totals[SHORT_TIME] += t - since
        n = int(totals[SHORTAGES])
        totals[SHORTAGES] += 1.0
        if n < shortages.shape[0]:
            shortages[n, 0], shortages[n, 1], shortages[n, 2] = since, t, tools_then
        if t - since > totals[LONGEST_SHORT]:
            totals[LONGEST_SHORT], totals[LONGEST_AT], totals[LONGEST_TOOLS] = t - since, since, tools_then
    return -1.0, 0.0


def joined(first: float, second: float) -> float:
    """Return the bits of both."""
    return float(int(first) | int(second))


def next_event(
    t: float, times: Array, place: int, drain: float, machine: Machine, settings: Settings, tools: Tools, now: Condition
) -> float:
    """Return the next event of the clock: script, drain, end of filling, idling or waiting, fans. [s]"""
    until = tools.end
    if place < times.shape[0]:
        until = min(until, times[place])
    if settings.drain_every > 0.0:
        until = min(until, drain)
    for k in range(machine.trains):
        until = min(until, now.until[k])
        if now.states[k] == OFF:
            ready = now.stopped[k] + settings.minimum_off
            if ready > t + 1e-9:
                until = min(until, ready)
            if now.fan_until[k] > t + 1e-9:
                until = min(until, now.fan_until[k])
            else:
                now.fan_until[k] = -FAR
    return max(until, t)


def limits(t: float, machine: Machine, settings: Settings, tools: Tools, now: Condition) -> tuple[float, float]:
    """Return the nearest pressures below and above at which something changes. [Pa]"""
    low, high = 0.0, FAR
    split = machine.pressure_ends[1]
    if now.switches[ZONE] == 1:
        low = split
    else:
        high = split
    for k in range(machine.trains):
        state = now.states[k]
        waits = state == OFF and t < now.stopped[k] + settings.minimum_off - 1e-9
        if (state == OFF and now.switches[SWITCHED_ON] == 1 and not waits) or state == IDLING:
            low = max(low, settings.cut_in[k])
        if state == FILLING or state == RUNNING:
            high = min(high, settings.cut_out[k])
    if (
        settings.scheme == STEPS
        and runs(machine, now)
        and now.switches[BOOSTED] == 0
        and now.switches[QUIET_HOURS] == 0
    ):
        low = max(low, settings.full_below)
    if settings.scheme == PRESSURE and now.switches[INTEGRAL_HELD] == 1:
        if now.air[0] > settings.held:
            low = max(low, settings.held)
        else:
            high = min(high, settings.held)
    for i in range(tools.many):
        if now.active[i] > 0:
            if now.throttled[i] == 1:
                high = min(high, now.full_at[i])
            else:
                low = max(low, now.full_at[i])
            if now.short[i] == 1:
                high = min(high, now.needs[i])
            else:
                low = max(low, now.needs[i])
    return low, high


def to_event(
    fits: Array,
    t: float,
    until: float,
    machine: Machine,
    settings: Settings,
    tools: Tools,
    now: Condition,
    books: Books,
    trace: Array,
) -> tuple[float, bool]:
    """Step to the next event of the clock, or to the crossing that comes before it; return when, and which it was."""
    low, high = limits(t, machine, settings, tools, now)
    speeds = settings.scheme == PRESSURE and runs(machine, now)
    gas = now.air[1] * (CP_DRY_AIR - R_DRY_AIR) / max(machine.film, 1e-9)
    longest = LONG_STEP if speeds else (LONGEST_STEP if runs(machine, now) else LONGEST_AT_REST)
    leaving = now.draw[0] + (now.draw[1] + now.draw[2]) * now.air[0]
    share = machine.gas_steps if runs(machine, now) else GAS_STEPS
    longest = min(longest, share * gas, EMPTYING * now.air[1] / max(leaving, 1e-12))
    h = min(SHORT_STEP if speeds else FIRST_STEP, longest)
    taken = 0
    while t < until - 1e-9:
        if taken == SETTLING and not runs(machine, now):
            longest = min(LONGEST_AT_REST, SETTLED_GAS_STEPS * gas, EMPTYING * now.air[1] / max(leaving, 1e-12))
        taken += 1
        take = min(h, until - t)
        prepare(fits, take, machine, settings, now)
        step(now.air, take, machine, settings, now)
        while not now.new[0] > 0.5 * now.air[0] and take > 1e-3:  # too long a step for what is drawn
            take *= 0.5
            prepare(fits, take, machine, settings, now)
            step(now.air, take, machine, settings, now)
        ends, wanted = False, 0.0
        if now.new[0] < low or now.new[0] > high:
            ends, wanted = True, low if now.new[0] < low else high
            take = locate(fits, take, wanted, machine, settings, now)
        branch = False
        if speeds and excess(settings, now, now.new[0], now.new[3]) > SAME:
            branch = True
            take = leave_branch(take, machine, settings, now)
            ends = ends and abs(now.new[0] - wanted) <= 10.0 * NEAR
        settle(t, take, machine, settings, tools, now, books)
        t += take
        if trace.shape[0] > 0:
            record(t, machine, settings, now, books, trace)
        if ends:
            cross(wanted, wanted == low, machine, tools, now)
        if branch:
            turn_branch(settings, now, now.air[0], now.air[3])
        if ends or branch:
            return t, True
        h = min(2.0 * h, longest)
    return until, False


def locate(fits: Array, h: float, wanted: float, machine: Machine, settings: Settings, now: Condition) -> float:
    """Redo a step so that it ends on a pressure; return its length. [s]"""
    slope, rising = end_slope(now), now.new[0] > wanted
    at = crossing(h, now.air[0], now.slopes[0, 0], now.new[0], slope, wanted)
    before, behind = 0.0, h
    for _ in range(20):
        prepare(fits, at, machine, settings, now)
        step(now.air, at, machine, settings, now)
        off = wanted - now.new[0]
        if abs(off) < NEAR or behind - before < 1e-9:
            break
        if (off > 0.0) == rising:
            before = at
        else:
            behind = at
        slope = end_slope(now)
        at = at + off / slope if slope != 0.0 else -1.0
        if not before < at < behind:
            at = 0.5 * (before + behind)
    return at


def leave_branch(h: float, machine: Machine, settings: Settings, now: Condition) -> float:
    """Redo a step so that it ends where the speed control leaves its branch; return its length. [s]"""
    inside, outside = 0.0, h
    low, high = excess(settings, now, now.air[0], now.air[3]), excess(settings, now, now.new[0], now.new[3])
    low = min(low, -SAME)
    for _ in range(20):
        at = inside + (outside - inside) * low / (low - high)
        warm_up(at, machine, now)
        step(now.air, at, machine, settings, now)
        found = excess(settings, now, now.new[0], now.new[3])
        if 0.0 < found < 10.0 * SAME or outside - inside < 1e-6:
            return at
        if found > 0.0:
            outside, high, low = at, found, 0.5 * low
        else:
            inside, low, high = at, min(found, -0.1 * SAME), 0.5 * high
    return at


def cross(wanted: float, falling: bool, machine: Machine, tools: Tools, now: Condition) -> None:
    """Note on which side of a crossed pressure the plant now is."""
    side = 1 if falling else 0
    if wanted == machine.pressure_ends[1]:
        now.switches[ZONE] = 1 - side
    for i in range(tools.many):
        if now.active[i] > 0:
            if now.full_at[i] == wanted:
                now.throttled[i] = side
            if now.needs[i] == wanted:
                now.short[i] = side
