"""Numbers as they are shown: toleranced, to the digits their spread deserves, in the owner's units."""

import random
import re
from math import floor, log10

import pytest

from airfettle.quantity import KINDS, Span, exactly, in_unit, plain, read_span, shown_unit, span_text, toleranced

CFM = 0.3048**3 / 60
PSI = 6894.757293168361
AIR = {"kind": "intake_flow", "units": "US"}


def flow(low, likely, high, **how):
    return toleranced(low * CFM, likely * CFM, high * CFM, **(AIR | how))


@pytest.mark.parametrize(
    ("low", "likely", "high", "shown"),
    [
        (15.3, 16.2, 17.3, "16.2 +1.1/-0.9 cfm"),
        (15.2, 16.2, 17.2, "16.2 ±1.0 cfm"),
        (12.2, 16.2, 20.1, "16 ±4 cfm"),
        (10, 16.2, 19, "16 +3/-6 cfm"),
        (16.18, 16.2, 16.213, "16.20 +0.01/-0.02 cfm"),
        (0, 16.2, 60, "20 +40/-20 cfm"),
        (150, 400, 900, "400 +500/-200 cfm"),
        (16.2, 16.2, 17.3, "16.2 +1.1/-0.0 cfm"),
        (0, 0, 0, "0 cfm"),
        (0, 0, 3, "0 +3/-0 cfm"),
        (1234, 1234, 1234, "1234 cfm"),
        (0.98, 0.996, 1.01, "0.996 +0.014/-0.016 cfm"),
        (9.4, 9.96, 10.6, "10.0 ±0.6 cfm"),
    ],
)
def test_as_a_drawing_has_it(low, likely, high, shown):
    assert flow(low, likely, high) == shown


def test_the_same_in_the_owners_units():
    assert flow(15.3, 16.2, 17.3, units="SI") == "460 ±30 L/min"
    assert toleranced(6.8e5, 7e5, 7.2e5, kind="pressure", units="SI") == "7.00 ±0.20 bar"
    assert toleranced(99 * PSI, 100 * PSI, 102 * PSI, kind="pressure", units="US") == "100.0 +2.0/-1.0 psi"
    assert toleranced(288.15, 293.15, 298.15, kind="temperature", units="SI") == "20 ±5 °C"
    assert toleranced(288.15, 293.15, 298.15, kind="temperature", units="US") == "68 ±9 °F"
    assert toleranced(0.8, 0.85, 0.92, kind="fraction", units="SI") == "85 +7/-5 %"


def test_below_zero_and_about_zero():
    assert toleranced(263.15, 268.15, 274.15, kind="temperature", units="SI") == "-5 +6/-5 °C"
    assert toleranced(273.05, 273.15, 273.25, kind="temperature", units="SI") == "0.0 ±0.1 °C"
    assert toleranced(-30.0, -10.0, 20.0, kind="work", units="SI") == "-10 +30/-20 J"


def test_a_number_that_rounds_to_nothing_has_no_sign():
    assert plain(272.65 + 0.5, kind="temperature", units="SI") == "0 °C"
    assert toleranced(-3.0, -0.01, 3.0, kind="work", units="SI") == "0 ±3 J"
    assert toleranced(-1.2, -0.001, 1.2, kind="work", units="SI") == "0.0 ±1.2 J"


def test_no_finer_than_a_shop_can_read():
    assert toleranced(293.149, 293.15, 293.151, kind="temperature", units="SI") == "20.0 °C"
    assert toleranced(12.3451, 12.3456, 12.3461, kind="current", units="SI") == "12.3 A"
    assert flow(12345, 12346, 12347) == "12350 cfm"


@pytest.mark.parametrize(
    ("value", "kind", "units", "shown"),
    [
        (16.2 * CFM, "intake_flow", "US", "16.2 cfm"), (16.2 * CFM, "intake_flow", "SI", "458.7 L/min"),
        (16.25555 * CFM, "intake_flow", "US", "16.26 cfm"),
        (0.0, "power", "US", "0 kW"), (5000.0, "power", "SI", "5 kW"),
        (1e12, "number", "SI", "1000000000000"), (1.3, "number", "US", "1.3"), (-2.5, "work", "SI", "-2.5 J"),
        (0.85, "fraction", "SI", "85 %"), (101_325.0, "absolute_pressure", "US", "14.7 psia"),
        (101_325.0, "absolute_pressure", "SI", "1.013 bara"), (0.15 / 3.6e6, "energy_price", "US", "0.15 /kWh"),
        (120.0, "money", "SI", "120"), (1e-9, "work", "SI", "0.000000001 J"),
    ],
)  # fmt: skip
def test_plain(value, kind, units, shown):
    assert plain(value, kind=kind, units=units) == shown


def test_no_spread_shows_no_tolerance():
    assert float(flow(16.2, 16.2, 16.2).removesuffix(" cfm")) == 16.2


@pytest.mark.parametrize(
    "spread", [0.0123, 0.019, 0.029, 0.031, 0.092, 0.11, 0.29, 0.31, 0.9, 1.1, 2.9, 3.1, 9.4, 11, 14]
)
def test_a_spread_has_two_digits_from_1_or_2_and_one_from_others(spread):
    above = re.fullmatch(r"[\d.]+ \+([\d.]+)/-[\d.]+ cfm", flow(16 - spread / 3, 16, 16 + spread))[1]
    digits = above.replace(".", "").lstrip("0")
    if spread >= 0.1:  # finer than a hundredth of 16 is beyond the four digits shown
        assert len(digits) == (2 if spread / 10 ** floor(log10(spread)) < 3 else 1)
    assert float(above) == pytest.approx(spread, rel=0.2)


@pytest.mark.parametrize("seed", range(60))
@pytest.mark.parametrize("units", ["US", "SI"])
def test_what_is_shown_reads_back_within_half_a_digit(seed, units):
    chance = random.Random(seed)
    kind = chance.choice(["intake_flow", "power", "length", "mass", "torque", "volume"])
    unit = shown_unit(kind, units)
    factor, _ = KINDS[kind].units[unit]
    likely = chance.uniform(1, 10) * 10 ** chance.choice([0, 1, 2, 3])
    below, above = (likely * chance.uniform(0.02, 0.6) for _ in range(2))
    text = toleranced((likely - below) * factor, likely * factor, (likely + above) * factor, kind=kind, units=units)
    found = re.fullmatch(r"(?P<m>[\d.]+) (?:±(?P<e>[\d.]+)|\+(?P<u>[\d.]+)/-(?P<l>[\d.]+)) .+", text)
    assert found, text
    spread = max(above, below)
    leading = 10.0 ** floor(log10(spread))
    digit = max(leading / 10 if spread / leading < 3 else leading, 10.0 ** (floor(log10(likely)) - 3), 1e-3)
    for shown, true in ((found["m"], likely), (found["u"] or found["e"], above), (found["l"] or found["e"], below)):
        assert abs(float(shown) - true) <= 0.5 * digit * (1 + 1e-9), text
    again = read_span(text.replace("±", "+/-"), kind=kind)
    assert again.likely == pytest.approx(float(found["m"]) * factor)
    assert again.high - again.likely == pytest.approx(float(found["u"] or found["e"]) * factor)


def test_a_span_is_shown_as_it_was_written():
    for text in ("780..860 rpm", "about 850 rpm", "850 rpm by plate"):
        assert span_text(read_span(text, kind="rotational_speed"), units="US") == text
    told_in_metric = read_span("270 L", kind="volume")
    assert span_text(told_in_metric, units="US") == "270 L"


@pytest.mark.parametrize(
    ("text", "kind", "us", "si"),
    [
        ("15..30 degC", "temperature", "59..86 °F", "15..30 °C"), ("50..300 L", "volume", "13..79 gal", "50..300 L"),
        ("0.05..0.30 bar", "pressure_difference", "0.7..4.4 psi", "0.05..0.30 bar"),
        ("4..8 % likely 6", "fraction", "4..8 % likely 6", "4..8 % likely 6"),
        ("0.5..2 psi", "pressure_difference", "0.5..2 psi", "0.03..0.14 bar"),
        ("0.03..0.09 bar likely 0.05", "pressure_difference", "0.44..1.31 psi likely 0.73",
         "0.03..0.09 bar likely 0.05"),
    ],
)  # fmt: skip
def test_what_nobody_wrote_is_shown_in_the_owners_units(text, kind, us, si):
    span = read_span(text, kind=kind, known="assumed")
    assert span_text(span, units="US") == us
    assert span_text(span, units="SI") == si


def test_a_span_without_text():
    assert span_text(exactly(0.1, kind="length"), units="SI") == "100 mm"
    assert span_text(Span("length", "flat", 0.1, 0.15, 0.2), units="SI") == "100..200 mm"
    assert span_text(Span("length", "flat", 0.1016, 0.11, 0.1143), units="US") == "4.00..4.50 in"


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("units", ["US", "SI"])
def test_every_kind_can_be_shown_in_both_systems(kind, units):
    unit = shown_unit(kind, units)
    factor, offset = KINDS[kind].units[unit]
    low, likely, high = (factor * number + offset for number in (49.0, 50.0, 52.0))
    assert toleranced(low, likely, high, kind=kind, units=units) == f"50.0 +2.0/-1.0 {unit}".rstrip(" -")
    assert plain(likely, kind=kind, units=units) == f"50 {unit}".rstrip(" -")
    assert in_unit(likely, kind=kind, unit=unit) == pytest.approx(50.0)
