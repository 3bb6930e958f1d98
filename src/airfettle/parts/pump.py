"""The pump: one or two stages at any speed and pressure - air, power, heat, and what leaves by the rings."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.interstage import Between, Feed, interstage
from airfettle.air.pump_state import Inlet, PumpState, single_stage_state, two_stage_state
from airfettle.air.stage import stage_at_speed, turn

__all__ = ["PumpState", "single_stage", "two_stage"]


def single_stage(
    *,
    speed: ArrayLike,
    rated_speed: ArrayLike,
    displacement: ArrayLike,
    clearance: ArrayLike,
    compression_exponent: ArrayLike,
    expansion_exponent: ArrayLike,
    suction_loss: ArrayLike,
    discharge_loss: ArrayLike,
    leakage: ArrayLike,
    heating: ArrayLike,
    friction_pressure: ArrayLike,
    friction_pressure_speed: ArrayLike,
    wall_heat_share: ArrayLike,
    intake_pressure: ArrayLike,
    intake_temperature: ArrayLike,
    intake_humidity_ratio: ArrayLike,
    discharge_pressure: ArrayLike,
    blow_by_share: ArrayLike = 0.0,
    leakage_ratio: ArrayLike | None = None,
) -> PumpState:
    """Return the state of a single-stage pump.

    Parameters
    ----------
    speed, rated_speed : array_like
        Crankshaft speed, and the speed the losses are given at. [1/s]
    displacement : array_like
        Swept by all cylinders in one turn. [m3]
    clearance : array_like
        Clearance volume over swept volume. [-]
    compression_exponent, expansion_exponent : array_like
        Polytropic exponents of compression and of the re-expansion of the clearance air. [-]
    suction_loss, discharge_loss : array_like
        Valve losses at rated speed over line pressure; they grow with the square of speed. [-]
    leakage : array_like
        Share of the charge lost to delivery at rated speed; it grows as the pump slows. [-]
    heating : array_like
        Absolute temperature of the charge in the cylinder over that at the intake. [-]
    friction_pressure, friction_pressure_speed : array_like
        Friction mean effective pressure on the swept volume: the constant part, and what rated speed adds. [Pa]
    wall_heat_share : array_like
        Share of the indicated work that the walls take. [-]
    intake_pressure : array_like
        Absolute pressure at the pump's inlet, after the filter. [Pa]
    intake_temperature : array_like
        At the pump's inlet. [K]
    intake_humidity_ratio : array_like
        Of the intake air. [-]
    discharge_pressure : array_like
        Absolute pressure behind the delivery valve; below the intake's it is read as the intake's. [Pa]
    blow_by_share : array_like
        Share of the leak that leaves by the rings and is lost; the rest goes back through valves. [-]
    leakage_ratio : array_like, optional
        Pressure ratio at which the leakage holds, which then grows with the ratio; left out, it holds at every
        ratio. [-]

    Returns
    -------
    PumpState
        Flows [kg/s], [m3/s], powers [W], pressures [Pa] and temperatures [K].

    Notes
    -----
    See ``air.stage`` and ``air.cylinder`` for the equations.  Valid: pressure ratio 2 to 13, speed 0.4 to 1.3 of rated,
    dry gas within 3 %; pulsation and valve flutter are left out, so that delivery reads high where they rule.

    References
    ----------
    [airfettle-equations] (a)
    """
    x = _floats(speed) / _floats(rated_speed)
    stage = stage_at_speed(
        x,
        swept_volume=displacement,
        clearance=clearance,
        compression_exponent=compression_exponent,
        expansion_exponent=expansion_exponent,
        suction_loss=suction_loss,
        discharge_loss=discharge_loss,
        heating=heating,
        leakage=leakage,
        leakage_ratio=leakage_ratio,
        blow_by_share=blow_by_share,
        wall_heat_share=wall_heat_share,
    )
    one = turn(
        stage,
        suction_line_pressure=intake_pressure,
        discharge_line_pressure=np.maximum(_floats(discharge_pressure), _floats(intake_pressure)),
        temperature=intake_temperature,
        humidity_ratio=intake_humidity_ratio,
    )
    inlet = Inlet(_floats(intake_pressure), _floats(intake_temperature), _floats(intake_humidity_ratio))
    friction = _floats(friction_pressure) + _floats(friction_pressure_speed) * x
    return single_stage_state(stage, turn=one, inlet=inlet, speed=_floats(speed), friction=friction)


def two_stage(
    *,
    speed: ArrayLike,
    rated_speed: ArrayLike,
    displacement: ArrayLike,
    second_displacement: ArrayLike,
    clearance: ArrayLike,
    second_clearance: ArrayLike,
    compression_exponent: ArrayLike,
    expansion_exponent: ArrayLike,
    suction_loss: ArrayLike,
    discharge_loss: ArrayLike,
    leakage: ArrayLike,
    heating: ArrayLike,
    second_heating: ArrayLike,
    friction_pressure: ArrayLike,
    friction_pressure_speed: ArrayLike,
    wall_heat_share: ArrayLike,
    intercooler_effectiveness: ArrayLike,
    intercooler_loss: ArrayLike,
    coolant_temperature: ArrayLike,
    intake_pressure: ArrayLike,
    intake_temperature: ArrayLike,
    intake_humidity_ratio: ArrayLike,
    discharge_pressure: ArrayLike,
    second_leakage: ArrayLike | None = None,
    blow_by_share: ArrayLike = 0.0,
    leakage_ratio: ArrayLike | None = None,
    intercooler_feed: Feed = "energy",
    interstage_guess: ArrayLike | None = None,
) -> PumpState:
    """Return the state of a two-stage pump with an intercooler.

    Parameters
    ----------
    speed, rated_speed : array_like
        Crankshaft speed, and the speed the losses are given at. [1/s]
    displacement, second_displacement : array_like
        Swept in one turn by all low-pressure, and by all high-pressure, cylinders. [m3]
    clearance, second_clearance : array_like
        Clearance volume over swept volume of each stage. [-]
    compression_exponent, expansion_exponent : array_like
        Polytropic exponents of compression and of the re-expansion of the clearance air, of both stages. [-]
    suction_loss, discharge_loss : array_like
        Valve losses of both stages at rated speed over line pressure; they grow with the square of speed. [-]
    leakage : array_like
        Share of the first stage's charge lost to delivery at rated speed; it grows as the pump slows. [-]
    heating, second_heating : array_like
        Absolute temperature of the charge in the cylinder over that at the stage's inlet. [-]
    friction_pressure, friction_pressure_speed : array_like
        Friction mean effective pressure on the swept volume of both stages: constant part, and what rated speed
        adds. [Pa]
    wall_heat_share : array_like
        Share of each stage's indicated work that the walls take. [-]
    intercooler_effectiveness : array_like
        Cooling over the greatest cooling the coolant could give. [-]
    intercooler_loss : array_like
        Pressure drop over interstage pressure. [-]
    coolant_temperature : array_like
        Of the air that cools the intercooler. [K]
    intake_pressure : array_like
        Absolute pressure at the pump's inlet, after the filter. [Pa]
    intake_temperature : array_like
        At the pump's inlet. [K]
    intake_humidity_ratio : array_like
        Of the intake air. [-]
    discharge_pressure : array_like
        Absolute pressure behind the last delivery valve; below the intake's it is read as the intake's. [Pa]
    second_leakage : array_like, optional
        Leakage of the second stage; left out, as the first. [-]
    blow_by_share : array_like
        Share of each leak that leaves by the rings and is lost; the rest goes back through valves. [-]
    leakage_ratio : array_like, optional
        Pressure ratio of a stage at which the leakage holds, which then grows with the ratio; left out, it holds
        at every ratio. [-]
    intercooler_feed : str
        First-stage temperature the intercooler is given: "energy" of the energy balance, "work" of the compression
        line, which is hotter. [text]
    interstage_guess : array_like, optional
        An absolute interstage pressure to start from, such as the answer at a near condition. [Pa]

    Returns
    -------
    PumpState
        Flows [kg/s], [m3/s], powers [W], pressures [Pa] and temperatures [K].

    Notes
    -----
    The interstage pressure is where both stages pass the same air, with condensation: see ``air.interstage``.  The
    latent heat of that water loads the intercooler but does not warm its outlet.  Valid: stage ratios 2 to 6, speed
    0.4 to 1.3 of rated.  With the receiver nearly empty air blows through the second stage, and its work reads 0.

    References
    ----------
    [airfettle-equations] (a), two stages
    """
    x = _floats(speed) / _floats(rated_speed)
    first, second = (
        stage_at_speed(
            x,
            swept_volume=swept,
            clearance=share,
            compression_exponent=compression_exponent,
            expansion_exponent=expansion_exponent,
            suction_loss=suction_loss,
            discharge_loss=discharge_loss,
            heating=warmth,
            leakage=leak,
            leakage_ratio=leakage_ratio,
            blow_by_share=blow_by_share,
            wall_heat_share=wall_heat_share,
        )
        for swept, share, warmth, leak in (
            (displacement, clearance, heating, leakage),
            (
                second_displacement,
                second_clearance,
                second_heating,
                leakage if second_leakage is None else second_leakage,
            ),
        )
    )
    inlet = Inlet(_floats(intake_pressure), _floats(intake_temperature), _floats(intake_humidity_ratio))
    between = Between(
        first=first,
        second=second,
        intake_pressure=inlet.pressure,
        discharge_pressure=np.maximum(_floats(discharge_pressure), inlet.pressure),
        intake_temperature=inlet.temperature,
        coolant_temperature=_floats(coolant_temperature),
        intake_humidity_ratio=inlet.humidity_ratio,
        effectiveness=_floats(intercooler_effectiveness),
        loss=_floats(intercooler_loss),
        feed=intercooler_feed,
    )
    friction = _floats(friction_pressure) + _floats(friction_pressure_speed) * x
    at = interstage(between, guess=interstage_guess)
    return two_stage_state(between, at=at, inlet=inlet, speed=_floats(speed), friction=friction)


def _floats(value: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(value, dtype=np.float64)
