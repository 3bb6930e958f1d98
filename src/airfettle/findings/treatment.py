"""Rules about dryer and filters: what they can carry, where they stand, and what their bowls are made of."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.air_quality import all_dry_air, stands_before_receiver
from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.finding import LIKELY, Signal
from airfettle.findings.rule import rule
from airfettle.plant.receiver import Receiver
from airfettle.plant.treatment import REGENERATIVE, Dryer, Filter

Array = NDArray[np.float64]

MOST_DROP = 0.10
"""Share of the receiver's pressure that treatment may lose. [-]  Source: practice."""
SOON_SPENT = 8.0
"""Running hours that a cartridge of beads should last at the least. [h]  Source: practice."""
SOME_LIQUID = 0.05
"""Liquid at a dryer over all water drawn in, beyond which it is more than mist. [-]  Source: practice."""
MOST_PURGE = 0.25
"""Share of the pumps' full delivery that a dryer may spend. [-]  Source: practice."""


@rule(
    "dryer_overloaded", signal="warning", group="air quality and piping", title="More air than the dryer can dry",
    why="A dryer's plate holds for one inlet temperature, room and pressure; hotter or at less pressure it dries less "
        "air, and what it cannot dry goes on to the tools wet.",
    threshold="more air than the dryer's rated flow, corrected for its inlet temperature, pressure and room, in half "
              "of the draw; of desiccant also more water than its beds or its purge can take, of membrane more volume "
              "than it is rated for; a caution for a cartridge of beads that is spent in less than 8 hours of running",
    do="Cool the air before it, lower the highest speed, or fit a larger dryer.",
    sources=("dryer-manual", "practice"),
)  # fmt: skip
def dryer_overloaded(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the dryer; for a cartridge one on its beads, and one on its flow where that is rated."""
    part, load = case.part("dryer"), case.reach.state.path.dryer_load
    if part is None or load is None:
        return
    if part.fact("kind") == "bead cartridge":
        yield _beads_spent(case, part)
        if part.rows("rated_flow") is None:
            return
    if part.rows("rated_flow") is None:
        yield Verdict("not told", "Not told: the flow that the dryer is rated for.", (part.path,),
                      do="Read the dryer's plate and write down rated_flow.",
                      decided_by=(part.at("rated_flow"),))  # fmt: skip
        return
    rated = part.shown("rated_flow")
    found = case.beyond(
        "dryer_capacity", train=0, parts=(part.path,),
        says=lambda at: f"The dryer is rated for {rated}; {at.show(all_dry_air(case), kind='reference_flow')} goes "
        f"through it, {at.show(load, kind='fraction')} of what it can dry where it stands.",
    )  # fmt: skip
    if found is not None:
        yield found


def _beads_spent(case: Case, part: Part) -> Verdict:
    """Verdict on how long the beads of a cartridge last, with all the air that the pumps deliver."""
    life = case.reach.state.path.bead_life
    assert life is not None
    hours = life / 3600.0
    return case.likely(
        hours < SOON_SPENT, parts=(part.path,), rests_on=(part.at("bead_mass"),), how_far=-hours, signal="caution",
        says=lambda at: f"The beads are spent in {at.show(hours, kind='number')} hours of running, with all the air "
        "that the pumps deliver going through them.",
        do="Take the water out before them with a cooler, a separator and a drained receiver or a refrigerated dryer, "
           "fit more beads, or a dryer that regenerates itself.",
    )  # fmt: skip


@rule(
    "dryer_inlet_hot", signal="warning", group="air quality and piping", title="Air too hot for the dryer",
    why="Above the inlet temperature on its plate a dryer carries less and may switch itself off.",
    threshold="the air reaches the dryer hotter than its rated inlet temperature in half of the draw",
    do="Fit a larger cooler before the dryer, or put the dryer behind the receiver.",
    sources=("dryer-manual", "practice"),
)  # fmt: skip
def dryer_inlet_hot(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the dryer."""
    part, state = case.part("dryer"), case.reach.state
    rated = None if part is None else part.rows("rated_inlet_temperature")
    if part is None or rated is None:
        return
    told = part.shown("rated_inlet_temperature")
    entering = state.path.receiver_temperature
    if stands_before_receiver(case, "dryer"):
        entering = np.asarray(np.max([train.cooler_outlet_temperature for train in state.trains], axis=0))
    yield case.likely(
        entering > rated, parts=(part.path,), rests_on=(part.at("rated_inlet_temperature"),),
        says=lambda at: f"The air reaches the dryer at {at.show(entering, kind='temperature')}; rated for {told}.",
    )  # fmt: skip


@rule(
    "purge_takes_much", signal="caution", group="air quality and piping", title="A dryer that spends much of the air",
    why="Air that a dryer blows off to dry itself is air that the pumps make and no tool gets; a dryer chosen far too "
        "large spends the share of its own size, not of what is drawn.",
    threshold="It holds where a dryer of desiccant or membrane spends more than 25 % of what the pumps deliver at full "
              "speed and cut-out pressure, in half of the draw.",
    do="Set the purge to the air that is really dried, let it go by demand (purge_when), shut it off with the plant, "
       "or fit a smaller dryer; where a dew point of 3 °C (38 °F) will do, a refrigerated one.",
    sources=("dryer-manual", "practice"),
)  # fmt: skip
def purge_takes_much(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for a dryer that spends air."""
    part, path = case.part("dryer"), case.reach.state.path
    if part is None or path.purge_air is None:
        return
    share = np.asarray(path.purge_air / np.maximum(all_dry_air(case), 1e-12))[:, -1:, -1:]
    spent = case.show(np.asarray(path.purge_air)[:, -1:, -1:], kind="reference_flow")
    yield case.likely(
        share > MOST_PURGE, parts=(part.path,), rests_on=(part.at("purge_share"), part.at("rated_flow")),
        says=f"The dryer spends {spent} to dry itself, {case.show(share, kind='fraction')} of what the pumps deliver "
        "at full speed.",
    )  # fmt: skip


@rule(
    "dryer_after_receiver", signal="notice", group="air quality and piping", title="A dryer behind the receiver",
    why="Before the receiver a dryer sees no more than the pumps deliver; behind it, all that the tools draw at once.",
    threshold="the dryer stands behind the receiver",
    do="Keep the tools that run at once below the dryer's rated flow, or put the dryer before the receiver.",
)  # fmt: skip
def dryer_after_receiver(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the dryer."""
    for part in case.parts("dryer"):
        if stands_before_receiver(case, "dryer"):
            yield Verdict("clear", "", (part.path,))
            continue
        rated = part.rows("rated_flow")
        most = "a flow that is not told" if rated is None else part.shown("rated_flow")
        flow = case.show(all_dry_air(case)[:, -1:, -1:], kind="reference_flow")
        yield Verdict("holds", f"The dryer is rated for {most}. The pumps deliver {flow} at full speed; for a moment "
                      "the tools can draw more.", (part.path,))  # fmt: skip


@rule(
    "treatment_order", signal="warning", group="air quality and piping", title="Filters in the wrong order or missing",
    why="A coalescing filter drowns in bulk water, and carbon that gets water or oil mist is spent in hours; both then "
        "let oil through while looking sound. Liquid water cracks the beads of a dryer, oil coats beads and membrane "
        "for good, and beads shed dust into the line.",
    threshold="a coalescing or carbon filter before any separator behind a cooler, drained receiver or dryer, or "
              "carbon before a coalescing filter; a caution for carbon with no coalescing filter at all behind an "
              "oiled pump; a dryer of desiccant, beads or membrane before the bulk water is out, or with no coalescing "
              "filter before it; one of two desiccant beds with no filter for dust behind it; a caution for a "
              "cartridge of beads whose bulk water is out, a notice for one behind an oil-free pump or without a "
              "filter for dust",
    do="In this order: cooler, separator, receiver, coalescing filter, carbon; a dryer of desiccant, beads or membrane "
       "behind the coalescing filter, and a particle filter behind the beads. Where the file's order is not the "
       "plant's, write air_path under [plant].",
)  # fmt: skip
def treatment_order(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every filter, and a dryer that is not refrigerated, in the order of the air path."""
    cooled = all(case.part("cooler", train=place) for place in case.trains())
    oiled = any(pump.fact("lubrication") != "oil-free" for pump in case.parts("pump"))
    path = [(name, case.plant.station(name)) for name in case.plant.air_path()]
    bulk = coalesced = False
    for place, (name, part) in enumerate(path):
        section = name.partition(".")[0]
        drained = isinstance(part, Receiver) and part.drain != "none"
        if isinstance(part, Dryer) and part.kind != "refrigerated":
            around = tuple([p for _, p in side if isinstance(p, Filter)] for side in (path[:place], path[place + 1 :]))
            yield _ready(case, name, part.kind, bulk=bulk, before=around[0], behind=around[1], oiled=oiled)
        chills = isinstance(part, Dryer) and part.kind == "refrigerated"
        bulk = bulk or chills or drained or (section == "separator" and cooled)
        if isinstance(part, Filter):
            later = any(isinstance(p, Filter) and p.purpose == "coalescing" for _, p in path[place + 1 :])
            yield _ordered(name, part.purpose, bulk=bulk, coalesced=coalesced, later=later, oiled=oiled)
            coalesced = coalesced or part.purpose == "coalescing"


def _ordered(name: str, purpose: str, *, bulk: bool, coalesced: bool, later: bool, oiled: bool) -> Verdict:
    """Verdict on one filter by what stands before and behind it."""
    if purpose == "unknown":
        return Verdict("not told", "Not told: what the filter takes out.", (name,), decided_by=(f"{name}.purpose",),
                       do=f"Read the filter's label and write down purpose under [{name}].")  # fmt: skip
    if purpose in ("coalescing", "carbon") and not bulk:
        return Verdict("holds", f"The {purpose} filter stands where no water has been taken out yet.", (name,))
    if purpose == "carbon" and not coalesced and later:
        return Verdict("holds", "The carbon filter stands before the coalescing filter.", (name,))
    if purpose == "carbon" and not coalesced and oiled:
        return Verdict("holds", "The carbon filter has no coalescing filter before it.", (name,), signal="caution")
    return Verdict("clear", "", (name,))


def _ready(
    case: Case, name: str, kind: str, *, bulk: bool, before: list[Filter[Array]], behind: list[Filter[Array]],
    oiled: bool,
) -> Verdict:  # fmt: skip
    """Verdict on a dryer of desiccant, beads or membrane by what stands before and behind it."""
    beads = "beads" if kind == "bead cartridge" else "membrane" if kind == "membrane" else "desiccant"
    if not bulk or _liquid_reaches(case):
        return Verdict("holds", f"Liquid water comes to the {beads}: nothing before it has taken the bulk of it out.",
                       (name,))  # fmt: skip
    if not any(f.purpose == "coalescing" for f in before):
        if any(f.purpose == "unknown" for f in before):
            return _purpose_unknown(name, "before", beads)
        signal: Signal = "warning" if beads != "beads" else "caution" if oiled else "notice"
        return Verdict("holds", f"No coalescing filter stands before the {beads}: oil mist and fine drops reach it.",
                       (name,), signal=signal)  # fmt: skip
    if beads == "membrane" or any(f.purpose in ("particles", "coalescing") for f in behind):
        return Verdict("clear", "", (name,))
    if any(f.purpose == "unknown" for f in behind):
        return _purpose_unknown(name, "behind", beads)
    return Verdict("holds", f"No filter for dust stands behind the {beads}: they shed dust into the line.", (name,),
                   signal="warning" if kind in REGENERATIVE else "notice")  # fmt: skip


def _purpose_unknown(name: str, where: str, beads: str) -> Verdict:
    return Verdict("not told", f"Not told: what the filter {where} the {beads} takes out.", (name,),
                   do="Read the filter's label and write down purpose under [[filter]].")  # fmt: skip


def _liquid_reaches(case: Case) -> bool:
    """Return whether more than a mist of liquid comes to the dryer in half of the draw, at any reachable point."""
    path = case.reach.state.path
    if path.dryer_liquid is None:
        return False
    wet = path.dryer_liquid > SOME_LIQUID * np.maximum(path.intake_water, 1e-15)
    return bool(np.max(np.mean(wet, axis=0)) >= LIKELY)


@rule(
    "treatment_drop", signal="caution", group="air quality and piping", title="Filters and dryer that eat the pressure",
    why="Pressure lost between receiver and tools has to be pumped first: the tools go weak, the cut-out goes up.",
    threshold="more than 10 % of the receiver's gauge pressure lost from receiver to line, all the pumps' air drawn "
              "off, in half of the draw",
    do="Change clogged elements, and fit larger filters or fewer of them.",
)  # fmt: skip
def treatment_drop(case: Case) -> Iterator[Verdict]:
    """Yield one verdict for all that stands behind the receiver."""
    parts = tuple(station.name for station in case.reach.numbers.after)
    if not parts:
        return
    state = case.reach.state.path
    gauge = state.receiver_pressure - state.barometer
    lost = gauge - state.line_pressure
    yield case.likely(
        lost > MOST_DROP * gauge, parts=parts,
        says=lambda at: f"{at.show(lost, kind='pressure_difference')} of "
        f"{at.show(gauge, kind='pressure')} is lost between receiver and line.",
    )  # fmt: skip


@rule(
    "plastic_bowl", signal="caution", group="pressure boundary", title="A plastic bowl where it may burst",
    why="Clear plastic bowls go soft near the pump and crack from oil and thinners; a bare one that bursts throws "
        "pieces.",
    threshold="a bare plastic bowl anywhere, or a plastic bowl between pump and receiver",
    do="Fit a metal bowl near the pump, and a metal guard on every plastic bowl elsewhere; wash bowls with soap only.",
)  # fmt: skip
def plastic_bowl(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the separator and every filter but regulators."""
    before = {station.name for station in case.reach.numbers.before}
    for section in ("separator", "filter"):
        for part in case.parts(section):
            if section == "separator" or part.fact("purpose") != "regulator":
                yield _bowl(case, part, section, near=part.path in before)


def _bowl(case: Case, part: Part, section: str, *, near: bool) -> Verdict:
    """Verdict on one bowl, between pump and receiver or not."""
    bad = ("bare plastic", "plastic with guard") if near else ("bare plastic",)
    where = "between pump and receiver" if near else "without a guard"
    return case.asked(part, "bowl", bad=bad, says=f"Its bowl is {part.fact('bowl')}, {where}.",
                      unknown=f"Not told: what the {section}'s bowl is made of.")  # fmt: skip
