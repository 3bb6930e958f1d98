"""What runs a drive, what sets its speed, and what its relays tell."""

from __future__ import annotations

from collections.abc import Iterator

from airfettle.quantity import in_unit, shown_unit
from airfettle.studies.settings.limits import lowest_setting
from airfettle.studies.settings.one_train import OneTrain
from airfettle.studies.settings.pressures import high_pressure_stop, pressure
from airfettle.studies.settings.setting import Preset, Setting
from airfettle.studies.wiring.drive_inputs import presets as wired_presets
from airfettle.studies.wiring.drive_inputs import reads_a_signal, speed_input
from airfettle.studies.wiring.wired import WITH_A_RUN_ON, WITH_THE_PUMP, started_by

FULL_SIGNAL, NO_SIGNAL = 20.0, 4.0
"""Signal of a transducer at the top of its range, and at none of it. [mA]  Source: practice."""


def run_and_speed(train: OneTrain, *, presets: tuple[Preset, ...]) -> Iterator[Setting]:
    """Yield run command, speed source, presets or pressure control, and loss of the signal.

    Parameters
    ----------
    train : OneTrain
        The train. [SI]
    presets : tuple of Preset
        Slowest first. [SI]
    """
    yield _run(train)
    yield Setting(
        "panel_keys", "run and speed", "Keys on the drive's panel", words="start locked, stop live",
        why="It starts by its run input alone; anyone may stop it.", sources=("iec-60204-1", "practice"),
    )  # fmt: skip
    if reads_a_signal(train.wired):
        yield from _by_pressure(train)
        if train.fact("control", "speed_by") != "pressure":
            yield from _presets(train, presets)
    else:
        yield from _by_preset(train, presets)
    yield from high_pressure_stop(train)


def _run(train: OneTrain) -> Setting:
    kind, contacts = train.fact("control", "kind"), train.fact("control", "contacts")
    by = "the transducer's start and stop" if kind == "transducer" else "the pressure switch's contact"
    why = "A dry contact at the run input; it carries no motor current, and one pole is enough. "
    if contacts == "drive input by power contacts":
        why += "Contacts made for a motor need a small relay with gold contacts between. "
    if train.fact("drive", "started_by") == "switching its supply":
        why = f"Told: its supply is switched day by day. Change it. {why}"
    return Setting(
        "run_command", "run and speed", "Run command", words=f"from its run input, by {by}",
        why=f"{why}Never by switching the supply or the motor's wires.", sources=("practice", "iec-60204-1"),
        state="sure" if kind != "unknown" else "assumed",
    )  # fmt: skip


def _by_preset(train: OneTrain, presets: tuple[Preset, ...]) -> Iterator[Setting]:
    told = wired_presets(train.wired)
    first = next((p.name for p in presets if told and told[0] in _names(p)), presets[0].name if presets else "")
    first = first or "the lowest"
    yield Setting(
        "speed_source", "run and speed", "Speed source", words="preset speeds by its inputs",
        why=f"With no preset input closed it runs at {first}, so that a broken wire slows the pump. No knob, no "
        "signal to lose.", state="sure" if train.fact("control", "speed_by") != "unknown" else "assumed",
    )  # fmt: skip
    yield from _presets(train, presets)
    yield Setting(
        "lost_speed", "run and speed", "Loss of the speed signal", words="stop",
        why=("Told: it runs on. Change it. " if train.fact("drive", "lost_speed") == "runs on" else "")
        + "Presets need no signal; set it all the same, for the day somebody fits a knob.",
    )  # fmt: skip


def _presets(train: OneTrain, presets: tuple[Preset, ...]) -> Iterator[Setting]:
    low = lowest_setting(train)
    for place, preset in enumerate(presets):
        speed, air = preset.point.pump_speed, preset.point.delivered_air
        why = f"{_input(train, preset, place)} Pump {train.say(speed.likely, 'rotational_speed')}, about "
        why += f"{train.say(air.likely, 'intake_flow')} at {train.say(train.card.gauge, 'pressure')}."
        if abs(preset.asked - preset.frequency) > 0.05:
            why = f"{_known(train, preset)}: {preset.asked:g} Hz, outside the window. {why}"
        below = presets[place - 1].frequency if place else low
        above = presets[place + 1].frequency if place + 1 < len(presets) else preset.frequency
        yield Setting(
            f"preset_{place}", "run and speed", f"Preset {_number(train, preset, place)}: {preset.name}",
            value=preset.frequency, kind="frequency", low=min(below, preset.frequency), high=above, why=why,
            state="sure" if train.card.lowest is not None else "measure first",
        )  # fmt: skip


def _names(preset: Preset) -> tuple[str, ...]:
    """Speeds that come to this preset."""
    return tuple(preset.name.split(" and "))


def _known(train: OneTrain, preset: Preset) -> str:
    """Whether the frequency asked for, that of the fastest of its names, was told or is taken by default."""
    name = _names(preset)[-1]
    ends = {"full": "maximum_frequency", "low": "minimum_frequency"}
    own = name in ends and train.wired.told("drive", ends[name])
    return "Told" if train.wired.told("control", name) or own else "Assumed"


def _number(train: OneTrain, preset: Preset, place: int) -> str:
    """Number of a preset, after the inputs that bring it; two where two inputs come to the same speed."""
    inputs = [speed_input(train.wired, name) for name in _names(preset)]
    found = dict.fromkeys(into.removeprefix("S") or "0" for into in inputs if into is not None)
    return " and ".join(found) or str(place)


def _input(train: OneTrain, preset: Preset, place: int) -> str:
    """What brings the drive to a preset; the wiring drawing's own rule decides the inputs, so that both agree."""
    wired, ways = train.wired, []
    if not wired_presets(wired):
        return "No preset input closed." if not place else "By a preset input of its own, which no drawing shows."
    for name in _names(preset):
        into = speed_input(wired, name)
        if into is None:
            ways.append("by a preset input of its own, which no drawing shows")
        elif not into:
            ways.append("no preset input closed")
        elif name == "full" and train.fact("control", "speed_by") == "steps":
            below = wired.told("control", "full_below")
            ways.append(f"input {into} closed, by a second switch{f' below {below}' if below else ''}")
        else:
            ways.append(f"input {into} closed")
    words = ", or ".join(dict.fromkeys(ways))
    return f"{words[0].upper()}{words[1:]}."


def _by_pressure(train: OneTrain) -> Iterator[Setting]:
    follows = train.fact("control", "speed_by") == "pressure"
    yield Setting(
        "speed_source", "run and speed", "Speed source",
        words="pressure control by the 4-20 mA input" if follows else "presets; the 4-20 mA input starts and stops",
        why="A 4-20 mA signal shows a broken wire, 0-10 V does not.",
    )  # fmt: skip
    yield Setting(
        "signal_zero", "run and speed", "Signal: 4 mA is", value=0.0, kind="pressure", low=0.0, high=0.0,
        why="Gauge pressure. Check with the receiver empty: the display must read zero.",
    )  # fmt: skip
    yield Setting(
        "signal_full", "run and speed", "Signal: 20 mA is", words="the top of the range on the transducer's plate",
        kind="pressure", state="measure first",
        why=f"It must lie above the relief valve's setting; then compare display and gauge at "
        f"{train.say(train.card.gauge, 'pressure')}.",
    )  # fmt: skip
    yield pressure(train, "cut_in", "Start (wake) at", "Below it the pump starts.")
    yield pressure(train, "cut_out", "Stop (sleep) at", "Above it the pump stops, whatever the speed.")
    if follows:
        yield from _follows(train)
    lost = train.fact("drive", "lost_speed")
    yield Setting(
        "lost_speed", "run and speed", "Loss of the signal (below 3 mA)", words="stop, as a fault",
        why=("Told: it runs on. Change it. " if lost == "runs on" else "")
        + "A signal that is lost reads as an empty receiver: the pump would run up to the relief valve.",
    )  # fmt: skip


def _follows(train: OneTrain) -> Iterator[Setting]:
    cut_in, cut_out = (train.given("control", name) for name in ("cut_in", "cut_out"))
    held = train.given("control", "held_pressure")
    yield Setting(
        "held_pressure", "run and speed", "Pressure it holds", value=held, kind="pressure", low=cut_in, high=cut_out,
        words="" if held is not None else "between start and stop, nearer to start",
        why="The drive slows down as the pressure comes up to it. Above the stop it would never sleep.",
        state=train.known("control.held_pressure") if held is not None else "measure first",
    )  # fmt: skip
    yield Setting("control_sense", "run and speed", "Sense of the control",
                  words="faster as the pressure falls", why="The other way it runs away.")  # fmt: skip
    control = train.wired.parts["control"]
    band = train.likely(control.pressure_band)
    unit, range_ = shown_unit("pressure_difference", train.wired.units), train.fastest - lowest_setting(train)
    each = range_ / in_unit(band, kind="pressure_difference", unit=unit)
    yield Setting(
        "proportional_band", "run and speed", "Proportional band", value=band, kind="pressure_difference",
        low=0.5 * band, high=2.0 * band, state=train.known("control.pressure_band"),
        why=f"The fall of pressure that takes it from {lowest_setting(train):g} to {train.fastest:g} Hz: {each:.2g} Hz "
        f"for each {unit}. As gain: 100 % over (band over the transducer's range). Narrower hunts.",
    )  # fmt: skip
    reset = train.likely(control.reset_time)
    yield Setting(
        "reset_time", "run and speed", "Reset time", value=reset, kind="time", low=0.5 * reset, high=3.0 * reset,
        why="Longer where the pump hunts. No derivative: a piston pump's pressure is not smooth.",
        state=train.known("control.reset_time"),
    )  # fmt: skip


def outputs(train: OneTrain) -> Iterator[Setting]:
    """Yield what the drive's relays tell, what it watches on its output, and what its display shows."""
    yield _running_relay(train)
    yield Setting("fault_relay", "outputs", "Relay 2", words="fault",
                  why="To the fault lamp. After a fault somebody must come and look.")  # fmt: skip
    yield Setting("lost_output", "outputs", "Lost output phase", words="on: trip",
                  why="On two wires a motor stands, hums and burns.")  # fmt: skip
    yield Setting(
        "stall", "outputs", "Stall", words="on: trip after a few seconds at the current limit",
        why="At the current limit some drives lower the hertz instead, and let a slow pump grind against pressure: "
        "have it trip.",
    )  # fmt: skip
    yield Setting("earth_fault", "outputs", "Earth fault on the output", words="on: trip",
                  why="It is no protection of people, only of drive and motor.")  # fmt: skip
    factor = train.rows(train.state.pump_speed) * 60.0 / train.fastest
    low, middle, high = (train.at_least(factor), train.likely(factor), train.at_most(factor))
    yield Setting(
        "display_factor", "outputs", "Display: pump rpm for each Hz", value=middle, kind="number", low=low, high=high,
        why=f"{train.fastest:g} Hz turn the pump at {train.spread(train.state.pump_speed, 'rotational_speed')}. "
        "Correct it once with a tachometer.", sources=("physics",),
        state=train.known("belt.ratio") if train.told("belt", "ratio") else
        train.known("belt.motor_sheave", "belt.pump_sheave"),
    )  # fmt: skip


def _running_relay(train: OneTrain) -> Setting:
    duties = []
    unloader, fan = train.fact("pump", "unloader"), train.fact("cooler", "fan", "")
    if unloader == "solenoid valve":
        duties.append("the unloader valve, which it keeps shut only while the motor runs, so that every kind of stop "
                      "empties the head")  # fmt: skip
    if fan == "own supply":
        how = started_by(train.wired)
        if how == WITH_A_RUN_ON:
            duties.append("the fan's run-on relay")
        elif how == WITH_THE_PUMP:
            duties.append("the cooler's fan")
        elif how == "unknown":
            duties.append("the cooler's fan, best through a run-on relay")
    if unloader == "valve on the pressure switch":
        duties.append("a solenoid valve, better than the one on the pressure switch: after a fault that one leaves the "
                      "head full")  # fmt: skip
    why = f"For {'; for '.join(duties)}." if duties else "For an unloader valve or a fan, when there is one."
    return Setting("running_relay", "outputs", "Relay 1", words="closed while the motor runs",
                   why=f"{why} Fed from the line side, never from the drive's output.")  # fmt: skip
