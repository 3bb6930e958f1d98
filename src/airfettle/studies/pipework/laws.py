"""Laws of one piece of pipe, one coupler and one tool, for the compiled loops. Decision 16 states the equations.

Plain Python on plain numbers, compiled by ``compiled.jit`` before it is run for longer than a moment. The same laws as
arrays stand in ``air.pipe_flow`` and ``air.nozzle``; tests hold them against each other.
"""

from __future__ import annotations

from math import frexp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.compiled import inlined

Array = NDArray[np.float64]

LAMINAR, TURBULENT = 2000.0, 4000.0
"""Reynolds numbers up to which flow is laminar, and from which Colebrook's equation holds. [-]  Source: colebrook."""
SQUARE, LENGTH, GRAIN, LOSS, EXTRA, REYNOLDS = 0, 1, 2, 3, 4, 5
"""Columns of a pipe's law: 16 R T/(pi^2 D^4) [Pa2 s2/kg2], length over bore, place of its roughness among the
fits, losses [-], what a filter adds [Pa2 s2/kg2], and Reynolds number over flow [s/kg]."""
C_FLOW, RATIO, SET, SLOPE, CAP, OUTSIDE = 0, 1, 2, 3, 4, 5
"""Columns of an outlet's law: choked flow of the coupler over pressure, 0 without one [kg/(s Pa)], its critical ratio
[-], what a regulator is set to, infinite without one [Pa], the tool's flow over its inlet pressure [kg/(s Pa)], the
most it takes, infinite where it has no regulator [kg/s], and the pressure outside [Pa]."""
LEAST_SHARE = 1e-6
"""Square of the lower pressure over the higher down to which speeding up is followed. [-]"""
SETTLED = 1e-12
"""Change of 2 ln(p1/p2) after which it stays. [-]"""
CRITICAL = 0.528
"""Ratio of pressures below which a hole is choked. [-]"""
STRAIGHT = 0.999
"""Pressure ratio above which a coupler's flow is proportional to its drop. [-]  Source: iso-6358."""
FIRST_OCTAVE, OCTAVES, TERMS = 12, 16, 7
"""Power of two at the end of the first fitted range of Reynolds numbers, how many ranges, and terms of each. [-]"""
MOST_REYNOLDS = 1.3e8
"""Reynolds number above which the factor is that at it. [-]"""
TWO = 2.0 / log(10.0)
"""Two decimal logarithms in one natural one. [-]"""


def colebrook(reynolds: float, rough: float) -> float:
    """Return Darcy's friction factor in turbulent flow: x = -2 log10(rough/3.7 + 2.51 x/Re), f = 1/x^2. [-]"""
    part, ratio = rough / 3.7, 2.51 / reynolds
    x = -TWO * log(part + 5.5 * ratio)
    for _ in range(6):  # Newton's steps; four reach the last digits
        inner = part + ratio * x
        x -= (x + TWO * log(inner)) / (1.0 + TWO * ratio / inner)
    return 1.0 / (x * x)


def friction_fits(roughs: Array) -> Array:
    """Return fits of the friction factor for some roughnesses over bore, shape (roughnesses, octaves, terms + 1). [-]

    Between one power of two of the Reynolds number and the next the factor is a polynomial through Chebyshev's points,
    right to 1e-8; the compiled loops read these in place of logarithms. The last column is the factor at Reynolds 4000.
    """
    points = np.cos(np.pi * (np.arange(TERMS) + 0.5) / TERMS)
    inverse = np.linalg.inv(points[:, None] ** np.arange(TERMS))
    found = np.zeros((len(roughs), OCTAVES, TERMS + 1))
    for i, rough in enumerate(roughs):
        for octave in range(OCTAVES):
            reynolds = 2.0 ** (FIRST_OCTAVE + octave) * (0.75 + 0.25 * points)
            found[i, octave, :TERMS] = inverse @ np.array([colebrook(each, float(rough)) for each in reynolds])
        found[i, :, TERMS] = colebrook(TURBULENT, float(rough))
    return found


@inlined
def factor_of(reynolds: float, fit: Array, grain: int) -> tuple[float, float]:
    """Return Darcy's friction factor above laminar flow, and its slope over ln(Re). [-]"""
    if reynolds < TURBULENT:
        steep = (fit[grain, 0, TERMS] - 64.0 / LAMINAR) / (TURBULENT - LAMINAR)
        return 64.0 / LAMINAR + steep * (reynolds - LAMINAR), steep * reynolds
    part, power = frexp(min(reynolds, MOST_REYNOLDS))
    octave, t = power - FIRST_OCTAVE, 4.0 * part - 3.0
    factor, slope = fit[grain, octave, TERMS - 1], 0.0
    for i in range(TERMS - 2, -1, -1):
        slope = slope * t + factor
        factor = factor * t + fit[grain, octave, i]
    return factor, slope * 4.0 * part


@inlined
def pipe(flow: float, law: Array, k: int, spread: float, fit: Array) -> tuple[float, float]:
    """Return the fall of the square of the pressure along a pipe, and its slope over the flow. [Pa2] [Pa2 s/kg]

    ``spread`` is 2 ln(p1/p2), what speeding up takes; 64/Re up to 2000, Colebrook from 4000, straight in between.
    """
    size = abs(flow)
    reynolds = law[k, REYNOLDS] * size
    fixed = law[k, SQUARE] * (law[k, LOSS] + spread) + law[k, EXTRA]
    scale = law[k, SQUARE] * law[k, LENGTH]
    if reynolds <= LAMINAR:
        linear = scale * 64.0 / law[k, REYNOLDS] if law[k, REYNOLDS] > 0.0 else 0.0
        return flow * (linear + fixed * size), linear + 2.0 * fixed * size
    factor, change = factor_of(reynolds, fit, int(law[k, GRAIN]))
    return flow * size * (scale * factor + fixed), size * (scale * (2.0 * factor + change) + 2.0 * fixed)


@inlined
def spread_of(before: float, behind: float) -> float:
    """Return 2 ln(p1/p2) from the squares of both pressures, counted along the flow. [-]"""
    high, low = (before, behind) if before >= behind else (behind, before)
    low = max(low, LEAST_SHARE * high)
    if low <= 0.0:
        return 0.0
    z = (high - low) / (high + low)
    if z < 0.1:
        w = z * z
        return 2.0 * z * (1.0 + w * (1.0 / 3.0 + w * (1.0 / 5.0 + w * (1.0 / 7.0 + w / 9.0))))
    return log(high / low)


@inlined
def coupler(flow: float, pressure: float, capacity: float, ratio: float) -> float:
    """Return the pressure behind a coupler, 0 where it cannot pass that much. [Pa]

    ISO 6358: m = K p1 sqrt(1 - ((r - b)/(1 - b))^2), straight from r = 0.999 to 1.
    """
    if flow <= 0.0:
        return pressure
    share = flow / (capacity * pressure)
    if share >= 1.0:
        return 0.0
    away = (STRAIGHT - ratio) / (1.0 - ratio)
    edge = sqrt(1.0 - away * away)
    if share <= edge:
        return pressure * (1.0 - (1.0 - STRAIGHT) * share / edge)
    return pressure * (ratio + (1.0 - ratio) * sqrt(1.0 - share * share))


def coupler_before(flow: float, behind: float, capacity: float, ratio: float) -> float:
    """Return the pressure before a coupler that leaves a pressure behind it. [Pa]"""
    if flow <= 0.0:
        return behind
    away = (STRAIGHT - ratio) / (1.0 - ratio)
    edge = sqrt(1.0 - away * away)
    need = flow / capacity  # least pressure that passes it, choked
    straight = behind + (1.0 - STRAIGHT) * need / edge
    if behind >= STRAIGHT * straight:
        return straight
    if behind <= ratio * need:
        return need
    a, c = 1.0 - 2.0 * ratio, behind * behind + (1.0 - ratio) ** 2 * need * need
    half = ratio * behind
    return c / (half + sqrt(half * half + a * c))


@inlined
def hose_behind(flow: float, pressure: float, law: Array, k: int, fit: Array) -> float:
    """Return the pressure behind a hose, 0 where it cannot pass that much. [Pa]"""
    if law[k, SQUARE] == 0.0 or flow <= 0.0:
        return pressure
    rubbed, _ = pipe(flow, law, k, 0.0, fit)
    speeding = law[k, SQUARE] * flow * flow
    before, spread, behind = pressure * pressure, 0.0, 0.0
    for _ in range(40):
        behind = before - rubbed - speeding * spread
        if behind <= speeding:  # an isothermal pipe passes no more at its end
            return 0.0
        now = spread_of(before, behind)
        if abs(now - spread) <= SETTLED:
            break
        spread = now
    return sqrt(behind)


def hose_before(flow: float, behind: float, law: Array, k: int, fit: Array) -> float:
    """Return the pressure before a hose that leaves a pressure behind it. [Pa]"""
    if law[k, SQUARE] == 0.0 or flow <= 0.0:
        return behind
    rubbed, _ = pipe(flow, law, k, 0.0, fit)
    speeding = law[k, SQUARE] * flow * flow
    end, spread, before = behind * behind, 0.0, 0.0
    for _ in range(40):
        before = end + rubbed + speeding * spread
        now = spread_of(before, end)
        if abs(now - spread) <= SETTLED:
            break
        spread = now
    return sqrt(before)


@inlined
def inlet(flow: float, pressure: float, outlet: Array, hose: Array, k: int, fit: Array) -> float:
    """Return the pressure at a tool's inlet, from that at the end of its drop. [Pa]"""
    before = min(pressure, outlet[k, SET])
    if outlet[k, C_FLOW] > 0.0:
        before = coupler(flow, before, outlet[k, C_FLOW], outlet[k, RATIO])
    return 0.0 if before <= 0.0 else hose_behind(flow, before, hose, k, fit)


def before_outlet(flow: float, wanted: float, outlet: Array, hose: Array, k: int, fit: Array) -> float:
    """Return the pressure at the end of a drop that gives a tool's inlet a pressure; infinite past a regulator. [Pa]"""
    need = hose_before(flow, wanted, hose, k, fit)
    if outlet[k, C_FLOW] > 0.0:
        need = coupler_before(flow, need, outlet[k, C_FLOW], outlet[k, RATIO])
    return need if need <= outlet[k, SET] else np.inf


@inlined
def wanted_at(pressure: float, outlet: Array, k: int) -> float:
    """Return what a tool would take with a pressure at its inlet: in proportion to it, less as it nears the outside.

    Below 1/0.528 of the pressure outside by ISO 6358's ellipse, as every hole to the open. [kg/s]
    """
    outside = outlet[k, OUTSIDE]
    flow: float = outlet[k, SLOPE] * pressure
    if outside <= CRITICAL * pressure:
        return flow
    if pressure <= outside:
        return 0.0
    away = (outside / pressure - CRITICAL) / (1.0 - CRITICAL)
    return flow * sqrt(1.0 - away * away)


def taken(pressure: float, outlet: Array, hose: Array, k: int, fit: Array, guess: float) -> tuple[float, float]:
    """Return what a running tool takes from the end of its drop, and the pressure at its inlet. [kg/s] [Pa]

    Below full pressure the flow follows the inlet pressure; a tool with a regulator takes no more than CAP.
    """
    cap = outlet[k, CAP]
    if cap < np.inf:
        there = inlet(cap, pressure, outlet, hose, k, fit)
        if wanted_at(there, outlet, k) >= cap:
            return cap, there
    still = wanted_at(min(pressure, outlet[k, SET]), outlet, k)  # what it would take if nothing were lost on the way
    if still <= 0.0:
        return 0.0, min(pressure, outlet[k, SET])
    low, below = 0.0, still
    high = min(cap, still)
    above = wanted_at(inlet(high, pressure, outlet, hose, k, fit), outlet, k) - high
    at, there, side = guess, 0.0, 0
    if not low < at < high:
        at = 0.9 * high
    for _ in range(100):
        there = inlet(at, pressure, outlet, hose, k, fit)
        off = wanted_at(there, outlet, k) - at
        if abs(off) <= 1e-13 * high or high - low <= 1e-15 * high:
            break
        if off > 0.0:
            low, below = at, off
            if side > 0:
                above *= 0.5
            side = 1
        else:
            high, above = at, off
            if side < 0:
                below *= 0.5
            side = -1
        near = (low * above - high * below) / (above - below)
        at = near if low < near < high else 0.5 * (low + high)
    return at, there
