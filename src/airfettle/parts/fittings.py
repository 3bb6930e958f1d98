"""Fittings in a pipe: what was written of them, the pipe they count for, and the pressure they take."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from airfettle import tables
from airfettle.errors import UnknownChoice, UnknownTableEntry, UnreadableQuantity

Array = NDArray[np.float64]

STEEL_ROUGHNESS = 4.5e-5
"""Roughness of the clean steel pipe that the lengths of fittings are for. [m]  Source: crane."""

_COUNT = re.compile(r"(?:(?P<count>\d+)\s*(?P<times>x|×|off)?\s*|an?\s+)?(?P<word>.*)")
_ANGLE = re.compile(r"(?P<angle>45|90)[\s-]*(?:degrees?|deg|°)?[\s-]*(?P<bent>(?!x\b|×|off\b).*(?:elbow|ell|bend).*)")


def fitting_kinds() -> tuple[str, ...]:
    """Return the kinds of fitting that have a length.

    Returns
    -------
    tuple of str
        Names, as fittings_length takes them. [text]

    References
    ----------
    [crane]
    """
    return tables.load("fitting_lengths").words("kind")


def read_fittings(text: str) -> dict[str, int]:
    """Return how many of each fitting a text such as '4 elbows, 2 tees, 1 ball valve' tells.

    Parameters
    ----------
    text : str
        Counts and names with commas between, or ``none``. [text]

    Returns
    -------
    dict
        Count of each kind, kinds of which there are none left out. [-]

    Raises
    ------
    UnknownChoice
        A name is not that of a fitting.
    UnreadableQuantity
        A count is missing where it could be taken for an angle.

    Notes
    -----
    A tee of which nothing more is said counts as one that the air turns into: it has the longer of the two lengths.

    References
    ----------
    [practice]
    """
    found: dict[str, int] = {}
    if text.strip().lower() in ("none", "no fittings", "0", ""):
        return found
    for part in re.split(r",|;|\+|\band\b", text):
        if part.strip():
            kind, count = _read_one(part.strip(), text)
            found[kind] = found.get(kind, 0) + count
    return {kind: count for kind, count in found.items() if count}


def fittings_length(fittings: Mapping[str, int]) -> float:
    """Return the straight pipe that fittings count for, in bores.

    Parameters
    ----------
    fittings : Mapping
        Count of each kind. [-]

    Returns
    -------
    float
        Length over bore, summed. [-]

    Raises
    ------
    UnknownTableEntry
        A kind is not in the table.

    References
    ----------
    [crane]; sockets, unions and reducers: [practice]
    """
    table = tables.load("fitting_lengths")
    known = dict(zip(table.words("kind"), table.numbers("length"), strict=True))
    for kind in fittings:
        if kind not in known:
            raise UnknownTableEntry(read=kind, where=table.title, wanted=f"one of: {', '.join(known)}")
    return float(sum(count * known[kind] for kind, count in fittings.items()))


def turbulent_friction(bore: ArrayLike, *, roughness: ArrayLike = STEEL_ROUGHNESS) -> Array:
    """Return the friction factor after Darcy where flow is fully turbulent.

    Parameters
    ----------
    bore : array_like
        Bore of the pipe. [m]
    roughness : array_like
        Height of its roughness. [m]

    Returns
    -------
    ndarray
        Friction factor. [-]

    Notes
    -----
    f = 0.25 / log10(roughness / (3.7 bore))^2.  Valid: where the flow is so fast that the pipe's roughness alone sets
    friction; below, it reads low.

    References
    ----------
    [crane]; limit of Colebrook's equation: [physics]
    """
    relative = np.asarray(roughness, dtype=np.float64) / np.asarray(bore, dtype=np.float64)
    return np.asarray(0.25 / np.square(np.log10(relative / 3.7)))


def fittings_loss(length_over_bore: ArrayLike, *, bore: ArrayLike) -> Array:
    """Return the loss of fittings, in heads of velocity.

    Parameters
    ----------
    length_over_bore : array_like
        Straight pipe they count for, in bores. [-]
    bore : array_like
        Bore of the pipe they are in. [m]

    Returns
    -------
    ndarray
        Pressure taken over half density times velocity squared. [-]

    Notes
    -----
    K = (L/D) f, f of clean steel pipe of this bore where fully turbulent, whatever the pipe is made of.  Valid:
    fittings made for threaded steel; the smooth ones of soldered and pressed tube take less, so it errs high there.

    References
    ----------
    [crane]
    """
    return np.asarray(np.asarray(length_over_bore, dtype=np.float64) * turbulent_friction(bore))


def end_loss(end: str) -> float:
    """Return the loss where air enters a pipe or leaves it.

    Parameters
    ----------
    end : str
        ``sharp entrance``, ``rounded entrance`` or ``exit``. [text]

    Returns
    -------
    float
        Pressure taken over half density times velocity squared. [-]

    Raises
    ------
    UnknownTableEntry
        The end is not in the table.

    References
    ----------
    [crane]
    """
    table = tables.load("fitting_ends")
    known = table.words("end")
    if end not in known:
        raise UnknownTableEntry(read=end, where=table.title, wanted=f"one of: {', '.join(known)}")
    return float(table.numbers("loss")[known.index(end)])


@cache
def _names() -> dict[str, str]:
    """Every name that can be written, in the singular, with the kind it means."""
    table = tables.load("fitting_lengths")
    names = {kind: kind for kind in table.words("kind")}
    for kind, others in zip(table.words("kind"), table.words("also called"), strict=True):
        names |= {other.strip(): kind for other in others.split(";") if other.strip()}
    return names


def _read_one(part: str, text: str) -> tuple[str, int]:
    """One fitting with its count; a number before 'elbow' that is an angle is no count."""
    whole = part.lower()
    angle = _ANGLE.fullmatch(whole)
    counted = None if angle else _COUNT.fullmatch(whole)
    word = counted["word"] if counted else whole
    bent = angle or _ANGLE.fullmatch(word)
    if bent:
        word = f"{bent['angle']} {bent['bent']}"
    kind = next((_names()[one] for one in _singulars(word) if one in _names()), None)
    if kind is None:
        raise UnknownChoice(
            read=part,
            wanted=f"how many and what, one of: {', '.join(fitting_kinds())}",
            instead="'4 elbows, 1 ball valve'",
        )
    if angle and word.endswith("s"):
        raise UnreadableQuantity(
            read=text, wanted="a count before each fitting", instead=f"'3 {angle['angle']} degree elbows' or '3 elbows'"
        )
    return kind, int(counted["count"]) if counted and counted["count"] else 1


def _singulars(word: str) -> list[str]:
    """The word as it stands, and with its first or last word in the singular; hyphens taken for blanks."""
    plain = re.sub(r"[\s-]+", " ", word).strip()
    return [plain, *(re.sub(end, "", plain) for end in (r"s$", r"es$", r"(?<=^tee)s\b", r"(?<=^elbow)s\b"))]
