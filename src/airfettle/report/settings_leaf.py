"""What to set on drive, starter and pressure switch, as a part of the build sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby
from math import ceil, floor, log10

from airfettle.quantity import Units, in_unit, shown_unit, toleranced
from airfettle.report.blocks import Block, Column, Heading, Leaf, Signed, Table, Words
from airfettle.studies.bands import Band
from airfettle.studies.settings import Preset, Setting, TrainSettings

OWN = (
    "These settings belong to this pump, this motor and this belt. Copied to another plant they can overspeed a pump, "
    "burn a motor, or start one that nobody expects to start. After a new motor, sheave or pump work them out again."
)
"""Said before any setting."""
HOW = (
    "Whoever may lawfully do so sets the drive, its manual beside it: the manual has the number of each setting, to be "
    "written into the last column. Guard on, the receiver's drain open, nobody near; then the first start by its list."
)
"""How it is set."""
MARKS = (
    "In parentheses: rests on what nobody told. Measure first: not to be relied on before that is known. Tolerance: "
    "between what a setting may lie; a dash where it is a choice."
)
"""How the table is read."""
STEPS = {
    "frequency": 0.1, "current": 0.1, "time": 1.0, "voltage": 1.0, "rotational_speed": 1.0, "fraction": 0.1,
}  # fmt: skip
"""Steps in which a kind is set, in the unit shown; others to three digits."""
COLUMNS = (
    Column("What", 1.5), Column("Set to", 1.5), Column("Tolerance", 1.1), Column("Why", 3.6),
    Column("Parameter number", 1.0, blank=True),
)  # fmt: skip
BOUND: dict[str, Callable[[float], int]] = {"up": ceil, "down": floor, "near": round}
"""Ways a bound is rounded, so that what is printed never lies outside it."""


def settings_leaf(settings: Sequence[TrainSettings], *, units: Units) -> Leaf:
    """Return the settings of every train, what is warned of first, and what the presets give.

    Parameters
    ----------
    settings : sequence of TrainSettings
        One for each train. [SI]
    units : str
        US or SI.
    """
    on_drives = any(not train.direct for train in settings)
    blocks: list[Block] = [Signed("warning", OWN)]
    for train in settings:
        blocks += [Heading(_title(train)), *(Signed("warning", words) for words in train.warnings)]
        if not train.settings:
            continue
        blocks += [
            Words(HOW if not train.direct else LINE),
            *_presets(train, units),
            *_tables(train, units),
        ]
    blocks.append(Words(MARKS))
    keys = dict.fromkeys(key for train in settings for s in train.settings for key in s.sources)
    return Leaf("settings", "Drive settings" if on_drives else "Settings, no drive", tuple(blocks), tuple(keys))


LINE = (
    "No drive: the motor hangs straight on the line at one speed. What there is to set is the overload relay and the "
    "pressure switch, supply locked off, by whoever may lawfully do so."
)
"""Said where there is no drive."""


def _title(train: TrainSettings) -> str:
    what = "Overload relay and pressure switch" if train.direct else "Drive"
    return f"{what}: {train.train}" if train.train else what


def _tables(train: TrainSettings, units: Units) -> list[Block]:
    tables: list[Block] = []
    for group, found in groupby(train.settings, key=lambda setting: setting.group):
        rows = tuple((s.what, set_to(s, units=units), tolerance(s, units=units), s.why, "") for s in found)
        name = f"{train.train} {group}".strip()
        tables.append(Table(COLUMNS, rows, caption=f"{group[0].upper()}{group[1:]}", name=name))
    return tables


def set_to(setting: Setting, *, units: Units) -> str:
    """Return what is to be set, in parentheses where it is assumed, and told where it must be measured first."""
    text = setting.words or (number(setting.value, setting, units=units) if setting.value is not None else "")
    if setting.state == "assumed":
        return f"({text})"
    return f"Measure first: {text}" if setting.state == "measure first" else text


def tolerance(setting: Setting, *, units: Units) -> str:
    """Return between what a setting may lie; bounds rounded inwards; a dash where nothing bounds it."""
    low, high = setting.low, setting.high
    if low is not None and low == high:
        return "exactly"
    least = None if low is None else number(low, setting, units=units, towards="up")
    most = None if high is None else number(high, setting, units=units, towards="down")
    if least is not None and most is not None:
        return least if least == most else f"{least.rpartition(' ')[0] or least} to {most}"
    return f"no less than {least}" if least is not None else f"no more than {most}" if most is not None else "-"


def number(value: float, setting: Setting, *, units: Units, towards: str = "near") -> str:
    """Return a number in the unit and the steps in which it is set.

    Parameters
    ----------
    value : float
        [SI]
    setting : Setting
        Whose kind it is of.
    units : str
        US or SI.
    towards : str
        near, up or down.
    """
    unit = setting.unit or shown_unit(setting.kind, units)
    shown = in_unit(value, kind=setting.kind, unit=unit)
    step = STEPS.get(setting.kind, 0.0) if not setting.unit else 0.0
    if not step:
        step = 10.0 ** (floor(log10(abs(shown))) - 2) if shown else 1.0
    whole = BOUND[towards](round(shown / step, 6)) * step
    return f"{float(f'{whole:.6g}'):g} {unit}".removesuffix(" -").strip()


def _presets(train: TrainSettings, units: Units) -> list[Block]:
    if not train.presets:
        return []
    columns = (
        Column("Speed", 1.2), Column("Hz", 0.7, "right"), Column("Pump", 1.3, "right"),
        Column("Air delivered", 1.6, "right"), Column("Motor", 1.4, "right"), Column("Supply", 1.4, "right"),
        Column("Sound at 1 m", 1.3, "right"),
    )  # fmt: skip
    gauge = in_unit(train.gauge, kind="pressure", unit=shown_unit("pressure", units))
    at = f"{gauge:.{0 if units == 'US' else 1}f} {shown_unit('pressure', units)}"
    rows = tuple(_preset(preset, units) for preset in train.presets)
    name = f"{train.train} presets".strip()
    return [Table(columns, rows, caption=f"What each speed gives, receiver at {at}", name=name)]


def _preset(preset: Preset, units: Units) -> tuple[str, ...]:
    point = preset.point
    cells = ((point.pump_speed, "rotational_speed"), (point.delivered_air, "intake_flow"),
             (point.motor_current, "current"), (point.supply_current, "current"),
             (point.sound_level, "sound_level"))  # fmt: skip
    return (preset.name, f"{preset.frequency:g}", *(band_text(band, kind=kind, units=units) for band, kind in cells))


def band_text(band: Band, *, kind: str, units: Units) -> str:
    """Return a band as a toleranced number in the owner's units."""
    return toleranced(band.low, band.likely, band.high, kind=kind, units=units)
