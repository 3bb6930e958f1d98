"""The strict reader: one line of text to a span, or one clear error.

Readable forms: ``16 cfm``, ``780..860 rpm``, ``780-860 rpm``, ``7 to 8 bar``, ``4-5/8 in``,
``7.1 +/- 0.2 in``, ``16 cfm +/- 10 %``, ``16 cfm +2/-1``, ``800..900 rpm likely 850``,
``about 3 kW``, ``unknown``; any of them may end in ``by tape``, ``by plate``, ``by maker`` and so on.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches

from airfettle.errors import (
    AmbiguousUnit,
    BackwardRange,
    MissingUnit,
    OutOfBounds,
    UnreadableQuantity,
    WrongUnit,
)
from airfettle.quantity.kinds import AWG, KINDS, OFTEN_WRITTEN, Kind
from airfettle.quantity.span import Form, Known, Span
from airfettle.quantity.tolerance import INSTRUMENTS, WORDS_FOR_KNOWN, bare_error, known_by

_SIZE = r"(?:[0-9]+\.[0-9]+|\.[0-9]+|[0-9]+)(?:[eE][+-]?[0-9]+)?"
_FRACTION = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+)"
_TERM = rf"(?:{_FRACTION}|[+-]?{_SIZE})"
_AMOUNT = rf"(?:{_FRACTION}|{_SIZE})"
_WORD = r"(?:to|likely|by)\b"
_UNIT = rf"(?:(?!{_WORD})(?:1/(?=[a-z])|[A-Za-z°%\"/(])(?:(?!\s{_WORD})[^-+±<>=.])*?)?"
_SINGLE = re.compile(rf"(?P<about>about\s+)?(?P<a>{_TERM})\s*(?P<unit>{_UNIT})", re.IGNORECASE)
_RANGE = re.compile(
    rf"(?P<a>{_TERM})\s*(?P<unit_a>{_UNIT})\s*(?:\.\.|-|\bto\b)\s*(?P<b>{_TERM})\s*(?P<unit>{_UNIT})"
    rf"(?:\s*\blikely\s+(?P<m>{_TERM})\s*(?P<unit_m>{_UNIT}))?",
    re.IGNORECASE,
)
_PLUS_MINUS = re.compile(
    rf"(?P<a>{_TERM})\s*(?P<unit_a>{_UNIT})\s*\+/-\s*(?P<d>{_AMOUNT})\s*(?P<unit>{_UNIT})", re.IGNORECASE
)
_UNEQUAL = re.compile(
    rf"(?P<a>{_TERM})\s*(?P<unit_a>{_UNIT})\s*\+\s*(?P<u>{_AMOUNT})\s*/\s*-\s*(?P<l>{_AMOUNT})\s*(?P<unit>{_UNIT})",
    re.IGNORECASE,
)
_BY = re.compile(r"(?P<rest>.*\S)\s+by\s+(?P<by>[a-z ]+)", re.IGNORECASE)
_COMMA = re.compile(r"[0-9],[0-9]")
_AWG = re.compile(r"AWG\s*(?P<a>\w+(?:/0)?)|(?P<b>\w+(?:/0)?)\s*AWG", re.IGNORECASE)
_PLATE_PAIRS = {"voltage", "current", "rotational_speed", "frequency"}
"""Kinds of which a plate gives two values with a stroke between."""
_NO_SHARE_OF = {"temperature", "sound_level", "altitude"}
"""Kinds with a zero of no meaning: a percentage of them says nothing."""
ABOUT = 0.10
"""What 'about' means, two standard deviations; of a kind without shares, what a told value is good for. [-]"""
LONGEST = 200
"""A quantity of more characters than this is not read. [-]"""


@dataclass(frozen=True)
class _Text:
    """What is being read, for whom, and where it stands."""

    text: str
    kind: Kind
    where: str
    known: Known
    by: str

    def example(self) -> str:
        unit = (self.kind.us or self.kind.metric).strip("-")
        return f"{self.kind.label}, such as '{f'12 {unit}'.strip()}', '{f'10..14 {unit}'.strip()}' or 'unknown'"


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
    if len(clean) > LONGEST:
        read = repr(clean[:60] + "...")
        raise UnreadableQuantity(read=read, where=where, wanted=f"{KINDS[kind].label} in a few words")
    clean, known, by = _provenance(clean, where=where, known=known, by=by)
    given = _Text(text, KINDS[kind], where, known, by)
    if clean.lower() in ("unknown", "?"):
        return None
    if _COMMA.search(clean):
        raise UnreadableQuantity(
            read=repr(text), where=where, wanted="a point for decimals, and no sign between thousands",
            instead=f"'{clean.replace(',', '.', 1)}' or '{clean.replace(',', '', 1)}', whichever is meant",
        )  # fmt: skip
    if kind == "wire_size" and (gauge := _AWG.fullmatch(clean)):
        return _gauge(gauge["a"] or gauge["b"], given)
    return _read(clean, given)


def _cleaned(text: str) -> str:
    for odd, plain in (("–", "-"), ("—", "-"), ("−", "-"), ("±", "+/-"), ("\u00a0", " "), ("º", "°"),
                       ("²", "2"), ("³", "3"), ("…", ".."), ("...", "..")):  # fmt: skip
        text = text.replace(odd, plain)
    return " ".join(text.split())


def _provenance(text: str, *, where: str, known: Known, by: str) -> tuple[str, Known, str]:
    found = _BY.fullmatch(text)
    if not found:
        return text, known, by
    word = found["by"].strip().lower()
    if how := known_by(word):
        return found["rest"], how, word
    raise UnreadableQuantity(
        read=f"'by {word}' in {text!r}", where=where,
        wanted="after 'by', one of: " + ", ".join([*INSTRUMENTS, *WORDS_FOR_KNOWN]),
    )  # fmt: skip


def _gauge(size: str, given: _Text) -> Span:
    area = AWG.get(size)
    if area is None:
        raise UnreadableQuantity(
            read=repr(given.text), where=given.where,
            wanted=f"a wire size, one of AWG {', '.join(AWG)}, or its copper area, such as '6 mm2'",
        )  # fmt: skip
    return Span(given.kind.name, "exact", area, area, area, "AWG", given.text, given.known, given.by)


def _read(text: str, given: _Text) -> Span:
    for form, reading in ((_SINGLE, _single), (_PLUS_MINUS, _equal), (_UNEQUAL, _unequal), (_RANGE, _range)):
        if found := form.fullmatch(text):
            return reading(found, given)
    raise UnreadableQuantity(read=repr(given.text), where=given.where, wanted=given.example())


def _single(found: re.Match[str], given: _Text) -> Span:
    kind, value, unit = _value(found["a"], found["unit"], given)
    if found["about"] and given.kind.name not in _NO_SHARE_OF:
        spread = ABOUT * abs(value)
    elif found["about"]:
        spread = bare_error(value, kind=kind, known="told")
    else:
        spread = bare_error(value, kind=kind, known=given.known, by=given.by)
    span = _spread(kind, value, spread, unit, given)
    _refuse_outside(span, span.likely, span.likely, given)
    return span


def _equal(found: re.Match[str], given: _Text) -> Span:
    share = _is_share(found["unit"], given)
    kind, value, name = _value(found["a"], found["unit_a"] or ("" if share else found["unit"]), given)
    span = _spread(kind, value, _deviation(found["d"], found["unit"], value, name, given), name, given)
    return _checked(span, given)


def _unequal(found: re.Match[str], given: _Text) -> Span:
    share = _is_share(found["unit"], given)
    kind, value, name = _value(found["a"], found["unit_a"] or ("" if share else found["unit"]), given)
    above = _deviation(found["u"], found["unit"], value, name, given)
    below = _deviation(found["l"], found["unit"], value, name, given)
    form: Form = "two_halves" if above > 0 or below > 0 else "exact"
    return _checked(_span(kind, form, (value - below, value, value + above), name, given), given)


def _range(found: re.Match[str], given: _Text) -> Span:
    unit = found["unit"] or found["unit_m"] or found["unit_a"]
    kind, high, name = _value(found["b"], unit, given)
    kind_a, low, _ = _value(found["a"], found["unit_a"] or unit, given)
    kind_m, likely, _ = (
        _value(found["m"], found["unit_m"] or unit, given) if found["m"] else (kind, (low + high) / 2, name)
    )
    if not kind_a == kind == kind_m:
        raise WrongUnit(
            read=repr(given.text), where=given.where,
            wanted="all numbers of a range gauge, or all absolute, not some of each",
        )  # fmt: skip
    if low > high or not low <= likely <= high:
        raise BackwardRange(
            read=repr(given.text), where=given.where,
            wanted="the lower number first, and a likely value between the two",
        )  # fmt: skip
    form: Form = "exact" if low == high else "triangular" if found["m"] else "flat"
    return _checked(_span(kind, form, (low, likely, high), name, given), given)


def _spread(kind: str, value: float, spread: float, unit: str, given: _Text) -> Span:
    form: Form = "normal" if spread > 0 else "exact"
    return _span(kind, form, (value - spread, value, value + spread), unit, given)


def _span(kind: str, form: Form, numbers: tuple[float, float, float], unit: str, given: _Text) -> Span:
    return Span(kind, form, *numbers, unit, given.text, given.known, given.by)


def _is_share(unit: str, given: _Text) -> bool:
    """Whether a tolerance in this unit is a percentage of the value."""
    return unit == "%" and given.kind.name != "fraction"


def _deviation(term: str, unit: str, value: float, name: str, given: _Text) -> float:
    """Return a tolerance in SI, in its own unit where it has one."""
    if _is_share(unit, given):
        if given.kind.name in _NO_SHARE_OF:
            raise WrongUnit(
                read=repr(given.text), where=given.where,
                wanted=f"a tolerance of {given.kind.label} as an amount; a percentage of it means nothing",
            )  # fmt: skip
        return _number(term, given) / 100 * abs(value)
    factor, _ = given.kind.units[_unit_name(unit.strip(), given) if unit else name]
    return _number(term, given) * factor


def _number(term: str, given: _Text) -> float:
    mixed = re.fullmatch(r"(?:([0-9]+)[ -])?([0-9]+)/([0-9]+)", term)
    if not mixed:
        return float(term)
    above, below = float(mixed[2]), float(mixed[3])
    if below == 0:
        raise UnreadableQuantity(read=repr(given.text), where=given.where, wanted=given.example())
    if mixed[1] and (above >= below or float(mixed[1]) == 0):
        raise AmbiguousUnit(
            read=repr(given.text), where=given.where,
            wanted="a whole number and a part of one, such as '4-5/8', or two ends of a range with '..' between",
        )  # fmt: skip
    return float(mixed[1] or 0) + above / below


def _value(term: str, unit: str, given: _Text) -> tuple[str, float, str]:
    """Return the kind a number is of with this unit, its SI value, and the unit's proper spelling."""
    name = _unit_name(unit.strip(), given)
    _no_two_plate_values(term, name, given)
    factor, offset = given.kind.units[name]
    return given.kind.flavours.get(name, given.kind.name), factor * _number(term, given) + offset, name


def _no_two_plate_values(term: str, unit: str, given: _Text) -> None:
    """Refuse '230/400 V': a plate's two values for two ways of joining the leads, never a fraction."""
    if "/" in term and (given.kind.name in _PLATE_PAIRS or unit in ("kW", "W", "PS")):
        values = re.split(r"[/ -]", term)
        raise AmbiguousUnit(
            read=repr(given.text), where=given.where,
            wanted="one value: of two on a plate, the one for the way the leads are joined (or the frequency used)",
            instead=" or ".join(f"'{value} {unit}'" for value in values if value),
        )  # fmt: skip


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
    names = _units_of(kind)
    raise WrongUnit(
        read=repr(given.text), where=given.where, instead=_hint(unit, kind),
        wanted=f"{kind.label} in one of: {names}" if names else f"{kind.label}, without a unit",
    )  # fmt: skip


def _hint(unit: str, kind: Kind) -> str:
    """Say what a unit that does not fit may have been meant for."""
    if meant := next((name for name in OFTEN_WRITTEN.get(unit.lower(), ()) if name in kind.units), ""):
        return f"'{meant}'"
    others = [other for other in KINDS.values() if unit in other.units and other is not kind]
    if others:
        other = next((o for o in others if o.si != kind.si), others[0])
        return f"'{unit}' is a unit of {other.label}, not of {kind.label}"
    near = get_close_matches(unit.lower(), [name.lower() for name in kind.units if name], n=1)
    return next((f"'{name}'" for name in kind.units if near and name.lower() == near[0]), "")


def _units_of(kind: Kind) -> str:
    return ", ".join(name for name in kind.units if name.strip("-"))


def _checked(span: Span, given: _Text) -> Span:
    """Refuse a span of which an end that the owner wrote cannot be."""
    _refuse_outside(span, span.low, span.high, given)
    return span


def _refuse_outside(span: Span, low: float, high: float, given: _Text) -> None:
    kind = KINDS[span.kind]
    factor, offset = given.kind.units[span.unit]
    for limit, outside, word in ((kind.low, low < kind.low, "least"), (kind.high, not high <= kind.high, "most")):
        if outside:
            end = f"{(limit - offset) / factor:,.6g} {span.unit}".rstrip(" -")
            raise OutOfBounds(read=repr(given.text), where=given.where, wanted=f"{kind.label} of at {word} {end}")
