"""Worked examples of textbooks on reciprocating compressors, and what the trade and its guides print about them."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from airfettle.air import compression, cylinder
from airfettle.air.atmosphere import barometric_pressure
from airfettle.parts import pump

SOURCE = "thermodynamics-engineering"
SURE = "A*"
R = 287.0  # the textbooks' gas constant
INCH, PSI, FOOT = 0.0254, 6894.757293168361, 0.3048
CFM, HP = FOOT**3 / 60, 745.6998715822702
PSIA = 14.7 * PSI
MINUTE = 60.0


def fahrenheit(kelvin):
    return kelvin * 1.8 - 459.67


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


# ------------------------------------------------------------------ ideal work


@pytest.mark.parametrize(("row", "n", "work", "hot"), [("T01", 1.4, 263.2, 562.0), ("T02", 1.3, 246.4, 498.1)])
def test_one_stage_by_exponent(published, row, n, work, hot):
    w = compression.polytropic_work(9.0, inlet_temperature=300.0, exponent=n, gas_constant=R)
    T2 = compression.polytropic_temperature(9.0, inlet_temperature=300.0, exponent=n)
    published(row, printed=work, computed=w / 1e3, unit="kJ/kg", rel=0.001)
    published(row, printed=hot, computed=T2, unit="K", rel=0.001)


def test_isothermal(published):
    w = compression.isothermal_work(9.0, inlet_temperature=300.0, gas_constant=R)
    published("T03", printed=189.2, computed=w / 1e3, unit="kJ/kg", rel=0.001)


def test_two_stages(published):
    w = compression.two_stage_work(9.0, inlet_temperature=300.0, exponent=1.3, gas_constant=R)
    T2 = compression.polytropic_temperature(3.0, inlet_temperature=300.0, exponent=1.3)
    published("T04", printed=215.3, computed=w / 1e3, unit="kJ/kg", rel=0.001, sure="A")
    published("T04", printed=386.6, computed=T2, unit="K", rel=0.001, sure="A")


def test_best_interstage_pressure(published):
    between = compression.ideal_interstage_pressure(100e3, discharge_pressure=900e3)
    published("T05", printed=300e3, computed=between, unit="Pa", rel=1e-12, sure="A")
    low, high = (
        compression.polytropic_work(ratio, inlet_temperature=300.0) for ratio in (between / 100e3, 900e3 / between)
    )
    published("T05", printed=1.0, computed=low / high, unit="-", rel=1e-12, sure="A")
    around = between * np.linspace(0.5, 2.0, 301)
    total = compression.polytropic_work(around / 100e3, inlet_temperature=300.0)
    total = total + compression.polytropic_work(900e3 / around, inlet_temperature=300.0)
    assert around[np.argmin(total)] == pytest.approx(between, rel=0.01)


def test_real_air_by_library(published):
    """Variable specific heat and real gas: the library's own run, and how near constant k comes to it."""
    start = {name: PropsSI(name, "P", 100e3, "T", 300.0, "Air") for name in ("HMASS", "SMASS")}
    end = {name: PropsSI(name, "P", 900e3, "SMASS", start["SMASS"], "Air") for name in ("HMASS", "T")}
    work = (end["HMASS"] - start["HMASS"]) / 1e3
    published("T06", printed=262.97, computed=work, unit="kJ/kg", rel=0.001, sure="C", source="coolprop")
    published("T06", printed=558.0, computed=end["T"], unit="K", rel=0.001, sure="C", source="coolprop")
    ideal = compression.polytropic_work(9.0, inlet_temperature=300.0) / 1e3
    published("T06 by constant k", printed=work, computed=ideal, unit="kJ/kg", rel=0.002, sure="C", source="coolprop")


def test_two_stages_isentropic(published):
    w = compression.two_stage_work(9.0, inlet_temperature=300.0, gas_constant=R)
    published("T07", printed=222.2, computed=w / 1e3, unit="kJ/kg", rel=0.001, sure="C", source="physics")


def test_two_stages_to_sixteen_bar(published):
    between = compression.ideal_interstage_pressure(100e3, discharge_pressure=1.6e6)
    w = compression.polytropic_work(between / 100e3, inlet_temperature=290.0, gas_constant=R)
    cooled = 1004.5 * (compression.polytropic_temperature(between / 100e3, inlet_temperature=290.0) - 290.0)
    for printed, computed, unit in ((400.0, between / 1e3, "kPa"), (141.6, w / 1e3, "kJ/kg"),
                                    (141.6, cooled / 1e3, "kJ/kg")):  # fmt: skip
        published("T08", printed=printed, computed=computed, unit=unit, rel=0.01, sure="A",
                  source="thermodynamics-fundamentals")  # fmt: skip


@pytest.mark.parametrize(("n", "printed"), [(1.4, 1.306), (1.25, 1.195), (1.0, 0.977)])
def test_exam_powers(published, n, printed):
    given = {"intake_pressure": 101_300.0, "pressure_ratio": 7 / 1.013}
    if n == 1.0:
        P = compression.isothermal_power(0.3 / MINUTE, **given)
    else:
        P = compression.compression_power(0.3 / MINUTE, exponent=n, **given)
    published("T09", printed=printed, computed=P / 1e3, unit="kW", rel=0.005, source="university-exam")


# ------------------------------------------------------------------ machines with clearance


def test_single_acting_of_one_cubic_metre(published):
    ratio = 7 / 1.013
    mass = 101_300.0 / (R * 288.0)
    P = compression.compression_power(1 / MINUTE, intake_pressure=101_300.0, pressure_ratio=ratio, exponent=1.35)
    T2 = compression.polytropic_temperature(ratio, inlet_temperature=288.0, exponent=1.35)
    bore = cylinder.bore_for_swept_volume(1 / 300, stroke_over_bore=1.5)
    how = {"rel": 0.003, "sure": "A", "source": "thermal-engineering"}
    published("T10", printed=1.2256, computed=mass, unit="kg/min", **how)
    published("T10", printed=475.4, computed=T2, unit="K", **how)
    published("T10", printed=4.24, computed=P / 1e3, unit="kW", **how)
    published("T11", printed=141.44, computed=bore * 1e3, unit="mm", **how)
    published("T11", printed=5.54, computed=P / 1e3 / 0.85 / 0.90, unit="kW", **how)


def test_double_acting_with_clearance(published):
    ratio, n = 4.5 / 0.95, 1.25
    swept = cylinder.swept_volume(0.330, stroke=0.350, cylinders=2) * 300
    filled = cylinder.clearance_efficiency(ratio, clearance=0.05, exponent=n)
    free = compression.free_air(
        swept * filled, pressure=0.95e5, temperature=298.0, intake_pressure=1.013e5, intake_temperature=293.0
    )
    mass = 1.013e5 * free / (R * 293.0)
    given = {"inlet_temperature": 298.0, "exponent": n}
    heat = mass * compression.polytropic_heat(ratio, gas_constant=R, specific_heat=1005.0, **given)
    shaft = mass / MINUTE * compression.polytropic_work(ratio, gas_constant=R, **given) / 0.8
    rows = [
        (17.961, swept, "m3/min"),
        (87.65, 100 * filled, "%"),
        (14.516, free, "m3/min"),
        (17.486, mass, "kg/min"),
        (406.7, compression.polytropic_temperature(ratio, **given), "K"),
        (818.0, heat / 1e3, "kJ/min"),
        (56.84, shaft / 1e3, "kW"),
    ]
    for printed, computed, unit in rows:
        published("T13", printed=printed, computed=computed, unit=unit, rel=0.003, source="thermal-engineering")


def test_clearance_at_six_and_a_half(published):
    filled = cylinder.clearance_efficiency(6.5, clearance=0.05, exponent=1.25)
    published("T16", printed=82.65, computed=100 * filled, unit="%", abs=0.05, sure="A",
              source="mechanical-engineering-companion")  # fmt: skip


def test_small_cylinder_with_clearance_volume(published):
    swept = cylinder.swept_volume(0.100, stroke=0.100)
    cycle = cylinder.clearance_cycle(
        8 / 0.95, clearance=80e-6 / swept, compression_exponent=1.2, expansion_exponent=1.2
    )
    free = compression.free_air(
        cycle.admitted * swept, pressure=0.95e5, temperature=303.0, intake_pressure=1.013e5, intake_temperature=293.0
    )
    for printed, computed, unit in ((3.565e-4, free, "m3"), (0.1426, free * 400, "m3/min"),
                                    (50.05, 100 * cycle.admitted, "%")):  # fmt: skip
        published("T18", printed=printed, computed=computed, unit=unit, rel=0.003, source="thermal-engineering-code")


def test_fourteen_cubic_metres(published):
    how = {"rel": 0.003, "source": "thermal-engineering-code"}
    P = compression.compression_power(14 / MINUTE, intake_pressure=100e3, pressure_ratio=7.0, exponent=1.3)
    T2 = compression.polytropic_temperature(7.0, inlet_temperature=288.0, exponent=1.3)
    bare = cylinder.clearance_efficiency(7.0, clearance=0.0, exponent=1.3)
    filled = cylinder.clearance_efficiency(7.0, clearance=0.05, exponent=1.3)
    published("T19", printed=0.02333, computed=14 / (300 * 2 * bare), unit="m3/stroke", **how)
    published("T19", printed=451.2, computed=T2, unit="K", **how)
    published("T19", printed=57.3, computed=P / 1e3, unit="kW", **how)
    published("T20", printed=82.66, computed=100 * filled, unit="%", rel=0.003, sure="C", source="physics")
    published("T20", printed=0.02823, computed=14 / (300 * 2 * filled), unit="m3", rel=0.003, sure="C",
              source="physics")  # fmt: skip


@pytest.mark.parametrize(
    ("c", "r", "n", "printed"),
    [(0.05, 7.8, 1.3, 0.8072), (0.04, 7.8, 1.2, 0.8184), (0.05, 3.0, 1.3, 0.9336), (0.05, 11.2, 1.3, 0.7293)],
)
def test_clearance_relation(published, c, r, n, printed):
    """The bare relation, and the two-term cycle the pump uses, agree with the print."""
    filled = cylinder.clearance_efficiency(r, clearance=c, exponent=n)
    cycle = cylinder.clearance_cycle(r, clearance=c, compression_exponent=1.35, expansion_exponent=n)
    published("T26", printed=printed, computed=filled, unit="-", abs=1e-4, sure="C", source="physics")
    published("T26", printed=printed, computed=cycle.admitted, unit="-", abs=1e-4, sure="C", source="physics")


def test_handbook_reciprocating_form(published):
    """Printed: 3 to 7 points under the bare relation, within 2."""
    bare = cylinder.clearance_efficiency(7.8, clearance=0.05, exponent=1.3)
    under = {
        leak: 100
        * (bare - cylinder.clearance_efficiency(7.8, clearance=0.05, exponent=1.3, filling=0.97, leakage=leak))
        for leak in (0.03, 0.07)
    }
    how = {"unit": "points", "sure": "B", "source": "mechanical-handbook"}
    published.band("T27 lubricated", low=3 - 2, high=7 + 2, computed=under[0.03], **how)
    why = "0.97 for 1 and 0.07 for leakage make 10 points; 3 to 7 is either correction alone"
    published("T27 not lubricated", printed=7.0, computed=under[0.07], abs=2.0, disagrees=why, **how)


# ------------------------------------------------------------------ the trade's units


def test_adiabatic_horsepower(published):
    P = compression.compression_power(100 * CFM, intake_pressure=PSIA, pressure_ratio=114.7 / 14.7)
    how = {"unit": "hp", "rel": 0.005, "source": "esposito-13"}
    published("T23", printed=17.97, computed=P / HP, **how)
    published("T23", printed=23.96, computed=P / HP / 0.75, **how)


def test_free_air_for_a_compressed_flow(published):
    free = compression.free_air(
        30.0,
        pressure=125 * PSI + PSIA,
        temperature=kelvin(90.0),
        intake_pressure=PSIA,
        intake_temperature=kelvin(70.0),
    )
    published("T25", printed=274.7, computed=free, unit="cfm", rel=0.005, source="esposito-13")


def test_piston_displacement(published):
    flow = cylinder.swept_volume(3.5 * INCH, stroke=3.0 * INCH, cylinders=2) * 15.0
    published("T28", printed=30.07, computed=flow / CFM, unit="cfm", rel=0.001, sure="C", source="physics")


def test_two_stage_ratios(published):
    top = 175 * PSI + PSIA
    between = compression.ideal_interstage_pressure(PSIA, discharge_pressure=top)
    how = {"sure": "C", "source": "physics"}
    published("T29", printed=12.905, computed=top / PSIA, unit="-", abs=0.0005, **how)
    published("T29", printed=3.592, computed=between / PSIA, unit="-", abs=0.0005, **how)
    published("T29", printed=38.1, computed=(between - PSIA) / PSI, unit="psig", abs=0.05, **how)
    for n, printed in ((1.4, 304.0), (1.3, 252.0)):
        T2 = compression.polytropic_temperature(between / PSIA, inlet_temperature=kelvin(70.0), exponent=n)
        published("T29", printed=printed, computed=fahrenheit(T2), unit="degF", abs=1.0, **how)


def test_uncooled_single_stage(published):
    T2 = compression.polytropic_temperature((125 + 14.7) / 14.7, inlet_temperature=kelvin(70.0))
    published("T30", printed=548.0, computed=fahrenheit(T2), unit="degF", abs=2.0, sure="C", source="physics")


# ------------------------------------------------------------------ bands, with the model at typical inputs

ROOM, SEA_LEVEL = 293.15, 101_325.0
TYPICAL = {
    "speed": 15.0,
    "rated_speed": 15.0,
    "clearance": 0.06,
    "compression_exponent": 1.30,
    "expansion_exponent": 1.20,
    "suction_loss": 0.03,
    "discharge_loss": 0.05,
    "leakage": 0.05,
    "heating": 1.05,
    "friction_pressure": 0.25e5,
    "friction_pressure_speed": 0.10e5,
    "wall_heat_share": 0.35,
    "intake_temperature": ROOM,
    "intake_humidity_ratio": 0.0073,
}
MOTOR_AND_BELT = 0.87 * 0.95


def one_stage(psig, *, intake=SEA_LEVEL, **changed):
    given = {**TYPICAL, "displacement": 0.6e-3, **changed}
    return pump.single_stage(intake_pressure=intake, discharge_pressure=intake + psig * PSI, **given)


def two_stages(psig, *, intake=SEA_LEVEL, **changed):
    given = {**TYPICAL, "displacement": 0.65e-3, "second_displacement": 0.195e-3, "second_clearance": 0.06,
             "second_heating": 1.04, "intercooler_effectiveness": 0.70, "intercooler_loss": 0.02,
             "coolant_temperature": ROOM, **changed}  # fmt: skip
    return pump.two_stage(intake_pressure=intake, discharge_pressure=intake + psig * PSI, **given)


@pytest.mark.parametrize(("machine", "low", "high"), [(one_stage, 22.0, 24.0), (two_stages, 19.0, 20.0)])
def test_specific_power_at_100_psig(published, machine, low, high):
    """At the meter: shaft power over motor 0.87 and belt 0.95. Printed band, 15 % either way."""
    s = machine(100.0)
    specific = s.shaft_power / MOTOR_AND_BELT / 1e3 / (s.free_air_delivery / CFM / 100)
    published.band("T33", low=0.85 * low, high=1.15 * high, computed=specific, unit="kW/100 cfm", sure="M",
                   source="specific-power-memory")  # fmt: skip


def test_volumetric_efficiency_bands(published):
    """Single stage: 6 % clearance at 100 psig, 5 % at 125; two stages at 175."""
    for state, low, high in (
        (one_stage(100.0), 0.60, 0.75),
        (one_stage(125.0, clearance=0.05, leakage=0.03), 0.60, 0.75),
        (two_stages(175.0), 0.70, 0.80),
    ):
        published.band("T34", low=low, high=high, computed=state.volumetric_efficiency, unit="-", sure="CP",
                       source="practice")  # fmt: skip


@pytest.mark.parametrize(("machine", "psig"), [(one_stage, 125.0), (two_stages, 175.0)])
def test_efficiency_bands(published, machine, psig):
    """Single stage at 125 psig with 5 % clearance; at 100 psig with 6 % its mechanical efficiency is 0.8497."""
    s = one_stage(psig, clearance=0.05, leakage=0.03) if machine is one_stage else two_stages(psig)
    given = {"intake_pressure": SEA_LEVEL, "pressure_ratio": 1 + psig * PSI / SEA_LEVEL}
    isothermal = compression.isothermal_power(s.free_air_delivery, **given) / s.shaft_power
    adiabatic = compression.compression_power(s.free_air_delivery, **given) / s.shaft_power
    how = {"unit": "-", "sure": "CP", "source": "practice"}
    published.band("T35 isothermal", low=0.55, high=0.70, computed=isothermal, **how)
    published.band("T35 mechanical", low=0.85, high=0.95, computed=s.indicated_power / s.shaft_power, **how)
    if machine is one_stage:  # against one adiabatic stage two stages may pass 80 %
        published.band("T35 isentropic", low=0.65, high=0.80, computed=adiabatic, **how)


def test_discharge_temperature_bands(published):
    how = {"unit": "degF", "sure": "CP", "source": "practice"}
    for psig in (90.0, 100.0):
        hot = fahrenheit(one_stage(psig).discharge_temperature)
        published.band("T36 single stage", low=300.0, high=400.0, computed=hot, **how)
    published.band("T36 two stage", low=250.0, high=350.0,
                   computed=fahrenheit(two_stages(175.0).discharge_temperature), **how)  # fmt: skip


# thousand feet, single stage, two stages: share of the delivery at sea level
ALTITUDE = [(2, 98.7, 99.4), (5, 92.5, 98.5), (8, 87.3, 97.6), (10, 84.0, 97.0)]
WHY = "the interstage pressure floats down with the intake, and a clearance of 6 % in each stage costs only 0.6 %"


@pytest.mark.parametrize(("kft", "single", "double"), ALTITUDE)
def test_delivery_at_altitude(published, kft, single, double):
    """At 2000 ft the single stage computes 97.3, nearer the 97.5 of a volumetric model than the printed 98.7."""
    up = barometric_pressure(kft * 1000 * FOOT)
    how = {"unit": "%", "abs": 2.0, "sure": "A", "source": "fm-5-434"}
    for row, machine, printed in (("T37 single stage", one_stage, single), ("T37 two stage", two_stages, double)):
        share = 100 * machine(100.0, intake=up).free_air_delivery / machine(100.0).free_air_delivery
        reason = WHY if (row, kft) == ("T37 two stage", 10) else ""
        published(f"{row} {kft} kft", printed=printed, computed=share, disagrees=reason, **how)
