"""What a pump takes in, gives out and spends: the books of one turn, closed for air, water and energy."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.air.compression import moist_air_volume
from airfettle.air.constants import CP_DRY_AIR, CP_LIQUID, CP_VAPOUR, LATENT_HEAT, ZERO_CELSIUS
from airfettle.air.interstage import Between, Interstage
from airfettle.air.stage import Stage, Turn, turn


@dataclass(frozen=True)
class PumpState:
    """A running pump. Arrays keep the shape their inputs give them; axes a number does not depend on have length 1.

    Dry air in = delivered + blow-by; water in = delivered + blown by + condensate; shaft power = friction + heat to
    walls + heat to intercooler + enthalpy gained by the delivered air, the blow-by and the condensate.

    Attributes
    ----------
    intake_dry_air, delivered_dry_air, blow_by_dry_air : ndarray
        Flow of dry air taken, delivered, and lost past the rings. [kg/s]
    delivered_humidity_ratio : ndarray
        Of the delivered air. [-]
    blow_by_vapour : ndarray
        Water leaving with the blow-by. [kg/s]
    free_air_delivery : ndarray
        Delivered air as the moist volume it had at the pump's intake. [m3/s]
    volumetric_efficiency : ndarray
        Free air over displacement of the first stage. [-]
    first_work, second_work : ndarray
        Indicated work of each stage in one turn; the second is 0 in a single-stage pump. [J]
    indicated_power, friction_power, shaft_power : ndarray
        Power; shaft power is the sum of the other two. [W]
    mean_torque : ndarray
        Of the crankshaft, over a turn. [N m]
    first_suction_pressure, first_discharge_pressure : ndarray
        Absolute pressures inside the first-stage cylinders. [Pa]
    second_suction_pressure, second_discharge_pressure : ndarray
        The same of the second stage; 0 in a single-stage pump. [Pa]
    discharge_temperature : ndarray
        Of the delivered air, from the energy balance. [K]
    first_discharge_temperature : ndarray
        Of the air leaving the first stage, from the energy balance. [K]
    first_work_temperature, second_work_temperature : ndarray
        Ends of the compression lines: what the work exponent says, above what is measured; the second is 0 in a
        single-stage pump. [K]
    interstage_pressure, interstage_temperature, interstage_humidity_ratio : ndarray
        Absolute pressure [Pa] before the intercooler, temperature [K] and humidity ratio [-] after it; 0 in a
        single-stage pump.
    interstage_condensate : ndarray
        Water dropped in the intercooler, as cold as the air there. [kg/s]
    interstage_dry_air : ndarray
        Dry air through the intercooler; in a single-stage pump what it delivers. [kg/s]
    heat_to_walls : ndarray
        Heat the cylinders and heads take from the air. [W]
    heat_to_intercooler : ndarray
        Heat the intercooler takes. [W]
    blow_by_enthalpy : ndarray
        Enthalpy gained by the air that blows by, from intake to cylinder temperature. [W]
    """

    intake_dry_air: NDArray[np.float64]
    delivered_dry_air: NDArray[np.float64]
    blow_by_dry_air: NDArray[np.float64]
    delivered_humidity_ratio: NDArray[np.float64]
    blow_by_vapour: NDArray[np.float64]
    free_air_delivery: NDArray[np.float64]
    volumetric_efficiency: NDArray[np.float64]
    first_work: NDArray[np.float64]
    second_work: NDArray[np.float64]
    indicated_power: NDArray[np.float64]
    friction_power: NDArray[np.float64]
    shaft_power: NDArray[np.float64]
    mean_torque: NDArray[np.float64]
    first_suction_pressure: NDArray[np.float64]
    first_discharge_pressure: NDArray[np.float64]
    second_suction_pressure: NDArray[np.float64]
    second_discharge_pressure: NDArray[np.float64]
    discharge_temperature: NDArray[np.float64]
    first_discharge_temperature: NDArray[np.float64]
    first_work_temperature: NDArray[np.float64]
    second_work_temperature: NDArray[np.float64]
    interstage_pressure: NDArray[np.float64]
    interstage_temperature: NDArray[np.float64]
    interstage_humidity_ratio: NDArray[np.float64]
    interstage_condensate: NDArray[np.float64]
    interstage_dry_air: NDArray[np.float64]
    heat_to_walls: NDArray[np.float64]
    heat_to_intercooler: NDArray[np.float64]
    blow_by_enthalpy: NDArray[np.float64]


@dataclass(frozen=True)
class Inlet:
    """The air at a pump's inlet.

    Attributes
    ----------
    pressure : ndarray
        Absolute. [Pa]
    temperature : ndarray
        Temperature. [K]
    humidity_ratio : ndarray
        Mass of water over mass of dry air. [-]
    """

    pressure: NDArray[np.float64]
    temperature: NDArray[np.float64]
    humidity_ratio: NDArray[np.float64]

    def volume(self, dry_air: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the volume a mass of dry air took up here with its vapour."""
        return moist_air_volume(
            dry_air, humidity_ratio=self.humidity_ratio, temperature=self.temperature, pressure=self.pressure
        )


def single_stage_state(
    stage: Stage, *, turn: Turn, inlet: Inlet, speed: NDArray[np.float64], friction: NDArray[np.float64]
) -> PumpState:
    """Return the state of a single-stage pump from its stage's turn.

    Parameters
    ----------
    stage : Stage
        The stage at its speed. [-]
    turn : Turn
        What it does in one turn. [-]
    inlet : Inlet
        The air it takes. [-]
    speed : ndarray
        Crankshaft speed. [1/s]
    friction : ndarray
        Friction mean effective pressure. [Pa]

    Returns
    -------
    PumpState
        Flows [kg/s], [m3/s], powers [W], pressures [Pa] and temperatures [K].

    References
    ----------
    [airfettle-equations] (a); [physics] balances of air, water and energy
    """
    one, N = turn, speed
    delivered = one.charge * (1.0 - one.leak)
    blown = one.charge * (one.leak * stage.blow_by_share)
    cp = _cp(inlet.humidity_ratio)
    blown_heat = blown * (cp * (stage.heating - 1.0) * inlet.temperature)
    gained = delivered * cp * (one.discharge_temperature - inlet.temperature)
    free = inlet.volume(delivered)
    rubbing = friction * stage.swept_volume
    none = np.zeros(())
    indicated, friction_power = one.work * N, rubbing * N
    return PumpState(
        intake_dry_air=(delivered + blown) * N,
        delivered_dry_air=delivered * N,
        blow_by_dry_air=blown * N,
        delivered_humidity_ratio=inlet.humidity_ratio,
        blow_by_vapour=blown * inlet.humidity_ratio * N,
        free_air_delivery=free * N,
        volumetric_efficiency=free / stage.swept_volume,
        first_work=one.work,
        second_work=none,
        indicated_power=indicated,
        friction_power=friction_power,
        shaft_power=indicated + friction_power,
        mean_torque=(one.work + rubbing) / (2.0 * np.pi),
        first_suction_pressure=one.suction_pressure,
        first_discharge_pressure=one.discharge_pressure,
        second_suction_pressure=none,
        second_discharge_pressure=none,
        discharge_temperature=one.discharge_temperature,
        first_discharge_temperature=one.discharge_temperature,
        first_work_temperature=one.work_temperature,
        second_work_temperature=none,
        interstage_pressure=none,
        interstage_temperature=none,
        interstage_humidity_ratio=none,
        interstage_condensate=none,
        interstage_dry_air=delivered * N,
        heat_to_walls=(one.work - gained - blown_heat) * N,
        heat_to_intercooler=none,
        blow_by_enthalpy=blown_heat * N,
    )


def two_stage_state(
    between: Between,
    *,
    at: Interstage,
    inlet: Inlet,
    speed: NDArray[np.float64],
    friction: NDArray[np.float64],
) -> PumpState:
    """Return the state of a two-stage pump at its interstage pressure.

    Parameters
    ----------
    between : Between
        The stages at their speed, and their surroundings. [-]
    at : Interstage
        Pressure and humidity between them. [-]
    inlet : Inlet
        The air the first stage takes. [-]
    speed : ndarray
        Crankshaft speed. [1/s]
    friction : ndarray
        Friction mean effective pressure. [Pa]

    Returns
    -------
    PumpState
        Flows [kg/s], [m3/s], powers [W], pressures [Pa] and temperatures [K].

    Notes
    -----
    The second stage takes what the first passes on, so that the balances close whatever the pressure.

    References
    ----------
    [airfettle-equations] (a), two stages; [physics] balances of air, water and energy
    """
    b, N, pressure, W = between, speed, at.pressure, at.humidity_ratio
    one = b.first_turn(pressure)
    T, W0 = b.cooled(one), inlet.humidity_ratio
    after = pressure * (1.0 - b.loss)
    two = turn(b.second, suction_line_pressure=after, discharge_line_pressure=b.discharge_pressure,
               temperature=T, humidity_ratio=W)  # fmt: skip

    passed = one.charge * (1.0 - one.leak)
    first_blown = one.charge * (one.leak * b.first.blow_by_share)
    lost = two.leak * b.second.blow_by_share
    charge = passed / (1.0 - two.leak + lost)
    delivered, second_blown = charge * (1.0 - two.leak), charge * lost

    cp0, cp, cylinder = _cp(W0), _cp(W), b.second.heating * T
    evaporated = (W0 - W) * (LATENT_HEAT + (CP_VAPOUR - CP_LIQUID) * (T - ZERO_CELSIUS))
    first_blown_heat = first_blown * (cp0 * (b.first.heating - 1.0) * inlet.temperature)
    warming = cp * (cylinder - T)
    from_intake = CP_DRY_AIR * (cylinder - inlet.temperature) + _vapour(cylinder, W) - _vapour(inlet.temperature, W0)
    walls = (
        one.work + two.work - first_blown_heat - second_blown * warming
        - passed * cp0 * (one.discharge_temperature - inlet.temperature)
        - delivered * cp * (two.discharge_temperature - T)
    )  # fmt: skip

    swept = b.first.swept_volume + b.second.swept_volume
    indicated, rubbing, free = one.work + two.work, friction * swept, inlet.volume(delivered)
    indicated_power, friction_power = indicated * N, rubbing * N
    return PumpState(
        intake_dry_air=(passed + first_blown) * N,
        delivered_dry_air=delivered * N,
        blow_by_dry_air=(first_blown + second_blown) * N,
        delivered_humidity_ratio=W,
        blow_by_vapour=(first_blown * W0 + second_blown * W) * N,
        free_air_delivery=free * N,
        volumetric_efficiency=free / b.first.swept_volume,
        first_work=one.work,
        second_work=two.work,
        indicated_power=indicated_power,
        friction_power=friction_power,
        shaft_power=indicated_power + friction_power,
        mean_torque=(indicated + rubbing) / (2.0 * np.pi),
        first_suction_pressure=one.suction_pressure,
        first_discharge_pressure=one.discharge_pressure,
        second_suction_pressure=two.suction_pressure,
        second_discharge_pressure=two.discharge_pressure,
        discharge_temperature=two.discharge_temperature,
        first_discharge_temperature=one.discharge_temperature,
        first_work_temperature=one.work_temperature,
        second_work_temperature=two.work_temperature,
        interstage_pressure=pressure,
        interstage_temperature=T,
        interstage_humidity_ratio=W,
        interstage_condensate=passed * (W0 - W) * N,
        interstage_dry_air=passed * N,
        heat_to_walls=walls * N,
        heat_to_intercooler=passed * (cp0 * (one.discharge_temperature - T) + evaporated) * N,
        blow_by_enthalpy=(first_blown_heat + second_blown * from_intake) * N,
    )


def _cp(W: NDArray[np.float64]) -> NDArray[np.float64]:
    return CP_DRY_AIR + CP_VAPOUR * W


def _vapour(T: NDArray[np.float64], W: NDArray[np.float64]) -> NDArray[np.float64]:
    return W * (LATENT_HEAT + CP_VAPOUR * (T - ZERO_CELSIUS))
