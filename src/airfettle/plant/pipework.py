"""The pipe round the shop as a network: places, runs of pipe between them, and drops with what hangs there."""

from __future__ import annotations

import re
from typing import Any, Generic, Literal

from pydantic import model_validator

from airfettle.errors import (
    AirfettleError,
    EntriesDisagree,
    MissingEntry,
    OutOfBounds,
    UnreadableQuantity,
    WrongShape,
)
from airfettle.parts.coupler import coupler_kinds, coupler_of
from airfettle.parts.fittings import read_fittings
from airfettle.parts.pipe_stock import Stock, read_pipe
from airfettle.plant.part import Model, Part, Q, YesNo, choice, fact, for_loader, quantity, shortened
from airfettle.quantity import Span, read_span

CouplerKind = Literal[
    "1/4 in common", "1/4 in high flow", "7.2 mm", "3/8 in", "1/2 in", "none"
]  # those of parts.coupler, tested
"""Quick couplers by what an owner can tell of them."""

RECEIVER = "receiver"
"""Place at which air comes into the pipe unless others are told. [text]"""

LEAST_END = 0.9e5
"""Gauge pressure at the end of a leak test under which it says nothing. [Pa]  Source: practice."""

_NUMBER = re.compile(r"(?:about\s+)?[\d.]")
_HOSE = re.compile(r"(?P<bore>[^,]+?)\s*(?:,|\bx\b)\s*(?P<length>[^,]+)")


class Piece(Model[Q], Generic[Q]):
    """One length of pipe between two places of a run."""

    title = "one length of pipe between two places, from the run's way"
    name: str = choice("its two places", default="")
    start: str = choice("place it begins at", default="")
    end: str = choice("place it ends at", default="")
    length: Q | None = quantity(
        "length",
        "length of pipe, fittings left out; from the places' positions where it is not told",
        low=1e-3,
        example_us="20 ft by tape",
        example_si="6 m by tape",
    )


class Run(Part[Q], Generic[Q]):
    """A run of one pipe along some places."""

    title = "a run of one size of pipe along some places"
    way: str = choice(
        "places it goes along, in order",
        default="",
        say="such as 'receiver, A, B'; with lengths between them where places have no position: "
        "'receiver, 12 ft, A, 20..22 ft, B'; a ring ends where it began",
    )
    pipe: str = choice("stock pipe, as 'copper L 3/4 in' or 'steel 40 1 in'", default="")
    fittings: str = choice(
        "fittings along it, tees at places left out",
        default="",
        say="such as '4 elbows, 1 ball valve' or 'none'; untold, an elbow is counted at every corner of its way",
    )
    through: tuple[str, ...] = choice("names of filters that stand in it", default=())
    falls_to: str = choice("place it falls towards, where heights do not say it", default="")
    coldest: Q | None = quantity(
        "temperature",
        "coldest air round it, in the coldest season, where it differs from the rest of the shop",
        example_us="20 degF",
        example_si="-5 degC",
        measure="a thermometer beside the pipe there, on a cold morning",
    )
    pieces: tuple[Piece[Q], ...] = choice("its lengths, from its way", default=())

    @model_validator(mode="before")
    @classmethod
    def _along(cls, data: Any) -> Any:
        """Take the way apart into pieces; a run without a name is called by its ends."""
        if isinstance(data, str) and data != "none":
            data = {"way": data}
        if not isinstance(data, dict) or "pieces" in data or not isinstance(data.get("way"), str):
            return data
        try:
            pieces = _pieces(data["way"])
        except AirfettleError as error:
            raise for_loader(error, "way") from error
        ends = f"{pieces[0]['start']} to {pieces[-1]['end']}"
        return data | {"pieces": pieces, "name": data.get("name") or ends}

    @model_validator(mode="after")
    def _check(self) -> Run[Q]:
        if not self.absent and not self.pieces:
            problem = MissingEntry(read="a run without way", wanted="way = 'receiver, A, B', the places it goes along")
            raise for_loader(problem, "way")
        _readable(self.pipe, self.fittings)
        return self

    @property
    def stock(self) -> Stock:
        """The pipe it is made of."""
        return read_pipe(self.pipe)


class Drop(Part[Q], Generic[Q]):
    """A drop from the pipe to where tools are coupled on."""

    title = "a drop from the pipe, with coupler, hose and the tools used there"
    at: str = choice("place it leaves the pipe at", default="")
    tools: tuple[str, ...] = choice("names of the tools and jobs that hang here", default=())
    pipe: str = choice("stock pipe of the drop; the run's where not told", default="")
    down: Q = quantity(
        "length",
        "length of pipe from the main to its outlet",
        default="4..8 ft",
        low=0.0,
        example_us="6 ft by tape",
        example_si="1.8 m by tape",
    )
    fittings: str = choice(
        "fittings of the drop, its tee left out",
        default="2 elbows, 1 ball valve",
        say="such as '2 elbows, 1 ball valve' or 'none'",
    )
    leaves: Literal["from the top", "from the side", "from the bottom", "unknown"] = choice(
        "where it leaves the main, where that differs from branches of the shop's pipe", default="unknown"
    )
    drain: YesNo = fact(
        "Does the drop end in a leg with a drain, below where the air is taken off?",
        look="look at the bottom end of the drop: a short piece of pipe going on down to a cock or plug",
    )
    through: tuple[str, ...] = choice("names of filters and regulators that stand at it", default=())
    regulator: Q | None = quantity(
        "pressure",
        "what a regulator at this drop is set to",
        low=0.0,
        example_us="100 psi by gauge",
        example_si="7 bar by gauge",
    )
    coupler: CouplerKind = choice("quick coupler and its plug", default="1/4 in common")
    conductance: Q | None = quantity(
        "flow_coefficient",
        "sonic conductance C of coupler and plug together",
        by="coupler",
        default={kind: coupler_of(kind).conductance_text for kind in coupler_kinds() if kind != "none"},
        low=1e-12,
        say="by ISO 6358; a Cv of 1 is about 4.1 dm3/(s bar)",
        example_us="5 dm3/(s bar) by maker",
        example_si="5 dm3/(s bar) by maker",
        measure="the maker's sheet; or a gauge before and behind it, tool running",
        source="coupler-practice",
    )
    critical_ratio: Q | None = quantity(
        "fraction",
        "critical pressure ratio b of coupler and plug",
        by="coupler",
        default={kind: coupler_of(kind).critical_ratio_text for kind in coupler_kinds() if kind != "none"},
        low=0.0,
        high=0.9,
        example_us="30 % by maker",
        example_si="30 % by maker",
        source="coupler-practice",
    )
    hose: Literal["yes", "none"] = choice(
        "is there a hose; '3/8 in, 25 ft' tells bore and length at once", default="yes"
    )
    hose_bore: Q | None = quantity(
        "length",
        "bore of the hose",
        default="0.25..0.375 in",
        low=2e-3,
        high=0.08,
        example_us="3/8 in",
        example_si="10 mm",
        measure="the print on the hose",
    )
    hose_length: Q | None = quantity(
        "length",
        "length of the hose",
        default="15..35 ft",
        low=0.05,
        high=200.0,
        example_us="25 ft by tape",
        example_si="8 m by tape",
    )

    @model_validator(mode="before")
    @classmethod
    def _split(cls, data: Any) -> Any:
        """Take '3/8 in, 25 ft' apart into bore and length."""
        told = data.get("hose") if isinstance(data, dict) else None
        if not isinstance(told, str) or told in ("yes", "none", "unknown"):
            return data if told != "unknown" else data | {"hose": "yes"}
        found = _HOSE.fullmatch(told.strip())
        if not found:
            problem = UnreadableQuantity(read=f"hose = {told!r}", wanted="bore and length, such as '3/8 in, 25 ft'")
            raise for_loader(problem, "hose")
        for name in ("hose_bore", "hose_length"):
            if data.get(name, "unknown") != "unknown":
                problem2 = EntriesDisagree(read=f"hose = {told!r} and also {name}", wanted="each of them told once")
                raise for_loader(problem2, name)
        return data | {"hose": "yes", "hose_bore": found["bore"], "hose_length": found["length"]}

    @model_validator(mode="after")
    def _check(self) -> Drop[Q]:
        if not self.absent and not self.at:
            problem = MissingEntry(read="a drop without at", wanted="at = 'A', the place it leaves the pipe at")
            raise for_loader(problem, "at")
        _readable(self.pipe, self.fittings)
        return self

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry; nothing of a hose or coupler that is not there."""
        if name.startswith("hose_") and self.hose == "none":
            return None
        return super().assumed_text(name)


class LeakTest(Model[Q], Generic[Q]):
    """How far the pressure fell with everything shut."""

    title = "how far the pressure fell with pump off, receiver open to the pipe and every tool shut"
    start: Q = quantity(
        "pressure", "pressure at its beginning", required=True, example_us="120 psi", example_si="8 bar"
    )
    end: Q = quantity("pressure", "pressure at its end", required=True, example_us="95 psi", example_si="6.5 bar")
    time: Q = quantity("time", "time between them", required=True, low=1.0, example_us="10 h", example_si="10 h")

    @model_validator(mode="after")
    def _check(self) -> LeakTest[Q]:
        start, end = self.start, self.end
        if not (isinstance(start, Span) and isinstance(end, Span)):
            return self
        if start.kind == end.kind and end.likely >= start.likely:
            problem: AirfettleError = EntriesDisagree(
                read=f"end = {end.text!r}, not below start = {start.text!r}", wanted="a pressure that fell"
            )
            raise for_loader(problem, "end")
        if end.kind == "pressure" and end.likely < LEAST_END:
            problem = OutOfBounds(
                read=f"end = {end.text!r}",
                wanted="a test stopped above 1 bar (15 psi): below that a leak no longer goes with the pressure, and "
                "nobody knows when it was empty",
            )
            raise for_loader(problem, "end")
        return self


def _readable(pipe: str, fittings: str) -> None:
    for name, text, read in (("pipe", pipe, read_pipe), ("fittings", fittings, read_fittings)):
        if text:
            try:
                read(text)
            except AirfettleError as error:
                raise for_loader(error, name) from error


def _pieces(way: str) -> list[dict[str, str]]:
    """Return the pieces of a way such as 'receiver, 12 ft, A, B'."""
    found: list[dict[str, str]] = []
    place, length = "", ""
    for token in (part.strip() for part in way.split(",")):
        if not token:
            raise WrongShape(
                read=f"way = {way!r} with nothing between two commas", wanted="places, with commas between"
            )
        if token.lower() in ("unknown", "?"):
            raise MissingEntry(
                read=f"way = {way!r} with an unknown length",
                wanted="the widest range you are sure of, such as '20..50 ft'",
            )
        if _is_length(token):
            if not place or length:
                raise WrongShape(read=f"way = {way!r}", wanted="one length between two places: 'A, 20 ft, B'")
            length = token
            continue
        if place == token:
            raise EntriesDisagree(
                read=f"a way from {token} straight back to {token}",
                wanted="another place between, or a pipe that ends elsewhere: a loop needs pipe",
            )  # fmt: skip
        if place:
            found.append({"name": f"{place} to {token}", "start": place, "end": token} | ({"length": length} if length
                         else {}))  # fmt: skip
        place, length = token, ""
    if length or not found:
        raise WrongShape(read=f"way = {shortened(way)}", wanted="at least two places, the last thing a place")
    names = [piece["name"] for piece in found]
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise EntriesDisagree(read=f"a way that goes from {twice} twice", wanted="each piece of pipe once; a second "
                              "pipe beside it is a run of its own")  # fmt: skip
    return found


def _is_length(token: str) -> bool:
    """Return whether a part of a way is a length; a place's name may begin with a number too."""
    if not _NUMBER.match(token):
        return False
    try:
        return read_span(token, kind="length") is not None
    except AirfettleError:
        if re.fullmatch(r"[\d./\s-]+", token):
            raise
        return False


def read_position(text: str, *, where: str = "") -> tuple[float, float, float]:
    """Return where a place stands, from text such as '12, 30, 9 ft'.

    Parameters
    ----------
    text : str
        Two or three numbers and one unit of length, along, across and up.
    where : str
        Where it was read, for the error.

    Returns
    -------
    tuple of float
        Along, across and up. [m]

    Raises
    ------
    AirfettleError
        It cannot be read so.
    """
    parts = [part.strip() for part in text.split(",")]
    wanted = "along, across and up from any corner of the shop, such as '12, 30, 9 ft' or '4 m, 9 m, 3 m'"
    unit = re.sub(r"^[-+\d.\s/]+", "", parts[-1]).strip()
    if len(parts) not in (2, 3):
        raise UnreadableQuantity(read=f"{text!r}", wanted=wanted, where=where)
    found = []
    for part in parts:
        negative = part.startswith("-")
        own = part.lstrip("+-").strip()
        whole = own if re.search(r"[A-Za-z\"]", own) else f"{own} {unit}"
        try:
            span = read_span(whole, kind="length", where=where)
        except AirfettleError as error:
            raise UnreadableQuantity(read=f"{text!r}", wanted=wanted, where=where) from error
        if span is None:
            raise UnreadableQuantity(read=f"{text!r}", wanted=wanted, where=where)
        found.append(-span.likely if negative else span.likely)
    return found[0], found[1], found[2] if len(found) == 3 else float("nan")
