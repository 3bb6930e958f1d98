"""One compressor stage in one turn: air taken, delivered and blown by, work, and the temperatures it leaves at."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import CP_DRY_AIR, CP_VAPOUR, MASS_RATIO, R_DRY_AIR
from airfettle.air.cylinder import NEAR_ISOTHERMAL, Cycle, clearance_cycle, highest_ratio

HIGHEST_LEAK = 0.98
"""A leak is read as at most this share of the charge, so that a stopped pump stays finite. [-]"""

_LEAST_FILLING = 0.1
_LEAST_SPEED_RATIO = 1e-6


@dataclass(frozen=True)
class Stage:
    """One stage at one speed: every number it needs but the pressures and the air it takes.

    Attributes
    ----------
    swept_volume : ndarray
        Of all cylinders of the stage, for each turn. [m3]
    clearance : ndarray
        Clearance volume over swept volume. [-]
    compression_exponent, expansion_exponent : ndarray
        Polytropic exponents. [-]
    filling, delivering : ndarray
        Cylinder pressure over line pressure during suction and during delivery, at this speed. [-]
    heating : ndarray
        Temperature of the charge in the cylinder over that at the stage's inlet. [-]
    leakage : ndarray
        Share of the charge lost to delivery at this speed. [-]
    leakage_ratio : ndarray or None
        Stage pressure ratio the leakage holds at; None: it holds at every ratio. [-]
    blow_by_share : ndarray
        Share of the leak that leaves by the rings; the rest leaks back through valves. [-]
    wall_heat_share : ndarray
        Share of the indicated work that the walls take. [-]
    """

    swept_volume: NDArray[np.float64]
    clearance: NDArray[np.float64]
    compression_exponent: NDArray[np.float64]
    expansion_exponent: NDArray[np.float64]
    filling: NDArray[np.float64]
    delivering: NDArray[np.float64]
    heating: NDArray[np.float64]
    leakage: NDArray[np.float64]
    leakage_ratio: NDArray[np.float64] | None
    blow_by_share: NDArray[np.float64]
    wall_heat_share: NDArray[np.float64]

    def highest(self) -> NDArray[np.float64]:
        """Return the highest ratio of cylinder pressures the clearance allows."""
        return highest_ratio(self.clearance, expansion_exponent=self.expansion_exponent)

    def log_highest(self) -> NDArray[np.float64]:
        """Return the natural logarithm of the same."""
        return np.log(self.highest())

    def leak(self, stage_ratio: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the leak's share of the charge at a ratio of line pressures."""
        if self.leakage_ratio is None:
            return self.leakage
        return np.minimum(self.leakage * stage_ratio / self.leakage_ratio, HIGHEST_LEAK)

    def leak_slope(self, leak: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the change of a leak's share with the logarithm of the ratio."""
        if self.leakage_ratio is None:
            return np.zeros(())
        return np.where(leak < HIGHEST_LEAK, leak, 0.0)


@dataclass(frozen=True)
class Turn:
    """What one stage does in one turn of the crank.

    Attributes
    ----------
    cycle : Cycle
        The cylinder's cycle. [-]
    suction_pressure, discharge_pressure : ndarray
        Absolute pressures inside the cylinder; the second is what it reaches. [Pa]
    leak : ndarray
        Share of the charge that is not delivered. [-]
    charge : ndarray
        Dry air of the fresh charge. [kg]
    work : ndarray
        Indicated work. [J]
    work_temperature : ndarray
        End of the compression line; belongs to the work only. [K]
    discharge_temperature : ndarray
        Of the delivered air, from the energy balance. [K]
    """

    cycle: Cycle
    suction_pressure: NDArray[np.float64]
    discharge_pressure: NDArray[np.float64]
    leak: NDArray[np.float64]
    charge: NDArray[np.float64]
    work: NDArray[np.float64]
    work_temperature: NDArray[np.float64]
    discharge_temperature: NDArray[np.float64]


def stage_at_speed(
    speed_ratio: ArrayLike,
    *,
    swept_volume: ArrayLike,
    clearance: ArrayLike,
    compression_exponent: ArrayLike,
    expansion_exponent: ArrayLike,
    suction_loss: ArrayLike,
    discharge_loss: ArrayLike,
    heating: ArrayLike,
    leakage: ArrayLike,
    leakage_ratio: ArrayLike | None,
    blow_by_share: ArrayLike,
    wall_heat_share: ArrayLike,
) -> Stage:
    """Return a stage with its valve losses and its leak taken to one speed.

    Parameters
    ----------
    speed_ratio : array_like
        Speed over rated speed, x. [-]
    swept_volume : array_like
        Of all cylinders of the stage, for each turn. [m3]
    clearance : array_like
        Clearance volume over swept volume. [-]
    compression_exponent, expansion_exponent : array_like
        Polytropic exponents. [-]
    suction_loss, discharge_loss : array_like
        Valve losses at rated speed over line pressure; they grow with x^2. [-]
    heating : array_like
        Temperature of the charge in the cylinder over that at the inlet. [-]
    leakage : array_like
        Share of the charge lost at rated speed; it grows as the pump slows. [-]
    leakage_ratio : array_like or None
        Stage pressure ratio at which the leakage holds; None: at every ratio. [-]
    blow_by_share : array_like
        Share of the leak that leaves by the rings. [-]
    wall_heat_share : array_like
        Share of the indicated work that the walls take. [-]

    Returns
    -------
    Stage
        The stage at this speed. [-]

    Notes
    -----
    p1 = ps (1 - a_s x^2); p2 = pd (1 + a_d x^2); L = L0/x.  Valid: x 0.4 to 1.3.  Beyond it stays finite:
    the filling is at least 0.1, the leak at most 0.9.

    References
    ----------
    [airfettle-equations] (a)
    """
    x = np.asarray(speed_ratio, dtype=np.float64)
    square = x * x
    leak = np.asarray(leakage, dtype=np.float64) / np.maximum(x, _LEAST_SPEED_RATIO)
    return Stage(
        swept_volume=np.asarray(swept_volume, dtype=np.float64),
        clearance=np.asarray(clearance, dtype=np.float64),
        compression_exponent=np.maximum(np.asarray(compression_exponent, dtype=np.float64), NEAR_ISOTHERMAL),
        expansion_exponent=np.maximum(np.asarray(expansion_exponent, dtype=np.float64), NEAR_ISOTHERMAL),
        filling=np.maximum(1.0 - np.asarray(suction_loss) * square, _LEAST_FILLING),
        delivering=1.0 + np.asarray(discharge_loss) * square,
        heating=np.asarray(heating, dtype=np.float64),
        leakage=leak if leakage_ratio is not None else np.minimum(leak, HIGHEST_LEAK),
        leakage_ratio=None if leakage_ratio is None else np.asarray(leakage_ratio, dtype=np.float64),
        blow_by_share=np.asarray(blow_by_share, dtype=np.float64),
        wall_heat_share=np.asarray(wall_heat_share, dtype=np.float64),
    )


def turn(
    stage: Stage,
    *,
    suction_line_pressure: ArrayLike,
    discharge_line_pressure: ArrayLike,
    temperature: ArrayLike,
    humidity_ratio: ArrayLike,
) -> Turn:
    """Return what a stage does in one turn between two line pressures.

    Parameters
    ----------
    stage : Stage
        The stage at its speed. [-]
    suction_line_pressure, discharge_line_pressure : array_like
        Absolute pressures outside the valves. [Pa]
    temperature : array_like
        At the stage's inlet. [K]
    humidity_ratio : array_like
        Of the air it takes. [-]

    Returns
    -------
    Turn
        Air [kg], work [J] and temperatures [K] of one turn.

    Notes
    -----
    charge = p1 (1 - pv/ps) Vad/(R h Ts); T_work = h Ts r^((nc-1)/nc);
    delivered cp (Td - Ts) = (1 - q) W - blow-by cp (h - 1) Ts: what blows by leaves as warm as the cylinder.
    Valid: r 2 to 13.  Where almost nothing is delivered Td stops at twice the rise of the compression line and
    the walls take the rest; nor does Td fall below Ts, where the walls warm what blows by.

    References
    ----------
    [airfettle-equations] (a); the blow-by terms: [physics] energy balance of the stage
    """
    ps, pd = np.asarray(suction_line_pressure, dtype=np.float64), np.asarray(discharge_line_pressure, dtype=np.float64)
    Ts, W = np.asarray(temperature, dtype=np.float64), np.asarray(humidity_ratio, dtype=np.float64)
    p1 = ps * stage.filling
    ratio = np.minimum(np.maximum(pd * stage.delivering / p1, 1.0), stage.highest())
    cycle = clearance_cycle(
        ratio,
        clearance=stage.clearance,
        compression_exponent=stage.compression_exponent,
        expansion_exponent=stage.expansion_exponent,
    )
    leak = stage.leak(pd / ps)
    cylinder = stage.heating * Ts
    swept = p1 * stage.swept_volume
    fresh = swept / (R_DRY_AIR * cylinder * (1.0 + W / MASS_RATIO))
    work_temperature = cylinder * cycle.temperature_ratio
    unleaking = energy_scale(stage, temperature=Ts, humidity_ratio=W) * (cycle.work / np.maximum(cycle.admitted, 1e-9))
    rise = (unleaking - leak * (stage.blow_by_share * (cylinder - Ts))) / (1.0 - leak)
    return Turn(
        cycle=cycle,
        suction_pressure=p1,
        discharge_pressure=ratio * p1,
        leak=leak,
        charge=fresh * cycle.admitted,
        work=swept * cycle.work,
        work_temperature=work_temperature,
        discharge_temperature=np.minimum(Ts + np.maximum(rise, 0.0), 2.0 * work_temperature - cylinder),
    )


def energy_scale(stage: Stage, *, temperature: ArrayLike, humidity_ratio: ArrayLike) -> NDArray[np.float64]:
    """Return the temperature rise for unit work of the cycle over its admitted volume, were nothing to leak.

    Parameters
    ----------
    stage : Stage
        The stage at its speed. [-]
    temperature : array_like
        At the stage's inlet. [K]
    humidity_ratio : array_like
        Of the air it takes. [-]

    Returns
    -------
    ndarray
        Temperature difference. [K]

    Notes
    -----
    (1 - q) R (1 + W/0.62198) h Ts/(cp_a + W cp_v).

    References
    ----------
    [physics] energy balance of the stage
    """
    Ts, W = np.asarray(temperature, dtype=np.float64), np.asarray(humidity_ratio, dtype=np.float64)
    moist = R_DRY_AIR * (1.0 + W / MASS_RATIO) / (CP_DRY_AIR + CP_VAPOUR * W)
    return (1.0 - stage.wall_heat_share) * stage.heating * Ts * moist
