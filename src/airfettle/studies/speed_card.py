"""What one train gives at each frequency between the ends of its safe window: the numbers of the card by its knob."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from airfettle.studies.bands import Band
from airfettle.studies.completion.whole import PlantNumbers, complete
from airfettle.studies.draw import Draw
from airfettle.studies.limits.declared import Limit
from airfettle.studies.rating import RatedPoint, asked_frequencies, rate
from airfettle.studies.speed_window import LimitRange, SpeedWindow

Array = NDArray[np.float64]

NAMES = ("low", "quiet", "full")
"""Speeds an owner may name, slowest first."""
MOST_MARKS = 11
"""Frequencies a card has room for. [-]"""
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0, 20.0)
"""Steps between the marks of a card. [Hz]"""
MOSTLY = 0.99
"""Share of the draw from which a motor counts as holding a point. [-]"""
TENTH = 0.1
"""Frequencies are set to this. [Hz]"""


@dataclass(frozen=True)
class NamedSpeed:
    """One speed by its name: as told or taken by default, and as it is to be set inside the window. [Hz]

    Attributes
    ----------
    name : str
        low, quiet or full; two joined where both come to the same setting.
    asked, frequency : float
        [Hz]
    told : bool
        The owner named it.
    """

    name: str
    asked: float
    frequency: float
    told: bool


@dataclass(frozen=True)
class CardPoint:
    """One frequency of a card, receiver at cut-out.

    Attributes
    ----------
    frequency : float
        [Hz]
    names : tuple of str
        Speeds set to it.
    pump_speed, delivered_air, motor_current, supply_current, sound_level : Band
        [1/s] [m3/s] [A] [A] [dBA]
    runs_share : float
        Share of the draw in which the motor holds it at all. [-]
    """

    frequency: float
    names: tuple[str, ...]
    pump_speed: Band
    delivered_air: Band
    motor_current: Band
    supply_current: Band
    sound_level: Band
    runs_share: float


@dataclass(frozen=True)
class SpeedCard:
    """The card of one train.

    Attributes
    ----------
    train : str
        Its name; empty in a plant with one.
    direct : bool
        The motor hangs on the line: one speed.
    points : tuple of CardPoint
        Slowest first.
    speeds : tuple of NamedSpeed
        Speeds the owner uses; empty on the line.
    lowest, highest : float or None
        Ends of the safe window, rounded inwards; None where no speed meets every limit. [Hz]
    low_end, high_end : Limit or None
        What ends it there; None where nothing does as far as was looked, or the drive's own setting.
    low_assumed, high_assumed : bool
        That limit rests on what nobody told.
    beyond_low, beyond_high : tuple of LimitRange
        Every limit that ends at or beyond that end, nearest first.
    nowhere : tuple of LimitRange
        Limits that no speed meets.
    gauge : float
        Receiver pressure of the numbers, gauge. [Pa]
    warnings : tuple of str
        What is said with the numbers.
    """

    train: str
    direct: bool
    points: tuple[CardPoint, ...]
    speeds: tuple[NamedSpeed, ...]
    lowest: float | None
    highest: float | None
    low_end: Limit | None
    high_end: Limit | None
    low_assumed: bool
    high_assumed: bool
    beyond_low: tuple[LimitRange, ...]
    beyond_high: tuple[LimitRange, ...]
    nowhere: tuple[LimitRange, ...]
    gauge: float
    warnings: tuple[str, ...]


def speed_cards(
    draw: Draw, *, windows: Sequence[SpeedWindow], numbers: PlantNumbers | None = None
) -> tuple[SpeedCard, ...]:
    """Return the card of every train.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    windows : sequence of SpeedWindow
        One for each train, from ``speed_windows``. [SI]
    numbers : PlantNumbers or None
        The plant with its gaps filled, where that is at hand. [SI]

    Returns
    -------
    tuple of SpeedCard
        Each with its numbers at cut-out, where amps are highest and delivery is least. [SI]

    Raises
    ------
    AirfettleError
        Entries contradict each other so far that nothing can be computed.
    """
    numbers = complete(draw) if numbers is None else numbers
    gauge = float(np.ravel(numbers.cut_out)[0]) - float(draw.barometer[0, 0, 0])
    speeds = [named_speeds(draw, numbers, window, place=place) for place, window in enumerate(windows)]
    marks = [_marks(window, some) for window, some in zip(windows, speeds, strict=True)]
    every = sorted({hertz for some in marks for hertz in some})
    rated = {p.frequency: p for p in rate(draw, frequencies=every, gauge_pressures=(gauge,)).points}
    only = next(iter(rated.values()))  # a plant all on the line is rated at its mains, whatever was asked
    return tuple(
        _card(draw, window, some, [(hertz, rated.get(hertz, only)) for hertz in wanted], gauge)
        for window, some, wanted in zip(windows, speeds, marks, strict=True)
    )


def named_speeds(
    draw: Draw, numbers: PlantNumbers, window: SpeedWindow, *, place: int
) -> tuple[NamedSpeed, ...]:  # fmt: skip
    """Return the speeds an owner uses, moved into the window where they lie outside; none on the line. [Hz]

    Notes
    -----
    Speeds nobody told are left out, but for full, and for quiet where none but full is told.  Full is the drive's
    highest frequency or the motor's base frequency where nothing tells it.
    """
    if window.direct:
        return ()
    low, quiet, full = asked_frequencies(draw, numbers, place=place)
    control = draw.plant.control
    told = {name: getattr(control, name) is not None for name in NAMES}
    asked = {"low": low, "quiet": quiet, "full": full}
    names = [n for n in NAMES if told[n] or n == "full" or (n == "quiet" and not told["low"])]
    found: list[NamedSpeed] = []
    for name in names:
        hertz = moved_inside(asked[name], window)
        if found and abs(found[-1].frequency - hertz) < TENTH:
            last = found.pop()
            name = f"{last.name} and {name}"
        found.append(NamedSpeed(name, asked[name.rpartition(" ")[2]], hertz, told[name.rpartition(" ")[2]]))
    return tuple(found)


def moved_inside(hertz: float, window: SpeedWindow) -> float:
    """Return a frequency, or the nearest one inside the window, rounded inwards; unmoved where there is none. [Hz]"""
    lowest, highest = ends_inwards(window)
    if lowest is None or highest is None or lowest <= hertz <= highest:
        return hertz
    return min(max(hertz, lowest), highest)


def ends_inwards(window: SpeedWindow) -> tuple[float | None, float | None]:
    """Return the window's ends, the lower rounded up and the upper rounded down to a tenth. [Hz]"""
    if window.lowest is None or window.highest is None:
        return None, None
    low = ceil(window.lowest.frequency / TENTH - 1e-6) * TENTH
    high = floor(window.highest.frequency / TENTH + 1e-6) * TENTH
    return (round(low, 1), round(high, 1)) if low <= high else (None, None)


def _shown_ends(window: SpeedWindow, speeds: Sequence[NamedSpeed]) -> tuple[float | None, float | None]:
    """Ends the card shows: the window's, or the speeds used where nothing ended it as far as was looked. [Hz]"""
    lowest, highest = ends_inwards(window)
    if lowest is None or highest is None or not speeds:
        return lowest, highest
    assert window.lowest is not None  # both ends are there
    assert window.highest is not None
    if window.lowest.binding is None:
        lowest = max(lowest, min(s.frequency for s in speeds))
    if window.highest.binding is None:
        highest = min(highest, max(s.frequency for s in speeds))
    return lowest, highest


def _marks(window: SpeedWindow, speeds: Sequence[NamedSpeed]) -> tuple[float, ...]:
    """Frequencies of a card: those set, the window's ends, and round ones between them. [Hz]"""
    if window.direct:
        return (window.looked[0],)
    must = [s.frequency for s in reversed(speeds)]
    must += [hertz for hertz in _shown_ends(window, speeds) if hertz is not None]
    low, high = min(must), max(must)
    least = (high - low) / (MOST_MARKS + 1)
    step = next((s for s in STEPS if (high - low) / s <= MOST_MARKS - 3), STEPS[-1])
    round_ones = [step * n for n in range(ceil(low / step), floor(high / step) + 1)]
    found: list[float] = []
    for hertz in (*must, *round_ones):
        apart = TENTH if hertz in must[: len(speeds)] else least
        if all(abs(hertz - other) >= apart - 1e-9 for other in found):
            found.append(hertz)
    return tuple(sorted(found))


def _card(
    draw: Draw, window: SpeedWindow, speeds: tuple[NamedSpeed, ...], marks: Sequence[tuple[float, RatedPoint]],
    gauge: float,
) -> SpeedCard:  # fmt: skip
    lowest, highest = (None, None) if window.direct else _shown_ends(window, speeds)
    held = [r for r in window.ranges if not r.nowhere]
    below = sorted((r for r in held if r.lowest is not None), key=lambda r: -(r.lowest or 0.0))
    above = sorted((r for r in held if r.highest is not None), key=lambda r: r.highest or 0.0)
    warnings = dict.fromkeys(word for _, p in marks for word in p.notices.get("delivered_air", ()))
    low_end, high_end = (end.binding if end else None for end in (window.lowest, window.highest))
    return SpeedCard(
        train=window.train, direct=window.direct, points=tuple(_point(h, p, window.train, speeds) for h, p in marks),
        speeds=speeds, lowest=lowest, highest=highest,
        low_end=low_end, high_end=high_end, low_assumed=_assumed(draw, low_end, window.train),
        high_assumed=_assumed(draw, high_end, window.train),
        beyond_low=tuple(below), beyond_high=tuple(above), nowhere=window.nowhere, gauge=gauge,
        warnings=tuple(warnings),
    )  # fmt: skip


def _assumed(draw: Draw, limit: Limit | None, train: str) -> bool:
    """Whether none of a limit's own entries is told; a guess is none."""
    if limit is None or not limit.entries:
        return False
    paths = [path for entry in limit.entries for path in (entry, f"train.{train}.{entry}") if path in draw.spans]
    return all(path in draw.assumed or draw.spans[path].known in ("assumed", "guess") for path in paths)


def _point(hertz: float, rated: RatedPoint, train: str, speeds: Sequence[NamedSpeed]) -> CardPoint:
    answers = rated.trains.get(train, rated.answers) if rated.trains else rated.answers
    names = tuple(s.name for s in speeds if abs(s.frequency - hertz) < 1e-9)
    return CardPoint(
        frequency=hertz, names=names, pump_speed=answers["pump_speed"], delivered_air=answers["delivered_air"],
        motor_current=answers["motor_current"], supply_current=answers["supply_current"],
        sound_level=answers["sound_level"], runs_share=rated.runs_share,
    )  # fmt: skip
