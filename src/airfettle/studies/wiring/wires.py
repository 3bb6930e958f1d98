"""Sizes of wires and devices as a circuit writes them: as told, or as computed where that is given."""

from __future__ import annotations

from typing import TypedDict

from airfettle.studies.wiring.circuit import State
from airfettle.studies.wiring.wired import Wired

CONTROL = "control wire, as its fuse asks"
EARTH = "green and yellow, green or bare"


class Shown(TypedDict):
    """State and finding of a net or device."""

    state: State
    finding: str


def supply_wire(wired: Wired) -> str:
    """Return the supply wires in words; empty where nothing is told or computed."""
    return _size(wired, "supply", "wire", wired.words.supply)


def motor_wire(wired: Wired) -> str:
    """Return the motor lead in words."""
    told = "" if "motor_lead" not in wired.parts else str(wired.parts["motor_lead"].shielded)
    shield = {"yes": "shielded", "no": "not shielded"}.get(told, "") if wired.on_drive else ""
    words = (_size(wired, "motor_lead", "wire", wired.words.motor), shield)
    return ", ".join(word for word in words if word)


def earth_wire(wired: Wired) -> str:
    """Return the earth wire in words."""
    return ", ".join(word for word in (wired.words.earth, EARTH) if word)


def protection(wired: Wired) -> str:
    """Return the rating of the protective device in words."""
    return _size(wired, "supply", "breaker", wired.words.protection) or "rating not told"


def supply_wire_state(wired: Wired) -> Shown:
    """Return whether the supply wires are found too small."""
    return _state(wired, "supply", "wire", "supply_wire")


def motor_wire_state(wired: Wired) -> Shown:
    """Return whether the motor lead is found too small."""
    return _state(wired, "motor_lead", "wire", "motor_lead_wire")


def protection_state(wired: Wired) -> Shown:
    """Return whether the protective device is found too large."""
    return _state(wired, "supply", "breaker", "breaker_too_large")


def _size(wired: Wired, section: str, name: str, needed: str) -> str:
    """What is told; what is needed where nothing is told, or where what is told is put right."""
    told = wired.told(section, name)
    if f"{section}.{name}" in wired.changes:
        return needed or "the size that the load asks for"
    return told or (f"{needed} needed" if needed else "")


def _state(wired: Wired, section: str, name: str, rule: str) -> Shown:
    if changed := wired.changes.get(f"{section}.{name}"):
        return Shown(state="there", finding=changed)
    if wired.holds(rule, section):
        return Shown(state="wrong", finding=rule)
    return Shown(state="there", finding="")
