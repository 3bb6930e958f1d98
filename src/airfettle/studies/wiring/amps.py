"""The amps that wires, devices and switches of a train are chosen by, and where each comes from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.motor_class import table_current
from airfettle.parts.motor_protection import SLOW
from airfettle.plant.whole import Train
from airfettle.quantity import Span, Units, plain
from airfettle.studies.completion.power import PowerNumbers
from airfettle.studies.instant.state import TrainState
from airfettle.studies.wiring.wired import Wired

Array = NDArray[np.float64]

PRINTED = ("nameplate", "maker", "measured")
"""How a figure is known that stands in print or was read by an instrument: it is taken as it stands."""
NEAR_RATING = 1.1
"""A motor told to within this of a listed rating is that one: plates print listed ratings, memory spreads. [-]
Source: practice."""
HIGH_END = 95.0
"""Share of the draw below a figure that is not printed, in per cent. [-]"""


@dataclass(frozen=True)
class Chosen:
    """Amps that something is chosen by.

    Attributes
    ----------
    amps : float
        [A]
    by : str
        What they are, in words.
    sure : bool
        Read from a plate or a code's table for a plate's power, not computed or remembered.
    """

    amps: float
    by: str
    sure: bool


def told_span(wired: Wired, section: str, name: str) -> Span | None:
    """Return what the owner told of a quantity, or None."""
    path = f"{wired.path(section)}.{name}"
    return None if path in wired.draw.assumed else wired.draw.spans.get(path)


def figure(span: Span, rows: Array) -> float:
    """Return a figure as printed, or the high end of one that is not. [SI]"""
    return span.likely if span.known in PRINTED else high_end(rows)


def high_end(rows: Array) -> float:
    """Return the highest at any point, in nearly all of the draw. [SI]"""
    return float(np.percentile(_most(rows), HIGH_END))


def amps_text(amps: float, *, units: Units) -> str:
    """Return amps in words, to a tenth."""
    return plain(round(amps + 1e-9, 1), kind="current", units=units)


def _most(rows: Array) -> Array:
    """Return the highest at any point, for each row of the draw. [SI]"""
    values = np.asarray(rows, dtype=np.float64)
    return np.asarray(values.reshape(values.shape + (1,) * (3 - values.ndim)).max(axis=(1, 2)))


def nominal_voltage(train: Train[Array], power: PowerNumbers) -> Array:
    """Return the volts of a train's supply without their wander. [V]"""
    return np.asarray(power.supply_voltage / (1.0 if train.supply is None else train.supply.tolerance))


def table_amps(train: Train[Array], power: PowerNumbers, *, phases: int | None = None) -> Array:
    """Return the amps of a train's motor by the code's table, at its plate's or the supply's volts, the more of both.

    Parameters
    ----------
    train : Train
        As drawn. [SI]
    power : PowerNumbers
        The same as numbers. [SI]
    phases : int, optional
        Read the table of so many phases, not of the motor's. [-]

    Returns
    -------
    ndarray
        [A]

    Notes
    -----
    A 230 V motor on 208 V reads the 208 V column: it draws more for the same power.  A motor below 1200 rpm whose plate
    says more than the table is taken at its plate.

    References
    ----------
    [nec] tables 430.248 and 430.250, 430.6(A)(1)
    """
    motor, own = power.motor, train.motor
    of = phases or (1 if own is not None and own.phases == 1 else 3)
    rated = motor.power / NEAR_RATING
    found = [table_current(rated, voltage=volts, phases=of) for volts in (motor.voltage, nominal_voltage(train, power))]
    amps = np.maximum(*np.broadcast_arrays(*found))
    if own is not None and own.current is not None and float(np.median(motor.rated_speed)) < SLOW:
        amps = np.maximum(amps, own.current)
    return np.asarray(amps)


def motor_amps(wired: Wired, power: PowerNumbers) -> Chosen:
    """Return the amps that a motor's wires are chosen by: the code's table for US owners, else its plate's."""
    train = wired.draw.plant.trains[wired.place]
    told = told_span(wired, "motor", "power")
    if wired.units == "US":
        table = table_amps(train, power)
        printed = told is not None and told.known in PRINTED
        amps = float(np.ravel(table)[0]) if printed else high_end(table)  # row 0 is the plant as printed
        return Chosen(amps, "the motor's amps by the code's table", printed)
    plate = told_span(wired, "motor", "current")
    if plate is not None and train.motor is not None and train.motor.current is not None:
        return Chosen(figure(plate, train.motor.current), "the motor's amps by its plate", plate.known in PRINTED)
    return Chosen(high_end(power.motor.rated_current), "the motor's full-load amps, computed from its power", False)


def supply_amps(wired: Wired, power: PowerNumbers, *, state: TrainState) -> Chosen:
    """Return the amps that a train's supply wires are chosen by.

    Parameters
    ----------
    wired : Wired
        The train. [SI]
    power : PowerNumbers
        The same as numbers. [SI]
    state : TrainState
        At every point its settings reach. [SI]

    Returns
    -------
    Chosen
        The motor's on the line; a drive's input amps as told, or those it is computed to draw where they are more or
        nothing is told. [A]

    References
    ----------
    [nec] 430.22(A), 430.122(A)
    """
    train = wired.draw.plant.trains[wired.place]
    if not wired.on_drive:
        return motor_amps(wired, power)
    told = told_span(wired, "drive", "rated_input_current")
    if told is None or train.drive is None or train.drive.rated_input_current is None:
        words = "the most that the drive is computed to draw (its input amps are not told)"
        return Chosen(high_end(state.supply_current), words, False)
    plate = figure(told, train.drive.rated_input_current)
    drawn = float(np.median(_most(state.supply_current)))
    if drawn > plate:
        return Chosen(drawn, "the amps that the drive is computed to draw, above its own input amps", False)
    return Chosen(plate, "the drive's input amps by its plate", told.known in PRINTED)
