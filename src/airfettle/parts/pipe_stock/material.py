"""What pipe is made of: the names of materials, other names for them, and the sizes each is made in."""

from __future__ import annotations

import re
from functools import cache

from airfettle import tables
from airfettle.errors import UnknownChoice

JOINTS = ("lead-free", "brazed")
"""Joints of copper tube that can be told after its type, as in 'copper L brazed'; told neither, it counts as soldered
with tin and lead, the weakest that is met. [text]"""

_ALSO = {
    "steel": "steel 40", "black steel": "steel 40", "black iron": "steel 40", "iron": "steel 40",
    "galvanised": "galvanised 40", "galvanised steel": "galvanised 40", "galvanised iron": "galvanised 40",
    "galvanised steel 40": "galvanised 40", "stainless steel": "stainless", "stainless steel 10s": "stainless 10s",
    "stainless 10": "stainless 10s", "stainless steel 10": "stainless 10s", "aluminium shop": "aluminium",
    "rubber hose": "hose", "air hose": "hose", "rubber air hose": "hose", "cpvc": "pvc", "pvc 40": "pvc",
    "pvc or cpvc": "pvc", "listed plastic for air": "listed plastic", "plastic": "other plastic",
    "abs": "other plastic", "pe": "other plastic", "polyethylene": "other plastic",
}  # fmt: skip
"""Other names that are understood, in small letters -> the name of the material. [text]"""

_WORDS = {
    "galvanized": "galvanised", "galv": "galvanised", "aluminum": "aluminium", "alu": "aluminium", "cu": "copper",
    "silver-soldered": "brazed", "leadfree": "lead-free", "inch": "in", "inches": "in", "unleaded": "lead-free",
}  # fmt: skip
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅜": "3/8", "⅝": "5/8"}
_FILLERS = {
    "pipe", "tube", "tubing", "type", "schedule", "sch", "sdr", "soldered", "solder", "joints", "of", "size", "nominal",
}  # fmt: skip


def materials() -> tuple[str, ...]:
    """Return the names of what pipe is made of, the strongest first.

    Returns
    -------
    tuple of str
        Names, as an owner writes them. [text]

    References
    ----------
    [practice]
    """
    found = []
    for name in tables.load("pipe_materials").words("material"):
        found += [name, *(f"{name} {joint}" for joint in JOINTS if name.startswith("copper"))]
    return tuple(found)


def sizes(material: str) -> tuple[str, ...]:
    """Return the sizes a material is made in, the smallest bore first.

    Parameters
    ----------
    material : str
        One of materials(), or another name that read_pipe understands. [text]

    Returns
    -------
    tuple of str
        Sizes; none for a material of which the owner writes the bore. [text]

    Raises
    ------
    UnknownChoice
        There is no such material.

    References
    ----------
    [asme-b36-10]; [astm-b88]; [en-1057]; [en-10312]; [astm-f876]; aluminium and hose: [practice]
    """
    table = entry(material_named(words_of(material), text=material), column="table")
    return tables.load(table).words("size") if table else ()


def plain(text: str) -> str:
    """Return a text in small letters, with signs and units spelt one way.

    Parameters
    ----------
    text : str
        As the owner wrote it. [text]

    Returns
    -------
    str
        The same, easier to take apart. [text]

    References
    ----------
    [practice]
    """
    low = text.lower().replace("×", "x").replace("″", " in").replace('"', " in").replace("”", " in")
    for sign, fraction in _FRACTIONS.items():
        low = low.replace(sign, f" {fraction}")
    low = re.sub(r"(?<=\d),(?=\d+\s*(?:mm\b|$))", ".", low).replace(",", " ")
    low = re.sub(r"sch(?:edule|\.)?\s*(?=\d)", " ", low)
    low = re.sub(r"(?<=\d)\s*-?\s*(?:inch(?:es)?|ins?\.)(?=\s|$)", " in", low)
    return re.sub(r"(?<=\d)(?=in\b|mm\b)", " ", low).strip()


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text that may name a material.

    Parameters
    ----------
    text : str
        As the owner wrote it, its size taken out. [text]

    Returns
    -------
    tuple of str
        Words spelt one way, those that say nothing left out. [text]

    References
    ----------
    [practice]
    """
    words = re.findall(r"[a-z0-9.-]+", plain(text))
    return tuple(word for word in (_WORDS.get(w, w) for w in words) if word not in _FILLERS and word != "-")


def material_named(words: tuple[str, ...], *, text: str, metric: bool = False) -> str:
    """Return the material that words name, in any order.

    Parameters
    ----------
    words : tuple of str
        Of words_of. [text]
    text : str
        All that was read, for the error. [text]
    metric : bool
        The size beside it is in millimetres, which tells which copper is meant. [-]

    Returns
    -------
    str
        One of materials(). [text]

    Raises
    ------
    UnknownChoice
        There is no such material, or its type is missing.

    References
    ----------
    [practice]
    """
    wanted = set(words) | ({"en"} if metric and "copper" in words and not {"l", "m", "en"} & set(words) else set())
    name = _names().get(frozenset(wanted))
    if name is not None:
        return name
    if "copper" in wanted and not {"l", "m", "en"} & wanted:
        raise UnknownChoice(
            read=text, wanted="copper with its type: L (blue print) or M (red print); in millimetres with its wall",
            instead="'copper L 3/4 in', 'copper M 3/4 in' or 'copper 22 x 1'",
        )  # fmt: skip
    raise UnknownChoice(
        read=text, wanted=f"a material and a size; materials are: {', '.join(materials())}", instead="'copper L 3/4 in'"
    )


def entry(material: str, *, column: str) -> str:
    """Return what the table of materials says in words.

    Parameters
    ----------
    material : str
        One of materials(). [text]
    column : str
        Column of the table. [text]

    Returns
    -------
    str
        What stands there. [text]

    References
    ----------
    [practice]
    """
    return tables.load("pipe_materials").words(column)[material_row(material)]


def material_row(material: str) -> int:
    """Return the row of the table of materials; the joint of copper has none of its own.

    Parameters
    ----------
    material : str
        One of materials(). [text]

    Returns
    -------
    int
        Row. [-]

    References
    ----------
    [practice]
    """
    base = material
    for joint in JOINTS:
        base = base.removesuffix(f" {joint}")
    return tables.load("pipe_materials").words("material").index(base)


@cache
def _names() -> dict[frozenset[str], str]:
    """Sets of words -> the material they name."""
    names = {frozenset(name.lower().split()): name for name in materials()}
    also = {name.lower(): name for name in materials()}
    return names | {frozenset(words.split()): also[name] for words, name in _ALSO.items()}
