"""What compressing air takes: ideal work, clearance, displacement, and the cycle of one real cylinder."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import CP_DRY_AIR, KAPPA, MASS_RATIO, R_DRY_AIR

_NEAR_ISOTHERMAL = 1.0001  # an exponent below this is read as this: the two-term formula divides by n - 1


@dataclass(frozen=True)
class Cycle:
    """One turn of a cylinder with clearance, for unit suction pressure and unit swept volume.

    Attributes
    ----------
    ratio : ndarray
        Ratio of cylinder pressures reached; less than asked for where clearance cannot reach it. [-]
    admitted : ndarray
        Volume of fresh charge over swept volume, at suction pressure. [-]
    work : ndarray
        Work of one turn over (suction pressure x swept volume). [-]
    temperature_ratio : ndarray
        End of compression over start of compression, ratio^((n_c - 1)/n_c). [-]
    expanded : ndarray
        Volume of the clearance charge once re-expanded, over clearance volume, ratio^(1/n_e). [-]
    clearance, compression_exponent, expansion_exponent : ndarray
        As given. [-]
    """

    ratio: NDArray[np.float64]
    admitted: NDArray[np.float64]
    work: NDArray[np.float64]
    temperature_ratio: NDArray[np.float64]
    expanded: NDArray[np.float64]
    clearance: NDArray[np.float64]
    compression_exponent: NDArray[np.float64]
    expansion_exponent: NDArray[np.float64]

    def admitted_slope(self) -> NDArray[np.float64]:
        """Return the change of ``admitted`` with the logarithm of the ratio."""
        return -(self.clearance / self.expansion_exponent) * self.expanded

    def work_slope(self) -> NDArray[np.float64]:
        """Return the change of ``work`` with the logarithm of the ratio."""
        ne = self.expansion_exponent
        back = ne / (ne - 1.0) * self.clearance
        return (1.0 + self.clearance) * self.temperature_ratio - back * (self.ratio - self.expanded / ne)


def highest_ratio(clearance: ArrayLike, *, expansion_exponent: ArrayLike) -> NDArray[np.float64]:
    """Return the pressure ratio at which a cylinder only breathes its own clearance air.

    Parameters
    ----------
    clearance : array_like
        Clearance volume over swept volume. [-]
    expansion_exponent : array_like
        Exponent of the re-expansion. [-]

    Returns
    -------
    ndarray
        Ratio of absolute cylinder pressures. [-]

    Notes
    -----
    r = ((1 + c)/c)^n.  Valid: c > 0; a clearance under 1e-9 is read as that.

    References
    ----------
    [physics] delivery of the clearance cycle set to zero
    """
    c = np.maximum(np.asarray(clearance, dtype=np.float64), 1e-9)
    out: NDArray[np.float64] = ((1.0 + c) / c) ** np.asarray(expansion_exponent, dtype=np.float64)
    return out


def clearance_cycle(
    pressure_ratio: ArrayLike,
    *,
    clearance: ArrayLike,
    compression_exponent: ArrayLike,
    expansion_exponent: ArrayLike,
    log_ratio: ArrayLike | None = None,
) -> Cycle:
    """Return the cycle of one cylinder: compression, delivery, re-expansion of the clearance air, suction.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute cylinder pressures, delivery over suction, at least 1 and at most ``highest_ratio``; the
        caller keeps it there. [-]
    clearance : array_like
        Clearance volume over swept volume. [-]
    compression_exponent, expansion_exponent : array_like
        Polytropic exponents of compression and of re-expansion. [-]
    log_ratio : array_like, optional
        Natural logarithm of ``pressure_ratio``, where the caller has it already. [-]

    Returns
    -------
    Cycle
        Admitted volume and work for unit suction pressure and unit swept volume. [-]

    Notes
    -----
    Vad/Vd = 1 + c - c r^(1/ne);
    W/(p1 Vd) = nc/(nc-1) (1+c) (r^((nc-1)/nc) - 1) - ne/(ne-1) c (r - r^(1/ne)).
    Valid: r 2 to 13, dry gas within 3 %; pulsation and valve flutter are left out and cost delivery.

    References
    ----------
    [airfettle-equations] (a)
    """
    r = np.asarray(pressure_ratio, dtype=np.float64)
    c = np.asarray(clearance, dtype=np.float64)
    nc = np.maximum(np.asarray(compression_exponent, dtype=np.float64), _NEAR_ISOTHERMAL)
    ne = np.maximum(np.asarray(expansion_exponent, dtype=np.float64), _NEAR_ISOTHERMAL)
    log = np.log(r) if log_ratio is None else np.asarray(log_ratio, dtype=np.float64)
    heated = np.exp(log * ((nc - 1.0) / nc))
    expanded = np.exp(log / ne)
    work = (nc / (nc - 1.0) * (1.0 + c)) * (heated - 1.0) - (ne / (ne - 1.0) * c) * (r - expanded)
    admitted = (1.0 + c) - c * expanded
    return Cycle(r, np.maximum(admitted, 0.0), work, heated, expanded, c, nc, ne)


def polytropic_work(
    pressure_ratio: ArrayLike,
    *,
    inlet_temperature: ArrayLike,
    exponent: ArrayLike = KAPPA,
    gas_constant: ArrayLike = R_DRY_AIR,
) -> NDArray[np.float64]:
    """Return the reversible work of one stage for each kilogram; isentropic with the exponent left alone.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute pressures, delivery over intake. [-]
    inlet_temperature : array_like
        Temperature at the intake. [K]
    exponent : array_like
        Polytropic exponent, above 1. [-]
    gas_constant : array_like
        Gas constant. [J/(kg K)]

    Returns
    -------
    ndarray
        Steady-flow work. [J/kg]

    Notes
    -----
    w = n/(n-1) R T (r^((n-1)/n) - 1).  Valid: ideal gas, constant specific heat; at r 9 real air with
    k 1.4 takes 0.1 % less and leaves 4 K cooler.

    References
    ----------
    [thermodynamics-engineering] eq. 7-57
    """
    n = np.asarray(exponent, dtype=np.float64)
    a = (n - 1.0) / n
    out: NDArray[np.float64] = (
        np.asarray(gas_constant) * np.asarray(inlet_temperature) / a * np.expm1(a * np.log(pressure_ratio))
    )
    return out


def isothermal_work(
    pressure_ratio: ArrayLike, *, inlet_temperature: ArrayLike, gas_constant: ArrayLike = R_DRY_AIR
) -> NDArray[np.float64]:
    """Return the least work that can compress a kilogram of air.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute pressures, delivery over intake. [-]
    inlet_temperature : array_like
        Temperature at the intake, held throughout. [K]
    gas_constant : array_like
        Gas constant. [J/(kg K)]

    Returns
    -------
    ndarray
        Steady-flow work. [J/kg]

    Notes
    -----
    w = R T ln r.  Valid: ideal gas.

    References
    ----------
    [thermodynamics-engineering] eq. 7-58
    """
    out: NDArray[np.float64] = np.asarray(gas_constant) * np.asarray(inlet_temperature) * np.log(pressure_ratio)
    return out


def polytropic_temperature(
    pressure_ratio: ArrayLike, *, inlet_temperature: ArrayLike, exponent: ArrayLike = KAPPA
) -> NDArray[np.float64]:
    """Return the temperature at the end of a polytropic compression.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute pressures, delivery over intake. [-]
    inlet_temperature : array_like
        Temperature at the start. [K]
    exponent : array_like
        Polytropic exponent. [-]

    Returns
    -------
    ndarray
        Temperature. [K]

    Notes
    -----
    T2 = T1 r^((n-1)/n).  Valid: ideal gas; an air-cooled pump delivers cooler than its work exponent says.

    References
    ----------
    [physics] ideal gas on a polytropic line
    """
    n = np.asarray(exponent, dtype=np.float64)
    out: NDArray[np.float64] = np.asarray(inlet_temperature) * np.asarray(pressure_ratio) ** ((n - 1.0) / n)
    return out


def polytropic_heat(
    pressure_ratio: ArrayLike,
    *,
    inlet_temperature: ArrayLike,
    exponent: ArrayLike,
    specific_heat: ArrayLike = CP_DRY_AIR,
    gas_constant: ArrayLike = R_DRY_AIR,
) -> NDArray[np.float64]:
    """Return the heat a reversible polytropic compression gives to its cooling, for each kilogram.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute pressures, delivery over intake. [-]
    inlet_temperature : array_like
        Temperature at the start. [K]
    exponent : array_like
        Polytropic exponent, above 1. [-]
    specific_heat, gas_constant : array_like
        Of the gas, at constant pressure. [J/(kg K)]

    Returns
    -------
    ndarray
        Heat given off; zero at the isentropic exponent. [J/kg]

    Notes
    -----
    q = w - cp (T2 - T1).  Valid: as ``polytropic_work``.

    References
    ----------
    [physics] steady-flow energy balance
    """
    w = polytropic_work(
        pressure_ratio, inlet_temperature=inlet_temperature, exponent=exponent, gas_constant=gas_constant
    )
    T2 = polytropic_temperature(pressure_ratio, inlet_temperature=inlet_temperature, exponent=exponent)
    return w - np.asarray(specific_heat) * (T2 - np.asarray(inlet_temperature))


def two_stage_work(
    pressure_ratio: ArrayLike,
    *,
    inlet_temperature: ArrayLike,
    exponent: ArrayLike = KAPPA,
    gas_constant: ArrayLike = R_DRY_AIR,
) -> NDArray[np.float64]:
    """Return the reversible work of two equal stages cooled back to the intake temperature between them.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute pressures, final delivery over intake. [-]
    inlet_temperature : array_like
        Temperature at both intakes. [K]
    exponent : array_like
        Polytropic exponent, above 1. [-]
    gas_constant : array_like
        Gas constant. [J/(kg K)]

    Returns
    -------
    ndarray
        Steady-flow work of both stages. [J/kg]

    Notes
    -----
    Twice ``polytropic_work`` at the root of the ratio.  Valid: ideal intercooling, no losses between stages.

    References
    ----------
    [thermodynamics-engineering] eq. 7-59
    """
    return 2.0 * polytropic_work(
        np.sqrt(pressure_ratio),
        inlet_temperature=inlet_temperature,
        exponent=exponent,
        gas_constant=gas_constant,
    )


def ideal_interstage_pressure(intake_pressure: ArrayLike, *, discharge_pressure: ArrayLike) -> NDArray[np.float64]:
    """Return the pressure between two stages that makes the ideal work least and equal in both.

    Parameters
    ----------
    intake_pressure, discharge_pressure : array_like
        Absolute pressures of the whole machine. [Pa]

    Returns
    -------
    ndarray
        Absolute pressure. [Pa]

    Notes
    -----
    p_x = sqrt(p1 p2).  Valid: same intake temperature and exponent in both stages.  A real pump sits where its two
    cylinders balance: see ``parts.pump.two_stage``.

    References
    ----------
    [thermodynamics-engineering] eq. 7-59
    """
    out: NDArray[np.float64] = np.sqrt(np.asarray(intake_pressure) * np.asarray(discharge_pressure))
    return out


def clearance_efficiency(
    pressure_ratio: ArrayLike,
    *,
    clearance: ArrayLike,
    exponent: ArrayLike,
    filling: ArrayLike = 1.0,
    leakage: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    """Return the volumetric efficiency that clearance leaves, on suction conditions.

    Parameters
    ----------
    pressure_ratio : array_like
        Absolute pressures, delivery over suction. [-]
    clearance : array_like
        Clearance volume over swept volume. [-]
    exponent : array_like
        Exponent of the re-expansion. [-]
    filling : array_like
        1 for the bare relation; the handbook form takes 0.97. [-]
    leakage : array_like
        Share lost past rings and valves; the handbook form takes 0.03 with oil, 0.07 without. [-]

    Returns
    -------
    ndarray
        Volume taken in over swept volume, never below 0. [-]

    Notes
    -----
    e = f - c (r^(1/n) - 1) - L.  Valid: steady suction pressure, no heating; reads high for a small hot pump.

    References
    ----------
    [mechanical-handbook] reciprocating compressors
    """
    r = np.asarray(pressure_ratio, dtype=np.float64)
    loss = np.asarray(clearance) * (r ** (1.0 / np.asarray(exponent)) - 1.0)
    out: NDArray[np.float64] = np.maximum(np.asarray(filling) - loss - np.asarray(leakage), 0.0)
    return out


def compression_power(
    volume_flow: ArrayLike,
    *,
    intake_pressure: ArrayLike,
    pressure_ratio: ArrayLike,
    exponent: ArrayLike = KAPPA,
) -> NDArray[np.float64]:
    """Return the reversible power to compress a flow in one stage; adiabatic with the exponent left alone.

    Parameters
    ----------
    volume_flow : array_like
        Flow as it stands at the intake. [m3/s]
    intake_pressure : array_like
        Absolute pressure. [Pa]
    pressure_ratio : array_like
        Absolute pressures, delivery over intake. [-]
    exponent : array_like
        Polytropic exponent, above 1. [-]

    Returns
    -------
    ndarray
        Power. [W]

    Notes
    -----
    P = n/(n-1) p1 Q (r^((n-1)/n) - 1).  The trade's p1 Q/65.4 (r^0.286 - 1) horsepower is this, rounded.
    Valid: ideal gas, no losses.

    References
    ----------
    [fluid-power-applications] adiabatic horsepower form
    """
    per_pressure = polytropic_work(
        pressure_ratio, inlet_temperature=1.0, exponent=exponent, gas_constant=1.0
    )  # n/(n-1) (r^((n-1)/n) - 1)
    return np.asarray(intake_pressure) * np.asarray(volume_flow) * per_pressure


def isothermal_power(
    volume_flow: ArrayLike, *, intake_pressure: ArrayLike, pressure_ratio: ArrayLike
) -> NDArray[np.float64]:
    """Return the least power that can compress a flow: what isothermal efficiency is measured against.

    Parameters
    ----------
    volume_flow : array_like
        Flow as it stands at the intake. [m3/s]
    intake_pressure : array_like
        Absolute pressure. [Pa]
    pressure_ratio : array_like
        Absolute pressures, delivery over intake. [-]

    Returns
    -------
    ndarray
        Power. [W]

    Notes
    -----
    P = p1 Q ln r.  Valid: ideal gas.

    References
    ----------
    [physics] ideal gas at constant temperature
    """
    return np.asarray(intake_pressure) * np.asarray(volume_flow) * np.log(pressure_ratio)


def swept_volume(bore: ArrayLike, *, stroke: ArrayLike, cylinders: ArrayLike = 1) -> NDArray[np.float64]:
    """Return the volume swept in one turn by all cylinders of one stage.

    Parameters
    ----------
    bore, stroke : array_like
        Of one cylinder. [m]
    cylinders : array_like
        Cylinders of this stage; one working face each counts once, a double-acting cylinder twice. [-]

    Returns
    -------
    ndarray
        Volume per revolution. [m3]

    Notes
    -----
    V = (pi/4) B^2 S z.  Valid: exact for single acting; a piston rod takes its share from a second face.

    References
    ----------
    [physics] geometry
    """
    area = np.pi / 4.0 * np.asarray(bore, dtype=np.float64) ** 2
    out: NDArray[np.float64] = area * np.asarray(stroke) * np.asarray(cylinders)
    return out


def bore_for_swept_volume(volume: ArrayLike, *, stroke_over_bore: ArrayLike) -> NDArray[np.float64]:
    """Return the bore of a cylinder of known swept volume and proportions.

    Parameters
    ----------
    volume : array_like
        Swept by one cylinder in one turn. [m3]
    stroke_over_bore : array_like
        Stroke over bore. [-]

    Returns
    -------
    ndarray
        Bore. [m]

    Notes
    -----
    B = (4 V/(pi k))^(1/3).  Valid: exact.

    References
    ----------
    [physics] geometry
    """
    out: NDArray[np.float64] = np.cbrt(4.0 * np.asarray(volume) / (np.pi * np.asarray(stroke_over_bore)))
    return out


def piston_speed(stroke: ArrayLike, *, speed: ArrayLike) -> NDArray[np.float64]:
    """Return the mean speed of the piston.

    Parameters
    ----------
    stroke : array_like
        Stroke. [m]
    speed : array_like
        Crankshaft speed. [1/s]

    Returns
    -------
    ndarray
        Mean speed. [m/s]

    Notes
    -----
    v = 2 S N.  Valid: exact; the greatest speed in the stroke is about 1.6 times this.

    References
    ----------
    [physics] geometry
    """
    out: NDArray[np.float64] = 2.0 * np.asarray(stroke, dtype=np.float64) * np.asarray(speed)
    return out


def free_air(
    volume_flow: ArrayLike,
    *,
    pressure: ArrayLike,
    temperature: ArrayLike,
    intake_pressure: ArrayLike,
    intake_temperature: ArrayLike,
) -> NDArray[np.float64]:
    """Return a flow of compressed air as the volume it had at the intake.

    Parameters
    ----------
    volume_flow : array_like
        Flow as it stands at ``pressure`` and ``temperature``. [m3/s]
    pressure, intake_pressure : array_like
        Absolute pressures, compressed and at the intake. [Pa]
    temperature, intake_temperature : array_like
        Temperatures, compressed and at the intake. [K]

    Returns
    -------
    ndarray
        Flow of dry air at intake conditions. [m3/s]

    Notes
    -----
    Q1 = Q2 (p2/p1)(T1/T2).  Valid: ideal gas, no water lost on the way.

    References
    ----------
    [fluid-power-applications] general gas law
    """
    out: NDArray[np.float64] = (
        np.asarray(volume_flow)
        * (np.asarray(pressure, dtype=np.float64) / np.asarray(intake_pressure))
        * (np.asarray(intake_temperature, dtype=np.float64) / np.asarray(temperature))
    )
    return out


def moist_air_volume(
    dry_air: ArrayLike, *, humidity_ratio: ArrayLike, temperature: ArrayLike, pressure: ArrayLike
) -> NDArray[np.float64]:
    """Return the volume a mass of dry air takes up together with the vapour it carries.

    Parameters
    ----------
    dry_air : array_like
        Flow of dry air; a mass gives a volume. [kg/s]
    humidity_ratio : array_like
        Mass of water over mass of dry air. [-]
    temperature : array_like
        Temperature. [K]
    pressure : array_like
        Absolute pressure of the mixture. [Pa]

    Returns
    -------
    ndarray
        Volume flow; at the intake this is free air delivered. [m3/s]

    Notes
    -----
    Q = m R T/(p - p_v) = m R T (1 + W/0.62198)/p.  Valid: ideal mixture, no liquid.

    References
    ----------
    [airfettle-equations] (a)
    """
    wet = 1.0 + np.asarray(humidity_ratio, dtype=np.float64) / MASS_RATIO
    out: NDArray[np.float64] = np.asarray(dry_air) * (R_DRY_AIR * wet * np.asarray(temperature) / np.asarray(pressure))
    return out
