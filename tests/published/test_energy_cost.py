"""Energy and cost: the government tip sheets."""

import pytest

from airfettle import tables
from airfettle.parts import energy

SOURCE = "doe-air-tip-1"
SURE = "A"

PSI = 6894.757293168361
PA = 14.7 * PSI
KWH = 3.6e6
BHP = 746.0  # the tip sheet's own rounding


def test_cost_formula(published):
    printed = 40 * 0.746 * 2000 * 0.12 * 0.6 * 0.9 / 0.92
    computed = energy.running_cost(
        shaft_power=40 * BHP,
        time=2000 * 3600,
        price=0.12 / KWH,
        time_share=0.6,
        load_share=0.9,
        motor_efficiency=0.92,
    )
    published("C01", printed=printed, computed=computed, unit="$", rel=1e-12)


def test_cost_of_a_year(published):
    plant = {"shaft_power": 215 * BHP, "time": 6800 * 3600, "price": 0.05 / KWH}
    loaded = energy.running_cost(**plant, time_share=0.85, motor_efficiency=0.95)
    idle = energy.running_cost(**plant, time_share=0.15, load_share=0.25, motor_efficiency=0.90)
    published("C02", printed=48_792, computed=loaded, unit="$", rel=0.001, sure="A*")
    published("C03", printed=2_272, computed=idle, unit="$", rel=0.001, sure="M")
    published("C03", printed=51_064, computed=loaded + idle, unit="$", rel=0.001, sure="M")


def band(what):
    table = tables.load("energy_bands")
    row = table.words("what").index(what)
    return float(table.numbers("low")[row]), float(table.numbers("high")[row])


@pytest.mark.parametrize("electric", [7, 8])
def test_air_motor(published, electric):
    low, high = band("overall efficiency")
    computed = energy.overall_efficiency(useful_power=745.7, electrical_power=electric * 745.7) * 100
    published.band("C08", low=low, high=high, computed=computed, unit="%")


@pytest.mark.parametrize(
    ("row", "what", "low", "high", "unit"),
    [
        ("C08", "overall efficiency", 10, 15, "%"),
        ("C09", "cost of air, older", 15, 30, "cents/1000 ft3"),
        ("C09", "cost of air", 30, 50, "cents/1000 ft3"),
        ("C10", "leak share, typical", 20, 30, "%"),
        ("C10", "leak share, target", 5, 10, "%"),
    ],
)
def test_printed_bands(published, row, what, low, high, unit):
    source = "doe-air-tip-3" if row == "C10" else SOURCE
    published(row, printed=low, computed=band(what)[0], unit=unit, abs=0, source=source)
    published(row, printed=high, computed=band(what)[1], unit=unit, abs=0, source=source)


def share(low, high, **more):
    return energy.pressure_saving(
        pressure=PA + low * PSI, pressure_other=PA + high * PSI, pressure_intake=PA, exponent=0.286, **more
    )


def test_pressure_rule(published):
    published("L32", printed=1.0, computed=share(100, 102) * 100, unit="%", abs=0.15, source="pressure-energy-rule")
    published("L33", printed=1.12, computed=share(100, 102) * 100, unit="%", abs=0.05, sure="C", source="physics")
    published("L33", printed=5.45, computed=share(100, 110) * 100, unit="%", abs=0.05, sure="C", source="physics")
