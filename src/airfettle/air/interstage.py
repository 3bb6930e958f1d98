"""Between two compressor stages: the pressure at which both pass the same air, and the water that stays behind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air import moist
from airfettle.air.constants import MASS_RATIO, R_DRY_AIR
from airfettle.air.saturation import log_pressure_slope
from airfettle.air.stage import Stage, Turn, energy_scale, turn

Feed = Literal["energy", "work"]
"""Which temperature of the first stage the intercooler is given: of the energy balance or of the work exponent."""

_BLOCK = 4096
_MOST_ROUNDS = 60
_SMALL_STEP = 1e-6  # Newton's next error is about its square

# ln p_ws at the triple point and at 200 degC, and the chord between them against 1/T, which lies under the curve.
_CHORD_START, _CHORD_SLOPE = (6.41617, 1.0 / 273.16), (6.41617 - 14.25682) / (1.0 / 273.16 - 1.0 / 473.15)


@dataclass(frozen=True)
class Between:
    """Two stages at one speed and what lies between and around them.

    Attributes
    ----------
    first, second : Stage
        The stages. [-]
    intake_pressure, discharge_pressure : ndarray
        Absolute line pressures of the whole machine. [Pa]
    intake_temperature, coolant_temperature : ndarray
        Of the intake, and of the air around the intercooler. [K]
    intake_humidity_ratio : ndarray
        Of the air the first stage takes. [-]
    effectiveness, loss : ndarray
        Of the intercooler: of cooling, and its pressure drop over interstage pressure. [-]
    feed : Feed
        Which temperature the intercooler is given. [text]
    """

    first: Stage
    second: Stage
    intake_pressure: NDArray[np.float64]
    discharge_pressure: NDArray[np.float64]
    intake_temperature: NDArray[np.float64]
    coolant_temperature: NDArray[np.float64]
    intake_humidity_ratio: NDArray[np.float64]
    effectiveness: NDArray[np.float64]
    loss: NDArray[np.float64]
    feed: Feed

    def first_turn(self, pressure: NDArray[np.float64], *, log_ratio: NDArray[np.float64] | None = None) -> Turn:
        """Return what the first stage does in a turn at an interstage pressure."""
        return turn(
            self.first,
            suction_line_pressure=self.intake_pressure,
            discharge_line_pressure=pressure,
            temperature=self.intake_temperature,
            humidity_ratio=self.intake_humidity_ratio,
            log_ratio=log_ratio,
        )

    def cooled(self, turn: Turn) -> NDArray[np.float64]:
        """Return the temperature after the intercooler."""
        hot = turn.discharge_temperature if self.feed == "energy" else turn.work_temperature
        return self.coolant_temperature + (1.0 - self.effectiveness) * (hot - self.coolant_temperature)

    def shape(self) -> tuple[int, ...]:
        """Return the shape of an answer."""
        return np.broadcast_shapes(*(np.shape(a) for a in _arrays(self)))

    def rows(self, part: slice, axes: int) -> Between:
        """Return the same for some rows of the first of so many axes."""
        return replace(
            self,
            **{f.name: _rows(getattr(self, f.name), part, axes) for f in fields(self) if f.name not in _STAGES},
            **{name: _stage_rows(getattr(self, name), part, axes) for name in _STAGES},
        )


_STAGES = ("first", "second")


def interstage_pressure(between: Between, *, guess: ArrayLike | None = None) -> NDArray[np.float64]:
    """Return the pressure between the stages at which the second takes just what the first delivers.

    Parameters
    ----------
    between : Between
        The two stages and their surroundings. [-]
    guess : array_like, optional
        An absolute pressure to start from, such as the answer at a near condition. [Pa]

    Returns
    -------
    ndarray
        Absolute pressure at the first stage's delivery, before the intercooler. [Pa]

    Notes
    -----
    m1(p) falls and m2(p) rises, so there is one root; Newton's method in ln p inside a shrinking bracket, to about
    1e-12.  The bracket ends where a stage no longer compresses or no longer delivers.  With the receiver nearly empty
    the air blows through the second stage: the pressure is then the end of the bracket.

    References
    ----------
    [airfettle-equations] (a), two stages
    """
    shape = between.shape()
    if guess is not None:
        shape = np.broadcast_shapes(shape, np.shape(guess))
    low, high = _bracket(between)
    start = _first_guess(between) if guess is None else np.asarray(guess, dtype=np.float64)
    log = np.array(np.broadcast_to(np.clip(np.log(start), low, high), shape))
    for part in _blocks(shape):
        local = between.rows(part, len(shape))
        ends = (_rows(low, part, len(shape)), _rows(high, part, len(shape)))
        log[part] = _balanced(local, log[part], ends)
    pressure: NDArray[np.float64] = np.exp(log)
    return pressure


def humidity_ratio_left(
    humidity_ratio: ArrayLike, *, temperature: ArrayLike, pressure: ArrayLike
) -> NDArray[np.float64]:
    """Return the humidity ratio air keeps after cooling: its own, or that of saturation where it drops water.

    Parameters
    ----------
    humidity_ratio : array_like
        Of the air before cooling. [-]
    temperature : array_like
        After cooling. [K]
    pressure : array_like
        Absolute pressure. [Pa]

    Returns
    -------
    ndarray
        Mass of water vapour over mass of dry air. [-]

    Notes
    -----
    W2 = min(W, W_sat).  Valid: liquid in balance with the bulk of the air; a wall colder than the air drops more.

    References
    ----------
    [airfettle-equations] (a), two stages
    """
    W, T, p = np.broadcast_arrays(humidity_ratio, temperature, pressure)
    left = np.array(W, dtype=np.float64)
    damp = np.asarray(_surely_below(T) < moist.vapour_pressure(W, pressure=p))
    if damp.any():
        saturated = moist.saturation_humidity_ratio(T[damp], pressure=p[damp])
        left[damp] = np.minimum(left[damp], saturated)
    return left


def _surely_below(T: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a pressure under that of saturation, for the cost of one exponential; nothing below freezing."""
    log, inverse = _CHORD_START
    chord: NDArray[np.float64] = np.exp(log + _CHORD_SLOPE * (1.0 / T - inverse))
    return np.where(T > 273.16, chord, 0.0)


def _bracket(b: Between) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    one, two = _log_at_unit_ratio(b)
    low = np.maximum(one, two - np.log(b.second.highest()))
    high = np.minimum(two, one + np.log(b.first.highest()))
    return np.minimum(low, high), high


def _log_at_unit_ratio(b: Between) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return ln of the interstage pressures at which the first, and the second, stage no longer compresses."""
    one = np.log(b.intake_pressure * b.first.filling / b.first.delivering)
    two = np.log(b.discharge_pressure * b.second.delivering / ((1.0 - b.loss) * b.second.filling))
    return one, two


def _first_guess(b: Between) -> NDArray[np.float64]:
    """Return the pressure by the ratio of displacements, the air a tenth warmer."""
    return 1.1 * b.intake_pressure * (b.first.swept_volume / np.maximum(b.second.swept_volume, 1e-12)) + 1.0


def _balanced(
    b: Between, log: NDArray[np.float64], ends: tuple[NDArray[np.float64], NDArray[np.float64]]
) -> NDArray[np.float64]:
    low, high = ends
    below, above = low - 1.0, high + 1.0
    units = _log_at_unit_ratio(b)
    for _ in range(_MOST_ROUNDS):
        miss, slope = _miss(b, log, units)
        below, above = np.where(miss > 0.0, log, below), np.where(miss < 0.0, log, above)
        new = log - miss / np.minimum(slope, -1e-300)
        outside = (new < below) | (new > above)
        if outside.any():
            new = np.where(outside, 0.5 * (below + above), new)
        new = np.minimum(np.maximum(new, low), high)
        step = np.max(np.abs(new - log), initial=0.0)
        log = new
        if step < _SMALL_STEP:
            break
    return log


def _miss(
    b: Between, log: NDArray[np.float64], units: tuple[NDArray[np.float64], NDArray[np.float64]]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return what the first stage delivers less what the second takes in a turn, and its slope with ln p."""
    p = np.exp(log)
    one = b.first_turn(p, log_ratio=log - units[0])
    T = b.cooled(one)
    T_slope = (1.0 - b.effectiveness) * _hot_slope(b, one) / T
    p2 = p * (1.0 - b.loss)
    W = humidity_ratio_left(b.intake_humidity_ratio, temperature=T, pressure=p2)
    damp_slope = _damp_slope(b, W, T, T_slope)

    kept, leak_slope = 1.0 - one.leak, 0.0 if b.first.leakage_ratio is None else one.leak
    given = one.charge * kept
    per_volume = one.charge / np.maximum(one.cycle.admitted, 1e-300)
    given_slope = per_volume * one.cycle.admitted_slope() * kept - one.charge * leak_slope

    two = b.second
    expanded = np.exp((units[1] - log) / two.expansion_exponent)
    back = two.clearance * expanded
    leak = two.leak(b.discharge_pressure / p2) * (1.0 - two.blow_by_share)
    size = two.filling * two.swept_volume / (R_DRY_AIR * two.heating)
    passing = size * p2 * (1.0 - leak) / (T * (1.0 + W / MASS_RATIO))
    admitted = (1.0 + two.clearance) - back
    inner = 1.0 - T_slope - damp_slope
    if two.leakage_ratio is not None:
        inner = inner + leak / (1.0 - leak)
    return given - passing * admitted, given_slope - passing * (admitted * inner + back / two.expansion_exponent)


def _hot_slope(b: Between, one: Turn) -> NDArray[np.float64]:
    """Return the change of the first stage's delivery temperature with the logarithm of its pressure."""
    cycle, n = one.cycle, one.cycle.compression_exponent
    by_work = ((n - 1.0) / n) * one.work_temperature
    if b.feed == "work":
        return by_work
    scale = energy_scale(b.first, temperature=b.intake_temperature, humidity_ratio=b.intake_humidity_ratio)
    admitted = np.maximum(cycle.admitted, 1e-9)
    worked = scale * (cycle.work_slope() - cycle.work * cycle.admitted_slope() / admitted) / admitted
    rise = one.discharge_temperature - b.intake_temperature
    slope = worked / (1.0 - one.leak)
    if b.first.leakage_ratio is not None:
        blown = b.first.blow_by_share * (b.first.heating - 1.0) * b.intake_temperature
        slope = slope + (rise - blown) * one.leak / (1.0 - one.leak)
    return np.minimum(slope, 2.0 * by_work + np.abs(rise))


def _damp_slope(
    b: Between, W: NDArray[np.float64], T: NDArray[np.float64], T_slope: NDArray[np.float64]
) -> NDArray[np.float64] | float:
    """Return the change of ln(1 + W/0.62198) with ln p where water drops, and 0 elsewhere."""
    wet = b.intake_humidity_ratio > W
    if not wet.any():
        return 0.0
    vapour = log_pressure_slope(T, phase="water") * T * T_slope - 1.0
    return np.where(wet, W / MASS_RATIO * vapour, 0.0)


def _blocks(shape: tuple[int, ...]) -> Iterator[slice]:
    """Yield runs of rows of the first axis small enough for the processor's cache."""
    if not shape:
        yield slice(None)  # a single number: nothing to cut
        return
    rows = max(1, _BLOCK * shape[0] // max(1, int(np.prod(shape))))
    for start in range(0, shape[0], rows):
        yield slice(start, start + rows)


def _arrays(b: Between) -> Iterator[ArrayLike]:
    for holder in (b, b.first, b.second):
        yield from (v for v in vars(holder).values() if isinstance(v, np.ndarray | np.generic))


def _rows(value: NDArray[np.float64], part: slice, axes: int) -> NDArray[np.float64]:
    if np.ndim(value) == axes > 0 and np.shape(value)[0] > 1:
        return value[part]
    return value


def _stage_rows(stage: Stage, part: slice, axes: int) -> Stage:
    return replace(stage, **{name: _rows(value, part, axes) for name, value in vars(stage).items()})
