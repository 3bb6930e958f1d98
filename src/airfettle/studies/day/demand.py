"""The demand of a shop: from the uses of a plant to a script of tools going on and off.

Single runs and pauses are drawn beforehand, for each copy of each use from a stream of its own, so that another use
leaves the others' chances alone and a longer stretch of time only draws on. A queue then lets a tool wait for a person
who is free. Time is in seconds from Monday 00:00.
"""

from __future__ import annotations

from dataclasses import dataclass
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.tool import nozzle_air
from airfettle.plant.use import Use
from airfettle.quantity.clock import Hours
from airfettle.studies.compiled import jit
from airfettle.studies.draw import Draw

Array = NDArray[np.float64]
Places = NDArray[np.int64]

CLOSED, PAUSED, WAITING, RUNNING = 0, 1, 2, 3
"""What one tool is at: out of its hours, not wanted, wanted but nobody free, running."""


@dataclass(frozen=True)
class UseNumbers:
    """One use as numbers, each row one plant of the draw.

    Attributes
    ----------
    name, path : str
        What it is called, and its path in the plant, which seeds its chance. [text]
    flow : ndarray
        Air one takes at its full pressure, shape (rows,). [kg/s]
    law : str
        ``regulated``: flow times min(1, pressure / full pressure); ``choked``: conductance times absolute pressure.
    conductance : ndarray
        Air for a unit of absolute pressure at its inlet, at 20 degC, shape (rows,). [kg/(s Pa)]
    full_pressure, needed_pressure : ndarray
        Absolute pressure at its inlet that its flow is for, and lowest with which it works well, shape (rows,). [Pa]
    lost_on_the_way : ndarray
        Pressure lost from receiver to inlet while it runs, shape (rows,). [Pa]
    count : int
        How many there are. [-]
    hours : Hours
        When it may run. [s]
    on, off : ndarray or None
        Mean length of a run and of the pause after it, shape (rows,); None runs all through its hours. [s]
    spread : str
        ``fixed``, ``exponential`` or ``log-normal``.
    variation : ndarray
        Standard deviation over mean of a log-normal run or pause, shape (rows,). [-]
    people : tuple of str
        Who may use it, in the order they are asked; nobody named leaves it to all who are named anywhere.
    attended : bool
        Somebody has to be at it while it runs.
    """

    name: str
    path: str
    flow: Array
    law: str
    conductance: Array
    full_pressure: Array
    needed_pressure: Array
    lost_on_the_way: Array
    count: int
    hours: Hours
    on: Array | None
    off: Array | None
    spread: str
    variation: Array
    people: tuple[str, ...]
    attended: bool


@dataclass(frozen=True)
class Script:
    """Which tool goes on and off when, in one stretch of time.

    Attributes
    ----------
    times : ndarray
        When, rising; of equal times, what goes off comes first. [s]
    use : ndarray of int32
        Which use, by its place. [-]
    on : ndarray of int8
        1 where one more of it runs from then, -1 where one fewer. [-]
    start, length : float
        Beginning of the stretch, and how long it is; what runs at its end goes off there. [s]
    wants, runs : ndarray of int64
        How often each use was wanted, and how often it ran, shape (uses,). [-]
    waiting, running : ndarray
        Time that tools of each use waited for somebody, and ran, shape (uses,). [s]
    """

    times: Array
    use: NDArray[np.int32]
    on: NDArray[np.int8]
    start: float
    length: float
    wants: Places
    runs: Places
    waiting: Array
    running: Array

    @property
    def wanted(self) -> Array:
        """Time that tools of each use were wanted, waiting or running, shape (uses,). [s]"""
        return self.waiting + self.running


def use_numbers(draw: Draw) -> tuple[UseNumbers, ...]:
    """Return the uses of a drawn plant as numbers, those that are not there left out.

    Parameters
    ----------
    draw : Draw
        The plant drawn. [SI]

    Returns
    -------
    tuple of UseNumbers
        In the order of the file. [SI]
    """
    several = len(draw.plant.use) > 1
    found = []
    for place, use in enumerate(draw.plant.use):
        own = use.name or (str(place + 1) if several else "")
        if not use.absent:
            found.append(_numbers(use, path=f"use.{own}" if own else "use", draw=draw))
    return tuple(found)


def _numbers(use: Use[Array], *, path: str, draw: Draw) -> UseNumbers:
    def rows(value: Array) -> Array:
        return np.ascontiguousarray(np.broadcast_to(value[:, 0, 0], (draw.rows,)))

    outside, full = draw.barometer, use.at
    needed = use.pressure if use.pressure is not None else outside + use.enough_share * (full - outside)
    if use.nozzle is not None and use.discharge_coefficient is not None:
        flow = nozzle_air(
            use.nozzle, pressure=full, discharge_coefficient=use.discharge_coefficient, atmosphere=outside
        )
    else:
        assert use.air is not None
        flow = use.air
    return UseNumbers(
        name=use.name or use.tool, path=path, flow=rows(flow), law="regulated" if use.regulated == "yes" else "choked",
        conductance=rows(flow / full), full_pressure=rows(full), needed_pressure=rows(needed),
        lost_on_the_way=np.zeros(draw.rows) if use.lost_on_the_way is None else rows(use.lost_on_the_way),
        count=use.count, hours=use.hours,
        on=None if use.on is None else rows(use.on), off=None if use.off is None else rows(use.off),
        spread=use.spread, variation=np.zeros(draw.rows) if use.variation is None else rows(use.variation),
        people=tuple(dict.fromkeys(use.people)), attended=use.attended == "yes",
    )  # fmt: skip


def script_for(uses: tuple[UseNumbers, ...], *, row: int, start: float, length: float, seed: int, path: int) -> Script:
    """Return one chance of what the shop wants in a stretch of time.

    Parameters
    ----------
    uses : tuple of UseNumbers
        All uses of the plant. [SI]
    row : int
        Row of the draw whose means are taken. [-]
    start, length : float
        Beginning of the stretch from Monday 00:00, and how long it is. [s]
    seed, path : int
        Seed of all streams, and which chance of many: the same path is the same run of luck. [-]

    Returns
    -------
    Script
        Tools on and off. [SI]
    """
    windows = [use.hours.opened(start, length=length) for use in uses]
    use_of = np.repeat(np.arange(len(uses)), [use.count for use in uses]).astype(np.int64)
    copy_of = np.concatenate([np.arange(use.count) for use in uses]) if uses else use_of
    many = [_enough(uses[u], windows[u], row) for u in use_of]
    crew, heads = _crew(uses)
    queue = jit(queue_events)
    while True:
        drawn = [
            _runs(uses[u], row, (seed, path), int(copy), n) for u, copy, n in zip(use_of, copy_of, many, strict=True)
        ]
        times, use, on, counts, seconds, short = queue(
            np.concatenate([*windows, np.zeros((0, 2))]), _places(windows),
            np.concatenate([*(runs for runs, _ in drawn), np.zeros(0)]),
            np.concatenate([*(pauses for _, pauses in drawn), np.zeros(0)]), _places([runs for runs, _ in drawn]),
            use_of, np.array([use.spread == "fixed" for use in uses], dtype=np.bool_),
            np.array([use.on is None for use in uses], dtype=np.bool_), crew, heads,
        )  # fmt: skip
        if short < 0:
            return Script(times, use, on, start, length, counts[0], counts[1], seconds[0], seconds[1])
        many[short] *= 2


def _places(parts: list[Array]) -> Places:
    """Return where each part begins when they stand one behind another, and where the last ends."""
    return np.concatenate([[0], np.cumsum([len(part) for part in parts], dtype=np.int64)]).astype(np.int64)


def _enough(use: UseNumbers, windows: Array, row: int) -> int:
    """Return how many runs of one tool its hours will hardly ever hold more than; 0 where it runs all through."""
    if use.on is None or use.off is None:
        return 0
    mean = float(np.sum(windows[:, 1] - windows[:, 0])) / float(use.on[row] + use.off[row])
    scatter = max(1.0, float(use.variation[row]))
    return int(mean + 6.0 * scatter * np.sqrt(mean)) + len(windows) + 8


def _runs(use: UseNumbers, row: int, chance: tuple[int, int], copy: int, many: int) -> tuple[Array, Array]:
    """Return the lengths of the runs of one tool and of its pauses, each of a stream of its own. [s]"""
    if use.on is None or use.off is None:
        return np.zeros(0), np.zeros(0)
    lengths = []
    for which, mean in enumerate((use.on, use.off)):
        key = [part % (1 << 63) for part in (*chance, crc32(use.path.encode()), copy, which)]
        stream = np.random.Generator(np.random.PCG64(np.random.SeedSequence(key)))
        lengths.append(mean[row] * _over_mean(stream, many, spread=use.spread, variation=float(use.variation[row])))
    return lengths[0], lengths[1]


def _over_mean(stream: np.random.Generator, many: int, *, spread: str, variation: float) -> Array:
    """Return lengths over their mean; more of them begin with the same. [-]"""
    if spread == "fixed":
        return np.ones(many)
    if spread == "exponential":
        return stream.standard_exponential(many)
    width = np.sqrt(np.log1p(variation * variation))
    return np.asarray(np.exp(width * stream.standard_normal(many) - 0.5 * width * width))


def _crew(uses: tuple[UseNumbers, ...]) -> tuple[Places, int]:
    """Return who is asked for each use, in order and padded with -1, and how many people there are."""
    everybody = list(dict.fromkeys(name for use in uses for name in use.people))
    crew = np.full((len(uses), max(1, len(everybody))), -1, dtype=np.int64)
    for place, use in enumerate(uses):
        asked = (use.people or everybody) if use.attended else ()
        crew[place, : len(asked)] = [everybody.index(name) for name in asked]
    return crew, len(everybody)


def queue_events(
    windows: Array,
    first_window: Places,
    runs: Array,
    pauses: Array,
    first_run: Places,
    use: Places,
    at_once: NDArray[np.bool_],
    through: NDArray[np.bool_],
    crew: Places,
    heads: int,
) -> tuple[Array, NDArray[np.int32], NDArray[np.int8], Places, Array, int]:
    """Return when tools go on and off; plain loops, for the compiler.

    Parameters
    ----------
    windows : ndarray
        Opening and closing of each use's hours, one use behind another, shape (windows, 2). [s]
    first_window : ndarray of int
        Where the windows of each use begin, and where the last end, shape (uses + 1,). [-]
    runs, pauses : ndarray
        Lengths of runs and pauses, one tool behind another. [s]
    first_run : ndarray of int
        Where those of each tool begin, and where the last end, shape (tools + 1,). [-]
    use : ndarray of int
        Which use a tool is of, shape (tools,). [-]
    at_once, through : ndarray of bool
        Whether the first run of a window begins with it, and whether it lasts all through, shape (uses,). [-]
    crew : ndarray of int
        Who is asked for each use, in order and padded with -1; all -1 needs nobody, shape (uses, most). [-]
    heads : int
        How many people there are. [-]

    Returns
    -------
    tuple
        Times [s]; use, and 1 or -1, of each event; wants and runs, shape (2, uses); waiting and running, shape
        (2, uses) [s]; the tool that had too few runs drawn, or -1 [-].

    Notes
    -----
    At each time first what ends, then what is wanted, then whoever is free takes the tool that has waited longest, of
    equals the one that stands first in the file.
    """
    tools, most = len(use), 2 * (len(runs) + len(use) * len(windows))
    times, which, on, made = np.empty(most), np.empty(most, np.int32), np.empty(most, np.int8), 0
    counts, seconds = np.zeros((2, len(through)), np.int64), np.zeros((2, len(through)))
    state, helper, free = np.zeros(tools, np.int64), np.full(tools, -1), np.ones(heads, np.bool_)
    since, following = np.zeros(tools), np.full(tools, np.inf)
    window, run, pause = first_window[use], first_run[:-1].copy(), first_run[:-1].copy()
    for tool in range(tools):
        if window[tool] < first_window[use[tool] + 1]:
            following[tool] = windows[window[tool], 0]
    waiting = 0
    while True:
        now = np.inf
        for tool in range(tools):
            now = min(now, following[tool])
        if now == np.inf:
            return times[:made], which[:made], on[:made], counts, seconds, -1
        for tool in range(tools):  # what ends
            if following[tool] > now or state[tool] == CLOSED:
                continue
            kind, closing = use[tool], windows[window[tool], 1]
            if state[tool] == PAUSED and now < closing:
                continue
            if state[tool] == RUNNING:
                times[made], which[made], on[made], made = now, kind, -1, made + 1
                seconds[1, kind] += now - since[tool]
                if helper[tool] >= 0:
                    free[helper[tool]] = True
            elif state[tool] == WAITING:
                seconds[0, kind] += now - since[tool]
                waiting -= 1
            if now >= closing:
                state[tool] = CLOSED
                window[tool] += 1
                following[tool] = windows[window[tool], 0] if window[tool] < first_window[kind + 1] else np.inf
            else:
                if pause[tool] == first_run[tool + 1]:
                    return times[:0], which[:0], on[:0], counts, seconds, tool
                state[tool] = PAUSED
                following[tool] = min(now + pauses[pause[tool]], closing)
                pause[tool] += 1
        for tool in range(tools):  # what is wanted
            if following[tool] > now:
                continue
            kind, closing = use[tool], windows[window[tool], 1]
            if state[tool] == CLOSED and not (at_once[kind] or through[kind]):
                if pause[tool] == first_run[tool + 1]:
                    return times[:0], which[:0], on[:0], counts, seconds, tool
                following[tool] = min(now + pauses[pause[tool]], closing)
                pause[tool] += 1
                state[tool] = PAUSED
                if following[tool] > now:
                    continue
            state[tool], since[tool], following[tool] = WAITING, now, closing
            counts[0, kind] += 1
            waiting += 1
        while waiting > 0:  # who takes it
            chosen, taker = -1, -1
            for tool in range(tools):
                if state[tool] == WAITING and (chosen < 0 or since[tool] < since[chosen]):
                    somebody = -1
                    for asked in crew[use[tool]]:
                        if asked >= 0 and free[asked]:
                            somebody = asked
                            break
                    if somebody >= 0 or crew[use[tool], 0] < 0:
                        chosen, taker = tool, somebody
            if chosen < 0:
                break
            kind = use[chosen]
            if not through[kind]:
                if run[chosen] == first_run[chosen + 1]:
                    return times[:0], which[:0], on[:0], counts, seconds, chosen
                following[chosen] = min(now + runs[run[chosen]], following[chosen])
                run[chosen] += 1
            if taker >= 0:
                free[taker] = False
            helper[chosen] = taker
            seconds[0, kind] += now - since[chosen]
            state[chosen], since[chosen] = RUNNING, now
            times[made], which[made], on[made], made = now, kind, 1, made + 1
            counts[1, kind] += 1
            waiting -= 1
