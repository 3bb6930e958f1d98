"""What follows slowly: walls, crankcase, windings, cooler metal, and water; exponentials over a step, and the books."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR
from airfettle.studies.day.control import HOUR, mode_now
from airfettle.studies.day.machine import (
    AIR_IN,
    AIR_OUT,
    CAUGHT,
    COLD_TIME,
    COOLER_OUT,
    DISCHARGE,
    DROP,
    ENERGY,
    FAN_ENERGY,
    FILL_TIME,
    FLOW_BINS,
    HEAT_IN,
    HEAT_OUT,
    HOTTEST_AIR,
    HOTTEST_COOLER,
    HOTTEST_WALL,
    HOTTEST_WINDING,
    HOUR_AIR,
    HOUR_ENERGY,
    HOUR_LOADED,
    HOUR_SHORT,
    HOUR_WATER,
    IDLE,
    LOADED,
    LOG_CONDUCTANCE,
    LOG_DRIED,
    LOG_FLOW,
    LOG_INTERSTAGE,
    LOG_SATURATION,
    LOWEST_PRESSURE,
    MOST_TRAINS,
    MOST_WATER,
    OFTEN,
    ON_TIME,
    POWER,
    PRESSURE,
    PRESSURE_TIME,
    PUMP_SPEED,
    QUIET,
    ROOM_HEAT,
    SPEED_BINS,
    STAGES,
    STEPS_TAKEN,
    TOOL_AIR,
    TOOL_AIR_SHORT,
    TOOL_ON,
    TOOL_SHORT,
    TRACE_ROWS,
    TRAIN_ENERGY,
    TRAIN_FLOW,
    TURNS,
    VAPOUR_IN,
    VAPOUR_OUT,
    WALL_HEAT,
    WARMEST_CRANKCASE,
    WATER_BETWEEN,
    WATER_CARRIED,
    WATER_CAUGHT,
    WATER_CONDENSED,
    WINDING,
    Books,
    Condition,
    Machine,
    Settings,
    Tools,
)
from airfettle.studies.day.steps import (
    CLAMP,
    DEW_DISTANCE,
    FILLING,
    IDLING,
    NO_LAG,
    OFF,
    PART,
    REFERENCE,
    RUNNING,
    SWITCHED_ON,
    TIMES,
    ZONE,
    at_walls,
    frequency_of,
    highest_now,
    lean,
    moved,
    moved_pressure,
    moved_wall,
    opening,
    part_of,
    polynomial,
    saturated,
)

Array = NDArray[np.float64]


def prepare(fits: Array, h: float, machine: Machine, settings: Settings, now: Condition) -> None:
    """Put the fits at the warmth the walls will have in the middle of the step, and the cooler's warmth on the way."""
    loaded, nodes, zone = mode_now(machine, now), machine.frequency_nodes, now.switches[ZONE]
    warm_up(h, machine, now)
    x = moved_pressure(machine, zone, now.air[0])
    for k in range(machine.trains):
        if now.states[k] == OFF:
            continue
        mode = mode_of(k, loaded, machine, now)
        part, g = place(machine, settings, now, now.air[0], now.air[3])
        if now.read_mode[k] != mode or now.read_zone[k] != zone or now.read_part[k] != part:
            read(fits, 0, k, mode, zone, part, now.walls[k], machine, settings, now)
            now.read_mode[k], now.read_zone[k], now.read_part[k] = mode, zone, part
            now.read_wall[k] = now.walls[k]
        heat = polynomial(now.work, k, part, WALL_HEAT, nodes, g, x)
        leaving = np.exp(polynomial(now.work, k, part, LOG_CONDUCTANCE, nodes, g, x))
        rise = (heat - leaving * (now.walls[k] - machine.room)) / machine.pump_capacity[k]
        middle = now.walls[k] + 0.5 * h * rise
        seldom = abs(middle - now.read_wall[k]) < SAME_WALL
        read(fits, 1 if seldom else 0, k, mode, zone, part, middle, machine, settings, now)
        if not seldom:
            now.read_wall[k] = middle
        moving, at = 2.0 * rise / (machine.wall_ends[k, 1] - machine.wall_ends[k, 0]), moved_wall(machine, k, middle)
        now.leans[k, 0] = moving * lean(fits, mode, k, zone, part, LOG_FLOW, nodes, at, g, x)
        now.leans[k, 1] = moving * lean(fits, mode, k, zone, part, COOLER_OUT, nodes, at, g, x)


SAME_WALL = 0.2
"""Change of the walls' warmth within which what hardly depends on it is not read anew. [K]"""


def read(
    fits: Array, only_often: int, k: int, mode: int, zone: int, part: int, wall: float, machine: Machine,
    settings: Settings, now: Condition,
) -> None:  # fmt: skip
    """Read fits at a warmth of the walls: all, or only those that are used at every stage."""
    warmth, nodes = moved_wall(machine, k, wall), machine.frequency_nodes
    last = OFTEN if only_often == 1 else (LOG_DRIED + 1 if machine.dries > 0 else LOG_DRIED)
    first_part, last_part = (part, part + 1) if settings.scheme != PRESSURE else (0, machine.parts)
    for each in range(first_part, last_part):
        for output in range(last):
            at_walls(fits, mode, k, zone, each, output, nodes, warmth, now.work)


def warm_up(h: float, machine: Machine, now: Condition) -> None:
    """Put the warmth of the coolers' metal at the stages and in the middle of a step into ``now.warm``."""
    for stage in range(STAGES):
        now.warm[stage, MOST_TRAINS] = (TIMES[stage] - 0.5) * h
    for k in range(machine.trains):
        target, lag = cooler_target(k, machine, now)
        away = 0.0 if lag <= NO_LAG else now.warmth[k] - target
        first = STAGES - 1 if now.states[k] == OFF else 0
        for stage in range(first, STAGES):
            now.warm[stage, k] = target + away * np.exp(-TIMES[stage] * h / lag)
        if now.states[k] != OFF:
            now.warm[STAGES, k] = target + away * np.exp(-0.5 * h / lag)


def mode_of(k: int, loaded: int, machine: Machine, now: Condition) -> int:
    """Return the mode of the fits for one train: the loaded set it is in, or itself idling."""
    return loaded if now.states[k] != IDLING else (1 << machine.trains) - 1 + k


def place(machine: Machine, settings: Settings, now: Condition, p: float, integral: float) -> tuple[int, float]:
    """Return the frequency range in use, and the frequency moved to -1..1 over it."""
    frequency = frequency_of(settings, p, integral, now.switches[CLAMP], highest_now(settings, now))
    part = part_of(machine, settings, frequency, now.switches[PART])
    return part, moved(machine, part, frequency)


def cooler_target(k: int, machine: Machine, now: Condition) -> tuple[float, float]:
    """Return the warmth a cooler's metal goes towards, and its lag. [-] [s]"""
    state = now.states[k]
    if state == FILLING or state == RUNNING:
        return 1.0, machine.cooler_lag[k, 0]
    if state == IDLING or now.fan_until[k] > -1e299:
        return 0.0, machine.cooler_lag[k, 0]
    return 0.0, machine.cooler_lag[k, 1]


def settle(
    t: float, h: float, machine: Machine, settings: Settings, tools: Tools, now: Condition, books: Books
) -> None:
    """Take the step that stands in ``now.new``: move what is slow over it, and write the books."""
    if h <= 0.0:  # an event at the very moment of another
        return
    air, new, slopes = now.air, now.new, now.slopes
    middle = 0.5 * (air[0] + new[0]) + 0.125 * h * (slopes[0, 0] - slopes[STAGES - 1, 0])
    between = 0.5 * (air[3] + new[3])
    wall = 0.5 * (air[2] + new[2])
    hour = int((t + 0.5 * h) % 86_400.0 // HOUR)
    for k in range(machine.trains):
        follow(k, h, hour, middle, between, machine, settings, now, books)
    mass, damp = 0.5 * (air[1] + new[1]), air[4]
    moisten(h, hour, middle, between, wall, mass, machine, settings, now, books)
    book(h, hour, middle, 0.5 * (damp + air[4]), machine, tools, now, books)
    air[0], air[1], air[2], air[3] = new[0], new[1], new[2], new[3]
    for k in range(machine.trains):
        now.warmth[k] = now.warm[STAGES - 1, k]


def follow(
    k: int, h: float, hour: int, p: float, integral: float, machine: Machine, settings: Settings, now: Condition,
    books: Books,
) -> None:  # fmt: skip
    """Move walls, crankcase and windings of one train over a step."""
    state, room, row = now.states[k], machine.room, books.of_train[k]
    wall, x = now.walls[k], moved_pressure(machine, now.switches[ZONE], p)
    heading, lag, nodes = room, machine.winding_lag[k, 1], machine.frequency_nodes
    if state == OFF:
        leaving = machine.still_conductance[k]
        settled = room
        if now.fan_until[k] > -1e299:
            books.totals[FAN_ENERGY] += machine.fan_power[k] * h
    else:
        part, g = place(machine, settings, now, p, integral)
        leaving = np.exp(polynomial(now.work, k, part, LOG_CONDUCTANCE, nodes, g, x))
        settled = room + polynomial(now.work, k, part, WALL_HEAT, nodes, g, x) / leaving
        heading, lag = polynomial(now.work, k, part, WINDING, nodes, g, x), machine.winding_lag[k, 0]
        run(k, state, part, g, x, h, hour, p, machine, settings, now, books)
    after = settled + (wall - settled) * np.exp(-h * leaving / machine.pump_capacity[k])
    aim = room + machine.crankcase_place[k] * (0.5 * (wall + after) - room)
    now.crankcase[k] = aim + (now.crankcase[k] - aim) * np.exp(-h / machine.crankcase_lag[k])
    now.winding[k] = heading + (now.winding[k] - heading) * np.exp(-h / lag)
    now.walls[k] = after
    row[HOTTEST_WALL] = max(row[HOTTEST_WALL], after)
    row[HOTTEST_WINDING] = max(row[HOTTEST_WINDING], now.winding[k])
    row[WARMEST_CRANKCASE] = max(row[WARMEST_CRANKCASE], now.crankcase[k])


def run(
    k: int, state: int, part: int, g: float, x: float, h: float, hour: int, p: float, machine: Machine,
    settings: Settings, now: Condition, books: Books,
) -> None:  # fmt: skip
    """Book a train that turns: time, energy, turns, heat, and whether its walls were cold."""
    row, wall, nodes = books.of_train[k], now.walls[k], machine.frequency_nodes
    energy = h * polynomial(now.work, k, part, POWER, nodes, g, x)
    row[TRAIN_ENERGY] += energy
    row[TURNS] += h * polynomial(now.work, k, part, PUMP_SPEED, nodes, g, x)
    books.totals[FAN_ENERGY] += machine.fan_power[k] * h
    if state == IDLING:
        row[IDLE] += h
        return
    row[LOADED] += h
    row[TRAIN_FLOW] += now.new[10 + k]
    books.of_hour[hour, HOUR_LOADED] += h
    if state == FILLING:
        row[FILL_TIME] += h
    books.at_speed[k, speed_bin(machine, settings, part, g)] += h
    if settings.scheme == PRESSURE:
        ends = machine.frequency_ends
        frequency = 0.5 * (ends[part, 0] + ends[part, 1]) + 0.5 * (ends[part, 1] - ends[part, 0]) * g
        if frequency <= settings.highest_quiet + 1e-6:
            row[QUIET] += h
    elif part == settings.quiet:
        row[QUIET] += h
    row[HOTTEST_AIR] = max(row[HOTTEST_AIR], polynomial(now.work, k, part, DISCHARGE, nodes, g, x))
    outlet = machine.room + now.warm[STAGES - 1, k] * (
        polynomial(now.work, k, part, COOLER_OUT, nodes, g, x) - machine.room
    )
    row[HOTTEST_COOLER] = max(row[HOTTEST_COOLER], outlet)
    colder = wall - DEW_DISTANCE
    if colder < machine.warmest_dew and saturated(machine.saturation, colder, p) < machine.humidity:
        row[COLD_TIME] += h


def speed_bin(machine: Machine, settings: Settings, part: int, g: float) -> int:
    """Return the bin of a frequency: the preset's number, or by where it lies between lowest and highest."""
    if settings.scheme != PRESSURE:
        return part
    ends = machine.frequency_ends
    frequency = 0.5 * (ends[part, 0] + ends[part, 1]) + 0.5 * (ends[part, 1] - ends[part, 0]) * g
    share = (frequency - settings.lowest) / max(settings.highest - settings.lowest, 1e-9)
    return min(max(int(share * SPEED_BINS), 0), SPEED_BINS - 1)


def moisten(
    h: float, hour: int, p: float, integral: float, wall: float, mass: float, machine: Machine,
    settings: Settings, now: Condition, books: Books,
) -> None:  # fmt: skip
    """Move the water over a step: between the stages, in cooler and separator, in the receiver.

    Under speed control flow and pressure change together within a step: it is then taken at three points, by
    Simpson's rule.
    """
    totals, wet = books.totals, now.wet
    dry, vapour, caught_now = 0.0, 0.0, 0.0
    for k in range(machine.trains):
        mean = now.new[10 + k] / h
        if mean <= 0.0:
            continue
        wet[0], wet[1], wet[2], wet[3] = 0.0, 0.0, 0.0, 0.0
        if settings.scheme == PRESSURE:
            last = STAGES - 1
            first, final = now.slopes[0, 10 + k], now.slopes[last, 10 + k]
            water_at(k, first, 1 / 6, now.air[0], now.air[3], 0, machine, settings, now)
            water_at(k, 1.5 * mean - 0.25 * (first + final), 4 / 6, p, integral, STAGES, machine, settings, now)
            water_at(k, final, 1 / 6, now.new[0], now.new[3], last, machine, settings, now)
        else:
            water_at(k, mean, 1.0, p, integral, STAGES, machine, settings, now)
        totals[WATER_BETWEEN] += h * wet[0]
        totals[WATER_CAUGHT] += h * wet[1]
        totals[WATER_CARRIED] += h * wet[2]
        now.air[5] += h * wet[2]
        caught_now += h * (wet[0] + wet[1])
        dry += mean
        vapour += wet[3]
    before = now.air[4]
    condensed = humid_step(h, p, wall, mass, dry, vapour / dry if dry > 0.0 else 0.0, machine, now)
    totals[VAPOUR_IN] += h * vapour
    totals[VAPOUR_OUT] += h * vapour - condensed - (now.new[1] * now.air[4] - now.air[1] * before)
    totals[WATER_CONDENSED] += condensed
    now.air[5] += condensed
    totals[MOST_WATER] = max(totals[MOST_WATER], now.air[5])
    books.of_hour[hour, HOUR_WATER] += caught_now + condensed


def water_at(
    k: int, flow: float, weight: float, p: float, integral: float, stage: int, machine: Machine, settings: Settings,
    now: Condition,
) -> None:  # fmt: skip
    """Add to ``now.wet`` what a train's air leaves at one point: between the stages, caught, let through, as vapour."""
    nodes, x, wet = machine.frequency_nodes, moved_pressure(machine, now.switches[ZONE], p), now.wet
    part, g = place(machine, settings, now, p, integral)
    pumped = min(machine.humidity, np.exp(polynomial(now.work, k, part, LOG_SATURATION, nodes, g, x)))
    between = np.exp(polynomial(now.work, k, part, LOG_INTERSTAGE, nodes, g, x)) * (machine.humidity - pumped)
    there = p + polynomial(now.work, k, part, DROP, nodes, g, x)
    inlet = machine.room + now.warm[stage, k] * (polynomial(now.work, k, part, COOLER_OUT, nodes, g, x) - machine.room)
    left = min(pumped, saturated(machine.saturation, inlet, there))
    if machine.dries > 0:
        left = min(left, np.exp(polynomial(now.work, k, part, LOG_DRIED, nodes, g, x)))
    share = polynomial(now.work, k, part, CAUGHT, nodes, g, x)
    made = flow * (pumped - left)
    wet[0] += weight * between
    wet[1] += weight * made * share
    wet[2] += weight * made * (1.0 - share)
    wet[3] += weight * flow * left


def humid_step(
    h: float, p: float, wall: float, mass: float, flow: float, inlet: float, machine: Machine, now: Condition
) -> float:  # fmt: skip
    """Move the receiver's humidity over a step, and return what condensed on its wall. [kg]

    m W' = m_in (W_in - W) - k max(W - W_sat, 0): exponentials, one for the damp and one for the dry part of the step.
    """
    ws, w = saturated(machine.saturation, wall, p), now.air[4]
    film = machine.film / CP_DRY_AIR
    fresh, condensed, left = flow / mass, 0.0, h
    for _ in range(3):
        if left <= 0.0:
            break
        damp = w > ws or (w == ws and fresh > 0.0 and inlet > ws)
        rate = fresh + (film / mass if damp else 0.0)
        if rate <= 0.0:
            break
        heading = (fresh * inlet + (film / mass * ws if damp else 0.0)) / rate
        after = heading + (w - heading) * np.exp(-rate * left)
        used = left
        if (damp and after < ws) or (not damp and after > ws):
            used = min(left, np.log((w - heading) / (ws - heading)) / rate)
            after = ws
        if damp:
            over = (heading - ws) * used + (w - heading) * (1.0 - np.exp(-rate * used)) / rate
            condensed += film * over
        w, left = after, left - used
    now.air[4] = w
    return condensed


def book(
    h: float, hour: int, p: float, damp: float, machine: Machine, tools: Tools, now: Condition, books: Books
) -> None:
    """Add a step to the books."""
    totals, new = books.totals, now.new
    totals[ENERGY] += new[4]
    totals[AIR_IN] += new[5]
    totals[HEAT_IN] += new[6]
    totals[AIR_OUT] += new[7]
    totals[HEAT_OUT] += new[8]
    totals[ROOM_HEAT] += new[9]
    totals[PRESSURE_TIME] += p * h
    totals[STEPS_TAKEN] += 1.0
    totals[LOWEST_PRESSURE] = min(totals[LOWEST_PRESSURE], new[0])
    if now.switches[SWITCHED_ON] == 1:
        totals[ON_TIME] += h
    books.of_hour[hour, HOUR_ENERGY] += new[4]
    books.of_hour[hour, HOUR_AIR] += new[7]
    any_short, passing = False, opening(p, machine.barometer)
    gas = p * machine.volume / (0.5 * (now.air[1] + new[1]) * R_DRY_AIR)
    for i in range(tools.many):
        if now.short[i] == 1:
            any_short = True
    for i in range(tools.many):
        many = now.active[i]
        if many == 0:
            continue
        row = books.of_tool[i]
        if tools.choked[i] > 0.0:
            flow = passing * tools.choked[i] * p * np.sqrt(REFERENCE / gas)
        else:
            flow = passing * tools.regulated[i] * (min(1.0, p / now.full_at[i]) if now.throttled[i] == 1 else 1.0)
        row[TOOL_ON] += many * h
        row[TOOL_AIR] += many * h * flow
        if any_short:
            row[TOOL_AIR_SHORT] += many * h * flow
        if now.short[i] == 1:
            row[TOOL_SHORT] += many * h
    if any_short:
        books.of_hour[hour, HOUR_SHORT] += h
    if new[7] > 0.0:
        share = new[7] / h / max(tools.most, 1e-12)
        cell = books.at_flow[min(int(share * FLOW_BINS), FLOW_BINS - 1)]
        cell[0] += h
        cell[1] += new[7]
        cell[2] += new[7] * damp
        cell[3] += new[7] * gas
        cell[4] += new[7] * p


def record(t: float, machine: Machine, settings: Settings, now: Condition, books: Books, trace: Array) -> None:
    """Write a line of the trace; lines beyond its length are only counted."""
    n = int(books.totals[TRACE_ROWS])
    books.totals[TRACE_ROWS] += 1.0
    if n >= trace.shape[0]:
        return
    row, air, slopes = trace[n], now.air, now.slopes[STAGES - 1]
    row[0], row[1], row[2], row[3] = t, air[0], air[0] * machine.volume / (air[1] * R_DRY_AIR), air[2]
    row[4], row[10], row[11], row[12], row[13] = now.walls[0], air[4], air[5], now.crankcase[0], now.winding[0]
    row[7], row[8], row[9] = slopes[4], slopes[5], slopes[7]
    running, code = False, 0
    for k in range(machine.trains):
        code += now.states[k] * 4**k
        running = running or now.states[k] != OFF
    row[6] = float(code)
    part, g = place(machine, settings, now, air[0], air[3])
    ends = machine.frequency_ends
    frequency = 0.5 * (ends[part, 0] + ends[part, 1]) + 0.5 * (ends[part, 1] - ends[part, 0]) * g
    row[5] = frequency if running else 0.0
    nodes = machine.frequency_nodes
    if now.states[0] == RUNNING or now.states[0] == FILLING:
        x = moved_pressure(machine, now.switches[ZONE], air[0])
        row[14] = machine.room + now.warmth[0] * (polynomial(now.work, 0, part, COOLER_OUT, nodes, g, x) - machine.room)
        row[15] = polynomial(now.work, 0, part, DISCHARGE, nodes, g, x)
