"""Rules about the hot way from pump to receiver: what it is made of, what can shut it, what it is rated for."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import At, Case, Part, Verdict
from airfettle.findings.finding import LIKELY, SELDOM, Signal
from airfettle.findings.pressure_boundary import above, gauge
from airfettle.findings.relief_valves import ROUNDING, served, valves
from airfettle.findings.rule import rule
from airfettle.studies.limits.numbers import HOTTEST

Array = NDArray[np.float64]

SOFT = ("copper, soft soldered", "rubber hose", "nylon", "PEX", "PVC")
"""What gives way at the temperature of a pump's outlet."""
RIGID = ("steel", "stainless steel", "copper, brazed or flared", "copper, soft soldered", "aluminium")
"""What does not give when the pump shakes."""
HOSES = ("PTFE hose with steel braid", "rubber hose")
"""What has a pressure and a temperature of its own printed on it."""
WARM = 450.15
"""Discharge of a single stage above which oil makes carbon fast: 177 degC. [K]  Source: practice."""


@rule(
    "hot_line_material", signal="danger", group="pressure boundary", title="A hot line that cannot stand the heat",
    why="Air leaves a piston pump at 120 to 200 °C (250 to 400 °F). Soft solder is rated up to 121 °C only and melts "
        "not far above the hottest of these; rubber, nylon, PEX and PVC go soft and burst; and the oil in the line can "
        "burn.",
    threshold="soft solder, rubber, nylon, PEX or PVC anywhere between the pump and the cooler, or the receiver where "
              "there is no cooler",
    do="Replace it with steel, brazed or flared copper, or a PTFE hose with steel braid rated for the heat.",
    sources=("asme-b31-9-solder",),
)  # fmt: skip
def hot_line_material(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every hot line."""
    for part in case.parts("hot_line"):
        yield case.asked(part, "material", bad=SOFT, says=f"The hot line is of {part.fact('material')}.")


@rule(
    "hot_line_rigid", signal="caution", group="pressure boundary", title="A rigid hot line from a pump that shakes",
    why="A piston pump shakes with every turn, and a line that cannot give cracks at its joints.",
    threshold="a metal line with no hose, coil or long free bend between the pump and what stands still",
    do="Put a braided hose made for the heat, or a free bend of tube, between the pump and the first clamp.",
)  # fmt: skip
def hot_line_rigid(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every hot line that may be rigid."""
    for part in case.parts("hot_line"):
        if part.fact("material") in (*RIGID, "unknown"):
            yield case.asked(part, "flexible_piece", bad=("no",),
                             says=f"The hot line ({_made_of(part)}) has no piece that gives.")  # fmt: skip


def _made_of(part: Part) -> str:
    return "material not told" if part.fact("material") == "unknown" else str(part.fact("material"))


@rule(
    "stop_valve_before_receiver", signal="danger", group="pressure boundary",
    title="A stop valve with no relief before it",
    why="A pump started against a shut valve reaches a bursting pressure within a few turns, faster than anybody can "
        "reach the switch.",
    threshold="a valve or cock that a hand can shut between the pump and the receiver, and no relief valve on the "
              "pump's outlet",
    do="Take the valve out, or fit a stamped relief valve between the pump and it that passes all the pump makes.",
    sources=("em-385-1-1", "mo-209"),
)  # fmt: skip
def stop_valve_before_receiver(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every hot line."""
    relieved = served(case, "pump discharge", trains=list(case.trains()))
    for part in case.parts("hot_line"):
        if relieved[part.train] == "yes":
            yield Verdict("clear", "", (part.path,))
        elif relieved[part.train] == "unknown" and part.fact("stop_valve") == "yes":
            yield Verdict("not told", "A valve can shut the way to the receiver; whether a relief valve stands before "
                          "it is not told.", (part.path,), decided_by=("relief_valve",),
                          do="Write down protects of each [[relief_valve]], and name the one on a pump's outlet after "
                             "its train.")  # fmt: skip
        else:
            yield case.asked(part, "stop_valve", bad=("yes",),
                             says="A valve can shut the way from the pump to the receiver, and no relief valve stands "
                                  "before it.")  # fmt: skip


@rule(
    "part_pressure_rating", signal="danger", group="pressure boundary", title="A part rated below the relief setting",
    why="What stands between pump and receiver sees whatever pressure the relief valve allows, hot; many parts lose "
        "strength with heat, so the rating to look for is the one at the temperature they run at. A cooler made for "
        "a vehicle's oil or refrigerant was not made for air.",
    threshold="cooler, separator or hose rated below the setting of the relief valve on the pump's outlet, or on the "
              "receiver where there is no other, or below the cut-out, in half of the draw",
    do="Replace the part with one rated above the relief valve's setting at the temperature it runs at, or fit a "
       "relief valve set below its rating.",
    sources=("practice",),
)  # fmt: skip
def part_pressure_rating(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler, separator and hose between pump and receiver."""
    for section, name in (("hot_line", "hot line"), ("cooler", "cooler"), ("separator", "separator")):
        for part in case.parts(section):
            if section != "hot_line" or part.fact("material") in HOSES or part.told("pressure_rating"):
                trains = [part.train] if section != "separator" else list(case.trains())
                yield _pressure(case, part, name, trains)


def _pressure(case: Case, part: Part, name: str, trains: list[int]) -> Verdict:
    """Verdict on a part against cut-out and relief setting."""
    rating, room, cut_out = part.rows("pressure_rating"), case.reach.draw.barometer, case.reach.numbers.cut_out
    if rating is None:
        return Verdict("not told", f"What pressure the {name} is rated for is not told.", (part.path,),
                       do="Find the rating on its plate, print or maker's sheet, at the temperature it runs at, and "
                          f"write down pressure_rating under [{part.path}].",
                       decided_by=(part.at("pressure_rating"),))  # fmt: skip
    rated = f"The {name} is rated for {part.shown('pressure_rating')}"
    own = part.at("pressure_rating")
    under = case.likely(rating < cut_out, says=f"{rated}, the cut-out stands at {gauge(case, cut_out)}.",
                        parts=(part.path,), rests_on=(own,))  # fmt: skip
    relief = _relief(case, trains)
    if under.state == "holds" or relief is None:
        return under
    setting = relief.rows("set_pressure")
    assert setting is not None
    return case.likely(
        setting - room > ROUNDING * (rating - room), parts=(part.path, relief.path),
        rests_on=(own, relief.at("set_pressure")),
        says=f"{rated}, the relief valve is set to {relief.shown('set_pressure')}.",
    )  # fmt: skip


def _relief(case: Case, trains: list[int]) -> Part | None:
    """The relief valve that limits a part before the check valve, with its setting told; None where there is none."""
    there = served(case, "pump discharge", trains=list(case.trains()))
    on_pumps = [v for v in valves(case, "pump discharge") if v.rows("set_pressure") is not None]
    if on_pumps and all(there[train] == "yes" for train in trains):
        names = [case.plant.trains[train].name for train in trains]
        mine = [v for v in on_pumps if v.fact("name") in names] or on_pumps
        return mine[-1]
    on_receiver = [v for v in valves(case, "receiver") if v.rows("set_pressure") is not None]
    return on_receiver[0] if on_receiver else None


@rule(
    "part_temperature_rating", signal="danger", group="pressure boundary",
    title="A part on the hot line rated below the heat",
    why="Seals, brazed fins and hose linings fail by heat long before they fail by pressure, and then by both at once.",
    threshold="the air at the pump's outlet above the temperature that the cooler, or the hose before it, is rated "
              "for, in half of the draw at any point the settings reach",
    do="Run slower or to a lower cut-out until it is cool enough, put a length of steel or copper tube before the "
       "part, or replace it with one rated for the heat.",
)  # fmt: skip
def part_temperature_rating(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every cooler and hose."""
    for section, name in (("hot_line", "hot line"), ("cooler", "cooler")):
        for part in case.parts(section):
            if section == "hot_line" and part.fact("material") not in HOSES and not part.told("temperature_rating"):
                continue
            rating, air = part.rows("temperature_rating"), case.reach.state.trains[part.train].discharge_temperature
            if rating is None:
                yield Verdict("not told", f"What temperature the {name} is rated for is not told.", (part.path,),
                              do="Find it on the plate, print or maker's sheet and write down temperature_rating under "
                                 f"[{part.path}].", decided_by=(part.at("temperature_rating"),))  # fmt: skip
                continue

            def says(at: At, part: Part = part, name: str = name, air: Array = air) -> str:
                rated, hot = part.shown("temperature_rating"), at.show(air, kind="temperature")
                return f"The {name} is rated for {rated}, and gets air of {hot}{_when(at)}."

            yield above(case, air, rating, says=says, parts=(part.path,), rests_on=(part.at("temperature_rating"),))


def _when(at: At) -> str:
    """Words for the worst point."""
    return f" at {at.point.frequency:.3g} Hz" if len(at.case.reach.frequencies) > 1 else ""


@rule(
    "discharge_temperature", signal="warning", group="pressure boundary", title="Air too hot at the pump's outlet",
    why="Hot oil bakes to carbon in head, valves and line; carbon holds the valves open, which makes the air hotter "
        "yet, and it can catch fire.",
    threshold="more likely than not above the pump's own discharge_limit, or where none is known for sure above 205 °C "
              "(400 °F) with one stage or 177 °C (350 °F) with two: a warning; with one stage above 177 °C: a caution",
    do="Turn the pump slower, lower the cut-out, cool the head with more moving air, look for leaking valves; a pump "
       "of two stages stays cooler at these pressures.",
)  # fmt: skip
def discharge_temperature(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every pump."""
    for pump in case.parts("pump"):
        air, limits = case.reach.state.trains[pump.train].discharge_temperature, _limits(case, pump)
        shares = [float(np.max(np.mean(air > limit, axis=0))) for limit, _, _ in limits]
        passed = [place for least in (LIKELY, SELDOM) for place, share in enumerate(shares) if share >= least]
        limit, signal, rests_on = limits[passed[0] if passed else 0]

        def says(at: At, air: Array = air, limit: Array = limit) -> str:
            return (f"Air leaves the pump at {at.show(air, kind='temperature')}{_when(at)}; it should stay below "
                    f"{case.show(limit, kind='temperature')}.")  # fmt: skip

        yield above(case, air, limit, says=says, parts=(pump.path,), signal=signal, rests_on=rests_on)


def _limits(case: Case, pump: Part) -> list[tuple[Array, Signal | None, tuple[str, ...]]]:
    """Limits that count for a pump, the gravest first: each with a lower signal word and what it rests on."""
    own, stages = pump.rows("discharge_limit"), case.reach.numbers.trains[pump.train].pump.stages
    path = (pump.at("discharge_limit"),)
    general: list[tuple[Array, Signal | None, tuple[str, ...]]] = [(np.array(HOTTEST[stages]), None, ())]
    if stages == 1:
        general.append((np.array(WARM), "caution", ()))
    if own is None:
        return general
    return [(own, None, path), *general[1:]] if case.sure(path) else [*general, (own, None, path)]
