"""What a plant's days come to: every answer with its meaning, for each path of a tally."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.sound import level_at_distance, noise_dose, sum_of_levels
from airfettle.studies.day import machine as m
from airfettle.studies.day.line import LineUse, line_use
from airfettle.studies.day.many import Tally
from airfettle.studies.day.prepared import DAY, WEEK, Prepared
from airfettle.studies.instant.whole import instant
from airfettle.studies.meaning import answer, value

Array = NDArray[np.float64]
_DAY = ("airfettle-day",)

YEAR_DAYS = 365.0
"""Days of a year. [-]"""
WATER = 1000.0
"""Density of water. [kg/m3]"""


@dataclass(frozen=True)
class DayAnswers:
    """What days come to, each answer of shape (paths,). [SI]"""

    enough_share: Array | None = answer(
        "tool time with enough pressure", "fraction", "s", sources=_DAY, equation="1 - tool_time_short / tool_time",
        note="of the time that tools ran; each tool by the pressure it needs")  # fmt: skip
    tool_time: Array = value("time that tools ran", "hours", "t_u")
    tool_time_short: Array = value("of it with too little pressure", "hours", "t_s")
    longest_shortage: Array | None = answer("longest shortage", "minutes", "t_l", sources=_DAY,
                                            solved="times with some tool short, end to end")  # fmt: skip
    lowest_pressure: Array = answer("lowest receiver pressure", "pressure", "p_min", sources=_DAY, solved="the lowest")
    starts_mean: Array = answer("starts, mean while switched on", "start_rate", "z", sources=_DAY,
                                equation="starts / on_time", note="of the pump that starts most")  # fmt: skip
    starts: Array = value("starts", "number", "n")
    on_time: Array = value("time switched on", "hours", "t_on")
    starts_worst: Array = answer("most starts within one hour", "start_rate", "z_max", sources=_DAY,
                                 solved="the last hour at every start")  # fmt: skip
    running_time: Array = answer("running time in a day", "hours", "t_r", sources=_DAY,
                                 equation="loaded_time + idle_time", note="mean of all days, all pumps")  # fmt: skip
    loaded_time: Array = value("loaded, in a day", "hours", "t_ld")
    idle_time: Array = value("idling with the unloader open, in a day", "hours", "t_i")
    loaded_share: Array = answer("loaded, of the time switched on", "fraction", "u", sources=_DAY,
                                 equation="loaded_time * days / on_time")  # fmt: skip
    days: Array = value("days", "number", "d")
    idle_share: Array | None = answer("idling, of the running time", "fraction", "u_i", sources=_DAY,
                                      equation="idle_time / running_time")  # fmt: skip
    quiet_share: Array | None = answer("in quiet speed, of the loaded time", "fraction", "u_q", sources=_DAY,
                                       solved="time at or below the quiet frequency over loaded time")  # fmt: skip
    shortest_off: Array = answer("shortest stop", "minutes", "t_off", sources=_DAY, solved="stop to start")
    shortest_run: Array = answer("shortest run", "minutes", "t_run", sources=_DAY, solved="start to stop")
    energy_day: Array = answer("electricity in a day", "energy", "E_d", sources=_DAY,
                               equation="energy / days", note="pumps, fans and dryer; mean of all days")  # fmt: skip
    energy: Array = value("electricity", "energy", "E")
    energy_year: Array | None = answer("electricity in a year", "energy", "E_y", sources=_DAY,
                                       equation="energy_day * 365", note="of weeks like these")  # fmt: skip
    cost_day: Array | None = answer("cost of a day", "money", "c_d", sources=("physics",),
                                    equation="energy_day * energy_price")  # fmt: skip
    cost_year: Array | None = answer("cost of a year", "money", "c_y", sources=("physics",),
                                     equation="energy_year * energy_price")  # fmt: skip
    energy_price: Array | None = value("price of electricity", "energy_price", "c_e")
    lost_share: Array = answer("air let out at stops and by timed drains, of all delivered", "fraction", "l",
                               sources=_DAY, equation="lost_air / delivered")  # fmt: skip
    lost_air: Array = value("air let out", "mass", "m_l")
    delivered: Array = value("air delivered into the receiver and let out before it", "mass", "m_d")
    water_between: Array = answer("water from the intercooler", "daily_water", "w_ic", sources=_DAY,
                                  solved="what air between the stages cannot hold")  # fmt: skip
    water_separator: Array = answer("water caught before the receiver", "daily_water", "w_s", sources=_DAY,
                                    solved="made liquid in the cooler, times the share caught")  # fmt: skip
    water_receiver: Array = answer("water that gathers in the receiver", "daily_water", "w_r", sources=_DAY,
                                   solved="liquid let through, and what condenses on the receiver's wall",
                                   note="none is taken to evaporate again")  # fmt: skip
    water_after: Array = answer("water caught behind the receiver", "daily_water", "w_t", sources=_DAY,
                                solved="filters and dryer at the flows drawn")  # fmt: skip
    water_sent: Array = answer("water sent to the tools", "daily_water", "w_l", sources=_DAY, solved="vapour and drops")
    receiver_fills: Array = answer("receiver's drain must open after", "hours", "t_fr", sources=_DAY,
                                   equation="water_room / (water_receiver * days / loaded_hours)",
                                   note="running hours until the water told or assumed lies in it")  # fmt: skip
    water_room: Array = value("water that may lie in the receiver", "mass", "m_w")
    loaded_hours: Array = value("loaded, in all days", "number", "t_la",
                                note="days times loaded time over a day")  # fmt: skip
    separator_fills: Array | None = answer("separator's drain must open after", "hours", "t_fs", sources=_DAY,
                                           solved="running hours until its bowl is full")  # fmt: skip
    hottest_air: Array = answer("hottest air at the pump's outlet", "temperature", "T_d", sources=_DAY,
                                solved="the highest")  # fmt: skip
    hottest_wall: Array = answer("hottest head and cylinders", "temperature", "T_p", sources=_DAY, solved="the highest")
    hottest_winding: Array = answer("hottest motor winding", "temperature", "T_m", sources=_DAY, solved="the highest")
    hottest_cooler: Array | None = answer("warmest air from the cooler", "temperature", "T_c", sources=_DAY,
                                          solved="the highest")  # fmt: skip
    warmest_crankcase: Array = answer("warmest crankcase and oil", "temperature", "T_o", sources=_DAY,
                                      solved="the highest")  # fmt: skip
    cold_share: Array = answer("running with cold walls, of the loaded time", "fraction", "u_c", sources=_DAY,
                               solved="walls less than 10 K above the dew point at the receiver's pressure",
                               note="water then falls out on the walls and gets into the oil")  # fmt: skip
    dryer_overloaded: Array | None = answer("dryer overloaded, of the time air flows", "fraction", "u_d", sources=_DAY,
                                            solved="flow over the capacity it has there")  # fmt: skip
    dryer_most: Array | None = answer("greatest dryer load", "fraction", "m/m_d", sources=_DAY, solved="the highest")
    beads_last: Array | None = answer("dryer beads spent after", "hours", "t_b", sources=_DAY,
                                      solved="water into the beads against what they hold",
                                      note="hours by the clock, of days like these")  # fmt: skip
    sound_osha: Array = answer("sound dose, 29 CFR 1910.95", "fraction", "D", sources=("cfr-1910-95",),
                               solved="time at each level over the time allowed, on a working day",
                               note="of the pumps alone, at the nearest place, out of doors: a room adds")  # fmt: skip
    sound_niosh: Array = answer("sound dose, NIOSH", "fraction", "D_N", sources=("niosh-rel",),
                                solved="the same with 85 dBA and 3 dB", note="of the pumps alone")  # fmt: skip


@dataclass(frozen=True)
class ToolAnswers:
    """One tool over the days, each of shape (paths,). [SI]"""

    name: str
    on_time: Array = value("runs in a day", "hours", "t_u")
    enough_share: Array = answer("time with enough pressure", "fraction", "s", sources=_DAY,
                                 solved="time at or over the pressure it needs")  # fmt: skip
    air_share: Array = answer("of all air drawn", "fraction", "a", sources=_DAY, solved="its air over all")
    shortage_share: Array = answer("of the air drawn in shortages", "fraction", "a_s", sources=_DAY,
                                   solved="its air over all, while some tool was short")  # fmt: skip


def day_answers(prepared: Prepared, tally: Tally) -> DayAnswers:
    """Return what the days of a tally come to.

    Parameters
    ----------
    prepared : Prepared
        The plant. [SI]
    tally : Tally
        Its days. [SI]

    Returns
    -------
    DayAnswers
        Each of shape (paths,). [SI]
    """
    totals, trains, tools = tally.totals, tally.of_train, tally.of_tool
    rows = tally.rows(prepared.draw.rows)
    days = np.full(len(rows), tally.length / DAY)
    on, short = tools[:, :, m.TOOL_ON].sum(axis=1), tools[:, :, m.TOOL_SHORT].sum(axis=1)
    loaded, idle = (trains[:, :, n].sum(axis=1) / days for n in (m.LOADED, m.IDLE))
    starts, on_time = trains[:, :, m.STARTS].max(axis=1), np.maximum(totals[:, m.ON_TIME], 1.0)
    line = line_use(prepared, tally)
    energy = totals[:, m.ENERGY] + totals[:, m.FAN_ENERGY] + line.energy
    price = _of_rows(prepared.numbers.energy_price, rows)
    gathered = totals[:, m.WATER_CARRIED] + totals[:, m.WATER_CONDENSED]
    hours = np.maximum(loaded * days, 1.0)
    used, weeks = on.sum() > 0.0, tally.length >= WEEK  # a year is no 365 Fridays
    lost = totals[:, m.VENTED_AIR] + totals[:, m.DRAINED_AIR]
    delivered = np.maximum(totals[:, m.AIR_IN] + totals[:, m.VENTED_AIR], 1e-9)
    room = prepared.rows["water_room"][rows]
    bowl = prepared.rows["bowl_room"][rows]
    running, cool = loaded + idle, prepared.rows["room"][rows]  # the room's, where nothing ran
    presets = len(prepared.ranges) > 1 or prepared.scheme == m.PRESSURE
    osha, niosh = _doses(prepared, tally, rows)
    return DayAnswers(
        enough_share=1.0 - short / np.maximum(on, 1e-9) if used else None, tool_time=np.maximum(on, 1e-9),
        tool_time_short=short, longest_shortage=totals[:, m.LONGEST_SHORT] if used else None,
        lowest_pressure=totals[:, m.LOWEST_PRESSURE] - prepared.rows["barometer"][rows],
        starts_mean=starts / on_time, starts=starts, on_time=on_time,
        starts_worst=trains[:, :, m.WORST_STARTS].max(axis=1) / 3600.0, running_time=running, loaded_time=loaded,
        idle_time=idle, loaded_share=loaded * days / on_time, days=days,
        idle_share=idle / np.maximum(running, 1e-9) if np.any(idle > 0.0) else None,
        quiet_share=trains[:, :, m.QUIET].sum(axis=1) / hours if presets else None,
        shortest_off=_least(trains[:, :, m.SHORTEST_OFF]), shortest_run=_least(trains[:, :, m.SHORTEST_RUN]),
        energy_day=energy / days, energy=energy, energy_year=energy / days * YEAR_DAYS if weeks else None,
        cost_day=None if price is None else energy / days * price,
        cost_year=energy / days * YEAR_DAYS * price if weeks and price is not None else None, energy_price=price,
        lost_share=lost / delivered, lost_air=lost, delivered=delivered,
        water_between=totals[:, m.WATER_BETWEEN] / tally.length,
        water_separator=totals[:, m.WATER_CAUGHT] / tally.length,
        water_receiver=gathered / tally.length, water_after=line.caught / tally.length,
        water_sent=line.sent / tally.length,
        receiver_fills=room / np.maximum(gathered / hours, 1e-12), water_room=room, loaded_hours=hours / DAY,
        separator_fills=np.minimum(bowl / np.maximum(totals[:, m.WATER_CAUGHT] / hours, 1e-12), 1e9)
        if np.any(bowl > 0.0) else None,
        hottest_air=np.maximum(trains[:, :, m.HOTTEST_AIR].max(axis=1), cool),
        hottest_wall=trains[:, :, m.HOTTEST_WALL].max(axis=1),
        hottest_winding=trains[:, :, m.HOTTEST_WINDING].max(axis=1),
        hottest_cooler=np.maximum(trains[:, :, m.HOTTEST_COOLER].max(axis=1), cool)
        if any(t.cooler is not None for t in prepared.numbers.trains) else None,
        warmest_crankcase=trains[:, :, m.WARMEST_CRANKCASE].max(axis=1),
        cold_share=trains[:, :, m.COLD_TIME].sum(axis=1) / hours,
        dryer_overloaded=line.overloaded, dryer_most=line.most_load, beads_last=line.beads_last,
        sound_osha=osha, sound_niosh=niosh,
    )  # fmt: skip


def tool_answers(prepared: Prepared, tally: Tally) -> tuple[ToolAnswers, ...]:
    """Return what the days come to for each tool. [SI]"""
    t, days = tally.of_tool, tally.length / DAY
    air, short_air = (np.maximum(t[:, :, n].sum(axis=1), 1e-12) for n in (m.TOOL_AIR, m.TOOL_AIR_SHORT))
    return tuple(
        ToolAnswers(
            use.name, on_time=t[:, i, m.TOOL_ON] / days,
            enough_share=1.0 - t[:, i, m.TOOL_SHORT] / np.maximum(t[:, i, m.TOOL_ON], 1e-9),
            air_share=t[:, i, m.TOOL_AIR] / air, shortage_share=t[:, i, m.TOOL_AIR_SHORT] / short_air,
        )
        for i, use in enumerate(prepared.uses)
    )  # fmt: skip


def _least(values: Array) -> Array:
    """Least of several trains, those that never did it left out; 0 where none did. [SI]"""
    least = np.where(values > 0.0, values, np.inf).min(axis=1)
    return np.where(np.isfinite(least), least, 0.0)


def _of_rows(values: Array | None, rows: NDArray[np.int64]) -> Array | None:
    if values is None:
        return None
    flat = np.ravel(values)
    return np.full(len(rows), flat[0]) if flat.size == 1 else np.asarray(flat[rows])


def _doses(prepared: Prepared, tally: Tally, rows: NDArray[np.int64]) -> tuple[Array, Array]:
    """Sound doses of a working day at the nearest place, by 29 CFR 1910.95 and NIOSH. [-]"""
    numbers = prepared.numbers
    bins = tally.at_speed.shape[2]
    frequencies = speed_of_bins(prepared, bins)
    state = instant(
        numbers, frequency=frequencies[None, :, None], receiver_pressure=np.asarray(numbers.cut_out).reshape(-1, 1, 1)
    )
    site = prepared.draw.plant.site
    assert site is not None
    count = prepared.draw.rows
    there = [
        level_at_distance(level=t.sound_level, distance_known=1.0, distance=site.nearest_place) for t in state.trains
    ]
    levels = sum_of_levels(np.stack([np.broadcast_to(level, (count, bins, 1))[:, :, 0] for level in there]), axis=0)
    times = tally.at_speed.max(axis=1) / np.maximum(working_days(prepared, tally), 1e-9)
    osha, niosh = (np.asarray(noise_dose(levels[rows], times=times, rule=rule)) for rule in ("OSHA", "NIOSH"))
    return osha, niosh


def speed_of_bins(prepared: Prepared, bins: int) -> Array:
    """Return the frequency each bin of running time stands for. [Hz]"""
    if prepared.scheme == m.PRESSURE:
        low, high = prepared.ranges[0][0], prepared.ranges[-1][1]
        return np.asarray(low + (high - low) * (np.arange(bins) + 0.5) / bins)
    presets = [pair[0] for pair in prepared.ranges]
    return np.array([presets[min(i, len(presets) - 1)] for i in range(bins)])


def working_days(prepared: Prepared, tally: Tally) -> float:
    """Return the days on which some tool may run, out of those of a tally; all of them where none is told. [-]"""
    opened = [use.hours.opened(tally.start, length=min(tally.length, WEEK)) for use in prepared.uses]
    if not opened:
        return tally.length / DAY
    days = {int(t // DAY) for windows in opened for begin, end in windows for t in np.arange(begin, end, 3600.0)}
    return max(len(days) * max(tally.length / WEEK, 1.0), 1.0) if tally.length > WEEK else max(float(len(days)), 1.0)


__all__ = ["DayAnswers", "LineUse", "ToolAnswers", "day_answers", "speed_of_bins", "tool_answers", "working_days"]
