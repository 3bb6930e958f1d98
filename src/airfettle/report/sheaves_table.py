"""A sheave search in the terminal: what to buy first, then every sheave with what binds it, then what was assumed."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from rich import box
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from airfettle.parts.sheave import INCH
from airfettle.quantity import Units, plain, toleranced
from airfettle.report.words import CAUTION
from airfettle.studies.bands import Band
from airfettle.studies.sheaves.result import Candidate, Check, SheaveSearch, TrainSheaves

SHOWN = {True: 8, False: 4}
"""Sheaves shown where the section is told, and of each section where it is not, the present one besides. [-]"""
WHEELS_SHOWN = 4
"""Other wheels shown. [-]"""
SHORT = {
    "pump_overspeed": "pump overspeed", "piston_speed": "piston speed", "rim_speed": "rim of the wheel",
    "relief_capacity": "relief valve", "pump_floor": "pump too slow", "motor_torque": "motor torque",
    "motor_cooling": "motor's own fan", "pull_out": "motor pull-out", "drive_output": "drive amps",
    "breaker": "breaker", "supply_wire": "supply wires", "flywheel": "flywheel smoothing",
    "highest_hertz": "drive's hertz", "least_sheave": "motor's shaft", "wrap": "arc of the belt",
    "sheave_rim": "rim of the sheave", "belts": "belts",
}  # fmt: skip
"""Words for each limit short enough for a table."""
WHEEL = (
    "DANGER: the flywheel is the pump's fan and evens out its torque. A plain sheave has no blades and far less "
    "inertia: without another fan on the cylinders the pump overheats. Ask the pump's maker before you change it."
)


def sheaves_table(search: SheaveSearch) -> RenderableType:
    """Return a sheave search for a rich console."""
    parts: list[RenderableType] = []
    for train in search.trains:
        parts += [*headlines(search, train), ""]
    parts += [Text(CAUTION, style="italic"), ""]
    for train in search.trains:
        parts += _train(search, train)
    return Group(*parts, _title_block(search))


def headlines(search: SheaveSearch, train: TrainSheaves) -> Iterator[Text]:
    """Yield the first thing said of a train: which sheave to buy, for each belt section it may have."""
    name = f"{train.name}: " if train.name else ""
    if train.why_not:
        yield Text(f"{name}{train.why_not}", style="bold")
        return
    for section in train.sections():
        before = name if train.section_told else f"{name}If the belt is of section {section}: "
        best = train.best(section)
        words = _buy(search, train, best) if best else _nothing(search, train, section)
        yield Text(f"{before}{words if before == name else words[0].lower() + words[1:]}", style="bold")


def sheave_name(candidate: Candidate) -> str:
    """Return what a sheave is asked for by: its datum diameter in the unit of its series, or 3V by its outside."""
    if candidate.section == "3V":
        return f"{candidate.outside / INCH:.2f} in"
    if candidate.section in ("A", "AX", "B", "BX"):
        return f"{candidate.datum / INCH:.1f} in"
    return f"{1e3 * candidate.datum:.0f} mm"


def _buy(search: SheaveSearch, train: TrainSheaves, best: Candidate) -> str:
    units = search.draw.plant.about.units
    belts = "" if best.belts_needed is None else f" with {best.belts} belt{'s' * (best.belts > 1)}"
    name, rim = sheave_name(best), plain(best.outside, kind="length", units=units)
    if best.present:
        what = f"Keep the sheave that is there ({rim} over the rim){belts}"
    else:
        over = "" if best.section == "3V" else f" ({rim} over the rim)"
        what = f"Buy a{'n' * name.startswith(('8', '11', '18'))} {name} {best.section} sheave{over}{belts}"
    speed, torque = plain(train.wanted_speed, kind="rotational_speed", units=units), _percent(best.torque_share)
    if train.direct:
        turns = _shown(best.pump_speed, "rotational_speed", units)
        return f"{what}: {turns} on the line where {speed} is wanted, motor at {torque} of the torque it may give."
    most = " at most" if best.pump_speed.likely < 0.999 * train.wanted_speed else ""
    hertz = _shown(best.hertz, "frequency", units)
    return f"{what}: {speed}{most} at {hertz}, motor at {torque} of the torque it may give."


def _nothing(search: SheaveSearch, train: TrainSheaves, section: str) -> str:
    """What binds the best of those that fail."""
    units = search.draw.plant.about.units
    speed = plain(train.wanted_speed, kind="rotational_speed", units=units)
    first = next(c for c in train.candidates if c.section == section)
    binding = ", and ".join(_missed(check) for check in first.fails(search.certainty))
    own = "the one that is there" if first.present else f"one of {sheave_name(first)}"
    return (
        f"No sheave keeps every limit in {_share(search.certainty)} of the draw at {speed}. What binds the best, "
        f"{own}: {binding}."
    )


def _missed(check: Check) -> str:
    return f"{check.label}, kept in {_share(check.share)}"


def _train(search: SheaveSearch, train: TrainSheaves) -> Iterator[RenderableType]:
    if train.why_not:
        return
    units = search.draw.plant.about.units
    if train.name:
        yield Text(train.name, style="bold")
    for section in train.sections():
        best = train.best(section)
        if best is not None:
            yield from (Text(words) for words in _consequences(best, train, units))
            yield ""
        yield _table(search, train, _worth_showing(train, section), first=f"{section} sheave")
        yield ""
    if train.wheels:
        rows = _first_of_each(list(train.wheels))[:WHEELS_SHOWN]
        yield Text(WHEEL, style="bold")
        yield _table(search, train, rows, first="sheave", wheels=True)
        yield ""
    yield from (Text(f"* {note}") for note in _notes(search, train))
    yield ""


def _worth_showing(train: TrainSheaves, section: str) -> list[Candidate]:
    """The best of a section, those nearest to the wanted speed or hertz, and the one that is there; best first."""
    rows = _first_of_each([c for c in train.candidates if c.section == section])
    near = sorted(rows[1:], key=lambda c: abs(c.place - 1.0))[: SHOWN[train.section_told] - 1]
    return [c for c in rows if c is rows[0] or c.present or c in near]


def _first_of_each(candidates: list[Candidate]) -> list[Candidate]:
    """The best number of belts of each pair."""
    first: dict[tuple[float, bool, float | None], Candidate] = {}
    for candidate in candidates:
        first.setdefault((candidate.outside, candidate.present, candidate.wheel), candidate)
    return list(first.values())


def _consequences(best: Candidate, train: TrainSheaves, units: Units) -> Iterator[str]:
    """What the sheave to buy brings with it, a line for each."""
    if not train.direct:
        base, speed = (_shown(band, "rotational_speed", units) for band in (best.base_speed, best.pump_speed))
        yield f"At the hertz above the pump turns {speed}, at the motor's {train.base_frequency:g} Hz {base}."
    if best.hertz_range is not None:
        low, high = best.hertz_range
        yield (
            f"Set the drive to {low:.1f} Hz at least and {high:.1f} Hz at most: between them the pump stays above its "
            "lowest and below its highest speed."
            if low < high
            else "No hertz keep the pump both above its lowest and below its highest speed."
        )
        if train.highest_set is not None and train.highest_set > high:
            yield (
                f"DANGER: the drive is set to {train.highest_set:g} Hz. With this sheave that may turn the pump past "
                "its highest speed: set the drive down before the pump runs."
            )
    if best.belts_needed is not None:
        wrap = "" if best.wrap is None else f", lying on {degrees(best.wrap.likely):.0f}° of the smaller sheave"
        yield f"Belts needed: {best.belts_needed}{wrap}."
    if best.belt_length is not None and best.shift is not None:
        way = "further apart" if best.shift > 0 else "nearer together"
        length, moved = _length(best.belt_length, units), _length(abs(best.shift), units)
        yield f"Belt length {length}: the nearest sold is {best.belt_name}, with the shafts {moved} {way}."
    yield f"Nearest limit: {_missed(best.binds)}."


def _length(metres: float, units: Units) -> str:
    """A length as a tape is read: to a tenth of an inch, or to a millimetre."""
    return f"{metres / INCH:.1f} in" if units == "US" else f"{1e3 * metres:.0f} mm"


def _table(
    search: SheaveSearch, train: TrainSheaves, rows: list[Candidate], *, first: str, wheels: bool = False
) -> Table:
    units = search.draw.plant.about.units
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0), show_edge=False, header_style="bold")
    table.add_column(first, no_wrap=True)
    if wheels:
        table.add_column("wheel, inertia", no_wrap=True)
    table.add_column("belts", justify="right")
    table.add_column("pump" if train.direct else "Hz", justify="right", no_wrap=True)
    if not train.direct and not wheels:
        table.add_column(f"at {train.base_frequency:g} Hz", justify="right", no_wrap=True)
    table.add_column("torque", justify="right", no_wrap=True)
    table.add_column("limits")
    for candidate in rows:
        cells = [_cell(candidate, units)]
        if wheels:
            wheel = plain(candidate.wheel or 0.0, kind="length", units=units)
            cells.append(f"{wheel}, ×{candidate.inertia_factor:.2g}")
        cells += [f"{candidate.belts}", *_speeds(train, candidate, units, wheels), _percent(candidate.torque_share)]
        table.add_row(*cells, _verdict(search, candidate))
    return table


def _speeds(train: TrainSheaves, candidate: Candidate, units: Units, wheels: bool) -> list[str]:
    if train.direct:
        return [plain(round(60.0 * candidate.pump_speed.likely) / 60.0, kind="rotational_speed", units=units)]
    hertz = f"{candidate.hertz.likely:.1f}"
    base = plain(round(60.0 * candidate.base_speed.likely) / 60.0, kind="rotational_speed", units=units)
    return [hertz] if wheels else [hertz, base]


def _cell(candidate: Candidate, units: Units) -> str:
    rim = plain(candidate.outside, kind="length", units=units)
    return f"there now, {rim}" if candidate.present else sheave_name(candidate)


def _verdict(search: SheaveSearch, candidate: Candidate) -> Text:
    if candidate.passes:
        return Text.assemble(("passes", "bold"), f"; nearest {SHORT[candidate.binds.name]}")
    missed = candidate.fails(search.certainty)
    more = f", and {len(missed) - 1} more" if len(missed) > 1 else ""
    return Text(f"fails: {SHORT[missed[0].name]} {_share(missed[0].share)}{more}")


def _notes(search: SheaveSearch, train: TrainSheaves) -> Iterator[str]:
    yield from train.notes
    there = next((c for c in train.candidates if c.present), None)
    if there is not None and {c.name for c in there.fails(search.certainty)} == {"highest_hertz"}:
        hertz = f"{there.hertz.likely:.1f} Hz"
        yield (
            f"Only the drive's highest hertz stands against the sheave that is there: it would need {hertz}. That is a "
            "setting; what motor, pump and wheel stand is not."
        )
    if train.far:
        why = "turn the pump far outside its speeds" if train.direct else "need far more hertz than there are"
        yield f"{train.far} more stock sheaves are not judged, as they would {why}."


def _title_block(search: SheaveSearch) -> Table:
    about = search.draw.plant.about
    block = Table(box=box.SQUARE, show_header=False, expand=False)
    block.add_row("plant", Text(about.name, style="bold"))
    for train in search.trains:
        speed = plain(train.wanted_speed, kind="rotational_speed", units=about.units)
        block.add_row(f"wanted {train.name}".strip(), f"{speed}, {train.wanted_from}")
    block.add_row("passes", f"each limit is kept in {_share(search.certainty)} of the draw, at cut-in and cut-out")
    block.add_row("fails", "the limit that most of the draw misses, and how much of it keeps it")
    block.add_row("spread", f"middle of {search.draw.rows} rows, and 9 of 10 of them (P50, P5 to P95)")
    return block


def _shown(band: Band, kind: str, units: Units) -> str:
    return toleranced(band.low, band.likely, band.high, kind=kind, units=units)


def _percent(band: Band) -> str:
    return f"{100.0 * band.likely:.0f} %"


def _share(share: float) -> str:
    """A share of the draw; never all or nothing where a few rows say otherwise."""
    if 0.0 < share < 0.005:
        return "under 1 %"
    if 0.995 <= share < 1.0:
        return "over 99 %"
    return f"{100.0 * share:.3g} %" if share == round(share, 3) else f"{100.0 * share:.0f} %"
