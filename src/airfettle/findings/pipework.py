"""Rules about the shop's pipe as a network: pressure at the tools, what is lost on the way, speed, and warm pipe.

They speak only where the plant tells runs, drops and the tools that hang there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.findings.case import Case, Part, Verdict
from airfettle.findings.finding import LIKELY, SELDOM
from airfettle.findings.pipe_parts import HOSE, NAMED, called, listed, runs_of
from airfettle.findings.rule import rule
from airfettle.parts.pipe_stock import Stock, larger
from airfettle.quantity.kinds import FOOT, INCH
from airfettle.studies.pipework.shop import ShopRun, speed_in
from airfettle.studies.pipework.solve import Solved, solve

Array = NDArray[np.float64]

MOST_LOST = 0.10
"""Share of the receiver's gauge pressure that may be lost up to a tool. [-]  Source: cac-drop."""
LONG_RUN, OFTEN = 5.0, 0.05
"""Length of a run, and share of its time, from which a pipe should be wide enough for a tool. [s] [-]"""
MOST_SETS = 6
"""Sets of tools that run at once that are looked at; tools in none of them are looked at alone. [-]"""
WORTH_TELLING = 0.02
"""Share of what is lost from which a part of the way is named. [-]"""
HEADER, BRANCH = 6.0, 9.0
"""Fastest air in a run and in a drop. [m/s]  Source: pipe-speeds (20 and 30 ft/s)."""
STRAIGHT, GROWTH = 15.0, 0.010
"""Length of straight pipe from which it is asked how much it grows, and how much is let be. [m]  Source: practice."""


@dataclass(frozen=True)
class Running:
    """A network with sets of tools that can run at once.

    Attributes
    ----------
    run : ShopRun
        The shop's pipe.
    on : ndarray
        1 where a tool runs, shape (sets, outlets). [-]
    solved : Solved
        Those sets, receiver at cut-in. [SI]
    """

    run: ShopRun
    on: Array
    solved: Solved

    @property
    def judged(self) -> list[int]:
        """Tools that run in any of the sets. [-]"""
        return [int(j) for j in np.flatnonzero(self.on.any(axis=0))]

    def tool(self, j: int) -> str:
        """Return a tool with its drop, in words."""
        place = self.run.places[j]
        return place.name if place.drop in place.name else f"{place.name} (drop {place.drop})"

    def drop(self, j: int) -> str:
        """Return the path of the drop at which a tool hangs."""
        return f"shop_pipe.drops.{self.run.places[j].drop}"

    def named(self, share: Array) -> list[int]:
        """Return what to name of all that holds in a share of the draw: what is likely, else what may be. [-]"""
        least = LIKELY if np.max(share, initial=0.0) >= LIKELY else SELDOM
        return [int(j) for j in np.flatnonzero(share >= least)]


def running(run: ShopRun, kept: Array) -> Running | None:
    """Return sets of some of the tools that can run at once, full and few, in which each of them runs once and more.

    Parameters
    ----------
    run : ShopRun
        The shop's pipe.
    kept : ndarray
        1 for tools that count, shape (outlets,). [-]

    Returns
    -------
    Running or None
        None where no tool counts. [SI]
    """
    full = np.vstack([run.on, run.sets.fullest]) * kept
    sets: list[Array] = []
    left = kept > 0.0
    while left.any() and len(sets) < MOST_SETS:  # the set with most of the tools that are not in one yet
        new = np.sum((full > 0.0) & left, axis=1)
        best = int(np.argmax(new))
        if not new[best]:
            break
        sets.append(full[best])
        left &= full[best] == 0.0
    sets += [np.eye(len(kept))[j] for j in np.flatnonzero(left)]
    if not sets:
        return None
    on = np.array(sets)
    return Running(run, on, solve(run.network, on=on, receiver_pressure=run.receiver_pressure))


def steady(run: ShopRun) -> Array:
    """Return 1 for tools that run long and often enough for the pipe to be judged by, shape (outlets,). [-]"""
    found = []
    for outlet in run.network.outlets:
        use = run.network.uses[outlet.use]
        if use.on is None or use.off is None:
            found.append(1.0)
            continue
        on, off = (float(np.median(time)) for time in (use.on, use.off))
        found.append(float(on >= LONG_RUN and on >= OFTEN * (on + off)))
    return np.array(found)


@rule(
    "tool_short_of_pressure", signal="caution", group="air quality and piping",
    title="A tool short of pressure at its inlet",
    why="A tool short of pressure works slower and worse, and somebody turns the cut-out up, which pump, motor and "
        "every leak pay for, while the pipe, coupler or hose that is to blame stays as it is.",
    threshold="less pressure at a tool's inlet than it needs, with the receiver at cut-in and all tools running that "
              "people and tools are there for, short bursts counted too, in half of the draw",
    do="Widen what loses most on its way: a coupler of the next kind or a shorter, wider hose is cheap; then the drop, "
       "then the run. airfettle pipes shows what each part of the way loses.",
    sources=("airfettle-pipes", "practice"),
)  # fmt: skip
def tool_short_of_pressure(case: Case) -> Iterator[Verdict]:
    """Yield one verdict for all tools."""
    run = case.pipes
    at_once = None if run is None else running(run, np.ones(len(run.network.outlets)))
    if run is None or at_once is None:
        return
    inlet = np.where(at_once.on[None] > 0.0, at_once.solved.inlet, np.inf).min(axis=1)
    left = np.asarray(inlet - run.network.needed_pressure)
    share = np.mean(left < 0.0, axis=0)
    order = [int(j) for j in np.lexsort((np.median(left, axis=0), -share))]
    short = [j for j in order if j in at_once.named(share)]
    worst = order[0]
    gets = case.show(inlet[:, worst] - run.network.barometer, kind="pressure")
    says = (
        f"With the receiver at {case.show(run.answers.receiver_gauge, kind='pressure')} and all running that can at "
        f"once, {at_once.tool(worst)} gets {gets} and needs {case.show(run.places[worst].needed, kind='pressure')}"
        f"{_most_lost(case, run, worst)}."
    )
    if share[worst] >= LIKELY:
        alone = run.places[worst].alone
        enough = np.mean(alone >= run.places[worst].needed) >= LIKELY
        says += f" {'Alone it gets' if enough else 'Even alone it gets only'} {case.show(alone, kind='pressure')}."
    if short[1:] and share[worst] >= LIKELY:
        more = [f"{at_once.tool(j)} by {case.show(-left[:, j], kind='pressure_difference')}" for j in short[1:]]
        says += f" Also short: {listed(more)}."
    elif short[1:]:
        says += f" May be short too: {listed([at_once.tool(j) for j in short[1:]])}."
    paths = tuple(dict.fromkeys(at_once.drop(j) for j in short))
    yield case.likely(left[:, worst] < 0.0, says=says, parts=("shop_pipe", *paths))


def _most_lost(case: Case, run: ShopRun, tool: int) -> str:
    """What loses most on the way to the tool worst off, in words; of others the way is not known."""
    if tool != run.worst or not run.way:
        return ""
    step = max((each for each in run.way if each.sort != "regulator"), key=lambda step: float(np.median(step.lost)))
    return f"; most is lost in {step.name}, {case.show(step.lost, kind='pressure_difference')}"


@rule(
    "pipe_drop", signal="caution", group="air quality and piping", title="Much pressure lost on the way to the tools",
    why="What is lost on the way has been paid for at the pump: a cut-out higher by 1 bar (14 psi) costs about 7 % "
        "more electricity, and heats and wears the pump.",
    threshold="more than 10 % of the receiver's gauge pressure lost up to the inlet of a tool that runs 5 s and more "
              "at a time and 5 % and more of its hours, receiver at cut-in, all such tools running that can at once, "
              "in half of the draw; what a regulator takes away is not counted",
    do="Widen what loses most: coupler and hose first, then the drop, then the run; close a line to a ring; clean or "
       "enlarge the filters.",
    sources=("cac-drop", "airfettle-pipes"),
)  # fmt: skip
def pipe_drop(case: Case) -> Iterator[Verdict]:
    """Yield one verdict for all tools that run long and often."""
    run = case.pipes
    at_once = None if run is None else running(run, steady(run))
    if run is None or at_once is None:
        return
    net, solved = run.network, at_once.solved
    end = solved.pressure[:, :, [outlet.node for outlet in net.outlets]]
    before = np.minimum(end, net.set_pressure[:, None, :])
    receiver = run.receiver_pressure[:, None, None]
    treated = np.broadcast_to(receiver - solved.pressure[:, :, [net.sources[0]]], end.shape)
    parts = {"filters and dryer": treated, "pipe": receiver - treated - end, "coupler and hose": before - solved.inlet}
    lost = np.where(at_once.on[None] > 0.0, np.sum(list(parts.values()), axis=0), 0.0)
    share = lost / (receiver - net.barometer[:, None, None])
    typical = np.median(share, axis=0)
    most = {j: int(np.argmax(typical[:, j])) for j in at_once.judged}
    worst = max(most, key=lambda j: float(typical[most[j], j]))
    breach = np.stack([share[:, most.get(j, 0), j] > MOST_LOST for j in range(len(net.outlets))], axis=1)
    over = sorted(at_once.named(breach.mean(axis=0)), key=lambda j: -float(typical[most.get(j, 0), j]))
    there = most[worst]
    shares = [
        f"{case.show(rows[:, there, worst], kind='pressure_difference')} in {name}"
        for name, rows in parts.items()
        if np.median(rows[:, there, worst]) > WORTH_TELLING * np.median(lost[:, there, worst])
    ]  # fmt: skip
    says = (
        f"With the receiver at {case.show(run.answers.receiver_gauge, kind='pressure')}, "
        f"{case.show(lost[:, there, worst], kind='pressure_difference')} or "
        f"{case.show(share[:, there, worst], kind='fraction')} of it is lost on the way to {at_once.tool(worst)}, "
        "counting tools that run 5 s and more at a time and a twentieth of their hours: "
        f"{listed(shares)}."
    )
    more = [f"{at_once.tool(j)} {case.show(share[:, most[j], j], kind='fraction')}" for j in over if j != worst]
    says += f" Also: {listed(more)}." if more else ""
    paths = tuple(dict.fromkeys(at_once.drop(j) for j in over))
    yield case.likely(breach[:, worst], says=says, parts=("shop_pipe", *paths))


@rule(
    "pipe_speed", signal="caution", group="air quality and piping", title="Air too fast in a pipe",
    why="Fast air carries water past drains and branches instead of letting it fall out, and loses pressure with the "
        "square of its speed: the next tool on that run starves the first.",
    threshold="air faster than 6 m/s (20 ft/s) in a run, or 9 m/s (30 ft/s) in a drop, with the receiver at cut-in "
              "and all tools running that run 5 s and more at a time and 5 % and more of their hours, as far as they "
              "can at once, in half of the draw",
    do="Lay the size named, or close the line to a ring so that air comes from both sides. airfettle pipes size finds "
       "the cheapest sizes that work.",
    sources=("pipe-speeds", "airfettle-pipes"),
)  # fmt: skip
def pipe_speed(case: Case) -> Iterator[Verdict]:
    """Yield one verdict for all runs and drops."""
    run = case.pipes
    at_once = None if run is None else running(run, steady(run))
    if run is None or at_once is None:
        return
    lines = run.network.lines
    speeds = np.stack([speed_in(run.network, at_once.solved, each) for each in range(len(at_once.on))])
    speed = speeds.max(axis=0)
    limit = np.array([HEADER if line.run else BRANCH for line in lines])
    share, times = np.mean(speed > limit, axis=0), np.median(speed, axis=0) / limit
    fastest: dict[str, int] = {}
    for k in np.argsort(-times):  # of the pieces of a run, the fastest speaks for it
        fastest.setdefault(_path(lines[k].run, lines[k].name), int(k))
    named = at_once.named(share)
    worst = max(fastest.values(), key=lambda k: (float(share[k]), float(times[k])))
    over = [k for k in fastest.values() if k in named]
    words = [_fast(case, run, k, speed[:, k], float(limit[k])) for k in over[:NAMED]]
    rest = [lines[k].run or lines[k].name for k in over[NAMED:]]
    words += [f"Also too fast: {listed(rest)}."] if rest else []
    paths = tuple(path for path, k in fastest.items() if k in over)
    yield case.likely(speed[:, worst] > limit[worst], says=" ".join(words), parts=("shop_pipe", *paths))


def _path(run: str, name: str) -> str:
    return f"shop_pipe.runs.{run}" if run else f"shop_pipe.drops.{name}"


def _fast(case: Case, run: ShopRun, k: int, speed: Array, limit: float) -> str:
    """One run or drop that is too fast, and the size that would do, in words."""
    line = run.network.lines[k]
    name = f"Run {line.run}" if line.run else f"Drop {line.name}"
    between = f", {line.name}" if line.run and line.name != line.run else ""
    now, most = (_in(case, rows, us=("ft/s", FOOT), si=("m/s", 1.0)) for rows in (speed, np.array(limit)))
    return (
        f"{name} ({line.stock.text}{between}): {now} where {most} is the most; "
        f"{_wide_enough(line.stock, float(np.median(speed)), limit)}."
    )


def _wide_enough(stock: Stock, speed: float, limit: float) -> str:
    """Smallest larger size in which the same air is slow enough, in words."""
    if stock.refused:
        return "not pipe for compressed air: replace it"
    wider = larger(stock)
    while wider is not None:
        if speed * (stock.bore / wider.bore) ** 2 <= limit:
            return f"{wider.text} would do"
        wider = larger(wider)
    return "no larger size of it would do: lay a second pipe beside it"


@rule(
    "pipe_expands", signal="notice", group="air quality and piping", title="A long straight pipe with no room to grow",
    why="A pipe is longer in summer than in winter; held fast at both ends it bows, works its joints loose and pulls "
        "on drops and hangers.",
    threshold="a run of more than 15 m (50 ft) with no elbow in it that grows by more than 10 mm (3/8 in) from the "
              "coldest told, or else the coldest the room gets, to the warmest of room and air in the line",
    do="Leave an elbow with a free leg, a loop or a short hose in it, and hang it so that it can slide; let drops "
       "leave it where it stands still.",
    sources=("physics", "practice"),
)  # fmt: skip
def pipe_expands(case: Case) -> Iterator[Verdict]:
    """Yield a verdict for every long run without an elbow."""
    run = case.pipes
    if run is None:
        return
    for part in case.parts("shop_pipe"):
        for each in runs_of(part):
            verdict = _grows(case, run, part, each)
            if verdict is not None:
                yield verdict


def _grows(case: Case, run: ShopRun, part: Part, each: Part) -> Verdict | None:
    pieces = [k for k, line in enumerate(run.network.lines) if line.run == each.fact("name")]
    length = np.asarray(run.network.length[:, pieces].sum(axis=1))
    stock = run.network.lines[pieces[0]].stock
    bent = any("elbow" in run.network.lines[k].fittings or "bend" in run.network.lines[k].fittings for k in pieces)
    if bent or np.median(length) <= STRAIGHT or stock.family == HOSE:
        return None
    told = next((rows for where in (each, part) if (rows := where.rows("coldest")) is not None), None)
    cold = np.percentile(run.network.temperature, 5.0) if told is None else np.ravel(told)
    warmest = np.maximum(case.reach.state.path.line_temperature, case.reach.numbers.room_temperature).max(axis=(1, 2))
    warm = np.percentile(warmest, 95.0)
    growth = np.asarray(stock.expansion * length * np.maximum(warm - cold, 0.0))
    long = _in(case, length, us=("ft", FOOT), si=("m", 1.0))
    more = _in(case, growth, us=("in", INCH), si=("mm", 1e-3))
    ends = " to ".join(case.show(np.asarray(end), kind="temperature") for end in (cold, warm))
    return case.likely(
        growth > GROWTH, parts=(each.path,),
        says=f"{called(each).capitalize()} ({stock.text}), {long} without an elbow, grows by {more} from {ends}.",
    )  # fmt: skip


def _in(case: Case, rows: Array, *, us: tuple[str, float], si: tuple[str, float]) -> str:
    """Nine tenths of some numbers in the unit of the two that this owner would use for a pipe. [SI]"""
    unit, size = us if case.units == "US" else si
    low, high = (f"{float(f'{end / size:.2g}'):g}" for end in np.percentile(rows, [5.0, 95.0]))
    return f"{low if low == high else f'{low}..{high}'} {unit}"
