"""What a setting is: what to set, to what, how far it may stray, and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from airfettle.studies.speed_card import CardPoint

State = Literal["sure", "assumed", "measure first"]
Group = Literal[
    "supply", "motor plate", "limits", "starting and stopping", "volts and hertz", "run and speed", "outputs",
    "overload relay", "pressure switch",
]  # fmt: skip


@dataclass(frozen=True)
class Setting:
    """One thing to set on a drive, a starter or a pressure switch.

    Attributes
    ----------
    id, group : str
        Its own name, and what it belongs to.
    what : str
        In words of the trade.
    value : float or None
        Number to set; None where it is a choice, or is still to be measured. [SI]
    kind, unit : str
        Kind of that number, and a unit other than the owner's usual one.
    words : str
        The choice, or what stands in place of a number that is still to be measured.
    low, high : float or None
        Between which the number may lie; None where nothing bounds it on that side. [SI]
    why : str
        With this plant's numbers.
    sources : tuple of str
        Keys of the bibliography.
    state : str
        ``sure``, ``assumed`` where it rests on what nobody told, ``measure first`` where it must not be set before.
    """

    id: str
    group: Group
    what: str
    value: float | None = None
    kind: str = ""
    unit: str = ""
    words: str = ""
    low: float | None = None
    high: float | None = None
    why: str = ""
    sources: tuple[str, ...] = ("practice",)
    state: State = "sure"


@dataclass(frozen=True)
class Preset:
    """One speed an owner uses: its name, the frequency to set, what was told, and what it gives there.

    Attributes
    ----------
    name : str
        low, quiet, full, or two of them where both come to the same.
    frequency, asked : float
        To set, inside the window, and as told or taken by default. [Hz]
    point : CardPoint
        At cut-out. [SI]
    """

    name: str
    frequency: float
    asked: float
    point: CardPoint


@dataclass(frozen=True)
class TrainSettings:
    """Everything to set for one train.

    Attributes
    ----------
    train : str
        Its name; empty in a plant with one.
    direct : bool
        No drive: starter and pressure switch.
    settings : tuple of Setting
        In the order an installer meets them.
    presets : tuple of Preset
        Slowest first; empty without a drive.
    warnings : tuple of str
        What must be settled before it is set or run.
    gauge : float
        Receiver pressure of the presets' numbers, gauge. [Pa]
    """

    train: str
    direct: bool
    settings: tuple[Setting, ...]
    presets: tuple[Preset, ...]
    warnings: tuple[str, ...]
    gauge: float

    def named(self, name: str) -> Setting | None:
        """Return a setting by its id, or None where this train has none such."""
        return next((s for s in self.settings if s.id == name), None)
