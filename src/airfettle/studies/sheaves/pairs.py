"""Pairs of a motor sheave and a wheel: their diameters, their ratio, and the ratio with the belt at its fastest."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from airfettle import tables
from airfettle.parts.sheave import (
    INCH,
    datum_diameter,
    outside_diameter,
    pitch_diameter,
    riding_diameter,
    stock_sheaves,
)
from airfettle.plant.belt import Belt
from airfettle.plant.part import entry_of
from airfettle.quantity import drawn, read_span
from airfettle.studies.completion.pumping import GROOVES
from airfettle.studies.draw import Draw

Array = NDArray[np.float64]

SERIES = {"A": "A inch", "AX": "A inch", "B": "B inch", "BX": "B inch", "Z": "ISO", "SPZ": "ISO", "SPA": "ISO",
          "SPB": "ISO"}  # fmt: skip
"""Belt section -> series of stock sheaves; 3V has a list of its own."""
TRIED = ("A", "B", "3V")
"""Sections tried where none is told."""


@dataclass(frozen=True)
class Pairs:
    """Motor sheaves on a wheel, shape (draw or 1, pair, 1). [m] [-]

    Attributes
    ----------
    motor_outside, motor_datum, motor_pitch : ndarray
        Diameters of the motor sheave. [m]
    wheel_outside, wheel_datum, wheel_pitch : ndarray
        Diameters of the pump's wheel. [m]
    ratio, fastest_ratio : ndarray
        Motor turns for one pump turn without creep, as drawn, and with the belt where the pump turns fastest. [-]
    """

    motor_outside: Array
    motor_datum: Array
    motor_pitch: Array
    wheel_outside: Array
    wheel_datum: Array
    wheel_pitch: Array
    ratio: Array
    fastest_ratio: Array


def stock(section: str) -> Array:
    """Return the outside diameters of the sheaves sold for a section, rising. [m]"""
    if section == "3V":
        return tables.load("sheave_stock_narrow").numbers("3V") * INCH
    return outside_diameter(datum_diameter=stock_sheaves(series=SERIES[section]), groove=GROOVES[section])


def pairs(belt: Belt[Array], *, section: str, motor: Array, wheel: Array | None = None, doubt: Array) -> Pairs:
    """Return motor sheaves paired with the pump's wheel, or with others.

    Parameters
    ----------
    belt : Belt
        As drawn, its wheel told. [SI]
    section : str
        Belt section. [text]
    motor, wheel : ndarray
        Outside diameters, shape (draw or 1, pair, 1); None for the wheel that is there. [m]
    doubt : ndarray
        Where in the groove the belt runs, 0 at the datum to 1 at the outside. [-]

    Notes
    -----
    Ratios are those of pitch diameters where the wheel was told by its pitch diameter; else of the diameters the belt
    may ride on. A ratio read by tachometer stands for the wheel that is there: it is carried over by the motor sheaves.
    """
    groove, by_pitch = GROOVES[section], belt.diameters == "pitch"
    outside = wheel_there(belt, section=section) if wheel is None else wheel

    def riding(diameter: Array, share: Array | float) -> Array:
        if by_pitch:
            return pitch_diameter(outside_diameter=diameter, groove=groove)
        return np.asarray(riding_diameter(outside_diameter=diameter, groove=groove, share=share))

    def ratio(share: Array | float) -> Array:
        present = motor_there(belt, section=section)
        if wheel is None and belt.ratio is not None and present is not None:
            return np.asarray(belt.ratio * (riding(present, share) / riding(motor, share)))
        return np.asarray(riding(outside, share) / riding(motor, share))

    fastest = ratio(1.0) if by_pitch else np.minimum(ratio(0.0), ratio(1.0))
    return Pairs(
        motor, datum_diameter(outside_diameter=motor, groove=groove),
        pitch_diameter(outside_diameter=motor, groove=groove),
        outside, datum_diameter(outside_diameter=outside, groove=groove),
        pitch_diameter(outside_diameter=outside, groove=groove), ratio(doubt), fastest,
    )  # fmt: skip


def side_by_side(one: Pairs, other: Pairs) -> Pairs:
    """Return two sets of pairs as one."""
    joined = []
    for field in fields(Pairs):
        a, b = getattr(one, field.name), getattr(other, field.name)
        rows = max(a.shape[0], b.shape[0])
        spread = [np.broadcast_to(x, (rows, p.ratio.shape[1], 1)) for x, p in ((a, one), (b, other))]
        joined.append(np.concatenate(spread, axis=1))
    return Pairs(*joined)


def wheel_there(belt: Belt[Array], *, section: str) -> Array:
    """Return the outside diameter of the pump's wheel, which is told. [m]"""
    assert belt.pump_sheave is not None
    return _outside(belt.pump_sheave, belt, section)


def motor_there(belt: Belt[Array], *, section: str) -> Array | None:
    """Return the outside diameter of the present motor sheave, or None where it is not told. [m]"""
    return None if belt.motor_sheave is None else _outside(belt.motor_sheave, belt, section)


def _outside(told: Array, belt: Belt[Array], section: str) -> Array:
    if belt.diameters == "outside":
        return told
    return np.asarray(told - pitch_diameter(outside_diameter=0.0, groove=GROOVES[section]))


def groove_doubt(draw: Draw, *, place: int) -> Array:
    """Return where in the groove a train's belt runs: as drawn, or by the stream of its entry where it was not. [-]"""
    train = draw.plant.trains[place]
    assert train.belt is not None
    if train.belt.pitch_doubt is not None:
        return train.belt.pitch_doubt
    path = f"{_path(draw, place)}belt.pitch_doubt"
    entry = entry_of(Belt.model_fields["pitch_doubt"])
    assert entry is not None
    span = read_span(str(entry.default), kind=entry.kind, where=path, known="assumed")
    assert span is not None
    return drawn(span, path=path, rows=draw.rows, seed=draw.seed)[:, None, None]


def _path(draw: Draw, place: int) -> str:
    several = draw.plant.train
    if not several:
        return ""
    own = several[place].name or (str(place + 1) if len(several) > 1 else "")
    return f"train.{own}." if own else "train."
