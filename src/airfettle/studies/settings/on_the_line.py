"""A motor straight on the line: overload relay and pressure switch are what there is to set."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.drive_start import NEVER
from airfettle.parts.motor_class import allowable_starts, locked_rotor_torque_ratio, start_rate_limit
from airfettle.parts.motor_limits import run_up_time
from airfettle.parts.receiver import worst_starts
from airfettle.studies.settings.from_the_plate import motor_amps
from airfettle.studies.settings.one_train import OneTrain
from airfettle.studies.settings.pressures import high_pressure_stop, pressure
from airfettle.studies.settings.setting import Setting
from airfettle.studies.settings.starting import least_wait, turning_inertia

Array = NDArray[np.float64]

LEAST_TRIP = {10: 4.0, 20: 6.0}
"""Class of an overload relay -> seconds at 7.2 times its setting that it holds at least. [s]  Source: iec-60947-4-1."""


def on_the_line(train: OneTrain) -> Iterator[Setting]:
    """Yield what is to be set where no drive stands between line and motor."""
    yield motor_amps(train, starter=True)
    yield _trip_class(train)
    yield Setting(
        "overload_reset", "overload relay", "Overload: reset", words="by hand",
        why="A relay that resets itself starts the pump again on a motor that was just too hot, with nobody there.",
        sources=("iec-60204-1", "practice"),
    )  # fmt: skip
    yield _after_power(train)
    for entry, what, why in (
        ("cut_in", "Start at", "The gauge's reading as the pump starts."),
        ("cut_out", "Stop at", "Below the receiver's plate and clear of the relief valve."),
    ):
        yield pressure(train, entry, what, why)
    yield from high_pressure_stop(train)
    yield least_wait(train)
    starts = _starts(train)
    if starts is not None:
        yield starts


def run_up(train: OneTrain) -> Array:
    """Return the time of a start on the line, the head empty, for each row.

    Returns
    -------
    ndarray
        [s]

    Notes
    -----
    t = 2 pi J n/(T - T_load), T the locked-rotor torque of its size by volts squared, T_load the pump's unloaded share
    of its torque.  Valid: three phases; torque stays over locked-rotor torque on the way up, so it reads long.

    References
    ----------
    [physics]; [nema-mg1] 12.38
    """
    power, state = train.numbers.power, train.state
    motor = power.motor
    volts = train.rows(power.supply_voltage) / train.rows(motor.voltage)
    ratio = locked_rotor_torque_ratio(train.rows(motor.power), poles=train.rows(motor.poles))
    idle = train.rows(state.motor_torque) * train.rows(train.numbers.pump.part.unloaded_share)
    return run_up_time(inertia=turning_inertia(train), speed=train.rows(state.motor_speed),
                       motor_torque=ratio * train.rows(motor.rated_torque) * volts**2, load_torque=idle)  # fmt: skip


def _trip_class(train: OneTrain) -> Setting:
    if train.likely(train.numbers.power.motor.phases) < 2.0:
        return Setting("trip_class", "overload relay", "Overload: class", words="10",
                       why="Single-phase motors often carry a protector of their own: look for its red button.",
                       sources=("iec-60947-4-1",), state="assumed")  # fmt: skip
    times = run_up(train)
    longest = float(np.percentile(times, 95.0))
    chosen = 10 if longest <= LEAST_TRIP[10] else 20
    why = (
        f"With the head empty it comes up in {train.spread(np.minimum(times, 99.0), 'time')}. Class 10 may trip after "
    )
    why += f"{LEAST_TRIP[10]:.0f} s at starting amps, class 20 after {LEAST_TRIP[20]:.0f} s."
    if longest > LEAST_TRIP[20]:
        why += " Longer than that is hard on the motor: a lighter flywheel, a larger motor or a drive."
    return Setting(
        "trip_class", "overload relay", "Overload: class", words=str(chosen), why=why,
        sources=("iec-60947-4-1", "nema-mg1"), state="assumed" if longest < NEVER / 2 else "measure first",
    )  # fmt: skip


def _after_power(train: OneTrain) -> Setting:
    today = train.fact("control", "restarts_by_itself")
    said = (
        "Told: it starts by itself when power comes back. "
        if today in ("power coming back", "several of these")
        else ""
    )
    return Setting(
        "restart_after_power", "overload relay", "Start again when power comes back",
        words="no: a magnetic switch that falls out",
        why=f"{said}A pressure switch alone starts it as soon as there is power; a switch that must be pressed in "
        "again does not.", sources=("iec-60204-1", "osha-1910-147"),
    )  # fmt: skip


def _starts(train: OneTrain) -> Setting | None:
    """Starts an hour that the motor stands, against those of the worst demand; three phases only."""
    motor, draw = train.numbers.power.motor, train.wired.draw
    receivers = [r for r in draw.plant.receiver if not r.absent]
    if train.likely(motor.phases) < 2.0 or not receivers:
        return None
    allowed = allowable_starts(train.rows(motor.power), poles=train.rows(motor.poles))
    load = turning_inertia(train) - train.rows(train.numbers.power.rotor_inertia)
    most = 3600.0 * start_rate_limit(allowed, load_inertia=load)
    delivered = train.state.delivered_air[:, -1:, :]
    worst = 3600.0 * worst_starts(
        receiver_volume=sum(train.rows(r.volume) for r in receivers), pressure_cut_in=train.rows(train.plant.cut_in),
        pressure_cut_out=train.rows(train.plant.cut_out), free_air_delivery=train.rows(np.mean(delivered, axis=2)),
        pressure_intake=train.rows(train.plant.barometer),
    )  # fmt: skip
    stands, comes = float(np.floor(train.at_least(most))), train.at_most(worst)
    why = f"At half of its delivery in use it starts {train.spread(worst, 'number')} times an hour; the motor stands "
    why += f"{train.spread(most, 'number')}, with {train.say(train.likely(allowed.rest), 'time')} of rest between."
    if comes > stands:
        why += " A wider band between start and stop, or more receiver, makes them fewer."
    return Setting(
        "starts", "pressure switch", "Starts an hour, at most", value=stands, kind="number", high=stands, why=why,
        sources=("nema-mg10", "physics"), state=train.known("pump.flywheel_inertia"),
    )  # fmt: skip
