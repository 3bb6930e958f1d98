"""How far a bare value may be off: by what it was read with, or by who said it.

Two standard deviations, either a share of the value or an amount in SI. Instruments come first,
then the kind of knowledge. Source: practice; the instruments are those of a workshop, not a
calibration laboratory.
"""

from __future__ import annotations

from typing import NamedTuple

from airfettle.quantity.span import Known


class Error(NamedTuple):
    """Two standard deviations: the larger of a share of the value and an amount."""

    share: float = 0.0
    amount: float = 0.0


INSTRUMENTS: dict[str, dict[str, Error]] = {
    "tape": {"length": Error(0.002, 1.0e-3)},
    "rule": {"length": Error(0.002, 0.5e-3)},
    "caliper": {"length": Error(0.0, 0.1e-3), "area": Error(0.01)},
    "ultrasound": {"length": Error(0.0, 0.1e-3)},
    "tachometer": {"rotational_speed": Error(0.005, 1 / 60)},
    "strobe": {"rotational_speed": Error(0.005, 1 / 60)},
    "clamp meter": {"current": Error(0.03, 0.2)},
    "multimeter": {"voltage": Error(0.01, 0.5), "current": Error(0.02, 0.05), "frequency": Error(0.002)},
    "power meter": {"power": Error(0.02, 5.0)},
    "thermometer": {"temperature": Error(0.0, 2.0), "temperature_difference": Error(0.0, 2.0)},
    "hygrometer": {"fraction": Error(0.0, 0.05)},
    "stopwatch": {"time": Error(0.01, 0.5)},
    "gauge": {"pressure": Error(0.03, 7_000.0), "absolute_pressure": Error(0.03, 7_000.0),
              "pressure_difference": Error(0.05, 2_000.0)},
    "barometer": {"absolute_pressure": Error(0.0, 300.0)},
    "scale": {"mass": Error(0.01, 0.01), "volume": Error(0.01)},
    "water fill": {"volume": Error(0.01), "swept_volume": Error(0.02)},
    "sound meter": {"sound_level": Error(0.0, 2.0)},
    "flow meter": {"reference_flow": Error(0.05), "intake_flow": Error(0.05), "fan_flow": Error(0.1)},
}  # fmt: skip
"""Instrument -> kind of quantity -> its error."""

WORDS_FOR_KNOWN: dict[str, Known] = {
    "plate": "nameplate", "nameplate": "nameplate", "stamp": "nameplate", "maker": "maker", "data sheet": "maker",
    "manual": "maker", "seller": "told", "told": "told", "memory": "told", "guess": "guess", "eye": "guess",
    "measurement": "measured",
}  # fmt: skip
"""What may stand after 'by' when it is not an instrument."""


def known_by(word: str) -> Known | None:
    """Return how a value is known that was found by an instrument or in another known way, or None."""
    return "measured" if word in INSTRUMENTS else WORDS_FOR_KNOWN.get(word)


_BY_KNOWN: dict[Known, Error] = {
    "measured": Error(0.02), "nameplate": Error(0.02), "maker": Error(0.03), "told": Error(0.10),
    "guess": Error(0.25), "assumed": Error(0.0),
}  # fmt: skip

_RATINGS = {"frequency", "voltage", "money", "wire_size"}
"""Kinds whose stated value is a choice or a rating, not an estimate, however it is known."""

_PLATE_RATINGS = {"power": Error(0.0), "rotational_speed": Error(0.003), "pressure": Error(0.0),
                  "absolute_pressure": Error(0.0), "temperature": Error(0.0), "current": Error(0.02)}  # fmt: skip

_AMOUNTS: dict[str, dict[Known, Error]] = {
    "temperature": {"measured": Error(0, 2.0), "maker": Error(0, 2.0), "told": Error(0, 4.0), "guess": Error(0, 10.0)},
    "sound_level": {"measured": Error(0, 2.0), "nameplate": Error(0, 2.0), "maker": Error(0, 2.0),
                    "told": Error(0, 4.0), "guess": Error(0, 8.0)},
    "altitude": {"measured": Error(0, 10.0), "told": Error(0, 30.0), "guess": Error(0, 150.0)},
    "pressure": {"told": Error(0.03, 5_000.0), "guess": Error(0.10, 10_000.0)},
    "absolute_pressure": {"told": Error(0.01, 500.0), "guess": Error(0.03, 2_000.0)},
}  # fmt: skip


def bare_error(value: float, *, kind: str, known: Known, by: str = "") -> float:
    """Return the tolerance of a bare value: two standard deviations. [SI unit of the kind]"""
    error = INSTRUMENTS.get(by, {}).get(kind)
    if error is None and kind in _RATINGS:
        error = Error()
    if error is None and known in ("nameplate", "maker"):
        error = _PLATE_RATINGS.get(kind)
    if error is None:
        error = _AMOUNTS.get(kind, {}).get(known, _BY_KNOWN[known])
    return max(error.share * abs(value), error.amount)
