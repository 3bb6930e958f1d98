"""What the kernel is told: one row of a plant, its control, its tools, and what is booked, as plain arrays.

Each is a named tuple here, and a record of fixed shape for the kernel: a record is handed on as one address, so that
the same compiled code serves every plant.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Whole = NDArray[np.int64]


OUTPUTS = (
    "log_flow", "cooler_outlet", "wall_heat", "electrical_power", "log_wall_conductance", "discharge_temperature",
    "winding_temperature", "log_interstage_flow", "log_interstage_saturation", "drop_to_receiver", "caught_share",
    "pump_speed", "log_dried_humidity",
)  # fmt: skip
"""What is fitted, in the order of the coefficients: those used at every stage of a step first."""
OFTEN = 5
(LOG_FLOW, COOLER_OUT, WALL_HEAT, POWER, LOG_CONDUCTANCE, DISCHARGE, WINDING, LOG_INTERSTAGE, LOG_SATURATION, DROP,
 CAUGHT, PUMP_SPEED, LOG_DRIED) = range(len(OUTPUTS))  # fmt: skip


class Machine(NamedTuple):
    """One row of a plant: fits and slow numbers.

    Attributes
    ----------
    trains, parts, frequency_nodes : int
        Trains, ranges of frequency, and nodes over each. [-]
    coefficients : ndarray
        (mode, train, pressure range, frequency range, output, wall, frequency, pressure), see ``fits``. [SI]
    pressure_ends, wall_ends, frequency_ends : ndarray
        Ends of the ranges of the fits: (3,) [Pa], (train, 2) [K], (frequency range, 2) [Hz].
    saturation : ndarray
        See ``saturation``. [ln Pa]
    volume, film, room_conductance, wall_capacity : float
        Of the receivers together: [m3], inside film times surface [W/K], to the room [W/K], steel [J/K].
    room, barometer, humidity, warmest_dew : float
        Room [K], air pressure [Pa], water in the air drawn in [-], its dew point at the highest cut-out [K].
    dries : int
        1 with a dryer before the receiver.
    gas_steps : float
        Longest step with a pump running, over the time in which the receiver's air follows its wall. [-]
    pump_capacity, still_conductance, crankcase_place, crankcase_lag : ndarray
        Heat capacity of head and cylinders [J/K], their conductance at rest [W/K], place [-] and lag [s] of the
        crankcase, each (train,).
    cooler_lag : ndarray
        Of the cooler's metal with its fan running and still, (train, 2). [s]
    fan_run_on, fan_power : ndarray
        Each (train,). [s] [W]
    line_volume : ndarray
        Emptied at each stop, (train,). [m3]
    winding_lag : ndarray
        Turning and standing, (train, 2). [s]
    """

    trains: int
    parts: int
    frequency_nodes: int
    coefficients: Array
    pressure_ends: Array
    wall_ends: Array
    frequency_ends: Array
    saturation: Array
    volume: float
    film: float
    room_conductance: float
    wall_capacity: float
    room: float
    barometer: float
    humidity: float
    warmest_dew: float
    dries: int
    gas_steps: float
    pump_capacity: Array
    still_conductance: Array
    crankcase_place: Array
    crankcase_lag: Array
    cooler_lag: Array
    fan_run_on: Array
    fan_power: Array
    line_volume: Array
    winding_lag: Array


class Settings(NamedTuple):
    """How the plant is controlled.

    Attributes
    ----------
    scheme : int
        PRESET, STEPS or PRESSURE.
    full, quiet : int
        Frequency range of full and quiet speed; of no meaning under PRESSURE.
    lowest, highest, highest_quiet : float
        Ends of the frequency under PRESSURE. [Hz]
    cut_in, cut_out : ndarray
        Of each train, absolute. [Pa]
    full_below, held : float
        Absolute. [Pa]
    gain, reset : float
        [Hz/Pa] [s]
    idle_time, minimum_off, most_starts : float
        [s] [s], and starts in an hour; 0 for none. [-]
    drain_every, drain_air : float
        Time between openings of a timed drain, 0 for none [s]; choked mass flow per pressure times opening [kg/Pa].
    """

    scheme: int
    full: int
    quiet: int
    lowest: float
    highest: float
    highest_quiet: float
    cut_in: Array
    cut_out: Array
    full_below: float
    held: float
    gain: float
    reset: float
    idle_time: float
    minimum_off: float
    most_starts: float
    drain_every: float
    drain_air: float


class Tools(NamedTuple):
    """What draws air.

    Attributes
    ----------
    many : int
        Kinds of tools. [-]
    regulated : ndarray
        Flow of each tool at its full inlet pressure; 0 for one that follows the pressure. [kg/s]
    choked : ndarray
        Flow per absolute pressure of each tool without a regulator; 0 for the others. [kg/(s Pa)]
    full_at, needs : ndarray
        Inlet pressure of full flow, and of good work, with what is lost on the way, absolute. [Pa]
    piped : int
        1 where the shop's pipe is told: receiver pressures of full flow and good work then stand in ``full_of`` and
        ``needs_of`` for every set of tools that runs. [-]
    line_drop : float
        Drop of filters and dryer times pressure over flow squared. [Pa2 s2/kg2]
    steady : float
        Leaks and purge, flow per absolute pressure. [kg/(s Pa)]
    most : float
        All of them together at their full pressure. [kg/s]
    times, codes, on : ndarray
        The script: when [s], which tool (one past the last: the plant switched on; two past: quiet hours), 1 for one
        more or on, -1 for one fewer or off.
    which : ndarray
        Set of tools that runs after each line of the script, a line of the next two; the first set is none. [-]
    full_of, needs_of : ndarray
        Absolute receiver pressures of full flow and good work, shape (sets, tools). [Pa]
    begin, end : float
        [s from Monday 00:00]
    """

    many: int
    regulated: Array
    choked: Array
    full_at: Array
    needs: Array
    piped: int
    line_drop: float
    steady: float
    most: float
    times: Array
    codes: Whole
    on: Whole
    which: Whole
    full_of: Array
    needs_of: Array
    begin: float
    end: float


class Books(NamedTuple):
    """What a run writes down; arrays are filled in place.

    Attributes
    ----------
    totals : ndarray
        By TOTALS. [SI]
    of_train : ndarray
        (train, OF_TRAIN). [SI]
    of_tool : ndarray
        (tool, OF_TOOL). [SI]
    of_hour : ndarray
        (24, OF_HOUR), by hour of the day. [SI]
    at_speed : ndarray
        (train, bin): time running loaded by frequency. [s]
    at_flow : ndarray
        (bin, AT_FLOW), by flow out of the receiver. [SI]
    shortages : ndarray
        (n, 3): begin, end [s] and the tools that ran, as bits.
    trace : ndarray
        (n, TRACE); of length 0 for none. [SI]
    """

    totals: Array
    of_train: Array
    of_tool: Array
    of_hour: Array
    at_speed: Array
    at_flow: Array
    shortages: Array
    trace: Array


class Condition(NamedTuple):
    """Everything that changes while a plant runs; arrays are changed in place.

    Attributes
    ----------
    air : ndarray
        By AIR: pressure, dry air, receiver wall, integral of the speed control, humidity, liquid. [SI]
    walls, crankcase, winding, warmth : ndarray
        Of each train: head, crankcase, winding [K], cooler metal as a share of its steady warmth [-].
    states, until, stopped, begun, fan_until : ndarray
        Of each train: what it does, when that ends by itself, when it stopped and began last, when its fan stops. [s]
    recent, counts : ndarray
        Times of its last starts, (train, 512) [s], and how many there were.
    active, short, throttled : ndarray
        Of each tool: how many run, whether it has too little pressure, whether it draws less than its full flow.
    full_at, needs : ndarray
        Of each tool: receiver pressure of full flow and of good work, now. [Pa]
    switches : ndarray
        By SWITCHES.
    read_mode, read_zone, read_part, read_wall : ndarray
        Of each train: where ``work`` was read.
    work : ndarray
        Fits at the walls' present warmth: (train, frequency range, output, frequency, pressure).
    slopes : ndarray
        Of the stages of a step, see ``rates``: (stage, 10 + trains).
    new, at, warm, draw, wet : ndarray
        State after a step and at a stage of it; warmth of coolers at the stages and in the middle, and in the last
        column how long after the middle each stage stands [s]; what the tools draw; and the water of a step.
    leans : ndarray
        How logarithm of the flow and cooler outlet change with time because the walls do, (train, 2). [1/s] [K/s]
    """

    air: Array
    walls: Array
    crankcase: Array
    winding: Array
    warmth: Array
    states: Whole
    until: Array
    stopped: Array
    begun: Array
    fan_until: Array
    recent: Array
    counts: Whole
    active: Whole
    short: Whole
    throttled: Whole
    full_at: Array
    needs: Array
    switches: Whole
    read_mode: Whole
    read_zone: Whole
    read_part: Whole
    read_wall: Array
    work: Array
    slopes: Array
    new: Array
    at: Array
    warm: Array
    draw: Array
    wet: Array
    leans: Array


AIR = ("pressure", "dry_air", "wall", "integral", "humidity", "liquid")
SWITCHES = ("switched_on", "quiet_hours", "boosted", "zone", "clamp", "integral_held", "part")
TOTALS = (
    "energy", "air_in", "air_out", "heat_in", "heat_out", "room_heat", "drained_air", "vented_air", "water_between",
    "water_caught", "water_carried", "water_condensed", "vapour_in", "vapour_out", "short_time", "longest_short",
    "longest_at", "longest_tools", "lowest_pressure", "pressure_time", "on_time", "shortages", "steps", "events",
    "trace_rows", "fan_energy", "most_water", "begin_energy", "begin_vapour", "end_energy", "end_vapour",
)  # fmt: skip
(ENERGY, AIR_IN, AIR_OUT, HEAT_IN, HEAT_OUT, ROOM_HEAT, DRAINED_AIR, VENTED_AIR, WATER_BETWEEN, WATER_CAUGHT,
 WATER_CARRIED, WATER_CONDENSED, VAPOUR_IN, VAPOUR_OUT, SHORT_TIME, LONGEST_SHORT, LONGEST_AT, LONGEST_TOOLS,
 LOWEST_PRESSURE, PRESSURE_TIME, ON_TIME, SHORTAGES, STEPS_TAKEN, EVENTS, TRACE_ROWS, FAN_ENERGY, MOST_WATER,
 BEGIN_ENERGY, BEGIN_VAPOUR, END_ENERGY, END_VAPOUR) = range(len(TOTALS))  # fmt: skip
OF_TRAIN = (
    "loaded", "idle", "filling", "starts", "worst_starts", "energy", "turns", "quiet", "cold", "hottest_air",
    "hottest_wall", "hottest_winding", "warmest_crankcase", "hottest_cooler", "shortest_off", "shortest_run", "flow",
)  # fmt: skip
(LOADED, IDLE, FILL_TIME, STARTS, WORST_STARTS, TRAIN_ENERGY, TURNS, QUIET, COLD_TIME, HOTTEST_AIR, HOTTEST_WALL,
 HOTTEST_WINDING, WARMEST_CRANKCASE, HOTTEST_COOLER, SHORTEST_OFF, SHORTEST_RUN,
 TRAIN_FLOW) = range(len(OF_TRAIN))  # fmt: skip
OF_TOOL = ("on", "short", "air", "air_while_short", "starts")
TOOL_ON, TOOL_SHORT, TOOL_AIR, TOOL_AIR_SHORT, TOOL_STARTS = range(len(OF_TOOL))
OF_HOUR = ("starts", "loaded", "energy", "air_out", "short", "water")
HOUR_STARTS, HOUR_LOADED, HOUR_ENERGY, HOUR_AIR, HOUR_SHORT, HOUR_WATER = range(len(OF_HOUR))
AT_FLOW = ("time", "air", "vapour", "temperature", "pressure")
TRACE = (
    "time", "pressure", "gas_temperature", "wall_temperature", "pump_wall", "frequency", "running", "power", "air_in",
    "air_out", "humidity_ratio", "liquid", "crankcase", "winding", "cooler_air", "discharge",
)  # fmt: skip
SPEED_BINS, FLOW_BINS = 16, 24
PRESET, STEPS, PRESSURE = 0, 1, 2
MOST_TOOLS = 52
"""Tools and copies of them in one plant: as many bits as a float keeps whole. [-]"""


FREQUENCIES, PRESSURES, WALLS, PARTS = 6, 9, 4, 2
"""Nodes of frequency, pressure and warmth of the walls, and ranges of frequency. [-]"""
STAGES = 6
"""Stages of a step. [-]"""
MOST_TRAINS = 4
"""Trains in one plant. [-]"""
RING = 256
"""Starts remembered of each train. [-]"""
_PER_TRAIN = (
    "pump_capacity", "still_conductance", "crankcase_place", "crankcase_lag", "fan_run_on", "fan_power", "line_volume",
)  # fmt: skip
_SHAPES: dict[str, tuple[int, ...]] = {
    **dict.fromkeys((*_PER_TRAIN, "cut_in", "cut_out", "walls", "crankcase", "winding", "warmth", "states", "until",
                     "stopped", "begun", "fan_until", "counts", "read_mode", "read_zone", "read_part", "read_wall"),
                    (MOST_TRAINS,)),
    **dict.fromkeys(("regulated", "choked", "full_at", "needs", "active", "short", "throttled"), (MOST_TOOLS,)),
    **dict.fromkeys(("wall_ends", "cooler_lag", "winding_lag"), (MOST_TRAINS, 2)),
    "pressure_ends": (3,), "frequency_ends": (PARTS, 2), "saturation": (2, 10, 4), "air": (len(AIR),),
    "switches": (len(SWITCHES),), "recent": (MOST_TRAINS, RING), "slopes": (STAGES, 10 + MOST_TRAINS),
    "new": (10 + MOST_TRAINS,),
    "work": (MOST_TRAINS, PARTS, len(OUTPUTS), FREQUENCIES, PRESSURES), "at": (4,),
    "warm": (STAGES + 1, MOST_TRAINS + 1),
    "draw": (3,), "wet": (4,), "leans": (MOST_TRAINS, 2),
    "totals": (len(TOTALS),), "of_train": (MOST_TRAINS, len(OF_TRAIN)), "of_tool": (MOST_TOOLS, len(OF_TOOL)),
    "of_hour": (24, len(OF_HOUR)), "at_speed": (MOST_TRAINS, SPEED_BINS), "at_flow": (FLOW_BINS, len(AT_FLOW)),
}  # fmt: skip
"""Shapes of what is an array; all else is one number."""
_WHOLE = {
    "scheme", "full", "quiet", "trains", "parts", "frequency_nodes", "many", "piped", "states", "counts", "active",
    "short", "throttled", "switches", "read_mode", "read_zone", "read_part", "dries",
}  # fmt: skip


def _dtype(kind: type[Machine] | type[Settings] | type[Tools] | type[Condition] | type[Books]) -> np.dtype[np.void]:
    fields = [(f, np.int64 if f in _WHOLE else np.float64, _SHAPES.get(f, ())) for f in kind._fields]
    return np.dtype([f for f in fields if f[0] not in _APART], align=True)


_APART = {"coefficients", "times", "codes", "on", "which", "full_of", "needs_of", "shortages", "trace"}
"""What changes its size from plant to plant or run to run, and is handed over by itself."""


def packed(told: Machine | Settings | Tools | Condition | Books) -> np.recarray[Any, Any]:
    """Return numbers as one record, arrays filled up with zeros to their greatest shape. [SI]"""
    record = np.zeros(1, _dtype(type(told))).view(np.recarray)
    for name in record.dtype.names or ():
        value = np.asarray(getattr(told, name))
        if value.ndim:
            record[name][0][tuple(slice(0, n) for n in value.shape)] = value
        else:
            record[name][0] = value
    return record


def fresh(machine: Machine) -> Condition:
    """Return a cold plant, everything off. [SI]"""
    at_room, never = np.full(MOST_TRAINS, machine.room), np.full(MOST_TRAINS, -1e300)
    values: dict[str, Any] = {
        name: np.zeros(_SHAPES[name], np.int64 if name in _WHOLE else np.float64) for name in Condition._fields
    }
    values |= {
        "walls": at_room, "crankcase": at_room, "winding": at_room, "until": -never, "stopped": never,
        "fan_until": never, "read_mode": np.full(MOST_TRAINS, -2, np.int64),
        "recent": np.full((MOST_TRAINS, RING), -1e300),
    }  # fmt: skip
    return Condition(**values)


def empty_books(*, trace: int = 0, shortages: int = 0) -> Books:
    """Return empty books. [SI]"""
    shapes = {**_SHAPES, "shortages": (shortages, 3), "trace": (trace, len(TRACE))}
    return Books(**{name: np.zeros(shapes[name]) for name in Books._fields})
