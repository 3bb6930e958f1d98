"""Readings predicted for a first start: each trial's band before anybody has tried it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle.air.constants import R_DRY_AIR
from airfettle.parts.check_valve import bleed_time
from airfettle.parts.motor_class import allowable_starts, locked_rotor_current, start_rate_limit
from airfettle.parts.receiver_trial import HotPumpUp, hot_pump_up
from airfettle.plant.receiver import Receiver
from airfettle.studies.bands import Band, bands
from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.day.prepared import STEEL
from airfettle.studies.draw import Draw
from airfettle.studies.instant.path import SURFACE, receiver_conductance
from airfettle.studies.instant.state import TrainState
from airfettle.studies.instant.whole import instant
from airfettle.studies.meaning import meanings
from airfettle.studies.pipework.leak import LEAK_LEAST, LEAK_SHARE, pipe_leak
from airfettle.studies.rating import RatedPoint, Rating, answer_meanings, rate
from airfettle.studies.unloading import BLEED, VENTED

Array = NDArray[np.float64]

OPEN_OUTLET = 0.05e5
"""Gauge pressure in a receiver whose drain stands open while the pump turns. [Pa]  Source: practice."""
CLOSE = 1e-4
"""Relative change at which passes of a pump-up stop: far finer than any stopwatch. [-]"""
LEAK_TEST, NIGHT = 600.0, 36_000.0
"""How long the pressure is watched with everything shut, and a night. [s]  Source: practice."""
TEST_VOLTS = 500.0
"""Direct voltage of an insulation tester on a winding below 1 kV. [V]  Source: ieee-43."""
RANDOM_WOUND = 5e6
"""Least insulation resistance of a winding below 1 kV at 40 degC. [ohm]  Source: ieee-43."""
WATER_TEST = {"ASME VIII-1 since 1999": 1.3, "ASME VIII-1 before 1999": 1.5, "EU simple vessels": 1.5}
"""Pressure of the maker's or inspector's test with water, over the plate pressure. [-]
Source: asme-viii-1-ug-99-tests, directive-2014-29."""
LIFT_FROM = 0.75
"""Share of its set pressure from which a relief valve's lever lifts it. [-]  Source: asme-viii-1-ug-136."""


@dataclass(frozen=True)
class Expected:
    """One predicted reading.

    Attributes
    ----------
    name, kind : str
        Answer id where it is one, and kind of quantity.
    band : Band
        Over the draw. [SI]
    frequency, receiver_gauge : float or None
        Where it is read; None where it has no such point. [Hz] [Pa]
    train : str
        Whose; empty for the whole plant.
    readable : bool
        It may go into the plant file as a reading.
    """

    name: str
    kind: str
    band: Band
    frequency: float | None = None
    receiver_gauge: float | None = None
    train: str = ""
    readable: bool = True


@dataclass(frozen=True)
class TankTrial:
    """What pumping up a rested receiver shows.

    Attributes
    ----------
    volume : Band
        Of all receivers. [m3]
    from_empty, from_cut_in : Expected
        Time to cut-out at full speed. [s]
    settled : Expected
        Gauge pressure once a receiver pumped up from empty stands as cold as the room. [Pa]
    wall : Expected
        Its wall as cut-out is reached, pumped up from empty. [K]
    most_fall : Expected
        Fall of pressure from cut-out in LEAK_TEST that the leak not to be passed makes. [Pa]
    night_fall : Expected or None
        Fall in a night by the leak that is told. [Pa]
    """

    volume: Band
    from_empty: Expected
    from_cut_in: Expected
    settled: Expected
    wall: Expected
    most_fall: Expected
    night_fall: Expected | None


@dataclass(frozen=True)
class TrainTrial:
    """What one train's own trials show.

    Attributes
    ----------
    name : str
        Empty in a plant with one.
    direct : bool
        Its motor hangs on the line.
    unloaded_current : Expected
        Motor amps at full speed, unloader open, receiver at cut-out. [A]
    rated_current : Band
        By plate and tables. [A]
    start_current : Band or None
        At rest on the line, three phases; None on a drive and for single-phase motors. [A]
    starts : Band or None
        Starts its motor stands on the line; None on a drive and for single-phase motors. [1/s]
    least_rest : float or None
        Rest between such starts. [s]
    bleed : Expected
        From the stop at cut-out until the head is empty. [s]
    insulation : float
        Least insulation resistance of the winding at 40 degC; that of one built before about 1970. [ohm]
    old_insulation : float
        [ohm]
    """

    name: str
    direct: bool
    unloaded_current: Expected
    rated_current: Band
    start_current: Band | None
    starts: Band | None
    least_rest: float | None
    bleed: Expected
    insulation: float
    old_insulation: float


@dataclass(frozen=True)
class Commissioning:
    """Every reading predicted for a first start.

    Attributes
    ----------
    rating : Rating
        Under pressure: low, quiet and full speed at cut-in and cut-out. [SI]
    open_outlet : Rating
        Against no pressure: low and full speed. [SI]
    tank : TankTrial or None
        None where there is no receiver.
    trains : tuple of TrainTrial
        In the plant's order.
    """

    rating: Rating
    open_outlet: Rating
    tank: TankTrial | None
    trains: tuple[TrainTrial, ...]

    def at(self, name: str, *, train: str = "", low: bool = False, end: str = "cut-out") -> Expected | None:
        """Return an answer at low or full speed, at ``cut-in``, ``cut-out`` or with the outlet ``open``.

        None where the plant has no such answer.
        """
        points = self.open_outlet.points if end == "open" else self.rating.points
        speed = points[0].frequency if low else points[-1].frequency
        there = [p for p in points if p.frequency == speed]
        return expected(there[0] if end == "cut-in" else there[-1], name, train=train)


def expected(point: RatedPoint, name: str, *, train: str = "") -> Expected | None:
    """Return an answer of a rated point as a predicted reading; None where it has no such answer."""
    answers = point.trains.get(train, point.answers)
    if name not in answers:
        return None
    kind = answer_meanings()[name].kind
    of_all = bool(point.trains) and not train and name in meanings(TrainState)
    return Expected(name, kind, answers[name], point.frequency, point.receiver_gauge, train, readable=not of_all)


def commissioning(rating: Rating) -> Commissioning:
    """Return every reading predicted for a first start.

    Parameters
    ----------
    rating : Rating
        The plant at its low, quiet and full speed. [SI]
    """
    draw, full = rating.draw, rating.points[-1].frequency
    speeds = sorted({rating.points[0].frequency, full})
    open_outlet = rate(draw, frequencies=speeds, gauge_pressures=[OPEN_OUTLET])
    numbers = rating.numbers
    idle = instant(
        numbers, frequency=np.full((1, 1, 1), full), receiver_pressure=np.reshape(numbers.cut_out, (-1, 1, 1)),
        loaded=False, close_enough=CLOSE,
    )  # fmt: skip
    trains = tuple(_train(rating, place, unloaded) for place, unloaded in enumerate(idle.trains))
    return Commissioning(rating, open_outlet, tank_trial(rating), trains)


def _train(rating: Rating, place: int, unloaded: TrainState) -> TrainTrial:
    numbers, top = rating.numbers, rating.points[-1]
    train = numbers.trains[place]
    motor, name = train.power.motor, train.name if len(numbers.trains) > 1 else ""
    on_line = train.power.direct and int(np.max(motor.phases)) == 3
    allowed = allowable_starts(motor.power, poles=motor.poles)
    load = train.pump.flywheel_inertia / train.pump.ratio**2
    volts = float(np.median(motor.voltage))
    return TrainTrial(
        name=name, direct=train.power.direct,
        unloaded_current=Expected("motor_current", "current", _band(unloaded.motor_current), top.frequency,
                                  top.receiver_gauge, name, readable=False),
        rated_current=_band(motor.rated_current),
        start_current=_band(locked_rotor_current(motor.power, voltage=motor.voltage)) if on_line else None,
        starts=_band(start_rate_limit(allowed, load_inertia=load)) if on_line else None,
        least_rest=float(np.max(allowed.rest)) if on_line else None,
        bleed=_bleed(rating.draw, numbers, place, name),
        insulation=RANDOM_WOUND, old_insulation=old_insulation(volts),
    )  # fmt: skip


def old_insulation(voltage: float) -> float:
    """Return the least insulation resistance of a winding built before about 1970, at 40 degC.

    Parameters
    ----------
    voltage : float
        Rated voltage. [V]

    Returns
    -------
    float
        [ohm]

    Notes
    -----
    kV + 1 megohm.  Valid: at 40 degC; it halves with every 10 K.

    References
    ----------
    [ieee-43] table of least values, from memory
    """
    return (voltage / 1e3 + 1.0) * 1e6


def water_test_pressure(plate_gauge: ArrayLike, *, code: str) -> Array:
    """Return the pressure at which whoever is licensed tests a receiver with water: never with air.

    Parameters
    ----------
    plate_gauge : array_like
        Plate pressure, gauge. [Pa]
    code : str
        A key of WATER_TEST. [text]

    Returns
    -------
    ndarray
        Gauge. [Pa]

    Notes
    -----
    Factor times plate pressure.  Valid: steel tested as cold as it works; the maker's drawing comes first.

    References
    ----------
    [asme-viii-1-ug-99-tests] UG-99(b); [directive-2014-29]
    """
    return np.asarray(WATER_TEST[code] * np.asarray(plate_gauge, dtype=np.float64))


def _bleed(draw: Draw, numbers: PlantNumbers, place: int, name: str) -> Expected:
    line = draw.plant.trains[place].hot_line
    volume = np.zeros(1) if line is None or line.absent else line.volume
    time = bleed_time(
        volume=volume, pressure_start=numbers.cut_out, pressure_end=numbers.barometer + VENTED, bore=BLEED,
        temperature=numbers.room_temperature, pressure_barometer=numbers.barometer,
    )  # fmt: skip
    return Expected("bleed_time", "time", _band(time), train=name, readable=False)


def tank_trial(rating: Rating) -> TankTrial | None:
    """Return what pumping up the receiver shows; None where there is none.

    Parameters
    ----------
    rating : Rating
        A rated plant. [SI]

    Notes
    -----
    The mean flow by Simpson's rule over the pressures, the tank by ``hot_pump_up``.  Valid: tank rested before; drains,
    tools and main shut.
    """
    draw, numbers, top = rating.draw, rating.numbers, rating.points[-1]
    parts = [s.part for s in numbers.receivers if isinstance(s.part, Receiver)]
    if not parts:
        return None
    volume = np.asarray(sum(r.volume for r in parts))
    start, cut_in, cut_out = (
        np.reshape(p, (-1, 1, 1)) for p in
        (numbers.barometer + OPEN_OUTLET, np.minimum(numbers.cut_in, numbers.cut_out - 1e4), numbers.cut_out)
    )  # fmt: skip
    nodes = (start, 0.5 * (start + cut_out), cut_in, 0.5 * (cut_in + cut_out), cut_out)
    flow, warm = _delivered(rating, nodes)
    cold = _pumped(numbers, parts, nodes=(start, cut_out), flow=flow[..., [0, 1, 4]], warm=warm[..., [0, 1, 4]])
    band = _pumped(numbers, parts, nodes=(cut_in, cut_out), flow=flow[..., 2:], warm=warm[..., 2:])

    def seen(name: str, kind: str, values: Array, *, readable: bool = False) -> Expected:
        return Expected(name, kind, _band(values), top.frequency, top.receiver_gauge, readable=readable)

    worst = np.maximum(LEAK_SHARE * flow[..., -1:], LEAK_LEAST)
    told = pipe_leak(draw, numbers)
    leaks = float(np.max(told)) > 0.0
    return TankTrial(
        volume=_band(volume), from_empty=seen("pump_up_time", "time", cold.duration, readable=True),
        from_cut_in=seen("pump_up_time", "time", band.duration),
        settled=seen("settled_pressure", "pressure", cold.settled_pressure - numbers.barometer),
        wall=seen("receiver_wall", "temperature", cold.wall_temperature),
        most_fall=seen("leak_fall", "pressure_difference", leak_fall(numbers, volume, leak=worst, time=LEAK_TEST)),
        night_fall=seen("leak_fall", "pressure_difference", leak_fall(numbers, volume, leak=told, time=NIGHT))
        if leaks else None,
    )  # fmt: skip


def leak_fall(numbers: PlantNumbers, volume: Array, *, leak: Array, time: float) -> Array:
    """Return how far a leak takes the pressure down from cut-out.

    Parameters
    ----------
    numbers : PlantNumbers
        The plant. [SI]
    volume : ndarray
        Of receivers and what stays open to them. [m3]
    leak : ndarray
        Dry air it takes in the middle of the control's band. [kg/s]
    time : float
        How long everything is shut. [s]

    Returns
    -------
    ndarray
        Fall. [Pa]

    Notes
    -----
    p2 = p1 exp(-m R T t/(V p)).  Valid: above 1.9 times the atmosphere, as in ``pipe_leak``.
    """
    middle = 0.5 * (numbers.cut_in + numbers.cut_out)
    share = leak * R_DRY_AIR * numbers.room_temperature * time / (volume * middle)
    return np.asarray(numbers.cut_out * (1.0 - np.exp(-share)))


def _delivered(rating: Rating, pressures: Sequence[Array]) -> tuple[Array, Array]:
    """Dry air of all trains at full speed at pressures, and how warm it comes; shape (draw, 1, pressure)."""
    rows = max(p.shape[0] for p in pressures)
    state = instant(
        rating.numbers, frequency=np.full((1, 1, 1), rating.points[-1].frequency), close_enough=CLOSE,
        receiver_pressure=np.concatenate([np.broadcast_to(p, (rows, 1, 1)) for p in pressures], axis=2),
    )  # fmt: skip
    flows = [np.maximum(t.delivered_dry_air, 1e-9) for t in state.trains]
    flow = np.asarray(sum(flows))
    warm = sum(f * t.cooler_outlet_temperature for f, t in zip(flows, state.trains, strict=True)) / flow
    return flow, np.broadcast_to(warm, flow.shape)


def _pumped(
    numbers: PlantNumbers, parts: list[Receiver[Array]], *, nodes: tuple[Array, Array], flow: Array, warm: Array
) -> HotPumpUp:
    """A rested receiver pumped up between two pressures, by Simpson's rule on what is delivered at both and between."""
    weights = np.array([1.0, 4.0, 1.0]) / 6.0
    surface = sum(SURFACE * r.volume ** (2.0 / 3.0) for r in parts)
    steel = sum(r.mass if r.mass is not None else r.steel_for_volume * 1e3 * r.volume for r in parts)
    return hot_pump_up(
        receiver_volume=np.asarray(sum(r.volume for r in parts)),
        mass_flow=1.0 / np.sum(weights / flow, axis=2, keepdims=True),
        inlet_temperature=np.sum(weights * warm, axis=2, keepdims=True), room_temperature=numbers.room_temperature,
        inside_conductance=parts[0].inside_film * surface,
        outside_conductance=np.asarray(sum(receiver_conductance(r) for r in parts)),
        wall_heat_capacity=STEEL * np.asarray(steel), pressure_start=nodes[0], pressure_end=nodes[1],
    )  # fmt: skip


def _band(values: ArrayLike) -> Band:
    return bands(np.asarray(values, dtype=np.float64).reshape(-1, 1))[0]
