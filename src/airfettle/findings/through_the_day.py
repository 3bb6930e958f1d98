"""Rules about what the plant does through its days: air at the tools, water, sound, and how the uses are told.

They speak only where the plant tells its uses and was run through days; what they judge are shares of paths.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.air_quality import stands_before_receiver
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.finding import Signal
from airfettle.findings.on_train import first_that_holds, of_each
from airfettle.findings.rule import rule
from airfettle.quantity.clock import Hours, read_hours
from airfettle.studies.day.days import Days
from airfettle.studies.day.prepared import WEEK

Array = NDArray[np.float64]

ENOUGH, ENOUGH_OF_ONE = 0.95, 0.80
"""Share of their time in which tools should have enough pressure: all together, and any one. [-]  Source: practice."""
DRAWS_MUCH = 0.10
"""Share of the air drawn in shortages from which a tool is named. [-]"""
BURSTS = 0.05
"""Share of the hours of use in which a dryer may be overloaded. [-]  Source: practice."""
HALF_SHIFT = 4 * 3600.0
"""Running time that a bowl emptied by hand should last. [s]  Source: practice."""
BY_HAND = ("by hand", "none")
MOST_HOURS = 999 * 3600.0
"""Longer than this nobody waits for a bowl to fill. [s]"""


@rule(
    "air_runs_short", signal="caution", group="pump and drive train", title="Not enough air for the tools",
    why="A tool short of pressure sands slower, sprays coarse drops and holds loosely; work is spoiled, and somebody "
        "turns the cut-out up, which motor and receiver pay for.",
    threshold="It holds where the tools, taken together, have less pressure than they need in more than 5 % of the "
              "time they run, or one of them in more than 20 % of its own, in half of the weeks run.",
    do="Ask airfettle resize what a larger receiver or a higher speed would do. Until then run the tools named one "
       "after the other, mend leaks, and turn down regulators where the work allows it.",
    sources=("airfettle-day", "practice"),
)  # fmt: skip
def air_runs_short(case: Case) -> Iterator[Verdict]:
    """Yield one verdict for all tools."""
    days = case.days
    if days is None or days.answers.enough_share is None:
        return
    share, each = days.answers.enough_share, np.stack([tool.enough_share for tool in days.tools])
    worst = int(np.argmin(each.mean(axis=1)))
    use = days.prepared.uses[worst]
    alone = f", {use.name} in {case.band(each[worst], kind='fraction')}" if len(each) > 1 else ""
    yield case.over_days(
        (share < ENOUGH) | np.any(each < ENOUGH_OF_ONE, axis=0), parts=(use.path,),
        says=f"The tools have enough pressure in {case.band(share, kind='fraction')} of the time they run{alone}."
        f"{_shortages(case, days)}",
    )  # fmt: skip


def _shortages(case: Case, days: Days) -> str:
    """How long shortages last and who draws the air in them, over the paths that have any; empty where none has."""
    longest = days.answers.longest_shortage
    some = np.zeros(0, np.bool_) if longest is None else longest > 0.0
    if longest is None or not np.any(some):
        return ""
    drawn = sorted(days.tools, key=lambda tool: -float(np.mean(tool.shortage_share[some])))[:3]
    named = [
        f"{tool.name} {case.band(tool.shortage_share[some], kind='fraction')}"
        for tool in drawn if np.mean(tool.shortage_share[some]) > DRAWS_MUCH
    ]  # fmt: skip
    lasts = f" The longest shortage lasts {case.band(longest[some], kind='minutes')}"
    return f"{lasts}; shares of the air drawn in shortages: {', '.join(named)}." if named else f"{lasts}."


@rule(
    "use_without_pauses", signal="notice", group="the owner's numbers", title="A tool that is run without pauses",
    why="A tool in somebody's hand runs for a part of its hours only. Without its pauses the day asks for air all "
        "through, and starts, running time, water and shortages come out too high.",
    threshold="It holds for a use that somebody has to be at and that has no on and off.",
    do="Time ten runs with a stopwatch, count the runs in an hour of work, and write the average run and pause down as "
       "on and off; write attended = \"no\" for what runs by itself.",
)  # fmt: skip
def use_without_pauses(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every use that somebody has to be at."""
    if case.days is None:
        return
    for part in case.parts("use"):
        if part.fact("attended") == "yes":
            if part.rows("on") is not None:
                yield Verdict("clear", "", (part.path,))
                continue
            name = part.fact("name") or part.fact("tool")
            says = f"{name} is taken to run without a pause all through its hours, {part.fact('when')}."
            yield Verdict("holds", says, (part.path,), decided_by=(part.at("on"), part.at("off")))


@rule(
    "dryer_overloaded_in_bursts", signal="caution", group="air quality and piping",
    title="A dryer that the tools overload in bursts",
    why="Behind the receiver a dryer sees what the tools draw at once, which for minutes can be more than the pumps "
        "deliver; what it cannot dry goes on wet, into the paint or the blast.",
    threshold="It holds where the tools draw more air through a dryer behind the receiver than it can dry in more than "
              "5 % of the hours in which any tool may run, in half of the weeks run, and the pumps alone do not "
              "overload it.",
    do="Put the dryer before the receiver, fit a larger one, or run the tools that draw most one after the other.",
    sources=("airfettle-day", "dryer-manual", "practice"),
)  # fmt: skip
@of_each("dryer")
def dryer_overloaded_in_bursts(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a rated dryer behind the receiver that the pumps alone do not overload."""
    if case.days is None or part.rows("rated_flow") is None or stands_before_receiver(case, "dryer"):
        return None
    share, most = case.days.answers.dryer_overloaded, case.days.answers.dryer_most
    steady = case.beyond("dryer_capacity", train=0, says="", parts=(part.path,))
    if share is None or most is None or (steady is not None and steady.state == "holds"):
        return None
    share = np.minimum(share * flowing_time(case.days) / hours_of_use(case.days), 1.0)
    return case.over_days(
        share > BURSTS, parts=(part.path,), rests_on=(part.at("rated_flow"),),
        says=f"In {case.band(share, kind='fraction')} of the hours of use, the tools draw more than the dryer can dry, "
        f"up to {case.band(most, kind='fraction')} of it; rated for {part.shown('rated_flow')}.",
    )  # fmt: skip


def flowing_time(days: Days) -> Array:
    """Return the time in which any air flows out of the receiver, leaks and purge counted in, shape (paths,). [s]"""
    time, air = days.tally.at_flow[:, :, 0], days.tally.at_flow[:, :, 1]
    return np.asarray(np.sum(np.where(air > 0.0, time, 0.0), axis=1))


def hours_of_use(days: Days) -> float:
    """Return the time in which some tool may run, in the stretch that was run. [s]"""
    windows = [use.hours.opened(days.tally.start, length=days.tally.length) for use in days.prepared.uses]
    known, until = 0.0, -np.inf
    for begin, end in sorted((float(a), float(b)) for some in windows for a, b in some):
        known += max(end - max(begin, until), 0.0)
        until = max(until, end)
    return max(known, 1.0)


@rule(
    "drain_forgotten", signal="caution", group="air quality and piping",
    title="A drain by hand that has to be opened more often than anybody remembers",
    why="A full separator passes its water on, and a receiver that holds water rusts from inside and sends it to the "
        "tools.",
    threshold="It holds, in half of the weeks run, for a separator drained by hand, or without a drain, whose bowl is "
              "full after less than 4 hours of running, and for a receiver that takes more water in a mean day than "
              "may lie in it. It is a notice for a receiver with a drain by hand that takes that much in a week.",
    do="Fit an automatic drain; until then open the drain more often than is said here, a little at a time, with eyes "
       "covered and the face away from it.",
    sources=("airfettle-day", "practice"),
)  # fmt: skip
def drain_forgotten(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the separator, and one for all receivers, whose drains are opened by hand or missing."""
    if case.days is None:
        return
    answers = case.days.answers
    bowls = [part for part in case.parts("separator") if part.fact("drain") in BY_HAND]
    if bowls and answers.separator_fills is not None:
        last = answers.separator_fills
        hours = case.band(np.minimum(last, MOST_HOURS), kind="hours")
        yield case.over_days(
            last < HALF_SHIFT, parts=tuple(part.path for part in bowls),
            rests_on=tuple(part.at("bowl_volume") for part in bowls),
            says=f"The separator's bowl ({bowls[0].shown('bowl_volume')}) is full after {hours} of running, and its "
            f"drain is {_drain(bowls)}.",
        )  # fmt: skip
    tanks = [part for part in case.parts("receiver") if part.fact("drain") in BY_HAND]
    if tanks and len(tanks) == len(list(case.parts("receiver"))):
        yield _tank(case, tanks, last=answers.receiver_fills, day=answers.loaded_time)


def _tank(case: Case, tanks: list[Part], *, last: Array, day: Array) -> Verdict:
    """Verdict on all receivers: full within a day is harder than within a week."""
    drain = _drain(tanks)
    shown = case.band(np.minimum(last / np.maximum(day, 1.0), 999.0), kind="number")
    says = f"As much water as may lie in the receiver gathers there in {shown} days like these; its drain is {drain}."
    parts, rests_on = tuple(part.path for part in tanks), tuple(part.at("water_share") for part in tanks)
    within: tuple[tuple[float, Signal], ...] = ((1.0, "caution"), (7.0, "caution" if drain == "missing" else "notice"))
    found = first_that_holds(*(
        case.over_days(last < count * day, says=says, parts=parts, rests_on=rests_on, signal=signal)
        for count, signal in within
    ))  # fmt: skip
    assert found is not None
    return found


def _drain(parts: list[Part]) -> str:
    return "missing" if any(part.fact("drain") == "none" for part in parts) else "opened by hand"


@rule(
    "sound_dose", signal="caution", group="pump and drive train", title="Loud for too long where somebody works",
    why="Hearing that is worn away by years of noise does not come back, and nobody notices it going.",
    threshold="It holds where the pumps alone give more than the daily dose of NIOSH (85 dBA for 8 hours, half the "
              "time for each 3 dB more) at the nearest place of work on a working day, in half of the weeks run; it is "
              "a notice over half of that dose. Tools, and the echo of a room, come on top and are not in it.",
    do="Put the pump in another room or behind a wall lined with something soft, with enough air to cool it; fit a "
       "larger intake silencer; run it slower with a larger receiver; wear ear protection beside it.",
    sources=("niosh-rel", "acoustics-text", "airfettle-day"),
)  # fmt: skip
def sound_dose(case: Case) -> Iterator[Verdict]:
    """Yield one verdict for all pumps."""
    if case.days is None:
        return
    dose, pumps = case.days.answers.sound_niosh, list(case.parts("pump"))
    site = next(case.parts("site"))
    says = f"{site.shown('nearest_place')} from the pump, a working day comes to {case.band(dose, kind='fraction')} of "
    says += f"the daily dose that an ear may have, by the pump alone ({pumps[0].shown('sound_level')} at 1 m)."
    limits: tuple[tuple[float, Signal], ...] = ((1.0, "caution"), (0.5, "notice"))
    found = first_that_holds(*(
        case.over_days(dose > most, says=says, parts=tuple(pump.path for pump in pumps), signal=signal,
                       decided_by=(*(pump.at("sound_level") for pump in pumps), site.at("nearest_place")))
        for most, signal in limits
    ))  # fmt: skip
    assert found is not None
    yield found


@rule(
    "quiet_hours_unmet", signal="notice", group="electrical and control", title="Quiet hours without a quiet speed",
    why="A motor straight on the line has one speed: in quiet hours it is as loud as in all others.",
    threshold="It holds where quiet hours are told, the plant is switched on in them, and a pump is straight on the "
              "line. With a drive, the frequency of quiet running is asked for where it is not told.",
    do="Switch the plant off in the quiet hours and let the receiver carry them, or put the pump's motor on a drive.",
)  # fmt: skip
@of_each("control")
def quiet_hours_unmet(case: Case, part: Part) -> Verdict | None:
    """Return the verdict on a control with quiet hours."""
    told = part.fact("quiet_hours")
    if case.days is None or told == "never":
        return None
    on = part.fact("hours")
    if on != "always" and not _meet(read_hours(told), read_hours(on)):
        return Verdict("clear", "", (part.path,))
    direct = tuple(pump.path for pump in case.parts("pump") if case.direct(pump.train))
    if direct:
        return Verdict("holds", f"It must run quiet {told}; straight on the line it runs at its one speed in them.",
                       (part.path, *direct))  # fmt: skip
    if part.rows("quiet") is None:
        taken = case.show(np.array(case.days.prepared.quiet), kind="frequency")
        return Verdict("not told", f"It must run quiet {told}; at which frequency is not told, and {taken} was taken.",
                       (part.path,), decided_by=(part.at("quiet"),),
                       do=f"Write down quiet under [{part.path}], and set the drive to it in these hours.")  # fmt: skip
    return Verdict("clear", "", (part.path,))


def _meet(one: Hours, other: Hours) -> bool:
    """Return whether two sets of hours of a week have any time in common."""
    windows = [hours.opened(0.0, length=WEEK) for hours in (one, other)]
    return any(max(a[0], b[0]) < min(a[1], b[1]) for a in windows[0] for b in windows[1])
