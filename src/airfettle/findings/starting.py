"""Rules about starting and unloading: what a start asks, and what lets the pressure out of the head before it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.finding import LIKELY
from airfettle.findings.on_train import hertz_at, numbers_of, of_each, state_of, three
from airfettle.findings.rule import Group, rule
from airfettle.parts.crank import Cylinder, break_away_torque, torque_shape
from airfettle.parts.drive_start import break_away_torque as torque_on_drive
from airfettle.parts.motor_class import allowable_starts, locked_rotor_torque_ratio, start_rate_limit
from airfettle.parts.receiver import worst_starts
from airfettle.studies.completion.pumping import ROD_RATIO

Array = NDArray[np.float64]
GROUP: Group = "pump and drive train"
BY_SPEED = "opens by speed (centrifugal)"
ANGLES = 24
"""Steps in a turn for the torque of a start. [-]"""


def start_torque(case: Case, part: Part) -> Array:
    """Return the torque that a start against cut-in pressure asks of the motor at the worst place of the crank. [N m]

    Notes
    -----
    The greatest torque of a turn with the cylinders between intake and receiver, plus friction as it is at the lowest
    speed, through the belt.  Valid: warm oil; a cylinder that stands full of receiver air, or cold oil, asks more.
    """
    numbers, state = numbers_of(case, part).pump, state_of(case, part)
    bottom, top = three(state.intake_pressure)[:, :1, :1], three(case.reach.numbers.cut_in)
    between = state.interstage_absolute_pressure
    steps = [bottom, top] if between is None else [bottom, three(between)[:, :1, :1], top]
    volumes, stages = (
        (numbers.displacement, numbers.second_displacement), (numbers.part.first_stage, numbers.part.second_stage)
    )  # fmt: skip
    found: list[Cylinder] = []
    for place, cylinders in enumerate(numbers.cylinders):
        stage = stages[place]
        assert stage is not None  # the draw puts a section for each stage
        for _ in range(cylinders.count):
            swept = three(volumes[place]) / cylinders.count
            phase = numbers.phases[len(found)]
            found.append(Cylinder(swept, three(stage.clearance), steps[place], steps[place + 1], phase))
    stroke = three(numbers.cylinders[0].stroke)
    shape = torque_shape(
        found, stroke=stroke, rod_length=0.5 * stroke / ROD_RATIO, reciprocating_mass=0.0,
        compression_exponent=three(numbers.part.compression_exponent),
        expansion_exponent=three(numbers.part.expansion_exponent), crankcase_pressure=case.reach.draw.barometer,
        angles=ANGLES,
    )  # fmt: skip
    friction = (three(state.friction_power) / (2.0 * np.pi * three(state.pump_speed)))[:, :1, :1]
    torque = break_away_torque(shape, friction_torque=friction)
    return np.asarray(torque / (three(numbers.ratio) * three(numbers.belt_efficiency)))


def start_ability(case: Case, part: Part) -> Array | None:
    """Return the torque that the motor gives at rest, on its drive or on the line, or None where nothing tells. [N m]

    Notes
    -----
    On a drive by its overload amps; on the line by the least locked-rotor torque of its size, volts squared, three
    phases only: a single-phase motor's depends on its capacitor, of which the plate says nothing.
    """
    power = numbers_of(case, part).power
    motor = power.motor
    if power.direct:
        if int(np.max(motor.phases)) == 1:
            return None
        volts = three(power.supply_voltage) / three(motor.voltage)
        ratio = locked_rotor_torque_ratio(three(motor.power), poles=three(motor.poles))
        return np.asarray(ratio * three(motor.rated_torque) * volts**2)
    drive = case.part("drive", train=part.train)
    overload = drive.rows("overload") if drive else None
    if power.output_limit is None or overload is None:
        return None
    return torque_on_drive(
        three(power.output_limit) * overload, rated_current=three(motor.rated_current),
        no_load_current=three(motor.no_load_current), rated_torque=three(motor.rated_torque),
        breakdown_torque=three(motor.breakdown_torque),
    )  # fmt: skip


@rule(
    "loaded_start", signal="warning", group=GROUP, title="A start against pressure that motor or drive may not manage",
    why="With air at receiver pressure over the pistons the pump stops in its first turn: the drive trips, or the "
        "motor stands and draws six times its amps until something lets go.",
    threshold="It holds for a pump without an unloader where the torque at the worst place of the crank, at cut-in "
              "pressure, is in half of the draw above what the motor gives at rest: on a drive by its overload amps, "
              "on the line by the least starting torque of its size. Single-phase motors on the line are left out.",
    do="Fit an unloader that empties the head at every stop, and a check valve at the receiver that is tight.",
    sources=("airfettle-equations", "nema-mg1", "practice"),
)  # fmt: skip
@of_each("pump")
def loaded_start(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump."""
    kind = part.fact("unloader")
    if kind not in ("none", "unknown"):
        return Verdict("clear", "", (part.path,))
    ability = start_ability(case, part)
    if ability is None:
        return None if case.direct(part.train) else _no_drive_amps(part)
    asks, direct = start_torque(case, part), case.direct(part.train)
    giver = "on the line" if direct else "on the drive's overload amps"
    limits = ("motor.power",) if direct else ("drive.rated_output_current", "drive.single_phase_output_current")
    paths = tuple(case.entry_path(entry, train=part.train) for entry in limits)
    told = tuple(path for path in paths if case.span(path) is not None) or paths[:1]

    def says(at: At) -> str:
        return (
            f"A start at cut-in pressure asks for {at.show(asks, kind='torque')} at the motor; {giver} it gives "
            f"{at.show(ability, kind='torque')}."
        )

    found = case.likely(asks > ability, says=says, parts=(part.path,), rests_on=told)
    if kind == "none" or found.state == "clear":
        return found
    return Verdict(
        "not told", f"Whether the head is emptied before a start is not told. {found.says}", (part.path,),
        do=f"Listen for a hiss as the pump stops and write down unloader under [{part.path}].",
        decided_by=(part.at("unloader"),),
    )  # fmt: skip


def _no_drive_amps(part: Part) -> Verdict:
    kind = "What empties the head is not told" if part.fact("unloader") == "unknown" else "The pump has no unloader"
    return Verdict(
        "not told", f"{kind}, and the drive's output amps, which decide a start against pressure, are not told.",
        (part.path,), decided_by=(part.at("unloader"), "drive.rated_output_current"),
        do=f"Write down unloader under [{part.path}], and the drive's output amps from its plate.",
    )  # fmt: skip


@rule(
    "unloader_open_at_low_speed", signal="warning", group=GROUP, title="An unloader by speed that low hertz never shut",
    why="An unloader worked by flyweights shuts only above its speed: below it the pump turns and delivers nothing, "
        "or the valve hangs half open, howls and burns, while the plant runs on without end.",
    threshold="It holds where the pump's speed at the lowest frequency that the settings reach is below the speed "
              "at which such an unloader shuts, in half of the draw.",
    do="Raise the lowest frequency well above the speed at which it shuts, or exchange it for a solenoid valve.",
)  # fmt: skip
@of_each("pump")
def unloader_open_at_low_speed(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump whose unloader works by speed."""
    if part.fact("unloader") != BY_SPEED:
        return None
    closing, state = part.rows("unloader_closing_speed"), state_of(case, part)
    path = part.at("unloader_closing_speed")
    if closing is None:
        return Verdict(
            "not told", "The speed above which the unloader shuts is not told.", (part.path,), decided_by=(path,),
            do="Ask its maker, or raise the speed slowly from rest and read a tachometer through the guard where the "
               "hiss ends; write down unloader_closing_speed.",
        )  # fmt: skip

    def says(at: At) -> str:
        return (
            f"{hertz_at(at, state)} turns the pump at {at.show(three(state.pump_speed), kind='rotational_speed')}; its "
            f"unloader shuts above {part.shown('unloader_closing_speed')}."
        )

    return case.likely(state.pump_speed < closing, says=says, parts=(part.path,), rests_on=(path,))


@rule(
    "unloader_shut_after_fault", signal="caution", group=GROUP, title="A head that stays full after the drive trips",
    why="The valve on a pressure switch opens only at cut-out, and a solenoid only when its coil is told. A drive that "
        "stops on a fault leaves the head full, and the next start is against pressure.",
    threshold="It holds where the head does not vent when the drive stops on a fault or by its stop key.",
    do="Let a solenoid valve that opens without power empty the head whenever the drive does not run, wired to the "
       "drive's running relay.",
)  # fmt: skip
@of_each("pump")
def unloader_shut_after_fault(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump on a drive whose unloader is a switch's or a solenoid's."""
    if case.direct(part.train) or part.fact("unloader") not in ("valve on the pressure switch", "solenoid valve"):
        return None
    says = f"After a fault the head stays full: its unloader is a {part.fact('unloader')}."
    return case.asked(part, "vents_after_fault", bad=("no",), says=says)


@rule(
    "transducer_alone", signal="danger", group=GROUP, title="A transducer as the only thing that stops the pressure",
    why="A transducer, its wire or its controller can fail while it reads low: the pump runs on until the relief valve "
        "is the last thing left. A pressure switch that was taken out took its unloader valve with it.",
    threshold="It holds where a transducer controls the plant and nothing independent of it stops the plant at too "
              "high a pressure: a danger where a pump also has no unloader, a warning where it has one or nothing is "
              "told of it.",
    do="Fit a pressure switch of its own that stops the plant a little above cut-out and below the relief valve, and "
       "an unloader valve.",
)  # fmt: skip
def transducer_alone(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for a control by transducer."""
    for part in case.parts("control"):
        if part.fact("kind") == "unknown" and part.fact("independent_pressure_stop") != "yes":
            words = "Whether a pressure switch or a transducer tells the plant to run is not told, nor that a second "
            yield case.asked(part, "kind", bad=(), says="", unknown=f"{words}switch stops it.")
        if part.fact("kind") != "transducer":
            continue
        pumps = list(case.parts("pump"))
        kinds = [pump.fact("unloader") for pump in pumps]
        bare = [pump.path for pump, kind in zip(pumps, kinds, strict=True) if kind == "none"]
        words = "A transducer controls the plant; nothing else stops it at too high a pressure"
        stop = part.fact("independent_pressure_stop")
        milder = not bare and (stop == "no" or "unknown" not in kinds)
        yield case.asked(
            part, "independent_pressure_stop", bad=("no",), parts=(part.path, *bare),
            says=f"{words}, and {', '.join(bare)} has no unloader." if bare else f"{words}.",
            signal="warning" if milder else None,
        )  # fmt: skip


@rule(
    "too_many_starts", signal="caution", group=GROUP, title="More starts an hour than the motor stands",
    why="Each start straight on the line heats the rotor as minutes of running do; too many an hour cook the windings "
        "and wear the contacts.",
    threshold="It holds, for three-phase motors straight on the line only, where the starts at the worst steady "
              "demand, half of what the plant delivers, are more than NEMA MG 10 allows for the motor with its "
              "flywheel, in half of the draw. It is a notice where the receiver's volume is not told, or where only a "
              "flywheel nobody has weighed decides it.",
    do="Widen the pressure band, add receiver volume, or let the motor run on unloaded between demands.",
    sources=("nema-mg10", "physics"),
)  # fmt: skip
@of_each("pump")
def too_many_starts(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump whose motor is started straight on the line."""
    numbers, plant = numbers_of(case, part), case.reach.numbers
    motor, receivers = numbers.power.motor, list(case.parts("receiver"))
    if not numbers.power.direct or int(np.max(motor.phases)) == 1 or not receivers:
        return None
    volume = np.asarray(sum(three(receiver.model.volume) for receiver in receivers))
    delivered = np.asarray(sum(three(train.delivered_air)[:, -1:, :] for train in case.reach.state.trains))
    starts = worst_starts(
        receiver_volume=volume, pressure_cut_in=three(plant.cut_in), pressure_cut_out=three(plant.cut_out),
        free_air_delivery=np.mean(delivered, axis=2, keepdims=True), pressure_intake=three(plant.barometer),
    )  # fmt: skip
    allowed = allowable_starts(three(motor.power), poles=three(motor.poles))
    load = three(numbers.pump.flywheel_inertia) / three(numbers.pump.ratio) ** 2
    most = start_rate_limit(allowed, load_inertia=load)
    weighed = part.told("flywheel_inertia") or float(np.mean(starts > allowed.rate)) >= LIKELY
    known = weighed and all(receiver.told("volume") for receiver in receivers)

    def says(at: At) -> str:
        return (
            f"At half of its delivery in use the plant starts {_an_hour(case, starts)} times an hour; its motor "
            f"stands {_an_hour(case, most)}."
        )

    return case.likely(
        starts > most, says=says, parts=(part.path,), signal="caution" if known else "notice",
        rests_on=(*(receiver.at("volume") for receiver in receivers), part.at("flywheel_inertia")),
    )  # fmt: skip


def _an_hour(case: Case, rate: Array) -> str:
    return case.show(three(rate) * 3600.0, kind="number")


@rule(
    "starts_sign", signal="caution", group=GROUP, title="No sign that the plant starts without warning",
    why="A plant on a pressure switch starts whenever the pressure falls: whoever reaches in while it stands still "
        "does not know that.",
    threshold="It holds where no sign by the pump says that it may start without warning.",
    do="Put a sign on the guard and by the receiver: this machine may start without warning, lock it off first.",
)  # fmt: skip
@of_each("control")
def starts_sign(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on the sign."""
    return case.asked(part, "starts_sign", bad=("no",), says="No sign says that the plant may start without warning.")
