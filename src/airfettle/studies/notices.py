"""What to know when reading an answer at one point: where a source's range ends, or the plant cannot be there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.instant.state import Instant, TrainState

Array = NDArray[np.float64]
FEW = 0.01
"""Share of the draw from which a plant that cannot run is spoken of. [-]"""
SOME = 0.05
"""Share of the draw from which an overload is spoken of. [-]"""
MOST = 0.5
"""Share of the draw from which an equation's range is spoken of. [-]"""
HARDLY = 0.03
"""Volumetric efficiency below which a pump leaks what it draws and does not pump up. [-]"""
WHOLE_RISE = 0.2
"""Speed fluctuation beyond which its equation does not hold. [-]  Source: airfettle-equations (e)."""

_PUMP = ("delivered_air", "volumetric_efficiency", "specific_power", "discharge_temperature")


@dataclass(frozen=True)
class Check:
    """Answers concerned, share of the draw from which, what is asked of a train, and the words."""

    answers: tuple[str, ...]
    least: float
    asked: Callable[[TrainState], NDArray[np.bool_]]
    words: str


CHECKS = (
    Check(("*",), FEW, lambda t: stalled(t),
          "the motor cannot hold this point in {:.0%} of the draw; numbers are of the rest"),
    Check(("motor_torque_share",), SOME, lambda t: np.asarray(t.motor_torque_share > 1.0),
          "in {:.0%} of the draw that is more torque than the motor may give for long"),
    Check(("drive_output_share", "motor_current"), SOME, lambda t: _over_drive(t),
          "in {:.0%} of the draw that is more amps than the drive may give"),
    Check(("pump_speed",), SOME, lambda t: np.asarray(t.pump_speed > t.maximum_pump_speed),
          "in {:.0%} of the draw the pump turns faster than its highest speed, as told or assumed"),
    Check(_PUMP, FEW, lambda t: np.asarray(t.volumetric_efficiency < HARDLY),
          "the pump leaks what it draws in {:.0%} of the draw: it does not pump up to this pressure"),
    Check(_PUMP, MOST, lambda t: np.abs(t.pump_speed / t.rated_pump_speed - 0.85) > 0.45,
          "the pump runs outside 0.4 to 1.3 of its rated speed, where its equations are less sure"),
    Check(_PUMP, MOST, lambda t: _ratio(t) < 2.0,
          "a stage's pressure ratio is below 2, where the pump's equations are less sure"),
    Check(_PUMP, MOST, lambda t: _ratio(t) > 13.0,
          "a stage's pressure ratio is over 13, where the pump's equations are less sure"),
    Check(("motor_current",), MOST, lambda t: np.abs(t.motor_torque / t.rated_motor_torque - 0.85) > 0.55,
          "motor torque is outside 0.3 to 1.4 of rated, where its amps are less sure"),
    Check(("speed_fluctuation",), MOST, lambda t: np.asarray(t.speed_fluctuation > WHOLE_RISE),
          "the speed swings by over 20 % within a turn, beyond what the equation is good for"),
)  # fmt: skip
"""Asked of every train at every point; ``*`` stands for every answer."""


def _over_drive(train: TrainState) -> NDArray[np.bool_]:
    """Where the motor's amps pass what the drive may put out; nowhere where that is not known."""
    share = train.drive_output_share
    return np.zeros((1, 1, 1), dtype=bool) if share is None else np.asarray(share > 1.0)


def stalled(train: TrainState) -> NDArray[np.bool_]:
    """Return where a train's motor cannot hold its point."""
    return np.asarray(train.pull_out_share > 1.0)


def _ratio(train: TrainState) -> Array:
    """Pressure ratio of the last stage. [-]"""
    before = train.intake_pressure
    if train.interstage_absolute_pressure is not None:
        before = train.interstage_absolute_pressure
    return np.asarray((train.discharge_pressure + train.barometer) / before)


def notices_at(
    state: Instant, *, shape: tuple[int, int, int], place: int, names: tuple[str, ...]
) -> dict[str, tuple[str, ...]]:
    """Return answer id -> what to know, at one point of an instant; shape is (draw, speed, pressure)."""
    found: dict[str, list[str]] = {}
    for check in CHECKS:
        share = max(float(np.mean(flat(check.asked(train), shape)[:, place])) for train in state.trains)
        if share >= check.least:
            for name in names if check.answers == ("*",) else check.answers:
                found.setdefault(name, []).append(check.words.format(share))
    return {name: tuple(words) for name, words in found.items()}


def flat(value: NDArray[Any], shape: tuple[int, int, int]) -> NDArray[Any]:
    """Return (draw, point), pressure running fastest, of an array with axes (draw, speed, pressure)."""
    rows = value.shape[0] if value.ndim == 3 else 1
    return np.broadcast_to(value, (rows, *shape[1:])).reshape(rows, -1)
