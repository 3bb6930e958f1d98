"""What is said of a day or a year before any number: the answer, what is missing, what is left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from airfettle.drawings.charts.told import share_text, span_text
from airfettle.quantity import Units, plain, toleranced
from airfettle.quantity.clock import DAYS, clock_text
from airfettle.report.day_rows import Row, answer_rows
from airfettle.studies.day import machine as m
from airfettle.studies.day.days import Days
from airfettle.studies.day.prepared import DAY, WEEK

FULL_NAMES = dict(
    zip(DAYS, ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"), strict=True)
)

EXAMPLES: dict[Units, str] = {"US": "9..13 cfm at 90 psi", "SI": "250..370 L/min ANR at 6 bar"}
"""Air of a tool, as an owner may write it."""


@dataclass(frozen=True)
class Shortage:
    """The longest time on end with some tool short, of all paths.

    Attributes
    ----------
    length, begin : float
        How long, and when it began. [s] [s from Monday 00:00]
    tools : tuple of str
        The tools that ran in it.
    paths : int
        Paths with any shortage at all.
    """

    length: float
    begin: float
    tools: tuple[str, ...]
    paths: int


def longest_shortage(run: Days) -> Shortage | None:
    """Return the longest shortage of all paths; None where there is none."""
    totals = run.tally.totals
    lengths = totals[:, m.LONGEST_SHORT]
    if not (lengths > 0.0).any():
        return None
    worst = int(lengths.argmax())
    return Shortage(
        float(lengths[worst]), float(totals[worst, m.LONGEST_AT]), tools_of(run, int(totals[worst, m.LONGEST_TOOLS])),
        int((lengths > 0.0).sum()),
    )  # fmt: skip


def tools_of(run: Days, bits: int) -> tuple[str, ...]:
    """Return the names of tools written as bits."""
    return tuple(use.name for i, use in enumerate(run.prepared.uses) if bits >> i & 1)


def named(names: Sequence[str]) -> str:
    """Return names in a sentence."""
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)


def weekday(run: Days) -> str:
    """Return the day that was run, by its full name."""
    return FULL_NAMES[DAYS[int(run.tally.start % WEEK // DAY)]]


def is_off(run: Days) -> bool:
    """Return whether the plant is switched off all the time."""
    hours = run.prepared.hours
    return hours is not None and not len(hours.opened(run.tally.start, length=run.tally.length))


def headline(run: Days, *, year: bool = False) -> str:
    """Return the first thing said: whether the tools have enough pressure, and the longest time they have not."""
    stretch = "year" if year else weekday(run)
    tools = run.tally.of_tool
    on, short = float(tools[:, :, m.TOOL_ON].sum()), float(tools[:, :, m.TOOL_SHORT].sum())
    many = len(run.tally.paths)
    off = f"The plant is switched off all {stretch} (control.hours)" if is_off(run) else ""
    if not run.prepared.uses:
        words = "No tool is told: whether the pressure is enough cannot be said"
        return f"{off}, and no tool is told." if off else f"{words}. {_alone(run, year)}"
    if on <= 0.0:
        return f"{off}, and no tool runs." if off else f"No tool runs on a {stretch}. {_alone(run, year)}"
    sure = f"each of {many} {'years' if year else f'chances of a {stretch}'}" if many > 1 else f"the one {stretch} run"
    if short <= 0.0:
        words = f"Enough pressure all the time that tools run, in {sure}."
        return f"{off}. {words}" if off else words
    worst = longest_shortage(run)
    assert worst is not None
    of_all = " of all chances" if many > 1 else ""
    words = f"Enough pressure {share_text(1.0 - short / on)} of tool time; longest shortage{of_all} "
    words += f"{span_text(worst.length)} {_when(worst.begin, year)}{_running(worst)}."
    if many > 1:
        chances = "years" if year else f"chances of a {stretch}"
        words += f" Some tool is short in {worst.paths} of {many} {chances}."
    return f"{off}, but tools run. {words}" if off else words


def _when(begin: float, year: bool) -> str:
    clock = clock_text(begin)
    return f"at {clock}" if year else f"at {clock.partition(' ')[2]}"


def _running(worst: Shortage) -> str:
    return f", {named(worst.tools)} running" if worst.tools else ""


def _alone(run: Days, year: bool) -> str:
    """What leaks and drains alone make of the plant."""
    rows, units = answer_rows(run, year=year), run.prepared.draw.plant.about.units
    starts = run.answers.starts
    if not (starts > 0.0).any():
        return f"Leaks and drains alone never start the pump in that {'year' if year else 'day'}."
    energy = rows["energy_year" if year else "energy_day"].band
    taken = toleranced(energy.low, energy.likely, energy.high, kind="energy", units=units)
    times = round(float(sorted(starts.tolist())[len(starts) // 2]))
    span = "in a year" if year else "in that day"
    return (
        f"Leaks and drains alone start the pump {times} {'time' if times == 1 else 'times'} {span}, and take {taken}."
    )


def what_to_write(units: Units) -> str:
    """Return the lines of a plant file that tell of a tool."""
    return (
        "Write into the plant file what the air is used for, each tool or job with a section of its own:\n\n"
        '    [[use]]\n    name = "sander"\n    tool = "sander"\n'
        f'    air = "{EXAMPLES[units]}"\n    when = "Mon-Fri 08:00-16:30"\n'
        '    on = "about 3 min"\n    off = "4..10 min"\n'
    )


def left_out(run: Days, *, year: bool = False) -> Iterator[str]:
    """Yield what the model leaves out of these answers, in words a shop can weigh."""
    plant, uses = run.prepared.draw.plant, run.prepared.uses
    if uses:
        yield "A job takes as long with too little pressure as with enough; in truth it drags on, and draws air longer."
    if year:
        yield (
            "Each year has one room temperature and humidity throughout, out of those told: summer and winter stand in "
            "the spread, not in turns."
        )
    else:
        yield (
            "The day begins at 00:00 with everything as warm as the room, and the receiver half-way between cut-in and "
            "cut-out."
        )
    yield "Water that lies in the receiver never evaporates again: after dry days there may be less."
    yield "The moments in which a motor speeds up are left out, and what they take from the mains."
    if len(plant.receiver) > 1:
        yield "Receivers count as one, at one pressure."
    if len(plant.trains) > 1:
        yield "Pumps that run together do not warm each other."
    yield "Sound is of the pumps alone, at the nearest place told, out of doors: tools and a room's walls add to it."


def how_it_runs(run: Days) -> str:
    """Return how the speed is set, in a few words."""
    prepared = run.prepared
    if all(train.power.direct for train in prepared.numbers.trains):
        return f"straight on the line, {prepared.full:g} Hz"
    if prepared.scheme == m.PRESSURE:
        return f"the drive follows the pressure, {prepared.ranges[0][0]:g} to {prepared.ranges[-1][1]:g} Hz"
    if prepared.scheme == m.STEPS:
        return f"{prepared.quiet:g} Hz first, {prepared.full:g} Hz when the pressure falls on"
    quiet = f", {prepared.quiet:g} Hz in quiet hours" if prepared.quiet_hours is not None else ""
    return f"{prepared.full:g} Hz{quiet}"


def cut_in_and_out(run: Days) -> str:
    """Return the pressures at which the first pump starts and stops, by gauge, at likely values."""
    rows, units = run.prepared.rows, run.prepared.draw.plant.about.units
    outside = float(rows["barometer"][0])
    ends = [plain(float(rows[name][0, 0]) - outside, kind="pressure", units=units) for name in ("cut_in", "cut_out")]
    return " to ".join(ends)


def rows_by_group(rows: dict[str, Row], groups: dict[str, tuple[str, ...]]) -> dict[str, list[Row]]:
    """Return rows under the words a practitioner looks for, groups without any left out; what no group names last."""
    told = {name for names in groups.values() for name in names}
    found = {group: [rows[name] for name in names if name in rows] for group, names in groups.items()}
    found["other"] = [row for name, row in rows.items() if name not in told]
    return {group: some for group, some in found.items() if some}
