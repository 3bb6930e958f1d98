"""The strict reader: one line of text to a span, or one clear error.

Readable forms: ``16 cfm``, ``780..860 rpm``, ``780-860 rpm``, ``7 to 8 bar``, ``4-5/8 in``,
``7.1 +/- 0.2 in``, ``16 cfm +/- 10 %``, ``16 cfm +2/-1``, ``800..900 rpm likely 850``,
``about 3 kW``, ``unknown``; any of them may end in ``by tape``, ``by plate``, ``by maker`` and so on.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from airfettle.errors import (
    AmbiguousUnit,
    BackwardRange,
    MissingUnit,
    OutOfBounds,
    UnreadableQuantity,
    WrongUnit,
)
from airfettle.quantity.kinds import AWG, KINDS, Kind
from airfettle.quantity.span import Form, Known, Span
from airfettle.quantity.tolerance import INSTRUMENTS, WORDS_FOR_KNOWN, bare_error

_NUMBER = r"[+-]?(?:\d+\.\d+|\.\d+|\d+)(?:[eE][+-]?\d+)?"
_TERM = rf"(?:\d+[ -]\d+/\d+|\d+/\d+|{_NUMBER})"
_UNIT = r"(?:(?!(?:to|likely|by)\b)[A-Za-z°%\"/(](?:(?!\s(?:likely|by|to)\b)[^+±])*?)?"
_SINGLE = re.compile(rf"^(?P<about>about\s+)?(?P<a>{_TERM})\s*(?P<unit>{_UNIT})$")
_RANGE = re.compile(
    rf"^(?P<a>{_TERM})\s*(?P<unit_a>{_UNIT})\s*(?:\.\.|-|\bto\b)\s*(?P<b>{_TERM})\s*(?P<unit>{_UNIT})"
    rf"(?:\s+likely\s+(?P<m>{_TERM})\s*(?P<unit_m>{_UNIT}))?$"
)
_PLUS_MINUS = re.compile(rf"^(?P<a>{_TERM})\s*(?P<unit_a>{_UNIT})\s*\+/-\s*(?P<d>{_TERM})\s*(?P<unit>%|{_UNIT})$")
_UNEQUAL = re.compile(
    rf"^(?P<a>{_TERM})\s*(?P<unit_a>{_UNIT})\s*\+\s*(?P<u>{_TERM})\s*/\s*-\s*(?P<l>{_TERM})\s*(?P<unit>%|{_UNIT})$"
)
_BY = re.compile(r"^(?P<rest>.*\S)\s+by\s+(?P<by>[a-z ]+)$")
_COMMA = re.compile(r"\d,\d")
_NO_SHARE_OF = {"temperature", "temperature_difference", "sound_level", "altitude"}
ABOUT = 0.10
"""What 'about' means, two standard deviations. [-]"""


@dataclass(frozen=True)
class _Text:
    """What is being read, for whom, and where it stands."""

    text: str
    kind: Kind
    where: str
    known: Known
    by: str

    def example(self) -> str:
        unit = self.kind.us or self.kind.metric
        return f"{self.kind.label}, such as '12 {unit}', '10..14 {unit}' or 'unknown'".replace(" '", " '")


def read_span(text: str, *, kind: str, where: str = "", known: Known = "told", by: str = "") -> Span | None:
    """Read one quantity.

    Parameters
    ----------
    text : str
        As the owner wrote it. [text]
    kind : str
        A key of ``KINDS``. [text]
    where : str
        File, line and key, for the error. [text]
    known, by : str
        How it is known where the text itself does not say. [text]

    Returns
    -------
    Span or None
        ``None`` for ``unknown``. [SI]

    Raises
    ------
    UnreadableQuantity, MissingUnit, WrongUnit, AmbiguousUnit, BackwardRange, OutOfBounds
        One clear error; nothing is guessed.
    """
    clean = _cleaned(text)
    clean, known, by = _provenance(clean, where=where, known=known, by=by)
    given = _Text(text, KINDS[kind], where, known, by)
    if clean.lower() in ("unknown", "?"):
        return None
    if _COMMA.search(clean):
        raise UnreadableQuantity(
            read=repr(text), where=where, wanted="a point for decimals, and no sign between thousands",
            instead=f"'{clean.replace(',', '.', 1)}' or '{clean.replace(',', '', 1)}', whichever is meant",
        )  # fmt: skip
    if kind == "wire_size" and (gauge := _gauge(clean)):
        return Span(kind, "exact", gauge, gauge, gauge, "AWG", text, known, by)
    return _checked(_read(clean, given), given)


def _cleaned(text: str) -> str:
    for odd, plain in (("–", "-"), ("—", "-"), ("−", "-"), ("±", "+/-"), ("\u00a0", " "), ("º", "°"),
                       ("²", "2"), ("³", "3"), ("…", "..")):  # fmt: skip
        text = text.replace(odd, plain)
    return " ".join(text.split())


def _provenance(text: str, *, where: str, known: Known, by: str) -> tuple[str, Known, str]:
    found = _BY.match(text)
    if not found:
        return text, known, by
    word = found["by"].strip()
    if word in INSTRUMENTS:
        return found["rest"], "measured", word
    if word in WORDS_FOR_KNOWN:
        return found["rest"], WORDS_FOR_KNOWN[word], word
    raise UnreadableQuantity(
        read=f"'by {word}' in {text!r}", where=where,
        wanted="after 'by', one of: " + ", ".join([*INSTRUMENTS, *WORDS_FOR_KNOWN]),
    )  # fmt: skip


def _gauge(text: str) -> float | None:
    found = re.fullmatch(r"(?:AWG\s*(\d+(?:/0)?)|(\d+(?:/0)?)\s*AWG)", text, re.IGNORECASE)
    return AWG.get(found[1] or found[2]) if found else None


def _read(text: str, given: _Text) -> Span:
    if found := _SINGLE.match(text):
        return _single(found, given)
    if found := _PLUS_MINUS.match(text):
        return _equal(found, given)
    if found := _UNEQUAL.match(text):
        return _unequal(found, given)
    if found := _RANGE.match(text):
        return _range(found, given)
    raise UnreadableQuantity(read=repr(given.text), where=given.where, wanted=given.example())


def _single(found: re.Match[str], given: _Text) -> Span:
    kind, value, unit = _value(found["a"], found["unit"], given)
    if found["about"]:
        return _normal(kind, value, ABOUT * abs(value), unit, given)
    spread = bare_error(value, kind=kind, known=given.known, by=given.by)
    return _normal(kind, value, spread, unit, given)


def _equal(found: re.Match[str], given: _Text) -> Span:
    unit = found["unit_a"] if found["unit"] == "%" and given.kind.name != "fraction" else found["unit"]
    kind, value, name = _value(found["a"], unit or found["unit_a"], given)
    return _normal(kind, value, _deviation(found["d"], found["unit"], value, name, given), name, given)


def _unequal(found: re.Match[str], given: _Text) -> Span:
    percent = found["unit"] == "%" and given.kind.name != "fraction"
    kind, value, name = _value(found["a"], found["unit_a"] if percent else found["unit"] or found["unit_a"], given)
    above = _deviation(found["u"], found["unit"], value, name, given)
    below = _deviation(found["l"], found["unit"], value, name, given)
    return Span(kind, "two_halves", value - below, value, value + above, name, given.text, given.known, given.by)


def _range(found: re.Match[str], given: _Text) -> Span:
    unit = found["unit"] or found["unit_a"]
    kind, high, name = _value(found["b"], unit, given)
    kind_a, low, _ = _value(found["a"], found["unit_a"] or unit, given)
    if kind_a != kind:
        raise WrongUnit(
            read=repr(given.text),
            where=given.where,
            wanted="both ends gauge or both absolute, not one of each",
        )
    form: Form = "flat"
    likely = (low + high) / 2
    if found["m"]:
        form = "triangular"
        _, likely, _ = _value(found["m"], found["unit_m"] or unit, given)
    if low > high or not low <= likely <= high:
        raise BackwardRange(
            read=repr(given.text), where=given.where,
            wanted="the lower number first, and a likely value between the two",
        )  # fmt: skip
    return Span(kind, form if low < high else "exact", low, likely, high, name, given.text, given.known, given.by)


def _normal(kind: str, value: float, spread: float, unit: str, given: _Text) -> Span:
    form: Form = "normal" if spread > 0 else "exact"
    return Span(kind, form, value - spread, value, value + spread, unit, given.text, given.known, given.by)


def _deviation(term: str, unit: str, value: float, name: str, given: _Text) -> float:
    if unit == "%" and given.kind.name != "fraction":
        if given.kind.name in _NO_SHARE_OF:
            raise WrongUnit(
                read=repr(given.text), where=given.where,
                wanted=f"a tolerance of {given.kind.label} as an amount; a percentage of it means nothing",
            )  # fmt: skip
        return _number(term, given) / 100 * abs(value)
    factor, _ = given.kind.units[name]
    return _number(term, given) * factor


def _number(term: str, given: _Text) -> float:
    mixed = re.fullmatch(r"(?:(\d+)[ -])?(\d+)/(\d+)", term)
    if mixed and int(mixed[3]) == 0:
        raise UnreadableQuantity(read=repr(given.text), where=given.where, wanted=given.example())
    if mixed:
        return int(mixed[1] or 0) + int(mixed[2]) / int(mixed[3])
    return float(term)


def _value(term: str, unit: str, given: _Text) -> tuple[str, float, str]:
    """Return the kind a number is of with this unit, its SI value, and the unit's proper spelling."""
    name = _unit_name(unit.strip(), given)
    factor, offset = given.kind.units[name]
    return given.kind.flavours.get(name, given.kind.name), factor * _number(term, given) + offset, name


def _unit_name(unit: str, given: _Text) -> str:
    kind = given.kind
    if unit in kind.units:
        return unit
    if unit in kind.refused:
        raise AmbiguousUnit(read=repr(given.text), where=given.where, wanted=kind.refused[unit])
    if not unit:
        raise MissingUnit(
            read=repr(given.text), where=given.where, wanted=f"{kind.label} with one of: {_units_of(kind)}"
        )
    alike = [name for name in kind.units if name.lower() == unit.lower()]
    if len(alike) == 1:
        return alike[0]
    elsewhere = [other.label for other in KINDS.values() if unit in other.units and other.si != kind.si]
    hint = f"'{unit}' is a unit of {elsewhere[0]}" if elsewhere else ""
    raise WrongUnit(
        read=repr(given.text),
        where=given.where,
        wanted=f"{kind.label} in one of: {_units_of(kind)}",
        instead=hint,
    )


def _units_of(kind: Kind) -> str:
    return ", ".join(name for name in kind.units if name)


def _checked(span: Span, given: _Text) -> Span:
    kind = KINDS[span.kind]
    stated = span.likely if span.form == "normal" else span.low
    if stated < kind.low or span.likely > kind.high or not abs(span.high) < float("inf"):
        raise OutOfBounds(
            read=repr(given.text), where=given.where, wanted=f"{kind.label} that can be: {_bounds_of(kind)}"
        )
    return span


def _bounds_of(kind: Kind) -> str:
    factor, offset = kind.units.get(kind.metric, (1.0, 0.0))
    low, high = ((end - offset) / factor for end in (kind.low, kind.high))
    if kind.high == float("inf"):
        return f"not below {low:g} {kind.metric}".rstrip()
    return f"{low:g} to {high:g} {kind.metric}".rstrip()
