"""What each kind of quantity takes, and what it sends away."""

import pytest

from airfettle.errors import AmbiguousUnit, OutOfBounds, WrongUnit
from airfettle.quantity import in_unit, read_span, shown_unit
from airfettle.quantity.kinds import KINDS, OFTEN_WRITTEN

OF_A_KIND = {
    "length": "4 in", "area": "2 ft2", "volume": "80 gal", "swept_volume": "50 in3", "altitude": "600 ft",
    "pressure": "100 psi", "absolute_pressure": "14.5 psia", "pressure_difference": "2 psi", "temperature": "70 degF",
    "temperature_difference": "5 K", "rotational_speed": "850 rpm", "frequency": "60 Hz", "intake_flow": "16 cfm",
    "reference_flow": "16 scfm", "fan_flow": "600 cfm", "water_flow": "50 g/h", "power": "5 hp", "voltage": "230 V",
    "current": "14 A", "fraction": "80 %", "number": "1.3", "torque": "20 lbf ft", "mass": "120 lb",
    "inertia": "12 lb ft2", "conductance": "30 W/K", "heat_capacity": "2 kJ/K", "time": "30 s",
    "sound_level": "84 dBA", "specific_power": "22 kW/100 cfm", "money": "120", "energy_price": "0.15 /kWh",
    "cost_rate": "0.5 /h", "flow_coefficient": "4 dm3/(s bar)", "wire_size": "6 mm2", "humidity_ratio": "8 g/kg",
    "mass_flow": "9 g/s", "work": "500 J", "linear_speed": "12 m/s",
    "energy": "12 kWh", "start_rate": "6 /h", "daily_water": "2 L/day", "hours": "3 h", "minutes": "4 min",
}  # fmt: skip
"""A good value of every kind."""


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_reads_a_value_of_its_own(kind):
    assert read_span(OF_A_KIND[kind], kind=kind).kind == kind or kind == "pressure"


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("units", ["US", "SI"])
def test_shown_and_read_again_is_the_same(kind, units):
    span = read_span(OF_A_KIND[kind], kind=kind)
    unit = shown_unit(kind, units)
    text = f"{in_unit(span.likely, kind=kind, unit=unit)!r} {unit}".strip(" -")
    assert read_span(text, kind=kind).likely == pytest.approx(span.likely, rel=1e-12)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("unit", ["furlong", "bananas", "mile", "mol"])
def test_units_of_no_kind_are_refused(kind, unit):
    with pytest.raises(WrongUnit) as caught:
        read_span(f"12 {unit}", kind=kind)
    assert caught.value.read == f"'12 {unit}'"
    assert KINDS[kind].label in caught.value.wanted


FOREIGN = [("length", "kg"), ("pressure", "V"), ("temperature", "psi"), ("rotational_speed", "Hz"), ("power", "A"),
           ("frequency", "rpm"), ("intake_flow", "kg/s"), ("current", "V"), ("mass", "m"), ("voltage", "A"),
           ("intake_flow", "L/min ANR"), ("pressure_difference", "psig"), ("absolute_pressure", "psig"),
           ("swept_volume", "gal"), ("altitude", "in"), ("time", "A")]  # fmt: skip


@pytest.mark.parametrize(("kind", "unit"), FOREIGN)
def test_a_unit_of_another_kind_is_refused_with_whose_it_is(kind, unit):
    with pytest.raises(WrongUnit) as caught:
        read_span(f"12 {unit}", kind=kind)
    assert f"'{unit}' is a unit of " in caught.value.instead
    owner = caught.value.instead.partition("is a unit of ")[2].partition(", not of")[0]
    assert any(other.label == owner and unit in other.units for other in KINDS.values())


@pytest.mark.parametrize(
    ("kind", "unit", "hint"),
    [
        ("intake_flow", "cmf", "cfm"), ("rotational_speed", "rmp", "rpm"), ("length", "inch", "in"),
        ("current", "amps", "A"), ("volume", "gallons", "gal"), ("volume", "litres", "L"), ("mass", "lbs", "lb"),
        ("temperature", "Celsius", "degC"), ("pressure", "psii", "psi"), ("frequency", "hertz", "Hz"),
        ("intake_flow", "LPM", "L/min"), ("wire_size", "sq mm", "mm2"), ("energy_price", "EUR/kWh", "/kWh"),
        ("fraction", "percent", "%"), ("sound_level", "dB A", "dBA"),
    ],
)  # fmt: skip
def test_a_misspelt_unit_is_refused_with_the_nearest(kind, unit, hint):
    with pytest.raises(WrongUnit) as caught:
        read_span(f"12 {unit}", kind=kind)
    assert f"'{hint}'" in caught.value.instead


def test_hints_are_units_of_some_kind_and_never_units_as_they_stand():
    units = {unit for kind in KINDS.values() for unit in kind.units}
    assert all(unit in units for offers in OFTEN_WRITTEN.values() for unit in offers)
    assert not set(OFTEN_WRITTEN) & {unit.lower() for unit in units}


@pytest.mark.parametrize(
    ("kind", "text", "match"),
    [
        ("intake_flow", "16 scfm", "volume as it stands at the intake"),
        ("intake_flow", "400 NL/min", "0 degC and for 20 degC"),
        ("intake_flow", "400 Nl/min", "Nm3/h"),
        ("reference_flow", "400 NL/min", "L/min ANR"),
    ],
)
def test_units_with_two_meanings_are_refused_with_both(kind, text, match):
    with pytest.raises(AmbiguousUnit, match=match) as caught:
        read_span(text, kind=kind)
    assert text in caught.value.read


def test_a_pumps_cfm_is_volume_and_a_tools_cfm_is_mass():
    pump, tool = (read_span("10 cfm", kind=kind).likely for kind in ("intake_flow", "reference_flow"))
    assert tool / pump == pytest.approx(14.5 * 6894.757 / (287.055 * 293.15), rel=1e-6)  # kg/m3 of scfm air


@pytest.mark.parametrize(
    ("text", "kind", "unit"),
    [("16 CFM", "intake_flow", "cfm"), ("5.5 KW", "power", "kW"), ("850 RPM", "rotational_speed", "rpm"),
     ("9 BAR", "pressure", "bar"), ("100 Psi", "pressure", "psi"), ("20 K", "temperature_difference", "K"),
     ("20 DEGC", "temperature_difference", "degC")],
)  # fmt: skip
def test_letter_case_is_forgiven_where_one_unit_is_meant(text, kind, unit):
    assert read_span(text, kind=kind).unit == unit


@pytest.mark.parametrize(
    ("kind", "text", "match"),
    [
        ("swept_volume", "-1 L", "at least 0 L"), ("length", "-4 in", "at least 0 in"),
        ("temperature", "-300 degC", "at least -123.15 degC"), ("absolute_pressure", "-1 psia", "at least 0 psia"),
        ("pressure", "-2 bar", "at least -1.01325 bar"), ("pressure", "-1 psia", "at least 0 psia"),
        ("altitude", "9000 m", "at most 6,000 m"), ("intake_flow", "1e9 cfm", "at most"),
        ("temperature", "5000 degF", "at most"), ("sound_level", "300 dBA", "at most 200 dBA"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_the_units_written(kind, text, match):
    with pytest.raises(OutOfBounds, match=match) as caught:
        read_span(text, kind=kind)
    assert caught.value.read == repr(text)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("number", ["1e300", "1e308", "1e400", "9" * 150])
def test_no_kind_takes_a_huge_number(kind, number):
    unit = next(iter(KINDS[kind].units))
    with pytest.raises(OutOfBounds, match="at most"):
        read_span(f"{number} {unit}".strip(" -"), kind=kind)
