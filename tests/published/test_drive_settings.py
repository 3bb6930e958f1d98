"""What a drive, a starter and its overload relay are set to, against printed values and sums done by hand."""

import tomllib
from functools import cache
from math import pi

import numpy as np
import pytest
from electric_plants import ON_THE_LINE, ONE_PHASE
from told_plants import changed

from airfettle.parts.drive_start import ramp_time
from airfettle.plant.whole import Plant
from airfettle.quantity import Span
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.settings import drive_settings
from airfettle.studies.settings.from_the_plate import overload_most, synchronous_speed
from airfettle.studies.settings.on_the_line import LEAST_TRIP
from airfettle.studies.speed_card import speed_cards
from airfettle.studies.speed_window import at_both_ends, speed_windows

SOURCE = "nec-430-32"
SURE = "B"

WITHOUT_SPREAD = {
    "pump__flywheel_inertia": '{ is = "2 kg m2", known = "maker" }',
    "motor__rotor_inertia": '{ is = "0.02 kg m2", known = "maker" }',
}


@cache
def settings_of(text, rows=64):
    drawn = draw(Plant[Span].model_validate(tomllib.loads(text)), rows=rows)
    windows, numbers = speed_windows(drawn), complete(drawn)
    cards = speed_cards(drawn, windows=windows, numbers=numbers)
    (train,) = drive_settings(drawn, numbers=numbers, windows=windows, cards=cards)
    return {setting.id: setting for setting in train.settings}, cards[0], numbers


@pytest.mark.parametrize(
    ("factor", "rise", "percent"), [(1.0, None, 115), (1.15, None, 125), (1.25, None, 125), (1.0, 40.0, 125),
                                    (1.0, 60.0, 115), (1.14, None, 115)],
)  # fmt: skip
def test_most_of_an_overload_relay(published, factor, rise, percent):
    computed = 100.0 * overload_most(service_factor=factor, winding_rise=rise)
    published(f"430.32(A)(1) service factor {factor:g}, rise {rise or 'not marked'}", printed=percent,
              computed=computed, unit="%", abs=1e-9)  # fmt: skip


@pytest.mark.parametrize(("factor", "printed"), [("1.0 by plate", 1.15 * 15.0), ("1.15 by plate", 1.25 * 15.0)])
def test_dial_of_a_motor_on_the_line(published, factor, printed):
    text = changed(ON_THE_LINE, **{"motor__service_factor": factor})
    found = settings_of(text)[0]["motor_overload"]
    published(f"dial, plate 15 A, service factor {factor}", printed=15.0, computed=found.value, unit="A", abs=1e-9)
    published(f"most, plate 15 A, service factor {factor}", printed=printed, computed=found.high, unit="A", rel=1e-9)


@pytest.mark.parametrize(("trip", "seconds"), [(10, 4.0), (20, 6.0)])
def test_least_time_of_a_trip_class(published, trip, seconds):
    published(f"class {trip} at 7.2 times its setting, least", printed=seconds, computed=LEAST_TRIP[trip], unit="s",
              abs=0.0, source="iec-60947-4-1")  # fmt: skip


@pytest.mark.parametrize(
    ("hertz", "poles", "rpm"), [(60.0, 2, 3600), (60.0, 4, 1800), (60.0, 6, 1200), (50.0, 4, 1500), (50.0, 6, 1000)]
)
def test_speed_of_the_field(published, hertz, poles, rpm):
    computed = 60.0 * synchronous_speed(hertz, poles=poles)
    published(f"120 f/p, {hertz:g} Hz, {poles} poles", printed=rpm, computed=computed, unit="rpm", abs=1e-9,
              source="physics", sure="C")  # fmt: skip


@pytest.mark.parametrize(("hertz", "volts"), [(45, 172.5), (30, 115.0)])
def test_volts_for_each_hertz_as_the_sheet_says(published, hertz, volts):
    slow = {"control__low": f"{hertz} Hz", "drive__minimum_frequency": f"{hertz} Hz", "pump__minimum_speed": "200 rpm",
            "pump__flywheel_inertia": "6 kg m2"}  # fmt: skip
    found, card, _ = settings_of(changed(ONE_PHASE, **slow))
    assert min(speed.frequency for speed in card.speeds) == hertz
    words = found["pattern"].why.split("Hz: ")[1].split(" V at")[0]
    published(f"F05 {hertz} Hz on the settings sheet", printed=volts, computed=float(words), unit="V", rel=0.005,
              source="physics", sure="C")  # fmt: skip
    assert found["base_volts"].value == 230.0
    assert found["base_frequency"].value == 60.0


def test_amps_hardly_fall_and_air_follows_hertz(published):
    """A piston pump is a constant-torque load: half the hertz, about half the air, and the same amps."""
    slow = {"control__low": "30 Hz", "drive__minimum_frequency": "30 Hz", "pump__minimum_speed": "200 rpm",
            "pump__flywheel_inertia": "6 kg m2"}  # fmt: skip
    _, card, _ = settings_of(changed(ONE_PHASE, **slow))
    at = {point.frequency: point for point in card.points}
    air = at[30.0].delivered_air.likely / at[60.0].delivered_air.likely
    published.band("F02 air at half frequency (a cube law says 0.125)", low=0.42, high=0.52, computed=air, unit="-",
                   source="variable-speed-notes", sure="A")  # fmt: skip
    amps = at[30.0].motor_current.likely / at[60.0].motor_current.likely
    published.band("F02 motor amps at half frequency", low=0.90, high=1.05, computed=amps, unit="-",
                   source="variable-speed-notes", sure="A")  # fmt: skip


@pytest.mark.parametrize(("length", "low", "high"), [("120 ft", 2, 4), ("6 ft", 4, 8)])
def test_carrier(published, length, low, high):
    found = settings_of(changed(ONE_PHASE, **{"motor_lead__wire_length": length}))[0]["carrier"]
    for end, printed, computed in (("low", low, found.low), ("high", high, found.high)):
        published(f"F11 lead {length}, {end}", printed=printed, computed=computed / 1e3, unit="kHz", abs=0.0,
                  source="practice", sure="CP")  # fmt: skip


def test_ramp_by_hand(published):
    """0.4 kg m2 from rest to 1750 rpm by 30 N m against 10 N m: 0.4 x 183.26 / 20 s."""
    computed = float(ramp_time(inertia=0.4, speed_start=0.0, speed_end=1750 / 60, torque=30.0, load_torque=10.0))
    published("t = J w/(T - TL)", printed=3.665, computed=computed, unit="s", rel=1e-3, source="physics", sure="C")


def test_ramp_on_the_sheet_by_hand(published):
    """The sheet's shortest ramp is J w/(T - TL) with the plant's own numbers, told without spread."""
    found, _, numbers = settings_of(changed(ONE_PHASE, **WITHOUT_SPREAD))
    power, pump = numbers.trains[0].power, numbers.trains[0].pump
    inertia = 0.02 + 2.0 / float(np.median(pump.ratio)) ** 2
    motor = power.motor
    amps, idle, rated = found["current_limit"].value, motor.no_load_current.ravel(), motor.rated_current.ravel()
    field = 0.90
    torque = motor.rated_torque.ravel() * field * np.sqrt((amps**2 - (field * idle) ** 2) / (rated**2 - idle**2))
    torque = np.minimum(torque, field**2 * motor.breakdown_torque.ravel())
    assert "against cut-in pressure" in found["ramp_up"].why
    drawn = draw(Plant[Span].model_validate(tomllib.loads(changed(ONE_PHASE, **WITHOUT_SPREAD))), rows=64)
    state = at_both_ends(drawn, numbers, np.array([60.0])).trains[0]
    spare = torque - state.motor_torque[:, 0, 0]
    by_hand = 1.5 * np.percentile(inertia * 2.0 * pi * state.motor_speed[:, 0, -1] / spare, 95.0)
    published("least ramp, 1.5 times J w/(T - TL), 95 of 100 rows", printed=float(by_hand),
              computed=found["ramp_up"].low, unit="s", rel=0.03, source="physics", sure="C")  # fmt: skip
