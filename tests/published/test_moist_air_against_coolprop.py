"""Moist air against an independent real-gas calculation: dew point within 20 mK, water content within 0.2 %."""

import numpy as np
import pytest
from CoolProp.CoolProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from airfettle.air import moist

SOURCE = "coolprop"
SURE = "C"

BAR = 1e5
PRESSURES = (1.0, 1.5, 2.5, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0)
# Every kelvin from -20 to 60 degC, closer about 0 degC where ice and water meet.
TEMPERATURES = 273.15 + np.union1d(np.arange(-20.0, 61.0), np.arange(-0.3, 0.101, 0.01))


def saturated(temperatures, pressure):
    return np.array([HAPropsSI("W", "T", T, "P", pressure, "R", 1.0) for T in temperatures])


def worst(computed, expected):
    return int(np.argmax(np.abs(computed - expected)))


@pytest.mark.parametrize("bar", PRESSURES)
def test_saturation_humidity_ratio(published, bar):
    expected = saturated(TEMPERATURES, bar * BAR)
    computed = moist.saturation_humidity_ratio(TEMPERATURES, pressure=bar * BAR)
    i = worst(computed / expected, 1.0)
    published(
        f"saturated water content at {bar:g} bar, worst of -20 to 60 degC (at {TEMPERATURES[i] - 273.15:.2f} degC)",
        printed=expected[i], computed=computed[i], unit="kg/kg", rel=0.002,
    )  # fmt: skip


@pytest.mark.parametrize("bar", PRESSURES)
def test_dew_point(published, bar):
    ratio = saturated(TEMPERATURES, bar * BAR)
    expected = np.array([HAPropsSI("D", "T", 350.0, "P", bar * BAR, "W", W) for W in ratio])
    computed = moist.dew_point(ratio, pressure=bar * BAR)
    for name, dew in (("by the library's own search", expected), ("by its saturated state", TEMPERATURES)):
        i = worst(computed, dew)
        published(
            f"dew point at {bar:g} bar, worst of -20 to 60 degC (at {TEMPERATURES[i] - 273.15:.2f} degC), {name}",
            printed=dew[i], computed=computed[i], unit="K", abs=0.02,
        )  # fmt: skip


@given(st.floats(-20.0, 60.0), st.floats(1.0, 14.0), st.floats(0.02, 1.0))
def test_any_air(t, bar, humidity):
    T, p = 273.15 + t, bar * BAR
    W = HAPropsSI("W", "T", T, "P", p, "R", 1.0)
    assert moist.saturation_humidity_ratio(T, pressure=p) == pytest.approx(W, rel=0.002)
    assert moist.dew_point(W, pressure=p) == pytest.approx(T, abs=0.02)
    if T > 273.16:
        W = HAPropsSI("W", "T", T, "P", p, "R", humidity)
        assert moist.humidity_ratio(humidity, temperature=T, pressure=p) == pytest.approx(W, rel=0.002)
        assert moist.relative_humidity_of(W, temperature=T, pressure=p) == pytest.approx(humidity, rel=0.002)


@pytest.mark.parametrize(("t", "bar"), [(-60, 1), (-60, 8), (-40, 14), (80, 9), (100, 9), (150, 9), (190, 14)])
def test_enhancement_factor_beyond_the_usual_range(published, t, bar):
    T, p = 273.15 + t, bar * BAR
    W = HAPropsSI("W", "T", T, "P", p, "R", 1.0)
    computed = moist.saturation_humidity_ratio(T, pressure=p)
    near = "0.04 % of saturation pressure, so near to boiling, is 0.26 % of water content"
    published(
        f"saturated water content at {t} degC, {bar} bar", printed=W, computed=computed, unit="kg/kg", rel=0.002,
        disagrees=near if t == 190 else "",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("t", "bar", "rel"), [(20, 1.01325, 0.001), (35, 1.01325, 0.001), (20, 9, 0.004), (40, 14, 0.004)]
)
def test_density(published, t, bar, rel):
    T, p = 273.15 + t, bar * BAR
    expected = 1.0 / HAPropsSI("Vha", "T", T, "P", p, "R", 0.6)
    W = HAPropsSI("W", "T", T, "P", p, "R", 0.6)
    computed = moist.density(T, pressure=p, humidity_ratio=W)
    published(f"density at {t} degC, {bar:g} bar, 60 %", printed=expected, computed=computed, unit="kg/m3", rel=rel)


@pytest.mark.parametrize(("t", "humidity"), [(10, 0.5), (25, 0.6), (40, 0.9)])
def test_enthalpy(published, t, humidity):
    T = 273.15 + t
    expected = HAPropsSI("H", "T", T, "P", 101325.0, "R", humidity)
    W = HAPropsSI("W", "T", T, "P", 101325.0, "R", humidity)
    published(f"enthalpy at {t} degC, {humidity:.0%}", printed=expected, computed=moist.enthalpy(T, humidity_ratio=W),
              unit="J/kg", abs=300.0)  # fmt: skip
