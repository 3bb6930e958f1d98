"""The hours of a shop: one line of text to the windows of a week, or one clear error.

Readable: ``Mon-Fri 08:00-12:00 12:30-16:30, Sat 09:00-12:00``, ``Mon, Wed 18:00-22:00``, ``daily 08:00-17:00``,
``Fri-Mon 22:00-06:00`` (over midnight, into the next day), ``always``. Time is in seconds from Monday 00:00.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import UnreadableHours

DAY = 86_400.0
"""One day. [s]"""
WEEK = 604_800.0
"""One week. [s]"""
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
"""Days as they are shown."""
WANTED = "days and hours, such as 'Mon-Fri 08:00-12:00 12:30-16:30, Sat 09:00-12:00', 'daily 08:00-17:00' or 'always'"
LONGEST = 400
"""Hours of more characters than this are not read. [-]"""

_NAMES = {name: place for place, full in enumerate(("monday", "tuesday", "wednesday", "thursday", "friday", "saturday",
                                                    "sunday")) for name in (full, full[:3])}  # fmt: skip
_TIME = re.compile(r"([0-9]{1,2}):([0-9]{2})-([0-9]{1,2}):([0-9]{2})")
_TIMELIKE = re.compile(r"[0-9]")


@dataclass(frozen=True)
class Hours:
    """The hours of a week in which something goes on.

    Attributes
    ----------
    text : str
        As the owner wrote them. [text]
    windows : tuple of (float, float)
        Opening and closing, rising, none touching another, within one week. [s]
    """

    text: str
    windows: tuple[tuple[float, float], ...]

    def open_share(self) -> float:
        """Return the share of the week that is open. [-]"""
        return sum(close - start for start, close in self.windows) / WEEK

    def open_at(self, moment: float) -> bool:
        """Return whether a moment of the week lies in them. [s from Monday 00:00]"""
        return any(start <= moment < close for start, close in self.windows)

    def opened(self, start: float, *, length: float) -> NDArray[np.float64]:
        """Return the windows that lie in a stretch of time, cut at its ends.

        Parameters
        ----------
        start : float
            Beginning of the stretch, from the Monday 00:00 of any week. [s]
        length : float
            How long it is. [s]

        Returns
        -------
        ndarray
            Opening and closing, shape (windows, 2); a window over the end of a week is one window. [s]
        """
        weeks = np.arange(np.floor(start / WEEK), np.floor((start + length) / WEEK) + 1.0) * WEEK
        every = (weeks[:, None, None] + np.array(self.windows)[None, :, :]).reshape(-1, 2)
        every = np.clip(every, start, start + length)
        return _joined(every[every[:, 1] > every[:, 0]])


def read_hours(text: str, *, where: str = "") -> Hours:
    """Read the hours of a week.

    Parameters
    ----------
    text : str
        As the owner wrote them. [text]
    where : str
        File, line and key, for the error. [text]

    Returns
    -------
    Hours
        Windows in seconds from Monday 00:00. [s]

    Raises
    ------
    UnreadableHours
        One clear error; nothing is guessed.
    """
    clean = _cleaned(text)
    try:
        if len(clean) > LONGEST:
            raise _Doubt(f"at most {LONGEST} characters")
        every = [(0.0, WEEK)] if clean.lower() == "always" else list(_windows(clean))
    except _Doubt as doubt:
        shown = text if len(text) <= 60 else text[:57] + "..."
        raise UnreadableHours(read=repr(shown), where=where, wanted=WANTED, instead=str(doubt)) from None
    return Hours(clean, tuple((float(a), float(b)) for a, b in _joined(np.array(sorted(every)))))


def clock_text(seconds: float) -> str:
    """Return a time from Monday 00:00 as day and clock, such as ``Tue 14:05``. [text]"""
    within = round(seconds) % round(WEEK)
    day, rest = divmod(within, round(DAY))
    return f"{DAYS[day]} {rest // 3600:02d}:{rest % 3600 // 60:02d}"


class _Doubt(Exception):
    """What is not right about the text, in words for whoever wrote it."""


def _cleaned(text: str) -> str:
    for odd, plain in (("–", "-"), ("—", "-"), ("−", "-"), ("\u00a0", " ")):
        text = text.replace(odd, plain)
    return re.sub(r"\s*-\s*", "-", " ".join(text.split()))


def _windows(text: str) -> Iterator[tuple[float, float]]:
    """Yield the windows of each group of days with its hours, within one week, in the order of the text."""
    if re.search(r"^,|,\s*,|,$", text):
        raise _Doubt("take out the comma with nothing behind or before it")
    days: list[int] = []
    timed = True
    for word in text.replace(",", " ").split():
        if _TIMELIKE.match(word):
            if not days:
                raise _Doubt(f"say on which days: 'daily {word}', or 'Mon-Fri {word}'")
            yield from _on_days(word, days)
            timed = True
        else:
            days = _days(word) if timed else [*days, *_days(word)]
            timed = False
    if not timed:
        raise _Doubt(f"say from when to when: '{text} 08:00-16:30'")
    if not days:
        raise _Doubt("write something, or leave the line out")


def _days(word: str) -> list[int]:
    """Return the days a word means, 0 for Monday."""
    if word.lower() == "daily":
        return list(range(7))
    if word.lower() == "always":
        raise _Doubt("'always' stands alone")
    first, dash, last = word.lower().partition("-")
    for name in (first, last) if dash else (first,):
        if name not in _NAMES:
            raise _Doubt(f"{name!r} is no day: write {', '.join(DAYS)}, a range such as Mon-Fri, or daily")
    begin = _NAMES[first]
    count = (_NAMES[last] - begin) % 7 + 1 if dash else 1
    return [(begin + step) % 7 for step in range(count)]


def _on_days(word: str, days: list[int]) -> Iterator[tuple[float, float]]:
    """Yield one stretch of hours on each of its days; what runs over the end of the week begins the next."""
    begin, length = _stretch(word)
    for day in days:
        opens = day * DAY + begin
        closes = opens + length
        yield opens, min(closes, WEEK)
        if closes > WEEK:
            yield 0.0, closes - WEEK


def _stretch(word: str) -> tuple[float, float]:
    """Return when a stretch of hours begins in its day, and how long it is. [s]"""
    found = _TIME.fullmatch(word)
    if not found:
        raise _Doubt(f"{word!r} is no stretch of hours: write both ends on the 24-hour clock, such as '08:00-16:30'")
    a, b, c, d = (int(part) for part in found.groups())
    if b > 59 or d > 59 or a * 60 + b >= 1440 or c * 60 + d > 1440:
        raise _Doubt(f"{word!r}: hours go from 00:00 to 23:59, and an end may be 24:00")
    begin, end = (a * 60 + b) * 60.0, (c * 60 + d) * 60.0
    if begin == end:
        raise _Doubt(f"{word!r} has no length: all day is '00:00-24:00'")
    return begin, end - begin if end > begin else end + DAY - begin


def _joined(windows: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return rising windows with those that overlap or touch made one."""
    if not len(windows):
        return windows
    reach = np.maximum.accumulate(windows[:, 1])
    fresh = np.concatenate([[True], windows[1:, 0] > reach[:-1]])
    last = np.concatenate([np.flatnonzero(fresh)[1:] - 1, [len(windows) - 1]])
    return np.stack([windows[fresh, 0], reach[last]], axis=1)
