"""Why a number is what it is: equations with one coherent plant's numbers put in, down to the owner's entries."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass, fields
from difflib import get_close_matches

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import BadRequest, UnknownChoice
from airfettle.plant.whole import TRAIN_SECTIONS, walk
from airfettle.quantity import Span
from airfettle.studies.bands import Band, bands
from airfettle.studies.draw import Draw
from airfettle.studies.instant.state import Instant, PathState, TrainState
from airfettle.studies.instant.whole import instant
from airfettle.studies.limits.declared import LIMITS, Limit
from airfettle.studies.limits.margins import applies, scope
from airfettle.studies.limits.numbers import LimitNumbers
from airfettle.studies.meaning import CONSTANTS, FUNCTIONS, Meaning, evaluated, meanings, names_in
from airfettle.studies.reach import Reach
from airfettle.studies.shares import Ranks, shares_by, spread_entries

Array = NDArray[np.float64]

DIGITS = 9
"""Significant digits of the numbers put into an equation. [-]"""
NAMED, LEAST = 5, 0.02
"""Entries named for a number that is solved, and the share of its spread from which one is. [-]"""
SHALLOW = 3
"""Steps down from what was asked, unless all are wanted. [-]"""

ENTRIES: dict[str, tuple[str, ...]] = {
    "barometer": ("site.barometer", "site.altitude", "site.weather"),
    "room_temperature": ("site.room_temperature",),
    "intake_temperature": ("site.room_temperature", "intake.temperature_rise"),
    "intake_humidity_ratio": ("site.humidity", "site.room_temperature"),
    "intake_drop": ("intake.drop",),
    "displacement": ("pump.first_stage.bore", "pump.first_stage.stroke", "pump.displacement", "pump.displacement_flow",
                     "pump.displacement_share", "pump.rated.air"),
    "belt_ratio": ("belt.ratio", "belt.motor_sheave", "belt.pump_sheave", "belt.pitch_doubt", "belt.speed_share"),
    "fastest_ratio": ("belt.ratio", "belt.motor_sheave", "belt.pump_sheave"),
    "belt_creep": ("belt.creep",),
    "belt_efficiency": ("belt.efficiency",),
    "maximum_pump_speed": ("pump.maximum_speed",),
    "rated_pump_speed": ("pump.rated_speed", "pump.maximum_speed"),
    "lowest_pump_speed": ("pump.minimum_speed", "pump.lowest_share", "pump.lowest_anyhow"),
    "cooler_drop": ("cooler.drop",),
    "path_drop": ("separator.drop", "check_valve.drop"),
    "rated_motor_torque": ("motor.power", "motor.speed", "motor.slip"),
    "available_torque_share": ("motor.cooling_floor", "site.altitude"),
    "cooling_torque_share": ("motor.cooling_floor",),
    "drive_output_limit": ("drive.rated_output_current", "drive.single_phase_output_current",
                           "drive.single_phase_share", "drive.rated_power"),
    "drive_efficiency": ("drive.efficiency",),
    "terminal_voltage": ("supply.voltage", "supply.tolerance", "supply.wire", "supply.wire_length"),
    "supply_power_factor": ("drive.true_power_factor", "drive.power_factor_place"),
    "sound_rated": ("pump.sound_level",),
    "sound_exponent": ("pump.sound_exponent",),
    "turning_inertia": ("pump.flywheel_inertia", "pump.flywheel_factor", "belt.pump_sheave", "motor.rotor_inertia"),
    "energy_price": ("site.energy_price",),
    "stroke": ("pump.first_stage.stroke", "pump.first_stage.stroke_over_bore"),
    "flywheel_diameter": ("belt.pump_sheave",),
    "discharge_limit": ("pump.discharge_limit",),
    "drive_input_limit": ("drive.rated_input_current",),
    "breaker_rating": ("supply.breaker",),
    "wire_ampacity": ("supply.wire",),
    "relief_capacity": ("relief_valve.capacity",),
    "swept_density": ("site.room_temperature", "site.altitude", "site.barometer"),
    "separator_lowest": ("separator.lowest_flow",),
    "separator_highest": ("separator.highest_flow",),
    "friction_power": ("pump.friction_pressure", "pump.friction_pressure_speed"),
    "wall_heat_share": ("pump.wall_heat_share",),
    "blow_by_dry_air": ("pump.leakage", "pump.blow_by_share"),
}  # fmt: skip
"""Number -> the entries of the plant file it comes from straight away; of others the draw tells which bear on them."""
ASKED = {"frequency", "receiver_pressure"}
"""Numbers that are where it is looked at."""


@dataclass(frozen=True)
class EntryStep:
    """One entry of the plant file that a number comes from.

    Attributes
    ----------
    path, label : str
        Where it stands, and the trade's words.
    span : Span
        As told or assumed; ``known`` says which.
    source : str
        Source of the default, where it is assumed.
    share : float or None
        Share of the number's spread that comes from it; None where it is one of its direct entries. [-]
    """

    path: str
    label: str
    span: Span
    source: str
    share: float | None


@dataclass(frozen=True)
class Step:
    """One number of the chain.

    Attributes
    ----------
    name : str
        Field, answer id or limit.
    meaning : Meaning
        Label, kind, symbol, equation, what is solved, sources, note.
    value : float
        Of row 0, the one coherent plant at likely values. [SI]
    band : Band
        Over the draw. [SI]
    filled : str
        The equation with row 0's numbers put in; empty where it has none.
    entries : tuple of EntryStep
        Entries it comes from.
    depth : int
        Steps down from what was asked. [-]
    """

    name: str
    meaning: Meaning
    value: float
    band: Band
    filled: str
    entries: tuple[EntryStep, ...]
    depth: int


@dataclass(frozen=True)
class Explanation:
    """Why a number is what it is.

    Attributes
    ----------
    asked : str
        Answer id, field or limit.
    train : str
        Of which train; empty in a plant with one.
    frequency, gauge : float
        Where it is looked at. [Hz] [Pa]
    steps : tuple of Step
        What was asked first, then what it uses, each once.
    cut : bool
        Steps further down were left out.
    """

    asked: str
    train: str
    frequency: float
    gauge: float
    steps: tuple[Step, ...]
    cut: bool


def explainable() -> tuple[str, ...]:
    """Return everything that may be asked about: fields of the state, of the path, and limits."""
    return tuple(dict.fromkeys([*meanings(TrainState), *meanings(PathState), *(limit.name for limit in LIMITS)]))


def reasons(
    reach: Reach, *, asked: str, frequency: float | None = None, gauge: float | None = None, train: str = "",
    deep: bool = False,
) -> Explanation:  # fmt: skip
    """Return why a number is what it is.

    Parameters
    ----------
    reach : Reach
        The plant. [SI]
    asked : str
        Answer id, field of the state, or limit (its margin).
    frequency, gauge : float or None
        Where; None takes the highest frequency that is used, and the likely cut-out. [Hz] [Pa]
    train : str
        Which train, in a plant of several; empty takes the first.
    deep : bool
        Every step down to the entries, not only the first few.

    Raises
    ------
    AirfettleError
        Something that is no number of a plant, or that this plant does not have.
    """
    _check(asked)
    draw, numbers = reach.draw, reach.numbers
    hertz = reach.frequencies[-1] if frequency is None else frequency
    pressure = reach.gauges[-1] if gauge is None else gauge
    state = instant(
        numbers, frequency=np.full((1, 1, 1), hertz), receiver_pressure=draw.barometer + np.full((1, 1, 1), pressure)
    )
    place = _train(draw, train)
    teller = _Teller(draw, _known(draw, reach, state, place, asked), place)
    steps = tuple(teller.steps(asked, depth=0, most=10**6 if deep else SHALLOW))
    name = draw.plant.trains[place].name if len(draw.plant.trains) > 1 else ""
    return Explanation(asked, name, hertz, pressure, steps, teller.cut)


def _check(asked: str) -> None:
    every = explainable()
    if asked not in every:
        near = get_close_matches(asked, every, n=1)
        raise UnknownChoice(
            read=repr(asked), where="explain", wanted="an answer id, a limit or the id of a finding",
            instead=near[0] if near else "",
        )  # fmt: skip


def _train(draw: Draw, train: str) -> int:
    names = [t.name for t in draw.plant.trains]
    if train and train not in names:
        raise UnknownChoice(read=repr(train), where="--train", wanted=f"one of: {', '.join(names)}")
    return names.index(train) if train else 0


def _known(draw: Draw, reach: Reach, state: Instant, place: int, asked: str) -> dict[str, Array]:
    """Numbers by name: of the path alone for its own answers, else of train, path and limits together."""
    if asked in meanings(PathState) and asked not in meanings(TrainState):
        found = {f.name: getattr(state.path, f.name) for f in fields(state.path)}
        known = {name: value for name, value in found.items() if value is not None}
    else:
        known = scope(draw, reach.numbers, state, place=place)
        train = {f.name: getattr(state.trains[place], f.name) for f in fields(state.trains[place])}
        known |= {name: value for name, value in train.items() if value is not None}
    limit = next((each for each in LIMITS if each.name == asked), None)
    if (limit is not None and not applies(limit, known)) or (limit is None and asked not in known):
        raise BadRequest(read=asked, where="explain", wanted="a number that this plant has")
    return known


class _Teller:
    """Walks down the equations, telling each number once."""

    def __init__(self, draw: Draw, known: dict[str, Array], place: int) -> None:
        self.draw, self.known, self.place = draw, known, place
        self.every = meanings(LimitNumbers) | meanings(PathState) | meanings(TrainState)
        self.every |= {limit.name: _of_limit(limit) for limit in LIMITS if limit.name not in self.every}
        self.ranks = Ranks.of(spread_entries(draw))
        self.about = {path: (entry.label, entry.source) for path, _, _, entry, _ in walk(draw.plant)}
        self.told: set[str] = set()
        self.cut = False

    def steps(self, name: str, *, depth: int, most: int) -> Iterator[Step]:
        """Yield a number and all it uses that has not been told yet."""
        if name in self.told:
            return
        self.told.add(name)
        meaning = self.every[name]
        rows = self._rows(name, meaning)
        uses = [used for used in meaning.uses if used not in self.told]
        filled = filled_in(meaning.equation, self.known) if meaning.equation else ""
        yield Step(
            name, meaning, float(rows[0]), bands(rows[:, None])[0], filled, self._entries(name, meaning, rows), depth
        )
        if depth + 1 > most and uses:
            self.cut = True
            return
        for used in uses:
            yield from self.steps(used, depth=depth + 1, most=most)

    def _rows(self, name: str, meaning: Meaning) -> Array:
        value = self.known.get(name)
        if value is None:
            value = evaluated(meaning.equation, {n: self.known[n] for n in names_in(meaning.equation)})
        return np.array(np.broadcast_to(np.ravel(value), (self.draw.rows,)))

    def _entries(self, name: str, meaning: Meaning, rows: Array) -> tuple[EntryStep, ...]:
        """Direct entries of a number; of one that is solved, those that its spread comes from."""
        if meaning.equation or name in ASKED:
            return ()
        direct = [self._entry(path, None) for entry in ENTRIES.get(name, ()) for path in self._paths(entry)]
        if direct:
            return tuple(direct)
        shares = shares_by(rows, ranks=self.ranks)
        return tuple(self._entry(path, share) for path, share in list(shares.items())[:NAMED] if share >= LEAST)

    def _entry(self, path: str, share: float | None) -> EntryStep:
        label, source = self.about.get(path, (path, "practice"))
        return EntryStep(path, label, self.draw.spans[path], source, share)

    def _paths(self, entry: str) -> list[str]:
        """Paths of an entry that were drawn: of this train, or of parts of which there are several."""
        section, _, rest = entry.partition(".")
        trains = self.draw.plant.train
        start = f"train.{trains[self.place].name or self.place + 1}." if trains and section in TRAIN_SECTIONS else ""
        exact = [path for path in (f"{start}{entry}", entry) if path in self.draw.spans][:1]
        own = [path for path in self.draw.spans if path.startswith(f"{start}{section}.") and path.endswith(f".{rest}")]
        return exact or own


def _of_limit(limit: Limit) -> Meaning:
    return Meaning(
        f"margin to {limit.label}", "fraction", equation=limit.equation, sources=limit.sources, note=limit.note
    )


def filled_in(equation: str, known: dict[str, Array]) -> str:
    """Return an equation with row 0's numbers in place of its names; it can be parsed and evaluated as it stands."""
    tree = ast.parse(equation, mode="eval")
    return ast.unparse(ast.fix_missing_locations(_Fill(known).visit(tree)))


class _Fill(ast.NodeTransformer):
    def __init__(self, known: dict[str, Array]) -> None:
        self.known = known

    def visit_Call(self, node: ast.Call) -> ast.AST:
        node.args = [self.visit(argument) for argument in node.args]
        return node

    def visit_Name(self, node: ast.Name) -> ast.AST:
        if node.id in FUNCTIONS or node.id in CONSTANTS:
            return node
        value = float(f"{float(np.ravel(self.known[node.id])[0]):.{DIGITS}g}")
        number = ast.Constant(abs(value))
        return ast.UnaryOp(ast.USub(), number) if value < 0 else number
