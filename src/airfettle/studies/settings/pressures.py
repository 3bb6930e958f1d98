"""Pressures at which a plant starts and stops, against what must open or hold before anything gives."""

from __future__ import annotations

from collections.abc import Iterator

from airfettle.studies.settings.one_train import OneTrain
from airfettle.studies.settings.setting import Group, Setting

STOP_SHARE, SWITCH_SHARE = 0.90, 0.95
"""Highest stop, and highest setting of the high-pressure switch, over the relief valve's: below both it stays shut. [-]
Source: practice."""


def pressure(train: OneTrain, entry: str, what: str, why: str) -> Setting:
    """Return the setting of a pressure; the pumps after the first have their own where that is told.

    Parameters
    ----------
    train : OneTrain
        The train. [SI]
    entry : str
        cut_in or cut_out.
    what, why : str
        In words.
    """
    own = f"follow_{entry}" if train.wired.place and train.told("control", f"follow_{entry}") else entry
    told, barometer = train.given("control", own), train.likely(train.plant.barometer)
    value = told if told is not None else train.likely(getattr(train.plant, entry)) - barometer
    high = None
    if entry == "cut_out":
        high = _bound(train, below_relief=STOP_SHARE)
        why += "".join(
            f" {words} {train.say(bound, 'pressure')}."
            for words, bound in (
                ("The relief valve opens at", relief(train)),
                ("The receiver's plate says", plate(train)),
            )
            if bound is not None
        )
    group: Group = "pressure switch" if train.window.direct else "run and speed"
    return Setting(entry, group, what, value=value, kind="pressure", words=train.wired.told("control", own), high=high,
                   why=why, state=train.known(f"control.{own}"))  # fmt: skip


def high_pressure_stop(train: OneTrain) -> Iterator[Setting]:
    """Yield the setting of a second switch that stops the plant; where there is none, and it must not be missing."""
    there = train.fact("control", "independent_pressure_stop")
    if there == "no" and train.fact("control", "kind") != "transducer":
        return
    stop = train.likely(train.plant.cut_out) - train.likely(train.plant.barometer)
    bound = _bound(train, below_relief=SWITCH_SHARE) if plate(train) is not None else None
    group: Group = "pressure switch" if train.window.direct else "run and speed"
    why = {
        "yes": "A switch of its own, which stops the plant when the first fails; reset by hand.",
        "no": "There is none. A transducer that reads low lets the pump run on: fit one.",
    }.get(there, "Not told whether there is one. It stops the plant when the first switch or transducer fails.")
    if bound is None or bound <= stop:
        yield Setting("high_stop", group, "High-pressure switch", words="above stop, below the relief valve",
                      kind="pressure", low=stop, why=why, state="measure first")  # fmt: skip
        return
    yield Setting("high_stop", group, "High-pressure switch", value=0.5 * (stop + bound), kind="pressure", low=stop,
                  high=bound, why=why, state="sure" if there == "yes" else "measure first")  # fmt: skip


def relief(train: OneTrain) -> float | None:
    """Return where the first relief valve on the receiver opens, gauge; None where nothing is told. [Pa]"""
    draw = train.wired.draw
    there = [v.set_pressure for v in draw.plant.relief_valve if not v.absent and v.protects in ("receiver", "unknown")]
    return min((train.likely(p) - train.likely(draw.barometer) for p in there if p is not None), default=None)


def plate(train: OneTrain) -> float | None:
    """Return the lowest plate pressure of the receivers, gauge; None where nothing is told. [Pa]"""
    draw = train.wired.draw
    there = [r.plate_pressure for r in draw.plant.receiver if not r.absent and r.plate_readable != "no"]
    return min((train.likely(p) - train.likely(draw.barometer) for p in there if p is not None), default=None)


def _bound(train: OneTrain, *, below_relief: float) -> float | None:
    """Return the highest that a stop may be set to: a share of the relief's setting, the plate, ratings on the way."""
    plant, room = train.wired.draw.plant, train.likely(train.wired.draw.barometer)
    cooler, separator = plant.trains[train.wired.place].cooler, plant.separator
    ratings = [p.pressure_rating for p in (cooler, separator) if p is not None and not p.absent]
    found = [train.likely(p) - room for p in ratings if p is not None]
    opens, stamped = relief(train), plate(train)
    found += [below_relief * opens] if opens is not None else []
    found += [stamped] if stamped is not None else []
    return min(found, default=None)
