"""Limits of a drive: amps for a minute, and the frequencies it may not leave."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.drive import OVERLOAD_TIME
from airfettle.studies.limits.declared import Limit
from airfettle.studies.settings.one_train import OneTrain
from airfettle.studies.settings.setting import Setting, State
from airfettle.studies.speed_card import ends_inwards, moved_inside

Array = NDArray[np.float64]

MOST_OVER_PLATE = 1.50
"""Short-time amps over the motor's plate amps that its start may take. [-]  Source: practice."""


def most_amps(train: OneTrain) -> Array | None:
    """Return amps that a drive gives for a minute, fed as it is; None where nothing tells its amps. [A]"""
    limit = train.numbers.power.output_limit
    drive = train.wired.parts["drive"]
    return None if limit is None else np.asarray(train.rows(limit) * train.rows(drive.overload))


def current_limit(train: OneTrain) -> Setting:
    """Return the current limit: what the start may take, and no more than the drive gives.

    Notes
    -----
    The lesser of 1.5 times plate amps and what the drive gives for a minute in 95 of 100 rows, and no less than the
    motor draws at work.
    """
    amps = train.given("motor", "current") or train.likely(train.numbers.power.motor.rated_current)
    asked = float(np.percentile(np.max(train.state.motor_current, axis=(1, 2)), 95.0))
    gives = most_amps(train)
    what, id_ = "Current limit", "current_limit"
    by_motor = MOST_OVER_PLATE * amps
    if gives is None:
        return Setting(
            id_, "limits", what, words="what the drive gives for a minute", kind="current", low=asked, high=by_motor,
            state="measure first",
            why="The drive's output amps are not told: read the output line of its plate. The motor draws up to "
            f"{train.say(asked, 'current')} at work.",
        )  # fmt: skip
    fed = train.spread(train.numbers.power.output_limit, "current")
    why = f"Fed as it is, the drive may give {fed} for long and {train.spread(gives, 'current')} for "
    why += f"{OVERLOAD_TIME:.0f} s; the motor draws up to {train.say(asked, 'current')} at work."
    sure = float(np.percentile(gives, 5.0))
    if sure < asked:
        return Setting(
            id_, "limits", what, words="settle the drive's amps first", kind="current", low=asked, high=by_motor,
            why=f"{why} That may be too little: get the maker's figure for this supply, or a larger drive.",
            sources=("drive-manual", "practice"), state="measure first",
        )  # fmt: skip
    if by_motor < asked:
        return Setting(
            id_, "limits", what, words="settle the motor's load first", kind="current", low=asked,
            why=f"{why} That is more than {MOST_OVER_PLATE:g} times its plate amps: the motor is too small, or a plate "
            "is misread.", state="measure first",
        )  # fmt: skip
    entries = ["drive.overload"]
    if train.numbers.power.phases == 1 and train.fact("drive", "input_phases", None) != 1:
        entries.append("drive.single_phase_output_current")
    value = min(by_motor, sure)
    most = min(by_motor, max(train.likely(gives), value))
    return Setting(
        id_, "limits", what, value=value, kind="current", low=asked, high=most,
        why=why, sources=("drive-manual", "practice"), state=train.known("drive.rated_output_current", *entries),
    )  # fmt: skip


def frequencies(train: OneTrain) -> Iterator[Setting]:
    """Yield the lowest and the highest frequency."""
    yield lowest_frequency(train)
    yield highest_frequency(train)


def lowest_setting(train: OneTrain) -> float:
    """Return the lowest frequency to set: as told where the window allows it, else the window's own end. [Hz]"""
    own = _own(train, "minimum_frequency", "low")
    low, _ = ends_inwards(train.window)
    if own is None:
        return train.slowest if low is None else min(low, train.slowest)
    return min(moved_inside(own, train.window), train.slowest)


def lowest_frequency(train: OneTrain) -> Setting:
    """Return the setting of the lowest frequency; never zero."""
    low, high = ends_inwards(train.window)
    value = lowest_setting(train)
    if low is None or high is None:
        return _no_window(train, "lowest_frequency", "Lowest frequency", value)
    own = _own(train, "minimum_frequency", "low")
    end = train.window.lowest
    why = ""
    if own is not None and own < low - 1e-9:
        why = f"Told: {own:g} Hz, which is too low. "
    if end is not None and end.binding is not None:
        why += f"Below {low:g} Hz ({train.say(end.pump_speed.likely, 'rotational_speed')}) the limit is "
        why += f"{end.binding.label}{_note(end.binding)}. "
    why += "Never zero: a pump that creeps is neither oiled nor cooled, and a motor that seems to stand can start."
    return Setting(
        "lowest_frequency", "limits", "Lowest frequency", value=value, kind="frequency", low=low, high=train.slowest,
        why=why, sources=("practice",), state=_state(train, end.binding if end else None),
    )  # fmt: skip


def highest_frequency(train: OneTrain) -> Setting:
    """Return the setting of the highest frequency."""
    low, high = ends_inwards(train.window)
    if low is None or high is None:
        return _no_window(train, "highest_frequency", "Highest frequency", train.fastest)
    own = _own(train, "maximum_frequency", "full")
    end, why = train.window.highest, ""
    if own is not None and own > high + 1e-9:
        why = f"Told: {own:g} Hz, which is too high. "
    if end is not None and end.binding is not None:
        why += f"Above {high:g} Hz ({train.say(end.pump_speed.likely, 'rotational_speed')}) the limit is "
        why += f"{end.binding.label}{_note(end.binding)}. "
    if train.fastest > 1.001 * train.base_frequency:
        why += f"Above {train.base_frequency:g} Hz the motor has less torque to give. "
    why += "Set it in the drive, not at the knob: a knob gets turned."
    bound = high if end is not None and end.binding is not None else None
    return Setting(
        "highest_frequency", "limits", "Highest frequency", value=train.fastest, kind="frequency", low=None,
        high=bound, why=why, sources=("practice",), state=_state(train, end.binding if end else None),
    )  # fmt: skip


def _own(train: OneTrain, of_drive: str, of_control: str) -> float | None:
    """What the drive is set to, or the speed that is used, where either is told. [Hz]"""
    found = train.given("drive", of_drive)
    return train.given("control", of_control) if found is None else found


def _no_window(train: OneTrain, id_: str, what: str, value: float) -> Setting:
    return Setting(
        id_, "limits", what, value=value, kind="frequency", state="measure first",
        why="No speed meets every limit: see the speed card. This is only what was told or is usual; settle the limits "
        "first.",
    )  # fmt: skip


def _note(limit: Limit) -> str:
    return f" ({limit.note})" if limit.note else ""


def _state(train: OneTrain, binding: Limit | None) -> State:
    entries = binding.entries if binding is not None else ()
    return train.known(*entries)
