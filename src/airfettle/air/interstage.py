"""Between two compressor stages: the pressure at which both pass the same air, and the water that stays behind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air import moist
from airfettle.air.constants import MASS_RATIO, R_DRY_AIR
from airfettle.air.saturation import log_pressure_slope
from airfettle.air.stage import Stage, Turn, energy_scale, turn

Feed = Literal["energy", "work"]
"""Which temperature of the first stage the intercooler is given: of the energy balance or of the work exponent."""

_BLOCK = 8192
_MOST_ROUNDS, _FREE_ROUNDS = 60, 5
_SMALL_STEP = 1e-6  # Newton's next error is about its square

# Saturation pressure at the triple point and at 100 degC; ln p_ws against 1/T runs above the chord between them.
_ICE_POINT, _BOILING = (273.16, 611.65), (373.15, 101_400.0)
_CHORD = np.log(_BOILING[1] / _ICE_POINT[1]) / (1.0 / _BOILING[0] - 1.0 / _ICE_POINT[0])


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

    def first_turn(self, pressure: NDArray[np.float64]) -> Turn:
        """Return what the first stage does in a turn at an interstage pressure."""
        return turn(
            self.first,
            suction_line_pressure=self.intake_pressure,
            discharge_line_pressure=pressure,
            temperature=self.intake_temperature,
            humidity_ratio=self.intake_humidity_ratio,
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
        cut: dict[str, Any] = {
            name: _rows(value, part, axes) for name, value in vars(self).items() if isinstance(value, np.ndarray)
        }
        first, second = (_stage_rows(stage, part, axes) for stage in (self.first, self.second))
        return replace(self, first=first, second=second, **cut)


@dataclass(frozen=True)
class Interstage:
    """Where two stages balance.

    Attributes
    ----------
    pressure : ndarray
        Absolute pressure at the first stage's delivery, before the intercooler. [Pa]
    humidity_ratio : ndarray
        Of the air after the intercooler. [-]
    """

    pressure: NDArray[np.float64]
    humidity_ratio: NDArray[np.float64]


def interstage(between: Between, *, guess: ArrayLike | None = None) -> Interstage:
    """Return the pressure between the stages at which the second takes just what the first delivers.

    Parameters
    ----------
    between : Between
        The two stages and their surroundings. [-]
    guess : array_like, optional
        An absolute pressure to start from, such as the answer at a near condition. [Pa]

    Returns
    -------
    Interstage
        Absolute pressure [Pa] and humidity ratio [-].

    Notes
    -----
    m1(p) falls and m2(p) rises, so there is one root; Newton's method in ln p, inside a shrinking bracket where it
    needs one, to 1e-9 and mostly 1e-12.  The bracket ends where a stage no longer compresses or no longer delivers.
    With the receiver nearly empty air blows through the second stage: the pressure is then the bracket's upper end.

    References
    ----------
    [airfettle-equations] (a), two stages
    """
    shape = between.shape()
    if guess is not None:
        shape = np.broadcast_shapes(shape, np.shape(guess))
    start = np.log(_first_guess(between) if guess is None else np.maximum(guess, 1.0))
    if not shape:
        log, humidity_ratio = _balanced(_Balance.of(between), start)
        return Interstage(np.exp(log), np.asarray(humidity_ratio))
    order: Literal["F", "C"] = "F" if np.ndim(between.first.filling) and between.first.filling.flags.fnc else "C"
    pressure, left = np.empty(shape, order=order), np.empty(shape, order=order)
    for part in _blocks(shape):
        first = np.broadcast_to(_rows(np.broadcast_to(start, shape), part, len(shape)), pressure[part].shape)
        log, left[part] = _balanced(_Balance.of(between.rows(part, len(shape))), first)
        pressure[part] = np.exp(log)
    return Interstage(pressure, left)


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
    W, T, p = (np.asarray(value, dtype=np.float64) for value in (humidity_ratio, temperature, pressure))
    damp = np.asarray(_surely_below(T) < p * (W / (MASS_RATIO + W)))
    left = np.array(np.broadcast_to(W, damp.shape))
    if damp.any():
        T_damp, p_damp = np.broadcast_to(T, damp.shape)[damp], np.broadcast_to(p, damp.shape)[damp]
        left[damp] = np.minimum(left[damp], moist.saturation_humidity_ratio(T_damp, pressure=p_damp))
    return left


def _surely_below(T: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a pressure under that of saturation, for the cost of one exponential; nothing below freezing."""
    chord: NDArray[np.float64] = _ICE_POINT[1] * np.exp(_CHORD / T - _CHORD / _ICE_POINT[0])
    return np.where(chord > _ICE_POINT[1], np.minimum(chord, _BOILING[1]), 0.0)


def _log_at_unit_ratio(b: Between) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return ln of the interstage pressures at which the first, and the second, stage no longer compresses."""
    one = np.log(b.intake_pressure * b.first.filling / b.first.delivering)
    two = np.log(b.discharge_pressure * b.second.delivering / ((1.0 - b.loss) * b.second.filling))
    return one, two


def _first_guess(b: Between) -> NDArray[np.float64]:
    """Return the pressure by the ratio of displacements, the air a tenth warmer."""
    return 1.1 * b.intake_pressure * (b.first.swept_volume / np.maximum(b.second.swept_volume, 1e-12)) + 1.0


def _balanced(balance: _Balance, start: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return ln p where both stages pass the same air, and the humidity ratio there."""
    low, high = balance.bracket()
    log = np.minimum(np.maximum(start, low), high)
    below, above = low - 1.0, high + 1.0
    for count in range(_MOST_ROUNDS):
        miss, slope, left, left_slope = balance(log)
        new = log - miss / np.minimum(slope, -1e-300)
        if count >= _FREE_ROUNDS:
            below, above = np.where(miss > 0.0, log, below), np.where(miss < 0.0, log, above)
            new = np.where((new < below) | (new > above), 0.5 * (below + above), new)
        new = np.minimum(np.maximum(new, low), high)
        step = new - log
        log = new
        if max(np.max(step, initial=0.0), -np.min(step, initial=0.0)) < _SMALL_STEP:
            break
    return log, np.minimum(left + left_slope * step, balance.b.intake_humidity_ratio)


@dataclass(frozen=True)
class _Balance:
    """What the first stage gives less what the second takes in a turn, written out for speed.

    The same arithmetic as ``stage.turn`` with its slopes; a test holds the two together.
    """

    b: Between
    unit: NDArray[np.float64]  # interstage pressure at which the first stage's cylinder ratio is 1
    log_unit: NDArray[np.float64]
    log_second: NDArray[np.float64]
    scale: NDArray[np.float64]  # of the energy balance
    fresh: NDArray[np.float64]  # dry air for each unit admitted by the first stage
    size: NDArray[np.float64]  # of the second stage
    damp: NDArray[np.float64]  # vapour's share of the pressure if nothing condenses

    @classmethod
    def of(cls, b: Between) -> _Balance:
        one, two, W = b.first, b.second, b.intake_humidity_ratio
        log_unit, log_second = _log_at_unit_ratio(b)
        in_cylinder = R_DRY_AIR * one.heating * b.intake_temperature * (1.0 + W / MASS_RATIO)
        return cls(
            b=b,
            unit=b.intake_pressure * one.filling / one.delivering,
            log_unit=log_unit,
            log_second=log_second,
            scale=energy_scale(one, temperature=b.intake_temperature, humidity_ratio=W),
            fresh=b.intake_pressure * one.filling * one.swept_volume / in_cylinder,
            size=(1.0 - b.loss) * two.filling * two.swept_volume / (R_DRY_AIR * two.heating),
            damp=W / (MASS_RATIO + W),
        )

    def bracket(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return the ends of ln p between which both stages compress and deliver."""
        low = np.maximum(self.log_unit, self.log_second - self.b.second.log_highest())
        high = np.minimum(self.log_second, self.log_unit + self.b.first.log_highest())
        return np.minimum(low, high), high

    def __call__(
        self, log: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64] | float]:
        """Return first less second stage's air and its slope, and the humidity ratio between and its slope."""
        b, one, two = self.b, self.b.first, self.b.second
        ratio_log = log - self.log_unit
        ratio = np.exp(ratio_log)
        pressure = self.unit * ratio
        expanded = np.exp(ratio_log * (1.0 / one.expansion_exponent))
        admitted = (1.0 + one.clearance) - one.clearance * expanded
        admitted_slope = (-one.clearance / one.expansion_exponent) * expanded
        leak = one.leak(pressure / b.intake_pressure)
        kept = 1.0 - leak
        given = self.fresh * kept * admitted
        given_slope = self.fresh * kept * admitted_slope
        if one.leakage_ratio is not None:
            given_slope -= given * one.leak_slope(leak) / kept

        rise, rise_slope = self._rise(ratio_log, ratio, expanded, admitted, admitted_slope, leak)
        start = b.intake_temperature + b.effectiveness * (b.coolant_temperature - b.intake_temperature)
        T = start + (1.0 - b.effectiveness) * rise
        warming = (1.0 - b.effectiveness) * rise_slope / T
        growth = 1.0 - warming

        reach = np.exp((self.log_second - log) * (1.0 / two.expansion_exponent))
        back = two.clearance * reach
        room = (1.0 + two.clearance) - back
        passing = self.size * pressure / T
        second_leak = two.leak((b.discharge_pressure / (1.0 - b.loss)) / pressure)
        back_share = 1.0 - two.blow_by_share
        second_kept = 1.0 - second_leak * back_share
        passing = passing * second_kept
        if two.leakage_ratio is not None:
            growth += two.leak_slope(second_leak) * back_share / second_kept
        left, left_slope = self._left(T, warming, pressure)
        wet = MASS_RATIO + left
        passing = passing * (MASS_RATIO / wet)
        growth = growth - left_slope / wet
        slope = given_slope - passing * (room * growth + back * (1.0 / two.expansion_exponent))
        return given - passing * room, slope, left, left_slope

    def _rise(
        self,
        ratio_log: NDArray[np.float64],
        ratio: NDArray[np.float64],
        expanded: NDArray[np.float64],
        admitted: NDArray[np.float64],
        admitted_slope: NDArray[np.float64],
        leak: NDArray[np.float64],
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return how much warmer the air comes to the intercooler than to the pump, and its slope with ln p."""
        b, one = self.b, self.b.first
        n, m = one.compression_exponent, one.expansion_exponent
        cylinder = one.heating * b.intake_temperature
        hot = cylinder * np.exp(ratio_log * ((n - 1.0) / n))
        hot_slope = ((n - 1.0) / n) * hot
        if b.feed == "work":
            return hot - b.intake_temperature, hot_slope
        back, front = m / (m - 1.0) * one.clearance, n / (n - 1.0) * (1.0 + one.clearance)
        work = front / cylinder * hot - front - back * (ratio - expanded)
        work_slope = (front / cylinder) * hot_slope - back * (ratio - expanded * (1.0 / m))
        room = np.maximum(admitted, 1e-9)
        blown = one.blow_by_share * (one.heating - 1.0) * b.intake_temperature
        kept = 1.0 - leak
        for_each = self.scale / (room * kept)
        rise = for_each * work - blown * leak / kept
        slope = for_each * (work_slope - work * admitted_slope / room)
        if one.leakage_ratio is not None:
            slope += (rise - blown) * one.leak_slope(leak) / kept
        highest = 2.0 * hot - (cylinder + b.intake_temperature)
        over = rise > highest
        if over.any():
            rise, slope = np.where(over, highest, rise), np.where(over, 2.0 * hot_slope, slope)
        under = rise < 0.0
        if under.any():
            rise, slope = np.where(under, 0.0, rise), np.where(under, 0.0, slope)
        return rise, slope

    def _left(
        self, T: NDArray[np.float64], warming: NDArray[np.float64], pressure: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64] | float]:
        """Return the humidity ratio after the intercooler and its slope with ln p."""
        b = self.b
        W0 = b.intake_humidity_ratio
        after = pressure * (1.0 - b.loss)
        if _surely_below(np.asarray(np.min(T))) > np.max(self.damp) * np.max(after):
            return W0, 0.0
        W = humidity_ratio_left(W0, temperature=T, pressure=after)
        drops = W0 > W
        if not drops.any():
            return W0, 0.0
        vapour = log_pressure_slope(T, phase="water") * T * warming - 1.0
        return W, np.where(drops, W * (1.0 + W / MASS_RATIO) * vapour, 0.0)


def _blocks(shape: tuple[int, ...]) -> Iterator[slice]:
    """Yield runs of rows of the first axis small enough for the processor's cache."""
    rows = max(1, _BLOCK * shape[0] // max(1, int(np.prod(shape))))
    for start in range(0, shape[0], rows):
        yield slice(start, start + rows)


def _arrays(b: Between) -> Iterator[ArrayLike]:
    for holder in (b, b.first, b.second):
        yield from (v for v in vars(holder).values() if isinstance(v, np.ndarray | np.generic))


def _rows(value: NDArray[np.float64], part: slice, axes: int) -> NDArray[np.float64]:
    if np.ndim(value) == axes > 0 and np.shape(value)[0] > 1:
        return np.asfortranarray(value[part])  # rows run fastest: the axis of the draw is the long one
    return value


def _stage_rows(stage: Stage, part: slice, axes: int) -> Stage:
    return replace(stage, **{name: _rows(value, part, axes) for name, value in vars(stage).items()})
