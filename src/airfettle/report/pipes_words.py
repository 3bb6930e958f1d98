"""The shop's pipe in sentences: who has enough, what is to blame, what helps, how it lies, what the numbers rest on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import floor

import numpy as np

from airfettle.drawings.charts.told import share_text
from airfettle.quantity import Units, plain
from airfettle.report.day_words import named
from airfettle.report.pipes_rows import PipesTold, distance, likely, shop_rows, text_of
from airfettle.studies.pipework.answers import PlaceAnswers, Step
from airfettle.studies.pipework.changes import Change
from airfettle.studies.pipework.shop import ShopRun

MOST_NAMED = 4
"""Tools or places that are named one by one in a sentence. [-]"""
RULE: dict[Units, tuple[str, str]] = {
    "US": ("20 ft/s (1200 ft/min)", "30 ft/s (1800 ft/min)"), "SI": ("6 m/s", "9 m/s"),
}  # fmt: skip
"""Fastest air of common practice in a run and in a drop, in words. [text]"""
PLACE: dict[Units, str] = {"US": "12, 30, 9 ft", "SI": "4, 9, 3 m"}
"""Where a place stands, as an owner may write it. [text]"""


def place_name(place: PlaceAnswers) -> str:
    """Return a tool with its drop."""
    return place.name if place.drop in place.name else f"{place.name} at {place.drop}"


def share(value: float) -> str:
    """Return a share of the draw, never said better than it is: rounded down."""
    down = floor(value * 1000.0) / 1000.0
    return share_text(down) if down > 0.0 or value <= 0.0 else share_text(value)


def enough_of(place: PlaceAnswers) -> float:
    """Return the share of the draw in which a tool has enough; of one that stands, with every set of tools. [-]"""
    if place.runs:
        return float(np.mean(place.margin >= 0.0))
    lowest = place.alone if place.lowest is None else np.minimum(place.lowest, place.alone[: len(place.lowest)])
    return float(np.mean(lowest >= place.needed[: len(lowest)]))


def left_over(place: PlaceAnswers) -> float:
    """Return what a tool most likely has left over its need, running alone where it stands now. [Pa]"""
    return float(np.median(place.margin if place.runs else place.alone - place.needed))


def all_enough(run: ShopRun) -> float:
    """Return the share of the draw in which every running tool has enough. [-]"""
    left = [place.margin >= 0.0 for place in run.places if place.runs]
    return float(np.mean(np.all(left, axis=0))) if left else 1.0


def greatest(run: ShopRun) -> Step | None:
    """Return the part of the way that loses most, where anything is lost; what a regulator takes is wanted."""
    step = max(
        (each for each in run.way if each.sort != "regulator"),
        key=lambda step: float(np.median(step.lost)),
        default=None,
    )
    return step if step is not None and float(np.median(step.lost)) > 1.0 else None


def headline(told: PipesTold) -> str:
    """Return the first thing said: who has enough, who is worst off, what is to blame, and what helps."""
    run = told.run
    worst = run.places[run.worst]
    if not worst.runs:
        return f"No tool runs, receiver {receiver(told)}: nothing flows to the drops."
    sure = all_enough(run)
    if sure >= run.draw.plant.about.certainty:
        in_draw = "" if sure >= 1.0 else f" in {share(sure)} of the draw"
        alone = sum(place.runs for place in run.places) == 1
        off = f"it has {_has(told, worst)}" if alone else f"{place_name(worst)} is worst off, {_has(told, worst)}"
        who = _who(told, "has" if alone else "have")
        return f"{who} enough{in_draw}, receiver {receiver(told)}: {off}{_blame(told)}."
    return f"{_short(told, worst)} {help_words(told)}".strip()


def supply_words(run: ShopRun, units: Units) -> str:
    """Return that the plant delivers less than the tools take, where it does: no pipe cures that."""
    asked, given = run.answers.flow, run.answers.delivered
    if float(np.median(asked)) <= float(np.median(given)):
        return ""
    takes, gives = (likely(rows, kind="reference_flow", units=units) for rows in (asked, given))
    return (
        f"These tools together take {takes}; the plant delivers {gives} at full speed. The receiver cannot stay at "
        "cut-in with all of them running, and no pipe cures that: airfettle day FILE says how long it holds."
    )


def danger_words(told: PipesTold) -> Iterator[str]:
    """Yield dangers found about the pipe, which come before anything else."""
    for found in told.findings:
        if found.signal == "danger" and found.state == "holds":
            yield f"DANGER: {found.says} {found.do}"


def _who(told: PipesTold, verb: str) -> str:
    count = sum(place.runs for place in told.run.places)
    if told.asked:
        return f"With {running_names(told.run)} running, {'it' if count == 1 else 'each'} has"
    return f"The one tool that can run {verb}" if count == 1 else f"All {count} tools that can run at once {verb}"


def running_names(run: ShopRun) -> str:
    """Return the tools that run, by name where they are few."""
    names = [place.name for place in run.places if place.runs]
    return named(names) if len(names) <= MOST_NAMED else f"{len(names)} tools"


def receiver(told: PipesTold) -> str:
    """Return at what pressure the receiver stands."""
    pressure = plain(float(np.median(told.run.answers.receiver_gauge)), kind="pressure", units=told.units)
    return f"at cut-in ({pressure})" if told.at_cut_in else f"at {pressure}"


def _has(told: PipesTold, place: PlaceAnswers) -> str:
    gauge = likely(place.gauge, kind="pressure", units=told.units)
    return f"{gauge} where {likely(place.needed, kind='pressure', units=told.units).split()[0]} is needed"


def _blame(told: PipesTold) -> str:
    """What loses most on the way to the tool worst off."""
    step = greatest(told.run)
    if step is None:
        return ""
    lost = likely(step.lost, kind="pressure_difference", units=told.units).split()[0]
    whole = likely(told.run.answers.total_drop, kind="pressure_difference", units=told.units)
    return f"; most on the way is lost in {step.name} ({lost} of {whole})"


def _short(told: PipesTold, worst: PlaceAnswers) -> str:
    """What is said where some tool is short, or may be."""
    run = told.run
    with_which = f"with {running_names(run)} running" if told.asked else "with all running that can at once"
    conditions = f"receiver {receiver(told)}, {with_which}"
    lacking = share(1.0 - enough_of(worst))
    if float(np.median(worst.margin)) >= 0.0:
        words = (
            f"{place_name(worst)} may be short: most likely {_has(told, worst)}, but too little in {lacking} of the "
            f"draw ({conditions}){_blame(told)}."
        )
    else:
        by = likely(-worst.margin, kind="pressure_difference", units=told.units)
        words = (
            f"Starved: {place_name(worst)} gets {_has(told, worst)}, short by {by}, too little in {lacking} of the "
            f"draw ({conditions}){_blame(told)}."
        )
    more = [p for p in run.places if p.runs and p is not worst and enough_of(p) < run.draw.plant.about.certainty]
    if more:
        names = named([place_name(p) for p in more]) if len(more) <= MOST_NAMED else f"{len(more)} more tools"
        words += f" {names} {'is' if len(more) == 1 else 'are'} short too, or may be."
    return words


def help_words(told: PipesTold) -> str:
    """Return what one change would cure it, or that none does."""
    certainty, changes = told.run.draw.plant.about.certainty, told.tried.changes
    cures = [change for change in changes if change.every >= certainty]
    if cures:
        cure = min(cures, key=lambda change: change.pipe)
        name = change_name(cure, told.units)
        return f"One change cures it: {name} (all have enough then in {share(cure.every)} of the draw)."
    if not changes:
        return "No single change gives anything worth having: airfettle pipes size FILE looks at all sizes together."
    gain = likely(changes[0].gain, kind="pressure_difference", units=told.units)
    return f"No single change cures it; most helps {change_name(changes[0], told.units)} ({gain}). airfettle pipes size FILE looks at all sizes together."  # noqa: E501


def change_name(change: Change, units: Units) -> str:
    """Return what to do, lengths of new pipe in the owner's units."""
    if change.sort != "ring":
        return change.name
    return f"{distance(change.pipe, units)} of {change.name.partition(' of ')[2]}"


def then_enough(change: Change) -> tuple[str, str]:
    """Return how often the tool worst off, and every running tool, has enough after a change."""
    return share(change.enough), share(change.every)


def low_point_words(told: PipesTold) -> Iterator[str]:
    """Yield where water cannot run on."""
    if told.low_points is None:
        yield f"Low points: no heights are told, so where water stands cannot be said; [shop_pipe] places = {{ A = '{PLACE[told.units]}' }} tells."  # noqa: E501
        return
    low = [p for p in told.low_points if not p.drained and not p.level]
    level = [p for p in told.low_points if not p.drained and p.level]
    if low:
        yield f"Low points without a drain: {_places([p.place for p in low])}. Water stands there: fit a drain."
    if level:
        yield f"Level pipe without a drain: {_places([p.place for p in level])}. Let it fall to a drained place, or fit drains."  # noqa: E501
    if not low and not level:
        yield "Low points: each has a drain, or a drop that ends in one."


def _places(names: Sequence[str]) -> str:
    return named(names) if len(names) <= 2 * MOST_NAMED else f"{len(names)} places, {named(names[:MOST_NAMED])} first"


def volume_words(told: PipesTold) -> Iterator[str]:
    """Yield what the pipe holds, what it leaks, and what its losses cost."""
    rows, units = shop_rows(told), told.units
    words = f"The pipe holds {text_of(rows['line_volume'], units=units)}"
    if "line_share" in rows:
        words += f", {text_of(rows['line_share'], units=units)} of the receiver"
    yield f"{words}."
    if "leak" in rows:
        yield f"It leaks {text_of(rows['leak'], units=units)} at mid-band, as told or by its leak test."
    else:
        yield "What it leaks is not told: [shop_pipe] leak_test says it, pump off and every tool shut."
    if "loss_energy" in rows:
        words = f"What is lost between receiver and tools costs {text_of(rows['loss_energy'], units=units)} in a year"
        if "loss_cost" in rows:
            words += f", {text_of(rows['loss_cost'], units=units, currency=told.currency)}"
        yield f"{words}; running at a pressure lower by as much would save it."


def fast_words(told: PipesTold) -> str:
    """Return what a star at a speed means."""
    run, drop = RULE[told.units]
    return (
        f"* faster than common practice has it, {run} in a run and {drop} in a drop: noise, loss, and water carried on."
    )


def basis(told: PipesTold) -> str:
    """Return what the numbers rest on."""
    run = told.run
    sets = (
        f"all {len(run.sets.on)} sets of tools"
        if run.sets.every
        else f"{len(run.sets.on)} sets of tools drawn by chance"
    )
    unsettled = "" if run.solved.settled else " Not every flow came to rest: mind that."
    return (
        f"Middle of {run.draw.rows} plants that fit the file, and 9 of 10 of them (P50, P5 to P95); seed "
        f"{run.draw.seed}.{unsettled} Shares of time: {sets} that people and tools are there for, receiver at cut-in, "
        f"first {rows_of_shares(run)} of those plants. Changes: the first {run.network.first(256).rows}."
    )


def rows_of_shares(run: ShopRun) -> int:
    """Return over how many rows of the draw shares of time are taken. [-]"""
    told = [len(place.enough_share) for place in run.places if place.enough_share is not None]
    return max(told, default=0)
