"""Saturated air that cools and sheds water: how far it falls for a given amount of cooling surface.

The heat to remove per kelvin, g(T), grows steeply with temperature because of the water. Between the
coolant and the start it is laid through Chebyshev points once; its integral over ln(T - T_coolant) is then a
polynomial in closed form, and Newton's rule on that costs next to nothing. Water and ice are two smooth
pieces, so a path that passes freezing is done in two.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import ArrayLike, NDArray

from airfettle.air import moist
from airfettle.air.constants import (
    CP_DRY_AIR,
    CP_LIQUID,
    CP_VAPOUR,
    LATENT_HEAT,
    MASS_RATIO,
    ZERO_CELSIUS,
)
from airfettle.air.enhancement import enhancement_over, freezing_temperature
from airfettle.air.saturation import (
    TRIPLE_TEMPERATURE,
    Phase,
    ice_saturation_pressure,
    saturation_pressure,
    saturation_temperature,
    water_saturation_pressure,
)

Array = NDArray[np.float64]

MOST_DUTY = 1e7
"""Cooling surface per flow of air beyond which the air simply reaches the coolant. [J/(kg K)]"""

_DEGREE = 10
_STEPS = 30
_BLOCK = 1536  # points at a time, so that their nodes stay in the processor's cache: twice as fast


def saturation_ratio(temperature: ArrayLike, *, pressure: ArrayLike, enhancement: ArrayLike | None = None) -> Array:
    """Return the humidity ratio of saturated air, with the real or a constant enhancement factor.

    Parameters
    ----------
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure. [Pa]
    enhancement : array_like, optional
        Constant enhancement factor; left out, the real one. [-]

    Returns
    -------
    ndarray
        Mass of water over mass of dry air. [-]

    Notes
    -----
    W = 0.62198 f p_ws/(p - f p_ws).  Valid: f p_ws below p; a constant factor is for checks of the equations.

    References
    ----------
    [airfettle-equations] (c)
    """
    if enhancement is None:
        return moist.saturation_humidity_ratio(temperature, pressure=pressure)
    vapour = _floats(enhancement) * saturation_pressure(temperature)
    return np.asarray(MASS_RATIO * vapour / (_floats(pressure) - vapour))


def dew_temperature(humidity_ratio: ArrayLike, *, pressure: ArrayLike, enhancement: ArrayLike | None = None) -> Array:
    """Return the dew or frost point, with the real or a constant enhancement factor; finite for dry air too.

    Parameters
    ----------
    humidity_ratio : array_like
        Mass of water over mass of dry air. [-]
    pressure : array_like
        Absolute pressure. [Pa]
    enhancement : array_like, optional
        Constant enhancement factor; left out, the real one. [-]

    Returns
    -------
    ndarray
        Temperature at which water begins to drop out. [K]

    Notes
    -----
    Valid: as moist.dew_point; air of less than one part in 10^8 is taken as that, about -90 degC.

    References
    ----------
    [airfettle-equations] (c)
    """
    some = np.maximum(_floats(humidity_ratio), 1e-8)
    if enhancement is None:
        return moist.dew_point(some, pressure=pressure)
    return saturation_temperature(moist.vapour_pressure(some, pressure=pressure) / _floats(enhancement))


def condensing_outlet(
    start_temperature: ArrayLike,
    *,
    coolant_temperature: ArrayLike,
    pressure: ArrayLike,
    duty: ArrayLike,
    enhancement: ArrayLike | None = None,
) -> Array:
    """Return the temperature that saturated air reaches as it cools and sheds its water.

    Parameters
    ----------
    start_temperature : array_like
        Temperature of the saturated air at the start, above the coolant. [K]
    coolant_temperature : array_like
        Temperature of the coolant as it arrives. [K]
    pressure : array_like
        Absolute pressure. [Pa]
    duty : array_like
        Effective conductance over mass flow of dry air, UA*/m. [J/(kg K)]
    enhancement : array_like, optional
        Constant enhancement factor; left out, the real one. [-]

    Returns
    -------
    ndarray
        Temperature of the saturated air at the end. [K]

    Notes
    -----
    integral from T_end to T_start of [H' - 4186 t W']/(T - T_coolant) dT = UA*/m, W saturated.
    Within 1e-6 K of adaptive quadrature for dew points to 105 degC, 3 mK at 150 degC.
    Valid: bulk at equilibrium; the real wall is colder, so somewhat more water drops and the air leaves warmer
    and slightly unsaturated.

    References
    ----------
    [airfettle-equations] (c)
    """
    given = (start_temperature, coolant_temperature, pressure, duty, 1.0 if enhancement is None else enhancement)
    together = np.broadcast_arrays(*(_floats(value) for value in given))
    flat = [values.ravel() for values in together]
    if enhancement is None:
        flat.append(freezing_temperature(flat[2]))
    else:
        flat.append(np.full(flat[0].shape, TRIPLE_TEMPERATURE))
    end = np.empty(flat[0].shape)
    for at in range(0, end.size, _BLOCK):
        end[at : at + _BLOCK] = _block(*(values[at : at + _BLOCK] for values in flat), real=enhancement is None)
    return end.reshape(together[0].shape)


def _block(
    start: Array, coolant: Array, line: Array, duty: Array, factor: Array, freezing: Array, *, real: bool
) -> Array:
    """End of the path: over water as far as freezing, and what duty is left then over ice."""
    end, left = start.copy(), np.array(duty)
    wet = start > np.maximum(coolant, freezing)
    if wet.any():
        path = _Path("water", start[wet], coolant[wet], line[wet], None if real else factor[wet])
        melted = path.end(duty[wet])
        stops = melted < freezing[wet]
        if stops.any():
            melted = np.maximum(melted, freezing[wet])
            left[wet] = np.where(stops, np.maximum(duty[wet] - path.duty_to(melted), 0.0), 0.0)
        end[wet] = melted
    frosty = (end <= freezing) & (end > coolant)
    if frosty.any():
        path = _Path("ice", end[frosty], coolant[frosty], line[frosty], None if real else factor[frosty])
        end[frosty] = path.end(left[frosty])
    return np.where(start > coolant, np.maximum(end, coolant), start)


class _Path:
    """Heat removed per kelvin from saturated air over one phase, between coolant and start."""

    def __init__(self, phase: Phase, start: Array, coolant: Array, line: Array, constant: Array | None) -> None:
        nodes, slope, integral = _matrices(_DEGREE)
        self.coolant, self.span = coolant, start - coolant
        rise = 0.5 * (nodes + 1.0)[:, np.newaxis] * self.span
        celsius = coolant - ZERO_CELSIUS + rise
        vapour = _vapour_pressure(coolant + rise, line, phase, constant)
        ratio = MASS_RATIO * vapour / (line - vapour)
        growth = slope @ np.log(vapour) / self.span * ratio * (1.0 + ratio / MASS_RATIO)
        heat = CP_DRY_AIR + CP_VAPOUR * ratio
        heat += growth * (LATENT_HEAT + (CP_VAPOUR - CP_LIQUID) * celsius)
        self.last, self.first = heat[0], heat[-1]
        self.coefficients = integral @ heat

    def end(self, duty: Array) -> Array:
        """Temperature where the duty is used up."""
        lowest, highest = -duty / self.last, -duty / self.first
        depth = highest
        for _ in range(_STEPS):
            share = np.exp(depth)
            spent, heat = self._spent(depth, share)
            step = (spent - duty) / heat
            depth = np.clip(depth + step, lowest, highest)
            if np.all(np.abs(step) * share * self.span < 1e-9):
                break
        return np.asarray(self.coolant + self.span * np.exp(depth))

    def duty_to(self, temperature: Array) -> Array:
        """Duty used from the start down to a temperature."""
        share = np.maximum((temperature - self.coolant) / self.span, 1e-300)
        return self._spent(np.log(share), share)[0]

    def _spent(self, depth: Array, share: Array) -> tuple[Array, Array]:
        """Duty used down to ln(share) of the span, and the heat per kelvin there."""
        z = 2.0 * share - 1.0
        value, slope = self.coefficients[-1].copy(), np.zeros_like(z)
        for coefficient in self.coefficients[-2::-1]:
            slope *= z
            slope += value
            value *= z
            value += coefficient
        return value - self.last * depth, self.last - 2.0 * share * slope


def _vapour_pressure(temperature: Array, line: Array, phase: Phase, constant: Array | None) -> Array:
    pure = water_saturation_pressure(temperature) if phase == "water" else ice_saturation_pressure(temperature)
    if constant is not None:
        return np.asarray(constant * pure)
    return pure * enhancement_over(temperature, pressure=line, saturation_pressure=pure, phase=phase)


@cache
def _matrices(degree: int) -> tuple[Array, Array, Array]:
    """Nodes on -1 .. 1, and what takes values there to slopes (over 0 .. 1) and to the integral.

    The integral is that of (g(z) - g(-1))/(z + 1) from z to 1, as coefficients of powers of z.
    """
    nodes = -np.cos(np.pi * np.arange(degree + 1) / degree)
    through = np.linalg.inv(chebyshev.chebvander(nodes, degree))
    slope = 2.0 * chebyshev.chebvander(nodes, degree - 1) @ chebyshev.chebder(through)
    columns = []
    for unit in through.T:
        above = unit.copy()
        above[0] -= chebyshev.chebval(-1.0, unit)
        summed = chebyshev.chebint(chebyshev.chebdiv(above, np.array([1.0, 1.0]))[0])
        summed[0] -= chebyshev.chebval(1.0, summed)
        columns.append(np.pad(-chebyshev.cheb2poly(summed), (0, degree + 1))[: degree + 1])
    return _floats(nodes), _floats(slope), _floats(columns).T


def _floats(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
