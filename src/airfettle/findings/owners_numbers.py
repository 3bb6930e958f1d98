"""Rules about numbers that cannot be, each from entries as the owner told them, compared directly."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.finding import LIKELY
from airfettle.findings.on_train import numbers_of, of_each, state_of, three
from airfettle.findings.rule import Group, rule
from airfettle.parts.energy import least_specific_power
from airfettle.parts.motor import current_residual
from airfettle.parts.sheave import riding_diameter
from airfettle.plant.pump import Delivery
from airfettle.quantity import span_text
from airfettle.studies.completion.pumping import GROOVES, swept

Array = NDArray[np.float64]
GROUP: Group = "the owner's numbers"
MOST_FILLING = {1: 0.88, 2: 0.92}
"""Volumetric efficiency that no workshop pump passes, by stages. [-]  Source: practice."""
LEAST_FILLING = {1: 0.45, 2: 0.60}
"""Volumetric efficiency that a sound pump does not fall under at its rating, by stages. [-]  Source: practice."""
ENDS = (0.025, 0.975)
"""Ends of the spread within which two statements may meet. [-]"""
AMPS_OFF = 0.10
"""Plate amps off from power, volts, efficiency and power factor by more than their own doubt. [-]  Source: practice."""
CREEP = 0.03
"""Most that a measured ratio lies above that of the sheaves, by creep and slip. [-]  Source: practice."""


def clearly(case: Case, breach: NDArray[np.bool_], **more: Any) -> Verdict:
    """Return ``holds`` where it is more likely than not, else ``clear``: spreads that touch are no quarrel."""
    found = case.likely(breach, **more)
    if (found.probability or 0.0) >= LIKELY:
        return found
    return Verdict("clear", "", found.parts, probability=found.probability)


def apart(one: Array, other: Array) -> NDArray[np.bool_]:
    """Return whether two statements' spreads do not meet, shape (1, 1, 1)."""
    a, b = (np.quantile(np.ravel(values), ENDS) for values in (one, other))
    return np.full((1, 1, 1), bool(a[1] < b[0] or b[1] < a[0]))


def displacement_told(part: Part) -> tuple[Array, str] | None:
    """Return the volume swept in one turn as plate or tape give it, and its words, or None. [m3]"""
    for found in (by_cylinders(part), by_word(part), by_flow(part)):
        if found is not None:
            return found
    return None


def by_cylinders(part: Part) -> tuple[Array, str] | None:
    """Return the displacement by bore, stroke and number of cylinders, where all three are told. [m3]"""
    stage = part.model.first_stage
    if stage is None or stage.cylinders is None or not (part.told("first_stage.bore") and stage.stroke is not None):
        return None
    volume = swept(stage, first=None, cylinders=stage.cylinders)
    count = "1 cylinder" if stage.cylinders == 1 else f"{stage.cylinders} cylinders"
    words = f"{count} of bore {part.shown('first_stage.bore')} and stroke {part.shown('first_stage.stroke')}"
    return None if volume is None else (three(volume), words)


def by_word(part: Part) -> tuple[Array, str] | None:
    """Return the displacement as told for one turn. [m3]"""
    volume = part.rows("displacement")
    return None if volume is None else (volume, f"a displacement of {part.shown('displacement')}")


def by_flow(part: Part) -> tuple[Array, str] | None:
    """Return the displacement by the plate's piston displacement and the speed it is for, where both are told. [m3]"""
    flow = part.rows("displacement_flow")
    speeds = [speed for speed in (part.rows("rated_speed"), *(r.speed for r in part.model.rated)) if speed is not None]
    if flow is None or not speeds:
        return None
    return np.asarray(flow / speeds[0]), f"a piston displacement of {part.shown('displacement_flow')} at its speed"


def statements(part: Part) -> Iterator[tuple[Delivery[Array], str, str]]:
    """Yield every stated delivery of a pump with its path and its words."""
    several = part.model.rated
    for place, stated in enumerate(several):
        path = part.at(f"rated.{place + 1}" if len(several) > 1 else "rated")
        span = part.case.span(f"{path}.air")
        at = part.case.span(f"{path}.at")
        units = part.case.units
        words = " at ".join(span_text(each, units=units) for each in (span, at) if each is not None)
        yield stated, path, words


def speed_of(part: Part, stated: Delivery[Array]) -> Array | None:
    """Return the pump's speed of a statement: its own, or the rated one where it is told. [1/s]"""
    return stated.speed if stated.speed is not None else part.rows("rated_speed")


def filling_stated(part: Part) -> Iterator[tuple[Array, str, tuple[str, ...]]]:
    """Yield stated delivery over what the pistons sweep, where both are told: its rows, words, paths. [-]"""
    volume = displacement_told(part)
    for stated, path, words in statements(part):
        speed = speed_of(part, stated)
        if volume is not None and speed is not None:
            share = np.asarray(three(stated.air) / (volume[0] * three(speed)))
            yield share, f"{words} against {volume[1]}", (f"{path}.air",)


def concerned(paths: tuple[str, ...]) -> tuple[str, ...]:
    """Return what a statement's verdict is about: the pump, or the statement where it makes several."""
    return (paths[0].removesuffix(".air").removesuffix(".rated"),)


@rule(
    "delivery_over_displacement", signal="notice", group=GROUP, title="More air than the pistons sweep",
    why="No pump delivers more than its pistons sweep. Such a figure is mostly the piston displacement itself, sold as "
        "delivery: the real air is a quarter to a half less.",
    threshold="It holds where a stated delivery is above displacement times speed, more likely than not, both as told.",
    do="Take the figure for piston displacement (displacement_flow) unless the maker says in writing that it is air "
       "delivered, and check bore, stroke and speed.",
    sources=("physics", "iso-1217"),
)  # fmt: skip
def delivery_over_displacement(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every statement that can be compared."""
    for part in case.parts("pump"):
        for share, words, paths in filling_stated(part):
            yield clearly(
                case, share > 1.0, parts=concerned(paths), decided_by=paths,
                says=f"It is said to deliver {words}: {case.show(share, kind='fraction')} of what the pistons sweep.",
            )  # fmt: skip


@rule(
    "filling_out_of_range", signal="notice", group=GROUP, title="A volumetric efficiency no such pump has",
    why="What a pump delivers over what it sweeps lies in a narrow band. Outside it, a dimension, a speed or a stated "
        "delivery is wrong, and all that is computed from it too.",
    threshold="It holds where the volumetric efficiency is above 0.88 (one stage) or 0.92 (two), or under 0.45 or "
              "0.60: of a stated delivery against the displacement told, or else as computed from what is told at the "
              "highest frequency and pressure.",
    do="Measure bore, stroke and pump speed again, and ask whether the delivery is air delivered or piston "
       "displacement.",
    sources=("practice",),
)  # fmt: skip
def filling_out_of_range(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every statement that can be compared, or for every pump whose size is told."""
    for part in case.parts("pump"):
        stages = numbers_of(case, part).pump.stages
        stated = list(filling_stated(part))
        if not stated and displacement_told(part) is not None:
            share = three(state_of(case, part).volumetric_efficiency)[:, -1:, -1:]
            stated = [(share, "By all that is told, at the highest frequency and pressure", (part.path,))]
        for share, words, paths in stated:
            low, high = LEAST_FILLING[stages], MOST_FILLING[stages]
            # above 1 the rule on delivery over displacement speaks
            middle = float(np.median(share))
            outside = np.full((1, 1, 1), middle < low or high < middle <= 1.0)
            yield clearly(
                case, outside, parts=concerned(paths), decided_by=paths,
                says=f"{words}: a volumetric efficiency of {case.show(share, kind='fraction')}; such pumps have "
                     f"{100.0 * low:.0f} to {100.0 * high:.0f} %.",
            )  # fmt: skip


@rule(
    "power_under_isothermal", signal="notice", group=GROUP, title="More air than the motor's power can compress",
    why="Compressing air takes at least its isothermal work; real pumps take nearly twice that. A motor under it "
        "cannot make the air that is stated.",
    threshold="It holds where the motor's plate power is below the isothermal work on the stated delivery at its "
              "pressure, or at cut-out where that is lower, scaled to the pump's highest speed here where the "
              "statement's speed is told, more likely than not.",
    do="Check the motor's plate, and whether the delivery is stated at that pressure or as piston displacement.",
    sources=("physics",),
)  # fmt: skip
def power_under_isothermal(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every stated delivery of a pump whose motor's power is told."""
    for part in case.parts("pump"):
        motor = case.part("motor", train=part.train)
        if motor is None or not motor.told("power"):
            continue
        power = motor.rows("power")
        assert power is not None
        for stated, path, words in statements(part):
            speed, highest = speed_of(part, stated), _highest_speed(case, part)
            share = np.ones((1, 1, 1)) if speed is None else np.minimum(highest / three(speed), 1.0)
            pressure = np.minimum(three(stated.at), three(case.reach.numbers.cut_out))
            work = least_specific_power(pressure=pressure, pressure_intake=case.reach.draw.barometer)
            least = np.asarray(work * three(stated.air) * share)
            yield clearly(
                case, least > power, parts=(*concerned((f"{path}.air",)), motor.path),
                decided_by=(motor.at("power"), f"{path}.air"),
                says=f"{words}, at the pump's speed here, takes {case.show(least, kind='power')} without any loss; the "
                     f"motor is told as {motor.shown('power')}.",
            )  # fmt: skip


def _highest_speed(case: Case, part: Part) -> Array:
    """Pump speed at the highest frequency, the motor turning as its plate says and not slowed by its load. [1/s]"""
    numbers = numbers_of(case, part)
    motor, hertz = numbers.power.motor, three(state_of(case, part).frequency)[:, -1:, :]
    turns = three(motor.rated_speed) * hertz / three(motor.frequency)
    return np.asarray(turns / three(numbers.pump.ratio) * (1.0 - three(numbers.pump.creep)))


@rule(
    "peak_horsepower", signal="notice", group=GROUP, title="A motor power that its amps or its supply cannot feed",
    why="Some motors are sold by the power at which they stall for an instant. A shaft cannot give more than volts "
        "times amps, and what is computed from such a figure is too good.",
    threshold="It holds where the motor's power is above volts times its plate amps (times 1.73 on three phases), or, "
              "for a motor straight on the line, times the rating of its breaker, more likely than not.",
    do="Take the power from full-load amps: about volts x amps x 0.7, times 1.73 on three phases; write that as power.",
    sources=("physics",),
)  # fmt: skip
@of_each("motor")
def peak_horsepower(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor whose power is told."""
    limit = _most_power(case, part)
    power = part.rows("power")
    if limit is None or power is None or not part.told("power"):
        return None
    most, words, path = limit
    return clearly(
        case, power > most, parts=(part.path,), decided_by=(part.at("power"), path),
        says=f"The motor's power is told as {part.shown('power')}; {words} is {case.show(most, kind='power')} at most.",
    )  # fmt: skip


def _most_power(case: Case, part: Part) -> tuple[Array, str, str] | None:
    """Volts times amps of plate or breaker, its words, and the entry it rests on. [W]"""
    numbers, amps, supply = numbers_of(case, part).power, part.rows("current"), case.part("supply", train=part.train)
    root = np.sqrt(3.0) if int(np.max(numbers.motor.phases)) == 3 else 1.0
    if amps is not None and part.told("voltage"):
        words = f"{part.shown('voltage')} times {part.shown('current')}"
        return np.asarray(root * three(numbers.motor.voltage) * amps), words, part.at("current")
    breaker = supply.rows("breaker") if supply else None
    if not numbers.direct or supply is None or breaker is None:
        return None
    words = f"what a breaker of {supply.shown('breaker')} passes"
    return np.asarray(numbers.line_root * three(numbers.supply_voltage) * breaker), words, supply.at("breaker")


@rule(
    "plate_amps_do_not_fit", signal="notice", group=GROUP, title="Plate amps that do not fit the plate's power",
    why="Power, volts, efficiency and power factor give the amps. Where the plate's lie far off, one of them was "
        "misread or belongs to the other connection, and overload protection is set by the wrong number.",
    threshold="It holds where the plate amps are more than 10 % off from those of power, volts, efficiency and power "
              "factor in nearly all of the draw, all told or by the table of such motors.",
    do="Read the plate again: amps of the connection in use, its volts, hertz, and whether horsepower or kilowatts.",
    sources=("airfettle-equations",),
)  # fmt: skip
@of_each("motor")
def plate_amps_do_not_fit(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a motor whose amps, power and volts are told."""
    amps, motor = part.rows("current"), numbers_of(case, part).power.motor
    if amps is None or not part.told("power") or not part.told("voltage"):
        return None
    limit = _most_power(case, part)
    if limit is not None and float(np.mean(three(motor.power) > limit[0])) >= LIKELY:
        return None  # the rule on peak horsepower speaks
    off = current_residual(motor, plate_current=amps)
    low, high = np.quantile(np.ravel(off), ENDS)
    wanted = three(motor.rated_current)
    return clearly(
        case, np.full((1, 1, 1), bool(low > AMPS_OFF or high < -AMPS_OFF)), parts=(part.path,),
        decided_by=tuple(part.at(name) for name in ("current", "power", "voltage")),
        says=f"The amps are told as {part.shown('current')}; {part.shown('power')} at {part.shown('voltage')} takes "
             f"{case.show(wanted, kind='current')}.",
    )  # fmt: skip


@rule(
    "ratio_against_sheaves", signal="notice", group=GROUP, title="A belt ratio that the sheaves do not have",
    why="Ratio and diameters both give the pump's speed. Where they part, one is wrong, or the belt slips, and the "
        "pump may run faster than anybody thinks.",
    threshold="It holds where the ratio told lies outside what the two sheaves told give, wherever the belt rides in "
              "its grooves and with up to 3 % of creep, by more than both their spreads.",
    do="Read a tachometer on both shafts under load, measure both sheaves again, and see whether the belt slips.",
    sources=("machinerys-belts", "physics"),
)  # fmt: skip
@of_each("belt")
def ratio_against_sheaves(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a belt drive whose ratio and both sheaves are told."""
    ratio, motor, wheel = (part.rows(name) for name in ("ratio", "motor_sheave", "pump_sheave"))
    if ratio is None or motor is None or wheel is None:
        return None
    groove = GROOVES.get(part.fact("section"), "B")
    if part.fact("diameters") == "pitch":
        ends = [wheel / motor] * 2
    else:
        over = [
            [riding_diameter(outside_diameter=d, groove=groove, share=share) for d in (wheel, motor)]
            for share in (0.0, 1.0)
        ]  # fmt: skip
        ends = [np.asarray(large / small) for large, small in over]
    sheaves = np.concatenate([np.ravel(np.minimum(*ends)), np.ravel(np.maximum(*ends) * (1.0 + CREEP))])
    told, paths = part.shown("ratio"), tuple(part.at(name) for name in ("ratio", "motor_sheave", "pump_sheave"))
    return clearly(
        case, apart(ratio, sheaves), parts=(part.path,), decided_by=paths,
        says=f"The ratio is told as {told}; sheaves of {part.shown('motor_sheave')} and {part.shown('pump_sheave')} "
             f"give {case.show(sheaves, kind='number')}.",
    )  # fmt: skip


@rule(
    "displacement_told_twice", signal="notice", group=GROUP, title="Two displacements for one pump",
    why="Bore and stroke, a displacement told and the plate's piston displacement all say what one turn sweeps. Where "
        "they part, every delivery is in doubt.",
    threshold="It holds where two of them lie further apart than their spreads; the plate's piston displacement counts "
              "where the speed it is for is told.",
    do="Measure bore and stroke again, count the cylinders of the first stage only, and check the speed of the plate's "
       "figure.",
    sources=("physics",),
)  # fmt: skip
@of_each("pump")
def displacement_told_twice(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump whose displacement is told in two ways."""
    found = [each for each in (by_cylinders(part), by_word(part), by_flow(part)) if each is not None]
    pairs = [(a, b) for place, a in enumerate(found) for b in found[place + 1 :]]
    if not pairs:
        return None
    names = ("first_stage.bore", "first_stage.stroke", "displacement", "displacement_flow", "rated_speed")
    paths = tuple(part.at(name) for name in names if part.told(name))
    (one, words), (other, others) = next((pair for pair in pairs if apart(pair[0][0], pair[1][0]).all()), pairs[0])

    def says(at: At) -> str:
        return (
            f"By {words} one turn sweeps {case.show(one, kind='swept_volume')}, by {others} "
            f"{case.show(other, kind='swept_volume')}."
        )

    return clearly(case, apart(one, other), parts=(part.path,), decided_by=paths, says=says)
