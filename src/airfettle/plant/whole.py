"""The whole plant: site, one or more trains, one air path, control and readings."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any, ClassVar, Generic

from pydantic import model_validator

from airfettle.errors import AirfettleError, EntriesDisagree, UnknownChoice
from airfettle.plant.belt import Belt
from airfettle.plant.control import Control, Reading
from airfettle.plant.cooler import Cooler
from airfettle.plant.drive import Drive
from airfettle.plant.intake import Intake
from airfettle.plant.lines import HotLine, ShopPipe
from airfettle.plant.motor import Motor
from airfettle.plant.part import Entry, Model, Part, Q, choice, entry_of, for_loader
from airfettle.plant.pump import Pump
from airfettle.plant.ready_made import OtherCost, ReadyMade
from airfettle.plant.receiver import CheckValve, Receiver, ReliefValve
from airfettle.plant.separator import Separator
from airfettle.plant.site import Site
from airfettle.plant.supply import MotorLead, Supply
from airfettle.plant.treatment import Dryer, Filter
from airfettle.plant.use import Use
from airfettle.quantity import Span, Units

TRAIN_SECTIONS = ("supply", "drive", "motor_lead", "motor", "belt", "intake", "pump", "hot_line", "cooler")
"""Sections that belong to a train; in a plant with one train they stand at the top of the file."""

SEVERAL = ("train", "receiver", "relief_valve", "filter", "use", "reading", "ready_made", "other_cost")
"""Sections of which there may be several."""

NEVER_ABSENT = ("control", "supply", "motor", "pump")
"""Sections that every plant has, told or not."""

IN_ORDER = (
    ("control", "cut_in", "cut_out"), ("control", "low", "full"), ("control", "quiet", "full"),
    ("drive", "minimum_frequency", "maximum_frequency"), ("pump", "minimum_speed", "maximum_speed"),
    ("separator", "lowest_flow", "highest_flow"),
)  # fmt: skip
"""Entries of which the first cannot lie above the second."""

DEFAULT_AIR_PATH = ("separator", "check_valve", "receiver", "filter", "dryer")
"""Order after the coolers where the owner does not give one; each only if it is there."""


class About(Model[Q], Generic[Q]):
    """The plant as a whole."""

    title = "the plant as a whole"
    name: str = choice("what the plant is called", default="Unnamed plant")
    units: Units = choice("units to show: US or SI", default="SI")
    currency: str = choice("currency of prices, as it should be shown", default="")
    certainty: float = choice(
        "certainty wanted of window, sizes and pass bands, 0.5 to 0.999", default=0.95, ge=0.5, le=0.999
    )
    revision: str = choice("revision of this file, as drawings made from it show it", default="")
    date: str = choice("date of this state of the plant, as drawings made from it show it", default="")
    based_on: str = choice("another plant file that this one changes", default="")
    air_path: tuple[str, ...] = choice(
        "order of what the air meets after the coolers", default=(), say="names of parts, in order"
    )


class Train(Model[Q], Generic[Q]):
    """One pump with what drives and cools it."""

    title = "one pump with what drives and cools it"
    name: str = choice("what it is called", default="")
    supply: Supply[Q] | None = choice("the electrical supply")
    drive: Drive[Q] | None = choice("the drive")
    motor_lead: MotorLead[Q] | None = choice("the motor lead")
    motor: Motor[Q] | None = choice("the motor")
    belt: Belt[Q] | None = choice("belt and sheaves")
    intake: Intake[Q] | None = choice("the intake filter")
    pump: Pump[Q] | None = choice("the pump")
    hot_line: HotLine[Q] | None = choice("the hot line from the pump")
    cooler: Cooler[Q] | None = choice("the aftercooler")


class Plant(Model[Q], Generic[Q]):
    """Everything an owner's plant file says; sections that are not told are None."""

    title: ClassVar[str] = "the plant file"
    plant: About[Q] | None = choice("the plant as a whole")
    site: Site[Q] | None = choice("the shop")
    control: Control[Q] | None = choice("control and speeds")
    supply: Supply[Q] | None = choice("the electrical supply")
    drive: Drive[Q] | None = choice("the drive")
    motor_lead: MotorLead[Q] | None = choice("the motor lead")
    motor: Motor[Q] | None = choice("the motor")
    belt: Belt[Q] | None = choice("belt and sheaves")
    intake: Intake[Q] | None = choice("the intake filter")
    pump: Pump[Q] | None = choice("the pump")
    hot_line: HotLine[Q] | None = choice("the hot line from the pump")
    cooler: Cooler[Q] | None = choice("the aftercooler")
    train: tuple[Train[Q], ...] = choice("trains, where there are several", default=())
    separator: Separator[Q] | None = choice("the water separator")
    check_valve: CheckValve[Q] | None = choice("the check valve")
    receiver: tuple[Receiver[Q], ...] = choice("the receiver or receivers", default=())
    relief_valve: tuple[ReliefValve[Q], ...] = choice("the relief valve or valves", default=())
    dryer: Dryer[Q] | None = choice("the dryer")
    filter: tuple[Filter[Q], ...] = choice("the filters, in order", default=())
    shop_pipe: ShopPipe[Q] | None = choice("the pipe round the shop")
    use: tuple[Use[Q], ...] = choice("what the air is used for", default=())
    reading: tuple[Reading[Q], ...] = choice("readings taken on the running plant", default=())
    ready_made: tuple[ReadyMade[Q], ...] = choice("ready-made units considered in its place", default=())
    other_cost: tuple[OtherCost[Q], ...] = choice("costs that are no part of the plant", default=())

    @model_validator(mode="before")
    @classmethod
    def _one_or_several(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        return data | {key: [data[key]] for key in SEVERAL if isinstance(data.get(key), (dict, str))}

    @model_validator(mode="before")
    @classmethod
    def _hung(cls, data: Any) -> Any:
        """Mark the uses that hang on drops of the shop's pipe, whose loss on the way follows from there."""
        pipe, uses = (data.get(key) for key in ("shop_pipe", "use")) if isinstance(data, dict) else (None, None)
        drops = pipe.get("drops") if isinstance(pipe, dict) else None
        uses = [uses] if isinstance(uses, dict) else uses
        if not (isinstance(drops, list) and isinstance(uses, list)):
            return data
        return data | {"use": [use | {"hangs": True} if isinstance(use, dict) else use for use in uses]}

    @model_validator(mode="after")
    def _check(self) -> Plant[Q]:
        beside = [key for key in TRAIN_SECTIONS if key != "supply" and getattr(self, key) is not None]
        if self.train and beside:
            problem = EntriesDisagree(
                read=f"[[train]] and also [{beside[0]}] at the top",
                wanted="either one train, its sections at the top, or all of them under [[train]]",
            )
            raise for_loader(problem, beside[0])
        for key in SEVERAL:
            self._check_names(key)
        for owner in (self, *self.train):
            for key in NEVER_ABSENT:
                part = getattr(owner, key, None)
                if part is not None and part.absent:
                    raise EntriesDisagree(
                        read=f'{key} = "none"', wanted=f"a plant has a {key}: leave it out where you know nothing of it"
                    )
        for section, lower, upper in IN_ORDER:
            _check_order(self, section, lower, upper)
        self._check_air_path()
        if self.shop_pipe is not None and self.shop_pipe.piped:
            self._check_drops(self.shop_pipe)
        return self

    def _check_drops(self, pipe: ShopPipe[Q]) -> None:
        """Refuse tools that hang nowhere, and drops that name what is not there."""
        uses = {use.called: use for use in self.use if not use.absent}
        filters = [part.name for part in self.filter if part.name and not part.absent]
        for key, parts, entry in (("drops", pipe.drops, "tools"), ("drops", pipe.drops, "through"),
                                  ("runs", pipe.runs, "through")):  # fmt: skip
            there = list(uses) if entry == "tools" else filters
            what = "[[use]]" if entry == "tools" else "[[filter]]"
            for at, part in enumerate(parts):
                for name in getattr(part, entry):
                    if name not in there:
                        problem: AirfettleError = UnknownChoice(
                            read=f"{part.name!r} names {name!r}", wanted=f"the name of a {what} of this file"
                            + (f": {', '.join(there)}" if there else ", of which there is none with a name yet"),
                            instead="".join(get_close_matches(name, there, n=1)),
                        )  # fmt: skip
                        raise for_loader(problem, "shop_pipe", key, at, entry)
        hung = {name for drop in pipe.drops if not drop.absent for name in drop.tools}
        for place, use in enumerate(self.use):
            if not use.absent and use.called not in hung:
                problem = EntriesDisagree(
                    read=f"the tool {use.called!r} on no drop of the shop's pipe",
                    wanted="its name among the tools of a drop, or no drops at all",
                )
                raise for_loader(problem, "use", place)
            if not use.absent and use.is_told("lost_on_the_way"):
                problem = EntriesDisagree(
                    read=f"lost_on_the_way for {use.called!r}, which hangs on a drop",
                    wanted="what is lost follows from the pipe, coupler and hose: take this entry out",
                )
                raise for_loader(problem, "use", place, "lost_on_the_way")

    def _check_names(self, key: str) -> None:
        """Refuse several parts of a sort without a name of its own each."""
        parts = [part for part in getattr(self, key) if hasattr(part, "name")]
        seen: set[str] = set()
        for place, part in enumerate(parts):
            if len(parts) > 1 and (not part.name or part.name in seen):
                read = f"a second [[{key}]] named {part.name!r}" if part.name else f"a [[{key}]] without a name"
                problem = EntriesDisagree(
                    read=read, wanted=f"a name of its own for each [[{key}]]", instead='name = "..." in each'
                )
                raise for_loader(problem, key, place, "name")
            seen.add(part.name)

    def _check_air_path(self) -> None:
        """Refuse an air path that names what is not there, or a part twice."""
        allowed = self.stations()
        for place, name in enumerate(self.about.air_path):
            if name not in allowed:
                problem: AirfettleError = UnknownChoice(
                    read=f"air_path names {name!r}",
                    wanted="parts of this file"
                    + (f": {', '.join(allowed)}" if allowed else ", of which there is none yet"),
                    instead="".join(get_close_matches(name, allowed, n=1)),
                )
                raise for_loader(problem, "plant", "air_path")
            if name in self.about.air_path[:place]:
                problem = EntriesDisagree(read=f"air_path names {name!r} twice", wanted="each part once, in order")
                raise for_loader(problem, "plant", "air_path")

    @property
    def about(self) -> About[Q]:
        """What the plant is called and how it is shown; defaults where nothing is told."""
        return self.plant or About[Q]()

    @property
    def trains(self) -> tuple[Train[Q], ...]:
        """All trains; the sections at the top of a file with one train are its train."""
        if self.train:
            return tuple(t if t.supply else t.model_copy(update={"supply": self.supply}) for t in self.train)
        return (Train[Q].model_construct(name="", **{key: getattr(self, key) for key in TRAIN_SECTIONS}),)

    def stations(self) -> tuple[str, ...]:
        """Names of the parts that air meets after the coolers, in the default order; none that stands in the pipe."""
        found: list[str] = []
        elsewhere = self.in_the_pipe()
        for key in DEFAULT_AIR_PATH:
            parts = getattr(self, key)
            there = [p for p in (parts if isinstance(parts, tuple) else (parts,)) if p is not None and not p.absent
                     and not (key == "filter" and p.name in elsewhere)]  # fmt: skip
            found += [f"{key}.{p.name}" if key in SEVERAL and p.name else key for p in there]
        return tuple(found)

    def in_the_pipe(self) -> frozenset[str]:
        """Names of the filters that stand in a run or drop of the shop's pipe."""
        pipe = self.shop_pipe
        if pipe is None or pipe.absent:
            return frozenset()
        several = (*(run.through for run in pipe.runs), *(drop.through for drop in pipe.drops))
        return frozenset(name for through in several for name in through)

    def air_path(self) -> tuple[str, ...]:
        """Names of the parts that air meets after the coolers, in this plant's order."""
        return self.about.air_path or self.stations()

    def station(self, name: str) -> Part[Q]:
        """Return the part an air-path name stands for."""
        key, _, own = name.partition(".")
        parts = getattr(self, key)
        for part in parts if isinstance(parts, tuple) else (parts,):
            if not own or part.name == own:
                return part  # type: ignore[no-any-return]
        raise UnknownChoice(read=name, wanted="a part of this plant")


def _check_order(plant: Plant[Any], section: str, lower: str, upper: str) -> None:
    """Refuse two entries that are the wrong way round whatever their spreads."""
    for place, owner in enumerate((plant, *plant.train)):
        part = getattr(owner, section, None)
        low, high = getattr(part, lower, None), getattr(part, upper, None)
        if isinstance(low, Span) and isinstance(high, Span) and low.kind == high.kind and low.low > high.high:
            problem = EntriesDisagree(
                read=f"{section}.{lower} = {low.text!r} above {section}.{upper} = {high.text!r}",
                wanted=f"{lower} below {upper}",
            )
            raise for_loader(problem, *(("train", place - 1) if place else ()), section, lower)


def walk(plant: Model[Any], path: str = "") -> Iterator[tuple[str, Model[Any], str, Entry, Any]]:
    """Yield (path, section, entry name, description, value) of every quantity in the plant.

    The path is the entry's stable id: sections by key, one of several by its name or place.
    """
    for name, info in type(plant).model_fields.items():
        value = getattr(plant, name)
        here = f"{path}.{name}" if path else name
        entry = entry_of(info)
        if entry:
            yield here, plant, name, entry, value
        elif isinstance(value, Model):
            yield from walk(value, here)
        elif isinstance(value, tuple):
            for place, item in enumerate(value):
                if isinstance(item, Model):
                    own = getattr(item, "name", "") or (str(place + 1) if len(value) > 1 else "")
                    yield from walk(item, f"{here}.{own}" if own else here)


def walk_sections(plant: Model[Any], path: str = "") -> Iterator[tuple[str, Model[Any]]]:
    """Yield (path, section) of every section in the plant, parts of parts behind their part."""
    for name in type(plant).model_fields:
        value = getattr(plant, name)
        here = f"{path}.{name}" if path else name
        several = value if isinstance(value, tuple) else (value,)
        for place, item in enumerate(several):
            if isinstance(item, Model):
                own = getattr(item, "name", "") or (str(place + 1) if len(several) > 1 else "")
                at = f"{here}.{own}" if own and isinstance(value, tuple) else here
                yield at, item
                yield from walk_sections(item, at)


OwnersPlant = Plant[Span]
"""A plant as the owner's file gives it."""
