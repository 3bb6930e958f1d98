"""A year of the plant's work: air made and energy taken, by its days, or by its hours and a guess of the load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import BadRequest
from airfettle.plant.whole import OwnersPlant
from airfettle.quantity import drawn, read_span
from airfettle.quantity.clock import read_hours
from airfettle.studies.choosing.delivery import Running
from airfettle.studies.day.answers import day_answers
from airfettle.studies.day.days import Days
from airfettle.studies.day.many import run_many
from airfettle.studies.day.prepared import WEEK, YEAR, prepare_plant
from airfettle.studies.draw import Draw, first_rows

Array = NDArray[np.float64]

WEEKS = 16
"""Weeks a plant is run for to learn its year, each by a chance of its own. [-]"""
LOADED = "20..60 %"
"""Share of the hours switched on in which the pump makes air, where no uses are told. [-]  Source: practice."""
HOURS = 40.0 / 168.0
"""Share of the week switched on, where no hours are told: a working week of 40 hours. [-]  Source: practice."""


@dataclass(frozen=True)
class WorkingYear:
    """A year of work, each of shape (rows,).

    Attributes
    ----------
    on_time : ndarray
        Time switched on. [s]
    air : ndarray
        Air made, as volume at the intake. [m3]
    energy : ndarray
        Electricity the plant takes for it. [J]
    basis : str
        What it rests on, in words.
    by_days : bool
        It comes from running the plant through its weeks.
    """

    on_time: Array
    air: Array
    energy: Array
    basis: str
    by_days: bool


def working_year(
    told: OwnersPlant, *, draw: Draw, running: Running, days: Days | None = None, seed: int = 1
) -> WorkingYear:
    """Return a year of the plant's work.

    Parameters
    ----------
    told : OwnersPlant
        As the owner's file has it. [spans]
    draw : Draw
        The plant drawn. [SI]
    running : Running
        What it does at full speed and cut-out. [SI]
    days : Days or None
        The plant run through whole weeks; None runs some where uses are told. [SI]
    seed : int
        Of the chance. [-]

    Returns
    -------
    WorkingYear
        [SI]
    """
    if days is None or days.tally.length < WEEK:
        days = _weeks(draw, seed=seed) if told.use else None
    if days is not None and float(np.sum(days.answers.loaded_time)) > 0.0:
        return _by_days(days, draw=draw, running=running)
    return _by_hours(told, draw=draw, running=running, seed=seed)


def _weeks(draw: Draw, *, seed: int) -> Days | None:
    """Run some weeks; None where there is no receiver, or more uses than a day can hold."""
    try:
        prepared = prepare_plant(first_rows(draw, rows=WEEKS))
    except BadRequest:
        return None
    tally = run_many(prepared, paths=range(WEEKS), seed=seed, start=0.0, length=WEEK)
    return Days(prepared, tally, day_answers(prepared, tally), (), None, seed)


def _by_days(days: Days, *, draw: Draw, running: Running) -> WorkingYear:
    """Weeks are fewer than rows: row n takes the weeks of path n, over and over."""
    a, times = days.answers, YEAR / days.tally.length

    def of_rows(values: Array) -> Array:
        return np.asarray(np.resize(values, draw.rows))

    air = of_rows(a.delivered * times) / running.density
    basis = f"{len(days.tally.paths)} weeks of the tools told, run through"
    return WorkingYear(of_rows(a.on_time * times), air, of_rows(a.energy * times), basis, by_days=True)


def _by_hours(told: OwnersPlant, *, draw: Draw, running: Running, seed: int) -> WorkingYear:
    share = read_span(LOADED, kind="fraction", known="assumed")
    assert share is not None
    loaded = np.broadcast_to(drawn(share, path="choosing.loaded_share", rows=draw.rows, seed=seed), (draw.rows,))
    hours = told.control.hours if told.control is not None and "hours" in told.control.model_fields_set else ""
    open_share = read_hours(hours).open_share() if hours else HOURS
    on = np.full(draw.rows, open_share * YEAR)
    guess = "" if hours else ", as no hours are told"
    basis = f"{open_share * 168.0:.3g} hours a week{guess}, making air in {LOADED} of them"
    return WorkingYear(on, loaded * on * running.air, loaded * on * running.power, basis, by_days=False)
