"""Rates of change of a running plant, and one step of them. Decision 15 states the equations.

Plain Python on plain arrays, compiled by ``compiled.jit`` before it is run for longer than a moment.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import CP_DRY_AIR, MASS_RATIO, R_DRY_AIR
from airfettle.studies.day.machine import (
    COOLER_OUT,
    LOG_FLOW,
    MOST_TRAINS,
    POWER,
    PRESSURE,
    PRESSURES,
    STAGES,
    Condition,
    Machine,
    Settings,
)
from airfettle.studies.day.saturation import DEGREE, RANGES
from airfettle.studies.day.saturation import PRESSURES as SATURATION_PRESSURES

Array = NDArray[np.float64]

KAPPA = CP_DRY_AIR / (CP_DRY_AIR - R_DRY_AIR)
COLD, MELTING, HOT = RANGES[0][0], RANGES[0][1], RANGES[1][1]
LEAST_PRESSURE, MOST_PRESSURE = SATURATION_PRESSURES
REFERENCE = 293.15
"""Temperature at which a choked flow is stated. [K]"""
CRITICAL = 0.528
"""Ratio of pressures below which a hole is choked. [-]"""
FIRST_STEP, LONGEST_STEP, LONGEST_AT_REST = 30.0, 60.0, 120.0
"""Step after an event, and the longest with a pump running and with none; each may be twice the one before. [s]"""
SHORT_STEP, LONG_STEP = 2.0, 10.0
"""The same where the frequency follows the pressure. [s]"""
GAS_STEPS = 0.6
"""Longest step at rest over the time in which the gas follows the wall; with a pump on, ``Machine.gas_steps``. [-]"""
SETTLING, SETTLED_GAS_STEPS = 8, 1.5
"""Steps after which the gas at rest has come near its wall, and how long steps may be from then on. [-]"""
EMPTYING = 0.2
"""Longest step over the time in which the receiver would empty. [-]"""
NEAR = 1e-3
"""How near a located crossing comes. [Pa]"""
TOUCH = 0.5
"""Within this of a threshold a pressure counts as on it. [Pa]"""
NO_LAG = 1.0
"""Lag up to which a cooler's metal follows at once: that of a cooler that is not there. [s]"""
DEW_DISTANCE = 10.0
"""How far over the dew point walls must be not to count as cold. [K]"""
TIMES = (0.0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1.0)
"""Where the stages of a step stand in it. [-]"""
WEIGHTS = np.array([
    [0.0, 0.0, 0.0, 0.0, 0.0],
    [1 / 5, 0.0, 0.0, 0.0, 0.0],
    [3 / 40, 9 / 40, 0.0, 0.0, 0.0],
    [44 / 45, -56 / 15, 32 / 9, 0.0, 0.0],
    [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729, 0.0],
    [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
])  # fmt: skip
ENDS = np.array([35 / 384, 0.0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84])
"""The fifth-order method of Dormand and Prince. [-]  Source: dormand-prince."""
STANDING = 0.35
"""Conductance of head and cylinders at rest, the flywheel still, of that at rated speed. [-]  Source: practice."""
STANDING_WINDING = 4.0
"""Lag of the windings at rest, their fan still, over that turning. [-]  Source: practice."""
OFF, FILLING, RUNNING, IDLING = 0, 1, 2, 3
SWITCHED_ON, QUIET_HOURS, BOOSTED, ZONE, CLAMP, INTEGRAL_HELD, PART = range(7)
SAME = 1e-7
"""Frequencies this near count as one. [Hz]"""
FAR = 1e300


def saturated(fit: Array, temperature: float, pressure: float) -> float:
    """Return the saturation humidity ratio from the fit. [-]"""
    low, high, water = (MELTING, HOT, 1) if temperature >= MELTING else (COLD, MELTING, 0)
    t = min(max((2.0 * temperature - low - high) / (high - low), -1.0), 1.0)
    q = min(max((2.0 * pressure - LEAST_PRESSURE - MOST_PRESSURE) / (MOST_PRESSURE - LEAST_PRESSURE), -1.0), 1.0)
    total = 0.0
    second, third = q * q, q * q * q
    for i in range(DEGREE, -1, -1):
        at = fit[water, i, 0] + q * fit[water, i, 1] + second * fit[water, i, 2] + third * fit[water, i, 3]
        total = total * t + at
    vapour = min(np.exp(total), 0.9 * pressure)
    return float(MASS_RATIO * vapour / (pressure - vapour))


def opening(pressure: float, barometer: float) -> float:
    """Return the share of its choked flow that a hole to the open passes, by ISO 6358's ellipse. [-]"""
    if barometer <= CRITICAL * pressure:
        return 1.0
    ratio = barometer / pressure
    if ratio >= 1.0:
        return 0.0
    away = (ratio - CRITICAL) / (1.0 - CRITICAL)
    return float(np.sqrt(1.0 - away * away))


def polynomial(work: Array, k: int, part: int, output: int, nodes: int, g: float, x: float) -> float:
    """Return a fit at the walls' warmth of this step, in frequency and pressure, both moved to -1..1. [SI]"""
    total = 0.0
    for i in range(nodes - 1, -1, -1):
        inner = 0.0
        for j in range(PRESSURES - 1, -1, -1):
            inner = inner * x + work[k, part, output, i, j]
        total = total * g + inner
    return total


def at_walls(
    fits: Array, mode: int, k: int, zone: int, part: int, output: int, nodes: int, warmth: float, work: Array
) -> None:  # fmt: skip
    """Put a fit at one warmth of the walls into ``work``."""
    second, third = warmth * warmth, warmth * warmth * warmth
    for i in range(nodes):
        for j in range(PRESSURES):
            work[k, part, output, i, j] = (
                fits[mode, k, zone, part, output, 0, i, j] + warmth * fits[mode, k, zone, part, output, 1, i, j]
                + second * fits[mode, k, zone, part, output, 2, i, j]
                + third * fits[mode, k, zone, part, output, 3, i, j]
            )  # fmt: skip


def lean(
    fits: Array, mode: int, k: int, zone: int, part: int, output: int, nodes: int, warmth: float, g: float, x: float
) -> float:  # fmt: skip
    """Return the slope of a fit over the warmth of the walls, moved to -1..1, at one point. [SI]"""
    second, third, total = 2.0 * warmth, 3.0 * warmth * warmth, 0.0
    for i in range(nodes - 1, -1, -1):
        inner = 0.0
        for j in range(PRESSURES - 1, -1, -1):
            inner = inner * x + (
                fits[mode, k, zone, part, output, 1, i, j] + second * fits[mode, k, zone, part, output, 2, i, j]
                + third * fits[mode, k, zone, part, output, 3, i, j]
            )  # fmt: skip
        total = total * g + inner
    return total


def part_of(machine: Machine, settings: Settings, frequency: float, part: int) -> int:
    """Return the frequency range to read: the preset's, or under speed control the one the frequency lies in."""
    if settings.scheme != PRESSURE:
        return part
    for i in range(machine.parts - 1):
        if frequency <= machine.frequency_ends[i, 1]:
            return i
    return machine.parts - 1


def moved(machine: Machine, part: int, frequency: float) -> float:
    """Return a frequency moved to -1..1 over its range; 0 for a preset."""
    low, high = machine.frequency_ends[part, 0], machine.frequency_ends[part, 1]
    return float((2.0 * frequency - low - high) / (high - low)) if high > low else 0.0


def highest_now(settings: Settings, now: Condition) -> float:
    """Return the highest frequency under speed control: lower in the quiet hours. [Hz]"""
    return settings.highest_quiet if now.switches[QUIET_HOURS] == 1 else settings.highest


def frequency_of(settings: Settings, pressure: float, integral: float, clamp: int, highest: float) -> float:
    """Return the frequency under speed control: clamped, or by the error and its integral. [Hz]"""
    if clamp < 0:
        return settings.lowest
    if clamp > 0:
        return highest
    middle = 0.5 * (settings.lowest + settings.highest)
    return float(middle + settings.gain * (settings.held - pressure) + integral)


def moved_pressure(machine: Machine, zone: int, pressure: float) -> float:
    """Return a pressure moved to -1..1 over its range, kept a little outside at most."""
    low, high = machine.pressure_ends[zone], machine.pressure_ends[zone + 1]
    return float(min(max((2.0 * pressure - low - high) / (high - low), -1.0), 1.1))


def moved_wall(machine: Machine, k: int, wall: float) -> float:
    """Return the warmth of a train's walls moved to -1..1."""
    low, high = machine.wall_ends[k, 0], machine.wall_ends[k, 1]
    return float((2.0 * wall - low - high) / (high - low))


def rates(
    p: float, m: float, wall: float, integral: float, warmth: Array, machine: Machine, settings: Settings,
    now: Condition, out: Array,
) -> None:  # fmt: skip
    """Put into ``out``: p', m', wall', integral', power, flow in, its heat, flow out, its heat, heat to the room.

    Slots from 10 on hold the flow of each train. [SI]
    """
    volume, states, nodes = machine.volume, now.states, machine.frequency_nodes
    gas = p * volume / (m * R_DRY_AIR)
    frequency, change = 0.0, 0.0
    if settings.scheme == PRESSURE:
        frequency = frequency_of(settings, p, integral, now.switches[CLAMP], highest_now(settings, now))
        if now.switches[INTEGRAL_HELD] == 0:
            change = settings.gain * (settings.held - p) / settings.reset
    part = part_of(machine, settings, frequency, now.switches[PART])
    g, x = moved(machine, part, frequency), moved_pressure(machine, now.switches[ZONE], p)
    power, flow, heat, running = 0.0, 0.0, 0.0, False
    for k in range(states.shape[0]):
        out[10 + k] = 0.0
        if states[k] == OFF:
            continue
        running = True
        power += polynomial(now.work, k, part, POWER, nodes, g, x)
        if states[k] == RUNNING:
            later = warmth[MOST_TRAINS]
            one = np.exp(polynomial(now.work, k, part, LOG_FLOW, nodes, g, x) + later * now.leans[k, 0])
            out[10 + k] = one
            outlet = polynomial(now.work, k, part, COOLER_OUT, nodes, g, x) + later * now.leans[k, 1]
            inlet = machine.room + warmth[k] * (outlet - machine.room)
            flow += one
            heat += CP_DRY_AIR * inlet * one
    passing = opening(p, machine.barometer)
    draw = now.draw
    leaving = passing * (draw[0] + draw[1] * p + draw[2] * p * np.sqrt(REFERENCE / gas))
    lost = CP_DRY_AIR * gas * leaving
    to_wall = machine.film * (gas - wall)
    to_room = machine.room_conductance * (wall - machine.room)
    out[0] = (KAPPA - 1.0) / volume * (heat - lost - to_wall)
    out[1] = flow - leaving
    out[2] = (to_wall - to_room) / machine.wall_capacity
    out[3] = change if running else 0.0
    out[4], out[5], out[6], out[7], out[8], out[9] = power, flow, heat, leaving, lost, to_room


def step(y: Array, h: float, machine: Machine, settings: Settings, now: Condition) -> None:
    """Put the state a step later into ``now.new``: p, m, wall, integral, then what was summed, as in ``rates``."""
    k, warm, new = now.slopes, now.warm, now.new
    rates(y[0], y[1], y[2], y[3], warm[0], machine, settings, now, k[0])
    for stage in range(1, STAGES):
        at = now.at
        for i in range(4):
            change = 0.0
            for j in range(stage):
                change += WEIGHTS[stage, j] * k[j, i]
            at[i] = y[i] + h * change
        rates(at[0], at[1], at[2], at[3], warm[stage], machine, settings, now, k[stage])
    for i in range(10 + machine.trains):
        change = 0.0
        for j in range(STAGES):
            change += ENDS[j] * k[j, i]
        new[i] = y[i] + h * change if i < 4 else h * change


def end_slope(now: Condition) -> float:
    """Return the slope of the pressure at the end of a step, from its last stage, which stands there. [Pa/s]"""
    return float(now.slopes[STAGES - 1, 0])


def crossing(h: float, p0: float, slope0: float, p1: float, slope1: float, wanted: float) -> float:
    """Return when the cubic through both ends of a step, which lie either side of a pressure, passes it. [s]

    Newton's steps, and halving where one would leave the bracket.
    """
    before, behind, rising = 0.0, 1.0, p1 > p0
    s = min(max((wanted - p0) / (p1 - p0), 0.0), 1.0)
    for _ in range(12):
        value = (
            p0 * (1.0 + 2.0 * s) * (1.0 - s) ** 2 + h * slope0 * s * (1.0 - s) ** 2
            + p1 * s * s * (3.0 - 2.0 * s) + h * slope1 * s * s * (s - 1.0)
        )  # fmt: skip
        if abs(value - wanted) < NEAR:
            break
        if (value < wanted) == rising:
            before = s
        else:
            behind = s
        slope = (
            6.0 * s * (1.0 - s) * (p1 - p0) + h * slope0 * (1.0 - s) * (1.0 - 3.0 * s)
            + h * slope1 * s * (3.0 * s - 2.0)
        )  # fmt: skip
        s = s - (value - wanted) / slope if slope != 0.0 else -1.0
        if not before < s < behind:
            s = 0.5 * (before + behind)
    return s * h
