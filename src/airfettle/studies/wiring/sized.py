"""Sizes of a train's wires, devices and switches, each with the amps it rests on, and their words for a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from airfettle.parts.motor_class import HORSEPOWER
from airfettle.quantity import Units
from airfettle.studies.wiring.amps import amps_text

Spread = tuple[float, float, float]
"""Low, likely and high. [SI]"""
WireState = Literal["ok", "close", "too small"]
"""Carries what is asked; only not in the room's hottest air; does not."""
DeviceState = Literal["ok", "too small", "large", "too large"]
"""Within its range; below it; above what the code allows this motor though not beyond a motor fed as this one is;
too large."""


@dataclass(frozen=True)
class WireThere:
    """The wire that is told.

    Attributes
    ----------
    told : str
        In the owner's words.
    area, ampacity : float
        Of its copper; what it may carry in the room's hottest air. [m2] [A]
    state : str
        See WireState.
    drop, drop_share : Spread
        Volts lost at the amps it is judged by, and over the supply's. [V] [-]
    """

    told: str
    area: float
    ampacity: float
    state: WireState
    drop: Spread
    drop_share: Spread


@dataclass(frozen=True)
class Run:
    """Live wires from one place to the next.

    Attributes
    ----------
    where : str
        From where to where.
    current, needed : float
        Amps it is chosen by, of all that it feeds; ampacity asked for. [A]
    by, why : str
        What the amps are; how the ampacity comes of them.
    sure : bool
        The amps are read, not computed or remembered.
    phases, loaded : int
        Phases it carries, and its wires that carry current. [-]
    size : str
        The smallest wire, "8 AWG" or "6 mm²"; empty where none listed is enough.
    area, ampacity : float
        Of that size; ampacity in the room's hottest air. [m2] [A]
    at_60 : str
        The smallest where a terminal or the cable is marked for 60 °C; empty where it is the same, or by IEC.
    ambient, factor : float
        The room's hottest air, and what it leaves of the ampacity. [K] [-]
    drop, drop_share : Spread
        Volts lost in the smallest wire, at the amps it is chosen by, and over the supply's. [V] [-]
    thicker : str
        The size that keeps the drop to 3 %; empty where the smallest does.
    there : WireThere or None
        What is told.
    units : str
        The owner's.
    sources : tuple of str
    """

    where: str
    current: float
    needed: float
    by: str
    why: str
    sure: bool
    phases: int
    loaded: int
    size: str
    area: float
    ampacity: float
    at_60: str
    ambient: float
    factor: float
    drop: Spread
    drop_share: Spread
    thicker: str
    there: WireThere | None
    units: Units
    sources: tuple[str, ...]

    @property
    def words(self) -> str:
        """The smallest wire and why, "8 AWG Cu, 75 °C (125 % of 30.2 A)"."""
        if not self.size:
            return f"beyond the sizes listed here ({self.why})"
        terms = ", 75 °C" if self.units == "US" else ""
        return f"{self.size} Cu{terms} ({self.why})"

    @property
    def reason(self) -> str:
        """What it rests on, in one line."""
        needed = amps_text(self.needed, units=self.units)
        marked = f"; {self.at_60} where a terminal or the cable is marked for 60 °C" if self.at_60 else ""
        return f"{needed}: {self.why}, {self.by}{marked}"


@dataclass(frozen=True)
class Protection:
    """The breaker or fuses ahead.

    Attributes
    ----------
    kind : str
        breaker, time-delay fuses or fast fuses.
    lowest, rating, highest : float
        Range of ratings that may be used, and the one to fit. [A]
    curve : str
        Letter of a breaker's magnetic trip by IEC; empty elsewhere.
    why : str
        What sets the range.
    cap : float or None
        Largest that the drive's maker allows, where told. [A]
    fits : bool
        There is a rating that carries the load and is allowed.
    there : float or None
        Rating that is told. [A]
    state : str or None
        Of that one, see DeviceState.
    units : str
        The owner's.
    sources : tuple of str
    """

    kind: str
    lowest: float
    rating: float
    highest: float
    curve: str
    why: str
    cap: float | None
    fits: bool
    there: float | None
    state: DeviceState | None
    units: Units
    sources: tuple[str, ...]

    @property
    def words(self) -> str:
        """What to fit, "60 A breaker, curve C"."""
        curve = f", curve {self.curve}" if self.curve else ""
        return f"{amps_text(self.rating, units=self.units)} {self.kind}{curve}"

    @property
    def reason(self) -> str:
        """The range and what sets it, in one line."""
        low, high = (amps_text(end, units=self.units) for end in (self.lowest, self.highest))
        if not self.fits:
            return f"{low} to carry the load, but at most {high} allowed: {self.why}"
        return f"{low if low == high else f'{low} to {high}'}: {self.why}"


@dataclass(frozen=True)
class Earth:
    """The earth wire that goes with live wires.

    Attributes
    ----------
    size : str
        The smallest, copper.
    area : float
        [m2]
    why, more : str
        What sets it; what else it needs, empty for nothing.
    sources : tuple of str
    """

    size: str
    area: float
    why: str
    more: str
    sources: tuple[str, ...]

    @property
    def words(self) -> str:
        """The smallest and why."""
        return f"{self.size} Cu ({self.why})"


@dataclass(frozen=True)
class Overload:
    """The motor's overload protection.

    Attributes
    ----------
    amps, most : float
        Setting, the plate amps; most that it may trip at. [A]
    sure : bool
        The plate amps are read.
    why : str
    units : str
        The owner's.
    sources : tuple of str
    """

    amps: float
    most: float
    sure: bool
    why: str
    units: Units
    sources: tuple[str, ...]

    @property
    def words(self) -> str:
        """The setting, "set to 20 A"."""
        amps = amps_text(self.amps, units=self.units)
        return f"set to {amps}" if self.sure else f"set to the motor's plate amps, some {amps}"


@dataclass(frozen=True)
class Disconnect:
    """The switch that is locked off.

    Attributes
    ----------
    least, power : float
        Least ampere rating, and the motor power it is rated for. [A] [W]
    why : str
    units : str
        The owner's.
    sources : tuple of str
    """

    least: float
    power: float
    why: str
    units: Units
    sources: tuple[str, ...]

    @property
    def words(self) -> str:
        """The switch, "at least 55.2 A and 7.5 hp"."""
        amps = amps_text(self.least, units=self.units)
        if self.units == "US":
            return f"at least {amps} and {self.power / HORSEPOWER:.3g} hp"
        return f"at least {amps}, AC-23"


@dataclass(frozen=True)
class TrainWires:
    """Wires, devices and switches of one train.

    Attributes
    ----------
    place, name : int, str
        Which train it is, from 0, and its name.
    on_drive : bool
    code : str
        NEC or IEC, by the units that the owner writes.
    shared : tuple of int
        Places of all trains on the same supply, its own among them.
    supply : Run
        From the panel, for all of them.
    branch : Run or None
        From where these part to its drive or starter; None where it has the supply for itself.
    motor : Run
        From drive or starter to the motor.
    device : Protection
        At the panel.
    earth, motor_earth : Earth
        With the supply's wires, and with the motor's.
    overload : Overload
    disconnect : Disconnect
    notes : tuple of str
        What to know of this supply, for the drawing.
    """

    place: int
    name: str
    on_drive: bool
    code: Literal["NEC", "IEC"]
    shared: tuple[int, ...]
    supply: Run
    branch: Run | None
    motor: Run
    device: Protection
    earth: Earth
    motor_earth: Earth
    overload: Overload
    disconnect: Disconnect
    notes: tuple[str, ...]

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of all sources they rest on."""
        every = (self.supply, self.motor, self.device, self.earth, self.overload, self.disconnect)
        return tuple(dict.fromkeys(key for one in every for key in one.sources))
