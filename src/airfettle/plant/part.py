"""What every part has in common, and how its entries are described once for file, form, help and draw.

Each entry of a part is one of four: a *given* (an independent unknown with a span), a *limit* (a
given that something must stay within), a *reading* (something known about a derived number, with its
conditions) or a *choice*. What can be computed is never an entry.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Generic, Literal, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic.fields import FieldInfo
from pydantic_core import PydanticCustomError

from airfettle.errors import AirfettleError, MissingEntry, MissingUnit, OutOfBounds, UnknownChoice, WrongShape
from airfettle.quantity import KINDS, Known, Span, known_by, read_span

Q = TypeVar("Q")
"""A span in the plant file, an array in the draw."""

Role = Literal["given", "limit", "reading"]
YesNo = Literal["yes", "no", "unknown"]


@dataclass(frozen=True)
class Entry:
    """What a quantity entry of a part means, and what is assumed where it is not told.

    Attributes
    ----------
    kind, label : str
        Kind of quantity, and the trade's words for the entry.
    role : str
        ``given``, ``limit`` or ``reading``.
    default : str, dict or None
        The span assumed, as text; a dict chooses by the value of the entry named in ``by``.
    say, measure : str
        What to write, and how to find it out in the shop.
    example_us, example_si : str
        An example in each system of units.
    source : str
        Key of the source of the default.
    low, high : float or None
        Narrower bounds than the kind's own. [SI]
    required : bool
        The section means nothing without it.
    unless : tuple of str
        Other entries of the section; where one of them is told, nothing is assumed for this one.
    in_time : bool
        It counts only where the plant is run through its days, or what it costs is asked.
    """

    kind: str
    label: str
    role: Role = "given"
    default: str | dict[str, str] | None = None
    by: str = ""
    say: str = ""
    measure: str = ""
    example_us: str = ""
    example_si: str = ""
    source: str = "practice"
    low: float | None = None
    high: float | None = None
    required: bool = False
    unless: tuple[str, ...] = ()
    in_time: bool = False


def quantity(kind: str, label: str, **more: Any) -> Any:
    """Declare a quantity entry; see Entry for the rest."""
    return Field(default=None, json_schema_extra={"entry": Entry(kind, label, **more)})  # type: ignore[dict-item]


def choice(label: str, *, default: Any = None, say: str = "", **limits: Any) -> Any:
    """Declare an entry that is one of a few words, a name, a count or a section; limits go to pydantic."""
    return Field(default=default, json_schema_extra={"label": label, "say": say}, **limits)


@dataclass(frozen=True)
class Fact:
    """A question about the installation that a look at it settles.

    Attributes
    ----------
    question : str
        What is asked, in plain words.
    look : str
        Where to look, or whom to ask, without putting a hand in danger.
    grave : bool
        An answer may be a danger.
    """

    question: str
    look: str = ""
    grave: bool = False


def fact(question: str, *, look: str = "", grave: bool = False, default: str = "unknown") -> Any:
    """Declare a question about the installation; its annotation lists the answers, ``unknown`` among them."""
    asked = Fact(question, look, grave)
    return Field(default=default, json_schema_extra={"label": question, "say": look, "fact": asked})  # type: ignore[dict-item]


def fact_of(info: FieldInfo) -> Fact | None:
    """Return the question of an entry that is a fact, or None where the field is something else."""
    extra = info.json_schema_extra
    found = extra.get("fact") if isinstance(extra, dict) else None
    return found if isinstance(found, Fact) else None


def entry_of(info: FieldInfo) -> Entry | None:
    """Return the description of a quantity entry, or None where the field is something else."""
    extra = info.json_schema_extra
    found = extra.get("entry") if isinstance(extra, dict) else None
    return found if isinstance(found, Entry) else None


class Model(BaseModel, Generic[Q]):
    """A section of the plant file; quantities are read here and nowhere else."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
    title: ClassVar[str] = ""
    known: Known = choice("how the entries of this section are known unless they say", default="told")

    @model_validator(mode="before")
    @classmethod
    def _read(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        known = data.get("known", "told")
        read = dict(data)
        for name, told in data.items():  # in the order of the file, so that the first thing wrong is told first
            info = cls.model_fields.get(name)
            entry = entry_of(info) if info else None
            if entry:
                value = _span(told, name, entry, known if known in get_args(Known) else "told")
                if value is None:
                    del read[name]  # 'unknown' is the same as not told
                else:
                    read[name] = value
            elif info and isinstance(told, bool) and info.annotation is not bool and not _is_section(info.annotation):
                raise for_loader(WrongShape(read=f"{name} = {str(told).lower()}", wanted=_choice_wanted(info)), name)
        if all(name in cls.model_fields for name in data):  # else a misspelt key is the thing to say
            cls._require(read)
        return read

    @classmethod
    def _require(cls, read: dict[str, Any]) -> None:
        for name, info in cls.model_fields.items():
            entry = entry_of(info)
            if entry and entry.required and name not in read:
                wanted = f"{name} = '{_example(entry)}', {entry.label}"
                raise for_loader(MissingEntry(read=f"a section without {name}", wanted=wanted), name)

    def entries(self) -> Iterator[tuple[str, Entry, Any]]:
        """Yield (name, description, value) of every quantity entry."""
        for name, info in type(self).model_fields.items():
            entry = entry_of(info)
            if entry:
                yield name, entry, getattr(self, name)

    def is_told(self, name: str) -> bool:
        """Return whether the owner told an entry of this section."""
        return getattr(self, name) not in (None, ())

    def assumed_text(self, name: str) -> str | None:
        """Return what is assumed for an entry that is not told, as text, or None for nothing."""
        entry = entry_of(type(self).model_fields[name])
        if entry and any(self.is_told(other) for other in entry.unless):
            return None
        if entry is None or entry.default is None or isinstance(entry.default, str):
            return entry.default if entry else None  # type: ignore[return-value]
        return entry.default.get(str(getattr(self, entry.by)), entry.default.get(""))


class Part(Model[Q], Generic[Q]):
    """One thing bought; ``absent`` is true where the owner wrote ``part = "none"``."""

    absent: bool = choice("not in this plant", default=False)
    name: str = choice("what it is called, where there are several", default="")
    source: str = choice("where it came from", default="")
    condition: Literal["new", "used", "worn", "unknown"] = choice("its condition", default="unknown")
    have: Literal["own", "to buy", "unknown"] = choice("is it there, or still to buy", default="unknown")
    price: Q | None = quantity(
        "money", "price paid or asked", say="a number in the plant's currency; of all that the section names",
        in_time=True,
    )  # fmt: skip
    mass: Q | None = quantity("mass", "mass", example_us="120 lb", example_si="55 kg")
    note: str = choice("anything worth keeping", default="")

    @model_validator(mode="before")
    @classmethod
    def _absent(cls, data: Any) -> Any:
        return {"absent": True} if data == "none" else data


def _span(value: Any, name: str, entry: Entry, known: Known) -> Span | None:
    """Read one entry, short or long form; errors carry the entry's name for the loader to place."""
    if isinstance(value, Span):
        return value
    try:
        return _bounded(_long(value, entry, known) if isinstance(value, dict) else _short(value, entry, known), entry)
    except AirfettleError as error:
        raise for_loader(error, name) from error


def for_loader(error: AirfettleError, *entry: str | int) -> PydanticCustomError:
    """Wrap an error so that validation goes on and the loader can say where it stands."""
    return PydanticCustomError("airfettle", "{slug}", {"slug": error.slug, "error": error, "entry": entry})


def _short(value: Any, entry: Entry, known: Known, by: str = "") -> Span | None:
    kind = KINDS[entry.kind]
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise WrongShape(
            read=shortened(value), wanted=f"{kind.label} as text, such as '{_example(entry)}', or 'unknown'"
        )
    if not isinstance(value, str):
        if not abs(value) < HUGE:
            raise OutOfBounds(read=shortened(value), wanted=f"{kind.label}, such as '{_example(entry)}'")
        if "" not in kind.units:
            wanted = f"{kind.label} with its unit, in quotes"
            units = dict.fromkeys((kind.us, kind.metric))
            raise MissingUnit(
                read=repr(value), wanted=wanted, instead=" or ".join(f"'{value:g} {unit}'" for unit in units)
            )
        value = repr(value)
    return read_span(value, kind=entry.kind, known=known, by=by)


_LONG = {"is", "known", "by", "on", "note"}
HUGE = 1e15
"""Bare numbers of this size and more are not read. [-]"""


def _long(value: dict[str, Any], entry: Entry, known: Known) -> Span | None:
    extra = sorted(set(value) - _LONG)
    if extra or "is" not in value:
        wanted = (
            "{ is = '...', known = '...', by = '...', on = 2026-03-02, note = '...' }, of which only 'is' is needed"
        )
        raise WrongShape(read=f"an entry with {shortened(', '.join(extra)) if extra else 'no is'}", wanted=wanted)
    for key in ("known", "by", "on", "note"):
        if not isinstance(value.get(key, ""), str):
            raise WrongShape(read=f"{key} = {shortened(value[key])}", wanted=f"{key} as text in quotes")
    by = value.get("by", "")
    told = value.get("known", known_by(by) or known)
    if told not in get_args(Known):
        raise UnknownChoice(read=repr(told), wanted="known as one of: " + ", ".join(get_args(Known)))
    span = _short(value["is"], entry, told, by)
    if span is None:
        return None
    return span.known_as(told if "known" in value else span.known, by=by, on=value.get("on", ""),
                         note=value.get("note", ""))  # fmt: skip


def _bounded(span: Span | None, entry: Entry) -> Span | None:
    """Refuse what this entry cannot be, and keep its bounds for the tails of the draw."""
    if span is None:
        return None
    low = entry.low if entry.low is not None else float("-inf")
    high = entry.high if entry.high is not None else float("inf")
    ends = (span.low, span.high) if span.form in ("flat", "triangular") else (span.likely, span.likely)
    if ends[0] < low or ends[1] > high:
        kind = KINDS[entry.kind]
        unit = span.unit if span.unit in kind.units else kind.metric
        factor, offset = kind.units[unit]
        limits = [f"{(end - offset) / factor:.6g} {unit}".strip(" -") for end in (low, high) if abs(end) < float("inf")]
        wanted = f"between {' and '.join(limits)}" if len(limits) == 2 else (
            f"of at {'least' if entry.low is not None else 'most'} {limits[0]}")  # fmt: skip
        percent = span.unit == "" and entry.kind == "fraction" and low <= span.likely / 100 <= high
        raise OutOfBounds(
            read=repr(span.text), wanted=f"{entry.label}, {wanted}", instead=f"'{span.text} %'" if percent else ""
        )
    return replace(span, floor=low, ceiling=high)


def _is_section(annotation: Any) -> bool:
    if isinstance(annotation, type):
        return issubclass(annotation, Model)
    return any(_is_section(inner) for inner in get_args(annotation))


def _choice_wanted(info: FieldInfo) -> str:
    extra = info.json_schema_extra
    return f"{extra.get('label') or 'text'}, not true or false" if isinstance(extra, dict) else "text or a number"


def shortened(value: Any) -> str:
    """Return a value as the file gives it, in at most 60 characters."""
    if isinstance(value, bool):
        return str(value).lower()
    try:
        text = repr(value)
    except ValueError:  # a whole number of more digits than Python writes out
        text = "a number of thousands of digits"
    return text if len(text) <= 60 else text[:57] + "..."


def _example(entry: Entry) -> str:
    return entry.example_us or entry.example_si or f"12 {KINDS[entry.kind].us}".strip()
