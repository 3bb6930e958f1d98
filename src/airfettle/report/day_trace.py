"""The traced path of a day as CSV: a line for every step, units in the header, the owner's units."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from airfettle.air.moist import dew_point
from airfettle.quantity import in_unit, shown_unit
from airfettle.quantity.clock import DAY, DAYS, WEEK
from airfettle.studies.day.days import Days
from airfettle.studies.day.machine import TRACE
from airfettle.studies.day.run import Path
from airfettle.studies.day.steps import FILLING, IDLING, OFF, RUNNING
from airfettle.studies.pipework.through_day import inlets_through

Array = NDArray[np.float64]

BEGINS = "clock,time from 00:00 s,receiver pressure by gauge "
"""How the first line of every trace begins, by which one is known again."""
STATES = {OFF: "off", FILLING: "filling its line", RUNNING: "running", IDLING: "idling, unloader open"}
"""What a pump does, in words."""
STATE_BASE = 4
"""A trace holds the states of all pumps as one number to this base. [-]"""
PLACES = {"pressure": 3, "temperature": 2, "frequency": 2, "power": 4, "reference_flow": 3, "humidity_ratio": 3}
"""Decimals of each kind."""
MEASURED = (
    ("receiver air", "gas_temperature", "temperature"), ("receiver wall", "wall_temperature", "temperature"),
    ("head and cylinders", "pump_wall", "temperature"), ("crankcase", "crankcase", "temperature"),
    ("motor winding", "winding", "temperature"), ("air at the pump's outlet", "discharge", "temperature"),
    ("air from the cooler", "cooler_air", "temperature"), ("frequency", "frequency", "frequency"),
    ("electricity of the pumps", "power", "power"), ("air in", "air_in", "reference_flow"),
    ("air out", "air_out", "reference_flow"), ("water in the receiver's air", "humidity_ratio", "humidity_ratio"),
)  # fmt: skip
"""Columns that come straight from the trace: words, name there, kind."""
OF_THE_FIRST = ("pump_wall", "crankcase", "winding", "discharge", "cooler_air")
"""Columns of the first pump alone."""
WHILE_LOADED = ("discharge", "cooler_air")
"""Columns that are empty while the first pump is not loaded."""


def day_trace(run: Days) -> str:
    """Return the traced path of a day as the text of a CSV file."""
    assert run.traced is not None
    columns = list(_columns(run, run.traced))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([name for name, _ in columns])
    writer.writerows(zip(*(values for _, values in columns), strict=True))
    return out.getvalue()


def is_trace(first_line: str) -> bool:
    """Return whether a file that begins with this line is a trace written here."""
    return first_line.startswith(BEGINS)


def _columns(run: Days, path: Path) -> Iterator[tuple[str, list[str]]]:
    """Names and cells of every column."""
    told = {name: path.books.trace[:, i] for i, name in enumerate(TRACE)}
    plant = run.prepared.draw.plant
    units, several = plant.about.units, len(plant.trains) > 1
    time = told["time"]
    yield "clock", [_clock(t) for t in time.tolist()]
    yield "time from 00:00 s", [f"{t:.2f}" for t in (time - path.start).tolist()]
    gauge = told["pressure"] - float(run.prepared.rows["barometer"][path.row])
    unit = shown_unit("pressure", units)
    yield f"{BEGINS.rsplit(',', 1)[1]}{unit}", _cells(gauge, "pressure", unit)
    states = np.rint(told["running"]).astype(np.int64)
    loaded = np.isin(states % STATE_BASE, (FILLING, RUNNING))
    for place, train in enumerate(plant.trains):
        name = f"pump {train.name}" if several else "pump"
        yield name, [STATES[s] for s in (states // STATE_BASE**place % STATE_BASE).tolist()]
    for words, name, kind in MEASURED:
        unit = shown_unit(kind, units)
        cells = _cells(told[name], kind, unit)
        if name in WHILE_LOADED:
            cells = [cell if is_loaded else "" for cell, is_loaded in zip(cells, loaded.tolist(), strict=True)]
        whose = f" of {plant.trains[0].name}" if several and name in OF_THE_FIRST else ""
        yield f"{words}{whose} {unit}", cells
    dew = dew_point(told["humidity_ratio"], pressure=told["pressure"])
    unit = shown_unit("temperature", units)
    yield f"dew point at the receiver's pressure {unit}", _cells(dew, "temperature", unit)
    yield "water lying in the receiver L", [f"{kg:.4f}" for kg in told["liquid"].tolist()]
    running = tools_running(path)
    for place, use in enumerate(run.prepared.uses):
        yield f"{use.name} running", [str(n) for n in running[:, place].tolist()]
    if run.prepared.network is not None and run.prepared.order is not None:
        inlets = inlets_through(
            run.prepared.network.only(path.row), order=run.prepared.order, counts=running,
            receiver_pressure=told["pressure"],
        )  # fmt: skip
        unit = shown_unit("pressure", units)
        outside = float(run.prepared.rows["barometer"][path.row])
        for place, use in enumerate(run.prepared.uses):
            cells = _cells(np.nan_to_num(inlets[:, place]) - outside, "pressure", unit)
            there = np.isfinite(inlets[:, place]).tolist()
            yield f"{use.name} inlet by gauge {unit}", [c if runs else "" for c, runs in zip(cells, there, strict=True)]


def tools_running(path: Path) -> NDArray[np.int64]:
    """Return how many of each tool run in each step of a trace, shape (steps, tools)."""
    told, time = path.tools, path.books.trace[:, 0]
    found = np.zeros((len(time), told.many), np.int64)
    begins = np.concatenate([[path.start], time[:-1]])
    for tool in range(told.many):
        own = told.codes == tool
        level = np.concatenate([[0], np.cumsum(told.on[own])])
        found[:, tool] = level[np.searchsorted(told.times[own], begins + 1e-9, side="right")]
    return found


def _cells(values: Array, kind: str, unit: str) -> list[str]:
    return [f"{in_unit(value, kind=kind, unit=unit):.{PLACES[kind]}f}" for value in values.tolist()]


def _clock(time: float) -> str:
    """Day and clock to the second."""
    whole = round(time)
    within = whole % round(DAY)
    day = DAYS[whole % round(WEEK) // round(DAY)]
    return f"{day} {within // 3600:02d}:{within % 3600 // 60:02d}:{within % 60:02d}"
