"""A rating as a table in the terminal: the answer first, then every number with its spread, then what was assumed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from rich import box
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from airfettle.findings.finding import Finding
from airfettle.plant.whole import walk
from airfettle.quantity import Known, Units, in_unit, plain, shown_unit, span_text, toleranced
from airfettle.report.words import CAUTION, summary
from airfettle.studies.bands import Band
from airfettle.studies.meaning import Meaning
from airfettle.studies.rating import RatedPoint, Rating, answer_meanings

GROUPS: dict[str, tuple[str, ...]] = {
    "air": ("delivered_air", "purge_air", "volumetric_efficiency", "pump_speed", "discharge_pressure",
            "interstage_pressure"),
    "power": ("shaft_power", "pump_torque", "motor_speed", "motor_torque_share", "speed_fluctuation"),
    "electricity": ("motor_current", "drive_output_share", "supply_current", "voltage_drop_share", "electrical_power",
                    "specific_power", "running_cost"),
    "heat": ("discharge_temperature", "wall_temperature", "winding_temperature", "cooler_outlet_temperature",
             "cooler_approach", "cooler_still_temperature"),
    "water": ("water_caught", "caught_share", "receiver_water", "receiver_temperature", "receiver_dew_point",
              "dryer_load", "beads_spent", "line_dew_point", "line_pressure",
              "tool_pressure"),
    "sound": ("sound_level",),
}  # fmt: skip
"""Answers in the order they are read, under the words a practitioner would look for."""

SHORT = (
    "delivered_air",
    "shaft_power",
    "motor_torque_share",
    "motor_current",
    "supply_current",
    "discharge_temperature",
)
"""Answers shown again for the lower pressures."""

LABEL, UNIT = (20, 40), 11
"""Widths of the columns: least and most of the labels, and units. [characters]"""

KNOWN_WORDS: dict[Known, str] = {
    "measured": "measured", "nameplate": "from a plate", "maker": "from the maker", "told": "told", "guess": "guessed",
    "assumed": "assumed",
}  # fmt: skip


def rating_table(
    rating: Rating, *, findings: Sequence[Finding] = (), assumed: bool = False, width: int = 100, whole: bool = True
) -> RenderableType:
    """Return a rating for a rich console of a width; with everything that was assumed, or only how much of it.

    Not whole, the highest pressure alone is shown, and neither findings nor what was assumed.
    """
    pressures = sorted({p.receiver_gauge for p in rating.points}, reverse=True)
    found = _found(findings) if whole else ()
    parts: list[RenderableType] = [headline(rating), Text(CAUTION, style="italic"), *found, ""]
    for i, gauge in enumerate(pressures if whole else pressures[:1]):
        points = [p for p in rating.points if p.receiver_gauge == gauge]
        parts += [_table(rating, points, short=i > 0, width=width), ""]
    if not whole:
        return Group(*parts, *_notices(rating), _title_block(rating), "")
    parts += [*_notices(rating), *_assumed(rating, assumed), "", _title_block(rating)]
    return Group(*parts)


def _found(findings: Sequence[Finding]) -> Iterator[RenderableType]:
    """Dangers and warnings that hold, in a line each, and how much else there is to know."""
    grave = [f for f in findings if f.signal in ("danger", "warning") and f.state == "holds"]
    if grave:
        yield ""
    for f in grave:
        yield Text.assemble((f"{f.signal.upper()} ", "bold red"), (f"{f.rule}: ", "bold"), f.says)
    if findings:
        yield Text(f"{summary(findings)} Each in full: airfettle findings FILE.")


def headline(rating: Rating) -> Text:
    """Return the first thing said: what the plant delivers at the last point."""
    point, units = rating.points[-1], rating.draw.plant.about.units
    air = _shown(point.answers["delivered_air"], "intake_flow", rating)
    power = _shown(point.answers["electrical_power"], "power", rating)
    pressure = _gauge(point.receiver_gauge, units)
    words = f"Delivers {air} at {point.frequency:g} Hz against {pressure}, and takes {power}."
    if any("what its motor could turn" in taken for taken in rating.numbers.taken):
        words += " The pump's size is a guess from its motor: measure bore and stroke."
    over = [name for name in ("drive_output_share", "motor_torque_share") if _over(point, name)]
    if over:
        words += f" But that is more than the {'drive' if 'drive' in over[0] else 'motor'} may give."
    if point.runs_share < 0.99:
        share = f"{1 - point.runs_share:.0%}"
        where = f"At {point.frequency:g} Hz against {pressure}"
        words = f"{where} the motor stalls in {share} of the draw. Where it holds: {words}"
    if any(notice.startswith("DANGER") for notices in point.notices.values() for notice in notices):
        words = f"DANGER: {pressure} is above the receiver's plate pressure: never run it there. {words}"
    return Text(words, style="bold")


def _over(point: RatedPoint, name: str) -> bool:
    return name in point.answers and point.answers[name].likely > 1.0


def _shown(band: Band, kind: str, rating: Rating) -> str:
    return toleranced(band.low, band.likely, band.high, kind=kind, units=rating.draw.plant.about.units)


def _table(rating: Rating, points: list[RatedPoint], *, short: bool, width: int) -> Table:
    units = rating.draw.plant.about.units
    pressure = _gauge(points[0].receiver_gauge, units)
    groups = [
        [_row(rating, n, points) for n in names
         if n in points[0].answers and _worth_showing(n, points) and (not short or n in SHORT)]
        for names in GROUPS.values()
    ]  # fmt: skip
    numbers = [max(len(row[2 + i]) for rows in groups for row in rows) for i in range(len(points))]
    label = min(LABEL[1], max(LABEL[0], width - UNIT - sum(numbers) - len(numbers) - 6))
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0), show_edge=False, header_style="bold")
    table.add_column(f"receiver at {pressure}", width=label)
    table.add_column("", width=UNIT, no_wrap=True, style="dim")
    for point in points:
        table.add_column(f"{point.frequency:g} Hz", justify="right")
    for rows in groups:
        for row in rows:
            table.add_row(*row[:2], *(_emphasised(text) for text in row[2:]), end_section=not short and row is rows[-1])
    return table


def _gauge(pressure: float, units: Units) -> str:
    """A receiver pressure as a gauge can be read: to 1 psi, or to a tenth of a bar."""
    unit = shown_unit("pressure", units)
    return f"{in_unit(pressure, kind='pressure', unit=unit):.{0 if units == 'US' else 1}f} {unit}"


def _worth_showing(name: str, points: list[RatedPoint]) -> bool:
    """Leave out what a plant cannot have: volts lost in wires nobody described."""
    return name != "voltage_drop_share" or any(point.answers[name].high > 0 for point in points)


def _row(rating: Rating, name: str, points: list[RatedPoint]) -> list[str]:
    """Label, unit and a number with its spread for each point; a star where there is a notice."""
    meaning = answer_meanings()[name]
    unit = shown_unit(meaning.kind, rating.draw.plant.about.units)
    row = [meaning.label, _currency(unit, meaning, rating)]
    for point in points:
        number, _, spread = _shown(point.answers[name], meaning.kind, rating).removesuffix(unit).strip().partition(" ")
        row.append(f"{number}{'*' if point.notices.get(name) else ''} {spread}".strip())
    return row


def _emphasised(text: str) -> Text:
    number, _, spread = text.partition(" ")
    return Text.assemble((number, "bold"), f" {spread}" if spread else "")


def _currency(unit: str, meaning: Meaning, rating: Rating) -> str:
    currency = rating.draw.plant.about.currency
    return f"{currency}{unit}" if meaning.kind in ("cost_rate", "energy_price", "money") else unit


def _notices(rating: Rating) -> Iterator[RenderableType]:
    seen: dict[str, list[str]] = {}
    for point in rating.points:
        for words in point.notices.values():
            for word in words:
                at = f"{point.frequency:g} Hz and {_gauge(point.receiver_gauge, rating.draw.plant.about.units)}"
                if at not in seen.setdefault(word, []):
                    seen[word].append(at)
    if rating.points[-1].trains:
        names = " and ".join(rating.points[-1].trains)
        yield Text(f"Trains {names} together: sums, or where a sum means nothing the highest; --json has each.")
    for word, where in seen.items():
        yield Text(f"* at {', '.join(where)}: {word}")


def _assumed(rating: Rating, everything: bool) -> Iterator[RenderableType]:
    """What nobody told, section by section; assumed values stand in parentheses, as on a drawing."""
    draw = rating.draw
    yield Text(f"Taken for granted: {'; '.join(rating.numbers.taken)}.")
    if not draw.assumed_at_rest:
        return
    labels = {path: entry.label for path, _, _, entry, _ in walk(draw.plant)}
    sections: dict[str, list[str]] = {}
    for path in draw.assumed_at_rest:
        text = span_text(draw.spans[path], units=draw.plant.about.units)
        sections.setdefault(path.rpartition(".")[0], []).append(f"{path.rpartition('.')[2]}, {labels[path]} ({text})")
    words = (
        f"Assumed, because nobody told: {len(draw.assumed_at_rest)} of {len(draw.spans_at_rest)} entries, which widens "
        "the answers. "
    )
    if not everything:
        counts = ", ".join(f"{section} {len(entries)}" for section, entries in sections.items())
        yield Text.assemble((words, "bold"), f"{counts}. With --assumed each is listed.")
        return
    yield Text(words + "Write what you know into the plant file.", style="bold")
    for section, entries in sections.items():
        yield Padding(Text.assemble((f"{section}: ", "bold"), "; ".join(entries)), (0, 0, 0, 2))


def _title_block(rating: Rating) -> Table:
    draw, about, point = rating.draw, rating.draw.plant.about, rating.points[-1]
    known = Counter(span.known for span in draw.spans_at_rest.values())
    by = ", ".join(f"{known[k]} {words}" for k, words in KNOWN_WORDS.items() if known[k])
    barometer = plain(float(draw.barometer[0, 0, 0]), kind="absolute_pressure", units=about.units)
    site = draw.plant.site
    assert site is not None
    room = plain(float(site.room_temperature[0, 0, 0]), kind="temperature", units=about.units)
    block = Table(box=box.SQUARE, show_header=False, expand=False)
    block.add_row("plant", Text(about.name, style="bold"))
    gauge = _gauge(point.receiver_gauge, about.units)
    block.add_row("last column", f"{point.frequency:g} Hz, {gauge} gauge, likely room {room} and {barometer}")
    block.add_row("known by", by)
    block.add_row("spread", f"middle of {draw.rows} rows, and 9 of 10 of them (P50, P5 to P95); seed {draw.seed}")
    return block
