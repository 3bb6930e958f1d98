"""Rules about the pump itself: its speeds, flywheel, warmth and turning direction."""

from __future__ import annotations

from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from airfettle.air.moist import dew_point
from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.on_train import (
    belted,
    fastest_pump_speed,
    first_that_holds,
    frequency_for,
    hertz_at,
    numbers_of,
    of_each,
    state_of,
    three,
    where,
)
from airfettle.findings.rule import Group, rule

Array = NDArray[np.float64]
GROUP: Group = "pump and drive train"
FAST_PISTON = 5.0
"""Mean piston speed no workshop pump is built for. [m/s]  Source: practice."""
UNEVEN, VERY_UNEVEN = 0.10, 0.20
"""Speed fluctuation within a turn to be put right, and to be stopped for. [-]  Source: practice."""
WARMER_THAN_DEW = 10.0
"""How far cylinder walls stand above the dew point inside, for no water in the oil. [K]  Source: practice."""


@rule(
    "pump_overspeed", signal="danger", group=GROUP, title="A pump turned faster than it was built for",
    why="Valves, rods and flywheel of a pump over its highest speed break, and what breaks is thrown.",
    threshold="It holds where the pump's speed at the highest frequency that the settings reach, with the belt where "
              "it turns the pump fastest, is above its highest speed in half of the draw. It is a danger where plate, "
              "maker or a measurement gives that speed; a warning where the pump passes even the high end of what is "
              "told or assumed of it; else a notice.",
    do="Limit the drive's highest frequency, or fit a smaller motor sheave, and check with a tachometer.",
)  # fmt: skip
@of_each("pump")
def pump_overspeed(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump."""
    state, fast = state_of(case, part), fastest_pump_speed(case, part)
    path = part.at("maximum_speed")
    span = case.span(path)
    origin = "as told" if part.told("maximum_speed") else "assumed by its class"

    def says(at: At) -> str:
        return (
            f"{hertz_at(at, state)} may turn the pump at {at.show(fast, kind='rotational_speed')}; its highest speed "
            f"is {part.shown('maximum_speed')}, {origin}."
        )

    do = _slower(case, part, 1.0 / (1.0 - case.margins[part.train]["pump_overspeed"]))
    above = case.margins[part.train]["pump_overspeed"] < 0.0
    plain = case.likely(above, how_far=fast, says=says, parts=(part.path,), do=do, rests_on=(path,))
    if span is None or case.sure((path,)):
        return plain
    even_then = case.likely(
        fast > span.high, how_far=fast, says=says, parts=(part.path,), do=do, signal="warning",
        decided_by=(path,),
    )  # fmt: skip
    return first_that_holds(even_then, plain)


def _slower(case: Case, part: Part, room: Array) -> str:
    """What to do for a pump that is too fast, with the frequency that is not."""
    slower = "fit a smaller motor sheave" if belted(case, part) else "fit a motor that turns slower"
    if case.direct(part.train):
        return f"{slower.capitalize()}, and check the pump's speed with a tachometer."
    hertz = frequency_for(room, state=state_of(case, part), at_least=False)
    return (
        f"Limit the drive's highest frequency to {floor(hertz)} Hz, or {slower}, and check the "
        "pump's speed with a tachometer before running it fast."
    )


@rule(
    "pump_below_floor", signal="warning", group=GROUP, title="A pump turned slower than it can bear",
    why="Turned slowly, splash no longer oils bearings and pins and the flywheel's fan no longer cools the cylinders: "
        "the pump seizes hours later.",
    threshold="It holds where the pump's speed at the lowest frequency that the settings reach is below its lowest "
              "speed in half of the draw. Where no lowest speed is told, that is the larger of its usual share of the "
              "highest speed and of what any such pump needs, and it is a notice.",
    do="Raise the lowest frequency, or ask the maker for the lowest speed.",
)  # fmt: skip
@of_each("pump")
def pump_below_floor(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump."""
    state, margin = state_of(case, part), case.margins[part.train]["pump_floor"]
    lowest, origin = three(state.pump_speed) / (1.0 + margin), _floor_is(part)

    def says(at: At) -> str:
        return (
            f"{hertz_at(at, state)} turns the pump at {at.show(three(state.pump_speed), kind='rotational_speed')}; it "
            f"needs {at.show(lowest, kind='rotational_speed')}, set by {origin}."
        )

    do = "Fit a larger motor sheave or a faster motor." if belted(case, part) else "Fit a motor that turns faster."
    if not case.direct(part.train):
        hertz = ceil(frequency_for(1.0 / (1.0 + margin), state=state, at_least=True))
        do = f"Raise the lowest frequency to {hertz} Hz, in the drive and wherever the speed is chosen."
    return case.beyond("pump_floor", train=part.train, says=says, parts=(part.path,), do=do)


def _floor_is(part: Part) -> str:
    """Which limit sets the pump's lowest speed: the largest at likely values."""
    if part.rows("minimum_speed") is not None:
        return f"its lowest speed as told ({part.shown('minimum_speed')})"
    share, anyhow, highest = (part.rows(name) for name in ("lowest_share", "lowest_anyhow", "maximum_speed"))
    assert share is not None  # assumed where no lowest speed is told
    assert anyhow is not None
    assert highest is not None
    if float(np.median(share * highest)) > float(np.median(anyhow)):
        return f"its usual share of the highest speed, {part.shown('lowest_share')} of {part.shown('maximum_speed')}"
    needs = "what any such pump needs" if part.fact("lubrication") == "oil-free" else "what splash oiling needs"
    return f"{needs}, {part.shown('lowest_anyhow')}"


@rule(
    "piston_speed", signal="warning", group=GROUP, title="Pistons that run too fast",
    why="Rings, pins and rods wear and heat with the piston's speed; a long stroke turned fast tears them apart.",
    threshold="It holds where the mean piston speed is above 4 m/s in half of the draw, a caution; above 5 m/s it is "
              "a warning where stroke or bore was measured or comes from the maker. It is a notice where neither is "
              "told.",
    do="Turn the pump slower: limit the highest frequency, or fit a smaller motor sheave.",
)  # fmt: skip
@of_each("pump")
def piston_speed(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump."""
    state = state_of(case, part)
    speed = 2.0 * three(numbers_of(case, part).pump.cylinders[0].stroke) * three(state.pump_speed)
    told = next((name for name in ("first_stage.stroke", "first_stage.bore") if part.told(name)), "")
    rests = f"by the {told.rpartition('.')[2]} of {part.shown(told)}" if told else "by the cylinders' likely size"
    rests_on = (part.at(told or "first_stage.stroke"),)

    def says(at: At) -> str:
        return f"{where(at, state)} the pistons run at {at.show(speed, kind='linear_speed')} on average, {rests}."

    fast = case.likely(
        speed > FAST_PISTON, how_far=speed, says=says, parts=(part.path,), rests_on=rests_on
    )  # fmt: skip
    over = case.margins[part.train]["piston_speed"] < 0.0
    above = case.likely(
        over, how_far=speed, says=says, parts=(part.path,), signal="caution" if told else "notice",
        rests_on=rests_on,
    )  # fmt: skip
    return first_that_holds(fast if case.sure(rests_on) else None, above)


@rule(
    "flywheel_too_light", signal="warning", group=GROUP, title="A pump that turns unevenly",
    why="At low speed a light flywheel no longer carries the pistons over the top: belt and bearings are beaten, the "
        "belt slips, the current swings and the drive trips.",
    threshold="It holds where the speed swings by more than 10 % within a turn in half of the draw, a caution; by "
              "more than 20 %, with an inertia from maker or measurement, a warning. It is a notice where the "
              "flywheel's inertia is not told.",
    do="Raise the lowest frequency, or fit a heavier flywheel; weigh and measure the one there is and write down "
       "flywheel_inertia.",
    sources=("airfettle-equations", "practice"),
)  # fmt: skip
@of_each("pump")
def flywheel_too_light(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump."""
    state, told = state_of(case, part), part.told("flywheel_inertia")
    uneven, rests_on = three(state.speed_fluctuation), (part.at("flywheel_inertia"),)
    wheel = f"a flywheel of {part.shown('flywheel_inertia')}" if told else "a flywheel nobody has weighed"

    def says(at: At) -> str:
        swing = at.show(uneven, kind="fraction")
        return f"{where(at, state)} the pump's speed swings by {swing} within a turn, with {wheel}."

    strong = case.likely(
        uneven > VERY_UNEVEN, how_far=uneven, says=says, parts=(part.path,), rests_on=rests_on
    )  # fmt: skip
    mild = case.likely(
        uneven > UNEVEN, how_far=uneven, says=says, parts=(part.path,), rests_on=rests_on,
        signal="caution" if told else "notice",
    )  # fmt: skip
    return first_that_holds(strong if case.sure(rests_on) else None, mild)


@rule(
    "pump_too_cold", signal="caution", group=GROUP, title="A pump too cold to keep water out of its oil",
    why="Where the cylinder walls are colder than the dew point of the air under pressure, water condenses on them, "
        "runs into the crankcase and turns the oil to milk.",
    threshold="It holds where head and cylinder walls, once warm, stand less than 10 K above the dew point of the air "
              "at the pump's outlet in half of the draw. Pumps that run without oil are left out.",
    do="Run it faster or at a lower cut-out pressure, draw drier air, and look at the oil: milky oil has water in it.",
    sources=("airfettle-equations", "practice"),
)  # fmt: skip
@of_each("pump")
def pump_too_cold(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump that is oiled."""
    if part.fact("lubrication") == "oil-free":
        return None
    state = state_of(case, part)
    dew = dew_point(state.pump_outlet_humidity_ratio, pressure=state.discharge_pressure + state.barometer)

    def says(at: At) -> str:
        walls = at.show(three(state.wall_temperature), kind="temperature")
        return f"{where(at, state)} the walls reach {walls}; water forms at {at.show(three(dew), kind='temperature')}."

    short = np.asarray(dew + WARMER_THAN_DEW - state.wall_temperature)
    return case.likely(short > 0.0, how_far=short, says=says, parts=(part.path,))


@rule(
    "turning_direction", signal="caution", group=GROUP, title="A pump that may turn the wrong way",
    why="The flywheel's blades cool the cylinders only one way round, and some pumps are oiled only one way round; a "
        "motor on a drive, or on a plug that was changed, may turn either way.",
    threshold="It holds where the pump does not turn the way of its arrow, or its flywheel does not blow over the "
              "cylinders.",
    do="Stop it and lock it off; have two of the motor's leads exchanged by whoever may do it, and look again.",
)  # fmt: skip
@of_each("pump")
def turning_direction(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump."""
    return case.asked(part, "turns_right", bad=("no",), says="The pump turns the wrong way round.")


@rule(
    "reverse_not_disabled", signal="caution", group=GROUP, title="A drive that can turn the pump backwards",
    why="A key pressed by mistake, or a wire on the wrong terminal, then runs the pump without cooling and perhaps "
        "without oil.",
    threshold="It holds where turning backwards is not disabled in the drive's settings.",
    do="Disable reverse in the drive's settings, once the direction has been seen to be right.",
)  # fmt: skip
@of_each("pump")
def reverse_not_disabled(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a pump that is on a drive."""
    if case.direct(part.train):
        return None
    return case.asked(part, "reverse_disabled", bad=("no",), says="The drive can turn the pump backwards.")
