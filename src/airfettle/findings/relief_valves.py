"""Rules about relief valves: whether there is one, what it is set to, what it passes, and whether it can blow."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.pressure_boundary import above, gauge
from airfettle.findings.rule import rule
from airfettle.parts.relief import cut_out_margin
from airfettle.studies.limits.declared import limit_named
from airfettle.studies.limits.margins import scope
from airfettle.studies.meaning import evaluated, names_in

Array = NDArray[np.float64]
Answer = Literal["yes", "no", "unknown"]

ROUNDING = 1.005
"""Pressures on plates are rounded, some in psi and some in bar. [-]  Source: practice."""
SECOND_VALVE = 1.05
"""How far above the plate a second valve may be set, where the first stands at or below it. [-]
Source: asme-viii-1-ug-125, UG-134 from memory."""


def valves(case: Case, protects: str) -> list[Part]:
    """Return the relief valves that protect a part of the plant, lowest setting first; untold settings last."""
    found = [part for part in case.parts("relief_valve") if part.fact("protects") == protects]
    return sorted(found, key=lambda part: _likely(part.rows("set_pressure")))


def _likely(setting: Array | None) -> float:
    return float("inf") if setting is None else float(np.median(setting))


def served(case: Case, protects: str, *, trains: list[int]) -> dict[int, Answer]:
    """Return for each train whether a relief valve of a sort stands on it; valves are matched by the train's name."""
    there = valves(case, protects)
    names = {str(part.fact("name")) for part in there}
    left = [train for train in trains if case.plant.trains[train].name not in names or len(trains) == 1]
    spare = len(there) - (len(trains) - len(left))
    doubt = bool(valves(case, "unknown")) or 0 < spare < len(left)
    rest: Answer = "yes" if spare >= len(left) else "unknown" if doubt else "no"
    return {train: rest if train in left else "yes" for train in trains}


def swept_share(case: Case, *, train: int, capacity: Array) -> Array:
    """Return what a train sweeps in at each reachable point, as share of what a valve passes. [-]"""
    reach, equation = case.reach, limit_named("relief_capacity").equation
    known = scope(reach.draw, reach.numbers, reach.state, place=train) | {"relief_capacity": capacity}
    return np.asarray(1.0 - evaluated(equation, {name: known[name] for name in names_in(equation)}))


@rule(
    "relief_missing", signal="danger", group="pressure boundary", title="A receiver without a relief valve",
    why="A pressure switch whose contacts weld runs the pump until something gives: only a relief valve, or the shell, "
        "ends that.",
    threshold="no relief valve among the parts of the plant that protects the receiver",
    do="Fit a stamped, spring-loaded relief valve straight into the receiver, set at or below its plate pressure.",
    sources=("osha-1910-169",),
)  # fmt: skip
def relief_missing(case: Case) -> Iterator[Verdict]:
    """Yield one verdict for all receivers; pipes join them."""
    parts = tuple(part.path for part in case.parts("receiver"))
    decided = ("relief_valve",)
    if not parts:
        return
    if valves(case, "receiver"):
        yield Verdict("clear", "", parts, decided_by=decided)
    elif not case.plant.relief_valve or valves(case, "unknown"):
        yield Verdict("not told", "Not told whether a relief valve protects the receiver.", parts, decided_by=decided,
                      do="Look on the receiver for a valve with a stamped setting and a ring or lever, and write it "
                         "down as [[relief_valve]] with set_pressure, capacity and protects.")  # fmt: skip
    else:
        yield Verdict("holds", "No relief valve protects the receiver.", parts, decided_by=decided)


@rule(
    "relief_setting", signal="danger", group="pressure boundary", title="A relief valve set above the plate",
    why="A valve set above the plate lets the shell see more than it was built for, every time the switch fails.",
    threshold="the lowest set relief valve above the lowest plate pressure in half of the draw, half a percent for "
              "rounding; a second one more than 5 % above it",
    do="Fit a stamped valve set at or below the plate pressure; never turn the spring of the old one.",
    sources=("osha-1910-169", "asme-viii-1-ug-125"),
)  # fmt: skip
def relief_setting(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every relief valve on the receiver."""
    plates = [(part, rows) for part in case.parts("receiver") if (rows := part.rows("plate_pressure")) is not None]
    room = case.reach.draw.barometer
    for place, valve in enumerate(valves(case, "receiver")):
        setting = valve.rows("set_pressure")
        if setting is None:
            yield Verdict("not told", "What the relief valve on the receiver is set to is not told.", (valve.path,),
                          do=f"Read the tag or the stamp on it and write down set_pressure under [{valve.path}]; a "
                             "valve without one cannot be counted on.",
                          decided_by=(valve.at("set_pressure"),))  # fmt: skip
        elif plates:
            receiver, plate = min(plates, key=lambda found: float(np.median(found[1])))
            most = ROUNDING if place == 0 else SECOND_VALVE
            yield case.likely(
                setting - room > most * (plate - room), parts=(valve.path, receiver.path),
                rests_on=(valve.at("set_pressure"), receiver.at("plate_pressure")),
                says=f"The relief valve is set to {valve.shown('set_pressure')}, the plate of the receiver says "
                     f"{receiver.shown('plate_pressure')}.",
            )  # fmt: skip


@rule(
    "relief_capacity", signal="danger", group="pressure boundary",
    title="A relief valve that cannot pass what the pump makes",
    why="A valve that is too small opens and the pressure goes on rising. A drive that turns the pump faster than "
        "before, or a second pump, outgrows the old valve.",
    threshold="what all pumps together sweep at the highest speed any setting reaches, as dry air on the coldest day "
              "told of the room, above the capacities stamped on the receiver's relief valves; likewise each pump and "
              "the relief valve on its own outlet",
    do="Lower the drive's highest frequency until the valve passes it all, or fit one of more capacity.",
    sources=("osha-1910-169", "asme-viii-1-ug-131"),
)  # fmt: skip
def relief_capacity(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for the valves on the receiver together, and for each on a pump's outlet."""
    if on_receiver := valves(case, "receiver"):
        yield _capacity(case, on_receiver, list(case.trains()))
    several = len(case.trains()) > 1
    for valve in valves(case, "pump discharge"):
        named = [t for t in case.trains() if not several or case.plant.trains[t].name == valve.fact("name")]
        if named:
            yield _capacity(case, [valve], named)


def _capacity(case: Case, these: list[Part], trains: list[int]) -> Verdict:
    """Verdict on valves that protect the same thing, and the trains that blow against them."""
    told = [(part, rows) for part in these if (rows := part.rows("capacity")) is not None]
    parts, untold = tuple(part.path for part in these), [part for part in these if part.rows("capacity") is None]
    missing = Verdict(
        "not told", "What the relief valve can pass is not told.", parts,
        decided_by=tuple(part.at("capacity") for part in untold),
        do=f"Read the flow stamped on it (scfm, L/min) and write down capacity under [{(untold or these)[0].path}].",
    )  # fmt: skip
    if not told:
        return missing
    capacity = np.asarray(sum(rows for _, rows in told))
    share = np.asarray(sum(swept_share(case, train=train, capacity=capacity) for train in trains))
    whose = "the pump sweeps" if len(trains) == 1 else f"the {len(trains)} pumps together sweep"

    def says(at: At) -> str:
        swept = at.show(share * capacity, kind="reference_flow")
        stamped = " and ".join(part.shown("capacity") for part, _ in told)
        return f"At {at.point.frequency:.3g} Hz {whose} {swept}; the relief valve passes {stamped}."

    rests_on = tuple(part.at("capacity") for part, _ in told)
    found = above(case, share, np.ones(1), says=says, parts=parts, rests_on=rests_on)
    return missing if untold and found.state != "clear" else found


@rule(
    "valve_before_relief", signal="danger", group="pressure boundary", title="A valve that can shut off a relief valve",
    why="A shut valve in front of it makes the relief valve a plug.",
    threshold="any valve or cock between a relief valve and what it protects",
    do="Take the valve out: a relief valve screws straight into what it protects.",
    sources=("osha-1910-169",),
)  # fmt: skip
def valve_before_relief(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every relief valve."""
    for part in case.parts("relief_valve"):
        yield case.asked(part, "valve_before", bad=("yes",),
                         says=f"A valve can shut off the relief valve {_of(part)}.",
                         unknown=f"Not told whether a valve can shut off the relief valve {_of(part)}.")  # fmt: skip


@rule(
    "relief_tampered", signal="danger", group="pressure boundary", title="A relief valve that was plugged or reset",
    why="A valve with a plugged outlet, a tied lever, a seat stuck with paint or a turned spring opens late or never, "
        "and its stamp no longer says when.",
    threshold="outlet plugged or piped smaller, lever tied, valve painted shut, setting or seal touched",
    do="Fit a new stamped valve with a free outlet that points away from people; only its maker or an authorised "
       "shop may set one.",
    sources=("asme-viii-1-ug-125", "california-465"),
)  # fmt: skip
def relief_tampered(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every relief valve."""
    for part in case.parts("relief_valve"):
        yield case.asked(part, "tampered", bad=("yes",),
                         says=f"The relief valve {_of(part)} is plugged, tied, stuck or reset.",
                         unknown=f"Not told whether the relief valve {_of(part)} is as its maker sealed it, and free "
                                 "to blow.")  # fmt: skip


def _of(part: Part) -> str:
    sort = {"receiver": "on the receiver", "pump discharge": "on the pump's outlet", "interstage": "between the stages"}
    return sort.get(part.fact("protects"), "of unknown purpose")


@rule(
    "relief_near_cut_out", signal="caution", group="pressure boundary",
    title="A relief valve set too close to the cut-out",
    why="A valve that simmers at every cut-out wears its seat, leaks, and is then plugged or turned up by somebody.",
    threshold="less than a tenth of its setting between the cut-out and a relief valve, on the receiver or the pump's "
              "outlet, in half of the draw",
    do="Lower the cut-out; raise the valve's setting, by another valve, only where the plate allows it.",
)  # fmt: skip
def relief_near_cut_out(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every relief valve on the receiver or a pump's outlet whose setting is told."""
    room, cut_out = case.reach.draw.barometer, case.reach.numbers.cut_out
    for part in (*valves(case, "receiver"), *valves(case, "pump discharge")):
        setting = part.rows("set_pressure")
        if setting is not None:
            yield case.likely(
                cut_out_margin(set_pressure=setting - room, cut_out=cut_out - room) < 0.0, parts=(part.path,),
                says=f"The relief valve {_of(part)} is set to {part.shown('set_pressure')}, the cut-out stands at "
                     f"{gauge(case, cut_out)}.",
            )  # fmt: skip


@rule(
    "interstage_relief", signal="danger", group="pressure boundary",
    title="A two-stage pump without relief between its stages",
    why="When the valves of the small cylinder leak or break, air from the receiver comes back and the large cylinder "
        "goes on pumping: an intercooler built for a third of the pressure bursts.",
    threshold="a pump of two stages with no relief valve between them, its own or another",
    do="Fit the relief valve that the pump's maker gives for the intercooler.",
    sources=("mo-209",),
)  # fmt: skip
def interstage_relief(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every pump of two stages."""
    pumps = [pump for pump in case.parts("pump") if pump.fact("stages") == 2]
    there = served(case, "interstage", trains=[pump.train for pump in pumps])
    for pump in pumps:
        line = case.part("hot_line", train=pump.train)
        own = "unknown" if line is None else str(line.fact("interstage_relief"))
        if there[pump.train] == "yes" or own == "yes":
            yield Verdict("clear", "", (pump.path,))
        elif line is not None and there[pump.train] == "no":
            yield case.asked(line, "interstage_relief", bad=("no",), parts=(pump.path,),
                             says="Nothing relieves the space between the pump's two stages.")  # fmt: skip
        else:
            yield Verdict("not told", "Not told whether a relief valve stands between the pump's two stages.",
                          (pump.path,), decided_by=("relief_valve",),
                          do="Look on the intercooler, and write the valve down as [[relief_valve]] with protects = "
                             "'interstage', named after the train where there are several.")  # fmt: skip


@rule(
    "pump_side_relief", signal="danger", group="pressure boundary",
    title="Nothing relieves the pump's side of the check valve",
    why="The receiver's relief valve does not feel what happens before the check valve. A check valve that sticks, or "
        "a cooler, separator or filter shut by carbon, ice or dirt, leaves the pump to press against a dead end until "
        "something bursts.",
    threshold="no relief valve that protects the pump's outlet: danger where a cooler, separator, filter or dryer "
              "stands between the pump and the check valve, a warning where there is only pipe",
    do="Fit a stamped relief valve, rated for the heat, at the pump's outlet, with nothing between it and the pump; it "
       "must pass all that the pump makes.",
    sources=("em-385-1-1", "mo-209"),
)  # fmt: skip
def pump_side_relief(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every pump."""
    there = served(case, "pump discharge", trains=list(case.trains()))
    for pump in case.parts("pump"):
        relieved = there[pump.train]
        if relieved == "no":
            yield _unrelieved(case, pump)
        elif relieved == "yes":
            yield Verdict("clear", "", (pump.path,))
        else:
            yield Verdict("not told", "Not told whether a relief valve stands on this pump's outlet.", (pump.path,),
                          decided_by=("relief_valve",),
                          do="Write down protects of each [[relief_valve]], and name the one on a pump's outlet after "
                             "its train.")  # fmt: skip


def _unrelieved(case: Case, pump: Part) -> Verdict:
    """Verdict on a pump without a relief valve of its own."""
    valve, behind = case.plant.check_valve, _before_check_valve(case, pump)
    if valve is None or (valve.place == "unknown" and not valve.absent and behind and not case.plant.about.air_path):
        what = f"whether a check valve can shut {_list(behind)} off from the receiver's" if behind else (
            "whether there is a check valve")  # fmt: skip
        return Verdict(
            "not told", f"No relief valve on the pump's outlet is told, nor {what}.", (pump.path,),
            signal=None if behind else "warning", decided_by=("check_valve.place", "relief_valve"),
            do="Follow the pipe from the pump: write down [check_valve] with its place (check_valve = 'none' where "
               "there is none), and any relief valve with protects = 'pump discharge'.",
        )  # fmt: skip
    if not valve.absent and valve.place == "before the cooler":
        behind = []
    if behind:
        end = "receiver" if valve.absent else "check valve"
        stand = "stands" if len(behind) == 1 else "stand"
        return Verdict("holds", f"Nothing relieves the pump's outlet, and {_list(behind)} {stand} before the {end}.",
                       (pump.path,), decided_by=("relief_valve",))  # fmt: skip
    if valve.absent:
        return Verdict("clear", "", (pump.path,))
    return Verdict("holds", "Nothing relieves the pipe between the pump and the check valve.", (pump.path,),
                   signal="warning", decided_by=("relief_valve",))  # fmt: skip


def _before_check_valve(case: Case, pump: Part) -> list[str]:
    """What can shut the way from a pump to the check valve, or to the receiver where there is no check valve."""
    found = [] if case.part("cooler", train=pump.train) is None else ["the cooler"]
    for station in case.reach.numbers.before:
        if station.section == "check_valve":
            break
        section, _, own = station.name.partition(".")
        found.append(f"the {own} {section}" if own else f"the {section}")
    return found


def _list(names: list[str]) -> str:
    return ", ".join(names[:-1]) + (" and " if len(names) > 1 else "") + names[-1]
