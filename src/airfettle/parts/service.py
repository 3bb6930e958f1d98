"""Care: which items of a plant are due after how much running, how many starts or how many days."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables

NEVER = 1e12
"""Stands for an interval that there is not. [s], or [-] for starts"""
HOUR, DAY = 3600.0, 86_400.0
"""[s]"""
OILED = ("splash", "pressure")
"""Ways in which a pump with oil in its crankcase is oiled. [text]"""
WITHOUT_KNOWING = "splash"
"""How a pump is taken to be oiled where nobody told: the more care. [text]"""


@dataclass(frozen=True)
class ServiceItem:
    """One thing to look at or renew.

    Attributes
    ----------
    name, do : str
        What, and how. [text]
    running : float
        Running time after which it is due; NEVER where running does not wear it. [s]
    starts : float
        Starts after which it is due; NEVER where starts do not. [-]
    calendar : float
        Time by the calendar after which it is due; NEVER where that does not. [s]
    """

    name: str
    do: str
    running: float
    starts: float
    calendar: float


@dataclass(frozen=True)
class ServiceDue:
    """When an item is due, by each of its intervals, by the calendar.

    Attributes
    ----------
    first : ndarray
        Whichever comes first. [s]
    by_running, by_starts, by_calendar : ndarray
        By each alone; NEVER where it does not count. [s]
    """

    first: NDArray[np.float64]
    by_running: NDArray[np.float64]
    by_starts: NDArray[np.float64]
    by_calendar: NDArray[np.float64]


def service_items(lubrication: str, *, fitted: Collection[str]) -> tuple[ServiceItem, ...]:
    """Return the items that a pump and what is fitted to it need.

    Parameters
    ----------
    lubrication : str
        ``splash``, ``pressure`` or ``oil-free``; anything else is taken for WITHOUT_KNOWING. [text]
    fitted : collection of str
        Of ``belt``, ``relief valve``, ``receiver``, ``drain by hand``, ``separator``, ``filter``, ``drive`` and
        ``no drive``, those that are there. [text]

    Returns
    -------
    tuple of ServiceItem
        In the order of the table. [SI]

    Notes
    -----
    Valid: habit, not measurement; the makers' sheets and the law for vessels come first, and dust, heat and wet air
    ask for shorter intervals.

    References
    ----------
    [practice] service_intervals
    """
    oiled = lubrication if lubrication in (*OILED, "oil-free") else WITHOUT_KNOWING
    there = {"any", *fitted}
    wanted = {"any", oiled} | ({"oiled"} if oiled in OILED else set())
    table = tables.load("service_intervals")
    words = [table.words(name) for name in ("item", "do", "lubrication", "fitted")]
    numbers = [
        np.nan_to_num(table.numbers(name) * unit, nan=NEVER).tolist()
        for name, unit in (("running hours", HOUR), ("starts", 1.0), ("days", DAY))
    ]
    return tuple(
        ServiceItem(name, do, running, starts, calendar)
        for name, do, kind, part, running, starts, calendar in zip(*words, *numbers, strict=True)
        if kind in wanted and part in there
    )


def service_due(item: ServiceItem, *, running_share: ArrayLike, start_rate: ArrayLike) -> ServiceDue:
    """Return when an item is due that has just been seen to.

    Parameters
    ----------
    item : ServiceItem
        What is due after how much. [SI]
    running_share : array_like
        Share of all time that the pump turns. [-]
    start_rate : array_like
        Starts in each second of all time. [1/s]

    Returns
    -------
    ServiceDue
        Times by the calendar. [s]

    Notes
    -----
    Interval over share or rate; the least of the three.  Valid: use that goes on alike; a pump that stands all summer
    reads too soon by running, and is then due by the calendar.

    References
    ----------
    [physics]
    """
    share, rate = np.broadcast_arrays(
        np.asarray(running_share, dtype=np.float64), np.asarray(start_rate, dtype=np.float64)
    )
    running = np.full(share.shape, NEVER) if item.running >= NEVER else _until(item.running, share)
    starts = np.full(share.shape, NEVER) if item.starts >= NEVER else _until(item.starts, rate)
    calendar = np.full(share.shape, item.calendar)
    return ServiceDue(np.minimum(np.minimum(running, starts), calendar), running, starts, calendar)


def _until(interval: float, rate: NDArray[np.float64]) -> NDArray[np.float64]:
    """An interval over the rate at which it is used up; NEVER where nothing uses it up."""
    return np.minimum(interval / np.maximum(rate, interval / NEVER), NEVER)
