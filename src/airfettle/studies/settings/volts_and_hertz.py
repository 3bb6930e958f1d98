"""How volts follow hertz: pattern, boost, carrier, and hertz that are skipped."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from airfettle.parts.drive import advised_carrier, pattern_voltage
from airfettle.studies.settings.limits import lowest_setting
from airfettle.studies.settings.one_train import OneTrain
from airfettle.studies.settings.setting import Setting

SKIP_WIDTH = 3.0
"""Width of a band of hertz that is skipped. [Hz]  Source: practice."""
MOST_BOOST = 2.0
"""Most boost over the volts lost in the winding at plate amps. [-]  Source: practice."""


def volts_and_hertz(train: OneTrain) -> Iterator[Setting]:
    """Yield pattern, boost, skipped hertz and carrier."""
    yield _pattern(train)
    yield _boost(train)
    yield Setting(
        "energy_saving", "volts and hertz", "Energy saving, flux optimising", words="off",
        why="It weakens the motor at light load; a piston asks for its full torque again within the same turn.",
    )  # fmt: skip
    yield _skip(train)
    yield _carrier(train)


def _pattern(train: OneTrain) -> Setting:
    power = train.numbers.power
    volts, base = train.likely(power.motor.voltage), train.base_frequency
    most = train.likely(power.supply_voltage) * (1.0 - train.likely(power.drive_voltage_drop))
    hertz = train.slowest if train.slowest < 0.99 * base else 0.75 * base
    there = float(pattern_voltage(hertz, base_voltage=volts, base_frequency=base, available=most))
    return Setting(
        "pattern", "volts and hertz", "Volts-per-hertz pattern", words="constant torque (straight line)",
        why=f"A piston pump asks for the same torque at any speed. {volts / base:.2f} V for each Hz: "
        f"{train.say(there, 'voltage')} at {hertz:g} Hz. The bent pattern for fans starves the motor when slow.",
        sources=("physics", "variable-speed-notes"),
    )  # fmt: skip


def winding_drop(train: OneTrain) -> float:
    """Return volts lost in the winding at plate amps, over plate volts. [-]"""
    motor = train.numbers.power.motor
    root = sqrt(3.0) if train.likely(motor.phases) > 2.0 else 1.0
    return root * train.likely(motor.rated_current * motor.winding_resistance / motor.voltage)


def _boost(train: OneTrain) -> Setting:
    share = winding_drop(train)
    return Setting(
        "boost", "volts and hertz", "Boost at low hertz, of base volts", value=share, kind="fraction", low=0.0,
        high=MOST_BOOST * share,
        why="What the winding loses at plate amps. Where the drive measures the motor by itself "
        "(at standstill, belt on), let it. Too little and it does not start; too much and it hums, heats and trips.",
        sources=("airfettle-equations", "practice"), state="assumed",
    )  # fmt: skip


def _skip(train: OneTrain) -> Setting:
    slow, fast = lowest_setting(train), train.fastest
    turn = train.likely(train.state.pump_speed) / fast
    ends = f"{slow * turn:.1f} to {fast * turn:.1f}" if fast - slow > 0.1 else f"{fast * turn:.1f}"
    twice = f"{2 * slow * turn:.1f} to {2 * fast * turn:.1f}" if fast - slow > 0.1 else f"{2 * fast * turn:.1f}"
    return Setting(
        "skip_bands", "volts and hertz", "Skipped hertz", words="none until a slow run-up finds them", kind="frequency",
        why=f"The pump shakes its mounts {ends} times a second, and weaker {twice} times. Run up by 0.5 Hz at a time "
        f"from {slow:g} Hz, watch mounts and pipe; where they shake, note the hertz and skip {SKIP_WIDTH:g} Hz round "
        "it.", state="measure first",
    )  # fmt: skip


def _carrier(train: OneTrain) -> Setting:
    lead = train.wired.parts.get("motor_lead")
    length = train.likely(lead.wire_length) if lead is not None and lead.wire_length is not None else 3.0
    low, high = (float(end) for end in advised_carrier(length))
    told = train.wired.told("motor_lead", "wire_length")
    said = f"A motor lead of {told}." if told else "The lead's length is not told; from 15 m (50 ft) on, 2 to 4 kHz."
    return Setting(
        "carrier", "volts and hertz", "Carrier frequency", value=low, kind="frequency", unit="kHz", low=low, high=high,
        why=f"{said} Higher sings less but takes output amps from the "
        "drive, and is harder on the winding.", state=train.known("motor_lead.wire_length"),
    )  # fmt: skip
