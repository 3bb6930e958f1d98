"""Facts of the trade, and the bands that whole plants of default spans have to fall in.

A plant here is told little more than its class: everything else comes from the default spans, and the middle of the
draw is held against the band. The same bands for a single pump of chosen numbers stand in test_compressor_textbooks.
Bands without a row of their own are the project's check rows of default spans, never drawn from.
"""

from functools import cache

import numpy as np
import pytest

from airfettle.air.constants import CP_DRY_AIR, R_DRY_AIR
from airfettle.plant.whole import OwnersPlant
from airfettle.quantity.kinds import CFM, LBF_PER_IN2
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.instant.whole import instant

SOURCE = "practice"
SURE = "CP"

ROWS = 1024
US = {"plant": {"units": "US"}}
BELT_TWIN = {"motor": {"power": "5 hp by plate"}, "pump": {"size_class": "belt twin"}}
CLASSES = {
    "belt twin": BELT_TWIN,
    "new belt twin": BELT_TWIN | {"pump": {"size_class": "belt twin", "condition": "new"}},
    "worn belt twin": BELT_TWIN | {"pump": {"size_class": "belt twin", "condition": "worn"}},
    "two-stage": {"motor": {"power": "5 hp by plate"}, "pump": {"stages": 2, "maximum_speed": "900..900 rpm"}},
    "new two-stage": {
        "motor": {"power": "5 hp by plate"},
        "pump": {"stages": 2, "maximum_speed": "900..900 rpm", "condition": "new"},
    },
    "direct twin of 92 x 54 mm": {
        "motor": {"power": "5 hp by plate"}, "belt": {"ratio": "1..1"}, "pump": {
            "size_class": "direct", "rated_speed": "1800..1800 rpm",
            "first_stage": {"cylinders": 2, "bore": "92..92 mm", "stroke": "54..54 mm"}},
    },
}  # fmt: skip


@cache
def running(name, rpm, psi):
    """A plant of a class with its pump at a speed and its receiver at a gauge pressure: its one train's state."""
    numbers = complete(draw(OwnersPlant.model_validate(US | CLASSES[name]), rows=ROWS))
    frequency, pressure = np.full((1, 1, 1), 60.0), numbers.barometer + psi * LBF_PER_IN2
    for _ in range(8):
        (train,) = instant(numbers, frequency=frequency, receiver_pressure=pressure).trains
        frequency = frequency * (rpm / 60.0) / train.pump_speed
    return train


def middle(values):
    return float(np.median(np.broadcast_to(values, (ROWS, 1, 1))))


def low_end(values):
    return float(np.percentile(np.broadcast_to(values, (ROWS, 1, 1)), 5))


def fahrenheit(kelvin):
    return 1.8 * kelvin - 459.67


def isothermal(train):
    """Share of the shaft's power that compressing at intake temperature, to the receiver's pressure, would take."""
    ratio = train.receiver_pressure / train.barometer
    mass = train.delivered_air * train.barometer / (R_DRY_AIR * train.intake_temperature)
    return mass * R_DRY_AIR * train.intake_temperature * np.log(ratio) / train.shaft_power


def isentropic(train):
    """The same for one adiabatic, frictionless stage."""
    ratio = train.receiver_pressure / train.barometer
    mass = train.delivered_air * train.barometer / (R_DRY_AIR * train.intake_temperature)
    rise = train.intake_temperature * (ratio ** (R_DRY_AIR / CP_DRY_AIR) - 1.0)
    return mass * CP_DRY_AIR * rise / train.shaft_power


# --- the two facts of the 5 hp class ---------------------------------------------------------------------------------


def test_the_class_of_belt_twins_may_turn_at_1000_to_1100_rpm(published):
    span = draw(OwnersPlant.model_validate(US | BELT_TWIN), rows=8).spans["pump.maximum_speed"]
    published.band("G01", low=1000.0, high=1100.0, computed=60.0 * span.likely, unit="rpm")
    assert 60.0 * span.low <= 1000.0
    assert 60.0 * span.high >= 1100.0


def test_a_5_hp_belt_twin_at_1050_rpm_carries_a_hand_cutter_and_light_tools(published):
    """At 90 psi. Printed "13 cfm or more": the middle of the draw, and its low end (P5) too; its high end is 23."""
    air = running("belt twin", 1050, 90).delivered_air / CFM
    published.band("G02 middle", low=13.0, high=100.0, computed=middle(air), unit="cfm")
    published.band("G02 low end", low=13.0, high=100.0, computed=low_end(air), unit="cfm")
    assert np.percentile(air, 95) < 30.0  # more than its swept volume could not be


def test_that_delivery_is_within_what_its_motor_can_turn():
    train = running("belt twin", 1050, 90)
    assert 0.6 < middle(train.shaft_power / 3_728.5) < 1.0


@pytest.mark.parametrize("hertz", [40.0, 60.0])
@pytest.mark.parametrize("psi", [90.0, 120.0, 145.0])
def test_a_vehicle_cooler_and_a_trap_catch_most_of_the_water_before_the_receiver(published, hertz, psi):
    """Summer room of 30 degC, humidity not told. Over half of the liquid; the rest falls out in the receiver."""
    data = US | BELT_TWIN | {
        "site": {"room_temperature": "30..30 degC"}, "cooler": {"kind": "vehicle oil cooler"}, "separator": {},
    }  # fmt: skip
    numbers = complete(draw(OwnersPlant.model_validate(data), rows=ROWS))
    pressure = numbers.barometer + psi * LBF_PER_IN2
    path = instant(numbers, frequency=np.full((1, 1, 1), hertz), receiver_pressure=pressure).path
    liquid = path.water_caught + path.receiver_water
    share = path.water_caught / np.maximum(liquid, 1e-12)
    published.band(f"G03 plant, {psi:g} psi, {hertz:g} Hz", low=0.5, high=1.0, computed=middle(share), unit="-")


def test_near_cut_out_it_catches_more_than_half_of_all_water_drawn_in(published):
    data = US | BELT_TWIN | {
        "site": {"room_temperature": "30..30 degC"}, "cooler": {"kind": "vehicle oil cooler"}, "separator": {},
    }  # fmt: skip
    numbers = complete(draw(OwnersPlant.model_validate(data), rows=ROWS))
    path = instant(
        numbers, frequency=np.full((1, 1, 1), 60.0), receiver_pressure=numbers.barometer + 145.0 * LBF_PER_IN2
    ).path
    published.band("G03 plant, of all water", low=0.5, high=1.0, computed=middle(path.caught_share), unit="-")


# --- discharge temperature -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "rpm", "psi", "low", "high"), [
    ("belt twin", 850, 100, 300.0, 400.0), ("belt twin", 1050, 125, 300.0, 400.0),
    ("two-stage", 850, 175, 250.0, 350.0), ("two-stage", 850, 125, 250.0, 350.0),
])  # fmt: skip
def test_discharge_temperature_of_air_cooled_pumps(published, name, rpm, psi, low, high):
    hot = fahrenheit(running(name, rpm, psi).discharge_temperature)
    published.band(f"T36 plant, {name}, {psi} psi", low=low, high=high, computed=middle(hot), unit="degF")


@pytest.mark.parametrize(
    ("name", "rpm", "psi", "low", "high"),
    [
        ("belt twin", 850, 100, 180.0, 200.0),
        ("two-stage", 850, 175, 135.0, 177.0),
        ("two-stage", 850, 125, 135.0, 177.0),
    ],
)
def test_discharge_temperature_against_the_check_rows(published, name, rpm, psi, low, high):
    hot = running(name, rpm, psi).discharge_temperature - 273.15
    published.band(f"check row, discharge, {name}, {psi} psi", low=low, high=high, computed=middle(hot), unit="degC")


# --- volumetric efficiency -------------------------------------------------------------------------------------------

LEAST_CLEARANCE = (
    "the default clearance of 4 to 8 %, likely 6, leaves a single stage less at a ratio of 9.5; the band asks for the "
    "least of it (see test_compressor_textbooks, 5 %)"
)


@pytest.mark.parametrize(("name", "rpm", "psi", "low", "high"), [
    ("new belt twin", 850, 100, 0.60, 0.75), ("new two-stage", 850, 175, 0.70, 0.80),
])  # fmt: skip
def test_volumetric_efficiency(published, name, rpm, psi, low, high):
    computed = middle(running(name, rpm, psi).volumetric_efficiency)
    published.band(f"T34 plant, {name}, {psi} psi", low=low, high=high, computed=computed, unit="-")


def test_volumetric_efficiency_of_a_single_stage_at_125_psi(published):
    """Printed 0.60 to 0.75, written here as its middle and half its width."""
    computed = middle(running("new belt twin", 850, 125).volumetric_efficiency)
    published("T34 plant, new belt twin, 125 psi", printed=0.675, computed=computed, unit="-", abs=0.075,
              disagrees=LEAST_CLEARANCE)  # fmt: skip


@pytest.mark.parametrize(("name", "rpm", "psi", "low", "high"), [
    ("belt twin", 850, 100, 0.58, 0.72), ("two-stage", 850, 100, 0.70, 0.82), ("two-stage", 850, 125, 0.70, 0.82),
    ("direct twin of 92 x 54 mm", 1800, 120, 0.43, 0.55), ("direct twin of 92 x 54 mm", 3000, 120, 0.43, 0.55),
])  # fmt: skip
def test_volumetric_efficiency_against_the_check_rows(published, name, rpm, psi, low, high):
    computed = middle(running(name, rpm, psi).volumetric_efficiency)
    published.band(f"check row, filling, {name}, {psi} psi, {rpm} rpm", low=low, high=high, computed=computed, unit="-")


def test_a_fast_small_pump_fills_as_one_public_point_says(published):
    """92 x 54 mm at 120 psi: 0.51 at 1800 rpm; rated there, with losses growing as the square of speed."""
    computed = middle(running("direct twin of 92 x 54 mm", 1800, 120).volumetric_efficiency)
    published("check row, 92 x 54 mm, 1800 rpm", printed=0.51, computed=computed, unit="-", abs=0.05)


# --- power -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "low", "high"), [("belt twin", 22.0, 24.0), ("two-stage", 19.0, 20.0)])
def test_specific_power_at_100_psi(published, name, low, high):
    """At the supply, drive included; printed band, 15 % either way."""
    train = running(name, 850, 100)
    specific = middle(train.specific_power) * CFM * 100 / 1e3
    published.band(f"T33 plant, {name}", low=0.85 * low, high=1.15 * high, computed=specific, unit="kW/100 cfm",
                   sure="M", source="specific-power-memory")  # fmt: skip


@pytest.mark.parametrize(("name", "psi"), [("new belt twin", 100), ("new two-stage", 175)])
def test_efficiencies_of_new_pumps(published, name, psi):
    """A makers' band is of new pumps; against one adiabatic stage two stages pass 80 % at 175 psi, rightly."""
    train = running(name, 850, psi)
    published.band(f"T35 plant, isothermal, {name}", low=0.55, high=0.70, computed=middle(isothermal(train)), unit="-")
    mechanical = middle(train.indicated_power / train.shaft_power)
    published.band(f"T35 plant, mechanical, {name}", low=0.85, high=0.95, computed=mechanical, unit="-")
    if name == "new belt twin":
        computed = middle(isentropic(train))
        published.band(f"T35 plant, isentropic, {name}", low=0.65, high=0.80, computed=computed, unit="-")


@pytest.mark.parametrize("name", ["belt twin", "two-stage"])
def test_efficiencies_against_the_check_rows(published, name):
    """At 100 psi, of pumps whose condition is not told."""
    train = running(name, 850, 100)
    adiabatic, cool = isentropic(train), isothermal(train)
    published.band(f"check row, isentropic, {name}", low=0.60, high=0.78, computed=middle(adiabatic), unit="-")
    published.band(f"check row, isothermal, {name}", low=0.52, high=0.62, computed=middle(cool), unit="-")
    published.band(f"check row, least isothermal, {name}", low=0.41, high=1.0, computed=low_end(cool), unit="-")


def test_no_pump_beats_compressing_at_constant_temperature():
    for name, rpm, psi in (("new belt twin", 850, 100), ("new two-stage", 850, 175), ("worn belt twin", 850, 125)):
        assert np.max(isothermal(running(name, rpm, psi))) < 0.85
