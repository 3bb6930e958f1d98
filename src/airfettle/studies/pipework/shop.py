"""The study behind ``airfettle pipes``: a network solved, its worst way taken apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.air.constants import R_DRY_AIR
from airfettle.air.nozzle import conductance_mass_flow
from airfettle.errors import BadRequest
from airfettle.plant.receiver import Receiver
from airfettle.studies.completion.whole import PlantNumbers, complete
from airfettle.studies.draw import Draw
from airfettle.studies.instant.whole import instant
from airfettle.studies.pipework.answers import LineAnswers, PlaceAnswers, ShopAnswers, Step
from airfettle.studies.pipework.from_plant import network_of
from airfettle.studies.pipework.leak import pipe_leak
from airfettle.studies.pipework.network import Network
from airfettle.studies.pipework.running import Together, limited, only_fullest, together, worst_first
from airfettle.studies.pipework.solve import Solved, solve
from airfettle.studies.rating import default_frequencies

Array = NDArray[np.float64]

MOST_SOLVED = 4_000_000
"""Rows times sets of tools times pipes that are solved for shares and costs. [-]"""
MOST_SWEEPS = 16
"""Sweeps for each of them; pipe so thin that it takes more is told by the set that is shown. [-]"""
YEAR = 365.0 * 86_400.0


@dataclass(frozen=True)
class ShopRun:
    """A shop's pipe worked out.

    Attributes
    ----------
    draw, numbers, network : Draw, PlantNumbers, Network
        The plant. [SI]
    on : ndarray
        1 where a tool runs in what is shown, shape (outlets,). [-]
    receiver_pressure : ndarray
        Absolute, shape (rows,). [Pa]
    solved : Solved
        That set, then each tool alone. [SI]
    sets : Together
        Sets of tools that can run.
    answers, places, lines : ShopAnswers, tuple of PlaceAnswers, tuple of LineAnswers
        See there. [SI]
    worst : int
        The running tool with the least left over its need, among the places. [-]
    way : tuple of Step
        From the receiver to it.
    """

    draw: Draw
    numbers: PlantNumbers
    network: Network
    on: Array
    receiver_pressure: Array
    solved: Solved
    sets: Together
    answers: ShopAnswers
    places: tuple[PlaceAnswers, ...]
    lines: tuple[LineAnswers, ...]
    worst: int
    way: tuple[Step, ...]


def shop_run(
    draw: Draw, *, running: Sequence[str] | None = None, gauge: float | None = None, shares: bool = True
) -> ShopRun:
    """Return a shop's pipe worked out.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    running : sequence of str or None
        Tools that run, by name, or by name and drop; None for all that can run at once.
    gauge : float or None
        Receiver pressure, gauge; None for each row's cut-in. [Pa]
    shares : bool
        Go through every set of tools, for shares of time and cost.

    Returns
    -------
    ShopRun
        [SI]

    Raises
    ------
    AirfettleError
        The plant has no pipe told, or a tool asked for is not there.
    """
    numbers = complete(draw)
    network = network_of(draw, numbers)
    order = worst_first(network)
    sets = together(network, seed=draw.seed) if shares else only_fullest(network, seed=draw.seed)
    on = sets.fullest[0] if running is None else limited(network, _asked(network, running), order)
    receiver = network.cut_in if gauge is None else network.barometer + gauge
    alone = np.eye(len(network.outlets))
    solved = solve(network, on=np.vstack([on, alone]), receiver_pressure=receiver)
    worst = _worst(network, solved, on)
    chances = _Chances(draw, numbers, network, sets) if shares else None
    way_lines = _way(network, solved, network.outlets[worst].node)
    lines = _lines(network, solved, way_lines, chances)
    return ShopRun(
        draw=draw, numbers=numbers, network=network, on=on, receiver_pressure=np.asarray(receiver), solved=solved,
        sets=sets, answers=_answers(draw, numbers, network, solved, on, worst, receiver, lines, chances),
        places=_places(network, solved, on, receiver, chances), lines=lines, worst=worst,
        way=_steps(network, solved, receiver, worst, way_lines),
    )  # fmt: skip


def _asked(network: Network, running: Sequence[str]) -> Array:
    wanted = np.zeros(len(network.outlets))
    uses = [use.name for use in network.uses]
    for name in running:
        found = [
            j for j, o in enumerate(network.outlets)
            if name in (o.name, uses[o.use]) or (name == network.drops[o.drop])
        ]  # fmt: skip
        if not found:
            names = dict.fromkeys((*uses, *(o.name for o in network.outlets), *network.drops))
            raise BadRequest(read=f"running {name!r}", where="--running", wanted=f"one of: {', '.join(names)}")
        wanted[found] = 1.0
    return wanted


def _worst(network: Network, solved: Solved, on: Array) -> int:
    left = np.median(solved.inlet[:, 0] - network.needed_pressure, axis=0)
    return int(np.argmin(np.where(on > 0.0, left, np.inf))) if np.any(on > 0.0) else int(np.argmin(left))


def _way(network: Network, solved: Solved, node: int) -> list[int]:
    """Pipes from the receiver to a node, in order: at each place the one that most of its air comes by, at row 0."""
    flows, found, seen = solved.flow[0, 0], [], set()
    pressure = solved.pressure[0, 0]
    while node not in network.sources and node not in seen:
        seen.add(node)
        best, other = -1, -1
        for k, line in enumerate(network.lines):
            if node in (line.start, line.end) and k not in found:
                beyond = line.start if line.end == node else line.end
                inward = flows[k] if line.end == node else -flows[k]
                if pressure[beyond] < pressure[node] or (best >= 0 and inward <= _into(network, flows, best, node)):
                    continue
                best, other = k, beyond
        if best < 0:
            break
        found.append(best)
        node = other
    return found[::-1]


def _into(network: Network, flows: Array, k: int, node: int) -> float:
    return float(flows[k] if network.lines[k].end == node else -flows[k])


def speed_in(network: Network, solved: Solved, case: int = 0) -> Array:
    """Return the speed of the air in every pipe at its lower pressure, shape (rows, pipes). [m/s]"""
    start, end = [line.start for line in network.lines], [line.end for line in network.lines]
    low = np.minimum(solved.pressure[:, case][:, start], solved.pressure[:, case][:, end])
    area = 0.25 * np.pi * network.bore**2
    return np.asarray(np.abs(solved.flow[:, case]) * R_DRY_AIR * network.temperature[:, None] / (low * area))


def _lines(
    network: Network, solved: Solved, way: list[int], chances: _Chances | None
) -> tuple[LineAnswers, ...]:  # fmt: skip
    speed, outside = speed_in(network, solved), network.barometer
    found = []
    for k, line in enumerate(network.lines):
        first, last = (solved.pressure[:, 0, n] - outside for n in (line.start, line.end))
        found.append(LineAnswers(
            name=line.name, run=line.run, pipe=line.stock.text, start=network.nodes[line.start],
            end=network.nodes[line.end], on_worst_way=k in way, fittings=line.fittings, length=network.length[:, k],
            bore=np.full(network.rows, network.bore[k]), flow=solved.flow[:, 0, k], gauge_start=first, gauge_end=last,
            lost=np.abs(first - last), speed=speed[:, k],
            loss_power=None if chances is None or chances.pipes is None else chances.pipes[:, k],
        ))  # fmt: skip
    return tuple(found)


def _steps(network: Network, solved: Solved, receiver: Array, worst: int, way: list[int]) -> tuple[Step, ...]:
    """What each part of the way to a tool loses; pieces of one run are taken together."""
    outlet = network.outlets[worst]
    pressure = solved.pressure[:, 0]
    found: list[Step] = []
    before = pressure[:, network.sources[0]]
    if np.any(network.line > 0.0):
        found.append(Step("filters and dryer behind the receiver", "treatment", receiver - before))
    grouped: dict[str, Step] = {}
    for k in way:
        line = network.lines[k]
        lost = np.abs(pressure[:, line.start] - pressure[:, line.end])
        filtered = lost * _filter_share(network, solved, k)
        name = f"run {line.run} ({line.stock.text})" if line.run else f"drop {line.name} ({line.stock.text})"
        for part, sort, some in ((name, "run" if line.run else "drop", lost - filtered),
                                 (f"filter in {name.partition(' (')[0]}", "treatment", filtered)):  # fmt: skip
            if sort != "treatment" or np.any(network.extra[:, k] > 0.0):
                before_it = grouped.get(part)
                grouped[part] = Step(part, sort, some if before_it is None else before_it.lost + some)
    found += grouped.values()
    end = pressure[:, outlet.node]
    return (*found, *_end_steps(network, solved, worst, end))


def _filter_share(network: Network, solved: Solved, k: int) -> Array:
    """Share of a pipe's fall that filters in it take, shape (rows,). [-]"""
    line, flow = network.lines[k], solved.flow[:, 0, k]
    squares = np.abs(solved.pressure[:, 0, line.start] ** 2 - solved.pressure[:, 0, line.end] ** 2)
    return np.asarray(np.minimum(network.extra[:, k] * flow**2 / np.maximum(squares, 1e-9), 1.0))


def _end_steps(network: Network, solved: Solved, worst: int, end: Array) -> list[Step]:
    """Regulator, coupler and hose of a tool."""
    found = []
    inlet, draw = solved.inlet[:, 0, worst], solved.draw[:, 0, worst]
    before = np.minimum(end, network.set_pressure[:, worst])
    if np.any(np.isfinite(network.set_pressure[:, worst])):
        found.append(Step("its regulator", "regulator", end - before))
    conductance, ratio = network.conductance[:, worst], network.critical_ratio[:, worst]
    behind = before
    if np.any(conductance > 0.0):
        low, high = np.zeros_like(before), before
        for _ in range(60):  # the pressure behind the coupler at this flow, by halving
            middle = 0.5 * (low + high)
            passes = conductance_mass_flow(
                np.maximum(conductance, 1e-30), pressure=before, downstream_pressure=middle,
                temperature=network.temperature, critical_ratio=ratio,
            )  # fmt: skip
            low, high = np.where(passes > draw, middle, low), np.where(passes > draw, high, middle)
        behind = np.where(draw > 0.0, 0.5 * (low + high), before)
        found.append(Step("its coupler", "coupler", before - behind))
    if np.any(network.hose_length[:, worst] > 0.0):
        found.append(Step("its hose", "hose", np.maximum(behind - inlet, 0.0)))
    return found


def _places(
    network: Network, solved: Solved, on: Array, receiver: Array, chances: _Chances | None
) -> tuple[PlaceAnswers, ...]:
    found, outside = [], network.barometer
    for j, outlet in enumerate(network.outlets):
        gauge, needed = solved.inlet[:, 0, j] - outside, network.needed_pressure[:, j] - outside
        found.append(PlaceAnswers(
            name=outlet.name, drop=network.drops[outlet.drop], runs=bool(on[j] > 0.0), gauge=gauge,
            lost=receiver - outside - gauge, needed=needed, margin=gauge - needed,
            alone=solved.inlet[:, 1 + j, j] - outside, flow=solved.draw[:, 0, j],
            enough_share=None if chances is None else chances.enough[:, j],
            lowest=None if chances is None else chances.lowest[:, j],
        ))  # fmt: skip
    return tuple(found)


def _answers(
    draw: Draw, numbers: PlantNumbers, network: Network, solved: Solved, on: Array, worst: int, receiver: Array,
    lines: tuple[LineAnswers, ...], chances: _Chances | None,
) -> ShopAnswers:  # fmt: skip
    outside, rows = network.barometer, network.rows
    gauge = receiver - outside
    at_tool = solved.inlet[:, 0, worst] - outside
    volumes = [s.part.volume for s in numbers.receivers if isinstance(s.part, Receiver)]
    held = np.broadcast_to(np.ravel(sum(volumes, np.zeros((1, 1, 1)))), (rows,)) if volumes else None
    leaks = np.broadcast_to(np.ravel(pipe_leak(draw, numbers, line_volume=network.volume)), (rows,))
    price = numbers.energy_price
    paid = None if price is None else np.broadcast_to(np.ravel(price), (rows,))
    power = None if chances is None else chances.whole
    opened = np.full(rows, 0.0 if chances is None else chances.sets.open_share * YEAR)
    energy = None if power is None else power * opened[: len(power)]
    none = np.zeros(rows)
    return ShopAnswers(
        receiver_gauge=gauge, worst_pressure=at_tool, total_drop=gauge - at_tool,
        delivered=_full(draw, numbers, rows)[1],
        drop_share=(gauge - at_tool) / np.maximum(gauge, 1.0), flow=solved.draw[:, 0].sum(axis=1),
        header_speed=np.max([none, *(line.speed for line in lines if line.run)], axis=0),
        drop_speed=np.max([none, *(line.speed for line in lines if not line.run)], axis=0),
        line_volume=network.volume, line_area_length=network.volume,
        line_share=None if held is None else network.volume / held, receiver_volume=held,
        leak=leaks if np.any(leaks > 0.0) else None, loss_power=power, loss_energy=energy,
        open_time=None if power is None else opened[: len(power)],
        loss_cost=None if energy is None or paid is None else energy * paid[: len(energy)],
        energy_price=None if paid is None or power is None else paid[: len(power)],
    )  # fmt: skip


class _Chances:
    """Shares of time and mean losses over every set of tools, of the first rows."""

    def __init__(self, draw: Draw, numbers: PlantNumbers, network: Network, sets: Together) -> None:
        rows = 1
        while rows < min(network.rows, 64) and 2 * rows * len(sets.on) * len(network.lines) <= MOST_SOLVED:
            rows *= 2
        self.sets = sets
        few = network.first(rows)
        solved = solve(few, on=sets.on, receiver_pressure=few.cut_in, most=MOST_SWEEPS)
        running = sets.on[None, :, :] * sets.chance[None, :, None]
        enough = solved.inlet >= few.needed_pressure[:, None, :]
        time = np.maximum(running.sum(axis=1), 1e-300)
        self.enough = (running * enough).sum(axis=1) / time
        runs = (sets.on > 0.0) & (sets.chance > 0.0)[:, None]
        self.lowest = np.min(np.where(runs[None], solved.inlet, np.inf), axis=1) - few.barometer[:, None]
        per_log = _energy_per_log(draw, numbers, few)
        start, end = [line.start for line in few.lines], [line.end for line in few.lines]
        falls = np.abs(np.log(solved.pressure[:, :, start] / solved.pressure[:, :, end])) * np.abs(solved.flow)
        self.pipes = per_log[:, None] * np.einsum("c,rck->rk", sets.chance, falls)
        source = solved.pressure[:, :, few.sources[0]]
        before = np.log(few.cut_in[:, None] / source) * solved.draw.sum(axis=2)
        nodes = [o.node for o in few.outlets]
        ends = np.log(solved.pressure[:, :, nodes] / np.maximum(solved.inlet, 1.0)) * solved.draw
        ends = np.where(np.isfinite(few.set_pressure)[:, None, :], 0.0, ends)  # a regulator's loss is wanted
        self.whole = self.pipes.sum(axis=1) + per_log * (
            np.einsum("c,rc->r", sets.chance, before) + np.einsum("c,rcj->r", sets.chance, ends)
        )


def _full(draw: Draw, numbers: PlantNumbers, rows: int) -> tuple[Array, Array]:
    """Electricity taken and air delivered at full speed and cut-in, shape (rows,). [W] [kg/s]"""
    full = default_frequencies(draw, numbers)[-1]
    state = instant(numbers, frequency=np.full((1, 1, 1), full), receiver_pressure=np.asarray(numbers.cut_in))
    power = sum(np.ravel(t.electrical_power) for t in state.trains)
    air = np.maximum(sum(np.ravel(t.delivered_dry_air) for t in state.trains), 1e-9)
    return np.asarray(np.broadcast_to(power, (rows,))), np.asarray(np.broadcast_to(air, (rows,)))


def _energy_per_log(draw: Draw, numbers: PlantNumbers, network: Network) -> Array:
    """Electricity for a kilogram of air over the logarithm of its pressure rise, at full speed and cut-in. [J/kg]"""
    power, air = _full(draw, numbers, draw.rows)
    rise = np.log(np.ravel(numbers.cut_in) / np.ravel(numbers.barometer))
    return np.asarray(np.broadcast_to(power / air / rise, (draw.rows,))[: network.rows])
