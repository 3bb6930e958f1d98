"""The card by the knob, as a part of the build sheet: its drawing, and the same numbers as a table."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

from airfettle.drawings.speed_card import CardHead, answer, speed_card
from airfettle.quantity import Units, in_unit, shown_unit
from airfettle.report.blocks import Block, Column, Heading, Leaf, Picture, Signed, Table, Words
from airfettle.report.settings_leaf import band_text
from airfettle.studies.draw import Draw
from airfettle.studies.speed_card import MOSTLY, CardPoint, SpeedCard

CUT = "Cut it out and stick it beside the knob. It holds for this pump, this motor and this belt, and for no other."
"""What to do with it."""
SPREAD = "Each number is the most likely one, receiver at cut-out, with how far it may lie off in nine of ten rows."
"""How it is read."""


def card_leaf(cards: Sequence[SpeedCard], *, draw: Draw, stopped: Sequence[str] = ()) -> Leaf:
    """Return the cards of all trains, each with its table and the limits on both sides of its window.

    Parameters
    ----------
    cards : sequence of SpeedCard
        One for each train. [SI]
    draw : Draw
        The plant they belong to. [SI]
    stopped : sequence of str
        Why it must not run as it is, worst first: said before any speed.
    """
    about = draw.plant.about
    head = CardHead(about.name, about.units, about.date, about.revision, stopped[0] if stopped else "")
    blocks: list[Block] = [Signed("danger", f"Do not run it yet. {words}") for words in stopped] or [Words(CUT)]
    for card in cards:
        svg, width, height = speed_card(card, head)
        title = f"Speed card: {card.train}" if card.train else "Speed card"
        if len(cards) > 1:
            blocks.append(Heading(card.train or title))
        blocks += [
            Picture(svg, f"{title}. {'Do not run it yet' if stopped else answer(card, about.units)}.", width, height)
        ]
        blocks += [Signed("danger", f"{words}.") for words in card.warnings]
        blocks += [_numbers(card, about.units), *_limits(card)]
    blocks.append(Words(SPREAD))
    every = [r for card in cards for r in (*card.nowhere, *card.beyond_low, *card.beyond_high)]
    keys = dict.fromkeys(key for found in every for key in found.limit.sources)
    return Leaf("card", "Speed card", tuple(blocks), tuple(keys))


def _numbers(card: SpeedCard, units: Units) -> Table:
    columns = (
        Column("Hz", 0.7, "right"), Column("Speed", 1.0), Column("Pump", 1.3, "right"),
        Column("Air delivered", 1.6, "right"), Column("Motor", 1.4, "right"), Column("Supply", 1.4, "right"),
        Column("Sound at 1 m", 1.3, "right"),
    )  # fmt: skip
    unit = shown_unit("pressure", units)
    at = f"{in_unit(card.gauge, kind='pressure', unit=unit):.{0 if units == 'US' else 1}f} {unit}"
    strong = tuple(n for n, point in enumerate(card.points) if point.names)
    rows = tuple(_row(point, units) for point in card.points)
    return Table(columns, rows, caption=f"Receiver at {at}", strong=strong, name=f"{card.train} speeds".strip())


def _row(point: CardPoint, units: Units) -> tuple[str, ...]:
    head = (f"{point.frequency:g}", ", ".join(point.names))
    if point.runs_share < MOSTLY:
        return (*head, f"the motor holds it in {point.runs_share:.0%} of the draw", "-", "-", "-", "-")
    cells = ((point.pump_speed, "rotational_speed"), (point.delivered_air, "intake_flow"),
             (point.motor_current, "current"), (point.supply_current, "current"),
             (point.sound_level, "sound_level"))  # fmt: skip
    return (*head, *(band_text(band, kind=kind, units=units) for band, kind in cells))


def _limits(card: SpeedCard) -> list[Block]:
    """Every limit that ends on either side, nearest first, and what no speed cures."""
    rows = [(r.limit.label, "at no speed", f"holds in {r.holds_share:.0%} of the draw at best") for r in card.nowhere]
    rows += [(r.limit.label, f"below {_up(r.lowest)} Hz", r.limit.note) for r in card.beyond_low if r.lowest]
    rows += [(r.limit.label, f"above {_down(r.highest)} Hz", r.limit.note) for r in card.beyond_high if r.highest]
    if card.direct or not rows:
        rows = [(r.limit.label, "at its one speed", f"holds in {r.holds_share:.0%} of the draw") for r in card.nowhere]
    if not rows:
        return []
    columns = (Column("Limit", 1.6), Column("Passed", 1.0), Column("To know", 2.6))
    return [Table(columns, tuple(rows), caption="Limits", name=f"{card.train} limits".strip())]


def _up(hertz: float) -> str:
    return f"{ceil(hertz * 10.0 - 1e-6) / 10.0:g}"


def _down(hertz: float) -> str:
    return f"{floor(hertz * 10.0 + 1e-6) / 10.0:g}"
