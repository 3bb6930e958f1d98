"""Why a number is what it is: equations with one coherent plant's numbers put in, down to the owner's entries."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches

import numpy as np
from numpy.typing import NDArray

from airfettle.errors import BadRequest, UnknownChoice
from airfettle.studies.bands import Band, bands
from airfettle.studies.bearing import Bearing, ChoiceStep, EntryStep
from airfettle.studies.draw import Draw
from airfettle.studies.instant.state import PathState, TrainState
from airfettle.studies.limits.declared import LIMITS, Limit
from airfettle.studies.limits.margins import margins
from airfettle.studies.limits.numbers import LimitNumbers
from airfettle.studies.meaning import CONSTANTS, FUNCTIONS, Meaning, evaluated, meanings, names_in
from airfettle.studies.rating import default_frequencies
from airfettle.studies.reach import Reach
from airfettle.studies.whereabouts import There, Whereabouts, there

Array = NDArray[np.float64]

DIGITS = 9
"""Significant digits of the numbers put into an equation. [-]"""
SHALLOW = 3
"""Steps down from what was asked, unless all are wanted. [-]"""
ASKED = {"frequency", "receiver_pressure"}
"""Numbers that are where it is looked at."""
OF_THE_SITE = {"barometer", "room_temperature", "receiver_pressure", "energy_price"}
"""Numbers that all trains share, told once."""
QUOTIENTS = {
    "volumetric_efficiency": (("delivered_air",), ("displacement", "pump_speed")),
    "specific_power": (("electrical_power",), ("delivered_air",)),
}
"""Answers of several trains that are a sum of products over another."""


@dataclass(frozen=True)
class Step:
    """One number of the chain.

    Attributes
    ----------
    name : str
        Field, answer id or limit; with the train's name behind it where an equation over several trains names it.
    train : str
        Whose it is, in a plant of several trains.
    meaning : Meaning
        Label, kind, symbol, equation, what is solved, sources, note.
    value : float
        Of row 0, the one coherent plant at likely values. [SI]
    band : Band
        Over the draw, where the motors hold the point. [SI]
    filled : str
        The equation with row 0's numbers put in; empty where it has none.
    entries : tuple of EntryStep
        Entries it comes from.
    choices : tuple of ChoiceStep
        Choices it hangs on.
    depth : int
        Steps down from what was asked. [-]
    """

    name: str
    train: str
    meaning: Meaning
    value: float
    band: Band
    filled: str
    entries: tuple[EntryStep, ...]
    choices: tuple[ChoiceStep, ...]
    depth: int


@dataclass(frozen=True)
class Explanation:
    """Why a number is what it is.

    Attributes
    ----------
    asked : str
        Answer id, field or limit.
    train : str
        Of which train; empty in a plant with one, and for all of them together.
    frequency, gauge : float
        Where it is looked at. [Hz] [Pa]
    steps : tuple of Step
        What was asked first, then what it uses, each once.
    cut : bool
        Steps further down were left out.
    runs_share : float
        Share of the draw in which every motor holds this point; the bands are of those rows. [-]
    """

    asked: str
    train: str
    frequency: float
    gauge: float
    steps: tuple[Step, ...]
    cut: bool
    runs_share: float


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
        Answer id, field of the state, or limit (its margin; that of the motor's torque goes before the torque).
    frequency, gauge : float or None
        Where; None takes full frequency and the likely cut-out, as a rating shows them last, and for a limit the
        point of the settings where its margin is least. [Hz] [Pa]
    train : str
        Which train, in a plant of several; empty takes all together for an answer, the worst for a limit, else the
        first.
    deep : bool
        Every step down to the entries, not only the first few.

    Raises
    ------
    AirfettleError
        Something that is no number of a plant, or that this plant does not have.
    """
    _check(asked)
    limit = next((each for each in LIMITS if each.name == asked), None)
    place = _train(reach.draw, train)
    if limit is not None:
        place, at = _where_worst(reach, limit.name, place, frequency, gauge)
    else:
        at = _where(reach, frequency, gauge)
    teller = _Teller(reach, at=at, most=10**6 if deep else SHALLOW)
    several = len(reach.draw.plant.trains) > 1
    whole = several and place is None and asked in meanings(TrainState) and meanings(TrainState)[asked].is_answer
    if limit is not None:
        own = place or 0
        steps, name = tuple(teller.margin(limit, place=own)), reach.draw.plant.trains[own].name if several else ""
    elif asked in meanings(PathState) and asked not in meanings(TrainState):
        steps, name = tuple(teller.steps(asked, place=None)), ""
    elif whole:
        steps, name = tuple(teller.together(asked)), ""
    else:
        own = place or 0
        steps, name = tuple(teller.steps(asked, place=own)), reach.draw.plant.trains[own].name if several else ""
    runs = float(np.mean(teller.there.runs))
    return Explanation(asked, name, at.frequency, at.gauge, steps, teller.cut, runs)


def _check(asked: str) -> None:
    every = explainable()
    if asked not in every:
        near = get_close_matches(asked, every, n=1)
        raise UnknownChoice(
            read=repr(asked), where="explain", wanted="an answer id, a limit or the id of a finding",
            instead=near[0] if near else "",
        )  # fmt: skip


def _missing(asked: str) -> BadRequest:
    return BadRequest(read=asked, where="explain", wanted="a number that this plant has")


def _train(draw: Draw, train: str) -> int | None:
    names = [t.name for t in draw.plant.trains]
    if train and train not in names:
        raise UnknownChoice(read=repr(train), where="--train", wanted=f"one of: {', '.join(names)}")
    return names.index(train) if train else None


def _where(reach: Reach, frequency: float | None, gauge: float | None) -> Whereabouts:
    """Where a rating shows it: full frequency with the others beside it, or the one asked for; at likely pressure."""
    used = default_frequencies(reach.draw, reach.numbers) if frequency is None else (frequency,)
    return Whereabouts(used, len(used) - 1, reach.gauges[-1] if gauge is None else gauge)


def _where_worst(
    reach: Reach, limit: str, place: int | None, frequency: float | None, gauge: float | None
) -> tuple[int, Whereabouts]:
    """Train and point with the least margin among those that the settings reach, as the findings see them."""
    places = range(len(reach.state.trains)) if place is None else (place,)
    found = {
        i: each
        for i in places
        if (each := margins(reach.draw, reach.numbers, reach.state, place=i).get(limit)) is not None
    }
    if not found:
        raise _missing(limit)
    asked = [_near(reach.frequencies, frequency), _near(reach.gauges, gauge)]
    if (frequency is not None and asked[0] is None) or (gauge is not None and asked[1] is None):
        return min(found, key=lambda i: float(np.mean(found[i]))), _where(reach, frequency, gauge)
    shape = (len(reach.frequencies), len(reach.gauges))
    keep = np.ones(shape, dtype=bool)
    if asked[0] is not None:
        keep &= (np.arange(shape[0]) == asked[0])[:, None]
    if asked[1] is not None:
        keep &= (np.arange(shape[1]) == asked[1])[None, :]
    least = {i: np.where(keep, np.median(np.broadcast_to(m, (m.shape[0], *shape)), axis=0), np.inf)
             for i, m in found.items()}  # fmt: skip
    worst = min(least, key=lambda i: float(np.min(least[i])))
    speed, end = (int(each) for each in np.unravel_index(int(np.argmin(least[worst])), shape))
    return worst, Whereabouts(reach.frequencies, speed, reach.gauges[end], end)


def _near(values: tuple[float, ...], wanted: float | None) -> int | None:
    """Place of a value among others, or None where it is not among them or not asked for."""
    return next((i for i, v in enumerate(values) if wanted is not None and np.isclose(v, wanted, rtol=1e-6)), None)


class _Teller:
    """Walks down the equations, telling each number once."""

    def __init__(self, reach: Reach, *, at: Whereabouts, most: int) -> None:
        self.draw, self.most = reach.draw, most
        self.there: There = there(reach.draw, numbers=reach.numbers, at=at)
        self.bearing = Bearing(reach.draw, at=at)
        self.names = [train.name for train in reach.draw.plant.trains]
        self.told: set[tuple[int | None, str]] = set()
        self.cut = False

    def steps(self, name: str, *, place: int | None, depth: int = 0, shown_as: str = "") -> Iterator[Step]:
        """Yield a number of a train, or of the air path where the place is None, and all it uses, each once."""
        known = self.there.path if place is None else self.there.trains[place]
        meaning = _meaning(name, path=place is None)
        if name not in known or any(used not in known for used in meaning.uses):
            raise _missing(name)
        if self._key(name, place) in self.told:
            return
        self.told.add(self._key(name, place))
        yield self._step(shown_as or name, name, meaning, known[name], known, place, depth)
        yield from self._below([(used, place, "") for used in meaning.uses], depth)

    def margin(self, limit: Limit, *, place: int) -> Iterator[Step]:
        """Yield the margin to a limit of a train, and all it uses."""
        meaning, known = _of_limit(limit), self.there.trains[place]
        yield self._step(limit.name, limit.name, meaning, _value(limit.equation, known), known, place, 0)
        yield from self._below([(used, place, "") for used in meaning.uses], 0)

    def together(self, name: str) -> Iterator[Step]:
        """Yield an answer of all trains as one plant, then each train's own."""
        every = meanings(TrainState)
        there = [i for i, known in enumerate(self.there.trains) if name in known]
        if not there:
            raise _missing(name)
        tags = {i: f"_{_tag(self.names[i] or str(i + 1))}" for i in there}
        equation = _joined(name, [tags[i] for i in there], total=every[name].total)
        known = {
            f"{used}{tags[i]}": self.there.trains[i][used]
            for i in there
            for used in self.there.trains[i]
            if f"{used}{tags[i]}" in names_in(equation)
        }
        meaning = replace(every[name], label=f"{every[name].label}, all trains", equation=equation, solved="", note="")
        yield self._step(name, name, meaning, _value(equation, known), known, None, 0)
        own = {f"{used}{tags[i]}": (used, i) for i in there for used in self.there.trains[i]}
        yield from self._below([(*own[used], used) for used in names_in(equation)], 0)

    def _key(self, name: str, place: int | None) -> tuple[int | None, str]:
        return (None, name) if name in OF_THE_SITE else (place, name)

    def _below(self, uses: list[tuple[str, int | None, str]], depth: int) -> Iterator[Step]:
        left = [each for each in uses if self._key(each[0], each[1]) not in self.told]
        if depth + 1 > self.most and left:
            self.cut = True
            return
        for used, place, shown_as in left:
            yield from self.steps(used, place=place, depth=depth + 1, shown_as=shown_as)

    def _step(
        self, shown_as: str, name: str, meaning: Meaning, rows: Array, known: dict[str, Array], place: int | None,
        depth: int,
    ) -> Step:  # fmt: skip
        whole, several = np.broadcast_to(rows, (self.draw.rows,)), len(self.names) > 1
        entries = () if meaning.equation else self.bearing.entries(name, rows, place=place)
        return Step(
            name=shown_as, train=self.names[place] if place is not None and several and name not in OF_THE_SITE else "",
            meaning=meaning, value=float(rows[0]), band=bands(whole[:, None], only=self.there.runs[:, None])[0],
            filled=filled_in(meaning.equation, known) if meaning.equation else "", entries=entries,
            choices=self.bearing.choices(name, place=place), depth=depth,
        )  # fmt: skip


def _meaning(name: str, *, path: bool) -> Meaning:
    if path:
        return meanings(PathState)[name]
    return (meanings(LimitNumbers) | meanings(PathState) | meanings(TrainState))[name]


def _of_limit(limit: Limit) -> Meaning:
    return Meaning(
        f"margin to {limit.label}", "fraction", equation=limit.equation, sources=limit.sources, note=limit.note
    )


def _value(equation: str, known: dict[str, Array]) -> Array:
    return np.ravel(evaluated(equation, {name: known[name] for name in names_in(equation)}))


def _tag(name: str) -> str:
    """A train's name as it may stand behind a name in an equation."""
    return re.sub(r"\W+", "_", name).strip("_").lower() or "train"


def _joined(name: str, tags: list[str], *, total: bool) -> str:
    """How an answer of several trains comes from each train's, as ``joining.together`` does it."""
    if name in QUOTIENTS:
        over, under = (" + ".join(" * ".join(f"{part}{tag}" for part in parts) for tag in tags)
                       for parts in QUOTIENTS[name])  # fmt: skip
        return f"({over}) / ({under})"
    own = [f"{name}{tag}" for tag in tags]
    if name == "sound_level":
        return f"10 * log10({' + '.join(f'10 ** ({each} / 10)' for each in own)})"
    if total:
        return " + ".join(own)
    found = own[0]
    for each in own[1:]:
        found = f"maximum({found}, {each})"
    return found


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
        if node.id in FUNCTIONS or node.id == "pi":
            return node
        exact = CONSTANTS[node.id] if node.id in CONSTANTS else float(np.ravel(self.known[node.id])[0])
        value = float(f"{exact:.{DIGITS}g}")
        number = ast.Constant(abs(value))
        return ast.UnaryOp(ast.USub(), number) if value < 0 else number
