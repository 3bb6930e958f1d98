"""What the control does at an event: starts, fills, runs, idles, stops, and which speed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import R_DRY_AIR
from airfettle.studies.day.branches import set_branch
from airfettle.studies.day.machine import (
    DRAINED_AIR,
    HEAT_OUT,
    HOUR_STARTS,
    LOG_FLOW,
    PRESSURE,
    RING,
    SHORTEST_OFF,
    SHORTEST_RUN,
    STARTS,
    STEPS,
    VAPOUR_OUT,
    VENTED_AIR,
    WORST_STARTS,
    Books,
    Condition,
    Machine,
    Settings,
    Tools,
)
from airfettle.studies.day.steps import (
    BOOSTED,
    CLAMP,
    FAR,
    FILLING,
    IDLING,
    INTEGRAL_HELD,
    KAPPA,
    OFF,
    PART,
    QUIET_HOURS,
    REFERENCE,
    RUNNING,
    SWITCHED_ON,
    TOUCH,
    ZONE,
    at_walls,
    frequency_of,
    highest_now,
    moved,
    moved_pressure,
    moved_wall,
    opening,
    part_of,
    polynomial,
)

Array = NDArray[np.float64]

HOUR = 3600.0


def mode_now(machine: Machine, now: Condition) -> int:
    """Return the mode of the fits for the trains that are loaded; -1 for none."""
    code = 0
    for k in range(machine.trains):
        if now.states[k] == FILLING or now.states[k] == RUNNING:
            code += 1 << k
    return code - 1


def flow_alone(fits: Array, k: int, machine: Machine, settings: Settings, now: Condition) -> float:
    """Return what a train would deliver now by itself. [kg/s]"""
    mode, pressure = (1 << k) - 1, now.air[0]
    frequency = frequency_of(settings, pressure, now.air[3], now.switches[CLAMP], highest_now(settings, now))
    part = part_of(machine, settings, frequency, now.switches[PART])
    zone, warmth = now.switches[ZONE], moved_wall(machine, k, now.walls[k])
    g, x = moved(machine, part, frequency), moved_pressure(machine, zone, pressure)
    at_walls(fits, mode, k, zone, part, LOG_FLOW, machine.frequency_nodes, warmth, now.work)
    return float(np.exp(polynomial(now.work, k, part, LOG_FLOW, machine.frequency_nodes, g, x)))


def start(fits: Array, k: int, t: float, machine: Machine, settings: Settings, now: Condition, books: Books) -> None:
    """Start a train, and count it."""
    ring = RING
    now.recent[k, now.counts[k] % ring] = t
    now.counts[k] += 1
    within = starts_within(k, t, now)
    row = books.of_train[k]
    row[STARTS] += 1.0
    row[WORST_STARTS] = max(row[WORST_STARTS], float(within))
    if now.stopped[k] > -FAR and (row[SHORTEST_OFF] == 0.0 or t - now.stopped[k] < row[SHORTEST_OFF]):
        row[SHORTEST_OFF] = t - now.stopped[k]
    books.of_hour[int(t % 86_400.0 // HOUR), HOUR_STARTS] += 1.0
    now.begun[k] = t
    fill(fits, k, t, machine, settings, now)


def starts_within(k: int, t: float, now: Condition) -> int:
    """Return how many starts the last hour had."""
    ring, found = RING, 0
    for i in range(min(ring, int(now.counts[k]))):
        if now.recent[k, (now.counts[k] - 1 - i) % ring] <= t - HOUR:
            break
        found += 1
    return found


def fill(fits: Array, k: int, t: float, machine: Machine, settings: Settings, now: Condition) -> None:
    """Load a train: its line comes up to pressure first."""
    if settings.scheme == PRESSURE:
        set_branch(settings, now, now.air[0], now.air[3])
    held = machine.line_volume[k] * max(now.air[0] - machine.barometer, 0.0) / (R_DRY_AIR * machine.room)
    now.states[k] = RUNNING
    now.until[k] = FAR
    if held > 0.0:
        now.states[k] = FILLING
        now.until[k] = t + held / max(flow_alone(fits, k, machine, settings, now), 1e-9)


def vent(k: int, machine: Machine, now: Condition, books: Books) -> None:
    """Let out the air of a train's line."""
    over = max(now.air[0] - machine.barometer, 0.0)
    books.totals[VENTED_AIR] += machine.line_volume[k] * over / (R_DRY_AIR * machine.room)


def unload(k: int, t: float, machine: Machine, settings: Settings, now: Condition, books: Books) -> None:
    """Open the unloader: idle for the idle time, or for as long as a stop would lead to too many starts."""
    vent(k, machine, now, books)
    wait = settings.idle_time
    if settings.most_starts > 0.0 and starts_within(k, t, now) >= settings.most_starts:
        ring = RING
        oldest = now.recent[k, (now.counts[k] - int(settings.most_starts)) % ring]
        wait = max(wait, oldest + HOUR - t)
    if wait > 0.0:
        now.states[k] = IDLING
        now.until[k] = t + wait
        end_run(k, t, now, books)
    else:
        end_run(k, t, now, books)
        stop(k, t, machine, now)


def end_run(k: int, t: float, now: Condition, books: Books) -> None:
    """Note how long a train ran loaded."""
    row = books.of_train[k]
    if row[SHORTEST_RUN] == 0.0 or t - now.begun[k] < row[SHORTEST_RUN]:
        row[SHORTEST_RUN] = t - now.begun[k]


def stop(k: int, t: float, machine: Machine, now: Condition) -> None:
    """Stop a train; its fan may run on."""
    now.states[k] = OFF
    now.until[k] = FAR
    now.stopped[k] = t
    now.fan_until[k] = t + machine.fan_run_on[k]


def decide(
    fits: Array, t: float, by_pressure: bool, machine: Machine, settings: Settings, now: Condition, books: Books
) -> None:
    """Let every train do what pressure, clock and hours ask for, then set the speed.

    The event is the crossing of a pressure or the end of a branch, or one of the clock.
    """
    p = now.air[0]
    any_before = runs(machine, now)
    for k in range(machine.trains):
        state = now.states[k]
        if state == OFF:
            waited = t >= now.stopped[k] + settings.minimum_off - 1e-9
            if now.switches[SWITCHED_ON] == 1 and waited and p <= settings.cut_in[k] + TOUCH:
                start(fits, k, t, machine, settings, now, books)
        elif now.switches[SWITCHED_ON] == 0:
            if state != IDLING:
                vent(k, machine, now, books)
                end_run(k, t, now, books)
            stop(k, t, machine, now)
        elif state == IDLING:
            if p <= settings.cut_in[k] + TOUCH:
                now.begun[k] = t
                fill(fits, k, t, machine, settings, now)
            elif t >= now.until[k] - 1e-9:
                stop(k, t, machine, now)
        elif p >= settings.cut_out[k] - TOUCH:
            unload(k, t, machine, settings, now, books)
        elif state == FILLING and t >= now.until[k] - 1e-9:
            now.states[k] = RUNNING
            now.until[k] = FAR
    set_speed(machine, settings, now, by_pressure and any_before)


def runs(machine: Machine, now: Condition) -> bool:
    """Return whether any train turns."""
    for k in range(machine.trains):
        if now.states[k] != OFF:
            return True
    return False


def set_speed(machine: Machine, settings: Settings, now: Condition, on_branch: bool) -> None:
    """Choose the preset, or put the speed control on its branch, unless it is on one already."""
    p = now.air[0]
    if not runs(machine, now):
        now.switches[BOOSTED] = 0
        now.air[3] = 0.0
        now.switches[INTEGRAL_HELD] = 0
    quiet = now.switches[QUIET_HOURS] == 1
    if settings.scheme == PRESSURE:
        if on_branch and abs(p - settings.held) < TOUCH:
            now.switches[INTEGRAL_HELD] = 0
        elif not on_branch:
            set_branch(settings, now, p, now.air[3])
        return
    if settings.scheme == STEPS:
        if quiet:
            now.switches[BOOSTED] = 0
        elif p <= settings.full_below + TOUCH and runs(machine, now):
            now.switches[BOOSTED] = 1
        quiet = now.switches[BOOSTED] == 0
    now.switches[PART] = settings.quiet if quiet else settings.full


def demand(tools: Tools, now: Condition, full_of: Array, needs_of: Array, running: int) -> None:
    """Work out what the running tools draw, and at which receiver pressures that changes.

    ``running`` is the set of tools that runs, a line of the tables of a shop whose pipe is told.
    """
    total, p = 0.0, now.air[0]
    for i in range(tools.many):
        total += now.active[i] * (tools.regulated[i] + tools.choked[i] * tools.full_at[i])
    now.draw[0], now.draw[1], now.draw[2] = 0.0, 0.0, tools.steady
    for i in range(tools.many):
        many = now.active[i]
        if many == 0:
            now.short[i] = 0
            now.throttled[i] = 0
            continue
        before_full, before_needs = now.full_at[i], now.needs[i]
        if tools.piped == 1:
            now.full_at[i], now.needs[i] = full_of[running, i], needs_of[running, i]
        else:
            now.full_at[i] = at_receiver(tools.full_at[i], total, tools.line_drop)
            now.needs[i] = at_receiver(tools.needs[i], total, tools.line_drop)
        if now.full_at[i] != before_full or abs(p - now.full_at[i]) > TOUCH:
            now.throttled[i] = 1 if p < now.full_at[i] else 0
        if now.needs[i] != before_needs or abs(p - now.needs[i]) > TOUCH:
            now.short[i] = 1 if p < now.needs[i] else 0
        if tools.choked[i] > 0.0:
            now.draw[2] += many * tools.choked[i]
        elif now.throttled[i] == 1:
            now.draw[1] += many * tools.regulated[i] / now.full_at[i]
        else:
            now.draw[0] += many * tools.regulated[i]


def at_receiver(inlet: float, flow: float, line_drop: float) -> float:
    """Return the receiver pressure that gives a pressure past the filters: p = inlet + a m^2/p. [Pa]"""
    return float(0.5 * (inlet + np.sqrt(inlet * inlet + 4.0 * line_drop * flow * flow)))


def drained(machine: Machine, settings: Settings, now: Condition, books: Books) -> None:
    """Open a timed drain for its moment: water goes, and some air, which cools what stays."""
    p, m = now.air[0], now.air[1]
    gas = p * machine.volume / (m * R_DRY_AIR)
    lost = settings.drain_air * p * opening(p, machine.barometer) * np.sqrt(REFERENCE / gas)
    lost = min(lost, 0.5 * m)
    left = 1.0 - lost / m
    now.air[0], now.air[1] = p * left**KAPPA, m * left
    now.air[5] = 0.0
    books.totals[HEAT_OUT] += machine.volume / (KAPPA - 1.0) * (p - now.air[0])
    books.totals[DRAINED_AIR] += lost
    books.totals[VAPOUR_OUT] += lost * now.air[4]
