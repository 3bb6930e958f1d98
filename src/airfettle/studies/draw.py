"""From spans to arrays: one draw of a whole plant, every path with a stream of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airfettle.air.atmosphere import barometric_pressure
from airfettle.errors import BadRequest
from airfettle.plant.part import Model, entry_of
from airfettle.plant.site import Site
from airfettle.plant.whole import SEVERAL, OwnersPlant, Plant
from airfettle.quantity import Span, drawn, read_span

Array = NDArray[np.float64]
ROWS = 1024
"""Rows of a draw unless another number is asked for; a power of two."""

ALWAYS = ("plant", "site", "control", "supply", "receiver", "shop_pipe")
ALWAYS_IN_A_TRAIN = ("supply", "drive", "motor_lead", "motor", "belt", "intake", "pump", "hot_line")
"""Sections assumed by class where they are not told; others are left out of the plant."""


@dataclass(frozen=True)
class Draw:
    """A plant drawn: row 0 is one coherent plant at likely values.

    Attributes
    ----------
    plant : Plant[Array]
        The same plant with arrays of shape (rows, 1, 1), or (1, 1, 1) where exact; pressures absolute. [SI]
    rows, seed : int
        Number of rows, and the seed of all streams. [-]
    spans : dict
        Path -> the span that was drawn.
    assumed : tuple of str
        Paths nobody told, in the file's order.
    in_time : frozenset of str
        Paths that count only where the plant is run through its days.
    """

    plant: Plant[Array]
    rows: int
    seed: int
    spans: dict[str, Span] = field(default_factory=dict)
    assumed: tuple[str, ...] = ()
    in_time: frozenset[str] = frozenset()

    @property
    def spans_at_rest(self) -> dict[str, Span]:
        """The spans that count without a run through days."""
        return {path: span for path, span in self.spans.items() if path not in self.in_time}

    @property
    def assumed_at_rest(self) -> tuple[str, ...]:
        """Paths nobody told, of those that count without a run through days."""
        return tuple(path for path in self.assumed if path not in self.in_time)

    @property
    def barometer(self) -> Array:
        """Air pressure at the site, absolute. [Pa]"""
        site = self.plant.site
        assert site is not None
        assert site.barometer is not None
        return site.barometer


def draw(
    plant: OwnersPlant,
    *,
    rows: int = ROWS,
    seed: int = 1,
    shares: Mapping[str, Array] | None = None,
    instead: Mapping[str, Span] | None = None,
    only: tuple[str, ...] = (),
) -> Draw:
    """Draw a plant.

    Parameters
    ----------
    plant : OwnersPlant
        As read from the owner's file. [spans]
    rows : int
        A power of two, 8 to 131072. [-]
    seed : int
        Seed of all streams. [-]
    shares : mapping or None
        Path -> shares in (0, 1), shape (rows,), that stand in for the path's own stream. [-]
    instead : mapping or None
        Path -> the span to draw in place of what is told or assumed.
    only : tuple of str
        Beginnings of the paths that are drawn, all others standing at their likely values; empty draws all.

    Returns
    -------
    Draw
        [SI]

    Raises
    ------
    BadRequest
        The number of rows is not such a power of two.
    """
    if rows < 8 or rows > 1 << 17 or rows & (rows - 1):
        raise BadRequest(read=f"{rows} rows", wanted="a power of two from 8 to 131072")
    walker = _Walker(rows, seed, shares or {}, instead or {}, only)
    site = walker.section(plant.site or Site[Span](), "site")
    walker.barometer = _barometer(site)
    drawn_site = site.model_copy(update={"barometer": walker.barometer})
    whole = walker.section(_with_assumed_parts(plant), "").model_copy(update={"site": drawn_site})
    return Draw(whole, rows, seed, walker.spans, tuple(walker.assumed), frozenset(walker.in_time))


def first_rows(found: Draw, *, rows: int) -> Draw:
    """Return the first rows of a draw, the one coherent plant among them.

    Parameters
    ----------
    found : Draw
        A draw; its rows stand in no order. [SI]
    rows : int
        How many; all of them where there are no more. [-]

    Returns
    -------
    Draw
        [SI]
    """
    if rows >= found.rows:
        return found
    return replace(found, plant=_fewer(found.plant, found.rows, rows), rows=rows)


def _fewer(part: Any, many: int, rows: int) -> Any:
    if isinstance(part, np.ndarray):
        return part[:rows] if part.shape[:1] == (many,) else part
    if isinstance(part, tuple):
        return tuple(_fewer(item, many, rows) for item in part)
    if isinstance(part, Model):
        return type(part).model_construct(**{name: _fewer(getattr(part, name), many, rows)
                                             for name in type(part).model_fields})  # fmt: skip
    return part


def _barometer(site: Site[Array]) -> Array:
    """Air pressure as read, or the standard atmosphere for the height times the weather. [Pa]"""
    if site.barometer is not None:
        return site.barometer
    return np.asarray(barometric_pressure(site.altitude) * site.weather)


def _with_assumed_parts(plant: OwnersPlant) -> OwnersPlant:
    """Put sections assumed by class where the file has none."""
    whole: OwnersPlant = _filled(plant, (*ALWAYS, *ALWAYS_IN_A_TRAIN) if not plant.train else ALWAYS)
    if not plant.train:
        return whole.model_copy(update={"pump": _with_stages(whole.pump)})
    own = tuple(name for name in ALWAYS_IN_A_TRAIN if name != "supply")
    trains = tuple(_filled(train, own) for train in plant.train)
    return whole.model_copy(
        update={"train": tuple(t.model_copy(update={"pump": _with_stages(t.pump)}) for t in trains)}
    )


def _filled(owner: Any, names: tuple[str, ...]) -> Any:
    fresh: dict[str, Any] = {}
    for name in names:
        if not getattr(owner, name):
            empty = _empty(type(owner), name)
            fresh[name] = (empty,) if name in SEVERAL else empty
    return owner.model_copy(update=fresh)


def _with_stages(pump: Any) -> Any:
    """Give the pump a section for each of its stages."""
    names = ("first_stage", "second_stage") if pump.stages == 2 else ("first_stage",)
    return _filled(pump, names)


def _empty(owner: type[Model[Any]], name: str) -> Model[Any]:
    """Return an untold section: the model class named in the owner's annotation, with no entries."""
    annotation = owner.model_fields[name].annotation
    for candidate in getattr(annotation, "__args__", (annotation,)):
        if isinstance(candidate, type) and issubclass(candidate, Model):
            return candidate()
    raise TypeError(name)


class _Walker:
    """Turns sections of spans into sections of arrays, remembering spans and what was assumed."""

    def __init__(
        self, rows: int, seed: int, shares: Mapping[str, Array], instead: Mapping[str, Span], only: tuple[str, ...]
    ) -> None:
        self.rows, self.seed, self.shares, self.instead, self.only = rows, seed, shares, instead, only
        self.barometer: Array | None = None
        self.spans: dict[str, Span] = {}
        self.assumed: list[str] = []
        self.in_time: set[str] = set()

    def section(self, model: Any, path: str) -> Any:
        values: dict[str, Any] = {}
        for name, info in type(model).model_fields.items():
            value = getattr(model, name)
            here = f"{path}.{name}" if path else name
            if entry_of(info):
                values[name] = self._array(model, name, value, here)
            elif here == "site" and self.barometer is not None:
                values[name] = value
            elif isinstance(value, Model):
                values[name] = self.section(value, here)
            elif isinstance(value, tuple):
                values[name] = tuple(self._item(item, here, i, len(value)) for i, item in enumerate(value))
            else:
                values[name] = value
        return type(model).model_construct(**values)

    def _item(self, item: Any, path: str, place: int, count: int) -> Any:
        if not isinstance(item, Model):
            return item
        own = getattr(item, "name", "") or (str(place + 1) if count > 1 else "")
        return self.section(item, f"{path}.{own}" if own else path)

    def _array(self, model: Model[Any], name: str, value: Span | None, path: str) -> Array | None:
        entry = entry_of(type(model).model_fields[name])
        assert entry is not None
        if value is None:
            text = None if getattr(model, "absent", False) else model.assumed_text(name)
            if text is None:
                return None
            value = read_span(text, kind=entry.kind, where=path, known="assumed")
            if value is None:
                return None
            self.assumed.append(path)
        value = self.instead.get(path, value)
        self.spans[path] = value
        if entry.in_time or path.startswith("use"):
            self.in_time.add(path)
        if self.only and not path.startswith(self.only):
            values = np.array([value.likely])
        else:
            values = drawn(value, path=path, rows=self.rows, seed=self.seed, shares=self.shares.get(path))
        if value.kind == "pressure":
            assert self.barometer is not None
            values = values + self.barometer[:, 0, 0]
        return values[:, None, None]
