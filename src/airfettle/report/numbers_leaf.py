"""What a plant does at its speeds, as a part of the build sheet, with what was assumed for it."""

from __future__ import annotations

from collections.abc import Sequence

from airfettle.plant.whole import walk
from airfettle.quantity import in_unit, shown_unit, span_text, toleranced
from airfettle.report.blocks import Block, Column, Heading, Leaf, Table, Words
from airfettle.report.rating_table import GROUPS, headline
from airfettle.report.window_table import window_headline
from airfettle.studies.meaning import Meaning
from airfettle.studies.rating import RatedPoint, Rating, answer_meanings
from airfettle.studies.speed_window import SpeedWindow

SPREAD = (
    "Each value is the most likely one with how far it may lie above and below: nine of ten rows of the draw are "
    "between. An assumed entry stands in parentheses, as a reference dimension does on a drawing."
)
"""How the numbers are read."""


def numbers_leaf(rating: Rating, *, windows: Sequence[SpeedWindow]) -> Leaf:
    """Return what a plant does at its speeds against its highest pressure, and what was taken for granted."""
    about = rating.draw.plant.about
    blocks: list[Block] = [Words(str(headline(rating)), strong=True)]
    blocks += [Words(window_headline(window, units=about.units)) for window in windows]
    blocks += [_answers(rating), *_noticed(rating), Words(SPREAD)]
    blocks += [Heading("Assumed, because nobody told"), *_assumed(rating)]
    blocks.append(Words(f"Taken for granted: {'; '.join(rating.numbers.taken)}."))
    names = [name for name in answer_meanings() if name in rating.points[-1].answers]
    keys = dict.fromkeys(key for name in names for key in answer_meanings()[name].sources)
    return Leaf("numbers", "What it does", tuple(blocks), tuple(keys))


def _answers(rating: Rating) -> Table:
    last = rating.points[-1].receiver_gauge
    points = [p for p in rating.points if p.receiver_gauge == last]
    units = rating.draw.plant.about.units
    unit = shown_unit("pressure", units)
    gauge = f"{in_unit(last, kind='pressure', unit=unit):.{0 if units == 'US' else 1}f} {unit}"
    names = [name for group in GROUPS.values() for name in group if name in points[0].answers]
    columns = (Column("What", 2.4), *(Column(f"{p.frequency:g} Hz", 1.5, "right") for p in points))
    rows = tuple(_row(rating, answer_meanings()[name], name, points) for name in names)
    return Table(columns, rows, caption=f"Receiver at {gauge}", name="numbers")


def _row(rating: Rating, meaning: Meaning, name: str, points: Sequence[RatedPoint]) -> tuple[str, ...]:
    about = rating.draw.plant.about
    money = about.currency if meaning.kind in ("cost_rate", "energy_price", "money") else ""
    cells = []
    for point in points:
        band = point.answers[name]
        star = "*" if point.notices.get(name) else ""
        words = toleranced(band.low, band.likely, band.high, kind=meaning.kind, units=about.units)
        cells.append(f"{words}{star} {money}".strip())
    return (meaning.label, *cells)


def _noticed(rating: Rating) -> list[Words]:
    words = dict.fromkeys(word for p in rating.points for notices in p.notices.values() for word in notices)
    return [Words(f"* {word}") for word in words]


def _assumed(rating: Rating) -> list[Block]:
    draw = rating.draw
    if not draw.assumed_at_rest:
        return [Words("Nothing: every entry that counts was told.")]
    labels = {path: entry.label for path, _, _, entry, _ in walk(draw.plant)}
    rows = tuple((path, labels[path], f"({span_text(draw.spans[path], units=draw.plant.about.units)})")
                 for path in draw.assumed_at_rest)  # fmt: skip
    head = (Column("Entry of the file", 1.6), Column("What it is", 2.6), Column("Assumed", 1.4))
    return [Table(head, rows, name="assumed")]
