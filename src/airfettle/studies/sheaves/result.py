"""What a search for a motor sheave finds."""

from __future__ import annotations

from dataclasses import dataclass

from airfettle.studies.bands import Band
from airfettle.studies.draw import Draw


@dataclass(frozen=True)
class Check:
    """One limit at the wanted speed.

    Attributes
    ----------
    name, label : str
        Id of the limit, and the trade's words.
    share : float
        Share of the draw in which the limit is kept. [-]
    low : float
        Margin kept in the wanted certainty of the draw, a share of the limit, negative beyond it. [-]
    likely : float
        The same at likely values. [-]
    """

    name: str
    label: str
    share: float
    low: float
    likely: float


@dataclass(frozen=True)
class Candidate:
    """One motor sheave on one wheel with a number of belts, at the wanted pump speed.

    Attributes
    ----------
    section : str
        Belt section. [text]
    datum, outside, pitch : float
        Diameters of the motor sheave; the datum names it in A, B and ISO series, the outside in 3V. [m]
    present : bool
        The sheave the motor has now.
    wheel : float or None
        Outside diameter of another wheel on the pump; None for the wheel that is there. [m]
    belts : int
        Belts fitted. [-]
    hertz : Band
        For the wanted speed; on the line, the mains. [Hz]
    pump_speed : Band
        At those hertz, against the heavier of cut-in and cut-out. [1/s]
    base_speed : Band
        Of the pump at the motor's base frequency. [1/s]
    ratio : Band
        Motor turns for one pump turn, creep apart. [-]
    torque_share : Band
        Motor torque of what it may give for long, own fan counted. [-]
    hertz_range : tuple of float or None
        Between the pump's lowest and its highest speed, each kept in the wanted certainty; None on the line. [Hz]
    belts_needed : int or None
        In the wanted certainty; None where no power rating is known for the section. [-]
    wrap : Band or None
        Arc of the belt on the smaller sheave; None where the distance between shafts is not told. [rad]
    belt_length, stock_length : float or None
        Datum length (3V: effective) at likely values, and the nearest one sold. [m]
    belt_name : str
        What the nearest belt is called. [text]
    shift : float or None
        How much further apart that belt wants the shafts. [m]
    inertia_factor : float
        Inertia of the wheel over that of the wheel that is there, by diameter to the fifth. [-]
    checks : tuple of Check
        Every limit that applies, nearest first.
    passes : bool
        Each limit is kept in the wanted certainty of the draw.
    all_share : float
        Share of the draw in which all of them are kept at once. [-]
    place : float
        How near the wanted speed falls to base frequency, their ratio; on the line, pump speed over the wanted. [-]
    change : float
        Outside diameter over that of the present sheave, less 1, without sign; 0 where none is told. [-]
    """

    section: str
    datum: float
    outside: float
    pitch: float
    present: bool
    wheel: float | None
    belts: int
    hertz: Band
    pump_speed: Band
    base_speed: Band
    ratio: Band
    torque_share: Band
    hertz_range: tuple[float, float] | None
    belts_needed: int | None
    wrap: Band | None
    belt_length: float | None
    stock_length: float | None
    belt_name: str
    shift: float | None
    inertia_factor: float
    checks: tuple[Check, ...]
    passes: bool
    all_share: float
    place: float
    change: float

    @property
    def binds(self) -> Check:
        """The limit that is nearest, or furthest beyond."""
        return self.checks[0]

    def fails(self, certainty: float) -> tuple[Check, ...]:
        """Return the limits not kept in a share of the draw, worst first."""
        return tuple(check for check in self.checks if check.share < certainty)


@dataclass(frozen=True)
class TrainSheaves:
    """The search for one train.

    Attributes
    ----------
    name : str
        Of the train; empty where there is one.
    wanted_speed : float
        Of the pump. [1/s]
    wanted_from : str
        Where that speed is from, in words.
    direct : bool
        The motor hangs on the line, so that the sheave alone sets the speed.
    base_frequency : float
        Of the motor, likely; on the line, the mains. [Hz]
    highest_set : float or None
        Highest frequency the drive is set to now, likely; None on the line, or where it is not told. [Hz]
    section_told : bool
        False where several belt sections were tried because none is told.
    candidates : tuple of Candidate
        Every pair of stock sheave and number of belts, best first, the present sheave among them.
    wheels : tuple of Candidate
        The two best sheaves with other wheels on the pump, best first; empty where the wheel stays.
    far : int
        Stock sheaves not judged, as they would need far more hertz than there are, or on the line turn the pump at
        speeds far outside its own. [-]
    why_not : str
        Why nothing was tried, and what to do; empty otherwise.
    notes : tuple of str
        What the search took for granted, and what to know before buying.
    """

    name: str
    wanted_speed: float
    wanted_from: str
    direct: bool
    base_frequency: float
    highest_set: float | None
    section_told: bool
    candidates: tuple[Candidate, ...]
    wheels: tuple[Candidate, ...]
    far: int
    why_not: str
    notes: tuple[str, ...]

    def best(self, section: str = "") -> Candidate | None:
        """Return the first candidate that passes, of a section where one is named."""
        found = (c for c in self.candidates if c.passes and section in ("", c.section))
        return next(found, None)

    def sections(self) -> tuple[str, ...]:
        """Return the belt sections tried, in order."""
        return tuple(dict.fromkeys(sorted(c.section for c in self.candidates)))


@dataclass(frozen=True)
class SheaveSearch:
    """The search for every train of a plant; certainty is the share of the draw in which limits must hold. [-]"""

    draw: Draw
    certainty: float
    trains: tuple[TrainSheaves, ...]
