"""The branches of a speed control by pressure: frequency clamped or free, integral held or free.

On each branch the rates are smooth; a step ends where one is left.
"""

from __future__ import annotations

from airfettle.studies.day.machine import Condition, Settings
from airfettle.studies.day.steps import (
    CLAMP,
    INTEGRAL_HELD,
    SAME,
    frequency_of,
    highest_now,
)


def wanted_frequency(settings: Settings, now: Condition, pressure: float, integral: float) -> float:
    """Return what the speed control asks for, before it is clamped. [Hz]"""
    return frequency_of(settings, pressure, integral, 0, 0.0)


def excess(settings: Settings, now: Condition, pressure: float, integral: float) -> float:
    """Return how far the speed control has left its branch: over 0 it has to change. [Hz]"""
    asked, top = wanted_frequency(settings, now, pressure, integral), highest_now(settings, now)
    clamp = now.switches[CLAMP]
    if clamp > 0:
        away = top - asked
    elif clamp < 0:
        away = asked - settings.lowest
    else:
        away = max(asked - top, settings.lowest - asked)
    if now.switches[INTEGRAL_HELD] == 0:
        away = max(away, abs(integral) - integral_limit(settings))
    return away


def integral_limit(settings: Settings) -> float:
    """Return how far the integral may move the frequency either way. [Hz]"""
    return 0.5 * (settings.highest - settings.lowest)


def set_branch(settings: Settings, now: Condition, pressure: float, integral: float) -> None:
    """Put the speed control on its branch: clamped or not, integral held or not."""
    asked, top = wanted_frequency(settings, now, pressure, integral), highest_now(settings, now)
    now.switches[CLAMP] = 1 if asked > top + SAME else (-1 if asked < settings.lowest - SAME else 0)
    limit, error = integral_limit(settings), settings.held - pressure
    outward = (integral >= limit - SAME and error > 0.0) or (integral <= -limit + SAME and error < 0.0)
    now.switches[INTEGRAL_HELD] = 1 if outward else 0


def turn_branch(settings: Settings, now: Condition, pressure: float, integral: float) -> None:
    """Change the branch whose end was just reached."""
    asked, top = wanted_frequency(settings, now, pressure, integral), highest_now(settings, now)
    clamp, near = now.switches[CLAMP], 1e-4
    if now.switches[INTEGRAL_HELD] == 0 and abs(integral) > integral_limit(settings) - near:
        now.switches[INTEGRAL_HELD] = 1 if integral * (settings.held - pressure) > 0.0 else 0
    if clamp != 0:
        edge = top if clamp > 0 else settings.lowest
        if (edge - asked) * clamp > -near:
            now.switches[CLAMP] = 0
    elif asked > top - near:
        now.switches[CLAMP] = 1
    elif asked < settings.lowest + near:
        now.switches[CLAMP] = -1
