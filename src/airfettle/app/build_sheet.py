"""The parts of a plant's build sheet, worked out once and printed in the order a builder needs them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path

from airfettle.app.judge import Judged, judge_file, some_weeks
from airfettle.app.rate import frequency_of, gauge_of, rate_loaded
from airfettle.app.window import windows_of
from airfettle.errors import BadRequest, UnknownChoice
from airfettle.findings.checklists.this_plant import ThisPlant
from airfettle.findings.drawn_circuits import drawn_circuits
from airfettle.findings.parts_list import PartsList, parts_list
from airfettle.quantity import Units, plain
from airfettle.report.air_leaf import air_leaf
from airfettle.report.blocks import Heading, Leaf
from airfettle.report.card_leaf import card_leaf
from airfettle.report.cautions_leaf import cautions_leaf
from airfettle.report.checklist_leaf import Kind, checklist_leaf, this_plant
from airfettle.report.numbers_leaf import numbers_leaf
from airfettle.report.parts_leaf import parts_leaf
from airfettle.report.pipe_leaf import pipe_leaf
from airfettle.report.rating_table import KNOWN_WORDS
from airfettle.report.settings_leaf import settings_leaf
from airfettle.report.typeset import Cover
from airfettle.report.wire_sizes_table import wire_size_blocks
from airfettle.report.wiring_leaf import wiring_leaf
from airfettle.studies.choosing.against import Comparison, against_ready_made
from airfettle.studies.day.days import Days
from airfettle.studies.draw import ROWS
from airfettle.studies.pipework.from_plant import has_network
from airfettle.studies.pipework.shop import shop_run
from airfettle.studies.rating import Rating, rate
from airfettle.studies.settings import drive_settings
from airfettle.studies.speed_card import SpeedCard, speed_cards
from airfettle.studies.speed_window import SpeedWindow
from airfettle.studies.stations import stations
from airfettle.studies.wiring.circuit import Circuit
from airfettle.studies.wiring.leakage import leakage_budgets
from airfettle.studies.wiring.reflection import lead_peaks
from airfettle.studies.wiring.sized import TrainWires
from airfettle.studies.wiring.sizes import wire_sizes

WEEKS = 16
"""Weeks a plant is run for to tell its hours of care and its cost, each on a row of its own. [-]"""


class Workings:
    """A plant worked out for its drawings and lists; each study runs once, when a part first asks for it.

    Attributes
    ----------
    judged : Judged
        The plant and what was found about it.
    hertz, pressure : str
        Where the air path is shown; empty for full frequency and cut-out.
    printed : bool
        Drawn for pages of paper.
    """

    def __init__(self, judged: Judged, *, hertz: str = "", pressure: str = "", printed: bool = True) -> None:
        self.judged, self.printed = judged, printed
        self.frequency = frequency_of(hertz) if hertz else None
        self.gauge = gauge_of(pressure) if pressure else None

    @cached_property
    def rating(self) -> Rating:
        """The plant at its low, quiet and full frequency."""
        return rate_loaded(self.judged.loaded)

    @cached_property
    def windows(self) -> tuple[SpeedWindow, ...]:
        """How slow and how fast each train may run."""
        return windows_of(self.judged.loaded)

    @cached_property
    def circuits(self) -> tuple[Circuit, ...]:
        """The plant's wiring, as it is and as it should be."""
        return drawn_circuits(self.judged.reach, findings=self.judged.findings, sizes=self.wires)

    @cached_property
    def wires(self) -> tuple[TrainWires, ...]:
        """Sizes of wires and devices of each train."""
        reach = self.judged.reach
        return wire_sizes(reach.draw, reach.numbers, state=reach.state)

    @cached_property
    def cards(self) -> tuple[SpeedCard, ...]:
        """The card of each train."""
        reach = self.judged.reach
        return speed_cards(reach.draw, windows=self.windows, numbers=reach.numbers)

    @cached_property
    def lists(self) -> ThisPlant:
        """The plant as its checklists see it."""
        return this_plant(self.judged.reach, rating=self.rating_to_run, findings=self.judged.findings)

    @cached_property
    def rating_to_run(self) -> Rating:
        """The plant at the speeds that the settings give it: those told, moved into the window."""
        speeds = sorted({speed.frequency for card in self.cards if not card.direct for speed in card.speeds})
        if not speeds or speeds == sorted({point.frequency for point in self.rating.points}):
            return self.rating
        return rate(self.judged.loaded.draw, frequencies=speeds)

    @cached_property
    def days(self) -> Days | None:
        """The plant run through some weeks; None where it tells no uses, or nothing can be run."""
        loaded = self.judged.loaded
        return some_weeks(loaded, weeks=WEEKS) if loaded.told.use else None

    @cached_property
    def parts(self) -> PartsList:
        """What the plant takes, and what is still missing."""
        return parts_list(self.judged.loaded.told, reach=self.judged.reach, findings=self.judged.findings)

    @cached_property
    def comparison(self) -> Comparison | None:
        """The plant against the ready-made units it names; None where it names none."""
        told, reach = self.judged.loaded.told, self.judged.reach
        if not told.ready_made:
            return None
        return against_ready_made(told, draw=reach.draw, numbers=reach.numbers, days=self.days)

    @property
    def units(self) -> Units:
        """Units of the plant's owner."""
        return self.judged.loaded.draw.plant.about.units

    def cover(self, title: str) -> Cover:
        """Return the title block of a sheet with a title."""
        draw = self.judged.loaded.draw
        about, point = draw.plant.about, self.rating.points[-1]
        known = Counter(span.known for span in draw.spans_at_rest.values())
        by = ", ".join(f"{known[k]} {words}" for k, words in KNOWN_WORDS.items() if known[k])
        shown = f"{point.frequency:g} Hz at {plain(point.receiver_gauge, kind='pressure', units=about.units)}"
        lines = (
            ("Shown", f"at {shown} where nothing else is said"), ("Known by", f"{by} entries"),
            ("Spread", f"middle of {draw.rows} rows of the draw and nine of ten of them; seed {draw.seed}"),
            ("Revision", about.revision), ("Date", about.date),
        )  # fmt: skip
        return Cover(about.name, title, tuple(line for line in lines if line[1]), about.revision, about.date)


def workings_of(
    path: str | Path, *, hertz: str = "", pressure: str = "", rows: int = ROWS, seed: int = 1, printed: bool = True
) -> Workings:
    """Read, draw and judge a plant, to print parts of it.

    Raises
    ------
    AirfettleError
        One clear error.
    """
    return Workings(judge_file(path, rows=rows, seed=seed), hertz=hertz, pressure=pressure, printed=printed)


def _cautions(workings: Workings) -> Leaf:
    return cautions_leaf(workings.judged.findings)


def _numbers(workings: Workings) -> Leaf:
    return numbers_leaf(workings.rating, windows=workings.windows)


def _air(workings: Workings) -> Leaf:
    reach = workings.judged.reach
    shown = stations(reach.draw, reach.numbers, frequency=workings.frequency, gauge=workings.gauge)
    return air_leaf(shown, workings.judged.findings, printed=workings.printed)


def _pipe(workings: Workings) -> Leaf | None:
    draw = workings.judged.loaded.draw
    return pipe_leaf(shop_run(draw), workings.judged.findings) if has_network(draw.plant) else None


def _power(workings: Workings) -> Leaf | None:
    reach = workings.judged.reach
    sizes = wire_size_blocks(
        workings.wires, leakage=leakage_budgets(reach.draw, reach.numbers), units=workings.units,
        peaks=lead_peaks(reach.draw, reach.numbers),
    )  # fmt: skip
    return wiring_leaf("power", workings.circuits, draw=reach.draw, printed=workings.printed, sizes=sizes)


def _control(workings: Workings) -> Leaf | None:
    return wiring_leaf("control", workings.circuits, draw=workings.judged.reach.draw, printed=workings.printed)


def _settings(workings: Workings) -> Leaf:
    reach = workings.judged.reach
    found = drive_settings(reach.draw, numbers=reach.numbers, windows=workings.windows, cards=workings.cards)
    return settings_leaf(found, units=workings.units)


def _card(workings: Workings) -> Leaf:
    stopped = tuple(found.says for found in workings.lists.stopped)
    return card_leaf(workings.cards, draw=workings.judged.reach.draw, stopped=stopped)


def _list(kind: Kind) -> Callable[[Workings], Leaf]:
    return lambda workings: checklist_leaf(kind, this=workings.lists, days=workings.days if kind == "care" else None)


def _parts(workings: Workings) -> Leaf:
    return parts_leaf(workings.parts, draw=workings.judged.reach.draw, comparison=workings.comparison)


PARTS: dict[str, Callable[[Workings], Leaf | None]] = {
    "cautions": _cautions, "numbers": _numbers, "air": _air, "pipe": _pipe, "power": _power, "control": _control,
    "settings": _settings, "card": _card, "parts": _parts,
    "receiver": _list("receiver"), "start": _list("start"), "care": _list("care"), "faults": _list("faults"),
}  # fmt: skip
"""Parts of the build sheet by name, in the order they are printed; None where a plant has nothing for it."""
CHECKLISTS = ("receiver", "start", "care", "faults")
"""The lists to work from, by name."""


def checklist_names(only: str) -> tuple[str, ...]:
    """Return the lists asked for, all four where none is named.

    Raises
    ------
    UnknownChoice
        No such list.
    """
    if not only:
        return CHECKLISTS
    if only not in CHECKLISTS:
        raise UnknownChoice(read=repr(only), where="--only", wanted=f"one of: {', '.join(CHECKLISTS)}",
                            instead="".join(get_close_matches(only, CHECKLISTS, n=1)))  # fmt: skip
    return (only,)


def leaf_named(workings: Workings, names: tuple[str, ...]) -> Leaf:
    """Return one part, or several as one.

    Raises
    ------
    BadRequest
        The plant has nothing for it.
    """
    leaves = [leaf for name in names if (leaf := PARTS[name](workings)) is not None]
    if not leaves:
        raise BadRequest(
            read=f"{names[0]} of {workings.judged.loaded.path}", wanted=WANTED.get(names[0], "a plant that has it")
        )
    if len(leaves) == 1:
        return leaves[0]
    blocks = tuple(block for leaf in leaves for block in (Heading(leaf.title), *leaf.blocks))
    sources = tuple(dict.fromkeys(key for leaf in leaves for key in leaf.sources))
    return Leaf("checklist", "Checklists", blocks, sources)


WANTED = {
    "pipe": "a plant whose [shop_pipe] tells runs and drops, with tools among [[use]]",
    "control": "a plant that is controlled: a pressure switch, a transducer or a drive",
}
"""What a part needs that a plant may lack."""


def sheet_of(workings: Workings) -> tuple[Leaf, ...]:
    """Return all parts that a plant has, in order."""
    return tuple(leaf for part in PARTS.values() if (leaf := part(workings)) is not None)
