"""Rules about cooling the air, taking its water and oil out, and what the pump breathes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import ZERO_CELSIUS
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.finding import SELDOM
from airfettle.findings.rule import rule

Array = NDArray[np.float64]

WIDEST_APPROACH = 20.0
"""Cooler outlet over the room beyond which a cooler is too small or fouled. [K]  Source: practice."""
HOTTEST_TO_RECEIVER = ZERO_CELSIUS + 50.0
"""Air behind the cooler beyond which hoses, filters and dryers suffer. [K]  Source: practice."""
SHIFT = 8.0 * 3600.0
"""Running hours that water is counted over. [s]"""
MUCH_WATER = 0.2
"""Water in a shift beyond which a drain opened by hand is forgotten too often. [kg]  Source: practice."""


@rule(
    "cooler_approach", signal="caution", group="air quality and piping", title="A cooler that cools too little",
    why="Every 11 K (20 °F) that the air stays hotter lets it carry twice the water past the separator.",
    threshold="the air leaves the cooler more than 20 K (36 °F) above the room in half of the draw",
    do="Clean the cooler, check that its fan blows the right way through all of it, or fit a larger one.",
)  # fmt: skip
def cooler_approach(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler."""
    for part in case.parts("cooler"):
        approach = case.reach.state.trains[part.train].cooler_approach
        if approach is not None:
            yield _approach(case, part, approach)


def _approach(case: Case, part: Part, approach: Array) -> Verdict:
    return case.likely(
        approach > WIDEST_APPROACH, parts=(part.path,), rests_on=_cooling_power(part),
        says=lambda at: f"The air leaves the cooler {at.show(approach, kind='temperature_difference')} above the room.",
    )  # fmt: skip


@rule(
    "cooler_outlet_hot", signal="warning", group="air quality and piping", title="Hot air behind the cooler",
    why="Hoses, clear bowls, seals and dryers behind the cooler are made for warm air, not hot, and hot air carries "
        "its water and oil past the separator.",
    threshold="the air leaves the cooler above 50 °C (122 °F) in half of the draw, where no dryer stands directly "
              "behind it",
    do="Fit a larger cooler or a fan of its own supply, and let it draw room air.",
)  # fmt: skip
def cooler_outlet_hot(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler that no dryer stands behind, before the receiver."""
    if stands_before_receiver(case, "dryer"):
        return
    for part in case.parts("cooler"):
        yield _outlet(case, part, case.reach.state.trains[part.train].cooler_outlet_temperature)


def _outlet(case: Case, part: Part, leaving: Array) -> Verdict:
    return case.likely(
        leaving > HOTTEST_TO_RECEIVER, parts=(part.path,), rests_on=_cooling_power(part),
        says=lambda at: f"The air leaves the cooler at {at.show(leaving, kind='temperature')}; "
        f"{case.show(np.array(HOTTEST_TO_RECEIVER), kind='temperature')} is the most it should be.",
    )  # fmt: skip


@rule(
    "no_cooler", signal="notice", group="air quality and piping", title="No cooler and no dryer",
    why="The receiver and the pipe then do the cooling, and the water falls out in them and at the tools.",
    threshold="no cooler and no dryer in the plant file",
    do="Fit an aftercooler with a separator and drain before the receiver, or open the receiver's drain every day.",
)  # fmt: skip
def no_cooler(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every train that has no cooler, in a plant without a dryer."""
    for place in case.trains():
        pump = case.part("pump", train=place)
        if pump is None:
            continue
        if case.part("cooler", train=place) or case.part("dryer"):
            yield Verdict("clear", "", (pump.path,))
            continue
        hot = case.reach.state.trains[place].cooler_outlet_temperature[:, -1:, -1:]
        yield Verdict("holds", f"The air reaches the receiver as it leaves the pump, at "
                      f"{case.show(hot, kind='temperature')}.", (pump.path,))  # fmt: skip


@rule(
    "fan_stops_with_motor", signal="warning", group="air quality and piping",
    title="A cooler fan that runs only with the motor",
    why="Fed from the motor's wires the fan slows down with the motor and stops with it, while head, hot line and "
        "cooler are still hot; the next start sends hot air and water on.",
    threshold="the cooler's fan is fed from the drive's output or the motor's wires",
    do="Give the fan a supply of its own, switched on with the plant and off some minutes after it.",
)  # fmt: skip
def fan_stops_with_motor(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler; with a drive, cooler_fan_on_the_drive asks where it is not told."""
    for part in case.parts("cooler"):
        if part.fact("fan") == "unknown" and not case.direct(part.train):
            continue
        still = case.reach.state.trains[part.train].cooler_still_temperature
        hot = "hot" if still is None else f"at {case.show(still[:, -1:, -1:], kind='temperature')}"
        yield case.asked(
            part, "fan", bad=("drive output",), unknown="Not told: what turns the cooler's fan.",
            says=f"The fan has only what the motor gets. With the fan still, the air leaves the cooler {hot}.",
        )  # fmt: skip


@rule(
    "cooler_without_own_fan", signal="notice", group="air quality and piping",
    title="A cooler without a fan of its own",
    why="Without a fan, or blown by the flywheel, a cooler cools least when the pump turns slowly or stands hot.",
    threshold="the cooler has no fan, or the flywheel blows through it",
    do="Watch the temperature behind the cooler at low speed; where it is high, fit a fan with its own supply.",
)  # fmt: skip
def cooler_without_own_fan(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler whose fan is told."""
    for part in case.parts("cooler"):
        fan = part.fact("fan")
        if fan == "unknown":
            continue  # asked by fan_stops_with_motor
        leaving = case.reach.state.trains[part.train].cooler_outlet_temperature
        low, high = (case.show(leaving[:, at, -1:], kind="temperature") for at in (slice(0, 1), slice(-1, None)))
        yield case.asked(
            part, "fan", bad=("none", "pump flywheel"),
            says=f"Fan: {fan}. The air leaves the cooler at {low} at the lowest speed, {high} at the highest.",
        )  # fmt: skip


@rule(
    "no_separator", signal="caution", group="air quality and piping", title="No separator or drain behind the cooler",
    why="A cooler makes the water liquid; without a separator or drain it all runs on into check valve and receiver.",
    threshold="a cooler, and neither a separator nor a drain between it and the receiver",
    do="Fit a water separator with a drain at the cooler's outlet, before the receiver.",
)  # fmt: skip
def no_separator(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler."""
    for part in case.parts("cooler"):
        if stands_before_receiver(case, "separator"):
            yield Verdict("clear", "", (part.path,))
            continue
        liquid = case.reach.state.trains[part.train].cooler_liquid[:, -1:, -1:]
        yield case.asked(
            part, "water_runs", bad=("to the receiver", "back to the pump"),
            says=f"No separator or drain takes the {case.show(liquid, kind='water_flow')} of water that the cooler "
            "makes at full speed.",
            unknown="No separator is told behind the cooler. Not told: where the water in the cooler runs.",
        )  # fmt: skip


@rule(
    "cooler_drains_to_pump", signal="caution", group="air quality and piping",
    title="A cooler that drains back to the pump",
    why="Water that runs back after a stop lies on the valves, rusts them, and can break them at the next start.",
    threshold="the pipe between pump and cooler falls towards the pump",
    do="Raise the cooler's inlet or lower its outlet, so that it falls all the way to the separator and its drain.",
)  # fmt: skip
def cooler_drains_to_pump(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler."""
    for part in case.parts("cooler"):
        asked = part.fact("water_runs") == "unknown" and not stands_before_receiver(case, "separator")
        if not asked:  # by no_separator
            yield case.asked(part, "water_runs", bad=("back to the pump",),
                             says="Water that gathers in the cooler runs back to the pump.")  # fmt: skip


@rule(
    "separator_starved", signal="caution", group="air quality and piping", title="Too little air for the separator",
    why="A separator throws the water out by spinning the air; too slow, it lets the water through.",
    threshold="less air than the separator's lowest flow at some speed the plant is set to, in half of the draw",
    do="Raise the lowest speed, or fit a smaller separator or one that works at low flow.",
)  # fmt: skip
def separator_starved(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the separator where its lowest flow is told."""
    yield from _separator_window(case, limit="separator_least", entry="lowest_flow", words="needs at least")


@rule(
    "separator_flooded", signal="caution", group="air quality and piping", title="Too much air for the separator",
    why="Air that is too fast tears the water off the separator's wall and carries it on.",
    threshold="more air than the separator's highest flow at some speed the plant is set to, in half of the draw",
    do="Lower the highest speed, or fit a larger separator.",
)  # fmt: skip
def separator_flooded(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the separator where its highest flow is told."""
    yield from _separator_window(case, limit="separator_most", entry="highest_flow", words="takes at most")


def _separator_window(case: Case, *, limit: str, entry: str, words: str) -> Iterator[Verdict]:
    part = case.part("separator")
    if part is None:
        return
    told = part.shown(entry)
    found = case.beyond(
        limit, train=0, parts=(part.path,),
        says=lambda at: f"{at.show(all_dry_air(case), kind='reference_flow')} goes through the separator, which "
        f"{words} {told}.",
    )  # fmt: skip
    if found is not None:
        yield found


@rule(
    "no_drain", signal="caution", group="air quality and piping", title="A separator without a drain",
    why="Water that cannot be let out fills the separator until it passes on, and rusts the receiver from inside, "
        "where nobody sees it.",
    threshold="the separator has no drain; also asked of every receiver whose drain is not told (a receiver that has "
              "none is a warning of its own)",
    do="Fit a drain at the lowest point: automatic, or a valve within reach that is opened every day of use.",
    sources=("osha-1910-169", "practice"),
)  # fmt: skip
def no_drain(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the separator, and for every receiver that has a drain or may have one."""
    for section in ("separator", "receiver"):
        for part in case.parts(section):
            if section == "separator" or part.fact("drain") != "none":  # by receiver_drain
                yield case.asked(part, "drain", bad=("none",), says="The separator has no drain.",
                                 unknown=f"Not told: what drain the {section} has.")  # fmt: skip


@rule(
    "drain_by_hand", signal="notice", group="air quality and piping", title="Much water for a drain opened by hand",
    why="A drain that has to be remembered is forgotten; the water then goes on to the tools.",
    threshold="more than 0.2 L (7 fl oz) of water in 8 hours of running at the worst point, in half of the draw, at a "
              "drain opened by hand",
    do="Open it several times a shift while the plant runs, or fit an automatic drain.",
)  # fmt: skip
def drain_by_hand(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the separator and for the receivers, where their drains are opened by hand."""
    state = case.reach.state.path
    for section, water in (("separator", state.separator_water), ("receiver", state.receiver_water)):
        parts = tuple(part.path for part in case.parts(section) if part.fact("drain") == "by hand")
        if parts:
            yield _gathered(case, section, parts, water)


def _gathered(case: Case, section: str, parts: tuple[str, ...], water: Array) -> Verdict:
    return case.likely(
        water * SHIFT > MUCH_WATER, parts=parts,
        says=lambda at: f"{at.show(water, kind='water_flow')} of water gathers in the {section}, "
        f"{at.show(water * SHIFT / 1000.0, kind='volume')} in 8 hours of running.",
    )  # fmt: skip


@rule(
    "intake_air", signal="danger", group="air quality and piping", title="Bad air at the intake",
    why="What the pump draws in is pressed, heated and sent to everybody at the tools: vapour and fine dust can burn "
        "in a hot head and pipe, exhaust poisons whoever breathes near the tools, and dust wears the pump out.",
    threshold="the intake filter stands in heavy dust, exhaust or smoke, or paint or solvent vapour",
    do="Lead the intake to clean, dry air, by a wide pipe with its filter outside, away from engines and booths.",
)  # fmt: skip
def intake_air(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every intake."""
    for part in case.parts("intake"):
        yield case.asked(part, "near", bad=("heavy dust", "exhaust or smoke", "paint or solvent vapour"),
                         says=f"The pump draws its air from a place with {part.fact('near')}.")  # fmt: skip


@rule(
    "condensate", signal="warning", group="air quality and piping", title="Oily water let out where it harms",
    why="Water from an oiled pump carries oil and metal; on the ground or in a storm drain it reaches wells and "
        "streams, and in most places it is forbidden.",
    threshold="the drains end on the ground or in a storm drain; a notice where all pumps are oil-free",
    do="Collect the water, or take its oil out first; ask the sewer authority before any of it goes down a drain.",
)  # fmt: skip
def condensate(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the site."""
    dry = all(pump.fact("lubrication") == "oil-free" for pump in case.parts("pump"))
    for part in case.parts("site"):
        yield case.asked(part, "condensate", bad=("ground or storm drain",), signal="notice" if dry else None,
                         says="The water from the drains goes onto the ground or into a storm drain.")  # fmt: skip


@rule(
    "freezing", signal="warning", group="air quality and piping", title="Drains or relief valves that can freeze",
    why="Ice holds a relief valve shut and a drain closed, and bursts bowls, coolers and pipes.",
    threshold="it freezes where drains, relief valves or pipes are, and they are not heated; the room's own lowest "
              "temperature counts too",
    do="Move or heat them, dry the air, and open the drains before a frost; never run with a frozen relief valve.",
)  # fmt: skip
def freezing(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the site."""
    for part in case.parts("site"):
        room = part.rows("room_temperature")
        cold = room is not None and float(np.mean(room < ZERO_CELSIUS)) >= SELDOM
        if cold and part.fact("frost") in ("no", "unknown"):
            yield Verdict("holds", f"The room is told to be at {part.shown('room_temperature')}: it freezes there.",
                          (part.path,), decided_by=(part.at("room_temperature"), part.at("frost")))  # fmt: skip
        else:
            yield case.asked(part, "frost", bad=("yes",),
                             says="It can freeze where drains, relief valves or pipes are.")  # fmt: skip


def _cooling_power(part: Part) -> tuple[str, ...]:
    """Path of the entry that says how much a cooler cools."""
    return (part.at("transfer_units" if part.rows("conductance") is None else "conductance"),)


def stands_before_receiver(case: Case, section: str) -> bool:
    """Return whether a part of a section stands between the coolers and the first receiver."""
    return any(station.section == section for station in case.reach.numbers.before)


def all_dry_air(case: Case) -> Array:
    """Return the dry air that all trains deliver, at every reachable point. [kg/s]"""
    return np.asarray(sum(train.delivered_dry_air for train in case.reach.state.trains))
