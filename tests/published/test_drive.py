"""A drive on a constant-torque load, and metric cables, against printed values and rules."""

import numpy as np
import pytest

from airfettle.parts import conductor, drive, motor, motor_limits

SOURCE = "practice"
SURE = "CP"

HP = 745.7


@pytest.fixture(scope="module")
def five_horse():
    return motor.motor_from_plate(
        power=5 * HP, voltage=230.0, frequency=60.0, rated_speed=1745 / 60, poles=4, efficiency=0.875,
        power_factor=0.82, breakdown_ratio=2.25,
    )  # fmt: skip


def run(constants, hertz, volts=230.0, share=1.0):
    return motor.running(constants, torque=share * constants.rated_torque, frequency=hertz, voltage_available=volts)


def test_power_follows_speed(published):
    torque = motor.rated_torque(10 * HP, speed=30.0)
    computed = motor.shaft_power(torque, speed=15.0) / HP
    published("F01", printed=5, computed=computed, unit="hp", rel=0.01, source="variable-speed-notes", sure="A")


def test_half_the_hertz_is_near_half_the_power(published, five_horse):
    half, full = run(five_horse, 30.0), run(five_horse, 60.0)
    computed = half.shaft_power / full.shaft_power
    published.band("F02 shaft power at half frequency (a cube law says 0.125)", low=0.45, high=0.52, computed=computed,
                   unit="-", source="variable-speed-notes", sure="A")  # fmt: skip


@pytest.mark.parametrize(("hertz", "volts"), [(45, 172.5), (30, 115)])
def test_volts_for_each_hertz(published, five_horse, hertz, volts):
    more = {"printed": volts, "unit": "V", "rel": 0.005, "source": "physics", "sure": "C"}
    published(f"F05 {hertz} Hz at the motor", computed=run(five_horse, hertz).voltage, **more)
    pattern = drive.pattern_voltage(hertz, base_voltage=230.0, base_frequency=60.0, available=225.0)
    published(f"F05 {hertz} Hz as the drive sets it", computed=pattern, **more)


@pytest.mark.parametrize(("hertz", "percent"), [(66, 90.9), (75, 80.0)])
def test_torque_above_base(published, five_horse, hertz, percent):
    computed = 100 * run(five_horse, hertz).available_torque_share
    published(f"F06 {hertz} Hz", printed=percent, computed=computed, unit="%", rel=0.005, source="nema-mg1-memory",
              sure="C")  # fmt: skip


def test_pull_out_above_base(published, five_horse):
    computed = 100 * run(five_horse, 75.0).breakdown_torque / run(five_horse, 60.0).breakdown_torque
    published("F07 75 Hz", printed=64, computed=computed, unit="%", rel=0.01, source="nema-mg1", sure="A*")


@pytest.mark.parametrize(("kind", "end", "turns"), [("inverter-duty", 1, 10), ("fan-cooled", 0, 4)])
def test_speed_range_at_full_torque(published, kind, end, turns):
    shares = np.linspace(0.01, 1.0, 991)
    knee = motor_limits.FULL_TORQUE_DOWN_TO[kind][end]
    full = motor_limits.fan_cooled_torque_share(shares, full_torque_down_to=knee) >= 1.0 - 1e-12
    published(f"F08 {kind}", printed=turns, computed=1.0 / shares[full].min(), unit="-", rel=0.01,
              source="nema-mg1-memory", sure="M")  # fmt: skip


def test_carrier(published):
    for length, low, high in ((40.0, 2, 4), (3.0, 4, 8)):
        found = drive.advised_carrier(length)
        for end, printed, computed in (("low", low, found[0]), ("high", high, found[1])):
            published(f"F11 lead {length:g} m, {end}", printed=printed, computed=computed / 1e3, unit="kHz", abs=0.0)
    published.band("F11 output share at 8 kHz, rated at 4 kHz", low=0.70, high=0.95,
                   computed=drive.derating(carrier=8e3), unit="-")  # fmt: skip


def test_overload(published):
    published("F13 constant torque", printed=150, computed=100 * drive.overload_current(1.0, duty="heavy"), unit="%",
              abs=1e-9)  # fmt: skip
    published.band("F13 variable torque", low=110, high=120, computed=100 * drive.overload_current(1.0),
                   unit="%")  # fmt: skip
    published("F13 time", printed=60, computed=drive.OVERLOAD_TIME, unit="s", abs=0.0)


def test_efficiency_of_a_drive(published):
    full, quarter, tenth = (100 * drive.efficiency(x * 4000.0, rated_power=4000.0) for x in (1.0, 0.25, 0.1))
    published.band("F14 full load", low=95, high=98, computed=full, unit="%")
    published.band("F14 falls to a quarter load", low=80, high=full - 1, computed=quarter, unit="%")
    published.band("F14 falls to a tenth", low=60, high=quarter - 1, computed=tenth, unit="%")


AREAS = (4, 6, 10, 16, 25, 35, 50)


def test_metric_cable_in_conduit(published):
    rated = conductor.ampacities("iec-b2", loaded=3)
    names = conductor.size_names("iec-b2")
    for area, amps in zip(AREAS, (27, 34, 46, 62, 80, 99, 118), strict=True):
        computed = rated[names.index(str(area))]
        published(f"B2 three loaded {area} mm2", printed=amps, computed=computed, unit="A", abs=0.0,
                  source="iec-60364-5-52", sure="A")  # fmt: skip


@pytest.mark.parametrize(
    ("degrees", "printed"),
    [
        (40, (23, 30, 40, 54, 70, 86, 103)),
        (45, (21, 27, 36, 49, 63, 78, 93)),
        (50, (19, 24, 33, 44, 57, 70, 84)),
        (55, (16, 21, 28, 38, 49, 60, 72)),
    ],
)
def test_metric_cable_in_warm_air(published, degrees, printed):
    factor = conductor.ambient_factor(degrees + 273.15, system="iec-b2")
    rated = conductor.ampacities("iec-b2", loaded=3)[-len(AREAS) :] * factor
    for area, amps, computed in zip(AREAS, printed, rated, strict=True):
        published(f"B2 three loaded {area} mm2 at {degrees} degC", printed=amps, computed=computed, unit="A", abs=1.0,
                  source="iec-60364-5-52", sure="A")  # fmt: skip


def test_metric_cable_clipped_direct(published):
    for loaded, printed in ((2, (19.5, 27, 36, 46, 63, 85)), (3, (17.5, 24, 32, 41, 57, 76))):
        rated = conductor.ampacities("iec-c", loaded=loaded)
        for area, amps, computed in zip((1.5, 2.5, 4, 6, 10, 16), printed, rated, strict=False):
            published(f"C {loaded} loaded {area:g} mm2", printed=amps, computed=computed, unit="A", abs=0.0,
                      source="iec-60364-5-52", sure="B")  # fmt: skip
