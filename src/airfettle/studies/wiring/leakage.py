"""What the drives on a supply leak to earth, against the ground-fault device ahead of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from airfettle.parts.drive import advised_carrier, bus_voltage
from airfettle.parts.leakage import (
    COMMON_SHARE,
    DEVICES,
    LEAD_CAPACITANCE,
    MISMATCH,
    REINFORCED_FROM,
    RETURN_SHARE,
    WINDING_CAPACITANCE,
    carrier_leakage,
    filter_capacitance,
    filter_leakage,
    ground_fault_device,
    residual_type,
)
from airfettle.parts.supply import sum_to_earth, supply_kind
from airfettle.studies.completion.power import SUPPLY_ROWS, PowerNumbers
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.wiring.amps import nominal_voltage, told_span
from airfettle.studies.wiring.sized import Spread
from airfettle.studies.wiring.wired import Wired, trains_of

State = Literal["fine", "may trip", "trips", "blind", "no device", "not told", "no drive"]
"""Leaks within the budget; may pass it; passes what the device holds; trips or not, a fault of smooth direct current
blinds it; no device is there; nobody told; nothing leaks to speak of."""
SOURCES = ("practice", "physics", "ul-943", "iec-61008", "iec-60364-5-53")


@dataclass(frozen=True)
class LeakageBudget:
    """Earth leakage on one supply.

    Attributes
    ----------
    places : tuple of int
        Trains on the supply.
    mains, carrier, total : Spread
        At mains frequency, from the drives' filters; at the carrier, from leads and windings, as the supply sees it;
        both. [A]
    told : bool
        The first is told by the drives' makers, not assumed.
    device : str
        The ground-fault device as told.
    budget : float or None
        Most that should leak in service; None without a device. [A]
    share : Spread or None
        Total over the budget. [-]
    kind_needed : str
        Type of residual-current device that still sees a fault: A, F or B.
    state : str
        See State.
    words : str
        In one or two sentences.
    reinforced : bool
        The earth wire is to be 10 mm2 or doubled, by IEC.
    sources : tuple of str
    """

    places: tuple[int, ...]
    mains: Spread
    carrier: Spread
    total: Spread
    told: bool
    device: str
    budget: float | None
    share: Spread | None
    kind_needed: str
    state: State
    words: str
    reinforced: bool
    sources: tuple[str, ...] = SOURCES


def leakage_budgets(draw: Draw, numbers: PlantNumbers) -> tuple[LeakageBudget, ...]:
    """Return the leakage on every supply of a plant against its ground-fault device.

    Parameters
    ----------
    draw : Draw
        The plant as drawn. [SI]
    numbers : PlantNumbers
        The same with its gaps filled. [SI]

    Returns
    -------
    tuple of LeakageBudget
        One of each supply. [SI]

    Notes
    -----
    Drives add up; mains and carrier add as squares, being of different frequency.  Valid: all legs live, an order of
    size; a drive maker's figure, or a clamp around the live wires, is better.

    References
    ----------
    [practice]; [physics]; [ul-943]; [iec-61008]; [iec-60364-5-53]
    """
    groups: dict[str, list[Wired]] = {}
    for wired in trains_of(draw):
        groups.setdefault(wired.path("supply"), []).append(wired)
    return tuple(_budget(tuple(group), numbers) for group in groups.values())


def leaks_much(wired: Wired, power: PowerNumbers) -> bool:
    """Return whether a train's drive may leak more than an ordinary earth wire is meant for."""
    if not wired.on_drive:
        return False
    told = told_span(wired, "drive", "leakage_current") is not None
    mains, carrier = _mains(wired, power)[2], 0.0 if told else _carrier(wired, power)[2]
    return float(np.hypot(mains, carrier)) > REINFORCED_FROM


def milliamps(amps: Spread) -> str:
    """Return a leakage in words, "3..14 mA"; of amps."""
    low, high = (f"{float(f'{1e3 * end:.2g}'):g}" for end in (amps[0], amps[2]))
    return f"{low if low == high else f'{low}..{high}'} mA"


def _budget(group: tuple[Wired, ...], numbers: PlantNumbers) -> LeakageBudget:
    drives = [wired for wired in group if wired.on_drive]
    powers = [numbers.trains[wired.place].power for wired in drives]
    mains = _sum([_mains(wired, power) for wired, power in zip(drives, powers, strict=True)])
    carrier = _sum([_carrier(wired, power) for wired, power in zip(drives, powers, strict=True)])
    low, likely, high = (float(np.hypot(a, b)) for a, b in zip(mains, carrier, strict=True))
    total: Spread = (low, likely, high)
    device = str(group[0].fact("supply", "ground_fault"))
    known = ground_fault_device(device) if device in DEVICES else None
    needed = residual_type(
        on_drive=bool(drives), phases=max((len(wired.feed) for wired in drives), default=1),
        to_neutral=all("N" in wired.feed for wired in drives),
    )  # fmt: skip
    state = _state(device, total, needed, bool(drives))
    share = None if known is None else (low / known.budget, likely / known.budget, high / known.budget)
    return LeakageBudget(
        places=tuple(wired.place for wired in group), mains=mains, carrier=carrier, total=total,
        told=bool(drives) and all(told_span(wired, "drive", "leakage_current") is not None for wired in drives),
        device=device, budget=None if known is None else known.budget, share=share, kind_needed=needed, state=state,
        words=_words(state, total, device, needed, len(drives)),
        reinforced=any(leaks_much(wired, power) for wired, power in zip(drives, powers, strict=True)),
    )  # fmt: skip


def _mains(wired: Wired, power: PowerNumbers) -> Spread:
    """Leakage of a drive and its filter at mains frequency: its maker's, or by its capacitors to earth. [A]"""
    told = told_span(wired, "drive", "leakage_current")
    if told is not None:
        return told.low, told.likely, told.high
    rated = told_span(wired, "drive", "rated_power")
    watts = float(np.ravel(power.motor.power)[0]) if rated is None else rated.likely
    volts = float(np.ravel(nominal_voltage(wired.draw.plant.trains[wired.place], power))[0])
    fitted = wired.fact("drive", "filter_connected")
    ends = [filter_capacitance(watts, connected=connected) for connected in (True, False)]
    least, most = ends[1 if fitted != "yes" else 0], ends[0 if fitted != "no" else 1]
    farads: Spread = (float(least[0]), float(most[1]), float(most[2]))  # not told, the filter may be there
    row, hertz = _row(wired, power), float(np.ravel(power.supply_frequency)[0])
    left, leg = float(sum_to_earth(row, voltage=volts)), _to_earth(row, volts)

    def leaks(capacitance: float, mismatch: float) -> float:
        return float(filter_leakage(
            capacitance, frequency=hertz, sum_to_earth=left, voltage_to_earth=leg, mismatch=mismatch
        ))  # fmt: skip

    return _spread(leaks, farads, MISMATCH)


def _row(wired: Wired, power: PowerNumbers) -> str:
    """The supply's row among the kinds of supply; a metric single phase has one live wire, whatever makes it."""
    kind = wired.fact("supply", "kind", None)
    if kind is None:
        kind = "single-phase 120/240" if power.phases == 1 else "208 wye"
    if power.phases == 1 and wired.units == "SI" and kind != "240 high-leg delta":
        return "single-230"
    return SUPPLY_ROWS[kind]


def _to_earth(row: str, volts: float) -> float:
    """Volts of a leg to earth, as the kind of supply has them to those between legs. [V]"""
    offered = supply_kind(row)
    return volts * offered.voltage_to_earth / offered.voltage


def _carrier(wired: Wired, power: PowerNumbers) -> Spread:
    """Leakage of lead and winding at the carrier. [A]"""
    lead = wired.parts.get("motor_lead")
    length = 0.0 if lead is None or lead.wire_length is None else float(np.median(lead.wire_length))
    shielded = wired.fact("motor_lead", "shielded")
    thin, thick = (LEAD_CAPACITANCE[word if shielded == "unknown" else shielded] for word in ("no", "yes"))
    farads: Spread = (thin[0], (thin[1] * thick[1]) ** 0.5, thick[2])
    low_carrier, high_carrier = (float(end) for end in advised_carrier(length))
    carriers: Spread = (low_carrier, (low_carrier * high_carrier) ** 0.5, high_carrier)
    returned = RETURN_SHARE["no" if wired.fact("drive", "filter_connected") == "no" else "yes"]
    bus = float(np.ravel(bus_voltage(nominal_voltage(wired.draw.plant.trains[wired.place], power)))[0])

    def leaks(carrier: float, lead: float, winding: float, common: float, back: float) -> float:
        return float(carrier_leakage(
            bus, lead_length=length, carrier=carrier, lead_capacitance=lead, winding_capacitance=winding,
            common_share=common, return_share=back,
        ))  # fmt: skip

    return _spread(leaks, carriers, farads, WINDING_CAPACITANCE, COMMON_SHARE, returned)


def _spread(leaks: Callable[..., float], *doubts: Spread) -> Spread:
    """Return what comes of likely values, and of each doubt in turn, the steps up and down added as squares of ratios.

    All doubts at their worst at once is nobody's plant.
    """
    middle = [doubt[1] for doubt in doubts]
    likely = leaks(*middle)
    steps = [
        [np.log(leaks(*(doubt[end] if i == place else at for i, at in enumerate(middle))) / likely)
         for place, doubt in enumerate(doubts)]
        for end in (0, 2)
    ]  # fmt: skip
    down, up = (float(np.sqrt(np.sum(np.square(end)))) for end in steps)
    return likely * float(np.exp(-down)), likely, likely * float(np.exp(up))


def _sum(each: Sequence[Spread]) -> Spread:
    return sum(one[0] for one in each), sum(one[1] for one in each), sum(one[2] for one in each)


def _state(device: str, total: Spread, needed: str, on_drive: bool) -> State:
    if device not in DEVICES:
        return "not told" if device == "unknown" else "no device"
    if not on_drive:
        return "no drive"
    known = ground_fault_device(device)
    if total[1] > known.holds_to:
        return "trips"
    if needed == "B" and device == "30 mA type A or AC":
        return "blind"
    return "may trip" if total[2] > known.budget else "fine"


def _words(state: State, total: Spread, device: str, needed: str, drives: int) -> str:
    """What is said of it."""
    if not drives:
        return "No drive, hardly any leakage."
    leaks = f"The drive{'s leak' if drives > 1 else ' leaks'} about {milliamps(total)} to earth"
    kind = f" Where a residual-current device is asked for, type {needed}."
    if device not in DEVICES:
        return f"{leaks}.{kind}"
    known = ground_fault_device(device)
    stands = f"the {device} device should see no more than {1e3 * known.budget:g} mA in service"
    ends = {
        "fine": f"; {stands}.", "may trip": f"; {stands}: it may trip.",
        "trips": f"; {stands} and trips from {1e3 * known.holds_to:g} to {1e3 * known.trips_at:g} mA.",
        "blind": f"; {stands}, and smooth direct current blinds it.",
    }  # fmt: skip
    return leaks + ends[state] + (kind if device.startswith("30 mA type A") else "")
