"""The belts of each pair: arc, length, what one belt carries, and which belt to ask for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle import tables
from airfettle.parts.belt import belt_length, centre_distance, stock_lengths, wrap_angle
from airfettle.parts.belt_rating import arc_factor, length_factor, power_per_belt, rated_power, ratio_factor
from airfettle.parts.sheave import INCH
from airfettle.plant.belt import Belt
from airfettle.studies.sheaves.pairs import Pairs
from airfettle.studies.sheaves.points import Points

Array = NDArray[np.float64]

RATED_AS = {"A": "A", "AX": "AX", "B": "B", "BX": "BX", "3V": "3V", "SPA": "A", "SPB": "B"}
"""Section -> the section by whose published rating it is judged; narrow SPA and SPB carry more than A and B."""
HOURS = 8.0
"""Hours of running in a day that belts are sized for. [h]  Source: practice."""
LEAST_WRAP = float(np.radians(120.0))
"""Least arc of contact on the smaller sheave. [rad]  Source: practice."""


@dataclass(frozen=True)
class Belts:
    """The belts of each pair, shape (draw or 1, pair, 1).

    Attributes
    ----------
    each : ndarray or None
        Power one belt carries; None where no rating is known for the section. [W]
    wrap : ndarray or None
        Arc on the smaller sheave; None where the distance between shafts is not told. [rad]
    length, nearest, shift : ndarray or None
        At likely values, shape (pair,): length asked for, the nearest one sold, and how much further apart that
        wants the shafts. [m]
    names : tuple of str
        What the nearest belts are called.
    """

    each: Array | None
    wrap: Array | None
    length: Array | None
    nearest: Array | None
    shift: Array | None
    names: tuple[str, ...]


def belts(belt: Belt[Array], *, section: str, pairs: Pairs, points: Points) -> Belts:
    """Return the belts of each pair.

    Parameters
    ----------
    belt : Belt
        As drawn. [SI]
    section : str
        Belt section. [text]
    pairs, points : Pairs, Points
        Sheaves and wheels, and where they run. [SI]

    Notes
    -----
    Where the distance between shafts is not told, arc and length of the rating are those of shafts one wheel
    apart, or one motor sheave where that is larger.
    """
    small = np.minimum(pairs.motor_datum, pairs.wheel_datum)
    large = np.maximum(pairs.motor_datum, pairs.wheel_datum)
    between = large if belt.centre_distance is None else np.maximum(belt.centre_distance, 0.5 * (small + large))
    wrap = wrap_angle(small_diameter=small, large_diameter=large, centre_distance=between)
    length = belt_length(small_diameter=small, large_diameter=large, centre_distance=between)
    each = _each(section, pairs=pairs, points=points, wrap=wrap, length=length)
    if belt.centre_distance is None:
        return Belts(each, None, None, None, None, ("",) * pairs.ratio.shape[1])
    likely = length[0, :, 0]
    sold, names = sold_belts(section)
    at = np.argmin(np.abs(sold[None, :] - likely[:, None]), axis=1)
    apart = centre_distance(
        belt_length=sold[at], small_diameter=small[0, :, 0], large_diameter=large[0, :, 0]
    )  # fmt: skip
    shift = apart - np.broadcast_to(between, length.shape)[0, :, 0]
    return Belts(each, wrap, likely, sold[at], shift, tuple(names[i] for i in at))


def _each(section: str, *, pairs: Pairs, points: Points, wrap: Array, length: Array) -> Array | None:
    """Power one belt carries. [W]"""
    known = RATED_AS.get(section)
    if known is None:
        return None
    motor_small = pairs.motor_pitch <= pairs.wheel_pitch
    rated = rated_power(
        small_pitch=np.minimum(pairs.motor_pitch, pairs.wheel_pitch),
        small_speed=np.where(motor_small, points.motor_speed, points.pump_speed),
        ratio_factor=ratio_factor(speed_ratio=pairs.wheel_pitch / pairs.motor_pitch, section=known), section=known,
    )  # fmt: skip
    return power_per_belt(
        rated_power=rated, arc_factor=arc_factor(wrap_angle=wrap),
        length_factor=length_factor(belt_length=length, section=known),
    )  # fmt: skip


def sold_belts(section: str) -> tuple[Array, tuple[str, ...]]:
    """Return the lengths a section is sold in, datum (3V: effective), and what they are called. [m]"""
    if section == "3V":
        inches = tables.load("belt_narrow_lengths").numbers("length")
        return inches * INCH, tuple(f"3V{10 * size:.0f}" for size in inches)
    lengths = stock_lengths(section=section)
    if section in ("A", "AX", "B", "BX"):
        table = tables.load("belt_datum_lengths")
        sizes = table.numbers("designation")[~np.isnan(table.numbers(section[0]))]
        return lengths, tuple(f"{section}{size:.0f}" for size in sizes)
    return lengths, tuple(f"{section} {1e3 * size:.0f}" for size in lengths)
