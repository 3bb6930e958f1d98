"""EQUATIONS (a) and (e): worked numbers of this project's own equation sets, not a publication.

Wall heat is given as the share that leaves the printed powers untouched; with the printed examples nothing blows by
and the leak does not depend on pressure.
"""

import numpy as np
import pytest

from airfettle.air.compression import (
    ideal_interstage_pressure,
    isothermal_power,
    isothermal_work,
    polytropic_temperature,
)
from airfettle.air.constants import CP_DRY_AIR, MASS_RATIO, ZERO_CELSIUS
from airfettle.air.moist import saturation_pressure
from airfettle.parts import crank, pump

SOURCE = "airfettle-equations"
SURE = "C"
CFM = 0.3048**3 / 60
AMBIENT, ROOM = 101_325.0, 298.15
COMMON = {
    "compression_exponent": 1.30,
    "expansion_exponent": 1.20,
    "suction_loss": 0.03,
    "leakage": 0.03,
    "heating": 1.05,
    "friction_pressure": 0.25e5,
    "friction_pressure_speed": 0.10e5,
    "intake_pressure": AMBIENT,
    "intake_temperature": ROOM,
    "wall_heat_share": 0.35,
}


def example_ss():
    return pump.single_stage(
        speed=15.0,
        rated_speed=15.0,
        displacement=0.600e-3,
        clearance=0.05,
        discharge_loss=0.05,
        intake_humidity_ratio=0.0,
        discharge_pressure=963_325.0,
        **COMMON,
    )


def example_ts1():
    vapour = 0.60 * saturation_pressure(ROOM)
    return pump.two_stage(
        speed=850 / 60,
        rated_speed=850 / 60,
        displacement=0.650e-3,
        second_displacement=0.195e-3,
        clearance=0.05,
        second_clearance=0.06,
        discharge_loss=0.04,
        second_heating=1.04,
        intercooler_effectiveness=0.75,
        intercooler_loss=0.02,
        coolant_temperature=ROOM,
        intake_humidity_ratio=MASS_RATIO * vapour / (AMBIENT - vapour),
        discharge_pressure=1_307_925.0,
        intercooler_feed="work",
        **COMMON,
    )


def test_example_ss(published):
    s = example_ss()
    rows = [
        ("p1", 98285.25, s.first_suction_pressure, "Pa", 0.005),
        ("p2", 1011491.25, s.first_discharge_pressure, "Pa", 0.005),
        ("r", 10.29138, s.first_discharge_pressure / s.first_suction_pressure, "-", 5e-6),
        ("ev", 0.62825, s.volumetric_efficiency, "-", 5e-6),
        ("W", 132.57629, s.first_work, "J", 5e-6),
        ("m", 0.006694, s.delivered_dry_air, "kg/s", 5e-7),
        ("FAD", 339.26, s.free_air_delivery * 60_000, "L/min", 0.005),
        ("FAD", 11.981, s.free_air_delivery / CFM, "cfm", 0.0005),
        ("Pi", 1988.6, s.indicated_power, "W", 0.05),
        ("Pf", 315.0, s.friction_power, "W", 0.05),
        ("P", 2303.6, s.shaft_power, "W", 0.05),
        ("torque", 24.442, s.mean_torque, "N m", 0.0005),
        ("T_work", 536.132, s.first_work_temperature, "K", 0.0005),
        ("Pi - m cp (T_work - Ts)", 387.6,
         s.indicated_power - s.delivered_dry_air * 1005.0 * (s.first_work_temperature - ROOM), "W", 0.05),
    ]  # fmt: skip
    for name, printed, computed, unit, half_digit in rows:
        published(f"SS {name}", printed=printed, computed=computed, unit=unit, abs=half_digit)


def test_example_ss_efficiencies(published):
    s = example_ss()
    ratio = 963_325.0 / AMBIENT
    least = isothermal_power(s.free_air_delivery, intake_pressure=AMBIENT, pressure_ratio=ratio)
    rise = polytropic_temperature(ratio, inlet_temperature=ROOM) - ROOM
    adiabatic = s.delivered_dry_air * CP_DRY_AIR * rise  # the sets' cp, not 3.5 R
    published("SS isothermal", printed=0.5601, computed=least / s.shaft_power, unit="-", abs=5e-5)
    published("SS isentropic", printed=0.7863, computed=adiabatic / s.shaft_power, unit="-", abs=5e-5)


def test_example_ts1(published):
    t = example_ts1()
    stage = [
        t.first_discharge_pressure / t.first_suction_pressure,
        t.second_discharge_pressure / t.second_suction_pressure,
    ]
    rows = [
        ("p_i", 383.7006, t.interstage_pressure / 1e3, "kPa", 5e-5),
        ("r1", 4.06011, stage[0], "-", 5e-6),
        ("r2", 3.72929, stage[1], "-", 5e-6),
        ("T_work1", 159.419, t.first_work_temperature - ZERO_CELSIUS, "degC", 5e-4),
        ("Ti", 58.605, t.interstage_temperature - ZERO_CELSIUS, "degC", 5e-4),
        ("T_work2", 194.331, t.second_work_temperature - ZERO_CELSIUS, "degC", 5e-4),
        ("ev", 0.79687, t.volumetric_efficiency, "-", 5e-6),
        ("W1", 94.76222, t.first_work, "J", 5e-6),
        ("W2", 97.14442, t.second_work, "J", 5e-6),
        ("dry air", 0.0085243, t.delivered_dry_air, "kg/s", 5e-8),
        ("W humidity", 0.0118957, t.interstage_humidity_ratio, "-", 5e-8),
        ("FAD", 440.273, t.free_air_delivery * 60_000, "L/min", 5e-4),
        ("FAD", 15.548, t.free_air_delivery / CFM, "cfm", 5e-4),
        ("P1", 1342.46, t.first_work * 850 / 60, "W", 0.005),
        ("P2", 1376.21, t.second_work * 850 / 60, "W", 0.005),
        ("Pf", 418.98, t.friction_power, "W", 0.005),
        ("P", 3137.65, t.shaft_power, "W", 0.015),  # printed as the sum of three rounded numbers
    ]
    for name, printed, computed, unit, half_digit in rows:
        published(f"TS1 {name}", printed=printed, computed=computed, unit=unit, abs=half_digit)
    assert t.interstage_condensate == 0.0


def test_example_ts1_efficiency(published):
    """The printed figure counts the moist mass with the gas constant of dry air; by free air it would be 0.6061."""
    t = example_ts1()
    moist_mass = t.delivered_dry_air * (1.0 + t.delivered_humidity_ratio)
    least = moist_mass * isothermal_work(1_307_925.0 / AMBIENT, inlet_temperature=ROOM)
    published("TS1 isothermal", printed=0.6018, computed=least / t.shaft_power, unit="-", abs=5e-5)


def test_example_ts1_ideal_root(published):
    root = ideal_interstage_pressure(AMBIENT, discharge_pressure=1_307_925.0)
    published("TS1 ideal root", printed=364.04, computed=root / 1e3, unit="kPa", abs=0.005)


# layout, rpm, peak/mean, min/mean, dE, C_s, C_s with the rotor, gas-only dE
CRANK = [
    ("single", 900, 9.147, -2.429, 58.552, 0.01099, 0.00742, 60.148),
    ("parallel twin", 900, 4.524, -1.189, 41.752, 0.00783, 0.00529, 45.169),
    ("parallel twin", 450, 4.648, -1.260, 44.312, 0.03326, 0.02247, 45.169),
]
ONE = np.pi / 4 * 0.080**2 * 0.0597


def crank_example(layout, **steps):
    cylinders = [crank.Cylinder(ONE, 0.05, 98285.25, 1011491.25, phase) for phase in crank.LAYOUTS[layout]]
    return crank.torque_shape(
        cylinders,
        stroke=0.0597,
        rod_length=0.125,
        reciprocating_mass=0.45,
        compression_exponent=1.30,
        expansion_exponent=1.20,
        crankcase_pressure=AMBIENT,
        **steps,
    )


@pytest.mark.parametrize(("layout", "rpm", "peak", "least", "excess", "swing", "swing_rotor", "gas_only"), CRANK)
def test_crank_table(published, layout, rpm, peak, least, excess, swing, swing_rotor, gas_only):
    """The printed table: 7200 even steps."""
    shape = crank_example(layout, angles=7200, corners=False)
    f = crank.fluctuation(shape, speed=rpm / 60, inertia=0.60)
    rotor = crank.fluctuation(shape, speed=rpm / 60, inertia=0.60 + 0.018 * 4**2)
    name = f"(e) {layout} {rpm}"
    published(f"{name} peak/mean", printed=peak, computed=f.peak_over_mean, unit="-", abs=5e-4)
    published(f"{name} min/mean", printed=least, computed=f.least_over_mean, unit="-", abs=5e-4)
    published(f"{name} dE", printed=excess, computed=f.excess_energy, unit="J", abs=5e-4)
    published(f"{name} C_s", printed=swing, computed=f.speed_fluctuation, unit="-", abs=5e-6)
    published(f"{name} C_s with rotor", printed=swing_rotor, computed=rotor.speed_fluctuation, unit="-", abs=5e-6)
    still = crank.fluctuation(shape, speed=0.0, inertia=0.60)
    published(f"{name} gas-only dE", printed=gas_only, computed=still.excess_energy, unit="J", abs=5e-4)


@pytest.mark.parametrize(("layout", "rpm", "peak", "least", "excess", "swing", "swing_rotor", "gas_only"), CRANK)
def test_crank_table_by_ninety_steps(published, layout, rpm, peak, least, excess, swing, swing_rotor, gas_only):
    """The same from 90 steps with the corners; the printed peaks, of even steps, lie 0.03 % under the corner."""
    f = crank.fluctuation(crank_example(layout), speed=rpm / 60, inertia=0.60)
    name = f"(e) {layout} {rpm}, 90 steps,"
    published(f"{name} peak/mean", printed=peak, computed=f.peak_over_mean, unit="-", rel=0.001)
    published(f"{name} min/mean", printed=least, computed=f.least_over_mean, unit="-", rel=0.001)
    published(f"{name} dE", printed=excess, computed=f.excess_energy, unit="J", rel=0.001)
    published(f"{name} C_s", printed=swing, computed=f.speed_fluctuation, unit="-", rel=0.001)


def test_crank_mean_torque(published):
    published("(e) mean of one", printed=10.5531, computed=crank_example("single").mean_torque, unit="N m", abs=5e-5)
    published("(e) mean of two", printed=21.1061, computed=crank_example("parallel twin").mean_torque, unit="N m",
              abs=5e-5)  # fmt: skip
