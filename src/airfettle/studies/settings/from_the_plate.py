"""Supply and motor plate: what a drive must be told before it may turn a motor."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from airfettle.parts.motor_class import table_current
from airfettle.studies.settings.one_train import OneTrain
from airfettle.studies.settings.setting import Group, Setting

OVERLOAD_MOST, OVERLOAD_MOST_COOL = 1.15, 1.25
"""Most that a motor's overload protection may be set to, over plate amps; where the plate says a service factor of
1.15 or more, or a rise of 40 K or less. [-]  Source: nec-430-32."""
COOL_FACTOR, COOL_RISE = 1.15, 40.0
"""Service factor from which, and rise up to which, the larger share holds. [-] [K]  Source: nec-430-32."""


def overload_most(*, service_factor: float, winding_rise: float | None = None) -> float:
    """Return the most that a motor's overload protection may be set to, over its plate amps.

    Parameters
    ----------
    service_factor : float
        On the plate; 1 where it says none. [-]
    winding_rise : float or None
        On the plate. [K]

    Returns
    -------
    float
        [-]

    Notes
    -----
    Valid: motors of more than 1 hp for continuous duty; more is allowed only where they do not start at this.

    References
    ----------
    [nec-430-32] 430.32(A)(1)
    """
    cool = winding_rise is not None and winding_rise <= COOL_RISE
    return OVERLOAD_MOST_COOL if service_factor >= COOL_FACTOR - 1e-9 or cool else OVERLOAD_MOST


def synchronous_speed(frequency: float, *, poles: float) -> float:
    """Return the speed at which a motor's field turns.

    Parameters
    ----------
    frequency : float
        [Hz]
    poles : float
        [-]

    Returns
    -------
    float
        [1/s]

    Notes
    -----
    n = 2 f/p.

    References
    ----------
    [physics]
    """
    return 2.0 * frequency / poles


def supply(train: OneTrain) -> Iterator[Setting]:
    """Yield what a drive is told of its supply."""
    power, volts = train.numbers.power, train.likely(train.numbers.power.supply_voltage)
    measured = train.given("supply", "voltage")
    yield Setting(
        "input_volts", "supply", "Input volts", value=measured if measured is not None else volts, kind="voltage",
        why="The drive's undervoltage and overvoltage trips follow it. Measure between live wires, the plant running.",
        state=train.known("supply.voltage") if measured is not None else "assumed",
    )  # fmt: skip
    yield _input_phases(train, power.phases)
    yield Setting(
        "ride_through", "supply", "Ride through a dip of the supply", words="off",
        why="After a dip the head holds pressure and the motor has lost speed: it would start again loaded, unasked.",
        sources=("iec-60204-1", "practice"),
    )  # fmt: skip


def _input_phases(train: OneTrain, phases: int) -> Setting:
    built = train.fact("drive", "input_phases", None)
    what = "Lost-input-phase detection"
    if phases == 3:
        return Setting(
            "lost_input_phase", "supply", what, words="on: trip",
            why="Three phases feed it. With one lost the other two carry it all, and the rectifier burns.",
        )  # fmt: skip
    if built == 1:
        return Setting("lost_input_phase", "supply", what, words="as delivered",
                       why="The drive is built for a single phase and is fed with one.")  # fmt: skip
    made = "is built for three phases" if built == 3 else "may be built for three phases: read its plate"
    return Setting(
        "lost_input_phase", "supply", what,
        words="off, or the single-phase setting, only if its manual allows a single phase",
        why=f"A single phase feeds it and it {made}. Left on, it trips under load. If the manual does not allow a "
        "single phase, do not feed it with one: its rectifier and capacitors are too small.",
        sources=("drive-manual", "practice"), state="measure first",
    )  # fmt: skip


def motor_plate(train: OneTrain) -> Iterator[Setting]:
    """Yield what a drive is told of its motor, as it stands on the plate."""
    motor = train.numbers.power.motor
    yield _plate(train, "motor_power", "Motor power", "power", "power", train.likely(motor.power),
                 "Off the plate; the drive's own power is no measure of the motor's.")  # fmt: skip
    yield _base_volts(train)
    yield _plate(
        train, "base_frequency", "Base frequency", "frequency", "frequency", train.base_frequency,
        "The plate's hertz. Up to it volts rise with hertz; above it torque falls.",
    )  # fmt: skip
    yield motor_amps(train)
    field = synchronous_speed(train.base_frequency, poles=train.likely(motor.poles))
    yield _plate(
        train, "plate_speed", "Plate speed", "speed", "rotational_speed", train.likely(motor.rated_speed),
        f"The full-load speed, not the {60.0 * field:.0f} rpm of its field: the drive takes slip from the difference.",
    )  # fmt: skip
    yield Setting(
        "poles", "motor plate", "Poles", words=f"{train.likely(motor.poles):.0f}",
        why=f"120 x {train.base_frequency:g} Hz over the poles is {60.0 * field:.0f} rpm, the next above plate speed.",
        sources=("physics",), state="sure" if train.told("motor", "speed") or train.fact("motor", "poles", None) else
        "assumed",
    )  # fmt: skip


def _plate(train: OneTrain, name: str, what: str, entry: str, kind: str, likely: float, why: str) -> Setting:
    value = train.given("motor", entry)
    if value is None:
        return Setting(name, "motor plate", what, value=likely, kind=kind, state="assumed",
                       why=f"Not told: read the plate. {why}")  # fmt: skip
    return Setting(name, "motor plate", what, value=value, kind=kind, words=train.wired.told("motor", entry), low=value,
                   high=value, why=why, state=train.known(f"motor.{entry}"))  # fmt: skip


def _base_volts(train: OneTrain) -> Setting:
    volts, power = train.likely(train.numbers.power.motor.voltage), train.numbers.power
    most = train.likely(power.supply_voltage) * (1.0 - train.likely(power.drive_voltage_drop))
    why = f"The plate's volts as its leads are joined, at {train.base_frequency:g} Hz."
    if most < 0.97 * volts:
        why += f" The drive can give about {train.say(most, 'voltage')}: from "
        why += f"{train.base_frequency * most / volts:.0f} Hz up the motor has less flux, more amps and less torque."
    return _plate(train, "base_volts", "Base volts", "voltage", "voltage", volts, why)


def motor_amps(train: OneTrain, *, starter: bool = False) -> Setting:
    """Return the setting of the motor's overload protection: plate amps; what a code allows at most is told beside.

    Parameters
    ----------
    train : OneTrain
        The train. [SI]
    starter : bool
        An overload relay rather than the drive's own protection.
    """
    amps, what = train.given("motor", "current"), "Overload dial" if starter else "Motor overload: plate amps"
    group: Group = "overload relay" if starter else "motor plate"
    name = "motor_overload"
    us = train.wired.units == "US"
    sources = ("nec-430-32", "iec-60204-1") if us else ("iec-60204-1", "practice")
    if amps is None:
        motor = train.numbers.power.motor
        table = ""
        if us:
            listed = float(table_current(train.likely(motor.power), voltage=train.likely(motor.voltage),
                                         phases=int(train.likely(motor.phases))))  # fmt: skip
            table = f" The code's table has {listed:g} A for its size: a check, not a setting."
        return Setting(
            name, group, what, words="the amps on the motor's plate, at the volts used", kind="current",
            why=f"Not told. By its power it would be about {train.spread(motor.rated_current, 'current')}.{table}",
            sources=sources, state="measure first",
        )  # fmt: skip
    asks = train.state.motor_current
    why = "The plate's amps" if starter else "The plate's amps, not the drive's"
    why += "; at "
    why += f"cut-out the motor draws {train.spread(asks, 'current')}."
    if float(np.percentile(np.max(asks, axis=(1, 2)), 95.0)) > amps:
        why += " It may trip at work: the pump may be too much for this motor. Do not turn the protection up."
    share = overload_most(service_factor=train.given("motor", "service_factor") or 1.0,
                          winding_rise=train.given("motor", "winding_rise"))  # fmt: skip
    if us:
        why += f" The code's most is {share:.0%} of plate amps, {share * amps:.1f} A"
        why += "." if starter else "; on a drive there is no service factor to spend."
    most = share * amps if starter and us else amps
    return Setting(name, group, what, value=amps, kind="current", high=most, why=why, sources=sources,
                   state=train.known("motor.current"))  # fmt: skip


def motor_guard(train: OneTrain) -> Iterator[Setting]:
    """Yield how a drive's own protection of its motor works."""
    made = train.fact("motor", "inverter_duty")
    kind = "of a motor made for a drive" if made == "yes" else "of a motor cooled by its own fan"
    yield Setting(
        "overload_kind", "motor plate", "Motor overload: kind", words=f"on, class 10, {kind}",
        why="Electronic protection that counts heat. Slow, a fan on the motor's own shaft cools less, and only this "
        "choice makes the drive count that." if made != "yes" else "Electronic protection that counts heat.",
        sources=("iec-60947-4-1", "nec-430-32"), state="sure" if made != "unknown" else "assumed",
    )  # fmt: skip
