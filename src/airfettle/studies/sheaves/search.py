"""The search: every stock sheave and number of belts for each train, in the order they are offered."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.plant.whole import Train
from airfettle.studies.completion.whole import PlantNumbers, TrainNumbers, complete
from airfettle.studies.draw import Draw
from airfettle.studies.reach import Reach
from airfettle.studies.sheaves.candidates import Tried, candidates_of
from airfettle.studies.sheaves.checks import highest_frequency
from airfettle.studies.sheaves.pairs import (
    TRIED,
    Array,
    Pairs,
    groove_doubt,
    motor_there,
    pairs,
    side_by_side,
    stock,
)
from airfettle.studies.sheaves.pump_map import NARROW, WIDE, PumpMap, pump_map
from airfettle.studies.sheaves.ranking import order
from airfettle.studies.sheaves.result import Candidate, SheaveSearch, TrainSheaves
from airfettle.studies.sheaves.wanted import certainty_of, notes_of, wanted_speed, why_not

MOST_BELTS = 4
"""Belts tried where the wheel's grooves are not told. [-]"""
LEAST_WHEEL = 1.5
"""Least outside diameter of another wheel over that of the motor sheave. [-]  Source: practice."""
SLOWEST, FASTEST = 0.3, 1.4
"""Speeds rated on the line, of the pump's highest speed; sheaves that give others are not judged. [-]"""
FAR = 1.25
"""Share of the highest hertz beyond which a sheave would need so many that it is not judged. [-]"""
AT_LEAST = 3
"""Sheaves judged however far they are. [-]"""


def sheaves(plant: Reach | Draw, *, wanted_speed: float | None = None, certainty: float | None = None) -> SheaveSearch:
    """Search for motor sheaves.

    Parameters
    ----------
    plant : Reach or Draw
        The plant, drawn; of a reach its numbers are taken. [SI]
    wanted_speed : float or None
        Of the pump; None takes its rated speed, but no more than its highest speed allows. [1/s]
    certainty : float or None
        Share of the draw in which every limit must hold; None takes the plant's own. [-]

    Returns
    -------
    SheaveSearch
        [SI]

    Raises
    ------
    BadRequest
        A speed or a certainty that cannot be.
    AirfettleError
        Entries contradict each other so far that nothing can be computed.
    """
    draw = plant.draw if isinstance(plant, Reach) else plant
    numbers = plant.numbers if isinstance(plant, Reach) else complete(draw)
    sure = certainty_of(draw, certainty)
    places = range(len(draw.plant.trains))
    tasks = [task(draw, numbers, place=i, asked=wanted_speed, certainty=sure) for i in places]
    return SheaveSearch(draw, sure, tuple(_train(each) for each in tasks))


@dataclass(frozen=True)
class Task:
    """What is searched for in one train: plant, wanted speed and where from, sections with their pairs, and how many
    stock sheaves are too far to be among them. [SI]
    """

    draw: Draw
    numbers: PlantNumbers
    place: int
    certainty: float
    wanted: float
    wanted_from: str
    pairs: dict[str, Pairs]
    far: int
    why_not: str


def task(draw: Draw, numbers: PlantNumbers, *, place: int, asked: float | None, certainty: float) -> Task:
    """Return what is to be searched for in one train."""
    plain = draw.plant.trains[place]
    speed, words = wanted_speed(numbers.trains[place], asked=asked, certainty=certainty)
    problem, found, far = why_not(plain), {}, 0
    if not problem:
        assert plain.belt is not None
        doubt = groove_doubt(draw, place=place)
        for section in TRIED if plain.belt.section == "unknown" else (plain.belt.section,):
            sizes = stock(section)
            near = _near(plain, numbers.trains[place], section=section, sizes=sizes, wanted=speed)
            far += int(np.count_nonzero(~near))
            found[section] = pairs(plain.belt, section=section, motor=sizes[near][None, :, None], doubt=doubt)
            present = motor_there(plain.belt, section=section)
            if present is not None:
                there = pairs(plain.belt, section=section, motor=present, doubt=doubt)
                found[section] = side_by_side(found[section], there)
    return Task(draw, numbers, place, certainty, speed, words, found, far, problem)


def _near(plain: Train[Array], train: TrainNumbers, *, section: str, sizes: Array, wanted: float) -> NDArray[np.bool_]:
    """Mark the sheaves whose hertz, or on the line whose speeds, at likely values are not far beyond what can be."""
    belt, drive, motor = plain.belt, plain.drive, train.power.motor
    assert belt is not None
    assert drive is not None
    pair = pairs(belt, section=section, motor=sizes[None, :, None], doubt=np.full((1, 1, 1), 0.5))
    gear = _likely(1.0 - train.pump.creep) / pair.fastest_ratio[0, :, 0]
    highest = highest_frequency(drive, train)
    if highest is None:
        beyond = _likely(motor.rated_speed) * gear / _likely(train.pump.maximum_speed)
        far = np.maximum(beyond / FASTEST, SLOWEST / beyond)
    else:
        fall = _likely(motor.rated_slip) * 2.0 * _likely(motor.frequency) / _likely(motor.poles)
        far = (wanted / gear + fall) * 0.5 * _likely(motor.poles) / (FAR * _likely(highest))
    return np.asarray((far <= 1.0) | (np.argsort(np.argsort(far)) < AT_LEAST))


def _likely(value: Array) -> float:
    return float(np.ravel(value)[0])


def rated_pump(given: Task) -> PumpMap:
    """Return the pump of a task over the speeds that its sheaves give it: the costly part, done once."""
    train = given.numbers.trains[given.place]
    if train.power.direct:
        highest = train.pump.maximum_speed
        ends = SLOWEST * float(np.min(highest)), FASTEST * float(np.max(highest))
        return pump_map(given.numbers, place=given.place, lowest=ends[0], highest=ends[1], speeds=WIDE)
    slowest = min(float(np.min(pair.fastest_ratio / pair.ratio)) for pair in given.pairs.values())
    ends = 0.97 * slowest * given.wanted, 1.01 * given.wanted
    return pump_map(given.numbers, place=given.place, lowest=ends[0], highest=ends[1], speeds=NARROW)


def searched(given: Task, pump: PumpMap) -> list[Candidate]:
    """Return the candidates of a task, best first."""
    found: list[Candidate] = []
    for section, pair in given.pairs.items():
        found += candidates_of(tried_in(given, section, pair, pump))
    return sorted(found, key=lambda c: order(c, certainty=given.certainty))


def other_wheels(given: Task, pump: PumpMap, best: list[Candidate]) -> list[Candidate]:
    """Return the best sheaves with other stock sheaves as the pump's wheel, best first."""
    belt = given.draw.plant.trains[given.place].belt
    assert belt is not None
    found: list[Candidate] = []
    for candidate in best:
        sizes = stock(candidate.section)
        wheels = sizes[sizes >= LEAST_WHEEL * candidate.outside]
        if not wheels.size:
            continue
        pair = pairs(
            belt, section=candidate.section, motor=np.full((1, wheels.size, 1), candidate.outside),
            wheel=wheels[None, :, None], doubt=groove_doubt(given.draw, place=given.place),
        )  # fmt: skip
        tried = tried_in(given, candidate.section, pair, pump, present=candidate.present, wheels=wheels)
        found += candidates_of(tried)
    return sorted(found, key=lambda c: order(c, certainty=given.certainty))


def _train(given: Task) -> TrainSheaves:
    train = given.numbers.trains[given.place]
    plain = given.draw.plant.trains[given.place]
    direct = train.power.direct
    base = _likely(train.power.supply_frequency if direct else train.power.motor.frequency)
    belt = plain.belt
    found: list[Candidate] = []
    wheels: list[Candidate] = []
    notes: tuple[str, ...] = ()
    if not given.why_not:
        assert belt is not None
        pump = rated_pump(given)
        found = searched(given, pump)
        read = belt.ratio is not None and belt.motor_sheave is not None
        notes = notes_of(plain, train, sections=tuple(given.pairs), ratio_read=read)
        if belt.wheel_may_change == "yes":
            wheels = other_wheels(given, pump, _two_best(found))
    drive = plain.drive
    told = None if direct or drive is None or drive.maximum_frequency is None else _likely(drive.maximum_frequency)
    return TrainSheaves(
        plain.name, given.wanted, given.wanted_from, direct, base, told, belt is not None and belt.section != "unknown",
        tuple(found), tuple(wheels), given.far, given.why_not, notes,
    )  # fmt: skip


def _two_best(found: list[Candidate]) -> list[Candidate]:
    """The two best sheaves, each once whatever its belts."""
    first: dict[tuple[str, float, bool], Candidate] = {}
    for candidate in found:
        first.setdefault((candidate.section, candidate.outside, candidate.present), candidate)
    return list(first.values())[:2]


def tried_in(
    given: Task, section: str, pair: Pairs, pump: PumpMap, *, present: bool | None = None, wheels: Array | None = None
) -> Tried:
    """Return pairs of a task as they are judged: with their belts, and the last of them the sheave that is there.

    Other wheels make all of them the sheave that is there, or none.
    """
    belt = given.draw.plant.trains[given.place].belt
    assert belt is not None
    count = pair.ratio.shape[1]
    last = present if present is not None else belt.motor_sheave is not None
    marks = tuple(last if wheels is not None else last and i == count - 1 for i in range(count))
    return Tried(
        draw=given.draw, numbers=given.numbers, place=given.place, certainty=given.certainty, wanted=given.wanted,
        section=section, belts=range(1, (belt.count or MOST_BELTS) + 1), pairs=pair, present=marks, wheels=wheels,
        pump=pump,
    )  # fmt: skip
