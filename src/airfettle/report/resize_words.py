"""The answer of other sizes in a sentence or two: does a bigger receiver cure it, or only more air?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, isfinite

from airfettle.drawings.charts.told import share_text
from airfettle.quantity import Units, plain
from airfettle.studies.day.resize import CurvePoint, Resized
from airfettle.studies.speed_window import SpeedWindow

GOOD = 0.999
"""Share of the tools' time from which the pressure counts as enough. [-]"""
HALF = 0.5
"""Share of the shortage that has to go for a size to be said to help. [-]"""
SURE = "in 19 of 20 chances"
AT_END = 0.05
"""How far past the end of a window a frequency counts as inside. [Hz]"""


@dataclass(frozen=True)
class Speeds:
    """Between which frequencies a plant may run, by its speed windows; None where no speed meets every limit.

    Attributes
    ----------
    lowest, highest : float or None
        [Hz]
    """

    lowest: float | None
    highest: float | None

    def allows(self, frequency: float) -> bool:
        """Return whether a frequency lies inside."""
        if self.lowest is None or self.highest is None:
            return False
        return bool(self.lowest - AT_END <= frequency <= self.highest + AT_END)


def speeds_of(windows: Sequence[SpeedWindow]) -> Speeds:
    """Return the frequencies that the windows of all trains on a drive have in common."""
    driven = [window for window in windows if not window.direct]
    lows = [w.lowest.frequency for w in driven if w.lowest is not None]
    highs = [w.highest.frequency for w in driven if w.highest is not None]
    if len(lows) < len(driven) or len(highs) < len(driven) or not driven or max(lows) > min(highs):
        return Speeds(None, None)
    return Speeds(float(max(lows)), float(min(highs)))


def computed(found: Resized) -> tuple[Resized, int]:
    """Return other sizes without those whose numbers broke down, and how many those were."""
    kept = [[p for p in points if _is_computed(p)] for points in (found.receiver, found.speed)]
    gone = len(found.receiver) + len(found.speed) - sum(map(len, kept))
    return Resized(tuple(kept[0]), tuple(kept[1]), found.length, found.paths), gone


def _is_computed(point: CurvePoint) -> bool:
    return all(isfinite(end) for band in point.answers.values() for end in (band.low, band.likely, band.high))


def enough(point: CurvePoint) -> float | None:
    """Return the share of the tools' time with enough pressure that 19 of 20 chances reach; None where no tool ran."""
    band = point.answers.get("enough_share")
    return None if band is None else band.low


def volume_text(point: CurvePoint, units: Units) -> str:
    """Return a receiver's volume, to the gallon or litre."""
    unit = 3.785411784e-3 if units == "US" else 1e-3
    return plain(round(point.value / unit) * unit, kind="volume", units=units)


def resize_headline(found: Resized, *, units: Units, speeds: Speeds) -> str:
    """Return the first thing said: what cures a shortage, if there is one."""
    own = next(point for point in found.receiver if point.own)
    share = enough(own)
    if share is None:
        return "No tool runs in the weeks that were run: nothing can run short."
    if share >= GOOD:
        return _not_needed(found, own, share, units)
    bigger = [point for point in found.receiver if point.value > own.value]
    has = f"the one there, {volume_text(own, units)}, only for {_share(share)}"
    for point in bigger:
        if (enough(point) or 0.0) >= GOOD:
            return f"A bigger receiver cures it: {volume_text(point, units)} keeps enough pressure for {_share(enough(point))} of tool time {SURE}, {has}."  # noqa: E501
    last = bigger[-1]
    gone = 1.0 - (1.0 - (enough(last) or 0.0)) / (1.0 - share)
    much = "helps, but does not cure it" if gone > HALF else "does not cure it"
    words = f"A bigger receiver {much}: {volume_text(last, units)} keeps enough pressure for {_share(enough(last))} of tool time {SURE}, {has}."  # noqa: E501
    return f"{words} {_more_air(found, speeds)}"


def _not_needed(found: Resized, own: CurvePoint, share: float, units: Units) -> str:
    """The receiver does; what a smaller and a larger one would change."""
    words = f"Neither a bigger receiver nor more air is needed: with {volume_text(own, units)} there is enough pressure for {_share(share)} of tool time {SURE}."  # noqa: E501
    smaller = [p for p in found.receiver if p.value < own.value and (enough(p) or 0.0) >= GOOD]
    starts = own.answers["starts_worst"].likely * 3600.0
    if smaller:
        less = smaller[0].answers["starts_worst"].likely * 3600.0
        words += f" {volume_text(smaller[0], units)} would do as well, with {less:.0f} starts in the busiest hour instead of {starts:.0f}."  # noqa: E501
    larger = next((p for p in found.receiver if p.value > 1.9 * own.value), None)
    if larger is not None:
        fewer = larger.answers["starts_worst"].likely * 3600.0
        words += f" {volume_text(larger, units)} would start it {fewer:.0f} times in the busiest hour instead of {starts:.0f}."  # noqa: E501
    return words


def _more_air(found: Resized, speeds: Speeds) -> str:
    """What a faster pump does, within the speed window."""
    if not found.speed:
        return "Only more air does: a larger pump or another motor sheave (airfettle sheaves FILE), or fewer tools at once."  # noqa: E501
    own = next(point for point in found.speed if point.own)
    if speeds.highest is None or own.value > speeds.highest + AT_END:
        return f"Only more air does, and {own.value:g} Hz is past a limit already (airfettle window FILE): a larger pump, or fewer tools at once."  # noqa: E501
    faster = [point for point in found.speed if point.value > own.value]
    allowed = [point for point in faster if speeds.allows(point.value)]
    for point in allowed:
        if (enough(point) or 0.0) >= GOOD:
            return f"More air does: at {point.value:g} Hz instead of {own.value:g} Hz there is enough for {_share(enough(point))} of it."  # noqa: E501
    if allowed:
        best = allowed[-1]
        return f"More air is needed, and {best.value:g} Hz, within every limit, gives enough for {_share(enough(best))} of it: a larger pump, or fewer tools at once."  # noqa: E501
    if faster:
        return "Only more air does, and faster than now it may not turn (airfettle window FILE): a larger pump, or fewer tools at once."  # noqa: E501
    return f"Only more air does, and {own.value:g} Hz is the highest its drive is set to: a larger pump or another motor sheave (airfettle sheaves FILE), or fewer tools at once."  # noqa: E501


def _share(share: float | None) -> str:
    """A share said so that it is never too good: rounded down to a tenth of a per cent."""
    value = share or 0.0
    return share_text(floor(value * 1000.0) / 1000.0) if value < 0.9999 else share_text(value)
