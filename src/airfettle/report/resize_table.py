"""Other receivers and other full speeds in the terminal: the answer, and a table for each, the plant's own marked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from airfettle.quantity import Units, shown_unit, toleranced
from airfettle.report.day_table import NOTHING, table_of
from airfettle.report.resize_words import Speeds, resize_headline, volume_text
from airfettle.report.words import CAUTION
from airfettle.studies.day.resize import CurvePoint, Resized
from airfettle.studies.draw import Draw

COLUMNS = {
    "enough_share": ("enough pressure, of tool time", "fraction"),
    "longest_shortage": ("longest shortage", "minutes"),
    "starts_worst": ("most starts within an hour", "start_rate"),
    "energy_year": ("electricity in a year", "energy"),
}
"""Answers shown: head of the column, and kind."""
OWN = "as it is"
"""Marks the plant's own size and speed."""


def resize_table(found: Resized, *, draw: Draw, speeds: Speeds, width: int = 100, gone: int = 0) -> RenderableType:
    """Return shortage against receiver size and against full speed for a rich console."""
    units = draw.plant.about.units
    parts: list[RenderableType] = [
        Text(resize_headline(found, units=units, speeds=speeds), style="bold"), "", Text(CAUTION, style="italic"), "",
        _table("receiver", found.receiver, [volume_text(p, units) for p in found.receiver], units=units, width=width),
        *_about_receivers(), "",
    ]  # fmt: skip
    if found.speed:
        names = [f"{p.value:g} Hz{'' if speeds.allows(p.value) else ' *'}" for p in found.speed]
        parts += [_table("full speed", found.speed, names, units=units, width=width), *_about_speeds(found, speeds), ""]
    else:
        parts += [
            Text("The motor hangs on the line: there is one speed. Another sheave is another: airfettle sheaves FILE."),
            "",
        ]
    if gone:
        lines = "1 size or speed is" if gone == 1 else f"{gone} sizes or speeds are"
        parts += [Text(f"{lines} left out: the receiver is emptied too fast there to be followed."), ""]
    weeks = round(found.length / 604_800.0)
    parts.append(
        Text(
            f"Each line: {found.paths} chances of {weeks} week{'s' * (weeks > 1)}, the same in every line; likely, and "
            f"9 of 10 of them (P50, P5 to P95); seed {draw.seed}.", style="dim",
        )
    )  # fmt: skip
    return Group(*parts)


def _table(
    first: str, points: Sequence[CurvePoint], names: Sequence[str], *, units: Units, width: int
) -> Table:  # fmt: skip
    there = [name for name in COLUMNS if any(name in point.answers for point in points)]
    heads = [COLUMNS[name][0] + _unit(COLUMNS[name][1], units) for name in there]
    lines = [
        [Text(f"{name}\n{OWN}" if point.own else name), *(_cell(point, answer, units) for answer in there)]
        for point, name in zip(points, names, strict=True)
    ]
    return table_of([first, *heads], lines, width=width, bold=[i for i, p in enumerate(points) if p.own])


def _unit(kind: str, units: Units) -> str:
    return "" if kind == "start_rate" else f", {shown_unit(kind, units)}"


def _cell(point: CurvePoint, name: str, units: Units) -> Text:
    band = point.answers.get(name)
    if band is None:
        return Text(NOTHING)
    kind = COLUMNS[name][1]
    text = toleranced(band.low, band.likely, band.high, kind=kind, units=units)
    return Text(text.removesuffix(shown_unit(kind, units)).strip())


def _about_receivers() -> Iterator[Text]:
    yield Text(
        "Each is tried as a receiver like yours, of another size. A real one needs a plate for the cut-out, a relief "
        "valve of its own, and nothing between valve and vessel.", style="dim",
    )  # fmt: skip


def _about_speeds(found: Resized, speeds: Speeds) -> Iterator[Text]:
    if all(speeds.allows(point.value) for point in found.speed):
        return
    window = "no speed meets every limit" if speeds.lowest is None or speeds.highest is None else (
        f"the window is {speeds.lowest:.1f} to {speeds.highest:.1f} Hz")  # fmt: skip
    yield Text(
        f"* past a limit of pump, motor, belt, drive or relief valve; {window}. Never set it there: airfettle window "
        "FILE says which limit.", style="bold",
    )  # fmt: skip
