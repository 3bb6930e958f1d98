"""Breaker or fuses, earth wire, overload setting and disconnect of a train."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airfettle.parts.conductor import areas, size_names
from airfettle.parts.motor_protection import breaker_curve, disconnect_least, overload_share
from airfettle.parts.overcurrent import (
    FUSE_ROOM,
    earth_area_metric,
    earth_conductor_row,
    earth_conductor_sizes,
    largest_device,
    marked_rating,
    standard_rating_down,
    standard_rating_up,
)
from airfettle.studies.completion.power import PowerNumbers
from airfettle.studies.wiring.amps import PRINTED, Chosen, amps_text, figure, motor_amps, table_amps, told_span
from airfettle.studies.wiring.code import Code
from airfettle.studies.wiring.sized import DeviceState, Disconnect, Earth, Overload, Protection, Run
from airfettle.studies.wiring.wired import Wired

DEVICES = {
    "breaker": "inverse-time breaker", "time-delay fuses": "dual-element fuse", "fast fuses": "non-time-delay fuse",
}  # fmt: skip
"""The plant file's words for a device -> the code table's."""
DOUBLED = "and a second one of the same size, or one of 10 mm², as the drive may leak more than 3.5 mA"


def breaker_cap(group: Sequence[Wired]) -> float | None:
    """Return the largest device that the makers of a group's drives allow, or None. [A]"""
    caps = [span.likely for wired in group if wired.on_drive and (span := told_span(wired, "drive", "largest_breaker"))]
    return min(caps) if caps else None


def protection_nec(
    group: Sequence[Wired], powers: Sequence[PowerNumbers], *, needed: float, ahead: bool = False
) -> Protection:
    """Return the device ahead of a group of trains by the NEC.

    Parameters
    ----------
    group : sequence of Wired
        All trains on the supply. [SI]
    powers : sequence of PowerNumbers
        The same as numbers. [SI]
    needed : float
        Ampacity that the supply's wires must have. [A]
    ahead : bool
        A phase converter stands behind it.

    Returns
    -------
    Protection
        [A]

    Notes
    -----
    At least the wires' 125 %; at most the share of table 430.52 of the motor's own table amps, or the drive's marking;
    a motor on the line starts through it, so that it gets the largest.

    References
    ----------
    [nec] table 430.52, 430.52(C)(1); [nec-drives-memory] 430.62(A), 430.130(A); [nec-455] 455.7
    """
    first = group[0]
    kind = str(first.fact("supply", "breaker_kind", "breaker"))
    cap = None if ahead else breaker_cap(group)  # the drive's marking is about the device ahead of the drive
    lowest = float(standard_rating_up(needed))
    highest, fed = (_largest(group, powers, kind, lowest, by_feed=by_feed) for by_feed in (False, True))
    why = f"125 % of the amps; at most what table 430.52 allows the motor{'s' if len(group) > 1 else ''}"
    if ahead:
        highest = fed = lowest
        why = "250 % of the three-phase amps; never above 125 % of the converter's own input amps by its plate"
    elif cap is not None and cap < highest:
        highest, why = cap, f"125 % of the amps; at most the {amps_text(cap, units='US')} of the drive's maker"
    highest = min(float(standard_rating_down(highest)), highest)
    on_line = any(not wired.on_drive for wired in group)
    rating = highest if on_line or highest < lowest else lowest
    there, state = _there(first, "nec", lowest, highest, limit=min(fed, cap) if cap is not None else fed)
    sources = ("nec", *(("nec-drives-memory",) if not on_line else ()), *(("nec-455",) if ahead else ()))
    return Protection(kind, lowest, rating, highest, "", why, cap, lowest <= highest, there, state, "US", sources)


def _largest(
    group: Sequence[Wired], powers: Sequence[PowerNumbers], kind: str, asked: float, *, by_feed: bool
) -> float:
    """Largest device by the motors' own table amps, or by those of motors fed with the supply's phases. [A]"""
    amps = [
        float(
            np.ravel(table_amps(wired.draw.plant.trains[wired.place], power, phases=power.phases if by_feed else None))[
                0
            ]
        )
        for wired, power in zip(group, powers, strict=True)
    ]
    most = max(amps)
    return float(largest_device(most, others=sum(amps) - most, device=DEVICES[kind], asked=asked))


def protection_iec(group: Sequence[Wired], *, current: float, capacity: float | None = None) -> Protection:
    """Return the device ahead of a group of trains by IEC.

    Parameters
    ----------
    group : sequence of Wired
        All trains on the supply. [SI]
    current : float
        Of all that it feeds. [A]
    capacity : float, optional
        Of the wires that are there or to be laid; None before they are chosen. [A]

    Returns
    -------
    Protection
        [A]

    Notes
    -----
    Ib <= In <= Iz; for fuses In <= 0.906 Iz.

    References
    ----------
    [iec-60364-4-43] 433.1; [iec-60898]; [iec-60269]; [practice] for the curve
    """
    first = group[0]
    kind, cap = str(first.fact("supply", "breaker_kind", "breaker")), breaker_cap(group)
    lowest = float(standard_rating_up(current, series="iec"))
    room = 1.0 if kind == "breaker" else FUSE_ROOM
    highest = lowest if capacity is None else max(float(standard_rating_down(capacity / room, series="iec")), lowest)
    why = "not below the load's amps, not above what the wires carry"
    if cap is not None and cap < highest:
        highest = min(float(standard_rating_down(cap, series="iec")), cap)
        why = f"not below the load's amps, not above the {amps_text(cap, units='SI')} of the drive's maker"
    if lowest < current:  # beyond the ratings listed
        highest, why = 0.0, "beyond the ratings listed here"
    feeds = "line" if any(not wired.on_drive for wired in group) else "drive"
    there, state = _there(first, "iec", lowest, highest, limit=highest)
    rating = lowest if lowest <= highest else highest or lowest
    return Protection(
        kind, lowest, rating, highest, breaker_curve(feeds) if kind == "breaker" else "", why, cap, lowest <= highest,
        there, state, "SI", ("iec-60364-4-43", "iec-60898" if kind == "breaker" else "iec-60269"),
    )  # fmt: skip


def _there(
    wired: Wired, series: str, lowest: float, highest: float, *, limit: float
) -> tuple[float | None, DeviceState | None]:  # fmt: skip
    """Rating that is told, and how it compares."""
    told = told_span(wired, "supply", "breaker")
    if told is None:
        return None, None
    rating = told.likely if told.known in PRINTED else float(marked_rating(told.likely, series=series))
    if rating > max(limit, highest):
        return rating, "too large"
    return rating, "too small" if rating < lowest * (1 - 1e-9) else "large" if rating > highest else "ok"


def earth_nec(run: Run, device: Protection, *, code: Code) -> Earth:
    """Return the earth wire that goes with live wires by the NEC.

    Parameters
    ----------
    run : Run
        The live wires. [SI]
    device : Protection
        The device ahead of them. [A]
    code : Code
        The NEC's.

    Returns
    -------
    Earth
        [m2]

    Notes
    -----
    Table 250.122 by the device that is there where it may stay, else by the one to fit; never asked to be thicker than
    the live wires; where those are thicker than they need be, thicker in proportion.

    References
    ----------
    [nec] table 250.122; [nec-drives-memory] 250.122(A), (B) and (D)
    """
    stays = device.there is not None and device.state in ("ok", "large")
    rating = device.there if stays and device.there is not None else device.rating
    name = earth_conductor_sizes()[int(earth_conductor_row(rating))]
    listed = size_names(code.system)
    row = listed.index(name)
    kept = run.there if run.there is not None and run.there.state == "ok" else None
    least = code.nearest(run.area)
    live = code.nearest(kept.area) if kept else least
    why = f"for {amps_text(rating, units='US')}"
    if live > least:
        grown = _area(code, row) * _area(code, live) / _area(code, least)
        row, why = code.at_least(grown * (1.0 - 1e-6)), f"{why}, thicker as the live wires are"
    if row > live:
        row, why = live, "as the live wires"
    return Earth(code.size(row), _area(code, row), why, "", ("nec", "nec-drives-memory"))


def earth_iec(run: Run, *, code: Code, leaks: bool) -> Earth:
    """Return the earth wire that goes with live wires by IEC.

    Parameters
    ----------
    run : Run
        The live wires. [SI]
    code : Code
        The IEC's.
    leaks : bool
        A drive behind it may leak more than 3.5 mA.

    Returns
    -------
    Earth
        [m2]

    References
    ----------
    [iec-60364-5-54] table 54.2; [iec-61800-5-1]
    """
    kept = run.there if run.there is not None and run.there.state == "ok" else None
    live = _area(code, code.nearest(kept.area if kept else run.area))
    row = code.at_least(float(earth_area_metric(live)))
    area = _area(code, row)
    more = DOUBLED if leaks and area < 10e-6 * (1 - 1e-9) else ""
    sources = ("iec-60364-5-54", *(("iec-61800-5-1",) if more else ()))
    return Earth(code.size(row), area, "by the live wires", more, sources)


def _area(code: Code, row: int) -> float:
    return float(areas(code.system)[row])


def overload(wired: Wired, power: PowerNumbers) -> Overload:
    """Return the setting of a motor's overload protection.

    Parameters
    ----------
    wired : Wired
        The train. [SI]
    power : PowerNumbers
        The same as numbers. [SI]

    Returns
    -------
    Overload
        [A]

    References
    ----------
    [nec] 430.32(A)(1), 430.6(A)(2); [iec-60204-1]; [nema-mg1-memory] for the service factor on a drive
    """
    motor = wired.parts["motor"]
    plate = told_span(wired, "motor", "current")
    amps = figure(plate, motor.current) if plate is not None else float(np.median(power.motor.rated_current))
    which = "plate amps" if plate is not None else "the plate's amps, which are not told: computed here"
    if wired.on_drive or wired.units == "SI":
        count = "; the service factor does not count on a drive" if wired.on_drive else ""
        source = "nema-mg1-memory" if wired.on_drive else "iec-60204-1"
        return Overload(amps, amps, plate is not None, f"{which}{count}", wired.units, (source,))
    factor = told_span(wired, "motor", "service_factor")
    told = 1.0 if factor is None else factor.likely
    share = float(overload_share(told))
    says = f"service factor {told:g}" if factor is not None else "no service factor told"
    why = f"{which}; it may trip at {100 * share:.0f} % of them at most ({says})"
    return Overload(amps, share * amps, plate is not None, why, wired.units, ("nec",))


def disconnect(wired: Wired, power: PowerNumbers, *, chosen: Chosen) -> Disconnect:
    """Return the switch that is locked off, ahead of drive or starter.

    Parameters
    ----------
    wired : Wired
        The train. [SI]
    power : PowerNumbers
        The same as numbers. [SI]
    chosen : Chosen
        Amps that its supply wires are chosen by. [A]

    Returns
    -------
    Disconnect
        [A] [W]

    References
    ----------
    [nec-drives-memory] 430.109, 430.110(A), 430.128; [iec-60947-3]
    """
    watts = float(np.ravel(power.motor.power)[0])
    if wired.units == "SI":
        return Disconnect(chosen.amps, watts, f"for motor loads; {chosen.by}", wired.units, ("iec-60947-3",))
    counted = max((chosen, motor_amps(wired, power)), key=lambda each: each.amps)  # it stands ahead of both
    why = f"115 % of {amps_text(counted.amps, units='US')}, {counted.by}"
    return Disconnect(float(disconnect_least(counted.amps)), watts, why, wired.units, ("nec", "nec-drives-memory"))
