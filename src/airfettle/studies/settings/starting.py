"""Starting and stopping on a drive: ramps from what turns and what torque there is, coasting, and the wait between."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.check_valve import bleed_time
from airfettle.parts.drive_start import NEVER, break_away_torque, coast_time, ramp_time
from airfettle.parts.motor_limits import reflected_inertia
from airfettle.studies.settings.limits import MOST_OVER_PLATE, lowest_setting
from airfettle.studies.settings.one_train import OneTrain
from airfettle.studies.settings.setting import Group, Setting
from airfettle.studies.unloading import BLEED, VENTED

Array = NDArray[np.float64]

RAMP_MARGIN = 1.5
"""Ramp set over the shortest there can be. [-]  Source: practice."""
LEAST_RAMP = 5.0
"""Ramp that no pump of a workshop needs to be quicker than. [s]  Source: practice."""
SLOW_TIME = 5.0
"""Longest that a start may keep a pump below its lowest speed. [s]  Source: practice."""
WAIT_MARGIN = 2.0
"""Wait before a start over the time the head takes to empty. [-]  Source: practice."""
LEAST_WAIT = 5.0
"""Wait that is set at least. [s]  Source: practice."""


def turning_inertia(train: OneTrain) -> Array:
    """Return all that turns, as felt on the motor's shaft. [kg m2]"""
    pump, power = train.numbers.pump, train.numbers.power
    wheel = reflected_inertia(train.rows(pump.flywheel_inertia), speed_ratio=1.0 / train.rows(pump.ratio))
    return np.asarray(train.rows(power.rotor_inertia) + wheel)


def shortest_ramp(train: OneTrain, *, current: float) -> Array:
    """Return the shortest ramp from rest to the highest frequency that a current limit lets pass, for each row.

    Parameters
    ----------
    train : OneTrain
        The train. [SI]
    current : float
        What the drive gives for a minute. [A]

    Returns
    -------
    ndarray
        ``NEVER`` where the pump, loaded against cut-in pressure, holds the motor. [s]

    Notes
    -----
    t = 2 pi J n/(T - T_load), the load taken as the pump's mean torque against cut-in pressure all the way: the
    unloader shuts as the motor begins to turn.  Valid: break-away against an emptied head.

    References
    ----------
    [physics]
    """
    motor = train.numbers.power.motor
    torque = break_away_torque(
        current, rated_current=train.rows(motor.rated_current), no_load_current=train.rows(motor.no_load_current),
        rated_torque=train.rows(motor.rated_torque), breakdown_torque=train.rows(motor.breakdown_torque),
    )  # fmt: skip
    return ramp_time(
        inertia=turning_inertia(train), speed_start=0.0, speed_end=train.rows(train.state.motor_speed), torque=torque,
        load_torque=train.rows(train.state.motor_torque[:, :, :1]),
    )  # fmt: skip


def own_stop(train: OneTrain) -> Array:
    """Return the time in which the pump stops itself from its highest speed against cut-in pressure. [s]"""
    return coast_time(
        inertia=turning_inertia(train), speed=train.rows(train.state.motor_speed),
        load_torque=train.rows(train.state.motor_torque[:, :, :1]),
    )  # fmt: skip


def head_empty(train: OneTrain) -> Array:
    """Return the time that the air between pump and check valve takes to leave by the unloader after a stop. [s]"""
    line = train.wired.parts.get("hot_line")
    volume = np.zeros(1) if line is None else line.volume
    return bleed_time(
        volume=train.rows(volume), pressure_start=train.rows(train.plant.cut_out),
        pressure_end=train.rows(train.plant.barometer) + VENTED, bore=BLEED,
        temperature=train.rows(train.plant.room_temperature), pressure_barometer=train.rows(train.plant.barometer),
    )  # fmt: skip


def starting_and_stopping(train: OneTrain, *, limit: Setting) -> Iterator[Setting]:
    """Yield ramps, the way it stops, and what it may do after a stop nobody asked for.

    Parameters
    ----------
    train : OneTrain
        The train. [SI]
    limit : Setting
        Its current limit. [A]
    """
    up = _ramp_up(train, limit)
    yield up
    yield _stop(train)
    yield _ramp_down(train, up)
    yield least_wait(train)
    yield from restarts(train)


def _ramp_up(train: OneTrain, limit: Setting) -> Setting:
    amps = limit.value
    if amps is None:
        plate = train.given("motor", "current") or train.likely(train.numbers.power.motor.rated_current)
        amps = min(MOST_OVER_PLATE * plate, limit.high or MOST_OVER_PLATE * plate)
    shortest = shortest_ramp(train, current=amps)
    least = float(np.percentile(shortest, 95.0))
    what, full = "Acceleration ramp", f"from rest to {train.fastest:g} Hz"
    inertia = train.spread(turning_inertia(train), "inertia")
    known = train.known("pump.flywheel_inertia", "motor.power") if limit.state == "sure" else "assumed"
    if least >= NEVER / 2.0:
        share = float(np.mean(shortest >= NEVER / 2.0))
        return Setting(
            "ramp_up", "starting and stopping", what, value=LEAST_RAMP, kind="time", low=LEAST_RAMP,
            state="measure first", sources=("physics", "practice"),
            why=f"{full[0].upper()}{full[1:]}. With {amps:.1f} A the motor cannot turn the pump against cut-in "
            f"pressure in {share:.0%} of the draw: no ramp cures that. Start it with the head empty, and watch the "
            "amps.",
        )  # fmt: skip
    low = max(RAMP_MARGIN * least, 1.0)
    value = float(ceil(max(LEAST_RAMP, low) - 1e-9))
    high = SLOW_TIME * train.fastest / lowest_setting(train)
    why = f"{full[0].upper()}{full[1:]}. {inertia} turn, as felt at the motor; {amps:.1f} A bring them up in "
    why += f"{train.spread(shortest, 'time')} against cut-in pressure. Shorter trips on current; longer keeps the "
    why += f"pump below {lowest_setting(train):g} Hz."
    return Setting("ramp_up", "starting and stopping", what, value=value, kind="time", low=low,
                   high=max(high, value), why=why, sources=("physics", "practice"), state=known)  # fmt: skip


def _stop(train: OneTrain) -> Setting:
    why = f"The pump stops itself in {train.spread(own_stop(train), 'time')}. A quicker ramp feeds the flywheel's "
    why += "energy into the drive's bus and trips it; a slower one turns a slow pump against pressure. The unloader "
    why += "opens as the motor is let go."
    if train.fact("drive", "stop_mode") == "ramp":
        why = f"Told: it ramps down. Change it. {why}"
    return Setting("stop_mode", "starting and stopping", "Stop", words="coast", why=why,
                   sources=("practice", "physics"))  # fmt: skip


def _ramp_down(train: OneTrain, up: Setting) -> Setting:
    least = RAMP_MARGIN * train.at_most(own_stop(train))
    value = max(up.value or LEAST_RAMP, float(ceil(least)))
    return Setting(
        "ramp_down", "starting and stopping", "Deceleration ramp, between speeds only", value=value, kind="time",
        low=least, why=f"From {train.fastest:g} Hz to rest. Longer than the pump needs to slow down by itself, so that "
        "nothing is fed back into the bus.", sources=("practice", "physics"),
        state=train.known("pump.flywheel_inertia"),
    )  # fmt: skip


def least_wait(train: OneTrain) -> Setting:
    """Return the wait between a stop and the next start: longer than the head takes to empty."""
    empties, told = head_empty(train), train.given("control", "minimum_off")
    least = train.at_most(empties)
    value = max(LEAST_WAIT, float(ceil(WAIT_MARGIN * least)), told or 0.0)
    unloader = train.fact("pump", "unloader")
    group: Group = "pressure switch" if train.window.direct else "starting and stopping"
    why = f"From cut-out the air between pump and check valve takes {train.spread(empties, 'time')} to leave through "
    why += "an unloader of 1.6 mm (1/16 in). A start before that is against pressure."
    state = train.known("hot_line.volume")
    if unloader in ("none", "unknown"):
        said = "The pump has no unloader" if unloader == "none" else "What empties the head is not told"
        why, state = f"{said}: no wait is long enough until the head empties itself. {why}", "measure first"
    return Setting("least_wait", group, "Least time between a stop and a start", value=value, kind="time", low=least,
                   why=why, state=state)  # fmt: skip


def restarts(train: OneTrain) -> Iterator[Setting]:
    """Yield what may start a drive without anybody asking: nothing."""
    today, sources = train.fact("control", "restarts_by_itself"), ("iec-60204-1", "osha-1910-147", "practice")
    said = {
        "power coming back": "Told: power coming back starts it. Change it. ",
        "a fault that resets itself": "Told: a fault resets itself. Change it. ",
        "several of these": "Told: it starts by itself after several kinds of stop. Change it. ",
    }  # fmt: skip
    after = said.get(today, "") if today != "a fault that resets itself" else ""
    yield Setting(
        "restart_after_power", "starting and stopping", "Start again when power comes back", words="no",
        why=f"{after}Whoever opened a guard in the outage has a hand in it.", sources=sources,
    )  # fmt: skip
    yield Setting(
        "start_at_power_up", "starting and stopping", "Start at power-up with the run input closed",
        words="no: it must open and close first",
        why="The pressure switch stands closed whenever the pressure is low, as after a night: power alone must not "
        "start the pump.", sources=sources,
    )  # fmt: skip
    fault = said.get(today, "") if today != "power coming back" else ""
    yield Setting(
        "fault_reset", "starting and stopping", "Automatic fault reset", words="none: 0 tries",
        why=f"{fault}A fault says that something is wrong; reset by hand, after a look.", sources=sources,
    )  # fmt: skip
    yield Setting(
        "catch_spinning", "starting and stopping", "Start into a turning motor", words="off",
        why=f"The pump stands still after {train.spread(own_stop(train), 'time')}; the wait above sees to it.",
    )  # fmt: skip
    back = train.fact("pump", "reverse_disabled")
    yield Setting(
        "reverse", "starting and stopping", "Reverse", words="disabled",
        why=("Told: turning backwards is not disabled. Change it. " if back == "no" else "")
        + "Backwards the flywheel blows away from the cylinders, and some oil pumps do not pump. Find the right way "
        "with a short bump, then swap two motor wires, supply locked off, rather than the setting.",
    )  # fmt: skip
