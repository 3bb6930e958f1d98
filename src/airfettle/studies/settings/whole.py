"""All settings of every train of a plant."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from airfettle.studies.completion.whole import PlantNumbers
from airfettle.studies.draw import Draw
from airfettle.studies.settings.from_the_plate import motor_guard, motor_plate, supply
from airfettle.studies.settings.limits import current_limit, frequencies
from airfettle.studies.settings.on_the_line import on_the_line
from airfettle.studies.settings.one_train import OneTrain
from airfettle.studies.settings.run_and_speed import outputs, run_and_speed
from airfettle.studies.settings.setting import Preset, Setting, TrainSettings
from airfettle.studies.settings.starting import starting_and_stopping
from airfettle.studies.settings.volts_and_hertz import volts_and_hertz
from airfettle.studies.speed_card import MOSTLY, SpeedCard
from airfettle.studies.speed_window import SpeedWindow, at_both_ends
from airfettle.studies.wiring.wired import trains_of

SINGLE_PHASE_MOTOR = (
    "The motor is a single-phase one: a drive's output destroys its capacitor and switch, and burns it. Do not run it "
    "from this drive. No settings are given."
)
"""Said in place of settings that would hurt."""


def drive_settings(
    draw: Draw, *, numbers: PlantNumbers, windows: Sequence[SpeedWindow], cards: Sequence[SpeedCard]
) -> tuple[TrainSettings, ...]:
    """Return what to set on the drive, or on starter and pressure switch, of every train.

    Parameters
    ----------
    draw : Draw
        The plant. [SI]
    numbers : PlantNumbers
        The plant with its gaps filled. [SI]
    windows : sequence of SpeedWindow
        One for each train. [SI]
    cards : sequence of SpeedCard
        One for each train, from the same windows. [SI]

    Returns
    -------
    tuple of TrainSettings
        In the order an installer meets them. [SI]

    Raises
    ------
    AirfettleError
        Entries contradict each other so far that nothing can be computed.
    """
    ends = sorted({s.frequency for card in cards for s in card.speeds} or {numbers.mains})
    state = at_both_ends(draw, numbers, np.array(ends))
    found = []
    for place, wired in enumerate(trains_of(draw)):
        card = cards[place]
        train = OneTrain(wired, numbers, numbers.trains[place], windows[place], card, state.trains[place])
        presets = _presets(card)
        single = wired.on_drive and wired.parts["motor"].phases == 1
        settings = () if single else tuple(_every(train, presets))
        warnings = (SINGLE_PHASE_MOTOR,) if single else tuple(_warnings(card))
        found.append(TrainSettings(card.train, card.direct, settings, () if single else presets, warnings, card.gauge))
    return tuple(found)


def _every(train: OneTrain, presets: tuple[Preset, ...]) -> Iterator[Setting]:
    if train.window.direct:
        yield from on_the_line(train)
        return
    yield from supply(train)
    yield from motor_plate(train)
    yield from motor_guard(train)
    limit = current_limit(train)
    yield limit
    yield from frequencies(train)
    yield from starting_and_stopping(train, limit=limit)
    yield from volts_and_hertz(train)
    yield from run_and_speed(train, presets=presets)
    yield from outputs(train)


def _presets(card: SpeedCard) -> tuple[Preset, ...]:
    at = {point.frequency: point for point in card.points}
    return tuple(Preset(s.name, s.frequency, s.asked, at[s.frequency]) for s in card.speeds)


def _warnings(card: SpeedCard) -> Iterator[str]:
    """What settings do not cure."""
    yield from card.warnings
    if not card.direct and card.lowest is None:
        yield "No speed meets every limit: do not run it before that is settled. The speed card names the limits."
    for found in card.nowhere:
        note = f" {found.limit.note[0].upper()}{found.limit.note[1:]}." if found.limit.note else ""
        where = "At its one speed it is past its limit:" if card.direct else "No setting cures this:"
        yield f"{where} {found.limit.label}; it holds in {found.holds_share:.0%} of the draw.{note}"
    if any(point.runs_share < MOSTLY for point in card.points):
        yield "At some of these speeds the motor may stall at cut-out: see the speed card."
