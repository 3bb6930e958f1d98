"""Random true plants, readings simulated with their instruments' errors, and whether the bands hold the truth.

A truth is one row of a plant drawn with another seed; what an instrument shows of it is given as a reading.
"""

import random
from dataclasses import dataclass, replace

import numpy as np

from airfettle.quantity import Span, read_span
from airfettle.studies.completion.whole import complete
from airfettle.studies.draw import draw
from airfettle.studies.evidence.conditioning import conditioned, pooled
from airfettle.studies.evidence.predicted import predictions
from airfettle.studies.evidence.statements import Statement, reading_meanings, statements
from airfettle.studies.instant.whole import instant

ANSWERS = ("delivered_air", "pump_speed", "motor_torque_share", "discharge_temperature", "supply_current")
"""Answers whose bands are looked at, at the highest frequency and cut-out."""
READINGS = {
    "pump_speed": "tachometer", "motor_current": "clamp meter", "discharge_temperature": "thermometer",
    "electrical_power": "power meter", "supply_current": "clamp meter", "wall_temperature": "thermometer",
}  # fmt: skip
"""What may be read, and the instrument."""
POOL, ROWS, OTHER_SEED = 4096, 256, 77


@dataclass(frozen=True)
class Seen:
    """One answer of one true plant: what it really is, its band before and after, and what was read."""

    plant: int
    answer: str
    truth: float
    before: tuple[float, float]
    after: tuple[float, float]
    read: tuple[str, ...]


def answers_of(drawn):
    """Rows of the answers at base frequency and cut-out."""
    numbers = complete(drawn)
    state = instant(numbers, frequency=np.full((1, 1, 1), numbers.base_frequency),
                    receiver_pressure=np.asarray(numbers.cut_out).reshape(-1, 1, 1))  # fmt: skip
    return {name: np.broadcast_to(np.ravel(getattr(state.trains[0], name)), (drawn.rows,)) for name in ANSWERS}


def reading_of(place, what, *, shown=0.0):
    """A statement of a reading at base frequency, midway between the pressures."""
    span = Span(reading_meanings()[what].kind, "exact", shown, shown, shown, known="measured", by=READINGS[what])
    return Statement(f"reading.{place + 1}", "reading", what, span, place=place, what=what, conditions=(None, None))


def with_value(statement, value):
    """The same statement with another value, and the tolerance that its instrument gives it."""
    span = read_span(f"{float(value)!r} {SI[statement.span.kind]}", kind=statement.span.kind, known="measured",
                     by=statement.span.by)  # fmt: skip
    return replace(statement, span=span)


SI = {"rotational_speed": "1/s", "current": "A", "temperature": "K", "power": "W", "intake_flow": "m3/s"}


def shown_by(statement, truth, *, chance):
    """What an instrument shows of a truth, and the statement that comes of it."""
    exact = with_value(statement, truth)
    error = (exact.span.high - exact.span.low) / 4.0
    return with_value(statement, float(truth + error * chance.standard_normal()))


def trials(plant, owners, *, truths, seed):
    """What is seen of some true plants behind one plant file."""
    chance = np.random.default_rng([seed, plant])
    picked = random.Random(plant + 1000 * seed).sample(sorted(READINGS), k=1 + plant % 2)
    owners = _with_readings(owners, picked)
    said = [reading_of(i, what) for i, what in enumerate(picked)]
    pool = pooled(owners, said, rows=POOL, seed=1)
    before = {name: np.percentile(rows, [5.0, 95.0]) for name, rows in answers_of(draw(owners, rows=1024)).items()}
    others = draw(owners, rows=256, seed=OTHER_SEED)
    true_answers, true_readings = answers_of(others), predictions(others, said)
    for row in chance.integers(1, 256, size=truths).tolist():
        heard = tuple(shown_by(s, true_readings[i, row], chance=chance) for i, s in enumerate(said))
        belief = conditioned(replace(pool, said=heard), rows=ROWS)
        for name, rows in answers_of(belief.draw).items():
            low, high = np.percentile(rows, [5.0, 95.0])
            yield Seen(plant, name, float(true_answers[name][row]), tuple(before[name]), (float(low), float(high)),
                       tuple(picked))  # fmt: skip


def _with_readings(owners, picked):
    """The plant with places for its readings, so that their conditions are drawn."""
    from airfettle.plant.control import Reading

    readings = tuple(Reading[Span](what=what, value="", by=READINGS[what]) for what in picked)
    return owners.model_copy(update={"reading": readings})


def coverage(seen, *, after):
    """Share of truths inside their band."""
    inside = [low <= s.truth <= high for s in seen for low, high in [s.after if after else s.before]]
    return float(np.mean(inside))


def told_in_full(text, row, *, chance, faults):
    """A plant told in full with consistent readings of one true plant, and one of several faults planted in it.

    Returns the plant, its statements, and the path of what is wrong.
    """
    from plant_cases import plant_of

    owners = _with_readings(plant_of(text), CHECKED)
    said = [*statements(_real(owners)), *(reading_of(i, what) for i, what in enumerate(CHECKED))]
    true = predictions(draw(owners, rows=64, seed=OTHER_SEED), said)[:, row]
    heard = [shown_by(s, t, chance=chance) if s.sort == "reading" else replace(s, span=_plate(s, t))
             for s, t in zip(said, true, strict=True)]  # fmt: skip
    wrong, factor = faults[int(chance.integers(len(faults)))]
    places = [i for i, s in enumerate(heard) if wrong in (s.path, s.what)]
    if places:
        found = heard[places[0]]
        moved = found.value + factor if found.span.kind == "temperature" else found.value * factor
        heard[places[0]] = with_value(found, moved) if found.sort == "reading" else replace(
            found, span=_scaled(found.span, factor))  # fmt: skip
        return owners, tuple(heard), found.path
    section, name = wrong.split(".")
    part = getattr(owners, section)
    changed = part.model_copy(update={name: _scaled(getattr(part, name), factor)})
    return owners.model_copy(update={section: changed}), tuple(heard), wrong


CHECKED = ("pump_speed", "motor_current", "discharge_temperature", "electrical_power")
"""Readings that a plant told in full has."""


def _real(owners):
    return owners.model_copy(update={"reading": ()})


def _plate(statement, value):
    """The statement's own span moved to a true value."""
    return _scaled(statement.span, value / statement.value)


def _scaled(span, factor):
    return replace(span, low=span.low * factor, likely=span.likely * factor, high=span.high * factor,
                   text=f"{span.likely * factor:.4g} (SI)")  # fmt: skip
