"""Sizes of pipe in sentences: what to buy, whom no pipe can help and what helps them, what one size would weigh."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airfettle.parts.pipe_stock import Stock, larger
from airfettle.quantity import Units, plain
from airfettle.report.day_words import named
from airfettle.report.pipes_rows import DROP_SPEED, RUN_SPEED, distance, likely
from airfettle.report.pipes_words import MOST_NAMED, RULE, change_name, place_name, share
from airfettle.studies.pipework.changes import Change
from airfettle.studies.pipework.shop import ShopRun
from airfettle.studies.pipework.sizes import DROPS, Sized, SizedPart

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Beyond:
    """A tool that no pipe can help.

    Attributes
    ----------
    place : int
        Among the places for tools. [-]
    enough : float
        Share of the draw in which it has enough with the sizes found. [-]
    cures : tuple of Change
        What else was tried with the sizes found, the most helpful first.
    """

    place: int
    enough: float
    cures: tuple[Change, ...]


@dataclass(frozen=True)
class SizesTold:
    """Sizes found with all that is said of them.

    Attributes
    ----------
    run : ShopRun
        The pipe as it is. [SI]
    found : Sized
        The sizes. [SI]
    fastest : tuple of ndarray
        Fastest air in each part with its new size, shape (rows,). [m/s]
    beyond : tuple of Beyond
        Tools that no pipe can help.
    other_material : bool
        Another material was asked for.
    """

    run: ShopRun
    found: Sized
    fastest: tuple[Array, ...]
    beyond: tuple[Beyond, ...]
    other_material: bool = False

    @property
    def units(self) -> Units:
        """Units of the plant's owner. [text]"""
        return self.run.draw.plant.about.units

    def slow_enough(self, part: int) -> Stock | None:
        """Return the smallest wider size whose air is no faster than common practice has it, where one is made."""
        one = self.found.parts[part]
        speed = float(np.median(self.fastest[part]))
        size: Stock | None = one.found
        while size is not None and speed * (one.found.bore / size.bore) ** 2 > self.most(part):
            size = larger(size)
        return size

    def most(self, part: int) -> float:
        """Return the fastest air of common practice in a part. [m/s]"""
        return DROP_SPEED if self.found.parts[part].name == DROPS else RUN_SPEED

    def fast(self, part: int) -> bool:
        """Return whether air is most likely faster in a part than common practice has it."""
        return float(np.median(self.fastest[part])) > self.most(part)


def part_name(part: SizedPart) -> str:
    """Return a run or all drops."""
    return part.name if part.name == DROPS else f"run {part.name}"


def to_buy(found: Sized) -> list[SizedPart]:
    """Return the parts whose pipe is too thin, or of another material than was asked for."""
    return [p for p in found.parts if p.found.material != p.now.material or p.found.bore > p.now.bore]


def could_be_smaller(found: Sized) -> list[SizedPart]:
    """Return the parts whose pipe is wider than needed."""
    return [p for p in found.parts if p.found.material == p.now.material and p.found.bore < p.now.bore]


def sizes_headline(told: SizesTold) -> str:
    """Return the first thing said: what to buy, or that pipe is not to blame."""
    found, buy = told.found, to_buy(told.found)
    sure = share(found.certainty)
    if buy:
        what = named([f"{p.found.text} for {part_name(p)} ({distance(p.length, told.units)})" for p in buy])
        words = f"Buy {what}"
        words += " in place of what is there; the rest may stay as it is" if 0 < len(buy) < len(found.parts) else ""
        return f"{words}: {_then(told)}"
    if found.beyond_pipe:
        return f"Pipe is not to blame: no size gives {beyond_names(told)} enough. {cure_words(told)}".strip()
    return (
        f"No wider pipe is needed for pressure: with what is there every tool has enough in {sure} of the draw or more."
    )


def _then(told: SizesTold) -> str:
    found = told.found
    helped = [s for j, s in enumerate(found.after) if j not in found.beyond_pipe]
    if not helped:
        return f"no tool has enough by pipe alone. {cure_words(told)}".strip()
    held = min(helped)
    every = "every tool" if not found.beyond_pipe else "every tool that pipe can help"
    if held < found.certainty:
        return f"even so {every} has enough in only {share(held)} of the draw."
    words = f"{every} then has enough in {_at_least(held)}."
    if found.beyond_pipe:
        words += f" No pipe helps {beyond_names(told)}. {cure_words(told)}"
    return words.strip()


def _at_least(held: float) -> str:
    return "all of the draw" if held >= 1.0 else f"{share(held)} of the draw or more"


def beyond_names(told: SizesTold) -> str:
    """Return the tools that no pipe can help, by name where they are few."""
    names = [place_name(told.run.places[j]) for j in told.found.beyond_pipe]
    return named(names) if len(names) <= MOST_NAMED else f"{len(names)} tools"


def cure_words(told: SizesTold) -> str:
    """Return what helps the first of the tools that no pipe can help."""
    return do_words(told, told.beyond[0]) if told.beyond else ""


def do_words(told: SizesTold, one: Beyond) -> str:
    """Return what to do for a tool that no pipe can help."""
    place, units = told.run.places[one.place], told.units
    cure = next((c for c in one.cures if c.enough >= told.found.certainty), None)
    if cure is not None:
        return f"For {place_name(place)}: {change_name(cure, units)} (enough in {share(cure.enough)} of the draw)."
    if one.cures:
        best = max(one.cures, key=lambda c: c.enough)
        return (
            f"For {place_name(place)} no single change does: {change_name(best, units)} helps most (enough in "
            f"{share(best.enough)} of the draw); besides, {_pressure(told, one)}."
        )
    return f"For {place_name(place)} only the receiver helps: {_pressure(told, one)}."


def _pressure(told: SizesTold, one: Beyond) -> str:
    """A higher cut-in, within what receiver and relief valve allow, or another tool."""
    needed = likely(told.run.places[one.place].needed, kind="pressure", units=told.units)
    cut_in = likely(told.run.answers.receiver_gauge, kind="pressure", units=told.units)
    return (
        f"it needs {needed} and the receiver starts at {cut_in}: a higher cut-in, as far as pump, receiver plate and "
        "relief valve allow, or a tool that needs less"
    )


def weight_words(told: SizesTold) -> list[str]:
    """Return what the sizes weigh, and what one size for everything would."""
    found, units = told.found, told.units
    new, now = (plain(m, kind="mass", units=units) for m in (found.metal, found.metal_now))
    words = [
        f"Weight of all pipe: {new} in these sizes, {now} as it is. Pipe of one material costs about by its weight; "
        "prices are not known here."
    ]
    if found.one_size is not None:
        one = plain(found.metal_one, kind="mass", units=units)
        words.append(f"One size for all runs and drops: {found.one_size.text}, {one}.")
    elif len({p.found.material for p in found.parts}) > 1:
        words.append("One size for all cannot be said: the pipe is of several materials; --material NAME picks one.")
    else:
        words.append("No one size for all runs and drops does.")
    return words


def fast_words(told: SizesTold) -> str:
    """Return what a star at a speed means, and which sizes are wide enough for slow air; empty without stars."""
    fast = [g for g in range(len(told.found.parts)) if told.fast(g)]
    if not fast:
        return ""
    run, drop = RULE[told.units]
    wide = [(part_name(told.found.parts[g]), told.slow_enough(g)) for g in fast]
    would = [f"{size.text} for {name}" for name, size in wide if size is not None]
    words = (
        f"* enough by pressure, but faster than common practice has it, {run} in a run and {drop} in a drop: noise, "
        "and water carried past the drains."
    )
    return f"{words} Quiet and dry: {named(would)}." if would else words


def smaller_words(told: SizesTold) -> str:
    """Return what pipe could be smaller, were it bought anew."""
    small = could_be_smaller(told.found)
    if not small:
        return ""
    names = named([part_name(p) for p in small])
    it = "It" if len(small) == 1 and small[0].name != DROPS else "They"
    return (
        f"Wider than the pressure asks for: {names}. {it} may stay; bought anew, a smaller size does, with faster air."
    )


def search_words(told: SizesTold) -> str:
    """Return how far sizes were searched."""
    found = told.found
    if found.every:
        return f"All sets of sizes were weighed up ({found.tried} solved); no lighter one does."
    return f"The search was cut short after {found.tried} sets of sizes: there may be lighter ones."


def maker_words(told: SizesTold) -> str:
    """Return a warning for pipe that is only for air where its maker says so."""
    kinds = dict.fromkeys(p.found.material for p in told.found.parts if p.found.needs_listing)
    return f"{named(list(kinds))}: only where its maker lists it for compressed air at this pressure." if kinds else ""
