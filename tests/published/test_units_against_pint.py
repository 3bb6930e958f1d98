"""Every factor and offset of every unit against pint's, which never sees this project's table.

Reference flows are volumes of an air of stated condition: their density is computed here, from the ideal gas with
R = 287.055 J/(kg K) and the condition named in the unit.
"""

from math import pi

import pint
import pytest

from airfettle.quantity.kinds import AWG, KINDS
from airfettle.quantity.reader import read_span

R_DRY_AIR = 287.055
PINT = pint.UnitRegistry()

PLAIN = {
    "m": "meter", "mm": "millimeter", "cm": "centimeter", "km": "kilometer", "ft": "foot", "in": "inch", '"': "inch",
    "m2": "meter**2", "cm2": "centimeter**2", "mm2": "millimeter**2", "in2": "inch**2", "ft2": "foot**2",
    "kcmil": "kilocircular_mil",
    "m3": "meter**3", "L": "liter", "l": "liter", "mL": "milliliter", "cm3": "centimeter**3", "cc": "centimeter**3",
    "gal": "US_liquid_gallon", "ft3": "foot**3", "in3": "inch**3",
    "Pa": "pascal", "kPa": "kilopascal", "MPa": "megapascal", "bar": "bar", "mbar": "millibar", "hPa": "hectopascal",
    "psi": "pound_force_per_square_inch", "psig": "pound_force_per_square_inch",
    "psia": "pound_force_per_square_inch", "barg": "bar", "bar(g)": "bar", "bara": "bar", "bar(a)": "bar",
    "kPag": "kilopascal", "kPaa": "kilopascal", "kPa(a)": "kilopascal", "MPaa": "megapascal",
    "inH2O": "gram/centimeter**3*standard_gravity*inch",  # of water at 1000 kg/m3
    "mmH2O": "kilogram_force/meter**2", "inHg": "inch_Hg", "mmHg": "millimeter_Hg",
    "kgf/cm2": "kilogram_force/centimeter**2",
    "rpm": "1/minute", "1/min": "1/minute", "r/min": "1/minute", "1/s": "1/second", "Hz": "1/second",
    "kHz": "1/millisecond",
    "cfm": "foot**3/minute", "ft3/min": "foot**3/minute", "cfh": "foot**3/hour", "L/min": "liter/minute",
    "l/min": "liter/minute", "L/s": "liter/second", "l/s": "liter/second", "m3/min": "meter**3/minute",
    "m3/h": "meter**3/hour", "m3/s": "meter**3/second",
    "kg/s": "kilogram/second", "kg/h": "kilogram/hour", "g/s": "gram/second", "g/h": "gram/hour",
    "oz/h": "avoirdupois_ounce/hour",
    "W": "watt", "kW": "kilowatt", "hp": "horsepower", "HP": "horsepower",
    "PS": "metric_horsepower", "Btu/h": "british_thermal_unit/hour",
    "V": "volt", "kV": "kilovolt", "A": "ampere", "mA": "milliampere", "%": "percent", "-": "dimensionless",
    "": "dimensionless",
    "N m": "newton*meter", "Nm": "newton*meter", "lbf ft": "force_pound*foot", "lb ft": "force_pound*foot",
    "ft lb": "force_pound*foot", "lbf in": "force_pound*inch",
    "kg": "kilogram", "g": "gram", "lb": "pound", "oz": "avoirdupois_ounce",
    "kg m2": "kilogram*meter**2", "kgm2": "kilogram*meter**2", "lb ft2": "pound*foot**2", "lb in2": "pound*inch**2",
    "W/K": "watt/kelvin", "Btu/h/degF": "british_thermal_unit/hour/delta_degF",
    "Btu/(h °F)": "british_thermal_unit/hour/delta_degF", "J/K": "joule/kelvin", "kJ/K": "kilojoule/kelvin",
    "s": "second", "min": "minute", "h": "hour", "ms": "millisecond", "day": "day",
    "J/m3": "joule/meter**3", "kW/100 cfm": "10*watt/(foot**3/minute)",
    "kW/(m3/min)": "kilowatt/(meter**3/minute)", "W/(L/min)": "watt/(liter/minute)",
    "/kWh": "1/kilowatt_hour", "per kWh": "1/kilowatt_hour", "/h": "1/hour",
    "dm3/(s bar)": "decimeter**3/second/bar", "L/(s bar)": "liter/second/bar",
    "m3/(s Pa)": "meter**3/second/pascal",
    "kg/kg": "kilogram/kilogram", "g/kg": "gram/kilogram", "J": "joule", "kJ": "kilojoule",
    "MJ": "megajoule", "Wh": "watt_hour", "kWh": "kilowatt_hour", "/day": "1/day", "kg/day": "kilogram/day",
    "m/s": "meter/second", "ft/s": "foot/second", "ft/min": "foot/minute", "m/min": "meter/minute",
}  # fmt: skip
"""Unit as an owner writes it -> pint's expression.  (pint reads 'cfm' as centifermi, 'h' is fine, 'R' is its gas
constant, 'lb ft' a mass times a length: hence full names.)"""

OTHER = {
    ("temperature", "R"): "degR",
    ("water_flow", "L/h"): "kilogram/hour",
    ("water_flow", "L/day"): "kilogram/day",
    ("daily_water", "L/day"): "kilogram/day",
} | {
    (kind, unit): ("delta_" if kind == "temperature_difference" and name != "kelvin" else "") + name
    for kind in ("temperature", "temperature_difference")
    for unit, name in (("K", "kelvin"), ("degC", "degC"), ("°C", "degC"), ("C", "degC"), ("degF", "degF"),
                       ("°F", "degF"), ("F", "degF"))
}  # fmt: skip
"""Units whose meaning depends on the kind; a litre of water weighs a kilogram."""

NOT_IN_PINT = {
    ("sound_level", "dBA"): "a level, not a ratio: pint has no A weighting",
    ("sound_level", "dB(A)"): "the same",
    ("sound_level", "dB"): "pint's decibel is a logarithm of a ratio that it would undo",
}
"""What pint cannot express; their factor is 1 by definition."""

SI = {
    "m": "meter", "m2": "meter**2", "m3": "meter**3", "Pa": "pascal", "K": "kelvin", "1/s": "1/second",
    "Hz": "1/second", "m3/s": "meter**3/second", "kg/s": "kilogram/second", "W": "watt", "V": "volt", "A": "ampere",
    "-": "dimensionless", "N m": "newton*meter", "kg": "kilogram", "kg m2": "kilogram*meter**2", "W/K": "watt/kelvin",
    "J/K": "joule/kelvin", "s": "second", "J/m3": "joule/meter**3", "money": "dimensionless", "money/J": "1/joule",
    "money/s": "1/second", "m3/(s Pa)": "meter**3/second/pascal", "kg/kg": "dimensionless", "J": "joule",
    "m/s": "meter/second",
}  # fmt: skip


def dry_air_density(pressure, temperature, humidity=0.0, saturation=0.0):
    """Dry air in a cubic metre of moist air. [kg/m3]"""
    return (pressure - humidity * saturation) / (R_DRY_AIR * temperature)


PSI = 4.4482216152605 / 0.0254**2
TWENTY_SATURATED = 2_339.0  # water at 20 degC; steam tables print 2.339 kPa
SCFM_AIR = dry_air_density(14.5 * PSI, (68.0 + 459.67) / 1.8)
ANR_AIR = dry_air_density(100_000.0, 293.15, 0.65, TWENTY_SATURATED)
NORMAL_AIR = dry_air_density(101_325.0, 273.15)
REFERENCE = {
    "scfm": ("foot**3/minute", SCFM_AIR), "cfm": ("foot**3/minute", SCFM_AIR), "scfh": ("foot**3/hour", SCFM_AIR),
    "L/min ANR": ("liter/minute", ANR_AIR), "L/min (ANR)": ("liter/minute", ANR_AIR),
    "L/s ANR": ("liter/second", ANR_AIR), "m3/min ANR": ("meter**3/minute", ANR_AIR),
    "m3/h ANR": ("meter**3/hour", ANR_AIR), "L/min": ("liter/minute", ANR_AIR), "L/s": ("liter/second", ANR_AIR),
    "m3/min": ("meter**3/minute", ANR_AIR), "m3/h": ("meter**3/hour", ANR_AIR),
    "Nm3/h": ("meter**3/hour", NORMAL_AIR), "Nm3/min": ("meter**3/minute", NORMAL_AIR),
}  # fmt: skip
"""Flow at reference air -> pint's volume flow and the density it stands for."""

ALL = [(kind.name, unit) for kind in KINDS.values() for unit in kind.units]
PLAIN_UNITS = [
    pair for pair in ALL if pair not in NOT_IN_PINT and not (pair[0] == "reference_flow" and pair[1] in REFERENCE)
]


def expression(kind, unit):
    return OTHER.get((kind, unit)) or PLAIN.get(unit)


@pytest.mark.parametrize(("kind", "unit"), PLAIN_UNITS)
def test_factor_and_offset(kind, unit):
    name = expression(kind, unit)
    assert name, f"{unit!r} of {kind} has no counterpart in this file"
    factor, offset = KINDS[kind].units[unit]
    si = SI[KINDS[kind].si]
    if kind == "temperature":
        at_zero, at_hundred = (PINT.Quantity(t, name).to("kelvin").magnitude for t in (0.0, 100.0))
        assert offset == pytest.approx(at_zero, rel=1e-12, abs=1e-9)
        assert 100 * factor + offset == pytest.approx(at_hundred, rel=1e-12)
    else:
        assert offset == 0.0
        assert factor == pytest.approx(PINT(name).to(si).magnitude, rel=TOLERANCE.get(unit, 1e-9))


TOLERANCE = {
    "inHg": 5e-7,  # mercury at 0 degC: 3386.389 Pa is the conventional figure
    "Btu/h": 5e-7, "Btu/h/degF": 5e-7, "Btu/(h °F)": 5e-7,  # the international table's Btu
}  # fmt: skip
"""Units that stand on a convention, and how far pint's may be off; all others are exact by definition."""


@pytest.mark.parametrize("unit", REFERENCE)
def test_flow_at_reference_air(unit):
    name, density = REFERENCE[unit]
    factor, offset = KINDS["reference_flow"].units[unit]
    assert offset == 0.0
    assert factor == pytest.approx(PINT.Quantity(1.0, name).to("meter**3/second").magnitude * density, rel=5e-6)


def test_reference_airs_are_as_far_apart_as_the_trade_knows():
    by_unit = {unit: KINDS["reference_flow"].units[unit][0] for unit in ("scfm", "L/min ANR", "Nm3/h")}
    density = [by_unit["scfm"] / 4.719474e-4, by_unit["L/min ANR"] * 60e3, by_unit["Nm3/h"] * 3600]
    assert density == pytest.approx([1.188, 1.170, 1.292], abs=2e-3)


def test_nothing_is_left_out():
    unexplained = [pair for pair in ALL if not expression(*pair) and pair not in NOT_IN_PINT
                   and not (pair[0] == "reference_flow" and pair[1] in REFERENCE)]  # fmt: skip
    assert not unexplained
    assert all(pair in ALL for pair in (*NOT_IN_PINT, *OTHER) if pair[1] not in {"C", "F"})
    assert {KINDS[kind].units[unit] for kind, unit in NOT_IN_PINT} == {(1.0, 0.0)}
    assert set(REFERENCE) <= set(KINDS["reference_flow"].units)


@pytest.mark.parametrize("kind", KINDS)
def test_shown_units_belong_to_the_kind_and_a_unit_of_factor_one_is_there(kind):
    entry = KINDS[kind]
    assert entry.us in entry.units
    assert entry.metric in entry.units
    assert entry.low < entry.high
    assert set(entry.flavours) <= set(entry.units)
    assert not set(entry.refused) & set(entry.units)


@pytest.mark.parametrize("unit", list(KINDS["pressure"].units))
def test_gauge_or_absolute_by_the_unit(unit):
    absolute = {"psia", "bara", "bar(a)", "kPaa", "kPa(a)", "MPaa", "hPa", "inHg", "mmHg"}
    span = read_span(f"20 {unit}", kind="pressure")
    assert span.kind == ("absolute_pressure" if unit in absolute else "pressure")


@pytest.mark.parametrize("unit", list(KINDS["absolute_pressure"].units))
def test_an_absolute_entry_stays_absolute(unit):
    assert read_span(f"20 {unit}", kind="absolute_pressure").kind == "absolute_pressure"


@pytest.mark.parametrize("size", AWG)
def test_wire_gauges_follow_their_definition(size):
    number = 1 - int(size.partition("/")[0]) if "/0" in size else int(size)
    diameter = PINT.Quantity(0.005 * 92 ** ((36 - number) / 39), "inch").to("meter").magnitude
    assert AWG[size] == pytest.approx(pi / 4 * diameter**2, rel=5e-4)
