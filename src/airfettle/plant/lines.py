"""The hot line from pump to cooler or receiver, and the pipe round the shop."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any, Generic, Literal

from pydantic import model_validator

from airfettle.errors import AirfettleError, EntriesDisagree, MissingEntry, UnknownChoice
from airfettle.parts.pipe_stock import read_pipe
from airfettle.plant.part import Part, Q, YesNo, choice, fact, for_loader, quantity
from airfettle.plant.pipework import RECEIVER, CouplerKind, Drop, LeakTest, Run, read_position


class HotLine(Part[Q], Generic[Q]):
    """Everything between the pump's outlet and the cooler, or the receiver where there is no cooler."""

    title = "the hot line from the pump to the cooler or receiver"
    material: Literal[
        "steel",
        "stainless steel",
        "copper, brazed or flared",
        "copper, soft soldered",
        "aluminium",
        "PTFE hose with steel braid",
        "rubber hose",
        "nylon",
        "PEX",
        "PVC",
        "unknown",
    ] = fact(
        "What is the line from the pump made of, the weakest piece of it?",
        look="with the pump off and cold, read the print on hoses and look at every joint: soft solder is a silvery "
        "ring, brazing a yellow one",
        grave=True,
    )
    flexible_piece: YesNo = fact(
        "Is there a hose, a coil or a long free bend in it that gives when the pump shakes?",
        look="look between the pump's outlet and the first clamp or part that stands still",
    )
    pressure_rating: Q | None = quantity(
        "pressure",
        "pressure that its weakest piece is rated for",
        role="limit",
        example_us="1000 psi by plate",
        example_si="70 bar by plate",
        measure="the print on the hose, or the maker's sheet",
    )
    temperature_rating: Q | None = quantity(
        "temperature",
        "temperature that its weakest piece is rated for",
        role="limit",
        example_us="450 °F by maker",
        example_si="230 °C by maker",
        measure="the print on the hose, or the maker's sheet",
    )
    volume: Q = quantity(
        "volume",
        "what is emptied at each stop: line, and cooler where the check valve stands behind it",
        default="0.3..3 L",
        low=0.0,
        high=1.0,
        example_us="60 in3",
        example_si="1 L",
        in_time=True,
    )
    stop_valve: YesNo = fact(
        "Is there a valve or cock anywhere between the pump and the receiver that a hand can shut?",
        look="follow the whole way, past cooler and water separator; the check valve does not count",
        grave=True,
    )
    interstage_relief: YesNo = fact(
        "Two-stage pump: has it a small relief valve of its own between the stages?",
        look="look on the intercooler or its manifold, between the large and the small cylinder",
        grave=True,
    )


class ShopPipe(Part[Q], Generic[Q]):
    """The pipe from the receiver round the shop, with its drops, hoses and blow guns."""

    title = "the pipe round the shop, with drops, hoses and blow guns"
    material: Literal[
        "steel",
        "copper",
        "stainless",
        "aluminium shop pipe",
        "PEX",
        "listed plastic for air",
        "other plastic",
        "PVC or CPVC",
        "hose only",
        "unknown",
    ] = fact(
        "What is the pipe made of, at its weakest?",
        look="read the print along the pipe; white, grey or cream pipe with glued joints is most likely PVC or CPVC",
        grave=True,
    )
    listed_for_air: YesNo = fact(
        "Is the plastic pipe marked or listed by its maker for compressed air?",
        look="read the print along the pipe, or its maker's sheet; a pressure for water says nothing of air",
    )
    pressure_rating: Q | None = quantity(
        "pressure",
        "pressure its weakest part is rated for",
        role="limit",
        example_us="175 psi by maker",
        example_si="12 bar by maker",
    )
    temperature_rating: Q | None = quantity(
        "temperature",
        "temperature up to which that rating holds",
        role="limit",
        example_us="140 °F by maker",
        example_si="60 °C by maker",
    )
    coldest: Q | None = quantity(
        "temperature",
        "coldest place the pipe runs through, in the coldest season",
        example_us="50 °F",
        example_si="10 °C",
        measure="a thermometer beside the pipe there, on a cold morning",
    )
    leak: Q | None = quantity(
        "reference_flow",
        "air lost to leaks with every tool off",
        example_us="1 scfm",
        example_si="30 L/min ANR",
        measure="all tools shut, pump off: the time the receiver takes to fall by 1 bar (15 psi)",
    )
    finest_use: Literal[
        "tools only", "paint or finishing", "blasting", "breathing", "food or glass blowing", "unknown"
    ] = fact(
        "What is the most demanding use of the air?",
        look="ask everybody, and ask above all whether anybody breathes it, by mask, hood or mouthpiece",
        grave=True,
    )
    breathing_proof: YesNo = fact(
        "Has the breathing air a carbon monoxide or high-temperature alarm, and a Grade D test on paper?",
        look="find the alarm beside the breathing-air filters, and the laboratory's report",
        grave=True,
    )
    blow_gun: Literal["none", "safety nozzle", "open nozzle", "open nozzle, regulated low", "unknown"] = fact(
        "What nozzle do the blow guns have?",
        look="with the air off: a safety nozzle has side holes that let air out when its tip is closed; an open one "
        "has none; regulated low is a regulator of its own below 30 psi (2 bar)",
    )
    branches: Literal["from the top", "from the bottom", "unknown"] = fact(
        "Where do branches leave the main pipe?",
        look="walk along the main: a branch goes up and over, or straight down",
    )
    falls_to_drains: YesNo = fact(
        "Does the pipe fall towards drains, with one at every low point?",
        look="look along the pipe, or lay a spirit level on it",
    )
    pipe: str = choice(
        "stock pipe of runs and drops that name none",
        default="",
        say="such as 'copper L 3/4 in', 'steel 40 1 in', 'aluminium 25 mm'",
    )
    coupler: CouplerKind | None = choice("quick coupler of drops that name none")
    hose: str = choice(
        "hose of drops that name none", default="", say="bore and length, such as '3/8 in, 25 ft', or 'none'"
    )
    places: dict[str, str] = choice(
        "where places stand, along, across and up from any corner of the shop",
        default={},
        say="such as { A = '12, 30, 9 ft' }; not needed where runs tell lengths",
    )
    air_from: tuple[str, ...] = choice("places where air comes in from the receiver", default=(RECEIVER,))
    drains: tuple[str, ...] = choice("places that have a drain", default=())
    runs: tuple[Run[Q], ...] = choice("runs of pipe", default=())
    drops: tuple[Drop[Q], ...] = choice("drops, with the tools that hang there", default=())
    leak_test: LeakTest[Q] | None = choice("how far the pressure fell overnight, in place of leak")

    @model_validator(mode="before")
    @classmethod
    def _handed_down(cls, data: Any) -> Any:
        """Give runs and drops what the shop's pipe says for all of them."""
        if not isinstance(data, dict):
            return data
        read = dict(data)
        for key, names in (("runs", ("pipe",)), ("drops", ("pipe", "coupler", "hose"))):
            given = {name: data[name] for name in names if name in data and _good(name, data[name])}
            told = data.get(key)
            if isinstance(told, (list, tuple)):
                read[key] = [_filled_in(item, key, place, given) for place, item in enumerate(told)]
        return read

    @model_validator(mode="after")
    def _check(self) -> ShopPipe[Q]:
        if self.pipe:
            _refusing("pipe", read_pipe, self.pipe)
        for name, text in self.places.items():
            _refusing(("places", name), read_position, text)
        if (self.runs or self.drops) and not self.absent:
            _check_network(self)
        if self.leak is not None and self.leak_test is not None:
            raise for_loader(
                EntriesDisagree(read="leak and also leak_test", wanted="one of them: the leak follows from the test"),
                "leak_test",
            )
        return self

    @property
    def piped(self) -> bool:
        """Whether runs and drops are told, so that its flows can be worked out."""
        return bool(self.runs) and bool(self.drops) and not self.absent

    @property
    def weakest(self) -> str:
        """What the pipe is made of at its weakest: as told, or by the stock pipe its runs and drops name."""
        if self.material != "unknown" or not self.runs:
            return self.material
        told = (*(run.pipe for run in self.runs), *(drop.pipe for drop in self.drops))
        families = [read_pipe(text).family for text in told if text]
        return max(families, key=_WEAKNESS.index)


_WEAKNESS = (
    "steel", "stainless", "copper", "aluminium shop pipe", "hose only", "listed plastic for air", "PEX",
    "other plastic", "PVC or CPVC",
)  # fmt: skip
"""Materials, the one that a rule has least to say of first. [text]"""


def _filled_in(item: Any, key: str, place: int, given: dict[str, Any]) -> Any:
    """One run or drop with what it does not tell itself taken from the shop's pipe."""
    if key == "runs" and isinstance(item, str) and item != "none":
        item = {"way": item}
    if not isinstance(item, dict):
        return item
    if key == "drops" and isinstance(item.get("tool"), str) and "tools" not in item:
        item = {name: value for name, value in item.items() if name != "tool"} | {"tools": [item["tool"]]}
    if key == "drops" and not item.get("name"):
        tools = item.get("tools")
        named = tools[0] if isinstance(tools, list) and len(tools) == 1 and isinstance(tools[0], str) else ""
        item = item | {"name": named or f"drop {place + 1}"}
    if "hose" in given and any(name in item for name in ("hose_bore", "hose_length")):
        given = {name: value for name, value in given.items() if name != "hose"}
    return given | item


def _good(name: str, value: Any) -> bool:
    """Whether a value may be handed down; one that cannot be read is told once, where it stands."""
    if name != "pipe" or not isinstance(value, str):
        return True
    try:
        read_pipe(value)
    except AirfettleError:
        return False
    return True


def _refusing(entry: str | tuple[str, ...], read: Any, text: str) -> None:
    try:
        read(text)
    except AirfettleError as error:
        raise for_loader(error, *((entry,) if isinstance(entry, str) else entry)) from error


def _check_network(pipe: ShopPipe[Any]) -> None:
    """Refuse runs and drops that do not hang together, each with one clear error."""
    joined: dict[str, set[str]] = {}
    if not pipe.runs:
        problem: AirfettleError = MissingEntry(read="drops without runs", wanted="the pipe they hang on, such as "
                                               "runs = ['receiver, 20 ft, A, 30 ft, B']")  # fmt: skip
        raise for_loader(problem, "drops")
    for at, run in enumerate(pipe.runs):
        if not run.absent and not run.pipe:
            raise for_loader(
                MissingEntry(
                    read=f"run {run.name!r} without pipe",
                    wanted="pipe = 'copper L 3/4 in' in the run, or once for all under [shop_pipe]",
                ),
                "runs", at, "pipe",
            )  # fmt: skip
        for piece in () if run.absent else run.pieces:
            joined.setdefault(piece.start, set()).add(piece.end)
            joined.setdefault(piece.end, set()).add(piece.start)
            _check_piece(pipe, at, run.name, piece)
    names = [part.name for part in (*pipe.runs, *pipe.drops)]
    for key, parts in (("runs", pipe.runs), ("drops", pipe.drops)):
        for at, part in enumerate(parts):
            if names.count(part.name) > 1:
                problem = EntriesDisagree(
                    read=f"two runs or drops named {part.name!r}",
                    wanted="a name of its own for each",
                    instead='name = "..."',
                )
                raise for_loader(problem, key, at, "name")
    _check_joined(pipe, joined)


def _check_piece(pipe: ShopPipe[Any], at: int, run: str, piece: Any) -> None:
    if piece.length is not None:
        return
    ends = [name for name in (piece.start, piece.end) if name not in pipe.places]
    if ends:
        problem: AirfettleError = MissingEntry(
            read=f"run {run!r}, {piece.name}, with neither a length nor a position of {ends[0]!r}",
            wanted=f"a length between them, as in '{piece.start}, 20 ft, {piece.end}', or {ends[0]!r} among places",
        )
        raise for_loader(problem, "runs", at, "way")
    here, there = (read_position(pipe.places[name]) for name in (piece.start, piece.end))
    if all(a == b or (a != a and b != b) for a, b in zip(here, there, strict=True)):
        problem = EntriesDisagree(
            read=f"run {run!r}: {piece.start!r} and {piece.end!r} stand at the same point, so their pipe has no length",
            wanted="two positions apart, or a length told between them",
        )
        raise for_loader(problem, "runs", at, "way")


def _check_joined(pipe: ShopPipe[Any], joined: dict[str, set[str]]) -> None:
    """Refuse places that no pipe joins to where the air comes from."""
    known = ", ".join(joined) or "none yet"
    for name in pipe.air_from:
        if name not in joined:
            problem: AirfettleError = UnknownChoice(
                read=f"no run that begins at {name!r}, where the air comes in",
                wanted=f"one of the places of the runs: {known}",
            )
            raise for_loader(problem, "air_from" if pipe.air_from != (RECEIVER,) else "runs")
    reached, left = set(pipe.air_from), list(pipe.air_from)
    while left:
        for other in joined[left.pop()] - reached:
            reached.add(other)
            left.append(other)
    for at, run in enumerate(pipe.runs):
        lost = next((p for p in run.pieces if p.start not in reached), None)
        if lost is not None and not run.absent:
            problem = EntriesDisagree(
                read=f"run {run.name!r}, whose pipe from {lost.start!r} to {lost.end!r} is joined to nothing that "
                f"leads to {pipe.air_from[0]!r}", wanted="a run between them",
            )  # fmt: skip
            raise for_loader(problem, "runs", at, "way")
    for at, run in enumerate(pipe.runs):
        along = dict.fromkeys(name for piece in run.pieces for name in (piece.start, piece.end))
        if run.falls_to and run.falls_to not in along:
            problem = UnknownChoice(
                read=f"run {run.name!r} falling to {run.falls_to!r}", wanted=f"a place on its way: {', '.join(along)}"
            )
            raise for_loader(problem, "runs", at, "falls_to")
    for at, drop in enumerate(pipe.drops):
        if drop.at not in reached and not drop.absent:
            problem = UnknownChoice(
                read=f"drop {drop.name!r} at {drop.at!r}, where no pipe comes by",
                wanted=f"one of the places of the runs: {known}",
                instead="".join(get_close_matches(drop.at, list(joined), n=1)),
            )
            raise for_loader(problem, "drops", at, "at")
    for name in pipe.drains:
        if name not in reached:
            raise for_loader(
                UnknownChoice(read=f"a drain at {name!r}", wanted=f"one of the places of the runs: {known}"), "drains"
            )
